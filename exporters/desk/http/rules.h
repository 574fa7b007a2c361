// Who is answered: only the page that this desk itself handed out. Each rule has its number in
// exporters/desk/README.md and its test in tests/desk/rules.py.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "exporters/desk/http/request.h"

namespace leafstack::desk {

/// What may be asked for: the page's own files, and calls.
struct Route {
  std::string_view target;
  bool is_call = false;    ///< POST, JSON, with Origin; else GET
  bool needs_pass = true;  ///< of a call: whether the session's token must come with it
};

/// What a request is held against.
struct Guard {
  std::string host;   ///< "127.0.0.1:40123"
  std::string token;  ///< of the session; "" while nobody has opened it
};

inline constexpr std::string_view kTokenHeader = "x-desk-pass";

/// Why a request is refused; nothing where it may be answered. `route` is null for a target that
/// there is none for.
std::optional<Refusal> refusalOf(const Request& request, const Route* route, const Guard& guard);

/// Whether two secrets are the same, in a time that does not tell where they differ.
bool isSameSecret(std::string_view a, std::string_view b);

/// 128 random bits of the system, as 32 hexadecimal digits. Throws std::runtime_error.
std::string newSecret();

}  // namespace leafstack::desk
