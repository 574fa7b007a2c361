#include "tests/readback/readback_report.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/readback/readback_checks.h"

namespace leafstack::readback {
namespace {

using Json = nlohmann::json;

part21::Vec3 readVec(const Json& json) {
  return {json.at(0).get<double>(), json.at(1).get<double>(), json.at(2).get<double>()};
}

ReportPart readPart(const Json& json) {
  ReportPart part;
  part.mark = json.at("mark").get<std::string>();
  part.name = json.at("name").get<std::string>();
  part.quantity = json.at("quantity").get<int>();
  part.volume_mm3 = json.at("volume_mm3").get<double>();
  part.area_mm2 = json.at("area_mm2").get<double>();
  part.density_kg_m3 = json.at("density_kg_m3").get<double>();
  part.mass_kg = json.at("mass_kg").get<double>();
  part.mass_is_suppliers = json.value("mass_from", "") == "supplier";
  part.length_mm = json.at("length_mm").get<double>();
  part.files = json.at("files").get<std::vector<std::string>>();
  const Json& frame = json.at("file_frame");
  part.file_frame.origin = readVec(frame.at("origin_mm"));
  part.file_frame.x = readVec(frame.at("x"));
  part.file_frame.z = readVec(frame.at("z"));
  part.file_frame.y = cross(part.file_frame.z, part.file_frame.x);
  for (const Json& entry : json.at("per_panel"))
    part.per_panel[entry.at("panel").get<int>()] += entry.at("quantity").get<int>();
  return part;
}

void checkPart(const ReportPart& part, std::vector<std::string>& problems) {
  const auto problem = [&](const std::string& text) {
    problems.push_back("report.json: " + part.mark + ": " + text);
  };
  if (part.name.empty()) problem("has no name");
  if (part.quantity < 1) problem("occurs " + std::to_string(part.quantity) + " times");
  if (!(part.volume_mm3 > 0) || !(part.area_mm2 > 0)) problem("has no volume or area");
  if (!(part.length_mm > 0)) problem("has no length");
  const double mass = part.volume_mm3 * 1e-9 * part.density_kg_m3;
  if (!part.mass_is_suppliers &&
      !(std::abs(part.mass_kg - mass) <= kRounding + kRelativeTolerance * mass))
    problem("mass " + std::to_string(part.mass_kg) + " kg is not volume x density, " +
            std::to_string(mass) + " kg");
  int sum = 0;
  for (const auto& [panel, count] : part.per_panel) sum += count;
  if (sum != part.quantity) problem("quantity is not the sum over the panels");
}

}  // namespace

Report readReport(const std::string& folder, std::vector<std::string>& problems) {
  Report report;
  try {
    std::ifstream stream(folder + "/report.json");
    const Json json = Json::parse(stream);
    report.open.push_back({});
    for (const Json& panel : json.at("layout").at("panels")) {
      const Json& open = panel.at("open_motion");
      report.open.push_back({open.at("x_mm").get<double>(), open.at("z_mm").get<double>(),
                             open.at("turn_rad").get<double>()});
      report.most_turn_rad = std::max(report.most_turn_rad, std::abs(report.open.back().turn_rad));
      const bool is_even = report.open.back().turn_rad == 0;
      if (is_even &&
          std::abs(report.open.back().x_mm - panel.at("travel_mm").get<double>()) > kRounding)
        problems.push_back("report.json: a panel does not move by its travel");
    }
    const Json& ground = json.at("ground");
    report.rope_error_mm = ground.at("rope_error_mm").get<double>();
    for (const Json& range : ground.at("block_float_mm"))
      for (const Json& end : range)
        report.most_float_mm = std::max(report.most_float_mm, std::abs(end.get<double>()));
    for (const Json& entry : json.at("parts")) {
      const ReportPart part = readPart(entry);
      if (!report.parts.emplace(part.mark, part).second)
        problems.push_back("report.json: mark " + part.mark + " stands there twice");
      checkPart(part, problems);
    }
    if (report.parts.empty()) problems.push_back("report.json: no parts");
  } catch (const std::exception& error) {
    problems.push_back(std::string("report.json: ") + error.what());
  }
  return report;
}

}  // namespace leafstack::readback
