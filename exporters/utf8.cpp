#include "exporters/utf8.h"

#include "params/characters.h"

namespace leafstack {

std::pair<unsigned, std::size_t> codePointAt(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
  };
  const unsigned first = byte(at);
  const std::size_t length = first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
  unsigned code = length == 1 ? first : first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0U) != 0x80U) {
      return {'?', 1};
    }
    code = (code << 6U) | (byte(at + i) & 0x3FU);
  }
  return {code, length};
}

std::string printableLine(std::string_view text) {
  constexpr unsigned kLeastOfLength[] = {0, 0, 0x80, 0x800, 0x10000};
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const auto [code, length] = codePointAt(text, at);
    const bool is_surrogate = code >= 0xD800 && code < 0xE000;
    const bool is_lead = length == 1 || static_cast<unsigned char>(text[at]) >= 0xC2;
    if (code < 0x20 || (code >= 0x7F && code < 0xA0 && length < 3)) {
      out += ' ';
    } else if (is_surrogate || !is_lead || code > 0x10FFFF || code < kLeastOfLength[length] ||
               isNoncharacter(code)) {
      out += '?';
    } else if (length == 1) {
      out += static_cast<char>(code);
    } else {
      out += text.substr(at, length);
    }
    at += length;
  }
  return out;
}

}  // namespace leafstack
