#include "generator/shop/set_out.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// Gathers rows; positions are the layout's, whatever the hand.
class SetOut {
 public:
  SetOut(const Model& model, const StructureReport& structure)
      : model_(model), layout_(model.layout), spec_(model.spec), structure_(structure) {}

  std::vector<SetOutRow> rows() {
    addDatum();
    addFence();
    addFooting();
    for (int panel = layout_.panel_count; panel >= 1; --panel) {
      addTrack(panel);
    }
    addFixings();
    addStops();
    addUneven();
    return std::move(rows_);
  }

 private:
  static constexpr double kHoleDeeperMm = 10;  ///< than its dowel. Common practice, no source

  double groundZ(double x, double y) const { return layout_.ground.heightMm(x, y); }
  double footingTop(int strip, double x) const { return footingZ(spec_, layout_, strip, x); }

  void add(std::string item, std::string mark, std::string point, std::array<double, 3> at,
           std::string note = "") {
    rows_.push_back({std::move(item), std::move(mark), std::move(point), at, std::move(note), {}});
  }

  /// Instances of one kind, in order of placing.
  std::vector<const Instance*> instancesOf(PartKind kind) const {
    std::vector<const Instance*> found;
    for (const Instance& instance : model_.instances) {
      if (model_.parts[instance.part].kind == kind) {
        found.push_back(&instance);
      }
    }
    return found;
  }
  const std::string& markOf(const Instance& instance) const {
    return model_.parts[instance.part].mark;
  }
  /// Its bounds in the layout's frame.
  Bounds boundsOf(const Instance& instance) const {
    Bounds bounds = instance.bounds;
    if (model_.opening_sign < 0) {
      bounds.low[0] = -instance.bounds.high[0];
      bounds.high[0] = -instance.bounds.low[0];
    }
    return bounds;
  }
  std::string markOf(PartKind kind, std::size_t which = 0) const {
    const auto found = instancesOf(kind);
    return which < found.size() ? markOf(*found[which]) : std::string();
  }

  /// One point for all three, but where the driveway falls across: the front track is off the
  /// fence.
  void addDatum() {
    const char* point = "latch-side post face, back of the fence line";
    const char* levels = "z = 0 is the driveway on the front track at x = 0";
    const double z = groundZ(0, 0);
    if (std::abs(z) < kLengthEqualMm) {
      add("datum", "", point, {0, 0, z}, levels);
      return;
    }
    add("datum", "", point, {0, 0, z},
        "x and y count from here; its level is the driveway's there");
    add("datum of levels", "", "driveway on the front track",
        {0, layout_.ground.front_track_y_mm, 0}, levels);
  }

  void addFence() {
    const auto posts = instancesOf(PartKind::kFencePost);
    const char* sides[] = {"latch side", "storage side"};
    for (std::size_t i = 0; i < posts.size(); ++i) {
      const Bounds bounds = boundsOf(*posts[i]);
      const double face = i == 0 ? bounds.high[0] : bounds.low[0];
      add("fence post", markOf(*posts[i]), std::string("opening face, ") + sides[i],
          {face, bounds.high[1], groundZ(face, bounds.high[1])},
          "top at " + shown(bounds.high[2], 0));
    }
  }

  void addFooting() {
    const auto slabs = instancesOf(PartKind::kFooting);
    const int strips = static_cast<int>(slabs.size());
    const std::string deep =
        "top of concrete, " + shown(spec_.hardware.post.footing_depth_mm) + " deep";
    if (isCastWithAFall()) {
      const FootingExtent slab = footingExtent(spec_, layout_);
      const double slope = layout_.ground.cross_grade;
      for (const double x : {slab.from_x_mm, slab.to_x_mm}) {
        for (const double y : {slab.from_y_mm, slab.to_y_mm}) {
          const double z =
              footingTop(layout_.panel_count, x) + slope * (y - layout_.ground.front_track_y_mm);
          add("footing", markOf(*slabs.front()) + " to " + markOf(*slabs.back()), "corner",
              {x, y, z}, deep + ", cast as one with its fall across");
        }
      }
      return;
    }
    for (int i = 0; i < strips; ++i) {
      const Bounds bounds = boundsOf(*slabs[i]);
      // The last of several is the rear strip.
      const int strip = strips == 1 ? 1 : i + 1 == strips ? kRearStrip : layout_.panel_count - i;
      for (double x : {bounds.low[0], bounds.high[0]}) {
        for (double y : {bounds.low[1], bounds.high[1]}) {
          add("footing", markOf(*slabs[i]), "corner", {x, y, footingTop(strip, x)}, deep);
        }
      }
    }
  }

  /// Across a slope that is even: by small steps in the solids, one plane through all tracks and
  /// under the motor, where nothing is cast lower.
  bool isCastWithAFall() const {
    const GroundLayout& ground = layout_.ground;
    return ground.cross_grade != 0 && ground.track_lines.empty() &&
           footingDropMm(spec_, layout_) == 0;
  }

  void addTrack(int panel) {
    const TrackEnds ends = trackEnds(spec_, layout_, panel);
    const double y = layout_.panel(panel).front_y_mm + layout_.stack.frame_depth_mm / 2;
    const auto tracks = instancesOf(PartKind::kTrack);
    std::size_t first = 0;
    for (int before = 1; before < panel; ++before) {
      first += trackPieces(spec_, layout_, before).size();
    }
    const std::vector<TrackEnds> pieces = trackPieces(spec_, layout_, panel);
    const std::string item = "track of panel " + std::to_string(panel);
    const TrackHardware& shelf = spec_.hardware.track;
    const std::string top_of_track =
        shelf.kind == TrackKind::kRound ? "top of bar"
        : shelf.hasFlat() ? "heel of angle on its flat, " + shown(shelf.flat_mm) + " thick"
                          : "heel of angle";
    // Of steel, by a track maker's page; 70 K from frost to a bar in the sun; shorter ones hardly
    // move. Common practice, no source.
    constexpr double kLongTrackMm = 4000, kSteelPerK = 11.5e-6, kKelvin = 70;
    const std::string grows =
        "; steel grows by " + shown(kSteelPerK * kKelvin * ends.length_mm, 1) +
        " mm from frost to sun over this length (11.5e-6/K, 70 K): leave its end that room, or "
        "hold it all along";
    // By X: what it is called, what else is noted.
    std::multimap<double, std::array<std::string, 2>> points{{ends.from_x_mm, {"start", ""}}};
    const double gap = spec_.site.track_gap_mm;
    const std::string joined = gap > 0 ? ", a gap of " + shown(gap) + " before it, edges broken"
                                       : ", welded on site and ground flush";
    for (std::size_t i = 1; i < pieces.size(); ++i) {
      points.insert({pieces[i].from_x_mm, {"joint " + std::to_string(i) + joined, ""}});
    }
    if (layout_.ground.is_surveyed) {
      int number = 0;
      for (const auto& [x, z] : surveyUnder(spec_.site, panel, layout_.panel_count)) {
        ++number;
        if (x > ends.from_x_mm && x < ends.to_x_mm) {
          points.insert({x, {"survey point " + std::to_string(number), ""}});
        }
      }
    } else if (ends.to_x_mm > layout_.opening_mm && ends.from_x_mm < layout_.opening_mm) {
      points.insert({layout_.opening_mm, {"at the storage-side post face", ""}});
    }
    points.insert({ends.to_x_mm, {"end", ends.length_mm > kLongTrackMm ? grows : ""}});
    for (const auto& [x, told] : points) {
      const auto piece = std::count_if(pieces.begin() + 1, pieces.end(),
                                       [x = x](const auto& one) { return one.from_x_mm <= x; });
      const double slope = layout_.ground.lineOf(panel).slope(x);
      const double bar = trackHeightMm(spec_.hardware.track) * std::sqrt(1 + slope * slope);
      const double top = footingTop(panel, x);
      add(item, markOf(*tracks.at(first + piece)), told[0], {x, y, top + bar},
          top_of_track + "; footing " + shown(top, 0) + told[1]);
    }
    addDowels(panel, item, y);
  }

  /// First and last of those under each piece.
  void addDowels(int panel, const std::string& item, double y) {
    if (spec_.site.dowel_mm <= 0) {
      return;
    }
    const std::vector<double> places = trackDowels(spec_, layout_, panel);
    const auto& pieces = spec_.hardware.track.hasFlat() ? flatPieces(spec_, layout_, panel)
                                                        : trackPieces(spec_, layout_, panel);
    auto next = places.begin();
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const auto past =
          std::find_if(next, places.end(), [&](double x) { return x > pieces[i].to_x_mm; });
      const std::string of_piece = pieces.size() > 1 ? " of piece " + std::to_string(i + 1) : "";
      const auto spans = past - next - 1;
      const std::string note = std::to_string(spans + 1) + " dowels, every " +
                               shown((*(past - 1) - *next) / static_cast<double>(spans)) +
                               " along x; holes dia " + shown(trackDowelHoleMm(spec_)) + ", " +
                               shown(std::ceil(trackDowelLengthMm(spec_)) + kHoleDeeperMm) +
                               " deep, bonded with what is approved for it";
      for (const double x : {*next, *(past - 1)}) {
        add("dowels under the " + item, markOf(PartKind::kTrackDowel),
            (x == *next ? "first dowel" : "last dowel") + of_piece, {x, y, footingTop(panel, x)},
            note);
      }
      next = past;
    }
  }

  void addFixings() {
    if (!layout_.ropes.empty()) {
      const RopeLayout& rope = layout_.ropes.front();
      const double y =
          layout_.panel(1).front_y_mm + layout_.stack.frame_depth_mm / 2 + rope.pitch_mm / 2;
      add("ground rope bracket", markOf(PartKind::kGroundBracket), "middle between its rope bores",
          {rope.rear_bracket_mm, y, rope.rear_bore_z_mm},
          "footing " + shown(footingTop(1, rope.rear_bracket_mm), 0));
      addAnchorsOf("ground rope bracket", *instancesOf(PartKind::kGroundBracket).front());
    }
    addGuideHolder();
    addMotor();
  }

  /// Those that hold the foot that something is welded to.
  void addAnchorsOf(const std::string& item, const Instance& on_foot) {
    const int standing = static_cast<int>(&on_foot - model_.instances.data());
    for (const Fastening& fastening : model_.fastenings) {
      const bool is_its_foot =
          fastening.kind == ScrewKind::kAnchor &&
          std::any_of(model_.contacts.begin(), model_.contacts.end(), [&](const Contact& contact) {
            return contact.kind == ContactKind::kWelded &&
                   std::minmax(contact.a, contact.b) == std::minmax(standing, fastening.under_head);
          });
      if (is_its_foot) {
        std::array<double, 3> at{};
        for (const int axis : {0, 1, 2}) {
          at[axis] = fastening.seat_mm[axis] - fastening.grip_mm * fastening.out[axis];
        }
        at[0] *= model_.opening_sign;
        add(item, markOf(model_.instances[fastening.under_head]), "anchor", at,
            "M" + shown(fastening.thread_mm));
      }
    }
  }

  void addGuideHolder() {
    const GuideLayout& guide = layout_.guides.front();
    if (spec_.guides.mount == GuideMount::kOverhead) {
      const double x = overheadXMm(spec_, layout_);
      add("overhead bracket", markOf(PartKind::kGuideArm), "underside, middle, on the fence post",
          {x, 0, overheadLowZ(layout_, spec_, x)});
      for (const Instance* arm : instancesOf(PartKind::kGuideArm)) {
        addAnchorsOf("overhead bracket", *arm);
      }
    } else {
      for (const Instance* post : instancesOf(PartKind::kGuidePost)) {
        const Bounds bounds = boundsOf(*post);
        const double x = layout_.guide_post_mm;
        add("guide post", markOf(*post), "middle of its front face",
            {x, bounds.low[1], footingTop(kRearStrip, x)},
            "footing under its base plate; top at " + shown(bounds.high[2], 0));
        addPlate("guide post", markOf(*post), *guidePostPlate(spec_, layout_));
      }
    }
    const double y =
        layout_.panel(1).front_y_mm + layout_.stack.frame_depth_mm + layout_.stack.post_gap_mm;
    add("guide channel", markOf(*instancesOf(PartKind::kGuideChannel).front()),
        "middle of its back, at the rail's middle", {guide.x_mm, y, guide.z_mm},
        guide.channel_grade == 0 ? "plumb" : "square to the rail");
  }

  /// Where a block reaches to, and what to do about it.
  static std::string reachText(const PostBlock& block) {
    std::string text;
    for (const BlockReach& reach : block.reaches) {
      text += (text.empty() ? "; reaches " : ", ") + shown(reach.by_mm, 0) + " " + reach.what;
    }
    return text.empty() ? text
                        : text +
                              ": see what lies there before digging; in the driveway it may "
                              "lie under paving";
  }

  /// "M12, " of the anchors that hold the plate which a post is welded to.
  std::string anchorText(const std::string& post_mark) const {
    for (const Fastening& one : model_.fastenings) {
      const bool is_its_plate =
          one.kind == ScrewKind::kAnchor &&
          std::any_of(model_.contacts.begin(), model_.contacts.end(), [&](const Contact& contact) {
            const bool is_on = contact.a == one.under_head || contact.b == one.under_head;
            return contact.kind == ContactKind::kWelded && is_on &&
                   (markOf(model_.instances[contact.a]) == post_mark ||
                    markOf(model_.instances[contact.b]) == post_mark);
          });
      if (is_its_plate) {
        return "M" + shown(one.thread_mm) + ", ";
      }
    }
    return "";
  }

  /// The block under a post, and its anchors.
  void addPlate(const std::string& item, const std::string& mark, const PostPlate& plate) {
    for (const StructurePost& post : structure_.posts) {
      if (post.mark == mark && post.block) {
        const double x = plate.middle_x_mm;
        add(item, mark, "middle of the block under it",
            {x, plate.front_y_mm + plate.across_mm / 2, footingTop(plate.strip, x)},
            shown(post.block->along_mm) + " along x " + shown(post.block->across_mm) + " across, " +
                shown(post.block->depth_mm) + " deep with the slab, its bottom at " +
                shown(footingTop(plate.strip, x) - post.block->depth_mm, 0) +
                "; cast as one with it" + reachText(*post.block));
        rows_.back().hint =
            post.block->reaches.empty() ? "" : "; footing.block_* make it narrower and deeper";
      }
    }
    const double cosine =
        1 / std::hypot(1.0, layout_.ground.lineOf(plate.strip).slope(plate.middle_x_mm));
    for (const auto& [along, across] : plate.anchors()) {
      const double x = plate.middle_x_mm + (along - plate.along_mm / 2) * cosine;
      add(item, mark, "anchor", {x, plate.front_y_mm + across, footingTop(plate.strip, x)},
          anchorText(mark) + "hole dia " + shown(plate.hole_mm) + " in the plate");
    }
  }

  void addMotor() {
    const auto motors = instancesOf(PartKind::kMotor);
    const auto pinions = instancesOf(PartKind::kPinion);
    const Bounds motor = boundsOf(*motors.front());
    const double middle = layout_.pinion_mm;
    for (double x : {motor.low[0], motor.high[0]}) {
      const double packer = motor.low[2] - footingTop(kRearStrip, x);
      add("motor base", markOf(*motors.front()), x < middle ? "driveway-side end" : "far end",
          {x, motor.low[1], motor.low[2]},
          "footing " + shown(footingTop(kRearStrip, x), 0) + ", packer " +
              shown(std::max(0.0, packer)));
    }
    addMotorAnchors(markOf(*motors.front()));
    const gp_XYZ axis = pinions.front()->at_closed.Transformation().TranslationPart();
    add("pinion", markOf(*pinions.front()), "axis",
        {axis.X() * model_.opening_sign, axis.Y(), axis.Z()}, bandNote());
  }

  /// What the motor's own base can still do for the pinion, and what the teeth stand of it.
  std::string bandNote() const {
    const double band = spec_.hardware.motor.adjust_mm;
    if (band <= 0) {
      return "";
    }
    const double raise = layout_.heights.motor_raise_mm;
    const double module_mm = spec_.hardware.rack.module_mm;
    return "base takes it " + shown(band - raise) + " higher and " + shown(band + raise) +
           " lower; teeth jam " + shown(hw::kToothRootGap * module_mm) + " higher and part " +
           shown(hw::kToothDepth * module_mm) + " lower";
  }

  void addMotorAnchors(const std::string& mark) {
    const MotorHardware& body = spec_.hardware.motor;
    std::string note = "anchor M" + shown(body.feet_bolt_mm);
    note += areMotorFeetKnown(spec_.hardware)
                ? ""
                : "; as most motors are drilled: measure the one that is delivered";
    note += body.release.empty() ? "" : "; release: " + body.release;
    note += body.cable.empty() ? "" : "; cable: " + body.cable;
    for (const auto& [x, y] : motorAnchors(spec_, layout_)) {
      add("motor base", mark, "anchor", {x, y, footingTop(kRearStrip, x)}, note);
      rows_.back().hint = areMotorFeetKnown(spec_.hardware)
                              ? ""
                              : " (/hardware/motor/feet_along_mm, feet_across_mm)";
    }
  }

  void addStops() {
    const auto stops = instancesOf(PartKind::kEndStop);
    for (std::size_t i = 0; i < stops.size(); ++i) {
      const gp_XYZ foot = stops[i]->at_closed.Transformation().TranslationPart();
      add("end stop of panel " + std::to_string(i + 1), markOf(*stops[i]),
          "face towards the panel, at its foot",
          {foot.X() * model_.opening_sign, foot.Y(), foot.Z()}, "never optional");
      addAnchorsOf("end stop of panel " + std::to_string(i + 1), *stops[i]);
    }
    addLatch();
  }

  /// What the ground will be seen to do; nobody sets it out, but who does wants to know it.
  void addUneven() {
    const GroundLayout& ground = layout_.ground;
    for (const TrackRise& rise : ground.track_rises) {
      const double y = trackY(rise.high);
      add("line of track " + std::to_string(rise.high), "",
          "highest over the line of track " + std::to_string(rise.low),
          {rise.x_mm, y, groundZ(rise.x_mm, y)}, shown(rise.rise_mm) + " mm higher");
    }
    for (const PanelOnUneven& row : ground.uneven) {
      const PanelLayout& panel = layout_.panel(row.panel);
      const std::string item = "panel " + std::to_string(row.panel) + " on its ground";
      const double y = trackY(row.panel);
      add(item, "", "least gap under the bottom rail",
          {panel.least_ground_x_mm, y, ground.lineOf(row.panel).heightMm(panel.least_ground_x_mm)},
          shown(panel.least_ground_mm) + " mm at drive travel " +
              shown(panel.least_ground_at_mm, 0));
      const double x = panel.leading_closed_mm + layout_.goneMm(panel.number, row.lean_at_mm);
      add(item, "", "leading upright where it leans most", {x, y, groundZ(x, y)},
          "top " + shown(std::abs(row.lean_mm)) +
              (row.lean_mm < 0 ? " mm towards the latch" : " mm towards the storage side") +
              " of plumb at drive travel " + shown(row.lean_at_mm, 0) + "; plumb when closed");
      if (row.panel > 1) {
        const double at = panel.leading_closed_mm;
        add(item, "", "leading end, closed", {at, y, groundZ(at, y)},
            "play of " + shown(row.latch_play_mm) +
                " mm along the track with ropes just tight where their way is longest");
      }
    }
    if (ground.is_surveyed) {
      const double x = layout_.pinion_mm;
      add("rack over the pinion", "", "lower edge, closed",
          {x, trackY(1), undersideAt(layout_, 1, x, 0) + layout_.heights.rack_lower_up_mm},
          "rises " + shown(ground.rack_rise_mm.high) + " mm and falls " +
              shown(-ground.rack_rise_mm.low) + " mm from there over the travel");
      addRackOnPath();
      const Range run = backWheelsRun(layout_);
      add("back track", "", "from here it has to be straight for the rack to keep its height",
          {run.low, trackY(1), ground.lineOf(1).heightMm(run.low)},
          shown(run.high - run.low, 0) + " mm, to x = " + shown(run.high, 0));
    }
  }
  /// Where each piece of the rack starts and ends: heights that its standoffs or slots take up.
  void addRackOnPath() {
    const std::vector<double>& ups = layout_.ground.rack_up_mm;
    const auto pieces = instancesOf(PartKind::kRack);
    for (std::size_t i = 0; i + 1 < ups.size() && i < pieces.size(); ++i) {
      const gp_XYZ at = pieces[i]->at_closed.Transformation().TranslationPart();
      add("rack, laid to the pinion's path", markOf(*pieces[i]), "lower edge's start, closed",
          {at.X() * model_.opening_sign, at.Y(), at.Z()},
          shown(ups[i]) + " mm over a straight rack here, " + shown(ups[i + 1]) + " at its end");
    }
  }
  double trackY(int panel) const {
    return layout_.panel(panel).front_y_mm + layout_.stack.frame_depth_mm / 2;
  }

  void addLatch() {
    const LatchLayout latch = latchOf(spec_, layout_);
    const Bounds buffer = boundsOf(*instancesOf(PartKind::kCatchBuffer).back());
    add("stop buffer", markOf(*instancesOf(PartKind::kCatchBuffer).back()),
        "face towards the front panel", {buffer.high[0], buffer.low[1], buffer.low[2]},
        "stops the closed gate; never optional");
    for (const Instance* post : instancesOf(PartKind::kCatchPost)) {
      const Bounds bounds = boundsOf(*post);
      add("catch post", markOf(*post), "face towards the front panel, front edge",
          {bounds.high[0], bounds.low[1], footingTop(layout_.panel_count, bounds.high[0])},
          "footing under its base plate; top at " + shown(bounds.high[2], 0));
      addPlate("catch post", markOf(*post), catchPostPlate(spec_, layout_));
    }
    for (const Instance* plate : instancesOf(PartKind::kCatchPlate)) {
      const Bounds bounds = boundsOf(*plate);
      const bool is_rear = bounds.low[1] > latch.post_rear_y_mm - kLengthEqualMm;
      add("catch plate", markOf(*plate), "face towards the front panel, lower edge",
          {bounds.high[0], is_rear ? bounds.low[1] : bounds.high[1], bounds.low[2]},
          shown(latch.bottom.play_mm) + " off the panel; welded to the catch post");
    }
    for (const Instance* receiver : instancesOf(PartKind::kReceiver)) {
      add("top receiver", markOf(*receiver), "face behind the front panel, upper edge",
          {latch.top->to_x_mm, latch.top->rear_y_mm, latch.top->high_z_mm},
          shown(latch.top->play_mm) + " off the panel, each side; welded to the catch post");
    }
  }

  const Model& model_;
  const Layout& layout_;
  const GateSpec& spec_;
  const StructureReport& structure_;
  std::vector<SetOutRow> rows_;
};

}  // namespace

std::vector<SetOutRow> setOutRows(const Model& model, const StructureReport& structure) {
  return SetOut(model, structure).rows();
}

}  // namespace leafstack
