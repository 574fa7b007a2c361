// One value of the gate file <-> its place in the specification, as the table row says.
#pragma once

#include <array>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/spec/gate_spec.h"
#include "params/table/table.h"

namespace leafstack {

/// What stands for a value that is to be computed.
inline constexpr const char* kAuto = "auto";

/// Tracks that surveyed lines may be given for, one each.
inline constexpr std::size_t kMostTracks = 4;

/// A list of surveyed lines rather than one line of points.
inline bool isListOfSurveys(const JsonNode& value) {
  const auto& first = value.children;
  return !first.empty() && !first.front().children.empty() &&
         first.front().children.front().kind == JsonKind::kArray;
}

/// Checks the value against its row and puts it into the specification. A bad value is reported
/// and false returned. A kMotor given as an object only gets its name, "custom".
bool assign(const Parameter& parameter, const JsonNode& value, GateSpec& spec, Reporter& reporter);

/// Puts the row's default into the specification.
void assignDefault(const Parameter& parameter, GateSpec& spec);
/// The same with another default of the row's.
void assignDefault(const Parameter& parameter, GateSpec& spec, const char* json);

/// The value now in force, as the gate file would give it ("auto" where it is to be computed).
nlohmann::ordered_json valueOf(const Parameter& parameter, GateSpec& spec);

/// A number as JSON: whole ones without a decimal point.
nlohmann::ordered_json jsonNumber(double value);

/// Which groups of the shelf: "wheel" is /hardware/wheel.
enum class ShelfGroups {
  kSite,  ///< of what stands on the footing, catches and keeps panels: kSiteGroups
  kOther
};
inline constexpr std::array<std::string_view, 4> kSiteGroups = {"stop", "post", "keeper",
                                                                "receiver"};

/// All sizes of these groups, exactly, as one word, for a part's identity: equal for equal sizes,
/// and else different as surely as a hash of 128 bits can tell. Masses and ratings are no sizes.
std::string shelfWord(GateSpec spec, ShelfGroups groups);

}  // namespace leafstack
