#include "generator/shop/fasteners.h"

#include <algorithm>
#include <tuple>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/shop/tool_reach.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

const char* headOf(ScrewKind kind) {
  switch (kind) {
    case ScrewKind::kAnchor:
      return "nut";
    case ScrewKind::kHexagon:
      return "hexagon";
    case ScrewKind::kSocket:
      return "socket";
    case ScrewKind::kCountersunk:
    case ScrewKind::kDrilling:
      return "countersunk";
  }
  return "";
}

/// Of a hexagon bolt's torque: heads of ISO 10642 bear less, 80 % of it; from memory.
constexpr double kSunkShare = 0.8;

const Part& screwOf(const Model& model, const Fastening& fastening) {
  return model.parts[model.instances[fastening.screw].part];
}

/// That a screw, washer or nut belongs to; null for other parts.
const Fastening* fasteningOf(const Model& model, const Part& part) {
  for (const Fastening& fastening : model.fastenings) {
    for (const int instance : {fastening.screw, fastening.washer, fastening.nut}) {
      if (instance >= 0 && &model.parts[model.instances[instance].part] == &part) {
        return &fastening;
      }
    }
  }
  return nullptr;
}

double threadOf_mm(const Model& model, const Part& part) {
  const Fastening* const fastening = fasteningOf(model, part);
  return fastening == nullptr ? 0 : fastening->thread_mm;
}

/// Of steel screws by how the gate is finished. Hot-dip galvanised threads begin at M8 (ISO 10684),
/// smaller ones get zinc flakes; else they are plated. From memory.
std::string coatOf(const ShopSpec& shop, double thread_mm) {
  constexpr double kLeastDippedMm = 8;
  if (!shop.isDipped()) {
    return "zinc-plated, ISO 4042";
  }
  return thread_mm < kLeastDippedMm ? "zinc flakes, ISO 10683" : "hot-dip galvanised, ISO 10684";
}

}  // namespace

FastenerQuality fastenerQuality(const Model& model, const Part& part) {
  constexpr const char* kByApproval = "by its approval";
  const GateSpec& spec = model.spec;
  const auto coated = [&](const char* grade, double thread_mm) {
    return FastenerQuality{grade, coatOf(spec.shop, thread_mm)};
  };
  switch (part.kind) {
    case PartKind::kAnchor:
      return {kByApproval, kByApproval};
    case PartKind::kScrew:
      if (fasteningOf(model, part)->kind == ScrewKind::kDrilling) {
        // Timber is acid and stays wet: plain zinc goes. Common practice, no source.
        return {"hardened drill point", "stainless A2, bi-metal"};
      }
      [[fallthrough]];
    case PartKind::kPulleyScrew:
    case PartKind::kWheelBolt:
      return coated("8.8", threadOf_mm(model, part));
    case PartKind::kPivotBolt:
      return coated("8.8", spec.hardware.guide.pivot_bolt_mm);
    case PartKind::kWasher:
      return coated("200 HV", threadOf_mm(model, part));
    case PartKind::kNut:
      return coated("8", threadOf_mm(model, part));
    case PartKind::kTerminalNut:
      return coated("8", terminalOf(spec).thread_mm);
    case PartKind::kRope:
      return {"", spec.ropes.finish == RopeFinish::kGalvanised ? "galvanised" : "stainless"};
    default:
      return {};
  }
}

std::vector<FastenerRow> fastenerRows(const Model& model) {
  const std::vector<ToolReach> reached = toolReaches(model);
  const auto mark = [&](int instance) {
    return instance < 0 ? "" : model.parts[model.instances[instance].part].mark;
  };
  std::vector<FastenerRow> rows;
  for (std::size_t i = 0; i < model.fastenings.size(); ++i) {
    const Fastening& fastening = model.fastenings[i];
    const bool is_anchor = fastening.kind == ScrewKind::kAnchor;
    FastenerRow row;
    row.mark = mark(fastening.screw);
    row.what = fastening.what;
    row.size = (fastening.kind == ScrewKind::kDrilling ? "ST" : "M") + shown(fastening.thread_mm) +
               (is_anchor ? "" : "x" + shown(fastening.length_mm));
    row.head = headOf(fastening.kind);
    const FastenerQuality quality = fastenerQuality(model, screwOf(model, fastening));
    row.grade = quality.grade;
    row.finish = quality.finish;
    row.thread_mm = fastening.thread_mm;
    const ThreadClass& thread = threadClass(fastening.thread_mm);
    row.torque_Nm =
        thread.thread_mm == row.thread_mm && row.grade == "8.8"
            ? thread.torque_Nm * (fastening.kind == ScrewKind::kCountersunk ? kSunkShare : 1)
            : 0;
    row.length_mm = fastening.length_mm;
    row.grip_mm = fastening.grip_mm;
    row.hold_mm = fastening.hold_mm;
    if (fastening.is_tapped) {
      row.tapped_mm = threadClass(fastening.thread_mm).tap_mm;
    }
    row.panel = model.instances[fastening.screw].panel;
    row.under_head = mark(fastening.under_head);
    row.holds_in = mark(fastening.holds_in);
    row.washer = mark(fastening.washer);
    row.nut = mark(fastening.nut);
    row.tool = reached[i].tool;
    row.blocked_by = reached[i].met;
    const auto known = std::find_if(rows.begin(), rows.end(), [&](const FastenerRow& one) {
      return std::tie(one.mark, one.what, one.panel, one.under_head, one.holds_in, one.tool,
                      one.blocked_by) == std::tie(row.mark, row.what, row.panel, row.under_head,
                                                  row.holds_in, row.tool, row.blocked_by);
    });
    if (known == rows.end()) {
      rows.push_back(std::move(row));
      rows.back().quantity = 1;
    } else {
      ++known->quantity;
    }
  }
  return rows;
}

int piecesPerBox(const Model& model, const Part& part) {
  if (part.kind != PartKind::kScrew && part.kind != PartKind::kWasher &&
      part.kind != PartKind::kNut) {
    return 0;
  }
  const double thread = threadOf_mm(model, part);
  return thread > 0 ? threadClass(thread).per_box : 0;
}

}  // namespace leafstack
