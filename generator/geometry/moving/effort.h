// The clash check's work, bounded by counting its elementary steps, never by the clock: what is
// found must not hang on the machine.
#pragma once

#include <algorithm>
#include <limits>

namespace leafstack {

/// Steps granted to one search or to several in a row. A search that runs out ends in few steps
/// more and keeps its bounds (sweep.h): what it has not looked at is as near as boxes allow.
class Effort {
 public:
  static constexpr long long kUnbounded = std::numeric_limits<long long>::max();

  explicit Effort(long long steps = kUnbounded) : granted_(steps), left_(steps) {}
  /// False where there are not so many left: then the search is cut short.
  bool take(long long steps) {
    if (left_ < steps) {
      left_ = 0;
      is_cut_ = true;
      return false;
    }
    left_ -= steps;
    return true;
  }
  bool isCut() const { return is_cut_; }
  long long granted() const { return granted_; }
  long long taken() const { return granted_ - left_; }
  long long left() const { return left_; }
  /// Whether a search that ended with this would have gone just so, had it been granted what
  /// `other` was. Of its effort it may ask whether it is cut short, and whether half of it is
  /// taken: who took no more than half of either never heard yes.
  bool goesAlike(const Effort& other) const {
    return granted_ == other.granted_ || taken() <= std::min(granted_, other.granted_) / 2;
  }

 private:
  long long granted_, left_;
  bool is_cut_ = false;
};

/// Steps for all searches of one kind in a gate. While there is plenty one search may take much of
/// it; when it runs low each still gets its least, which nearly all can do with.
class GateEffort {
 public:
  struct Grants {
    long long in_all, least, most;
  };
  explicit GateEffort(const Grants& grants) : grants_(grants), left_(grants.in_all) {}

  Effort grant() const { return Effort(std::clamp(left_ / 2, grants_.least, grants_.most)); }
  void settle(const Effort& done) { left_ = std::max(0LL, left_ - done.taken()); }
  /// What may be taken before a grant is half of what it is now.
  long long untilHalf() const {
    const long long granted = grant().granted();
    return granted == grants_.least ? Effort::kUnbounded : left_ - granted;
  }

 private:
  Grants grants_;
  long long left_;
};

}  // namespace leafstack
