// What slopes make of the solids: plumb uprights, rails along the ground, level tops, mitres.
//
// Measured on the kernel's edges and faces as placed, not taken from the layout.
#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <cmath>
#include <gp_Pln.hxx>
#include <numbers>
#include <set>
#include <string>

#include "generator/layout/ground/ground.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/shop/set_out.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

constexpr double kDegrees = 180 / std::numbers::pi;
constexpr double kAngleDeg = 0.001;
constexpr double kLevelMm = 0.001;

/// Direction of a placed solid's longest straight edge, upwards or towards +X.
gp_Vec longestEdge(const TopoDS_Shape& placed) {
  gp_Vec longest(0, 0, 0);
  for (TopExp_Explorer edges(placed, TopAbs_EDGE); edges.More(); edges.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(edges.Current()));
    if (curve.GetType() == GeomAbs_Line) {
      const gp_Vec way(curve.Value(curve.FirstParameter()), curve.Value(curve.LastParameter()));
      longest = way.Magnitude() > longest.Magnitude() ? way : longest;
    }
  }
  const bool turn = longest.Z() < 0 && std::abs(longest.Z()) > std::abs(longest.X());
  return turn || (longest.X() < 0 && std::abs(longest.X()) >= std::abs(longest.Z())) ? -longest
                                                                                     : longest;
}

/// Angles from square of the planes that end a length, from its own faces: those neither along it
/// nor, as notches have, turned by more than 45 degrees.
std::set<long> endAngles(const TopoDS_Shape& solid, const gp_Vec& along) {
  std::set<long> angles;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(faces.Current()), false);
    if (surface.GetType() == GeomAbs_Plane) {
      const double angle = along.Angle(gp_Vec(surface.Plane().Axis().Direction())) * kDegrees;
      const double off = std::min(angle, 180 - angle);
      if (off < 45) {
        angles.insert(std::lround(off / kAngleDeg));
      }
    }
  }
  return angles;
}

struct SlopedGate {
  Model model;
  double grade = 0, sign = 1;
  std::string top;
};

GateSpec slopedSpec(int panels, const std::string& top, double grade, const std::string& hand) {
  return gates::specWith({{"/site/opening_mm", 3100 + 650 * panels},
                          {"/site/grade", grade},
                          {"/site/opens", hand},
                          {"/gate/panels", panels},
                          {"/gate/top", top}});
}

SlopedGate sloped(int panels, const std::string& top, double grade, const std::string& hand) {
  const GateSpec spec = slopedSpec(panels, top, grade, hand);
  return {buildModel(spec, gates::laidOut(spec)), grade, hand == "left" ? -1.0 : 1.0, top};
}

bool isUpright(PartKind kind) {
  return kind == PartKind::kStile || kind == PartKind::kPicket ||
         kind == PartKind::kReturnUpright || kind == PartKind::kGuidePost ||
         kind == PartKind::kCatchPost;
}

void expectLies(const gp_Vec& way, double grade, const std::string& what) {
  EXPECT_NEAR(way.Y(), 0, 1e-9) << what;
  EXPECT_NEAR(std::atan2(way.Z(), way.X()) * kDegrees, std::atan(grade) * kDegrees, kAngleDeg)
      << what;
}

void expectShape(const SlopedGate& gate) {
  for (const Instance& instance : gate.model.instances) {
    const Part& part = gate.model.parts[instance.part];
    const TopoDS_Shape placed = part.solid.Located(instance.at_closed);
    const std::string what = part.mark + " " + gate.top + " " + std::to_string(gate.grade);
    const double slope = gate.sign * gate.grade;
    if (isUpright(part.kind)) {
      EXPECT_LT(longestEdge(placed).Angle(gp_Vec(0, 0, 1)) * kDegrees, kAngleDeg) << what;
    }
    if (part.kind == PartKind::kBottomRail || part.kind == PartKind::kTrack) {
      expectLies(longestEdge(placed), slope, what);
    }
    if (part.kind == PartKind::kTopRail || part.kind == PartKind::kGuideRail) {
      expectLies(longestEdge(placed), gate.top == "raked" ? slope : 0, what);
    }
    if (part.kind == PartKind::kTopRail && gate.top != "raked") {
      // All of a level rail lies within its height: no end stands higher.
      EXPECT_NEAR(instance.bounds.high[2] - instance.bounds.low[2], 50, 2 * kLevelMm) << what;
    }
  }
  for (const Part& part : gate.model.parts) {
    if (part.supply != Supply::kCutTube) {
      continue;
    }
    std::set<long> listed;
    for (const EndCut& end : part.ends) {
      listed.insert(std::lround(std::abs(end.angle_deg) / kAngleDeg));
      EXPECT_TRUE(end.angle_deg == 0 ||
                  std::abs(std::abs(end.angle_deg) - std::atan(std::abs(gate.grade)) * kDegrees) <
                      kAngleDeg)
          << part.mark;
    }
    std::set<long> found = endAngles(part.solid, longestEdge(part.solid));
    if (part.kind == PartKind::kBottomRail && listed.count(0) == 0) {
      found.erase(0);  // ends of pulley slots, square to the rail
    }
    EXPECT_EQ(found, listed) << part.mark << " " << part.name << " " << gate.top << " "
                             << gate.grade;
  }
}

class SlopeShape : public ::testing::TestWithParam<std::tuple<int, const char*, double>> {};

TEST_P(SlopeShape, IsPlumbLevelAndMitred) {
  const auto [panels, top, grade] = GetParam();
  expectShape(sloped(panels, top, grade, panels % 2 == 0 ? "right" : "left"));
}

INSTANTIATE_TEST_SUITE_P(Slopes, SlopeShape,
                         ::testing::Combine(::testing::Values(2, 3, 4),
                                            ::testing::Values("raked", "level", "stepped"),
                                            ::testing::Values(0, 0.05, -0.05, 0.125, -0.125)));

/// Common practice, no source: floats and drops on level and stepped tops.
TEST(SlopeGuides, FloatAndDropByArithmetic) {
  for (const double grade : {0.125, 0.05, -0.05, -0.125}) {
    for (const char* top : {"level", "stepped", "raked"}) {
      for (const int panels : {2, 3, 4}) {
        const Layout layout = gates::laidOut(slopedSpec(panels, top, grade, "right"));
        const double moves =
            std::string(top) == "raked" ? 0 : std::abs(grade) * layout.drive_travel_mm;
        for (const GuideLayout& guide : layout.guides) {
          EXPECT_NEAR(guide.float_mm.high - guide.float_mm.low, moves, 1e-6);
          EXPECT_GE(guide.drop_mm, (grade > 0 ? moves : 0) - 1e-6);
          if (std::string(top) == "stepped") {
            EXPECT_GE(guide.drop_mm, moves - 1e-6);
          }
        }
      }
    }
  }
}

/// Half of bank x room squared, times the width: a triangle's area, and a prism's volume.
TEST(Bank, PocketIsAPrism) {
  const Layout layout = gates::laidOut(gates::specWith({{"/site/opening_mm", 5000},
                                                        {"/site/bank", 0.2},
                                                        {"/site/pocket_width_mm", 1300},
                                                        {"/gate/panels", 2}}));
  ASSERT_EQ(layout.ground.pockets.size(), 5U);
  EXPECT_NEAR(layout.ground.pockets[0].volume_m3,
              0.5 * 0.2 * layout.room_total_mm * layout.room_total_mm * 1300 * 1e-9, 1e-9);
  EXPECT_NEAR(layout.ground.pockets[2].volume_m3, layout.ground.pockets[0].volume_m3, 1e-9);
  EXPECT_GT(layout.ground.pockets[1].volume_m3, 3 * layout.ground.pockets[2].volume_m3);
}

/// Both hands are set out alike, and a track's rows lie on the bar.
TEST(SetOut, IsTheSameForEitherHandAndLiesOnTheTrack) {
  const SlopedGate right = sloped(3, "level", 0.05, "right");
  const SlopedGate left = sloped(3, "level", 0.05, "left");
  const std::vector<SetOutRow> one = setOutRows(right.model, {});
  const std::vector<SetOutRow> other = setOutRows(left.model, {});
  ASSERT_EQ(one.size(), other.size());
  int tracks = 0;
  for (std::size_t i = 0; i < one.size(); ++i) {
    EXPECT_EQ(one[i].item + one[i].mark + one[i].point,
              other[i].item + other[i].mark + other[i].point);
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_NEAR(one[i].at_mm[axis], other[i].at_mm[axis], 1e-6) << one[i].item << one[i].point;
    }
    if (one[i].item.rfind("track of panel", 0) == 0) {
      ++tracks;
      // Driveway 0.05 x, the footing level with it, a bar of 20 square to the slope.
      EXPECT_NEAR(one[i].at_mm[2], 0.05 * one[i].at_mm[0] + 20 * std::hypot(1, 0.05), 1e-6);
    }
  }
  EXPECT_GE(tracks, 6);
}

}  // namespace
}  // namespace leafstack
