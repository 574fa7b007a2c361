#include "params/reading/units.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <iterator>
#include <numbers>
#include <vector>

#include "params/reading/characters.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr double kMmPerInch = 25.4;  // exactly: international yard and pound agreement of 1959
constexpr double kMmPerFoot = 12 * kMmPerInch;
constexpr double kPerUnit = 1e6;  // results are rounded to a millionth
constexpr double kRadPerDeg = std::numbers::pi / 180;
constexpr double kInchesPerFoot = 12;

struct LengthUnit {
  std::string_view word;
  double mm;
};
constexpr LengthUnit kLengthUnits[] = {{"mm", 1},
                                       {"millimetre", 1},
                                       {"millimetres", 1},
                                       {"millimeter", 1},
                                       {"millimeters", 1},
                                       {"cm", 10},
                                       {"centimetre", 10},
                                       {"centimetres", 10},
                                       {"centimeter", 10},
                                       {"centimeters", 10},
                                       {"dm", 100},
                                       {"m", 1000},
                                       {"metre", 1000},
                                       {"metres", 1000},
                                       {"meter", 1000},
                                       {"meters", 1000},
                                       {"in", kMmPerInch},
                                       {"inch", kMmPerInch},
                                       {"inches", kMmPerInch},
                                       {"\"", kMmPerInch},
                                       {"''", kMmPerInch},
                                       {"ft", kMmPerFoot},
                                       {"foot", kMmPerFoot},
                                       {"feet", kMmPerFoot},
                                       {"'", kMmPerFoot}};

constexpr OtherUnit kOtherUnits[] = {{"mm", "m", 1000},
                                     {"mm", "cm", 10},
                                     {"mm", "ft", kMmPerFoot},
                                     {"mm", "in", kMmPerInch},
                                     {"mm/mm", "%", 0.01},
                                     {"mm/mm", "mm/m", 0.001},
                                     {"mm/mm", "deg", kRadPerDeg, true},
                                     {"mm/s", "m/s", 1000},
                                     {"mm/s", "m/min", 1000.0 / 60},
                                     {"m/s", "km/h", 1 / 3.6},
                                     {"m/s", "mph", 0.44704},
                                     {"Pa", "kPa", 1000},
                                     {"Pa", "kN/m2", 1000},
                                     {"Pa", "N/m2", 1},
                                     {"kPa", "Pa", 0.001},
                                     {"kPa", "kN/m2", 1},
                                     {"N", "kN", 1000},
                                     {"kg", "g", 0.001},
                                     {"kg", "lb", 0.45359237},
                                     {"N/mm2", "MPa", 1},
                                     {"N/mm2", "kPa", 0.001},
                                     {"kg/m3", "g/cm3", 1000},
                                     {"mm/s2", "m/s2", 1000}};

/// Marks that type setters put in their places, and case, made plain.
std::string plain(std::string_view text) {
  struct Same {
    std::string_view from, to;
  };
  constexpr Same kSame[] = {{"\u00A0", " "},    {"\u202F", " "},    {"\u2009", " "},
                            {"\u2019", "'"},    {"\u2032", "'"},    {"\u201D", "\""},
                            {"\u201C", "\""},   {"\u2033", "\""},   {"\u2212", "-"},
                            {"\u00BD", " 1/2"}, {"\u00BC", " 1/4"}, {"\u00BE", " 3/4"},
                            {"\u00B0", " deg"}, {"\u2044", "/"},    {"\u2030", " mm/m"},
                            {"\u00B2", "2"},    {"\u00B3", "3"}};
  std::string out;
  while (!text.empty()) {
    bool is_found = false;
    for (const Same& same : kSame) {
      if (text.starts_with(same.from)) {
        out += same.to;
        text.remove_prefix(same.from.size());
        is_found = true;
        break;
      }
    }
    if (!is_found) {
      const char c = text.front();
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
      text.remove_prefix(1);
    }
  }
  return out;
}

double numberFrom(const std::string& digits) {
  double value = 0;
  const auto done = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return done.ec == std::errc() ? value : HUGE_VAL;  // out of every range
}

/// Reads a plain text from left to right.
class Words {
 public:
  explicit Words(std::string text) : text_(std::move(text)) {}

  bool atEnd() {
    skip();
    return at_ >= text_.size();
  }
  bool take(char c) {
    skip();
    const bool is_it = at_ < text_.size() && text_[at_] == c;
    at_ += is_it ? 1 : 0;
    return is_it;
  }

  /// A number, perhaps with a fraction behind it; empty with `fault` where it is none.
  std::optional<double> number() {
    skip();
    const std::string digits = run();
    if (digits.empty()) {
      return std::nullopt;
    }
    if (at_ < text_.size() && text_[at_] == '/' &&
        digits.find_first_of(".,") == std::string::npos) {
      return over(numberFrom(digits));
    }
    const auto value = decimal(digits);
    if (!value) {
      return std::nullopt;
    }
    return *value + fraction();
  }

  /// Letters, or the marks of inches and feet.
  std::string unit() {
    skip();
    const std::size_t start = at_;
    while (at_ < text_.size() && (isLetter(text_[at_]) || text_[at_] == '/')) {
      ++at_;
    }
    if (at_ > start) {
      const std::string word = text_.substr(start, at_ - start);
      at_ += at_ < text_.size() && text_[at_] == '.' ? 1 : 0;  // "in."
      return word;
    }
    const std::string_view rest = std::string_view(text_).substr(at_);
    std::size_t length = rest.starts_with("''") ? 2 : rest.empty() || isDigit(rest[0]) ? 0 : 1;
    while (length > 0 && length < rest.size() && (rest[length] & 0xC0) == 0x80) {
      ++length;  // a character of several bytes is told whole
    }
    at_ += length;
    return text_.substr(start, length);
  }

  /// What is left, without blanks at either end.
  std::string rest() {
    skip();
    const std::size_t last = text_.find_last_not_of(' ');
    return last == std::string::npos || last < at_ ? "" : text_.substr(at_, last + 1 - at_);
  }

  TypedValue fault;

 private:
  void skip() {
    while (at_ < text_.size() && text_[at_] == ' ') {
      ++at_;
    }
  }
  bool digitAt(std::size_t i) const { return i < text_.size() && isDigit(text_[i]); }

  /// Digits with points and commas; blanks between groups of three are left out ("6 000").
  std::string run() {
    std::string out;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      const bool is_group = c == ' ' && !out.empty() && out.size() <= 3 && digitAt(at_ + 1) &&
                            digitAt(at_ + 2) && digitAt(at_ + 3) && !digitAt(at_ + 4) &&
                            !(at_ + 4 < text_.size() && text_[at_ + 4] == '/');
      if (is_group && out.find_first_of(".,") == std::string::npos) {
        ++at_;
        continue;
      }
      if (!isDigit(c) && c != '.' && c != ',') {
        break;
      }
      out += c;
      ++at_;
    }
    return out;
  }

  std::optional<double> decimal(std::string digits) {
    const std::size_t mark = digits.find_first_of(".,");
    if (mark == std::string::npos) {
      return numberFrom(digits);
    }
    if (digits.find_first_of(".,", mark + 1) != std::string::npos) {
      fault = {{},
               "has more than one point or comma in a number",
               "write a point before decimals, and nothing between thousands"};
      return std::nullopt;
    }
    if (digits[mark] == ',' && digits.size() - mark == 4) {
      const std::string whole = digits.substr(0, mark), rest = digits.substr(mark + 1);
      fault = {{},
               "can be read in two ways: " + whole + "." + rest + " or " + whole + rest,
               "write the one that is meant"};
      return std::nullopt;
    }
    digits[mark] = '.';
    return numberFrom("0" + digits + "0");
  }

  std::optional<double> over(double top) {
    ++at_;
    const double bottom = numberFrom(run());
    if (bottom <= 0) {
      fault = {{}, "has a fraction without a number under its stroke", ""};
      return std::nullopt;
    }
    return top / bottom;
  }

  /// " 1/2" or "-1/2" behind whole inches; else 0, and nothing is read.
  double fraction() {
    const std::size_t before = at_;
    if (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '-')) {
      ++at_;
      skip();
      const std::string top = run();
      if (!top.empty() && at_ < text_.size() && text_[at_] == '/') {
        if (const auto value = over(numberFrom(top))) {
          return *value;
        }
      }
    }
    at_ = before;
    return 0;
  }

  std::string text_;
  std::size_t at_ = 0;
};

double lengthOf(std::string_view word) {
  for (const LengthUnit& unit : kLengthUnits) {
    if (unit.word == word) {
      return unit.mm;
    }
  }
  return 0;
}

double rounded(double value) {
  return std::round(value * kPerUnit) / kPerUnit;
}

/// Behind feet stand less than twelve inches: else the feet's mark may stand between thousands.
std::optional<TypedValue> overAFoot(double feet, double behind, bool in_inches,
                                    const std::string& unit) {
  if (in_inches && behind < kInchesPerFoot) {
    return std::nullopt;
  }
  const std::string whole = formatNumber(feet), part = formatNumber(behind);
  const bool as_thousands = part.size() == 3 && part.find('.') == std::string::npos;
  const std::string sum = formatFigure(feet * kInchesPerFoot + behind);
  const std::string thousands = "write \"" + whole + part + ' ' + (in_inches ? "mm" : unit) +
                                "\" if ' stands between thousands";
  if (in_inches) {
    return TypedValue{{},
                      "has " + part + " inches behind its feet, and a foot has 12",
                      as_thousands ? thousands + ", or \"" + sum + " in\" if it means feet"
                                   : "write \"" + sum + " in\" if that is meant"};
  }
  return TypedValue{{},
                    "has " + unit + " behind its feet",
                    as_thousands ? thousands + ", or feet and inches, as in \"18 ft 4 in\""
                                 : "write feet with inches, as in \"18 ft 4 in\", or all in mm"};
}

TypedValue noNumber(Words& words) {
  return words.fault.fault.empty() ? TypedValue{{}, "is not a number with a unit", ""}
                                   : words.fault;
}

}  // namespace

TypedValue typedLength_mm(std::string_view text) {
  Words words(plain(text));
  const double sign = words.take('-') ? -1 : 1;
  double sum = 0, last = 0, last_number = 0;
  do {
    if (last > 0) {
      words.take('-');  // 18'-4"
    }
    const auto number = words.number();
    if (!number) {
      return noNumber(words);
    }
    const bool is_bare = words.atEnd();
    if (is_bare && last != kMmPerFoot) {
      return last > 0 ? TypedValue{{}, "has no unit at its end", "write the unit of each number"}
                      : TypedValue{{},
                                   "has no unit",
                                   "write " + formatNumber(sign * *number) +
                                       " without quotes for mm, or the unit behind it: mm, cm, m, "
                                       "in or ft"};
    }
    const std::string word = is_bare ? "in" : words.unit();
    const double mm = lengthOf(word);
    if (mm == 0) {
      return {{},
              "has no unit of length that is known here: " + inQuotes(word),
              "units are mm, cm, m, in and ft"};
    }
    if (last > 0 && mm >= last) {
      return {{}, "has its units in no order", "write the larger unit first, as in \"18 ft 4 in\""};
    }
    if (last == kMmPerFoot) {
      if (const auto fault = overAFoot(last_number, *number, mm == kMmPerInch, word)) {
        return *fault;
      }
    }
    sum += *number * mm;
    last = mm;
    last_number = *number;
  } while (!words.atEnd());
  return {rounded(sign * sum), "", ""};
}

TypedValue typedGrade(std::string_view text) {
  Words words(plain(text));
  const double sign = words.take('-') ? -1 : 1;
  const auto rise = words.number();
  if (!rise) {
    return noNumber(words);
  }
  if (words.atEnd() && text.find('/') != std::string_view::npos) {
    return {rounded(sign * *rise), "", ""};  // 1/20
  }
  if (words.atEnd()) {
    const std::string figure = formatNumber(sign * *rise);
    const std::string plain_number =
        *rise < 1 ? ", or " + figure + " without quotes for mm per mm" : std::string();
    return {{},
            "has no unit",
            "write the unit behind it: \"" + figure + " %\", \"" + figure + " mm/m\" or \"" +
                figure + " deg\"" + plain_number + "; one in twenty is \"1:20\""};
  }
  const std::string word = words.unit();
  double value = 0;
  if (word == "%" || word == "percent") {
    value = *rise / 100;
  } else if (word == "mm/m") {
    value = *rise / 1000;
  } else if (word == "deg" || word == "degrees" || word == "degree") {
    value = std::tan(*rise * std::numbers::pi / 180);
  } else if (word == ":" || word == "in" || word == "/") {
    const auto run = words.number();
    if (!run || *run <= 0) {
      return {{}, "has no run behind its rise", "write it as \"1:20\""};
    }
    value = *rise / *run;
    if (value > 1) {
      return {{},
              "rises more than it runs",
              "write the rise first: \"" + formatNumber(*run) + ':' + formatNumber(*rise) + '"'};
    }
  } else {
    return {{},
            "has no unit of a grade that is known here: " + inQuotes(word),
            "write \"5 %\", \"1:20\", \"50 mm/m\" or \"3 deg\""};
  }
  if (!words.atEnd()) {
    return {{}, "goes on behind its unit", "write it as \"5 %\" or \"1:20\""};
  }
  return {rounded(sign * value), "", ""};
}

namespace {

bool hasOthers(std::string_view unit) {
  return std::any_of(std::begin(kOtherUnits), std::end(kOtherUnits),
                     [&](const OtherUnit& one) { return one.unit == unit; });
}

/// A number and one unit: the key's own, or another for the same.
TypedValue typedQuantity(std::string_view unit, std::string_view text) {
  Words words(plain(text));
  const double sign = words.take('-') ? -1 : 1;
  const auto number = words.number();
  if (!number) {
    return noNumber(words);
  }
  const std::string word = words.rest();
  std::vector<std::string> known = {std::string(unit)};
  double factor = word == plain(unit) ? 1 : 0;
  for (const OtherUnit& one : kOtherUnits) {
    if (one.unit == unit) {
      known.emplace_back(one.other);
      factor = word == plain(one.other) ? one.factor : factor;
    }
  }
  if (word.empty()) {
    return {{},
            "has no unit",
            "write " + formatNumber(sign * *number) + " without quotes for " + std::string(unit) +
                ", or the unit behind it: " + joined(known, "or")};
  }
  if (factor == 0) {
    return {{},
            "has no unit that is known here: " + inQuotes(word),
            "units are " + joined(known, "and")};
  }
  return {rounded(sign * *number * factor), "", ""};
}

}  // namespace

bool takesUnits(std::string_view unit) {
  return unit == "mm" || unit == kGradeUnit || hasOthers(unit);
}

std::optional<TypedValue> typedIn(std::string_view unit, std::string_view text) {
  return unit == "mm"         ? std::optional(typedLength_mm(text))
         : unit == kGradeUnit ? std::optional(typedGrade(text))
         : hasOthers(unit)    ? std::optional(typedQuantity(unit, text))
                              : std::nullopt;
}

const char* lengthPattern() {
  return "^ *[-\\u2212]? *[0-9\\u00bc-\\u00be].*[a-zA-Z'\"\\u2019\\u201d\\u2032\\u2033][0-9 ./]*$";
}

const char* gradePattern() {
  return "^ *[-\\u2212]? *[0-9].*(%|:|/|in|m|deg|\\u00b0|percent|degrees?) *[0-9.,]* *$";
}

const char* quantityPattern() {
  return "^ *[-\\u2212]? *[0-9][0-9 .,]*[a-zA-Z][a-zA-Z0-9/\\u00b2\\u00b3]* *$";
}

std::string plainFlag(std::string_view word) {
  const std::string low = plain(word);
  return low == "true" || low == "yes" || low == "on"    ? "true"
         : low == "false" || low == "no" || low == "off" ? "false"
                                                         : "";
}

std::span<const OtherUnit> otherUnits() {
  return kOtherUnits;
}

double fromOther(const OtherUnit& unit, double value) {
  return unit.is_angle ? rounded(std::tan(value * unit.factor)) : value * unit.factor;
}

}  // namespace leafstack
