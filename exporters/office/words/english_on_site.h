// The papers' texts in English: putting up, orders, packing. Follows english.cpp's rows.
#pragma once

#include <array>
#include <utility>

#include "exporters/office/words/words.h"

namespace leafstack {

using EnglishRow = std::pair<Say, const char*>;
inline constexpr std::array kEnglishOnSite = {
    // putting up
    EnglishRow{Say::kInstall, "Putting up"},
    EnglishRow{
        Say::kInstallNote,
        "In this order, closed unless a step says otherwise; lengths mm, X along the track from "
        "the latch-side post, Y towards the property, Z up. New parts are in colour. Where "
        "everything stands, the set-out sheet says too; what to measure of the finished gate is a "
        "sheet of its own, written on request."},
    EnglishRow{
        Say::kInstallCaution,
        "For people who know this work. Panels stand on two wheels in a line and fall over until "
        "their guides hold them: two people and a prop at each panel until then, nobody under a "
        "load. No power before every guard and stop is in place. Follow local codes; structure, "
        "ground and electrical work need licensed practitioners."},
    EnglishRow{
        Say::kWaysProved,
        "Every part goes in once, and each along the way told beside it meets nothing that is "
        "there by then: proved by the same sweep as the travel. Small parts are proved along their "
        "last way only, panels once as they stand; ropes, which bend, and what is poured are not. "
        "Screws may touch the hole they cut."},
    EnglishRow{
        Say::kWaysBlocked,
        "Not every part was found a straight way to its place: see the steps. Think them through "
        "before work begins."},
    EnglishRow{Say::kThereBefore, "There already, and in the way of everything: {1}."},
    EnglishRow{Say::kStepConcrete, "Slab and blocks"},
    EnglishRow{
        Say::kStepConcreteText,
        "Ground, steel and depth are for whoever is licensed to say; sizes are those drawn. Blocks "
        "under posts are cast as one with the slab: they stand in the table."},
    EnglishRow{Say::kStepPosts, "What is bolted to the slab"},
    EnglishRow{Say::kStepPostsText, "Set each over its anchors, plumb, and tighten."},
    EnglishRow{Say::kStepTracks, "Tracks"},
    EnglishRow{
        Say::kStepTracksText,
        "Drill the holes and fill them, lower each bar with the dowels that are welded under it, "
        "align all before the bond sets; weld and grind joints flush."},
    EnglishRow{Say::kStepPanel, "Panel {1}"},
    EnglishRow{
        Say::kStepPanelText,
        "Both ends of its track are stopped before it comes, by what stands there or by what is "
        "clamped to the track: see below. Chock its wheels as soon as it stands, and prop it on "
        "both sides; let it roll by hand only between stops, with people on either side, and take "
        "a prop away only where another holds."},
    EnglishRow{Say::kStepPulleys, "Pulleys"},
    EnglishRow{
        Say::kStepPulleysText,
        "The rope brackets of one panel stand between the pulleys of the one behind: they are put "
        "in now."},
    EnglishRow{Say::kStepGuides, "Guides at the top"},
    EnglishRow{
        Say::kStepGuidesText,
        "Channels, blocks and lift keepers join the panels. Props may go once all are in; chocks "
        "and clamped stops stay."},
    EnglishRow{Say::kStepStops, "End stops"},
    EnglishRow{
        Say::kStepStopsText,
        "Before any panel comes: no panel may run off its track. Each stands where its panel stops "
        "open."},
    EnglishRow{Say::kStepCatch, "Catch post"},
    EnglishRow{Say::kStepCatchText,
               "Before any panel comes, too: it stops the front one where that is closed."},
    EnglishRow{Say::kStepDrive, "Motor"},
    EnglishRow{Say::kStepDriveText,
               "Packers, motor, pinion. Power stays off: the first to move the gate is the hand."},
    EnglishRow{Say::kStepRopes, "Ropes"},
    EnglishRow{
        Say::kStepRopesText,
        "Release the drive. Thread each rope round its pulleys from bracket to bracket, every "
        "terminal mid-way, and tension it. Chocks and clamped stops come off a panel only once "
        "both of its ropes are tensioned and locked. Power stays off."},
    EnglishRow{Say::kStepStopsLate,
               "Right after this panel, which cannot come past them, and before it is let roll."},
    EnglishRow{
        Say::kStepCatchLate,
        "Right after the front panel, which cannot come past it: push the panels open, held, set "
        "it, and close them against it by hand."},
    EnglishRow{Say::kStepHand, "The whole travel by hand"},
    EnglishRow{
        Say::kStepHandText,
        "Power off, drive released, people on either side and nobody in between: open and close "
        "it slowly, three times. On a slope two people hold it all the way."},
    EnglishRow{Say::kStepLimits, "Limits"},
    EnglishRow{
        Say::kStepLimitsText,
        "Power to the control only, drive still released: push the gate by hand to where it is to "
        "stop, short of its buffers, and set the limits there. A licensed practitioner connects "
        "the power."},
    EnglishRow{Say::kStepSafety, "Safety devices and guards"},
    EnglishRow{Say::kStepSafetyText,
               "Before power moves it: fit guards and devices against every hazard of the handover "
               "paper, and "
               "try each while the gate stands still."},
    EnglishRow{Say::kStepForces, "Held to run, and forces"},
    EnglishRow{
        Say::kStepForcesText,
        "Only now may power move it: held to run, slow, nobody within reach, a hand on the stop. "
        "Stop at once if anything touches or binds. Then measure at the points of the handover "
        "paper, "
        "three readings each, and set the drive until all are as the local code asks."},
    EnglishRow{Say::kStepFirstRun, "First run by its own control"},
    EnglishRow{
        Say::kStepFirstRunText,
        "Only once the forces are right. Everybody out of reach with the whole gate in sight, a "
        "hand on the stop: open, close, and again with something soft in its way."},
    EnglishRow{Say::kStepHandover, "Handover"},
    EnglishRow{
        Say::kStepHandoverText,
        "Not before every box above is ticked. Until then it stays closed, power off and locked."},
    EnglishRow{Say::kCheckConcrete, "levels and corners as set out"},
    EnglishRow{Say::kCheckConduit, "conduits and drains where they belong"},
    EnglishRow{Say::kCheckPlumb, "plumb both ways"},
    EnglishRow{Say::kCheckAnchors, "anchors set by their approval and tightened"},
    EnglishRow{Say::kCheckTracks, "straight, level across, distances between tracks"},
    EnglishRow{Say::kCheckDowels, "every dowel holds"},
    EnglishRow{Say::kCheckRolls, "rolls by hand between stops over its track without binding"},
    EnglishRow{Say::kCheckHeld, "chocked, and propped against falling"},
    EnglishRow{Say::kCheckPulleys, "pulleys turn freely, covers off the rope"},
    EnglishRow{Say::kCheckScrews, "every screw tight"},
    EnglishRow{Say::kCheckGuides, "play at every block over the whole travel"},
    EnglishRow{Say::kCheckStops, "each panel meets its buffer square, frame against stop"},
    EnglishRow{Say::kCheckCatch, "the front panel enters its receivers without lifting"},
    EnglishRow{Say::kCheckPinion, "play between teeth at both ends and midway"},
    EnglishRow{Say::kCheckLimits, "released, it runs by hand; locked, it holds the gate"},
    EnglishRow{Say::kCheckRopes, "tension and lock nuts of every terminal"},
    EnglishRow{Say::kCheckTravel, "whole travel by hand: nothing touches, nothing binds"},
    EnglishRow{Say::kCheckEnds, "both ends: buffers stop every panel square, none can run past"},
    EnglishRow{Say::kCheckStays,
               "let go closed, half open, open: does it stay? force to move it, N"},
    EnglishRow{Say::kCheckRunaway, "never let go: force that holds it where it pulls most, N"},
    EnglishRow{
        Say::kRunsAway,
        "Released, this gate runs by itself, pushed by up to {1} N at the drive: two people or a "
        "rope hold it all the time, and it is chocked before anybody lets go."},
    EnglishRow{Say::kCheckClosedLimit, "closed limit: front panel off its buffer, mm"},
    EnglishRow{Say::kCheckOpenLimit, "open limit: panel 1 off its buffer, mm"},
    EnglishRow{Say::kCheckDevices, "each device tried: it stops the drive"},
    EnglishRow{Say::kCheckGuards, "guards on pinion, ropes, pulleys, gaps that shear"},
    EnglishRow{Say::kCheckForces,
               "all points within what the code asks, written into the handover paper"},
    EnglishRow{Say::kCheckHeldToRun,
               "held to run both ways: lets go, stops; ends short of its buffers"},
    EnglishRow{Say::kCheckRunTime, "opens in, s"},
    EnglishRow{Say::kCheckReverses, "stops and reverses at what is in its way, both ways"},
    EnglishRow{Say::kCheckSigned, "handover paper filled in and signed by both sides"},
    EnglishRow{Say::kCheckShown, "users shown: release, stop, what to do when someone is caught"},
    EnglishRow{Say::kChecks, "check"},
    EnglishRow{Say::kGoesIn, "goes in"},
    EnglishRow{Say::kHowIn, "from where"},
    EnglishRow{Say::kWholePanel, "panel {1}, with all that it carries"},
    EnglishRow{Say::kFromAbove, "from above"},
    EnglishRow{Say::kFromBelow, "from below"},
    EnglishRow{Say::kFromProperty, "from the property side"},
    EnglishRow{Say::kFromRoad, "from the road side"},
    EnglishRow{Say::kFromStorage, "from the storage side"},
    EnglishRow{Say::kFromLatch, "from the latch side"},
    EnglishRow{Say::kStraightIn, "{1}, straight over the last {2}"},
    EnglishRow{Say::kThenIn, "{1}, then {2} over the last {3}"},
    EnglishRow{Say::kSwungIn, "{1} to {2} over its place, moved in {3} over {4}, set down"},
    EnglishRow{Say::kOr, "; or "},
    EnglishRow{Say::kAsAbove, "as above"},
    EnglishRow{Say::kRange, "{1} to {2}"},
    EnglishRow{Say::kNoWay, "no straight way found: {1} meets {2}"},
    EnglishRow{Say::kPoured, "poured in place"},
    EnglishRow{Say::kThreaded, "by hand"},
    EnglishRow{Say::kSetOut, "Where it stands"},
    EnglishRow{Say::kSetOutPoint, "point"},
    EnglishRow{Say::kNote, "note"},
    EnglishRow{Say::kStandsAt, "closed, along the track"},
    EnglishRow{Say::kFromTo, "{1} to {2} mm"},
    EnglishRow{Say::kLeastGround, "least over the ground"},
    EnglishRow{Say::kHungOf, "{1}: slings from its leading end, mm"},
    EnglishRow{Say::kTensioning, "Tensioning"},
    EnglishRow{Say::kDriveTravel, "the drive's panel travels"},
    EnglishRow{Say::kFrontTravel, "the front panel travels"},
    EnglishRow{Say::kFixing, "fixing"},
    EnglishRow{Say::kTool, "tool"},
    EnglishRow{Say::kTighten, "tighten to"},
    EnglishRow{Say::kTorque,
               "{1} N m in threads of full depth (class 8.8, friction 0.12 to 0.14; from memory)"},
    EnglishRow{Say::kByApproval, "by the anchor's approval"},
    EnglishRow{Say::kByMaker, "by its maker"},
    EnglishRow{Say::kByBuffer, "by hand, until the washer bears on the rubber; lock it"},
    EnglishRow{Say::kTightening, "Tightening"},
    EnglishRow{Say::kTwoSpanners, "two spanners"},
    EnglishRow{Say::kByTension, "to the tension below; then the second nut against the first"},
    EnglishRow{Say::kByGear, "by lifting gear for {1} kg, slings at {2} and {3}"},
    EnglishRow{
        Say::kPulled,
        "The track falls here: {1} N pull this panel downhill. Chock it before anything else, and "
        "never let it roll free."},
    EnglishRow{Say::kStopOpen, "stops it when open"},
    EnglishRow{Say::kStopClosed, "stops it when closed"},
    EnglishRow{Say::kStopStands, "{1}, stands since step {2}"},
    EnglishRow{Say::kStopComes,
               "{1}, comes in step {2}: until then a stop clamped to the track's end"},
    EnglishRow{
        Say::kClamp,
        "nothing yet: clamp a stop to its track before its first wheel, X {1} to {2}, until both "
        "of its ropes are on"},
    EnglishRow{Say::kToBuffer, "gap to the buffers, as drawn"},
    EnglishRow{Say::kSlowOver, "slow, panel 1's last"},
    EnglishRow{Say::kOpensIn, "opens in, as designed"},
    EnglishRow{Say::kInstalledBy, "Put up"},
    // orders and packing
    EnglishRow{Say::kOrders, "Orders"},
    EnglishRow{
        Say::kOrdersNote,
        "A sheet for each supplier: the rows of tables/order.csv. Numbers of bars and boards are "
        "those of the stock plan, their mass that of whole bars; plates are areas of blanks, cut "
        "by the files of tables/profiles.csv, or bought as the sheets of tables/sheet-plan.csv."},
    EnglishRow{Say::kOrderTo, "Order to: {1}"},
    EnglishRow{Say::kMetalMerchant, "metal merchant (none named)"},
    EnglishRow{Say::kTimberMerchant, "timber merchant (none named)"},
    EnglishRow{Say::kConcretePlant, "concrete plant (none named)"},
    EnglishRow{Say::kFastenerMerchant, "fastener merchant (none named)"},
    EnglishRow{Say::kHardwareMerchant, "hardware supplier (none named)"},
    EnglishRow{Say::kCoater, "galvaniser, coater (none named)"},
    EnglishRow{
        Say::kToCoat,
        "The parts of tables/coating.csv, as welded; threads and holes to keep clear stand there."},
    EnglishRow{Say::kAreaAll, "m2, inside of tubes too"},
    EnglishRow{Say::kDeliverTo, "Deliver to"},
    EnglishRow{Say::kDeliverBy, "Deliver by"},
    EnglishRow{Say::kReference, "reference"},
    EnglishRow{Say::kMassKg, "kg"},
    EnglishRow{Say::kStrength, "characteristic strength {1} N/mm2"},
    EnglishRow{Say::kStrengthOpen, "strength: ______"},
    EnglishRow{Say::kMotorNeeds, "starts with at least {1} N at the pinion, runs at {2} mm/s"},
    EnglishRow{Say::kPacking, "Packing list"},
    EnglishRow{Say::kPackingNote,
               "In the order of loading, the reverse of the steps of the paper on putting up, "
               "whose numbers stand in "
               "the last column. Sizes mm; the centre of "
               "gravity and the slings are measured along the piece from its leading or latch-side "
               "end, of "
               "posts from the foot."},
    EnglishRow{
        Say::kPackingCaution,
        "Panels travel upright, secured against tipping, their guide blocks in the box. "
        "Nobody stands under a load. Slings, vehicle and lashing are for a competent person to "
        "choose."},
    EnglishRow{Say::kTurn, "load"},
    EnglishRow{Say::kBundle, "bundle"},
    EnglishRow{Say::kLength, "length"},
    EnglishRow{Say::kDepth, "depth"},
    EnglishRow{Say::kHigh, "height"},
    EnglishRow{Say::kMassEach, "kg each"},
    EnglishRow{Say::kCentre, "centre"},
    EnglishRow{Say::kLifting, "slings at"},
    EnglishRow{Say::kSlings, "{1} and {2}"},
    EnglishRow{Say::kByHand, "by hand"},
    EnglishRow{Say::kInstalledTurn, "step"},
    EnglishRow{Say::kBox, "box: hardware, ropes, motor, small parts"},
    EnglishRow{Say::kBoxLast, "on top"},
    EnglishRow{Say::kBoxContents, "What is in the box"},
    EnglishRow{
        Say::kBoxNote,
        "All that is not drawn on a panel or in a bundle: bought, turned and cut small parts, by "
        "mark, in the order of the steps of the paper on putting up."},
    EnglishRow{Say::kAssembled, "{1}, put together"},
    EnglishRow{Say::kLoadInAll,
               "In all {1} kg, without what is an envelope here, such as the motor."},
    EnglishRow{Say::kLoaded, "Loaded"},
    EnglishRow{Say::kReceived, "Received on site"},
};

}  // namespace leafstack
