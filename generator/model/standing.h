// Two solids where they stand.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>

namespace leafstack {

/// Are the solids no further apart than `gap_mm`, to the coarse mesh's error? Touch and overlap
/// count.
bool standWithin(const TopoDS_Shape& a, const TopLoc_Location& at_a, const TopoDS_Shape& b,
                 const TopLoc_Location& at_b, double gap_mm);

}  // namespace leafstack
