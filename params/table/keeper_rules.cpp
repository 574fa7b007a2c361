// Rules of track and lift keepers, of the flat under an angle, and of receivers.
#include <cmath>
#include <limits>
#include <numbers>

#include "params/reading/text.h"
#include "params/table/shelf_rules.h"

namespace leafstack {
namespace {

constexpr double kNoMost = std::numeric_limits<double>::infinity();
// Own choice: metal left of a part, and what two that hold each other stand one beside the other.
constexpr double kLeft_mm = 2, kBeside_mm = 1;

std::string inMm(double value) {
  return formatFigure(value) + " mm";
}

/// The angle's legs on their flat.
void addFlatRules(const TrackHardware& track, std::vector<ShelfRule>& rules) {
  if (track.kind == TrackKind::kRound) {
    rules.push_back({{"/hardware/track/flat_mm", "/hardware/track/kind"},
                     track.flat_mm,
                     0,
                     0,
                     "a flat of " + inMm(track.flat_mm) + " goes under an angle, not under a bar",
                     "/hardware/track/flat_mm 0"});
  }
  if (!track.hasFlat()) {
    return;
  }
  const double legs = (track.size_mm - track.thickness_mm) * std::numbers::sqrt2;
  rules.push_back(
      {{"/hardware/track/flat_width_mm", "/hardware/track/size_mm", "/hardware/track/thickness_mm"},
       trackFlatWidth_mm(track),
       legs + kLeft_mm,
       kNoMost,
       "an angle whose legs stand " + inMm(legs) + " apart does not stand on a flat " +
           inMm(trackFlatWidth_mm(track)) + " wide"});
}

/// Up to where a track is upright beside its keepers, over the footing; 0: it leans all the way.
double upright_mm(const TrackHardware& track) {
  constexpr double kLeansBy45 = (1 + std::numbers::sqrt2 / 2) / 2;  // of a bar's height
  return track.kind == TrackKind::kRound ? kLeansBy45 * track.size_mm
         : track.hasFlat()               ? track.flat_mm
                                         : 0;
}

/// A wheel that climbs goes aside until the plates meet the track: in a round groove its lip then
/// is still short of the bar's crown, on an angle's flanks it has risen by as much as it went.
double mostPlay_mm(const HardwareSpec& shelf) {
  const double deep = (shelf.wheel.outside_mm - shelf.wheel.running_mm) / 2;
  if (shelf.track.kind == TrackKind::kAngle) {
    return std::min(deep, shelf.track.flat_mm - keeperLow_mm(shelf.keeper, shelf.track)) -
           kBeside_mm;
  }
  const double radius = shelf.track.size_mm / 2;
  const double over = std::max(0.0, radius - deep);  // bars thinner than a groove are refused
  return std::sqrt(radius * radius - over * over) - kBeside_mm;
}

void addTrackKeeperRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const KeeperHardware& keeper = shelf.keeper;
  const double upright = upright_mm(shelf.track);
  const double low = keeperLow_mm(keeper, shelf.track);
  // Beside an angle alone they are no keepers: the verdict tells.
  const double highest = upright > 0 ? upright - keeper.lift_play_mm : trackHeight_mm(shelf.track);
  if (keeper.low_mm) {
    rules.push_back({{"/hardware/keeper/low_mm", "/hardware/keeper/lift_play_mm",
                      "/hardware/track/size_mm", "/hardware/track/flat_mm"},
                     low,
                     0,
                     highest - kBeside_mm,
                     "track keepers that end " + inMm(low) +
                         " above the footing do not stand beside their track when lift keepers " +
                         inMm(keeper.lift_play_mm) + " above their guide rail stop the panel"});
  } else if (upright > 0) {
    rules.push_back(
        {{"/hardware/keeper/lift_play_mm", "/hardware/track/size_mm", "/hardware/track/flat_mm"},
         keeper.lift_play_mm,
         0,
         highest + keeper.lift_play_mm - low - kBeside_mm,
         "lift keepers " + inMm(keeper.lift_play_mm) +
             " above their guide rail let a panel rise out of track keepers that end " + inMm(low) +
             " above the footing"});
  }
  const bool is_beside = low <= highest - kBeside_mm;
  if (upright > 0 && is_beside && shelf.wheel.outside_mm > shelf.wheel.running_mm) {
    rules.push_back(
        {{"/hardware/keeper/play_mm", "/hardware/keeper/low_mm", "/hardware/track/size_mm",
          "/hardware/track/flat_mm", "/hardware/wheel/outside_mm", "/hardware/wheel/running_mm"},
         keeper.play_mm,
         0,
         mostPlay_mm(shelf),
         "track keepers " + inMm(keeper.play_mm) +
             " off their track let a wheel climb out before they meet it"});
  }
}

}  // namespace

void addKeeperRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  constexpr double kOverBlock_mm = 3;  // channel's top above its block's
  const KeeperHardware& keeper = shelf.keeper;
  addFlatRules(shelf.track, rules);
  rules.push_back({{"/hardware/keeper/lift_plate_mm", "/hardware/keeper/lift_play_mm",
                    "/hardware/guide/block_roof_mm"},
                   keeper.lift_plate_mm,
                   0,
                   shelf.guide.block_roof_mm + kOverBlock_mm - keeper.lift_play_mm,
                   "a lift keeper of " + inMm(keeper.lift_plate_mm) + ", " +
                       inMm(keeper.lift_play_mm) +
                       " above its guide rail, stands above the channel"});
  addTrackKeeperRules(shelf, rules);
  rules.push_back({{"/hardware/receiver/lead_mm", "/hardware/receiver/reach_mm"},
                   shelf.receiver.lead_mm,
                   0,
                   shelf.receiver.reach_mm - kLeft_mm,
                   "a receiver that opens over " + inMm(shelf.receiver.lead_mm) +
                       " leaves nothing of its reach of " + inMm(shelf.receiver.reach_mm) +
                       " to hold the panel"});
}

}  // namespace leafstack
