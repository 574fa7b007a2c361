// Welds: lengths against the kernel's own common faces, legs against a workshop's table, and kinds
// where they can be told by eye.
#include "generator/shop/welds/weld_rows.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBndLib.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepClass3d_SolidClassifier.hxx>
#include <BRepClass_FaceClassifier.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepTools.hxx>
#include <Bnd_Box.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <gp_Pln.hxx>
#include <map>
#include <memory>
#include <numbers>
#include <set>

#include "generator/shop/schedules.h"
#include "generator/shop/weld_strength.h"
#include "generator/shop/welds/contact_patch.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

constexpr double kSameShare = 0.01;  // of a length: chords, and edges that both parts go past

struct Flat {
  gp_Pln plane;
  gp_Dir outward;
  TopoDS_Face filled;               ///< without its holes
  std::vector<TopoDS_Shape> holes;  ///< wires
};

std::vector<Flat> flatsOf(const TopoDS_Shape& solid) {
  std::vector<Flat> flats;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face);
    if (surface.GetType() == GeomAbs_Plane) {
      gp_Dir outward = surface.Plane().Axis().Direction();
      if ((face.Orientation() == TopAbs_REVERSED) != !surface.Plane().Direct()) {
        outward.Reverse();
      }
      const TopoDS_Wire outer = BRepTools::OuterWire(face);
      flats.push_back(
          {surface.Plane(), outward, BRepBuilderAPI_MakeFace(surface.Plane(), outer).Face(), {}});
      for (TopExp_Explorer wires(face, TopAbs_WIRE); wires.More(); wires.Next()) {
        if (!wires.Current().IsSame(outer)) {
          flats.back().holes.push_back(wires.Current());
        }
      }
    }
  }
  return flats;
}

struct Shared {
  double edge_mm = 0, area_mm2 = 0;
  bool has_third = false;  ///< a part that is welded to both
};

/// Edges less what of them lies over holes, by the kernel's cutting of edges with filled holes.
TopoDS_Shape withoutHoles(const TopoDS_Shape& edges, const Flat& flat, const gp_Trsf& closing) {
  TopoDS_Shape left = edges;
  for (const TopoDS_Shape& hole : flat.holes) {
    const TopoDS_Shape filled = BRepBuilderAPI_Transform(
        BRepBuilderAPI_MakeFace(flat.plane, TopoDS::Wire(hole)).Face(), closing);
    left = BRepAlgoAPI_Cut(left, filled).Shape();
  }
  return left;
}

/// A solid by points in or out of it, asked of the kernel where its box does not tell.
class Solid {
 public:
  explicit Solid(const TopoDS_Shape& shape)
      : shape(shape), classifier_(std::make_shared<BRepClass3d_SolidClassifier>(shape)) {
    BRepBndLib::Add(shape, box_);
  }
  bool holds(const gp_Pnt& at) const {
    if (box_.IsOut(at)) {
      return false;
    }
    classifier_->Perform(at, 1e-4);
    return classifier_->State() == TopAbs_IN;
  }

  TopoDS_Shape shape;

 private:
  std::shared_ptr<BRepClass3d_SolidClassifier> classifier_;
  Bnd_Box box_;
};

/// Two solids and what is welded to both.
struct Neighbours {
  Solid a, b;
  std::vector<Solid> others;
};

/// No torch reaches a point of an outline: `out` of it, in the plane, one solid fills the corner
/// that the other turns, or beside the one that ends there a third lies nearer than 8 mm.
bool isShutIn(const Neighbours& solids, const gp_Pnt& at, const gp_Vec& out, const gp_Vec& into_b,
              double gap_mm) {
  constexpr double kOffPlane = 0.3;
  const gp_Vec a_side = into_b * -kOffPlane, b_side = into_b * (gap_mm + kOffPlane);
  const bool a_goes_on = solids.a.holds(at.Translated(out * 3 + a_side));
  const bool b_goes_on = solids.b.holds(at.Translated(out * 3 + b_side));
  if (!a_goes_on && !b_goes_on) {
    return solids.a.holds(at.Translated(out * 0.5 + b_side)) ||
           solids.b.holds(at.Translated(out * 0.5 + a_side));
  }
  if (a_goes_on == b_goes_on) {
    return false;
  }
  // What goes on turns the corner round the end of the other.
  if ((a_goes_on ? solids.a : solids.b)
          .holds(at.Translated(out * 0.5 + (a_goes_on ? b_side : a_side)))) {
    return true;
  }
  for (const Solid& other : solids.others) {
    for (const double off : {1.0, 4.0, 8.0}) {
      if (other.holds(at.Translated(out * off + (a_goes_on ? b_side : a_side)))) {
        return true;
      }
    }
  }
  return false;
}

/// What of an edge of the shared face can be welded.
double openLength_mm(const Neighbours& solids, const TopoDS_Edge& edge, const TopoDS_Face& shared,
                     const gp_Vec& into_b, double gap_mm) {
  const BRepAdaptor_Curve curve(edge);
  const double length = GCPnts_AbscissaPoint::Length(curve);
  const auto isShut = [&](double share) {
    gp_Pnt at;
    gp_Vec along;
    curve.D1(curve.FirstParameter() + share * (curve.LastParameter() - curve.FirstParameter()), at,
             along);
    gp_Vec out = along.Crossed(into_b).Normalized();
    if (BRepClass_FaceClassifier(shared, at.Translated(out * 0.1), 1e-6).State() == TopAbs_IN) {
      out.Reverse();
    }
    return isShutIn(solids, at, out, into_b, gap_mm);
  };
  const auto share_shut = [&](int count) {
    int shut = 0;
    for (int i = 0; i < count; ++i) {
      shut += isShut((i + 0.5) / count) ? 1 : 0;
    }
    return shut / static_cast<double>(count);
  };
  const double coarse = share_shut(9);
  const bool is_mixed = coarse > 0 && coarse < 1;
  return length * (1 - (is_mixed ? share_shut(static_cast<int>(length * 2) + 1) : coarse));
}

/// What the kernel's booleans say that two solids' flat faces share, and can be welded of it.
Shared sharedByTheKernel(const Neighbours& solids, double gap_mm) {
  Shared shared;
  for (const Flat& one : flatsOf(solids.a.shape)) {
    for (const Flat& other : flatsOf(solids.b.shape)) {
      const double off =
          gp_Vec(one.plane.Location(), other.plane.Location()).Dot(gp_Vec(one.outward));
      if (!one.outward.IsOpposite(other.outward, 1e-5) || std::abs(off) > gap_mm + 1e-3) {
        continue;
      }
      gp_Trsf closing;
      closing.SetTranslation(gp_Vec(one.outward) * -off);
      BRepAlgoAPI_Common common(one.filled,
                                BRepBuilderAPI_Transform(other.filled, closing).Shape());
      for (TopExp_Explorer faces(common.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
        const TopoDS_Face face = TopoDS::Face(faces.Current());
        GProp_GProps area;
        const TopoDS_Shape over_metal =
            withoutHoles(withoutHoles(BRepTools::OuterWire(face), one, gp_Trsf()), other, closing);
        for (TopExp_Explorer edges(over_metal, TopAbs_EDGE); edges.More(); edges.Next()) {
          shared.edge_mm +=
              openLength_mm(solids, TopoDS::Edge(edges.Current()), face, gp_Vec(one.outward), off);
        }
        BRepGProp::SurfaceProperties(face, area);
        shared.area_mm2 += area.Mass();
      }
    }
  }
  return shared;
}

class Welds : public testing::TestWithParam<const char*> {};

// Every joint of gates of our own, by the kernel's common faces.
TEST_P(Welds, FollowTheEdgesThatTheKernelFinds) {
  const GateSpec spec = gates::specOf(Json::parse(GetParam()));
  const Model model = buildModel(spec, gates::laidOut(spec));
  std::map<std::pair<std::string, std::string>, double> ours, kernels;
  for (const WeldRow& row : weldRows(model)) {
    EXPECT_GT(row.length_mm, 0) << row.a << " on " << row.b << ": " << row.what;
    // No thicker than the thinner part, pickets of 2 and strips of 1.5 among them.
    EXPECT_LE(row.leg_mm, row.thinner_mm + 1e-6) << row.a << " on " << row.b;
    if (row.a.starts_with("PV") || row.b.starts_with("PV")) {
      EXPECT_NEAR(row.thinner_mm, spec.hardware.pulley.cover_mm, 1e-9);
    }
    // A sign n x l (e) on `sides` sides closes: pieces and gaps come to the line it follows.
    if (row.pieces > 0 && row.sides == 2) {
      const int each = row.pieces / 2;
      EXPECT_NEAR(row.length_mm / 2 + (each - 1) * row.gap_mm, row.edge_mm / 2, 6)
          << row.a << " on " << row.b;
    }
    // Square edges to 4 mm only (ISO 9692-1, from memory).
    if (row.kind == WeldKind::kButt && row.leg_mm > 4 + 1e-9) {
      EXPECT_NE(row.groove, Groove::kSquare) << row.a << " on " << row.b;
    }
    EXPECT_EQ(row.groove == Groove::kNone, row.kind == WeldKind::kFillet);
    ours[{row.a, row.b}] += (row.edge_mm + row.open_mm) * row.joints;
  }
  // A third part beside a seam counts by its flat sides, without its two round corners.
  constexpr double kThirdsCorners_mm = 2 * 2.5;
  std::map<std::pair<std::string, std::string>, int> beside_third;
  std::map<std::tuple<int, int, long, long, long>, Shared> known;
  std::map<int, std::set<int>> welded;
  for (const Contact& contact : model.contacts) {
    if (contact.kind == ContactKind::kWelded) {
      welded[contact.a].insert(contact.b);
      welded[contact.b].insert(contact.a);
    }
  }
  const auto placed = [&](int instance) {
    return model.parts[model.instances[instance].part].solid.Moved(
        model.instances[instance].at_closed);
  };
  for (const Contact& contact : model.contacts) {
    if (contact.kind != ContactKind::kWelded) {
      continue;
    }
    const Instance& a = model.instances[contact.a];
    const Instance& b = model.instances[contact.b];
    // Pickets by the score lie alike but for where along the rail.
    const gp_Trsf way = (a.at_closed.Inverted() * b.at_closed).Transformation();
    const std::tuple key{a.part, b.part, std::lround(way.Value(1, 4) * 10),
                         std::lround(way.Value(2, 4) * 10), std::lround(way.Value(3, 4) * 10)};
    if (!known.contains(key)) {
      Neighbours solids{Solid(placed(contact.a)), Solid(placed(contact.b)), {}};
      for (const int third : welded[contact.a]) {
        if (welded[contact.b].contains(third)) {
          solids.others.emplace_back(placed(third));
        }
      }
      known[key] = sharedByTheKernel(solids, contact.permitted_gap_mm);
      known[key].has_third = !solids.others.empty();
    }
    // Along a line: what has no face in common. A dowel of 12 mm all round: pi x 12; between an
    // angle's legs as far as the gap is 2 mm: r (1 - cos phi) / sqrt 2 = 2 at phi = 1.0131, by
    // hand.
    const double line = contact.weld.lines * contact.weld.each_mm;
    if (model.parts[a.part].kind == PartKind::kTrackDowel ||
        model.parts[b.part].kind == PartKind::kTrackDowel) {
      const TrackHardware& track = spec.hardware.track;
      const bool is_in_angle = track.kind == TrackKind::kAngle && !track.hasFlat();
      EXPECT_NEAR(line, is_in_angle ? 2 * 2 * 1.01385 * 6 : 12 * std::numbers::pi,
                  is_in_angle ? 0.01 : 1e-6);
    }
    const std::pair marks{model.parts[a.part].mark, model.parts[b.part].mark};
    beside_third[marks] += known[key].has_third ? 1 : 0;
    // Of flats' ends under an angle only both edges are in reach.
    kernels[marks] += known[key].edge_mm > 0 && !contact.weld.is_all ? known[key].edge_mm : line;
  }
  EXPECT_GT(ours.size(), 10U);
  for (const auto& [marks, length] : kernels) {
    EXPECT_NEAR((ours[marks]), length,
                std::max(kSameShare * length, kThirdsCorners_mm * beside_third[marks]))
        << marks.first << " on " << marks.second;
  }
}

INSTANTIATE_TEST_SUITE_P(
    OwnGates, Welds,
    testing::Values(R"({"leafstack":1,"site":{"opening_mm":5400},"gate":{"panels":2}})",
                    R"({"leafstack":1,"site":{"opening_mm":6200,"grade":-0.05,"opens":"left"},
                        "gate":{"panels":3,"infill":{"kind":"slats"}},
                        "guides":{"mount":"overhead"}})",
                    R"({"leafstack":1,"site":{"opening_mm":4700,"grade":0.03},
                        "gate":{"panels":2,"material":"aluminium","infill":{"kind":"sheet"}},
                        "guides":{"mount":"reach-over"}})",
                    R"({"leafstack":1,"site":{"opening_mm":5800,"opens":"left"},
                        "hardware":"heavy","gate":{"panels":2,"cladding":{"kind":"boards"}},
                        "shop":{"finish":"galvanised"}})",
                    R"({"leafstack":1,"site":{"opening_mm":3600,"opens":"left"},
                        "gate":{"panels":1,"height_mm":1800,
                        "infill":{"kind":"pickets","section":"SHS 20x20x2","gap_mm":90}},
                        "shop":{"finish":"galvanised"}})",
                    R"({"leafstack":1,"site":{"opening_mm":8400,"opens":"left"},
                        "gate":{"panels":4,"height_mm":1400,"stacking":"staggered",
                        "infill":{"kind":"open"}},"shop":{"finish":"painted"}})",
                    R"({"leafstack":1,"site":{"opening_mm":5000},"gate":{"panels":2,
                        "height_mm":1500,"material":"aluminium",
                        "infill":{"kind":"slats","section":"RHS 50x25x2","gap_mm":30}},
                        "guides":{"mount":"overhead"},"hardware":"light"})",
                    R"({"leafstack":1,"site":{"opening_mm":4600,"opens":"left"},
                        "gate":{"panels":2,"height_mm":1600,"infill":{"kind":"open"},
                        "cladding":{"kind":"battens","width_mm":45,"gap_mm":20,"thickness_mm":25}},
                        "guides":{"mount":"reach-over"},"shop":{"finish":"painted"}})",
                    R"({"leafstack":1,"site":{"opening_mm":5200,"opens":"left",
                        "track_survey_mm":[[[0,0],[1000,6],[2000,10],[3200,12],[4500,20],
                        [6000,24],[8200,33]]]},
                        "gate":{"panels":2,"height_mm":1500,
                        "infill":{"kind":"sheet","thickness_mm":2}},
                        "shop":{"finish":"galvanised"}})",
                    R"({"leafstack":1,"site":{"opening_mm":5600,"grade":0.02},
                        "gate":{"panels":2,"top":"raked"},
                        "hardware":{"set":"heavy","track":{"flat_mm":0}}})"));

TopoDS_Shape boxAt(gp_Pnt low, gp_Pnt high) {
  return BRepPrimAPI_MakeBox(low, high).Solid();
}

// A block of 40 by 20 across a slot of 22 in a plate: along it no metal lies under two of its sides
// for 22 mm each, and its short sides stand on the plate.
TEST(WeldPatch, SeamsEndWhereASlotBegins) {
  const TopoDS_Shape plate =
      BRepAlgoAPI_Cut(boxAt({0, 0, 0}, {200, 100, 10}), boxAt({59, 10, -1}, {81, 90, 11})).Shape();
  const auto patches =
      contactPatches(flatSides(plate), flatSides(boxAt({50, 40, 10}, {90, 60, 60})), {0, 3});
  ASSERT_EQ(patches.size(), 1U);
  double length = 0;
  for (const PatchEdge& edge : patches[0].edges) {
    length += edge.lengthMm();
  }
  EXPECT_NEAR(length, 2 * (40 + 20) - 2 * 22, 1e-3);
  EXPECT_TRUE(patches[0].is_broken);
}

// A block amid a plate has a corner all round; set flush with one side, three corners are left.
TEST(WeldPatch, TellsCornersFromFlushSides) {
  const auto plate = flatSides(boxAt({0, 0, 0}, {200, 100, 10}));
  for (const bool is_flush : {false, true}) {
    const double from = is_flush ? 0 : 30;
    const auto block = flatSides(boxAt({50, from, 10}, {90, from + 20, 60}));
    const auto patches = contactPatches(plate, block, {0, 3});
    ASSERT_EQ(patches.size(), 1U);
    EXPECT_NEAR(patches[0].area_mm2, 40 * 20, 1e-3);
    double corners = 0, flush = 0;
    for (const PatchEdge& edge : patches[0].edges) {
      (edge.goes_on[0] ? corners : flush) += edge.lengthMm();
      EXPECT_FALSE(edge.goes_on[1]);
    }
    EXPECT_NEAR(corners, is_flush ? 80 : 120, 1e-3);
    EXPECT_NEAR(flush, is_flush ? 40 : 0, 1e-3);
    EXPECT_NEAR(thicknessBehindMm(plate, patches[0], false), 10, 1e-3);
    EXPECT_NEAR(thicknessBehindMm(block, patches[0], true), 20, 1e-3);
  }
}

// Both toes of a 25x25x4 angle all along its flat, pieces of 40 each 200: as long as each bar.
TEST(WeldPatch, TrackAnglesAreWeldedAlongBothToes) {
  const GateSpec spec = gates::specOf(Json::parse(
      R"({"leafstack":1,"hardware":"heavy","site":{"opening_mm":5300},"gate":{"panels":3}})"));
  const Model model = buildModel(spec, gates::laidOut(spec));
  int found = 0;
  for (const WeldRow& row : weldRows(model)) {
    EXPECT_GT(row.length_mm, 0) << row.a << " on " << row.b << ": " << row.what;
    const Part& one = model.parts[model.instances[row.instances[0]].part];
    const Part& other = model.parts[model.instances[row.instances[1]].part];
    if ((one.kind == PartKind::kTrack && other.kind == PartKind::kTrackFlat) ||
        (one.kind == PartKind::kTrackFlat && other.kind == PartKind::kTrack)) {
      const Part& bar = one.kind == PartKind::kTrack ? one : other;
      const int each = 1 + static_cast<int>(std::ceil((bar.length_mm - 40) / 200));
      EXPECT_GT(row.leg_mm, 0);
      EXPECT_NEAR(row.edge_mm, 2 * bar.length_mm, 0.1);
      EXPECT_EQ(row.pieces, 2 * each);
      EXPECT_NEAR(row.length_mm, 2 * each * 40, 1e-6);
      ++found;
    }
  }
  EXPECT_EQ(found, 3);
}

// A guide rail whose drop brings it before the top rail's round corner: no weld, no row, and said.
// One whose toe only just meets the flat is a plate of 4 all the same, and gets a leg of 3.
TEST(WeldPatch, RoundCornersCarryNoWeld) {
  int at_corner = 0, on_flat = 0;
  for (const double drop : {1.0, 3.0, 5.0, 7.0}) {
    const GateSpec spec =
        gates::specWith({{"/site/grade", 0.02}, {"/guides/drop_mm", Json::array({drop, drop})}});
    const Layout layout = gates::laidOut(spec);
    const Model model = buildModel(spec, layout);
    std::vector<std::string> told;
    for (const Warning& warning : warningsOf(model, makeSchedules(model))) {
      if (warning.id == "rail-at-corner") {
        told.push_back(warning.text);
      }
    }
    int welded = 0;
    for (const WeldRow& row : weldRows(model)) {
      EXPECT_GT(row.length_mm, 0);
      const bool is_rail = row.b.starts_with("GR") && row.a.starts_with("TR");
      welded += is_rail ? 1 : 0;
      if (is_rail && row.kind == WeldKind::kFillet) {
        EXPECT_EQ(row.leg_mm, 3);  // of an angle of 4 on a wall of 3 or more
      }
    }
    at_corner += told.empty() ? 0 : 1;
    on_flat += welded > 0 ? 1 : 0;
    if (!told.empty()) {
      EXPECT_EQ(welded, 0) << "drop " << drop;
    }
  }
  EXPECT_GT(at_corner, 0);
  EXPECT_GT(on_flat, 0);
}

// A stile of 3 mm wall at 150 N/mm2: 450 N on each millimetre of edge; a leg of 3 has a throat of
// 2.1213 mm, 212.1 N/mm2 of 207.8; a leg of 3.5 carries it at 87.5 %.
TEST(WeldStrength, LegsGrowUntilTheyHold) {
  LoadReport loads;
  StructureMember& stile = loads.structure.members.emplace_back();
  stile.panel = 1;
  stile.mark = "ST1";
  stile.normal_N_mm2 = -150;
  WeldRow row;
  row.panel = 1;
  row.ending = "ST1";
  row.leg_mm = row.thinner_mm = row.thicker_mm = 3;
  Model model;
  model.spec = gates::specWith({});
  std::vector<WeldRow> rows{row};
  weldToForces(model, loads, rows);
  EXPECT_EQ(rows[0].leg_mm, 3.5);
  EXPECT_NEAR(rows[0].use.value(), 0.875, 0.0005);
  model.spec.shop.weld_leg_mm = 3;  // given: it stays, and its use tells
  rows = {row};
  weldToForces(model, loads, rows);
  EXPECT_EQ(rows[0].leg_mm, 3);
  EXPECT_NEAR(rows[0].use.value(), 1.0208, 0.0005);
  rows = {row};
  rows[0].panel = 2;  // nothing is known of its forces
  weldToForces(model, loads, rows);
  EXPECT_FALSE(rows[0].use.has_value());
}

// The whole default gate: every weld of the frame says what it takes, and holds.
TEST(WeldStrength, FramesOfTheDefaultGateHold) {
  const Model model = gates::modelWith({{"/gate/panels", 3}});
  Schedules schedules = makeSchedules(model);
  findWelds(model, schedules);
  int told = 0;
  for (const WeldRow& row : schedules.welds) {
    if (row.use) {
      ++told;
      EXPECT_LE(*row.use, 1) << row.a << " on " << row.b;
      EXPECT_GT(*row.use, 0);
    }
    EXPECT_LE(row.leg_mm, row.thinner_mm * std::numbers::sqrt2 + 1e-9);
    // Legs raised for forces are what a welder is told: halves of a millimetre.
    if (row.kind == WeldKind::kFillet && row.leg_mm > row.thinner_mm) {
      EXPECT_EQ(std::fmod(row.leg_mm, 0.5), 0) << row.leg_mm;
    }
  }
  EXPECT_GT(told, 20);
}

// Too small a leg is told, tells against the gate, and is cured by leaving it open.
TEST(WeldStrength, ATooSmallLegIsAWarning) {
  const auto told = [](const char* leg) {
    const Model model =
        gates::modelWith({{"/gate/panels", 3}, {"/shop/weld_leg_mm", Json::parse(leg)}});
    for (const Warning& warning : warningsOf(model, makeSchedules(model))) {
      if (warning.id == "weld-overload") {
        EXPECT_EQ(warning.against, Against::kStrength);
        return true;
      }
    }
    return false;
  };
  EXPECT_TRUE(told("1"));
  EXPECT_FALSE(told("6"));
  EXPECT_FALSE(told("\"auto\""));
}

}  // namespace
}  // namespace leafstack
