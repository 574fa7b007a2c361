// Gates as built, found to work or put right by the program, against a sampler that shares nothing
// but the model's solids with the proof: FCL (Pan, Chitta, Manocha, ICRA 2012) on the kernel's own
// triangles, position by position.
#include <fcl/narrowphase/collision.h>
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <string>

#include "generator/as_built/built_warnings.h"
#include "generator/as_built/corrections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/part_store.h"
#include "tests/as_built/distorted.h"
#include "tests/clash/fcl_surface.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

class Sampler {
 public:
  explicit Sampler(const Model& model) : model_(model), surfaces_(model.parts.size()) {
    for (const Contact& contact : model.contacts) {
      declared_.insert(std::minmax(contact.a, contact.b));
    }
    for (const RopeRun& run : model.ropes) {
      ropes_.insert(run.instance);
    }
  }

  /// The first two that cross anywhere looked at; "" where none do. Ropes, whose strands change,
  /// are left out.
  std::string crossing(int positions) {
    const double travel = model_.layout.drive_travel_mm;
    for (int i = 0; i <= positions; ++i) {
      const double drive = travel * i / positions;
      for (int a = 0; a < static_cast<int>(model_.instances.size()); ++a) {
        for (int b = a + 1; b < static_cast<int>(model_.instances.size()); ++b) {
          if (cross(a, b, drive)) {
            return model_.instanceName(a) + " and " + model_.instanceName(b) + " at " +
                   std::to_string(drive);
          }
        }
      }
    }
    return "";
  }

 private:
  bool cross(int a, int b, double drive) {
    if (model_.instances[a].body == model_.instances[b].body || ropes_.contains(a) ||
        ropes_.contains(b) || declared_.contains(std::minmax(a, b)) || areApart(a, b, drive)) {
      return false;
    }
    fcl::CollisionResultd result;
    return fcl::collide(&surface(a).triangles, placeOf(a, drive), &surface(b).triangles,
                        placeOf(b, drive), fcl::CollisionRequestd(), result) > 0;
  }

  /// By their boxes, which on level ground only go along X.
  bool areApart(int a, int b, double drive) const {
    const double shift = model_.shiftMm(model_.instances[b].panel, drive) -
                         model_.shiftMm(model_.instances[a].panel, drive);
    const Bounds& p = model_.instances[a].bounds;
    const Bounds& q = model_.instances[b].bounds;
    for (int axis = 0; axis < 3; ++axis) {
      const double moved = axis == 0 ? shift : 0;
      if (p.low[axis] > q.high[axis] + moved || q.low[axis] + moved > p.high[axis]) {
        return true;
      }
    }
    return false;
  }

  Surface& surface(int instance) {
    auto& made = surfaces_[model_.instances[instance].part];
    if (!made) {
      made = surfaceOf(model_.parts[model_.instances[instance].part].solid);
    }
    return *made;
  }

  fcl::Transform3d placeOf(int instance, double drive) const {
    const gp_Trsf at = locationAt(model_, model_.instances[instance], drive).Transformation();
    fcl::Transform3d place = fcl::Transform3d::Identity();
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 4; ++column) {
        place(row, column) = at.Value(row + 1, column + 1);
      }
    }
    return place;
  }

  const Model& model_;
  std::vector<std::shared_ptr<Surface>> surfaces_;
  std::set<std::pair<int, int>> declared_;
  std::set<int> ropes_;
};

// Errors that ropes' terminals, shims, stops and packers can make up for, every dimension anywhere
// within them. Of a hundred such gates at least 95 are to be put right.
TEST(AsBuiltFcl, RandomGatesArePutRightAndNothingCrosses) {
  const int gates = gates::rounds(4, 100);
  constexpr int kPositions = 40;
  Dice dice(20261130);
  int right = 0, asked = 0;
  for (int i = 0; asked < gates; ++i) {
    gates::Json file = gates::plainGate(dice);
    const GateSpec drawn_spec = gates::specOf(file);
    const LayoutResult laid = layOut(drawn_spec);
    if (!laid.problems.empty()) {
      continue;  // no gate to be built
    }
    gates::measure(file, laid.layout, drawn_spec, dice, {});
    const GateSpec spec = gates::specOf(file);
    PartStore parts;
    ProofStore proofs;
    const Model drawn = buildModel(spec, laid.layout, &parts);
    if (checkClashes(drawn, &proofs).verdict != Verdict::kClear) {
      continue;  // it does not work as drawn
    }
    const DeviationsRead read = deviationsOf(spec, laid.layout);
    ASSERT_TRUE(read.questions.empty()) << read.questions.front().text << file.dump();
    const Corrected built = correct({&spec, &laid.layout, &read.off}, {&parts, &proofs});
    if (!built.contradictions.empty()) {
      continue;  // a motor built into a post: nobody can
    }
    ++asked;
    if (built.verdict == BuiltVerdict::kRemake || built.verdict == BuiltVerdict::kCannot) {
      std::printf("[          ] not put right: %s\n%s\n", inWords(built).c_str(),
                  file.dump().c_str());
      continue;
    }
    ++right;
    EXPECT_TRUE(built.proved.findings.empty());
    EXPECT_EQ(Sampler(built.model).crossing(kPositions), "") << file.dump();
  }
  EXPECT_GE(right, gates * 95 / 100);
  RecordProperty("put_right", right);
  std::printf("[          ] %d of %d put right\n", right, gates);
}

// Errors beyond all that can be set: what is told to be made anew is proved, and where panels are
// too long, no less than hand arithmetic says. A panel L too long, its end stop set by up to S and
// the panel itself along by up to A, has S + A + gap - 1 to give: ropes' terminals, or where the
// drive stops, and 1 of the gap is kept.
TEST(AsBuiltFcl, ErrorsBeyondWhatCanBeSetAreCutAndProved) {
  const int gates = gates::rounds(2, 50);
  Dice dice(20261201);
  int cut = 0, asked = 0, cannot = 0;
  while (asked < gates) {
    gates::Json file = gates::plainGate(dice);
    file["as_built"]["stops_most_mm"] = 3;
    const GateSpec drawn_spec = gates::specOf(file);
    const LayoutResult laid = layOut(drawn_spec);
    if (!laid.problems.empty()) {
      continue;
    }
    const int count = laid.layout.panel_count;
    const int panel = 1 + dice.below(count);
    const double longer = std::round(2 * dice.in(30, 45)) / 2;
    const PanelLayout& row = laid.layout.panel(panel);
    gates::Json one = {{"number", panel}, {"length_mm", row.length_mm + longer}};
    if (row.length_mm > row.frame_length_mm) {
      one["frame_mm"] = row.frame_length_mm + longer;
    }
    file["as_built"]["panels"] = gates::Json::array({one});
    const GateSpec spec = gates::specOf(file);
    PartStore parts;
    ProofStore proofs;
    const Model drawn = buildModel(spec, laid.layout, &parts);
    if (checkClashes(drawn, &proofs).verdict != Verdict::kClear) {
      continue;
    }
    ++asked;
    const DeviationsRead read = deviationsOf(spec, laid.layout);
    ASSERT_TRUE(read.questions.empty()) << read.questions.front().text;
    const Corrected built = correct({&spec, &laid.layout, &read.off}, {&parts, &proofs});
    ASSERT_NE(built.verdict, BuiltVerdict::kWorks) << file.dump();
    if (built.verdict == BuiltVerdict::kCannot) {
      ++cannot;
      std::printf("[          ] no re-cut: %s\n%s\n", inWords(built).c_str(), file.dump().c_str());
      continue;
    }
    EXPECT_TRUE(built.proved.findings.empty());
    EXPECT_EQ(Sampler(built.model).crossing(40), "") << file.dump();
    if (built.verdict == BuiltVerdict::kRemake) {
      ++cut;
      const double along = panel == 1
                               ? spec.as_built.stops_most_mm
                               : std::max(spec.as_built.stops_most_mm, terminalOf(spec).adjust_mm);
      const double gap = spec.hardware.stop.gap_mm;
      const double least = longer - (spec.as_built.stops_most_mm + along + gap - 1);
      EXPECT_GE(built.set.panel(panel).shorten_mm, least - 1e-6) << file.dump();
      EXPECT_LE(built.set.panel(panel).shorten_mm, longer) << file.dump();
    }
  }
  EXPECT_LE(cannot, gates / 25);
  EXPECT_GT(cut, 0);
  std::printf("[          ] %d of %d cut, %d cannot\n", cut, gates, cannot);
}

}  // namespace
}  // namespace leafstack
