// Words about the table's keys for people: titles, what each choice is, examples. The table has all
// that the program itself goes by.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "params/table/parameter.h"

namespace leafstack {

/// "Fence height" of /site/fence_height_mm: the key as words, without its unit.
std::string titleOf(const Parameter& parameter);

/// What each choice is, in the order of the choices; empty for other kinds.
std::vector<std::string_view> choiceTexts(const Parameter& parameter);

/// Values as a gate file holds them (JSON texts), the first the most usual: at least one for
/// whatever holds a value.
std::vector<std::string> examplesOf(const Parameter& parameter);

/// The key written into a gate file that has nothing else but what it must: one line.
std::string exampleGate(const Parameter& parameter, const std::string& value);

}  // namespace leafstack
