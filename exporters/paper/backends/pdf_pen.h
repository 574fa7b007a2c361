// PDF pages drawn through cairo, in mm from the page's top left corner.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"

struct _cairo;
struct _cairo_surface;

namespace leafstack {

/// Pages may differ in size; strokes end square to their line unless roundLines() is called.
class PdfPen {
 public:
  /// `title` goes into the document's properties. Throws ExportError, here and in file(), when
  /// cairo fails, which it also does on words that are not UTF-8.
  PdfPen(double width_mm, double height_mm, const std::string& title, const Provenance& provenance);
  ~PdfPen();
  PdfPen(const PdfPen&) = delete;
  PdfPen& operator=(const PdfPen&) = delete;

  /// Round ends and corners, from here on.
  void roundLines();

  void begin();
  void moveTo(double x, double y);
  /// Straight for bulge 0; else bulge as in DXF, of a page whose Y runs down.
  void arcTo(double x, double y, double bulge);
  void circle(double x, double y, double radius);
  void close();
  void line(double x0, double y0, double x1, double y1);

  // Of the path; each ends it. Greys: 0 black, 1 white.
  void stroke(double width_mm, double grey);
  void dashed(double width_mm, double grey, double on_mm, double off_mm);
  /// Lengths drawn and left out in turn, begun anew on every sub-path; none: continuous.
  void patterned(double width_mm, double grey, const std::vector<double>& pattern_mm);
  void fill(double grey);
  void fillEvenOdd(double grey);

  void clipped(double x, double y, double width, double height, const std::function<void()>& draw);

  void bold(bool is_bold);
  void grey(double value) { text_grey_ = value; }
  /// From its left end, on its base line; `size_mm` is the letters' body.
  void text(double x, double y, double size_mm, const std::string& words);
  /// The same, turned about its left end; anticlockwise as seen.
  void turnedText(double x, double y, double size_mm, double turned_deg, const std::string& words);
  double widthOf(const std::string& words, double size_mm);
  /// `size_mm`, or less so that the words fit.
  double sizeToFit(const std::string& words, double size_mm, double room_mm);
  std::vector<std::string> wrapped(const std::string& words, double size_mm, double room_mm);

  void nextPage();
  /// Of the page to come; before anything is drawn on it.
  void pageSize(double width_mm, double height_mm);
  /// Ends the drawing: the file's bytes.
  std::string file();

 private:
  void check() const;

  std::string bytes_;
  _cairo_surface* surface_ = nullptr;
  _cairo* cairo_ = nullptr;
  double text_grey_ = 0;
};

}  // namespace leafstack
