#include "exporters/commands/program.h"

#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>
#include <CLI/CLI.hpp>
#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>
#include <new>
#include <optional>
#include <sstream>
#include <string_view>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/provenance.h"
#include "exporters/commands/commands.h"
#include "exporters/commands/help.h"
#include "exporters/commands/input/fault_file.h"
#include "exporters/lists/report/earlier_report.h"
#include "exporters/paper/backends/own_fonts.h"
#include "generator/geometry/in_parallel.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

void declareAll(CLI::App& app, Options& options, Chosen& chosen) {
  app.set_version_flag("--version", programName());
  app.require_subcommand(0, 1);
  for (const auto declare :
       {declareNew, declareCheck, declareBuild, declareCompare, declareDiff, declareDesk,
        declareHardware, declareExplain, declareSchema, declareShellFiles}) {
    declare(app, options, chosen);
  }
  CLI::App* help = app.add_subcommand("help", "print this, or the help of one command");
  help->add_option("COMMAND", options.name, "a command");
  const auto print_help = [&] {
    CLI::App* about = &app;
    if (!options.name.empty()) {
      const auto found =
          app.get_subcommands([&](const CLI::App* one) { return one->get_name() == options.name; });
      demand(!found.empty(), meantOf(app, {options.name}));
      about = found.front();
    }
    // App::help() would tell of the command that is being run.
    const std::string name = app.get_name() + (about == &app ? "" : " " + about->get_name());
    print(fitted(about->get_formatter()->make_help(about, name, CLI::AppFormatMode::Normal),
                 terminalColumns()));
    return kDone;
  };
  help->callback([&chosen, print_help] { chosen = print_help; });
  chosen = print_help;  // where no command is given
  addFooters(app);
}

/// An internal fault: says what it was, and keeps the gate.
ExitCode tellFault(const std::string& what, const CLI::App& app, const Options& options) {
  FaultyRun run{options.gate_text, options.shelf, app.get_subcommands().front()->get_name(), ""};
  for (const Override& one : overridesFrom(options)) {
    if (options.shelf.empty() || !one.pointer.starts_with("/hardware")) {  // the shelf has it
      run.overrides.push_back(one);
    }
  }
  if (run.command == "build") {
    run.options = " -o NEW_FOLDER";
    for (const std::string& one : options.only) {
      run.options += (&one == &options.only.front() ? " --only " : ",") + one;
    }
  }
  for (const std::string& line : faultLines(what, run)) {
    tell(line);
  }
  return kInternalFault;
}

/// Neither the gate's fault nor the program's.
ExitCode tellNoMemory() {
  constexpr std::string_view kLine =
      "out of memory: this run needs more than the computer lets it have; ask for fewer outputs "
      "with --only, or run it where there is more\n";
  [[maybe_unused]] const auto written = write(STDERR_FILENO, kLine.data(), kLine.size());
  return kInternalFault;
}

/// Destructors of libraries, JSON values' among them, take memory where none may fail: what is
/// thrown there ends the program past every handler, but not without a word. What is half written
/// stands under a hidden name, which the next run clears away, as after a kill.
[[noreturn]] void endWithoutHandler() {
  try {
    if (const std::exception_ptr thrown = std::current_exception()) {
      std::rethrow_exception(thrown);
    }
  } catch (const std::bad_alloc&) {
    _exit(tellNoMemory());
  } catch (...) {
    std::abort();
  }
  // Nothing was thrown: so the runtime ends a program that has no memory left even for that.
  constexpr std::size_t kLittle = 1U << 16U;
  if (void* const more = std::malloc(kLittle); more == nullptr) {
    _exit(tellNoMemory());
  }
  std::abort();
}

/// What the parser has to say, help included, with what it quotes of the command line escaped.
ExitCode tellParser(const CLI::App& app, const CLI::ParseError& error,
                    const std::vector<std::string>& words) {
  std::ostringstream out, complaints;
  const int code = app.exit(error, out, complaints);
  print(fitted(out.str(), terminalColumns()));
  if (const std::string meant = code == 0 ? "" : meantOf(app, words); !meant.empty()) {
    tell(meant);
    return kWrongUsage;
  }
  std::istringstream lines(complaints.str());
  for (std::string line; std::getline(lines, line);) {
    tell(line);
  }
  return code == 0 ? kDone : kWrongUsage;
}

/// The exit code, where there is nothing to run.
std::optional<ExitCode> parse(CLI::App& app, int argc, char** argv) {
  try {
    app.parse(argc, argv);
    return std::nullopt;
  } catch (const CLI::ParseError& error) {
    return tellParser(app, error, {argv + std::min(argc, 1), argv + argc});
  }
}

}  // namespace

void keepMemory() {
#ifdef __GLIBC__
  constexpr int kMegabyte = 1 << 20;
  constexpr int kHeap = 64 * kMegabyte, kLargePage = 2 * kMegabyte;
  mallopt(M_TOP_PAD, kHeap);
  mallopt(M_TRIM_THRESHOLD, 256 * kMegabyte);
  mallopt(M_MMAP_THRESHOLD, 32 * kMegabyte);
  // A check touches thousands of small pages, and to have them given takes a sixth of its time:
  // grown now, the heap is asked for in large ones. Where there are none it stays as it is.
  void* volatile grown = std::malloc(kMegabyte);
  std::free(grown);
  const auto end = reinterpret_cast<std::uintptr_t>(sbrk(0));
  const std::uintptr_t first = (end - kHeap + kLargePage - 1) / kLargePage * kLargePage;
  madvise(reinterpret_cast<void*>(first), end - first, MADV_HUGEPAGE);
#endif
}

int runProgram(int argc, char** argv) {
  keepMemory();
  useOwnFonts();
  std::set_terminate(endWithoutHandler);
  CLI::App app("Solid models of telescopic sliding gates, from a gate file.", "leafstack");
  Options options;
  Chosen chosen;
  declareAll(app, options, chosen);
  try {
    if (const auto code = parse(app, argc, argv)) {
      return *code;
    }
    std::optional<ThreadLimit> limit;
    if (options.threads) {
      limit.emplace(*options.threads);
    }
    return chosen();
  } catch (const Stop& stop) {
    for (const std::string& line : stop.lines) {
      tell(line);
    }
    return stop.code;
  } catch (const ReportError& error) {
    std::cerr << error.what() << "\n";  // several lines, escaped by who wrote them
    return kInvalidInput;
  } catch (const WriteError& error) {
    tell(error.what());
    return kNotWritten;
  } catch (const std::filesystem::filesystem_error& error) {
    tell(error.what());
    return kNotWritten;
  } catch (const std::bad_alloc&) {
    return tellNoMemory();
  } catch (const Standard_OutOfMemory&) {  // the kernel's word for it
    return tellNoMemory();
  } catch (const std::exception& error) {
    return tellFault(error.what(), app, options);
  } catch (const Standard_Failure& error) {  // the kernel's own, no std::exception
    return tellFault(std::string("the kernel failed: ") + error.GetMessageString(), app, options);
  }
}

}  // namespace leafstack
