// What an exchange file says about products: the assembly tree with its names and placements,
// units, colours, layers and properties.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/part21/geometry/vec.h"
#include "tests/part21/part21.h"

namespace leafstack::part21 {

/// One value of a property: a number, a text or a point.
struct PropertyItem {
  std::string name;
  std::string text;
  std::optional<double> number;
  std::optional<Vec3> point;
};

/// A PROPERTY_DEFINITION with its representation, e.g. "geometric validation property".
struct Property {
  std::string name, description;
  std::vector<PropertyItem> items;
};

/// One component of an assembly product: a NEXT_ASSEMBLY_USAGE_OCCURRENCE.
struct Occurrence {
  std::string id, name;
  long product = 0;  ///< PRODUCT_DEFINITION of the component
  Frame placement;   ///< component's frame -> assembly's frame
  bool placed = false;
};

struct Product {
  long definition = 0;  ///< id of the PRODUCT_DEFINITION
  std::string id, name, description;
  std::vector<Occurrence> components;
  std::vector<long> solids;  ///< ids of MANIFOLD_SOLID_BREP or BREP_WITH_VOIDS
  int used = 0;              ///< occurrences of this product in the whole file
  std::vector<Property> properties;
};

/// The first word of its name: products of parts are named "BR1 bottom rail".
inline std::string markOf(const Product& product) {
  return product.name.substr(0, product.name.find(' '));
}

struct Structure {
  std::map<long, Product> products;  ///< by PRODUCT_DEFINITION
  std::vector<long> roots;           ///< products that are nobody's component
  std::string length_unit;           ///< "mm", "m", … or "" where units differ or lack
  bool angles_in_radians = true;
  /// Colour of each styled solid, face or shape, sRGB 0 to 1, by id of the item.
  std::map<long, std::array<double, 3>> colours;
  std::map<std::string, std::vector<long>> layers;
  std::vector<std::string> problems;
};

Structure readStructure(const File& file);

}  // namespace leafstack::part21
