// Wrap-around templates laid back onto the tubes they were taken from, and the sheets made of them.
#include "generator/wrap_template.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRep_Builder.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <TopoDS_Vertex.hxx>
#include <cmath>
#include <numbers>
#include <set>

#include "exporters/wrap_pages.h"
#include "exporters/wrap_sheets.h"
#include "generator/occt/checked.h"
#include "generator/occt/outline.h"
#include "generator/occt/tube.h"
#include "params/section.h"
#include "tests/built_gates.h"

namespace leafstack {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kLaidMm = 0.01;  // what the templates are good to

/// The tube as the templates say it is, written without the generator's own unrolling: from the
/// part's bounds, the section's closed forms and the names of the walls.
struct Tube {
  HollowSection section;
  double radius = 0;
  int axis = 0;
  Bounds bounds;
  double sign = 1;  // of X of the template along the axis

  explicit Tube(const Part& part) {
    section = std::get<HollowSection>(parseSection(part.section));
    radius = (section.wall_mm <= 6 ? 2.0 : 2.5) * section.wall_mm;
    bounds = part.bounds;
    for (int i = 1; i < 3; ++i) {
      if (size(i) > size(axis)) axis = i;
    }
    sign = bounds.low[axis] + bounds.high[axis] < 0 ? -1 : 1;
  }
  double size(int i) const { return bounds.high[i] - bounds.low[i]; }

  gp_XYZ outward(const std::string& wall) const {
    if (wall == "front") return {0, -1, 0};
    if (wall == "rear") return {0, 1, 0};
    if (wall == "underside") return {0, 0, -1};
    if (wall == "top") return {0, 0, 1};
    const double away = bounds.low[0] + bounds.high[0] < 0 ? -1 : 1;  // from the part's origin
    return {wall == "leading side" ? -away : away, 0, 0};
  }
  gp_XYZ middle() const {
    gp_XYZ at((bounds.low[0] + bounds.high[0]) / 2, (bounds.low[1] + bounds.high[1]) / 2,
              (bounds.low[2] + bounds.high[2]) / 2);
    at.SetCoord(axis + 1, 0);
    return at;
  }
  double halfAlong(const gp_XYZ& way) const {
    return (std::abs(way.X()) * size(0) + std::abs(way.Y()) * size(1) +
            std::abs(way.Z()) * size(2)) /
           2;
  }

  /// Where a template's point lies in space.
  gp_XYZ laid(const WrapTemplate& made, double x, double y) const {
    gp_XYZ along(0, 0, 0);
    along.SetCoord(axis + 1, sign);
    const WrapWall* below = &made.walls.front();
    for (const WrapWall& wall : made.walls) {
      if (wall.from_mm <= y + 1e-9) below = &wall;
    }
    const gp_XYZ out = outward(below->name);
    const gp_XYZ left = out.Crossed(along);  // seen from outside, X to the right
    gp_XYZ at = middle() + along * x;
    // The flat's upper end is the round corner's start, whatever part of the flat this is.
    const double to_end = halfAlong(left) - radius;
    const double past = y - below->to_mm;
    const bool is_last = below == &made.walls.back();
    if (past <= 0) {
      const double from_end = is_last ? made.walls.front().to_mm + (made.girth_mm - y) : -past;
      const double end = is_last ? 2 * to_end - (below->to_mm - below->from_mm) : 0;
      const double v = is_last ? to_end - end - (below->to_mm - y) : to_end - from_end;
      return at + out * halfAlong(out) + left * v;
    }
    const double turn = past / radius;
    at += out * (halfAlong(out) - radius) + left * to_end;
    return at + out * (radius * std::cos(turn)) + left * (radius * std::sin(turn));
  }
};

// Per piece; chords of the widest corner are then within 0.002 mm of it.
constexpr int kSteps = 64;

/// Points along a curve of the template, from its own definition.
std::vector<std::pair<double, double>> sampled(const WrapCurve& curve) {
  std::vector<std::pair<double, double>> points;
  if (curve.circle) {
    for (int i = 0; i < 2 * kSteps; ++i) {
      points.push_back({curve.circle->x_mm + curve.circle->radius_mm * std::cos(i * kPi / kSteps),
                        curve.circle->y_mm + curve.circle->radius_mm * std::sin(i * kPi / kSteps)});
    }
    return points;
  }
  const std::size_t count = curve.points.size();
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
    const WrapPoint& a = curve.points[i];
    const WrapPoint& b = curve.points[(i + 1) % count];
    for (int step = 0; step <= kSteps; ++step) {
      const double share = static_cast<double>(step) / kSteps;
      // A bulge b is an arc through the point b/2 of the chord's length to the right of its middle.
      const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;
      const double angle = 4 * std::atan(a.bulge);
      if (a.bulge == 0) {
        points.push_back({a.x_mm + share * dx, a.y_mm + share * dy});
        continue;
      }
      const double half = std::hypot(dx, dy) / 2;
      const double radius = half / std::sin(angle / 2);
      // From a, along the tangent, turning by share of the angle.
      const double heading = std::atan2(dy, dx) - angle / 2;
      const double chord = 2 * radius * std::sin(share * angle / 2);
      const double to = heading + share * angle / 2;
      points.push_back({a.x_mm + chord * std::cos(to), a.y_mm + chord * std::sin(to)});
    }
  }
  return points;
}

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

std::vector<const WrapCurve*> curvesOf(const WrapTemplate& made) {
  std::vector<const WrapCurve*> curves;
  for (const WrapCurve& curve : made.cutouts) curves.push_back(&curve);
  for (const WrapCurve& curve : made.ends) curves.push_back(&curve);
  return curves;
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

struct Case {
  const char* name;
  std::vector<std::pair<const char*, gates::Json>> changes;
};

Model modelOf(const Case& one, const char* hand, double grade) {
  gates::Json file = gates::gateFile({{"/site/opens", hand}, {"/site/grade", grade}});
  for (const auto& [pointer, value] : one.changes) {
    file[gates::Json::json_pointer(pointer)] = value;
  }
  const GateSpec spec = gates::specOf(file);
  return buildModel(spec, gates::laidOut(spec));
}

const std::vector<Case>& cases() {
  static const std::vector<Case> all = {
      {"100x50x3", {}},
      {"120x60x4",
       {{"/gate/bottom_rail", "RHS 120x60x4"},
        {"/gate/top_rail", "RHS 40x60x4"},
        {"/gate/stile", "RHS 40x60x4"},
        {"/ropes/pulley_inset_mm", 52},
        {"/gate/infill/kind", "slats"}}},
      {"recessed",
       {{"/guides/recess_mm", 12}, {"/gate/panels", 3}, {"/gate/infill/kind", "open"}}}};
  return all;
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

TEST_P(WrapTemplates, HaveRoundHolesWhereTheRailIsDrilled) {
  const Model built = model();
  for (const Part& part : built.parts) {
    if (part.kind != PartKind::kBottomRail) continue;
    const WrapTemplate made = wrapTemplateOf(part).value();
    std::multiset<std::string> circles;
    std::size_t others = 0;
    for (const WrapCurve& cutout : made.cutouts) {
      if (cutout.circle) {
        char text[40];
        std::snprintf(text, sizeof text, "%.6f", cutout.circle->radius_mm);
        circles.insert(text);
      } else {
        ++others;
        EXPECT_TRUE(cutout.is_closed);
        // Slots and rounded rectangles: two or four arcs, and as many straight edges.
        EXPECT_TRUE(cutout.points.size() == 6 || cutout.points.size() == 8) << part.mark;
      }
    }
    const bool has_pulleys = made.cutouts.size() > 6;
    EXPECT_EQ(made.cutouts.size(), has_pulleys ? 14u : 6u);
    EXPECT_EQ(others, has_pulleys ? 6u : 2u);
    EXPECT_EQ(circles.count("6.200000"), 4u) << "axle holes of 12.4";
    EXPECT_EQ(circles.count("6.000000"), has_pulleys ? 2u : 0u) << "bolt threads of 12";
    EXPECT_EQ(circles.count("6.500000"), has_pulleys ? 2u : 0u) << "bolt holes of 13";
    if (!has_pulleys) {
      EXPECT_EQ(made.seam.rfind("middle of the top, which has no cut-outs", 0), 0u) << made.seam;
    }
  }
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
  part.section = "RHS 100x50x4";
  EXPECT_THROW(wrapTemplateOf(part), GeometryError);
  part.section = "flat 40x5";
  EXPECT_THROW(wrapTemplateOf(part), GeometryError);
  part.supply = Supply::kBought;
  EXPECT_FALSE(wrapTemplateOf(part).has_value());
}

std::vector<WrapTemplate> templatesOf(const Model& model) {
  std::vector<WrapTemplate> all;
  for (const Part& part : model.parts) {
    if (auto made = wrapTemplateOf(part)) all.push_back(std::move(*made));
  }
  return all;
}

TEST(WrapSheets, PrintEveryOutlineOnPiecesThatFitThePage) {
  for (const char* hand : {"right", "left"}) {
    const std::vector<WrapTemplate> templates = templatesOf(modelOf(cases()[1], hand, 0.1));
    for (const WrapPageSize& size : {WrapPageSize{297, 210}, WrapPageSize{420, 297}}) {
      const std::vector<WrapPiece1To1> pieces = wrapPieces(templates, size);
      for (std::size_t i = 0; i < pieces.size(); ++i) {
        const WrapPiece1To1& a = pieces[i];
        EXPECT_LE(a.left_mm + a.x1_mm - a.x0_mm, size.margin_mm + size.pieceWidthMm() + 0.01);
        EXPECT_LE(a.top_mm + size.titles_mm + a.y1_mm - a.y0_mm + size.stations_mm,
                  size.height_mm - size.margin_mm + 0.01);
        // A station line on each.
        EXPECT_LE(std::ceil(a.x0_mm / 100) * 100, a.x1_mm) << a.made->mark;
        for (std::size_t j = i + 1; j < pieces.size(); ++j) {
          const WrapPiece1To1& b = pieces[j];
          const bool apart = a.page != b.page || a.left_mm + a.x1_mm - a.x0_mm < b.left_mm ||
                             a.top_mm + a.y1_mm - a.y0_mm < b.top_mm;
          EXPECT_TRUE(apart) << a.made->mark << " over " << b.made->mark;
        }
      }
      for (const WrapTemplate& made : templates) {
        for (const WrapCurve* curve : curvesOf(made)) {
          const WrapBox box = boxOf(*curve);
          if (box.x1_mm - box.x0_mm < 1e-3) continue;
          for (const auto& [x, y] : sampled(*curve)) {
            const bool printed =
                std::any_of(pieces.begin(), pieces.end(), [&, px = x, py = y](const auto& piece) {
                  return std::count(piece.marks.begin(), piece.marks.end(), made.mark) > 0 &&
                         px >= piece.x0_mm && px <= piece.x1_mm && py >= piece.y0_mm - 1e-6 &&
                         py <= piece.y1_mm + 1e-6;
                });
            EXPECT_TRUE(printed) << made.mark << " " << x << ", " << y;
          }
        }
      }
    }
  }
}

TEST(WrapSheets, AreTheSameBytesTwice) {
  const std::vector<WrapTemplate> templates = templatesOf(modelOf(cases()[0], "left", -0.1));
  const Provenance provenance{"2024-05-01T12:00:00Z", "00ff"};
  const std::string pdf = wrapPdf(templates, provenance);
  EXPECT_EQ(pdf.rfind("%PDF-1.4", 0), 0u);
  EXPECT_EQ(pdf, wrapPdf(templates, provenance));
  EXPECT_NE(pdf.find("(D:20240501120000"), std::string::npos);
  for (const WrapTemplate& made : templates) {
    EXPECT_EQ(wrapDxf(made), wrapDxf(made));
  }
}

TEST(WrapSheets, NameMarksInRuns) {
  EXPECT_EQ(markList({"PK1", "PK2", "PK3", "PK7", "ST1", "ST2"}), "PK1 to PK3, PK7, ST1, ST2");
}

TEST(WrapSheets, DxfHasEveryOutlineOnce) {
  const std::vector<WrapTemplate> templates = templatesOf(modelOf(cases()[0], "right", 0));
  const std::string dxf = wrapDxf(templates.front());
  const auto count = [&](const std::string& entity) {
    std::size_t found = 0;
    for (std::size_t at = dxf.find(entity); at != std::string::npos;
         at = dxf.find(entity, at + 1)) {
      ++found;
    }
    return found;
  };
  EXPECT_EQ(count("\nCIRCLE\n"), 8u);
  EXPECT_EQ(count("\nLWPOLYLINE\n"), 6u + 2u + 1u);  // slots, ends, check square
  EXPECT_EQ(count("\nLINE\n"), 10u + 4u);            // folds and seam, arrow
}

}  // namespace
}  // namespace leafstack
