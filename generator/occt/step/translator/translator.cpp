#include "generator/occt/step/translator/translator.h"

/// What stepLibrary() asks for.
extern "C" [[gnu::visibility("default")]] const leafstack::StepLibrary* leafstack_step_library() {
  static constexpr leafstack::StepLibrary kLibrary{
      leafstack::prepareStepTranslator, leafstack::writtenSolid, leafstack::readContent};
  return &kLibrary;
}
