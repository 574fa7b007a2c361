#include "exporters/paper/assemblies/even_runs.h"

#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kEvenMm = 0.02;
constexpr double kSameMm = 0.005;  // numbers have two decimals, as holes have on every sheet
constexpr int kFewest = 3;         // as a run in words

/// Whether the place before belongs with this one rather than standing alone: the next step is no
/// smaller.
bool startsRun(const std::vector<double>& places, std::size_t i) {
  return i + 1 >= places.size() || places[i + 1] - places[i] > places[i] - places[i - 1] - kEvenMm;
}

std::string number(double mm) {
  return shown(std::abs(mm) < kSameMm ? 0 : mm, 2);
}

/// With as many decimals as let first, pitch and last agree as they are told.
std::string pitchText(const EvenRun& run) {
  constexpr double kCent = 100;
  constexpr int kLeastPlaces = 2, kMostPlaces = 4;
  const auto told = [&](double mm, double in_last_place) {
    return std::round(mm * in_last_place) / in_last_place;
  };
  for (int places = kLeastPlaces;; ++places) {
    const double off = told(run.first_mm, kCent) +
                       (run.count - 1) * told(run.pitch_mm, std::pow(10, places)) -
                       told(run.lastMm(), kCent);
    if (std::abs(off) < kSameMm || places == kMostPlaces) {
      return shown(run.pitch_mm, places);
    }
  }
}

}  // namespace

std::vector<double> distinct(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  std::vector<double> out;
  for (const double value : values) {
    if (out.empty() || value > out.back() + kSameNumberMm) {
      out.push_back(value);
    }
  }
  return out;
}

std::vector<EvenRun> evenRuns(std::vector<double> places) {
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end(),
                           [](double a, double b) { return std::abs(a - b) < kEvenMm; }),
               places.end());
  std::vector<EvenRun> all;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double step = i > 0 ? places[i] - places[i - 1] : 0;
    EvenRun* run = all.empty() ? nullptr : &all.back();
    if (run != nullptr &&
        (run->count == 1 ? startsRun(places, i) : std::abs(step - run->pitch_mm) < kEvenMm)) {
      run->pitch_mm = (places[i] - run->first_mm) / run->count;
      ++run->count;
    } else {
      all.push_back({1, places[i], 0});
    }
  }
  return all;
}

std::string inWords(const std::vector<EvenRun>& runs) {
  std::string text;
  for (const EvenRun& run : runs) {
    if (run.count >= kFewest) {
      text += (text.empty() ? "" : "; ") + std::to_string(run.count) + " from " +
              number(run.first_mm) + " every " + pitchText(run) + ", last " + number(run.lastMm());
      continue;
    }
    for (int i = 0; i < run.count; ++i) {
      text += (text.empty() ? "" : "; ") + number(run.first_mm + i * run.pitch_mm);
    }
  }
  return text;
}

}  // namespace leafstack
