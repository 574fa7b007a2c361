// Rails that are longer than the longest bar, or than what travels: in which pieces they are made.
//
// A joint is square to the rail, a butt weld all round, ground flush; in a hollow rail on strips
// that lie against its walls and that the root catches. Where the pieces fit no lorry in one, rails
// of a panel part at one place, to be joined on site.
//
// Frame: the layout's, before a left-hand gate is mirrored, for plans; the part's own, of either
// hand, for pieces.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

struct PartSplices {
  int part = 0;  ///< index into Model::parts
  std::vector<Splice> splices;
};

/// Of bottom, top and guide rails, from bounds as built: as few pieces as lengths allow, as equal
/// as holes and members allow, joints clear of all that lies on the rail or reaches into it. A rail
/// without such a place stays whole: it is longer than its stock, which is told.
std::vector<PartSplices> planSplices(const Model& model);

/// Strips behind a joint: as the steel's list has them (flats), alike on all walls.
struct SpliceStrip {
  double length_mm = 0, width_mm = 0, thick_mm = 0;
  bool has_flanges = false;  ///< on the underside and the top as well
};
/// None where no flat is narrow enough.
SpliceStrip spliceStripOf(const HollowSection& section);

/// Where each piece begins and ends: X of the part's own frame, low and high; from the leading end.
std::vector<std::array<double, 2>> piecesAlong(const Part& part);
/// Lengths over all, in the same order; of a part without splices its own.
std::vector<double> pieceLengths_mm(const Part& part);
/// Each as it is cut, measured, with a mark and a name of its own; none of a part without splices.
std::vector<Part> pieceParts(const Part& part);
/// "BR1-2": what the second piece is called on lists and in files.
std::string pieceMark(const Part& part, int piece);

/// What lies across a joint that is made on site, other than rails: instances, in order.
std::vector<int> acrossSiteJoints(const Model& model, int panel);
/// X of a panel's joints on site, closed, from the leading end; layout's frame.
std::vector<double> siteJoints_mm(const Model& model, int panel);

}  // namespace leafstack
