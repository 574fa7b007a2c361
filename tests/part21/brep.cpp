#include "tests/part21/brep.h"

#include <algorithm>
#include <set>

namespace leafstack::part21 {
namespace {

std::string hash(long id) {
  return "#" + std::to_string(id);
}

class SolidReader {
 public:
  SolidReader(const File& file, Solid& solid) : file_(file), solid_(solid) {}

  void read(const Record& brep) {
    const Record* with_voids = file_.find(solid_.id)->record("BREP_WITH_VOIDS");
    const Record& record = with_voids == nullptr ? brep : *with_voids;
    solid_.name = parameter(record, 0).text;
    readShell(parameter(record, 1), true);
    if (with_voids != nullptr)
      for (const Value& hollow : parameter(record, 2).items) readOrientedShell(hollow);
    checkEdgeUses();
    checkEuler();
  }

 private:
  void problem(const std::string& text) { solid_.problems.push_back(text); }

  static bool isTrue(const Value& flag) { return flag.text == "T"; }

  void readOrientedShell(const Value& reference) {
    const Record* oriented = file_.follow(reference, "ORIENTED_CLOSED_SHELL");
    if (oriented == nullptr) return problem("void that is no ORIENTED_CLOSED_SHELL");
    readShell(parameter(*oriented, 2), isTrue(parameter(*oriented, 3)));
  }

  void readShell(const Value& reference, bool forward) {
    const Record* shell = file_.follow(reference, "CLOSED_SHELL");
    if (shell == nullptr) return problem("boundary " + hash(reference.id) + " is no CLOSED_SHELL");
    ++solid_.shells;
    const std::size_t first = solid_.faces.size();
    for (const Value& face : parameter(*shell, 1).items) readFace(face, forward);
    if (solid_.faces.size() == first) problem("shell " + hash(reference.id) + " has no face");
    checkConnected(first, reference.id);
  }

  void readFace(const Value& reference, bool forward) {
    const Record* record = file_.follow(reference, "ADVANCED_FACE");
    if (record == nullptr) record = file_.follow(reference, "FACE_SURFACE");
    if (record == nullptr) return problem("face " + hash(reference.id) + " is no ADVANCED_FACE");
    if (!seen_faces_.insert(reference.id).second)
      problem("face " + hash(reference.id) + " is listed twice");
    Face face;
    face.id = reference.id;
    face.surface = parameter(*record, 2).id;
    face.same_sense = isTrue(parameter(*record, 3)) == forward;
    int outer = 0;
    for (const Value& bound : parameter(*record, 1).items) {
      if (file_.follow(bound, "FACE_OUTER_BOUND") != nullptr) ++outer;
      readBound(face, bound, forward);
    }
    if (outer > 1) problem("face " + hash(face.id) + " has two outer bounds");
    solid_.faces.push_back(std::move(face));
  }

  void readBound(Face& face, const Value& reference, bool forward) {
    const Record* bound = file_.follow(reference, "FACE_BOUND");
    if (bound == nullptr) bound = file_.follow(reference, "FACE_OUTER_BOUND");
    if (bound == nullptr) return problem("bound " + hash(reference.id) + " is no FACE_BOUND");
    const Value& loop_reference = parameter(*bound, 1);
    if (const Record* lone = file_.follow(loop_reference, "VERTEX_LOOP")) {
      vertices_.insert(parameter(*lone, 1).id);
      face.loops.emplace_back();
      return;
    }
    const Record* loop = file_.follow(loop_reference, "EDGE_LOOP");
    if (loop == nullptr) return problem("loop " + hash(loop_reference.id) + " is no EDGE_LOOP");
    std::vector<EdgeUse> uses;
    for (const Value& edge : parameter(*loop, 1).items) readEdge(uses, edge);
    if (isTrue(parameter(*bound, 2)) != forward) {
      std::reverse(uses.begin(), uses.end());
      for (EdgeUse& use : uses) {
        use.forward = !use.forward;
        std::swap(use.start, use.end);
      }
    }
    checkHeadToTail(uses, loop_reference.id);
    face.loops.push_back(std::move(uses));
  }

  void readEdge(std::vector<EdgeUse>& uses, const Value& reference) {
    const Record* oriented = file_.follow(reference, "ORIENTED_EDGE");
    const Record* edge =
        oriented == nullptr ? nullptr : file_.follow(parameter(*oriented, 3), "EDGE_CURVE");
    if (edge == nullptr) return problem("edge " + hash(reference.id) + " has no EDGE_CURVE");
    EdgeUse use;
    use.edge = parameter(*oriented, 3).id;
    use.forward = isTrue(parameter(*oriented, 4));
    use.start = parameter(*edge, use.forward ? 1 : 2).id;
    use.end = parameter(*edge, use.forward ? 2 : 1).id;
    for (const long vertex : {use.start, use.end})
      if (file_.find(vertex) == nullptr || file_.find(vertex)->record("VERTEX_POINT") == nullptr)
        problem("edge " + hash(use.edge) + " ends at no VERTEX_POINT");
    uses.push_back(use);
  }

  void checkHeadToTail(const std::vector<EdgeUse>& uses, long loop) {
    if (uses.empty()) return problem("loop " + hash(loop) + " has no edge");
    for (std::size_t i = 0; i < uses.size(); ++i)
      if (uses[i].end != uses[(i + 1) % uses.size()].start)
        problem("loop " + hash(loop) + " is not closed head to tail behind edge " +
                hash(uses[i].edge));
  }

  void checkConnected(std::size_t first, long shell) {
    std::map<long, std::vector<std::size_t>> faces_of;
    for (std::size_t i = first; i < solid_.faces.size(); ++i)
      for (const auto& loop : solid_.faces[i].loops)
        for (const EdgeUse& use : loop) faces_of[use.edge].push_back(i);
    std::set<std::size_t> reached;
    std::vector<std::size_t> open;
    if (first < solid_.faces.size()) open.push_back(first);
    while (!open.empty()) {
      const std::size_t face = open.back();
      open.pop_back();
      if (!reached.insert(face).second) continue;
      for (const auto& loop : solid_.faces[face].loops)
        for (const EdgeUse& use : loop)
          for (const std::size_t next : faces_of[use.edge]) open.push_back(next);
    }
    if (reached.size() != solid_.faces.size() - first)
      problem("shell " + hash(shell) + " falls into several pieces");
  }

  void checkEdgeUses() {
    std::map<long, std::pair<int, int>> uses;  // forward, backward
    for (const Face& face : solid_.faces)
      for (const auto& loop : face.loops)
        for (const EdgeUse& use : loop) {
          (use.forward ? uses[use.edge].first : uses[use.edge].second)++;
          vertices_.insert({use.start, use.end});
        }
    for (const auto& [edge, count] : uses)
      if (count.first != 1 || count.second != 1)
        problem("edge " + hash(edge) + " is used " + std::to_string(count.first) +
                " times forward and " + std::to_string(count.second) + " times backward");
    solid_.edges = static_cast<int>(uses.size());
    solid_.vertices = static_cast<int>(vertices_.size());
  }

  // V - E + F - (loops - faces) = 2 (shells - genus), ISO 10303-42, manifold_solid_brep.
  void checkEuler() {
    int rings = 0;
    for (const Face& face : solid_.faces) {
      rings += static_cast<int>(face.loops.size()) - 1;
      if (face.loops.empty()) problem("face " + hash(face.id) + " has no bound");
    }
    const int faces = static_cast<int>(solid_.faces.size());
    const int twice = 2 * solid_.shells - (solid_.vertices - solid_.edges + faces - rings);
    solid_.genus = twice / 2;
    if (twice % 2 != 0 || twice < 0) problem("counts do not fit Euler's formula");
  }

  const File& file_;
  Solid& solid_;
  std::set<long> seen_faces_, vertices_;
};

}  // namespace

std::map<long, Solid> readSolids(const File& file) {
  std::map<long, Solid> solids;
  for (const auto& [id, instance] : file.instances) {
    const Record* record = instance.record("MANIFOLD_SOLID_BREP");
    if (record == nullptr) record = instance.record("BREP_WITH_VOIDS");
    if (record == nullptr) continue;
    Solid& solid = solids[id];
    solid.id = id;
    SolidReader(file, solid).read(*record);
  }
  return solids;
}

std::vector<Vec3> verticesOf(const File& file, const Solid& solid) {
  std::set<long> ids;
  for (const Face& face : solid.faces) {
    for (const auto& loop : face.loops) {
      for (const EdgeUse& use : loop) {
        ids.insert(use.start);
      }
    }
  }
  std::vector<Vec3> points;
  for (const long id : ids) {
    const Record* const vertex = file.find(id)->record("VERTEX_POINT");
    const auto& at = parameter(*file.follow(parameter(*vertex, 1), "CARTESIAN_POINT"), 1).items;
    points.push_back({at.at(0).number, at.at(1).number, at.at(2).number});
  }
  return points;
}

}  // namespace leafstack::part21
