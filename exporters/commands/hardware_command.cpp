// The command hardware: the sets there are, and what one of them holds.
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/prepared_gate.h"
#include "generator/layout/figures/hardware.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

// Any gate will do: what a set holds does not depend on it.
constexpr const char* kAnyGate = R"({"site": {"opening_mm": 6000}})";

ResolvedGate withSet(const Options& options, const std::string& name) {
  return resolve(kAnyGate, "hardware", overridesFrom(options), hardwareFrom(options, name));
}

/// Every size of the set, as a hardware file of its own.
std::string asFile(const ResolvedGate& gate, const std::string& name) {
  Json file;
  file["leafstack_hardware"] = 1;
  file["name"] = name;
  constexpr std::string_view kGroup = "/hardware";
  for (const ResolvedValue& value : gate.values) {
    if (value.pointer.starts_with("/hardware/") && value.pointer != "/hardware/set") {
      file[Json::json_pointer(value.pointer.substr(kGroup.size()))] = value.value;
    }
  }
  return file.dump(2) + "\n";
}

std::string trackWords(const TrackHardware& track) {
  const std::string size = formatFigure(track.size_mm);
  return track.kind == TrackKind::kRound
             ? "bar " + size
             : "angle " + size + "x" + size + "x" + formatFigure(track.thickness_mm);
}

std::string listed(const Options& options) {
  std::string out;
  for (const BuiltInSet& one : builtInSets()) {
    const HardwareSpec shelf = withSet(options, std::string(one.name)).spec.hardware;
    std::string line(one.name);
    line.resize(10, ' ');
    line += "wheels " + formatFigure(shelf.wheel.outside_mm) + "/" +
            formatFigure(shelf.wheel.running_mm) + " mm on " + trackWords(shelf.track) +
            ", underside " + formatFigure(undersideOverFootingMm(shelf)) +
            " mm over the footing, rack module " + formatFigure(shelf.rack.module_mm) +
            ", pinion " + formatFigure(shelf.motor.pinion_up_mm) + " mm over its feet\n";
    out += line;
  }
  return out;
}

ExitCode runHardware(const Options& options) {
  print(options.name.empty() ? listed(options)
                             : asFile(withSet(options, options.name), options.name));
  return kDone;
}

}  // namespace

void declareHardware(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* hardware = app.add_subcommand(
      "hardware", "list the hardware sets, or print one with every size, as a file to edit");
  hardware->add_option("SET", options.name, "a set's name, or a hardware file");
  addCommonOptions(*hardware, options);
  hardware->callback([&] { chosen = [&] { return runHardware(options); }; });
}

}  // namespace leafstack
