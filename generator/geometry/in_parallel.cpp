#include "generator/geometry/in_parallel.h"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <exception>
#include <vector>

#include "generator/geometry/cancel.h"

namespace leafstack {

void inParallel(int count, const std::function<void(int)>& work) {
  if (count <= 0) {
    return;
  }
  std::vector<std::exception_ptr> failures(static_cast<std::size_t>(count));
  const std::atomic<bool>* const flag = Cancellable::current();
  tbb::parallel_for(
      0, count,
      [&](int i) {
        try {
          const Cancellable as_asked(flag);
          endIfCancelled();
          work(i);
        } catch (...) {
          failures[static_cast<std::size_t>(i)] = std::current_exception();
        }
      },
      tbb::simple_partitioner());  // pieces differ much in size
  for (const std::exception_ptr& failure : failures) {
    if (failure) {
      std::rethrow_exception(failure);
    }
  }
}

struct ThreadLimit::Limit {
  tbb::global_control control;
};

ThreadLimit::ThreadLimit(int most)
    : limit_(new Limit{{tbb::global_control::max_allowed_parallelism,
                        static_cast<std::size_t>(most < 1 ? 1 : most)}}) {}

ThreadLimit::~ThreadLimit() = default;

}  // namespace leafstack
