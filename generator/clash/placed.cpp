#include "generator/clash/placed.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/occt/checked.h"

namespace leafstack {
namespace {

Bounds unitedBounds(const Bounds& p, const Bounds& q) {
  Bounds box = p;
  include(box, q.low);
  include(box, q.high);
  return box;
}

gp_Trsf turnOnly(const TopLoc_Location& location) {
  gp_Trsf turn = location.Transformation();
  turn.SetTranslationPart(gp_Vec(0, 0, 0));
  return turn;
}

bool isSameTurn(const gp_Trsf& p, const gp_Trsf& q) {
  constexpr double kSameTurn = 1e-12;
  for (int row = 1; row <= 3; ++row) {
    for (int column = 1; column <= 3; ++column) {
      if (std::abs(p.Value(row, column) - q.Value(row, column)) > kSameTurn) {
        return false;
      }
    }
  }
  return true;
}

Vec3 placeOf(const Instance& instance) {
  const gp_XYZ& at = instance.at_closed.Transformation().TranslationPart();
  return {at.X(), at.Y(), at.Z()};
}

/// The end of a strand along X, cut square. A segment with a radius ends in a half ball, so it
/// stops a radius short, and the rest is a cylinder in flat pieces.
struct StrandEnd {
  Vec3 core;  ///< where the segment stops
  std::vector<Piece> pieces;

  StrandEnd(const Vec3& near, const Vec3& far, double radius) : core(far) {
    constexpr int kSides = 24;
    const double error = radius * (1 - std::cos(std::numbers::pi / kSides));
    core[0] += far[0] > near[0] ? -radius : radius;
    const auto rim = [&](double x, int side) {
      const double turn = 2 * std::numbers::pi * side / kSides;
      return Vec3{x, far[1] + radius * std::cos(turn), far[2] + radius * std::sin(turn)};
    };
    for (int side = 0; side < kSides; ++side) {
      const Vec3 a = rim(core[0], side);
      const Vec3 b = rim(core[0], side + 1);
      const Vec3 c = rim(far[0], side);
      const Vec3 d = rim(far[0], side + 1);
      pieces.push_back({{a, b, c}, error});
      pieces.push_back({{b, d, c}, error});
      pieces.push_back({{far, c, d}, error});
    }
  }
};

/// The kernel's exact volume against that of the triangles: what would be missing from the one
/// would be missing from every proof.
void expectVolume(const TriangleMesh& mesh, const Part& part) {
  constexpr double kRounding = 1e-9;
  const double off = std::abs(mesh.volumeMm3() - part.volume_mm3);
  if (off > mesh.areaMm2() * mesh.errorMm() + kRounding * part.volume_mm3) {
    throw GeometryError("the triangles of " + part.mark + " do not enclose its volume");
  }
}

}  // namespace

PlacedShapes::PlacedShapes(const Model& model) : model_(model) {
  std::vector<gp_Trsf> turns;
  rope_of_.assign(model.instances.size(), -1);
  for (const Instance& instance : model.instances) {
    bounds_.push_back(instance.bounds);
    const gp_Trsf turn = turnOnly(instance.at_closed);
    const auto known = std::find_if(turns.begin(), turns.end(),
                                    [&](const gp_Trsf& one) { return isSameTurn(one, turn); });
    turn_of_.push_back(static_cast<int>(known - turns.begin()));
    if (known == turns.end()) {
      turns.push_back(turn);
    }
  }
  for (int i = 0; i < static_cast<int>(model.ropes.size()); ++i) {
    rope_of_[model.ropes[i].instance] = i;
    addRope(i);
  }
}

void PlacedShapes::addRope(int index) {
  const RopeRun& run = model_.ropes[index];
  const double travel = model_.layout.drive_travel_mm;
  const double radius = model_.spec.ropes.diameter_mm / 2;
  const std::vector<Vec3> closed = ropeLineAt(model_, run, 0);
  const std::vector<Vec3> open = ropeLineAt(model_, run, travel);
  const auto growth = [&](const Vec3& from, const Vec3& to) {
    return travel > 0 ? (to[0] - from[0]) / travel : 0;
  };
  const std::size_t last = closed.size() - 1;
  // The chords of the half turn lie inside it by their sagitta.
  const Vec3 across = minus(closed[last - 1], closed[1]);
  const double step = std::numbers::pi / static_cast<double>(last - 2);
  const double error = norm(across) / 2 * (1 - std::cos(step / 2));
  std::vector<Piece> turn;
  for (std::size_t i = 1; i + 1 < last; ++i) {
    turn.push_back({{closed[i], closed[i + 1], closed[i + 1]}, error});
  }
  const double front_growth = growth(closed[0], open[0]);
  const double rear_growth = growth(closed[last], open[last]);
  const auto thick = [&](double thickness) {
    const StrandEnd front(closed[1], closed[0], thickness);
    const StrandEnd rear(closed[last - 1], closed[last], thickness);
    return Rope{HullTree::strand(closed[1], front.core, thickness, front_growth),
                HullTree::carried(front.pieces, front_growth), HullTree(turn, thickness),
                HullTree::strand(closed[last - 1], rear.core, thickness, rear_growth),
                HullTree::carried(rear.pieces, rear_growth)};
  };
  ropes_.push_back(thick(radius));
  thinner_ropes_.push_back(thick(radius - kThinnerMm));
  // A strand's end moves one way, so the two ends of the travel bound the rope.
  Bounds box = emptyBox();
  for (const auto* line : {&closed, &open}) {
    for (const Vec3& point : *line) {
      include(box, plus(point, {1, 1, 1}, radius + error));
      include(box, plus(point, {1, 1, 1}, -radius - error));
    }
  }
  const Instance& placed = model_.instances[run.instance];
  bounds_[run.instance] = unitedBounds(placed.bounds, movedBounds(box, placed.at_closed));
}

PlacedShapes::PlaceKey PlacedShapes::placeKey(int a, int b) const {
  constexpr double kPlacesPerMm = 1000;
  const Instance& one = model_.instances[a];
  const Instance& other = model_.instances[b];
  const Vec3 apart = minus(placeOf(other), placeOf(one));
  const int turns = turn_of_[a] * static_cast<int>(model_.instances.size()) + turn_of_[b];
  return {one.part,
          other.part,
          turns,
          std::llround(apart[0] * kPlacesPerMm),
          std::llround(apart[1] * kPlacesPerMm),
          std::llround(apart[2] * kPlacesPerMm)};
}

std::vector<Body> PlacedShapes::bodies(int instance, Fineness fineness) {
  const Vec3 at = placeOf(model_.instances[instance]);
  if (isRope(instance)) {
    const Rope& rope = ropes_[rope_of_[instance]];
    return {{&rope.front, at},
            {&rope.front_end, at},
            {&rope.turn, at},
            {&rope.rear, at},
            {&rope.rear_end, at}};
  }
  return {{&mesh(instance, fineness).tree(), at}};
}

std::vector<Body> PlacedShapes::thinnerBodies(int instance, Fineness fineness) {
  const Vec3 at = placeOf(model_.instances[instance]);
  if (isRope(instance)) {
    const Rope& rope = thinner_ropes_[rope_of_[instance]];
    return {{&rope.front, at},
            {&rope.front_end, at},
            {&rope.turn, at},
            {&rope.rear, at},
            {&rope.rear_end, at}};
  }
  std::unique_ptr<HullTree>& slot = thinner_[keyOf(instance, fineness)];
  if (!slot) {
    slot = std::make_unique<HullTree>(mesh(instance, fineness).drawnIn(kThinnerMm));
  }
  return {{slot.get(), at}};
}

PlacedShapes::MeshKey PlacedShapes::keyOf(int instance, Fineness fineness) const {
  return {model_.instances[instance].part, turn_of_[instance], static_cast<int>(fineness)};
}

const TriangleMesh& PlacedShapes::mesh(int instance, Fineness fineness) {
  const Instance& placed = model_.instances[instance];
  std::unique_ptr<TriangleMesh>& slot = meshes_[keyOf(instance, fineness)];
  if (!slot) {
    const Part& part = model_.parts[placed.part];
    const double deflection = kDeflectionsMm[static_cast<int>(fineness)];
    slot = std::make_unique<TriangleMesh>(part.solid, turnOnly(placed.at_closed), deflection);
    expectVolume(*slot, part);
  }
  return *slot;
}

StraightMotion PlacedShapes::motion(int a, int b) const {
  return StraightMotion({relativeShift(a, b, 1), 0, 0});
}

double PlacedShapes::relativeShift(int a, int b, double drive_mm) const {
  return model_.shiftMm(model_.instances[b].panel, drive_mm) -
         model_.shiftMm(model_.instances[a].panel, drive_mm);
}

TopoDS_Shape PlacedShapes::shapeAt(int instance, double drive_mm) const {
  const Instance& placed = model_.instances[instance];
  const TopoDS_Shape solid = isRope(instance)
                                 ? ropeSolidAt(model_, model_.ropes[rope_of_[instance]], drive_mm)
                                 : model_.parts[placed.part].solid;
  return solid.Located(locationAt(model_, placed, drive_mm));
}

bool PlacedShapes::ropeNeverRunsOut(int instance) const {
  const Rope& rope = ropes_[rope_of_[instance]];
  for (const HullTree* strand : {&rope.front, &rope.rear}) {
    const auto& points = strand->pieces().front().points;
    const double closed = points[1][0] - points[0][0];
    const double open = closed + strand->growth() * model_.layout.drive_travel_mm;
    if (closed * open <= 0) {
      return false;
    }
  }
  return true;
}

namespace {

std::vector<Body> firstBodies(PlacedShapes& shapes, const PairQuery& query) {
  return query.is_thinner ? shapes.thinnerBodies(query.a, query.fineness)
                          : shapes.bodies(query.a, query.fineness);
}

}  // namespace

Clearance leastBetween(PlacedShapes& shapes, const PairQuery& query, const Stretch& stretch,
                       const Wanted& wanted) {
  const StraightMotion motion = shapes.motion(query.a, query.b);
  Clearance least;
  least.at_least_mm = wanted.enough_mm;
  least.at_mm = stretch.from_mm;
  for (const Body& one : firstBodies(shapes, query)) {
    for (const Body& other : shapes.bodies(query.b, query.fineness)) {
      const Vec3 apart = plus(minus(other.at, one.at), query.shift);
      const SweptPair pair{*one.tree, *other.tree, apart, motion, query.free};
      Wanted nearer = wanted;
      nearer.enough_mm = least.at_least_mm;
      Clearance found = leastClearance(pair, stretch, nearer);
      if (found.at_least_mm < least.at_least_mm) {
        // From a's frame at closed to the gate's, at the position found.
        const Model& model = shapes.model();
        const double carried = model.shiftMm(model.instances[query.a].panel, found.at_mm);
        for (Vec3* point : {&found.on_a, &found.on_b}) {
          *point = plus(*point, plus(one.at, {carried, 0, 0}));
        }
        least = found;
      }
    }
  }
  return least;
}

std::vector<Stretch> stretchesBetween(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, Reading reading) {
  const StraightMotion motion = shapes.motion(query.a, query.b);
  std::vector<Stretch> all;
  for (const Body& one : firstBodies(shapes, query)) {
    for (const Body& other : shapes.bodies(query.b, query.fineness)) {
      const Vec3 apart = plus(minus(other.at, one.at), query.shift);
      const SweptPair pair{*one.tree, *other.tree, apart, motion, query.free};
      const auto found = stretchesBelow(pair, stretch, limit_mm, reading);
      all.insert(all.end(), found.begin(), found.end());
    }
  }
  return united(std::move(all));
}

bool isInside(PlacedShapes& shapes, const PairQuery& query, double drive_mm) {
  constexpr std::size_t kProbes = 8;
  const auto holds = [&](int inner, int outer, double sign) {
    if (shapes.isRope(outer)) {
      return false;
    }
    const Body body = shapes.bodies(inner, Fineness::kCoarse).front();
    const Body solid = shapes.bodies(outer, Fineness::kCoarse).front();
    Vec3 apart = plus(minus(body.at, solid.at), query.shift, sign);
    apart[0] += shapes.relativeShift(outer, inner, drive_mm);
    const TriangleMesh& mesh = shapes.mesh(outer, Fineness::kCoarse);
    // Of a few points the one farthest from the other's surface: touching parts share points.
    const auto& pieces = body.tree->pieces();
    Vec3 probe{};
    double farthest = -1;
    for (std::size_t i = 0; i < kProbes; ++i) {
      const Vec3 point = plus(pieces[i * pieces.size() / kProbes].points[0], apart);
      if (boxDistance(mesh.bounds(), {point, point}, 0) > 0) {
        return false;  // no part of it is outside when all of it is inside
      }
      const double distance = mesh.surfaceDistance(point);
      if (distance > farthest) {
        farthest = distance;
        probe = point;
      }
    }
    return mesh.contains(probe);
  };
  return holds(query.b, query.a, 1) || holds(query.a, query.b, -1);
}

}  // namespace leafstack
