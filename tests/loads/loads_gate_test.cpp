// Loads of whole gates: masses and areas against their own sums, ropes integrated along their path
// at many positions, reactions against moments, warnings with their cures.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <numbers>
#include <string>

#include "generator/loads/loads.h"
#include "generator/loads/loads_parts.h"
#include "generator/loads/sheet.h"
#include "generator/verdict/load_warnings.h"
#include "params/catalogue/catalogue.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Changes;
using gates::Json;
using gates::modelWith;

/// Loads and what is said of them.
struct WarnedLoads : LoadReport {
  std::vector<Warning> warnings;
};

WarnedLoads warnedLoads(const Model& model) {
  WarnedLoads loads{findLoads(model), {}};
  loads.warnings = loadWarnings(model, loads);
  return loads;
}

const Warning* warningOf(const WarnedLoads& report, const std::string& id) {
  for (const Warning& warning : report.warnings) {
    if (warning.id == id) {
      return &warning;
    }
  }
  return nullptr;
}

// ---------------------------------------------------------------- ropes

/// Length of a rope between its terminals at a position, from where the solids are then: along
/// the front strand to the pulley, round half of its pitch circle, back along the rear strand; by
/// numeric integration over chords.
double integratedLength(const Model& model, const RopeRun& run, double drive_mm) {
  const auto centreOf = [&](PartKind kind, int panel, bool last) {
    const Instance* found = nullptr;
    for (const Instance& instance : model.instances) {
      if (instance.panel == panel && model.parts[instance.part].kind == kind &&
          (found == nullptr || last)) {
        found = &instance;
      }
    }
    const Part& part = model.parts[found->part];
    gp_Pnt centre(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2]);
    centre.Transform(locationAt(model, *found, drive_mm).Transformation());
    return centre;
  };
  // Pulleys are placed leading first.
  const gp_Pnt pulley = centreOf(PartKind::kPulley, run.carrier, run.opening);
  // Terminals are the only parts coaxial with the rope's ends: those of this rope are the pair
  // whose axes lie on the pitch circle's tangents and square to the pulley's axis, on the side of
  // it that the rope comes from. The rope comes out at the end that looks towards the pulley.
  const double pitch = model.layout.ropes.at(run.carrier - 1).pitch_mm;
  const double middle_y = pulley.Y();
  const double grade = model.layout.panel(run.carrier).grade;
  const auto strand = [&](int body, double y) {
    double found = 1e300;
    for (const Instance& instance : model.instances) {
      if (instance.panel != body || model.parts[instance.part].kind != PartKind::kTerminal) {
        continue;
      }
      const Part& part = model.parts[instance.part];
      const gp_Trsf placed = locationAt(model, instance, drive_mm).Transformation();
      const auto endAt = [&](double x) { return gp_Pnt(x, 0, 0).Transformed(placed); };
      const auto far = [&](const gp_Pnt& p) {
        return std::hypot(p.X() - pulley.X(), p.Z() - pulley.Z());
      };
      const gp_Pnt low = endAt(part.bounds.low[0]);
      const gp_Pnt high = endAt(part.bounds.high[0]);
      const gp_Pnt& mouth = far(low) < far(high) ? low : high;
      const double side = (mouth.X() - pulley.X()) * model.opening_sign;
      const double off = mouth.Z() - pulley.Z() - grade * side;
      if ((run.opening ? side < 0 : side > 0) && std::abs(mouth.Y() - y) < 0.5 &&
          std::abs(off) < 5) {
        EXPECT_GE(found, 1e300) << "two terminals for one end";
        found = far(mouth);
      }
    }
    return found;
  };
  const double front = strand(run.frontBody(), middle_y - pitch / 2);
  const double rear = strand(run.rearBody(), middle_y + pitch / 2);
  constexpr int kChords = 20000;
  double length = 0;
  double last_x = front, last_y = -pitch / 2;
  const double turn = std::numbers::pi * pitch / 2;
  for (int i = 1; i <= kChords; ++i) {
    const double s = (front + turn + rear) * i / kChords;
    double x = 0, y = 0;
    if (s < front) {
      x = front - s;
      y = -pitch / 2;
    } else if (s < front + turn) {
      const double angle = (s - front) / (pitch / 2);
      x = -pitch / 2 * std::sin(angle);
      y = -pitch / 2 * std::cos(angle);
    } else {
      x = s - front - turn;
      y = pitch / 2;
    }
    length += std::hypot(x - last_x, y - last_y);
    last_x = x;
    last_y = y;
  }
  return length;
}

// The kinematics, checked by the ropes: each keeps its length to 0.001 mm at 50 positions.
TEST(RopeLengths, AreConstantOverTheTravel) {
  for (const Changes& changes :
       {Changes{{"/gate/panels", 2}}, Changes{{"/gate/panels", 3}, {"/gate/stacking", "staggered"}},
        Changes{{"/gate/panels", 4}, {"/site/opens", "left"}},
        Changes{{"/gate/panels", 3}, {"/site/grade", 0.1}},
        Changes{{"/gate/panels", 4},
                {"/site/grade", -0.07},
                {"/site/opens", "left"},
                {"/gate/top", "stepped"}}}) {
    const Model model = modelWith(changes);
    const LoadReport report = findLoads(model);
    ASSERT_EQ(report.ropes.size(), 2U * (model.layout.panel_count - 1));
    for (std::size_t i = 0; i < model.ropes.size(); ++i) {
      SCOPED_TRACE(model.ropes[i].mark);
      const RopeRow& row = report.ropes[i];
      EXPECT_EQ(row.mark, model.ropes[i].mark);
      for (int step = 0; step <= 50; ++step) {
        const double at = model.layout.drive_travel_mm * step / 50;
        ASSERT_NEAR(integratedLength(model, model.ropes[i], at), row.free_length_mm, 0.001) << at;
      }
    }
  }
}

TEST(RopeRows, FiguresFollowFromEachOther) {
  const Model model = modelWith({{"/gate/panels", 3},
                                 {"/ropes/diameter_mm", 4},
                                 {"/ropes/termination", "clips"},
                                 {"/ropes/finish", "stainless"}});
  const LoadReport report = findLoads(model);
  for (const RopeRow& row : report.ropes) {
    EXPECT_NEAR(row.breaking_force_N, 0.362 * 16 * 1570, 1e-6);  // row W1; stainless
    EXPECT_NEAR(*row.safety, row.breaking_force_N * 0.8 / row.working_tension_N, 1e-9);
    EXPECT_NEAR(row.stretch_mm, row.working_tension_N * row.length_mm / (42560 * 16), 1e-9);
    EXPECT_NEAR(row.order_length_mm, std::ceil(row.length_mm + 2 * 82.55), 1e-9);
    EXPECT_LT(row.free_length_mm, row.length_mm - 20);
    EXPECT_NEAR(row.adjuster_needed_mm, 2 * (row.permanent_stretch_mm + 3), 1e-9);
    EXPECT_EQ(row.adjuster_mm, 40);  // 20 at either end
  }
}

// ---------------------------------------------------------------- statics of whole gates

double ratioSum(const ChainCase& chain) {
  double sum = 0;
  for (std::size_t i = 0; i < chain.need_N.size(); ++i) {
    sum += static_cast<double>(i + 1) * chain.need_N[i];
  }
  return sum;
}

TEST(LoadCases, DriveIsTheVirtualWorkOnEveryKindOfGround) {
  const Json survey = Json::array({Json::array({-500, 0}), Json::array({2500, -25}),
                                   Json::array({6000, 20}), Json::array({10500, -15})});
  for (const Changes& changes :
       {Changes{{"/gate/panels", 4}}, Changes{{"/gate/panels", 3}, {"/site/grade", -0.08}},
        Changes{{"/site/track_survey_mm", survey}, {"/gate/infill/kind", "open"}}}) {
    const Model model = modelWith(changes);
    LoadReport report;
    report.resistance = wheelResistance(model.spec.drive, model.spec.hardware);
    report.panels = panelLoads(model);
    for (const ChainCase& chain : chainCases(model, report)) {
      EXPECT_NEAR(chain.ideal.drive_N, ratioSum(chain), 1e-9 * 1e4);
      EXPECT_GE(chain.forces.drive_N, chain.ideal.drive_N - 1e-9);
    }
  }
}

// By hand: uphill 1/10 with mu 0.03, sin 0.0995, cos 0.99504.
TEST(LoadCases, SlopeByHand) {
  const Model model = modelWith({{"/site/grade", 0.1},
                                 {"/drive/rolling_resistance", 0.03},
                                 {"/drive/acceleration_mm_s2", 100}});
  const LoadReport report = findLoads(model);
  const double m1 = report.panels[0].mass.mass_kg, m2 = report.panels[1].mass.mass_kg;
  const double sine = 0.1 / std::sqrt(1.01), cosine = 1 / std::sqrt(1.01);
  const double share = 9.81 * (sine + 0.03 * cosine);
  EXPECT_TRUE(report.drive.moving.opening);
  EXPECT_NEAR(report.drive.force_N, share * (m1 + 2 * m2), 1e-6);
  EXPECT_NEAR(report.drive.start_force_N, share * (m1 + 2 * m2) + 0.1 * (m1 + 4 * m2), 1e-6);
  EXPECT_NEAR(report.drive.holding_force_N, 9.81 * sine * (m1 + 2 * m2), 1e-6);
  EXPECT_NEAR(report.drive.track_travel_mm, model.layout.drive_travel_mm * std::sqrt(1.01), 1e-6);
  EXPECT_NEAR(report.drive.kinetic_energy_J, (m1 + 4 * m2) / 2 * 0.16 * 0.16, 1e-9);
  EXPECT_EQ(report.drive.front_speed_mm_s, 320);
}

// A survey of one constant grade loads the gate as that grade does.
TEST(LoadCases, SurveyOfAGradeIsTheGrade) {
  const Json survey = Json::array({Json::array({-1000, -50}), Json::array({11000, 550})});
  const LoadReport surveyed = findLoads(modelWith({{"/site/track_survey_mm", survey}}));
  const LoadReport graded = findLoads(modelWith({{"/site/grade", 0.05}}));
  EXPECT_NEAR(surveyed.drive.force_N / graded.drive.force_N, 1, 0.003);
  EXPECT_NEAR(surveyed.drive.runaways.at(0).force_N / graded.drive.runaways.at(0).force_N, 1,
              0.005);
  EXPECT_NEAR(surveyed.drive.runaways.at(0).speed_mm_s / graded.drive.runaways.at(0).speed_mm_s, 1,
              0.005);
}

// On a hump the worst point is neither closed nor open, and it is worse than the mean slope.
TEST(LoadCases, SurveyFindsTheWorstPoint) {
  const Json survey = Json::array({Json::array({-500, 0}), Json::array({3000, 20}),
                                   Json::array({6500, 90}), Json::array({10500, 60})});
  const Model model = modelWith({{"/site/track_survey_mm", survey}, {"/gate/infill/kind", "open"}});
  const LoadReport report = findLoads(model);
  LoadReport partial;
  partial.resistance = report.resistance;
  partial.panels = report.panels;
  double most = 0;
  for (const ChainCase& chain : chainCases(model, partial)) {
    most = chain.phase == Phase::kMoving ? std::max(most, chain.ideal.drive_N) : most;
  }
  EXPECT_EQ(report.drive.force_N, most);
  EXPECT_LT(report.panels[1].least_slope, report.panels[1].most_slope - 0.01);
}

// Dirt helps to brake and is not counted: 2 % downhill, by hand with clean wheels.
TEST(LoadCases, BrakingRestsOnCleanWheels) {
  const Model model = modelWith({{"/site/grade", -0.02}});
  const LoadReport report = findLoads(model);
  const double m1 = report.panels[0].mass.mass_kg, m2 = report.panels[1].mass.mass_kg;
  const double cosine = 1 / std::sqrt(1.0004);
  const double clean = 2.0 / 90 * (0.005 * 12 / 2 + 0.5) + 0.003;
  EXPECT_NEAR(report.drive.braking_force_N,
              9.81 * cosine * (0.02 - clean) * (m1 + 2 * m2) + 0.2 * (m1 + 4 * m2), 1e-6);
}

TEST(LoadCases, SpeedsAreThoseReached) {
  const LoadReport report = findLoads(modelWith({{"/drive/slow_travel_mm", 5000}}));
  EXPECT_EQ(report.drive.time.top_speed_mm_s, 80);
  EXPECT_EQ(report.drive.front_speed_mm_s, 160);
}

// A hump falls both ways: both are told, the faster first.
TEST(Runaway, BothWaysOnAHump) {
  const Json survey =
      Json::array({Json::array({-500, -120}), Json::array({4600, 60}), Json::array({9800, -120})});
  const LoadReport report =
      findLoads(modelWith({{"/site/track_survey_mm", survey}, {"/gate/infill/kind", "open"}}));
  ASSERT_EQ(report.drive.runaways.size(), 2U);
  EXPECT_NE(report.drive.runaways[0].opens, report.drive.runaways[1].opens);
  EXPECT_GE(report.drive.runaways[0].speed_mm_s, report.drive.runaways[1].speed_mm_s);
}

// Energy: released on 1/10 with clean wheels, v^2 / 2 x sum k^2 m = force x travel.
TEST(Runaway, SpeedIsByEnergy) {
  const Model model = modelWith({{"/site/grade", -0.1}});
  const LoadReport report = findLoads(model);
  ASSERT_EQ(report.drive.runaways.size(), 1U);
  const Runaway& runaway = report.drive.runaways[0];
  EXPECT_TRUE(runaway.opens);
  const double m1 = report.panels[0].mass.mass_kg, m2 = report.panels[1].mass.mass_kg;
  const double energy_J = runaway.force_N * report.drive.track_travel_mm / 1000;
  const double v = runaway.speed_mm_s / 1000;
  EXPECT_NEAR((m1 + 4 * m2) * v * v / 2, energy_J, 1e-6 * energy_J);
}

// ---------------------------------------------------------------- wind

// The whole gate about its tracks: what wind and guide post do must balance, panel by panel, with
// arms taken from the layout another way: guide heights over the wheels' running line.
TEST(Wind, GuidesBalanceThePanels) {
  for (const auto& built : gates::builtMatrix()) {
    SCOPED_TRACE(built.text);
    const WindReport wind = findLoads(built.model).wind;
    const Layout& layout = built.model.layout;
    const double track = layout.heights.footing_top_mm + built.model.spec.hardware.track.size_mm;
    double covered = 0;
    for (int i = layout.panel_count - 1; i >= 0; --i) {
      const WindPanel& panel = wind.panels[i];
      covered += panel.to_mm - panel.from_mm;
      const double front = i + 1 < layout.panel_count ? wind.panels[i + 1].guide_N : 0;
      const double front_arm = i + 1 < layout.panel_count ? layout.guides[i + 1].z_mm - track : 0;
      const double middle =
          (layout.heights.underside_mm + built.model.spec.gate.height_mm) / 2 - track;
      EXPECT_NEAR(panel.guide_N * (layout.guides[i].z_mm - track),
                  panel.force_N * middle + front * front_arm, 1e-3);
      EXPECT_NEAR(panel.wheels_N + panel.guide_N, panel.force_N + front, 1e-6);
    }
    EXPECT_NEAR(covered, layout.opening_mm - layout.panels.back().leading_closed_mm, 1e-6);
    EXPECT_EQ(wind.guide_N, wind.panels[0].guide_N);
  }
}

TEST(Wind, PressureComesFromWhatIsGiven) {
  const auto pressure = [](Changes changes) {
    return findLoads(modelWith(changes)).wind.velocity_pressure_Pa;
  };
  EXPECT_EQ(pressure({}), 490);
  EXPECT_EQ(pressure({{"/checks/wind_Pa", 321}, {"/checks/wind_class", 2}}), 321);
  EXPECT_EQ(pressure({{"/checks/wind_class", 2}, {"/checks/wind_speed_m_s", 50}}), 450);
  // EN 1991-1-4, category II at its least height of 2 m: worked by hand, 26 m/s: c_r 0.19 ln 40 =
  // 0.7009, v 18.22, I_v 0.2711, q (1 + 7 x 0.2711) x 0.625 x 332.1.
  EXPECT_NEAR(pressure({{"/checks/wind_speed_m_s", 26}, {"/checks/wind_terrain", "II"}}), 601.4,
              0.5);
  EXPECT_EQ(pressure({{"/checks/wind_speed_m_s", 0}}), 0);
}

// The guide post is a cantilever under what panel 1's block brings; its base plate bends over the
// way from the post to its anchors' row, whose pull is the moment over the rows' distance.
TEST(Structure, PostByHand) {
  const Model model = modelWith({{"/checks/wind_Pa", 600}});
  const StructureReport structure = findLoads(model).structure;
  ASSERT_EQ(structure.posts.size(), 2U);  // and the catch post
  const StructurePost& post = structure.posts.front();
  ASSERT_EQ(post.mark, "GP1");
  double base = 0;
  for (const Instance& instance : model.instances) {
    if (model.parts[instance.part].kind == PartKind::kGuidePost) {
      base = instance.bounds.low[2];
    }
  }
  const double arm = model.layout.guides.front().z_mm - base;
  EXPECT_NEAR(post.moment_Nm, 1.5 * structure.blocks.front().force_N * arm / 1000,
              1e-6 * post.moment_Nm);
  // Row R4: SHS 80x80x4 has W 27.8 cm3; shear adds little.
  EXPECT_NEAR(post.use, post.moment_Nm * 1000 / 27800 / 235, 0.01 * post.use);
  // Plate 12 thick, 8 past a post of 80 on either side and 38 before and behind it, anchors 1.2
  // holes of 14 from its edges: rows 21.2 off the post.
  const double row_N = post.moment_Nm * 1000 / (21.2 + 80 + 21.2);
  EXPECT_NEAR(post.anchor_N, row_N / 2, 1e-6 * row_N);
  EXPECT_NEAR(post.plate_use.value(), row_N * 21.2 / ((80 + 16) * 12 * 12 / 4.0 * 235), 1e-6);
}

// ---------------------------------------------------------------- warnings and their cures

TEST(LoadWarnings, SoundGateHasNone) {
  // Row W4: 24 times 3 mm at the groove's bottom, one rope more in the rope's middle.
  const WarnedLoads report =
      warnedLoads(modelWith({{"/checks/wind_Pa", 100}, {"/ropes/pulley_pitch_mm", 75}}));
  for (const Warning& warning : report.warnings) {
    ADD_FAILURE() << warning.id << ": " << warning.text;
  }
}

TEST(LoadWarnings, RopeTooWeakNamesTheOneThatHolds) {
  const Json heavy{{"kind", "boards"}, {"thickness_mm", 45}, {"density_kg_m3", 1500}};
  const Changes changes{{"/gate/panels", 3},        {"/gate/cladding", heavy},
                        {"/ropes/diameter_mm", 3},  {"/drive/acceleration_mm_s2", 300},
                        {"/site/opening_mm", 9000}, {"/gate/height_mm", 2200}};
  const Model model = modelWith(changes);
  const WarnedLoads report = warnedLoads(model);
  const Warning* warning = warningOf(report, "rope-weak");
  ASSERT_NE(warning, nullptr);
  EXPECT_NE(warning->text.find("less than the"), std::string::npos) << warning->text;
  EXPECT_NE(warning->text.find("A rope of "), std::string::npos) << warning->text;
  // The cure cures: the size it names, with the rest as it was, no longer warns.
  const std::size_t at = warning->text.find("A rope of ") + 10;
  const double size = std::stod(warning->text.substr(at));
  const std::string pulleys =
      "pulleys of " + std::to_string(static_cast<int>((24 + 1) * size)) + " mm";
  EXPECT_NE(warning->text.find(pulleys), std::string::npos) << warning->text;  // row W4
  GateSpec spec = model.spec;
  spec.ropes.diameter_mm = size;
  spec.ropes.pulley_inset_mm = 60;
  const WarnedLoads cured = warnedLoads(buildModel(spec, gates::laidOut(spec)));
  EXPECT_EQ(warningOf(cured, "rope-weak"), nullptr) << size;
}

TEST(LoadWarnings, PulleyTooSmallNamesTheOneThatLasts) {
  const WarnedLoads report =
      warnedLoads(modelWith({{"/ropes/construction", "7x7"}, {"/ropes/pulley_pitch_mm", 75}}));
  const Warning* warning = warningOf(report, "bend-ratio");
  ASSERT_NE(warning, nullptr);
  // Row W4: 7x7 wants 42, needs 28, of the groove's bottom, as makers' tables count it: a pulley of
  // 75 in a rope of 3 mm's middle has 72 there, which gives 24, and 42 x 3 + 3 = 129 would do.
  EXPECT_NE(warning->text.find("24 (groove's bottom) is below the 42 desired and the least of 28"),
            std::string::npos)
      << warning->text;
  EXPECT_NE(warning->text.find("(rope makers' tables)"), std::string::npos);
  EXPECT_NE(warning->text.find("Pulleys of 129 mm"), std::string::npos) << warning->text;
  EXPECT_NE(warning->text.find("7x19"), std::string::npos);
  // Where a 7x19 rope would be too stiff as well, it is not offered.
  const WarnedLoads thick =
      warnedLoads(modelWith({{"/ropes/construction", "7x7"}, {"/ropes/diameter_mm", 4}}));
  EXPECT_EQ(warningOf(thick, "bend-ratio")->text.find("7x19"), std::string::npos);
  EXPECT_EQ(warning->where, "/ropes/pulley_pitch_mm");
}

TEST(LoadWarnings, RunsAwayDownhill) {
  const WarnedLoads report = warnedLoads(modelWith({{"/site/grade", -0.1}}));
  const Warning* warning = warningOf(report, "runs-by-gravity");
  ASSERT_NE(warning, nullptr);
  EXPECT_NE(warning->text.find("hazard"), std::string::npos);
  EXPECT_NE(warning->text.find("run open"), std::string::npos) << warning->text;
  EXPECT_NE(warning->text.find("brake"), std::string::npos);
  EXPECT_NE(warningOf(warnedLoads(modelWith({{"/site/grade", 0.1}})), "runs-by-gravity")
                ->text.find("run shut"),
            std::string::npos);
  // Clean wheels hold on 1 in 100, by 0.0148 of their weight.
  EXPECT_EQ(warningOf(warnedLoads(modelWith({{"/site/grade", 0.01}})), "runs-by-gravity"), nullptr);
}

TEST(LoadWarnings, WeakMotorSaysWhatIsNeeded) {
  const Model model = modelWith({{"/drive/motor", {{"force_N", 100}}}});
  const WarnedLoads report = warnedLoads(model);
  const Warning* warning = warningOf(report, "motor-weak");
  ASSERT_NE(warning, nullptr);
  GateSpec spec = model.spec;
  spec.drive.motor.force_N = std::ceil(report.drive.required_force_N);
  EXPECT_EQ(warningOf(warnedLoads(buildModel(spec, gates::laidOut(spec))), "motor-weak"), nullptr);
  const Model unknown = modelWith({{"/drive/motor", {{"length_mm", 200}}}});
  EXPECT_EQ(warningOf(warnedLoads(unknown), "motor-weak"), nullptr);
}

TEST(LoadWarnings, ShortAdjusterAndWindAndWheels) {
  const WarnedLoads tight = warnedLoads(modelWith({{"/ropes/adjuster_mm", 10}}));
  const Warning* short_one = warningOf(tight, "adjuster-short");
  ASSERT_NE(short_one, nullptr);
  EXPECT_EQ(short_one->text.find("thicker"), std::string::npos);  // safety is far above 8
  const double needed = std::ceil(tight.ropes[0].adjuster_needed_mm);
  EXPECT_EQ(warningOf(warnedLoads(modelWith({{"/ropes/adjuster_mm", needed}})), "adjuster-short"),
            nullptr);
  EXPECT_NE(warningOf(warnedLoads(modelWith({{"/ropes/termination", "clips"}})), "loops-not-drawn"),
            nullptr);
  const WarnedLoads blown = warnedLoads(modelWith({{"/checks/wind_Pa", 1500}}));
  const Warning* wind = warningOf(blown, "member-overload");
  ASSERT_NE(wind, nullptr);
  EXPECT_NE(wind->text.find("% of what it bears"), std::string::npos);
  EXPECT_EQ(wind->against, Against::kStrength);
  const Json heavy{{"kind", "boards"}, {"thickness_mm", 60}, {"density_kg_m3", 3000}};
  const WarnedLoads loaded =
      warnedLoads(modelWith({{"/gate/cladding", heavy}, {"/gate/height_mm", 2400}}));
  EXPECT_NE(warningOf(loaded, "wheel-overload"), nullptr);
}

// ---------------------------------------------------------------- the sheet

TEST(CalculationSheet, HasEverySectionAndKnownSources) {
  const Model model = modelWith({{"/gate/panels", 3}, {"/site/grade", 0.05}});
  const auto sheet = calculationSheet(model, findLoads(model));
  std::vector<std::string> titles;
  for (const SheetSection& section : sheet) {
    titles.push_back(section.title);
    EXPECT_FALSE(section.lines.empty()) << section.title;
    for (const SheetLine& line : section.lines) {
      EXPECT_FALSE(line.what.empty());
      EXPECT_FALSE(line.value.empty()) << line.what;
      EXPECT_EQ(line.value.find("nan"), std::string::npos) << line.what;
    }
  }
  EXPECT_EQ(titles,
            (std::vector<std::string>{
                "Masses and wheels", "Rolling resistance", "Statics, moving", "Statics, starting",
                "Ropes", "Drive", "Released on the slope", "Wind on the closed gate",
                "The gate as one frame in space (an aid, not a structural design)"}));
}

}  // namespace
}  // namespace leafstack
