#include "generator/loads/checks/rail_holes.h"

#include <cmath>
#include <set>

#include "generator/geometry/numbers.h"
#include "generator/model/wall_holes.h"

namespace leafstack {
namespace {

constexpr std::pair<Wall, TubeWall> kWalls[] = {{Wall::kFront, TubeWall::kFront},
                                                {Wall::kRear, TubeWall::kRear},
                                                {Wall::kBottom, TubeWall::kBottom},
                                                {Wall::kTop, TubeWall::kTop}};

std::vector<WallGap> gapsOf(const Part& rail, const HardwareSpec& shelf) {
  std::vector<WallGap> gaps;
  for (const auto& [wall, side] : kWalls) {
    for (const TubeHole& hole : holesIn(rail, wall)) {
      // In the parts of a left-hand gate the rail runs towards -X.
      const double x = std::abs(hole.x_mm);
      gaps.push_back({side, x - hole.length_mm / 2, x + hole.length_mm / 2,
                      hole.across_mm - hole.width_mm / 2, hole.across_mm + hole.width_mm / 2,
                      purposeOf(shelf, hole, wall)});
    }
  }
  return gaps;
}

constexpr TubeWall kSideOf[] = {TubeWall::kFront, TubeWall::kRear, TubeWall::kBottom,
                                TubeWall::kTop};

std::vector<WallGap> gapsOf(const std::vector<VentHole>& vents) {
  std::vector<WallGap> gaps;
  for (const VentHole& vent : vents) {
    const double r = vent.diameter_mm / 2;
    gaps.push_back({kSideOf[static_cast<int>(vent.wall)], vent.along_mm - r, vent.along_mm + r,
                    vent.across_mm - r, vent.across_mm + r, "vent"});
  }
  return gaps;
}

std::string named(const std::vector<WallGap>& gaps) {
  std::set<std::string> names;
  for (const WallGap& gap : gaps) {
    names.insert(gap.purpose);
  }
  std::string text;
  for (const std::string& name : names) {
    text += (text.empty() ? "" : name == *names.rbegin() ? " and " : ", ") + name;
  }
  return text;
}

}  // namespace

std::map<int, std::vector<WeakPlace>> weakPlaces(const Model& model) {
  std::map<int, std::vector<WeakPlace>> out;
  for (std::size_t i = 0; i < model.parts.size(); ++i) {
    const Part& rail = model.parts[i];
    if (!rail.tube || (rail.kind != PartKind::kBottomRail && rail.vents.empty())) {
      continue;
    }
    const std::vector<WallGap> gaps =
        rail.kind == PartKind::kBottomRail ? gapsOf(rail, model.spec.hardware) : gapsOf(rail.vents);
    std::vector<WeakPlace>& places = out[static_cast<int>(i)];
    for (const WallGap& gap : gaps) {
      for (const double at : {gap.from_mm, (gap.from_mm + gap.to_mm) / 2, gap.to_mm}) {
        std::vector<WallGap> here;
        for (const WallGap& other : gaps) {
          if (other.from_mm <= at + kLengthEqualMm && at <= other.to_mm + kLengthEqualMm) {
            here.push_back(other);
          }
        }
        places.push_back({at, netSection(*rail.tube, here), named(here)});
      }
    }
  }
  return out;
}

}  // namespace leafstack
