// Which pair of places on a few parts is a row of the shelf.
#pragma once

#include <optional>
#include <vector>

#include "generator/shelf/drawn_size.h"
#include "generator/shelf/measured_gate.h"

namespace leafstack {

/// Parts of one item that belong together, at a position of the drive.
struct Cluster {
  double drive_mm = 0;
  std::vector<int> own, neighbours;  ///< instances
  Vec3 anchor{};                     ///< middle of the smallest of its own
  double reach_mm = 0;               ///< how far from there lengths are looked for
  bool takes_shares = false;         ///< a half or twice a row will do
};

/// A row found, and how plain it is to see there: less is better.
struct FoundSize {
  DrawnSize size;
  double cost = 0;
};

/// All that can be measured on the cluster, gathered once for any number of rows.
class SizeSearch {
 public:
  SizeSearch(const GateAndHairs& gates, const Cluster& cluster);
  std::optional<FoundSize> find(const Parameter& row) const;

 private:
  struct Place {
    int instance = 0;
    std::size_t index = 0;  ///< of the instance's marks
    bool is_own = false;
    const Mark* mark = nullptr;
    double at_mm = 0;  ///< at the position
    Vec3 shift{};
  };
  struct Wish;

  void findDistance(const Wish& wish, std::optional<FoundSize>& best) const;
  void findDiameter(const Wish& wish, std::optional<FoundSize>& best) const;
  /// One that slants, as an angle's legs do.
  void findEdge(const Wish& wish, std::optional<FoundSize>& best) const;
  void findAngle(const Wish& wish, std::optional<FoundSize>& best) const;
  /// Of two marks in another gate; NaN where that has other marks.
  double apartIn(const MeasuredGate& gate, const Place& a, const Place& b) const;
  bool isTrue(const Wish& wish, const Place& a, const Place& b) const;
  /// One of an instance's diameters, angles or slanting edges.
  struct Measure {
    int instance = 0;
    std::size_t index = 0;
  };
  template <class One>
  bool isTrueOf(const Wish& wish, const Measure& which, std::vector<One> Lengths::*all,
                double One::*size) const;
  void judge(const Wish& wish, const Place& a, const Place& b,
             std::optional<FoundSize>& best) const;

  const GateAndHairs& gates_;
  const Cluster& cluster_;
  std::vector<int> instances_;
  std::vector<Place> places_[3];  ///< by axis, ascending
};

}  // namespace leafstack
