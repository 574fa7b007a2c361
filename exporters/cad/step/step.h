// STEP files (ISO 10303-21, AP214): the gate as an assembly, and each part on its own.
//
// Tree: GATE -> P0 ... Pn -> parts. P0 is what does not move, Pk panel k. A part is one product
// however often and in however many panels it stands; products are named "GATE", "P0" ... and by
// mark and name, "BR1 bottom rail", each with the job's number; occurrences "P1.1" and
// "MARK.serial". Each part carries its colour (sRGB), material with density, and its validation
// properties (area, volume, centroid). What only one panel has is on a layer of that panel's: what
// several share is on none, so that hiding a panel hides nothing of another.
// In gate-open.step the panel assemblies are moved, not the parts in them; only ropes differ.
//
// The kernel translates each solid once (step_solid.h). Products, placements and properties are
// written here: so a part serves its own file and both gate files, no process-wide counter of the
// kernel reaches the file, and an occurrence keeps its name where its placement is an identity.
//
// Same model and provenance, same bytes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "exporters/cad/step/step_entities.h"
#include "exporters/cad/step/step_reread.h"
#include "exporters/cad/step/step_solid.h"
#include "generator/model/model.h"

namespace leafstack {

/// What a file's header calls it and its subject.
struct StepFileName {
  std::string file, subject;
};
/// A whole file: the header, then `assembly`, finished.
std::string stepFileText(const StepFileName& name, const Model& model, const Provenance& provenance,
                         const StepAssembly& assembly);
/// Gate's title for a description; may hold any Unicode.
std::string gateTitle(const Model& model);

enum class GatePosition { kClosed, kOpen };

class StepExporter {
 public:
  /// Translates every solid of `model`, which must outlive the exporter and have been through
  /// measureAreas(). Throws ExportError when a solid is not valid and closed, or the translation
  /// lost something.
  StepExporter(const Model& model, Provenance provenance, StepSchema schema = StepSchema::kAp214);

  /// One product, one solid, no assembly, in the frame of shop/part_files.h. `part` indexes
  /// Model::parts.
  std::string partFile(int part) const;
  /// `name`: of the file, and what its subject says besides the gate's title.
  std::string gateFile(GatePosition position) const;
  std::string gateFile(GatePosition position, const StepFileName& name) const;
  /// The same of a piece that a rail is made of (generator/model/splices.h).
  std::string pieceFile(const Part& piece) const;

  /// What a reader must find in these files.
  StepContents partContents(int part) const;
  StepContents contentsOf(const Part& part) const;
  StepContents gateContents() const;

 private:
  struct Measured {
    const TopoDS_Shape& solid;
    gp_Trsf motion;  ///< to the file's frame
    const std::string& mark;
  };
  /// Of AP242: `text` begins after `offset`.
  void addDimensions(StepAssembly& assembly, const StepProduct& product, const Measured& what,
                     const SolidText& text, int offset) const;
  std::string fileOf(Part what, const SolidText& text) const;
  const SolidText& solid(int part, GatePosition position) const;
  /// The part with the properties of the solid that `position` shows.
  Part shown(int part, GatePosition position) const;

  const Model& model_;
  Provenance provenance_;
  StepSchema schema_;
  std::vector<SolidText> closed_;
  std::vector<std::optional<SolidText>> open_;  ///< ropes only
};

}  // namespace leafstack
