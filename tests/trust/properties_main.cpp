// Properties of gates from the whole input space (whole_space.h), by RapidCheck: each is refused in
// words, or its layout, solids, lists and report keep what the headers promise. A gate that breaks
// a promise is shrunk to the shortest file that still does, printed, and kept.
//
//   trust_properties COUNT [SEED]           read, lay out, build, list, check for clashes
//   trust_properties COUNT [SEED] --write   and write every output, into a temporary folder
#include <rapidcheck.h>
#include <unistd.h>

#include <Standard_Failure.hxx>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <set>

#include "exporters/folder/gate_folder.h"
#include "exporters/lists/report/summary.h"
#include "generator/clash/report/clash.h"
#include "generator/compare/arrangements.h"
#include "generator/compare/misfit.h"
#include "generator/occt/checked.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warnings.h"
#include "tests/trust/layout_properties.h"
#include "tests/trust/whole_space.h"

namespace leafstack {

void showValue(const whole_space::Draw& draw, std::ostream& out) {
  out << draw.row << ":" << draw.bits;
}

namespace whole_space {
void showValue(const Draw& draw, std::ostream& out) {
  out << draw.row << ":" << draw.bits;
}
}  // namespace whole_space

namespace {

namespace fs = std::filesystem;
using whole_space::Draw;

bool write_all = false;
std::map<std::string, int> outcomes;
/// The gate that took longest, for whoever wonders what a run waits for.
struct Slowest {
  double s = 0;
  std::string text;
} slowest;

/// What a gate breaks; the outcome of one that breaks nothing goes to `outcomes`.
class Trial {
 public:
  explicit Trial(std::string text) : text_(std::move(text)) {}

  std::string fault() {
    try {
      run();
    } catch (const Standard_Failure& error) {
      expect(false, std::string("the kernel failed: ") + error.GetMessageString());
    } catch (const std::exception& error) {
      expect(false, std::string("thrown: ") + error.what());
    }
    return fault_;
  }
  const std::string& outcome() const { return outcome_; }

 private:
  void expect(bool holds, const std::string& what) {
    if (!holds && fault_.empty()) {
      fault_ = what;
    }
  }

  void run() {
    const ReadResult read = readGate(text_, "gate.json");
    for (const Diagnostic& problem : read.problems) {
      expect(!toString(problem).empty(), "refused without a word");
    }
    if (!read.gate) {
      outcome_ = "refused by the reader";
      return;
    }
    const GateSpec& spec = read.gate->spec;
    const LayoutResult laid_out = layOut(withPanelsChosen(spec));
    for (const LayoutProblem& problem : laid_out.problems) {
      expect(findParameter(problem.pointer) != nullptr && !problem.text.empty(),
             "refused by the layout for " + problem.pointer);
    }
    if (!laid_out.problems.empty()) {
      outcome_ = "refused by the layout";
      return;
    }
    const std::string layout_fault = layoutFault(spec, laid_out.layout);
    expect(layout_fault.empty(), layout_fault);
    if (!laid_out.layout.fits) {
      outcome_ = "does not fit";
      expect(!explainMisfit(spec, laid_out.layout).empty(), "a misfit without a word");
      return;
    }
    build(*read.gate, laid_out.layout);
  }

  void build(const ResolvedGate& gate, const Layout& layout) {
    Model model = buildModel(gate.spec, layout);
    parts(model);
    instances(model);
    measureAreas(model);
    Schedules schedules = makeSchedules(model);
    planStock(model, schedules);
    findWelds(model, schedules);
    lists(model, schedules);
    const ClashReport clash = checkClashes(model);
    outcome_ = "built: " + std::string(toString(clash.verdict));
    ReportContents contents;
    contents.spec = &gate.spec;
    contents.layout = &layout;
    contents.provenance = {"2024-01-01T00:00:00Z", "ab"};
    contents.schedules = &schedules;
    contents.clash = &clash;
    contents.advice.warnings = warningsOf(model, schedules);
    const auto report = nlohmann::json::parse(reportJson(contents));
    expect(report.is_object() && !summaryText(contents).empty(), "no report");
    nullNumbers(report, "");
    if (write_all) {
      write({gate, model, schedules, clash, contents.advice});
    }
  }

  /// A number that is none is written as null; these are null on purpose.
  void nullNumbers(const nlohmann::json& json, const std::string& where) {
    static const std::set<std::string> kMayBeNull = {"room_given_mm", "room_rule_of_thumb_mm",
                                                     "slack_mm",      "rope-ground",
                                                     "rope-bracket",  "return",
                                                     "as_built",      "against",
                                                     "stl",           "plane",
                                                     "file",          "interpolation",
                                                     "pocket",        "safety",
                                                     "motor_force_N", "ground_bracket_mm",
                                                     "problem",       "climbs_at_m_s",
                                                     "plate_use",     "ratio",
                                                     "anchors",       "block",
                                                     "pull_use",      "cone_N",
                                                     "cone_use",      "soil_kPa",
                                                     "soil_use",      "cure",
                                                     "laying"};
    for (const auto& [key, value] : json.items()) {
      expect(!value.is_null() || kMayBeNull.contains(key), where + "/" + key + " is null");
      if (value.is_structured()) {
        nullNumbers(value, where + "/" + key);
      }
    }
  }

  void parts(const Model& model) {  // M1, M2, M3, M5
    std::set<std::string> marks;
    for (const Part& part : model.parts) {
      expect(marks.insert(part.mark).second, "M2 mark " + part.mark + " twice");
      checkedSolid(part.solid, "M1 " + part.mark);
      if (!part.open_solid.IsNull()) {
        checkedSolid(part.open_solid, "M1 " + part.mark + " open");
      }
      const MassProperties now = massProperties(part.solid);
      expect(now.volume_mm3 > 0, "M3 " + part.mark + " has no volume");
      expect(std::abs(now.volume_mm3 - part.volume_mm3) <= 1e-9 * part.volume_mm3,
             "M3 volume of " + part.mark);
      for (int axis = 0; axis < 3; ++axis) {
        expect(part.bounds.low[axis] < now.centroid_mm[axis] &&
                   now.centroid_mm[axis] < part.bounds.high[axis],
               "M5 the centre of " + part.mark + " is out of its bounds");
      }
    }
  }

  void instances(const Model& model) {  // M4
    for (const Instance& instance : model.instances) {
      const gp_Trsf motion = instance.at_closed.Transformation();
      expect(!motion.IsNegative() && std::abs(motion.ScaleFactor() - 1) < 1e-12,
             "M4 an instance of " + model.parts.at(instance.part).mark + " is mirrored or scaled");
      for (int axis = 0; axis < 3; ++axis) {
        expect(
            std::isfinite(instance.bounds.low[axis]) && std::isfinite(instance.bounds.high[axis]),
            "an instance of " + model.parts.at(instance.part).mark + " stands nowhere");
      }
    }
  }

  void lists(const Model& model, const Schedules& schedules) {
    std::map<std::string, int> placed, listed, shop;
    for (const Instance& instance : model.instances) {
      ++placed[model.parts.at(instance.part).mark];
    }
    double panels_kg = 0, rows_kg = 0;
    for (const PartRow& row : schedules.parts) {
      listed[row.mark] += row.quantity;
      int on_panels = 0;
      for (const auto& [panel, quantity] : row.per_panel) {
        on_panels += quantity;
        rows_kg += panel > 0 ? quantity * row.mass_kg : 0;
      }
      expect(on_panels == row.quantity, "quantities of " + row.mark + " do not add up");
    }
    expect(placed == listed, "the parts listed are not those placed");
    for (const double mass_kg : schedules.panel_mass_kg) {
      panels_kg += mass_kg;
    }
    expect(std::abs(panels_kg - rows_kg) <= 1e-6 * (1 + rows_kg),
           "masses: panels " + std::to_string(panels_kg) + ", rows " + std::to_string(rows_kg));
    for (const CutRow& row : schedules.cut_list) shop[row.mark] += row.quantity;
    for (const BillRow& row : schedules.bill) shop[row.mark] += row.quantity;
    for (const auto& [mark, quantity] : shop) {
      expect(placed[mark] == quantity, "quantity of " + mark + " in cut list or bill");
    }
    for (const ProfileRow& row : schedules.profiles) {
      expect(placed[row.mark] == row.quantity, "quantity of " + row.mark + " in the profiles");
      shop[row.mark] = row.quantity;
    }
    expect(shop.size() == placed.size(), "a part stands in no list");
  }

  void write(const GateResults& results) {
    std::string folder = (fs::temp_directory_path() / "leafstack-trial-XXXXXX").string();
    if (mkdtemp(folder.data()) == nullptr) {
      throw std::runtime_error("no temporary folder");
    }
    try {
      OutputFolder out(fs::path(folder) / "out", false);
      writeGateFolder(out, results, {}, {"2024-01-01T00:00:00Z", "ab"},
                      [](std::string_view, int, int) {});
    } catch (...) {
      fs::remove_all(folder);
      throw;
    }
    fs::remove_all(folder);
  }

  std::string text_, fault_, outcome_;
};

rc::Gen<std::vector<Draw>> draws() {
  const auto bits = rc::gen::resize(rc::kNominalSize, rc::gen::arbitrary<std::uint32_t>());
  const auto row =
      rc::gen::inRange<std::uint32_t>(0, static_cast<std::uint32_t>(parameterTable().size()) + 1);
  return rc::gen::container<std::vector<Draw>>(
      rc::gen::build<Draw>(rc::gen::set(&Draw::row, row), rc::gen::set(&Draw::bits, bits)));
}

bool check() {
  return rc::check("every gate is refused in words or built as promised", [] {
    // Two gates in three have few changes: most that have many are refused.
    const int most = *rc::gen::element(6, 15, 100);
    const auto drawn = *rc::gen::resize(most, draws());
    const std::string text = whole_space::gateFile(drawn).dump(2);
    const fs::path current = fs::temp_directory_path() / "leafstack-property-current.json";
    std::ofstream(current) << text << "\n";
    Trial trial(text);
    const std::clock_t began = std::clock();
    const std::string fault = trial.fault();
    const double took = static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC;
    if (took > slowest.s) {
      slowest = {took, text};
      fs::copy_file(current, fs::temp_directory_path() / "leafstack-property-slowest.json",
                    fs::copy_options::overwrite_existing);
    }
    if (!fault.empty()) {
      const fs::path kept = fs::temp_directory_path() / "leafstack-property.json";
      std::ofstream(kept) << text << "\n";
      std::cerr << "broken by the gate in " << kept.string() << ": " << fault << std::endl;
      RC_FAIL(fault + "\n" + text);
    }
    ++outcomes[trial.outcome()];
  });
}

}  // namespace
}  // namespace leafstack

int main(int argc, char** argv) {
  const std::string count = argc > 1 ? argv[1] : "50";
  const std::string seed = argc > 2 && argv[2][0] != '-' ? argv[2] : "1";
  leafstack::write_all = std::string(argv[argc - 1]) == "--write";
  setenv("RC_PARAMS", ("max_success=" + count + " seed=" + seed).c_str(), 1);
  const bool good = leafstack::check();
  for (const auto& [outcome, times] : leafstack::outcomes) {
    std::cout << times << " " << outcome << "\n";
  }
  std::cout << "the slowest took " << leafstack::slowest.s << " s of processor time\n";
  std::cout << (good ? "every promise kept by " + count + " gates, seed " + seed : "BROKEN")
            << "\n";
  return good ? 0 : 1;
}
