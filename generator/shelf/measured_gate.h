// A gate with all that can be measured on it, and the same after one row changed by a hair.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "generator/geometry/made_once.h"
#include "generator/layout/figures/layout_types.h"
#include "generator/model/model.h"
#include "generator/model/planned_model.h"
#include "generator/shelf/lengths_of.h"
#include "params/table/parameter.h"

namespace leafstack {

/// By how much rows are changed: far above rounding, far below anything that changes a shape.
inline constexpr double kHairMm = 0.05;
/// By how much all rows differ from the shelf's in the gate that tells coincidences, at most.
inline constexpr double kShakenMm = 0.3;

/// Measured part by part, as lengths are asked for; several threads may ask.
class MeasuredGate {
 public:
  enum class Solids { kAll, kAsMeasured };
  /// Look at problems() first.
  MeasuredGate(const GateSpec& spec, Solids solids);

  const std::vector<LayoutProblem>& problems() const { return problems_; }
  /// Without solids, unless it was made with all of them.
  std::shared_ptr<const Model> model() const { return model_; }
  /// Of one instance, closed.
  const Lengths& lengths(int instance) const;
  /// From now on instances are counted as `other` counts its own; false where it has other parts.
  bool countAs(const Model& other);
  /// How far an instance has gone at a drive travel; level ground only.
  Vec3 shift(int instance, double drive_mm) const;

 private:
  const TopoDS_Shape& solid(int part) const;
  int ownOf(int instance) const;

  std::shared_ptr<PlannedModel> planned_;  ///< null where all solids were made at once
  std::shared_ptr<const Model> model_;
  std::vector<LayoutProblem> problems_;
  std::vector<int> own_;  ///< by the other gate's count; empty: its own
  mutable std::vector<MadeOnce<TopoDS_Shape>> solids_;  ///< by part
  mutable std::vector<MadeOnce<Lengths>> lengths_;      ///< by instance
};

/// A gate, and its neighbours in the space of shelves.
class GateAndHairs {
 public:
  explicit GateAndHairs(const GateSpec& spec);

  const MeasuredGate& gate() const { return gate_; }
  /// The same with every size of the shelf a little off, each by another amount: what is a row's
  /// length there too is no coincidence. Null where no such gate can be built.
  const MeasuredGate* shaken() const { return shaken_.get(); }
  /// Plans what is needed for these rows, on all cores.
  void prepare(const std::vector<const Parameter*>& rows);
  /// With `row` larger by `hair` (negative: smaller); null where no such gate can be built.
  struct Changed {
    std::unique_ptr<MeasuredGate> gate;
    double hair = 0;
  };
  const Changed& with(const Parameter& row) const { return changed_.at(&row); }

 private:
  Changed changedBy(const Parameter& row) const;

  GateSpec spec_;
  MeasuredGate gate_;
  std::unique_ptr<MeasuredGate> shaken_;
  std::map<const Parameter*, Changed> changed_;
};

/// Where the row's number stands in a specification; null where it has none.
double* figureIn(const Parameter& row, GateSpec& spec);
/// Gives a row that is a number, or one that may be "auto", a value.
void setFigure(const Parameter& row, GateSpec& spec, double value);
/// The number itself.
std::optional<double> numberOf(const Parameter& row, const GateSpec& spec);

}  // namespace leafstack
