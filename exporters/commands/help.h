// Help as people read it: fitted to the terminal, with examples and exit codes, and what was meant
// by a mistyped word.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace leafstack {

/// Columns of the terminal that standard output is, else of a page: 100. From 40 to 120.
std::size_t terminalColumns();

/// `help` with its long lines folded, what follows under where their texts begin.
std::string fitted(const std::string& help, std::size_t columns);

/// A word without the blanks around it.
std::string withoutBlanks(const std::string& word);

/// Gives every command its examples, and the exit codes.
void addFooters(CLI::App& app);

/// What to say of a command line that the parser refused where a word of it is nearly a command or
/// an option; else empty.
std::string meantOf(const CLI::App& app, const std::vector<std::string>& words);

}  // namespace leafstack
