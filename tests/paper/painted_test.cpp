// What is seen of every piece: properties Q1 to Q4 of painted.h. Judge: rays against all triangles,
// one by one.
#include "exporters/paper/pictures/painted.h"

#include <gtest/gtest.h>
#include <BRepPrimAPI_MakeBox.hxx>

#include <cmath>
#include <memory>
#include <vector>

#include "generator/occt/solids/tube.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

const PictureView kSquareOn = {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}};

PlacedPieces piecesOf(const TopoDS_Shape& solid, const TopLoc_Location& at = {}) {
  return {std::make_shared<const FlatPieces>(partMesh(solid, {1.0})), at};
}

double regionArea(const SeenRegion& region) {
  double twice = 0;
  for (const auto& loop : region.loops) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const ViewPoint& p = loop[i];
      const ViewPoint& q = loop[(i + 1) % loop.size()];
      twice += p[0] * q[1] - p[1] * q[0];
    }
  }
  return twice / 2;
}

bool holdsPoint(const SeenRegion& region, double x, double y) {
  bool inside = false;
  for (const auto& loop : region.loops) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const ViewPoint& p = loop[i];
      const ViewPoint& q = loop[(i + 1) % loop.size()];
      if ((p[1] > y) != (q[1] > y) && x < p[0] + (y - p[1]) / (q[1] - p[1]) * (q[0] - p[0])) {
        inside = !inside;
      }
    }
  }
  return inside;
}

/// Of a loop in space, as seen.
struct Facing {
  int solid = 0, piece = 0;
  std::array<Vec3, 3> corners{};
};

/// The nearest triangle at a point of the view, and how much nearer it is than the next one.
struct Nearest {
  int solid = -1, piece = -1;
  double depth = -1e9, ahead = 1e9, border = 1e9;
};

class Rays {
 public:
  Rays(const std::vector<Part>& parts, const std::vector<Instance>& instances,
       const PictureView& view) {
    for (int s = 0; s < static_cast<int>(instances.size()); ++s) {
      const PartMesh mesh = partMesh(parts[instances[s].part].solid, {1.0});
      const FlatPieces pieces(mesh);
      const gp_Trsf motion = instances[s].at_closed.Transformation();
      int piece = -1;
      for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
        const Vec3 normal = mesh.flatNormal(mesh.triangles[t]);
        while (piece < 0 || pieces.pieces[piece].face != mesh.triangles[t].face ||
               norm(minus(pieces.pieces[piece].normal, normal)) > 1e-6) {
          ++piece;
        }
        Facing facing{s, piece, {}};
        for (int i = 0; i < 3; ++i) {
          const Vec3& own = mesh.points[mesh.triangles[t].points[i]];
          const gp_Pnt at = gp_Pnt(own[0], own[1], own[2]).Transformed(motion);
          facing.corners[i] = seen(view, {at.X(), at.Y(), at.Z()});
        }
        all_.push_back(facing);
      }
    }
  }

  Nearest at(double x, double y) const {
    Nearest found;
    for (const Facing& facing : all_) {
      const auto& [a, b, c] = facing.corners;
      const double twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
      if (twice <= 1e-6) {
        continue;
      }
      const auto share = [&](const Vec3& p, const Vec3& q) {
        return ((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])) / twice;
      };
      const double of_c = share(a, b);
      const double of_a = share(b, c);
      const double of_b = share(c, a);
      const auto distance = [&](const Vec3& p, const Vec3& q, double at_share) {
        return std::abs(at_share) * twice / std::hypot(q[0] - p[0], q[1] - p[1]);
      };
      found.border = std::min(
          {found.border, distance(a, b, of_c), distance(b, c, of_a), distance(c, a, of_b)});
      if (of_a < 0 || of_b < 0 || of_c < 0) {
        continue;
      }
      const double depth = of_a * a[2] + of_b * b[2] + of_c * c[2];
      if (depth > found.depth) {
        found.ahead = std::min(found.ahead, depth - found.depth);
        found.depth = depth;
        found.solid = facing.solid;
        found.piece = facing.piece;
      } else {
        found.ahead = std::min(found.ahead, found.depth - depth);
      }
    }
    return found;
  }

 private:
  std::vector<Facing> all_;
};

TEST(Painted, WhatRunsThroughAnotherIsDividedWhereTheyCross) {
  // A plate of 100 x 40 at Y = 0, and one that turns through it about the upright at X = 50.
  gp_Trsf turn;
  turn.SetRotation(gp_Ax1(gp_Pnt(50, 0, 0), gp::DZ()), 0.5);
  const TopoDS_Shape plate = BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), gp_Pnt(100, 1, 40)).Shape();
  const auto regions =
      painted({piecesOf(plate), piecesOf(plate, TopLoc_Location(turn))}, kSquareOn);
  double first = 0;
  double second = 0;
  for (const SeenRegion& region : regions) {
    (region.solid == 0 ? first : second) += regionArea(region);
  }
  // To the right of the crossing the turned one lies behind. Of its left half the face is cos 0.5
  // as wide as seen and the end, a millimetre thick, sin 0.5; the first shows wherever that does
  // not.
  EXPECT_NEAR(second, (50 * std::cos(0.5) + std::sin(0.5)) * 40, 0.05 * 40);
  EXPECT_NEAR(first + second, 100 * 40, 0.05 * 40);
}

TEST(Painted, RegionsAreThoseOfTheNearestPiecesAndNeverOverlap) {  // Q1 to Q3
  const Model model = gates::modelWith({{"/site/opening_mm", 3000}, {"/gate/panels", 2}});
  const PictureView view = roadView(model.opening_sign);
  std::vector<PlacedPieces> solids;
  double left = 1e9, right = -1e9, low = 1e9, high = -1e9;
  for (const Instance& instance : model.instances) {
    solids.push_back(
        {std::make_shared<const FlatPieces>(partMesh(model.parts[instance.part].solid, {1.0})),
         instance.at_closed});
    for (const Vec3& corner : {instance.bounds.low, instance.bounds.high}) {
      const Vec3 at = seen(view, corner);
      left = std::min(left, at[0]);
      right = std::max(right, at[0]);
      low = std::min(low, at[1]);
      high = std::max(high, at[1]);
    }
  }
  const auto regions = painted(solids, view);
  const Rays rays(model.parts, model.instances, view);
  Dice dice(11);
  int judged = 0;
  for (int i = 0; i < 1500; ++i) {
    const double x = dice.in(left, right);
    const double y = dice.in(low, high);
    std::vector<const SeenRegion*> found;
    for (const SeenRegion& region : regions) {
      if (holdsPoint(region, x, y)) {
        found.push_back(&region);
      }
    }
    const Nearest nearest = rays.at(x, y);
    // Beside a border or a crossing both answers are right.
    if (nearest.border < 0.01 || nearest.ahead < 0.1) {
      continue;
    }
    ++judged;
    ASSERT_EQ(found.size(), nearest.solid < 0 ? 0U : 1U) << x << " " << y;
    if (nearest.solid >= 0) {
      EXPECT_EQ(found.front()->solid, nearest.solid) << x << " " << y;
      EXPECT_EQ(found.front()->piece, nearest.piece) << x << " " << y;
    }
  }
  EXPECT_GT(judged, 1200);
}

}  // namespace
}  // namespace leafstack
