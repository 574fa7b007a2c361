// Dimensions and datums of AP242 files, read by the kernel's own reader of product manufacturing
// information, which shares nothing with our writer, and compared with the faces that they are tied
// to: the distance of two planes, the place of an axis, a cylinder's diameter.
#include <gtest/gtest.h>
#include <unistd.h>
#include <BRepAdaptor_Surface.hxx>
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPControl_Reader.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDimTolObjects_DimensionObject.hxx>
#include <XCAFDoc_DimTolTool.hxx>
#include <XCAFDoc_Dimension.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Lin.hxx>
#include <gp_Pln.hxx>

#include <cstdio>
#include <fstream>
#include <sstream>

#include "exporters/cad/step/step.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

constexpr double kSameMm = 1e-6;

/// A file for as long as a reader wants it.
class Written {
 public:
  explicit Written(const std::string& text)
      : path_(testing::TempDir() + "leafstack-ap242-" + std::to_string(getpid()) + ".step") {
    std::ofstream(path_, std::ios::binary) << text;
  }
  ~Written() { std::remove(path_.c_str()); }
  const char* path() const { return path_.c_str(); }

 private:
  std::string path_;
};

double volumeOf(const std::string& text) {
  const Written file(text);
  STEPControl_Reader reader;
  EXPECT_EQ(reader.ReadFile(file.path()), IFSelect_RetDone);
  reader.TransferRoots();
  GProp_GProps volume;
  BRepGProp::VolumeProperties(reader.OneShape(), volume);
  return volume.Mass();
}

TopoDS_Face faceOf(const TDF_LabelSequence& labels) {
  if (labels.IsEmpty()) {
    return {};
  }
  const TopoDS_Shape shape = XCAFDoc_ShapeTool::GetShape(labels.First());
  TopExp_Explorer faces(shape, TopAbs_FACE);
  return faces.More() ? TopoDS::Face(faces.Current()) : TopoDS_Face();
}

/// From a plane to a plane or a cylinder's axis; -1 for anything else.
double measured(const TopoDS_Face& from, const TopoDS_Face& to) {
  const BRepAdaptor_Surface plane(from), other(to);
  if (plane.GetType() != GeomAbs_Plane) {
    return -1;
  }
  if (other.GetType() == GeomAbs_Plane) {
    return plane.Plane().Distance(other.Plane().Location());
  }
  return other.GetType() == GeomAbs_Cylinder
             ? plane.Plane().Distance(other.Cylinder().Axis().Location())
             : -1;
}

struct Counted {
  int overall = 0, diameters = 0, places = 0, datums = 0;
};

Counted readDimensions(const std::string& text, const std::string& what) {
  const Written file(text);
  Handle(TDocStd_Document) document;
  XCAFApp_Application::GetApplication()->NewDocument("BinXCAF", document);
  STEPCAFControl_Reader reader;
  reader.SetGDTMode(true);
  EXPECT_EQ(reader.ReadFile(file.path()), IFSelect_RetDone) << what;
  EXPECT_TRUE(reader.Transfer(document)) << what;
  const Handle(XCAFDoc_DimTolTool) tool = XCAFDoc_DocumentTool::DimTolTool(document->Main());
  Counted counted;
  TDF_LabelSequence labels;
  tool->GetDimensionLabels(labels);
  for (const TDF_Label& label : labels) {
    Handle(XCAFDoc_Dimension) dimension;
    EXPECT_TRUE(label.FindAttribute(XCAFDoc_Dimension::GetID(), dimension)) << what;
    const Handle(XCAFDimTolObjects_DimensionObject) object = dimension->GetObject();
    TDF_LabelSequence first, second;
    tool->GetRefShapeLabel(label, first, second);
    const TopoDS_Face one = faceOf(first), other = faceOf(second);
    if (one.IsNull()) {
      ADD_FAILURE() << what << ": a dimension of nothing";
      continue;
    }
    if (object->GetType() == XCAFDimTolObjects_DimensionType_Size_Diameter) {
      ++counted.diameters;
      EXPECT_NEAR(object->GetValue(), 2 * BRepAdaptor_Surface(one).Cylinder().Radius(), kSameMm)
          << what;
      continue;
    }
    if (other.IsNull()) {
      ADD_FAILURE() << what << ": a distance to nothing";
      continue;
    }
    EXPECT_NEAR(object->GetValue(), measured(one, other), kSameMm) << what;
    ++(BRepAdaptor_Surface(other).GetType() == GeomAbs_Plane ? counted.overall : counted.places);
  }
  // The kernel knows datums by the tolerances that name them, and there are none: counted as text.
  for (std::size_t at = text.find("DATUM_FEATURE("); at != std::string::npos;
       at = text.find("DATUM_FEATURE(", at + 1)) {
    ++counted.datums;
  }
  return counted;
}

class Ap242 : public testing::Test {
 protected:
  static void SetUpTestSuite() { Message::DefaultMessenger()->ChangePrinters().Clear(); }
};

TEST_F(Ap242, DimensionsAreReadBackAndTrue) {
  const Provenance provenance{"0123456789abcdef", "2026-01-02T03:04:05Z"};
  int tubes = 0, plates = 0;
  Counted all;
  std::vector<Model> models;
  models.push_back(gates::modelWith({{"/gate/panels", 2}, {"/site/opening_mm", 4100}}));
  models.push_back(gates::modelWith({{"/gate/panels", 3},
                                     {"/site/opens", "left"},
                                     {"/site/grade", 0.03},
                                     {"/gate/material", "aluminium"}}));
  for (Model& model : models) {
    measureAreas(model);
    const StepExporter ap214(model, provenance);
    const StepExporter ap242(model, provenance, StepSchema::kAp242);
    for (int i = 0; i < static_cast<int>(model.parts.size()); ++i) {
      const Part& part = model.parts[i];
      const bool is_of_interest =
          part.kind == PartKind::kBottomRail || part.kind == PartKind::kBasePlate ||
          part.kind == PartKind::kTopRail || part.kind == PartKind::kRearBracket;
      if (!is_of_interest) {
        continue;
      }
      const std::string text = ap242.partFile(i);
      EXPECT_NE(text.find("FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 "
                          "10303 442 1 1 4 }'))"),
                std::string::npos);
      const double volume = volumeOf(ap214.partFile(i));
      EXPECT_NEAR(volumeOf(text), volume, 1e-9 * volume) << part.in_words;
      const Counted counted = readDimensions(text, part.in_words);
      tubes += part.tube ? 1 : 0;
      plates += part.kind == PartKind::kBasePlate ? 1 : 0;
      // Along a raked rail its ends are no square faces; every other part has all three sizes.
      EXPECT_GE(counted.overall, part.ends[0].angle_deg == 0 ? 3 : 2) << part.in_words;
      if (part.kind == PartKind::kBasePlate) {
        EXPECT_GE(counted.diameters, 1) << part.in_words;
        EXPECT_EQ(counted.places, 2 * counted.diameters) << part.in_words;
      }
      all.overall += counted.overall;
      all.diameters += counted.diameters;
      EXPECT_GE(counted.datums, part.ends[0].angle_deg == 0 ? 3 : 2) << part.in_words;
    }
  }
  EXPECT_GT(tubes, 4);
  EXPECT_GT(plates, 1);
  EXPECT_GT(all.overall, 40);
  EXPECT_GT(all.diameters, 40);
}

TEST_F(Ap242, TheGateKeepsItsTree) {
  Model model = gates::modelWith({{"/gate/panels", 2}, {"/site/opening_mm", 4100}});
  measureAreas(model);
  const StepExporter ap242(model, {"0123456789abcdef", "2026-01-02T03:04:05Z"}, StepSchema::kAp242);
  const std::string text = ap242.gateFile(GatePosition::kClosed);
  EXPECT_NO_THROW(checkStepFile(text, ap242.gateContents(), "gate.step"));
  const Counted counted = readDimensions(text, "gate");
  EXPECT_GT(counted.overall, 100);
  EXPECT_GT(counted.diameters, 20);
}

}  // namespace
}  // namespace leafstack
