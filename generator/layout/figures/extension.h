// What panel 1's bottom rail must extend past the opening for, when closed: one row a demand. The
// greatest demand fixes the extension, and with it the room beside the opening: that one binds.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace leafstack {

enum class Binding { kRack, kGuide, kRopeGround, kRopeBracket, kReturn };

/// A demand's names, what it is, and what makes it smaller.
struct ExtensionRule {
  Binding binding{};
  std::string_view id;       ///< in report.json and tables: "rope-ground"
  std::string_view name;     ///< in text: "ground rope"
  std::string_view meaning;  ///< continues the name: "whose bracket must clear both pulleys"
  std::string_view change;   ///< what shortens it
  std::string_view change_on_post = {};  ///< what else does where the guide stands on a post
};

inline constexpr std::array kExtensionRules = {
    ExtensionRule{Binding::kRack, "rack", "rack",
                  "which must reach the pinion at both ends of the travel",
                  "a narrow motor is shorter and needs less overrun",
                  "an overhead bracket or reach-over arm moves the motor to the driveway's edge"},
    ExtensionRule{Binding::kGuide, "guide", "guide", "which panel 1 must reach when closed",
                  "a narrower channel or less margin beside it shortens it"},
    ExtensionRule{Binding::kRopeGround, "rope-ground", "ground rope",
                  "whose bracket must clear both pulleys",
                  "a smaller inset or clearance shortens it"},
    ExtensionRule{Binding::kRopeBracket, "rope-bracket", "rope bracket",
                  "which, on panel 2, must clear the pulleys",
                  "less overlap, inset or clearance shortens it"},
    ExtensionRule{Binding::kReturn, "return", "return",
                  "which must pass behind the other panels and their brackets",
                  "a narrower stile, less overlap or no return shortens it"}};

inline constexpr std::size_t kExtensionRuleCount = kExtensionRules.size();

namespace extension_detail {
constexpr bool inOrder() {
  for (std::size_t i = 0; i < kExtensionRuleCount; ++i) {
    if (static_cast<std::size_t>(kExtensionRules[i].binding) != i) {
      return false;
    }
  }
  return true;
}
}  // namespace extension_detail
static_assert(extension_detail::inOrder(), "one row a demand, in the order of the enumeration");

constexpr const ExtensionRule& ruleOf(Binding binding) {
  return kExtensionRules[static_cast<std::size_t>(binding)];
}

/// One demand on the extension, and how much the chosen one exceeds it.
struct ExtensionDemand {
  bool applies = false;  ///< ropes and return do not apply to a single panel
  double required_mm = 0;
  double slack_mm = 0;
};

/// All of a gate's, in the order of the rules.
class ExtensionDemands {
 public:
  ExtensionDemand& operator[](Binding binding) { return all_[static_cast<std::size_t>(binding)]; }
  const ExtensionDemand& operator[](Binding binding) const {
    return all_[static_cast<std::size_t>(binding)];
  }
  auto begin() { return all_.begin(); }
  auto end() { return all_.end(); }
  auto begin() const { return all_.begin(); }
  auto end() const { return all_.end(); }

 private:
  std::array<ExtensionDemand, kExtensionRuleCount> all_{};
};

}  // namespace leafstack
