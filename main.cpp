// leafstack: starts the program (exporters/commands/program.h).
#include <exception>
#include <iostream>

#include "exporters/commands/program.h"
#include "params/reading/text.h"

int main(int argc, char** argv) {
  try {
    return leafstack::runProgram(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "internal fault: " << leafstack::escaped(error.what()) << "\n";
  } catch (...) {
    std::cerr << "internal fault\n";
  }
  return 1;
}
