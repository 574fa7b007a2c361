#include "exporters/paper/assemblies/assemblies.h"

#include <BRep_Tool.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

enum class Group {
  kNone,  ///< on sheets of other kinds
  kAttachments,
  kCladding,
  kRunningGear,
  kGuidePost,
  kCatchPost,
  kGroundBracket,
  kMotorBase,
  kEndStops,
  kTracks,
  kByNeighbour,  ///< that of what it is fixed to
};

struct GroupRow {
  Group group{};
  const char* name;
  const char* title;
};
constexpr GroupRow kGroups[] = {
    {Group::kAttachments, "attachments", "Attachments"},
    {Group::kCladding, "cladding", "Cladding"},
    {Group::kRunningGear, "running-gear", "Running gear"},
    {Group::kGuidePost, "guide-mount", "What carries the guide of panel 1"},
    {Group::kCatchPost, "catch-post", "Catch post and receivers"},
    {Group::kGroundBracket, "ground-bracket", "Ground rope bracket"},
    {Group::kMotorBase, "motor-base", "Motor and its packers"},
    {Group::kEndStops, "end-stop", "End stop"},
    {Group::kTracks, "tracks", "Tracks"}};

const char* nameOf(Group group) {
  return std::find_if(std::begin(kGroups), std::end(kGroups),
                      [&](const GroupRow& row) { return row.group == group; })
      ->name;
}

/// Where a kind belongs: on a panel, and where it does not move.
struct KindRow {
  PartKind kind{};
  Group on_panel{}, fixed{};
};
constexpr KindRow kKinds[] = {{PartKind::kBottomRail, Group::kNone, Group::kNone},
                              {PartKind::kTopRail, Group::kNone, Group::kNone},
                              {PartKind::kStile, Group::kNone, Group::kNone},
                              {PartKind::kPicket, Group::kNone, Group::kNone},
                              {PartKind::kSlat, Group::kNone, Group::kNone},
                              {PartKind::kSheet, Group::kNone, Group::kNone},
                              {PartKind::kRope, Group::kNone, Group::kNone},
                              {PartKind::kFencePost, Group::kNone, Group::kNone},
                              {PartKind::kObstacle, Group::kNone, Group::kNone},
                              {PartKind::kTrack, Group::kNone, Group::kTracks},
                              {PartKind::kTrackFlat, Group::kNone, Group::kTracks},
                              {PartKind::kTrackDowel, Group::kNone, Group::kTracks},
                              {PartKind::kFooting, Group::kNone, Group::kNone},
                              {PartKind::kBoard, Group::kCladding, Group::kNone},
                              {PartKind::kBatten, Group::kCladding, Group::kNone},
                              {PartKind::kWheel, Group::kRunningGear, Group::kNone},
                              {PartKind::kAxle, Group::kRunningGear, Group::kNone},
                              {PartKind::kAxleRing, Group::kRunningGear, Group::kNone},
                              {PartKind::kSpacer, Group::kRunningGear, Group::kNone},
                              {PartKind::kWheelCarrier, Group::kRunningGear, Group::kNone},
                              {PartKind::kWheelBolt, Group::kRunningGear, Group::kNone},
                              {PartKind::kWheelPacker, Group::kRunningGear, Group::kNone},
                              {PartKind::kTrackKeeper, Group::kRunningGear, Group::kNone},
                              {PartKind::kKeeperSaddle, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulley, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulleyPin, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulleyCheek, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulleyFlange, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulleyCover, Group::kRunningGear, Group::kNone},
                              {PartKind::kPulleyScrew, Group::kRunningGear, Group::kNone},
                              {PartKind::kTerminal, Group::kAttachments, Group::kGroundBracket},
                              {PartKind::kTerminalNut, Group::kAttachments, Group::kGroundBracket},
                              {PartKind::kGroundBracket, Group::kNone, Group::kGroundBracket},
                              {PartKind::kCatchPost, Group::kNone, Group::kCatchPost},
                              {PartKind::kCatchPlate, Group::kAttachments, Group::kCatchPost},
                              {PartKind::kReceiver, Group::kAttachments, Group::kCatchPost},
                              {PartKind::kMotor, Group::kNone, Group::kMotorBase},
                              {PartKind::kPinion, Group::kNone, Group::kMotorBase},
                              {PartKind::kMotorPacker, Group::kNone, Group::kMotorBase},
                              {PartKind::kEndStop, Group::kNone, Group::kEndStops},
                              {PartKind::kBasePlate, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kCatchBuffer, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kTubeCap, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kAnchor, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kScrew, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kWasher, Group::kByNeighbour, Group::kByNeighbour},
                              {PartKind::kNut, Group::kByNeighbour, Group::kByNeighbour}};

Group groupOf(PartKind kind, bool is_on_panel) {
  for (const KindRow& row : kKinds) {
    if (row.kind == kind) {
      return is_on_panel ? row.on_panel : row.fixed;
    }
  }
  return is_on_panel ? Group::kAttachments : Group::kGuidePost;
}

constexpr PartKind kTurned[] = {
    PartKind::kWheel,      PartKind::kAxle,        PartKind::kAxleRing,    PartKind::kSpacer,
    PartKind::kPulley,     PartKind::kPulleyPin,   PartKind::kPulleyScrew, PartKind::kWheelBolt,
    PartKind::kTerminal,   PartKind::kTerminalNut, PartKind::kPinion,      PartKind::kPivotBolt,
    PartKind::kAnchor,     PartKind::kScrew,       PartKind::kWasher,      PartKind::kNut,
    PartKind::kTrackDowel, PartKind::kRackStandoff};

bool isFixing(ContactKind kind) {
  return kind == ContactKind::kWelded || kind == ContactKind::kBolted;
}

/// Group of every instance; what goes by its neighbours takes that of the first that has one,
/// which may itself have it from another.
std::vector<Group> groupsOf(const Model& model) {
  std::vector<Group> groups;
  for (const Instance& one : model.instances) {
    groups.push_back(groupOf(model.parts[one.part].kind, one.panel > 0));
  }
  std::vector<std::pair<int, int>> joined;
  for (const Fastening& one : model.fastenings) {
    joined.emplace_back(one.screw, one.under_head);
    joined.emplace_back(one.screw, one.holds_in);
    joined.emplace_back(one.washer, one.screw);
    joined.emplace_back(one.nut, one.screw);
  }
  for (const Contact& contact : model.contacts) {
    if (isFixing(contact.kind)) {
      joined.emplace_back(contact.a, contact.b);
    }
  }
  const auto take = [&](int to, int from) {
    if (to < 0 || from < 0 || groups[to] != Group::kByNeighbour ||
        groups[from] == Group::kByNeighbour || groups[from] == Group::kNone ||
        model.instances[to].panel != model.instances[from].panel) {
      return false;
    }
    groups[to] = groups[from];
    return true;
  };
  for (bool has_changed = true; has_changed;) {
    has_changed = false;
    for (const auto& [a, b] : joined) {
      has_changed = take(a, b) || take(b, a) || has_changed;
    }
  }
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (groups[i] ==
        Group::kByNeighbour) {  // fixed to a member of a frame, or to the ground, alone
      groups[i] = model.instances[i].panel > 0 ? Group::kAttachments : Group::kEndStops;
    }
  }
  return groups;
}

bool isRail(PartKind kind) {
  return kind == PartKind::kBottomRail;
}

AssemblyFrame panelFrame(const Model& model, int number) {
  const PanelLayout& panel = model.layout.panel(number);
  const double sign = model.opening_sign;
  const double c = panel.cosine();
  const double s = panel.grade * c;
  AssemblyFrame frame;
  frame.along = {sign * c, 0, s};
  frame.up = {-sign * s, 0, c};
  frame.across = {0, 1, 0};
  const double lead = panel.leading_closed_mm;
  frame.origin = {sign * lead, panel.front_y_mm, panel.undersideZ(lead)};
  return frame;
}

/// From the lower leading corner that the saw leaves of its top rail.
AssemblyFrame topFrame(const Model& model, int number) {
  const PanelLayout& panel = model.layout.panel(number);
  const double sign = model.opening_sign;
  const double c = 1 / std::sqrt(1 + panel.top_grade * panel.top_grade);
  const double s = panel.top_grade * c;
  const double lead = panel.leading_closed_mm;
  AssemblyFrame frame;
  frame.along = {sign * c, 0, s};
  frame.up = {-sign * s, 0, c};
  frame.across = {0, 1, 0};
  frame.origin = {sign * lead, panel.front_y_mm,
                  panel.topZ(lead) - model.spec.gate.top_rail.height_mm / c};
  return frame;
}

/// Of a solid with straight edges, by these: no wider than it is, however its own frame leans.
FrameBounds boundsOfCorners(const AssemblyFrame& frame, const TopoDS_Shape& solid) {
  FrameBounds out;
  out.low.fill(std::numeric_limits<double>::infinity());
  out.high.fill(-std::numeric_limits<double>::infinity());
  for (TopExp_Explorer at(solid, TopAbs_VERTEX); at.More(); at.Next()) {
    const gp_Pnt point = BRep_Tool::Pnt(TopoDS::Vertex(at.Current()));
    const Vec3 local = frame.of({point.X(), point.Y(), point.Z()});
    for (int axis = 0; axis < 3; ++axis) {
      out.low[axis] = std::min(out.low[axis], local[axis]);
      out.high[axis] = std::max(out.high[axis], local[axis]);
    }
  }
  out.corner = out.low;
  return out;
}

/// Posts of the fence that some of the instances are screwed to.
std::vector<int> standsBehind(const Model& model, const std::vector<int>& instances) {
  std::vector<int> posts;
  for (const Fastening& one : model.fastenings) {
    const bool is_post =
        one.holds_in >= 0 &&
        model.parts[model.instances[one.holds_in].part].kind == PartKind::kFencePost;
    if (is_post && std::find(instances.begin(), instances.end(), one.screw) != instances.end() &&
        std::find(posts.begin(), posts.end(), one.holds_in) == posts.end()) {
      posts.push_back(one.holds_in);
    }
  }
  return posts;
}

/// End stops each by itself, in the order of the panels that run against them.
std::vector<std::vector<int>> eachByItself(const Model& model, const std::vector<int>& instances) {
  std::map<int, std::vector<int>> of_panel;
  for (const int i : instances) {
    const Bounds& box = model.instances[i].bounds;
    const double middle = (box.low[1] + box.high[1]) / 2;
    int nearest = 1;
    const auto offOf = [&](int panel) {
      return std::abs(model.layout.panel(panel).front_y_mm + model.layout.stack.frame_depth_mm / 2 -
                      middle);
    };
    for (int panel = 2; panel <= model.layout.panel_count; ++panel) {
      nearest = offOf(panel) < offOf(nearest) ? panel : nearest;
    }
    of_panel[nearest].push_back(i);
  }
  std::vector<std::vector<int>> all;
  for (auto& [panel, list] : of_panel) {
    all.push_back(std::move(list));
  }
  return all;
}

/// The base plate that other plates of an assembly are measured from; -1 for none.
int datumPlate(const Model& model, const std::vector<int>& instances) {
  const auto plate = std::find_if(instances.begin(), instances.end(), [&](int i) {
    return model.parts[model.instances[i].part].kind == PartKind::kBasePlate;
  });
  return plate == instances.end() ? -1 : *plate;
}

/// `grade`: of tracks, which are told along themselves.
AssemblyFrame fixedFrame(const Model& model, const std::vector<int>& instances, double grade = 0) {
  const double c = 1 / std::sqrt(1 + grade * grade);
  const double s = grade * c;
  AssemblyFrame frame;
  frame.along = {model.opening_sign * c, 0, s};
  frame.across = {0, 1, 0};
  frame.up = {-model.opening_sign * s, 0, c};
  Vec3 low;
  low.fill(std::numeric_limits<double>::infinity());
  if (instances.size() == 1) {  // its own corner, though it may lean
    frame.origin = frame.at(boundsIn(frame, model, instances.front()).corner);
    return frame;
  }
  for (const int i : instances) {
    const Vec3 corner = boundsIn(frame, model, i).low;
    for (int axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(low[axis], corner[axis]);
    }
  }
  frame.origin = frame.at(low);
  return frame;
}

}  // namespace

Vec3 AssemblyFrame::of(const Vec3& point) const {
  const Vec3 off = minus(point, origin);
  return {dot(off, along), dot(off, across), dot(off, up)};
}

Vec3 AssemblyFrame::at(const Vec3& local) const {
  return plus(plus(plus(origin, along, local[0]), across, local[1]), up, local[2]);
}

bool standsPlumb(PartKind kind) {
  return kind == PartKind::kEndStop;
}

FrameBounds boundsIn(const AssemblyFrame& frame, const Model& model, int instance) {
  const Instance& one = model.instances[instance];
  if (standsPlumb(model.parts[one.part].kind)) {
    return boundsOfCorners(frame, model.parts[one.part].solid.Moved(one.at_closed));
  }
  const Bounds& own = model.parts[one.part].bounds;
  const gp_Trsf motion = one.at_closed.Transformation();
  FrameBounds out;
  out.low.fill(std::numeric_limits<double>::infinity());
  out.high.fill(-std::numeric_limits<double>::infinity());
  double nearest = std::numeric_limits<double>::infinity();
  if (model.parts[one.part].kind == PartKind::kGuideRail) {
    // Of what is sawn aslant, the corner that the saw leaves: boxes reach past it.
    gp_XYZ saw(0, own.low[1], own.low[2]);
    motion.Transforms(saw);
    out.corner = frame.of({saw.X(), saw.Y(), saw.Z()});
    nearest = -nearest;
  }
  for (int corner = 0; corner < 8; ++corner) {
    gp_XYZ point((corner & 1) != 0 ? own.high[0] : own.low[0],
                 (corner & 2) != 0 ? own.high[1] : own.low[1],
                 (corner & 4) != 0 ? own.high[2] : own.low[2]);
    motion.Transforms(point);
    const Vec3 local = frame.of({point.X(), point.Y(), point.Z()});
    for (int axis = 0; axis < 3; ++axis) {
      out.low[axis] = std::min(out.low[axis], local[axis]);
      out.high[axis] = std::max(out.high[axis], local[axis]);
    }
    if (const double sum = local[0] + local[1] + local[2]; sum < nearest - kLengthEqualMm) {
      nearest = sum;
      out.corner = local;
    }
  }
  return out;
}

bool isTurned(PartKind kind) {
  return std::find(std::begin(kTurned), std::end(kTurned), kind) != std::end(kTurned);
}

bool isOfATrack(PartKind kind) {
  return kind == PartKind::kTrackDowel || kind == PartKind::kTrack || kind == PartKind::kTrackFlat;
}

const char* looseWords(PartKind kind) {
  switch (kind) {
    case PartKind::kMotorPacker:
      return ", loose, under the motor's feet";
    case PartKind::kWheelPacker:
      return ", loose, between carrier and rail";
    case PartKind::kChannelPacker:
      return ", behind the guide channel";
    default:
      return "";
  }
}

std::vector<Assembly> assembliesOf(const Model& model) {
  const std::vector<Group> groups = groupsOf(model);
  std::vector<Assembly> all;
  const auto add = [&](Assembly made) {
    if (made.panel > 0) {
      const PanelLayout& panel = model.layout.panel(made.panel);
      made.frame = panelFrame(model, made.panel);
      if (panel.grade != 0 || panel.top_grade != 0) {
        made.top = topFrame(model, made.panel);
        made.top_above_mm = (panel.top_z_mm - panel.underside_z_mm) / 2;
      }
    } else {
      const int plate = datumPlate(model, made.instances);
      made.datum = plate < 0 ? "" : model.parts[model.instances[plate].part].mark;
      const auto& ground = model.layout.ground;
      const bool is_tracks = made.name == nameOf(Group::kTracks);
      std::vector<int> ends = plate >= 0 ? std::vector{plate} : made.instances;
      if (is_tracks) {  // not of dowels, which reach into the slab
        std::erase_if(ends, [&](int i) {
          return model.parts[model.instances[i].part].kind == PartKind::kTrackDowel;
        });
      }
      made.frame =
          fixedFrame(model, ends, is_tracks && !ground.is_surveyed ? model.spec.site.grade : 0);
    }
    all.push_back(std::move(made));
  };
  const auto gather = [&](const GroupRow& row, int panel) {
    Assembly made;
    made.panel = panel;
    made.name = row.name;
    made.title = row.title;
    if (panel > 0) {
      made.name += "-panel-" + std::to_string(panel);
      made.title += " of panel " + std::to_string(panel);
    }
    for (int i = 0; i < static_cast<int>(groups.size()); ++i) {
      if (groups[i] == row.group && model.instances[i].panel == panel) {
        made.instances.push_back(i);
      }
    }
    if (made.instances.empty()) {
      return;
    }
    if (row.group == Group::kEndStops) {
      int number = 0;
      for (std::vector<int>& list : eachByItself(model, made.instances)) {
        Assembly one = made;
        one.instances = std::move(list);
        one.name += "-" + std::to_string(++number);
        one.title += " " + std::to_string(number);
        add(std::move(one));
      }
      return;
    }
    for (int i = 0; panel > 0 && i < static_cast<int>(groups.size()); ++i) {
      const PartKind kind = model.parts[model.instances[i].part].kind;
      const bool is_frame = groups[i] == Group::kNone && kind != PartKind::kRope;
      if (model.instances[i].panel == panel && is_frame &&
          (row.group != Group::kRunningGear || isRail(kind))) {
        made.context.push_back(i);
      }
    }
    if (row.group == Group::kGuidePost) {
      made.context = standsBehind(model, made.instances);
    }
    add(std::move(made));
  };
  for (int panel = 1; panel <= model.layout.panel_count; ++panel) {
    for (const GroupRow& row : kGroups) {
      gather(row, panel);
    }
  }
  for (const GroupRow& row : kGroups) {
    gather(row, 0);
  }
  return all;
}

}  // namespace leafstack
