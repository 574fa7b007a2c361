// Work that falls into pieces, on all cores.
#pragma once

#include <functional>
#include <memory>

namespace leafstack {

/// Calls work(0) to work(count - 1), on as many cores as there are and in no order, and returns
/// when all have ended. Each piece writes only what is its own; so the outcome is the same for any
/// number of threads. Where pieces throw, the exception of the first of them, by number, is thrown.
void inParallel(int count, const std::function<void(int)>& work);

/// While it lives no more than `most` threads work, of those in this process; at least 1.
class ThreadLimit {
 public:
  explicit ThreadLimit(int most);
  ~ThreadLimit();
  ThreadLimit(const ThreadLimit&) = delete;
  ThreadLimit& operator=(const ThreadLimit&) = delete;

 private:
  struct Limit;
  std::unique_ptr<Limit> limit_;
};

}  // namespace leafstack
