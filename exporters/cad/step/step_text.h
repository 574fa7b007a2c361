// ISO 10303-21 (STEP physical file) text: tokens and numbered entities.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// `utf8` as a quoted string token. Apostrophes and backslashes are doubled; whatever is outside
/// printable ASCII becomes \X2\....\X0\ (16 bit) or \X4\........\X0\ (beyond). Malformed UTF-8
/// becomes U+FFFD.
std::string part21String(std::string_view utf8);

/// Shortest real token that reads back as the same double: always with a point, exponent "E".
/// Throws ExportError for NaN and infinity. Never "-0.".
std::string part21Real(double value);

/// "(1.,2.,3.)".
std::string part21Triple(double x, double y, double z);

/// "(#4,#7)".
std::string part21References(const std::vector<int>& ids);

/// "#4".
std::string part21Reference(int id);

/// Entities of one data section, numbered from 1 in the order they are added.
class EntityText {
 public:
  /// Adds `#n = body;` and returns n.
  int add(std::string_view body);

  /// Adds `count` entities written elsewhere with numbers from 1, moving every number up. The
  /// block holds no string with '#' in it. Returns what has to be added to its numbers.
  int addBlock(std::string_view block, int count);

  int count() const { return count_; }
  const std::string& text() const { return text_; }

 private:
  std::string text_;
  int count_ = 0;
};

}  // namespace leafstack
