#include "exporters/commands/shell/exit_codes.h"

namespace leafstack {
namespace {

constexpr ExitMeaning kMeanings[] = {
    {kDone, "done"},
    {kInternalFault,
     "internal fault, where the gate is kept in a file that repeats it; or out of memory"},
    {kWrongUsage, "wrong usage"},
    {kInvalidInput, "invalid input, or no such file"},
    {kDoesNotFit, "the gate cannot be laid out, or does not fit the room given"},
    {kClashFound, "clash found"},
    {kNotWritten, "output could not be written, or exists and --force was not given"},
    {130, "interrupted (128 and the signal's number); nothing is left behind"},
};

}  // namespace

std::span<const ExitMeaning> exitMeanings() {
  return kMeanings;
}

}  // namespace leafstack
