// Kinds of bytes in a gate file, whatever the locale.
#pragma once

#include <string_view>

namespace leafstack {

constexpr bool isDigit(char c) {
  return c >= '0' && c <= '9';
}

constexpr bool isLetter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// What numbers, literals and mistyped words are made of.
constexpr bool isWordByte(char c) {
  return isLetter(c) || isDigit(c) || std::string_view("+-._").find(c) != std::string_view::npos;
}

}  // namespace leafstack
