// The command desk: the page on this computer where a gate is designed.
#include <poll.h>
#include <sys/signalfd.h>
#include <unistd.h>
#include <CLI/CLI.hpp>

#include <array>
#include <csignal>
#include <system_error>

#include "exporters/commands/commands.h"
#include "exporters/desk/browser.h"
#include "exporters/desk/desk.h"

namespace leafstack {
namespace {

/// Ending signals as something to wait for, in all threads that are begun from here on.
class EndingSignals {
 public:
  EndingSignals() {
    sigset_t ending;
    sigemptyset(&ending);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
      sigaddset(&ending, signal);
    }
    sigprocmask(SIG_BLOCK, &ending, &before_);
    descriptor_ = signalfd(-1, &ending, SFD_CLOEXEC);
  }
  ~EndingSignals() {
    close(descriptor_);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
      std::signal(signal, SIG_IGN);  // those that still wait were acted upon
    }
    sigprocmask(SIG_SETMASK, &before_, nullptr);
  }
  EndingSignals(const EndingSignals&) = delete;
  EndingSignals& operator=(const EndingSignals&) = delete;
  int descriptor() const { return descriptor_; }

 private:
  sigset_t before_{};
  int descriptor_ = -1;
};

void tellAddress(desk::Desk& desk, bool shows) {
  const std::string address = desk.freshAddress();
  const bool is_shown = shows && desk::showInBrowser(address);
  print(address + "\n");
  tell(is_shown ? "it opens in the browser" : "open it in a browser on this computer");
}

/// Until it is ended; Enter gives a new address.
void waitForEnd(desk::Desk& desk, const EndingSignals& signals) {
  std::array<pollfd, 2> events = {pollfd{signals.descriptor(), POLLIN, 0},
                                  pollfd{isatty(STDIN_FILENO) != 0 ? STDIN_FILENO : -1, POLLIN, 0}};
  while (true) {
    if (poll(events.data(), events.size(), -1) < 0) {
      continue;
    }
    if (events[0].revents != 0) {
      return;
    }
    if (events[1].revents != 0) {
      std::array<char, 256> line{};
      if (read(STDIN_FILENO, line.data(), line.size()) <= 0) {
        events[1].fd = -1;
        continue;
      }
      tellAddress(desk, /*shows=*/false);
    }
  }
}

ExitCode runDesk(Options options, int port, bool shows) {
  if (options.input.empty()) {
    options.input = "gate.json";
  }
  demand(options.input != "-", "desk: the gate is a file, which is saved; - is none");
  const EndingSignals signals;
  try {
    desk::Desk desk(options, port);
    tell(options.input + ": on the desk; Enter gives a new address, Ctrl-C ends");
    tellAddress(desk, shows);
    waitForEnd(desk, signals);
  } catch (const std::system_error& error) {
    throw Stop{kNotWritten, {std::string("desk: ") + error.what()}};
  }
  return kDone;
}

}  // namespace

void declareDesk(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* desk = app.add_subcommand(
      "desk", "design a gate on a page in the browser: form, picture, verdict, hand-out");
  desk->add_option("GATE", options.input,
                   "gate file, begun where it does not exist; else gate.json");
  desk->add_option("-o,--output", options.output,
                   "folder for hand-outs; without one they are handed out as a zip");
  addRemarksOption(*desk, options);
  desk->add_flag("--no-browser", options.no_browser, "only print the address");
  desk->add_option("--port", options.port, "listen on this port, not on any that is free")
      ->check(CLI::Range(1024, 65535))
      ->type_name("N");
  desk->callback(
      [&] { chosen = [&] { return runDesk(options, options.port, !options.no_browser); }; });
}

}  // namespace leafstack
