// The tracks: round bars, or angles that stand on the ends of their legs.
#include <cmath>
#include <numbers>

#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bent.h"

namespace leafstack {
namespace {

/// The angle's corners in (Y, Z), its heel over Y 0 and the ends of its legs on Z 0.
std::vector<Point2> angleCorners(const TrackHardware& track) {
  constexpr double kDiagonal = std::numbers::sqrt2;
  const double top = trackHeightMm(track);
  const double tip = track.size_mm / kDiagonal;
  const double foot = (track.size_mm - track.thickness_mm) / kDiagonal;
  return {{foot, 0},         {tip, top - tip}, {0, top},
          {-tip, top - tip}, {-foot, 0},       {0, top - track.thickness_mm * kDiagonal}};
}

/// Its origin is its axis where it is round, else the line it lies on.
TopoDS_Shape straightTrack(const TrackHardware& track, double length_mm) {
  return track.kind == TrackKind::kAngle
             ? prism(Plane::kYZ, Outline::polygon(angleCorners(track)), {0, length_mm})
             : prism(Plane::kYZ, Outline::circle({0, 0}, track.size_mm / 2), {0, length_mm});
}

/// Bent to the surveyed footing; its origin is on the line it lies on.
MeasuredSolid bentTrack(const TrackHardware& track, const GroundLine& line, const TrackEnds& ends) {
  return track.kind == TrackKind::kAngle
             ? bentPrism(line, {ends.from_x_mm, ends.to_x_mm}, angleCorners(track))
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

int placeTrackPiece(ModelBuilder& builder, const PanelFrame& panel, const TrackEnds& ends,
                    int before) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelLayout& row = builder.layout().panel(panel.number);
  const bool bent = builder.layout().ground.is_surveyed;
  PartSpec spec = trackSpec(shelf.track, ends.length_mm);
  if (bent) {
    if (builder.spec().site.track_laying == TrackLaying::kBent) {
      spec.cutouts = {"bent over the footing"};
    }
    spec.within = lineFigures(builder, panel.number);
    spec.within.insert(spec.within.end(), {ends.from_x_mm, ends.to_x_mm});
  }
  const std::vector<double> dimensions = {ends.length_mm, bent ? ends.from_x_mm : 0};
  const int part =
      bent ? builder.measuredPart(spec, dimensions,
                                  [&builder, ends, number = panel.number] {
                                    return bentTrack(builder.hardware().track,
                                                     builder.layout().ground.lineOf(number), ends);
                                  })
           : builder.part(spec, dimensions, [&builder, ends] {
               return straightTrack(builder.hardware().track, ends.length_mm);
             });
  const double y = panel.origin_mm[1] + panel.depth_mm / 2;
  const double along = (trackEnds(builder.spec(), builder.layout(), panel.number).from_x_mm -
                        row.leading_closed_mm) /
                           panel.slope.cosine +
                       before * ends.length_mm;
  const double origin_up = shelf.track.kind == TrackKind::kRound ? shelf.track.size_mm / 2 : 0;
  return bent ? builder.place(part, 0,
                              {0, y,
                               footingZ(builder.spec(), builder.layout(), panel.number, 0) -
                                   builder.layout().ground.lineOf(panel.number).heightMm(0)})
              : builder.place(
                    part, 0,
                    panel.at(along, panel.depth_mm / 2, origin_up - undersideOverFootingMm(shelf)),
                    panel.slope);
}

}  // namespace

void addTrack(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  std::vector<int> tracks;
  for (const TrackEnds& ends : trackPieces(builder.spec(), builder.layout(), panel.number)) {
    tracks.push_back(placeTrackPiece(builder, panel, ends, static_cast<int>(tracks.size())));
    if (tracks.size() > 1) {
      builder.contact(tracks[tracks.size() - 2], tracks.back(), ContactKind::kWelded,
                      "the track's pieces are welded end to end on site and ground flush",
                      kWheelOnTrackMm);
    }
  }
  const bool in_turns = tracks.size() > 1;
  // On surveyed ground the track rises and falls beside a keeper that stands off its wheel.
  const double uneven = builder.layout().ground.is_surveyed ? shelf.keeper.play_mm : 0;
  for (const int track : tracks) {
    for (int wheel : builder.instancesOf(PartKind::kWheel, panel.number)) {
      Contact& rolls = builder.contact(track, wheel, ContactKind::kRolling,
                                       "the wheel runs on its track", kWheelOnTrackMm);
      rolls.engagements = {{wheel, kAlongX, 0}, {track, kAlongY, 0}};
      rolls.in_turns = in_turns;
    }
    for (int keeper : builder.instancesOf(PartKind::kTrackKeeper, panel.number)) {
      Contact& slides = builder.contact(track, keeper, ContactKind::kSliding,
                                        "the keeper stands beside its track",
                                        shelf.keeper.play_mm + kWheelOnTrackMm + uneven);
      slides.engagements = {{keeper, kAlongX, shelf.keeper.length_mm}};
      slides.in_turns = in_turns;
    }
  }
}

}  // namespace leafstack
