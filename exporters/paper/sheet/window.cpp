#include "exporters/paper/sheet/window.h"

#include <cmath>
#include <functional>

namespace leafstack {
namespace {

void addArc(std::vector<PathVertex>& out, const PathVertex& from, const PathVertex& to) {
  const double b = from.bulge;
  const double dx = to.x_mm - from.x_mm;
  const double dy = to.y_mm - from.y_mm;
  const double off = (1 - b * b) / (4 * b);  // of the centre, in chords, to the left
  const double cx = (from.x_mm + to.x_mm) / 2 - off * dy;
  const double cy = (from.y_mm + to.y_mm) / 2 + off * dx;
  const double radius = std::hypot(from.x_mm - cx, from.y_mm - cy);
  const double angle = 4 * std::atan(b);
  const double step = 2 * std::acos(std::max(0.0, 1 - kChordMm / std::max(radius, kChordMm)));
  const int pieces = std::max(2, static_cast<int>(std::ceil(std::abs(angle) / step)));
  const double start = std::atan2(from.y_mm - cy, from.x_mm - cx);
  for (int i = 1; i < pieces; ++i) {
    const double at = start + angle * i / pieces;
    out.push_back({cx + radius * std::cos(at), cy + radius * std::sin(at)});
  }
}

PaperBox boundsOf(const std::vector<PathVertex>& vertices) {
  Sheet one;
  one.paths.push_back({LineRole::kVisible, vertices, true});
  return extentsOf(one);
}

}  // namespace

std::vector<PathVertex> withoutArcs(const std::vector<PathVertex>& vertices, bool is_closed) {
  std::vector<PathVertex> out;
  const std::size_t count = vertices.size();
  for (std::size_t i = 0; i < count; ++i) {
    out.push_back({vertices[i].x_mm, vertices[i].y_mm});
    if (vertices[i].bulge != 0 && (is_closed || i + 1 < count)) {
      addArc(out, vertices[i], vertices[(i + 1) % count]);
    }
  }
  return out;
}

std::vector<std::vector<PathVertex>> stretchesWithin(const std::vector<PathVertex>& vertices,
                                                     bool is_closed, const PaperBox& window) {
  if (window.holds(boundsOf(vertices))) {
    std::vector<PathVertex> whole = vertices;
    if (is_closed && !whole.empty()) {
      whole.push_back(whole.front());
      whole.back().bulge = 0;
    }
    return {whole};
  }
  std::vector<PathVertex> chain = withoutArcs(vertices, is_closed);
  if (is_closed && !chain.empty()) {
    chain.push_back(chain.front());
  }
  std::vector<std::vector<PathVertex>> stretches;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const PathVertex& a = chain[i];
    const PathVertex& b = chain[i + 1];
    double from = 0;
    double to = 1;
    const auto narrow = [&](double start, double run, double low, double high) {
      if (run == 0) {
        to = start < low || start > high ? -1 : to;
        return;
      }
      const double p = (low - start) / run;
      const double q = (high - start) / run;
      from = std::max(from, std::min(p, q));
      to = std::min(to, std::max(p, q));
    };
    narrow(a.x_mm, b.x_mm - a.x_mm, window.left_mm, window.right_mm);
    narrow(a.y_mm, b.y_mm - a.y_mm, window.bottom_mm, window.top_mm);
    if (from >= to) {
      continue;
    }
    const auto on = [&](double t) {
      return PathVertex{a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
    };
    if (from > 0 || stretches.empty() || stretches.back().back().x_mm != a.x_mm ||
        stretches.back().back().y_mm != a.y_mm) {
      stretches.push_back({on(from)});
    }
    stretches.back().push_back(to < 1 ? on(to) : b);
  }
  return stretches;
}

std::vector<PathVertex> loopWithin(const std::vector<PathVertex>& loop, const PaperBox& window) {
  if (window.holds(boundsOf(loop))) {
    return loop;
  }
  // One side of the window after the other.
  std::vector<PathVertex> corners = withoutArcs(loop, true);
  const auto clip = [&](const std::function<double(const PathVertex&)>& inside) {
    std::vector<PathVertex> kept;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const PathVertex& a = corners[i];
      const PathVertex& b = corners[(i + 1) % corners.size()];
      const double in_a = inside(a);
      const double in_b = inside(b);
      if (in_a >= 0) {
        kept.push_back(a);
      }
      if ((in_a > 0 && in_b < 0) || (in_a < 0 && in_b > 0)) {
        const double t = in_a / (in_a - in_b);
        kept.push_back({a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)});
      }
    }
    corners = std::move(kept);
  };
  clip([&](const PathVertex& p) { return p.x_mm - window.left_mm; });
  clip([&](const PathVertex& p) { return window.right_mm - p.x_mm; });
  clip([&](const PathVertex& p) { return p.y_mm - window.bottom_mm; });
  clip([&](const PathVertex& p) { return window.top_mm - p.y_mm; });
  return corners.size() < 3 ? std::vector<PathVertex>{} : corners;
}

}  // namespace leafstack
