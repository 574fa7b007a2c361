// One row of the gate file's table: a key with its kind, default, unit, limits, meaning and source.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// What a key holds in the file. kAuto…: a value, or "auto" for one that is computed.
enum class Kind {
  kGroup,    ///< an object of further keys
  kVersion,  ///< the format version; not part of the specification
  kNumber,
  kAutoNumber,
  kAutoInteger,
  kFlag,
  kText,
  kChoice,    ///< one of `choices`, which stand in the order of the enum
  kSection,   ///< a hollow section's designation
  kAutoSection,   ///< the same, or "auto" for one that is chosen by trying
  kChosenNumber,  ///< a number, or "auto" for one that is chosen by trying
  kAutoList,  ///< numbers
  kSurvey,    ///< [x, z] pairs, x strictly increasing, or a list of such lists
  kMotor,     ///< a name of the shelf's motors, or an object of the keys below it
  kMotorSet,  ///< motors by name: an object of objects
  kObstacles, ///< named boxes
  kSurroundings,  ///< files, each with its place
  kPanelsBuilt,  ///< measured panels
  kShelf,     ///< a hardware set's name or file, or an object of the keys below it
};

/// A number and whether it is left to the program.
struct ChosenNumber {
  double* value;
  bool* is_auto;
};

/// Where a parameter lives in a specification.
using Slot =
    std::variant<std::monostate, double*, bool*, std::string*, std::optional<double>*,
                 std::optional<int>*, std::optional<std::vector<double>>*,
                 std::vector<SurveyLine>*, std::vector<Obstacle>*, std::vector<Surrounding>*, std::vector<BuiltPanel>*, HollowSection*, ChosenNumber, MotorSpec*, Hand*,
                 TopShape*, Stacking*, FrameMaterial*, InfillKind*, CladdingKind*, GuideMount*,
                 RopeConstruction*, RopeFinish*, RopeTermination*, WheelBearing*, TerminalKind*, WindTerrain*,
                 WindEnds*, ShopFinish*, PaperSize*, ProjectionAngle*, DxfSpace*, GrooveKind*, WheelMount*, PulleyRemoval*, TrackKind*,
                 RackMaterial*, RackFixing*, ChannelKind*, BlockMount*, TrackLaying*>;

/// Range of a number, of each number in a list, or of a text's length in characters.
struct Limits {
  double least = 0;
  double most = 0;
  bool least_excluded = false;  ///< strictly more than `least`
  int fewest_items = 0;         ///< lists only
  int most_items = 0;
  const char* reason = "";  ///< said to whoever leaves the range, where the range alone won't do

  bool hold(double value) const {
    return (least_excluded ? value > least : value >= least) && value <= most;
  }
};

struct Parameter {
  const char* pointer;  ///< JSON pointer
  Kind kind;
  const char* default_json;  ///< JSON text; for a required parameter what a starter gate shows
  const char* unit;          ///< "" where there is none
  Limits limits;
  std::span<const char* const> choices;
  const char* meaning;  ///< one line
  const char* source;   ///< where default and range come from
  Slot (*slot)(GateSpec&);
  bool required = false;
  /// JSON text, where it is another for frames of aluminium: three times as soft, and weak at welds.
  const char* default_aluminium = nullptr;
};

/// The place of a row's value, of the type that its kind has.
template <typename T>
T& valueAt(const Parameter& parameter, GateSpec& spec) {
  return *std::get<T*>(parameter.slot(spec));
}

/// A hollow section's limits are in section.h, a group has none: their rows carry these.
inline constexpr Limits kNoLimits = {};
/// Of what has no place in a specification.
inline Slot nowhere(GateSpec&) {
  return std::monostate{};
}

}  // namespace leafstack
