// The gate as solids: distinct parts, their placed instances, and every contact allowed on purpose.
//
// Frame: that of layout.h for a right-hand gate. For a left-hand gate the whole model is mirrored
// in X (solids and placements), so model X = -layout X. Travel along +opening direction is
// `opening_sign` in model X.
//
// Properties (tested on seeded random gates): M1 every solid is valid and closed; M2 marks are
// unique; M3 a part's mass is its solid's volume x density, or what its supplier says; M4 an
// instance is a rigid motion of its part, never a reflection; M5 bounds enclose the solid and are
// tight to kBoundsSlackMm.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "generator/geometry/bounds.h"
#include "generator/layout/figures/layout_types.h"
#include "generator/layout/travel/travel.h"
#include "generator/model/part_kinds.h"
#include "generator/occt/solids/tube.h"

namespace leafstack {

inline constexpr double kBoundsSlackMm = 1e-3;

/// One end of a cut length: the mitre angle from square, and the plane it lies in.
struct EndCut {
  double angle_deg = 0;  ///< 0 = square
  std::string plane;     ///< "" for square, "elevation" (XZ), "plan" (XY)
};

/// All that an adjustable part takes up, wherever in its range it stands; in the part's frame.
struct AdjustedSpace {
  TopoDS_Shape solid;
  Bounds bounds;
  double volume_mm3 = 0;
};

/// A round hole that lets pickling fluid, air and zinc into and out of a hollow section. Walls are
/// the section's: front and rear lie across its depth, bottom and top across its height, however
/// the part stands; front and bottom are on the part's low coordinates, in a right-hand gate.
struct VentHole {
  Wall wall{};
  double along_mm = 0;   ///< of the centre, from the part's leading or lower end
  double across_mm = 0;  ///< of the centre, from the wall's front or lower (leading) edge
  double diameter_mm = 0;
  std::array<double, 3> centre_mm{};  ///< in the outer face, part's frame
};

/// Where a long rail's pieces meet, cut square; the part's solid is of all of them, welded.
struct Splice {
  double at_mm = 0;  ///< along the rail's lower edge, from its leading corner
  bool is_on_site = false;
};

/// A distinct part: one solid in its own frame, one mark.
struct Part {
  PartKind kind{};
  Supply supply{};
  /// Kind and every figure its solid follows from, exactly, and its hand: parts of one identity
  /// have one solid, in whatever gate they stand. Not for people.
  std::string identity;
  std::string mark;      ///< e.g. "BR1": ASCII letters and digits, unique in the gate
  std::string name;      ///< e.g. "bottom rail"
  std::string in_words;  ///< mark, name, section and figures: what to name where it fails
  std::string material;  ///< e.g. "steel", "aluminium", "timber", "nylon", "rope", "concrete"
  std::string section;   ///< "RHS 100x50x3", "angle 32x32x4", "plate 8", "" where none applies
  std::optional<HollowSection> tube;       ///< a hollow section's sizes, which `section` only names
  double density_kg_m3 = 0;                ///< 0 for envelopes, whose mass is the supplier's figure
  std::optional<double> supplier_mass_kg;  ///< of one, where the shelf gives it
  double length_mm = 0;                    ///< cut length or greatest extent
  std::array<EndCut, 2> ends{};
  std::vector<std::string> cutouts;    ///< in words, positions from the leading or lower end
  std::vector<VentHole> vents;         ///< for the zinc bath; in `cutouts` and the solid as well
  std::vector<std::string> unvented;   ///< closed ends that have no place for one: "lower end"
  std::vector<Splice> splices;         ///< in order; in `cutouts` as well
  TopoDS_Shape solid;                  ///< closed position (ropes: see open_solid)
  TopoDS_Shape open_solid;             ///< null except for ropes, whose strands change length
  Bounds bounds;                       ///< of `solid`, in the part's frame
  std::optional<AdjustedSpace> reach;  ///< in whose place the clash check takes it
  double volume_mm3 = 0;
  double area_mm2 = 0;  ///< 0 until measureAreas(), which only written outputs need
  int face_count = 0;   ///< the same
  std::array<double, 3> centroid_mm{};
  /// Others drew it, of triangles too many for a solid of faces: files of solids are without it.
  bool is_triangles = false;
  double massKg() const { return supplier_mass_kg.value_or(volume_mm3 * 1e-9 * density_kg_m3); }
};

/// A placed part. `at_closed` is a rotation (often none) and a translation.
struct Instance {
  int part = 0;    ///< index into Model::parts
  int panel = 0;   ///< 0 = does not move
  int body = 0;    ///< index into Model::travels: its panel, or a floating guide block
  int serial = 1;  ///< counts the instances of one mark from 1
  TopLoc_Location at_closed;
  Bounds bounds;  ///< at closed, in the gate's frame
};

/// Why two parts may meet.
enum class ContactKind {
  kWelded,
  kBolted,
  kBearing,
  kRolling,
  kSliding,
  kRopeHeld,
  kMesh,
  kStop,
  kStandsOn
};
std::string_view toString(ContactKind kind);

/// How a contact keeps its hold: the middle `core_mm` of `inner` along an axis of the other
/// instance's own placement, its turn at closed included, stays within the other's bounds, at every
/// position of the travel.
struct Engagement {
  int inner = 0;  ///< one of the contact's two instances
  int axis = 0;   ///< kAlongX, kAlongY or kAlongZ
  double core_mm = 0;
  /// What to say where the core leaves past the low or the high end of the axis ("guide block
  /// leaves the top of its channel"); "" for the contact's own reason.
  std::string leaves_low = {}, leaves_high = {};
};

/// Welds along lines, where a round or an edge stands on a face, or bent ends meet: a contact's
/// outline shows none.
struct LineWeld {
  int lines = 0;  ///< alike
  double each_mm = 0, thinner_mm = 0, thicker_mm = 0;
  bool is_butt = false;
  bool is_all = false;  ///< of faces that the two share, no more is in reach
  std::optional<std::array<double, 3>> at_mm = {};  ///< where it is, gate's frame, closed
};

/// A contact declared on purpose between two instances; nothing else may touch.
struct Contact {
  int a = 0, b = 0;  ///< indices into Model::instances
  ContactKind kind{};
  std::string reason;
  double permitted_gap_mm = 0;      ///< further apart than this is no contact
  double permitted_overlap_mm = 0;  ///< deeper than this is a clash after all
  std::vector<Engagement> engagements = {};
  LineWeld weld = {};       ///< of a welded one whose parts share no flat face
  bool is_on_site = false;  ///< of a welded one: not before its parts lie in their places
  /// With others of its kind at what its first engagement is about: at every position one holds.
  bool in_turns = false;
};

/// Two ropes of one carrying panel, as paths: rebuilt for any position of the travel.
struct RopeRun {
  int part = 0, instance = 0;
  std::string mark;
  int carrier = 1;
  bool opening = true;  ///< the opening rope rounds the trailing pulley

  /// Bodies that its two ends are fixed to.
  int frontBody() const { return carrier + 1; }
  int rearBody() const { return carrier - 1; }
};

/// Heads: a nut on an anchor's stud, a hexagon, a cylinder or a sunk cone with a hexagon socket; a
/// sunk cone for a bit, on a screw that drills its own hole in what it holds in.
enum class ScrewKind { kAnchor, kHexagon, kSocket, kCountersunk, kDrilling };

/// A screw or anchor in its place, and the two that it joins.
struct Fastening {
  ScrewKind kind{};
  double thread_mm = 0;
  double length_mm = 0;    ///< under the head, of a sunk one with it; of an anchor what is drawn
  double grip_mm = 0;      ///< from the head's seat, or the washer's, to what its thread holds in
  double hold_mm = 0;      ///< of its thread in that; 0 in concrete and masonry
  bool is_tapped = false;  ///< that thread cut; else formed in a wall
  bool is_match_drilled = false;  ///< at assembly: what it holds in has no hole in its file
  std::string what;
  int screw = 0, washer = -1, nut = -1;  ///< instances; -1: none
  int under_head = 0, holds_in = -1;     ///< instances that it joins
  std::array<double, 3> seat_mm{};  ///< on its axis, under head or washer; gate's frame, closed
  std::array<double, 3> out{};      ///< unit, from the thread to the head
};

struct Model {
  GateSpec spec;
  Layout layout;
  std::vector<Part> parts;
  std::vector<Instance> instances;
  std::vector<Contact> contacts;
  std::vector<RopeRun> ropes;
  std::vector<Fastening> fastenings;  ///< of every screw and anchor that there is a solid of
  std::vector<double> speed_ratio;    ///< by panel, 0 = ground
  Travels travels;                    ///< by body, in the layout's frame: ground, panels, blocks
  double opening_sign = 1;            ///< +1 right-hand, -1 left-hand
  /// Of a gate as built, by body; empty: nothing. How far a body may stand, either way along the
  /// gate's axes, from where its solids are, since what was measured of it is not drawn (a bow, a
  /// track out of level); and how far it may stand beyond that, as uncertain measurements are.
  std::vector<std::array<double, 3>> off_mm, unsure_mm;

  /// Motion of `body` in the model's frame, from closed to drive travel `drive_mm`.
  Pose poseAt(int body, double drive_mm) const {
    const Pose pose = travels.at(body)->at(drive_mm);
    return opening_sign > 0 ? pose : mirrored(pose);
  }
  /// Displacement in model X of `panel` at drive travel `drive_mm`.
  double shiftMm(int panel, double drive_mm) const {
    return opening_sign * layout.goneMm(panel, drive_mm);
  }
  /// The instance's name in every output: mark, dot, serial ("PK1.17").
  std::string instanceName(int instance) const;
};

class PartStore;

/// Whether parts get volumes, masses and centroids: a sixth of building. Who only looks at shapes
/// leaves them out, and has a store of its own.
enum class Weighed { kYes, kNot };

/// Builds every solid of a gate that layOut() accepted; those in `store` are taken from it, the
/// others put into it. Throws GeometryError (geometry_error.h) when the kernel yields an invalid
/// solid: better to stop than to hand out wrong geometry.
Model buildModel(const GateSpec& spec, const Layout& layout, PartStore* store = nullptr,
                 Weighed weighed = Weighed::kYes);

/// Fills Part::area_mm2 and face_count of every part, and readies solids for what is written of
/// them.
void measureAreas(Model& model, PartStore* store = nullptr);

/// Location of `instance` at drive travel `drive_mm`.
TopLoc_Location locationAt(const Model& model, const Instance& instance, double drive_mm);

/// The rope's solid in the gate's frame of its carrier at `drive_mm` (0 = the part's own solid).
TopoDS_Shape ropeSolidAt(const Model& model, const RopeRun& rope, double drive_mm);

/// The same rope's centre line as a chain of points, from its front end round the pulley to its
/// rear end; the half turn's chords keep within 0.01 mm of the pitch circle.
std::vector<std::array<double, 3>> ropeLineAt(const Model& model, const RopeRun& rope,
                                              double drive_mm);

}  // namespace leafstack
