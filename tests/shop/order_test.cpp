// The order list against the model it is for.
#include "generator/shop/order.h"

#include <gtest/gtest.h>

#include <BRepAlgoAPI_Common.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <GProp_GProps.hxx>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "generator/layout/layout.h"
#include "tests/support/built_gates.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

struct Ordered {
  Model model;
  Schedules schedules;
  std::vector<OrderRow> rows;

  double total(const std::string& unit, const std::string& begins = "") const {
    double sum = 0;
    for (const OrderRow& row : rows) {
      sum += row.unit == unit && row.what.starts_with(begins) ? row.quantity : 0;
    }
    return sum;
  }
};

Ordered orderedOf(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  Ordered made{buildModel(spec, layOut(spec).layout), {}, {}};
  made.schedules = makeSchedules(made.model);
  planStock(made.model, made.schedules);
  made.rows = orderRows(made.schedules);
  return made;
}

TEST(Order, BuysEveryBoughtPieceOnceAndEveryBarOfThePlan) {
  for (const int panels : {1, 3}) {
    const Ordered made = orderedOf({{"/gate/panels", panels}, {"/gate/cladding/kind", "boards"}});
    double bought = 0, rope_m = 0;
    for (const Instance& instance : made.model.instances) {
      const Part& part = made.model.parts[instance.part];
      const bool is_bought = part.supply == Supply::kBought || part.supply == Supply::kEnvelope;
      // Screws, nuts and washers go by the box: fasteners_test. Anchors are pieces.
      const bool is_boxed = isFastener(part.kind) && part.kind != PartKind::kAnchor;
      bought += is_bought && !is_boxed && part.kind != PartKind::kRope ? 1 : 0;
    }
    for (const RopeRow& rope : made.schedules.loads.ropes) {
      rope_m += rope.order_length_mm / 1000;
    }
    std::set<std::string> in_bill;
    for (const BillRow& bill : made.schedules.bill) {
      in_bill.insert(bill.mark);
    }
    double pieces = 0;
    for (const OrderRow& row : made.rows) {
      const bool is_of_bill = in_bill.contains(row.marks.substr(0, row.marks.find(' ')));
      const bool is_motors_anchor = row.what.starts_with("anchor into concrete");
      pieces += row.unit == "piece" && !is_motors_anchor && is_of_bill ? row.quantity : 0;
    }
    EXPECT_EQ(pieces, bought);
    EXPECT_NEAR(made.total("m", "wire rope"), rope_m, 1e-9);
    double bars = 0, boards = 0;
    for (const StockGroup& group : made.schedules.stock) {
      (group.material == "timber" ? boards : bars) += static_cast<double>(group.plan.bars.size());
    }
    EXPECT_GT(bars, 4);
    EXPECT_EQ(made.total("bar"), bars);
    EXPECT_GT(boards, 4);
    EXPECT_EQ(made.total("board"), boards);
  }
}

// What is cut: every mark of the cut list stands in the order, in one row.
TEST(Order, EveryCutPartHasSomethingToBeCutFrom) {
  const Ordered made = orderedOf({{"/gate/panels", 4}, {"/gate/cladding/kind", "battens"}});
  std::map<std::string, int> rows_of;
  for (const OrderRow& row : made.rows) {
    std::string mark;
    for (const char c : row.marks + ' ') {
      if (c == ' ') {
        rows_of[mark] += 1;
        mark.clear();
      } else {
        mark += c;
      }
    }
  }
  for (const CutRow& cut : made.schedules.cut_list) {
    EXPECT_GE(rows_of[cut.mark], 1) << cut.mark;
  }
  for (const BillRow& bill : made.schedules.bill) {
    if (bill.supply != "on site") {
      EXPECT_GE(rows_of[bill.mark], 1) << bill.mark;
    }
  }
}

// By hand: a length of 4000 holds two boards of some 1600 with trim 10 and kerf 3, not three.
TEST(Order, BoardsAreCutFromTheLengthsThatAreSold) {
  const Ordered made = orderedOf({{"/gate/panels", 1},
                                  {"/gate/cladding/kind", "boards"},
                                  {"/gate/cladding/width_mm", 100},
                                  {"/shop/timber_lengths_mm", gates::Json::array({4000})}});
  int pieces = 0, boards = 0;
  double longest = 0, shortest = 1e9;
  for (const Instance& instance : made.model.instances) {
    const Part& part = made.model.parts[instance.part];
    if (part.kind == PartKind::kBoard) {
      ++pieces;
      longest = std::max(longest, part.length_mm);
      shortest = std::min(shortest, part.length_mm);
    }
  }
  ASSERT_GT(pieces, 10);
  ASSERT_LT(2 * longest + 13, 4000);  // trim 10, kerf 3
  ASSERT_GT(3 * shortest, 4000);
  for (const StockGroup& group : made.schedules.stock) {
    if (group.material == "timber") {
      EXPECT_EQ(group.section, "timber 100x20");
      boards += static_cast<int>(group.plan.bars.size());
    }
  }
  EXPECT_EQ(boards, (pieces + 1) / 2);
}

/// What a block shares with the footing's slab, by the kernel's common solid.
double inSlab_mm3(const Model& model, const PostBlock& block) {
  double shared = 0;
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind != PartKind::kFooting) {
      continue;
    }
    const double x = model.opening_sign * block.middle_x_mm, top = one.bounds.high[2];
    const gp_Pnt low(x - block.along_mm / 2, block.middle_y_mm - block.across_mm / 2,
                     top - block.depth_mm);
    const gp_Pnt high(x + block.along_mm / 2, block.middle_y_mm + block.across_mm / 2, top);
    GProp_GProps of;
    BRepGProp::VolumeProperties(BRepAlgoAPI_Common(BRepPrimAPI_MakeBox(low, high).Shape(),
                                                   model.parts[one.part].solid.Moved(one.at_closed))
                                    .Shape(),
                                of);
    shared += of.Mass();
  }
  return shared;
}

// Blocks are no solids: 900 x 900 x 900 and the like stand beside the footing's own volume, and are
// cast as one with its slab.
TEST(Order, ConcreteIsTheFootingAndTheBlocks) {
  for (const char* opens : {"right", "left"}) {
    const Ordered made = orderedOf({{"/gate/panels", 2}, {"/site/opens", opens}});
    double wanted_m3 = 0;
    int blocks = 0;
    for (const Part& part : made.model.parts) {
      wanted_m3 += part.material == "concrete" ? part.volume_mm3 / 1e9 : 0;
    }
    for (const StructurePost& post : made.schedules.loads.structure.posts) {
      if (post.block) {
        ++blocks;
        const double shared = inSlab_mm3(made.model, *post.block);
        EXPECT_GT(shared, 0.01e9);
        EXPECT_NEAR(post.block->in_slab_mm3, shared, 1);
        wanted_m3 +=
            (post.block->along_mm * post.block->across_mm * post.block->depth_mm - shared) / 1e9;
      }
    }
    EXPECT_EQ(blocks, 2);
    EXPECT_NEAR(made.total("m3"), wanted_m3, 1e-8);
  }
}

TEST(Order, PlatesAreTheAreaOfTheirBlanks) {
  const Ordered made = orderedOf({{"/gate/panels", 2}});
  double area_m2 = 0;
  for (const ProfileRow& row : made.schedules.profiles) {
    if (row.profile && row.material != "timber") {
      area_m2 += row.quantity * row.profile->width_mm * row.profile->height_mm / 1e6;
    }
  }
  EXPECT_GT(area_m2, 0.05);
  // And the covers' strips, 1.5 thick and as wide as a pin is long, cut straight before they are
  // bent.
  double strips_m2 = 0;
  double wide_mm = 0;
  for (const CutRow& row : made.schedules.cut_list) {
    wide_mm = row.name == "pulley pin" ? row.length_mm : wide_mm;
  }
  for (const CutRow& row : made.schedules.cut_list) {
    strips_m2 += row.name == "pulley cover" ? row.quantity * row.length_mm * wide_mm / 1e6 : 0;
  }
  EXPECT_GT(strips_m2, 0);
  EXPECT_NEAR(made.total("m2"), area_m2 + strips_m2, 1e-9);
}

// What has a grade is ordered by it: nuts of grade 8 (ISO 898-2, from memory), hollow sections and
// plates of the yield that the checks take, ropes by what they must bear at least.
TEST(Order, SaysGradesAndFinishes) {
  const std::vector<OrderRow> rows =
      orderedOf({{"/gate/panels", 2}, {"/gate/yield_N_mm2", 355}}).rows;
  const auto rowOf = [&](const std::string& start) {
    const auto found = std::find_if(
        rows.begin(), rows.end(), [&](const OrderRow& row) { return row.what.starts_with(start); });
    EXPECT_NE(found, rows.end()) << start;
    return found == rows.end() ? OrderRow{} : *found;
  };
  EXPECT_TRUE(rowOf("terminal nut").what.ends_with("grade 8"));
  EXPECT_TRUE(rowOf("nut M12").what.find("grade 8") != std::string::npos);
  EXPECT_TRUE(rowOf("RHS 100x50x3").what.find("S355") != std::string::npos) << "the frame's";
  EXPECT_TRUE(rowOf("plate 6").what.ends_with("S235")) << "what the frame's yield is not of";
  EXPECT_TRUE(rowOf("lipped channel 80x40x4, bars of").what.ends_with("S235"));
  const OrderRow rope = rowOf("wire rope");
  EXPECT_EQ(rope.finish, "galvanised");
  EXPECT_TRUE(rope.what.find("breaks at no less than") != std::string::npos) << rope.what;
  for (const OrderRow& row : rows) {
    EXPECT_EQ(row.what.find("dia 17.2, bore 12.2, turned"), std::string::npos) << row.what;
  }
}

}  // namespace
}  // namespace leafstack
