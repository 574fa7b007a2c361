// Work that is called off ends between its pieces, in the pieces' own pieces too.
#include "generator/geometry/cancel.h"

#include <gtest/gtest.h>

#include <atomic>

#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

TEST(Cancel, EndsBeforeTheNextPiece) {
  std::atomic<bool> is_over = false;
  std::atomic<int> done = 0;
  const Cancellable by_flag(&is_over);
  EXPECT_THROW(inParallel(1000,
                          [&](int) {
                            inParallel(10, [&](int) {
                              if (++done == 50) {
                                is_over = true;
                              }
                            });
                          }),
               Cancelled);
  EXPECT_GE(done, 50);
  EXPECT_LT(done, 1000) << "of 10000";
}

TEST(Cancel, TouchesNoOtherThreadsWork) {
  const std::atomic<bool> is_over = true;
  {
    const Cancellable by_flag(&is_over);
    EXPECT_THROW(endIfCancelled(), Cancelled);
    {
      const Cancellable by_none(nullptr);
      EXPECT_NO_THROW(endIfCancelled());
    }
    EXPECT_THROW(inParallel(1, [](int) {}), Cancelled);
  }
  int done = 0;
  inParallel(1, [&](int) { ++done; });
  EXPECT_EQ(done, 1);
}

}  // namespace
}  // namespace leafstack
