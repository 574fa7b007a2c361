// The builder's second half: with all said that the gate is made of, its solids are built, and what
// follows from them is found.
#include <BRepAdaptor_Surface.hxx>
#include <BRepLib.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Trsf.hxx>
#include <iterator>
#include <memory>
#include <optional>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/mesh/given_mesh.h"
#include "generator/model/builder.h"
#include "generator/model/standing.h"
#include "generator/model/vents.h"
#include "generator/occt/checked.h"
#include "generator/occt/kernel_says.h"

namespace leafstack {
namespace {

// Contacts are declared where bounds meet to within rounding.
constexpr double kMeetMm = 1e-6;

bool boundsMeet(const Bounds& p, const Bounds& q) {
  for (int axis = 0; axis < 3; ++axis) {
    if (p.low[axis] > q.high[axis] + kMeetMm || q.low[axis] > p.high[axis] + kMeetMm) {
      return false;
    }
  }
  return true;
}

constexpr const char* kMirrored = "mirrored";  // at the end of an identity

void take(Part& part, const StoredPart& stored) {
  part.solid = stored.solid;
  part.open_solid = stored.open_solid;
  part.reach = stored.reach;
  part.bounds = stored.bounds;
  part.volume_mm3 = stored.volume_mm3;
  part.centroid_mm = stored.centroid_mm;
  part.area_mm2 = stored.area_mm2;
  part.face_count = stored.face_count;
  part.is_triangles = stored.is_triangles;
}

StoredPart stored(const Part& part) {
  return {part.solid,       part.open_solid, part.reach,      part.bounds,      part.volume_mm3,
          part.centroid_mm, part.area_mm2,   part.face_count, part.is_triangles};
}

Bounds mirrored(const Bounds& box) {
  return {{-box.high[0], box.low[1], box.low[2]}, {-box.low[0], box.high[1], box.high[2]}};
}

TopLoc_Location mirrored(const TopLoc_Location& location) {
  // M T M with M: x -> -x keeps a rigid motion rigid.
  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2(gp::Origin(), gp::DX()));
  const gp_Trsf motion = mirror * location.Transformation() * mirror;
  return TopLoc_Location(motion);
}

std::array<double, 9> figuresOf(const gp_Trsf& turn) {
  std::array<double, 9> figures{};
  for (int i = 0; i < 9; ++i) {
    figures[i] = turn.Value(1 + i / 3, 1 + i % 3);
  }
  return figures;
}

}  // namespace

void ModelBuilder::takeOrBuild(Part& part, const Build& build) {
  if (store_ != nullptr) {
    if (const auto known = store_->find(part.identity)) {
      take(part, *known);
      return;
    }
  }
  kernelSays(part.in_words, [&] { build(part); });
  if (store_ != nullptr) {
    store_->keep(part.identity, stored(part));
  }
}

template <class Value, class Make>
const Value& ModelBuilder::made(Turned<Value>& slots, const Turn& turn, const Make& make) {
  MadeOnce<Value>* slot = nullptr;
  {
    const std::lock_guard lock(turned_mutex_);
    slot = &slots[turn];
  }
  return slot->get(make);
}

/// Parts are placed upright or leaning about Y, either way round; screws across as well.
ModelBuilder::Turn ModelBuilder::turnOf(int part, const TopLoc_Location& at) {
  constexpr double kTurnsPerUnit = 1e12;
  const gp_Trsf& turn = at.Transformation();
  const double facing = turn.Value(2, 2) > 0 ? 1 : -1;
  return {part,
          std::llround((turn.Value(1, 3) + 2 * facing + 8 * turn.Value(2, 3)) * kTurnsPerUnit)};
}

/// Bounds of a leaning part are taken of the part as it leans: a box round its box would be loose.
Bounds ModelBuilder::boundsOf(int part, const TopLoc_Location& at) {
  const Part& what = model_.parts[part];
  gp_Trsf turn = at.Transformation();
  const double lean = turn.Value(1, 3);
  if (lean == 0 || what.kind == PartKind::kRope) {
    return movedBounds(what.bounds, at);
  }
  turn.SetTranslationPart(gp_Vec(0, 0, 0));
  const Bounds& turned = made(turned_bounds_, turnOf(part, at), [&] {
    Bounds tight;
    kernelSays(what.in_words,
               [&] { tight = tightBounds(what.solid.Moved(TopLoc_Location(turn))); });
    return tight;
  });
  gp_Trsf shift;
  shift.SetTranslation(gp_Vec(at.Transformation().TranslationPart()));
  return movedBounds(turned, TopLoc_Location(shift));
}

/// Bounds that meet by more than any round corner takes are solids that meet. The others are looked
/// at: the edge of a board may reach no further than the round corner of an upright.
bool ModelBuilder::isJoint(int one, int other) {
  const Bounds& p = model_.instances[one].bounds;
  const Bounds& q = model_.instances[other].bounds;
  constexpr double kWidestCornerMm = 16;
  int wide = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double overlap =
        std::min(p.high[axis], q.high[axis]) - std::max(p.low[axis], q.low[axis]);
    wide += overlap >= kWidestCornerMm ? 1 : 0;
  }
  // On slopes bounds meet where solids do not.
  if (wide >= 2 && is_level_) {
    return true;
  }
  const gp_XYZ apart = model_.instances[other].at_closed.Transformation().TranslationPart() -
                       model_.instances[one].at_closed.Transformation().TranslationPart();
  // Meshes lie off round faces: what they leave open is no joint, since the clash check, on exact
  // faces, would find it open.
  return standWithin(turnedMesh(one), turnedMesh(other), {apart.X(), apart.Y(), apart.Z()},
                     kJoinGapMm - 2 * kMeshDeflectionMm);
}

/// Where solids are looked at, the same few parts are looked at in many places.
const TriangleMesh& ModelBuilder::turnedMesh(int instance) {
  const Instance& placed = model_.instances[instance];
  return *made(turned_meshes_, turnOf(placed.part, placed.at_closed), [&] {
    const Part& part = model_.parts[placed.part];
    gp_Trsf turn = placed.at_closed.Transformation();
    turn.SetTranslationPart(gp_Vec(0, 0, 0));
    const auto mesh = [&] {
      std::optional<TriangleMesh> made;
      kernelSays(part.in_words, [&] { made.emplace(part.solid, turn); });
      return std::move(*made);
    };
    return store_ != nullptr ? store_->turned(part.identity, figuresOf(turn), mesh)
                             : std::make_shared<const TriangleMesh>(mesh());
  });
}

std::vector<int> ModelBuilder::joined(const Join& join) {
  std::vector<int> met;
  const Instance& one = model_.instances[join.instance];
  for (int other = 0; other < join.placed; ++other) {
    const Instance& candidate = model_.instances[other];
    const PartKind kind = model_.parts[candidate.part].kind;
    const bool listed = std::find(join.with.begin(), join.with.end(), kind) != join.with.end();
    if (other != join.instance && candidate.panel == one.panel && listed &&
        boundsMeet(one.bounds, candidate.bounds) && isJoint(join.instance, other)) {
      met.push_back(other);
    }
  }
  return met;
}

/// Contacts stand in the order in which they were asked for.
void ModelBuilder::declareJoins() {
  std::vector<std::vector<int>> met(joins_.size());
  inParallel(static_cast<int>(joins_.size()), [&](int i) { met[i] = joined(joins_[i]); });
  std::vector<Contact> declared = std::move(model_.contacts);
  model_.contacts.clear();
  auto next = declared.begin();
  for (std::size_t i = 0; i < joins_.size(); ++i) {
    const Join& join = joins_[i];
    const auto until = declared.begin() + static_cast<std::ptrdiff_t>(join.declared);
    std::move(next, until, std::back_inserter(model_.contacts));
    next = until;
    for (const int other : met[i]) {
      contact(join.instance, other, join.kind, join.reason, kJoinGapMm, join.overlap_mm);
    }
  }
  std::move(next, declared.end(), std::back_inserter(model_.contacts));
}

namespace {

/// Gives every edge its curve on every plane face once; else what checks, draws and translates
/// solids each works it out again.
void storePlaneCurves(const TopoDS_Shape& solid) {
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (BRepAdaptor_Surface(face, /*restriction=*/false).GetType() != GeomAbs_Plane) {
      continue;
    }
    for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
      BRepLib::BuildPCurveForEdgeOnPlane(TopoDS::Edge(edges.Current()), face);
    }
  }
}

}  // namespace

void measureAreas(Model& model, PartStore* store) {
  // Parts drilled out of one solid share edges: curves are stored in them one after the other.
  for (const Part& part : model.parts) {
    if (part.face_count == 0) {
      storePlaneCurves(part.solid);
    }
  }
  inParallel(static_cast<int>(model.parts.size()), [&](int i) {
    Part& part = model.parts[static_cast<std::size_t>(i)];
    if (part.face_count > 0) {
      return;  // from the store, or in closed form
    }
    kernelSays(part.in_words, [&] { part.area_mm2 = surfaceArea(part.solid); });
    part.face_count = faceCount(part.solid);
  });
  if (store != nullptr) {
    for (const Part& part : model.parts) {
      store->keep(part.identity, stored(part));
    }
  }
}

void ModelBuilder::ventHollows() {
  std::vector<PartVents> planned = planVents(model_);
  inParallel(static_cast<int>(planned.size()), [&](int i) {
    Part& part = model_.parts[planned[i].part];
    part.vents = std::move(planned[i].holes);
    part.unvented = std::move(planned[i].unvented);
    if (!part.vents.empty()) {
      pierce(part);
    }
  });
}

void ModelBuilder::findAnchorage() {
  for (const Contact& contact : model_.contacts) {
    for (const auto& [one, other] : {std::pair(contact.a, contact.b), {contact.b, contact.a}}) {
      const PartKind kind = model_.parts[model_.instances[one].part].kind;
      if (kind == PartKind::kFooting || kind == PartKind::kFencePost) {
        for (Fastening& fastening : model_.fastenings) {
          fastening.holds_in = fastening.screw == other ? one : fastening.holds_in;
        }
      }
    }
  }
}

void ModelBuilder::mirror(Part& part) {
  part.identity += kMirrored;
  for (VentHole& vent : part.vents) {
    vent.centre_mm[0] = -vent.centre_mm[0];
  }
  takeOrBuild(part, [](Part& turned) {
    turned.bounds = mirrored(turned.bounds);
    turned.centroid_mm[0] = -turned.centroid_mm[0];
    if (turned.is_triangles) {
      turned.solid = mirroredTriangles(turned.solid);
      return;
    }
    turned.area_mm2 = 0;
    turned.face_count = 0;
    turned.solid = closedSolid(mirroredInX(turned.solid), turned.in_words);
    if (!turned.open_solid.IsNull()) {
      turned.open_solid = closedSolid(mirroredInX(turned.open_solid), turned.in_words + " (open)");
    }
    if (turned.reach) {
      turned.reach->solid =
          closedSolid(mirroredInX(turned.reach->solid), turned.in_words + " (adjusted)");
      turned.reach->bounds = mirrored(turned.reach->bounds);
    }
  });
}

void ModelBuilder::mirrorAll() {
  model_.opening_sign = -1;
  inParallel(static_cast<int>(model_.parts.size()), [this](int i) { mirror(model_.parts[i]); });
  for (Instance& instance : model_.instances) {
    if (!instance.at_closed.IsIdentity()) {
      instance.at_closed = mirrored(instance.at_closed);
    }
    instance.bounds = mirrored(instance.bounds);
  }
  for (Fastening& fastening : model_.fastenings) {
    fastening.seat_mm[0] = -fastening.seat_mm[0];
    fastening.out[0] = -fastening.out[0];
  }
  for (Contact& contact : model_.contacts) {
    if (contact.weld.at_mm) {
      (*contact.weld.at_mm)[0] *= -1;
    }
  }
}

const TopoDS_Shape& ModelBuilder::solidOf(int part) {
  Part& asked = model_.parts.at(part);
  if (asked.solid.IsNull()) {
    takeOrBuild(asked, builds_.at(part));
  }
  return asked.solid;
}

Model ModelBuilder::finish() {
  inParallel(static_cast<int>(model_.parts.size()),
             [this](int i) { takeOrBuild(model_.parts[i], builds_[i]); });
  inParallel(static_cast<int>(model_.instances.size()), [this](int i) {
    Instance& instance = model_.instances[i];
    instance.bounds = boundsOf(instance.part, instance.at_closed);
  });
  declareJoins();
  findAnchorage();
  spliceRails();
  if (model_.spec.shop.isDipped()) {
    ventHollows();
  }
  if (model_.spec.site.opens == Hand::kLeft) {
    mirrorAll();
  }
  if (store_ != nullptr) {
    store_->endModel();
  }
  return std::move(model_);
}

}  // namespace leafstack
