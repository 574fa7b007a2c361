#include "generator/shelf/measured_gate.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/pose.h"
#include "generator/layout/layout.h"
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

/// Which instance of `b` each one of `a` is, by kind and panel in the order of placing; empty where
/// b has others. Motor packers lie in as many layers as their height takes: the topmost there is.
std::vector<int> counterparts(const Model& a, const Model& b) {
  const auto keyOf = [](const Model& model, const Instance& one) {
    return std::pair(model.parts[one.part].kind, one.panel);
  };
  std::map<std::pair<PartKind, int>, std::vector<int>> there;
  for (std::size_t i = 0; i < b.instances.size(); ++i) {
    there[keyOf(b, b.instances[i])].push_back(static_cast<int>(i));
  }
  std::map<std::pair<PartKind, int>, std::size_t> met;
  std::vector<int> found;
  for (const Instance& one : a.instances) {
    const auto key = keyOf(a, one);
    const std::vector<int>& alike = there[key];
    const bool may_differ = key.first == PartKind::kMotorPacker && !alike.empty();
    const std::size_t nth = met[key]++;
    if (nth >= alike.size() && !may_differ) {
      return {};
    }
    found.push_back(alike[std::min(nth, alike.size() - 1)]);
  }
  for (const auto& [key, alike] : there) {
    if (key.first != PartKind::kMotorPacker && met[key] != alike.size()) {
      return {};
    }
  }
  return found;
}

/// Every row changed by another amount, none of them a simple share of another; `part` from 0 to 1
/// says which.
GateSpec withAllShaken(GateSpec spec, double most_mm, double part) {
  for (const Parameter& row : hardwareRows()) {
    if (double* const figure = *row.unit == '\0' ? nullptr : figureIn(row, spec)) {
      part = std::fmod(part + std::numbers::phi, 1);
      *figure += most_mm * part;
    }
  }
  return spec;
}

}  // namespace

double* figureIn(const Parameter& row, GateSpec& spec) {
  const Slot slot = row.slot(spec);
  if (double* const* number = std::get_if<double*>(&slot)) {
    return *number;
  }
  auto* const* perhaps = std::get_if<std::optional<double>*>(&slot);
  return perhaps != nullptr && (*perhaps)->has_value() ? &***perhaps : nullptr;
}

void setFigure(const Parameter& row, GateSpec& spec, double value) {
  const Slot slot = row.slot(spec);
  if (double* const* number = std::get_if<double*>(&slot)) {
    **number = value;
  } else if (auto* const* perhaps = std::get_if<std::optional<double>*>(&slot)) {
    **perhaps = value;
  }
}

std::optional<double> numberOf(const Parameter& row, const GateSpec& spec) {
  // Only looked at: rows know one way to their place, which may be written to.
  const double* figure = figureIn(row, const_cast<GateSpec&>(spec));
  return figure == nullptr ? std::nullopt : std::optional<double>(*figure);
}

MeasuredGate::MeasuredGate(const GateSpec& spec, Solids solids) {
  LayoutResult result = layOut(spec);
  problems_ = std::move(result.problems);
  if (!problems_.empty()) {
    return;
  }
  if (solids == Solids::kAll) {
    model_ = std::make_shared<const Model>(buildModel(spec, result.layout, nullptr, Weighed::kNot));
  } else {
    planned_ = std::make_shared<PlannedModel>(spec, result.layout);
    model_ = std::shared_ptr<const Model>(planned_, &planned_->model());
  }
  solids_ = std::vector<MadeOnce<TopoDS_Shape>>(model_->parts.size());
  lengths_ = std::vector<MadeOnce<Lengths>>(model_->instances.size());
}

const TopoDS_Shape& MeasuredGate::solid(int part) const {
  return solids_.at(part).get(
      [&] { return planned_ ? planned_->solid(part) : model_->parts[part].solid; });
}

const Lengths& MeasuredGate::lengths(int instance) const {
  const int own = ownOf(instance);
  return lengths_.at(own).get([&] {
    const Instance& one = model_->instances[own];
    return lengthsOf(solid(one.part), one.at_closed);
  });
}

Vec3 MeasuredGate::shift(int instance, double drive_mm) const {
  return drive_mm == 0
             ? Vec3{}
             : carried(model_->poseAt(model_->instances[ownOf(instance)].body, drive_mm), {});
}

bool MeasuredGate::countAs(const Model& other) {
  own_ = counterparts(other, *model_);
  return !own_.empty();
}

int MeasuredGate::ownOf(int instance) const {
  return own_.empty() ? instance : own_.at(instance);
}

GateAndHairs::GateAndHairs(const GateSpec& spec)
    : spec_(spec), gate_(spec, MeasuredGate::Solids::kAll) {
  if (!gate_.problems().empty()) {
    return;
  }
  // Sizes that only just fit each other bear one way of shaking and not another.
  for (const double part : {0.0, 0.3, 0.55, 0.8}) {
    for (const double most : {kShakenMm, -kShakenMm, kShakenMm / 8, -kShakenMm / 8}) {
      auto made = std::make_unique<MeasuredGate>(withAllShaken(spec, most, part),
                                                 MeasuredGate::Solids::kAsMeasured);
      if (made->problems().empty() && made->countAs(*gate_.model())) {
        shaken_ = std::move(made);
        return;
      }
    }
  }
}

void GateAndHairs::prepare(const std::vector<const Parameter*>& rows) {
  std::vector<const Parameter*> missing;
  for (const Parameter* row : rows) {
    if (!changed_.contains(row)) {
      missing.push_back(row);
    }
  }
  std::vector<Changed> made(missing.size());
  inParallel(static_cast<int>(missing.size()),
             [&](int i) { made.at(i) = changedBy(*missing.at(i)); });
  for (std::size_t i = 0; i < missing.size(); ++i) {
    changed_.emplace(missing[i], std::move(made[i]));
  }
}

GateAndHairs::Changed GateAndHairs::changedBy(const Parameter& row) const {
  // Where the larger one cannot be built, or has other parts, the smaller one may do.
  for (const double hair : {kHairMm, -kHairMm}) {
    GateSpec changed = spec_;
    double* const figure = figureIn(row, changed);
    if (figure == nullptr) {
      break;
    }
    *figure += hair;
    auto gate = std::make_unique<MeasuredGate>(changed, MeasuredGate::Solids::kAsMeasured);
    if (gate->problems().empty() && gate->countAs(*gate_.model())) {
      return {std::move(gate), hair};
    }
  }
  return {};
}

}  // namespace leafstack
