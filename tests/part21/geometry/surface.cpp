#include "tests/part21/geometry/surface.h"

#include <numbers>

#include "tests/part21/geometry/spline.h"

namespace leafstack::part21 {
namespace {

using std::numbers::pi;

// Steeper cones than this are planes for every purpose.
constexpr double kFlatCone = 1e6;

class Plane : public Surface {
 public:
  explicit Plane(const Frame& frame) : frame_(frame) {}
  Vec3 at(Parameters p) const override { return frame_.toWorld({p.u, p.v, 0}); }
  Vec3 alongU(Parameters) const override { return frame_.x; }
  Vec3 alongV(Parameters) const override { return frame_.y; }
  Parameters parametersOf(Vec3 point) const override {
    const Vec3 p = frame_.toLocal(point);
    return {p.x, p.y};
  }

 private:
  Frame frame_;
};

// Surfaces of revolution about frame.z: radius(v), height(v), u the angle.
class Revolved : public Surface {
 public:
  explicit Revolved(const Frame& frame) : frame_(frame) {}
  Vec3 at(Parameters p) const override {
    const double r = radius(p.v);
    return frame_.toWorld({r * std::cos(p.u), r * std::sin(p.u), height(p.v)});
  }
  Vec3 alongU(Parameters p) const override {
    const double r = radius(p.v);
    return -r * std::sin(p.u) * frame_.x + r * std::cos(p.u) * frame_.y;
  }
  Vec3 alongV(Parameters p) const override {
    const double slope = radiusSlope(p.v);
    return slope * std::cos(p.u) * frame_.x + slope * std::sin(p.u) * frame_.y +
           heightSlope(p.v) * frame_.z;
  }
  Parameters parametersOf(Vec3 point) const override {
    const Vec3 p = frame_.toLocal(point);
    return {std::atan2(p.y, p.x), meridian(std::hypot(p.x, p.y), p.z)};
  }
  double periodU() const override { return 2 * pi; }

 protected:
  virtual double radius(double v) const = 0;
  virtual double radiusSlope(double v) const = 0;
  virtual double height(double v) const = 0;
  virtual double heightSlope(double v) const = 0;
  virtual double meridian(double r, double z) const = 0;

 private:
  Frame frame_;
};

// A cylinder is a cone of slope 0.
class Cone : public Revolved {
 public:
  Cone(const Frame& frame, double radius, double slope)
      : Revolved(frame), radius_(radius), slope_(slope) {}
  Parameters longestStep() const override { return {pi / 2, 1e30}; }
  std::vector<double> poles() const override {
    return slope_ == 0 ? std::vector<double>{} : std::vector<double>{-radius_ / slope_};
  }

 protected:
  double radius(double v) const override { return radius_ + slope_ * v; }
  double radiusSlope(double) const override { return slope_; }
  double height(double v) const override { return v; }
  double heightSlope(double) const override { return 1; }
  double meridian(double, double z) const override { return z; }

 private:
  double radius_, slope_;
};

class Torus : public Revolved {
 public:
  Torus(const Frame& frame, double major, double minor)
      : Revolved(frame), major_(major), minor_(minor) {}
  double periodV() const override { return 2 * pi; }
  Parameters longestStep() const override { return {pi / 2, pi / 2}; }
  bool isClosed() const override { return true; }

 protected:
  double radius(double v) const override { return major_ + minor_ * std::cos(v); }
  double radiusSlope(double v) const override { return -minor_ * std::sin(v); }
  double height(double v) const override { return minor_ * std::sin(v); }
  double heightSlope(double v) const override { return minor_ * std::cos(v); }
  double meridian(double r, double z) const override { return std::atan2(z, r - major_); }

 private:
  double major_, minor_;
};

class Sphere : public Revolved {
 public:
  Sphere(const Frame& frame, double radius) : Revolved(frame), radius_(radius) {}
  Parameters longestStep() const override { return {pi / 2, pi / 2}; }
  std::vector<double> poles() const override { return {-pi / 2, pi / 2}; }
  bool isClosed() const override { return true; }

 protected:
  double radius(double v) const override { return radius_ * std::cos(v); }
  double radiusSlope(double v) const override { return -radius_ * std::sin(v); }
  double height(double v) const override { return radius_ * std::sin(v); }
  double heightSlope(double v) const override { return radius_ * std::cos(v); }
  double meridian(double r, double z) const override { return std::atan2(z, r); }

 private:
  double radius_;
};

class Extruded : public Surface {
 public:
  Extruded(std::unique_ptr<Curve> profile, Vec3 direction, std::vector<double> starts)
      : profile_(std::move(profile)), direction_(direction), starts_(std::move(starts)) {}
  Vec3 at(Parameters p) const override { return profile_->at(p.u) + p.v * direction_; }
  Vec3 alongU(Parameters p) const override { return profile_->derivative(p.u); }
  Vec3 alongV(Parameters) const override { return direction_; }
  Parameters parametersOf(Vec3 point) const override {
    const double u = nearestParameter(*profile_, point, starts_, &direction_);
    const double v = dot(point - profile_->at(u), direction_) / dot(direction_, direction_);
    return {u, v};
  }
  double periodU() const override { return profile_->period(); }

 private:
  std::unique_ptr<Curve> profile_;
  Vec3 direction_;
  std::vector<double> starts_;
};

// A profile in a plane through the axis, turned about it.
class Turned : public Surface {
 public:
  Turned(std::unique_ptr<Curve> profile, const Frame& axis, std::vector<double> starts)
      : profile_(std::move(profile)), axis_(axis), starts_(std::move(starts)) {}
  Vec3 at(Parameters p) const override {
    return axis_.toWorld(turn(axis_.toLocal(profile_->at(p.v)), p.u));
  }
  Vec3 alongU(Parameters p) const override { return cross(axis_.z, at(p) - axis_.origin); }
  Vec3 alongV(Parameters p) const override {
    const Frame directions{{0, 0, 0}, axis_.x, axis_.y, axis_.z};
    return directions.toWorld(turn(directions.toLocal(profile_->derivative(p.v)), p.u));
  }
  Parameters parametersOf(Vec3 point) const override {
    const Vec3 p = axis_.toLocal(point);
    // Turned into the profile's plane, the point lies on the profile.
    const Vec3 sample = axis_.toLocal(profile_->at(starts_[starts_.size() / 2]));
    const double plane = std::atan2(sample.y, sample.x), angle = std::atan2(p.y, p.x);
    const double v = nearestParameter(*profile_, axis_.toWorld(turn(p, plane - angle)), starts_);
    return {angle - plane, v};
  }
  double periodU() const override { return 2 * pi; }
  double periodV() const override { return profile_->period(); }
  Parameters longestStep() const override {
    return {pi / 2, profile_->period() > 0 ? profile_->period() / 8 : 1e30};
  }
  bool isClosed() const override { return profile_->period() > 0; }

 private:
  static Vec3 turn(Vec3 p, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * p.x - s * p.y, s * p.x + c * p.y, p.z};
  }

  std::unique_ptr<Curve> profile_;
  Frame axis_;
  std::vector<double> starts_;
};

// Where to start looking for the nearest point of a profile.
std::vector<double> startsOf(const File& file, const Value& reference, const Curve& profile) {
  constexpr int kStarts = 64;
  if (const Record* spline = file.follow(reference, "B_SPLINE_CURVE_WITH_KNOTS")) {
    const auto& knots = parameter(*spline, spline->parameters.size() > 4 ? 7 : 1).items;
    const double from = knots.front().number, to = knots.back().number;
    return equalPieces(from, to, (to - from) / kStarts);
  }
  if (profile.period() > 0) return equalPieces(0, profile.period(), profile.period() / kStarts);
  return {0};
}

std::unique_ptr<Surface> readTurned(const File& file, const Record& record) {
  const Record* axis = file.follow(parameter(record, 2), "AXIS1_PLACEMENT");
  auto profile = readCurve(file, parameter(record, 1));
  if (axis == nullptr || !profile) return nullptr;
  const auto origin = readPoint(file, parameter(*axis, 1));
  const auto direction = readDirection(file, parameter(*axis, 2));
  if (!origin || !direction) return nullptr;
  Frame frame;
  frame.origin = *origin;
  frame.z = *direction;
  frame.x = unit(cross(frame.z, std::abs(frame.z.x) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0}));
  frame.y = cross(frame.z, frame.x);
  std::vector<double> starts = startsOf(file, parameter(record, 1), *profile);
  return std::make_unique<Turned>(std::move(profile), frame, std::move(starts));
}

std::unique_ptr<Surface> readExtruded(const File& file, const Record& record) {
  const Value& reference = parameter(record, 1);
  auto profile = readCurve(file, reference);
  const auto direction = readVector(file, parameter(record, 2));
  if (!profile || !direction || length(*direction) == 0) return nullptr;
  std::vector<double> starts = startsOf(file, reference, *profile);
  return std::make_unique<Extruded>(std::move(profile), *direction, std::move(starts));
}

}  // namespace

std::unique_ptr<Surface> readSurface(const File& file, const Value& reference) {
  if (const Record* r = file.follow(reference, "SURFACE_OF_LINEAR_EXTRUSION"))
    return readExtruded(file, *r);
  if (const Record* r = file.follow(reference, "SURFACE_OF_REVOLUTION"))
    return readTurned(file, *r);
  const Instance* instance = reference.isReference() ? file.find(reference.id) : nullptr;
  if (instance == nullptr || instance->records.size() != 1) return nullptr;
  const Record& record = instance->records.front();
  const auto frame = readFrame(file, parameter(record, 1));
  if (!frame) return nullptr;
  const double a = parameter(record, 2).number, b = parameter(record, 3).number;
  if (record.keyword == "PLANE") return std::make_unique<Plane>(*frame);
  if (record.keyword == "CYLINDRICAL_SURFACE" && a > 0) return std::make_unique<Cone>(*frame, a, 0);
  if (record.keyword == "CONICAL_SURFACE" && a >= 0 && std::abs(std::tan(b)) < kFlatCone)
    return std::make_unique<Cone>(*frame, a, std::tan(b));
  if (record.keyword == "SPHERICAL_SURFACE" && a > 0) return std::make_unique<Sphere>(*frame, a);
  if (record.keyword == "TOROIDAL_SURFACE" && b > 0 && a > b)
    return std::make_unique<Torus>(*frame, a, b);
  return nullptr;
}

}  // namespace leafstack::part21
