// The findings in a report.json of an earlier run.
#pragma once

#include <stdexcept>
#include <string>

#include "generator/clash/report/clash.h"

namespace leafstack {

/// Not a report.json, or one without a clash check.
class ReportError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// Throws ReportError, naming `name` and what is wrong; every problem at once, one a line.
EarlierFindings earlierFindings(const std::string& text, const std::string& name);

}  // namespace leafstack
