// Arcs given by their bulge, and curves cut along lines of equal Y.
#pragma once

#include <vector>

#include "generator/shop/wrap/wrap_shapes.h"

namespace leafstack {

/// A piece between two points, `from.bulge` being its own; `to.bulge` means nothing.
struct WrapPiece {
  WrapPoint from, to;

  bool isArc() const { return from.bulge != 0; }
  WrapCircle circle() const;  ///< of an arc
  /// Point at a share of the piece's length; 0 and 1 are its ends.
  WrapPoint at(double share) const;
  /// Shares strictly inside the piece where it has this Y, rising.
  std::vector<double> sharesAtY(double y_mm) const;
  WrapPiece part(double from_share, double to_share) const;
};

/// Cuts a closed chain of pieces (the last ends where the first starts, or whole girths above or
/// below it) at every multiple of `girth_mm` and brings the parts into 0 to `girth_mm`. One closed
/// curve when it is cut nowhere, else open ones.
std::vector<WrapCurve> cutAtGirths(const std::vector<WrapPiece>& chain, double girth_mm);

}  // namespace leafstack
