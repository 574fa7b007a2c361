#include "exporters/commands/shell/completion.h"

#include "params/shelf/hardware_set.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

std::string joined(const std::vector<std::string>& words, const std::string& separator) {
  std::string text;
  for (const std::string& word : words) {
    if (!text.empty()) {
      text += separator;
    }
    text += word;
  }
  return text;
}

/// In single quotes, for any of the shells; `end` is how one says a quote within them.
std::string quoted(const std::string& text, const std::string& end) {
  std::string result = "'";
  for (const char c : text) {
    if (c == '\'') {
      result += end;
    } else {
      result += c;
    }
  }
  return result += "'";
}

std::string inShell(const std::string& text) {
  return quoted(text, "'\\''");
}

std::vector<std::string> pointers() {
  std::vector<std::string> found;
  for (const Parameter& parameter : parameterTable()) {
    if (parameter.kind != Kind::kGroup && parameter.kind != Kind::kVersion) {
      found.emplace_back(parameter.pointer);
    }
  }
  return found;
}

std::vector<std::string> choicesOf(const Parameter& parameter) {
  if (parameter.kind == Kind::kFlag) {
    return {"true", "false"};
  }
  return {parameter.choices.begin(), parameter.choices.end()};
}

std::vector<std::string> names(const CommandInfo& command) {
  std::vector<std::string> found;
  for (const OptionInfo& option : command.options) {
    if (!option.positional) {
      found.insert(found.end(), option.names.begin(), option.names.end());
    }
  }
  return found;
}

// ---------------------------------------------------------------- bash

/// Words that may follow, whether or not other words may, too.
std::vector<std::string> wordsAfter(const OptionInfo& option,
                                    const std::vector<CommandInfo>& commands) {
  std::vector<std::string> words = option.choices;
  if (option.positional && option.takesPointer()) {
    words = pointers();
  } else if (option.positional && option.value == "COMMAND") {
    for (const CommandInfo& command : commands) {
      if (!command.name.empty()) {
        words.push_back(command.name);
      }
    }
  } else if (option.has("--hardware") || (option.positional && option.value == "SET")) {
    for (const BuiltInSet& set : builtInSets()) {
      words.emplace_back(set.name);
    }
  }
  return words;
}

/// "  [check:--dxf]='R2000 R12'": choices by command and option.
std::string bashChoices(const std::vector<CommandInfo>& commands) {
  std::string text;
  for (const CommandInfo& command : commands) {
    for (const OptionInfo& option : command.options) {
      const std::vector<std::string> choices = wordsAfter(option, commands);
      for (const std::string& name : option.names) {
        const std::string before = option.positional ? "" : name;
        text += choices.empty() ? ""
                                : "    [" + command.name + ":" + before +
                                      "]=" + inShell(joined(choices, " ")) + "\n";
      }
    }
  }
  return text;
}

std::string bashScript(const std::vector<CommandInfo>& commands) {
  std::vector<std::string> words;
  std::string options, values;
  for (const CommandInfo& command : commands) {
    if (!command.name.empty()) {
      words.push_back(command.name);
    }
    options += "    [" + (command.name.empty() ? "-" : command.name) +
               "]=" + inShell(joined(names(command), " ")) + "\n";
  }
  for (const Parameter& parameter : parameterTable()) {
    if (const auto choices = choicesOf(parameter); !choices.empty()) {
      values +=
          std::string("    [") + parameter.pointer + "]=" + inShell(joined(choices, " ")) + "\n";
    }
  }
  std::string text = R"(# Completion of leafstack for bash, made by `leafstack completion bash`.
_leafstack() {
  local -A options=(
@OPTIONS@  )
  local -A choices=(
@CHOICES@  )
  local -A values=(
@VALUES@  )
  local pointers=@POINTERS@
  local commands=@COMMANDS@
  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command='-' word
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    [[ " $commands " == *" $word "* ]] && { command=$word; break; }
  done
  COMPREPLY=()
  # bash breaks words at the equals sign.
  if [[ $current == '=' && -n ${values[$before]-} ]]; then
    COMPREPLY=($(compgen -W "${values[$before]}" -- ''))
  elif [[ $before == '=' && -n ${values[${COMP_WORDS[COMP_CWORD-2]}]-} ]]; then
    COMPREPLY=($(compgen -W "${values[${COMP_WORDS[COMP_CWORD-2]}]}" -- "$current"))
  elif [[ $before == --set || $before == --sweep ]]; then
    COMPREPLY=($(compgen -S = -W "$pointers" -- "$current"))
    compopt -o nospace 2>/dev/null
  elif [[ -n ${choices[$command:$before]-} && $current == *,* ]]; then
    COMPREPLY=($(compgen -P "${current%,*}," -W "${choices[$command:$before]-}" -- "${current##*,}"))
  elif [[ -n ${choices[$command:$before]-} ]]; then
    COMPREPLY=($(compgen -W "${choices[$command:$before]-}" -- "$current"))
    compopt -o default 2>/dev/null
  elif [[ $current == -* ]]; then
    COMPREPLY=($(compgen -W "${options[$command]}" -- "$current"))
  elif [[ $command == - ]]; then
    COMPREPLY=($(compgen -W "$commands" -- "$current"))
  elif [[ -n ${choices[$command:]-} ]]; then
    COMPREPLY=($(compgen -W "${choices[$command:]-}" -- "$current"))
    compopt -o default 2>/dev/null
  else
    compopt -o default 2>/dev/null
  fi
}
complete -F _leafstack leafstack
)";
  const auto put = [&text](const std::string& mark, const std::string& value) {
    text.replace(text.find(mark), mark.size(), value);
  };
  put("@OPTIONS@", options);
  put("@CHOICES@", bashChoices(commands));
  put("@VALUES@", values);
  put("@POINTERS@", inShell(joined(pointers(), " ")));
  put("@COMMANDS@", inShell(joined(words, " ")));
  return text;
}

// ---------------------------------------------------------------- zsh

/// What zsh's _arguments would read as part of its own syntax.
std::string plainForZsh(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c == ':' || c == '[' || c == ']' || c == '\\') {
      result += '\\';
    }
    result += c;
  }
  return result;
}

std::string zshAction(const OptionInfo& option) {
  if (!option.choices.empty()) {
    return option.is_list ? "_values -s , which " + joined(option.choices, " ")
                          : "(" + joined(option.choices, " ") + ")";
  }
  return option.takesPointer() ? "_leafstack_set" : "_files";
}

std::string zshSpec(const OptionInfo& option) {
  const std::string value =
      option.value.empty() ? "" : ":" + plainForZsh(option.value) + ":" + zshAction(option);
  if (option.positional) {
    return "    " + inShell(option.required ? value : ":" + value) + " \\\n";
  }
  std::string text;
  for (const std::string& name : option.names) {
    text +=
        "    " + inShell("*" + name + "[" + plainForZsh(option.meaning) + "]" + value) + " \\\n";
  }
  return text;
}

std::string zshScript(const std::vector<CommandInfo>& commands) {
  std::string text = "#compdef leafstack\n";
  text += "# Completion of leafstack for zsh, made by `leafstack completion zsh`.\n";
  text += "_leafstack_set() {\n  if compset -P 1 '*='; then\n    case ${IPREFIX%=} in\n";
  for (const Parameter& parameter : parameterTable()) {
    if (const auto choices = choicesOf(parameter); !choices.empty()) {
      text += std::string("      *") + parameter.pointer + ") compadd " + joined(choices, " ") +
              " ;;\n";
    }
  }
  text += "    esac\n  else\n    compadd -S = " + joined(pointers(), " ") + "\n  fi\n}\n";
  text += "_leafstack() {\n  local -a commands=(\n";
  std::string cases;
  for (const CommandInfo& command : commands) {
    std::string specs;
    for (const OptionInfo& option : command.options) {
      specs += zshSpec(option);
    }
    if (command.name.empty()) {
      cases +=
          "  if (( CURRENT == 2 )); then\n    _describe command commands\n    _arguments \\\n" +
          specs + "    && return\n    return\n  fi\n";
      cases += "  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n  case $command in\n";
    } else {
      text += "    " + inShell(command.name + ":" + plainForZsh(command.meaning)) + "\n";
      cases += "  " + command.name + ") _arguments \\\n" + specs + "    ;;\n";
    }
  }
  return text + "  )\n" + cases + "  esac\n}\n_leafstack \"$@\"\n";
}

// ---------------------------------------------------------------- fish

std::string inFish(const std::string& text) {
  return quoted(text, "\\'");
}

std::string fishOption(const CommandInfo& command, const OptionInfo& option) {
  std::string text = "complete -c leafstack -n ";
  text += command.name.empty() ? "__fish_use_subcommand"
                               : inFish("__fish_seen_subcommand_from " + command.name);
  for (const std::string& name : option.names) {
    if (!option.positional) {
      text += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    }
  }
  if (option.is_list) {
    text += " -x -a " + inFish("(__leafstack_list " + joined(option.choices, " ") + ")");
  } else if (!option.choices.empty()) {
    text += " -x -a " + inFish(joined(option.choices, " "));
  } else if (option.takesPointer()) {
    text += " -x -a '(__leafstack_set)'";
  } else if (option.positional || !option.value.empty()) {
    text += option.positional ? " -F" : " -r -F";
  }
  return text + " -d " + inFish(option.meaning) + "\n";
}

std::string fishScript(const std::vector<CommandInfo>& commands) {
  std::string text = "# Completion of leafstack for fish, made by `leafstack completion fish`.\n";
  text += "function __leafstack_set\n";
  for (const Parameter& parameter : parameterTable()) {
    if (parameter.kind == Kind::kGroup || parameter.kind == Kind::kVersion) {
      continue;
    }
    const std::string pointer = parameter.pointer;
    auto words = choicesOf(parameter);
    if (words.empty()) {
      words = {""};
    }
    for (const std::string& word : words) {
      text += "  printf '%s\\t%s\\n' " + inFish(pointer + "=" + word) + " " +
              inFish(parameter.meaning) + "\n";
    }
  }
  text += "end\n";
  text +=
      "function __leafstack_list\n  set -l before (string match -r '.*,' -- (commandline -ct))\n"
      "  printf '%s\\n' \"$before\"$argv\nend\n";
  text += "complete -c leafstack -f\n";
  for (const CommandInfo& command : commands) {
    if (!command.name.empty()) {
      text += "complete -c leafstack -n __fish_use_subcommand -a " + command.name + " -d " +
              inFish(command.meaning) + "\n";
    }
    for (const OptionInfo& option : command.options) {
      text += fishOption(command, option);
    }
  }
  return text;
}

}  // namespace

std::string completionScript(const std::string& shell, const std::vector<CommandInfo>& commands) {
  if (shell == "bash") {
    return bashScript(commands);
  }
  if (shell == "zsh") {
    return zshScript(commands);
  }
  return shell == "fish" ? fishScript(commands) : "";
}

}  // namespace leafstack
