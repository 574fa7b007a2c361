// leafstack: starts the program (exporters/commands/program.h).
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <iostream>

#include "exporters/commands/program.h"
#include "params/reading/text.h"

namespace {

/// All is written; taking a gate and fifty libraries apart piece by piece would only take time. Where
/// an address sanitizer looks for what was lost, that has to be done.
int endWith(int code) {
  std::cout.flush();
  std::cerr.flush();
#ifndef __SANITIZE_ADDRESS__
  std::fflush(nullptr);
  std::_Exit(code);
#endif
  return code;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return endWith(leafstack::runProgram(argc, argv));
  } catch (const std::exception& error) {
    std::cerr << "internal fault: " << leafstack::escaped(error.what()) << "\n";
  } catch (...) {
    std::cerr << "internal fault\n";
  }
  return 1;
}
