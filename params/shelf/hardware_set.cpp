#include "params/shelf/hardware_set.h"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr std::string_view kGroup = "/hardware";
constexpr std::string_view kGround = "medium";
constexpr std::string_view kVersionKey = "leafstack_hardware";

void markSource(JsonNode& node, int source) {
  node.source = source;
  for (JsonNode& child : node.children) {
    markSource(child, source);
  }
}

const BuiltInSet* builtIn(std::string_view name) {
  const auto sets = builtInSets();
  const auto found = std::find_if(sets.begin(), sets.end(),
                                  [&](const BuiltInSet& one) { return one.name == name; });
  return found == sets.end() ? nullptr : &*found;
}

/// A name without folder and extension is meant for one of ours.
bool looksLikeAFile(std::string_view name) {
  return name.find_first_of("./\\") != std::string_view::npos;
}

std::string namesOfOurs() {
  std::vector<std::string> names;
  for (const BuiltInSet& one : builtInSets()) {
    names.push_back(inQuotes(std::string(one.name)));
  }
  return joined(names, "or");
}

/// Who names a set: complaints about finding it go there.
struct NamedBy {
  std::string pointer;
  const JsonNode* node = nullptr;  ///< null: the command line
};

class SetLoader {
 public:
  SetLoader(const HardwareInput& input, Reporter& reporter) : input_(input), reporter_(reporter) {}

  /// `folder`: what files are relative to; none where there can be no file.
  void load(const std::string& name, const std::optional<std::string>& folder, const NamedBy& by) {
    if (layers_.size() + 1 > kMostSetsInARow) {
      complain(by, {"more than " + std::to_string(kMostSetsInARow) + " sets build on each other",
                    "", ""});
      return;
    }
    if (const BuiltInSet* ours = builtIn(name)) {
      read(name, name, std::string(ours->text), "", by);
      return;
    }
    if (!looksLikeAFile(name)) {
      std::vector<std::string> names;
      for (const BuiltInSet& one : builtInSets()) {
        names.emplace_back(one.name);
      }
      const std::string nearest = nearestName(name, names);
      complain(by, {inQuotes(name) + " is no hardware set",
                    namesOfOurs() + ", or a file such as " + inQuotes("shelf.json"),
                    nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"});
      return;
    }
    loadFile(name, folder, by);
  }

  /// What every set builds on in the end, named or not.
  void addGround() {
    if (layers_.empty() || layers_.back().name != kGround) {
      const std::string name(kGround);
      read(name, name, std::string(builtIn(kGround)->text), "", {});
    }
  }

  std::vector<SetLayer> layers() {
    std::reverse(layers_.begin(), layers_.end());
    return std::move(layers_);
  }

 private:
  void complain(const NamedBy& by, const Complaint& complaint) {
    if (by.node == nullptr) {
      reporter_.add(std::vector<Diagnostic>{
          {"--hardware", 0, 0, "", complaint.message, complaint.allowed, complaint.suggestion}});
    } else {
      reporter_.add(by.pointer, by.node, complaint);
    }
  }

  void loadFile(const std::string& name, const std::optional<std::string>& folder,
                const NamedBy& by) {
    namespace fs = std::filesystem;
    if (!input_.read || !folder) {
      complain(by, {inQuotes(name) + " cannot be read: this text has no folder of its own", "",
                    "name the hardware file on the command line, or give the gate as a file"});
      return;
    }
    const fs::path path = (fs::path(*folder) / name).lexically_normal();
    if (!seen_.insert(path.string()).second) {
      complain(by, {inQuotes(name) + " builds on itself", "",
                    "take one of the " + inQuotes("from") + " away"});
      return;
    }
    const FileText file = input_.read(path.string());
    if (!file.fault.empty()) {
      complain(by, {file.fault, "", ""});
      return;
    }
    read(name, path.string(), file.text, path.parent_path().string(), by);
  }

  /// `name` is what results call the set, and `path` what diagnostics do: results may not depend on
  /// the folder one works in.
  void read(const std::string& name, const std::string& path, const std::string& text,
            const std::string& folder, const NamedBy& by) {
    JsonText parsed = parseJsonUpTo(kMaxHardwareFileBytes, text, path, "a hardware file");
    const int source = reporter_.addSource(path, kGroup);
    reporter_.add(parsed.problems);
    markSource(parsed.root, source);
    if (!parsed.complete) {
      return;
    }
    if (!isASet(parsed.root)) {
      complain(by,
               {inQuotes(path) + " is not a hardware set", "",
                "a set is a JSON object that holds " + inQuotes(std::string(kVersionKey)) + ": 1"});
      return;
    }
    const NamedBy here = fromOf(parsed.root);
    layers_.push_back({name, sizesOf(parsed.root)});
    if (here.node != nullptr) {
      load(here.node->text, folder, here);
    }
  }

  static bool isASet(const JsonNode& root) {
    const JsonNode* version = root.kind == JsonKind::kObject ? root.member(kVersionKey) : nullptr;
    return version != nullptr && version->kind == JsonKind::kNumber && version->number == 1;
  }

  /// The set this one builds on; no node where it names none.
  NamedBy fromOf(const JsonNode& root) {
    const JsonNode* from = root.member("from");
    if (from != nullptr && from->kind != JsonKind::kText) {
      reporter_.add("/from", from, {describe(*from) + " is not a set's name or file", "", ""});
      return {};
    }
    if (from != nullptr) {
      named_.push_back(std::make_unique<JsonNode>(*from));
      return {"/from", named_.back().get()};
    }
    return {};
  }

  /// The groups, without what is the file's own.
  JsonNode sizesOf(JsonNode root) {
    if (const JsonNode* set = root.member("set")) {
      reporter_.addKey(
          "/set", *set,
          {"belongs to a gate file", "", "a set builds on another with " + inQuotes("from")});
    }
    if (const JsonNode* name = root.member("name");
        name != nullptr && name->kind != JsonKind::kText) {
      reporter_.add("/name", name, {describe(*name) + " is not text", "", ""});
    }
    std::erase_if(root.children, [](const JsonNode& child) {
      return child.key == kVersionKey || child.key == "name" || child.key == "from" ||
             child.key == "set" || child.key == "$schema";
    });
    return root;
  }

  const HardwareInput& input_;
  Reporter& reporter_;
  std::vector<SetLayer> layers_;  ///< what builds on a set before it
  std::set<std::string> seen_;
  std::vector<std::unique_ptr<JsonNode>> named_;
};

}  // namespace

std::vector<SetLayer> loadSet(const std::string& name, const JsonNode* named_by,
                              const HardwareInput& input, Reporter& reporter) {
  SetLoader loader(input, reporter);
  const std::optional<std::string> here = "";
  loader.load(name, named_by == nullptr ? here : input.gate_folder, {"/hardware/set", named_by});
  loader.addGround();
  return loader.layers();
}

std::vector<SetLayer> groundSet(Reporter& reporter) {
  const HardwareInput none;
  SetLoader loader(none, reporter);
  loader.addGround();
  return loader.layers();
}

}  // namespace leafstack
