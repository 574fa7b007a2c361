// What a process keeps from one clash check to the next, found again only by all that it follows
// from, bit by bit.
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "generator/clash/placed/exact.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/moving/relative_motion.h"

namespace leafstack {

/// All that something follows from, bit by bit.
class ExactKey {
 public:
  ExactKey& add(double number);
  ExactKey& add(const std::string& text);
  ExactKey& add(const Vec3& point);
  ExactKey& add(const Bounds& box);
  ExactKey& add(const Placement& place);
  const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

/// Values by key. What the last kChecksKept checks did not use is forgotten. May be used by several
/// threads at once.
template <class Value>
class Kept {
 public:
  /// An edit and its undoing, and some edits in between.
  static constexpr int kChecksKept = 8;

  /// Null where there is none.
  std::shared_ptr<const Value> find(const std::string& key) {
    const std::lock_guard lock(mutex_);
    const auto found = slots_.find(key);
    ++(found == slots_.end() ? misses_ : hits_);
    if (found == slots_.end()) {
      return nullptr;
    }
    found->second.used_by = check_;
    return found->second.value;
  }
  std::shared_ptr<const Value> keep(const std::string& key, Value value) {
    auto kept = std::make_shared<const Value>(std::move(value));
    const std::lock_guard lock(mutex_);
    slots_[key] = {kept, check_};
    return kept;
  }
  void endCheck() {
    const std::lock_guard lock(mutex_);
    ++check_;
    std::erase_if(slots_,
                  [this](const auto& slot) { return slot.second.used_by < check_ - kChecksKept; });
  }
  /// Of find() since it was made: answered, and not.
  std::size_t hits() const { return hits_; }
  std::size_t misses() const { return misses_; }

 private:
  struct Slot {
    std::shared_ptr<const Value> value;
    int used_by = 0;
  };

  std::mutex mutex_;
  std::map<std::string, Slot> slots_;
  int check_ = 0;
  std::size_t hits_ = 0, misses_ = 0;
};

/// Of parts by Part::identity: meshes, the same drawn in, and what two of them share as they stand.
struct ShapeStore {
  Kept<TriangleMesh> meshes;
  Kept<HullTree> thinner;
  Kept<SharedSolid> shared;

  /// Ends a check.
  void endCheck();
};

}  // namespace leafstack
