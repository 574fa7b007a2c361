// The command schema.
#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"
#include "params/read_gate.h"

namespace leafstack {

void declareSchema(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* schema = app.add_subcommand("schema", "print the JSON Schema of the gate file");
  schema->add_flag("--quiet", options.quiet, "no effect: prints data only");
  schema->callback([&] {
    chosen = [] {
      print(gateSchema());
      return kDone;
    };
  });
}

}  // namespace leafstack
