// STEP files read back: by the kernel's own reader (names, places, colours, layers, properties) and
// as text (damage must not pass).
#include <gtest/gtest.h>
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <TColStd_HSequenceOfExtendedString.hxx>
#include <TCollection_AsciiString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_Area.hxx>
#include <XCAFDoc_Centroid.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_LayerTool.hxx>
#include <XCAFDoc_MaterialTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XCAFDoc_Volume.hxx>

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/palette.h"
#include "exporters/cad/step/step.h"
#include "exporters/cad/step/step_text.h"
#include "tests/support/export_toy_model.h"

namespace leafstack {
namespace {

const Provenance kStepProvenance = {"2024-05-01T12:00:00Z", std::string(64, 'a')};

struct ReadPart {
  std::string mark, occurrence, panel;
  gp_Pnt centre;  ///< in the gate's frame
  double volume_mm3 = 0;
  TDF_Label label;
};

/// A STEP text as the kernel's reader sees it.
class ReadBack {
 public:
  explicit ReadBack(const std::string& text) {
    const auto path = std::filesystem::temp_directory_path() /
                      ("leafstack-step-test-" + std::to_string(getpid()) + ".step");
    std::ofstream(path, std::ios::binary) << text;
    XCAFApp_Application::GetApplication()->NewDocument("BinXCAF", document_);
    STEPCAFControl_Reader reader;
    reader.SetPropsMode(true);
    read_ = reader.ReadFile(path.c_str()) == IFSelect_RetDone && reader.Transfer(document_);
    std::filesystem::remove(path);
    TDF_LabelSequence roots;
    shapes()->GetFreeShapes(roots);
    for (int i = 1; i <= roots.Length(); ++i) {
      roots_.push_back(nameOf(roots.Value(i)));
      walk(roots.Value(i), TopLoc_Location(), "");
    }
  }

  bool read() const { return read_; }
  const std::vector<std::string>& roots() const { return roots_; }
  const std::vector<ReadPart>& parts() const { return parts_; }
  const std::vector<std::string>& panels() const { return panels_; }

  const ReadPart& part(const std::string& occurrence) const {
    const auto it = std::find_if(parts_.begin(), parts_.end(), [&](const ReadPart& part) {
      return part.occurrence == occurrence;
    });
    EXPECT_NE(it, parts_.end()) << occurrence;
    return it == parts_.end() ? parts_.front() : *it;
  }

  std::set<std::string> layers(const TDF_Label& label) const {
    Handle(TColStd_HSequenceOfExtendedString) names;
    XCAFDoc_DocumentTool::LayerTool(document_->Main())->GetLayers(label, names);
    std::set<std::string> found;
    for (int i = 1; !names.IsNull() && i <= names->Length(); ++i) {
      found.insert(TCollection_AsciiString(names->Value(i)).ToCString());
    }
    return found;
  }

  Rgb colour(const TDF_Label& label) const {
    Quantity_Color colour;
    EXPECT_TRUE(XCAFDoc_DocumentTool::ColorTool(document_->Main())
                    ->GetColor(label, XCAFDoc_ColorSurf, colour));
    Rgb rgb{};
    colour.Values(rgb[0], rgb[1], rgb[2], Quantity_TOC_sRGB);
    return rgb;
  }

 private:
  Handle(XCAFDoc_ShapeTool) shapes() const {
    return XCAFDoc_DocumentTool::ShapeTool(document_->Main());
  }

  static std::string nameOf(const TDF_Label& label) {
    Handle(TDataStd_Name) name;
    return label.FindAttribute(TDataStd_Name::GetID(), name)
               ? TCollection_AsciiString(name->Get()).ToCString()
               : "";
  }

  void walk(const TDF_Label& label, const TopLoc_Location& outer, const std::string& panel) {
    TDF_Label product = label;
    if (XCAFDoc_ShapeTool::IsReference(label)) {
      XCAFDoc_ShapeTool::GetReferredShape(label, product);
    }
    const TopLoc_Location here = outer * XCAFDoc_ShapeTool::GetLocation(label);
    if (XCAFDoc_ShapeTool::IsAssembly(product)) {
      if (label != product) {
        panels_.push_back(nameOf(label) + "=" + nameOf(product));
      }
      TDF_LabelSequence components;
      XCAFDoc_ShapeTool::GetComponents(product, components);
      for (int i = 1; i <= components.Length(); ++i) {
        walk(components.Value(i), here, nameOf(product));
      }
      return;
    }
    GProp_GProps properties;
    BRepGProp::VolumeProperties(XCAFDoc_ShapeTool::GetShape(product), properties);
    const std::string name = nameOf(product);
    parts_.push_back({name.substr(0, name.find(' ')), nameOf(label), panel,
                      properties.CentreOfMass().Transformed(here.Transformation()),
                      properties.Mass(), product});
  }

  Handle(TDocStd_Document) document_;
  bool read_ = false;
  std::vector<std::string> roots_, panels_;
  std::vector<ReadPart> parts_;
};

gp_Pnt expectedCentre(const Model& model, int instance) {
  const Instance& what = model.instances[instance];
  const Part& part = model.parts[what.part];
  gp_Pnt centre(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2]);
  return centre.Transformed(what.at_closed.Transformation());
}

class StepBothHands : public testing::TestWithParam<Hand> {};

TEST_P(StepBothHands, TreeNamesAndPlacesSurvive) {
  const Model model = toy::model(GetParam());
  const StepExporter step(model, kStepProvenance);
  const ReadBack closed(step.gateFile(GatePosition::kClosed));
  ASSERT_TRUE(closed.read());
  EXPECT_EQ(closed.roots(), std::vector<std::string>{"GATE"});
  EXPECT_EQ(closed.panels(), (std::vector<std::string>{"P0.1=P0", "P1.1=P1", "P2.1=P2"}));
  ASSERT_EQ(closed.parts().size(), model.instances.size());
  std::set<std::string> names;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    const Part& part = model.parts[instance.part];
    const ReadPart& read = closed.part(model.instanceName(i));
    names.insert(read.occurrence);
    EXPECT_EQ(read.mark, part.mark);
    EXPECT_EQ(read.panel, "P" + std::to_string(instance.panel));
    EXPECT_NEAR(read.volume_mm3, part.volume_mm3, part.volume_mm3 * 1e-6);
    EXPECT_LT(read.centre.Distance(expectedCentre(model, i)), 1e-6) << read.occurrence;
  }
  EXPECT_EQ(names.size(), model.instances.size());
}

INSTANTIATE_TEST_SUITE_P(Hands, StepBothHands, testing::Values(Hand::kRight, Hand::kLeft),
                         [](const auto& hand) {
                           return hand.param == Hand::kRight ? "Right" : "Left";
                         });

TEST(Step, ColourLayersMaterialAndPropertiesSurvive) {
  const Model model = toy::model();
  const ReadBack gate(StepExporter(model, kStepProvenance).gateFile(GatePosition::kClosed));
  const std::map<std::string, std::set<std::string>> layers = {
      {"TB1.1", {}}, {"WH1.1", {"P2"}}, {"FT1.1", {"P0"}}, {"RP1.1", {"P1"}}};
  for (const auto& [name, expected] : layers) {
    EXPECT_EQ(gate.layers(gate.part(name).label), expected) << name;
  }
  for (const Part& part : model.parts) {
    const ReadPart& read = gate.part(part.mark + ".1");
    const Rgb expected = materialColour(part.material);
    const Rgb colour = gate.colour(read.label);
    for (int i = 0; i < 3; ++i) {
      EXPECT_NEAR(colour[i], expected[i], 1e-3) << part.mark;
    }
    Standard_Real area = 0, volume = 0;
    gp_Pnt centroid;
    ASSERT_TRUE(XCAFDoc_Area::Get(read.label, area) && XCAFDoc_Volume::Get(read.label, volume) &&
                XCAFDoc_Centroid::Get(read.label, centroid));
    EXPECT_NEAR(area, part.area_mm2, part.area_mm2 * 1e-12);
    EXPECT_NEAR(volume, part.volume_mm3, part.volume_mm3 * 1e-12);
    EXPECT_NEAR(centroid.X(), part.centroid_mm[0], 1e-9);
    // The kernel keeps densities in kg/mm3.
    EXPECT_NEAR(XCAFDoc_MaterialTool::GetDensityForShape(read.label), part.density_kg_m3 * 1e-9,
                part.density_kg_m3 * 1e-15);
  }
}

TEST(Step, SameModelSameBytesWhateverWasWrittenBefore) {
  const Model model = toy::model();
  const StepExporter first(model, kStepProvenance);
  const std::string gate = first.gateFile(GatePosition::kClosed);
  const std::string part = first.partFile(0);

  // The kernel's own writer advances its process-wide counters.
  Handle(TDocStd_Document) document;
  XCAFApp_Application::GetApplication()->NewDocument("BinXCAF", document);
  const auto shapes = XCAFDoc_DocumentTool::ShapeTool(document->Main());
  const TDF_Label assembly = shapes->NewShape();
  shapes->AddComponent(assembly, model.parts[1].solid);
  shapes->UpdateAssemblies();
  STEPCAFControl_Writer writer;
  ASSERT_TRUE(writer.Transfer(document));

  const Model again = toy::model();
  const StepExporter second(again, kStepProvenance);
  EXPECT_EQ(second.partFile(0), part);
  EXPECT_EQ(second.gateFile(GatePosition::kClosed), gate);
}

TEST(Step, HeaderTellsWhereTheFileComesFrom) {
  Model model = toy::model();
  model.spec.job.drawn_by = "Zoë O'Neil";
  model.spec.job.title = "Tor für Łódź 門";
  model.spec.job.client = "A Secret Client";
  const std::string gate = StepExporter(model, kStepProvenance).gateFile(GatePosition::kClosed);
  const std::string head = gate.substr(0, gate.find("DATA;"));
  EXPECT_NE(head.find("('Zo\\X2\\00EB\\X0\\ O''Neil')"), std::string::npos) << head;
  EXPECT_NE(head.find("'Tor f\\X2\\00FC\\X0\\r \\X2\\014100F3\\X0\\d\\X2\\017A\\X0\\ "
                      "\\X2\\9580\\X0\\, closed'"),
            std::string::npos)
      << head;
  EXPECT_NE(head.find("'2024-05-01T12:00:00+00:00'"), std::string::npos);
  EXPECT_NE(head.find("input sha256 " + kStepProvenance.input_sha256), std::string::npos);
  EXPECT_NE(head.find("'leafstack "), std::string::npos);
  EXPECT_NE(head.find("AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"), std::string::npos);
  EXPECT_EQ(gate.find("Secret"), std::string::npos);
  const bool ascii = std::all_of(gate.begin(), gate.end(),
                                 [](char c) { return c == '\n' || (c >= 0x20 && c < 0x7F); });
  EXPECT_TRUE(ascii);
}

TEST(Step, DamageIsAnError) {
  const Model model = toy::model();
  const StepExporter step(model, kStepProvenance);
  const std::string good = step.gateFile(GatePosition::kClosed);
  const StepContents contents = step.gateContents();
  EXPECT_NO_THROW(checkStepFile(good, contents, "gate.step"));

  const auto damaged = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    const std::size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return text.replace(at, from.size(), to);
  };
  const auto lineGone = [&](const std::string& word) {
    std::string text = good;
    const std::size_t at = text.find(word);
    const std::size_t start = text.rfind('\n', at) + 1;
    return text.erase(start, text.find('\n', at) + 1 - start);
  };
  const std::string cases[] = {good.substr(0, good.size() / 2),
                               good.substr(0, good.size() - 1),
                               lineGone("MANIFOLD_SOLID_BREP"),
                               lineGone(" = VERTEX_POINT("),
                               lineGone(" = NEXT_ASSEMBLY_USAGE_OCCURRENCE("),
                               damaged(",'TB1.2',", ",'TB1.1',"),
                               damaged("PRODUCT('WH1 wheel','WH1 wheel'", "PRODUCT('WH1 wheel','SOLID'"),
                               damaged("\n#9 = ", "\n#8 = ")};
  for (const std::string& text : cases) {
    EXPECT_THROW(checkStepFile(text, contents, "gate.step"), ExportError);
  }
}

TEST(Step, OpenOrMissingSolidsAreRefused) {
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(10, 20, 30).Shape();
  const TopoDS_Solid open = toy::openBox();
  EXPECT_NO_THROW(stepSolid(TopExp_Explorer(box, TopAbs_SOLID).Current(), "OK1"));
  EXPECT_THROW(stepSolid(open, "OP1"), ExportError);
  EXPECT_THROW(stepSolid(TopExp_Explorer(open, TopAbs_SHELL).Current(), "SH1"), ExportError);
  EXPECT_THROW(stepSolid(TopoDS_Shape(), "NO1"), ExportError);
}

TEST(StepText, StringsAreEncodedByTheStandard) {
  EXPECT_EQ(part21String("PK1.17"), "'PK1.17'");
  EXPECT_EQ(part21String("it's a \\"), "'it''s a \\\\'");
  EXPECT_EQ(part21String("é"), "'\\X2\\00E9\\X0\\'");
  EXPECT_EQ(part21String("aéüb"), "'a\\X2\\00E900FC\\X0\\b'");
  EXPECT_EQ(part21String("門"), "'\\X2\\9580\\X0\\'");
  EXPECT_EQ(part21String("é\U0001F6AA"), "'\\X2\\00E9\\X0\\\\X4\\0001F6AA\\X0\\'");
  EXPECT_EQ(part21String("a\nb"), "'a\\X2\\000A\\X0\\b'");
  EXPECT_EQ(part21String("\xC3"), "'\\X2\\FFFD\\X0\\'");
}

TEST(StepText, RealsReadBackAsTheSameNumber) {
  EXPECT_EQ(part21Real(0), "0.");
  EXPECT_EQ(part21Real(-0.0), "0.");
  EXPECT_EQ(part21Real(1), "1.");
  EXPECT_EQ(part21Real(-2.5), "-2.5");
  EXPECT_EQ(part21Real(1e-7), "1.E-07");
  EXPECT_EQ(part21Real(1e22), "1.E+22");
  for (const double value : {1.0 / 3, 2999.9999999999995, 6.02214076e23, -1.7e-300}) {
    EXPECT_EQ(std::stod(part21Real(value)), value);
  }
  EXPECT_THROW(part21Real(std::nan("")), ExportError);
  EXPECT_THROW(part21Real(INFINITY), ExportError);
}

}  // namespace
}  // namespace leafstack
