// Every guide in section: from above (the stack across the track) and along the track.
#include <algorithm>
#include <cmath>
#include <map>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheet/window.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"

namespace leafstack {
namespace {

constexpr double kGuideHatchMm = 1.0;           // on paper
constexpr double kAroundMm = 45;                // shown beside the channel, along the track
constexpr double kBehindMm = 15;                // shown of what stands before and behind
constexpr double kAboveMm = 40, kBelowMm = 60;  // shown above the panel, and below the channel
constexpr double kFirstShare = 0.15, kLastShare = 0.9, kShareStep = 0.15;  // of an edge
constexpr std::size_t kGuidesPerSheet = 2;
constexpr double kFrameLevelMm = 20;  // below the guide's axis, where frames are dimensioned

/// One guide: rail, block, channel, and what they are fixed to.
class GuideDetail {
 public:
  GuideDetail(const GateViews& views, int guide)
      : views_(views),
        guide_(views.layout().guides.at(guide)),
        sign_(views.model().opening_sign),
        depth_(views.layout().stack.frame_depth_mm) {
    const Layout& layout = views.layout();
    rear_y_ = layout.panel(guide_.panel).front_y_mm + depth_;
    face_y_ = guide_.panel == 1 ? rear_y_ + layout.stack.post_gap_mm
                                : layout.panel(guide_.panel - 1).front_y_mm;
    find();
  }

  /// "Panel 2 on panel 1", "Panel 1 on the guide post".
  std::string title() const {
    std::string text = "Panel " + std::to_string(guide_.panel) + " on ";
    text += guide_.panel == 1 ? "the " + std::string(nameOf(views_.model().spec.guides.mount))
                              : "panel " + std::to_string(guide_.panel - 1);
    return text;
  }

  ViewBlock fromAboveView() const {
    ViewBlock block(title(), fromAboveTilted(sign_ * guide_.channel_grade));
    const Vec3 middle = onAxis(0, 0);
    const Vec3 at = seen(block.view(), middle);
    const double half = views_.model().spec.guides.channel_width_mm / 2 + kAroundMm;
    const PaperBox window = {at[0] - half, rear_y_ - depth_ - kBehindMm, at[0] + half,
                             face_y_ + backing() + kBehindMm};
    const CutView cut = cutAt(block, middle);
    addWithin(block, cut, window);
    addLabels(block, cut, window);
    for (const Vec3& point : {onAxis(-width() / 2, 0), onAxis(width() / 2, 0)}) {
      block.include(point);
    }
    block.linear({Side::kBelow, onAxis(-width() / 2, 0), onAxis(width() / 2, 0), "channel "});
    addAcross(block, Side::kRight, Side::kLeft);
    return block;
  }

  ViewBlock alongView() const {
    ViewBlock block(title(), alongOpeningTilted(sign_, sign_ * guide_.channel_grade));
    const Vec3 middle = onAxis(0, 0);
    const Vec3 at = seen(block.view(), middle);
    // Across the track Y runs to the left or to the right, by the hand.
    const double y0 = rear_y_ - depth_ - kBehindMm;
    const double y1 = face_y_ + backing() + kBehindMm;
    const double a = seen(block.view(), {0, y0, 0})[0];
    const double b = seen(block.view(), {0, y1, 0})[0];
    const PaperBox window = {std::min(a, b), at[1] + guide_.channel_low_mm - kBelowMm,
                             std::max(a, b), at[1] + topUp() + kAboveMm};
    addWithin(block, cutAt(block, middle), window);
    addUp(block);
    addAcross(block, Side::kBelow, Side::kAbove);
    return block;
  }

  /// What the drawing does not show.
  std::string note() const {
    std::string text = title() + ": guide axis at X " + lengthText(guide_.x_mm) +
                       " from the latch-side post face, " + guide_.why;
    if (guide_.float_mm.high - guide_.float_mm.low > kLengthEqualMm) {
      text += "; the block moves " + shown(guide_.float_mm.low, 1) + " to " +
              shown(guide_.float_mm.high, 1) + " in its channel over the travel";
    }
    if (guide_.is_pivoted) {
      text += "; its jaws turn by up to " + shown(guide_.turn_deg) + " of " +
              shown(views_.model().spec.hardware.guide.turn_deg) + " degrees";
    }
    return text + fixings() + ".";
  }

 private:
  double width() const { return views_.model().spec.guides.channel_width_mm; }

  /// "; channel GC1 held by 4 x SC1, M6x16, ..."; its welds where it has no screws.
  std::string fixings() const {
    const Model& model = views_.model();
    std::map<std::string, int> screws;  // by mark
    std::string channel;
    for (const Fastening& one : model.fastenings) {
      for (const int held : {one.under_head, one.holds_in}) {
        if (held >= 0 && isOwnChannel(model.instances[held])) {
          ++screws[views_.partOf(model.instances[one.screw]).mark];
        }
      }
    }
    for (const Instance& one : model.instances) {
      if (isOwnChannel(one)) {
        channel = views_.partOf(one).mark;
      }
    }
    if (channel.empty()) {
      return "";
    }
    if (screws.empty()) {
      return "; channel " + channel + " is welded: see the attachments of panel " +
             std::to_string(guide_.panel - 1);
    }
    std::string text = "; channel " + channel + " is held by";
    for (const auto& [screw, count] : screws) {
      const std::string& mark = screw;
      const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                     [&](const Part& other) { return other.mark == mark; });
      text += " " + std::to_string(count) + " x " + mark + ", " + part->section;
    }
    return text;
  }

  bool isOwnChannel(const Instance& one) const {
    const double x = sign_ * (one.bounds.low[0] + one.bounds.high[0]) / 2;
    return views_.partOf(one).kind == PartKind::kGuideChannel && one.panel == guide_.panel - 1 &&
           std::abs(x - guide_.x_mm) < width();
  }

  /// From the guide's axis: along the rail in the opening direction, and square to it.
  Vec3 onAxis(double along, double up) const {
    const double c = guide_.channelCosine();
    const double s = guide_.channel_grade * c;
    return views_.at(guide_.x_mm + along * c - up * s, face_y_, guide_.z_mm + along * s + up * c);
  }

  double topUp() const {
    const PanelLayout& panel = views_.layout().panel(guide_.panel);
    return (panel.topZ(guide_.x_mm) - guide_.z_mm) * guide_.channelCosine();
  }

  /// How much of what carries the channel is shown.
  double backing() const {
    return guide_.panel == 1 ? std::max(views_.model().spec.guides.post_mm, depth_) : depth_;
  }

  /// Across the track, where this guide's own parts begin and end.
  void find() {
    channel_back_ = face_y_;
    const auto& instances = views_.model().instances;
    double nearest = std::numeric_limits<double>::infinity();
    for (const Instance& one : instances) {
      const PartKind kind = views_.partOf(one).kind;
      const double x = sign_ * (one.bounds.low[0] + one.bounds.high[0]) / 2;
      if (kind == PartKind::kGuideRail && one.panel == guide_.panel) {
        leg_back_ = one.bounds.high[1];
      } else if (kind == PartKind::kGuideChannel && one.panel == guide_.panel - 1 &&
                 std::abs(x - guide_.x_mm) < nearest) {
        nearest = std::abs(x - guide_.x_mm);
        channel_front_ = one.bounds.low[1];
        channel_back_ = one.bounds.high[1];
      } else if ((kind == PartKind::kBoard || kind == PartKind::kBatten) &&
                 one.panel == guide_.panel - 1 && guide_.panel > 1) {
        board_front_ = std::min(board_front_.value_or(one.bounds.low[1]), one.bounds.low[1]);
      }
    }
  }

  CutView cutAt(const ViewBlock& block, const Vec3& through) const {
    const Vec3& toward = block.view().toward;
    return cutView(scene_.solids.empty() ? nearby().solids : scene_.solids, block.view(),
                   {toward, dot(toward, through)});
  }

  const Scene& nearby() const {
    const Vec3 middle = onAxis(0, 0);
    const double reach = width() / 2 + kAroundMm;
    scene_ = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      const bool is_shown = kind != PartKind::kFencePost && kind != PartKind::kPulleyScrew;
      return is_shown && one.bounds.low[0] < middle[0] + reach &&
             one.bounds.high[0] > middle[0] - reach && one.bounds.high[1] > rear_y_ - depth_ &&
             one.bounds.low[1] < face_y_ + backing();
    });
    return scene_;
  }

  void addWithin(ViewBlock& block, const CutView& cut, const PaperBox& window) const {
    for (const CutFace& face : cut.faces) {
      const Instance& instance = views_.model().instances[scene_.instances[face.solid]];
      std::vector<std::vector<PathVertex>> loops;
      for (const auto& loop : face.loops) {
        if (auto inside = loopWithin(loop, window); !inside.empty()) {
          loops.push_back(std::move(inside));
        }
        for (auto& stretch : stretchesWithin(loop, true, window)) {
          block.curve(LineRole::kVisible, std::move(stretch));
        }
      }
      const bool is_hardware = views_.partOf(instance).kind == PartKind::kGuideBlock ||
                               views_.partOf(instance).kind == PartKind::kGuideJaws ||
                               instance.panel == 0;
      block.hatch(std::move(loops), is_hardware ? 2 * kGuideHatchMm : kGuideHatchMm,
                  instance.panel % 2 == 0 ? 45 : 135);
    }
    for (const ViewCurve& curve : cut.behind) {
      for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
        block.curve(LineRole::kFine, std::move(stretch));
      }
    }
  }

  /// A point of a loop's highest edge, `share` of the way along.
  static PathVertex topOf(const std::vector<PathVertex>& loop, double share) {
    PathVertex top{0, -std::numeric_limits<double>::infinity()};
    double highest = top.y_mm;
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const PathVertex& a = loop[i];
      const PathVertex& b = loop[(i + 1) % loop.size()];
      if ((a.y_mm + b.y_mm) / 2 > highest + kLengthEqualMm) {
        highest = (a.y_mm + b.y_mm) / 2;
        const PathVertex& left = a.x_mm < b.x_mm ? a : b;
        const PathVertex& right = a.x_mm < b.x_mm ? b : a;
        top = {left.x_mm + share * (right.x_mm - left.x_mm),
               left.y_mm + share * (right.y_mm - left.y_mm)};
      }
    }
    return top;
  }

  /// On a loop's highest edge, off other leaders where it can be.
  static PathVertex apartFrom(const std::vector<double>& taken, const std::vector<PathVertex>& loop,
                              const PaperBox& window) {
    const double enough = 0.03 * window.widthMm();
    PathVertex best{};
    double most = -1;
    for (double share = kFirstShare; share < kLastShare; share += kShareStep) {
      const PathVertex at = topOf(loop, share);
      double off = enough;
      for (const double other : taken) {
        off = std::min(off, std::abs(at.x_mm - other));
      }
      if (off > most) {
        most = off;
        best = at;
      }
    }
    return best;
  }

  /// The marks of what is cut, once each.
  void addLabels(ViewBlock& block, const CutView& cut, const PaperBox& window) const {
    LabelRequest request{Side::kAbove, {}};
    std::vector<int> parts;
    std::vector<double> taken;  // by leaders, which would run into one
    for (const CutFace& face : cut.faces) {
      const Instance& instance = views_.model().instances[scene_.instances[face.solid]];
      const std::vector<PathVertex> loop = loopWithin(face.loops.front(), window);
      if (loop.empty() || std::find(parts.begin(), parts.end(), instance.part) != parts.end()) {
        continue;
      }
      parts.push_back(instance.part);
      const PathVertex corner = apartFrom(taken, loop, window);
      taken.push_back(corner.x_mm);
      // Back from the view into space; depth does not matter.
      const PictureView& view = block.view();
      const Vec3 at = plus(plus({}, view.right, corner.x_mm), view.up, corner.y_mm);
      request.labels.push_back({at, views_.partOf(instance).mark});
    }
    block.labels(std::move(request));
  }

  /// A face across the track at Y `y`, seen from above at `along`, or along the track at `up`.
  struct FacePlace {
    double along_mm = 0, up_mm = 0;
  };
  Vec3 across(double y, const FacePlace& place) const {
    Vec3 point = onAxis(place.along_mm, place.up_mm);
    point[1] = y;
    return point;
  }

  /// `fine` and `overall` are opposite sides: right and left from above, else below and above.
  void addAcross(ViewBlock& block, Side fine, Side overall) const {
    const bool is_plan = fine == Side::kRight;
    const double half = width() / 2;
    // Right on the sheet, as a distance in the opening direction.
    const double right = is_plan ? sign_ : 0;
    const FacePlace frame = {right * (half + kAroundMm), is_plan ? 0 : -kFrameLevelMm};
    const FacePlace rail = {right * (half + kAroundMm), is_plan ? 0 : -guide_.rail_size_mm / 2};
    const FacePlace channel = {right * half, is_plan ? 0 : guide_.channel_low_mm};
    struct Face {
      double y_mm = 0;
      FacePlace place;
      const char* name;  ///< of what ends here
    };
    Face from{rear_y_ - depth_, frame, ""};
    for (const Face& to :
         {Face{rear_y_, frame, "frame "}, Face{leg_back_, rail, "rail "},
          Face{channel_front_, channel, "clear "}, Face{channel_back_, channel, "channel "},
          Face{face_y_, frame, "packing "}}) {
      if (to.y_mm > from.y_mm + kLengthEqualMm) {
        block.linear({fine, across(from.y_mm, from.place), across(to.y_mm, to.place), to.name});
        from = to;
      }
    }
    const FacePlace far = {-right * (half + kAroundMm), is_plan ? 0 : guide_.channel_high_mm};
    if (board_front_) {
      block.linear({overall, across(leg_back_, far), across(*board_front_, far), "clear "});
      block.linear({overall, across(*board_front_, far), across(face_y_, far), "cladding "});
    }
    block.linear({overall, across(rear_y_, far), across(face_y_, far), "gap "});
  }

  void addUp(ViewBlock& block) const {
    const Side front = sign_ > 0 ? Side::kRight : Side::kLeft;
    const Side rear = sign_ > 0 ? Side::kLeft : Side::kRight;
    const double block_top = guide_.blockTopMm();
    // Along a plumb axis a sloping rail takes a little more.
    const double rail = guide_.rail_size_mm / 2 * guide_.channelCosine() / guide_.cosine();
    const auto at = [&](double y, double up) { return across(y, {0, up}); };
    block.linear({front, at(leg_back_, -rail), at(leg_back_, rail), "rail "});
    block.linear({front, at(leg_back_, rail), at(rear_y_, topUp()), "down "});
    block.linear({rear,
                  at(channel_back_, block_top - views_.model().spec.hardware.guide.block_height_mm),
                  at(channel_back_, block_top), "block "});
    block.linear({rear, at(channel_back_, guide_.channel_low_mm),
                  at(channel_back_, guide_.channel_high_mm), "channel "});
    if (std::abs(topUp() - guide_.channel_high_mm) > kLengthEqualMm) {
      block.linear(
          {rear, at(channel_back_, guide_.channel_high_mm), at(rear_y_, topUp()), "down "});
    }
  }

  const GateViews& views_;
  const GuideLayout& guide_;
  double sign_, depth_;
  double rear_y_ = 0;  ///< rear face of the panel that carries the rail
  double face_y_ = 0;  ///< what the channel is fixed to
  double leg_back_ = 0, channel_front_ = 0, channel_back_ = 0;
  std::optional<double> board_front_;
  mutable Scene scene_;
};

struct DetailKind {
  const char* name;
  const char* title;
  ViewBlock (GuideDetail::*view)() const;
};

void addDetails(SheetMaker& maker, const DetailKind& kind) {
  const std::size_t count = maker.layout().guides.size();
  for (std::size_t first = 0; first < count; first += kGuidesPerSheet) {
    std::vector<ViewBlock> blocks;
    std::vector<std::string> notes;
    for (std::size_t g = first; g < std::min(count, first + kGuidesPerSheet); ++g) {
      const GuideDetail detail(maker.views, static_cast<int>(g));
      blocks.push_back((detail.*kind.view)());
      notes.push_back(detail.note());
    }
    std::string name = kind.name;
    if (first > 0) {
      name += "-" + std::to_string(first / kGuidesPerSheet + 1);
    }
    MadeSheet made{maker.empty(name, kind.title), "detail"};
    ViewGrid grid{{{}}, false};
    for (const ViewBlock& block : blocks) {
      grid.rows.front().push_back(&block);
    }
    const PaperBox above = drawingSpace(made.sheet).above;
    const PaperBox box = addLowerLeft(made.sheet, drawnParagraphs(notes, above.widthMm()));
    made.mm_per_mm = addNeeded(made.sheet, box, grid);
    maker.sheets.push_back(std::move(made));
  }
}

}  // namespace

void addOverlapDetail(SheetMaker& maker) {
  addDetails(maker, {"overlap-detail", "Overlaps and gaps across the track, from above",
                     &GuideDetail::fromAboveView});
}

void addGuideDetail(SheetMaker& maker) {
  addDetails(maker, {"guide-detail", "Guides, along the track in the opening direction",
                     &GuideDetail::alongView});
}

}  // namespace leafstack
