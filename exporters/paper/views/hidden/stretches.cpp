#include "exporters/paper/views/hidden/stretches.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace leafstack {
namespace {

// An ellipse thinner than this is seen as a line, one rounder than that as a circle.
constexpr double kFoldedMm = 1e-3;
constexpr double kRoundShare = 1e-6;
// Lines of one direction have it to far less than this; over ten metres it is kOnEachOtherMm.
constexpr double kDirectionBucketRad = 1e-6;
constexpr double kPlaceBucketMm = 2 * kOnEachOtherMm;
constexpr double kNoLengthMm = 1e-6;

FlatPoint flat(const Vec3& p) {
  return {p[0], p[1]};
}

double lengthOf(const FlatPoint& a, const FlatPoint& b) {
  return std::hypot(b[0] - a[0], b[1] - a[1]);
}

// ---------------------------------------------------------------- flattening

/// A ring's projection, and how its angle counts there: flat angle = sign * (angle - zero).
struct SeenRing {
  FlatRing ring;
  double sign = 1, zero = 0;
};

SeenRing seenRing(const Ring& ring) {
  const Vec3& p = ring.p;
  const Vec3& q = ring.q;
  SeenRing seen;
  seen.sign = p[0] * q[1] - p[1] * q[0] >= 0 ? 1 : -1;
  const auto at = [&](double angle) {
    return FlatPoint{p[0] * std::cos(angle) + q[0] * std::sin(angle),
                     p[1] * std::cos(angle) + q[1] * std::sin(angle)};
  };
  // Half axes from conjugate half diameters.
  double zero = std::atan2(2 * (p[0] * q[0] + p[1] * q[1]),
                           p[0] * p[0] + p[1] * p[1] - q[0] * q[0] - q[1] * q[1]) /
                2;
  FlatPoint along = at(zero);
  const FlatPoint across = at(zero + kTurnRad / 4);
  seen.ring.centre = flat(ring.centre);
  seen.ring.along = std::hypot(along[0], along[1]);
  seen.ring.across = std::hypot(across[0], across[1]);
  if (seen.ring.along - seen.ring.across < kRoundShare * seen.ring.along) {
    seen.ring.across = seen.ring.along;
    seen.ring.axis = {1, 0};
    seen.zero = -seen.sign * std::atan2(p[1], p[0]);
    return seen;
  }
  if (along[0] < -kRoundShare * seen.ring.along ||
      (along[0] < kRoundShare * seen.ring.along && along[1] < 0)) {
    zero += kTurnRad / 2;
    along = {-along[0], -along[1]};
  }
  seen.ring.axis = {along[0] / seen.ring.along, along[1] / seen.ring.along};
  seen.zero = zero;
  return seen;
}

DrawnStretch straight(const FlatPoint& from, const FlatPoint& to) {
  DrawnStretch stretch;
  stretch.from = from;
  stretch.to = to;
  return stretch;
}

/// An arc seen edge-on runs to and fro between the ends of its long axis.
std::vector<DrawnStretch> folded(const SpacePiece& piece, const SeenRing& seen,
                                 const Interval& angles) {
  std::vector<DrawnStretch> stretches;
  const double half_turn = kTurnRad / 2;
  double from = angles.from;
  while (from < angles.to) {
    constexpr double kPast = 1e-9;
    const double turns = std::floor((from - seen.zero) / half_turn + kPast) + 1;
    const double to = std::min(angles.to, seen.zero + turns * half_turn);
    stretches.push_back(straight(flat(piece.ring.at(from)), flat(piece.ring.at(to))));
    from = to;
  }
  return stretches;
}

// ---------------------------------------------------------------- doubles

/// Stretches on one line or ring, each with its place along it; the line is its first stretch's.
struct Track {
  bool is_arc = false;
  FlatPoint origin{}, direction{};
  FlatRing ring;
  double scale = 1;  ///< mm for each unit of place
  struct Item {
    int stretch = 0;
    Interval place;
  };
  std::vector<Item> items;
};

using TrackKey = std::tuple<bool, long long, long long, long long>;

class TrackBook {
 public:
  void add(int index, const DrawnStretch& stretch) {
    if (stretch.is_arc) {
      addArc(index, stretch);
    } else {
      addStraight(index, stretch);
    }
  }
  const std::vector<Track>& tracks() const { return tracks_; }

 private:
  static bool isNear(const FlatPoint& a, const FlatPoint& b) {
    return lengthOf(a, b) < kOnEachOtherMm;
  }

  static bool isSame(const FlatRing& a, const FlatRing& b) {
    const FlatPoint end_a = {a.axis[0] * a.along, a.axis[1] * a.along};
    const FlatPoint end_b = {b.axis[0] * b.along, b.axis[1] * b.along};
    return isNear(a.centre, b.centre) && isNear(end_a, end_b) &&
           std::abs(a.across - b.across) < kOnEachOtherMm;
  }

  void addArc(int index, const DrawnStretch& stretch) {
    const long long x = bucketOf(stretch.ring.centre[0], kPlaceBucketMm);
    const long long y = bucketOf(stretch.ring.centre[1], kPlaceBucketMm);
    const long long r = bucketOf(stretch.ring.along, kPlaceBucketMm);
    int found = -1;
    for (int step = 0; step < 27 && found < 0; ++step) {
      const auto at = book_.find({true, x + step % 3 - 1, y + step / 3 % 3 - 1, r + step / 9 - 1});
      for (std::size_t i = 0; at != book_.end() && i < at->second.size() && found < 0; ++i) {
        found = isSame(tracks_[at->second[i]].ring, stretch.ring) ? at->second[i] : -1;
      }
    }
    if (found < 0) {
      found = static_cast<int>(tracks_.size());
      book_[{true, x, y, r}].push_back(found);
      tracks_.push_back({true, {}, {}, stretch.ring, stretch.ring.along, {}});
    }
    addAngles(tracks_[found], index, stretch.angles);
  }

  /// Within one turn from 0: in two parts where the arc runs through 0.
  static void addAngles(Track& track, int index, const Interval& angles) {
    const double shift = kTurnRad * std::floor(angles.from / kTurnRad);
    const Interval place = {angles.from - shift, angles.to - shift};
    if (place.to <= kTurnRad) {
      track.items.push_back({index, place});
    } else {
      track.items.push_back({index, {place.from, kTurnRad}});
      track.items.push_back({index, {0, place.to - kTurnRad}});
    }
  }

  void addStraight(int index, const DrawnStretch& stretch) {
    const double length = lengthOf(stretch.from, stretch.to);
    FlatPoint along = {(stretch.to[0] - stretch.from[0]) / length,
                       (stretch.to[1] - stretch.from[1]) / length};
    if (along[0] < -kRoundShare || (along[0] < kRoundShare && along[1] < 0)) {
      along = {-along[0], -along[1]};
    }
    const long long way = bucketOf(std::atan2(along[1], along[0]), kDirectionBucketRad);
    const FlatPoint middle = {(stretch.from[0] + stretch.to[0]) / 2,
                              (stretch.from[1] + stretch.to[1]) / 2};
    int found = -1;
    for (int step = 0; step < 9 && found < 0; ++step) {
      const long long near_way = way + step % 3 - 1;
      found = find({false, near_way, offsetBucket(near_way, middle) + step / 3 - 1, 0}, stretch);
    }
    if (found < 0) {
      found = static_cast<int>(tracks_.size());
      tracks_.push_back({false, stretch.from, along, {}, 1, {}});
      book_[{false, way, offsetBucket(way, middle), 0}].push_back(found);
    }
    Track& track = tracks_[found];
    const double a = placeOn(track, stretch.from);
    const double b = placeOn(track, stretch.to);
    track.items.push_back({index, {std::min(a, b), std::max(a, b)}});
  }

  static double placeOn(const Track& track, const FlatPoint& p) {
    return (p[0] - track.origin[0]) * track.direction[0] +
           (p[1] - track.origin[1]) * track.direction[1];
  }
  static double besideOf(const Track& track, const FlatPoint& p) {
    return (p[1] - track.origin[1]) * track.direction[0] -
           (p[0] - track.origin[0]) * track.direction[1];
  }

  static long long bucketOf(double value, double size) {
    return static_cast<long long>(std::floor(value / size));
  }
  /// How far beside the origin a point lies, by the direction in the middle of a bucket.
  static long long offsetBucket(long long way, const FlatPoint& p) {
    const double angle = (static_cast<double>(way) + 0.5) * kDirectionBucketRad;
    return bucketOf(p[1] * std::cos(angle) - p[0] * std::sin(angle), kPlaceBucketMm);
  }

  int find(const TrackKey& key, const DrawnStretch& stretch) const {
    const auto known = book_.find(key);
    if (known == book_.end()) {
      return -1;
    }
    for (int line : known->second) {
      if (std::abs(besideOf(tracks_[line], stretch.from)) < kOnEachOtherMm &&
          std::abs(besideOf(tracks_[line], stretch.to)) < kOnEachOtherMm) {
        return line;
      }
    }
    return -1;
  }

  std::vector<Track> tracks_;
  std::map<TrackKey, std::vector<int>> book_;
};

/// Parts of a track that are spoken for, by their ends.
class Covered {
 public:
  /// What of `place` was free; it is not any more. Remains shorter than `least` count as covered.
  std::vector<Interval> claim(const Interval& place, double least) {
    std::vector<Interval> free;
    double from = place.from;
    double low = place.from;
    double high = place.to;
    auto next = parts_.upper_bound(place.from);
    if (next != parts_.begin() && std::prev(next)->second >= place.from) {
      --next;
    }
    while (next != parts_.end() && next->first <= place.to) {
      if (next->first - from > least) {
        free.push_back({from, next->first});
      }
      from = std::max(from, next->second);
      low = std::min(low, next->first);
      high = std::max(high, next->second);
      next = parts_.erase(next);
    }
    if (place.to - from > least) {
      free.push_back({from, place.to});
    }
    parts_[low] = high;
    return free;
  }

 private:
  std::map<double, double> parts_;
};

bool isAlike(const DrawnStretch& a, const DrawnStretch& b) {
  return a.solid == b.solid && a.is_hidden == b.is_hidden && a.is_contour == b.is_contour &&
         a.is_taken == b.is_taken;
}

FlatPoint pointOn(const Track& track, double place) {
  return {track.origin[0] + place * track.direction[0],
          track.origin[1] + place * track.direction[1]};
}

/// One track: what remains of each item, neighbours of one kind joined.
void addRemains(const Track& track, const std::vector<DrawnStretch>& stretches,
                std::vector<std::pair<int, DrawnStretch>>& remains) {
  std::vector<Track::Item> items = track.items;
  const auto rank = [&](const Track::Item& item) {
    const DrawnStretch& stretch = stretches[item.stretch];
    return std::make_tuple(!stretch.is_taken, stretch.is_hidden, !stretch.is_contour, stretch.solid,
                           item.stretch);
  };
  std::stable_sort(items.begin(), items.end(),
                   [&](const Track::Item& a, const Track::Item& b) { return rank(a) < rank(b); });
  const double least = kOnEachOtherMm / track.scale;
  Covered covered;
  std::vector<Track::Item> free;
  for (const Track::Item& item : items) {
    for (const Interval& place : covered.claim(item.place, least)) {
      free.push_back({item.stretch, place});
    }
  }
  std::stable_sort(free.begin(), free.end(), [](const Track::Item& a, const Track::Item& b) {
    return a.place.from < b.place.from;
  });
  std::vector<Track::Item> joined;
  for (const Track::Item& item : free) {
    if (!joined.empty() && item.place.from - joined.back().place.to < least &&
        isAlike(stretches[item.stretch], stretches[joined.back().stretch])) {
      joined.back().place.to = item.place.to;
    } else {
      joined.push_back(item);
    }
  }
  // Where an arc runs through 0.
  if (track.is_arc && joined.size() > 1 && joined.front().place.from < least &&
      joined.back().place.to > kTurnRad - least &&
      isAlike(stretches[joined.front().stretch], stretches[joined.back().stretch])) {
    joined.back().place.to = joined.front().place.to + kTurnRad;
    joined.erase(joined.begin());
  }
  for (const Track::Item& item : joined) {
    DrawnStretch rest = stretches[item.stretch];
    if (rest.is_taken) {
      continue;
    }
    if (track.is_arc) {
      rest.ring = track.ring;
      rest.angles = item.place;
    } else {
      rest.from = pointOn(track, item.place.from);
      rest.to = pointOn(track, item.place.to);
    }
    remains.push_back({item.stretch, rest});
  }
}

}  // namespace

std::vector<DrawnStretch> flattened(const SpacePiece& piece, const Interval& share) {
  if (!piece.is_arc) {
    const Vec3 run = minus(piece.to, piece.from);
    return {
        straight(flat(plus(piece.from, run, share.from)), flat(plus(piece.from, run, share.to)))};
  }
  const SeenRing seen = seenRing(piece.ring);
  const Interval angles = {std::lerp(piece.angles.from, piece.angles.to, share.from),
                           std::lerp(piece.angles.from, piece.angles.to, share.to)};
  if (seen.ring.across < kFoldedMm) {
    return folded(piece, seen, angles);
  }
  DrawnStretch stretch;
  stretch.is_arc = true;
  stretch.ring = seen.ring;
  const double a = seen.sign * (angles.from - seen.zero);
  const double b = seen.sign * (angles.to - seen.zero);
  stretch.angles = {std::min(a, b), std::max(a, b)};
  return {stretch};
}

std::vector<DrawnStretch> withoutDoubles(const std::vector<DrawnStretch>& stretches) {
  TrackBook book;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const DrawnStretch& stretch = stretches[i];
    if (stretch.is_arc || lengthOf(stretch.from, stretch.to) > kNoLengthMm) {
      book.add(static_cast<int>(i), stretch);
    }
  }
  std::vector<std::pair<int, DrawnStretch>> remains;
  for (const Track& track : book.tracks()) {
    addRemains(track, stretches, remains);
  }
  std::stable_sort(remains.begin(), remains.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<DrawnStretch> result;
  for (const auto& [index, stretch] : remains) {
    result.push_back(stretch);
  }
  return result;
}

}  // namespace leafstack
