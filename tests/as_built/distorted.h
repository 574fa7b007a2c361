// Gates distorted at random, as a workshop and a slab may: what was "measured" of them goes through
// the reader like anybody's.
#pragma once

#include <cmath>
#include <string>

#include "generator/as_built/built/deviations.h"
#include "tests/support/dice.h"
#include "tests/support/random_gates.h"

namespace leafstack::gates {

/// How far each dimension may be off, mm.
struct BuildErrors {
  double length = 3, height = 1, track = 4, post = 4, opening = 12;
};

inline double rounded(double mm) {
  return std::round(10 * mm) / 10;
}

/// A plain gate of one to four panels for 4 to 8 m, level, either hand.
inline Json plainGate(Dice& dice) {
  Json file;
  file["site"]["opening_mm"] = 4000 + 50 * dice.below(80);
  file["site"]["opens"] = dice.below(2) == 0 ? "right" : "left";
  file["gate"]["panels"] = 1 + dice.below(4);
  file["gate"]["height_mm"] = 1300 + 50 * dice.below(13);
  file["gate"]["infill"]["kind"] = std::array{"pickets", "slats", "sheet", "open"}[dice.below(4)];
  file["gate"]["infill"]["gap_mm"] = 80 + dice.below(40);
  file["guides"]["mount"] = std::array{"post", "overhead", "reach-over"}[dice.below(3)];
  file["hardware"] = std::array{"light", "medium", "heavy"}[dice.below(3)];
  return file;
}

/// What would be measured of it, each of the dimensions off by up to `errors`.
inline void measure(Json& file, const Layout& drawn, const GateSpec& spec, Dice& dice,
                    const BuildErrors& errors) {
  const auto off = [&](double most) { return dice.in(-most, most); };
  Json& built = file["as_built"];
  built["opening_mm"] = rounded(drawn.opening_mm + off(errors.opening));
  built["guide_mm"] = rounded(drawn.guide_mm + off(errors.post));
  built["guide_top_mm"] = rounded(drawnChannelTopMm(drawn) + off(errors.height));
  built["pinion_mm"] = rounded(drawn.pinion_mm + off(errors.post));
  built["catch_mm"] = rounded(drawnCatchMm(spec, drawn) + off(errors.post));
  built["panels"] = Json::array();
  for (const PanelLayout& panel : drawn.panels) {
    const double end = panel.leading_closed_mm + panel.frame_length_mm;
    const double by = off(errors.length);
    Json one = {{"number", panel.number},
                {"length_mm", rounded(panel.length_mm / panel.cosine() + by)}};
    if (panel.length_mm > panel.frame_length_mm) {
      one["frame_mm"] = rounded(panel.frame_length_mm / panel.cosine() + by);
    }
    const double higher = off(errors.height);
    one["leading_height_mm"] = rounded(panel.topZ(panel.leading_closed_mm) -
                                       panel.undersideZ(panel.leading_closed_mm) + higher);
    one["trailing_height_mm"] = rounded(panel.topZ(end) - panel.undersideZ(end) + higher);
    built["panels"].push_back(one);
  }
  built["tracks_mm"] = Json::array();
  for (const PanelLayout& panel : drawn.panels) {
    Json line = Json::array();
    const double level = off(errors.track);
    for (int i = 0; i <= 4; ++i) {
      const double x =
          panel.leading_closed_mm +
          (panel.trailing_closed_mm + panel.travel_mm - panel.leading_closed_mm) * i / 4;
      line.push_back({rounded(x), rounded(level + off(errors.track / 4))});
    }
    built["tracks_mm"].push_back(line);
  }
}

}  // namespace leafstack::gates
