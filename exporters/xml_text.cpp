#include "exporters/xml_text.h"

#include <array>
#include <charconv>
#include <cmath>

#include "exporters/export_error.h"

namespace leafstack {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
}

/// The character at `at` as bytes; empty where these are no well-formed UTF-8 (RFC 3629, table in
/// section 4).
std::string_view characterAt(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  if (lead < 0x80) {
    return text.substr(at, 1);
  }
  const std::size_t extra = lead >= 0xF0 && lead < 0xF5   ? 3
                            : lead >= 0xE0 && lead < 0xF0 ? 2
                            : lead >= 0xC2                ? 1
                                                          : 0;
  if (extra == 0 || lead >= 0xF5) {
    return {};
  }
  for (std::size_t i = 1; i <= extra; ++i) {
    if (!continues(text, at + i)) {
      return {};
    }
  }
  // Second bytes that would make too long a form, a surrogate, or a number past U+10FFFF.
  const auto second = static_cast<unsigned char>(text[at + 1]);
  const bool wrong = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) ||
                     (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F);
  return wrong ? std::string_view() : text.substr(at, extra + 1);
}

bool isAllowed(std::string_view character) {
  if (character.size() == 1) {
    const char c = character.front();
    return static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n' || c == '\r';
  }
  return !character.empty() && character != "\xEF\xBF\xBE" && character != "\xEF\xBF\xBF";
}

std::string_view escapedCharacter(std::string_view character) {
  switch (character.front()) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return "&quot;";
    case '\t':  // as numbers, or a reader would make blanks of them in attributes
      return "&#9;";
    case '\n':
      return "&#10;";
    case '\r':
      return "&#13;";
    default:
      return character;
  }
}

std::string numberText(double value) {
  if (!std::isfinite(value)) {
    throw ExportError("a number is not finite");
  }
  std::array<char, 32> buffer{};
  // Adding 0 turns -0 into 0.
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value + 0.0).ptr;
  return std::string(buffer.data(), end);
}

}  // namespace

std::string xmlEscaped(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::string_view character = characterAt(text, at);
    out += isAllowed(character) ? escapedCharacter(character) : kReplacement;
    at += character.empty() ? 1 : character.size();
  }
  return out;
}

XmlText::XmlText() : text_("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n") {}

void XmlText::start(std::string_view name, const XmlAttributes& attributes) {
  text_.append(2 * open_.size(), ' ').append("<").append(name);
  for (const auto& [key, value] : attributes) {
    text_.append(" ").append(key).append("=\"").append(xmlEscaped(value)).append("\"");
  }
}

XmlText& XmlText::open(std::string_view name, const XmlAttributes& attributes) {
  start(name, attributes);
  text_ += ">\n";
  open_.emplace_back(name);
  return *this;
}

XmlText& XmlText::close() {
  const std::string name = open_.back();
  open_.pop_back();
  text_.append(2 * open_.size(), ' ').append("</").append(name).append(">\n");
  return *this;
}

XmlText& XmlText::leaf(std::string_view name, std::string_view text) {
  start(name, {});
  text_.append(">").append(xmlEscaped(text)).append("</").append(name).append(">\n");
  return *this;
}

XmlText& XmlText::leaf(std::string_view name, double value) {
  return leaf(name, numberText(value));
}

XmlText& XmlText::empty(std::string_view name, const XmlAttributes& attributes) {
  start(name, attributes);
  text_ += "/>\n";
  return *this;
}

}  // namespace leafstack
