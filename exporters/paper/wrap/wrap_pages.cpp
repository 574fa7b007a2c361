#include "exporters/paper/wrap/wrap_pages.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <set>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kAroundMm = 15;           // paper shown beside an outline
constexpr double kBeyondEndMm = 6;         // and past the tube's end
constexpr double kSameStretchMm = 60;      // plain tube shorter than this is not worth two pieces
constexpr double kLongEdgeMm = 150;        // of which the middle is left out
constexpr double kSearchMm = 1;            // step in looking for a place to break a template
constexpr double kLeastWidthMm = 44;       // room for a title
constexpr std::size_t kGroupsPerPage = 5;  // as many as the column has room to describe
// An end that is out of square by less needs no template.
constexpr double kSquareMm = 1e-3;

struct Stretch {
  double low_mm = 0, high_mm = 0;
};

bool overlap(const Stretch& a, const Stretch& b) {
  return a.low_mm < b.high_mm && b.low_mm < a.high_mm;
}

/// Where an outline runs along X: all of it but long straight edges along the tube, of which only
/// the corners are worth paper.
void addStretches(const WrapCurve& curve, std::vector<Stretch>& all) {
  if (curve.circle) {
    const WrapBox box = boxOf(curve);
    all.push_back({box.x0_mm, box.x1_mm});
  }
  const std::size_t count = curve.points.size();
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
    WrapCurve piece;
    piece.points = {curve.points[i], curve.points[(i + 1) % count]};
    const WrapBox box = boxOf(piece);
    if (box.x1_mm - box.x0_mm > kLongEdgeMm) {
      all.push_back({box.x0_mm, box.x0_mm});
      all.push_back({box.x1_mm, box.x1_mm});
    } else {
      all.push_back({box.x0_mm, box.x1_mm});
    }
  }
}

/// With paper around, and a station line to lay it by.
Stretch withPaper(Stretch stretch, const WrapTemplate& made) {
  const double least = made.from_mm - kBeyondEndMm;
  const double most = made.to_mm + kBeyondEndMm;
  stretch.low_mm = std::max(stretch.low_mm - kAroundMm, least);
  stretch.high_mm = std::min(stretch.high_mm + kAroundMm, most);
  constexpr double kBesideLineMm = 2;
  if (std::ceil(stretch.low_mm / kWrapStationMm) * kWrapStationMm > stretch.high_mm) {
    const double below =
        std::floor(stretch.low_mm / kWrapStationMm) * kWrapStationMm - kBesideLineMm;
    const double above =
        std::ceil(stretch.high_mm / kWrapStationMm) * kWrapStationMm + kBesideLineMm;
    const bool is_above_nearer = above - stretch.high_mm < stretch.low_mm - below;
    if ((is_above_nearer && above <= most) || below < least) {
      stretch.high_mm = above;
    } else {
      stretch.low_mm = below;
    }
  }
  return stretch;
}

/// Stretches along the tube worth printing, apart from each other, rising.
std::vector<Stretch> stretchesOf(const WrapTemplate& made) {
  std::vector<Stretch> all;
  for (const WrapCurve& curve : made.cutouts) {
    addStretches(curve, all);
  }
  for (const WrapCurve& end : made.ends) {
    const WrapBox box = boxOf(end);
    if (box.x1_mm - box.x0_mm > kSquareMm) {
      addStretches(end, all);
    }
  }
  for (Stretch& stretch : all) {
    stretch = withPaper(stretch, made);
  }
  std::sort(all.begin(), all.end(),
            [](const Stretch& a, const Stretch& b) { return a.low_mm < b.low_mm; });
  std::vector<Stretch> apart;
  for (const Stretch& stretch : all) {
    if (!apart.empty() && stretch.low_mm < apart.back().high_mm + kSameStretchMm) {
      apart.back().high_mm = std::max(apart.back().high_mm, stretch.high_mm);
    } else {
      apart.push_back(stretch);
    }
  }
  return apart;
}

/// `whole` in parts no longer than `room_mm` that overlap by `lap_mm`, the overlaps beside `taken`
/// where that can be.
std::vector<Stretch> broken(const Stretch& whole, double room_mm, double lap_mm,
                            const std::vector<Stretch>& taken) {
  std::vector<Stretch> parts;
  double from = whole.low_mm;
  while (whole.high_mm - from > room_mm) {
    const double left = whole.high_mm - from;
    const double count = std::ceil((left - lap_mm) / (room_mm - lap_mm));
    const double even = from + (left + (count - 1) * lap_mm) / count;
    double best = even;
    for (double off = 0; off < room_mm / 3; off += kSearchMm) {
      const auto isFree = [&](double to) {
        return to <= from + room_mm &&
               std::none_of(taken.begin(), taken.end(), [&](const Stretch& t) {
                 return overlap(t, {to - lap_mm, to});
               });
      };
      if (isFree(even + off) || isFree(even - off)) {
        best = isFree(even + off) ? even + off : even - off;
        break;
      }
    }
    parts.push_back({from, best});
    from = best - lap_mm;
  }
  parts.push_back({from, whole.high_mm});
  return parts;
}

/// Whether anything is cut in a rectangle of a template: an empty strip is not worth paper.
bool hasOutline(const WrapTemplate& made, const Stretch& along, const Stretch& round) {
  const auto is_in = [&](const WrapCurve& curve) {
    const WrapBox box = boxOf(curve);
    return overlap({box.x0_mm, box.x1_mm + kSquareMm}, along) &&
           overlap({box.y0_mm, box.y1_mm + kSquareMm}, round);
  };
  const auto is_raked = [](const WrapCurve& end) {
    const WrapBox box = boxOf(end);
    return box.x1_mm - box.x0_mm > kSquareMm;
  };
  return std::any_of(made.cutouts.begin(), made.cutouts.end(), is_in) ||
         std::any_of(made.ends.begin(), made.ends.end(),
                     [&](const WrapCurve& end) { return is_raked(end) && is_in(end); });
}

std::vector<WrapPiece1To1> piecesOf(const WrapTemplate& made, const WrapPageSize& size) {
  std::vector<Stretch> across;
  std::vector<Stretch> round;
  for (const WrapCurve& curve : made.cutouts) {
    const WrapBox box = boxOf(curve);
    across.push_back({box.x0_mm, box.x1_mm});
    round.push_back({box.y0_mm, box.y1_mm});
  }
  std::vector<WrapPiece1To1> pieces;
  for (const Stretch& stretch : stretchesOf(made)) {
    const auto along = broken(stretch, size.pieceWidthMm(), size.lap_mm, across);
    const auto strips = broken({0, made.girth_mm}, size.pieceHeightMm(), size.lap_mm, round);
    for (std::size_t i = 0; i < along.size(); ++i) {
      for (std::size_t j = 0; j < strips.size(); ++j) {
        WrapPiece1To1 piece;
        piece.made = &made;
        piece.marks = {made.mark};
        piece.x0_mm = along[i].low_mm;
        piece.x1_mm = along[i].high_mm;
        piece.y0_mm = strips[j].low_mm;
        piece.y1_mm = strips[j].high_mm;
        piece.goes_on_left = i > 0;
        piece.goes_on_right = i + 1 < along.size();
        piece.goes_on_below = j > 0 && hasOutline(made, along[i], strips[j - 1]);
        piece.goes_on_above = j + 1 < strips.size() && hasOutline(made, along[i], strips[j + 1]);
        if (hasOutline(made, along[i], strips[j])) {
          pieces.push_back(piece);
        }
      }
    }
  }
  return pieces;
}

/// What is drawn on a piece, in words: equal for pieces that look alike.
std::string contentOf(const WrapPiece1To1& piece) {
  const WrapTemplate& made = *piece.made;
  std::string content = made.section + "|" + made.seam + "|" + made.datum;
  const auto add = [&](std::initializer_list<double> values) {
    for (double value : values) {
      content += "|" + shown(value, 3);
    }
  };
  add({piece.x0_mm, piece.x1_mm, piece.y0_mm, piece.y1_mm});
  for (const auto* curves : {&made.cutouts, &made.ends}) {
    for (const WrapCurve& curve : *curves) {
      const WrapBox box = boxOf(curve);
      if (box.x1_mm < piece.x0_mm || box.x0_mm > piece.x1_mm) {
        continue;
      }
      content += curve.is_closed ? "|closed" : "|open";
      if (curve.circle) {
        add({curve.circle->x_mm, curve.circle->y_mm, curve.circle->radius_mm});
      }
      for (const WrapPoint& point : curve.points) {
        add({point.x_mm, point.y_mm, point.bulge});
      }
    }
  }
  return content;
}

/// Letters and number of a mark.
std::pair<std::string, int> markParts(const std::string& mark) {
  const std::size_t digit = mark.find_first_of("0123456789");
  return digit == std::string::npos
             ? std::pair{mark, 0}
             : std::pair{mark.substr(0, digit), std::atoi(mark.c_str() + digit)};
}

/// Left to right in rows, rows downwards, then the next page.
class Shelves {
 public:
  explicit Shelves(const WrapPageSize& size) : size_(size) {}

  void put(WrapPiece1To1& piece) {
    const double width = std::max(kLeastWidthMm, piece.x1_mm - piece.x0_mm);
    const double height = size_.titles_mm + (piece.y1_mm - piece.y0_mm) + size_.stations_mm;
    const std::string group = markList(piece.marks);
    const bool is_full = groups_.count(group) == 0 && groups_.size() == kGroupsPerPage;
    if (x_ + width > size_.pieceWidthMm() + kSquareMm && x_ > 0) {
      x_ = 0;
      y_ += row_ + size_.between_mm;
      row_ = 0;
    }
    if ((y_ + height > size_.height_mm - 2 * size_.margin_mm + kSquareMm && y_ > 0) || is_full) {
      ++page_;
      x_ = y_ = row_ = 0;
      groups_.clear();
    }
    groups_.insert(group);
    piece.page = page_;
    piece.left_mm = size_.margin_mm + x_;
    piece.top_mm = size_.margin_mm + y_;
    x_ += width + size_.between_mm;
    row_ = std::max(row_, height);
  }

 private:
  WrapPageSize size_;
  int page_ = 0;
  double x_ = 0, y_ = 0, row_ = 0;
  std::set<std::string> groups_;
};

}  // namespace

std::string markList(const std::vector<std::string>& marks) {
  std::string list;
  for (std::size_t i = 0; i < marks.size();) {
    std::size_t last = i;
    const auto [letters, number] = markParts(marks[i]);
    while (last + 1 < marks.size() &&
           markParts(marks[last + 1]) ==
               std::pair{letters, number + static_cast<int>(last + 1 - i)}) {
      ++last;
    }
    list += (list.empty() ? "" : ", ") + marks[i];
    if (last > i) {
      list += (last == i + 1 ? ", " : " to ") + marks[last];
    }
    i = last + 1;
  }
  return list;
}

std::vector<WrapPiece1To1> wrapPieces(const std::vector<WrapTemplate>& templates,
                                      const WrapPageSize& size) {
  std::vector<WrapPiece1To1> pieces;
  std::map<std::string, std::size_t> known;
  for (const WrapTemplate& made : templates) {
    for (const WrapPiece1To1& piece : piecesOf(made, size)) {
      const auto [found, is_new] = known.emplace(contentOf(piece), pieces.size());
      if (is_new) {
        pieces.push_back(piece);
      } else {
        pieces[found->second].marks.push_back(made.mark);
      }
    }
  }
  Shelves shelves(size);
  for (WrapPiece1To1& piece : pieces) {
    shelves.put(piece);
  }
  return pieces;
}

}  // namespace leafstack
