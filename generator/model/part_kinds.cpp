#include "generator/model/part_kinds.h"

namespace leafstack {

std::string_view toString(Supply supply) {
  switch (supply) {
    case Supply::kCutTube:
      return "cut tube";
    case Supply::kCutBar:
      return "cut bar";
    case Supply::kCutPlate:
      return "cut plate";
    case Supply::kCutTimber:
      return "cut timber";
    case Supply::kBought:
      return "bought in";
    case Supply::kSite:
      return "on site";
    case Supply::kEnvelope:
      return "bought in, drawn as an envelope";
  }
  return "";
}

}  // namespace leafstack
