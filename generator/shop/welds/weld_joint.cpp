#include "generator/shop/welds/weld_joint.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "params/catalogue/bars.h"

namespace leafstack {
namespace {

constexpr double kLeastCornerMm = 3;  // the table's first leg
constexpr double kShortEndMm = 10;    // of a weld: left open beside a longer one
constexpr double kSameLineMm = 1;     // two lines as long as each other, for a sign on both sides

class JointMaker {
 public:
  /// `between`: where b stands, seen from a.
  JointMaker(const ShopSpec& shop, const JointSide& a, const JointSide& b, const gp_Trsf& between)
      : shop_(shop), sides_{&a, &b}, between_(between) {}

  /// `others`: what is welded to both.
  WeldJoint make(double gap_mm, const std::vector<std::vector<FlatSide>>& others) {
    // A corner too shallow for the least leg is filled flush.
    const auto patches =
        contactPatches(sides_[0]->flats, sides_[1]->flats, {gap_mm, kLeastCornerMm}, others);
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
      if (patch.edges.empty()) {
        continue;  // over a hole all round
      }
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
      const JointSide& side = *sides_.at(is_second);
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
    int rest = patch.is_broken ? 1 : 0;
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
  std::array<const JointSide*, 2> sides_;
  gp_Trsf between_;
  WeldJoint joint_;
  int patches_ = 0;
};

}  // namespace

void WeldJoint::lay(const ShopSpec& shop, int kind, double length, const Vec3& outward) {
  edge_mm[kind] += length;
  WeldLine line{length, 0, 0, outward};
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

bool WeldJoint::hasTwoSides(int kind) const {
  constexpr double kAway = -0.99;
  const std::vector<WeldLine>& all = lines[kind];
  return all.size() == 2 && all[0].pieces == all[1].pieces &&
         std::abs(all[0].length_mm - all[1].length_mm) < kSameLineMm &&
         dot(all[0].outward, all[1].outward) < kAway;
}

double WeldJoint::gapMm(int kind) const {
  for (const WeldLine& line : lines[kind]) {
    if (line.pieces > 0) {
      return line.gap_mm;
    }
  }
  return 0;
}

WeldJoint makeJoint(const ShopSpec& shop, const JointSide& a, const JointSide& b,
                    const JointPlace& place) {
  return JointMaker(shop, a, b, place.between).make(place.gap_mm, place.others);
}

}  // namespace leafstack
