#include "generator/model/part_store.h"

#include <utility>

namespace leafstack {

std::optional<StoredPart> PartStore::find(const std::string& identity) {
  const std::lock_guard lock(mutex_);
  const auto found = slots_.find(identity);
  if (found == slots_.end()) {
    ++misses_;
    return std::nullopt;
  }
  ++hits_;
  found->second.used_by = model_;
  return found->second.part;
}

void PartStore::keep(const std::string& identity, StoredPart part) {
  const std::lock_guard lock(mutex_);
  slots_[identity] = {std::move(part), model_};
}

std::shared_ptr<const TriangleMesh> PartStore::turned(const std::string& identity,
                                                      const std::array<double, 9>& turn,
                                                      const std::function<TriangleMesh()>& make) {
  const std::pair key(identity, turn);
  {
    const std::lock_guard lock(mutex_);
    const auto found = turned_.find(key);
    if (found != turned_.end()) {
      found->second.used_by = model_;
      return found->second.mesh;
    }
  }
  auto made = std::make_shared<const TriangleMesh>(make());
  const std::lock_guard lock(mutex_);
  turned_[key] = {made, model_};
  return made;
}

void PartStore::endModel() {
  const std::lock_guard lock(mutex_);
  ++model_;
  const auto is_unused = [this](const auto& slot) {
    return slot.second.used_by < model_ - kModelsKept;
  };
  std::erase_if(slots_, is_unused);
  std::erase_if(turned_, is_unused);
}

std::size_t PartStore::size() const {
  const std::lock_guard lock(mutex_);
  return slots_.size();
}

}  // namespace leafstack
