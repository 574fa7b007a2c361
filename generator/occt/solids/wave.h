// An ellipse as its cylinder sees it.
#pragma once

#include <Geom2d_Curve.hxx>

namespace leafstack {

/// v = middle + amplitude cos t over a quarter turn from `from_rad`, u = t - from_rad: the ellipse
/// on its cylinder. The polynomial that has six derivatives in common with it at either end: off by
/// amplitude (pi/4)^12 / 12!, a ten-thousand-millionth of the amplitude.
Handle(Geom2d_Curve) waveOnCylinder(double from_rad, double middle_mm, double amplitude_mm);

}  // namespace leafstack
