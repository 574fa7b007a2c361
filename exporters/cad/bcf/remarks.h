// Reads a BCF file's topics back in.
#pragma once

#include <string>
#include <vector>

#include "exporters/cad/bcf/remark.h"

namespace leafstack {

inline constexpr std::size_t kMostRemarkBytes = 32u << 20;
inline constexpr std::size_t kMostRemarks = 2000;

struct ReadRemarks {
  std::vector<Remark> remarks;
  std::vector<std::string> problems;  ///< all; then there are no remarks
};

/// Topics of a BCF 3.0 file, in its order. Our own that nobody has written into are left out: they
/// are made anew.
ReadRemarks readRemarks(const std::string& bytes, const std::string& name);

/// The topic's markup as it is kept, labelled where its parts are gone.
std::string keptMarkup(const Remark& remark, bool has_parts_gone);

}  // namespace leafstack
