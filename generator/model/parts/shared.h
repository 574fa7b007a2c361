// What several part builders need: spaces to fill, holes that match their bolts.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "generator/layout/figures/spacing.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/model/builder.h"

namespace leafstack {

/// A clear space between two uprights, in X from the panel's leading end.
struct Bay {
  double from_mm = 0, width_mm = 0;
};
std::vector<Bay> baysOf(const ModelBuilder& builder, const PanelFrame& panel);

/// A plumb upright's edge from the bottom rail to the top rail.
struct Upright {
  double low_z_mm = 0, length_mm = 0;
};
/// At X `x` from the panel's leading end.
Upright uprightAt(const PanelFrame& panel, double x);

/// A tube that stands plumb between the rails of a panel, its ends cut to them.
struct UprightTube {
  PartSpec spec;  ///< without length and ends
  HollowSection section;
  double x_mm = 0;  ///< its leading edge, from the panel's leading end
  bool turned = false;
  double cut_key = 0;                                          ///< tells cuts apart; 0 without
  std::function<TopoDS_Shape(const Point3&)> tools = nullptr;  ///< what is cut off, if anything
  std::function<std::vector<double>(const Point3&)> tool_figures = nullptr;  ///< of `tools`
};
/// Its part and where it stands; `y` across, in the gate's frame.
int placeUpright(ModelBuilder& builder, const PanelFrame& panel, UprightTube tube, double y);

/// Polygons of flat parts in the panel's plane: X and Z of the gate.
using Polygon = std::vector<Point2>;
/// What lies above (`above`) or below the line through `through` that rises by `grade`.
Polygon clipped(const Polygon& polygon, Point2 through, double grade, bool above);
/// Extent of a polygon.
struct Field {
  double x0 = 0, x1 = 0, z0 = 0, z1 = 0;
  double width() const { return x1 - x0; }
  double height() const { return z1 - z0; }
};
Field extentOf(const Polygon& polygon);

/// What lies at X `x` or beyond.
Polygon rightOf(const Polygon& polygon, double x);

/// What is flat of a member's front, in the gate's X and Z.
struct MemberFace {
  int instance = 0;
  double from_x = 0, to_x = 0;
  Point2 low, high;  ///< on its lower and upper edge
  double low_grade = 0, high_grade = 0;
  double wall_mm = 0;

  Polygon sharedWith(const Polygon& strip) const;
};
/// Of rails and uprights.
std::vector<MemberFace> facesOf(const ModelBuilder& builder, const PanelFrame& panel);
/// What turns behind a face, and must not be met by a screw's axis.
struct KeptFree {
  Point2 middle;
  double radius_mm = 0;
};
/// In what a strip and a member share, none where that is too narrow: two where a strip crosses a
/// member, more where it lies along it. Higher where else they would meet what is to be kept free,
/// and none where there is no room for that.
std::vector<Point2> screwsIn(const Polygon& region, const std::vector<KeptFree>& free = {});

/// A flat part in a panel's plane; its section names the rectangle it is cut from.
struct FlatPart {
  PartSpec spec;  ///< without section and length
  Polygon outline;
  double thickness_mm = 0;
  std::vector<Point2> holes = {};   ///< gate's X and Z, like the outline
  double hole_mm = 0, sink_mm = 0;  ///< diameter; how deep each is sunk at the front
  double grade = 0;                 ///< of its own X, rise per mm of the gate's
};
/// The same turned back by a slope, about the gate's origin: as it lies along itself.
Polygon turnedBack(const Polygon& polygon, const Slope& slope);
/// Its front face at Y `y`.
int placeFlat(ModelBuilder& builder, int panel, FlatPart flat, double y);

/// Greatest extent of a length of `width` whose ends are cut parallel.
double extentMm(double length, double width, double slope);
std::string parallelEnds(double edge_mm);
/// A slope among the dimensions that tell parts apart.
double slopeKey(double slope);

double wallOfBottomRail(const PanelFrame& panel);
/// The cradle's cheeks reach into the slots' ends, beside their corners.
inline constexpr double kSlotCornerMm = hardware::kCradleSlotGapMm;

/// Running gap of a sleeve, both ends together.
inline constexpr double kSleeveEndGapMm = 1;
/// A spacer sleeve along `axis` from the origin, for a bolt or axle of `bolt_mm`.
int sleevePart(ModelBuilder& builder, Plane axis, double length_mm, double bolt_mm);

/// An axle across the track, held by a ring outside either of two faces `between_mm` apart; `at` on
/// the front one.
int addAxle(ModelBuilder& builder, int panel, const Point3& at, double between_mm);
/// A wheel in a carrier bolted under the rail, `along_mm` from the panel's leading end.
void addCarrier(ModelBuilder& builder, const PanelFrame& panel, int wheel_part, double along_mm);

/// A point on a guide's axis: along and square to what the channel stands square to.
Point3 onGuide(const GuideLayout& guide, double along, double y, double up);
/// Round holes through one wall of a tube, for threads formed in it: in its own frame at Y 0, or at
/// its greatest X.
enum class PostFace { kFront, kFarX };
struct WallDrilled {
  PostFace face = PostFace::kFront;
  std::vector<Point3> at_mm = {};  ///< gate's frame; only what lies along the wall counts
  double hole_mm = 0;

  /// The same in the frame of a tube that stands unturned at `corner`.
  WallDrilled seenFrom(const Point3& corner) const;
  /// What the drilled solid follows from.
  std::vector<double> figures() const;
};
TopoDS_Shape drilled(const TopoDS_Shape& tube, const HollowSection& section,
                     const WallDrilled& holes);
/// "4 holes dia 5.4, flow-drilled M6, for the guide channel"; nothing without holes.
std::vector<std::string> drilledWords(const WallDrilled& holes, double thread_mm, const char* what);

/// Where a channel is screwed to the tube behind it: countersunk from within the channel, through
/// the slot between its lips, into threads formed in the tube's wall.
struct ChannelScrews {
  double thread_mm = 0, length_mm = 0;
  double coat_mm = 0;                        ///< on the walls of its sunk holes
  double half_along_mm = 0, half_up_mm = 0;  ///< off the middle of the channel's back
  double up_mm = 0;                          ///< of that middle from the guide's axis
  double along_room_mm = 0;                  ///< either side of its middle, for a screw's axis
  std::vector<Point2> found = {};            ///< places() that follow from what is behind it

  double threadHoleMm() const;
  /// Along and up from the guide's axis; none where channel or tube has no room.
  std::vector<Point2> places() const;
};
/// `is_level`: the tube runs along the track, else it stands.
ChannelScrews channelScrews(const GateSpec& spec, const GuideLayout& guide,
                            const HollowSection& tube, bool is_level);
/// The same as holes in that tube, whose front is at `y`.
WallDrilled channelHoles(const GuideLayout& guide, const ChannelScrews& screws, double y);

/// Channel and block of a guide, the channel's back at `back_y`; `rail` runs through the block.
/// Returns the channel. `screws`: what it gets holes for, if anything.
int addChannelAndBlock(ModelBuilder& builder, const GuideLayout& guide, double back_y, int rail,
                       const ChannelScrews* screws = nullptr);
/// Those screws, the channel's back at `back_y`.
void addChannelScrews(ModelBuilder& builder, const GuideLayout& guide, const ChannelScrews& screws,
                      double back_y, const std::array<int, 2>& channel_and_tube);

/// A wheel further than this off its track bar, or a keeper than this beyond its play, has left it.
inline constexpr double kWheelOnTrackMm = 0.05;

/// The rack's pieces, fixed to the panel's bottom rail. Returns them.
std::vector<int> addRack(ModelBuilder& builder, const PanelFrame& panel);
/// Thread of the screws that hold a rack's feet to the bottom rail's rear wall.
double rackFootThreadMm(const RackHardware& rack);
/// Where those screws are: along the rail's lower edge from its leading corner, and up square to
/// it. None of a rack on standoffs.
std::vector<Point2> rackFootScrews(const ModelBuilder& builder, const PanelFrame& panel);

/// Track keepers of both wheels of a panel.
void addTrackKeepers(ModelBuilder& builder, const PanelFrame& panel);
/// Lift keepers of the channel whose lips' front face is at `front_y`.
void addLiftKeepers(ModelBuilder& builder, const GuideLayout& guide, int channel, double front_y);
/// Catch post, buffer and receivers.
void addLatch(ModelBuilder& builder);

/// Y of the infill's front in the panel's frame: centred, or behind a channel let into the frame.
double infillFrontMm(const PanelFrame& panel, double infill_depth_mm);

/// "SHS 80x80x4", or "RHS 60x70x3" where the sides differ.
std::string hollowName(double height_mm, double depth_mm, double wall_mm);

/// All that the ground's line follows from.
std::vector<double> lineFigures(const ModelBuilder& builder, int strip);
/// A panel's track, and its wheels' and keepers' contact with it.
void addTrack(ModelBuilder& builder, const PanelFrame& panel);

/// An end of a tube in the tube's own frame: along its axis from its corner.
struct CapPlace {
  Point3 corner_mm{};  ///< the tube's, gate's frame
  Plane along{};       ///< that its axis is square to
  double end_mm = 0;
  bool is_far = true;  ///< the end that lies furthest along the axis
  Slope slope = {};
};
void addCap(ModelBuilder& builder, int tube, const HollowSection& section, const CapPlace& place);
/// Ends of a rail along the panel that take a cap.
struct RailEnds {
  double length_mm = 0;
  Slope slope;
  bool has_start = true, has_end = true;
};
void addCaps(ModelBuilder& builder, int rail, const HollowSection& section, const Point3& corner,
             const RailEnds& rail_ends);

/// The slope of the footing at X.
Slope footingSlope(const ModelBuilder& builder, int strip, double x);

/// A tube that stands plumb on a base plate that lies on the footing.
struct PostOnPlate {
  PartSpec spec;  ///< of the post, without section, length and ends
  HollowSection section;
  double x_mm = 0, y_mm = 0;  ///< the post's corner
  double top_z_mm = 0;
  PostPlate plate;
  const char* plate_name = "";
  WallDrilled drilled = {};
};
/// Returns the post's instance.
int addPost(ModelBuilder& builder, PostOnPlate post);

}  // namespace leafstack
