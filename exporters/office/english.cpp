// The papers' texts in English.
#include <array>
#include <utility>

#include "exporters/office/words.h"

namespace leafstack {
namespace {

using Row = std::pair<Say, const char*>;
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
    Row{Say::kCautions, "Cautions"},
    Row{Say::kQuotation, "Quotation"},
    Row{Say::kQuotationDraft, "Draft of a quotation, not an offer"},
    Row{Say::kQuoteNotReady, "Not to be sent or accepted: the gate is not ready as designed. {1}"},
    Row{Say::kQuoteIncomplete,
        "Not to be sent: prices are missing, so that the sums are incomplete. No price for: {1}."},
    Row{Say::kOffered, "What is offered"},
    Row{Say::kOpening, "Clear opening"},
    Row{Say::kHeight, "Height above the driveway"},
    Row{Say::kPanels, "Panels"},
    Row{Say::kPanelsText, "{1}, of {2}"},
    Row{Say::kOpensTo, "Opens, seen from the road"},
    Row{Say::kLeft, "to the left"},
    Row{Say::kRight, "to the right"},
    Row{Say::kInfill, "Infill"},
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
    Row{Say::kOptions, "Options"},
    Row{Say::kOptionsNote,
        "Differences to the price above, net, from estimated quantities; a quotation of its own "
        "settles them."},
    Row{Say::kInfillOption, "this gate with {1}"},
    Row{Say::kInfillPickets, "pickets"},
    Row{Say::kInfillSlats, "slats"},
    Row{Say::kInfillSheet, "sheet"},
    Row{Say::kOption, "in place of the gate above"},
    Row{Say::kDifference, "difference, net"},
    Row{Say::kOnRequest, "on request"},
    Row{Say::kNoOptions, "No other arrangement was found ready for this site."},
    Row{Say::kExcluded, "What is not included"},
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
    Row{Say::kQuoteNote,
        "Figures follow the design made with the input named below. Local codes apply; electrical "
        "work and what the code reserves to licensed practitioners is done by them. Forces are "
        "measured on the finished gate before it is handed over."},
    Row{Say::kAccepted, "Accepted"},
    Row{Say::kNotToBeAccepted,
        "A draft has no place to sign: what stands on top has to be mended first."},
    Row{Say::kCostSheet, "Cost sheet"},
    Row{Say::kForTheOffice, "For the office, not for the client."},
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
    Row{Say::kMonths, "{1} months"},
    Row{Say::kToSet, "____ months"},
    Row{Say::kCareRopes, "Ropes"},
    Row{Say::kCareRopesWork,
        "Broken wires, wear at the pulleys, terminals locked. Lasting stretch to be expected: {1} "
        "mm, of {2} mm that the adjusters have. Tension anew when panels are out of line."},
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
        "Backlash of pinion and rack, feet fast; release works and says what it does; released, "
        "the gate stays."},
    Row{Say::kCareForces, "Safety devices and forces"},
    Row{Say::kCareForcesWork, "Every device tried, forces measured by the form above."},
    Row{Say::kSpares, "What wears, by mark"},
    Row{Say::kMark, "mark"},
    Row{Say::kPart, "part"},
    Row{Say::kDescription, "description"},
    Row{Say::kSupplierWords, "supplier, reference"},
    Row{Say::kHandedOver, "Handed over"},
    Row{Say::kTakenOver, "Taken over, instructed in use"},
    // putting up
    Row{Say::kInstall, "Putting up"},
    Row{Say::kInstallNote,
        "In this order, closed unless a step says otherwise; lengths mm, X along the track from "
        "the latch-side post, Y towards the property, Z up. New parts are in colour. Where "
        "everything stands, the set-out sheet says too; what to measure of the finished gate is a "
        "sheet of its own, written on request."},
    Row{Say::kInstallCaution,
        "For people who know this work. Panels stand on two wheels in a line and fall over until "
        "their guides hold them: two people and a prop at each panel until then, nobody under a "
        "load. No power before every guard and stop is in place. Follow local codes; structure, "
        "ground and electrical work need licensed practitioners."},
    Row{Say::kWaysProved,
        "Every part goes in once, and each along the way told beside it meets nothing that is "
        "there by then: proved by the same sweep as the travel. Small parts are proved along their "
        "last way only, panels once as they stand; ropes, which bend, and what is poured are not. "
        "Screws may touch the hole they cut."},
    Row{Say::kWaysBlocked,
        "Not every part was found a straight way to its place: see the steps. Think them through "
        "before work begins."},
    Row{Say::kThereBefore, "There already, and in the way of everything: {1}."},
    Row{Say::kStepConcrete, "Slab and blocks"},
    Row{Say::kStepConcreteText,
        "Ground, steel and depth are for whoever is licensed to say; sizes are those drawn. Blocks "
        "under posts are cast as one with the slab: they stand in the table."},
    Row{Say::kStepPosts, "What is bolted to the slab"},
    Row{Say::kStepPostsText, "Set each over its anchors, plumb, and tighten."},
    Row{Say::kStepTracks, "Tracks"},
    Row{Say::kStepTracksText,
        "Drill the holes and fill them, lower each bar with the dowels that are welded under it, "
        "align all before the bond sets; weld and grind joints flush."},
    Row{Say::kStepPanel, "Panel {1}"},
    Row{Say::kStepPanelText,
        "Both ends of its track are stopped before it comes, by what stands there or by what is "
        "clamped to the track: see below. Chock its wheels as soon as it stands, and prop it on "
        "both sides; let it roll by hand only between stops, with people on either side, and take "
        "a prop away only where another holds."},
    Row{Say::kStepPulleys, "Pulleys"},
    Row{Say::kStepPulleysText,
        "The rope brackets of one panel stand between the pulleys of the one behind: they are put "
        "in now."},
    Row{Say::kStepGuides, "Guides at the top"},
    Row{Say::kStepGuidesText,
        "Channels, blocks and lift keepers join the panels. Props may go once all are in; chocks "
        "and clamped stops stay."},
    Row{Say::kStepStops, "End stops"},
    Row{Say::kStepStopsText,
        "Before any panel comes: no panel may run off its track. Each stands behind its panel, "
        "where that stops open."},
    Row{Say::kStepCatch, "Catch post"},
    Row{Say::kStepCatchText,
        "Before any panel comes, too: it stops the front one where that is closed."},
    Row{Say::kStepDrive, "Motor"},
    Row{Say::kStepDriveText,
        "Packers, motor, pinion. Power stays off: the first to move the gate is the hand."},
    Row{Say::kStepRopes, "Ropes"},
    Row{Say::kStepRopesText,
        "Release the drive. Thread each rope round its pulleys from bracket to bracket, every "
        "terminal mid-way, and tension it. Chocks and clamped stops come off a panel only once "
        "both of its ropes are tensioned and locked. Power stays off."},
    Row{Say::kStepStopsLate,
        "Right after this panel, which cannot come past them, and before it is let roll."},
    Row{Say::kStepCatchLate,
        "Right after the front panel, which cannot come past it: push the panels open, held, set "
        "it, and close them against it by hand."},
    Row{Say::kStepHand, "The whole travel by hand"},
    Row{Say::kStepHandText,
        "Power off, drive released, people on either side and nobody in between: open and close "
        "it slowly, three times. On a slope two people hold it all the way."},
    Row{Say::kStepLimits, "Limits"},
    Row{Say::kStepLimitsText,
        "Power to the control only, drive still released: push the gate by hand to where it is to "
        "stop, short of its buffers, and set the limits there. A licensed practitioner connects "
        "the power."},
    Row{Say::kStepSafety, "Safety devices and guards"},
    Row{Say::kStepSafetyText,
        "Before power moves it: fit guards and devices against every hazard of handover.html, and "
        "try each while the gate stands still."},
    Row{Say::kStepForces, "Held to run, and forces"},
    Row{Say::kStepForcesText,
        "Only now may power move it: held to run, slow, nobody within reach, a hand on the stop. "
        "Stop at once if anything touches or binds. Then measure at the points of handover.html, "
        "three readings each, and set the drive until all are as the local code asks."},
    Row{Say::kStepFirstRun, "First run by its own control"},
    Row{Say::kStepFirstRunText,
        "Only once the forces are right. Everybody out of reach with the whole gate in sight, a "
        "hand on the stop: open, close, and again with something soft in its way."},
    Row{Say::kStepHandover, "Handover"},
    Row{Say::kStepHandoverText,
        "Not before every box above is ticked. Until then it stays closed, power off and locked."},
    Row{Say::kCheckConcrete, "levels and corners as set out"},
    Row{Say::kCheckConduit, "conduits and drains where they belong"},
    Row{Say::kCheckPlumb, "plumb both ways"},
    Row{Say::kCheckAnchors, "anchors set by their approval and tightened"},
    Row{Say::kCheckTracks, "straight, level across, distances between tracks"},
    Row{Say::kCheckDowels, "every dowel holds"},
    Row{Say::kCheckRolls, "rolls by hand between stops over its track without binding"},
    Row{Say::kCheckHeld, "chocked, and propped against falling"},
    Row{Say::kCheckPulleys, "pulleys turn freely, covers off the rope"},
    Row{Say::kCheckScrews, "every screw tight"},
    Row{Say::kCheckGuides, "play at every block over the whole travel"},
    Row{Say::kCheckStops, "each panel meets its buffer square, frame against stop"},
    Row{Say::kCheckCatch, "the front panel enters its receivers without lifting"},
    Row{Say::kCheckPinion, "play between teeth at both ends and midway"},
    Row{Say::kCheckLimits, "released, it runs by hand; locked, it holds the gate"},
    Row{Say::kCheckRopes, "tension and lock nuts of every terminal"},
    Row{Say::kCheckTravel, "whole travel by hand: nothing touches, nothing binds"},
    Row{Say::kCheckEnds, "both ends: buffers stop every panel square, none can run past"},
    Row{Say::kCheckStays, "let go closed, half open, open: does it stay? force to move it, N"},
    Row{Say::kCheckClosedLimit, "closed limit: front panel off its buffer, mm"},
    Row{Say::kCheckOpenLimit, "open limit: panel 1 off its buffer, mm"},
    Row{Say::kCheckDevices, "each device tried: it stops the drive"},
    Row{Say::kCheckGuards, "guards on pinion, ropes, pulleys, gaps that shear"},
    Row{Say::kCheckForces, "all points within what the code asks, written into handover.html"},
    Row{Say::kCheckHeldToRun, "held to run both ways: lets go, stops; ends short of its buffers"},
    Row{Say::kCheckRunTime, "opens in, s"},
    Row{Say::kCheckReverses, "stops and reverses at what is in its way, both ways"},
    Row{Say::kCheckSigned, "handover.html filled in and signed by both sides"},
    Row{Say::kCheckShown, "users shown: release, stop, what to do when someone is caught"},
    Row{Say::kChecks, "check"},
    Row{Say::kGoesIn, "goes in"},
    Row{Say::kHowIn, "from where"},
    Row{Say::kWholePanel, "panel {1}, with all that it carries"},
    Row{Say::kFromAbove, "from above"},
    Row{Say::kFromBelow, "from below"},
    Row{Say::kFromProperty, "from the property side"},
    Row{Say::kFromRoad, "from the road side"},
    Row{Say::kFromStorage, "from the storage side"},
    Row{Say::kFromLatch, "from the latch side"},
    Row{Say::kStraightIn, "{1}, straight over the last {2}"},
    Row{Say::kThenIn, "{1}, then {2} over the last {3}"},
    Row{Say::kSwungIn, "{1} to {2} over its place, moved in {3} over {4}, set down"},
    Row{Say::kOr, "; or "},
    Row{Say::kRange, "{1} to {2}"},
    Row{Say::kNoWay, "no straight way found: {1} meets {2}"},
    Row{Say::kPoured, "poured in place"},
    Row{Say::kThreaded, "by hand"},
    Row{Say::kSetOut, "Where it stands"},
    Row{Say::kSetOutPoint, "point"},
    Row{Say::kNote, "note"},
    Row{Say::kStandsAt, "closed, along the track"},
    Row{Say::kFromTo, "{1} to {2} mm"},
    Row{Say::kLeastGround, "least over the ground"},
    Row{Say::kHungOf, "{1}: slings from its leading end, mm"},
    Row{Say::kTensioning, "Tensioning"},
    Row{Say::kDriveTravel, "the drive's panel travels"},
    Row{Say::kFrontTravel, "the front panel travels"},
    Row{Say::kFixing, "fixing"},
    Row{Say::kTool, "tool"},
    Row{Say::kTighten, "tighten to"},
    Row{Say::kTorque,
        "{1} N m in threads of full depth (class 8.8, friction 0.12 to 0.14; from memory)"},
    Row{Say::kByApproval, "by the anchor's approval"},
    Row{Say::kByMaker, "by its maker"},
    Row{Say::kByBuffer, "by hand, until the washer bears on the rubber; lock it"},
    Row{Say::kPulled,
        "The track falls here: {1} N pull this panel downhill. Chock it before anything else, and "
        "never let it roll free."},
    Row{Say::kStopOpen, "stops it when open"},
    Row{Say::kStopClosed, "stops it when closed"},
    Row{Say::kStopStands, "{1}, stands since step {2}"},
    Row{Say::kStopComes, "{1}, comes in step {2}: until then a stop clamped to the track's end"},
    Row{Say::kClamp,
        "nothing yet: clamp a stop to its track before its first wheel, X {1} to {2}, until both "
        "of its ropes are on"},
    Row{Say::kToBuffer, "gap to the buffers, as drawn"},
    Row{Say::kSlowOver, "slow, panel 1's last"},
    Row{Say::kOpensIn, "opens in, as designed"},
    Row{Say::kInstalledBy, "Put up"},
    // orders and packing
    Row{Say::kOrders, "Orders"},
    Row{Say::kOrdersNote,
        "A sheet for each supplier: the rows of tables/order.csv. Numbers of bars and boards are "
        "those of the stock plan; plates are areas of blanks."},
    Row{Say::kOrderTo, "Order to: {1}"},
    Row{Say::kMetalMerchant, "metal merchant (none named)"},
    Row{Say::kTimberMerchant, "timber merchant (none named)"},
    Row{Say::kConcretePlant, "concrete plant (none named)"},
    Row{Say::kFastenerMerchant, "fastener merchant (none named)"},
    Row{Say::kHardwareMerchant, "hardware supplier (none named)"},
    Row{Say::kDeliverTo, "Deliver to"},
    Row{Say::kDeliverBy, "Deliver by"},
    Row{Say::kReference, "reference"},
    Row{Say::kMassKg, "kg"},
    Row{Say::kPacking, "Packing list"},
    Row{Say::kPackingNote,
        "In the order of loading, the reverse of the steps of install.html, whose numbers stand in "
        "the last column. Sizes mm; the centre of "
        "gravity and the slings are measured along the piece from its leading or latch-side end."},
    Row{Say::kPackingCaution,
        "Panels travel upright, secured against tipping, their guide blocks in the box. "
        "Nobody stands under a load. Slings, vehicle and lashing are for a competent person to "
        "choose."},
    Row{Say::kTurn, "load"},
    Row{Say::kBundle, "bundle"},
    Row{Say::kLength, "length"},
    Row{Say::kDepth, "depth"},
    Row{Say::kHigh, "height"},
    Row{Say::kMassEach, "kg each"},
    Row{Say::kCentre, "centre"},
    Row{Say::kLifting, "slings at"},
    Row{Say::kSlings, "{1} and {2}"},
    Row{Say::kByHand, "by hand"},
    Row{Say::kInstalledTurn, "step"},
    Row{Say::kBox, "box: hardware, ropes, motor, small parts"},
    Row{Say::kBoxLast, "on top"},
    Row{Say::kBoxContents, "What is in the box"},
    Row{Say::kBoxNote,
        "All that is not drawn on a panel or in a bundle: bought, turned and cut small parts, by "
        "mark, in the order of the steps of install.html."},
    Row{Say::kAssembled, "{1}, put together"},
    Row{Say::kLoadInAll, "In all {1} kg, without what is an envelope here, such as the motor."},
    Row{Say::kLoaded, "Loaded"},
    Row{Say::kReceived, "Received on site"},
};

constexpr bool isInOrder() {
  for (std::size_t i = 0; i < kEnglish.size(); ++i) {
    if (kEnglish[i].first != static_cast<Say>(i)) {
      return false;
    }
  }
  return kEnglish.size() == static_cast<std::size_t>(Say::kCount);
}
static_assert(isInOrder(), "one text for each Say, in its order");

}  // namespace

const PaperWords& englishWords() {
  static const PaperWords kWords([] {
    std::vector<std::string> texts;
    for (const Row& row : kEnglish) {
      texts.emplace_back(row.second);
    }
    return texts;
  }());
  return kWords;
}

}  // namespace leafstack
