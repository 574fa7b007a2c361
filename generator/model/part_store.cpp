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

void PartStore::endModel() {
  const std::lock_guard lock(mutex_);
  ++model_;
  std::erase_if(slots_,
                [this](const auto& slot) { return slot.second.used_by < model_ - kModelsKept; });
}

std::size_t PartStore::size() const {
  const std::lock_guard lock(mutex_);
  return slots_.size();
}

}  // namespace leafstack
