#include "generator/handover/handover_rows.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace leafstack {
namespace {

constexpr double kFirstHeightMm = 50, kHighestMm = 2500, kBelowTopMm = 300;
constexpr double kGapsMm[] = {50, 300, 500};

class RowMaker {
 public:
  RowMaker(const Model& model, const Schedules& schedules, const std::vector<Warning>& warnings)
      : model_(model), layout_(model.layout), lists_(schedules), warnings_(warnings) {}

  HandoverRows made() {
    addEdges();
    addPassing();
    addDrive();
    addTrack();
    addPoints();
    addSpares();
    for (const Warning& warning : warnings_) {
      if (warning.is_hazard && !told_.contains(warning.id)) {
        rows_.other_hazards.push_back(warning.text);
      }
    }
    return std::move(rows_);
  }

 private:
  Vec3 at(double x, double y, double up) const {
    return {model_.opening_sign * x, y, layout_.ground.heightMm(x, y) + up};
  }
  const PanelLayout& front() const { return layout_.panel(layout_.panel_count); }
  double midUp() const { return layout_.heights.top_mm / 2; }
  double speedOf(int panel) const {
    return layout_.panel(panel).speed_ratio * lists_.loads.drive.time.top_speed_mm_s;
  }

  /// Marks of some kinds, each once, in the model's order.
  std::string marksOf(const std::set<PartKind>& kinds) const {
    std::string out;
    for (const Part& part : model_.parts) {
      if (kinds.contains(part.kind)) {
        out += (out.empty() ? "" : " ") + part.mark;
      }
    }
    return out;
  }

  /// Buffers on the open or on the closed end, each mark once, each with a blank before it.
  std::string buffersAt(bool is_open) const {
    std::string out;
    for (const Instance& one : model_.instances) {
      const Part& part = model_.parts[one.part];
      const double x = model_.opening_sign * (one.bounds.low[0] + one.bounds.high[0]) / 2;
      if (part.kind == PartKind::kCatchBuffer && (x > layout_.opening_mm / 2) == is_open &&
          (out + " ").find(" " + part.mark + " ") == std::string::npos) {
        out += " " + part.mark;
      }
    }
    return out;
  }

  /// In front of every frame.
  double cladding_mm() const {
    const CladdingSpec& cladding = model_.spec.gate.cladding;
    return cladding.kind == CladdingKind::kNone ? 0 : cladding.thickness_mm;
  }

  /// What the program says of it.
  std::string warned(const char* id) {
    told_.insert(id);
    for (const Warning& warning : warnings_) {
      if (warning.id == id) {
        return warning.text;
      }
    }
    return "";
  }

  PlacedHazard& add(HazardKind kind, const Vec3& place) {
    PlacedHazard& row = rows_.hazards.emplace_back();
    row.kind = kind;
    row.at_mm = place;
    return row;
  }

  void addEdges() {
    const int last = layout_.panel_count;
    PlacedHazard& closing =
        add(HazardKind::kClosingEdge, at(front().leading_closed_mm, front().front_y_mm, midUp()));
    closing.panel = last;
    closing.speed_mm_s = speedOf(last);
    closing.marks = marksOf({PartKind::kCatchPost, PartKind::kReceiver}) + buffersAt(false);
    PlacedHazard& parking =
        add(HazardKind::kParkingEnd,
            at(layout_.opening_mm + layout_.room_total_mm, layout_.panel(1).front_y_mm, midUp()));
    parking.panel = last;
    parking.speed_mm_s = speedOf(last);
    parking.marks = marksOf({PartKind::kEndStop}) + buffersAt(true);
  }

  void addPassing() {
    for (int panel = 1; panel < layout_.panel_count; ++panel) {
      const PanelLayout& ahead = layout_.panel(panel + 1);
      PlacedHazard& row =
          add(HazardKind::kPassing, at(ahead.trailing_closed_mm, ahead.front_y_mm, midUp()));
      row.panel = panel;
      row.other = panel + 1;
      row.gap_mm = layout_.stack.gap_mm - cladding_mm();
      row.speed_mm_s = speedOf(panel + 1) - speedOf(panel);
    }
    PlacedHazard& post =
        add(HazardKind::kFencePost,
            at(layout_.opening_mm, front().front_y_mm - layout_.stack.setback_mm, midUp()));
    post.panel = layout_.panel_count;
    post.gap_mm = layout_.stack.setback_mm - cladding_mm();
    post.speed_mm_s = speedOf(layout_.panel_count);
    if (layout_.panel_count > 1) {
      const PanelLayout& second = layout_.panel(layout_.panel_count - 1);
      PlacedHazard& reach =
          add(HazardKind::kReach, at((second.leading_closed_mm + second.trailing_closed_mm) / 2,
                                     second.front_y_mm, midUp() * 1.5));
      reach.gap_mm = model_.spec.gate.infill.gap_mm;
      reach.speed_mm_s = speedOf(layout_.panel_count) - speedOf(layout_.panel_count - 1);
      reach.text = warned("reach-through");
    }
  }

  void addDrive() {
    for (const RopeLayout& rope : layout_.ropes) {
      const PanelLayout& panel = layout_.panel(rope.carrier);
      PlacedHazard& row =
          add(HazardKind::kRopes, at(rope.leading_pulley_mm, panel.front_y_mm,
                                     layout_.heights.underside_mm + rope.height_mm));
      row.panel = rope.carrier;
      row.marks = marksOf({PartKind::kPulleyCover});
      row.speed_mm_s = speedOf(rope.carrier + 1) - speedOf(rope.carrier);
    }
    PlacedHazard& rack = add(HazardKind::kRack, at(layout_.pinion_mm, layout_.panel(1).front_y_mm,
                                                   layout_.heights.underside_mm));
    rack.panel = 1;
    rack.marks = marksOf({PartKind::kRack, PartKind::kPinion});
    rack.speed_mm_s = speedOf(1);
    const DriveRow& drive = lists_.loads.drive;
    const std::string text = warned("runs-by-gravity");
    if (!drive.runaways.empty()) {
      const PanelLayout& panel = front();
      PlacedHazard& row = add(
          HazardKind::kRunaway,
          at((panel.leading_closed_mm + panel.trailing_closed_mm) / 2, panel.front_y_mm, midUp()));
      row.text = text;
      row.force_N = drive.holding_force_N;
      for (const Runaway& runaway : drive.runaways) {
        row.speed_mm_s = std::max(row.speed_mm_s, runaway.speed_mm_s * front().speed_ratio);
      }
    }
  }

  void addTrack() {
    const PanelLayout& panel = front();
    PlacedHazard& wheels =
        add(HazardKind::kWheels,
            at(panel.leading_closed_mm + model_.spec.hardware.wheel.inset_mm, panel.front_y_mm, 0));
    wheels.panel = layout_.panel_count;
    wheels.marks = marksOf({PartKind::kWheelCarrier});
    wheels.gap_mm = panel.least_ground_mm;
    wheels.speed_mm_s = speedOf(layout_.panel_count);
    PlacedHazard& leaving =
        add(HazardKind::kLeaving,
            at(layout_.guide_post_mm, layout_.panel(1).front_y_mm, layout_.heights.top_mm));
    leaving.marks = marksOf({PartKind::kTrackKeeper, PartKind::kLiftKeeper, PartKind::kGuideBlock,
                             PartKind::kEndStop, PartKind::kReceiver});
    leaving.text = warned("leaves-track");
  }

  void addPoints() {
    const double ratio = front().speed_ratio;
    int index = -1;
    for (const double height : forceHeights_mm(layout_.heights.top_mm)) {
      ++index;
      for (const double gap : kGapsMm) {
        ForcePoint point;
        point.gap_mm = gap;
        point.height = index;
        point.height_mm = height;
        point.speed_mm_s =
            ratio * speedBeforeEnd_mm_s(model_.spec.drive, lists_.loads.drive.time.top_speed_mm_s,
                                        gap / ratio);
        point.at_mm = at(front().leading_closed_mm, front().front_y_mm, height);
        rows_.points.push_back(point);
      }
    }
  }

  void addSpares() {
    static const std::set<PartKind> kWearing = {
        PartKind::kWheel,    PartKind::kAxle,        PartKind::kPulley,  PartKind::kRope,
        PartKind::kTerminal, PartKind::kGuideBlock,  PartKind::kRack,    PartKind::kPinion,
        PartKind::kMotor,    PartKind::kCatchBuffer, PartKind::kAxleRing};
    std::set<std::string> marks;
    for (const Part& part : model_.parts) {
      if (kWearing.contains(part.kind)) {
        marks.insert(part.mark);
      }
    }
    for (const BillRow& row : lists_.bill) {
      if (!marks.contains(row.mark)) {
        continue;
      }
      std::string words;
      for (const std::string& one : {row.words.supplier, row.words.item, row.words.finish}) {
        words += one.empty() ? "" : (words.empty() ? "" : "; ") + one;
      }
      rows_.spares.push_back({row.mark, row.name, row.description, words, row.quantity});
    }
  }

  const Model& model_;
  const Layout& layout_;
  const Schedules& lists_;
  const std::vector<Warning>& warnings_;
  std::set<std::string> told_;
  HandoverRows rows_;
};

}  // namespace

std::vector<double> forceHeights_mm(double top_mm) {
  const double middle = std::min(top_mm / 2, kHighestMm);
  return {kFirstHeightMm, middle, std::max(middle, top_mm - kBelowTopMm)};
}

double speedBeforeEnd_mm_s(const DriveSpec& drive, double top_speed_mm_s, double left_mm) {
  const double slow = std::min(drive.slow_speed_mm_s, top_speed_mm_s);
  if (left_mm <= drive.slow_travel_mm) {
    // The last stop included: from the slow speed to rest.
    return std::min(slow, std::sqrt(2 * drive.acceleration_mm_s2 * std::max(0.0, left_mm)));
  }
  return std::min(top_speed_mm_s, std::sqrt(slow * slow + 2 * drive.acceleration_mm_s2 *
                                                              (left_mm - drive.slow_travel_mm)));
}

HandoverRows handoverRows(const Model& model, const Schedules& schedules,
                          const std::vector<Warning>& warnings) {
  return RowMaker(model, schedules, warnings).made();
}

}  // namespace leafstack
