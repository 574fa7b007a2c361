// The welds of rope brackets under their ropes' pull, as long as they can be laid.
//
// N, mm, N/mm2. The pull acts in a bore, at its lever from the welds (weld_group.h). It is the
// rope's greatest at work or, where that is more, the drive's full force against a front panel that
// is held fast; with EN 1990's 1.5 for what varies.
#pragma once

#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"
#include "generator/shop/welds/weld_rows.h"

namespace leafstack::detail_rows {

/// Pulls of the worse of a carrying panel's two ropes, unfactored.
struct BracketPull {
  int carrier = 1;
  double work_N = 0, held_N = 0;
};

/// A row for every rope bracket.
void addRopeBracketDetails(const Model& model, const std::vector<BracketPull>& ropes,
                           StructureReport& report);

/// Lets these brackets' fillets grow where the gate file leaves them open, and tells their rows
/// what share of their strength they take.
void weldToRopes(const Model& model, const std::vector<BracketPull>& ropes,
                 std::vector<WeldRow>& rows);
bool isOfRopeBracket(const Model& model, const WeldRow& row);

}  // namespace leafstack::detail_rows
