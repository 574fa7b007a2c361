// Triangles of STL and GLB files, as they stand there.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

inline constexpr std::size_t kMostSurroundingTriangles = 500'000;

/// Corners of triangles, or why there are none.
struct LooseTriangles {
  std::vector<std::array<Vec3, 3>> corners;
  std::string fault;
};

bool looksLikeStl(std::string_view bytes);
LooseTriangles trianglesOfStl(std::string_view bytes);

/// Of a binary file whose head and length say different things: both, in words.
std::string stlCounts(std::string_view bytes);

bool looksLikeGlb(std::string_view bytes);
/// In metres, Z upwards; every mesh of the scene at its place.
LooseTriangles trianglesOfGlb(std::string_view bytes);

}  // namespace leafstack
