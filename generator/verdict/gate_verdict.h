// Whether a gate can be made as it is, and if not, why: one answer over clash, strength, staying on
// its track, drive and making.
#pragma once

#include <string>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/verdict/warning.h"

namespace leafstack {

struct VerdictReason {
  std::string id, text, where;
};

struct GateVerdict {
  bool is_ready = false;
  /// Of the clash check; null in words where none was made, since the gate does not fit.
  const ClashReport* clash = nullptr;
  bool holds = true, stays = true, starts = true, can_be_made = true;
  std::vector<VerdictReason> reasons;  ///< none where it is ready
  /// What a ready gate is ready on condition of, which is not in the gate file: said in the line.
  std::vector<std::string> provisos;
};

/// `warnings` are those of warningsOf(); `clash` is null for a gate that does not fit its site,
/// which is then the reason.
GateVerdict gateVerdict(const std::vector<Warning>& warnings, const ClashReport* clash);

/// "READY: ...", "READY, provided ...: ..." or "NOT READY: ...", with every reason in short; one
/// line.
std::string inWords(const GateVerdict& verdict);
/// The same for a drawing's title.
std::string inTitle(const GateVerdict& verdict);

}  // namespace leafstack
