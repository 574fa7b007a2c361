#include "generator/clash/placed/kept.h"

#include <cstring>

namespace leafstack {

ExactKey& ExactKey::add(double number) {
  char bytes[sizeof number];
  std::memcpy(bytes, &number, sizeof number);
  bytes_.append(bytes, sizeof number);
  return *this;
}

ExactKey& ExactKey::add(const std::string& text) {
  add(static_cast<double>(text.size()));
  bytes_ += text;
  return *this;
}

ExactKey& ExactKey::add(const Vec3& point) {
  return add(point[0]).add(point[1]).add(point[2]);
}

ExactKey& ExactKey::add(const Bounds& box) {
  return add(box.low).add(box.high);
}

ExactKey& ExactKey::add(const Placement& place) {
  return add(place.shift).add(place.cos).add(place.sin);
}

void ShapeStore::endCheck() {
  meshes.endCheck();
  thinner.endCheck();
  shared.endCheck();
}

}  // namespace leafstack
