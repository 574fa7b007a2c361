#include "generator/layout/ground/survey.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/laying/straight_line.h"
#include "generator/layout/travel/panel_travel.h"

namespace leafstack {
namespace {

// Between points no steeper than a track may be, the bent bar may be steeper still.
constexpr double kSteepestSlope = 0.3;

/// By how much a wheel stands off the bottom of a dip that it does not fit into: up where it
/// touches on either side.
double liftMm(const GroundLine& line, double x_mm, double off_mm) {
  const double turn = std::atan(line.slope(x_mm));
  const double centre_x = x_mm - off_mm * std::sin(turn);
  const double centre_z = line.heightMm(x_mm) + off_mm * std::cos(turn);
  double lift = 0;
  constexpr int kSteps = 2000;
  for (int i = 1; i < kSteps; ++i) {
    const double aside = off_mm * (2.0 * i / kSteps - 1);
    const double touches =
        line.heightMm(centre_x + aside) + std::sqrt(off_mm * off_mm - aside * aside);
    lift = std::max(lift, touches - centre_z);
  }
  return lift;
}

}  // namespace

const SurveyLine& surveyUnder(const SiteSpec& site, int panel, int count) {
  const auto lines = static_cast<long>(site.track_survey_mm.size());
  const long index = count > 1
                         ? std::lround(static_cast<double>((panel - 1) * (lines - 1)) / (count - 1))
                         : lines - 1;
  return site.track_survey_mm.at(index);
}

GroundLine groundLineOf(const SiteSpec& site, int panel, int count) {
  if (site.track_survey_mm.empty()) {
    return GroundLine::straight(site.grade);
  }
  const auto pointsOf = [](const SurveyLine& line) {
    std::vector<std::array<double, 2>> points;
    for (const auto& [x, z] : line) {
      points.push_back({x, z});
    }
    return points;
  };
  const double datum = GroundLine::through(pointsOf(site.track_survey_mm.back())).heightMm(0);
  std::vector<std::array<double, 2>> points = pointsOf(surveyUnder(site, panel, count));
  for (auto& point : points) {
    point[1] -= datum;
  }
  return GroundLine::through(points);
}

double GroundLayout::heightMm(double x_mm, double y_mm) const {
  const double across = cross_grade * (y_mm - front_track_y_mm);
  const int last = static_cast<int>(track_lines.size());
  if (last < 2) {
    return slabOf(1).heightMm(x_mm) + across;
  }
  const double behind = (y_mm - front_track_y_mm) / track_apart_mm;
  const double most = last - 1;
  const double tracks = std::clamp(behind, 0.0, most);  // from the front one
  const int before = static_cast<int>(std::min(std::floor(tracks), most - 1));
  const double share = tracks - before;
  const int front = last - before;
  return (1 - share) * slabOf(front).heightMm(x_mm) + share * slabOf(front - 1).heightMm(x_mm) +
         across;
}

Range GroundLayout::slopeRange(double x0_mm, double x1_mm) const {
  Range slopes = line.slopeRange(x0_mm, x1_mm);
  for (const GroundLine& one : track_lines) {
    const Range of_one = one.slopeRange(x0_mm, x1_mm);
    slopes = {std::min(slopes.low, of_one.low), std::max(slopes.high, of_one.high)};
  }
  return slopes;
}

namespace {

/// Anchors of a panel's track and the surveyed points on its way, in order of X.
std::vector<double> placesOf(const GateSpec& spec, const Layout& layout, int panel) {
  const TrackEnds ends = trackEnds(spec, layout, panel);
  std::vector<double> places = trackDowels(spec, layout, panel);
  for (const auto& [x, z] : surveyUnder(spec.site, panel, layout.panel_count)) {
    if (x > ends.from_x_mm && x < ends.to_x_mm) {
      places.push_back(x);
    }
  }
  std::sort(places.begin(), places.end());
  const auto same = [](double a, double b) { return b - a < kLengthEqualMm; };
  places.erase(std::unique(places.begin(), places.end(), same), places.end());
  return places;
}

std::vector<std::array<double, 2>> slabAt(const GroundLine& slab,
                                          const std::vector<double>& places) {
  std::vector<std::array<double, 2>> points;
  for (const double x : places) {
    points.push_back({x, slab.heightMm(x)});
  }
  return points;
}

StraightLine straightOf(const GateSpec& spec, const Layout& layout, int panel) {
  return cheapestStraight(slabAt(layout.ground.slabOf(panel), placesOf(spec, layout, panel)),
                          {spec.site.shims_most_mm, spec.site.grinding_most_mm});
}

}  // namespace

void layStraight(const GateSpec& spec, Layout& layout) {
  GroundLayout& ground = layout.ground;
  std::vector<GroundLine> slabs, lines;
  for (const PanelLayout& panel : layout.panels) {
    slabs.push_back(ground.lineOf(panel.number));
    const StraightLine line = straightOf(spec, layout, panel.number);
    const double to = panel.trailing_open_mm;
    lines.push_back(GroundLine::through({{0, line.heightMm(0)}, {to, line.heightMm(to)}}));
  }
  ground.slab_lines = std::move(slabs);
  ground.track_lines = std::move(lines);
  ground.line = ground.track_lines.back();
}

void findLaid(const GateSpec& spec, Layout& layout) {
  GroundLayout& ground = layout.ground;
  for (int k = 1; ground.is_surveyed && k <= layout.panel_count; ++k) {
    LaidTrack track;
    track.panel = k;
    const StraightLine straight = straightOf(spec, layout, k);
    track.straight_short_mm = straight.short_mm;
    double most_short = 0;
    for (const double x : placesOf(spec, layout, k)) {
      LaidPoint point{x, ground.slabOf(k).heightMm(x), ground.lineOf(k).heightMm(x),
                      straight.heightMm(x)};
      // Bent it lies on the slab, straight on its line: what rounding makes of that is nothing.
      point.laid_mm = ground.slab_lines.empty() ? point.slab_mm : point.straight_mm;
      track.residual_mm = std::max(track.residual_mm, std::abs(point.laid_mm - point.straight_mm));
      const double above = point.straight_mm - point.slab_mm;
      const double lacks =
          std::max(above - spec.site.shims_most_mm, -above - spec.site.grinding_most_mm);
      if (lacks > most_short) {
        most_short = lacks;
        track.straight_short_x_mm = x;
      }
      track.points.push_back(point);
    }
    ground.laid.push_back(std::move(track));
  }
}

namespace {

/// An X in every dip that is rounder than the wheel. The bend of a natural spline goes evenly from
/// point to point, so that a dip is sharpest at one of them.
std::vector<double> tooTightPlaces(const GroundLine& line, const SurveyLine& points,
                                   double wheel_off_mm) {
  std::vector<double> places;
  const std::optional<double> first = WheelPath(line, wheel_off_mm).tooTightAt();
  for (std::size_t i = 1; first && i + 1 < points.size(); ++i) {
    const GroundPoint at = line.at(points[i].first);
    const double round_mm = std::pow(1 + at.slope * at.slope, 1.5) / at.bend_per_mm;
    const bool is_sharpest = at.bend_per_mm >= line.bend(points[i - 1].first) &&
                             at.bend_per_mm > line.bend(points[i + 1].first);
    if (is_sharpest && at.bend_per_mm > 0 && round_mm <= wheel_off_mm) {
      places.push_back(points[i].first);
    }
  }
  if (first && places.empty()) {
    places.push_back(*first);  // beside a steep point
  }
  return places;
}

/// Where a line is as steep as this, either way.
double whereSteep(const GroundLine& line, const SurveyLine& points, double slope) {
  double most = points.front().first;
  for (const auto& [x, z] : points) {
    most = std::abs(line.slope(x)) > std::abs(line.slope(most)) ? x : most;
  }
  for (const double either : {slope, -slope}) {
    for (const double x :
         line.whereSlopeIs(either * (1 - 1e-9), points.front().first, points.back().first)) {
      most = std::abs(line.slope(x)) > std::abs(line.slope(most)) ? x : most;
    }
  }
  return most;
}

/// Which panels roll over X on a line: "panel 2" or "panels 1 and 2"; empty for none.
std::string rollingOver(const Layout& layout, int line, double x_mm) {
  std::vector<std::string> numbers;
  for (const PanelLayout& panel : layout.panels) {
    const bool is_on_line = layout.ground.track_lines.empty() || panel.number == line;
    if (is_on_line && x_mm >= panel.leading_closed_mm && x_mm <= panel.trailing_open_mm) {
      numbers.push_back(std::to_string(panel.number));
    }
  }
  if (numbers.empty()) {
    return "";
  }
  std::string text = (numbers.size() > 1 ? "panels " : "panel ") + numbers.front();
  for (std::size_t i = 1; i < numbers.size(); ++i) {
    text += (i + 1 < numbers.size() ? ", " : " and ") + numbers[i];
  }
  return text;
}

}  // namespace

void judgeLine(const GateSpec& spec, const Layout& layout, int panel, double wheel_off_mm,
               std::vector<std::string>& problems) {
  const GroundLine& line = layout.ground.lineOf(panel);
  const std::string track =
      layout.ground.track_lines.empty() ? "the track" : "track " + std::to_string(panel);
  const auto under = [&](double x) { return rollingOver(layout, panel, x); };
  for (const double pinch :
       tooTightPlaces(line, surveyUnder(spec.site, panel, layout.panel_count), wheel_off_mm)) {
    const std::string whose = under(pinch);
    problems.push_back("bent over the surveyed points " + track +
                       " dips too sharply for a wheel at " + shown(pinch) + " mm, where " +
                       (whose.empty() ? "one" : "those of " + whose) + " would lift " +
                       shown(liftMm(line, pinch, wheel_off_mm), 2) + " mm off the bottom: " +
                       (whose.empty() ? "no panel rolls there, leave its points out"
                                      : "ease the points around it"));
  }
  const Range slopes = line.slopeRange();
  const bool is_rising = slopes.high > -slopes.low;
  const double steepest = is_rising ? slopes.high : -slopes.low;
  if (steepest > kSteepestSlope) {
    const double x = whereSteep(line, surveyUnder(spec.site, panel, layout.panel_count), steepest);
    const std::string whose = under(x);
    problems.push_back("bent over the surveyed points " + track + " gets " + shown(100 * steepest) +
                       " % steep at " + shown(x) + " mm, under " +
                       (whose.empty() ? "no panel" : whose) + ": give more points where it bends");
  }
}

void findTrackRises(Layout& layout) {
  GroundLayout& ground = layout.ground;
  const double tracks_apart = layout.panel(1).front_y_mm - layout.panels.back().front_y_mm;
  ground.others_over_mm = std::max(0.0, -ground.cross_grade) * tracks_apart;
  if (ground.track_lines.empty()) {
    return;
  }
  double from = layout.panel(1).leading_closed_mm;
  double to = from;
  for (const PanelLayout& panel : layout.panels) {
    from = std::min(from, panel.leading_closed_mm);
    to = std::max(to, panel.trailing_open_mm);
  }
  double over = 0;
  for (int k = 1; k < layout.panel_count; ++k) {
    TrackRise back{k, k + 1}, front{k + 1, k};
    // Splines between points some metres apart: a step of centimetres sees them as they are.
    constexpr int kSteps = 1000;
    for (int i = 0; i <= kSteps; ++i) {
      const double x = from + (to - from) * i / kSteps;
      const double rise = ground.lineOf(k).heightMm(x) - ground.lineOf(k + 1).heightMm(x);
      if (i == 0 || rise > back.rise_mm) {
        back.rise_mm = rise;
        back.x_mm = x;
      }
      if (i == 0 || -rise > front.rise_mm) {
        front.rise_mm = -rise;
        front.x_mm = x;
      }
    }
    ground.track_rises.insert(ground.track_rises.end(), {back, front});
    over += std::max(0.0, front.rise_mm);
  }
  ground.others_over_mm = over;
}

std::vector<std::string> crossingLines(const GateSpec& spec, const Layout& layout) {
  std::vector<std::string> texts;
  const double under = spec.gate.ground_clearance_mm;
  for (const TrackRise& rise : layout.ground.track_rises) {
    if (rise.rise_mm >= under) {
      const std::string low = std::to_string(rise.low);
      texts.push_back("the line of track " + std::to_string(rise.high) + " lies " +
                      shown(rise.rise_mm) + " mm over that of track " + low +
                      " beside it at x = " + shown(rise.x_mm) + ", and the bottom rail of panel " +
                      low + " is " + shown(under) +
                      " mm over its own: the lines cross the panel's way; were both levelled from "
                      "one datum, back track first?");
    }
  }
  return texts;
}

Range backWheelsRun(const Layout& layout) {
  const auto* back = dynamic_cast<const PanelTravel*>(layout.ground.travels.at(1).get());
  if (back == nullptr) {
    return {};
  }
  return {back->wheelsAt(0).leading.centre_mm[0],
          back->wheelsAt(layout.drive_travel_mm).trailing.centre_mm[0]};
}

}  // namespace leafstack
