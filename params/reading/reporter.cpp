#include "params/reading/reporter.h"

#include <algorithm>
#include <tuple>

namespace leafstack {
namespace {

Diagnostic diagnostic(std::string_view source, TextPlace place, std::string_view pointer,
                      const Complaint& complaint) {
  return {std::string(source), place.line,        place.column,        std::string(pointer),
          complaint.message,   complaint.allowed, complaint.suggestion};
}

}  // namespace

void Reporter::add(std::string_view pointer, const JsonNode* value, const Complaint& complaint) {
  if (value != nullptr && value->from_override) {
    addOverride(pointer, complaint);
    return;
  }
  const TextPlace place = value == nullptr ? TextPlace{} : value->place;
  problems_.push_back(diagnostic(source_, place, pointer, complaint));
}

void Reporter::addKey(std::string_view pointer, const JsonNode& member,
                      const Complaint& complaint) {
  if (member.from_override) {
    addOverride(pointer, complaint);
    return;
  }
  problems_.push_back(diagnostic(source_, member.key_place, pointer, complaint));
}

void Reporter::addOverride(std::string_view pointer, const Complaint& complaint) {
  problems_.push_back(diagnostic(kOverrideSource, {}, pointer, complaint));
}

void Reporter::add(std::vector<Diagnostic> problems) {
  problems_.insert(problems_.end(), problems.begin(), problems.end());
}

std::vector<Diagnostic> Reporter::sorted() const {
  std::vector<Diagnostic> out = problems_;
  std::stable_sort(out.begin(), out.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::tuple(a.line == 0, a.line, a.column) < std::tuple(b.line == 0, b.line, b.column);
  });
  return out;
}

}  // namespace leafstack
