// Small linear programs, some of their columns in whole numbers: solved by Clp, or by Cbc where
// there are such. Silent, in the calling thread, bounded by counts of steps; the same input gives
// the same answer.
#pragma once

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

namespace leafstack {

/// Rows `least <= sum of factors x columns <= most`, columns with bounds and costs; the least cost
/// is sought. kNoBound stands for none.
class LinearProgram {
 public:
  static constexpr double kNoBound = 1e300;
  using Factors = std::vector<std::pair<int, double>>;  ///< by column

  int column(double least, double most, double cost);
  /// One that takes whole numbers only.
  int wholeColumn(double least, double most, double cost);
  /// Nothing is added where the columns' bounds keep it; one that another says too, at whatever
  /// scale, becomes one with it.
  void row(const Factors& factors, double least, double most);
  int columns() const { return static_cast<int>(cost_.size()); }

  /// Every column's value; empty where no values keep all rows, or the steps are spent.
  std::vector<double> solved() const;

 private:
  struct Alike {
    int row = 0;
    double first = 1;  ///< its first factor
  };

  bool isKeptByBounds(const Factors& factors, double least, double most) const;
  std::vector<double> solvedInWholeNumbers() const;

  std::map<std::vector<std::pair<int, std::int64_t>>, Alike> alike_;  ///< by direction
  std::vector<int> rows_, columns_, whole_;
  std::vector<double> factors_, least_, most_, cost_, row_least_, row_most_;
};

}  // namespace leafstack
