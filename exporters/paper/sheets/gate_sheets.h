// The sheets of a gate's drawings, each from the solids, the layout and the lists' rows.
#pragma once

#include <vector>

#include "exporters/paper/assemblies/assemblies.h"
#include "exporters/paper/assemblies/welds/weld_labels.h"
#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/blocks/gate_views.h"
#include "exporters/paper/blocks/lots.h"
#include "exporters/paper/sheet/sheet_frame.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// A sheet without its title block, which counts the others.
struct MadeSheet {
  Sheet sheet;
  std::string document_type;
  double mm_per_mm = 0;  ///< its scale; 0 for none
};
using MadeSheets = std::vector<MadeSheet>;

struct SheetMaker {
  const GateViews& views;
  const Schedules& schedules;
  MadeSheets& sheets;

  const Model& model() const { return views.model(); }
  const Layout& layout() const { return views.layout(); }
  Sheet empty(const std::string& name, const std::string& title) const {
    return emptySheet(model().spec.drawings, name, title);
  }
};

/// A table stands beside its views where those come out no smaller than so many times.
inline constexpr double kTableMayCost = 2.001;

/// Puts a block (upper left corner at its origin) into the sheet's lower left corner, beside the
/// title block where it is narrow enough, and returns what is left above it.
PaperBox addLowerLeft(Sheet& sheet, const Sheet& block);

/// Views above a table in the lower left corner.
void addAboveTable(MadeSheet& made, const ViewGrid& grid, const TableBlock& table,
                   double largest_scale = 1);

struct SheetNames {
  std::string name, title;
};

/// Lots on as few sheets as they take, and the table where one of these has room for it, else on
/// sheets of its own.
void addLots(SheetMaker& maker, const SheetNames& names, const std::vector<DrawnLot>& lots,
             const TableBlock* table, const char* document_type = "workshop drawing");
/// A view with arrows to its welds, on as many sheets as the signs take; none without welds.
void addWeldSheets(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
                   const std::vector<WeldGroup>& groups);
/// A table by itself, in as many columns and on as many sheets as it takes: "NAME", "NAME-2" and so
/// on.
void addTableSheets(SheetMaker& maker, const SheetNames& names, const TableBlock& table,
                    const char* document_type = "workshop drawing");

void addGeneralArrangement(SheetMaker& maker);
void addOverlapDetail(SheetMaker& maker);  ///< across the track, from above
void addGuideDetail(SheetMaker& maker);    ///< the same guides, along the track
void addRailSheet(SheetMaker& maker, int panel);
void addFrameSheet(SheetMaker& maker, int panel);
void addAssemblySheet(SheetMaker& maker, const Assembly& assembly);
void addExplodedSheet(SheetMaker& maker, int panel);
void addRopeSheet(SheetMaker& maker);      ///< none for a single panel
void addRopeEndsSheet(SheetMaker& maker);  ///< the same
void addTravelSheet(SheetMaker& maker);
void addSetOutSheets(SheetMaker& maker);
void addPostBlocksSheet(SheetMaker& maker);  ///< none where no post has a block
void addPartsSheets(SheetMaker& maker);

}  // namespace leafstack
