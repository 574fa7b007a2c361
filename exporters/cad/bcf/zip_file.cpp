#include "exporters/cad/bcf/zip_file.h"

#include <zip.h>

#include <charconv>
#include <cstdint>
#include <memory>
#include <string_view>

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

// Zip files keep MS-DOS times: years from 1980 in 7 bits, and no time zone.
constexpr int kFirstYear = 1980;
constexpr int kLastYear = kFirstYear + 127;
// 12:00:00. The library goes through the machine's local time; clocks are never changed at noon, so
// the zone leaves no trace.
constexpr std::uint16_t kNoon = 12 << 11;

[[noreturn]] void fail(const char* what) {
  throw ExportError(std::string("zip: ") + what);
}

int numberAt(std::string_view text, std::size_t at, std::size_t digits) {
  int value = 0;
  if (text.size() >= at + digits) {
    std::from_chars(text.data() + at, text.data() + at + digits, value);
  }
  return value;
}

std::uint16_t dosDate(const std::string& timestamp) {
  const int year = numberAt(timestamp, 0, 4);
  if (year < kFirstYear || year > kLastYear) {
    return 1 << 5 | 1;
  }
  return static_cast<std::uint16_t>((year - kFirstYear) << 9 | numberAt(timestamp, 5, 2) << 5 |
                                    numberAt(timestamp, 8, 2));
}

struct Discard {
  void operator()(zip_t* archive) const { zip_discard(archive); }
  void operator()(zip_source_t* source) const { zip_source_free(source); }
};
using Archive = std::unique_ptr<zip_t, Discard>;
using Source = std::unique_ptr<zip_source_t, Discard>;

void addEntry(zip_t* archive, const ZipEntry& entry, std::uint16_t date) {
  zip_source_t* const contents =
      zip_source_buffer(archive, entry.contents.data(), entry.contents.size(), /*freep=*/0);
  if (contents == nullptr) {
    fail(zip_strerror(archive));
  }
  const zip_int64_t index = zip_file_add(archive, entry.path.c_str(), contents, ZIP_FL_ENC_UTF_8);
  if (index < 0) {
    zip_source_free(contents);
    fail(zip_strerror(archive));
  }
  const auto at = static_cast<zip_uint64_t>(index);
  if (zip_set_file_compression(archive, at, ZIP_CM_STORE, 0) != 0 ||
      zip_file_set_dostime(archive, at, kNoon, date, 0) != 0) {
    fail(zip_strerror(archive));
  }
}

std::string readAll(zip_source_t* source) {
  if (zip_source_open(source) != 0) {
    fail("the archive cannot be read back");
  }
  std::string bytes;
  char block[1 << 14];
  zip_int64_t count = 0;
  while ((count = zip_source_read(source, block, sizeof block)) > 0) {
    bytes.append(block, static_cast<std::size_t>(count));
  }
  zip_source_close(source);
  if (count < 0) {
    fail("the archive cannot be read back");
  }
  return bytes;
}

}  // namespace

std::string zipFile(const std::vector<ZipEntry>& entries, const std::string& timestamp) {
  zip_error_t error;
  zip_error_init(&error);
  const Source target(zip_source_buffer_create(nullptr, 0, 0, &error));
  if (!target) {
    fail("no memory");
  }
  Archive archive(zip_open_from_source(target.get(), ZIP_TRUNCATE, &error));
  if (!archive) {
    fail("the archive cannot be opened");
  }
  zip_source_keep(target.get());  // closing the archive lets go of it once
  for (const ZipEntry& entry : entries) {
    addEntry(archive.get(), entry, dosDate(timestamp));
  }
  if (zip_close(archive.get()) != 0) {
    fail(zip_strerror(archive.get()));
  }
  (void)archive.release();  // closed
  return readAll(target.get());
}

}  // namespace leafstack
