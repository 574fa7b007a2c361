#include "generator/loads/details/rope_bracket_details.h"

#include <algorithm>
#include <gp_Dir.hxx>
#include <map>
#include <numbers>
#include <string>

#include "generator/geometry/numbers.h"
#include "generator/loads/details/detail_parts.h"
#include "generator/shop/welds/weld_group.h"
#include "params/catalogue/welds.h"

namespace leafstack::detail_rows {
namespace {

bool isRopeBracket(PartKind kind) {
  return kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
         kind == PartKind::kGroundBracket;
}

/// The one of the two that holds ropes; -1 where neither does.
int ropeBracketOf(const Model& model, const std::array<int, 2>& instances) {
  for (const int instance : instances) {
    if (isRopeBracket(model.parts[model.instances[instance].part].kind)) {
      return instance;
    }
  }
  return -1;
}

double weldStrengthOf(const Model& model, int bracket) {
  return filletStrength_N_mm2(model.parts[model.instances[bracket].part].material);
}

/// A pull in one of a bracket's bores.
struct RopePullAt {
  double pull_N = 0;  ///< factored
  Vec3 at_mm{}, way{};
  bool is_held = false;  ///< by a front panel held fast, else at work
};

/// The greatest pull of the ropes that end at a bracket, at the terminal which is worst for it:
/// both stand as far off its welds.
std::vector<RopePullAt> pullsAt(const Model& model, const std::vector<BracketPull>& ropes,
                                int bracket) {
  constexpr double kVariable = 1.5;  // EN 1990
  const Instance& holds = model.instances[bracket];
  const PartKind kind = model.parts[holds.part].kind;
  // Front brackets stand on the panel in front of the one whose pulleys their ropes round.
  const int carrier = kind == PartKind::kFrontBracket ? holds.panel - 1 : holds.panel + 1;
  RopePullAt pull;
  for (const BracketPull& rope : ropes) {
    if (rope.carrier != carrier) {
      continue;
    }
    const double most = std::max(rope.work_N, rope.held_N);
    if (kVariable * most > pull.pull_N) {
      pull.pull_N = kVariable * most;
      pull.is_held = rope.held_N >= rope.work_N;
    }
  }
  const gp_Dir along = gp_Dir(1, 0, 0).Transformed(holds.at_closed.Transformation());
  pull.way = {along.X(), along.Y(), along.Z()};
  std::vector<RopePullAt> pulls;
  for (const Contact& contact : model.contacts) {
    const int other = contact.a == bracket ? contact.b : contact.b == bracket ? contact.a : -1;
    if (other < 0 || model.parts[model.instances[other].part].kind != PartKind::kTerminal) {
      continue;
    }
    const Bounds& box = model.instances[other].bounds;
    for (int axis = 0; axis < 3; ++axis) {
      pull.at_mm[axis] = (box.low[axis] + box.high[axis]) / 2;
    }
    pulls.push_back(pull);
  }
  return pulls;
}

double throatOf(const WeldRow& row, double leg_mm) {
  // What a rounded corner takes is no deeper than a fillet as thick.
  const bool is_full = row.kind == WeldKind::kButt && row.groove != Groove::kFlare;
  return is_full ? leg_mm : leg_mm / std::numbers::sqrt2;
}

/// One bracket's rows, all of its first joint.
double stressOf(const std::vector<WeldRow*>& rows, const std::vector<RopePullAt>& pulls) {
  std::vector<WeldThroat> throats;
  for (const WeldRow* row : rows) {
    for (const WeldSeam& seam : row->seams) {
      throats.push_back({seam.from, seam.to, throatOf(*row, row->leg_mm)});
    }
  }
  double most = 0;
  for (const RopePullAt& pull : pulls) {
    most =
        std::max(most, weldGroupStress_N_mm2(throats, pull.at_mm,
                                             {pull.pull_N * pull.way[0], pull.pull_N * pull.way[1],
                                              pull.pull_N * pull.way[2]}));
  }
  return most;
}

struct BracketWeld {
  int bracket = 0;
  std::vector<WeldRow*> rows;
  std::vector<RopePullAt> pulls;
  double stress_N_mm2 = 0;
};

/// Lets fillets grow where the gate file leaves them open, and tells every row its use.
std::vector<BracketWeld> weldedToRopes(const Model& model, const std::vector<BracketPull>& ropes,
                                       std::vector<WeldRow>& rows) {
  std::map<int, BracketWeld> of_bracket;
  for (WeldRow& row : rows) {
    const int bracket = row.a == row.b ? -1 : ropeBracketOf(model, row.instances);
    if (bracket >= 0) {
      of_bracket[bracket].rows.push_back(&row);
    }
  }
  std::vector<BracketWeld> welds;
  for (auto& [bracket, weld] : of_bracket) {
    const double strength = weldStrengthOf(model, bracket);
    weld.bracket = bracket;
    weld.pulls = pullsAt(model, ropes, bracket);
    weld.stress_N_mm2 = stressOf(weld.rows, weld.pulls);
    if (!model.spec.shop.weld_leg_mm && weld.stress_N_mm2 > strength) {
      for (WeldRow* row : weld.rows) {
        if (row->kind == WeldKind::kFillet) {
          row->leg_mm = filletLegFor_mm(row->thinner_mm, row->thicker_mm,
                                        weld.stress_N_mm2 * throatOf(*row, row->leg_mm), strength);
        }
      }
      weld.stress_N_mm2 = stressOf(weld.rows, weld.pulls);
    }
    for (WeldRow* row : weld.rows) {
      row->use = weld.stress_N_mm2 / strength;
    }
    welds.push_back(std::move(weld));
  }
  return welds;
}

/// `weld`: none where bracket and rail share no flat.
StructureDetail detailOf(const Model& model, int bracket, const BracketWeld* weld) {
  const Instance& stands = model.instances[bracket];
  StructureDetail detail;
  detail.id = "rope-bracket-overload";
  detail.name = (stands.panel > 0 ? ofPanel(stands.panel, "rope bracket") : "ground rope bracket") +
                std::string(", its welds");
  detail.unit = "N/mm2";
  detail.source = "EN 1993-1-8, 2.5 and 4.5.3.3; aluminium EN 1999-1-1, 8.6.3; from memory";
  detail.where = "/shop/weld_leg_mm";
  detail.remedy = "A larger fillet, or a bracket that lies on more of its rail, would do.";
  if (weld == nullptr) {
    detail.case_name = "no flat of it lies on what holds it";
    detail.formula = "nothing to weld";
    return detail;
  }
  double length = 0;
  for (const WeldRow* row : weld->rows) {
    length += row->length_mm;
  }
  const RopePullAt& pull = weld->pulls.front();
  detail.case_name = pull.is_held ? "the drive's full force, the front panel held fast"
                                  : "the rope's greatest pull at work";
  detail.acts = weld->stress_N_mm2;
  detail.bears = weldStrengthOf(model, bracket);
  detail.formula =
      "1.5 T in a bore, shared by the throats of its welds as by lines on a stiff part; 1.5 T " +
      newtons(pull.pull_N) + ", welds " + shown(length, 1) + " mm";
  return detail;
}

}  // namespace

void addRopeBracketDetails(const Model& model, const std::vector<BracketPull>& ropes,
                           StructureReport& report) {
  std::vector<WeldRow> rows = weldRowsOf(model, [&](const Contact& contact) {
    return ropeBracketOf(model, {contact.a, contact.b}) >= 0;
  });
  const std::vector<BracketWeld> welds = weldedToRopes(model, ropes, rows);
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    if (!isRopeBracket(model.parts[model.instances[i].part].kind)) {
      continue;
    }
    const auto weld = std::find_if(welds.begin(), welds.end(),
                                   [&](const BracketWeld& one) { return one.bracket == i; });
    addRow(report, detailOf(model, i, weld == welds.end() ? nullptr : &*weld));
  }
}

void weldToRopes(const Model& model, const std::vector<BracketPull>& ropes,
                 std::vector<WeldRow>& rows) {
  weldedToRopes(model, ropes, rows);
}

bool isOfRopeBracket(const Model& model, const WeldRow& row) {
  return row.a != row.b && ropeBracketOf(model, row.instances) >= 0;
}

}  // namespace leafstack::detail_rows
