// Pictures of putting up: what is there by then in grey, what goes in in colour with its marks.
#pragma once

#include <string>
#include <vector>

#include "exporters/paper/pictures/part_pictures.h"
#include "generator/installing/installation.h"

namespace leafstack {

/// Each a <figure> with a PNG in itself and marks over it. Throws ExportError where one cannot be
/// made.
class StepPictures {
 public:
  /// `model` must outlive it.
  explicit StepPictures(const Model& model);

  /// Everything of the step, fitted into the picture.
  std::string whole(const InstallStep& step, const std::vector<int>& there);
  /// Of pulleys and ropes, which are small: the first pulley, or the first rope's end, near by; ""
  /// of other steps.
  std::string detail(const InstallStep& step, const std::vector<int>& there);

 private:
  const Part& partOf(int instance) const;
  void include(const Bounds& box, Vec3& low, Vec3& high) const;
  std::string figureOf(const std::vector<PicturedInstance>& shown, const Vec3& low,
                       const Vec3& high, const InstallStep& step, double least_half_mm);
  std::string labelsOf(const InstallStep& step, const PictureCamera& camera) const;

  const Model& model_;
  PartPictures pictures_;
  const PictureView view_;
};

}  // namespace leafstack
