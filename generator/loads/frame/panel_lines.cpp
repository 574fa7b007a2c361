#include "generator/loads/frame/panel_lines.h"

#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <stdexcept>

namespace leafstack::frame {
namespace {

/// From a slat's end to the axis of the upright that it is welded to, at most: half of the widest.
constexpr double kSlatMeetsMm = 110;

double middle(const Range& range) {
  return (range.low + range.high) / 2;
}

/// A rail by its solid's bounds: they end at its corners, the axis runs between.
Line alongLine(const Model& model, const Instance& instance, int index) {
  const Range x = alongX(model, instance);
  const gp_Trsf& placed = instance.at_closed.Transformation();
  Line line;
  line.instance = index;
  line.from_mm = x.low;
  line.to_mm = x.high;
  line.grade = model.opening_sign * placed.Value(3, 1) / placed.Value(1, 1);
  const double z = (instance.bounds.low[2] + instance.bounds.high[2]) / 2;
  line.fixed_mm = z + line.grade * (line.from_mm - middle(x));
  // Where its pieces are welded aluminium is soft, as at every station.
  for (const Splice& splice : model.parts[instance.part].splices) {
    line.stations.push_back(
        model.opening_sign *
        gp_Pnt(model.opening_sign * splice.at_mm, 0, 0).Transformed(placed).X());
  }
  return line;
}

Line plumbLine(const Model& model, const Instance& instance, int index) {
  Line line;
  line.instance = index;
  line.fixed_mm = middle(alongX(model, instance));
  return line;
}

Line* nearest(std::vector<Line>& plumb, double x_mm) {
  Line* found = nullptr;
  for (Line& line : plumb) {
    if (found == nullptr || std::abs(line.fixed_mm - x_mm) < std::abs(found->fixed_mm - x_mm)) {
      found = &line;
    }
  }
  return found;
}

}  // namespace

Range alongX(const Model& model, const Instance& instance) {
  const double a = model.opening_sign * instance.bounds.low[0];
  const double b = model.opening_sign * instance.bounds.high[0];
  return {std::min(a, b), std::max(a, b)};
}

PanelLines panelLines(const Model& model, int panel) {
  PanelLines out;
  out.panel = panel;
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    const Instance& instance = model.instances[i];
    if (instance.panel != panel) {
      continue;
    }
    const int index = static_cast<int>(i);
    switch (model.parts[instance.part].kind) {
      case PartKind::kBottomRail:
        out.bottom = alongLine(model, instance, index);
        break;
      case PartKind::kTopRail:
        out.top = alongLine(model, instance, index);
        break;
      case PartKind::kStile:
      case PartKind::kPicket:
        out.plumb.push_back(plumbLine(model, instance, index));
        break;
      case PartKind::kSlat:
        out.slats.push_back(alongLine(model, instance, index));
        break;
      case PartKind::kWheel:
        out.wheels_x_mm.push_back(middle(alongX(model, instance)));
        break;
      default:
        break;
    }
  }
  if (out.bottom.instance < 0 || out.top.instance < 0 || out.plumb.empty() ||
      out.wheels_x_mm.size() < 2) {
    throw std::domain_error("panel " + std::to_string(panel) + " makes no frame");
  }
  std::sort(out.wheels_x_mm.begin(), out.wheels_x_mm.end());
  std::sort(out.plumb.begin(), out.plumb.end(),
            [](const Line& a, const Line& b) { return a.fixed_mm < b.fixed_mm; });
  for (Line& line : out.plumb) {
    const double x = line.fixed_mm;
    line.from_mm = out.bottom.zAt(x);
    line.to_mm = out.top.zAt(x);
    line.stations = {line.from_mm, line.to_mm};
    out.bottom.stations.push_back(x);
    out.top.stations.push_back(x);
  }
  for (double x : out.wheels_x_mm) {
    out.bottom.stations.push_back(x);
  }
  // A slat cut off by a sloping rail stiffens nothing.
  std::erase_if(out.slats, [&](const Line& slat) {
    const Line* const low = nearest(out.plumb, slat.from_mm);
    const Line* const high = nearest(out.plumb, slat.to_mm);
    return low == high || std::abs(low->fixed_mm - slat.from_mm) > kSlatMeetsMm ||
           std::abs(high->fixed_mm - slat.to_mm) > kSlatMeetsMm;
  });
  for (Line& slat : out.slats) {
    Line* const low = nearest(out.plumb, slat.from_mm);
    Line* const high = nearest(out.plumb, slat.to_mm);
    slat.stations = {low->fixed_mm, high->fixed_mm};
    low->stations.push_back(slat.zAt(low->fixed_mm));
    high->stations.push_back(slat.zAt(high->fixed_mm));
  }
  for (Line* rail : {&out.bottom, &out.top}) {
    rail->stations.push_back(rail->from_mm);
    rail->stations.push_back(rail->to_mm);
  }
  return out;
}

}  // namespace leafstack::frame
