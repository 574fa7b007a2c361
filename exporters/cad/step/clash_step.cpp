#include "exporters/cad/step/clash_step.h"

#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <map>
#include <utility>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/step/step.h"
#include "exporters/cad/step/step_entities.h"
#include "exporters/cad/step/step_solid.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

/// A solid of the file, with what is said about it.
struct DrawnSolid {
  Part what;
  SolidText text;
  bool is_overlap = false;
};

struct DrawnOccurrence {
  int solid = 0;  ///< index of the DrawnSolid
  std::string name;
  TopLoc_Location location;
};

struct DrawnFinding {
  std::string name, description;
  std::vector<DrawnOccurrence> occurrences;
};

/// Volume, area and centroid of `solid` into `what`.
void measure(const TopoDS_Shape& solid, Part& what) {
  const MassProperties properties = massProperties(solid);
  what.volume_mm3 = properties.volume_mm3;
  what.centroid_mm = properties.centroid_mm;
  what.area_mm2 = surfaceArea(solid);
}

std::string travelText(double drive_mm) {
  return shown(drive_mm) + " mm of drive travel";
}

const RopeRun* ropeOf(const Model& model, int instance) {
  const auto it = std::find_if(model.ropes.begin(), model.ropes.end(),
                               [&](const RopeRun& run) { return run.instance == instance; });
  return it == model.ropes.end() ? nullptr : &*it;
}

class ClashDrawing {
 public:
  explicit ClashDrawing(const Model& model) : model_(model) {}

  void add(const Finding& finding) {
    DrawnFinding drawn;
    drawn.name = "F" + std::to_string(findings_.size() + 1);
    for (const int instance : {finding.instance_a, finding.instance_b}) {
      drawn.occurrences.push_back(
          {solidOf(instance, finding.worst_at_mm, drawn.name),
           drawn.name + "." + model_.instanceName(instance),
           locationAt(model_, model_.instances[instance], finding.worst_at_mm)});
    }
    drawn.description = finding.id + ": " + finding.text + "; drawn at " +
                        travelText(finding.worst_at_mm) + addOverlaps(finding.overlap, drawn);
    findings_.push_back(std::move(drawn));
  }

  ClashStep write(const std::string& description, const Provenance& provenance) const {
    double tolerance_mm = 0;
    for (const DrawnSolid& solid : solids_) {
      tolerance_mm = std::max(tolerance_mm, solid.text.tolerance_mm);
    }
    StepAssembly assembly(tolerance_mm, model_.spec.job);
    const std::vector<StepProduct> products = writeSolids(assembly);
    std::vector<StepAssembly::Occurrence> found;
    for (const DrawnFinding& finding : findings_) {
      std::vector<StepAssembly::Occurrence> children;
      for (const DrawnOccurrence& one : finding.occurrences) {
        children.push_back({products[one.solid], one.name, one.location});
      }
      found.push_back({assembly.addAssembly(finding.name, finding.description, children),
                       finding.name + ".1", TopLoc_Location()});
    }
    assembly.addAssembly("CLASHES", description, found);
    assembly.finish();
    return {stepFileText({"clashes.step", description}, model_, provenance, assembly), contents()};
  }

 private:
  int addSolid(DrawnSolid solid) {
    solids_.push_back(std::move(solid));
    return static_cast<int>(solids_.size()) - 1;
  }

  /// The part's solid, or the rope's as it runs at `drive_mm`.
  int solidOf(int instance, double drive_mm, const std::string& finding) {
    const int index = model_.instances[instance].part;
    const RopeRun* const rope = ropeOf(model_, instance);
    if (rope != nullptr && drive_mm > 0) {
      Part what = model_.parts[index];
      what.mark += "-" + finding;
      what.name += " at " + travelText(drive_mm);
      const TopoDS_Shape solid = closedSolid(ropeSolidAt(model_, *rope, drive_mm), what.mark);
      measure(solid, what);
      return addSolid({what, stepSolid(solid, what.mark)});
    }
    const auto known = solid_of_part_.find(index);
    if (known != solid_of_part_.end()) {
      return known->second;
    }
    const Part& part = model_.parts[index];
    if (!(part.volume_mm3 > 0 && part.area_mm2 > 0)) {
      throw ExportError("STEP: " + part.mark + " was not measured");
    }
    return solid_of_part_[index] = addSolid({part, stepSolid(part.solid, part.mark)});
  }

  /// Adds the solids of `overlap` to `drawn`; returns what its description says about them.
  std::string addOverlaps(const TopoDS_Shape& overlap, DrawnFinding& drawn) {
    if (overlap.IsNull()) {
      return "";
    }
    int count = 0;
    int unsound = 0;
    for (TopExp_Explorer it(overlap, TopAbs_SOLID); it.More(); it.Next()) {
      Part what;
      what.mark = drawn.name + "-overlap" + (count == 0 ? "" : "-" + std::to_string(count + 1));
      what.name = "what the two parts of " + drawn.name + " share, in magenta";
      if (addSound(it.Current(), what)) {
        ++count;
        const int solid = static_cast<int>(solids_.size()) - 1;
        drawn.occurrences.push_back({solid, what.mark + ".1", TopLoc_Location()});
      } else {
        ++unsound;
      }
    }
    std::string note = count == 0 ? "" : "; what they share is magenta";
    if (unsound > 0) {
      note += "; not drawn of what they share: " + std::to_string(unsound) +
              (unsound == 1 ? " solid that does" : " solids that do") + " not pass the checks";
    }
    return note;
  }

  /// Adds `solid` where it passes every check a written solid has to pass.
  bool addSound(const TopoDS_Shape& solid, Part what) {
    measure(solid, what);
    if (!(what.volume_mm3 > 0 && what.area_mm2 > 0)) {
      return false;
    }
    try {
      addSolid({what, stepSolid(solid, what.mark), /*is_overlap=*/true});
      return true;
    } catch (const ExportError&) {
      return false;
    }
  }

  std::vector<StepProduct> writeSolids(StepAssembly& assembly) const {
    std::vector<StepProduct> products;
    std::vector<int> parts, overlaps;
    for (const DrawnSolid& solid : solids_) {
      const int offset = assembly.entities().addBlock(solid.text.entities, solid.text.count);
      const int brep = solid.text.brep + offset;
      (solid.is_overlap ? overlaps : parts).push_back(brep);
      products.push_back(solid.is_overlap ? assembly.addMarker(solid.what, brep, kOverlapColour)
                                          : assembly.addPart(solid.what, brep));
    }
    assembly.addLayer("parts", "parts that were found together", parts);
    if (!overlaps.empty()) {
      assembly.addLayer("overlaps", "what they share", overlaps);
    }
    return products;
  }

  StepContents contents() const {
    StepContents contents;
    contents.solids = static_cast<int>(solids_.size());
    const JobSpec& job = model_.spec.job;
    contents.products.push_back(productName(job, "CLASHES"));
    for (const DrawnSolid& solid : solids_) {
      contents.products.push_back(
          productName(job, solid.what.mark, solid.is_overlap ? "" : solid.what.name));
    }
    for (const DrawnFinding& finding : findings_) {
      contents.products.push_back(productName(job, finding.name));
      contents.occurrences.push_back(finding.name + ".1");
      for (const DrawnOccurrence& one : finding.occurrences) {
        contents.occurrences.push_back(one.name);
      }
    }
    return contents;
  }

  const Model& model_;
  std::vector<DrawnSolid> solids_;
  std::map<int, int> solid_of_part_;
  std::vector<DrawnFinding> findings_;
};

std::string descriptionOf(const Model& model, int drawn, int found) {
  const std::string count = found == 1 ? "1 finding" : std::to_string(found) + " findings";
  return gateTitle(model) + ", clashes: " + count +
         (drawn < found ? ", of which the first " + std::to_string(drawn) + " are drawn" : "");
}

}  // namespace

ClashStep clashStep(const Model& model, const ClashReport& clash, const Provenance& provenance) {
  if (clash.findings.empty()) {
    throw ExportError("STEP: no clash to draw");
  }
  const int found = static_cast<int>(clash.findings.size());
  const int drawn = std::min(found, kMostClashesDrawn);
  ClashDrawing drawing(model);
  for (int i = 0; i < drawn; ++i) {
    drawing.add(clash.findings[i]);
  }
  return drawing.write(descriptionOf(model, drawn, found), provenance);
}

}  // namespace leafstack
