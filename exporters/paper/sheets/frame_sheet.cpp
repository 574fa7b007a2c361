// What the welder makes of each panel's frame: every member located, every weld.
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Vec.hxx>
#include <limits>
#include <map>

#include "exporters/paper/assemblies/even_runs.h"
#include "exporters/paper/assemblies/welds/weld_labels.h"
#include "exporters/paper/assemblies/welds/weld_sight.h"
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
    const ViewGrid grid{{{&block}}};
    const DrawnGrid alone = needed(drawnForSheet(made.sheet, grid, 1), made.sheet.name);
    const TableBlock table = cutTable();
    addAboveTable(made, grid, table);
    if (made.mm_per_mm == 0 || made.mm_per_mm > alone.mmPerMm()) {
      addLots(maker_, {made.sheet.name, made.sheet.title}, {{alone, ""}}, &table);
    } else {
      maker_.sheets.push_back(std::move(made));
    }
    addWelds(number);
  }

 private:
  ViewBlock members(Scene& scene, const std::string& more = "") const {
    ViewBlock block("Frame from the road, as it stands closed" + more, fromRoad());
    scene = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      return one.panel == panel_.number && (isFrame(kind) || isInfill(kind));
    });
    block.curves(projected(scene.solids, block.view()), [&](const ViewCurve& curve) {
      const Instance& one = views_.model().instances[scene.instances[curve.solid]];
      return isFrame(views_.partOf(one).kind) ? LineRole::kVisible : LineRole::kFine;
    });
    return block;
  }

  ViewBlock elevation() const {
    Scene scene;
    ViewBlock block = members(scene, "; " + diagonalWords());
    for (const auto& [from, to] : diagonals()) {
      block.line(LineRole::kCentre, from, to);
    }
    addMembers(block, scene);
    addHeights(block);
    addCorners(block);
    return block;
  }

  double trailMm() const { return panel_.leading_closed_mm + panel_.frame_length_mm; }

  Vec3 corner(double x, bool is_top) const {
    return views_.at(x, panel_.front_y_mm, is_top ? panel_.topZ(x) : panel_.undersideZ(x));
  }

  /// Between corners that a tape can be hooked to: the bottom rail's own ends, the top rail's.
  std::vector<std::pair<Vec3, Vec3>> diagonals() const {
    const double lead = panel_.leading_closed_mm;
    return {{corner(lead, false), corner(trailMm(), true)},
            {corner(panel_.trailing_closed_mm, false), corner(lead, true)}};
  }

  std::string diagonalWords() const {
    return "A-C " + lengthText(distance(diagonals()[0])) + ", D-B " +
           lengthText(distance(diagonals()[1]));
  }

  static double distance(const std::pair<Vec3, Vec3>& line) {
    return std::hypot(line.second[0] - line.first[0], line.second[2] - line.first[2]);
  }

  /// Uprights' near edges from the leading end, and every mark of members once.
  void addMembers(ViewBlock& block, const Scene& scene) const {
    const double sign = views_.model().opening_sign;
    RunningRequest along{Side::kBelow, corner(panel_.leading_closed_mm, false), {}};
    along.features.push_back(along.datum);
    LabelRequest marks{Side::kAbove, {}};
    std::vector<int> members_of_infill;
    std::map<std::string, std::vector<int>> by_mark;
    for (const EvenRun& run : infill().along) {
      for (const double at : {run.first_mm, run.lastMm()}) {
        along.features.push_back(corner(panel_.leading_closed_mm + at, false));
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
        members_of_infill.push_back(i);
      } else {
        by_mark[views_.partOf(one).mark].push_back(i);
      }
    }
    for (const auto& [mark, list] : by_mark) {
      // Not one at an end, where a corner's letter stands: those between come after both.
      const Instance& one = views_.model().instances[list.back()];
      marks.labels.push_back({markedAt(one), mark});
    }
    addInfillMark(marks, members_of_infill);
    along.features.push_back(corner(trailMm(), false));
    if (panel_.length_mm > panel_.frame_length_mm + kLengthEqualMm) {
      along.features.push_back(corner(panel_.trailing_closed_mm, false));
    }
    block.running(std::move(along));
    block.labels(std::move(marks));
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
    // Of a stile beside its middle, where a corner's letter stands.
    const double share = kind == PartKind::kTopRail ? 0.22
                         : is_rail                  ? 0.72
                         : kind == PartKind::kStile ? 0.9
                                                    : 0.5;
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
    RunningRequest up{near, corner(lead, false), {}};
    const Infill all = infill();
    // Of slats that lie otherwise from bay to bay the first bay's; words have the others'.
    for (const EvenRun& run : all.bays.empty() ? all.up : all.bays.begin()->second) {
      for (const double at : {run.first_mm, run.lastMm()}) {
        up.features.push_back(plus(corner(lead, false), {0, 0, 1}, at));
      }
    }
    if (up.features.empty()) {
      addHeight(block, near, corner(lead, false), on_bottom);
      addHeight(block, near, on_bottom, under_top);
      addHeight(block, near, under_top, corner(lead, true));
      addHeight(block, near, corner(lead, false), corner(lead, true));
    } else {
      up.features.insert(up.features.end(), {up.datum, on_bottom, under_top, corner(lead, true)});
      block.running(std::move(up));
    }
    // Of a raked frame whose rail goes on beyond its last stile: where along it that is.
    const bool goes_on = panel_.trailing_closed_mm > trailMm() + kLengthEqualMm;
    const std::string where = goes_on && std::abs(panel_.grade) > 0
                                  ? " at " + lengthText(panel_.frame_length_mm)
                                  : std::string();
    addHeight(block, far, corner(trailMm(), false), corner(trailMm(), true), "", where);
    if (std::abs(panel_.grade) > 0) {
      // The rake over the frame's length.
      Vec3 level = corner(trailMm(), false);
      level[2] = corner(lead, false)[2];
      addHeight(block, far, level, corner(trailMm(), false), "rake ", where);
    }
  }

  /// Of a raked frame to a hundredth: other heights are summed up from it.
  void addHeight(ViewBlock& block, Side side, const Vec3& from, const Vec3& to,
                 const char* prefix = "", const std::string& suffix = "") const {
    LinearRequest request{side, from, to, prefix, suffix};
    if (panel_.grade != 0 && decimalsOf(to[2] - from[2]) > 0) {
      request.decimals = 2;
    }
    block.linear(std::move(request));
  }

  /// Infill at one pitch: uprights by their near edges from the leading end, what lies across by
  /// its lower edges, plumb from the bottom rail's underside at the leading end.
  struct Infill {
    std::vector<EvenRun> along, up;
    /// Of slats that lie otherwise from one bay to the next, as under a level top: where the bay's
    /// begin, and its own. `up` is empty then.
    std::map<double, std::vector<EvenRun>> bays = {};
  };

  Infill infill() const {
    std::vector<double> along, up;
    std::map<double, std::vector<double>> bays;
    const double sign = views_.model().opening_sign;
    for (const Instance& one : views_.model().instances) {
      const Part& part = views_.partOf(one);
      if (one.panel != panel_.number || !isInfill(part.kind)) {
        continue;
      }
      const double near = sign > 0 ? one.bounds.low[0] : -one.bounds.high[0];
      if (part.kind == PartKind::kSlat) {
        const double middle_x = sign * (one.bounds.low[0] + one.bounds.high[0]) / 2;
        const double middle_z = (one.bounds.low[2] + one.bounds.high[2]) / 2;
        // Parallel to the rail or level, as it lies.
        const gp_XYZ lies = gp_Vec(1, 0, 0).Transformed(one.at_closed.Transformation()).XYZ();
        const double slope = sign * lies.Z() / lies.X();
        const double half = part.tube ? part.tube->height_mm / 2 * std::hypot(1, slope) : 0;
        const double lead = panel_.leading_closed_mm;
        up.push_back(middle_z - half - slope * (middle_x - lead) - panel_.undersideZ(lead));
        bays[std::round(10 * (near - lead)) / 10].push_back(up.back());
      } else {
        along.push_back(near - panel_.leading_closed_mm);
      }
    }
    Infill all{evenRuns(std::move(along)), evenRuns(std::move(up))};
    if (all.up.size() > bays.size() + 1) {
      all.up.clear();
      for (const auto& [from, places] : bays) {
        all.bays[from] = evenRuns(places);
      }
    }
    return all;
  }

  std::string infillWords() const {
    const Infill all = infill();
    std::string text = all.along.empty() ? "" : "near edges " + inWords(all.along);
    if (!all.along.empty() && panel_.grade != 0) {
      text += levelWords(all.along.front());
    }
    if (!all.up.empty()) {
      text += (text.empty() ? "" : "; ") + std::string("lower edges up ") + inWords(all.up);
    }
    for (const auto& [from, runs] : all.bays) {
      text += (text.empty() ? "" : "; ") + std::string("from ") + shown(from, 1) +
              " on, lower edges up " + inWords(runs);
    }
    if (!text.empty()) {
      text += "; " + shown(infillInMm(), 2) + " in from the front";
    }
    return text;
  }

  /// What is told along a raked frame is level: more of it lies on the rail.
  std::string levelWords(const EvenRun& run) const {
    const double mm = run.count > 1 ? run.pitch_mm : run.first_mm;
    return ", measured level (" + shown(mm, 2) + " is " + shown(mm / panel_.cosine(), 2) +
           " along the rail)";
  }

  /// From the frame's front face to the infill's.
  double infillInMm() const {
    double in = std::numeric_limits<double>::infinity();
    for (const Instance& one : views_.model().instances) {
      if (one.panel == panel_.number && isInfill(views_.partOf(one).kind)) {
        in = std::min(in, one.bounds.low[1] - panel_.front_y_mm);
      }
    }
    return in;
  }

  /// Every weld of which both parts are of the frame, at joints far from each other's.
  void addWelds(const std::string& number) const {
    Scene scene;
    const ViewBlock bare = members(scene);
    std::vector<WeldGroup> groups = weldGroups(maker_.schedules.welds, panel_.number);
    std::erase_if(groups,
                  [&](const WeldGroup& one) { return !isMember(one.a) || !isMember(one.b); });
    groups = alikeTogether(WeldSight(views_, scene.instances).inOneView(groups, eyesOfFrame()));
    std::array<std::vector<double>, 2> taken_x;
    const double middle = (bare.bounds().bottom_mm + bare.bounds().top_mm) / 2;
    for (WeldGroup& group : groups) {
      const bool is_low = seen(bare.view(), group.at)[1] < middle;
      if (isOfPickets(group)) {  // any of them will do
        group.at = jointOf(group, is_low, taken_x[is_low]);
      }
      taken_x[is_low].push_back(group.at[0]);
    }
    addWeldSheets(maker_, {"frame-welds-panel-" + number, "Welds of the frame, panel " + number},
                  bare, groups);
  }

  bool isOfPickets(const WeldGroup& group) const {
    const std::vector<Part>& parts = views_.model().parts;
    return std::any_of(parts.begin(), parts.end(), [&](const Part& part) {
      return part.kind == PartKind::kPicket && (part.mark == group.a || part.mark == group.b);
    });
  }

  /// Of all joints of a picket with a rail, a point of that which is farthest from `avoided_x`.
  Vec3 jointOf(const WeldGroup& group, bool is_low, const std::vector<double>& avoided_x) const {
    const GateSpec& spec = views_.model().spec;
    Vec3 best = group.at;
    double best_away = -1;
    for (const Instance& one : views_.model().instances) {
      const Part& part = views_.partOf(one);
      if (one.panel != panel_.number || part.kind != PartKind::kPicket ||
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

  /// The corners that the diagonals are told between, by letters outside of them, clear of the
  /// lines of the heights.
  void addCorners(ViewBlock& block) const {
    const double lead = panel_.leading_closed_mm;
    const double left = views_.model().opening_sign > 0 ? -2 : 2;
    struct Corner {
      const char* letter;
      double x_mm;
      bool is_top, is_leading;
    };
    const Corner corners[] = {{"A", lead, false, true},
                              {"B", lead, true, true},
                              {"C", trailMm(), true, false},
                              {"D", panel_.trailing_closed_mm, false, false}};
    for (const Corner& one : corners) {
      NoteRequest note;
      note.at = corner(one.x_mm, one.is_top);
      note.text = one.letter;
      note.right_mm = one.is_leading ? left : -left;
      if (one.letter[0] == 'A') {
        note.right_mm *= 2;  // a row's 0 is there, too
      }
      const bool is_under =
          !one.is_top && (one.is_leading || panel_.grade < 0);  // rails and rakes are told above
      note.above_mm = is_under ? -3.5 : 0.8;
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
                            lengthText(part.length_mm), endsOf(part), note});
    }
    if (const std::string words = infillWords(); !words.empty()) {
      table.rows.push_back({"", "", "infill", "", "", "", words});
    }
    std::string squareness = "diagonals, bottom rail's ends and top corners, " + diagonalWords();
    if (panel_.grade != 0) {
      squareness += "; rake " + shown(std::atan(panel_.grade) * 180 / std::acos(-1.0), 2) +
                    (panel_.grade < 0 ? " deg, falling" : " deg, rising") +
                    " from the leading to the trailing end";
    }
    table.rows.push_back({"", "", "check", "", "", "", squareness});
    table.rows.push_back({"", "", "material", "", "", "", materialWords()});
    double frame_kg = 0;
    for (const auto& [index, count] : quantity) {
      frame_kg += count * views_.model().parts[index].massKg();
    }
    double all_kg = 0;
    for (const Instance& one : views_.model().instances) {
      all_kg += one.panel == panel_.number ? views_.partOf(one).massKg() : 0;
    }
    table.rows.push_back(
        {"", "", "mass", "", "", "",
         shown(frame_kg, 1) + " kg; with all that is fixed to it " + shown(all_kg, 1) + " kg"});
    return table;
  }

  /// Of the bottom rail, as its frame is of one metal and finished whole.
  std::string materialWords() const {
    for (const Instance& one : views_.model().instances) {
      const Part& part = views_.partOf(one);
      if (one.panel == panel_.number && part.kind == PartKind::kBottomRail) {
        const auto& coats = maker_.schedules.coating;
        const auto coat = std::find_if(coats.begin(), coats.end(), [&](const CoatingRow& row) {
          return row.mark == part.mark;
        });
        return part.material + (coat == coats.end() ? "" : "; finish: " + coat->finish);
      }
    }
    return "";
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
