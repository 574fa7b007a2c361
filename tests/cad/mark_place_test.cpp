// Marks to engrave: on metal and off every edge, by distances of our own.
#include "exporters/cad/dxf/mark_place.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <sstream>

#include "exporters/cad/dxf/profiles.h"
#include "exporters/paper/wrap/wrap_sheets.h"
#include "generator/shop/wrap/wrap_template.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

struct Text {
  double x = 0, y = 0, height = 0;
  std::string words;
};

/// The texts of one layer, read from group codes (DXF reference: 8 layer, 10 and 20 place, 40
/// height, 1 words).
std::vector<Text> textsOn(const std::string& layer, const std::string& dxf) {
  std::vector<Text> found;
  std::istringstream lines(dxf);
  std::string code, value, entity, on;
  Text text;
  const auto end = [&] {
    if (entity == "TEXT" && on == layer) {
      found.push_back(text);
    }
  };
  while (std::getline(lines, code) && std::getline(lines, value)) {
    const int group = std::stoi(code);
    if (group == 0) {
      end();
      entity = value;
      text = {};
    } else if (group == 8) {
      on = value;
    } else if (group == 10) {
      text.x = std::stod(value);
    } else if (group == 20) {
      text.y = std::stod(value);
    } else if (group == 40) {
      text.height = std::stod(value);
    } else if (group == 1) {
      text.words = value;
    }
  }
  end();
  return found;
}

double toSegment(double x, double y, const std::array<double, 2>& a,
                 const std::array<double, 2>& b) {
  const double ux = b[0] - a[0], uy = b[1] - a[1], square = ux * ux + uy * uy;
  const double share =
      square > 0 ? std::clamp(((x - a[0]) * ux + (y - a[1]) * uy) / square, 0.0, 1.0) : 0;
  return std::hypot(x - a[0] - share * ux, y - a[1] - share * uy);
}

/// Turns of the loop about a point, by angles: 0 outside.
int turnsAbout(double x, double y, const MarkLoop& loop) {
  double sum = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const auto& a = loop[i];
    const auto& b = loop[(i + 1) % loop.size()];
    sum += std::atan2((a[0] - x) * (b[1] - y) - (a[1] - y) * (b[0] - x),
                      (a[0] - x) * (b[0] - x) + (a[1] - y) * (b[1] - y));
  }
  return static_cast<int>(std::lround(sum / (2 * std::acos(-1.0))));
}

double distanceTo(double x, double y, const MarkLoop& loop) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < loop.size(); ++i) {
    least = std::min(least, toSegment(x, y, loop[i], loop[(i + 1) % loop.size()]));
  }
  return least;
}

MarkLoop square(double size) {
  return {{0, 0}, {size, 0}, {size, size}, {0, size}};
}

/// "BP1" of 5 is 13.5 wide at most, with 2 beside it 17.5 by 9.
TEST(MarkPlaces, AreTheLargestThatFit) {
  const auto plain = placeMark("BP1", square(100), {}, 2);
  ASSERT_TRUE(plain);
  EXPECT_EQ(plain->height_mm, 5);
  EXPECT_EQ(plain->x_mm, 2);
  EXPECT_EQ(plain->y_mm, 2);
  EXPECT_EQ(placeMark("BP1", square(16), {}, 2)->height_mm, 4);
  EXPECT_FALSE(placeMark("BP1", square(8), {}, 2));
  // A hole of 60 in the middle of 100 leaves its corners; of 96 nothing.
  const auto beside = placeMark("BP1", square(100), {circleLoop(50, 50, 30)}, 2);
  ASSERT_TRUE(beside);
  EXPECT_GT(std::hypot(beside->x_mm + 13.5 - 50, beside->y_mm + 5 - 50), 32);
  EXPECT_FALSE(placeMark("BP1", square(100), {circleLoop(50, 50, 48)}, 6));
}

/// A quarter of a circle about (0, 0) from (10, 0) to (0, 10): tan(22.5 deg).
TEST(MarkPlaces, ChordsFollowTheirArc) {
  MarkLoop loop;
  addChords(loop, {10, 0}, std::tan(std::acos(-1.0) / 8), {0, 10});
  ASSERT_GT(loop.size(), 8U);
  for (const auto& [x, y] : loop) {
    EXPECT_NEAR(std::hypot(x, y), 10, 1e-9);
    EXPECT_GE(x, -1e-9);
    EXPECT_GE(y, -1e-9);
  }
}

MarkLoop chords(const ProfileLoop& loop) {
  MarkLoop all;
  if (loop.is_circle) {
    return circleLoop(loop.x_mm, loop.y_mm, loop.radius_mm);
  }
  for (std::size_t i = 0; i < loop.vertices.size(); ++i) {
    const ProfileVertex& from = loop.vertices[i];
    const ProfileVertex& to = loop.vertices[(i + 1) % loop.vertices.size()];
    addChords(all, {from.x_mm, from.y_mm}, from.bulge, {to.x_mm, to.y_mm});
  }
  return all;
}

TEST(Marks, OfEveryFlatAreOnMetal) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3}, {"/site/grade", 0.03}});
  const Schedules schedules = makeSchedules(buildModel(spec, gates::laidOut(spec)));
  int marked = 0, flats = 0;
  for (const ProfileRow& row : schedules.profiles) {
    if (!row.profile) {
      continue;
    }
    ++flats;
    EXPECT_TRUE(textsOn("MARK", profileDxf(row, {})).empty());
    for (const Text& text : textsOn("MARK", profileDxf(row, {.with_marks = true}))) {
      ++marked;
      EXPECT_EQ(text.words, row.mark);
      EXPECT_GE(text.height, 2.5);
      const double width = markWidth_mm(text.words, text.height);
      for (int i = 0; i <= 8; ++i) {
        for (int k = 0; k <= 4; ++k) {
          const double x = text.x + width * i / 8, y = text.y + text.height * k / 4;
          for (std::size_t loop = 0; loop < row.profile->loops.size(); ++loop) {
            const MarkLoop edge = chords(row.profile->loops[loop]);
            EXPECT_EQ(turnsAbout(x, y, edge) != 0, loop == 0) << row.mark;
            EXPECT_GE(distanceTo(x, y, edge), 1.9) << row.mark;
          }
        }
      }
    }
  }
  EXPECT_GT(marked, flats / 2);
}

TEST(Marks, OfTubesAreOnTheirTemplates) {
  const Model model = gates::modelWith({{"/gate/panels", 2}});
  int marked = 0;
  for (const Part& part : model.parts) {
    if (const auto made = wrapTemplateOf(part)) {
      EXPECT_TRUE(textsOn("MARK", wrapDxf(*made)).empty());
      const std::vector<Text> texts = textsOn("MARK", wrapDxf(*made, /*with_mark=*/true));
      ASSERT_EQ(texts.size(), 1U) << part.mark;
      EXPECT_EQ(texts.front().words, part.mark);
      for (const WrapCurve& cutout : made->cutouts) {
        const WrapBox box = boxOf(cutout);
        const double width = markWidth_mm(part.mark, texts.front().height);
        EXPECT_TRUE(texts.front().x + width < box.x0_mm - 1.9 ||
                    texts.front().x > box.x1_mm + 1.9 ||
                    texts.front().y + texts.front().height < box.y0_mm - 1.9 ||
                    texts.front().y > box.y1_mm + 1.9)
            << part.mark;
      }
      ++marked;
    }
  }
  EXPECT_GE(marked, 2);
}

}  // namespace
}  // namespace leafstack
