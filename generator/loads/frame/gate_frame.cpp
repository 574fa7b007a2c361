#include "generator/loads/frame/gate_frame.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/latch.h"
#include "generator/loads/frame/panel_lines.h"
#include "params/catalogue/catalogue.h"

namespace leafstack::frame {
namespace {

/// Joints nearer than this are one node.
constexpr double kSameStationMm = 1;
/// What only joins two axes is as stiff as a solid steel bar of this side, no joint of thin tubes
/// bends as little; a short one is as thick as it is long, so that it costs no figures.
constexpr double kStiffSideMm = 60, kLeastSideMm = 10;
/// A guide further below its top rail's axis than this hangs on an upright, where one is near.
constexpr double kByRailMm = 250, kNearUprightMm = 200;
constexpr Vec3 kAlong{1, 0, 0}, kUp{0, 0, 1};
constexpr std::array<bool, 6> kFast{true, true, true, true, true, true};

Metal metalOf(const std::string& name) {
  const MaterialClass metal = materialClass(name);
  return {metal.elastic_N_mm2, metal.shear_N_mm2, metal.density_kg_m3};
}

/// Of a tube, its depth across the gate: local y across, z in the gate's plane.
Section sectionOf(const HollowSection& tube) {
  const SectionProperties across = bendingAcross(tube), upright = bendingUpright(tube);
  const double t = tube.wall_mm;
  return {across.area_mm2,    upright.second_moment_mm4,   across.second_moment_mm4,
          across.torsion_mm4, 2 * t * (tube.depth_mm - t), 2 * t * (tube.height_mm - t)};
}

Section stiffSection(double length_mm) {
  const double a = std::clamp(length_mm, kLeastSideMm, kStiffSideMm), fourth = a * a * a * a;
  return {a * a, fourth / 12, fourth / 12, 0.1406 * fourth, 0, 0};  // Saint-Venant's, any handbook
}

class Builder {
 public:
  Builder(const Model& model, double drive_mm)
      : model_(model), layout_(model.layout), drive_mm_(drive_mm) {}

  GateFrame run() {
    const int count = layout_.panel_count;
    for (int panel = 1; panel <= count; ++panel) {
      lines_.push_back(panelLines(model_, panel));
      holdAlong(lines_.back());
    }
    if (drive_mm_ == 0) {
      stationReceivers();
    }
    for (const GuideLayout& guide : layout_.guides) {
      guides_.push_back(stationGuide(guide));
    }
    for (PanelLines& lines : lines_) {
      buildPanel(lines);
    }
    for (std::size_t i = 0; i < guides_.size(); ++i) {
      buildGuide(layout_.guides[i], guides_[i]);
    }
    if (drive_mm_ == 0) {
      buildReceivers();
    }
    for (std::size_t i = 0; i < model_.instances.size(); ++i) {
      addMass(static_cast<int>(i));
    }
    return std::move(out_);
  }

 private:
  /// A point of a guide on one panel: on its top rail, or on an upright.
  struct Holder {
    Line* line = nullptr;
    double station_mm = 0;
    Vec3 point{};  ///< closed, in the panel's own position
  };
  struct Guide {
    Vec3 at{};  ///< now
    Holder rail;
    std::optional<Holder> channel;
  };

  double middleY(int panel) const {
    return layout_.panel(panel).front_y_mm + layout_.stack.frame_depth_mm / 2;
  }
  Pose poseOf(int panel) const { return model_.travels.at(panel)->at(drive_mm_); }

  int node(const Vec3& at) {
    out_.frame.nodes.push_back({at, {}, 0});
    return static_cast<int>(out_.frame.nodes.size()) - 1;
  }
  int member(int a, int b, const Section& section, const Metal& metal, int instance) {
    const Vec3 way = minus(out_.frame.nodes[b].at, out_.frame.nodes[a].at);
    const bool is_steep = std::abs(way[2]) > norm(way) / 2;
    out_.frame.members.push_back({a, b, section, metal, is_steep ? kAlong : kUp, false});
    out_.instances.push_back(instance);
    return static_cast<int>(out_.frame.members.size()) - 1;
  }
  int join(int a, int b) {
    Metal steel = metalOf("steel");
    steel.density_kg_m3 = 0;
    const double length = norm(minus(out_.frame.nodes[b].at, out_.frame.nodes[a].at));
    return member(a, b, stiffSection(length), steel, -1);
  }
  /// A node at `at` that goes with `from`: `from` itself where it is there already.
  int arm(int from, const Vec3& at) {
    if (norm(minus(out_.frame.nodes[from].at, at)) < kSameStationMm) {
      return from;
    }
    const int end = node(at);
    join(from, end);
    return end;
  }

  // ---- stations, before any node is made

  /// Where ropes or rack hold a panel along the track.
  void holdAlong(PanelLines& lines) {
    double x = 0;
    if (lines.panel > 1) {
      x = layout_.ropes.at(lines.panel - 2).front_bracket_mm;
    } else {
      x = carried(inverse(poseOf(1)), {layout_.pinion_mm, 0, 0})[0];
    }
    along_.push_back(std::clamp(x, lines.bottom.from_mm, lines.bottom.to_mm));
    lines.bottom.stations.push_back(along_.back());
  }

  Holder holderOn(PanelLines& lines, const Vec3& point, bool may_hang) {
    Holder out;
    out.point = point;
    out.line = &lines.top;
    out.station_mm = std::clamp(point[0], lines.top.from_mm, lines.top.to_mm);
    if (may_hang && std::abs(lines.top.zAt(out.station_mm) - point[2]) > kByRailMm) {
      for (Line& upright : lines.plumb) {
        const PartKind kind = model_.parts[model_.instances[upright.instance].part].kind;
        if (kind != PartKind::kPicket && std::abs(upright.fixed_mm - point[0]) < kNearUprightMm) {
          out.line = &upright;
          out.station_mm = std::clamp(point[2], upright.from_mm, upright.to_mm);
          break;
        }
      }
    }
    out.line->stations.push_back(out.station_mm);
    return out;
  }

  Guide stationGuide(const GuideLayout& guide) {
    Guide out;
    out.at =
        carried(model_.travels.at(guide.block_body)->at(drive_mm_), {guide.x_mm, 0, guide.z_mm});
    const auto on = [&](int panel, bool may_hang) {
      return holderOn(lines_[panel - 1], carried(inverse(poseOf(panel)), out.at), may_hang);
    };
    out.rail = on(guide.panel, false);
    if (guide.panel > 1) {
      out.channel = on(guide.panel - 1, true);
    }
    return out;
  }

  // ---- nodes and members

  static void mergeStations(std::vector<double>& stations) {
    std::sort(stations.begin(), stations.end());
    std::vector<double> kept;
    for (double x : stations) {
      if (kept.empty() || x - kept.back() >= kSameStationMm) {
        kept.push_back(x);
      }
    }
    stations = std::move(kept);
  }

  static int nodeAt(const Line& line, double station_mm) {
    const auto found = std::min_element(
        line.stations.begin(), line.stations.end(),
        [&](double a, double b) { return std::abs(a - station_mm) < std::abs(b - station_mm); });
    return line.nodes[found - line.stations.begin()];
  }

  void buildMembers(Line& line) {
    const Part& part = model_.parts[model_.instances[line.instance].part];
    const Section section = sectionOf(part.tube.value());
    const Metal metal = metalOf(part.material);
    for (std::size_t i = 1; i < line.nodes.size(); ++i) {
      line.members.push_back(
          member(line.nodes[i - 1], line.nodes[i], section, metal, line.instance));
    }
  }

  void buildPanel(PanelLines& lines) {
    const Pose pose = poseOf(lines.panel);
    const double y = middleY(lines.panel);
    std::vector<int>& nodes = out_.panel_nodes.emplace_back();
    const auto placed = [&](double x, double z) {
      nodes.push_back(node(carried(pose, {x, y, z})));
      return nodes.back();
    };
    for (Line* rail : {&lines.bottom, &lines.top}) {
      mergeStations(rail->stations);
      for (double x : rail->stations) {
        rail->nodes.push_back(placed(x, rail->zAt(x)));
      }
      buildMembers(*rail);
    }
    for (Line& line : lines.plumb) {
      mergeStations(line.stations);
      const std::size_t last = line.stations.size() - 1;
      for (std::size_t i = 0; i <= last; ++i) {
        const Line& rail = i == 0 ? lines.bottom : lines.top;
        line.nodes.push_back(i == 0 || i == last ? nodeAt(rail, line.fixed_mm)
                                                 : placed(line.fixed_mm, line.stations[i]));
      }
      buildMembers(line);
    }
    for (Line& slat : lines.slats) {
      for (double x : slat.stations) {
        const auto upright = std::find_if(lines.plumb.begin(), lines.plumb.end(),
                                          [&](const Line& one) { return one.fixed_mm == x; });
        slat.nodes.push_back(nodeAt(*upright, slat.zAt(x)));
      }
      buildMembers(slat);
    }
    out_.bottom_rails.push_back(lines.bottom.members);
    out_.top_rails.push_back(lines.top.members);
    standOnWheels(lines, pose);
  }

  void standOnWheels(const PanelLines& lines, const Pose& pose) {
    const PanelLayout& panel = layout_.panel(lines.panel);
    for (double x : {lines.wheels_x_mm.front(), lines.wheels_x_mm.back()}) {
      const double z = trackZ(layout_.hardware, panel, x);
      const int on_rail = nodeAt(lines.bottom, x);
      const int running = arm(on_rail, carried(pose, {x, middleY(lines.panel), z}));
      out_.frame.nodes[running].held = {false, true, true, false, false, false};
      out_.wheels.push_back({lines.panel, x == lines.wheels_x_mm.front(), running});
    }
    const int held = nodeAt(lines.bottom, along_[lines.panel - 1]);
    out_.frame.nodes[held].held[0] = true;
  }

  int buildHolder(const Holder& holder, int panel) {
    const int on_line = nodeAt(*holder.line, holder.station_mm);
    Vec3 at = carried(poseOf(panel), {holder.point[0], 0, holder.point[2]});
    at[1] = middleY(panel);
    return arm(on_line, at);
  }

  void buildGuide(const GuideLayout& guide, const Guide& placed) {
    const int rail = buildHolder(placed.rail, guide.panel);
    const int channel = placed.channel ? buildHolder(*placed.channel, guide.panel - 1)
                                       : buildGuidePost(out_.frame.nodes[rail].at);
    Metal steel = metalOf("steel");
    steel.density_kg_m3 = 0;
    const int link = member(channel, rail, stiffSection(kStiffSideMm), steel, -1);
    out_.frame.members[link].is_link = true;
    out_.blocks.push_back({guide.panel, link});
  }

  std::vector<int> fixedOf(PartKind kind) const {
    std::vector<int> found;
    for (std::size_t i = 0; i < model_.instances.size(); ++i) {
      const Instance& instance = model_.instances[i];
      if (instance.panel == 0 && model_.parts[instance.part].kind == kind &&
          model_.parts[instance.part].tube) {
        found.push_back(static_cast<int>(i));
      }
    }
    return found;
  }

  Vec3 middleOf(int instance) const {
    const Instance& one = model_.instances[instance];
    const Range x = alongX(model_, one);
    return {(x.low + x.high) / 2, (one.bounds.low[1] + one.bounds.high[1]) / 2,
            (one.bounds.low[2] + one.bounds.high[2]) / 2};
  }

  int tube(int a, int b, int instance) {
    const Part& part = model_.parts[model_.instances[instance].part];
    return member(a, b, sectionOf(part.tube.value()), metalOf("steel"), instance);
  }

  /// The node at the guide's height that holds panel 1's channel; `at` is the block's place.
  int buildGuidePost(const Vec3& at) {
    const std::vector<int> posts = fixedOf(PartKind::kGuidePost);
    const std::vector<int> arms = fixedOf(PartKind::kGuideArm);
    if (posts.empty()) {
      return buildOverhead(arms, at);
    }
    const Vec3 axis = middleOf(posts.front());
    const Vec3 top{axis[0], axis[1], at[2]};
    const int foot = node({axis[0], axis[1], model_.instances[posts.front()].bounds.low[2]});
    out_.frame.nodes[foot].held = kFast;
    const int head = node(top);
    out_.feet.push_back({posts.front(), foot, tube(foot, head, posts.front())});
    if (arms.empty()) {
      return arm(head, {at[0], axis[1], at[2]});
    }
    const int tip = node({at[0], axis[1], at[2]});
    tube(head, tip, arms.front());
    return tip;
  }

  /// Reach across the gate, header along it where there is one, drop behind it.
  int buildOverhead(const std::vector<int>& arms, const Vec3& at) {
    if (arms.empty()) {
      throw std::domain_error("nothing holds panel 1's guide");
    }
    const auto by = [&](auto less) { return *std::min_element(arms.begin(), arms.end(), less); };
    const int reach = by([&](int a, int b) {
      return model_.instances[a].bounds.low[1] < model_.instances[b].bounds.low[1];
    });
    const int drop = by([&](int a, int b) {
      return model_.instances[a].bounds.low[2] < model_.instances[b].bounds.low[2];
    });
    const Vec3 over = middleOf(reach), behind = middleOf(drop);
    const int wall = node({over[0], model_.instances[reach].bounds.low[1], over[2]});
    out_.frame.nodes[wall].held = kFast;
    int end = node({over[0], behind[1], over[2]});
    out_.feet.push_back({reach, wall, tube(wall, end, reach)});
    if (std::abs(over[0] - behind[0]) >= kSameStationMm) {
      const int beyond = node({behind[0], behind[1], over[2]});
      const auto header = std::find_if(arms.begin(), arms.end(),
                                       [&](int one) { return one != reach && one != drop; });
      header == arms.end() ? join(end, beyond) : tube(end, beyond, *header);
      end = beyond;
    }
    const int low = node({behind[0], behind[1], at[2]});
    if (reach == drop) {
      join(end, low);
    } else {
      tube(end, low, drop);
    }
    return arm(low, {at[0], behind[1], at[2]});
  }

  // ---- at the latch

  struct Receiver {
    std::string name;
    Holder holder;
    double play_mm = 0;
  };

  void stationReceivers() {
    const LatchLayout latch = latchOf(model_.spec, layout_);
    PanelLines& lines = lines_.back();
    const auto middle = [](const leafstack::ReceiverPlace& place) {
      return (place.low_z_mm + place.high_z_mm) / 2;
    };
    const double end = lines.bottom.from_mm;
    lines.bottom.stations.push_back(end);
    receivers_.push_back({"bottom receiver",
                          {&lines.bottom, end, {end, 0, middle(latch.bottom)}},
                          latch.bottom.play_mm});
    if (latch.top) {
      Line& stile = lines.plumb.front();
      const double z = std::clamp(middle(*latch.top), stile.from_mm, stile.to_mm);
      stile.stations.push_back(z);
      receivers_.push_back(
          {"top receiver", {&stile, z, {stile.fixed_mm, 0, z}}, latch.top->play_mm});
    }
  }

  /// The catch post as a column from its foot, with an arm at each receiver.
  void buildReceivers() {
    const std::vector<int> posts = fixedOf(PartKind::kCatchPost);
    if (posts.empty()) {
      return;
    }
    const Vec3 axis = middleOf(posts.front());
    int below = node({axis[0], axis[1], model_.instances[posts.front()].bounds.low[2]});
    out_.frame.nodes[below].held = kFast;
    const int foot = below;
    for (const Receiver& receiver : receivers_) {  // the lower first
      const int on_panel = buildHolder(receiver.holder, layout_.panel_count);
      const Vec3 at = out_.frame.nodes[on_panel].at;
      const int on_post = node({axis[0], axis[1], at[2]});
      const int column = tube(below, on_post, posts.front());
      if (below == foot) {
        out_.feet.push_back({posts.front(), foot, column});
      }
      out_.receivers.push_back(
          {receiver.name, on_panel, arm(on_post, {at[0], axis[1], at[2]}), receiver.play_mm});
      below = on_post;
    }
  }

  // ---- what is no member

  void addMass(int index) {
    const Instance& instance = model_.instances[index];
    const Part& part = model_.parts[instance.part];
    if (instance.panel == 0 ||
        std::find(out_.instances.begin(), out_.instances.end(), index) != out_.instances.end()) {
      return;
    }
    const PanelLines& lines = lines_[instance.panel - 1];
    const Vec3 centre = middleOf(index);
    const double height = lines.top.zAt(centre[0]) - lines.bottom.zAt(centre[0]);
    const double up = std::clamp((centre[2] - lines.bottom.zAt(centre[0])) / height, 0.0, 1.0);
    share(lines.bottom, centre[0], (1 - up) * part.massKg());
    share(lines.top, centre[0], up * part.massKg());
  }

  /// Between the joints on either side, by the lever: their centre stays where it is.
  void share(const Line& rail, double x, double mass_kg) {
    const std::vector<double>& at = rail.stations;
    std::size_t after = std::upper_bound(at.begin(), at.end(), x) - at.begin();
    after = std::clamp<std::size_t>(after, 1, at.size() - 1);
    const double step = at[after] - at[after - 1];
    const double beyond = std::clamp((x - at[after - 1]) / step, 0.0, 1.0);
    out_.frame.nodes[rail.nodes[after - 1]].mass_kg += (1 - beyond) * mass_kg;
    out_.frame.nodes[rail.nodes[after]].mass_kg += beyond * mass_kg;
  }

  const Model& model_;
  const Layout& layout_;
  const double drive_mm_;
  GateFrame out_;
  std::vector<PanelLines> lines_;
  std::vector<double> along_;
  std::vector<Guide> guides_;
  std::vector<Receiver> receivers_;
};

}  // namespace

double trackZ(const HardwareSpec& shelf, const PanelLayout& panel, double x_mm) {
  return panel.undersideZ(x_mm) -
         (shelf.wheel.running_mm / 2 - shelf.wheel.axle_up_mm) / panel.cosine();
}

GateFrame gateFrame(const Model& model, double drive_mm) {
  return Builder(model, drive_mm).run();
}

}  // namespace leafstack::frame
