// A solid's entities in another frame, without asking the kernel again.
#pragma once

#include <gp_Trsf.hxx>
#include <string>
#include <string_view>

namespace leafstack {

/// `entities` (SolidText, step_solid.h) after the rigid motion. Every point and direction of space
/// is moved; those with two coordinates, of curves on surfaces, stay. Throws ExportError for a
/// coordinate that cannot be read.
std::string movedEntities(std::string_view entities, const gp_Trsf& motion);

}  // namespace leafstack
