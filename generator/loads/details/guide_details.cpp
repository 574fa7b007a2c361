// Guide rails and guide channels under the force that their block passes on across the track.
//
// The rail is an angle: one leg lies square to the panel's face, welded there by its edge, the
// other stands up from it, and the block's jaws hold that one. Their pressure is taken in the
// middle of the jaws' hold: as the leg gives it moves down to the leg's root.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/geometry/range.h"
#include "generator/layout/figures/carrier.h"
#include "generator/loads/details/detail_parts.h"
#include "generator/loads/frame/panel_lines.h"
#include "generator/model/welded_through.h"
#include "params/catalogue/welds.h"

namespace leafstack::detail_rows {
namespace {

constexpr double kJawOverLegMm = 2;  // front jaw's end above the rail's lying leg: guide_blocks.cpp
constexpr const char* kRail = "guide-rail-overload";
constexpr const char* kChannel = "guide-channel-overload";

/// Where a rail is welded, along the track, in order; pieces where it is welded in pieces.
struct Fixings {
  std::vector<Range> at;
  bool is_through = false;  ///< all along a top rail
  double wall_mm = 0;       ///< thinnest that it is welded to
};

void addPieces(const GateSpec& spec, const Range& along, Fixings& out) {
  const double length = along.high - along.low, piece = spec.shop.weld_piece_mm;
  if (length <= std::max(spec.shop.weld_pitch_mm, piece)) {
    out.at.push_back(along);
    return;
  }
  const int count = 1 + static_cast<int>(std::ceil((length - piece) / spec.shop.weld_pitch_mm));
  for (int i = 0; i < count; ++i) {
    const double from = along.low + (length - piece) * i / (count - 1);
    out.at.push_back({from, from + piece});
  }
}

Fixings fixingsOf(const Model& model, int rail) {
  Fixings out;
  const Range own = frame::alongX(model, model.instances[rail]);
  for (const Contact& contact : model.contacts) {
    if (contact.kind != ContactKind::kWelded || (contact.a != rail && contact.b != rail)) {
      continue;
    }
    const Instance& other = model.instances[contact.a == rail ? contact.b : contact.a];
    const Part& part = model.parts[other.part];
    // Sheets and slats give: what is welded to them is not held across the track.
    const bool is_held = part.kind == PartKind::kTopRail || part.kind == PartKind::kStile ||
                         part.kind == PartKind::kPicket;
    if (!is_held) {
      continue;
    }
    Range at = frame::alongX(model, other);
    at = {std::max(at.low, own.low), std::min(at.high, own.high)};
    if (at.high - at.low <= 0) {
      continue;
    }
    if (part.kind == PartKind::kTopRail &&
        isWeldedThrough(model.parts[model.instances[rail].part])) {
      out.is_through = true;
      out.at.push_back(at);
    } else if (part.kind == PartKind::kTopRail) {
      addPieces(model.spec, at, out);
    } else {
      out.at.push_back(at);
    }
    const double wall = part.tube ? part.tube->wall_mm : 0;
    out.wall_mm = out.wall_mm > 0 ? std::min(out.wall_mm, wall) : wall;
  }
  std::sort(out.at.begin(), out.at.end(),
            [](const Range& p, const Range& q) { return p.low < q.low; });
  return out;
}

/// Of the block's middle to the rail's two ends, the least of the travel.
std::array<double, 2> offEnds(const Model& model, const GuideLayout& guide, const Range& rail) {
  const double closed = guide.x_mm;
  const double behind = guide.panel > 1 ? model.speed_ratio.at(guide.panel - 1) : 0;
  const double passed = (model.speed_ratio.at(guide.panel) - behind) * model.layout.drive_travel_mm;
  const double parked = closed - passed;  // as the rail sees it
  return {std::max(0.0, std::min(closed, parked) - rail.low),
          std::max(0.0, rail.high - std::max(closed, parked))};
}

class Rail {
 public:
  Rail(const Model& model, const StructureBlock& block, int instance, StructureReport& report)
      : model_(model),
        spec_(model.spec),
        guide_(model.layout.guides.at(block.panel - 1)),
        part_(model.parts[model.instances[instance].part]),
        block_(block),
        report_(report),
        fixings_(fixingsOf(model, instance)),
        own_(frame::alongX(model, model.instances[instance])) {
    const GuideHardware& shelf = spec_.hardware.guide;
    leg_ = guide_.rail_size_mm;
    t_ = shelf.rail_thickness_mm;
    const double jaws = shelf.block_height_mm - shelf.block_roof_mm;
    const double low =
        guide_.is_pivoted ? t_ + kJawOverLegMm : std::max(t_ + kJawOverLegMm, leg_ - jaws);
    up_ = (low + leg_) / 2;
    jaw_ = guide_.channel_width_mm - 2 * (shelf.lip_mm + shelf.running_gap_mm);
    force_ = spec_.checks.wind_factor * block.force_N;
    yield_ = yieldOf(spec_, part_);
  }

  void judge() {
    uprightLeg();
    if (fixings_.at.empty()) {
      StructureDetail row =
          rowOf("guide rail, welded to nothing that holds it across the track", "/guides/drop_mm");
      row.acts = force_;
      row.bears = 0;
      row.unit = "N";
      row.formula = "F " + newtons(force_);
      row.remedy = "Uprights behind it, or a rail nearer to the top, hold it.";
      addRow(report_, std::move(row));
      return;
    }
    if (!fixings_.is_through) {
      betweenFixings();
    }
    atWeld();
  }

 private:
  StructureDetail rowOf(std::string what, const char* where) const {
    StructureDetail row;
    row.id = kRail;
    row.name = ofPanel(block_.panel, what);
    row.case_name = block_.case_name;
    row.where = where;
    return row;
  }

  /// A cantilever from the lying leg. A load at a cantilever plate's edge brings 0.509 of itself x
  /// lever to each lever of its root at most: as if a width of twice the lever, and the load's
  /// own, carried it; yield lines give nearly three times that.
  void uprightLeg() {
    const double lever = up_ - t_;
    const std::array<double, 2> ends = offEnds(model_, guide_, own_);
    const double half = jaw_ / 2 + lever;
    const double width = std::min(half, ends[0]) + std::min(half, ends[1]);
    StructureDetail row = rowOf("guide rail, its upright leg", "/hardware/guide/rail_thickness_mm");
    row.acts = force_ * lever;
    row.bears = stripMoment_Nmm(width, t_, yield_);
    row.formula = "F m / (l t^2 / 4 f_y), F " + newtons(force_) + ", m " + shown(lever, 1) +
                  " mm, l = block + 2 m = " + shown(width, 1) + " mm, t " + shown(t_) +
                  " mm, f_y " + shown(yield_, 0);
    row.source = "Jaramillo 1950, in Roark, from memory";
    row.remedy = needs(row.acts / row.bears);
    addRow(report_, std::move(row));
  }

  std::string needs(double use) const {
    return "Legs of " + shown(t_ * std::sqrt(std::max(use, 0.0)), 1) + " mm would do.";
  }

  /// A beam that is free to give in its plane of least resistance, t a^2 / 4.5, and twisted to both
  /// sides by half of what turns it about its heel.
  void betweenFixings() {
    const double a = leg_ - t_ / 2;
    double most = 0, moment = 0, span = 0;
    const double share = fixings_.at.size() > 2 ? 13.0 / 64 : 0.25;
    for (std::size_t i = 1; i < fixings_.at.size(); ++i) {
      const double clear = fixings_.at[i].low - fixings_.at[i - 1].high;
      if (share * clear > most) {
        most = share * clear;
        span = clear;
      }
    }
    for (const double beyond :
         {fixings_.at.front().low - own_.low, own_.high - fixings_.at.back().high}) {
      if (beyond > most) {  // a cantilever
        most = beyond;
        span = beyond;
      }
    }
    moment = force_ * most;
    const double twist = force_ * (up_ - t_ / 2) / 2;
    const double bends = t_ * a * a / 4.5 * yield_;
    const double twists = t_ * t_ * a * yield_ / std::numbers::sqrt3;
    StructureDetail row = rowOf(
        "guide rail between its welds",
        span > spec_.shop.weld_pitch_mm ? "/gate/bay_mm" : "/hardware/guide/rail_thickness_mm");
    row.acts = std::hypot(moment, twist * bends / twists);
    row.bears = bends;
    row.formula = "sqrt((M / (t a^2 / 4.5 f_y))^2 + (T / (t^2 a f_y / sqrt 3))^2), M " +
                  shown(moment / 1000, 1) + ", T " + shown(twist / 1000, 1) + " N m, a " +
                  shown(a, 1) + ", t " + shown(t_) + " mm, " + shown(span, 0) + " mm clear";
    row.source = fixings_.at.size() > 2 ? "13/64 F s of two spans; thin angle, free sideways"
                                        : "F s / 4; thin angle, free sideways";
    row.remedy = "A thicker or larger rail, or welds nearer to each other, would do.";
    addRow(report_, std::move(row));
  }

  /// Half of the turning moment goes into the weld beside the block, a quarter along the rail to
  /// either side (a state of equilibrium, hence safe where nothing breaks before it yields).
  void atWeld() {
    const double lever = up_ - t_ / 2;
    const double spread = jaw_ + 2 * (lever + leg_ - t_);
    double length = spread;
    for (const Range& one : fixings_.at) {
      length = std::min(length, one.high - one.low);
    }
    const double yield = weldedYieldOf(spec_, part_);
    const double moment = force_ * lever / 2;
    const char* where =
        fixings_.is_through ? "/hardware/guide/rail_thickness_mm" : "/shop/weld_piece_mm";
    const std::string figures = "F " + newtons(force_) + ", z " + shown(lever, 1) + ", l " +
                                shown(length, 1) + ", t " + shown(t_) + " mm";
    StructureDetail row = rowOf("guide rail, its leg at a weld", where);
    row.acts = moment;
    row.bears = stripMoment_Nmm(length, t_, yield);
    row.formula = "(F z / 2) / (l t^2 / 4 f_y), " + figures + ", f_y " + shown(yield, 0);
    row.source = "plastic strip; half of it twists the rail to the next welds";
    row.remedy = needs(row.acts / row.bears);
    addRow(report_, std::move(row));

    const std::string metal = part_.material;
    const double leg = spec_.shop.weld_leg_mm.value_or(
        filletLeg_mm(t_, fixings_.wall_mm > 0 ? fixings_.wall_mm : t_));
    StructureDetail weld = rowOf("guide rail's welds", where);
    weld.unit = "N/mm";
    weld.acts = moment / (t_ * length) + force_ / (2 * length);
    weld.bears = leg / std::numbers::sqrt2 * filletStrength_N_mm2(metal);
    weld.formula = "F z / (2 t l) + F / (2 l) over leg / sqrt 2 x f_vw, " + figures + ", leg " +
                   shown(leg) + " mm";
    weld.source = "EN 1993-1-8, 4.5.3.3";
    weld.remedy = "Longer pieces of weld, or a thicker rail, would do.";
    addRow(report_, std::move(weld));
  }

  const Model& model_;
  const GateSpec& spec_;
  const GuideLayout& guide_;
  const Part& part_;
  const StructureBlock& block_;
  StructureReport& report_;
  const Fixings fixings_;
  const Range own_;
  double leg_ = 0, t_ = 0, up_ = 0, jaw_ = 0, force_ = 0, yield_ = 0;
};

/// Pulled away from its back, the block bears on both lips; pressed at it, on what is behind.
class Channel {
 public:
  Channel(const Model& model, const StructureBlock& block, int instance, StructureReport& report)
      : model_(model),
        spec_(model.spec),
        guide_(model.layout.guides.at(block.panel - 1)),
        part_(model.parts[model.instances[instance].part]),
        block_(block),
        report_(report) {
    const GuideHardware& shelf = spec_.hardware.guide;
    t_ = shelf.channel_wall_mm;
    force_ = spec_.checks.wind_factor * block.force_N;
    lip_lever_ = (shelf.running_gap_mm + shelf.lip_mm - t_) / 2;
    yield_ = yieldOf(spec_, part_);
    high_ = shelf.block_height_mm;
    for (const Fastening& one : model.fastenings) {
      if (one.under_head == instance) {
        screws_.push_back(&one);
      }
    }
  }

  void judge() {
    lips();
    back();
    if (!screws_.empty()) {
      screws();
    } else if (block_.panel > 1) {
      welds();
    }
  }

 private:
  StructureDetail rowOf(std::string what, const char* where) const {
    StructureDetail row;
    row.id = kChannel;
    row.name = block_.panel > 1 ? ofPanel(block_.panel - 1, what) : "the first " + what;
    row.case_name = block_.case_name;
    row.where = where;
    row.remedy = "A channel with thicker walls would do.";
    return row;
  }
  double height() const { return guide_.channel_high_mm - guide_.channel_low_mm; }

  void lips() {
    const double length = std::min(high_ + 2 * lip_lever_, height());
    StructureDetail row = rowOf("guide channel, its lips", "/hardware/guide/channel_wall_mm");
    row.acts = force_ / 2 * lip_lever_;
    row.bears = stripMoment_Nmm(length, t_, yield_);
    row.formula = "F / 2 m / (l t^2 / 4 f_y), F " + newtons(force_) + ", m " +
                  shown(lip_lever_, 1) + ", l = block + 2 m = " + shown(length, 0) + ", t " +
                  shown(t_) + " mm, f_y " + shown(yield_, 0);
    row.source = "Jaramillo 1950, in Roark, from memory";
    addRow(report_, std::move(row));
  }

  /// Its walls pull at the back's edges and turn them; screws or welds hold it in the middle, or at
  /// its edges.
  void back() {
    const double edge = (guide_.channel_width_mm - t_) / 2;
    double aside = screws_.empty() ? edge : 0;
    for (const Fastening* one : screws_) {
      aside = std::max(aside, std::abs(std::abs(one->seat_mm[0]) - std::abs(guide_.x_mm)));
    }
    const double lever = std::max(0.0, edge - aside);
    const double length = std::min(high_ + 2 * (lever + lip_lever_), height());
    StructureDetail row = rowOf("guide channel, its back", "/hardware/guide/channel_wall_mm");
    row.acts = force_ / 2 * (lever + lip_lever_);
    row.bears = stripMoment_Nmm(length, t_, yield_);
    row.formula = "F / 2 (e + m) / (l t^2 / 4 f_y), F " + newtons(force_) + ", e " +
                  shown(lever, 1) + ", m " + shown(lip_lever_, 1) + ", l " + shown(length, 0) +
                  ", t " + shown(t_) + " mm, f_y " + shown(yield_, 0);
    row.source = "plastic strip";
    addRow(report_, std::move(row));
  }

  /// How far the block's middle may be from `z_mm`, up or down.
  double offMm(double z_mm) const {
    const double middle = guide_.z_mm + (guide_.blockTopMm() - high_ / 2) * guide_.channelCosine();
    return std::max(std::abs(middle + guide_.float_mm.low - z_mm),
                    std::abs(middle + guide_.float_mm.high - z_mm));
  }

  void screws() {
    const double count = static_cast<double>(screws_.size());
    double middle = 0, squares = 0, furthest = 0, hold = screws_.front()->hold_mm;
    for (const Fastening* one : screws_) {
      middle += one->seat_mm[2] / count;
      hold = std::min(hold, one->hold_mm);
    }
    for (const Fastening* one : screws_) {
      const double off = std::abs(one->seat_mm[2] - middle);
      squares += off * off;
      furthest = std::max(furthest, off);
    }
    const double off = offMm(middle);
    // Where one row holds it, the channel turns about its end.
    const double pull = squares > 1 ? force_ * (1 / count + off * furthest / squares)
                                    : force_ / count * (1 + 2 * off / height());
    const Part& wall = model_.parts[model_.instances[screws_.front()->holds_in].part];
    const double thread = screws_.front()->thread_mm;
    const double wall_mm = wall.tube ? wall.tube->wall_mm : 0;
    hold = std::min(hold, hardware::kThreadWalls * wall_mm);  // the bush of a flow-drilled hole
    struct Way {
      const char* what;
      double bears;
      const char* where;
    };
    const Way ways[] = {
        {"guide channel's screws", screwPull_N(thread, true), "/hardware/guide/channel_height_mm"},
        {"guide channel's screws, their threads", threadPull_N(thread, hold, wall.material),
         "/hardware/guide/channel_height_mm"},
        {"guide channel's screws, the wall about them", wallPull_N(wall_mm, yieldOf(spec_, wall)),
         block_.panel > 1 ? "/gate/stile" : "/hardware/post/wall_mm"}};
    for (const Way& way : ways) {
      StructureDetail row = rowOf(way.what, way.where);
      row.unit = "N";
      row.acts = pull;
      row.bears = way.bears;
      row.formula = "F (1 / n + e z / sum z^2), F " + newtons(force_) + ", n " + shown(count, 0) +
                    ", e " + shown(off, 1) + ", z " + shown(furthest, 1) + " mm; M" +
                    shown(thread) + ", thread " + shown(hold, 1) + " mm in a wall of " +
                    shown(wall_mm) + " mm";
      row.source = way.what == ways[0].what   ? "EN 1993-1-8, Table 3.4, class 8.8"
                   : way.what == ways[1].what ? "half of the thread's cylinder sheared, from memory"
                                              : "yield lines, a fan of 4 pi m";
      row.remedy =
          "A higher channel, whose screws stand further apart, or a thicker wall would do.";
      addRow(report_, std::move(row));
    }
  }

  /// On its panel: both of its long edges, as far as the block's pull spreads.
  void welds() {
    const double length = std::min(height(), high_ + 2 * spec_.guides.channel_depth_mm);
    const double wall = std::min(spec_.gate.stile.wall_mm, spec_.gate.top_rail.wall_mm);
    const double leg = spec_.shop.weld_leg_mm.value_or(filletLeg_mm(t_, wall));
    const double off = offMm(guide_.z_mm + (guide_.channel_low_mm + guide_.channel_high_mm) / 2 *
                                               guide_.channelCosine());
    StructureDetail row = rowOf("guide channel's welds", "/hardware/guide/channel_height_mm");
    row.unit = "N/mm";
    row.acts = force_ / (2 * length) * (1 + 6 * off / height());
    row.bears = leg / std::numbers::sqrt2 * filletStrength_N_mm2(part_.material);
    row.formula = "F / (2 l) (1 + 6 e / h) over leg / sqrt 2 x f_vw, F " + newtons(force_) +
                  ", l " + shown(length, 0) + ", e " + shown(off, 1) + ", h " + shown(height(), 0) +
                  ", leg " + shown(leg) + " mm";
    row.source = "EN 1993-1-8, 4.5.3.3";
    row.remedy = "A higher channel would do.";
    addRow(report_, std::move(row));
  }

  const Model& model_;
  const GateSpec& spec_;
  const GuideLayout& guide_;
  const Part& part_;
  const StructureBlock& block_;
  StructureReport& report_;
  std::vector<const Fastening*> screws_;
  double t_ = 0, force_ = 0, lip_lever_ = 0, yield_ = 0, high_ = 0;
};

}  // namespace

void addGuideDetails(const Model& model, StructureReport& report) {
  for (const StructureBlock& block : report.blocks) {
    for (const int rail : instancesOf(model, PartKind::kGuideRail, block.panel)) {
      Rail(model, block, rail, report).judge();
    }
    for (const int channel : instancesOf(model, PartKind::kGuideChannel, block.panel - 1)) {
      Channel(model, block, channel, report).judge();
    }
  }
}

}  // namespace leafstack::detail_rows
