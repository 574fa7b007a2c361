#include "exporters/lists/text/plain_text.h"

#include <sstream>

namespace leafstack {

std::string wrapped(const std::string& text, const std::string& first, const std::string& rest,
                    std::size_t columns) {
  std::istringstream words(text);
  std::string out, line = first, word;
  bool line_is_empty = true;
  while (words >> word) {
    if (!line_is_empty && line.size() + 1 + word.size() > columns) {
      out += line + "\n";
      line = rest;
      line_is_empty = true;
    }
    line += line_is_empty ? "" : " ";
    line += word;
    line_is_empty = false;
  }
  return out + line + "\n";
}

std::string padded(const std::string& text, std::size_t width, bool to_right) {
  const std::string blanks(text.size() < width ? width - text.size() : 0, ' ');
  return to_right ? blanks + text : text + blanks;
}

}  // namespace leafstack
