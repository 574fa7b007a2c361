#include "exporters/bytes/timestamp.h"

#include <charconv>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <regex>

namespace leafstack {
namespace {

using Seconds = std::chrono::sys_seconds;

std::string isoText(Seconds time) {
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss clock(time - day);
  char buffer[64];
  std::snprintf(buffer, sizeof buffer, "%04d-%02u-%02uT%02d:%02d:%02dZ",
                static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                static_cast<unsigned>(date.day()), static_cast<int>(clock.hours().count()),
                static_cast<int>(clock.minutes().count()),
                static_cast<int>(clock.seconds().count()));
  return buffer;
}

/// Digits of one match; 0 for a part that was left out.
int number(const std::ssub_match& match) {
  int value = 0;
  const std::string text = match.str();
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

}  // namespace

std::optional<std::string> normalTimestamp(const std::string& text) {
  static const std::regex kForm(
      R"((\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d))?(?:Z|([+-])(\d\d):?(\d\d))?)?)");
  std::smatch part;
  if (!std::regex_match(text, part, kForm)) {
    return std::nullopt;
  }
  const std::chrono::year_month_day date{std::chrono::year(number(part[1])),
                                         std::chrono::month(static_cast<unsigned>(number(part[2]))),
                                         std::chrono::day(static_cast<unsigned>(number(part[3])))};
  const bool clock_fits = number(part[4]) < 24 && number(part[5]) < 60 && number(part[6]) < 60 &&
                          number(part[8]) < 24 && number(part[9]) < 60;
  if (!date.ok() || !clock_fits) {
    return std::nullopt;
  }
  const auto offset = std::chrono::hours(number(part[8])) + std::chrono::minutes(number(part[9]));
  const Seconds local = std::chrono::sys_days(date) + std::chrono::hours(number(part[4])) +
                        std::chrono::minutes(number(part[5])) +
                        std::chrono::seconds(number(part[6]));
  return isoText(part[7].str() == "-" ? local + offset : local - offset);
}

std::optional<std::string> timestampOfEpoch(const std::string& text) {
  static constexpr std::int64_t kYear9999 = 253402300799;
  std::int64_t seconds = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, seconds);
  if (text.empty() || read.ec != std::errc() || read.ptr != end || seconds < 0 ||
      seconds > kYear9999) {
    return std::nullopt;
  }
  return isoText(Seconds(std::chrono::seconds(seconds)));
}

std::string timestampNow() {
  return isoText(std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()));
}

}  // namespace leafstack
