// What was measured on the finished gate and on the slab: the gate file's `as_built`. What is empty
// was not measured, and stays as drawn.
//
// Frame: layout.h's; X from the latch-side post's face, heights from the driveway on the front
// track at X = 0. mm.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace leafstack {

/// What may be measured of a panel, in the order of the rows that read it (panels_built.h). Along
/// the track from the panel's leading end.
enum class PanelMeasure {
  kLength,         ///< of the bottom rail
  kFrame,          ///< of panel 1's frame, where its bottom rail is longer
  kLeadingHeight,  ///< bottom rail's underside to the top, at the end uprights
  kTrailingHeight,
  kRisingDiagonal,  ///< frame's leading lower corner to its trailing upper one, outside
  kFallingDiagonal,
  kBow,            ///< of the panel's middle across the track, from a line over both ends
  kLeadingPulley,  ///< its axis
  kTrailingPulley,
  kFrontBracket,  ///< middle of the bracket at its trailing end
  kStop           ///< X, not along the panel: buffer of the end stop that it meets when open
};
inline constexpr std::size_t kPanelMeasures = 11;

struct BuiltPanel {
  int number = 1;
  std::array<std::optional<double>, kPanelMeasures> measured_mm;
  std::optional<double> uncertainty_mm;  ///< of all of these; else AsBuiltSpec's

  std::optional<double>& of(PanelMeasure what) {
    return measured_mm[static_cast<std::size_t>(what)];
  }
  const std::optional<double>& of(PanelMeasure what) const {
    return measured_mm[static_cast<std::size_t>(what)];
  }
};

struct AsBuiltSpec {
  double uncertainty_mm = 1;  ///< of every measurement, either way
  double clearance_mm = 1;    ///< least that parts must be left once it is built
  double stops_most_mm = 15;  ///< that stops and catch post may be moved along
  double posts_most_mm = 10;  ///< of shims under the base plates of posts
  std::optional<double> opening_mm;
  std::optional<double> guide_mm, guide_top_mm;   ///< X and upper end of the fixed guide's channel
  std::optional<double> pinion_mm, pinion_up_mm;  ///< X and height of the pinion's axis
  std::optional<double> ground_bracket_mm;        ///< X of its middle
  std::optional<double> catch_mm;                 ///< X of the catch post's buffer, open side
  std::optional<double> receiver_top_mm;          ///< upper edge of the top receiver
  std::vector<BuiltPanel> panels;
  /// Heights of the laid tracks, back first, on their upper edge; of one line: all of them. As
  /// deep as the drawn ones lie at X = 0 where they are right.
  std::vector<std::vector<std::pair<double, double>>> tracks_mm;

  /// Null where nothing of it was measured.
  const BuiltPanel* panel(int number) const {
    for (const BuiltPanel& one : panels) {
      if (one.number == number) {
        return &one;
      }
    }
    return nullptr;
  }
  bool isEmpty() const {
    return panels.empty() && tracks_mm.empty() && !opening_mm && !guide_mm && !guide_top_mm &&
           !pinion_mm && !pinion_up_mm && !ground_bracket_mm && !catch_mm && !receiver_top_mm;
  }
};

}  // namespace leafstack
