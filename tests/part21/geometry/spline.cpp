#include "tests/part21/geometry/spline.h"

#include <algorithm>
#include <limits>

namespace leafstack::part21 {
namespace {

constexpr int kHighestDegree = 25;
constexpr int kStartsPerSpan = 8;
// One span may hold a whole wave.
constexpr int kPiecesPerSpan = 8;

struct Homogeneous {
  Vec3 point{};
  double weight = 0;
};

class Spline : public Curve {
 public:
  Spline(int degree, std::vector<Homogeneous> poles, std::vector<double> knots)
      : degree_(degree), poles_(std::move(poles)), knots_(std::move(knots)) {
    first_ = knots_[degree_];
    last_ = knots_[poles_.size()];
    closed_ = length(at(first_) - at(last_)) < 1e-6;
    for (const double knot : knots_)
      if (knot >= first_ && knot <= last_ && (spans_.empty() || knot > spans_.back()))
        spans_.push_back(knot);
    for (std::size_t i = 0; i + 1 < spans_.size(); ++i)
      for (int j = 0; j <= kStartsPerSpan; ++j)
        starts_.push_back(spans_[i] + (spans_[i + 1] - spans_[i]) * j / kStartsPerSpan);
  }

  Vec3 at(double t) const override {
    const Homogeneous h = evaluate(poles_, knots_, degree_, wrap(t));
    return (1 / h.weight) * h.point;
  }

  Vec3 derivative(double t) const override {
    t = wrap(t);
    std::vector<Homogeneous> slopes;
    for (std::size_t i = 0; i + 1 < poles_.size(); ++i) {
      const double width = knots_[i + degree_ + 1] - knots_[i + 1];
      const double f = width > 0 ? degree_ / width : 0;
      slopes.push_back({f * (poles_[i + 1].point - poles_[i].point),
                        f * (poles_[i + 1].weight - poles_[i].weight)});
    }
    const std::vector<double> inner(knots_.begin() + 1, knots_.end() - 1);
    const Homogeneous h = evaluate(poles_, knots_, degree_, t);
    const Homogeneous d = evaluate(slopes, inner, degree_ - 1, t);
    return (1 / h.weight) * (d.point - (d.weight / h.weight) * h.point);
  }

  double parameterOf(Vec3 point) const override {
    return std::clamp(nearestParameter(*this, point, starts_), first_, last_);
  }

  double period() const override { return closed_ ? last_ - first_ : 0; }

  std::vector<double> pieces(double from, double to) const override {
    std::vector<double> cuts = {from};
    const double low = std::min(from, to), high = std::max(from, to);
    // A closed curve may be run through beyond either end of its knots.
    const int turns = closed_ ? 1 : 0;
    for (int turn = -turns; turn <= turns; ++turn)
      for (std::size_t i = 0; i + 1 < spans_.size(); ++i)
        for (const double t :
             equalPieces(spans_[i], spans_[i + 1], (spans_[i + 1] - spans_[i]) / kPiecesPerSpan))
          if (t + turn * period() > low && t + turn * period() < high)
            cuts.push_back(t + turn * period());
    cuts.push_back(to);
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
    if (to < from) std::reverse(cuts.begin(), cuts.end());
    return cuts;
  }

 private:
  double wrap(double t) const {
    if (closed_ && t > last_) t -= last_ - first_;
    if (closed_ && t < first_) t += last_ - first_;
    return std::clamp(t, first_, last_);
  }

  // De Boor's algorithm.
  static Homogeneous evaluate(const std::vector<Homogeneous>& poles,
                              const std::vector<double>& knots, int degree, double t) {
    std::size_t span = degree;
    while (span + 1 < poles.size() && t >= knots[span + 1]) ++span;
    std::vector<Homogeneous> d(poles.begin() + (span - degree), poles.begin() + (span + 1));
    for (int level = 1; level <= degree; ++level)
      for (int j = degree; j >= level; --j) {
        const std::size_t left = span - degree + j;
        const double low = knots[left], high = knots[left + degree - level + 1];
        const double a = high > low ? (t - low) / (high - low) : 0;
        d[j].point = (1 - a) * d[j - 1].point + a * d[j].point;
        d[j].weight = (1 - a) * d[j - 1].weight + a * d[j].weight;
      }
    return d[degree];
  }

  int degree_;
  std::vector<Homogeneous> poles_;
  std::vector<double> knots_;
  double first_ = 0, last_ = 0;
  bool closed_ = false;
  std::vector<double> spans_, starts_;
};

std::vector<double> expandKnots(const Value& counts, const Value& values) {
  std::vector<double> knots;
  for (std::size_t i = 0; i < std::min(counts.items.size(), values.items.size()); ++i)
    for (int j = 0; j < static_cast<int>(std::min(counts.items[i].number, 100.0)); ++j)
      knots.push_back(values.items[i].number);
  return knots;
}

}  // namespace

std::unique_ptr<Curve> readSpline(const File& file, const Value& reference) {
  const Record* knots_record = file.follow(reference, "B_SPLINE_CURVE_WITH_KNOTS");
  if (knots_record == nullptr) return nullptr;
  // As a simple instance all parameters stand in one record behind the name; as a complex one each
  // supertype has its own record and no name.
  const Record* curve_record = file.follow(reference, "B_SPLINE_CURVE");
  const std::size_t base = curve_record == nullptr ? 1 : 0;
  const std::size_t knots_at = curve_record == nullptr ? 6 : 0;
  if (curve_record == nullptr) curve_record = knots_record;
  const Record* weights = file.follow(reference, "RATIONAL_B_SPLINE_CURVE");

  const double degree = parameter(*curve_record, base).number;
  const Value& points = parameter(*curve_record, base + 1);
  if (!(degree >= 1 && degree <= kHighestDegree)) return nullptr;
  std::vector<Homogeneous> poles;
  for (std::size_t i = 0; i < points.items.size(); ++i) {
    const auto point = readPoint(file, points.items[i]);
    double weight = 1;
    if (weights != nullptr) {
      const Value& list = parameter(*weights, 0);
      weight = i < list.items.size() ? list.items[i].number : 0;
    }
    if (!point || !(weight > 0)) return nullptr;
    poles.push_back({weight * *point, weight});
  }
  std::vector<double> knots =
      expandKnots(parameter(*knots_record, knots_at), parameter(*knots_record, knots_at + 1));
  const int order = static_cast<int>(degree) + 1;
  if (poles.size() < static_cast<std::size_t>(order) || knots.size() != poles.size() + order ||
      !std::is_sorted(knots.begin(), knots.end()) || !(knots[order - 1] < knots[poles.size()]))
    return nullptr;
  return std::make_unique<Spline>(order - 1, std::move(poles), std::move(knots));
}

double nearestParameter(const Curve& curve, Vec3 point, const std::vector<double>& starts,
                        const Vec3* along) {
  const auto across = [along](Vec3 v) {
    return along == nullptr ? v : v - (dot(v, *along) / dot(*along, *along)) * *along;
  };
  const auto distance = [&](double t) { return length(across(curve.at(t) - point)); };
  double best = starts.front(), least = std::numeric_limits<double>::max();
  for (const double start : starts)
    if (const double d = distance(start); d < least) {
      least = d;
      best = start;
    }
  // Gauss-Newton converges quadratically here because the points asked about lie on the curve.
  for (int i = 0; i < 30; ++i) {
    const Vec3 slope = across(curve.derivative(best));
    if (dot(slope, slope) == 0) break;
    const double step = dot(across(point - curve.at(best)), slope) / dot(slope, slope);
    best += step;
    if (std::abs(step) * length(slope) < 1e-13) break;
  }
  return best;
}

}  // namespace leafstack::part21
