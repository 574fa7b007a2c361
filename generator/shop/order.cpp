#include "generator/shop/order.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <tuple>

#include "generator/geometry/numbers.h"
#include "generator/shop/bar_area.h"
#include "generator/shop/strips.h"
#include "params/catalogue/sold.h"

namespace leafstack {
namespace {

constexpr double kSquareMmPerM2 = 1e6, kCubicMmPerM3 = 1e9, kMmPerM = 1000,
                 kNewtonPerKilonewton = 1000;

void addMark(OrderRow& row, const std::string& mark) {
  row.marks += (row.marks.empty() ? "" : " ") + mark;
}

bool isBought(const BillRow& row) {
  return row.supply == toString(Supply::kBought) || row.supply == toString(Supply::kEnvelope);
}

const RopeRow* ropeOf(const Schedules& schedules, const std::string& mark) {
  const auto& ropes = schedules.loads.ropes;
  const auto found = std::find_if(ropes.begin(), ropes.end(),
                                  [&](const RopeRow& rope) { return rope.mark == mark; });
  return found == ropes.end() ? nullptr : &*found;
}

/// Alike items together, whatever marks they have in the gate.
class Rows {
 public:
  OrderRow& of(const OrderRow& like) {
    for (OrderRow& row : rows_) {
      if (std::tie(row.supplier, row.item, row.what, row.material, row.finish, row.unit) ==
          std::tie(like.supplier, like.item, like.what, like.material, like.finish, like.unit)) {
        return row;
      }
    }
    return rows_.emplace_back(like);
  }
  std::vector<OrderRow>& rows() { return rows_; }

 private:
  std::vector<OrderRow> rows_;
};

std::string specialWords(const std::string& section, const std::string& material) {
  const std::optional<std::string> instead = soldInstead(section, material);
  return instead ? ", special: next sold " + *instead : "";
}

/// Unless it is told already; a bare figure, as 8 of nuts, may stand there for something else.
std::string gradeWords(const BillRow& bill) {
  const std::string& grade = bill.quality.grade;
  const bool is_figure = grade.find_first_not_of("0123456789.") == std::string::npos;
  const bool is_told =
      bill.description.find((is_figure ? "grade " : "") + grade) != std::string::npos;
  return grade.empty() || is_told ? "" : ", grade " + grade;
}

void addHardware(const Schedules& schedules, Rows& rows) {
  for (const BillRow& bill : schedules.bill) {
    if (!isBought(bill) || bill.per_box > 0) {
      continue;
    }
    OrderRow like;
    like.supplier = bill.words.supplier;
    like.item = bill.words.item;
    like.finish = bill.words.finish.empty() ? bill.quality.finish : bill.words.finish;
    like.material = bill.material;
    const RopeRow* const rope = ropeOf(schedules, bill.mark);
    like.unit = rope != nullptr ? "m" : "piece";
    like.what = rope != nullptr
                    ? "wire rope " + shown(rope->diameter_mm) + ", " + rope->construction +
                          ", breaks at no less than " +
                          shown(rope->breaking_force_N / kNewtonPerKilonewton, 1) + " kN"
                : bill.description.empty() ? bill.name
                                           : bill.name + ", " + bill.description;
    like.what += gradeWords(bill);
    OrderRow& row = rows.of(like);
    row.quantity +=
        rope != nullptr ? bill.quantity * rope->order_length_mm / kMmPerM : bill.quantity;
    row.mass_kg += bill.quantity * bill.mass_kg;
    addMark(row, bill.mark);
  }
  std::stable_sort(rows.rows().begin(), rows.rows().end(),
                   [](const OrderRow& a, const OrderRow& b) { return a.supplier < b.supplier; });
}

/// Alike ones together, then by full boxes.
void addBoxes(const Schedules& schedules, Rows& rows) {
  Rows boxes;
  for (const BillRow& bill : schedules.bill) {
    if (bill.per_box > 0) {
      OrderRow like;
      like.material = bill.material;
      like.unit = "box of " + std::to_string(bill.per_box);
      like.what = bill.name + " " + bill.description + gradeWords(bill);
      like.finish = bill.quality.finish;
      OrderRow& row = boxes.of(like);
      row.quantity += bill.quantity;
      row.mass_kg += bill.quantity * bill.mass_kg;
      row.per_box = bill.per_box;
      addMark(row, bill.mark);
    }
  }
  for (OrderRow& row : boxes.rows()) {
    const double each_kg = row.quantity > 0 ? row.mass_kg / row.quantity : 0;
    row.what += ", " + shown(row.quantity) + " needed";
    row.quantity = std::ceil(row.quantity / row.per_box);
    row.bought_kg = each_kg * row.quantity * row.per_box;
    rows.rows().push_back(std::move(row));
  }
}

/// Words of the shelf for a part that is cut from what it names: a track bar, a guide rail.
const ItemWords* wordsOf(const Schedules& schedules, const std::string& mark) {
  for (const PartRow& part : schedules.parts) {
    if (part.mark == mark && !part.words.isEmpty()) {
      return &part.words;
    }
  }
  return nullptr;
}

/// "BR1" of "BR1-2": marks have no hyphen but for pieces (pieceMark()).
std::string wholeOf(const std::string& mark) {
  return mark.substr(0, mark.find('-'));
}

/// Of the metal, as the checks of strength take it.
std::string gradesOf(const std::map<std::string, const CutRow*>& cut, const StockGroup& group) {
  std::set<std::string> grades;
  for (const StockPiece& piece : group.pieces) {
    const auto found = cut.find(wholeOf(piece.mark));
    if (found != cut.end() && !found->second->grade.empty()) {
      grades.insert(found->second->grade);
    }
  }
  std::string words;
  for (const std::string& grade : grades) {
    words += (words.empty() ? ", " : " and ") + grade;
  }
  return words;
}

void addBars(const Schedules& schedules, Rows& rows) {
  std::map<std::string, const CutRow*> cut;
  for (const CutRow& row : schedules.cut_list) {
    cut[row.mark] = &row;
  }
  for (const StockGroup& group : schedules.stock) {
    OrderRow like;
    double pieces_mm = 0;
    for (const StockPiece& piece : group.pieces) {
      pieces_mm += piece.length_mm * piece.quantity;
      if (const ItemWords* words = wordsOf(schedules, wholeOf(piece.mark))) {
        like.supplier = words->supplier;
        like.item = words->item;
        like.finish = words->finish;
      }
      addMark(like, piece.mark);
      // Of a rail in pieces with its first one.
      const bool is_first = wholeOf(piece.mark) == piece.mark || piece.mark.ends_with("-1");
      const auto found = cut.find(wholeOf(piece.mark));
      like.mass_kg +=
          found == cut.end() || !is_first ? 0 : found->second->mass_kg * found->second->quantity;
    }
    like.material = group.material;
    const std::string grade = gradesOf(cut, group);
    // A sleeve is turned from the next round, which is what is ordered.
    const std::optional<std::string> round = group.section.starts_with("sleeve dia ")
                                                 ? soldInstead(group.section, group.material)
                                                 : std::nullopt;
    const std::string section =
        round ? round->substr(0, round->find(',')) + ", turned and bored for " + group.section
              : group.section;
    const std::string special = round ? "" : specialWords(group.section, group.material);
    const bool is_timber = group.material == "timber";
    like.unit = is_timber ? "board" : "bar";
    const double pieces_kg = like.mass_kg;
    double density_kg_mm3 = 0;
    for (const PartRow& part : schedules.parts) {
      density_kg_mm3 = part.mark == wholeOf(group.pieces.front().mark)
                           ? part.density_kg_m3 / kCubicMmPerM3
                           : density_kg_mm3;
    }
    std::map<double, int> bars;
    for (const StockBar& bar : group.plan.bars) {
      ++bars[bar.stock_mm];
    }
    for (const auto& [length_mm, count] : bars) {
      like.what =
          section + (is_timber ? ", " : ", bars of ") + shown(length_mm) + " mm" + grade + special;
      like.quantity = count;
      like.bought_kg =
          round || pieces_mm <= 0
              ? 0
              : length_mm * count *
                    std::max(pieces_kg / pieces_mm, barAreaMm2(group.section) * density_kg_mm3);
      rows.rows().push_back(like);
      like.mass_kg = 0;  // told once, with the first of several stock lengths
    }
    for (const StockPiece& piece : group.plan.too_long) {
      like.what =
          section + ", " + shown(piece.length_mm) + " mm: longer than any stock" + grade + special;
      like.quantity = piece.quantity;
      like.bought_kg = 0;
      rows.rows().push_back(like);
      like.mass_kg = 0;
    }
  }
}

/// Pieces of one thickness together, by area.
void addSheets(const Schedules& schedules, Rows& rows) {
  std::map<std::string, const ProfileRow*> flat;
  for (const ProfileRow& row : schedules.profiles) {
    flat[row.mark] = &row;
  }
  std::set<std::string> sawn;
  for (const StockGroup& group : schedules.stock) {
    for (const StockPiece& piece : group.pieces) {
      sawn.insert(wholeOf(piece.mark));
    }
  }
  for (const CutRow& cut : schedules.cut_list) {
    if (sawn.contains(cut.mark)) {
      continue;
    }
    OrderRow like;
    like.material = cut.material;
    const auto found = flat.find(cut.mark);
    const bool has_blank = found != flat.end() && found->second->profile.has_value();
    double each = 0;
    if (has_blank) {
      like.what = "plate " + shown(found->second->thickness_mm);
      like.what += specialWords(like.what, cut.material);
      like.what += cut.grade.empty() ? "" : ", " + cut.grade;
      like.unit = "m2";
      each = found->second->profile->width_mm * found->second->profile->height_mm / kSquareMmPerM2;
    } else if (isStrip(cut.section)) {
      const StripSizes strip = stripSizes(cut.section);
      like.what = "plate " + shown(strip.thick_mm);
      like.what += specialWords(like.what, cut.material);
      like.what += cut.grade.empty() ? "" : ", " + cut.grade;
      like.unit = "m2";
      each = cut.length_mm * strip.wide_mm / kSquareMmPerM2;
    } else {
      like.what = cut.name + (cut.section.empty() ? "" : ", " + cut.section);
      like.unit = "piece";
      each = 1;
    }
    OrderRow& row = rows.of(like);
    row.quantity += each * cut.quantity;
    row.mass_kg += cut.mass_kg * cut.quantity;
    addMark(row, cut.mark);
  }
}

void addConcrete(const Schedules& schedules, Rows& rows) {
  for (const PartRow& part : schedules.parts) {
    if (part.material != "concrete") {
      continue;
    }
    OrderRow like;
    like.what = part.name;
    like.material = part.material;
    like.unit = "m3";
    OrderRow& row = rows.of(like);
    row.quantity += part.quantity * part.volume_mm3 / kCubicMmPerM3;
    row.mass_kg += part.quantity * part.mass_kg;
    addMark(row, part.mark);
  }
}

/// No solids, so not in the footing's volume.
void addBlocks(const Schedules& schedules, Rows& rows) {
  for (const StructurePost& post : schedules.loads.structure.posts) {
    if (!post.block) {
      continue;
    }
    const PostBlock& block = *post.block;
    OrderRow like;
    like.what = "block under the " + post.name + ", " + shown(block.along_mm) + " x " +
                shown(block.across_mm) + " x " + shown(block.depth_mm) +
                ", without the slab's part in it";
    like.material = "concrete";
    like.unit = "m3";
    OrderRow& row = rows.of(like);
    row.quantity +=
        (block.along_mm * block.across_mm * block.depth_mm - block.in_slab_mm3) / kCubicMmPerM3;
    addMark(row, post.mark);
  }
}

}  // namespace

std::vector<OrderRow> orderRows(const Schedules& schedules) {
  Rows rows;
  addHardware(schedules, rows);
  addBoxes(schedules, rows);
  addBars(schedules, rows);
  addSheets(schedules, rows);
  addConcrete(schedules, rows);
  addBlocks(schedules, rows);
  return std::move(rows.rows());
}

}  // namespace leafstack
