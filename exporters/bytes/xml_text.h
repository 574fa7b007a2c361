// A small writer of XML 1.0: elements one inside the other, everything escaped.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leafstack {

/// Attributes in the order of writing.
using XmlAttributes = std::vector<std::pair<std::string_view, std::string>>;

/// UTF-8 text for content and attribute values. What XML does not allow (control characters,
/// U+FFFE, U+FFFF, malformed UTF-8) becomes U+FFFD.
std::string xmlEscaped(std::string_view text);

/// One document, indented by two blanks. Elements are closed in the order they were opened.
class XmlText {
 public:
  XmlText();
  XmlText& open(std::string_view name, const XmlAttributes& attributes = {});
  XmlText& close();
  /// An element with text only.
  XmlText& leaf(std::string_view name, std::string_view text);
  /// An element with a number: the shortest that reads back as the same. Throws ExportError for
  /// NaN and infinity.
  XmlText& leaf(std::string_view name, double value);
  /// An element with nothing in it.
  XmlText& empty(std::string_view name, const XmlAttributes& attributes);
  const std::string& text() const { return text_; }

 private:
  void start(std::string_view name, const XmlAttributes& attributes);

  std::string text_;
  std::vector<std::string> open_;
};

/// Bytes for a data: address (RFC 4648, section 4, with padding).
std::string base64(std::string_view bytes);

}  // namespace leafstack
