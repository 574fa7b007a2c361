#include "generator/shop/schedules.h"

#include <algorithm>
#include <array>
#include <gp_Pnt.hxx>
#include <iterator>
#include <map>
#include <numbers>
#include <tuple>
#include <utility>
#include <variant>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/shop/coating_notes.h"
#include "generator/shop/set_out.h"
#include "generator/shop/strips.h"
#include "generator/shop/weld_strength.h"
#include "params/catalogue/bars.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/vents.h"
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

std::map<int, int> countByPanel(const Model& model, int part) {
  std::map<int, int> count;
  for (const Instance& instance : model.instances) {
    if (instance.part == part) {
      ++count[instance.panel];
    }
  }
  return count;
}

int total(const std::map<int, int>& count) {
  int sum = 0;
  for (const auto& entry : count) {
    sum += entry.second;
  }
  return sum;
}

/// The metal that the checks of strength count with: names of grades by EN 10025-2 and EN 573-3,
/// from memory.
std::string gradeWords(const GateSpec& spec, const Part& part) {
  if (part.material != "steel" && part.material != "aluminium") {
    return "";
  }
  const double usual = materialClass(part.material).yield_N_mm2;
  const bool is_frame = rowOf(part.kind).material == kFrameMetal && part.tube;
  const double yield = is_frame ? spec.gate.yield_N_mm2.value_or(usual) : usual;
  if (part.material == "aluminium" && yield == usual) {
    // Plate is rolled of what 6060 is not: of the stronger 6082 (EN 485-2, from memory).
    return part.section.starts_with("plate") || part.section.starts_with("sheet")
               ? "EN AW-6082 T6"
               : "EN AW-6060 T66";
  }
  constexpr double kSold_N_mm2[] = {235, 275, 355, 420, 460};
  const bool is_sold =
      part.material == "steel" &&
      std::find(std::begin(kSold_N_mm2), std::end(kSold_N_mm2), yield) != std::end(kSold_N_mm2);
  return is_sold ? "S" + shown(yield) : "yield " + shown(yield) + " N/mm2 or more";
}

/// "1: 2, 3: 4" reads: two in panel 1, four in panel 3.
std::string panelsInWords(const std::map<int, int>& count) {
  std::string text;
  for (const auto& [panel, quantity] : count) {
    text += (text.empty() ? "" : ", ") +
            (panel == 0 ? std::string("fixed") : "panel " + std::to_string(panel)) + ": " +
            std::to_string(quantity);
  }
  return text;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    text += (text.empty() ? "" : "; ") + word;
  }
  return text;
}

bool isCut(Supply supply) {
  switch (supply) {
    case Supply::kCutTube:
    case Supply::kCutBar:
    case Supply::kCutPlate:
    case Supply::kCutTimber:
      return true;
    case Supply::kBought:
    case Supply::kSite:
    case Supply::kEnvelope:
      return false;
  }
  return false;
}

ItemWords itemWords(const GateSpec& spec, const Part& part) {
  const PartKindRow& kind = rowOf(part.kind);
  const BoughtItem* item = kind.is_item ? boughtItem(spec.hardware, kind.shelf) : nullptr;
  return item == nullptr ? ItemWords{} : ItemWords{item->item, item->supplier, item->finish};
}

PartRow partRow(const Model& model, const Part& part, const std::map<int, int>& count) {
  PartRow row;
  row.mark = part.mark;
  row.name = part.name;
  row.panel = count.begin()->first;
  row.quantity = total(count);
  row.per_panel.assign(count.begin(), count.end());
  row.material = part.material;
  row.section = part.section;
  row.supply = std::string(toString(part.supply));
  row.length_mm = part.length_mm;
  row.mass_kg = part.massKg();
  row.density_kg_m3 = part.density_kg_m3;
  row.volume_mm3 = part.volume_mm3;
  row.area_mm2 = part.area_mm2;
  row.face_count = part.face_count;
  row.file_motion = fileMotion(part, model.opening_sign);
  const auto& centre = part.centroid_mm;
  const gp_Pnt moved = gp_Pnt(centre[0], centre[1], centre[2]).Transformed(row.file_motion);
  row.centre_mm = {moved.X(), moved.Y(), moved.Z()};
  row.mass_is_suppliers = part.supplier_mass_kg.has_value();
  return row;
}

/// The inside radius that a plate is folded with.
BendRule bendRule(const GateSpec& spec, const Part& part) {
  const double thickness = part.kind == PartKind::kGuideChannel
                               ? spec.hardware.guide.channel_wall_mm
                               : spec.hardware.receiver.plate_mm;
  return {spec.shop.bend_radius_mm.value_or(thickness), spec.shop.bend_k_factor};
}

std::string foldsInWords(const FlatProfile& profile, const BendRule& rule) {
  if (profile.bends.empty()) {
    return "";
  }
  const std::size_t folds = profile.bends.size();
  return "folded from a blank " + shown(profile.width_mm, 1) + " x " + shown(profile.height_mm, 1) +
         ", " + std::to_string(folds) + (folds == 1 ? " fold" : " folds") + ", inside radius " +
         shown(rule.radius_mm) + ", K " + shown(rule.k_factor);
}

/// "2 holes dia 14", "hole 48 x 12": by size, as they come.
std::vector<std::string> holesInWords(const FlatProfile& profile, const HolePurposes& purposes) {
  std::vector<std::pair<std::string, int>> sizes;
  for (std::size_t i = 1; i < profile.loops.size(); ++i) {
    const ProfileLoop& loop = profile.loops[i];
    const std::array<double, 2> extent = loop.extentMm();
    const std::string size =
        loop.is_circle ? "dia " + shown(extent[0]) : shown(extent[0]) + " x " + shown(extent[1]);
    const auto known = std::find_if(sizes.begin(), sizes.end(),
                                    [&](const auto& one) { return one.first == size; });
    if (known == sizes.end()) {
      sizes.emplace_back(size, 1);
    } else {
      ++known->second;
    }
  }
  std::vector<std::string> words;
  for (const auto& [size, count] : sizes) {
    const auto known = purposes.find(size);
    words.push_back((count == 1 ? "hole " : std::to_string(count) + " holes ") + size +
                    (known == purposes.end() ? "" : ", " + known->second));
  }
  return words;
}

/// "profiles/steel/4mm/NC-1_GC1_steel_4mm_x2.dxf".
std::string profilePath(const JobSpec& job, const ProfileRow& row) {
  const std::string thickness = shown(row.thickness_mm) + "mm";
  return "profiles/" + row.material + "/" + thickness + "/" + fileStem(job, row.mark) + "_" +
         row.material + "_" + thickness + "_x" + std::to_string(row.quantity) + ".dxf";
}

ProfileRow profileRow(const Model& model, const Part& part, int quantity, const BendRule& rule) {
  ProfileRow row{part.mark, part.name, part.material, 0, quantity, flatProfileOf(part, rule), ""};
  if (!row.profile) {
    row.note =
        "no single flat cut: leans or is stepped; see " + partPath(model.spec.job, part) + ".step";
    return row;
  }
  row.thickness_mm = row.profile->thickness_mm;
  row.file = profilePath(model.spec.job, row);
  row.note = foldsInWords(*row.profile, rule);
  // Nothing pulls on a cradle's flange across its screws: the cheeks lie in the slots' ends.
  if (part.kind != PartKind::kPulleyFlange) {
    row.near_holes = nearHoles(*row.profile, rule);
  }
  if (row.profile->is_bevelled) {
    row.note = "blank at its full size, bevelled after cutting: " + joined(part.cutouts);
    return row;
  }
  // Volume that the flat cut does not account for was drilled from the side.
  constexpr double kDrilledShare = 1e-6;
  if (row.profile->bends.empty() &&
      row.profile->area_mm2 * row.thickness_mm > part.volume_mm3 * (1 + kDrilledShare)) {
    row.note = "bored across after cutting: " + joined(part.cutouts);
  }
  return row;
}

/// As the gate file's word; of aluminium, which no bath takes, paint alone.
std::string finishOf(const GateSpec& spec, const Part& part) {
  if (rowOf(part.kind).is_fitted) {
    return spec.shop.finish == ShopFinish::kNone ? "none" : "bare and greased: turned to fit";
  }
  // Wheels run any paint off a track; zinc stays longer, and nothing bonds to a painted dowel.
  const bool is_run_on = part.kind == PartKind::kTrack;
  const bool is_bonded = part.kind == PartKind::kTrackDowel;
  switch (spec.shop.finish) {
    case ShopFinish::kNone:
      return "none";
    case ShopFinish::kPainted:
      return is_run_on   ? "bare: wheels run on it"
             : is_bonded ? "bare: bonded into concrete"
                         : "painted";
    case ShopFinish::kGalvanised:
      return part.material == "steel" ? "galvanised" : "none";
    case ShopFinish::kGalvanisedPowder:
      if (is_run_on || is_bonded || part.kind == PartKind::kTrackFlat) {
        return "galvanised";  // one weldment
      }
      return part.material == "steel" ? "galvanised, then powder-coated" : "powder-coated";
  }
  return "";
}

/// What the zinc's class goes by: a tube's wall, a plate's thickness, the lesser side of a bar.
double steelThicknessMm(const Part& part) {
  if (part.tube) {
    return part.tube->wall_mm;
  }
  if (const std::optional<double> thickness = solidThickness_mm(part.section)) {
    return *thickness;
  }
  return 2 * part.volume_mm3 / part.area_mm2;
}

/// The inside of a tube is its inner girth times its length, less nothing for holes; so what is
/// left of its whole surface is at most a few holes' edges too much.
CoatingRow coatingRow(const GateSpec& spec, const Part& part, int quantity) {
  constexpr double kMm2PerM2 = 1e6;
  CoatingRow row{part.mark, part.name, part.section, part.material, quantity, 0, 0, part.massKg()};
  row.all_m2 = row.outside_m2 = part.area_mm2 / kMm2PerM2;
  if (part.tube && part.area_mm2 > 0) {
    const HollowSection& section = *part.tube;
    const double inner = cornerRadii(section).inner_mm;
    const double girth = 2 * (section.height_mm + section.depth_mm - 4 * section.wall_mm) -
                         (8 - 2 * std::numbers::pi) * inner;
    row.outside_m2 = row.all_m2 - girth * part.length_mm / kMm2PerM2;
  }
  row.finish = finishOf(spec, part);
  const bool is_dipped = part.material == "steel" && !rowOf(part.kind).is_fitted;
  if (spec.shop.isDipped() && is_dipped && part.area_mm2 > 0) {
    row.zinc_um = zincCoat_um(steelThicknessMm(part));
  }
  return row;
}

/// Ropes are bought by the length that they are cut to. Their solids are shorter: those end a
/// little way into their terminals.
void giveRopesTheirOrderLength(Schedules& schedules) {
  for (const RopeRow& rope : schedules.loads.ropes) {
    for (BillRow& row : schedules.bill) {
      row.length_mm = row.mark == rope.mark ? rope.order_length_mm : row.length_mm;
    }
  }
}

}  // namespace

Schedules makeSchedules(const Model& model, Frequencies frequencies) {
  Schedules schedules;
  const std::vector<std::string> after_coating = coatingNotes(model);
  const std::vector<HolePurposes> hole_purposes = holePurposes(model);
  schedules.panel_mass_kg.assign(model.layout.panel_count, 0);
  for (int index = 0; index < static_cast<int>(model.parts.size()); ++index) {
    const Part& part = model.parts[index];
    const std::map<int, int> count = countByPanel(model, index);
    schedules.parts.push_back(partRow(model, part, count));
    schedules.parts.back().words = itemWords(model.spec, part);
    for (const auto& [panel, quantity] : count) {
      if (panel > 0) {
        schedules.panel_mass_kg[panel - 1] += quantity * part.massKg();
      }
    }
    std::vector<std::string> cutouts = part.cutouts;
    if (isFlatWork(part)) {
      const BendRule rule = bendRule(model.spec, part);
      schedules.profiles.push_back(profileRow(model, part, total(count), rule));
      const auto& profile = schedules.profiles.back().profile;
      if (profile && !profile->bends.empty()) {
        cutouts.push_back(foldsInWords(*profile, rule));
      }
      if (profile && part.cutouts.empty()) {
        const std::vector<std::string> holes = holesInWords(*profile, hole_purposes[index]);
        cutouts.insert(cutouts.begin(), holes.begin(), holes.end());
      }
    }
    const bool is_metal = part.material == "steel" || part.material == "aluminium";
    if (isCut(part.supply) && is_metal) {
      schedules.coating.push_back(coatingRow(model.spec, part, total(count)));
      schedules.coating.back().after = after_coating[index];
      if (!after_coating[index].empty()) {
        cutouts.push_back(after_coating[index]);
      }
    }
    if (isCut(part.supply)) {
      schedules.cut_list.push_back(
          {part.mark, part.name, part.section, part.material, panelsInWords(count), total(count),
           part.length_mm, part.ends, part.massKg(), joined(cutouts),
           partPath(model.spec.job, part) + ".step", gradeWords(model.spec, part)});
    } else {
      schedules.bill.push_back({part.mark, part.name, part.section, part.material,
                                std::string(toString(part.supply)), total(count), part.length_mm,
                                part.massKg(), itemWords(model.spec, part),
                                piecesPerBox(model, part), fastenerQuality(model, part)});
    }
  }
  // By section and falling length: the order in which a saw takes them.
  std::stable_sort(schedules.cut_list.begin(), schedules.cut_list.end(),
                   [](const CutRow& p, const CutRow& q) {
                     const auto key = [](const CutRow& row) {
                       return std::tuple(row.material, row.section, -row.length_mm);
                     };
                     return key(p) < key(q);
                   });
  schedules.fasteners = fastenerRows(model);
  schedules.loads = findLoads(model, frequencies);
  giveRopesTheirOrderLength(schedules);
  schedules.set_out = setOutRows(model, schedules.loads.structure);
  return schedules;
}

SheetRules sheetRules(const ShopSpec& shop) {
  constexpr double kUsualLongMm = 3000, kUsualWideMm = 1500;  // common practice, no source
  const std::vector<double> size =
      shop.sheet_mm.value_or(std::vector<double>{kUsualLongMm, kUsualWideMm});
  return {size[0], size[1], shop.sheet_gap_mm};
}

namespace {

/// By material and rising thickness.
std::vector<SheetGroup> sheetGroups(const ShopSpec& shop, const Schedules& schedules) {
  const SheetRules rules = sheetRules(shop);
  std::map<std::pair<std::string, double>, std::vector<SheetPiece>> pieces;
  for (const CutRow& row : schedules.cut_list) {
    if (isStrip(row.section)) {  // cut straight, then bent
      const StripSizes strip = stripSizes(row.section);
      pieces[{row.material, strip.thick_mm}].push_back(
          {row.mark, row.length_mm, strip.wide_mm, row.quantity});
    }
  }
  for (const ProfileRow& row : schedules.profiles) {
    if (row.profile && row.material != "timber") {
      // Measured on the solid: a mirrored one differs in the last digits.
      pieces[{row.material, std::round(row.thickness_mm * 1e6) / 1e6}].push_back(
          {row.mark, row.profile->width_mm, row.profile->height_mm, row.quantity});
    }
  }
  std::vector<SheetGroup> groups;
  for (const auto& [key, of_key] : pieces) {
    groups.push_back({key.first, key.second, rules, planSheets(of_key, rules)});
  }
  return groups;
}

}  // namespace

void planStock(const Model& model, Schedules& schedules) {
  schedules.stock = stockGroups(model);
  schedules.sheets = sheetGroups(model.spec.shop, schedules);
}

namespace {

/// "BR1 at 1780, 50, 98": X along the part, Y and Z across, as its own STEP file has it.
std::string onPart(const Model& model, int instance, const Vec3& at_mm) {
  const Instance& placed = model.instances[instance];
  const Part& part = model.parts[placed.part];
  const gp_Pnt at = gp_Pnt(at_mm[0], at_mm[1], at_mm[2])
                        .Transformed(placed.at_closed.Transformation().Inverted())
                        .Transformed(fileMotion(part, model.opening_sign));
  return part.mark + " at " + shown(at.X(), 1) + ", " + shown(at.Y(), 1) + ", " + shown(at.Z(), 1);
}

}  // namespace

void findWelds(const Model& model, Schedules& schedules) {
  schedules.welds = weldRows(model);
  for (WeldRow& row : schedules.welds) {
    if (row.is_on_site && model.spec.shop.isDipped()) {
      // Of EN ISO 1461, 6.3, from memory.
      row.what += "; zinc burnt or ground off is made good with zinc-rich paint, 100 um or more";
    }
    row.where = onPart(model, row.instances[0], row.at_mm) + "; " +
                onPart(model, row.instances[1], row.at_mm) +
                (row.joints > 1 ? "; first of " + std::to_string(row.joints) : "");
  }
  weldToForces(model, schedules.loads, schedules.welds);
}

void findCutouts(const Model& model, Schedules& schedules) {
  schedules.cutouts = cutoutRows(model);
}

}  // namespace leafstack
