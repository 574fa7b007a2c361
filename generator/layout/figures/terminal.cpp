#include "generator/layout/figures/terminal.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Own choices, for ropes whose terminals nobody gave: a ferrule or a swaged part as makers list
// them, by the rope's diameter; metal round a rope that goes through a screw.
constexpr double kFerrulePerRope = 2.4, kFerruleLengthPerRope = 4.5;
constexpr double kSwagedPerRope = 2.2, kSwagedLengthPerRope = 14;
constexpr double kStudPerRope = 2, kEyePlateOverRopeMm = 1;
constexpr double kScrewBoreOverRopeMm = 0.5, kScrewWallMm = 1.2;

constexpr double kThreadBeyondNutMm = 1;
constexpr double kBracketEdgeMm = 4;  // metal above and below the bores
// What a place that was welded may be off by: ISO 13920 B, 30 to 400 mm.
constexpr double kPlaceToleranceMm = 2;
// Drawn of the rope in its terminal; the rest of it is the terminal's solid.
constexpr double kRopeDrawnInsideMm = 14;

double boreRadius(const Terminal& terminal) {
  return terminal.thread_mm / 2 + hw::kTerminalBoreGapMm;
}

const ThreadClass& threadFor(TerminalKind kind, double rope_mm) {
  const auto& all = threadClasses();
  const auto fits = [&](const ThreadClass& thread) {
    return kind == TerminalKind::kScrew
               ? thread.root_mm >= rope_mm + kScrewBoreOverRopeMm + 2 * kScrewWallMm
               : thread.thread_mm >= kStudPerRope * rope_mm;
  };
  const auto found = std::find_if(all.begin(), all.end(), fits);
  return found == all.end() ? all.back() : *found;
}

/// The nut of a thread between the table's is the next greater one's.
const ThreadClass& nutFor(double thread_mm) {
  const auto& all = threadClasses();
  const auto found = std::find_if(all.begin(), all.end(), [&](const ThreadClass& thread) {
    return thread.thread_mm >= thread_mm;
  });
  return found == all.end() ? all.back() : *found;
}

/// How far along the rope from a pulley's axis what passes it `across` from that axis must stay.
double alongRim(double across_mm, double clear_mm) {
  return across_mm >= clear_mm ? 0 : std::sqrt(clear_mm * clear_mm - across_mm * across_mm);
}

}  // namespace

double halvesUp(double mm) {
  return std::ceil(2 * mm - 1e-9) / 2;
}

double threadRootMm(double thread_mm) {
  // Thinner than the table's: as much less than its thread as the first one's.
  const ThreadClass& first = threadClasses().front();
  double root = std::max(0.0, thread_mm - (first.thread_mm - first.root_mm));
  for (const ThreadClass& thread : threadClasses()) {
    root = thread.thread_mm <= thread_mm ? thread.root_mm : root;
  }
  return root;
}

double Terminal::nutRadiusMm() const {
  return nut_across_mm / std::numbers::sqrt3;
}

double Terminal::tipMm() const {
  // A screw, at the slack end of its range, is flush with the bracket; a stud then stands out by
  // all of it.
  return kind == TerminalKind::kScrew ? half_bracket_mm - adjust_mm / 2
                                      : half_bracket_mm + adjust_mm / 2;
}

double Terminal::mouthMm() const {
  switch (kind) {
    case TerminalKind::kScrew:
      return tipMm();
    case TerminalKind::kStud:
      return tipMm() + sleeve_length_mm;
    case TerminalKind::kEye:
      return tipMm() + 2 * eye_mm - 2 * eye_plate_mm + sleeve_length_mm;
  }
  return tipMm();
}

double Terminal::ropeEndMm() const {
  const double most = kind == TerminalKind::kScrew ? length_mm : sleeve_length_mm;
  return mouthMm() - std::min(kRopeDrawnInsideMm, most - 1);
}

double Terminal::insideMm() const {
  switch (kind) {
    case TerminalKind::kScrew:
      return length_mm + sleeve_length_mm;
    case TerminalKind::kStud:
      return sleeve_length_mm;
    case TerminalKind::kEye:
      return 2 * sleeve_length_mm + std::numbers::pi * (eye_mm - eye_plate_mm);
  }
  return 0;
}

double Terminal::nearRadiusMm() const {
  switch (kind) {
    case TerminalKind::kScrew:
      return 0;
    case TerminalKind::kStud:
      return std::max(sleeve_mm, thread_mm) / 2;
    case TerminalKind::kEye:
      return std::max(sleeve_mm, eye_mm) / 2;
  }
  return 0;
}

double Terminal::tailRadiusMm() const {
  return kind == TerminalKind::kScrew ? std::max(nutRadiusMm(), sleeve_mm / 2) : nutRadiusMm();
}

double nutsLengthMm(const Terminal& terminal) {
  return 2 * terminal.half_bracket_mm + 2 * terminal.nut_mm + kThreadBeyondNutMm;
}

Terminal terminalOf(const GateSpec& spec) {
  const TerminalHardware& given = spec.hardware.terminal;
  const double rope = spec.ropes.diameter_mm;
  Terminal t;
  t.kind = given.kind;
  t.half_bracket_mm = spec.hardware.bracket.length_mm / 2;
  t.adjust_mm = spec.ropes.adjuster_mm ? *spec.ropes.adjuster_mm / 2 : given.adjust_mm;
  t.thread_mm = given.thread_mm.value_or(threadFor(t.kind, rope).thread_mm);
  const ThreadClass& nut = nutFor(t.thread_mm);
  t.nut_mm = given.nut_mm.value_or(nut.nut_mm);
  t.nut_across_mm = given.nut_across_mm.value_or(nut.across_flats_mm);
  const bool screw = t.kind == TerminalKind::kScrew;
  const bool stud = t.kind == TerminalKind::kStud;
  t.sleeve_mm =
      given.sleeve_mm.value_or(halvesUp((stud ? kSwagedPerRope : kFerrulePerRope) * rope));
  t.sleeve_length_mm = given.sleeve_length_mm.value_or(
      halvesUp((stud ? kSwagedLengthPerRope : kFerruleLengthPerRope) * rope));
  t.length_mm = given.length_mm.value_or(std::ceil(nutsLengthMm(t) + (screw ? 0.0 : t.adjust_mm)));
  if (t.kind == TerminalKind::kEye) {
    t.eye_mm = given.eye_mm;
    t.eye_plate_mm = given.eye_plate_mm.value_or(rope + kEyePlateOverRopeMm);
  }
  return t;
}

GateSpec withAutosGiven(GateSpec spec) {
  const Terminal t = terminalOf(spec);
  TerminalHardware& shelf = spec.hardware.terminal;
  spec.hardware.bracket.height_mm = bracketHeightMm(spec);
  shelf.thread_mm = t.thread_mm;
  shelf.length_mm = t.length_mm;
  shelf.nut_mm = t.nut_mm;
  shelf.nut_across_mm = t.nut_across_mm;
  shelf.sleeve_mm = t.sleeve_mm;
  shelf.sleeve_length_mm = t.sleeve_length_mm;
  shelf.eye_plate_mm = shelf.eye_plate_mm.value_or(spec.ropes.diameter_mm + kEyePlateOverRopeMm);
  spec.hardware.wheel.groove_radius_mm = wheelGrooveRadiusMm(spec.hardware);
  spec.hardware.wheel.axle_groove_mm = axleGrooveMm(spec.hardware);
  spec.hardware.pulley.groove_radius_mm = pulleyGrooveRadiusMm(spec);
  spec.hardware.keeper.low_mm = trackKeepers(spec).low_mm;
  spec.hardware.track.flat_width_mm = trackFlatWidth_mm(spec.hardware.track);
  return spec;
}

double ropesApartMm(const GateSpec& spec) {
  const Terminal terminal = terminalOf(spec);
  const double beside = std::max(
      {spec.hardware.pulley.thickness_mm / 2, terminal.nearRadiusMm(), spec.ropes.diameter_mm / 2});
  return std::ceil(terminal.tailRadiusMm() + beside + hw::kHardwareClearanceMm);
}

double bracketHeightMm(const GateSpec& spec) {
  const double bores = ropesApartMm(spec) + 2 * boreRadius(terminalOf(spec));
  return spec.hardware.bracket.height_mm.value_or(std::ceil(bores + 2 * kBracketEdgeMm));
}

double bracketFaceGapMm(const GateSpec& spec) {
  return spec.hardware.bracket.face_gap_mm + 2 * spec.shop.coatMm();
}

double leastStrandOffsetMm(const GateSpec& spec) {
  constexpr double kBesideBoreMm = 1;
  return bracketFaceGapMm(spec) + boreRadius(terminalOf(spec)) + kBesideBoreMm;
}

double strandOffsetMm(const GateSpec& spec) {
  const Terminal terminal = terminalOf(spec);
  const double radius = std::max(terminal.tailRadiusMm(), terminal.nearRadiusMm());
  const double over_axle = radius + spec.hardware.wheel.axle_projection_mm;
  // Only what stands before its bracket comes over the flange of a pulley's cradle.
  const double over_flange = terminal.nearRadiusMm() + spec.hardware.pulley.cheek_mm;
  const double wanted = std::max(over_axle, over_flange) + hw::kHardwareClearanceMm;
  return std::max(hw::kStrandOffsetBaseMm + spec.ropes.diameter_mm,
                  halvesUp(std::max(wanted, leastStrandOffsetMm(spec))));
}

double pulleyGrooveRadiusMm(const GateSpec& spec) {
  return spec.hardware.pulley.groove_radius_mm.value_or(hw::kPulleyGroovePerRope *
                                                        spec.ropes.diameter_mm);
}

// A rope maker's guide asks for 1.5 degrees at most with throats of 35 to 45 (row W6); wider ones
// let a rope lean as much more as their flanks lean: common practice, no source.
constexpr double kFleetDeg = 1.5, kThroatDeg = 40;

double mostFleetDeg(double throat_deg) {
  const auto flank = [](double deg) { return std::tan(deg / 2 / kDegreesPerRadian); };
  return kFleetDeg * flank(throat_deg) / flank(kThroatDeg);
}

double throatForFleetDeg(double fleet_deg) {
  const double flank = std::tan(kThroatDeg / 2 / kDegreesPerRadian) * fleet_deg / kFleetDeg;
  return 2 * std::atan(flank) * kDegreesPerRadian;
}

double pulleyRimMm(const GateSpec& spec, double pitch_mm) {
  return pitch_mm / 2 + std::max(spec.hardware.pulley.flange_mm, spec.ropes.diameter_mm);
}

double pulleyPitchMm(const GateSpec& spec) {
  return spec.ropes.pulley_pitch_mm.value_or(spec.gate.bottom_rail.depth_mm +
                                             2 * strandOffsetMm(spec));
}

double pulleyInsetMm(const GateSpec& spec) {
  return spec.ropes.pulley_inset_mm.value_or(
      std::ceil(pulleyRimMm(spec, pulleyPitchMm(spec)) + hw::kPulleyEndGapMm + kPlaceToleranceMm));
}

double leastBracketClearanceMm(const GateSpec& spec) {
  const Terminal terminal = terminalOf(spec);
  const double pitch = pulleyPitchMm(spec);
  const double wanted = pulleyRimMm(spec, pitch) + hw::kHardwareClearanceMm;
  const double face = spec.gate.bottom_rail.depth_mm / 2 + spec.hardware.bracket.face_gap_mm;
  const double by_bracket = alongRim(face, wanted) + terminal.half_bracket_mm;
  if (terminal.nearRadiusMm() == 0) {
    return by_bracket;
  }
  return std::max(by_bracket,
                  alongRim(pitch / 2 - terminal.nearRadiusMm(), wanted) + terminal.nearMm());
}

double bracketClearanceMm(const GateSpec& spec) {
  // With room for what coats a bracket and what it comes near to.
  return spec.ropes.bracket_clearance_mm.value_or(
      std::ceil(leastBracketClearanceMm(spec) + kPlaceToleranceMm) +
      std::ceil(2 * spec.shop.coatMm()));
}

}  // namespace leafstack
