#include "exporters/paper/cards/part_cards.h"

#include <algorithm>

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
    ViewBlock front = view("Front", fromRoad(), solid);
    ViewBlock end = view("End", alongOpening(1), solid);
    ViewBlock above = view("From above", fromAbove(), solid);
    const auto extent = [&](ViewBlock& block, Side side, int axis) {
      Vec3 from = {box.low[0], box.low[1], box.low[2]};
      Vec3 to = from;
      to[axis] = box.high[axis];
      block.linear({side, from, to});
    };
    extent(above, Side::kBelow, 0);
    extent(above, Side::kLeft, 1);
    extent(front, Side::kLeft, 2);
    addAboveTable(card, {{{&front, &end}, {&above, nullptr}}}, table(), kLargestScale);
    return card;
  }

 private:
  static ViewBlock view(const char* title, const PictureView& from, const PlacedViewSolid& solid) {
    ViewBlock block(title, from);
    block.curves(projected({solid}, from), [](const ViewCurve& curve) {
      return curve.is_hidden ? LineRole::kHidden : LineRole::kVisible;
    });
    return block;
  }

  TableBlock table() const {
    TableBlock table;
    table.heads = {"", ""};
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
  std::string endsInWords() const {
    return shown(row_.ends[0].angle_deg) + " and " + shown(row_.ends[1].angle_deg) +
           " degrees off square";
  }

  const Model& model_;
  const Schedules& schedules_;
  const CutRow& row_;
};

}  // namespace

std::vector<Sheet> partCards(const Model& model, const Schedules& schedules) {
  const int count = static_cast<int>(schedules.cut_list.size());
  std::vector<MadeSheet> made(schedules.cut_list.size());
  inParallel(count, [&](int i) { made[i] = Card(model, schedules, schedules.cut_list[i]).made(); });
  std::vector<Sheet> cards;
  for (MadeSheet& one : made) {
    const std::string scale = one.mm_per_mm > 0 ? scaleText(one.mm_per_mm) : std::string();
    cards.push_back(std::move(one.sheet));
    addTitleBlock(cards.back(), model.spec,
                  {one.document_type, scale, static_cast<int>(cards.size()), count});
  }
  return cards;
}

}  // namespace leafstack
