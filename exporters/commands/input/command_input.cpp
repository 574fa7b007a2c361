#include "exporters/commands/input/command_input.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "exporters/bytes/sha256.h"
#include "exporters/cad/bcf/remarks.h"
#include "generator/surroundings/surroundings.h"
#include "params/explain.h"
#include "params/reading/text.h"

namespace leafstack {

void tell(const std::string& line) {
  std::cerr << escaped(line) << "\n";
}

void print(const std::string& data) {
  std::cout << data << std::flush;
  if (!std::cout) {
    throw Stop{kNotWritten, {"standard output could not be written"}};
  }
}

namespace {

/// "; did you mean drive.json?": of the same folder.
std::string nearestFile(const std::filesystem::path& path) {
  namespace fs = std::filesystem;
  std::error_code error;
  std::vector<std::string> names;
  const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
  for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
       entry.increment(error)) {
    if (entry->path().extension() == ".json") {
      names.push_back(entry->path().filename().string());
    }
  }
  std::sort(names.begin(), names.end());
  const std::string wanted = path.filename().string();
  const bool has_ending = path.extension() == ".json";
  const std::string nearest = nearestName(has_ending ? wanted : wanted + ".json", names);
  return nearest.empty() ? "" : "; did you mean " + (path.parent_path() / nearest).string() + "?";
}

}  // namespace

std::vector<Override> overridesFrom(const Options& options) {
  std::vector<Override> overrides;
  for (const std::string& text : options.sets) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos || text.front() != '/') {
      const std::string key = text.substr(0, equals);
      const std::string meant =
          equals == std::string::npos || key.empty() ? "" : "; " + nearestKeys(key);
      throw Stop{kWrongUsage,
                 {"--set " + text + ": expected /json/pointer=value, as in /site/opening_mm=6000" +
                  meant}};
    }
    overrides.push_back({text.substr(0, equals), text.substr(equals + 1)});
  }
  return overrides;
}

HardwareInput hardwareFrom(const Options& options, const std::string& chosen) {
  HardwareInput input;
  input.chosen = chosen;
  if (options.input != "-") {
    input.gate_folder = std::filesystem::path(options.input).parent_path().string();
  }
  input.read = [&options](const std::string& path) {
    const auto known = options.hardware_files.find(path);
    if (known != options.hardware_files.end()) {
      return known->second;
    }
    FileText file;
    try {
      file.text = readInput(path, kMaxHardwareFileBytes + 1);
    } catch (const Stop& stop) {
      file.fault = stop.lines.front();
    }
    return options.hardware_files.emplace(path, std::move(file)).first->second;
  };
  input.read_surroundings = [&options](const std::string& path, const std::string& unit) {
    namespace fs = std::filesystem;
    std::error_code error;  // what is wrong with the file, reading it tells
    KeptSurrounding now;
    now.written = fs::last_write_time(path, error);
    now.bytes = fs::file_size(path, error);
    KeptSurrounding& kept = options.surrounding_files[{path, unit}];
    if (kept.file.shapes && kept.written == now.written && kept.bytes == now.bytes) {
      return kept.file;
    }
    try {
      if (fs::exists(path, error) && !fs::is_directory(path, error) &&
          !fs::is_regular_file(path, error)) {
        throw Stop{kInvalidInput, {path + ": is a pipe or a device, no file"}};
      }
      const std::string text = readInput(path, kMostSurroundingBytes + 1);
      now.sha256 = sha256Hex(text);
      now.file = readShapes(text, path, unit);
    } catch (const Stop& stop) {
      now.file.fault = stop.lines.front();
    }
    kept = std::move(now);
    return kept.file;
  };
  return input;
}

HardwareInput hardwareFrom(const Options& options) {
  return hardwareFrom(options, options.hardware.empty() ? "" : options.hardware.front());
}

std::vector<Override> shelfOf(const ResolvedGate& gate) {
  std::vector<Override> shelf;
  for (const ResolvedValue& value : gate.values) {
    if (value.pointer.starts_with("/hardware/") && value.pointer != "/hardware/set" &&
        value.origin != Origin::kDefault) {
      shelf.push_back({value.pointer, value.value.dump()});
    }
  }
  if (!shelf.empty()) {
    shelf.insert(shelf.begin(), {"/hardware", "{}"});
  }
  return shelf;
}

std::string readInput(const std::string& path, std::size_t most) {
  namespace fs = std::filesystem;
  std::ifstream file;
  if (path != "-") {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status)) {
      throw Stop{kInvalidInput, {path + ": no such file" + nearestFile(path)}};
    }
    if (fs::is_directory(status)) {
      throw Stop{kInvalidInput, {path + ": is a folder, not a file"}};
    }
    file.open(path, std::ios::binary);
    if (!file) {
      throw Stop{kInvalidInput, {path + ": cannot be read"}};
    }
  }
  std::istream& in = path == "-" ? std::cin : file;
  std::string text;
  std::string chunk(std::size_t{1} << 16, '\0');
  while (in && text.size() < most) {
    in.read(chunk.data(), static_cast<std::streamsize>(std::min(chunk.size(), most - text.size())));
    text.append(chunk, 0, static_cast<std::size_t>(in.gcount()));
  }
  if (in.bad()) {
    throw Stop{kInvalidInput, {path + ": cannot be read"}};
  }
  return text;
}

InputFiles inputsOf(const Options& options) {
  InputFiles inputs;
  for (const std::string& name : {options.input, options.against, options.prices}) {
    if (!name.empty()) {
      inputs.add(name);
    }
  }
  for (const std::string& name : options.remarks) {
    inputs.add(name);
  }
  for (const auto& [path, file] : options.hardware_files) {
    inputs.add(path);
  }
  for (const auto& [drawn, file] : options.surrounding_files) {
    inputs.add(drawn.first);
  }
  return inputs;
}

std::optional<std::vector<Remark>> remarksFrom(const Options& options) {
  std::vector<Remark> remarks;
  Stop stop{kInvalidInput, {}};
  for (const std::string& name : options.remarks) {
    const std::string bytes = readInput(name, kMostRemarkBytes + 1);
    if (bytes.size() > kMostRemarkBytes) {
      stop.lines.push_back(name + ": is larger than 32 MB");
      continue;
    }
    ReadRemarks read = readRemarks(bytes, name);
    stop.lines.insert(stop.lines.end(), read.problems.begin(), read.problems.end());
    for (Remark& one : read.remarks) {
      std::erase_if(remarks, [&](const Remark& known) { return known.guid == one.guid; });
      remarks.push_back(std::move(one));
    }
  }
  if (!stop.lines.empty()) {
    throw stop;
  }
  return options.remarks.empty() ? std::nullopt : std::optional(std::move(remarks));
}

void demandNone(std::vector<Diagnostic> problems, const std::vector<Diagnostic>& more) {
  problems.insert(problems.end(), more.begin(), more.end());
  if (problems.empty()) {
    return;
  }
  Stop stop{kInvalidInput, {}};
  for (const Diagnostic& problem : problems) {
    stop.lines.push_back(toString(problem));
  }
  throw stop;
}

std::string sourceName(const std::string& path) {
  return path == "-" ? "<stdin>" : path;
}

void demand(bool is_right, const std::string& complaint) {
  if (!is_right) {
    throw Stop{kWrongUsage, {complaint}};
  }
}

}  // namespace leafstack
