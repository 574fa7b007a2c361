// Vents of hollow sections for the zinc bath, found on the solids by a walk that knows nothing of
// how they were placed: openings of round faces through outer walls, ends looked at through the
// kernel's classifier.
#include "generator/model/vents.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Surface.hxx>
#include <BRepBndLib.hxx>
#include <BRepClass3d_SolidClassifier.hxx>
#include <Bnd_Box.hxx>
#include <GeomAbs_SurfaceType.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Cylinder.hxx>
#include <map>
#include <memory>
#include <numbers>

#include "generator/clash/report/clash.h"
#include "generator/loads/checks/rail_holes.h"
#include "generator/shop/cutouts.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/vents.h"
#include "params/spec/section.h"
#include "tests/support/built_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

struct Sized {
  const char* section;
  double one_mm, two_mm, four_mm;
};

/// A galvaniser's table after EN ISO 14713-2 ("smaller than" 40, 60, 80; 50x30, 120x80, 80x40),
/// copied by hand; 0: no such number of holes.
TEST(VentSizes, AreTheTables) {
  const Sized rows[] = {{"SHS 20x20x2", 12, 10, 0},    {"SHS 30x30x2", 14, 12, 0},
                        {"SHS 50x50x3", 20, 12, 10},   {"SHS 60x60x3", 25, 16, 12},
                        {"RHS 40x20x2", 14, 12, 0},    {"RHS 100x50x3", 30, 25, 14},
                        {"SHS 100x100x4", 40, 30, 20}, {"RHS 60x30x3", 20, 12, 10}};
  for (const Sized& row : rows) {
    const auto section = std::get<HollowSection>(parseSection(row.section));
    EXPECT_EQ(leastVent_mm(section, 1500, 1), row.one_mm) << row.section;
    EXPECT_EQ(leastVent_mm(section, 1500, 2), row.two_mm) << row.section;
    EXPECT_EQ(leastVent_mm(section, 1500, 4), row.four_mm) << row.section;
  }
}

/// Over 2.8 m 30 % of the hollow (the same source), by hand: 60x60x3 is 54x54 inside, 0.3 of it
/// 874.8 mm2, one hole of 33.4, so 34; two of 437.4 mm2 each, 23.6, so 24.
TEST(VentSizes, AreAShareOfTheHollowInLongMembers) {
  const auto section = std::get<HollowSection>(parseSection("SHS 60x60x3"));
  EXPECT_EQ(leastVent_mm(section, 2800, 1), 25);
  EXPECT_EQ(leastVent_mm(section, 2801, 1), 34);
  EXPECT_EQ(leastVent_mm(section, 2801, 2), 24);
  // Beyond the table, 200x200x8: 0.3 of 184x184 is 10156.8 mm2, 113.7.
  const auto large = std::get<HollowSection>(parseSection("SHS 200x200x8"));
  EXPECT_EQ(leastVent_mm(large, 1000, 1), 114);
}

/// EN ISO 1461, mean, as two galvanisers quote it.
TEST(VentSizes, ZincGrowsWithTheSteel) {
  const std::pair<double, double> rows[] = {{8, 85}, {6, 70}, {4, 70}, {3, 55}, {1.5, 55}, {1, 45}};
  for (const auto& [steel, zinc] : rows) {
    EXPECT_EQ(zincCoat_um(steel), zinc) << steel;
  }
}

/// A round opening through one outer wall of a tube.
struct Opening {
  gp_Pnt centre;  ///< in the outer face, part's frame
  gp_Dir out;
  double radius = 0;
};

class Walk {
 public:
  explicit Walk(const Model& model) : model_(model) {
    for (const Part& part : model.parts) {
      classifiers_.push_back(std::make_unique<BRepClass3d_SolidClassifier>(part.solid));
    }
  }

  /// Cylinders that hold no metal on their axis, with a face of the part's bounds at one end.
  static std::vector<Opening> openingsOf(const Part& tube) {
    std::vector<Opening> found;
    for (TopExp_Explorer face(tube.solid, TopAbs_FACE); face.More(); face.Next()) {
      const BRepAdaptor_Surface surface(TopoDS::Face(face.Current()));
      if (surface.GetType() != GeomAbs_Cylinder) {
        continue;
      }
      const gp_Cylinder cylinder = surface.Cylinder();
      if (surface.LastUParameter() - surface.FirstUParameter() < 2 * std::numbers::pi - 1e-6) {
        continue;  // a corner
      }
      Bnd_Box box;
      BRepBndLib::AddOptimal(face.Current(), box, false, false);
      const gp_Pnt middle(box.CornerMin().XYZ() / 2 + box.CornerMax().XYZ() / 2);
      for (int axis = 0; axis < 3; ++axis) {
        if (std::abs(cylinder.Axis().Direction().Coord(axis + 1)) < 0.9) {
          continue;
        }
        const double bound_low = tube.bounds.low[axis], bound_high = tube.bounds.high[axis];
        const bool is_low = box.CornerMin().Coord(axis + 1) < bound_low + 0.01;
        EXPECT_NE(is_low, box.CornerMax().Coord(axis + 1) > bound_high - 0.01);
        gp_Pnt centre = middle;
        centre.SetCoord(axis + 1, is_low ? bound_low : bound_high);
        gp_XYZ out;
        out.SetCoord(axis + 1, is_low ? -1 : 1);
        found.push_back({centre, gp_Dir(out), cylinder.Radius()});
      }
    }
    return found;
  }

  bool isMetal(const gp_Pnt& gate, int but, int panel) {
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      const Instance& one = model_.instances[i];
      const Part& part = model_.parts[one.part];
      if (i == but || one.panel != panel || part.kind == PartKind::kRope) {
        continue;
      }
      bool is_near = true;
      for (int axis = 0; axis < 3; ++axis) {
        is_near = is_near && gate.Coord(axis + 1) > one.bounds.low[axis] - 0.1 &&
                  gate.Coord(axis + 1) < one.bounds.high[axis] + 0.1;
      }
      if (is_near) {
        const gp_Pnt own = gate.Transformed(one.at_closed.Transformation().Inverted());
        classifiers_[one.part]->Perform(own, 1e-6);
        if (classifiers_[one.part]->State() == TopAbs_IN) {
          return true;
        }
      }
    }
    return false;
  }

  /// Nothing over its rim, and the way into the hollow is free.
  void expectOpen(const Opening& opening, int instance) {
    const Instance& one = model_.instances[instance];
    const Part& part = model_.parts[one.part];
    const gp_Trsf place = one.at_closed.Transformation();
    const gp_Dir across = gp_Ax2(opening.centre, opening.out).XDirection();
    for (int i = 0; i < 12; ++i) {
      const gp_Dir way =
          across.Rotated(gp_Ax1(opening.centre, opening.out), 2 * std::numbers::pi * i / 12);
      const gp_Pnt rim = opening.centre.Translated(gp_Vec(way) * (opening.radius + 1))
                             .Translated(gp_Vec(opening.out) * 0.5);
      EXPECT_FALSE(isMetal(rim.Transformed(place), instance, one.panel))
          << part.in_words << " " << model_.instanceName(instance) << ": something on a vent";
    }
    for (const double deep : {0.5, part.tube->wall_mm + 0.5}) {
      const gp_Pnt in = opening.centre.Translated(gp_Vec(opening.out) * -deep);
      classifiers_[one.part]->Perform(in, 1e-6);
      EXPECT_EQ(classifiers_[one.part]->State(), TopAbs_OUT) << part.in_words;
    }
  }

  /// How much of a hollow's end nothing lies over: of points just beyond the end's plane.
  double freeShare(int instance, int along, bool high) {
    const Instance& one = model_.instances[instance];
    const Part& part = model_.parts[one.part];
    const int count = 5;
    int free = 0;
    const int a = (along + 1) % 3, b = (along + 2) % 3;
    const double wall = part.tube->wall_mm;
    for (int i = 0; i < count; ++i) {
      for (int k = 0; k < count; ++k) {
        gp_XYZ at;
        at.SetCoord(a + 1, within(part, a, wall, (i + 0.5) / count));
        at.SetCoord(b + 1, within(part, b, wall, (k + 0.5) / count));
        at.SetCoord(along + 1, endOf(part, along, a, b, at, high) + (high ? 0.5 : -0.5));
        const gp_Pnt gate = gp_Pnt(at).Transformed(one.at_closed.Transformation());
        free += isMetal(gate, instance, one.panel) ? 0 : 1;
      }
    }
    return static_cast<double>(free) / (count * count);
  }

 private:
  static double within(const Part& part, int axis, double wall, double share) {
    return part.bounds.low[axis] + wall +
           share * (part.bounds.high[axis] - part.bounds.low[axis] - 2 * wall);
  }

  /// Where the walls on either side along two axes end, and how the end lies between them.
  using WallEnds = std::array<std::array<double, 2>, 2>;

  /// The end's height beside a point of the hollow: ends are planes, so a straight line between
  /// those of the two walls on either side.
  double endOf(const Part& part, int along, int a, int b, const gp_XYZ& at, bool high) {
    const auto key = std::pair(&part, high);
    if (!ends_.contains(key)) {
      ends_[key] = wallEnds(part, along, a, b, high);
    }
    const WallEnds& ends = ends_.at(key);
    // The pair that slopes, if any: the other pair's two are equal.
    const bool first = std::abs(ends[0][0] - ends[0][1]) > std::abs(ends[1][0] - ends[1][1]);
    const int axis = first ? a : b;
    const double wall = part.tube->wall_mm / 2;
    const double from = part.bounds.low[axis] + wall, to = part.bounds.high[axis] - wall;
    const double share = (at.Coord(axis + 1) - from) / (to - from);
    const auto& pair = ends[first ? 0 : 1];
    return pair[0] + share * (pair[1] - pair[0]);
  }

  /// From the air towards the middle, so that holes near the end are not taken for it; then by
  /// halving between metal and air.
  WallEnds wallEnds(const Part& part, int along, int a, int b, bool high) {
    WallEnds ends{};
    for (int axis : {a, b}) {
      for (int side : {0, 1}) {
        gp_XYZ in_wall;
        for (int other : {0, 1, 2}) {
          in_wall.SetCoord(other + 1, (part.bounds.low[other] + part.bounds.high[other]) / 2);
        }
        const double wall = part.tube->wall_mm / 2;
        in_wall.SetCoord(axis + 1,
                         side == 0 ? part.bounds.low[axis] + wall : part.bounds.high[axis] - wall);
        double air = high ? part.bounds.high[along] + 1 : part.bounds.low[along] - 1;
        double metal = air;
        do {
          air = metal;
          metal += high ? -0.5 : 0.5;
          in_wall.SetCoord(along + 1, metal);
        } while (!isIn(part, in_wall) && metal > part.bounds.low[along] - 2 &&
                 metal < part.bounds.high[along] + 2);
        for (int i = 0; i < 12; ++i) {
          in_wall.SetCoord(along + 1, (metal + air) / 2);
          (isIn(part, in_wall) ? metal : air) = (metal + air) / 2;
        }
        ends[axis == a ? 0 : 1][side] = metal;
      }
    }
    return ends;
  }

  bool isIn(const Part& part, const gp_XYZ& at) {
    BRepClass3d_SolidClassifier& classifier = *classifiers_[&part - model_.parts.data()];
    classifier.Perform(gp_Pnt(at), 1e-6);
    return classifier.State() == TopAbs_IN;
  }

  const Model& model_;
  std::vector<std::unique_ptr<BRepClass3d_SolidClassifier>> classifiers_;
  std::map<std::pair<const Part*, bool>, WallEnds> ends_;
};

int longestAxis(const Bounds& box) {
  int longest = 0;
  for (int axis : {1, 2}) {
    longest =
        box.high[axis] - box.low[axis] > box.high[longest] - box.low[longest] ? axis : longest;
  }
  return longest;
}

/// Is the opening a hole for a screw's thread, by the screw's axis?
bool isForScrew(const Model& model, int instance, const gp_Pnt& centre) {
  return std::any_of(model.fastenings.begin(), model.fastenings.end(), [&](const Fastening& one) {
    const gp_Vec way(one.out[0], one.out[1], one.out[2]);
    const gp_Pnt seat(one.seat_mm[0], one.seat_mm[1], one.seat_mm[2]);
    const gp_Pnt at = centre.Transformed(model.instances[instance].at_closed.Transformation());
    return one.holds_in == instance && gp_Vec(seat, at).Crossed(way).Magnitude() < 0.01;
  });
}

/// What the walk over one gate saw.
struct Seen {
  int closed_ends = 0, open_ends = 0, openings = 0;
};

Seen expectVented(const Model& model) {
  Walk walk(model);
  Seen seen;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Part& part = model.parts[model.instances[i].part];
    if (!part.tube || part.kind == PartKind::kBottomRail) {
      continue;
    }
    EXPECT_TRUE(part.unvented.empty()) << part.in_words;
    const int along = longestAxis(part.bounds);
    std::vector<Opening> openings = Walk::openingsOf(part);
    std::erase_if(openings,
                  [&](const Opening& opening) { return isForScrew(model, i, opening.centre); });
    EXPECT_EQ(openings.size(), part.vents.size()) << part.in_words;
    for (const Opening& opening : openings) {
      walk.expectOpen(opening, i);
      ++seen.openings;
    }
    for (const bool high : {false, true}) {
      const HollowSection& tube = *part.tube;
      const double inside =
          (tube.height_mm - 2 * tube.wall_mm) * (tube.depth_mm - 2 * tube.wall_mm);
      const double free = walk.freeShare(i, along, high);
      // Of the openings those whose rim lies within 10 mm of the end, and as much as the end leans.
      std::vector<double> diameters;
      const double lean =
          std::tan(std::abs(part.ends[high ? 1 : 0].angle_deg) * std::numbers::pi / 180) *
          tube.height_mm;
      for (const Opening& opening : openings) {
        const double t = opening.centre.Coord(along + 1);
        const double off =
            (high ? part.bounds.high[along] - t : t - part.bounds.low[along]) - opening.radius;
        if (off < 10 + lean + 1e-3) {
          EXPECT_GT(off, 4) << part.in_words << ": in the weld";
          diameters.push_back(2 * opening.radius);
        }
      }
      const int count = static_cast<int>(diameters.size());
      const double most_free =
          std::pow(leastVent_mm(tube, part.length_mm, 1), 2) * std::numbers::pi / 4 / inside;
      if (free > most_free && count == 0) {
        ++seen.open_ends;
        continue;
      }
      ++seen.closed_ends;
      EXPECT_TRUE(count == 1 || count == 2 || count == 4)
          << part.in_words << (high ? " high end: " : " low end: ") << count << " openings";
      for (const double diameter : diameters) {
        EXPECT_GE(diameter, leastVent_mm(tube, part.length_mm, count) - 1e-6) << part.in_words;
        EXPECT_GE(diameter, 10 - 1e-6);
      }
    }
  }
  return seen;
}

TEST(Vents, EveryClosedHollowHasThem) {
  std::vector<gates::Json> files = {
      gates::gateFile({{"/gate/panels", 1}, {"/gate/infill/kind", "pickets"}}),
      gates::gateFile({{"/gate/panels", 2},
                       {"/gate/infill/kind", "slats"},
                       {"/site/opens", "left"},
                       {"/guides/mount", "overhead"}}),
      gates::gateFile({{"/gate/panels", 3},
                       {"/gate/infill/kind", "pickets"},
                       {"/site/grade", 0.04},
                       {"/site/opens", "left"},
                       {"/guides/mount", "reach-over"}}),
      gates::gateFile({{"/gate/panels", 2},
                       {"/gate/infill/kind", "slats"},
                       {"/site/grade", -0.05},
                       {"/gate/top", "level"}}),
      gates::gateFile({{"/gate/panels", 4},
                       {"/gate/infill/kind", "sheet"},
                       {"/guides/recess_mm", 18},
                       {"/gate/infill/thickness_mm", 3}}),
      gates::gateFile({{"/gate/panels", 2},
                       {"/gate/infill/kind", "open"},
                       {"/gate/cladding/kind", "boards"},
                       {"/gate/infill/section", "RHS 40x20x2"}})};
  for (gates::Json& file : files) {
    file["shop"]["finish"] = "galvanised";
    SCOPED_TRACE(file.dump());
    const GateSpec spec = gates::specOf(file);
    const Model model = buildModel(spec, gates::laidOut(spec));
    const Seen seen = expectVented(model);
    EXPECT_GT(seen.closed_ends, 6);
    EXPECT_GT(seen.open_ends, 1);  // top rails
    EXPECT_GE(seen.openings, seen.closed_ends);
    std::size_t vents = 0, rows = 0;
    for (const Part& part : model.parts) {
      vents += part.vents.size();
    }
    for (const CutoutRow& row : cutoutRows(model)) {
      EXPECT_FALSE(row.what.empty()) << row.mark << ": a hole without a purpose";
      rows += row.what == "vent" ? 1 : 0;
    }
    EXPECT_EQ(rows, vents);
  }
}

/// Without the bath nothing changes but the room for what coats; with it a tube loses what its
/// holes take out of its walls, by hand: pi r2 t each.
TEST(Vents, AreCutOnlyForTheBath) {
  const Model bare = modelWith({{"/gate/panels", 2}});
  const Model painted =
      modelWith({{"/gate/panels", 2}, {"/shop/finish", "painted"}, {"/shop/coat_mm", 0}});
  const Model dipped =
      modelWith({{"/gate/panels", 2}, {"/shop/finish", "galvanised-powder"}, {"/shop/coat_mm", 0}});
  ASSERT_EQ(bare.parts.size(), dipped.parts.size());
  int pierced = 0;
  for (int i = 0; i < static_cast<int>(bare.instances.size()); ++i) {
    const Part& part = bare.parts[bare.instances[i].part];
    if (part.tube && part.kind != PartKind::kBottomRail) {  // by the walk, but screws' holes
      for (const Opening& opening : Walk::openingsOf(part)) {
        EXPECT_TRUE(isForScrew(bare, i, opening.centre)) << part.in_words;
      }
    }
  }
  for (std::size_t i = 0; i < bare.parts.size(); ++i) {
    EXPECT_TRUE(bare.parts[i].vents.empty());
    EXPECT_TRUE(painted.parts[i].vents.empty());
    EXPECT_EQ(painted.parts[i].volume_mm3, bare.parts[i].volume_mm3);
    EXPECT_EQ(painted.parts[i].identity, bare.parts[i].identity);
    double taken = 0;
    for (const VentHole& vent : dipped.parts[i].vents) {
      taken += std::numbers::pi / 4 * vent.diameter_mm * vent.diameter_mm *
               dipped.parts[i].tube->wall_mm;
    }
    pierced += taken > 0 ? 1 : 0;
    EXPECT_NEAR(dipped.parts[i].volume_mm3, bare.parts[i].volume_mm3 - taken, 1e-3)
        << dipped.parts[i].in_words;
    EXPECT_EQ(dipped.parts[i].cutouts.size(),
              bare.parts[i].cutouts.size() + dipped.parts[i].vents.size());
  }
  EXPECT_GT(pierced, 4);
}

TEST(Vents, StandInListsAndNetSections) {
  const GateSpec spec =
      gates::specWith({{"/gate/panels", 2}, {"/shop/finish", "galvanised-powder"}});
  Model model = buildModel(spec, gates::laidOut(spec));
  measureAreas(model);
  const Schedules schedules = makeSchedules(model);
  for (const CoatingRow& row : schedules.coating) {
    if (row.name == "pulley pin" || row.name == "spacer sleeve") {
      EXPECT_EQ(row.finish, "bare and greased: turned to fit");
      EXPECT_EQ(row.zinc_um, 0);
      continue;
    }
    const bool is_track = row.mark.starts_with("TK") || row.mark.starts_with("TD");
    EXPECT_EQ(row.finish, is_track ? "galvanised" : "galvanised, then powder-coated") << row.mark;
    EXPECT_GE(row.zinc_um, 45) << row.mark;
    // Stiles of 3 mm and pickets of 2: 55; the base plate of 10 or more: 85.
    if (row.section == "SHS 50x50x3") {
      EXPECT_EQ(row.zinc_um, 55);
    }
  }
  const auto weak = weakPlaces(model);
  for (std::size_t i = 0; i < model.parts.size(); ++i) {
    if (model.parts[i].vents.empty()) {
      continue;
    }
    const auto& places = weak.at(static_cast<int>(i));
    const SectionProperties whole = bendingAcross(*model.parts[i].tube);
    ASSERT_EQ(places.size(), 3 * model.parts[i].vents.size());
    for (const WeakPlace& place : places) {
      EXPECT_LT(place.net.area_mm2, whole.area_mm2);
      EXPECT_EQ(place.taken_off, "vent");
    }
  }
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClear) << allText(report);
}

/// Nothing of a wall is left for a hole of 10 beside the round corners of a 15x15x3: 15 - 2 x 6
/// = 3.
TEST(Vents, AreMissedAloudWhereNoneFits) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 2},
                                         {"/gate/infill/section", "SHS 15x15x3"},
                                         {"/shop/finish", "galvanised"},
                                         {"/shop/bath_mm", gates::Json::array({3000, 1000})}});
  const Model model = buildModel(spec, gates::laidOut(spec));
  int unvented = 0, bath = 0;
  for (const Warning& warning : warningsOf(model, makeSchedules(model))) {
    if (warning.id == "unvented") {
      ++unvented;
      EXPECT_EQ(warning.against, Against::kMaking);
      EXPECT_NE(warning.text.find(" end and "), std::string::npos) << warning.text;
    }
    bath += warning.id == "larger-than-bath" ? 1 : 0;
  }
  EXPECT_GE(unvented, 1);
  EXPECT_EQ(bath, 2);
  const Model bare = modelWith({{"/gate/panels", 2}});
  for (const Warning& warning : warningsOf(bare, makeSchedules(bare))) {
    EXPECT_NE(warning.id, "unvented");
    EXPECT_NE(warning.id, "dip-thickness");
  }
}

}  // namespace
}  // namespace leafstack
