// Reads the GLB that leafstack wrote, and only that: three vectors a mesh, no extensions.

const JSON_CHUNK = 0x4e4f534a;
const NUMBERS = { 5121: Uint8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array };

/** Bytes of base64 text. */
export function bytesOf(base64) {
  const binary = atob(base64.trim());
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; ++i) bytes[i] = binary.charCodeAt(i);
  return bytes;
}

/**
 * Meshes by part and placements by instance, in glTF's frame: metres, Y up.
 * @returns {{meshes: {positions, normals, indices, colour}[], placements: {shift, turn}[]}}
 */
export function readGlb(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const jsonLength = view.getUint32(12, true);
  if (view.getUint32(16, true) !== JSON_CHUNK) throw new Error("the model's first chunk is no JSON");
  const json = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + jsonLength)));
  const bin = 20 + jsonLength + 8;
  const numbers = (index) => {
    const accessor = json.accessors[index];
    const chunk = json.bufferViews[accessor.bufferView];
    const begin = bytes.byteOffset + bin + chunk.byteOffset + (accessor.byteOffset ?? 0);
    const perItem = accessor.type === "VEC3" ? 3 : 1;
    return new NUMBERS[accessor.componentType](bytes.buffer, begin, perItem * accessor.count);
  };
  const meshes = json.meshes.map((mesh) => {
    const { attributes, indices, material } = mesh.primitives[0];
    return {
      positions: numbers(attributes.POSITION),
      normals: numbers(attributes.NORMAL),
      indices: numbers(indices),
      colour: json.materials[material].pbrMetallicRoughness.baseColorFactor.slice(0, 3),
    };
  });
  const placements = json.nodes
    .filter((node) => node.mesh !== undefined)
    .map((node) => ({ shift: node.translation ?? [0, 0, 0], turn: node.rotation ?? [0, 0, 0, 1] }));
  return { meshes, placements };
}
