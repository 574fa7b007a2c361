#include "exporters/office/words/words.h"

#include <utility>

#include "exporters/bytes/export_error.h"

namespace leafstack {

PaperWords::PaperWords(std::vector<std::string> texts) : texts_(std::move(texts)) {
  if (texts_.size() != static_cast<std::size_t>(Say::kCount)) {
    throw ExportError("the papers' words are not complete");
  }
}

std::string PaperWords::operator()(Say what, std::initializer_list<std::string> values) const {
  const std::string& text = texts_.at(static_cast<std::size_t>(what));
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool is_value = text[i] == '{' && i + 2 < text.size() && text[i + 2] == '}' &&
                          text[i + 1] >= '1' &&
                          text[i + 1] < static_cast<char>('1' + values.size());
    if (is_value) {
      out += *(values.begin() + (text[i + 1] - '1'));
      i += 2;
    } else {
      out += text[i];
    }
  }
  return out;
}

}  // namespace leafstack
