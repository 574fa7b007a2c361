// Every size of the shelf, changed by a little: what should move does, and nothing far from it.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/layout.h"
#include "generator/model/planned_model.h"
#include "generator/occt/checked.h"
#include "generator/shop/set_out.h"
#include "params/read_gate.h"
#include "params/table/hardware_rows.h"
#include "params/table/table.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

// Among them they hold every part that a shelf makes.
const char* const kGates[] = {
    R"({"site": {"opening_mm": 5600}, "gate": {"panels": 3}})",
    R"({"site": {"opening_mm": 7200, "grade": 0.03}, "gate": {"panels": 4, "return": true},
        "guides": {"mount": "overhead"}})",
    R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1, "top": "level"},
        "guides": {"mount": "reach-over"}, "hardware": {"terminal": {"kind": "eye"}}})",
    R"({"site": {"opening_mm": 4200}, "gate": {"panels": 2}, "hardware": {"set": "medium",
        "wheel": {"mount": "plate", "outside_mm": 120, "running_mm": 108, "width_mm": 22,
                  "axle_mm": 16, "axle_up_mm": -75, "axle_head_mm": 26, "packing_mm": 3},
        "rack": {"material": "nylon", "fixing": "foot", "offset_mm": 27},
        "motor": {"pinion_offset_mm": 30, "offset_mm": 51, "pinion_up_mm": 95, "adjust_mm": 8},
        "guide": {"block_mount": "pivoted"},
        "terminal": {"kind": "eye"}}})",
    R"({"site": {"opening_mm": 4200}, "gate": {"panels": 2}, "hardware": "heavy"})",
};

/// A gate with all that its parts are and where they stand, looked up kind by kind: solids are made
/// of those alone that are asked for.
class Prints {
 public:
  static std::unique_ptr<Prints> of(const GateSpec& spec) {
    const LayoutResult laid_out = layOut(spec);
    return laid_out.problems.empty() ? std::make_unique<Prints>(spec, laid_out.layout) : nullptr;
  }
  Prints(const GateSpec& spec, const Layout& layout) : planned_(spec, layout) {
    for (const Part& part : model().parts) {
      std::string& print = said_[part.kind];
      print += part.section + '|' + part.material + '|' + shown(part.length_mm, 4);
      for (const std::string& words : part.cutouts) {
        print += '|' + words;
      }
    }
    for (const Instance& instance : model().instances) {
      std::string& print = said_[model().parts[instance.part].kind];
      for (int row = 1; row <= 3; ++row) {
        for (int column = 1; column <= 4; ++column) {
          print += '|' + shown(instance.at_closed.Transformation().Value(row, column), 4);
        }
      }
    }
  }

  std::set<PartKind> kinds() const {
    std::set<PartKind> all;
    for (const auto& [kind, print] : said_) {
      all.insert(kind);
    }
    return all;
  }
  /// Without solids: words, lengths, places.
  std::string said(PartKind kind) const {
    const auto found = said_.find(kind);
    return found == said_.end() ? std::string() : found->second;
  }
  const std::string& solids(PartKind kind) {
    const auto [known, is_new] = solids_.try_emplace(kind);
    for (int i = 0; is_new && i < static_cast<int>(model().parts.size()); ++i) {
      if (model().parts[i].kind != kind) {
        continue;
      }
      addSolid(planned_.solid(i), known->second);
      if (const auto& reach = model().parts[i].reach) {
        addSolid(reach->solid, known->second);
      }
    }
    return known->second;
  }

 private:
  const Model& model() const { return planned_.model(); }
  static void addSolid(const TopoDS_Shape& solid, std::string& print) {
    print += '|' + shown(massProperties(solid).volume_mm3, 3);
    const Bounds box = tightBounds(solid);
    for (int axis = 0; axis < 3; ++axis) {
      print += '|' + shown(box.low[axis], 4) + '|' + shown(box.high[axis], 4);
    }
  }

  PlannedModel planned_;
  std::map<PartKind, std::string> said_, solids_;
};

bool printsDiffer(PartKind kind, Prints& one, Prints& other) {
  return one.said(kind) != other.said(kind) || one.solids(kind) != other.solids(kind);
}

/// The value a little away, the way that still makes a gate; null where neither does.
std::unique_ptr<Prints> printsChangedBy(const Parameter& row, const GateSpec& spec, double by) {
  GateSpec changed = spec;
  const Slot slot = row.slot(changed);
  if (auto* const* number = std::get_if<double*>(&slot)) {
    const bool whole = std::string_view(row.unit).empty();
    **number = whole ? **number + (by > 1 ? 1 : -1) : **number * by;
  } else if (auto* const* given = std::get_if<std::optional<double>*>(&slot)) {
    **given = (*given)->value() * by;
  } else {
    return nullptr;
  }
  return Prints::of(changed);
}

/// Which of `kinds` the row moves; where `is_one_enough` no more than one of them.
std::set<PartKind> movedBy(const Parameter& row, const GateSpec& spec, Prints& before,
                           const std::vector<PartKind>& kinds, bool is_one_enough) {
  std::set<PartKind> moved;
  for (const double by : {1.02, 0.98}) {
    const auto after = printsChangedBy(row, spec, by);
    for (std::size_t i = 0; after != nullptr && i < kinds.size(); ++i) {
      if (printsDiffer(kinds[i], before, *after)) {
        moved.insert(kinds[i]);
        if (is_one_enough) {
          return moved;
        }
      }
    }
    if (!moved.empty()) {
      break;
    }
  }
  return moved;
}

bool isNumeric(const Parameter& row) {
  return row.kind == Kind::kNumber || row.kind == Kind::kAutoNumber;
}

/// "wheel" of "/hardware/wheel/width_mm".
std::string_view groupOf(const Parameter& row) {
  const std::string_view after = std::string_view(row.pointer).substr(std::size("/hardware/") - 1);
  return after.substr(0, after.find('/'));
}

/// All kinds, what bears the row's group first: most rows move that.
std::vector<PartKind> byLikelihood(const Parameter& row, const std::set<PartKind>& kinds) {
  std::vector<PartKind> sorted(kinds.begin(), kinds.end());
  std::stable_partition(sorted.begin(), sorted.end(),
                        [&](PartKind kind) { return rowOf(kind).shelf == groupOf(row); });
  return sorted;
}

// What panels are welded from has no business with what stands on the footing.
const std::vector<PartKind> kOfPanels = {PartKind::kTopRail, PartKind::kStile,  PartKind::kPicket,
                                         PartKind::kRope,    PartKind::kPulley, PartKind::kWheel};
const char* const kOffPanels[] = {"/hardware/stop/",
                                  "/hardware/post/",
                                  "/hardware/motor/depth_mm",
                                  "/hardware/motor/height_mm",
                                  "/hardware/motor/pinion_width_mm",
                                  "/hardware/bracket/foot_"};

bool isOffPanels(const Parameter& row) {
  // The motor, and with it panel 1's rail, keeps clear of the guide post's plate.
  return std::string_view(row.pointer) != "/hardware/post/plate_side_mm" &&
         std::any_of(std::begin(kOffPanels), std::end(kOffPanels), [&](const char* off) {
           return std::string_view(row.pointer).starts_with(off);
         });
}

// These move no part; what each of them does is shown below.
const std::set<std::string_view> kNoPart = {
    "/hardware/wheel/groove_deg", "/hardware/motor/feet_along_mm", "/hardware/motor/feet_across_mm",
    "/hardware/guide/turn_deg", "/hardware/terminal/swivel_deg"};

TEST(HardwareRows, NoneIsDeadAndNoneMovesWhatItShouldNot) {
  const int one_in = gates::rounds(3, 1);
  std::vector<std::pair<GateSpec, std::unique_ptr<Prints>>> gates;
  for (const char* text : kGates) {
    const ReadResult read = readGate(text, "test");
    ASSERT_TRUE(read.gate) << text << toString(read.problems.front());
    const GateSpec spec = withAutosGiven(read.gate->spec);
    gates.emplace_back(spec, Prints::of(spec));
    ASSERT_NE(gates.back().second, nullptr) << text << layOut(spec).problems.front().text;
  }
  for (const Parameter& row : hardwareRows()) {
    if (!isNumeric(row)) {
      continue;
    }
    bool moves = false;
    int turn = 0;
    for (auto& [spec, before] : gates) {
      if (turn++ % one_in != 0 && kNoPart.contains(row.pointer)) {
        continue;  // all of its solids are made, to show that none moves
      }
      moves =
          moves || !movedBy(row, spec, *before, byLikelihood(row, before->kinds()), true).empty();
      for (const PartKind kind : isOffPanels(row) ? movedBy(row, spec, *before, kOfPanels, false)
                                                  : std::set<PartKind>{}) {
        ADD_FAILURE() << row.pointer << " moves a " << rowOf(kind).words;
      }
      if (moves) {
        break;
      }
    }
    EXPECT_EQ(moves, !kNoPart.contains(row.pointer)) << row.pointer;
  }
}

// A reach-over arm is cut from its post's tube; sizes of the overhead bracket move that alone.
TEST(HardwareRows, ArmsFollowTheRowsThatNameThem) {
  struct Case {
    const char* mount;
    std::set<std::string_view> moves;
  };
  const Case cases[] = {
      {"post", {}},
      {"reach-over", {"/hardware/post/wall_mm"}},
      {"overhead", {"/hardware/post/arm_wall_mm", "/hardware/post/overhead_mm"}}};
  for (const auto& [mount, expected] : cases) {
    const ReadResult read =
        readGate(R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}, "guides": {"mount": ")" +
                     std::string(mount) + "\"}}",
                 "test");
    const GateSpec spec = withAutosGiven(read.gate.value().spec);
    const auto before = Prints::of(spec);
    std::set<std::string_view> moves;
    for (const char* pointer : {"/hardware/post/wall_mm", "/hardware/post/arm_wall_mm",
                                "/hardware/post/overhead_mm"}) {
      if (!movedBy(*findParameter(pointer), spec, *before, {PartKind::kGuideArm}, true).empty()) {
        moves.insert(pointer);
      }
    }
    EXPECT_EQ(moves, expected) << mount;
  }
}

std::string rowsSetOut(const GateSpec& spec) {
  std::string text;
  for (const SetOutRow& row : setOutRows(buildModel(spec, layOut(spec).layout), {})) {
    text += row.item + row.point + row.note;
    for (const double at : row.at_mm) {
      text += '|' + shown(at, 3);
    }
    text += '\n';
  }
  return text;
}

GateSpec rowsSpec(const char* text) {
  return withAutosGiven(readGate(text, "test").gate.value().spec);
}

// A motor's feet are bored on site, where the set-out says.
TEST(HardwareRows, FeetOfAMotorAreInTheSetOut) {
  GateSpec spec = rowsSpec(R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}})");
  MotorHardware& motor = spec.hardware.motor;
  motor.feet_along_mm = 180;
  motor.feet_across_mm = 90;
  std::set<std::string> all = {rowsSetOut(spec)};
  for (double* const row : {&motor.feet_along_mm, &motor.feet_across_mm, &motor.feet_bolt_mm}) {
    *row *= 1.1;
    all.insert(rowsSetOut(spec));
  }
  EXPECT_EQ(all.size(), 4U) << "each of the three moves it";
}

// How far jaws may turn is no size: it refuses gates that ask more of them.
TEST(HardwareRows, JawsThatTurnTooLittleAreRefused) {
  GateSpec spec = rowsSpec(R"({"site": {"opening_mm": 4200, "grade": 0.05},
      "gate": {"panels": 2}, "hardware": {"guide": {"block_mount": "pivoted"}}})");
  EXPECT_TRUE(layOut(spec).problems.empty());
  spec.hardware.guide.turn_deg = 1;  // atan 0.05 is 2.9 degrees
  ASSERT_FALSE(layOut(spec).problems.empty());
  EXPECT_EQ(layOut(spec).problems.front().pointer, "/hardware/guide/turn_deg");
}

// An angle is square: a groove of another angle is refused.
TEST(HardwareRows, GroovesThatDoNotFitTheirAngleAreRefused) {
  const auto refused = [](const char* angle) {
    const std::string text = std::string(R"({"site": {"opening_mm": 4200}, "hardware":
        {"set": "heavy", "wheel": {"groove_deg": )") +
                             angle + "}}}";
    return !readGate(text, "test").gate;
  };
  EXPECT_FALSE(refused("90"));
  EXPECT_TRUE(refused("88"));
  EXPECT_TRUE(refused("92"));
}

}  // namespace
}  // namespace leafstack
