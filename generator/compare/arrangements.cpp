#include "generator/compare/arrangements.h"

#include <algorithm>
#include <cmath>

#include "generator/compare/cost/estimate.h"
#include "generator/compare/fixes.h"
#include "generator/compare/ranking.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/layout.h"
#include "generator/layout/travel/motion.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// What is the same for every arrangement of a gate file.
class Comparer {
 public:
  Comparer(const GateSpec& spec, const CompareOptions& options)
      : given_(spec), tried_(spec), options_(options), estimator_(spec) {
    resistance_ = wheelResistance(spec.drive, spec.hardware);
    const double square = spec.ropes.diameter_mm * spec.ropes.diameter_mm;
    holds_N_ = ropeClass(spec.ropes).breaking_factor * square * ropeGrade_N_mm2(spec.ropes) *
               terminationOf(spec.ropes).efficiency;
    for (int count = 1; count <= kMostPanels; ++count) {
      anchors_[count - 1] = anchorsOneBehind(count);
    }
  }

  Arrangement arrange(const ArrangementChoice& choice) {
    applyChoice(given_, choice, tried_);
    // The pocket follows from the room; layOut() would work it out for other gates as well.
    tried_.site.bank = 0;
    LayoutResult result = layOut(tried_);
    tried_.site.bank = given_.site.bank;
    const Layout& layout = result.layout;
    Arrangement made;
    made.choice = choice;
    made.laid_out = result.problems.empty();
    made.problems = std::move(result.problems);
    takeLayout(layout, made);
    if (layout.ground.problems.empty()) {
      measure(layout, made);
    }
    if (made.laid_out) {
      findTightGaps(layout, made);
      findUndercuts(layout, made);
    }
    made.fits = layout.fits && made.problems.empty();
    return made;
  }

 private:
  void takeLayout(const Layout& layout, Arrangement& made) const {
    made.room_mm = layout.room_mm;
    made.room_total_mm = layout.room_total_mm;
    if (layout.room_given) {
      made.margin_mm = layout.room_given_mm - layout.room_total_mm;
    }
    made.binding = layout.binding;
    made.demands = layout.demands;
    made.panel_length_mm.reserve(layout.panels.size());
    for (const PanelLayout& panel : layout.panels) {
      made.panel_length_mm.push_back(panel.length_mm);
    }
    made.ropes = made.pulleys = 2 * static_cast<int>(layout.ropes.size());
    if (given_.site.bank != 0) {
      made.pocket_m3 = pocketOf(tried_, layout).volume_m3;
    }
  }

  void measure(const Layout& layout, Arrangement& made) {
    const std::vector<Bill> bills = estimator_.panelsOf(tried_, layout);
    made.panel_mass_kg.reserve(bills.size());
    for (const Bill& bill : bills) {
      made.panel_mass_kg.push_back(bill.massKg());
      made.mass_kg += made.panel_mass_kg.back();
    }
    findDrive(layout, made);
    if (made.choice.mount == GuideMount::kOverhead) {
      made.bracket_over_fence_mm = overheadHiddenByMm(tried_, layout) - given_.site.fence_height_mm;
    }
    findHazards(made);
    if (options_.prices != nullptr) {
      Bill gate;
      for (const Bill& bill : bills) {
        for (int i = 0; i < kStockCount; ++i) {
          gate.rows[i].add(bill.rows[i].length_mm, bill.rows[i].mass_kg, bill.rows[i].items);
        }
      }
      made.cost = costOf(*options_.prices, tried_, made, gate, options_.in_words);
    }
  }

  /// Panels at a position of the drive; their centres are taken in the middle of the frames.
  std::vector<MovingPanel> panelsAt(const Layout& layout, const Arrangement& made,
                                    double drive_mm) const {
    std::vector<MovingPanel> panels;
    panels.reserve(layout.panels.size());
    const double even = given_.site.grade / std::sqrt(1 + given_.site.grade * given_.site.grade);
    for (const PanelLayout& row : layout.panels) {
      double sine = even;
      if (layout.ground.is_surveyed) {
        const double x = row.leading_closed_mm + row.frame_length_mm / 2;
        const double z = (row.undersideZ(x) + row.topZ(x)) / 2;
        sine = slopeAt(layout, row.number, {x, row.front_y_mm, z}, drive_mm);
      }
      panels.push_back({made.panel_mass_kg[row.number - 1], row.speed_ratio, sine});
    }
    return panels;
  }

  void findDrive(const Layout& layout, Arrangement& made) {
    DriveNeed& drive = made.drive;
    drive.motor_force_N = made.choice.motor.force_N;
    const bool is_level = !layout.ground.is_surveyed && given_.site.grade == 0;
    const std::vector<RopeAnchors>& ropes = anchors_[layout.panel_count - 1];
    double pull_N = 0;
    for (const double at : loadPositions(layout)) {
      const std::vector<MovingPanel> panels = panelsAt(layout, made, at);
      for (const bool opening : {true, false}) {
        for (const Phase phase : {Phase::kMoving, Phase::kStarting, Phase::kStopping}) {
          if (is_level && (!opening || phase == Phase::kStopping)) {
            continue;  // as much, or less
          }
          ChainCase chain;
          chain.opening = opening;
          chain.phase = phase;
          chain = solvedCase(given_, resistance_, ropes, panels, std::move(chain));
          takeCase(chain, drive);
        }
        pull_N = std::max(pull_N, pullOf(panels, opening));
      }
    }
    if (drive.rope_tension_N > 0) {
      drive.rope_safety = holds_N_ / drive.rope_tension_N;
    }
    runs_away_ = pull_N > 0;
    const DriveSpec& spec = given_.drive;
    const TravelTime time =
        travelTime({trackTravelMm(layout), spec.speed_mm_s, spec.acceleration_mm_s2,
                    spec.slow_speed_mm_s, spec.slow_travel_mm});
    drive.opening_time_s = time.total_s;
    drive.front_speed_mm_s = time.top_speed_mm_s * layout.panels.back().speed_ratio;
  }

  static void takeCase(const ChainCase& chain, DriveNeed& drive) {
    if (chain.phase == Phase::kMoving && chain.ideal.drive_N > drive.force_N) {
      double single = 0;
      for (const double need : chain.need_N) {
        single += need;
      }
      drive.force_N = chain.ideal.drive_N;
      drive.ratio_to_single = drive.force_N / single;
    }
    if (chain.phase == Phase::kStarting) {
      drive.required_force_N = std::max(drive.required_force_N, chain.forces.drive_N);
    }
    for (const RopePull& pull : chain.forces.ropes) {
      drive.rope_tension_N =
          std::max({drive.rope_tension_N, std::abs(pull.front_N), std::abs(pull.rear_N)});
    }
  }

  /// What gravity has over on clean wheels, at the drive; positive: the gate runs.
  double pullOf(const std::vector<MovingPanel>& panels, bool opening) const {
    double force = 0;
    for (const MovingPanel& panel : panels) {
      const double down = opening ? -panel.sine : panel.sine;
      force += panel.speed_ratio * panel.mass_kg * kGravity *
               (down - resistance_.least() * std::sqrt(1 - panel.sine * panel.sine));
    }
    return force;
  }

  void findHazards(Arrangement& made) const {
    const DriveNeed& drive = made.drive;
    if (runs_away_) {
      made.hazards.push_back(Hazard::kRunsAway);
    }
    if (drive.motor_force_N && *drive.motor_force_N < drive.required_force_N) {
      made.hazards.push_back(Hazard::kMotorWeak);
    }
    if (drive.rope_safety && *drive.rope_safety < given_.checks.rope_safety) {
      made.hazards.push_back(Hazard::kRopeWeak);
    }
    if (made.bracketShows()) {
      made.hazards.push_back(Hazard::kBracketShows);
    }
  }

  /// Gaps that the gate file may close altogether.
  void findTightGaps(const Layout& layout, Arrangement& made) const {
    const auto compare = [&](const char* pointer, double gap, double least) {
      if (gap < least - kLengthEqualMm) {
        made.problems.push_back({pointer, "leaves a gap of " + shown(gap) + " mm, hardware takes " +
                                              shown(least) +
                                              " mm: whether anything meets is for check to say"});
      }
    };
    if (made.choice.mount != GuideMount::kOverhead) {
      compare("/drive/motor_gap_mm", given_.drive.motor_gap_mm, hw::kHardwareClearanceMm);
    }
    // Axle heads stand out of the front panel's face, and it parks behind a fence post.
    const bool clad = given_.gate.cladding.kind != CladdingKind::kNone;
    const double foremost = std::max(given_.hardware.wheel.axle_projection_mm,
                                     clad ? given_.gate.cladding.thickness_mm : 0.0);
    compare(given_.site.setback_mm ? "/site/setback_mm" : "/site/fence_clearance_mm",
            layout.stack.setback_mm - foremost, hw::kHardwareClearanceMm);
  }

  bool anyGivenAuto() const {
    return given_.guides.packing_mm || given_.guides.drop_mm || given_.ropes.heights_mm ||
           given_.ropes.pulley_pitch_mm || given_.drive.packing_mm || given_.site.setback_mm ||
           given_.gate.cladding.bottom_mm;
  }

  /// Numbers given where the layout would take more. Only solids can tell what comes of that.
  void findUndercuts(const Layout& layout, Arrangement& made) const {
    if (!anyGivenAuto()) {
      return;
    }
    GateSpec free = tried_;
    free.site.bank = 0;
    free.guides.packing_mm.reset();
    free.guides.drop_mm.reset();
    free.ropes.heights_mm.reset();
    free.drive.packing_mm.reset();
    free.site.setback_mm.reset();
    free.gate.cladding.bottom_mm.reset();
    const LayoutResult chosen = layOut(free);
    const Layout& best = chosen.layout;
    const auto compare = [&](bool is_given, const char* pointer, double value, double least) {
      if (is_given && value < least - kLengthEqualMm) {
        made.problems.push_back({pointer, "given as " + shown(value) +
                                              " mm, the layout would take " + shown(least) +
                                              " mm: whether anything meets is for check to say"});
      }
    };
    const bool clad = given_.gate.cladding.kind != CladdingKind::kNone;
    compare(given_.guides.packing_mm && layout.panel_count > 1, "/guides/packing_mm",
            layout.stack.packing_mm, best.stack.packing_mm);
    compare(given_.site.setback_mm.has_value(), "/site/setback_mm", layout.stack.setback_mm,
            best.stack.setback_mm);
    compare(given_.gate.cladding.bottom_mm && clad, "/gate/cladding/bottom_mm",
            layout.heights.cladding_bottom_up_mm,
            // Ropes given high lift it as well.
            std::max(best.heights.cladding_bottom_up_mm, autoCladdingMm()));
    compareHeights(layout, best, made);
    for (const GuideLayout& guide : layout.guides) {
      compare(tried_.guides.drop_mm.has_value(), "/guides/drop_mm", guide.drop_mm,
              guide.least_drop_mm);
    }
  }

  double autoCladdingMm() const {
    GateSpec free = tried_;
    free.site.bank = 0;
    free.gate.cladding.bottom_mm.reset();
    return layOut(free).layout.heights.cladding_bottom_up_mm;
  }

  /// Ropes and motor: what stands otherwise than the layout would have it.
  void compareHeights(const Layout& layout, const Layout& best, Arrangement& made) const {
    const auto doubt = [&](const char* pointer) {
      made.problems.push_back(
          {pointer,
           "given otherwise than the layout would choose: whether anything meets is for "
           "check to say"});
    };
    if (tried_.ropes.heights_mm && layout.heights.rope_heights_mm != best.heights.rope_heights_mm) {
      doubt("/ropes/heights_mm");
    }
    if (given_.ropes.pulley_pitch_mm && layout.panel_count > 1) {
      GateSpec free = tried_;
      free.site.bank = 0;
      free.ropes.pulley_pitch_mm.reset();
      if (std::abs(layOut(free).layout.pulley_pitch_mm - layout.pulley_pitch_mm) > kLengthEqualMm) {
        doubt("/ropes/pulley_pitch_mm");
      }
    }
    if (given_.drive.packing_mm && std::abs(layout.heights.motor_packing_mm -
                                            best.heights.motor_packing_mm) > kLengthEqualMm) {
      doubt("/drive/packing_mm");
    }
  }

  const GateSpec& given_;
  GateSpec tried_;
  CompareOptions options_;
  Estimator estimator_;
  WheelResistance resistance_;
  double holds_N_ = 0;  ///< a rope's breaking force with its terminations
  std::array<std::vector<RopeAnchors>, kMostPanels> anchors_;
  bool runs_away_ = false;
};

bool asksForMore(const CheckSpec& checks) {
  const CheckSpec usual;
  return checks.build_tolerance_mm > usual.build_tolerance_mm ||
         checks.guide_clearance_mm > usual.guide_clearance_mm ||
         checks.hardware_clearance_mm > usual.hardware_clearance_mm ||
         checks.clearance_mm > hw::kCladdingClearanceMm;
}

void noteDoubts(SiteComparison& comparison) {
  const GateSpec& spec = comparison.spec;
  if (!spec.site.room_mm) {
    comparison.notes.push_back(
        "no room is given (/site/room_mm), so everything that can be laid out counts as fitting");
  }
  if (asksForMore(spec.checks)) {
    comparison.notes.push_back(
        "the checks ask for more than the hardware's usual clearances: whether parts keep them is "
        "for check to say");
  }
  if (!spec.site.track_survey_mm.empty()) {
    comparison.notes.push_back(
        "on surveyed ground panels pitch: whether parts stay clear is for check to say");
  }
  if (spec.site.track_survey_mm.size() > 1) {
    comparison.notes.push_back("lines were surveyed for " +
                               std::to_string(spec.site.track_survey_mm.size()) +
                               " tracks: another number of panels is tried on the nearest of them");
  }
}

}  // namespace

SiteComparison compareArrangements(const GateSpec& spec, const CompareOptions& options) {
  SiteComparison comparison;
  comparison.spec = spec;
  Comparer comparer(comparison.spec, options);
  const std::vector<ArrangementChoice> choices = choicesFor(spec);
  comparison.arrangements.reserve(choices.size());
  for (const ArrangementChoice& choice : choices) {
    comparison.arrangements.push_back(comparer.arrange(choice));
  }
  comparison.vouched = spec.site.track_survey_mm.empty() && !asksForMore(spec.checks);
  comparison.currency = options.prices != nullptr ? options.prices->currency : "";
  rankArrangements(comparison);
  if (options.in_words) {
    findFixes(comparison);
    noteDoubts(comparison);
  }
  return comparison;
}

Arrangement arrangementOf(const GateSpec& spec, const ArrangementChoice& choice,
                          const CompareOptions& options) {
  return Comparer(spec, options).arrange(choice);
}

std::vector<Arrangement> arrangementsByPanels(const GateSpec& spec) {
  Comparer comparer(spec, {.in_words = false});
  std::vector<Arrangement> all;
  for (int count = 1; count <= kMostPanels; ++count) {
    all.push_back(comparer.arrange(
        {count, spec.gate.stacking, spec.guides.mount, spec.drive.motor, spec.hardware.motor}));
  }
  std::stable_sort(all.begin(), all.end(), [&](const Arrangement& one, const Arrangement& other) {
    return ranksBefore(standingOf(spec, one), standingOf(spec, other));
  });
  return all;
}

GateSpec withPanelsChosen(const GateSpec& spec) {
  if (spec.gate.panels) {
    return spec;
  }
  GateSpec chosen = spec;
  applyChoice(spec, arrangementsByPanels(spec).front().choice, chosen);
  return chosen;
}

}  // namespace leafstack
