// How every rope runs, closed and open: stations along the track to scale, everything across it
// spread out so that it can be read. One carrying panel a sheet, one rope a row.
#include <algorithm>
#include <array>
#include <cmath>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/loads/tensioning.h"

namespace leafstack {
namespace {

// On paper, mm, from the middle of the carrying panel's rail.
constexpr double kRailHalfMm = 9, kStrandMm = 5;  // pulleys are as wide as the strands are apart
constexpr double kOtherRailMm = 6, kLaneApartMm = 3;
constexpr double kBracketMm = 1.6, kTerminalMm = 3, kTerminalHighMm = 2;
constexpr double kNameMm = 2.5, kNameAsideMm = 1.5;

/// One rope at one position of the drive, as seen from above: the road at the foot.
class RopeDiagram {
 public:
  RopeDiagram(const GateViews& views, const RopeRow& row, double mm_per_mm, double drive_mm)
      : views_(views),
        layout_(views.layout()),
        row_(row),
        rope_(layout_.ropes.at(static_cast<std::size_t>(row.carrier) - 1)),
        scale_(mm_per_mm),
        drive_(drive_mm) {}

  ViewBlock block() const {
    const bool is_closed = drive_ == 0;
    ViewBlock made(row_.mark + (row_.opening ? ", opening rope, " : ", closing rope, ") +
                       (is_closed ? "gate closed" : "gate open"),
                   fromRoad());
    const int k = rope_.carrier;
    addRail(made, k, 0, kRailHalfMm);
    addRail(made, k + 1, -lane(), kOtherRailMm / 2);
    if (k > 1) {
      addRail(made, k - 1, lane(), kOtherRailMm / 2);
    } else {
      addGround(made);
    }
    addPulleys(made);
    addStrands(made);
    if (is_closed) {
      addPlaces(made);
    }
    return made;
  }

 private:
  Vec3 at(double x, double paper_z) const { return views_.at(x, 0, paper_z * scale_); }
  static double lane() { return kRailHalfMm + kLaneApartMm + kOtherRailMm / 2; }
  double shift(int panel) const { return layout_.goneMm(panel, drive_); }
  double frontX() const { return rope_.front_bracket_mm + shift(rope_.carrier + 1); }
  double rearX() const { return rope_.rear_bracket_mm + shift(rope_.carrier - 1); }
  /// The opening rope rounds the trailing pulley, the closing one the leading.
  double pulleyX(bool opening) const {
    return (opening ? rope_.trailing_pulley_mm : rope_.leading_pulley_mm) + shift(rope_.carrier);
  }

  void rectangle(ViewBlock& made, LineRole role, const std::array<double, 2>& x,
                 const std::array<double, 2>& z) const {
    std::vector<PathVertex> corners;
    for (const auto& [i, j] :
         {std::pair{0, 0}, std::pair{1, 0}, std::pair{1, 1}, std::pair{0, 1}}) {
      const Vec3 on = seen(made.view(), at(x[i], z[j]));
      corners.push_back({on[0], on[1]});
    }
    made.curve(role, std::move(corners), true);
  }

  void addRail(ViewBlock& made, int number, double middle, double half) const {
    const PanelLayout& panel = layout_.panel(number);
    const double from = panel.leading_closed_mm + shift(number);
    const double to = panel.trailing_closed_mm + shift(number);
    rectangle(made, LineRole::kFine, {from, to}, {middle - half, middle + half});
    addName(made, "panel " + std::to_string(number), from, to, middle);
  }

  /// In the lane where no pulley and no strand's mark is.
  void addName(ViewBlock& made, const std::string& name, double from, double to,
               double middle) const {
    made.note({at((from + to) / 2, middle), name, TextAnchor::kCentre, -kNameMm / 2, 0, kNameMm});
  }

  void addGround(ViewBlock& made) const {
    const PanelLayout& front = layout_.panel(rope_.carrier + 1);
    const double from = std::min(front.leading_closed_mm + shift(front.number), rearX());
    const double to = std::max(layout_.panel(1).trailing_closed_mm + shift(1), rearX());
    const double z = lane() - kOtherRailMm / 2;
    made.line(LineRole::kGround, at(from, z), at(to, z));
    made.note({at((from + to) / 2, z), "ground", TextAnchor::kCentre, kNameAsideMm, 0, kNameMm});
  }

  void addPulleys(ViewBlock& made) const {
    const double radius = kStrandMm * scale_;
    for (const bool opening : {true, false}) {
      const Vec3 middle = seen(made.view(), at(pulleyX(opening), 0));
      // The other rope's, too, which stands above or below it.
      made.curve(opening == row_.opening ? LineRole::kVisible : LineRole::kHidden,
                 {{middle[0] - radius, middle[1], 1}, {middle[0] + radius, middle[1], 1}}, true);
    }
  }

  /// From the bracket in front, round the pulley, to the one behind; with both.
  void addStrands(ViewBlock& made) const {
    const double pulley = pulleyX(row_.opening);
    const bool to_the_right = row_.opening == (views_.model().opening_sign > 0);
    made.line(LineRole::kRope, at(frontX(), -kStrandMm), at(pulley, -kStrandMm));
    made.line(LineRole::kRope, at(pulley, kStrandMm), at(rearX(), kStrandMm));
    const Vec3 a = seen(made.view(), at(pulley, -kStrandMm));
    const Vec3 b = seen(made.view(), at(pulley, kStrandMm));
    made.curve(LineRole::kRope, {{a[0], a[1], to_the_right ? 1.0 : -1.0}, {b[0], b[1]}});
    addEnd(made, frontX(), -kStrandMm, -lane() + kOtherRailMm / 2);
    addEnd(made, rearX(), kStrandMm, lane() - kOtherRailMm / 2);
    const bool front_is_longer = std::abs(frontX() - pulley) > std::abs(rearX() - pulley);
    const double middle = (pulley + (front_is_longer ? frontX() : rearX())) / 2;
    made.note({at(middle, front_is_longer ? -kStrandMm : kStrandMm), row_.mark, TextAnchor::kCentre,
               front_is_longer ? -kNameMm - kNameAsideMm / 2 : kNameAsideMm / 2, 0, kNameMm});
  }

  /// A bracket from what holds it to the strand, and the terminal in it, on the side away from the
  /// pulley.
  void addEnd(ViewBlock& made, double x, double strand, double holder) const {
    const double half = kBracketMm / 2 * scale_;
    const double out = strand > holder ? kTerminalHighMm / 2 : -kTerminalHighMm / 2;
    rectangle(made, LineRole::kVisible, {x - half, x + half}, {holder, strand + out});
    const double away = pulleyX(row_.opening) > x ? -1 : 1;
    const double near = x + away * half;
    const double far = near + away * kTerminalMm * scale_;
    rectangle(made, LineRole::kVisible, {near, far},
              {strand - kTerminalHighMm / 2, strand + kTerminalHighMm / 2});
    std::vector<PathVertex> loop;
    for (const auto& [px, pz] :
         {std::pair{near, -1.0}, std::pair{far, -1.0}, std::pair{far, 1.0}, std::pair{near, 1.0}}) {
      const Vec3 on = seen(made.view(), at(px, strand + pz * kTerminalHighMm / 2));
      loop.push_back({on[0], on[1]});
    }
    made.area({std::move(loop)}, 0.6);
  }

  /// Brackets' middles and the pulley's axis, from the latch-side post's face.
  void addPlaces(ViewBlock& made) const {
    const double foot = -lane() - kOtherRailMm / 2;
    const Vec3 datum = at(0, foot);
    RunningRequest along{Side::kBelow, datum, {}, minus(at(1, foot), datum)};
    for (const double x : {frontX(), pulleyX(row_.opening), rearX()}) {
      along.features.push_back(at(x, foot));
    }
    made.running(std::move(along));
  }

  const GateViews& views_;
  const Layout& layout_;
  const RopeRow& row_;
  const RopeLayout& rope_;
  double scale_, drive_;
};

/// Where each rope ends and turns: stations with the gate closed, heights plumb over the underside
/// of the rail that it is in or fixed to, or over the slab.
class RopeTable {
 public:
  /// `all`: every rope of the gate.
  RopeTable(const GateViews& views, const std::vector<RopeRow>& all)
      : views_(views), layout_(views.layout()), all_(all) {}

  TableBlock of(const std::vector<const RopeRow*>& rows) const {
    TableBlock table;
    table.title =
        "Thick: the rope through its whole way. Grey blocks: its terminals, which tension it. "
        "Stations X from the latch-side post's face, gate closed; heights over the underside of "
        "the rail, or over the slab. Across the track not to scale.";
    table.heads = {"mark",     "front end on",    "X",     "up", "pulley", "X",
                   "up",       "rear end on",     "X",     "up", "rope",   "length",
                   "to order", "N set / in work", "safety"};
    table.is_number = {false, false, true,  true, false, true, true, false,
                       true,  true,  false, true, true,  true, true};
    constexpr double kMostWordsMm = 30;  // which give way where paper is small
    table.most_mm = {0, kMostWordsMm, 0, 0, kMostWordsMm, 0, 0, kMostWordsMm, 0, 0, kMostWordsMm};
    for (const RopeRow* row : rows) {
      table.rows.push_back(cellsOf(*row));
    }
    return table;
  }

 private:
  std::vector<std::string> cellsOf(const RopeRow& row) const {
    const RopeLayout& rope = layout_.ropes.at(static_cast<std::size_t>(row.carrier) - 1);
    const int k = row.carrier;
    const double off = rope.aboveMm(row.opening);
    const double front =
        rope.front_bore_z_mm + off - layout_.panel(k + 1).undersideZ(rope.front_bracket_mm);
    const PanelLayout& carrier = layout_.panel(k);
    const double rear_under =
        k > 1 ? layout_.panel(k - 1).undersideZ(rope.rear_bracket_mm)
              : layout_.ground.heightMm(
                    rope.rear_bracket_mm,
                    carrier.front_y_mm + layout_.stack.frame_depth_mm / 2 + rope.pitch_mm / 2);
    const double rear = rope.rear_bore_z_mm + off - rear_under;
    std::string construction = row.construction + " dia " + shown(row.diameter_mm);
    return {row.mark,
            "panel " + std::to_string(k + 1) + markOn(PartKind::kFrontBracket, k + 1),
            lengthText(rope.front_bracket_mm),
            lengthText(front),
            (row.opening ? "trailing" : "leading") + markOn(PartKind::kPulley, k),
            lengthText(row.opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm),
            lengthText(rope.heightOfMm(row.opening) / carrier.cosine()),
            k > 1 ? "panel " + std::to_string(k - 1) + markOn(PartKind::kRearBracket, k - 1)
                  : "ground" + markOn(PartKind::kGroundBracket, 0),
            lengthText(rope.rear_bracket_mm),
            lengthText(rear),
            construction,
            lengthText(row.length_mm),
            shown(row.order_length_mm, 0),
            shown(setTension_N(all_, row.carrier), 0) + " / " +
                shown(std::round(row.working_tension_N)),
            row.safety ? shown(*row.safety, 2) : std::string("-")};
  }

  /// ", FB1": the first of its kind on a panel, or (0) on the ground.
  std::string markOn(PartKind kind, int panel) const {
    for (const Instance& one : views_.model().instances) {
      if (one.panel == panel && views_.partOf(one).kind == kind) {
        return ", " + views_.partOf(one).mark;
      }
    }
    return "";
  }

  const GateViews& views_;
  const Layout& layout_;
  const std::vector<RopeRow>& all_;
};

ViewGrid gridOf(const std::vector<ViewBlock>& blocks, bool is_beside) {
  ViewGrid grid;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (!is_beside || i % 2 == 0) {
      grid.rows.emplace_back();
    }
    grid.rows.back().push_back(&blocks[i]);
  }
  return grid;
}

/// Closed and open beside each other, or below where the sheet is narrow: at the first standard
/// scale at which there is room, for the list too where that does not take a far smaller one.
void addLargest(SheetMaker& maker, MadeSheet& made, const std::vector<const RopeRow*>& rows) {
  constexpr double kLargestScale = 20, kListTakesScale = 50;
  const TableBlock table = RopeTable(maker.views, maker.schedules.loads.ropes).of(rows);
  const auto fits = [&](double scale, bool has_list) {
    std::vector<ViewBlock> blocks;
    for (const RopeRow* row : rows) {
      for (const double drive : {0.0, maker.layout().drive_travel_mm}) {
        blocks.push_back(RopeDiagram(maker.views, *row, scale, drive).block());
      }
    }
    for (const bool is_beside : {true, false}) {
      MadeSheet tried = made;
      if (has_list) {
        addAboveTable(tried, gridOf(blocks, is_beside), table, scale);
      } else {
        tried.mm_per_mm =
            addGrid(tried.sheet, drawingSpace(tried.sheet).above, gridOf(blocks, is_beside), scale)
                .value_or(0);
      }
      if (tried.mm_per_mm == scale) {
        made = std::move(tried);
        return true;
      }
    }
    return false;
  };
  for (const bool has_list : {true, false}) {
    for (const double scale : standardScales()) {
      if (scale >= kLargestScale && (!has_list || scale <= kListTakesScale) &&
          fits(scale, has_list)) {
        if (!has_list) {
          addTableSheets(maker, {made.sheet.name + "-list", made.sheet.title}, table);
        }
        return;
      }
    }
  }
}

}  // namespace

void addRopeSheet(SheetMaker& maker) {
  const std::vector<RopeRow>& all = maker.schedules.loads.ropes;
  const Layout& layout = maker.layout();
  for (int carrier = 1; carrier < layout.panel_count; ++carrier) {
    std::vector<const RopeRow*> rows;
    for (const RopeRow& row : all) {
      if (row.carrier == carrier) {
        rows.push_back(&row);
      }
    }
    if (rows.empty()) {
      continue;
    }
    const std::string suffix = carrier > 1 ? "-" + std::to_string(carrier) : std::string();
    MadeSheet made{maker.empty("rope-diagram" + suffix,
                               "Ropes of panel " + std::to_string(carrier) + ": how they run"),
                   "diagram"};
    addLargest(maker, made, rows);
    maker.sheets.push_back(std::move(made));
  }
}

}  // namespace leafstack
