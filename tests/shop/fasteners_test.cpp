// Screws and anchors, looked at on the solids by the kernel's booleans and by a walk over round
// faces, neither of which knows how they were placed.
#include "generator/shop/fasteners.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Surface.hxx>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Cylinder.hxx>
#include <map>
#include <numbers>
#include <set>

#include "generator/shop/order.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/catalogue.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

double volumeMm3(const TopoDS_Shape& shape) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(shape, properties);
  return properties.Mass();
}

/// Tables of fasteners as printed: ISO 7089, ISO 4762, ISO 4032, ISO 272, DIN 974-1 and tapping
/// drills; from memory.
TEST(FastenerTable, IsTheStandards) {
  struct PrintedSizes {
    double thread, washer, washer_thick, socket_head, key, counterbore, tap, nut, flats;
  };
  const PrintedSizes rows[] = {
      {6, 12, 1.6, 10, 5, 11, 5, 5.2, 10},   {8, 16, 1.6, 13, 6, 15, 6.8, 6.8, 13},
      {10, 20, 2, 16, 8, 18, 8.5, 8.4, 16},  {12, 24, 2.5, 18, 10, 20, 10.2, 10.8, 18},
      {16, 30, 3, 24, 14, 26, 14, 14.8, 24}, {20, 37, 3, 30, 17, 33, 17.5, 18, 30}};
  for (const PrintedSizes& row : rows) {
    const ThreadClass& thread = threadClass(row.thread);
    EXPECT_EQ(thread.washer_mm, row.washer) << row.thread;
    EXPECT_EQ(thread.washer_thickness_mm, row.washer_thick) << row.thread;
    EXPECT_EQ(thread.socket_head_mm, row.socket_head) << row.thread;
    EXPECT_EQ(thread.socket_key_mm, row.key) << row.thread;
    EXPECT_EQ(thread.counterbore_mm, row.counterbore) << row.thread;
    EXPECT_EQ(thread.tap_mm, row.tap) << row.thread;
    EXPECT_EQ(thread.nut_mm, row.nut) << row.thread;
    EXPECT_EQ(thread.across_flats_mm, row.flats) << row.thread;
    EXPECT_GT(thread.washer_hole_mm, row.thread);
    EXPECT_LT(thread.washer_hole_mm, thread.hole_mm);
  }
}

/// Lengths of ISO 888, from memory: 16 and 20 are sold, 18 is not.
TEST(FastenerTable, LengthsAreThoseSold) {
  EXPECT_EQ(screwNoShorter_mm(16), 16);
  EXPECT_EQ(screwNoShorter_mm(16.1), 20);
  EXPECT_EQ(screwNoLonger_mm(19.9), 16);
  EXPECT_EQ(screwNoLonger_mm(20), 20);
  EXPECT_EQ(threadThrough(14).thread_mm, 12);   // ISO 273 medium: 13.5
  EXPECT_EQ(threadThrough(11).thread_mm, 10);   // 11
  EXPECT_EQ(threadThrough(10.9).thread_mm, 8);  // 9
}

class Fasteners : public testing::TestWithParam<const char*> {
 protected:
  void SetUp() override {
    const GateSpec spec = gates::specOf(Json::parse(GetParam()));
    model_ = buildModel(spec, gates::laidOut(spec));
  }
  const Part& partOf(int instance) const { return model_.parts[model_.instances[instance].part]; }
  TopoDS_Shape placed(int instance) const {
    return partOf(instance).solid.Moved(model_.instances[instance].at_closed);
  }
  /// From `from` to `to` out of the seat.
  static TopoDS_Shape cylinder(const Fastening& f, double radius, double from, double to) {
    const gp_Dir out(f.out[0], f.out[1], f.out[2]);
    const gp_Pnt at =
        gp_Pnt(f.seat_mm[0], f.seat_mm[1], f.seat_mm[2]).Translated(gp_Vec(out) * from);
    return BRepPrimAPI_MakeCylinder(gp_Ax2(at, out), radius, to - from).Solid();
  }
  static TopoDS_Shape ring(const Fastening& f, const std::array<double, 2>& radii, double from,
                           double to) {
    return BRepAlgoAPI_Cut(cylinder(f, radii[1], from, to), cylinder(f, radii[0], from, to))
        .Shape();
  }
  /// Share of a probe that is in the material of an instance.
  double share(int instance, const TopoDS_Shape& probe) const {
    return volumeMm3(BRepAlgoAPI_Common(placed(instance), probe).Shape()) / volumeMm3(probe);
  }
  bool isNear(int instance, const Fastening& f, double reach_mm) const {
    const Bounds& box = model_.instances[instance].bounds;
    for (int axis = 0; axis < 3; ++axis) {
      if (box.low[axis] > f.seat_mm[axis] + reach_mm ||
          box.high[axis] < f.seat_mm[axis] - reach_mm) {
        return false;
      }
    }
    return true;
  }
  /// Of a motor, whose feet and their holes are not drawn.
  bool isInEnvelope(const Fastening& f) const {
    return partOf(f.under_head).supply == Supply::kEnvelope;
  }
  std::string inWords(const Fastening& f) const {
    return model_.instanceName(f.screw) + ", " + f.what;
  }
  /// One of each that are alike.
  std::vector<const Fastening*> firsts() const {
    std::map<std::tuple<int, int, int, std::string>, const Fastening*> first;
    for (const Fastening& f : model_.fastenings) {
      first.try_emplace({model_.instances[f.screw].part, model_.instances[f.under_head].part,
                         f.holds_in < 0 ? -1 : model_.instances[f.holds_in].part, f.what},
                        &f);
    }
    std::vector<const Fastening*> all;
    for (const auto& [key, f] : first) {
      all.push_back(f);
    }
    return all;
  }

  Model model_;
};

TEST_P(Fasteners, PassThroughHolesAndHoldInMetal) {
  const std::vector<const Fastening*> all = firsts();
  EXPECT_GE(all.size(), 6U);
  for (const Fastening* one : all) {
    const Fastening& f = *one;
    const double shank = f.thread_mm / 2;
    if (!isInEnvelope(f)) {
      EXPECT_LT(share(f.under_head, cylinder(f, shank - 0.01, -f.grip_mm, 0)), 1e-6) << inWords(f);
    }
    ASSERT_GE(f.holds_in, 0) << inWords(f);
    if (f.kind == ScrewKind::kAnchor) {
      const std::string& holds = partOf(f.holds_in).material;
      EXPECT_TRUE(holds == "concrete" || holds == "site") << inWords(f) << " in " << holds;
      // Concrete, not air, is under it.
      EXPECT_GT(share(f.holds_in, cylinder(f, shank, -f.grip_mm - 2, -f.grip_mm - 1)), 0.999)
          << inWords(f);
      continue;
    }
    if (f.is_match_drilled) {  // metal right behind what it holds, and no hole yet
      EXPECT_GT(share(f.holds_in, cylinder(f, shank + 2, -f.grip_mm - 1, -f.grip_mm)), 0.999)
          << inWords(f);
      continue;
    }
    // The washer lies in the grip.
    const double held =
        f.grip_mm - (f.washer >= 0 ? threadClass(f.thread_mm).washer_thickness_mm : 0);
    const double root = threadClass(f.thread_mm).tap_mm / 2 - 0.05;
    EXPECT_LT(share(f.holds_in, cylinder(f, root, -held - f.hold_mm, -held)), 1e-6) << inWords(f);
    // Metal about the thread: all along where it is tapped, the wall where it is formed.
    const TopoDS_Shape about = ring(f, {shank, shank + 0.5}, -held - f.hold_mm, -held);
    const double least = f.is_tapped ? 0.9 : 0.2;
    EXPECT_GT(share(f.holds_in, about), least) << inWords(f);
    EXPECT_GE(f.hold_mm, f.thread_mm) << inWords(f);
  }
}

TEST_P(Fasteners, SeatOnMaterial) {
  for (const Fastening* one : firsts()) {
    const Fastening& f = *one;
    const ThreadClass& thread = threadClass(f.thread_mm);
    std::array<double, 2> radii{};
    if (isInEnvelope(f)) {
      continue;
    }
    if (f.kind == ScrewKind::kCountersunk || f.kind == ScrewKind::kDrilling) {
      radii = {f.thread_mm + 0.1, f.thread_mm + 0.6};  // about the sunk head
    } else if (f.washer >= 0) {
      radii = {thread.washer_hole_mm / 2 + 1, thread.washer_mm / 2 - 0.1};
    } else if (f.kind == ScrewKind::kSocket) {
      radii = {thread.hole_mm / 2 + 0.1, thread.socket_head_mm / 2 - 0.1};
    } else {
      radii = {thread.hole_mm / 2 + 0.1, thread.across_flats_mm / 2 - 0.1};
    }
    EXPECT_GT(share(f.under_head, ring(f, radii, -0.2, -0.01)), 0.97) << inWords(f);
    EXPECT_LT(share(f.under_head, ring(f, radii, 0.01, 0.2)), 1e-6) << inWords(f);
  }
}

/// A socket's outside, half (read off a maker's chart for M8, M10, M12 and M16; smaller ones from
/// memory), over the washer meets nothing that is there when it is put on.
TEST_P(Fasteners, SocketsGoOnWhereTheListSaysSo) {
  const std::map<double, double> half = {{5, 7}, {6, 8}, {8, 11}, {10, 13.5}, {12, 15}, {16, 19}};
  std::map<std::tuple<std::string, std::string, std::string, int>, const FastenerRow*> listed;
  const Schedules schedules = makeSchedules(model_);
  for (const FastenerRow& row : schedules.fasteners) {
    if (!row.blocked_by.empty()) {
      continue;  // told as one that no tool reaches
    }
    EXPECT_FALSE(row.tool.empty()) << row.mark;
    const auto [at, is_new] =
        listed.try_emplace({row.mark, row.what, row.under_head, row.panel}, &row);
    at->second = is_new || at->second->tool == row.tool ? &row : nullptr;  // by place: not told
  }
  int sockets = 0;
  for (const Fastening* one : firsts()) {
    const Fastening& f = *one;
    const auto row = listed.find(
        {partOf(f.screw).mark, f.what, partOf(f.under_head).mark, model_.instances[f.screw].panel});
    if (row == listed.end() || row->second == nullptr || !row->second->tool.starts_with("socket") ||
        !half.contains(f.thread_mm)) {
      continue;
    }
    ++sockets;
    const double washer = f.washer >= 0 ? threadClass(f.thread_mm).washer_thickness_mm : 0;
    const TopoDS_Shape tool = cylinder(f, half.at(f.thread_mm), washer + 0.2, washer + 40);
    const int panel = model_.instances[f.screw].panel;
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      const PartKind kind = partOf(i).kind;
      const bool comes_later = kind == PartKind::kRope || kind == PartKind::kTerminal ||
                               kind == PartKind::kTerminalNut || kind == PartKind::kGuideBlock ||
                               kind == PartKind::kCatchBuffer;
      // A motor is its envelope, whose feet are open to a socket.
      if (i == f.screw || i == f.nut || i == f.washer || model_.instances[i].panel != panel ||
          partOf(i).supply == Supply::kEnvelope ||
          model_.instances[i].body != model_.instances[f.screw].body || comes_later ||
          !isNear(i, f, 60)) {
        continue;
      }
      EXPECT_LT(share(i, tool), 1e-6) << inWords(f) << " meets " << model_.instanceName(i);
    }
  }
  EXPECT_GE(sockets, 2);
}

TEST_P(Fasteners, AreAsManyInModelListsAndOrder) {
  const Schedules schedules = makeSchedules(model_);
  std::map<std::string, int> placed, listed, billed;
  for (const Instance& instance : model_.instances) {
    if (isFastener(model_.parts[instance.part].kind)) {
      ++placed[model_.parts[instance.part].mark];
    }
  }
  int screws = 0;
  for (const FastenerRow& row : schedules.fasteners) {
    screws += row.quantity;
    for (const std::string& mark : {row.mark, row.washer, row.nut}) {
      if (placed.contains(mark)) {
        listed[mark] += row.quantity;
      }
    }
  }
  EXPECT_EQ(screws, static_cast<int>(model_.fastenings.size()));
  EXPECT_EQ(listed, placed);
  for (const BillRow& bill : schedules.bill) {
    if (placed.contains(bill.mark)) {
      billed[bill.mark] = bill.quantity;
    }
  }
  EXPECT_EQ(billed, placed);
  int needed = 0, boxes = 0;
  for (const OrderRow& row : orderRows(schedules)) {
    if (row.per_box > 0) {
      const std::size_t at = row.what.rfind(", ");
      const int pieces = std::stoi(row.what.substr(at + 2));
      EXPECT_GE(row.quantity * row.per_box, pieces) << row.what;
      EXPECT_LT((row.quantity - 1) * row.per_box, pieces) << row.what;
      needed += pieces;
      ++boxes;
    }
  }
  int sold_by_box = 0;
  for (const Instance& instance : model_.instances) {
    const PartKind kind = model_.parts[instance.part].kind;
    sold_by_box +=
        kind == PartKind::kScrew || kind == PartKind::kWasher || kind == PartKind::kNut ? 1 : 0;
  }
  EXPECT_EQ(needed, sold_by_box);
  EXPECT_GE(boxes, 4);
}

/// A round face all about its axis, as placed.
struct Round {
  int instance = 0;
  gp_Ax1 axis;
  double radius = 0, from = 0, to = 0;  ///< along the axis from its origin
  bool is_hole = false;
};

std::vector<Round> roundsOf(const Model& model, int instance) {
  std::vector<Round> rounds;
  const TopoDS_Shape solid =
      model.parts[model.instances[instance].part].solid.Moved(model.instances[instance].at_closed);
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face);
    const double turn = surface.LastUParameter() - surface.FirstUParameter();
    if (surface.GetType() != GeomAbs_Cylinder || turn < 2 * std::numbers::pi - 1e-6) {
      continue;
    }
    const gp_Cylinder cylinder = surface.Cylinder();
    const bool looks_out = (face.Orientation() != TopAbs_REVERSED) == cylinder.Direct();
    rounds.push_back({instance, cylinder.Axis(), cylinder.Radius(), surface.FirstVParameter(),
                      surface.LastVParameter(), !looks_out});
  }
  return rounds;
}

/// Does a round body go through the hole, or into it?
bool fills(const Round& body, const Round& hole) {
  constexpr double kOffAxisMm = 0.02;
  if (body.is_hole || body.instance == hole.instance || body.radius > hole.radius + 1e-6 ||
      !body.axis.Direction().IsParallel(hole.axis.Direction(), 1e-6)) {
    return false;
  }
  const gp_Vec between(hole.axis.Location(), body.axis.Location());
  const gp_Vec along(hole.axis.Direction());
  if (between.Crossed(along).Magnitude() > kOffAxisMm) {
    return false;
  }
  const double way = along.Dot(gp_Vec(body.axis.Direction()));
  const double a = between.Dot(along) + way * body.from, b = between.Dot(along) + way * body.to;
  return std::min(a, b) < hole.to && std::max(a, b) > hole.from;
}

/// Every round hole has something in it, but for vents and ropes' terminals, whose ropes are not
/// straight.
TEST_P(Fasteners, LeaveNoHoleWithoutAPurpose) {
  std::map<int, std::vector<Round>> by_panel;
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    if (partOf(i).kind != PartKind::kRope) {
      for (const Round& round : roundsOf(model_, i)) {
        by_panel[model_.instances[i].panel].push_back(round);
      }
    }
  }
  int holes = 0;
  std::set<std::string> empty;
  for (const auto& [panel, rounds] : by_panel) {
    for (const Round& hole : rounds) {
      const Part& part = partOf(hole.instance);
      const bool is_for_rope = part.kind == PartKind::kTerminal;
      if (!hole.is_hole || is_for_rope || !part.vents.empty()) {
        continue;
      }
      ++holes;
      if (std::none_of(rounds.begin(), rounds.end(),
                       [&](const Round& body) { return fills(body, hole); })) {
        empty.insert(part.mark + " " + part.name + " dia " + std::to_string(2 * hole.radius));
      }
    }
  }
  EXPECT_GT(holes, 40);
  EXPECT_EQ(empty, std::set<std::string>());
}

INSTANTIATE_TEST_SUITE_P(
    OwnGates, Fasteners,
    testing::Values(R"({"leafstack":1,"site":{"opening_mm":5600},"gate":{"panels":2}})",
                    R"({"leafstack":1,"site":{"opening_mm":7100,"grade":-0.04,"opens":"left"},
                        "gate":{"panels":3,"infill":{"kind":"slats"}},
                        "guides":{"mount":"overhead"}})",
                    R"({"leafstack":1,"site":{"opening_mm":4700,"grade":0.03},
                        "gate":{"panels":2,"material":"aluminium","infill":{"kind":"sheet"}},
                        "guides":{"mount":"reach-over"}})",
                    R"({"leafstack":1,"site":{"opening_mm":5200},"hardware":"heavy",
                        "gate":{"panels":1}})",
                    R"({"leafstack":1,"site":{"opening_mm":5100,"grade":0.035},
                        "gate":{"panels":2,"cladding":{"kind":"boards"}}})",
                    R"({"leafstack":1,"site":{"opening_mm":4900,"opens":"left"},
                        "gate":{"panels":2,"material":"aluminium",
                                "cladding":{"kind":"battens","thickness_mm":25}}})",
                    R"({"leafstack":1,"site":{"opening_mm":4300},"hardware":"light",
                        "gate":{"panels":4}})",
                    R"({"leafstack":1,"site":{"opening_mm":5300,"grade":0.02},
                        "gate":{"panels":2,"height_mm":1600},
                        "hardware":{"set":"medium","rack":{"fixing":"foot","height_mm":22},
                                    "motor":{"pinion_up_mm":90}}})"));

/// Heads of ISO 10642 bear 80 % of what a hexagon bolt does (the standard's note on reduced
/// loadability, from memory).
TEST(FastenerTorque, IsLessForSunkHeads) {
  int sunk = 0, others = 0;
  for (const FastenerRow& row : makeSchedules(gates::modelWith({{"/gate/panels", 2}})).fasteners) {
    if (row.torque_Nm > 0) {
      const bool is_sunk = row.head == "countersunk";
      EXPECT_NEAR(row.torque_Nm, threadClass(row.thread_mm).torque_Nm * (is_sunk ? 0.8 : 1), 1e-9);
      (is_sunk ? sunk : others) += 1;
    }
  }
  EXPECT_GT(sunk, 0);
  EXPECT_GT(others, 0);
}

/// M8: a socket is 22 wide (a maker's chart), a spanner's head some 20, a washer 16; ears of 19
/// have their holes, 1.2 x 9 from the edge, 8.2 off the tube, of 46 35.2 off it.
TEST(FastenerTools, AreMissedWhereAWallIsTooNear) {
  for (const double ear_mm : {19.0, 46.0}) {
    const GateSpec spec = gates::specWith(
        {{"/guides/mount", "overhead"}, {"/hardware/post/overhead_ear_mm", ear_mm}});
    const Model model = buildModel(spec, gates::laidOut(spec));
    const Schedules schedules = makeSchedules(model);
    int seen = 0;
    for (const FastenerRow& row : schedules.fasteners) {
      if (row.what == "the anchor holds the overhead bracket") {
        seen += row.quantity;
        EXPECT_EQ(row.blocked_by.empty(), ear_mm > 40) << row.tool;
        EXPECT_EQ(row.washer.empty(), ear_mm < 40);
      }
    }
    EXPECT_EQ(seen, 4);
    const std::vector<Warning> warnings = warningsOf(model, schedules);
    const auto said = std::count_if(warnings.begin(), warnings.end(), [](const Warning& warning) {
      return warning.id == "no-tool" && warning.text.find("overhead bracket") != std::string::npos;
    });
    EXPECT_EQ(said > 0, ear_mm < 40);
  }
}

/// A catch plate hangs over two of its post's anchors: a socket has no room, a spanner does.
TEST(FastenerTools, AreSpannersUnderneathSomething) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 2}});
  const Schedules schedules = makeSchedules(buildModel(spec, gates::laidOut(spec)));
  std::map<std::string, int> by_tool;
  for (const FastenerRow& row : schedules.fasteners) {
    if (row.head == "nut") {
      EXPECT_TRUE(row.blocked_by.empty()) << row.what << ": " << row.tool;
      by_tool[row.tool] += row.quantity;
    }
  }
  EXPECT_GE(by_tool["socket 18"], 4);
  EXPECT_GE(by_tool["spanner 18"], 1);
}

}  // namespace
}  // namespace leafstack
