// One HTTP/1.1 request (RFC 9112), read from any bytes in any pieces; strict, since the only client
// is a browser that shows the desk's own page.
//
// Properties (tests/desk, tests/fuzz/fuzz_request.cpp): Q1 any bytes end in a whole request, in a
// refusal with a status, or wait for more; Q2 how the bytes are cut makes no difference; Q3 no more
// than the limits are ever kept; Q4 a whole request has one place where it ends, told by one
// Content-Length or by the empty line alone, and nothing follows it.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leafstack::desk {

inline constexpr std::size_t kMostHeadBytes = 16 * 1024;
inline constexpr std::size_t kMostBodyBytes = 1024 * 1024;

struct Request {
  std::string method;  ///< "GET" or "POST"
  std::string target;  ///< "/check": begins with a slash, visible ASCII
  std::vector<std::pair<std::string, std::string>> headers;  ///< names in small letters
  std::string body;

  /// The value where there is exactly one such header, else nothing.
  std::optional<std::string_view> only(std::string_view name) const;
  bool has(std::string_view name) const;
};

/// Why a request is not served: a status of RFC 9110, and words.
struct Refusal {
  int status = 400;
  std::string_view why;
};

class RequestReader {
 public:
  enum class State { kReading, kWhole, kRefused };

  /// Takes what has come; not to be called again once it is whole or refused.
  State take(std::string_view bytes);
  State state() const { return state_; }
  /// Whether the head is there and only the body is waited for.
  bool hasHead() const { return has_head_; }
  const Request& request() const { return request_; }
  const Refusal& refusal() const { return refusal_; }

 private:
  State refuse(int status, std::string_view why);
  State takeBody(std::string_view bytes);
  bool readHead(std::string_view head);
  bool readLine(std::string_view line);
  bool readHeader(std::string_view line);
  bool settleLength();

  State state_ = State::kReading;
  bool has_head_ = false;
  std::size_t length_ = 0;
  std::string head_;
  Request request_;
  Refusal refusal_;
};

}  // namespace leafstack::desk
