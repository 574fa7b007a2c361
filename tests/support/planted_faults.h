// Faults planted in sound gates, each with the stretch of travel over which it must be found.
//
// A fault is a part too many, or a post moved: where it meets its victim follows from the layout by
// plain arithmetic (two intervals that pass each other at a known speed), never from the check.
#pragma once

#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>

#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Trsf.hxx>
#include <numbers>
#include <random>
#include <string>

#include "generator/model/model.h"
#include "generator/occt/checked.h"

namespace leafstack::faults {

/// What was planted, and the truth about it.
struct Planted {
  std::string what;
  std::string mark;    ///< of the part at fault
  std::string victim;  ///< mark of what it runs into
  int panel = 0, victim_panel = 0;
  double from_mm = 0, to_mm = 0;
  double volume_mm3 = 0;  ///< shared where the fault is wholly in; 0 where no plain formula tells
};

inline constexpr const char* kFaultMark = "ZZ1";
inline constexpr const char* kTargetMark = "ZZ2";

/// The model with a box that stands still, its middle there: no fault of any kind above.
inline Model withBox(Model model, const Vec3& size_mm, const gp_Vec& middle) {
  const auto [a, b, c] = size_mm;
  Part part;
  part.kind = PartKind::kBasePlate;
  part.mark = kFaultMark;
  part.name = "planted";
  part.solid = BRepPrimAPI_MakeBox(gp_Pnt(-a / 2, -b / 2, -c / 2), a, b, c).Shape();
  part.bounds = {{-a / 2, -b / 2, -c / 2}, {a / 2, b / 2, c / 2}};
  part.volume_mm3 = a * b * c;
  gp_Trsf there;
  there.SetTranslation(middle);
  Instance instance;
  instance.part = static_cast<int>(model.parts.size());
  instance.at_closed = TopLoc_Location(there);
  instance.bounds = movedBounds(part.bounds, instance.at_closed);
  model.parts.push_back(std::move(part));
  model.instances.push_back(instance);
  return model;
}

class Planter {
 public:
  Planter(Model& model, unsigned seed) : model_(model), engine_(seed) {}

  /// One fault, of the kind `seed` chooses among those this gate can have.
  Planted plant(unsigned kind) {
    const int panels = model_.layout.panel_count;
    switch (panels > 1 ? kind % 6 : 3 + kind % 3) {
      case 0:
        return longBolt();
      case 1:
        return proudBoard();
      case 2:
        return highPulley();
      case 3:
        return movedPost();
      case 4:
        return briefClash();
      default:
        return panels > 1 ? longBracket() : movedPost();
    }
  }

 private:
  struct Span {
    double low = 0, high = 0;
  };

  double share() { return static_cast<double>(engine_() % 1000) / 1000; }
  /// Some way into the travel, away from both ends.
  double somewhere() { return model_.layout.drive_travel_mm * (0.2 + 0.6 * share()); }

  int find(PartKind kind, int panel) const {
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      const Instance& one = model_.instances[i];
      if (one.panel == panel && model_.parts[one.part].kind == kind) {
        return i;
      }
    }
    throw std::logic_error("no such instance");
  }
  const std::string& markOf(int instance) const {
    return model_.parts[model_.instances[instance].part].mark;
  }
  double speed(int panel, int relative_to) const {
    return model_.shiftMm(panel, 1) - model_.shiftMm(relative_to, 1);
  }

  /// Adds a part of its own, already where it stands at closed.
  void add(const TopoDS_Shape& solid, PartKind kind, const char* name, const char* mark,
           int panel) {
    Part part;
    part.kind = kind;
    part.supply = Supply::kBought;
    part.mark = mark;
    part.name = name;
    part.material = "steel";
    part.solid = closedSolid(solid, mark);
    part.bounds = tightBounds(part.solid);
    part.volume_mm3 = massProperties(part.solid).volume_mm3;
    Instance instance;
    instance.part = static_cast<int>(model_.parts.size());
    instance.panel = panel;
    instance.body = panel;
    instance.bounds = part.bounds;
    model_.parts.push_back(part);
    model_.instances.push_back(instance);
  }

  static TopoDS_Shape boxOf(const Span& x, const Span& y, const Span& z) {
    return BRepPrimAPI_MakeBox(gp_Pnt(x.low, y.low, z.low), gp_Pnt(x.high, y.high, z.high)).Solid();
  }

  /// Drive travel over which `moving`, carried at `per_mm`, overlaps `still`.
  Span meeting(const Span& moving, const Span& still, double per_mm) const {
    const auto [from, to] =
        std::minmax({(still.low - moving.high) / per_mm, (still.high - moving.low) / per_mm});
    return {std::max(0.0, from), std::min(model_.layout.drive_travel_mm, to)};
  }
  Span along(int instance) const {
    const Bounds& box = model_.instances[instance].bounds;
    return {box.low[0], box.high[0]};
  }

  /// X at closed, on panel `on`, that an end of `victim` passes at drive travel `at`.
  double whereEndPasses(int victim, int on, double at) {
    const Span rail = along(victim);
    const double per_mm = speed(model_.instances[victim].panel, on);
    // The end that is over the carrier's length: the leading one when opening, seen in the model.
    const double end = model_.opening_sign > 0 ? rail.low : rail.high;
    return end + per_mm * at;
  }

  Planted about(const char* what, int victim, int panel, const Span& met, double volume) const {
    return {what,    kFaultMark, markOf(victim), panel, model_.instances[victim].panel,
            met.low, met.high,   volume};
  }

  /// A bolt on panel k that reaches through the standing leg of the guide rail before it.
  Planted longBolt() {
    const int carrier = model_.layout.panel_count - 1;
    const int rail = find(PartKind::kGuideRail, carrier + 1);
    const Bounds leg = model_.instances[rail].bounds;
    const double radius = 4 + 4 * share();
    const double x = whereEndPasses(rail, carrier, somewhere());
    const double z = (leg.low[2] + leg.high[2]) / 2;
    // Half way through the leg from behind.
    const double tip = leg.high[1] - 2;
    const double root = model_.instances[find(PartKind::kTopRail, carrier)].bounds.low[1] - 0.5;
    add(BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, tip, z), gp::DY()), radius, root - tip).Solid(),
        PartKind::kPulleyPin, "bolt", kFaultMark, carrier);
    const Span met = meeting(along(rail), {x - radius, x + radius}, speed(carrier + 1, carrier));
    return about("bolt too long", rail, carrier, met, std::numbers::pi * radius * radius * 2);
  }

  /// A board on panel k so proud that it stands in the guide rail before it.
  Planted proudBoard() {
    const int carrier = 1;
    const int rail = find(PartKind::kGuideRail, carrier + 1);
    const Bounds leg = model_.instances[rail].bounds;
    const double half = 40 + 40 * share();
    const double x = whereEndPasses(rail, carrier, somewhere());
    const double front = leg.high[1] - 1.5;
    const double root = model_.instances[find(PartKind::kTopRail, carrier)].bounds.low[1] - 0.5;
    add(boxOf({x - half, x + half}, {front, root}, {leg.low[2] - 200, leg.high[2] - 1}),
        PartKind::kBoard, "board", kFaultMark, carrier);
    const Span met = meeting(along(rail), {x - half, x + half}, speed(carrier + 1, carrier));
    const double height = leg.high[2] - 1 - leg.low[2];
    return about("board proud", rail, carrier, met, 2 * half * 1.5 * height);
  }

  /// A pulley that stands at the height of the guide rail before it, and reaches into its leg.
  Planted highPulley() {
    const int carrier = model_.layout.panel_count - 1;
    const int rail = find(PartKind::kGuideRail, carrier + 1);
    const Bounds leg = model_.instances[rail].bounds;
    const double radius = 40;
    const double x = whereEndPasses(rail, carrier, somewhere());
    const double z = (leg.low[2] + leg.high[2]) / 2;
    const double centre_y = leg.high[1] - 2 + radius;
    // Where the circle cuts the leg's rear face.
    const double half = std::sqrt(radius * radius - (radius - 2) * (radius - 2));
    add(BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, centre_y, z - 3), gp::DZ()), radius, 6).Solid(),
        PartKind::kPulley, "pulley", kFaultMark, carrier);
    const Span met = meeting(along(rail), {x - half, x + half}, speed(carrier + 1, carrier));
    // A circle's segment, 2 high, times the pulley's thickness.
    const double segment = radius * radius * std::acos((radius - 2) / radius) - (radius - 2) * half;
    return about("pulley at the wrong height", rail, carrier, met, 6 * segment);
  }

  /// A bracket on panel 2's rear that reaches into panel 1's bottom rail.
  Planted longBracket() {
    const int rail = find(PartKind::kBottomRail, 1);
    const Bounds wall = model_.instances[rail].bounds;
    const double height = wall.high[2] - wall.low[2];
    const double half = 12;
    // In the flat of the wall, above slots and axles.
    const double z = wall.low[2] + height - 18;
    const double root = model_.instances[find(PartKind::kBottomRail, 2)].bounds.high[1] + 0.5;
    const double at = somewhere();
    const double per_mm = speed(2, 1);
    // Stands so that it meets the rail's end at `at`: the end it comes from or leaves by.
    const double end = per_mm > 0 ? along(rail).low - half : along(rail).high + half;
    const double centre = end - per_mm * at;
    add(boxOf({centre - half, centre + half}, {root, wall.low[1] + 1}, {z, z + 4}),
        PartKind::kFrontBracket, "bracket", kFaultMark, 2);
    const Span met = meeting({centre - half, centre + half}, along(rail), per_mm);
    return about("bracket too long", rail, 2, met, 2 * half * 1 * 4);
  }

  /// The storage-side fence post stands 2 mm into the front panel's bottom rail.
  Planted movedPost() {
    const int front = model_.layout.panel_count;
    const int rail = find(PartKind::kBottomRail, front);
    int post = -1;
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      const Instance& one = model_.instances[i];
      const bool is_post = model_.parts[one.part].kind == PartKind::kFencePost;
      const double middle = (one.bounds.low[0] + one.bounds.high[0]) / 2;
      post = is_post && model_.opening_sign * middle > 0.5 * model_.layout.opening_mm ? i : post;
    }
    const double by =
        model_.instances[rail].bounds.low[1] + 2 - model_.instances[post].bounds.high[1];
    gp_Trsf move;
    move.SetTranslation(gp_Vec(0, by, 0));
    Instance& moved = model_.instances[post];
    moved.at_closed = TopLoc_Location(move * moved.at_closed.Transformation());
    moved.bounds.low[1] += by;
    moved.bounds.high[1] += by;
    const Span met = meeting(along(rail), along(post), model_.shiftMm(front, 1));
    return {"post moved", markOf(rail), markOf(post), front, 0, met.low, met.high, 0};
  }

  /// Two fins above the gate, 2 mm wide where they meet, for 0.5 mm of travel.
  Planted briefClash() {
    const int panel = 1 + static_cast<int>(engine_() % model_.layout.panel_count);
    const Bounds frame = model_.instances[find(PartKind::kTopRail, panel)].bounds;
    const double top = model_.layout.heights.top_mm + 40;
    const double y = (frame.low[1] + frame.high[1]) / 2;
    const double per_mm = model_.shiftMm(panel, 1);
    const double lasts = 0.5 * std::abs(per_mm);
    const Span still{model_.opening_sign * model_.layout.opening_mm / 2,
                     model_.opening_sign * model_.layout.opening_mm / 2 + 0.6 * lasts};
    const double x = still.low - per_mm * somewhere();
    const Span moving{x, x + 0.4 * lasts};
    add(boxOf(moving, {y - 10, y + 1}, {top, top + 30}), PartKind::kPulleyPin, "fin", kFaultMark,
        panel);
    add(boxOf(still, {y - 1, y + 10}, {top + 10, top + 50}), PartKind::kMotorPacker, "fin",
        kTargetMark, 0);
    const Span met = meeting(moving, still, per_mm);
    return {"2 mm wide, 0.5 mm of travel", kFaultMark, kTargetMark, panel, 0, met.low, met.high,
            0.4 * lasts * 2 * 20};
  }

  Model& model_;
  std::mt19937 engine_;
};

}  // namespace leafstack::faults
