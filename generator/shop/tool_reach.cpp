#include "generator/shop/tool_reach.h"

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp.hxx>
#include <gp_Ax1.hxx>
#include <map>
#include <numbers>
#include <numeric>
#include <optional>
#include <set>
#include <tuple>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/numbers.h"
#include "generator/model/standing.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

/// A cylinder about the screw's axis, from its seat outwards.
struct Tool {
  double radius_mm = 0, from_mm = 0, to_mm = 0;
  std::string words;
};

Tool toolOf(const Fastening& fastening) {
  constexpr double kOffSeatMm = 0.3;  // it turns free of what it stands on
  // A long socket and the ratchet's head on it. Common practice, no source
  constexpr double kSocketMm = 50 + 30;
  // Hexagon keys: short arms about as ISO 2936 has them, from memory.
  constexpr double kKeyMm = 13, kKeyPerFlat = 3, kKeyRadius = 0.6;  // corners: 0.577
  constexpr double kBitMm = 4, kBitLongMm = 60;  // half a holder's width. Common practice
  if (fastening.kind == ScrewKind::kDrilling) {
    return {kBitMm, kOffSeatMm, kBitLongMm, "bit"};
  }
  const ThreadClass& thread = threadClass(fastening.thread_mm);
  const double washer = fastening.washer >= 0 ? thread.washer_thickness_mm : 0;
  switch (fastening.kind) {
    case ScrewKind::kAnchor:
    case ScrewKind::kHexagon:
      return {socketRoom_mm(thread.hole_mm), washer + kOffSeatMm, washer + kSocketMm,
              "socket " + shown(thread.across_flats_mm)};
    case ScrewKind::kSocket: {
      const double key = thread.socket_key_mm;
      const double head = washer + fastening.thread_mm;
      return {kKeyRadius * key, head + kOffSeatMm, head + kKeyMm + kKeyPerFlat * key,
              "hexagon key " + shown(key)};
    }
    case ScrewKind::kDrilling:
    case ScrewKind::kCountersunk: {
      const double key = thread.sunk_key_mm;
      return {kKeyRadius * key, kOffSeatMm, kKeyMm + kKeyPerFlat * key,
              "hexagon key " + shown(key)};
    }
  }
  return {};
}

constexpr double kDeflectionMm = 0.3;  // of the meshes: tools differ by more

/// Z along the screw's axis, outwards.
gp_Trsf frameOf(const Fastening& fastening) {
  const gp_Dir z(fastening.out[0], fastening.out[1], fastening.out[2]);
  const gp_Dir x = std::abs(z.Y()) > 0.5 ? gp::DX() : gp::DY().Crossed(z);
  const gp_Dir y = z.Crossed(x);
  gp_Trsf frame;
  frame.SetValues(x.X(), y.X(), z.X(), fastening.seat_mm[0], x.Y(), y.Y(), z.Y(),
                  fastening.seat_mm[1], x.Z(), y.Z(), z.Z(), fastening.seat_mm[2]);
  return frame;
}

bool meet(const Bounds& p, const Bounds& q) {
  for (int axis = 0; axis < 3; ++axis) {
    if (p.low[axis] > q.high[axis] || q.low[axis] > p.high[axis]) {
      return false;
    }
  }
  return true;
}

/// Is a part there before the screw is put in? Ropes come last, blocks after their channels,
/// buffers after the anchors of what they are screwed to, cradles are put together on the bench.
bool isThereBefore(PartKind kind, const Fastening& fastening, PartKind under_head) {
  if (under_head == PartKind::kPulleyCheek) {
    return rowOf(kind).shelf == "pulley";
  }
  if (under_head == PartKind::kMotor && kind == PartKind::kMotor) {
    return false;  // its cover is off
  }
  switch (kind) {
    case PartKind::kRope:
    case PartKind::kTerminal:
    case PartKind::kTerminalNut:
    case PartKind::kGuideBlock:
    case PartKind::kGuideJaws:
    case PartKind::kPivotBolt:
    case PartKind::kPinion:  // comes with its motor, after what the ropes are held by
      return false;
    case PartKind::kCatchBuffer:
      return fastening.kind != ScrewKind::kAnchor;
    default:
      return !isFastener(kind) || fastening.kind == ScrewKind::kAnchor;
  }
}

class ReachFinder {
 public:
  explicit ReachFinder(const Model& model) : model_(model) {}

  /// By fastening.
  std::vector<ToolReach> found() {
    const int count = static_cast<int>(model_.fastenings.size());
    std::vector<Pair> pairs;
    for (int i = 0; i < count; ++i) {
      const Tool tool = toolOf(model_.fastenings[i]);
      addPairs(i,
               {{-tool.radius_mm, -tool.radius_mm, tool.from_mm},
                {tool.radius_mm, tool.radius_mm, tool.to_mm}},
               pairs);
    }
    judge(pairs);
    std::vector<ToolReach> outcomes(model_.fastenings.size());
    for (int i = 0; i < count; ++i) {
      outcomes[i].tool = toolOf(model_.fastenings[i]).words;
    }
    for (const Pair& pair : pairs) {
      std::vector<std::string>& marks = outcomes[pair.fastening].met;
      if (meets_.at(pair.lie)) {
        in_the_way_[pair.fastening].push_back(pair.instance);
      }
      const std::string& mark = model_.parts[model_.instances[pair.instance].part].mark;
      if (meets_.at(pair.lie) && std::find(marks.begin(), marks.end(), mark) == marks.end()) {
        marks.push_back(mark);
      }
    }
    for (int i = 0; i < count; ++i) {
      const Fastening& fastening = model_.fastenings[i];
      const bool is_hexagon =
          fastening.kind == ScrewKind::kAnchor || fastening.kind == ScrewKind::kHexagon;
      if (!is_hexagon || outcomes[i].met.empty()) {
        continue;
      }
      const std::string size = shown(threadClass(fastening.thread_mm).across_flats_mm);
      for (const bool is_open : {false, true}) {
        if (spannerReaches(i, is_open)) {
          outcomes[i] = {(is_open ? "open spanner " : "spanner ") + size, {}};
          in_the_way_.erase(i);
          break;
        }
      }
    }
    for (const int i : reachedBefore()) {
      const char* between = ", before ";
      for (const std::string& mark : outcomes[i].met) {
        outcomes[i].tool += between + mark;
        between = " and ";
      }
      outcomes[i].met.clear();
    }
    return outcomes;
  }

 private:
  /// A tool to a part, to a thousandth: what lies alike is looked at once.
  using Lie = std::tuple<int, int, std::array<long long, 12>>;
  struct Pair {
    int fastening = 0, instance = 0;
    gp_Trsf to_part;  ///< from the tool's frame
    Lie lie;
  };

  /// With what is within `box`, in the screw's frame.
  void addPairs(int index, const Bounds& box, std::vector<Pair>& pairs) const {
    const Fastening& fastening = model_.fastenings[index];
    const gp_Trsf frame = frameOf(fastening);
    const Bounds bounds = movedBounds(box, TopLoc_Location(frame));
    const int body = model_.instances[fastening.screw].body;
    const PartKind under_head = model_.parts[model_.instances[fastening.under_head].part].kind;
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      const Instance& other = model_.instances[i];
      if (other.body != body || i == fastening.screw || i == fastening.washer ||
          i == fastening.nut ||
          !isThereBefore(model_.parts[other.part].kind, fastening, under_head) ||
          !meet(bounds, other.bounds) || liesBehind(other.bounds, fastening, box.low[2])) {
        continue;
      }
      Pair pair{index, i, other.at_closed.Transformation().Inverted() * frame, {}};
      std::get<0>(pair.lie) = other.part;
      std::get<1>(pair.lie) = (fastening.washer >= 0 ? 1000 : 0) +
                              100 * static_cast<int>(fastening.kind) +
                              static_cast<int>(fastening.thread_mm);
      for (int row = 1; row <= 3; ++row) {
        for (int column = 1; column <= 4; ++column) {
          std::get<2>(pair.lie)[4 * row + column - 5] =
              std::llround(pair.to_part.Value(row, column) * 1000);
        }
      }
      pairs.push_back(std::move(pair));
    }
  }

  /// Is all of the box behind the tool, seen along the screw? As what the head lies on mostly is.
  static bool liesBehind(const Bounds& box, const Fastening& fastening, double from_mm) {
    double most = 0;
    for (int axis = 0; axis < 3; ++axis) {
      const double end = fastening.out[axis] > 0 ? box.high[axis] : box.low[axis];
      most += fastening.out[axis] * (end - fastening.seat_mm[axis]);
    }
    return most < from_mm;
  }

  void mesh(const std::vector<Pair>& pairs) {
    std::vector<int> wanted;
    for (const Pair& pair : pairs) {
      const int part = model_.instances[pair.instance].part;
      if (meshes_.try_emplace(part).second) {
        wanted.push_back(part);
      }
    }
    inParallel(static_cast<int>(wanted.size()), [&](int i) {
      meshes_.at(wanted[i]).emplace(model_.parts[wanted[i]].solid, gp_Trsf(), kDeflectionMm);
    });
  }

  /// `turn`: of the tool, in its own frame.
  bool meetsPart(const Pair& pair, const PartMesh& tool, const gp_Trsf& turn = {}) const {
    const TriangleMesh& part = *meshes_.at(model_.instances[pair.instance].part);
    return standWithin(part, TriangleMesh(tool, pair.to_part * turn), {0, 0, 0}, 0);
  }

  void judge(const std::vector<Pair>& pairs) {
    std::map<Lie, const Pair*> firsts;
    for (const Pair& pair : pairs) {
      firsts.try_emplace(pair.lie, &pair);
    }
    mesh(pairs);
    std::vector<const Pair*> asked;
    for (const auto& [lie, pair] : firsts) {
      asked.push_back(pair);
    }
    std::vector<char> met(asked.size());
    inParallel(static_cast<int>(asked.size()), [&](int i) {
      const Tool tool = toolOf(model_.fastenings[asked[i]->fastening]);
      const TopoDS_Shape solid =
          prism(Plane::kXY, Outline::circle({0, 0}, tool.radius_mm), {tool.from_mm, tool.to_mm});
      met[i] = meetsPart(*asked[i], partMesh(solid, {kDeflectionMm})) ? 1 : 0;
    });
    for (std::size_t i = 0; i < asked.size(); ++i) {
      meets_[asked[i]->lie] = met[i] != 0;
    }
  }

  /// A ring spanner, put on from above and turned on by 30 degrees at a time: its ring, and its
  /// handle all the way between two places so far apart. An open one comes from the side, its jaws
  /// no higher than they are thick, and is turned over between turns of 30 degrees. Sizes by the
  /// width across flats, from memory (of open ones about as ISO 10102 has them).
  struct Spanner {
    static constexpr double kRing = 0.76, kHigh = 0.45, kHalfWide = 0.3, kLong = 9;
    static constexpr double kJaws = 1.1;
    static constexpr int kPlaces = 24;
    double flat_mm = 0, low_mm = 0, top_mm = 0;
    bool is_open = false;

    double reachMm() const { return kLong * flat_mm; }
    /// A ring is lifted over the stud's end or the head.
    double putOnMm() const { return (is_open ? low_mm : top_mm) + kHigh * flat_mm; }
    TopoDS_Shape ring() const {
      return prism(Plane::kXY, Outline::circle({0, 0}, (is_open ? kJaws : kRing) * flat_mm),
                   {low_mm, putOnMm()});
    }
    /// Along X.
    TopoDS_Shape handle() const {
      const double half = kHalfWide * flat_mm;
      std::vector<Point2> outline = {{0, -half}, {reachMm(), -half}, {reachMm(), half}, {0, half}};
      if (is_open) {  // and where its jaws come from
        const double wide = kJaws * flat_mm, from = 3 * wide;
        outline = {{0, -wide},        {from, -wide}, {from, -half}, {reachMm(), -half},
                   {reachMm(), half}, {from, half},  {from, wide},  {0, wide}};
      }
      return prism(Plane::kXY, Outline::polygon(outline), {low_mm, low_mm + kHigh * flat_mm});
    }
  };

  /// What lies alike is tried once.
  bool spannerReaches(int index, bool is_open) {
    const Fastening& fastening = model_.fastenings[index];
    const ThreadClass& thread = threadClass(fastening.thread_mm);
    const double low = toolOf(fastening).from_mm;
    const double top = fastening.kind == ScrewKind::kAnchor
                           ? fastening.length_mm - fastening.grip_mm
                           : low + thread.head_mm;
    const Spanner spanner{thread.across_flats_mm, low, top, is_open};
    const double reach = spanner.reachMm();
    std::vector<Pair> pairs;
    addPairs(index, {{-reach, -reach, spanner.low_mm}, {reach, reach, spanner.putOnMm()}}, pairs);
    std::vector<Lie> about;
    for (const Pair& pair : pairs) {
      about.push_back(pair.lie);
    }
    const auto [known, is_new] =
        spanner_reaches_.try_emplace(std::pair(is_open, std::move(about)), false);
    if (is_new) {
      mesh(pairs);
      known->second = turns(spanner, pairs);
    }
    return known->second;
  }

  bool turns(const Spanner& spanner, const std::vector<Pair>& pairs) const {
    const auto is_free = [&](const PartMesh& tool, const gp_Trsf& turn) {
      return std::none_of(pairs.begin(), pairs.end(),
                          [&](const Pair& pair) { return meetsPart(pair, tool, turn); });
    };
    if (!is_free(partMesh(spanner.ring(), {kDeflectionMm}), {})) {
      return false;
    }
    const PartMesh handle = partMesh(spanner.handle(), {kDeflectionMm});
    constexpr int kTurn = Spanner::kPlaces / 12;  // 30 degrees
    int free_in_turn = 0;
    for (int place = 0; place < Spanner::kPlaces + kTurn; ++place) {
      gp_Trsf turn;
      turn.SetRotation(gp::OZ(), 2 * std::numbers::pi * place / Spanner::kPlaces);
      free_in_turn = is_free(handle, turn) ? free_in_turn + 1 : 0;
      if (free_in_turn > kTurn) {
        return true;
      }
    }
    return false;
  }

  /// Welded together: one piece when screws are put in. By instance, the least of each.
  std::vector<int> weldments() const {
    std::vector<int> piece(model_.instances.size());
    std::iota(piece.begin(), piece.end(), 0);
    const auto root = [&](int i) {
      while (piece[i] != i) {
        i = piece[i] = piece[piece[i]];
      }
      return i;
    };
    for (const Contact& contact : model_.contacts) {
      if (contact.kind == ContactKind::kWelded) {
        const int one = root(contact.a), other = root(contact.b);
        piece[std::max(one, other)] = std::min(one, other);
      }
    }
    for (int i = 0; i < static_cast<int>(piece.size()); ++i) {
      piece[i] = root(i);
    }
    return piece;
  }

  /// Screws that something is in the way of, and that can be put in before it: none of it is of one
  /// piece with what the screw joins, all of it is screwed on itself, and no such screw has to go
  /// in before one that it comes after. What keeps a tool from those is counted as there, so
  /// whatever is screwed on later is reached over them.
  std::vector<int> reachedBefore() const {
    const std::vector<int> piece = weldments();
    std::map<int, std::vector<int>> screwed;  // fastenings by piece
    const int count = static_cast<int>(model_.fastenings.size());
    for (int i = 0; i < count; ++i) {
      for (const int joined : {model_.fastenings[i].under_head, model_.fastenings[i].holds_in}) {
        if (joined >= 0) {
          screwed[piece[joined]].push_back(i);
        }
      }
    }
    std::map<int, std::set<int>> after;  // by fastening: those that come after it
    for (const auto& [fastening, met] : in_the_way_) {
      for (const int instance : met) {
        const auto own = screwed.find(piece[instance]);
        if (own == screwed.end()) {
          after[fastening].insert(fastening);  // nothing says that it can wait
          continue;
        }
        after[fastening].insert(own->second.begin(), own->second.end());
      }
    }
    std::vector<int> before;
    for (const auto& [fastening, met] : in_the_way_) {
      std::set<int> reached;
      std::vector<int> open(after[fastening].begin(), after[fastening].end());
      while (!open.empty()) {
        const int one = open.back();
        open.pop_back();
        if (reached.insert(one).second && after.contains(one)) {
          open.insert(open.end(), after[one].begin(), after[one].end());
        }
      }
      if (!reached.contains(fastening)) {
        before.push_back(fastening);
      }
    }
    return before;
  }

  const Model& model_;
  std::map<Lie, bool> meets_;
  std::map<int, std::vector<int>> in_the_way_;  ///< instances, by fastening that no tool reaches
  /// By which spanner, and all that is in its reach.
  std::map<std::pair<bool, std::vector<Lie>>, bool> spanner_reaches_;
  std::map<int, std::optional<TriangleMesh>> meshes_;  ///< by part, in its own frame
};

}  // namespace

std::vector<ToolReach> toolReaches(const Model& model) {
  return ReachFinder(model).found();
}

}  // namespace leafstack
