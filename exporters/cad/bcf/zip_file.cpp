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

std::vector<ZipEntry> zipEntries(const std::string& bytes, std::size_t most_bytes) {
  constexpr zip_int64_t kMostEntries = 20'000;
  zip_error_t error;
  zip_error_init(&error);
  Source source(zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error));
  if (!source) {
    fail("no memory");
  }
  const Archive archive(zip_open_from_source(source.get(), ZIP_RDONLY, &error));
  if (!archive) {
    fail(zip_error_strerror(&error));
  }
  (void)source.release();  // the archive's
  const zip_int64_t count = zip_get_num_entries(archive.get(), 0);
  if (count > kMostEntries) {
    fail("too many files");
  }
  std::vector<ZipEntry> entries;
  std::size_t total = 0;
  for (zip_uint64_t i = 0; i < static_cast<zip_uint64_t>(count); ++i) {
    zip_stat_t about;
    zip_stat_init(&about);
    if (zip_stat_index(archive.get(), i, 0, &about) != 0 || (about.valid & ZIP_STAT_SIZE) == 0) {
      fail("a file that cannot be read");
    }
    total += about.size;
    if (about.size > most_bytes || total > most_bytes) {
      fail("its files are too large");
    }
    ZipEntry entry{about.name, std::string(about.size, '\0')};
    if (entry.path.ends_with('/')) {
      continue;
    }
    zip_file_t* const file = zip_fopen_index(archive.get(), i, 0);
    const bool is_whole = file != nullptr && zip_fread(file, entry.contents.data(), about.size) ==
                                                 static_cast<zip_int64_t>(about.size);
    if (file == nullptr || zip_fclose(file) != 0 || !is_whole) {
      fail("a file that cannot be read");
    }
    entries.push_back(std::move(entry));
  }
  return entries;
}

}  // namespace leafstack
