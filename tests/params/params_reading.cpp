// Reading a gate file: defaults, origins, overrides, places, all problems at once.
#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "params/read_gate.h"

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

void expectEqual(const SiteSpec& a, const SiteSpec& b) {
  EXPECT_EQ(a.room_mm, b.room_mm);
  EXPECT_EQ(a.opens, b.opens);
  EXPECT_EQ(a.fence_height_mm, b.fence_height_mm);
  EXPECT_EQ(a.fence_post_mm, b.fence_post_mm);
  EXPECT_EQ(a.fence_clearance_mm, b.fence_clearance_mm);
  EXPECT_EQ(a.setback_mm, b.setback_mm);
  EXPECT_EQ(a.grade, b.grade);
  EXPECT_EQ(a.cross_grade, b.cross_grade);
  EXPECT_EQ(a.track_survey_mm, b.track_survey_mm);
  EXPECT_EQ(a.bank, b.bank);
  EXPECT_EQ(a.pocket_width_mm, b.pocket_width_mm);
}

void expectEqual(const PanelSpec& a, const PanelSpec& b) {
  EXPECT_EQ(a.panels, b.panels);
  EXPECT_EQ(a.height_mm, b.height_mm);
  EXPECT_EQ(a.top, b.top);
  EXPECT_EQ(a.stacking, b.stacking);
  EXPECT_EQ(a.overlap_mm, b.overlap_mm);
  EXPECT_EQ(a.closing_overlap_mm, b.closing_overlap_mm);
  EXPECT_EQ(a.tuck_mm, b.tuck_mm);
  EXPECT_EQ(a.ground_clearance_mm, b.ground_clearance_mm);
  EXPECT_EQ(a.material, b.material);
  EXPECT_EQ(a.yield_N_mm2, b.yield_N_mm2);
  EXPECT_EQ(a.infill.kind, b.infill.kind);
  EXPECT_EQ(a.infill.gap_mm, b.infill.gap_mm);
  EXPECT_EQ(a.infill.thickness_mm, b.infill.thickness_mm);
  EXPECT_EQ(a.cladding.kind, b.cladding.kind);
  EXPECT_EQ(a.cladding.thickness_mm, b.cladding.thickness_mm);
  EXPECT_EQ(a.cladding.width_mm, b.cladding.width_mm);
  EXPECT_EQ(a.cladding.gap_mm, b.cladding.gap_mm);
  EXPECT_EQ(a.cladding.bottom_mm, b.cladding.bottom_mm);
  EXPECT_EQ(a.cladding.density_kg_m3, b.cladding.density_kg_m3);
  EXPECT_EQ(a.has_return, b.has_return);
}

void expectEqual(const GuideSpec& a, const GuideSpec& b) {
  EXPECT_EQ(a.mount, b.mount);
  EXPECT_EQ(a.rail_mm, b.rail_mm);
  EXPECT_EQ(a.channel_width_mm, b.channel_width_mm);
  EXPECT_EQ(a.channel_depth_mm, b.channel_depth_mm);
  EXPECT_EQ(a.recess_mm, b.recess_mm);
  EXPECT_EQ(a.packing_mm, b.packing_mm);
  EXPECT_EQ(a.hide, b.hide);
  EXPECT_EQ(a.drop_mm, b.drop_mm);
  EXPECT_EQ(a.post_mm, b.post_mm);
  EXPECT_EQ(a.margin_mm, b.margin_mm);
  EXPECT_EQ(a.post_gap_mm, b.post_gap_mm);
}

void expectEqual(const RopeSpec& a, const RopeSpec& b) {
  EXPECT_EQ(a.diameter_mm, b.diameter_mm);
  EXPECT_EQ(a.construction, b.construction);
  EXPECT_EQ(a.grade_N_mm2, b.grade_N_mm2);
  EXPECT_EQ(a.finish, b.finish);
  EXPECT_EQ(a.termination, b.termination);
  EXPECT_EQ(a.pulley_efficiency, b.pulley_efficiency);
  EXPECT_EQ(a.adjuster_mm, b.adjuster_mm);
  EXPECT_EQ(a.pulley_pitch_mm, b.pulley_pitch_mm);
  EXPECT_EQ(a.pulley_inset_mm, b.pulley_inset_mm);
  EXPECT_EQ(a.bracket_clearance_mm, b.bracket_clearance_mm);
  EXPECT_EQ(a.bracket_inset_mm, b.bracket_inset_mm);
  EXPECT_EQ(a.heights_mm, b.heights_mm);
}

void expectEqual(const DriveSpec& a, const DriveSpec& b) {
  EXPECT_EQ(a.motor.name, b.motor.name);
  EXPECT_EQ(a.motor.length_mm, b.motor.length_mm);
  EXPECT_EQ(a.motor.overrun_closed_mm, b.motor.overrun_closed_mm);
  EXPECT_EQ(a.motor.overrun_open_mm, b.motor.overrun_open_mm);
  EXPECT_EQ(a.motor.force_N, b.motor.force_N);
  EXPECT_EQ(a.motor_gap_mm, b.motor_gap_mm);
  EXPECT_EQ(a.rack_inset_mm, b.rack_inset_mm);
  EXPECT_EQ(a.speed_mm_s, b.speed_mm_s);
  EXPECT_EQ(a.packing_mm, b.packing_mm);
  EXPECT_EQ(a.wheel_bearing, b.wheel_bearing);
  EXPECT_EQ(a.dirt_allowance, b.dirt_allowance);
  EXPECT_EQ(a.rolling_resistance, b.rolling_resistance);
  EXPECT_EQ(a.acceleration_mm_s2, b.acceleration_mm_s2);
  EXPECT_EQ(a.slow_speed_mm_s, b.slow_speed_mm_s);
  EXPECT_EQ(a.slow_travel_mm, b.slow_travel_mm);
}

void expectEqual(const CheckSpec& a, const CheckSpec& b) {
  EXPECT_EQ(a.clearance_mm, b.clearance_mm);
  EXPECT_EQ(a.guide_clearance_mm, b.guide_clearance_mm);
  EXPECT_EQ(a.hardware_clearance_mm, b.hardware_clearance_mm);
  EXPECT_EQ(a.build_tolerance_mm, b.build_tolerance_mm);
  EXPECT_EQ(a.rope_safety, b.rope_safety);
  EXPECT_EQ(a.wind_Pa, b.wind_Pa);
  EXPECT_EQ(a.wind_class, b.wind_class);
  EXPECT_EQ(a.wind_speed_m_s, b.wind_speed_m_s);
  EXPECT_EQ(a.wind_terrain, b.wind_terrain);
  EXPECT_EQ(a.wind_years, b.wind_years);
  EXPECT_EQ(a.wind_ends, b.wind_ends);
  EXPECT_EQ(a.wind_factor, b.wind_factor);
}

void expectEqual(const ShopSpec& a, const ShopSpec& b) {
  EXPECT_EQ(a.stock_lengths_mm, b.stock_lengths_mm);
  EXPECT_EQ(a.kerf_mm, b.kerf_mm);
  EXPECT_EQ(a.trim_mm, b.trim_mm);
  EXPECT_EQ(a.bend_radius_mm, b.bend_radius_mm);
  EXPECT_EQ(a.bend_k_factor, b.bend_k_factor);
}

void expectEqual(const DrawingSpec& a, const DrawingSpec& b) {
  EXPECT_EQ(a.sheet, b.sheet);
  EXPECT_EQ(a.projection, b.projection);
}

void expectSection(const HollowSection& section, const HollowSection& wanted) {
  EXPECT_EQ(section.designation, wanted.designation);
  EXPECT_EQ(section.height_mm, wanted.height_mm);
  EXPECT_EQ(section.depth_mm, wanted.depth_mm);
  EXPECT_EQ(section.wall_mm, wanted.wall_mm);
}

TEST(ReadGate, DefaultsAreThoseOfTheStructs) {
  const GateSpec read = readOk(kLeastFile).spec;
  const GateSpec untouched;
  EXPECT_EQ(read.site.opening_mm, 6000);
  expectEqual(read.site, untouched.site);
  expectEqual(read.gate, untouched.gate);
  expectEqual(read.guides, untouched.guides);
  expectEqual(read.ropes, untouched.ropes);
  expectEqual(read.drive, untouched.drive);
  expectEqual(read.checks, untouched.checks);
  expectEqual(read.shop, untouched.shop);
  expectEqual(read.drawings, untouched.drawings);
  for (const std::string& text :
       {read.job.title, read.job.number, read.job.client, read.job.company, read.job.drawn_by,
        read.job.checked_by, read.job.approved_by, read.job.date, read.job.revision}) {
    EXPECT_EQ(text, "");
  }
  expectSection(read.gate.bottom_rail, {100, 50, 3, "RHS 100x50x3"});
  expectSection(read.gate.top_rail, {50, 50, 3, "SHS 50x50x3"});
  expectSection(read.gate.stile, {50, 50, 3, "SHS 50x50x3"});
  expectSection(read.gate.infill.section, {25, 25, 2, "SHS 25x25x2"});
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
    "shop": {"stock_lengths_mm": [5000, 7500.5], "kerf_mm": 2.5, "trim_mm": 12,
             "bend_radius_mm": 6, "bend_k_factor": 0.38},
    "drawings": {"sheet": "A2", "projection": "third"}})")
                            .spec;
  SiteSpec site;
  site.room_mm = 4002;
  site.opens = Hand::kLeft;
  site.fence_height_mm = 1803;
  site.fence_post_mm = 104;
  site.fence_clearance_mm = 25;
  site.setback_mm = 36;
  site.bank = 0.25;
  site.pocket_width_mm = 1207;
  expectEqual(spec.site, site);
  EXPECT_EQ(spec.site.opening_mm, 4001);
  PanelSpec gate;
  gate.panels = 3;
  gate.height_mm = 1508;
  gate.top = TopShape::kStepped;
  gate.stacking = Stacking::kStaggered;
  gate.overlap_mm = 89;
  gate.closing_overlap_mm = 11;
  gate.tuck_mm = 12;
  gate.ground_clearance_mm = 43;
  gate.material = FrameMaterial::kAluminium;
  gate.yield_N_mm2 = 161;
  gate.infill = {InfillKind::kSlats, {}, 34, 2.5};
  gate.cladding = {CladdingKind::kBattens, 16, 97, 8, 119, 460};
  gate.has_return = false;
  expectEqual(spec.gate, gate);
  expectSection(spec.gate.bottom_rail, {120, 60, 4, "RHS 120x60x4"});
  expectSection(spec.gate.top_rail, {60, 60, 4, "SHS 60x60x4"});
  expectSection(spec.gate.stile, {40, 60, 3, "RHS 40x60x3"});
  expectSection(spec.gate.infill.section, {20, 20, 2, "SHS 20x20x2"});
  expectEqual(spec.guides, GuideSpec{GuideMount::kReachOver, 25, 81, 52, 3, 4, false, 85, 16, 27,
                                     std::vector<double>{5, 6.5, 7}});
  RopeSpec ropes;
  ropes.diameter_mm = 4;
  ropes.construction = RopeConstruction::k7x7;
  ropes.grade_N_mm2 = 1570;
  ropes.finish = RopeFinish::kStainless;
  ropes.termination = RopeTermination::kClips;
  ropes.pulley_efficiency = 0.96;
  ropes.adjuster_mm = 77;
  ropes.pulley_pitch_mm = 98;
  ropes.pulley_inset_mm = 59;
  ropes.bracket_clearance_mm = 61;
  ropes.bracket_inset_mm = -14;
  ropes.heights_mm = {37, 67.5};
  expectEqual(spec.ropes, ropes);
  DriveSpec drive;
  drive.motor = {"custom", 210, 31, 32, 611};
  drive.motor_gap_mm = 13;
  drive.rack_inset_mm = 24;
  drive.speed_mm_s = 165;
  drive.packing_mm = 36;
  drive.wheel_bearing = WheelBearing::kPlain;
  drive.dirt_allowance = 0.007;
  drive.rolling_resistance = 0.03;
  drive.acceleration_mm_s2 = 207;
  drive.slow_speed_mm_s = 71;
  drive.slow_travel_mm = 133;
  expectEqual(spec.drive, drive);
  EXPECT_EQ(spec.job.title + spec.job.number + spec.job.client, "tnc");
  EXPECT_EQ(spec.job.drawn_by + spec.job.checked_by + spec.job.date, "dk2 May");
  EXPECT_EQ(spec.job.company + spec.job.approved_by + spec.job.revision, "oar");
  CheckSpec checks;
  checks.clearance_mm = 9;
  checks.guide_clearance_mm = 0.5;
  checks.hardware_clearance_mm = 1.5;
  checks.build_tolerance_mm = 2;
  checks.rope_safety = 6;
  checks.wind_Pa = 603;
  checks.wind_class = 3;
  checks.wind_speed_m_s = 24.5;
  checks.wind_terrain = WindTerrain::kII;
  checks.wind_years = 20;
  checks.wind_ends = WindEnds::kFence;
  checks.wind_factor = 1.4;
  expectEqual(spec.checks, checks);
  expectEqual(spec.shop, ShopSpec{std::vector<double>{5000, 7500.5}, 2.5, 12, 6, 0.38});
  expectEqual(spec.drawings, DrawingSpec{PaperSize::kA2, ProjectionAngle::kThird});
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
  EXPECT_EQ(toString(Origin::kCatalogue), "catalogue");
}

TEST(ReadGate, EveryParameterIsResolvedOnce) {
  const ResolvedGate gate = readOk(kLeastFile);
  std::set<std::string> seen;
  for (const ResolvedValue& value : gate.values) {
    EXPECT_TRUE(seen.insert(value.pointer).second) << value.pointer;
  }
  EXPECT_EQ(seen.size(), gate.values.size());
  EXPECT_GE(seen.size(), 70U);
}

TEST(ReadGate, MotorsComeFromTheCatalogueOrAnObject) {
  const ResolvedGate standard = readOk(kLeastFile);
  EXPECT_EQ(valueAt(standard, "/drive/motor").origin, Origin::kDefault);
  EXPECT_EQ(valueAt(standard, "/drive/motor/length_mm").origin, Origin::kCatalogue);

  const ResolvedGate narrow =
      readOk(R"({"site": {"opening_mm": 6000}, "drive": {"motor": "narrow"}})");
  EXPECT_EQ(narrow.spec.drive.motor.name, "narrow");
  EXPECT_EQ(valueAt(narrow, "/drive/motor").origin, Origin::kGiven);
  const std::vector<std::pair<std::string, int>> sizes = {{"/drive/motor/length_mm", 150},
                                                          {"/drive/motor/overrun_closed_mm", 20},
                                                          {"/drive/motor/overrun_open_mm", 20}};
  for (const auto& [pointer, size] : sizes) {
    EXPECT_EQ(valueAt(narrow, pointer).value, size);
    EXPECT_EQ(valueAt(narrow, pointer).origin, Origin::kCatalogue);
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
            "if that was in m, write 12000");
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

TEST(ReadGate, SameTextSameAnswer) {
  const std::string text = R"({"b": 1, "a": 2, "site": {"opening_mm": 1, "c": 3}})";
  const auto first = problemsOf(text);
  const auto second = problemsOf(text);
  ASSERT_EQ(first.size(), second.size());
  for (std::size_t i = 0; i < first.size(); ++i) {
    EXPECT_EQ(toString(first[i]), toString(second[i]));
  }
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
