// A panel's frame made again from its sheet's DXF file alone, as who makes it reads it: the list's
// rows and columns by their rules, numbers from the datum, heights between the points that they
// measure. Each member then has to lie where the solid does.
#include <gtest/gtest.h>
#include <BRep_Tool.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Vertex.hxx>
#include <gp_Pnt.hxx>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <regex>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "exporters/paper/backends/drawing_dxf.h"
#include "tests/paper/workshop/drawn_gates.h"
#include "tests/paper/workshop/dxf_words.h"

namespace leafstack {
namespace {

using dxf::Entity;

/// Everything from the frame's lower corner at the leading end: X along, Y in from the front, Z up.
struct Member {
  std::string mark;
  Vec3 low{}, high{};
};

struct ListRow {
  std::string mark, quantity, part, section, words;
};

class FrameReader {
 public:
  /// The file of the sheet, and those of the lists that go on from it.
  explicit FrameReader(const std::vector<std::string>& files) {
    for (const std::string& file : files) {
      const std::vector<Entity> all = dxf::entitiesOf(file);
      readList(all);
      if (&file == &files.front()) {
        drawing_ = all;
      }
    }
    readScale();
    readHeights();
  }

  std::vector<Member> members() const {
    std::vector<Member> all;
    const std::vector<double> along = numbers(true);
    const double rail_end = *std::max_element(along.begin(), along.end());
    const ListRow& bottom = rowOf("bottom rail");
    const ListRow& top = rowOf("top rail");
    all.push_back(between(
        bottom.mark, {0, rail_end}, depthOf(bottom.section), [&](double x) { return underside(x); },
        [&](double x) { return onRail(x); }));
    all.push_back(between(
        top.mark, {0, length_}, depthOf(top.section), [&](double x) { return underTop(x); },
        [&](double x) { return topAt(x); }));
    std::vector<double> stiles;
    for (const ListRow& row : rows_) {
      if (row.part == "stile") {
        stile_mm_ = sizeOf(row.section);
      }
    }
    for (const double at : along) {
      if (hasLine(at) && hasLine(at + stile_mm_)) {
        stiles.push_back(at);
        all.push_back(between(
            "ST", {at, at + stile_mm_}, depthOf(rowOf("stile").section),
            [&](double x) { return onRail(x); }, [&](double x) { return underTop(x); }));
      }
    }
    addInfill(all, stiles);
    return all;
  }

  const std::vector<ListRow>& rows() const { return rows_; }

 private:
  using Height = std::function<double(double)>;

  static Member between(const std::string& mark, const std::array<double, 2>& along, double depth,
                        const Height& low, const Height& high) {
    Member one{mark,
               {along[0], 0, std::min(low(along[0]), low(along[1]))},
               {along[1], depth, std::max(high(along[0]), high(along[1]))}};
    return one;
  }

  const ListRow& rowOf(const std::string& part) const {
    for (const ListRow& row : rows_) {
      if (row.part == part) {
        return row;
      }
    }
    throw std::runtime_error("no " + part + " in the list");
  }

  static std::array<double, 2> sizesOf(const std::string& section) {
    static const std::regex kSizes("[RS]HS ([0-9.]+)x([0-9.]+)x.*");
    std::smatch sizes;
    if (!std::regex_match(section, sizes, kSizes)) {
      throw std::runtime_error("section " + section);
    }
    return {std::stod(sizes[1]), std::stod(sizes[2])};
  }
  static double sizeOf(const std::string& section) { return sizesOf(section)[0]; }
  static double depthOf(const std::string& section) { return sizesOf(section)[1]; }

  /// Rows by the level rules of the table, columns by the places of its heads.
  void readList(const std::vector<Entity>& all) {
    const auto head = [&](const char* words) {
      const auto found = std::find_if(all.begin(), all.end(), [&](const Entity& one) {
        return one.kind == "TEXT" && one.text == words;
      });
      return found == all.end() ? nullptr : &*found;
    };
    const Entity* first = head("mark");
    if (first == nullptr || head("cut-outs and checks") == nullptr) {
      return;
    }
    const auto isRule = [](const Entity& one) {
      return one.kind == "LINE" && (one.layer == "TABLE" || one.layer == "VISIBLE");
    };
    std::vector<double> uprights, levels;
    for (const Entity& one : all) {
      if (isRule(one) && one.y == one.y1 && std::abs(std::min(one.x, one.x1) - first->x) < 2) {
        levels.push_back(one.y);
      }
    }
    std::sort(levels.rbegin(), levels.rend());
    levels.erase(std::unique(levels.begin(), levels.end()), levels.end());
    for (const Entity& one : all) {
      if (isRule(one) && one.x == one.x1 && std::max(one.y, one.y1) == levels.front()) {
        uprights.push_back(one.x);
      }
    }
    std::sort(uprights.begin(), uprights.end());
    for (std::size_t r = 1; r + 1 < levels.size(); ++r) {
      std::vector<std::string> cells(uprights.size());
      std::vector<const Entity*> inside;
      for (const Entity& one : all) {
        if (one.kind == "TEXT" && one.y < levels[r] && one.y > levels[r + 1] &&
            one.x > uprights.front() && one.x < uprights.back()) {
          inside.push_back(&one);
        }
      }
      std::stable_sort(inside.begin(), inside.end(),
                       [](const Entity* a, const Entity* b) { return a->y > b->y; });
      for (const Entity* one : inside) {
        const auto column = std::upper_bound(uprights.begin(), uprights.end(), one->x);
        std::string& cell = cells.at(static_cast<std::size_t>(column - uprights.begin()) - 1);
        cell += (cell.empty() ? "" : " ") + one->text;
      }
      rows_.push_back({cells.at(0), cells.at(1), cells.at(2), cells.at(3), cells.at(6)});
    }
  }

  /// Where the datum is, which way numbers grow and at what scale, by the row of numbers along.
  void readScale() {
    // Of the line of each number the end nearest to the view.
    const Entity* title = nullptr;
    for (const Entity& one : drawing_) {
      if (one.kind == "TEXT" && std::regex_match(one.text, std::regex("1:[0-9]+"))) {
        title = &one;
      }
      if (one.kind == "CIRCLE" && one.layer == "DIMENSION") {
        datum_.push_back(&one);
      }
    }
    if (title == nullptr || datum_.empty()) {
      throw std::runtime_error("no scale, or no datum");
    }
    scale_ = std::stod(title->text.substr(2));
    // The datum of the row below is the lower circle.
    const auto lower = [](const Entity* a, const Entity* b) { return a->y < b->y; };
    zero_x_ = (*std::min_element(datum_.begin(), datum_.end(), lower))->x;
    double sum = 0;
    for (const Entity& one : drawing_) {
      sum += isNumber(one, true) ? one.x - zero_x_ : 0;
    }
    sense_ = sum > 0 ? 1 : -1;
  }

  static bool isNumber(const Entity& one, bool is_along) {
    return one.kind == "TEXT" && one.layer == "DIMENSION" &&
           (std::abs(one.turned_deg - 90) < 1) == is_along;
  }

  std::vector<double> numbers(bool is_along) const {
    std::vector<double> all;
    for (const Entity& one : drawing_) {
      if (isNumber(one, is_along)) {
        all.push_back(std::stod(one.text));
      }
    }
    std::sort(all.begin(), all.end());
    return all;
  }

  /// Whether a frame member's upright edge is drawn there.
  bool hasLine(double along) const {
    constexpr double kPaperMm = 0.02;
    const double x = zero_x_ + sense_ * along / scale_;
    return std::any_of(drawing_.begin(), drawing_.end(), [&](const Entity& one) {
      return one.kind == "LINE" && one.layer == "VISIBLE" && std::abs(one.x - x) < kPaperMm &&
             std::abs(one.x1 - x) < kPaperMm;
    });
  }

  /// Of rails at the leading end, of the whole at the trailing end, and the rake.
  void readHeights() {
    const ListRow& stile = rowOf("stile");
    const std::vector<double> along = numbers(true);
    // The frame ends with its last stile.
    for (const double at : along) {
      if (hasLine(at) && hasLine(at - sizeOf(stile.section))) {
        length_ = at;
      }
    }
    if (length_ == 0) {
      throw std::runtime_error("no end of the frame");
    }
    std::vector<const Entity*> near, far;
    for (const Entity& one : drawing_) {
      if (one.kind == "DIMENSION") {
        (std::abs(one.x1 - zero_x_) < std::abs(one.x1 - zero_x_ - sense_ * length_ / scale_) ? near
                                                                                             : far)
            .push_back(&one);
      }
    }
    static const std::regex kNumber("(rake )?([0-9.]+)( at [0-9.]+)?");
    for (const Entity* one : far) {
      std::smatch number;
      if (!std::regex_match(one->text, number, kNumber)) {
        continue;
      }
      const double value = std::stod(number[2]);
      if (number[1].matched) {
        // From the level of the leading corner: whether it rises is where its own corner lies.
        const bool first_is_corner = isLevelOfOther(far, *one);
        const double corner = first_is_corner ? one->y1 : one->y2;
        const double level = first_is_corner ? one->y2 : one->y1;
        rake_ = corner > level ? value : -value;
      } else {
        far_height_ = value;
      }
    }
    if (!near.empty()) {
      std::sort(near.begin(), near.end(), [](const Entity* a, const Entity* b) {
        return std::pair(std::min(a->y1, a->y2), std::abs(a->y1 - a->y2)) <
               std::pair(std::min(b->y1, b->y2), std::abs(b->y1 - b->y2));
      });
      rail_ = std::stod(near.at(0)->text);
      near_height_ = std::stod(near.at(1)->text);
      under_top_ = rail_ + std::stod(near.at(2)->text);
    } else {
      // Slats: one row of numbers up, of which the last are the top rail's.
      const std::vector<double> up = numbers(false);
      near_height_ = up.at(up.size() - 1);
      under_top_ = up.at(up.size() - 2);
      rail_ = up.at(1);
    }
  }

  /// Whether a rake's first point is the corner that the height beside it is measured from too.
  static bool isLevelOfOther(const std::vector<const Entity*>& far, const Entity& rake) {
    return std::any_of(far.begin(), far.end(), [&](const Entity* one) {
      return one != &rake &&
             (std::abs(one->y1 - rake.y1) < 0.01 || std::abs(one->y2 - rake.y1) < 0.01);
    });
  }

  double underside(double x) const { return rake_ * x / length_; }
  double onRail(double x) const { return underside(x) + rail_; }
  double topAt(double x) const {
    return near_height_ + (rake_ + far_height_ - near_height_) * x / length_;
  }
  double underTop(double x) const { return topAt(x) - (near_height_ - under_top_); }

  /// Runs of places, and how far the infill lies behind the frame's front.
  void addInfill(std::vector<Member>& all, const std::vector<double>& stiles) const {
    static const std::regex kIn("([0-9.]+) in from the front");
    static const std::regex kPlace(
        "(?:near edges )?(lower edges up )?(([0-9]+) from )?([-0-9.]+)( every [0-9.]+, last "
        "([-0-9.]+))?(?:, measured level .*)?");
    const auto found = std::find_if(rows_.begin(), rows_.end(),
                                    [](const ListRow& row) { return row.part == "infill"; });
    const auto member = std::find_if(rows_.begin(), rows_.end(), [](const ListRow& row) {
      return row.part == "picket" || row.part == "slat";
    });
    if (found == rows_.end() || member == rows_.end()) {
      return;
    }
    const std::array<double, 2> size = sizesOf(member->section);
    double in = -1;
    std::istringstream words(found->words);
    for (std::string piece; std::getline(words, piece, ';');) {
      piece.erase(0, piece.find_first_not_of(' '));
      std::smatch run;
      if (std::regex_match(piece, run, kIn)) {
        in = std::stod(run[1]);
      }
    }
    words.clear();
    words.seekg(0);
    bool is_up = false;
    for (std::string piece; std::getline(words, piece, ';');) {
      piece.erase(0, piece.find_first_not_of(' '));
      std::smatch run;
      if (!std::regex_match(piece, run, kPlace)) {
        continue;
      }
      is_up = is_up || run[1].matched;
      const int count = run[3].matched ? std::stoi(run[3]) : 1;
      const double first = std::stod(run[4]);
      const double last = run[6].matched ? std::stod(run[6]) : first;
      for (int i = 0; i < count; ++i) {
        const double at = count > 1 ? first + (last - first) * i / (count - 1) : first;
        if (is_up) {
          addSlats(all, stiles, at, size, in);
        } else {
          all.push_back(between(
              "PK", {at, at + size[0]}, 0, [&](double x) { return onRail(x); },
              [&](double x) { return underTop(x); }));
          all.back().low[1] = in;
          all.back().high[1] = in + size[1];
        }
      }
    }
  }

  /// One in each bay, as the list has their number.
  void addSlats(std::vector<Member>& all, const std::vector<double>& stiles, double up,
                const std::array<double, 2>& size, double in) const {
    for (std::size_t bay = 0; bay + 1 < stiles.size(); ++bay) {
      Member one{"SL", {stiles[bay] + stile_mm_, in, 0}, {stiles[bay + 1], in + size[1], 0}};
      const double a = up + underside(one.low[0]);
      const double b = up + underside(one.high[0]);
      one.low[2] = std::min(a, b);
      one.high[2] = std::max(a, b) + size[0];
      all.push_back(one);
    }
  }

  std::vector<Entity> drawing_;
  std::vector<ListRow> rows_;
  std::vector<const Entity*> datum_;
  double scale_ = 1, zero_x_ = 0, sense_ = 1, length_ = 0;
  mutable double stile_mm_ = 0;
  double rail_ = 0, under_top_ = 0, near_height_ = 0, far_height_ = 0, rake_ = 0;
};

/// Around the solid's corners: a plumb end of a sloping tube has its own there.
Bounds boundsOf(const Part& part, const Instance& instance) {
  Bounds bounds;
  bounds.low.fill(1e9);
  bounds.high.fill(-1e9);
  for (TopExp_Explorer corner(part.solid, TopAbs_VERTEX); corner.More(); corner.Next()) {
    gp_Pnt at = BRep_Tool::Pnt(TopoDS::Vertex(corner.Current()));
    at.Transform(instance.at_closed.Transformation());
    for (int axis = 0; axis < 3; ++axis) {
      bounds.low[axis] = std::min(bounds.low[axis], at.Coord(axis + 1));
      bounds.high[axis] = std::max(bounds.high[axis], at.Coord(axis + 1));
    }
  }
  return bounds;
}

/// Each from the solid's bounds.
std::vector<Member> solidsOf(const Model& model, const PanelLayout& panel) {
  std::vector<Member> all;
  for (const Instance& one : model.instances) {
    const Part& part = model.parts[one.part];
    const bool is_member = part.kind == PartKind::kBottomRail || part.kind == PartKind::kTopRail ||
                           part.kind == PartKind::kStile || part.kind == PartKind::kPicket ||
                           part.kind == PartKind::kSlat;
    if (one.panel != panel.number || !is_member) {
      continue;
    }
    const Bounds bounds = boundsOf(part, one);
    const double sign = model.opening_sign;
    const double a = sign * bounds.low[0] - panel.leading_closed_mm;
    const double b = sign * bounds.high[0] - panel.leading_closed_mm;
    const double z = panel.undersideZ(panel.leading_closed_mm);
    all.push_back({part.mark,
                   {std::min(a, b), bounds.low[1] - panel.front_y_mm, bounds.low[2] - z},
                   {std::max(a, b), bounds.high[1] - panel.front_y_mm, bounds.high[2] - z}});
  }
  return all;
}

double offBy(const Member& a, const Member& b) {
  double off = a.mark.substr(0, 2) == b.mark.substr(0, 2) ? 0 : 1e9;
  for (int axis = 0; axis < 3; ++axis) {
    off =
        std::max({off, std::abs(a.low[axis] - b.low[axis]), std::abs(a.high[axis] - b.high[axis])});
  }
  return off;
}

TEST(FrameSheets, EveryMemberIsRebuiltFromTheDxfAlone) {
  constexpr double kHalfDigitMm = 0.05;
  int rebuilt = 0;
  double worst = 0;
  for (const sheets::DrawnGate& gate : sheets::drawnGates()) {
    for (const PanelLayout& panel : gate.model.layout.panels) {
      const std::string name = "frame-panel-" + std::to_string(panel.number);
      std::vector<std::string> files;
      for (const Sheet& sheet : gate.sheets) {
        if (sheet.name == name) {
          files.insert(files.begin(), drawingDxf(sheet));
        } else if (sheet.name.rfind(name + "-list", 0) == 0) {
          files.push_back(drawingDxf(sheet));
        }
      }
      const FrameReader reader(files);
      const std::vector<Member> made = reader.members();
      const std::vector<Member> solids = solidsOf(gate.model, panel);
      EXPECT_EQ(made.size(), solids.size()) << name;
      for (const Member& solid : solids) {
        double off = 1e9;
        Member nearest;
        for (const Member& one : made) {
          if (offBy(one, solid) < off) {
            off = offBy(one, solid);
            nearest = one;
          }
        }
        EXPECT_LE(off, kHalfDigitMm + 1e-6)
            << gate.model.spec.site.opening_mm << ' ' << name << ' ' << solid.mark << " x "
            << solid.low[0] << ".." << solid.high[0] << " y " << solid.low[1] << ".."
            << solid.high[1] << " z " << solid.low[2] << ".." << solid.high[2] << ", made x "
            << nearest.low[0] << ".." << nearest.high[0] << " y " << nearest.low[1] << ".."
            << nearest.high[1] << " z " << nearest.low[2] << ".." << nearest.high[2];
        worst = std::max(worst, off);
        ++rebuilt;
      }
    }
  }
  RecordProperty("members", rebuilt);
  EXPECT_GT(rebuilt, 250);
  EXPECT_GT(worst, 0.001) << "numbers are rounded: what agrees better was not read from them";
}

}  // namespace
}  // namespace leafstack
