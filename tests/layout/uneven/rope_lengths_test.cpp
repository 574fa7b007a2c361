// Ropes of fixed length on their true ways. Only where bodies stand closed and how far each panel
// has gone along the track is the program's; the ground is another spline's solver
// (reference_ground.h), and how a panel stands on its two wheels and how long its ropes then are is
// worked out here. Own surveys.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"
#include "tests/layout/uneven/reference_ground.h"
#include "tests/support/built_gates.h"

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
      const GateSpec spec = gates::specOf(file);
      const Model model = buildModel(spec, gates::laidOut(spec));
      const Layout& layout = model.layout;
      const HardwareSpec& shelf = spec.hardware;
      Points points = survey.points;
      const double datum = ReferenceGround(points).height(0);
      for (auto& point : points) {
        point[1] -= datum;
      }
      const ReferenceGround line(points);
      const double up = spec.gate.ground_clearance_mm - undersideOverFootingMm(shelf);
      const double off = shelf.track.size_mm + shelf.wheel.running_mm / 2;
      std::vector<OwnPanel> own;
      for (int k = 1; k <= panels; ++k) {
        std::vector<Place> wheels;
        for (const Instance& one : model.instances) {
          if (one.panel == k && model.parts[one.part].kind == PartKind::kWheel) {
            const gp_XYZ at = one.at_closed.Transformation().TranslationPart();
            wheels.push_back({at.X(), at.Z()});
          }
        }
        ASSERT_EQ(wheels.size(), 2U);
        if (wheels[0].x > wheels[1].x) {
          std::swap(wheels[0], wheels[1]);
        }
        own.emplace_back(line, up, off, wheels[0], wheels[1]);
        ASSERT_LT(own.back().offClosed(), 0.01) << survey.name;
      }
      // By carrier: by how much its opening and its closing rope are longer than closed.
      std::vector<std::array<std::array<double, 2>, kLookedAt + 1>> longer(panels);
      for (const RopeRun& run : model.ropes) {
        auto closed = ropeLineAt(model, run, 0);  // along the carrier's rail
        for (auto& point : closed) {
          gp_Pnt there(point[0], point[1], point[2]);
          there.Transform(model.instances[run.instance].at_closed.Transformation());
          point = {there.X(), there.Y(), there.Z()};
        }
        const std::size_t last = closed.size() - 1;
        const OwnRope rope{closed[0], closed[1], closed[last - 1], closed[last]};
        const auto lengthAt = [&](double drive) {
          const auto there = [&](int body, const std::array<double, 3>& at) {
            const Place place =
                body == 0 ? Place{at[0], at[2]}
                          : own[body - 1].carried({at[0], at[2]}, layout.goneMm(body, drive));
            return std::array<double, 3>{place.x, at[1], place.z};
          };
          const auto apart = [](const std::array<double, 3>& a, const std::array<double, 3>& b) {
            return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
          };
          return apart(there(run.frontBody(), rope.front), there(run.carrier, rope.from_pulley)) +
                 apart(there(run.rearBody(), rope.rear), there(run.carrier, rope.to_pulley));
        };
        const double length = lengthAt(0);
        for (int i = 1; i <= kLookedAt; ++i) {
          longer[run.carrier][i][run.opening ? 0 : 1] =
              lengthAt(layout.drive_travel_mm * i / kLookedAt) - length;
        }
      }
      double most = 0;
      for (const auto& of_carrier : longer) {
        for (const auto& [opening, closing] : of_carrier) {
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

}  // namespace
}  // namespace leafstack
