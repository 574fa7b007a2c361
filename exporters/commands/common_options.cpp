#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"

namespace leafstack {

void addCommonOptions(CLI::App& command, Options& options) {
  command
      .add_option("--set", options.sets,
                  "override one value of the gate, e.g. /site/opening_mm=6000; may be repeated")
      ->allow_extra_args(false)
      ->type_name("/POINTER=VALUE");
  command.add_flag(
      "--quiet", options.quiet,
      "print only data and errors, of texts the verdict and what tells against the gate");
}

void addRemarksOption(CLI::App& command, Options& options) {
  command
      .add_option("--remarks", options.remarks,
                  "topics that others wrote (BCF 3.0): shown at their parts, kept in clashes.bcf; "
                  "may be given again")
      ->type_name("FILE.bcf");
}

void addHardwareOption(CLI::App& command, Options& options, const std::string& more) {
  command
      .add_option("--hardware", options.hardware,
                  "hardware set in place of the gate file's, by name or file; sizes that the gate "
                  "file itself gives stay" +
                      more)
      ->allow_extra_args(false)
      ->type_name("NAME|FILE.json");
}

void addCuresOption(CLI::App& command, Options& options) {
  command.add_flag("--cures", options.cures,
                   "try more changes that might make a gate ready: takes some seconds");
}

void addGateOptions(CLI::App& command, Options& options) {
  command.add_option("GATE", options.input, "gate file; - reads it from standard input")
      ->required();
  addCommonOptions(command, options);
  addHardwareOption(command, options, "");
  command.get_option("--hardware")->multi_option_policy(CLI::MultiOptionPolicy::Throw)->expected(1);
  command.add_flag("--timings", options.timings, "print what each stage took, on stderr");
  command
      .add_option("--against", options.against,
                  "report.json of an earlier run: mark findings as new or still there")
      ->type_name("REPORT.json");
  command
      .add_option("--threads", options.threads,
                  "work on no more than so many cores; what is written is the same")
      ->check(CLI::Range(1, 1024))
      ->type_name("N");
}

}  // namespace leafstack
