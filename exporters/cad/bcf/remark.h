// Remarks of a reviewer: topics of a BCF file that somebody else wrote, or wrote into.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "exporters/cad/bcf/zip_file.h"
#include "generator/model/model.h"

namespace leafstack {

/// What a topic's label says that is about a part which the gate has no more.
inline constexpr const char* kPartGone = "part gone";

struct RemarkComment {
  std::string author, date, text;
};

struct Remark {
  std::string guid, type, status, title, priority, author, date, description;
  std::vector<std::string> labels;
  std::vector<RemarkComment> comments;
  std::vector<std::string> ifc_guids;             ///< of the parts it is about
  std::optional<double> travel_mm;                ///< where the gate stood, where it says so
  std::optional<std::array<double, 3>> point_mm;  ///< what it points at, in the gate's frame
  std::string finding;                            ///< of one of ours: the finding's id
  std::vector<ZipEntry> files;                    ///< all that the topic is made of
};

/// The parts of this gate that a remark is about.
struct RemarkParts {
  std::vector<int> instances;
  int gone = 0;  ///< parts that it names and this gate does not have
};
RemarkParts partsOf(const Remark& remark, const Model& model);

}  // namespace leafstack
