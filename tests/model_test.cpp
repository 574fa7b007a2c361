// The gate as solids: the numbered properties of model.h, and what the solids measure, against
// closed forms written out here.
#include <gtest/gtest.h>

#include <BRepBndLib.hxx>
#include <Bnd_Box.hxx>
#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <gp_Trsf.hxx>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/mesh.h"
#include "generator/hardware.h"
#include "generator/model.h"
#include "generator/occt/checked.h"
#include "tests/random_gates.h"

namespace leafstack {
namespace {

namespace hw = hardware;
using gates::Json;

constexpr double kRelative = 1e-9;
constexpr double kExactMm = 1e-6;

const char* const kHands[] = {"right", "left"};
const char* const kStackings[] = {"flush", "staggered"};
const char* const kMounts[] = {"post", "overhead", "reach-over"};
const char* const kInfills[] = {"pickets", "slats", "sheet", "open"};
const char* const kCladdings[] = {"none", "boards", "battens"};

/// Gate files that between them hold every choice of hand, stacking, mount, infill and cladding
/// with every number of panels. The strides are coprime to the choices, so no two choices run in
/// step.
std::vector<Json> matrix() {
  std::vector<Json> files;
  for (int i = 0; i < 24; ++i) {
    const int panels = 1 + i % 4;
    const int round = i / 4;
    files.push_back(gates::gateFile({{"/site/opening_mm", 5000 + 200 * round},
                                     {"/gate/panels", panels},
                                     {"/site/opens", kHands[(round + panels) % 2]},
                                     {"/gate/stacking", kStackings[(round / 2 + panels) % 2]},
                                     {"/guides/mount", kMounts[(round + panels) % 3]},
                                     {"/gate/infill/kind", kInfills[(round + 2 * panels) % 4]},
                                     {"/gate/infill/gap_mm", 90},
                                     {"/gate/cladding/kind", kCladdings[(round + 2 * panels) % 3]},
                                     {"/gate/cladding/thickness_mm", 20 + 8 * (round % 4)}}));
  }
  return files;
}

struct Built {
  std::string text;
  Model model;
};

/// The matrix, built once for every test of this file.
const std::vector<Built>& builtMatrix() {
  static const std::vector<Built> all = [] {
    std::vector<Built> built;
    for (const Json& file : matrix()) {
      const GateSpec spec = gates::specOf(file);
      built.push_back({file.dump(), buildModel(spec, gates::laidOut(spec))});
    }
    return built;
  }();
  return all;
}

Model modelWith(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  return buildModel(spec, gates::laidOut(spec));
}

const Part& onlyPart(const Model& model, PartKind kind) {
  const Part* found = nullptr;
  for (const Part& part : model.parts) {
    if (part.kind == kind) {
      EXPECT_EQ(found, nullptr) << "more than one " << part.name;
      found = &part;
    }
  }
  if (found == nullptr) {
    throw std::logic_error("no such part");
  }
  return *found;
}

bool isRope(const Part& part) {
  return part.kind == PartKind::kRope;
}

void expectSameBounds(const Bounds& a, const Bounds& b, double tolerance_mm,
                      const std::string& what) {
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(a.low[axis], b.low[axis], tolerance_mm) << what << " axis " << axis;
    EXPECT_NEAR(a.high[axis], b.high[axis], tolerance_mm) << what << " axis " << axis;
  }
}

// ---------------------------------------------------------------- M1 to M5

TEST(ModelProperties, MatrixHoldsEveryChoiceWithEveryPanelCount) {
  std::set<std::string> seen;
  for (const Json& file : matrix()) {
    const std::string panels = std::to_string(file["gate"]["panels"].get<int>()) + " ";
    for (const char* pointer : {"/site/opens", "/gate/stacking", "/guides/mount"}) {
      seen.insert(panels + file[Json::json_pointer(pointer)].get<std::string>());
    }
    seen.insert(file["gate"]["infill"]["kind"].get<std::string>());
    seen.insert(file["gate"]["cladding"]["kind"].get<std::string>());
  }
  EXPECT_EQ(seen.size(), 4U * (2 + 2 + 3) + 4U + 3U);
}

TEST(ModelProperties, M1EverySolidIsValidAndClosed) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      EXPECT_NO_THROW(checkedSolid(part.solid, part.mark));
      EXPECT_EQ(part.open_solid.IsNull(), !isRope(part)) << part.mark;
      if (isRope(part)) {
        EXPECT_NO_THROW(checkedSolid(part.open_solid, part.mark + " (open)"));
      }
    }
  }
}

bool isLettersThenDigits(const std::string& mark) {
  const auto digit =
      std::find_if(mark.begin(), mark.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
  return digit != mark.begin() && digit != mark.end() &&
         std::all_of(mark.begin(), digit, [](char c) { return c >= 'A' && c <= 'Z'; }) &&
         std::all_of(digit, mark.end(), [](char c) { return c >= '0' && c <= '9'; });
}

TEST(ModelProperties, M2MarksAreUniqueAndNamesToo) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    std::set<std::string> marks;
    for (const Part& part : gate.model.parts) {
      EXPECT_TRUE(isLettersThenDigits(part.mark)) << part.mark;
      EXPECT_TRUE(marks.insert(part.mark).second) << part.mark;
      EXPECT_FALSE(part.name.empty()) << part.mark;
    }
    std::set<std::string> names;
    std::set<int> used;
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      EXPECT_TRUE(names.insert(gate.model.instanceName(i)).second) << gate.model.instanceName(i);
      used.insert(gate.model.instances[i].part);
    }
    EXPECT_EQ(used.size(), gate.model.parts.size()) << "every part is placed somewhere";
  }
}

TEST(ModelProperties, M3MassIsVolumeTimesDensity) {
  // Section tables to EN 10219 (steel), EN AW-6060 data sheets (aluminium); the rest from memory.
  const std::map<std::string, double> densities = {
      {"steel", 7850},  {"aluminium", 2700}, {"timber", 420}, {"nylon", 1150},
      {"rubber", 1200}, {"concrete", 2400},  {"envelope", 0}, {"site", 0}};
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      const double measured = massProperties(part.solid).volume_mm3;
      EXPECT_GT(measured, 0) << part.mark;
      EXPECT_NEAR(part.volume_mm3 / measured, 1, kRelative) << part.mark;
      EXPECT_NEAR(part.massKg(), measured * 1e-9 * part.density_kg_m3,
                  kRelative * (1 + part.massKg()))
          << part.mark;
      if (!isRope(part)) {
        ASSERT_TRUE(densities.count(part.material)) << part.material;
        EXPECT_EQ(part.density_kg_m3, densities.at(part.material)) << part.mark;
      }
    }
  }
}

// Wire-rope tables (row W1, 7x19 of 3 mm): 3.43 kg per 100 m.
TEST(ModelProperties, M3RopeWeighsWhatItsTableSays) {
  const Model model = modelWith({{"/ropes/diameter_mm", 3}});
  for (const RopeRun& run : model.ropes) {
    const Part& rope = model.parts[run.part];
    EXPECT_NEAR(rope.massKg() / rope.length_mm * 1e5, 3.43, 0.005) << rope.mark;
  }
}

TEST(ModelProperties, M4InstancesAreRigidMotions) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      const gp_Trsf& motion = gate.model.instances[i].at_closed.Transformation();
      EXPECT_FALSE(motion.IsNegative()) << gate.model.instanceName(i);
      EXPECT_EQ(motion.ScaleFactor(), 1) << gate.model.instanceName(i);
      const gp_Mat turn = motion.VectorialPart();
      EXPECT_NEAR(turn.Determinant(), 1, kRelative) << gate.model.instanceName(i);
      const gp_Mat square = turn * turn.Transposed();
      for (int row = 1; row <= 3; ++row) {
        for (int column = 1; column <= 3; ++column) {
          EXPECT_NEAR(square.Value(row, column), row == column ? 1 : 0, kRelative);
        }
      }
    }
  }
}

Bounds optimalBounds(const TopoDS_Shape& shape) {
  Bnd_Box box;
  BRepBndLib::AddOptimal(shape, box, /*useTriangulation=*/false, /*useShapeTolerance=*/false);
  Bounds bounds;
  box.Get(bounds.low[0], bounds.low[1], bounds.low[2], bounds.high[0], bounds.high[1],
          bounds.high[2]);
  return bounds;
}

/// The kernel's optimal bounds carry a margin of their own; closed forms stand below.
constexpr double kOptimalMarginMm = 2e-3;

TEST(ModelProperties, M5BoundsAreTight) {
  // One gate of every panel count: the kernel's optimal bounds take their time.
  for (std::size_t i = 0; i < 4; ++i) {
    const Built& gate = builtMatrix().at(5 * i);
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      const bool has_torus = part.kind == PartKind::kWheel || part.kind == PartKind::kPulley;
      if (!isRope(part) && !has_torus) {
        expectSameBounds(part.bounds, optimalBounds(part.solid), kOptimalMarginMm, part.mark);
      }
    }
  }
}

TEST(ModelProperties, M5BoundsOfTurnedParts) {
  const Model model = modelWith({{"/gate/panels", 2}});
  const double wheel = hw::kWheelOutsideMm / 2;
  const double half = hw::kWheelThicknessMm / 2;
  expectSameBounds(onlyPart(model, PartKind::kWheel).bounds,
                   {{-wheel, -half, -wheel}, {wheel, half, wheel}}, kBoundsSlackMm, "wheel");
  const double pulley = model.layout.ropes.front().pitch_mm / 2 + hw::kPulleyFlangeMm;
  const double thick = hw::kPulleyThicknessMm / 2;
  expectSameBounds(onlyPart(model, PartKind::kPulley).bounds,
                   {{-pulley, -pulley, -thick}, {pulley, pulley, thick}}, kBoundsSlackMm, "pulley");
}

TEST(ModelProperties, M5BoundsOfRopesFollowTheirLine) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const RopeRun& run : gate.model.ropes) {
      const double radius = gate.model.spec.ropes.diameter_mm / 2;
      const auto line = ropeLineAt(gate.model, run, 0);
      // Strands end square, so the ends have no radius along X; the half turn does.
      const double turn = line[line.size() / 2][0];
      const double ends[] = {line.front()[0], line.back()[0]};
      const double beyond = turn > ends[0] ? radius : -radius;
      const double pitch = gate.model.layout.ropes[run.carrier - 1].pitch_mm;
      const double middle = gate.model.layout.stack.frame_depth_mm / 2;
      const double up = gate.model.layout.ropes[run.carrier - 1].up_mm;
      const Bounds expected = {
          {std::min({ends[0], ends[1], turn + beyond}), middle - pitch / 2 - radius, up - radius},
          {std::max({ends[0], ends[1], turn + beyond}), middle + pitch / 2 + radius, up + radius}};
      expectSameBounds(gate.model.parts[run.part].bounds, expected, kBoundsSlackMm, run.mark);
    }
  }
}

TEST(ModelProperties, M5InstanceBoundsEncloseTheirMeshes) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      const Instance& instance = gate.model.instances[i];
      const TriangleMesh mesh(gate.model.parts[instance.part].solid, instance.at_closed);
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_GE(mesh.bounds().low[axis], instance.bounds.low[axis] - kBoundsSlackMm)
            << gate.model.instanceName(i);
        EXPECT_LE(mesh.bounds().high[axis], instance.bounds.high[axis] + kBoundsSlackMm)
            << gate.model.instanceName(i);
        // Corners of a mesh lie on the solid, so the box is no larger than needed.
        EXPECT_NEAR(mesh.bounds().low[axis], instance.bounds.low[axis], kMeshErrorMm);
        EXPECT_NEAR(mesh.bounds().high[axis], instance.bounds.high[axis], kMeshErrorMm);
      }
    }
  }
}

// ---------------------------------------------------------------- hands

Bounds mirroredBounds(const Bounds& bounds) {
  return {{-bounds.high[0], bounds.low[1], bounds.low[2]},
          {-bounds.low[0], bounds.high[1], bounds.high[2]}};
}

TEST(ModelHands, LeftIsTheExactMirrorOfRight) {
  for (std::size_t i = 0; i < builtMatrix().size(); i += 5) {
    SCOPED_TRACE(builtMatrix()[i].text);
    GateSpec spec = builtMatrix()[i].model.spec;
    spec.site.opens = Hand::kRight;
    const Model right = buildModel(spec, gates::laidOut(spec));
    spec.site.opens = Hand::kLeft;
    const Model left = buildModel(spec, gates::laidOut(spec));
    EXPECT_EQ(right.opening_sign, 1);
    EXPECT_EQ(left.opening_sign, -1);
    ASSERT_EQ(left.parts.size(), right.parts.size());
    for (std::size_t p = 0; p < left.parts.size(); ++p) {
      EXPECT_EQ(left.parts[p].mark, right.parts[p].mark);
      const MassProperties one = massProperties(left.parts[p].solid);
      const MassProperties other = massProperties(right.parts[p].solid);
      EXPECT_NEAR(one.volume_mm3 / other.volume_mm3, 1, kRelative) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[0], -other.centroid_mm[0], kExactMm) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[1], other.centroid_mm[1], kExactMm) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[2], other.centroid_mm[2], kExactMm) << left.parts[p].mark;
    }
    ASSERT_EQ(left.instances.size(), right.instances.size());
    for (std::size_t k = 0; k < left.instances.size(); ++k) {
      EXPECT_EQ(left.instances[k].panel, right.instances[k].panel);
      expectSameBounds(left.instances[k].bounds, mirroredBounds(right.instances[k].bounds),
                       kExactMm, left.instanceName(static_cast<int>(k)));
    }
    EXPECT_EQ(left.contacts.size(), right.contacts.size());
    for (int panel = 0; panel <= left.layout.panel_count; ++panel) {
      EXPECT_NEAR(left.shiftMm(panel, 100), -right.shiftMm(panel, 100), kExactMm);
    }
  }
}

// ---------------------------------------------------------------- closed forms

TEST(ModelClosedForms, RopeVolumeIsItsLengthTimesItsSection) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const double radius = gate.model.spec.ropes.diameter_mm / 2;
    for (const RopeRun& run : gate.model.ropes) {
      const Part& rope = gate.model.parts[run.part];
      const double expected = M_PI * radius * radius * rope.length_mm;
      EXPECT_NEAR(rope.volume_mm3 / expected, 1, kRelative) << rope.mark;
      EXPECT_NEAR(massProperties(rope.open_solid).volume_mm3 / expected, 1, kRelative)
          << rope.mark << " open";
      const double half = gate.model.layout.drive_travel_mm / 2;
      EXPECT_NEAR(massProperties(ropeSolidAt(gate.model, run, half)).volume_mm3 / expected, 1,
                  kRelative)
          << rope.mark << " half open";
    }
  }
}

/// A circle's segment beyond `distance` from its centre.
struct Segment {
  double area = 0, centroid_off_centre = 0;
};

Segment segmentOf(double radius, double distance) {
  const double half_chord = std::sqrt(radius * radius - distance * distance);
  Segment segment;
  segment.area = radius * radius * std::acos(distance / radius) - distance * half_chord;
  segment.centroid_off_centre = 2.0 / 3 * std::pow(half_chord, 3) / segment.area;
  return segment;
}

// Pappus: a figure turned about an axis sweeps its area times its centroid's path.
TEST(ModelClosedForms, WheelVolume) {
  const Part& wheel = onlyPart(modelWith({}), PartKind::kWheel);
  const double outside = hw::kWheelOutsideMm / 2;
  const double bore = hw::kAxleMm / 2 + hw::kPulleyBoreGapMm;
  const double groove = hw::kTrackBarMm / 2 + 0.5;  // half a millimetre wider than the bar
  const double centre = hw::kWheelRunningRadiusMm + groove;
  const Segment cut = segmentOf(groove, centre - outside);
  const double disc = (outside - bore) * hw::kWheelThicknessMm * (outside + bore) / 2;
  const double taken = cut.area * (centre - cut.centroid_off_centre);
  EXPECT_NEAR(wheel.volume_mm3 / (2 * M_PI * (disc - taken)), 1, kRelative);
}

// Groove by the rope maker's rule, radius 0.53 to 0.55 of the rope and throat 35 to 45 degrees
// (pythonrope.com, row W6): 0.54 and 40.
TEST(ModelClosedForms, PulleyVolume) {
  const Model model = modelWith({});
  const double rope = model.spec.ropes.diameter_mm;
  const double pitch = model.layout.ropes.front().pitch_mm;
  const double rim = pitch / 2 + hw::kPulleyFlangeMm;
  const double bore = hw::kPulleyBoltMm / 2 + hw::kPulleyBoreGapMm;
  const double groove = 0.54 * rope;
  const double half_throat = 20 * M_PI / 180;
  const double centre = pitch / 2 - rope / 2 + groove;
  // The round bottom ends where it runs into the flanks; from there a trapezium opens to the rim.
  const double off = groove * std::sin(half_throat);
  const double inner = centre - off;
  const double low = groove * std::cos(half_throat);
  const double high = low + (rim - inner) * std::tan(half_throat);
  const Segment bottom = segmentOf(groove, off);
  const double width = rim - inner;
  const double trapezium = (low + high) * width;
  const double trapezium_at = inner + width * (low + 2 * high) / (3 * (low + high));
  const double disc = (rim - bore) * hw::kPulleyThicknessMm * (rim + bore) / 2;
  const double taken =
      bottom.area * (centre - bottom.centroid_off_centre) + trapezium * trapezium_at;
  EXPECT_NEAR(onlyPart(model, PartKind::kPulley).volume_mm3 / (2 * M_PI * (disc - taken)), 1,
              kRelative);
}

/// EN 10219-2 section formula: outer radius 2 t, inner t, walls up to 6 mm.
double areaOf(const HollowSection& section) {
  const double t = section.wall_mm;
  return 2 * t * (section.height_mm + section.depth_mm - 2 * t) - (4 - M_PI) * 3 * t * t;
}

/// Sizes "124x24" that follow `words` in a cut-out's text; {0, 0} where it does not hold them.
std::array<double, 2> sizesAfter(const std::string& text, const std::string& words) {
  const std::size_t at = text.find(words);
  if (at == std::string::npos) {
    return {0, 0};
  }
  std::size_t used = 0;
  const std::string rest = text.substr(at + words.size());
  const double first = std::stod(rest, &used);
  return {first, rest[used] == 'x' ? std::stod(rest.substr(used + 1)) : 0};
}

double slotArea(const std::array<double, 2>& size) {
  return (size[0] - size[1]) * size[1] + M_PI / 4 * size[1] * size[1];
}

double roundedArea(const std::array<double, 2>& size, double radius) {
  return size[0] * size[1] - (4 - M_PI) * radius * radius;
}

double circleArea(double diameter) {
  return M_PI / 4 * diameter * diameter;
}

/// Wall taken out of a bottom rail by the holes its own cut-list words describe.
double drilledAreaMm2(const Part& rail) {
  double area = 0;
  for (const std::string& words : rail.cutouts) {
    const std::array<double, 2> pocket = sizesAfter(words, "wheel pocket ");
    area += pocket[0] > 0 ? slotArea(pocket) : 0;
    area += 2 * circleArea(sizesAfter(words, "axle hole dia ")[0]);
    area += circleArea(sizesAfter(words, "pulley bolt: hole dia ")[0]);
    area += circleArea(sizesAfter(words, "flow-drilled M")[0]);
    const std::array<double, 2> front = sizesAfter(words, "pulley slots ");
    if (front[0] > 0) {
      const double radius = sizesAfter(words, "corners R")[0];
      area += roundedArea(front, radius) + roundedArea(sizesAfter(words, " in front, "), radius);
    }
  }
  return area;
}

TEST(ModelClosedForms, BottomRailsLoseWhatTheCutListSays) {
  // Cut-list words give slots to a hundredth; that much of a wall is 1e-6 of a rail.
  constexpr double kWordsRelative = 1e-6;
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      if (part.kind == PartKind::kBottomRail) {
        const HollowSection& section = gate.model.spec.gate.bottom_rail;
        const double expected =
            areaOf(section) * part.length_mm - drilledAreaMm2(part) * section.wall_mm;
        EXPECT_GT(drilledAreaMm2(part), 0);
        EXPECT_NEAR(part.volume_mm3 / expected, 1, kWordsRelative) << part.mark;
      }
    }
  }
}

double massOn(const Model& model, int panel, std::initializer_list<PartKind> kinds) {
  double mass = 0;
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    const bool counts = std::find(kinds.begin(), kinds.end(), part.kind) != kinds.end();
    mass += instance.panel == panel && counts ? part.massKg() : 0;
  }
  return mass;
}

TEST(ModelClosedForms, WholePicketPanelFrame) {
  // Front panel of two, 6000 opening: 3080 long, so 3 uprights at most 2000 apart leave two bays of
  // 1465; pickets of 25 at gaps of at most 50 make 19 a bay.
  const Model model = modelWith({{"/gate/panels", 2}});
  const double length = 3080;
  ASSERT_NEAR(model.layout.panel(2).length_mm, length, kExactMm);
  const double bay = (length - 3 * 50) / 2;
  const int pickets = static_cast<int>(std::ceil((bay - 50) / (25 + 50)));
  ASSERT_EQ(pickets, 19);
  const double height = 1700 - 50 - 100 - 50;  // top less clearance less both rails
  const HollowSection rail{100, 50, 3, ""};
  const HollowSection square{50, 50, 3, ""};
  const HollowSection picket{25, 25, 2, ""};
  const double pocket = slotArea({116, 24});
  const double axle = M_PI / 4 * 12.4 * 12.4;
  double volume = areaOf(rail) * length - 3 * 2 * (pocket + 2 * axle);
  volume += areaOf(square) * length;
  volume += 3 * areaOf(square) * height;
  volume += 2 * pickets * areaOf(picket) * height;
  const double mass = massOn(model, 2,
                             {PartKind::kBottomRail, PartKind::kTopRail, PartKind::kStile,
                              PartKind::kUpright, PartKind::kPicket});
  EXPECT_NEAR(mass / (volume * 1e-9 * 7850), 1, kRelative);
}

// ---------------------------------------------------------------- where things stand

TEST(ModelPlaces, PanelsKeepWithinTheirLayoutEnds) {
  const std::set<PartKind> beyond = {PartKind::kFrontBracket, PartKind::kRearBracket,
                                     PartKind::kRopeStud, PartKind::kRope};
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const Model& model = gate.model;
    for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
      const Instance& instance = model.instances[i];
      if (instance.panel == 0 || beyond.count(model.parts[instance.part].kind) > 0) {
        continue;
      }
      const Bounds bounds =
          model.opening_sign > 0 ? instance.bounds : mirroredBounds(instance.bounds);
      const PanelLayout& panel = model.layout.panel(instance.panel);
      EXPECT_GE(bounds.low[0], panel.leading_closed_mm - kBoundsSlackMm) << model.instanceName(i);
      EXPECT_LE(bounds.high[0], panel.trailing_closed_mm + kBoundsSlackMm) << model.instanceName(i);
    }
  }
}

TEST(ModelPlaces, NothingOfAPanelStandsAboveItsTop) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Instance& instance : gate.model.instances) {
      if (instance.panel > 0) {
        EXPECT_LE(instance.bounds.high[2], gate.model.layout.heights.top_mm + kBoundsSlackMm);
      }
    }
  }
}

TEST(ModelPlaces, CladdingIsCutClearOfChannels) {
  constexpr double kCutClearMm = 5;
  int measured = 0;
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const Model& model = gate.model;
    for (const Instance& board : model.instances) {
      const PartKind kind = model.parts[board.part].kind;
      if (kind != PartKind::kBoard && kind != PartKind::kBatten) {
        continue;
      }
      for (const Instance& channel : model.instances) {
        const PartKind other = model.parts[channel.part].kind;
        const bool guide = other == PartKind::kGuideChannel || other == PartKind::kChannelPacker;
        const bool near = boxDistance(board.bounds, channel.bounds, 0) < 2 * kCutClearMm;
        if (guide && near && channel.panel == board.panel) {
          const TriangleMesh one(model.parts[board.part].solid, board.at_closed);
          const TriangleMesh two(model.parts[channel.part].solid, channel.at_closed);
          EXPECT_GE(nearestApproach(one, two, 0).distance_mm, kCutClearMm - kExactMm);
          ++measured;
        }
      }
    }
  }
  EXPECT_GT(measured, 0);
}

TEST(ModelPlaces, CladdingEndsAboveRopesAndPulleys) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    double highest = 0;
    double lowest_board = gate.model.layout.heights.top_mm;
    for (const Instance& instance : gate.model.instances) {
      const PartKind kind = gate.model.parts[instance.part].kind;
      const bool rope = kind == PartKind::kRope || kind == PartKind::kPulley ||
                        kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket;
      const bool board = kind == PartKind::kBoard || kind == PartKind::kBatten;
      highest = rope ? std::max(highest, instance.bounds.high[2]) : highest;
      lowest_board = board ? std::min(lowest_board, instance.bounds.low[2]) : lowest_board;
    }
    EXPECT_GT(lowest_board, highest);
  }
}

TEST(ModelPlaces, PicketGapsAreNoWiderThanAsked) {
  const Model model = modelWith({{"/gate/panels", 3}, {"/gate/infill/gap_mm", 70}});
  std::map<int, std::vector<std::pair<double, double>>> solid_from_to;
  for (const Instance& instance : model.instances) {
    const PartKind kind = model.parts[instance.part].kind;
    if (kind == PartKind::kPicket || kind == PartKind::kStile || kind == PartKind::kUpright) {
      solid_from_to[instance.panel].emplace_back(instance.bounds.low[0], instance.bounds.high[0]);
    }
  }
  ASSERT_EQ(solid_from_to.size(), 3U);
  for (auto& [panel, bars] : solid_from_to) {
    std::sort(bars.begin(), bars.end());
    for (std::size_t i = 1; i < bars.size(); ++i) {
      EXPECT_LE(bars[i].first - bars[i - 1].second, 70 + kExactMm) << "panel " << panel;
      EXPECT_GT(bars[i].first - bars[i - 1].second, 0) << "panel " << panel;
    }
  }
}

TEST(ModelPlaces, RopeLineEndsAtBracketsAllTheWay) {
  const Model model = modelWith({{"/gate/panels", 4}});
  for (const RopeRun& run : model.ropes) {
    const RopeLayout& rope = model.layout.ropes[run.carrier - 1];
    for (int i = 0; i <= 4; ++i) {
      const double drive = model.layout.drive_travel_mm * i / 4;
      const auto line = ropeLineAt(model, run, drive);
      const double leading = model.layout.panel(run.carrier).leading_closed_mm;
      // The line is in its carrier's frame; a rope ends 2 mm short of its bracket's centre.
      const double own = leading + run.carrier * drive;
      const double front = rope.front_bracket_mm + (run.carrier + 1) * drive;
      const double rear = rope.rear_bracket_mm + (run.carrier - 1) * drive;
      const double side = run.opening ? 2 : -2;
      EXPECT_NEAR(own + line.front()[0], front + side, kExactMm);
      EXPECT_NEAR(own + line.back()[0], rear + side, kExactMm);
    }
  }
}

TEST(ModelPlaces, LocationsFollowTheSpeeds) {
  const Model model = modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  for (const Instance& instance : model.instances) {
    const TopLoc_Location there = locationAt(model, instance, 500);
    const double from = instance.at_closed.Transformation().TranslationPart().X();
    const double to = there.Transformation().TranslationPart().X();
    EXPECT_NEAR(to - from, -500.0 * instance.panel, kExactMm);
  }
}

}  // namespace
}  // namespace leafstack
