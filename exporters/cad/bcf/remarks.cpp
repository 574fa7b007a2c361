#include "exporters/cad/bcf/remarks.h"

#include <algorithm>
#include <charconv>
#include <map>
#include <pugixml.hpp>
#include <sstream>
#include <string_view>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/provenance.h"
#include "exporters/cad/bcf/guid.h"
#include "params/reading/characters.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostTextCharacters = 4000;
constexpr std::string_view kMarkup = "/markup.bcf";
constexpr std::string_view kTravel = "travel ", kFinding = " Finding ";

/// What a stranger wrote, fit for any page: nothing in it acts on what stands around it.
std::string cleaned(std::string_view text) {
  std::string out;
  std::size_t count = 0;
  for (const char32_t code : codePoints(text, U'\uFFFD')) {
    if (++count > kMostTextCharacters) {
      return out + "\u2026";
    }
    const bool acts = (isControlling(code) && code != U'\n') || isNoncharacter(code);
    appendUtf8(out, acts ? U' ' : code);
  }
  return out;
}

std::string said(const pugi::xml_node& node, const char* child) {
  std::string text;  // in pieces, where sections of it are marked as text
  for (const pugi::xml_node& piece : node.child(child)) {
    text += piece.value();
  }
  return cleaned(text);
}

std::optional<double> numberIn(std::string_view text) {
  double value = 0;
  const auto end = std::from_chars(text.data(), text.data() + text.size(), value);
  return end.ec == std::errc() ? std::optional(value) : std::nullopt;
}

/// The id after the last " Finding ", which our own descriptions end with.
std::string findingIn(const std::string& description) {
  const std::size_t at = description.rfind(kFinding);
  if (at == std::string::npos || description.back() != '.') {
    return "";
  }
  const std::size_t from = at + kFinding.size();
  return description.substr(from, description.size() - 1 - from);
}

class TopicReader {
 public:
  TopicReader(std::vector<ZipEntry> files, std::string folder) : folder_(std::move(folder)) {
    remark_.files = std::move(files);
  }

  /// What is wrong with it; "" where nothing is.
  std::string read() {
    const ZipEntry* const markup = file("markup.bcf");
    pugi::xml_document xml;
    const auto parsed = xml.load_buffer(markup->contents.data(), markup->contents.size());
    if (!parsed) {
      return markup->path + ": is no XML: " + parsed.description();
    }
    const pugi::xml_node topic = xml.child("Markup").child("Topic");
    remark_.guid = cleaned(topic.attribute("Guid").value());
    if (!topic || remark_.guid.empty() || !topic.child("Title")) {
      return markup->path + ": has no topic with a Guid and a Title";
    }
    readTopic(topic);
    const char* const view = topic.child("Viewpoints").child("ViewPoint").child_value("Viewpoint");
    if (const ZipEntry* const viewpoint = file(view)) {
      readView(*viewpoint);
    }
    return "";
  }

  Remark remark() { return std::move(remark_); }
  /// As the program wrote it, and nobody has said anything.
  bool isUntouched() const {
    return remark_.author == programName() && !remark_.finding.empty() &&
           remark_.comments.empty() && remark_.status == "Open";
  }

 private:
  const ZipEntry* file(const std::string& name) const {
    const auto found =
        std::find_if(remark_.files.begin(), remark_.files.end(),
                     [&](const ZipEntry& one) { return one.path == folder_ + "/" + name; });
    return found == remark_.files.end() ? nullptr : &*found;
  }

  void readTopic(const pugi::xml_node& topic) {
    remark_.title = said(topic, "Title");
    remark_.type = cleaned(topic.attribute("TopicType").value());
    remark_.priority = said(topic, "Priority");
    remark_.status = cleaned(topic.attribute("TopicStatus").value());
    remark_.author = said(topic, "CreationAuthor");
    remark_.date = said(topic, "CreationDate");
    remark_.description = said(topic, "Description");
    remark_.finding = findingIn(remark_.description);
    for (const pugi::xml_node& label : topic.child("Labels").children("Label")) {
      remark_.labels.push_back(cleaned(label.child_value()));
      const std::string_view text = remark_.labels.back();
      if (text.starts_with(kTravel)) {
        remark_.travel_mm = numberIn(text.substr(kTravel.size()));
      }
    }
    for (const pugi::xml_node& comment : topic.child("Comments").children("Comment")) {
      remark_.comments.push_back(
          {said(comment, "Author"), said(comment, "Date"), said(comment, "Comment")});
    }
  }

  void readView(const ZipEntry& viewpoint) {
    pugi::xml_document xml;
    if (!xml.load_buffer(viewpoint.contents.data(), viewpoint.contents.size())) {
      return;  // a view is a help, not the remark
    }
    const pugi::xml_node info = xml.child("VisualizationInfo");
    for (const pugi::xml_node& component :
         info.child("Components").child("Selection").children("Component")) {
      if (const std::string guid = cleaned(component.attribute("IfcGuid").value()); !guid.empty()) {
        remark_.ifc_guids.push_back(guid);
      }
    }
    const pugi::xml_node start = info.child("Lines").child("Line").child("StartPoint");
    const auto x = numberIn(start.child_value("X")), y = numberIn(start.child_value("Y")),
               z = numberIn(start.child_value("Z"));
    if (x && y && z) {
      remark_.point_mm = std::array{1000 * *x, 1000 * *y, 1000 * *z};
    }
  }

  std::string folder_;
  Remark remark_;
};

/// Entries by folder, in the order of their markup files.
std::vector<std::pair<std::string, std::vector<ZipEntry>>> topicsIn(std::vector<ZipEntry> entries) {
  std::vector<std::pair<std::string, std::vector<ZipEntry>>> topics;
  std::map<std::string, std::size_t> known;
  for (const ZipEntry& one : entries) {
    if (one.path.ends_with(kMarkup)) {
      const std::string folder = one.path.substr(0, one.path.size() - kMarkup.size());
      known[folder] = topics.size();
      topics.push_back({folder, {}});
    }
  }
  for (ZipEntry& one : entries) {
    const auto found = known.find(one.path.substr(0, one.path.find('/')));
    if (found != known.end()) {
      topics[found->second].second.push_back(std::move(one));
    }
  }
  return topics;
}

std::string versionFault(const std::vector<ZipEntry>& entries, const std::string& name) {
  const auto version = std::find_if(entries.begin(), entries.end(),
                                    [](const ZipEntry& one) { return one.path == "bcf.version"; });
  if (version == entries.end()) {
    return name + ": is a zip file without bcf.version, no BCF file";
  }
  pugi::xml_document xml;
  xml.load_buffer(version->contents.data(), version->contents.size());
  const std::string id = cleaned(xml.child("Version").attribute("VersionId").value());
  return id == "3.0" ? "" : name + ": is BCF " + id + "; 3.0 is read";
}

}  // namespace

RemarkParts partsOf(const Remark& remark, const Model& model) {
  std::map<std::string, int> known;
  if (!remark.ifc_guids.empty()) {
    for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
      known.emplace(instanceIfcGuid(model.spec.job, model.instanceName(i)), i);
    }
  }
  RemarkParts parts;
  for (const std::string& guid : remark.ifc_guids) {
    const auto found = known.find(guid);
    if (found == known.end()) {
      ++parts.gone;
    } else {
      parts.instances.push_back(found->second);
    }
  }
  return parts;
}

ReadRemarks readRemarks(const std::string& bytes, const std::string& name) {
  ReadRemarks out;
  std::vector<ZipEntry> entries;
  try {
    entries = zipEntries(bytes, kMostRemarkBytes);
  } catch (const ExportError& error) {
    out.problems.push_back(name + ": is no BCF file: " + error.what());
    return out;
  }
  if (std::string fault = versionFault(entries, name); !fault.empty()) {
    out.problems.push_back(std::move(fault));
    return out;
  }
  for (const ZipEntry& one : entries) {
    if (one.path.ends_with(kMarkup) && one.path.find('/') + kMarkup.size() != one.path.size()) {
      out.problems.push_back(name + ": " + cleaned(one.path) +
                             ": topics stand in folders of their own");
    }
  }
  if (!out.problems.empty()) {
    return out;
  }
  auto topics = topicsIn(std::move(entries));
  if (topics.size() > kMostRemarks) {
    out.problems.push_back(name + ": has more than " + std::to_string(kMostRemarks) + " topics");
    return out;
  }
  for (auto& [folder, files] : topics) {
    TopicReader reader(std::move(files), folder);
    if (const std::string fault = reader.read(); !fault.empty()) {
      out.problems.push_back(name + ": " + fault);
    } else if (!reader.isUntouched()) {
      out.remarks.push_back(reader.remark());
    }
  }
  if (!out.problems.empty()) {
    out.remarks.clear();
  }
  return out;
}

std::string keptMarkup(const Remark& remark, bool has_parts_gone) {
  const auto markup =
      std::find_if(remark.files.begin(), remark.files.end(),
                   [](const ZipEntry& one) { return one.path.ends_with("/markup.bcf"); });
  pugi::xml_document xml;
  xml.load_buffer(markup->contents.data(), markup->contents.size(),
                  pugi::parse_default | pugi::parse_declaration);
  pugi::xml_node topic = xml.child("Markup").child("Topic");
  pugi::xml_node labels = topic.child("Labels");
  const pugi::xml_node said = labels.find_child([](const pugi::xml_node& label) {
    return std::string_view(label.child_value()) == kPartGone;
  });
  if (has_parts_gone && !said) {
    if (!labels) {  // in the schema's order
      pugi::xml_node before = topic.child("Title");
      for (const char* next : {"Priority", "Index"}) {
        before = topic.child(next) ? topic.child(next) : before;
      }
      labels = topic.insert_child_after("Labels", before);
    }
    labels.append_child("Label").text().set(kPartGone);
  } else if (!has_parts_gone && said) {
    labels.remove_child(said);
  }
  std::ostringstream text;
  xml.save(text, "  ");
  return text.str();
}

}  // namespace leafstack
