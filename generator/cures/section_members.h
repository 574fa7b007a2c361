// What of a gate's sections is left to the program, and what each may be.
#pragma once

#include <string>
#include <vector>

#include "generator/loads/load_report.h"
#include "params/read_gate.h"

namespace leafstack {

/// A section or post that merchants keep.
struct SectionCandidate {
  std::string value;
  double area_mm2 = 0;
  double side_mm = 0, wall_mm = 0;
  double modulus_mm3 = 0;  ///< bent across the track

  /// No stiffer nor stronger, of the same depth.
  bool isNoMoreThan(const SectionCandidate& other) const {
    return side_mm <= other.side_mm && wall_mm <= other.wall_mm;
  }
};

/// One thing that is left to the program, with all it may be, lightest first.
struct SectionMember {
  const char* pointer;
  const char* name;  ///< in the frame's members
  std::vector<SectionCandidate> candidates;
  int at = 0;

  bool isLast() const { return at + 1 >= static_cast<int>(candidates.size()); }
};

/// Share of what it bears that the worst of them reaches.
double useOf(const SectionMember& member, const StructureReport& structure);
/// Movement across the track over what is allowed.
double timesMoved(const StructureReport& structure);

/// In the order bottom rail, top rail, stile, guide post: tubes `depth_mm` deep.
std::vector<SectionMember> sectionMembersOf(const GateSpec& spec, double depth_mm);
/// That of the members given, else all of frames that are kept; mm.
std::vector<double> sectionDepthsOf(const GateSpec& spec);

/// Sections that merchants keep, of this depth, by area rising.
std::vector<HollowSection> sectionsOfDepth(double depth_mm);

}  // namespace leafstack
