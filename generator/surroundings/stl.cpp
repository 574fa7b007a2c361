#include <charconv>
#include <cstdint>
#include <cstring>

#include "generator/surroundings/triangle_files.h"

namespace leafstack {
namespace {

constexpr std::size_t kStlHead = 84, kStlEach = 50;

std::uint32_t countIn(std::string_view bytes) {
  std::uint32_t count = 0;
  std::memcpy(&count, bytes.data() + kStlHead - sizeof count, sizeof count);
  return count;
}

bool isBinary(std::string_view bytes) {
  return bytes.size() >= kStlHead &&
         bytes.size() == kStlHead + kStlEach * std::size_t{countIn(bytes)};
}

LooseTriangles binary(std::string_view bytes) {
  LooseTriangles found;
  const std::uint32_t count = countIn(bytes);
  found.corners.resize(count);
  for (std::uint32_t i = 0; i < count; ++i) {
    std::array<float, 9> figures;
    std::memcpy(figures.data(), bytes.data() + kStlHead + kStlEach * i + 12, sizeof figures);
    for (int k = 0; k < 9; ++k) {
      found.corners[i][k / 3][k % 3] = static_cast<double>(figures[k]);
    }
  }
  return found;
}

/// Word by word: "vertex x y z", three for a facet; all else is passed over.
LooseTriangles text(std::string_view bytes) {
  LooseTriangles found;
  std::size_t at = 0;
  const auto word = [&] {
    at = bytes.find_first_not_of(" \t\r\n", at);
    const std::size_t from = std::min(at, bytes.size());
    at = std::min(bytes.find_first_of(" \t\r\n", from), bytes.size());
    return bytes.substr(from, at - from);
  };
  int corner = 0;
  for (std::string_view one = word(); !one.empty(); one = word()) {
    if (one != "vertex") {
      continue;
    }
    if (corner == 0) {
      found.corners.emplace_back();
    }
    for (double& figure : found.corners.back()[corner]) {
      std::string_view digits = word();
      digits.remove_prefix(digits.starts_with('+') ? 1 : 0);
      const auto end = std::from_chars(digits.data(), digits.data() + digits.size(), figure);
      if (end.ec != std::errc() || end.ptr != digits.data() + digits.size()) {
        return {{}, "has a corner that is no number"};
      }
    }
    corner = (corner + 1) % 3;
  }
  return corner == 0 ? std::move(found) : LooseTriangles{{}, "ends within a triangle"};
}

}  // namespace

bool looksLikeStl(std::string_view bytes) {
  return isBinary(bytes) ||
         (bytes.starts_with("solid") && bytes.find("facet") != std::string_view::npos);
}

LooseTriangles trianglesOfStl(std::string_view bytes) {
  return isBinary(bytes) ? binary(bytes) : text(bytes);
}

std::string stlCounts(std::string_view bytes) {
  if (bytes.size() < kStlHead || isBinary(bytes)) {
    return "";
  }
  return "its head counts " + std::to_string(countIn(bytes)) + " triangles, and it has room for " +
         std::to_string((bytes.size() - kStlHead) / kStlEach);
}

}  // namespace leafstack
