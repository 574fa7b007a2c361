// Where an assembly's parts are, in rows of numbers on its views and in its list.
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_XYZ.hxx>
#include <set>

#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostOfKind = 20;  // numbers in one row
constexpr int kFewEvenly = 4;            // each with its own number
constexpr double kSameNumberMm = 0.05;   // told once: numbers have one decimal
constexpr std::size_t kMostEnds = 8;     // of one kind, each with a number
constexpr PartKind kTurned[] = {
    PartKind::kWheel,      PartKind::kAxle,        PartKind::kAxleRing,    PartKind::kSpacer,
    PartKind::kPulley,     PartKind::kPulleyPin,   PartKind::kPulleyScrew, PartKind::kWheelBolt,
    PartKind::kTerminal,   PartKind::kTerminalNut, PartKind::kPinion,      PartKind::kPivotBolt,
    PartKind::kAnchor,     PartKind::kScrew,       PartKind::kWasher,      PartKind::kNut,
    PartKind::kTrackDowel, PartKind::kRackStandoff};

bool isTurned(PartKind kind) {
  return std::find(std::begin(kTurned), std::end(kTurned), kind) != std::end(kTurned);
}

/// Their places stand in the table alone.
bool isInTableAlone(PartKind kind) {
  return kind == PartKind::kAnchor || kind == PartKind::kScrew || kind == PartKind::kWasher ||
         kind == PartKind::kNut || kind == PartKind::kPulleyScrew ||
         kind == PartKind::kTerminalNut || kind == PartKind::kAxleRing;
}

bool isOfATrack(PartKind kind) {
  return kind == PartKind::kTrackDowel || kind == PartKind::kTrack || kind == PartKind::kTrackFlat;
}

/// Ascending, each once.
std::vector<double> distinct(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  std::vector<double> out;
  for (const double value : values) {
    if (out.empty() || value > out.back() + kSameNumberMm) {
      out.push_back(value);
    }
  }
  return out;
}

}  // namespace

void AssemblyViews::addPlaces(ViewBlock& block, int axis, Side side, const std::vector<int>& parts,
                              const AssemblyFrame& page, const Box* within,
                              bool has_top_rows) const {
  constexpr int kAcross = 1;  // which is told alike in both frames
  const int rows = assembly_.top && axis != kAcross && has_top_rows ? 2 : 1;
  for (int which = 0; which < rows; ++which) {
    std::vector<int> own;
    for (const int i : parts) {
      const int frame = frame_of_.at(i);
      // Of what leans the plate or channel alone: the rest is told from that.
      const bool is_carrier = frames_[frame].carrier == i;
      const bool is_alike = axis == kAcross && frames_[frame].carrier < 0;
      if (frame == which || is_alike || (which == 0 && is_carrier)) {
        own.push_back(i);
      }
    }
    const AssemblyFrame& frame = frames_[which].frame;
    if (areAlike(frame, page) || axis == kAcross) {
      const double at0 = assembly_.frame.of(frame.origin)[axis];
      const bool has_zero = !within || (within->low[axis] <= at0 && within->high[axis] >= at0);
      const Side at = which == 0 || within == nullptr ? side
                      : side == Side::kBelow          ? Side::kAbove
                      : side == Side::kLeft           ? Side::kRight
                                                      : Side::kLeft;
      addRow(block, {axis, at, has_zero, within != nullptr}, own, frame,
             which == 0 ? bounds_ : own_);
    }
  }
}

/// A row of numbers along an axis of a frame: nearest corners, middles of what is turned, and both
/// ends of what is long; fasteners stand in the table alone.
void AssemblyViews::addRow(ViewBlock& block, const Row& row, const std::vector<int>& parts,
                           const AssemblyFrame& frame,
                           const std::map<int, FrameBounds>& where) const {
  const int axis = row.axis;
  const auto isUntold = [&](PartKind kind) {
    const bool has_hole = kind == PartKind::kAnchor || kind == PartKind::kScrew;
    return isInTableAlone(kind) && !(has_hole && row.has_holes);
  };
  std::map<double, Vec3> points;  // by place: the first part there
  std::map<PartKind, std::vector<double>> places;
  for (const int i : parts) {
    if (!isUntold(partOf(i).kind)) {
      places[partOf(i).kind].push_back(placeIn(where, i, axis));
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
      for (int i = 1; run.count <= kFewEvenly && i + 1 < run.count; ++i) {
        told.insert(run.first_mm + i * run.pitch_mm);
      }
    }
  }
  for (const int i : parts) {
    Vec3 local = where.at(i).corner;
    local[axis] = placeIn(where, i, axis);
    const auto near = told.lower_bound(local[axis] - kSameNumberMm);
    if (!isUntold(partOf(i).kind) && near != told.end() && *near < local[axis] + kSameNumberMm) {
      points.emplace(local[axis], local);
    }
    // Under a raked top the far ends of uprights would stand among what is told from that.
    const bool has_far_end = axis != 2 || !assembly_.top;
    if (has_far_end && where.at(i).high[axis] - where.at(i).low[axis] > kLongPartMm &&
        places[partOf(i).kind].size() <= kMostEnds) {
      local[axis] = where.at(i).high[axis];
      points.emplace(local[axis], local);
    }
  }
  if (points.empty()) {
    return;
  }
  Vec3 datum = points.begin()->second;
  datum[axis] = 0;
  RunningRequest request{row.side, frame.at(datum), {}};
  const Vec3 axes[] = {frame.along, frame.across, frame.up};
  request.counts_along = axes[axis];
  if (row.has_zero) {
    request.features.push_back(request.datum);
  }
  double last = 0;
  for (const auto& [place, local] : points) {
    if (std::abs(place - last) > kSameNumberMm && std::abs(place) > kSameNumberMm) {
      request.features.push_back(frame.at(local));
      last = place;
    }
  }
  if (!request.features.empty()) {
    block.running(std::move(request));
  }
}

double AssemblyViews::placeIn(const std::map<int, FrameBounds>& where, int instance,
                              int axis) const {
  const FrameBounds& box = where.at(instance);
  return isTurned(partOf(instance).kind) ? (box.low[axis] + box.high[axis]) / 2 : box.corner[axis];
}

TableBlock AssemblyViews::table() const {
  TableBlock table;
  const bool leans = assembly_.panel > 0 && std::abs(assembly_.frame.along[2]) > 0;
  table.title =
      leans ? "Along the sloping bottom rail from the lower leading corner that the saw leaves, up "
              "square to it, across from the front face"
      : assembly_.panel > 0
          ? "Along from the leading end, across from the front face, up from the underside of the "
            "bottom rail"
      : assembly_.datum.empty()
          ? "Along, across and up from the corner marked 0 of all that is here"
          : "Along, across and up from the corner of " + assembly_.datum + " that is marked 0";
  table.heads = {"mark", "qty", "part", "section", "along", "across", "up", "as it is made"};
  table.is_number = {false, true, false, false, false, false, false, false};
  table.most_mm = {0, 0, 36, 46, 70, 40, 40, 80};
  for (std::size_t f = 0; f < frames_.size(); ++f) {
    std::map<std::string, std::vector<int>> by_mark;
    std::vector<std::string> order;
    for (const int i : assembly_.instances) {
      if (frame_of_.at(i) != static_cast<int>(f)) {
        continue;
      }
      auto& list = by_mark[partOf(i).mark];
      if (list.empty()) {
        order.push_back(partOf(i).mark);
      }
      list.push_back(i);
    }
    if (f > 0 && !order.empty()) {
      table.rows.push_back(headingOf(frames_[f]));
    }
    for (const std::string& mark : order) {
      if (const auto rows = boardScrewRows(mark, by_mark[mark]); !rows.empty()) {
        table.rows.insert(table.rows.end(), rows.begin(), rows.end());
        continue;
      }
      for (std::vector<int>& line : inLines(std::move(by_mark[mark]))) {
        for (const std::vector<int>& list : inRows(std::move(line))) {
          for (const std::vector<int>& one : inProducts(list)) {
            table.rows.push_back(listRow(mark, one));
          }
        }
      }
    }
  }
  const auto fixings = fixingRows();
  table.rows.insert(table.rows.end(), fixings.begin(), fixings.end());
  if (std::all_of(table.rows.begin(), table.rows.end(),
                  [](const auto& row) { return row.back().empty(); })) {
    table.heads.pop_back();
    table.is_number.pop_back();
    table.most_mm.pop_back();
    for (std::vector<std::string>& row : table.rows) {
      row.pop_back();
    }
  }
  return table;
}

/// From where the rows below it are told.
std::vector<std::string> AssemblyViews::headingOf(const OwnFrame& own) const {
  if (own.carrier < 0) {
    return {"",
            "",
            "at the top rail:",
            "",
            "along it, from its own lower leading corner",
            "from the front face",
            "square to it, from its underside",
            ""};
  }
  const Vec3& corner = bounds_.at(own.carrier).corner;
  const auto from = [&](int axis) { return shown(corner[axis], 2); };
  return {"",
          "",
          "at " + partOf(own.carrier).mark + ", which leans:",
          "",
          "along it, from its own corner, which is at " + from(0),
          "the same, at " + from(1),
          "square to it; its corner is at " + from(2),
          ""};
}

/// Holes in what stands there already: posts of the fence that an assembly is screwed to.
std::vector<std::vector<std::string>> AssemblyViews::fixingRows() const {
  std::vector<std::vector<std::string>> rows;
  const Model& model = views_.model();
  for (const int post : assembly_.panel == 0 ? assembly_.context : std::vector<int>{}) {
    const Bounds& box = model.instances[post].bounds;
    const bool is_right = isRightHand();
    std::vector<double> along, up;
    int count = 0;
    std::string mark;
    for (const Fastening& one : model.fastenings) {
      if (one.holds_in == post && bounds_.contains(one.screw)) {
        along.push_back(is_right ? one.seat_mm[0] - box.low[0] : box.high[0] - one.seat_mm[0]);
        up.push_back(one.seat_mm[2] - views_.groundZ(model.opening_sign * one.seat_mm[0], 0));
        mark = partOf(one.screw).mark;
        ++count;
      }
    }
    if (count == 0) {
      continue;
    }
    const double wide = box.high[0] - box.low[0];
    const auto [least, most] = std::minmax_element(along.begin(), along.end());
    rows.push_back({"", std::to_string(count), "holes in " + partOf(post).mark + " for " + mark,
                    "diameter and depth by the anchor's approval",
                    inWords(evenRuns(distinct(along))) +
                        " from its face towards the opening; it is " + shown(wide, 1) + " wide",
                    "", inWords(evenRuns(distinct(up))) + " over the driveway",
                    "edge distance " + shown(std::min(*least, wide - *most), 1) +
                        ": no less than the approval asks for in what the post is made of"});
  }
  return rows;
}

/// Places that every row tells whole: each along with each across and each up.
std::vector<std::vector<int>> AssemblyViews::inProducts(const std::vector<int>& list) const {
  constexpr std::size_t kMostRows = 12;
  std::size_t product = 1;
  std::array<std::vector<double>, 3> places;
  for (int axis = 0; axis < 3; ++axis) {
    for (const int i : list) {
      places.at(axis).push_back(placeOf(i, axis));
    }
    places.at(axis) = distinct(std::move(places.at(axis)));
    product *= places.at(axis).size();
  }
  if (product == list.size() || isOfATrack(partOf(list.front()).kind)) {
    return {list};
  }
  // By the axis of fewest places.
  int by = -1;
  for (const int axis : {1, 2, 0}) {
    const std::size_t count = places.at(axis).size();
    if (count > 1 && (by < 0 || count < places.at(by).size())) {
      by = axis;
    }
  }
  if (by < 0 || places.at(by).size() > kMostRows) {
    return {list};
  }
  std::vector<std::vector<int>> all;
  for (const double place : places.at(by)) {
    std::vector<int> here;
    for (const int i : list) {
      if (std::abs(placeOf(i, by) - place) <= kSameNumberMm) {
        here.push_back(i);
      }
    }
    for (std::vector<int>& one :
         here.empty() ? std::vector<std::vector<int>>{} : inProducts(here)) {
      all.push_back(std::move(one));
    }
  }
  return all;
}

/// Screws through boards and battens: from the leading edge of the board that each is in, boards
/// that are screwed alike together. None where any is in anything else.
std::vector<std::vector<std::string>> AssemblyViews::boardScrewRows(
    const std::string& mark, const std::vector<int>& list) const {
  std::map<int, int> board_of;
  for (const Fastening& one : views_.model().fastenings) {
    const PartKind kind = partOf(one.under_head).kind;
    if (kind == PartKind::kBoard || kind == PartKind::kBatten) {
      board_of[one.screw] = one.under_head;
    }
  }
  // Low end and middle, level: boards stand plumb on raked gates, too.
  const auto alongTrack = [&](int i) {
    const double sign = views_.model().opening_sign;
    const Bounds& box = views_.model().instances[i].bounds;
    return std::array{std::min(sign * box.low[0], sign * box.high[0]),
                      sign * (box.low[0] + box.high[0]) / 2};
  };
  using Place = long;  // hundredths of a millimetre
  constexpr double kPerMm = 100;
  std::map<int, std::map<Place, std::set<Place>>> of_board;  // up, from the edge
  for (const int i : list) {
    const auto board = board_of.find(i);
    if (board == board_of.end()) {
      return {};
    }
    of_board[board->second][std::lround(kPerMm * placeOf(i, 2))].insert(
        std::lround(kPerMm * (alongTrack(i)[1] - alongTrack(board->second)[0])));
  }
  std::map<std::map<Place, std::set<Place>>, std::vector<int>> alike;
  for (const auto& [board, screws] : of_board) {
    alike[screws].push_back(board);
  }
  std::vector<std::vector<std::string>> rows;
  for (const auto& [screws, boards] : alike) {
    std::map<std::set<Place>, std::vector<double>> by_edge;
    for (const auto& [up, along] : screws) {
      by_edge[along].push_back(static_cast<double>(up) / kPerMm);
    }
    std::map<std::string, int> marks;
    for (const int board : boards) {
      ++marks[partOf(board).mark];
    }
    std::string names;
    for (const auto& [name, count] : marks) {
      names += (names.empty() ? "" : ", ") +
               (count > 1 ? std::to_string(count) + " of " : std::string()) + name;
    }
    for (const auto& [along, up] : by_edge) {
      std::string from_edge;
      for (const Place place : along) {
        from_edge +=
            (from_edge.empty() ? "" : "; ") + shown(static_cast<double>(place) / kPerMm, 2);
      }
      const Part& part = partOf(list.front());
      rows.push_back({mark, std::to_string(along.size() * up.size() * boards.size()),
                      part.name + " (middle), in " + names, part.section,
                      from_edge + " from the board's leading edge", placesOf(list, 1),
                      inWords(evenRuns(up)), madeWords(part)});
    }
  }
  return rows;
}

/// What holds tracks down is told track by track.
std::vector<std::vector<int>> AssemblyViews::inLines(std::vector<int> list) const {
  if (partOf(list.front()).kind != PartKind::kTrackDowel) {
    return {std::move(list)};
  }
  std::map<long, std::vector<int>> lines;
  for (const int i : list) {
    lines[std::lround(placeOf(i, 1))].push_back(i);
  }
  std::vector<std::vector<int>> all;
  for (auto& [across, line] : lines) {
    all.push_back(std::move(line));
  }
  return all;
}

/// Of what is cut: how its ends are, holes, folds and bevels, as in the cut list.
std::string AssemblyViews::madeWords(const Part& part) const {
  const auto& rows = schedules_.cut_list;
  const auto row = std::find_if(rows.begin(), rows.end(),
                                [&](const CutRow& one) { return one.mark == part.mark; });
  if (row == rows.end()) {
    return "";
  }
  std::string words;
  for (int end = 0; end < 2; ++end) {
    const EndCut& cut = row->ends[end];
    if (cut.angle_deg != 0) {
      words += (words.empty() ? "" : "; ") +
               std::string(end == 0 ? "leading or lower" : "trailing or upper") + " end cut " +
               shown(cut.angle_deg, 2) + " deg" + (cut.plane.empty() ? "" : " in " + cut.plane);
      if (assembly_.panel == 0 && part.supply == Supply::kCutTube) {  // a post on a slope
        words += cut.angle_deg < 0 ? ", falling in the opening direction"
                                   : ", rising in the opening direction";
      }
    }
  }
  return words + (words.empty() || row->cutouts.empty() ? "" : "; ") + row->cutouts;
}

std::vector<std::vector<int>> AssemblyViews::inRows(std::vector<int> list) const {
  constexpr std::size_t kMostPlaces = 40;  // else a row grows longer than its sheet
  const auto runs = [&](int axis) {
    std::vector<double> places;
    for (const int i : list) {
      places.push_back(placeOf(i, axis));
    }
    return evenRuns(distinct(std::move(places))).size();
  };
  const std::size_t most = std::max({runs(0), runs(1), runs(2)});
  if (most <= kMostPlaces) {
    return {std::move(list)};
  }
  std::stable_sort(list.begin(), list.end(),
                   [&](int a, int b) { return placeOf(a, 0) < placeOf(b, 0); });
  std::vector<std::vector<int>> rows;
  for (std::size_t i = 0; i < list.size(); i += kMostPlaces) {
    rows.emplace_back(
        list.begin() + static_cast<std::ptrdiff_t>(i),
        list.begin() + static_cast<std::ptrdiff_t>(std::min(list.size(), i + kMostPlaces)));
  }
  return rows;
}

std::vector<std::string> AssemblyViews::listRow(const std::string& mark,
                                                const std::vector<int>& list) const {
  const Part& part = partOf(list.front());
  std::vector<std::string> row = {
      mark, std::to_string(list.size()),
      part.name + looseWords(part.kind) + (isTurned(part.kind) ? " (middle)" : ""), part.section};
  if (part.supply == Supply::kCutTube || part.supply == Supply::kCutTimber ||
      part.supply == Supply::kCutBar) {
    row.back() += ", " + lengthText(part.length_mm) + " long";
  }
  for (int axis = 0; axis < 3; ++axis) {
    row.push_back(placesOf(list, axis));
  }
  if (const std::string rises = list.size() == 1 ? risingWords(list.front()) : ""; !rises.empty()) {
    row.back() = rises;
  }
  if (isOfATrack(part.kind)) {  // which may fall, and is told from the slab in any case
    row.back() = part.kind == PartKind::kTrackDowel ? "in the slab" : "on the slab";
  }
  row.push_back(madeWords(part));
  return row;
}

/// A long part that leans in the frame, as a guide rail under a level top: both its ends.
std::string AssemblyViews::risingWords(int instance) const {
  constexpr double kLevelMm = 0.1;
  const Bounds& own = partOf(instance).bounds;
  if (own.high[0] - own.low[0] <= kLongPartMm) {
    return "";
  }
  const gp_Trsf motion = views_.model().instances[instance].at_closed.Transformation();
  std::array<Vec3, 2> ends;
  for (int end = 0; end < 2; ++end) {
    gp_XYZ corner(end == 0 ? own.low[0] : own.high[0], own.low[1], own.low[2]);
    motion.Transforms(corner);
    ends[end] = frameOf(instance).of({corner.X(), corner.Y(), corner.Z()});
  }
  if (ends[0][0] > ends[1][0]) {
    std::swap(ends[0], ends[1]);
  }
  return std::abs(ends[1][2] - ends[0][2]) < kLevelMm
             ? ""
             : shown(ends[0][2], 2) + "; at its other end " + shown(ends[1][2], 2);
}

std::string AssemblyViews::placesOf(const std::vector<int>& list, int axis) const {
  std::vector<double> places;
  for (const int i : list) {
    places.push_back(placeOf(i, axis));
  }
  return inWords(evenRuns(distinct(std::move(places))));
}

}  // namespace leafstack
