// Entities of an IFC file (ISO 16739-1, IFC4), as ISO 10303-21 writes them: places, shapes, looks.
#pragma once

#include <TopLoc_Location.hxx>
#include <array>
#include <gp_Ax2.hxx>
#include <string>
#include <vector>

#include "exporters/cad/palette.h"
#include "exporters/cad/step/step_text.h"
#include "generator/occt/flat_loops.h"

namespace leafstack {

/// "IFCX(a,b)": attributes as they are written.
std::string ifcEntity(std::string_view name, const std::vector<std::string>& attributes);
/// ".NAME."
std::string ifcWord(std::string_view name);

/// "#4"
inline std::string ifcRef(int id) {
  return part21Reference(id);
}

/// One data section under way. Points, directions and placements that are alike are written once.
class IfcEntities {
 public:
  int add(std::string_view name, const std::vector<std::string>& attributes);

  int point(const std::array<double, 3>& at_mm);
  int direction(const std::array<double, 3>& unit);
  int placement(const gp_Ax2& axes);
  int placement(const TopLoc_Location& location);
  /// IFCLOCALPLACEMENT; `relative_to` 0 for the file's own frame.
  int localPlacement(int relative_to, const TopLoc_Location& location);

  /// A closed curve of lines and arcs, or a circle, in the plane of a profile.
  int curve(const ProfileLoop& loop);

  const std::string& text() const { return entities_.text(); }

 private:
  int once(const std::string& body);
  int curvePoint2(double x, double y);

  EntityText entities_;
  std::vector<std::pair<std::string, int>> known_;  ///< sorted by text
};

}  // namespace leafstack
