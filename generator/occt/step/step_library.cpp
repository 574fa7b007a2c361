#include "generator/occt/step/step_library.h"

#include <dlfcn.h>

#include <cerrno>
#include <new>

namespace leafstack {
namespace {

constexpr const char* kFile = "leafstack_step.so";
constexpr const char* kEntry = "leafstack_step_library";

const StepLibrary& loaded() {
  errno = 0;
  void* const library = dlopen(kFile, RTLD_LAZY | RTLD_LOCAL);
  if (library == nullptr && errno == ENOMEM) {
    throw std::bad_alloc();
  }
  void* const entry = library == nullptr ? nullptr : dlsym(library, kEntry);
  if (entry == nullptr) {
    const char* const why = dlerror();
    throw NoStepLibrary(std::string("the program's own library ") + kFile +
                        ", which reads and writes STEP and stands beside it, cannot be loaded: " +
                        (why == nullptr ? "unknown reason" : why));
  }
  return *reinterpret_cast<const StepLibrary* (*)()>(entry)();
}

}  // namespace

const StepLibrary& stepLibrary() {
  static const StepLibrary& one = loaded();
  return one;
}

}  // namespace leafstack
