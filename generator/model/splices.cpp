#include "generator/model/splices.h"

#include <BRepAlgoAPI_Common.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <map>
#include <optional>
#include <set>

#include "generator/geometry/numbers.h"
#include "generator/geometry/range.h"
#include "generator/layout/figures/sections.h"
#include "generator/model/builder.h"
#include "generator/occt/checked.h"
#include "generator/occt/kernel_says.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {
namespace {

// All common practice, no source. A joint's line stays off what is welded or screwed on the rail,
// a strip's end off what reaches into it.
constexpr double kOffMemberMm = 15, kOffInsideMm = 5;
constexpr double kLeastHalfStripMm = 50, kStripThickMm = 5, kStripPlayMm = 1;
constexpr double kFlatsMm[] = {20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100};
constexpr int kMorePieces = 3;  // than lengths ask for, where joints find no place

bool isRail(PartKind kind) {
  return kind == PartKind::kBottomRail || kind == PartKind::kTopRail ||
         kind == PartKind::kGuideRail;
}

/// What is screwed on, put in or hung later, or crosses a joint and is told.
bool isInNoWay(const Part& part) {
  switch (part.kind) {
    case PartKind::kSlat:
    case PartKind::kSheet:
    case PartKind::kBoard:
    case PartKind::kBatten:
    case PartKind::kRack:
    case PartKind::kRope:
      return true;
    default:
      return isRail(part.kind);
  }
}

/// A rail where it stands: X from its leading lower corner, along.
struct Standing {
  const Part* part = nullptr;
  const Instance* instance = nullptr;

  double cosine() const { return instance->at_closed.Transformation().Value(1, 1); }
  double leadX() const { return instance->at_closed.Transformation().Value(1, 4); }
  double slope() const {
    const gp_Trsf& placed = instance->at_closed.Transformation();
    return std::abs(placed.Value(3, 1) / placed.Value(1, 1));
  }
  /// Its lower edge at X.
  double lowZ(double x) const {
    const gp_Trsf& placed = instance->at_closed.Transformation();
    return placed.Value(3, 4) + placed.Value(3, 1) / placed.Value(1, 1) * (x - leadX());
  }
  double height() const { return part->bounds.high[2] - part->bounds.low[2]; }
  /// Over all less what its ends lean.
  double edgeMm() const {
    const double lean =
        part->ends[0].angle_deg == 0
            ? 0
            : std::tan(std::abs(part->ends[0].angle_deg) * std::acos(-1.0) / 180) * height();
    return part->bounds.high[0] - part->bounds.low[0] - lean;
  }
};

bool boxesMeet(const Bounds& p, const Bounds& q, double near_mm) {
  for (int axis = 0; axis < 3; ++axis) {
    if (p.low[axis] > q.high[axis] + near_mm || q.low[axis] > p.high[axis] + near_mm) {
      return false;
    }
  }
  return true;
}

/// Along a rail, where no joint may be.
void addTaken(const Model& model, const Standing& rail, std::vector<Range>& taken) {
  constexpr double kNearMm = 1;
  const Bounds& box = rail.instance->bounds;
  const double half = rail.part->tube ? spliceStripOf(*rail.part->tube).length_mm / 2 : 0;
  const double wall = rail.part->tube ? rail.part->tube->wall_mm : 0;
  for (const Instance& other : model.instances) {
    const Part& part = model.parts[other.part];
    if (&other == rail.instance || other.panel != rail.instance->panel || isInNoWay(part) ||
        !boxesMeet(box, other.bounds, kNearMm)) {
      continue;
    }
    // Where the rail is there: its own box goes from its lowest point to its highest.
    const double x = (other.bounds.low[0] + other.bounds.high[0]) / 2;
    const double lean = rail.slope() * (other.bounds.high[0] - other.bounds.low[0]) / 2 + kNearMm;
    const double low_z = rail.lowZ(x), high_z = low_z + rail.height() / rail.cosine();
    if (other.bounds.low[2] > high_z + lean || other.bounds.high[2] < low_z - lean) {
      continue;
    }
    const bool reaches_in = rail.part->tube && other.bounds.high[1] > box.low[1] + wall + kNearMm &&
                            other.bounds.low[1] < box.high[1] - wall - kNearMm &&
                            other.bounds.low[2] < high_z - wall - lean &&
                            other.bounds.high[2] > low_z + wall + lean;
    // A leaning rail's joint takes some of X from its lower edge to its upper one.
    const double off =
        std::max(kOffMemberMm, reaches_in ? half + kOffInsideMm : 0) + rail.slope() * rail.height();
    const double cosine = rail.cosine();
    taken.push_back({(other.bounds.low[0] - rail.leadX()) / cosine - off,
                     (other.bounds.high[0] - rail.leadX()) / cosine + off});
  }
}

/// Nearest to `wanted` between `from` and `to` and out of all that is taken.
std::optional<double> freeNear(double wanted, double from, double to,
                               const std::vector<Range>& taken) {
  std::optional<double> best;
  const auto offer = [&](double at) {
    const bool is_free =
        at >= from && at <= to && std::none_of(taken.begin(), taken.end(), [&](const Range& range) {
          return at > range.low + kLengthEqualMm && at < range.high - kLengthEqualMm;
        });
    if (is_free && (!best || std::abs(at - wanted) < std::abs(*best - wanted) - kLengthEqualMm)) {
      best = at;
    }
  };
  // Whole millimetres where they serve.
  offer(std::round(wanted));
  offer(std::ceil(from));
  offer(std::floor(to));
  for (const Range& range : taken) {
    offer(std::floor(range.low));
    offer(std::ceil(range.high));
  }
  return best;
}

/// Joints of an edge in pieces of at most `longest`; none where they find no places.
std::vector<double> jointsOf(double edge_mm, double longest_mm, const std::vector<Range>& taken) {
  const int fewest = static_cast<int>(std::ceil((edge_mm - kLengthEqualMm) / longest_mm));
  for (int count = fewest; count <= fewest + kMorePieces; ++count) {
    std::vector<double> joints;
    double from = 0;
    for (int left = count - 1; left > 0; --left) {
      const auto at =
          freeNear(from + (edge_mm - from) / (left + 1),
                   std::max(from, edge_mm - left * longest_mm), from + longest_mm, taken);
      if (!at) {
        break;
      }
      joints.push_back(*at);
      from = *at;
    }
    if (static_cast<int>(joints.size()) == count - 1) {
      return joints;
    }
  }
  return {};
}

/// Rails that part together: one of them alone in a workshop, those of a panel on site; with all
/// that are the same part in other panels.
class Planner {
 public:
  explicit Planner(const Model& model) : model_(model) {
    for (const Instance& instance : model.instances) {
      const Part& part = model.parts[instance.part];
      if (isRail(part.kind) && instance.panel > 0) {
        rails_[instance.part].push_back({&part, &instance});
        by_panel_[instance.panel].insert(instance.part);
      }
    }
  }

  std::vector<PartSplices> plan() {
    const ShopSpec& shop = model_.spec.shop;
    for (const std::set<int>& group : groups()) {
      const bool is_on_site =
          shop.transport_mm && longestOf(group) > shop.transport_mm->front() + kLengthEqualMm;
      if (is_on_site) {
        add(group, shop.longestPiece_mm(), true);
        continue;
      }
      for (const int part : group) {
        if (longestOf({part}) > shop.longestPiece_mm() + kLengthEqualMm) {
          add({part}, shop.longestPiece_mm(), false);
        }
      }
    }
    return std::move(plans_);
  }

 private:
  /// Parts that some panel has together.
  std::vector<std::set<int>> groups() const {
    std::vector<std::set<int>> all;
    for (const auto& [panel, parts] : by_panel_) {
      std::set<int> group = parts;
      std::erase_if(all, [&](const std::set<int>& other) {
        const bool is_shared =
            std::any_of(other.begin(), other.end(), [&](int part) { return group.contains(part); });
        if (is_shared) {
          group.insert(other.begin(), other.end());
        }
        return is_shared;
      });
      all.push_back(std::move(group));
    }
    return all;
  }

  double longestOf(const std::set<int>& group) const {
    double longest = 0;
    for (const int part : group) {
      longest = std::max(longest, model_.parts[part].length_mm);
    }
    return longest;
  }

  /// Of alike panels: joints as far from the leading end in all of them.
  void add(const std::set<int>& group, double longest_mm, bool is_on_site) {
    std::vector<Range> taken;
    double edge = 0, lean = 0;
    for (const int part : group) {
      for (const Standing& rail : rails_.at(part)) {
        addTaken(model_, rail, taken);
        edge = std::max(edge, rail.edgeMm());
        lean = std::max(lean, model_.parts[part].length_mm - rail.edgeMm());
      }
    }
    std::vector<Splice> splices;
    for (const double at : jointsOf(edge, longest_mm - lean, taken)) {
      splices.push_back({at, is_on_site});
    }
    if (splices.empty()) {
      return;
    }
    for (const int part : group) {
      plans_.push_back({part, splices});
      std::erase_if(plans_.back().splices, [&](const Splice& splice) {
        return splice.at_mm > rails_.at(part).front().edgeMm() - kOffMemberMm;
      });
    }
  }

  const Model& model_;
  std::map<int, std::vector<Standing>> rails_;  ///< by part
  std::map<int, std::set<int>> by_panel_;       ///< parts
  std::vector<PartSplices> plans_;
};

}  // namespace

std::vector<PartSplices> planSplices(const Model& model) {
  return Planner(model).plan();
}

SpliceStrip spliceStripOf(const HollowSection& section) {
  const double deep = section.depth_mm - 2 * section.wall_mm;
  const double high = section.height_mm - 2 * section.wall_mm;
  const double round = cornerRadii(section).inner_mm;
  const auto widest = [](double room_mm) {
    double width = 0;
    for (const double flat : kFlatsMm) {
      width = flat <= room_mm ? flat : width;
    }
    return width;
  };
  SpliceStrip strip;
  strip.length_mm = 2 * std::max(kLeastHalfStripMm, std::max(section.height_mm, section.depth_mm));
  strip.thick_mm = kStripThickMm;
  const double on_sides = widest(high - 2 * std::max(round, kStripPlayMm));
  const double between = widest(deep - 2 * (kStripThickMm + kStripPlayMm));
  strip.has_flanges = between > 0 && high > on_sides && deep > 4 * kStripThickMm;
  strip.width_mm = strip.has_flanges ? std::min(on_sides, between) : on_sides;
  // Sides' strips end below the flanges' ones.
  if (strip.has_flanges && strip.width_mm > high - 2 * (kStripThickMm + kStripPlayMm)) {
    const double lower = widest(high - 2 * (kStripThickMm + kStripPlayMm));
    strip.has_flanges = lower > 0;
    strip.width_mm = strip.has_flanges ? std::min(lower, between) : on_sides;
  }
  return strip.width_mm > 0 ? strip : SpliceStrip{};
}

std::vector<std::array<double, 2>> piecesAlong(const Part& part) {
  // In the parts of a left-hand gate the rail runs towards -X.
  const bool is_mirrored = part.bounds.high[0] < -part.bounds.low[0];
  std::vector<std::array<double, 2>> pieces;
  double from = is_mirrored ? part.bounds.high[0] : part.bounds.low[0];
  const auto add = [&](double to) {
    pieces.push_back({std::min(from, to), std::max(from, to)});
    from = to;
  };
  for (const Splice& splice : part.splices) {
    add(is_mirrored ? -splice.at_mm : splice.at_mm);
  }
  add(is_mirrored ? part.bounds.low[0] : part.bounds.high[0]);
  return pieces;
}

std::vector<double> pieceLengths_mm(const Part& part) {
  if (part.splices.empty()) {
    return {part.length_mm};
  }
  std::vector<double> lengths;
  for (const auto& [low, high] : piecesAlong(part)) {
    lengths.push_back(high - low);
  }
  return lengths;
}

std::vector<Part> pieceParts(const Part& part) {
  std::vector<Part> pieces;
  if (part.splices.empty()) {
    return pieces;
  }
  constexpr double kBeyondMm = 1;
  const std::vector<double> lengths = pieceLengths_mm(part);
  for (const auto& [low, high] : piecesAlong(part)) {
    const std::size_t i = pieces.size();
    Part& piece = pieces.emplace_back(part);
    piece.splices.clear();
    piece.vents.clear();
    piece.mark = pieceMark(part, static_cast<int>(i));
    piece.name += ", piece " + std::to_string(i + 1) + " of " + std::to_string(lengths.size());
    piece.length_mm = lengths[i];
    const TopoDS_Shape within =
        box({low, part.bounds.low[1] - kBeyondMm, part.bounds.low[2] - kBeyondMm},
            {high, part.bounds.high[1] + kBeyondMm, part.bounds.high[2] + kBeyondMm});
    kernelSays(part.in_words, [&] {
      piece.solid =
          closedSolid(BRepAlgoAPI_Common(part.solid, within).Shape(), part.in_words + ", piece");
      piece.bounds = tightBounds(piece.solid);
      const MassProperties mass = massProperties(piece.solid);
      piece.volume_mm3 = mass.volume_mm3;
      piece.centroid_mm = mass.centroid_mm;
      piece.area_mm2 = surfaceArea(piece.solid);
      piece.face_count = faceCount(piece.solid);
    });
  }
  return pieces;
}

std::string pieceMark(const Part& part, int piece) {
  return part.splices.empty() ? part.mark : part.mark + "-" + std::to_string(piece + 1);
}

std::vector<double> siteJoints_mm(const Model& model, int panel) {
  std::vector<double> joints;
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    if (instance.panel != panel || part.kind != PartKind::kBottomRail) {
      continue;
    }
    const gp_Trsf& placed = instance.at_closed.Transformation();
    for (const Splice& splice : part.splices) {
      if (splice.is_on_site) {
        const double x = model.opening_sign * splice.at_mm;
        joints.push_back(
            model.opening_sign *
            gp_Pnt(x, part.tube->depth_mm / 2, part.tube->height_mm / 2).Transformed(placed).X());
      }
    }
  }
  return joints;
}

std::vector<int> acrossSiteJoints(const Model& model, int panel) {
  const std::vector<double> joints = siteJoints_mm(model, panel);
  std::vector<int> across;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    const Part& part = model.parts[instance.part];
    if (instance.panel != panel || instance.body != panel || isRail(part.kind) ||
        part.kind == PartKind::kSpliceStrip || part.kind == PartKind::kRope) {
      continue;
    }
    const bool is_mirrored = model.opening_sign < 0;
    const double low = is_mirrored ? -instance.bounds.high[0] : instance.bounds.low[0];
    const double high = is_mirrored ? -instance.bounds.low[0] : instance.bounds.high[0];
    if (std::any_of(joints.begin(), joints.end(), [&](double x) {
          return low < x - kLengthEqualMm && high > x + kLengthEqualMm;
        })) {
      across.push_back(i);
    }
  }
  return across;
}

// ------------------------------------------------------------------------------ in the builder

namespace {

std::string inWords(const Part& part) {
  std::string text = "in " + std::to_string(part.splices.size() + 1) + " pieces,";
  const char* before = " ";
  int piece = 0;
  for (const double length : pieceLengths_mm(part)) {
    text += before + shown(length, 1) + " (" + pieceMark(part, piece++) + ")";
    before = ", ";
  }
  text += " from the leading end, butt-welded all round ";
  text += part.splices.front().is_on_site ? "on site" : "in the workshop";
  return text + (part.tube ? " on strips inside" : "") + " and ground flush";
}

}  // namespace

void ModelBuilder::addSpliceStrips(int rail, double at_mm) {
  const int rail_part = model_.instances[rail].part;
  const HollowSection section = *model_.parts[rail_part].tube;
  const SpliceStrip strip = spliceStripOf(section);
  if (strip.width_mm <= 0) {
    return;
  }
  const auto built = model_.parts.size();
  const int made = part(
      {PartKind::kSpliceStrip, "flat " + sizes({strip.width_mm, strip.thick_mm}), strip.length_mm},
      {strip.width_mm, strip.thick_mm, strip.length_mm}, [strip] {
        return box({0, 0, 0}, {strip.length_mm, strip.thick_mm, strip.width_mm});
      });
  if (model_.parts.size() > built) {
    takeOrBuild(model_.parts[made], builds_[made]);
  }
  struct Place {
    double y, z;
    bool lies;
  };
  const double wall = section.wall_mm, t = strip.thick_mm, w = strip.width_mm;
  const double low_z = (section.height_mm - w) / 2, low_y = (section.depth_mm + w) / 2;
  std::vector<Place> places = {{wall, low_z, false}, {section.depth_mm - wall - t, low_z, false}};
  if (strip.has_flanges) {
    // Lying, Z of the strip is -Y of the rail, and Y of it Z.
    places.push_back({low_y, wall, true});
    places.push_back({low_y, section.height_mm - wall - t, true});
  }
  const std::string why = "the strip lies behind the rail's joint, whose root catches it";
  for (const Place& one : places) {
    const double x = at_mm - strip.length_mm / 2, up = one.lies ? 0 : 1, over = one.lies ? 1 : 0;
    gp_Trsf within;
    within.SetValues(1, 0, 0, x, 0, up, -over, one.y, 0, over, up, one.z);
    const TopLoc_Location at(model_.instances[rail].at_closed.Transformation() * within);
    const int placed = addInstance(made, model_.instances[rail].panel, at);
    model_.instances[placed].bounds = boundsOf(made, at);
    contact(placed, rail, ContactKind::kBolted, why, kJoinGapMm);
  }
}

void ModelBuilder::spliceRails() {
  for (PartSplices& plan : planSplices(model_)) {
    Part& whole = model_.parts[plan.part];
    whole.splices = std::move(plan.splices);
    whole.cutouts.push_back(inWords(whole));
    const std::vector<Splice> splices = whole.splices;  // parts are added below
    const bool is_hollow = whole.tube.has_value();
    const int instances = static_cast<int>(model_.instances.size());
    for (int i = 0; is_hollow && i < instances; ++i) {
      for (const Splice& splice : splices) {
        if (model_.instances[i].part == plan.part) {
          addSpliceStrips(i, splice.at_mm);
        }
      }
    }
  }
}

}  // namespace leafstack
