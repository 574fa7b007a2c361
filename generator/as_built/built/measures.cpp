#include "generator/as_built/built/measures.h"

#include <cmath>

#include "generator/as_built/built/deviations.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "params/table/as_built/panels_built.h"

namespace leafstack {
namespace {

class Measures {
 public:
  Measures(const GateSpec& spec, const Layout& drawn) : spec_(spec), drawn_(drawn) {}

  std::vector<Measure> all() {
    site("opening between the posts, at the foot and at the top: the lesser", "opening_mm",
         drawn_.opening_mm);
    site("to the catch post's buffer (negative: behind the post's face)", "catch_mm",
         drawnCatchMm(spec_, drawn_));
    site("to the middle of the fixed guide's channel", "guide_mm", drawn_.guide_mm);
    site("upper end of that channel", "guide_top_mm", drawnChannelTopMm(drawn_));
    site("to the pinion's axis", "pinion_mm", drawn_.pinion_mm);
    site("height of the pinion's axis", "pinion_up_mm", pinionZ(drawn_));
    if (!drawn_.ropes.empty()) {
      site("to the middle of the ground bracket", "ground_bracket_mm", drawn_.ground_bracket_mm);
    }
    const LatchLayout latch = latchOf(spec_, drawn_);
    if (latch.top) {
      site("upper edge of the top receiver", "receiver_top_mm", latch.top->high_z_mm);
    }
    for (const PanelLayout& one : drawn_.panels) {
      panel(one);
    }
    return std::move(all_);
  }

 private:
  void add(int panel, const std::string& what, const std::string& key, double drawn) {
    all_.push_back({std::string(1, letter_++), what, key, panel, drawn});
  }
  void site(const std::string& what, const std::string& key, double drawn) {
    add(0, what, key, drawn);
  }

  void panel(const PanelLayout& one) {
    letter_ = 'A';
    const auto take = [&](PanelMeasure what, double drawn) {
      add(one.number, rowOf(what).meaning, rowOf(what).key, drawn);
    };
    const double cosine = one.cosine();
    const double end = one.leading_closed_mm + one.frame_length_mm;
    const double leading = one.topZ(one.leading_closed_mm) - one.undersideZ(one.leading_closed_mm);
    const double trailing = one.topZ(end) - one.undersideZ(end);
    const double climb = one.undersideZ(end) - one.undersideZ(one.leading_closed_mm);
    take(PanelMeasure::kLength, one.length_mm / cosine);
    if (one.length_mm > one.frame_length_mm) {
      take(PanelMeasure::kFrame, one.frame_length_mm / cosine);
    }
    take(PanelMeasure::kLeadingHeight, leading);
    take(PanelMeasure::kTrailingHeight, trailing);
    take(PanelMeasure::kRisingDiagonal, std::hypot(one.frame_length_mm, climb + trailing));
    take(PanelMeasure::kFallingDiagonal, std::hypot(one.frame_length_mm, climb - leading));
    take(PanelMeasure::kBow, 0);
    const double length = one.length_mm / cosine;
    if (one.number < drawn_.panel_count) {
      take(PanelMeasure::kLeadingPulley, drawn_.pulley_inset_mm);
      take(PanelMeasure::kTrailingPulley, length - drawn_.pulley_inset_mm);
    }
    if (one.number > 1) {
      take(PanelMeasure::kFrontBracket, length - spec_.ropes.bracket_inset_mm);
    }
    take(PanelMeasure::kStop, drawnStopMm(spec_, drawn_, one.number));
  }

  const GateSpec& spec_;
  const Layout& drawn_;
  std::vector<Measure> all_;
  char letter_ = 'A';
};

}  // namespace

std::vector<Measure> measuresOf(const GateSpec& spec, const Layout& drawn) {
  return Measures(spec, drawn).all();
}

}  // namespace leafstack
