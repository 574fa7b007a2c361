// What is thrown rather than handing out wrong geometry.
#pragma once

#include <stdexcept>

namespace leafstack {

/// The kernel produced something that is not the one valid closed solid asked for.
class GeometryError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace leafstack
