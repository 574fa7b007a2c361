// Characters of a gate file, whatever the locale: kinds of bytes, and UTF-8 taken apart by utfcpp.
#pragma once

#include <cstddef>
#include <string>
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
constexpr bool isNoncharacter(char32_t code) {
  return (code >= 0xFDD0 && code <= 0xFDEF) || (code & 0xFFFEU) == 0xFFFEU;
}

/// Code points that act on what stands around them instead of being text: controls (C0, C1 and
/// DEL), separators of lines and paragraphs, and marks that turn its direction (the property
/// Bidi_Control of the Unicode Character Database, PropList.txt; from memory). On a terminal or in
/// a page they can make a text look like another.
constexpr bool isControlling(char32_t code) {
  const bool is_control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
  const bool is_separator = code == 0x2028 || code == 0x2029;
  const bool turns = code == 0x61C || code == 0x200E || code == 0x200F ||
                     (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
  return is_control || is_separator || turns;
}

/// Offset of the first sequence that is no UTF-8 (RFC 3629: too long forms, halves of surrogate
/// pairs and numbers past U+10FFFF are none); npos where there is none.
std::size_t malformedUtf8(std::string_view text);

/// The code points of UTF-8 text; each malformed sequence counts as one `instead`.
std::u32string codePoints(std::string_view text, char32_t instead);

/// Adds a code point as UTF-8. `code` has to be one: no surrogate, up to U+10FFFF.
void appendUtf8(std::string& text, char32_t code);

}  // namespace leafstack
