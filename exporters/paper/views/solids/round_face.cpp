#include "exporters/paper/views/solids/round_face.h"

#include <Adaptor3d_Curve.hxx>
#include <algorithm>
#include <gp_Circ.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Torus.hxx>

#include "generator/geometry/mesh/kernel_vec.h"

namespace leafstack {
namespace {

// A direction square to another, to the rounding errors of placements.
constexpr double kSquare = 1e-6;
// Chords of outlines that are neither straight nor round.
constexpr double kOutlineSagittaMm = 0.02;
constexpr double kHalfTurnRad = std::numbers::pi;
constexpr double kLeastRadiusMm = 1e-6;

}  // namespace

std::optional<RoundFace> RoundFace::of(const TopoDS_Face& face,
                                       const BRepAdaptor_Surface& surface) {
  RoundFace round;
  if (!round.readSurface(surface)) {
    return std::nullopt;
  }
  round.domain_ = FaceDomain(face);
  gp_Pnt point;
  gp_Vec along_u;
  gp_Vec along_v;
  surface.D1((surface.FirstUParameter() + surface.LastUParameter()) / 2,
             (surface.FirstVParameter() + surface.LastVParameter()) / 2, point, along_u, along_v);
  Vec3 outward = cross(toVec(along_u.XYZ()), toVec(along_v.XYZ()));
  if (face.Orientation() == TopAbs_REVERSED) {
    outward = minus({}, outward);
  }
  round.outward_ = dot(round.rawNormal(toVec(point.XYZ())), outward) >= 0 ? 1 : -1;
  return round;
}

bool RoundFace::readSurface(const BRepAdaptor_Surface& surface) {
  gp_Ax3 frame;
  switch (surface.GetType()) {
    case GeomAbs_Cylinder:
      kind_ = RoundKind::kCylinder;
      frame = surface.Cylinder().Position();
      radius_ = surface.Cylinder().Radius();
      break;
    case GeomAbs_Cone:
      kind_ = RoundKind::kCone;
      frame = surface.Cone().Position();
      radius_ = surface.Cone().RefRadius();
      cone_sine_ = std::sin(surface.Cone().SemiAngle());
      cone_cosine_ = std::cos(surface.Cone().SemiAngle());
      break;
    case GeomAbs_Torus:
      kind_ = RoundKind::kTorus;
      frame = surface.Torus().Position();
      radius_ = surface.Torus().MajorRadius();
      minor_ = surface.Torus().MinorRadius();
      break;
    case GeomAbs_SurfaceOfRevolution:
      return readRevolution(surface);
    case GeomAbs_SurfaceOfExtrusion:
      return readExtrusion(surface);
    default:
      return false;
  }
  centre_ = toVec(frame.Location().XYZ());
  x_ = toVec(frame.XDirection().XYZ());
  y_ = toVec(frame.YDirection().XYZ());
  z_ = toVec(frame.Direction().XYZ());
  return true;
}

/// A circle turned about an axis in its own plane.
bool RoundFace::readRevolution(const BRepAdaptor_Surface& surface) {
  const Handle(Adaptor3d_Curve) profile = surface.BasisCurve();
  if (profile->GetType() != GeomAbs_Circle) {
    return false;
  }
  const gp_Circ circle = profile->Circle();
  const gp_Ax1 turned_about = surface.AxeOfRevolution();
  kind_ = RoundKind::kTorus;
  z_ = toVec(turned_about.Direction().XYZ());
  const Vec3 from_axis =
      minus(toVec(circle.Location().XYZ()), toVec(turned_about.Location().XYZ()));
  const Vec3 across = plus(from_axis, z_, -dot(from_axis, z_));
  radius_ = norm(across);
  minor_ = circle.Radius();
  centre_ = minus(toVec(circle.Location().XYZ()), across);
  x_ = unit(across);
  y_ = cross(z_, x_);
  const Vec3 a = toVec(circle.XAxis().Direction().XYZ());
  const Vec3 b = toVec(circle.YAxis().Direction().XYZ());
  v_zero_ = std::atan2(dot(a, z_), dot(a, x_));
  v_sign_ = dot(a, x_) * dot(b, z_) - dot(a, z_) * dot(b, x_) > 0 ? 1 : -1;
  return radius_ > kLeastRadiusMm && std::abs(dot(a, y_)) < kSquare &&
         std::abs(dot(b, y_)) < kSquare;
}

/// A circle drawn out along its own axis.
bool RoundFace::readExtrusion(const BRepAdaptor_Surface& surface) {
  const Handle(Adaptor3d_Curve) profile = surface.BasisCurve();
  if (profile->GetType() != GeomAbs_Circle) {
    return false;
  }
  const gp_Circ circle = profile->Circle();
  kind_ = RoundKind::kCylinder;
  centre_ = toVec(circle.Location().XYZ());
  x_ = toVec(circle.XAxis().Direction().XYZ());
  y_ = toVec(circle.YAxis().Direction().XYZ());
  z_ = toVec(surface.Direction().XYZ());
  radius_ = circle.Radius();
  return std::abs(dot(x_, z_)) < kSquare && std::abs(dot(y_, z_)) < kSquare;
}

Vec3 RoundFace::radialAt(double u) const {
  return plus(plus({}, x_, std::cos(u)), y_, std::sin(u));
}

/// v: along a cylinder's or cone's straight lines; about a torus' tube.
Vec3 RoundFace::pointAt(double u, double v) const {
  switch (kind_) {
    case RoundKind::kCylinder:
      return plus(plus(centre_, radialAt(u), radius_), z_, v);
    case RoundKind::kCone:
      return plus(plus(centre_, radialAt(u), radius_ + v * cone_sine_), z_, v * cone_cosine_);
    case RoundKind::kTorus:
      return plus(plus(centre_, radialAt(u), radius_ + minor_ * std::cos(v)), z_,
                  minor_ * std::sin(v));
  }
  return centre_;
}

/// Away from the axis, or from the middle of the tube.
Vec3 RoundFace::rawNormal(const Vec3& point) const {
  const Vec3 from_centre = minus(point, centre_);
  const double height = dot(from_centre, z_);
  const Vec3 radial = unit(plus(from_centre, z_, -height));
  switch (kind_) {
    case RoundKind::kCylinder:
      return radial;
    case RoundKind::kCone:
      // Beyond the apex the cone opens the other way.
      return radius_ + height * cone_sine_ / cone_cosine_ >= 0
                 ? plus(plus({}, radial, cone_cosine_), z_, -cone_sine_)
                 : plus(plus({}, radial, cone_cosine_), z_, cone_sine_);
    case RoundKind::kTorus:
      return unit(plus(from_centre, radial, -radius_));
  }
  return radial;
}

Vec3 RoundFace::normalAt(const Vec3& point) const {
  return plus({}, rawNormal(point), outward_);
}

double RoundFace::signedDistance(const Vec3& point) const {
  const Vec3 from_centre = minus(point, centre_);
  const double height = dot(from_centre, z_);
  const double out = norm(plus(from_centre, z_, -height));
  switch (kind_) {
    case RoundKind::kCylinder:
      return outward_ * (out - radius_);
    case RoundKind::kCone:
      return outward_ * (out - std::abs(radius_ + height * cone_sine_ / cone_cosine_)) *
             cone_cosine_;
    case RoundKind::kTorus:
      return outward_ * (std::hypot(out - radius_, height) - minor_);
  }
  return 0;
}

std::vector<OutlinePiece> RoundFace::outlines(const Vec3& toward) const {
  std::vector<OutlinePiece> found;
  if (kind_ == RoundKind::kTorus) {
    addTorusOutlines(toward, found);
  } else {
    addRulings(toward, found);
  }
  return found;
}

/// A cylinder or cone is seen edge-on along at most two of its straight lines.
void RoundFace::addRulings(const Vec3& toward, std::vector<OutlinePiece>& found) const {
  const double a = dot(x_, toward) * cone_cosine_;
  const double b = dot(y_, toward) * cone_cosine_;
  const double c = dot(z_, toward) * cone_sine_;
  const double across = std::hypot(a, b);  // across cos(u - middle) = c
  if (across < kSquare || std::abs(c) > across) {
    return;
  }
  const double middle = std::atan2(b, a);
  const double half = std::acos(c / across);
  for (double u : {middle - half, middle + half}) {
    for (const Interval& v : domain_.alongV(u)) {
      found.push_back({SpacePiece::straight(pointAt(u, v.from), pointAt(u, v.to)), outward_ < 0});
    }
  }
}

/// By the curvature along the line of sight, after Koenderink, "What does the occluding contour
/// tell us about solid shape?", Perception 13 (1984).
bool RoundFace::isHollow(double u, double v, const Vec3& toward) const {
  const Vec3 radial = radialAt(u);
  const Vec3 round_axis = plus(plus({}, x_, -std::sin(u)), y_, std::cos(u));
  const Vec3 round_tube = plus(plus({}, radial, -std::sin(v)), z_, std::cos(v));
  const double about_axis = dot(toward, round_axis);
  const double about_tube = dot(toward, round_tube);
  const double curvature =
      std::cos(v) / (radius_ + minor_ * std::cos(v)) * about_axis * about_axis +
      about_tube * about_tube / minor_;
  return outward_ * curvature < 0;
}

void RoundFace::addTorusOutlines(const Vec3& toward, std::vector<OutlinePiece>& found) const {
  const double along_axis = dot(z_, toward);
  if (std::abs(along_axis) > std::sqrt(1 - kSquare * kSquare)) {
    addParallel(0, toward, found);
    addParallel(kHalfTurnRad, toward, found);
  } else if (std::abs(along_axis) < kSquare) {
    const double toward_u = std::atan2(dot(y_, toward), dot(x_, toward));
    addParallel(kHalfTurnRad / 2, toward, found);
    addParallel(-kHalfTurnRad / 2, toward, found);
    addMeridian(toward_u + kHalfTurnRad / 2, toward, found);
    addMeridian(toward_u - kHalfTurnRad / 2, toward, found);
  } else {
    addSlantOutline(0, toward, found);
    addSlantOutline(kHalfTurnRad, toward, found);
  }
}

/// The circle about the axis at one place of the tube.
void RoundFace::addParallel(double v, const Vec3& toward, std::vector<OutlinePiece>& found) const {
  Ring ring;
  const double radius = radius_ + minor_ * std::cos(v);
  ring.centre = plus(centre_, z_, minor_ * std::sin(v));
  ring.p = plus({}, x_, radius);
  ring.q = plus({}, y_, radius);
  for (const Interval& u : domain_.alongU(ownV(v))) {
    found.push_back({SpacePiece::arc(ring, u), isHollow((u.from + u.to) / 2, v, toward)});
  }
}

/// The tube's own circle at one place about the axis.
void RoundFace::addMeridian(double u, const Vec3& toward, std::vector<OutlinePiece>& found) const {
  Ring ring;
  ring.centre = plus(centre_, radialAt(u), radius_);
  ring.p = plus({}, radialAt(u), minor_);
  ring.q = plus({}, z_, minor_);
  for (const Interval& own : domain_.alongV(u)) {
    // Where the tube's inner half begins, what was round becomes hollow.
    const double a = std::min(turnedV(own.from), turnedV(own.to));
    const double b = std::max(turnedV(own.from), turnedV(own.to));
    double from = a;
    while (from < b) {
      const double quarter = kHalfTurnRad / 2;
      const double next = (std::floor(from / quarter + kSquare) + 1) * quarter;
      const double to = std::min(b, next);
      found.push_back({SpacePiece::arc(ring, {from, to}), isHollow(u, (from + to) / 2, toward)});
      from = to;
    }
  }
}

/// Turns about the axis between which an outline seen aslant bends little.
std::vector<double> RoundFace::slantPlaces(double along_axis, double across,
                                           double toward_u) const {
  std::vector<double> places;
  const double low = domain_.low(0);
  const double high = domain_.high(0);
  const int around = chordSteps(radius_ + minor_, high - low, kOutlineSagittaMm);
  for (int i = 0; i <= around; ++i) {
    places.push_back(std::lerp(low, high, static_cast<double>(i) / around));
  }
  // Seen nearly from the side the tube's angle changes within little of the turn about the axis.
  const int tube = chordSteps(minor_, kHalfTurnRad, kOutlineSagittaMm);
  for (int i = 1; i < tube; ++i) {
    const double cosine =
        -along_axis / across * std::tan(-kHalfTurnRad / 2 + kHalfTurnRad * i / tube);
    if (std::abs(cosine) < 1) {
      for (double sign : {-1.0, 1.0}) {
        double u = toward_u + sign * std::acos(cosine);
        u += kTurnRad * std::ceil((low - u) / kTurnRad);
        if (u < high) {
          places.push_back(u);
        }
      }
    }
  }
  std::sort(places.begin(), places.end());
  return places;
}

/// Seen aslant: for every place about the axis there is one place of the tube on each branch.
void RoundFace::addSlantOutline(double branch, const Vec3& toward,
                                std::vector<OutlinePiece>& found) const {
  const double along_axis = dot(z_, toward);
  const double across = std::hypot(dot(x_, toward), dot(y_, toward));
  const double toward_u = std::atan2(dot(y_, toward), dot(x_, toward));
  const auto tubeAngle = [&](double u) {
    return branch + std::atan(-across * std::cos(u - toward_u) / along_axis);
  };
  const auto isIn = [&](double u) { return domain_.contains(u, ownV(tubeAngle(u))); };
  const auto borderBetween = [&](double in, double out) {
    constexpr int kHalvings = 40;
    for (int i = 0; i < kHalvings; ++i) {
      const double middle = (in + out) / 2;
      (isIn(middle) ? in : out) = middle;
    }
    return in;
  };
  const std::vector<double> places = slantPlaces(along_axis, across, toward_u);
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    double from = places[i];
    double to = places[i + 1];
    const bool from_in = isIn(from);
    const bool to_in = isIn(to);
    if (!from_in && !to_in) {
      continue;
    }
    if (!from_in) {
      from = borderBetween(to, from);
    } else if (!to_in) {
      to = borderBetween(from, to);
    }
    const double middle = (from + to) / 2;
    found.push_back(
        {SpacePiece::straight(pointAt(from, tubeAngle(from)), pointAt(to, tubeAngle(to))),
         isHollow(middle, tubeAngle(middle), toward)});
  }
}

}  // namespace leafstack
