// Pickets, slats or sheet between a panel's rails and uprights; the return beside the back panel.
#include <algorithm>
#include <cmath>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

const std::string kWeldReason = "infill is welded to the frame";

void addPickets(ModelBuilder& builder, const PanelFrame& panel, const InfillSpace& space) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const HollowSection& section = infill.section;
  const double front = infillFrontMm(panel, section.depth_mm);
  for (const Bay& bay : space.bays) {
    const Spacing spacing = evenSpacing(bay.width_mm, section.height_mm, infill.gap_mm);
    for (int i = 0; i < spacing.count; ++i) {
      const int part = builder.part(
          {PartKind::kPicket, Supply::kCutTube, "picket", builder.frameMaterial(),
           section.designation, space.height_mm},
          {space.height_mm}, [&] { return hollowSection(Plane::kXY, section, space.height_mm); });
      const double x = bay.from_mm + spacing.gap_mm + i * (section.height_mm + spacing.gap_mm);
      const int picket = builder.place(
          part, panel.number, {panel.origin_mm[0] + x, panel.origin_mm[1] + front, space.low_z_mm});
      builder.joinTouching(picket, {PartKind::kBottomRail, PartKind::kTopRail},
                           ContactKind::kWelded, kWeldReason);
    }
  }
}

void addSlats(ModelBuilder& builder, const PanelFrame& panel, const InfillSpace& space) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const HollowSection& section = infill.section;
  const double front = infillFrontMm(panel, section.depth_mm);
  const Spacing spacing = evenSpacing(space.height_mm, section.height_mm, infill.gap_mm);
  for (const Bay& bay : space.bays) {
    for (int i = 0; i < spacing.count; ++i) {
      const int part = builder.part(
          {PartKind::kSlat, Supply::kCutTube, "slat", builder.frameMaterial(), section.designation,
           bay.width_mm},
          {bay.width_mm}, [&] { return hollowSection(Plane::kYZ, section, bay.width_mm); });
      const double z = space.low_z_mm + spacing.gap_mm + i * (section.height_mm + spacing.gap_mm);
      const int slat = builder.place(
          part, panel.number, {panel.origin_mm[0] + bay.from_mm, panel.origin_mm[1] + front, z});
      builder.joinTouching(slat, {PartKind::kStile, PartKind::kUpright}, ContactKind::kWelded,
                           kWeldReason);
    }
  }
}

void addSheet(ModelBuilder& builder, const PanelFrame& panel, const InfillSpace& space) {
  const double t = builder.spec().gate.infill.thickness_mm;
  const double front = infillFrontMm(panel, t);
  for (const Bay& bay : space.bays) {
    const int part =
        builder.part({PartKind::kSheet, Supply::kCutPlate, "infill sheet", builder.frameMaterial(),
                      "sheet " + sizes({space.height_mm, bay.width_mm, t}),
                      std::max(bay.width_mm, space.height_mm)},
                     {t, bay.width_mm, space.height_mm}, [&] {
                       return box({0, 0, 0}, {bay.width_mm, t, space.height_mm});
                     });
    const int sheet = builder.place(
        part, panel.number,
        {panel.origin_mm[0] + bay.from_mm, panel.origin_mm[1] + front, space.low_z_mm});
    builder.joinTouching(
        sheet, {PartKind::kStile, PartKind::kUpright, PartKind::kBottomRail, PartKind::kTopRail},
        ContactKind::kWelded, kWeldReason);
  }
}

/// The return's space: across the stack, from its own upright to panel 1's front face.
struct ReturnSpace {
  double x_centre_mm = 0;
  double from_y_mm = 0, to_y_mm = 0;
  double low_z_mm = 0, high_z_mm = 0;
};

constexpr double kReturnOverRailMm = 10;  // above the bottom rail, whose front strand passes below

ReturnSpace returnSpace(const ModelBuilder& builder) {
  const Layout& layout = builder.layout();
  const GateSpec& spec = builder.spec();
  ReturnSpace space;
  space.x_centre_mm = layout.return_start_mm + spec.gate.stile.height_mm / 2;
  space.from_y_mm = spec.site.fence_clearance_mm + spec.gate.stile.depth_mm;
  space.to_y_mm = layout.panel(1).front_y_mm;
  space.low_z_mm = layout.heights.underside_mm + layout.heights.rail_height_mm + kReturnOverRailMm;
  space.high_z_mm = layout.heights.top_mm;
  return space;
}

void addReturnUpright(ModelBuilder& builder, const ReturnSpace& space) {
  const HollowSection& section = builder.spec().gate.stile;
  const double height = space.high_z_mm - space.low_z_mm;
  const int part =
      builder.part({PartKind::kReturnUpright, Supply::kCutTube, "return upright",
                    builder.frameMaterial(), section.designation, height},
                   {height}, [&] { return hollowSection(Plane::kXY, section, height); });
  builder.place(part, 1,
                {space.x_centre_mm - section.height_mm / 2, builder.spec().site.fence_clearance_mm,
                 space.low_z_mm});
}

int placeAcross(ModelBuilder& builder, PartKind kind, const char* name, double z,
                const ReturnSpace& space) {
  const HollowSection& section = builder.spec().gate.infill.section;
  const double length = space.to_y_mm - space.from_y_mm;
  const int part = builder.part(
      {kind, Supply::kCutTube, name, builder.frameMaterial(), section.designation, length},
      {length, 0}, [&] { return hollowSection(Plane::kXZ, section, length); });
  const int instance =
      builder.place(part, 1, {space.x_centre_mm - section.depth_mm / 2, space.from_y_mm, z});
  builder.joinTouching(instance, {PartKind::kReturnUpright, PartKind::kStile, PartKind::kTopRail},
                       ContactKind::kWelded, "the return is welded to the back panel's stile");
  return instance;
}

void addReturnPickets(ModelBuilder& builder, const ReturnSpace& space) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const HollowSection& section = infill.section;
  const double low = space.low_z_mm + section.height_mm;
  const double height = space.high_z_mm - section.height_mm - low;
  const Spacing spacing =
      evenSpacing(space.to_y_mm - space.from_y_mm, section.depth_mm, infill.gap_mm);
  for (int i = 0; i < spacing.count; ++i) {
    const int part =
        builder.part({PartKind::kReturnInfill, Supply::kCutTube, "return picket",
                      builder.frameMaterial(), section.designation, height},
                     {height, 1}, [&] { return hollowSection(Plane::kXY, section, height); });
    const double y = space.from_y_mm + spacing.gap_mm + i * (section.depth_mm + spacing.gap_mm);
    const int picket = builder.place(part, 1, {space.x_centre_mm - section.height_mm / 2, y, low});
    builder.joinTouching(picket, {PartKind::kReturnRail}, ContactKind::kWelded, kWeldReason);
  }
}

void addReturnSlats(ModelBuilder& builder, const ReturnSpace& space) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const double size = infill.section.height_mm;
  const double low = space.low_z_mm + size;
  const double clear = space.high_z_mm - size - low;
  const Spacing spacing = evenSpacing(clear, size, infill.gap_mm);
  for (int i = 0; i < spacing.count; ++i) {
    placeAcross(builder, PartKind::kReturnInfill, "return slat",
                low + spacing.gap_mm + i * (size + spacing.gap_mm), space);
  }
}

void addReturnSheet(ModelBuilder& builder, const ReturnSpace& space) {
  const double t = builder.spec().gate.infill.thickness_mm;
  const double size = builder.spec().gate.infill.section.height_mm;
  const double low = space.low_z_mm + size;
  const double height = space.high_z_mm - size - low;
  const double length = space.to_y_mm - space.from_y_mm;
  const int part =
      builder.part({PartKind::kReturnInfill, Supply::kCutPlate, "return sheet",
                    builder.frameMaterial(), "sheet " + sizes({height, length, t}), height},
                   {t, length, height}, [&] {
                     return box({0, 0, 0}, {t, length, height});
                   });
  const int sheet = builder.place(part, 1, {space.x_centre_mm - t / 2, space.from_y_mm, low});
  builder.joinTouching(
      sheet,
      {PartKind::kReturnRail, PartKind::kReturnUpright, PartKind::kStile, PartKind::kTopRail},
      ContactKind::kWelded, kWeldReason);
}

}  // namespace

Spacing evenSpacing(double clear_mm, double bar_mm, double gap_mm) {
  if (clear_mm <= gap_mm) {
    return {};
  }
  Spacing spacing;
  spacing.count =
      static_cast<int>(std::ceil((clear_mm - gap_mm) / (bar_mm + gap_mm) - kLengthEqualMm));
  // A narrow space may not take that many bars side by side.
  spacing.count = std::min(spacing.count, static_cast<int>(clear_mm / bar_mm));
  spacing.gap_mm = (clear_mm - spacing.count * bar_mm) / (spacing.count + 1);
  return spacing;
}

double infillFrontMm(const PanelFrame& panel, double infill_depth_mm) {
  // A channel let into the frame pushes the infill back, clear of it.
  const double front =
      panel.channel_offset_mm < 0 ? -panel.channel_offset_mm + hw::kHardwareClearanceMm : 0.0;
  return (front + panel.depth_mm - infill_depth_mm) / 2;
}

void addInfill(ModelBuilder& builder, const PanelFrame& panel) {
  const InfillSpace space = infillSpace(builder, panel);
  switch (builder.spec().gate.infill.kind) {
    case InfillKind::kPickets:
      addPickets(builder, panel, space);
      break;
    case InfillKind::kSlats:
      addSlats(builder, panel, space);
      break;
    case InfillKind::kSheet:
      addSheet(builder, panel, space);
      break;
    case InfillKind::kOpen:
      break;
  }
}

void addReturn(ModelBuilder& builder) {
  if (!builder.spec().gate.has_return || builder.layout().panel_count < 2) {
    return;  // a single panel stands right behind the fence line
  }
  const ReturnSpace space = returnSpace(builder);
  const double size = builder.spec().gate.infill.section.height_mm;
  addReturnUpright(builder, space);
  placeAcross(builder, PartKind::kReturnRail, "return rail", space.low_z_mm, space);
  placeAcross(builder, PartKind::kReturnRail, "return rail", space.high_z_mm - size, space);
  switch (builder.spec().gate.infill.kind) {
    case InfillKind::kPickets:
      addReturnPickets(builder, space);
      break;
    case InfillKind::kSlats:
      addReturnSlats(builder, space);
      break;
    case InfillKind::kSheet:
      addReturnSheet(builder, space);
      break;
    case InfillKind::kOpen:
      if (builder.spec().gate.cladding.kind != CladdingKind::kNone) {
        addReturnPickets(builder, space);  // cladding closes the panels, not the return
      }
      break;
  }
}

}  // namespace leafstack
