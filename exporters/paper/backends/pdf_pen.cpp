#include "exporters/paper/backends/pdf_pen.h"

#include <cairo/cairo-pdf.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <numbers>

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

constexpr double kPointsPerMm = 72 / 25.4;
constexpr double kArcMm = 1e-3;  // cairo draws arcs as cubics no further off than this
constexpr double kBoundMm = 0.05;
constexpr const char* kFont = "DejaVu Sans";

cairo_status_t append(void* bytes, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

/// The file with its catalogue told anew at its end (an update as PDF 1.4 has them, 3.4.5), which
/// asks whoever prints it for no scaling: cairo cannot. What has no plain catalogue stays as it is.
std::string withoutPrintScaling(std::string file) {
  const auto numberAfter = [&](const char* key, std::size_t from) {
    const std::size_t at = file.find(key, from);
    return at == std::string::npos ? -1 : std::atol(file.c_str() + at + std::strlen(key));
  };
  const std::size_t trailer = file.rfind("trailer");
  if (trailer == std::string::npos) {
    return file;
  }
  const long root = numberAfter("/Root ", trailer);
  const long size = numberAfter("/Size ", trailer);
  const long info = numberAfter("/Info ", trailer);
  const long before = numberAfter("startxref\n", trailer);
  const std::string head = "\n" + std::to_string(root) + " 0 obj\n";
  const std::size_t object = file.rfind(head, trailer);
  const std::size_t end = object == std::string::npos ? object : file.find("endobj", object);
  const std::size_t close = end == std::string::npos ? end : file.rfind(">>", end);
  if (root < 0 || size < 0 || before < 0 || close == std::string::npos || close < object) {
    return file;
  }
  const std::string catalogue = file.substr(object + 1, close - object - 1);
  const std::size_t at = file.size();
  file += catalogue + "   /ViewerPreferences << /PrintScaling /None >>\n>>\nendobj\n";
  const std::size_t table = file.size();
  std::string place = std::to_string(at);
  place.insert(0, 10 - std::min<std::size_t>(10, place.size()), '0');
  file += "xref\n" + std::to_string(root) + " 1\n" + place + " 00000 n \ntrailer\n<< /Size " +
          std::to_string(size) + "\n   /Root " + std::to_string(root) + " 0 R\n";
  if (info >= 0) {
    file += "   /Info " + std::to_string(info) + " 0 R\n";
  }
  return file + "   /Prev " + std::to_string(before) + "\n>>\nstartxref\n" + std::to_string(table) +
         "\n%%EOF\n";
}

}  // namespace

PdfPen::PdfPen(double width_mm, double height_mm, const std::string& title,
               const Provenance& provenance) {
  surface_ = cairo_pdf_surface_create_for_stream(append, &bytes_, width_mm * kPointsPerMm,
                                                 height_mm * kPointsPerMm);
  // Older than cairo would write: header data stay readable without a decoder.
  cairo_pdf_surface_restrict_to_version(surface_, CAIRO_PDF_VERSION_1_4);
  const auto say = [&](cairo_pdf_metadata_t what, const std::string& words) {
    cairo_pdf_surface_set_metadata(surface_, what, words.c_str());
  };
  say(CAIRO_PDF_METADATA_TITLE, title);
  say(CAIRO_PDF_METADATA_CREATOR, programName());
  say(CAIRO_PDF_METADATA_SUBJECT, "input sha256 " + provenance.input_sha256);
  say(CAIRO_PDF_METADATA_CREATE_DATE, provenance.timestamp);
  cairo_ = cairo_create(surface_);
  check();
  cairo_scale(cairo_, kPointsPerMm, kPointsPerMm);
  cairo_set_tolerance(cairo_, kArcMm * kPointsPerMm);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_set_font_options(cairo_, options);
  cairo_font_options_destroy(options);
  bold(false);
}

PdfPen::~PdfPen() {
  cairo_destroy(cairo_);
  cairo_surface_destroy(surface_);
}

void PdfPen::check() const {
  const cairo_status_t drawn =
      cairo_ != nullptr ? cairo_status(cairo_) : cairo_surface_status(surface_);
  const cairo_status_t status =
      drawn == CAIRO_STATUS_SUCCESS ? cairo_surface_status(surface_) : drawn;
  if (status != CAIRO_STATUS_SUCCESS) {
    throw ExportError(std::string("PDF: ") + cairo_status_to_string(status));
  }
}

void PdfPen::roundLines() {
  cairo_set_line_cap(cairo_, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
}

void PdfPen::begin() {
  cairo_new_path(cairo_);
}

void PdfPen::moveTo(double x, double y) {
  cairo_move_to(cairo_, x, y);
}

void PdfPen::arcTo(double x, double y, double bulge) {
  if (bulge == 0) {
    cairo_line_to(cairo_, x, y);
    return;
  }
  double from_x = 0;
  double from_y = 0;
  cairo_get_current_point(cairo_, &from_x, &from_y);
  const double off = (1 - bulge * bulge) / (4 * bulge);
  const double centre_x = (from_x + x) / 2 - off * (y - from_y);
  const double centre_y = (from_y + y) / 2 + off * (x - from_x);
  const double radius = std::hypot(x - centre_x, y - centre_y);
  const double start = std::atan2(from_y - centre_y, from_x - centre_x);
  const double angle = 4 * std::atan(bulge);
  if (angle > 0) {
    cairo_arc(cairo_, centre_x, centre_y, radius, start, start + angle);
  } else {
    cairo_arc_negative(cairo_, centre_x, centre_y, radius, start, start + angle);
  }
}

void PdfPen::circle(double x, double y, double radius) {
  cairo_new_sub_path(cairo_);
  cairo_arc(cairo_, x, y, radius, 0, 2 * std::numbers::pi);
  cairo_close_path(cairo_);
}

void PdfPen::close() {
  cairo_close_path(cairo_);
}

void PdfPen::line(double x0, double y0, double x1, double y1) {
  cairo_new_path(cairo_);
  cairo_move_to(cairo_, x0, y0);
  cairo_line_to(cairo_, x1, y1);
}

void PdfPen::stroke(double width_mm, double grey) {
  patterned(width_mm, grey, {});
}

void PdfPen::dashed(double width_mm, double grey, double on_mm, double off_mm) {
  patterned(width_mm, grey, {on_mm, off_mm});
}

void PdfPen::patterned(double width_mm, double grey, const std::vector<double>& pattern_mm) {
  cairo_set_dash(cairo_, pattern_mm.data(), static_cast<int>(pattern_mm.size()), 0);
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_line_width(cairo_, width_mm);
  // The curves are made by now: what is left to cairo is a bound of what the stroke covers.
  cairo_set_tolerance(cairo_, kBoundMm * kPointsPerMm);
  cairo_stroke(cairo_);
  cairo_set_tolerance(cairo_, kArcMm * kPointsPerMm);
}

void PdfPen::fill(double grey) {
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_fill(cairo_);
}

void PdfPen::fillEvenOdd(double grey) {
  cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_EVEN_ODD);
  fill(grey);
  cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_WINDING);
}

void PdfPen::clipped(double x, double y, double width, double height,
                     const std::function<void()>& draw) {
  cairo_save(cairo_);
  cairo_rectangle(cairo_, x, y, width, height);
  cairo_clip(cairo_);
  draw();
  cairo_restore(cairo_);
}

void PdfPen::bold(bool is_bold) {
  cairo_select_font_face(cairo_, kFont, CAIRO_FONT_SLANT_NORMAL,
                         is_bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
}

void PdfPen::text(double x, double y, double size_mm, const std::string& words) {
  cairo_set_source_rgb(cairo_, text_grey_, text_grey_, text_grey_);
  cairo_set_font_size(cairo_, size_mm);
  cairo_move_to(cairo_, x, y);
  cairo_show_text(cairo_, words.c_str());
  cairo_new_path(cairo_);
}

void PdfPen::turnedText(double x, double y, double size_mm, double turned_deg,
                        const std::string& words) {
  cairo_save(cairo_);
  cairo_translate(cairo_, x, y);
  cairo_rotate(cairo_, -turned_deg * std::numbers::pi / 180);  // Y runs down
  text(0, 0, size_mm, words);
  cairo_restore(cairo_);
}

double PdfPen::widthOf(const std::string& words, double size_mm) {
  cairo_text_extents_t extents;
  cairo_set_font_size(cairo_, size_mm);
  cairo_text_extents(cairo_, words.c_str(), &extents);
  return extents.x_advance;
}

double PdfPen::sizeToFit(const std::string& words, double size_mm, double room_mm) {
  const double wide = widthOf(words, size_mm);
  return wide > room_mm ? size_mm * room_mm / wide : size_mm;
}

std::vector<std::string> PdfPen::wrapped(const std::string& words, double size_mm, double room_mm) {
  std::vector<std::string> rows;
  std::string row;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    const std::string word = words.substr(at, end - at);
    const std::string longer = row.empty() ? word : row + " " + word;
    if (!row.empty() && widthOf(longer, size_mm) > room_mm) {
      rows.push_back(row);
      row = word;
    } else {
      row = longer;
    }
    at = end + 1;
  }
  if (!row.empty()) {
    rows.push_back(row);
  }
  return rows;
}

void PdfPen::nextPage() {
  cairo_show_page(cairo_);
}

void PdfPen::pageSize(double width_mm, double height_mm) {
  cairo_pdf_surface_set_size(surface_, width_mm * kPointsPerMm, height_mm * kPointsPerMm);
}

std::string PdfPen::file() {
  check();
  cairo_surface_finish(surface_);
  check();
  return withoutPrintScaling(bytes_);
}

}  // namespace leafstack
