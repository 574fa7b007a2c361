// Quantities as people write them, with their unit: "5.6 m", "18' 4 1/2\"", "1:20", "5 %",
// "0.9 kN/m2".
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace leafstack {

/// What a text says, or why it says nothing: then `value` is empty, `fault` continues the text
/// ("has no unit") and `suggestion` says what to write.
struct TypedValue {
  std::optional<double> value;
  std::string fault, suggestion;
};

/// In mm, to a millionth. Units: mm, cm, dm, m, in (25.4 mm) and ft (12 in), also as words and
/// marks; several, the larger first, are added ("18 ft 4 in"). Decimals take a point or a comma; a
/// comma before exactly three digits may mean either and is refused.
TypedValue typedLength_mm(std::string_view text);

/// Rise per run: "5 %", "1:20", "1 in 20", "50 mm/m", "3 deg".
TypedValue typedGrade(std::string_view text);

/// Whether texts are taken for a key in this unit: lengths, grades, and what otherUnits() has.
bool takesUnits(std::string_view unit);
/// In the unit that is the key's, to a millionth: "900 Pa", "0.9 kN/m2", "90 km/h". Nothing for
/// those that have no texts.
std::optional<TypedValue> typedIn(std::string_view unit, std::string_view text);

/// "true" or "false" for the words that people write for them ("yes", "Off"); else empty.
std::string plainFlag(std::string_view word);

/// Patterns (ECMA 262) that texts of either kind match; others may, too.
const char* lengthPattern();
const char* gradePattern();
/// The same of any other quantity.
const char* quantityPattern();

/// A unit that a number may have been meant in, and what it is times.
struct OtherUnit {
  const char* unit;  ///< the key's own
  const char* other;
  double factor;
  bool is_angle = false;  ///< its tangent counts; the factor makes radians of it
};
/// For "if that was in m, write 5600".
std::span<const OtherUnit> otherUnits();
/// A number in that unit, in the key's own.
double fromOther(const OtherUnit& unit, double value);

/// What the table calls the unit of a grade.
inline constexpr std::string_view kGradeUnit = "mm/mm";

}  // namespace leafstack
