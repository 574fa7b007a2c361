// The parts of glTF 2.0 (Khronos Group, ISO/IEC 12113:2022) that meshes of triangles need.
#include <cstdint>
#include <cstring>
#include <functional>
#include <gp_Mat.hxx>
#include <gp_Quaternion.hxx>
#include <gp_Trsf.hxx>
#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>

#include "generator/surroundings/triangle_files.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

constexpr std::size_t kHead = 12, kChunkHead = 8;
constexpr int kFloat = 5126, kByte = 5121, kShort = 5123, kInt = 5125;  // component types
constexpr int kTriangles = 4, kMostNodes = 100'000, kMostDeep = 100;

std::uint32_t wordAt(std::string_view bytes, std::size_t at) {
  if (bytes.size() < at + sizeof(std::uint32_t)) {
    throw std::runtime_error("ends too early");
  }
  std::uint32_t word = 0;
  std::memcpy(&word, bytes.data() + at, sizeof word);
  return word;
}

/// Column by column, as the format has it.
using Matrix = std::array<double, 16>;

Matrix product(const Matrix& p, const Matrix& q) {
  Matrix out{};
  for (int column = 0; column < 4; ++column) {
    for (int row = 0; row < 4; ++row) {
      for (int k = 0; k < 4; ++k) {
        out[4 * column + row] += p[4 * k + row] * q[4 * column + k];
      }
    }
  }
  return out;
}

Vec3 moved(const Matrix& by, const Vec3& p) {
  Vec3 out{};
  for (int row = 0; row < 3; ++row) {
    out[row] = by[row] * p[0] + by[4 + row] * p[1] + by[8 + row] * p[2] + by[12 + row];
  }
  return out;
}

class Glb {
 public:
  explicit Glb(std::string_view bytes) {
    std::size_t at = kHead;
    while (at < bytes.size()) {
      const std::size_t size = wordAt(bytes, at);
      const std::uint32_t kind = wordAt(bytes, at + 4);
      if (bytes.size() - at - kChunkHead < size) {
        throw std::runtime_error("ends too early");
      }
      const std::string_view chunk = bytes.substr(at + kChunkHead, size);
      if (kind == 0x4E4F534A) {  // "JSON"
        json_ = Json::parse(chunk);
      } else if (kind == 0x004E4942) {  // "BIN"
        binary_ = chunk;
      }
      at += kChunkHead + size;
    }
    for (const Json& buffer : json_.value("buffers", Json::array())) {
      if (buffer.contains("uri")) {
        throw std::runtime_error("keeps its figures in another file: export it as one GLB");
      }
    }
    for (const Json& needed : json_.value("extensionsRequired", Json::array())) {
      throw std::runtime_error("needs " + needed.get<std::string>() +
                               ", which is not read here: export it uncompressed");
    }
  }

  LooseTriangles all() {
    const Json scenes = json_.value("scenes", Json::array());
    const std::size_t shown = json_.value("scene", 0u);
    if (shown >= scenes.size()) {
      throw std::runtime_error("has no scene");
    }
    for (const Json& node : scenes.at(shown).value("nodes", Json::array())) {
      // Metres stay; Y upwards becomes Z upwards.
      addNode(node.get<std::size_t>(), {1, 0, 0, 0, 0, 0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1}, 0);
    }
    return std::move(found_);
  }

 private:
  static Matrix placeOf(const Json& node) {
    Matrix place = {1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1};
    if (node.contains("matrix")) {
      for (std::size_t i = 0; i < 16; ++i) {
        place[i] = node.at("matrix").at(i).get<double>();
      }
      if (place[3] != 0 || place[7] != 0 || place[11] != 0 || place[15] != 1) {
        throw std::runtime_error("has a node in perspective, where only places are meant");
      }
      return place;
    }
    const auto figures = [&](const char* key, std::vector<double> otherwise) {
      return node.contains(key) ? node.at(key).get<std::vector<double>>() : otherwise;
    };
    const auto shift = figures("translation", {0, 0, 0});
    const auto turn = figures("rotation", {0, 0, 0, 1});
    const auto scale = figures("scale", {1, 1, 1});
    const gp_Mat matrix = gp_Quaternion(turn.at(0), turn.at(1), turn.at(2), turn.at(3)).GetMatrix();
    for (int column = 0; column < 3; ++column) {
      for (int row = 0; row < 3; ++row) {
        place[4 * column + row] = matrix.Value(row + 1, column + 1) * scale.at(column);
      }
      place[12 + column] = shift.at(column);
    }
    return place;
  }

  void addNode(std::size_t index, const Matrix& parent, int deep) {
    if (++visited_ > kMostNodes || deep > kMostDeep) {
      throw std::runtime_error("has too many nodes within each other");
    }
    const Json& node = json_.at("nodes").at(index);
    const Matrix place = product(parent, placeOf(node));
    const Json extensions = node.value("extensions", Json::object());
    for (const auto& [extension, value] : extensions.items()) {
      if (extension.find("instancing") != std::string::npos) {
        throw std::runtime_error("has copies by " + extension +
                                 ", which is not read here: export it without");
      }
    }
    if (node.contains("mesh")) {
      for (const Json& one :
           json_.at("meshes").at(node.at("mesh").get<std::size_t>()).at("primitives")) {
        addPrimitive(one, place);
      }
    }
    for (const Json& child : node.value("children", Json::array())) {
      addNode(child.get<std::size_t>(), place, deep + 1);
    }
  }

  void addPrimitive(const Json& primitive, const Matrix& place) {
    if (primitive.value("mode", kTriangles) != kTriangles) {
      throw std::runtime_error("has lines, points or strips, where triangles are wanted");
    }
    const std::vector<Vec3> points =
        pointsOf(primitive.at("attributes").at("POSITION").get<std::size_t>());
    std::vector<std::uint32_t> order;
    if (primitive.contains("indices")) {
      order = indicesOf(primitive.at("indices").get<std::size_t>());
    } else {
      for (std::uint32_t i = 0; i < points.size(); ++i) {
        order.push_back(i);
      }
    }
    if (found_.corners.size() + order.size() / 3 > kMostSurroundingTriangles) {
      throw std::runtime_error("has more than " + std::to_string(kMostSurroundingTriangles) +
                               " triangles");
    }
    for (std::size_t i = 0; i + 2 < order.size(); i += 3) {
      auto& corners = found_.corners.emplace_back();
      for (int k = 0; k < 3; ++k) {
        corners[k] = moved(place, points.at(order[i + k]));
      }
    }
  }

  struct View {
    std::string_view bytes;
    std::size_t count = 0, step = 0;
  };

  View viewOf(const Json& accessor, std::size_t size) const {
    const Json& view = json_.at("bufferViews").at(accessor.at("bufferView").get<std::size_t>());
    if (accessor.contains("sparse") || view.value("buffer", 0u) != 0) {
      throw std::runtime_error("keeps its figures where they are not read: export it as one GLB");
    }
    View out{{}, accessor.at("count").get<std::size_t>(), view.value("byteStride", size)};
    const std::size_t from =
        view.value("byteOffset", std::size_t{0}) + accessor.value("byteOffset", std::size_t{0});
    const std::size_t most = binary_.size() / std::max<std::size_t>(1, size);
    if (out.count > most || out.step < size || out.step > 255 || from > binary_.size() ||
        (out.count > 0 && (out.count - 1) * out.step + size > binary_.size() - from)) {
      throw std::runtime_error("ends too early");
    }
    out.bytes = binary_.substr(from);
    return out;
  }

  std::vector<Vec3> pointsOf(std::size_t index) const {
    const Json& accessor = json_.at("accessors").at(index);
    if (accessor.at("componentType").get<int>() != kFloat || accessor.at("type") != "VEC3") {
      throw std::runtime_error("has corners that are no numbers of its format");
    }
    const View view = viewOf(accessor, 12);
    std::vector<Vec3> points(view.count);
    for (std::size_t i = 0; i < view.count; ++i) {
      std::array<float, 3> figures;
      std::memcpy(figures.data(), view.bytes.data() + i * view.step, sizeof figures);
      points[i] = {double{figures[0]}, double{figures[1]}, double{figures[2]}};
    }
    return points;
  }

  std::vector<std::uint32_t> indicesOf(std::size_t index) const {
    const Json& accessor = json_.at("accessors").at(index);
    const int kind = accessor.at("componentType").get<int>();
    const std::size_t size = kind == kByte ? 1 : kind == kShort ? 2 : kind == kInt ? 4 : 0;
    if (size == 0) {
      throw std::runtime_error("has triangles in a form that is not its format's");
    }
    const View view = viewOf(accessor, size);
    std::vector<std::uint32_t> order(view.count, 0);
    for (std::size_t i = 0; i < view.count; ++i) {
      std::memcpy(&order[i], view.bytes.data() + i * view.step, size);
    }
    return order;
  }

  Json json_;
  std::string_view binary_;
  LooseTriangles found_;
  int visited_ = 0;
};

}  // namespace

bool looksLikeGlb(std::string_view bytes) {
  return bytes.starts_with("glTF");
}

LooseTriangles trianglesOfGlb(std::string_view bytes) {
  try {
    return Glb(bytes).all();
  } catch (const std::out_of_range&) {
    return {{}, "is damaged: it names what it does not have"};
  } catch (const Json::exception&) {
    return {{}, "is damaged: it does not say what its format asks for"};
  } catch (const std::exception& fault) {
    return {{}, fault.what()};
  }
}

}  // namespace leafstack
