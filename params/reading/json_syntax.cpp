// Plain words for syntax errors (declared in json_scan.h).
#include "params/reading/characters.h"
#include "params/reading/json_scan.h"
#include "params/reading/text.h"
#include "params/reading/units.h"

namespace leafstack {
namespace {

bool isSpace(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

std::size_t wordStart(std::string_view text, std::size_t i) {
  while (i > 0 && isWordByte(text[i - 1])) {
    --i;
  }
  return i;
}

std::size_t skipSpace(std::string_view text, std::size_t i) {
  while (i < text.size() && isSpace(text[i])) {
    ++i;
  }
  return i;
}

/// The run of bytes at `i` up to white space or punctuation.
std::string_view tokenAt(std::string_view text, std::size_t i) {
  std::size_t end = i;
  while (end < text.size() && !isSpace(text[end]) &&
         std::string_view(",:{}[]\"").find(text[end]) == std::string_view::npos) {
    ++end;
  }
  return text.substr(i, end == i && i < text.size() ? 1 : end - i);
}

std::string found(std::string_view text, std::size_t i) {
  if (text[i] == '"') {
    return inQuotes(text.substr(i + 1, text.find('"', i + 1) - i - 1));
  }
  return inQuotes(tokenAt(text, i));
}

TextFault endsTooEarly(std::string_view text, const SyntaxState& state) {
  const int open = state.open_brackets;
  const std::string which = state.in_object ? "}" : "]";
  if (open == 0) {
    return {text.size(), "the file ends where a value should follow", ""};
  }
  return {text.size(),
          "the file ends too early: " + std::to_string(open) +
              (open == 1 ? " bracket is" : " brackets are") + " still open",
          "is the end of the file missing? The next to close is " + which};
}

/// The unsigned value of four hex digits at `i`, or -1.
int hexQuad(std::string_view text, std::size_t i) {
  int value = 0;
  for (std::size_t k = i; k < i + 4; ++k) {
    const char c = k < text.size() ? text[k] : '?';
    const char low = static_cast<char>(c | 0x20);
    if (isDigit(c)) {
      value = value * 16 + (c - '0');
    } else if (low >= 'a' && low <= 'f') {
      value = value * 16 + (low - 'a' + 10);
    } else {
      return -1;
    }
  }
  return value;
}

/// A key in quotes with its colon stands at `i`.
bool isKeyAt(std::string_view text, std::size_t i) {
  std::size_t end = i + 1;
  while (end < text.size() && isWordByte(text[end])) {
    ++end;
  }
  const std::size_t colon = skipSpace(text, end + 1);
  return text[i] == '"' && end > i + 1 && end < text.size() && text[end] == '"' &&
         colon < text.size() && text[colon] == ':';
}

/// Where what should be a value at `i` ends: before a comma, a bracket, the next key, or its line's
/// end.
std::size_t valueEnd(std::string_view text, std::size_t i) {
  std::size_t end = i;
  while (end < text.size() &&
         std::string_view(",{}[]\n").find(text[end]) == std::string_view::npos &&
         !(end > i && isKeyAt(text, end))) {
    ++end;
  }
  while (end > i + 1 && isSpace(text[end - 1])) {
    --end;
  }
  return std::max(end, std::min(i + 1, text.size()));
}

/// The value at `i` counts as one that could not be read.
std::vector<Mending> leftOut(std::string_view text, std::size_t i) {
  return {{i, valueEnd(text, i) - i, true, 0}};
}

/// A text whose line ends before it does: to the line's end, less the comma that may close it.
TextFault openText(std::string_view text, std::size_t start) {
  std::size_t end = std::min(text.find_first_of("\r\n", start), text.size());
  while (end > start + 1 && (isSpace(text[end - 1]) || text[end - 1] == ',')) {
    --end;
  }
  TextFault fault{start, "the text that starts here has no closing quote on its line", "", {}};
  const std::size_t next = skipSpace(text, std::min(text.find('\n', start), text.size()));
  if (next < text.size() && std::string_view("\"}]").find(text[next]) != std::string_view::npos) {
    fault.mendings = {{start, end - start, true, 0}};  // else the text itself may go on there
  }
  return fault;
}

/// What is wrong with the string that opens at `start`.
TextFault stringFault(std::string_view text, std::size_t start) {
  for (std::size_t i = start + 1; i < text.size() && text[i] != '"'; ++i) {
    if (static_cast<unsigned char>(text[i]) < 0x20) {
      if (text[i] == '\n' || text[i] == '\r') {
        return openText(text, start);
      }
      return {i, "a control character in a text must be written as an escape, such as \\t", ""};
    }
    if (text[i] != '\\') {
      continue;
    }
    const char kind = i + 1 < text.size() ? text[i + 1] : ' ';
    if (kind == 'u') {
      const int code = hexQuad(text, i + 2);
      if (code < 0) {
        return {i, "\\u must be followed by four hexadecimal digits", ""};
      }
      if (code >= 0xD800 && code <= 0xDFFF) {
        const int next = text.substr(i + 6).starts_with("\\u") ? hexQuad(text, i + 8) : -1;
        if (code >= 0xDC00 || next < 0xDC00 || next > 0xDFFF) {
          return {i, "this \\u escape is half of a surrogate pair", "write the character itself"};
        }
        i += 6;
      }
      i += 4;
    } else if (std::string_view("\"\\/bfnrt").find(kind) == std::string_view::npos) {
      return {i, inQuotes(text.substr(i, 2)) + " is not an escape that JSON knows",
              "write a backslash as \\\\"};
    }
    ++i;
  }
  return {start, "the text that starts here has no closing quote", ""};
}

/// "5.6 m" without its quotes; empty where the words there are no length and no grade.
std::string quotedWithUnit(std::string_view words) {
  if (!typedLength_mm(words).value && !typedGrade(words).value) {
    return "";
  }
  std::string out = "\"";
  for (const char c : words) {
    out += c == '"' ? "\\\"" : std::string(1, c);
  }
  return out + '"';
}

TextFault wordFault(std::string_view text, std::size_t i) {
  const std::string_view word = tokenAt(text, i);
  TextFault fault{i, found(text, i) + " is not a JSON value", "put texts in double quotes",
                  leftOut(text, i)};
  if (const std::string flag = plainFlag(word); !flag.empty()) {
    fault.suggestion = "write " + flag;
  }
  return fault;
}

/// A number that goes on as none does: a comma for a point, a unit, a leading zero.
TextFault numberFault(std::string_view text, std::size_t i) {
  const std::string_view words = text.substr(i, valueEnd(text, i) - i);
  const std::string quoted = quotedWithUnit(words);
  if (!quoted.empty()) {
    return {i, oneLine(words) + " has a unit, so it is a text", "write it as " + quoted,
            leftOut(text, i)};
  }
  const TypedValue length = typedLength_mm(words);
  if (words.find('\'') != std::string_view::npos && !length.suggestion.empty()) {
    return {i, oneLine(words) + ' ' + length.fault, length.suggestion, leftOut(text, i)};
  }
  return {i, found(text, i) + " is not a JSON number",
          "write digits with a decimal point, such as 1800 or 0.5", leftOut(text, i)};
}

/// "1,5" where a key should follow the comma.
TextFault commaInNumber(std::string_view text, std::size_t comma) {
  const std::size_t start = wordStart(text, comma);
  const std::size_t end = valueEnd(text, comma + 1);
  const std::string whole(text.substr(start, comma - start));
  const std::string rest(text.substr(comma + 1, end - comma - 1));
  const std::string both = oneLine(whole + ',' + rest);
  std::string advice = "write " + oneLine(whole + '.' + rest);
  if (const std::size_t point = whole.find('.'); point != std::string::npos) {
    std::string bare_whole = whole;
    return {start,
            both + " has a point and a comma, and can be read in two ways",
            "write " + oneLine(bare_whole.erase(point, 1) + '.' + rest) + " or " +
                oneLine(whole + rest) + ", whichever is meant",
            {{start, end - start, true, 0}}};
  }
  if (rest.size() == 3 && rest.find_first_not_of("0123456789") == std::string::npos) {
    advice += " or " + whole + rest + ", whichever is meant";
  } else if (const std::string quoted = quotedWithUnit(whole + ',' + rest); !quoted.empty()) {
    advice = "write it as " + quoted;
  }
  return {start,
          both + " is not a JSON number: decimals take a point, thousands nothing",
          advice,
          {{start, end - start, true, 0}}};
}

/// Text in single quotes: where those are all that is wrong, the text itself can be read.
TextFault singleQuoted(std::string_view text, std::size_t i, const std::string& message) {
  const std::size_t close = text.find_first_of("'\"\\\n", i + 1);
  TextFault fault{i, message, "", {}};
  if (close != std::string_view::npos && text[close] == '\'') {
    fault.mendings = {{i, 1, false, '"'}, {close, 1, false, '"'}};
  }
  return fault;
}

/// "#", or a single "/": up to the line's end.
TextFault notAComment(std::string_view text, std::size_t i) {
  const std::size_t end = std::min(text.find('\n', i), text.size());
  return {i, "comments begin with // or stand between /* and */", "", {{i, end - i, false, 0}}};
}

constexpr std::size_t kQuoteBytes = 3;

/// U+2018 to U+201F: quotes as word processors set them.
bool isTypographicQuote(std::string_view text, std::size_t i) {
  return text.size() - i >= kQuoteBytes && text.substr(i).starts_with("\xE2\x80") &&
         static_cast<unsigned char>(text[i + 2]) >= 0x98 &&
         static_cast<unsigned char>(text[i + 2]) <= 0x9F;
}

/// All from `i` on that stand outside of straight quotes become straight ones.
TextFault typographicQuotes(std::string_view text, std::size_t i) {
  TextFault fault{i,
                  "typographic quotes stand here, as word processors set them",
                  "write straight ones (\") in the whole file, with a plain text editor",
                  {}};
  bool in_text = false, opens = true;
  for (; i < text.size(); ++i) {
    if (!opens || !in_text) {
      in_text = in_text != (text[i] == '"');
    }
    if (in_text || !isTypographicQuote(text, i)) {
      continue;
    }
    if (opens) {  // no blanks come into the text
      fault.mendings.push_back({i, kQuoteBytes - 1, false, 0});
      fault.mendings.push_back({i + kQuoteBytes - 1, 1, false, '"'});
    } else {
      fault.mendings.push_back({i, kQuoteBytes, false, '"'});
    }
    opens = !opens;
    i += kQuoteBytes - 1;
  }
  return fault;
}

/// ["motor": "standard"]: the list's brackets become braces.
TextFault keyInList(std::string_view text, std::size_t colon) {
  TextFault fault{colon, "a list in [ ] holds no keys", "write braces, { and }, around keys", {}};
  std::vector<std::size_t> open;
  bool in_text = false;
  std::size_t close = std::string_view::npos, inner = 0;
  for (std::size_t i = 0; i < text.size() && close == std::string_view::npos; ++i) {
    if (text[i] == '"' && (i == 0 || text[i - 1] != '\\')) {
      in_text = !in_text;
    }
    if (in_text) {
      continue;
    }
    if (text[i] == '[' || text[i] == '{') {
      i < colon ? open.push_back(i) : static_cast<void>(++inner);
    } else if (text[i] == ']' || text[i] == '}') {
      if (i < colon) {
        open.pop_back();  // before a first fault brackets match
      } else if (inner == 0) {
        close = i;
      } else {
        --inner;
      }
    }
  }
  if (close != std::string_view::npos && !open.empty()) {
    fault.offset = open.back();
    fault.mendings = {{open.back(), 1, false, '{'}, {close, 1, false, '}'}};
  }
  return fault;
}

/// What is wrong where a value should stand.
TextFault valueFault(std::string_view text, std::size_t i, const SyntaxState& state) {
  if (i >= text.size()) {
    return endsTooEarly(text, state);
  }
  const char c = text[i];
  if (c == '"') {
    return stringFault(text, i);
  }
  if (isDigit(c) || c == '-' || c == '+' || c == '.') {
    return numberFault(text, i);
  }
  if (c == ',' || c == '}' || c == ']') {
    TextFault fault{
        i, std::string("a value is missing before ") + inQuotes(std::string_view(&c, 1)), "", {}};
    if (state.in_object) {
      fault.mendings = {{i, 0, true, '0'}};
    }
    return fault;
  }
  if (c == '\'') {
    TextFault fault = singleQuoted(text, i, "texts stand in double quotes, not single ones");
    fault.mendings = fault.mendings.empty() ? leftOut(text, i) : fault.mendings;
    return fault;
  }
  if (c == '/' || c == '#') {
    return notAComment(text, i);
  }
  if (isTypographicQuote(text, i)) {
    return typographicQuotes(text, i);
  }
  if (isLetter(c)) {
    return state.expecting == Expecting::kDocument
               ? TextFault{i, "a gate file begins with {, and this begins with " + found(text, i),
                           "\"leafstack new\" prints a gate to start from"}
               : wordFault(text, i);
  }
  return {i, found(text, i) + " is not a JSON value", "", leftOut(text, i)};
}

/// What is wrong where a key should stand.
TextFault keyFault(std::string_view text, std::size_t i, const SyntaxState& state) {
  if (i >= text.size()) {
    return endsTooEarly(text, state);
  }
  if (text[i] == '"') {
    return stringFault(text, i);
  }
  if (text[i] == '/' || text[i] == '#') {
    return notAComment(text, i);
  }
  if (isTypographicQuote(text, i)) {
    return typographicQuotes(text, i);
  }
  const std::string message = "expected a key in double quotes, found " + found(text, i);
  if (text[i] == '\'') {
    return singleQuoted(text, i, message);
  }
  TextFault fault{i, message, "", {}};
  std::size_t end = i;
  while (end < text.size() && isWordByte(text[end])) {
    ++end;
  }
  const std::size_t colon = skipSpace(text, end);
  if (isLetter(text[i]) && colon < text.size() && text[colon] == ':') {
    fault.mendings = {{i, 0, false, '"'}, {end, 0, false, '"'}};
  } else if (text[i] == ',') {
    fault.mendings = {{i, 1, false, 0}};
  }
  return fault;
}

/// Offset of the number that ends at `end`; npos where none does.
std::size_t numberBefore(std::string_view text, std::size_t end) {
  const std::size_t start = wordStart(text, end);
  const bool is_number = start < end && numberLength(text.substr(start)) == end - start;
  return is_number ? start : std::string_view::npos;
}

TextFault commaFault(std::string_view text, std::size_t i, const SyntaxState& state) {
  const char closing = state.in_object ? '}' : ']';
  if (i >= text.size()) {
    return endsTooEarly(text, state);
  }
  const std::size_t number = numberBefore(text, state.offset);
  if (i == state.offset && i > 0 && isWordByte(text[i - 1]) && isWordByte(text[i])) {
    return valueFault(text, wordStart(text, i), state);  // 06000, 0x10, 5600mm: the word goes on
  }
  if (text[i] != ',') {
    const bool is_mark = i == state.offset && text[i] == '\'';
    if (number != std::string_view::npos &&
        (is_mark ||
         !quotedWithUnit(text.substr(number, valueEnd(text, number) - number)).empty())) {
      return numberFault(text, number);
    }
    if (text[i] == '/' || text[i] == '#') {
      return notAComment(text, i);
    }
    if (text[i] == ':' && !state.in_object) {
      return keyInList(text, i);
    }
    if (text[i] == '"' && i == state.offset && i > 0 && text[i - 1] == '"') {
      return {i,
              "a quote is one too many",
              "an inch mark in a text is written \\\", or as in",
              {{i, 1, false, 0}}};
    }
    TextFault fault{
        i,
        "expected \",\" or \"" + std::string(1, closing) + "\", found " + found(text, i),
        "is a comma missing?",
        {}};
    if (text[i] == '"') {
      fault.mendings = {{state.offset, 0, false, ','}};
    } else if (text[i] == ';') {
      fault.mendings = {{i, 1, false, ','}};
    }
    return fault;
  }
  const std::size_t next = skipSpace(text, i + 1);
  if (next < text.size() && text[next] == closing) {
    return {i,
            "the comma before \"" + std::string(1, closing) + "\" is one too many",
            "remove the comma",
            {{i, 1, false, 0}}};
  }
  const bool is_decimal = state.in_object && number != std::string_view::npos &&
                          i == state.offset && i + 1 < text.size() && isDigit(text[i + 1]);
  if (is_decimal) {
    return commaInNumber(text, i);
  }
  return state.in_object ? keyFault(text, next, state) : valueFault(text, next, state);
}

}  // namespace

TextFault describeSyntaxError(std::string_view text, const SyntaxState& state) {
  const std::size_t i = skipSpace(text, state.offset);
  switch (state.expecting) {
    case Expecting::kDocument:
    case Expecting::kItemOrEnd:
      return valueFault(text, i, state);
    case Expecting::kKeyOrEnd:
      return keyFault(text, i, state);
    case Expecting::kColon:
      if (i >= text.size()) {
        return endsTooEarly(text, state);
      }
      if (text[i] != ':') {
        TextFault fault{i, "expected \":\" after the key, found " + found(text, i), "", {}};
        if (text[i] == '=') {
          fault.mendings = {{i, 1, false, ':'}};
        } else if (text[i] != ',' && text[i] != '}' && text[i] != ']') {
          fault.mendings = {{state.offset, 0, false, ':'}};
        }
        return fault;
      }
      return valueFault(text, skipSpace(text, i + 1), state);
    case Expecting::kCommaOrEnd:
      return commaFault(text, i, state);
    case Expecting::kNothing:
      if (i < text.size() && text[i] == ':') {
        return {i, "a gate file begins with {: it is missing", ""};
      }
      return {i, "the gate ends before this: found " + found(text, i) + " after it",
              "remove what follows the last }"};
  }
  return {i, "not valid JSON", ""};
}

}  // namespace leafstack
