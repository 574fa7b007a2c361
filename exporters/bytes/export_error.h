// An output that could not be made as promised: nothing is downgraded silently.
#pragma once

#include <stdexcept>

namespace leafstack {

/// Something was lost, invalid or unwritable on the way out. main.cpp ends with exit code 6 where
/// the file system refused, and 1 where the content itself is at fault.
class ExportError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// The file system refused: no such folder, no permission, no space.
class WriteError : public ExportError {
 public:
  using ExportError::ExportError;
};

}  // namespace leafstack
