#include "generator/occt/kernel_says.h"

#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>

#include "generator/geometry/geometry_error.h"

namespace leafstack {

void kernelSays(const std::string& what, const std::function<void()>& work) {
  try {
    work();
  } catch (const Standard_OutOfMemory&) {
    throw;  // no fault of the part's
  } catch (const Standard_Failure& error) {
    throw GeometryError(what + ": the kernel failed: " + error.GetMessageString());
  } catch (const GeometryError& error) {
    const std::string text = error.what();
    throw GeometryError(text.starts_with(what) ? text : what + ": " + text);
  }
}

}  // namespace leafstack
