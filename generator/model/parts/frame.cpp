// Bottom rails, top rails, stiles and intermediate uprights of one panel.
#include <BRepBuilderAPI_Transform.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/mitre.h"
#include "generator/occt/solids/tube.h"

namespace leafstack {
namespace {

namespace hw = hardware;

const std::string kWeldReason = "frame members are welded where they meet";

/// Holes and the words for them on the cut list, gathered together.
struct DrilledWalls {
  std::vector<WallHole> holes;
  std::vector<std::string> words;
  std::vector<double> key;  ///< tells parts apart

  void both(Wall one, Wall other, const Outline& outline) {
    holes.push_back({one, outline});
    holes.push_back({other, outline});
  }
};

/// Zinc and powder lie in holes as well, and drown threads.
std::string reamed(const ShopSpec& shop, double hole_mm) {
  return shop.coatMm() > 0 ? "; reamed back to " + shown(hole_mm) + " after coating" : "";
}

void addWheelHoles(const ModelBuilder& builder, const PanelFrame& panel, double inset_mm,
                   DrilledWalls& walls) {
  const HardwareSpec& shelf = builder.hardware();
  const double pocket_radius = shelf.wheel.width_mm / 2 + hw::kWheelPocketGapMm;
  // The pocket's round ends must clear the wheel's square corners in the bottom wall.
  const double wheel_half_chord =
      std::sqrt(std::pow(shelf.wheel.outside_mm / 2, 2) -
                std::pow(shelf.wheel.axle_up_mm - wallOfBottomRail(panel), 2));
  const double corner =
      std::sqrt(std::pow(pocket_radius, 2) - std::pow(shelf.wheel.width_mm / 2, 2));
  const double half_pocket =
      std::ceil(wheel_half_chord + hw::kWheelPocketEndGapMm + pocket_radius - corner);
  for (double along : {inset_mm, panel.length_mm - inset_mm}) {
    const double x = panel.edgeMm(along, shelf.wheel.axle_up_mm);
    walls.holes.push_back(
        {Wall::kBottom, Outline::slot({x, panel.depth_mm / 2}, half_pocket, pocket_radius)});
    walls.both(Wall::kFront, Wall::kRear,
               Outline::circle({x, shelf.wheel.axle_up_mm}, axleHoleMm(shelf) / 2));
    walls.words.push_back("wheel pocket " + sizes({2 * half_pocket, 2 * pocket_radius}) +
                          " in the underside, centre at " + shown(x));
    walls.words.push_back("axle hole dia " + shown(axleHoleMm(shelf)) + " through, at " + shown(x) +
                          ", " + shown(shelf.wheel.axle_up_mm) + " up" +
                          reamed(builder.spec().shop, axleHoleMm(shelf)));
  }
  walls.key.push_back(inset_mm);
}

/// Of carriers bolted under the rail: four formed holes a wheel, for threads in the underside.
void addCarrierHoles(const HardwareSpec& shelf, const PanelFrame& panel, double inset_mm,
                     DrilledWalls& walls) {
  const double form = threadClass(shelf.wheel.plate_bolt_mm).form_mm;
  const double across = shelf.wheel.bolt_gauge_mm / 2;
  for (double along : {inset_mm, panel.length_mm - inset_mm}) {
    const double x = panel.edgeMm(along, shelf.wheel.axle_up_mm);
    for (double off : {-shelf.wheel.bolt_pitch_mm / 2, shelf.wheel.bolt_pitch_mm / 2}) {
      for (double side : {-across, across}) {
        walls.holes.push_back(
            {Wall::kBottom, Outline::circle({x + off, panel.depth_mm / 2 + side}, form / 2)});
      }
    }
    walls.words.push_back("wheel carrier: 4 holes dia " + shown(form) + ", flow-drilled M" +
                          shown(shelf.wheel.plate_bolt_mm) + " threads, " +
                          sizes({shelf.wheel.bolt_pitch_mm, shelf.wheel.bolt_gauge_mm}) +
                          " apart in the underside, centre at " + shown(x));
  }
  walls.key.push_back(inset_mm);
}

/// Slots that a pulley's cradle slides through, and the holes for its screws.
void addPulleyHoles(const ModelBuilder& builder, const PanelFrame& panel, DrilledWalls& walls) {
  const HardwareSpec& shelf = builder.hardware();
  const RopeLayout& rope = builder.layout().ropes.at(panel.number - 1);
  const PulleyCradle cradle = cradleOf(builder.spec());
  const double half_height = cradle.slot_half_height_mm;
  const double inset = builder.layout().pulley_inset_mm;
  const double form = 2 * SunkScrew{shelf.pulley.screw_mm}.formRadiusMm();
  for (bool opening : {false, true}) {
    const bool in_front = comesOutInFront(shelf, opening);
    const double up = rope.heightOfMm(opening);
    const double x = panel.edgeMm(opening ? panel.length_mm - inset : inset, up);
    const double front = in_front ? cradle.entry_half_mm : cradle.far_half_mm;
    const double rear = in_front ? cradle.far_half_mm : cradle.entry_half_mm;
    const auto slot = [&](double half) {
      return Outline::roundedRectangle({x - half, up - half_height}, {x + half, up + half_height},
                                       kSlotCornerMm);
    };
    walls.holes.push_back({Wall::kFront, slot(front)});
    walls.holes.push_back({Wall::kRear, slot(rear)});
    const double screw_x = x + (opening ? -cradle.screw_x_mm : cradle.screw_x_mm);
    for (double off : {-cradle.screw_up_mm, cradle.screw_up_mm}) {
      walls.holes.push_back(
          {in_front ? Wall::kFront : Wall::kRear, Outline::circle({screw_x, up + off}, form / 2)});
    }
    walls.words.push_back("pulley slots " + sizes({2 * front, 2 * half_height}) + " in front, " +
                          sizes({2 * rear, 2 * half_height}) + " in the rear, corners R" +
                          shown(kSlotCornerMm) + ", centre at " + shown(x) + ", " + shown(up) +
                          " up");
    walls.words.push_back("pulley screws: 2 holes dia " + shown(form) + ", flow-drilled M" +
                          shown(shelf.pulley.screw_mm) + " threads, in the " +
                          (in_front ? "front" : "rear") + " at " + shown(screw_x) + ", " +
                          shown(up - cradle.screw_up_mm) + " and " +
                          shown(up + cradle.screw_up_mm) + " up");
  }
  walls.key.insert(walls.key.end(), {rope.height_mm, rope.apart_mm, cradle.rim_mm, inset,
                                     cradle.far_half_mm, cradle.screw_x_mm, cradle.screw_up_mm});
}

/// Formed holes in the rear wall for the screws of a rack on feet.
void addRackHoles(const ModelBuilder& builder, const PanelFrame& panel, DrilledWalls& walls) {
  const std::vector<Point2> screws = rackFootScrews(builder, panel);
  if (screws.empty()) {
    return;
  }
  const double thread = rackFootThreadMm(builder.hardware().rack);
  const double form = threadClass(thread).form_mm;
  const bool is_straight = builder.layout().ground.rack_up_mm.empty();
  std::string places;
  for (const Point2& at : screws) {
    walls.holes.push_back({Wall::kRear, Outline::circle(at, form / 2)});
    walls.key.push_back(at.a);
    places += (places.empty() ? "" : ", ") + shown(at.a);
    if (!is_straight) {
      walls.key.push_back(at.b);
      places += " (" + shown(at.b) + " up)";
    }
  }
  walls.key.push_back(screws.front().b);
  walls.words.push_back("rack's feet: " + std::to_string(screws.size()) + " holes dia " +
                        shown(form) + ", flow-drilled M" + shown(thread) +
                        " threads, in the rear at " + places +
                        (is_straight ? ", " + shown(screws.front().b) + " up" : ""));
}

int addBottomRail(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const HollowSection& section = builder.spec().gate.bottom_rail;
  DrilledWalls walls;
  const double inset = wheelInsetMm(builder.spec(), builder.layout());
  if (isOnPlate(shelf)) {
    addCarrierHoles(shelf, panel, inset, walls);
  } else {
    addWheelHoles(builder, panel, inset, walls);
  }
  if (panel.carries_rope) {
    addPulleyHoles(builder, panel, walls);
  }
  if (panel.number == 1) {
    addRackHoles(builder, panel, walls);
  }
  const double slope = panel.slope.grade;
  if (slope != 0) {
    walls.words.push_back(parallelEnds(panel.length_mm) +
                          "; positions along the lower edge, from its leading corner");
  }
  std::vector<double> key = {panel.length_mm, slopeKey(slope)};
  key.insert(key.end(), walls.key.begin(), walls.key.end());
  const int part =
      builder.part({PartKind::kBottomRail,
                    section,
                    extentMm(panel.length_mm, section.height_mm, slope),
                    {mitre(slope), mitre(slope)},
                    walls.words},
                   key, [=] {
                     return drilledSection(section, panel.length_mm, walls.holes, {slope, slope});
                   });
  const int rail = builder.place(part, panel.number, panel.origin_mm, panel.slope);
  // A pulley near the rail's end leaves no room for a cap.
  constexpr double kCapMm = 10;
  const double rim = pulleyRimMm(builder.spec(), builder.layout().pulley_pitch_mm);
  const bool is_free = !panel.carries_rope || builder.layout().pulley_inset_mm - rim >=
                                                  kCapMm + std::abs(slope) * section.height_mm;
  // Nor does a rope's bracket that is welded across the end.
  const bool is_crossed =
      panel.number > 1 && shelf.bracket.length_mm / 2 > builder.spec().ropes.bracket_inset_mm;
  addCaps(builder, rail, section, panel.origin_mm,
          {panel.length_mm, panel.slope, is_free, is_free && !is_crossed});
  return rail;
}

bool isLetIn(const PanelFrame& panel) {
  return panel.carries_channel && panel.channel_offset_mm < 0;
}

/// The pocket a recessed guide channel takes out of the frame, as the channel leans, in the frame
/// of a member that stands at `at`, itself square to `lean` or (without) plumb.
TopoDS_Shape channelPocket(const ModelBuilder& builder, const PanelFrame& panel,
                           const gp_Trsf& member) {
  constexpr double kBeyondMm = 1;  // past the member's faces, so that no skin is left
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  const double half = builder.spec().guides.channel_width_mm / 2;
  const double top = panel.topZ(guide.x_mm) - guide.z_mm + panel.top_rail_height_mm;
  // What would stay between a leaning channel and the panel's end goes too.
  const double before =
      half + kBeyondMm + std::abs(guide.channel_grade) * (top - guide.channel_low_mm);
  const TopoDS_Shape tool =
      box({-before, -kBeyondMm, guide.channel_low_mm}, {half, -panel.channel_offset_mm, top});
  const double c = guide.channelCosine();
  const double s = guide.channel_grade * c;
  gp_Trsf place;
  place.SetValues(c, 0, -s, guide.x_mm, 0, 1, 0, panel.origin_mm[1], s, 0, c, guide.z_mm);
  return BRepBuilderAPI_Transform(tool, member.Inverted() * place, /*copy=*/true).Shape();
}

/// Tells pockets apart: how far up they go is the guide's matter.
double pocketKey(const ModelBuilder& builder, const PanelFrame& panel) {
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  return panel.topZ(guide.x_mm) - guide.z_mm - guide.channel_low_mm;
}

/// All that a pocket's place and size in a member at `at` follow from.
std::vector<double> pocketFigures(const ModelBuilder& builder, const PanelFrame& panel,
                                  const Point3& at) {
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  return {builder.spec().guides.channel_width_mm,
          panel.channel_offset_mm,
          panel.topZ(guide.x_mm),
          panel.top_rail_height_mm,
          panel.origin_mm[1],
          guide.x_mm,
          guide.z_mm,
          guide.channel_grade,
          guide.channel_low_mm,
          at[0],
          at[1],
          at[2]};
}

std::string pocketWords(const ModelBuilder& builder, const PanelFrame& panel) {
  return "front face cut " + shown(-panel.channel_offset_mm) + " deep for the guide channel, " +
         shown(builder.spec().guides.channel_width_mm) + " along the panel";
}

gp_Trsf placeOf(const Point3& at, const Slope& slope) {
  gp_Trsf place;
  place.SetValues(slope.cosine, 0, -slope.sine, at[0], 0, 1, 0, at[1], slope.sine, 0, slope.cosine,
                  at[2]);
  return place;
}

void addTopRail(ModelBuilder& builder, const PanelFrame& panel) {
  const HollowSection& section = builder.spec().gate.top_rail;
  const Slope slope = panel.topSlope();
  const double length = panel.frame_length_mm / slope.cosine;
  const Point3 at = {panel.origin_mm[0], panel.origin_mm[1], panel.underTopZ(panel.origin_mm[0])};
  PartSpec spec{PartKind::kTopRail,
                section,
                extentMm(length, section.height_mm, slope.grade),
                {mitre(slope.grade), mitre(slope.grade)}};
  if (slope.grade != 0) {
    spec.cutouts.push_back(parallelEnds(length));
  }
  if (isLetIn(panel)) {
    spec.cutouts.push_back(pocketWords(builder, panel));
    spec.within = pocketFigures(builder, panel, at);
  }
  const double let_in = isLetIn(panel) ? pocketKey(builder, panel) : 0.0;
  const int part = builder.part(spec, {length, let_in, slopeKey(slope.grade)}, [=, &builder] {
    const TopoDS_Shape tube =
        mitredSection(Plane::kYZ, section, length, {slope.grade, slope.grade});
    return isLetIn(panel) ? cut(tube, {channelPocket(builder, panel, placeOf(at, slope))}) : tube;
  });
  const int top = builder.place(part, panel.number, at, slope);
  builder.joinTouching(top, {PartKind::kStile}, ContactKind::kWelded, kWeldReason);
  addCaps(builder, top, section, at, {length, slope, /*has_start=*/!isLetIn(panel)});
}

struct UprightPlace {
  const char* name = "";
  double x_mm = 0;  ///< from the panel's leading end
  bool turned = false;
  bool let_in = false;
};

/// Those between the stiles are the same part where they are alike.
void addUpright(ModelBuilder& builder, const PanelFrame& panel, const UprightPlace& place) {
  UprightTube tube;
  tube.section = builder.spec().gate.stile;
  tube.x_mm = place.x_mm;
  tube.spec = {PartKind::kStile, tube.section};
  tube.spec.name = place.name;
  if (place.let_in) {
    tube.spec.cutouts.push_back(pocketWords(builder, panel));
    tube.cut_key = pocketKey(builder, panel);
    tube.tools = [&builder, panel](const Point3& at) {
      return channelPocket(builder, panel, placeOf(at, Slope{}));
    };
    tube.tool_figures = [&](const Point3& at) { return pocketFigures(builder, panel, at); };
  }
  tube.turned = place.turned;
  const int upright = placeUpright(builder, panel, tube, panel.origin_mm[1]);
  builder.joinTouching(upright, {PartKind::kBottomRail}, ContactKind::kWelded, kWeldReason);
}

}  // namespace

double extentMm(double length, double width, double slope) {
  return length + std::abs(slope) * width;
}

double slopeKey(double slope) {
  constexpr double kSlopesTold = 1e4;  // keys are told apart by thousandths: this by 1e-7
  return slope * kSlopesTold;
}

std::string parallelEnds(double edge_mm) {
  return "ends cut parallel, " + shown(edge_mm) + " along each edge";
}

int placeUpright(ModelBuilder& builder, const PanelFrame& panel, UprightTube tube, double y) {
  const Upright edge = uprightAt(panel, tube.x_mm);
  const double low = panel.slope.grade;
  const double high = panel.top_grade;
  const double width = tube.section.height_mm;
  const bool square = low == 0 && high == 0;
  tube.spec.length_mm = std::max(0.0, high * width) + edge.length_mm - std::min(0.0, low * width);
  if (low != 0 && low == high) {
    tube.spec.length_mm = extentMm(edge.length_mm, width, low);
    tube.spec.cutouts.push_back(parallelEnds(edge.length_mm));
  }
  tube.spec.ends = {mitre(low), mitre(high)};
  const Point3 at = {panel.origin_mm[0] + tube.x_mm, y, edge.low_z_mm};
  if (tube.tool_figures) {
    tube.spec.within = tube.tool_figures(at);
  }
  const int part =
      builder.part(tube.spec, {edge.length_mm, tube.cut_key, slopeKey(low), slopeKey(high)}, [=] {
        const TopoDS_Shape body =
            mitredSection(Plane::kXY, tube.section, edge.length_mm, {low, high});
        return tube.tools ? cut(body, {tube.tools(at)}) : body;
      });
  // Turned, a square upright is the same part; a mitred one is not.
  return tube.turned && square
             ? builder.placeTurned(part, panel.number, {at[0] + width, y + panel.depth_mm, at[2]})
             : builder.place(part, panel.number, at);
}

Upright uprightAt(const PanelFrame& panel, double x) {
  const double at = panel.origin_mm[0] + x;
  const double low = panel.railTopZ(at);
  return {low, panel.underTopZ(at) - low};
}

double wallOfBottomRail(const PanelFrame& panel) {
  return panel.bottom_rail_wall_mm;
}

std::vector<Bay> baysOf(const ModelBuilder& builder, const PanelFrame& panel) {
  std::vector<Bay> bays;
  const double width = builder.spec().gate.stile.height_mm;
  const double between = panel.frame_length_mm - width;
  const int count = std::max(1, static_cast<int>(std::ceil(between / builder.spec().gate.bay_mm)));
  for (int bay = 0; bay < count; ++bay) {
    const double from = bay * between / count + width;
    bays.push_back({from, (bay + 1) * between / count - from});
  }
  return bays;
}

void addFrame(ModelBuilder& builder, const PanelFrame& panel) {
  addBottomRail(builder, panel);
  const double width = builder.spec().gate.stile.height_mm;
  addUpright(builder, panel, {"stile", 0, false, isLetIn(panel)});
  addUpright(builder, panel, {"stile", panel.frame_length_mm - width, true, false});
  const std::vector<Bay> bays = baysOf(builder, panel);
  for (std::size_t bay = 1; bay < bays.size(); ++bay) {
    addUpright(builder, panel, {"intermediate upright", bays[bay].from_mm - width, false, false});
  }
  addTopRail(builder, panel);
}

std::string hollowName(double height_mm, double depth_mm, double wall_mm) {
  const bool square = std::abs(height_mm - depth_mm) < kLengthEqualMm;
  // To a millionth of a millimetre: what is read back from it has to fit the solid.
  constexpr int kDecimals = 6;
  return (square ? "SHS " : "RHS ") + shown(height_mm, kDecimals) + "x" +
         shown(depth_mm, kDecimals) + "x" + shown(wall_mm, kDecimals);
}

}  // namespace leafstack
