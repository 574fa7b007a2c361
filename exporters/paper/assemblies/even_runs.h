// Places told by first, pitch and last where they are evenly apart.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

inline constexpr double kSameNumberMm = 0.05;  ///< told once: numbers have one decimal

/// Ascending, each once.
std::vector<double> distinct(std::vector<double> values);

struct EvenRun {
  int count = 0;
  double first_mm = 0, pitch_mm = 0;  ///< pitch 0 of one place alone
  double lastMm() const { return first_mm + (count - 1) * pitch_mm; }
};

/// Places that lie within a fiftieth of a millimetre count once; steps that differ by no more are
/// even. A place belongs to the run before it, but where the next step is smaller.
std::vector<EvenRun> evenRuns(std::vector<double> places_mm);

/// "14 from 96.7 every 71.69, last 1028.6"; a place alone by itself.
std::string inWords(const std::vector<EvenRun>& runs);

}  // namespace leafstack
