#include "exporters/paper/exploded/exploded_panel.h"

#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_Vec.hxx>
#include <limits>
#include <map>
#include <set>

#include "exporters/paper/views/projection.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostMarks = 8;  // of one kind; more are one item
constexpr double kApartShare = 0.2;    // of the panel's height: how far parts stand apart
constexpr double kLeastLineMm = 3;     // shorter lines are not drawn

/// In the order of assembly.
enum class Step { kFrame, kInfill, kWelded, kAlone, kGear, kFitted, kCladding };
constexpr const char* kSteps[] = {
    "Tack the frame on a flat bench, measure its diagonals (frame sheet), then weld it",
    "Weld in the infill, from the middle outwards",
    "Weld on what carries and guides (attachments, running gear), plug the holes of threads and "
    "bearings, then finish it all; run taps through the threads after",
    "Weld these together by themselves, not to the panel, and finish them: they are screwed on",
    "Put in wheels, and pulleys in their cradles, with their axles, pins and screws",
    "Fit what is bolted or slid on",
    "Screw on the cladding last, once the panel runs"};

bool isGear(PartKind kind) {
  return kind == PartKind::kWheel || kind == PartKind::kAxle || kind == PartKind::kAxleRing ||
         kind == PartKind::kSpacer || kind == PartKind::kWheelCarrier ||
         kind == PartKind::kWheelBolt || kind == PartKind::kWheelPacker ||
         kind == PartKind::kPulley || kind == PartKind::kPulleyPin ||
         kind == PartKind::kPulleyCheek || kind == PartKind::kPulleyFlange ||
         kind == PartKind::kPulleyCover || kind == PartKind::kPulleyScrew;
}
bool isUnderRail(PartKind kind) {
  return isGear(kind) || kind == PartKind::kTrackKeeper || kind == PartKind::kKeeperSaddle;
}
bool isFrame(PartKind kind) {
  return kind == PartKind::kBottomRail || kind == PartKind::kTopRail || kind == PartKind::kStile;
}
bool isInfill(PartKind kind) {
  return kind == PartKind::kPicket || kind == PartKind::kSlat || kind == PartKind::kSheet;
}
bool isCladding(PartKind kind) {
  return kind == PartKind::kBoard || kind == PartKind::kBatten;
}

/// What goes into one another under the rail is drawn one below another, in shares of the way that
/// rails are apart.
double deeperOf(PartKind kind) {
  switch (kind) {
    case PartKind::kPulleyCheek:
    case PartKind::kAxleRing:
      return 0.45;
    case PartKind::kPulley:
    case PartKind::kAxle:
      return 0.9;
    case PartKind::kPulleyPin:
    case PartKind::kSpacer:
      return 1.35;
    case PartKind::kPulleyScrew:
      return 1.8;
    default:
      return 0;
  }
}

constexpr std::size_t kMostInRow = 16, kMostInColumn = 10;  // balloons on one side

struct Item {
  Step step{};
  PartKind kind{};
  std::vector<std::string> marks;
  std::vector<int> instances;
  std::string name;
};

/// The longest line that is seen of an instance: where its leader ends.
struct Seen {
  double length_mm = -1;
  PaperPoint at;
};

class Exploded {
 public:
  Exploded(const GateViews& views, const std::vector<WeldRow>& welds, int panel)
      : views_(views), panel_(views.layout().panel(panel)) {
    for (const WeldRow& row : welds) {
      if (row.panel == panel) {
        welded_.insert({row.a, row.b});
      }
    }
    findOnFrame(welds, panel);
    gather();
  }

  ExplodedPanel made() const {
    ExplodedPanel out;
    out.view = ViewBlock("Taken apart, from the road and the latch side",
                         roadView(views_.model().opening_sign));
    std::map<int, Seen> seen_here;
    draw(out.view, seen_here);
    addBalloons(out.view, seen_here);
    const auto isSeen = [&](const Item& item) {
      return std::any_of(item.instances.begin(), item.instances.end(),
                         [&](int i) { return seen_here.contains(i); });
    };
    out.items.heads = {"item", "mark", "qty", "part"};
    out.items.is_number = {true, false, true, false};
    out.items.most_mm = {0, 0, 0, 44};
    int number = 0;
    std::map<Step, std::vector<int>> by_step;
    for (const Item& item : items_) {
      by_step[item.step].push_back(++number);
      std::string marks = item.marks.front();
      if (item.marks.size() > 1) {
        marks += " to " + item.marks.back();
      }
      out.items.rows.push_back({std::to_string(number), marks,
                                std::to_string(item.instances.size()),
                                item.name + (isSeen(item) ? "" : " (behind)")});
    }
    int step_number = 0;
    for (const auto& [step, numbers] : by_step) {
      std::string words = std::to_string(++step_number) + ". ";
      words += kSteps[static_cast<int>(step)];
      if (step == Step::kFitted && views_.model().spec.gate.material == FrameMaterial::kAluminium) {
        words += ", steel on aluminium with tape or plastic washers between them";
      }
      words += numbers.size() > 1 ? ": items " + std::to_string(numbers.front()) + " to " +
                                        std::to_string(numbers.back())
                                  : ": item " + std::to_string(numbers.front());
      out.steps.push_back(words + ".");
    }
    return out;
  }

 private:
  const Part& partOf(int instance) const {
    return views_.partOf(views_.model().instances[instance]);
  }

  Step stepOf(int instance) const {
    const Part& part = partOf(instance);
    return with_cladding_.contains(instance) ? Step::kCladding
           : isFrame(part.kind)              ? Step::kFrame
           : isInfill(part.kind)             ? Step::kInfill
           : isCladding(part.kind)           ? Step::kCladding
           : on_frame_.contains(part.mark)   ? Step::kWelded
           : welded_.contains(part.mark)     ? Step::kAlone
           : isGear(part.kind)               ? Step::kGear
                                             : Step::kFitted;
  }

  /// Marks that welds join to the frame, one after another.
  void findOnFrame(const std::vector<WeldRow>& welds, int panel) {
    for (const Instance& instance : views_.model().instances) {
      const Part& part = views_.partOf(instance);
      if (instance.panel == panel && isFrame(part.kind)) {
        on_frame_.insert(part.mark);
      }
    }
    for (bool has_grown = true; has_grown;) {
      has_grown = false;
      for (const WeldRow& row : welds) {
        if (row.panel == panel && on_frame_.contains(row.a) != on_frame_.contains(row.b)) {
          on_frame_.insert({row.a, row.b});
          has_grown = true;
        }
      }
    }
  }

  void gather() {
    for (const Fastening& fastening : views_.model().fastenings) {
      if (isCladding(partOf(fastening.under_head).kind)) {
        with_cladding_.insert({fastening.screw, fastening.washer, fastening.nut});
      }
    }
    std::map<PartKind, std::set<std::string>> marks_of;
    const auto& instances = views_.model().instances;
    for (int i = 0; i < static_cast<int>(instances.size()); ++i) {
      if (instances[i].panel == panel_.number && partOf(i).kind != PartKind::kRope) {
        marks_of[partOf(i).kind].insert(partOf(i).mark);
      }
    }
    for (int i = 0; i < static_cast<int>(instances.size()); ++i) {
      const Part& part = partOf(i);
      if (instances[i].panel != panel_.number || part.kind == PartKind::kRope) {
        continue;
      }
      const bool is_many = marks_of[part.kind].size() > kMostMarks;
      auto found = std::find_if(items_.begin(), items_.end(), [&](const Item& item) {
        return item.kind == part.kind && item.step == stepOf(i) &&
               (is_many || item.marks.front() == part.mark);
      });
      if (found == items_.end()) {
        items_.push_back({stepOf(i), part.kind, {}, {}, part.name});
        found = std::prev(items_.end());
      }
      if (std::find(found->marks.begin(), found->marks.end(), part.mark) == found->marks.end()) {
        found->marks.push_back(part.mark);
      }
      found->instances.push_back(i);
    }
    std::stable_sort(items_.begin(), items_.end(),
                     [](const Item& a, const Item& b) { return a.step < b.step; });
  }

  /// How far a part is moved: up or down with the rail that it is at, and across to the side that
  /// it stands on; what is in the bottom rail, below it.
  Vec3 shiftOf(int instance) const {
    const Instance& one = views_.model().instances[instance];
    const PartKind kind = partOf(instance).kind;
    const double height =
        panel_.topZ(panel_.leading_closed_mm) - panel_.undersideZ(panel_.leading_closed_mm);
    const double apart = kApartShare * height;
    const GateSpec& spec = views_.model().spec;
    const double depth = views_.layout().stack.frame_depth_mm;
    const double x = views_.model().opening_sign * (one.bounds.low[0] + one.bounds.high[0]) / 2;
    const double z = (one.bounds.low[2] + one.bounds.high[2]) / 2;
    const double y = (one.bounds.low[1] + one.bounds.high[1]) / 2;
    const bool is_low = z < panel_.undersideZ(x) + spec.gate.bottom_rail.height_mm * 1.2;
    const bool is_high = z > panel_.topZ(x) - spec.gate.top_rail.height_mm * 2;
    Vec3 shift{};
    if (isUnderRail(kind)) {
      shift[2] = -(2 + deeperOf(kind)) * apart;
    } else if (kind != PartKind::kStile && !isInfill(kind) && !isCladding(kind)) {
      shift[2] = is_low ? -apart : is_high ? apart : 0;
    }
    if (!isFrame(kind) && !isInfill(kind) && !isUnderRail(kind)) {
      // Boards hide what is behind them: further away.
      shift[1] = isCladding(kind)                ? -2.5 * apart
                 : y < panel_.front_y_mm         ? -1.5 * apart
                 : y > panel_.front_y_mm + depth ? 1.5 * apart
                                                 : 0;
    }
    return shift;
  }

  void draw(ViewBlock& block, std::map<int, Seen>& seen_here) const {
    Scene scene;
    for (const Item& item : items_) {
      for (const int i : item.instances) {
        const Vec3 shift = shiftOf(i);
        gp_Trsf motion;
        motion.SetTranslation(gp_Vec(shift[0], shift[1], shift[2]));
        PlacedViewSolid placed = views_.placed(i, 0);
        placed.location = TopLoc_Location(motion) * placed.location;
        scene.solids.push_back(std::move(placed));
        scene.instances.push_back(i);
      }
    }
    ViewOptions options;
    options.least_length_mm = kLeastLineMm;
    for (const ViewCurve& curve : projected(scene.solids, block.view(), options)) {
      const int instance = scene.instances[curve.solid];
      block.curve(curve.is_contour && rowOf(partOf(instance).kind).is_main ? LineRole::kVisible
                                                                           : LineRole::kFine,
                  curve.vertices, curve.is_closed);
      for (std::size_t k = 0; k + 1 < curve.vertices.size(); ++k) {
        const PathVertex& a = curve.vertices[k];
        const PathVertex& b = curve.vertices[k + 1];
        const double length = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
        Seen& best = seen_here[instance];
        if (length > best.length_mm) {
          best = {length, a.bulge == 0 ? PaperPoint{(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2}
                                       : PaperPoint{a.x_mm, a.y_mm}};
        }
      }
    }
  }

  /// Each at the side of the view that it is nearest to; one that nothing is seen of, by its
  /// middle.
  void addBalloons(ViewBlock& block, const std::map<int, Seen>& seen_here) const {
    const PaperBox& box = block.bounds();
    std::map<Side, LabelRequest> requests;
    int number = 0;
    for (const Item& item : items_) {
      ++number;
      const PaperPoint at = pointOf(item, block, seen_here);
      const std::pair<double, Side> sides[] = {{at.x_mm - box.left_mm, Side::kLeft},
                                               {box.right_mm - at.x_mm, Side::kRight},
                                               {at.y_mm - box.bottom_mm, Side::kBelow},
                                               {box.top_mm - at.y_mm, Side::kAbove}};
      // The nearest that has room.
      Side side = std::min_element(std::begin(sides), std::end(sides))->second;
      double nearest = std::numeric_limits<double>::infinity();
      for (const auto& [off, one] : sides) {
        const bool is_row = one == Side::kBelow || one == Side::kAbove;
        if (requests[one].labels.size() < (is_row ? kMostInRow : kMostInColumn) && off < nearest) {
          nearest = off;
          side = one;
        }
      }
      LabelRequest& request = requests[side];
      request.side = side;
      request.is_balloon = true;
      request.labels.push_back(
          {plus(plus({0, 0, 0}, block.view().right, at.x_mm), block.view().up, at.y_mm),
           std::to_string(number),
           {}});
    }
    for (auto& [side, request] : requests) {
      block.labels(std::move(request));
    }
  }

  PaperPoint pointOf(const Item& item, const ViewBlock& block,
                     const std::map<int, Seen>& seen_here) const {
    const Seen* best = nullptr;
    for (const int i : item.instances) {
      const auto found = seen_here.find(i);
      if (found != seen_here.end() &&
          (best == nullptr || found->second.length_mm > best->length_mm + 1)) {
        best = &found->second;
      }
    }
    if (best != nullptr) {
      return best->at;
    }
    const Instance& one = views_.model().instances[item.instances.front()];
    const Vec3 middle = plus(plus(one.bounds.low, minus(one.bounds.high, one.bounds.low), 0.5),
                             shiftOf(item.instances.front()), 1);
    const Vec3 at = seen(block.view(), middle);
    return {at[0], at[1]};
  }

  const GateViews& views_;
  const PanelLayout& panel_;
  std::set<std::string> welded_, on_frame_;  ///< marks
  std::set<int> with_cladding_;              ///< screws that hold it
  std::vector<Item> items_;
};

}  // namespace

ExplodedPanel explodedPanel(const GateViews& views, const std::vector<WeldRow>& welds, int panel) {
  return Exploded(views, welds, panel).made();
}

}  // namespace leafstack
