#include "exporters/desk/document/edit.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/units.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

/// The text's lines, to find where a node stands.
class Places {
 public:
  explicit Places(std::string_view text) : begins_{0} {
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '\n') {
        begins_.push_back(i + 1);
      }
    }
  }
  std::size_t of(const TextPlace& place) const {
    return begins_.at(static_cast<std::size_t>(place.line) - 1) +
           static_cast<std::size_t>(place.column) - 1;
  }

 private:
  std::vector<std::size_t> begins_;
};

std::size_t endOfText(std::string_view text, std::size_t at) {
  for (++at; text.at(at) != '"'; ++at) {
    at += text[at] == '\\' ? 1 : 0;
  }
  return at + 1;
}

/// Past a comment, where one begins at `at`; else `at`.
std::size_t pastComment(std::string_view text, std::size_t at) {
  if (text.substr(at, 2) == "//") {
    return std::min(text.find('\n', at), text.size());
  }
  return text.substr(at, 2) == "/*" ? text.find("*/", at + 2) + 2 : at;
}

/// Where a value ends that begins at `at`; of a text that was parsed without a problem.
std::size_t endOfValue(std::string_view text, std::size_t at) {
  if (text[at] == '"') {
    return endOfText(text, at);
  }
  if (text[at] != '{' && text[at] != '[') {
    return std::min(text.find_first_of(",]} \t\r\n/", at), text.size());
  }
  int depth = 0;
  while (true) {
    const char c = text.at(at);
    if (c == '"') {
      at = endOfText(text, at);
      continue;
    }
    const std::size_t past = pastComment(text, at);
    if (past != at) {
      at = past;
      continue;
    }
    depth += c == '{' || c == '[' ? 1 : c == '}' || c == ']' ? -1 : 0;
    ++at;
    if (depth == 0) {
      return at;
    }
  }
}

/// The first byte from `at` on that is neither blank nor of a comment.
std::size_t nextWord(std::string_view text, std::size_t at) {
  while (at < text.size()) {
    const std::size_t word = std::min(text.find_first_not_of(" \t\r\n", at), text.size());
    at = word < text.size() ? pastComment(text, word) : word;
    if (at == word) {
      break;
    }
  }
  return at;
}

std::string indentOf(std::string_view text, std::size_t at) {
  const std::size_t line = text.find_last_of('\n', at);
  const std::size_t begin = line == std::string_view::npos ? 0 : line + 1;
  return std::string(
      text.substr(begin, std::min(text.find_first_not_of(" \t", begin), at) - begin));
}

std::vector<std::string> wordsOf(const std::string& pointer) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < pointer.size();) {
    const std::size_t end = std::min(pointer.find('/', at + 1), pointer.size());
    words.push_back(pointer.substr(at + 1, end - at - 1));
    at = end;
  }
  return words;
}

JsonNode rootOf(const std::string& text) {
  JsonText parsed = parseJson(text, "gate");
  if (!parsed.complete || !parsed.problems.empty() || parsed.root.kind != JsonKind::kObject) {
    throw std::invalid_argument("the gate file is no JSON object");
  }
  return std::move(parsed.root);
}

/// A member that is no object, in the way of a key below it: what stays of it. A name of a hardware
/// set becomes the object's `set`.
Json objectFor(const std::string& pointer, const JsonNode& node) {
  return pointer == "/hardware" && node.kind == JsonKind::kText ? Json{{"set", node.text}}
                                                                : Json::object();
}

class TextEdit {
 public:
  TextEdit(std::string text, const std::string& pointer)
      : text_(std::move(text)), root_(rootOf(text_)), places_(text_), words_(wordsOf(pointer)) {
    path_ = {&root_};
    while (path_.size() <= words_.size()) {
      const JsonNode& last = *path_.back();
      const JsonNode* const next =
          last.kind == JsonKind::kObject ? last.member(words_[path_.size() - 1]) : nullptr;
      if (next == nullptr) {
        break;
      }
      path_.push_back(next);
    }
  }

  std::string set(const std::string& json) {
    if (path_.size() > words_.size()) {
      return replaced(*path_.back(), json);
    }
    const JsonNode& last = *path_.back();
    const std::size_t known = path_.size() - 1;
    std::string value = json;
    for (std::size_t i = words_.size(); i-- > known + 1;) {
      value = "{" + Json(words_[i]).dump() + ": " + value + "}";
    }
    if (last.kind == JsonKind::kObject) {
      return inserted(last, words_[known], value);
    }
    std::string pointer;
    for (std::size_t i = 0; i < known; ++i) {
      pointer += "/" + words_[i];
    }
    Json object = objectFor(pointer, last);
    object[words_[known]] = Json::parse(value);
    return replaced(last, object.dump());
  }

  std::string removed() {
    if (path_.size() <= words_.size()) {
      return text_;
    }
    std::size_t depth = path_.size() - 1;
    while (depth > 1 && path_[depth - 1]->children.size() == 1) {
      --depth;
    }
    return without(*path_[depth - 1], *path_[depth]);
  }

 private:
  std::size_t begin(const JsonNode& node) const { return places_.of(node.place); }
  std::size_t end(const JsonNode& node) const { return endOfValue(text_, begin(node)); }

  std::string replaced(const JsonNode& node, const std::string& json) const {
    return text_.substr(0, begin(node)) + json + text_.substr(end(node));
  }

  std::string inserted(const JsonNode& object, const std::string& key,
                       const std::string& value) const {
    const std::string member = Json(key).dump() + ": " + value;
    if (object.children.empty()) {
      const std::size_t at = begin(object) + 1;
      const std::string outer = indentOf(text_, begin(object));
      const bool has_line =
          nextWord(text_, at) < text_.size() &&
          text_.substr(at, nextWord(text_, at) - at).find('\n') != std::string::npos;
      return text_.substr(0, at) + "\n" + outer + "  " + member + (has_line ? "" : "\n" + outer) +
             text_.substr(at);
    }
    const JsonNode& last = object.children.back();
    const std::size_t value_end = end(last);
    const std::size_t close = nextWord(text_, value_end);
    const std::size_t line_end = text_.find('\n', value_end);
    const std::string own_indent = indentOf(text_, places_.of(last.key_place));
    if (line_end >= close) {  // the object ends on the same line
      return text_.substr(0, value_end) + ", " + member + text_.substr(value_end);
    }
    const std::size_t cut = text_[line_end - 1] == '\r' ? line_end - 1 : line_end;
    return text_.substr(0, value_end) + "," + text_.substr(value_end, cut - value_end) + "\n" +
           own_indent + member + text_.substr(cut);
  }

  /// Without a member, its separator and the line that it leaves empty.
  std::string without(const JsonNode& object, const JsonNode& member) const {
    std::size_t from = places_.of(member.key_place);
    std::size_t to = end(member);
    const std::size_t next = nextWord(text_, to);
    if (text_.at(next) == ',') {
      // What is said behind the comma on the same line was said of it.
      std::string_view behind = std::string_view(text_).substr(next + 1);
      const std::size_t first = behind.find_first_not_of(" \t");
      to = next + 1 + (first == std::string_view::npos ? 0 : first);
      to = pastComment(text_, to);
    } else if (&object.children.front() != &member) {
      const JsonNode* before = &object.children.front();
      for (const JsonNode& one : object.children) {
        before = &one == &member ? before : &one;
        if (&one == &member) {
          break;
        }
      }
      // The comma behind the one before it.
      const std::size_t comma = nextWord(text_, end(*before));
      std::string text = text_.substr(0, comma) + text_.substr(comma + 1);
      return cut(std::move(text), from - 1, to - 1);
    }
    return cut(text_, from, to);
  }

  /// Without these bytes, and without their line where nothing else stands on it.
  static std::string cut(std::string text, std::size_t from, std::size_t to) {
    const std::size_t line = from == 0 ? std::string::npos : text.find_last_of('\n', from - 1);
    const std::size_t begin = line == std::string::npos ? 0 : line + 1;
    const bool is_first = text.find_first_not_of(" \t", begin) >= from;
    const std::size_t after = std::min(text.find_first_not_of(" \t\r", to), text.size());
    if (is_first && line != std::string::npos && after < text.size() && text[after] == '\n') {
      return text.substr(0, begin) + text.substr(after + 1);
    }
    if (after < text.size() && text[after] != '\n' && text[after] != '/') {
      if (text[after] != '}') {
        to = after;
      } else if (const std::size_t word = text.find_last_not_of(" \t", from - 1);
                 word != std::string::npos) {
        from = word + 1;  // the blank before it goes with it
      }
    }
    return text.substr(0, from) + text.substr(to);
  }

  std::string text_;
  JsonNode root_;
  Places places_;
  std::vector<std::string> words_;
  std::vector<const JsonNode*> path_;
};

/// A number without a unit, with a point or a comma; nothing where it is none, or may be two.
std::optional<Json> plainNumber(std::string_view unit, std::string_view typed) {
  if (typed.empty() || typed.find_first_not_of("0123456789.,+- ") != std::string_view::npos) {
    return std::nullopt;
  }
  if (unit == "mm") {
    const TypedValue length = typedLength_mm(std::string(typed) + " mm");
    return length.value ? std::optional<Json>(jsonNumber(*length.value)) : std::nullopt;
  }
  std::string text(typed);
  if (std::count(text.begin(), text.end(), ',') == 1) {
    std::replace(text.begin(), text.end(), ',', '.');
  }
  const Json number = Json::parse(text, nullptr, /*allow_exceptions=*/false);
  return number.is_number() ? std::optional<Json>(number) : std::nullopt;
}

/// "0 0, 500 -12" or a point a line: a survey as one reads it from a level.
std::optional<Json> typedPoints(std::string text) {
  Json points = Json::array();
  std::replace(text.begin(), text.end(), '\n', ';');
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find(';', at), text.size());
    const std::string pair = text.substr(at, end - at);
    at = end + 1;
    const std::size_t first = pair.find_first_not_of(" \t\r");
    if (first == std::string::npos) {
      continue;
    }
    const std::size_t gap = pair.find_first_of(" \t:", first);
    const std::size_t second = gap == std::string::npos ? gap : pair.find_first_not_of(" \t:", gap);
    if (second == std::string::npos) {
      return std::nullopt;
    }
    const auto x = plainNumber("mm", pair.substr(first, gap - first));
    const auto z =
        plainNumber("mm", pair.substr(second, pair.find_last_not_of(" \t\r") + 1 - second));
    if (!x || !z) {
      return std::nullopt;
    }
    points.push_back({*x, *z});
  }
  return points.empty() ? std::nullopt : std::optional<Json>(points);
}

std::string_view withoutBlanks(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  return first == std::string_view::npos
             ? std::string_view()
             : text.substr(first, text.find_last_not_of(" \t\r\n") + 1 - first);
}

}  // namespace

std::string jsonOf(const std::string& pointer, const std::string& typed) {
  const std::string text(withoutBlanks(typed));
  const Parameter* const row = findParameter(pointer);
  const auto asText = [](const std::string& value) {
    return Json(value).dump(-1, ' ', false, Json::error_handler_t::replace);
  };
  if (row != nullptr) {
    switch (row->kind) {
      case Kind::kText:
      case Kind::kChoice:
      case Kind::kSection:
      case Kind::kAutoSection:
        return asText(row->kind == Kind::kText ? typed : text);
      case Kind::kFlag:
        return plainFlag(text).empty() ? asText(text) : plainFlag(text);
      case Kind::kNumber:
      case Kind::kAutoNumber:
      case Kind::kAutoInteger:
      case Kind::kChosenNumber:
        if (const auto number = plainNumber(row->unit, text)) {
          return number->dump();
        }
        return asText(text);
      case Kind::kSurvey:
        if (const auto points = typedPoints(text)) {
          return points->dump();
        }
        break;
      default:
        break;
    }
  }
  const Json json = Json::parse(text, nullptr, /*allow_exceptions=*/false);
  return json.is_discarded() ? asText(text) : json.dump();
}

std::string edited(std::string text, std::span<const Edit> edits) {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  if (text.starts_with(kByteOrderMark)) {
    return std::string(kByteOrderMark) + edited(text.substr(kByteOrderMark.size()), edits);
  }
  for (const Edit& edit : edits) {
    if (edit.pointer.size() < 2 || edit.pointer.front() != '/') {
      throw std::invalid_argument("no key is called " + edit.pointer);
    }
    TextEdit one(std::move(text), edit.pointer);
    text = edit.typed ? one.set(jsonOf(edit.pointer, *edit.typed)) : one.removed();
  }
  return text;
}

}  // namespace leafstack::desk
