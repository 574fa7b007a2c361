// What parts are to IFC: entity and predefined type by kind.
#pragma once

#include <string_view>

#include "generator/model/model.h"

namespace leafstack {

struct IfcClass {
  std::string_view entity;      ///< "IFCMEMBER"; its type is "IFCMEMBERTYPE"
  std::string_view predefined;  ///< "POST"; with USERDEFINED the part's name says what it is
  std::string_view quantities;  ///< name of its set of quantities in IFC4, or our own

  bool isFastener() const { return entity == "IFCMECHANICALFASTENER"; }
};

IfcClass ifcClassOf(const Part& part);

}  // namespace leafstack
