#include "exporters/cad/ifc/ifc.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include "exporters/cad/bcf/guid.h"
#include "exporters/cad/ifc/ifc_classes.h"
#include "exporters/cad/ifc/ifc_entities.h"
#include "exporters/cad/ifc/ifc_shapes.h"
#include "exporters/cad/panel_name.h"
#include "exporters/cad/step/step.h"
#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

constexpr double kMillimetres = 1000;  // in a metre
constexpr double kCubicMetre = 1e9;    // of cubic millimetres
constexpr double kSpaceTransparency = 0.8;
constexpr Rgb kSpaceColour = {0.95, 0.65, 0.1};
constexpr const char* kNone = "$";

std::string textOrNone(std::string_view text) {
  return text.empty() ? kNone : part21String(text);
}

/// IFC4 has no offset in its times.
std::string header(const Model& model, const Provenance& provenance) {
  const JobSpec& job = model.spec.job;
  std::string time = provenance.timestamp;
  if (time.ends_with('Z')) {
    time.pop_back();
  }
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('ViewDefinition [ReferenceView_V1.2]'," +
         part21String("input sha256 " + provenance.input_sha256) + "),'2;1');\nFILE_NAME(" +
         part21String("gate.ifc") + ",'" + time + "',(" + part21String(job.drawn_by) + "),(" +
         part21String(job.company) + ")," + part21String(programName()) + "," +
         part21String(programName()) + "," + part21String(job.checked_by) +
         ");\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n";
}

/// Thread and length of what is screwed, by part.
std::map<int, const Fastening*> fasteningsByPart(const Model& model) {
  std::map<int, const Fastening*> by_part;
  for (const Fastening& fastening : model.fastenings) {
    for (const int instance : {fastening.screw, fastening.washer, fastening.nut}) {
      if (instance >= 0) {
        by_part.try_emplace(model.instances[instance].part, &fastening);
      }
    }
  }
  return by_part;
}

class IfcWriter {
 public:
  explicit IfcWriter(const Model& model)
      : model_(model), scope_(jobScope(model.spec.job)), fastened_(fasteningsByPart(model)) {}

  std::string data() {
    addProject();
    const int site = addSite();
    addTypes();
    const int gate =
        addAssembly("gate", productName(model_.spec.job, "GATE"), gateTitle(model_), "gate", 0);
    contained_.push_back(gate);
    addPanels(gate);
    addSpaces();
    relate("IFCRELCONTAINEDINSPATIALSTRUCTURE", "contained",
           {part21References(contained_), ifcRef(site)});
    return entities_.text();
  }

 private:
  std::string guid(const std::string& name) const { return ifcGuid(nameGuid(scope_, name)); }

  /// GlobalId, no owner's history, name, description.
  std::vector<std::string> root(const std::string& id, const std::string& name,
                                const std::string& description) const {
    return {part21String(guid(id)), kNone, textOrNone(name), textOrNone(description)};
  }

  int addRooted(std::string_view entity, std::vector<std::string> attributes,
                const std::vector<std::string>& more) {
    attributes.insert(attributes.end(), more.begin(), more.end());
    return entities_.add(entity, attributes);
  }

  int relate(std::string_view entity, const std::string& id, const std::vector<std::string>& more) {
    return addRooted(entity, root("relation " + id, "", ""), more);
  }

  int siUnit(std::string_view kind, std::string_view prefix, std::string_view name) {
    return entities_.add(
        "IFCSIUNIT", {"*", ifcWord(kind), prefix.empty() ? kNone : ifcWord(prefix), ifcWord(name)});
  }

  int addUnits() {
    const int mm = siUnit("LENGTHUNIT", "MILLI", "METRE");
    const int square = siUnit("AREAUNIT", "", "SQUARE_METRE");
    const int cubic = siUnit("VOLUMEUNIT", "", "CUBIC_METRE");
    const int kilogram = siUnit("MASSUNIT", "KILO", "GRAM");
    const int radian = siUnit("PLANEANGLEUNIT", "", "RADIAN");
    const int metre = siUnit("LENGTHUNIT", "", "METRE");
    const int mass_part = entities_.add("IFCDERIVEDUNITELEMENT", {ifcRef(kilogram), "1"});
    const int length_part = entities_.add("IFCDERIVEDUNITELEMENT", {ifcRef(metre), "-3"});
    const int density = entities_.add("IFCDERIVEDUNIT", {part21References({mass_part, length_part}),
                                                         ifcWord("MASSDENSITYUNIT"), kNone});
    return entities_.add("IFCUNITASSIGNMENT",
                         {part21References({mm, square, cubic, kilogram, radian, density})});
  }

  void addProject() {
    const int units = addUnits();
    const int origin = entities_.placement(TopLoc_Location());
    const int context = entities_.add(
        "IFCGEOMETRICREPRESENTATIONCONTEXT",
        {kNone, part21String("Model"), "3", part21Real(1e-5), ifcRef(origin), ifcRef(addNorth())});
    addMap(context);
    body_ = entities_.add("IFCGEOMETRICREPRESENTATIONSUBCONTEXT",
                          {part21String("Body"), part21String("Model"), "*", "*", "*", "*",
                           ifcRef(context), kNone, ifcWord("MODEL_VIEW"), kNone});
    const JobSpec& job = model_.spec.job;
    project_ = addRooted(
        "IFCPROJECT", root("project", job.number.empty() ? "gate" : job.number, gateTitle(model_)),
        {kNone, textOrNone(job.title), kNone, part21References({context}), ifcRef(units)});
  }

  /// Seen in the plane of the ground: +Y has the bearing that is given.
  int addNorth() {
    const double bearing = bearingRad();
    return entities_.add("IFCDIRECTION", {"(" + part21Real(-std::sin(bearing)) + "," +
                                          part21Real(std::cos(bearing)) + ")"});
  }

  double bearingRad() const { return model_.spec.site.north_deg * std::numbers::pi / 180; }

  /// Where the gate stands on the map's grid, if that is given.
  void addMap(int context) {
    const SiteSpec& site = model_.spec.site;
    if (site.easting_m == 0 && site.northing_m == 0 && site.elevation_mm == 0) {
      return;
    }
    const int metre = siUnit("LENGTHUNIT", "", "METRE");
    const int grid = entities_.add("IFCPROJECTEDCRS", {part21String("the map's grid"), kNone, kNone,
                                                       kNone, kNone, kNone, ifcRef(metre)});
    const double turn = bearingRad();
    entities_.add(
        "IFCMAPCONVERSION",
        {ifcRef(context), ifcRef(grid), part21Real(site.easting_m), part21Real(site.northing_m),
         part21Real(site.elevation_mm / kMillimetres), part21Real(std::cos(turn)),
         part21Real(-std::sin(turn)), part21Real(1 / kMillimetres)});
  }

  int addSite() {
    site_place_ = entities_.localPlacement(0, TopLoc_Location());
    const int site = addRooted("IFCSITE", root("site", "site", ""),
                               {kNone, ifcRef(site_place_), kNone, kNone, ifcWord("ELEMENT"), kNone,
                                kNone, kNone, kNone, kNone});
    relate("IFCRELAGGREGATES", "site", {ifcRef(project_), part21References({site})});
    return site;
  }

  int shapeOf(const IfcItem& item) {
    return entities_.add("IFCSHAPEREPRESENTATION",
                         {ifcRef(body_), part21String("Body"), part21String(item.type),
                          part21References({item.item})});
  }

  // ------------------------------------------------------------------ parts

  struct Type {
    IfcClass what;
    int type = 0, map = 0;
    std::vector<int> occurrences;
  };

  int property(const char* name, const char* measure, const std::string& value) {
    return entities_.add(
        "IFCPROPERTYSINGLEVALUE",
        {part21String(name), kNone, std::string(measure) + "(" + value + ")", kNone});
  }

  int addProperties(const Part& part) {
    std::vector<int> properties = {property("Mark", "IFCIDENTIFIER", part21String(part.mark)),
                                   property("Name", "IFCLABEL", part21String(part.name))};
    if (!part.section.empty()) {
      properties.push_back(property("Section", "IFCLABEL", part21String(part.section)));
    }
    properties.push_back(property("Material", "IFCLABEL", part21String(part.material)));
    properties.push_back(property("Supply", "IFCLABEL", part21String(toString(part.supply))));
    if (part.length_mm > 0) {
      properties.push_back(
          property("Length", "IFCPOSITIVELENGTHMEASURE", part21Real(part.length_mm)));
    }
    if (part.massKg() > 0) {
      properties.push_back(property("Mass", "IFCMASSMEASURE", part21Real(part.massKg())));
    }
    return addRooted("IFCPROPERTYSET", root("properties " + part.mark, "Leafstack_Part", ""),
                     {part21References(properties)});
  }

  int addQuantities(const Part& part, const IfcClass& what) {
    const auto quantity = [&](const char* entity, const char* name, double value) {
      return entities_.add(entity, {part21String(name), kNone, kNone, part21Real(value), kNone});
    };
    std::vector<int> quantities = {
        quantity("IFCQUANTITYVOLUME", "NetVolume", part.volume_mm3 / kCubicMetre)};
    if (part.massKg() > 0) {
      quantities.push_back(quantity("IFCQUANTITYWEIGHT", "NetWeight", part.massKg()));
    }
    if (what.entity == "IFCMEMBER") {
      quantities.push_back(quantity("IFCQUANTITYLENGTH", "Length", part.length_mm));
    }
    return addRooted("IFCELEMENTQUANTITY",
                     root("quantities " + part.mark, std::string(what.quantities), ""),
                     {kNone, part21References(quantities)});
  }

  /// Thread and length, of fasteners that there is a place of.
  std::vector<std::string> nominalSizes(int part) const {
    const auto found = fastened_.find(part);
    if (found == fastened_.end()) {
      return {kNone, kNone};
    }
    const PartKind kind = model_.parts[part].kind;
    const bool is_long = kind == PartKind::kScrew || kind == PartKind::kAnchor;
    return {part21Real(found->second->thread_mm),
            is_long ? part21Real(found->second->length_mm) : kNone};
  }

  Type addType(int index, const IfcShape& shape) {
    const Part& part = model_.parts[index];
    Type type{ifcClassOf(part), 0, 0, {}};
    const IfcItem item = addShape(entities_, part, shape);
    addColour(entities_, item.item, materialColour(part.material), 0);
    const int origin = entities_.placement(TopLoc_Location());
    type.map = entities_.add("IFCREPRESENTATIONMAP", {ifcRef(origin), ifcRef(shapeOf(item))});
    std::vector<std::string> more = {
        kNone,
        part21References({addProperties(part), addQuantities(part, type.what)}),
        part21References({type.map}),
        part21String(part.mark),
        part21String(part.name),
        ifcWord(type.what.predefined)};
    if (type.what.isFastener()) {
      const auto sizes = nominalSizes(index);
      more.insert(more.end(), sizes.begin(), sizes.end());
    }
    type.type =
        addRooted(std::string(type.what.entity) + "TYPE",
                  root("part " + part.mark, part.mark + " " + part.name, part.section), more);
    return type;
  }

  void addTypes() {
    const std::vector<IfcShape> shapes = ifcShapes(model_);
    std::map<std::string, std::vector<int>> by_material;
    for (int i = 0; i < static_cast<int>(shapes.size()); ++i) {
      types_.push_back(addType(i, shapes[i]));
      by_material[model_.parts[i].material].push_back(i);
    }
    for (const auto& [name, parts] : by_material) {
      addMaterial(name, parts);
    }
  }

  void addMaterial(const std::string& name, const std::vector<int>& parts) {
    const int material = entities_.add("IFCMATERIAL", {part21String(name), kNone, kNone});
    if (const double density = model_.parts[parts.front()].density_kg_m3; density > 0) {
      const int value = property("MassDensity", "IFCMASSDENSITYMEASURE", part21Real(density));
      entities_.add("IFCMATERIALPROPERTIES", {part21String("Pset_MaterialCommon"), kNone,
                                              part21References({value}), ifcRef(material)});
    }
    std::vector<int> types;
    for (const int part : parts) {
      types.push_back(types_[part].type);
    }
    relate("IFCRELASSOCIATESMATERIAL", "material " + name,
           {part21References(types), ifcRef(material)});
  }

  int addOccurrence(int index, int panel_place) {
    const Instance& instance = model_.instances[index];
    const Part& part = model_.parts[instance.part];
    Type& type = types_[instance.part];
    const int mapped = entities_.add("IFCMAPPEDITEM", {ifcRef(type.map), ifcRef(unmoved())});
    const int shape = shapeOf({mapped, "MappedRepresentation"});
    const int definition =
        entities_.add("IFCPRODUCTDEFINITIONSHAPE", {kNone, kNone, part21References({shape})});
    const std::string name = model_.instanceName(index);
    std::vector<std::string> more = {
        part21String(part.name), ifcRef(entities_.localPlacement(panel_place, instance.at_closed)),
        ifcRef(definition), part21String(part.mark)};
    if (type.what.isFastener()) {
      const auto sizes = nominalSizes(instance.part);
      more.insert(more.end(), sizes.begin(), sizes.end());
    }
    more.push_back(ifcWord(type.what.predefined));
    std::vector<std::string> attributes = {part21String(instanceIfcGuid(model_.spec.job, name)),
                                           kNone, part21String(name),
                                           part21String(part.mark + " " + part.name)};
    const int occurrence = addRooted(type.what.entity, std::move(attributes), more);
    type.occurrences.push_back(occurrence);
    return occurrence;
  }

  int unmoved() {
    if (unmoved_ == 0) {
      unmoved_ = entities_.add("IFCCARTESIANTRANSFORMATIONOPERATOR3D",
                               {kNone, kNone, ifcRef(entities_.point({0, 0, 0})), kNone, kNone});
    }
    return unmoved_;
  }

  // ------------------------------------------------------------------ tree

  int addAssembly(const std::string& id, const std::string& name, const std::string& description,
                  const std::string& what, int relative_to) {
    const int place =
        entities_.localPlacement(relative_to == 0 ? site_place_ : relative_to, TopLoc_Location());
    place_ = place;
    return addRooted("IFCELEMENTASSEMBLY", root(id, name, description),
                     {part21String(what), ifcRef(place), kNone, kNone, ifcWord("NOTDEFINED"),
                      ifcWord("USERDEFINED")});
  }

  void addPanels(int gate) {
    const int gate_place = place_;
    std::vector<int> panels;
    for (int panel = 0; panel < static_cast<int>(model_.speed_ratio.size()); ++panel) {
      const std::string name = panelName(panel);
      const int assembly =
          addAssembly("panel " + name, productName(model_.spec.job, name),
                      panel == 0 ? "what does not move" : "panel " + std::to_string(panel),
                      panel == 0 ? "fixed parts" : "panel", gate_place);
      const int panel_place = place_;
      std::vector<int> occurrences;
      for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
        if (model_.instances[i].panel == panel) {
          occurrences.push_back(addOccurrence(i, panel_place));
        }
      }
      relate("IFCRELAGGREGATES", name, {ifcRef(assembly), part21References(occurrences)});
      panels.push_back(assembly);
    }
    relate("IFCRELAGGREGATES", "gate", {ifcRef(gate), part21References(panels)});
    for (std::size_t i = 0; i < types_.size(); ++i) {
      if (!types_[i].occurrences.empty()) {
        relate("IFCRELDEFINESBYTYPE", "type " + model_.parts[i].mark,
               {part21References(types_[i].occurrences), ifcRef(types_[i].type)});
      }
    }
  }

  void addSpaces() {
    for (const SweptSpace& space : sweptSpaces(model_)) {
      const IfcItem item = addSpace(entities_, space);
      addColour(entities_, item.item, kSpaceColour, kSpaceTransparency);
      const int definition = entities_.add("IFCPRODUCTDEFINITIONSHAPE",
                                           {kNone, kNone, part21References({shapeOf(item)})});
      const std::string name = "swept space of " + panelName(space.panel);
      contained_.push_back(addRooted(
          "IFCBUILDINGELEMENTPROXY",
          root(name, name, "what the panel takes up on its way from closed to open; no part"),
          {part21String("swept space"),
           ifcRef(entities_.localPlacement(site_place_, TopLoc_Location())), ifcRef(definition),
           kNone, ifcWord("PROVISIONFORSPACE")}));
    }
  }

  const Model& model_;
  std::string scope_;
  std::map<int, const Fastening*> fastened_;
  IfcEntities entities_;
  std::vector<Type> types_;  ///< by part
  std::vector<int> contained_;
  int project_ = 0, body_ = 0, site_place_ = 0, place_ = 0, unmoved_ = 0;
};

}  // namespace

std::string ifcFile(const Model& model, const Provenance& provenance) {
  return header(model, provenance) + IfcWriter(model).data() + "ENDSEC;\nEND-ISO-10303-21;\n";
}

}  // namespace leafstack
