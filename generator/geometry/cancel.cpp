#include "generator/geometry/cancel.h"

namespace leafstack {
namespace {

thread_local const std::atomic<bool>* current_flag = nullptr;

}  // namespace

Cancellable::Cancellable(const std::atomic<bool>* flag) : before_(current_flag) {
  current_flag = flag;
}

Cancellable::~Cancellable() {
  current_flag = before_;
}

const std::atomic<bool>* Cancellable::current() {
  return current_flag;
}

void endIfCancelled() {
  if (current_flag != nullptr && current_flag->load(std::memory_order_relaxed)) {
    throw Cancelled{};
  }
}

}  // namespace leafstack
