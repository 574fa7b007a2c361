#include "exporters/cad/step/step_move.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <gp_XYZ.hxx>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/step/step_text.h"

namespace leafstack {
namespace {

constexpr std::string_view kPoint = "CARTESIAN_POINT('',(";
constexpr std::string_view kDirection = "DIRECTION('',(";

bool isBlank(char c) {
  return c == ' ' || c == '\n' || c == '\r';
}

/// The coordinates before the next ')', as many as there are: 2 or 3.
struct Coordinates {
  std::array<double, 3> at{};
  int count = 0;
  std::size_t end = 0;  ///< of the ')'
};

Coordinates coordinatesAt(std::string_view text, std::size_t from) {
  Coordinates found;
  const char* at = text.data() + from;
  const char* const end = text.data() + text.size();
  while (at != end && *at != ')') {
    if (isBlank(*at) || *at == ',') {
      ++at;
      continue;
    }
    double value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc() || found.count == 3) {
      throw ExportError("STEP: a coordinate of the kernel's text cannot be read");
    }
    found.at[found.count++] = value;
    at = next;
  }
  found.end = static_cast<std::size_t>(at - text.data());
  return found;
}

/// What a turn by quarters leaves of rounding.
double snapped(double value) {
  constexpr double kNothing = 1e-12;
  return std::abs(value) < kNothing ? 0 : value;
}

}  // namespace

std::string movedEntities(std::string_view entities, const gp_Trsf& motion) {
  std::string out;
  out.reserve(entities.size() + entities.size() / 8);
  std::size_t done = 0;
  while (done < entities.size()) {
    const std::size_t point = entities.find(kPoint, done);
    const std::size_t direction = entities.find(kDirection, done);
    const std::size_t next = std::min(point, direction);
    if (next == std::string_view::npos) {
      break;
    }
    const bool is_point = next == point;
    const std::size_t open = next + (is_point ? kPoint : kDirection).size();
    const Coordinates given = coordinatesAt(entities, open);
    out.append(entities.substr(done, open - done));
    if (given.count == 3) {
      gp_XYZ moved(given.at[0], given.at[1], given.at[2]);
      if (is_point) {
        motion.Transforms(moved);
      } else {
        moved.Multiply(motion.HVectorialPart());
      }
      const std::string triple =
          part21Triple(snapped(moved.X()), snapped(moved.Y()), snapped(moved.Z()));
      out.append(triple, 1, triple.size() - 2);
    } else {
      out.append(entities.substr(open, given.end - open));
    }
    done = given.end;
  }
  return out.append(entities.substr(done));
}

}  // namespace leafstack
