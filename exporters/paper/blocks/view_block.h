// One view with its dimensions and labels, drawn about its own origin at any scale.
//
// What is to be dimensioned is said in the model's terms; where the numbers go is worked out here,
// outside the view: rows of dimension lines, nearest first, the next row where a number would touch
// another, be crossed by a line, or cross one. First asked, first placed.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "exporters/paper/blocks/view_requests.h"
#include "exporters/paper/sheet/paper.h"
#include "exporters/paper/views/projection.h"

namespace leafstack {

class ViewBlock {
 public:
  ViewBlock() = default;
  ViewBlock(std::string title, const PictureView& view) : title_(std::move(title)), view_(view) {}

  const std::string& title() const { return title_; }
  const PictureView& view() const { return view_; }
  /// The point (view mm) that grids align by; the view's own origin else.
  void alignBy(double x_mm, double y_mm) { aligned_by_ = {x_mm, y_mm}; }
  /// Says the scale below the title: for sheets with several.
  void sayScale() { says_scale_ = true; }

  // Curves are in view mm.
  void curve(LineRole role, std::vector<PathVertex> vertices, bool is_closed = false);
  /// Each curve in the role that `role_of` gives it.
  void curves(const std::vector<ViewCurve>& curves,
              const std::function<LineRole(const ViewCurve&)>& role_of);
  void area(std::vector<std::vector<PathVertex>> loops, double grey);
  /// Cut faces: wide outlines, hatched on paper `spacing_mm` apart.
  void cutFace(const std::vector<std::vector<PathVertex>>& loops, double spacing_mm,
               double angle_deg);
  void hatch(std::vector<std::vector<PathVertex>> loops, double spacing_mm, double angle_deg) {
    cuts_.push_back({std::move(loops), spacing_mm, angle_deg});
  }
  void line(LineRole role, const Vec3& from, const Vec3& to);

  void linear(LinearRequest request) { requests_.emplace_back(std::move(request)); }
  /// One dimension from each point to the next.
  void chain(Side side, const std::vector<Vec3>& points);
  void running(RunningRequest request) { requests_.emplace_back(std::move(request)); }
  void labels(LabelRequest request) { requests_.emplace_back(std::move(request)); }
  void note(NoteRequest request) { requests_.emplace_back(std::move(request)); }

  /// The view's own extents, in view mm.
  const PaperBox& bounds() const { return bounds_; }
  /// Its lines' own, less numbers and words: no drawing of it is smaller. View mm.
  const PaperBox& lineBounds() const { return line_bounds_; }
  /// Makes room for what another position of the gate would take up.
  void include(const Vec3& point);

  /// Lines and dimensions about the point that is aligned by. `mm_per_mm` as in Dimension.
  Sheet drawnAt(double mm_per_mm) const;

 private:
  struct Curve {
    LineRole role{};
    std::vector<PathVertex> vertices;
    bool is_closed = false;
  };
  struct Cut {
    std::vector<std::vector<PathVertex>> loops;
    double spacing_mm = 0, angle_deg = 0;
  };
  struct Shade {
    std::vector<std::vector<PathVertex>> loops;
    double grey = 0;
  };

  std::string title_;
  PictureView view_;
  PaperPoint aligned_by_{};
  bool says_scale_ = false;
  PaperBox bounds_, line_bounds_;
  std::vector<Curve> curves_;
  std::vector<Shade> areas_;
  std::vector<Cut> cuts_;
  std::vector<ViewRequest> requests_;
};

/// "1:20", "2:1".
std::string scaleText(double mm_per_mm);

}  // namespace leafstack
