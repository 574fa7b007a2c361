#include "generator/shop/welds/weld_rows.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <limits>
#include <map>
#include <numbers>
#include <set>
#include <tuple>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/model/welded_through.h"
#include "generator/shop/welds/contact_patch.h"
#include "generator/shop/welds/weld_joint.h"
#include "params/catalogue/bars.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

constexpr double kSquareMostMm = 4;    // thicker edges are bevelled
constexpr double kOneSideMostMm = 12;  // thicker ones from both sides
constexpr double kLiesPerMm = 1000;    // joints that lie alike to a thousandth are one

/// Round the middle of a section's wall: of a hollow one by its sides and corners, of an angle
/// along both legs.
double girthMm(const Part& part, double thick_mm) {
  if (part.tube) {
    const HollowSection& tube = *part.tube;
    const CornerRadii radii = cornerRadii(tube);
    const double middle = (radii.outer_mm + radii.inner_mm) / 2;
    return 2 * (tube.height_mm + tube.depth_mm - 2 * tube.wall_mm) -
           (8 - 2 * std::numbers::pi) * middle;
  }
  return (part.bounds.high[1] - part.bounds.low[1]) + (part.bounds.high[2] - part.bounds.low[2]) -
         thick_mm;
}

Groove grooveOf(double thick_mm, bool are_ends) {
  if (thick_mm <= kSquareMostMm + kLengthEqualMm) {
    return Groove::kSquare;
  }
  const bool is_one_sided = thick_mm <= kOneSideMostMm;
  return are_ends ? (is_one_sided ? Groove::kV : Groove::kDoubleV)
                  : (is_one_sided ? Groove::kBevel : Groove::kDoubleBevel);
}

/// How two parts lie to one another, to a thousandth: joints that lie alike are made once.
using Lie = std::tuple<int, int, std::array<std::int64_t, 12>>;

Lie lieOf(const Instance& a, const Instance& b, const gp_Trsf& between) {
  Lie lie{a.part, b.part, {}};
  for (int row = 1; row <= 3; ++row) {
    for (int column = 1; column <= 4; ++column) {
      std::get<2>(lie)[static_cast<std::size_t>(4 * row + column - 5)] =
          std::llround(between.Value(row, column) * kLiesPerMm);
    }
  }
  return lie;
}

class RowMaker {
 public:
  explicit RowMaker(const Model& model) : model_(model) {}

  std::vector<WeldRow> make(const std::function<bool(const Contact&)>& isAsked) {
    for (const Contact& contact : model_.contacts) {
      if (contact.kind == ContactKind::kWelded) {
        welded_[contact.a].insert(contact.b);
        welded_[contact.b].insert(contact.a);
      }
    }
    for (const Contact& contact : model_.contacts) {
      if (contact.kind == ContactKind::kWelded && (!isAsked || isAsked(contact))) {
        add(contact);
      }
    }
    for (int i = 0; !isAsked && i < static_cast<int>(model_.instances.size()); ++i) {
      addSplices(i);
    }
    return std::move(rows_);
  }

 private:
  const std::vector<FlatSide>& flatsOf(int part) {
    const auto [known, is_new] = flats_.try_emplace(part);
    if (is_new) {
      known->second = flatSides(model_.parts[part].solid);
    }
    return known->second;
  }

  const WeldJoint& jointOf(const Contact& contact) {
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    const gp_Trsf between = (a.at_closed.Inverted() * b.at_closed).Transformation();
    std::vector<Lie> lies = {lieOf(a, b, between)};
    std::vector<std::pair<int, gp_Trsf>> others;
    for (const int third : welded_[contact.a]) {
      if (welded_[contact.b].contains(third)) {
        const Instance& c = model_.instances[third];
        others.emplace_back(c.part, (a.at_closed.Inverted() * c.at_closed).Transformation());
        lies.push_back(lieOf(a, c, others.back().second));
      }
    }
    const auto [known, is_new] = made_.try_emplace(std::move(lies));
    if (is_new) {
      const JointSide of_a{model_.parts[a.part], flatsOf(a.part)};
      const JointSide of_b{model_.parts[b.part], moved(flatsOf(b.part), between)};
      ShopSpec shop = model_.spec.shop;
      if (isWeldedThrough(of_a.part) || isWeldedThrough(of_b.part)) {
        shop.weld_pitch_mm = std::numeric_limits<double>::infinity();
      }
      JointPlace place{between, contact.permitted_gap_mm, {}};
      for (const auto& [part, way] : others) {
        place.others.push_back(moved(flatsOf(part), way));
      }
      known->second = makeJoint(shop, of_a, of_b, place);
    }
    return known->second;
  }

  void add(const Contact& contact) {
    WeldJoint joint = jointOf(contact);
    const LineWeld& told = contact.weld;
    if (!joint.isKnown() || told.is_all) {
      joint = {};
      joint.thinner_mm = told.thinner_mm;
      joint.thicker_mm = told.thicker_mm;
      const WeldKind kind = told.is_butt ? WeldKind::kButt : WeldKind::kFillet;
      for (int line = 0; line < told.lines; ++line) {
        joint.lay(model_.spec.shop, static_cast<int>(kind), told.each_mm);
      }
      joint.is_all_round = told.lines == 1;  // round a dowel
    }
    double open_mm = joint.open_mm;
    for (const WeldKind kind : {WeldKind::kFillet, WeldKind::kButt}) {
      if (joint.length_mm[static_cast<int>(kind)] > 0) {
        joint.open_mm = std::exchange(open_mm, 0);
        add(contact, joint, kind);
      }
    }
  }

  /// Of a rail with itself, through all of its wall: as long as that is round its middle.
  void addSplices(int instance) {
    const Instance& stands = model_.instances[instance];
    const Part& part = model_.parts[stands.part];
    for (const Splice& splice : part.splices) {
      const std::tuple key{stands.panel, stands.part, stands.part,
                           static_cast<int>(WeldKind::kButt), std::int64_t{0}};
      const auto [found, is_new] = row_at_.emplace(key, rows_.size());
      if (is_new) {
        rows_.push_back(rowOf(stands, part, splice));
        rows_.back().instances = {instance, instance};
      }
      ++rows_[found->second].joints;
    }
  }

  WeldRow rowOf(const Instance& stands, const Part& part, const Splice& splice) const {
    WeldRow row;
    row.mark = "W" + std::to_string(rows_.size() + 1);
    row.panel = stands.panel;
    row.a = row.b = part.mark;
    row.kind = WeldKind::kButt;
    row.leg_mm = row.thinner_mm = row.thicker_mm =
        part.tube ? part.tube->wall_mm : solidThickness_mm(part.section).value_or(0);
    row.length_mm = row.edge_mm = girthMm(part, row.leg_mm);
    row.groove = grooveOf(row.leg_mm, /*are_ends=*/true);
    row.is_on_site = splice.is_on_site;
    row.what = "the rail's pieces are welded together and ground flush";
    std::array<double, 3> middle{};
    for (const int axis : {1, 2}) {
      middle.at(axis) = (part.bounds.low[axis] + part.bounds.high[axis]) / 2;
    }
    const gp_Pnt at = gp_Pnt(model_.opening_sign * splice.at_mm, middle[1], middle[2])
                          .Transformed(stands.at_closed.Transformation());
    row.at_mm = {at.X(), at.Y(), at.Z()};
    return row;
  }

  void add(const Contact& contact, const WeldJoint& joint, WeldKind kind) {
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    const int k = static_cast<int>(kind);
    const std::tuple key{std::max(a.panel, b.panel), a.part, b.part, 2 * k + contact.is_on_site,
                         std::llround(joint.edge_mm[k] * 10)};
    const auto [found, is_new] = row_at_.emplace(key, rows_.size());
    if (is_new) {
      rows_.push_back(rowOf(contact, joint, kind));
    }
    ++rows_[found->second].joints;
  }

  WeldRow rowOf(const Contact& contact, const WeldJoint& joint, WeldKind kind) const {
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    const Part& part_a = model_.parts[a.part];
    const Part& part_b = model_.parts[b.part];
    const int k = static_cast<int>(kind);
    WeldRow row;
    row.mark = "W" + std::to_string(rows_.size() + 1);
    row.panel = std::max(a.panel, b.panel);
    row.a = part_a.mark;
    row.b = part_b.mark;
    row.kind = kind;
    row.leg_mm = kind == WeldKind::kButt ? joint.thinner_mm
                                         : model_.spec.shop.weld_leg_mm.value_or(
                                               filletLeg_mm(joint.thinner_mm, joint.thicker_mm));
    row.length_mm = joint.length_mm[k];
    row.edge_mm = joint.edge_mm[k];
    row.open_mm = joint.open_mm;
    row.pieces = joint.pieces[k];
    row.sides = joint.hasTwoSides(k) ? 2 : 1;
    row.gap_mm = joint.gapMm(k);
    row.is_all_round = kind == WeldKind::kFillet && joint.is_all_round;
    if (kind == WeldKind::kButt) {
      row.groove = joint.flare_mm > joint.edge_mm[k] / 2
                       ? Groove::kFlare
                       : grooveOf(row.leg_mm, part_a.kind == part_b.kind);
    }
    row.thinner_mm = joint.thinner_mm;
    row.thicker_mm = joint.thicker_mm;
    row.ending = joint.ending < 0 ? "" : joint.ending == 0 ? part_a.mark : part_b.mark;
    row.is_on_site =
        contact.is_on_site || part_a.supply == Supply::kSite || part_b.supply == Supply::kSite;
    row.what = contact.reason;
    row.instances = {contact.a, contact.b};
    const gp_Pnt middle = gp_Pnt(joint.middle[0], joint.middle[1], joint.middle[2])
                              .Transformed(a.at_closed.Transformation());
    row.at_mm = {middle.X(), middle.Y(), middle.Z()};
    for (const WeldSeam& seam : joint.seams[k]) {
      row.seams.push_back(placed(seam, a.at_closed.Transformation()));
    }
    if (contact.weld.at_mm) {
      row.at_mm = *contact.weld.at_mm;
    } else if (contact.weld.lines > 0) {
      for (int axis = 0; axis < 3; ++axis) {  // between them, for want of a face
        row.at_mm[axis] = (std::max(a.bounds.low[axis], b.bounds.low[axis]) +
                           std::min(a.bounds.high[axis], b.bounds.high[axis])) /
                          2;
      }
    }
    return row;
  }

  static WeldSeam placed(const WeldSeam& seam, const gp_Trsf& motion) {
    const auto point = [&](const Vec3& own) {
      const gp_Pnt at = gp_Pnt(own[0], own[1], own[2]).Transformed(motion);
      return Vec3{at.X(), at.Y(), at.Z()};
    };
    return {point(seam.from), point(seam.to), minus(point(seam.into_mm), point({}))};
  }

  const Model& model_;
  std::vector<WeldRow> rows_;
  std::map<int, std::vector<FlatSide>> flats_;  ///< by part
  std::map<std::vector<Lie>, WeldJoint> made_;  ///< with all that is welded to both
  std::map<int, std::set<int>> welded_;         ///< by instance
  std::map<std::tuple<int, int, int, int, std::int64_t>, std::size_t> row_at_;
};

}  // namespace

std::string_view toString(WeldKind kind) {
  return kind == WeldKind::kFillet ? "fillet" : "butt";
}

std::string_view toString(Groove groove) {
  switch (groove) {
    case Groove::kNone:
      return "";
    case Groove::kSquare:
      return "square edges";
    case Groove::kFlare:
      return "round corner";
    case Groove::kBevel:
      return "single bevel 50 deg";
    case Groove::kDoubleBevel:
      return "double bevel 50 deg";
    case Groove::kV:
      return "single V 60 deg";
    case Groove::kDoubleV:
      return "double V 60 deg";
  }
  return "";
}

std::vector<WeldRow> weldRows(const Model& model) {
  return RowMaker(model).make({});
}

std::vector<WeldRow> weldRowsOf(const Model& model,
                                const std::function<bool(const Contact&)>& isAsked) {
  return RowMaker(model).make(isAsked);
}

}  // namespace leafstack
