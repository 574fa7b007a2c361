// The frame of a sheet: border, centring marks and grid (ISO 5457), title block (fields of ISO
// 7200), projection symbol (ISO 128), general tolerances.
#pragma once

#include <string>

#include "exporters/paper/sheet/paper.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// A sheet with its frame and nothing in it: landscape, 20 mm to bind it by on the left.
Sheet emptySheet(const DrawingSpec& choice, std::string name, std::string title);

/// What is left for drawing: above the title block, and beside it.
struct DrawingSpace {
  PaperBox above, beside;
};
DrawingSpace drawingSpace(const Sheet& sheet);

struct TitleBlock {
  std::string document_type;  ///< "general arrangement"
  std::string scale;          ///< of the sheet; "" where there is none
  int number = 1, of = 1;
  std::string status = {};  ///< whether what it shows is ready to be made; "": not judged
};

/// Draws it into the lower right corner; words too long for their field are drawn smaller.
void addTitleBlock(Sheet& sheet, const GateSpec& spec, const TitleBlock& block);

}  // namespace leafstack
