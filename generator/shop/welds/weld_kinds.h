// What kinds of weld there are, and where one is laid.
#pragma once

#include <string_view>

#include "generator/geometry/vec.h"

namespace leafstack {

enum class WeldKind { kFillet, kButt };
std::string_view toString(WeldKind kind);

/// How the edges of a butt weld are prepared (ISO 9692-1, from memory: square edges to 4 mm, one
/// bevelled edge of 50 degrees where the other part goes on, both of 30 where two ends meet, from
/// both sides past 12 mm). A corner that rounds off is a groove as it is.
enum class Groove { kNone, kSquare, kFlare, kBevel, kDoubleBevel, kV, kDoubleV };
/// "single bevel 50 deg"; "" for a fillet.
std::string_view toString(Groove groove);

/// A straight piece of an outline along which metal is laid, closed, gate's frame.
struct WeldSeam {
  Vec3 from{}, to{};
  Vec3 into_mm{};  ///< from the line to a point in the metal that is laid along it
};

}  // namespace leafstack
