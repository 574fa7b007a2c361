#include "exporters/cad/dxf/dxf_tables.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace leafstack {
namespace {

/// A table's head; returns its handle, which owns its records.
std::string beginTable(DxfGroups& out, std::string_view name, int count) {
  out.add(0, "TABLE");
  out.add(2, name);
  std::string handle = out.handle();
  out.owner("0");
  out.subclass("AcDbSymbolTable");
  out.add(70, count);
  return handle;
}

/// Begins a record; returns its handle.
std::string record(DxfGroups& out, std::string_view type, std::string_view subclass,
                   std::string_view name, std::string_view table) {
  out.add(0, type);
  std::string handle = out.handle();
  out.owner(table);
  out.subclass("AcDbSymbolTableRecord");
  out.subclass(subclass);
  out.add(2, name);
  out.add(70, 0);
  return handle;
}

void viewports(DxfGroups& out, const DxfExtents& extents) {
  const std::string table = beginTable(out, "VPORT", 1);
  record(out, "VPORT", "AcDbViewportTableRecord", "*ACTIVE", table);
  const double width = std::max(extents[2] - extents[0], 1.0);
  const double height = std::max(extents[3] - extents[1], 1.0);
  const auto point = [&](int code, double x, double y) {
    out.real(code, x);
    out.real(code + 10, y);
  };
  point(10, 0, 0);
  point(11, 1, 1);
  point(12, (extents[0] + extents[2]) / 2, (extents[1] + extents[3]) / 2);
  point(13, 0, 0);
  point(14, 10, 10);
  point(15, 10, 10);
  out.real(16, 0);
  out.real(26, 0);
  out.real(36, 1);
  out.point(17, 0, 0);
  out.real(40, std::max(height, width) * 1.1);
  out.real(41, 1.5);
  out.real(42, 50);
  out.add(0, "ENDTAB");
}

void linePattern(DxfGroups& out, const std::vector<double>& pattern_mm) {
  double total = 0;
  for (const double length : pattern_mm) {
    total += length;
  }
  out.add(73, static_cast<int>(pattern_mm.size()));
  out.real(40, total);
  double sign = 1;
  for (const double length : pattern_mm) {
    out.real(49, sign * length);
    sign = -sign;
    if (out.isR2000()) {
      out.add(74, 0);
    }
  }
}

void lineTypes(DxfGroups& out, const std::vector<DxfLineType>& more) {
  constexpr double kDashMm = 6, kGapMm = 3;
  const bool modern = out.isR2000();
  const int own = modern ? 4 : 2;
  const std::string table = beginTable(out, "LTYPE", own + static_cast<int>(more.size()));
  const auto one = [&](std::string_view name, std::string_view picture,
                       const std::vector<double>& pattern_mm) {
    record(out, "LTYPE", "AcDbLinetypeTableRecord", name, table);
    out.add(3, picture);
    out.add(72, 65);
    linePattern(out, pattern_mm);
  };
  if (modern) {
    one("ByBlock", "", {});
    one("ByLayer", "", {});
  }
  one("CONTINUOUS", "Solid line", {});
  one("DASHED", "__ __ __", {kDashMm, kGapMm});
  for (const DxfLineType& type : more) {
    one(type.name, type.picture, type.pattern_mm);
  }
  out.add(0, "ENDTAB");
}

using Handles = std::map<std::string, std::string>;  // by name

Handles styles(DxfGroups& out, const std::vector<DxfTextStyle>& more) {
  Handles handles;
  const std::string table = beginTable(out, "STYLE", 1 + static_cast<int>(more.size()));
  const auto one = [&](const DxfTextStyle& style) {
    handles[style.name] = record(out, "STYLE", "AcDbTextStyleTableRecord", style.name, table);
    out.real(40, 0);
    out.real(41, style.width_factor);
    out.real(50, 0);
    out.add(71, 0);
    out.real(42, 2.5);
    out.add(3, style.font_file);
    out.add(4, "");
  };
  one({"STANDARD", "txt", 1});
  for (const DxfTextStyle& style : more) {
    one(style);
  }
  out.add(0, "ENDTAB");
  return handles;
}

void emptyTable(DxfGroups& out, std::string_view name) {
  beginTable(out, name, 0);
  out.add(0, "ENDTAB");
}

/// Variables of a dimension style by their group codes, in the words of the format's tables.
void dimensionVariables(DxfGroups& out, const DxfDimensionStyle& style, const Handles& styles) {
  out.real(40, 1);                    // DIMSCALE
  out.real(41, style.arrow_mm);       // DIMASZ
  out.real(42, style.off_object_mm);  // DIMEXO
  out.real(44, style.past_line_mm);   // DIMEXE
  out.real(140, style.text_mm);       // DIMTXT
  out.real(144, style.factor);        // DIMLFAC
  out.real(147, style.gap_mm);        // DIMGAP
  out.add(73, 0);                     // DIMTIH: numbers along their line, inside
  out.add(74, 0);                     // DIMTOH: and outside
  out.add(77, 1);                     // DIMTAD: above it
  out.add(78, 0);                     // DIMZIN: noughts stay
  out.add(172, 1);                    // DIMTOFL: the line also between arrows outside
  out.add(271, style.decimals);       // DIMDEC
  out.add(277, 2);                    // DIMLUNIT: decimal
  out.add(278, '.');                  // DIMDSEP
  out.add(279, 2);                    // DIMTMOVE: a moved number moves alone
  out.add(340, styles.at(style.text_style));
}

void dimensionStyles(DxfGroups& out, const std::vector<DxfDimensionStyle>& more,
                     const Handles& styles) {
  const std::string table = beginTable(out, "DIMSTYLE", 1 + static_cast<int>(more.size()));
  if (out.isR2000()) {
    out.subclass("AcDbDimStyleTable");
  }
  const auto one = [&](std::string_view name) {
    out.add(0, "DIMSTYLE");
    out.handle(105);
    out.owner(table);
    out.subclass("AcDbSymbolTableRecord");
    out.subclass("AcDbDimStyleTableRecord");
    out.add(2, name);
    out.add(70, 0);
  };
  one("STANDARD");
  for (const DxfDimensionStyle& style : more) {
    one(style.name);
    dimensionVariables(out, style, styles);
  }
  out.add(0, "ENDTAB");
}

std::vector<std::string> blockRecords(DxfGroups& out, std::size_t dimensions) {
  const std::string table = beginTable(out, "BLOCK_RECORD", 2 + static_cast<int>(dimensions));
  const auto rest = [&](std::string_view name) {
    out.owner(table);
    out.subclass("AcDbSymbolTableRecord");
    out.subclass("AcDbBlockTableRecord");
    out.add(2, name);
  };
  for (const auto& [name, handle] :
       {std::pair{"*MODEL_SPACE", kDxfModelSpace}, std::pair{"*PAPER_SPACE", kDxfPaperSpace}}) {
    out.add(0, "BLOCK_RECORD");
    out.add(5, handle);
    rest(name);
  }
  std::vector<std::string> handles;
  for (std::size_t i = 0; i < dimensions; ++i) {
    out.add(0, "BLOCK_RECORD");
    handles.push_back(out.handle());
    rest(dxfBlockName(i));
  }
  out.add(0, "ENDTAB");
  return handles;
}

void layerTable(DxfGroups& out, const std::vector<DxfLayer>& layers) {
  const std::string table = beginTable(out, "LAYER", static_cast<int>(layers.size()) + 1);
  const auto one = [&](const DxfLayer& layer) {
    record(out, "LAYER", "AcDbLayerTableRecord", layer.name, table);
    out.add(62, layer.colour);
    out.add(6, layer.line_type);
    if (layer.weight >= 0 && out.isR2000()) {
      out.add(370, layer.weight);
    }
  };
  one({"0", 7, "CONTINUOUS"});
  for (const DxfLayer& layer : layers) {
    one(layer);
  }
  out.add(0, "ENDTAB");
}

}  // namespace
void writeDxfObjects(DxfGroups& out) {
  out.begin("OBJECTS");
  out.add(0, "DICTIONARY");
  out.add(5, kDxfRoot);
  out.owner("0");
  out.subclass("AcDbDictionary");
  out.add(281, 1);
  out.add(3, "ACAD_GROUP");
  out.add(350, kDxfGroupsDict);
  out.add(0, "DICTIONARY");
  out.add(5, kDxfGroupsDict);
  out.owner(kDxfRoot);
  out.subclass("AcDbDictionary");
  out.add(281, 1);
  out.end();
}

void writeDxfHeader(DxfGroups& out, const DxfContent& content, const DxfExtents& extents,
                    const std::string& next_handle) {
  out.begin("HEADER");
  const auto variable = [&](std::string_view name) { out.add(9, name); };
  variable("$ACADVER");
  out.add(1, out.isR2000() ? "AC1015" : "AC1009");
  if (out.isR2000()) {
    variable("$DWGCODEPAGE");
    out.add(3, "ANSI_1252");
    variable("$INSUNITS");
    out.add(70, 4);
    variable("$MEASUREMENT");
    out.add(70, 1);
    variable("$HANDSEED");
    out.add(5, next_handle);
    const bool has_weights = std::any_of(content.layers.begin(), content.layers.end(),
                                         [](const DxfLayer& layer) { return layer.weight >= 0; });
    if (has_weights) {
      variable("$LWDISPLAY");
      out.add(290, 1);
    }
  }
  variable("$INSBASE");
  out.point(10, 0, 0);
  variable("$EXTMIN");
  out.point(10, extents[0], extents[1]);
  variable("$EXTMAX");
  out.point(10, extents[2], extents[3]);
  if (content.limits_mm[0] > 0) {
    // Of model space and, for programs that take their page from it, of the paper.
    for (const char* const space : {"$LIM", "$PLIM"}) {
      variable(std::string(space) + "MIN");
      out.real(10, 0);
      out.real(20, 0);
      variable(std::string(space) + "MAX");
      out.real(10, content.limits_mm[0]);
      out.real(20, content.limits_mm[1]);
    }
  }
  out.end();
}

std::vector<std::string> writeDxfTables(DxfGroups& out, const DxfContent& content,
                                        const DxfExtents& extents) {
  out.begin("TABLES");
  viewports(out, extents);
  lineTypes(out, content.line_types);
  layerTable(out, content.layers);
  const Handles style_handles = styles(out, content.text_styles);
  emptyTable(out, "VIEW");
  emptyTable(out, "UCS");
  const std::string apps = beginTable(out, "APPID", 1);
  record(out, "APPID", "AcDbRegAppTableRecord", "ACAD", apps);
  out.add(0, "ENDTAB");
  dimensionStyles(out, content.dimension_styles, style_handles);
  std::vector<std::string> block_handles;
  if (out.isR2000()) {
    block_handles = blockRecords(out, content.blocks.size());
  }
  out.end();
  return block_handles;
}

}  // namespace leafstack
