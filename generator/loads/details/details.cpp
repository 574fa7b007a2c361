#include "generator/loads/details/details.h"

namespace leafstack {

void addDetails(const Model& model, const DetailWind& wind, StructureReport& report) {
  detail_rows::addGuideDetails(model, report);
  detail_rows::addCladdingDetails(model, wind, report);
  detail_rows::addWheelDetails(model, report);
  detail_rows::addTrackDetails(model, report);
  detail_rows::addBracketDetails(model, report);
}

}  // namespace leafstack
