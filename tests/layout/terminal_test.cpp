// Rope terminals and what of the layout follows from them, recomputed by hand.
#include "generator/layout/figures/terminal.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "generator/layout/layout.h"
#include "params/catalogue/catalogue.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

GateSpec gateWith(const std::string& hardware, int panels = 3, const std::string& ropes = "{}") {
  const std::string text = R"({"site": {"opening_mm": 6000}, "gate": {"panels": )" +
                           std::to_string(panels) + R"(}, "ropes": )" + ropes +
                           R"(, "hardware": )" + hardware + "}";
  const ReadResult read = readGate(text, "test");
  EXPECT_TRUE(read.gate) << text << (read.gate ? "" : toString(read.problems.front()));
  return read.gate ? read.gate->spec : GateSpec{};
}

std::string problemAt(const GateSpec& spec, const std::string& pointer) {
  for (const LayoutProblem& problem : layOut(spec).problems) {
    if (problem.pointer == pointer) {
      return problem.text;
    }
  }
  return "";
}

// ISO 4014 (height of a bolt's head, over corners) and ISO 273, medium (the hole it passes), as
// printed in tables of fasteners; flow-drilled holes of a maker's table, from memory.
TEST(Fasteners, BoltsAreTheStandards) {
  const double table[][5] = {{6, 4, 11.05, 6.6, 5.4},
                             {8, 5.3, 14.38, 9, 7.3},
                             {10, 6.4, 17.77, 11, 9.2},
                             {12, 7.5, 20.03, 13.5, 11},
                             {16, 10, 26.75, 17.5, 14.8}};
  for (const auto& [thread, head, corners, hole, form] : table) {
    const ThreadClass& one = threadClass(thread);
    EXPECT_EQ(one.thread_mm, thread);
    EXPECT_EQ(one.head_mm, head);
    EXPECT_EQ(one.across_corners_mm, corners);
    EXPECT_EQ(one.hole_mm, hole);
    EXPECT_EQ(one.form_mm, form);
    // A hexagon's corners are 2 / sqrt 3 of its flats apart, less what a chamfer takes.
    EXPECT_NEAR(corners, one.across_flats_mm * 2 / std::sqrt(3), 0.05 * corners);
  }
  EXPECT_EQ(threadClass(9).thread_mm, 10);   // the next larger
  EXPECT_EQ(threadClass(40).thread_mm, 24);  // the largest
}

// ISO 4032 (height of a nut) and ISO 272 (across flats), as printed in tables of fasteners.
TEST(Terminals, NutsAreTheStandards) {
  const double printed[][3] = {{5, 4.7, 8},    {6, 5.2, 10},   {8, 6.8, 13}, {10, 8.4, 16},
                               {12, 10.8, 18}, {16, 14.8, 24}, {20, 18, 30}};
  for (const auto& [thread, nut, across] : printed) {
    bool found = false;
    for (const ThreadClass& one : threadClasses()) {
      if (one.thread_mm == thread) {
        found = true;
        EXPECT_EQ(one.nut_mm, nut) << thread;
        EXPECT_EQ(one.across_flats_mm, across) << thread;
        // Root of an external coarse thread, DIN 13: d - 1.22687 P.
        EXPECT_LT(one.root_mm, thread - 1.22 * 0.8) << thread;
      }
    }
    EXPECT_TRUE(found) << thread;
  }
}

// The medium set with a 3 mm rope and a rail 50 deep. A hollow screw M8: nut 13 across flats, so
// 13 / sqrt(3) = 7.51 from its axis to a corner. Strands 7.51 + 1.75 (axle's head) + 2 = 11.26, in
// halves 11.5 off the rail. Pitch 50 + 23 = 73, rim 36.5 + 3.5 = 40; inset 40 + 2 + 2 = 44. Bracket
// face at 25 + 5 = 30 from the pulley's axis across: sqrt(42^2 - 30^2) = 29.39 along, + 16 half a
// bracket + 2 (ISO 13920 B), up to whole mm: 48. Apart: 7.51 + 7 (half a pulley) + 2: 17.
TEST(Terminals, TheMediumSetByHand) {
  const GateSpec spec = gateWith("\"medium\"");
  const Terminal terminal = terminalOf(spec);
  EXPECT_EQ(terminal.thread_mm, 8);
  EXPECT_NEAR(terminal.nutRadiusMm(), 13 / std::sqrt(3), 1e-12);
  EXPECT_EQ(strandOffsetMm(spec), 11.5);
  EXPECT_EQ(pulleyInsetMm(spec), 44);
  EXPECT_EQ(bracketClearanceMm(spec), 48);
  EXPECT_EQ(ropesApartMm(spec), 17);
  EXPECT_EQ(bracketHeightMm(spec), 34);  // 17 + a bore of 8.6 + 2 x 4, up to whole mm
  EXPECT_EQ(terminal.length_mm, 47);     // 32 + 2 x 6.8 + 1, up to whole mm
  // Mid-way: flush less half of the range, ferrule behind the thread.
  EXPECT_EQ(terminal.mouthMm(), 16 - 10);
  EXPECT_EQ(terminal.nearMm(), 16);
  EXPECT_EQ(terminal.insideMm(), 47 + 13.5);
  // Rooms of trade arithmetic for a 6000 mm opening: reach 92, least overlap 80.
  const double rooms[] = {3300, 2300, 1892};
  for (int panels = 2; panels <= 4; ++panels) {
    const Layout layout = layOut(gateWith("\"medium\"", panels)).layout;
    EXPECT_NEAR(layout.reach_mm, 92, 1e-9);
    EXPECT_NEAR(layout.panels[static_cast<std::size_t>(panels) - 2].overlap_mm, 80, 1e-9);
    EXPECT_NEAR(layout.room_mm, rooms[panels - 2], 1e-6) << panels;
  }
}

// A stud M6 swaged on 3 mm: bracket 32, nuts 2 x 5.2 + 1, range 20: 64 of thread (63.4). Slack it
// stands out by 16 + 20 + a swaged part of 42: 78. That the rim clears it: sqrt(rim^2 - across^2)
// more, with `across` from the pulley's axis to the swaged part's near side.
TEST(Terminals, AStudNeedsMoreRoomBeforeThePulley) {
  const GateSpec spec = gateWith(R"({"terminal": {"kind": "stud"}})");
  const Terminal terminal = terminalOf(spec);
  EXPECT_EQ(terminal.thread_mm, 6);
  EXPECT_EQ(terminal.length_mm, 64);
  EXPECT_EQ(terminal.nearMm(), 16 + 20 + 42);
  const double pitch = pulleyPitchMm(spec);
  const double rim = pulleyRimMm(spec, pitch) + 2;
  const double across = pitch / 2 - terminal.sleeve_mm / 2;
  EXPECT_EQ(bracketClearanceMm(spec), std::ceil(std::sqrt(rim * rim - across * across) + 78 + 2));
  const Layout layout = layOut(spec).layout;
  EXPECT_GT(layout.room_mm, layOut(gateWith("\"medium\"")).layout.room_mm + 100);
}

TEST(Terminals, WhatDoesNotGoTogetherIsRefusedWithTheFigureThatWould) {
  const auto refused = [](const std::string& hardware, const std::string& pointer,
                          const std::string& words, const std::string& ropes = "{}") {
    const std::string text = problemAt(gateWith(hardware, 3, ropes), pointer);
    EXPECT_NE(text.find(words), std::string::npos) << hardware << ": " << text;
  };
  refused(R"({"terminal": {"length_mm": 40}})", "/hardware/terminal/length_mm", "at least 47 mm");
  refused(R"({"terminal": {"adjust_mm": 30}})", "/hardware/terminal/adjust_mm",
          "at most 24 mm at each end, or a bracket of 38 mm");
  refused("{}", "/ropes/adjuster_mm", "at most 24 mm at each end", R"({"adjuster_mm": 60})");
  refused(R"({"terminal": {"thread_mm": 5}})", "/hardware/terminal/thread_mm",
          "5 mm are needed: at least 8 mm");
  refused(R"({"bracket": {"height_mm": 28}})", "/hardware/bracket/height_mm", "at least 30 mm");
  refused(R"({"terminal": {"kind": "stud", "length_mm": 50}})", "/hardware/terminal/length_mm",
          "an adjustment of 20 mm: at least 64 mm");
  refused("{}", "/ropes/bracket_clearance_mm", "at least 46 mm", R"({"bracket_clearance_mm": 40})");
}

}  // namespace
}  // namespace leafstack
