#include "params/reading/json_scan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <locale>
#include <sstream>

#include "params/reading/characters.h"

namespace leafstack {
namespace {

std::string hexByte(unsigned byte) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  return {'0', 'x', kHex[byte >> 4U], kHex[byte & 0xFU]};
}

std::size_t digitsFrom(std::string_view text, std::size_t i) {
  std::size_t count = 0;
  while (i + count < text.size() && isDigit(text[i + count])) {
    ++count;
  }
  return count;
}

bool isNonFinite(std::string_view token) {
  std::string word;
  for (char c : token.substr(token.starts_with('-') || token.starts_with('+') ? 1 : 0)) {
    word += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  if (word == "nan" || word == "inf" || word == "infinity") {
    return true;
  }
  if (numberLength(token) != token.size()) {
    return false;
  }
  // Not strtod, which obeys a locale that the caller may have set.
  std::istringstream stream{std::string(token)};
  stream.imbue(std::locale::classic());
  double value = 0;
  stream >> value;  // too large: fails, and leaves the largest double
  return stream.fail() && std::abs(value) == std::numeric_limits<double>::max();
}

/// Offset past the closing quote of the string that opens at `start`, or the text's end.
std::size_t skipString(std::string_view text, std::size_t start) {
  std::size_t i = start + 1;
  while (i < text.size() && text[i] != '"') {
    i += text[i] == '\\' ? 2 : 1;
  }
  return std::min(i + 1, text.size());
}

}  // namespace

std::size_t numberLength(std::string_view text) {
  const auto is = [&](std::size_t i, std::string_view any) {
    return i < text.size() && any.find(text[i]) != std::string_view::npos;
  };
  std::size_t i = is(0, "-") ? 1 : 0;
  const std::size_t whole = is(i, "0") ? 1 : digitsFrom(text, i);
  if (whole == 0) {
    return 0;
  }
  i += whole;
  if (is(i, ".") && digitsFrom(text, i + 1) > 0) {
    i += 1 + digitsFrom(text, i + 1);
  }
  if (is(i, "eE")) {
    const std::size_t exponent = is(i + 1, "+-") ? i + 2 : i + 1;
    i = digitsFrom(text, exponent) > 0 ? exponent + digitsFrom(text, exponent) : i;
  }
  return i;
}

std::optional<TextFault> findEncodingFault(std::string_view text) {
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
    return TextFault{0, "the file is UTF-16 text, not UTF-8", "save it as UTF-8"};
  }
  const std::size_t malformed = malformedUtf8(text);
  const std::size_t nul = text.find('\0');
  if (nul < malformed) {
    return TextFault{nul, "the file contains a NUL byte, so it is not a text file", ""};
  }
  if (malformed != std::string_view::npos) {
    return TextFault{
        malformed,
        "byte " + hexByte(static_cast<unsigned char>(text[malformed])) + " is not valid UTF-8",
        "save the file as UTF-8"};
  }
  return std::nullopt;
}

PlainText withoutComments(std::string_view text) {
  PlainText out{std::string(text), std::nullopt};
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '"') {
      i = std::min(skipString(text, i), text.find('\n', i));  // an open one ends with its line
    } else if (text[i] == '/' && text.substr(i).starts_with("//")) {
      for (; i < text.size() && text[i] != '\n'; ++i) {
        out.text[i] = ' ';
      }
    } else if (text[i] == '/' && text.substr(i).starts_with("/*")) {
      const std::size_t end = text.find("*/", i + 2);
      if (end == std::string_view::npos) {
        out.fault = TextFault{i, "the comment that starts here has no end", "close it with */"};
        return out;
      }
      for (; i < end + 2; ++i) {
        out.text[i] = text[i] == '\n' ? '\n' : ' ';
      }
    } else {
      ++i;
    }
  }
  return out;
}

FiniteText replaceNonFinite(std::string_view text) {
  FiniteText out{std::string(text), {}};
  std::size_t i = 0;
  while (i < text.size()) {
    if (text[i] == '"') {
      i = skipString(text, i);
      continue;
    }
    if (!isWordByte(text[i])) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < text.size() && isWordByte(text[end])) {
      ++end;
    }
    const std::string_view token = text.substr(i, end - i);
    if (isNonFinite(token)) {
      out.literals.emplace(i, token);
      std::fill(out.text.begin() + static_cast<std::ptrdiff_t>(i),
                out.text.begin() + static_cast<std::ptrdiff_t>(end), ' ');
      out.text[i] = '0';
    }
    i = end;
  }
  return out;
}

}  // namespace leafstack
