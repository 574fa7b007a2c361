#include "exporters/cad/step/step_reread.h"

#include <algorithm>
#include <charconv>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/step/step_text.h"

namespace leafstack {
namespace {

/// Entities by number, and every reference made.
struct Numbers {
  std::vector<bool> defined, referred;
  bool repeated = false;
};

void mark(std::vector<bool>& flags, std::size_t number) {
  if (flags.size() <= number) {
    flags.resize(number + 1);
  }
  flags[number] = true;
}

/// Next '#' outside strings at or after `at`; npos if none. `at` is outside a string.
std::size_t nextHash(std::string_view text, std::size_t at) {
  at = text.find_first_of("#'", at);
  while (at != std::string_view::npos && text[at] == '\'') {
    const std::size_t close = text.find('\'', at + 1);
    at = close == std::string_view::npos ? close : text.find_first_of("#'", close + 1);
  }
  return at;
}

Numbers readNumbers(std::string_view text) {
  Numbers numbers;
  for (std::size_t at = nextHash(text, 0); at != std::string_view::npos;) {
    std::size_t number = 0;
    const char* const end = text.data() + text.size();
    const char* const rest = std::from_chars(text.data() + at + 1, end, number).ptr;
    const bool starts_line = at == 0 || text[at - 1] == '\n';
    if (starts_line && std::string_view(rest, end).starts_with(" = ")) {
      numbers.repeated =
          numbers.repeated || (number < numbers.defined.size() && numbers.defined[number]);
      mark(numbers.defined, number);
    } else {
      mark(numbers.referred, number);
    }
    at = nextHash(text, static_cast<std::size_t>(rest - text.data()));
  }
  return numbers;
}

bool allDefined(const Numbers& numbers) {
  for (std::size_t i = 0; i < numbers.referred.size(); ++i) {
    if (numbers.referred[i] && (i >= numbers.defined.size() || !numbers.defined[i])) {
      return false;
    }
  }
  return true;
}

/// End of the string token that starts at `at`, past its closing quote.
std::size_t tokenEnd(std::string_view text, std::size_t at) {
  std::size_t close = text.find('\'', at + 1);
  while (close != std::string_view::npos && text.substr(close + 1, 1) == "'") {
    close = text.find('\'', close + 2);
  }
  return close == std::string_view::npos ? text.size() : close + 1;
}

/// Second string parameter (the name) of every entity of type `keyword`, sorted.
std::vector<std::string> names(std::string_view text, std::string_view keyword) {
  const std::string start = " = " + std::string(keyword) + "(";
  std::vector<std::string> found;
  for (std::size_t at = text.find(start); at != std::string_view::npos;
       at = text.find(start, at + 1)) {
    const std::size_t second = tokenEnd(text, at + start.size()) + 1;
    found.emplace_back(text.substr(second, tokenEnd(text, second) - second));
  }
  std::sort(found.begin(), found.end());
  return found;
}

std::vector<std::string> tokens(const std::vector<std::string>& expected) {
  std::vector<std::string> out;
  for (const std::string& name : expected) {
    out.push_back(part21String(name));
  }
  std::sort(out.begin(), out.end());
  return out;
}

int count(std::string_view text, std::string_view word) {
  int found = 0;
  for (std::size_t at = text.find(word); at != std::string_view::npos;
       at = text.find(word, at + 1)) {
    ++found;
  }
  return found;
}

}  // namespace

void checkStepFile(std::string_view text, const StepContents& expected, const std::string& file) {
  const auto fail = [&](const std::string& what) { throw ExportError(file + ": " + what); };
  if (!text.starts_with("ISO-10303-21;\n") || !text.ends_with("\nEND-ISO-10303-21;\n")) {
    fail("the file is cut short");
  }
  if (count(text, " = MANIFOLD_SOLID_BREP(") != expected.solids) {
    fail("not every solid arrived");
  }
  if (names(text, "PRODUCT") != tokens(expected.products)) {
    fail("product names differ from the part marks");
  }
  if (names(text, "NEXT_ASSEMBLY_USAGE_OCCURRENCE") != tokens(expected.occurrences)) {
    fail("occurrence names differ from the model's");
  }
  const Numbers numbers = readNumbers(text);
  if (numbers.repeated) {
    fail("two entities have the same number");
  }
  if (!allDefined(numbers)) {
    fail("a reference leads nowhere");
  }
}

}  // namespace leafstack
