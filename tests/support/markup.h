// Whether a text is mark-up whose tags nest. Understands what pages and pictures here use.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace leafstack {

/// Tags nest, attributes are quoted, no bare mark-up and no control character stands in the text.
/// What is wrong, or "".
inline std::string markupFault(const std::string& text) {
  std::vector<std::string> open;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (static_cast<unsigned char>(text[at]) < 0x20 && text[at] != '\n') {
      return "control character";
    }
    if (text[at] == '&') {
      const std::string entity = text.substr(at, text.find(';', at) - at + 1);
      if (entity != "&amp;" && entity != "&lt;" && entity != "&gt;" && entity != "&quot;") {
        return "bare &: " + entity.substr(0, 20);
      }
    }
    if (text[at] != '<') {
      continue;
    }
    const std::size_t end = std::min(text.find('>', at), text.size());
    const std::string tag = text.substr(at + 1, end - at - 1);
    if (tag.empty() || end == text.size() || tag.find('<') != std::string::npos ||
        std::count(tag.begin(), tag.end(), '"') % 2 != 0) {
      return "broken tag: " + tag.substr(0, 60);
    }
    at = end;
    if (tag.front() == '!' || tag.front() == '?' || tag.starts_with("meta ") || tag.back() == '/') {
      continue;
    }
    if (tag.front() != '/') {
      open.push_back(tag.substr(0, tag.find(' ')));
    } else if (open.empty() || open.back() != tag.substr(1)) {
      return "closes what is not open: " + tag;
    } else {
      open.pop_back();
    }
  }
  return open.empty() ? "" : "never closed: " + open.back();
}

}  // namespace leafstack
