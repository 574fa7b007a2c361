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

int Reporter::addSource(std::string_view name, std::string_view group) {
  sources_.push_back({std::string(name), std::string(group)});
  return static_cast<int>(sources_.size()) - 1;
}

Diagnostic Reporter::inSource(int source, TextPlace place, std::string_view pointer,
                              const Complaint& complaint) const {
  const Source& text = sources_[static_cast<std::size_t>(source)];
  if (pointer.starts_with(text.group)) {
    pointer.remove_prefix(text.group.size());
  }
  return diagnostic(text.name, place, pointer, complaint);
}

/// By the text it is about; after all texts where it is about none.
std::size_t Reporter::rankOf(const Diagnostic& problem) const {
  std::size_t rank = 0;
  while (rank < sources_.size() && sources_[rank].name != problem.source) {
    ++rank;
  }
  return rank;
}

void Reporter::add(std::string_view pointer, const JsonNode* value, const Complaint& complaint) {
  if (value != nullptr && value->kind == JsonKind::kUnread) {
    return;  // its syntax has been complained of
  }
  if (value != nullptr && value->from_override) {
    addOverride(pointer, complaint);
    return;
  }
  const TextPlace place = value == nullptr ? TextPlace{} : value->place;
  problems_.push_back(inSource(value == nullptr ? 0 : value->source, place, pointer, complaint));
}

void Reporter::addKey(std::string_view pointer, const JsonNode& member,
                      const Complaint& complaint) {
  if (member.from_override) {
    addOverride(pointer, complaint);
    return;
  }
  problems_.push_back(inSource(member.source, member.key_place, pointer, complaint));
}

void Reporter::addOverride(std::string_view pointer, const Complaint& complaint) {
  problems_.push_back(diagnostic(kOverrideSource, {}, pointer, complaint));
}

void Reporter::add(std::vector<Diagnostic> problems) {
  problems_.insert(problems_.end(), problems.begin(), problems.end());
}

std::vector<Diagnostic> Reporter::sorted() const {
  std::vector<Diagnostic> out = problems_;
  std::stable_sort(out.begin(), out.end(), [this](const Diagnostic& a, const Diagnostic& b) {
    return std::tuple(a.line == 0, a.line == 0 ? 0 : rankOf(a), a.line, a.column) <
           std::tuple(b.line == 0, b.line == 0 ? 0 : rankOf(b), b.line, b.column);
  });
  return out;
}

}  // namespace leafstack
