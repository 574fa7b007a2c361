// clashes.step by the independent reader: tree, names, places, solids, colours and properties.
#include <gtest/gtest.h>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRep_Builder.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Compound.hxx>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/step/clash_step.h"
#include "generator/shop/part_files.h"
#include "tests/part21/brep.h"
#include "tests/part21/structure.h"
#include "tests/support/export_toy_model.h"
#include "tests/support/faulty_gates.h"

namespace leafstack {
namespace {

using gates::kFaultyProvenance;

// Volumes by Gauss's theorem on one side, by the kernel on the other.
constexpr double kRelative = 1e-6;
// Reals are written in full; what is left is the rounding of a product of two motions.
constexpr double kPlaceMm = 1e-9;
// The kernel's confusion distance: a boolean's vertices may leave its arguments by that.
constexpr double kVertexMm = 1e-6;

struct ReadClashes {
  explicit ReadClashes(const std::string& text)
      : file(part21::parse(text)),
        structure(part21::readStructure(file)),
        solids(part21::readSolids(file)) {}

  const part21::Product& root() const { return structure.products.at(structure.roots.front()); }
  const part21::Product& product(const part21::Occurrence& of) const {
    return structure.products.at(of.product);
  }

  part21::File file;
  part21::Structure structure;
  std::map<long, part21::Solid> solids;
};

ReadClashes written(const Model& model, const ClashReport& clash) {
  const ClashStep step = clashStep(model, clash, kFaultyProvenance);
  EXPECT_NO_THROW(checkStepFile(step.text, step.contents, "clashes.step"));
  return ReadClashes(step.text);
}

bool isOverlap(const std::string& name) {
  return name.find("-overlap") != std::string::npos;
}

double statedOf(const part21::Product& product, const std::string& property) {
  for (const part21::Property& one : product.properties) {
    if (one.description == property && one.items.size() == 1 && one.items[0].number) {
      return *one.items[0].number;
    }
  }
  ADD_FAILURE() << product.name << " states no " << property;
  return 0;
}

bool isRope(const Model& model, int instance) {
  return model.parts[model.instances[instance].part].kind == PartKind::kRope;
}

/// Of the rope's centre line at `drive_mm`, in the gate's frame, with the rope's thickness.
Bounds ropeBounds(const Model& model, int instance, double drive_mm) {
  const auto run = std::find_if(model.ropes.begin(), model.ropes.end(),
                                [&](const RopeRun& rope) { return rope.instance == instance; });
  // 0.01 mm: the half turn's chords lie inside it.
  const double radius = model.spec.ropes.diameter_mm / 2 + 0.01;
  const auto line = ropeLineAt(model, *run, drive_mm);
  Bounds bounds{line.front(), line.front()};
  for (const auto& point : line) {
    for (int axis = 0; axis < 3; ++axis) {
      bounds.low[axis] = std::min(bounds.low[axis], point[axis]);
      bounds.high[axis] = std::max(bounds.high[axis], point[axis]);
    }
  }
  for (int axis = 0; axis < 3; ++axis) {
    bounds.low[axis] -= radius;
    bounds.high[axis] += radius;
  }
  return movedBounds(bounds, locationAt(model, model.instances[instance], drive_mm));
}

Bounds boundsAt(const Model& model, int instance, double drive_mm) {
  if (isRope(model, instance)) {
    return ropeBounds(model, instance, drive_mm);
  }
  Bounds bounds = model.instances[instance].bounds;
  const double shift = model.shiftMm(model.instances[instance].panel, drive_mm);
  bounds.low[0] += shift;
  bounds.high[0] += shift;
  return bounds;
}

void expectWithin(const part21::Vec3& point, const Bounds& bounds) {
  const double at[] = {point.x, point.y, point.z};
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_GE(at[axis], bounds.low[axis] - kVertexMm) << "axis " << axis;
    EXPECT_LE(at[axis], bounds.high[axis] + kVertexMm) << "axis " << axis;
  }
}

void expectPart(const ReadClashes& read, const part21::Occurrence& occurrence, const Model& model,
                int instance, const Finding& finding) {
  const part21::Product& product = read.product(occurrence);
  const Part& part = model.parts[model.instances[instance].part];
  const bool moved_rope = isRope(model, instance) && finding.worst_at_mm > 0;
  if (moved_rope) {
    EXPECT_TRUE(product.name.starts_with(part.mark + "-F")) << product.name;
  } else {
    EXPECT_EQ(product.name, productName(model.spec.job, part.mark, part.name));
    EXPECT_NEAR(statedOf(product, "volume"), part.volume_mm3, part.volume_mm3 * kRelative);
  }
  // Where the model has it, and the panel's travel on top, along the track.
  const gp_Trsf closed = model.instances[instance].at_closed.Transformation();
  const double shift = model.shiftMm(model.instances[instance].panel, finding.worst_at_mm);
  const part21::Frame& at = occurrence.placement;
  EXPECT_NEAR(at.origin.x, closed.Value(1, 4) + shift, kPlaceMm);
  EXPECT_NEAR(at.origin.y, closed.Value(2, 4), kPlaceMm);
  EXPECT_NEAR(at.origin.z, closed.Value(3, 4), kPlaceMm);
  EXPECT_NEAR(at.x.x, closed.Value(1, 1), kPlaceMm);
  EXPECT_NEAR(at.z.z, closed.Value(3, 3), kPlaceMm);
}

/// Volume of the overlap solids of one finding; their vertices have to lie in both parts' bounds.
double overlapVolume(const ReadClashes& read, const part21::Product& found, const Model& model,
                     const Finding& finding) {
  double volume = 0;
  for (std::size_t i = 2; i < found.components.size(); ++i) {
    const part21::Occurrence& one = found.components[i];
    EXPECT_TRUE(isOverlap(one.name)) << one.name;
    EXPECT_EQ(length(one.placement.origin), 0);
    const part21::Product& product = read.product(one);
    const std::string mark = markOf(product);
    EXPECT_TRUE(mark.starts_with(markOf(found) + "-overlap"));
    EXPECT_NE(mark == markOf(found) + "-overlap", mark.ends_with("-2"));
    EXPECT_NE(product.description.find("magenta"), std::string::npos);
    const part21::Solid& solid = read.solids.at(product.solids.at(0));
    volume += measure(read.file, solid).volume;
    for (const part21::Vec3& vertex : verticesOf(read.file, solid)) {
      for (const int instance : {finding.instance_a, finding.instance_b}) {
        expectWithin(vertex, boundsAt(model, instance, finding.worst_at_mm));
      }
    }
  }
  return volume;
}

void expectFinding(const ReadClashes& read, const part21::Occurrence& occurrence,
                   const gates::Faulty& gate, const Finding& finding) {
  const part21::Product& found = read.product(occurrence);
  SCOPED_TRACE(found.name + " " + finding.id);
  EXPECT_EQ(length(occurrence.placement.origin), 0);
  EXPECT_TRUE(found.description.starts_with(finding.id + ": " + finding.text)) << found.description;
  ASSERT_GE(found.components.size(), 2U);
  const int sides[] = {finding.instance_a, finding.instance_b};
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_EQ(found.components[i].name, markOf(found) + "." + gate.model.instanceName(sides[i]));
    expectPart(read, found.components[i], gate.model, sides[i], finding);
  }
  const double volume = overlapVolume(read, found, gate.model, finding);
  EXPECT_NEAR(volume, finding.volume_mm3, finding.volume_mm3 * kRelative);
  EXPECT_EQ(found.components.size() > 2, finding.finding_class == FindingClass::kPenetration);
}

class ClashStepOfGate : public testing::TestWithParam<std::size_t> {
 protected:
  const gates::Faulty& gate() const { return gates::faultyGates().at(GetParam()); }
};

TEST_P(ClashStepOfGate, EveryFindingStandsWhereItHappens) {
  const ReadClashes read = written(gate().model, gate().clash);
  ASSERT_EQ(read.structure.roots.size(), 1U);
  EXPECT_EQ(read.root().name, "CLASHES");
  const auto& findings = gate().clash.findings;
  ASSERT_FALSE(findings.empty());
  ASSERT_EQ(read.root().components.size(), findings.size());
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const part21::Occurrence& occurrence = read.root().components[i];
    EXPECT_EQ(occurrence.name, "F" + std::to_string(i + 1) + ".1");
    EXPECT_EQ(markOf(read.product(occurrence)), "F" + std::to_string(i + 1));
    expectFinding(read, occurrence, gate(), findings[i]);
  }
}

TEST_P(ClashStepOfGate, FileIsSoundAndNamesAreUnique) {
  const ReadClashes read = written(gate().model, gate().clash);
  for (const part21::Problem& problem : read.file.problems) {
    ADD_FAILURE() << problem.line << ": " << problem.text;
  }
  for (const std::string& problem : read.structure.problems) {
    ADD_FAILURE() << problem;
  }
  EXPECT_EQ(read.structure.length_unit, "mm");
  std::set<std::string> products, occurrences;
  for (const auto& [id, product] : read.structure.products) {
    EXPECT_TRUE(products.insert(product.name).second) << product.name;
    for (const part21::Occurrence& one : product.components) {
      EXPECT_TRUE(occurrences.insert(one.name).second) << one.name;
    }
  }
}

TEST_P(ClashStepOfGate, SolidsAreClosedAndStateWhatTheyAre) {
  const ReadClashes read = written(gate().model, gate().clash);
  int solids = 0;
  for (const auto& [id, product] : read.structure.products) {
    if (!product.components.empty()) {
      continue;
    }
    SCOPED_TRACE(product.name);
    ASSERT_EQ(product.solids.size(), 1U);
    const part21::Solid& solid = read.solids.at(product.solids[0]);
    // Every edge twice, once each way, is among the things the reader complains about.
    EXPECT_EQ(solid.problems, std::vector<std::string>());
    const part21::Measure own = measure(read.file, solid);
    EXPECT_EQ(own.problems, std::vector<std::string>());
    EXPECT_NEAR(statedOf(product, "volume"), own.volume, own.volume * kRelative);
    EXPECT_NEAR(statedOf(product, "surface area"), own.area, own.area * kRelative);
    ++solids;
  }
  EXPECT_EQ(static_cast<std::size_t>(solids), read.solids.size());
}

TEST_P(ClashStepOfGate, OverlapsHaveAColourAndALayerOfTheirOwn) {
  const ReadClashes read = written(gate().model, gate().clash);
  std::map<std::string, std::set<long>> expected;
  for (const auto& [id, product] : read.structure.products) {
    if (!product.components.empty()) {
      continue;
    }
    const long solid = product.solids.at(0);
    const Rgb colour = read.structure.colours.at(solid);
    EXPECT_EQ(colour == kOverlapColour, isOverlap(product.name)) << product.name;
    expected[isOverlap(product.name) ? "overlaps" : "parts"].insert(solid);
    for (const Part& part : gate().model.parts) {
      if (part.mark == markOf(product)) {
        EXPECT_EQ(colour, materialColour(part.density_kg_m3 > 0 ? part.material : "envelope"));
      }
    }
  }
  ASSERT_EQ(read.structure.layers.size(), expected.size());
  for (const auto& [name, items] : read.structure.layers) {
    EXPECT_EQ(std::set<long>(items.begin(), items.end()), expected[name]) << name;
  }
}

INSTANTIATE_TEST_SUITE_P(Gates, ClashStepOfGate,
                         testing::Range<std::size_t>(0, gates::kFaultyGates),
                         [](const auto& which) {
                           return std::string(gates::faultyName(which.param));
                         });

TEST(ClashStep, FourGatesHoldWhatTheyAreMeantTo) {
  const auto& all = gates::faultyGates();
  ASSERT_EQ(all.size(), 4U);
  EXPECT_GT(all[0].clash.findings.size(), 5U);
  EXPECT_LT(all[3].model.opening_sign, 0);
  std::set<FindingClass> classes;
  int moved_ropes = 0;
  for (const gates::Faulty& one : all) {
    for (const Finding& finding : one.clash.findings) {
      classes.insert(finding.finding_class);
      moved_ropes += finding.worst_at_mm > 0 && (isRope(one.model, finding.instance_a) ||
                                                 isRope(one.model, finding.instance_b))
                         ? 1
                         : 0;
    }
  }
  EXPECT_GE(classes.size(), 3U);
  EXPECT_GE(moved_ropes, 2);
}

TEST(ClashStep, RopeIsDrawnAsItRunsThere) {
  const gates::Faulty& gate = gates::faultyGates().at(2);
  const ReadClashes read = written(gate.model, gate.clash);
  int ropes = 0;
  for (const auto& [id, product] : read.structure.products) {
    for (const RopeRun& run : gate.model.ropes) {
      if (!product.name.starts_with(gate.model.parts[run.part].mark + "-F")) {
        continue;
      }
      ++ropes;
      const std::size_t number = std::stoul(product.name.substr(product.name.find("-F") + 2));
      const Finding& finding = gate.clash.findings.at(number - 1);
      double length_mm = 0;
      const auto line = ropeLineAt(gate.model, run, finding.worst_at_mm);
      for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        length_mm += norm(minus(line[i + 1], line[i]));
      }
      // Pappus: a round strand's volume is its section times its centre line's length. The line's
      // chords are short of it by less than a ten-thousandth.
      const double radius = gate.model.spec.ropes.diameter_mm / 2;
      const double expected = std::numbers::pi * radius * radius * length_mm;
      EXPECT_NEAR(statedOf(product, "volume"), expected, expected * 1e-4);
      EXPECT_NE(product.description.find("mm of drive travel"), std::string::npos);
      // Its length does not change, but both ends' places do.
      const auto vertices = verticesOf(read.file, read.solids.at(product.solids.at(0)));
      for (const auto& end : {line.front(), line.back()}) {
        const auto at_end = [&](const part21::Vec3& vertex) {
          return std::abs(vertex.x - end[0]) <= kVertexMm;
        };
        EXPECT_TRUE(std::any_of(vertices.begin(), vertices.end(), at_end)) << end[0];
      }
    }
  }
  EXPECT_GE(ropes, 1);
}

/// A finding between the toy model's first two instances.
Finding toyFinding(const TopoDS_Shape& overlap) {
  Finding finding;
  finding.id = "penetration:FT1@0:TB1@1";
  finding.text = "it's #1";
  finding.worst_at_mm = 250;
  finding.instance_a = 0;
  finding.instance_b = 1;
  finding.overlap = overlap;
  return finding;
}

TopoDS_Shape solidOf(const TopoDS_Shape& shape) {
  return TopExp_Explorer(shape, TopAbs_SOLID).Current();
}

TEST(ClashStep, UnsoundOverlapsAreLeftOutAndSaidSo) {
  BRep_Builder builder;
  TopoDS_Compound shared;
  builder.MakeCompound(shared);
  builder.Add(shared, toy::openBox());
  builder.Add(shared, solidOf(BRepPrimAPI_MakeBox(1, 2, 3).Shape()));
  builder.Add(shared, solidOf(BRepPrimAPI_MakeBox(gp_Pnt(9, 9, 9), 4, 5, 6).Shape()));
  builder.Add(shared, solidOf(BRepPrimAPI_MakeBox(7, 7, 7).Shape()).Reversed());  // inside out
  ClashReport clash;
  clash.findings = {toyFinding(shared)};
  const ReadClashes read = written(toy::model(), clash);
  EXPECT_TRUE(read.file.problems.empty());
  const part21::Product& found = read.product(read.root().components.at(0));
  ASSERT_EQ(found.components.size(), 4U);
  EXPECT_EQ(found.components[2].name, "F1-overlap.1");
  EXPECT_EQ(found.components[3].name, "F1-overlap-2.1");
  EXPECT_NEAR(statedOf(read.product(found.components[2]), "volume"), 6, 6 * kRelative);
  EXPECT_NEAR(statedOf(read.product(found.components[3]), "volume"), 120, 120 * kRelative);
  EXPECT_NE(found.description.find("not drawn of what they share: 2 solids that do not pass"),
            std::string::npos)
      << found.description;
}

TEST(ClashStep, NothingSharedNothingDrawn) {
  ClashReport clash;
  clash.findings = {toyFinding(TopoDS_Shape())};
  const ReadClashes read = written(toy::model(), clash);
  const part21::Product& found = read.product(read.root().components.at(0));
  EXPECT_EQ(found.components.size(), 2U);
  EXPECT_EQ(found.description.find("magenta"), std::string::npos);
  EXPECT_EQ(read.structure.layers.count("overlaps"), 0U);
}

TEST(ClashStep, NoMoreThanFiftyAreDrawn) {
  ClashReport clash;
  clash.findings.assign(kMostClashesDrawn, toyFinding(TopoDS_Shape()));
  EXPECT_EQ(written(toy::model(), clash).root().description, "Toy gate, clashes: 50 findings");
  clash.findings.push_back(toyFinding(TopoDS_Shape()));
  const ReadClashes read = written(toy::model(), clash);
  EXPECT_EQ(read.root().components.size(), 50U);
  EXPECT_EQ(read.root().description,
            "Toy gate, clashes: 51 findings, of which the first 50 are drawn");
  // A part is one solid however many findings it is in.
  EXPECT_EQ(read.solids.size(), 2U);
}

TEST(ClashStep, NothingToDrawIsAnError) {
  EXPECT_THROW(clashStep(toy::model(), ClashReport(), kFaultyProvenance), ExportError);
  Model unmeasured = toy::model();
  unmeasured.parts[0].area_mm2 = 0;
  ClashReport clash;
  clash.findings = {toyFinding(TopoDS_Shape())};
  EXPECT_NO_THROW(clashStep(toy::model(), clash, kFaultyProvenance));
  clash.findings[0].instance_a = 1;
  clash.findings[0].instance_b = 2;
  EXPECT_THROW(clashStep(unmeasured, clash, kFaultyProvenance), ExportError);
}

}  // namespace
}  // namespace leafstack
