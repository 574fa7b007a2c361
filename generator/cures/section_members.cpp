#include "generator/cures/section_members.h"

#include <algorithm>
#include <set>
#include <string_view>

#include "generator/layout/figures/sections.h"
#include "params/catalogue/catalogue.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

/// Depths of frames that are looked at where none is given.
constexpr double kLeastDepthMm = 40, kMostDepthMm = 80;
/// Guide posts: the square sections kept, from the least that the gate file takes.
constexpr double kLeastPostMm = 50;

bool isOf(const SectionMember& member, const StructureMember& one) {
  const bool is_post = std::string_view(member.pointer) == "/guides/post_mm";
  return is_post == (one.panel == 0) && one.name.find(member.name) != std::string::npos;
}

std::vector<SectionCandidate> ofDepth(double depth_mm) {
  std::vector<SectionCandidate> out;
  for (const HollowSection& one : sectionsOfDepth(depth_mm)) {
    const SectionProperties across = bendingAcross(one);
    out.push_back(
        {one.designation, across.area_mm2, one.height_mm, one.wall_mm, across.modulus_mm3});
  }
  return out;
}

std::vector<SectionCandidate> posts(double wall_mm) {
  std::set<double> sides;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm == one.height_mm && one.depth_mm >= kLeastPostMm) {
      sides.insert(one.depth_mm);
    }
  }
  std::vector<SectionCandidate> out;
  for (const double side : sides) {
    const HollowSection section{side, side, wall_mm, ""};
    const SectionProperties across = bendingAcross(section);
    out.push_back({formatNumber(side), across.area_mm2, side, wall_mm, across.modulus_mm3});
  }
  return out;
}

}  // namespace

double useOf(const SectionMember& member, const StructureReport& structure) {
  double most = 0;
  for (const StructureMember& one : structure.members) {
    most = isOf(member, one) ? std::max(most, one.use) : most;
  }
  return most;
}

double timesMoved(const StructureReport& structure) {
  return structure.deflection_mm / structure.deflection_limit_mm;
}

std::vector<HollowSection> sectionsOfDepth(double depth_mm) {
  std::vector<HollowSection> out;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm == depth_mm) {
      out.push_back(one);
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const HollowSection& one, const HollowSection& other) {
                     return bendingAcross(one).area_mm2 < bendingAcross(other).area_mm2;
                   });
  return out;
}

std::vector<SectionMember> sectionMembersOf(const GateSpec& spec, double depth_mm) {
  std::vector<SectionMember> members;
  const auto add = [&](bool is_auto, const char* pointer, const char* name,
                       std::vector<SectionCandidate> candidates) {
    if (is_auto) {
      members.push_back({pointer, name, std::move(candidates)});
    }
  };
  const PanelSpec& gate = spec.gate;
  add(gate.bottom_rail.is_auto, "/gate/bottom_rail", "bottom rail", ofDepth(depth_mm));
  add(gate.top_rail.is_auto, "/gate/top_rail", "top rail", ofDepth(depth_mm));
  add(gate.stile.is_auto, "/gate/stile", "stile", ofDepth(depth_mm));
  add(spec.guides.post_is_auto, "/guides/post_mm", "guide post", posts(spec.hardware.post.wall_mm));
  return members;
}

std::vector<double> sectionDepthsOf(const GateSpec& spec) {
  for (const HollowSection* one : {&spec.gate.bottom_rail, &spec.gate.top_rail, &spec.gate.stile}) {
    if (!one->is_auto) {
      return {one->depth_mm};
    }
  }
  std::set<double> depths;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm >= kLeastDepthMm && one.depth_mm <= kMostDepthMm) {
      depths.insert(one.depth_mm);
    }
  }
  return {depths.begin(), depths.end()};
}

}  // namespace leafstack
