#include "exporters/commands/help.h"

#include <sys/ioctl.h>
#include <unistd.h>
#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

#include "exporters/commands/shell/command_list.h"
#include "exporters/commands/shell/exit_codes.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr std::size_t kPageColumns = 100, kFewest = 40, kMost = 120;

struct Examples {
  const char* command;
  std::vector<const char*> lines;
};

const std::vector<Examples>& examples() {
  static const std::vector<Examples> kAll = {
      {"",
       {"leafstack new -o gate.json          a gate file to begin with; edit it, then",
        "leafstack check gate.json           whether it fits, holds and clears, and what to do",
        "leafstack build gate.json -o gate   models, drawings, lists and pages in a folder",
        "leafstack explain opening_mm        what one key of the gate file means"}},
      {"new",
       {"leafstack new -o gate.json", "leafstack new --list",
        "leafstack new two-panel-pickets --set /site/opening_mm='5.6 m' -o gate.json"}},
      {"check",
       {"leafstack check gate.json", "leafstack check gate.json --set /site/room_mm='3.2 m'",
        "leafstack check gate.json --cures --full"}},
      {"build",
       {"leafstack build gate.json -o gate",
        "leafstack build gate.json -o gate --only step,drawings",
        "leafstack build gate.json -o gate --force --timestamp 2026-05-01T12:00:00Z"}},
      {"compare",
       {"leafstack compare gate.json", "leafstack compare gate.json --prices prices.json --all",
        "leafstack compare gate.json --sweep /site/opening_mm=3000:9000:100 --chart room.svg"}},
      {"diff", {"leafstack diff before.json after.json", "leafstack diff a.json b.json --json"}},
      {"desk",
       {"leafstack desk gate.json", "leafstack desk gate.json -o gate",
        "leafstack desk --no-browser --port 8080"}},
      {"explain", {"leafstack explain /gate/infill/kind", "leafstack explain opening"}},
      {"hardware",
       {"leafstack hardware", "leafstack hardware medium > shelf.json",
        "leafstack hardware shelf.json --check gate.json"}},
      {"schema", {"leafstack schema > gate-schema.json"}},
      {"man", {"leafstack man | man -l -"}},
      {"completion", {"source <(leafstack completion bash)"}},
      {"help", {"leafstack help build"}},
  };
  return kAll;
}

std::string footerOf(const std::string& command) {
  std::string out;
  for (const Examples& one : examples()) {
    if (one.command == command) {
      out += "Examples:\n";
      for (const char* line : one.lines) {
        out += std::string("  ") + line + "\n";
      }
      out += "\n";
    }
  }
  out += "Exit codes:\n";
  for (const ExitMeaning& one : exitMeanings()) {
    std::string code = std::to_string(one.code);
    code.resize(5, ' ');
    out += "  " + code + one.meaning + "\n";
  }
  out.pop_back();
  return out;
}

/// Where what follows a folded line stands: under the text of its second column, where it has two.
std::size_t indentOf(const std::string& line) {
  const std::size_t first = std::min(line.find_first_not_of(' '), line.size());
  const std::size_t gap = line.find("  ", first);
  const std::size_t second =
      gap == std::string::npos ? std::string::npos : line.find_first_not_of(' ', gap);
  return second == std::string::npos ? first + 2 : second;
}

/// A value that is none of an option's choices, with the nearest of them.
std::string meantChoice(const CommandInfo& command, const std::vector<std::string>& words) {
  for (std::size_t i = 1; i + 1 < words.size(); ++i) {
    const auto option =
        std::find_if(command.options.begin(), command.options.end(), [&](const OptionInfo& one) {
          return !one.positional && !one.choices.empty() && one.has(words[i]);
        });
    if (option == command.options.end()) {
      continue;
    }
    std::istringstream values(words[i + 1]);
    for (std::string value; std::getline(values, value, ',');) {
      const std::vector<std::string>& all = option->choices;
      value = withoutBlanks(value);
      if (std::find(all.begin(), all.end(), value) == all.end()) {
        const std::string nearest = nearestName(value, all);
        return words[i] + ": " + inQuotes(value) + " is not one of " + joined(all, "and") +
               (nearest.empty() ? "" : "; did you mean " + nearest + "?");
      }
    }
  }
  return "";
}

/// --set /site/opening_mm=6 m: the shell makes two words of it.
std::string cutBySpaces(const std::vector<std::string>& words) {
  for (std::size_t i = 0; i + 2 < words.size(); ++i) {
    if (words[i] != "--set" || words[i + 1].find('=') == std::string::npos ||
        words[i + 2].starts_with("-") || words[i + 2].ends_with(".json")) {
      continue;
    }
    return inQuotes(words[i + 2]) +
           " stands by itself: a value with blanks takes quotes, as in --set '" + words[i + 1] +
           " " + words[i + 2] + "'";
  }
  return "";
}

std::string folderMissing(const std::vector<std::string>& words) {
  std::string gate;
  for (const std::string& word : words) {
    if (word.starts_with("-o") || word.starts_with("--output")) {
      return "";
    }
    gate = word.ends_with(".json") ? word : gate;
  }
  if (gate.empty()) {
    return "";
  }
  const std::string name = gate.substr(gate.rfind('/') + 1);
  return "build needs the folder to make: leafstack build " + gate + " -o " +
         name.substr(0, name.rfind('.'));
}

}  // namespace

std::string withoutBlanks(const std::string& word) {
  const std::size_t first = std::min(word.find_first_not_of(' '), word.size());
  return word.substr(first, word.find_last_not_of(' ') + 1 - first);
}

std::size_t terminalColumns() {
  winsize size{};
  if (isatty(STDOUT_FILENO) == 0 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 ||
      size.ws_col == 0) {
    return kPageColumns;
  }
  return std::clamp<std::size_t>(size.ws_col, kFewest, kMost);
}

std::string fitted(const std::string& help, std::size_t columns) {
  std::istringstream in(help);
  std::string out;
  for (std::string line; std::getline(in, line);) {
    std::size_t indent = indentOf(line);
    indent = indent + 20 > columns ? 4 : indent;
    while (line.size() > columns) {
      std::size_t at = line.rfind(' ', columns);
      while (at != std::string::npos && at > indent && line.compare(at + 1, 1, "-") == 0) {
        at = line.rfind(' ', at - 1);  // an option's name never begins a line of a text
      }
      std::size_t skipped = 1;
      if (at == std::string::npos || at <= indent || line.find_first_not_of(' ') >= at) {
        at = line.rfind(',', columns - 1);  // a list of choices without blanks
        if (at == std::string::npos || at <= indent) {
          break;
        }
        ++at;
        skipped = 0;
      }
      out += line.substr(0, at) + "\n";
      line = std::string(indent, ' ') + line.substr(at + skipped);
    }
    out += line + "\n";
  }
  return out;
}

void addFooters(CLI::App& app) {
  app.footer(footerOf(""));
  for (CLI::App* command : app.get_subcommands([](CLI::App*) { return true; })) {
    command->footer(footerOf(command->get_name()));
  }
}

std::string meantOf(const CLI::App& app, const std::vector<std::string>& words) {
  const std::vector<CommandInfo> commands = commandsOf(app);
  const auto command = [&](const std::string& name) {
    return std::find_if(commands.begin(), commands.end(),
                        [&](const CommandInfo& one) { return one.name == name; });
  };
  if (words.empty()) {
    return "";
  }
  if (!words.front().starts_with("-") && command(words.front()) == commands.end()) {
    std::vector<std::string> names;
    for (const CommandInfo& one : commands) {
      if (!one.name.empty()) {
        names.push_back(one.name);
      }
    }
    if (words.front().ends_with(".json")) {
      return "there is no command " + inQuotes(words.front()) + "; did you mean leafstack check " +
             words.front() + "?";
    }
    const std::string nearest = nearestName(words.front(), names);
    return "there is no command " + inQuotes(words.front()) +
           (nearest.empty() ? "; leafstack help lists them"
                            : "; did you mean leafstack " + nearest + "?");
  }
  const auto chosen = command(words.front());
  if (chosen == commands.end()) {
    return "";
  }
  std::vector<std::string> names;
  for (const OptionInfo& option : chosen->options) {
    if (!option.positional) {
      names.insert(names.end(), option.names.begin(), option.names.end());
    }
  }
  for (const std::string& word : words) {
    const std::string name = word.substr(0, word.find('='));
    if (name.starts_with("--") && std::find(names.begin(), names.end(), name) == names.end()) {
      const std::string nearest = nearestName(name, names);
      return "leafstack " + chosen->name + " has no option " + inQuotes(name) +
             (nearest.empty() ? "" : "; did you mean " + nearest + "?");
    }
  }
  for (const std::string& found : {meantChoice(*chosen, words), cutBySpaces(words)}) {
    if (!found.empty()) {
      return found;
    }
  }
  return chosen->name == "build" ? folderMissing(words) : "";
}

}  // namespace leafstack
