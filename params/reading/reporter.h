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
  /// `source_name` is what diagnostics call the text of the values whose source is 0.
  explicit Reporter(std::string_view source_name) : sources_{{std::string(source_name), ""}} {}

  /// A further text that values come from, and the group of the gate file its keys belong to, which
  /// its own pointers leave out. Gives the number for JsonNode::source.
  int addSource(std::string_view name, std::string_view group);

  /// About a value, or about one that is missing (null); nothing about one that could not be read.
  void add(std::string_view pointer, const JsonNode* value, const Complaint& complaint);
  /// About the key of a member.
  void addKey(std::string_view pointer, const JsonNode& member, const Complaint& complaint);
  /// About a --set that has no value in the tree.
  void addOverride(std::string_view pointer, const Complaint& complaint);
  void add(std::vector<Diagnostic> problems);

  bool empty() const { return problems_.empty(); }
  /// Text by text, in its order; what has no place in one comes last, in the order found.
  std::vector<Diagnostic> sorted() const;

 private:
  struct Source {
    std::string name, group;
  };
  Diagnostic inSource(int source, TextPlace place, std::string_view pointer,
                      const Complaint& complaint) const;
  std::size_t rankOf(const Diagnostic& problem) const;

  std::vector<Source> sources_;
  std::vector<Diagnostic> problems_;
};

}  // namespace leafstack
