// A made-up drawing sheet with one of everything: every line role, arcs, areas with holes,
// lettering of all anchors and turns, dimensions of every kind and direction.
#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack::sample_sheet {

inline Path path(LineRole role, std::vector<PathVertex> vertices, bool is_closed = false) {
  return {role, std::move(vertices), is_closed};
}

inline Path rectangle(LineRole role, double x, double y, const PaperPoint& size) {
  return path(
      role, {{x, y}, {x + size.x_mm, y}, {x + size.x_mm, y + size.y_mm}, {x, y + size.y_mm}}, true);
}

inline Path circle(LineRole role, const PaperPoint& centre, double radius) {
  return path(
      role, {{centre.x_mm - radius, centre.y_mm, 1}, {centre.x_mm + radius, centre.y_mm, 1}}, true);
}

/// Between two points on paper at a scale of 1 to `scale`, number above the line.
inline Dimension linear(const PaperPoint& from, const PaperPoint& to, const PaperPoint& line_at,
                        double angle_deg, double scale) {
  Dimension d;
  d.from = from;
  d.to = to;
  d.line_at = line_at;
  d.angle_deg = angle_deg;
  d.mm_per_mm = scale;
  const double angle = angle_deg * std::numbers::pi / 180, c = std::cos(angle), s = std::sin(angle);
  d.value_mm = scale * std::abs((to.x_mm - from.x_mm) * c + (to.y_mm - from.y_mm) * s);
  const double middle = ((from.x_mm + to.x_mm) / 2 - line_at.x_mm) * c +
                        ((from.y_mm + to.y_mm) / 2 - line_at.y_mm) * s;
  d.text_deg = angle_deg;
  d.text_at = {line_at.x_mm + middle * c - s, line_at.y_mm + middle * s + c};  // 1 mm off
  return d;
}

/// Along X, its number upright at the end of its line.
inline Dimension running(const PaperPoint& datum, const PaperPoint& feature, const PaperPoint& end,
                         double scale) {
  Dimension d;
  d.kind = DimensionKind::kRunning;
  d.from = datum;
  d.to = feature;
  d.line_at = end;
  d.mm_per_mm = scale;
  d.value_mm = scale * std::abs(feature.x_mm - datum.x_mm);
  d.text_deg = 90;
  const double sign = end.y_mm < feature.y_mm ? -1 : 1;
  const double half = textWidthMm(d.text(), d.height_mm) / 2;
  d.text_at = {end.x_mm + d.height_mm / 2, end.y_mm + sign * (1 + half)};
  return d;
}

inline void addLines(Sheet& sheet) {
  auto& paths = sheet.paths;
  paths.push_back(rectangle(LineRole::kFrame, 20, 10, {390, 277}));
  double y = 270;
  for (const LineRole role :
       {LineRole::kVisible, LineRole::kFine, LineRole::kHidden, LineRole::kCentre,
        LineRole::kPhantom, LineRole::kDimension, LineRole::kHatch, LineRole::kCutting,
        LineRole::kRope, LineRole::kGround, LineRole::kTable}) {
    paths.push_back(path(role, {{30, y}, {100, y}}));
    paths.push_back(path(role, {{105, y - 3}, {115, y - 3, -0.5}, {120, y + 2}, {140, y + 2}}));
    y -= 7;
  }
  // A plate with rounded corners and a slot, and axes.
  const double round = std::tan(std::numbers::pi / 8);
  paths.push_back(path(LineRole::kVisible,
                       {{65, 80, 0},
                        {155, 80, round},
                        {160, 85, 0},
                        {160, 135, round},
                        {155, 140, 0},
                        {65, 140, round},
                        {60, 135, 0},
                        {60, 85, round}},
                       true));
  paths.push_back(
      path(LineRole::kVisible, {{90, 105, 0}, {130, 105, 1}, {130, 115, 0}, {90, 115, 1}}, true));
  paths.push_back(circle(LineRole::kVisible, {75, 125}, 6));
  paths.push_back(circle(LineRole::kHidden, {75, 125}, 9));
  paths.push_back(path(LineRole::kCentre, {{52, 110}, {168, 110}}));
  paths.push_back(path(LineRole::kCentre, {{110, 72}, {110, 148}}));
}

inline void addAreas(Sheet& sheet) {
  const auto loop = [](const Path& outline) { return outline.vertices; };
  sheet.areas.push_back({{loop(rectangle(LineRole::kVisible, 300, 220, {60, 40})),
                          loop(circle(LineRole::kVisible, {330, 240}, 12)),
                          loop(rectangle(LineRole::kVisible, 325, 235, {10, 10}))},
                         0.75});
  sheet.areas.push_back({{loop(rectangle(LineRole::kVisible, 370, 220, {20, 40}))}, 0});
  sheet.areas.push_back({{loop(circle(LineRole::kVisible, {380, 240}, 6))}, 1});
}

inline void addLetterings(Sheet& sheet) {
  const auto add = [&](const std::string& text, const PaperPoint& at, double height,
                       TextAnchor anchor = TextAnchor::kLeft, double turned = 0,
                       bool is_bold = false) {
    sheet.letterings.push_back({text, at, height, anchor, turned, is_bold});
  };
  add("Tor & Zaun <M\u00fcller> 12\u00b0 \u00b10.5", {240, 30}, 5);
  add("Bold \u00d8 48.3 \u00d7 3 \u2013 S235", {240, 20}, 3.5, TextAnchor::kLeft, 0, true);
  add("left", {300, 60}, 3.5);
  add("centre", {300, 55}, 3.5, TextAnchor::kCentre);
  add("right", {300, 50}, 3.5, TextAnchor::kRight);
  add("turned up", {380, 40}, 3.5, TextAnchor::kLeft, 90);
  add("turned centre", {390, 60}, 3.5, TextAnchor::kCentre, 90);
  add("turned down", {400, 60}, 3.5, TextAnchor::kRight, -90, true);
  add("aslant", {330, 50}, 3.5, TextAnchor::kCentre, 30);
  add("m\u00b2 m\u00b3 \u00b7 \u2022 \u201cquoted\u201d it's \u2212", {240, 40}, 2.5);
}

inline void addDimensions(Sheet& sheet) {
  auto& all = sheet.dimensions;
  all.push_back(linear({60, 80}, {160, 80}, {110, 62}, 0, 20));
  all.push_back(linear({160, 80}, {160, 140}, {178, 110}, 90, 20));
  all.back().decimals = 1;
  all.push_back(linear({75, 125}, {110, 140}, {90, 155}, 0, 20));
  all.back().suffix = " typ";
  all.push_back(linear({90, 115}, {130, 105}, {60, 50}, -14.0362434679, 12.5));
  all.back().decimals = 2;
  all.push_back(linear({200, 240}, {240, 265}, {205, 262}, 32.0053832081, 10));
  all.back().prefix = "room ";
  // Too narrow: arrows outside, and the number too, after and before.
  all.push_back(linear({200, 200}, {203, 200}, {200, 208}, 0, 5));
  all.back().arrows_outside = true;
  all.push_back(linear({220, 200}, {223, 200}, {220, 208}, 0, 5));
  all.back().arrows_outside = true;
  all.back().text_at = {232, 209};
  all.push_back(linear({263, 200}, {260, 200}, {260, 208}, 0, 5));
  all.back().arrows_outside = true;
  all.back().text_at = {251, 209};
  all.push_back(linear({280, 200}, {288, 200}, {280, 208}, 0, 0.5));
  all.back().decimals = 1;
  all.back().text_at = {294, 209};
  const PaperPoint datum{200, 160};
  sheet.paths.push_back(path(LineRole::kVisible, {{200, 160}, {290, 160}}));
  const std::vector<std::pair<double, double>> rows = {{200, 200}, {215, 215}, {216, 219},
                                                       {217, 223}, {260, 256}, {290, 290}};
  for (const auto& [feature, end] : rows) {
    sheet.paths.push_back(path(LineRole::kVisible, {{feature, 157}, {feature, 160}}));
    all.push_back(running(datum, {feature, 157}, {end, 140}, 20));
  }
}

inline Sheet full() {
  Sheet sheet;
  sheet.name = "sample-one";
  sheet.title = "Sample & <sheet>";
  addLines(sheet);
  addAreas(sheet);
  addLetterings(sheet);
  addDimensions(sheet);
  return sheet;
}

/// A4 upright, thinner lines, running dimensions up a side.
inline Sheet upright() {
  Sheet sheet;
  sheet.name = "sample-two";
  sheet.title = "Second";
  sheet.width_mm = 210;
  sheet.height_mm = 297;
  sheet.wide_mm = 0.35;
  sheet.paths.push_back(rectangle(LineRole::kVisible, 60, 60, {80, 150}));
  sheet.letterings.push_back({"Second sheet", {60, 40}, 7, TextAnchor::kLeft, 0, true});
  for (const double y : {60.0, 100.0, 103.0, 210.0}) {
    Dimension d;
    d.kind = DimensionKind::kRunning;
    d.angle_deg = 90;
    d.from = {140, 60};
    d.to = {140, y};
    d.line_at = {165, y == 103 ? 105 : y};
    d.mm_per_mm = 10;
    d.value_mm = (y - 60) * 10;
    d.text_at = {d.line_at.x_mm + 1 + textWidthMm(d.text(), d.height_mm) / 2,
                 d.line_at.y_mm - d.height_mm / 2};
    sheet.dimensions.push_back(d);
  }
  // Along a slant, as an ordinate of turned axes.
  Dimension slant;
  slant.kind = DimensionKind::kRunning;
  slant.angle_deg = 30;
  slant.from = {60, 220};
  slant.to = {60 + 40 * std::cos(std::numbers::pi / 6), 240};
  slant.line_at = {slant.to.x_mm - 10, 240 + 10 * std::sqrt(3.0)};
  slant.mm_per_mm = 2;
  slant.value_mm = 80;
  slant.text_deg = -60;
  slant.text_at = {slant.line_at.x_mm - 3, slant.line_at.y_mm + 4};
  sheet.dimensions.push_back(slant);
  sheet.paths.push_back(path(LineRole::kVisible, {{60, 220}, {slant.to.x_mm, 240}}));
  return sheet;
}

}  // namespace leafstack::sample_sheet
