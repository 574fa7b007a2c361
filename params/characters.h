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

/// Code points that are set aside for programs' own use and are no text (The Unicode
/// Standard, 23.7; from memory): XML and PDF know two of them or all as errors.
constexpr bool isNoncharacter(unsigned code) {
  return (code >= 0xFDD0 && code <= 0xFDEF) || (code & 0xFFFEU) == 0xFFFEU;
}

}  // namespace leafstack
