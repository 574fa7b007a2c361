// Everything `build` can write: one row an output. What --only takes, what is planned, made,
// written and told, and the README's table (a test compares) all come from here.
//
// A new output is a row of outputs() and its own file with the function that makes its bytes.
#pragma once

#include <array>
#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/cad/dxf/profiles.h"
#include "exporters/cad/mesh/stl.h"
#include "exporters/cad/step/step.h"
#include "exporters/lists/report/report.h"
#include "exporters/paper/sheet/sheet.h"
#include "generator/clash/curves.h"
#include "generator/installing/installation.h"
#include "generator/model/model.h"
#include "generator/shop/wrap/wrap_template.h"
#include "params/read_gate.h"

namespace leafstack {

struct PriceList;
struct Remark;

/// What has been found out about one gate, by the time it is written.
struct GateResults {
  const ResolvedGate& gate;
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const PriceList* prices = nullptr;             ///< none: no quotation
  const std::vector<Remark>* remarks = nullptr;  ///< none: nobody's were read
  const Corrected* as_built = nullptr;           ///< none: nothing was measured
};

/// What files are made from and takes long, or serves several of them: worked out once, before any
/// file, side by side. What takes longest comes first, so that no core waits for it at the end.
enum class Groundwork { kCurves, kPlan, kSheets, kPictures, kSolids, kGlb, kMeshes, kTemplates };

/// What the makers of files take. What is filled in depends on the outputs chosen.
struct OutputSource {
  GateResults results;
  Provenance provenance;
  ProfileOptions profiles;
  StepSchema step_schema = StepSchema::kAp214;

  std::vector<WrapTemplate> templates = {};
  std::vector<Sheet> sheets = {};
  std::vector<StlMesh> meshes = {};       ///< by part
  std::optional<StepExporter> step = {};  ///< with every solid translated
  std::string glb = {}, built_glb = {};   ///< the second: as built
  std::vector<ClearanceCurve> curves = {};
  Installation plan = {};                              ///< how it is put up
  std::string closed_picture = {}, open_picture = {};  ///< SVG
  std::array<double, 3> picture_scale = {};            ///< of both: units per mm, left, top (mm)
  /// The files of each part, among all that are planned.
  std::map<std::string, PartOutputs> by_mark = {};

  /// Does one piece of it, on all cores; several may be done at once. Throws ExportError.
  void lay(Groundwork work);
  /// remarksJson(), or null where none were read.
  nlohmann::ordered_json remarks() const;
  /// clashes.bcf, with a picture of every finding.
  std::string bcf() const;
  /// report.json, with what other files say of the parts.
  std::string report() const;

 private:
  void layPictures();
};

/// A file, and what makes its bytes; several may be made at once.
struct OutputFile {
  std::string path;
  std::function<std::string()> make;
  std::string mark = "";  ///< of the part it shows alone
};

/// A row of the README's table: names, for whom, what it is.
struct OutputText {
  std::string_view files, reader, what;
};

struct Output {
  std::string_view name;    ///< for --only
  std::string_view stage;   ///< for people who wait
  bool on_request = false;  ///< written only where --only names it
  std::vector<Groundwork> needs;
  std::vector<OutputText> texts;
  /// In the order of writing. `source` outlives them. Only kTemplates and kSheets are laid by now;
  /// the rest is by the time they are made.
  std::vector<OutputFile> (*files)(const OutputSource& source);
  bool tells_stock = false;  ///< which bar and sheet is cut into what: a plan that takes long
};

/// In the order of writing.
std::span<const Output> outputs();
/// Those of them that office, bench and site read, after the report.
std::vector<Output> paperOutputs();

/// Those of the outputs to be written.
struct OutputChoice {
  std::vector<std::string> only;     ///< by name; empty: all but those on request
  std::vector<std::string> besides;  ///< of those on request, with all others
  ProfileOptions profiles = {};
  StepSchema step_schema = StepSchema::kAp214;

  bool has(const Output& output) const;
  /// Whether any of them does.
  bool tellsStock() const;
};

/// "step, stl, dxf": by default, or those on request.
std::string outputNames(bool on_request);

}  // namespace leafstack
