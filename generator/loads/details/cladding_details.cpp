// Boards, battens and infill sheets under the wind on what they cover, and cladding's screws.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "generator/geometry/numbers.h"
#include "generator/geometry/range.h"
#include "generator/layout/figures/cradle.h"
#include "generator/loads/details/detail_parts.h"
#include "generator/loads/frame/panel_lines.h"
#include "generator/loads/wind/wind_pressure.h"

namespace leafstack::detail_rows {
namespace {

constexpr double kPaPerN_mm2 = 1e6;
constexpr const char* kCladding = "cladding-overload";
/// Short-term load outdoors, and the partial factor of solid timber (EN 1995-1-1, Tables 3.1 and
/// 2.3), from memory.
constexpr double kTimberShort = 0.7, kTimberFactor = 1.3;
/// Characteristic over mean density of EN 338's softwoods (C24: 350 of 420), from memory.
constexpr double kCharacteristicDensity = 350.0 / 420;

/// Characteristic strength in bending, N/mm2: of EN 338's softwood class of that mean density
/// (C14 to C24, from memory); denser boards count as C24.
double bendingOf(double density_kg_m3) {
  constexpr std::array<std::pair<double, double>, 6> kClasses = {
      {{420, 24}, {410, 22}, {400, 20}, {380, 18}, {370, 16}, {350, 14}}};
  for (const auto& [density, strength] : kClasses) {
    if (density_kg_m3 >= density) {
      return strength;
    }
  }
  return kClasses.back().second * density_kg_m3 / kClasses.back().first;
}

/// Pressure across something solid that stands from X to X of the closed gate, with the wind's
/// factor; N/mm2. What stands beyond the opening is behind the fence, and moves out of it.
class Wind {
 public:
  Wind(const Model& model, const DetailWind& wind)
      : model_(model),
        wind_(wind),
        wall_{model.layout.panels.back().leading_closed_mm, model.layout.opening_mm,
              model.spec.gate.height_mm, model.spec.checks.wind_ends == WindEnds::kFree} {}

  double on(int panel, const Range& x) const {
    const double solidity = wind_.solidity.at(panel - 1);
    const double from = std::clamp(x.low, wall_.from_mm, wall_.to_mm - 1);
    const double to = std::clamp(x.high, from + 1, wall_.to_mm);
    const double gross = wind_.is_class ? coveredShare(solidity)
                                        : coefficientAt(solidity, meanZone(wall_, from, to));
    return model_.spec.checks.wind_factor * wind_.pressure_Pa * gross / std::max(solidity, 0.01) /
           kPaPerN_mm2;
  }

 private:
  const Model& model_;
  const DetailWind& wind_;
  const WindWall wall_;
};

/// Screws of one strip on one member: where along it, and how many.
struct Hold {
  double at_mm = 0;
  int screws = 0;
  double wall_mm = 0;
  std::string material;
};

std::vector<Hold> holdsOf(const Model& model, int strip, bool upright) {
  std::map<int, Hold> by_member;
  for (const Fastening& one : model.fastenings) {
    if (one.under_head != strip || one.holds_in < 0) {
      continue;
    }
    Hold& hold = by_member[one.holds_in];
    hold.at_mm += upright ? one.seat_mm[2] : model.opening_sign * one.seat_mm[0];
    ++hold.screws;
    const Part& member = model.parts[model.instances[one.holds_in].part];
    hold.wall_mm = member.tube ? member.tube->wall_mm : 0;
    hold.material = member.material;
  }
  std::vector<Hold> out;
  for (auto& [member, hold] : by_member) {
    hold.at_mm /= hold.screws;
    out.push_back(hold);
  }
  std::sort(out.begin(), out.end(), [](const Hold& p, const Hold& q) { return p.at_mm < q.at_mm; });
  return out;
}

/// Greatest moment, and pull on one screw, for a load of 1 on each mm of its length.
struct Strip {
  double moment_mm2 = 0, span_mm = 0;
  double pull_mm = 0;
  int screws = 1;
  double wall_mm = 0;
  std::string material;
};

Strip stripOf(const std::vector<Hold>& holds, const Range& own) {
  constexpr double kInner = 1.25;  // of a beam over three supports, the middle one's share
  Strip out;
  for (std::size_t i = 0; i < holds.size(); ++i) {
    const bool is_first = i == 0, is_last = i + 1 == holds.size();
    const double before = is_first ? holds[i].at_mm - own.low : holds[i].at_mm - holds[i - 1].at_mm;
    const double after = is_last ? own.high - holds[i].at_mm : holds[i + 1].at_mm - holds[i].at_mm;
    const double reach = (is_first ? before : before / 2) + (is_last ? after : after / 2);
    const double pull = reach * (is_first || is_last ? 1 : kInner) / holds[i].screws;
    if (pull > out.pull_mm) {
      out.pull_mm = pull;
      out.screws = holds[i].screws;
      out.wall_mm = holds[i].wall_mm;
      out.material = holds[i].material;
    }
    const double inner = is_last ? 0 : after * after / 8;
    const double outer =
        std::max(is_first ? before * before / 2 : 0, is_last ? after * after / 2 : 0);
    for (const auto& [moment, span] :
         {std::pair{inner, after}, {outer, is_first ? before : after}}) {
      if (moment > out.moment_mm2) {
        out.moment_mm2 = moment;
        out.span_mm = span;
      }
    }
  }
  return out;
}

void addStrips(const Model& model, const Wind& wind, StructureReport& report) {
  const CladdingSpec& clad = model.spec.gate.cladding;
  const bool upright = clad.kind == CladdingKind::kBoards;
  Strip worst, loosest;
  double bent = 0, pulled = 0, bent_p = 0, pulled_p = 0;
  std::string bent_name, pulled_name;
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    const Instance& one = model.instances[i];
    const Part& part = model.parts[one.part];
    if (part.kind != PartKind::kBoard && part.kind != PartKind::kBatten) {
      continue;
    }
    const std::vector<Hold> holds = holdsOf(model, static_cast<int>(i), upright);
    if (holds.size() < 2) {
      continue;  // told by the making's warnings, and a condition
    }
    const Range x = frame::alongX(model, one);
    const Strip strip = stripOf(holds, upright ? Range{one.bounds.low[2], one.bounds.high[2]} : x);
    const double pressure = wind.on(one.panel, x);
    if (pressure * strip.moment_mm2 > bent) {
      bent = pressure * strip.moment_mm2;
      bent_p = pressure;
      worst = strip;
      bent_name = ofPanel(one.panel, part.name) + " " + part.mark;
    }
    if (pressure * strip.pull_mm > pulled) {
      pulled = pressure * strip.pull_mm;
      pulled_p = pressure;
      loosest = strip;
      pulled_name = ofPanel(one.panel, part.name) + " " + part.mark;
    }
  }
  if (bent_name.empty()) {
    return;
  }
  const double t = clad.thickness_mm, b = clad.width_mm;
  const double fmk = bendingOf(clad.density_kg_m3);
  const double strength = fmk * kTimberShort / kTimberFactor;
  StructureDetail row;
  row.id = kCladding;
  row.name = bent_name;
  row.case_name = "closed, the wind on it alone";
  row.acts = bent * b;
  row.bears = b * t * t / 6 * strength;
  row.formula = "p b s^2 / 8 / (b t^2 / 6 f_m,k 0.7 / 1.3), p " + shown(bent_p * kPaPerN_mm2, 0) +
                " Pa, b " + shown(b) + ", s " + shown(worst.span_mm, 0) + ", t " + shown(t) +
                " mm, f_m,k " + shown(fmk) + " N/mm2";
  row.source = "EN 1995-1-1; EN 338 by density, C24 at most";
  row.where = "/gate/cladding/thickness_mm";
  row.remedy = "Boards of " + shown(t * std::sqrt(row.acts / row.bears), 1) +
               " mm would do, or uprights nearer to each other.";
  addRow(report, std::move(row));

  const double head = 2 * SunkScrew{5.5}.headRadiusMm();
  const double density = kCharacteristicDensity * clad.density_kg_m3;
  const double through = 70e-6 * density * density * head * head * kTimberShort / kTimberFactor;
  const double out_of = 0.45 * 5.5 * loosest.wall_mm * tensileOf(loosest.material) / 1.25;
  StructureDetail screw;
  screw.id = kCladding;
  screw.name = pulled_name + ", its screws";
  screw.case_name = "closed, the wind on it alone";
  screw.unit = "N";
  screw.acts = pulled * b;
  screw.bears = std::min(through, out_of);
  screw.formula = "p b s' / n = " + shown(screw.acts, 0) + " N, p " +
                  shown(pulled_p * kPaPerN_mm2, 0) + " Pa, n " + std::to_string(loosest.screws) +
                  "; head through the board 70e-6 rho_k^2 d_h^2 0.7 / 1.3 = " + shown(through, 0) +
                  " N, thread out of the wall 0.45 d t f_u / 1.25 = " + shown(out_of, 0) + " N";
  screw.source = "EN 1995-1-1, 8.3.2; EN 1993-1-3, Table 8.2";
  screw.where = "/gate/cladding/width_mm";
  screw.remedy = "Narrower boards, or more uprights behind them, would do.";
  addRow(report, std::move(screw));
}

/// Johansen's yield lines of a rectangle held along its edges without being turned there: safe,
/// since welds turn it, and since it hangs as a membrane before it yields.
void addSheets(const Model& model, const Wind& wind, StructureReport& report) {
  const double t = model.spec.gate.infill.thickness_mm;
  StructureDetail worst;
  for (const Instance& one : model.instances) {
    const Part& part = model.parts[one.part];
    if (part.kind != PartKind::kSheet || one.panel == 0) {
      continue;
    }
    const Range x = frame::alongX(model, one);
    const double wide = x.high - x.low, high = one.bounds.high[2] - one.bounds.low[2];
    const double a = std::min(wide, high), ratio = a / std::max(wide, high);
    const double p = wind.on(one.panel, x);
    StructureDetail row;
    row.id = kCladding;
    row.unit = "N";  // N mm on each mm
    row.acts = p * a * a / 24 * std::pow(std::sqrt(3 + ratio * ratio) - ratio, 2);
    row.bears = stripMoment_Nmm(1, t, weldedYieldOf(model.spec, part));
    if (row.acts / row.bears <= worst.acts / std::max(worst.bears, 1e-9)) {
      continue;
    }
    row.name = ofPanel(one.panel, part.name) + " " + part.mark;
    row.case_name = "closed, the wind on it alone";
    row.formula = "p a^2 / 24 (sqrt(3 + (a / b)^2) - a / b)^2 / (t^2 / 4 f_y), p " +
                  shown(p * kPaPerN_mm2, 0) + " Pa, a " + shown(a, 0) + ", b " +
                  shown(std::max(wide, high), 0) + ", t " + shown(t) + " mm";
    row.source = "Johansen's yield lines";
    row.where = "/gate/infill/thickness_mm";
    row.remedy = "A sheet of " + shown(t * std::sqrt(row.acts / row.bears), 1) +
                 " mm would do, or uprights nearer to each other.";
    worst = std::move(row);
  }
  if (!worst.name.empty()) {
    addRow(report, std::move(worst));
  }
}

}  // namespace

void addCladdingDetails(const Model& model, const DetailWind& wind, StructureReport& report) {
  const Wind on(model, wind);
  if (model.spec.gate.cladding.kind != CladdingKind::kNone) {
    addStrips(model, on, report);
  }
  addSheets(model, on, report);
}

}  // namespace leafstack::detail_rows
