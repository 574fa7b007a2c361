#pragma once

// Text for a terminal, of a fixed width.

#include <cstddef>
#include <string>

namespace leafstack {

/// Columns of the summary.
inline constexpr std::size_t kTextColumns = 98;

/// `text` folded at spaces into lines of `columns` bytes at most, but where a word is longer; the
/// first begins with `first`, those after it with `rest`, and each ends with a line feed.
std::string wrapped(const std::string& text, const std::string& first, const std::string& rest,
                    std::size_t columns = kTextColumns);

/// `text` with blanks up to `width` bytes, before it or after it; as it is where it is longer.
std::string padded(const std::string& text, std::size_t width, bool to_right = true);

}  // namespace leafstack
