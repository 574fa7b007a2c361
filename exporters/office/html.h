// Pages of the office: HTML 5 that prints on A4, without scripts, loading nothing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "exporters/office/words/words.h"
#include "generator/verdict/gate_verdict.h"
#include "params/spec/gate_spec.h"

namespace leafstack::office {

/// A cell that starts with '>' is set right in one line, as numbers are.
using Cells = std::vector<std::string>;

std::string escaped(std::string_view text);
std::string paragraph(std::string_view text, const char* kind = "");
std::string heading(std::string_view text);
std::string smallHeading(std::string_view text);
std::string table(const Cells& head, const std::vector<Cells>& rows, const char* kind = "");
/// Rows of two: a name and what it is.
std::string facts(const std::vector<Cells>& rows);
std::string list(const std::vector<std::string>& items);
/// An SVG without the prologue that only a file of its own needs.
std::string figure(const std::string& svg);
/// Lines to sign on, one a text.
std::string signatures(const std::vector<std::string>& texts);

/// A whole page: title, the job's fields, then `body`, then what made it.
std::string page(const PaperWords& say, Say title, const JobSpec& job, const Provenance& provenance,
                 const std::string& body);

/// The same with a title of its own.
std::string page(const PaperWords& say, const std::string& title, const JobSpec& job,
                 const Provenance& provenance, const std::string& body);

/// "1234.50 EUR".
std::string withCurrency(const std::string& sum, const std::string& currency);

/// That a gate is not ready, or what it is ready on condition of; "" where it is.
std::string verdictOnTop(const GateVerdict& verdict, const PaperWords& say);

}  // namespace leafstack::office
