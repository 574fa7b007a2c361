// The command explain.
#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/help.h"
#include "params/explain.h"
#include "params/reading/text.h"

namespace leafstack {

void declareExplain(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* explain =
      app.add_subcommand("explain", "tell what one key of the gate file means, as a manual does");
  explain->add_option("KEY", options.name, "a key, as /site/opening_mm, site.opening_mm or opening")
      ->required();
  explain->callback([&] {
    chosen = [&] {
      const std::string text = explained(options.name, terminalColumns());
      demand(!text.empty(), "explain: there is no key " + inQuotes(options.name) + "; " +
                                nearestKeys(options.name));
      print(text);
      return kDone;
    };
  });
}

}  // namespace leafstack
