// The reader of requests on damaged bytes, cut anywhere (RFC 9112); tests/desk/rules.py asks the
// whole server.
#include "exporters/desk/http/request.h"

#include <gtest/gtest.h>

#include <random>
#include <string>

namespace leafstack::desk {
namespace {

using State = RequestReader::State;

const std::string kGood =
    "POST /check HTTP/1.1\r\nHost: 127.0.0.1:4000\r\nContent-Length: 5\r\nX-A:  b \r\n\r\nhello";

struct Read {
  State state = State::kReading;
  int status = 0;
  std::string method, target, body;
  bool operator==(const Read&) const = default;
};

/// In pieces of `most` bytes at random.
Read inPieces(const std::string& bytes, std::mt19937& random, std::size_t most) {
  RequestReader reader;
  for (std::size_t at = 0; at < bytes.size() && reader.state() == State::kReading;) {
    const std::size_t size = std::min(bytes.size() - at, 1 + random() % most);
    reader.take(std::string_view(bytes).substr(at, size));
    at += size;
  }
  Read read{reader.state(), reader.state() == State::kRefused ? reader.refusal().status : 0, "", "",
            ""};
  if (reader.state() == State::kWhole) {
    read.method = reader.request().method;
    read.target = reader.request().target;
    read.body = reader.request().body;
  }
  return read;
}

TEST(DeskRequest, IsReadHoweverItComes) {
  std::mt19937 random(1);
  for (const std::size_t most : {std::size_t{1}, std::size_t{7}, std::size_t{1000}}) {
    const Read read = inPieces(kGood, random, most);
    EXPECT_EQ(read.state, State::kWhole);
    EXPECT_EQ(read.body, "hello");
    EXPECT_EQ(read.target, "/check");
  }
  RequestReader reader;
  reader.take(kGood);
  EXPECT_EQ(reader.request().only("x-a"), "b");
  EXPECT_EQ(reader.request().only("x-b"), std::nullopt);
}

TEST(DeskRequest, DamagedBytesEndInARefusalOrWait) {
  std::mt19937 random(20261130);
  int whole = 0, refused = 0;
  for (int trial = 0; trial < 20000; ++trial) {
    std::string bytes = kGood;
    for (int changes = static_cast<int>(random() % 4); changes >= 0; --changes) {
      const std::size_t at = random() % bytes.size();
      bytes.replace(at, random() % 3, std::string(random() % 3, static_cast<char>(random() % 256)));
    }
    const Read one = inPieces(bytes, random, 1), other = inPieces(bytes, random, 40);
    // Cut elsewhere, it may be whole just before what makes it a refusal; never two requests.
    if (one.state == State::kRefused || other.state == State::kRefused) {
      ++refused;
    } else {
      EXPECT_TRUE(one == other) << bytes;
    }
    for (const Read& read : {one, other}) {
      whole += read.state == State::kWhole ? 1 : 0;
      EXPECT_TRUE(read.state != State::kRefused || (read.status >= 400 && read.status <= 505))
          << bytes;
      EXPECT_TRUE(read.state != State::kWhole || read.target.starts_with("/")) << bytes;
    }
  }
  EXPECT_GT(whole, 100);
  EXPECT_GT(refused, 100);
}

TEST(DeskRequest, KeepsNoMoreThanItsLimits) {
  RequestReader long_head;
  EXPECT_EQ(long_head.take(std::string(kMostHeadBytes + 1, 'a')), State::kRefused);
  EXPECT_EQ(long_head.refusal().status, 431);
  RequestReader long_body;
  EXPECT_EQ(long_body.take("POST / HTTP/1.1\r\nContent-Length: 1048577\r\n\r\n"), State::kRefused);
  EXPECT_EQ(long_body.refusal().status, 413);
}

}  // namespace
}  // namespace leafstack::desk
