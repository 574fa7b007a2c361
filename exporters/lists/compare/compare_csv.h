// A sweep's rows, one for every site and arrangement, as CSV (RFC 4180) or JSON. Rows of shards,
// one after the other, are the rows of the whole, byte for byte: the head goes before the very
// first site, JSON's closing bracket after the very last.
#pragma once

#include <string>
#include <vector>

#include "generator/compare/sweep.h"

namespace leafstack {

enum class SweepFormat { kCsv, kJson };

class SweepRows {
 public:
  SweepRows(SweepFormat format, std::vector<SweepAxis> axes, bool with_cost);

  /// The rows of one site, with what belongs before or after them.
  std::string rows(const SweptSite& site) const;

 private:
  void csvRow(const SweptSite& site, int index, std::string& out) const;
  void jsonRow(const SweptSite& site, int index, std::string& out) const;

  SweepFormat format_;
  std::vector<SweepAxis> axes_;
  long long points_ = 0;
  bool with_cost_;
};

}  // namespace leafstack
