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

std::shared_ptr<Worker::Job> Worker::queued(Lane lane, Work work) {
  if (is_ending_) {
    return nullptr;
  }
  const auto job = std::make_shared<Job>();
  job->lane = lane;
  job->work = std::move(work);
  waiting_.push_back(job);
  changed_.notify_all();
  return job;
}

bool Worker::run(Lane lane, Work work) {
  std::unique_lock lock(mutex_);
  const std::shared_ptr<Job> job = queued(lane, std::move(work));
  if (!job) {
    return false;
  }
  changed_.wait(lock, [&] { return job->is_done; });
  if (job->failure) {
    std::rethrow_exception(job->failure);
  }
  return !job->was_called_off;
}

void Worker::begin(Lane lane, Work work) {
  const std::lock_guard lock(mutex_);
  queued(lane, std::move(work));
}

void Worker::callOff(Lane lane) {
  const std::lock_guard lock(mutex_);
  for (const std::shared_ptr<Job>& job : waiting_) {
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
    running_ = waiting_.front();
    Job& job = *running_;
    waiting_.pop_front();
    job.is_over = job.is_over || is_ending_;
    lock.unlock();
    try {
      const Cancellable by_flag(&job.is_over);
      endIfCancelled();
      job.work(job.is_over);
    } catch (const Cancelled&) {
      job.was_called_off = true;
    } catch (...) {
      job.failure = std::current_exception();
    }
    lock.lock();
    job.is_done = true;
    running_ = nullptr;
    changed_.notify_all();
  }
}

}  // namespace leafstack::desk
