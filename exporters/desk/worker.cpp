#include "exporters/desk/worker.h"

#include "generator/geometry/cancel.h"

namespace leafstack::desk {

Worker::Worker() : thread_([this] { loop(); }) {}

Worker::~Worker() {
  {
    const std::lock_guard lock(mutex_);
    is_ending_ = true;
  }
  callOff(Lane::kEdit);
  callOff(Lane::kHandOut);
  thread_.join();
}

bool Worker::run(Lane lane, const std::function<void(const std::atomic<bool>&)>& work) {
  Job job;
  job.lane = lane;
  job.work = &work;
  std::unique_lock lock(mutex_);
  if (is_ending_) {
    return false;
  }
  waiting_.push_back(&job);
  changed_.notify_all();
  changed_.wait(lock, [&] { return job.is_done; });
  if (job.failure) {
    std::rethrow_exception(job.failure);
  }
  return !job.was_called_off;
}

void Worker::callOff(Lane lane) {
  const std::lock_guard lock(mutex_);
  for (Job* const job : waiting_) {
    job->is_over = job->is_over || job->lane == lane;
  }
  if (running_ != nullptr && running_->lane == lane) {
    running_->is_over = true;
  }
  changed_.notify_all();
}

void Worker::loop() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return is_ending_ || !waiting_.empty(); });
    if (waiting_.empty()) {
      return;
    }
    Job& job = *waiting_.front();
    waiting_.pop_front();
    job.is_over = job.is_over || is_ending_;
    running_ = &job;
    lock.unlock();
    try {
      const Cancellable by_flag(&job.is_over);
      endIfCancelled();
      (*job.work)(job.is_over);
    } catch (const Cancelled&) {
      job.was_called_off = true;
    } catch (...) {
      job.failure = std::current_exception();
    }
    lock.lock();
    running_ = nullptr;
    job.is_done = true;
    changed_.notify_all();
  }
}

}  // namespace leafstack::desk
