// The picture: properties I1 to I4 of picture.h, and the pieces it is made of.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "exporters/folder/gate_folder.h"
#include "exporters/paper/pictures/picture.h"
#include "generator/clash/report/clash.h"
#include "generator/geometry/triangles.h"
#include "params/read_gate.h"
#include "tests/support/export_toy_model.h"
#include "tests/support/markup.h"
#include "tests/support/run_program.h"

namespace leafstack {
namespace {

ResolvedGate gate(const std::vector<Override>& overrides) {
  ReadResult read = readGate(starterGate(), "starter", overrides);
  if (!read.gate) {
    throw std::runtime_error(toString(read.problems.front()));
  }
  return std::move(*read.gate);
}

Model modelOf(const std::vector<Override>& overrides) {
  const GateSpec spec = gate(overrides).spec;
  const LayoutResult result = layOut(spec);
  return buildModel(spec, result.layout);
}

const Override kThreePanels = {"/gate/panels", "3"};
const Override kSheet = {"/gate/infill/kind", "sheet"};
const Override kLeft = {"/site/opens", "left"};

struct Extents {
  double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
  void include(const SheetLoop& points) {
    for (const SheetPoint& point : points) {
      left = std::min(left, point[0]);
      right = std::max(right, point[0]);
      top = std::min(top, point[1]);
      bottom = std::max(bottom, point[1]);
    }
  }
};

std::map<int, Extents> extentsByPanel(const PictureDrawing& drawing) {
  std::map<int, Extents> extents;
  for (const PictureFill& fill : drawing.fills) {
    for (const SheetLoop& loop : fill.loops) {
      extents[fill.panel].include(loop);
    }
  }
  for (const PictureLine& line : drawing.lines) {
    extents[line.panel].include(line.points);
  }
  return extents;
}

TEST(Picture, IsWellFormedWhateverTheTitle) {
  Model model = modelOf({});
  model.spec.job.title = "Bar <b> & \"Sons\"\x01\t\xC3\xA9" + std::string(200, 'x');
  const std::string svg = GatePictures(model).svgAt(0);
  EXPECT_EQ(markupFault(svg), "");
  EXPECT_NE(svg.find("Bar &lt;b&gt; &amp; \"Sons\"  \xC3\xA9xxx"), std::string::npos);
  EXPECT_EQ(svg.find(std::string(80, 'x')), std::string::npos) << "long titles are cut";
  EXPECT_NE(markupFault("<?xml?><svg><g></svg>"), "") << "the check itself finds faults";
  EXPECT_LT(svg.size(), 1'000'000U);
}

TEST(Picture, ShowsEveryPanelAndTheFigures) {
  const Model model = modelOf({kThreePanels, {"/job/title", "North yard"}});
  for (const double share : {0.0, 0.5, 1.0}) {
    const double drive_mm = share * model.layout.drive_travel_mm;
    const PictureDrawing drawing = GatePictures(model).at(drive_mm);
    const std::string svg = pictureSvg(model, drive_mm, drawing);
    const auto extents = extentsByPanel(drawing);
    for (int panel = 0; panel <= 3; ++panel) {
      const std::string name = panel == 0 ? "site" : "panel-" + std::to_string(panel);
      EXPECT_NE(svg.find("id=\"" + name + "-faces\""), std::string::npos) << name;
      EXPECT_NE(svg.find("id=\"" + name + "-lines\""), std::string::npos) << name;
      ASSERT_TRUE(extents.contains(panel));
      EXPECT_GT(extents.at(panel).right - extents.at(panel).left, 200) << name;
    }
    EXPECT_NE(svg.find(">North yard<"), std::string::npos);
    EXPECT_NE(svg.find(">opening 6000<"), std::string::npos);
    EXPECT_NE(svg.find(">room 2337<"), std::string::npos);
    EXPECT_NE(svg.find(">" + travelState(model, drive_mm) + "<"), std::string::npos);
  }
  EXPECT_EQ(travelState(model, 0), "closed");
  EXPECT_EQ(travelState(model, 500), "1500 of 6000 mm open");
  EXPECT_EQ(travelState(model, model.layout.drive_travel_mm), "open");
}

TEST(Picture, PanelsMoveByTheirTravelInOneFrame) {
  const Model model = modelOf({kThreePanels});
  const PictureDrawing ajar = GatePictures(model).at(300);  // clear of the latch post
  const PictureDrawing wider = GatePictures(model).at(600);
  EXPECT_EQ(ajar.height, wider.height);
  auto before = extentsByPanel(ajar);
  auto after = extentsByPanel(wider);
  // The front panel goes three times as far as the drive; the view shows a fixed share of it.
  const Vec3 moved = seen(roadView(1), {3 * 300, 0, 0});
  constexpr double kOnePixel = 0.5;
  EXPECT_NEAR(after[3].left - before[3].left, moved[0] * ajar.scale.units_per_mm, kOnePixel);
  EXPECT_NEAR(before[3].bottom - after[3].bottom, moved[1] * ajar.scale.units_per_mm, kOnePixel);
  EXPECT_NEAR(after[0].left, before[0].left, kOnePixel) << "the site stays";
}

TEST(Picture, LeftHandIsTheMirrorImage) {
  const Model right = modelOf({kThreePanels});
  const Model left = modelOf({kThreePanels, kLeft});
  for (const double drive_mm : {0.0, 1000.0}) {
    const PictureDrawing a = GatePictures(right).at(drive_mm);
    const PictureDrawing b = GatePictures(left).at(drive_mm);
    EXPECT_EQ(a.height, b.height);
    EXPECT_FALSE(a.is_mirrored);
    EXPECT_TRUE(b.is_mirrored);
    auto one = extentsByPanel(a);
    auto other = extentsByPanel(b);
    constexpr double kOnePixel = 0.5;  // and half of one: edges fall on either side of a middle
    for (int panel = 0; panel <= 3; ++panel) {
      EXPECT_NEAR(one[panel].left, a.width - other[panel].right, kOnePixel) << panel;
      EXPECT_NEAR(one[panel].right, a.width - other[panel].left, kOnePixel) << panel;
      EXPECT_NEAR(one[panel].top, other[panel].top, kOnePixel) << panel;
      EXPECT_NEAR(one[panel].bottom, other[panel].bottom, kOnePixel) << panel;
    }
  }
}

/// Stretches of panels other than `panel` with a corner inside the outline of that panel's infill,
/// seen from the front; a margin keeps clear of its edges.
int stretchesBehind(const Model& model, double drive_mm, int panel) {
  const PictureDrawing drawing = GatePictures(model).at(drive_mm);
  const PanelLayout& row = model.layout.panel(panel);
  constexpr double kMarginMm = 150;
  const double from = row.leading_closed_mm + row.speed_ratio * drive_mm + kMarginMm;
  const double to = from + row.frame_length_mm - 2 * kMarginMm;
  const double low = model.layout.heights.underside_mm + model.layout.heights.rail_height_mm + 60;
  const double high = model.layout.heights.top_mm - kMarginMm;
  const PictureView view = roadView(model.opening_sign);
  const auto onSheet = [&](const Vec3& at) {
    const SheetPoint point = drawing.scale.at(at[0], at[1]);
    return Vec3{point[0], point[1], 0};
  };
  std::vector<Vec3> quad;
  for (const auto& [x, z] : {std::pair{from, low}, {to, low}, {to, high}, {from, high}}) {
    quad.push_back(onSheet(seen(view, {x, row.front_y_mm, z})));
  }
  int found = 0;
  for (const PictureLine& line : drawing.lines) {
    const bool is_inside = std::any_of(line.points.begin(), line.points.end(), [&](const auto& p) {
      bool inside = true;
      for (int i = 0; i < 4; ++i) {
        const Vec3 side = minus(quad[(i + 1) % 4], quad[i]);
        inside = inside && side[0] * (p[1] - quad[i][1]) - side[1] * (p[0] - quad[i][0]) < 0;
      }
      return inside;
    });
    found += is_inside && line.panel != panel && line.panel != 0 ? 1 : 0;
  }
  return found;
}

TEST(Picture, NothingShowsThroughASheet) {
  const Model pickets = modelOf({kThreePanels});
  const Model sheets = modelOf({kThreePanels, kSheet});
  const double half_mm = pickets.layout.drive_travel_mm / 2;
  EXPECT_EQ(stretchesBehind(sheets, half_mm, 3), 0);
  EXPECT_GT(stretchesBehind(pickets, half_mm, 3), 20) << "between pickets the next panel shows";
}

class PictureFolder : public InAFolder {};

TEST_F(PictureFolder, PicturesComeOnRequestAndStandInTheManifest) {
  const ResolvedGate resolved = gate({{"/gate/panels", "1"}, {"/site/opening_mm", "3000"}});
  const Model model = buildModel(resolved.spec, layOut(resolved.spec).layout);
  const std::vector<std::string> by_default = plannedFiles({resolved, model, {}, {}, {}}, {});
  EXPECT_EQ(std::count(by_default.begin(), by_default.end(), "pictures/half.svg"), 0);
  OutputChoice only_pictures;
  only_pictures.only = {"pictures"};

  const fs::path out = base_ / "out";
  const Schedules schedules = makeSchedules(model);
  const ClashReport clash = checkClashes(model);
  OutputFolder folder(out, false);
  writeGateFolder(folder, {resolved, model, schedules, clash, {}}, only_pictures,
                  {"2024-05-01T12:00:00Z", "ab"}, [](std::string_view, int, int) {});
  const double travel = model.layout.drive_travel_mm;
  EXPECT_TRUE(read("out/pictures/open.svg") == GatePictures(model).svgAt(travel));
  EXPECT_TRUE(read("out/pictures/half.svg") == GatePictures(model).svgAt(travel / 2));
  EXPECT_TRUE(read("out/pictures/closed.svg") == GatePictures(model).svgAt(0));
  const auto manifest = nlohmann::json::parse(read("out/manifest.json"));
  EXPECT_TRUE(read("out/pictures/travel.svg").find("panel 1 leading") != std::string::npos);
  EXPECT_EQ(manifest["files"].size(), 4U);
  EXPECT_EQ(plannedFiles({resolved, model, {}, {}, {}}, only_pictures).size(), 5U);
}

}  // namespace
}  // namespace leafstack
