// JSON text -> a tree that remembers where each key and value stands.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "params/reading/diagnostics.h"

namespace leafstack {

/// A place in the text; line and column count from 1, column in bytes; 0 = not in the text.
struct TextPlace {
  int line = 0;
  int column = 0;
};

/// kNonFinite is NaN, Infinity or a number too large for a double (1e400), as written. kUnread
/// stands where a value is no JSON, which has been reported.
enum class JsonKind { kNull, kBool, kNumber, kNonFinite, kText, kArray, kObject, kUnread };

/// One value. Members of an object carry their key; children keep the order of the text.
struct JsonNode {
  JsonKind kind = JsonKind::kNull;
  bool flag = false;           ///< of a kBool
  double number = 0;           ///< of a kNumber
  std::string text;            ///< of a kText; for numbers the token as written
  std::string key;             ///< of a member of an object
  TextPlace place;             ///< of the value's first byte
  TextPlace key_place;         ///< of the key's opening quote
  bool from_override = false;  ///< set by --set, so not in the text
  int source = 0;              ///< the text it stands in: Reporter::addSource
  std::vector<JsonNode> children;

  /// The member called `name`, or null. Objects only.
  const JsonNode* member(std::string_view name) const;
  JsonNode* member(std::string_view name);
};

/// What parsing gave. With `complete` false there are syntax errors and `root` holds what could be
/// read before and between them, so absence of a value means nothing.
struct JsonText {
  JsonNode root;
  bool complete = false;
  std::vector<Diagnostic> problems;  ///< source and pointer filled where known
};

/// Deepest accepted nesting of objects and lists; a gate file needs 4.
inline constexpr int kMaxNesting = 32;

/// Most syntax errors told of one text; more are seldom the writer's.
inline constexpr int kMostSyntaxErrors = 20;

/// Parses JSON (RFC 8259), in which comments (//, /* */) and a byte order mark are passed over.
/// Reports: bytes that are not UTF-8, NUL bytes, an empty text, syntax errors, keys given twice,
/// too deep nesting. Where it is plain how to go on after a syntax error, goes on to the next. NaN
/// and the like are kept as kNonFinite nodes, so that whoever knows the key can complain. Never
/// throws on bad text.
JsonText parseJson(std::string_view text, std::string_view source_name);

/// As parseJson(); a text of more than `most` bytes, which `what` never needs, is one problem. It
/// need not be there to its end.
JsonText parseJsonUpTo(std::size_t most, std::string_view text, std::string_view source_name,
                       std::string_view what);

/// "/site" + "a/b" -> "/site/a~1b" (RFC 6901).
std::string childPointer(std::string_view parent, std::string_view key);

/// Where a pointer's value stands in the text; 0 where it does not.
TextPlace placeOf(const JsonNode& root, std::string_view pointer);

/// The value as shown in messages: as written, shortened, on one line.
std::string describe(const JsonNode& node);

}  // namespace leafstack
