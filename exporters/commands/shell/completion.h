// Completion scripts for bash, zsh and fish.
#pragma once

#include <string>
#include <vector>

#include "exporters/commands/shell/command_list.h"

namespace leafstack {

/// The script for "bash", "zsh" or "fish", with a newline at its end; "" for any other shell.
/// Commands, options, their choices, and for --set every pointer of the gate file with its choices.
std::string completionScript(const std::string& shell, const std::vector<CommandInfo>& commands);

}  // namespace leafstack
