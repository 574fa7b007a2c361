// The commands man and completion.
#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/shell/command_list.h"
#include "exporters/commands/shell/completion.h"
#include "exporters/commands/shell/man_page.h"
#include "generator/verdict/warnings.h"

namespace leafstack {

void declareShellFiles(CLI::App& app, Options& options, Chosen& chosen) {
  app.add_subcommand("man", "print the man page")->callback([&] {
    chosen = [&] {
      print(manPage(commandsOf(app), cautions({})));
      return kDone;
    };
  });
  CLI::App* completion = app.add_subcommand("completion", "print a shell's completion script");
  completion->add_option("SHELL", options.shell, "bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"bash", "zsh", "fish"}));
  completion->callback([&] {
    chosen = [&] {
      print(completionScript(options.shell, commandsOf(app)));
      return kDone;
    };
  });
}

}  // namespace leafstack
