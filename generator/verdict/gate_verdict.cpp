#include "generator/verdict/gate_verdict.h"

namespace leafstack {
namespace {

/// Reasons that the line names; the others are counted.
constexpr std::size_t kNamed = 2;

std::string clashInShort(const ClashReport& clash) {
  const std::size_t count = clash.findings.size();
  const std::string many = std::to_string(count);
  if (clash.verdict == Verdict::kClash) {
    return many + (count == 1 ? " clash" : " clashes");
  }
  return "the clash check did not settle " + many + (count == 1 ? " pair" : " pairs") + " of parts";
}

bool& answerTo(GateVerdict& verdict, Against against) {
  switch (against) {
    case Against::kTrack:
      return verdict.stays;
    case Against::kDrive:
      return verdict.starts;
    case Against::kMaking:
      return verdict.can_be_made;
    case Against::kStrength:
    case Against::kNothing:
      break;
  }
  return verdict.holds;
}

/// ", provided its drive holds ...", with every proviso; "" without.
std::string provided(const GateVerdict& verdict) {
  std::string words;
  for (const std::string& one : verdict.provisos) {
    words += (words.empty() ? ", provided " : ", and ") + one;
  }
  return words;
}

}  // namespace

GateVerdict gateVerdict(const std::vector<Warning>& warnings, const ClashReport* clash) {
  GateVerdict verdict;
  verdict.clash = clash;
  // A panel that stands in the driveway makes much else meet: first things first.
  const auto tellOf = [&](bool grounded) {
    for (const Warning& warning : warnings) {
      if (warning.against != Against::kNothing && (warning.id == "grounds") == grounded) {
        answerTo(verdict, warning.against) = false;
        verdict.reasons.push_back({warning.id, warning.in_short, warning.where});
      }
    }
  };
  tellOf(true);
  if (clash == nullptr) {
    verdict.reasons.push_back({"room", "it does not fit the site", "/site/room_mm"});
  } else if (clash->verdict == Verdict::kClash || clash->verdict == Verdict::kUnresolved) {
    verdict.reasons.push_back({"clash", clashInShort(*clash), ""});
  }
  tellOf(false);
  verdict.is_ready = verdict.reasons.empty();
  for (const Warning& warning : warnings) {
    if (verdict.is_ready && !warning.proviso.empty()) {
      verdict.provisos.push_back(warning.proviso);
    }
  }
  return verdict;
}

std::string inWords(const GateVerdict& verdict) {
  if (verdict.is_ready) {
    const bool is_tight = verdict.clash->verdict == Verdict::kTight;
    return "READY" + provided(verdict) + ": nothing meets" +
           (is_tight ? " as drawn, though clearances are short" : "") +
           "; it holds, stays on its track and starts.";
  }
  std::string out = "NOT READY: ";
  for (std::size_t i = 0; i < verdict.reasons.size() && i < kNamed; ++i) {
    out += (i > 0 ? ", " : "") + verdict.reasons[i].text;
  }
  if (verdict.reasons.size() > kNamed) {
    out += " and " + std::to_string(verdict.reasons.size() - kNamed) + " more";
  }
  return out + ".";
}

std::string inTitle(const GateVerdict& verdict) {
  return !verdict.is_ready          ? "NOT READY"
         : verdict.provisos.empty() ? "ready to make"
                                    : "ready to make" + provided(verdict);
}

}  // namespace leafstack
