// The command new.
#include <CLI/CLI.hpp>
#include <algorithm>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/fault_file.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/folder/gallery.h"
#include "exporters/folder/output_folder.h"

namespace leafstack {
namespace {

std::string galleryText(const std::string& name) {
  std::string known;
  for (const GalleryGate& gate : galleryGates()) {
    if (gate.name == name) {
      return std::string(gate.text);
    }
    known += (known.empty() ? "" : ", ") + std::string(gate.name);
  }
  throw Stop{kWrongUsage,
             {"new: no gallery gate is called \"" + name + "\"" +
              (known.empty() ? std::string() : "; there are: " + known)}};
}

/// Whether a file is what `new` writes, as it writes it without --set.
bool isUnchangedGate(std::string_view text) {
  const auto is_same = [&](const GalleryGate& gate) { return gate.text == text; };
  const auto& gallery = galleryGates();
  return text == starterGate() || std::any_of(gallery.begin(), gallery.end(), is_same);
}

ExitCode runNew(const Options& options) {
  const std::vector<Override> overrides = overridesFrom(options);
  std::string text = options.name.empty() ? starterGate() : galleryText(options.name);
  if (!overrides.empty()) {
    resolve(text, options.name.empty() ? "starter gate" : options.name, overrides);
    text = withOverrides(text, overrides);
  }
  if (options.output.empty() || options.output == "-") {
    print(text);
    return kDone;
  }
  FileRules rules;
  rules.force = options.force;
  rules.is_ours = isUnchangedGate;
  writeWholeFile(options.output, text, rules);
  return kDone;
}

}  // namespace

void declareNew(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* fresh = app.add_subcommand("new", "print a starter gate file, or one of the gallery");
  fresh->add_option("NAME", options.name, "gallery gate");
  fresh->add_option("-o,--output", options.output, "write to this file instead of stdout");
  fresh->add_flag("--force", options.force,
                  "replace the file, where new wrote it and nobody changed it");
  addCommonOptions(*fresh, options);
  fresh->callback([&] { chosen = [&] { return runNew(options); }; });
}

}  // namespace leafstack
