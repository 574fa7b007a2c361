// The table of shims against hand arithmetic: a slab surveyed at three points, whose bent line is a
// cubic in closed form.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "exporters/lists/tables.h"
#include "generator/layout/laying/straight_line.h"
#include "generator/layout/layout.h"
#include "tests/support/random_gates.h"

namespace leafstack::shims_by_hand {
namespace {

using gates::Json;

constexpr double kFromMm = -1000, kHalfMm = 6000, kDeepMm = 24;
constexpr double kPrintedMm = 0.055;  // a table says tenths, of places too

/// A natural cubic through (0, 0), (h, -d), (2 h, 0): its second derivative goes evenly from 0 to
/// 3 d / h^2 in the middle and back, so z = -d (3 t - t^3) / 2 with t = x / h from either end.
double bentMm(double x) {
  const double t = std::min(x - kFromMm, kFromMm + 2 * kHalfMm - x) / kHalfMm;
  return -kDeepMm * (3 * t - t * t * t) / 2;
}

struct Row {
  int track = 0;
  double x = 0, slab = 0, laid = 0, shim = 0, grind = 0, if_shim = 0, if_grind = 0;
};

std::vector<Row> rowsOf(const std::string& csv) {
  std::istringstream lines(csv);
  std::string line;
  std::getline(lines, line);
  EXPECT_EQ(line.substr(0, 51), "track,x_mm,slab_z_mm,laid_z_mm,shim_mm,grind_mm,if_");
  std::vector<Row> rows;
  while (std::getline(lines, line)) {
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream cells(line);
    Row row;
    cells >> row.track >> row.x >> row.slab >> row.laid >> row.shim >> row.grind >> row.if_shim >>
        row.if_grind;
    EXPECT_TRUE(cells) << line;
    rows.push_back(row);
  }
  return rows;
}

std::vector<Row> tableOf(const char* laying) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["track_survey_mm"] = {
      {kFromMm, 0}, {kFromMm + kHalfMm, -kDeepMm}, {kFromMm + 2 * kHalfMm, 0}};
  file["site"]["track_laying"] = laying;
  return rowsOf(shimsCsv(gates::laidOut(gates::specOf(file)).ground));
}

/// What a straight line over these rows' slab costs.
double costOf(const std::vector<Row>& rows, double first_up, double last_up) {
  double cost = 0;
  for (const Row& row : rows) {
    const double share = (row.x - rows.front().x) / (rows.back().x - rows.front().x);
    const double line = (1 - share) * rows.front().laid + share * rows.back().laid +
                        (1 - share) * first_up + share * last_up;
    const double over = line - (bentMm(row.x) - bentMm(0));
    cost += over > 0 ? over : -kGrindingCost * over;
  }
  return cost;
}

TEST(ShimTable, IsHandArithmetic) {
  const std::vector<Row> straight = tableOf("straight");
  const std::vector<Row> bent = tableOf("bent");
  for (const int track : {1, 2}) {
    std::vector<Row> rows;
    std::copy_if(straight.begin(), straight.end(), std::back_inserter(rows),
                 [&](const Row& row) { return row.track == track; });
    ASSERT_GT(rows.size(), 10U);
    double most = 0;
    for (const Row& row : rows) {
      const double share = (row.x - rows.front().x) / (rows.back().x - rows.front().x);
      EXPECT_NEAR(row.slab, bentMm(row.x) - bentMm(0), kPrintedMm) << row.x;
      EXPECT_NEAR(row.laid, (1 - share) * rows.front().laid + share * rows.back().laid,
                  2 * kPrintedMm)
          << row.x;
      const double over = row.laid - row.slab;
      EXPECT_NEAR(row.shim, std::max(0.0, over), 3 * kPrintedMm);
      EXPECT_NEAR(row.grind, std::max(0.0, -over), 3 * kPrintedMm);
      EXPECT_EQ(row.if_shim, row.shim);
      EXPECT_EQ(row.if_grind, row.grind);
      most = std::max(most, row.shim);
    }
    EXPECT_GT(most, 5);
    // Cost is convex in a line's two ends: what no small step betters is the least there is.
    const double least = costOf(rows, 0, 0);
    constexpr double kStepMm = 1;  // far above what printing rounds
    for (const double first : {-kStepMm, 0.0, kStepMm}) {
      for (const double last : {-kStepMm, 0.0, kStepMm}) {
        EXPECT_GE(costOf(rows, first, last), least - 1) << track << ' ' << first << ' ' << last;
      }
    }
  }
  // Bent, the bar lies on the slab, and the table says what straight bars would take.
  ASSERT_EQ(bent.size(), straight.size());
  for (std::size_t i = 0; i < bent.size(); ++i) {
    EXPECT_NEAR(bent[i].x, straight[i].x, 0.5);  // panels lean otherwise by then
    EXPECT_NEAR(bent[i].laid, bent[i].slab, kPrintedMm);
    EXPECT_EQ(bent[i].shim + bent[i].grind, 0);
    EXPECT_NEAR(bent[i].if_shim, straight[i].shim, 0.25);
    EXPECT_NEAR(bent[i].if_grind, straight[i].grind, 0.25);
  }
}

}  // namespace
}  // namespace leafstack::shims_by_hand
