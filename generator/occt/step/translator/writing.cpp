#include <BRepAdaptor_Curve.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRep_Tool.hxx>
#include <GeomAdaptor_Surface.hxx>
#include <Geom_ElementarySurface.hxx>
#include <Geom_RectangularTrimmedSurface.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPControl_Controller.hxx>
#include <ShapeAnalysis_ShapeTolerance.hxx>
#include <ShapeCustom.hxx>
#include <StepAP214.hxx>
#include <StepAP214_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <StepShape_ManifoldSolidBrep.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDSToStep_MakeManifoldSolidBrep.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Iterator.hxx>
#include <Transfer_FinderProcess.hxx>
#include <algorithm>
#include <charconv>
#include <condition_variable>
#include <map>
#include <mutex>
#include <sstream>
#include <string_view>
#include <vector>

#include "generator/geometry/geometry_error.h"
#include "generator/occt/step/translator/translator.h"

namespace leafstack {
namespace {

struct FaceEdgeCount {
  int faces = 0, edges = 0;
};

/// Counts, and throws where the shell is open or an edge is not met by two sides of opposite sense.
FaceEdgeCount checkClosed(const TopoDS_Shape& solid, const std::string& mark) {
  int shells = 0;
  for (TopoDS_Iterator it(solid); it.More(); it.Next()) {
    shells += it.Value().ShapeType() == TopAbs_SHELL ? 1 : 0;
  }
  if (solid.ShapeType() != TopAbs_SOLID || shells != 1) {
    throw GeometryError(mark + " is not one solid with one shell");
  }
  FaceEdgeCount count;
  TopTools_IndexedMapOfShape edges;
  std::vector<int> forward, reversed;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    ++count.faces;
    for (TopExp_Explorer it(faces.Current(), TopAbs_EDGE); it.More(); it.Next()) {
      const TopoDS_Edge& edge = TopoDS::Edge(it.Current());
      if (BRep_Tool::Degenerated(edge)) {
        continue;
      }
      const std::size_t index = static_cast<std::size_t>(edges.Add(edge));
      forward.resize(std::max(forward.size(), index + 1));
      reversed.resize(forward.size());
      ++(edge.Orientation() == TopAbs_FORWARD ? forward : reversed)[index];
    }
  }
  count.edges = edges.Extent();
  for (std::size_t i = 1; i < forward.size(); ++i) {
    if (forward[i] != 1 || reversed[i] != 1) {
      throw GeometryError(mark + " is not closed");
    }
  }
  return count;
}

/// STEP placements are right-handed; a mirrored solid's plane or cylinder may not be.
bool hasLeftHandedSurface(const TopoDS_Shape& solid) {
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    Handle(Geom_Surface) surface = BRep_Tool::Surface(TopoDS::Face(faces.Current()));
    if (const auto trimmed = Handle(Geom_RectangularTrimmedSurface)::DownCast(surface)) {
      surface = trimmed->BasisSurface();
    }
    const auto elementary = Handle(Geom_ElementarySurface)::DownCast(surface);
    if (!elementary.IsNull() && !elementary->Position().Direct()) {
      return true;
    }
  }
  return false;
}

/// What stands between "DATA;" and the last "ENDSEC;" of the kernel's text.
std::string dataSection(const std::string& file, const std::string& mark) {
  static constexpr std::string_view kDataStart = "DATA;\n";
  const std::size_t start = file.find(kDataStart);
  const std::size_t end = file.rfind("ENDSEC;");
  if (start == std::string::npos || end == std::string::npos || end < start) {
    throw GeometryError("the kernel wrote no data for " + mark);
  }
  return file.substr(start + kDataStart.size(), end - start - kDataStart.size());
}

/// Every EDGE_CURVE has to be met by two ORIENTED_EDGEs. (Their senses depend on the loops' too.)
void checkEdgeUses(const std::string& entities, int edges, const std::string& mark) {
  static constexpr std::string_view kOriented = "= ORIENTED_EDGE('',*,*,#";
  std::map<int, int> uses;
  for (std::size_t at = entities.find(kOriented); at != std::string::npos;
       at = entities.find(kOriented, at + 1)) {
    int edge = 0;
    std::from_chars(entities.data() + at + kOriented.size(), entities.data() + entities.size(),
                    edge);
    ++uses[edge];
  }
  const bool all_twice =
      std::all_of(uses.begin(), uses.end(), [](const auto& use) { return use.second == 2; });
  if (static_cast<int>(uses.size()) != edges || !all_twice) {
    throw GeometryError("the kernel lost edges of " + mark);
  }
}

int occurrences(const std::string& text, std::string_view word) {
  int count = 0;
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    ++count;
  }
  return count;
}

constexpr const char* kCurvesOnSurfaces = "write.surfacecurve.mode";

/// Whether any edge is no line and no circle: a reader that has to find again where such an edge
/// runs on its faces misses by some 1e-6 mm, which a strict one refuses.
bool needsCurvesOnSurfaces(const TopoDS_Shape& solid) {
  for (TopExp_Explorer it(solid, TopAbs_EDGE); it.More(); it.Next()) {
    const TopoDS_Edge& edge = TopoDS::Edge(it.Current());
    if (BRep_Tool::Degenerated(edge)) {
      continue;
    }
    const GeomAbs_CurveType type = BRepAdaptor_Curve(edge).GetType();
    if (type != GeomAbs_Line && type != GeomAbs_Circle) {
      return true;
    }
  }
  return false;
}

/// The kernel has one switch for the whole process: translations that want it the same way run
/// together, the others wait for them.
class CurvesOnSurfaces {
 public:
  explicit CurvesOnSurfaces(bool wanted) {
    std::unique_lock lock(state().mutex);
    state().changed.wait(lock, [&] { return state().running == 0 || state().is_on == wanted; });
    if (state().is_on != wanted) {
      Interface_Static::SetIVal(kCurvesOnSurfaces, wanted ? 1 : 0);
      state().is_on = wanted;
    }
    ++state().running;
  }
  ~CurvesOnSurfaces() {
    const std::lock_guard lock(state().mutex);
    if (--state().running == 0) {
      state().changed.notify_all();
    }
  }
  CurvesOnSurfaces(const CurvesOnSurfaces&) = delete;
  CurvesOnSurfaces& operator=(const CurvesOnSurfaces&) = delete;

 private:
  struct State {
    std::mutex mutex;
    std::condition_variable changed;
    int running = 0;
    bool is_on = false;
  };
  static State& state() {
    static State one;
    return one;
  }
};

Handle(StepShape_ManifoldSolidBrep) translate(const TopoDS_Shape& solid, const std::string& mark) {
  const CurvesOnSurfaces together(needsCurvesOnSurfaces(solid));
  const Handle(Transfer_FinderProcess) process = new Transfer_FinderProcess;
  TopoDSToStep_MakeManifoldSolidBrep maker(TopoDS::Solid(solid), process);
  if (!maker.IsDone() || maker.Value().IsNull()) {
    throw GeometryError("the kernel could not translate " + mark);
  }
  maker.Value()->SetName(new TCollection_HAsciiString(mark.c_str()));
  return maker.Value();
}

}  // namespace

void prepareStepTranslator() {
  // No std::call_once: made_once.h says why.
  [[maybe_unused]] static const bool kIsPrepared = [] {
    Message::DefaultMessenger()->ChangePrinters().Clear();
    STEPControl_Controller::Init();
    Interface_Static::SetCVal("write.step.schema", "AP214IS");
    Interface_Static::SetCVal("write.step.unit", "MM");
    Interface_Static::SetIVal(kCurvesOnSurfaces, 0);
    return true;
  }();
}

SolidText writtenSolid(const TopoDS_Shape& solid, const std::string& mark) {
  prepareStepTranslator();
  if (solid.IsNull()) {
    throw GeometryError(mark + " has no solid");
  }
  const FaceEdgeCount expected = checkClosed(solid, mark);
  if (!BRepCheck_Analyzer(solid).IsValid()) {
    throw GeometryError(mark + " is no valid solid");
  }
  const TopoDS_Shape direct = hasLeftHandedSurface(solid) ? ShapeCustom::DirectFaces(solid) : solid;
  const Handle(StepShape_ManifoldSolidBrep) brep = translate(direct, mark);

  const Handle(StepData_Protocol) protocol = StepAP214::Protocol();
  const Handle(StepData_StepModel) model = new StepData_StepModel;
  model->SetProtocol(protocol);
  model->AddWithRefs(brep, protocol);
  StepData_StepWriter writer(model);
  writer.SendModel(protocol);
  std::ostringstream file;
  writer.Print(file);

  SolidText text;
  text.entities = dataSection(file.str(), mark);
  text.count = model->NbEntities();
  text.brep = model->Number(brep);
  text.tolerance_mm = ShapeAnalysis_ShapeTolerance().Tolerance(solid, /*mode=*/1);
  if (occurrences(text.entities, "= ADVANCED_FACE(") != expected.faces) {
    throw GeometryError("the kernel lost faces of " + mark);
  }
  checkEdgeUses(text.entities, expected.edges, mark);
  return text;
}

}  // namespace leafstack
