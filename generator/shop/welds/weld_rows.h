// The welds of a gate: what lies on what and is declared welded, the legs, lengths and pieces.
//
// A weld follows the outline of the faces that two parts share. Where one part's face goes on past
// the other's edge there is a corner for a fillet; where both end, or the corner is rounded off, a
// butt weld fills what is there. Ends of less than 10 mm beside a longer weld are left open, and so
// is what shares no flat. There is none over a hole, nor where a seam is shut in (contact_patch.h).
//
// Property (tests/shop/welds_test.cpp): P1 no fillet has a leg thicker than the thinner part unless
// the gate file or forces ask for it, and no row is without metal.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "generator/geometry/vec.h"
#include "generator/model/model.h"
#include "generator/shop/welds/weld_kinds.h"

namespace leafstack {

/// One row of report.json `welds`: the welds of one kind at joints that are alike.
struct WeldRow {
  std::string mark;  ///< "W1", in the order of the model's contacts
  int panel = 0;     ///< that carries the joint; 0 = does not move
  std::string a, b;  ///< marks of the two parts
  WeldKind kind{};
  double leg_mm = 0;     ///< of a fillet; of a butt weld the thickness that it fills
  double length_mm = 0;  ///< of metal laid at one joint
  double edge_mm = 0;    ///< of the outline that it follows: longer where it is laid in pieces
  double open_mm = 0;  ///< of the joint's outline: short ends that are left open; on its first row
  int pieces = 0;      ///< at one joint; 0 = all along
  int sides = 1;       ///< 2: as much on the near as on the far side, pieces opposite each other
  double gap_mm = 0;   ///< between pieces; 0 = all along
  bool is_all_round = false;  ///< a fillet round the whole of what is joined
  Groove groove = Groove::kNone;
  int joints = 0;  ///< that are alike
  /// Mark of the tube that ends at the weld, and so sends its whole force through it; "" where
  /// none does.
  std::string ending;
  /// Of the weld's design strength, at most: as if the tube's greatest stress were there. None
  /// where no force is known.
  std::optional<double> use;
  bool is_on_site = false;                ///< of parts that are not in reach of one another before
  double thinner_mm = 0, thicker_mm = 0;  ///< of the two parts, at the weld
  std::string what;                       ///< why the two are joined
  std::vector<WeldSeam> seams;            ///< of the first joint; none of bars round a hole
  Vec3 at_mm{};                           ///< middle of the first joint, closed, gate's frame
  std::array<int, 2> instances{};         ///< of a and b, at the first joint
  /// Where that is on both parts, in their own files: "ST1 at 0, BR1 at 1780 from its end"; filled
  /// by findWelds().
  std::string where;

  double allLengthMm() const { return length_mm * joints; }
};

/// Of every contact that the model declares welded, but those whose parts share no flat face.
std::vector<WeldRow> weldRows(const Model& model);
/// The same of those that are asked for, numbered by themselves.
std::vector<WeldRow> weldRowsOf(const Model& model,
                                const std::function<bool(const Contact&)>& isAsked);

}  // namespace leafstack
