// A sweep as a picture: the room that every arrangement needs against the swept value.
#pragma once

#include <string>
#include <vector>

#include "generator/compare/sweep.h"

namespace leafstack {

/// Arrangements of as many panels that need the same room at every value.
struct RoomCurve {
  std::vector<ArrangementChoice> choices;
  std::vector<double> room_mm;  ///< negative where they cannot be laid out
};

/// Collects a sweep over one axis of numbers, then draws it.
class RoomChart {
 public:
  /// `pointer` names the axis below.
  explicit RoomChart(std::string pointer) : pointer_(std::move(pointer)) {}

  void add(const SweptSite& site);
  /// SVG 1.1, 1200 wide; nothing loaded from elsewhere. One curve for all arrangements that need
  /// the same room everywhere; where one cannot be laid out its curve breaks. The room given is
  /// drawn where there is one. Throws ExportError for fewer than two values or values that are no
  /// numbers.
  std::string svg() const;

 private:
  struct Series {
    ArrangementChoice choice;
    std::vector<double> room_mm;  ///< negative where it cannot be laid out
  };

  std::vector<RoomCurve> curvesOf() const;

  std::string pointer_;
  std::vector<std::string> values_;
  std::vector<double> given_mm_;  ///< negative where none is given
  std::vector<Series> series_;
};

}  // namespace leafstack
