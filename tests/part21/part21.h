// A reader of ISO 10303-21 exchange files ("STEP files") written from the standard's grammar alone.
//
// It shares no code with the CAD kernel that writes the project's files: kernel readers repair or
// drop what they do not understand, and a reader that hides damage is no check. Everything odd is a
// Problem; nothing is repaired. Covers edition 2 (header and data sections); the anchor, reference
// and signature sections of edition 3 are reported as problems.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace leafstack::part21 {

/// One thing that is wrong with a file. `line` counts from 1; 0 where no line applies.
struct Problem {
  int line = 0;
  std::string text;
};

/// One parameter of a record.
struct Value {
  enum class Kind {
    kUnset,      ///< $
    kDerived,    ///< *
    kInteger,    ///< number
    kReal,       ///< number
    kString,     ///< text, decoded to UTF-8
    kEnum,       ///< text without the dots
    kBinary,     ///< text, the hexadecimal digits
    kReference,  ///< id
    kList,       ///< items
    kTyped       ///< text is the type name, items holds the one value
  };
  Kind kind = Kind::kUnset;
  double number = 0;
  long id = 0;
  std::string text;
  std::vector<Value> items;

  bool isNumber() const { return kind == Kind::kInteger || kind == Kind::kReal; }
  bool isReference() const { return kind == Kind::kReference; }
  bool isList() const { return kind == Kind::kList; }
};

/// KEYWORD(parameters).
struct Record {
  std::string keyword;
  std::vector<Value> parameters;
};

/// #id = record; or, for a complex instance, #id = (record record …);
struct Instance {
  long id = 0;
  int line = 0;
  std::vector<Record> records;

  /// The record with this keyword, or null.
  const Record* record(std::string_view keyword) const;
  /// Keyword of a simple instance; for a complex one the keywords joined by '+'.
  std::string typeName() const;
};

struct Header {
  std::vector<std::string> description;
  std::string implementation_level;
  std::string name, time_stamp;
  std::vector<std::string> author, organisation;
  std::string preprocessor_version, originating_system, authorisation;
  std::vector<std::string> schemas;
};

/// A whole exchange file. `problems` is empty exactly when the text keeps to the grammar, every id
/// is used once, every reference resolves and the header is complete.
struct File {
  Header header;
  std::map<long, Instance> instances;
  std::vector<Problem> problems;

  const Instance* find(long id) const;
  /// The record of this keyword in the instance that `value` refers to, or null.
  const Record* follow(const Value& value, std::string_view keyword) const;
  /// Ids of all instances that hold a record of this keyword, in ascending order.
  std::vector<long> all(std::string_view keyword) const;
};

File parse(std::string_view text);

/// Reads and parses; an unreadable file is a Problem.
File readFile(const std::string& path);

/// Parameter `index` of `record`, or an unset value where there are fewer.
const Value& parameter(const Record& record, std::size_t index);

}  // namespace leafstack::part21
