// Until when a price list says its prices hold.
#include <gtest/gtest.h>

#include <utility>

#include "generator/compare/prices.h"

namespace leafstack {
namespace {

// ISO 8601 dates of the Gregorian calendar, told by line, column and place like any other problem,
// with the date that was meant where the habit is plain.
TEST(ComparePrices, ValidUntilIsADayOfTheCalendar) {
  const auto problemsWith = [](const std::string& date) {
    return readPrices("{\n  \"valid_until\": \"" + date + "\"}", "prices.json").problems;
  };
  for (const char* right : {"2027-03-31", "2028-02-29", "2000-02-29", "0001-01-01"}) {
    EXPECT_TRUE(problemsWith(right).empty()) << right;
  }
  const std::pair<const char*, const char*> wrong[] = {
      {"2027-02-29", "that month has 28 days"},
      {"1900-02-29", "that month has 28 days"},
      {"2027-04-31", "that month has 30 days"},
      {"31.03.2027", "did you mean \"2027-03-31\"?"},
      {"2027/03/31", "did you mean \"2027-03-31\"?"},
      {"20270331", "did you mean \"2027-03-31\"?"},
      {"2027-13-01", ""},
      {"2027-00-10", ""},
      {"2027-3-31", ""},
      {"0000-01-01", ""},
      {"2027-03-31 ", ""},
      {"end of March", ""}};
  for (const auto& [date, suggestion] : wrong) {
    const auto problems = problemsWith(date);
    ASSERT_EQ(problems.size(), 1U) << date;
    EXPECT_EQ(problems.front().pointer, "/valid_until");
    EXPECT_EQ(problems.front().line, 2);
    EXPECT_EQ(problems.front().column, 18);
    EXPECT_EQ(problems.front().suggestion, suggestion) << date;
    EXPECT_NE(problems.front().allowed.find("YYYY-MM-DD"), std::string::npos);
  }
}

}  // namespace
}  // namespace leafstack
