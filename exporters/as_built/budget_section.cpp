#include "exporters/as_built/budget_section.h"

#include <algorithm>

#include "exporters/office/html.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kRowsTold = 5;

std::string within(double mm) {
  return mm >= kBudgetMostMm - kLengthEqualMm ? "more than " + shown(kBudgetMostMm, 0)
                                              : shown(mm, 1);
}

std::string percent(double share) {
  constexpr double kPercent = 100;
  return shown(kPercent * share, 0) + " %";
}

/// Bars from 0 to 100 %.
std::string sharesPicture(const ToleranceBudget& budget) {
  constexpr double kLeft = 110, kWide = 620, kBar = 26, kApart = 40, kTop = 14;
  const double high = kTop + kApart * static_cast<double>(budget.shares.size()) + 26;
  std::string svg =
      "<svg class=\"budget\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 800 " +
      shown(high, 0) +
      "\">\n<style>.budget text{font:13px sans-serif;fill:#1f2a31}.budget .e{text-anchor:end}"
      ".budget .b{fill:#b8701a}.budget .f{fill:none;stroke:#9aa6ad}</style>\n";
  for (std::size_t i = 0; i < budget.shares.size(); ++i) {
    const double y = kTop + kApart * static_cast<double>(i);
    const BudgetShare& one = budget.shares[i];
    const auto rect = [&](const char* kind, double wide) {
      svg += "<rect class=\"" + std::string(kind) + "\" x=\"" + shown(kLeft, 1) + "\" y=\"" +
             shown(y, 1) + "\" width=\"" + shown(wide, 1) + "\" height=\"" + shown(kBar, 1) +
             "\"/>\n";
    };
    rect("b", kWide * one.works);
    rect("f", kWide);
    svg += "<text class=\"e\" x=\"" + shown(kLeft - 10, 1) + "\" y=\"" + shown(y + 18, 1) +
           "\">within " + shown(one.within_mm, 0) + " mm</text>\n<text x=\"" +
           shown(kLeft + kWide + 8, 1) + "\" y=\"" + shown(y + 18, 1) + "\">" + percent(one.works) +
           "</text>\n";
  }
  return svg + "</svg>\n";
}

}  // namespace

std::string budgetSection(const ToleranceBudget& budget) {
  std::vector<office::Cells> rows;
  for (std::size_t i = 0; i < std::min(kRowsTold, budget.rows.size()); ++i) {
    const ToleranceRow& row = budget.rows[i];
    rows.push_back({row.what, ">" + within(row.less_mm), ">" + within(row.more_mm), row.binds});
  }
  return office::heading("Where to be careful") +
         office::paragraph(
             "Each dimension alone may be off by so much, all else as drawn and ropes, stops, "
             "catch "
             "post and motor set to suit, before shims, grinding or a saw are needed:") +
         office::table({"dimension", ">less mm", ">more mm", "what then breaks first"}, rows,
                       "form") +
         office::paragraph("All of them at once, each against the others at worst: within " +
                           within(budget.all_mm) + " mm nothing breaks.") +
         office::paragraph("Of " + std::to_string(budget.gates) +
                           " gates drawn at random, every dimension anywhere within so many mm, "
                           "this share can be set to work:") +
         office::figure(sharesPicture(budget)) +
         office::paragraph(
             "Worked out with straight lines from the drawn gate's proved clearances: good beside "
             "the drawing, a guess some millimetres from it. Panels are taken as rigid.",
             "note");
}

}  // namespace leafstack
