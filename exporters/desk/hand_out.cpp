#include "exporters/desk/hand_out.h"

#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/bcf/zip_file.h"
#include "exporters/folder/gate_folder.h"
#include "exporters/folder/outputs.h"
#include "generator/geometry/cancel.h"
#include "generator/verdict/gate_verdict.h"

namespace leafstack::desk {
namespace {

namespace fs = std::filesystem;

/// A folder for its owner's eyes that goes with the object.
class PrivateFolder {
 public:
  PrivateFolder() {
    std::string pattern = (fs::temp_directory_path() / "leafstack-desk-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) {
      throw WriteError(pattern + ": cannot be made");
    }
    path_ = pattern;
  }
  ~PrivateFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  PrivateFolder(const PrivateFolder&) = delete;
  PrivateFolder& operator=(const PrivateFolder&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

std::string zipOf(const OutputFolder& folder, const std::string& name,
                  const std::string& timestamp) {
  std::vector<ZipEntry> entries;
  for (const auto& entry : fs::recursive_directory_iterator(folder.target())) {
    if (entry.is_regular_file()) {
      std::ifstream in(entry.path(), std::ios::binary);
      entries.push_back(
          {name + "/" + entry.path().lexically_relative(folder.target()).generic_string(),
           {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()}});
    }
  }
  std::sort(entries.begin(), entries.end(),
            [](const ZipEntry& a, const ZipEntry& b) { return a.path < b.path; });
  return zipFile(entries, timestamp);
}

}  // namespace

bool areOutputs(const std::vector<std::string>& names) {
  return std::all_of(names.begin(), names.end(), [](const std::string& name) {
    const auto all = outputs();
    return std::any_of(all.begin(), all.end(),
                       [&](const Output& output) { return output.name == name; });
  });
}

std::string outputsJson() {
  nlohmann::ordered_json json = nlohmann::ordered_json::array();
  for (const Output& output : outputs()) {
    std::string what;
    for (const OutputText& text : output.texts) {
      what += (what.empty() ? "" : "; ") + std::string(text.what);
    }
    json.push_back({{"name", output.name}, {"what", what}, {"on_request", output.on_request}});
  }
  return json.dump();
}

HandOut handOut(Checking& checking, const HandOutOrder& order, const std::atomic<bool>& is_over,
                const HandOutWatcher& watch) {
  const HandOutWatcher watch_and_end = [&](std::string_view stage, int done, int total) {
    watch(stage, done, total);
    if (is_over) {
      throw Cancelled{};
    }
  };
  Progress progress(watch_and_end);
  const Checking::HandedOut made = checking.handOut(order.text, progress);
  std::optional<PrivateFolder> temporary;
  fs::path target = order.folder;
  if (order.folder.empty()) {
    target = temporary.emplace().path() / "gate";
  }
  InputFiles inputs;
  inputs.add(order.gate_path);
  OutputFolder folder(target, /*force=*/true, inputs);
  OutputChoice choice;
  choice.only = order.only;
  if (checking.remarks() != nullptr) {
    choice.besides.emplace_back("bcf");
  }
  const GateResults results{
      made.prepared.gate,   made.built.model,
      made.built.schedules, made.built.clash,
      made.advice,          nullptr,
      checking.remarks(),   made.built.as_built ? &*made.built.as_built : nullptr};
  HandOut out;
  out.files = writeGateFolder(folder, results, choice, made.prepared.provenance, watch_and_end);
  out.verdict_line = inWords(gateVerdict(made.advice.warnings, &made.built.clash));
  if (!folder.keptFor().empty()) {
    out.kept = folder.kept().filename().string();
  }
  if (order.folder.empty()) {
    watch_and_end("zip", 0, 0);
    out.zip = zipOf(folder, fs::path(order.gate_path).stem().string(),
                    made.prepared.provenance.timestamp);
  }
  return out;
}

}  // namespace leafstack::desk
