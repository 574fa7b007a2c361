// The command new.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <nlohmann/json.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/fault_file.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/desk/site_sheet.h"
#include "exporters/folder/gallery.h"
#include "exporters/folder/output_folder.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

std::string galleryText(const std::string& name) {
  std::vector<std::string> known;
  for (const GalleryGate& gate : galleryGates()) {
    if (gate.name == name) {
      return std::string(gate.text);
    }
    known.emplace_back(gate.name);
  }
  const std::string nearest = nearestName(name, known);
  throw Stop{
      kWrongUsage,
      {"new: no gallery gate is called " + inQuotes(name) + "; " +
       (nearest.empty() ? "there are: " + joined(known, "and") : "did you mean " + nearest + "?")}};
}

/// Whether a file is what `new` writes, as it writes it without --set.
bool isUnchangedGate(std::string_view text) {
  const auto is_same = [&](const GalleryGate& gate) { return gate.text == text; };
  const auto& gallery = galleryGates();
  return text == starterGate() || text == everyKeyGate() || text == desk::siteSheet() ||
         std::any_of(gallery.begin(), gallery.end(), is_same);
}

/// The gallery, a line each: what it is called, its opening and panels, its title.
std::string galleryList() {
  std::string out;
  for (const GalleryGate& gate : galleryGates()) {
    const auto json = nlohmann::json::parse(gate.text);
    const std::string title = json.value(nlohmann::json::json_pointer("/job/title"), std::string());
    std::string line(gate.name);
    line.resize(std::max<std::size_t>(line.size() + 2, 24), ' ');
    const int opening = json.value(nlohmann::json::json_pointer("/site/opening_mm"), 0);
    out += line + std::to_string(opening) + " mm" + (title.empty() ? "" : ", " + title) + "\n";
  }
  return out;
}

ExitCode runNew(const Options& options) {
  demand(!options.all || options.name.empty(), "new: --all goes without a gallery gate's name");
  if (options.list) {
    demand(options.name.empty() && options.output.empty() && !options.all && options.sets.empty(),
           "new: --list goes alone");
    print(galleryList());
    return kDone;
  }
  if (options.site_sheet) {
    demand(options.name.empty() && !options.all && options.sets.empty(),
           "new: --site-sheet goes with -o and --force alone");
  }
  const std::vector<Override> overrides = overridesFrom(options);
  std::string text = options.site_sheet      ? desk::siteSheet()
                     : !options.name.empty() ? galleryText(options.name)
                     : options.all           ? everyKeyGate()
                                             : starterGate();
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
  std::string names;
  for (const GalleryGate& gate : galleryGates()) {
    names += (names.empty() ? "" : ",") + std::string(gate.name);
  }
  fresh->add_option("NAME", options.name, "gallery gate")->type_name("{" + names + "}");
  fresh->add_flag("--all", options.all, "every key there is, with its default");
  fresh->add_flag("--list", options.list, "list the gallery's gates instead");
  fresh->add_flag(
      "--site-sheet", options.site_sheet,
      "instead a page to measure a driveway with, on a phone or on paper; it saves a gate "
      "file");
  fresh->add_option("-o,--output", options.output, "write to this file instead of stdout");
  fresh->add_flag("--force", options.force,
                  "replace the file, where new wrote it and nobody changed it");
  addCommonOptions(*fresh, options);
  fresh->callback([&] { chosen = [&] { return runNew(options); }; });
}

}  // namespace leafstack
