#include "generator/shop/cutouts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <optional>
#include <tuple>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/numbers.h"
#include "generator/model/wall_holes.h"
#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

constexpr double kSlotEndMm = 1e-6;

struct FileWall {
  Wall wall;
  const char* outward;
  int axis;
  double sign;
};
// As the file has them.
constexpr std::array<FileWall, 4> kFileWalls = {{{Wall::kFront, "low Y", 1, -1},
                                                 {Wall::kRear, "high Y", 1, 1},
                                                 {Wall::kBottom, "low Z", 2, -1},
                                                 {Wall::kTop, "high Z", 2, 1}}};

/// The wall as it stands in the gate. Sides of uprights have no row in Wall.
struct GateWall {
  std::string name;
  std::optional<Wall> wall;
};

GateWall inGate(const gp_Trsf& file_motion, const FileWall& wall, double opening_sign) {
  const gp_Trsf back = file_motion.Inverted();
  std::array<double, 3> out{};
  for (int i = 0; i < 3; ++i) {
    out[i] = wall.sign * back.Value(i + 1, wall.axis + 1);
  }
  if (std::abs(out[1]) > 0.5) {
    return out[1] < 0 ? GateWall{"front", Wall::kFront} : GateWall{"rear", Wall::kRear};
  }
  if (std::abs(out[2]) > 0.5) {
    return out[2] < 0 ? GateWall{"underside", Wall::kBottom} : GateWall{"top", Wall::kTop};
  }
  return {out[0] * opening_sign < 0 ? "leading side" : "trailing side", std::nullopt};
}

std::string kindOf(const TubeHole& hole) {
  if (hole.is_round) {
    return "round";
  }
  const double half = std::min(hole.length_mm, hole.width_mm) / 2;
  return hole.corner_mm > half - kSlotEndMm ? "slot" : "rectangle";
}

/// Whether the hole is one of the part's vents, by where it is in the file.
bool isVent(const Part& part, const gp_Trsf& file_motion, const FileWall& wall,
            const TubeHole& hole) {
  constexpr double kSamePlaceMm = 1e-3;
  return std::any_of(part.vents.begin(), part.vents.end(), [&](const VentHole& vent) {
    const auto& at = vent.centre_mm;
    const gp_Pnt centre = gp_Pnt(at[0], at[1], at[2]).Transformed(file_motion);
    const double across = wall.axis == 1 ? centre.Z() : centre.Y();
    return hole.is_round && std::abs(hole.length_mm - vent.diameter_mm) < kSamePlaceMm &&
           std::abs(hole.x_mm - centre.X()) < kSamePlaceMm &&
           std::abs(hole.across_mm - across) < kSamePlaceMm;
  });
}

/// What a screw goes through the hole for, by where it is in the file; "" where none does.
std::string screwedBy(const Model& model, const Part& part, const gp_Trsf& file_motion,
                      const FileWall& wall, const TubeHole& hole) {
  constexpr double kSamePlaceMm = 1e-2;
  for (const Fastening& fastening : model.fastenings) {
    for (const int held : {fastening.under_head, fastening.holds_in}) {
      if (held < 0 || &model.parts[model.instances[held].part] != &part) {
        continue;
      }
      const gp_Trsf to_file =
          file_motion * model.instances[held].at_closed.Transformation().Inverted();
      const auto& [seat, out] = std::tie(fastening.seat_mm, fastening.out);
      const gp_Pnt at = gp_Pnt(seat[0], seat[1], seat[2]).Transformed(to_file);
      const gp_Vec way = gp_Vec(out[0], out[1], out[2]).Transformed(to_file);
      const double along = wall.axis == 1 ? way.Y() : way.Z();
      const double across = wall.axis == 1 ? at.Z() : at.Y();
      // The head's side tells the wall: a thread holds in the one that it meets first.
      if (hole.is_round && along * wall.sign > 0.9 && std::abs(at.X() - hole.x_mm) < kSamePlaceMm &&
          std::abs(across - hole.across_mm) < kSamePlaceMm) {
        return (held == fastening.holds_in ? "flow-drilled M" : "M") + shown(fastening.thread_mm) +
               ": " + fastening.what;
      }
    }
  }
  return "";
}

std::vector<CutoutRow> rowsOf(const Model& model, const Part& part, int quantity) {
  std::vector<CutoutRow> rows;
  const gp_Trsf motion = fileMotion(part, model.opening_sign);
  // Rails are laid out from their lower leading corner, which is their own 0.
  const bool is_rail = part.kind == PartKind::kBottomRail || part.kind == PartKind::kTopRail;
  const double zero_mm = is_rail ? gp_Pnt(0, 0, 0).Transformed(motion).X() : 0;
  Part in_file = part;
  in_file.solid = part.solid.Moved(motion);
  for (const FileWall& wall : kFileWalls) {
    const GateWall stands = inGate(motion, wall, model.opening_sign);
    for (const TubeHole& hole : holesIn(in_file, wall.wall)) {
      CutoutRow row;
      row.mark = part.mark;
      row.name = part.name;
      row.file = partPath(model.spec.job, part) + ".step";
      row.quantity = quantity;
      row.wall = stands.name;
      row.outward = wall.outward;
      row.kind = kindOf(hole);
      row.x_mm = hole.x_mm;
      row.from_end_mm = hole.x_mm - zero_mm;
      row.across_mm = hole.across_mm;
      row.length_mm = hole.length_mm;
      row.width_mm = hole.width_mm;
      row.corner_mm = hole.is_round ? hole.width_mm / 2 : hole.corner_mm;
      if (part.kind == PartKind::kBottomRail && stands.wall) {
        row.what = purposeOf(model.spec.hardware, hole, *stands.wall);
      }
      if (row.what.empty()) {
        row.what = screwedBy(model, part, motion, wall, hole);
      }
      if (isVent(part, motion, wall, hole)) {
        row.what = "vent";
      }
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

}  // namespace

std::vector<CutoutRow> cutoutRows(const Model& model) {
  std::vector<int> quantity(model.parts.size());
  for (const Instance& instance : model.instances) {
    ++quantity.at(instance.part);
  }
  std::vector<std::vector<CutoutRow>> by_part(model.parts.size());
  inParallel(static_cast<int>(model.parts.size()), [&](int i) {
    const Part& part = model.parts.at(i);
    if (part.tube) {
      by_part.at(i) = rowsOf(model, part, quantity.at(i));
    }
  });
  std::vector<CutoutRow> rows;
  for (std::vector<CutoutRow>& of_part : by_part) {
    std::move(of_part.begin(), of_part.end(), std::back_inserter(rows));
  }
  return rows;
}

}  // namespace leafstack
