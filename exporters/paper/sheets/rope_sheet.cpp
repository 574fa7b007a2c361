// How every rope runs, closed, half open and open: stations along the track to scale, everything
// across it spread out so that it can be read.
#include <algorithm>
#include <array>
#include <cmath>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

// On paper, mm.
constexpr double kRowMm = 10, kRailMm = 6.4, kPulleyMm = 4, kBracketMm = 1.6, kNameMm = 2.5;
constexpr double kBesideScaleMm = 60;  // for titles and marks beside the diagram

/// One position of the drive.
class RopeDiagram {
 public:
  RopeDiagram(const GateViews& views, const std::vector<RopeRow>& rows, double mm_per_mm,
              double drive_mm)
      : views_(views), layout_(views.layout()), rows_(rows), scale_(mm_per_mm), drive_(drive_mm) {}

  ViewBlock block(const std::string& title) const {
    ViewBlock made(title, fromRoad());
    const double last = layout_.opening_mm + layout_.room_mm;
    made.line(LineRole::kGround, at(0, groundZ()), at(last, groundZ()));
    for (const PanelLayout& panel : layout_.panels) {
      addRail(made, panel);
    }
    for (const RopeLayout& rope : layout_.ropes) {
      addRope(made, rope, true);
      addRope(made, rope, false);
    }
    addMarks(made);
    if (drive_ == 0) {
      made.linear({Side::kBelow, at(0, rowZ(layout_.panel_count)),
                   at(layout_.opening_mm, rowZ(layout_.panel_count)), "opening "});
    }
    return made;
  }

 private:
  Vec3 at(double x, double z) const { return views_.at(x, 0, z); }
  double paper(double mm) const { return mm * scale_; }
  double groundZ() const { return 0; }
  double rowZ(int panel) const { return -paper(kRowMm * panel); }
  double shift(int panel) const {
    return views_.model().speed_ratio.at(static_cast<std::size_t>(panel)) * drive_;
  }

  void addRail(ViewBlock& made, const PanelLayout& panel) const {
    const double from = panel.leading_closed_mm + shift(panel.number);
    const double to = panel.trailing_closed_mm + shift(panel.number);
    const double z = rowZ(panel.number);
    const double half = paper(kRailMm / 2);
    for (const double side : {-half, half}) {
      made.line(LineRole::kVisible, at(from, z + side), at(to, z + side));
    }
    for (const double end : {from, to}) {
      made.line(LineRole::kVisible, at(end, z - half), at(end, z + half));
    }
  }

  /// From its front end round the pulley to its rear end. The opening rope rounds the trailing
  /// pulley; the closing one is dashed.
  void addRope(ViewBlock& made, const RopeLayout& rope, bool opening) const {
    const int k = rope.carrier;
    const double radius = paper(kPulleyMm / 2);
    const double pulley = (opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm) + shift(k);
    const double front = rope.front_bracket_mm + shift(k + 1);
    const double rear = rope.rear_bracket_mm + shift(k - 1);
    const double z = rowZ(k);
    const LineRole role = opening ? LineRole::kRope : LineRole::kHidden;
    // Strands lie a little apart where both ropes share a bracket.
    const double apart = paper(opening ? 0 : kBracketMm / 3);
    const double low = z - radius - apart;
    const double high = z + radius + apart;
    made.line(role, at(front, low), at(pulley, low));
    made.line(role, at(pulley, high), at(rear, high));
    const bool to_the_right = opening == (views_.model().opening_sign > 0);
    const Vec3 a = seen(made.view(), at(pulley, low));
    const Vec3 b = seen(made.view(), at(pulley, high));
    made.curve(role, {{a[0], a[1], to_the_right ? 1.0 : -1.0}, {b[0], b[1]}});
    const Vec3 middle = seen(made.view(), at(pulley, z));
    made.curve(LineRole::kFine,
               {{middle[0] - radius, middle[1], 1}, {middle[0] + radius, middle[1], 1}}, true);
    if (opening) {
      // Front bracket on the next panel's rail, rear bracket on the one behind, or on the ground.
      made.line(LineRole::kVisible, at(front, rowZ(k + 1) + paper(kRailMm / 2)),
                at(front, low - paper(kBracketMm / 2)));
      made.line(LineRole::kVisible, at(rear, k == 1 ? groundZ() : rowZ(k - 1) - paper(kRailMm / 2)),
                at(rear, high + paper(kBracketMm / 2)));
      for (const auto& [x, level] : {std::pair{front, low}, std::pair{rear, high}}) {
        made.line(LineRole::kVisible, at(x - paper(kBracketMm / 2), level),
                  at(x + paper(kBracketMm / 2), level));
      }
    }
  }

  void addMarks(ViewBlock& made) const {
    const bool is_right = views_.model().opening_sign > 0;
    LabelRequest panels{is_right ? Side::kLeft : Side::kRight, {}};
    LabelRequest ropes{is_right ? Side::kRight : Side::kLeft, {}};
    panels.labels.push_back({at(0, groundZ()), "ground"});
    for (const PanelLayout& panel : layout_.panels) {
      const double middle =
          (panel.leading_closed_mm + panel.trailing_closed_mm) / 2 + shift(panel.number);
      // Between the strands.
      made.note({at(middle, rowZ(panel.number)), "panel " + std::to_string(panel.number),
                 TextAnchor::kCentre, -kNameMm / 2, 0, kNameMm});
    }
    for (const RopeRow& row : rows_) {
      const RopeLayout& rope = layout_.ropes.at(row.carrier - 1);
      const double radius = paper(kPulleyMm / 2);
      const double z = rowZ(row.carrier);
      if (row.opening) {
        ropes.labels.push_back(
            {at(rope.trailing_pulley_mm + shift(row.carrier) + radius, z), row.mark + " opening"});
      } else {
        panels.labels.push_back(
            {at(rope.leading_pulley_mm + shift(row.carrier), z + radius), row.mark + " closing"});
      }
    }
    made.labels(std::move(panels));
    made.labels(std::move(ropes));
  }

  const GateViews& views_;
  const Layout& layout_;
  const std::vector<RopeRow>& rows_;
  double scale_, drive_;
};

TableBlock ropeTable(const std::vector<RopeRow>& rows) {
  TableBlock table;
  table.title = "Full: opening ropes. Dashed: closing. Heights not to scale.";
  table.heads = {"mark", "carried by", "does", "rope", "length", "to order", "tension N", "safety"};
  table.is_number = {false, false, false, false, true, true, true, true};
  for (const RopeRow& row : rows) {
    std::string rope = row.construction;
    rope += " dia " + shown(row.diameter_mm);
    table.rows.push_back({row.mark, "panel " + std::to_string(row.carrier),
                          row.opening ? "opening" : "closing", rope, shown(row.length_mm, 1),
                          shown(row.order_length_mm, 0), shown(std::round(row.working_tension_N)),
                          row.safety ? shown(*row.safety, 2) : std::string("-")});
  }
  return table;
}

}  // namespace

void addRopeSheet(SheetMaker& maker) {
  const std::vector<RopeRow>& rows = maker.schedules.loads.ropes;
  if (rows.empty()) {
    return;
  }
  MadeSheet made{maker.empty("rope-diagram", "Ropes: how they run"), "diagram"};
  const DrawingSpace space = drawingSpace(made.sheet);
  const Layout& layout = maker.layout();
  const double across = layout.opening_mm + layout.room_mm;
  double scale = standardScales().back();
  for (const double one : standardScales()) {
    if (across / one <= space.above.widthMm() - kBesideScaleMm) {
      scale = one;
      break;
    }
  }
  std::vector<ViewBlock> blocks;
  for (const auto& [title, share] :
       {std::pair{"Closed", 0.0}, std::pair{"Half open", 0.5}, std::pair{"Open", 1.0}}) {
    blocks.push_back(
        RopeDiagram(maker.views, rows, scale, share * layout.drive_travel_mm).block(title));
  }
  ViewGrid grid;
  for (const ViewBlock& block : blocks) {
    grid.rows.push_back({&block});
  }
  addAboveTable(made, grid, ropeTable(rows), scale);
  if (made.mm_per_mm > 0) {
    maker.sheets.push_back(std::move(made));
    return;
  }
  // A small sheet: one position each, the table under the first.
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const std::string suffix = i > 0 ? "-" + std::to_string(i + 1) : std::string();
    MadeSheet one{maker.empty("rope-diagram" + suffix, "Ropes: how they run"), "diagram"};
    if (i > 0) {
      one.mm_per_mm =
          addGrid(one.sheet, drawingSpace(one.sheet).above, {{{&blocks[i]}}}, scale).value_or(0);
    } else {
      addAboveTable(one, {{{&blocks[i]}}}, ropeTable(rows), scale);
    }
    maker.sheets.push_back(std::move(one));
  }
}

}  // namespace leafstack
