// Plain words for syntax errors (declared in json_scan.h).
#include "params/reading/characters.h"
#include "params/reading/json_scan.h"
#include "params/reading/text.h"

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

/// What is wrong with the string that opens at `start`.
TextFault stringFault(std::string_view text, std::size_t start) {
  for (std::size_t i = start + 1; i < text.size() && text[i] != '"'; ++i) {
    if (static_cast<unsigned char>(text[i]) < 0x20) {
      if (text[i] == '\n' || text[i] == '\r') {
        return {start, "the text that starts here has no closing quote on its line", ""};
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

TextFault wordFault(std::string_view text, std::size_t i) {
  const std::string_view word = tokenAt(text, i);
  const std::string message = found(text, i) + " is not a JSON value";
  if (word == "True" || word == "TRUE" || word == "yes" || word == "on") {
    return {i, message, "write true"};
  }
  if (word == "False" || word == "FALSE" || word == "no" || word == "off") {
    return {i, message, "write false"};
  }
  return {i, message, "put texts in double quotes"};
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
    return {i, found(text, i) + " is not a JSON number",
            "write digits with a decimal point, such as 1800 or 0.5"};
  }
  if (c == ',' || c == '}' || c == ']') {
    return {i, std::string("a value is missing before ") + inQuotes(std::string_view(&c, 1)), ""};
  }
  if (c == '\'') {
    return {i, "texts stand in double quotes, not single ones", ""};
  }
  if (c == '/' || c == '#') {
    return {i, "JSON has no comments", "remove it"};
  }
  if (isLetter(c)) {
    return wordFault(text, i);
  }
  return {i, found(text, i) + " is not a JSON value", ""};
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
    return {i, "JSON has no comments", "remove it"};
  }
  return {i, "expected a key in double quotes, found " + found(text, i), ""};
}

TextFault commaFault(std::string_view text, std::size_t i, const SyntaxState& state) {
  const char closing = state.in_object ? '}' : ']';
  if (i >= text.size()) {
    return endsTooEarly(text, state);
  }
  if (i == state.offset && i > 0 && isWordByte(text[i - 1]) && isWordByte(text[i])) {
    return valueFault(text, wordStart(text, i), state);  // 06000, 0x10: the word goes on
  }
  if (text[i] != ',') {
    if (text[i] == '/' || text[i] == '#') {
      return {i, "JSON has no comments", "remove it"};
    }
    return {i, "expected \",\" or \"" + std::string(1, closing) + "\", found " + found(text, i),
            "is a comma missing?"};
  }
  const std::size_t next = skipSpace(text, i + 1);
  if (next < text.size() && text[next] == closing) {
    return {i, "the comma before \"" + std::string(1, closing) + "\" is one too many",
            "remove the comma"};
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
        return {i, "expected \":\" after the key, found " + found(text, i), ""};
      }
      return valueFault(text, skipSpace(text, i + 1), state);
    case Expecting::kCommaOrEnd:
      return commaFault(text, i, state);
    case Expecting::kNothing:
      return {i, "the gate ends before this: found " + found(text, i) + " after it",
              "remove what follows the last }"};
  }
  return {i, "not valid JSON", ""};
}

}  // namespace leafstack
