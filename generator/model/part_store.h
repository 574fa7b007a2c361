// Solids that a process keeps from one model to the next: what an edit does not touch is not built
// again.
//
// Property (tests/model/part_store_test.cpp): S1 a model built with a store equals the one built
// without, to the last bit of every figure.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

#include "generator/geometry/bounds.h"
#include "generator/geometry/mesh/mesh.h"
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
  bool is_triangles = false;
};

/// By Part::identity. May be used by several threads at once.
class PartStore {
 public:
  /// What is kept of the part, which is now among those in use.
  std::optional<StoredPart> find(const std::string& identity);
  void keep(const std::string& identity, StoredPart part);
  /// A part's triangles as it is turned: a turn's nine figures, row by row. What `make` makes where
  /// none are kept; two threads that ask at once may both make it.
  std::shared_ptr<const TriangleMesh> turned(const std::string& identity,
                                             const std::array<double, 9>& turn,
                                             const std::function<TriangleMesh()>& make);
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
  struct TurnedSlot {
    std::shared_ptr<const TriangleMesh> mesh;
    int used_by = 0;  ///< the same
  };

  mutable std::mutex mutex_;
  std::map<std::string, Slot> slots_;
  std::map<std::pair<std::string, std::array<double, 9>>, TurnedSlot> turned_;
  int model_ = 0;
  std::size_t hits_ = 0, misses_ = 0;
};

}  // namespace leafstack
