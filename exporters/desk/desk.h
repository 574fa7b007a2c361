// The desk: what its page asks for, answered. exporters/desk/README.md tells of the rules.
#pragma once

#include <memory>
#include <string>

#include "exporters/commands/input/command_input.h"

namespace leafstack::desk {

class Desk {
 public:
  /// `options.input`: the gate file, which need not exist; `options.output`: the folder that
  /// hand-outs go into, or "". Throws WriteError, std::system_error.
  Desk(const Options& options, int port);
  /// Calls off what is under way; what was not saved stays in the journal.
  ~Desk();

  /// What to open, with a code that opens it once. Earlier codes that nobody used end.
  std::string freshAddress();
  int port() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace leafstack::desk
