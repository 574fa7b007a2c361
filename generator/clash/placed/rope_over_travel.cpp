#include "generator/clash/placed/rope_over_travel.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/occt/checked.h"

namespace leafstack {
namespace {

/// The end of a strand along X, cut square. A segment with a radius ends in a half ball, so it
/// stops a radius short, and the rest is a cylinder in flat pieces.
struct StrandEnd {
  Vec3 core;  ///< where the segment stops
  std::vector<Piece> pieces;

  StrandEnd(const Vec3& near, const Vec3& far, double radius) : core(far) {
    constexpr int kSides = 24;
    const double error = radius * (1 - std::cos(std::numbers::pi / kSides));
    core[0] += far[0] > near[0] ? -radius : radius;
    const auto rim = [&](double x, int side) {
      const double turn = 2 * std::numbers::pi * side / kSides;
      return Vec3{x, far[1] + radius * std::cos(turn), far[2] + radius * std::sin(turn)};
    };
    for (int side = 0; side < kSides; ++side) {
      const Vec3 a = rim(core[0], side);
      const Vec3 b = rim(core[0], side + 1);
      const Vec3 c = rim(far[0], side);
      const Vec3 d = rim(far[0], side + 1);
      pieces.push_back({{a, b, c}, error});
      pieces.push_back({{b, d, c}, error});
      pieces.push_back({{far, c, d}, error});
    }
  }
};

/// A rope's far end as its carrier sees it, in the rope's own frame.
class EndMotion : public RelativeMotion {
 public:
  EndMotion(const BodyMotion& motion, const Placement& frame) : motion_(motion), frame_(frame) {}
  Chord chord(const Stretch& stretch) const override {
    Chord chord = motion_.chord(stretch);
    chord.from = seenFrom(frame_, chord.from, frame_);
    chord.to = seenFrom(frame_, chord.to, frame_);
    return chord;
  }
  Stretch whole(const Stretch& asked) const override { return motion_.whole(asked); }

 private:
  BodyMotion motion_;
  Placement frame_;
};

// How far a straight stretch may deviate over which bounds and leans are taken.
constexpr double kFollowedMm = 0.02;

/// Where a strand goes over the whole travel.
struct StrandWay {
  Bounds far_box = emptyBox();
  double steepest = 0;
  double most_turn = 0;  ///< sine of what its end turns by, as the carrier sees it
  bool keeps_length = true;
};

/// Follows the far end in straight stretches.
void followStrand(const Vec3& near, const HullTree::FarEnd& end, const Stretch& stretch,
                  StrandWay& way) {
  const Chord chord = end.motion->chord(stretch);
  constexpr double kShortestLegMm = 1e-3;
  if (chord.deviation_mm > kFollowedMm && stretch.to_mm - stretch.from_mm > kShortestLegMm) {
    const double middle = (stretch.from_mm + stretch.to_mm) / 2;
    followStrand(near, end, {stretch.from_mm, middle}, way);
    followStrand(near, end, {middle, stretch.to_mm}, way);
    return;
  }
  const double deviation = chord.deviation_mm;
  const double side = end.at[0] < near[0] ? -1 : 1;
  for (const Placement& placement : {chord.from, chord.to}) {
    const Vec3 far = placement(end.at);
    way.most_turn = std::max(way.most_turn, std::abs(placement.sin));
    include(way.far_box, plus(far, {deviation, deviation, deviation}));
    include(way.far_box, plus(far, {deviation, deviation, deviation}, -1));
    const double along = side * (far[0] - near[0]) - deviation;
    const double aside = std::hypot(far[1] - near[1], far[2] - near[2]) + deviation;
    way.keeps_length = way.keeps_length && along > 0;
    // A rope that runs out is a finding of its own, however it leans.
    way.steepest = std::max(way.steepest, along > aside ? aside / along : 1);
  }
}

// Stud or groove: what holds a rope holds it over no more than this.
constexpr double kHeldMm = 20;

/// Both are drawn along X: the parts of a strand within a radius of its end, and its round, which
/// is cut square to X, are off by no more than this where the strand leans.
double leanError(double radius, double steepest) {
  return radius * (steepest + (1 - 1 / std::hypot(1, steepest)));
}

}  // namespace

RopeOverTravel::RopeOverTravel(const Model& model, const BodyMotions& motions, const RopeRun& run,
                               const Placement& frame)
    : frame_(frame), travel_mm_(model.layout.drive_travel_mm), lines_(emptyBox()) {
  // The solid is moved by another part of the program, with rounding of its own.
  constexpr double kSamePlaceMm = 1e-3;
  const std::vector<Vec3> closed = ropeLineAt(model, run, 0);
  const std::vector<Vec3> open = ropeLineAt(model, run, travel_mm_);
  const std::size_t last = closed.size() - 1;
  // The chords of the half turn lie inside it by their sagitta.
  const Vec3 across = minus(closed[last - 1], closed[1]);
  const double step = std::numbers::pi / static_cast<double>(last - 2);
  turn_error_mm_ = norm(across) / 2 * (1 - std::cos(step / 2));
  for (std::size_t i = 1; i < last; ++i) {
    include(lines_, closed[i]);
    if (i + 1 < last) {
      turn_.push_back({{closed[i], closed[i + 1], closed[i + 1]}, turn_error_mm_});
    }
  }
  const int carrier = model.instances[run.instance].body;
  const double own_grade = model.layout.panel(run.carrier).grade;
  const auto strandTo = [&](std::size_t end, std::size_t near, int body) {
    const Vec3 at = frame(closed[end]);
    const auto [x, z] = motions.pivot(body);
    // The ground bracket leans as panel 1 does, closed.
    const double grade = model.layout.panel(std::max(1, body)).grade;
    const Strand strand = follow(closed[near], closed[end], std::abs(grade - own_grade),
                                 motions.motion(carrier, body, std::hypot(at[0] - x, at[2] - z)));
    const Chord chord = strand.far.motion->chord({0, travel_mm_});
    if (norm(minus(chord.to(closed[end]), open[end])) > kSamePlaceMm) {
      throw GeometryError("the end of " + run.mark + " does not go where its bracket goes");
    }
    return strand;
  };
  front_ = strandTo(0, 1, run.frontBody());
  rear_ = strandTo(last, last - 1, run.rearBody());
}

RopeOverTravel::Strand RopeOverTravel::follow(const Vec3& near, const Vec3& far, double closed_turn,
                                              const BodyMotion& motion) {
  Strand strand{near, {far, std::make_shared<EndMotion>(motion, frame_)}};
  StrandWay way;
  followStrand(near, strand.far, {0, travel_mm_}, way);
  include(lines_, way.far_box.low);
  include(lines_, way.far_box.high);
  never_runs_out_ = never_runs_out_ && way.keeps_length;
  strand.steepest = way.steepest;
  // Each end is held by itself.
  held_turn_ = std::max(held_turn_, closed_turn + way.steepest + way.most_turn);
  return strand;
}

double mostRopeBendDeg(double radius_mm) {
  constexpr double kMostAside = 0.7;  // of its radius
  return std::atan(kMostAside * radius_mm / kHeldMm) * 180 / std::numbers::pi;
}

double RopeOverTravel::heldAsideMm() const {
  return kHeldMm * held_turn_;
}

double RopeOverTravel::bendDeg() const {
  return std::atan(held_turn_) * 180 / std::numbers::pi;
}

RopeTrees RopeOverTravel::thick(double radius_mm) const {
  const auto core = [&](const Strand& strand) {
    const StrandEnd end(strand.near, strand.far.at, radius_mm);
    const Piece piece{{strand.near, end.core, end.core}, leanError(radius_mm, strand.steepest)};
    return HullTree::strand(piece, radius_mm, strand.far);
  };
  const auto end = [&](const Strand& strand) {
    StrandEnd cut(strand.near, strand.far.at, radius_mm);
    for (Piece& piece : cut.pieces) {
      piece.error_mm += leanError(radius_mm, strand.steepest);
    }
    return HullTree::carried(cut.pieces, strand.far);
  };
  return {core(front_), end(front_), HullTree(turn_, radius_mm), core(rear_), end(rear_)};
}

Bounds RopeOverTravel::bounds(double radius_mm) const {
  const double off = radius_mm + turn_error_mm_;
  return {plus(lines_.low, {off, off, off}, -1), plus(lines_.high, {off, off, off})};
}

}  // namespace leafstack
