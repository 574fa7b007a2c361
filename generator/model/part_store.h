// Solids that a process keeps from one model to the next: what an edit does not touch is not built
// again.
//
// Property (tests/model/part_store_test.cpp): S1 a model built with a store equals the one built
// without, to the last bit of every figure.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <cstddef>
#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "generator/geometry/bounds.h"
#include "generator/model/model.h"

namespace leafstack {

/// What is kept of a part: the solid, and what was measured of it.
struct StoredPart {
  TopoDS_Shape solid, open_solid;
  std::optional<AdjustedSpace> reach;
  Bounds bounds;
  double volume_mm3 = 0;
  std::array<double, 3> centroid_mm{};
  double area_mm2 = 0;  ///< 0 until it was asked for
  int face_count = 0;   ///< the same
};

/// By Part::identity. May be used by several threads at once.
class PartStore {
 public:
  /// What is kept of the part, which is now among those in use.
  std::optional<StoredPart> find(const std::string& identity);
  void keep(const std::string& identity, StoredPart part);
  /// Ends a model: what none of the last kModelsKept models used is forgotten.
  void endModel();

  std::size_t size() const;
  /// Of find() since the store was made: answered, and not.
  std::size_t hits() const { return hits_; }
  std::size_t misses() const { return misses_; }

  /// An edit and its undoing, and some edits in between.
  static constexpr int kModelsKept = 8;

 private:
  struct Slot {
    StoredPart part;
    int used_by = 0;  ///< number of the model that used it last
  };

  mutable std::mutex mutex_;
  std::map<std::string, Slot> slots_;
  int model_ = 0;
  std::size_t hits_ = 0, misses_ = 0;
};

}  // namespace leafstack
