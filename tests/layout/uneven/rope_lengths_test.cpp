// Ropes of fixed length on their true ways. Only where bodies stand closed and how far each panel
// has gone along the track is the program's; the ground is another spline's solver
// (reference_ground.h), and how a panel stands on its two wheels and how long its ropes then are is
// worked out here. Own surveys.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"
#include "tests/layout/uneven/reference_ground.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::Json;
using ground_reference::Points;
using ground_reference::ReferenceGround;

struct Place {
  double x = 0, z = 0;
};

/// A panel on two wheels, whose centres go square above a line.
class OwnPanel {
 public:
  OwnPanel(const ReferenceGround& line, double up_mm, double off_mm, Place leading, Place trailing)
      : line_(line), up_(up_mm), off_(off_mm), leading_(leading), trailing_(trailing) {
    base_ = std::hypot(trailing.x - leading.x, trailing.z - leading.z);
  }

  /// How far the drawn wheels are off their line, closed.
  double offClosed() const {
    return std::max(std::abs(centre(leading_.x).z - leading_.z),
                    std::abs(centre(trailing_.x).z - trailing_.z));
  }

  /// Where a point of it is that stands at `at` closed, the leading wheel having gone `gone_mm`.
  Place carried(Place at, double gone_mm) const {
    const Place front = centre(leading_.x + gone_mm);
    // The trailing wheel by bisection: its centre a wheelbase away.
    double low = front.x + base_ / 2;
    double high = front.x + 2 * base_;
    for (int i = 0; i < 50; ++i) {
      const double middle = (low + high) / 2;
      const Place there = centre(middle);
      (std::hypot(there.x - front.x, there.z - front.z) < base_ ? low : high) = middle;
    }
    const Place rear = centre(low);
    const double turn = std::atan2(rear.z - front.z, rear.x - front.x) -
                        std::atan2(trailing_.z - leading_.z, trailing_.x - leading_.x);
    const double dx = at.x - leading_.x;
    const double dz = at.z - leading_.z;
    return {front.x + dx * std::cos(turn) - dz * std::sin(turn),
            front.z + dx * std::sin(turn) + dz * std::cos(turn)};
  }

 private:
  /// Of a wheel whose centre has this X: the contact below it by fixed-point rounds.
  Place centre(double x) const {
    double contact = x;
    for (int i = 0; i < 12; ++i) {
      contact = x + off_ * std::sin(std::atan(line_.slope(contact)));
    }
    return {x, line_.height(contact) + up_ + off_ * std::cos(std::atan(line_.slope(contact)))};
  }

  const ReferenceGround& line_;
  double up_, off_, base_ = 0;
  Place leading_, trailing_;
};

/// Points every half metre.
template <class Height>
Points surveyed(const Height& height) {
  Points points;
  for (double x = -500; x <= 12500; x += 500) {
    points.push_back({x, height(x)});
  }
  return points;
}

struct OwnSurvey {
  const char* name;
  Points points;
  double most_mm;  ///< either rope is off its length
};

std::vector<OwnSurvey> ownSurveys() {
  const auto hump = [](double x, double at, double wide, double high) {
    return high * std::exp(-std::pow((x - at) / wide, 2));
  };
  return {
      {"a hollow of 6 over 4 m", surveyed([&](double x) { return hump(x, 2500, 2000, -6); }), 0.05},
      {"a hollow of 4 behind a hump of 3, on 1 %", surveyed([&](double x) {
         return 0.01 * x + hump(x, 1500, 1500, 3) + hump(x, 5500, 1500, -4);
       }),
       0.05},
      {"a third of a percent from 4 m on",
       surveyed([](double x) { return std::max(0.0, x - 4000) / 300; }), 0.05},
      {"laid to 1 mm", surveyed([](double x) { return std::sin(x * x); }), 0.05},
      {"a hump of 16 beside a hollow of 12",
       surveyed([&](double x) { return hump(x, 1500, 1200, 16) + hump(x, 5200, 1500, -12); }),
       0.5}};
}

/// Of one rope: its two strands, in three dimensions; the half turn stays the same.
struct OwnRope {
  std::array<double, 3> front{}, from_pulley{}, to_pulley{}, rear{};
  int front_body = 2, carrier = 1, rear_body = 0;
};

/// A gate whose panels and ropes are worked out here: the model gives where they are closed.
class OwnGate {
 public:
  /// One line for all tracks, or one for every panel, back first.
  OwnGate(const GateSpec& spec, std::vector<Points> lines)
      : model(buildModel(spec, gates::laidOut(spec))) {
    const int panels = model.layout.panel_count;
    const double datum = ReferenceGround(lines.back()).height(0);
    for (Points& line : lines) {
      for (auto& point : line) {
        point[1] -= datum;
      }
    }
    const HardwareSpec& shelf = spec.hardware;
    const double up = spec.gate.ground_clearance_mm - undersideOverFootingMm(shelf);
    const double off = shelf.track.size_mm + shelf.wheel.running_mm / 2;
    lines_.reserve(panels);  // panels refer to them
    for (int k = 1; k <= panels; ++k) {
      lines_.emplace_back(lines.size() > 1 ? lines.at(k - 1) : lines.front());
      std::vector<Place> wheels;
      for (const Instance& one : model.instances) {
        if (one.panel == k && model.parts[one.part].kind == PartKind::kWheel) {
          const gp_XYZ at = one.at_closed.Transformation().TranslationPart();
          wheels.push_back({at.X(), at.Z()});
        }
      }
      std::sort(wheels.begin(), wheels.end(),
                [](const Place& a, const Place& b) { return a.x < b.x; });
      panels_.emplace_back(lines_.back(), up, off, wheels.at(0), wheels.at(1));
    }
    ropes_.resize(panels);
    for (const RopeRun& run : model.ropes) {
      auto closed = ropeLineAt(model, run, 0);  // along the carrier's rail
      for (auto& point : closed) {
        gp_Pnt there(point[0], point[1], point[2]);
        there.Transform(model.instances[run.instance].at_closed.Transformation());
        point = {there.X(), there.Y(), there.Z()};
      }
      const std::size_t last = closed.size() - 1;
      ropes_[run.carrier][run.opening ? 0 : 1] = {closed[0],     closed[1],       closed[last - 1],
                                                  closed[last],  run.frontBody(), run.carrier,
                                                  run.rearBody()};
    }
  }

  /// How far the drawn wheels are off their line, closed.
  double wheelsOff() const {
    double off = 0;
    for (const OwnPanel& panel : panels_) {
      off = std::max(off, panel.offClosed());
    }
    return off;
  }

  /// Of a carrier's opening (0) or closing (1) rope, its panels having gone so far along X: by
  /// body, the ground first.
  double lengthOf(int carrier, int which, const std::vector<double>& gone_mm) const {
    const OwnRope& rope = ropes_[carrier][which];
    const auto there = [&](int body, const std::array<double, 3>& at) {
      const Place place = body == 0 ? Place{at[0], at[2]}
                                    : panels_[body - 1].carried({at[0], at[2]}, gone_mm[body]);
      return std::array<double, 3>{place.x, at[1], place.z};
    };
    const auto apart = [](const std::array<double, 3>& a, const std::array<double, 3>& b) {
      return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    };
    return apart(there(rope.front_body, rope.front), there(rope.carrier, rope.from_pulley)) +
           apart(there(rope.rear_body, rope.rear), there(rope.carrier, rope.to_pulley));
  }

  /// As the layout has it.
  std::vector<double> goneAt(double drive_mm) const {
    std::vector<double> gone;
    for (int body = 0; body <= model.layout.panel_count; ++body) {
      gone.push_back(model.layout.goneMm(body, drive_mm));
    }
    return gone;
  }

  Model model;

 private:
  std::vector<ReferenceGround> lines_;
  std::vector<OwnPanel> panels_;
  std::vector<std::array<OwnRope, 2>> ropes_;  // by carrier
};

// Where a panel goes on by d one of its two ropes gets d shorter and the other as much longer: what
// both are longer together no place of it changes. So both off alike is as near to their lengths as
// both can be: within 0.05 mm on ground that is bent gently, and beyond by what is told and allowed
// for.
TEST(RopeLengths, StayTheSameAsFarAsTwoRopesCan) {
  constexpr double kAlikeMm = 2e-3;
  constexpr int kLookedAt = 40;
  for (const OwnSurvey& survey : ownSurveys()) {
    for (int panels = 2; panels <= 3; ++panels) {
      Json file = gates::gateFile({{"/gate/panels", panels}});
      file["site"]["track_survey_mm"] = survey.points;
      const OwnGate gate(gates::specOf(file), {survey.points});
      const Layout& layout = gate.model.layout;
      ASSERT_LT(gate.wheelsOff(), 0.01) << survey.name;
      double most = 0;
      for (int carrier = 1; carrier < panels; ++carrier) {
        const std::vector<double> closed = gate.goneAt(0);
        for (int i = 1; i <= kLookedAt; ++i) {
          const std::vector<double> gone = gate.goneAt(layout.drive_travel_mm * i / kLookedAt);
          const auto longer = [&](int which) {
            return gate.lengthOf(carrier, which, gone) - gate.lengthOf(carrier, which, closed);
          };
          const double opening = longer(0);
          const double closing = longer(1);
          ASSERT_NEAR(opening, closing, kAlikeMm) << survey.name;
          most = std::max(most, std::abs(opening + closing) / 2);
        }
      }
      EXPECT_NEAR(most, layout.ground.most_rope_error_mm, kAlikeMm) << survey.name;
      EXPECT_LT(most, survey.most_mm) << survey.name << ", " << panels << " panels";
      EXPECT_LT(most, layout.ground.rope_play_mm.back()) << survey.name;
      // By speed ratios alone they would be off by what panels are ahead.
      const Range& ahead = layout.ground.uneven.back().ahead_mm;
      EXPECT_GT(std::max(ahead.high, -ahead.low), most) << survey.name;
    }
  }
}

/// Humps and hollows, what a slab twists, noise of laying, for every track.
std::vector<Points> randomDriveway(Dice& dice, int tracks) {
  struct Hump {
    double at, wide, high;
  };
  std::vector<Hump> humps;
  for (int i = 0; i < 2; ++i) {
    humps.push_back({dice.in(-1000, 8000), dice.in(800, 2500), dice.in(-20, 20)});
  }
  const double grade = dice.in(-0.015, 0.015), twist = dice.in(-0.001, 0.001);
  std::vector<Points> lines;
  for (int track = 0; track < tracks; ++track) {
    Points line;
    for (double x = -600; x <= 12600; x += 600) {
      double z = (grade + twist * track) * x + dice.in(-0.5, 0.5);
      for (const Hump& hump : humps) {
        z += hump.high * std::exp(-std::pow((x - hump.at) / hump.wide, 2));
      }
      line.push_back({x, z});
    }
    lines.push_back(line);
  }
  return lines;
}

// Ropes that are just tight where the ways of both are longest, and the gate pulled open, or shut:
// the rope that pulls keeps its length, to a micrometre, on any ground that is not refused. Where
// that takes every panel, each solved for here, is within what is told and allowed for in every
// clearance; and the other rope is never longer than it is.
TEST(RopeLengths, TheRopeThatPullsKeepsItsLengthWithinThePlay) {
  constexpr double kSolvedMm = 1e-6;
  constexpr double kOtherMm = 0.02;  // carriers stand elsewhere than drawn, too
  constexpr int kLookedAt = 24;
  Dice dice(8822);
  int refused = 0;
  double most = 0, widest = 0;
  const int rounds = gates::rounds(6, 60);
  for (int round = 0; round < rounds; ++round) {
    const int panels = 2 + round % 3;
    const std::vector<Points> lines = randomDriveway(dice, round % 2 == 0 ? 1 : panels);
    Json file = gates::gateFile({{"/gate/panels", panels}});
    file["site"]["track_survey_mm"] = lines.size() > 1 ? Json(lines) : Json(lines[0]);
    const GateSpec spec = gates::specOf(file);
    if (!layOut(spec).problems.empty()) {
      ++refused;
      continue;
    }
    const OwnGate gate(spec, lines);
    ASSERT_LT(gate.wheelsOff(), 0.01) << round;
    const Layout& layout = gate.model.layout;
    const auto driveAt = [&](int i) { return layout.drive_travel_mm * i / kLookedAt; };
    for (const int pulls : {0, 1}) {  // the opening rope of every carrier, or the closing one
      std::vector<std::array<double, 2>> own_length(panels);
      for (int carrier = 1; carrier < panels; ++carrier) {
        const std::vector<double> closed = gate.goneAt(0);
        const double at_closed =
            gate.lengthOf(carrier, 0, closed) + gate.lengthOf(carrier, 1, closed);
        double longest = at_closed;
        constexpr int kFiner = 8;  // where they are longest is sought closer than looked at
        for (int i = 1; i <= kFiner * kLookedAt; ++i) {
          const std::vector<double> gone =
              gate.goneAt(layout.drive_travel_mm * i / (kFiner * kLookedAt));
          longest =
              std::max(longest, gate.lengthOf(carrier, 0, gone) + gate.lengthOf(carrier, 1, gone));
        }
        for (const int which : {0, 1}) {
          own_length[carrier][which] =
              gate.lengthOf(carrier, which, closed) + (longest - at_closed) / 2;
        }
      }
      for (int i = 0; i <= kLookedAt; ++i) {
        std::vector<double> gone = gate.goneAt(driveAt(i));
        for (int carrier = 1; carrier < panels; ++carrier) {
          double& front = gone[carrier + 1];
          // Going on shortens the opening rope's way and lengthens the closing one's.
          const double sign = pulls == 0 ? 1 : -1;
          double off = 1;
          for (int step = 0; step < 20 && std::abs(off) > kSolvedMm; ++step) {
            off = gate.lengthOf(carrier, pulls, gone) - own_length[carrier][pulls];
            front += sign * off;
          }
          ASSERT_LE(std::abs(off), kSolvedMm) << round;
          EXPECT_LE(gate.lengthOf(carrier, 1 - pulls, gone),
                    own_length[carrier][1 - pulls] + kOtherMm)
              << round;
          const double moved = std::abs(front - layout.goneMm(carrier + 1, driveAt(i)));
          EXPECT_LE(moved, layout.ground.rope_play_mm[carrier]) << round << " at " << driveAt(i);
          most = std::max(most, moved);
          widest = std::max(widest, layout.ground.rope_play_mm[carrier]);
        }
      }
    }
  }
  EXPECT_LE(refused * 4, rounds);
  // No empty promise: panels do move by a good part of it.
  EXPECT_GT(most, widest / 4) << widest;
}

// By hand on a level drive: panel k goes k times as far as the drive, and the ground nowhere. On a
// survey, as far as its leading wheel goes in its pose, and panel 1 as far as the drive still.
TEST(RopeLengths, HowFarAPanelHasGone) {
  const Layout level = gates::laidOut(gates::specOf(gates::gateFile({{"/gate/panels", 3}})));
  for (int panel = 0; panel <= 3; ++panel) {
    EXPECT_DOUBLE_EQ(level.goneMm(panel, 700), 700.0 * panel);
  }
  Json file = gates::gateFile({{"/gate/panels", 3}});
  file["site"]["track_survey_mm"] = ownSurveys().back().points;
  const Layout layout = gates::laidOut(gates::specOf(file));
  bool any_ahead = false;
  for (const double drive : {0.0, 333.0, layout.drive_travel_mm}) {
    EXPECT_EQ(layout.goneMm(0, drive), 0);
    EXPECT_DOUBLE_EQ(layout.goneMm(1, drive), drive);
    for (int panel = 1; panel <= 3; ++panel) {
      const BodyTravel& travel = *layout.ground.travels[panel];
      const auto wheel = travel.pivot_mm();
      const auto there = carried(travel.at(drive), {wheel[0], 0, wheel[1]});
      EXPECT_NEAR(layout.goneMm(panel, drive), there[0] - wheel[0], 1e-6) << panel;
      any_ahead = any_ahead || std::abs(layout.goneMm(panel, drive) - panel * drive) > 0.1;
    }
  }
  EXPECT_TRUE(any_ahead);
  EXPECT_NEAR(layout.panel(3).leading_closed_mm + layout.goneMm(3, layout.drive_travel_mm),
              layout.panel(3).leading_open_mm, 1e-6);
}

}  // namespace
}  // namespace leafstack
