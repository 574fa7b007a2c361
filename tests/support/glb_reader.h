// A reader of GLB files for the tests, from the format's description alone.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "generator/geometry/vec.h"
#include "generator/model/model.h"

namespace leafstack::glb {

using nlohmann::json;
using Vec = Vec3;

struct Box {
  Vec low = {1e9, 1e9, 1e9}, high = {-1e9, -1e9, -1e9};
  void add(const Vec& p) {
    for (int axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(low[axis], p[axis]);
      high[axis] = std::max(high[axis], p[axis]);
    }
  }
};

/// Model's bounds, mm and Z up, as glTF's: metres, Y up.
inline Box gltfBox(const Bounds& mm) {
  return {{mm.low[0] / 1000, mm.low[2] / 1000, -mm.high[1] / 1000},
          {mm.high[0] / 1000, mm.high[2] / 1000, -mm.low[1] / 1000}};
}

inline void expectNear(const Box& found, const Box& expected, double within_mm,
                       const std::string& what) {
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(found.low[axis], expected.low[axis], within_mm / 1000) << what << ", axis " << axis;
    EXPECT_NEAR(found.high[axis], expected.high[axis], within_mm / 1000)
        << what << ", axis " << axis;
  }
}

inline void expectWithin(const Box& inner, const Box& outer, double slack_mm,
                         const std::string& what) {
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_GE(inner.low[axis], outer.low[axis] - slack_mm / 1000) << what << ", axis " << axis;
    EXPECT_LE(inner.high[axis], outer.high[axis] + slack_mm / 1000) << what << ", axis " << axis;
  }
}

struct Mesh {
  std::vector<Vec> positions, normals;
  std::vector<std::array<std::uint32_t, 3>> triangles;

  Vec area(const std::array<std::uint32_t, 3>& t) const {  // doubled
    return cross(minus(positions[t[1]], positions[t[0]]), minus(positions[t[2]], positions[t[0]]));
  }
  double heightMm(const std::array<std::uint32_t, 3>& t) const {
    double longest = 0;
    for (int i = 0; i < 3; ++i) {
      longest = std::max(longest, norm(minus(positions[t[i]], positions[t[(i + 1) % 3]])));
    }
    return norm(area(t)) / longest * 1000;
  }
  double volumeMm3() const {
    double six_m3 = 0;
    for (const auto& t : triangles) {
      six_m3 += dot(minus(positions[t[0]], positions[0]), area(t));
    }
    return six_m3 / 6 * 1e9;
  }
  Box box() const {
    Box box;
    for (const Vec& p : positions) {
      box.add(p);
    }
    return box;
  }
};

inline std::uint32_t word(const std::string& bytes, std::size_t at) {
  std::uint32_t value = 0;
  std::memcpy(&value, bytes.data() + at, sizeof value);
  return value;
}

class Glb {
 public:
  /// The format's own layout: header, then a chunk of JSON and one of numbers.
  explicit Glb(const std::string& file) {
    EXPECT_EQ(file.substr(0, 4), "glTF");
    EXPECT_EQ(word(file, 4), 2U);
    EXPECT_EQ(word(file, 8), file.size());
    const std::uint32_t text = word(file, 12);
    EXPECT_EQ(file.substr(16, 4), "JSON");
    EXPECT_EQ(text % 4, 0U);
    j = json::parse(file.substr(20, text));
    const std::uint32_t numbers = word(file, 20 + text);
    EXPECT_EQ(file.substr(24 + text, 4), std::string("BIN\0", 4));
    EXPECT_EQ(numbers % 4, 0U);
    EXPECT_EQ(28 + text + numbers, file.size());
    bin_ = file.substr(28 + text);
  }

  Mesh mesh(int index) const {
    const json& primitives = j["meshes"].at(index)["primitives"];
    EXPECT_EQ(primitives.size(), 1U);
    const json& primitive = primitives.at(0);
    Mesh mesh;
    mesh.positions = vectors(primitive["attributes"]["POSITION"]);
    mesh.normals = vectors(primitive["attributes"]["NORMAL"]);
    const std::vector<double> corners = numbers(primitive["indices"]);
    for (std::size_t i = 0; i < corners.size(); i += 3) {
      mesh.triangles.push_back({static_cast<std::uint32_t>(corners[i]),
                                static_cast<std::uint32_t>(corners[i + 1]),
                                static_cast<std::uint32_t>(corners[i + 2])});
    }
    return mesh;
  }

  std::vector<Vec> vectors(int accessor) const {
    const std::vector<double> flat = numbers(accessor);
    std::vector<Vec> list;
    for (std::size_t i = 0; i < flat.size(); i += 3) {
      list.push_back({flat[i], flat[i + 1], flat[i + 2]});
    }
    return list;
  }

  std::vector<double> numbers(int index) const {
    const json& accessor = j["accessors"].at(index);
    const json& view = j["bufferViews"].at(accessor["bufferView"].get<int>());
    const std::size_t size = accessor["componentType"] == 5121   ? 1
                             : accessor["componentType"] == 5123 ? 2
                                                                 : 4;
    const std::size_t offset = accessor["byteOffset"].get<std::size_t>();
    const std::size_t start = view["byteOffset"].get<std::size_t>() + offset;
    const std::size_t count =
        accessor["count"].get<std::size_t>() * (accessor["type"] == "VEC3" ? 3 : 1);
    EXPECT_EQ(start % size, 0U);
    EXPECT_LE(offset + count * size, view["byteLength"].get<std::size_t>());
    EXPECT_LE(start + count * size, bin_.size());
    std::vector<double> list;
    for (std::size_t i = 0; i < count; ++i) {
      std::uint32_t bits = 0;
      std::memcpy(&bits, bin_.data() + start + i * size, size);
      float value = 0;
      std::memcpy(&value, &bits, sizeof value);
      list.push_back(accessor["componentType"] == 5126 ? double{value} : static_cast<double>(bits));
    }
    return list;
  }

  const json& node(const std::string& name) const {
    for (const json& node : j["nodes"]) {
      if (node["name"] == name) {
        return node;
      }
    }
    throw std::out_of_range("no node " + name);
  }

  json j;

 private:
  std::string bin_;
};

/// Where a node's translation and rotation (a unit quaternion) take a point of its mesh.
inline Vec placed(const json& node, const Vec& p) {
  const auto shift = node.value("translation", Vec{});
  const auto q = node.value("rotation", std::array<double, 4>{0, 0, 0, 1});
  const Vec axis = {q[0], q[1], q[2]};
  return plus(plus(shift, p), cross(axis, plus(cross(axis, p), p, q[3])), 2);
}

inline Box worldBox(const Glb& glb, const json& node) {
  Box box;
  for (const Vec& p : glb.mesh(node["mesh"]).positions) {
    box.add(placed(node, p));
  }
  return box;
}

/// The box about the placed corners of the mesh's own box, as the model states its bounds.
inline Box worldBoxOfBox(const Glb& glb, const json& node) {
  const Box own = glb.mesh(node["mesh"]).box();
  Box box;
  for (int corner = 0; corner < 8; ++corner) {
    Vec p{};
    for (int axis = 0; axis < 3; ++axis) {
      p[axis] = (corner >> axis & 1) != 0 ? own.high[axis] : own.low[axis];
    }
    box.add(placed(node, p));
  }
  return box;
}

}  // namespace leafstack::glb
