#include "generator/shop/coating_notes.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <gp_Cylinder.hxx>
#include <gp_Lin.hxx>
#include <limits>
#include <map>
#include <set>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/coats.h"

namespace leafstack {
namespace {

/// Screws go in by hand where this is left about them. Own choice.
constexpr double kLeftAboutScrewMm = 0.1;

struct PartNotes {
  std::set<double> threads_mm;
  std::map<double, double> holes_mm;  ///< that get too narrow: diameter, and the thread through it
};

std::string joinedBy(const std::string& one, const std::string& other, const char* between) {
  return one.empty() ? other : one + between + other;
}

std::string wordsOf(const PartNotes& notes) {
  std::string threads, text;
  for (const double thread : notes.threads_mm) {
    threads = joinedBy(threads, "M" + shown(thread), ", ");
  }
  if (!threads.empty()) {
    text = "plug threads " + threads + " or run taps through them after coating";
  }
  for (const auto& [hole, thread] : notes.holes_mm) {
    text = joinedBy(text,
                    "run holes dia " + shown(hole) + " for M" + shown(thread) +
                        " back to size after coating, and grease or make good the bare metal",
                    "; ");
  }
  return text;
}

/// Of a screw in a part that it joins.
double holeOf_mm(const Model& model, const Fastening& one, int instance) {
  const Instance& stands = model.instances[instance];
  const gp_Trsf to_part = stands.at_closed.Transformation().Inverted();
  const gp_Pnt at = gp_Pnt(one.seat_mm[0], one.seat_mm[1], one.seat_mm[2]).Transformed(to_part);
  const gp_Vec way = gp_Vec(one.out[0], one.out[1], one.out[2]).Transformed(to_part);
  return holeAbout_mm(model.parts[stands.part], {at.X(), at.Y(), at.Z()},
                      {way.X(), way.Y(), way.Z()});
}

bool isBracket(PartKind kind) {
  return kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
         kind == PartKind::kGroundBracket;
}

}  // namespace

double holeAbout_mm(const Part& part, const std::array<double, 3>& at_mm,
                    const std::array<double, 3>& way) {
  constexpr double kOneAxisMm = 0.01, kOneWay = 1e-4;
  const gp_Lin axis(gp_Pnt(at_mm[0], at_mm[1], at_mm[2]), gp_Dir(way[0], way[1], way[2]));
  double least = std::numeric_limits<double>::infinity();
  for (TopExp_Explorer faces(part.solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(faces.Current()), /*restriction=*/false);
    if (surface.GetType() != GeomAbs_Cylinder) {
      continue;
    }
    const gp_Cylinder round = surface.Cylinder();
    if (round.Axis().IsParallel(axis.Position(), kOneWay) &&
        axis.Distance(round.Location()) < kOneAxisMm) {
      least = std::min(least, 2 * round.Radius());
    }
  }
  return least < std::numeric_limits<double>::infinity() ? least : 0;
}

std::vector<HolePurposes> holePurposes(const Model& model) {
  std::vector<HolePurposes> purposes(model.parts.size());
  for (const Fastening& one : model.fastenings) {
    for (const int instance : {one.under_head, one.holds_in}) {
      if (instance < 0 || one.kind == ScrewKind::kDrilling) {
        continue;
      }
      const int part = model.instances[instance].part;
      if (model.parts[part].supply != Supply::kCutPlate) {
        continue;
      }
      const double hole = holeOf_mm(model, one, instance);
      const bool is_tapped = instance == one.holds_in && one.is_tapped;
      if (hole > 0) {
        purposes[part].try_emplace(
            "dia " + shown(hole),
            (is_tapped ? "tapped M" : "for M") + shown(one.thread_mm) + ": " + one.what);
      }
    }
  }
  return purposes;
}

std::vector<std::string> coatingNotes(const Model& model) {
  std::vector<PartNotes> notes(model.parts.size());
  const ShopSpec& shop = model.spec.shop;
  const auto isCoated = [&](int instance) {
    return instance >= 0 && coatOn_mm(shop, model.parts[model.instances[instance].part]) > 0;
  };
  for (const Fastening& one : model.fastenings) {
    if (isCoated(one.holds_in) && one.hold_mm > 0 && !one.is_match_drilled) {
      notes[model.instances[one.holds_in].part].threads_mm.insert(one.thread_mm);
    }
    if (!isCoated(one.under_head) || one.kind == ScrewKind::kDrilling) {
      continue;
    }
    const Instance& stands = model.instances[one.under_head];
    const Part& part = model.parts[stands.part];
    const double hole = holeOf_mm(model, one, one.under_head);
    if (hole > 0 && hole - 2 * coatOn_mm(shop, part) < one.thread_mm + kLeftAboutScrewMm) {
      notes[stands.part].holes_mm[hole] = one.thread_mm;
    }
  }
  for (std::size_t i = 0; i < model.parts.size(); ++i) {
    if (isBracket(model.parts[i].kind) && coatOn_mm(shop, model.parts[i]) > 0) {
      const double thread = terminalOf(model.spec).thread_mm;
      notes[i].holes_mm[thread + 2 * hardware::kTerminalBoreGapMm] = thread;
    }
  }
  std::vector<std::string> words;
  for (const PartNotes& of_part : notes) {
    words.push_back(wordsOf(of_part));
  }
  return words;
}

}  // namespace leafstack
