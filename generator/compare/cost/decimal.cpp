#include "generator/compare/cost/decimal.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace leafstack {
namespace {

constexpr std::size_t kMostDecimalDigits = 15;
constexpr long kMostExponent = 30;

std::int64_t powerOfTen(int exponent) {
  std::int64_t power = 1;
  for (int i = 0; i < exponent; ++i) {
    power *= 10;
  }
  return power;
}

/// Half away from zero. The product of a quantity and a price is wider than 64 bits.
std::int64_t dividedRounding(__int128 value, std::int64_t divisor) {
  const __int128 half = divisor / 2;
  return static_cast<std::int64_t>((value < 0 ? value - half : value + half) / divisor);
}

}  // namespace

std::optional<std::int64_t> scaledDecimal(std::string_view token, int decimals) {
  const bool is_negative = token.starts_with('-');
  token.remove_prefix(is_negative ? 1 : 0);
  long exponent = 0;
  const std::size_t e = token.find_first_of("eE");
  if (e != std::string_view::npos) {
    const std::string written(token.substr(e + 1));
    exponent = std::strtol(written.c_str(), nullptr, 10);
    token = token.substr(0, e);
  }
  if (std::labs(exponent) > kMostExponent) {
    return std::nullopt;
  }
  std::string digits;
  const std::size_t point = token.find('.');
  for (const char c : token) {
    if (c >= '0' && c <= '9') {
      digits += c;
    } else if (c != '.') {
      return std::nullopt;
    }
  }
  if (digits.empty()) {
    return std::nullopt;
  }
  const long after =
      point == std::string_view::npos ? 0 : static_cast<long>(token.size() - point - 1);
  // Zeros to be added behind; where negative, digits that must be zeros to be dropped.
  long zeros = decimals - after + exponent;
  while (zeros < 0 && !digits.empty()) {
    if (digits.back() != '0') {
      return std::nullopt;
    }
    digits.pop_back();
    ++zeros;
  }
  digits.erase(0, digits.find_first_not_of('0'));
  if (digits.empty()) {
    return 0;
  }
  digits.append(static_cast<std::size_t>(std::max(0L, zeros)), '0');
  if (digits.size() > kMostDecimalDigits) {
    return std::nullopt;
  }
  const std::int64_t value = std::strtoll(digits.c_str(), nullptr, 10);
  return is_negative ? -value : value;
}

Amount amountOf(double value) {
  return {std::llround(value * 1000)};
}

Money costOf(Amount amount, Price price) {
  return {dividedRounding(static_cast<__int128>(amount.parts) * price.parts,
                          powerOfTen(kAmountDecimals + kPriceDecimals - kMoneyDecimals))};
}

Amount times(Amount count, Price each) {
  return {
      dividedRounding(static_cast<__int128>(count.parts) * each.parts, powerOfTen(kPriceDecimals))};
}

Money shareOf(Money sum, Price percent) {
  return {dividedRounding(static_cast<__int128>(sum.cents) * percent.parts,
                          100 * powerOfTen(kPriceDecimals))};
}

std::string inDecimal(std::int64_t parts, int decimals) {
  std::string digits = std::to_string(std::llabs(parts));
  const std::size_t least = static_cast<std::size_t>(decimals) + 1;
  if (digits.size() < least) {
    digits.insert(0, least - digits.size(), '0');
  }
  if (decimals > 0) {
    digits.insert(digits.size() - static_cast<std::size_t>(decimals), 1, '.');
  }
  return (parts < 0 ? "-" : "") + digits;
}

std::string inDecimal(Money money) {
  return inDecimal(money.cents, kMoneyDecimals);
}

std::string inDecimal(Amount amount) {
  return inDecimal(amount.parts, kAmountDecimals);
}

std::string inDecimal(Price price) {
  std::string text = inDecimal(price.parts, kPriceDecimals);
  for (int i = kMoneyDecimals; i < kPriceDecimals && text.back() == '0'; ++i) {
    text.pop_back();
  }
  return text;
}

double inUnits(Money money) {
  return static_cast<double>(money.cents) / static_cast<double>(powerOfTen(kMoneyDecimals));
}

double inUnits(Amount amount) {
  return static_cast<double>(amount.parts) / static_cast<double>(powerOfTen(kAmountDecimals));
}

double inUnits(Price price) {
  return static_cast<double>(price.parts) / static_cast<double>(powerOfTen(kPriceDecimals));
}

}  // namespace leafstack
