#include "tests/part21/part21.h"

#include <fstream>
#include <regex>
#include <sstream>

#include "tests/part21/lexer.h"

namespace leafstack::part21 {
namespace {

// Deeper nesting than this does not occur in any exchange schema; it bounds the recursion.
constexpr int kDeepestNesting = 200;

class Parser {
 public:
  Parser(std::vector<Token> tokens, File& file) : tokens_(std::move(tokens)), file_(file) {}

  void run() {
    try {
      expectWord("ISO-10303-21");
      expectWord("HEADER");
      parseHeader();
      while (peek().kind == Token::Kind::kKeyword && peek().text == "DATA") parseData();
      expectWord("END-ISO-10303-21");
      if (peek().kind != Token::Kind::kEnd) fail("text after the end of the exchange structure");
    } catch (const SyntaxError&) {
      // Recorded where it was found; the rest of the file cannot be trusted.
    }
  }

 private:
  struct SyntaxError {};

  const Token& peek() const { return tokens_[at_]; }
  Token take() { return tokens_[at_ + 1 < tokens_.size() ? at_++ : at_]; }

  [[noreturn]] void fail(const std::string& text) {
    file_.problems.push_back({peek().line, text + found()});
    throw SyntaxError();
  }
  std::string found() const {
    return peek().kind == Token::Kind::kEnd ? " (the file ends here)" : ", found " + peek().text;
  }
  void expect(char punctuation) {
    if (!peek().is(punctuation)) fail(std::string("expected '") + punctuation + "'");
    take();
  }
  void expectWord(const std::string& word) {
    if (peek().kind != Token::Kind::kKeyword || peek().text != word) fail("expected " + word);
    take();
    expect(';');
  }

  void parseHeader() {
    std::vector<Record> records;
    while (!(peek().kind == Token::Kind::kKeyword && peek().text == "ENDSEC")) {
      records.push_back(parseRecord());
      expect(';');
    }
    expectWord("ENDSEC");
    static const char* const kOrder[] = {"FILE_DESCRIPTION", "FILE_NAME", "FILE_SCHEMA"};
    for (std::size_t i = 0; i < 3; ++i)
      if (i >= records.size() || records[i].keyword != kOrder[i])
        file_.problems.push_back({0, std::string("header lacks ") + kOrder[i] + " in its place"});
    for (const Record& record : records) readHeaderRecord(record);
  }

  static std::vector<std::string> texts(const Value& list) {
    std::vector<std::string> result;
    for (const Value& item : list.items) result.push_back(item.text);
    return result;
  }

  void readHeaderRecord(const Record& record) {
    Header& header = file_.header;
    if (record.keyword == "FILE_DESCRIPTION") {
      header.description = texts(parameter(record, 0));
      header.implementation_level = parameter(record, 1).text;
    } else if (record.keyword == "FILE_NAME") {
      if (record.parameters.size() != 7)
        file_.problems.push_back({0, "FILE_NAME must have 7 parameters"});
      header.name = parameter(record, 0).text;
      header.time_stamp = parameter(record, 1).text;
      header.author = texts(parameter(record, 2));
      header.organisation = texts(parameter(record, 3));
      header.preprocessor_version = parameter(record, 4).text;
      header.originating_system = parameter(record, 5).text;
      header.authorisation = parameter(record, 6).text;
    } else if (record.keyword == "FILE_SCHEMA") {
      header.schemas = texts(parameter(record, 0));
      checkSchemas();
    }
  }

  void checkSchemas() {
    static const std::regex kSchema("[A-Z][A-Z0-9_]*( *\\{[ 0-9]+\\})?");
    if (file_.header.schemas.empty()) file_.problems.push_back({0, "no schema named"});
    for (const std::string& schema : file_.header.schemas)
      if (!std::regex_match(schema, kSchema))
        file_.problems.push_back({0, "malformed schema name '" + schema + "'"});
  }

  void parseData() {
    expectWord("DATA");
    while (peek().kind == Token::Kind::kInstanceName) parseInstanceOrSkip();
    expectWord("ENDSEC");
  }

  // A syntax error inside one instance is recorded and the next instance tried.
  void parseInstanceOrSkip() {
    try {
      parseInstance();
    } catch (const SyntaxError&) {
      while (peek().kind != Token::Kind::kEnd && !peek().is(';')) take();
      if (peek().kind == Token::Kind::kEnd) throw;
      take();
    }
  }

  void parseInstance() {
    Instance instance;
    const Token name = take();
    instance.id = name.id;
    instance.line = name.line;
    expect('=');
    if (peek().is('(')) {
      take();
      while (!peek().is(')')) instance.records.push_back(parseRecord());
      take();
    } else {
      instance.records.push_back(parseRecord());
    }
    if (instance.records.empty()) fail("instance without a record");
    expect(';');
    const auto [known, added] = file_.instances.emplace(instance.id, instance);
    if (!added)
      file_.problems.push_back({instance.line, name.text + " is defined twice, first on line " +
                                                   std::to_string(known->second.line)});
  }

  Record parseRecord() {
    if (peek().kind != Token::Kind::kKeyword) fail("expected an entity name");
    Record record;
    record.keyword = take().text;
    record.parameters = parseList(0);
    return record;
  }

  std::vector<Value> parseList(int depth) {
    if (depth > kDeepestNesting) fail("nested too deeply");
    expect('(');
    std::vector<Value> items;
    if (peek().is(')')) {
      take();
      return items;
    }
    for (;;) {
      items.push_back(parseValue(depth));
      if (peek().is(')')) break;
      expect(',');
    }
    take();
    return items;
  }

  Value parseValue(int depth) {
    using Kind = Value::Kind;
    Value value;
    if (peek().is('(')) {
      value.kind = Kind::kList;
      value.items = parseList(depth + 1);
      return value;
    }
    const Token token = peek();
    switch (token.kind) {
      case Token::Kind::kInteger:
        value.kind = Kind::kInteger;
        break;
      case Token::Kind::kReal:
        value.kind = Kind::kReal;
        break;
      case Token::Kind::kString:
        value.kind = Kind::kString;
        break;
      case Token::Kind::kEnum:
        value.kind = Kind::kEnum;
        break;
      case Token::Kind::kBinary:
        value.kind = Kind::kBinary;
        break;
      case Token::Kind::kInstanceName:
        value.kind = Kind::kReference;
        break;
      case Token::Kind::kKeyword:
        value.kind = Kind::kTyped;
        break;
      case Token::Kind::kPunctuation:
        if (!token.is('$') && !token.is('*')) fail("expected a value");
        value.kind = token.is('$') ? Kind::kUnset : Kind::kDerived;
        break;
      case Token::Kind::kEnd:
        fail("expected a value");
    }
    take();
    value.number = token.number;
    value.id = token.id;
    if (token.kind != Token::Kind::kPunctuation) value.text = token.text;
    if (value.kind == Kind::kTyped) value.items = parseList(depth + 1);
    if (value.kind == Kind::kTyped && value.items.size() != 1)
      fail("a typed value holds one value");
    return value;
  }

  std::vector<Token> tokens_;
  std::size_t at_ = 0;
  File& file_;
};

void checkReferences(const File& file, const Instance& from, const Value& value,
                     std::vector<Problem>& problems) {
  if (value.isReference() && file.find(value.id) == nullptr)
    problems.push_back({from.line, "#" + std::to_string(from.id) + " " + from.typeName() +
                                       " refers to #" + std::to_string(value.id) +
                                       ", which does not exist"});
  for (const Value& item : value.items) checkReferences(file, from, item, problems);
}

}  // namespace

const Record* Instance::record(std::string_view keyword) const {
  for (const Record& candidate : records)
    if (candidate.keyword == keyword) return &candidate;
  return nullptr;
}

std::string Instance::typeName() const {
  std::string name;
  for (const Record& part : records) name += (name.empty() ? "" : "+") + part.keyword;
  return name;
}

const Instance* File::find(long id) const {
  const auto found = instances.find(id);
  return found == instances.end() ? nullptr : &found->second;
}

const Record* File::follow(const Value& value, std::string_view keyword) const {
  const Instance* instance = value.isReference() ? find(value.id) : nullptr;
  return instance == nullptr ? nullptr : instance->record(keyword);
}

std::vector<long> File::all(std::string_view keyword) const {
  std::vector<long> ids;
  for (const auto& [id, instance] : instances)
    if (instance.record(keyword) != nullptr) ids.push_back(id);
  return ids;
}

const Value& parameter(const Record& record, std::size_t index) {
  static const Value kNothing;
  return index < record.parameters.size() ? record.parameters[index] : kNothing;
}

File parse(std::string_view text) {
  File file;
  Parser(tokenize(text, file.problems), file).run();
  for (const auto& [id, instance] : file.instances)
    for (const Record& record : instance.records)
      for (const Value& value : record.parameters)
        checkReferences(file, instance, value, file.problems);
  return file;
}

File readFile(const std::string& path) {
  std::ifstream stream(path, std::ios::binary);
  if (!stream) {
    File file;
    file.problems.push_back({0, "cannot be opened"});
    return file;
  }
  std::ostringstream text;
  text << stream.rdbuf();
  return parse(text.str());
}

}  // namespace leafstack::part21
