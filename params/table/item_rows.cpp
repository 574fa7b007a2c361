// What each item of the shelf is called, who supplies it, what it weighs and what it may carry.
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

using enum Kind;

constexpr double kLongestWord = 120;
constexpr const char* kYours = "the supplier's sheet; none is assumed";
constexpr Limits kMass_kg = {0.001, 1000};
constexpr Limits kRating_N = {1, 1'000'000};

// A pointer has to be one text at compile time: hence macros, and only here.
// clang-format off
#define LEAFSTACK_ITEM(GROUP, WORDS)                                                                \
  {"/hardware/" #GROUP "/item", kText, "\"\"", "", {0, kLongestWord}, {},                           \
   "Your own reference of the " WORDS ", for lists", kYours,                                        \
   [](GateSpec& s) -> Slot { return &s.hardware.GROUP.bought.item; }},                              \
  {"/hardware/" #GROUP "/supplier", kText, "\"\"", "", {0, kLongestWord}, {},                       \
   "Who supplies it", kYours,                                                                       \
   [](GateSpec& s) -> Slot { return &s.hardware.GROUP.bought.supplier; }},                          \
  {"/hardware/" #GROUP "/finish", kText, "\"\"", "", {0, kLongestWord}, {},                         \
   "Its finish, in words", kYours,                                                                  \
   [](GateSpec& s) -> Slot { return &s.hardware.GROUP.bought.finish; }}
#define LEAFSTACK_MASS(GROUP, WORDS)                                                                \
  {"/hardware/" #GROUP "/mass_kg", kAutoNumber, "\"auto\"", "kg", kMass_kg, {},                     \
   WORDS "; auto: of the solid that is drawn", kYours,                                              \
   [](GateSpec& s) -> Slot { return &s.hardware.GROUP.bought.mass_kg; }}
#define LEAFSTACK_RATING(GROUP, WORDS)                                                              \
  {"/hardware/" #GROUP "/rating_N", kAutoNumber, "\"auto\"", "N", kRating_N, {},                    \
   WORDS "; auto: not known", kYours,                                                               \
   [](GateSpec& s) -> Slot { return &s.hardware.GROUP.bought.rating_N; }}

constexpr Parameter kItemRows[] = {
  LEAFSTACK_ITEM(wheel, "wheel"),
  LEAFSTACK_MASS(wheel, "Mass of one wheel, without its axle"),
  LEAFSTACK_RATING(wheel, "Load that one wheel may carry"),
  LEAFSTACK_ITEM(track, "track"),
  LEAFSTACK_ITEM(pulley, "pulley"),
  LEAFSTACK_MASS(pulley, "Mass of one pulley, without its bolt"),
  LEAFSTACK_RATING(pulley, "Load that one pulley may carry: the pull of both its strands"),
  LEAFSTACK_ITEM(terminal, "rope terminal"),
  LEAFSTACK_MASS(terminal, "Mass of one"),
  LEAFSTACK_RATING(terminal, "Pull that one may hold, swaged to its rope"),
  LEAFSTACK_ITEM(bracket, "rope bracket"),
  LEAFSTACK_RATING(bracket, "Pull that one may hold"),
  LEAFSTACK_ITEM(guide, "guide block"),
  LEAFSTACK_MASS(guide, "Mass of one block"),
  LEAFSTACK_RATING(guide, "Load that one block may carry, across the track"),
  LEAFSTACK_ITEM(rack, "rack"),
  LEAFSTACK_MASS(rack, "Mass of one piece of piece_mm; shorter ones by their length"),
  LEAFSTACK_RATING(rack, "Push of the pinion that it may take"),
  LEAFSTACK_ITEM(motor, "motor"),
  LEAFSTACK_MASS(motor, "Mass of the motor"),
  LEAFSTACK_ITEM(stop, "end stop"),
  LEAFSTACK_ITEM(post, "guide post"),
};
#undef LEAFSTACK_ITEM
#undef LEAFSTACK_MASS
#undef LEAFSTACK_RATING
// clang-format on

struct ItemOf {
  std::string_view group;
  const BoughtItem& (*item)(const HardwareSpec&);
};
constexpr ItemOf kItems[] = {
    {"wheel", [](const HardwareSpec& s) -> const BoughtItem& { return s.wheel.bought; }},
    {"track", [](const HardwareSpec& s) -> const BoughtItem& { return s.track.bought; }},
    {"pulley", [](const HardwareSpec& s) -> const BoughtItem& { return s.pulley.bought; }},
    {"terminal", [](const HardwareSpec& s) -> const BoughtItem& { return s.terminal.bought; }},
    {"bracket", [](const HardwareSpec& s) -> const BoughtItem& { return s.bracket.bought; }},
    {"guide", [](const HardwareSpec& s) -> const BoughtItem& { return s.guide.bought; }},
    {"rack", [](const HardwareSpec& s) -> const BoughtItem& { return s.rack.bought; }},
    {"motor", [](const HardwareSpec& s) -> const BoughtItem& { return s.motor.bought; }},
    {"stop", [](const HardwareSpec& s) -> const BoughtItem& { return s.stop.bought; }},
    {"post", [](const HardwareSpec& s) -> const BoughtItem& { return s.post.bought; }},
};

}  // namespace

std::span<const Parameter> itemRows() {
  return kItemRows;
}

const BoughtItem* boughtItem(const HardwareSpec& shelf, std::string_view group) {
  for (const ItemOf& one : kItems) {
    if (one.group == group) {
      return &one.item(shelf);
    }
  }
  return nullptr;
}

}  // namespace leafstack
