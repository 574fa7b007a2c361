// A gate file's text checked as `leafstack check --json` checks it, in a process that keeps parts,
// proofs and whole answers from one edit to the next.
//
// Properties (tests/desk): C1 the report is that of `check --json` on the same text, but for the
// time, its lists, natural frequencies and cures; C2 an answer that is kept is the one that was
// given.
#pragma once

#include <list>
#include <memory>
#include <set>
#include <string>

#include "exporters/cad/mesh/gltf.h"
#include "exporters/commands/input/prepared_gate.h"

namespace leafstack::desk {

/// Not to be used by two threads at once: the worker's.
class Checking {
 public:
  /// `options.input` is the gate file's path.
  explicit Checking(const Options& options);
  /// The hardware files that this text names may be read from here on: it came from the disk.
  void allowFilesOf(const std::string& text);

  /// JSON: problems, or verdict, values, report and calculation sheet; without cures tried, and
  /// without what only lists on paper need, which an edit need not wait for.
  std::string answer(const std::string& text);
  /// JSON: the warnings with cures tried, and what cures them together.
  std::string cures(const std::string& text);
  /// JSON: what the viewer shows, and the model's GLB. Empty where there is no gate to show.
  const std::string& scene(const std::string& text);
  const std::string& glb(const std::string& text);
  /// JSON: how the wind moves the gate (shapesData).
  const std::string& shapes(const std::string& text);
  /// JSON of `compare --json`; empty where the gate cannot be read.
  std::string arrangements(const std::string& text);

  /// The gate built anew for files of it, with stores of its own. Throws Stop.
  struct HandedOut {
    Prepared prepared;
    Built built;
    Advice advice;
  };
  const std::vector<Remark>* remarks() const { return remarks_ ? &*remarks_ : nullptr; }
  HandedOut handOut(const std::string& text, Progress& progress);

 private:
  HardwareInput hardware() const;
  struct Gate {
    std::string text, answer, cures, scene, glb, arrangements, shapes;
  };
  /// What was built last.
  struct Whole {
    std::string text;
    Prepared prepared;
    std::optional<Built> built;
  };

  Gate& gateOf(const std::string& text);
  Whole& wholeOf(const std::string& text);
  std::string report(Whole& whole, Advice advice) const;
  void show(Gate& gate);

  Options options_;
  std::optional<std::vector<Remark>> remarks_;  ///< as they were when the desk began
  std::set<std::string> named_files_;
  std::shared_ptr<TrialStores> stores_ = std::make_shared<TrialStores>();
  GltfStore meshes_;
  std::list<Gate> gates_;  ///< the newest first
  std::optional<Whole> whole_;
};

}  // namespace leafstack::desk
