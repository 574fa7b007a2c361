#include "exporters/folder/outputs.h"

#include <algorithm>
#include <utility>

#include "exporters/cad/bcf/bcf.h"
#include "exporters/cad/ifc/ifc.h"
#include "exporters/cad/step/clash_step.h"
#include "exporters/cad/swept/swept_step.h"
#include "exporters/lists/report/clash_report.h"
#include "exporters/lists/resolved.h"
#include "exporters/lists/tables.h"
#include "exporters/page/review_page.h"
#include "exporters/page/summary_page.h"
#include "exporters/paper/backends/drawing_dxf.h"
#include "exporters/paper/backends/pdf.h"
#include "exporters/paper/backends/svg.h"
#include "exporters/paper/cards/part_cards.h"
#include "exporters/paper/pictures/picture.h"
#include "exporters/paper/pictures/stock_picture.h"
#include "exporters/paper/sheets/travel_diagram.h"
#include "exporters/paper/wrap/wrap_sheets.h"
#include "generator/installing/loading.h"
#include "generator/model/splices.h"
#include "generator/shop/part_files.h"
#include "generator/verdict/gate_verdict.h"

namespace leafstack {
namespace {

using Files = std::vector<OutputFile>;

std::string checkedStep(std::string text, const StepContents& expected, const std::string& path) {
  checkStepFile(text, expected, path);
  return text;
}

Files stepFiles(const OutputSource& source) {
  const auto gate = [&source](const std::string& path, GatePosition position) {
    return OutputFile{path, [&source, path, position] {
                        return checkedStep(source.step->gateFile(position),
                                           source.step->gateContents(), path);
                      }};
  };
  Files files = {gate("gate.step", GatePosition::kClosed),
                 gate("gate-open.step", GatePosition::kOpen)};
  if (source.results.as_built != nullptr) {
    files.push_back({"gate-as-built.step", [&source] {
                       const StepExporter built(source.results.as_built->model, source.provenance,
                                                source.step_schema);
                       return checkedStep(
                           built.gateFile(GatePosition::kClosed,
                                          {"gate-as-built.step", "closed, as built and set"}),
                           built.gateContents(), "gate-as-built.step");
                     }});
  }
  for (int i = 0; i < static_cast<int>(source.results.model.parts.size()); ++i) {
    const Part& part = source.results.model.parts[i];
    if (part.is_triangles) {
      continue;  // whoever drew it has it
    }
    const std::string path = partPath(source.results.model.spec.job, part) + ".step";
    files.push_back({path,
                     [&source, path, i] {
                       return checkedStep(source.step->partFile(i), source.step->partContents(i),
                                          path);
                     },
                     part.mark});
    for (std::size_t k = 0; !part.splices.empty() && k <= part.splices.size(); ++k) {
      const std::string of_piece =
          partPath(source.results.model.spec.job, part) + "-" + std::to_string(k + 1) + ".step";
      files.push_back({of_piece,
                       [&source, &part, of_piece, k] {
                         const Part piece = pieceParts(part).at(k);
                         return checkedStep(source.step->pieceFile(piece),
                                            source.step->contentsOf(piece), of_piece);
                       },
                       part.mark});
    }
  }
  if (!source.results.clash.findings.empty()) {
    files.push_back({"clashes.step", [&source] {
                       const ClashStep made =
                           clashStep(source.results.model, source.results.clash, source.provenance);
                       return checkedStep(made.text, made.contents, "clashes.step");
                     }});
  }
  return files;
}

Files stlFiles(const OutputSource& source) {
  Files files;
  for (std::size_t i = 0; i < source.results.model.parts.size(); ++i) {
    const Part& part = source.results.model.parts[i];
    if (part.is_triangles) {
      continue;
    }
    files.push_back({partPath(source.results.model.spec.job, part) + ".stl",
                     [&source, i] { return source.meshes.at(i).file; }, part.mark});
  }
  return files;
}

Files glbFiles(const OutputSource& source) {
  return {{"gate.glb", [&source] { return source.glb; }}};
}

Files profileFiles(const OutputSource& source) {
  Files files;
  for (const ProfileRow& row : source.results.schedules.profiles) {
    if (row.profile) {
      files.push_back(
          {row.file, [&source, &row] { return profileDxf(row, source.profiles); }, row.mark});
    }
  }
  return files;
}

Files templateFiles(const OutputSource& source) {
  Files files;
  for (const WrapTemplate& one : source.templates) {
    files.push_back({"templates/" + fileStem(source.results.model.spec.job, one.mark) + "_wrap.dxf",
                     [&source, &one] { return wrapDxf(one, source.profiles.with_marks); },
                     one.mark});
  }
  if (!files.empty()) {
    files.push_back(
        {"templates/wrap.pdf", [&source] { return wrapPdf(source.templates, source.provenance); }});
  }
  return files;
}

Files tableFiles(const OutputSource& source) {
  const Schedules& lists = source.results.schedules;
  return {
      {"tables/cut-list.csv", [&lists] { return cutListCsv(lists); }},
      {"tables/cutouts.csv", [&lists] { return cutoutsCsv(lists); }},
      {"tables/bill.csv", [&lists] { return billCsv(lists); }},
      {"tables/order.csv", [&lists] { return orderCsv(lists); }},
      {"tables/fasteners.csv", [&lists] { return fastenersCsv(lists); }},
      {"tables/coating.csv", [&lists] { return coatingCsv(lists); }},
      {"tables/profiles.csv", [&lists] { return profilesCsv(lists); }},
      {"tables/packing.csv",
       [&source] { return packingCsv(loadingRows(source.results.model, source.plan)); }},
      {"tables/ropes.csv", [&lists] { return ropesCsv(lists); }},
      {"tables/welds.csv", [&lists] { return weldsCsv(lists); }},
      {"tables/set-out.csv", [&lists] { return setOutCsv(lists); }},
      {"tables/shims.csv",
       [&source] {
         const Corrected* const built = source.results.as_built;
         return shimsCsv(source.results.model.layout.ground,
                         built == nullptr ? std::vector<TrackShim>() : built->shims);
       }},
      {"tables/stock-plan.csv", [&lists] { return stockPlanCsv(lists); }},
      {"tables/sheet-plan.csv", [&lists] { return sheetPlanCsv(lists); }},
      {"tables/stock-plan.svg", [&lists] { return stockPictureSvg(lists.stock); }},
      {"tables/clashes.csv", [&source] { return clashesCsv(source.results.clash); }},
  };
}

Files reportFiles(const OutputSource& source) {
  return {{"report.json", [&source] { return source.report(); }},
          {"resolved.json",
           [&source] {
             return resolvedJson(source.results.gate, source.results.model.layout,
                                 source.results.schedules.loads, source.provenance);
           }},
          {"summary.html", [&source] {
             return summaryPage(
                 {source.results.model, source.results.schedules, source.results.clash,
                  source.results.advice, source.closed_picture, source.open_picture},
                 source.provenance);
           }}};
}

Files drawingFiles(const OutputSource& source) {
  const bool in_model = source.results.model.spec.drawings.dxf == DxfSpace::kModel;
  Files files;
  for (const Sheet& sheet : source.sheets) {
    const std::string path = "drawings/" + sheet.name;
    files.push_back({path + ".pdf", [&source, &sheet] {
                       return drawingPdf({sheet}, source.provenance, sheet.title);
                     }});
    files.push_back(
        {path + ".svg", [&source, &sheet] { return drawingSvg(sheet, source.provenance); }});
    files.push_back({path + ".dxf", [&sheet, in_model] {
                       return in_model ? modelDxf(sheet) : drawingDxf(sheet);
                     }});
  }
  if (!files.empty()) {
    files.push_back({"drawings.pdf", [&source] {
                       return drawingPdf(source.sheets, source.provenance,
                                         "Drawings of a sliding gate");
                     }});
  }
  return files;
}

Files cardFiles(const OutputSource& source) {
  return {{"cards.pdf", [&source] {
             const GateResults& results = source.results;
             const GateVerdict verdict = gateVerdict(results.advice.warnings, &results.clash);
             return drawingPdf(partCards(results.model, results.schedules, inTitle(verdict)),
                               source.provenance, "Part cards");
           }}};
}

Files reviewFiles(const OutputSource& source) {
  return {{"review.html", [&source] {
             const nlohmann::ordered_json remarks = source.remarks();
             return reviewPage(
                 {source.results.model, source.results.schedules, source.results.clash,
                  source.results.advice, source.glb, source.curves, remarks,
                  source.results.as_built == nullptr ? nullptr : &source.results.as_built->model,
                  &source.built_glb},
                 source.provenance);
           }}};
}

Files pictureFiles(const OutputSource& source) {
  return {{"pictures/closed.svg", [&source] { return source.closed_picture; }},
          {"pictures/half.svg",
           [&source] {
             const Model& model = source.results.model;
             return GatePictures(model).svgAt(model.layout.drive_travel_mm / 2);
           }},
          {"pictures/open.svg", [&source] { return source.open_picture; }},
          {"pictures/travel.svg", [&source] {
             return drawingSvg(travelPicture(source.results.model), source.provenance);
           }}};
}

Files ifcFiles(const OutputSource& source) {
  return {{"gate.ifc", [&source] { return ifcFile(source.results.model, source.provenance); }}};
}

Files sweptFiles(const OutputSource& source) {
  return {{"gate-swept.step", [&source] {
             const SweptStep made = sweptStep(source.results.model, source.provenance);
             return checkedStep(made.text, made.contents, "gate-swept.step");
           }}};
}

Files bcfFiles(const OutputSource& source) {
  return {{"clashes.bcf", [&source] { return source.bcf(); }}};
}

std::vector<Output> outputRows() {
  return {
      {"step",
       "STEP",
       false,
       {Groundwork::kSolids},
       {//
        {"`gate.step`, `gate-open.step`", "drafter",
         "the gate at either end of its travel: gate → panel → part, AP214, mm, one "
         "product per part however often it occurs, named by mark and name"},
        {"`gate-as-built.step`", "reviewer",
         "only where something was measured: the same as built and set, in the same frame, under "
         "the same marks"},
        {"`parts/FAMILY/JOB_MARK.step`", "CNC shop",
         "each part alone: tubes and bars along +X from 0, plates in XY from 0, for either hand; "
         "of rails longer than a bar the pieces too (`JOB_MARK-1.step` ...)"},
        {"`clashes.step`", "reviewer",
         "only where something was found: both parts of each finding and what they "
         "share, where it was measured"}},
       stepFiles},
      {"stl",
       "STL",
       false,
       {Groundwork::kMeshes},
       {//
        {"`parts/FAMILY/JOB_MARK.stl`", "CNC shop",
         "the same as triangles: watertight, its deflection in the report"}},
       stlFiles},
      {"glb",
       "GLB",
       false,
       {Groundwork::kGlb},
       {//
        {"`gate.glb`", "anybody with a viewer",
         "the closed gate, metres, Y up, panels and parts as named nodes, one mesh a "
         "part"}},
       glbFiles},
      {"ifc",
       "IFC",
       false,
       {},
       {//
        {"`gate.ifc`", "reviewer",
         "the closed gate for coordination programs: IFC4, panels as assemblies, parts with marks, "
         "sections, materials and masses, and the space that each panel sweeps"}},
       ifcFiles},
      {"dxf",
       "DXF",
       false,
       {},
       {//
        {"`profiles/steel/4mm/JOB_GC1_steel_4mm_x2.dxf`", "CNC shop",
         "plates, sheets and unfolded channels, one part a file, 1:1 in mm, R2000: "
         "layer CUT alone, each loop one closed polyline with true arcs or a circle; "
         "no kerf applied. The name tells job, mark, material, thickness and number"}},
       profileFiles},
      {"templates",
       "templates",
       false,
       {Groundwork::kTemplates},
       {//
        {"`templates/wrap.pdf`, `templates/JOB_MARK_wrap.dxf`", "bench",
         "1:1 paper that is laid round a tube to mark its cut-outs and raked ends by "
         "hand, with station lines, seam and bars to check the print by"}},
       templateFiles},
      {"tables",
       "tables",
       false,
       {},
       {//
        {"`tables/cut-list.csv`", "saw",
         "lengths, end angles, cut-outs in words, masses, on which panel, and the part's file"},
        {"`tables/cutouts.csv`", "saw, CNC shop",
         "every hole of every tube: wall, kind, its middle from the end that the sheets count from "
         "and in the part's file, size, corner radius, what it is for"},
        {"`tables/bill.csv`", "buyer", "what is bought in or found on site"},
        {"`tables/order.csv`", "buyer",
         "what to buy, by supplier and item: hardware, ropes by the metre, bars, plates by area, "
         "boards, anchors, screws by the box, tube caps, concrete; welding rods, paint and what "
         "bonds dowels and anchors are not in it"},
        {"`tables/fasteners.csv`", "fitter, buyer",
         "every screw and anchor: size, between which parts, what it clamps, how far its thread "
         "holds, its tool and what that meets"},
        {"`tables/profiles.csv`", "CNC shop",
         "those files with thickness, number and overall size (to check scale), "
         "holes, folds; and why a plate has none"},
        {"`tables/stock-plan.csv`, `.svg`", "saw",
         "which piece is cut from which bar of `shop.stock_lengths_mm`, which board from which "
         "of `shop.timber_lengths_mm`, with kerf and trim: least length bought, with a proved "
         "bound; and a picture of the bars"},
        {"`tables/sheet-plan.csv`", "CNC shop, buyer",
         "which plate is cut from which sheet of `shop.sheet_mm` and where it lies on it: blanks' "
         "bounding rectangles in rows, to buy by"},
        {"`tables/coating.csv`", "galvaniser, coater",
         "surfaces of every cut part, all of it and what is seen from outside, with "
         "totals; its finish, and the zinc on it"},
        {"`tables/ropes.csv`", "buyer, installer",
         "every rope: order length, length and length between terminations, adjuster, "
         "tension, safety, stretch, in which order to tension them"},
        {"`tables/welds.csv`", "welder",
         "every weld: between which marks, fillet or butt, leg, length, pieces and what is free "
         "between, sides, preparation, number, where, with the metres of each panel"},
        {"`tables/packing.csv`", "haulier, installer",
         "what is lifted as one, with what the shop welds to it: panels, posts, tracks: size, "
         "mass, "
         "where its weight hangs"},
        {"`tables/set-out.csv`", "installer",
         "from one datum, the latch-side post's face: tracks (start, survey points, "
         "end), footing, posts, guide, ground bracket, motor base with its packers, "
         "stops, catch post with its plates and top receiver; heights with each"},
        {"`tables/shims.csv`", "installer",
         "on surveyed ground, for every anchor and surveyed point of each track: slab, what the "
         "track is laid to, shims, what is ground off; and what a straight line would take"},
        {"`tables/clashes.csv`", "reviewer",
         "every finding of the clash check, one row each; the header alone where "
         "there is none"}},
       tableFiles,
       /*tells_stock=*/true},
      {"report",
       "report",
       false,
       {Groundwork::kPictures},
       {//
        {"`report.json`", "reviewer, programs",
         "layout, stack, heights, ground, ropes, drive, loads, clash check with every "
         "designed contact, parts, warnings, cautions"},
        {"`resolved.json`", "reviewer",
         "every input with the value now in force and where it came from: given, "
         "override, default, catalogue or computed"},
        {"`summary.html`", "everybody",
         "one page that prints: the gate closed and parked, what to order, warnings, "
         "and a calculation sheet with every load figure, its formula, the numbers "
         "put in and the source; published safety figures and the cautions"}},
       reportFiles,
       /*tells_stock=*/true},
      {"drawings",
       "drawings",
       false,
       {Groundwork::kSheets},
       {//
        {"`drawings.pdf`, `drawings/SHEET.pdf`, `.svg`, `.dxf`",
         "drafter, welder, installer, client",
         "general arrangement with a section, the stack and the guides in section, every "
         "panel's frame with its infill and its welds by ISO 2553, its bottom rail with "
         "cut-outs from the leading end, a sheet with welds and places for each assembly "
         "(attachments, cladding, running gear, what carries the guide, catch post, ground"
         " bracket, motor, stops) with details where fittings stand close, each panel taken "
         "apart with its order of assembly, how every rope runs, their ends as mounted and "
         "how they are tensioned, travel diagram, set-out plan with levels and details, blocks "
         "under the posts in plan and section, parts list, list of drawings. A3 "
         "(`drawings.sheet`: A4, A2), first or third angle (`drawings.projection`), scales"
         " of ISO 5455. Text is text; the DXF is in paper mm (`drawings.dxf`: `model` "
         "gives each view 1:1); its dimensions carry their numbers as text and read alike "
         "in any program"}},
       drawingFiles},
      {"cards",
       "part cards",
       false,
       {},
       {//
        {"`cards.pdf`", "workshop",
         "an A4 page for every part that is cut: views in the frame of its files, extents, "
         "section, material, number, mass, finish, cut-outs in words, its file"}},
       cardFiles},
      {"review",
       "review page",
       false,
       {Groundwork::kCurves, Groundwork::kGlb},
       {//
        {"`review.html`", "client, drafter, reviewer",
         "one file for any browser, from disk, no network: the gate in motion as the "
         "drive moves it, parts by mark, sections, measuring, dimensions; chart of "
         "the tightest clearances through the travel; a way to every finding with "
         "both parts marked; cautions. Prints; a link opens the same view"}},
       reviewFiles},
      {"pictures",
       "pictures",
       true,
       {Groundwork::kPictures},
       {//
        {"`pictures/closed.svg`, `half.svg`, `open.svg`, `travel.svg`", "anybody",
         "line pictures of the gate closed, half open and open, and the travel "
         "diagram"}},
       pictureFiles},
      {"swept",
       "swept space",
       true,
       {},
       {//
        {"`gate-swept.step`", "reviewer",
         "the space that each panel takes up on its way, for programs without motion"}},
       sweptFiles},
      {"bcf",
       "BCF",
       true,
       {},
       {//
        {"`clashes.bcf`", "reviewer",
         "every finding as a topic of BCF 3.0, each with a view of it"}},
       bcfFiles},
  };
}

}  // namespace

std::span<const Output> outputs() {
  static const std::vector<Output> kRows = [] {
    std::vector<Output> rows = outputRows();
    const std::vector<Output> papers = paperOutputs();
    const auto report = std::find_if(rows.begin(), rows.end(),
                                     [](const Output& one) { return one.name == "report"; });
    rows.insert(report + 1, papers.begin(), papers.end());
    return rows;
  }();
  return kRows;
}

bool OutputChoice::has(const Output& output) const {
  const auto& named = only.empty() ? besides : only;
  return (only.empty() && !output.on_request) ||
         std::find(named.begin(), named.end(), output.name) != named.end();
}

bool OutputChoice::tellsStock() const {
  return std::any_of(outputs().begin(), outputs().end(),
                     [&](const Output& output) { return output.tells_stock && has(output); });
}

std::string outputNames(bool on_request) {
  std::string names;
  for (const Output& output : outputs()) {
    if (output.on_request == on_request) {
      names += (names.empty() ? "" : ", ") + std::string(output.name);
    }
  }
  return names;
}

}  // namespace leafstack
