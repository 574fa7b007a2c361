#include "exporters/office/install_page.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "exporters/bytes/xml_text.h"
#include "exporters/office/html.h"
#include "exporters/paper/pictures/part_pictures.h"
#include "generator/geometry/numbers.h"
#include "generator/loads/tensioning.h"
#include "generator/shop/packing/loading.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

using office::Cells;

constexpr const char* kTick = "\u2610";
constexpr PicturePixels kPixels = {1200, 520};
// A step's new parts fill about so much of its picture; what is small is shown with what is about
// it.
constexpr double kAroundNew = 1.15, kLeastHalfHeightMm = 320;

/// Tightening of bright or zinc-plated screws of class 8.8 in nuts or threads of full depth, N m:
/// the usual shop table for friction of 0.12 to 0.14, from memory.
constexpr std::array kTightening = {
    std::pair(4.0, 2.9),   std::pair(5.0, 5.7),   std::pair(6.0, 9.8),   std::pair(8.0, 24.0),
    std::pair(10.0, 47.0), std::pair(12.0, 81.0), std::pair(16.0, 197.0)};

constexpr double kLeastPull_N = 1, kGravity = 9.81;

struct StageWords {
  Say title, text;
  std::array<Say, 2> checks;
};

StageWords stageWords(InstallStage stage) {
  switch (stage) {
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
      return {Say::kStepStops, Say::kStepStopsText, {Say::kCheckStops, Say::kCheckAnchors}};
    case InstallStage::kCatch:
      return {Say::kStepCatch, Say::kStepCatchText, {Say::kCheckCatch, Say::kCheckAnchors}};
    case InstallStage::kDrive:
      return {Say::kStepDrive, Say::kStepDriveText, {Say::kCheckPinion, Say::kCheckLimits}};
    case InstallStage::kRopes:
      return {Say::kStepRopes, Say::kStepRopesText, {Say::kCheckRopes, Say::kCheckTravel}};
  }
  return {};
}

class StepTexts {
 public:
  StepTexts(const InstallContents& contents, const PaperWords& say)
      : model_(contents.model),
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
    const StageWords words = stageWords(step.stage);
    const std::string number = std::to_string(++number_);
    std::string out =
        "<section class=\"step\">\n" +
        office::heading(number + ". " + say_(words.title, {std::to_string(step.panel)})) +
        office::paragraph(say_(words.text)) + pictureOf(step, there) + partsText(step) +
        figuresText(step) + toolsText(step);
    std::vector<Cells> checks;
    for (const Say check : words.checks) {
      checks.push_back({kTick, say_(check), ""});
    }
    return out +
           office::table({"", say_(Say::kChecks), say_(Say::kMeasured)}, checks, "form wide") +
           "</section>\n";
  }

  /// Everything of the step in colour, fitted into the picture.
  std::string pictureOf(const InstallStep& step, const std::vector<int>& there) {
    std::vector<PicturedInstance> shown;
    for (const int instance : there) {
      shown.push_back({instance, PictureRole::kAround});
    }
    const PictureView view = roadView(model_.opening_sign);
    Vec3 low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
    for (const InstallGroup& group : step.groups) {
      for (const int instance : group.instances) {
        shown.push_back({instance, PictureRole::kFirst});
        const Bounds& box = model_.instances[instance].bounds;
        for (int corner = 0; corner < 8; ++corner) {
          const Vec3 at = seen(
              view, {corner & 1 ? box.high[0] : box.low[0], corner & 2 ? box.high[1] : box.low[1],
                     corner & 4 ? box.high[2] : box.low[2]});
          for (int axis = 0; axis < 3; ++axis) {
            low[axis] = std::min(low[axis], at[axis]);
            high[axis] = std::max(high[axis], at[axis]);
          }
        }
      }
    }
    PictureCamera camera;
    for (int axis = 0; axis < 3; ++axis) {
      const double middle[] = {(low[0] + high[0]) / 2, (low[1] + high[1]) / 2,
                               (low[2] + high[2]) / 2};
      camera.target_mm[axis] =
          middle[0] * view.right[axis] + middle[1] * view.up[axis] + middle[2] * view.toward[axis];
    }
    camera.direction = {-view.toward[0], -view.toward[1], -view.toward[2]};
    camera.up = view.up;
    camera.half_height_mm = std::max(
        kLeastHalfHeightMm,
        kAroundNew / 2 *
            std::max(high[1] - low[1], (high[0] - low[0]) * kPixels.high / kPixels.across));
    const double drive_mm = step.stage == InstallStage::kCatch ? model_.layout.drive_travel_mm : 0;
    return "<figure><img alt=\"\" src=\"data:image/png;base64," +
           base64(pictures_.pngOf(shown, drive_mm, camera, kPixels)) + "\"></figure>\n";
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
    const WayIn& way = *group.way;
    const std::string last = shown(way.front().length_mm, 0);
    return way.size() == 1 ? say_(Say::kStraightIn, {directionOf(way.front().from), last})
                           : say_(Say::kThenIn, {directionOf(way.back().from),
                                                 directionOf(way.front().from), last});
  }
  bool isPoured(const InstallGroup& group) const {
    return partOf(group.instances.front()).kind == PartKind::kFooting;
  }

  /// In their order; those that follow each other alike are one row.
  std::string partsText(const InstallStep& step) const {
    std::vector<Cells> rows;
    std::vector<int> counts;
    for (const InstallGroup& group : step.groups) {
      const Part& part = partOf(group.instances.front());
      const std::string mass = group.mass_kg < 0.05 ? "" : shown(group.mass_kg, 1);
      const std::string name = step.stage == InstallStage::kPanel && group.instances.size() > 1
                                   ? say_(Say::kWholePanel, {std::to_string(step.panel)})
                                   : part.name;
      Cells cells = {part.mark, name, "", ">" + mass, wayOf(group), kTick};
      if (!rows.empty() && rows.back()[0] == cells[0] && rows.back()[4] == cells[4]) {
        ++counts.back();
        continue;
      }
      rows.push_back(std::move(cells));
      counts.push_back(1);
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
      rows[i][2] = ">" + std::to_string(counts[i]);
    }
    return office::table({say_(Say::kMark), say_(Say::kGoesIn), ">" + say_(Say::kNumber),
                          ">" + say_(Say::kMassEach), say_(Say::kHowIn), ""},
                         rows);
  }

  std::set<std::string> marksOf(const InstallStep& step) const {
    std::set<std::string> marks;
    for (const InstallGroup& group : step.groups) {
      for (const int instance : group.instances) {
        marks.insert(partOf(instance).mark);
      }
    }
    return marks;
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
    const std::set<std::string> marks = marksOf(step);
    std::vector<Cells> rows;
    for (const SetOutRow& row : schedules_.set_out) {
      const bool is_block =
          step.stage == InstallStage::kConcrete && row.point.starts_with("middle of the block");
      if (marks.contains(row.mark) || is_block) {
        rows.push_back({row.item + " " + row.mark, row.point, ">" + shown(row.at_mm[0], 1),
                        ">" + shown(row.at_mm[1], 1), ">" + shown(row.at_mm[2], 1), row.note});
      }
    }
    std::string out;
    if (!rows.empty()) {
      out = office::smallHeading(say_(Say::kSetOut)) +
            office::table(
                {say_(Say::kWhat), say_(Say::kSetOutPoint), ">X", ">Y", ">Z", say_(Say::kNote)},
                rows, "plan");
    }
    if (step.stage == InstallStage::kDrive) {
      const Layout& layout = model_.layout;
      out += office::facts({{say_(Say::kDriveTravel), shown(layout.drive_travel_mm, 1) + " mm"},
                            {say_(Say::kFrontTravel), shown(layout.travel_mm, 1) + " mm"}});
    }
    return out;
  }

  std::string panelText(int number) const {
    const PanelLayout& panel = model_.layout.panels.at(number - 1);
    std::vector<Cells> rows = {
        {say_(Say::kStandsAt), say_(Say::kFromTo, {shown(panel.leading_closed_mm, 1),
                                                   shown(panel.trailing_closed_mm, 1)})},
        {say_(Say::kLeastGround), shown(panel.least_ground_mm, 1) + " mm"}};
    for (const LoadingRow& row : loadingRows(schedules_.packing, model_)) {
      if (row.load.panel == number) {
        rows.push_back({say_(Say::kHungOf, {row.load.what}),
                        row.is_lifted ? say_(Say::kSlings,
                                             {shown(row.sling_mm[0], 0), shown(row.sling_mm[1], 0)})
                                      : say_(Say::kByHand)});
      }
    }
    const double pull_N = pullOf(number);
    return (pull_N < kLeastPull_N
                ? ""
                : office::paragraph(say_(Say::kPulled, {shown(pull_N, 0)}), "warn")) +
           office::facts(rows);
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
      if (group.instances.size() == 1) {
        marks.insert(partOf(group.instances.front()).mark);
      }
    }
    std::vector<Cells> rows;
    for (const FastenerRow& row : schedules_.fasteners) {
      const Cells cells = {row.mark + " " + row.size, row.tool, tighteningOf(row)};
      if (marks.contains(row.mark) && std::find(rows.begin(), rows.end(), cells) == rows.end()) {
        rows.push_back(cells);  // a mark has a row a tool: where it stands decides
      }
    }
    return rows.empty()
               ? ""
               : office::table({say_(Say::kFixing), say_(Say::kTool), say_(Say::kTighten)}, rows);
  }
  std::string tighteningOf(const FastenerRow& row) const {
    if (isOf(row.mark, PartKind::kAnchor)) {
      return say_(Say::kByApproval);
    }
    if (isOf(row.under_head, PartKind::kCatchBuffer)) {
      return say_(Say::kByBuffer);
    }
    for (const auto& [thread_mm, torque_Nm] : kTightening) {
      if (thread_mm == row.thread_mm && row.grade == "8.8") {
        return say_(Say::kTorque, {shown(torque_Nm, 1)});
      }
    }
    return say_(Say::kByMaker);
  }
  bool isOf(const std::string& mark, PartKind kind) const {
    return std::any_of(model_.parts.begin(), model_.parts.end(),
                       [&](const Part& part) { return part.mark == mark && part.kind == kind; });
  }

  const Model& model_;
  const Schedules& schedules_;
  const PaperWords& say_;
  const Installation& plan_;
  PartPictures pictures_;
  int number_ = 0;
};

}  // namespace

std::string installPage(const InstallContents& contents, const Provenance& provenance,
                        const PaperWords& say) {
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  const std::string body =
      (verdict.is_ready ? "" : office::paragraph(say(Say::kNotReady, {inWords(verdict)}), "warn")) +
      office::paragraph(say(Say::kInstallCaution), "warn") +
      office::paragraph(say(Say::kInstallNote)) + StepTexts(contents, say).body() +
      office::heading(say(Say::kCautions)) + office::list(cautions(contents.model.spec.hardware)) +
      office::signatures({say(Say::kInstalledBy) + ": " + say(Say::kSignature)});
  return office::page(say, Say::kInstall, contents.model.spec.job, provenance, body);
}

}  // namespace leafstack
