// The letters of an unpacked archive, on machines that have none.
#pragma once

namespace leafstack {

/// Where `../share/leafstack/fonts.conf` lies beside the running program, as in the portable
/// archive, PDF lettering is looked for there, unless FONTCONFIG_FILE names other settings. Changes
/// the environment: call it before any thread starts.
void useOwnFonts();

}  // namespace leafstack
