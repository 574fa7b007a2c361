#include "exporters/cad/bcf/remarks_json.h"

#include "exporters/bytes/json_numbers.h"

namespace leafstack {

nlohmann::ordered_json remarksJson(const std::vector<Remark>& remarks, const Model& model) {
  using Json = nlohmann::ordered_json;
  Json rows = Json::array();
  for (const Remark& remark : remarks) {
    const RemarkParts parts = partsOf(remark, model);
    Json names = Json::array();
    for (const int instance : parts.instances) {
      names.push_back(model.instanceName(instance));
    }
    Json comments = Json::array();
    for (const RemarkComment& comment : remark.comments) {
      comments.push_back(
          {{"author", comment.author}, {"date", comment.date}, {"text", comment.text}});
    }
    rows.push_back({{"guid", remark.guid},
                    {"title", remark.title},
                    {"description", remark.description},
                    {"status", remark.status},
                    {"author", remark.author},
                    {"date", remark.date},
                    {"comments", comments},
                    {"parts", names},
                    {"parts_gone", parts.gone},
                    {"at_mm", maybe(remark.travel_mm)},
                    {"point_mm", remark.point_mm ? point(*remark.point_mm) : Json(nullptr)},
                    {"finding", remark.finding.empty() ? Json(nullptr) : Json(remark.finding)}});
  }
  return rows;
}

}  // namespace leafstack
