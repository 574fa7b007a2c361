// The man page, section 1, as roff.
#pragma once

#include <string>
#include <vector>

#include "exporters/commands/shell/command_list.h"

namespace leafstack {

/// Commands and options as they are parsed, every key of the gate file from the parameter table,
/// the exit codes, and the cautions given.
std::string manPage(const std::vector<CommandInfo>& commands,
                    const std::vector<std::string>& cautions);

}  // namespace leafstack
