// A small HTTP/1.1 server for one page on this computer: 127.0.0.1 only, one request a connection.
//
// Written here and not taken from a library: what it leaves out (kept-alive connections, chunked
// bodies, compression, files by path, ranges) is what such servers have been attacked through.
#pragma once

#include <atomic>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <set>
#include <string>
#include <string_view>
#include <thread>

#include "exporters/desk/http/request.h"

namespace leafstack::desk {

/// An answer, written as it comes. Every one ends its connection.
class Answer {
 public:
  explicit Answer(int socket) : socket_(socket) {}

  /// A whole answer. `type` is a media type.
  void send(int status, std::string_view type, std::string_view body);
  /// An answer of unknown length, piece by piece: it ends with the connection.
  void begin(int status, std::string_view type);
  /// False once nobody listens any more.
  bool write(std::string_view bytes);
  bool isBegun() const { return is_begun_; }

 private:
  void head(int status, std::string_view type, const std::string& length);

  int socket_;
  bool is_begun_ = false, is_open_ = true;
};

/// Answers one request; several at once, on threads of the server's.
using Handler = std::function<void(const Request&, Answer&)>;

/// How long a client may take, and how many there may be.
struct ServerLimits {
  int most_connections = 16;
  int head_ms = 5'000;   ///< for all of the head, from the connection on
  int body_ms = 15'000;  ///< for the body, from the head on
};

class Server {
 public:
  /// Listens on `port` of 127.0.0.1, a free one where that is 0. Throws std::system_error.
  explicit Server(int port, ServerLimits limits = {});
  /// Ends all connections and waits for their threads.
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  int port() const { return port_; }
  std::string host() const { return "127.0.0.1:" + std::to_string(port_); }
  void start(Handler handler);
  /// No new connections; reads and writes of those there are come to their end.
  void stop();

 private:
  void accept();
  void serve(int socket);
  void answer(int socket);
  bool read(int socket, RequestReader& reader) const;

  ServerLimits limits_;
  Handler handler_;
  int listening_ = -1, port_ = 0;
  std::atomic<bool> is_ending_ = false;
  std::thread acceptor_;
  std::mutex mutex_;
  std::condition_variable ended_;
  std::set<int> open_;
};

}  // namespace leafstack::desk
