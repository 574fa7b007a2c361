#include "exporters/page/review_data.h"

#include <cmath>
#include <gp_Trsf.hxx>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"
#include "exporters/cad/bcf/guid.h"
#include "exporters/page/deflected_figure.h"
#include "generator/model/shown/motion_samples.h"
#include "generator/model/shown/overlay_dimensions.h"
#include "generator/shop/place_dimensions.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

/// A turn in radians wants more places than a length: at ten metres this is a nanometre.
double turnNum(double radians) {
  constexpr double kPlaces = 1e10;
  return std::round(radians * kPlaces) / kPlaces + 0.0;
}

Json sideJson(const FindingPart& side) {
  return {{"mark", side.mark}, {"panel", side.panel}, {"words", inWords(side)}};
}

Json stretchJson(const Stretch& stretch) {
  return {num(stretch.from_mm), num(stretch.to_mm)};
}

Json partsJson(const Model& model) {
  Json json = Json::array();
  for (const Part& part : model.parts) {
    json.push_back({{"mark", part.mark},
                    {"name", part.name},
                    {"material", part.material},
                    {"section", part.section},
                    {"length_mm", num(part.length_mm)},
                    {"mass_kg", num(part.massKg())}});
  }
  return json;
}

Json instancesJson(const Model& model) {
  Json json = Json::array();
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    json.push_back({{"name", model.instanceName(i)},
                    {"guid", instanceIfcGuid(model.spec.job, model.instanceName(i))},
                    {"part", instance.part},
                    {"panel", instance.panel},
                    {"body", instance.body}});
  }
  return json;
}

Json bodiesJson(const SampledMotion& motion) {
  Json json = Json::array();
  for (const SampledBody& body : motion.bodies) {
    Json rows = Json::array();
    for (const PoseRow& row : body.rows) {
      rows.push_back({num(row.drive_mm), num(row.x_mm), num(row.z_mm), turnNum(row.turn_rad)});
    }
    json.push_back({{"pivot_mm", {num(body.pivot_mm[0]), num(body.pivot_mm[1])}}, {"rows", rows}});
  }
  return json;
}

/// Ropes change their shape: each end goes with the body that holds it, the rest with its carrier.
/// Given are a strand's two ends, pulley's side first, as they are at closed.
Json ropesJson(const Model& model) {
  Json json = Json::array();
  for (const RopeRun& rope : model.ropes) {
    const Instance& instance = model.instances.at(rope.instance);
    const gp_Trsf place = instance.at_closed.Transformation();
    const auto line = ropeLineAt(model, rope, 0);
    const auto placed = [&](const Vec3& at) {
      gp_XYZ xyz(at[0], at[1], at[2]);
      place.Transforms(xyz);
      return point({xyz.X(), xyz.Y(), xyz.Z()});
    };
    const std::size_t last = line.size() - 1;
    json.push_back(
        {{"instance", rope.instance},
         {"strands",
          {{{"body", rope.frontBody()}, {"near_mm", placed(line[1])}, {"far_mm", placed(line[0])}},
           {{"body", rope.rearBody()},
            {"near_mm", placed(line[last - 1])},
            {"far_mm", placed(line[last])}}}}});
  }
  return json;
}

Json findingsJson(const ClashReport& clash) {
  Json json = Json::array();
  for (const Finding& finding : clash.findings) {
    Json stretches = Json::array();
    for (const Stretch& stretch : finding.stretches_mm) {
      stretches.push_back(stretchJson(stretch));
    }
    json.push_back({{"id", finding.id},
                    {"class", toString(finding.finding_class)},
                    {"text", finding.text},
                    {"a", sideJson(finding.a)},
                    {"b", sideJson(finding.b)},
                    {"instances", {finding.instance_a, finding.instance_b}},
                    {"stretches_mm", stretches},
                    {"at_mm", num(finding.worst_at_mm)},
                    {"clearance_mm", num(finding.clearance_mm)},
                    {"depth_mm", num(finding.depth_mm)},
                    {"depth_direction", point(finding.depth_direction)},
                    {"points_mm", {point(finding.points_mm[0]), point(finding.points_mm[1])}}});
  }
  return json;
}

Json builtJson(const AsBuilt& built) {
  Json json = Json::array();
  for (const BuiltPair& pair : built.pairs) {
    json.push_back({{"a", sideJson(pair.a)},
                    {"b", sideJson(pair.b)},
                    {"at_mm", num(pair.at_mm)},
                    {"as_drawn_mm", num(pair.as_drawn_mm)},
                    {"left_mm", num(pair.left_mm)}});
  }
  return json;
}

Json curvesJson(const std::vector<ClearanceCurve>& curves) {
  Json json = Json::array();
  for (const ClearanceCurve& curve : curves) {
    Json points = Json::array();
    for (const CurvePoint& at : curve.points) {
      // A hundredth of a mm is finer than any chart; the least is given in full.
      points.push_back(
          {num(std::round(at.at_mm * 100) / 100), num(std::round(at.clearance_mm * 100) / 100)});
    }
    json.push_back({{"a", sideJson(curve.a)},
                    {"b", sideJson(curve.b)},
                    {"pairs", curve.pairs},
                    {"instances", {curve.instance_a, curve.instance_b}},
                    {"at_mm", num(curve.at_mm)},
                    {"clearance_mm", num(curve.least_mm)},
                    {"points_mm", {point(curve.points_mm[0]), point(curve.points_mm[1])}},
                    {"points", points}});
  }
  return json;
}

const char* wordOf(DimensionLine line) {
  switch (line) {
    case DimensionLine::kLength:
      return "length";
    case DimensionLine::kSmall:
      return "small";
    case DimensionLine::kPlace:
      return "place";
    case DimensionLine::kDatum:
      return "datum";
  }
  return "";
}

Json dimensionsJson(const Model& model, const std::vector<SetOutRow>& set_out) {
  Json json = Json::array();
  std::vector<OverlayDimension> all = overlayDimensions(model);
  for (OverlayDimension& one : placeDimensions(model, set_out)) {
    all.push_back(std::move(one));
  }
  for (const OverlayDimension& one : all) {
    json.push_back({{"label", one.label},
                    {"value_mm", num(one.value_mm)},
                    {"from_mm", point(one.from_mm)},
                    {"to_mm", point(one.to_mm)},
                    {"shown_mm", stretchJson(one.shown_mm)},
                    {"key", one.key},
                    {"set", one.set == DimensionSet::kClient ? "client" : "installer"},
                    {"line", wordOf(one.line)},
                    {"figures", one.figures}});
  }
  return json;
}

/// On the driveway before the fence, beside the opening, where nothing goes.
Json personJson(const Model& model) {
  constexpr double kHeightMm = 1750, kBesideMm = 700, kBeforeMm = 700;
  const double y = model.layout.panels.back().front_y_mm - kBeforeMm;
  const double z = model.layout.ground.heightMm(-kBesideMm, y);
  return {{"height_mm", kHeightMm},
          {"at_mm", {num(-kBesideMm * model.opening_sign), num(y), num(z)}}};
}

/// Of the drive's travel, of a state that frames are worked out in.
double shareOf(const std::string& state) {
  for (const auto& [name, share] :
       {std::pair("closed", 0.0), std::pair("half open", 0.5), std::pair("parked", 1.0)}) {
    if (state == name) {
      return share;
    }
  }
  throw ExportError("no position is known of the frame \"" + state + "\"");
}

/// Six figures a line: where its ends are, then how they move.
Json linesJson(const DeflectedShape& shape, bool infill, double opening_sign) {
  const auto round_to = [](double value, double places) {
    return std::round(value * places) / places + 0.0;
  };
  constexpr double kStands = 10, kMoves = 1000;  // a tenth of a mm, and a thousandth
  Json json = Json::array();
  for (const DeflectedLine& line : shape.lines) {
    if (line.is_infill != infill) {
      continue;
    }
    for (const auto& [at, moved] :
         {std::pair(line.from, line.from_moved), std::pair(line.to, line.to_moved)}) {
      for (int axis = 0; axis < 3; ++axis) {
        const double sign = axis == 0 ? opening_sign : 1;
        json.push_back(round_to(sign * at[axis], kStands));
      }
      for (int axis = 0; axis < 3; ++axis) {
        const double sign = axis == 0 ? opening_sign : 1;
        json.push_back(round_to(sign * (moved[axis] - at[axis]), kMoves));
      }
    }
  }
  return json;
}

Json panelsJson(const Model& model) {
  Json json = Json::array();
  for (const PanelLayout& panel : model.layout.panels) {
    json.push_back({{"number", panel.number},
                    {"speed_ratio", num(panel.speed_ratio)},
                    {"length_mm", num(panel.length_mm)}});
  }
  return json;
}

}  // namespace

nlohmann::ordered_json shapesData(const Model& model, const StructureReport& structure) {
  Json json = Json::array();
  for (const DeflectedShape& shape : structure.deflected) {
    json.push_back({{"state", shape.state},
                    {"case", shape.case_name},
                    {"at_mm", num(shareOf(shape.state) * model.layout.drive_travel_mm)},
                    {"most_mm", num(shape.most_mm)},
                    {"limit_mm", num(structure.deflection_limit_mm)},
                    {"times", exaggerationOf(shape)},
                    {"frame", linesJson(shape, /*infill=*/false, model.opening_sign)},
                    {"infill", linesJson(shape, /*infill=*/true, model.opening_sign)}});
  }
  return json;
}

nlohmann::ordered_json shownData(const Model& model, const std::vector<SetOutRow>& set_out) {
  const SampledMotion motion = sampleMotion(model);
  Json json;
  json["bodies"] = bodiesJson(motion);
  json["motion_within_mm"] = num(motion.within_mm);
  json["parts"] = partsJson(model);
  json["instances"] = instancesJson(model);
  json["ropes"] = ropesJson(model);
  json["dimensions"] = dimensionsJson(model, set_out);
  json["person"] = personJson(model);
  return json;
}

nlohmann::ordered_json reviewData(const Model& model, const Schedules& schedules,
                                  const ClashReport& clash,
                                  const std::vector<ClearanceCurve>& curves,
                                  const Provenance& provenance) {
  Json json;
  json["input_sha256"] = provenance.input_sha256;
  json["opening_sign"] = model.opening_sign;
  json["drive_travel_mm"] = num(model.layout.drive_travel_mm);
  json["opening_time_s"] = num(schedules.loads.drive.time.total_s);
  json["verdict"] = toString(clash.verdict);
  json["panels"] = panelsJson(model);
  json.update(shownData(model, schedules.set_out));
  json["findings"] = findingsJson(clash);
  json["built"] = builtJson(clash.as_built);
  json["curves"] = curvesJson(curves);
  json["curves_to_mm"] = kCurveToMm;
  return json;
}

}  // namespace leafstack
