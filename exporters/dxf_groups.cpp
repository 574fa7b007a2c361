#include "exporters/dxf_groups.h"

#include <cstdio>

#include "exporters/rounding.h"
#include "exporters/utf8.h"

namespace leafstack {

std::string dxfText(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const auto [code, length] = codePointAt(text, at);
    at += length;
    if (code < 0x20 || code == 0x7F) {
      out += ' ';
    } else if (code < 0x7F) {
      out += static_cast<char>(code);
    } else if (code <= 0xFFFF) {
      char escape[8];
      std::snprintf(escape, sizeof escape, "\\U+%04X", code);
      out += escape;
    } else {
      out += '?';
    }
  }
  return out;
}

void DxfGroups::add(int code, std::string_view value) {
  char number[16];
  std::snprintf(number, sizeof number, "%3d\n", code);
  text_ += number;
  text_.append(value);
  text_ += '\n';
}

void DxfGroups::real(int code, double value) {
  std::string text = fixedDecimals(roundedToMillionth(value), 6);
  text.erase(text.find_last_not_of('0') + 1);
  add(code, std::string_view(text.back() == '.' ? text + "0" : text));
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
