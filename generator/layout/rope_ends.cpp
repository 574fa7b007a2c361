// What rope ends need beside pulleys on uneven ground.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/layout_parts.h"
#include "generator/layout/travel/travel.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr int kRopeEndPositions = 480;

/// What passes the other rope's pulley: of its axis' height, so far behind its bracket's middle.
struct Tail {
  double from_mm = 0, to_mm = 0, radius_mm = 0;
};

/// What it passes there, off that pulley's mid-plane; as far as it stands out towards the bracket.
struct Round {
  double half_height_mm = 0, radius_mm = 0, most_along_mm = 0;
};

/// How a bracket stands before a pulley of the rope that it holds, at one position: from the
/// pulley's axis along the rail, its middle off the ropes' middle, and rise per mm towards that
/// pulley.
struct BeforePulley {
  double away_mm = 0, off_mm = 0, rise = 0;
};

class RopeEnds {
 public:
  RopeEnds(const GateSpec& spec, double apart_mm, double pitch_mm)
      : apart_mm_(apart_mm), strand_mm_(pitch_mm / 2) {
    const Terminal terminal = terminalOf(spec);
    const double nuts = terminal.half_bracket_mm + 2 * terminal.nut_mm;
    const bool screw = terminal.kind == TerminalKind::kScrew;
    tails_ = {{terminal.half_bracket_mm, nuts, terminal.nutRadiusMm()},
              {terminal.half_bracket_mm, terminal.tailMm(),
               std::max(terminal.thread_mm, screw ? terminal.sleeve_mm : 0.0) / 2}};
    const PulleyCradle cradle = cradleOf(spec);
    rounds_ = {{spec.hardware.pulley.thickness_mm / 2, cradle.rim_mm, cradle.rim_mm},
               {cradle.cheek_low_mm, cradle.cover_outer_mm,
                cradle.cover_outer_mm * std::cos(cradle.mouth_deg / kDegreesPerRadian)}};
    rim_mm_ = cradle.rim_mm + 2 * spec.shop.coatMm();
    face_mm_ = spec.gate.bottom_rail.depth_mm / 2 + spec.hardware.bracket.face_gap_mm;
    half_length_mm_ = terminal.half_bracket_mm;
    half_height_mm_ = bracketHeightMm(spec) / 2;
    near_mm_ = terminal.nearMm();
    near_radius_mm_ = terminal.nearRadiusMm();
  }

  /// How far from the axis of a pulley the bracket has to stand there. `above`: the pulley's rope
  /// is the upper one.
  double wantedMm(const BeforePulley& at, bool above) const {
    // Bracket and what stands out of it before its own pulley: beside the rim, as on level ground.
    const double plain = rim_mm_ + hw::kHardwareClearanceMm;
    double wanted = along(face_mm_, plain) + half_length_mm_ + half_height_mm_ * std::abs(at.rise);
    if (near_radius_mm_ > 0) {
      wanted = std::max(wanted, along(strand_mm_ - near_radius_mm_, plain) + near_mm_);
    }
    // The other rope's end, whose tail points to this pulley: over or under it, else beside it.
    for (const Tail& tail : tails_) {
      const double rise = std::max(at.rise * tail.from_mm, at.rise * tail.to_mm);
      const double fall = std::min(at.rise * tail.from_mm, at.rise * tail.to_mm);
      const double nearer = above ? at.off_mm + rise : -(at.off_mm + fall);
      for (const Round& round : rounds_) {
        const double level = apart_mm_ - tail.radius_mm - round.half_height_mm;
        const double clear = std::min(level, hw::kHardwareClearanceMm);
        const double gap = level - nearer;
        if (gap >= clear - kLengthEqualMm) {
          continue;
        }
        const double beside = std::sqrt(clear * clear - std::pow(std::max(gap, 0.0), 2));
        wanted =
            std::max(wanted, std::min(along(strand_mm_ - tail.radius_mm, round.radius_mm + beside),
                                      round.most_along_mm + beside) +
                                 tail.to_mm);
      }
    }
    return wanted;
  }

 private:
  /// Along the rail from the axis at which what passes `across` from it is `off` away.
  static double along(double across, double off) {
    return across >= off ? 0 : std::sqrt(off * off - across * across);
  }

  double apart_mm_, strand_mm_;
  std::vector<Tail> tails_;
  std::vector<Round> rounds_;
  double rim_mm_ = 0, face_mm_ = 0, half_length_mm_ = 0, half_height_mm_ = 0;
  double near_mm_ = 0, near_radius_mm_ = 0;
};

/// Of one end over the travel.
double endShortMm(const Layout& layout, const RopeLayout& rope, int body, double x_mm, double z_mm,
                  const RopeEnds& ends) {
  const PanelLayout& carrier = layout.panel(rope.carrier);
  const double cosine = carrier.cosine();
  const double sine = carrier.grade * cosine;
  const double length = carrier.length_mm / cosine;
  const double grade = body > 0 ? layout.panel(body).grade : layout.ground.lineOf(1).slope(x_mm);
  const double closed_turn = std::atan(grade) - std::atan(carrier.grade);
  double most = 0;
  for (int i = 0; i <= kRopeEndPositions; ++i) {
    const double drive = layout.drive_travel_mm * i / kRopeEndPositions;
    const Pose pose = combined(inverse(layout.ground.travels[rope.carrier]->at(drive)),
                               layout.ground.travels[body]->at(drive));
    const auto there = carried(pose, {x_mm, 0, z_mm});
    const double right = there[0] - carrier.leading_closed_mm;
    const double up = there[2] - carrier.underside_z_mm;
    const double along = right * cosine + up * sine;
    const double off = up * cosine - right * sine - rope.height_mm;
    const double rise = std::tan(closed_turn + std::atan2(pose.sin, pose.cos));
    const double from_first = along - layout.pulley_inset_mm;
    const double to_last = length - layout.pulley_inset_mm - along;
    // The opening rope, the upper one, rounds the trailing pulley.
    most = std::max({most, ends.wantedMm({from_first, off, -rise}, false) - from_first,
                     ends.wantedMm({to_last, off, rise}, true) - to_last});
  }
  return most;
}

}  // namespace

RopeWay ropeWayOf(const Layout& layout, const RopeLayout& rope, bool opening) {
  const PanelLayout& carrier = layout.panel(rope.carrier);
  RopeWay way{.front = rope.carrier + 1, .carrier = rope.carrier, .rear = rope.carrier - 1};
  const double pulley_x = opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm;
  way.pulley_mm = {pulley_x,
                   carrier.undersideZ(pulley_x) + rope.heightOfMm(opening) / carrier.cosine()};
  const double along = (opening ? 1 : -1) * rope.end_along_mm;
  const double up = rope.aboveMm(opening);
  const auto end = [&](int body, double x, double z) {
    const PanelLayout& holder = layout.panel(std::max(1, body));
    const double c = holder.cosine();
    const double s = holder.grade * c;
    return std::array<double, 2>{x + along * c - up * s, z + along * s + up * c};
  };
  way.front_mm = end(way.front, rope.front_bracket_mm, rope.front_bore_z_mm);
  way.rear_mm = end(way.rear, rope.rear_bracket_mm, rope.rear_bore_z_mm);
  return way;
}

WhereRopesTake ropesOnSurvey(const Layout& layout) {
  if (!layout.ground.is_surveyed || layout.panel_count < 2) {
    return {};
  }
  std::vector<std::shared_ptr<const PanelTravel>> rides;
  for (const PanelLayout& panel : layout.panels) {
    rides.push_back(
        std::dynamic_pointer_cast<const PanelTravel>(layout.ground.travels[panel.number]));
  }
  std::vector<RopesOfCarrier> ropes;
  for (const RopeLayout& rope : layout.ropes) {
    ropes.push_back({ropeWayOf(layout, rope, true), ropeWayOf(layout, rope, false)});
  }
  RopesFollowed followed = followRopes(rides, ropes, layout.drive_travel_mm);
  // A rope that lets x[k+1] - x[k] differ from x[k] - x[k-1] by s: what panels in front may do
  // adds up.
  WhereRopesTake where{std::move(followed.ahead), {0}};
  double apart = 0;
  for (std::size_t k = 0; k < layout.ropes.size(); ++k) {
    const RopeLayout& rope = layout.ropes[k];
    apart += followed.left_mm[k] + wrapUnsureMm(rope.pitch_mm, rope.steepest);
    where.play_mm.push_back(where.play_mm.back() + apart);
  }
  return where;
}

double ropeEndsShortMm(const GateSpec& spec, const Layout& layout) {
  if (!layout.ground.is_surveyed || spec.ropes.bracket_clearance_mm) {
    return 0;
  }
  double most = 0;
  for (const RopeLayout& rope : layout.ropes) {
    const RopeEnds ends(spec, rope.apart_mm, rope.pitch_mm);
    most = std::max({most,
                     endShortMm(layout, rope, rope.carrier + 1, rope.front_bracket_mm,
                                rope.front_bore_z_mm, ends),
                     endShortMm(layout, rope, rope.carrier - 1, rope.rear_bracket_mm,
                                rope.rear_bore_z_mm, ends)});
  }
  return most;
}

}  // namespace leafstack
