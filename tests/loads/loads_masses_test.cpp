// Masses, wheel loads and front areas of whole gates against their own sums.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <string>

#include "generator/loads/loads.h"
#include "generator/loads/loads_parts.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

// ---------------------------------------------------------------- masses

// Every panel's mass, and the first moments, by summing the solids' own instances another way: each
// part's mass at the middle of gravity of its placed solid's bounds is wrong, so the kernel's
// centre is carried by hand.
TEST(LoadMasses, SumsOfTheParts) {
  for (const auto& built : gates::builtMatrix()) {
    SCOPED_TRACE(built.text);
    const LoadReport report = findLoads(built.model);
    double moving = 0, moment_x = 0;
    for (const Instance& instance : built.model.instances) {
      const Part& part = built.model.parts[instance.part];
      if (instance.panel > 0) {
        moving += part.massKg();
        gp_Pnt centre(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2]);
        centre.Transform(instance.at_closed.Transformation());
        moment_x += part.massKg() * centre.X() * built.model.opening_sign;
      }
    }
    EXPECT_NEAR(report.drive.moving_mass_kg, moving, 1e-6);
    EXPECT_NEAR(report.drive.centre_mm[0] * moving, moment_x, 1e-3);
    for (const PanelLoad& panel : report.panels) {
      const PanelLayout& layout = built.model.layout.panel(panel.number);
      EXPECT_GT(panel.mass.centre_mm[0], layout.leading_closed_mm);
      EXPECT_LT(panel.mass.centre_mm[0], layout.trailing_closed_mm);
      EXPECT_EQ(panel.mass.wheels_x_mm.size(), 2U);
      // Both wheels carry the weight, and in balance about the centre.
      const double weight = panel.mass.mass_kg * kGravity;
      EXPECT_NEAR(panel.leading_wheel_N + panel.trailing_wheel_N, weight, 1e-6);
      EXPECT_NEAR(panel.leading_wheel_N * (panel.mass.centre_mm[0] - panel.mass.wheels_x_mm[0]),
                  panel.trailing_wheel_N * (panel.mass.wheels_x_mm[1] - panel.mass.centre_mm[0]),
                  1e-3);
    }
  }
}

// On a slope the wheels touch square below their axles, 45 sin uphill of them; a raked panel's
// centre stays between its ends, so its downhill wheel takes a little more and no more than that.
TEST(LoadMasses, WheelsOnASlopeBalanceAboutWhereTheyTouch) {
  const LoadReport report = findLoads(gates::modelWith({{"/site/grade", 0.1}}));
  for (const PanelLoad& panel : report.panels) {
    const double shift = HardwareSpec().wheel.running_mm / 2 * 0.1 / std::sqrt(1.01);
    const double lead = panel.mass.centre_mm[0] - (panel.mass.wheels_x_mm[0] + shift);
    const double trail = panel.mass.wheels_x_mm[1] + shift - panel.mass.centre_mm[0];
    EXPECT_NEAR(panel.leading_wheel_N * lead, panel.trailing_wheel_N * trail, 1e-3);
    EXPECT_NEAR(panel.leading_wheel_N + panel.trailing_wheel_N, panel.mass.mass_kg * kGravity,
                1e-6);
  }
}

// ---------------------------------------------------------------- solidity

// Plain arithmetic of a picketed panel 2: rails over the whole length, uprights and pickets
// between.
TEST(FrontAreas, PicketsByHand) {
  const Model model = gates::modelWith({{"/gate/infill/gap_mm", 90}});
  const PanelLayout& panel = model.layout.panel(2);
  double widths = 0;
  for (const Instance& instance : model.instances) {
    const PartKind kind = model.parts[instance.part].kind;
    if (instance.panel == 2 && kind == PartKind::kPicket) {
      widths += 25;
    } else if (instance.panel == 2 && kind == PartKind::kStile) {
      widths += 50;
    }
  }
  const FrontArea area = frontArea(model, 2, panel.leading_closed_mm, panel.trailing_closed_mm);
  const double length = panel.length_mm;
  EXPECT_NEAR(area.gross_mm2, length * 1650, 1);
  EXPECT_NEAR(area.solid_mm2, length * 150 + widths * 1500, 1);
}

TEST(FrontAreas, AreSolidBehindBoardsAndSheetsAndTheSameOnASlope) {
  const auto solidity = [](const Model& model) {
    const PanelLayout& panel = model.layout.panel(2);
    return frontArea(model, 2, panel.leading_closed_mm, panel.trailing_closed_mm).solidity();
  };
  EXPECT_NEAR(solidity(gates::modelWith({{"/gate/infill/kind", "sheet"}})), 1, 1e-9);
  const double level = solidity(gates::modelWith({}));
  EXPECT_LT(level, 0.6);
  for (double grade : {0.1, -0.1}) {
    EXPECT_NEAR(solidity(gates::modelWith({{"/site/grade", grade}})), level, 0.02) << grade;
  }
  const Json boards{{"kind", "boards"}, {"gap_mm", 0}};
  const double clad = solidity(gates::modelWith({{"/gate/cladding", boards}}));
  EXPECT_GT(clad, 0.97);
  EXPECT_LE(clad, 1);
  EXPECT_EQ(solidity(gates::modelWith({{"/site/opens", "left"}})), level);
}

}  // namespace
}  // namespace leafstack
