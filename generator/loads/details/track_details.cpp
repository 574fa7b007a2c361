// Tracks under their wheels' sideways force, and the dowels that hold them; an overhead bracket's
// anchors, and the post of the fence that it hangs on.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/loads/details/detail_parts.h"
#include "generator/loads/frame/frame_metal.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/welds.h"

namespace leafstack::detail_rows {
namespace {

constexpr const char* kTrack = "track-overload";
/// Of the footing's slab where nothing is given: C20/25, the least that is poured outdoors; common
/// practice, no source.
constexpr double kConcrete_N_mm2 = 20;
constexpr double kConcreteFactor = 1.5;  // EN 1992-1-1, from memory

/// Where the wheel or its keeper presses, over the footing, and what the track is across.
struct Track {
  double up_mm = 0;        ///< of the force, over the dowel's welds at the footing
  double modulus_mm3 = 0;  ///< plastic, bent sideways
};

Track trackOf(const GateSpec& spec) {
  const TrackHardware& shelf = spec.hardware.track;
  if (shelf.kind == TrackKind::kRound) {
    // Groove and keeper press square to the bar: through its axis.
    return {shelf.size_mm / 2, std::pow(shelf.size_mm, 3) / 6};
  }
  // Two legs at 45 degrees: W_pl of each about the upright axis through the heel, t a x a / 2 /
  // sqrt 2.
  const double a = shelf.size_mm;
  const double angle = 2 * shelf.thickness_mm * a * a / 2 / std::numbers::sqrt2;
  if (shelf.hasFlat()) {
    const double wide = trackFlatWidth_mm(shelf);
    return {0, angle + shelf.flat_mm * wide * wide / 4};
  }
  // It stands on both legs' ends, which take what turns it; the dowel is pushed along the footing.
  return {0, angle};
}

/// Shear that a dowel takes in concrete, the force at `up_mm` over it (Rasmussen 1963, as in the
/// Model Code of fib; from memory), design value.
double dowelShear_N(double diameter_mm, double up_mm, double concrete_N_mm2, double yield_N_mm2) {
  const double crushing = concrete_N_mm2 / kConcreteFactor;
  const double off = 1.3 * 3 * up_mm / diameter_mm * std::sqrt(crushing / yield_N_mm2);
  return 1.3 * (std::sqrt(1 + off * off) - off) * diameter_mm * diameter_mm *
         std::sqrt(crushing * yield_N_mm2);
}

const StructureWheel* worstOf(const StructureReport& report) {
  const StructureWheel* worst = nullptr;
  for (const StructureWheel& wheel : report.wheels) {
    worst = worst == nullptr || wheel.most_lateral_N > worst->most_lateral_N ? &wheel : worst;
  }
  return worst;
}

/// One dowel takes all of a wheel that stands over it; between two the track carries it to them.
void addDowelled(const Model& model, const StructureWheel& wheel, double force,
                 StructureReport& report) {
  const GateSpec& spec = model.spec;
  const Track track = trackOf(spec);
  const double dowel = spec.site.dowel_mm;
  const double yield = materialClass("steel").yield_N_mm2;
  const double concrete = spec.footing.concrete_N_mm2.value_or(kConcrete_N_mm2);
  const auto rowOf = [&](const char* what, const char* where) {
    StructureDetail row;
    row.id = kTrack;
    row.name = ofPanel(wheel.panel, what);
    row.case_name = "the greatest sideways force of any case";
    row.where = where;
    return row;
  };
  StructureDetail shear = rowOf("track's dowel in its footing", "/site/dowel_mm");
  shear.unit = "N";
  shear.acts = force;
  shear.bears = std::min(dowelShear_N(dowel, track.up_mm, concrete, yield),
                         std::numbers::pi / 4 * dowel * dowel * yield / std::numbers::sqrt3);
  shear.formula =
      "H over 1.3 (sqrt(1 + (1.3 k)^2) - 1.3 k) d^2 sqrt(f_cd f_yd), k = 3 e / d "
      "sqrt(f_cd / f_yd), at most d^2 pi / 4 f_yd / sqrt 3; H " +
      newtons(force) + ", d " + shown(dowel) + ", e " + shown(track.up_mm, 1) + " mm, f_ck " +
      shown(concrete) + (spec.footing.concrete_N_mm2 ? "" : " assumed");
  shear.source = "Rasmussen 1963, fib Model Code, from memory";
  shear.remedy = "Thicker dowels would do.";
  addRow(report, std::move(shear));

  const double moment = force * track.up_mm;
  StructureDetail weld = rowOf("track's weld on its dowel", "/site/dowel_mm");
  const DowelWeld laid = dowelWeld(spec.hardware.track, dowel);
  const double leg = spec.shop.weld_leg_mm.value_or(filletLeg_mm(dowel, laid.track_mm));
  weld.unit = "N/mm";
  const std::string figures = "H " + newtons(force) + ", e " + shown(track.up_mm, 1) + ", d " +
                              shown(dowel) + ", leg " + shown(leg) + " mm";
  weld.bears = leg / std::numbers::sqrt2 * filletStrength_N_mm2("steel");
  if (laid.pieces == 1) {
    weld.acts = std::hypot(4 * moment / (std::numbers::pi * dowel * dowel),
                           force / (std::numbers::pi * dowel));
    weld.formula =
        "sqrt((4 H e / (pi d^2))^2 + (H / (pi d))^2) over leg / sqrt 2 x f_vw, " + figures;
  } else {
    weld.acts = std::hypot(moment / (laid.apart_mm * laid.each_mm), force / (2 * laid.each_mm));
    weld.formula = "sqrt((H e / (a l))^2 + (H / (2 l))^2) over leg / sqrt 2 x f_vw, " + figures +
                   ", two pieces of l " + shown(laid.each_mm, 1) + " mm, a " +
                   shown(laid.apart_mm, 1) + " mm apart";
  }
  weld.source = "EN 1993-1-8, 4.5.3.3";
  weld.remedy = "Thicker dowels would do.";
  addRow(report, std::move(weld));

  const std::vector<double> places = trackDowels(spec, model.layout, wheel.panel);
  double apart = 0;
  for (std::size_t i = 1; i < places.size(); ++i) {
    apart = std::max(apart, places[i] - places[i - 1]);
  }
  StructureDetail bent = rowOf("track between its dowels", "/site/anchor_apart_mm");
  // Plastic hinges under the force and over a dowel: an end span's, the other end free to turn.
  const double share = places.size() > 2 ? 6 : 4;
  bent.acts = force * apart / share;
  bent.bears = track.modulus_mm3 * yield;
  bent.formula = "H s / " + shown(share, 0) + " / (W_pl f_y), H " + newtons(force) + ", s " +
                 shown(apart, 0) + " mm, W_pl " + shown(track.modulus_mm3, 0) + " mm3, f_y " +
                 shown(yield, 0);
  bent.source = "plastic hinges in an end span";
  bent.remedy = "Dowels nearer to each other, or a larger track, would do.";
  addRow(report, std::move(bent));
}

}  // namespace

void addTrackDetails(const Model& model, StructureReport& report) {
  const StructureWheel* wheel = worstOf(report);
  if (wheel == nullptr) {
    return;
  }
  const double force = model.spec.checks.wind_factor * wheel->most_lateral_N;
  if (model.spec.site.dowel_mm > 0) {
    addDowelled(model, *wheel, force, report);
    return;
  }
  StructureProviso held;  // the making's warnings have the condition itself
  held.id = "track-held";
  held.text = "whatever holds the tracks in place of dowels has to bear " + newtons(force) +
              " sideways at each wheel, factors included, which is not judged here";
  held.where = "/site/dowel_mm";
  report.provisos.push_back(std::move(held));
}

void addBracketDetails(const Model& model, StructureReport& report) {
  const GateSpec& spec = model.spec;
  if (spec.guides.mount != GuideMount::kOverhead) {
    return;
  }
  const PostHardware& shelf = spec.hardware.post;
  for (const StructurePlate& plate : report.plates) {
    if (plate.name.find("ears") == std::string::npos) {
      continue;
    }
    const double thread = threadThrough(shelf.overhead_hole_mm).thread_mm;
    StructureDetail row;
    row.id = "bracket-anchor-overload";
    row.name = "the overhead bracket's hardest pulled anchor";
    row.case_name = plate.case_name;
    row.unit = "N";
    row.acts = plate.force_N;
    row.bears = screwPull_N(thread, false);
    row.formula = "T " + newtons(plate.force_N) + " over 0.9 f_ub A / 1.25, M" + shown(thread);
    row.source = "EN 1993-1-8, Table 3.4, class 8.8";
    row.where = "/hardware/post/overhead_hole_mm";
    row.remedy = "Thicker anchors would do.";
    addRow(report, std::move(row));
  }
  // What the bracket hands the fence's post, at that post's foot; its own weight leans it as well.
  double across = 0, moment = 0, twist = 0;
  std::string case_name;
  const double post_x = overheadXMm(spec, model.layout);
  const double ground = model.layout.ground.heightMm(post_x, 0);
  double high = 0;
  for (const int arm : instancesOf(model, PartKind::kGuideArm, 0)) {
    const Bounds& bounds = model.instances[arm].bounds;
    high = std::max(high, (bounds.low[2] + bounds.high[2]) / 2 - ground);
  }
  for (const CaseReactions& one : report.reactions) {
    for (const Reaction& held : one.at) {
      if (!held.what.starts_with("overhead reach")) {
        continue;
      }
      const double about = std::abs(held.moment_Nm[0]) +
                           std::abs(held.force_N[1]) * high / kNmmPerNm +
                           std::abs(held.force_N[2]) * spec.site.fence_post_mm / 2 / kNmmPerNm;
      if (about > moment) {
        moment = about;
        case_name = one.case_name;
        across = std::abs(held.force_N[1]);
      }
      twist = std::max(twist, std::abs(held.moment_Nm[2]));
    }
  }
  const double factor = spec.checks.wind_factor;
  StructureProviso post;
  post.id = "fence-post";
  post.proviso = "the fence's post under the overhead bracket bears " + shown(factor * moment, 0) +
                 " N m at its foot";
  post.text = "the overhead bracket pulls the fence's post with " + newtons(factor * across) +
              " across the track, " + shown(high, 0) + " mm up, and twists it with " +
              shown(factor * twist, 0) + " N m (" + case_name +
              ", factors included): " + shown(factor * moment, 0) +
              " N m at its foot. The post is found on site and is not in the gate file";
  post.where = "/guides/mount";
  report.provisos.push_back(std::move(post));
}

}  // namespace leafstack::detail_rows
