// The kinds of parts: one row each says all that follows from the kind.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace leafstack {

/// Closed set. A new one takes a row in kPartKinds below, and code that builds it.
enum class PartKind {
  kBottomRail,
  kTopRail,
  kStile,
  kPicket,
  kSlat,
  kSheet,
  kBoard,
  kBatten,
  kReturnUpright,
  kReturnRail,
  kReturnInfill,
  kWheel,
  kAxle,
  kAxleRing,
  kPulley,
  kPulleyPin,
  kPulleyCheek,
  kPulleyFlange,
  kPulleyCover,
  kPulleyScrew,
  kSpacer,
  kFrontBracket,
  kRearBracket,
  kGroundBracket,
  kTerminal,
  kTerminalNut,
  kRope,
  kGuideRail,
  kGuideChannel,
  kChannelPacker,
  kGuideBlock,
  kGuidePost,
  kGuideArm,
  kBasePlate,
  kRack,
  kRackStandoff,
  kPinion,
  kMotor,
  kMotorPacker,
  kFencePost,
  kObstacle,
  kTrack,
  kTrackFlat,
  kTrackDowel,
  kFooting,
  kEndStop,
  kCatchPost,
  kCatchPlate,
  kCatchBuffer,
  kWheelCarrier,
  kWheelBolt,
  kWheelPacker,
  kTrackKeeper,
  kKeeperSaddle,
  kLiftKeeper,
  kReceiver,
  kGuideJaws,
  kPivotBolt,
  kTubeCap,
  kAnchor,
  kScrew,
  kWasher,
  kNut,
  kSpliceStrip
};

/// How the part reaches the workshop; decides which list it stands in.
enum class Supply { kCutTube, kCutBar, kCutPlate, kCutTimber, kBought, kSite, kEnvelope };
std::string_view toString(Supply supply);

/// Families of parts: how near two may pass each other follows from theirs (clash/requirements.h).
enum class PartFamily { kBody, kGuide, kHardware, kCatch, kFence, kObstacle };

/// In place of a material: the frames' metal, which the gate file chooses.
inline constexpr std::string_view kFrameMetal = "";

struct PartKindRow {
  PartKind kind{};
  std::string_view letters;   ///< of its marks: two capitals that no other kind has
  std::string_view words;     ///< its name in lists, where a part has none of its own
  Supply supply{};            ///< where a part does not say otherwise
  std::string_view material;  ///< by its name in params/catalogue/tables/materials.csv; kFrameMetal
  PartFamily family{};
  bool is_fitted = false;   ///< turned to a bore that runs on it: left bare, whatever the finish
  bool faces_wind = false;  ///< a member that the wind sees from the front of a panel
  bool is_main = false;     ///< drawn where a view shows only what is large
  /// Group of the shelf that its sizes are of: "wheel" is /hardware/wheel; "" for none.
  std::string_view shelf = "";
  bool is_item = false;  ///< what that group's item, supplier, finish, mass and rating are of
};

// clang-format off
inline constexpr std::array kPartKinds = {
    PartKindRow{.kind = PartKind::kBottomRail, .letters = "BR", .words = "bottom rail", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kHardware, .faces_wind = true, .is_main = true},
    PartKindRow{.kind = PartKind::kTopRail, .letters = "TR", .words = "top rail", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody, .faces_wind = true, .is_main = true},
    PartKindRow{.kind = PartKind::kStile, .letters = "ST", .words = "stile", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody, .faces_wind = true, .is_main = true},
    PartKindRow{.kind = PartKind::kPicket, .letters = "PK", .words = "picket", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody, .faces_wind = true},
    PartKindRow{.kind = PartKind::kSlat, .letters = "SL", .words = "slat", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody, .faces_wind = true},
    PartKindRow{.kind = PartKind::kSheet, .letters = "SH", .words = "infill sheet", .supply = Supply::kCutPlate, .material = kFrameMetal, .family = PartFamily::kBody, .faces_wind = true, .is_main = true},
    PartKindRow{.kind = PartKind::kBoard, .letters = "BD", .words = "board", .supply = Supply::kCutTimber, .material = "timber", .family = PartFamily::kBody, .faces_wind = true},
    PartKindRow{.kind = PartKind::kBatten, .letters = "BT", .words = "batten", .supply = Supply::kCutTimber, .material = "timber", .family = PartFamily::kBody, .faces_wind = true},
    PartKindRow{.kind = PartKind::kReturnUpright, .letters = "RU", .words = "return upright", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody, .is_main = true},
    PartKindRow{.kind = PartKind::kReturnRail, .letters = "RR", .words = "return rail", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody},
    PartKindRow{.kind = PartKind::kReturnInfill, .letters = "RI", .words = "return infill", .supply = Supply::kCutTube, .material = kFrameMetal, .family = PartFamily::kBody},
    PartKindRow{.kind = PartKind::kWheel, .letters = "WH", .words = "track wheel", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel", .is_item = true},
    PartKindRow{.kind = PartKind::kAxle, .letters = "AX", .words = "wheel axle", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel"},
    PartKindRow{.kind = PartKind::kAxleRing, .letters = "AR", .words = "axle ring", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel"},
    PartKindRow{.kind = PartKind::kPulley, .letters = "PU", .words = "rope pulley", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "pulley", .is_item = true},
    PartKindRow{.kind = PartKind::kPulleyPin, .letters = "PP", .words = "pulley pin", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .is_fitted = true, .shelf = "pulley"},
    PartKindRow{.kind = PartKind::kPulleyCheek, .letters = "PC", .words = "pulley cheek", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kHardware, .shelf = "pulley"},
    PartKindRow{.kind = PartKind::kPulleyFlange, .letters = "PF", .words = "pulley flange", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kHardware, .shelf = "pulley"},
    PartKindRow{.kind = PartKind::kPulleyCover, .letters = "PV", .words = "pulley cover", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .shelf = "pulley"},
    PartKindRow{.kind = PartKind::kPulleyScrew, .letters = "PS", .words = "pulley screw", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "pulley"},
    PartKindRow{.kind = PartKind::kSpacer, .letters = "SP", .words = "spacer sleeve", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .is_fitted = true},
    PartKindRow{.kind = PartKind::kFrontBracket, .letters = "FB", .words = "front rope bracket", .supply = Supply::kCutBar, .material = kFrameMetal, .family = PartFamily::kHardware, .shelf = "bracket", .is_item = true},
    PartKindRow{.kind = PartKind::kRearBracket, .letters = "RB", .words = "rear rope bracket", .supply = Supply::kCutBar, .material = kFrameMetal, .family = PartFamily::kHardware, .shelf = "bracket", .is_item = true},
    PartKindRow{.kind = PartKind::kGroundBracket, .letters = "GK", .words = "ground rope bracket", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .shelf = "bracket", .is_item = true},
    PartKindRow{.kind = PartKind::kTerminal, .letters = "TE", .words = "rope terminal", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "terminal", .is_item = true},
    PartKindRow{.kind = PartKind::kTerminalNut, .letters = "TN", .words = "terminal nut", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "terminal"},
    PartKindRow{.kind = PartKind::kRope, .letters = "RO", .words = "rope", .supply = Supply::kBought, .material = "rope", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kGuideRail, .letters = "GR", .words = "guide rail", .supply = Supply::kCutBar, .material = kFrameMetal, .family = PartFamily::kGuide, .shelf = "guide"},
    PartKindRow{.kind = PartKind::kGuideChannel, .letters = "GC", .words = "guide channel", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kGuide, .shelf = "guide"},
    PartKindRow{.kind = PartKind::kChannelPacker, .letters = "CP", .words = "channel packer", .supply = Supply::kCutPlate, .material = kFrameMetal, .family = PartFamily::kGuide},
    PartKindRow{.kind = PartKind::kGuideBlock, .letters = "GB", .words = "guide block", .supply = Supply::kBought, .material = "nylon", .family = PartFamily::kGuide, .shelf = "guide", .is_item = true},
    PartKindRow{.kind = PartKind::kGuidePost, .letters = "GP", .words = "guide post", .supply = Supply::kCutTube, .material = "steel", .family = PartFamily::kBody, .is_main = true, .shelf = "post", .is_item = true},
    PartKindRow{.kind = PartKind::kGuideArm, .letters = "GA", .words = "guide arm", .supply = Supply::kCutTube, .material = "steel", .family = PartFamily::kBody, .is_main = true, .shelf = "post"},
    PartKindRow{.kind = PartKind::kBasePlate, .letters = "BP", .words = "base plate", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kHardware, .shelf = "post"},
    PartKindRow{.kind = PartKind::kRack, .letters = "RK", .words = "rack", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "rack", .is_item = true},
    PartKindRow{.kind = PartKind::kRackStandoff, .letters = "RS", .words = "rack standoff", .supply = Supply::kBought, .material = kFrameMetal, .family = PartFamily::kHardware, .shelf = "rack"},
    PartKindRow{.kind = PartKind::kPinion, .letters = "PN", .words = "pinion", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "motor"},
    PartKindRow{.kind = PartKind::kMotor, .letters = "MO", .words = "motor", .supply = Supply::kEnvelope, .material = "envelope", .family = PartFamily::kHardware, .is_main = true, .shelf = "motor", .is_item = true},
    PartKindRow{.kind = PartKind::kMotorPacker, .letters = "MP", .words = "motor packer", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kHardware, .shelf = "motor"},
    PartKindRow{.kind = PartKind::kFencePost, .letters = "FP", .words = "fence post", .supply = Supply::kSite, .material = "site", .family = PartFamily::kFence, .is_main = true},
    PartKindRow{.kind = PartKind::kObstacle, .letters = "OB", .words = "obstacle", .supply = Supply::kSite, .material = "site", .family = PartFamily::kObstacle, .is_main = true},
    PartKindRow{.kind = PartKind::kTrack, .letters = "TK", .words = "track bar", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .shelf = "track", .is_item = true},
    PartKindRow{.kind = PartKind::kTrackFlat, .letters = "TF", .words = "track flat", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware, .shelf = "track"},
    PartKindRow{.kind = PartKind::kTrackDowel, .letters = "TD", .words = "track dowel", .supply = Supply::kCutBar, .material = "steel", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kFooting, .letters = "FT", .words = "footing", .supply = Supply::kSite, .material = "concrete", .family = PartFamily::kHardware, .is_main = true, .shelf = "post"},
    PartKindRow{.kind = PartKind::kEndStop, .letters = "ES", .words = "end stop", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kCatch, .shelf = "stop", .is_item = true},
    PartKindRow{.kind = PartKind::kCatchPost, .letters = "CA", .words = "catch post", .supply = Supply::kCutTube, .material = "steel", .family = PartFamily::kBody, .is_main = true, .shelf = "stop"},
    PartKindRow{.kind = PartKind::kCatchPlate, .letters = "CL", .words = "catch plate", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kCatch, .shelf = "stop"},
    PartKindRow{.kind = PartKind::kCatchBuffer, .letters = "CB", .words = "stop buffer", .supply = Supply::kBought, .material = "rubber", .family = PartFamily::kCatch, .shelf = "stop"},
    PartKindRow{.kind = PartKind::kWheelCarrier, .letters = "WC", .words = "wheel carrier", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel"},
    PartKindRow{.kind = PartKind::kWheelBolt, .letters = "WB", .words = "wheel carrier bolt", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel"},
    PartKindRow{.kind = PartKind::kWheelPacker, .letters = "WP", .words = "wheel packer", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kHardware, .shelf = "wheel"},
    PartKindRow{.kind = PartKind::kTrackKeeper, .letters = "KT", .words = "track keeper", .supply = Supply::kCutPlate, .material = kFrameMetal, .family = PartFamily::kHardware, .shelf = "keeper"},
    PartKindRow{.kind = PartKind::kKeeperSaddle, .letters = "KS", .words = "keeper saddle", .supply = Supply::kCutPlate, .material = kFrameMetal, .family = PartFamily::kHardware, .shelf = "keeper"},
    PartKindRow{.kind = PartKind::kLiftKeeper, .letters = "KL", .words = "lift keeper", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kGuide, .shelf = "keeper"},
    PartKindRow{.kind = PartKind::kReceiver, .letters = "RV", .words = "top receiver", .supply = Supply::kCutPlate, .material = "steel", .family = PartFamily::kCatch, .shelf = "receiver"},
    PartKindRow{.kind = PartKind::kGuideJaws, .letters = "GJ", .words = "guide block jaws", .supply = Supply::kBought, .material = "nylon", .family = PartFamily::kGuide, .shelf = "guide"},
    PartKindRow{.kind = PartKind::kPivotBolt, .letters = "VB", .words = "guide block bolt", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kGuide, .shelf = "guide"},
    PartKindRow{.kind = PartKind::kTubeCap, .letters = "TC", .words = "tube cap", .supply = Supply::kBought, .material = "nylon", .family = PartFamily::kBody},
    PartKindRow{.kind = PartKind::kAnchor, .letters = "AN", .words = "anchor", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kScrew, .letters = "SC", .words = "screw", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kWasher, .letters = "WA", .words = "washer", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kNut, .letters = "NU", .words = "nut", .supply = Supply::kBought, .material = "steel", .family = PartFamily::kHardware},
    PartKindRow{.kind = PartKind::kSpliceStrip, .letters = "JS", .words = "splice strip", .supply = Supply::kCutBar, .material = kFrameMetal, .family = PartFamily::kHardware}};
// clang-format on

inline constexpr std::size_t kPartKindCount = kPartKinds.size();

namespace part_kinds_detail {
constexpr bool isCapital(char c) {
  return c >= 'A' && c <= 'Z';
}
/// In the order of the enumeration, so that a kind is its row's index.
constexpr bool areInOrder() {
  for (std::size_t i = 0; i < kPartKindCount; ++i) {
    if (static_cast<std::size_t>(kPartKinds[i].kind) != i) {
      return false;
    }
  }
  return true;
}
constexpr bool haveLettersOfTheirOwn() {
  for (std::size_t i = 0; i < kPartKindCount; ++i) {
    const std::string_view letters = kPartKinds[i].letters;
    if (letters.size() != 2 || !isCapital(letters[0]) || !isCapital(letters[1]) ||
        kPartKinds[i].words.empty()) {
      return false;
    }
    for (std::size_t other = 0; other < i; ++other) {
      if (kPartKinds[other].letters == letters) {
        return false;
      }
    }
  }
  return true;
}
}  // namespace part_kinds_detail
static_assert(kPartKindCount == static_cast<std::size_t>(PartKind::kSpliceStrip) + 1,
              "a row for every kind: the enumeration's last one is named here");
static_assert(part_kinds_detail::areInOrder(), "rows in the order of the enumeration");
static_assert(part_kinds_detail::haveLettersOfTheirOwn(), "marks tell kinds apart");

constexpr const PartKindRow& rowOf(PartKind kind) {
  return kPartKinds[static_cast<std::size_t>(kind)];
}

/// Screws and what goes with them, put in when all else is made and coated.
constexpr bool isFastener(PartKind kind) {
  return kind == PartKind::kAnchor || kind == PartKind::kScrew || kind == PartKind::kWasher ||
         kind == PartKind::kNut;
}

}  // namespace leafstack
