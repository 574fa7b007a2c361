#include <STEPControl_Reader.hxx>
#include <mutex>
#include <sstream>

#include "generator/occt/step/translator/translator.h"

namespace leafstack {

StepContent readContent(const std::string& bytes, const std::string& name) {
  static std::mutex mutex;  // the kernel's reader keeps state of the whole process
  const std::lock_guard lock(mutex);
  prepareStepTranslator();
  std::istringstream in(bytes);
  STEPControl_Reader reader;
  StepContent content;
  content.is_step = reader.ReadStream(name.c_str(), in) == IFSelect_RetDone;
  if (content.is_step) {
    content.roots = reader.NbRootsForTransfer();
    content.read = reader.TransferRoots();
    content.shape = reader.OneShape();
  }
  return content;
}

}  // namespace leafstack
