#include "exporters/cad/ifc/ifc_classes.h"

namespace leafstack {
namespace {

constexpr std::string_view kOwnQuantities = "Leafstack_Quantities";

IfcClass member(std::string_view predefined) {
  return {"IFCMEMBER", predefined, "Qto_MemberBaseQuantities"};
}
IfcClass fastener(std::string_view predefined) {
  return {"IFCMECHANICALFASTENER", predefined, kOwnQuantities};
}

/// By how it is made, where its kind says nothing else.
IfcClass bySupply(Supply supply) {
  switch (supply) {
    case Supply::kCutTube:
    case Supply::kCutBar:
    case Supply::kCutTimber:
      return member("MEMBER");
    case Supply::kCutPlate:
      return {"IFCPLATE", "NOTDEFINED", "Qto_PlateBaseQuantities"};
    case Supply::kBought:
    case Supply::kSite:
    case Supply::kEnvelope:
      break;
  }
  return {"IFCDISCRETEACCESSORY", "USERDEFINED", kOwnQuantities};
}

}  // namespace

IfcClass ifcClassOf(const Part& part) {
  switch (part.kind) {
    case PartKind::kFooting:
      return {"IFCFOOTING", "PAD_FOOTING", "Qto_FootingBaseQuantities"};
    case PartKind::kObstacle:
      return {"IFCBUILDINGELEMENTPROXY", "NOTDEFINED", kOwnQuantities};
    case PartKind::kMotor:
      return {"IFCELECTRICMOTOR", "NOTDEFINED", kOwnQuantities};
    case PartKind::kGuidePost:
    case PartKind::kCatchPost:
    case PartKind::kFencePost:
      return member("POST");
    case PartKind::kAnchor:
      return fastener("ANCHORBOLT");
    case PartKind::kScrew:
    case PartKind::kPulleyScrew:
      return fastener("SCREW");
    case PartKind::kWheelBolt:
    case PartKind::kPivotBolt:
      return fastener("BOLT");
    case PartKind::kWasher:
    case PartKind::kNut:
    case PartKind::kTerminalNut:
      return fastener("USERDEFINED");
    case PartKind::kFrontBracket:
    case PartKind::kRearBracket:
    case PartKind::kGroundBracket:
      return {"IFCDISCRETEACCESSORY", "BRACKET", kOwnQuantities};
    default:
      return bySupply(part.supply);
  }
}

}  // namespace leafstack
