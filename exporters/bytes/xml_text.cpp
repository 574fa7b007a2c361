#include "exporters/bytes/xml_text.h"

#include <openssl/evp.h>

#include <array>
#include <charconv>
#include <cmath>

#include "exporters/bytes/export_error.h"
#include "params/reading/characters.h"

namespace leafstack {
namespace {

constexpr char32_t kReplacement = 0xFFFD;

/// XML 1.0, production 2.
bool isAllowed(char32_t code) {
  return code >= 0x20 ? code != 0xFFFE && code != 0xFFFF
                      : code == U'\t' || code == U'\n' || code == U'\r';
}

void appendEscaped(std::string& out, char32_t code) {
  switch (code) {
    case U'&':
      out += "&amp;";
      break;
    case U'<':
      out += "&lt;";
      break;
    case U'>':
      out += "&gt;";
      break;
    case U'"':
      out += "&quot;";
      break;
    case U'\t':  // as numbers, or a reader would make blanks of them in attributes
      out += "&#9;";
      break;
    case U'\n':
      out += "&#10;";
      break;
    case U'\r':
      out += "&#13;";
      break;
    default:
      appendUtf8(out, isAllowed(code) ? code : kReplacement);
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
  for (const char32_t code : codePoints(text, kReplacement)) {
    appendEscaped(out, code);
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

std::string base64(std::string_view bytes) {
  std::string out((bytes.size() + 2) / 3 * 4 + 1, '\0');  // and the zero that the library adds
  EVP_EncodeBlock(reinterpret_cast<unsigned char*>(out.data()),
                  reinterpret_cast<const unsigned char*>(bytes.data()),
                  static_cast<int>(bytes.size()));
  out.pop_back();
  return out;
}

}  // namespace leafstack
