#include "exporters/paper/backends/own_fonts.h"

#include <sys/auxv.h>

#include <cstdlib>
#include <filesystem>
#include <system_error>

namespace leafstack {

void useOwnFonts() {
  std::error_code error;
  const auto* started = reinterpret_cast<const char*>(getauxval(AT_EXECFN));
  const auto program = std::filesystem::canonical(started == nullptr ? "" : started, error);
  const auto settings = program.parent_path().parent_path() / "share/leafstack/fonts.conf";
  if (!error && std::filesystem::is_regular_file(settings, error)) {
    setenv("FONTCONFIG_FILE", settings.c_str(), /*overwrite=*/0);
  }
}

}  // namespace leafstack
