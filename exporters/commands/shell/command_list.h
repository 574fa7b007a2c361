// The commands and options as data, read from what parses them: man page and completion cannot say
// anything else than the program does.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace leafstack {

struct OptionInfo {
  std::vector<std::string> names;    ///< "-o", "--output"; one without dashes for a positional
  std::string value;                 ///< what follows it, "FILE"; "" for a flag
  std::vector<std::string> choices;  ///< the only values there are; empty: any
  std::string meaning;
  bool positional = false, required = false;
  bool is_list = false;  ///< several choices, with commas between

  /// Whether what follows is a key of the gate file, or begins with one.
  bool takesPointer() const { return has("--set") || has("--sweep") || value == "KEY"; }

  bool has(const std::string& name) const;
};

struct CommandInfo {
  std::string name;  ///< "" for the program itself
  std::string meaning;
  std::vector<OptionInfo> options;
};

/// The program first, then its commands as they were declared.
std::vector<CommandInfo> commandsOf(const CLI::App& app);

}  // namespace leafstack
