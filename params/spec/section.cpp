#include "params/spec/section.h"

#include <algorithm>
#include <charconv>
#include <optional>
#include <vector>

#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr std::string_view kTimesSign = "\xC3\x97";  // U+00D7 in UTF-8
// A side with less flat than this between its corners is not a section anybody rolls, and its
// faces would be slivers.
constexpr double kLeastFlat_mm = 1;
constexpr std::size_t kMostWholeDigits = 4;
constexpr std::size_t kMostDecimals = 3;

/// Reads a designation part by part, skipping spaces before each.
class SectionScanner {
 public:
  explicit SectionScanner(std::string_view text) : rest_(text) {}

  bool word(std::string_view lower_word) {
    skipSpaces();
    if (rest_.size() < lower_word.size()) {
      return false;
    }
    for (std::size_t i = 0; i < lower_word.size(); ++i) {
      if ((rest_[i] | 0x20) != lower_word[i]) {
        return false;
      }
    }
    rest_.remove_prefix(lower_word.size());
    return true;
  }

  bool times() {
    skipSpaces();
    if (rest_.starts_with(kTimesSign)) {
      rest_.remove_prefix(kTimesSign.size());
      return true;
    }
    return word("x");
  }

  /// At most 4 digits, then at most 3 decimals.
  std::optional<double> number() {
    skipSpaces();
    const std::size_t whole = digits(0);
    std::size_t length = whole;
    if (length < rest_.size() && rest_[length] == '.') {
      const std::size_t decimals = digits(length + 1);
      if (decimals == 0 || decimals > kMostDecimals) {
        return std::nullopt;
      }
      length += 1 + decimals;
    }
    if (whole == 0 || whole > kMostWholeDigits) {
      return std::nullopt;
    }
    double value = 0;
    std::from_chars(rest_.data(), rest_.data() + length, value);
    rest_.remove_prefix(length);
    return value;
  }

  bool atEnd() {
    skipSpaces();
    return rest_.empty();
  }

 private:
  void skipSpaces() { rest_.remove_prefix(std::min(rest_.find_first_not_of(' '), rest_.size())); }
  std::size_t digits(std::size_t from) const {
    std::size_t i = from;
    while (i < rest_.size() && rest_[i] >= '0' && rest_[i] <= '9') {
      ++i;
    }
    return i - from;
  }

  std::string_view rest_;
};

/// The numbers of "100x50x3", or empty if that is not what follows.
std::vector<double> sizes(SectionScanner& scanner) {
  std::vector<double> out;
  do {
    const auto value = scanner.number();
    if (!value) {
      return {};
    }
    out.push_back(*value);
  } while (scanner.times());
  return scanner.atEnd() ? out : std::vector<double>{};
}

std::string named(double height, double depth, double wall) {
  return std::string(height == depth ? "SHS " : "RHS ") + formatNumber(height) + "x" +
         formatNumber(depth) + "x" + formatNumber(wall);
}

SectionFault notUnderstood(std::string_view designation) {
  SectionScanner bare(designation);
  const std::vector<double> values = sizes(bare);
  if (values.size() == 3) {
    return {"does not say whether it is an RHS or an SHS",
            "write \"" + named(values[0], values[1], values[2]) + "\""};
  }
  return {"is not a hollow section",
          "write it as \"RHS 100x50x3\" or \"SHS 50x50x3\": height, depth across the track, wall"};
}

std::optional<SectionFault> sizeFault(const HollowSection& section) {
  for (const double side : {section.height_mm, section.depth_mm}) {
    if (side < kLeastSide_mm || side > kGreatestSide_mm) {
      return SectionFault{"has a side of " + formatNumber(side) + " mm, which is too " +
                              (side < kLeastSide_mm ? "small" : "large"),
                          ""};
    }
  }
  const double wall = section.wall_mm;
  if (wall < kLeastWall_mm || wall > kGreatestWall_mm) {
    return SectionFault{"has a wall of " + formatNumber(wall) + " mm, which is too " +
                            (wall < kLeastWall_mm ? "thin" : "thick"),
                        ""};
  }
  const double smaller = std::min(section.height_mm, section.depth_mm);
  const double needed = 2 * outerCornerRadius_mm(wall) + kLeastFlat_mm;
  if (smaller < needed) {
    return SectionFault{"has a wall of " + formatNumber(wall) + " mm, too thick for a side of " +
                            formatNumber(smaller) + " mm: its corners to EN 10219-2 need " +
                            formatFigure(needed) + " mm",
                        "take a thinner wall or a larger side"};
  }
  return std::nullopt;
}

}  // namespace

double outerCornerRadius_mm(double wall_mm) {
  return wall_mm <= 6 ? 2 * wall_mm : 2.5 * wall_mm;
}

std::variant<HollowSection, SectionFault> parseSection(std::string_view designation) {
  SectionScanner scanner(designation);
  const bool rectangular = scanner.word("rhs");
  if (!rectangular && !scanner.word("shs")) {
    return notUnderstood(designation);
  }
  std::vector<double> values = sizes(scanner);
  if (!rectangular && values.size() == 2) {
    values.insert(values.begin(), values.front());
  }
  if (values.size() != 3) {
    return notUnderstood(designation);
  }
  const std::string name = named(values[0], values[1], values[2]);
  const HollowSection section{values[0], values[1], values[2], name};
  if (!rectangular && section.height_mm != section.depth_mm) {
    return SectionFault{"is not square, as an SHS is", "write \"" + name + "\""};
  }
  if (const auto fault = sizeFault(section)) {
    return *fault;
  }
  return section;
}

std::string designationOf(const HollowSection& section) {
  return named(section.height_mm, section.depth_mm, section.wall_mm);
}

std::string_view sectionPattern() {
  return "^ *([Rr][Hh][Ss] *[0-9]{1,4}(\\.[0-9]{1,3})?( *[xX\xC3\x97] *[0-9]{1,4}(\\.[0-9]{1,3})?)"
         "{2}|[Ss][Hh][Ss] *[0-9]{1,4}(\\.[0-9]{1,3})?( *[xX\xC3\x97] *[0-9]{1,4}"
         "(\\.[0-9]{1,3})?){1,2}) *$";
}

std::string sectionAllowed() {
  return "RHS or SHS with sides of " + formatNumber(kLeastSide_mm) + " to " +
         formatNumber(kGreatestSide_mm) + " mm and a wall of " + formatNumber(kLeastWall_mm) +
         " to " + formatNumber(kGreatestWall_mm) + " mm";
}

}  // namespace leafstack
