// The ropes, each with its pulley and its ends.
#include <numbers>

#include "generator/model/builder.h"
#include "generator/model/parts/ropes/pulleys.h"
#include "generator/model/parts/ropes/rope_ends.h"
#include "generator/model/parts/ropes/rope_solid.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

void addRope(ModelBuilder& builder, const RopeLayout& rope, bool opening,
             const RopeBrackets& brackets, int pulley) {
  const PanelFrame& panel = builder.panel(rope.carrier);
  RopeRun run;
  run.carrier = rope.carrier;
  run.opening = opening;
  const Layout& layout = builder.layout();
  const RopePath closed = ropePathAt(builder.spec(), layout, run, 0);
  const RopePath open = ropePathAt(builder.spec(), layout, run, layout.drive_travel_mm);
  const double length =
      closed.frontMm() + closed.rearMm() + std::numbers::pi * closed.pitch_radius_mm;
  const RopeSpec& spec = builder.spec().ropes;
  run.part = builder.ropePart(
      PartSpec{PartKind::kRope,
               std::string(spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7") +
                   " dia " + shown(spec.diameter_mm) + ", panel " + std::to_string(rope.carrier),
               length}
          .called(opening ? "opening rope" : "closing rope")
          .given(figuresOf(closed, open)),
      ropeBounds(closed), [closed] { return ropeSolid(closed); },
      [open] { return ropeSolid(open); });
  run.instance = builder.place(run.part, panel.number, panel.origin_mm, panel.slope);
  run.mark = builder.model().parts[run.part].mark;
  builder.contact(run.instance, pulley, ContactKind::kBearing, "the rope lies in its pulley",
                  pulleyGrooveRadiusMm(builder.spec()));
  addTerminals(builder, run, rope, brackets);
  builder.addRope(run);
}

}  // namespace

void addRopes(ModelBuilder& builder) {
  for (const RopeLayout& rope : builder.layout().ropes) {
    const PanelFrame& panel = builder.panel(rope.carrier);
    const int leading = addPulley(builder, panel, rope, /*opening=*/false);
    const int trailing = addPulley(builder, panel, rope, /*opening=*/true);
    const RopeBrackets brackets = addBrackets(builder, rope);
    addRope(builder, rope, /*opening=*/true, brackets, trailing);
    addRope(builder, rope, /*opening=*/false, brackets, leading);
  }
}

}  // namespace leafstack
