// Views of solids: V1 to V3 and V5 of exporters/paper/views/projection.h. Judges: the kernel's own
// hidden-line removal (HLRBRep_Algo), section formulas, and cases worked out by hand. No source
// unless named.
#include "exporters/paper/views/projection.h"

#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepPrimAPI_MakeBox.hxx>

#include <cmath>
#include <map>
#include <set>

#include "exporters/bytes/export_error.h"
#include "exporters/paper/views/solids/view_geometry.h"
#include "generator/layout/figures/sections.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/tube.h"
#include "tests/paper/drawing_views.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using views::allOf;
using views::Bit;
using views::Bits;
using views::box;
using views::kEnd;
using views::kPlan;
using views::kRoad;
using views::movedBy;
using views::placed;
using views::Plain;
using views::plainLines;
using views::Point;
using views::rectangle;
using views::rhs;
using views::sorted;
using views::threePanels;

// What lies on a line does so to the chords that either side is sampled by.
constexpr double kOnLineMm = 0.05;
// Ends of stretches: triangles' errors, and what is too short to be seen.
constexpr double kEndMm = 0.4;
constexpr double kStepMm = 3;

/// Bits by squares of the view, for the nearest one within kEndMm.
class BitMap {
 public:
  explicit BitMap(const std::vector<const Bits*>& lists) {
    for (const Bits* bits : lists) {
      for (const Bit& bit : *bits) {
        add(bit);
      }
    }
  }
  /// Infinite beyond kEndMm or so.
  double distance(const Point& p) const {
    double least = std::numeric_limits<double>::infinity();
    for (int step = 0; step < 9; ++step) {
      const auto found = squares_.find({square(p.x) + step % 3 - 1, square(p.y) + step / 3 - 1});
      if (found != squares_.end()) {
        least = std::min(least, views::distanceTo(found->second, p));
      }
    }
    return least;
  }

 private:
  static constexpr double kSquareMm = 5;
  static long square(double mm) { return std::lround(std::floor(mm / kSquareMm)); }
  void add(const Bit& bit) {
    const double length = std::hypot(bit.to.x - bit.from.x, bit.to.y - bit.from.y);
    const int parts = static_cast<int>(length / kSquareMm) + 1;
    for (int i = 0; i < parts; ++i) {
      const auto at = [&](double share) {
        return Point{std::lerp(bit.from.x, bit.to.x, share),
                     std::lerp(bit.from.y, bit.to.y, share)};
      };
      const Bit part{at(static_cast<double>(i) / parts), at((i + 1.0) / parts)};
      squares_[{square(part.from.x), square(part.from.y)}].push_back(part);
      squares_[{square(part.to.x), square(part.to.y)}].push_back(part);
    }
  }
  std::map<std::pair<long, long>, Bits> squares_;
};

// ---------------------------------------------------------------- V1

/// Points of one side that the other has not, of how many.
struct Strays {
  int strayed = 0, looked_at = 0;
  Point last;

  void look(const Point& p, bool is_right) {
    ++looked_at;
    if (!is_right) {
      ++strayed;
      last = p;
    }
  }
};

testing::AssertionResult agree(const std::string& what, const Strays& strays, double share) {
  if (strays.strayed <= share * strays.looked_at) {
    return testing::AssertionSuccess();
  }
  return testing::AssertionFailure()
         << what << ": " << strays.strayed << " of " << strays.looked_at << " points, e.g. at "
         << strays.last.x << " " << strays.last.y;
}

/// How many points in all may differ. None for a single part, but where the kernel calls a place
/// both visible and hidden, since lines lie on each other: it takes some for visible that are not
/// (the far edge of a slot beyond the near one's rounded corner, in line with it).
struct Allowed {
  double share = 0, double_share = 0.005;
};
/// With two rails in the view, four metres on end, the kernel shows a millimetre too much of the
/// far rim of a rounded corner, where both its faces turn away.
constexpr Allowed kLongRails = {0.01, 0.01};

/// Compares point by point.
void expectAsTheKernel(const std::vector<PlacedViewSolid>& solids,
                       const std::vector<TopoDS_Shape>& shapes, const PictureView& view,
                       const Allowed& allowed = {}) {
  const views::KernelView kernel = views::kernelView(shapes, view);
  const views::Drawn drawn = views::drawnBits(projected(solids, view));
  const BitMap any_of_kernel(
      {&kernel.sharp.visible, &kernel.sharp.hidden, &kernel.smooth.visible, &kernel.smooth.hidden});
  const BitMap kernel_visible({&kernel.sharp.visible, &kernel.smooth.visible});
  const BitMap kernel_hidden({&kernel.sharp.hidden, &kernel.smooth.hidden});
  const BitMap any_drawn({&drawn.visible, &drawn.hidden});
  const BitMap visible({&drawn.visible});
  const BitMap hidden({&drawn.hidden});
  const auto isOn = [](const BitMap& any, const BitMap& kind, const Point& p) {
    return any.distance(p) < kOnLineMm && kind.distance(p) < kEndMm;
  };
  Strays seen, doubly_seen, unseen, own_seen, own_unseen;
  for (const Point& p : views::samples(kernel.sharp.visible, kStepMm)) {
    const bool is_double = kernel_hidden.distance(p) < kOnLineMm;
    (is_double ? doubly_seen : seen).look(p, isOn(any_drawn, visible, p));
  }
  for (const Point& p : views::samples(kernel.sharp.hidden, kStepMm)) {
    if (kernel_visible.distance(p) > kEndMm) {
      unseen.look(p, isOn(any_drawn, hidden, p));
    }
  }
  for (const Point& p : views::samples(drawn.visible, kStepMm)) {
    own_seen.look(p, isOn(any_of_kernel, kernel_visible, p));
  }
  for (const Point& p : views::samples(drawn.hidden, kStepMm)) {
    own_unseen.look(p, isOn(any_of_kernel, kernel_hidden, p));
  }
  EXPECT_TRUE(agree("visible to the kernel, not drawn so", seen, allowed.share));
  EXPECT_TRUE(agree("hidden to the kernel, not drawn so", unseen, allowed.share));
  EXPECT_TRUE(agree("drawn visible, not so to the kernel", own_seen, allowed.share));
  EXPECT_TRUE(agree("drawn hidden, not so to the kernel", own_unseen, allowed.share));
  EXPECT_TRUE(agree("visible to the kernel among others", doubly_seen, allowed.double_share));
  EXPECT_GT(seen.looked_at + doubly_seen.looked_at, 10);
  EXPECT_GT(own_seen.looked_at, 10);
}

const std::vector<PictureView>& fourViews() {
  static const std::vector<PictureView> all = {kRoad, kPlan, kEnd, views::slanting(0.6, 0.4)};
  return all;
}

TEST(DrawingProjection, PartsAreAsTheKernelSeesThem) {
  const std::set<PartKind> kinds = {
      PartKind::kBottomRail,   PartKind::kTopRail,   PartKind::kWheel,
      PartKind::kPulley,       PartKind::kPulleyPin, PartKind::kFrontBracket,
      PartKind::kGuideChannel, PartKind::kBasePlate, PartKind::kGroundBracket};
  std::set<PartKind> done;
  for (const Part& part : threePanels().parts) {
    if (kinds.count(part.kind) && done.insert(part.kind).second) {
      for (std::size_t v = 0; v < fourViews().size(); ++v) {
        SCOPED_TRACE(part.name + " view " + std::to_string(v));
        expectAsTheKernel({placed(part.solid)}, {part.solid}, fourViews()[v]);
      }
    }
  }
  EXPECT_GE(done.size(), 7U);
}

/// Up to six instances whose boxes come near the first one of `kind`. Ropes are left out: the
/// kernel takes the inner half of a half turn's outline, which the turn itself hides, for visible.
std::vector<int> around(const Model& model, PartKind kind) {
  constexpr double kNearMm = 20;
  std::vector<int> found;
  for (int i = 0; i < static_cast<int>(model.instances.size()) && found.empty(); ++i) {
    if (model.parts[model.instances[i].part].kind == kind) {
      found.push_back(i);
    }
  }
  const Bounds middle = model.instances[found.front()].bounds;
  for (int i = 0; i < static_cast<int>(model.instances.size()) && found.size() < 6; ++i) {
    const bool is_rope = model.parts[model.instances[i].part].kind == PartKind::kRope;
    if (!is_rope && i != found.front() &&
        boxDistance(middle, model.instances[i].bounds, 0) < kNearMm) {
      found.push_back(i);
    }
  }
  return found;
}

TEST(DrawingProjection, AssembliesAreAsTheKernelSeesThem) {
  const Model& model = threePanels();
  for (PartKind kind :
       {PartKind::kPulley, PartKind::kWheel, PartKind::kFrontBracket, PartKind::kGuideChannel}) {
    std::vector<PlacedViewSolid> solids;
    std::vector<TopoDS_Shape> shapes;
    std::string names;
    for (int i : around(model, kind)) {
      const Instance& instance = model.instances[i];
      solids.push_back(placed(model.parts[instance.part].solid, true, instance.at_closed));
      shapes.push_back(model.parts[instance.part].solid.Moved(instance.at_closed));
      names += model.instanceName(i) + " ";
    }
    ASSERT_GE(solids.size(), 3U);
    const std::size_t step = static_cast<std::size_t>(gates::rounds(2, 1));
    for (std::size_t v = static_cast<std::size_t>(kind) % step; v < fourViews().size(); v += step) {
      SCOPED_TRACE(names + "view " + std::to_string(v));
      expectAsTheKernel(solids, shapes, fourViews()[v],
                        kind == PartKind::kFrontBracket ? kLongRails : Allowed{});
    }
  }
}

// ---------------------------------------------------------------- worked out by hand

TEST(DrawingProjection, ABoxBehindABoxIsPartlyHidden) {
  // In front 0 to 40 by 0 to 30; behind 20 to 60 by 10 to 50.
  const auto lines = plainLines(projected(
      {placed(box(40, 10, 30)), placed(box(40, 10, 40), true, movedBy(20, 50, 10))}, kRoad));
  auto expected = rectangle(0, 0, 0, 40, 30);
  const std::vector<Plain> behind = {{1, 0, 20, 30, 20, 50}, {1, 1, 20, 10, 20, 30},
                                     {1, 0, 20, 50, 60, 50}, {1, 0, 60, 10, 60, 50},
                                     {1, 0, 40, 10, 60, 10}, {1, 1, 20, 10, 40, 10}};
  expected.insert(expected.end(), behind.begin(), behind.end());
  EXPECT_EQ(lines, sorted(expected));
}

TEST(DrawingProjection, HiddenLinesOnlyWhereAskedForAndNoneOfSilentSolids) {
  std::vector<PlacedViewSolid> solids = {placed(box(40, 10, 30)),
                                         placed(box(20, 10, 10), false, movedBy(10, 50, 10))};
  EXPECT_EQ(plainLines(projected(solids, kRoad)), sorted(rectangle(0, 0, 0, 40, 30)));
  solids[0].is_silent = true;
  EXPECT_TRUE(projected(solids, kRoad).empty());
  solids[1].shows_hidden = true;
  const auto lines = plainLines(projected(solids, kRoad));
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_TRUE(std::all_of(lines.begin(), lines.end(), [](const Plain& l) { return l[1] == 1; }));
}

TEST(DrawingProjection, V3ARoundedTubeIsAsWideAsItIs) {
  // Outside and inside, and no line where flats run into the rounded corners.
  const auto lines =
      plainLines(projected({placed(drilledSection(rhs(100, 50, 3), 500, {}))}, kRoad));
  auto expected = rectangle(0, 0, 0, 500, 100);
  expected.push_back({0, 1, 0, 3, 500, 3});
  expected.push_back({0, 1, 0, 97, 500, 97});
  EXPECT_EQ(lines, sorted(expected));
}

// ---------------------------------------------------------------- V2

// Chords of ellipses are shorter: where two of these touch, theirs may lie on each other for a bit.
constexpr double kChordMm = 3;

/// A straight piece as its line and its place along it, or an arc as its circle and its turn.
struct Laid {
  std::array<double, 3> key{};  ///< angle and offset; or centre and radius
  double from = 0, to = 0;
};

struct LaidOut {
  std::vector<Laid> straight, arcs;
};

LaidOut laidOut(const std::vector<ViewCurve>& curves) {
  LaidOut laid;
  for (const ViewCurve& curve : curves) {
    const std::size_t count = curve.vertices.size();
    for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
      const PathVertex& a = curve.vertices[i];
      const PathVertex& b = curve.vertices[(i + 1) % count];
      double x = b.x_mm - a.x_mm;
      double y = b.y_mm - a.y_mm;
      const double length = std::hypot(x, y);
      if (a.bulge != 0) {
        const double half = 2 * std::atan(a.bulge);
        const double centre_x = a.x_mm + x / 2 - y / 2 / std::tan(half);
        const double centre_y = a.y_mm + y / 2 + x / 2 / std::tan(half);
        const double start = std::atan2(a.y_mm - centre_y, a.x_mm - centre_x);
        laid.arcs.push_back({{centre_x, centre_y, length / 2 / std::abs(std::sin(half))},
                             std::min(start, start + 2 * half),
                             std::max(start, start + 2 * half)});
      } else if (length > kChordMm) {
        const double sign = x < -1e-6 * length || (x < 1e-6 * length && y < 0) ? -1 : 1;
        x *= sign / length;
        y *= sign / length;
        const double p = x * a.x_mm + y * a.y_mm;
        const double q = x * b.x_mm + y * b.y_mm;
        laid.straight.push_back(
            {{x * a.y_mm - y * a.x_mm, std::atan2(y, x), 0}, std::min(p, q), std::max(p, q)});
      }
    }
  }
  return laid;
}

/// How much of what is given lies on something else of it, past what rounding leaves.
double doubled(std::vector<Laid> laid, const std::array<double, 3>& same,
               const std::vector<double>& shifts) {
  constexpr double kLeast = 0.03;
  std::sort(laid.begin(), laid.end(), [](const Laid& a, const Laid& b) { return a.key < b.key; });
  double sum = 0;
  for (std::size_t i = 0; i < laid.size(); ++i) {
    for (std::size_t j = i + 1; j < laid.size() && laid[j].key[0] - laid[i].key[0] < same[0]; ++j) {
      if (std::abs(laid[j].key[1] - laid[i].key[1]) < same[1] &&
          std::abs(laid[j].key[2] - laid[i].key[2]) < same[2]) {
        for (double shift : shifts) {
          sum += std::max(0.0, std::min(laid[i].to, laid[j].to + shift) -
                                   std::max(laid[i].from, laid[j].from + shift) - kLeast);
        }
      }
    }
  }
  return sum;
}

double doubledMm(const std::vector<ViewCurve>& curves) {
  const LaidOut laid = laidOut(curves);
  return doubled(laid.straight, {0.004, 1e-7, 1}, {0}) +
         doubled(laid.arcs, {0.004, 0.004, 0.004}, {-kTurnRad, 0, kTurnRad});
}

TEST(DrawingProjection, V2NoTwoCurvesLieOnEachOther) {
  int round = 0;
  for (unsigned seed : {11U, 12U, 13U, 14U}) {
    const GateSpec spec = gates::specOf(gates::GateDice(seed).gate());
    const LayoutResult laid = layOut(spec);
    if (!laid.problems.empty()) {
      continue;
    }
    const auto solids = allOf(buildModel(spec, laid.layout), seed % 2 == 0);
    for (const PictureView& view : fourViews()) {
      EXPECT_EQ(doubledMm(projected(solids, view)), 0) << "seed " << seed;
      ++round;
    }
  }
  EXPECT_GT(round, 4);
}

TEST(DrawingProjection, V2VisibleBeforeHiddenContourBeforeCrease) {
  // A step: its riser's foot is a crease in front, and the back edge lies behind the same line.
  const TopoDS_Shape step =
      BRepAlgoAPI_Cut(box(100, 40, 40),
                      BRepPrimAPI_MakeBox(gp_Pnt(-1, -1, 20), 102, 21, 40).Shape())
          .Shape();
  for (const ViewCurve& curve : projected({placed(step)}, kRoad)) {
    EXPECT_FALSE(curve.is_hidden);
  }
  const Bits drawn = views::drawnBits(projected({placed(step)}, kRoad)).visible;
  EXPECT_NEAR(views::lengthOf(drawn), 2 * 100 + 2 * 40 + 100, 1e-6);
}

// ---------------------------------------------------------------- V5

bool isSame(const std::vector<ViewCurve>& a, const std::vector<ViewCurve>& b) {
  const auto same = [](const ViewCurve& p, const ViewCurve& q) {
    return p.solid == q.solid && p.is_hidden == q.is_hidden && p.is_contour == q.is_contour &&
           p.is_closed == q.is_closed &&
           std::equal(p.vertices.begin(), p.vertices.end(), q.vertices.begin(), q.vertices.end(),
                      [](const PathVertex& v, const PathVertex& w) {
                        return v.x_mm == w.x_mm && v.y_mm == w.y_mm && v.bulge == w.bulge;
                      });
  };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), same);
}

TEST(DrawingProjection, V5SameInputSameOutputInTheSolidsOrder) {
  for (const PictureView& view : fourViews()) {
    const auto first = projected(allOf(threePanels(), false), view);
    const auto second = projected(allOf(threePanels(), false), view);
    EXPECT_TRUE(isSame(first, second));
    EXPECT_TRUE(std::is_sorted(first.begin(), first.end(),
                               [](const auto& a, const auto& b) { return a.solid < b.solid; }));
    EXPECT_GT(first.size(), 50U);
  }
}

TEST(DrawingProjection, ShortCurvesAreLeftOut) {
  const auto solids = allOf(threePanels(), false);
  const auto all = projected(solids, kRoad);
  const auto longer = projected(solids, kRoad, {30, {}, {}});
  EXPECT_LT(longer.size(), all.size());
  for (const ViewCurve& curve : longer) {
    EXPECT_GE(views::lengthOf(views::bitsOf(curve)), 29.9);
  }
}

}  // namespace
}  // namespace leafstack
