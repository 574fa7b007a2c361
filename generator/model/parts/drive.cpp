// Pinion, motor envelope and packer.
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "params/catalogue/bars.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

TopoDS_Shape pinionSolid(const HardwareSpec& shelf) {
  const double tip = pinionPitchRadiusMm(shelf) + shelf.rack.module_mm;
  const double shaft = shelf.motor.pinion_shaft_mm / 2;
  const double wide = shelf.motor.pinion_width_mm;
  const double to_motor = shelf.motor.offset_mm - shelf.motor.pinion_offset_mm;
  return revolution(
      Plane::kXZ,
      Outline::polygon(
          {{0, 0}, {tip, 0}, {tip, wide}, {shaft, wide}, {shaft, to_motor}, {0, to_motor}}));
}

int addPinion(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const int part = builder.part({PartKind::kPinion,
                                 "module " + shown(shelf.rack.module_mm) + ", " +
                                     shown(shelf.motor.pinion_teeth) + " teeth (to the tip circle)",
                                 shelf.motor.pinion_width_mm},
                                {}, [shelf] { return pinionSolid(shelf); });
  const Layout& layout = builder.layout();
  return builder.place(part, 0,
                       {layout.pinion_mm,
                        panel.origin_mm[1] + panel.depth_mm + layout.stack.drive_out_mm +
                            shelf.motor.pinion_offset_mm,
                        pinionZ(layout)});
}

/// A packer seen from above, with the holes of its anchors.
struct PackerPlan {
  double length_mm = 0, wide_mm = 0;
  double hole_mm = 0;
  std::vector<Point2> holes = {};

  std::vector<double> figures(double thick) const {
    std::vector<double> figures = {length_mm, thick};
    for (const Point2& at : holes) {
      figures.insert(figures.end(), {at.a, at.b, hole_mm});
    }
    return figures;
  }
};

/// Plates and shims on each other under one foot, from the lowest. What is thinner than a shim is
/// left open.
std::vector<int> addStack(ModelBuilder& builder, const Point3& low, const PackerPlan& plan,
                          double height) {
  const double length = plan.length_mm, wide = plan.wide_mm;
  std::vector<int> stack;
  double z = low[2];
  for (const double thick : platesToHeight_mm(height)) {
    PartSpec spec{PartKind::kMotorPacker, "plate " + sizes({length, wide, thick}), length};
    if (isShim(thick)) {
      spec.section.words = "strip " + sizes({length, wide, thick});
      spec = std::move(spec).called("motor shim").from(Supply::kBought);
    }
    spec.cutouts.push_back(std::to_string(plan.holes.size()) + " drilled dia " +
                           shown(plan.hole_mm) + " for the motor's anchors");
    const int part = builder.part(spec, plan.figures(thick), [=] {
      std::vector<Outline> holes;
      for (const Point2& at : plan.holes) {
        holes.push_back(Outline::circle(at, plan.hole_mm / 2));
      }
      return prism(Plane::kXY, Outline::rectangle({0, 0}, {length, wide}), holes, {0, thick});
    });
    const int plate = builder.place(part, 0, {low[0], low[1], z});
    if (!stack.empty()) {
      builder.contact(plate, stack.back(), ContactKind::kBolted,
                      "the motor's anchors go through both");
    }
    stack.push_back(plate);
    z += thick;
  }
  return stack;
}

/// Through the motor's feet and what packs them, into the footing.
void addMotorAnchors(ModelBuilder& builder, const Point3& base, int motor,
                     const std::vector<int>& packers) {
  constexpr double kFootMm = 10;  // of the motor's base. Common practice, no source
  const HardwareSpec& shelf = builder.hardware();
  const double thread = shelf.motor.feet_bolt_mm;
  const double slope = footingSlope(builder, kRearStrip, builder.layout().pinion_mm).grade;
  for (const auto& [x, y] : motorAnchors(builder.spec(), builder.layout())) {
    AnchorSizes sizes{threadClass(thread).hole_mm};
    sizes.plate_mm = kFootMm + base[2] - footingZ(builder.spec(), builder.layout(), kRearStrip, x);
    sizes.short_mm = thread / 2 * std::abs(slope);  // its end is square
    sizes.foot_mm = kFootMm;
    const int stud = addAnchor(builder, sizes, {motor, -1, "the anchor holds the motor"},
                               {{x, y, base[2] + kFootMm}, {0, 0, 1}});
    for (const int packer : packers) {
      const gp_XYZ& at = builder.instance(packer).at_closed.Transformation().TranslationPart();
      if (at.Y() < y && y < at.Y() + shelf.motor.packer_width_mm) {
        builder.contact(stud, packer, ContactKind::kBolted, "the anchor goes through the packer",
                        sizes.hole_mm - thread);
      }
    }
  }
}

/// Under the motor's feet, front and back. On a slope they are wedges, for the motor stands level:
/// two plates on edge each, under the edges of the foot, its anchors between them. Returns what
/// the anchors go through.
std::vector<int> addMotorPackers(ModelBuilder& builder, const Point3& base, double length,
                                 int motor) {
  const HardwareSpec& shelf = builder.hardware();
  const MotorPacking packing = motorPacking(builder.spec(), builder.layout());
  if (packing.most() < kLeastShim_mm) {
    return {};
  }
  const double wide = shelf.motor.packer_width_mm;
  const double near = packing.near_mm;
  const double far = packing.far_mm;
  const char* const kReason = "the motor is bolted to its packers";
  const std::array<double, 2> rows = motorAnchorRows(shelf);
  const double middle = shelf.motor.depth_mm / 2;
  // About their anchors, and beside each other where those are close.
  const double starts[] = {std::min(rows[0] - wide / 2, middle - wide),
                           std::max(rows[1] - wide / 2, middle)};
  std::vector<int> drilled;
  for (const int row : {0, 1}) {
    const Point3 at = {base[0], base[1] + starts[row], base[2]};
    if (packing.isFlat()) {
      PackerPlan plan{length, wide, threadClass(shelf.motor.feet_bolt_mm).hole_mm};
      for (const auto& [x, y] : motorAnchors(builder.spec(), builder.layout())) {
        if (std::abs(y - base[1] - rows[row]) < kLengthEqualMm) {
          plan.holes.push_back({x - at[0], y - at[1]});
        }
      }
      const std::vector<int> stack = addStack(builder, {at[0], at[1], at[2] - near}, plan, near);
      builder.contact(motor, stack.back(), ContactKind::kBolted, kReason, kLeastShim_mm);
      drilled.insert(drilled.end(), stack.begin(), stack.end());
      continue;
    }
    const double thick = plateNoThicker_mm(wide / 4);
    const double high = std::max(near, far);
    PartSpec spec{PartKind::kMotorPacker, "plate " + sizes({length, high, thick}), length};
    std::string words = "on edge: ";
    const std::optional<SolidBar> bar = high < thick ? barFor(thick, high) : std::nullopt;
    if (bar) {  // no plate is cut to less than it is thick
      spec.section.words = "flat " + sizes({bar->larger_mm, bar->smaller_mm});
      words = "a wedge " + shown(thick) + " wide, milled: ";
    }
    spec.cutouts.push_back(words + shown(near) + " high at the driveway end, " + shown(far) +
                           " at the other");
    const int part = builder.part(spec, {length, near, far}, [=] {
      return prism(Plane::kXZ, Outline::polygon({{0, -near}, {length, -far}, {length, 0}, {0, 0}}),
                   {0, thick});
    });
    for (const double across : {0.0, wide - thick}) {
      const int plate = builder.place(part, 0, {at[0], at[1] + across, at[2]});
      builder.contact(motor, plate, ContactKind::kBolted, kReason);
    }
  }
  return drilled;
}

void addMotor(ModelBuilder& builder, const PanelFrame& panel, int pinion) {
  const HardwareSpec& shelf = builder.hardware();
  const MotorSpec& spec = builder.spec().drive.motor;
  const gp_XYZ axis = builder.instance(pinion).at_closed.Transformation().TranslationPart();
  // Its feet stand where they are; the body goes up and down on them.
  const auto body = [=](double over_mm) {
    return box({0, 0, 0}, {spec.length_mm, shelf.motor.depth_mm, shelf.motor.height_mm + over_mm});
  };
  const PartSpec what =
      PartSpec{PartKind::kMotor,
               sizes({spec.length_mm, shelf.motor.depth_mm, shelf.motor.height_mm}), spec.length_mm}
          .called(spec.name + " motor (envelope)");
  const double band = shelf.motor.adjust_mm;
  const int part =
      band > 0 ? builder.adjustablePart(
                     what, {spec.length_mm}, [=] { return body(0); }, [=] { return body(band); })
               : builder.part(what, {spec.length_mm}, [=] { return body(0); });
  const Point3 base = {
      axis.X() - spec.length_mm / 2,
      panel.origin_mm[1] + panel.depth_mm + builder.layout().stack.drive_out_mm +
          shelf.motor.offset_mm,
      axis.Z() - shelf.motor.pinion_up_mm - builder.layout().heights.motor_raise_mm};
  const int motor = builder.place(part, 0, base);
  builder.contact(motor, pinion, ContactKind::kBearing, "the pinion sits on the motor's shaft");
  addMotorAnchors(builder, base, motor, addMotorPackers(builder, base, spec.length_mm, motor));
}

}  // namespace

void addDrive(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = builder.panel(1);
  const std::vector<int> racks = addRack(builder, panel);
  const int pinion = addPinion(builder, panel);
  for (int rack : racks) {
    // Both are drawn to their tooth tips, so in mesh they overlap by the working depth.
    builder
        .contact(rack, pinion, ContactKind::kMesh, "the pinion's teeth enter the rack's", 0,
                 2 * shelf.rack.module_mm)
        .engagements = {{pinion, kAlongX, 0}};
  }
  addMotor(builder, panel, pinion);
}

}  // namespace leafstack
