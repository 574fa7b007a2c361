#include "generator/verdict/survey_warnings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/ground/survey.h"

namespace leafstack {
namespace {

void tell(std::vector<Warning>& warnings, const char* id, std::string text, const char* where) {
  warnings.push_back({id, std::move(text), where});
}

// Common practice, no source: less under a gate that moves is asking for a stone.
constexpr double kLittleGroundMm = 20;
// What a tensioner takes up without being felt; common practice, no source.
constexpr double kRopePlayMm = 5;

// Against a post; common practice, no source.
constexpr double kLeanSeenMm = 1.5;

// Points of a survey closer together tell more of how they were read than of the ground, and bend
// the line sharply; common practice, no source.
constexpr double kCloseSurveyMm = 100;

void warnAboutSurveyPoints(const SiteSpec& site, std::vector<Warning>& warnings) {
  int close = 0;
  double least = kCloseSurveyMm;
  double at = 0;
  for (const SurveyLine& points : site.track_survey_mm) {
    for (std::size_t i = 1; i < points.size(); ++i) {
      const double apart = points[i].first - points[i - 1].first;
      close += apart < kCloseSurveyMm - kLengthEqualMm ? 1 : 0;
      if (apart < least) {
        least = apart;
        at = points[i - 1].first;
      }
    }
  }
  if (close > 0) {
    tell(warnings, "survey-points-close",
         "points of the survey are only " + shown(least) + " mm apart at x = " + shown(at) +
             ". Closer than " + shown(kCloseSurveyMm) +
             " mm they tell more of how they were read than of the ground, and the clash check may "
             "tell its findings coarsely",
         "/site/track_survey_mm");
  }
}

// A survey is read to some millimetres; what a bent bar makes of a gap between two points beyond
// that is no longer the ground. Common practice, no source.
constexpr double kBulgeMm = 10;

/// Where points lie far apart beside a bend, the line through them swings out between them.
void warnAboutBulges(const SiteSpec& site, std::vector<Warning>& warnings) {
  double most = kBulgeMm;
  std::string text;
  int track = 0;
  for (const SurveyLine& survey : site.track_survey_mm) {
    ++track;
    std::vector<std::array<double, 2>> points;
    for (const auto& [x, z] : survey) {
      points.push_back({x, z});
    }
    const GroundLine line = GroundLine::through(points);
    for (std::size_t i = 1; i < points.size(); ++i) {
      const auto& [x0, z0] = points[i - 1];
      const auto& [x1, z1] = points[i];
      double outer = std::max(z0, z1), inner = std::min(z0, z1);
      constexpr int kLookedAt = 20;
      for (int step = 1; step < kLookedAt; ++step) {
        const double x = x0 + (x1 - x0) * step / kLookedAt;
        const double z = line.heightMm(x);
        const double off = std::max(z - outer, inner - z);
        if (off > most) {
          most = off;
          text = "track " + std::to_string(track) +
                 ", bent over its surveyed points, swings out by " + shown(off) +
                 " mm between those at x = " + shown(x0) + " and " + shown(x1) +
                 ", beyond both of their heights: the ground hardly does. Survey points between "
                 "them, half a metre apart beside a bend";
        }
      }
    }
  }
  if (!text.empty()) {
    tell(warnings, "survey-swings-out", text, "/site/track_survey_mm");
  }
}

void warnAboutRopesAslant(const Layout& layout, std::vector<Warning>& warnings) {
  constexpr double kWidestThroatDeg = 90, kMostSwivelDeg = 45;  // of their rows
  const double throat = layout.hardware.pulley.throat_deg;
  const double swivel = layout.hardware.terminal.swivel_deg;
  for (const RopeLayout& rope : layout.ropes) {
    const std::string whose = "panel " + std::to_string(rope.carrier) + "'s ropes ";
    const double fleet = rope.fleetDeg();
    if (fleet > mostFleetDeg(throat)) {
      const double wanted = std::ceil(throatForFleetDeg(fleet));
      tell(warnings, "fleet-angle",
           whose + "leave their pulleys up to " + shown(fleet) + " degrees aside, more than the " +
               shown(mostFleetDeg(throat)) + " that grooves with flanks " + shown(throat) +
               " degrees apart take: " +
               (wanted > kWidestThroatDeg
                    ? std::string("no groove would do, straighten the track")
                    : "grooves of " + shown(wanted) +
                          " (/hardware/pulley/throat_deg) or a straighter track would do"),
           "/hardware/pulley/throat_deg");
    }
    if (rope.swivel_deg > swivel) {
      const double wanted = std::ceil(rope.swivel_deg);
      tell(warnings, "terminal-swivel",
           whose + "turn their ends up to " + shown(rope.swivel_deg) +
               " degrees from square to their brackets, more than the " + shown(swivel) +
               " that these terminals swivel, and bend there instead: " +
               (wanted > kMostSwivelDeg ? std::string("straighten the track")
                                        : "ends that swivel " + shown(wanted) +
                                              ", such as eyes, or a straighter track would do"),
           "/hardware/terminal/swivel_deg");
    }
  }
}

void warnAboutGroundUnder(const PanelLayout& panel, std::vector<Warning>& warnings) {
  if (panel.least_ground_mm >= kLittleGroundMm) {
    return;
  }
  const std::string number = std::to_string(panel.number);
  const bool grounds = panel.least_ground_mm <= 0;
  tell(warnings, grounds ? "grounds" : "little-ground-clearance",
       "panel " + number + (grounds ? " grounds: its bottom rail would stand " : " comes within ") +
           shown(std::abs(panel.least_ground_mm)) +
           (grounds ? " mm in the driveway at x = " : " mm of the driveway at x = ") +
           shown(panel.least_ground_x_mm) + ", at drive travel " + shown(panel.least_ground_at_mm),
       "/site/track_survey_mm");
  if (grounds) {
    warnings.back().against = Against::kTrack;
    warnings.back().in_short = "panel " + number + " grounds";
  }
}

void warnAboutSurvey(const Layout& layout, std::vector<Warning>& warnings) {
  const GroundLayout& ground = layout.ground;
  if (!ground.is_surveyed) {
    return;
  }
  for (const PanelLayout& panel : layout.panels) {
    warnAboutGroundUnder(panel, warnings);
  }
  const bool is_laid = !ground.rack_up_mm.empty();
  const double rack = mostLessMm(layout);
  if (rack > layout.hardware.rack.module_mm * kRackStraightModules) {
    const Range run = backWheelsRun(layout);
    tell(warnings, "rack-rises",
         "the rack" + std::string(is_laid ? ", laid to the pinion's path, still" : "") +
             " rises and falls " + shown(rack) +
             " mm at the pinion over the travel, more than the play of module " +
             shown(layout.hardware.rack.module_mm) +
             " teeth. Straighten the back track where panel 1's wheels run, " +
             shown(run.high - run.low, 0) + " mm from x = " + shown(run.low, 0) + " to " +
             shown(run.high, 0),
         "/site/track_survey_mm");
    const double ratio = contactRatio(layout.hardware, rack);
    if (ratio < 1) {
      Warning& last = warnings.back();
      last.id = "teeth-let-go";
      last.text +=
          ". Where teeth enter least, only " + shown(ratio, 2) +
          " pairs of them are in mesh on average: each lets go before the next takes over, "
          "which needs " +
          shown(contactLostMm(layout.hardware)) + " mm at most (involutes of ISO 53)";
      last.against = Against::kTrack;
      last.in_short = "the rack's teeth let go of the pinion's";
    }
  }
  warnAboutRopesAslant(layout, warnings);
  if (ground.most_rope_error_mm > kRopePlayMm) {
    tell(warnings, "ropes-slacken",
         "over the dips and crests the ropes slacken and tighten by " +
             shown(ground.most_rope_error_mm) + " mm. Fit spring tensioners",
         "/site/track_survey_mm");
  }
  PanelOnUneven most;
  for (const PanelOnUneven& row : ground.uneven) {
    most = std::abs(row.lean_mm) > std::abs(most.lean_mm) ? row : most;
  }
  if (std::abs(most.lean_mm) > kLeanSeenMm) {
    tell(warnings, "uprights-lean",
         "uprights stand plumb when the gate is closed; on the way panel " +
             std::to_string(most.panel) + "'s lean most, by " + shown(std::abs(most.lean_mm)) +
             " mm over their height",
         "/site/track_survey_mm");
  }
}

}  // namespace

std::vector<Warning> surveyWarnings(const SiteSpec& site, const Layout& layout) {
  std::vector<Warning> warnings;
  warnAboutSurvey(layout, warnings);
  warnAboutSurveyPoints(site, warnings);
  warnAboutBulges(site, warnings);
  return warnings;
}

}  // namespace leafstack
