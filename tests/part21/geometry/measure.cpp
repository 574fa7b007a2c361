#include <algorithm>
#include <cstdio>
#include <optional>

#include "tests/part21/brep.h"
#include "tests/part21/geometry/curve.h"
#include "tests/part21/geometry/surface.h"

namespace leafstack::part21 {
namespace {

// A vertex nearer to a surface's axis than this sits at the pole: far above rounding of coordinates
// of some metres, far below any radius.
constexpr double kAtPoleMm = 1e-6;
// Angles closer than this are the same angle.
constexpr double kSameAngle = 1e-9;
// A face smaller than this part of its whole closed surface is rounding, not a face.
constexpr double kNoAreaShare = 1e-9;
// Normals of a closed surface add up to nothing; what is left over may not exceed this part of the
// area. Intersection curves approximated to 1e-5 mm or so leave about 1e-8.
constexpr double kOpenAreaShare = 1e-6;

struct Sums {
  double area = 0, volume = 0;
  Vec3 moment{}, normal{};

  void add(double weight, const Sums& other) {
    area += weight * other.area;
    volume += weight * other.volume;
    moment = moment + weight * other.moment;
    normal = normal + weight * other.normal;
  }
};

// A point of a face's boundary in the surface's parameters, with the step it stands for.
struct Sample {
  Parameters at;
  double du = 0, dv = 0;
};

struct Path {
  std::vector<Sample> samples;
  int turns_u = 0, turns_v = 0;
};

struct Span {
  double from = 0, to = 0;
};

double nearest(double value, double reference, double period) {
  return period == 0 ? value : value + period * std::round((reference - value) / period);
}

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.3g", value);
  return text;
}

// The geometry of one edge, in the direction it is used.
class Edge {
 public:
  Edge(const File& file, const EdgeUse& use, std::vector<std::string>& problems) {
    const Record& record = *file.find(use.edge)->record("EDGE_CURVE");
    curve_ = readCurve(file, parameter(record, 3));
    const auto start = vertex(file, parameter(record, 1));
    const auto end = vertex(file, parameter(record, 2));
    const std::string name = "edge #" + std::to_string(use.edge);
    if (!curve_ || !start || !end) {
      curve_.reset();
      problems.push_back(name + " lies on a curve that is not supported");
      return;
    }
    const bool along = parameter(record, 4).text == "T";
    span_ = spanOf(*start, *end, use.start == use.end, along);
    const double off =
        std::max(length(curve_->at(span_.from) - *start), length(curve_->at(span_.to) - *end));
    if (off > kOffGeometryMm)
      problems.push_back(name + " leaves its vertex by " + number(off) + " mm");
    if (along ? span_.to <= span_.from : span_.to >= span_.from)
      problems.push_back(name + " runs against its curve");
    if (!use.forward) std::swap(span_.from, span_.to);
  }

  bool supported() const { return curve_ != nullptr; }
  const Curve& curve() const { return *curve_; }
  Vec3 start() const { return curve_->at(span_.from); }
  std::vector<double> pieces() const { return curve_->pieces(span_.from, span_.to); }

 private:
  static std::optional<Vec3> vertex(const File& file, const Value& reference) {
    const Record* record = file.follow(reference, "VERTEX_POINT");
    return record == nullptr ? std::nullopt : readPoint(file, parameter(*record, 1));
  }

  Span spanOf(Vec3 start, Vec3 end, bool whole, bool along) const {
    Span span{curve_->parameterOf(start), curve_->parameterOf(end)};
    const double period = curve_->period();
    if (period == 0) return span;
    if (whole) span.to = span.from;
    if (along && span.to <= span.from) span.to += period;
    if (!along && span.to >= span.from) span.to -= period;
    return span;
  }

  std::unique_ptr<Curve> curve_;
  Span span_;
};

class FaceIntegral {
 public:
  FaceIntegral(const File& file, const Face& face, Vec3 origin, Measure& result)
      : file_(file), face_(face), origin_(origin), result_(result) {}

  // False where the face cannot be measured; the reason is then among the problems.
  bool run(Sums& total) {
    surface_ = readSurface(file_, referenceTo(face_.surface));
    if (!surface_) return fail("lies on a surface that is not supported: " + surfaceName());
    sign_ = face_.same_sense ? 1 : -1;
    std::vector<Path> paths;
    for (const auto& loop : face_.loops)
      if (!trace(loop, paths.emplace_back())) return fail("has an edge that is not supported");
    Sums sums;
    if (!integrate(paths, sums)) return fail("winds round its surface both ways");
    if (surface_->isClosed()) completeClosed(sums);
    if (off_ > kOffGeometryMm) problem("is left by an edge by " + number(off_) + " mm");
    if (sums.area <= 0) problem("has a boundary that runs the wrong way round");
    total.area += sums.area;
    total.volume += sign_ * sums.volume;
    total.moment = total.moment + sign_ * sums.moment;
    total.normal = total.normal + sign_ * sums.normal;
    return true;
  }

 private:
  static Value referenceTo(long id) {
    Value value;
    value.kind = Value::Kind::kReference;
    value.id = id;
    return value;
  }
  std::string surfaceName() const {
    const Instance* instance = file_.find(face_.surface);
    return instance == nullptr ? "none" : instance->typeName();
  }
  void problem(const std::string& text) {
    result_.problems.push_back("face #" + std::to_string(face_.id) + " " + text);
  }
  bool fail(const std::string& text) {
    problem(text);
    return false;
  }

  bool atPole(Parameters p) const {
    return !surface_->poles().empty() && length(surface_->alongU(p)) < kAtPoleMm;
  }

  bool trace(const std::vector<EdgeUse>& loop, Path& path) {
    std::vector<Edge> edges;
    for (const EdgeUse& use : loop) edges.emplace_back(file_, use, result_.problems);
    for (const Edge& edge : edges)
      if (!edge.supported()) return false;
    for (const Edge& edge : edges) {
      if (atPole(surface_->parametersOf(edge.start())) && !path.samples.empty())
        turnAtPole(edge, path);
      for (std::size_t i = 0; i + 1 < edge.pieces().size(); ++i)
        tracePiece(edge.curve(), {edge.pieces()[i], edge.pieces()[i + 1]}, path);
    }
    if (path.samples.empty()) return true;
    if (atPole(surface_->parametersOf(edges.front().start()))) turnAtPole(edges.front(), path);
    const Parameters first = path.samples.front().at, last = path.samples.back().at;
    path.turns_u = turns(first.u, last.u, surface_->periodU());
    path.turns_v = turns(first.v, last.v, surface_->periodV());
    return true;
  }

  static int turns(double first, double last, double period) {
    if (period == 0) return 0;
    return static_cast<int>(std::lround((nearest(first, last, period) - first) / period));
  }

  void tracePiece(const Curve& curve, Span span, Path& path) {
    forGaussPoints(span.from, span.to, [&](double t, double weight) {
      const Vec3 point = curve.at(t), step = weight * curve.derivative(t);
      Sample sample;
      sample.at = surface_->parametersOf(point);
      off_ = std::max(off_, length(surface_->at(sample.at) - point));
      if (!path.samples.empty()) {
        const Parameters before = path.samples.back().at;
        sample.at.u = nearest(sample.at.u, before.u, surface_->periodU());
        sample.at.v = nearest(sample.at.v, before.v, surface_->periodV());
      }
      const Vec3 u = surface_->alongU(sample.at), v = surface_->alongV(sample.at);
      const double uu = dot(u, u), uv = dot(u, v), vv = dot(v, v);
      const double determinant = uu * vv - uv * uv;
      sample.du = (dot(step, u) * vv - dot(step, v) * uv) / determinant;
      sample.dv = (dot(step, v) * uu - dot(step, u) * uv) / determinant;
      path.samples.push_back(sample);
    });
  }

  // A boundary that reaches a pole (along a meridian) goes on from there at another u: in the
  // parameters it runs along the pole's line, with the face on its left.
  void turnAtPole(const Edge& next, Path& path) {
    const Parameters before = path.samples.back().at;
    const std::vector<double> cuts = next.pieces();
    const Vec3 ahead = next.curve().at((cuts[0] + cuts[1]) / 2);
    const double v = surface_->parametersOf(next.start()).v;
    const double direction = (before.v > v ? 1 : -1) * sign_;  // +u where the face lies above
    double angle = surface_->parametersOf(ahead).u - before.u;
    angle -= surface_->periodU() * std::floor(angle / surface_->periodU());
    if (angle < kSameAngle) angle += surface_->periodU();
    if (direction < 0) angle -= surface_->periodU();
    if (direction < 0 && angle > -kSameAngle) angle -= surface_->periodU();
    const std::vector<double> turn =
        equalPieces(before.u, before.u + angle, surface_->longestStep().u);
    for (std::size_t i = 0; i + 1 < turn.size(); ++i)
      forGaussPoints(turn[i], turn[i + 1], [&](double u, double weight) {
        path.samples.push_back({{u, v}, weight, 0});
      });
  }

  Sums integrand(Parameters p) const {
    const Vec3 at = surface_->at(p) - origin_;
    const Vec3 n = cross(surface_->alongU(p), surface_->alongV(p));
    Sums sums;
    sums.area = length(n);
    sums.volume = dot(at, n) / 3;
    sums.moment = {at.x * at.x * n.x / 2, at.y * at.y * n.y / 2, at.z * at.z * n.z / 2};
    sums.normal = n;
    return sums;
  }

  Sums alongV(double u, Span v) const {
    Sums sums;
    const std::vector<double> cuts = equalPieces(v.from, v.to, surface_->longestStep().v);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
      forGaussPoints(cuts[i], cuts[i + 1], [&](double t, double weight) {
        sums.add(weight, integrand({u, t}));
      });
    return sums;
  }

  Sums alongU(double v, Span u) const {
    Sums sums;
    const std::vector<double> cuts = equalPieces(u.from, u.to, surface_->longestStep().u);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
      forGaussPoints(cuts[i], cuts[i + 1], [&](double t, double weight) {
        sums.add(weight, integrand({t, v}));
      });
    return sums;
  }

  // Green's theorem: the integral of f over the face is that of -(f summed over v) du, or of
  // (f summed over u) dv, along its boundary. The sums' lower end is free where the boundary's
  // turns cancel; where they do not, the face holds a pole, and the sums start there.
  bool integrate(const std::vector<Path>& paths, Sums& sums) const {
    int turns_u = 0;
    bool any_u = false, any_v = false;
    Parameters base{};
    for (const Path& path : paths) {
      turns_u += path.turns_u;
      any_u = any_u || path.turns_u != 0;
      any_v = any_v || path.turns_v != 0;
      if (!path.samples.empty()) base = path.samples.front().at;
    }
    if (any_u && any_v) return false;
    if (turns_u != 0) {
      const std::vector<double> poles = surface_->poles();
      if (poles.empty()) return false;
      base.v = turns_u * sign_ > 0 ? poles.back() : poles.front();
    }
    for (const Path& path : paths)
      for (const Sample& sample : path.samples) {
        if (any_v) {
          sums.add(sign_ * sample.dv, alongU(sample.at.v, {base.u, sample.at.u}));
        } else {
          sums.add(-sign_ * sample.du, alongV(sample.at.u, {base.v, sample.at.v}));
        }
      }
    return true;
  }

  // On a surface without a rim a boundary bounds either side, and seams may be listed either way
  // round: what comes out may be short by the whole surface, or twice that.
  void completeClosed(Sums& sums) const {
    const Sums whole = wholeSurface();
    for (int i = 0; i < 2 && sums.area <= kNoAreaShare * whole.area; ++i) sums.add(1, whole);
  }

  Sums wholeSurface() const {
    const std::vector<double> poles = surface_->poles();
    const Span v = poles.empty() ? Span{0, surface_->periodV()} : Span{poles.front(), poles.back()};
    Sums sums;
    const std::vector<double> cuts = equalPieces(0, surface_->periodU(), surface_->longestStep().u);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
      forGaussPoints(cuts[i], cuts[i + 1],
                     [&](double u, double weight) { sums.add(weight, alongV(u, v)); });
    return sums;
  }

  const File& file_;
  const Face& face_;
  Vec3 origin_;
  Measure& result_;
  std::unique_ptr<Surface> surface_;
  double sign_ = 1;
  double off_ = 0;
};

// Some point of the solid: integrals about it lose no digits to a far origin.
Vec3 anyVertex(const File& file, const Solid& solid) {
  for (const Face& face : solid.faces)
    for (const auto& loop : face.loops)
      for (const EdgeUse& use : loop) {
        const Record* record = file.find(use.start)->record("VERTEX_POINT");
        if (record == nullptr) continue;
        if (const auto point = readPoint(file, parameter(*record, 1))) return *point;
      }
  return {};
}

}  // namespace

Measure measure(const File& file, const Solid& solid) {
  Measure result;
  if (!solid.problems.empty()) {
    result.problems.push_back("not measured: its topology is damaged");
    return result;
  }
  const Vec3 origin = anyVertex(file, solid);
  Sums total;
  result.computed = true;
  for (const Face& face : solid.faces)
    if (!FaceIntegral(file, face, origin, result).run(total)) result.computed = false;
  if (!result.computed) {
    result.problems.push_back("volume not computed");
    return result;
  }
  result.area = total.area;
  result.volume = total.volume;
  if (total.volume <= 0) result.problems.push_back("is inside out: its volume is not positive");
  if (length(total.normal) > kOpenAreaShare * total.area)
    result.problems.push_back("its faces do not close: their normals leave " +
                              number(length(total.normal)) + " mm2");
  if (total.volume != 0) result.centroid = origin + (1 / total.volume) * total.moment;
  return result;
}

}  // namespace leafstack::part21
