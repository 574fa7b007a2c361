#include "generator/model/builder.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepLib.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Trsf.hxx>
#include <numbers>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/travel/motion.h"
#include "generator/model/density.h"
#include "generator/model/standing.h"
#include "generator/occt/checked.h"
#include "generator/occt/kernel_says.h"

namespace leafstack {
namespace {

// Contacts are declared where bounds meet to within rounding.
constexpr double kMeetMm = 1e-6;

bool boundsMeet(const Bounds& p, const Bounds& q) {
  for (int axis = 0; axis < 3; ++axis) {
    if (p.low[axis] > q.high[axis] + kMeetMm || q.low[axis] > p.high[axis] + kMeetMm) {
      return false;
    }
  }
  return true;
}

/// Gives every edge its curve on every plane face once; else meshing, checking and measuring each
/// work it out again (a tenth of a build's time).
void storePlaneCurves(const TopoDS_Shape& solid) {
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (BRepAdaptor_Surface(face, /*restriction=*/false).GetType() != GeomAbs_Plane) {
      continue;
    }
    for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
      BRepLib::BuildPCurveForEdgeOnPlane(TopoDS::Edge(edges.Current()), face);
    }
  }
}

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

std::string identityOf(const Part& part, const std::vector<double>& dimensions,
                       const std::vector<double>& within) {
  std::string text(rowOf(part.kind).letters);
  text += ' ';
  if (part.tube) {
    for (const double size : {part.tube->height_mm, part.tube->depth_mm, part.tube->wall_mm}) {
      appendExactly(text, size);
    }
  }
  for (const auto* figures : {&dimensions, &within}) {
    text += "| ";
    for (const double figure : *figures) {
      appendExactly(text, figure);
    }
  }
  return text;
}

constexpr const char* kMirrored = "mirrored";  // at the end of an identity

void take(Part& part, const StoredPart& stored) {
  part.solid = stored.solid;
  part.open_solid = stored.open_solid;
  part.bounds = stored.bounds;
  part.volume_mm3 = stored.volume_mm3;
  part.centroid_mm = stored.centroid_mm;
  part.area_mm2 = stored.area_mm2;
  part.face_count = stored.face_count;
}

StoredPart stored(const Part& part) {
  return {part.solid,       part.open_solid, part.bounds,    part.volume_mm3,
          part.centroid_mm, part.area_mm2,   part.face_count};
}

void measure(Part& part) {
  storePlaneCurves(part.solid);
  MassProperties properties = massProperties(part.solid);
  if (properties.volume_mm3 < 0) {
    part.solid.Reverse();
    properties = massProperties(part.solid);
  }
  if (!(properties.volume_mm3 > 0)) {
    throw GeometryError(part.in_words + ": no volume");
  }
  part.volume_mm3 = properties.volume_mm3;
  part.centroid_mm = properties.centroid_mm;
  part.bounds = tightBounds(part.solid);
}

TopLoc_Location mirrored(const TopLoc_Location& location) {
  // M T M with M: x -> -x keeps a rigid motion rigid.
  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2(gp::Origin(), gp::DX()));
  const gp_Trsf motion = mirror * location.Transformation() * mirror;
  return TopLoc_Location(motion);
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

ModelBuilder::ModelBuilder(const GateSpec& spec, const Layout& layout, PartStore* store)
    : store_(store) {
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

int ModelBuilder::part(const PartSpec& spec, const std::vector<double>& dimensions,
                       const std::function<TopoDS_Shape()>& build) {
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
  const int index = addPart(spec, dimensions, [&build](Part& part) {
    part.solid = closedSolid(build(), part.in_words);
    measure(part);
  });
  part_by_key_.emplace(std::move(key), index);
  return index;
}

int ModelBuilder::ropePart(const PartSpec& spec, const Bounds& bounds,
                           const std::function<TopoDS_Shape()>& closed,
                           const std::function<TopoDS_Shape()>& open) {
  return addPart(spec, {spec.length_mm}, [&](Part& rope) {
    rope.solid = closedSolid(closed(), rope.in_words);
    measure(rope);
    rope.bounds = bounds;
    rope.open_solid = closedSolid(open(), rope.in_words + " (open)");
    if (massProperties(rope.open_solid).volume_mm3 < 0) {
      rope.open_solid.Reverse();
    }
  });
}

int ModelBuilder::addPart(const PartSpec& spec, const std::vector<double>& dimensions,
                          const std::function<void(Part&)>& build) {
  const PartKindRow& row = rowOf(spec.kind);
  Part part;
  part.kind = spec.kind;
  part.supply = spec.supply.value_or(row.supply);
  part.name = spec.name.empty() ? std::string(row.words) : spec.name;
  part.material = row.material == kFrameMetal ? frameMaterial() : std::string(row.material);
  part.section = spec.section.words;
  part.tube = spec.section.tube;
  part.length_mm = spec.length_mm;
  part.ends = spec.ends;
  part.cutouts = spec.cutouts;
  part.density_kg_m3 = densityOf(part.material, model_.spec);
  part.mark = nextMark(spec.kind);
  part.in_words = inWords(part, dimensions);
  part.identity = identityOf(part, dimensions, spec.within);
  takeOrBuild(part, build);
  model_.parts.push_back(std::move(part));
  return static_cast<int>(model_.parts.size()) - 1;
}

void ModelBuilder::takeOrBuild(Part& part, const std::function<void(Part&)>& build) {
  if (store_ != nullptr) {
    if (const auto known = store_->find(part.identity)) {
      take(part, *known);
      return;
    }
  }
  kernelSays(part.in_words, [&] { build(part); });
  if (store_ != nullptr) {
    store_->keep(part.identity, stored(part));
  }
}

int ModelBuilder::addInstance(int part, int panel, const TopLoc_Location& at) {
  Instance instance;
  instance.part = part;
  instance.panel = panel;
  instance.body = panel;
  instance.serial = ++placed_of_[part];
  instance.at_closed = at;
  instance.bounds = boundsOf(part, at);
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

int ModelBuilder::placeTurned(int part, int panel, const Point3& at, const Slope& slope) {
  gp_Trsf turn;  // exact half turn, then the slope
  turn.SetValues(-slope.cosine, 0, -slope.sine, at[0], 0, -1, 0, at[1], -slope.sine, 0,
                 slope.cosine, at[2]);
  return addInstance(part, panel, TopLoc_Location(turn));
}

/// Parts are placed upright or leaning about Y, either way round.
ModelBuilder::Turn ModelBuilder::turnOf(int part, const TopLoc_Location& at) {
  constexpr double kTurnsPerUnit = 1e12;
  const gp_Trsf& turn = at.Transformation();
  const double facing = turn.Value(2, 2) > 0 ? 1 : -1;
  return {part, std::llround((turn.Value(1, 3) + 2 * facing) * kTurnsPerUnit)};
}

/// Bounds of a leaning part are taken of the part as it leans: a box round its box would be loose.
Bounds ModelBuilder::boundsOf(int part, const TopLoc_Location& at) {
  const Part& what = model_.parts[part];
  gp_Trsf turn = at.Transformation();
  const double lean = turn.Value(1, 3);
  if (lean == 0 || what.kind == PartKind::kRope) {
    return movedBounds(what.bounds, at);
  }
  turn.SetTranslationPart(gp_Vec(0, 0, 0));
  const auto [known, is_new] = turned_bounds_.try_emplace(turnOf(part, at));
  if (is_new) {
    kernelSays(what.in_words,
               [&] { known->second = tightBounds(what.solid.Moved(TopLoc_Location(turn))); });
  }
  gp_Trsf shift;
  shift.SetTranslation(gp_Vec(at.Transformation().TranslationPart()));
  return movedBounds(known->second, TopLoc_Location(shift));
}

Contact& ModelBuilder::contact(int a, int b, ContactKind kind, const std::string& reason,
                               double gap_mm, double overlap_mm) {
  return model_.contacts.emplace_back(
      Contact{std::min(a, b), std::max(a, b), kind, reason, gap_mm, overlap_mm});
}

void ModelBuilder::joinTouching(int instance, std::initializer_list<PartKind> with,
                                ContactKind kind, const std::string& reason) {
  const Instance& one = model_.instances[instance];
  for (int other = 0; other < static_cast<int>(model_.instances.size()); ++other) {
    const Instance& candidate = model_.instances[other];
    const PartKind candidate_kind = model_.parts[candidate.part].kind;
    const bool listed = std::find(with.begin(), with.end(), candidate_kind) != with.end();
    if (other != instance && candidate.panel == one.panel && listed &&
        boundsMeet(one.bounds, candidate.bounds) && isJoint(instance, other)) {
      contact(instance, other, kind, reason, kJoinGapMm);
    }
  }
}

/// Bounds that meet by more than any round corner takes are solids that meet. The others are looked
/// at: the edge of a board may reach no further than the round corner of an upright.
bool ModelBuilder::isJoint(int one, int other) {
  const Bounds& p = model_.instances[one].bounds;
  const Bounds& q = model_.instances[other].bounds;
  constexpr double kWidestCornerMm = 16;
  int wide = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double overlap =
        std::min(p.high[axis], q.high[axis]) - std::max(p.low[axis], q.low[axis]);
    wide += overlap >= kWidestCornerMm ? 1 : 0;
  }
  // On slopes bounds meet where solids do not.
  if (wide >= 2 && is_level_) {
    return true;
  }
  const gp_XYZ apart = model_.instances[other].at_closed.Transformation().TranslationPart() -
                       model_.instances[one].at_closed.Transformation().TranslationPart();
  return standWithin(turnedMesh(one), turnedMesh(other), {apart.X(), apart.Y(), apart.Z()},
                     kJoinGapMm);
}

/// Where solids are looked at, the same few parts are looked at in many places.
const TriangleMesh& ModelBuilder::turnedMesh(int instance) {
  const Instance& placed = model_.instances[instance];
  std::unique_ptr<TriangleMesh>& mesh = turned_meshes_[turnOf(placed.part, placed.at_closed)];
  if (!mesh) {
    const Part& part = model_.parts[placed.part];
    gp_Trsf turn = placed.at_closed.Transformation();
    turn.SetTranslationPart(gp_Vec(0, 0, 0));
    kernelSays(part.in_words, [&] { mesh = std::make_unique<TriangleMesh>(part.solid, turn); });
  }
  return *mesh;
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

void measureAreas(Model& model, PartStore* store) {
  inParallel(static_cast<int>(model.parts.size()), [&](int i) {
    Part& part = model.parts[static_cast<std::size_t>(i)];
    if (part.face_count > 0) {
      return;  // from the store
    }
    kernelSays(part.in_words, [&] { part.area_mm2 = surfaceArea(part.solid); });
    for (TopExp_Explorer faces(part.solid, TopAbs_FACE); faces.More(); faces.Next()) {
      ++part.face_count;
    }
  });
  if (store != nullptr) {
    for (const Part& part : model.parts) {
      store->keep(part.identity, stored(part));
    }
  }
}

void ModelBuilder::mirror(Part& part) {
  part.identity += kMirrored;
  takeOrBuild(part, [](Part& turned) {
    turned.bounds = {{-turned.bounds.high[0], turned.bounds.low[1], turned.bounds.low[2]},
                     {-turned.bounds.low[0], turned.bounds.high[1], turned.bounds.high[2]}};
    turned.centroid_mm[0] = -turned.centroid_mm[0];
    turned.area_mm2 = 0;
    turned.face_count = 0;
    turned.solid = closedSolid(mirroredInX(turned.solid), turned.in_words);
    if (!turned.open_solid.IsNull()) {
      turned.open_solid = closedSolid(mirroredInX(turned.open_solid), turned.in_words + " (open)");
    }
  });
}

Model ModelBuilder::finish() {
  if (model_.spec.site.opens == Hand::kLeft) {
    model_.opening_sign = -1;
    for (Part& part : model_.parts) {
      mirror(part);
    }
    for (Instance& instance : model_.instances) {
      if (!instance.at_closed.IsIdentity()) {
        instance.at_closed = mirrored(instance.at_closed);
      }
      instance.bounds = {
          {-instance.bounds.high[0], instance.bounds.low[1], instance.bounds.low[2]},
          {-instance.bounds.low[0], instance.bounds.high[1], instance.bounds.high[2]}};
    }
  }
  if (store_ != nullptr) {
    store_->endModel();
  }
  return std::move(model_);
}

}  // namespace leafstack
