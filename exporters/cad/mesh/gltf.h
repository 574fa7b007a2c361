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

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/model/model.h"

namespace leafstack {

/// The file's bytes. Leaves no triangles in the solids. Throws ExportError, naming the part or
/// instance, when a mesh is not as gltf_mesh.h promises or a placement is no rigid motion.
std::string glbFile(const Model& model, const Provenance& provenance);

}  // namespace leafstack
