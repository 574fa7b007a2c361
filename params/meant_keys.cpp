#include "params/meant_keys.h"

#include <string>

#include "params/reading/text.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

/// Of the top level, the site and the gate: elsewhere the word is said of something smaller.
constexpr std::string_view kOuter = "outer";

struct Meant {
  std::string_view word;   ///< bare: lower case, without separators and unit
  std::string_view group;  ///< where it is said; "": in any group
  std::string_view pointer;
};

// Everyday words; common practice, no source.
constexpr Meant kMeant[] = {
    {"width", kOuter, "/site/opening_mm"},
    {"length", kOuter, "/site/opening_mm"},
    {"span", kOuter, "/site/opening_mm"},
    {"gatewidth", "", "/site/opening_mm"},
    {"clearwidth", "", "/site/opening_mm"},
    {"clearopening", "", "/site/opening_mm"},
    {"openingwidth", "", "/site/opening_mm"},
    {"passage", "", "/site/opening_mm"},
    {"entrance", kOuter, "/site/opening_mm"},
    {"driveway", kOuter, "/site/opening_mm"},
    {"drivewaywidth", "", "/site/opening_mm"},
    {"space", kOuter, "/site/room_mm"},
    {"sideroom", "", "/site/room_mm"},
    {"runback", "", "/site/room_mm"},
    {"parking", "", "/site/room_mm"},
    {"parkingroom", "", "/site/room_mm"},
    {"available", kOuter, "/site/room_mm"},
    {"hand", kOuter, "/site/opens"},
    {"direction", kOuter, "/site/opens"},
    {"opensto", "", "/site/opens"},
    {"side", kOuter, "/site/opens"},
    {"slope", "", "/site/grade"},
    {"gradient", "", "/site/grade"},
    {"incline", "", "/site/grade"},
    {"fall", kOuter, "/site/grade"},
    {"crossfall", "", "/site/cross_grade"},
    {"crossslope", "", "/site/cross_grade"},
    {"survey", kOuter, "/site/track_survey_mm"},
    {"levels", kOuter, "/site/track_survey_mm"},
    {"leaves", "", "/gate/panels"},
    {"leafs", "", "/gate/panels"},
    {"leafcount", "", "/gate/panels"},
    {"panelcount", "", "/gate/panels"},
    {"wings", "", "/gate/panels"},
    {"height", kOuter, "/gate/height_mm"},
    {"gateheight", "", "/gate/height_mm"},
    {"clearance", "/gate", "/gate/ground_clearance_mm"},
    {"groundgap", "", "/gate/ground_clearance_mm"},
    {"lap", "", "/gate/overlap_mm"},
    {"frame", kOuter, "/gate/bottom_rail"},
    {"profile", kOuter, "/gate/bottom_rail"},
    {"bottomtube", "", "/gate/bottom_rail"},
    {"toptube", "", "/gate/top_rail"},
    {"upright", kOuter, "/gate/stile"},
    {"bars", "", "/gate/infill/kind"},
    {"pickets", "", "/gate/infill/kind"},
    {"slats", "", "/gate/infill/kind"},
    {"filling", "", "/gate/infill/kind"},
    {"spacing", "", "/gate/infill/gap_mm"},
    {"picketspacing", "", "/gate/infill/gap_mm"},
    {"picketgap", "", "/gate/infill/gap_mm"},
    {"bargap", "", "/gate/infill/gap_mm"},
    {"boards", "", "/gate/cladding/kind"},
    {"battens", "", "/gate/cladding/kind"},
    {"timber", kOuter, "/gate/cladding/kind"},
    {"wood", kOuter, "/gate/cladding/kind"},
    {"cable", "", "/ropes"},
    {"cables", "", "/ropes"},
    {"rope", "", "/ropes"},
    {"wirerope", "", "/ropes"},
    {"motorspeed", "", "/drive/speed_mm_s"},
    {"speed", "", "/drive/speed_mm_s"},
    {"operator", "", "/drive/motor"},
    {"opener", "", "/drive/motor"},
    {"gearmotor", "", "/drive/motor"},
    {"wind", "", "/checks/wind_speed_m_s"},
    {"windspeed", "", "/checks/wind_speed_m_s"},
    {"windpressure", "", "/checks/wind_Pa"},
    {"windload", "", "/checks/wind_Pa"},
    {"tolerance", "", "/checks/build_tolerance_mm"},
    {"soil", "", "/footing/soil_kPa"},
    {"foundation", "", "/footing"},
    {"footings", "", "/footing"},
    {"sawcut", "", "/shop/kerf_mm"},
    {"coating", "", "/shop/finish"},
    {"galvanised", "", "/shop/finish"},
    {"galvanized", "", "/shop/finish"},
    {"paper", "", "/drawings/sheet"},
    {"papersize", "", "/drawings/sheet"},
    {"customer", "", "/job/client"},
    {"owner", "", "/job/client"},
    {"name", kOuter, "/job/title"},
    {"project", "", "/job/title"},
    {"author", "", "/job/drawn_by"},
    {"order", kOuter, "/job/number"},
    {"ordernumber", "", "/job/number"},
    {"jobnumber", "", "/job/number"},
};

/// A key of this name but for its unit in one of the gate's groups; null for two of them or none.
const Parameter* elsewhere(const std::string& core) {
  const Parameter* found = nullptr;
  for (const Parameter& parameter : parameterTable()) {
    const std::string_view pointer = parameter.pointer;
    const bool is_inner = parentOf(parameter).rfind('/') != std::string_view::npos &&
                          parentOf(parameter).rfind('/') > 0;
    if (is_inner || pointer.starts_with("/hardware/") || nameCore(keyOf(parameter)) != core) {
      continue;
    }
    if (found != nullptr) {
      return nullptr;
    }
    found = &parameter;
  }
  return found;
}

}  // namespace

const Parameter* meantBy(std::string_view group, std::string_view key) {
  const std::string core = nameCore(key);
  if (group.starts_with("/hardware")) {
    return nullptr;  // its words mean its own sizes
  }
  for (const Parameter* sibling : childrenOf(group)) {
    if (nameCore(keyOf(*sibling)) == core) {
      return nullptr;  // it lacks its unit only
    }
  }
  const bool is_outer = group.empty() || group == "/site" || group == "/gate";
  for (const Meant& one : kMeant) {
    const bool is_said = one.group == kOuter ? is_outer : one.group.empty() || one.group == group;
    if (one.word == core && is_said) {
      return findParameter(one.pointer);
    }
  }
  return elsewhere(core);
}

std::vector<std::string> keysOf(std::string_view group) {
  std::vector<std::string> out;
  for (const Parameter* child : childrenOf(group)) {
    out.emplace_back(keyOf(*child));
  }
  return out;
}

std::vector<std::string> groupsWithKey(std::string_view key) {
  std::vector<std::string> out;
  for (const Parameter& parameter : parameterTable()) {
    if (keyOf(parameter) == key) {
      out.emplace_back(parentOf(parameter).empty() ? "the top level" : parentOf(parameter));
    }
  }
  return out;
}

}  // namespace leafstack
