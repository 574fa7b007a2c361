// The tracks: round bars, or angles that stand on the ends of their legs.
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bent.h"

namespace leafstack {
namespace {

/// The angle's corners in (Y, Z), its heel over Y 0 and the ends of its legs on Z `foot_up`.
std::vector<Point2> angleCorners(const TrackHardware& track, double foot_up) {
  constexpr double kDiagonal = std::numbers::sqrt2;
  const double top = foot_up + angleHeight_mm(track);
  const double tip = track.size_mm / kDiagonal;
  const double foot = (track.size_mm - track.thickness_mm) / kDiagonal;
  return {{foot, foot_up},   {tip, top - tip}, {0, top},
          {-tip, top - tip}, {-foot, foot_up}, {0, top - track.thickness_mm * kDiagonal}};
}

/// The same of the flat under it, on Z 0.
std::vector<Point2> flatCorners(const TrackHardware& track) {
  const double half = trackFlatWidth_mm(track) / 2;
  return {{half, 0}, {half, track.flat_mm}, {-half, track.flat_mm}, {-half, 0}};
}

double flatMm(const TrackHardware& track) {
  return track.hasFlat() ? track.flat_mm : 0;
}

/// Of a track's own height, over what it lies on.
double trackMiddle_mm(const TrackHardware& track) {
  return track.kind == TrackKind::kAngle ? angleHeight_mm(track) / 2 : track.size_mm / 2;
}

/// Its origin is its axis where it is round, else the line that it lies on.
TopoDS_Shape straightTrack(const TrackHardware& track, double length_mm) {
  return track.kind == TrackKind::kAngle
             ? prism(Plane::kYZ, Outline::polygon(angleCorners(track, 0)), {0, length_mm})
             : prism(Plane::kYZ, Outline::circle({0, 0}, track.size_mm / 2), {0, length_mm});
}

/// Bent to the surveyed footing; its origin is on the footing's line.
MeasuredSolid bentTrack(const TrackHardware& track, const GroundLine& line, const TrackEnds& ends) {
  return track.kind == TrackKind::kAngle
             ? bentPrism(line, {ends.from_x_mm, ends.to_x_mm}, angleCorners(track, flatMm(track)))
             : bentBar(line, {ends.from_x_mm, ends.to_x_mm}, track.size_mm / 2);
}

PartSpec trackSpec(const TrackHardware& track, double length_mm) {
  if (track.kind == TrackKind::kRound) {
    return {PartKind::kTrack, "round " + shown(track.size_mm), length_mm};
  }
  return PartSpec{PartKind::kTrack,
                  "angle " + sizes({track.size_mm, track.size_mm, track.thickness_mm}), length_mm}
      .called("track angle");
}

}  // namespace

std::vector<double> lineFigures(const ModelBuilder& builder, int strip) {
  const SiteSpec& site = builder.spec().site;
  const int count = builder.layout().panel_count;
  std::vector<double> figures = {site.grade};
  if (site.track_survey_mm.empty()) {
    return figures;
  }
  // Heights are from where the front line is 0: that line counts for all.
  const double datum = builder.layout().ground.lineOf(strip).heightMm(0);
  const bool is_straight = site.track_laying == TrackLaying::kStraight;
  figures.push_back(site.track_survey_mm.size() > 1 || is_straight ? datum : 0);
  if (is_straight) {
    figures.push_back(builder.layout().ground.lineOf(strip).slope(0));
    return figures;
  }
  for (const auto& [x, z] : surveyUnder(site, std::max(strip, 1), count)) {
    figures.insert(figures.end(), {x, z});
  }
  return figures;
}

namespace {

/// A part that lies along a panel's track, or along one of the pieces that it is made of.
struct Lying {
  PartSpec spec;
  double up_mm = 0;  ///< of its origin over the footing, where that is even
  std::function<TopoDS_Shape()> straight;
  std::function<MeasuredSolid()> bent;
};

int addLying(ModelBuilder& builder, const PanelFrame& panel, const TrackEnds& ends, Lying lying) {
  const Layout& layout = builder.layout();
  const double y = panel.origin_mm[1] + panel.depth_mm / 2;
  if (!layout.ground.is_surveyed) {
    const int part = builder.part(lying.spec, {ends.length_mm, 0}, lying.straight);
    const double along =
        (ends.from_x_mm - layout.panel(panel.number).leading_closed_mm) / panel.slope.cosine;
    const double up = lying.up_mm - undersideOverFootingMm(builder.hardware());
    return builder.place(part, 0, panel.at(along, panel.depth_mm / 2, up), panel.slope);
  }
  if (builder.spec().site.track_laying == TrackLaying::kBent) {
    lying.spec.cutouts = {"bent over the footing"};
  }
  lying.spec.within = lineFigures(builder, panel.number);
  lying.spec.within.insert(lying.spec.within.end(), {ends.from_x_mm, ends.to_x_mm});
  const int part = builder.measuredPart(lying.spec, {ends.length_mm, ends.from_x_mm}, lying.bent);
  const double datum = layout.ground.lineOf(panel.number).heightMm(0);
  return builder.place(part, 0, {0, y, footingZ(builder.spec(), layout, panel.number, 0) - datum});
}

/// The flat that an angle is welded on.
int addFlat(ModelBuilder& builder, const PanelFrame& panel, const TrackEnds& ends) {
  const TrackHardware& track = builder.hardware().track;
  return addLying(
      builder, panel, ends,
      {{PartKind::kTrackFlat, "flat " + sizes({trackFlatWidth_mm(track), track.flat_mm}),
        ends.length_mm},
       0,
       [&builder, ends] {
         return prism(Plane::kYZ, Outline::polygon(flatCorners(builder.hardware().track)),
                      {0, ends.length_mm});
       },
       [&builder, ends, number = panel.number] {
         // In the angle's own joints, so that its legs stand on it.
         const TrackHardware& size = builder.hardware().track;
         return bentPrism(builder.layout().ground.lineOf(number), {ends.from_x_mm, ends.to_x_mm},
                          flatCorners(size), trackHeightMm(size));
       }});
}

int addBar(ModelBuilder& builder, const PanelFrame& panel, const TrackEnds& ends) {
  const TrackHardware& size = builder.hardware().track;
  return addLying(
      builder, panel, ends,
      {trackSpec(size, ends.length_mm),
       size.kind == TrackKind::kRound ? size.size_mm / 2 : flatMm(size),
       [&builder, ends] { return straightTrack(builder.hardware().track, ends.length_mm); },
       [&builder, ends, number = panel.number] {
         return bentTrack(builder.hardware().track, builder.layout().ground.lineOf(number), ends);
       }});
}

/// How far a dowel reaches up between the legs of an angle that stands on the footing: until both
/// are at it. Under all other tracks it ends at their underside.
double dowelUpMm(const TrackHardware& track, double thick_mm) {
  if (track.kind != TrackKind::kAngle || track.hasFlat()) {
    return 0;
  }
  const double heel = trackHeightMm(track) - track.thickness_mm * std::numbers::sqrt2;
  return std::max(0.0, heel - thick_mm / 2);
}

/// A point over the line that a panel's track lies on, gate's frame.
Point3 onTrack(const ModelBuilder& builder, const PanelFrame& panel, double x_mm, double up_mm) {
  return {x_mm, panel.origin_mm[1] + panel.depth_mm / 2,
          footingZ(builder.spec(), builder.layout(), panel.number, x_mm) + up_mm};
}

/// Bars that stand down from the track into holes of the footing, under the piece that lies there.
void addDowels(ModelBuilder& builder, const PanelFrame& panel, const std::vector<TrackEnds>& pieces,
               const std::vector<int>& instances) {
  const double thick = builder.spec().site.dowel_mm;
  if (thick <= 0) {
    return;
  }
  const TrackHardware& track = builder.hardware().track;
  const double down = trackDowelLengthMm(builder.spec()), up = dowelUpMm(track, thick);
  const int part = builder.part(
      {PartKind::kTrackDowel, "round " + shown(thick), down + up}, {thick, down, up}, [=] {
        return prism(Plane::kXY, Outline::circle({0, 0}, thick / 2), {-down, up});
      });
  const DowelWeld weld = dowelWeld(track, thick);
  const LineWeld laid{weld.pieces, weld.each_mm, std::min(thick, weld.track_mm),
                      std::max(thick, weld.track_mm)};
  // Round against a leg, or under a bent bar, it touches in points.
  const double bent = builder.layout().ground.is_surveyed || up > 0 ? kWheelOnTrackMm : 0;
  const double y = panel.origin_mm[1] + panel.depth_mm / 2;
  for (const double x : trackDowels(builder.spec(), builder.layout(), panel.number)) {
    const double z = footingZ(builder.spec(), builder.layout(), panel.number, x);
    const int dowel = builder.place(part, 0, {x, y, z}, footingSlope(builder, panel.number, x));
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      if (x > pieces[i].from_x_mm && x < pieces[i].to_x_mm) {
        Contact& joint =
            builder.contact(dowel, instances[i], ContactKind::kWelded,
                            weld.pieces > 1 ? "the dowel is welded under its track, to both legs"
                                            : "the dowel is welded under its track",
                            bent, bent);
        joint.weld = laid;
        joint.weld.at_mm = onTrack(builder, panel, x, up);
      }
    }
  }
}

/// Of a seam up a flat's edge: own choice.
constexpr double kEdgeSeamDeepMm = 5;

/// Pieces one behind the other. Bent ones' ends share no flat; of flats under an angle, whose
/// joints it bridges, only the edges are in reach.
void joinPieces(ModelBuilder& builder, const PanelFrame& panel, const std::vector<TrackEnds>& ends,
                const std::vector<int>& pieces, bool are_flats) {
  const TrackHardware& track = builder.hardware().track;
  LineWeld weld;
  weld.is_butt = true;
  weld.is_all = are_flats || track.kind == TrackKind::kAngle;
  weld.lines = are_flats ? 2 : 1;
  if (are_flats) {
    weld.each_mm = track.flat_mm;
    weld.thinner_mm = std::min(kEdgeSeamDeepMm, track.flat_mm);
  } else if (track.kind == TrackKind::kAngle) {
    weld.each_mm = 2 * track.size_mm - track.thickness_mm;  // through both legs, in their middle
    weld.thinner_mm = track.thickness_mm;
  } else {
    weld.each_mm = std::numbers::pi * track.size_mm;
    weld.thinner_mm = track.size_mm;
  }
  weld.thicker_mm = weld.thinner_mm;
  const double up = are_flats ? track.flat_mm / 2 : flatMm(track) + trackMiddle_mm(track);
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    weld.at_mm = onTrack(builder, panel, ends[i].from_x_mm, up);
    Contact& joint = builder.contact(
        pieces[i - 1], pieces[i], ContactKind::kWelded,
        are_flats ? "the flats' ends are welded on site along both edges, " +
                        shown(weld.thinner_mm) + " deep; the angle bridges them"
                  : "the track's pieces are welded end to end on site and ground flush",
        kWheelOnTrackMm);
    joint.weld = weld;
    joint.is_on_site = true;
  }
}

/// Which flat an angle is welded on in the shop: what of it lies on others is welded once all lie
/// in their places.
std::size_t ownFlat(const TrackEnds& angle, const std::vector<TrackEnds>& flats) {
  std::size_t best = 0;
  double most = 0;
  for (std::size_t i = 0; i < flats.size(); ++i) {
    const double shared =
        std::min(angle.to_x_mm, flats[i].to_x_mm) - std::max(angle.from_x_mm, flats[i].from_x_mm);
    if (shared > most + kLengthEqualMm) {
      best = i;
      most = shared;
    }
  }
  return best;
}

}  // namespace

void addTrack(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const std::vector<TrackEnds> pieces = trackPieces(builder.spec(), builder.layout(), panel.number);
  std::vector<TrackEnds> under;
  if (shelf.track.hasFlat()) {
    under = flatPieces(builder.spec(), builder.layout(), panel.number);
  }
  std::vector<int> tracks, flats;
  for (const TrackEnds& ends : under) {
    flats.push_back(addFlat(builder, panel, ends));
  }
  for (const TrackEnds& ends : pieces) {
    tracks.push_back(addBar(builder, panel, ends));
    for (std::size_t i = 0; i < under.size(); ++i) {
      if (under[i].from_x_mm < ends.to_x_mm - kLengthEqualMm &&
          under[i].to_x_mm > ends.from_x_mm + kLengthEqualMm) {
        const double shared =
            std::min(ends.to_x_mm, under[i].to_x_mm) - std::max(ends.from_x_mm, under[i].from_x_mm);
        const double along = ends.length_mm / (ends.to_x_mm - ends.from_x_mm);
        const bool is_own = i == ownFlat(ends, under);
        Contact& joint = builder.contact(
            tracks.back(), flats[i], ContactKind::kWelded,
            is_own ? "the track angle is welded on its flat, along both legs"
                   : "the track angle is welded on the next flat, along both legs, on site");
        joint.weld = {2, shared * along, shelf.track.thickness_mm, shelf.track.flat_mm};
        joint.weld.at_mm = onTrack(builder, panel,
                                   (std::min(ends.to_x_mm, under[i].to_x_mm) +
                                    std::max(ends.from_x_mm, under[i].from_x_mm)) /
                                       2,
                                   shelf.track.flat_mm);
        joint.is_on_site = !is_own;
      }
    }
  }
  const double gap = builder.spec().site.track_gap_mm;
  if (gap == 0) {
    joinPieces(builder, panel, pieces, tracks, /*are_flats=*/false);
    joinPieces(builder, panel, under, flats, /*are_flats=*/true);
  }
  addDowels(builder, panel, flats.empty() ? pieces : under, flats.empty() ? tracks : flats);
  const bool in_turns = tracks.size() > 1;
  // On surveyed ground the track rises and falls beside a keeper that stands off its wheel.
  const double uneven = builder.layout().ground.is_surveyed ? shelf.keeper.play_mm : 0;
  // Over a gap a wheel rests on both its edges.
  const double round = shelf.wheel.outside_mm / 4;  // no less than its groove's floor
  const double dip = tracks.size() > 1 ? round - std::sqrt(round * round - gap * gap / 4) : 0;
  for (const int track : tracks) {
    for (int wheel : builder.instancesOf(PartKind::kWheel, panel.number)) {
      Contact& rolls = builder.contact(track, wheel, ContactKind::kRolling,
                                       "the wheel runs on its track", kWheelOnTrackMm + dip);
      rolls.engagements = {{wheel, kAlongX, 0}, {track, kAlongY, 0}};
      rolls.in_turns = in_turns;
    }
  }
  for (const int beside : flats.empty() ? tracks : flats) {
    for (int keeper : builder.instancesOf(PartKind::kTrackKeeper, panel.number)) {
      Contact& slides = builder.contact(beside, keeper, ContactKind::kSliding,
                                        "the keeper stands beside its track",
                                        shelf.keeper.play_mm + kWheelOnTrackMm + uneven);
      slides.engagements = {{keeper, kAlongX, shelf.keeper.length_mm}};
      slides.in_turns = in_turns;
    }
  }
}

}  // namespace leafstack
