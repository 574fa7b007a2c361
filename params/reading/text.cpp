#include "params/reading/text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include "params/reading/characters.h"

namespace leafstack {
namespace {

// Longer values would bury the message; a real value is shorter.
constexpr std::size_t kShownBytes = 60;
// No key is nearly this long, so a longer one is not a slip of the pen.
constexpr std::size_t kLongestKey = 40;
// Whole numbers up to here are exact as double.
constexpr double kExactWhole = 1e15;

std::string shortened(std::string_view text) {
  if (text.size() <= kShownBytes) {
    return std::string(text);
  }
  std::string_view start = text.substr(0, kShownBytes);
  const std::size_t malformed = malformedUtf8(start);
  constexpr std::size_t kLongestCharacter = 4;
  if (malformed != std::string_view::npos && start.size() - malformed < kLongestCharacter) {
    start = start.substr(0, malformed);  // cut in the midst of a character
  }
  return std::string(start) + "...";
}

bool isNoText(char32_t code) {
  return isControlling(code) || isNoncharacter(code);
}

/// "\x1b", "\u202e", "\U0001ffff": as many digits as the kind has.
std::string hexEscape(char kind, char32_t code, int digits) {
  constexpr std::string_view kHex = "0123456789abcdef";
  std::string out = {'\\', kind};
  for (int shift = 4 * (digits - 1); shift >= 0; shift -= 4) {
    out += kHex[(code >> static_cast<unsigned>(shift)) & 0xFU];
  }
  return out;
}

std::string escapeOf(char32_t code) {
  switch (code) {
    case '\n':
      return "\\n";
    case '\t':
      return "\\t";
    default:
      return code < 0x80      ? hexEscape('x', code, 2)
             : code < 0x10000 ? hexEscape('u', code, 4)
                              : hexEscape('U', code, 8);
  }
}

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// Lower case without separators: "heightMm", "Height-MM" and "height_mm" agree.
std::string bare(std::string_view name) {
  std::string out;
  for (char c : name) {
    if (c != '_' && c != '-' && c != ' ') {
      out += lower(c);
    }
  }
  return out;
}

/// `name` without the unit at its end, in bare form.
std::string unitless(std::string_view name) {
  constexpr std::array<std::string_view, 18> kUnits = {
      "_n_mm2", "_kg_m3", "_mm_s2", "_m_s2", "_mm_s", "_m_s", "_mm",  "_cm", "_m",
      "_in",    "_ft",    "_kg",    "_pa",   "_kpa",  "_n",   "_deg", "_w",  "_kw"};
  std::string low;
  for (char c : name) {
    low += c == '-' || c == ' ' ? '_' : lower(c);
  }
  for (std::string_view unit : kUnits) {
    if (low.size() > unit.size() && low.ends_with(unit)) {
      return bare(std::string_view(low).substr(0, low.size() - unit.size()));
    }
  }
  return bare(low);
}

int distanceBetweenNames(std::string_view name, std::string_view candidate) {
  if (bare(name) == bare(candidate)) {
    return 0;
  }
  const std::string name_core = unitless(name);
  const std::string candidate_core = unitless(candidate);
  if (name_core == candidate_core) {
    return 1;
  }
  return std::min(editDistance(bare(name), bare(candidate)),
                  1 + editDistance(name_core, candidate_core));
}

}  // namespace

std::optional<char32_t> firstNoText(std::string_view text) {
  const std::u32string codes = codePoints(text, U'?');
  const auto found = std::find_if(codes.begin(), codes.end(), isNoText);
  return found == codes.end() ? std::nullopt : std::optional(*found);
}

std::string nameOfNoText(char32_t code) {
  if (isNoncharacter(code)) {
    return "a code point that Unicode keeps from being text";
  }
  if (code < 0xA0) {
    return "a control character";
  }
  std::string digits = hexEscape('u', code, 4).substr(2);
  std::transform(digits.begin(), digits.end(), digits.begin(),
                 [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; });
  return "U+" + digits + ", which breaks the line or turns the direction of the text around it";
}

std::string escaped(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t whole = std::min(malformedUtf8(text), text.size());
    for (const char32_t code : codePoints(text.substr(0, whole), U'?')) {
      if (isNoText(code)) {
        out += escapeOf(code);
      } else {
        appendUtf8(out, code);
      }
    }
    text.remove_prefix(whole);
    if (!text.empty()) {
      out += hexEscape('x', static_cast<unsigned char>(text.front()), 2);
      text.remove_prefix(1);
    }
  }
  return out;
}

std::string formatNumber(double value) {
  if (value == 0) {
    return "0";  // also for -0
  }
  std::array<char, 64> buffer{};
  const bool whole = std::abs(value) < kExactWhole && value == std::floor(value);
  char* const end = buffer.data() + buffer.size();
  const auto done = whole ? std::to_chars(buffer.data(), end, value, std::chars_format::fixed)
                          : std::to_chars(buffer.data(), end, value);
  return {buffer.data(), done.ptr};
}

std::string formatFigure(double value) {
  constexpr double kPerUnit = 1e6;
  constexpr double kMost = 1e9;  // beyond, a millionth is below the number's own rounding
  return formatNumber(std::abs(value) < kMost ? std::round(value * kPerUnit) / kPerUnit : value);
}

std::string oneLine(std::string_view text) {
  return escaped(shortened(text));
}

std::string inQuotes(std::string_view text) {
  std::string marked;
  for (const char c : shortened(text)) {
    if (c == '"' || c == '\\') {
      marked += '\\';
    }
    marked += c;
  }
  return '"' + escaped(marked) + '"';
}

int editDistance(std::string_view a, std::string_view b) {
  // Rows of the cost table: the one before last, the last, and the one being filled.
  std::vector<int> before(b.size() + 1);
  std::vector<int> last(b.size() + 1);
  std::vector<int> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) {
    row[j] = static_cast<int>(j);
  }
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before, last);
    std::swap(last, row);
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replace});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
  }
  return row[b.size()];
}

std::string nameCore(std::string_view name) {
  return unitless(name);
}

std::string nearestName(std::string_view name, std::span<const std::string> candidates) {
  if (name.empty() || name.size() > kLongestKey) {
    return {};
  }
  std::string best;
  // A third of the letters may be wrong; more, and the guess helps nobody.
  int best_distance = std::max(1, static_cast<int>(bare(name).size()) / 3) + 1;
  for (const std::string& candidate : candidates) {
    const int distance = distanceBetweenNames(name, candidate);
    if (distance < best_distance) {
      best_distance = distance;
      best = candidate;
    }
  }
  return best;
}

std::string joined(std::span<const std::string> items, std::string_view last_word) {
  std::string out;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0 && i + 1 == items.size()) {
      out.append(" ").append(last_word).append(" ");
    } else if (i > 0) {
      out += ", ";
    }
    out += items[i];
  }
  return out;
}

}  // namespace leafstack
