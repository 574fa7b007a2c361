// What the welder makes of each panel's frame: every member located, every weld.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "exporters/paper/assemblies/weld_labels.h"
#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

bool isFrame(PartKind kind) {
  return kind == PartKind::kBottomRail || kind == PartKind::kTopRail || kind == PartKind::kStile;
}
bool isInfill(PartKind kind) {
  return kind == PartKind::kPicket || kind == PartKind::kSlat || kind == PartKind::kSheet;
}

/// One panel's frame, closed, as it stands in the gate.
class FrameSheet {
 public:
  FrameSheet(SheetMaker& maker, int panel)
      : maker_(maker), panel_(maker.layout().panel(panel)), views_(maker.views) {}

  void add() {
    const std::string number = std::to_string(panel_.number);
    MadeSheet made{maker_.empty("frame-panel-" + number, "Frame of panel " + number),
                   "workshop drawing"};
    const ViewBlock block = elevation();
    const MadeSheet bare = made;
    addAboveTable(made, {{{&block}}}, cutTable());
    if (made.mm_per_mm == 0) {  // a small sheet: the table gets one of its own
      made = bare;
      const PaperBox above = drawingSpace(made.sheet).above;
      made.mm_per_mm = addGrid(made.sheet, above, {{{&block}}}).value_or(0);
      MadeSheet list = bare;
      list.sheet.name += "-list";
      const DrawnTable drawn = drawnTable(cutTable(), 0, {above.widthMm(), above.heightMm()});
      addMoved(list.sheet, drawn.sheet, {above.left_mm, above.top_mm});
      maker_.sheets.push_back(std::move(list));
    }
    maker_.sheets.push_back(std::move(made));
  }

 private:
  ViewBlock elevation() const {
    ViewBlock block("Frame from the road, as it stands closed", fromRoad());
    const Scene scene = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      return one.panel == panel_.number && (isFrame(kind) || isInfill(kind));
    });
    block.curves(projected(scene.solids, block.view()), [&](const ViewCurve& curve) {
      const Instance& one = views_.model().instances[scene.instances[curve.solid]];
      return isFrame(views_.partOf(one).kind) ? LineRole::kVisible : LineRole::kFine;
    });
    for (const auto& [from, to] : diagonals()) {
      block.line(LineRole::kCentre, from, to);
    }
    std::vector<double> marks_x;
    const std::vector<double> numbers_x = addMembers(block, scene, marks_x);
    addHeights(block);
    addWelds(block, numbers_x, marks_x);
    addCorners(block);
    return block;
  }

  double trailMm() const { return panel_.leading_closed_mm + panel_.frame_length_mm; }

  Vec3 corner(double x, bool is_top) const {
    return views_.at(x, panel_.front_y_mm, is_top ? panel_.topZ(x) : panel_.undersideZ(x));
  }

  std::vector<std::pair<Vec3, Vec3>> diagonals() const {
    const double lead = panel_.leading_closed_mm;
    return {{corner(lead, false), corner(trailMm(), true)},
            {corner(trailMm(), false), corner(lead, true)}};
  }

  static double distance(const std::pair<Vec3, Vec3>& line) {
    return std::hypot(line.second[0] - line.first[0], line.second[2] - line.first[2]);
  }

  /// Uprights' near edges from the leading end, and every mark of members once, over `marks_x`.
  /// Returns where the numbers of that row are, in the gate's X.
  std::vector<double> addMembers(ViewBlock& block, const Scene& scene,
                                 std::vector<double>& marks_x) const {
    const double sign = views_.model().opening_sign;
    RunningRequest along{Side::kBelow, corner(panel_.leading_closed_mm, false), {}};
    along.features.push_back(along.datum);
    LabelRequest marks{Side::kAbove, {}};
    std::vector<int> infill;
    std::set<std::string> marked;
    for (const Bay& bay : bays()) {
      if (!bay.is_across) {
        for (const double at : {bay.first_mm, bay.lastMm()}) {
          along.features.push_back(corner(panel_.leading_closed_mm + at, false));
        }
      }
    }
    for (const int i : scene.instances) {
      const Instance& one = views_.model().instances[i];
      const PartKind kind = views_.partOf(one).kind;
      const double near = sign > 0 ? one.bounds.low[0] : one.bounds.high[0];
      const Vec3 foot = {near, panel_.front_y_mm, one.bounds.low[2]};
      if (kind == PartKind::kStile && std::abs(near - along.datum[0]) > kLengthEqualMm) {
        along.features.push_back(foot);
      }
      // Each frame member by itself; infill, which may be of many lengths, by its first and last.
      if (isInfill(kind)) {
        infill.push_back(i);
      } else if (marked.insert(views_.partOf(one).mark).second) {
        marks.labels.push_back({markedAt(one), views_.partOf(one).mark});
      }
    }
    addInfillMark(marks, infill);
    along.features.push_back(corner(trailMm(), false));
    if (panel_.length_mm > panel_.frame_length_mm + kLengthEqualMm) {
      along.features.push_back(corner(panel_.trailing_closed_mm, false));
    }
    std::vector<double> numbers_x;
    for (const Vec3& feature : along.features) {
      numbers_x.push_back(feature[0]);
    }
    for (const LabelRequest::Label& label : marks.labels) {
      marks_x.push_back(label.at[0]);
    }
    block.running(std::move(along));
    block.labels(std::move(marks));
    return numbers_x;
  }

  void addInfillMark(LabelRequest& marks, const std::vector<int>& infill) const {
    if (infill.empty()) {
      return;
    }
    const auto& instances = views_.model().instances;
    std::string text = views_.partOf(instances[infill.front()]).mark;
    const std::string last = views_.partOf(instances[infill.back()]).mark;
    if (last != text) {
      text += " to " + last;
    }
    marks.labels.push_back({markedAt(instances[infill.front()]), text});
  }

  /// Where a leader ends on a member: apart from where others cross it.
  Vec3 markedAt(const Instance& one) const {
    const PartKind kind = views_.partOf(one).kind;
    const bool is_rail = kind == PartKind::kBottomRail || kind == PartKind::kTopRail;
    const double share = kind == PartKind::kTopRail ? 0.22 : is_rail ? 0.72 : 0.5;
    const double x = one.bounds.low[0] + share * (one.bounds.high[0] - one.bounds.low[0]);
    const double layout_x = views_.model().opening_sign * x;
    if (is_rail) {
      const double z = kind == PartKind::kTopRail ? panel_.topZ(layout_x) - kInsideMm
                                                  : panel_.undersideZ(layout_x) + kInsideMm;
      return {x, panel_.front_y_mm, z};
    }
    return {x, panel_.front_y_mm, one.bounds.high[2] - kInsideMm};
  }

  void addHeights(ViewBlock& block) const {
    const double lead = panel_.leading_closed_mm;
    const bool leads_left = views_.model().opening_sign > 0;
    const Side near = leads_left ? Side::kLeft : Side::kRight;
    const Side far = leads_left ? Side::kRight : Side::kLeft;
    // Rails as they are cut there: plumb at the stile.
    const GateSpec& spec = views_.model().spec;
    const double top_slope = (panel_.topZ(trailMm()) - panel_.topZ(lead)) / (trailMm() - lead);
    Vec3 on_bottom = corner(lead, false);
    Vec3 under_top = corner(lead, true);
    on_bottom[2] += spec.gate.bottom_rail.height_mm / panel_.cosine();
    under_top[2] -= spec.gate.top_rail.height_mm * std::hypot(1, top_slope);
    block.chain(near, {corner(lead, false), on_bottom, under_top, corner(lead, true)});
    block.linear({near, corner(lead, false), corner(lead, true)});
    block.linear({far, corner(trailMm(), false), corner(trailMm(), true)});
    if (std::abs(panel_.grade) > 0) {
      // The rake over the frame's length.
      block.linear({far, corner(lead, false), corner(trailMm(), false), "rake "});
    }
    RunningRequest up{near, corner(lead, false), {}};
    for (const Bay& bay : bays()) {
      if (bay.is_across) {
        for (const double at : {bay.first_mm, bay.lastMm()}) {
          Vec3 point = corner(lead, false);
          point[2] += at;
          up.features.push_back(point);
        }
      }
    }
    if (!up.features.empty()) {
      up.features.push_back(up.datum);
      block.running(std::move(up));
    }
  }

  /// Infill at one pitch: near edges from the leading end, or lower edges plumb from the bottom
  /// rail's underside at the leading end.
  struct Bay {
    bool is_across = false;
    int count = 0;
    double first_mm = 0, pitch_mm = 0;
    double lastMm() const { return first_mm + (count - 1) * pitch_mm; }
  };

  std::vector<Bay> bays() const {
    std::vector<double> along, up;
    for (const Instance& one : views_.model().instances) {
      const Part& part = views_.partOf(one);
      if (one.panel != panel_.number || !isInfill(part.kind)) {
        continue;
      }
      const double sign = views_.model().opening_sign;
      const double near = sign > 0 ? one.bounds.low[0] : -one.bounds.high[0];
      if (part.kind == PartKind::kSlat) {
        // Along the rail: its lower edge, carried on to the leading end, is as high as its middle
        // above the rail less half its depth.
        const double middle_x = sign * (one.bounds.low[0] + one.bounds.high[0]) / 2;
        const double middle_z = (one.bounds.low[2] + one.bounds.high[2]) / 2;
        const double half = part.tube ? part.tube->height_mm / 2 / panel_.cosine() : 0;
        up.push_back(middle_z - half - panel_.undersideZ(middle_x));
      } else {
        along.push_back(near - panel_.leading_closed_mm);
      }
    }
    std::vector<Bay> all = evenly(std::move(along), false);
    const std::vector<Bay> rows = evenly(std::move(up), true);
    all.insert(all.end(), rows.begin(), rows.end());
    return all;
  }

  /// Stretches of places that are equally far apart.
  static std::vector<Bay> evenly(std::vector<double> places, bool is_across) {
    constexpr double kEvenMm = 0.02;
    std::sort(places.begin(), places.end());
    // Slats on both sides of an upright lie at one height.
    places.erase(std::unique(places.begin(), places.end(),
                             [](double a, double b) { return std::abs(a - b) < kEvenMm; }),
                 places.end());
    std::vector<Bay> all;
    for (std::size_t i = 0; i < places.size(); ++i) {
      Bay* bay = all.empty() ? nullptr : &all.back();
      const double step = i > 0 ? places[i] - places[i - 1] : 0;
      if (bay != nullptr &&
          (bay->count == 1 ? startsBay(places, i) : std::abs(step - bay->pitch_mm) < kEvenMm)) {
        bay->pitch_mm = (places[i] - bay->first_mm) / bay->count;
        ++bay->count;
      } else {
        all.push_back({is_across, 1, places[i], 0});
      }
    }
    return all;
  }

  /// Whether the place before belongs with this one rather than standing alone: the next step is no
  /// smaller.
  static bool startsBay(const std::vector<double>& places, std::size_t i) {
    constexpr double kEvenMm = 0.02;
    return i + 1 >= places.size() ||
           places[i + 1] - places[i] > places[i] - places[i - 1] - kEvenMm;
  }

  std::string bayWords() const {
    std::string text;
    for (const Bay& bay : bays()) {
      text += text.empty() ? "" : "; ";
      text += std::to_string(bay.count) + (bay.is_across ? " up from " : " from ") +
              shown(bay.first_mm, 1);
      if (bay.count > 1) {
        text += " every " + shown(bay.pitch_mm, 2) + ", last " + shown(bay.lastMm(), 1);
      }
    }
    return text;
  }

  /// Those of which both parts are of the frame, each at a joint that is far from the words on its
  /// side.
  void addWelds(ViewBlock& block, const std::vector<double>& numbers_x,
                const std::vector<double>& marks_x) const {
    LabelRequest above{Side::kAbove, {}};
    LabelRequest below{Side::kBelow, {}};
    const double middle = (block.bounds().bottom_mm + block.bounds().top_mm) / 2;
    for (const WeldGroup& group : weldGroups(maker_.schedules.welds, panel_.number)) {
      if (isMember(group.a) && isMember(group.b)) {
        const bool is_low = seen(block.view(), group.at)[1] < middle;
        const Vec3 at = jointOf(group, is_low, is_low ? numbers_x : marks_x);
        (is_low ? below : above).labels.push_back({at, "", group.signs});
      }
    }
    block.labels(std::move(above));
    block.labels(std::move(below));
  }

  /// Of all joints of an upright with a rail, a point of that which is farthest from `avoided_x`.
  Vec3 jointOf(const WeldGroup& group, bool is_low, const std::vector<double>& avoided_x) const {
    const GateSpec& spec = views_.model().spec;
    Vec3 best = group.at;
    double best_away = -1;
    for (const Instance& one : views_.model().instances) {
      const Part& part = views_.partOf(one);
      const bool is_upright = part.kind == PartKind::kStile || part.kind == PartKind::kPicket;
      if (one.panel != panel_.number || !is_upright ||
          (part.mark != group.a && part.mark != group.b)) {
        continue;
      }
      for (const double x :
           {one.bounds.low[0], (one.bounds.low[0] + one.bounds.high[0]) / 2, one.bounds.high[0]}) {
        double away = std::numeric_limits<double>::infinity();
        for (const double other : avoided_x) {
          away = std::min(away, std::abs(x - other));
        }
        if (away > best_away + kLengthEqualMm) {
          best_away = away;
          best = corner(views_.model().opening_sign * x, !is_low);
          best[2] += is_low ? spec.gate.bottom_rail.height_mm : -spec.gate.top_rail.height_mm;
        }
      }
    }
    return best;
  }

  bool isMember(const std::string& mark) const {
    return std::any_of(views_.model().instances.begin(), views_.model().instances.end(),
                       [&](const Instance& one) {
                         const Part& part = views_.partOf(one);
                         return part.mark == mark && (isFrame(part.kind) || isInfill(part.kind));
                       });
  }

  /// Letters at the outside corners that the diagonals are told between.
  void addCorners(ViewBlock& block) const {
    const bool leads_left = views_.model().opening_sign > 0;
    const double lead = panel_.leading_closed_mm;
    struct Corner {
      const char* letter;
      double x_mm;
      bool is_top;
    };
    for (const Corner& one : {Corner{"A", lead, false}, Corner{"B", lead, true},
                              Corner{"C", trailMm(), true}, Corner{"D", trailMm(), false}}) {
      const bool is_left = (one.x_mm == lead) == leads_left;
      NoteRequest note;
      note.at = corner(one.x_mm, one.is_top);
      note.text = one.letter;
      note.right_mm = is_left ? -2.2 : 2.2;
      note.above_mm = one.is_top ? 1.2 : -3.7;
      block.note(std::move(note));
    }
  }

  TableBlock cutTable() const {
    TableBlock table;
    table.title = "";
    table.heads = {"mark", "qty", "part", "section", "length", "ends", "cut-outs and checks"};
    table.is_number = {false, true, false, false, true, false, false};
    table.most_mm = {0, 0, 34, 0, 0, 32, 64};
    std::map<int, int> quantity;
    for (const Instance& one : views_.model().instances) {
      const PartKind kind = views_.partOf(one).kind;
      if (one.panel == panel_.number && (isFrame(kind) || isInfill(kind))) {
        ++quantity[one.part];
      }
    }
    for (const auto& [index, count] : quantity) {
      const Part& part = views_.model().parts[index];
      std::string note;
      if (part.kind == PartKind::kBottomRail) {
        note = "see its own sheet";
      } else {
        for (const std::string& words : part.cutouts) {
          note += note.empty() ? "" : "; ";
          note += words;
        }
      }
      table.rows.push_back({part.mark, std::to_string(count), part.name, part.section,
                            shown(part.length_mm, 1), endsOf(part), note});
    }
    const auto lines = diagonals();
    if (const std::string words = bayWords(); !words.empty()) {
      table.rows.push_back({"", "", "infill", "", "", "", words});
    }
    std::string squareness =
        "diagonals A-C " + shown(distance(lines[0]), 1) + ", D-B " + shown(distance(lines[1]), 1);
    if (panel_.grade != 0) {
      squareness += "; rake " + shown(std::atan(panel_.grade) * 180 / std::acos(-1.0), 2) + " deg";
    }
    table.rows.push_back({"", "", "check", "", "", "", squareness});
    double mass_kg = 0;
    for (const auto& [index, count] : quantity) {
      mass_kg += count * views_.model().parts[index].massKg();
    }
    table.rows.push_back({"", "", "mass", "", "", "",
                          shown(mass_kg, 1) + " kg; with all that is fixed to it " +
                              shown(maker_.schedules.panel_mass_kg.at(panel_.number - 1), 1) +
                              " kg"});
    return table;
  }

  static std::string endsOf(const Part& part) {
    std::string text;
    for (const EndCut& end : part.ends) {
      text += text.empty() ? "" : " / ";
      text += end.angle_deg == 0 ? std::string("square") : shown(end.angle_deg, 2) + " deg";
    }
    return text;
  }

  static constexpr double kInsideMm = 20;  // a leader's end within its member
  SheetMaker& maker_;
  const PanelLayout& panel_;
  const GateViews& views_;
};

}  // namespace

void addFrameSheet(SheetMaker& maker, int panel) {
  FrameSheet(maker, panel).add();
}

}  // namespace leafstack
