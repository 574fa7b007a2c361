// What a part's files and products are called, where they lie in the folder of outputs, and the
// frame they are in. Many jobs lie side by side in a workshop: the job's number is in every name.
#pragma once

#include <gp_Trsf.hxx>
#include <string>

#include "generator/model/model.h"

namespace leafstack {

/// "NC-1_BR1": the mark after the job's number, where there is one, with what a file's name cannot
/// hold as a hyphen.
std::string fileStem(const JobSpec& job, const std::string& mark);

/// "parts/tube/NC-1_BR1", for an ending to follow: parts lie by family (tube, bar, plate, timber,
/// bought, site).
std::string partPath(const JobSpec& job, const Part& part);

/// "BR1 bottom rail (NC-1)": a product's name begins with the mark. Without `words`: "GATE (NC-1)".
std::string productName(const JobSpec& job, const std::string& mark, const std::string& words = "");

/// From the part's own frame to that of its own files, a rigid motion: a tube or bar lies along +X
/// from 0, its leading or lower end there whichever hand the gate has, however short it is; a plate
/// lies in XY from 0, its longer side along +X. What is bought or stands on site stays as it is.
gp_Trsf fileMotion(const Part& part, double opening_sign);

}  // namespace leafstack
