#include "generator/shelf/shelf_figures.h"

#include <algorithm>
#include <array>
#include <cstring>
#include <iterator>
#include <numeric>
#include <optional>
#include <set>

#include "generator/geometry/in_parallel.h"
#include "generator/layout/figures/terminal.h"
#include "generator/shelf/size_search.h"
#include "generator/shelf/small_gates.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

constexpr double kReachMm = 450;     // from an item to what is measured beside it
constexpr double kFarReachMm = 1e5;  // where nothing nearer does
// How much larger a figure may get by one more size, before that has one of its own.
constexpr double kMostGrowth = 1.5;
constexpr double kShownMm = 120;      // of long parts, to either side of the item's middle
constexpr double kNeighboursMm = 60;  // how near what stands about it has to come
constexpr double kMarginMm = 8;       // shown beyond the last thing measured

bool isMm(const Parameter& row) {
  return std::strcmp(row.unit, "mm") == 0;
}

Bounds boundsAt(const MeasuredGate& gate, int instance, double drive_mm) {
  Bounds box = gate.model()->instances[instance].bounds;
  const Vec3 shift = gate.shift(instance, drive_mm);
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] += shift[axis];
    box.high[axis] += shift[axis];
  }
  return box;
}

double sizeOf(const Bounds& box) {
  return norm(minus(box.high, box.low));
}

Bounds joint(const Bounds& a, const Bounds& b) {
  Bounds box;
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(a.low[axis], b.low[axis]);
    box.high[axis] = std::max(a.high[axis], b.high[axis]);
  }
  return box;
}

/// Empty along an axis where the two do not meet.
Bounds shared(const Bounds& a, const Bounds& b) {
  Bounds box;
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::max(a.low[axis], b.low[axis]);
    box.high[axis] = std::min(a.high[axis], b.high[axis]);
  }
  return box;
}

bool isEmpty(const Bounds& box) {
  return box.low[0] > box.high[0] || box.low[1] > box.high[1] || box.low[2] > box.high[2];
}

Bounds grown(Bounds box, double by) {
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] -= by;
    box.high[axis] += by;
  }
  return box;
}

/// The parts of a group, those together that touch on purpose.
class Clusters {
 public:
  Clusters(const MeasuredGate& gate, std::string_view group) : gate_(gate), group_(group) {}

  std::vector<Cluster> at(double drive_mm) {
    std::vector<Cluster> clusters;
    for (std::vector<int>& own : parts()) {
      Cluster made;
      made.drive_mm = drive_mm;
      made.own = std::move(own);
      made.anchor = anchorOf(made.own, drive_mm);
      made.neighbours = around(made);
      clusters.push_back(std::move(made));
    }
    return clusters;
  }

 private:
  PartKind kindOf(int instance) const {
    const Model& model = *gate_.model();
    return model.parts[model.instances[instance].part].kind;
  }
  bool isOwn(int instance) const { return rowOf(kindOf(instance)).shelf == group_; }

  std::vector<std::vector<int>> parts() const {
    const Model& model = *gate_.model();
    const int count = static_cast<int>(model.instances.size());
    std::vector<int> root(count);
    std::iota(root.begin(), root.end(), 0);
    const auto find = [&](int i) {
      while (root[i] != i) {
        i = root[i];
      }
      return i;
    };
    for (const Contact& one : model.contacts) {
      // The footing carries everything, and would make one of all.
      const bool joins = isOwn(one.a) && isOwn(one.b) && kindOf(one.a) != PartKind::kFooting &&
                         kindOf(one.b) != PartKind::kFooting;
      if (joins) {
        root[std::max(find(one.a), find(one.b))] = std::min(find(one.a), find(one.b));
      }
    }
    std::vector<std::vector<int>> clusters;
    std::set<std::pair<int, std::set<PartKind>>> seen;  // of each panel's alike ones the first
    for (int i = 0; i < count; ++i) {
      if (!isOwn(i) || find(i) != i) {
        continue;
      }
      std::vector<int> own;
      std::set<PartKind> kinds;
      for (int other = i; other < count; ++other) {
        if (isOwn(other) && find(other) == i) {
          own.push_back(other);
          kinds.insert(kindOf(other));
        }
      }
      if (seen.insert({model.instances[i].panel, kinds}).second) {
        clusters.push_back(std::move(own));
      }
    }
    return clusters;
  }

  Vec3 anchorOf(const std::vector<int>& own, double drive_mm) const {
    Bounds least = boundsAt(gate_, own.front(), drive_mm);
    for (const int instance : own) {
      const Bounds box = boundsAt(gate_, instance, drive_mm);
      least = sizeOf(box) < sizeOf(least) - kMarginMm ? box : least;
    }
    Vec3 middle = plus(least.low, minus(least.high, least.low), 0.5);
    // Of what is long one end is seen.
    if (least.high[0] - least.low[0] > 2 * kReachMm) {
      middle[0] = least.low[0] + kShownMm / 2;
    }
    return middle;
  }

  std::vector<int> around(const Cluster& cluster) const {
    const Model& model = *gate_.model();
    Bounds all;
    all.low = all.high = cluster.anchor;
    for (const int instance : cluster.own) {
      const Bounds near = shared(boundsAt(gate_, instance, cluster.drive_mm),
                                 grown({cluster.anchor, cluster.anchor}, kReachMm));
      all = isEmpty(near) ? all : joint(all, near);
    }
    all = grown(all, kNeighboursMm);
    std::vector<int> found;
    for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
      const bool is_own = std::find(cluster.own.begin(), cluster.own.end(), i) != cluster.own.end();
      // A rope's strands are as long as they are where it is closed.
      const bool moves_within = kindOf(i) == PartKind::kRope && cluster.drive_mm != 0;
      if (!is_own && !moves_within && !isEmpty(shared(boundsAt(gate_, i, cluster.drive_mm), all))) {
        found.push_back(i);
      }
    }
    return found;
  }

  const MeasuredGate& gate_;
  std::string_view group_;
};

/// What a figure may be made of: a cluster with the rows found on it.
struct Candidate {
  const Cluster* cluster = nullptr;
  std::vector<FoundSize> sizes;
  double worth = 0;
};

class FigureFinder {
 public:
  FigureFinder(const GateSpec& spec, ShelfFigures& out) : spec_(spec), out_(out) {
    for (const Parameter* group : childrenOf("/hardware")) {
      if (group->kind != Kind::kGroup) {
        continue;
      }
      out_.items.push_back({group, {}});
      auto& rows = missing_.emplace_back();
      for (const Parameter& row : parameterTable()) {
        if (std::string_view(row.pointer).starts_with(std::string(group->pointer) + '/') &&
            canBeMeasured(row)) {
          rows.push_back(&row);
        }
      }
    }
  }

  struct Wanted {
    double reach_mm = 0;
    bool shares = false;
    std::vector<std::string_view> groups = {};  ///< of these only; none: of all
  };

  /// Something of these groups has no letter yet.
  bool misses(const std::vector<std::string_view>& groups) const {
    for (std::size_t item = 0; item < out_.items.size(); ++item) {
      if (isOf(groups, item) && !missing_[item].empty()) {
        return true;
      }
    }
    return false;
  }

  void look(GateAndHairs& gates, const Wanted& wanted) {
    std::vector<const Parameter*> all;
    for (std::size_t item = 0; item < out_.items.size(); ++item) {
      if (isOf(wanted.groups, item)) {
        all.insert(all.end(), missing_[item].begin(), missing_[item].end());
      }
    }
    gates.prepare(all);
    for (const bool is_open : {false, true}) {
      for (std::size_t item = 0; item < out_.items.size(); ++item) {
        if (isOf(wanted.groups, item)) {
          lookAt(gates, item, {is_open, wanted});
        }
      }
    }
  }

  /// What may be, and is no length: it stands in words at the part that it is of.
  void addRanges() {
    constexpr std::array<std::pair<std::string_view, PartKind>, 2> kRanges = {
        {{"/hardware/motor/adjust_mm", PartKind::kPinion},
         {"/hardware/guide/turn_deg", PartKind::kGuideBlock}}};
    for (std::size_t item = 0; item < out_.items.size(); ++item) {
      for (const auto& [pointer, kind] : kRanges) {
        const Parameter* row = findParameter(pointer);
        const double value = numberOf(*row, spec_).value_or(0);
        if (isMissing(missing_[item], row) && value > 0) {
          addRange(item, *row, kind, value);
        }
      }
    }
  }

 private:
  bool isOf(const std::vector<std::string_view>& groups, std::size_t item) const {
    return groups.empty() ||
           std::find(groups.begin(), groups.end(), keyOf(*out_.items[item].group)) != groups.end();
  }

  void addRange(std::size_t item, const Parameter& row, PartKind kind, double value) {
    for (ShelfFigure& figure : out_.items[item].figures) {
      for (const int instance : figure.own) {
        const Instance& placed = figure.model->instances[instance];
        if (figure.drive_mm != 0 || figure.model->parts[placed.part].kind != kind) {
          continue;
        }
        DrawnSize size;
        size.row = &row;
        size.kind = DrawnSize::Kind::kRange;
        size.value = value;
        size.from = plus(placed.bounds.low, minus(placed.bounds.high, placed.bounds.low), 0.5);
        size.to = size.from;
        size.parts = {instance, instance};
        figure.sizes.push_back(size);
        std::stable_sort(figure.sizes.begin(), figure.sizes.end(),
                         [](const DrawnSize& a, const DrawnSize& b) { return a.row < b.row; });
        std::erase(missing_[item], &row);
        return;
      }
    }
  }

  struct Where {
    bool is_open = false;
    Wanted wanted;
  };

  void lookAt(const GateAndHairs& gates, std::size_t item, const Where& where) {
    if (missing_[item].empty()) {
      return;
    }
    const std::string group(keyOf(*out_.items[item].group));
    const double drive = where.is_open ? gates.gate().model()->layout.drive_travel_mm : 0;
    std::vector<Cluster> clusters = Clusters(gates.gate(), group).at(drive);
    std::vector<std::vector<FoundSize>> found;
    for (Cluster& cluster : clusters) {
      cluster.reach_mm = where.wanted.reach_mm;
      cluster.takes_shares = where.wanted.shares;
      const SizeSearch search(gates, cluster);
      auto& sizes = found.emplace_back();
      // Each row has neighbours of its own to be built: several at once.
      const std::vector<const Parameter*>& rows = missing_[item];
      std::vector<std::optional<FoundSize>> looked(rows.size());
      inParallel(static_cast<int>(rows.size()), [&](int i) {
        // Of a gate with other kinds only what is the shelf's there too.
        if (numberOf(*rows[i], gates.gate().model()->spec) == numberOf(*rows[i], spec_)) {
          looked[i] = search.find(*rows[i]);
        }
      });
      for (std::optional<FoundSize>& size : looked) {
        if (size) {
          sizes.push_back(std::move(*size));
        }
      }
    }
    // The cluster that shows most, then the one that shows most of the rest.
    for (;;) {
      const std::size_t best = bestOf(found, missing_[item]);
      if (best == found.size()) {
        return;
      }
      add(gates, item, clusters[best], found[best]);
    }
  }

  static bool isMissing(const std::vector<const Parameter*>& rows, const Parameter* row) {
    return std::find(rows.begin(), rows.end(), row) != rows.end();
  }

  static std::size_t bestOf(const std::vector<std::vector<FoundSize>>& found,
                            const std::vector<const Parameter*>& missing) {
    // A length on the item itself counts for more than one that stands for it; of what shows as
    // much the plainer.
    constexpr double kPlain = 10, kOther = 6, kPerCost = 1e-3;
    std::size_t best = found.size();
    double most = 0;
    for (std::size_t i = 0; i < found.size(); ++i) {
      double worth = 0;
      for (const FoundSize& one : found[i]) {
        if (isMissing(missing, one.size.row)) {
          worth += (one.size.is_plain ? kPlain : kOther) - kPerCost * one.cost;
        }
      }
      if (worth > most) {
        most = worth;
        best = i;
      }
    }
    return best;
  }

  void add(const GateAndHairs& gates, std::size_t item, const Cluster& cluster,
           const std::vector<FoundSize>& found) {
    ShelfFigure figure;
    figure.model = gates.gate().model();
    figure.drive_mm = cluster.drive_mm;
    figure.own = cluster.own;
    for (const FoundSize& one : found) {
      if (isMissing(missing_[item], one.size.row)) {
        figure.sizes.push_back(one.size);
        std::erase(missing_[item], one.size.row);
      }
    }
    finish(gates.gate(), cluster, figure);
    std::vector<ShelfFigure>& figures = out_.items[item].figures;
    for (ShelfFigure& earlier : figures) {
      if (earlier.model != figure.model || earlier.drive_mm != figure.drive_mm ||
          earlier.own != figure.own) {
        continue;
      }
      ShelfFigure together = earlier;
      together.sizes.insert(together.sizes.end(), figure.sizes.begin(), figure.sizes.end());
      finish(gates.gate(), cluster, together);
      if (sizeOf(together.window) < kMostGrowth * sizeOf(earlier.window)) {
        earlier = std::move(together);
        return;
      }
    }
    figures.push_back(std::move(figure));
  }

  static void finish(const MeasuredGate& gate, const Cluster& cluster, ShelfFigure& figure) {
    std::stable_sort(figure.sizes.begin(), figure.sizes.end(),
                     [](const DrawnSize& a, const DrawnSize& b) { return a.row < b.row; });
    figure.neighbours = neighboursOf(*figure.model, cluster, figure.sizes);
    figure.window = windowOf(gate, cluster, figure.sizes);
  }

  /// Of all that stands about it what it touches on purpose, and what is measured from.
  static std::vector<int> neighboursOf(const Model& model, const Cluster& cluster,
                                       const std::vector<DrawnSize>& sizes) {
    const auto is_in = [](const std::vector<int>& list, int instance) {
      return std::find(list.begin(), list.end(), instance) != list.end();
    };
    std::set<int> wanted;
    for (const Contact& one : model.contacts) {
      if (is_in(cluster.own, one.a) || is_in(cluster.own, one.b)) {
        wanted.insert({one.a, one.b});
      }
    }
    for (const DrawnSize& size : sizes) {
      wanted.insert(size.parts.begin(), size.parts.end());
    }
    std::vector<int> found;
    std::copy_if(cluster.neighbours.begin(), cluster.neighbours.end(), std::back_inserter(found),
                 [&](int instance) { return wanted.contains(instance); });
    return found;
  }

  static Bounds windowOf(const MeasuredGate& gate, const Cluster& cluster,
                         const std::vector<DrawnSize>& sizes) {
    Bounds all{cluster.anchor, cluster.anchor};
    for (const int instance : cluster.own) {
      const Bounds near = shared(boundsAt(gate, instance, cluster.drive_mm),
                                 grown({cluster.anchor, cluster.anchor}, kShownMm));
      all = isEmpty(near) ? all : joint(all, near);
    }
    for (const DrawnSize& size : sizes) {
      all = joint(all, {size.from, size.from});
      if (size.kind == DrawnSize::Kind::kDistance) {
        all = joint(all, {size.to, size.to});
      } else if (size.kind == DrawnSize::Kind::kDiameter) {
        all = joint(all, grown({size.from, size.from}, size.share * size.value / 2));
      }
    }
    return grown(all, kMarginMm);
  }

  const GateSpec& spec_;
  ShelfFigures& out_;
  std::vector<std::vector<const Parameter*>> missing_;  ///< by item
};

}  // namespace

bool canBeMeasured(const Parameter& row) {
  return (row.kind == Kind::kNumber || row.kind == Kind::kAutoNumber) &&
         (isMm(row) || std::strcmp(row.unit, "deg") == 0);
}

ShelfFigures shelfFigures(GateSpec given) {
  ShelfFigures out;
  // Neither the hand nor the zinc says anything of a shelf.
  given.site.opens = Hand::kRight;
  given.shop.finish = ShopFinish::kNone;
  const GateSpec spec = withAutosGiven(given);
  std::vector<std::unique_ptr<GateAndHairs>> gates;
  for (const GateSpec& one : smallGates(spec)) {
    auto made = std::make_unique<GateAndHairs>(one);
    if (made->gate().problems().empty()) {
      gates.push_back(std::move(made));
    } else if (gates.empty() && out.problems.empty()) {
      out.problems = made->gate().problems();
    }
  }
  if (gates.empty()) {
    return out;
  }
  out.problems.clear();
  FigureFinder finder(spec, out);
  // What is drawn as it is read comes before halves and doubles, wherever it stands.
  constexpr std::array<std::pair<bool, double>, 4> kWays = {
      {{false, kReachMm}, {false, kFarReachMm}, {true, kReachMm}, {true, kFarReachMm}}};
  for (const auto& [shares, reach] : kWays) {
    for (const auto& one : gates) {
      finder.look(*one, {reach, shares});
    }
  }
  finder.addRanges();
  gates.clear();
  for (const OtherKind& other : gatesOfOtherKinds(given)) {
    if (!finder.misses(other.groups) || !keepsShelfRules(other.spec)) {
      continue;
    }
    GateAndHairs made(other.spec);
    if (made.gate().problems().empty()) {
      for (const auto& [shares, reach] : kWays) {
        finder.look(made, {reach, shares, other.groups});
      }
    }
  }
  finder.addRanges();
  return out;
}

}  // namespace leafstack
