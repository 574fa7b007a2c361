#include "exporters/page/deflected_figure.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "generator/loads/loads.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

std::size_t countOf(const std::string& text, const std::string& what) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
    ++count;
  }
  return count;
}

// Worked by hand. A rail of 1000 and a post of 500 whose top goes 10 away from the road: eight
// hundredths of the length are 80, so five times as far is drawn, 50, which is 27.5 to the right
// and 17.5 up. Half the width, less margins, 493, is a scale of 0.493; the whole is 517.5 high.
TEST(DeflectedFigure, ToScaleAndExaggeratedByHand) {
  StructureReport structure;
  structure.deflection_limit_mm = 34;
  DeflectedShape shape{"closed", "closed, wind from the road", 10, true, {}};
  shape.lines.push_back({1, false, {0, 0, 0}, {1000, 0, 0}, {0, 0, 0}, {1000, 0, 0}});
  shape.lines.push_back({1, false, {0, 0, 0}, {0, 0, 500}, {0, 0, 0}, {0, 10, 500}});
  structure.deflected.push_back(shape);
  const std::string figure = deflectedFigures(structure, 1);
  EXPECT_NE(figure.find("L16.7 20.9"), std::string::npos) << figure;   // 14 + 5.5 and 14 x 0.493
  EXPECT_NE(figure.find("L546.6 14.0"), std::string::npos) << figure;  // 533 + 27.5 x 0.493
  EXPECT_NE(figure.find("L14.0 22.6"), std::string::npos) << figure;   // as it stands
  EXPECT_NE(figure.find("moves up to 10 mm across the track, of 34 mm allowed"), std::string::npos);
  EXPECT_NE(figure.find("movements 5 times"), std::string::npos);
}

TEST(DeflectedFigure, ThreePositionsOfAGateTheSameBytesTwice) {
  const Model model = gates::modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  const StructureReport structure = findLoads(model).structure;
  const std::string figures = deflectedFigures(structure, model.opening_sign);
  EXPECT_EQ(countOf(figures, "<svg"), 3U);
  for (const char* state : {"closed, ", "half open, ", "parked, "}) {
    EXPECT_NE(figures.find("<figcaption>" + std::string(state)), std::string::npos) << state;
  }
  ASSERT_EQ(structure.deflected.size(), 3U);
  double most = 0;
  for (const DeflectedShape& shape : structure.deflected) {
    most = std::max(most, shape.most_mm);
    // Every tube, each drawn twice and, as it stands, once more for either.
    EXPECT_GT(shape.lines.size(), 100U);
  }
  EXPECT_EQ(most, structure.deflection_mm);
  const std::size_t strokes = structure.deflected[0].lines.size() +
                              structure.deflected[1].lines.size() +
                              structure.deflected[2].lines.size();
  // Left: "to scale" in the caption; three arrows of three strokes.
  EXPECT_EQ(countOf(figures, "L") - 9 - 3, 4 * strokes);
  EXPECT_EQ(figures, deflectedFigures(findLoads(model).structure, model.opening_sign));
  EXPECT_EQ(deflectedFigures({}, 1), "");
}

}  // namespace
}  // namespace leafstack
