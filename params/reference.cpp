// The table as a starter gate and as documentation.
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
