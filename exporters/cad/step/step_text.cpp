#include "exporters/cad/step/step_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

#include "exporters/bytes/export_error.h"
#include "params/reading/characters.h"

namespace leafstack {
namespace {

constexpr char32_t kReplacement = 0xFFFD;

void appendHex(std::string& out, char32_t value, int digits) {
  static constexpr char kDigits[] = "0123456789ABCDEF";
  for (int shift = 4 * (digits - 1); shift >= 0; shift -= 4) {
    out.push_back(kDigits[(value >> shift) & 0xF]);
  }
}

bool isPlain(char32_t point) {
  return point >= 0x20 && point < 0x7F;
}

/// Digits of a code point outside plain ASCII: 4 in \X2\, 8 in \X4\.
int hexDigits(char32_t point) {
  return point > 0xFFFF ? 8 : 4;
}

}  // namespace

std::string part21String(std::string_view utf8) {
  std::string out = "'";
  int open_digits = 0;  // of the \X2\ or \X4\ run being written, 0 outside one
  for (const char32_t point : codePoints(utf8, kReplacement)) {
    const int digits = isPlain(point) ? 0 : hexDigits(point);
    if (digits != open_digits) {
      out += open_digits != 0 ? "\\X0\\" : "";
      out += digits == 4 ? "\\X2\\" : digits == 8 ? "\\X4\\" : "";
      open_digits = digits;
    }
    if (digits != 0) {
      appendHex(out, point, digits);
    } else {
      out.append(point == U'\'' || point == U'\\' ? 2 : 1, static_cast<char>(point));
    }
  }
  out += open_digits != 0 ? "\\X0\\" : "";
  return out + "'";
}

std::string part21Real(double value) {
  if (!std::isfinite(value)) {
    throw ExportError("STEP: a number is not finite");
  }
  if (value == 0) {
    return "0.";
  }
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  std::string text(buffer.data(), end);
  const std::size_t exponent = text.find('e');
  if (exponent != std::string::npos) {
    text[exponent] = 'E';
  }
  if (text.find('.') == std::string::npos) {
    text.insert(exponent == std::string::npos ? text.size() : exponent, 1, '.');
  }
  return text;
}

std::string part21Triple(double x, double y, double z) {
  std::string out = part21Real(x);
  out.insert(0, 1, '(');
  for (const double value : {y, z}) {
    out += ',';
    out += part21Real(value);
  }
  return out + ")";
}

std::string part21Reference(int id) {
  std::string out = std::to_string(id);
  out.insert(0, 1, '#');
  return out;
}

std::string part21References(const std::vector<int>& ids) {
  std::string out = "(";
  for (const int id : ids) {
    out += out.size() > 1 ? ",#" : "#";
    out += std::to_string(id);
  }
  return out + ")";
}

int EntityText::add(std::string_view body) {
  ++count_;
  text_ += '#';
  text_ += std::to_string(count_);
  text_ += " = ";
  text_ += body;
  text_ += ";\n";
  return count_;
}

int EntityText::addBlock(std::string_view block, int count) {
  const int offset = count_;
  const char* at = block.data();
  const char* const end = at + block.size();
  while (at != end) {
    const char* const hash = std::find(at, end, '#');
    text_.append(at, hash);
    if (hash == end) {
      break;
    }
    int number = 0;
    at = std::from_chars(hash + 1, end, number).ptr;
    text_ += '#';
    text_ += std::to_string(number + offset);
  }
  count_ += count;
  return offset;
}

}  // namespace leafstack
