// Sheets as who makes a gate reads them: every row of places whole, every arrow on its weld, ropes
// and panels taken apart.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/assemblies.h"
#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/blocks/gate_views.h"
#include "generator/geometry/mesh/mesh.h"
#include "tests/paper/workshop/drawn_gates.h"

namespace leafstack {
namespace {

using sheets::DrawnGate;
using sheets::drawnGates;

/// How many places a cell of a list tells: "3 from 0 every 20, last 40; 77" four.
int placesIn(const std::string& cell) {
  static const std::regex kRun("(?:([0-9]+) from )?-?[0-9.]+(?: every -?[0-9.]+, last -?[0-9.]+)?");
  int count = 0;
  for (std::sregex_iterator it(cell.begin(), cell.end(), kRun), end; it != end; ++it) {
    count += (*it)[1].matched ? std::stoi((*it)[1]) : 1;
  }
  return count;
}

// A row of n pieces at a places along, b across and c up means each with each: a x b x c is n, or
// somebody has to ask which goes with which.
TEST(ToldWhole, EveryRowOfAListTellsEachPieceItsPlace) {
  static const std::regex kPlain("[-0-9.; ]+|.*every.*");
  int rows = 0;
  for (const DrawnGate& gate : drawnGates()) {
    const GateViews views(gate.model);
    for (const Assembly& assembly : assembliesOf(gate.model)) {
      const AssemblyViews drawn(views, gate.schedules, assembly);
      std::size_t pieces = 0;
      for (const std::vector<std::string>& row : drawn.table().rows) {
        if (row[0].empty()) {
          continue;
        }
        pieces += static_cast<std::size_t>(std::stoi(row[1]));
        const bool is_plain = std::all_of(row.begin() + 4, row.begin() + 7, [](const auto& cell) {
          return std::regex_match(cell, kPlain);
        });
        if (is_plain && row[4].find("board") == std::string::npos) {
          EXPECT_EQ(placesIn(row[4]) * placesIn(row[5]) * placesIn(row[6]), std::stoi(row[1]))
              << assembly.name << ' ' << row[0] << ": " << row[4] << " | " << row[5] << " | "
              << row[6];
          ++rows;
        }
      }
      EXPECT_EQ(pieces, assembly.instances.size()) << assembly.name;
    }
  }
  EXPECT_GT(rows, 200);
}

TEST(ToldWhole, EveryEndStopHasASheetOfItsOwn) {
  for (const DrawnGate& gate : drawnGates()) {
    int stops = 0;
    for (const Assembly& assembly : assembliesOf(gate.model)) {
      const auto count =
          std::count_if(assembly.instances.begin(), assembly.instances.end(), [&](int i) {
            return gate.model.parts[gate.model.instances[i].part].kind == PartKind::kEndStop;
          });
      EXPECT_EQ(count, assembly.name.starts_with("end-stop") ? 1 : 0) << assembly.name;
      stops += static_cast<int>(count);
    }
    EXPECT_EQ(stops, gate.model.layout.panel_count);
  }
}

/// Meshes of a gate's instances, closed.
class Meshes {
 public:
  explicit Meshes(const Model& model) : model_(model) {}
  const TriangleMesh& of(int i) {
    const Instance& one = model_.instances[i];
    return meshes_.try_emplace(i, model_.parts[one.part].solid, one.at_closed.Transformation())
        .first->second;
  }

 private:
  const Model& model_;
  std::map<int, TriangleMesh> meshes_;
};

// Every row of welds has metal near both of its parts, and hardly any in one of them: faces count
// without their holes, so some seams run across a slot or beside a notch.
TEST(ToldWhole, SeamsLieBetweenTheirParts) {
  constexpr double kNearMm = 8, kOnMm = 0.05, kMostShare = 0.01;
  int seams = 0, inside = 0;
  std::string far;
  for (const DrawnGate& gate : drawnGates()) {
    Meshes meshes(gate.model);
    for (const WeldRow& row : gate.schedules.welds) {
      bool is_near = row.seams.empty();
      for (const WeldSeam& seam : row.seams) {
        const Vec3 metal = plus(plus(seam.from, minus(seam.to, seam.from), 0.5), seam.into_mm);
        bool is_beside = true, is_in = false;
        for (const int i : row.instances) {
          const double off = meshes.of(i).surfaceDistance(metal);
          is_in = is_in || (off > kOnMm && meshes.of(i).contains(metal));
          is_beside = is_beside && off < kNearMm;
        }
        inside += is_in ? 1 : 0;
        is_near = is_near || is_beside;
        ++seams;
      }
      far += is_near ? "" : row.mark + " " + row.a + "-" + row.b + "; ";
    }
  }
  EXPECT_GT(seams, 500);
  EXPECT_LT(inside, kMostShare * seams) << "of " << seams;
  EXPECT_EQ(far, "");
}

/// From a point to a straight line's nearest.
double offLine(const Vec3& point, const Vec3& from, const Vec3& to) {
  const Vec3 run = minus(to, from);
  const double share = std::clamp(dot(minus(point, from), run) / dot(run, run), 0.0, 1.0);
  return norm(minus(point, plus(from, run, share)));
}

// What a sign says of where one looks from holds by another way of looking: its arrow ends on one
// of its own seams, beside both parts, and where no words are added nothing stands before it.
TEST(ToldWhole, ArrowsEndOnTheirSeamsInViewsThatSeeThem) {
  constexpr double kNearMm = 8, kStepMm = 0.5, kFarMm = 400;
  int arrows = 0, seen_plainly = 0;
  std::string wrong;
  for (const DrawnGate& gate : drawnGates()) {
    Meshes meshes(gate.model);
    const GateViews views(gate.model);
    for (int panel = 0; panel <= gate.model.layout.panel_count; ++panel) {
      std::vector<int> own;
      for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
        const Instance& one = gate.model.instances[i];
        const bool is_ground = gate.model.parts[one.part].kind == PartKind::kFooting;
        if (one.panel == panel && !is_ground) {
          own.push_back(i);
        }
      }
      const WeldSight sight(views, own);
      const auto all = [](const Vec3&) { return true; };
      for (const WeldGroup& group : weldGroups(gate.schedules.welds, panel)) {
        for (const SeenWeld& one : sight.seen(group, eyesOfFrame(), all)) {
          if (one.group.seams.front().empty()) {
            continue;  // of bars round a hole
          }
          ++arrows;
          double off = kFarMm;
          for (const WeldSeam& seam : one.group.seams.front()) {
            off = std::min(off, offLine(one.group.at, plus(seam.from, seam.into_mm),
                                        plus(seam.to, seam.into_mm)));
          }
          for (const int i : one.group.of_signs.front()) {
            off = std::max(off, meshes.of(i).surfaceDistance(one.group.at) - kNearMm);
          }
          wrong += off < kStepMm
                       ? ""
                       : one.group.signs.front().tail + " " + group.a + "-" + group.b + " off; ";
          if (!one.group.signs.front().where.empty()) {
            continue;
          }
          ++seen_plainly;
          const Vec3 toward = eyesOfFrame()[static_cast<std::size_t>(one.eye)].toward;
          bool is_free = true;
          for (double step = 2 * kStepMm; step < kFarMm && is_free; step += kStepMm) {
            const Vec3 at = plus(one.group.at, toward, step);
            for (const int i : own) {
              const Bounds& box = gate.model.instances[i].bounds;
              bool is_near = true;
              for (int axis = 0; axis < 3; ++axis) {
                is_near = is_near && at[axis] > box.low[axis] && at[axis] < box.high[axis];
              }
              is_free = is_free && !(is_near && meshes.of(i).contains(at));
            }
          }
          wrong += is_free ? "" : group.a + "-" + group.b + " hidden; ";
        }
      }
    }
  }
  EXPECT_GT(arrows, 300);
  EXPECT_GT(seen_plainly, 100);
  EXPECT_EQ(wrong, "");
}

// Each rope's mark is on one sheet of ropes and its line is drawn as ropes are; a panel alone has
// none.
TEST(ToldWhole, EveryRopeIsOnASheetOfRopes) {
  for (const DrawnGate& gate : drawnGates()) {
    std::set<std::string> named;
    std::size_t rope_lines = 0;
    for (const Sheet& sheet : gate.sheets) {
      if (!sheet.name.starts_with("rope-diagram")) {
        continue;
      }
      for (const Path& path : sheet.paths) {
        rope_lines += path.role == LineRole::kRope ? 1 : 0;
      }
      for (const Part& part : gate.model.parts) {
        const bool is_named =
            part.kind == PartKind::kRope &&
            std::any_of(sheet.letterings.begin(), sheet.letterings.end(),
                        [&](const Lettering& one) { return one.text.find(part.mark) == 0; });
        if (is_named) {
          named.insert(part.mark);
        }
      }
    }
    std::set<std::string> ropes;
    for (const Part& part : gate.model.parts) {
      if (part.kind == PartKind::kRope) {
        ropes.insert(part.mark);
      }
    }
    EXPECT_EQ(named, ropes);
    EXPECT_GE(rope_lines, ropes.size());
  }
}

// The list of a panel taken apart names every part that goes with the panel, by itself or as one of
// "PK1 to PK30", and its balloons are numbered from 1 without a gap.
TEST(ToldWhole, APanelTakenApartHasAllOfIt) {
  static const std::regex kRange("([A-Z]{2})([0-9]+) to ([A-Z]{2})([0-9]+)");
  for (const DrawnGate& gate : drawnGates()) {
    for (int panel = 1; panel <= gate.model.layout.panel_count; ++panel) {
      std::set<std::string> named;
      std::multiset<int> balloons;
      for (const Sheet& sheet : gate.sheets) {
        if (!sheet.name.starts_with("assembly-panel-" + std::to_string(panel))) {
          continue;
        }
        for (const Lettering& one : sheet.letterings) {
          std::smatch range;
          if (std::regex_match(one.text, range, kRange)) {
            for (int number = std::stoi(range[2]); number <= std::stoi(range[4]); ++number) {
              named.insert(std::string(range[1]) + std::to_string(number));
            }
          } else if (one.height_mm > 3 && one.height_mm < 4 &&
                     one.text.find_first_not_of("0123456789") == std::string::npos) {
            balloons.insert(std::stoi(one.text));
          } else {
            named.insert(one.text);
          }
        }
      }
      for (const Instance& one : gate.model.instances) {
        const Part& part = gate.model.parts[one.part];
        if (one.panel == panel && part.kind != PartKind::kRope) {
          EXPECT_TRUE(named.contains(part.mark)) << "panel " << panel << ": " << part.mark;
        }
      }
      ASSERT_FALSE(balloons.empty());
      int next = 1;
      for (const int number : balloons) {
        EXPECT_EQ(number, next++) << "panel " << panel;
      }
    }
  }
}

}  // namespace
}  // namespace leafstack
