#include "exporters/paper/sheet/sheet_frame.h"

#include <cmath>
#include <string_view>
#include <vector>

#include "exporters/paper/sheet/table_block.h"

namespace leafstack {
namespace {

// ISO 5457: filing margin, other margins, fields of the grid; centring marks reach past the frame.
constexpr double kFilingMm = 20, kMarginMm = 10, kGridMm = 50, kCentringMm = 5;
constexpr double kGridBandMm = 5, kGridTextMm = 2.5;
// ISO 7200: no wider than 180 mm.
constexpr double kBlockWidthMm = 180, kBlockRowMm = 9, kBlockRows = 4;
constexpr double kBlockHeightMm = kBlockRowMm * kBlockRows;
constexpr double kBesideMm = 4;  // between the title block and what is drawn
constexpr double kFieldNameMm = 1.8, kValueMm = 2.5, kTitleValueMm = 3.5;
constexpr double kPadMm = 1.2, kLineGapMm = 0.6;

constexpr const char* kTolerances =
    "General tolerances: ISO 2768-m (cut and drilled), ISO 13920-B (welded). Unmachined edges "
    "deburred.";

PaperBox frameOf(const Sheet& sheet) {
  return {kFilingMm, kMarginMm, sheet.width_mm - kMarginMm, sheet.height_mm - kMarginMm};
}

void rectangle(Sheet& sheet, LineRole role, const PaperBox& box) {
  sheet.paths.push_back({role,
                         {{box.left_mm, box.bottom_mm},
                          {box.right_mm, box.bottom_mm},
                          {box.right_mm, box.top_mm},
                          {box.left_mm, box.top_mm}},
                         true});
}

void line(Sheet& sheet, LineRole role, PaperPoint from, PaperPoint to) {
  sheet.paths.push_back({role, {{from.x_mm, from.y_mm}, {to.x_mm, to.y_mm}}, false});
}

/// Fields count from the middle, so that the centring marks fall between two.
std::vector<double> gridLines(double low, double high) {
  const double middle = (low + high) / 2;
  const int each_way = static_cast<int>(std::floor((high - low) / 2 / kGridMm));
  std::vector<double> lines = {low};
  for (int i = -each_way; i <= each_way; ++i) {
    const double at = middle + i * kGridMm;
    // No sliver of a field at either end.
    if (at - low > kGridMm / 2 && high - at > kGridMm / 2) {
      lines.push_back(at);
    }
  }
  lines.push_back(high);
  return lines;
}

/// Letters without I and O, as ISO 5457 wants.
std::string gridLetter(std::size_t index) {
  constexpr std::string_view kLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ";
  return std::string(1, kLetters[index % kLetters.size()]);
}

void addGrid(Sheet& sheet, const PaperBox& frame) {
  const PaperBox outer = frame.grown(kGridBandMm);
  rectangle(sheet, LineRole::kTable, outer);
  const std::vector<double> columns = gridLines(frame.left_mm, frame.right_mm);
  for (std::size_t i = 0; i + 1 < columns.size(); ++i) {
    const double middle = (columns[i] + columns[i + 1]) / 2;
    for (const auto& [low, high] :
         {std::pair{outer.bottom_mm, frame.bottom_mm}, std::pair{frame.top_mm, outer.top_mm}}) {
      if (i > 0) {
        line(sheet, LineRole::kTable, {columns[i], low}, {columns[i], high});
      }
      sheet.letterings.push_back({std::to_string(i + 1),
                                  {middle, (low + high - kGridTextMm) / 2},
                                  kGridTextMm,
                                  TextAnchor::kCentre});
    }
  }
  const std::vector<double> rows = gridLines(frame.bottom_mm, frame.top_mm);
  for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
    const double middle = (rows[i] + rows[i + 1]) / 2;
    for (const auto& [low, high] :
         {std::pair{outer.left_mm, frame.left_mm}, std::pair{frame.right_mm, outer.right_mm}}) {
      if (i > 0) {
        line(sheet, LineRole::kTable, {low, rows[i]}, {high, rows[i]});
      }
      // From the top: A.
      sheet.letterings.push_back({gridLetter(rows.size() - 2 - i),
                                  {(low + high) / 2, middle - kGridTextMm / 2},
                                  kGridTextMm,
                                  TextAnchor::kCentre});
    }
  }
}

void addCentringMarks(Sheet& sheet, const PaperBox& frame) {
  const double x = (frame.left_mm + frame.right_mm) / 2;
  const double y = (frame.bottom_mm + frame.top_mm) / 2;
  for (const double sign : {-1.0, 1.0}) {
    const double edge_x = sign < 0 ? frame.left_mm : frame.right_mm;
    const double edge_y = sign < 0 ? frame.bottom_mm : frame.top_mm;
    line(sheet, LineRole::kFrame, {edge_x + sign * kGridBandMm, y},
         {edge_x - sign * kCentringMm, y});
    // On a small sheet the title block reaches under it: no line through its fields.
    const bool is_in_block = sign < 0 && x > frame.right_mm - kBlockWidthMm;
    line(sheet, LineRole::kFrame, {x, edge_y + sign * kGridBandMm},
         {x, edge_y - (is_in_block ? 0 : sign * kCentringMm)});
  }
}

/// A frustum seen from the side and from its small end: where the end view stands tells first from
/// third angle.
void addProjectionSymbol(Sheet& sheet, ProjectionAngle angle, const PaperBox& field) {
  constexpr double kLargeMm = 3, kSmallMm = 1.5, kLengthMm = 6, kApart = 8.5;
  const double y = (field.bottom_mm + field.top_mm) / 2;
  const double middle = (field.left_mm + field.right_mm) / 2;
  // First angle: the end view, from the small end, stands beyond the large end.
  const double side = angle == ProjectionAngle::kFirst ? -1 : 1;
  const double trapezium = middle + side * kApart / 2;
  const double circles = middle - side * kApart / 2;
  const double small_x = trapezium - kLengthMm / 2;
  const double large_x = trapezium + kLengthMm / 2;
  sheet.paths.push_back({LineRole::kVisible,
                         {{small_x, y - kSmallMm},
                          {large_x, y - kLargeMm},
                          {large_x, y + kLargeMm},
                          {small_x, y + kSmallMm}},
                         true});
  for (const double radius : {kSmallMm, kLargeMm}) {
    sheet.paths.push_back(
        {LineRole::kVisible, {{circles - radius, y, 1}, {circles + radius, y, 1}}, true});
  }
  line(sheet, LineRole::kCentre, {small_x - 1, y}, {large_x + 1, y});
  line(sheet, LineRole::kCentre, {circles - kLargeMm - 1, y}, {circles + kLargeMm + 1, y});
  line(sheet, LineRole::kCentre, {circles, y - kLargeMm - 1}, {circles, y + kLargeMm + 1});
}

/// One field: its name small above, its value below.
struct Field {
  double left_mm = 0, width_mm = 0;
  int row = 0;  ///< from the bottom
  std::string name, value;
  double height_mm = kValueMm;
};

void addField(Sheet& sheet, const PaperBox& block, const Field& field) {
  const PaperBox box = {block.left_mm + field.left_mm, block.bottom_mm + field.row * kBlockRowMm,
                        block.left_mm + field.left_mm + field.width_mm,
                        block.bottom_mm + (field.row + 1) * kBlockRowMm};
  rectangle(sheet, LineRole::kTable, box);
  const double room = field.width_mm - 2 * kPadMm;
  sheet.letterings.push_back(
      {field.name, {box.left_mm + kPadMm, box.top_mm - kPadMm - kFieldNameMm}, kFieldNameMm});
  if (!field.value.empty()) {
    const double wide = textWidthMm(field.value, field.height_mm);
    // Long words in two lines as small as the field's name, where these are larger than one; what
    // does not fit even so is left to the summary.
    std::vector<std::string> lines = brokenLines(field.value, kFieldNameMm, room);
    if (lines.size() > 1 && field.height_mm * room / wide < kFieldNameMm) {
      if (lines.size() > 2) {
        constexpr const char* kMore = " ... more: summary.html";
        lines = {lines[0],
                 brokenLines(lines[1], kFieldNameMm, room - textWidthMm(kMore, kFieldNameMm))[0] +
                     kMore};
      }
      for (std::size_t i = 0; i < 2; ++i) {
        const double base = box.bottom_mm + kPadMm + (i == 0 ? kFieldNameMm + kLineGapMm : 0);
        sheet.letterings.push_back({lines[i], {box.left_mm + kPadMm, base}, kFieldNameMm});
      }
      return;
    }
    const double height = field.height_mm * std::min(1.0, room / wide);
    sheet.letterings.push_back(
        {field.value, {box.left_mm + kPadMm, box.bottom_mm + kPadMm}, height});
  }
}

double widthOf(PaperSize size) {
  return size == PaperSize::kA4 ? 297 : size == PaperSize::kA3 ? 420 : 594;
}
double heightOf(PaperSize size) {
  return size == PaperSize::kA4 ? 210 : size == PaperSize::kA3 ? 297 : 420;
}

std::string_view nameOf(PaperSize size) {
  return size == PaperSize::kA4 ? "A4" : size == PaperSize::kA3 ? "A3" : "A2";
}

}  // namespace

Sheet emptySheet(const DrawingSpec& choice, std::string name, std::string title) {
  Sheet sheet;
  sheet.name = std::move(name);
  sheet.title = std::move(title);
  sheet.width_mm = widthOf(choice.sheet);
  sheet.height_mm = heightOf(choice.sheet);
  // ISO 128: narrower lines where the sheet is small.
  sheet.wide_mm = choice.sheet == PaperSize::kA2 ? 0.5 : 0.35;
  const PaperBox frame = frameOf(sheet);
  rectangle(sheet, LineRole::kFrame, frame);
  addGrid(sheet, frame);
  addCentringMarks(sheet, frame);
  return sheet;
}

DrawingSpace drawingSpace(const Sheet& sheet) {
  const PaperBox frame = frameOf(sheet);
  const double top_of_block = frame.bottom_mm + kBlockHeightMm + kBlockRowMm / 2;
  constexpr double kOffMarks = 1.5;  // centring marks reach in so far
  const double inside = kCentringMm + kOffMarks;
  return {{frame.left_mm + inside, top_of_block + kBesideMm, frame.right_mm - inside,
           frame.top_mm - inside},
          {frame.left_mm + inside, frame.bottom_mm + inside,
           frame.right_mm - kBlockWidthMm - kBesideMm, top_of_block}};
}

void addTitleBlock(Sheet& sheet, const GateSpec& spec, const TitleBlock& block) {
  const PaperBox frame = frameOf(sheet);
  const PaperBox box = {frame.right_mm - kBlockWidthMm, frame.bottom_mm, frame.right_mm,
                        frame.bottom_mm + kBlockHeightMm};
  const JobSpec& job = spec.job;
  std::string number = job.number.empty() ? "" : job.number + "-";
  number += std::to_string(block.number);
  const std::string size(nameOf(spec.drawings.sheet));
  // From the bottom row up, from the left; ISO 7200's fields under their own names.
  for (const Field& field : std::vector<Field>{
           {0, 36, 0, "document type", block.document_type},
           {36, 34, 0, "identification number", number},
           {70, 12, 0, "rev.", job.revision},
           {82, 26, 0, "date of issue", job.date},
           {108, 12, 0, "lang.", "en"},
           {120, 15, 0, "size", size},
           {135, 23, 0, "scale", block.scale.empty() ? "none" : block.scale},
           {158, 22, 0, "sheet", std::to_string(block.number) + " / " + std::to_string(block.of)},
           {0, 108, 1, "title", sheet.title, kTitleValueMm},
           {108, 72, 1, "client", job.client},
           {0, 108, 2, "document status", block.status},
           {108, 72, 2, "supplementary title", job.title},
           {0, 36, 3, "created by", job.drawn_by},
           {36, 36, 3, "checked by", job.checked_by},
           {72, 36, 3, "approved by", job.approved_by},
           {108, 50, 3, "legal owner", job.company}}) {
    addField(sheet, box, field);
  }
  const PaperBox symbol = {box.left_mm + 158, box.top_mm - kBlockRowMm, box.right_mm, box.top_mm};
  rectangle(sheet, LineRole::kTable, symbol);
  addProjectionSymbol(sheet, spec.drawings.projection, symbol);
  rectangle(sheet, LineRole::kFrame, box);
  if (block.document_type != "workshop drawing" && block.document_type != "detail") {
    return;  // what is only looked at has none
  }
  Lettering& tolerances = sheet.letterings.emplace_back();
  tolerances.text = kTolerances;
  tolerances.at = {box.right_mm - kPadMm, box.top_mm + kPadMm};
  tolerances.height_mm = kFieldNameMm;
  tolerances.anchor = TextAnchor::kRight;
}

}  // namespace leafstack
