// Wheels in carriers bolted under the bottom rail. A carrier's own frame: its axle's middle, X
// along the rail, Y across, Z square to the rail.
#include <array>

#include "generator/layout/figures/carrier.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// Where the bolts are, from the middle of the plate.
std::array<Point2, 4> boltPlaces(const HardwareSpec& shelf) {
  const double x = shelf.wheel.bolt_pitch_mm / 2;
  const double y = shelf.wheel.bolt_gauge_mm / 2;
  return {Point2{-x, -y}, {x, -y}, {x, y}, {-x, y}};
}

/// A plate with the bolts' holes, from Z to Z.
TopoDS_Shape plateSolid(const HardwareSpec& shelf, const Extent& heights) {
  const double x = shelf.wheel.plate_length_mm / 2;
  const double y = shelf.wheel.plate_width_mm / 2;
  std::vector<Outline> holes;
  for (const Point2& at : boltPlaces(shelf)) {
    holes.push_back(Outline::circle(at, threadClass(shelf.wheel.plate_bolt_mm).hole_mm / 2));
  }
  return prism(Plane::kXY, Outline::rectangle({-x, -y}, {x, y}), holes, heights);
}

TopoDS_Shape carrierSolid(const HardwareSpec& shelf) {
  const double under = plateUndersideMm(shelf) - shelf.wheel.axle_up_mm;
  const double low = cheekLowHalfMm(shelf);
  const double high = cheekHighHalfMm(shelf);
  const Outline side = Outline::polygon({{-low, -low}, {low, -low}, {high, under}, {-high, under}});
  const std::vector<Outline> bore = {Outline::circle({0, 0}, axleHoleMm(shelf) / 2)};
  const double outer = cheekHalfWidthMm(shelf);
  const double inner = outer - shelf.wheel.cheek_mm;
  const TopoDS_Shape plate = plateSolid(shelf, {under, under + shelf.wheel.plate_mm});
  const TopoDS_Shape near = prism(Plane::kXZ, side, bore, {-outer, -inner});
  const TopoDS_Shape far = prism(Plane::kXZ, side, bore, {inner, outer});
  return fuse(fuse(plate, near), far);
}

/// Head below, Z 0 at its top; the thread as thick as the hole that it is cut in, from the rail up.
TopoDS_Shape carrierBoltSolid(const HardwareSpec& shelf, double thread_mm) {
  const ThreadClass& bolt = threadClass(shelf.wheel.plate_bolt_mm);
  const double grip = shelf.wheel.plate_mm + shelf.wheel.packing_mm;
  const double shank = shelf.wheel.plate_bolt_mm / 2;
  const double core = bolt.form_mm / 2;
  return revolution(Plane::kXY, Outline::polygon({{0, -bolt.head_mm},
                                                  {bolt.across_corners_mm / 2, -bolt.head_mm},
                                                  {bolt.across_corners_mm / 2, 0},
                                                  {shank, 0},
                                                  {shank, grip},
                                                  {core, grip},
                                                  {core, grip + thread_mm},
                                                  {0, grip + thread_mm}}));
}

struct CarrierParts {
  int carrier = 0, washer = 0, bolt = 0, packer = -1;
  ScrewSizes bolt_sizes;
};

CarrierParts carrierParts(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const WheelHardware& wheel = shelf.wheel;
  CarrierParts parts;
  parts.carrier = builder.part(
      {PartKind::kWheelCarrier,
       "plate " + sizes({wheel.plate_length_mm, wheel.plate_width_mm, wheel.plate_mm}) +
           ", cheeks " + shown(wheel.cheek_mm) + ", axle " +
           shown(-wheel.packing_mm - wheel.axle_up_mm) + " below its face",
       wheel.plate_length_mm},
      {}, [shelf] { return carrierSolid(shelf); });
  parts.washer =
      sleevePart(builder, Plane::kXZ, hw::kWheelPocketGapMm - kSleeveEndGapMm, wheel.axle_mm);
  const double grip = wheel.plate_mm + wheel.packing_mm;
  const double length = screwNoShorter_mm(grip + hw::kThreadWalls * panel.bottom_rail_wall_mm);
  const double thread = length - grip;
  parts.bolt = builder.part(
      {PartKind::kWheelBolt,
       "M" + shown(wheel.plate_bolt_mm) + "x" + shown(length) + ", hexagon head, ISO 4017", length},
      {length}, [=] { return carrierBoltSolid(shelf, thread); });
  parts.bolt_sizes = {ScrewKind::kHexagon, wheel.plate_bolt_mm, length, grip};
  if (wheel.packing_mm > 0) {
    parts.packer = builder.part(
        {PartKind::kWheelPacker,
         "plate " + sizes({wheel.plate_length_mm, wheel.plate_width_mm, wheel.packing_mm}),
         wheel.plate_length_mm},
        {}, [shelf] {
          return plateSolid(shelf, {0, shelf.wheel.packing_mm});
        });
  }
  return parts;
}

}  // namespace

void addCarrier(ModelBuilder& builder, const PanelFrame& panel, int wheel_part, double along_mm) {
  const HardwareSpec& shelf = builder.hardware();
  const CarrierParts parts = carrierParts(builder, panel);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  const Point3 axis = panel.at(along_mm, panel.depth_mm / 2, shelf.wheel.axle_up_mm);
  const auto from_axis = [&](double along, double across, double up) {
    return Point3{axis[0] + along * panel.slope.cosine - up * panel.slope.sine, axis[1] + across,
                  axis[2] + along * panel.slope.sine + up * panel.slope.cosine};
  };
  const auto place = [&](int part, const Point3& at) {
    return builder.place(part, panel.number, at, panel.slope);
  };
  const int carrier = place(parts.carrier, axis);
  const int wheel = builder.place(wheel_part, panel.number, axis);
  const double cheek = cheekHalfWidthMm(shelf);
  const int axle = addAxle(builder, panel.number, from_axis(0, -cheek, 0), 2 * cheek);
  builder.contact(axle, carrier, ContactKind::kBolted, "the axle goes through both cheeks",
                  hw::kHardwareClearanceMm);
  const double beside = shelf.wheel.width_mm / 2 + kSleeveEndGapMm / 2;
  const double washer_mm = hw::kWheelPocketGapMm - kSleeveEndGapMm;
  const int near = builder.place(parts.washer, panel.number, from_axis(0, -beside - washer_mm, 0));
  const int far = builder.place(parts.washer, panel.number, from_axis(0, beside, 0));
  for (int turning : {wheel, near, far}) {
    builder.contact(turning, axle, ContactKind::kBearing, "turns on its axle",
                    2 * hw::kPulleyBoreGapMm);
  }
  const double face = -shelf.wheel.axle_up_mm - shelf.wheel.packing_mm;
  int under = rail;
  if (parts.packer >= 0) {
    under = place(parts.packer, from_axis(0, 0, face));
    builder.contact(under, rail, ContactKind::kBolted, "the packer is bolted under the rail");
  }
  builder.contact(carrier, under, ContactKind::kBolted, "the carrier is bolted under the rail");
  for (const Point2& at : boltPlaces(shelf)) {
    const int bolt = place(parts.bolt, from_axis(at.a, at.b, face - shelf.wheel.plate_mm));
    builder.contact(bolt, carrier, ContactKind::kBolted, "the bolt holds the carrier");
    builder.contact(bolt, rail, ContactKind::kBolted, "the bolt's thread is in the rail's wall");
    noteScrew(builder, bolt, {0, 0, -1}, parts.bolt_sizes,
              {carrier, rail, "the carrier is bolted under the rail"});
    if (under != rail) {
      builder.contact(bolt, under, ContactKind::kBolted, "the bolt goes through the packer",
                      hw::kHardwareClearanceMm);
    }
  }
}

}  // namespace leafstack
