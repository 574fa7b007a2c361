#include "generator/clash/placed/placed.h"

#include <algorithm>
#include <cmath>

#include "generator/clash/placed/kept.h"

#include "generator/occt/checked.h"
#include "generator/occt/kernel_says.h"
#include "generator/occt/round.h"

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

// Parts of turns that differ by less differ by rounding.
constexpr double kSameTurn = 1e-12;

bool isSameTurn(const gp_Trsf& p, const gp_Trsf& q) {
  for (int row = 1; row <= 3; ++row) {
    for (int column = 1; column <= 3; ++column) {
      if (std::abs(p.Value(row, column) - q.Value(row, column)) > kSameTurn) {
        return false;
      }
    }
  }
  return true;
}

/// An instance's turn in two: first one that keeps axes axes, then a lean about Y.
struct LeanAndTurn {
  double cos = 1, sin = 0;
  gp_Trsf turn;
};

bool isAxis(double x, double y, double z) {
  return std::abs(std::max({std::abs(x), std::abs(y), std::abs(z)}) - 1) <= kSameTurn;
}

/// No lean where there is none, or a turn is not made up of two such.
LeanAndTurn leanOf(const TopLoc_Location& location) {
  LeanAndTurn found;
  found.turn = turnOnly(location);
  const gp_Trsf& turn = found.turn;
  // The axis that leans along X, up to 45 degrees either way.
  int axis = 1;
  for (int column = 2; column <= 3; ++column) {
    axis = std::abs(turn.Value(1, column)) > std::abs(turn.Value(1, axis)) ? column : axis;
  }
  const double way = turn.Value(1, axis) < 0 ? -1 : 1;
  const double cos = way * turn.Value(1, axis);
  const double sin = way * turn.Value(3, axis);
  if (std::abs(sin) <= kSameTurn || std::abs(sin) > cos ||
      !isAxis(turn.Value(2, 1), turn.Value(2, 2), turn.Value(2, 3))) {
    return found;
  }
  const double length = std::hypot(cos, sin);
  found.cos = cos / length;
  found.sin = sin / length;
  gp_Trsf back;
  back.SetValues(found.cos, 0, found.sin, 0, 0, 1, 0, 0, -found.sin, 0, found.cos, 0);
  const gp_Trsf upright = back * turn;
  const auto at = [&](int row, int column) { return std::round(upright.Value(row, column)); };
  found.turn.SetValues(at(1, 1), at(1, 2), at(1, 3), 0, at(2, 1), at(2, 2), at(2, 3), 0, at(3, 1),
                       at(3, 2), at(3, 3), 0);
  return found;
}

Vec3 placeOf(const Instance& instance) {
  const gp_XYZ& at = instance.at_closed.Transformation().TranslationPart();
  return {at.X(), at.Y(), at.Z()};
}

std::vector<Body> bodiesOf(const RopeTrees& rope, const Placement& place) {
  return {{&rope.front, place},
          {&rope.front_end, place},
          {&rope.turn, place},
          {&rope.rear, place},
          {&rope.rear_end, place}};
}

void addTurn(const gp_Trsf& turn, ExactKey& key) {
  for (int row = 1; row <= 3; ++row) {
    key.add(Vec3{turn.Value(row, 1), turn.Value(row, 2), turn.Value(row, 3)});
  }
}

/// What is kept under a key ("" for none), or what `make` makes, kept from then on.
template <class Value, class Make>
std::shared_ptr<const Value> keptOr(Kept<Value>* kept, const std::string& key, const Make& make) {
  if (kept == nullptr || key.empty()) {
    return std::make_shared<const Value>(make());
  }
  const auto known = kept->find(key);
  return known ? known : kept->keep(key, make());
}

/// What the check takes a part for: as it is, or wherever it may be adjusted to.
const TopoDS_Shape& takenSolid(const Part& part) {
  return part.reach ? part.reach->solid : part.solid;
}
const Bounds& takenBounds(const Part& part) {
  return part.reach ? part.reach->bounds : part.bounds;
}

/// The kernel's exact volume against that of the triangles: what would be missing from the one
/// would be missing from every proof.
void expectVolume(const PartMesh& mesh, const Part& part) {
  constexpr double kRounding = 1e-9;
  const double volume = part.reach ? part.reach->volume_mm3 : part.volume_mm3;
  const double off = std::abs(mesh.volumeMm3() - volume);
  if (off > mesh.areaMm2() * mesh.errorMm() + kRounding * volume) {
    throw GeometryError("the triangles of " + part.in_words + " do not enclose its volume");
  }
}

}  // namespace

PlacedShapes::PlacedShapes(const Model& model, ShapeStore* store)
    : model_(model),
      store_(store),
      motions_(model),
      play_(model),
      known_meshes_(kDeflectionsMm.size() * model.instances.size()) {
  rope_of_.assign(model.instances.size(), -1);
  for (const Instance& instance : model.instances) {
    addInstance(instance);
  }
  for (int i = 0; i < static_cast<int>(model.ropes.size()); ++i) {
    rope_of_[model.ropes[i].instance] = i;
    addRope(i);
  }
}

void PlacedShapes::addInstance(const Instance& instance) {
  const LeanAndTurn found = leanOf(instance.at_closed);
  Placement place{placeOf(instance), found.cos, found.sin};
  // Leans that differ by rounding are one.
  const auto same = std::find_if(places_.begin(), places_.end(), [&](const Placement& one) {
    return std::abs(one.cos - place.cos) <= kSameTurn && std::abs(one.sin - place.sin) <= kSameTurn;
  });
  if (same != places_.end()) {
    place.cos = same->cos;
    place.sin = same->sin;
  }
  const auto known = std::find_if(turns_.begin(), turns_.end(),
                                  [&](const gp_Trsf& one) { return isSameTurn(one, found.turn); });
  turn_of_.push_back(static_cast<int>(known - turns_.begin()));
  if (known == turns_.end()) {
    turns_.push_back(found.turn);
  }
  const Part& part = model_.parts[instance.part];
  bounds_.push_back(part.reach ? movedBounds(part.reach->bounds, instance.at_closed)
                               : instance.bounds);
  own_bounds_.push_back(place.turns() ? movedBounds(takenBounds(part), TopLoc_Location(found.turn))
                                      : placedBox({minus({}, place.shift)}, bounds_.back()));
  places_.push_back(place);
  if (motions_.allStraight()) {
    is_round_.push_back(false);
    return;
  }
  const auto [at, is_new] = known_round_.try_emplace({instance.part, turn_of_.back()}, false);
  if (is_new) {
    at->second = isRoundAboutY(takenSolid(part).Located(TopLoc_Location(turns_[turn_of_.back()])));
  }
  is_round_.push_back(at->second);
}

void PlacedShapes::addRope(int index) {
  const RopeRun& run = model_.ropes[index];
  const Placement& frame = places_[run.instance];
  const RopeOverTravel way(model_, motions_, run, frame);
  const double radius = model_.spec.ropes.diameter_mm / 2;
  ropes_.push_back(way.thick(radius));
  ropes_bend_deg_.push_back(way.bendDeg());
  const double aside = way.bendDeg() <= mostRopeBendDeg(radius) ? way.heldAsideMm() : 0;
  thinner_ropes_.push_back(way.thick(radius - kThinnerMm - aside));
  ropes_run_out_.push_back(!way.neverRunsOut());
  own_bounds_[run.instance] = way.bounds(radius);
  bounds_[run.instance] = unitedBounds(model_.instances[run.instance].bounds,
                                       placedBox(frame, own_bounds_[run.instance]));
}

double PlacedShapes::reachMm(int instance) const {
  if (motions_.allStraight()) {
    return 0;
  }
  const auto [x, z] = motions_.pivot(bodyOf(instance));
  return reachFrom(instance, {x, 0, z});
}

double PlacedShapes::reachFrom(int instance, const Vec3& point) const {
  const Bounds& box = own_bounds_[instance];
  double reach = 0;
  for (double along : {box.low[0], box.high[0]}) {
    for (double up : {box.low[2], box.high[2]}) {
      const Vec3 corner = places_[instance]({along, 0, up});
      reach = std::max(reach, std::hypot(corner[0] - point[0], corner[2] - point[2]));
    }
  }
  return reach;
}

Placement PlacedShapes::seenFrom(int a, int b, double drive_mm) const {
  return leafstack::seenFrom(places_[a], motions_.relative(bodyOf(a), bodyOf(b), drive_mm),
                             places_[b]);
}

Bounds PlacedShapes::boundsSeenFrom(int a, int b) const {
  return placedBox(leafstack::seenFrom(places_[a], {}, places_[b]), own_bounds_[b]);
}

std::optional<Vec3> PlacedShapes::velocitySeenFrom(int a, int b) const {
  if (!motions_.isStraight(bodyOf(a), bodyOf(b))) {
    return std::nullopt;
  }
  Vec3 velocity = places_[a].turnedBack(motions_.velocity(bodyOf(a), bodyOf(b)));
  const double speed = norm(velocity);
  for (double& part : velocity) {
    part = std::abs(part) <= kSameTurn * speed ? 0 : part;  // along a slope, not across it
  }
  return velocity;
}

PlacedShapes::PlaceKey PlacedShapes::placeKey(int a, int b) const {
  constexpr double kPlacesPerMm = 1000;
  const Instance& one = model_.instances[a];
  const Instance& other = model_.instances[b];
  const Placement apart = seenFrom(a, b, 0);
  const int turns = turn_of_[a] * static_cast<int>(model_.instances.size()) + turn_of_[b];
  return {one.part,
          other.part,
          turns,
          std::llround(apart.shift[0] * kPlacesPerMm),
          std::llround(apart.shift[1] * kPlacesPerMm),
          std::llround(apart.shift[2] * kPlacesPerMm),
          std::llround(apart.sin / kSameTurn)};
}

std::vector<Body> PlacedShapes::bodies(int instance, Fineness fineness) {
  const Placement& place = places_[instance];
  if (isRope(instance)) {
    return bodiesOf(ropes_[rope_of_[instance]], place);
  }
  return {{&mesh(instance, fineness).tree(), place}};
}

std::vector<Body> PlacedShapes::thinnerBodies(int instance, Fineness fineness) {
  const Placement& place = places_[instance];
  if (isRope(instance)) {
    return bodiesOf(thinner_ropes_[rope_of_[instance]], place);
  }
  const auto& tree = slotOf<HullTree>(thinner_, keyOf(instance, fineness)).get([&] {
    return keptOr(store_ != nullptr ? &store_->thinner : nullptr, storeKey(instance, fineness),
                  [&] { return mesh(instance, fineness).drawnIn(kThinnerMm); });
  });
  return {{tree.get(), place}};
}

PlacedShapes::MeshKey PlacedShapes::keyOf(int instance, Fineness fineness) const {
  return {model_.instances[instance].part, turn_of_[instance], static_cast<int>(fineness)};
}

std::string PlacedShapes::storeKey(int instance, Fineness fineness) const {
  const std::string& identity = model_.parts[model_.instances[instance].part].identity;
  if (store_ == nullptr || identity.empty()) {
    return "";
  }
  ExactKey key;
  key.add(identity).add(static_cast<double>(fineness));
  addTurn(turns_[turn_of_[instance]], key);
  return key.bytes();
}

std::string PlacedShapes::exactKey(int a, int b) const {
  if (store_ == nullptr || isRope(a) || isRope(b) || !motions_.isStraight(bodyOf(a), 0) ||
      !motions_.isStraight(bodyOf(b), 0)) {
    return "";
  }
  ExactKey key;
  key.add(motions_.allStraight() ? 1 : 0);
  for (int instance : {a, b}) {
    const std::string& identity = model_.parts[model_.instances[instance].part].identity;
    if (identity.empty()) {
      return "";
    }
    key.add(identity).add(own_bounds_[instance]);
    addTurn(turns_[turn_of_[instance]], key);
  }
  if (isOneBody(a, b)) {
    key.add(seenFrom(a, b, 0)).add(leanAlike(a, b) ? 1 : 0);
    key.add(places_[a].turns() ? 1 : 0);
    return key.bytes();
  }
  key.add(model_.layout.drive_travel_mm);
  for (int instance : {a, b}) {
    key.add(places_[instance]).add(bounds_[instance]);
    key.add(motions_.velocity(0, bodyOf(instance)));
  }
  return key.bytes();
}

const TriangleMesh& PlacedShapes::mesh(int instance, Fineness fineness) {
  const Instance& placed = model_.instances[instance];
  const Part& part = model_.parts[placed.part];
  const auto level = static_cast<std::size_t>(fineness);
  std::atomic<const TriangleMesh*>& known =
      known_meshes_[kDeflectionsMm.size() * static_cast<std::size_t>(instance) + level];
  if (const TriangleMesh* const mesh = known.load(std::memory_order_acquire)) {
    return *mesh;
  }
  const double deflection = kDeflectionsMm[level];
  const auto make = [&] {
    std::optional<TriangleMesh> made;
    kernelSays(part.in_words,
               [&] { made.emplace(takenSolid(part), turns_[turn_of_[instance]], deflection); });
    expectVolume(made->mesh(), part);
    return std::move(*made);
  };
  const auto& made = slotOf<TriangleMesh>(meshes_, keyOf(instance, fineness)).get([&] {
    return keptOr(store_ != nullptr ? &store_->meshes : nullptr, storeKey(instance, fineness),
                  make);
  });
  known.store(made.get(), std::memory_order_release);
  return *made;
}

TopoDS_Shape PlacedShapes::shapeAt(int instance, double drive_mm) const {
  const Instance& placed = model_.instances[instance];
  const TopoDS_Shape solid = isRope(instance)
                                 ? ropeSolidAt(model_, model_.ropes[rope_of_[instance]], drive_mm)
                                 : takenSolid(model_.parts[placed.part]);
  return solid.Located(locationAt(model_, placed, drive_mm));
}

SharedSolid PlacedShapes::sharedAt(int a, int b, double drive_mm) const {
  ExactKey key;
  bool is_kept = store_ != nullptr;
  for (const int instance : {a, b}) {
    const std::string& identity = model_.parts[model_.instances[instance].part].identity;
    is_kept = is_kept && !isRope(instance) && !identity.empty();
    const gp_Trsf place = locationAt(model_, model_.instances[instance], drive_mm).Transformation();
    const gp_XYZ& shift = place.TranslationPart();
    key.add(identity).add(Vec3{shift.X(), shift.Y(), shift.Z()});
    addTurn(place, key);
  }
  return *keptOr(is_kept ? &store_->shared : nullptr, key.bytes(),
                 [&] { return sharedSolid(shapeAt(a, drive_mm), shapeAt(b, drive_mm)); });
}

}  // namespace leafstack
