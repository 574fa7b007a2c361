// What all fuzz targets share.
#pragma once

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string>

#include "params/read_gate.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace leafstack::fuzz {

/// Ends the run with a crash that the fuzzer keeps the input of.
[[noreturn]] inline void broken(const std::string& what) {
  std::fprintf(stderr, "broken: %s\n", what.c_str());
  std::abort();
}

/// What has to hold of every answer of the reader.
inline void expectSound(const ReadResult& result) {
  if (result.gate.has_value() != result.problems.empty()) {
    broken("neither a gate nor a problem, or both");
  }
  for (const Diagnostic& problem : result.problems) {
    const std::string line = toString(problem);
    if (line.empty() || line.find('\n') != std::string::npos) {
      broken("a problem is not one line: " + line);
    }
  }
}

/// A gate written out from its resolved values reads as the same gate.
inline void expectSameWhenReadBack(const ResolvedGate& gate) {
  nlohmann::ordered_json file = {{"leafstack", 1}};
  for (const ResolvedValue& value : gate.values) {
    const bool is_shelf = value.pointer == "/hardware";  // written key by key
    if (!is_shelf && (value.origin == Origin::kGiven || value.origin == Origin::kOverride)) {
      const bool is_own_motor = value.pointer == "/drive/motor" && value.value == "custom";
      file[nlohmann::ordered_json::json_pointer(value.pointer)] =
          is_own_motor ? nlohmann::ordered_json::object() : value.value;
    }
  }
  const std::string text = file.dump();
  const ReadResult again = readGate(text, "read back");
  if (!again.gate) {
    broken("refused when read back: " + toString(again.problems.front()) + "\n" + text);
  }
  for (std::size_t i = 0; i < gate.values.size(); ++i) {
    if (again.gate->values.at(i).value != gate.values[i].value) {
      broken("another " + gate.values[i].pointer + " when read back\n" + text);
    }
  }
}

}  // namespace leafstack::fuzz
