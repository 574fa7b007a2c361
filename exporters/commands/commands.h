// Every command: each declares itself and its options in a file of its own, and leaves what to run.
#pragma once

#include <functional>

#include "exporters/commands/input/command_input.h"

namespace CLI {
class App;
}

namespace leafstack {

/// What the command line asks for, once it is read.
using Chosen = std::function<ExitCode()>;

void declareNew(CLI::App& app, Options& options, Chosen& chosen);
void declareCheck(CLI::App& app, Options& options, Chosen& chosen);
void declareBuild(CLI::App& app, Options& options, Chosen& chosen);
void declareCompare(CLI::App& app, Options& options, Chosen& chosen);
void declareHardware(CLI::App& app, Options& options, Chosen& chosen);
void declareDesk(CLI::App& app, Options& options, Chosen& chosen);
void declareDiff(CLI::App& app, Options& options, Chosen& chosen);
void declareExplain(CLI::App& app, Options& options, Chosen& chosen);
void declareSchema(CLI::App& app, Options& options, Chosen& chosen);
/// What packages install beside the program: man page and completion.
void declareShellFiles(CLI::App& app, Options& options, Chosen& chosen);

/// --remarks.
void addRemarksOption(CLI::App& command, Options& options);
/// --hardware, whose last words are `more`.
void addHardwareOption(CLI::App& command, Options& options, const std::string& more);

/// --set and --quiet.
void addCommonOptions(CLI::App& command, Options& options);

/// GATE, with --set, --quiet, --hardware, --timings, --against and --threads.
void addGateOptions(CLI::App& command, Options& options);
/// --cures.
void addCuresOption(CLI::App& command, Options& options);

}  // namespace leafstack
