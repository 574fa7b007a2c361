#include "params/table/values.h"

#include <cmath>
#include <stdexcept>

#include "params/reading/characters.h"
#include "params/reading/text.h"
#include "params/reading/units.h"
#include "params/spec/section.h"
#include "params/table/as_built/panels_built.h"
#include "params/table/obstacles/obstacles.h"

namespace leafstack {
namespace {

bool isAuto(const JsonNode& value) {
  return value.kind == JsonKind::kText && value.text == kAuto;
}

/// Assigns one value of one row, reporting what is wrong with it.
class Assignment {
 public:
  Assignment(const Parameter& parameter, GateSpec& spec, Reporter& reporter)
      : parameter_(parameter), spec_(spec), reporter_(reporter) {}

  bool run(const JsonNode& value) {
    switch (parameter_.kind) {
      case Kind::kGroup:
      case Kind::kMotorSet:
        return true;
      case Kind::kVersion:
        return number(value, parameter_.pointer).has_value();
      case Kind::kNumber:
        return plainNumber(value);
      case Kind::kAutoNumber:
        return autoNumber(value);
      case Kind::kAutoInteger:
        return autoInteger(value);
      case Kind::kFlag:
        return flag(value);
      case Kind::kText:
        return text(value);
      case Kind::kChoice:
        return choice(value);
      case Kind::kSection:
      case Kind::kAutoSection:
        return section(value);
      case Kind::kChosenNumber:
        return chosenNumber(value);
      case Kind::kAutoList:
        return autoList(value);
      case Kind::kSurvey:
        return survey(value);
      case Kind::kObstacles:
        return readObstacles(value, parameter_.pointer, reporter_,
                             valueAt<std::vector<Obstacle>>(parameter_, spec_));
      case Kind::kSurroundings:
        return readSurroundings(value, parameter_.pointer, reporter_,
                                valueAt<std::vector<Surrounding>>(parameter_, spec_));
      case Kind::kPanelsBuilt:
        return readPanelsBuilt(value, parameter_.pointer, reporter_,
                               valueAt<std::vector<BuiltPanel>>(parameter_, spec_));
      case Kind::kMotor:
        return motor(value);
      case Kind::kShelf:
        return shelf(value);
    }
    return false;
  }

 private:
  bool refuse(std::string_view pointer, const JsonNode& value, std::string message,
              std::string suggestion = {}) {
    const bool whole = pointer == parameter_.pointer;
    reporter_.add(pointer, &value,
                  {std::move(message), whole ? allowedText(parameter_) : allowedItem(parameter_),
                   std::move(suggestion)});
    return false;
  }

  bool wrongType(std::string_view pointer, const JsonNode& value, const std::string& wanted) {
    if (value.kind == JsonKind::kNull) {
      return refuse(pointer, value, "null is not " + wanted, "leave the key out for its default");
    }
    if (wanted.find(kAuto) != std::string::npos && value.kind == JsonKind::kText &&
        nearestName(value.text, {{std::string(kAuto)}}) == kAuto) {
      return refuse(pointer, value, describe(value) + " is not " + wanted,
                    "did you mean \"auto\"?");
    }
    return refuse(pointer, value, describe(value) + " is not " + wanted, unquotedNumber(value));
  }

  /// "write 1700" for "1700" and "1700 mm".
  std::string unquotedNumber(const JsonNode& value) const {
    const bool numeric = parameter_.kind == Kind::kNumber || parameter_.kind == Kind::kAutoNumber ||
                         parameter_.kind == Kind::kAutoInteger ||
                         parameter_.kind == Kind::kChosenNumber;
    if (value.kind != JsonKind::kText || !numeric) {
      return {};
    }
    const std::size_t end = value.text.find_first_not_of("0123456789.-");
    const std::string digits = value.text.substr(0, end);
    const std::string rest = end == std::string::npos ? "" : value.text.substr(end);
    const JsonText parsed = parseJson(digits, "");
    if (!parsed.complete ||
        !(rest.empty() || rest == parameter_.unit || rest == std::string(" ") + parameter_.unit)) {
      return {};
    }
    return "write " + digits + " without quotes" + (rest.empty() ? "" : " and without unit");
  }

  /// A guess at a value out of range: every other unit in which it would fit, or the nearest bound.
  std::string nearestInRange(double value, bool has_unit) const {
    const Limits& limits = parameter_.limits;
    const std::string units = has_unit ? std::string() : nearestUnits(value);
    if (!units.empty()) {
      return units;
    }
    if (limits.least == limits.most || (value <= limits.least && limits.least_excluded)) {
      return {};
    }
    return "the nearest allowed value is " +
           formatNumber(value < limits.least ? limits.least : limits.most);
  }

  /// Within its range, and yet not meant: a room in metres. 0 says that there is none.
  bool isUnlikely(double value) const {
    constexpr double kLeastRoom_mm = 500;  // shorter than any panel with its stops
    return parameter_.pointer == std::string_view("/site/room_mm") && value > 0 &&
           value < kLeastRoom_mm;
  }

  /// "5.600 mm" for 5600 mm.
  std::string withoutPoint(std::string_view text, double value) const {
    constexpr std::size_t kDigitsOfThousands = 3;
    const std::size_t point = text.find('.');
    if (point == std::string_view::npos) {
      return {};
    }
    std::size_t end = point + 1;
    while (end < text.size() && text[end] >= '0' && text[end] <= '9') {
      ++end;
    }
    const double whole = value * 1000;
    return end - point - 1 == kDigitsOfThousands && parameter_.limits.hold(whole)
               ? "if its point stands between thousands, write " + formatFigure(whole)
               : std::string();
  }

  /// Every other unit in which a number would fit.
  std::string nearestUnits(double value) const {
    const Limits& limits = parameter_.limits;
    std::string units;
    double told = 1;  // kPa and kN/m2 are one
    for (const OtherUnit& one : otherUnits()) {
      if (value != 0 && one.factor != 1 && one.factor != told &&
          !isUnlikely(fromOther(one, value)) && one.unit == std::string_view(parameter_.unit) &&
          limits.hold(fromOther(one, value))) {
        units += (units.empty() ? "if that was in " : "; if in ") + std::string(one.other) +
                 ", write " + formatFigure(fromOther(one, value));
        told = one.factor;
      }
    }
    return units;
  }

  std::optional<double> number(const JsonNode& value, std::string_view pointer) {
    if (value.kind == JsonKind::kNonFinite) {
      refuse(pointer, value, describe(value) + " is not a finite number");
      return std::nullopt;
    }
    const std::optional<TypedValue> read = value.kind == JsonKind::kText && !isAuto(value)
                                               ? typedIn(parameter_.unit, value.text)
                                               : std::nullopt;
    if (read && !read->value && value.text.find_first_of("0123456789") != std::string::npos) {
      refuse(pointer, value, describe(value) + ' ' + read->fault, read->suggestion);
      return std::nullopt;
    }
    const bool has_unit = read && read->value;
    if (value.kind != JsonKind::kNumber && !has_unit) {
      const bool may_be_auto = parameter_.kind != Kind::kNumber &&
                               parameter_.kind != Kind::kVersion && pointer == parameter_.pointer;
      wrongType(pointer, value, may_be_auto ? "a number or \"auto\"" : "a number");
      return std::nullopt;
    }
    const Limits& limits = parameter_.limits;
    const double found = has_unit ? *read->value : value.number;
    if (!limits.hold(found)) {
      const bool small = found <= limits.least;
      const std::string what =
          describe(value) +
          (has_unit ? ", " + formatFigure(found) + ' ' + parameter_.unit + "," : std::string());
      const std::string message = *limits.reason != '\0'
                                      ? what + " is not possible: " + limits.reason
                                      : what + " is too " + (small ? "small" : "large");
      const std::string thousands = has_unit ? withoutPoint(value.text, found) : std::string();
      refuse(pointer, value, message,
             thousands.empty() ? nearestInRange(found, has_unit) : thousands);
      return std::nullopt;
    }
    if (!has_unit && isUnlikely(found)) {
      refuse(pointer, value, describe(value) + " mm is hardly meant: no gate parks in so little",
             nearestUnits(found) + (nearestUnits(found).empty() ? "" : "; ") +
                 "if it is mm, write \"" + formatNumber(found) + " mm\"");
      return std::nullopt;
    }
    return found == 0 ? 0 : found;  // no -0 further on
  }

  bool plainNumber(const JsonNode& value) {
    const auto read = number(value, parameter_.pointer);
    if (read) {
      valueAt<double>(parameter_, spec_) = *read;
    }
    return read.has_value();
  }

  bool autoNumber(const JsonNode& value) {
    auto& target = valueAt<std::optional<double>>(parameter_, spec_);
    if (isAuto(value)) {
      target.reset();
      return true;
    }
    const auto read = number(value, parameter_.pointer);
    if (read) {
      target = read;
    }
    return read.has_value();
  }

  /// Left to the program it starts from its default.
  bool chosenNumber(const JsonNode& value) {
    const ChosenNumber target = std::get<ChosenNumber>(parameter_.slot(spec_));
    *target.is_auto = isAuto(value);
    if (*target.is_auto) {
      *target.value = nlohmann::json::parse(parameter_.default_json).get<double>();
      return true;
    }
    const auto read = number(value, parameter_.pointer);
    *target.value = read.value_or(*target.value);
    return read.has_value();
  }

  bool autoInteger(const JsonNode& value) {
    auto& target = valueAt<std::optional<int>>(parameter_, spec_);
    if (isAuto(value)) {
      target.reset();
      return true;
    }
    const auto read = number(value, parameter_.pointer);
    if (!read) {
      return false;
    }
    if (*read != std::floor(*read)) {
      return refuse(parameter_.pointer, value, describe(value) + " is not a whole number");
    }
    target = static_cast<int>(*read);
    return true;
  }

  bool flag(const JsonNode& value) {
    if (value.kind != JsonKind::kBool) {
      const std::string meant = value.kind == JsonKind::kText ? plainFlag(value.text) : "";
      return meant.empty()
                 ? wrongType(parameter_.pointer, value, "true or false")
                 : refuse(parameter_.pointer, value, describe(value) + " is not true or false",
                          "write " + meant + " without quotes");
    }
    valueAt<bool>(parameter_, spec_) = value.flag;
    return true;
  }

  bool text(const JsonNode& value) {
    const bool word = value.kind == JsonKind::kNonFinite && value.from_override &&
                      value.text.find_first_of("0123456789") == std::string::npos;
    if (value.kind != JsonKind::kText && !word) {  // a client may well be called Nan
      return refuse(parameter_.pointer, value, describe(value) + " is not text",
                    value.kind == JsonKind::kNumber ? "put it in double quotes" : "");
    }
    if (const auto code = firstNoText(value.text)) {
      return refuse(parameter_.pointer, value, describe(value) + " has " + nameOfNoText(*code));
    }
    const std::size_t length = codePoints(value.text, U'?').size();
    if (static_cast<double>(length) > parameter_.limits.most) {
      return refuse(parameter_.pointer, value,
                    describe(value) + " has " + std::to_string(length) + " characters");
    }
    valueAt<std::string>(parameter_, spec_) = value.text;
    return true;
  }

  bool choice(const JsonNode& value) {
    if (value.kind != JsonKind::kText) {
      return wrongType(parameter_.pointer, value, "one of the choices");
    }
    for (std::size_t i = 0; i < parameter_.choices.size(); ++i) {
      if (value.text == parameter_.choices[i]) {
        setChoice(static_cast<int>(i));
        return true;
      }
    }
    return refuse(parameter_.pointer, value, describe(value) + " is not one of the choices",
                  nearestChoice(value.text));
  }

  std::string nearestChoice(const std::string& given) const {
    const std::vector<std::string> names(parameter_.choices.begin(), parameter_.choices.end());
    const std::string nearest = nearestName(given, names);
    return nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?";
  }

  void setChoice(int index) {
    std::visit(
        [index](auto slot) {
          using Target = std::remove_pointer_t<decltype(slot)>;
          if constexpr (std::is_enum_v<Target>) {
            *slot = static_cast<Target>(index);
          }
        },
        parameter_.slot(spec_));
  }

  bool section(const JsonNode& value) {
    if (parameter_.kind == Kind::kAutoSection && isAuto(value)) {
      assignDefault(parameter_, spec_);
      valueAt<HollowSection>(parameter_, spec_).is_auto = true;
      return true;
    }
    if (value.kind != JsonKind::kText) {
      return wrongType(parameter_.pointer, value, "a section such as \"SHS 50x50x3\"");
    }
    auto parsed = parseSection(value.text);
    if (const auto* fault = std::get_if<SectionFault>(&parsed)) {
      return refuse(parameter_.pointer, value, describe(value) + ' ' + fault->message,
                    fault->suggestion);
    }
    valueAt<HollowSection>(parameter_, spec_) = std::get<HollowSection>(parsed);
    return true;
  }

  bool autoList(const JsonNode& value) {
    auto& target = valueAt<std::optional<std::vector<double>>>(parameter_, spec_);
    if (isAuto(value)) {
      target.reset();
      return true;
    }
    if (value.kind != JsonKind::kArray) {
      return wrongType(parameter_.pointer, value, "a list or \"auto\"");
    }
    std::vector<double> numbers;
    bool fine = countFits(value);
    for (std::size_t i = 0; i < value.children.size(); ++i) {
      const auto read =
          number(value.children[i], childPointer(parameter_.pointer, std::to_string(i)));
      fine = fine && read;
      numbers.push_back(read.value_or(0));
    }
    if (fine) {
      target = numbers;
    }
    return fine;
  }

  bool countFits(const JsonNode& list) { return countFits(list, std::string(parameter_.pointer)); }

  bool countFits(const JsonNode& list, const std::string& pointer) {
    const auto count = static_cast<int>(list.children.size());
    const Limits& limits = parameter_.limits;
    if (count >= limits.fewest_items && count <= limits.most_items) {
      return true;
    }
    const std::string entries = std::to_string(count) + (count == 1 ? " entry" : " entries");
    return refuse(pointer, list,
                  *limits.reason != '\0'
                      ? "a list of " + entries + " is not possible: " + limits.reason
                      : "a list of " + entries + " is too " +
                            (count < limits.fewest_items ? "short" : "long"));
  }

  bool survey(const JsonNode& value) {
    if (value.kind != JsonKind::kArray) {
      return wrongType(parameter_.pointer, value, "a list of [x, z] pairs");
    }
    auto& lines = valueAt<std::vector<SurveyLine>>(parameter_, spec_);
    lines.clear();
    const std::string pointer(parameter_.pointer);
    const std::size_t tracks = isListOfSurveys(value) ? value.children.size() : 0;
    bool fine = tracks <= kMostTracks ||
                refuse(pointer, value, std::to_string(tracks) + " lines for up to 4 tracks");
    for (std::size_t i = 0; i < tracks; ++i) {
      const std::string at_line = childPointer(pointer, std::to_string(i));
      fine = surveyLine(value.children[i], at_line, lines.emplace_back()) && fine;
    }
    if (tracks == 0 && !value.children.empty()) {
      fine = surveyLine(value, pointer, lines.emplace_back());
    }
    if (!fine) {
      lines.clear();
    }
    return fine;
  }

  bool surveyLine(const JsonNode& value, const std::string& pointer, SurveyLine& points) {
    if (value.kind != JsonKind::kArray) {
      return wrongType(pointer, value, "a list of [x, z] pairs");
    }
    bool fine = countFits(value, pointer);
    if (value.children.size() < 2) {
      const std::string few = value.children.empty() ? "a line without points" : "a single point";
      fine = refuse(pointer, value, few + " is no survey: it takes two or more");
    }
    for (std::size_t i = 0; i < value.children.size(); ++i) {
      fine =
          surveyPoint(value.children[i], childPointer(pointer, std::to_string(i)), points) && fine;
    }
    return fine;
  }

  bool surveyPoint(const JsonNode& value, const std::string& pointer, SurveyLine& points) {
    if (value.kind != JsonKind::kArray || value.children.size() != 2) {
      reporter_.add(pointer, &value,
                    {describe(value) + " is not a survey point", "a pair [x, z] of numbers", ""});
      return false;
    }
    const auto x = number(value.children[0], pointer + "/0");
    const auto z = number(value.children[1], pointer + "/1");
    if (!x || !z) {
      return false;
    }
    if (!points.empty() && *x <= points.back().first) {
      return refuse(pointer + "/0", value.children[0],
                    describe(value.children[0]) + " is not beyond the point before, " +
                        formatNumber(points.back().first),
                    "sort the points by x");
    }
    points.emplace_back(*x, *z);
    return true;
  }

  bool motor(const JsonNode& value) {
    auto& target = valueAt<MotorSpec>(parameter_, spec_);
    if (value.kind == JsonKind::kObject) {
      target.name = "custom";
      return true;
    }
    if (value.kind != JsonKind::kText) {
      return wrongType(parameter_.pointer, value, "a motor's name or an object");
    }
    target.name = value.text;  // whether the set has it, its reader knows
    return true;
  }

  /// A set's name stands in the object by the time it is read.
  bool shelf(const JsonNode& value) {
    return value.kind == JsonKind::kObject ||
           wrongType(parameter_.pointer, value, "a hardware set");
  }

  const Parameter& parameter_;
  GateSpec& spec_;
  Reporter& reporter_;
};

}  // namespace

bool assign(const Parameter& parameter, const JsonNode& value, GateSpec& spec, Reporter& reporter) {
  return Assignment(parameter, spec, reporter).run(value);
}

void assignDefault(const Parameter& parameter, GateSpec& spec) {
  if (parameter.kind != Kind::kShelf) {  // its keys have theirs
    assignDefault(parameter, spec, parameter.default_json);
  }
}

void assignDefault(const Parameter& parameter, GateSpec& spec, const char* json) {
  Reporter reporter("the table");
  const JsonText value = parseJson(json, "the table");
  if (!value.complete || !assign(parameter, value.root, spec, reporter)) {
    throw std::logic_error(std::string("bad default in the table: ") + parameter.pointer);
  }
}

}  // namespace leafstack
