// The entities around the solids: products, placements, colours, materials, checks, layers.
#pragma once

#include <TopLoc_Location.hxx>
#include <string>
#include <vector>

#include "exporters/cad/palette.h"
#include "exporters/cad/step/measured/step_dimensions.h"
#include "exporters/cad/step/step_text.h"
#include "generator/model/model.h"

namespace leafstack {

/// The schema that a file keeps to: AP214, or AP242 with dimensions as product data.
enum class StepSchema { kAp214, kAp242 };

/// A product and what others refer to it by.
struct StepProduct {
  int product = 0, definition = 0, definition_shape = 0, representation = 0;
};

/// One data section under way. The constructor writes what all products share: the application
/// context, the units (mm, radian) and the placement at the origin.
class StepAssembly {
 public:
  /// `tolerance_mm` is stated as the file's uncertainty; `job` is in every product's name.
  StepAssembly(double tolerance_mm, const JobSpec& job, StepSchema schema = StepSchema::kAp214);

  /// A product with one solid (`brep` already added to entities()).
  StepProduct addPart(const Part& part, int brep);

  /// The same for a solid that is no part, in `colour`: it is made of nothing, so no material. Of
  /// `what`, mark, name, volume, area and centroid count.
  StepProduct addMarker(const Part& what, int brep, const Rgb& colour);

  /// What a part measures, on its faces, which are entities by now (`faces`, in the order of the
  /// dimensions' numbers).
  void addDimensions(const StepProduct& product, const PartDimensions& dimensions,
                     const std::vector<int>& faces);

  /// A product whose parts are placed with place(): `child` at `locations[i]`, all at once,
  /// because the assembly's representation lists its placements.
  struct Occurrence {
    StepProduct child;
    std::string name;
    TopLoc_Location location;
  };
  StepProduct addAssembly(const std::string& mark, const std::string& description,
                          const std::vector<Occurrence>& children);

  void addLayer(const std::string& name, const std::string& description,
                const std::vector<int>& items);

  /// To be called once, last.
  void finish();

  EntityText& entities() { return entities_; }
  const std::string& text() const { return entities_.text(); }

 private:
  StepProduct addProduct(const std::string& name, const std::string& description);
  StepProduct addSolid(const std::string& name, const Part& what, int brep);
  int addPlacement(const TopLoc_Location& location);
  void addColour(const Rgb& colour, int brep);
  void addMaterial(const Part& part, int definition);
  void addValidation(const Part& part, int definition_shape);
  void addProperty(const std::string& kind, const std::string& name, int of, int item);

  const JobSpec& job_;
  EntityText entities_;
  int application_ = 0, context_ = 0, product_context_ = 0, definition_context_ = 0;
  int origin_ = 0;
  int aspectOf(const StepProduct& product, const std::string& name, int face);
  void addDatum(const StepProduct& product, const std::string& letter, int face);
  void addValue(int dimension, double mm);

  int length_unit_ = 0;
  int area_unit_ = 0, volume_unit_ = 0, density_unit_ = 0;
  std::vector<int> products_, styled_items_;
};

}  // namespace leafstack
