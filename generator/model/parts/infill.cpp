// Pickets, slats or sheet between a panel's rails and uprights; the return beside the back panel.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/mitre.h"

namespace leafstack {
namespace {

namespace hw = hardware;

const std::string kInfillWeldReason = "infill is welded to the frame";

/// Rails a plumb bar between them is welded to: the panel's own bottom and top rail.
void weldToRails(ModelBuilder& builder, const PanelFrame& panel, int bar) {
  if (panel.slope.isLevel() && panel.top_grade == 0) {
    builder.joinTouching(bar, {PartKind::kBottomRail, PartKind::kTopRail}, ContactKind::kWelded,
                         kInfillWeldReason);
    return;
  }
  for (PartKind rail : {PartKind::kBottomRail, PartKind::kTopRail}) {
    for (int instance : builder.instancesOf(rail, panel.number)) {
      builder.contact(bar, instance, ContactKind::kWelded, kInfillWeldReason, kJoinGapMm);
    }
  }
}

void addPickets(ModelBuilder& builder, const PanelFrame& panel) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const HollowSection& section = infill.section;
  const double front = infillFrontMm(panel, section.depth_mm);
  for (const Bay& bay : baysOf(builder, panel)) {
    const Spacing spacing = evenSpacing(bay.width_mm, section.height_mm, infill.gap_mm);
    for (int i = 0; i < spacing.count; ++i) {
      UprightTube tube;
      tube.spec = {PartKind::kPicket, section};
      tube.section = section;
      tube.x_mm = bay.from_mm + spacing.gap_mm + i * (section.height_mm + spacing.gap_mm);
      weldToRails(builder, panel, placeUpright(builder, panel, tube, panel.origin_mm[1] + front));
    }
  }
}

/// One slat between two uprights or from one of them to the bottom rail; `z` at its leading end.
void placeSlat(ModelBuilder& builder, const PanelFrame& panel, const Bay& bay, double z) {
  const HollowSection& section = builder.spec().gate.infill.section;
  const Slope slope = panel.topSlope();
  const double length = bay.width_mm / slope.cosine;
  PartSpec spec{PartKind::kSlat,
                section,
                extentMm(length, section.height_mm, slope.grade),
                {mitre(slope.grade), mitre(slope.grade)}};
  if (slope.grade != 0) {
    spec.cutouts.push_back(parallelEnds(length));
  }
  const int part = builder.part(spec, {length, slopeKey(slope.grade)}, [=] {
    return mitredSection(Plane::kYZ, section, length, {slope.grade, slope.grade});
  });
  const double y = panel.origin_mm[1] + infillFrontMm(panel, section.depth_mm);
  const int slat =
      builder.place(part, panel.number, {panel.origin_mm[0] + bay.from_mm, y, z}, slope);
  builder.joinTouching(slat, {PartKind::kStile}, ContactKind::kWelded, kInfillWeldReason);
  if (panel.slope.grade != panel.top_grade) {
    builder.joinTouching(slat, {PartKind::kBottomRail}, ContactKind::kWelded, kInfillWeldReason);
  }
}

/// Where the bottom rail rises towards a level top, slats go on below the evenly spaced ones, each
/// from the upright on the low side to where its lower edge meets the rail.
void addSlatsDownTo(ModelBuilder& builder, const PanelFrame& panel, const Bay& bay, double pitch,
                    double highest_z) {
  constexpr double kShortestSlatMm = 60;
  const double from = panel.origin_mm[0] + bay.from_mm;
  const double to = from + bay.width_mm;
  const double grade = panel.slope.grade - panel.top_grade;
  for (double z = highest_z;; z -= pitch) {
    // At height z - top's own rise: where the rail's upper face comes up to the slat's underside.
    const double meets = from + (z - panel.railTopZ(from)) / grade;
    Bay reach = bay;
    if (grade > 0) {
      reach.width_mm = std::min(to, meets) - from;
    } else {
      const double start = std::max(from, meets);
      reach.from_mm += start - from;
      reach.width_mm = to - start;
    }
    if (reach.width_mm < kShortestSlatMm) {
      return;
    }
    placeSlat(builder, panel, reach, z);
  }
}

void addSlats(ModelBuilder& builder, const PanelFrame& panel) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const HollowSection& section = infill.section;
  const double cosine = panel.topSlope().cosine;
  const double plumb = section.height_mm / cosine;
  for (const Bay& bay : baysOf(builder, panel)) {
    const Upright near = uprightAt(panel, bay.from_mm);
    const Upright far = uprightAt(panel, bay.from_mm + bay.width_mm);
    const double clear = std::min(near.length_mm, far.length_mm);
    const Spacing spacing = evenSpacing(clear, plumb, infill.gap_mm / cosine);
    const double pitch = plumb + spacing.gap_mm;
    const double low = near.low_z_mm + near.length_mm - clear;  // at the bay's leading end
    for (int i = 0; i < spacing.count; ++i) {
      placeSlat(builder, panel, bay, low + spacing.gap_mm + i * pitch);
    }
    if (std::abs(near.length_mm - far.length_mm) > kLengthEqualMm) {
      addSlatsDownTo(builder, panel, bay, pitch, low + spacing.gap_mm - pitch);
    }
  }
}

void addSheet(ModelBuilder& builder, const PanelFrame& panel) {
  const double t = builder.spec().gate.infill.thickness_mm;
  const double y = panel.origin_mm[1] + infillFrontMm(panel, t);
  for (const Bay& bay : baysOf(builder, panel)) {
    const double from = panel.origin_mm[0] + bay.from_mm;
    const double to = from + bay.width_mm;
    const FlatPart sheet{{PartKind::kSheet},
                         {{from, panel.railTopZ(from)},
                          {to, panel.railTopZ(to)},
                          {to, panel.underTopZ(to)},
                          {from, panel.underTopZ(from)}},
                         t};
    builder.joinTouching(placeFlat(builder, panel.number, sheet, y),
                         {PartKind::kStile, PartKind::kBottomRail, PartKind::kTopRail},
                         ContactKind::kWelded, kInfillWeldReason);
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
  const PanelFrame& panel = builder.panel(1);
  const double width = std::max(spec.gate.stile.height_mm, spec.gate.infill.section.depth_mm);
  ReturnSpace space;
  space.x_centre_mm = layout.return_start_mm + spec.gate.stile.height_mm / 2;
  space.from_y_mm = spec.offFenceMm() + spec.gate.stile.depth_mm;
  space.to_y_mm = layout.panel(1).front_y_mm;
  const double x0 = space.x_centre_mm - width / 2;
  const double x1 = space.x_centre_mm + width / 2;
  // It passes over the other panels' end stops: across a slope those may stand higher.
  const double across = layout.ground.others_over_mm;
  space.low_z_mm = std::max(panel.railTopZ(x0), panel.railTopZ(x1)) + kReturnOverRailMm + across;
  space.high_z_mm = std::min(panel.topZ(x0), panel.topZ(x1));
  return space;
}

void addReturnUpright(ModelBuilder& builder, const ReturnSpace& space) {
  const HollowSection& section = builder.spec().gate.stile;
  const double height = space.high_z_mm - space.low_z_mm;
  const int part = builder.part({PartKind::kReturnUpright, section, height}, {height},
                                [=] { return hollowSection(Plane::kXY, section, height); });
  const Point3 corner = {space.x_centre_mm - section.height_mm / 2, builder.spec().offFenceMm(),
                         space.low_z_mm};
  const int upright = builder.place(part, 1, corner);
  addCap(builder, upright, section, {corner, Plane::kXY, height});
}

/// A rail of the return, or one of its slats, which are alike.
int placeAcross(ModelBuilder& builder, double z, const ReturnSpace& space) {
  const HollowSection& section = builder.spec().gate.infill.section;
  const double length = space.to_y_mm - space.from_y_mm;
  const int part = builder.part({PartKind::kReturnRail, section, length}, {length, 0},
                                [=] { return hollowSection(Plane::kXZ, section, length); });
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
        builder.part(PartSpec{PartKind::kReturnInfill, section, height}.called("return picket"),
                     {height, 1}, [=] { return hollowSection(Plane::kXY, section, height); });
    const double y = space.from_y_mm + spacing.gap_mm + i * (section.depth_mm + spacing.gap_mm);
    const int picket = builder.place(part, 1, {space.x_centre_mm - section.height_mm / 2, y, low});
    builder.joinTouching(picket, {PartKind::kReturnRail}, ContactKind::kWelded, kInfillWeldReason);
  }
}

void addReturnSlats(ModelBuilder& builder, const ReturnSpace& space) {
  const InfillSpec& infill = builder.spec().gate.infill;
  const double size = infill.section.height_mm;
  const double low = space.low_z_mm + size;
  const double clear = space.high_z_mm - size - low;
  const Spacing spacing = evenSpacing(clear, size, infill.gap_mm);
  for (int i = 0; i < spacing.count; ++i) {
    placeAcross(builder, low + spacing.gap_mm + i * (size + spacing.gap_mm), space);
  }
}

void addReturnSheet(ModelBuilder& builder, const ReturnSpace& space) {
  const double t = builder.spec().gate.infill.thickness_mm;
  const double size = builder.spec().gate.infill.section.height_mm;
  const double low = space.low_z_mm + size;
  const double height = space.high_z_mm - size - low;
  const double length = space.to_y_mm - space.from_y_mm;
  const int part =
      builder.part(PartSpec{PartKind::kReturnInfill, "sheet " + sizes({height, length, t}), height}
                       .called("return sheet")
                       .from(Supply::kCutPlate),
                   {t, length, height}, [=] {
                     return box({0, 0, 0}, {t, length, height});
                   });
  const int sheet = builder.place(part, 1, {space.x_centre_mm - t / 2, space.from_y_mm, low});
  builder.joinTouching(
      sheet,
      {PartKind::kReturnRail, PartKind::kReturnUpright, PartKind::kStile, PartKind::kTopRail},
      ContactKind::kWelded, kInfillWeldReason);
}

}  // namespace

double infillFrontMm(const PanelFrame& panel, double infill_depth_mm) {
  // A channel let into the frame pushes the infill back, clear of it.
  const double front =
      panel.channel_offset_mm < 0 ? -panel.channel_offset_mm + hw::kHardwareClearanceMm : 0.0;
  return (front + panel.depth_mm - infill_depth_mm) / 2;
}

void addInfill(ModelBuilder& builder, const PanelFrame& panel) {
  switch (builder.spec().gate.infill.kind) {
    case InfillKind::kPickets:
      addPickets(builder, panel);
      break;
    case InfillKind::kSlats:
      addSlats(builder, panel);
      break;
    case InfillKind::kSheet:
      addSheet(builder, panel);
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
  placeAcross(builder, space.low_z_mm, space);
  placeAcross(builder, space.high_z_mm - size, space);
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
