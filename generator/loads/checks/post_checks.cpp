#include "generator/loads/checks/post_checks.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/loads/checks/plate_checks.h"
#include "generator/loads/checks/structure_checks.h"
#include "generator/loads/frame/frame_metal.h"
#include "generator/loads/statics/anchor_cone.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

std::optional<PostPlate> plateOf(const Model& model, PartKind kind) {
  if (kind == PartKind::kGuidePost) {
    return guidePostPlate(model.spec, model.layout);
  }
  if (kind == PartKind::kCatchPost) {
    return catchPostPlate(model.spec, model.layout);
  }
  return std::nullopt;
}

/// A case's load on a block, by what holds the foot.
FootLoad footLoad(const frame::Response& response, int node, const std::string& case_name) {
  const frame::Six& held = response.held[node];
  return {case_name, std::abs(held[3]), std::abs(held[1]), std::abs(held[4]), std::abs(held[0])};
}

/// What lies about a plate's middle, from its outermost anchors: along the track, then across.
struct Concrete {
  std::array<double, 2> along_mm{}, across_mm{};
  double least() const { return std::min({along_mm[0], along_mm[1], across_mm[0], across_mm[1]}); }
};

Concrete blockAbout(const PostPlate& plate, const PostBlock& block) {
  const double along = (block.along_mm - plate.rowsAlongMm()) / 2;
  const double across = (block.across_mm - plate.rowsAcrossMm()) / 2;
  return {{along, along}, {across, across}};
}

/// Of the footing's slab that the plate lies on.
Concrete slabAbout(const Model& model, const PostPlate& plate) {
  const double x = plate.middle_x_mm, y = plate.front_y_mm + plate.across_mm / 2;
  const double along = plate.rowsAlongMm() / 2, across = plate.rowsAcrossMm() / 2;
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind != PartKind::kFooting) {
      continue;
    }
    const double a = model.opening_sign * one.bounds.low[0];
    const double b = model.opening_sign * one.bounds.high[0];
    const double from = std::min(a, b), to = std::max(a, b);
    if (from <= x && x <= to && one.bounds.low[1] <= y && y <= one.bounds.high[1]) {
      return {{x - from - along, to - x - along},
              {y - one.bounds.low[1] - across, one.bounds.high[1] - y - across}};
    }
  }
  return {};
}

/// Design resistance of the weaker row across the track, of the concrete `about` it.
double coneOf(const PostPlate& plate, const FootingSpec& footing, const Concrete& about) {
  double least = std::numeric_limits<double>::infinity();
  for (const int row : {0, 1}) {
    std::array<double, 2> across = about.across_mm;
    across[1 - row] += plate.rowsAcrossMm();  // the other row lies between
    for (double& edge : across) {
      edge = std::max(edge, 0.0);
    }
    const AnchorRow anchors{*footing.anchor_depth_mm,
                            plate.rowsAlongMm(),
                            {std::max(about.along_mm[0], 0.0), std::max(about.along_mm[1], 0.0)},
                            across};
    least = std::min(least, coneResistance_N(anchors, *footing.concrete_N_mm2) / kConeFactor);
  }
  return least;
}

}  // namespace

PostChecks::Gathered& PostChecks::entryFor(int instance) {
  const Part& part = model_.parts[model_.instances[instance].part];
  const auto same = std::find_if(posts_.begin(), posts_.end(),
                                 [&](const Gathered& one) { return one.post.mark == part.mark; });
  if (same != posts_.end()) {
    return *same;
  }
  Gathered entry;
  entry.post.mark = part.mark;
  entry.post.name = part.name;
  entry.post.is_guide_post = part.kind == PartKind::kGuidePost;
  entry.plate = plateOf(model_, part.kind);
  posts_.push_back(std::move(entry));
  return posts_.back();
}

void PostChecks::addFactored(const frame::GateFrame& gate, const frame::Response& response,
                             const std::string& case_name) {
  for (const frame::FootPlace& foot : gate.feet) {
    const frame::Inner inner = response.inside(gate.frame, foot.member, 0);
    Gathered& entry = entryFor(foot.instance);
    const double moment_Nm = std::hypot(inner.about_y_Nmm, inner.about_z_Nmm) / kNmmPerNm;
    const double use = atWeld(model_, foot.instance, inner).use;
    StructurePost& post = entry.post;
    if (use > post.use || post.case_name.empty()) {
      post.use = use;
      post.case_name = case_name;
      post.moment_Nm = moment_Nm;
      post.torque_Nm = std::abs(inner.twist_Nmm) / kNmmPerNm;
    }
    entry.moment_Nm = std::max(entry.moment_Nm, moment_Nm);
    entry.factored.push_back(footLoad(response, foot.node, case_name));
    if (!entry.plate) {
      StructurePlate ears = overheadEars(model_.spec.hardware.post, response.held[foot.node]);
      if (!ears_ || ears.force_N > ears_->force_N) {
        ears.case_name = case_name;
        ears_ = std::move(ears);
      }
    }
    if (entry.plate) {
      const Part& part = model_.parts[model_.instances[foot.instance].part];
      StructureWeld weld = postWeld(model_.spec, *entry.plate, part.tube.value().wall_mm, inner);
      if (weld.line_N_mm > entry.weld.line_N_mm) {
        weld.name = "the " + entry.post.name + "'s fillet all round on its base plate";
        weld.case_name = case_name;
        weld.mark = entry.post.mark;
        entry.weld = std::move(weld);
      }
    }
  }
}

void PostChecks::addUnfactored(const frame::GateFrame& gate, const frame::Response& response,
                               const std::string& case_name) {
  for (const frame::FootPlace& foot : gate.feet) {
    entryFor(foot.instance).unfactored.push_back(footLoad(response, foot.node, case_name));
  }
}

namespace {

struct Area {
  double from_x = 0, to_x = 0, from_y = 0, to_y = 0;
};

Area areaOf(const PostBlock& block) {
  return {block.middle_x_mm - block.along_mm / 2, block.middle_x_mm + block.along_mm / 2,
          block.middle_y_mm - block.across_mm / 2, block.middle_y_mm + block.across_mm / 2};
}

/// How far one is in the other, the shorter way; 0 or less: not at all.
double overlap(const Area& one, const Area& other) {
  const double x = std::min(one.to_x, other.to_x) - std::max(one.from_x, other.from_x);
  const double y = std::min(one.to_y, other.to_y) - std::max(one.from_y, other.from_y);
  return std::min(x, y);
}

void addReach(PostBlock& block, const char* what, double by_mm) {
  if (by_mm > kLengthEqualMm) {
    block.reaches.push_back({what, by_mm});
  }
}

/// Of a block's plan, what lies in the footing's slab; both have their tops level.
double sharedArea_mm2(const Model& model, const PostBlock& block) {
  const Area area = areaOf(block);
  double shared = 0;
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind != PartKind::kFooting) {
      continue;
    }
    const double a = model.opening_sign * one.bounds.low[0];
    const double b = model.opening_sign * one.bounds.high[0];
    const double x = std::min(area.to_x, std::max(a, b)) - std::max(area.from_x, std::min(a, b));
    const double y =
        std::min(area.to_y, one.bounds.high[1]) - std::max(area.from_y, one.bounds.low[1]);
    shared += std::max(0.0, x) * std::max(0.0, y);
  }
  return shared;
}

/// The clear opening, the fence posts, and what lies before the fence.
void findReaches(const Model& model, PostBlock& block) {
  const Area area = areaOf(block);
  addReach(block, "into the clear opening",
           std::min(area.to_x, model.layout.opening_mm) - std::max(area.from_x, 0.0));
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind == PartKind::kFencePost) {
      const double a = model.opening_sign * one.bounds.low[0];
      const double b = model.opening_sign * one.bounds.high[0];
      addReach(
          block, "under a fence post",
          overlap(area, {std::min(a, b), std::max(a, b), one.bounds.low[1], one.bounds.high[1]}));
    }
  }
  addReach(block, "beyond the fence posts' front, towards the road",
           -model.spec.site.fence_post_mm - area.from_y);
  const FootingExtent slab = footingExtent(model.spec, model.layout);
  addReach(block, "out of the slab towards the road", slab.from_y_mm - area.from_y);
  addReach(block, "out of the slab towards the property", area.to_y - slab.to_y_mm);
  addReach(block, "out of the slab's end",
           std::max(slab.from_x_mm - area.from_x, area.to_x - slab.to_x_mm));
  // The pocket is dug into the bank beyond the opening; what goes past its side undermines that.
  const auto& pockets = model.layout.ground.pockets;
  if (model.spec.site.bank > 0 && !pockets.empty() && area.to_x > model.layout.opening_mm) {
    addReach(block, kPastPocket, area.to_y - pockets.front().width_mm);
    addReach(block, kPastPocket, area.to_x - model.layout.opening_mm - pockets.front().room_mm);
  }
}

}  // namespace

std::vector<StructurePost> PostChecks::take() {
  std::vector<StructurePost> out;
  for (Gathered& entry : posts_) {
    if (entry.plate) {
      judgePlate(entry);
      welds_.push_back(std::move(entry.weld));
    }
    out.push_back(std::move(entry.post));
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    for (std::size_t j = 0; j < out.size() && out[i].block; ++j) {
      if (i != j && out[j].block) {
        addReach(*out[i].block, "into the block beside it",
                 overlap(areaOf(*out[i].block), areaOf(*out[j].block)));
      }
    }
  }
  return out;
}

void PostChecks::judgePlate(Gathered& entry) const {
  const PostPlate& plate = *entry.plate;
  StructurePost& post = entry.post;
  const double row_N = entry.moment_Nm * kNmmPerNm / plate.rowsAcrossMm();
  post.anchor_N = row_N / 2;
  post.plate_use =
      row_N * plate.lever_mm / plasticMoment_Nmm(plate.bent_mm, model_.spec.hardware.post.plate_mm);
  post.block = blockOf(entry);
  post.anchors = anchorsOf(plate, post);
}

PostAnchors PostChecks::anchorsOf(const PostPlate& plate, const StructurePost& post) const {
  const FootingSpec& footing = model_.spec.footing;
  const Concrete slab = slabAbout(model_, plate), block = blockAbout(plate, *post.block);
  PostAnchors out;
  out.row_N = 2 * post.anchor_N;
  out.edge_mm = std::max(slab.least(), block.least());
  out.spacing_mm = std::min(plate.rowsAlongMm(), plate.rowsAcrossMm());
  if (footing.anchor_pull_N) {
    out.pull_use = post.anchor_N / *footing.anchor_pull_N;
  }
  if (footing.anchor_depth_mm && footing.concrete_N_mm2) {
    // The slab and the block are cast as one: either alone is less than there is.
    out.cone_N = std::max(coneOf(plate, footing, slab), coneOf(plate, footing, block));
    out.cone_use =
        *out.cone_N > 0 ? out.row_N / *out.cone_N : std::numeric_limits<double>::infinity();
  }
  return out;
}

PostBlock PostChecks::blockOf(const Gathered& entry) const {
  const FootingSpec& footing = model_.spec.footing;
  const PostPlate& plate = *entry.plate;
  BlockWish wish;
  wish.along_mm = footing.block_along_mm;
  wish.across_mm = footing.block_across_mm;
  wish.depth_mm = footing.block_depth_mm;
  wish.post_along_mm = plate.post_along_mm;
  wish.post_across_mm = plate.post_across_mm;
  wish.slab_mm = model_.spec.hardware.post.footing_depth_mm;
  wish.density_kg_m3 = materialClass("concrete").density_kg_m3;
  wish.soil_kPa = footing.soil_kPa;
  wish.factored = entry.factored;
  wish.unfactored = entry.unfactored;
  const BlockSize size = blockFor(wish);
  PostBlock out;
  out.along_mm = size.along_mm;
  out.across_mm = size.across_mm;
  out.depth_mm = size.depth_mm;
  out.weight_N = size.weightN();
  for (const FootLoad& load : entry.factored) {
    const Tipping tipping = tippingOf(size, load);
    if (out.case_name.empty() || tipping.use() > out.use) {
      out.case_name = load.case_name;
      out.tips_across = tipping.is_across;
      out.tipping_Nm = tipping.tipping_Nmm / kNmmPerNm;
      out.righting_Nm = tipping.righting_Nmm / kNmmPerNm;
      out.use = tipping.use();
    }
  }
  for (const FootLoad& load : entry.unfactored) {
    out.soil_kPa = std::max(out.soil_kPa, soilPressure_kPa(size, load));
  }
  out.middle_x_mm = plate.middle_x_mm;
  out.middle_y_mm = plate.front_y_mm + plate.across_mm / 2;
  findReaches(model_, out);
  out.in_slab_mm3 = sharedArea_mm2(model_, out) * std::min(out.depth_mm, wish.slab_mm);
  if (footing.soil_kPa) {
    out.soil_use = out.soil_kPa / *footing.soil_kPa;
  }
  return out;
}

}  // namespace leafstack
