// A BCF 3.0 file of remarks: a zip of XML files, stored as they are.

const CRC = Uint32Array.from({ length: 256 }, (_, byte) => {
  let sum = byte;
  for (let bit = 0; bit < 8; ++bit) sum = sum & 1 ? 0xedb88320 ^ (sum >>> 1) : sum >>> 1;
  return sum;
});
const crcOf = (bytes) => {
  let sum = 0xffffffff;
  for (const byte of bytes) sum = CRC[(sum ^ byte) & 255] ^ (sum >>> 8);
  return (sum ^ 0xffffffff) >>> 0;
};

/** Little-endian figures of 2 or 4 bytes: [value, size]. */
const packed = (...figures) => {
  const out = [];
  for (const [value, size] of figures) for (let i = 0; i < size; ++i) out.push((value >>> (8 * i)) & 255);
  return Uint8Array.from(out);
};

/** `files`: [path, text]. Dated the first day that a zip file can hold. */
export function zipOf(files) {
  const encoder = new TextEncoder();
  const parts = [], directory = [];
  let at = 0;
  for (const [path, text] of files) {
    const name = encoder.encode(path), bytes = encoder.encode(text);
    const common = [[20, 2], [0x0800, 2], [0, 2], [0, 2], [33, 2], [crcOf(bytes), 4], [bytes.length, 4], [bytes.length, 4],
      [name.length, 2], [0, 2]];
    const head = packed([0x04034b50, 4], ...common);
    directory.push(packed([0x02014b50, 4], [20, 2], ...common, [0, 2], [0, 2], [0, 2], [0, 4], [at, 4]), name);
    parts.push(head, name, bytes);
    at += head.length + name.length + bytes.length;
  }
  const size = directory.reduce((sum, one) => sum + one.length, 0);
  return new Blob([...parts, ...directory,
    packed([0x06054b50, 4], [0, 2], [0, 2], [files.length, 2], [files.length, 2], [size, 4], [at, 4], [0, 2])],
  { type: "application/octet-stream" });
}

const escaped = (text) => String(text).replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`)
  // What XML cannot hold is no text either.
  .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, " ");
const leaf = (name, value) => `<${name}>${escaped(value)}</${name}>`;
const xml = (text) => `<?xml version="1.0" encoding="UTF-8"?>\n${text}\n`;
const point = (name, [x, y, z]) => `<${name}>${leaf("X", x)}${leaf("Y", y)}${leaf("Z", z)}</${name}>`;
const metres = (at) => at.map((one) => Math.round(one * 1000) / 1e6);

export function newGuid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;  // version 4 (RFC 9562)
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const digits = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return digits.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** Where the gate stood, as `--remarks` reads it back. */
const travelLabel = (remark) => `travel ${remark.at_mm.toFixed(1)} mm`;

function markup(remark) {
  return xml(`<Markup><Topic Guid="${remark.guid}" TopicType="Remark" TopicStatus="Open">` +
    leaf("Title", remark.title) + `<Labels>${leaf("Label", travelLabel(remark))}</Labels>` +
    leaf("CreationDate", remark.date) + leaf("CreationAuthor", remark.author) + leaf("Description", remark.description) +
    `<Viewpoints><ViewPoint Guid="${remark.view}">${leaf("Viewpoint", "viewpoint.bcfv")}</ViewPoint></Viewpoints></Topic></Markup>`);
}

function viewpoint(remark) {
  const { eye, direction, up } = remark.camera;
  const components = remark.ifc_guids.map((guid) => `<Component IfcGuid="${guid}"/>`).join("");
  return xml(`<VisualizationInfo Guid="${remark.view}"><Components><Selection>${components}</Selection>` +
    `<Visibility DefaultVisibility="true"/></Components><PerspectiveCamera>` + point("CameraViewPoint", metres(eye)) +
    point("CameraDirection", direction) + point("CameraUpVector", up) + leaf("FieldOfView", 60) + leaf("AspectRatio", 4 / 3) +
    `</PerspectiveCamera><Lines><Line>` + point("StartPoint", metres(remark.point_mm)) + point("EndPoint", metres(eye)) +
    `</Line></Lines></VisualizationInfo>`);
}

export function bcfOf(remarks, project) {
  const list = (group, name, values) => `<${group}>${[...new Set(values)].sort().map((one) => leaf(name, one)).join("")}</${group}>`;
  const files = [
    ["bcf.version", xml('<Version VersionId="3.0"></Version>')],
    ["project.bcfp", xml(`<ProjectInfo><Project ProjectId="${newGuid()}">${leaf("Name", project)}</Project></ProjectInfo>`)],
    ["extensions.xml", xml(`<Extensions>${list("TopicTypes", "TopicType", ["Remark"])}${list("TopicStatuses", "TopicStatus", ["Open", "Closed"])}` +
      `<Priorities></Priorities>${list("TopicLabels", "TopicLabel", remarks.map(travelLabel))}` +
      `${list("Users", "User", remarks.map((one) => one.author))}<SnippetTypes></SnippetTypes><Stages></Stages></Extensions>`)]];
  for (const remark of remarks) {
    files.push([`${remark.guid}/markup.bcf`, markup(remark)], [`${remark.guid}/viewpoint.bcfv`, viewpoint(remark)]);
  }
  return zipOf(files);
}
