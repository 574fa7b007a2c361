#include "tests/part21/lexer.h"

#include <cctype>
#include <charconv>

namespace leafstack::part21 {
namespace {

bool isUpper(char c) {
  return c >= 'A' && c <= 'Z';
}
bool isDigit(char c) {
  return c >= '0' && c <= '9';
}
bool isHex(char c) {
  return isDigit(c) || (c >= 'A' && c <= 'F');
}

void appendUtf8(unsigned code, std::string& out) {
  if (code < 0x80) {
    out += static_cast<char>(code);
  } else if (code < 0x800) {
    out += static_cast<char>(0xC0 | (code >> 6));
    out += static_cast<char>(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    out += static_cast<char>(0xE0 | (code >> 12));
    out += static_cast<char>(0x80 | ((code >> 6) & 0x3F));
    out += static_cast<char>(0x80 | (code & 0x3F));
  } else {
    out += static_cast<char>(0xF0 | (code >> 18));
    out += static_cast<char>(0x80 | ((code >> 12) & 0x3F));
    out += static_cast<char>(0x80 | ((code >> 6) & 0x3F));
    out += static_cast<char>(0x80 | (code & 0x3F));
  }
}

bool readHex(std::string_view raw, std::size_t at, std::size_t digits, unsigned& code) {
  if (at + digits > raw.size()) return false;
  for (std::size_t i = at; i < at + digits; ++i)
    if (!isHex(raw[i])) return false;
  std::from_chars(raw.data() + at, raw.data() + at + digits, code, 16);
  return true;
}

// \X2\ (UTF-16, surrogate pairs allowed) or \X4\ (UTF-32), from behind the directive to \X0\.
std::string decodeWide(std::string_view raw, std::size_t& at, std::size_t digits,
                       std::string& out) {
  unsigned high = 0;
  while (raw.substr(at, 4) != "\\X0\\") {
    unsigned code = 0;
    if (!readHex(raw, at, digits, code)) return "\\X2\\ or \\X4\\ text is not closed by \\X0\\";
    at += digits;
    if (code >= 0xD800 && code < 0xDC00) {
      high = code;
    } else if (code >= 0xDC00 && code < 0xE000) {
      if (high == 0) return "lone low surrogate in \\X2\\ text";
      appendUtf8(0x10000 + ((high - 0xD800) << 10) + (code - 0xDC00), out);
      high = 0;
    } else {
      appendUtf8(code, out);
    }
  }
  at += 4;
  return high == 0 ? "" : "lone high surrogate in \\X2\\ text";
}

std::string decodeDirective(std::string_view raw, std::size_t& at, std::string& out) {
  const std::string_view rest = raw.substr(at);
  unsigned code = 0;
  if (rest.starts_with("\\\\")) {
    out += '\\';
    at += 2;
  } else if (rest.starts_with("\\X2\\")) {
    return decodeWide(raw, at += 4, 4, out);
  } else if (rest.starts_with("\\X4\\")) {
    return decodeWide(raw, at += 4, 8, out);
  } else if (rest.starts_with("\\X\\") && readHex(raw, at + 3, 2, code)) {
    appendUtf8(code, out);
    at += 5;
  } else if (rest.starts_with("\\S\\") && rest.size() > 3) {
    appendUtf8(static_cast<unsigned char>(rest[3]) + 128U, out);
    at += 4;
  } else if (rest.starts_with("\\N\\") || rest.starts_with("\\F\\")) {
    out += '\n';
    at += 3;
  } else if (rest.size() > 3 && rest[1] == 'P' && isUpper(rest[2]) && rest[3] == '\\') {
    if (rest[2] != 'A') return "code page other than ISO 8859-1";
    at += 4;
  } else {
    return "unknown escape in a string";
  }
  return "";
}

class Lexer {
 public:
  Lexer(std::string_view text, std::vector<Problem>& problems) : text_(text), problems_(problems) {}

  std::vector<Token> run() {
    std::vector<Token> tokens;
    while (skipBlank()) {
      Token token;
      token.line = line_;
      if (read(token)) tokens.push_back(std::move(token));
    }
    Token end;
    end.line = line_;
    tokens.push_back(end);
    return tokens;
  }

 private:
  char peek(std::size_t ahead = 0) const {
    return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
  }
  void problem(std::string text) { problems_.push_back({line_, std::move(text)}); }

  // Skips whitespace and comments; false at the end of the text.
  bool skipBlank() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '\n') ++line_;
      if (std::isspace(static_cast<unsigned char>(c)) != 0) {
        ++at_;
      } else if (c == '/' && peek(1) == '*') {
        skipComment();
      } else {
        return true;
      }
    }
    return false;
  }

  void skipComment() {
    const std::size_t end = text_.find("*/", at_ + 2);
    const std::size_t stop = end == std::string_view::npos ? text_.size() : end + 2;
    if (end == std::string_view::npos) problem("comment is not closed");
    for (; at_ < stop; ++at_)
      if (text_[at_] == '\n') ++line_;
  }

  bool read(Token& token) {
    const char c = peek();
    if (isUpper(c) || c == '!' || c == '_') return readKeyword(token);
    if (isDigit(c) || c == '-' || c == '+') return readNumber(token);
    if (c == '\'') return readString(token);
    if (c == '#') return readInstanceName(token);
    if (c == '.') return readEnum(token);
    if (c == '"') return readBinary(token);
    if (std::string_view("(),;=$*").find(c) != std::string_view::npos) {
      token.kind = Token::Kind::kPunctuation;
      token.text = c;
      ++at_;
      return true;
    }
    problem(std::string("character not allowed here: code ") +
            std::to_string(static_cast<unsigned char>(c)));
    ++at_;
    return false;
  }

  bool readKeyword(Token& token) {
    const std::size_t start = at_++;
    // "ISO-10303-21" and "END-ISO-10303-21" are the only names with hyphens.
    while (isUpper(peek()) || isDigit(peek()) || peek() == '_' || peek() == '-') ++at_;
    token.kind = Token::Kind::kKeyword;
    token.text = text_.substr(start, at_ - start);
    return true;
  }

  bool readNumber(Token& token) {
    const std::size_t start = at_;
    if (peek() == '-' || peek() == '+') ++at_;
    const std::size_t digits = at_;
    while (isDigit(peek())) ++at_;
    bool good = at_ > digits;
    token.kind = Token::Kind::kInteger;
    if (peek() == '.') {
      token.kind = Token::Kind::kReal;
      ++at_;
      while (isDigit(peek())) ++at_;
      if (peek() == 'E') {
        ++at_;
        if (peek() == '-' || peek() == '+') ++at_;
        good = good && isDigit(peek());
        while (isDigit(peek())) ++at_;
      }
    }
    token.text = text_.substr(start, at_ - start);
    const char* first = text_.data() + start + (text_[start] == '+' ? 1 : 0);
    const auto parsed = std::from_chars(first, text_.data() + at_, token.number);
    if (!good || parsed.ec != std::errc() || parsed.ptr != text_.data() + at_)
      problem("malformed number: " + token.text);
    return true;
  }

  bool readString(Token& token) {
    const int first_line = line_;
    std::string raw;
    for (++at_; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (c == '\'' && peek(1) != '\'') break;
      if (c == '\'') ++at_;
      if (c == '\n') ++line_;
      if (c == '\n' || c == '\r') continue;  // line breaks inside a literal carry no meaning
      if (static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7E)
        problems_.push_back({line_, "byte outside the basic alphabet in a string: code " +
                                        std::to_string(static_cast<unsigned char>(c))});
      raw += c;
    }
    if (at_ >= text_.size()) problems_.push_back({first_line, "string is not closed"});
    ++at_;
    token.kind = Token::Kind::kString;
    const std::string wrong = decodeString(raw, token.text);
    if (!wrong.empty()) problems_.push_back({first_line, wrong + ": '" + raw + "'"});
    return true;
  }

  bool readInstanceName(Token& token) {
    const std::size_t start = ++at_;
    while (isDigit(peek())) ++at_;
    token.kind = Token::Kind::kInstanceName;
    token.text = "#" + std::string(text_.substr(start, at_ - start));
    const auto parsed = std::from_chars(text_.data() + start, text_.data() + at_, token.id);
    if (parsed.ec != std::errc() || token.id <= 0) problem("malformed instance name " + token.text);
    return true;
  }

  bool readEnum(Token& token) {
    const std::size_t start = ++at_;
    while (isUpper(peek()) || isDigit(peek()) || peek() == '_') ++at_;
    token.kind = Token::Kind::kEnum;
    token.text = text_.substr(start, at_ - start);
    if (peek() != '.' || token.text.empty()) problem("malformed enumeration ." + token.text);
    if (peek() == '.') ++at_;
    return true;
  }

  bool readBinary(Token& token) {
    const std::size_t start = ++at_;
    while (isHex(peek())) ++at_;
    token.kind = Token::Kind::kBinary;
    token.text = text_.substr(start, at_ - start);
    const bool good = !token.text.empty() && token.text[0] <= '3' && peek() == '"';
    if (!good) problem("malformed binary \"" + token.text);
    if (peek() == '"') ++at_;
    return true;
  }

  std::string_view text_;
  std::vector<Problem>& problems_;
  std::size_t at_ = 0;
  int line_ = 1;
};

}  // namespace

std::string decodeString(std::string_view raw, std::string& decoded) {
  std::size_t at = 0;
  while (at < raw.size()) {
    if (raw[at] != '\\') {
      decoded += raw[at++];
      continue;
    }
    const std::string wrong = decodeDirective(raw, at, decoded);
    if (!wrong.empty()) return wrong;
  }
  return "";
}

std::vector<Token> tokenize(std::string_view text, std::vector<Problem>& problems) {
  return Lexer(text, problems).run();
}

}  // namespace leafstack::part21
