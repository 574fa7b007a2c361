// Failures while a part is made, with the part named.
#pragma once

#include <functional>
#include <string>

namespace leafstack {

/// Calls `work`; what the kernel throws in it, or a GeometryError that does not name `what` yet, is
/// thrown on as a GeometryError that does.
void kernelSays(const std::string& what, const std::function<void()>& work);

}  // namespace leafstack
