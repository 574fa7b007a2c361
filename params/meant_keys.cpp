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
    {"tube", kOuter, "/gate/bottom_rail"},
    {"rail", kOuter, "/gate/bottom_rail"},
    {"bottomtube", "", "/gate/bottom_rail"},
    {"toptube", "", "/gate/top_rail"},
    {"upright", kOuter, "/gate/stile"},
    {"bars", "", "/gate/infill/kind"},
    {"pickets", "", "/gate/infill/kind"},
    {"slats", "", "/gate/infill/kind"},
    {"filling", "", "/gate/infill/kind"},
    {"spacing", "", "/gate/infill/gap_mm"},
    {"gap", kOuter, "/gate/infill/gap_mm"},
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
    {"wheels", "", "/hardware/wheel"},
    {"rollers", "", "/hardware/wheel"},
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
    {"name", "/job", "/job/title"},
    {"project", "", "/job/title"},
    {"author", "", "/job/drawn_by"},
    {"order", kOuter, "/job/number"},
    {"ordernumber", "", "/job/number"},
    {"jobnumber", "", "/job/number"},
};

/// What people give that is no input: what to do instead, or what it follows from.
struct NoInput {
  std::string_view word;  ///< bare, as above
  std::string_view says;
};
constexpr NoInput kNoInputs[] = {
    {"colour", "a colour is no input; /shop/finish says how the metal is coated"},
    {"color", "a colour is no input; /shop/finish says how the metal is coated"},
    {"ral", "a colour is no input; /shop/finish says how the metal is coated"},
    {"weight", "the weight is no input: it follows from the sections and the infill"},
    {"mass", "the weight is no input: it follows from the sections and the infill"},
    {"style", "a style is no input; /gate/infill/kind and /gate/cladding/kind say how it looks"},
    {"design", "a style is no input; /gate/infill/kind and /gate/cladding/kind say how it looks"},
    {"power", "power is no input: it follows from /drive/motor/force_N and /drive/speed_mm_s"},
    {"motorpower", "power is no input: it follows from /drive/motor/force_N and /drive/speed_mm_s"},
    {"watt", "power is no input: it follows from /drive/motor/force_N and /drive/speed_mm_s"},
    {"watts", "power is no input: it follows from /drive/motor/force_N and /drive/speed_mm_s"},
    {"price", "prices are no input: --prices of compare and build takes a list of them"},
    {"cost", "prices are no input: --prices of compare and build takes a list of them"},
};

/// A slip of one letter, or two of them swapped, in a word long enough to be known by it.
bool isSlipOf(std::string_view written, std::string_view word) {
  constexpr std::size_t kLeastLetters = 5;
  return word.size() >= kLeastLetters && editDistance(written, word) == 1;
}

/// A key of this name but for its unit in one of the gate's groups; null for two of them or none.
const Parameter* elsewhere(const std::string& core) {
  const Parameter* found = nullptr;
  for (const Parameter& parameter : parameterTable()) {
    const std::string_view pointer = parameter.pointer;
    const bool is_inner = parentOf(parameter).rfind('/') != std::string_view::npos &&
                          parentOf(parameter).rfind('/') > 0;
    if (is_inner || pointer.starts_with("/hardware/") || pointer.starts_with("/as_built/") ||
        nameCore(keyOf(parameter)) != core) {
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
  if (const Parameter* found = elsewhere(core)) {
    return found;
  }
  for (const Parameter* sibling : childrenOf(group)) {
    if (isSlipOf(core, nameCore(keyOf(*sibling)))) {
      return nullptr;  // the group's own words are nearer
    }
  }
  for (const Meant& one : kMeant) {
    if (isSlipOf(core, one.word) &&
        (one.group == kOuter ? is_outer : one.group.empty() || one.group == group)) {
      return findParameter(one.pointer);
    }
  }
  return nullptr;
}

std::string_view noInput(std::string_view key) {
  const std::string core = nameCore(key);
  for (const NoInput& one : kNoInputs) {
    if (one.word == core) {
      return one.says;
    }
  }
  return "";
}

std::string slipOf(std::string_view key, const std::vector<std::string>& names) {
  for (const std::string& name : names) {
    if (isSlipOf(nameCore(key), nameCore(name))) {
      return name;
    }
  }
  return "";
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

Complaint otherKindOf(const JsonNode& root) {
  const auto has = [&](const char* key) { return root.member(key) != nullptr; };
  if (has("leafstack_hardware")) {
    return {"this is a hardware set, not a gate", "",
            "leafstack hardware FILE --check judges it; --hardware FILE takes it for a gate"};
  }
  if (has("verdict") && has("layout")) {
    return {"this is a report that build wrote, not a gate", "",
            "check the gate file it was made of; --against takes a report"};
  }
  if (has("files") && has("version")) {
    return {"this is the list of a folder's files, not a gate", "", "check the gate file"};
  }
  if (has("per_kg") || has("per_item") || has("per_hour")) {
    return {"this is a price list, not a gate", "", "compare GATE --prices FILE takes it"};
  }
  return {};
}

}  // namespace leafstack
