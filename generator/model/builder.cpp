#include "generator/model/builder.h"

#include <TopoDS_Edge.hxx>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <gp.hxx>
#include <gp_Dir.hxx>
#include <gp_Trsf.hxx>
#include <numbers>

#include "generator/geometry/mesh/given_mesh.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/travel/motion.h"
#include "generator/model/density.h"
#include "generator/model/vents.h"
#include "generator/occt/checked.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

/// "BR1 (bottom rail, RHS 100x50x3; figures 3180, 50, 44)": what to name when it cannot be built.
std::string inWords(const Part& part, const std::vector<double>& dimensions) {
  std::string text = part.mark + " (" + part.name;
  if (!part.section.empty()) {
    text += ", ";
    text += part.section;
  }
  const char* before = "; figures ";
  for (const double dimension : dimensions) {
    text += before;
    text += shown(dimension, 4);
    before = ", ";
  }
  return text += ")";
}

/// Exact: as many digits as tell the number from its neighbours.
void appendExactly(std::string& text, double value) {
  char digits[32];
  const auto end = std::to_chars(digits, digits + sizeof digits, value, std::chars_format::hex);
  text.append(digits, end.ptr) += ' ';
}

/// What stands on the footing, catches and keeps panels may take sizes of the whole shelf; no other
/// part takes any of that of the site's groups.
bool takesSiteGroups(PartKind kind) {
  return kind == PartKind::kFencePost ||
         std::find(kSiteGroups.begin(), kSiteGroups.end(), rowOf(kind).shelf) != kSiteGroups.end();
}

std::string identityOf(const Part& part, const std::vector<double>& dimensions,
                       const std::vector<double>& within, const std::string& shelf) {
  std::string text(rowOf(part.kind).letters);
  text += ' ';
  if (part.tube) {
    for (const double size : {part.tube->height_mm, part.tube->depth_mm, part.tube->wall_mm}) {
      appendExactly(text, size);
    }
    text += part.tube->is_extruded ? "extruded " : "";
  }
  for (const auto* figures : {&dimensions, &within}) {
    text += "| ";
    for (const double figure : *figures) {
      appendExactly(text, figure);
    }
  }
  return text += shelf;  // part builders take what they need of it
}

void measureTriangles(Part& part) {
  const GivenMass mass = massOf(trianglesOf(part.solid));
  part.volume_mm3 = mass.volume_mm3;
  part.area_mm2 = mass.area_mm2;
  part.centroid_mm = mass.centroid_mm;
  part.bounds = mass.bounds;
  part.face_count = 1;
  part.is_triangles = true;
}

void measure(Part& part, Weighed weighed) {
  if (isOfTriangles(part.solid)) {
    return measureTriangles(part);
  }
  if (weighed == Weighed::kNot) {
    part.bounds = tightBounds(part.solid);
    return;
  }
  MassProperties properties = massProperties(part.solid);
  if (properties.volume_mm3 < 0) {
    part.solid.Reverse();
    properties.volume_mm3 = -properties.volume_mm3;  // the centroid stays
  }
  if (!(properties.volume_mm3 > 0)) {
    throw GeometryError(part.in_words + ": no volume");
  }
  part.volume_mm3 = properties.volume_mm3;
  part.centroid_mm = properties.centroid_mm;
  part.bounds = tightBounds(part.solid);
}

}  // namespace

std::string sizes(std::initializer_list<double> values) {
  std::string text;
  for (double value : values) {
    text += (text.empty() ? "" : "x") + shown(value);
  }
  return text;
}

Slope Slope::of(double grade) {
  const double cosine = 1 / std::sqrt(1 + grade * grade);
  return {grade, cosine, grade * cosine};
}

Point3 PanelFrame::at(double along, double across, double up) const {
  return {origin_mm[0] + along * slope.cosine, origin_mm[1] + across,
          origin_mm[2] + along * slope.sine + up / slope.cosine};
}

double PanelFrame::underTopZ(double x) const {
  return topZ(x) - top_rail_height_mm / topSlope().cosine;
}

EndCut mitre(double slope) {
  if (slope == 0) {
    return {};
  }
  return {std::atan(slope) * 180 / std::numbers::pi, "elevation"};
}

ModelBuilder::ModelBuilder(const GateSpec& spec, const Layout& layout, const Made& made)
    : store_(made.store),
      weighed_(made.weighed),
      shelf_(shelfWord(spec, ShelfGroups::kOther)),
      site_shelf_(shelfWord(spec, ShelfGroups::kSite)) {
  model_.spec = spec;
  model_.layout = layout;
  model_.opening_sign = 1;  // right-handed until finish() mirrors
  model_.speed_ratio = speedRatios(layout.panel_count, anchorsOneBehind(layout.panel_count));
  model_.travels = layout.ground.travels;
  for (const PanelLayout& row : layout.panels) {
    PanelFrame frame;
    frame.number = row.number;
    frame.origin_mm = {row.leading_closed_mm, row.front_y_mm, row.underside_z_mm};
    frame.slope = Slope::of(row.grade);
    frame.length_mm = row.length_mm / frame.slope.cosine;
    frame.frame_length_mm = row.frame_length_mm;
    frame.depth_mm = layout.stack.frame_depth_mm;
    frame.rail_height_mm = layout.heights.rail_height_mm;
    frame.top_z_mm = row.top_z_mm;
    frame.top_grade = row.top_grade;
    frame.top_rail_height_mm = spec.gate.top_rail.height_mm;
    frame.bottom_rail_wall_mm = spec.gate.bottom_rail.wall_mm;
    frame.carries_rope = row.number < layout.panel_count;
    frame.carries_channel = frame.carries_rope;
    frame.channel_offset_mm = layout.stack.packing_mm - spec.guides.recess_mm;
    is_level_ = is_level_ && row.grade == 0 && layout.guides.at(row.number - 1).drop_mm == 0;
    panels_.push_back(frame);
  }
}

std::string ModelBuilder::frameMaterial() const {
  return spec().gate.material == FrameMaterial::kSteel ? "steel" : "aluminium";
}

ContactKind ModelBuilder::steelOnFrame() const {
  return spec().gate.material == FrameMaterial::kSteel ? ContactKind::kWelded
                                                       : ContactKind::kBolted;
}

std::string ModelBuilder::nextMark(PartKind kind) {
  const std::string letters(rowOf(kind).letters);
  return letters + std::to_string(++marks_used_[letters]);
}

int ModelBuilder::knownOrNew(const PartSpec& spec, const std::vector<double>& dimensions,
                             Build build) {
  std::string key(rowOf(spec.kind).letters);
  key += "|" + spec.section.words;
  for (double dimension : dimensions) {
    // A thousandth of a millimetre tells parts apart; no shop does.
    key += "|" + std::to_string(std::llround(dimension * 1000));
  }
  const auto known = part_by_key_.find(key);
  if (known != part_by_key_.end()) {
    return known->second;
  }
  const int index = addPart(spec, dimensions, std::move(build));
  part_by_key_.emplace(std::move(key), index);
  return index;
}

int ModelBuilder::part(const PartSpec& spec, const std::vector<double>& dimensions,
                       const std::function<TopoDS_Shape()>& build) {
  return knownOrNew(spec, dimensions, [build, weighed = weighed_](Part& part) {
    part.solid = build();
    if (!isOfTriangles(part.solid)) {
      part.solid = closedSolid(part.solid, part.in_words);
    }
    measure(part, weighed);
  });
}

int ModelBuilder::measuredPart(const PartSpec& spec, const std::vector<double>& dimensions,
                               const std::function<MeasuredSolid()>& build) {
  return knownOrNew(spec, dimensions, [build, weighed = weighed_](Part& part) {
    const MeasuredSolid measured = build();
    part.solid = closedSolid(measured.solid, part.in_words);
    part.bounds = tightBounds(part.solid);
    if (weighed == Weighed::kNot) {
      return;
    }
    part.volume_mm3 = measured.volume_mm3;
    part.centroid_mm = measured.centroid_mm;
    part.area_mm2 = measured.area_mm2;
    part.face_count = faceCount(part.solid);
  });
}

int ModelBuilder::adjustablePart(const PartSpec& spec, const std::vector<double>& dimensions,
                                 const std::function<TopoDS_Shape()>& build,
                                 const std::function<TopoDS_Shape()>& reach) {
  return knownOrNew(spec, dimensions, [build, reach, weighed = weighed_](Part& part) {
    part.solid = closedSolid(reach(), part.in_words + " (adjusted)");
    measure(part, weighed);
    part.reach = AdjustedSpace{part.solid, part.bounds, part.volume_mm3};
    part.solid = closedSolid(build(), part.in_words);
    measure(part, weighed);
  });
}

int ModelBuilder::ropePart(const PartSpec& spec, const Bounds& bounds,
                           const std::function<TopoDS_Shape()>& closed,
                           const std::function<TopoDS_Shape()>& open) {
  return addPart(spec, {spec.length_mm}, [bounds, closed, open, weighed = weighed_](Part& rope) {
    rope.solid = closedSolid(closed(), rope.in_words);
    measure(rope, weighed);
    rope.bounds = bounds;
    rope.open_solid = closedSolid(open(), rope.in_words + " (open)");
    if (massProperties(rope.open_solid).volume_mm3 < 0) {
      rope.open_solid.Reverse();
    }
  });
}

void ModelBuilder::pierce(Part& part) {
  part.identity += "vents ";
  for (const VentHole& vent : part.vents) {
    part.cutouts.push_back(ventInWords(part, vent));
    for (const double figure : vent.centre_mm) {
      appendExactly(part.identity, figure);
    }
    appendExactly(part.identity, static_cast<double>(vent.wall));
    appendExactly(part.identity, vent.diameter_mm);
  }
  takeOrBuild(part, [weighed = weighed_](Part& pierced) {
    pierced.area_mm2 = 0;
    pierced.face_count = 0;
    pierced.solid = closedSolid(cut(pierced.solid, ventTools(pierced)), pierced.in_words);
    measure(pierced, weighed);
  });
}

void ModelBuilder::drill(int instance, std::vector<RoundHole> holes, std::string words) {
  Drilling drilling{instance, std::move(holes), std::move(words), "holes "};
  const gp_Trsf to_part = model_.instances.at(instance).at_closed.Transformation().Inverted();
  for (RoundHole& hole : drilling.holes) {
    const gp_Pnt from =
        gp_Pnt(hole.from_mm[0], hole.from_mm[1], hole.from_mm[2]).Transformed(to_part);
    const gp_Vec into = gp_Vec(hole.into[0], hole.into[1], hole.into[2]).Transformed(to_part);
    // Alike members of two panels are one part, whatever rounding their places leave.
    const auto told = [](double value) { return std::round(value * 1e6) / 1e6; };
    hole.from_mm = {told(from.X()), told(from.Y()), told(from.Z())};
    hole.into = {told(into.X()), told(into.Y()), told(into.Z())};
    for (const auto* figures : {&hole.from_mm, &hole.into}) {
      for (const double figure : *figures) {
        appendExactly(drilling.identity, figure);
      }
    }
    appendExactly(drilling.identity, hole.radius_mm);
    appendExactly(drilling.identity, hole.deep_mm);
  }
  drillings_.push_back(std::move(drilling));
}

/// `part` as drilled: itself, where no other instance of it stays as it was, or another.
int ModelBuilder::drilledPart(int part, const Drilling& drilling, bool is_in_place) {
  int made = part;
  if (!is_in_place) {
    made = static_cast<int>(model_.parts.size());
    Part copy = model_.parts[part];
    const std::string mark = nextMark(copy.kind);
    copy.in_words.replace(0, copy.mark.size(), mark);
    copy.mark = mark;
    model_.parts.push_back(std::move(copy));
    builds_.push_back(builds_[part]);
  }
  Part& drilled = model_.parts[made];
  drilled.identity += drilling.identity;
  drilled.cutouts.push_back(drilling.words);
  builds_[made] = [bare = builds_[made], holes = drilling.holes, weighed = weighed_](Part& one) {
    bare(one);
    one.area_mm2 = 0;
    one.face_count = 0;
    one.solid = closedSolid(bored(one.solid, holes), one.in_words);
    measure(one, weighed);
  };
  return made;
}

void ModelBuilder::drillAll() {
  std::map<int, int> left;  // instances by part, that are not drilled yet
  for (const Instance& instance : model_.instances) {
    ++left[instance.part];
  }
  std::map<std::pair<int, std::string>, std::vector<const Drilling*>> alike;
  for (const Drilling& drilling : drillings_) {
    alike[{model_.instances[drilling.instance].part, drilling.identity}].push_back(&drilling);
  }
  for (const auto& [which, drillings] : alike) {
    left[which.first] -= static_cast<int>(drillings.size());
    const int made = drilledPart(which.first, *drillings.front(), left[which.first] == 0);
    for (const Drilling* const drilling : drillings) {
      model_.instances[drilling->instance].part = made;
    }
  }
  if (!drillings_.empty()) {
    placed_of_.clear();
    for (Instance& instance : model_.instances) {
      instance.serial = ++placed_of_[instance.part];
    }
  }
  drillings_.clear();
}

int ModelBuilder::addPart(const PartSpec& spec, const std::vector<double>& dimensions,
                          Build build) {
  const PartKindRow& row = rowOf(spec.kind);
  Part part;
  part.kind = spec.kind;
  part.supply = spec.supply.value_or(row.supply);
  part.name = spec.name.empty() ? std::string(row.words) : spec.name;
  const std::string_view material = spec.material.empty() ? row.material : spec.material;
  part.material = material == kFrameMetal ? frameMaterial() : std::string(material);
  part.section = spec.section.words;
  part.tube = spec.section.tube;
  part.length_mm = spec.length_mm;
  part.ends = spec.ends;
  part.cutouts = spec.cutouts;
  part.density_kg_m3 = densityOf(part.material, model_.spec);
  part.mark = nextMark(spec.kind);
  part.in_words = inWords(part, dimensions);
  part.identity = identityOf(part, dimensions, spec.within,
                             takesSiteGroups(part.kind) ? shelf_ + ' ' + site_shelf_ : shelf_);
  model_.parts.push_back(std::move(part));
  builds_.push_back(std::move(build));
  return static_cast<int>(model_.parts.size()) - 1;
}

int ModelBuilder::addInstance(int part, int panel, const TopLoc_Location& at) {
  Instance instance;
  instance.part = part;
  instance.panel = panel;
  instance.body = panel;
  instance.serial = ++placed_of_[part];
  instance.at_closed = at;
  model_.instances.push_back(instance);
  return static_cast<int>(model_.instances.size()) - 1;
}

int ModelBuilder::place(int part, int panel, const Point3& at) {
  if (at == Point3{}) {
    return addInstance(part, panel, TopLoc_Location());
  }
  gp_Trsf motion;
  motion.SetTranslation(gp_Vec(at[0], at[1], at[2]));
  return addInstance(part, panel, TopLoc_Location(motion));
}

int ModelBuilder::place(int part, int panel, const Point3& at, const Slope& slope) {
  if (slope.isLevel()) {
    return place(part, panel, at);
  }
  gp_Trsf motion;
  motion.SetValues(slope.cosine, 0, -slope.sine, at[0], 0, 1, 0, at[1], slope.sine, 0, slope.cosine,
                   at[2]);
  return addInstance(part, panel, TopLoc_Location(motion));
}

int ModelBuilder::placeTurned(int part, int panel, const Point3& at, const Slope& slope,
                              TurnedOver turn) {
  if (turn == TurnedOver::kNot) {
    return place(part, panel, at, slope);
  }
  const double x = turn == TurnedOver::kAboutAlong ? 1 : -1;
  const double y = turn == TurnedOver::kAboutAcross ? 1 : -1;
  const double z = turn == TurnedOver::kAboutUp ? 1 : -1;
  gp_Trsf motion;  // exact half turn, then the slope
  motion.SetValues(x * slope.cosine, 0, -z * slope.sine, at[0], 0, y, 0, at[1], x * slope.sine, 0,
                   z * slope.cosine, at[2]);
  return addInstance(part, panel, TopLoc_Location(motion));
}

int ModelBuilder::placeFacing(int part, int panel, const Point3& at, const Point3& facing) {
  const gp_Dir z(facing[0], facing[1], facing[2]);
  const bool is_across = std::abs(z.Y()) > 0.5;
  const gp_Dir x = is_across ? gp::DX() : gp::DY().Crossed(z);
  const gp_Dir y = z.Crossed(x);
  gp_Trsf motion;
  motion.SetValues(x.X(), y.X(), z.X(), at[0], x.Y(), y.Y(), z.Y(), at[1], x.Z(), y.Z(), z.Z(),
                   at[2]);
  return addInstance(part, panel, TopLoc_Location(motion));
}

Contact& ModelBuilder::contact(int a, int b, ContactKind kind, const std::string& reason,
                               double gap_mm, double overlap_mm) {
  return model_.contacts.emplace_back(
      Contact{std::min(a, b), std::max(a, b), kind, reason, gap_mm, overlap_mm});
}

std::vector<int> ModelBuilder::instancesOf(PartKind kind, int panel) const {
  std::vector<int> found;
  for (int index = 0; index < static_cast<int>(model_.instances.size()); ++index) {
    const Instance& candidate = model_.instances[index];
    if (candidate.panel == panel && model_.parts[candidate.part].kind == kind) {
      found.push_back(index);
    }
  }
  return found;
}

void ModelBuilder::joinTouching(int instance, std::initializer_list<PartKind> with,
                                ContactKind kind, const std::string& reason, double overlap_mm) {
  joins_.push_back({instance, static_cast<int>(model_.instances.size()), model_.contacts.size(),
                    with, kind, reason, overlap_mm});
}

}  // namespace leafstack
