#include "generator/verdict/post_warnings.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/post_plates.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

std::string percent(double use) {
  return std::isfinite(use) ? shown(100 * use, 0) + " %" : std::string("more than all");
}

// Concrete below bonded anchors: 30 mm is what approvals ask at least, from memory.
constexpr double kBelowAnchorsMm = 30;

class PostWarnings {
 public:
  explicit PostWarnings(const Model& model) : spec_(model.spec), layout_(model.layout) {}

  std::vector<Warning> run(const StructureReport& structure) {
    for (const StructurePost& post : structure.posts) {
      if (post.anchors && post.block) {
        name_ = "the " + post.name;
        warnAboutWeld(post);
        warnAboutAnchors(post, *post.anchors);
        warnAboutBlock(*post.block);
        warnAboutDepth(post, *post.block);
      }
    }
    warnAboutDetails(structure);
    for (const StructureProviso& one : structure.provisos) {
      Warning condition;
      condition.proviso = one.proviso;
      add(one.id, one.text, one.where, std::move(condition));
    }
    return std::move(warnings_);
  }

 private:
  void add(const char* id, std::string text, const char* where, Warning against) {
    against.id = id;
    against.text = std::move(text);
    against.where = where;
    warnings_.push_back(std::move(against));
  }
  static Warning strength(std::string in_short) {
    Warning out;
    out.against = Against::kStrength;
    out.in_short = std::move(in_short);
    return out;
  }

  /// One warning for all of a kind, of the worst.
  void warnAboutDetails(const StructureReport& structure) {
    std::set<std::string> told;
    for (const StructureDetail& detail : structure.details) {
      if (detail.use <= 1 || !told.insert(detail.id).second) {
        continue;
      }
      const StructureDetail* worst = &detail;
      double excess = 0;
      for (const StructureDetail& other : structure.details) {
        if (std::string_view(other.id) == detail.id && other.use > 1) {
          worst = other.use > worst->use ? &other : worst;
          excess += other.use - 1;
        }
      }
      Warning over = strength(worst->name + " overloaded");
      over.times_allowed = worst->use;
      over.excess = excess;
      add(worst->id,
          worst->name +
              (worst->bears > 0 ? " reaches " + percent(worst->use) + " of what it bears ("
                                : " takes " + shown(worst->acts, 0) + " N (") +
              worst->case_name + ", factors included; " + worst->source + "). " + worst->remedy,
          worst->where, std::move(over));
    }
  }

  /// The shelf's rules see to all sides but the catch post's front, where the fence may be near.
  void warnAboutWeld(const StructurePost& post) {
    const PostPlate plate = post.is_guide_post ? guidePostPlate(spec_, layout_).value()
                                               : catchPostPlate(spec_, layout_);
    const double leg = leastFilletLeg_mm(spec_.hardware.post.plate_mm);
    const double least = leg + kPlateBeyondWeld_mm;
    if (plate.standsOutMm() < least - kLengthEqualMm) {
      Warning making;
      making.against = Against::kMaking;
      making.in_short = name_ + "'s base plate has no room for its weld";
      add("plate-weld-room",
          "the base plate of " + name_ + " stands out by " + shown(plate.standsOutMm(), 1) +
              " mm on its narrowest side, and a weld of " + shown(leg) + " mm all round asks for " +
              shown(least) + " mm. More setback from the fence makes room",
          "/site/setback_mm", std::move(making));
    }
  }

  void warnAboutAnchors(const StructurePost& post, const PostAnchors& anchors) {
    const FootingSpec& footing = spec_.footing;
    if (anchors.pull_use.value_or(0) > 1) {
      add("anchor-overload",
          "an anchor of " + name_ + " is pulled with " + shown(post.anchor_N, 0) +
              " N, factors included, and bears " + shown(*footing.anchor_pull_N, 0) +
              " N. Take heavier anchors, or rows further apart",
          "/footing/anchor_pull_N", strength(name_ + "'s anchors overloaded"));
    }
    if (anchors.cone_use.value_or(0) > 1) {
      add("anchor-cone",
          "a row of anchors of " + name_ + " is pulled with " + shown(anchors.row_N, 0) +
              " N, factors included, and its cone of concrete holds " + shown(*anchors.cone_N, 0) +
              " N. Set them deeper, or further from the edge, " + shown(anchors.edge_mm, 0) +
              " mm now",
          "/footing/anchor_depth_mm", strength(name_ + "'s anchors pull out of the concrete"));
    }
    const auto near = [&](double is_mm, const std::optional<double>& least_mm, const char* what,
                          const char* where) {
      if (least_mm && is_mm < *least_mm - kLengthEqualMm) {
        add("anchor-near",
            "anchors of " + name_ + " stand " + shown(is_mm, 1) + " mm from " + what +
                ", and their approval asks for " + shown(*least_mm, 1) + " mm",
            where, strength(name_ + "'s anchors too near to " + what));
      }
    };
    near(anchors.edge_mm, footing.anchor_edge_mm, "the concrete's edge", "/footing/anchor_edge_mm");
    near(anchors.spacing_mm, footing.anchor_spacing_mm, "each other", "/footing/anchor_spacing_mm");
  }

  /// What is given may be too flat: for anchors that reach through, or to go without steel.
  void warnAboutDepth(const StructurePost& post, const PostBlock& block) {
    const double below = spec_.footing.anchor_depth_mm.value_or(0) + kBelowAnchorsMm;
    if (spec_.footing.anchor_depth_mm && block.depth_mm < below - kLengthEqualMm) {
      add("anchor-through",
          "anchors set " + shown(*spec_.footing.anchor_depth_mm) + " mm deep need " + shown(below) +
              " mm of concrete, and the block under " + name_ + " is " + shown(block.depth_mm) +
              " mm deep: their cone does not count there",
          "/footing/block_depth_mm",
          strength("the block under " + name_ + " is shallower than its anchors"));
    }
    const PostPlate plate = post.is_guide_post ? guidePostPlate(spec_, layout_).value()
                                               : catchPostPlate(spec_, layout_);
    const double out =
        std::max(block.along_mm - plate.post_along_mm, block.across_mm - plate.post_across_mm) / 2;
    if (block.depth_mm < 2 * out - kLengthEqualMm && spec_.footing.block_depth_mm) {
      Warning steel;
      steel.proviso = "the block under " + name_ + " gets steel, which is not judged here";
      add("block-steel",
          "the block of concrete under " + name_ + " stands out " + shown(out, 0) +
              " mm beyond the post and is " + shown(block.depth_mm) +
              " mm deep: without steel it would have to be twice as deep as it stands out, " +
              shown(2 * out, 0) + " mm (EN 1992-1-1, 12.9.3, from memory)",
          "/footing/block_depth_mm", std::move(steel));
    }
  }

  void warnAboutBlock(const PostBlock& block) {
    const std::string size = shown(block.along_mm) + " x " + shown(block.across_mm) + " mm, " +
                             shown(block.depth_mm) + " mm deep";
    if (block.use > 1) {
      add("block-tips",
          "hazard: the block of concrete under " + name_ + " (" + size +
              ") tips over: " + shown(block.tipping_Nm, 0) + " N m, factors included (" +
              block.case_name + "), against " + shown(block.righting_Nm, 0) +
              " N m of nine tenths of its weight. A wider one cures it",
          "/footing/block_across_mm", strength("the block under " + name_ + " tips over"));
      warnings_.back().is_hazard = true;
    }
    for (const BlockReach& reach : block.reaches) {
      if (reach.what == kPastPocket) {
        add("block-past-pocket",
            "the block of concrete under " + name_ + " (" + size + ") reaches " +
                shown(reach.by_mm, 0) +
                " mm past the pocket and would be dug under the bank: a pocket as much larger, a "
                "narrower and deeper block, or a wall that holds the bank",
            "/site/pocket_width_mm", {});
      }
    }
    if (block.soil_use.value_or(0) > 1) {
      add("soil-overload",
          "the block of concrete under " + name_ + " (" + size + ") presses on the ground with " +
              (std::isfinite(block.soil_kPa) ? shown(block.soil_kPa, 0) + " kPa"
                                             : std::string("one edge alone")) +
              ", without factors, " + percent(*block.soil_use) +
              " of what it may bear. A wider one cures it",
          "/footing/block_across_mm", strength("the ground under " + name_ + " overloaded"));
    }
  }

  const GateSpec& spec_;
  const Layout& layout_;
  std::string name_;
  std::vector<Warning> warnings_;
};

}  // namespace

std::vector<Warning> postWarnings(const Model& model, const StructureReport& structure) {
  return PostWarnings(model).run(structure);
}

}  // namespace leafstack
