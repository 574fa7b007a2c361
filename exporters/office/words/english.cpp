// The papers' texts in English; those of putting up, orders and packing stand in english_on_site.h.
#include <array>

#include "exporters/office/words/english_on_site.h"

namespace leafstack {
namespace {

using Row = EnglishRow;
constexpr std::array kEnglish = {
    Row{Say::kMadeBy, "Made by {1} at {2} from input {3}. Lengths mm, masses kg."},
    Row{Say::kGate, "Telescopic sliding gate"},
    Row{Say::kJobNumber, "Number"},
    Row{Say::kClient, "For"},
    Row{Say::kCompany, "From"},
    Row{Say::kDate, "Date"},
    Row{Say::kMarks, "marks"},
    Row{Say::kWhat, "what"},
    Row{Say::kNumber, "number"},
    Row{Say::kUnit, "unit"},
    Row{Say::kSignature, "Place, date, signature"},
    Row{Say::kNotReady, "The gate is not ready as designed: {1}"},
    Row{Say::kProvided, "Ready only on condition that {1}."},
    Row{Say::kCautions, "Cautions"},
    Row{Say::kQuotation, "Quotation"},
    Row{Say::kQuotationDraft, "Draft of a quotation, not an offer"},
    Row{Say::kQuoteNotReady, "Not to be sent or accepted: the gate is not ready as designed. {1}"},
    Row{Say::kQuoteIncomplete,
        "Not to be sent: prices are missing, so that the sums are incomplete. No price for: {1}."},
    Row{Say::kQuoteLacks, "Not to be sent: the price list gives no {1}."},
    Row{Say::kQuotePast, "Not to be sent: {1}, the price list's last day, is past on {2}."},
    Row{Say::kOffered, "What is offered"},
    Row{Say::kOpening, "Clear opening"},
    Row{Say::kHeight, "Height above the driveway"},
    Row{Say::kPanels, "Panels"},
    Row{Say::kPanelsText, "{1}, of {2}"},
    Row{Say::kOpensTo, "Opens, seen from the road"},
    Row{Say::kLeft, "to the left"},
    Row{Say::kRight, "to the right"},
    Row{Say::kFrame, "Frame"},
    Row{Say::kFrameSteel, "steel tubes"},
    Row{Say::kFrameAluminium, "aluminium tubes"},
    Row{Say::kInfill, "Infill"},
    Row{Say::kInfillOfSheet, "sheet, {1} mm thick"},
    Row{Say::kFinish, "Finish"},
    Row{Say::kFinishNone, "none: bare metal"},
    Row{Say::kFinishPainted, "painted"},
    Row{Say::kFinishGalvanised, "hot-dip galvanised"},
    Row{Say::kFinishGalvanisedPowder, "hot-dip galvanised, then powder-coated"},
    Row{Say::kMotor, "Motor"},
    Row{Say::kOpeningTime, "Opens in"},
    Row{Say::kMass, "Mass that moves"},
    Row{Say::kRoom, "Room beside the opening"},
    Row{Say::kPrice, "Price"},
    Row{Say::kNet, "net"},
    Row{Say::kTax, "tax, {1} %"},
    Row{Say::kGross, "to pay"},
    Row{Say::kAtLeast, "incomplete, at least {1}"},
    Row{Say::kConditions, "On condition that"},
    Row{Say::kConditionsNote,
        "The gate is offered only where this holds; whoever sees to it is to be agreed before it "
        "is made."},
    Row{Say::kIncluded, "What the price includes"},
    Row{Say::kIncludedMaking, "the gate as drawn, made in the shop, with its hardware and finish"},
    Row{Say::kWorkInstall, "putting up on site"},
    Row{Say::kWorkDig, "digging for slab and blocks"},
    Row{Say::kWorkConcrete, "concrete of slab and blocks, without their steel"},
    Row{Say::kOptions, "Options"},
    Row{Say::kOptionsNote,
        "Differences to the price above, net, each by a cost sheet of its own. Conditions of an "
        "option are told by its own quotation."},
    Row{Say::kInfillOption, "this gate with {1}"},
    Row{Say::kInfillPickets, "pickets"},
    Row{Say::kInfillSlats, "slats"},
    Row{Say::kInfillSheet, "sheet"},
    Row{Say::kOption, "in place of the gate above"},
    Row{Say::kDifference, "difference, net"},
    Row{Say::kOnRequest, "on request"},
    Row{Say::kNoOptions, "No other arrangement was found ready for this site."},
    Row{Say::kExcluded, "What is not included"},
    Row{Say::kExcludedTransport, "transport, lifting gear and removal of what is dug out"},
    Row{Say::kExcludedSupply, "power supply, mains connection and cables up to the motor"},
    Row{Say::kExcludedControls,
        "control unit, safety edges, light barriers, warning lights and radio, unless named above"},
    Row{Say::kExcludedGround,
        "removal of obstacles underground, drainage and making good of the paving"},
    Row{Say::kExcludedPermits, "permits and their fees"},
    Row{Say::kExcludedMeasuring,
        "structural design of footings and posts by a licensed engineer, where the local code asks "
        "for it"},
    Row{Say::kValidity, "Validity"},
    Row{Say::kValidUntil, "This quotation is valid until {1}."},
    Row{Say::kValidUnknown, "No date is given until which this quotation is valid."},
    Row{Say::kDelivery, "Delivery"},
    Row{Say::kPayment, "Payment"},
    Row{Say::kToAgree, "to be agreed: ______________________________"},
    Row{Say::kQuoteNote,
        "Figures follow the design made with the input named below. Local codes apply; electrical "
        "work and what the code reserves to licensed practitioners is done by them. Forces are "
        "measured on the finished gate before it is handed over."},
    Row{Say::kAccepted, "Accepted"},
    Row{Say::kNotToBeAccepted,
        "A draft has no place to sign: what stands on top has to be mended first."},
    Row{Say::kCostSheet, "Cost sheet"},
    Row{Say::kForTheOffice, "For the office, not for the client."},
    Row{Say::kIdleSlip, "The price list's item \"{1}\" prices nothing here: did you mean \"{2}\"?"},
    Row{Say::kIdle, "Items of the price list that this gate has nothing for: {1}."},
    Row{Say::kMissing, "Without a price"},
    Row{Say::kMissingText, "In no sum below, which are incomplete: {1}."},
    Row{Say::kGroupSections, "Bars and boards, as bought"},
    Row{Say::kGroupPlates, "Plates and strip, as blanks"},
    Row{Say::kGroupBought, "Hardware, ropes, fasteners"},
    Row{Say::kGroupConcrete, "Concrete"},
    Row{Say::kGroupCoating, "Coating"},
    Row{Say::kGroupWork, "Work"},
    Row{Say::kQuantity, "quantity"},
    Row{Say::kUnitPrice, "price"},
    Row{Say::kCost, "cost"},
    Row{Say::kHoursEach, "hours each"},
    Row{Say::kHours, "hours"},
    Row{Say::kSum, "sum"},
    Row{Say::kSumIncomplete, "incomplete sum, at least"},
    Row{Say::kMargin, "margin, {1} %"},
    Row{Say::kRounding,
        "Quantities are rounded to a thousandth of their unit before they meet their price, lines "
        "to a hundredth of the currency, half away from zero; sums are of rounded lines."},
    // handover
    Row{Say::kHandover, "Handover"},
    Row{Say::kNoConformity,
        "This paper collects what the design knows. It is no declaration of conformity and no risk "
        "assessment: both are made by whoever puts the finished gate into service, by the local "
        "code and on the finished gate."},
    Row{Say::kGateData, "The gate"},
    Row{Say::kSerial, "Serial number"},
    Row{Say::kInstaller, "Installed by"},
    Row{Say::kInstalledOn, "Installed on"},
    Row{Say::kFrontSpeed, "Front panel, at most"},
    Row{Say::kHazards, "Hazards at their places"},
    Row{Say::kHazardsNote,
        "Numbers stand on the picture. Found from the design alone; whatever the site adds is for "
        "the installer to find."},
    Row{Say::kHazard, "hazard"},
    Row{Say::kDoneInDesign, "in the design"},
    Row{Say::kLeftToInstaller, "left to the installer"},
    Row{Say::kInOrder, "in order"},
    Row{Say::kClosingEdge,
        "Crushing: panel {1}, the front one, closes on the latch side at up to {2} mm/s."},
    Row{Say::kClosingEdgeDone, "Positive stop and receiver: {1}."},
    Row{Say::kClosingEdgeLeft,
        "Limit and detect the force at this edge; measure it by the form below."},
    Row{Say::kParkingEnd,
        "Crushing: trailing ends run towards whatever stands beyond the parked gate at up to {1} "
        "mm/s."},
    Row{Say::kParkingEndDone, "End stops: {1}."},
    Row{Say::kParkingEndLeft,
        "Leave 500 mm for a body beyond the ends, or guard the place, or detect the force."},
    Row{Say::kPassing,
        "Shearing: panel {1} and panel {2} pass each other {3} mm apart, at up to {4} mm/s against "
        "one another."},
    Row{Say::kPassingDone, "No part stands into the gap: checked through the whole travel."},
    Row{Say::kPassingUnproved,
        "The clash check found what meets or comes too near: see summary.html."},
    Row{Say::kPassingLeft,
        "Guard or detect at the uprights that pass; keep hands out by infill or sheet."},
    Row{Say::kFencePost,
        "Shearing: the front panel passes the fence post {1} mm behind the fence line at up to {2} "
        "mm/s."},
    Row{Say::kFencePostLeft, "A safety edge or a guard on the post, on both sides."},
    Row{Say::kReach, "Reaching through: {1}."},
    Row{Say::kReachClear,
        "Reaching through the infill at what passes behind it: the program warns of no gap (ISO "
        "13857 as quoted, from 14 years)."},
    Row{Say::kReachDone, "Nothing more than the infill as drawn."},
    Row{Say::kReachLeft,
        "Where children may come, judge the gaps anew; sheet or mesh up to the height of reach."},
    Row{Say::kRopes, "Drawing in: ropes run on their pulleys in panel {1} at up to {2} mm/s."},
    Row{Say::kRopesDone, "Pulleys stand in the bottom rail, covered by {1}."},
    Row{Say::kRopesBare, "Pulleys stand in the bottom rail; no cover is drawn."},
    Row{Say::kRopesLeft, "Guard ropes and pulleys so that no finger gets between."},
    Row{Say::kRack, "Drawing in: pinion and rack at up to {1} mm/s."},
    Row{Say::kRackDone, "They stand behind panel 1, on the property side: {1}."},
    Row{Say::kRackLeft, "The motor's own guard over the pinion."},
    Row{Say::kWheels,
        "Crushing of feet: wheels roll on the track, the rail {1} mm over the ground, at up to {2} "
        "mm/s."},
    Row{Say::kWheelsDone, "Wheels stand inside the bottom rail."},
    Row{Say::kWheelsUnder, "Wheels stand under the bottom rail, between plates: {1}."},
    Row{Say::kWheelsLeft, "Force at the bottom of the closing edge too: first height below."},
    Row{Say::kLeaving, "Falling or leaving the track. {1}"},
    Row{Say::kLeavingDone, "Keepers, guides, stops, receiver: {1}."},
    Row{Say::kLeavingLeft,
        "On the finished gate, with each guide, wheel and rope in turn thought away: no panel may "
        "fall."},
    Row{Say::kRunaway, "Running by gravity: {1}."},
    Row{Say::kRunawayDone, "The drive has to hold {1} N when it is off."},
    Row{Say::kRunawayLeft, "Prove it on the finished gate; guard the release, and say so there."},
    Row{Say::kOtherHazards, "Also found by the program"},
    Row{Say::kNotDrawn, "no part of the design"},
    Row{Say::kMeasure, "What the installer measures and proves"},
    Row{Say::kMeasureNote, "A tick alone is no figure: write what was measured."},
    Row{Say::kMeasureRoom, "Clear opening and room beside it, at three heights"},
    Row{Say::kMeasureStops, "Both positive stops hold the gate pushed against them by hand"},
    Row{Say::kMeasureKeepers, "Keepers: gap to track and rail at every wheel, over the travel"},
    Row{Say::kMeasureRelease,
        "Released, the gate stays where it is, open, half open and closed; force to move it by "
        "hand, N"},
    Row{Say::kMeasureRunaway,
        "Released, the gate runs by itself: force that holds it where it pulls most, N; what holds "
        "it when the drive is off, tried open, half open and closed"},
    Row{Say::kMeasureGaps, "Gaps that close or shear, least value at each, mm"},
    Row{Say::kMeasureForces, "Forces by the form below"},
    Row{Say::kMeasurePower, "Electrical tests by a licensed practitioner, protocol enclosed"},
    Row{Say::kMeasureAnchors, "Anchors set and tightened as their approval says"},
    Row{Say::kMeasureRopes, "Ropes tensioned, terminals locked, panels in line when closed"},
    Row{Say::kMeasured, "measured"},
    Row{Say::kForces, "Force test of the closing edge"},
    Row{Say::kForcesNote,
        "Points {1} stand on the picture by their heights; the gap is what is still open when the "
        "edge meets the instrument. Speeds follow from the drive as designed. Three readings at "
        "each point. Repeat the form for every other edge that can trap."},
    Row{Say::kForcesLimits,
        "As second-hand sources quote EN 12453, and for the standard itself and the local code to "
        "decide: peak up to 400 N in gaps up to 500 mm and 1400 N beyond; under 150 N after 0.75 "
        "s; under 25 N after 5 s."},
    Row{Say::kPoint, "point"},
    Row{Say::kGap, "gap mm"},
    Row{Say::kPointHeight, "height mm"},
    Row{Say::kDesignSpeed, "mm/s"},
    Row{Say::kReading, "no."},
    Row{Say::kPeak, "peak F_d, N"},
    Row{Say::kPeakTime, "t_d, s"},
    Row{Say::kStatic, "F_s, N"},
    Row{Say::kLeftOver, "F_e, N"},
    Row{Say::kInstrument, "Instrument, its number, calibrated until"},
    Row{Say::kMaintenance, "Maintenance"},
    Row{Say::kMaintenanceNote,
        "Intervals are the firm's to set. Switch the drive off and lock it before any work."},
    Row{Say::kInterval, "every"},
    Row{Say::kMonths, "every {1} months"},
    Row{Say::kEveryMonth, "every month"},
    Row{Say::kToSet, "____ months"},
    Row{Say::kCareRopes, "Ropes"},
    Row{Say::kCareRopesWork,
        "Broken wires, wear at the pulleys, terminals locked. Lasting stretch to be expected: {1} "
        "mm, of {2} mm that its ends can still draw in. Tension anew when panels are out of line."},
    Row{Say::kCareWheels, "Wheels and track"},
    Row{Say::kCareWheelsWork,
        "Grooves, bearings, axle rings; track clean and fast; keepers in place, gaps as at "
        "handover."},
    Row{Say::kCareGuides, "Guide blocks"},
    Row{Say::kCareGuidesWork,
        "Running gap over the whole travel. Cast nylon swells in length by up to 2.4 % when "
        "saturated with water, 0.85 % in humid air (as a maker's data quoted): a block that binds "
        "is planed or replaced."},
    Row{Say::kCareScrews, "Screws and anchors"},
    Row{Say::kCareScrewsWork, "All tight; coating whole, bare places made good."},
    Row{Say::kCareStops, "Stops and buffers"},
    Row{Say::kCareStopsWork, "Buffers whole, stops fast at both ends of the travel."},
    Row{Say::kCareDrive, "Drive, rack, release"},
    Row{Say::kCareDriveWork,
        "Backlash of pinion and rack, feet fast; release works and says what it does; with the "
        "drive off, the gate stays."},
    Row{Say::kCareForces, "Safety devices and forces"},
    Row{Say::kCareForcesWork, "Every device tried, forces measured by the form above."},
    Row{Say::kSpares, "What wears, by mark"},
    Row{Say::kMark, "mark"},
    Row{Say::kPart, "part"},
    Row{Say::kDescription, "description"},
    Row{Say::kSupplierWords, "supplier, reference"},
    Row{Say::kHandedOver, "Handed over"},
    Row{Say::kTakenOver, "Taken over, instructed in use"},
};

constexpr std::size_t kAll = kEnglish.size() + kEnglishOnSite.size();

constexpr const Row& englishRow(std::size_t i) {
  return i < kEnglish.size() ? kEnglish[i] : kEnglishOnSite[i - kEnglish.size()];
}

constexpr bool isInOrder() {
  for (std::size_t i = 0; i < kAll; ++i) {
    if (englishRow(i).first != static_cast<Say>(i)) {
      return false;
    }
  }
  return kAll == static_cast<std::size_t>(Say::kCount);
}
static_assert(isInOrder(), "one text for each Say, in its order");

}  // namespace

const PaperWords& englishWords() {
  static const PaperWords kWords([] {
    std::vector<std::string> texts;
    for (std::size_t i = 0; i < kAll; ++i) {
      texts.emplace_back(englishRow(i).second);
    }
    return texts;
  }());
  return kWords;
}

}  // namespace leafstack
