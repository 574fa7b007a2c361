#include "exporters/office/quote_page.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "exporters/bytes/csv.h"
#include "exporters/office/html.h"
#include "generator/compare/arrangements.h"
#include "generator/cures/judged.h"
#include "generator/geometry/in_parallel.h"
#include "generator/geometry/numbers.h"
#include "generator/quote/cost_sheet.h"
#include "generator/verdict/gate_verdict.h"

namespace leafstack {
namespace {

using office::Cells;

std::string joinedBy(const std::vector<std::string>& items, const char* between) {
  std::string out;
  for (const std::string& item : items) {
    out += (out.empty() ? "" : between) + item;
  }
  return out;
}

/// Each once: of twenty screws without a price the name is told once.
std::vector<std::string> eachOnce(const std::vector<std::string>& items) {
  std::vector<std::string> out;
  for (const std::string& item : items) {
    if (std::find(out.begin(), out.end(), item) == out.end()) {
      out.push_back(item);
    }
  }
  return out;
}

Say finishWords(ShopFinish finish) {
  switch (finish) {
    case ShopFinish::kNone:
      return Say::kFinishNone;
    case ShopFinish::kPainted:
      return Say::kFinishPainted;
    case ShopFinish::kGalvanised:
      return Say::kFinishGalvanised;
    case ShopFinish::kGalvanisedPowder:
      return Say::kFinishGalvanisedPowder;
  }
  return Say::kFinishNone;
}

/// What fills the frame, by the names of its parts: of those ripped to fit, the whole ones.
std::string infillOf(const Model& model, const PaperWords& say) {
  std::vector<const Part*> told;  // of each name the one of most material
  for (const Part& part : model.parts) {
    const bool is_infill = part.kind == PartKind::kPicket || part.kind == PartKind::kSlat ||
                           part.kind == PartKind::kSheet || part.kind == PartKind::kBoard ||
                           part.kind == PartKind::kBatten;
    const auto known = std::find_if(told.begin(), told.end(),
                                    [&](const Part* one) { return one->name == part.name; });
    if (is_infill && known == told.end()) {
      told.push_back(&part);
    } else if (is_infill && part.volume_mm3 > (*known)->volume_mm3) {
      *known = &part;
    }
  }
  std::string out;
  for (const Part* part : told) {
    out += (out.empty() ? "" : "; ") +
           (part->kind == PartKind::kSheet
                ? say(Say::kInfillOfSheet, {shown(model.spec.gate.infill.thickness_mm, 1)})
                : part->name + (part->section.empty() ? "" : ", " + part->section));
  }
  return out;
}

std::string offeredText(const QuoteContents& contents, const PaperWords& say) {
  const Model& model = contents.model;
  const Layout& layout = model.layout;
  const DriveRow& drive = contents.schedules.loads.drive;
  std::string lengths;
  for (const PanelLayout& panel : layout.panels) {
    lengths += (lengths.empty() ? "" : " + ") + shown(panel.length_mm, 0);
  }
  std::vector<Cells> rows = {
      {say(Say::kOpening), shown(layout.opening_mm, 0) + " mm"},
      {say(Say::kHeight), shown(model.spec.gate.height_mm, 0) + " mm"},
      {say(Say::kPanels),
       say(Say::kPanelsText, {std::to_string(layout.panel_count), lengths + " mm"})},
      {say(Say::kOpensTo), say(model.opening_sign > 0 ? Say::kRight : Say::kLeft)},
      {say(Say::kFinish), say(finishWords(model.spec.shop.finish))},
      {say(Say::kMotor), drive.motor},
      {say(Say::kOpeningTime), shown(drive.time.total_s, 0) + " s"},
      {say(Say::kMass), shown(drive.moving_mass_kg, 0) + " kg"},
      {say(Say::kRoom), shown(layout.room_total_mm, 0) + " mm"}};
  const bool is_steel = model.spec.gate.material == FrameMaterial::kSteel;
  rows.insert(rows.begin() + 4,
              {say(Say::kFrame), say(is_steel ? Say::kFrameSteel : Say::kFrameAluminium)});
  const std::string infill = infillOf(model, say);
  if (!infill.empty()) {
    rows.insert(rows.begin() + 5, {say(Say::kInfill), infill});
  }
  return office::heading(say(Say::kOffered)) + office::facts(rows);
}

std::string percentText(const std::optional<Price>& percent) {
  return percent ? inDecimal(*percent) : "?";
}

std::string priceText(const CostSheet& sheet, const PaperWords& say) {
  const auto sum = [&](Money money) {
    const std::string text = office::withCurrency(inDecimal(money), sheet.currency);
    return ">" + (sheet.isComplete() ? text : say(Say::kAtLeast, {text}));
  };
  return "<div class=\"keep\">" + office::heading(say(Say::kPrice)) +
         office::table({}, {{say(Say::kNet), sum(sheet.net)},
                            {say(Say::kTax, {percentText(sheet.tax_percent)}), sum(sheet.tax)},
                            {"=" + say(Say::kGross), sum(sheet.gross)}}) +
         "</div>\n";
}

bool isThisGate(const Model& model, const Arrangement& one) {
  const ArrangementChoice& choice = one.choice;
  return choice.panels == model.layout.panel_count &&
         (choice.panels < 3 || choice.stacking == model.spec.gate.stacking) &&
         choice.mount == model.spec.guides.mount &&
         choice.motor.name == model.spec.drive.motor.name;
}

/// Arrangements of a site, the first ones tried, and which of them is the gate offered.
struct Judged {
  SiteComparison comparison;
  const Arrangement* own = nullptr;
};
Judged judgedFor(const QuoteContents& contents, const GateSpec& spec) {
  CompareOptions how;
  how.prices = &contents.prices;
  Judged made{compareArrangements(spec, how), nullptr};
  JudgeOptions few;
  few.prices = how.prices;
  few.most_instances = 2'000;
  few.most_pairs = 0;
  judgeArrangements(made.comparison, few);
  for (const Arrangement& one : made.comparison.arrangements) {
    made.own = isThisGate(contents.model, one) ? &one : made.own;
  }
  return made;
}

/// Other arrangements, as compare ranks them, then other infills, each found ready.
std::string optionsText(const QuoteContents& contents, const CostSheet& sheet,
                        const PaperWords& say) {
  constexpr std::size_t kMostOptions = 5;
  constexpr std::pair<InfillKind, Say> kInfills[] = {{InfillKind::kPickets, Say::kInfillPickets},
                                                     {InfillKind::kSlats, Say::kInfillSlats},
                                                     {InfillKind::kSheet, Say::kInfillSheet}};
  const GateSpec& spec = contents.model.spec;
  std::vector<std::pair<Say, GateSpec>> infilled;
  for (const auto& [kind, words] : kInfills) {
    if (kind != spec.gate.infill.kind && spec.gate.infill.kind != InfillKind::kOpen) {
      infilled.emplace_back(words, spec);
      infilled.back().second.gate.infill.kind = kind;
    }
  }
  Judged as_is;
  std::vector<Judged> judged(infilled.size());
  inParallel(static_cast<int>(infilled.size()) + 1, [&](int i) {
    if (i == 0) {
      as_is = judgedFor(contents, spec);
    } else {
      judged.at(i - 1) = judgedFor(contents, infilled.at(i - 1).second);
    }
  });
  std::vector<std::pair<std::string, GateSpec>> offered;
  const auto offer = [&](const std::string& name, const GateSpec& given, const Arrangement& one) {
    offered.emplace_back(name, given);
    applyChoice(given, one.choice, offered.back().second);
  };
  for (const int index : as_is.comparison.ranked) {
    const Arrangement& one = as_is.comparison.arrangements[static_cast<std::size_t>(index)];
    if (!isThisGate(contents.model, one) && one.fits && one.isReady() &&
        offered.size() < kMostOptions) {
      offer(nameOf(one.choice), spec, one);
    }
  }
  for (std::size_t i = 0; i < infilled.size(); ++i) {
    const Arrangement* const own = judged[i].own;
    if (own != nullptr && own->fits && own->isReady()) {
      offer(say(Say::kInfillOption, {say(infilled[i].first)}), infilled[i].second, *own);
    }
  }
  std::vector<Cells> rows(offered.size());
  inParallel(static_cast<int>(offered.size()), [&](int i) {
    const auto& [name, other] = offered.at(i);
    std::string difference = say(Say::kOnRequest);
    const std::optional<CostSheet> its =
        sheet.isComplete() ? costSheetOf(contents.prices, other) : std::nullopt;
    if (its && its->isComplete()) {
      const Money net = {its->net.cents - sheet.net.cents};
      difference =
          office::withCurrency((net.cents > 0 ? "+" : "") + inDecimal(net), sheet.currency);
    }
    rows.at(i) = {name, ">" + difference};
  });
  std::string out = office::heading(say(Say::kOptions));
  if (rows.empty()) {
    return out + office::paragraph(say(Say::kNoOptions));
  }
  return "<div class=\"keep\">" + out +
         office::table({say(Say::kOption), ">" + say(Say::kDifference)}, rows) +
         office::paragraph(say(Say::kOptionsNote), "note") + "</div>\n";
}

/// What the gate is ready on condition of, before anything is signed.
std::string conditionsText(const GateVerdict& verdict, const PaperWords& say) {
  return !verdict.is_ready || verdict.provisos.empty()
             ? ""
             : "<div class=\"warn\">" + office::smallHeading(say(Say::kConditions)) +
                   office::list(verdict.provisos) + office::paragraph(say(Say::kConditionsNote)) +
                   "</div>\n";
}

/// What is charged is included; what the price list says nothing of is not.
std::string includedText(const CostSheet& sheet, const PaperWords& say) {
  const auto isCharged = [&](CostGroup group, std::string_view what) {
    return std::any_of(sheet.lines.begin(), sheet.lines.end(), [&](const SheetCost& line) {
      const bool is_it = what.empty() ? !line.marks.empty() : line.what.starts_with(what);
      return line.group == group && is_it && !line.isMissing();
    });
  };
  std::vector<std::string> in = {say(Say::kIncludedMaking)}, out;
  const auto sort = [&](Say words, bool is_in) { (is_in ? in : out).push_back(say(words)); };
  sort(Say::kWorkInstall, isCharged(CostGroup::kWork, "install"));
  sort(Say::kWorkDig,
       isCharged(CostGroup::kWork, "dig") || isCharged(CostGroup::kConcrete, "digging"));
  sort(Say::kWorkConcrete, isCharged(CostGroup::kConcrete, ""));
  for (const Say never : {Say::kExcludedTransport, Say::kExcludedSupply, Say::kExcludedControls,
                          Say::kExcludedGround, Say::kExcludedPermits, Say::kExcludedMeasuring}) {
    out.push_back(say(never));
  }
  return office::heading(say(Say::kIncluded)) + office::list(in) +
         office::heading(say(Say::kExcluded)) + office::list(out);
}

Say groupWords(CostGroup group) {
  constexpr Say kWords[kCostGroups] = {Say::kGroupSections, Say::kGroupPlates,  Say::kGroupBought,
                                       Say::kGroupConcrete, Say::kGroupCoating, Say::kGroupWork};
  return kWords[static_cast<std::size_t>(group)];
}

Cells costCells(const SheetCost& line) {
  const std::string price = line.price ? ">" + inDecimal(*line.price) : ">?";
  const std::string cost = line.isMissing() ? ">?" : ">" + inDecimal(line.cost);
  Cells cells = {line.what, line.marks, ">" + inDecimal(line.quantity), line.unit};
  if (line.group == CostGroup::kWork) {
    cells = {line.what, ">" + inDecimal(line.quantity), line.unit,
             line.hours_each ? ">" + inDecimal(*line.hours_each) : ">?",
             line.isMissing() ? ">?" : ">" + inDecimal(line.hours)};
  }
  cells.push_back(price);
  cells.push_back(cost);
  return cells;
}

std::string groupText(const CostSheet& sheet, CostGroup group, const PaperWords& say) {
  std::vector<Cells> rows;
  bool is_complete = true;
  for (const SheetCost& line : sheet.lines) {
    if (line.group == group) {
      rows.push_back(costCells(line));
      is_complete = is_complete && !line.isMissing();
    }
  }
  if (rows.empty()) {
    return "";
  }
  Cells head = {say(Say::kWhat), say(Say::kMarks), ">" + say(Say::kQuantity), say(Say::kUnit)};
  if (group == CostGroup::kWork) {
    head = {say(Say::kWhat), ">" + say(Say::kQuantity), say(Say::kUnit), ">" + say(Say::kHoursEach),
            ">" + say(Say::kHours)};
  }
  head.push_back(">" + say(Say::kUnitPrice));
  head.push_back(">" + say(Say::kCost));
  Cells sum(head.size());
  sum.front() = "=" + say(is_complete ? Say::kSum : Say::kSumIncomplete);
  sum.back() = ">" + inDecimal(sheet.sums[static_cast<std::size_t>(group)]);
  rows.push_back(sum);
  return office::heading(say(groupWords(group))) + office::table(head, rows);
}

/// Items of the price list that price nothing here: first those that may be slips.
std::string idleText(const CostSheet& sheet, const PaperWords& say) {
  std::string slips;
  std::vector<std::string> others;
  for (const IdleItem& one : sheet.idle) {
    if (one.meant.empty()) {
      others.push_back(one.entry);
    } else {
      slips += office::paragraph(say(Say::kIdleSlip, {one.entry, one.meant}), "warn");
    }
  }
  return slips + (others.empty()
                      ? ""
                      : office::paragraph(say(Say::kIdle, {joinedBy(others, "; ")}), "note"));
}

}  // namespace

std::string quotePage(const QuoteContents& contents, const Provenance& provenance,
                      const PaperWords& say) {
  const CostSheet sheet = costSheet(contents.prices, contents.schedules);
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  const bool lacks = sheet.currency.empty() || sheet.valid_until.empty();
  // Both are days as ISO 8601 writes them, so in order as texts.
  const std::string today = provenance.timestamp.substr(0, provenance.timestamp.find('T'));
  const bool is_past = !sheet.valid_until.empty() && sheet.valid_until < today;
  const bool is_draft = !verdict.is_ready || !sheet.isComplete() || lacks || is_past;
  std::string body = verdict.is_ready
                         ? ""
                         : office::paragraph(say(Say::kQuoteNotReady, {inWords(verdict)}), "warn");
  if (!sheet.isComplete()) {
    body += office::paragraph(say(Say::kQuoteIncomplete, {joinedBy(eachOnce(sheet.missing), "; ")}),
                              "warn");
  }
  if (lacks) {
    const std::string both = sheet.currency.empty() && sheet.valid_until.empty() ? ", " : "";
    body +=
        office::paragraph(say(Say::kQuoteLacks, {(sheet.currency.empty() ? "currency" : "") + both +
                                                 (sheet.valid_until.empty() ? "valid_until" : "")}),
                          "warn");
  }
  if (is_past) {
    body += office::paragraph(say(Say::kQuotePast, {sheet.valid_until, today}), "warn");
  }
  body +=
      office::figure(contents.closed_picture) + offeredText(contents, say) +
      conditionsText(verdict, say) + priceText(sheet, say) + includedText(sheet, say) +
      optionsText(contents, sheet, say) + office::heading(say(Say::kValidity)) +
      office::paragraph(sheet.valid_until.empty() ? say(Say::kValidUnknown)
                                                  : say(Say::kValidUntil, {sheet.valid_until})) +
      office::facts(
          {{say(Say::kDelivery), say(Say::kToAgree)}, {say(Say::kPayment), say(Say::kToAgree)}}) +
      office::paragraph(say(Say::kQuoteNote), "note") +
      (is_draft ? office::paragraph(say(Say::kNotToBeAccepted), "warn")
                : office::signatures(
                      {say(Say::kSignature), say(Say::kAccepted) + ": " + say(Say::kSignature)}));
  return office::page(say, is_draft ? Say::kQuotationDraft : Say::kQuotation,
                      contents.model.spec.job, provenance, body);
}

std::string costPage(const QuoteContents& contents, const Provenance& provenance,
                     const PaperWords& say) {
  const CostSheet sheet = costSheet(contents.prices, contents.schedules);
  std::string body =
      office::verdictOnTop(gateVerdict(contents.advice.warnings, &contents.clash), say) +
      office::paragraph(say(Say::kForTheOffice));
  if (!sheet.isComplete()) {
    body += "<div class=\"warn\">" + office::smallHeading(say(Say::kMissing)) +
            office::paragraph(say(Say::kMissingText, {joinedBy(eachOnce(sheet.missing), "; ")})) +
            "</div>\n";
  }
  body += idleText(sheet, say);
  for (int group = 0; group < kCostGroups; ++group) {
    body += groupText(sheet, static_cast<CostGroup>(group), say);
  }
  const auto sum = [&](Money money) {
    return ">" + office::withCurrency(inDecimal(money), sheet.currency);
  };
  const Say all = sheet.isComplete() ? Say::kSum : Say::kSumIncomplete;
  body += "<div class=\"keep\">" + office::heading(say(Say::kPrice)) +
          office::table(
              {}, {{say(all), sum(sheet.cost)},
                   {say(Say::kMargin, {percentText(sheet.margin_percent)}), sum(sheet.margin)},
                   {say(Say::kNet), sum(sheet.net)},
                   {say(Say::kTax, {percentText(sheet.tax_percent)}), sum(sheet.tax)},
                   {"=" + say(Say::kGross), sum(sheet.gross)}}) +
          "</div>\n" + office::paragraph(say(Say::kRounding), "note");
  return office::page(say, Say::kCostSheet, contents.model.spec.job, provenance, body);
}

std::string costSheetCsv(const QuoteContents& contents, const Provenance& /*provenance*/,
                         const PaperWords& /*say*/) {
  const CostSheet sheet = costSheet(contents.prices, contents.schedules);
  static constexpr const char* kGroups[kCostGroups] = {"sections", "plates",  "bought",
                                                       "concrete", "coating", "work"};
  std::string out = csvLine({"group", "what", "marks", "quantity", "unit", "hours_each", "hours",
                             "price", "priced_as", "cost"});
  for (const SheetCost& line : sheet.lines) {
    out += csvLine(
        {kGroups[static_cast<std::size_t>(line.group)], line.what, line.marks,
         inDecimal(line.quantity), line.unit, line.hours_each ? inDecimal(*line.hours_each) : "",
         line.group == CostGroup::kWork && !line.isMissing() ? inDecimal(line.hours) : "",
         line.price ? inDecimal(*line.price) : "", line.priced_as,
         line.isMissing() ? "" : inDecimal(line.cost)});
  }
  const auto last = [&](const char* what, const std::string& percent, Money money) {
    out += csvLine(
        {"sum", what, "", percent, percent.empty() ? "" : "%", "", "", "", "", inDecimal(money)});
  };
  const auto percent = [](const std::optional<Price>& value) {
    return value ? inDecimal(*value) : std::string();
  };
  last(sheet.isComplete() ? "cost, complete" : "cost, incomplete", "", sheet.cost);
  last("margin", percent(sheet.margin_percent), sheet.margin);
  last("net", "", sheet.net);
  last("tax", percent(sheet.tax_percent), sheet.tax);
  last("gross", "", sheet.gross);
  for (const std::string& what : sheet.missing) {
    out += csvLine({"missing", what, "", "", "", "", "", "", "", ""});
  }
  return out;
}

}  // namespace leafstack
