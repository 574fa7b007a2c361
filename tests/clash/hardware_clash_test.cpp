// Gates of every hardware set, and of a shelf unlike any of them, judged through their whole
// travel; keepers, receivers and stops, clear as drawn and found where they foul.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"
#include "tests/support/built_gates.h"
#include "tests/support/planted_faults.h"
#include "tests/support/report_text.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::modelWith;

Model modelOf(const std::string& gate) {
  const ReadResult read = readGate(gate, "test");
  EXPECT_TRUE(read.gate) << gate << (read.gate ? "" : toString(read.problems.front()));
  const LayoutResult laid_out = layOut(read.gate->spec);
  EXPECT_TRUE(laid_out.problems.empty())
      << gate << (laid_out.problems.empty() ? "" : laid_out.problems.front().text);
  return buildModel(read.gate->spec, laid_out.layout);
}

std::string gateText(const std::string& hardware, int panels, const std::string& mount,
                     const std::string& top, double grade, bool right, bool flush) {
  return R"({"site": {"opening_mm": )" + std::to_string(1600 + 1900 * panels) + R"(, "opens": ")" +
         (right ? "right" : "left") + R"(", "grade": )" + std::to_string(grade) +
         R"(}, "gate": {"panels": )" + std::to_string(panels) + R"(, "top": ")" + top +
         R"(", "stacking": ")" + (flush ? "flush" : "staggered") + R"("}, "guides": {"mount": ")" +
         mount + R"("}, "hardware": )" + hardware + "}";
}

// Sets with mounts, tops and grades: any three of the four in all ways, and all four where rounds
// are long; panels, hands and stackings go round with them.
TEST(HardwareClash, EverySetIsClear) {
  const int one_in = gates::rounds(3, 1);
  int turn = 0;
  for (const BuiltInSet& set : builtInSets()) {
    for (const char* mount : {"post", "overhead", "reach-over"}) {
      for (const char* top : {"raked", "level", "stepped"}) {
        for (const double grade : {-0.05, 0.0, 0.05}) {
          const std::string gate = gateText('"' + std::string(set.name) + '"', 1 + turn % 4, mount,
                                            top, grade, turn % 8 < 4, turn % 3 != 0);
          const int digits = turn / 27 + turn / 9 + turn / 3 + turn;  // their sum, by three
          ++turn;
          if (digits % one_in != 0) {
            continue;
          }
          const ClashReport clash = checkClashes(modelOf(gate));
          EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
        }
      }
    }
  }
}

// Screws of the cladding reach into the bottom rail beside wheels that fill most of it: those of
// the heavy set, 120 by 26 in a rail 60 deep, once met them.
TEST(HardwareClash, CladdingsScrewsPassTheWheels) {
  for (const BuiltInSet& set : builtInSets()) {
    for (const auto& [kind, panels] : {std::pair("boards", 2), {"boards", 1}, {"battens", 2}}) {
      const std::string gate = R"({"site": {"opening_mm": 6000}, "gate": {"panels": )" +
                               std::to_string(panels) + R"(, "cladding": {"kind": ")" + kind +
                               R"("}}, "hardware": ")" + std::string(set.name) + "\"}";
      const ClashReport clash = checkClashes(modelOf(gate));
      EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
    }
  }
}

// Rope ends of every kind, on slopes as well: clear wherever their adjusters stand.
TEST(HardwareClash, EveryKindOfTerminalIsClear) {
  for (const char* kind : {"screw", "stud"}) {
    for (const int panels : {2, 3, 4}) {
      for (const char* top : {"raked", "stepped"}) {
        const std::string gate =
            gateText(R"({"terminal": {"kind": ")" + std::string(kind) + "\"}}", panels, "post", top,
                     panels == 3 ? -0.05 : 0.05, panels != 2, panels != 4);
        const ClashReport clash = checkClashes(modelOf(gate));
        EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
      }
    }
  }
}

// Eyes are wider: they would meet the pinion of every set, did not the layout have the motor stand
// further off the rail. On 6000 mm, as a gate file has it that says nothing else.
TEST(HardwareClash, EyesPassThePinionOfEverySet) {
  for (const BuiltInSet& set : builtInSets()) {
    for (const int panels : {2, 3, 4}) {
      const std::string gate = R"({"site": {"opening_mm": 6000}, "gate": {"panels": )" +
                               std::to_string(panels) + R"(}, "hardware": {"set": ")" +
                               std::string(set.name) + R"(", "terminal": {"kind": "eye"}}})";
      const ClashReport clash = checkClashes(modelOf(gate));
      EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
    }
  }
}

// A small box where only the drawn-in adjuster of the ground bracket's opening rope comes: found.
// Past the ferrule as it is drawn, 16 - 10 - 47 - 13.5 = -54.5 from the bracket's middle, by 5 mm;
// half of the range is 10.
TEST(HardwareClash, TheAdjustersRangeIsChecked) {
  Model model = modelOf(gateText("\"medium\"", 2, "post", "raked", 0, true, true));
  ASSERT_EQ(checkClashes(model).verdict, Verdict::kClear);
  const RopeLayout& rope = model.layout.ropes.front();
  const auto plantedAt = [&](double behind_mm) {
    const double y = model.layout.panel(1).front_y_mm + model.layout.stack.frame_depth_mm / 2 +
                     rope.pitch_mm / 2;
    const gp_Vec middle(rope.rear_bracket_mm - behind_mm, y,
                        rope.rear_bore_z_mm + rope.apart_mm / 2);
    return checkClashes(faults::withBox(model, {2, 8, 2}, middle));
  };
  EXPECT_EQ(plantedAt(54.5 + 5).verdict, Verdict::kClash);
  const ClashReport beyond = plantedAt(54.5 + 10 + 4);
  EXPECT_NE(beyond.verdict, Verdict::kClash) << allText(beyond);
}

/// Lowest or highest point of the only part kind asked for, of one panel; panel 0 is what is fixed.
double lowest(const Model& model, PartKind kind, int panel) {
  double low = 1e9;
  for (const Instance& instance : model.instances) {
    if (model.parts[instance.part].kind == kind && (panel == 0 || instance.panel == panel)) {
      low = std::min(low, instance.bounds.low[2]);
    }
  }
  return low;
}

// A shelf as a workshop would type it in, every figure unlike the sets'. By hand: bar 18 and
// wheel 84 on it, axle 16 over the underside: 18 + 84 / 2 - 16 = 44 from the footing to the rail.
// Pinion 70 over the feet, 16 teeth of module 4, so radius 32: without packers the rack's lower
// edge is at 70 + 32 - 4 - 44 = 54 above the underside.
TEST(HardwareClash, AWorkshopsShelfIsFollowed) {
  const std::string shelf = R"({
      "wheel": {"outside_mm": 94, "running_mm": 84, "width_mm": 22, "axle_mm": 14,
                "axle_up_mm": 16, "axle_head_mm": 23, "inset_mm": 171},
      "track": {"size_mm": 18}, "pulley": {"thickness_mm": 15, "bolt_mm": 10},
      "motor": {"pinion_up_mm": 70, "depth_mm": 210}, "stop": {"gap_mm": 6, "thickness_mm": 10}})";
  const Model model = modelOf(gateText(shelf, 3, "post", "raked", 0, true, true));
  EXPECT_NEAR(lowest(model, PartKind::kBottomRail, 1) - lowest(model, PartKind::kTrack, 0), 44,
              1e-6);
  const auto& heights = model.layout.heights;
  EXPECT_NEAR(heights.rack_lower_up_mm - heights.motor_packing_mm, 54, 1e-9);
  const ClashReport clash = checkClashes(model);
  EXPECT_EQ(clash.verdict, Verdict::kClear) << allText(clash);
}

/// What a part kind's first part is made of, in the lists' words.
std::string sectionOf(const Model& model, PartKind kind) {
  for (const Part& part : model.parts) {
    if (part.kind == kind) {
      return part.section + " " + part.material;
    }
  }
  return "";
}

void expectClear(const Model& model, const std::string& gate) {
  const ClashReport clash = checkClashes(model);
  EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
}

// 80 wheels on an angle 30x30x3, nylon rack 22 high on feet, pinion 95 over the motor's feet. By
// hand: the angle's heel is (30 + 3) / sqrt 2 = 23.335 over the footing, the underside at
// 23.335 + 64 / 2 - 16 = 39.335. The bare motor would hold the rack's lower edge at
// 95 + 32 - 4 - 39.335 = 83.665; its feet's slots, 11 high and 16 / 2 above a rack of 22, end
// within the rail's flat at 100 - 2 x 3 - 0.5 = 93.5 only up to 93.5 - 22 - 8 - 5.5 = 58: the
// footing behind the tracks is cast 26 lower, in steps of 5, so 30, and the rack is at 53.665.
TEST(HardwareClash, WheelsOnAngleAndARackOnFeet) {
  const std::string shelf = R"({
      "wheel": {"groove": "v", "outside_mm": 80, "running_mm": 64, "width_mm": 22, "axle_mm": 14,
                "axle_up_mm": 16, "axle_head_mm": 23, "root_mm": 3},
      "track": {"kind": "angle", "size_mm": 30, "thickness_mm": 3},
      "rack": {"material": "nylon", "fixing": "foot", "height_mm": 22, "thickness_mm": 20,
               "hole_pitch_mm": 250, "hole_end_mm": 40, "foot_up_mm": 16, "slot_height_mm": 11},
      "motor": {"pinion_up_mm": 95, "pinion_width_mm": 20}})";
  for (int panels = 1; panels <= 4; ++panels) {
    const std::string gate = gateText(shelf, panels, "post", "raked", 0, panels != 2, true);
    const Model model = modelOf(gate);
    EXPECT_NEAR(lowest(model, PartKind::kBottomRail, 1) - lowest(model, PartKind::kTrack, 0),
                33 / std::sqrt(2) + 16, 1e-6);
    EXPECT_NEAR(model.layout.heights.rack_lower_up_mm, 123 - (33 / std::sqrt(2) + 16) - 30, 1e-9);
    EXPECT_EQ(model.layout.heights.motor_packing_mm, 0);
    EXPECT_EQ(sectionOf(model, PartKind::kTrack), "angle 30x30x3 steel");
    EXPECT_EQ(sectionOf(model, PartKind::kWheel), "dia 80, V groove for a 30x30x3 angle steel");
    EXPECT_TRUE(sectionOf(model, PartKind::kRack).ends_with("nylon"));
    expectClear(model, gate);
  }
  expectClear(modelOf(gateText(shelf, 3, "overhead", "level", 0.05, true, false)), "on a slope");
}

// The same shelf's volumes: an angle is leg^2 - (leg - thickness)^2 by its length; a rack is its
// bar and, for each foot, 20 x 20 x (22 + 16) less a slot of 11 x 7 with round ends, 20 deep.
TEST(HardwareClash, AnglesAndFeetHaveTheirVolumes) {
  const Model model = modelOf(gateText(R"({
      "wheel": {"groove": "v", "outside_mm": 110, "running_mm": 95, "width_mm": 22},
      "track": {"kind": "angle", "size_mm": 30, "thickness_mm": 3},
      "rack": {"fixing": "foot", "height_mm": 22, "hole_pitch_mm": 250, "foot_up_mm": 16,
               "slot_height_mm": 11}})",
                                       2, "post", "raked", 0, true, true));
  bool any_rack = false;
  for (const Part& part : model.parts) {
    if (part.kind == PartKind::kTrack) {
      EXPECT_NEAR(part.volume_mm3, (30 * 30 - 27 * 27) * part.length_mm, 1e-3);
    }
    if (part.kind == PartKind::kRack && part.length_mm == 1000) {
      any_rack = true;  // 900 between the outer feet in gaps of at most 250: 4 gaps, 5 feet
      const double slot = 4 * 7 + std::numbers::pi * 3.5 * 3.5;
      EXPECT_NEAR(part.volume_mm3, 1000 * 22 * 12 + 5 * 20 * (20 * (22 + 16) - slot), 1e-3);
    }
  }
  EXPECT_TRUE(any_rack);
}

// 120 wheels in carriers under the rail, on a 20 bar. By hand: running on 108, axle 75 below the
// underside, of which 3 are packer: 20 + 108 / 2 + 75 = 149 from the footing to the rail.
TEST(HardwareClash, WheelsOnPlates) {
  const std::string shelf = R"({
      "wheel": {"mount": "plate", "outside_mm": 120, "running_mm": 108, "width_mm": 22,
                "axle_mm": 16, "axle_up_mm": -75, "axle_head_mm": 26, "packing_mm": 3}})";
  for (int panels = 1; panels <= 4; ++panels) {
    const std::string gate =
        gateText(shelf, panels, "reach-over", "raked", 0.02 * (panels - 2), panels != 3, true);
    const Model model = modelOf(gate);
    if (panels == 2) {  // level
      EXPECT_NEAR(lowest(model, PartKind::kBottomRail, 1) - lowest(model, PartKind::kTrack, 0), 149,
                  1e-6);
    }
    int bolts = 0;
    for (const Instance& instance : model.instances) {
      bolts += model.parts[instance.part].kind == PartKind::kWheelBolt ? 1 : 0;
    }
    EXPECT_EQ(bolts, 8 * panels);
    for (const Part& part : model.parts) {
      for (const std::string& words : part.cutouts) {
        EXPECT_EQ(words.find("wheel pocket"), std::string::npos) << words;
      }
    }
    expectClear(model, gate);
  }
}

// An angle bent over surveyed ground is one closed solid of planes, as long as its line: its volume
// is its section by its length, to what chords of 5 thousandths leave.
TEST(HardwareClash, AnglesFollowASurvey) {
  const Model model = modelOf(R"({"site": {"opening_mm": 5000, "track_survey_mm":
      [[-500, 0], [2000, 6], [5000, -4], [9000, 5]]}, "hardware": "heavy"})");
  int tracks = 0;
  for (const Part& part : model.parts) {
    if (part.kind == PartKind::kTrack || part.kind == PartKind::kTrackFlat) {
      const double section = part.kind == PartKind::kTrack ? 25 * 25 - 21 * 21 : 40 * 15;
      EXPECT_NEAR(part.volume_mm3 / (section * part.length_mm), 1, 1e-3);
      ++tracks;
    }
  }
  EXPECT_GE(tracks, 2);
  // Ropes may not do on such ground; nothing is wrong with the tracks.
  const std::string text = allText(checkClashes(model));
  EXPECT_EQ(text.find("track"), std::string::npos) << text;
}

// ---------------------------------------------------------------- keepers, receivers, stops

const Finding* findingOf(const ClashReport& report, FindingClass kind, const std::string& one,
                         const std::string& other) {
  for (const Finding& finding : report.findings) {
    const std::set<std::string> names = {finding.a.name, finding.b.name};
    if (finding.finding_class == kind && names == std::set<std::string>{one, other}) {
      return &finding;
    }
  }
  return nullptr;
}

TEST(ClashKeepers, ATrackKeeperInItsTrackIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  // The near plate, 2 off the bar, 3 nearer.
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 2), {0, 3, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  const Finding* finding =
      findingOf(report, FindingClass::kPenetration, "track keeper", "track bar");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->depth_mm, 1, 0.1);
}

// The same beside the flat under an angle, 1.5 off it; as drawn they are clear.
TEST(ClashKeepers, OneInTheFlatUnderAnAngleIsFound) {
  Model model = modelWith({{"/gate/panels", 2}, {"/hardware/set", "heavy"}});
  EXPECT_EQ(checkClashes(model).verdict, Verdict::kClear);
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 2), {0, 2.5, 0});
  const ClashReport report = checkClashes(model);
  const Finding* finding =
      findingOf(report, FindingClass::kPenetration, "track keeper", "track flat");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->depth_mm, 1, 0.1);
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 2), {0, -3.5, 0});
  EXPECT_NE(
      findingOf(checkClashes(model), FindingClass::kContactLost, "track keeper", "track flat"),
      nullptr);
}

TEST(ClashKeepers, OneThatStandsTooWideIsNoKeeper) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 1), {0, -1, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingOf(report, FindingClass::kContactLost, "track keeper", "track bar"), nullptr)
      << allText(report);
}

TEST(ClashKeepers, OneThatRunsOffItsTrackIsFound) {
  Model model = modelWith({{"/gate/panels", 1}});
  const int track = instanceOf(model, PartKind::kTrack, 0);
  const double length =
      model.instances[track].bounds.high[0] - model.instances[track].bounds.low[0];
  shift(model, track, {length / 2, 0, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingOf(report, FindingClass::kContactLost, "track keeper", "track bar"), nullptr)
      << allText(report);
}

TEST(ClashKeepers, ALiftKeeperOnItsRailIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kLiftKeeper, 1), {0, 0, -3});
  const ClashReport report = checkClashes(model);
  const Finding* finding =
      findingOf(report, FindingClass::kPenetration, "lift keeper", "guide rail");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->depth_mm, 1, 0.1);
}

// A level top over ground that falls or rises 5 in 100: the blocks float, and lugs keep off the
// rail where it is highest.
TEST(ClashKeepers, LiftKeepersStandClearWhereBlocksFloat) {
  for (const double grade : {-0.05, 0.05}) {
    for (const char* top : {"level", "stepped"}) {
      const Model model =
          modelWith({{"/gate/panels", 3}, {"/site/grade", grade}, {"/gate/top", top}});
      EXPECT_EQ(checkClashes(model).verdict, Verdict::kClear) << grade << ' ' << top;
    }
  }
}

TEST(ClashReceivers, OneInTheWayIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kReceiver, 0), {0, 7, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  EXPECT_NE(findingOf(report, FindingClass::kPenetration, "top receiver", "stile"), nullptr)
      << allText(report);
}

TEST(ClashReceivers, LessThanTheLeastGapIsFound) {
  const Model model = modelWith({{"/gate/panels", 2}, {"/hardware/receiver/gap_mm", 2}});
  const ClashReport report = checkClashes(model);
  const Finding* finding =
      findingOf(report, FindingClass::kBelowClearance, "top receiver", "stile");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->clearance_mm, 2, 0.01);
}

TEST(ClashReceivers, BoardsPassTheReceiverToo) {
  for (const char* kind : {"boards", "battens"}) {
    const Model model = modelWith(
        {{"/gate/panels", 2}, {"/gate/cladding/kind", kind}, {"/gate/cladding/thickness_mm", 22}});
    const ClashReport report = checkClashes(model);
    EXPECT_EQ(report.verdict, Verdict::kClear) << kind << allText(report);
  }
}

// Whatever stands out behind a panel's end, it is the rail that meets the stop, by its buffer.
TEST(ClashStops, MeetTheFrameNeverABracket) {
  const Model model = modelWith({{"/gate/panels", 3}});
  int rails = 0;
  for (const Contact& contact : model.contacts) {
    if (contact.kind != ContactKind::kStop) {
      continue;
    }
    const std::set<PartKind> kinds = {model.parts[model.instances[contact.a].part].kind,
                                      model.parts[model.instances[contact.b].part].kind};
    EXPECT_EQ(kinds, (std::set<PartKind>{PartKind::kCatchBuffer, PartKind::kBottomRail}));
    ++rails;
  }
  EXPECT_EQ(rails, 4) << "three open ends and the latch";
}

}  // namespace
}  // namespace leafstack
