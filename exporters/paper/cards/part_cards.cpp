#include "exporters/paper/cards/part_cards.h"

#include <algorithm>
#include <cmath>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/blocks/gate_views.h"
#include "exporters/paper/sheet/sheet_frame.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "exporters/paper/views/projection.h"
#include "generator/geometry/in_parallel.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/checked.h"
#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

constexpr double kLargestScale = 0.5;  // 2:1
constexpr double kWordsMm = 150;
constexpr double kSameMm = 0.02;

class Card {
 public:
  Card(const Model& model, const Schedules& schedules, const CutRow& row)
      : model_(model), schedules_(schedules), row_(row) {}

  MadeSheet made() const {
    DrawingSpec paper = model_.spec.drawings;
    paper.sheet = PaperSize::kA4;
    MadeSheet card{emptySheet(paper, "card-" + row_.mark, row_.mark + " " + row_.name),
                   "part card"};
    const auto part = std::find_if(model_.parts.begin(), model_.parts.end(),
                                   [&](const Part& one) { return one.mark == row_.mark; });
    const TopLoc_Location placed(fileMotion(*part, model_.opening_sign));
    const PlacedViewSolid solid{viewSolid(part->solid), placed};
    const Bounds box = movedBounds(part->bounds, placed);
    const std::vector<ViewCurve> from_above = projected({solid}, fromAbove());
    ViewBlock front = view("Front", fromRoad(), solid);
    ViewBlock end = view("End", alongOpening(1), solid);
    ViewBlock above("From above", fromAbove());
    addCurves(above, from_above);
    const auto extent = [&](ViewBlock& block, Side side, int axis) {
      Vec3 from = {box.low[0], box.low[1], box.low[2]};
      Vec3 to = from;
      to[axis] = box.high[axis];
      block.linear({side, from, to});
    };
    extent(above, Side::kBelow, 0);
    extent(above, Side::kLeft, 1);
    extent(front, Side::kLeft, 2);
    if (part->supply == Supply::kCutPlate) {
      addHoles(above, from_above, {box.low[0], box.low[1], box.high[2]});
    }
    addAboveTable(card, {{{&front, &end}, {&above, nullptr}}}, table(), kLargestScale);
    return card;
  }

 private:
  static ViewBlock view(const char* title, const PictureView& from, const PlacedViewSolid& solid) {
    ViewBlock block(title, from);
    addCurves(block, projected({solid}, from));
    return block;
  }

  static void addCurves(ViewBlock& block, const std::vector<ViewCurve>& curves) {
    block.curves(curves, [](const ViewCurve& curve) {
      return curve.is_hidden ? LineRole::kHidden : LineRole::kVisible;
    });
  }

  /// Round holes of a plate, from its corner, with their diameters.
  static void addHoles(ViewBlock& above, const std::vector<ViewCurve>& curves, const Vec3& corner) {
    RunningRequest along{Side::kAbove, corner, {}};
    RunningRequest across{Side::kRight, corner, {}};
    LabelRequest sizes{Side::kBelow, {}};
    std::vector<double> told;
    for (const ViewCurve& curve : curves) {
      if (!curve.is_closed || curve.vertices.size() != 2 || curve.is_hidden) {
        continue;
      }
      const PathVertex &one = curve.vertices[0], &other = curve.vertices[1];
      const Vec3 middle{(one.x_mm + other.x_mm) / 2, (one.y_mm + other.y_mm) / 2, corner[2]};
      const double across_mm = std::hypot(other.x_mm - one.x_mm, other.y_mm - one.y_mm);
      addOnce(along.features, middle, 0);
      addOnce(across.features, middle, 1);
      const auto same = [&](double known) { return std::abs(known - across_mm) < kSameMm; };
      if (std::none_of(told.begin(), told.end(), same)) {
        told.push_back(across_mm);
        sizes.labels.push_back({middle, "dia " + shown(across_mm)});
      }
    }
    if (!told.empty()) {
      above.running(std::move(along));
      above.running(std::move(across));
      sizes.has_dots = false;
      above.labels(std::move(sizes));
    }
  }
  static void addOnce(std::vector<Vec3>& features, const Vec3& at, int axis) {
    if (std::none_of(features.begin(), features.end(), [&](const Vec3& known) {
          return std::abs(known[axis] - at[axis]) < kSameMm;
        })) {
      features.push_back(at);
    }
  }

  TableBlock table() const {
    TableBlock table;
    table.heads = {row_.mark, row_.name};
    table.is_number = {false, false};
    table.most_mm = {0, kWordsMm};
    const auto add = [&](const char* what, const std::string& words) {
      if (!words.empty()) {
        table.rows.push_back({what, words});
      }
    };
    add("section", row_.section + ", " + row_.material);
    add("number", std::to_string(row_.quantity) + " (" + row_.panels + ")");
    add("length", shown(row_.length_mm) + " mm");
    add("ends", row_.ends[0].plane.empty() && row_.ends[1].plane.empty() ? "" : endsInWords());
    add("mass", shown(row_.mass_kg, 3) + " kg each");
    for (const CoatingRow& coat : schedules_.coating) {
      if (coat.mark == row_.mark) {
        add("finish", coat.finish);
      }
    }
    add("cut-outs", row_.cutouts);
    add("file", row_.file);
    return table;
  }
  /// With their sense, by the part as it stands in the gate.
  std::string endsInWords() const {
    const auto part = std::find_if(model_.parts.begin(), model_.parts.end(),
                                   [&](const Part& one) { return one.mark == row_.mark; });
    std::string words = shown(row_.ends[0].angle_deg) + " and " + shown(row_.ends[1].angle_deg) +
                        " degrees off square";
    if (part->kind == PartKind::kBottomRail || part->kind == PartKind::kTopRail) {
      const double beyond = model_.opening_sign > 0 ? -part->bounds.low[0] : part->bounds.high[0];
      words += beyond > kSameMm ? ": the leading end's upper corner before its lower one"
                                : ": the leading end's upper corner behind its lower one";
    } else if (part->kind == PartKind::kStile || part->kind == PartKind::kPicket) {
      words += row_.ends[1].angle_deg < 0 ? ": top falling in the opening direction"
                                          : ": top rising in the opening direction";
    }
    return words;
  }

  const Model& model_;
  const Schedules& schedules_;
  const CutRow& row_;
};

}  // namespace

std::vector<Sheet> partCards(const Model& model, const Schedules& schedules,
                             const std::string& status) {
  const int count = static_cast<int>(schedules.cut_list.size());
  std::vector<MadeSheet> made(schedules.cut_list.size());
  inParallel(count, [&](int i) { made[i] = Card(model, schedules, schedules.cut_list[i]).made(); });
  GateSpec spec = model.spec;
  spec.drawings.sheet = PaperSize::kA4;
  std::vector<Sheet> cards;
  for (MadeSheet& one : made) {
    const std::string scale = one.mm_per_mm > 0 ? scaleText(one.mm_per_mm) : std::string();
    cards.push_back(std::move(one.sheet));
    addTitleBlock(cards.back(), spec,
                  {one.document_type, scale, static_cast<int>(cards.size()), count, status});
  }
  return cards;
}

}  // namespace leafstack
