#include "generator/loads/checks/post_sheet.h"

#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/loads/statics/anchor_cone.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

constexpr const char* kUnchecked = "not checked";

std::string inMm(double value) {
  return shown(value, 1) + " mm";
}
std::string inNewtons(double value) {
  return shown(value, 0) + " N";
}
std::string inNewtonMetres(double value) {
  return shown(value, 0) + " N m";
}
std::string percent(double share) {
  return std::isfinite(share) ? shown(100 * share, 0) + " %" : std::string("tips over");
}
/// "not checked: nothing is given for footing.soil_kPa".
std::string notGiven(const std::string& keys) {
  return "nothing is given for " + keys;
}

SheetLine roomLine(const Model& model, const PostPlate& plate) {
  const double leg = leastFilletLeg_mm(model.spec.hardware.post.plate_mm);
  const double socket = socketRoom_mm(plate.hole_mm);
  return {"  its base plate, room for weld and socket",
          "stands out " + inMm(plate.standsOutMm()) + ", weld " + inMm(leg) + " + " +
              inMm(kPlateBeyondWeld_mm) + "; anchors " + inMm(plate.anchorOffPostMm()) +
              " off the post, weld " + inMm(leg) + " + half a socket " + inMm(socket),
          inMm(plate.standsOutMm() - leg - kPlateBeyondWeld_mm) + " and " +
              inMm(plate.anchorOffPostMm() - leg - socket) + " to spare",
          "least fillets and sockets: published tables"};
}

SheetLine pullLine(const FootingSpec& footing, const PostPlate& plate, const StructurePost& post) {
  std::string formula = "M / rows' distance / 2 = " + inNewtons(post.anchors->row_N) + " over " +
                        inMm(plate.rowsAcrossMm()) + " / 2";
  formula += footing.anchor_pull_N ? " of " + inNewtons(*footing.anchor_pull_N)
                                   : "; its resistance: " + notGiven("footing.anchor_pull_N");
  return {"  pull on one anchor", formula,
          inNewtons(post.anchor_N) + ", " +
              (post.anchors->pull_use ? percent(*post.anchors->pull_use) : kUnchecked),
          "factors included"};
}

SheetLine coneLine(const FootingSpec& footing, const PostAnchors& anchors) {
  if (!anchors.cone_N) {
    return {"  cone of concrete", notGiven("footing.concrete_N_mm2 or footing.anchor_depth_mm"),
            kUnchecked, "EN 1992-4"};
  }
  return {"  cone of concrete, the weaker row",
          inNewtons(anchors.row_N) + " / (7.7 sqrt(" + shown(*footing.concrete_N_mm2) + ") x " +
              shown(*footing.anchor_depth_mm) + "^1.5 x A / (9 h^2) x psi / " + shown(kConeFactor) +
              " = " + inNewtons(*anchors.cone_N) + ")",
          percent(*anchors.cone_use), "EN 1992-4, from memory"};
}

SheetLine edgeLine(const FootingSpec& footing, const PostAnchors& anchors) {
  const auto least = [](const char* key, const std::optional<double>& limit) {
    return limit ? "at least " + inMm(*limit) : notGiven(key);
  };
  const bool is_known = footing.anchor_edge_mm && footing.anchor_spacing_mm;
  return {"  anchors to the concrete's edge, and to each other",
          least("footing.anchor_edge_mm", footing.anchor_edge_mm) + "; " +
              least("footing.anchor_spacing_mm", footing.anchor_spacing_mm),
          inMm(anchors.edge_mm) + " and " + inMm(anchors.spacing_mm) +
              (is_known ? "" : std::string(", ") + kUnchecked),
          "the anchor's approval"};
}

SheetLine tippingLine(const PostBlock& block) {
  return {"  block under it against tipping, " + block.case_name,
          inMm(block.along_mm) + " along x " + inMm(block.across_mm) + " across x " +
              inMm(block.depth_mm) + " deep: (M + H d) / (0.9 W b / 2) = " +
              inNewtonMetres(block.tipping_Nm) + " / (0.9 x " + inNewtons(block.weight_N) + " x " +
              inMm(block.tips_across ? block.across_mm : block.along_mm) + " / 2)",
          percent(block.use), "EN 1990 EQU, from memory"};
}

SheetLine reachLine(const PostBlock& block) {
  std::string text;
  for (const BlockReach& reach : block.reaches) {
    text += (text.empty() ? "" : ", ") + inMm(reach.by_mm) + " " + reach.what;
  }
  return {"  where it reaches to", "middle under its post; what stands there is not known",
          text.empty() ? "nothing else" : text, ""};
}

SheetLine soilLine(const FootingSpec& footing, const PostBlock& block) {
  const std::string pressure =
      std::isfinite(block.soil_kPa) ? shown(block.soil_kPa, 0) + " kPa" : "tips over";
  return {"  pressure on the ground, without factors",
          "W / ((a - 2 e) (b - 2 e')), e = (M + H d) / W; " +
              (footing.soil_kPa ? "it may bear " + shown(*footing.soil_kPa) + " kPa"
                                : notGiven("footing.soil_kPa")),
          pressure + ", " + (block.soil_use ? percent(*block.soil_use) : kUnchecked),
          "EN 1997-1, from memory"};
}

}  // namespace

std::vector<SheetLine> holdingLines(const StructureReport& structure) {
  std::vector<SheetLine> out;
  for (const StructurePlate& plate : structure.plates) {
    out.push_back({plate.name + ", " + plate.case_name,
                   "F e / (b t^2 / 4 x yield) = " + inNewtons(plate.force_N) + " x " +
                       inMm(plate.lever_mm) + " / (" + inMm(plate.width_mm) + " x " +
                       inMm(plate.thick_mm) + "^2 / 4 x " + shown(plate.yield_N_mm2, 0) + ")",
                   percent(plate.use), "factors included"});
  }
  for (const StructureWeld& weld : structure.welds) {
    out.push_back({weld.name + ", " + weld.case_name,
                   weld.formula + ": " + shown(weld.line_N_mm, 0) +
                       " N/mm / (z / sqrt 2 x f_vw,d = " + inMm(weld.leg_mm) + " / sqrt 2 x " +
                       shown(weld.strength_N_mm2, 1) + ")",
                   percent(weld.use), "EN 1993-1-8, 4.5.3.3; aluminium EN 1999-1-1, 8.6.3"});
  }
  return out;
}

std::vector<SheetLine> postLines(const Model& model, const StructurePost& post) {
  if (!post.anchors || !post.block) {
    return {};
  }
  const FootingSpec& footing = model.spec.footing;
  const std::optional<PostPlate> guide = guidePostPlate(model.spec, model.layout);
  const PostPlate plate =
      post.is_guide_post ? guide.value() : catchPostPlate(model.spec, model.layout);
  return {roomLine(model, plate),           pullLine(footing, plate, post),
          coneLine(footing, *post.anchors), edgeLine(footing, *post.anchors),
          tippingLine(*post.block),         reachLine(*post.block),
          soilLine(footing, *post.block)};
}

}  // namespace leafstack
