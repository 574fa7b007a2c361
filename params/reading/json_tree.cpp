#include "params/reading/json_tree.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <tuple>
#include <unordered_map>

#include "params/reading/json_scan.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

/// Walks the text token by token beside the parser, which tells no positions itself.
class Cursor {
 public:
  /// `inserted`: offsets of bytes that the file does not have, rising.
  explicit Cursor(std::string_view text, const std::vector<std::size_t>& inserted = {})
      : text_(text), inserted_(inserted) {}

  std::size_t offset() const { return offset_; }

  /// Goes to the start of the next token.
  TextPlace toToken() {
    while (offset_ < text_.size() &&
           std::string_view(" \t\r\n,:").find(text_[offset_]) != std::string_view::npos) {
      step();
    }
    return place();
  }

  void overBytes(std::size_t count) {
    for (std::size_t i = 0; i < count && offset_ < text_.size(); ++i) {
      step();
    }
  }

  void overString() {
    step();
    while (offset_ < text_.size() && text_[offset_] != '"') {
      overBytes(text_[offset_] == '\\' ? 2 : 1);
    }
    overBytes(1);
  }

  /// Over a number, true, false or null; returns it.
  std::string_view overWord() {
    const std::string_view rest = text_.substr(offset_);
    const std::size_t number = numberLength(rest);
    const std::size_t literal = rest.starts_with("false") ? 5 : 4;
    const std::string_view word = rest.substr(0, number > 0 ? number : literal);
    overBytes(word.size());
    return word;
  }

  TextPlace placeAt(std::size_t offset) {
    overBytes(offset - std::min(offset, offset_));
    return place();
  }

 private:
  void step() {
    if (text_[offset_] == '\n') {
      ++line_;
      line_start_ = offset_ + 1;
    }
    ++offset_;
  }
  TextPlace place() const {
    const auto ours = std::count_if(inserted_.begin(), inserted_.end(), [this](std::size_t one) {
      return one >= line_start_ && one < offset_;
    });
    return {line_, static_cast<int>(offset_ - line_start_ - static_cast<std::size_t>(ours)) + 1};
  }

  std::string_view text_;
  std::vector<std::size_t> inserted_;
  std::size_t offset_ = 0;
  std::size_t line_start_ = 0;
  int line_ = 1;
};

/// A text with what was done to it to go on after its syntax errors.
struct MendedText {
  std::string text;
  std::vector<std::size_t> inserted;  ///< offsets of bytes that the file does not have
  std::set<std::size_t> unread;       ///< offsets of values that could not be read

  void mend(const std::vector<Mending>& mendings) {
    std::size_t shift = 0;
    for (const Mending& one : mendings) {
      const std::size_t at = one.offset + shift;
      if (one.count > 0) {
        std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), one.count, ' ');
        text[at] = one.unread ? '0' : one.put != 0 ? one.put : ' ';
      } else {
        text.insert(at, 1, one.put);
        inserted.push_back(at);
        ++shift;
      }
      if (one.unread) {
        unread.insert(at);
      }
    }
  }
};

/// Receives the parser's events and builds the tree.
class TreeBuilder : public nlohmann::json_sax<nlohmann::json> {
 public:
  TreeBuilder(const MendedText& text, const FiniteText& finite, std::string_view source)
      : cursor_(finite.text, text.inserted),
        finite_(finite),
        unread_(text.unread),
        source_(source) {}

  bool null() override { return addWord(JsonKind::kNull, 0); }
  bool boolean(bool value) override { return addWord(JsonKind::kBool, value ? 1 : 0); }
  bool number_integer(number_integer_t value) override {
    return addWord(JsonKind::kNumber, static_cast<double>(value));
  }
  bool number_unsigned(number_unsigned_t value) override {
    return addWord(JsonKind::kNumber, static_cast<double>(value));
  }
  bool number_float(number_float_t value, const string_t&) override {
    return addWord(JsonKind::kNumber, value);
  }
  bool binary(binary_t&) override { return false; }  // not in JSON text
  bool string(string_t& value) override {
    JsonNode node;
    node.kind = JsonKind::kText;
    node.place = cursor_.toToken();
    node.text = value;
    cursor_.overString();
    add(std::move(node));
    return true;
  }
  bool key(string_t& name) override {
    Level& level = levels_.back();
    level.key_place = cursor_.toToken();
    level.key = name;
    cursor_.overString();
    expecting_ = Expecting::kColon;
    const auto [first, is_new] = level.keys.emplace(name, level.key_place.line);
    level.skip = !is_new;
    if (!is_new) {
      problems_.push_back({source_, level.key_place.line, level.key_place.column,
                           childPointer(path(), name),
                           "the key " + inQuotes(name) + " is given twice", "",
                           "it stands on line " + std::to_string(first->second) + " already"});
    }
    return true;
  }
  bool start_object(std::size_t) override { return open(JsonKind::kObject); }
  bool start_array(std::size_t) override { return open(JsonKind::kArray); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override {
    return false;
  }

  /// Leaves out a number or literal that the fault follows without a gap: it may be only the
  /// beginning of what was meant.
  void dropCutWord(std::string_view text) {
    const std::size_t next = cursor_.offset();
    const bool ends_there = next < text.size() && std::string_view(" \t\r\n,]}").find(text[next]) !=
                                                      std::string_view::npos;
    if (last_is_word_ && expecting_ == Expecting::kCommaOrEnd && !ends_there) {
      levels_.back().node.children.pop_back();
    }
  }

  /// Closes the objects still open, so that what was read can be examined. A list that was broken
  /// off is left out: its length would be wrong.
  void closeAll() {
    while (!levels_.empty()) {
      if (levels_.back().node.kind == JsonKind::kArray) {
        levels_.pop_back();
      } else {
        leave();
      }
    }
  }

  SyntaxState state() const {
    return {cursor_.offset(), expecting_,
            !levels_.empty() && levels_.back().node.kind == JsonKind::kObject,
            static_cast<int>(levels_.size())};
  }
  bool tooDeep() const { return too_deep_; }
  Cursor& cursor() { return cursor_; }
  JsonNode& root() { return root_; }
  std::vector<Diagnostic>& problems() { return problems_; }

 private:
  struct Level {
    JsonNode node;
    std::string key;
    TextPlace key_place;
    bool skip = false;  ///< the key was a repetition: its value is left out
    std::unordered_map<std::string, int> keys;
  };

  std::string path() const {
    std::string out;
    for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
      const Level& level = levels_[i];
      out = childPointer(out, level.node.kind == JsonKind::kObject
                                  ? level.key
                                  : std::to_string(level.node.children.size()));
    }
    return out;
  }

  bool addWord(JsonKind kind, double value) {
    JsonNode node;
    node.place = cursor_.toToken();
    const auto literal = finite_.literals.find(cursor_.offset());
    node.kind = literal == finite_.literals.end() ? kind : JsonKind::kNonFinite;
    node.kind = unread_.contains(cursor_.offset()) ? JsonKind::kUnread : node.kind;
    node.flag = kind == JsonKind::kBool && value != 0;
    node.number = value;
    node.text = cursor_.overWord();
    if (node.kind == JsonKind::kNonFinite) {
      node.text = literal->second;
    }
    last_is_word_ = add(std::move(node));
    return true;
  }

  bool open(JsonKind kind) {
    const TextPlace place = cursor_.toToken();
    if (levels_.size() == kMaxNesting) {
      too_deep_ = true;
      problems_.push_back(
          {source_, place.line, place.column, "",
           "objects and lists are nested deeper than " + std::to_string(kMaxNesting) + " levels",
           "", "a gate file needs 4"});
      return false;
    }
    cursor_.overBytes(1);
    Level level;
    level.node.kind = kind;
    level.node.place = place;
    levels_.push_back(std::move(level));
    expecting_ = kind == JsonKind::kObject ? Expecting::kKeyOrEnd : Expecting::kItemOrEnd;
    return true;
  }

  bool close() {
    cursor_.toToken();
    cursor_.overBytes(1);
    leave();
    return true;
  }

  void leave() {
    JsonNode node = std::move(levels_.back().node);
    levels_.pop_back();
    add(std::move(node));
  }

  /// Into the innermost open object or list; false if it went nowhere or became the root.
  bool add(JsonNode node) {
    last_is_word_ = false;
    if (levels_.empty()) {
      root_ = std::move(node);
      expecting_ = Expecting::kNothing;
      return false;
    }
    Level& level = levels_.back();
    expecting_ = Expecting::kCommaOrEnd;
    if (level.node.kind == JsonKind::kObject) {
      if (std::exchange(level.skip, false)) {
        return false;
      }
      node.key = level.key;
      node.key_place = level.key_place;
    }
    level.node.children.push_back(std::move(node));
    return true;
  }

  Cursor cursor_;
  const FiniteText& finite_;
  const std::set<std::size_t>& unread_;
  std::string source_;
  std::vector<Level> levels_;
  JsonNode root_;
  Expecting expecting_ = Expecting::kDocument;
  bool last_is_word_ = false;  ///< the last value added is a number or literal
  bool too_deep_ = false;
  std::vector<Diagnostic> problems_;
};

JsonText brokenOff(const Diagnostic& problem) {
  JsonText out;
  out.root.kind = JsonKind::kObject;
  out.problems.push_back(problem);
  return out;
}

Diagnostic problemAt(std::string_view text, std::string_view source, const TextFault& fault,
                     const std::vector<std::size_t>& inserted = {}) {
  const TextPlace place = Cursor(text, inserted).placeAt(fault.offset);
  return {std::string(source), place.line, place.column, "", fault.message, "", fault.suggestion};
}

bool isBlank(std::string_view text) {
  return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

/// Behind a fault at the very end there is nothing to go on to.
bool canGoOn(std::string_view text, const TextFault& fault) {
  return !fault.mendings.empty() &&
         !isBlank(text.substr(
             std::min(text.size(), fault.mendings.back().offset + fault.mendings.back().count)));
}

}  // namespace

const JsonNode* JsonNode::member(std::string_view name) const {
  if (kind != JsonKind::kObject) {
    return nullptr;
  }
  for (const JsonNode& child : children) {
    if (child.key == name) {
      return &child;
    }
  }
  return nullptr;
}

JsonNode* JsonNode::member(std::string_view name) {
  return const_cast<JsonNode*>(std::as_const(*this).member(name));
}

JsonText parseJson(std::string_view text, std::string_view source_name) {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  const std::string source(source_name);
  if (const auto fault = findEncodingFault(text)) {
    return brokenOff(problemAt(text, source, *fault));
  }
  JsonText out;
  if (text.starts_with(kByteOrderMark)) {
    text.remove_prefix(kByteOrderMark.size());
  }
  const PlainText plain = withoutComments(text);
  if (plain.fault) {
    return brokenOff(problemAt(text, source, *plain.fault));
  }
  if (isBlank(plain.text)) {
    return brokenOff({source, 1, 1, "", "the file is empty", "",
                      "\"leafstack new\" prints a gate to start from"});
  }
  MendedText mended{plain.text, {}, {}};
  std::vector<Diagnostic> faults;
  while (true) {
    const FiniteText finite = replaceNonFinite(mended.text);
    TreeBuilder builder(mended, finite, source);
    const bool is_whole = nlohmann::json::sax_parse(finite.text, &builder);
    bool goes_on = false;
    if (!is_whole && !builder.tooDeep()) {
      const TextFault fault = describeSyntaxError(mended.text, builder.state());
      const Diagnostic problem = problemAt(mended.text, source, fault, mended.inserted);
      const bool is_old = !faults.empty() && std::tie(faults.back().line, faults.back().column) ==
                                                 std::tie(problem.line, problem.column);
      if (!is_old) {
        faults.push_back(problem);
      }
      goes_on = !is_old && canGoOn(mended.text, fault) && faults.size() < kMostSyntaxErrors;
      if (goes_on) {
        mended.mend(fault.mendings);
      }
    }
    if (goes_on) {
      continue;
    }
    if (!is_whole) {
      builder.dropCutWord(mended.text);
      builder.closeAll();
    }
    out.complete = is_whole && faults.empty();
    out.problems = builder.problems();
    out.problems.insert(out.problems.end(), faults.begin(), faults.end());
    out.root = std::move(builder.root());
    return out;
  }
}

JsonText parseJsonUpTo(std::size_t most, std::string_view text, std::string_view source_name,
                       std::string_view what) {
  if (text.size() <= most) {
    return parseJson(text, source_name);
  }
  const std::string limit = std::to_string(most);
  return brokenOff(
      {std::string(source_name), 0, 0, "",
       "the file has more than " + limit + " bytes, far more than " + std::string(what) + " needs",
       "up to " + limit + " bytes", ""});
}

std::string childPointer(std::string_view parent, std::string_view key) {
  std::string out(parent);
  out += '/';
  for (char c : key) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}

TextPlace placeOf(const JsonNode& root, std::string_view pointer) {
  const auto childAt = [](const JsonNode& node, std::string_view step) -> const JsonNode* {
    for (std::size_t i = 0; i < node.children.size(); ++i) {
      const JsonNode& child = node.children[i];
      const bool is_it = node.kind == JsonKind::kArray
                             ? std::to_string(i) == step
                             : childPointer("", child.key).substr(1) == step;
      if (is_it) {
        return &child;
      }
    }
    return nullptr;
  };
  const JsonNode* node = &root;
  while (node != nullptr && !pointer.empty()) {
    const std::size_t end = std::min(pointer.find('/', 1), pointer.size());
    node = childAt(*node, pointer.substr(1, end - 1));
    pointer.remove_prefix(end);
  }
  return node == nullptr || node->from_override ? TextPlace{} : node->place;
}

std::string describe(const JsonNode& node) {
  switch (node.kind) {
    case JsonKind::kNull:
      return "null";
    case JsonKind::kBool:
      return node.flag ? "true" : "false";
    case JsonKind::kNumber:
    case JsonKind::kNonFinite:
      return oneLine(node.text);
    case JsonKind::kText:
      return inQuotes(node.text);
    case JsonKind::kArray:
      return "a list";
    case JsonKind::kObject:
      return "an object";
    case JsonKind::kUnread:
      return "what could not be read";
  }
  return {};
}

}  // namespace leafstack
