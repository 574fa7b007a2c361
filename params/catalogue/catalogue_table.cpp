#include "params/catalogue/catalogue_table.h"

#include <algorithm>
#include <charconv>
#include <map>
#include <stdexcept>

namespace leafstack {
namespace {

/// Fields of one line, which `text` begins with; takes the line off it.
std::vector<std::string> takeLine(std::string_view& text) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  std::size_t i = 0;
  for (; i < text.size() && (quoted || text[i] != '\n'); ++i) {
    const char c = text[i];
    if (c == '"' && quoted && i + 1 < text.size() && text[i + 1] == '"') {
      fields.back() += c;
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else if (c != '\r' || quoted) {
      fields.back() += c;
    }
  }
  text.remove_prefix(std::min(i + 1, text.size()));
  return fields;
}

}  // namespace

CatalogueTable::CatalogueTable(std::string_view name, std::string_view text) : name_(name) {
  columns_ = takeLine(text);
  for (auto column = columns_.begin(); column != columns_.end(); ++column) {
    if (std::find(columns_.begin(), column, *column) != column) {
      throw std::logic_error(name_ + ": column " + *column + " occurs twice");
    }
  }
  while (!text.empty()) {
    rows_.push_back(takeLine(text));
    if (rows_.back().size() != columns_.size()) {
      throw std::logic_error(name_ + ": row " + std::to_string(rows_.size()) + " has " +
                             std::to_string(rows_.back().size()) + " fields");
    }
  }
}

const std::string& CatalogueTable::text(int row, std::string_view column) const {
  const auto found = std::find(columns_.begin(), columns_.end(), column);
  if (found == columns_.end() || row < 0 || row >= rowCount()) {
    throw std::logic_error(name_ + ": no " + std::string(column) + " in row " +
                           std::to_string(row));
  }
  return rows_[row][found - columns_.begin()];
}

double CatalogueTable::number(int row, std::string_view column) const {
  const std::string& field = text(row, column);
  double value = 0;
  const char* const end = field.data() + field.size();
  const auto [stop, error] = std::from_chars(field.data(), end, value);
  if (error != std::errc() || stop != end || field.empty()) {
    throw std::logic_error(name_ + ": " + std::string(column) + " \"" + field +
                           "\" is not a number");
  }
  return value;
}

int CatalogueTable::rowOf(std::string_view key) const {
  for (int row = 0; row < rowCount(); ++row) {
    if (rows_[row].front() == key) {
      return row;
    }
  }
  return -1;
}

const CatalogueTable& catalogueTable(std::string_view name) {
  static const auto kTables = [] {
    std::map<std::string, CatalogueTable, std::less<>> tables;
    for (const CatalogueText& one : catalogueTexts()) {
      tables.emplace(std::string(one.name), CatalogueTable(one.name, one.text));
    }
    return tables;
  }();
  const auto found = kTables.find(name);
  if (found == kTables.end()) {
    throw std::logic_error("no catalogue table " + std::string(name));
  }
  return found->second;
}

}  // namespace leafstack
