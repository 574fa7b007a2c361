#pragma once

#include <stdexcept>

namespace leafstack {

/// The kernel produced something that is not the one valid closed solid asked for, or that cannot
/// be cut into triangles.
class GeometryError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace leafstack
