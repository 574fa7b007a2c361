// A built gate on surveyed ground, sampled position by position with nothing of the program's own:
// the meshes of its GLB, poses by a two-wheel solver of its own on a spline of its own, crossings
// by the Flexible Collision Library (Pan, Chitta, Manocha, ICRA 2012; version 0.7).
//
//   rides GATE.json DIR POSITIONS     DIR as `build --only glb,report` writes it
//
// Prints a line of JSON: the report's verdict, pairs and positions looked at, the crossings that no
// finding tells of. Ropes, which change their shape, and guide blocks, which float on bodies of
// their own, are left out; so are pairs of marks with a designed contact. FCL knows surfaces only.
#include <fcl/broadphase/broadphase_dynamic_AABB_tree.h>
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/collision.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

namespace {

using Json = nlohmann::json;
using Mesh = fcl::BVHModel<fcl::OBBRSSd>;
using Place = fcl::Transform3d;

std::string bytesOf(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

template <class Number>
Number numberAt(const std::string& bytes, std::size_t at) {
  Number number;
  std::memcpy(&number, bytes.data() + at, sizeof number);
  return number;
}

/// Natural cubic spline by its second derivatives (Thomas' algorithm), straight beyond its ends.
class Spline {
 public:
  explicit Spline(const Json& points) {
    for (const Json& point : points) {
      x_.push_back(point.at(0));
      z_.push_back(point.at(1));
    }
    const std::size_t n = x_.size();
    m_.assign(n, 0);
    std::vector<double> c(n, 0), d(n, 0);
    for (std::size_t i = 1; i + 1 < n; ++i) {
      const double h0 = x_[i] - x_[i - 1], h1 = x_[i + 1] - x_[i];
      const double right = 6 * ((z_[i + 1] - z_[i]) / h1 - (z_[i] - z_[i - 1]) / h0);
      const double pivot = 2 * (h0 + h1) - h0 * c[i - 1];
      c[i] = h1 / pivot;
      d[i] = (right - h0 * d[i - 1]) / pivot;
    }
    for (std::size_t i = n - 1; i-- > 1;) {
      m_[i] = d[i] - c[i] * m_[i + 1];
    }
  }

  /// Height and slope.
  std::array<double, 2> at(double x) const {
    const double inside = std::clamp(x, x_.front(), x_.back());
    std::size_t i = 0;
    while (i + 2 < x_.size() && x_[i + 1] < inside) {
      ++i;
    }
    const double h = x_[i + 1] - x_[i], a = (x_[i + 1] - inside) / h, b = 1 - a;
    const double z = a * z_[i] + b * z_[i + 1] +
                     ((a * a * a - a) * m_[i] + (b * b * b - b) * m_[i + 1]) * h * h / 6;
    const double slope =
        (z_[i + 1] - z_[i]) / h + ((3 * b * b - 1) * m_[i + 1] - (3 * a * a - 1) * m_[i]) * h / 6;
    return {z + slope * (x - inside), slope};
  }

 private:
  std::vector<double> x_, z_, m_;
};

using Point = std::array<double, 2>;

/// Where a wheel's centre is that touches the line at X, `off` square to it.
Point centreAbove(const Spline& line, double x, double off) {
  const auto [z, slope] = line.at(x);
  const double long_ = std::hypot(1, slope);
  return {x - off * slope / long_, z + off / long_};
}

template <class Function>
double root(double low, double high, const Function& rising) {
  for (int i = 0; i < 80; ++i) {
    const double middle = (low + high) / 2;
    (rising(middle) < 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

/// A panel on its line: its wheels' centres when closed, and how far they stand off the line.
struct Panel {
  const Spline* line = nullptr;
  Point leading{}, trailing{};
  double off = 0, speed = 1;

  double offOf(const Point& centre) const {
    const double x = root(centre[0] - 500, centre[0] + 500, [&](double at) {
      const auto [z, slope] = line->at(at);
      return (at - centre[0]) + slope * (z - centre[1]);  // foot of the square
    });
    return std::hypot(x - centre[0], line->at(x)[0] - centre[1]);
  }

  /// `ahead`: mm of X beyond its share of the travel.
  Place placeAt(double drive, double ahead) const {
    const double base = std::hypot(trailing[0] - leading[0], trailing[1] - leading[1]);
    const double to = leading[0] + speed * drive + ahead;
    const double touch =
        root(to - 500, to + 500, [&](double x) { return centreAbove(*line, x, off)[0] - to; });
    const Point lead = centreAbove(*line, touch, off);
    const double other = root(touch + base / 2, touch + base * 1.5, [&](double x) {
      const Point trail = centreAbove(*line, x, off);
      return std::hypot(trail[0] - lead[0], trail[1] - lead[1]) - base;
    });
    const Point trail = centreAbove(*line, other, off);
    const double turn = std::atan2(trail[1] - lead[1], trail[0] - lead[0]) -
                        std::atan2(trailing[1] - leading[1], trailing[0] - leading[0]);
    const double c = std::cos(turn), s = std::sin(turn);
    Place place = Place::Identity();
    place.linear() << c, 0, -s, 0, 1, 0, s, 0, c;
    place.translation() << lead[0] - (c * leading[0] - s * leading[1]), 0,
        lead[1] - (s * leading[0] + c * leading[1]);
    return place;
  }
};

/// From a terminal on the front panel round a pulley to a terminal on what is behind.
struct Rope {
  Point front{}, pulley{}, rear{};

  double length(const Place& in_front, const Place& carrier, const Place& behind) const {
    const auto at = [](const Place& place, const Point& point) -> fcl::Vector3d {
      return place * fcl::Vector3d(point[0], 0, point[1]);
    };
    const fcl::Vector3d round = at(carrier, pulley);
    return (at(in_front, front) - round).norm() + (at(behind, rear) - round).norm();
  }
};

/// The upper one, which opens, rounds the trailing pulley.
struct Ropes {
  Rope opening, closing;

  double difference(const std::vector<Place>& places, int carrier) const {
    return opening.length(places[carrier + 1], places[carrier], places[carrier - 1]) -
           closing.length(places[carrier + 1], places[carrier], places[carrier - 1]);
  }
};

struct Item {
  std::string mark;
  int panel = 0;
  std::shared_ptr<Mesh> mesh;
  std::array<double, 3> middle{};  ///< of its bounds
  std::unique_ptr<fcl::CollisionObjectd> object;
};

class Glb {
 public:
  explicit Glb(const std::string& bytes, bool mirrored) : bytes_(bytes), mirrored_(mirrored) {
    const auto length = numberAt<std::uint32_t>(bytes, 12);
    json_ = Json::parse(bytes.substr(20, length));
    binary_ = 20 + length + 8;
  }

  std::vector<Item> items() const {
    std::vector<Item> all;
    for (const Json& node : json_.at("nodes")) {
      const std::string name = node.at("name");
      if (name.size() == 2 && name[0] == 'P' && node.contains("children")) {
        for (const Json& child : node.at("children")) {
          all.push_back(itemOf(listed("nodes", child), name[1] - '0'));
        }
      }
    }
    return all;
  }

 private:
  Item itemOf(const Json& node, int panel) const {
    Item item;
    const std::string name = node.at("name");
    item.mark = name.substr(0, name.find('.'));
    item.panel = panel;
    Eigen::Affine3d at = Eigen::Affine3d::Identity();
    if (node.contains("translation")) {
      const auto& t = node.at("translation");
      at.translate(Eigen::Vector3d(t[0], t[1], t[2]));
    }
    if (node.contains("rotation")) {
      const auto& r = node.at("rotation");
      at.rotate(Eigen::Quaterniond(r[3], r[0], r[1], r[2]));
    }
    std::vector<fcl::Vector3d> points;
    std::vector<fcl::Triangle> triangles;
    Eigen::AlignedBox3d box;
    for (const Json& primitive : listed("meshes", node.at("mesh")).at("primitives")) {
      const std::size_t before = points.size();
      const Json& positions = listed("accessors", primitive.at("attributes").at("POSITION"));
      const std::size_t from = startOf(positions);
      for (std::size_t i = 0; i < positions.at("count"); ++i) {
        Eigen::Vector3d p;
        for (int axis = 0; axis < 3; ++axis) {
          p[axis] = numberAt<float>(bytes_, from + 12 * i + 4 * axis);
        }
        p = at * p * 1000;
        points.emplace_back(mirrored_ ? -p[0] : p[0], -p[2], p[1]);
        box.extend(points.back());
      }
      const Json& indices = listed("accessors", primitive.at("indices"));
      const int type = indices.at("componentType");  // 5121: bytes, 5123: shorts, 5125: words
      const std::size_t start = startOf(indices);
      std::array<std::size_t, 3> corner{};
      for (std::size_t i = 0; i < indices.at("count"); ++i) {
        corner[i % 3] = before + (type == 5121   ? numberAt<std::uint8_t>(bytes_, start + i)
                                  : type == 5123 ? numberAt<std::uint16_t>(bytes_, start + 2 * i)
                                                 : numberAt<std::uint32_t>(bytes_, start + 4 * i));
        if (i % 3 == 2) {
          triangles.emplace_back(corner[0], corner[1], corner[2]);
        }
      }
    }
    item.mesh = std::make_shared<Mesh>();
    item.mesh->beginModel();
    item.mesh->addSubModel(points, triangles);
    item.mesh->endModel();
    const Eigen::Vector3d middle = box.center();
    item.middle = {middle[0], middle[1], middle[2]};
    item.object = std::make_unique<fcl::CollisionObjectd>(item.mesh);
    return item;
  }

  const Json& listed(const char* list, const Json& index) const {
    return json_.at(list).at(index.get<std::size_t>());
  }

  std::size_t startOf(const Json& accessor) const {
    const Json& view = listed("bufferViews", accessor.at("bufferView"));
    return binary_ + view.value("byteOffset", 0) + accessor.value("byteOffset", 0);
  }

  const std::string& bytes_;
  bool mirrored_;
  Json json_;
  std::size_t binary_ = 0;
};

using Who = std::pair<std::string, int>;
using Pair = std::pair<Who, Who>;

Pair pairOf(const Json& row) {
  const Who a{row.at("a").at("mark"), row.at("a").at("panel")};
  const Who b{row.at("b").at("mark"), row.at("b").at("panel")};
  return std::minmax(a, b);
}

struct Looking {
  const std::set<Pair>* declared = nullptr;
  std::set<std::pair<const Item*, const Item*>> pairs;
  std::map<Pair, std::vector<double>> crossed;
  double drive = 0;
};

bool look(fcl::CollisionObjectd* one, fcl::CollisionObjectd* other, void* data) {
  Looking& looking = *static_cast<Looking*>(data);
  const Item* a = static_cast<Item*>(one->getUserData());
  const Item* b = static_cast<Item*>(other->getUserData());
  const Pair pair = std::minmax(Who{a->mark, a->panel}, Who{b->mark, b->panel});
  if (looking.declared->contains(pair)) {
    return false;
  }
  looking.pairs.insert({a, b});
  fcl::CollisionResultd result;
  if (fcl::collide(one, other, fcl::CollisionRequestd(), result) > 0) {
    looking.crossed[pair].push_back(looking.drive);
  }
  return false;
}

bool isLeftOut(const Json& report, const std::string& mark) {
  for (const Json& part : report.at("parts")) {
    if (part.at("mark") == mark) {
      const std::string name = part.at("name");
      return name == "opening rope" || name == "closing rope" ||
             name.find("block") != std::string::npos || name.find("jaw") != std::string::npos;
    }
  }
  return false;
}

/// Middles of what has a mark that begins so on a panel, from the latch on, lower ones of two alike
/// first.
std::vector<Point> middlesOf(const std::vector<Item>& items, const std::string& begins, int panel) {
  std::vector<Point> all;
  for (const Item& item : items) {
    if (item.panel == panel && item.mark.starts_with(begins)) {
      all.push_back({item.middle[0], item.middle[2]});
    }
  }
  std::sort(all.begin(), all.end());
  return all;
}

/// Of a carrier: two pulleys, and two terminals, one over the other, at either end.
Ropes ropesOf(const std::vector<Item>& items, int carrier) {
  const std::vector<Point> pulleys = middlesOf(items, "PU", carrier);
  const std::vector<Point> in_front = middlesOf(items, "TE", carrier + 1);
  const std::vector<Point> behind = middlesOf(items, "TE", carrier - 1);
  const auto byHeight = [](const Point& p, const Point& q) {
    return p[1] < q[1] ? std::pair(p, q) : std::pair(q, p);
  };
  // What holds the next panel's ropes stands at the leading end, this carrier's at the trailing
  // one.
  const auto [front_low, front_high] = byHeight(in_front.end()[-2], in_front.end()[-1]);
  const auto [rear_low, rear_high] = byHeight(behind.at(0), behind.at(1));
  return {{front_high, pulleys.back(), rear_high}, {front_low, pulleys.front(), rear_low}};
}

/// Every panel where both of its ropes are off their length at closed by as much.
std::vector<Place> placesAt(const std::vector<Panel>& panels, const std::vector<Ropes>& ropes,
                            double drive) {
  const std::vector<Place> closed(panels.size() + 1, Place::Identity());
  std::vector<Place> places = closed;
  places[1] = panels[0].placeAt(drive, 0);
  for (std::size_t k = 1; k < panels.size(); ++k) {
    const int carrier = static_cast<int>(k);
    double ahead = 0;
    for (int round = 0; round < 6; ++round) {
      places[k + 1] = panels[k].placeAt(drive, ahead);
      const Ropes& own = ropes[k - 1];
      ahead += (own.difference(places, carrier) - own.difference(closed, carrier)) / 2;
    }
  }
  return places;
}

int ride(const std::string& gate_path, const std::string& folder, int positions) {
  const Json gate = Json::parse(bytesOf(gate_path));
  const Json report = Json::parse(bytesOf(folder + "/report.json"));
  const std::string glb = bytesOf(folder + "/gate.glb");
  const bool left = gate.at("site").value("opens", "right") == "left";
  std::vector<Item> items = Glb(glb, left).items();
  const Json& survey = gate.at("site").at("track_survey_mm");
  const bool many = survey.at(0).at(0).is_array();
  const int count = report.at("layout").at("panels").size();
  std::vector<Spline> lines;
  for (int k = 0; k < count; ++k) {
    lines.emplace_back(many ? survey.at(k) : survey);
  }
  // Heights count from where the front line is 0.
  const double datum = lines.back().at(0)[0];
  lines.clear();
  for (int k = 0; k < count; ++k) {
    Json points = many ? survey.at(k) : survey;
    for (Json& point : points) {
      point[1] = point[1].get<double>() - datum;
    }
    lines.emplace_back(points);
  }
  std::vector<Panel> panels(count);
  double worst_off = 0;
  for (int k = 0; k < count; ++k) {
    Panel& panel = panels[k];
    panel.line = &lines[k];
    panel.speed = report.at("layout").at("panels").at(k).at("speed_ratio");
    std::vector<Point> wheels;
    for (const Item& item : items) {
      if (item.panel == k + 1 && item.mark.starts_with("WH")) {
        wheels.push_back({item.middle[0], item.middle[2]});
      }
    }
    std::sort(wheels.begin(), wheels.end());
    panel.leading = wheels.front();
    panel.trailing = wheels.back();
    panel.off = panel.offOf(panel.leading);
    worst_off = std::max(worst_off, std::abs(panel.off - panel.offOf(panel.trailing)));
  }
  std::vector<Ropes> ropes;
  for (int k = 1; k < count; ++k) {
    ropes.push_back(ropesOf(items, k));
  }
  std::set<Pair> declared;
  for (const Json& row : report.at("clash").at("designed_contacts")) {
    declared.insert(pairOf(row));
  }
  std::vector<std::unique_ptr<fcl::DynamicAABBTreeCollisionManagerd>> managers;
  for (int k = 0; k <= count; ++k) {
    managers.push_back(std::make_unique<fcl::DynamicAABBTreeCollisionManagerd>());
  }
  for (Item& item : items) {
    item.object->setUserData(&item);
    item.object->computeAABB();
    if (!isLeftOut(report, item.mark)) {
      managers[item.panel]->registerObject(item.object.get());
    }
  }
  for (auto& manager : managers) {
    manager->setup();
  }
  Looking looking;
  looking.declared = &declared;
  const double travel = report.at("layout").at("drive_travel_mm");
  for (int i = 0; i <= positions; ++i) {
    looking.drive = travel * i / positions;
    const std::vector<Place> places = placesAt(panels, ropes, looking.drive);
    for (Item& item : items) {
      item.object->setTransform(places[item.panel]);
      item.object->computeAABB();
    }
    for (int k = 1; k <= count; ++k) {
      managers[k]->update();
    }
    for (int p = 0; p <= count; ++p) {
      for (int q = p + 1; q <= count; ++q) {
        managers[p]->collide(managers[q].get(), &looking, look);
      }
    }
  }
  // A pose of its own against the report's, where it gives one.
  double pose_off = 0, x_off = 0;
  const std::vector<Place> open_places = placesAt(panels, ropes, travel);
  for (int k = 0; k < count; ++k) {
    const Json& row = report.at("layout").at("panels").at(k);
    if (row.contains("open_motion")) {
      const Place& open = open_places[k + 1];
      const Json& told = row.at("open_motion");
      // Of the panel's leading end when closed.
      pose_off = std::max(
          pose_off,
          std::abs(std::atan2(open(2, 0), open(0, 0)) - told.at("turn_rad").get<double>()) * 1000);
      x_off = std::max(x_off, std::abs(open(0, 3) - told.at("x_mm").get<double>()));
    }
  }
  std::map<Pair, bool> found;
  std::size_t open = 0;
  for (const Json& finding : report.at("clash").at("findings")) {
    found[pairOf(finding)] = true;
    open += finding.at("class") == "unresolved";
  }
  Json missed = Json::array(), seen = Json::array();
  for (const auto& [pair, where] : looking.crossed) {
    const Json row = {{"a", pair.first.first},    {"a_panel", pair.first.second},
                      {"b", pair.second.first},   {"b_panel", pair.second.second},
                      {"from_mm", where.front()}, {"to_mm", where.back()}};
    (found.contains(pair) ? seen : missed).push_back(row);
  }
  std::cout << Json{{"verdict", report.at("clash").at("verdict")},
                    {"unresolved", open},
                    {"pairs", looking.pairs.size()},
                    {"positions", positions + 1},
                    {"wheels_off_mm", worst_off},
                    {"turn_off_mrad", pose_off},
                    {"x_off_mm", x_off},
                    {"seen", seen},
                    {"missed", missed}}
                   .dump()
            << "\n";
  return missed.empty() ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::cerr << "rides GATE.json DIR POSITIONS\n";
    return 2;
  }
  return ride(argv[1], argv[2], std::stoi(argv[3]));
}
