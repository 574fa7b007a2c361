#include "exporters/office/handover_page.h"

#include <algorithm>

#include "exporters/office/html.h"
#include "generator/geometry/numbers.h"
#include "generator/handover/handover_rows.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

using office::Cells;

constexpr const char* kBlank = "";
constexpr const char* kBox = "\u2610";

/// What a hazard is, what the design does, what is left.
struct HazardWords {
  std::string hazard, done, left;
};

/// The program's words for it without what marks them as a hazard; no stop at the end.
std::string plainWarning(std::string text) {
  constexpr std::string_view kMark = "hazard: ";
  if (text.starts_with(kMark)) {
    text.erase(0, kMark.size());
  }
  while (text.ends_with('.')) {
    text.pop_back();
  }
  return text;
}

HazardWords wordsOf(const HandoverContents& contents, const PlacedHazard& row,
                    const PaperWords& say) {
  const Say passing =
      contents.clash.verdict == Verdict::kClear ? Say::kPassingDone : Say::kPassingUnproved;
  const std::string panel = std::to_string(row.panel), other = std::to_string(row.other);
  const std::string gap = shown(row.gap_mm, 0), speed = shown(row.speed_mm_s, 0);
  const std::string marks = row.marks.empty() ? say(Say::kNotDrawn) : row.marks;
  switch (row.kind) {
    case HazardKind::kClosingEdge:
      return {say(Say::kClosingEdge, {panel, speed}), say(Say::kClosingEdgeDone, {marks}),
              say(Say::kClosingEdgeLeft)};
    case HazardKind::kParkingEnd:
      return {say(Say::kParkingEnd, {speed}), say(Say::kParkingEndDone, {marks}),
              say(Say::kParkingEndLeft)};
    case HazardKind::kPassing:
      return {say(Say::kPassing, {panel, other, gap, speed}), say(passing), say(Say::kPassingLeft)};
    case HazardKind::kFencePost:
      return {say(Say::kFencePost, {gap, speed}), say(passing), say(Say::kFencePostLeft)};
    case HazardKind::kReach:
      return {row.text.empty() ? say(Say::kReachClear) : say(Say::kReach, {plainWarning(row.text)}),
              say(Say::kReachDone), say(Say::kReachLeft)};
    case HazardKind::kRopes:
      return {say(Say::kRopes, {panel, speed}),
              row.marks.empty() ? say(Say::kRopesBare) : say(Say::kRopesDone, {marks}),
              say(Say::kRopesLeft)};
    case HazardKind::kRack:
      return {say(Say::kRack, {speed}), say(Say::kRackDone, {marks}), say(Say::kRackLeft)};
    case HazardKind::kWheels:
      return {say(Say::kWheels, {gap, speed}),
              row.marks.empty() ? say(Say::kWheelsDone) : say(Say::kWheelsUnder, {marks}),
              say(Say::kWheelsLeft)};
    case HazardKind::kLeaving: {
      const std::string warned = row.text.empty() ? "" : plainWarning(row.text) + ".";
      return {say(Say::kLeaving, {warned}), say(Say::kLeavingDone, {marks}),
              say(Say::kLeavingLeft)};
    }
    case HazardKind::kRunaway:
      return {say(Say::kRunaway, {plainWarning(row.text)}),
              say(Say::kRunawayDone, {shown(row.force_N, 0)}), say(Say::kRunawayLeft)};
  }
  return {};
}

std::string pictureText(const HandoverContents& contents, const HandoverRows& rows) {
  std::vector<PictureMark> marks;
  for (const PlacedHazard& hazard : rows.hazards) {
    marks.push_back({std::to_string(marks.size() + 1), hazard.at_mm});
  }
  int height = -1;
  for (const ForcePoint& point : rows.points) {
    if (point.height != height) {
      marks.push_back({letterOf(point), point.at_mm, /*is_square=*/true});
      height = point.height;
    }
  }
  return office::figure(markedPicture(contents.picture, contents.model.opening_sign, marks));
}

std::string gateText(const HandoverContents& contents, const PaperWords& say) {
  const Layout& layout = contents.model.layout;
  const DriveRow& drive = contents.schedules.loads.drive;
  return office::heading(say(Say::kGateData)) +
         office::facts({{say(Say::kSerial), kBlank},
                        {say(Say::kInstaller), kBlank},
                        {say(Say::kInstalledOn), kBlank},
                        {say(Say::kOpening), shown(layout.opening_mm, 0) + " mm"},
                        {say(Say::kPanels), std::to_string(layout.panel_count)},
                        {say(Say::kMass), shown(drive.moving_mass_kg, 0) + " kg"},
                        {say(Say::kMotor), drive.motor},
                        {say(Say::kFrontSpeed), shown(drive.front_speed_mm_s, 0) + " mm/s"}});
}

std::string hazardText(const HandoverContents& contents, const HandoverRows& rows,
                       const PaperWords& say) {
  std::vector<Cells> cells;
  for (const PlacedHazard& hazard : rows.hazards) {
    const HazardWords words = wordsOf(contents, hazard, say);
    cells.push_back({std::to_string(cells.size() + 1), words.hazard, words.done, words.left, kBox});
  }
  std::string out = office::heading(say(Say::kHazards)) +
                    office::paragraph(say(Say::kHazardsNote), "note") +
                    pictureText(contents, rows) +
                    office::table({"", say(Say::kHazard), say(Say::kDoneInDesign),
                                   say(Say::kLeftToInstaller), say(Say::kInOrder)},
                                  cells);
  if (!rows.other_hazards.empty()) {
    std::vector<std::string> others;
    for (const std::string& text : rows.other_hazards) {
      others.push_back(plainWarning(text) + ".");
    }
    out += office::smallHeading(say(Say::kOtherHazards)) + office::list(others);
  }
  return out;
}

std::string measureText(bool runs_away, const PaperWords& say) {
  std::vector<Cells> rows;
  for (const Say what :
       {Say::kMeasureRoom, Say::kMeasureStops, Say::kMeasureKeepers,
        runs_away ? Say::kMeasureRunaway : Say::kMeasureRelease, Say::kMeasureGaps,
        Say::kMeasureRopes, Say::kMeasureAnchors, Say::kMeasureForces, Say::kMeasurePower}) {
    rows.push_back({kBox, say(what), kBlank});
  }
  return office::heading(say(Say::kMeasure)) + office::paragraph(say(Say::kMeasureNote), "note") +
         office::table({"", say(Say::kWhat), say(Say::kMeasured)}, rows, "form wide");
}

std::string forceText(const HandoverRows& rows, const PaperWords& say) {
  constexpr int kReadings = 3;
  std::vector<Cells> cells;
  std::string letters;
  int height = -1;
  for (const ForcePoint& point : rows.points) {
    if (point.height != height) {
      letters += (letters.empty() ? "" : ", ") + letterOf(point);
      height = point.height;
    }
    for (int reading = 1; reading <= kReadings; ++reading) {
      cells.push_back({letterOf(point), ">" + shown(point.height_mm, 0),
                       ">" + shown(point.gap_mm, 0), ">" + shown(point.speed_mm_s, 0),
                       ">" + std::to_string(reading), kBlank, kBlank, kBlank, kBlank});
    }
  }
  return office::heading(say(Say::kForces)) + office::paragraph(say(Say::kForcesNote, {letters})) +
         office::paragraph(say(Say::kForcesLimits), "note") +
         office::facts({{say(Say::kInstrument), kBlank}}) +
         office::table({say(Say::kPoint), ">" + say(Say::kPointHeight), ">" + say(Say::kGap),
                        ">" + say(Say::kDesignSpeed), ">" + say(Say::kReading), say(Say::kPeak),
                        say(Say::kPeakTime), say(Say::kStatic), say(Say::kLeftOver)},
                       cells, "form");
}

std::string maintenanceText(const HandoverContents& contents, const PaperWords& say) {
  double stretch = 0, adjuster = 0;
  for (const RopeRow& rope : contents.schedules.loads.ropes) {
    if (rope.permanent_stretch_mm >= stretch) {
      stretch = rope.permanent_stretch_mm;
      adjuster = 2 * rope.each_way_mm;  // at both its ends
    }
  }
  struct Care {
    const char* key;
    Say what, work;
  };
  constexpr Care kCares[] = {{"ropes", Say::kCareRopes, Say::kCareRopesWork},
                             {"wheels", Say::kCareWheels, Say::kCareWheelsWork},
                             {"guides", Say::kCareGuides, Say::kCareGuidesWork},
                             {"screws", Say::kCareScrews, Say::kCareScrewsWork},
                             {"stops", Say::kCareStops, Say::kCareStopsWork},
                             {"drive", Say::kCareDrive, Say::kCareDriveWork},
                             {"forces", Say::kCareForces, Say::kCareForcesWork}};
  std::vector<Cells> rows;
  for (const Care& care : kCares) {
    if (care.what == Say::kCareRopes && contents.schedules.loads.ropes.empty()) {
      continue;
    }
    std::string interval = say(Say::kToSet);
    if (contents.prices != nullptr) {
      const auto found = contents.prices->maintenance_months.find(care.key);
      if (found != contents.prices->maintenance_months.end()) {
        const std::string months = shown(inUnits(found->second), 1);
        interval = months == "1" ? say(Say::kEveryMonth) : say(Say::kMonths, {months});
      }
    }
    rows.push_back(
        {say(care.what), say(care.work, {shown(stretch, 1), shown(adjuster, 1)}), interval});
  }
  return office::heading(say(Say::kMaintenance)) +
         office::paragraph(say(Say::kMaintenanceNote), "note") +
         office::table({say(Say::kPart), say(Say::kWhat), say(Say::kInterval)}, rows);
}

std::string sparesText(const HandoverRows& rows, const PaperWords& say) {
  std::vector<Cells> cells;
  for (const SpareRow& row : rows.spares) {
    cells.push_back(
        {row.mark, row.name, row.description, row.words, ">" + std::to_string(row.quantity)});
  }
  return office::heading(say(Say::kSpares)) +
         office::table({say(Say::kMark), say(Say::kPart), say(Say::kDescription),
                        say(Say::kSupplierWords), ">" + say(Say::kNumber)},
                       cells);
}

}  // namespace

std::string letterOf(const ForcePoint& point) {
  return {static_cast<char>('A' + point.height)};
}

std::string handoverPage(const HandoverContents& contents, const Provenance& provenance,
                         const PaperWords& say) {
  const HandoverRows rows =
      handoverRows(contents.model, contents.schedules, contents.advice.warnings);
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  const std::string body =
      office::verdictOnTop(verdict, say) + office::paragraph(say(Say::kNoConformity), "warn") +
      gateText(contents, say) + hazardText(contents, rows, say) +
      measureText(!contents.schedules.loads.drive.runaways.empty(), say) + forceText(rows, say) +
      maintenanceText(contents, say) + sparesText(rows, say) +
      office::heading(say(Say::kCautions)) + office::list(cautions(contents.model.spec.hardware)) +
      office::signatures({say(Say::kHandedOver) + ": " + say(Say::kSignature),
                          say(Say::kTakenOver) + ": " + say(Say::kSignature)});
  return office::page(say, Say::kHandover, contents.model.spec.job, provenance, body);
}

}  // namespace leafstack
