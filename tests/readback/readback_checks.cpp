#include "tests/readback/readback_checks.h"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <map>
#include <optional>
#include <regex>
#include <set>

#include "tests/part21/brep.h"
#include "tests/part21/structure.h"
#include "tests/readback/readback_report.h"

namespace leafstack::readback {
namespace {

using part21::Measure;
using part21::Occurrence;
using part21::Product;
using part21::Vec3;

std::string number(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

bool agree(double a, double b, double rounding) {
  return std::abs(a - b) <= rounding + kRelativeTolerance * std::abs(b);
}

// One file, read and measured.
struct Document {
  std::string path;
  part21::File file;
  part21::Structure structure;
  std::map<long, part21::Solid> solids;
  std::map<long, Measure> measures;
};

struct PlacedPart {
  std::string panel;
  part21::Frame placement;
};

class Checker {
 public:
  explicit Checker(std::string folder) : folder_(std::move(folder)) {}

  Outcome run() {
    report_ = readReport(folder_, outcome_.problems);
    if (report_.parts.empty()) return outcome_;
    const Document closed = load("gate.step"), open = load("gate-open.step");
    for (const Document* gate : {&closed, &open}) checkGate(*gate);
    if (std::filesystem::exists(folder_ + "/gate-as-built.step"))
      checkAsBuilt(closed, load("gate-as-built.step"));
    checkMotion(closed, open);
    checkPartFiles(closed);
    return outcome_;
  }

 private:
  void problem(const std::string& where, const std::string& text) {
    outcome_.problems.push_back(where + ": " + text);
  }

  Document load(const std::string& path) {
    Document document;
    document.path = path;
    document.file = part21::readFile(folder_ + "/" + path);
    ++outcome_.files;
    for (const part21::Problem& found : document.file.problems)
      problem(path, "line " + std::to_string(found.line) + ": " + found.text);
    document.structure = part21::readStructure(document.file);
    for (const std::string& text : document.structure.problems) problem(path, text);
    if (document.structure.length_unit != "mm")
      problem(path, "lengths are not in mm but '" + document.structure.length_unit + "'");
    document.solids = part21::readSolids(document.file);
    for (const auto& [id, solid] : document.solids) measureSolid(document, solid);
    return document;
  }

  void measureSolid(Document& document, const part21::Solid& solid) {
    ++outcome_.solids;
    const std::string where = document.path + ": solid #" + std::to_string(solid.id);
    for (const std::string& text : solid.problems) problem(where, text);
    Measure& measure = document.measures[solid.id];
    measure = part21::measure(document.file, solid);
    for (const std::string& text : measure.problems) problem(where, text);
  }

  // The same instances under the same names as drawn, wherever they stand and however long they
  // are.
  void checkAsBuilt(const Document& drawn, const Document& built) {
    checkProductNames(built);
    const auto namesOf = [](const Document& document) {
      std::multiset<std::string> names;
      for (const auto& [id, product] : document.structure.products)
        for (const Occurrence& one : product.components) names.insert(one.name);
      return names;
    };
    if (namesOf(drawn) != namesOf(built))
      problem(built.path, "its occurrences are not named as those of " + drawn.path);
    checkAllPartsUsed(built);
  }

  // R1, R2 and R3.
  void checkGate(const Document& gate) {
    checkProductNames(gate);
    if (gate.structure.roots.size() != 1)
      return problem(gate.path, std::to_string(gate.structure.roots.size()) +
                                    " products are nobody's component, not 1");
    const Product& root = gate.structure.products.at(gate.structure.roots.front());
    std::set<std::string> names, panels;
    std::map<std::string, std::map<int, int>> counts;
    for (const Occurrence& panel : root.components) {
      checkPanel(gate, panel, names, counts);
      panels.insert(panel.name);
    }
    for (std::size_t k = 0; k < report_.open.size(); ++k)
      if (!panels.contains(panelName(k) + ".1")) problem(gate.path, "no " + panelName(k) + ".1");
    if (panels.size() != report_.open.size() || root.components.size() != panels.size())
      problem(gate.path, std::to_string(root.components.size()) + " panels, not P0 to P" +
                             std::to_string(report_.open.size() - 1) + " once each");
    compareCounts(gate, counts);
    checkAllPartsUsed(gate);
  }

  static std::string panelName(std::size_t k) {
    std::string name = "P";
    return name.append(std::to_string(k));
  }

  void checkProductNames(const Document& document) {
    static const std::set<std::string> kKernelNames = {"",      "SOLID",     "COMPOUND", "SHELL",
                                                       "SHAPE", "COMPSOLID", "ASSEMBLY", "PRODUCT"};
    static const std::regex kKernelPattern("Open CASCADE.*|=>.*|.*:[0-9]+");
    std::set<std::string> names;
    for (const auto& [id, product] : document.structure.products) {
      if (product.id != product.name)
        problem(document.path, product.name + " has another product number, " + product.id);
      if (!names.insert(product.name).second)
        problem(document.path, "two products are called " + product.name);
      if (kKernelNames.contains(product.name) || std::regex_match(product.name, kKernelPattern))
        problem(document.path, "a product is called '" + product.name + "'");
    }
  }

  void checkPanel(const Document& gate, const Occurrence& panel, std::set<std::string>& names,
                  std::map<std::string, std::map<int, int>>& counts) {
    static const std::regex kPanel("P([0-9]+)\\.1");
    std::smatch match;
    const Product& product = gate.structure.products.at(panel.product);
    if (!std::regex_match(panel.name, match, kPanel) || panel.name != markOf(product) + ".1")
      return problem(gate.path, "occurrence '" + panel.name + "' of '" + product.name +
                                    "' is not named P<k>.1");
    if (!product.solids.empty()) problem(gate.path, product.name + " has a solid of its own");
    if (product.used != 1) problem(gate.path, product.name + " occurs more than once");
    names.insert(panel.name);
    const int number_of_panel = std::stoi(match[1]);
    for (const Occurrence& part : product.components) {
      ++outcome_.occurrences;
      const Product& what = gate.structure.products.at(part.product);
      if (!names.insert(part.name).second)
        problem(gate.path, "two occurrences are called " + part.name);
      checkOccurrenceName(gate, part, what);
      if (!what.components.empty())
        problem(gate.path, what.name + " in " + product.name + " is an assembly, not a part");
      ++counts[markOf(what)][number_of_panel];
    }
  }

  void checkOccurrenceName(const Document& gate, const Occurrence& part, const Product& what) {
    static const std::regex kSerial("\\.[1-9][0-9]*");
    const std::string mark = markOf(what);
    const bool good =
        part.name.starts_with(mark) && std::regex_match(part.name.substr(mark.size()), kSerial);
    if (!good)
      problem(gate.path, "occurrence '" + part.name + "' of " + what.name +
                             " is not named by mark and serial");
  }

  void compareCounts(const Document& gate,
                     const std::map<std::string, std::map<int, int>>& counts) {
    for (const auto& [mark, part] : report_.parts) {
      const auto found = counts.find(mark);
      if (found == counts.end()) {
        problem(gate.path, mark + " of the report is missing");
      } else if (found->second != part.per_panel) {
        int total = 0;
        for (const auto& [panel, count] : found->second) total += count;
        problem(gate.path, mark + " occurs " + std::to_string(total) +
                               " times, or in other panels than the report's " +
                               std::to_string(part.quantity));
      }
    }
    for (const auto& [mark, per_panel] : counts)
      if (!report_.parts.contains(mark)) problem(gate.path, mark + " is not in the report");
  }

  void checkAllPartsUsed(const Document& gate) {
    std::size_t in_products = 0;
    for (const auto& [id, product] : gate.structure.products) {
      in_products += product.solids.size();
      const auto part = report_.parts.find(markOf(product));
      if (part != report_.parts.end()) {
        checkPartProduct(gate, product, part->second);
        if (!product.name.starts_with(part->second.mark + " " + part->second.name))
          problem(gate.path, "a product is called " + product.name);
      }
    }
    if (in_products != gate.solids.size()) problem(gate.path, "some solids belong to no product");
    checkLayers(gate);
  }

  // R8.
  void checkLayers(const Document& gate) {
    std::map<std::string, std::set<long>> expected;
    for (const auto& [id, product] : gate.structure.products) {
      const auto part = report_.parts.find(markOf(product));
      if (part != report_.parts.end() && part->second.per_panel.size() == 1) {
        const int panel = part->second.per_panel.begin()->first;
        expected[panelName(static_cast<std::size_t>(panel))].insert(product.solids.begin(),
                                                                    product.solids.end());
      }
    }
    std::map<std::string, std::set<long>> found;
    for (const auto& [name, items] : gate.structure.layers)
      found[name].insert(items.begin(), items.end());
    if (found != expected) problem(gate.path, "layers hold other than what one panel alone has");
  }

  // R3 and R4 for one part's product.
  void checkPartProduct(const Document& document, const Product& product, const ReportPart& part) {
    const std::string where = document.path + ": " + part.mark;
    if (product.solids.size() != 1)
      return problem(where, std::to_string(product.solids.size()) + " solids, not 1");
    const long solid = product.solids.front();
    const auto found = document.measures.find(solid);
    if (found == document.measures.end() || !found->second.computed)
      return problem(where, "volume not computed");
    const Measure& measure = found->second;
    // On uneven ground ropes change their length a little: the open gate draws them so, and ends of
    // strands cut square to the rail: at a fleet angle of 1.5 degrees 0.1 mm of 300.
    constexpr double kSlantingMm = 0.1;
    const bool is_rope = part.name.ends_with(" rope") && document.path == "gate-open.step" &&
                         report_.rope_error_mm > 0;
    const double change = is_rope ? (report_.rope_error_mm + kSlantingMm) / part.length_mm : 0;
    if (change == 0)
      outcome_.worst_relative =
          std::max({outcome_.worst_relative, std::abs(measure.volume / part.volume_mm3 - 1),
                    std::abs(measure.area / part.area_mm2 - 1)});
    if (!agree(measure.volume, part.volume_mm3, kRounding + change * part.volume_mm3))
      problem(where,
              "volume " + number(measure.volume) + " mm3, report " + number(part.volume_mm3));
    if (!agree(measure.area, part.area_mm2, kRounding + change * part.area_mm2))
      problem(where, "area " + number(measure.area) + " mm2, report " + number(part.area_mm2));
    if (!document.structure.colours.contains(solid)) problem(where, "has no colour");
    checkProperties(where, product, part, measure);
  }

  static std::optional<part21::PropertyItem> property(const Product& product,
                                                      const std::string& description) {
    for (const part21::Property& candidate : product.properties)
      if (candidate.description == description && candidate.items.size() == 1)
        return candidate.items.front();
    return std::nullopt;
  }

  void checkProperties(const std::string& where, const Product& product, const ReportPart& part,
                       const Measure& measure) {
    const auto volume = property(product, "volume"), area = property(product, "surface area"),
               centroid = property(product, "centroid"), density = property(product, "density");
    if (!volume || !volume->number || !agree(measure.volume, *volume->number, 0))
      problem(where, "validation property volume is missing or wrong");
    if (!area || !area->number || !agree(measure.area, *area->number, 0))
      problem(where, "validation property surface area is missing or wrong");
    const double size = std::cbrt(measure.volume);
    if (!centroid || !centroid->point ||
        length(*centroid->point - measure.centroid) >
            kRelativeTolerance * (size + part.length_mm) + kPositionMm)
      problem(where, "validation property centroid is missing or wrong");
    if (!property(product, "material name")) problem(where, "has no material");
    if (part.density_kg_m3 > 0 &&
        (!density || !density->number || !agree(*density->number, part.density_kg_m3, kRounding)))
      problem(where, "density is missing or differs from the report's");
  }

  static std::map<std::string, PlacedPart> placements(const Document& gate) {
    std::map<std::string, PlacedPart> placed;
    if (gate.structure.roots.size() != 1) return placed;
    const Product& root = gate.structure.products.at(gate.structure.roots.front());
    for (const Occurrence& panel : root.components) {
      placed[panel.name] = {"", panel.placement};
      for (const Occurrence& part : gate.structure.products.at(panel.product).components)
        placed[part.name] = {panel.name, part.placement};
    }
    return placed;
  }

  // R5.
  void checkMotion(const Document& closed, const Document& open) {
    const auto before = placements(closed), after = placements(open);
    double sign = 0;
    for (const auto& [name, place] : before) {
      const auto found = after.find(name);
      if (found == after.end()) {
        problem(open.path, name + " of gate.step is missing");
        continue;
      }
      if (found->second.panel != place.panel) problem(open.path, name + " changes its panel");
      const Vec3 moved = found->second.placement.origin - place.placement.origin;
      const Vec3 x_turned = found->second.placement.x - place.placement.x;
      const Vec3 z_turned = found->second.placement.z - place.placement.z;
      if (place.panel.empty()) {
        const OpenMotion motion = motionOf(name);
        if (sign == 0 && motion.x_mm != 0) sign = moved.x > 0 ? 1 : -1;
        // Panels stand unturned when closed, so what they are turned by is what they turn by.
        const double turn = (sign == 0 ? 1 : sign) * motion.turn_rad;
        const Vec3 along{std::cos(turn) - 1, 0, std::sin(turn)};
        if (length(x_turned - along) > 1e-9)
          problem(open.path, name + " is not turned as the report says");
        if (length(moved - Vec3{sign * motion.x_mm, 0, motion.z_mm}) > kRounding + kPositionMm)
          problem(open.path, name + " moves by " + number(moved.x) + ", " + number(moved.z) +
                                 " where it should by " + number(sign * motion.x_mm) + ", " +
                                 number(motion.z_mm));
        continue;
      }
      // Within their panels only guide blocks move, as far as they float; pivoted ones with their
      // jaws and bolts.
      const bool is_block =
          name.starts_with("GB") || name.starts_with("GJ") || name.starts_with("VB");
      const double may_move =
          is_block ? report_.most_float_mm * (1 + 2 * report_.most_turn_rad) : 0;
      const double may_turn = is_block ? 2 * report_.most_turn_rad : 0;
      if (length(x_turned) > 1e-9 + may_turn || length(z_turned) > 1e-9 + may_turn)
        problem(open.path, name + " is turned between closed and open");
      if (length(moved) > kRounding + kPositionMm + may_move)
        problem(open.path, name + " moves by " + number(length(moved)) + " in its panel");
    }
    if (before.size() != after.size()) problem(open.path, "has other occurrences than gate.step");
  }

  OpenMotion motionOf(const std::string& panel) const {
    for (std::size_t k = 0; k < report_.open.size(); ++k)
      if (panel == panelName(k) + ".1") return report_.open[k];
    return {};
  }

  // R6.
  void checkPartFiles(const Document& closed) {
    std::set<std::string> expected;
    for (const auto& [mark, part] : report_.parts) {
      for (const std::string& file : part.files)
        if (file.starts_with("parts/") && file.ends_with(".step")) {
          expected.insert(file);
          checkPartFile(part, file, closed);
        }
      for (const std::string& file : part.files)
        if (!std::filesystem::exists(folder_ + "/" + file))
          problem("report.json", mark + " names " + file + ", which does not exist");
    }
    if (expected.size() != report_.parts.size()) problem("report.json", "not one STEP file a part");
    std::error_code error;
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(folder_ + "/parts", error)) {
      const std::string name = std::filesystem::relative(entry.path(), folder_).generic_string();
      if (name.ends_with(".step") && !expected.contains(name))
        problem(name, "no such mark in the report");
    }
  }

  void checkPartFile(const ReportPart& part, const std::string& file, const Document& closed) {
    const Document document = load(file);
    const auto& products = document.structure.products;
    checkProductNames(document);
    if (products.size() != 1)
      return problem(document.path, std::to_string(products.size()) + " products, not 1");
    const Product& product = products.begin()->second;
    if (markOf(product) != part.mark) problem(document.path, "product is called " + product.name);
    if (!product.components.empty()) problem(document.path, "is an assembly");
    if (document.solids.size() != 1)
      problem(document.path, std::to_string(document.solids.size()) + " solids, not 1");
    checkPartProduct(document, product, part);
    for (const auto& [id, other] : closed.structure.products)
      if (markOf(other) == part.mark && other.solids.size() == 1 && product.solids.size() == 1)
        compareSolids(document, product.solids.front(), closed, other.solids.front(), part);
  }

  /// `a` stands in the part's own frame.
  void compareSolids(const Document& a, long solid_a, const Document& b, long solid_b,
                     const ReportPart& part) {
    const part21::Solid& one = a.solids.at(solid_a);
    const part21::Solid& two = b.solids.at(solid_b);
    const Vec3 apart =
        part.file_frame.toWorld(a.measures.at(solid_a).centroid) - b.measures.at(solid_b).centroid;
    // The frame's figures are rounded to a millionth.
    if (one.faces.size() != two.faces.size() || one.edges != two.edges || one.genus != two.genus ||
        length(apart) > 2 * kPositionMm)
      return problem(a.path, "is not the same solid as in " + b.path);
    const std::vector<Vec3> theirs = verticesOf(b.file, two);
    for (const Vec3& vertex : verticesOf(a.file, one)) {
      const Vec3 at = part.file_frame.toWorld(vertex);
      const bool is_there = std::any_of(theirs.begin(), theirs.end(), [&](const Vec3& other) {
        return length(other - at) <= 4 * kPositionMm;
      });
      if (!is_there) return problem(a.path, "has a corner that " + b.path + " has not");
    }
  }

  std::string folder_;
  Report report_;
  Outcome outcome_;
};

}  // namespace

Outcome checkFolder(const std::string& folder) {
  try {
    return Checker(folder).run();
  } catch (const std::exception& error) {
    Outcome outcome;
    outcome.problems.push_back(folder + ": " + error.what());
    return outcome;
  }
}

}  // namespace leafstack::readback
