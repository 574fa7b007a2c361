// A declared contact must not hide a clash: the kernel's own common volume of every declared pair,
// which the check itself judges on mesh points to be quick.
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

#include "generator/clash/placed/exact.h"
#include "generator/clash/findings/findings.h"
#include "generator/clash/placed/placed.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

Model modelOf(const std::string& name) {
  const std::string path = std::string(LEAFSTACK_SOURCE_DIR) + "/tests/gates/" + name + ".json";
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  const ReadResult read = readGate(text.str(), path);
  if (!read.gate) {
    throw std::runtime_error(path + " is not a valid gate");
  }
  return buildModel(read.gate->spec, layOut(read.gate->spec).layout);
}

/// Alike pairs of one body need measuring once: pickets on a rail differ only in where they stand.
std::string alikeKey(const Model& model, const Contact& contact) {
  const Instance& a = model.instances[contact.a];
  const Instance& b = model.instances[contact.b];
  const double apart_z = b.bounds.low[2] - a.bounds.low[2];
  const double apart_y = b.bounds.low[1] - a.bounds.low[1];
  return std::to_string(a.part) + "," + std::to_string(b.part) + "," + std::to_string(apart_y) +
         "," + std::to_string(apart_z);
}

/// What is drawn into another on purpose: a drilling screw cuts its own thread, holes of the
/// footing are not drawn, and nobody knows what a motor's envelope is made of.
bool isDrawnIntoTheOther(const Contact& contact) {
  static const std::set<std::string> kReasons = {
      "the screw's thread is in what holds it",
      "the dowel is bonded into the footing, whose hole is not drawn",
      "the washer lies on its plate", "the nut stands in the foot's envelope",
      "the anchor holds the motor"};
  return contact.permitted_overlap_mm > 0 && kReasons.contains(contact.reason);
}

class DeclaredContacts : public testing::TestWithParam<const char*> {};

TEST_P(DeclaredContacts, HideNoOverlap) {
  const Model model = modelOf(GetParam());
  PlacedShapes shapes(model);
  std::set<std::string> seen;
  int measured = 0;
  int meshing = 0;
  for (const Contact& contact : model.contacts) {
    const bool moves = model.instances[contact.a].body != model.instances[contact.b].body;
    if (!moves && !seen.insert(alikeKey(model, contact)).second) {
      continue;
    }
    for (double part_open : {0.0, 0.37, 1.0}) {
      const double at = part_open * model.layout.drive_travel_mm;
      const Bounds there =
          placedBox(shapes.seenFrom(contact.a, contact.b, at), shapes.ownBounds(contact.b));
      const bool apart = boxDistance(shapes.ownBounds(contact.a), there, 0) > 0;
      if (apart || (!moves && at > 0)) {
        continue;
      }
      const SharedSolid shared =
          sharedSolid(shapes.shapeAt(contact.a, at), shapes.shapeAt(contact.b, at));
      ++measured;
      if (contact.kind == ContactKind::kMesh && shared.volume_mm3 > kNoVolumeMm3) {
        // Rack and pinion are drawn to their tooth tips: the working depth of two modules.
        EXPECT_NEAR(shared.bounds.high[2] - shared.bounds.low[2],
                    2 * model.spec.hardware.rack.module_mm, kBoundsSlackMm);
        ++meshing;
        continue;
      }
      if (isDrawnIntoTheOther(contact)) {  // no more than the lesser of the two
        const double a = model.parts[model.instances[contact.a].part].volume_mm3;
        const double b = model.parts[model.instances[contact.b].part].volume_mm3;
        EXPECT_LT(shared.volume_mm3, std::min(a, b) + kNoVolumeMm3) << contact.reason;
        continue;
      }
      EXPECT_LT(shared.volume_mm3, kNoVolumeMm3)
          << model.instanceName(contact.a) << " and " << model.instanceName(contact.b) << " at "
          << at << ": " << contact.reason;
    }
  }
  EXPECT_GT(measured, 100);
  EXPECT_GE(meshing, 3) << "the pinion must be in mesh closed, half way and open";
}

INSTANTIATE_TEST_SUITE_P(Gates, DeclaredContacts,
                         testing::Values("four-staggered-left", "two-reach-over-aluminium",
                                         "three-recessed-sheet"));

}  // namespace
}  // namespace leafstack
