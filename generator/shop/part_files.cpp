#include "generator/shop/part_files.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "generator/geometry/vec.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostOfJobNumber = 40;

bool mayStand(char c) {
  return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

std::string_view folderOf(Supply supply) {
  switch (supply) {
    case Supply::kCutTube:
      return "tube";
    case Supply::kCutBar:
      return "bar";
    case Supply::kCutPlate:
      return "plate";
    case Supply::kCutTimber:
      return "timber";
    case Supply::kBought:
    case Supply::kEnvelope:
      return "bought";
    case Supply::kSite:
      return "site";
  }
  return "bought";
}

using Axes = std::array<Vec3, 3>;  // of the file's frame, in the part's

Vec3 unit(int axis, double sign) {
  Vec3 along{};
  along[axis] = sign;
  return along;
}

/// Along what comes nearest to the cut length (a sleeve may be shorter than it is wide); a bar
/// keeps its other sides' order.
Axes ofBar(const Vec3& extent, double length_mm, double opening_sign) {
  const auto off = [length_mm](double size) { return std::abs(size - length_mm); };
  const auto nearest = std::min_element(extent.begin(), extent.end(),
                                        [&](double a, double b) { return off(a) < off(b); });
  const int along = static_cast<int>(nearest - extent.begin());
  // What lies along the track counts from its leading end, and a left-hand gate opens along -X.
  const double sign = along == 0 ? opening_sign : 1;
  const Vec3 x = unit(along, sign);
  const Vec3 y = unit((along + 1) % 3, sign);
  return {x, y, cross(x, y)};
}

/// Thickness along Z, the longer side along X.
Axes ofPlate(const Vec3& extent) {
  const int thin =
      static_cast<int>(std::min_element(extent.begin(), extent.end()) - extent.begin());
  const int one = (thin + 1) % 3, other = (thin + 2) % 3;
  const bool first_is_longer = extent[one] >= extent[other];
  const Vec3 x = unit(first_is_longer ? one : other, 1);
  const Vec3 y = unit(first_is_longer ? other : one, first_is_longer ? 1 : -1);
  return {x, y, cross(x, y)};
}

}  // namespace

std::string fileStem(const JobSpec& job, const std::string& mark) {
  std::string text = job.number.substr(0, kMostOfJobNumber);
  std::replace_if(
      text.begin(), text.end(), [](char c) { return !mayStand(c); }, '-');
  return text.empty() ? mark : text + "_" + mark;
}

std::string partPath(const JobSpec& job, const Part& part) {
  return "parts/" + std::string(folderOf(part.supply)) + "/" + fileStem(job, part.mark);
}

std::string productName(const JobSpec& job, const std::string& mark, const std::string& words) {
  std::string text = words.empty() ? mark : mark + " " + words;
  return job.number.empty() ? text : text + " (" + job.number + ")";
}

gp_Trsf fileMotion(const Part& part, double opening_sign) {
  gp_Trsf motion;
  Vec3 extent{};
  for (int i = 0; i < 3; ++i) {
    extent[i] = part.bounds.high[i] - part.bounds.low[i];
  }
  Axes axes;
  switch (part.supply) {
    case Supply::kCutTube:
    case Supply::kCutBar:
    case Supply::kCutTimber:
      axes = ofBar(extent, part.length_mm, opening_sign);
      break;
    case Supply::kCutPlate:
      axes = ofPlate(extent);
      break;
    case Supply::kBought:
    case Supply::kEnvelope:
    case Supply::kSite:
      return motion;
  }
  Vec3 low{};
  for (int row = 0; row < 3; ++row) {
    for (int i = 0; i < 3; ++i) {
      low[row] += std::min(axes[row][i] * part.bounds.low[i], axes[row][i] * part.bounds.high[i]);
    }
  }
  motion.SetValues(axes[0][0], axes[0][1], axes[0][2], -low[0], axes[1][0], axes[1][1], axes[1][2],
                   -low[1], axes[2][0], axes[2][1], axes[2][2], -low[2]);
  return motion;
}

}  // namespace leafstack
