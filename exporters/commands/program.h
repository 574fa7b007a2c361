// The program: from the command line to the exit code (exit_codes.h).
//
// Data goes to stdout, messages to stderr.
#pragma once

namespace leafstack {

/// Reads the command line, runs the command, and turns every outcome into an exit code.
int runProgram(int argc, char** argv);

/// Has the C library keep what is given back to it, and take more at once: the kernel takes and
/// gives back without end, and pages from the system are dear.
void keepMemory();

}  // namespace leafstack
