#include "tests/part21/structure.h"

#include <algorithm>
#include <set>

#include "tests/part21/geometry/curve.h"

namespace leafstack::part21 {
namespace {

std::string idText(long id) {
  return "#" + std::to_string(id);
}

// a after b: the frame of b's coordinates, moved by a.
Frame compose(const Frame& a, const Frame& b) {
  Frame result;
  result.origin = a.toWorld(b.origin);
  result.x = b.x.x * a.x + b.x.y * a.y + b.x.z * a.z;
  result.y = b.y.x * a.x + b.y.y * a.y + b.y.z * a.z;
  result.z = b.z.x * a.x + b.z.y * a.y + b.z.z * a.z;
  return result;
}

Frame inverse(const Frame& f) {
  Frame result;
  result.x = {f.x.x, f.y.x, f.z.x};
  result.y = {f.x.y, f.y.y, f.z.y};
  result.z = {f.x.z, f.y.z, f.z.z};
  const Frame turned = {{0, 0, 0}, result.x, result.y, result.z};
  result.origin = -1.0 * turned.toWorld(f.origin);
  return result;
}

class Reader {
 public:
  explicit Reader(const File& file) : file_(file) {}

  Structure run() {
    readProducts();
    readOccurrences();
    readPlacements();
    readShapes();
    readUnits();
    readColours();
    readLayers();
    readProperties();
    for (const auto& [id, product] : result_.products)
      if (product.used == 0) result_.roots.push_back(id);
    checkCycles();
    return std::move(result_);
  }

 private:
  void problem(const std::string& text) { result_.problems.push_back(text); }

  const Record* get(long id, std::string_view keyword) const {
    const Instance* instance = file_.find(id);
    return instance == nullptr ? nullptr : instance->record(keyword);
  }

  void readProducts() {
    std::set<long> described;
    for (const long id : file_.all("PRODUCT_DEFINITION")) {
      const Value& formation = parameter(*get(id, "PRODUCT_DEFINITION"), 2);
      const Record* record = file_.follow(formation, "PRODUCT_DEFINITION_FORMATION");
      if (record == nullptr)
        record = file_.follow(formation, "PRODUCT_DEFINITION_FORMATION_WITH_SPECIFIED_SOURCE");
      const Record* product =
          record == nullptr ? nullptr : file_.follow(parameter(*record, 2), "PRODUCT");
      if (product == nullptr) {
        problem("product definition " + idText(id) + " has no product");
        continue;
      }
      described.insert(parameter(*record, 2).id);
      Product& entry = result_.products[id];
      entry.definition = id;
      entry.id = parameter(*product, 0).text;
      entry.name = parameter(*product, 1).text;
      entry.description = parameter(*product, 2).text;
    }
    for (const long id : file_.all("PRODUCT"))
      if (!described.contains(id)) problem("product " + idText(id) + " has no definition");
  }

  void readOccurrences() {
    for (const long id : file_.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")) {
      const Record& record = *get(id, "NEXT_ASSEMBLY_USAGE_OCCURRENCE");
      const auto parent = result_.products.find(parameter(record, 3).id);
      const auto child = result_.products.find(parameter(record, 4).id);
      if (parent == result_.products.end() || child == result_.products.end()) {
        problem("occurrence " + idText(id) + " does not join two products");
        continue;
      }
      Occurrence occurrence;
      occurrence.id = parameter(record, 0).text;
      occurrence.name = parameter(record, 1).text;
      occurrence.product = child->first;
      ++child->second.used;
      where_[id] = {parent->first, parent->second.components.size()};
      parent->second.components.push_back(occurrence);
    }
  }

  // Finds the product definition or occurrence a PRODUCT_DEFINITION_SHAPE speaks of.
  long shapeOwner(const Value& reference) const {
    const Record* shape = file_.follow(reference, "PRODUCT_DEFINITION_SHAPE");
    return shape == nullptr ? 0 : parameter(*shape, 2).id;
  }

  void readPlacements() {
    for (const long id : file_.all("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION")) {
      const Record& record = *get(id, "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION");
      const auto place = where_.find(shapeOwner(parameter(record, 1)));
      const Record* relation =
          file_.follow(parameter(record, 0), "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION");
      const Record* transform = relation == nullptr ? nullptr
                                                    : file_.follow(parameter(*relation, 0),
                                                                   "ITEM_DEFINED_TRANSFORMATION");
      if (place == where_.end() || transform == nullptr) {
        problem("placement " + idText(id) + " places no occurrence");
        continue;
      }
      const auto from = readFrame(file_, parameter(*transform, 2));
      const auto to = readFrame(file_, parameter(*transform, 3));
      Occurrence& occurrence =
          result_.products[place->second.first].components[place->second.second];
      if (!from || !to) {
        problem("placement " + idText(id) + " of " + occurrence.name + " is malformed");
        continue;
      }
      occurrence.placement = compose(*to, inverse(*from));
      occurrence.placed = true;
    }
    for (const auto& [id, product] : result_.products)
      for (const Occurrence& occurrence : product.components)
        if (!occurrence.placed) problem("occurrence " + occurrence.name + " is not placed");
  }

  void readShapes() {
    std::map<long, std::vector<long>> equivalent;  // representations with the same content
    for (const long id : file_.all("SHAPE_REPRESENTATION_RELATIONSHIP")) {
      const Instance& instance = *file_.find(id);
      // Complex instances with a transformation are placements, seen to above.
      if (instance.records.size() > 1) continue;
      const Record& record = instance.records.front();
      equivalent[parameter(record, 2).id].push_back(parameter(record, 3).id);
      equivalent[parameter(record, 3).id].push_back(parameter(record, 2).id);
    }
    for (const long id : file_.all("SHAPE_DEFINITION_REPRESENTATION")) {
      const Record& record = *get(id, "SHAPE_DEFINITION_REPRESENTATION");
      const auto product = result_.products.find(shapeOwner(parameter(record, 0)));
      if (product == result_.products.end()) continue;
      std::vector<long> representations = {parameter(record, 1).id};
      for (const long other : equivalent[representations.front()]) representations.push_back(other);
      for (const long representation : representations)
        collectSolids(representation, product->second);
    }
  }

  void collectSolids(long representation, Product& product) {
    const Instance* instance = file_.find(representation);
    if (instance == nullptr || instance->records.empty()) return;
    for (const Value& item : parameter(instance->records.front(), 1).items)
      if (file_.follow(item, "MANIFOLD_SOLID_BREP") != nullptr ||
          file_.follow(item, "BREP_WITH_VOIDS") != nullptr)
        product.solids.push_back(item.id);
  }

  std::string unitName(const Value& reference, std::string_view kind) const {
    if (file_.follow(reference, kind) == nullptr) return "";
    const Record* si = file_.follow(reference, "SI_UNIT");
    if (si == nullptr) return "not SI";
    const std::string prefix = parameter(*si, 0).text, base = parameter(*si, 1).text;
    if (base == "METRE") return prefix == "MILLI" ? "mm" : prefix.empty() ? "m" : prefix + " METRE";
    return prefix + base;
  }

  void readUnits() {
    std::set<std::string> lengths;
    for (const long id : file_.all("GLOBAL_UNIT_ASSIGNED_CONTEXT")) {
      // Also contexts of non-geometric representations; only those with lengths count.
      if (get(id, "GEOMETRIC_REPRESENTATION_CONTEXT") == nullptr) continue;
      std::string length_unit;
      for (const Value& unit : parameter(*get(id, "GLOBAL_UNIT_ASSIGNED_CONTEXT"), 0).items) {
        const std::string length_name = unitName(unit, "LENGTH_UNIT");
        if (!length_name.empty()) length_unit = length_name;
        const std::string angle = unitName(unit, "PLANE_ANGLE_UNIT");
        if (!angle.empty() && angle != "RADIAN") result_.angles_in_radians = false;
      }
      lengths.insert(length_unit);
    }
    if (lengths.size() == 1) result_.length_unit = *lengths.begin();
    if (!result_.angles_in_radians) problem("angles are not in radians");
  }

  // The first COLOUR_RGB under a style; styles are chains of four or five records.
  const Record* findColour(const Value& value, int depth) const {
    constexpr int kDeepestStyle = 12;
    if (depth > kDeepestStyle) return nullptr;
    if (value.isReference()) {
      const Instance* instance = file_.find(value.id);
      if (instance == nullptr) return nullptr;
      if (const Record* colour = instance->record("COLOUR_RGB")) return colour;
      for (const Record& record : instance->records)
        for (const Value& item : record.parameters)
          if (const Record* found = findColour(item, depth + 1)) return found;
    }
    for (const Value& item : value.items)
      if (const Record* found = findColour(item, depth + 1)) return found;
    return nullptr;
  }

  void readColours() {
    for (const char* keyword : {"STYLED_ITEM", "OVER_RIDING_STYLED_ITEM"})
      for (const long id : file_.all(keyword)) {
        const Record& record = *get(id, keyword);
        const Record* colour = findColour(parameter(record, 1), 0);
        if (colour == nullptr) continue;
        result_.colours[parameter(record, 2).id] = {parameter(*colour, 1).number,
                                                    parameter(*colour, 2).number,
                                                    parameter(*colour, 3).number};
      }
  }

  void readLayers() {
    for (const long id : file_.all("PRESENTATION_LAYER_ASSIGNMENT")) {
      const Record& record = *get(id, "PRESENTATION_LAYER_ASSIGNMENT");
      std::vector<long>& items = result_.layers[parameter(record, 0).text];
      for (const Value& item : parameter(record, 2).items) items.push_back(item.id);
    }
  }

  PropertyItem readItem(const Value& reference) const {
    PropertyItem item;
    const Instance* instance = reference.isReference() ? file_.find(reference.id) : nullptr;
    if (instance == nullptr) return item;
    for (const Record& record : instance->records)
      for (const Value& value : record.parameters) {
        if (value.kind == Value::Kind::kTyped && value.items.front().isNumber())
          item.number = value.items.front().number;
        if (value.kind == Value::Kind::kString && &value != &record.parameters.front())
          item.text = value.text;
      }
    item.name = parameter(instance->records.front(), 0).text;
    item.point = readPoint(file_, reference);
    return item;
  }

  void readProperties() {
    for (const long id : file_.all("PROPERTY_DEFINITION_REPRESENTATION")) {
      const Record& link = *get(id, "PROPERTY_DEFINITION_REPRESENTATION");
      const Record* definition = file_.follow(parameter(link, 0), "PROPERTY_DEFINITION");
      if (definition == nullptr) continue;
      long owner = parameter(*definition, 2).id;
      if (!result_.products.contains(owner)) owner = shapeOwner(parameter(*definition, 2));
      const auto product = result_.products.find(owner);
      const Instance* representation = file_.find(parameter(link, 1).id);
      if (product == result_.products.end() || representation == nullptr) continue;
      Property property{parameter(*definition, 0).text, parameter(*definition, 1).text, {}};
      for (const Value& item : parameter(representation->records.front(), 1).items)
        property.items.push_back(readItem(item));
      product->second.properties.push_back(std::move(property));
    }
  }

  void checkCycles() {
    std::map<long, int> state;  // 1 on the way down, 2 done
    for (const auto& [id, product] : result_.products)
      if (state[id] == 0 && cyclic(id, state)) return problem("a product contains itself");
  }

  bool cyclic(long id, std::map<long, int>& state) const {
    state[id] = 1;
    for (const Occurrence& occurrence : result_.products.at(id).components) {
      if (state[occurrence.product] == 1) return true;
      if (state[occurrence.product] == 0 && cyclic(occurrence.product, state)) return true;
    }
    state[id] = 2;
    return false;
  }

  const File& file_;
  Structure result_;
  std::map<long, std::pair<long, std::size_t>> where_;  // occurrence -> product, component
};

}  // namespace

Structure readStructure(const File& file) {
  return Reader(file).run();
}

}  // namespace leafstack::part21
