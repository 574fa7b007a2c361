#include "exporters/paper/blocks/annotator.h"

#include <cmath>
#include <numeric>

#include "exporters/paper/blocks/weld_signs.h"

namespace leafstack {
namespace {

// On paper, mm. ISO 129-1 as commonly drawn; no figures of it were seen.
constexpr double kFirstRowMm = 8;      // from the view to the nearest dimension line
constexpr double kRowMm = 6.5;         // from one row to the next
constexpr double kOverLineMm = 0.8;    // number above its dimension line
constexpr double kArrowsMm = 7;        // narrower than this, arrows stand outside
constexpr double kOutsideMm = 4;       // number past an outside arrow
constexpr double kStubMm = 2.5;        // of an extension line before it turns aside
constexpr double kAsideMm = 4.5;       // over which it does so
constexpr double kFromLineMm = 0.8;    // number past the end of its line
constexpr double kApartMm = 0.8;       // kept free beside a number
constexpr double kRowApartMm = 1.3;    // between two numbers of a row
constexpr double kWordsApartMm = 1.5;  // kept free beside words of a row
constexpr double kBesideSignsMm = 2;   // kept free beside weld signs
constexpr double kAroundMm = 0.3;      // kept free around a text
constexpr double kDotMm = 0.5;         // where a leader ends on a surface
constexpr double kItemMm = 3.5;        // of item numbers
constexpr double kBalloonMm = 4;       // half their circles' width
constexpr int kMostRows = 40;
constexpr double kOutMm = 3;  // steps by which a row of numbers moves out where it meets another

double along(const PaperPoint& point, bool is_across) {
  return is_across ? point.x_mm : point.y_mm;
}

}  // namespace

struct Annotator::Frame {
  bool is_across = true;  ///< its rows run from left to right
  double sign = 1;        ///< +1 where away from the view is up or right
  double edge_mm = 0;     ///< of the view

  PaperPoint at(double along_mm, double level_mm) const {
    const double away = edge_mm + sign * level_mm;
    return is_across ? PaperPoint{along_mm, away} : PaperPoint{away, along_mm};
  }
  double angleDeg() const { return is_across ? 0 : 90; }
};

struct Annotator::RowItem {
  PaperPoint point{};
  std::string text;
  double along_mm = 0;  ///< of the leader's end
  const std::vector<WeldSign>* welds = nullptr;
  bool is_balloon = false;
};

PaperPoint Annotator::onPaper(const Vec3& point) const {
  const Vec3 at = seen(view_, point);
  return {at[0] / mm_per_mm_, at[1] / mm_per_mm_};
}

Annotator::Frame Annotator::frameOf(Side side) const {
  switch (side) {
    case Side::kBelow:
      return {true, -1, outline_.bottom_mm};
    case Side::kAbove:
      return {true, 1, outline_.top_mm};
    case Side::kLeft:
      return {false, -1, outline_.left_mm};
    case Side::kRight:
      return {false, 1, outline_.right_mm};
  }
  return {};
}

void Annotator::place(const ViewRequest& request) {
  if (const auto* linear = std::get_if<LinearRequest>(&request)) {
    placeLinear(*linear);
  } else if (const auto* running = std::get_if<RunningRequest>(&request)) {
    placeRunning(*running);
  } else if (const auto* labels = std::get_if<LabelRequest>(&request)) {
    placeLabels(*labels);
  } else {
    placeNote(std::get<NoteRequest>(request));
  }
}

bool Annotator::isFree(const PaperBox& text) const {
  const PaperBox box = text.grown(kAroundMm);
  const auto meets = [&](const PaperBox& other) { return box.overlaps(other); };
  return std::none_of(texts_.begin(), texts_.end(), meets) &&
         std::none_of(arrows_.begin(), arrows_.end(), meets) &&
         std::none_of(lines_.begin(), lines_.end(),
                      [&](const PaperLine& line) { return crosses(line, box); });
}

bool Annotator::isFree(const Dimension& dimension) const {
  const DrawnDimension parts = drawn(dimension);
  if (!isFree(boxOf(parts.text))) {
    return false;
  }
  return std::all_of(parts.lines.begin(), parts.lines.end(),
                     [&](const Path& line) { return isFree(line); });
}

void Annotator::add(const Path& path) {
  for (std::size_t i = 0; i + 1 < path.vertices.size(); ++i) {
    const PathVertex& a = path.vertices[i];
    const PathVertex& b = path.vertices[i + 1];
    lines_.push_back({{a.x_mm, a.y_mm}, {b.x_mm, b.y_mm}});
  }
}

void Annotator::add(const Dimension& dimension) {
  const DrawnDimension parts = drawn(dimension);
  for (const Path& line : parts.lines) {
    add(line);
  }
  for (const auto& arrow : parts.arrows) {
    PaperBox box;
    for (const PaperPoint& corner : arrow) {
      box.include(corner);
    }
    arrows_.push_back(box);
  }
  texts_.push_back(boxOf(parts.text));
  sheet_.dimensions.push_back(dimension);
}

void Annotator::add(const Lettering& lettering) {
  texts_.push_back(boxOf(lettering));
  sheet_.letterings.push_back(lettering);
}

void Annotator::expect(const ViewRequest& request) {
  if (const auto* linear = std::get_if<LinearRequest>(&request)) {
    const bool is_across = frameOf(linear->side).is_across;
    for (const Vec3& point : {linear->from, linear->to}) {
      crossings_[linear->side].push_back(along(onPaper(point), is_across));
    }
  }
}

/// Its own extension lines need no room from now on: what is placed later sees how far they go.
void Annotator::forget(Side side, double at) {
  std::vector<double>& lines = crossings_[side];
  if (const auto own = std::find(lines.begin(), lines.end(), at); own != lines.end()) {
    lines.erase(own);
  }
}

std::vector<double> Annotator::middlesFor(Side side, double low, double high, double width) {
  forget(side, low);
  forget(side, high);
  std::vector<double> lines = crossings_.at(side);
  lines.insert(lines.end(), {low, high});
  std::sort(lines.begin(), lines.end());
  const double half = width / 2 + kApartMm;
  const double centre = (low + high) / 2;
  std::vector<double> middles;
  // Between the extension lines within, nearest to the middle first.
  if (high - low > 2 * half) {
    middles.push_back(centre);
  }
  for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
    // Off the arrows.
    const double from = lines[i] == low ? low + kDimensionArrowMm : lines[i];
    const double to = lines[i + 1] == high ? high - kDimensionArrowMm : lines[i + 1];
    if (lines[i] >= low && lines[i + 1] <= high && to - from > 2 * half) {
      middles.push_back((from + to) / 2);
    }
  }
  std::sort(middles.begin(), middles.end(),
            [&](double a, double b) { return std::abs(a - centre) < std::abs(b - centre); });
  std::erase_if(middles, [&](double middle) {
    return std::any_of(lines.begin(), lines.end(),
                       [&](double line) { return middle - half < line && line < middle + half; });
  });
  // Else outside, past every line that would run through.
  double after = high + kOutsideMm - kApartMm + half;
  double before = low - kOutsideMm + kApartMm - half;
  for (const double line : lines) {
    after = line > after - half && line < after + half ? line + half : after;
  }
  for (auto line = lines.rbegin(); line != lines.rend(); ++line) {
    before = *line > before - half && *line < before + half ? *line - half : before;
  }
  middles.push_back(after);
  middles.push_back(before);
  return middles;
}

void Annotator::placeLinear(const LinearRequest& request) {
  const Frame frame = frameOf(request.side);
  Dimension made;
  made.from = onPaper(request.from);
  made.to = onPaper(request.to);
  made.model = {request.from, request.to};
  made.model_along = frame.is_across ? view_.right : view_.up;
  if (along(made.from, frame.is_across) > along(made.to, frame.is_across)) {
    std::swap(made.from, made.to);
    std::swap(made.model[0], made.model[1]);
  }
  const double low = along(made.from, frame.is_across);
  const double high = along(made.to, frame.is_across);
  made.angle_deg = made.text_deg = frame.angleDeg();
  made.mm_per_mm = mm_per_mm_;
  made.value_mm = (high - low) * mm_per_mm_;
  made.decimals = request.decimals.value_or(decimalsOf(made.value_mm));
  made.prefix = request.prefix;
  made.suffix = request.suffix;
  made.height_mm = kTextMm;
  made.arrows_outside = high - low < kArrowsMm;
  const double width = textWidthMm(made.text(), made.height_mm);
  const std::vector<double> middles = middlesFor(request.side, low, high, width);
  for (int row = 0; row < kMostRows; ++row) {
    const double level = kFirstRowMm + row * kRowMm;
    made.line_at = frame.at((low + high) / 2, level);
    for (const double middle : middles) {
      made.text_at = frame.at(middle, level);
      // Numbers stand above a level line, and to the left of an upright one.
      (frame.is_across ? made.text_at.y_mm : made.text_at.x_mm) +=
          frame.is_across ? kOverLineMm : -kOverLineMm;
      const double from =
          std::min(low, middle - width / 2) - (made.arrows_outside ? kOutsideMm : 0);
      const double to = std::max(high, middle + width / 2) + (made.arrows_outside ? kOutsideMm : 0);
      const PaperLine line{frame.at(from, level), frame.at(to, level)};
      const bool lies_on_another =
          std::any_of(rows_.begin(), rows_.end(), [&](const PaperLine& other) {
            constexpr double kShareMm = 0.05;  // neighbours of a chain share an end
            const bool is_across = other.from.y_mm == other.to.y_mm;
            return is_across == frame.is_across &&
                   std::abs(along(other.from, !is_across) - along(line.from, !is_across)) <
                       kRowMm / 2 &&
                   along(other.from, is_across) < to - kShareMm &&
                   from + kShareMm < along(other.to, is_across);
          });
      if (!lies_on_another && isFree(made)) {
        rows_.push_back(line);
        add(made);
        return;
      }
    }
  }
  add(made);  // no room at all: the sheet's test would show it
}

void Annotator::placeRunning(const RunningRequest& request) {
  const Frame frame = frameOf(request.side);
  Dimension made;
  made.kind = DimensionKind::kRunning;
  made.from = onPaper(request.datum);
  made.angle_deg = frame.angleDeg();
  made.model_along = frame.is_across ? view_.right : view_.up;
  made.text_deg = frame.is_across ? 90 : 0;
  made.mm_per_mm = mm_per_mm_;
  made.height_mm = kTextMm;
  const double datum = along(made.from, frame.is_across);
  std::vector<Vec3> features = request.features;
  std::sort(features.begin(), features.end(), [&](const Vec3& a, const Vec3& b) {
    return along(onPaper(a), frame.is_across) < along(onPaper(b), frame.is_across);
  });
  std::vector<double> wanted;
  for (const Vec3& feature : features) {
    wanted.push_back(along(onPaper(feature), frame.is_across));
  }
  const std::vector<double> places =
      spreadOut(wanted, std::vector<double>(wanted.size(), kTextMm + kRowApartMm));
  const double sense = dot(request.counts_along, made.model_along);
  const bool counts_up = sense == 0 ? wanted.back() - datum >= datum - wanted.front() : sense > 0;
  for (int step = 0; step < kMostRows; ++step) {
    const double level = kStubMm + kAsideMm + step * kOutMm;
    std::vector<Dimension> row;
    for (std::size_t i = 0; i < features.size(); ++i) {
      made.to = onPaper(features[i]);
      made.model = {request.datum, features[i]};
      made.value_mm = (counts_up ? wanted[i] - datum : datum - wanted[i]) * mm_per_mm_;
      made.decimals = decimalsOf(made.value_mm);
      made.line_at = frame.at(places[i], level);
      const double half = textWidthMm(made.text(), made.height_mm) / 2;
      made.text_at = frame.at(places[i], level + kFromLineMm + half);
      // Centred on its line: the base line runs half a capital beside it.
      (frame.is_across ? made.text_at.x_mm : made.text_at.y_mm) +=
          (frame.is_across ? 1 : -1) * kTextMm / 2;
      row.push_back(made);
    }
    const auto is_free = [&](const Dimension& one) { return isFree(one); };
    if (step + 1 == kMostRows || std::all_of(row.begin(), row.end(), is_free)) {
      for (const Dimension& one : row) {
        add(one);
      }
      return;
    }
  }
}

Path Annotator::leaderOf(const Frame& frame, const RowItem& item, double level_mm) const {
  const double wanted = along(item.point, frame.is_across);
  // The oblique piece is as long at any level, so that leaders of one row do not cross.
  const PaperPoint corner = frame.at(wanted, level_mm - kAsideMm);
  const PaperPoint end = frame.at(item.along_mm, level_mm);
  Path leader{LineRole::kDimension, {{item.point.x_mm, item.point.y_mm}}, false};
  for (const PaperPoint& point : {corner, end}) {
    leader.vertices.push_back({point.x_mm, point.y_mm});
  }
  return leader;
}

Lettering Annotator::wordsOf(const Frame& frame, const RowItem& item, double level_mm) const {
  Lettering words{item.text, frame.at(item.along_mm, level_mm), kTextMm, TextAnchor::kCentre};
  if (item.is_balloon) {
    words.at = frame.at(item.along_mm, level_mm + kBalloonMm);
    words.height_mm = kItemMm;
    words.at.y_mm -= kItemMm / 2;
    return words;
  }
  if (frame.is_across) {
    words.at.y_mm += frame.sign > 0 ? kFromLineMm + kTextMm / 4 : -kFromLineMm - kTextMm;
  } else {
    words.anchor = frame.sign > 0 ? TextAnchor::kLeft : TextAnchor::kRight;
    words.at.x_mm += frame.sign * kFromLineMm;
    words.at.y_mm -= kTextMm / 2;
  }
  return words;
}

PaperBox Annotator::placeOf(const Frame& frame, const RowItem& item, double level_mm) const {
  if (item.is_balloon) {
    const PaperPoint middle = frame.at(item.along_mm, level_mm + kBalloonMm);
    PaperBox circle;
    circle.include(middle);
    return circle.grown(kBalloonMm);
  }
  return item.welds == nullptr
             ? boxOf(wordsOf(frame, item, level_mm))
             : signsBox(*item.welds, frame.at(item.along_mm, level_mm), frame.sign);
}

bool Annotator::isFree(const Path& path) const {
  for (std::size_t i = 0; i + 1 < path.vertices.size(); ++i) {
    const PathVertex& a = path.vertices[i];
    const PathVertex& b = path.vertices[i + 1];
    const PaperLine line{{a.x_mm, a.y_mm}, {b.x_mm, b.y_mm}};
    for (const PaperBox& text : texts_) {
      if (crosses(line, text.grown(kAroundMm))) {
        return false;
      }
    }
  }
  return true;
}

void Annotator::placeLabels(const LabelRequest& request) {
  const Frame frame = frameOf(request.side);
  std::vector<RowItem> items;
  for (const LabelRequest::Label& label : request.labels) {
    items.push_back({onPaper(label.at), label.text, 0, label.welds.empty() ? nullptr : &label.welds,
                     request.is_balloon});
  }
  std::stable_sort(items.begin(), items.end(), [&](const RowItem& a, const RowItem& b) {
    return along(a.point, frame.is_across) < along(b.point, frame.is_across);
  });
  std::vector<double> wanted, widths;
  for (const RowItem& item : items) {
    wanted.push_back(along(item.point, frame.is_across));
    widths.push_back(item.is_balloon         ? 2 * (kBalloonMm + kApartMm)
                     : item.welds != nullptr ? signsWidthMm(*item.welds) + 2 * kBesideSignsMm
                     : frame.is_across       ? textWidthMm(item.text, kTextMm) + 2 * kWordsApartMm
                                             : kTextMm * 1.25 + 2 * kAroundMm + kRowApartMm);
  }
  const std::vector<double> places = spreadOut(wanted, widths);
  for (std::size_t i = 0; i < items.size(); ++i) {
    items[i].along_mm =
        places[i] - (items[i].welds != nullptr ? signsWidthMm(*items[i].welds) / 2 : 0);
  }
  double level = kStubMm + kAsideMm;
  for (int step = 0; step < kMostRows; ++step, level += kOutMm) {
    if (std::all_of(items.begin(), items.end(), [&](const RowItem& item) {
          return isFree(leaderOf(frame, item, level)) && isFree(placeOf(frame, item, level));
        })) {
      break;
    }
  }
  for (const RowItem& item : items) {
    const Path leader = leaderOf(frame, item, level);
    add(leader);
    sheet_.paths.push_back(leader);
    if (item.welds != nullptr) {
      const PathVertex& end = leader.vertices.back();
      addArrowHead(sheet_, item.point, {leader.vertices[1].x_mm, leader.vertices[1].y_mm});
      addSigns(sheet_, *item.welds, {end.x_mm, end.y_mm}, frame.sign);
      texts_.push_back(placeOf(frame, item, level));
      continue;
    }
    if (request.has_dots) {
      sheet_.areas.push_back({{{{item.point.x_mm - kDotMm, item.point.y_mm, 1},
                                {item.point.x_mm + kDotMm, item.point.y_mm, 1}}},
                              0});
    }
    add(wordsOf(frame, item, level));
    if (item.is_balloon) {
      const PaperPoint middle = frame.at(item.along_mm, level + kBalloonMm);
      sheet_.paths.push_back(
          {LineRole::kDimension,
           {{middle.x_mm - kBalloonMm, middle.y_mm, 1}, {middle.x_mm + kBalloonMm, middle.y_mm, 1}},
           true});
      texts_.push_back(placeOf(frame, item, level));
    }
  }
}

void Annotator::placeNote(const NoteRequest& request) {
  PaperPoint at = onPaper(request.at);
  at.x_mm += request.right_mm;
  at.y_mm += request.above_mm;
  add(Lettering{request.text, at, request.height_mm, request.anchor});
}

std::vector<double> spreadOut(const std::vector<double>& wanted_mm,
                              const std::vector<double>& widths_mm) {
  // Pool adjacent violators: less the widths before it, each place only has to be no less than the
  // one before; blocks that collide take their mean.
  struct Pool {
    double sum = 0;
    int count = 0;
    double mean() const { return sum / count; }
  };
  std::vector<double> before(wanted_mm.size(), 0);
  for (std::size_t i = 1; i < wanted_mm.size(); ++i) {
    before[i] = before[i - 1] + (widths_mm[i - 1] + widths_mm[i]) / 2;
  }
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < wanted_mm.size(); ++i) {
    pools.push_back({wanted_mm[i] - before[i], 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  std::vector<double> places;
  for (const Pool& pool : pools) {
    for (int i = 0; i < pool.count; ++i) {
      places.push_back(pool.mean() + before[places.size()]);
    }
  }
  return places;
}

}  // namespace leafstack
