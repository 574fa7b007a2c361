// Views for the tests: the kernel's own hidden-line removal beside the project's.
#pragma once

#include <BRepAdaptor_Curve.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepLib.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <HLRAlgo_Projector.hxx>
#include <HLRBRep_Algo.hxx>
#include <HLRBRep_HLRToShape.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "exporters/paper/views/projection.h"
#include "generator/layout/figures/sections.h"
#include "tests/support/built_gates.h"

namespace leafstack::views {

inline constexpr PictureView kRoad{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
inline constexpr PictureView kPlan{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
inline constexpr PictureView kEnd{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}};

/// From the front, turned to the side and raised: rad.
inline PictureView slanting(double turn, double raise) {
  const double side = std::sin(turn);
  const double ahead = std::cos(turn);
  const double high = std::sin(raise);
  const double level = std::cos(raise);
  return {
      {ahead, -side, 0}, {high * side, high * ahead, level}, {-level * side, -level * ahead, high}};
}

struct Point {
  double x = 0, y = 0;
};

/// A straight bit of a line, short on arcs.
struct Bit {
  Point from, to;
};

using Bits = std::vector<Bit>;

inline double distanceTo(const Bit& bit, const Point& p) {
  const double x = bit.to.x - bit.from.x;
  const double y = bit.to.y - bit.from.y;
  const double squared = x * x + y * y;
  const double share =
      squared > 0
          ? std::clamp(((p.x - bit.from.x) * x + (p.y - bit.from.y) * y) / squared, 0.0, 1.0)
          : 0;
  return std::hypot(p.x - bit.from.x - share * x, p.y - bit.from.y - share * y);
}

inline double distanceTo(const Bits& bits, const Point& p) {
  double least = std::numeric_limits<double>::infinity();
  for (const Bit& bit : bits) {
    least = std::min(least, distanceTo(bit, p));
  }
  return least;
}

inline double lengthOf(const Bits& bits) {
  double length = 0;
  for (const Bit& bit : bits) {
    length += std::hypot(bit.to.x - bit.from.x, bit.to.y - bit.from.y);
  }
  return length;
}

/// Points in the middle of equal parts of about `step_mm`.
inline std::vector<Point> samples(const Bits& bits, double step_mm) {
  std::vector<Point> points;
  for (const Bit& bit : bits) {
    const double length = std::hypot(bit.to.x - bit.from.x, bit.to.y - bit.from.y);
    const int count = std::max(1, static_cast<int>(length / step_mm));
    for (int i = 0; i < count; ++i) {
      const double share = (i + 0.5) / count;
      points.push_back(
          {std::lerp(bit.from.x, bit.to.x, share), std::lerp(bit.from.y, bit.to.y, share)});
    }
  }
  return points;
}

/// One piece of a path, cut where it is an arc.
inline void addPiece(Bits& bits, const PathVertex& a, const PathVertex& b) {
  constexpr int kPieces = 64;
  Point last{a.x_mm, a.y_mm};
  if (a.bulge != 0) {
    const double half = 2 * std::atan(a.bulge);
    const double x = (b.x_mm - a.x_mm) / 2;
    const double y = (b.y_mm - a.y_mm) / 2;
    const Point centre{a.x_mm + x - y / std::tan(half), a.y_mm + y + x / std::tan(half)};
    for (int i = 1; i < kPieces; ++i) {
      const double turn = 2 * half * i / kPieces;
      const double dx = a.x_mm - centre.x;
      const double dy = a.y_mm - centre.y;
      const Point at{centre.x + dx * std::cos(turn) - dy * std::sin(turn),
                     centre.y + dx * std::sin(turn) + dy * std::cos(turn)};
      bits.push_back({last, at});
      last = at;
    }
  }
  bits.push_back({last, {b.x_mm, b.y_mm}});
}

inline Bits bitsOf(const ViewCurve& curve) {
  Bits bits;
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < curve.vertices.size(); ++i) {
    addPiece(bits, curve.vertices[i], curve.vertices[(i + 1) % curve.vertices.size()]);
  }
  return bits;
}

/// What is drawn, visible or hidden.
struct Drawn {
  Bits visible, hidden;
};

inline Drawn drawnBits(const std::vector<ViewCurve>& curves) {
  Drawn drawn;
  for (const ViewCurve& curve : curves) {
    const Bits bits = bitsOf(curve);
    Bits& all = curve.is_hidden ? drawn.hidden : drawn.visible;
    all.insert(all.end(), bits.begin(), bits.end());
  }
  return drawn;
}

inline void addEdges(Bits& bits, const TopoDS_Shape& edges) {
  if (edges.IsNull()) {
    return;
  }
  BRepLib::BuildCurves3d(edges);
  for (TopExp_Explorer each(edges, TopAbs_EDGE); each.More(); each.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(each.Current()));
    const int pieces = curve.GetType() == GeomAbs_Line ? 1 : 120;
    const double from = curve.FirstParameter();
    const double to = curve.LastParameter();
    for (int i = 0; i < pieces; ++i) {
      const gp_Pnt a = curve.Value(std::lerp(from, to, static_cast<double>(i) / pieces));
      const gp_Pnt b = curve.Value(std::lerp(from, to, (i + 1.0) / pieces));
      bits.push_back({{a.X(), a.Y()}, {b.X(), b.Y()}});
    }
  }
}

/// The kernel's answer. Lines where faces meet smoothly are kept apart: it counts among them the
/// outlines that lie on such a line.
/// As the project has it: faces that meet at less than kSmoothDeg.
inline constexpr double kSmoothRad = 25 * 3.14159265358979 / 180;

struct KernelView {
  Drawn sharp, smooth;
};

inline KernelView kernelView(const std::vector<TopoDS_Shape>& solids, const PictureView& view) {
  Handle(HLRBRep_Algo) algorithm = new HLRBRep_Algo();
  for (const TopoDS_Shape& solid : solids) {
    // On a copy, so that no other test finds its edges marked.
    const TopoDS_Shape copy = BRepBuilderAPI_Copy(solid).Shape();
    BRepLib::EncodeRegularity(copy, kSmoothRad);
    algorithm->Add(copy, 0);
  }
  const gp_Dir toward(view.toward[0], view.toward[1], view.toward[2]);
  const gp_Dir right(view.right[0], view.right[1], view.right[2]);
  algorithm->Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), toward, right)));
  algorithm->Update();
  algorithm->Hide();
  HLRBRep_HLRToShape shapes(algorithm);
  KernelView result;
  addEdges(result.sharp.visible, shapes.VCompound());
  addEdges(result.sharp.visible, shapes.OutLineVCompound());
  addEdges(result.sharp.hidden, shapes.HCompound());
  addEdges(result.sharp.hidden, shapes.OutLineHCompound());
  addEdges(result.smooth.visible, shapes.Rg1LineVCompound());
  addEdges(result.smooth.hidden, shapes.Rg1LineHCompound());
  return result;
}

// ---------------------------------------------------------------- solids to look at

inline TopLoc_Location movedBy(double x, double y, double z) {
  gp_Trsf motion;
  motion.SetTranslation(gp_Vec(x, y, z));
  return TopLoc_Location(motion);
}

inline TopoDS_Shape box(double x, double y, double z) {
  return BRepPrimAPI_MakeBox(x, y, z).Shape();
}

inline PlacedViewSolid placed(const TopoDS_Shape& solid, bool shows_hidden = true,
                              const TopLoc_Location& location = {}) {
  return {viewSolid(solid), location, shows_hidden, false};
}

inline HollowSection rhs(double height_mm, double depth_mm, double wall_mm) {
  HollowSection section;
  section.height_mm = height_mm;
  section.depth_mm = depth_mm;
  section.wall_mm = wall_mm;
  return section;
}

/// Curves with two straight corners, as {solid, hidden, x0, y0, x1, y1}, left or lower end first.
using Plain = std::array<double, 6>;

inline std::vector<Plain> plainLines(const std::vector<ViewCurve>& curves) {
  std::vector<Plain> lines;
  for (const ViewCurve& curve : curves) {
    for (const Bit& bit : bitsOf(curve)) {
      Point a = bit.from;
      Point b = bit.to;
      if (b.x < a.x - 1e-6 || (b.x < a.x + 1e-6 && b.y < a.y)) {
        std::swap(a, b);
      }
      const auto tidy = [](double mm) { return std::round(mm * 1e4) / 1e4 + 0.0; };
      lines.push_back({static_cast<double>(curve.solid), curve.is_hidden ? 1.0 : 0.0, tidy(a.x),
                       tidy(a.y), tidy(b.x), tidy(b.y)});
    }
  }
  std::sort(lines.begin(), lines.end());
  return lines;
}

inline std::vector<Plain> rectangle(double solid, double x0, double y0, double x1, double y1) {
  return {{solid, 0, x0, y0, x0, y1},
          {solid, 0, x0, y0, x1, y0},
          {solid, 0, x0, y1, x1, y1},
          {solid, 0, x1, y0, x1, y1}};
}

inline std::vector<Plain> sorted(std::vector<Plain> lines) {
  std::sort(lines.begin(), lines.end());
  return lines;
}

inline const Model& threePanels() {
  static const Model model = gates::modelWith({{"/gate/panels", 3}});
  return model;
}

inline std::vector<PlacedViewSolid> allOf(const Model& model, bool shows_hidden) {
  std::vector<std::shared_ptr<const ViewSolid>> read;
  for (const Part& part : model.parts) {
    read.push_back(viewSolid(part.solid));
  }
  std::vector<PlacedViewSolid> solids;
  for (const Instance& instance : model.instances) {
    solids.push_back({read[instance.part], instance.at_closed, shows_hidden, false});
  }
  return solids;
}

}  // namespace leafstack::views
