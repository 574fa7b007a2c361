// Reads back what `leafstack build` wrote, with the independent STEP reader, and compares it with
// report.json: tree, names, counts, units, placements, properties, topology, volumes.
//
// Properties every output folder has, by number in the messages' order:
//  R1 gate.step and gate-open.step hold one tree: gate -> P0 … Pn -> parts, in mm.
//  R2 product names are unique; occurrence names are unique and read P<k>.1 or MARK.serial.
//  R3 a part is one product with one solid, and occurs as often as the report says, per panel.
//  R4 every solid is closed, and its volume and area, recomputed from the faces, agree with the
//     report and with the file's own validation properties to kRelativeTolerance.
//  R5 from closed to open each panel moves by its travel along X; nothing moves within a panel.
//  R6 a part's STEP file holds one product, one solid, no assembly, and equals the one in the gate,
//     corner by corner, once it is placed as the report's file_frame says.
//  R7 mass = volume x density.
//  R8 a layer Pk holds what panel k alone has.
#pragma once

#include <string>
#include <vector>

namespace leafstack::readback {

/// What the report promises to agree with its solids.
inline constexpr double kRelativeTolerance = 1e-6;
/// The report's numbers are rounded to a millionth.
inline constexpr double kRounding = 0.6e-6;
/// Positions in STEP files have 13 digits or more; this is far below any shop's tolerance.
inline constexpr double kPositionMm = 1e-6;

struct Outcome {
  int files = 0, solids = 0, occurrences = 0;
  double worst_relative = 0;          ///< largest difference of a volume or area from the report's
  std::vector<std::string> problems;  ///< one line each
};

/// Checks a whole folder. Never throws: a file that cannot be read is a problem.
Outcome checkFolder(const std::string& folder);

}  // namespace leafstack::readback
