#include "params/reading/diagnostics.h"

#include "params/reading/text.h"

namespace leafstack {

std::string toString(const Diagnostic& problem) {
  std::string out = oneLine(problem.source);
  if (problem.line > 0) {
    out += ':' + std::to_string(problem.line) + ':' + std::to_string(problem.column);
  }
  if (!problem.pointer.empty()) {
    out += ": " + oneLine(problem.pointer);
  }
  out += ": " + problem.message;
  if (!problem.allowed.empty()) {
    out += " (allowed: " + problem.allowed + ")";
  }
  if (!problem.suggestion.empty()) {
    out += "; " + problem.suggestion;
  }
  return out;
}

}  // namespace leafstack
