// Wrap-around templates laid back onto the tubes they were taken from.
#include "generator/shop/wrap/wrap_template.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRep_Builder.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <algorithm>
#include <cmath>

#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"
#include "generator/occt/solids/tube.h"
#include "params/spec/section.h"
#include "tests/shop/wrap_tubes.h"

namespace leafstack {
namespace {

using namespace wrap_tubes;

/// Distance to the section's outer contour, seen along the tube.
double offSkin(const Tube& tube, const gp_XYZ& point) {
  gp_XYZ from = point - tube.middle();
  std::array<double, 2> over{};
  int i = 0;
  for (int axis = 0; axis < 3; ++axis) {
    if (axis == tube.axis) continue;
    over[i++] = std::abs(from.Coord(axis + 1)) - (tube.size(axis) / 2 - tube.radius);
  }
  const double outside = std::hypot(std::max(over[0], 0.0), std::max(over[1], 0.0));
  return std::abs(outside + std::min(std::max(over[0], over[1]), 0.0) - tube.radius);
}

/// Every edge of the solid all of whose points lie on the outer skin, but the lines between walls
/// and corners, which bound nothing.
TopoDS_Compound outlineEdges(const Part& part, const Tube& tube, std::vector<gp_XYZ>& points) {
  BRep_Builder builder;
  TopoDS_Compound edges;
  builder.MakeCompound(edges);
  for (TopExp_Explorer each(part.solid, TopAbs_EDGE); each.More(); each.Next()) {
    const TopoDS_Edge edge = TopoDS::Edge(each.Current());
    const BRepAdaptor_Curve curve(edge);
    std::vector<gp_XYZ> here;
    double off = 0;
    for (int i = 0; i <= 16; ++i) {
      const double t =
          curve.FirstParameter() + i * (curve.LastParameter() - curve.FirstParameter()) / 16;
      const gp_XYZ point = curve.Value(t).XYZ();
      off = std::max(off, offSkin(tube, point));
      here.push_back(point);
    }
    if (off > 1e-5) continue;
    if (curve.GetType() == GeomAbs_Line) {
      const gp_XYZ way = here.back() - here.front();
      const bool is_along = std::abs(std::abs(way.Coord(tube.axis + 1)) - way.Modulus()) < 1e-9;
      bool at_fold = false;
      for (int axis = 0; axis < 3; ++axis) {
        if (axis == tube.axis) continue;
        const double in = std::abs((here[0] - tube.middle()).Coord(axis + 1));
        at_fold = at_fold || std::abs(in - (tube.size(axis) / 2 - tube.radius)) < 1e-6;
      }
      if (is_along && at_fold) continue;
    }
    builder.Add(edges, edge);
    points.insert(points.end(), here.begin(), here.end());
  }
  return edges;
}

/// Least distance of a point from a chain of laid points.
double nearest(const std::vector<std::vector<gp_XYZ>>& chains, const gp_XYZ& point) {
  double least = 1e300;
  for (const auto& chain : chains) {
    for (std::size_t i = 1; i < chain.size(); ++i) {
      const gp_XYZ way = chain[i] - chain[i - 1];
      const double length2 = way.SquareModulus();
      const double share =
          length2 > 0 ? std::clamp((point - chain[i - 1]).Dot(way) / length2, 0.0, 1.0) : 0;
      least = std::min(least, (point - chain[i - 1] - way * share).Modulus());
    }
  }
  return least;
}

void expectLaidBack(const Part& part, const WrapTemplate& made, double& worst) {
  const Tube tube(part);
  std::vector<gp_XYZ> edge_points;
  const TopoDS_Compound edges = outlineEdges(part, tube, edge_points);
  std::vector<std::vector<gp_XYZ>> chains;
  for (const WrapCurve* curve : curvesOf(made)) {
    chains.emplace_back();
    for (const auto& [x, y] : sampled(*curve)) {
      EXPECT_GE(y, -1e-9) << part.mark;
      EXPECT_LE(y, made.girth_mm + 1e-9) << part.mark;
      const gp_XYZ at = tube.laid(made, x, y);
      chains.back().push_back(at);
      if (chains.back().size() % (kSteps / 2) != 1) continue;  // the kernel's distances take long
      const BRepExtrema_DistShapeShape distance(BRepBuilderAPI_MakeVertex(at).Vertex(), edges);
      worst = std::max(worst, distance.Value());
      ASSERT_LT(distance.Value(), kLaidMm) << part.mark << " at " << x << ", " << y;
    }
    if (curve->circle || curve->is_closed) chains.back().push_back(chains.back().front());
  }
  for (const gp_XYZ& point : edge_points) {
    const double off = nearest(chains, point);
    ASSERT_LT(off, kLaidMm) << part.mark << ": an edge at " << point.X() << ", " << point.Y()
                            << ", " << point.Z() << " is on no template";
  }
}

/// Cut-outs of a solid, counted otherwise: inner wires of the faces on its outer skin. (Cut-outs
/// that open into an end are part of that end's outline.)
int innerWires(const Part& part) {
  const Tube tube(part);
  int count = 0;
  for (TopExp_Explorer faces(part.solid, TopAbs_FACE); faces.More(); faces.Next()) {
    int wires = 0;
    double off = 0;
    for (TopExp_Explorer each(faces.Current(), TopAbs_EDGE); each.More(); each.Next()) {
      const BRepAdaptor_Curve curve(TopoDS::Edge(each.Current()));
      for (double share : {0.0, 0.3, 0.7}) {
        const double t =
            curve.FirstParameter() + share * (curve.LastParameter() - curve.FirstParameter());
        off = std::max(off, offSkin(tube, curve.Value(t).XYZ()));
      }
    }
    for (TopExp_Explorer each(faces.Current(), TopAbs_WIRE); each.More(); each.Next()) ++wires;
    if (off < 1e-5) count += wires - 1;
  }
  return count;
}

class WrapTemplates
    : public ::testing::TestWithParam<std::tuple<std::size_t, const char*, double>> {
 protected:
  Model model() const {
    const auto [which, hand, grade] = GetParam();
    return modelOf(cases()[which], hand, grade);
  }
};

TEST_P(WrapTemplates, LieOnTheTubeTheyWereTakenFrom) {
  const Model built = model();
  int made_of = 0;
  double worst = 0;
  for (const Part& part : built.parts) {
    const std::optional<WrapTemplate> made = wrapTemplateOf(part);
    const bool is_raked = part.ends[0].angle_deg != 0 || part.ends[1].angle_deg != 0;
    const bool wanted = part.supply == Supply::kCutTube && (is_raked || !part.cutouts.empty());
    ASSERT_EQ(made.has_value(), wanted) << part.mark << " " << part.name;
    if (!made) continue;
    ++made_of;
    expectLaidBack(part, *made, worst);
    const auto section = std::get<HollowSection>(parseSection(part.section));
    EXPECT_NEAR(made->girth_mm,
                2 * (section.height_mm + section.depth_mm) -
                    (8 - 2 * kPi) * outerCornerRadius_mm(section.wall_mm),
                1e-9);
    EXPECT_EQ(made->fold_lines_mm.size(), 8u);
    EXPECT_EQ(made->walls.size(), 5u);
    EXPECT_NEAR(made->length_mm, part.length_mm, 1e-4) << part.mark;
    EXPECT_EQ(made->ends.size(), 2u) << part.mark;
    EXPECT_EQ(made->seam_crossings, 0) << part.mark;
    EXPECT_EQ(static_cast<int>(made->cutouts.size()), innerWires(part)) << part.mark;
  }
  EXPECT_GE(made_of, 2);
  RecordProperty("worst_um", static_cast<int>(worst * 1000));
}

INSTANTIATE_TEST_SUITE_P(Gates, WrapTemplates,
                         ::testing::Combine(::testing::Values(0, 1, 2),
                                            ::testing::Values("right", "left"),
                                            ::testing::Values(0.0, 0.1, -0.1)));

/// A tube with holes across the middle of every wall.
Part drilledPart(const std::vector<WallHole>& holes) {
  Part part;
  part.supply = Supply::kCutTube;
  part.mark = "XX1";
  part.section = "RHS 100x50x3";
  const auto section = std::get<HollowSection>(parseSection(part.section));
  part.tube = section;
  part.solid = drilledSection(section, 400, holes);
  part.bounds = tightBounds(part.solid);
  part.length_mm = 400;
  return part;
}

TEST(WrapSeam, GoesBesideCutoutsWhereEveryMiddleIsCut) {
  const Outline side = Outline::circle({100, 50}, 10);
  const Outline flat = Outline::slot({200, 25}, 30, 10);
  const Part part = drilledPart(
      {{Wall::kFront, side}, {Wall::kRear, side}, {Wall::kBottom, flat}, {Wall::kTop, flat}});
  const WrapTemplate made = wrapTemplateOf(part).value();
  EXPECT_EQ(made.seam_crossings, 0);
  EXPECT_EQ(made.cutouts.size(), 4u);
  // The widest free band of the rear: from the corner's end at 6 to 3 short of the hole at 40.
  EXPECT_NE(made.seam.find("rear, 2"), std::string::npos) << made.seam;
  double worst = 0;
  expectLaidBack(part, made, worst);
}

TEST(WrapSeam, CutsCurvesInTwoWhereNothingElseIsLeft) {
  const Outline side = Outline::slot({200, 50}, 60, 43.5);
  const Outline flat = Outline::circle({200, 25}, 18.5);
  const Part part = drilledPart(
      {{Wall::kFront, side}, {Wall::kRear, side}, {Wall::kBottom, flat}, {Wall::kTop, flat}});
  const WrapTemplate made = wrapTemplateOf(part).value();
  EXPECT_EQ(made.seam_crossings, 1);
  EXPECT_EQ(made.cutouts.size(), 5u);  // one of the four in two open curves
  int open = 0;
  for (const WrapCurve& cutout : made.cutouts) open += cutout.is_closed || cutout.circle ? 0 : 1;
  EXPECT_EQ(open, 2);
  double worst = 0;
  expectLaidBack(part, made, worst);
}

TEST(WrapTemplate, IsRefusedWhereTheSectionIsAnother) {
  Part part = drilledPart({{Wall::kTop, Outline::circle({100, 25}, 5)}});
  part.tube = std::get<HollowSection>(parseSection("RHS 100x50x4"));
  EXPECT_THROW(wrapTemplateOf(part), GeometryError);
  part.tube.reset();
  EXPECT_THROW(wrapTemplateOf(part), GeometryError);
  part.supply = Supply::kBought;
  EXPECT_FALSE(wrapTemplateOf(part).has_value());
}

}  // namespace
}  // namespace leafstack
