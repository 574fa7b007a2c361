// What the program is doing, for whoever waits in front of it.
#pragma once

#include <chrono>
#include <functional>
#include <string>
#include <string_view>

namespace leafstack {

/// On a terminal: one line on stderr that changes with the stage, and is gone at the end. With
/// `timings`: a plain line per stage. Else, and with `quiet`, nothing.
class Progress {
 public:
  Progress(bool quiet, bool timings);
  /// Told to somebody else than a terminal.
  using Watcher = std::function<void(std::string_view stage, int done, int total)>;
  explicit Progress(Watcher watcher);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// Begins `name`, unless it is under way already; `total` files are to come, `done` are written.
  void stage(std::string_view name, int done = 0, int total = 0);
  void finishStage();

 private:
  using Clock = std::chrono::steady_clock;
  void clearLine();

  bool timings_ = false, live_ = false;
  Watcher watcher_;
  std::string stage_;
  Clock::time_point began_;
};

}  // namespace leafstack
