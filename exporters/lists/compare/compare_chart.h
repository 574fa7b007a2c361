// A sweep as a picture: the room that every arrangement needs against the swept value.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "generator/compare/sweep.h"

namespace leafstack {

/// Arrangements of as many panels that need the same room at every value.
struct RoomCurve {
  std::vector<ArrangementChoice> choices;
  std::vector<double> room_mm;  ///< negative where they cannot be laid out
};

/// Why an axis cannot be drawn along; empty where it can: two or more rising numbers.
std::string chartProblem(const SweepAxis& axis);

/// Whether `svg` is a chart as RoomChart::svg() wrote it, not a byte changed since.
bool isUnchangedChart(std::string_view svg);

/// Collects a sweep over one axis of numbers, then draws it.
class RoomChart {
 public:
  /// `pointer` names the axis below; of sites along an axis without chartProblem().
  explicit RoomChart(std::string pointer) : pointer_(std::move(pointer)) {}

  void add(const SweptSite& site);
  /// SVG 1.1, 1200 wide or as wide as its labels take; nothing loaded from elsewhere. One curve for
  /// all arrangements that need the same room everywhere; where one cannot be laid out its curve
  /// breaks. The room given is drawn where there is one. Ends with the hash of all before it.
  std::string svg() const;

 private:
  struct Series {
    ArrangementChoice choice;
    std::vector<double> room_mm;  ///< negative where it cannot be laid out
  };

  std::vector<RoomCurve> curvesOf() const;

  std::string pointer_;
  std::vector<double> values_;
  std::vector<double> given_mm_;  ///< negative where none is given
  std::vector<Series> series_;
};

}  // namespace leafstack
