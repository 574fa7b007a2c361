#include "exporters/desk/http/rules.h"

#include <sys/random.h>

#include <array>
#include <cstdint>
#include <stdexcept>

namespace leafstack::desk {
namespace {

bool isJson(std::string_view type) {
  return type == "application/json" || type == "application/json; charset=utf-8" ||
         type == "application/json;charset=UTF-8" || type == "application/json;charset=utf-8";
}

/// From another site's page, a browser says so.
bool isFromElsewhere(const Request& request, bool is_call) {
  if (!request.has("sec-fetch-site")) {
    return false;
  }
  const auto site = request.only("sec-fetch-site");
  // "none" is an address that was typed in or handed over by the system: the page, never a call.
  return !site || (*site != "same-origin" && (is_call || *site != "none"));
}

}  // namespace

std::optional<Refusal> refusalOf(const Request& request, const Route* route, const Guard& guard) {
  if (request.only("host") != guard.host) {
    return Refusal{421, "not this desk's host"};
  }
  const bool is_call = request.method == "POST";
  if (isFromElsewhere(request, is_call)) {
    return Refusal{403, "asked for by another site"};
  }
  if (route == nullptr) {
    return Refusal{404, "there is no such thing here"};
  }
  if (route->is_call != is_call) {
    return Refusal{405, "not asked for in this way"};
  }
  if (!is_call) {
    return std::nullopt;
  }
  if (request.only("origin") != "http://" + guard.host) {
    return Refusal{403, "not asked for by this desk's page"};
  }
  const auto type = request.only("content-type");
  if (!type || !isJson(*type)) {
    return Refusal{415, "only application/json is taken"};
  }
  if (route->needs_pass) {
    const auto token = request.only(kTokenHeader);
    if (guard.token.empty() || !token || !isSameSecret(*token, guard.token)) {
      return Refusal{401, "this page has no pass; open the address that the program printed"};
    }
  }
  return std::nullopt;
}

bool isSameSecret(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) {
    return false;
  }
  unsigned differs = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    differs |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]);
  }
  return differs == 0;
}

std::string newSecret() {
  std::array<std::uint8_t, 16> bytes{};
  if (getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(bytes.size())) {
    throw std::runtime_error("the system gives no random numbers");
  }
  std::string out;
  for (const std::uint8_t byte : bytes) {
    out += "0123456789abcdef"[byte >> 4];
    out += "0123456789abcdef"[byte & 15];
  }
  return out;
}

}  // namespace leafstack::desk
