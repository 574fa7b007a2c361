// One thread for all geometry, so that an answer never waits for more than one gate. What nobody
// wants any more is called off, between parts and between pairs (generator/geometry/cancel.h).
#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>

namespace leafstack::desk {

class Worker {
 public:
  /// kEdit: for the gate as it is being typed. kHandOut: files that somebody asked for.
  enum class Lane { kEdit, kHandOut };

  Worker();
  /// Calls everything off.
  ~Worker();
  Worker(const Worker&) = delete;
  Worker& operator=(const Worker&) = delete;

  /// Runs it in its turn and waits. False where it was called off; throws what it throws. `work`
  /// may ask whether it was called off by the flag it is given.
  using Work = std::function<void(const std::atomic<bool>& is_over)>;
  bool run(Lane lane, Work work);
  /// Has it run in its turn, for whoever asks for its result later; what it throws is forgotten.
  void begin(Lane lane, Work work);
  /// Whatever runs or waits in a lane.
  void callOff(Lane lane);

 private:
  struct Job {
    Lane lane = Lane::kEdit;
    Work work;
    std::atomic<bool> is_over = false;
    bool is_done = false, was_called_off = false;
    std::exception_ptr failure;
  };

  std::shared_ptr<Job> queued(Lane lane, Work work);
  void loop();

  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::shared_ptr<Job>> waiting_;
  std::shared_ptr<Job> running_;
  bool is_ending_ = false;
  std::thread thread_;  // last: it uses the others
};

}  // namespace leafstack::desk
