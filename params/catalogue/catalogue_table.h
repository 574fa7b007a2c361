// The tables of params/catalogue as text and numbers; catalogue.h gives them meaning.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// One CSV file, compiled in.
struct CatalogueText {
  std::string_view name, text;
};
const std::vector<CatalogueText>& catalogueTexts();

/// A CSV table with a header line. Every table's last column is `source`.
class CatalogueTable {
 public:
  /// Reads RFC 4180 text: commas, optional double quotes, doubled quotes inside them. Throws
  /// std::logic_error where a line has not as many fields as the header, or a column's name occurs
  /// twice.
  CatalogueTable(std::string_view name, std::string_view text);

  int rowCount() const { return static_cast<int>(rows_.size()); }
  const std::vector<std::string>& columns() const { return columns_; }
  /// Throws std::logic_error for a column or row that there is not, and for what is no number.
  const std::string& text(int row, std::string_view column) const;
  double number(int row, std::string_view column) const;
  /// The first row whose first column is this, or -1.
  int rowOf(std::string_view key) const;

 private:
  std::string name_;
  std::vector<std::string> columns_;
  std::vector<std::vector<std::string>> rows_;
};

/// The table of that name ("ropes"), read once. Throws std::logic_error where there is none.
const CatalogueTable& catalogueTable(std::string_view name);

}  // namespace leafstack
