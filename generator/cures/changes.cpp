#include "generator/cures/changes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <span>

#include "generator/cures/section_members.h"
#include "generator/layout/figures/sections.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/catalogue_table.h"
#include "params/reading/text.h"
#include "params/table/shelf_rules.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

enum class How {
  kMore,        ///< the next of `values` above
  kLess,        ///< the next below
  kSection,     ///< the next heavier of the same depth
  kHigher,      ///< the next higher of the same depth and wall
  kFrameDepth,  ///< all members of the frames of the next greater depth
  kRope,        ///< the next thicker rope, with pulleys to suit
  kAngle,       ///< a guide rail of the next larger angle that is sold
  kAxle,        ///< the next of `values` above, as high up as its hole and sleeves then want
  kMotor,       ///< another motor of the shelf
  kMotorForce,  ///< a motor of the same sizes that gives what is needed
  kRating,      ///< what is bought, rated for what it carries
  kSteelGrade,  ///< a stronger steel, where frames are of steel
  kWord         ///< `word` in place of what it says
};

// What is kept or easily made; common practice, no source.
constexpr double kAxlesMm[] = {12, 14, 15, 16, 18, 20, 25, 30};  // round bars, as sold
constexpr double kPlatesMm[] = {3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30};
constexpr double kRailLegsMm[] = {3, 4, 5, 6, 8};
constexpr double kWeldPiecesMm[] = {60, 80, 100, 150, 200};
constexpr double kBoardsMm[] = {15, 18, 20, 24, 28, 32, 38, 45};
constexpr double kSheetsMm[] = {1, 1.5, 2, 2.5, 3, 4, 5, 6};
constexpr double kChannelsMm[] = {80, 100, 120, 140, 160};
constexpr double kBoltsMm[] = {8, 10, 12, 16};
constexpr double kDowelsMm[] = {10, 12, 14, 16, 20, 25}, kDowelsApartMm[] = {200, 250, 300, 400};
constexpr double kBracketHolesMm[] = {9, 11, 13.5, 17.5};
constexpr double kWallsMm[] = {2, 2.5, 3, 4, 5, 6, 8, 10};
constexpr double kSquaresMm[] = {40, 50, 60, 70, 80, 90, 100, 120, 140, 150};
constexpr double kKeeperLengthsMm[] = {80, 100, 120, 150, 200, 250, 300};
constexpr double kLiftPlaysMm[] = {0.5, 1, 1.5}, kKeeperPlaysMm[] = {1.5, 1};
constexpr double kFlatsMm[] = {15}, kBarsMm[] = {16, 20, 25, 30};
constexpr double kReceiverHeightsMm[] = {60, 80, 100, 120, 150, 200};
constexpr double kCatchEdgesMm[] = {50, 60, 80, 100, 120};
constexpr double kPlateSidesMm[] = {20, 40, 60, 80, 100};
constexpr double kReceiverGapsMm[] = {1, 2};
constexpr double kBaysMm[] = {500, 600, 750, 1000, 1250, 1500};
constexpr double kInfillGapsMm[] = {60, 70, 80, 100, 120};
constexpr double kPanels[] = {1, 2, 3, 4};
constexpr double kStarts_mm_s2[] = {25, 50, 100, 150};
constexpr double kClearancesMm[] = {50, 60, 70, 80, 100, 120, 150};
constexpr double kWheelInsetsMm[] = {80, 100, 120, 140, 160, 180};
constexpr double kRopesMm[] = {2, 3, 4, 5, 6};
constexpr double kPreferred[] = {1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10};  // ISO 3, R10
constexpr std::size_t kMostSteps = 8;
/// Times that sizes which others ask for may ask for further ones.
constexpr int kMostCompanions = 3;

struct Row {
  const char* pointer;
  How how;
  int size;
  const char* cures;  ///< ids of warnings
  std::span<const double> values = {};
  const char* word = "";
};

constexpr const char* kFrame = "member-overload frame-soft leaves-track guide-overload";
constexpr const char* kPost =
    "member-overload frame-soft plate-overload leaves-track weld-overload";
constexpr const char* kRidesIll =
    "clash grounds keepers-let-go leaves-track teeth-let-go guide-rail-overload";
constexpr const char* kRopesToo =
    "rope-weak pulley-overload terminal-overload bracket-overload motor-weak rack-overload";
constexpr const char* kAny =
    "member-overload frame-soft leaves-track guide-overload plate-overload wheel-overload "
    "receiver-overload weld-overload axle-overload guide-rail-overload guide-channel-overload "
    "carrier-overload track-overload wheel-lifts motor-weak rope-weak pulley-overload "
    "terminal-overload bracket-overload rack-overload frame-unknown grounds longer-than-stock";

constexpr Row kRows[] = {
    {"/hardware/post/plate_mm", How::kMore, 1, "plate-overload", kPlatesMm},
    {"/hardware/wheel/axle_mm", How::kMore, 1, "axle-overload", kAxlesMm},
    {"/hardware/wheel/axle_mm", How::kAxle, 2, "axle-overload", kAxlesMm},
    {"/hardware/guide/rail_thickness_mm", How::kMore, 1, "guide-rail-overload", kRailLegsMm},
    {"/guides/rail_mm", How::kAngle, 1, "guide-rail-overload"},
    {"/shop/weld_piece_mm", How::kMore, 1, "guide-rail-overload", kWeldPiecesMm},
    {"/hardware/guide/channel_wall_mm", How::kMore, 1, "guide-channel-overload", kRailLegsMm},
    {"/hardware/guide/channel_height_mm", How::kMore, 1, "guide-channel-overload", kChannelsMm},
    {"/gate/cladding/thickness_mm", How::kMore, 1, "cladding-overload", kBoardsMm},
    {"/gate/infill/thickness_mm", How::kMore, 1, "cladding-overload", kSheetsMm},
    {"/hardware/wheel/cheek_mm", How::kMore, 1, "carrier-overload", kPlatesMm},
    {"/hardware/wheel/plate_mm", How::kMore, 1, "carrier-overload", kPlatesMm},
    {"/hardware/wheel/plate_bolt_mm", How::kMore, 1, "carrier-overload", kBoltsMm},
    {"/site/dowel_mm", How::kMore, 1, "track-overload", kDowelsMm},
    {"/site/anchor_apart_mm", How::kLess, 1, "track-overload", kDowelsApartMm},
    {"/hardware/post/overhead_hole_mm", How::kMore, 1, "bracket-anchor-overload", kBracketHolesMm},
    {"/hardware/keeper/plate_mm", How::kMore, 1, "leaves-track weld-overload", kPlatesMm},
    {"/hardware/keeper/length_mm", How::kMore, 1, "leaves-track weld-overload", kKeeperLengthsMm},
    {"/hardware/track/flat_mm", How::kMore, 1, "leaves-track", kFlatsMm},
    {"/hardware/keeper/play_mm", How::kLess, 1, "leaves-track", kKeeperPlaysMm},
    {"/hardware/keeper/lift_play_mm", How::kLess, 1, "keepers-let-go", kLiftPlaysMm},
    {"/hardware/track/size_mm", How::kMore, 2, "keepers-let-go leaves-track", kBarsMm},
    {"/hardware/receiver/plate_mm", How::kMore, 1, "receiver-overload weld-overload", kPlatesMm},
    {"/hardware/stop/catch_plate_mm", How::kMore, 1, "receiver-overload weld-overload", kPlatesMm},
    {"/hardware/receiver/height_mm", How::kMore, 1, "receiver-overload", kReceiverHeightsMm},
    {"/hardware/stop/catch_high_up_mm", How::kMore, 1, "receiver-overload", kCatchEdgesMm},
    {"/hardware/receiver/gap_mm", How::kLess, 1, kFrame, kReceiverGapsMm},
    {"/drive/acceleration_mm_s2", How::kLess, 1, kRopesToo, kStarts_mm_s2},
    {"/ropes/diameter_mm", How::kMore, 1, "rope-weak", kRopesMm},
    {"/ropes/diameter_mm", How::kRope, 2, "rope-weak"},
    {"/ropes/termination", How::kWord, 1, "rope-weak", {}, "swaged"},
    {"/ropes/construction", How::kWord, 2, "rope-weak", {}, "7x7"},
    {"/drive/wheel_bearing", How::kWord, 2, "motor-weak rack-overload", {}, "rolling"},
    {"/drive/motor", How::kMotor, 2, "motor-weak"},
    {"/gate/stile", How::kSection, 1, kFrame},
    {"/gate/top_rail", How::kSection, 1, kFrame},
    {"/gate/top_rail", How::kHigher, 1, "guide-rail-overload"},  // that it is welded to
    {"/guides/post_mm", How::kMore, 1, kPost, kSquaresMm},
    {"/hardware/post/wall_mm", How::kMore, 1, kPost, kWallsMm},
    {"/hardware/stop/catch_post_mm", How::kMore, 1, kPost, kSquaresMm},
    {"/hardware/stop/catch_wall_mm", How::kMore, 1, kPost, kWallsMm},
    {"/hardware/stop/catch_across_mm", How::kMore, 2, "plate-overload", kPlateSidesMm},
    {"/hardware/post/plate_side_mm", How::kMore, 2, "plate-overload", kPlateSidesMm},
    {"/hardware/post/arm_wall_mm", How::kMore, 1, "member-overload frame-soft", kWallsMm},
    {"/gate/bottom_rail", How::kSection, 2, kFrame},
    {"/gate/bottom_rail", How::kSection, 1, "carrier-overload"},
    {"/gate/bay_mm", How::kLess, 2, kFrame, kBaysMm},
    {"/gate/bay_mm", How::kLess, 1, "cladding-overload guide-rail-overload", kBaysMm},
    {"/gate/infill/section", How::kSection, 2, "member-overload frame-soft leaves-track"},
    {"/gate/infill/gap_mm", How::kMore, 4,
     "member-overload frame-soft leaves-track guide-overload wheel-overload plate-overload",
     kInfillGapsMm},
    {"/hardware/wheel/inset_mm", How::kLess, 3, "wheel-lifts", kWheelInsetsMm},
    {"/gate/ground_clearance_mm", How::kMore, 1, "grounds", kClearancesMm},
    {"/gate/yield_N_mm2", How::kSteelGrade, 4, "member-overload", {}, "355"},
    {"/gate/stile", How::kFrameDepth, 2, kFrame},
    {"/shop/weld_leg_mm", How::kWord, 1, "weld-overload rope-bracket-overload", {}, "auto"},
    {"/shop/stock_lengths_mm", How::kWord, 1, "longer-than-stock", {}, "[12000]"},
    {"/drive/motor", How::kMotorForce, 4, "motor-weak"},
    {"/shop/finish", How::kWord, 1, "unvented", {}, "painted"},
    {"/hardware/guide/block_mount", How::kWord, 1, "clash", {}, "pivoted"},
    {"/site/track_laying", How::kWord, 2, kRidesIll, {}, "straight"},
    {"/hardware/wheel/rating_N", How::kRating, 5, "wheel-overload"},
    {"/hardware/pulley/rating_N", How::kRating, 5, "pulley-overload"},
    {"/hardware/terminal/rating_N", How::kRating, 5, "terminal-overload"},
    {"/hardware/bracket/rating_N", How::kRating, 5, "bracket-overload"},
    {"/hardware/guide/rating_N", How::kRating, 5, "guide-overload"},
    {"/hardware/rack/rating_N", How::kRating, 5, "rack-overload"},
    {"/hardware/set", How::kWord, 6, kAny, {}, "medium"},
    {"/hardware/set", How::kWord, 7, kAny, {}, "heavy"},
    {"/guides/mount", How::kWord, 7, kPost, {}, "post"},
    {"/guides/mount", How::kWord, 7, kPost, {}, "overhead"},
    {"/guides/mount", How::kWord, 7, kPost, {}, "reach-over"},
    {"/gate/panels", How::kMore, 7, kAny, kPanels},
    {"/gate/panels", How::kLess, 8, kAny, kPanels},
    {"/gate/material", How::kWord, 8, kFrame, {}, "steel"},
};

bool isAmong(std::string_view word, std::string_view words) {
  for (std::size_t at = words.find(word); at != std::string_view::npos;
       at = words.find(word, at + 1)) {
    const bool begins = at == 0 || words[at - 1] == ' ';
    const std::size_t end = at + word.size();
    if (begins && (end == words.size() || words[end] == ' ')) {
      return true;
    }
  }
  return false;
}

/// As a setting would say it: texts without quotes.
std::string valueNow(const char* pointer, GateSpec& spec) {
  const auto value = valueOf(*findParameter(pointer), spec);
  return value.is_string() ? value.get<std::string>() : value.dump();
}

std::optional<double> numberNow(const char* pointer, GateSpec& spec) {
  const auto value = valueOf(*findParameter(pointer), spec);
  return value.is_number() ? std::optional(value.get<double>()) : std::nullopt;
}

const HollowSection* sectionAt(std::string_view pointer, const GateSpec& spec) {
  const bool has_bars =
      spec.gate.infill.kind == InfillKind::kPickets || spec.gate.infill.kind == InfillKind::kSlats;
  return pointer == "/gate/stile"         ? &spec.gate.stile
         : pointer == "/gate/top_rail"    ? &spec.gate.top_rail
         : pointer == "/gate/bottom_rail" ? &spec.gate.bottom_rail
         : has_bars                       ? &spec.gate.infill.section
                                          : nullptr;
}

double areaMm2(const HollowSection& section) {
  return bendingAcross(section).area_mm2;
}

double* numberAt(std::string_view pointer, GateSpec& spec) {
  const Parameter* parameter = findParameter(pointer);
  if (parameter == nullptr) {
    return nullptr;
  }
  const Slot slot = parameter->slot(spec);
  double* const* number = std::get_if<double*>(&slot);
  return number != nullptr ? *number : nullptr;
}

/// A size of the shelf with the others that its rules then ask to be larger or smaller.
Settings withCompanions(const Row& row, double value, GateSpec spec) {
  Settings settings = {{row.pointer, formatNumber(value)}};
  double* number = numberAt(row.pointer, spec);
  if (number == nullptr) {
    return settings;
  }
  *number = value;
  for (int rounds = 0; rounds < kMostCompanions; ++rounds) {
    for (const ShelfRule& rule : shelfRules(spec)) {
      double* other = numberAt(rule.pointers.front(), spec);
      if (other == nullptr || rule.pointers.front() == row.pointer ||
          (rule.figure >= rule.least && rule.figure <= rule.most)) {
        continue;
      }
      *other = rule.figure < rule.least ? std::ceil(rule.least) : std::floor(rule.most);
      settings =
          merged(std::move(settings), {{std::string(rule.pointers.front()), formatNumber(*other)}});
    }
  }
  return settings;
}

std::vector<Settings> numbers(const Row& row, GateSpec& spec) {
  std::vector<Settings> out;
  const std::optional<double> now = numberNow(row.pointer, spec);
  if (!now) {
    return out;
  }
  const auto add = [&](double value) { out.push_back(withCompanions(row, value, spec)); };
  if (row.how == How::kMore) {
    for (const double value : row.values) {
      if (value > *now) {
        add(value);
      }
    }
  } else {
    for (std::size_t i = row.values.size(); i-- > 0;) {
      if (row.values[i] < *now) {
        add(row.values[i]);
      }
    }
  }
  return out;
}

/// Heavier, and neither a wall nor a side less: a step up for certain.
std::vector<Settings> sections(const Row& row, const GateSpec& spec) {
  std::vector<Settings> out;
  const HollowSection* now = sectionAt(row.pointer, spec);
  if (now == nullptr) {
    return out;
  }
  for (const HollowSection& one : sectionsOfDepth(now->depth_mm)) {
    if (areaMm2(one) > areaMm2(*now) && one.height_mm >= now->height_mm &&
        one.wall_mm >= now->wall_mm && (row.how != How::kHigher || one.wall_mm == now->wall_mm)) {
      out.push_back({{row.pointer, one.designation}});
    }
  }
  return out;
}

/// The lightest of a depth that is no less in height and wall.
std::optional<std::string> noLess(const HollowSection& now, double depth_mm, double height_mm) {
  for (const HollowSection& one : sectionsOfDepth(depth_mm)) {
    if (one.height_mm >= height_mm && one.wall_mm >= now.wall_mm) {
      return one.designation;
    }
  }
  return std::nullopt;
}

std::vector<Settings> depths(const GateSpec& spec) {
  std::vector<Settings> out;
  std::set<double> greater;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm > spec.gate.bottom_rail.depth_mm) {
      greater.insert(one.depth_mm);
    }
  }
  const PanelSpec& gate = spec.gate;
  // As high as they are now, then as high as they are deep: what is only deeper may be soft for it.
  for (const double depth : greater) {
    for (const double least : {0.0, depth}) {
      const auto bottom = noLess(gate.bottom_rail, depth, gate.bottom_rail.height_mm);
      const auto top = noLess(gate.top_rail, depth, std::max(gate.top_rail.height_mm, least));
      const auto stile = noLess(gate.stile, depth, std::max(gate.stile.height_mm, least));
      if (bottom && top && stile) {
        out.push_back(
            {{"/gate/bottom_rail", *bottom}, {"/gate/top_rail", *top}, {"/gate/stile", *stile}});
      }
    }
  }
  return out;
}

std::vector<Settings> ropes(const GateSpec& spec) {
  std::vector<Settings> out;
  const double ratio = ropeClass(spec.ropes).desired_bend_ratio;  // of the groove's bottom
  for (const double size : kRopesMm) {
    if (size > spec.ropes.diameter_mm) {
      out.push_back({{"/ropes/diameter_mm", formatNumber(size)},
                     {"/ropes/pulley_pitch_mm", formatNumber(std::ceil(size * (ratio + 1)))}});
    }
  }
  return out;
}

/// Of each larger leg that is sold the thinnest that is no thinner.
std::vector<Settings> angles(const GateSpec& spec) {
  constexpr double kMostLegMm = 60;  // own choice: blocks and channels for more are not sold
  const CatalogueTable& table = catalogueTable("angles");
  std::map<double, double> thinnest;
  for (int row = 0; row < table.rowCount(); ++row) {
    const double leg = table.number(row, "leg_mm"), thick = table.number(row, "thickness_mm");
    if (leg > spec.guides.rail_mm && leg <= kMostLegMm &&
        thick >= spec.hardware.guide.rail_thickness_mm) {
      const auto [at, is_first] = thinnest.emplace(leg, thick);
      at->second = std::min(at->second, thick);
    }
  }
  std::vector<Settings> out;
  for (const auto& [leg, thick] : thinnest) {
    out.push_back({{"/guides/rail_mm", formatNumber(leg)}});
    if (thick != spec.hardware.guide.rail_thickness_mm) {
      out.back().push_back({"/hardware/guide/rail_thickness_mm", formatNumber(thick)});
    }
  }
  return out;
}

/// Its hole off the rail's corner, as round outside as two walls.
std::vector<Settings> axles(const Row& row, GateSpec& spec) {
  std::vector<Settings> out = numbers(row, spec);
  for (Settings& one : out) {
    const double up =
        std::ceil(2 * spec.gate.bottom_rail.wall_mm + std::stod(one.front().value) / 2 + 1);
    if (up > spec.hardware.wheel.axle_up_mm) {
      one = merged(std::move(one), {{"/hardware/wheel/axle_up_mm", formatNumber(up)}});
    }
  }
  return out;
}

std::vector<Settings> motors(const GateSpec& spec) {
  std::vector<const NamedMotor*> stronger;
  for (const NamedMotor& one : *spec.motors) {
    if (one.drive.name != spec.drive.motor.name &&
        one.drive.force_N.value_or(0) > spec.drive.motor.force_N.value_or(0)) {
      stronger.push_back(&one);
    }
  }
  std::stable_sort(stronger.begin(), stronger.end(), [](const auto* one, const auto* other) {
    return *one->drive.force_N < *other->drive.force_N;
  });
  std::vector<Settings> out;
  for (const NamedMotor* one : stronger) {
    out.push_back({{"/drive/motor", one->drive.name}});
  }
  return out;
}

/// The least preferred number that is no less.
double roundedUp(double value) {
  const double decade = std::pow(10, std::floor(std::log10(value)));
  for (const double one : kPreferred) {
    if (one * decade >= value) {
      return std::round(one * decade * 100) / 100;
    }
  }
  return 10 * decade;
}

std::vector<Settings> motorForce(const GateSpec& spec, double times_allowed) {
  const MotorSpec& motor = spec.drive.motor;
  if (!motor.force_N || times_allowed <= 0) {
    return {};
  }
  const nlohmann::ordered_json own = {
      {"length_mm", jsonNumber(motor.length_mm)},
      {"overrun_closed_mm", jsonNumber(motor.overrun_closed_mm)},
      {"overrun_open_mm", jsonNumber(motor.overrun_open_mm)},
      {"force_N", jsonNumber(roundedUp(*motor.force_N * times_allowed))}};
  return {{{"/drive/motor", own.dump()}}};
}

std::vector<Settings> rating(const Row& row, GateSpec& spec, double times_allowed) {
  const std::string_view pointer = row.pointer;
  std::optional<double> now = numberNow(row.pointer, spec);
  if (!now && pointer == "/hardware/wheel/rating_N") {
    now = ratedLoad_N("track wheel");
  } else if (!now && pointer == "/hardware/pulley/rating_N") {
    now = ratedLoad_N("rope pulley");
  }
  if (!now || times_allowed <= 0) {
    return {};
  }
  return {{{row.pointer, formatNumber(roundedUp(*now * times_allowed))}}};
}

std::vector<Settings> stepsOf(const Row& row, GateSpec& spec, double times_allowed) {
  switch (row.how) {
    case How::kMore:
    case How::kLess:
      return numbers(row, spec);
    case How::kSection:
    case How::kHigher:
      return sections(row, spec);
    case How::kFrameDepth:
      return depths(spec);
    case How::kRope:
      return ropes(spec);
    case How::kAngle:
      return angles(spec);
    case How::kAxle:
      return axles(row, spec);
    case How::kMotor:
      return motors(spec);
    case How::kMotorForce:
      return motorForce(spec, times_allowed);
    case How::kRating:
      return rating(row, spec, times_allowed);
    case How::kSteelGrade:
      return spec.gate.material == FrameMaterial::kSteel &&
                     spec.gate.yield_N_mm2.value_or(0) < std::stod(row.word)
                 ? std::vector<Settings>{{{row.pointer, row.word}}}
                 : std::vector<Settings>{};
    case How::kWord:
      if (valueNow(row.pointer, spec) == row.word) {
        return {};
      }
      return {{{row.pointer, row.word}}};
  }
  return {};
}

/// What was given and may be left to the program: "auto" again.
void addAutos(GateSpec& spec, std::vector<Change>& changes) {
  int row = static_cast<int>(std::size(kRows));
  for (const Parameter& parameter : parameterTable()) {
    ++row;  // the same whatever is given
    const bool may_be_auto =
        parameter.kind == Kind::kAutoNumber || parameter.kind == Kind::kAutoList;
    const std::string_view pointer = parameter.pointer;
    const bool is_place =
        pointer.starts_with("/guides/") || pointer.starts_with("/ropes/") ||
        pointer.starts_with("/drive/packing") || pointer.starts_with("/gate/cladding") ||
        pointer.starts_with("/site/setback") || pointer.starts_with("/hardware/keeper");
    if (may_be_auto && is_place && valueNow(parameter.pointer, spec) != "auto") {
      changes.push_back({row, 1, 1, 1, {{parameter.pointer, "auto"}}});
    }
  }
}

}  // namespace

std::vector<Change> changesFor(std::string_view warning_id, const GateSpec& spec,
                               double times_allowed) {
  GateSpec now = spec;
  std::vector<Change> changes;
  for (std::size_t i = 0; i < std::size(kRows); ++i) {
    const Row& row = kRows[i];
    if (!isAmong(warning_id, row.cures)) {
      continue;
    }
    std::vector<Settings> steps = stepsOf(row, now, times_allowed);
    steps.resize(std::min(steps.size(), kMostSteps));
    for (std::size_t k = 0; k < steps.size(); ++k) {
      const int step = static_cast<int>(k) + 1;
      changes.push_back({static_cast<int>(i), step, static_cast<int>(steps.size()), row.size + step,
                         std::move(steps[k])});
    }
  }
  if (warning_id == "clash") {
    addAutos(now, changes);
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const Change& one, const Change& other) { return one.size < other.size; });
  return changes;
}

}  // namespace leafstack
