#include "exporters/commands/shell/man_page.h"

#include <algorithm>

#include "exporters/commands/shell/exit_codes.h"
#include "params/key_words.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

/// Text that roff takes literally, at the start of a line too.
std::string plain(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c == '\\') {
      result += "\\e";
    } else if (c == '-') {
      result += "\\-";
    } else {
      result += c;
    }
  }
  if (result.starts_with('.') || result.starts_with('\'')) {
    result.insert(0, "\\&");
  }
  return result;
}

std::string bold(const std::string& text) {
  return "\\fB" + plain(text) + "\\fR";
}

std::string italic(const std::string& text) {
  return "\\fI" + plain(text) + "\\fR";
}

/// A term and what it means.
std::string entry(const std::string& term, const std::string& meaning) {
  return ".TP\n" + term + "\n" + plain(meaning) + "\n";
}

std::string termOf(const OptionInfo& option) {
  if (option.positional) {
    return italic(option.names.front());
  }
  std::string term;
  for (const std::string& name : option.names) {
    term += term.empty() ? "" : ", ";
    term += bold(name);
  }
  return option.value.empty() ? term : term + " " + italic(option.value);
}

std::string meaningOf(const OptionInfo& option) {
  std::string meaning = option.meaning;
  if (!option.choices.empty()) {
    meaning += " (one of:";
    for (const std::string& choice : option.choices) {
      meaning += " " + choice;
    }
    meaning += ")";
  }
  return meaning;
}

std::string synopsis(const std::vector<CommandInfo>& commands) {
  std::string text = ".SH SYNOPSIS\n";
  for (const CommandInfo& command : commands) {
    if (command.name.empty()) {
      continue;
    }
    text += bold("leafstack " + command.name);
    for (const OptionInfo& option : command.options) {
      if (option.positional || option.required) {
        const std::string term = option.positional
                                     ? termOf(option)
                                     : bold(option.names.front()) + " " + italic(option.value);
        text += option.required ? " " + term : " [" + term + "]";
      }
    }
    text += " [" + italic("options") + "]\n.br\n";
  }
  return text;
}

std::string commandSections(const std::vector<CommandInfo>& commands) {
  std::string text = ".SH COMMANDS\n";
  for (const CommandInfo& command : commands) {
    text += ".SS " + (command.name.empty() ? std::string("Any") : plain(command.name)) + "\n";
    text += plain(command.meaning) + "\n";
    for (const OptionInfo& option : command.options) {
      text += entry(termOf(option), meaningOf(option));
    }
  }
  return text;
}

std::string gateFileSection() {
  std::string text = ".SH GATE FILE\n";
  text +=
      "JSON, UTF\\-8. Only /site/opening_mm has to be given. Every key by its JSON pointer, "
      "which\n";
  text += "is also what " + bold("--set") + " takes:\n";
  for (const Parameter& parameter : parameterTable()) {
    if (parameter.kind == Kind::kGroup) {
      continue;
    }
    std::string meaning = parameter.meaning;
    meaning += ". Allowed: " + allowedText(parameter);
    const std::vector<std::string> names = choiceNames(parameter);
    const std::vector<std::string_view> texts = choiceTexts(parameter);
    for (std::size_t i = 0; i < std::min(names.size(), texts.size()); ++i) {
      meaning += (i == 0 ? " (" : "; ") + names[i] + ": " + std::string(texts[i]);
    }
    meaning += texts.empty() ? "" : ")";
    meaning +=
        parameter.required ? "; required" : std::string("; default ") + parameter.default_json;
    if (parameter.default_aluminium != nullptr) {
      meaning += std::string(", in aluminium ") + parameter.default_aluminium;
    }
    text += entry(bold(parameter.pointer), meaning + ".");
  }
  return text;
}

std::string exitSection() {
  std::string text = ".SH EXIT STATUS\n";
  for (const ExitMeaning& one : exitMeanings()) {
    text += entry(bold(std::to_string(one.code)), one.meaning);
  }
  return text;
}

}  // namespace

std::string manPage(const std::vector<CommandInfo>& commands,
                    const std::vector<std::string>& cautions) {
  std::string text = ".TH LEAFSTACK 1 \"\" \"leafstack " LEAFSTACK_VERSION "\" \"User Commands\"\n";
  text += ".SH NAME\nleafstack \\- solid models, lists and drawings of telescopic sliding gates\n";
  text += synopsis(commands);
  text += ".SH DESCRIPTION\n";
  text += plain(commands.front().meaning) + "\n";
  text +=
      "Lays the gate out, builds every part as a solid, proves that nothing meets anything else\n";
  text +=
      "anywhere in the travel, and writes CAD files, lists, drawings and a report. Data goes to\n";
  text += "standard output, messages to standard error. Outputs are whole or not there.\n";
  text += commandSections(commands);
  text += gateFileSection();
  text += exitSection();
  text += ".SH ENVIRONMENT\n";
  text += entry(bold("SOURCE_DATE_EPOCH"),
                "time written into the files where --timestamp is not given, seconds since 1970");
  text += entry(bold("TMPDIR"), "where a gate that made the program fail is kept");
  text += ".SH CAUTIONS\n";
  for (const std::string& caution : cautions) {
    text += ".IP \\(bu 2\n" + plain(caution) + "\n";
  }
  return text;
}

}  // namespace leafstack
