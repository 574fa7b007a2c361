// Identifiers that are the same whenever the same thing is written again.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// A UUID made from a name: SHA-256, cut to 128 bits, version 8 (RFC 9562, 5.8 and appendix B.2).
/// `scope` and `name` tell it apart from all others. Lower case, "8-4-4-4-12".
std::string nameGuid(std::string_view scope, std::string_view name);

/// `guid` as IFC writes it: 22 digits of base 64, most significant first (ISO 16739-1,
/// IfcGloballyUniqueId).
std::string ifcGuid(std::string_view guid);

}  // namespace leafstack
