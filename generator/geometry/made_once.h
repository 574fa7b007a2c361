// Values that several threads may ask for and one makes.
#pragma once

#include <mutex>
#include <optional>

namespace leafstack {

/// Made by the first who asks, while others wait; where making fails, by the next. Not by
/// std::call_once: an exception that passes through the C library's ends the program when memory is
/// short. `make` must not wait for other threads.
template <class Value>
class MadeOnce {
 public:
  template <class Make>
  const Value& get(const Make& make) {
    const std::lock_guard lock(mutex_);
    if (!value_) {
      value_.emplace(make());
    }
    return *value_;
  }

 private:
  std::mutex mutex_;
  std::optional<Value> value_;
};

}  // namespace leafstack
