// The closed gate for viewers: GLB (glTF 2.0 binary), metres, Y up.
//
// Tree: gate -> P0 ... Pn -> instances, with the names of the STEP assembly: P0 is what does not
// move, Pk panel k, instances are "MARK.serial". A part is one mesh, named by its mark, however
// often it stands; a material is one material. Nodes carry a turn and a shift, never a scale: a
// left-hand gate's solids are mirrored themselves. Frame and tessellation: gltf_mesh.h. Ropes are
// those of the closed gate.
//
// Properties (tested): G1 metres, Y up; G2 one mesh a part, one node an instance; G3 meshes are
// closed, outward and without degenerate triangles; G4 accessors' bounds are those of their values
// as written; G5 no extensions, which any viewer reads; G6 same model and provenance, same bytes.
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/cad/mesh/gltf_mesh.h"
#include "generator/model/model.h"

namespace leafstack {

/// Meshes that a process keeps from one file to the next, by Part::identity: what an edit does not
/// touch is not meshed again. For one thread at a time.
class GltfStore {
 public:
  /// Of every part, made on all cores where they are not kept. Throws as gltfMesh().
  std::vector<std::shared_ptr<const GltfMesh>> meshesOf(const Model& model);
  std::size_t size() const { return slots_.size(); }

  /// Files that a mesh is kept for without being used.
  static constexpr int kFilesKept = 8;

 private:
  struct Slot {
    std::shared_ptr<const GltfMesh> mesh;
    int used_by = 0;  ///< number of the file that used it last
  };
  std::map<std::string, Slot> slots_;
  int file_ = 0;
};

/// The file's bytes, the same with and without a store. Leaves no triangles in the solids. Throws
/// ExportError, naming the part or instance, when a mesh is not as gltf_mesh.h promises or a
/// placement is no rigid motion.
std::string glbFile(const Model& model, const Provenance& provenance, GltfStore* store = nullptr);

}  // namespace leafstack
