// The table as a starter gate and as documentation.
#include <algorithm>
#include <iterator>

#include "params/read_gate.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

Json starterObject(std::string_view group) {
  Json out = Json::object();
  for (const Parameter* child : childrenOf(group)) {
    out[std::string(keyOf(*child))] = child->kind == Kind::kGroup
                                          ? starterObject(child->pointer)
                                          : Json::parse(child->default_json);
  }
  return out;
}

/// What a first gate is asked for: about ten keys; all else has a default that may stay one.
constexpr std::string_view kStarterKeys[] = {
    "/job/title",      "/site/opening_mm",      "/site/room_mm",
    "/site/opens",     "/site/fence_height_mm", "/gate/panels",
    "/gate/height_mm", "/gate/infill/kind",     "/gate/cladding/kind",
    "/guides/mount",   "/drive/motor"};

bool isInStarter(std::string_view pointer) {
  return std::any_of(std::begin(kStarterKeys), std::end(kStarterKeys), [&](std::string_view key) {
    return key == pointer || (key.starts_with(pointer) && key[pointer.size()] == '/');
  });
}

/// The starter's keys below a group, each after a comment that says what it means.
std::string commented(std::string_view group, const std::string& indent) {
  std::string out;
  for (const Parameter* child : childrenOf(group)) {
    if (!isInStarter(child->pointer)) {
      continue;
    }
    out += out.empty() ? "" : ",\n";
    if (child->kind == Kind::kGroup) {
      out += indent + '"' + std::string(keyOf(*child)) + "\": {\n" +
             commented(child->pointer, indent + "  ") + '\n' + indent + '}';
      continue;
    }
    out += indent + "// " + child->meaning + " (" + allowedText(*child) + ")\n" + indent + '"' +
           std::string(keyOf(*child)) + "\": " + child->default_json;
  }
  return out;
}

/// A vertical bar would end the table's cell.
std::string cell(std::string_view text) {
  std::string out;
  for (char c : text) {
    if (c == '|') {
      out += '\\';
    }
    out += c;
  }
  return out;
}

std::string defaultCell(const Parameter& parameter) {
  std::string text = parameter.required ? "required" : '`' + cell(parameter.default_json) + '`';
  if (parameter.default_aluminium != nullptr) {
    text += ", in aluminium `" + cell(parameter.default_aluminium) + '`';
  }
  return text;
}

}  // namespace

std::string starterGate() {
  return "// A gate for leafstack. Lengths are mm; with quotes they take units: \"6 m\", \"19' "
         "8\\\"\".\n"
         "// All keys: leafstack new --all. One key: leafstack explain /site/opening_mm.\n{\n" +
         commented("", "  ") + "\n}\n";
}

std::string everyKeyGate() {
  return starterObject("").dump(2) + '\n';
}

std::string parameterReference() {
  std::string out =
      "| key | meaning | unit | default | allowed | source |\n"
      "| --- | --- | --- | --- | --- | --- |\n";
  for (const Parameter& parameter : parameterTable()) {
    if (parameter.kind == Kind::kGroup) {
      continue;
    }
    out += "| `" + cell(parameter.pointer) + "` | " + cell(parameter.meaning) + " | " +
           cell(parameter.unit) + " | " + defaultCell(parameter) + " | " +
           cell(allowedText(parameter)) + " | " + cell(parameter.source) + " |\n";
  }
  return out;
}

}  // namespace leafstack
