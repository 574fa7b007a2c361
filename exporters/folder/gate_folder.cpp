#include "exporters/folder/gate_folder.h"

#include <tbb/parallel_pipeline.h>

#include <algorithm>
#include <exception>
#include <map>
#include <memory>
#include <set>
#include <string>

#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

/// A file to be written, in its output's stage.
struct StagedFile {
  std::string_view stage;
  OutputFile file;
};

/// What a file came to.
struct MadeFile {
  StagedFile* staged = nullptr;
  std::string bytes;
  std::exception_ptr failure;
};

/// Whether it is needed to know the paths.
bool givesPaths(Groundwork work) {
  return work == Groundwork::kTemplates || work == Groundwork::kSheets;
}

std::set<Groundwork> groundworkFor(const OutputChoice& choice) {
  std::set<Groundwork> works;
  for (const Output& output : outputs()) {
    if (choice.has(output)) {
      works.insert(output.needs.begin(), output.needs.end());
    }
  }
  return works;
}

/// What gives the paths has to be laid in `source` already.
std::vector<StagedFile> filesOf(const OutputSource& source, const OutputChoice& choice) {
  std::vector<StagedFile> files;
  for (const Output& output : outputs()) {
    if (!choice.has(output)) {
      continue;
    }
    for (OutputFile& file : output.files(source)) {
      files.push_back({output.stage, std::move(file)});
    }
  }
  return files;
}

MadeFile made(StagedFile& staged) {
  MadeFile file{&staged, "", nullptr};
  try {
    file.bytes = staged.file.make();
  } catch (...) {
    file.failure = std::current_exception();
  }
  return file;
}

class Writing {
 public:
  Writing(OutputFolder& folder, std::vector<StagedFile>& files, const StageWatcher& watch)
      : folder_(folder), files_(files), watch_(watch) {}

  void run() {
    using Token = std::shared_ptr<MadeFile>;
    std::size_t next = 0;
    const auto take = [&](tbb::flow_control& flow) -> StagedFile* {
      if (next == files_.size()) {
        flow.stop();
        return nullptr;
      }
      return &files_[next++];
    };
    constexpr std::size_t kFilesAtOnce = 32;
    tbb::parallel_pipeline(
        kFilesAtOnce,
        tbb::make_filter<void, StagedFile*>(tbb::filter_mode::serial_in_order, take) &
            tbb::make_filter<StagedFile*, Token>(
                tbb::filter_mode::parallel,
                [](StagedFile* file) { return std::make_shared<MadeFile>(made(*file)); }) &
            tbb::make_filter<Token, void>(tbb::filter_mode::serial_in_order,
                                          [this](const Token& file) { put(*file); }));
  }

 private:
  void put(const MadeFile& file) {
    if (file.failure) {
      std::rethrow_exception(file.failure);
    }
    const int total = static_cast<int>(files_.size()) + 1;  // the manifest
    watch_(file.staged->stage, done_, total);
    folder_.write(file.staged->file.path, file.bytes);
    watch_(file.staged->stage, ++done_, total);
  }

  OutputFolder& folder_;
  std::vector<StagedFile>& files_;
  const StageWatcher& watch_;
  int done_ = 0;
};

/// For people who wait; pieces are laid all at once, so none has a time of its own.
std::string inWords(const std::set<Groundwork>& works) {
  static const std::map<Groundwork, std::string_view> kWords = {
      {Groundwork::kCurves, "curves"},      {Groundwork::kPlan, "ways in"},
      {Groundwork::kSheets, "sheets"},      {Groundwork::kPictures, "pictures"},
      {Groundwork::kSolids, "STEP solids"}, {Groundwork::kGlb, "GLB"},
      {Groundwork::kMeshes, "meshes"},      {Groundwork::kTemplates, "templates"}};
  std::string words = "groundwork";
  for (const Groundwork work : works) {
    words += (work == *works.begin() ? ": " : ", ") + std::string(kWords.at(work));
  }
  return words;
}

void layAll(const std::set<Groundwork>& works, OutputSource& source) {
  const std::vector<Groundwork> in_turn(works.begin(), works.end());
  inParallel(static_cast<int>(in_turn.size()), [&](int i) { source.lay(in_turn.at(i)); });
}

}  // namespace

std::vector<std::string> plannedFiles(const GateResults& results, const OutputChoice& choice) {
  OutputSource source{results, {}, choice.profiles, choice.step_schema};
  for (const Groundwork work : groundworkFor(choice)) {
    if (givesPaths(work)) {
      source.lay(work);
    }
  }
  std::vector<std::string> paths;
  for (const StagedFile& one : filesOf(source, choice)) {
    paths.push_back(one.file.path);
  }
  paths.emplace_back(kManifest);
  return paths;
}

int writeGateFolder(OutputFolder& folder, const GateResults& results, const OutputChoice& choice,
                    const Provenance& provenance, const StageWatcher& watch) {
  OutputSource source{results, provenance, choice.profiles, choice.step_schema};
  const std::set<Groundwork> works = groundworkFor(choice);
  watch(inWords(works), 0, 0);
  layAll(works, source);
  std::vector<StagedFile> files = filesOf(source, choice);
  for (const StagedFile& one : files) {
    if (!one.file.mark.empty()) {
      source.by_mark[one.file.mark].files.push_back(one.file.path);
    }
  }
  Writing(folder, files, watch).run();
  watch("manifest", static_cast<int>(files.size()), static_cast<int>(files.size()) + 1);
  folder.commit(provenance);
  return static_cast<int>(files.size()) + 1;
}

}  // namespace leafstack
