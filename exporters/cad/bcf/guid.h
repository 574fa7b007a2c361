// Identifiers that are the same whenever the same thing is written again.
#pragma once

#include <string>
#include <string_view>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// A UUID made from a name: SHA-256, cut to 128 bits, version 8 (RFC 9562, 5.8 and appendix B.2).
/// `scope` and `name` tell it apart from all others. Lower case, "8-4-4-4-12".
std::string nameGuid(std::string_view scope, std::string_view name);

/// `guid` as IFC writes it: 22 digits of base 64, most significant first (ISO 16739-1,
/// IfcGloballyUniqueId).
std::string ifcGuid(std::string_view guid);

/// What tells a job's parts from those of others: its number, or its title. Gates without either
/// share one.
std::string jobScope(const JobSpec& job);

/// IfcGuid of an instance of this job's gate ("PK1.17"), in gate.ifc and in clashes.bcf.
std::string instanceIfcGuid(const JobSpec& job, const std::string& instance_name);

}  // namespace leafstack
