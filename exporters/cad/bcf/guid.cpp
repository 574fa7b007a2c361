#include "exporters/cad/bcf/guid.h"

#include <charconv>

#include "exporters/bytes/sha256.h"

namespace leafstack {
namespace {

/// The 32 hexadecimal digits of a UUID, without its hyphens.
std::string digitsOf(std::string_view guid) {
  std::string digits;
  for (const char c : guid) {
    if (c != '-') {
      digits += c;
    }
  }
  return digits;
}

unsigned hexValue(std::string_view digits) {
  unsigned value = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value, 16);
  return value;
}

}  // namespace

std::string nameGuid(std::string_view scope, std::string_view name) {
  // A line feed stands in neither, so no two pairs run together into the same text.
  std::string digits = sha256Hex(std::string(scope) + "\n" + std::string(name)).substr(0, 32);
  digits[12] = '8';                                                     // version: made our own way
  digits[16] = "89ab"[hexValue(std::string_view(&digits[16], 1)) % 4];  // variant: RFC 9562
  for (const std::size_t hyphen : {8U, 13U, 18U, 23U}) {
    digits.insert(hyphen, 1, '-');
  }
  return digits;
}

std::string ifcGuid(std::string_view guid) {
  static constexpr std::string_view kDigits =
      "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$";
  // 22 digits of 6 bits are 132 bits: one leading zero to make whole groups of 12.
  const std::string digits = "0" + digitsOf(guid);
  std::string text;
  for (std::size_t at = 0; at + 3 <= digits.size(); at += 3) {
    const unsigned group = hexValue(std::string_view(digits).substr(at, 3));
    text += kDigits[group / 64];
    text += kDigits[group % 64];
  }
  return text;
}

std::string jobScope(const JobSpec& job) {
  return "job " + (job.number.empty() ? job.title : job.number);
}

std::string instanceIfcGuid(const JobSpec& job, const std::string& instance_name) {
  return ifcGuid(nameGuid(jobScope(job), "instance " + instance_name));
}

}  // namespace leafstack
