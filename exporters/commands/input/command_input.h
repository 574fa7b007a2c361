// What the commands share: what was asked for, what is read, and how a run ends early.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "exporters/cad/bcf/remark.h"
#include "exporters/commands/shell/exit_codes.h"
#include "exporters/folder/input_files.h"
#include "params/read_gate.h"

namespace leafstack {

/// Ends the run: messages for stderr, and the exit code.
struct Stop {
  ExitCode code = kInternalFault;
  std::vector<std::string> lines;
};

/// A file of surroundings, for as long as it stays what it was.
struct KeptSurrounding {
  SurroundingFile file;
  std::string sha256;
  std::filesystem::file_time_type written;
  std::uintmax_t bytes = 0;
};

struct Options {
  std::string input;
  std::string name;  ///< of a gallery gate
  std::string output;
  std::vector<std::string> sets, only, hardware;
  std::string timestamp, against, dxf_version = "R2000", step_schema = "ap214";
  std::optional<int> threads;
  bool json = false, quiet = false, force = false, dry_run = false, timings = false, cures = false;
  bool dxf_marks = false, full = false, list = false, all = false;
  bool checks = false;  ///< hardware --check, on `input` where that is given
  bool drawn = false;   ///< hardware --drawn: ranges of sizes by clash checks too
  std::vector<std::string> sweeps;
  std::string prices, chart;
  std::optional<std::string> shard;
  std::vector<std::string> remarks;  ///< of build: BCF files
  bool csv = false;
  std::string shell;
  bool site_sheet = false;        ///< of new: the page in place of a gate file
  bool no_browser = false;        ///< desk: only its address is told
  int port = 0;                   ///< of the desk; 0: any that is free
  std::string other;              ///< the second gate of diff
  mutable std::string gate_text;  ///< as read, once it is known to be valid
  mutable std::map<std::string, FileText> hardware_files;  ///< by path, as read
  /// By path and unit, as read.
  mutable std::map<std::pair<std::string, std::string>, KeptSurrounding> surrounding_files;
  mutable std::vector<Override> shelf;  ///< what the gate's hardware sets say, once it is valid
};

/// A message, to standard error: one line, escaped where a terminal would obey it.
void tell(const std::string& line);

/// To standard output; throws Stop where that cannot be written.
void print(const std::string& data);

/// --set, split at its first "="; throws Stop where it is none.
std::vector<Override> overridesFrom(const Options& options);

/// Sets of hardware: `chosen` on the command line ("": none), the gate's own, and the files of
/// both, each read once. The options must outlive it.
HardwareInput hardwareFrom(const Options& options, const std::string& chosen);
/// The same with the first --hardware there is.
HardwareInput hardwareFrom(const Options& options);

/// The gate's hardware value by value, for a gate file without the sets: empty where it names none.
std::vector<Override> shelfOf(const ResolvedGate& gate);

/// What messages call an input.
std::string sourceName(const std::string& path);

/// The text of a file, or of standard input for "-"; at most `most` bytes of it. Throws Stop.
std::string readInput(const std::string& path, std::size_t most);

/// Of --remarks, where there are any, each topic once: as the last file has it. Throws Stop with
/// everything that is wrong with them.
std::optional<std::vector<Remark>> remarksFrom(const Options& options);

/// Every file the command reads.
InputFiles inputsOf(const Options& options);

/// Everything wrong that was read, at once: throws Stop unless there is nothing.
void demandNone(std::vector<Diagnostic> problems, const std::vector<Diagnostic>& more = {});

/// Throws Stop with the complaint: wrong usage.
void demand(bool is_right, const std::string& complaint);

}  // namespace leafstack
