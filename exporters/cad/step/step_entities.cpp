#include "exporters/cad/step/step_entities.h"

#include <gp_Trsf.hxx>

#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

std::string ref(int id) {
  return part21Reference(id);
}
std::string str(const std::string& text) {
  return part21String(text);
}

}  // namespace

StepAssembly::StepAssembly(double tolerance_mm, const JobSpec& job, StepSchema schema) : job_(job) {
  EntityText& e = entities_;
  const bool is_ap214 = schema == StepSchema::kAp214;
  application_ = e.add(is_ap214 ? "APPLICATION_CONTEXT('core data for automotive mechanical design "
                                  "processes')"
                                : "APPLICATION_CONTEXT('managed model based 3d engineering')");
  e.add(std::string("APPLICATION_PROTOCOL_DEFINITION('international standard',") +
        (is_ap214 ? "'automotive_design',2000,"
                  : "'ap242_managed_model_based_3d_engineering',2014,") +
        ref(application_) + ")");
  product_context_ = e.add("PRODUCT_CONTEXT(''," + ref(application_) + ",'mechanical')");
  definition_context_ =
      e.add("PRODUCT_DEFINITION_CONTEXT('part definition'," + ref(application_) + ",'design')");
  const int mm = e.add("( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )");
  length_unit_ = mm;
  const int radian = e.add("( NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.) )");
  const int steradian = e.add("( NAMED_UNIT(*) SI_UNIT($,.STERADIAN.) SOLID_ANGLE_UNIT() )");
  const int uncertainty =
      e.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(" + part21Real(tolerance_mm) + ")," +
            ref(mm) + ",'distance_accuracy_value','largest gap between faces')");
  context_ =
      e.add("( GEOMETRIC_REPRESENTATION_CONTEXT(3) GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((" +
            ref(uncertainty) + ")) GLOBAL_UNIT_ASSIGNED_CONTEXT(" +
            part21References({mm, radian, steradian}) +
            ") REPRESENTATION_CONTEXT('gate','three-dimensional, with units and uncertainty') )");
  const int metre = e.add("( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT($,.METRE.) )");
  const int kilogram = e.add("( MASS_UNIT() NAMED_UNIT(*) SI_UNIT(.KILO.,.GRAM.) )");
  const auto power = [&](int unit, const char* exponent) {
    return e.add("DERIVED_UNIT_ELEMENT(" + ref(unit) + "," + exponent + ")");
  };
  const auto derived = [&](const std::vector<int>& elements) {
    return e.add("DERIVED_UNIT(" + part21References(elements) + ")");
  };
  area_unit_ = derived({power(mm, "2.")});
  volume_unit_ = derived({power(mm, "3.")});
  const int per_cubic_metre = power(metre, "-3.");
  density_unit_ = derived({power(kilogram, "1."), per_cubic_metre});
  origin_ = addPlacement(TopLoc_Location());
}

int StepAssembly::addPlacement(const TopLoc_Location& location) {
  const gp_Trsf motion = location.Transformation();
  const auto column = [&](int c) {
    return part21Triple(motion.Value(1, c), motion.Value(2, c), motion.Value(3, c));
  };
  const int point = entities_.add("CARTESIAN_POINT(''," + column(4) + ")");
  const int axis = entities_.add("DIRECTION(''," + column(3) + ")");
  const int reference = entities_.add("DIRECTION(''," + column(1) + ")");
  return entities_.add("AXIS2_PLACEMENT_3D(''," + ref(point) + "," + ref(axis) + "," +
                       ref(reference) + ")");
}

StepProduct StepAssembly::addProduct(const std::string& name, const std::string& description) {
  StepProduct product;
  product.product = entities_.add("PRODUCT(" + str(name) + "," + str(name) + "," +
                                  str(description) + ",(" + ref(product_context_) + "))");
  products_.push_back(product.product);
  const int formation =
      entities_.add("PRODUCT_DEFINITION_FORMATION('',''," + ref(product.product) + ")");
  product.definition = entities_.add("PRODUCT_DEFINITION('design',''," + ref(formation) + "," +
                                     ref(definition_context_) + ")");
  product.definition_shape =
      entities_.add("PRODUCT_DEFINITION_SHAPE('',''," + ref(product.definition) + ")");
  return product;
}

StepProduct StepAssembly::addSolid(const std::string& name, const Part& what, int brep) {
  StepProduct product = addProduct(name, what.name);
  product.representation =
      entities_.add("ADVANCED_BREP_SHAPE_REPRESENTATION(" + str(what.mark) + "," +
                    part21References({origin_, brep}) + "," + ref(context_) + ")");
  entities_.add("SHAPE_DEFINITION_REPRESENTATION(" + ref(product.definition_shape) + "," +
                ref(product.representation) + ")");
  return product;
}

StepProduct StepAssembly::addPart(const Part& part, int brep) {
  const StepProduct product = addSolid(productName(job_, part.mark, part.name), part, brep);
  addColour(materialColour(part.density_kg_m3 > 0 ? part.material : "envelope"), brep);
  addMaterial(part, product.definition);
  addValidation(part, product.definition_shape);
  return product;
}

int StepAssembly::aspectOf(const StepProduct& product, const std::string& name, int face) {
  const int aspect =
      entities_.add("SHAPE_ASPECT(" + str(name) + ",''," + ref(product.definition_shape) + ",.T.)");
  entities_.add("GEOMETRIC_ITEM_SPECIFIC_USAGE('',''," + ref(aspect) + "," +
                ref(product.representation) + "," + ref(face) + ")");
  return aspect;
}

void StepAssembly::addDatum(const StepProduct& product, const std::string& letter, int face) {
  const std::string shape = ref(product.definition_shape);
  const int feature =
      entities_.add("DATUM_FEATURE(" + str("datum " + letter) + ",''," + shape + ",.T.)");
  entities_.add("GEOMETRIC_ITEM_SPECIFIC_USAGE('',''," + ref(feature) + "," +
                ref(product.representation) + "," + ref(face) + ")");
  const int datum = entities_.add("DATUM('',$," + shape + ",.F.," + str(letter) + ")");
  entities_.add("SHAPE_ASPECT_RELATIONSHIP('',$," + ref(feature) + "," + ref(datum) + ")");
}

void StepAssembly::addValue(int dimension, double mm) {
  const int value = entities_.add(
      "( LENGTH_MEASURE_WITH_UNIT() MEASURE_REPRESENTATION_ITEM() "
      "MEASURE_WITH_UNIT(LENGTH_MEASURE(" +
      part21Real(mm) + ")," + ref(length_unit_) + ") REPRESENTATION_ITEM('nominal value') )");
  const int shown = entities_.add("SHAPE_DIMENSION_REPRESENTATION('',(" + ref(value) + ")," +
                                  ref(context_) + ")");
  entities_.add("DIMENSIONAL_CHARACTERISTIC_REPRESENTATION(" + ref(dimension) + "," + ref(shown) +
                ")");
}

void StepAssembly::addDimensions(const StepProduct& product, const PartDimensions& dimensions,
                                 const std::vector<int>& faces) {
  constexpr const char* kAxes[] = {"X", "Y", "Z"};
  constexpr const char* kLetters[] = {"A", "B", "C"};
  const auto location = [&](const std::string& what, int from, int to, double mm) {
    addValue(entities_.add("DIMENSIONAL_LOCATION('linear distance'," + str(what) + "," + ref(from) +
                           "," + ref(to) + ")"),
             mm);
  };
  std::array<int, 3> low{};
  for (int axis = 0; axis < 3; ++axis) {
    const PartDimensions::Extent& extent = dimensions.extents[axis];
    const std::string along = std::string(" along ") + kAxes[axis];
    if (!extent.low_face) {
      continue;
    }
    low[axis] = aspectOf(product, "low face" + along, faces.at(*extent.low_face));
    addDatum(product, kLetters[axis], faces.at(*extent.low_face));
    if (extent.high_face) {
      const int high = aspectOf(product, "high face" + along, faces.at(*extent.high_face));
      location("overall" + along, low[axis], high, extent.size_mm);
    }
  }
  for (const PartDimensions::Hole& hole : dimensions.holes) {
    const int aspect = aspectOf(product, "hole", faces.at(hole.face));
    addValue(entities_.add("DIMENSIONAL_SIZE(" + ref(aspect) + ",'diameter')"), hole.diameter_mm);
    for (int axis = 0; axis < 3; ++axis) {
      if (hole.from_low_mm[axis]) {
        location(std::string("hole along ") + kAxes[axis], low[axis], aspect,
                 *hole.from_low_mm[axis]);
      }
    }
  }
}

StepProduct StepAssembly::addMarker(const Part& what, int brep, const Rgb& colour) {
  const StepProduct product = addSolid(productName(job_, what.mark), what, brep);
  addColour(colour, brep);
  addValidation(what, product.definition_shape);
  return product;
}

StepProduct StepAssembly::addAssembly(const std::string& mark, const std::string& description,
                                      const std::vector<Occurrence>& children) {
  StepProduct product = addProduct(productName(job_, mark), description);
  std::vector<int> items = {origin_};
  for (const Occurrence& child : children) {
    items.push_back(addPlacement(child.location));
  }
  product.representation = entities_.add("SHAPE_REPRESENTATION(" + str(mark) + "," +
                                         part21References(items) + "," + ref(context_) + ")");
  entities_.add("SHAPE_DEFINITION_REPRESENTATION(" + ref(product.definition_shape) + "," +
                ref(product.representation) + ")");
  for (std::size_t i = 0; i < children.size(); ++i) {
    const Occurrence& child = children[i];
    // The name is the id too: unique in the file, whatever was written before.
    const int usage =
        entities_.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE(" + str(child.name) + "," + str(child.name) +
                      ",''," + ref(product.definition) + "," + ref(child.child.definition) + ",$)");
    const int placed = entities_.add(
        "PRODUCT_DEFINITION_SHAPE('Placement','Placement of an item'," + ref(usage) + ")");
    const int motion = entities_.add("ITEM_DEFINED_TRANSFORMATION('',''," + ref(origin_) + "," +
                                     ref(items[i + 1]) + ")");
    const int relation = entities_.add(
        "( REPRESENTATION_RELATIONSHIP('',''," + ref(child.child.representation) + "," +
        ref(product.representation) + ") REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(" +
        ref(motion) + ") SHAPE_REPRESENTATION_RELATIONSHIP() )");
    entities_.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(" + ref(relation) + "," + ref(placed) +
                  ")");
  }
  return product;
}

void StepAssembly::addColour(const Rgb& colour, int brep) {
  const int rgb = entities_.add("COLOUR_RGB(''," + part21Real(colour[0]) + "," +
                                part21Real(colour[1]) + "," + part21Real(colour[2]) + ")");
  const int fill = entities_.add("FILL_AREA_STYLE_COLOUR(''," + ref(rgb) + ")");
  const int style = entities_.add("FILL_AREA_STYLE('',(" + ref(fill) + "))");
  const int area = entities_.add("SURFACE_STYLE_FILL_AREA(" + ref(style) + ")");
  const int side = entities_.add("SURFACE_SIDE_STYLE('',(" + ref(area) + "))");
  const int usage = entities_.add("SURFACE_STYLE_USAGE(.BOTH.," + ref(side) + ")");
  const int assignment = entities_.add("PRESENTATION_STYLE_ASSIGNMENT((" + ref(usage) + "))");
  styled_items_.push_back(
      entities_.add("STYLED_ITEM('colour',(" + ref(assignment) + ")," + ref(brep) + ")"));
}

void StepAssembly::addProperty(const std::string& kind, const std::string& name, int of, int item) {
  const int property =
      entities_.add("PROPERTY_DEFINITION(" + str(kind) + "," + str(name) + "," + ref(of) + ")");
  const int representation =
      entities_.add("REPRESENTATION(" + str(name) + ",(" + ref(item) + ")," + ref(context_) + ")");
  entities_.add("PROPERTY_DEFINITION_REPRESENTATION(" + ref(property) + "," + ref(representation) +
                ")");
}

void StepAssembly::addMaterial(const Part& part, int definition) {
  const int item = entities_.add("DESCRIPTIVE_REPRESENTATION_ITEM(" + str(part.material) + "," +
                                 str(part.material) + ")");
  addProperty("material property", "material name", definition, item);
  if (part.density_kg_m3 > 0) {  // an envelope's mass is its supplier's
    const int density =
        entities_.add("MEASURE_REPRESENTATION_ITEM('density measure',POSITIVE_RATIO_MEASURE(" +
                      part21Real(part.density_kg_m3) + ")," + ref(density_unit_) + ")");
    addProperty("material property", "density", definition, density);
  }
}

void StepAssembly::addValidation(const Part& part, int definition_shape) {
  static const std::string kKind = "geometric validation property";
  const int area =
      entities_.add("MEASURE_REPRESENTATION_ITEM('surface area measure',AREA_MEASURE(" +
                    part21Real(part.area_mm2) + ")," + ref(area_unit_) + ")");
  addProperty(kKind, "surface area", definition_shape, area);
  const int volume = entities_.add("MEASURE_REPRESENTATION_ITEM('volume measure',VOLUME_MEASURE(" +
                                   part21Real(part.volume_mm3) + ")," + ref(volume_unit_) + ")");
  addProperty(kKind, "volume", definition_shape, volume);
  const auto& c = part.centroid_mm;
  const int centroid =
      entities_.add("CARTESIAN_POINT('centre point'," + part21Triple(c[0], c[1], c[2]) + ")");
  addProperty(kKind, "centroid", definition_shape, centroid);
}

void StepAssembly::addLayer(const std::string& name, const std::string& description,
                            const std::vector<int>& items) {
  entities_.add("PRESENTATION_LAYER_ASSIGNMENT(" + str(name) + "," + str(description) + "," +
                part21References(items) + ")");
}

void StepAssembly::finish() {
  entities_.add("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$," + part21References(products_) + ")");
  entities_.add("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION(''," +
                part21References(styled_items_) + "," + ref(context_) + ")");
}

}  // namespace leafstack
