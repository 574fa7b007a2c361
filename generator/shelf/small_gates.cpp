#include "generator/shelf/small_gates.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/terminal.h"
#include "params/table/shelf_rules.h"

namespace leafstack {

std::vector<GateSpec> smallGates(GateSpec spec) {
  // A base that adjusts would stand anywhere in its range; mid-way, the pinion is as the row says.
  spec.hardware.motor.adjust_mm = 0;
  std::vector<GateSpec> gates;
  for (const GuideMount mount :
       {GuideMount::kPost, GuideMount::kOverhead, GuideMount::kReachOver}) {
    gates.push_back(spec);
    gates.back().guides.mount = mount;
  }
  // Rear brackets want a panel between two.
  gates.push_back(spec);
  gates.back().gate.panels = 3;
  return gates;
}

std::vector<OtherKind> gatesOfOtherKinds(const GateSpec& spec) {
  std::vector<OtherKind> gates;
  const auto other = [&](std::initializer_list<std::string_view> groups, const auto& change) {
    OtherKind& made = gates.emplace_back(OtherKind{groups, spec});
    made.spec.hardware.motor.adjust_mm = 0;
    change(made.spec.hardware);
    made.spec = withAutosGiven(made.spec);
  };
  if (spec.hardware.wheel.mount == WheelMount::kRail) {
    other({"wheel"}, [](HardwareSpec& shelf) {
      WheelHardware& wheel = shelf.wheel;
      const double up = wheel.axle_up_mm;
      wheel.mount = WheelMount::kPlate;
      wheel.axle_up_mm = -std::ceil(wheel.packing_mm + wheel.plate_mm + wheel.outside_mm / 2 +
                                    hardware::kWheelUnderPlateMm);
      shelf.motor.pinion_up_mm += up - wheel.axle_up_mm;
    });
  }
  if (spec.hardware.track.kind == TrackKind::kRound) {
    other({"track", "wheel"}, [](HardwareSpec& shelf) {
      shelf.track.kind = TrackKind::kAngle;
      shelf.wheel.groove = GrooveKind::kV;
    });
  }
  if (spec.hardware.track.kind == TrackKind::kAngle) {
    other({"wheel"}, [](HardwareSpec& shelf) {
      shelf.track.kind = TrackKind::kRound;
      shelf.track.flat_mm = 0;
      shelf.track.size_mm = shelf.wheel.outside_mm - shelf.wheel.running_mm;
      shelf.wheel.groove = GrooveKind::kRound;
    });
  }
  if (spec.hardware.terminal.kind != TerminalKind::kEye) {
    other({"terminal"}, [](HardwareSpec& shelf) { shelf.terminal.kind = TerminalKind::kEye; });
  }
  if (spec.hardware.rack.fixing != RackFixing::kFoot) {
    other({"rack"}, [](HardwareSpec& shelf) { shelf.rack.fixing = RackFixing::kFoot; });
  }
  if (spec.hardware.guide.block_mount != BlockMount::kPivoted) {
    other({"guide"}, [](HardwareSpec& shelf) { shelf.guide.block_mount = BlockMount::kPivoted; });
  }
  // Ropes move wheels and racks further than the shelf has them.
  gates.push_back({{"wheel", "rack", "motor"}, withAutosGiven(spec)});
  gates.back().spec.hardware.motor.adjust_mm = 0;
  gates.back().spec.gate.panels = 1;
  return gates;
}

bool keepsShelfRules(const GateSpec& spec) {
  const std::vector<ShelfRule> rules = shelfRules(spec);
  return std::all_of(rules.begin(), rules.end(), [](const ShelfRule& rule) {
    return rule.figure > rule.least - kLengthEqualMm && rule.figure < rule.most + kLengthEqualMm;
  });
}

}  // namespace leafstack
