// Stations of a surveyed line: close enough for chords, never so close that the kernel sees one.
#include <gtest/gtest.h>

#include "generator/layout/travel/ground_line.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

constexpr double kSagittaMm = 0.01;

using Survey = std::vector<std::array<double, 2>>;

/// A point every `step_mm`, up and down in turn.
Survey zigzag(int count, double step_mm, double height_mm) {
  Survey points;
  for (int i = 0; i < count; ++i) {
    points.push_back({i * step_mm, height_mm * (i % 2)});
  }
  return points;
}

void expectApart(const Survey& survey, double from, double to) {
  const std::vector<double> stations = GroundLine::through(survey).stations(from, to, kSagittaMm);
  EXPECT_EQ(stations.front(), from);
  EXPECT_EQ(stations.back(), to);
  for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
    // A ten-thousandth of a millimetre is what the kernel takes for one point, a thousand times.
    EXPECT_GT(stations[i + 1] - stations[i], 1e-4) << "before " << stations[i + 1];
  }
}

TEST(GroundStations, ApartOnAZigzag) {
  expectApart(zigzag(200, 90, 8), -3000, 21120.769);
  expectApart(zigzag(200, 50, 4), 3060, 12120.769);
}

TEST(GroundStations, ApartWhateverTheSteps) {
  Dice dice(4);
  for (int i = 0; i < 300; ++i) {
    const double step = 20 + dice.below(1000000) * 1e-4;
    const double from = -dice.below(1000) / 7.0;
    // Ends at a point, and by rounding beside one.
    const int last = 1 + dice.below(30);
    for (double to : {last * step, std::nextafter(last * step, 0), last * step + 1e-9}) {
      expectApart(zigzag(40, step, 3), from, to);
    }
  }
}

/// Between the stations the chord keeps to the line, though some stations were taken for one.
TEST(GroundStations, ChordsKeepToTheLine) {
  const GroundLine line = GroundLine::through(zigzag(60, 90, 8));
  const std::vector<double> stations = line.stations(-500, 5700, kSagittaMm);
  for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
    for (double share : {0.25, 0.5, 0.75}) {
      const double x = stations[i] + share * (stations[i + 1] - stations[i]);
      const double chord = line.heightMm(stations[i]) +
                           share * (line.heightMm(stations[i + 1]) - line.heightMm(stations[i]));
      EXPECT_NEAR(chord, line.heightMm(x), kSagittaMm * 1.001) << x;
    }
  }
}

}  // namespace
}  // namespace leafstack
