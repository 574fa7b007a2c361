#include "exporters/cad/dxf/dxf_groups.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>

#include "exporters/bytes/rounding.h"
#include "params/reading/characters.h"

namespace leafstack {

std::string dxfText(std::string_view text) {
  std::string out;
  for (const char32_t code : codePoints(text, U'?')) {
    if (code < 0x20 || code == 0x7F) {
      out += ' ';
    } else if (code < 0x7F) {
      out += static_cast<char>(code);
    } else if (code <= 0xFFFF) {
      char escape[8];
      std::snprintf(escape, sizeof escape, "\\U+%04X", static_cast<unsigned>(code));
      out += escape;
    } else {
      out += '?';
    }
  }
  return out;
}

void DxfGroups::add(int code, std::string_view value) {
  const std::string number = std::to_string(code);
  constexpr std::size_t kColumns = 3;
  text_.append(kColumns - std::min(kColumns, number.size()), ' ').append(number);
  text_ += '\n';
  text_.append(value);
  text_ += '\n';
}

void DxfGroups::real(int code, double value) {
  constexpr double kMillion = 1e6;
  constexpr int kPlaces = 6;
  // Beyond, a double has no millionths; the general way takes those, and what is not finite.
  constexpr double kAllDigitsKept = 9e9;
  if (!(std::abs(value) <= kAllDigitsKept)) {
    std::string text = fixedDecimals(roundedToMillionth(value), kPlaces);
    text.erase(text.find_last_not_of('0') + 1);
    add(code, std::string_view(text.back() == '.' ? text + "0" : text));
    return;
  }
  const long long millionths = std::llround(value * kMillion);
  char digits[32];
  char* end = std::to_chars(digits, digits + 20, std::abs(millionths) / 1000000).ptr;
  *end++ = '.';
  long long rest = std::abs(millionths) % 1000000;
  for (int i = kPlaces - 1; i >= 0; --i) {
    end[i] = static_cast<char>('0' + rest % 10);
    rest /= 10;
  }
  end += kPlaces;
  while (end[-1] == '0' && end[-2] != '.') {
    --end;
  }
  std::string text = millionths < 0 ? "-" : "";
  text.append(digits, end);
  add(code, std::string_view(text));
}

void DxfGroups::point(int code, double x, double y) {
  real(code, x);
  real(code + 10, y);
  real(code + 20, 0);
}

void DxfGroups::subclass(std::string_view name) {
  if (isR2000()) {
    add(100, name);
  }
}

std::string DxfGroups::handle(int code) {
  char text[16];
  std::snprintf(text, sizeof text, "%X", next_++);
  if (isR2000()) {
    add(code, text);
  }
  return text;
}

void DxfGroups::owner(std::string_view handle) {
  if (isR2000()) {
    add(330, handle);
  }
}

void DxfGroups::begin(std::string_view section) {
  add(0, "SECTION");
  add(2, section);
}

}  // namespace leafstack
