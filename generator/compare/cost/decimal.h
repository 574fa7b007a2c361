// Money, prices and quantities in decimal: whole numbers of their smallest unit, so that no sum
// hangs on a binary fraction. Rounding is half away from zero, once, where a quantity meets its
// price; sums are exact.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace leafstack {

inline constexpr int kMoneyDecimals = 2, kPriceDecimals = 4, kAmountDecimals = 3;

/// In hundredths of the currency, whatever it is.
struct Money {
  std::int64_t cents = 0;
  Money& operator+=(Money other) {
    cents += other.cents;
    return *this;
  }
  friend Money operator+(Money one, Money other) { return one += other; }
  auto operator<=>(const Money&) const = default;
};

/// For one unit, or of a hundred in per cent: in ten-thousandths.
struct Price {
  std::int64_t parts = 0;
  auto operator<=>(const Price&) const = default;
};

/// Of kg, m, m2, m3, hours or pieces: in thousandths.
struct Amount {
  std::int64_t parts = 0;
  auto operator<=>(const Amount&) const = default;
};

/// A decimal as JSON writes numbers ("3", "-0.5", "1e3") in units of 10^-decimals. Nothing where it
/// has more decimals than that, or 16 digits or more.
std::optional<std::int64_t> scaledDecimal(std::string_view token, int decimals);

/// To the thousandth; |value| up to 1e12.
Amount amountOf(double value);

Money costOf(Amount amount, Price price);
/// Of so many at so much each: count x each, to the thousandth.
Amount times(Amount count, Price each);
/// `percent` of a sum.
Money shareOf(Money sum, Price percent);

/// "-12.30": a point, all decimals.
std::string inDecimal(std::int64_t parts, int decimals);
std::string inDecimal(Money money);
std::string inDecimal(Amount amount);
/// At least two decimals, more only where they are not 0: "3.20", "0.0125".
std::string inDecimal(Price price);
/// The nearest double, for JSON and charts: never for adding up.
double inUnits(Money money);
double inUnits(Amount amount);
double inUnits(Price price);

}  // namespace leafstack
