#include "params/table/cross_checks.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <span>
#include <utility>
#include <variant>

#include "params/reading/text.h"
#include "params/spec/section.h"
#include "params/table/shelf_rules.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

// Less between the rails is no gate panel.
constexpr double kLeastInfill_mm = 300;
// Pickets and slats stand clear of the channel let into the frame, or of the frame's face.
constexpr double kInfillClearance_mm = 2;
// Frame face to guide rail less this is the channel's own depth; the rest is the block's jaws.
constexpr double kJaws_mm = 9;
// A rope needs its bracket's half height and some wall on either side.
constexpr double kRopeEdge_mm = 15;
// As steep as a track may be.
constexpr double kSteepestSurvey = 0.2;
// Thinner bars under a track hold nothing, and none are sold.
constexpr double kLeastDowel_mm = 4;
// Lower cladding than this covers nothing.
constexpr double kLeastCladding_mm = 50;

// Figures that would do are given in tenths: nobody makes a thousandth.
constexpr double kPerUnit = 10;
// Sums of given lengths miss a limit by rounding; what is printed is rounded as well.
constexpr double kRounding_mm = 1e-6;

class CrossChecks {
 public:
  CrossChecks(const GateSpec& spec, const StateOf& state_of, Reporter& reporter)
      : spec_(spec), state_of_(state_of), reporter_(reporter) {}

  void run(bool judges_shelf) {
    checkHeight();
    checkDepths();
    checkInfillDepth();
    checkRecess();
    checkRopeCount();
    checkRopeHeights();
    checkCladding();
    checkDropCount();
    checkSurvey();
    checkFinish();
    checkDowels();
    if (judges_shelf) {
      checkShelf();
    }
  }

 private:
  using Pointers = std::initializer_list<std::string_view>;

  void report(Pointers pointers, const Complaint& complaint) {
    report(std::span(pointers.begin(), pointers.size()), complaint);
  }

  bool sound(Pointers pointers) const {
    return sound(std::span(pointers.begin(), pointers.size()));
  }

  bool sound(std::span<const std::string_view> pointers) const {
    return std::none_of(pointers.begin(), pointers.end(),
                        [&](std::string_view pointer) { return state_of_(pointer).faulty; });
  }

  /// At the first of the pointers that was given, else at the first.
  void report(std::span<const std::string_view> pointers, const Complaint& complaint) {
    for (const std::string_view pointer : pointers) {
      if (const JsonNode* node = state_of_(pointer).node) {
        reporter_.add(pointer, node, complaint);
        return;
      }
    }
    reporter_.add(*pointers.begin(), nullptr, complaint);
  }

  void checkHeight() {
    const Pointers involved = {"/gate/height_mm", "/gate/ground_clearance_mm", "/gate/bottom_rail",
                               "/gate/top_rail"};
    const PanelSpec& gate = spec_.gate;
    const double least = gate.ground_clearance_mm + gate.bottom_rail.height_mm +
                         gate.top_rail.height_mm + kLeastInfill_mm;
    if (!sound(involved) || gate.height_mm >= least - kRounding_mm) {
      return;
    }
    report(
        involved,
        {"a height of " + formatNumber(gate.height_mm) + " leaves less than " +
             formatNumber(kLeastInfill_mm) + " mm between the rails, after a ground clearance of " +
             formatNumber(gate.ground_clearance_mm) + " and rails of " +
             formatNumber(gate.bottom_rail.height_mm) + " and " +
             formatNumber(gate.top_rail.height_mm),
         "a height of at least " + formatFigure(least) + " mm", "make the gate higher"});
  }

  void checkDepths() {
    const HollowSection& rail = spec_.gate.bottom_rail;
    const auto check = [&](std::string_view pointer, const HollowSection& member,
                           std::string_view name) {
      if (!sound({pointer, "/gate/bottom_rail"}) || member.depth_mm == rail.depth_mm) {
        return;
      }
      report({pointer, "/gate/bottom_rail"},
             {"the " + std::string(name) + " is " + formatNumber(member.depth_mm) +
                  " deep and the bottom rail " + formatNumber(rail.depth_mm) +
                  ": guides need flush faces",
              "equal second numbers in both sections",
              "make the " + std::string(name) + ' ' + formatNumber(rail.depth_mm) + " deep"});
    };
    check("/gate/top_rail", spec_.gate.top_rail, "top rail");
    check("/gate/stile", spec_.gate.stile, "stile");
  }

  void checkInfillDepth() {
    const Pointers involved = {"/gate/infill/section", "/guides/recess_mm", "/gate/bottom_rail"};
    const InfillSpec& infill = spec_.gate.infill;
    const bool has_section =
        infill.kind == InfillKind::kPickets || infill.kind == InfillKind::kSlats;
    const double most =
        spec_.gate.bottom_rail.depth_mm - spec_.guides.recess_mm - kInfillClearance_mm;
    if (!has_section || !sound(involved) || !sound({"/gate/infill/kind"}) ||
        infill.section.depth_mm <= most + kRounding_mm) {
      return;
    }
    report(involved,
           {"infill " + formatNumber(infill.section.depth_mm) + " deep does not fit a frame of " +
                formatNumber(spec_.gate.bottom_rail.depth_mm) + " with a recess of " +
                formatNumber(spec_.guides.recess_mm),
            infillAllowed(most), "take a shallower section"});
  }

  /// Where a recess leaves no depth for any section, what else must change.
  std::string infillAllowed(double most) const {
    const double depth = spec_.gate.bottom_rail.depth_mm;
    const double recess = depth - kInfillClearance_mm - spec_.gate.infill.section.depth_mm;
    if (most >= kLeastSide_mm) {
      return "infill at most " + formatFigure(most) + " mm deep";
    }
    if (recess >= 0) {
      return "a recess of at most " + formatFigure(recess) + " mm";
    }
    return "infill at most " + formatFigure(depth - kInfillClearance_mm) +
           " mm deep, and no recess";
  }

  void checkRecess() {
    const Pointers involved = {"/guides/recess_mm", "/guides/channel_depth_mm",
                               "/gate/bottom_rail"};
    const PanelSpec& gate = spec_.gate;
    const double rear_wall =
        std::max({gate.bottom_rail.wall_mm, gate.top_rail.wall_mm, gate.stile.wall_mm});
    const double most =
        std::min(gate.bottom_rail.depth_mm - rear_wall, spec_.guides.channel_depth_mm - kJaws_mm);
    if (!sound(involved) || !sound({"/gate/top_rail", "/gate/stile"}) ||
        spec_.guides.recess_mm <= most + kRounding_mm) {
      return;
    }
    report(involved, {"a recess of " + formatNumber(spec_.guides.recess_mm) +
                          " would swallow the channel or cut through the frame",
                      "0 to " + formatFigure(most) + " mm",
                      "the channel itself is " +
                          formatFigure(spec_.guides.channel_depth_mm - kJaws_mm) + " deep"});
  }

  void checkRopeCount() {
    const Pointers involved = {"/ropes/heights_mm", "/gate/panels"};
    if (!spec_.ropes.heights_mm || !spec_.gate.panels || !sound(involved)) {
      return;
    }
    const int carriers = *spec_.gate.panels - 1;
    const int entries = static_cast<int>(spec_.ropes.heights_mm->size());
    if (entries == carriers) {
      return;
    }
    report(involved,
           {std::to_string(entries) + (entries == 1 ? " rope height" : " rope heights") + " for " +
                std::to_string(carriers) + (carriers == 1 ? " carrying panel" : " carrying panels"),
            carriers == 0 ? "\"auto\"" : "one entry per carrying panel: all but the front one",
            carriers == 0 ? "a single panel carries no rope" : ""});
  }

  void checkRopeHeights() {
    if (!spec_.ropes.heights_mm || !sound({"/ropes/heights_mm", "/gate/bottom_rail"})) {
      return;
    }
    const double most = spec_.gate.bottom_rail.height_mm - kRopeEdge_mm;
    const JsonNode* list = state_of_("/ropes/heights_mm").node;
    for (std::size_t i = 0; i < spec_.ropes.heights_mm->size(); ++i) {
      const double height = spec_.ropes.heights_mm->at(i);
      if (height <= most + kRounding_mm) {
        continue;
      }
      const JsonNode* node = list == nullptr ? nullptr : &list->children.at(i);
      reporter_.add("/ropes/heights_mm/" + std::to_string(i), node,
                    {formatNumber(height) + " is too high in a bottom rail of " +
                         formatNumber(spec_.gate.bottom_rail.height_mm),
                     most < kRopeEdge_mm
                         ? "a bottom rail at least " + formatNumber(2 * kRopeEdge_mm) + " mm high"
                         : formatNumber(kRopeEdge_mm) + " to " + formatFigure(most) + " mm",
                     "or take a higher bottom rail"});
    }
  }

  void checkCladding() {
    const Pointers involved = {"/gate/cladding/bottom_mm", "/gate/height_mm",
                               "/gate/ground_clearance_mm"};
    const PanelSpec& gate = spec_.gate;
    const auto& bottom = gate.cladding.bottom_mm;
    const double most = gate.height_mm - gate.ground_clearance_mm - kLeastCladding_mm;
    if (gate.cladding.kind == CladdingKind::kNone || !bottom || !sound(involved) ||
        !sound({"/gate/cladding/kind"}) || *bottom <= most + kRounding_mm) {
      return;
    }
    report(involved, {"cladding from " + formatNumber(*bottom) + " up leaves less than " +
                          formatNumber(kLeastCladding_mm) + " mm of it below the panel's top",
                      "0 to " + formatFigure(most) + " mm, or \"auto\"", ""});
  }

  void checkDowels() {
    const double dowel = spec_.site.dowel_mm;
    if (sound({"/site/dowel_mm"}) && dowel > 0 && dowel < kLeastDowel_mm) {
      report({"/site/dowel_mm"},
             {"dowels of " + formatNumber(dowel) + " mm hold no track",
              "0, for none, or " + formatNumber(kLeastDowel_mm) + " to 30 mm", ""});
    }
  }

  void checkDropCount() {
    const Pointers involved = {"/guides/drop_mm", "/gate/panels"};
    if (!spec_.guides.drop_mm || !spec_.gate.panels || !sound(involved)) {
      return;
    }
    const int panels = *spec_.gate.panels;
    const int entries = static_cast<int>(spec_.guides.drop_mm->size());
    if (entries != panels) {
      report(involved, {std::to_string(entries) + " guide drops for " + std::to_string(panels) +
                            (panels == 1 ? " panel" : " panels"),
                        "one entry per panel: each has a guide rail", ""});
    }
  }

  void checkSurvey() {
    const auto& lines = spec_.site.track_survey_mm;
    if (lines.empty() || !sound({"/site/track_survey_mm"})) {
      return;
    }
    checkTracks(lines.size());
    if (sound({"/site/grade"}) && spec_.site.grade != 0) {
      report({"/site/grade"}, {"a grade of " + formatNumber(spec_.site.grade) +
                                   " beside surveyed points: the track follows one of them",
                               "0, or no track_survey_mm", "leave the grade out"});
    }
    const JsonNode* list = state_of_("/site/track_survey_mm").node;
    const bool nested = list != nullptr && isListOfSurveys(*list);
    for (std::size_t k = 0; k < lines.size(); ++k) {
      const bool one = list == nullptr ? lines.size() == 1 : !nested;
      checkSteepness(lines[k], list == nullptr || one ? list : &list->children.at(k),
                     "/site/track_survey_mm" + (one ? "" : "/" + std::to_string(k)));
    }
  }

  void checkSteepness(const SurveyLine& points, const JsonNode* list, const std::string& pointer) {
    for (std::size_t i = 1; i < points.size(); ++i) {
      const double rise = points[i].second - points[i - 1].second;
      const double run = points[i].first - points[i - 1].first;
      if (std::abs(rise) > kSteepestSurvey * run) {
        reporter_.add(pointer + "/" + std::to_string(i),
                      list == nullptr ? nullptr : &list->children.at(i),
                      {"a rise of " + formatFigure(rise) + " mm over " + formatFigure(run) +
                           " mm since the point before is steeper than a track may be",
                       "up to " + formatNumber(kSteepestSurvey) + " per mm", ""});
      }
    }
  }

  /// A line for every track needs the tracks' number, and says by itself how the ground lies
  /// across.
  void checkTracks(std::size_t lines) {
    const Pointers panels = {"/site/track_survey_mm", "/gate/panels"};
    if (lines == 1) {
      return;
    }
    const std::string given = std::to_string(lines) + " lines of surveyed points";
    if (sound(panels) && spec_.gate.panels != static_cast<int>(lines)) {
      report(panels, {given + " for " +
                          (spec_.gate.panels ? std::to_string(*spec_.gate.panels) +
                                                   (*spec_.gate.panels == 1 ? " track" : " tracks")
                                             : std::string("a number of panels left open")),
                      "one line for every panel's track, back track first, or one for all", ""});
    }
    if (sound({"/site/cross_grade"}) && spec_.site.cross_grade != 0) {
      report({"/site/cross_grade"},
             {"a cross grade of " + formatNumber(spec_.site.cross_grade) + " beside " + given +
                  ": how the tracks lie across, the lines say",
              "0, or one line", "leave the cross grade out"});
    }
  }

  void checkFinish() {
    const Pointers involved = {"/shop/finish", "/gate/material"};
    if (!spec_.shop.isDipped() || spec_.gate.material != FrameMaterial::kAluminium ||
        !sound(involved)) {
      return;
    }
    report(involved, {"an aluminium gate is not hot-dip galvanised: the zinc bath dissolves it",
                      "none or painted, or a gate of steel", ""});
  }

  /// How many rules are broken, and whether the one of these sizes is.
  static std::pair<int, bool> broken(const GateSpec& spec, const ShelfRule& asked) {
    std::pair<int, bool> out;
    for (const ShelfRule& rule : shelfRules(spec)) {
      const bool is_broken =
          rule.figure < rule.least - kRounding_mm || rule.figure > rule.most + kRounding_mm;
      out.first += is_broken ? 1 : 0;
      out.second = out.second || (is_broken && rule.pointers == asked.pointers);
    }
    return out;
  }

  /// Where the first size cannot do it within its range: another of them that can, with the nearest
  /// tenth of its range at which the rule holds, and no more are broken; "" for none.
  std::string anotherSize(const ShelfRule& rule) const {
    constexpr int kMostUnits = 300;
    const int before = broken(spec_, rule).first;
    for (const std::string_view pointer : std::span(rule.pointers).subspan(1)) {
      const Parameter* row = findParameter(pointer);
      GateSpec changed = spec_;
      const Slot slot = row->slot(changed);
      if (!std::holds_alternative<double*>(slot)) {
        continue;
      }
      double& value = *std::get<double*>(slot);
      const double from = std::round(value * kPerUnit);
      const auto does = [&](double tenths) {
        value = tenths / kPerUnit;
        const auto [count, is_broken] = broken(changed, rule);
        return row->limits.hold(value) && !is_broken && count < before;
      };
      for (int i = 1; i <= kMostUnits; ++i) {
        for (const int way : {-1, 1}) {
          double at = from + way * i * kPerUnit;
          if (!does(at)) {
            continue;
          }
          while (does(at - way)) {  // back to the first tenth; the unit before does not do
            at -= way;
          }
          return std::string(pointer) + (way < 0 ? " at most " : " at least ") +
                 formatFigure(at / kPerUnit) +
                 (*row->unit == '\0' ? "" : std::string(" ") + row->unit);
        }
      }
    }
    return "";
  }

  /// What fits what: told where one of the sizes was given, with what the first of them may be.
  void checkShelf() {
    for (const ShelfRule& rule : shelfRules(spec_)) {
      const bool small = rule.figure < rule.least - kRounding_mm;
      const bool large = rule.figure > rule.most + kRounding_mm;
      if (!sound(rule.pointers) || (!small && !large)) {
        continue;
      }
      const Parameter* row = findParameter(rule.pointers.front());
      const std::string unit = *row->unit == '\0' ? "" : std::string(" ") + row->unit;
      const std::string name = std::string(rule.pointers.front());
      std::string allowed = name + " at ";
      if (!rule.would_do.empty()) {
        allowed = rule.would_do;
      } else if (rule.least > rule.most) {
        allowed = anotherSize(rule);
      } else if (small ? rule.least > row->limits.most : rule.most < row->limits.least) {
        const std::string other = anotherSize(rule);
        allowed +=
            (small ? "least " + formatFigure(rule.least) : "most " + formatFigure(rule.most));
        allowed = other.empty() ? allowed + unit : other;
      } else {
        // To a tenth, inwards: nobody makes a thousandth.
        allowed +=
            small ? "least " +
                        formatFigure(std::ceil(rule.least * kPerUnit - kRounding_mm) / kPerUnit)
                  : "most " +
                        formatFigure(std::floor(rule.most * kPerUnit + kRounding_mm) / kPerUnit);
        allowed += unit;
      }
      report(rule.pointers, {rule.why, allowed, ""});
    }
  }

  const GateSpec& spec_;
  const StateOf& state_of_;
  Reporter& reporter_;
};

}  // namespace

void checkAcross(const GateSpec& spec, const StateOf& state_of, Reporter& reporter,
                 bool judges_shelf) {
  CrossChecks(spec, state_of, reporter).run(judges_shelf);
}

}  // namespace leafstack
