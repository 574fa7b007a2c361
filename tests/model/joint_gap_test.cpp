// What lies before a round corner: joined up to 0.8 mm off it, which meshes can tell from exact
// faces (a gap of 1 is bridged, less what two meshes may be off round faces); beyond, no joint, and
// no clash by a weld that is lost.
#include <gtest/gtest.h>

#include <cmath>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "tests/support/random_gates.h"

namespace leafstack::joint_gap {
namespace {

using gates::Json;

GateSpec withDrop(double drop_mm) {
  Json file = gates::gateFile({{"/gate/panels", 2}, {"/site/opening_mm", 4000}});
  file["guides"]["drop_mm"] = {drop_mm, drop_mm};
  return gates::specOf(file);
}

/// The toe's upper edge over the lower face of panel 2's top rail.
double toeUpMm(const GateSpec& spec, const Layout& layout) {
  const GuideLayout& guide = layout.guides.back();
  const double toe = guide.z_mm - guide.rail_size_mm / 2 + spec.hardware.guide.rail_thickness_mm;
  return toe - (layout.panel(2).top_z_mm - spec.gate.top_rail.height_mm);
}

bool isJoined(const Model& model) {
  const auto is = [&](int instance, PartKind kind) {
    const Instance& one = model.instances[instance];
    return one.panel == 2 && model.parts[one.part].kind == kind;
  };
  for (const Contact& contact : model.contacts) {
    if ((is(contact.a, PartKind::kGuideRail) && is(contact.b, PartKind::kTopRail)) ||
        (is(contact.b, PartKind::kGuideRail) && is(contact.a, PartKind::kTopRail))) {
      return true;
    }
  }
  return false;
}

TEST(JointGap, AGuideRailBesideARoundCorner) {
  constexpr double kAnyDropMm = 3;
  const GateSpec any = withDrop(kAnyDropMm);
  const double at_none = toeUpMm(any, gates::laidOut(any)) + kAnyDropMm;
  const double radius = cornerRadii(any.gate.top_rail).outer_mm;
  for (const double gap : {0.3, 0.55, 0.9, 1.03}) {
    // In the face's plane, so far below its flat's end, a point is that far off the corner's arc.
    const double below = std::sqrt((radius + gap) * (radius + gap) - radius * radius);
    const GateSpec spec = withDrop(at_none - radius + below);
    const Layout layout = gates::laidOut(spec);
    ASSERT_NEAR(toeUpMm(spec, layout), radius - below, 1e-6);
    const Model model = buildModel(spec, layout);
    EXPECT_EQ(isJoined(model), gap < 0.8) << gap;
    const ClashReport report = checkClashes(model);
    EXPECT_TRUE(report.findings.empty()) << gap << ": " << report.findings.front().text;
  }
}

}  // namespace
}  // namespace leafstack::joint_gap
