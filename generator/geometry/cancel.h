// Work that nobody wants any more ends between its pieces.
#pragma once

#include <atomic>

namespace leafstack {

/// Thrown where work was called off. No std::exception, so that nobody takes it for a fault.
struct Cancelled {};

/// While it lives, inParallel() of this thread and of the pieces' own throws Cancelled before the
/// next piece once `flag` is set.
class Cancellable {
 public:
  explicit Cancellable(const std::atomic<bool>* flag);
  ~Cancellable();
  Cancellable(const Cancellable&) = delete;
  Cancellable& operator=(const Cancellable&) = delete;

  /// The flag of this thread; null where its work cannot be called off.
  static const std::atomic<bool>* current();

 private:
  const std::atomic<bool>* before_;
};

/// Throws Cancelled where this thread's work was called off.
void endIfCancelled();

}  // namespace leafstack
