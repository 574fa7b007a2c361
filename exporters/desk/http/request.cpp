#include "exporters/desk/http/request.h"

#include <algorithm>

namespace leafstack::desk {
namespace {

constexpr std::size_t kMostTarget = 200, kMostLengthDigits = 8;
constexpr std::string_view kEndOfHead = "\r\n\r\n";

bool isTokenChar(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         std::string_view("!#$%&'*+-.^_`|~").find(c) != std::string_view::npos;
}

bool isVisible(char c) {
  return c > 0x20 && c < 0x7f;
}

/// What may stand in a header's value.
bool isValueChar(char c) {
  return c == '\t' || (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f);
}

std::string inSmallLetters(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return out;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  return first == std::string_view::npos
             ? std::string_view()
             : text.substr(first, text.find_last_not_of(" \t") + 1 - first);
}

}  // namespace

std::optional<std::string_view> Request::only(std::string_view name) const {
  std::optional<std::string_view> found;
  for (const auto& [key, value] : headers) {
    if (key == name) {
      if (found) {
        return std::nullopt;
      }
      found = value;
    }
  }
  return found;
}

bool Request::has(std::string_view name) const {
  return std::any_of(headers.begin(), headers.end(),
                     [&](const auto& header) { return header.first == name; });
}

RequestReader::State RequestReader::refuse(int status, std::string_view why) {
  head_.clear();
  request_.body.clear();
  refusal_ = {status, why};
  return state_ = State::kRefused;
}

RequestReader::State RequestReader::take(std::string_view bytes) {
  if (state_ != State::kReading) {
    return state_;
  }
  if (has_head_) {
    return takeBody(bytes);
  }
  // Byte by byte up to the head's end, so that it does not matter how they come.
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    if (head_.size() == kMostHeadBytes) {
      return refuse(431, "the head of the request is longer than 16 KiB");
    }
    head_ += bytes[i];
    if (head_.back() == '\n' && std::string_view(head_).ends_with(kEndOfHead)) {
      if (!readHead(std::string_view(head_).substr(0, head_.size() - 2)) || !settleLength()) {
        return state_;
      }
      has_head_ = true;
      head_.clear();
      return takeBody(bytes.substr(i + 1));
    }
  }
  return state_;
}

RequestReader::State RequestReader::takeBody(std::string_view bytes) {
  if (bytes.size() > length_ - request_.body.size()) {
    return refuse(400, "something follows the request");
  }
  request_.body += bytes;
  return state_ = request_.body.size() == length_ ? State::kWhole : State::kReading;
}

bool RequestReader::readHead(std::string_view head) {
  bool is_first = true;
  while (!head.empty()) {
    const std::size_t end = head.find("\r\n");
    const std::string_view line = head.substr(0, end);
    head.remove_prefix(end + 2);
    if (!(is_first ? readLine(line) : readHeader(line))) {
      return false;
    }
    is_first = false;
  }
  return true;
}

bool RequestReader::readLine(std::string_view line) {
  const std::size_t first = line.find(' ');
  const std::size_t second = first == std::string_view::npos ? first : line.find(' ', first + 1);
  if (second == std::string_view::npos) {
    refuse(400, "the first line is no request");
    return false;
  }
  request_.method = line.substr(0, first);
  request_.target = line.substr(first + 1, second - first - 1);
  if (line.substr(second + 1) != "HTTP/1.1") {
    refuse(505, "only HTTP/1.1 is spoken here");
  } else if (request_.method != "GET" && request_.method != "POST") {
    refuse(405, "only GET and POST are answered");
  } else if (request_.target.empty() || request_.target.front() != '/' ||
             request_.target.size() > kMostTarget ||
             !std::all_of(request_.target.begin(), request_.target.end(), isVisible)) {
    refuse(400, "what is asked for is no path");
  }
  return state_ == State::kReading;
}

bool RequestReader::readHeader(std::string_view line) {
  const std::size_t colon = line.find(':');
  const std::string_view name = line.substr(0, colon);
  if (colon == std::string_view::npos || name.empty() ||
      !std::all_of(name.begin(), name.end(), isTokenChar) ||
      !std::all_of(line.begin(), line.end(), isValueChar)) {
    refuse(400, "a header that is none");
    return false;
  }
  request_.headers.emplace_back(inSmallLetters(name), trimmed(line.substr(colon + 1)));
  return true;
}

bool RequestReader::settleLength() {
  if (request_.has("transfer-encoding")) {
    refuse(400, "Transfer-Encoding is not taken, only Content-Length");
    return false;
  }
  if (request_.has("expect")) {
    refuse(417, "Expect is not answered");
    return false;
  }
  if (!request_.has("content-length")) {
    if (request_.method == "POST") {
      refuse(411, "Content-Length is missing");
    }
    return state_ == State::kReading;
  }
  const auto length = request_.only("content-length");
  const bool is_number = length && !length->empty() &&
                         length->find_first_not_of("0123456789") == std::string_view::npos;
  if (!is_number) {
    refuse(400, "Content-Length is given twice, or is no number");
    return false;
  }
  if (length->size() > kMostLengthDigits) {
    refuse(413, "the body is larger than 1 MiB");
    return false;
  }
  for (const char digit : *length) {
    length_ = 10 * length_ + static_cast<std::size_t>(digit - '0');
  }
  if (length_ > kMostBodyBytes) {
    refuse(413, "the body is larger than 1 MiB");
  } else if (length_ > 0 && request_.method == "GET") {
    refuse(400, "a GET with a body");
  }
  return state_ == State::kReading;
}

}  // namespace leafstack::desk
