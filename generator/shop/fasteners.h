// Every screw and anchor of a gate: which, how long, between which parts, and whether a tool
// reaches it as the parts are put together.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// One row of report.json `fasteners`: those that are alike and join the same two marks.
struct FastenerRow {
  std::string mark;   ///< of the screw or anchor
  std::string what;   ///< why the two are joined
  std::string size;   ///< "M6x16"; of an anchor "M12"
  std::string head;   ///< "hexagon", "socket", "countersunk", "nut"
  std::string grade;  ///< property class: "8.8"
  std::string finish;
  double thread_mm = 0, length_mm = 0, grip_mm = 0;
  double hold_mm = 0;    ///< of the thread in what it holds in; 0 in concrete or masonry
  double tapped_mm = 0;  ///< hole drilled to be tapped; 0 where the thread is formed, or none is
  double torque_Nm = 0;  ///< tightened to, class 8.8, sunk heads less; 0: none in the catalogue
  int quantity = 0;
  int panel = 0;            ///< that carries them; 0 = does not move
  std::string under_head;   ///< mark of the part under the head
  std::string holds_in;     ///< mark of the part that the thread holds in
  std::string washer, nut;  ///< marks; "" for none
  std::string
      tool;  ///< "socket 18", "spanner 18" (ring), "open spanner 18", "hexagon key 5, before MO1"
  std::vector<std::string> blocked_by;  ///< marks of what the tool meets; none: it reaches
};

/// In the order of the model's fastenings. A tool is a cylinder over the head (socketRoom_mm()
/// about it and the ratchet on it, or a hexagon key's short arm), or where a socket has no room a
/// ring spanner, or an open one; it must meet nothing of the panel that carries the screw, or of
/// what is fixed for a fixed one. What is put on later (ropes, guide blocks, buffers over anchors)
/// is not looked at.
std::vector<FastenerRow> fastenerRows(const Model& model);

/// What a screw, nut, washer or anchor has to be besides its size; each "" for other parts.
struct FastenerQuality {
  std::string grade, finish;
};
FastenerQuality fastenerQuality(const Model& model, const Part& part);

/// Pieces in a merchant's box of this part; 0 for what is sold by the piece.
int piecesPerBox(const Model& model, const Part& part);

}  // namespace leafstack
