// readback DIR: checks an output folder of `leafstack build` with the independent STEP reader. One
// line per problem and a summary; exit code 1 on any problem, 2 on wrong usage.
#include <iostream>

#include "tests/readback/readback_checks.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: readback DIR\n";
    return 2;
  }
  const auto outcome = leafstack::readback::checkFolder(argv[1]);
  for (const std::string& problem : outcome.problems) std::cout << problem << '\n';
  std::cout << "readback: " << outcome.files << " files, " << outcome.solids << " solids, "
            << outcome.occurrences << " occurrences, volumes and areas within "
            << outcome.worst_relative << ", " << outcome.problems.size()
            << (outcome.problems.size() == 1 ? " problem\n" : " problems\n");
  return outcome.problems.empty() ? 0 : 1;
}
