#include "tests/part21/geometry/curve.h"

#include <algorithm>
#include <numbers>

#include "tests/part21/geometry/spline.h"

namespace leafstack::part21 {
namespace {

constexpr double kLongestArc = std::numbers::pi / 4;

class Line : public Curve {
 public:
  Line(Vec3 origin, Vec3 step) : origin_(origin), step_(step) {}
  Vec3 at(double t) const override { return origin_ + t * step_; }
  Vec3 derivative(double) const override { return step_; }
  double parameterOf(Vec3 point) const override {
    return dot(point - origin_, step_) / dot(step_, step_);
  }
  std::vector<double> pieces(double from, double to) const override { return {from, to}; }

 private:
  Vec3 origin_, step_;
};

// A circle is an ellipse with equal half axes.
class Ellipse : public Curve {
 public:
  Ellipse(const Frame& frame, double a, double b) : frame_(frame), a_(a), b_(b) {}
  Vec3 at(double t) const override {
    return frame_.toWorld({a_ * std::cos(t), b_ * std::sin(t), 0});
  }
  Vec3 derivative(double t) const override {
    return -a_ * std::sin(t) * frame_.x + b_ * std::cos(t) * frame_.y;
  }
  // Exact for points on the curve, which is all it is asked about.
  double parameterOf(Vec3 point) const override {
    const Vec3 p = frame_.toLocal(point);
    return std::atan2(p.y / b_, p.x / a_);
  }
  double period() const override { return 2 * std::numbers::pi; }
  std::vector<double> pieces(double from, double to) const override {
    return equalPieces(from, to, kLongestArc);
  }

 private:
  Frame frame_;
  double a_, b_;
};

std::unique_ptr<Curve> readLine(const File& file, const Record& record) {
  const auto origin = readPoint(file, parameter(record, 1));
  const auto step = readVector(file, parameter(record, 2));
  if (!origin || !step || length(*step) == 0) return nullptr;
  return std::make_unique<Line>(*origin, *step);
}

std::unique_ptr<Curve> readEllipse(const File& file, const Record& record, bool circle) {
  const auto frame = readFrame(file, parameter(record, 1));
  const Value& a = parameter(record, 2);
  const Value& b = parameter(record, circle ? 2 : 3);
  if (!frame || !(a.number > 0) || !(b.number > 0)) return nullptr;
  return std::make_unique<Ellipse>(*frame, a.number, b.number);
}

std::optional<Vec3> readTriple(const Record* record, std::size_t index) {
  if (record == nullptr) return std::nullopt;
  const Value& list = parameter(*record, index);
  if (list.items.size() != 3) return std::nullopt;
  for (const Value& item : list.items)
    if (!item.isNumber()) return std::nullopt;
  return Vec3{list.items[0].number, list.items[1].number, list.items[2].number};
}

}  // namespace

std::unique_ptr<Curve> readCurve(const File& file, const Value& reference) {
  if (const Record* r = file.follow(reference, "LINE")) return readLine(file, *r);
  if (const Record* r = file.follow(reference, "CIRCLE")) return readEllipse(file, *r, true);
  if (const Record* r = file.follow(reference, "ELLIPSE")) return readEllipse(file, *r, false);
  for (const char* wrapper : {"TRIMMED_CURVE", "SURFACE_CURVE", "SEAM_CURVE"})
    if (const Record* r = file.follow(reference, wrapper)) return readCurve(file, parameter(*r, 1));
  return readSpline(file, reference);
}

std::optional<Vec3> readPoint(const File& file, const Value& reference) {
  return readTriple(file.follow(reference, "CARTESIAN_POINT"), 1);
}

std::optional<Vec3> readDirection(const File& file, const Value& reference) {
  const auto direction = readTriple(file.follow(reference, "DIRECTION"), 1);
  if (!direction || !(length(*direction) > 0)) return std::nullopt;
  return unit(*direction);
}

std::optional<Vec3> readVector(const File& file, const Value& reference) {
  const Record* record = file.follow(reference, "VECTOR");
  if (record == nullptr) return std::nullopt;
  const auto direction = readDirection(file, parameter(*record, 1));
  if (!direction) return std::nullopt;
  return parameter(*record, 2).number * *direction;
}

std::optional<Frame> readFrame(const File& file, const Value& reference) {
  const Record* record = file.follow(reference, "AXIS2_PLACEMENT_3D");
  if (record == nullptr) return std::nullopt;
  const auto origin = readPoint(file, parameter(*record, 1));
  const auto axis = readDirection(file, parameter(*record, 2));
  const auto reference_direction = readDirection(file, parameter(*record, 3));
  if (!origin || (parameter(*record, 2).isReference() && !axis)) return std::nullopt;
  Frame frame;
  frame.origin = *origin;
  frame.z = axis.value_or(Vec3{0, 0, 1});
  const Vec3 fallback = std::abs(frame.z.x) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  Vec3 x = reference_direction.value_or(fallback);
  x = x - dot(x, frame.z) * frame.z;
  // A reference direction along the axis leaves the placement undefined.
  if (length(x) < 1e-9) return std::nullopt;
  frame.x = unit(x);
  frame.y = cross(frame.z, frame.x);
  return frame;
}

std::vector<double> equalPieces(double from, double to, double longest) {
  const int count = std::max(1, static_cast<int>(std::ceil(std::abs(to - from) / longest - 1e-9)));
  std::vector<double> cuts;
  for (int i = 0; i <= count; ++i) cuts.push_back(from + (to - from) * i / count);
  cuts.back() = to;
  return cuts;
}

}  // namespace leafstack::part21
