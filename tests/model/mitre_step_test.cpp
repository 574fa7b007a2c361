// Tubes with ends cut aslant, written to STEP and read by a reader that shares nothing with the
// kernel.
#include <gtest/gtest.h>

#include <string>

#include "exporters/cad/step/step_solid.h"
#include "tests/model/mitred_tubes.h"
#include "tests/part21/brep.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

using namespace mitred;

// ---------------------------------------------------------------- STEP

/// As the exporter writes it, made a file of.
std::string fileWith(const SolidText& solid) {
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
         "FILE_NAME('','2024-01-01T00:00:00',(''),(''),'','','');\n"
         "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" +
         solid.entities + "ENDSEC;\nEND-ISO-10303-21;\n";
}

/// How many edges are ellipses in space; others than lines, circles and ellipses fail. Their
/// curves on the faces they part may be anything.
unsigned ellipsesIn(const std::string& text) {
  const part21::File file = part21::parse(text);
  unsigned ellipses = 0;
  for (const auto& [id, instance] : file.instances) {
    const part21::Record* const edge = instance.record("EDGE_CURVE");
    if (edge == nullptr) {
      continue;
    }
    const part21::Instance* curve = file.find(part21::parameter(*edge, 3).id);
    if (const part21::Record* const surface = curve->record("SURFACE_CURVE")) {
      curve = file.find(part21::parameter(*surface, 1).id);
    }
    const bool is_ellipse = curve->record("ELLIPSE") != nullptr;
    EXPECT_TRUE(is_ellipse || curve->record("LINE") != nullptr ||
                curve->record("CIRCLE") != nullptr)
        << id;
    ellipses += is_ellipse ? 1 : 0;
  }
  return ellipses;
}

/// By the reader that shares nothing with the kernel.
part21::Measure readBack(const std::string& text) {
  const part21::File file = part21::parse(text);
  EXPECT_TRUE(file.problems.empty());
  const auto solids = part21::readSolids(file);
  EXPECT_EQ(solids.size(), 1u);
  if (solids.empty()) {
    return {};
  }
  EXPECT_TRUE(solids.begin()->second.problems.empty());
  const part21::Measure measured = part21::measure(file, solids.begin()->second);
  for (const std::string& problem : measured.problems) {
    ADD_FAILURE() << problem;
  }
  return measured;
}

TEST(Mitre, WrittenAndReadBack) {
  for (const Tube& tube : tubes()) {
    SCOPED_TRACE(nameOf(tube));
    for (const TopoDS_Shape& solid : {tube.solid(), mirroredInX(tube.solid())}) {
      const std::string text = fileWith(stepSolid(solid, "TU1"));
      const part21::Measure measured = readBack(text);
      EXPECT_NEAR(measured.volume / (areaMm2(tube.section) * tube.middleLength()), 1, kRelative);
      EXPECT_NEAR(measured.area / expectedSurface(tube), 1, kRelative);
      const unsigned slanting = (tube.ends.start != 0 ? 1 : 0) + (tube.ends.end != 0 ? 1 : 0);
      EXPECT_EQ(ellipsesIn(text), 8U * slanting);
      EXPECT_EQ(countOf(text, "= PCURVE(") > 0, slanting > 0);
      EXPECT_EQ(countOf(text, "= CYLINDRICAL_SURFACE("), 8U);
    }
  }
}

}  // namespace
}  // namespace leafstack
