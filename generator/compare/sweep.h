// Comparing over a range of one or two values of the gate file, whole or in shards.
//
// Points are independent and in a fixed order, the first axis outermost. Shard I of N is the I-th
// of N pieces in that order, as equal as whole points allow, so that shards, one after the other,
// are the whole.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "generator/compare/arrangements.h"
#include "params/read_gate.h"

namespace leafstack {

/// A shard keeps its sites in memory while it checks them all before the first is printed.
inline constexpr long long kMostPointsPerShard = 100'000;
inline constexpr long long kMostValuesPerAxis = 1'000'000;
inline constexpr std::size_t kMostAxes = 2;

struct SweepAxis {
  std::string pointer;
  std::vector<std::string> values;  ///< as an override takes them
};
/// "/site/opening_mm=3000:9000:100" (both ends included where the step meets them) or a list,
/// "/gate/top=raked,level". Numbers are decimals of at most 9 places and are stepped without
/// rounding. On failure no axis, and `problem` says why.
std::optional<SweepAxis> parseAxis(std::string_view text, std::string& problem);

/// Whether two pointers are the same or one leads to a part of the other: no two axes may.
bool areNested(std::string_view one, std::string_view other);

struct Shard {
  long long index = 1, count = 1;  ///< 1 <= index <= count
};
std::optional<Shard> parseShard(std::string_view text, std::string& problem);  ///< "2/4"

long long pointCount(std::span<const SweepAxis> axes);

/// First and one past the last point of a shard.
struct PointRange {
  long long first = 0, end = 0;
};
PointRange pointsOf(long long count, const Shard& shard);

/// The axes' values at a point.
std::vector<std::string> valuesAt(std::span<const SweepAxis> axes, long long point);

struct SweepInput {
  std::string text, source_name;         ///< of the gate file
  std::vector<Override> overrides = {};  ///< before the axes' own
  std::vector<SweepAxis> axes = {};
  Shard shard = {};
  const PriceList* prices = nullptr;
  HardwareInput hardware = {};
};

struct SweptSite {
  long long point = 0;
  std::vector<std::string> values;
  SiteComparison comparison;  ///< without words
};

/// Every distinct problem of the shard's sites, compared or not.
std::vector<Diagnostic> sweepProblems(const SweepInput& input);

/// Compares every point of the shard in order. Where the gate file is invalid at any of them,
/// nothing is compared, and every distinct problem comes back.
std::vector<Diagnostic> sweep(const SweepInput& input,
                              const std::function<void(const SweptSite&)>& take);

}  // namespace leafstack
