// The hand-out: what `leafstack build` writes, into the folder of the command line or as one zip.
#pragma once

#include <atomic>
#include <functional>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "exporters/desk/checking.h"

namespace leafstack::desk {

struct HandOutOrder {
  std::string text;
  std::vector<std::string> only;  ///< outputs by name; none: all but those on request
  std::string folder;             ///< "": one zip
  std::string gate_path;          ///< never written over
};

struct HandOut {
  int files = 0;
  std::string verdict_line;
  std::string kept;  ///< the replaced folder, where it was kept since others changed it
  std::string zip;   ///< its bytes
};

/// Whether each is the name of an output.
bool areOutputs(const std::vector<std::string>& names);

/// JSON: [{ name, what, on_request }] of everything that can be handed out.
std::string outputsJson();

/// Called with what is being done; throws Cancelled where nobody listens any more.
using HandOutWatcher = std::function<void(std::string_view stage, int done, int total)>;

/// On the worker's thread. Throws Stop where the gate cannot be built, WriteError, ExportError, and
/// Cancelled once `is_over` is set: then nothing is left behind.
HandOut handOut(Checking& checking, const HandOutOrder& order, const std::atomic<bool>& is_over,
                const HandOutWatcher& watch);

}  // namespace leafstack::desk
