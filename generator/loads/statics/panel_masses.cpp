#include "generator/loads/statics/panel_masses.h"

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <tuple>
#include <utility>

namespace leafstack {
namespace {

/// A member's outline seen from the front: between two lines of one slope.
struct Member {
  double x0_mm = 0, x1_mm = 0;
  double slope = 0;
  double low_mm = 0, high_mm = 0;  ///< at the middle of its X
};

Member memberOf(const Model& model, const Instance& instance) {
  const gp_Trsf& placed = instance.at_closed.Transformation();
  Member member;
  const double sign = model.opening_sign;
  const double a = sign * instance.bounds.low[0];
  const double b = sign * instance.bounds.high[0];
  std::tie(member.x0_mm, member.x1_mm) = std::minmax(a, b);
  const double cosine = placed.Value(1, 1);
  member.slope = sign * placed.Value(3, 1) / cosine;
  const double rise = std::abs(member.slope) * (member.x1_mm - member.x0_mm) / 2;
  member.low_mm = instance.bounds.low[2] + rise;
  member.high_mm = instance.bounds.high[2] - rise;
  return member;
}

/// Length of the union of intervals.
double covered(std::vector<std::pair<double, double>>& intervals) {
  std::sort(intervals.begin(), intervals.end());
  double sum = 0, end = -1e300;
  for (const auto& [low, high] : intervals) {
    sum += std::max(high - std::max(low, end), 0.0);
    end = std::max(end, high);
  }
  return sum;
}

}  // namespace

std::vector<PanelMass> panelMasses(const Model& model) {
  std::vector<PanelMass> masses(model.layout.panel_count);
  for (const Instance& instance : model.instances) {
    if (instance.panel == 0) {
      continue;
    }
    PanelMass& panel = masses[instance.panel - 1];
    const Part& part = model.parts[instance.part];
    gp_Pnt centre(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2]);
    centre.Transform(instance.at_closed.Transformation());
    const double mass = part.massKg();
    panel.mass_kg += mass;
    const double x = model.opening_sign * centre.X();
    panel.centre_mm[0] += mass * x;
    panel.centre_mm[1] += mass * centre.Y();
    panel.centre_mm[2] += mass * centre.Z();
    if (part.kind == PartKind::kWheel) {
      panel.wheels_x_mm.push_back(x);
    }
  }
  for (PanelMass& panel : masses) {
    for (double& coordinate : panel.centre_mm) {
      coordinate /= panel.mass_kg;
    }
    std::sort(panel.wheels_x_mm.begin(), panel.wheels_x_mm.end());
  }
  return masses;
}

FrontArea frontArea(const Model& model, int panel, double x0_mm, double x1_mm) {
  const PanelLayout& layout = model.layout.panel(panel);
  const double from = std::max(x0_mm, layout.leading_closed_mm);
  const double to = std::min(x1_mm, layout.leading_closed_mm + layout.frame_length_mm);
  std::vector<Member> members;
  std::vector<double> cuts = {from, to};
  for (const Instance& instance : model.instances) {
    if (instance.panel == panel && rowOf(model.parts[instance.part].kind).faces_wind) {
      members.push_back(memberOf(model, instance));
      for (double x : {members.back().x0_mm, members.back().x1_mm}) {
        if (x > from && x < to) {
          cuts.push_back(x);
        }
      }
    }
  }
  std::sort(cuts.begin(), cuts.end());
  FrontArea area;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double width = cuts[i] - cuts[i - 1];
    const double x = (cuts[i] + cuts[i - 1]) / 2;
    const double low = layout.undersideZ(x), high = layout.topZ(x);
    std::vector<std::pair<double, double>> intervals;
    for (const Member& member : members) {
      if (member.x0_mm < x && x < member.x1_mm) {
        const double shift = member.slope * (x - (member.x0_mm + member.x1_mm) / 2);
        intervals.emplace_back(std::max(member.low_mm + shift, low),
                               std::min(member.high_mm + shift, high));
      }
    }
    area.gross_mm2 += width * (high - low);
    area.solid_mm2 += width * covered(intervals);
  }
  return area;
}

}  // namespace leafstack
