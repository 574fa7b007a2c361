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

// What is no price is told by line, column, place and range, with what may have been meant.
TEST(ComparePrices, WhatIsNoPriceIsToldWithWhatMayBeMeant) {
  struct Wrong {
    const char *value, *message, *allowed, *suggestion;
  };
  constexpr const char* kLeaveOut = "leave out what has no price; 0 is a price";
  const Wrong all[] = {
      {"-5", "-5 is out of range", "0 to 10000000", kLeaveOut},
      {"1e12", "1e12 is out of range", "0 to 10000000",
       "prices are in the currency's own units, not in hundredths of them"},
      {"null", "null is not a number", "0 to 10000000", kLeaveOut},
      {"\"12,50\"", "\"12,50\" is not a number", "0 to 10000000", "did you mean 12.50?"},
      {"\"EUR 7.5 each\"", "\"EUR 7.5 each\" is not a number", "0 to 10000000",
       "did you mean 7.5?"},
      {"\"1.250,00\"", "\"1.250,00\" is not a number", "0 to 10000000", kLeaveOut},
      {"\"cheap\"", "\"cheap\" is not a number", "0 to 10000000", kLeaveOut},
      {"1.00005", "1.00005 has too many decimals", "up to 4 decimals", "did you mean 1.0001?"}};
  for (const Wrong& wrong : all) {
    const auto problems =
        readPrices("{\n  \"items\": { \"track wheel\": " + std::string(wrong.value) + " }}",
                   "p.json")
            .problems;
    ASSERT_EQ(problems.size(), 1U) << wrong.value;
    EXPECT_EQ(problems.front().pointer, "/items/track wheel");
    EXPECT_EQ(problems.front().line, 2);
    EXPECT_EQ(problems.front().column, 29);
    EXPECT_EQ(problems.front().message, wrong.message);
    EXPECT_NE(problems.front().allowed.find(wrong.allowed), std::string::npos)
        << problems.front().allowed;
    EXPECT_EQ(problems.front().suggestion, wrong.suggestion);
  }
  EXPECT_TRUE(readPrices("{\"per_m\": {\"timber 120x28\": 3.5, \"flat 35x15\": 0}}", "p.json")
                  .problems.empty());
}

}  // namespace
}  // namespace leafstack
