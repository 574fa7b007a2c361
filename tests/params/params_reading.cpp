// Reading a gate file: defaults, origins, overrides, places, all problems at once.
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <tuple>
#include <vector>

#include "params/read_gate.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

constexpr const char* kLeastFile = R"({"site": {"opening_mm": 6000}})";

ResolvedGate readOk(const std::string& text, const std::vector<Override>& overrides = {}) {
  ReadResult result = readGate(text, "gate.json", overrides);
  for (const Diagnostic& problem : result.problems) {
    ADD_FAILURE() << toString(problem);
  }
  return result.gate.value_or(ResolvedGate{});
}

std::vector<Diagnostic> problemsOf(const std::string& text,
                                   const std::vector<Override>& overrides = {}) {
  const ReadResult result = readGate(text, "gate.json", overrides);
  EXPECT_EQ(result.gate.has_value(), result.problems.empty());
  return result.problems;
}

const ResolvedValue& valueAt(const ResolvedGate& gate, const std::string& pointer) {
  static const ResolvedValue kNone;
  for (const ResolvedValue& value : gate.values) {
    if (value.pointer == pointer) {
      return value;
    }
  }
  ADD_FAILURE() << "no value at " << pointer;
  return kNone;
}

void expectSection(const HollowSection& section, const HollowSection& wanted) {
  EXPECT_EQ(section.designation, wanted.designation);
  EXPECT_EQ(section.height_mm, wanted.height_mm);
  EXPECT_EQ(section.depth_mm, wanted.depth_mm);
  EXPECT_EQ(section.wall_mm, wanted.wall_mm);
}

TEST(ReadGate, DefaultsAreThoseOfTheStructs) {
  GateSpec read = readOk(kLeastFile).spec;
  GateSpec untouched;
  EXPECT_EQ(read.site.opening_mm, 6000);
  for (const Parameter& parameter : parameterTable()) {
    if (!parameter.required && parameter.kind != Kind::kSection &&
        parameter.kind != Kind::kAutoSection) {
      EXPECT_EQ(valueOf(parameter, read), valueOf(parameter, untouched)) << parameter.pointer;
    }
  }
  expectSection(read.gate.bottom_rail, {100, 50, 3, "RHS 100x50x3"});
  expectSection(read.gate.top_rail, {50, 50, 3, "SHS 50x50x3"});
  expectSection(read.gate.stile, {50, 50, 3, "SHS 50x50x3"});
  expectSection(read.gate.infill.section, {25, 25, 2, "SHS 25x25x2"});
}

// Aluminium is a third as stiff and loses most of its strength beside welds: what holds in steel
// does not.
TEST(ReadGate, FramesOfAluminiumStartLarger) {
  const auto spec_of = [](const std::string& gate) {
    return readOk(R"({"site": {"opening_mm": 5000}, "gate": {"material": "aluminium")" + gate +
                  "}}")
        .spec;
  };
  const GateSpec plain = spec_of("");
  EXPECT_TRUE(plain.gate.stile.is_extruded && plain.gate.infill.section.is_extruded);
  EXPECT_FALSE(readOk(R"({"site": {"opening_mm": 5000}})").spec.gate.stile.is_extruded);
  expectSection(plain.gate.bottom_rail, {100, 80, 3, "RHS 100x80x3"});
  expectSection(plain.gate.top_rail, {80, 80, 3, "SHS 80x80x3"});
  expectSection(plain.gate.stile, {80, 80, 3, "SHS 80x80x3"});
  EXPECT_EQ(plain.hardware.keeper.plate_mm, 8);
  // What is given stays, and of another depth it takes the rest with it.
  const GateSpec as_deep = spec_of(R"(, "bottom_rail": "RHS 120x80x4")");
  expectSection(as_deep.gate.bottom_rail, {120, 80, 4, "RHS 120x80x4"});
  expectSection(as_deep.gate.stile, {80, 80, 3, "SHS 80x80x3"});
  const GateSpec slim = spec_of(R"(, "bottom_rail": "RHS 100x50x4")");
  expectSection(slim.gate.bottom_rail, {100, 50, 4, "RHS 100x50x4"});
  expectSection(slim.gate.stile, {50, 50, 3, "SHS 50x50x3"});
  EXPECT_EQ(slim.hardware.keeper.plate_mm, 8);
  const GateSpec own = readOk(R"({"site": {"opening_mm": 5000}, "gate": {"material": "aluminium"},
      "hardware": {"set": "light", "keeper": {"plate_mm": 4}}})")
                           .spec;
  EXPECT_EQ(own.hardware.keeper.plate_mm, 4);
}

TEST(ReadGate, EveryKeyReachesItsOwnPlace) {
  const GateSpec spec = readOk(R"({
    "leafstack": 1.0,
    "job": {"title": "t", "number": "n", "client": "c", "company": "o",
            "drawn_by": "d", "checked_by": "k", "approved_by": "a", "date": "2 May",
            "revision": "r"},
    "site": {"opening_mm": 4001, "room_mm": 4002, "opens": "left", "fence_height_mm": 1803,
             "fence_post_mm": 104, "fence_clearance_mm": 25, "setback_mm": 36, "bank": 0.25,
             "pocket_width_mm": 1207},
    "gate": {"panels": 3.0, "height_mm": 1508, "top": "stepped", "stacking": "staggered",
             "overlap_mm": 89, "closing_overlap_mm": 11, "tuck_mm": 12, "ground_clearance_mm": 43,
             "material": "aluminium", "yield_N_mm2": 161, "bottom_rail": "rhs120×60x4", "top_rail": "SHS 60x4",
             "stile": "RHS 40x60x3",
             "infill": {"kind": "slats", "section": "SHS 20x20x2", "gap_mm": 34,
                        "thickness_mm": 2.5},
             "cladding": {"kind": "battens", "thickness_mm": 16, "width_mm": 97, "gap_mm": 8,
                          "bottom_mm": 119, "density_kg_m3": 460},
             "return": false},
    "guides": {"mount": "reach-over", "rail_mm": 25, "channel_width_mm": 81, "channel_depth_mm": 52,
               "recess_mm": 3, "packing_mm": 4, "hide": false, "post_mm": 85, "margin_mm": 16,
               "post_gap_mm": 27,
               "drop_mm": [5, 6.5, 7]},
    "ropes": {"diameter_mm": 4, "construction": "7x7", "grade_N_mm2": 1570, "pulley_pitch_mm": 98,
              "finish": "stainless", "termination": "clips", "pulley_efficiency": 0.96,
              "adjuster_mm": 77,
              "pulley_inset_mm": 59, "bracket_clearance_mm": 61, "bracket_inset_mm": -14,
              "heights_mm": [37, 67.5]},
    "drive": {"motor": {"length_mm": 210, "overrun_closed_mm": 31, "overrun_open_mm": 32,
                        "force_N": 611},
              "motor_gap_mm": 13, "rack_inset_mm": 24, "speed_mm_s": 165, "packing_mm": 36,
              "wheel_bearing": "plain", "dirt_allowance": 0.007, "rolling_resistance": 0.03,
              "acceleration_mm_s2": 207, "slow_speed_mm_s": 71, "slow_travel_mm": 133},
    "checks": {"clearance_mm": 9, "guide_clearance_mm": 0.5, "hardware_clearance_mm": 1.5,
               "build_tolerance_mm": 2, "rope_safety": 6, "wind_Pa": 603, "wind_class": 3,
               "wind_speed_m_s": 24.5, "wind_terrain": "II", "wind_years": 20,
               "wind_ends": "fence", "wind_factor": 1.4},
    "shop": {"stock_lengths_mm": [5000, 7500.5], "timber_lengths_mm": [4500],
             "sheet_mm": [2500, 1250], "sheet_gap_mm": 8,
             "kerf_mm": 2.5, "trim_mm": 12,
             "bend_radius_mm": 6, "bend_k_factor": 0.38, "finish": "painted",
             "bath_mm": [7000, 2500]},
    "drawings": {"sheet": "A2", "projection": "third"}})")
                            .spec;
  const auto of = [](const auto&... values) { return std::tuple(values...); };
  const JobSpec& job = spec.job;
  EXPECT_EQ(job.title + job.number + job.client + job.company + job.drawn_by, "tncod");
  EXPECT_EQ(job.checked_by + job.approved_by + job.date + job.revision, "ka2 Mayr");
  const SiteSpec& site = spec.site;
  EXPECT_EQ(of(site.opening_mm, site.room_mm, site.opens, site.fence_height_mm, site.fence_post_mm,
               site.fence_clearance_mm, site.setback_mm, site.bank, site.pocket_width_mm),
            of(4001, 4002, Hand::kLeft, 1803, 104, 25, 36, 0.25, 1207));
  const PanelSpec& gate = spec.gate;
  EXPECT_EQ(of(gate.panels, gate.height_mm, gate.top, gate.stacking, gate.overlap_mm,
               gate.closing_overlap_mm, gate.tuck_mm, gate.ground_clearance_mm, gate.material,
               gate.yield_N_mm2, gate.has_return),
            of(3, 1508, TopShape::kStepped, Stacking::kStaggered, 89, 11, 12, 43,
               FrameMaterial::kAluminium, 161, false));
  EXPECT_EQ(of(gate.infill.kind, gate.infill.gap_mm, gate.infill.thickness_mm),
            of(InfillKind::kSlats, 34, 2.5));
  const CladdingSpec& clad = gate.cladding;
  EXPECT_EQ(of(clad.kind, clad.thickness_mm, clad.width_mm, clad.gap_mm, clad.bottom_mm,
               clad.density_kg_m3),
            of(CladdingKind::kBattens, 16, 97, 8, 119, 460));
  expectSection(gate.bottom_rail, {120, 60, 4, "RHS 120x60x4"});
  expectSection(gate.top_rail, {60, 60, 4, "SHS 60x60x4"});
  expectSection(gate.stile, {40, 60, 3, "RHS 40x60x3"});
  expectSection(gate.infill.section, {20, 20, 2, "SHS 20x20x2"});
  const GuideSpec& guides = spec.guides;
  EXPECT_EQ(of(guides.mount, guides.rail_mm, guides.channel_width_mm, guides.channel_depth_mm,
               guides.recess_mm, guides.packing_mm, guides.hide, guides.post_mm, guides.margin_mm,
               guides.post_gap_mm, guides.drop_mm),
            of(GuideMount::kReachOver, 25, 81, 52, 3, 4, false, 85, 16, 27,
               std::vector<double>{5, 6.5, 7}));
  const RopeSpec& ropes = spec.ropes;
  EXPECT_EQ(of(ropes.diameter_mm, ropes.construction, ropes.grade_N_mm2.value(), ropes.finish,
               ropes.termination, ropes.pulley_efficiency, ropes.adjuster_mm),
            of(4, RopeConstruction::k7x7, 1570, RopeFinish::kStainless, RopeTermination::kClips,
               0.96, 77));
  EXPECT_EQ(of(ropes.pulley_pitch_mm, ropes.pulley_inset_mm, ropes.bracket_clearance_mm,
               ropes.bracket_inset_mm, ropes.heights_mm),
            of(98, 59, 61, -14, std::vector<double>{37, 67.5}));
  const DriveSpec& drive = spec.drive;
  EXPECT_EQ(of(drive.motor.name, drive.motor.length_mm, drive.motor.overrun_closed_mm,
               drive.motor.overrun_open_mm, drive.motor.force_N),
            of(std::string("custom"), 210, 31, 32, 611));
  EXPECT_EQ(of(drive.motor_gap_mm, drive.rack_inset_mm, drive.speed_mm_s, drive.packing_mm,
               drive.wheel_bearing, drive.dirt_allowance, drive.rolling_resistance,
               drive.acceleration_mm_s2, drive.slow_speed_mm_s, drive.slow_travel_mm),
            of(13, 24, 165, 36, WheelBearing::kPlain, 0.007, 0.03, 207, 71, 133));
  const CheckSpec& checks = spec.checks;
  EXPECT_EQ(of(checks.clearance_mm, checks.guide_clearance_mm, checks.hardware_clearance_mm,
               checks.build_tolerance_mm, checks.rope_safety, checks.wind_Pa, checks.wind_class,
               checks.wind_speed_m_s, checks.wind_terrain, checks.wind_years, checks.wind_ends,
               checks.wind_factor),
            of(9, 0.5, 1.5, 2, 6, 603, 3, 24.5, WindTerrain::kII, 20, WindEnds::kFence, 1.4));
  const ShopSpec& shop = spec.shop;
  EXPECT_EQ(of(shop.stock_lengths_mm, shop.timber_lengths_mm, shop.sheet_mm, shop.sheet_gap_mm,
               shop.kerf_mm, shop.trim_mm, shop.bend_radius_mm, shop.bend_k_factor, shop.finish,
               shop.bath_mm),
            of(std::vector<double>{5000, 7500.5}, std::vector<double>{4500},
               std::vector<double>{2500, 1250}, 8, 2.5, 12, 6, 0.38, ShopFinish::kPainted,
               std::vector<double>{7000, 2500}));
  EXPECT_EQ(of(spec.drawings.sheet, spec.drawings.projection),
            of(PaperSize::kA2, ProjectionAngle::kThird));
}

TEST(ReadGate, OriginsAreTold) {
  const ResolvedGate gate =
      readOk(R"({"site": {"opening_mm": 6000.0, "setback_mm": "auto"}, "gate": {"panels": 3},
                 "ropes": {"heights_mm": [36, 66]}})",
             {{"/gate/panels", "2"}, {"/ropes/heights_mm", "[40]"}});
  EXPECT_EQ(valueAt(gate, "/site/opening_mm").origin, Origin::kGiven);
  EXPECT_EQ(valueAt(gate, "/site/opening_mm").value.dump(), "6000");
  EXPECT_EQ(valueAt(gate, "/site/setback_mm").origin, Origin::kGiven);
  EXPECT_EQ(valueAt(gate, "/site/setback_mm").value, "auto");
  EXPECT_EQ(valueAt(gate, "/site/room_mm").origin, Origin::kDefault);
  EXPECT_EQ(valueAt(gate, "/gate/panels").origin, Origin::kOverride);
  EXPECT_EQ(valueAt(gate, "/gate/panels").value, 2);
  EXPECT_EQ(valueAt(gate, "/ropes/heights_mm").origin, Origin::kOverride);
  EXPECT_EQ(valueAt(gate, "/ropes/heights_mm").value.dump(), "[40]");
  EXPECT_EQ(valueAt(gate, "/leafstack").value, 1);
  EXPECT_EQ(valueAt(gate, "/gate/stile").value, "SHS 50x50x3");
  EXPECT_EQ(toString(Origin::kSet), "set");
}

TEST(ReadGate, MotorsComeFromTheSetOrAnObject) {
  const ResolvedGate standard = readOk(kLeastFile);
  EXPECT_EQ(valueAt(standard, "/drive/motor").origin, Origin::kDefault);
  EXPECT_EQ(valueAt(standard, "/drive/motor/length_mm").origin, Origin::kSet);

  const ResolvedGate narrow =
      readOk(R"({"site": {"opening_mm": 6000}, "drive": {"motor": "narrow"}})");
  EXPECT_EQ(narrow.spec.drive.motor.name, "narrow");
  EXPECT_EQ(valueAt(narrow, "/drive/motor").origin, Origin::kGiven);
  const std::vector<std::pair<std::string, int>> sizes = {{"/drive/motor/length_mm", 150},
                                                          {"/drive/motor/overrun_closed_mm", 20},
                                                          {"/drive/motor/overrun_open_mm", 20}};
  for (const auto& [pointer, size] : sizes) {
    EXPECT_EQ(valueAt(narrow, pointer).value, size);
    EXPECT_EQ(valueAt(narrow, pointer).origin, Origin::kSet);
  }

  const ResolvedGate custom =
      readOk(R"({"site": {"opening_mm": 6000}, "drive": {"motor": {"length_mm": 190}}})");
  EXPECT_EQ(custom.spec.drive.motor.name, "custom");
  EXPECT_EQ(custom.spec.drive.motor.length_mm, 190);
  EXPECT_EQ(custom.spec.drive.motor.overrun_open_mm, 60);
  EXPECT_EQ(valueAt(custom, "/drive/motor").value, "custom");
  EXPECT_EQ(valueAt(custom, "/drive/motor/length_mm").origin, Origin::kGiven);
  EXPECT_EQ(valueAt(custom, "/drive/motor/overrun_open_mm").origin, Origin::kDefault);
}

TEST(ReadGate, MinusZeroIsZero) {
  const ResolvedGate gate = readOk(
      R"({"site": {"opening_mm": 6e3, "grade": -0.0, "bank": -0}, "gate": {"tuck_mm": -0.0}})");
  EXPECT_FALSE(std::signbit(gate.spec.gate.tuck_mm));
  EXPECT_FALSE(std::signbit(gate.spec.site.grade));
  EXPECT_EQ(valueAt(gate, "/site/grade").value.dump(), "0");
}

TEST(ReadGate, RangesIncludeTheirEnds) {
  const auto opening = [](const std::string& value) {
    return R"({"site": {"opening_mm": )" + value + "}}";
  };
  readOk(opening("1000"));
  readOk(opening("20000"));
  EXPECT_EQ(problemsOf(opening("999.999")).size(), 1U);
  EXPECT_EQ(problemsOf(opening("20000.001")).size(), 1U);
}

TEST(ReadGate, DiagnosticsReadAsOneLine) {
  const auto problems = problemsOf("{\n  \"site\": {\n    \"opening_mm\": 12\n  }\n}");
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(toString(problems[0]),
            "gate.json:3:19: /site/opening_mm: 12 is too small (allowed: 1000 to 20000 mm); "
            "if that was in m, write 12000; if in ft, write 3657.6");
  EXPECT_EQ(toString({"a\nb", 0, 0, "", "no \"x\"", "", ""}), "a\\nb: no \"x\"");
  EXPECT_EQ(toString({"--set", 0, 0, "/a", "bad", "1 to 2", ""}),
            "--set: /a: bad (allowed: 1 to 2)");
}

TEST(ReadGate, ColumnsCountBytes) {
  const auto problems = problemsOf("{\"job\": {\"title\": \"Tör\", \"colour\": 1}, " +
                                   std::string(kLeastFile).substr(1));
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(problems[0].column, 27);  // the umlaut takes two
}

TEST(ReadGate, ProblemsFollowTheTextThenTheOverrides) {
  const auto problems = problemsOf("{\"x\": 1,\n \"gate\": {\"panels\": 9}, \"y\": 2}",
                                   {{"/gate/height_mm", "10"}, {"/z", "1"}});
  std::vector<std::string> pointers;
  for (const Diagnostic& problem : problems) {
    pointers.push_back(problem.pointer);
  }
  EXPECT_EQ(pointers, (std::vector<std::string>{"/x", "/gate/panels", "/y", "/z",
                                                "/site/opening_mm", "/gate/height_mm"}));
}

TEST(ReadGate, RulesBlameTheValueThatWasGiven) {
  // The rail alone was given, so the recess and the infill it no longer holds are not to blame.
  const auto rail =
      problemsOf(R"({"site": {"opening_mm": 6000}, "gate": {"bottom_rail": "RHS 100x25x3"}})");
  ASSERT_EQ(rail.size(), 3U);  // top rail, stile, infill
  for (const Diagnostic& problem : rail) {
    EXPECT_EQ(problem.pointer, "/gate/bottom_rail") << toString(problem);
    EXPECT_EQ(problem.line, 1);
  }
  // Rules do not pile onto a value that is bad already.
  EXPECT_EQ(problemsOf(R"({"site": {"opening_mm": 6000}, "gate": {"bottom_rail": "tube"}})").size(),
            1U);
  // Sheets and open frames have no section that could be too deep.
  readOk(R"({"site": {"opening_mm": 6000},
             "gate": {"infill": {"kind": "sheet", "section": "SHS 60x60x3"}}})");
  // Any number of panels may turn out to carry these.
  readOk(R"({"site": {"opening_mm": 6000}, "gate": {"panels": "auto"},
             "ropes": {"heights_mm": [36, 66, 36]}})");
}

TEST(ReadGate, RulesHoldAtTheirLimits) {
  const auto with = [](const std::string& rest) {
    return R"({"site": {"opening_mm": 6000}, )" + rest + "}";
  };
  readOk(with(R"("gate": {"infill": {"section": "RHS 25x48x2"}})"));
  readOk(with(R"("gate": {"height_mm": 620, "ground_clearance_mm": 150,
                          "bottom_rail": "RHS 120x50x3"})"));
  readOk(with(R"("gate": {"infill": {"kind": "open"}}, "guides": {"recess_mm": 40})"));
  readOk(with(R"("ropes": {"heights_mm": [85]})"));
  readOk(with(R"("gate": {"cladding": {"kind": "boards", "bottom_mm": 1600}})"));
  readOk(with(R"("gate": {"cladding": {"bottom_mm": 1601}})"));
  EXPECT_EQ(problemsOf(with(R"("ropes": {"heights_mm": [85.5]})")).size(), 1U);
}

}  // namespace
}  // namespace leafstack
