// Wrap-around templates of tubes (generator/shop/wrap/wrap_template.h) on paper, 1:1: as DXF for a
// plotter, as PDF for an ordinary printer.
#pragma once

#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "generator/shop/wrap/wrap_template.h"

namespace leafstack {

/// Side of the square, and length of the bars, to check a print with.
inline constexpr double kWrapCheckMm = 100;

/// One template whole. Layers: CUT outlines of cut-outs and ends (circles and arcs true), FOLD the
/// flats' edges and the paper's two edges at the seam, TEXT mark, walls, seam, datum arrow and,
/// under the template, a square of 100 mm to check the plot's scale with; MARK, where asked for, the
/// mark to engrave, clear of cut-outs.
std::string wrapDxf(const WrapTemplate& made, bool with_mark = false);

enum class WrapPaper { kA4, kA3 };  ///< landscape

/// All templates, cut up to fit pages: only stretches with cut-outs or ends that are not square,
/// each with station lines every 100 mm from the datum, so that it is laid on the tube by tape.
/// Tubes whose stretch is the same share it, all marks named. Every page says its number, marks,
/// seams, and that prints must be made at 100 %, and has bars to check that with. Text is text. The
/// same bytes every time with the same fonts installed (DejaVu Sans is asked for and embedded).
/// Throws ExportError when the drawing library fails.
std::string wrapPdf(const std::vector<WrapTemplate>& templates, const Provenance& provenance,
                    WrapPaper paper = WrapPaper::kA4);

}  // namespace leafstack
