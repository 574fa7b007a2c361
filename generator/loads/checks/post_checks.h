// Posts, their base plates and anchors, and the blocks that they stand on, over all cases. For
// structure.cpp.
#pragma once

#include <vector>

#include "generator/layout/ground/post_plates.h"
#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/frame/structure_report.h"
#include "generator/loads/statics/post_block.h"

namespace leafstack {

class PostChecks {
 public:
  explicit PostChecks(const Model& model) : model_(model) {}

  /// A case of strength, with its factors; the worst is kept.
  void addFactored(const frame::GateFrame& gate, const frame::Response& response,
                   const std::string& case_name);
  /// A case as it is: the ground is judged by these.
  void addUnfactored(const frame::GateFrame& gate, const frame::Response& response,
                     const std::string& case_name);
  /// Judges what was gathered; once, after the last case.
  std::vector<StructurePost> take();
  /// Of the overhead bracket, where there is one; after the last case.
  const std::optional<StructurePlate>& ears() const { return ears_; }
  /// Of posts on their base plates; after take().
  std::vector<StructureWeld> takeWelds() { return std::move(welds_); }

 private:
  struct Gathered {
    StructurePost post;
    std::optional<PostPlate> plate;  ///< none: it hangs on the fence post
    double moment_Nm = 0;            ///< greatest of any case, for the anchors
    std::vector<FootLoad> factored, unfactored;
    StructureWeld weld;  ///< worst of any case, where there is a plate
  };
  Gathered& entryFor(int instance);
  void judgePlate(Gathered& entry) const;
  PostAnchors anchorsOf(const PostPlate& plate, const StructurePost& post) const;
  PostBlock blockOf(const Gathered& entry) const;

  const Model& model_;
  std::vector<Gathered> posts_;
  std::vector<StructureWeld> welds_;
  std::optional<StructurePlate> ears_;
};

}  // namespace leafstack
