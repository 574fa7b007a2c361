#include "generator/compare/sweep.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "params/reading/reporter.h"

namespace leafstack {
namespace {

constexpr int kMostPlaces = 9;
constexpr std::size_t kMostDigits = 15;

/// A decimal as whole number of units of its last place.
struct Decimal {
  long long units = 0;
  int places = 0;
};

std::optional<Decimal> decimalOf(std::string_view text) {
  Decimal decimal;
  const bool is_negative = !text.empty() && text.front() == '-';
  text.remove_prefix(is_negative ? 1 : 0);
  std::size_t digits = 0;
  bool after_point = false;
  for (const char c : text) {
    if (c == '.' && !after_point && digits > 0) {
      after_point = true;
    } else if (c >= '0' && c <= '9' && digits < kMostDigits) {
      decimal.units = decimal.units * 10 + (c - '0');
      decimal.places += after_point ? 1 : 0;
      ++digits;
    } else {
      return std::nullopt;
    }
  }
  const bool is_whole = digits > 0 && text.back() != '.';
  if (!is_whole || decimal.places > kMostPlaces) {
    return std::nullopt;
  }
  decimal.units = is_negative ? -decimal.units : decimal.units;
  return decimal;
}

/// In units of `places`; nothing where that leaves what a whole number holds.
std::optional<long long> unitsAt(const Decimal& decimal, int places) {
  long long units = decimal.units;
  for (int i = decimal.places; i < places; ++i) {
    if (__builtin_mul_overflow(units, 10LL, &units)) {
      return std::nullopt;
    }
  }
  return units;
}

std::string textOf(long long units, int places) {
  std::string digits = std::to_string(std::llabs(units));
  if (places > 0) {
    const auto least = static_cast<std::size_t>(places) + 1;
    digits.insert(0, digits.size() < least ? least - digits.size() : 0, '0');
    digits.insert(digits.size() - static_cast<std::size_t>(places), ".");
    digits.erase(digits.find_last_not_of('0') + 1);
    if (digits.back() == '.') {
      digits.pop_back();
    }
  }
  if (units < 0) {
    digits.insert(0, "-");
  }
  return digits;
}

std::vector<std::string> split(std::string_view text, char at) {
  std::vector<std::string> parts;
  for (std::size_t from = 0;;) {
    const std::size_t to = text.find(at, from);
    parts.emplace_back(text.substr(from, to - from));
    if (to == std::string_view::npos) {
      return parts;
    }
    from = to + 1;
  }
}

/// FROM:TO:STEP.
bool fillRange(const std::vector<std::string>& parts, std::vector<std::string>& values,
               std::string& problem) {
  const auto from = decimalOf(parts[0]);
  const auto to = decimalOf(parts[1]);
  const auto step = decimalOf(parts[2]);
  if (!from || !to || !step) {
    problem = "expected FROM:TO:STEP as decimals";
    return false;
  }
  const int places = std::max({from->places, to->places, step->places});
  const auto first = unitsAt(*from, places);
  const auto last = unitsAt(*to, places);
  const auto by = unitsAt(*step, places);
  if (!first || !last || !by) {
    problem = "has too many digits";
    return false;
  }
  if (*by <= 0 || *last < *first) {
    problem = "expected a step above 0, and TO no less than FROM";
    return false;
  }
  if ((*last - *first) / *by >= kMostValuesPerAxis) {
    problem = "has more than " + std::to_string(kMostValuesPerAxis) + " values";
    return false;
  }
  for (long long units = *first; units <= *last; units += *by) {
    values.push_back(textOf(units, places));
  }
  return true;
}

/// A swept value goes in as an override; its problems are the sweep's.
void nameSource(std::span<const SweepAxis> axes, Diagnostic& problem) {
  for (const SweepAxis& axis : axes) {
    if (problem.source == kOverrideSource && problem.pointer.starts_with(axis.pointer)) {
      problem.source = "--sweep";
    }
  }
}

std::optional<long long> wholeOf(std::string_view text) {
  long long value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || text.empty()) {
    return std::nullopt;
  }
  return value;
}

}  // namespace

std::optional<SweepAxis> parseAxis(std::string_view text, std::string& problem) {
  const std::size_t equals = text.find('=');
  SweepAxis axis;
  if (equals == std::string_view::npos || text.empty() || text.front() != '/' ||
      equals + 1 == text.size()) {
    problem = "expected /json/pointer=FROM:TO:STEP or /json/pointer=A,B,C";
    return std::nullopt;
  }
  axis.pointer = text.substr(0, equals);
  const std::string_view range = text.substr(equals + 1);
  const std::vector<std::string> parts = split(range, ':');
  if (parts.size() == 3) {
    return fillRange(parts, axis.values, problem) ? std::optional(axis) : std::nullopt;
  }
  if (range.find_first_of("[]{}") != std::string_view::npos) {
    problem = "lists and objects cannot be swept, only single values";
    return std::nullopt;
  }
  axis.values = split(range, ',');
  const bool has_empty =
      std::any_of(axis.values.begin(), axis.values.end(), [](const auto& v) { return v.empty(); });
  if (parts.size() != 1 || has_empty) {
    problem = "expected FROM:TO:STEP or a list A,B,C";
    return std::nullopt;
  }
  return axis;
}

std::optional<Shard> parseShard(std::string_view text, std::string& problem) {
  const std::vector<std::string> parts = split(text, '/');
  const auto index = wholeOf(parts.front());
  const auto count = parts.size() == 2 ? wholeOf(parts.back()) : std::nullopt;
  if (!index || !count || *index < 1 || *count < *index) {
    problem = "expected I/N with 1 <= I <= N, as in 2/4";
    return std::nullopt;
  }
  return Shard{*index, *count};
}

bool areNested(std::string_view one, std::string_view other) {
  const std::string_view& inner = one.size() < other.size() ? other : one;
  const std::string_view& outer = one.size() < other.size() ? one : other;
  return inner.starts_with(outer) && (inner.size() == outer.size() || inner[outer.size()] == '/');
}

long long pointCount(std::span<const SweepAxis> axes) {
  long long count = 1;
  for (const SweepAxis& axis : axes) {
    count *= static_cast<long long>(axis.values.size());
  }
  return count;
}

PointRange pointsOf(long long count, const Shard& shard) {
  // The product of two whole numbers of 63 bits has 126.
  const auto share = [&](long long index) {
    return static_cast<long long>(static_cast<__int128>(count) * index / shard.count);
  };
  return {share(shard.index - 1), share(shard.index)};
}

std::vector<std::string> valuesAt(std::span<const SweepAxis> axes, long long point) {
  std::vector<std::string> values(axes.size());
  for (std::size_t i = axes.size(); i-- > 0;) {
    const auto size = static_cast<long long>(axes[i].values.size());
    values[i] = axes[i].values[static_cast<std::size_t>(point % size)];
    point /= size;
  }
  return values;
}

namespace {

/// Reads every site of the shard; each problem is told once, and no site where there is one.
std::vector<Diagnostic> readSites(const SweepInput& input, std::vector<GateSpec>& specs) {
  const PointRange range = pointsOf(pointCount(input.axes), input.shard);
  std::vector<Diagnostic> problems;
  std::set<std::string> told;
  for (long long point = range.first; point < range.end; ++point) {
    std::vector<Override> overrides = input.overrides;
    const std::vector<std::string> values = valuesAt(input.axes, point);
    for (std::size_t i = 0; i < input.axes.size(); ++i) {
      const bool is_bare_room = input.axes[i].pointer == "/site/room_mm" &&
                                values[i].find_first_not_of("0123456789.") == std::string::npos;
      overrides.push_back(  // the unit says that a small one is meant
          {input.axes[i].pointer, values[i] + (is_bare_room ? " mm" : "")});
    }
    ReadResult read = readGate(input.text, input.source_name, overrides, input.hardware);
    for (Diagnostic& problem : read.problems) {
      nameSource(input.axes, problem);
      if (told.insert(toString(problem)).second) {
        problems.push_back(std::move(problem));
      }
    }
    if (read.gate && problems.empty()) {
      specs.push_back(std::move(read.gate->spec));
    }
  }
  return problems;
}

}  // namespace

std::vector<Diagnostic> sweepProblems(const SweepInput& input) {
  std::vector<GateSpec> specs;
  return readSites(input, specs);
}

std::vector<Diagnostic> sweep(const SweepInput& input,
                              const std::function<void(const SweptSite&)>& take) {
  std::vector<GateSpec> specs;
  std::vector<Diagnostic> problems = readSites(input, specs);
  if (!problems.empty()) {
    return problems;
  }
  const PointRange range = pointsOf(pointCount(input.axes), input.shard);
  CompareOptions options;
  options.in_words = false;
  options.prices = input.prices;
  for (std::size_t i = 0; i < specs.size(); ++i) {
    const long long point = range.first + static_cast<long long>(i);
    take({point, valuesAt(input.axes, point), compareArrangements(specs[i], options)});
  }
  return {};
}

}  // namespace leafstack
