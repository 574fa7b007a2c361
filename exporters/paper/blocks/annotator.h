// Finds room for dimensions and words around one view.
#pragma once

#include <map>
#include <vector>

#include "exporters/paper/blocks/view_requests.h"
#include "exporters/paper/sheet/paper.h"
#include "exporters/paper/views/projection.h"

namespace leafstack {

inline constexpr double kTextMm = 2.5;  ///< capitals of dimensions and notes (ISO 3098)

/// Works on paper, about the view's origin. Adds to a sheet, and never draws over what it has added
/// before.
class Annotator {
 public:
  /// `outline`: what the view itself takes up on paper.
  Annotator(Sheet& sheet, const PictureView& view, double mm_per_mm, const PaperBox& outline)
      : sheet_(sheet), view_(view), mm_per_mm_(mm_per_mm), outline_(outline) {}

  /// All requests before the first is placed: no number goes where a later line must pass.
  void expect(const ViewRequest& request);
  void place(const ViewRequest& request);

 private:
  /// A side's own directions: along it, and away from the view.
  struct Frame;
  /// One text of a row, with a line to what it belongs to.
  struct RowItem;

  PaperPoint onPaper(const Vec3& point) const;
  Frame frameOf(Side side) const;
  void placeLinear(const LinearRequest& request);
  void placeRunning(const RunningRequest& request);
  void placeLabels(const LabelRequest& request);
  void placeNote(const NoteRequest& request);
  /// Where a dimension's number may stand along its line, best first.
  std::vector<double> middlesFor(Side side, double low, double high, double width);
  void forget(Side side, double at);
  Path leaderOf(const Frame& frame, const RowItem& item, double level_mm) const;
  Lettering wordsOf(const Frame& frame, const RowItem& item, double level_mm) const;
  /// Of its words or signs.
  PaperBox placeOf(const Frame& frame, const RowItem& item, double level_mm) const;
  bool isFree(const Dimension& dimension) const;
  bool isFree(const Path& path) const;
  bool isFree(const PaperBox& text) const;
  void add(const Dimension& dimension);
  void add(const Lettering& lettering);
  void add(const Path& path);

  Sheet& sheet_;
  const PictureView& view_;
  double mm_per_mm_;
  PaperBox outline_;
  std::vector<PaperBox> texts_, arrows_;
  std::vector<PaperLine> lines_;
  std::map<Side, std::vector<double>> crossings_;  ///< extension lines, along each side
  std::vector<PaperLine> rows_;  ///< dimension lines, so that none lies on another
};

/// Places along a line for items `widths_mm` wide, in the order of `wanted_mm` (ascending), as near
/// as they may be: no two overlap, and the sum of squared displacements is least.
std::vector<double> spreadOut(const std::vector<double>& wanted_mm,
                              const std::vector<double>& widths_mm);

}  // namespace leafstack
