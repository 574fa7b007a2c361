// CSV, JSON, hashes, times and rounding: formats read back by code that did not write them.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "exporters/bytes/csv.h"
#include "exporters/bytes/export_error.h"
#include "exporters/bytes/rounding.h"
#include "exporters/bytes/sha256.h"
#include "exporters/bytes/timestamp.h"
#include "exporters/folder/manifest.h"
#include "exporters/lists/tables.h"

namespace leafstack {
namespace {

using Rows = std::vector<std::vector<std::string>>;

/// RFC 4180, by a small state machine of the test's own.
Rows parseCsv(const std::string& text) {
  Rows rows(1, {""});
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
        rows.back().back() += text[++i];
      } else if (c == '"') {
        quoted = false;
      } else {
        rows.back().back() += c;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      rows.back().push_back("");
    } else if (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n') {
      ++i;
      rows.push_back({""});
    } else {
      rows.back().back() += c;
    }
  }
  EXPECT_FALSE(quoted);
  EXPECT_EQ(rows.back(), std::vector<std::string>{""}) << "the last line ends with CRLF";
  rows.pop_back();
  return rows;
}

TEST(Csv, AwkwardTextsRoundTrip) {
  const std::vector<std::string> fields = {"plain",         "a,b",           "say \"hello\"",
                                           "two\nlines",    "two\r\nlines",  "",
                                           " spaces kept ", "Überlänge, 門", "\""};
  EXPECT_EQ(parseCsv(csvLine(fields)), Rows{fields});
}

TEST(Csv, SpreadsheetsSeeNoFormula) {
  EXPECT_EQ(csvField("=1+1"), "'=1+1");
  for (const char* text :
       {"-1-1", "-1.2.3", "+1", "-", "-.", "-5 in elevation=1", "\t=1", "\uFF1D1"}) {
    EXPECT_EQ(csvField(text), std::string("'") + text);
  }
  for (const char* number : {"-5", "-0.25", "-4.57 in elevation", "12"}) {
    EXPECT_EQ(csvField(number), number);
  }
  EXPECT_EQ(csvField("@SUM(A1,A2)"), "\"'@SUM(A1,A2)\"");
  EXPECT_EQ(csvField("a=b"), "a=b");
}

TEST(Csv, CutListHasOneRowPerMarkWithUnits) {
  Schedules schedules;
  CutRow row;
  row.mark = "TR1";
  row.name = "top rail";
  row.section = "SHS 50x50x3";
  row.material = "steel";
  row.panels = "1, 2";
  row.quantity = 2;
  row.length_mm = 3079.9999999;
  row.ends = {EndCut{0, ""}, EndCut{4.5, "elevation"}};
  row.mass_kg = 13.0834;
  row.cutouts = "slot 90 x 20 at 44, hole 12 at 100";
  row.file = "parts/tube/TR1.step";
  schedules.cut_list = {row};
  const Rows rows = parseCsv(cutListCsv(schedules));
  ASSERT_EQ(rows.size(), 2U);
  ASSERT_EQ(rows[0].size(), rows[1].size());
  EXPECT_EQ(rows[1], (std::vector<std::string>{"TR1", "top rail", "SHS 50x50x3", "steel", "1, 2",
                                               "2", "3080.00", "0", "4.50 in elevation", "13.083",
                                               "26.167", "slot 90 x 20 at 44, hole 12 at 100",
                                               "parts/tube/TR1.step"}));
  EXPECT_EQ(rows[0][6], "length_mm");
}

TEST(Csv, BillTotalsAreQuantityTimesOne) {
  Schedules schedules;
  schedules.bill = {{"WH1", "wheel", "100 mm, 20 mm track", "steel", "bought", 4, 100, 1.2345}};
  const Rows rows = parseCsv(billCsv(schedules));
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[1], (std::vector<std::string>{"WH1", "wheel", "100 mm, 20 mm track", "steel",
                                               "bought", "4", "100.0", "1.234", "4.938"}));
}

TEST(Rounding, HidesWhatArithmeticLeaves) {
  EXPECT_EQ(roundedToMillionth(2999.9999999), 3000);
  EXPECT_EQ(roundedToMillionth(0.1 + 0.2), 0.3);
  EXPECT_EQ(roundedToMillionth(1.5e-6), 2e-6);
  EXPECT_FALSE(std::signbit(roundedToMillionth(-1e-9)));
  EXPECT_EQ(roundedToMillionth(123456789012345.678), 123456789012345.678);
  EXPECT_THROW(roundedToMillionth(std::nan("")), ExportError);
  EXPECT_THROW(roundedToMillionth(INFINITY), ExportError);
  EXPECT_EQ(fixedDecimals(-0.004, 1), "0.0");
  EXPECT_EQ(fixedDecimals(-0.06, 1), "-0.1");
}

// FIPS 180-4 examples (NIST "SHA256.pdf", and the one million a's of FIPS 180-2 B.3).
TEST(Sha256, PublishedVectors) {
  EXPECT_EQ(sha256Hex(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(sha256Hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256Hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256Hex(std::string(1'000'000, 'a')),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Timestamp, FormsAreMadeOne) {
  EXPECT_EQ(normalTimestamp("2024-05-01T12:00:00Z"), "2024-05-01T12:00:00Z");
  EXPECT_EQ(normalTimestamp("2024-05-01"), "2024-05-01T00:00:00Z");
  EXPECT_EQ(normalTimestamp("2024-05-01 07:30"), "2024-05-01T07:30:00Z");
  EXPECT_EQ(normalTimestamp("2024-05-01T00:30:00+02:00"), "2024-04-30T22:30:00Z");
  EXPECT_EQ(normalTimestamp("2024-12-31T23:00:00-0130"), "2025-01-01T00:30:00Z");
  for (const char* wrong : {"", "yesterday", "2024-02-30", "2024-13-01", "2024-05-01T25:00:00Z",
                            "2024-05-01T12:00:00Zx", "24-05-01"}) {
    EXPECT_FALSE(normalTimestamp(wrong)) << wrong;
  }
}

TEST(Timestamp, Epoch) {
  EXPECT_EQ(timestampOfEpoch("0"), "1970-01-01T00:00:00Z");
  EXPECT_EQ(timestampOfEpoch("951782400"), "2000-02-29T00:00:00Z");
  for (const char* wrong : {"", "-1", "1.5", "12x", "99999999999999999999"}) {
    EXPECT_FALSE(timestampOfEpoch(wrong)) << wrong;
  }
  EXPECT_TRUE(normalTimestamp(timestampNow()));
}

TEST(Manifest, OthersAreNotOurs) {
  for (const char* text :
       {"", "{", "[]", "{}", R"({"program":"other","files":[]})", R"({"program":3})"}) {
    EXPECT_FALSE(readManifest(text).is_ours) << text;
  }
}

}  // namespace
}  // namespace leafstack
