// The gate as a frame under wind, weight and push: closed, half open and parked.
#pragma once

#include "generator/loads/frame/structure_report.h"
#include "generator/loads/load_report.h"

namespace leafstack {

/// `wind` gives the pressure. Where the parts make no frame, only `problem` says why.
StructureReport structureOf(const Model& model, const WindReport& wind,
                            bool with_frequencies = true);

/// Sideways over vertical force that a wheel's groove holds by itself (Nadal): (tan d - mu) / (1 +
/// mu tan d), with d the steepest that the groove's flank is against the track.
double grooveLimit(const HardwareSpec& shelf);
/// The same of a keeper's plate, where a wheel that climbs brings it against the track: infinite
/// beside a bar's widest part or an angle's flat, where the track is upright; 0 where the groove is
/// over the crown before, or the plate goes along beside a leaning flank and never meets it. On
/// surveyed ground where that is lowest beside its wheel.
double keeperLimit(const GateSpec& spec);

}  // namespace leafstack
