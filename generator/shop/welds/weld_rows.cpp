#include "generator/shop/welds/weld_rows.h"

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <limits>
#include <map>
#include <numbers>
#include <tuple>
#include <utility>

#include "generator/layout/figures/sections.h"
#include "generator/model/welded_through.h"
#include "generator/shop/welds/contact_patch.h"
#include "params/catalogue/bars.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

constexpr double kLeastCornerMm = 3;   // the table's first leg
constexpr double kShortEndMm = 10;     // of a weld: left open beside a longer one
constexpr double kSameLineMm = 1;      // two lines as long as each other, for a sign on both sides
constexpr double kSquareMostMm = 4;    // thicker edges are bevelled
constexpr double kOneSideMostMm = 12;  // thicker ones from both sides
constexpr double kLiesPerMm = 1000;    // joints that lie alike to a thousandth are one

/// One straight line of weld.
struct Line {
  double length_mm = 0;
  int pieces = 0;
  double gap_mm = 0;
  Vec3 outward{};
};

/// One joint: what its patches come to, by kind.
struct Joint {
  double edge_mm[2] = {0, 0}, length_mm[2] = {0, 0};
  int pieces[2] = {0, 0};
  std::vector<Line> lines[2];
  std::vector<WeldSeam> seams[2];  ///< in the first one's frame
  double open_mm = 0;              ///< short ends
  double flare_mm = 0;             ///< of the butt weld's edges, where a corner rounds off
  bool is_all_round = false;
  double thinner_mm = 0, thicker_mm = 0;
  Vec3 middle{};
  int ending = -1;  ///< which of the two ends here, if any

  bool isKnown() const { return edge_mm[0] + edge_mm[1] > 0; }
  /// All along, or in pieces where that is long.
  void lay(const ShopSpec& shop, int kind, double length, const Vec3& outward = {}) {
    edge_mm[kind] += length;
    Line line{length, 0, 0, outward};
    if (length > shop.weld_pitch_mm) {
      const double piece = shop.weld_piece_mm;
      line.pieces = 1 + static_cast<int>(std::ceil((length - piece) / shop.weld_pitch_mm));
      line.gap_mm = (length - line.pieces * piece) / (line.pieces - 1);
      line.length_mm = line.pieces * piece;
    }
    pieces[kind] += line.pieces;
    length_mm[kind] += line.length_mm;
    lines[kind].push_back(line);
  }
  /// Two lines alike that look away from one another: one sign for both sides.
  bool hasTwoSides(int kind) const {
    constexpr double kAway = -0.99;
    const std::vector<Line>& all = lines[kind];
    return all.size() == 2 && all[0].pieces == all[1].pieces &&
           std::abs(all[0].length_mm - all[1].length_mm) < kSameLineMm &&
           dot(all[0].outward, all[1].outward) < kAway;
  }
  double gapMm(int kind) const {
    for (const Line& line : lines[kind]) {
      if (line.pieces > 0) {
        return line.gap_mm;
      }
    }
    return 0;
  }
};

class JointMaker {
 public:
  struct Side {
    const Part& part;
    std::vector<FlatSide> flats;  ///< in the first one's frame
  };
  /// `between`: where b stands, seen from a.
  JointMaker(const ShopSpec& shop, const Side& a, const Side& b, const gp_Trsf& between)
      : shop_(shop), sides_{&a, &b}, between_(between) {}

  Joint make(double gap_mm) {
    // A corner too shallow for the least leg is filled flush.
    const auto patches =
        contactPatches(sides_[0]->flats, sides_[1]->flats, {gap_mm, kLeastCornerMm});
    double area = 0;
    for (const ContactPatch& patch : patches) {
      takeThickness(patch);
      for (const int i : {0, 1}) {
        joint_.ending =
            endsAt(sides_.at(i)->part, i == 0 ? gp_Trsf() : between_, patch) ? i : joint_.ending;
      }
      area += patch.area_mm2;
    }
    for (const ContactPatch& patch : patches) {
      Vec3 middle{};
      layAll(patch);
      for (const PatchEdge& edge : patch.edges) {
        middle =
            plus(middle, plus(edge.from, edge.to), 0.5 / static_cast<double>(patch.edges.size()));
      }
      joint_.middle = plus(joint_.middle, middle, patch.area_mm2 / area);
    }
    return joint_;
  }

 private:
  /// A tube that the patch lies across, nearer than to along.
  static bool endsAt(const Part& part, const gp_Trsf& placed, const ContactPatch& patch) {
    if (!part.tube) {
      return false;
    }
    int longest = 0;
    for (const int axis : {1, 2}) {
      const auto extent = [&](int of) { return part.bounds.high[of] - part.bounds.low[of]; };
      longest = extent(axis) > extent(longest) ? axis : longest;
    }
    gp_Vec along(longest == 0, longest == 1, longest == 2);
    along.Transform(placed);
    const double share = along.Dot(gp_Vec(patch.normal[0], patch.normal[1], patch.normal[2]));
    return share * share > 0.5;
  }

  void takeThickness(const ContactPatch& patch) {
    double thinner = std::numeric_limits<double>::infinity();
    for (const bool is_second : {false, true}) {
      const Side& side = *sides_.at(is_second);
      const Bounds& box = side.part.bounds;
      double thick = thicknessBehindMm(side.flats, patch, is_second);
      double thinnest = std::numeric_limits<double>::infinity();
      for (int axis = 0; axis < 3; ++axis) {
        thinnest = std::min(thinnest, box.high[axis] - box.low[axis]);
      }
      thick = std::min(thick, thinnest);  // rounds have no flat side
      // A patch near an edge has little behind it one way, and the wall or plate all the same.
      if (side.part.tube) {
        thick = std::max(thick, side.part.tube->wall_mm);
      } else if (side.part.section.starts_with("plate")) {
        thick = std::max(thick, thinnest);
      } else if (side.part.section.starts_with("strip")) {
        thick = solidThickness_mm(side.part.section).value_or(thick);  // bent: its sides are round
      } else if (side.part.section.starts_with("angle")) {
        thick = std::max(thick, solidThickness_mm(side.part.section).value_or(0));
      }
      joint_.thicker_mm = std::max(joint_.thicker_mm, thick);
      thinner = std::min(thinner, thick);
    }
    joint_.thinner_mm = joint_.thinner_mm > 0 ? std::min(joint_.thinner_mm, thinner) : thinner;
  }

  static std::optional<WeldKind> kindOf(const PatchEdge& edge) {
    if (edge.goes_on[0] && edge.goes_on[1]) {
      return std::nullopt;  // no edge of either: two patches of one plane meet here
    }
    const bool is_fillet =
        (edge.goes_on[0] && !edge.rounds_off[1]) || (edge.goes_on[1] && !edge.rounds_off[0]);
    return is_fillet ? WeldKind::kFillet : WeldKind::kButt;
  }

  /// A fillet lies on the face that goes on, beside the other part; in the groove beside a round
  /// corner there is room some way out only.
  static WeldSeam seamOf(const ContactPatch& patch, const PatchEdge& edge, WeldKind kind) {
    constexpr double kBesideMm = 0.6, kOutOfGrooveMm = 4;
    const bool is_flare = edge.rounds_off[0] != edge.rounds_off[1];
    const double out = kind == WeldKind::kButt && is_flare ? kOutOfGrooveMm : kBesideMm;
    double off = edge.goes_on[0] && !edge.rounds_off[1] ? kBesideMm : -kBesideMm;
    if (kind == WeldKind::kButt) {
      off = !is_flare ? 0 : edge.rounds_off[1] ? kBesideMm : -kBesideMm;
    }
    Vec3 into{};
    into = plus(into, edge.outward, out);
    return {edge.from, edge.to, plus(into, patch.normal, off)};
  }

  /// A short straight side: round ones are many edges at small angles to each other.
  static bool isShortEnd(const ContactPatch& patch, std::size_t i) {
    constexpr double kCorner = 0.9;  // cosine
    const std::size_t count = patch.edges.size();
    const PatchEdge& edge = patch.edges[i];
    const PatchEdge& before = patch.edges[(i + count - 1) % count];
    const PatchEdge& after = patch.edges[(i + 1) % count];
    return edge.lengthMm() < kShortEndMm && dot(edge.outward, before.outward) < kCorner &&
           dot(edge.outward, after.outward) < kCorner;
  }

  /// A short end is laid with what it goes on from, if that is the same weld and not in pieces.
  bool isLeftOpen(const ContactPatch& patch, std::size_t i, WeldKind kind) const {
    if (!isShortEnd(patch, i)) {
      return false;
    }
    const std::size_t count = patch.edges.size();
    for (const std::size_t beside : {(i + count - 1) % count, (i + 1) % count}) {
      const PatchEdge& edge = patch.edges[beside];
      if (kindOf(edge) == kind && edge.lengthMm() <= shop_.weld_pitch_mm &&
          !isShortEnd(patch, beside)) {
        return false;
      }
    }
    return true;
  }

  void layAll(const ContactPatch& patch) {
    bool is_laid = false;
    int rest = 0;
    for (std::size_t i = 0; i < patch.edges.size(); ++i) {
      const PatchEdge& edge = patch.edges[i];
      const std::optional<WeldKind> kind = kindOf(edge);
      if (kind && isLeftOpen(patch, i, *kind)) {
        joint_.open_mm += edge.lengthMm();
        ++rest;
      } else if (kind) {
        const int k = static_cast<int>(*kind);
        joint_.lay(shop_, k, edge.lengthMm(), edge.outward);
        joint_.seams[k].push_back(seamOf(patch, edge, *kind));
        const bool is_flare = k == 1 && (edge.rounds_off[0] || edge.rounds_off[1]);
        joint_.flare_mm += is_flare ? edge.lengthMm() : 0;
        is_laid = true;
        rest += k == 1 || edge.lengthMm() > shop_.weld_pitch_mm ? 1 : 0;
      } else {
        ++rest;
      }
    }
    if (!is_laid) {  // small all over: laid all the same
      for (const PatchEdge& edge : patch.edges) {
        if (const std::optional<WeldKind> kind = kindOf(edge)) {
          joint_.lay(shop_, static_cast<int>(*kind), edge.lengthMm(), edge.outward);
          joint_.seams[static_cast<int>(*kind)].push_back(seamOf(patch, edge, *kind));
          joint_.open_mm -= edge.lengthMm();
        }
      }
    }
    patches_ += 1;
    joint_.is_all_round = patches_ == 1 && rest == 0;
  }

  const ShopSpec& shop_;
  std::array<const Side*, 2> sides_;
  gp_Trsf between_;
  Joint joint_;
  int patches_ = 0;
};

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
  if (thick_mm <= kSquareMostMm) {
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

  std::vector<WeldRow> make() {
    for (const Contact& contact : model_.contacts) {
      if (contact.kind == ContactKind::kWelded) {
        add(contact);
      }
    }
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
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

  const Joint& jointOf(const Contact& contact) {
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    const gp_Trsf between = (a.at_closed.Inverted() * b.at_closed).Transformation();
    const auto [known, is_new] = made_.try_emplace(lieOf(a, b, between));
    if (is_new) {
      const JointMaker::Side of_a{model_.parts[a.part], flatsOf(a.part)};
      const JointMaker::Side of_b{model_.parts[b.part], moved(flatsOf(b.part), between)};
      ShopSpec shop = model_.spec.shop;
      if (isWeldedThrough(of_a.part) || isWeldedThrough(of_b.part)) {
        shop.weld_pitch_mm = std::numeric_limits<double>::infinity();
      }
      known->second = JointMaker(shop, of_a, of_b, between).make(contact.permitted_gap_mm);
    }
    return known->second;
  }

  void add(const Contact& contact) {
    Joint joint = jointOf(contact);
    if (!joint.isKnown()) {
      joint.thinner_mm = contact.weld.thinner_mm;
      joint.thicker_mm = contact.weld.thicker_mm;
      for (int line = 0; line < contact.weld.lines; ++line) {
        joint.lay(model_.spec.shop, 0, contact.weld.each_mm);
      }
      joint.is_all_round = contact.weld.lines == 1;  // round a dowel
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

  void add(const Contact& contact, const Joint& joint, WeldKind kind) {
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    const int k = static_cast<int>(kind);
    const std::tuple key{std::max(a.panel, b.panel), a.part, b.part, k,
                         std::llround(joint.edge_mm[k] * 10)};
    const auto [found, is_new] = row_at_.emplace(key, rows_.size());
    if (is_new) {
      rows_.push_back(rowOf(contact, joint, kind));
    }
    ++rows_[found->second].joints;
  }

  WeldRow rowOf(const Contact& contact, const Joint& joint, WeldKind kind) const {
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
    row.is_on_site = part_a.supply == Supply::kSite || part_b.supply == Supply::kSite ||
                     (part_a.kind == part_b.kind &&
                      (part_a.kind == PartKind::kTrack || part_a.kind == PartKind::kTrackFlat));
    row.what = contact.reason;
    row.instances = {contact.a, contact.b};
    const gp_Pnt middle = gp_Pnt(joint.middle[0], joint.middle[1], joint.middle[2])
                              .Transformed(a.at_closed.Transformation());
    row.at_mm = {middle.X(), middle.Y(), middle.Z()};
    for (const WeldSeam& seam : joint.seams[k]) {
      row.seams.push_back(placed(seam, a.at_closed.Transformation()));
    }
    if (contact.weld.lines > 0) {
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
  std::map<Lie, Joint> made_;
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
  return RowMaker(model).make();
}

}  // namespace leafstack
