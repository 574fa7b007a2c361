#include "params/explain.h"

#include <algorithm>
#include <vector>

#include "params/key_words.h"
#include "params/meant_keys.h"
#include "params/reading/text.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

/// "site.opening_mm", "site/opening_mm" and "/site/opening_mm" are one.
std::string asPointer(std::string_view key) {
  std::string out(key);
  std::replace(out.begin(), out.end(), '.', '/');
  return out.starts_with('/') ? out : '/' + out;
}

/// Every key whose last word is this one; where some are called so exactly, those alone.
std::vector<const Parameter*> keysCalled(std::string_view word) {
  std::vector<const Parameter*> found;
  for (const Parameter& parameter : parameterTable()) {
    if (keyOf(parameter) == word || nameCore(keyOf(parameter)) == word) {
      found.push_back(&parameter);
    }
  }
  const auto is_exact = [&](const Parameter* one) { return keyOf(*one) == word; };
  if (std::any_of(found.begin(), found.end(), is_exact)) {
    std::erase_if(found, [&](const Parameter* one) { return !is_exact(one); });
  }
  // What was measured has the names of what was drawn, which is meant where nothing else is said.
  const auto is_measured = [](const Parameter* one) {
    return std::string_view(one->pointer).starts_with("/as_built/");
  };
  if (!std::all_of(found.begin(), found.end(), is_measured)) {
    std::erase_if(found, is_measured);
  }
  return found;
}

std::string folded(const std::string& text, std::size_t indent, std::size_t columns) {
  std::string out, line(indent, ' ');
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    const std::string word = text.substr(from, to - from);
    if (line.size() > indent && line.size() + 1 + word.size() > columns) {
      out += line + '\n';
      line.assign(indent, ' ');
    }
    line += (line.size() > indent ? " " : "") + word;
    from = to + 1;
  }
  return out + line + '\n';
}

/// A heading and what stands under it.
std::string section(const std::string& head, const std::string& text, std::size_t columns) {
  return text.empty() ? "" : "\n" + head + "\n" + folded(text, 2, columns);
}

std::string choicesSection(const Parameter& parameter) {
  const std::vector<std::string> names = choiceNames(parameter);
  const std::vector<std::string_view> texts = choiceTexts(parameter);
  if (names.empty() || texts.size() != names.size()) {
    return "";
  }
  std::size_t width = 0;
  for (const std::string& name : names) {
    width = std::max(width, name.size());
  }
  std::string out = "\nChoices\n";
  for (std::size_t i = 0; i < names.size(); ++i) {
    out += "  " + names[i] + std::string(width - names[i].size() + 2, ' ') + std::string(texts[i]) +
           "\n";
  }
  return out;
}

std::string examplesSection(const Parameter& parameter) {
  const std::vector<std::string> examples = examplesOf(parameter);
  if (examples.empty()) {
    return "";
  }
  std::string values;
  for (const std::string& one : examples) {
    values += (values.empty() ? "  " : ",  ") + one;
  }
  std::string word = examples.back();
  if (word.starts_with('"') && word.find_first_of(" '") == std::string::npos) {
    word = word.substr(1, word.size() - 2);
  } else if (word.starts_with('"')) {
    word = "'" + word.substr(1, word.size() - 2) + "'";
  } else if (word.find(' ') != std::string::npos) {
    word = "'" + word + "'";
  }
  return "\nExamples\n" + values + "\n  " + exampleGate(parameter, examples.back()) + "\n  --set " +
         parameter.pointer + "=" + word + "\n";
}

std::string groupSection(const Parameter& parameter, std::size_t columns) {
  std::string out = "\nKeys\n";
  for (const Parameter* child : childrenOf(parameter.pointer)) {
    out += "  " + std::string(keyOf(*child)) + "\n" + folded(child->meaning, 6, columns);
  }
  return out;
}

}  // namespace

std::string explained(std::string_view key, std::size_t columns) {
  const Parameter* parameter = findParameter(asPointer(key));
  if (parameter == nullptr && key.find_first_of("/.") == std::string_view::npos) {
    const auto found = keysCalled(key);
    // Else as the reader of a gate file takes it.
    parameter = found.size() == 1 ? found.front() : meantBy("", key);
  }
  if (parameter == nullptr) {
    return "";
  }
  std::string out = std::string(parameter->pointer) + "\n" +
                    folded(titleOf(*parameter) + ". " + parameter->meaning + ".", 2, columns);
  if (!childrenOf(parameter->pointer).empty()) {
    out += groupSection(*parameter, columns);
  }
  if (parameter->kind == Kind::kGroup) {
    return out;
  }
  out += section("Allowed", allowedText(*parameter), columns);
  out +=
      section("Default", parameter->required ? "none: it has to be given" : parameter->default_json,
              columns);
  if (*parameter->limits.reason != '\0') {
    out += section("Why no more", parameter->limits.reason, columns);
  }
  return out + choicesSection(*parameter) + examplesSection(*parameter) +
         section("Source of default and range", parameter->source, columns);
}

std::string nearestKeys(std::string_view key) {
  if (const std::string_view said = noInput(key); !said.empty()) {
    return std::string(said);
  }
  const std::string word(key.substr(
      key.find_last_of("/.") == std::string_view::npos ? 0 : key.find_last_of("/.") + 1));
  std::vector<std::string> found;
  for (const Parameter* one : keysCalled(nameCore(word))) {
    found.emplace_back(one->pointer);
  }
  if (const Parameter* meant = meantBy("", word); meant != nullptr && found.empty()) {
    found.emplace_back(meant->pointer);
  }
  if (found.empty()) {
    std::vector<std::string> all;
    for (const Parameter& parameter : parameterTable()) {
      all.emplace_back(keyOf(parameter));
    }
    for (const Parameter* one : keysCalled(nearestName(word, all))) {
      found.emplace_back(one->pointer);
    }
  }
  return found.empty()
             ? "leafstack new --all shows every key, and leafstack hardware medium the hardware's"
             : "did you mean " + joined(found, "or") + "?";
}

}  // namespace leafstack
