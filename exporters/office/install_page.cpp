#include "exporters/office/install_page.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "exporters/office/handover_page.h"
#include "exporters/office/html.h"
#include "exporters/office/step_pictures.h"
#include "generator/geometry/numbers.h"
#include "generator/handover/handover_rows.h"
#include "generator/installing/holds.h"
#include "generator/installing/loading.h"
#include "generator/loads/tensioning.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

using office::Cells;

constexpr const char* kTick = "\u2610";
constexpr double kLeastPull_N = 10, kGravity = 9.81;  // own choice: what wheels' friction holds
constexpr double kAboutMm = 200;        // of a part's ends: what is set out is its, not a twin's
constexpr std::size_t kShortNote = 16;  // letters: told again

struct StageWords {
  Say title, text;
  std::vector<Say> checks;
};

StageWords stageWords(const InstallStep& step) {
  const bool is_late = step.panel > 0;
  switch (step.stage) {
    case InstallStage::kConcrete:
      return {
          Say::kStepConcrete, Say::kStepConcreteText, {Say::kCheckConcrete, Say::kCheckConduit}};
    case InstallStage::kTracks:
      return {Say::kStepTracks, Say::kStepTracksText, {Say::kCheckTracks, Say::kCheckDowels}};
    case InstallStage::kPosts:
      return {Say::kStepPosts, Say::kStepPostsText, {Say::kCheckPlumb, Say::kCheckAnchors}};
    case InstallStage::kPanel:
      return {Say::kStepPanel, Say::kStepPanelText, {Say::kCheckRolls, Say::kCheckHeld}};
    case InstallStage::kPulleys:
      return {Say::kStepPulleys, Say::kStepPulleysText, {Say::kCheckPulleys, Say::kCheckScrews}};
    case InstallStage::kGuides:
      return {Say::kStepGuides, Say::kStepGuidesText, {Say::kCheckGuides, Say::kCheckScrews}};
    case InstallStage::kStops:
      return {Say::kStepStops,
              is_late ? Say::kStepStopsLate : Say::kStepStopsText,
              {is_late ? Say::kCheckStops : Say::kCheckPlumb, Say::kCheckAnchors}};
    case InstallStage::kCatch:
      return {Say::kStepCatch,
              is_late ? Say::kStepCatchLate : Say::kStepCatchText,
              {is_late ? Say::kCheckCatch : Say::kCheckPlumb, Say::kCheckAnchors}};
    case InstallStage::kDrive:
      return {Say::kStepDrive, Say::kStepDriveText, {Say::kCheckPinion, Say::kCheckLimits}};
    case InstallStage::kRopes:
      return {Say::kStepRopes, Say::kStepRopesText, {Say::kCheckRopes}};
    case InstallStage::kHandTravel:
      return {Say::kStepHand,
              Say::kStepHandText,
              {Say::kCheckTravel, Say::kCheckEnds, Say::kCheckCatch, Say::kCheckStays}};
    case InstallStage::kLimits:
      return {
          Say::kStepLimits, Say::kStepLimitsText, {Say::kCheckClosedLimit, Say::kCheckOpenLimit}};
    case InstallStage::kSafety:
      return {Say::kStepSafety, Say::kStepSafetyText, {Say::kCheckDevices, Say::kCheckGuards}};
    case InstallStage::kForces:
      return {Say::kStepForces, Say::kStepForcesText, {Say::kCheckHeldToRun, Say::kCheckForces}};
    case InstallStage::kFirstRun:
      return {
          Say::kStepFirstRun, Say::kStepFirstRunText, {Say::kCheckRunTime, Say::kCheckReverses}};
    case InstallStage::kHandover:
      return {Say::kStepHandover, Say::kStepHandoverText, {Say::kCheckSigned, Say::kCheckShown}};
  }
  return {};
}

class StepTexts {
 public:
  StepTexts(const InstallContents& contents, const PaperWords& say)
      : contents_(contents),
        model_(contents.model),
        schedules_(contents.schedules),
        say_(say),
        plan_(contents.plan),
        pictures_(contents.model) {}

  std::string body() {
    std::string out = beforeText();
    std::vector<int> there = plan_.there_before;
    for (const InstallStep& step : plan_.steps) {
      out += stepText(step, there);
      for (const InstallGroup& group : step.groups) {
        there.insert(there.end(), group.instances.begin(), group.instances.end());
      }
    }
    return out;
  }

 private:
  const Part& partOf(int instance) const { return model_.parts[model_.instances[instance].part]; }

  std::string beforeText() const {
    std::string marks;
    std::set<std::string> told;
    for (const int instance : plan_.there_before) {
      if (told.insert(partOf(instance).mark).second) {
        marks += (marks.empty() ? "" : ", ") + partOf(instance).mark;
      }
    }
    return office::paragraph(say_(plan_.isProved() ? Say::kWaysProved : Say::kWaysBlocked),
                             plan_.isProved() ? "note" : "warn") +
           (marks.empty() ? "" : office::paragraph(say_(Say::kThereBefore, {marks})));
  }

  std::string stepText(const InstallStep& step, const std::vector<int>& there) {
    const StageWords words = stageWords(step);
    const std::string number = std::to_string(++number_);
    std::string out =
        "<section class=\"step\">\n<div class=\"keep\">" +
        office::heading(number + ". " + say_(words.title, {std::to_string(step.panel)})) +
        office::paragraph(say_(words.text)) +
        (runaway_N() > 0 &&
                 (step.stage == InstallStage::kHandTravel || step.stage == InstallStage::kLimits)
             ? office::paragraph(say_(Say::kRunsAway, {shown(std::ceil(runaway_N()), 0)}), "warn")
             : "") +
        (step.groups.empty() ? ""
                             : pictures_.whole(step, there) + "</div>\n" +
                                   pictures_.detail(step, there) + partsText(step)) +
        (step.stage == InstallStage::kRopes ? toolsText(step) + figuresText(step)
                                            : figuresText(step) + toolsText(step));
    std::vector<Cells> checks;
    const bool runs_away = runaway_N() > 0;
    for (const Say check : words.checks) {
      const bool is_let_go = runs_away && check == Say::kCheckStays;
      checks.push_back({kTick, say_(is_let_go ? Say::kCheckRunaway : check), ""});
    }
    const std::string form =
        office::table({"", say_(Say::kChecks), say_(Say::kMeasured)}, checks, "form wide");
    return out +
           (step.groups.empty() ? form + "</div>\n" : "<div class=\"keep\">" + form + "</div>\n") +
           "</section>\n";
  }

  /// By the gate's axis that it is nearest to.
  std::string directionOf(const Vec3& from) const {
    const double along = from[0] * model_.opening_sign;
    const double most = std::max({std::abs(along), std::abs(from[1]), std::abs(from[2])});
    if (std::abs(from[2]) == most) {
      return say_(from[2] > 0 ? Say::kFromAbove : Say::kFromBelow);
    }
    return std::abs(from[1]) == most ? say_(from[1] > 0 ? Say::kFromProperty : Say::kFromRoad)
                                     : say_(along > 0 ? Say::kFromStorage : Say::kFromLatch);
  }
  std::string wayOf(const InstallGroup& group) const {
    if (group.blocked) {
      return say_(Say::kNoWay,
                  {partOf(group.blocked->coming).mark, partOf(group.blocked->standing).mark});
    }
    if (!group.way) {
      return say_(isPoured(group) ? Say::kPoured : Say::kThreaded);
    }
    return "";
  }

  /// Of ways alike but for their lengths, one text.
  std::string waysOf(const std::vector<const InstallGroup*>& groups) const {
    std::vector<std::pair<std::vector<std::string>, Range>> alike;
    for (const InstallGroup* group : groups) {
      std::vector<std::string> from;
      for (const StraightWay& leg : *group->way) {
        from.push_back(directionOf(leg.from));
      }
      const double last = group->way->front().length_mm;
      const auto known = std::find_if(alike.begin(), alike.end(),
                                      [&](const auto& one) { return one.first == from; });
      if (known == alike.end()) {
        alike.push_back({from, {last, last}});
      } else {
        known->second = {std::min(known->second.low, last), std::max(known->second.high, last)};
      }
    }
    std::string text;
    for (const auto& [from, last] : alike) {
      const std::string low = shown(last.low, 0), high = shown(last.high, 0);
      const std::string over = low == high ? low : say_(Say::kRange, {low, high});
      const double aside = from.size() > 2 ? groups.front()->way->at(1).length_mm : 0;
      text += (text.empty() ? "" : say_(Say::kOr)) +
              (from.size() == 1   ? say_(Say::kStraightIn, {from[0], over})
               : from.size() == 2 ? say_(Say::kThenIn, {from[1], from[0], over})
                                  : say_(Say::kSwungIn, {from[2], over, from[1], shown(aside, 0)}));
    }
    return text;
  }

  /// Of all that goes in as one, each once.
  std::string marksOf(const InstallGroup& group) const {
    std::string marks;
    std::set<std::string> told;
    for (const int instance : group.instances) {
      const std::string& mark = partOf(instance).mark;
      marks += told.insert(mark).second ? (marks.empty() ? "" : " ") + mark : "";
    }
    return marks;
  }
  bool isPoured(const InstallGroup& group) const {
    return partOf(group.instances.front()).kind == PartKind::kFooting;
  }

  /// In their order; those that follow each other alike are one row, whatever side they come from.
  std::string partsText(const InstallStep& step) const {
    std::vector<Cells> rows;
    std::vector<std::vector<const InstallGroup*>> free;
    std::vector<int> counts;
    for (const InstallGroup& group : step.groups) {
      const Part& part = partOf(group.instances.front());
      const std::string mass = group.mass_kg < 0.05 ? "" : shown(group.mass_kg, 1);
      const std::string name = step.stage == InstallStage::kPanel && group.instances.size() > 1
                                   ? say_(Say::kWholePanel, {std::to_string(step.panel)})
                                   : part.name;
      Cells cells = {step.stage == InstallStage::kPanel ? "" : marksOf(group),
                     name,
                     "",
                     ">" + mass,
                     wayOf(group),
                     kTick};
      if (rows.empty() || rows.back()[0] != cells[0] || rows.back()[4] != cells[4] ||
          rows.back()[3] != cells[3]) {
        rows.push_back(std::move(cells));
        counts.push_back(0);
        free.emplace_back();
      }
      ++counts.back();
      if (group.way && !group.blocked) {
        free.back().push_back(&group);
      }
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
      rows[i][2] = ">" + std::to_string(counts[i]);
      rows[i][4] += free[i].empty() ? "" : waysOf(free[i]);
    }
    return office::table({say_(Say::kMark), say_(Say::kGoesIn), ">" + say_(Say::kNumber),
                          ">" + say_(Say::kMassEach), say_(Say::kHowIn), ""},
                         rows);
  }

  /// Whether what is set out there goes in now: what is alike may stand elsewhere too.
  bool goesIn(const InstallStep& step, const SetOutRow& row) const {
    const double x = row.at_mm[0] * model_.opening_sign;
    for (const InstallGroup& group : step.groups) {
      for (const int instance : group.instances) {
        const Bounds& box = model_.instances[instance].bounds;
        if (partOf(instance).mark == row.mark && x > box.low[0] - kAboutMm &&
            x < box.high[0] + kAboutMm) {
          return true;
        }
      }
    }
    return false;
  }

  /// Of the set-out what is about the step; of panels where they stand and hang; of ropes how they
  /// are tensioned.
  std::string figuresText(const InstallStep& step) const {
    if (step.stage == InstallStage::kRopes) {
      return office::smallHeading(say_(Say::kTensioning)) +
             office::list(tensioningSteps(schedules_.loads.ropes));
    }
    if (step.stage == InstallStage::kPanel) {
      return panelText(step.panel);
    }
    std::vector<Cells> rows;
    std::string last;
    for (const SetOutRow& row : schedules_.set_out) {
      const bool is_block = row.point.starts_with("middle of the block");
      if (step.stage == InstallStage::kConcrete ? is_block || isOf(row.mark, PartKind::kFooting)
                                                : !is_block && goesIn(step, row)) {
        const bool is_again = row.note == last && row.note.size() > kShortNote;
        last = row.note;
        rows.push_back({row.item + " " + row.mark, row.point, ">" + shown(row.at_mm[0], 1),
                        ">" + shown(row.at_mm[1], 1), ">" + shown(row.at_mm[2], 1),
                        is_again ? say_(Say::kAsAbove) : row.note});
      }
    }
    std::string out;
    if (!rows.empty()) {
      out = office::smallHeading(say_(Say::kSetOut)) +
            office::table(
                {say_(Say::kWhat), say_(Say::kSetOutPoint), ">X", ">Y", ">Z", say_(Say::kNote)},
                rows, "plan");
    }
    const Layout& layout = model_.layout;
    if (step.stage == InstallStage::kLimits) {
      out += office::facts(
          {{say_(Say::kDriveTravel), shown(layout.drive_travel_mm, 1) + " mm"},
           {say_(Say::kFrontTravel), shown(layout.travel_mm, 1) + " mm"},
           {say_(Say::kToBuffer), shown(model_.spec.hardware.stop.gap_mm, 1) + " mm"},
           {say_(Say::kSlowOver), shown(model_.spec.drive.slow_travel_mm, 0) + " mm"}});
    }
    if (step.stage == InstallStage::kForces) {
      out += forcesText();
    }
    if (step.stage == InstallStage::kFirstRun) {
      out += office::facts(
          {{say_(Say::kOpensIn), shown(schedules_.loads.drive.time.total_s, 0) + " s"}});
    }
    return out;
  }

  std::string forcesText() const {
    std::vector<Cells> rows;
    for (const ForcePoint& point :
         handoverRows(model_, schedules_, contents_.advice.warnings).points) {
      rows.push_back({letterOf(point), ">" + shown(point.height_mm, 0),
                      ">" + shown(point.gap_mm, 0), ">" + shown(point.speed_mm_s, 0), kTick});
    }
    return office::table({say_(Say::kPoint), ">" + say_(Say::kPointHeight), ">" + say_(Say::kGap),
                          ">" + say_(Say::kDesignSpeed), ""},
                         rows, "form");
  }

  std::string panelText(int number) const {
    const PanelLayout& panel = model_.layout.panels.at(number - 1);
    std::vector<Cells> rows = {
        {say_(Say::kStandsAt), say_(Say::kFromTo, {shown(panel.leading_closed_mm, 1),
                                                   shown(panel.trailing_closed_mm, 1)})},
        {say_(Say::kLeastGround), shown(panel.least_ground_mm, 1) + " mm"}};
    const PanelHolds holds = holdsOf(model_, plan_, number);
    rows.push_back({say_(Say::kStopOpen), stopText(holds.open)});
    rows.push_back({say_(Say::kStopClosed),
                    holds.closed.step > 0 ? stopText(holds.closed)
                                          : say_(Say::kClamp, {shown(holds.clamp_from_mm, 0),
                                                               shown(holds.clamp_to_mm, 0)})});
    for (const LoadingRow& row : loadingRows(model_, plan_)) {
      if (row.load.panel == number) {
        rows.push_back({say_(Say::kHungOf, {row.load.what}),
                        row.is_lifted ? say_(Say::kByGear,
                                             {shown(row.load.mass_kg, 0), shown(row.sling_mm[0], 0),
                                              shown(row.sling_mm[1], 0)})
                                      : say_(Say::kByHand)});
      }
    }
    const double pull_N = pullOf(number);
    return (pull_N < kLeastPull_N
                ? ""
                : office::paragraph(say_(Say::kPulled, {shown(pull_N, 0)}), "warn")) +
           office::facts(rows);
  }
  std::string stopText(const PanelStop& stop) const {
    return say_(stop.step < number_ ? Say::kStopStands : Say::kStopComes,
                {stop.mark, std::to_string(stop.step)});
  }
  /// By which the released gate runs; 0 where it stays.
  double runaway_N() const {
    double most = 0;
    for (const Runaway& one : schedules_.loads.drive.runaways) {
      most = std::max(most, one.force_N);
    }
    return most;
  }
  /// Down the track, of the panel as it comes in: friction left out.
  double pullOf(int number) const {
    double mass_kg = 0;
    for (const InstallStep& step : plan_.steps) {
      mass_kg = step.stage == InstallStage::kPanel && step.panel == number
                    ? step.groups.front().mass_kg
                    : mass_kg;
    }
    const double rise = model_.layout.panels.at(number - 1).grade;
    return mass_kg * kGravity * std::abs(rise) / std::hypot(1, rise);
  }

  /// Of the screws and anchors of this step; panels come with theirs.
  std::string toolsText(const InstallStep& step) const {
    if (step.stage == InstallStage::kPanel) {
      return "";
    }
    std::set<std::string> marks;
    for (const InstallGroup& group : step.groups) {
      for (const int instance : group.instances) {
        marks.insert(partOf(instance).mark);
      }
    }
    std::vector<Cells> rows;
    for (const FastenerRow& row : schedules_.fasteners) {
      const Cells cells = {row.mark + " " + row.size, row.tool, tighteningOf(row)};
      const auto known = std::find_if(rows.begin(), rows.end(), [&](const Cells& one) {
        return one[0] == cells[0] && one[2] == cells[2];
      });
      if (!marks.contains(row.mark)) {
        continue;
      }
      if (known == rows.end()) {
        rows.push_back(cells);
      } else if ((*known)[1].find(row.tool) == std::string::npos) {
        (*known)[1] += say_(Say::kOr) + row.tool;  // where it stands decides
      }
    }
    for (const Part& part : model_.parts) {
      if (part.kind == PartKind::kTerminalNut && marks.contains(part.mark)) {
        rows.push_back(
            {part.mark + " " + part.section, say_(Say::kTwoSpanners), say_(Say::kByTension)});
      }
    }
    return rows.empty()
               ? ""
               : "<div class=\"keep\">" + office::smallHeading(say_(Say::kTightening)) +
                     office::table({say_(Say::kFixing), say_(Say::kTool), say_(Say::kTighten)},
                                   rows) +
                     "</div>\n";
  }
  std::string tighteningOf(const FastenerRow& row) const {
    if (isOf(row.mark, PartKind::kAnchor)) {
      return say_(Say::kByApproval);
    }
    if (isOf(row.under_head, PartKind::kCatchBuffer)) {
      return say_(Say::kByBuffer);
    }
    return row.torque_Nm > 0 ? say_(Say::kTorque, {shown(row.torque_Nm, 1)}) : say_(Say::kByMaker);
  }
  bool isOf(const std::string& mark, PartKind kind) const {
    return std::any_of(model_.parts.begin(), model_.parts.end(),
                       [&](const Part& part) { return part.mark == mark && part.kind == kind; });
  }

  const InstallContents& contents_;
  const Model& model_;
  const Schedules& schedules_;
  const PaperWords& say_;
  const Installation& plan_;
  StepPictures pictures_;
  int number_ = 0;
};

}  // namespace

std::string installPage(const InstallContents& contents, const Provenance& provenance,
                        const PaperWords& say) {
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  const std::string body =
      office::verdictOnTop(verdict, say) + office::paragraph(say(Say::kInstallCaution), "warn") +
      office::paragraph(say(Say::kInstallNote)) + StepTexts(contents, say).body() +
      office::heading(say(Say::kCautions)) + office::list(cautions(contents.model.spec.hardware)) +
      office::signatures({say(Say::kInstalledBy) + ": " + say(Say::kSignature)});
  return office::page(say, Say::kInstall, contents.model.spec.job, provenance, body);
}

}  // namespace leafstack
