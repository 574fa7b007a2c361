// An assembly's list: every part with where it is and how it is made.
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_XYZ.hxx>
#include <map>
#include <numbers>
#include <set>

#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
TableBlock AssemblyViews::table() const {
  TableBlock table;
  const bool leans = assembly_.panel > 0 && std::abs(assembly_.frame.along[2]) > 0;
  const bool falls = assembly_.panel == 0 && std::abs(assembly_.frame.along[2]) > 0;
  table.title =
      falls ? "Along the tracks as they lie, and square to them, from " + datumWords()
      : leans
          ? "Along the sloping bottom rail from the lower leading corner that the saw leaves, up "
            "square to it, across from the front face"
      : assembly_.panel > 0
          ? "Along from the leading end, across from the front face, up from the underside of the "
            "bottom rail"
          : "Along, across and up from " + datumWords();
  table.title += "; to each part's corner nearest to there";
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
  for (const auto& holes : {heldRows(), fixingRows()}) {
    table.rows.insert(table.rows.end(), holes.begin(), holes.end());
  }
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

/// Of what stands on the ground: the corner all is told from, and where that stands, in the
/// set-out's figures.
std::string AssemblyViews::datumWords() const {
  const Vec3& at = assembly_.frame.origin;
  return (assembly_.datum.empty() ? std::string("the corner marked 0 of all that is here")
                                  : "the corner of " + assembly_.datum + " that is marked 0") +
         "; on the site it is at X " + lengthText(views_.model().opening_sign * at[0]) + ", Y " +
         lengthText(at[1]) + ", level " + shown(at[2], 0);
}

/// Against what is told from the assembly's own corner.
std::string AssemblyViews::leanText(const AssemblyFrame& frame) const {
  constexpr double kHalfTurnDeg = 180;
  const double along = std::clamp(dot(frame.along, assembly_.frame.along), -1.0, 1.0);
  const double up = std::clamp(dot(frame.up, assembly_.frame.up), -1.0, 1.0);
  return shown(std::acos(std::min(along, up)) * kHalfTurnDeg / std::numbers::pi, 2) + " deg";
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
          "at " + partOf(own.carrier).mark + ", which leans by " + leanText(own.frame) + ":",
          "",
          "along it, from its own corner, which is at " + from(0),
          "the same, at " + from(1),
          "square to it; its corner is at " + from(2),
          ""};
}

/// Holes of screws that are told with what leans, in what stands plumb behind it: from the
/// assembly's own corner.
std::vector<std::vector<std::string>> AssemblyViews::heldRows() const {
  std::map<std::pair<int, std::string>, std::vector<Vec3>> holes;
  for (const Fastening& one : views_.model().fastenings) {
    const auto screw = frame_of_.find(one.screw);
    const auto held = frame_of_.find(one.holds_in);
    if (assembly_.panel == 0 && screw != frame_of_.end() && held != frame_of_.end() &&
        held->second == 0 && screw->second != 0) {
      holes[{one.holds_in, partOf(one.screw).mark}].push_back(
          assembly_.frame.of(plus(one.seat_mm, one.out, -one.grip_mm)));
    }
  }
  std::vector<std::vector<std::string>> rows;
  for (const auto& [of, places] : holes) {
    std::string along, up;
    for (const Vec3& at : places) {
      along += (along.empty() ? "" : "; ") + shown(at[0], 2);
      up += (up.empty() ? "" : "; ") + shown(at[2], 2);
    }
    rows.push_back({"", std::to_string(places.size()),
                    "holes in " + partOf(of.first).mark + " for " + of.second, "", along, "", up,
                    "from the corner that all is told from, one after another; sizes with " +
                        partOf(of.first).mark});
  }
  return rows;
}

/// Holes in what stands there already: posts of the fence that an assembly is screwed to.
std::vector<std::vector<std::string>> AssemblyViews::fixingRows() const {
  std::vector<std::vector<std::string>> rows;
  const Model& model = views_.model();
  for (const int post : assembly_.panel == 0 ? assembly_.context : std::vector<int>{}) {
    const Bounds& box = model.instances[post].bounds;
    const bool is_right = isRightHand();
    const double face = is_right ? box.low[0] : box.high[0];  // towards the opening
    std::vector<double> along, up;
    int count = 0;
    std::string mark;
    for (const Fastening& one : model.fastenings) {
      if (one.holds_in == post && bounds_.contains(one.screw)) {
        along.push_back(is_right ? one.seat_mm[0] - box.low[0] : box.high[0] - one.seat_mm[0]);
        up.push_back(one.seat_mm[2] - views_.groundZ(model.opening_sign * face, 0));
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
                    "", inWords(evenRuns(distinct(up))) + " over the driveway at that face",
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
