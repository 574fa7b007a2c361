#include "exporters/commands/shell/command_list.h"

#include <CLI/CLI.hpp>
#include <algorithm>

namespace leafstack {
namespace {

std::vector<std::string> split(const std::string& text, char separator) {
  std::vector<std::string> parts;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t to = std::min(text.find(separator, from), text.size());
    parts.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  return parts;
}

/// "TEXT:{a,b}", as the parser describes a choice, into value and choices.
void readValue(const std::string& type, OptionInfo& info) {
  const std::size_t open = type.find('{');
  const std::size_t close = type.rfind('}');
  if (open != std::string::npos && close != std::string::npos && open < close) {
    info.choices = split(type.substr(open + 1, close - open - 1), ',');
    info.value = "WHICH";
    return;
  }
  info.value = type;
}

OptionInfo infoOf(const CLI::Option& option) {
  OptionInfo info;
  info.meaning = option.get_description();
  info.required = option.get_required();
  info.positional = !option.nonpositional();
  info.is_list = option.get_delimiter() == ',';
  if (option.get_items_expected_max() > 0) {
    readValue(option.get_type_name(), info);
  }
  if (info.positional) {
    info.names = {option.get_name(/*positional=*/true)};
    info.value = info.choices.empty() ? info.names.front() : info.value;
    return info;
  }
  for (const std::string& name : option.get_snames()) {
    info.names.push_back("-" + name);
  }
  for (const std::string& name : option.get_lnames()) {
    info.names.push_back("--" + name);
  }
  return info;
}

CommandInfo infoOf(const CLI::App& app) {
  CommandInfo info{app.get_name(), app.get_description(), {}};
  for (const CLI::Option* option : app.get_options()) {
    info.options.push_back(infoOf(*option));
  }
  return info;
}

}  // namespace

bool OptionInfo::has(const std::string& name) const {
  return std::find(names.begin(), names.end(), name) != names.end();
}

std::vector<CommandInfo> commandsOf(const CLI::App& app) {
  std::vector<CommandInfo> commands = {infoOf(app)};
  commands.front().name.clear();
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    commands.push_back(infoOf(*command));
  }
  return commands;
}

}  // namespace leafstack
