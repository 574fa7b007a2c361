// Collects parts, instances and declared contacts while a gate is built.
#pragma once

#include <functional>
#include <initializer_list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "generator/geometry/made_once.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/layout/figures/hardware.h"
#include "generator/model/model.h"
#include "generator/model/part_store.h"
#include "generator/occt/solids/bored.h"
#include "generator/occt/solids/mitre_joints.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {

using Point3 = std::array<double, 3>;

/// A weld fills, and a screw pulls over, what the round corner of a tube leaves open. Common
/// practice, no source.
inline constexpr double kJoinGapMm = 1;

/// What a part is cut from: words for the lists, and of a hollow section its sizes as well.
struct PartSection {
  std::string words;
  std::optional<HollowSection> tube;

  PartSection() = default;
  PartSection(std::string what) : words(std::move(what)) {}                        // NOLINT
  PartSection(const char* what) : words(what) {}                                   // NOLINT
  PartSection(const HollowSection& what) : words(what.designation), tube(what) {}  // NOLINT
};

/// What a part is, apart from its solid. Material, and name and supply where none is given, are
/// those of its kind.
struct PartSpec {
  PartKind kind{};
  PartSection section = {};
  double length_mm = 0;
  std::array<EndCut, 2> ends{};
  std::vector<std::string> cutouts = {};
  std::string name = {};
  std::optional<Supply> supply = {};
  std::string material = {};
  /// What else its solid follows from and no two such parts of one gate differ in.
  std::vector<double> within = {};

  PartSpec called(std::string words) && {
    name = std::move(words);
    return std::move(*this);
  }
  PartSpec given(std::vector<double> figures) && {
    within = std::move(figures);
    return std::move(*this);
  }
  PartSpec madeOf(std::string other) && {
    material = std::move(other);
    return std::move(*this);
  }
  PartSpec from(Supply other) && {
    supply = other;
    return std::move(*this);
  }
};

/// The slope that parts lean with when they stand square to a rail.
struct Slope {
  double grade = 0, cosine = 1, sine = 0;  ///< rise per mm of X; of its angle

  static Slope of(double grade);
  bool isLevel() const { return grade == 0; }
};

/// A panel's own frame: origin at the leading end, front face, bottom rail's underside; closed.
///
/// Two ways to say where something is: by `along` the rail, `across` and `up` square to it, with
/// `along` measured from the plumb line through the leading end, at the same height (at()); and by
/// X, for what stands plumb. For a level panel both are one.
struct PanelFrame {
  int number = 1;
  Point3 origin_mm{};
  Slope slope;                 ///< of the bottom rail
  double length_mm = 0;        ///< bottom rail, along it
  double frame_length_mm = 0;  ///< frame, horizontal
  double depth_mm = 0;
  double rail_height_mm = 0;
  double top_z_mm = 0, top_grade = 0;  ///< top at the leading end; rise per mm of X
  double top_rail_height_mm = 0;       ///< square to it
  double bottom_rail_wall_mm = 0;
  bool carries_rope = false;
  bool carries_channel = false;  ///< a guide channel on its front face, for the panel before it
  double channel_offset_mm = 0;  ///< channel's back before (+) or inside (-) the front face

  Point3 at(double along, double across, double up) const;
  /// `along` at height `up`, as measured along the rail's own straight edge.
  double edgeMm(double along, double up) const { return along + up * slope.grade; }
  double undersideZ(double x) const { return origin_mm[2] + slope.grade * (x - origin_mm[0]); }
  double railTopZ(double x) const { return undersideZ(x) + rail_height_mm / slope.cosine; }
  double topZ(double x) const { return top_z_mm + top_grade * (x - origin_mm[0]); }
  /// Underside of the top rail.
  double underTopZ(double x) const;
  Slope topSlope() const { return Slope::of(top_grade); }
};

/// Half a turn of a part about an axis of the rail that it stands on.
enum class TurnedOver { kNot, kAboutAlong, kAboutAcross, kAboutUp };

class ModelBuilder {
 public:
  struct Made {
    PartStore* store = nullptr;
    Weighed weighed = Weighed::kYes;
  };
  ModelBuilder(const GateSpec& spec, const Layout& layout, const Made& made);

  const GateSpec& spec() const { return model_.spec; }
  const HardwareSpec& hardware() const { return model_.spec.hardware; }
  const Layout& layout() const { return model_.layout; }
  const std::vector<PanelFrame>& panels() const { return panels_; }
  const PanelFrame& panel(int number) const { return panels_.at(number - 1); }
  std::string frameMaterial() const;
  /// How steel hardware is fixed to the frame: welded to steel, bolted to aluminium.
  ContactKind steelOnFrame() const;

  /// The part with these dimensions. `dimensions` with kind and section tell the parts of a gate
  /// apart; with `spec.within` they are all that its solid follows from. Solids are built by
  /// finish(), several at once: `build` holds by value whatever does not outlive the builder.
  int part(const PartSpec& spec, const std::vector<double>& dimensions,
           const std::function<TopoDS_Shape()>& build);
  /// Same, where what is measured of it is known besides.
  int measuredPart(const PartSpec& spec, const std::vector<double>& dimensions,
                   const std::function<MeasuredSolid()>& build);
  /// Same, for what can be adjusted: `reach` is all that it takes up in its range.
  int adjustablePart(const PartSpec& spec, const std::vector<double>& dimensions,
                     const std::function<TopoDS_Shape()>& build,
                     const std::function<TopoDS_Shape()>& reach);
  /// Same, for a rope: two solids, closed and open, never shared; `bounds` of the closed one.
  int ropePart(const PartSpec& spec, const Bounds& bounds,
               const std::function<TopoDS_Shape()>& closed,
               const std::function<TopoDS_Shape()>& open);

  /// Places `part` in `panel` (0 = fixed), its origin at `at` in the gate's frame.
  int place(int part, int panel, const Point3& at);
  /// Same, leaning with a slope: turned about Y through its origin.
  int place(int part, int panel, const Point3& at, const Slope& slope);
  /// Same, first turned half a turn about an axis through its origin.
  int placeTurned(int part, int panel, const Point3& at, const Slope& slope = {},
                  TurnedOver turn = TurnedOver::kAboutUp);
  /// Same, its Z turned to `facing` (a unit vector): along Y, or anywhere square to Y.
  int placeFacing(int part, int panel, const Point3& at, const Point3& facing);
  /// Makes an instance move with a body of its own.
  void floatOn(int instance, int body) { model_.instances.at(instance).body = body; }

  /// Bores `holes`, in the gate's frame, in an instance that is placed; `words` for the cut list.
  /// Where others of its part stay as they are, it becomes a part of its own. Done by drillAll(),
  /// once nothing is left to place.
  void drill(int instance, std::vector<RoundHole> holes, std::string words);
  void drillAll();

  /// Declares a contact; more may be asked of it through what is returned, until the next is added.
  Contact& contact(int a, int b, ContactKind kind, const std::string& reason, double gap_mm = 0,
                   double overlap_mm = 0);
  /// Declares `kind` between `instance` and every instance placed so far of the same body whose
  /// kind is listed and that it meets, as finish() will find; a gap of kJoinGapMm is bridged.
  void joinTouching(int instance, std::initializer_list<PartKind> with, ContactKind kind,
                    const std::string& reason, double overlap_mm = 0);

  void addRope(RopeRun run) { model_.ropes.push_back(std::move(run)); }
  void addFastening(Fastening fastening) { model_.fastenings.push_back(std::move(fastening)); }
  const Model& model() const { return model_; }
  const Instance& instance(int index) const { return model_.instances.at(index); }
  /// Instances of one kind on one panel, in order of placing.
  std::vector<int> instancesOf(PartKind kind, int panel) const;

  /// Builds and measures on all cores, finds what meets, mirrors where the gate opens to the left,
  /// and hands the model over.
  Model finish();
  /// Instead of finish(): one part's solid alone, neither vented nor mirrored.
  const TopoDS_Shape& solidOf(int part);

 private:
  using Build = std::function<void(Part&)>;
  /// joinTouching() as it was asked.
  struct Join {
    int instance = 0, placed = 0;  ///< instances that there were
    std::size_t declared = 0;      ///< contacts that there were
    std::vector<PartKind> with;
    ContactKind kind{};
    std::string reason;
    double overlap_mm = 0;
  };
  /// Holes of an instance in its part's frame.
  struct Drilling {
    int instance = 0;
    std::vector<RoundHole> holes;
    std::string words;
    std::string identity;  ///< what they add to the part's
  };
  int drilledPart(int part, const Drilling& drilling, bool is_in_place);
  int addInstance(int part, int panel, const TopLoc_Location& at);
  Bounds boundsOf(int part, const TopLoc_Location& at);
  std::string nextMark(PartKind kind);
  std::vector<int> joined(const Join& join);
  void declareJoins();
  bool isJoint(int one, int other);
  const TriangleMesh& turnedMesh(int instance);

  /// From the store, or by `build`, which fills in the solids.
  void takeOrBuild(Part& part, const Build& build);
  int addPart(const PartSpec& spec, const std::vector<double>& dimensions, Build build);
  int knownOrNew(const PartSpec& spec, const std::vector<double>& dimensions, Build build);
  /// Rails longer than what is bought or travels, in pieces on strips.
  void spliceRails();
  void addSpliceStrips(int rail, double at_mm);
  /// Vents and drains of what goes through the zinc bath.
  void ventHollows();
  /// The part again, with its vents.
  void pierce(Part& part);
  /// What anchors are set in: of what they were found to stand on.
  void findAnchorage();
  void mirror(Part& part);
  void mirrorAll();
  /// A part as it is turned, wherever it stands.
  using Turn = std::pair<int, long long>;
  static Turn turnOf(int part, const TopLoc_Location& at);
  template <class Value>
  using Turned = std::map<Turn, MadeOnce<Value>>;
  /// What `make` makes of a turn.
  template <class Value, class Make>
  const Value& made(Turned<Value>& slots, const Turn& turn, const Make& make);

  Model model_;
  PartStore* store_ = nullptr;
  Weighed weighed_ = Weighed::kYes;
  std::string shelf_, site_shelf_;  ///< shelfWord()
  std::vector<PanelFrame> panels_;
  bool is_level_ = true;  ///< every panel is, with its guide rail at the top
  std::map<std::string, int> part_by_key_;
  std::map<std::string, int> marks_used_;
  std::map<int, int> placed_of_;  ///< instances by part
  std::vector<Build> builds_;     ///< by part
  std::vector<Join> joins_;
  std::vector<Drilling> drillings_;
  std::mutex turned_mutex_;  ///< of both maps, not of what their slots hold
  Turned<std::shared_ptr<const TriangleMesh>> turned_meshes_;
  Turned<Bounds> turned_bounds_;
};

/// End cut of a length along a panel or of an upright whose end face has this slope.
EndCut mitre(double slope);

/// "angle 32x32x4"-like text: sizes joined by x, as short as they go.
std::string sizes(std::initializer_list<double> values);

// One function a family of parts; each adds to the builder in a fixed order.
void addFrame(ModelBuilder& builder, const PanelFrame& panel);
void addInfill(ModelBuilder& builder, const PanelFrame& panel);
void addCladding(ModelBuilder& builder, const PanelFrame& panel);
void addReturn(ModelBuilder& builder);
void addRunningGear(ModelBuilder& builder, const PanelFrame& panel);
void addGuides(ModelBuilder& builder);
void addRopes(ModelBuilder& builder);
void addDrive(ModelBuilder& builder);
void addSite(ModelBuilder& builder);
void addSurroundings(ModelBuilder& builder);

}  // namespace leafstack
