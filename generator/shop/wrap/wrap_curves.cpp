#include "generator/shop/wrap/wrap_curves.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

// A cut nearer than this to a piece's end is at its end.
constexpr double kNoShare = 1e-9;

double signedAngle(double bulge) {
  return 4 * std::atan(bulge);
}

double angleFrom(const WrapCircle& circle, const WrapPoint& point) {
  return std::atan2(point.y_mm - circle.y_mm, point.x_mm - circle.x_mm);
}

int bandOf(const WrapPiece& piece, double girth_mm) {
  return static_cast<int>(std::floor(piece.at(0.5).y_mm / girth_mm));
}

WrapPoint lowered(WrapPoint point, double by_mm) {
  point.y_mm -= by_mm;
  return point;
}

/// Pieces of one band, in a row, as a curve.
WrapCurve curveOf(const std::vector<WrapPiece>& run, double lower_by_mm, bool is_closed) {
  WrapCurve curve;
  curve.is_closed = is_closed;
  for (const WrapPiece& piece : run) {
    curve.points.push_back(lowered(piece.from, lower_by_mm));
  }
  if (!is_closed) {
    curve.points.push_back(lowered(run.back().to, lower_by_mm));
    curve.points.back().bulge = 0;
  }
  return curve;
}

/// The pieces, those that cross multiples of the girth cut there.
std::vector<WrapPiece> cutPieces(const std::vector<WrapPiece>& chain, double girth_mm) {
  std::vector<WrapPiece> pieces;
  for (const WrapPiece& piece : chain) {
    std::vector<double> cuts = {0, 1};
    const int band = bandOf(piece, girth_mm);
    for (int line = band - 1; line <= band + 2; ++line) {
      const std::vector<double> at = piece.sharesAtY(line * girth_mm);
      cuts.insert(cuts.end(), at.begin(), at.end());
    }
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t i = 1; i < cuts.size(); ++i) {
      pieces.push_back(piece.part(cuts[i - 1], cuts[i]));
    }
  }
  return pieces;
}

}  // namespace

WrapCircle WrapPiece::circle() const {
  const double dx = to.x_mm - from.x_mm;
  const double dy = to.y_mm - from.y_mm;
  // From the chord's middle to the centre: to the left for a minor arc drawn anticlockwise.
  const double bulge = from.bulge;
  const double off = (1 - bulge * bulge) / (4 * bulge);
  const double radius = std::hypot(dx, dy) * (1 + bulge * bulge) / (4 * std::abs(bulge));
  return {(from.x_mm + to.x_mm) / 2 - off * dy, (from.y_mm + to.y_mm) / 2 + off * dx, radius};
}

WrapPoint WrapPiece::at(double share) const {
  if (share <= 0) return from;
  if (share >= 1) return to;
  if (!isArc()) {
    return {from.x_mm + share * (to.x_mm - from.x_mm), from.y_mm + share * (to.y_mm - from.y_mm)};
  }
  const WrapCircle round = circle();
  const double angle = angleFrom(round, from) + share * signedAngle(from.bulge);
  return {round.x_mm + round.radius_mm * std::cos(angle),
          round.y_mm + round.radius_mm * std::sin(angle)};
}

std::vector<double> WrapPiece::sharesAtY(double y_mm) const {
  std::vector<double> shares;
  const auto keep = [&](double share) {
    if (share > kNoShare && share < 1 - kNoShare) {
      shares.push_back(share);
    }
  };
  if (!isArc()) {
    const double rise = to.y_mm - from.y_mm;
    if (rise != 0) {
      keep((y_mm - from.y_mm) / rise);
    }
    return shares;
  }
  const WrapCircle round = circle();
  const double sine = (y_mm - round.y_mm) / round.radius_mm;
  if (std::abs(sine) >= 1) {  // a touch is no crossing
    return shares;
  }
  const double whole = signedAngle(from.bulge);
  for (const double angle : {std::asin(sine), std::numbers::pi - std::asin(sine)}) {
    const double turn = std::remainder(angle - angleFrom(round, from), 2 * std::numbers::pi);
    for (const double full : {-2 * std::numbers::pi, 0.0, 2 * std::numbers::pi}) {
      keep((turn + full) / whole);
    }
  }
  std::sort(shares.begin(), shares.end());
  return shares;
}

WrapPiece WrapPiece::part(double from_share, double to_share) const {
  WrapPiece part{at(from_share), at(to_share)};
  part.from.bulge = isArc() ? std::tan(signedAngle(from.bulge) * (to_share - from_share) / 4) : 0;
  return part;
}

std::vector<WrapCurve> cutAtGirths(const std::vector<WrapPiece>& chain, double girth_mm) {
  const std::vector<WrapPiece> pieces = cutPieces(chain, girth_mm);
  const std::size_t count = pieces.size();
  const auto band = [&](std::size_t i) { return bandOf(pieces[i % count], girth_mm); };
  const double turned_mm = pieces.back().to.y_mm - pieces.front().from.y_mm;
  const int turns = static_cast<int>(std::lround(turned_mm / girth_mm));
  std::size_t first = 0;
  while (first < count && band(first) == (first == 0 ? band(count - 1) - turns : band(first - 1))) {
    ++first;
  }
  if (first == count) {
    return {curveOf(pieces, band(0) * girth_mm, /*is_closed=*/true)};
  }
  std::vector<WrapCurve> curves;
  for (std::size_t done = 0; done < count;) {
    const std::size_t start = first + done;
    std::vector<WrapPiece> run;
    const double lower_by = band(start) * girth_mm;
    // Pieces past the chain's end have gone on by its turns.
    do {
      WrapPiece piece = pieces[(first + done) % count];
      const bool start_wrapped = start >= count;
      const bool wrapped = first + done >= count;
      const double shift = wrapped && !start_wrapped ? turns * girth_mm : 0;
      piece.from.y_mm += shift;
      piece.to.y_mm += shift;
      run.push_back(piece);
      ++done;
    } while (done < count &&
             band(first + done) + (first + done >= count && start < count ? turns : 0) ==
                 band(start));
    curves.push_back(curveOf(run, lower_by, /*is_closed=*/false));
  }
  return curves;
}

}  // namespace leafstack
