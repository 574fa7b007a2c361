#include "exporters/office/step_pictures.h"

#include <algorithm>
#include <set>

#include "exporters/bytes/xml_text.h"
#include "exporters/office/marked_picture.h"

namespace leafstack {
namespace {

constexpr PicturePixels kPixels = {1200, 520};
// A step's new parts fill about so much of its picture; what is small is shown with what is about
// it.
constexpr double kAroundNew = 1.15, kLeastHalfHeightMm = 320, kDetailHalfHeightMm = 130;

}  // namespace

StepPictures::StepPictures(const Model& model)
    : model_(model), pictures_(model), view_(roadView(model.opening_sign)) {}

const Part& StepPictures::partOf(int instance) const {
  return model_.parts[model_.instances[instance].part];
}

namespace {

/// What is there already, and what the step brings in colour.
std::vector<PicturedInstance> shownIn(const InstallStep& step, const std::vector<int>& there) {
  std::vector<PicturedInstance> shown;
  for (const int instance : there) {
    shown.push_back({instance, PictureRole::kAround});
  }
  for (const InstallGroup& group : step.groups) {
    for (const int instance : group.instances) {
      shown.push_back({instance, PictureRole::kFirst});
    }
  }
  return shown;
}

}  // namespace

/// Everything of the step in colour, fitted into the picture.
std::string StepPictures::whole(const InstallStep& step, const std::vector<int>& there) {
  Vec3 low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  for (const InstallGroup& group : step.groups) {
    for (const int instance : group.instances) {
      include(model_.instances[instance].bounds, low, high);
    }
  }
  return figureOf(shownIn(step, there), low, high, step, kLeastHalfHeightMm);
}

/// Of pulleys and ropes, which are small: the first pulley, or the first rope's end, near by.
std::string StepPictures::detail(const InstallStep& step, const std::vector<int>& there) {
  const PartKind wanted =
      step.stage == InstallStage::kPulleys ? PartKind::kPulley : PartKind::kTerminal;
  if (step.stage != InstallStage::kPulleys && step.stage != InstallStage::kRopes) {
    return "";
  }
  Vec3 low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  for (const InstallGroup& group : step.groups) {
    for (const int instance : group.instances) {
      if (low[0] > high[0] && partOf(instance).kind == wanted) {
        include(model_.instances[instance].bounds, low, high);
      }
    }
  }
  return low[0] > high[0] ? ""
                          : figureOf(shownIn(step, there), low, high, step, kDetailHalfHeightMm);
}

/// Widens what is seen, in the view's right, up and towards.
void StepPictures::include(const Bounds& box, Vec3& low, Vec3& high) const {
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 at =
        seen(view_, {corner & 1 ? box.high[0] : box.low[0], corner & 2 ? box.high[1] : box.low[1],
                     corner & 4 ? box.high[2] : box.low[2]});
    for (int axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(low[axis], at[axis]);
      high[axis] = std::max(high[axis], at[axis]);
    }
  }
}

std::string StepPictures::figureOf(const std::vector<PicturedInstance>& shown, const Vec3& low,
                                   const Vec3& high, const InstallStep& step,
                                   double least_half_mm) {
  const PictureView& view = view_;
  PictureCamera camera;
  for (int axis = 0; axis < 3; ++axis) {
    const double middle[] = {(low[0] + high[0]) / 2, (low[1] + high[1]) / 2,
                             (low[2] + high[2]) / 2};
    camera.target_mm[axis] =
        middle[0] * view.right[axis] + middle[1] * view.up[axis] + middle[2] * view.toward[axis];
  }
  camera.direction = {-view.toward[0], -view.toward[1], -view.toward[2]};
  camera.up = view.up;
  camera.half_height_mm =
      std::max(least_half_mm,
               kAroundNew / 2 *
                   std::max(high[1] - low[1], (high[0] - low[0]) * kPixels.high / kPixels.across));
  const double drive_mm = step.isPushedOpen() ? model_.layout.drive_travel_mm : 0;
  return "<figure class=\"shot\"><img alt=\"\" src=\"data:image/png;base64," +
         base64(pictures_.pngOf(shown, drive_mm, camera, kPixels)) + "\">\n" +
         labelsOf(step, camera) + "</figure>\n";
}

/// Marks at the first of each that goes in, but nuts, washers and what a panel brings.
std::string StepPictures::labelsOf(const InstallStep& step, const PictureCamera& camera) const {
  if (step.stage == InstallStage::kPanel) {
    return "";
  }
  const Vec3 middle = seen(view_, camera.target_mm);
  const double pixels_per_mm = kPixels.high / (2 * camera.half_height_mm);
  std::vector<SpotLabel> labels;
  std::set<std::string> told;
  for (const InstallGroup& group : step.groups) {
    const int instance = group.instances.front();
    const PartKind kind = partOf(instance).kind;
    const bool is_small = kind == PartKind::kNut || kind == PartKind::kWasher ||
                          kind == PartKind::kTerminalNut || kind == PartKind::kTubeCap;
    if (is_small || !told.insert(partOf(instance).mark).second) {
      continue;
    }
    const Bounds& box = model_.instances[instance].bounds;
    const Vec3 at = seen(view_, {(box.low[0] + box.high[0]) / 2, (box.low[1] + box.high[1]) / 2,
                                 (box.low[2] + box.high[2]) / 2});
    labels.push_back({partOf(instance).mark,
                      kPixels.across / 2.0 + (at[0] - middle[0]) * pixels_per_mm,
                      kPixels.high / 2.0 - (at[1] - middle[1]) * pixels_per_mm});
  }
  return spotLabels(kPixels.across, kPixels.high, labels);
}

}  // namespace leafstack
