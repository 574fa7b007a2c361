// Every size of the shelf, changed by a little: what should move does, and nothing far from it.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"
#include "params/table/hardware_rows.h"

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

/// By kind of part, all that its parts are and where they stand; nothing where it cannot be laid
/// out.
using Prints = std::map<PartKind, std::string>;

std::optional<Prints> printsOf(const GateSpec& spec) {
  const LayoutResult laid_out = layOut(spec);
  if (!laid_out.problems.empty()) {
    return std::nullopt;
  }
  const Model model = buildModel(spec, laid_out.layout);
  Prints prints;
  for (const Part& part : model.parts) {
    std::string& print = prints[part.kind];
    print += part.section + '|' + part.material + '|' + shown(part.volume_mm3, 3) + '|' +
             shown(part.length_mm, 4);
    for (const std::string& words : part.cutouts) {
      print += '|' + words;
    }
    for (int axis = 0; axis < 3; ++axis) {
      print += '|' + shown(part.bounds.low[axis], 4) + '|' + shown(part.bounds.high[axis], 4);
      if (part.reach) {
        print += '|' + shown(part.reach->bounds.low[axis], 4) + '|' +
                 shown(part.reach->bounds.high[axis], 4);
      }
    }
  }
  for (const Instance& instance : model.instances) {
    std::string& print = prints[model.parts[instance.part].kind];
    for (int axis = 0; axis < 3; ++axis) {
      print +=
          '|' + shown(instance.bounds.low[axis], 4) + '|' + shown(instance.bounds.high[axis], 4);
    }
  }
  return prints;
}

/// The value a little away, the way that still makes a gate.
std::set<PartKind> movedBy(const Parameter& row, const GateSpec& spec, const Prints& before) {
  std::set<PartKind> moved;
  for (const double by : {1.02, 0.98}) {
    GateSpec changed = spec;
    const Slot slot = row.slot(changed);
    if (auto* const* number = std::get_if<double*>(&slot)) {
      const bool whole = std::string_view(row.unit).empty();
      **number = whole ? **number + (by > 1 ? 1 : -1) : **number * by;
    } else if (auto* const* given = std::get_if<std::optional<double>*>(&slot)) {
      **given = (*given)->value() * by;
    } else {
      return moved;
    }
    const auto after = printsOf(changed);
    for (const auto& [kind, print] : after.value_or(Prints{})) {
      const auto known = before.find(kind);
      if (known == before.end() || known->second != print) {
        moved.insert(kind);
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

// What panels are welded from has no business with what stands on the footing.
const std::set<PartKind> kOfPanels = {PartKind::kTopRail, PartKind::kStile,  PartKind::kPicket,
                                      PartKind::kRope,    PartKind::kPulley, PartKind::kWheel};
const char* const kOffPanels[] = {"/hardware/stop/",
                                  "/hardware/post/",
                                  "/hardware/motor/depth_mm",
                                  "/hardware/motor/height_mm",
                                  "/hardware/motor/pinion_width_mm",
                                  "/hardware/bracket/foot_"};

const std::set<std::string_view> kNoPart = {
    "/hardware/wheel/groove_deg",  // an angle is square: no other fits
    // Told in the set-out, and not drawn.
    "/hardware/motor/feet_along_mm", "/hardware/motor/feet_across_mm",
    "/hardware/motor/feet_bolt_mm", "/hardware/guide/turn_deg", "/hardware/terminal/swivel_deg"};

TEST(HardwareRows, NoneIsDeadAndNoneMovesWhatItShouldNot) {
  std::vector<std::pair<GateSpec, Prints>> gates;
  for (const char* text : kGates) {
    const ReadResult read = readGate(text, "test");
    ASSERT_TRUE(read.gate) << text << toString(read.problems.front());
    const GateSpec spec = withAutosGiven(read.gate->spec);
    const auto prints = printsOf(spec);
    ASSERT_TRUE(prints) << text << layOut(spec).problems.front().text;
    gates.emplace_back(spec, *prints);
  }
  for (const Parameter& row : hardwareRows()) {
    if (!isNumeric(row)) {
      continue;
    }
    std::set<PartKind> moved;
    for (const auto& [spec, before] : gates) {
      moved.merge(movedBy(row, spec, before));
      if (!moved.empty()) {
        break;
      }
    }
    EXPECT_EQ(moved.empty(), kNoPart.contains(row.pointer)) << row.pointer;
    for (const char* off : kOffPanels) {
      // The motor, and with it panel 1's rail, keeps clear of the guide post's plate.
      const bool is_beside_motor = std::string_view(row.pointer) == "/hardware/post/plate_side_mm";
      if (std::string_view(row.pointer).starts_with(off) && !is_beside_motor) {
        for (const PartKind kind : moved) {
          EXPECT_FALSE(kOfPanels.contains(kind)) << row.pointer << " moves a " << rowOf(kind).words;
        }
      }
    }
  }
}

}  // namespace
}  // namespace leafstack
