// How the trying of changes ended, in words (declared in warnings.h).
#include <algorithm>
#include <string_view>
#include <utility>

#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

/// What a fixed name of a warning says to people who have not seen the warning.
std::string plainWords(std::string words) {
  constexpr std::pair<std::string_view, std::string_view> kWords[] = {
      {"member-overload", "tubes overloaded"},
      {"frame-soft", "the frame moves too far"},
      {"leaves-track", "a wheel leaves its track"},
      {"wheel-lifts", "a wheel lifts"},
      {"motor-weak", "the motor too weak"},
      {"rope-weak", "a rope too weak"},
      {"clash", "parts that meet"},
      {"runs-by-gravity", "it runs away by itself"},
      {"longer-than-stock", "a piece longer than its stock"}};
  for (const auto& [id, said] : kWords) {
    if (id == words) {
      return std::string(said);
    }
  }
  constexpr std::string_view kOver = "-overload";
  if (words.ends_with(kOver)) {
    words.replace(words.size() - kOver.size(), kOver.size(), " overloaded");
  }
  std::replace(words.begin(), words.end(), '-', ' ');  // else words joined by dashes
  return words;
}

}  // namespace

std::string resultInWords(const Cure& cure) {
  const std::string count = std::to_string(cure.tried);
  if (cure.sets.empty()) {
    return "none of the " + count + " changes tried cures it" +
           (cure.is_brief ? " (--cures tries more)" : "");
  }
  std::string left;
  for (const std::string& id : cure.leaves) {
    left += (left.empty() ? "" : ", ") + plainWords(id);
  }
  const bool is_bought = std::any_of(cure.sets.begin(), cure.sets.end(), [](const auto& set) {
    return set.find("rating_N=") != std::string::npos || set.find("force_N") != std::string::npos;
  });
  return (left.empty() ? std::string(cure.is_proved ? "tried, and with it the gate is ready"
                                                    : "tried, and with it nothing is overloaded")
                       : "tried, and cures it (then still: " + left + ")") +
         (cure.is_proved ? "" : "; clashes were not checked with it") +
         (is_bought ? "; what is bought must be rated so:" : ":");
}

std::string inWords(const Cure& cure) {
  return resultInWords(cure) + (cure.sets.empty() ? "." : " " + settingsOf(cure));
}

}  // namespace leafstack
