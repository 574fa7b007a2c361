#include "exporters/desk/http/server.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <system_error>

namespace leafstack::desk {
namespace {

using Clock = std::chrono::steady_clock;
constexpr int kWriteMs = 20'000, kLingerMs = 300;
constexpr std::size_t kMostLinger = 2 * kMostBodyBytes;

/// What goes with every answer. No Access-Control- header: no other site's page may read anything.
constexpr std::string_view kAlways =
    "Connection: close\r\n"
    "Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; "
    "connect-src 'self'; img-src data: blob:; frame-ancestors 'none'; base-uri 'none'; "
    "form-action 'none'\r\n"
    "X-Content-Type-Options: nosniff\r\n"
    "Cache-Control: no-store\r\n"
    "Referrer-Policy: no-referrer\r\n"
    "Cross-Origin-Opener-Policy: same-origin\r\n"
    "Cross-Origin-Resource-Policy: same-origin\r\n";

int leftMs(Clock::time_point until) {
  const auto left =
      std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
  return left > 0 ? static_cast<int>(left) : 0;
}

bool isReady(int socket, short what, Clock::time_point until) {
  pollfd one{socket, what, 0};
  int ready = -1;
  do {
    ready = poll(&one, 1, leftMs(until));
  } while (ready < 0 && errno == EINTR);
  return ready > 0;
}

std::string_view phraseOf(int status) {
  switch (status) {
    case 200:
      return "OK";
    case 400:
      return "Bad Request";
    case 401:
      return "Unauthorized";
    case 403:
      return "Forbidden";
    case 404:
      return "Not Found";
    case 405:
      return "Method Not Allowed";
    case 408:
      return "Request Timeout";
    case 409:
      return "Conflict";
    case 411:
      return "Length Required";
    case 413:
      return "Content Too Large";
    case 415:
      return "Unsupported Media Type";
    case 417:
      return "Expectation Failed";
    case 421:
      return "Misdirected Request";
    case 431:
      return "Request Header Fields Too Large";
    case 503:
      return "Service Unavailable";
    case 505:
      return "HTTP Version Not Supported";
    default:
      return "Internal Server Error";
  }
}

[[noreturn]] void fail(const char* what) {
  throw std::system_error(errno, std::generic_category(), what);
}

/// Lets a client that is still sending read its answer: closed at once, it would be lost.
void lingerOn(int socket) {
  shutdown(socket, SHUT_WR);
  const auto until = Clock::now() + std::chrono::milliseconds(kLingerMs);
  std::array<char, 16384> unread;
  std::size_t total = 0;
  while (total < kMostLinger && isReady(socket, POLLIN, until)) {
    const ssize_t got = recv(socket, unread.data(), unread.size(), MSG_DONTWAIT);
    if (got <= 0) {
      break;
    }
    total += static_cast<std::size_t>(got);
  }
}

}  // namespace

void Answer::head(int status, std::string_view type, const std::string& length) {
  is_begun_ = true;
  std::string text = "HTTP/1.1 " + std::to_string(status) + " ";
  text += phraseOf(status);
  text += "\r\nContent-Type: ";
  text += type;
  text += "\r\n" + length;
  text += kAlways;
  write(text += "\r\n");
}

void Answer::send(int status, std::string_view type, std::string_view body) {
  head(status, type, "Content-Length: " + std::to_string(body.size()) + "\r\n");
  write(body);
}

void Answer::begin(int status, std::string_view type) {
  head(status, type, "");
}

bool Answer::write(std::string_view bytes) {
  const auto until = Clock::now() + std::chrono::milliseconds(kWriteMs);
  while (is_open_ && !bytes.empty()) {
    const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent > 0) {
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    } else if (errno == EAGAIN || errno == EWOULDBLOCK) {
      is_open_ = isReady(socket_, POLLOUT, until);
    } else if (errno != EINTR) {
      is_open_ = false;
    }
  }
  return is_open_;
}

Server::Server(int port, ServerLimits limits) : limits_(limits) {
  listening_ = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  if (listening_ < 0) {
    fail("no socket");
  }
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(static_cast<std::uint16_t>(port));
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof address;
  const int on = 1;
  setsockopt(listening_, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
  auto* const plain = reinterpret_cast<sockaddr*>(&address);
  if (bind(listening_, plain, size) != 0 || listen(listening_, SOMAXCONN) != 0 ||
      getsockname(listening_, plain, &size) != 0) {
    const int why = errno;
    close(listening_);
    errno = why;
    fail("cannot listen on 127.0.0.1");
  }
  port_ = ntohs(address.sin_port);
}

Server::~Server() {
  stop();
  std::unique_lock lock(mutex_);
  ended_.wait(lock, [this] { return open_.empty(); });
  if (listening_ >= 0) {
    close(listening_);
  }
}

void Server::start(Handler handler) {
  handler_ = std::move(handler);
  acceptor_ = std::thread([this] { accept(); });
}

void Server::stop() {
  is_ending_ = true;
  shutdown(listening_, SHUT_RDWR);
  if (acceptor_.joinable()) {
    acceptor_.join();
  }
  const std::lock_guard lock(mutex_);
  for (const int socket : open_) {
    shutdown(socket, SHUT_RDWR);
  }
}

void Server::accept() {
  while (!is_ending_) {
    const int socket = accept4(listening_, nullptr, nullptr, SOCK_CLOEXEC);
    if (socket < 0) {
      if (!is_ending_) {
        // Out of descriptors, say: the next may come through.
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
      }
      continue;
    }
    bool has_room = false;
    {
      const std::lock_guard lock(mutex_);
      has_room = static_cast<int>(open_.size()) < limits_.most_connections;
      if (has_room) {
        open_.insert(socket);
      }
    }
    if (!has_room) {
      Answer(socket).send(503, "text/plain; charset=utf-8", "too many connections\n");
      close(socket);
      continue;
    }
    std::thread([this, socket] { serve(socket); }).detach();
  }
}

void Server::serve(int socket) {
  try {
    answer(socket);
  } catch (...) {
    // Its connection ends; the desk goes on.
  }
  const std::lock_guard lock(mutex_);
  open_.erase(socket);
  close(socket);
  ended_.notify_all();
}

/// False where the client went away.
bool Server::read(int socket, RequestReader& reader) const {
  auto until = Clock::now() + std::chrono::milliseconds(limits_.head_ms);
  bool had_head = false;
  std::array<char, 16384> piece;
  while (reader.state() == RequestReader::State::kReading) {
    if (!isReady(socket, POLLIN, until)) {
      return true;  // still reading: too slow
    }
    const ssize_t got = recv(socket, piece.data(), piece.size(), 0);
    if (got <= 0) {
      if (got < 0 && errno == EINTR) {
        continue;
      }
      return false;
    }
    reader.take({piece.data(), static_cast<std::size_t>(got)});
    if (reader.hasHead() && !had_head) {
      had_head = true;
      until = Clock::now() + std::chrono::milliseconds(limits_.body_ms);
    }
  }
  return true;
}

void Server::answer(int socket) {
  RequestReader reader;
  if (!read(socket, reader)) {
    return;
  }
  Answer answer(socket);
  if (reader.state() == RequestReader::State::kWhole) {
    handler_(reader.request(), answer);
    return;
  }
  const Refusal refusal = reader.state() == RequestReader::State::kReading
                              ? Refusal{408, "the request took too long"}
                              : reader.refusal();
  answer.send(refusal.status, "text/plain; charset=utf-8", std::string(refusal.why) + "\n");
  lingerOn(socket);
}

}  // namespace leafstack::desk
