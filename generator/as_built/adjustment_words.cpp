#include "generator/as_built/adjustment_words.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"

namespace leafstack {
namespace {

/// Coarse pitches of ISO 261 (ISO 262's choice), from memory; a thread between them has the next
/// smaller one's.
double pitchOf(double thread_mm) {
  constexpr std::array<std::array<double, 2>, 12> kPitches = {{{3, 0.5},
                                                               {4, 0.7},
                                                               {5, 0.8},
                                                               {6, 1},
                                                               {8, 1.25},
                                                               {10, 1.5},
                                                               {12, 1.75},
                                                               {14, 2},
                                                               {16, 2},
                                                               {20, 2.5},
                                                               {24, 3},
                                                               {30, 3.5}}};
  double pitch = kPitches.front()[1];
  for (const auto& [thread, own] : kPitches) {
    pitch = thread <= thread_mm + kLengthEqualMm ? own : pitch;
  }
  return pitch;
}

std::string mm(double value) {
  return shown(std::abs(value), 1) + " mm";
}

/// "towards the latch post" or away from it.
std::string alongWord(double by) {
  return by < 0 ? "towards the latch-side post" : "away from the latch-side post";
}

class Telling {
 public:
  Telling(const BuiltGate& gate, Corrected& to) : gate_(gate), to_(to), set_(to.set) {}

  void run() {
    to_.adjustments.clear();
    remade();
    tracks();
    upright();
    along();
    ropes();
  }

 private:
  void add(std::string what, std::string where, std::string text, double by,
           bool is_remade = false) {
    to_.adjustments.push_back({std::move(what), std::move(where), std::move(text), by, is_remade});
  }

  std::string markOf(PartKind kind, int panel) const {
    for (const Instance& one : to_.model.instances) {
      const Part& part = to_.model.parts[one.part];
      if (part.kind == kind && one.panel == panel) {
        return part.mark;
      }
    }
    return "";
  }

  void remade() {
    for (int k = 1; k <= gate_.drawn->panel_count; ++k) {
      const PanelSetting& to = set_.panel(k);
      const std::string panel = "panel " + std::to_string(k);
      if (to.shorten_mm > 0) {
        const std::string rail = markOf(PartKind::kBottomRail, k);
        add("bottom rail " + rail, panel + ", trailing end",
            "shorten " + rail + " (" + panel + ") by " + mm(to.shorten_mm) +
                " at the trailing end, with all that is fixed there moved along",
            -to.shorten_mm, true);
      }
      if (to.rail_down_mm != 0) {
        const std::string rail = markOf(PartKind::kGuideRail, k);
        add("guide rail " + rail, panel + ", rear face",
            "weld " + rail + " (" + panel + ") " + mm(to.rail_down_mm) +
                (to.rail_down_mm > 0 ? " lower" : " higher"),
            -to.rail_down_mm, true);
      }
    }
  }

  void tracks() {
    for (int k = 1; k <= gate_.drawn->panel_count; ++k) {
      const PanelSetting& to = set_.panel(k);
      const std::string track = "track " + std::to_string(k);
      if (to.is_relaid) {
        for (const auto& [x, z] : gate_.off->panel(k).track) {
          const double off = to.raise_mm - z;
          to_.shims.push_back({k, x, z, std::max(0.0, off), std::max(0.0, -off)});
        }
        add(track, "at every anchor",
            "lay " + track + " anew on shims, straight as drawn" +
                (to.raise_mm == 0
                     ? ""
                     : ", " + mm(to.raise_mm) + (to.raise_mm > 0 ? " higher" : " lower")) +
                ": thicknesses in tables/shims.csv",
            to.raise_mm);
      } else if (to.raise_mm != 0) {
        const auto& measured = gate_.off->panel(k).track;
        if (measured.empty()) {
          to_.shims.push_back({k, 0, 0, to.raise_mm, 0});
        }
        for (const auto& [x, z] : measured) {
          to_.shims.push_back({k, x, z, to.raise_mm, 0});
        }
        add(track, "under all of it", "raise " + track + " by shims of " + mm(to.raise_mm),
            to.raise_mm);
      }
    }
  }

  void upright() {
    if (set_.guide_up_mm > 0) {
      add("fixed guide", "X " + shown(gate_.drawn->guide_mm + gate_.off->guide_mm, 0),
          "raise what carries the fixed guide's channel by shims of " + mm(set_.guide_up_mm),
          set_.guide_up_mm);
    }
    if (set_.pinion_up_mm != 0) {
      add("motor", "X " + shown(gate_.drawn->pinion_mm + gate_.off->pinion_mm, 0),
          (set_.pinion_up_mm > 0 ? "raise the motor by " : "lower the motor by ") +
              mm(set_.pinion_up_mm) + ", with its own base or packers, on both sides alike",
          set_.pinion_up_mm);
    }
    if (set_.pinion_along_mm != 0) {
      add("motor", "X " + shown(gate_.drawn->pinion_mm + set_.pinion_along_mm, 1),
          "set the motor " + mm(set_.pinion_along_mm) + " " + alongWord(set_.pinion_along_mm) +
              ", before its anchors are drilled",
          set_.pinion_along_mm);
    }
    if (set_.rack_up_mm != 0) {
      add("rack", "panel 1, rear face",
          std::string("set the rack ") + mm(set_.rack_up_mm) +
              (set_.rack_up_mm > 0 ? " higher" : " lower") + " in its slots",
          set_.rack_up_mm);
    }
    if (set_.catch_up_mm > 0) {
      add("catch post", "X 0", "raise the catch post by shims of " + mm(set_.catch_up_mm),
          set_.catch_up_mm);
    }
  }

  void along() {
    if (set_.catch_mm != 0) {
      add("catch post", "X 0",
          "set the catch post with its receivers " + mm(set_.catch_mm) + " " +
              alongWord(set_.catch_mm),
          set_.catch_mm);
    }
    for (int k = 1; k <= gate_.drawn->panel_count; ++k) {
      const PanelSetting& to = set_.panel(k);
      if (to.stop_mm != 0) {
        const double x = gate_.drawn->panel(k).trailing_open_mm;
        add("end stop " + std::to_string(k), "X " + shown(x, 0),
            "set the end stop of track " + std::to_string(k) + " " + mm(to.stop_mm) + " " +
                alongWord(to.stop_mm),
            to.stop_mm);
      }
      if (to.along_mm != 0) {
        const std::string panel = "panel " + std::to_string(k);
        const double x = gate_.drawn->panel(k).leading_closed_mm + to.along_mm;
        add(panel, "leading end, gate closed",
            k == 1 ? "let the drive stop " + panel + " " + mm(to.along_mm) + " " +
                         alongWord(to.along_mm) + ", its leading end at X " + shown(x, 1)
                   : "set " + panel + " " + mm(to.along_mm) + " " + alongWord(to.along_mm) +
                         " by its ropes, its leading end at X " + shown(x, 1),
            to.along_mm);
      }
    }
  }

  void ropes() {
    const Terminal terminal = terminalOf(*gate_.spec);
    const double pitch = pitchOf(terminal.thread_mm);
    for (const RopeRun& run : to_.model.ropes) {
      RopeSetting rope;
      rope.mark = run.mark;
      rope.carrier = run.carrier;
      rope.opening = run.opening;
      rope.longer_mm = ropeLongerMm(gate_, set_, run.carrier, run.opening);
      rope.range_mm = terminal.adjust_mm;
      rope.thread_pitch_mm = pitch;
      rope.turns = rope.longer_mm / 2 / pitch;
      if (std::abs(rope.longer_mm) >= kLengthEqualMm) {
        add("rope " + rope.mark,
            std::string(run.opening ? "opening" : "closing") + " rope of panel " +
                std::to_string(run.carrier),
            (rope.longer_mm > 0 ? "let out " : "draw in ") + mm(rope.longer_mm) + ": " +
                shown(std::abs(rope.turns), 1) + " turns of each of its two nuts" +
                (rope.isWithinRange() ? "" : ", which its terminals do not have"),
            rope.longer_mm);
      }
      to_.ropes.push_back(rope);
    }
  }

  const BuiltGate& gate_;
  Corrected& to_;
  const BuiltSettings& set_;
};

}  // namespace

bool RopeSetting::isWithinRange() const {
  return std::abs(longer_mm) <= range_mm + kLengthEqualMm;
}

void tellSettings(const BuiltGate& gate, Corrected& corrected) {
  Telling(gate, corrected).run();
}

std::string unmetInWords(const BuiltRule& rule, const BuiltSettings& set) {
  const double value = rule.value_mm(set);
  return rule.what + " comes to " + shown(value, 1) + " mm, " + shown(rule.shortMm(set), 1) +
         " mm " +
         (value < rule.least_mm ? "less than the least, " + shown(rule.least_mm, 1)
                                : "more than the most, " + shown(rule.most_mm, 1));
}

}  // namespace leafstack
