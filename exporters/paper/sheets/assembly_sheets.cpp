// Each assembly in views with every mark, every weld and where all of it sits, for who puts it
// together.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "exporters/paper/assemblies/assemblies.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "exporters/paper/assemblies/weld_labels.h"
#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheet/window.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostMarks = 8;    // of one kind, each with a leader
constexpr std::size_t kMostOfKind = 20;  // numbers in one row
constexpr int kFewEvenly = 4;            // each with its own number
constexpr double kSameMm = 0.05;         // told once: numbers have one decimal
constexpr double kBesidePartsMm = 30;    // shown of a rail beside what is in it
constexpr PartKind kTurned[] = {
    PartKind::kWheel,    PartKind::kAxle,        PartKind::kAxleRing,    PartKind::kSpacer,
    PartKind::kPulley,   PartKind::kPulleyPin,   PartKind::kPulleyScrew, PartKind::kWheelBolt,
    PartKind::kTerminal, PartKind::kTerminalNut, PartKind::kPinion,      PartKind::kPivotBolt,
    PartKind::kAnchor,   PartKind::kScrew,       PartKind::kWasher,      PartKind::kNut};

bool isTurned(PartKind kind) {
  return std::find(std::begin(kTurned), std::end(kTurned), kind) != std::end(kTurned);
}

/// Ascending, each once.
std::vector<double> distinct(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  std::vector<double> out;
  for (const double value : values) {
    if (out.empty() || value > out.back() + kSameMm) {
      out.push_back(value);
    }
  }
  return out;
}

class AssemblySheet {
 public:
  AssemblySheet(SheetMaker& maker, const Assembly& assembly)
      : maker_(maker), views_(maker.views), assembly_(assembly) {
    for (const int i : assembly.instances) {
      bounds_[i] = boundsIn(assembly.frame, views_.model(), i);
    }
  }

  void add() {
    std::vector<ViewBlock> blocks = isRunningGear() ? endViews() : wholeViews();
    ViewGrid grid;
    if (isRunningGear() && blocks.size() == 4) {
      grid.rows = {{&blocks[0], &blocks[2]}, {&blocks[1], &blocks[3]}};
    } else if (assembly_.panel > 0) {
      for (const ViewBlock& block : blocks) {
        grid.rows.push_back({&block});
      }
    } else {
      grid.rows = {{&blocks[0], &blocks[2]}, {&blocks[1], nullptr}};
    }
    MadeSheet alone = empty("");
    MadeSheet both = alone;
    const PaperBox above = drawingSpace(alone.sheet).above;
    alone.mm_per_mm = addGrid(alone.sheet, above, grid).value_or(0);
    if (alone.mm_per_mm == 0) {  // a small sheet
      addOneByOne();
      addLists();
      return;
    }
    if (drawnTable(table(), 0, {above.widthMm(), above.heightMm()}).next_row >=
        table().rows.size()) {
      addAboveTable(both, grid, table());
    }
    if (both.mm_per_mm > 0 && both.mm_per_mm <= kTableMayCost * alone.mm_per_mm) {
      maker_.sheets.push_back(std::move(both));
      return;
    }
    maker_.sheets.push_back(std::move(alone));
    addLists();
  }

 private:
  bool isRunningGear() const { return assembly_.name.rfind("running-gear", 0) == 0; }
  const Part& partOf(int instance) const {
    return views_.partOf(views_.model().instances[instance]);
  }

  /// The gate's views, turned so that the assembly's own frame is level in them.
  PictureView view(Vec3 right, Vec3 up) const { return {right, up, cross(right, up)}; }
  Vec3 reversed(const Vec3& v) const { return {-v[0], -v[1], -v[2]}; }
  bool isRightHand() const { return views_.model().opening_sign > 0; }
  PictureView road() const {
    return view(isRightHand() ? assembly_.frame.along : reversed(assembly_.frame.along),
                assembly_.frame.up);
  }
  PictureView property() const {
    return view(isRightHand() ? reversed(assembly_.frame.along) : assembly_.frame.along,
                assembly_.frame.up);
  }
  PictureView above() const {
    return view(isRightHand() ? assembly_.frame.along : reversed(assembly_.frame.along),
                assembly_.frame.across);
  }
  PictureView aboveFromBehind() const {
    return view(reversed(isRightHand() ? assembly_.frame.along : reversed(assembly_.frame.along)),
                reversed(assembly_.frame.across));
  }
  /// From the latch side.
  PictureView lengthways() const {
    return view(isRightHand() ? reversed(assembly_.frame.across) : assembly_.frame.across,
                assembly_.frame.up);
  }

  std::vector<ViewBlock> wholeViews() {
    std::vector<ViewBlock> blocks;
    if (assembly_.panel > 0) {
      blocks.push_back(whole("From the property side", property(), true));
      blocks.push_back(whole("From above", aboveFromBehind(), false));
    } else {
      blocks.push_back(whole("From the road", road(), true));
      blocks.push_back(whole("From above", above(), false));
      blocks.push_back(whole("From the latch side", lengthways(), false));
    }
    for (std::size_t v = 0; v < blocks.size(); ++v) {
      const bool is_plan = v == 1;
      const bool is_end = v == 2;
      if (v > 0) {
        addPlaces(blocks[v], is_plan ? 0 : 1, Side::kBelow, assembly_.instances);
      }
      if (!is_end) {
        addPlaces(blocks[v], is_plan ? 1 : 2, nearDatum(), assembly_.instances);
      }
    }
    addMarksAndWelds(blocks, assembly_.instances);
    return blocks;
  }

  /// All of it, with what it is fixed to in narrow lines.
  ViewBlock whole(const std::string& title, const PictureView& view, bool shows_context) {
    ViewBlock block(title, view);
    Scene scene;
    for (const auto* list : {&assembly_.instances, &assembly_.context}) {
      if (list == &assembly_.context && !shows_context) {
        continue;
      }
      for (const int i : *list) {
        scene.solids.push_back(views_.placed(i, 0));
        scene.instances.push_back(i);
      }
    }
    const std::vector<ViewCurve> curves = projected(scene.solids, view);
    block.curves(curves, [&](const ViewCurve& curve) {
      return isOwn(scene.instances[curve.solid]) ? LineRole::kVisible : LineRole::kFine;
    });
    noteSeen(curves, scene.instances);
    return block;
  }

  bool isOwn(int instance) const { return bounds_.contains(instance); }

  /// The parts in each end of the rail, larger, the rail itself as if one saw through it.
  std::vector<ViewBlock> endViews() {
    double low = 1e9;
    double high = -1e9;
    for (const auto& [i, box] : bounds_) {
      low = std::min(low, box.low[0]);
      high = std::max(high, box.high[0]);
    }
    std::vector<ViewBlock> blocks;
    const bool starts_left = isRightHand();
    for (const bool is_leading : {starts_left, !starts_left}) {
      std::vector<int> there;
      for (const auto& [i, box] : bounds_) {
        if ((box.low[0] + box.high[0] < low + high) == is_leading) {
          there.push_back(i);
        }
      }
      if (there.empty()) {
        continue;
      }
      const std::string end = is_leading ? "leading end" : "trailing end";
      std::vector<ViewBlock> pair = {
          ends("Seen through the rail's " + end + ", from the road", road(), there),
          ends("The same from above", above(), there)};
      addPlaces(pair[0], 0, Side::kBelow, there, is_leading ? 0 : railEndMm());
      addPlaces(pair[0], 2, Side::kLeft, there);
      addPlaces(pair[1], 1, Side::kLeft, there);
      addMarksAndWelds(pair, there);
      blocks.insert(blocks.end(), pair.begin(), pair.end());
    }
    return blocks;
  }

  ViewBlock ends(const std::string& title, const PictureView& view, const std::vector<int>& there) {
    ViewBlock block(title, view);
    Scene scene;
    for (const int i : there) {
      scene.solids.push_back(views_.placed(i, 0));
      scene.instances.push_back(i);
    }
    const std::vector<ViewCurve> curves = projected(scene.solids, view);
    block.curves(curves, [](const ViewCurve&) { return LineRole::kVisible; });
    noteSeen(curves, scene.instances);
    const PaperBox window = block.bounds().grown(kBesidePartsMm);
    Scene rail;
    for (const int i : assembly_.context) {
      rail.solids.push_back(views_.placed(i, 0));
    }
    for (const ViewCurve& curve : projected(rail.solids, view)) {
      for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
        block.curve(LineRole::kPhantom, std::move(stretch));
      }
    }
    return block;
  }

  /// For leaders: the middle of the longest line that is seen of each instance in a view.
  void noteSeen(const std::vector<ViewCurve>& curves, const std::vector<int>& instances) {
    std::map<int, Seen>& seen_here = seen_.emplace_back();
    for (const ViewCurve& curve : curves) {
      const int instance = instances[curve.solid];
      if (curve.is_hidden || curve.vertices.size() < 2 || !isOwn(instance)) {
        continue;
      }
      for (std::size_t k = 0; k + 1 < curve.vertices.size(); ++k) {
        const PathVertex& a = curve.vertices[k];
        const PathVertex& b = curve.vertices[k + 1];
        const double length = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
        Seen& best = seen_here[instance];
        if (length > best.length_mm) {
          // Off the middle: a bulge of an arc would leave its chord there.
          best = {length, a.bulge == 0 ? PaperPoint{(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2}
                                       : PaperPoint{a.x_mm, a.y_mm}};
        }
      }
    }
  }

  /// Where the row of heights stands: on the datum's side of the first view.
  Side nearDatum() const {
    return isRightHand() == (assembly_.panel == 0) || isRunningGear() ? Side::kLeft : Side::kRight;
  }

  /// Every mark once, in the first view that shows a part of it, away from the rows of numbers;
  /// what is hidden in all, behind or in other parts, by its middle. Welds above and below the
  /// first view.
  void addMarksAndWelds(std::vector<ViewBlock>& blocks, const std::vector<int>& drawn) {
    const std::size_t first = seen_.size() - blocks.size();
    for (std::size_t v = 0; v < blocks.size(); ++v) {
      ViewBlock& block = blocks[v];
      const Side beside = nearDatum() == Side::kLeft ? Side::kRight : Side::kLeft;
      LabelRequest marks{v == 0 ? beside : isRunningGear() ? Side::kBelow : Side::kAbove, {}};
      for (const auto& [instance, where] : seen_[first + v]) {
        const std::string words = markWords(partOf(instance));
        if (marked_.insert(words).second) {
          const Vec3 at = plus(plus({0, 0, 0}, block.view().right, where.at.x_mm), block.view().up,
                               where.at.y_mm);
          marks.labels.push_back({at, words, {}});
        }
      }
      for (const int i : v == 0 ? drawn : std::vector<int>{}) {
        const bool is_seen = std::any_of(
            seen_.begin() + static_cast<std::ptrdiff_t>(first), seen_.end(), [&](const auto& view) {
              return std::any_of(view.begin(), view.end(), [&](const auto& one) {
                return partOf(one.first).mark == partOf(i).mark;
              });
            });
        if (!is_seen && marked_.insert(markWords(partOf(i))).second) {
          const FrameBounds& box = bounds_.at(i);
          const Vec3 middle = plus(box.low, minus(box.high, box.low), 0.5);
          marks.labels.push_back({assembly_.frame.at(middle), markWords(partOf(i)), {}});
        }
      }
      LabelRequest above{Side::kAbove, {}};
      LabelRequest below{Side::kBelow, {}};
      const double middle = (block.bounds().bottom_mm + block.bounds().top_mm) / 2;
      for (const WeldGroup& group : weldGroups(maker_.schedules.welds, assembly_.panel)) {
        if (v == 0 && has_signs_ && isOfThis(group) && welded_.insert(group.key).second) {
          const bool is_low = !isRunningGear() && seen(block.view(), group.at)[1] < middle;
          (is_low ? below : above).labels.push_back({group.at, "", group.signs});
        }
      }
      block.labels(std::move(above));
      block.labels(std::move(below));
      block.labels(std::move(marks));
    }
  }

  /// Of many marks of one kind, as boards of a raked gate have them, the first and the last.
  std::string markWords(const Part& part) const {
    std::vector<std::string> alike;
    for (const int i : assembly_.instances) {
      const Part& other = partOf(i);
      if (other.kind == part.kind &&
          std::find(alike.begin(), alike.end(), other.mark) == alike.end()) {
        alike.push_back(other.mark);
      }
    }
    return alike.size() > kMostMarks ? alike.front() + " to " + alike.back() : part.mark;
  }

  /// One of the two is here, and the other here or of the frame: nothing else is welded to it.
  bool isOfThis(const WeldGroup& group) const {
    const auto is_here = [&](const std::string& mark) {
      return std::any_of(assembly_.instances.begin(), assembly_.instances.end(),
                         [&](int i) { return partOf(i).mark == mark; });
    };
    return is_here(group.a) || is_here(group.b);
  }

  double railEndMm() const {
    double end = 0;
    for (const int i : assembly_.context) {
      end = std::max(end, boundsIn(assembly_.frame, views_.model(), i).high[0]);
    }
    return end;
  }

  /// Rows of numbers along an axis of the frame, from where that is `from_mm`: nearest corners, and
  /// middles of what is turned; fasteners stand in the table alone.
  void addPlaces(ViewBlock& block, int axis, Side side, const std::vector<int>& parts,
                 double from_mm = 0) {
    std::map<double, Vec3> points;  // by place: the first part there
    std::map<PartKind, std::vector<double>> places;
    for (const int i : parts) {
      if (!isFastener(partOf(i).kind)) {
        places[partOf(i).kind].push_back(placeOf(i, axis));
      }
    }
    std::set<double> told;  // of many evenly apart the first and the last; the table has all
    for (const auto& [kind, all] : places) {
      if (distinct(all).size() > kMostOfKind && evenRuns(all).size() > kMostOfKind / 2) {
        told.insert({distinct(all).front(), distinct(all).back()});
        continue;
      }
      for (const EvenRun& run : evenRuns(all)) {
        told.insert({run.first_mm, run.lastMm()});
        if (run.count <= kFewEvenly) {
          for (int i = 1; i + 1 < run.count; ++i) {
            told.insert(run.first_mm + i * run.pitch_mm);
          }
        }
      }
    }
    for (const int i : parts) {
      Vec3 local = bounds_.at(i).corner;
      local[axis] = placeOf(i, axis);
      const auto near = told.lower_bound(local[axis] - kSameMm);
      if (!isFastener(partOf(i).kind) && near != told.end() && *near < local[axis] + kSameMm) {
        points.emplace(local[axis], local);
      }
    }
    if (points.empty()) {
      return;
    }
    Vec3 datum = points.begin()->second;
    datum[axis] = from_mm;
    RunningRequest request{side, assembly_.frame.at(datum), {assembly_.frame.at(datum)}};
    const Vec3 axes[] = {assembly_.frame.along, assembly_.frame.across, assembly_.frame.up};
    request.counts_along = from_mm > 0 ? reversed(axes[axis]) : axes[axis];
    double last = from_mm;
    for (const auto& [place, local] : points) {
      if (std::abs(place - last) > kSameMm && std::abs(place - from_mm) > kSameMm) {
        request.features.push_back(assembly_.frame.at(local));
        last = place;
      }
    }
    block.running(std::move(request));
  }

  static bool isFastener(PartKind kind) {
    return kind == PartKind::kAnchor || kind == PartKind::kScrew || kind == PartKind::kWasher ||
           kind == PartKind::kNut || kind == PartKind::kPulleyScrew ||
           kind == PartKind::kTerminalNut || kind == PartKind::kAxleRing;
  }

  double placeOf(int instance, int axis) const {
    const auto& box = bounds_.at(instance);
    return isTurned(partOf(instance).kind) ? (box.low[axis] + box.high[axis]) / 2
                                           : box.corner[axis];
  }

  TableBlock table() const {
    TableBlock table;
    table.heads = {"mark", "qty", "part", "section", "along", "across", "up"};
    table.is_number = {false, true, false, false, false, false, false};
    table.most_mm = {0, 0, 36, 46, 70, 40, 40};
    std::map<std::string, std::vector<int>> by_mark;
    std::vector<std::string> order;
    for (const int i : assembly_.instances) {
      auto& list = by_mark[partOf(i).mark];
      if (list.empty()) {
        order.push_back(partOf(i).mark);
      }
      list.push_back(i);
    }
    for (const std::string& mark : order) {
      const std::vector<int>& list = by_mark[mark];
      const Part& part = partOf(list.front());
      std::vector<std::string> row = {mark, std::to_string(list.size()),
                                      part.name + (isTurned(part.kind) ? " (middle)" : ""),
                                      part.section};
      for (int axis = 0; axis < 3; ++axis) {
        row.push_back(placesOf(list, axis));
      }
      table.rows.push_back(std::move(row));
    }
    return table;
  }

  std::string placesOf(const std::vector<int>& list, int axis) const {
    std::vector<double> places;
    for (const int i : list) {
      places.push_back(placeOf(i, axis));
    }
    return inWords(evenRuns(distinct(std::move(places))));
  }

  MadeSheet empty(const std::string& suffix) const {
    return {maker_.empty(assembly_.name + suffix, assembly_.title), "workshop drawing"};
  }

  /// A sheet for every view, and others for the welds.
  void addOneByOne() {
    seen_.clear();
    marked_.clear();
    welded_.clear();
    has_signs_ = false;
    const std::vector<ViewBlock> blocks = isRunningGear() ? endViews() : wholeViews();
    for (std::size_t v = 0; v < blocks.size(); ++v) {
      MadeSheet one = empty(v == 0 ? "" : "-" + std::to_string(v + 1));
      one.mm_per_mm =
          addGrid(one.sheet, drawingSpace(one.sheet).above, {{{&blocks[v]}}}).value_or(0);
      maker_.sheets.push_back(std::move(one));
    }
    std::vector<WeldGroup> groups = weldGroups(maker_.schedules.welds, assembly_.panel);
    std::erase_if(groups, [&](const WeldGroup& one) { return !isOfThis(one); });
    addWeldSheets(maker_, {assembly_.name + "-welds", assembly_.title + ": welds"},
                  whole("From the property side", property(), assembly_.panel > 0), groups);
  }

  void addLists() { addTableSheets(maker_, {assembly_.name + "-list", assembly_.title}, table()); }

  struct Seen {
    double length_mm = 0;
    PaperPoint at;
  };

  SheetMaker& maker_;
  const GateViews& views_;
  const Assembly& assembly_;
  std::map<int, FrameBounds> bounds_;      ///< of its instances, in its frame
  std::vector<std::map<int, Seen>> seen_;  ///< by view
  std::set<std::string> marked_, welded_;
  bool has_signs_ = true;  ///< of welds, beside the rest
};

}  // namespace

void addAssemblySheet(SheetMaker& maker, const Assembly& assembly) {
  AssemblySheet(maker, assembly).add();
}

}  // namespace leafstack
