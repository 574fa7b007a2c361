#include "exporters/cad/bcf/bcf.h"

#include <algorithm>
#include <iterator>
#include <set>
#include <string_view>
#include <vector>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/cad/bcf/bcf_view.h"
#include "exporters/cad/bcf/guid.h"
#include "exporters/cad/bcf/remarks.h"
#include "exporters/cad/bcf/zip_file.h"
#include "exporters/cad/step/step.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr const char* kTopicType = "Clash";
constexpr const char* kStatus = "Open";
constexpr const char* kSnapshot = "snapshot.png";
constexpr const char* kSystem = "leafstack";
constexpr const char* kPriorities[] = {"Critical", "High", "Normal"};
// Lists of issues show about so much of a title; the description holds all of it.
constexpr std::size_t kTitleCharacters = 120;

const char* priorityOf(FindingClass finding_class) {
  switch (finding_class) {
    case FindingClass::kPenetration:
      return kPriorities[0];
    case FindingClass::kTouch:
    case FindingClass::kContactLost:
    case FindingClass::kUnresolved:  // to be taken for a clash until somebody has looked
      return kPriorities[1];
    case FindingClass::kBelowClearance:
      return kPriorities[2];
  }
  return "";
}

std::string bodyLabel(const FindingPart& side) {
  return side.panel == 0 ? "fixed" : "panel " + std::to_string(side.panel);
}

/// Sorted, each once.
std::set<std::string> labelsOf(const Finding& finding) {
  return {std::string(toString(finding.finding_class)), bodyLabel(finding.a), bodyLabel(finding.b)};
}

/// `text`, or as many of its words as fit with an ellipsis after them.
std::string shortened(const std::string& text) {
  const std::size_t blank = text.rfind(' ', kTitleCharacters);
  if (text.size() <= kTitleCharacters || blank == std::string::npos || blank == 0) {
    return text;
  }
  const std::size_t last = text.find_last_not_of(" ,;:", blank);
  return text.substr(0, last + 1) + " \u2026";
}

std::string stretchesInWords(const std::vector<Stretch>& stretches) {
  std::string text;
  for (const Stretch& one : stretches) {
    text += (text.empty() ? "" : ", ") + shown(one.from_mm) + " to " + shown(one.to_mm) + " mm";
  }
  return text;
}

/// Sentences on one line: the schema lets readers join lines.
std::string descriptionOf(const Model& model, const Finding& finding) {
  std::string text = finding.text + ".";
  text += " Drive travel: " + stretchesInWords(finding.stretches_mm) + "; measured at " +
          shown(finding.worst_at_mm) + " mm.";
  text += " Clearance: " + shown(finding.clearance_mm) +
          " mm, required: " + shown(finding.required_mm) + " mm.";
  if (finding.volume_mm3 > 0) {
    text += " Overlap: " + fixedDecimals(finding.volume_mm3, 1) + " mm3, " +
            shown(finding.depth_mm) + " mm deep.";
  }
  text += " Parts: " + model.instanceName(finding.instance_a) + " and " +
          model.instanceName(finding.instance_b);
  text += finding.pairs == 1 ? "."
                             : ", the deepest or nearest looked at of " +
                                   std::to_string(finding.pairs) + " pairs alike.";
  return text + " Finding " + finding.id + ".";
}

class BcfWriter {
 public:
  BcfWriter(const Model& model, const ClashReport& clash, const Provenance& provenance,
            const std::vector<Remark>& remarks, const BcfMore& more)
      : model_(model), clash_(clash), provenance_(provenance), remarks_(remarks), more_(more) {}

  std::string file() const {
    std::vector<ZipEntry> entries = {
        {"bcf.version", version()}, {"project.bcfp", project()}, {"extensions.xml", extensions()}};
    for (const Finding& finding : clash_.findings) {
      if (isRemarkedOn(finding)) {
        continue;
      }
      const std::string folder = guid("topic " + finding.id) + "/";
      entries.push_back({folder + "markup.bcf", markup(finding)});
      entries.push_back({folder + "viewpoint.bcfv", viewpoint(finding)});
      if (more_.snapshot) {
        entries.push_back({folder + kSnapshot, more_.snapshot(finding, cameraAt(model_, finding))});
      }
    }
    for (const Remark& remark : remarks_) {
      const bool has_parts_gone = partsOf(remark, model_).gone > 0;
      for (const ZipEntry& one : remark.files) {
        entries.push_back(one.path.ends_with("/markup.bcf")
                              ? ZipEntry{one.path, keptMarkup(remark, has_parts_gone)}
                              : one);
      }
    }
    return zipFile(entries, provenance_.timestamp);
  }

 private:
  std::string guid(const std::string& name) const {
    return nameGuid(provenance_.input_sha256, name);
  }

  bool isRemarkedOn(const Finding& finding) const {
    return std::any_of(remarks_.begin(), remarks_.end(),
                       [&](const Remark& one) { return one.finding == finding.id; });
  }

  static std::string version() {
    XmlText xml;
    xml.open("Version", {{"VersionId", "3.0"}}).close();
    return xml.text();
  }

  std::string project() const {
    XmlText xml;
    xml.open("ProjectInfo");
    xml.open("Project", {{"ProjectId", guid("project")}}).leaf("Name", gateTitle(model_)).close();
    xml.close();
    return xml.text();
  }

  /// Every value the topics use has to be listed.
  std::string extensions() const {
    std::set<std::string> labels;
    for (const Finding& finding : clash_.findings) {
      labels.merge(labelsOf(finding));
    }
    std::set<std::string> types = {kTopicType}, statuses = {kStatus, "Closed"},
                          users = {programName()},
                          priorities(std::begin(kPriorities), std::end(kPriorities));
    for (const Remark& remark : remarks_) {
      types.insert(remark.type);
      statuses.insert(remark.status);
      priorities.insert(remark.priority);
      users.insert(remark.author);
      labels.insert(remark.labels.begin(), remark.labels.end());
      labels.insert(kPartGone);
      for (const RemarkComment& comment : remark.comments) {
        users.insert(comment.author);
      }
    }
    XmlText xml;
    xml.open("Extensions");
    addAll(xml, "TopicTypes", "TopicType", types);
    addAll(xml, "TopicStatuses", "TopicStatus", statuses);
    addAll(xml, "Priorities", "Priority", priorities);
    addAll(xml, "TopicLabels", "TopicLabel", labels);
    addAll(xml, "Users", "User", users);
    xml.open("SnippetTypes").close();
    xml.open("Stages").close();
    xml.close();
    return xml.text();
  }

  static void addAll(XmlText& xml, const char* group, const char* name,
                     const std::set<std::string>& values) {
    xml.open(group);
    for (const std::string& value : values) {
      if (!value.empty()) {
        xml.leaf(name, value);
      }
    }
    xml.close();
  }

  std::string markup(const Finding& finding) const {
    XmlText xml;
    xml.open("Markup").open("Topic", {{"Guid", guid("topic " + finding.id)},
                                      {"TopicType", kTopicType},
                                      {"TopicStatus", kStatus}});
    xml.leaf("Title", shortened(finding.text)).leaf("Priority", priorityOf(finding.finding_class));
    xml.open("Labels");
    for (const std::string& label : labelsOf(finding)) {
      xml.leaf("Label", label);
    }
    xml.close();
    xml.leaf("CreationDate", provenance_.timestamp).leaf("CreationAuthor", programName());
    xml.leaf("Description", descriptionOf(model_, finding));
    xml.open("Viewpoints").open("ViewPoint", {{"Guid", guid("viewpoint " + finding.id)}});
    xml.leaf("Viewpoint", "viewpoint.bcfv");
    if (more_.snapshot) {
      xml.leaf("Snapshot", kSnapshot);
    }
    xml.close().close();
    xml.close().close();
    return xml.text();
  }

  std::string viewpoint(const Finding& finding) const {
    XmlText xml;
    xml.open("VisualizationInfo", {{"Guid", guid("viewpoint " + finding.id)}});
    xml.open("Components").open("Selection");
    for (const int instance : {finding.instance_a, finding.instance_b}) {
      const std::string name = model_.instanceName(instance);
      xml.open("Component", {{"IfcGuid", instanceIfcGuid(model_.spec.job, name)}});
      xml.leaf("OriginatingSystem", kSystem).leaf("AuthoringToolId", name).close();
    }
    xml.close().empty("Visibility", {{"DefaultVisibility", "true"}}).close();
    const BcfCamera camera = cameraAt(model_, finding);
    xml.open("PerspectiveCamera");
    point(xml, "CameraViewPoint", camera.eye_mm);
    triple(xml, "CameraDirection", camera.direction);
    triple(xml, "CameraUpVector", camera.up);
    xml.leaf("FieldOfView", kFieldOfViewDeg).leaf("AspectRatio", kAspectRatio).close();
    addLine(xml, finding);
    xml.close();
    return xml.text();
  }

  static void addLine(XmlText& xml, const Finding& finding) {
    const auto& [from, to] = finding.points_mm;
    if (norm(minus(from, to)) <= kLengthEqualMm) {
      return;
    }
    xml.open("Lines").open("Line");
    point(xml, "StartPoint", from);
    point(xml, "EndPoint", to);
    xml.close().close();
  }

  /// Millimetres as the metres of the format.
  static void point(XmlText& xml, std::string_view name, const Vec3& at_mm) {
    const auto metres = [](double mm) { return roundedToMillionth(mm) / 1000; };
    triple(xml, name, {metres(at_mm[0]), metres(at_mm[1]), metres(at_mm[2])});
  }

  static void triple(XmlText& xml, std::string_view name, const Vec3& value) {
    xml.open(name).leaf("X", value[0]).leaf("Y", value[1]).leaf("Z", value[2]).close();
  }

  const Model& model_;
  const ClashReport& clash_;
  const Provenance& provenance_;
  const std::vector<Remark>& remarks_;
  const BcfMore& more_;
};

}  // namespace

std::string bcfFile(const Model& model, const ClashReport& clash, const Provenance& provenance,
                    const BcfMore& more) {
  const std::vector<Remark> none;
  return BcfWriter(model, clash, provenance, more.remarks != nullptr ? *more.remarks : none, more)
      .file();
}

}  // namespace leafstack
