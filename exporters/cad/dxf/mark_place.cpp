#include "exporters/cad/dxf/mark_place.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

constexpr int kChords = 16;         // of a piece of arc
constexpr double kStepMm = 1;       // between places that are tried
constexpr int kPlacesAcross = 200;  // at most, a way: large plates are tried more coarsely
constexpr double kLettersMm[] = {5, 4, 3, 2.5};

struct MarkBox {
  double x0, y0, x1, y1;
};

bool isIn(const MarkLoop& loop, double x, double y) {
  bool in = false;
  for (std::size_t i = 0, j = loop.size() - 1; i < loop.size(); j = i++) {
    if ((loop[i][1] > y) != (loop[j][1] > y)) {
      const double share = (y - loop[i][1]) / (loop[j][1] - loop[i][1]);
      in ^= x < loop[i][0] + share * (loop[j][0] - loop[i][0]);
    }
  }
  return in;
}

/// Does a chord run into the box, rather than along its side? By clipping it with each side in turn.
bool crosses(const std::array<double, 2>& a, const std::array<double, 2>& b, const MarkBox& box) {
  double from = 0, to = 1;
  const double low[2] = {box.x0, box.y0}, high[2] = {box.x1, box.y1};
  for (int axis = 0; axis < 2; ++axis) {
    const double run = b[axis] - a[axis];
    if (run == 0) {
      if (a[axis] <= low[axis] || a[axis] >= high[axis]) {
        return false;
      }
      continue;
    }
    const double one = (low[axis] - a[axis]) / run, other = (high[axis] - a[axis]) / run;
    from = std::max(from, std::min(one, other));
    to = std::min(to, std::max(one, other));
  }
  return from < to;
}

bool crosses(const MarkLoop& loop, const MarkBox& box) {
  for (std::size_t i = 0, j = loop.size() - 1; i < loop.size(); j = i++) {
    if (crosses(loop[j], loop[i], box)) {
      return true;
    }
  }
  return false;
}

}  // namespace

double markWidth_mm(const std::string& text, double height_mm) {
  return 0.9 * height_mm * static_cast<double>(text.size());
}

std::optional<MarkPlace> placeMark(const std::string& text, const MarkLoop& outline,
                                   const std::vector<MarkLoop>& holes, double off_mm) {
  MarkBox all{1e30, 1e30, -1e30, -1e30};
  for (const auto& [x, y] : outline) {
    all = {std::min(all.x0, x), std::min(all.y0, y), std::max(all.x1, x), std::max(all.y1, y)};
  }
  for (const double height : kLettersMm) {
    const double w = markWidth_mm(text, height) + 2 * off_mm, h = height + 2 * off_mm;
    const double dx = std::max(kStepMm, (all.x1 - all.x0 - w) / kPlacesAcross);
    const double dy = std::max(kStepMm, (all.y1 - all.y0 - h) / kPlacesAcross);
    for (double y = all.y0; y + h <= all.y1; y += dy) {
      for (double x = all.x0; x + w <= all.x1; x += dx) {
        const MarkBox box{x, y, x + w, y + h};
        const double cx = x + w / 2, cy = y + h / 2;
        // No edge in the box, and its middle on metal.
        if (isIn(outline, cx, cy) && !crosses(outline, box) &&
            std::none_of(holes.begin(), holes.end(), [&](const MarkLoop& hole) {
              return isIn(hole, cx, cy) || crosses(hole, box);
            })) {
          return MarkPlace{x + off_mm, y + off_mm, height};
        }
      }
    }
  }
  return std::nullopt;
}

void addChords(MarkLoop& loop, const std::array<double, 2>& from, double bulge,
               const std::array<double, 2>& to) {
  loop.push_back(from);
  if (bulge == 0) {
    return;
  }
  const double angle = 4 * std::atan(bulge);
  const double chord = std::hypot(to[0] - from[0], to[1] - from[1]);
  const double radius = chord / 2 / std::sin(angle / 2);  // negative clockwise
  const double ux = (to[0] - from[0]) / chord, uy = (to[1] - from[1]) / chord;
  const double off = radius * std::cos(angle / 2);
  const double cx = (from[0] + to[0]) / 2 - uy * off, cy = (from[1] + to[1]) / 2 + ux * off;
  const double start = std::atan2(from[1] - cy, from[0] - cx);
  for (int i = 1; i < kChords; ++i) {
    const double at = start + angle * i / kChords;
    loop.push_back({cx + std::abs(radius) * std::cos(at), cy + std::abs(radius) * std::sin(at)});
  }
}

MarkLoop circleLoop(double x_mm, double y_mm, double radius_mm) {
  MarkLoop loop;
  for (int i = 0; i < 2 * kChords; ++i) {
    const double at = std::numbers::pi * i / kChords;
    loop.push_back({x_mm + radius_mm * std::cos(at), y_mm + radius_mm * std::sin(at)});
  }
  return loop;
}

}  // namespace leafstack
