// clashes.step: what the clash check found, as solids (ISO 10303-21, AP214).
//
// Tree: CLASHES -> F1 ... Fn -> the finding's two parts and what they share. The description of Fn
// holds the finding's id and text. Its worst pair stands where it is at the worst position of the
// drive. Parts are products named by their marks and shared between findings; occurrences are named
// "F1.MARK.serial". A rope that has moved is a product of its own, "MARK-F1". What a pair shares is
// "F1-overlap" (then "F1-overlap-2" ...), magenta, in the gate's frame. An overlap lies inside the
// parts: the layers "parts" and "overlaps" let a viewer hide either.
//
// Same model, report and provenance, same bytes.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/cad/palette.h"
#include "exporters/cad/step/step_reread.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

/// Findings drawn at most, the gravest first; more would make a file nobody looks through. The
/// root's description says how many there are.
inline constexpr int kMostClashesDrawn = 50;

/// Magenta: no material has it.
inline constexpr Rgb kOverlapColour = {0.93, 0.05, 0.55};

struct ClashStep {
  std::string text;
  StepContents contents;  ///< what a reader must find in it
};

/// `clash` is of `model`, which has been through measureAreas(). An overlap is the result of a
/// boolean: where one fails the checks every written solid has to pass it is left out, and the
/// description of its finding says so. Throws ExportError when there is no finding, or a part
/// cannot be written.
ClashStep clashStep(const Model& model, const ClashReport& clash, const Provenance& provenance);

}  // namespace leafstack
