#include "exporters/commands/input/progress.h"

#include <unistd.h>

#include <cstdio>
#include <iostream>

namespace leafstack {
namespace {

constexpr const char* kStartOver = "\r\033[K";  // to the line's start, then erase it

}  // namespace

Progress::Progress(bool quiet, bool timings)
    : timings_(timings && !quiet),
      live_(!quiet && isatty(STDERR_FILENO) != 0),
      began_(Clock::now()) {}

Progress::Progress(Watcher watcher) : watcher_(std::move(watcher)), began_(Clock::now()) {}

Progress::~Progress() {
  clearLine();
}

void Progress::stage(std::string_view name, int done, int total) {
  if (name != stage_) {
    finishStage();
    stage_ = name;
    began_ = Clock::now();
  }
  if (watcher_) {
    watcher_(name, done, total);
  }
  if (live_) {
    std::cerr << kStartOver << stage_;
    if (total > 0) {
      std::cerr << ": " << done << " of " << total << " files";
    }
    std::cerr << std::flush;
  }
}

void Progress::finishStage() {
  clearLine();
  if (timings_ && !stage_.empty()) {
    const std::chrono::duration<double, std::milli> took = Clock::now() - began_;
    char number[32];
    std::snprintf(number, sizeof number, "%8.1f", took.count());
    std::cerr << number << " ms  " << stage_ << "\n";
  }
  stage_.clear();
}

void Progress::clearLine() {
  if (live_ && !stage_.empty()) {
    std::cerr << kStartOver << std::flush;
  }
}

}  // namespace leafstack
