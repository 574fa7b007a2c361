// Money in decimal, against sums done by hand that binary fractions get wrong.
#include <gtest/gtest.h>

#include "generator/compare/cost/decimal.h"

namespace leafstack {
namespace {

TEST(Decimal, ReadsWhatJsonWrites) {
  struct Case {
    const char* token;
    std::optional<std::int64_t> parts;  // of a ten-thousandth
  };
  for (const auto& [token, parts] :
       {Case{"3", 30000}, Case{"0.1", 1000}, Case{"-0.5", -5000}, Case{"1e3", 10000000},
        Case{"12.50e-2", 1250}, Case{"0", 0}, Case{"0.00000", 0}, Case{"0.1234", 1234},
        Case{"0.12345", std::nullopt}, Case{"1e-5", std::nullopt}, Case{"1e400", std::nullopt},
        Case{"99999999999999", std::nullopt}, Case{"10000000", 100000000000}}) {
    EXPECT_EQ(scaledDecimal(token, kPriceDecimals), parts) << token;
  }
}

// 1.005 x 1.00 and 2.675 x 1.00 round down in binary; half goes up here. By hand.
TEST(Decimal, RoundsHalfAwayFromZero) {
  EXPECT_EQ(costOf(Amount{1005}, Price{10000}), Money{101});
  EXPECT_EQ(costOf(Amount{2675}, Price{10000}), Money{268});
  EXPECT_EQ(costOf(Amount{1004}, Price{10000}), Money{100});
  EXPECT_EQ(costOf(Amount{3}, Price{10000}), Money{0});
  EXPECT_EQ(costOf(Amount{5}, Price{10000}), Money{1});
  EXPECT_EQ(shareOf(Money{1050}, Price{100000}), Money{105});  // 10 %
  EXPECT_EQ(shareOf(Money{5}, Price{100000}), Money{1});       // half a cent
  EXPECT_EQ(shareOf(Money{-5}, Price{100000}), Money{-1});
  EXPECT_EQ(times(Amount{3000}, Price{3333}), Amount{1000});  // 3 x 0.3333 h = 0.9999 h
}

TEST(Decimal, TheGreatestPriceTimesAGreatQuantityDoesNotOverflow) {
  EXPECT_EQ(costOf(Amount{1'000'000'000}, Price{100'000'000'000}),
            Money{1'000'000'000'000'000});  // 1e6 x 1e7
}

TEST(Decimal, InWords) {
  EXPECT_EQ(inDecimal(Money{0}), "0.00");
  EXPECT_EQ(inDecimal(Money{-5}), "-0.05");
  EXPECT_EQ(inDecimal(Money{123456}), "1234.56");
  EXPECT_EQ(inDecimal(Amount{1}), "0.001");
  EXPECT_EQ(inDecimal(Price{32000}), "3.20");
  EXPECT_EQ(inDecimal(Price{125}), "0.0125");
}

}  // namespace
}  // namespace leafstack
