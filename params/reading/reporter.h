// Collects the problems of one reading.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "params/reading/diagnostics.h"
#include "params/reading/json_tree.h"

namespace leafstack {

/// What diagnostics call a value that came from --set.
inline constexpr std::string_view kOverrideSource = "--set";

/// What is wrong, what would be right, and what to do.
struct Complaint {
  std::string message;
  std::string allowed;
  std::string suggestion;
};

class Reporter {
 public:
  explicit Reporter(std::string_view source_name) : source_(source_name) {}

  /// About a value, or about one that is missing (null).
  void add(std::string_view pointer, const JsonNode* value, const Complaint& complaint);
  /// About the key of a member.
  void addKey(std::string_view pointer, const JsonNode& member, const Complaint& complaint);
  /// About a --set that has no value in the tree.
  void addOverride(std::string_view pointer, const Complaint& complaint);
  void add(std::vector<Diagnostic> problems);

  bool empty() const { return problems_.empty(); }
  /// In the order of the text; what has no place in it comes last, in the order found.
  std::vector<Diagnostic> sorted() const;

 private:
  std::string source_;
  std::vector<Diagnostic> problems_;
};

}  // namespace leafstack
