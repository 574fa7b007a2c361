// Rows of every list, computed once; exporters only format them, so no two outputs can disagree.
#pragma once

#include <string>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/loads/loads.h"
#include "generator/model/model.h"
#include "generator/shop/cutouts.h"
#include "generator/shop/fasteners.h"
#include "generator/shop/flat/flat_profile.h"
#include "generator/shop/flat/hole_edges.h"
#include "generator/shop/part_files.h"
#include "generator/shop/set_out.h"
#include "generator/shop/stock/sheet_plan.h"
#include "generator/shop/stock/stock_rows.h"
#include "generator/shop/welds/weld_rows.h"

namespace leafstack {

/// What the shelf says of an item besides its sizes; each "" where it says nothing.
struct ItemWords {
  std::string item, supplier, finish;
  bool isEmpty() const { return item.empty() && supplier.empty() && finish.empty(); }
};

/// One row of report.json `parts`, in mark order of first appearance.
struct PartRow {
  std::string mark, name;
  int panel = 0;  ///< the lowest-numbered panel that carries it; 0 = does not move
  int quantity = 0;
  std::vector<std::pair<int, int>> per_panel;  ///< (panel, quantity)
  std::string material, section, supply;
  double length_mm = 0, mass_kg = 0, density_kg_m3 = 0, volume_mm3 = 0, area_mm2 = 0;
  int face_count = 0;
  gp_Trsf file_motion;  ///< from the part's frame in the gate to that of its own files
  std::array<double, 3> centre_mm{};  ///< of gravity, in its own files
  ItemWords words = {};
  bool mass_is_suppliers = false;  ///< else volume x density
};

/// One row of tables/cut-list.csv: what the saw makes (tubes, bars, plates, timber).
struct CutRow {
  std::string mark, name, section, material, panels;
  int quantity = 0;
  double length_mm = 0;
  std::array<EndCut, 2> ends{};
  double mass_kg = 0;  ///< of one
  std::string cutouts;
  std::string file;        ///< its STEP file
  std::string grade = {};  ///< of metal, by the yield that the checks take: "S235"; "" else
};

/// One row of tables/profiles.csv: what a flat-bed machine cuts. Without `profile` no single flat
/// cut gives the part, and `note` says what does.
struct ProfileRow {
  std::string mark, name, material;
  double thickness_mm = 0;
  int quantity = 0;
  std::optional<FlatProfile> profile;
  std::string note;
  std::string file = {};  ///< of the profile; "" without one
  std::vector<NearHole> near_holes = {};
};

/// One row of tables/coating.csv: what is galvanised or powder-coated.
struct CoatingRow {
  std::string mark, name, section, material;
  int quantity = 0;
  double all_m2 = 0;      ///< of one, inside of tubes and holes included: galvanising
  double outside_m2 = 0;  ///< of one, what is seen of a tube from outside: powder coating
  double mass_kg = 0;     ///< of one
  std::string finish = {};
  /// Least mean thickness of the zinc, by the steel's: a tube's wall, a plate's thickness, a bar's
  /// lesser side, else twice volume over surface; 0 where it is not dipped, or areas were not asked
  /// for. Solids are drawn without it.
  double zinc_um = 0;
  /// Threads and holes to be kept clear or worked over (coatingNotes()); "" for none.
  std::string after = {};
};

/// One row of tables/bill.csv: what is bought in or found on site.
struct BillRow {
  std::string mark, name, description, material, supply;
  int quantity = 0;
  double length_mm = 0;
  double mass_kg = 0;  ///< of one; 0 with supply "envelope" where its supplier's is not given
  ItemWords words = {};
  int per_box = 0;  ///< pieces in the box that it is bought by; 0: by the piece
  FastenerQuality quality = {};
};

/// Plates of one material and thickness, and how they lie on sheets.
struct SheetGroup {
  std::string material;
  double thickness_mm = 0;
  SheetRules sheet;
  SheetPlan plan;
};

/// The gate file's sheet, or the usual one.
SheetRules sheetRules(const ShopSpec& shop);

struct Schedules {
  std::vector<PartRow> parts;
  std::vector<CutRow> cut_list;
  std::vector<BillRow> bill;
  std::vector<ProfileRow> profiles;
  std::vector<CoatingRow> coating;  ///< areas are 0 where measureAreas() was not asked for
  std::vector<StockGroup> stock;    ///< empty until planStock(), which only written outputs need
  std::vector<SheetGroup> sheets;   ///< likewise
  std::vector<WeldRow> welds;       ///< empty until findWelds(), for the same reason
  std::vector<CutoutRow> cutouts;   ///< empty until findCutouts(), for the same reason
  std::vector<FastenerRow> fasteners;
  std::vector<SetOutRow> set_out;
  std::vector<double> panel_mass_kg;  ///< panel 1 first
  LoadReport loads;
};

Schedules makeSchedules(const Model& model, Frequencies frequencies = Frequencies::kFound);

/// Fills Schedules::stock and sheets.
void planStock(const Model& model, Schedules& schedules);

/// Fills Schedules::welds.
void findWelds(const Model& model, Schedules& schedules);

/// Fills Schedules::cutouts.
void findCutouts(const Model& model, Schedules& schedules);

}  // namespace leafstack
