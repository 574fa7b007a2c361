// The kernel's own writer, RWGltf_CafWriter of OpenCASCADE 7.6.3, was tried and cannot give this
// file: it writes one mesh a node even where nodes share a product, calls itself the generator,
// names materials "mat_0" and marks them double-sided, checks no triangle, and wants triangles in
// the solids themselves and a file on the disk.
#include "exporters/cad/mesh/gltf.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <gp_Quaternion.hxx>
#include <gp_Trsf.hxx>
#include <nlohmann/json.hpp>
#include <string_view>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/mesh/gltf_mesh.h"
#include "exporters/cad/palette.h"
#include "exporters/cad/panel_name.h"
#include "exporters/cad/step/step.h"
#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

// Numbers of the glTF 2.0 specification (Khronos Group), from OpenGL.
constexpr int kUnsignedByte = 5121, kUnsignedShort = 5123, kUnsignedInt = 5125, kFloat = 5126;
constexpr int kArrayBuffer = 34962, kElementArrayBuffer = 34963;
constexpr std::uint32_t kMagic = 0x46546C67, kVersion = 2;  // "glTF"
constexpr std::uint32_t kJsonChunk = 0x4E4F534A, kBinChunk = 0x004E4942;
constexpr std::size_t kAlignment = 4;

/// The buffer's three views; a view's accessors all have one use.
enum View { kPositions, kNormals, kIndices };
/// Accessors of part p are this many times p and the view.
constexpr int kAccessorsPerPart = 3;

/// How a surface answers light. Metals are taken as coated or weathered: fully metallic ones show
/// nothing but their surroundings, and are black in viewers that have none.
struct Finish {
  std::string_view material;
  double metallic = 0, roughness = 0;
};
constexpr Finish kFinishes[] = {{"steel", 0.35, 0.55},     {"stainless steel", 0.7, 0.35},
                                {"aluminium", 0.55, 0.45}, {"cast iron", 0.35, 0.7},
                                {"timber", 0, 0.85},       {"nylon", 0, 0.5},
                                {"rubber", 0, 0.9},        {"rope", 0.2, 0.6},
                                {"site", 0, 0.9},          {"concrete", 0, 0.95},
                                {"envelope", 0, 0.6}};
constexpr Finish kOtherFinish = {"", 0, 0.7};

const Finish& finishOf(std::string_view material) {
  for (const Finish& finish : kFinishes) {
    if (finish.material == material) {
      return finish;
    }
  }
  return kOtherFinish;
}

/// IEC 61966-2-1: sRGB to linear light, which glTF's colour factors are in.
double linearLight(double srgb) {
  const double linear = srgb <= 0.04045 ? srgb / 12.92 : std::pow((srgb + 0.055) / 1.055, 2.4);
  constexpr double kPlaces = 1e4;  // finer than a screen's 8 bits; hides libm's last digits
  return std::round(linear * kPlaces) / kPlaces;
}

void append32(std::string& out, std::uint32_t bits, int bytes = 4) {
  for (int i = 0; i < bytes; ++i) {
    out.push_back(static_cast<char>((bits >> 8 * i) & 0xFF));
  }
}

void pad(std::string& out, char with) {
  out.resize((out.size() + kAlignment - 1) / kAlignment * kAlignment, with);
}

std::string chunk(std::uint32_t type, const std::string& contents) {
  std::string out;
  append32(out, static_cast<std::uint32_t>(contents.size()));
  append32(out, type);
  return out + contents;
}

/// Smallest type that can count `vertices`; its greatest value is reserved by the format.
int indexType(std::size_t vertices) {
  if (vertices <= 0xFF) {
    return kUnsignedByte;
  }
  return vertices <= 0xFFFF ? kUnsignedShort : kUnsignedInt;
}

int bytesOf(int index_type) {
  switch (index_type) {
    case kUnsignedByte:
      return 1;
    case kUnsignedShort:
      return 2;
    default:
      return 4;
  }
}

class GlbWriter {
 public:
  GlbWriter(const Model& model, const Provenance& provenance, GltfStore& store)
      : model_(model), meshes_(store.meshesOf(model)) {
    json_["asset"] = {
        {"version", "2.0"},
        {"generator", programName()},
        {"extras",
         {{"input_sha256", provenance.input_sha256}, {"timestamp", provenance.timestamp}}}};
    json_["scene"] = 0;
    json_["scenes"] = Json::array({{{"name", gateTitle(model)}, {"nodes", {0}}}});
  }

  std::string file() {
    addNodes();
    for (std::size_t i = 0; i < meshes_.size(); ++i) {
      addMesh(model_.parts[i], *meshes_[i]);
    }
    const std::string bin = buffer();
    std::string text = json_.dump();
    pad(text, ' ');
    const std::string chunks = chunk(kJsonChunk, text) + chunk(kBinChunk, bin);
    std::string out;
    append32(out, kMagic);
    append32(out, kVersion);
    append32(out, static_cast<std::uint32_t>(3 * sizeof(std::uint32_t) + chunks.size()));
    return out + chunks;
  }

 private:
  /// Root 0, then the panels, then the instances in the model's order.
  void addNodes() {
    const int panels = static_cast<int>(model_.speed_ratio.size());
    Json root = {{"name", "gate"}};
    std::vector<Json> panel_nodes, instance_nodes;
    for (int panel = 0; panel < panels; ++panel) {
      root["children"].push_back(1 + panel);
      const std::string what = panel == 0 ? "what does not move" : "panel " + std::to_string(panel);
      panel_nodes.push_back({{"name", panelName(panel)}, {"extras", {{"description", what}}}});
    }
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      panel_nodes.at(model_.instances[i].panel)["children"].push_back(1 + panels + i);
      instance_nodes.push_back(instanceNode(i));
    }
    json_["nodes"] = Json::array({root});
    for (const auto* nodes : {&panel_nodes, &instance_nodes}) {
      for (const Json& node : *nodes) {
        json_["nodes"].push_back(node);
      }
    }
  }

  Json instanceNode(int i) const {
    const Instance& instance = model_.instances[i];
    const gp_Trsf motion = instance.at_closed.Transformation();
    constexpr double kRigid = 1e-9;  // rounding of a few turns multiplied, a thousandfold
    if (!(std::abs(motion.ScaleFactor() - 1) <= kRigid)) {
      throw ExportError("GLB: the placement of " + model_.instanceName(i) + " is no rigid motion");
    }
    Json node = {{"name", model_.instanceName(i)}, {"mesh", instance.part}};
    const gp_XYZ& shift = motion.TranslationPart();
    std::array<double, 3> shift_m = toGltfAxes(shift.X(), shift.Y(), shift.Z());
    for (double& value : shift_m) {
      constexpr double kPlacesPerMm = 1e6;  // a nanometre: short numbers, and far below float's
      value = std::round(value * kPlacesPerMm) / (kPlacesPerMm / kMetresPerMm) + 0.0;
    }
    if (shift_m != std::array<double, 3>{}) {
      node["translation"] = shift_m;
    }
    const gp_Quaternion turn = motion.GetRotation();
    const auto [x, y, z] = toGltfAxes(turn.X(), turn.Y(), turn.Z());
    if (x != 0 || y != 0 || z != 0) {
      node["rotation"] = {x, y, z, turn.W()};
    }
    return node;
  }

  int materialOf(const std::string& name) {
    const auto known = std::find(materials_.begin(), materials_.end(), name);
    if (known != materials_.end()) {
      return static_cast<int>(known - materials_.begin());
    }
    const Finish& finish = finishOf(name);
    const auto [red, green, blue] = materialColour(name);
    json_["materials"].push_back(
        {{"name", name},
         {"pbrMetallicRoughness",
          {{"baseColorFactor", {linearLight(red), linearLight(green), linearLight(blue), 1}},
           {"metallicFactor", finish.metallic},
           {"roughnessFactor", finish.roughness}}}});
    materials_.push_back(name);
    return static_cast<int>(materials_.size()) - 1;
  }

  void addMesh(const Part& part, const GltfMesh& mesh) {
    const int first = kAccessorsPerPart * static_cast<int>(json_["meshes"].size());
    addVectors(kPositions, mesh.positions_m);
    addBounds(mesh.positions_m);
    addVectors(kNormals, mesh.normals);
    addIndices(mesh);
    Json extras = {{"part", part.name}};
    if (!part.section.empty()) {
      extras["section"] = part.section;
    }
    const Json attributes = {{"POSITION", first + kPositions}, {"NORMAL", first + kNormals}};
    json_["meshes"].push_back(
        {{"name", part.mark},
         {"primitives", Json::array({{{"attributes", attributes},
                                      {"indices", first + kIndices},
                                      {"material", materialOf(part.material)}}})},
         {"extras", extras}});
  }

  void addVectors(View view, const std::vector<std::array<float, 3>>& vectors) {
    std::string& bytes = views_[view];
    json_["accessors"].push_back({{"bufferView", view},
                                  {"byteOffset", bytes.size()},
                                  {"componentType", kFloat},
                                  {"count", vectors.size()},
                                  {"type", "VEC3"}});
    if constexpr (std::endian::native == std::endian::little) {
      bytes.append(reinterpret_cast<const char*>(vectors.data()),
                   vectors.size() * sizeof(vectors.front()));
      return;
    }
    for (const auto& vector : vectors) {
      for (const float value : vector) {
        append32(bytes, std::bit_cast<std::uint32_t>(value));
      }
    }
  }

  /// Of the accessor added last, from the values as written.
  void addBounds(const std::vector<std::array<float, 3>>& positions) {
    std::array<float, 3> low = positions.front();
    std::array<float, 3> high = low;
    for (const auto& position : positions) {
      for (int axis = 0; axis < 3; ++axis) {
        low[axis] = std::min(low[axis], position[axis]);
        high[axis] = std::max(high[axis], position[axis]);
      }
    }
    json_["accessors"].back()["min"] = low;
    json_["accessors"].back()["max"] = high;
  }

  void addIndices(const GltfMesh& mesh) {
    std::string& bytes = views_[kIndices];
    const int type = indexType(mesh.positions_m.size());
    pad(bytes, '\0');  // an accessor begins at a multiple of its number's size
    json_["accessors"].push_back({{"bufferView", kIndices},
                                  {"byteOffset", bytes.size()},
                                  {"componentType", type},
                                  {"count", 3 * mesh.triangles.size()},
                                  {"type", "SCALAR"}});
    for (const auto& triangle : mesh.triangles) {
      for (const std::uint32_t corner : triangle) {
        append32(bytes, corner, bytesOf(type));
      }
    }
  }

  /// The views one after the other, and their description.
  std::string buffer() {
    std::string bin;
    for (const View view : {kPositions, kNormals, kIndices}) {
      Json description = {
          {"buffer", 0}, {"byteOffset", bin.size()}, {"byteLength", views_[view].size()}};
      if (view == kIndices) {
        description["target"] = kElementArrayBuffer;
      } else {
        description["byteStride"] = 3 * sizeof(float);
        description["target"] = kArrayBuffer;
      }
      json_["bufferViews"].push_back(description);
      bin += views_[view];
      pad(bin, '\0');
    }
    json_["buffers"] = Json::array({{{"byteLength", bin.size()}}});
    return bin;
  }

  const Model& model_;
  const std::vector<std::shared_ptr<const GltfMesh>> meshes_;
  Json json_;
  std::vector<std::string> materials_;  ///< in the order of the file
  std::array<std::string, 3> views_;    ///< bytes, by View
};

}  // namespace

std::vector<std::shared_ptr<const GltfMesh>> GltfStore::meshesOf(const Model& model) {
  ++file_;
  std::vector<std::shared_ptr<const GltfMesh>> meshes(model.parts.size());
  std::vector<std::size_t> wanted;
  for (std::size_t i = 0; i < meshes.size(); ++i) {
    const auto found = slots_.find(model.parts[i].identity);
    if (found == slots_.end()) {
      wanted.push_back(i);
    } else {
      found->second.used_by = file_;
      meshes[i] = found->second.mesh;
    }
  }
  inParallel(static_cast<int>(wanted.size()), [&](int i) {
    meshes[wanted[i]] = std::make_shared<const GltfMesh>(gltfMesh(model.parts[wanted[i]]));
  });
  for (const std::size_t i : wanted) {
    if (!model.parts[i].identity.empty()) {
      slots_[model.parts[i].identity] = {meshes[i], file_};
    }
  }
  std::erase_if(slots_,
                [this](const auto& slot) { return slot.second.used_by < file_ - kFilesKept; });
  return meshes;
}

std::string glbFile(const Model& model, const Provenance& provenance, GltfStore* store) {
  GltfStore own;
  return GlbWriter(model, provenance, store != nullptr ? *store : own).file();
}

}  // namespace leafstack
