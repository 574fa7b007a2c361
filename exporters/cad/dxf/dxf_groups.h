// Group codes of a DXF file as they are written.
#pragma once

#include <string>
#include <string_view>

#include "exporters/cad/dxf/dxf_model.h"

namespace leafstack {

/// ASCII, with \U+XXXX for the rest; no line breaks or other control characters.
std::string dxfText(std::string_view text);

/// Writes group codes and hands out handles.
class DxfGroups {
 public:
  explicit DxfGroups(DxfVersion version) : version_(version) {}

  bool isR2000() const { return version_ == DxfVersion::kR2000; }

  void add(int code, std::string_view value);
  void add(int code, int value) { add(code, std::string_view(std::to_string(value))); }
  /// Shortest decimal of a value rounded to a millionth, always with a point.
  void real(int code, double value);
  void point(int code, double x, double y);
  /// Only R2000 knows subclasses, handles and owners.
  void subclass(std::string_view name);
  std::string handle(int code = 5);
  void owner(std::string_view handle);
  void begin(std::string_view section);
  void end() { add(0, "ENDSEC"); }

  unsigned next() const { return next_; }
  std::string& text() { return text_; }

 private:
  DxfVersion version_;
  unsigned next_ = 0x20;
  std::string text_;
};

// Handles that others refer to before they are written.
inline constexpr std::string_view kDxfModelSpace = "1", kDxfPaperSpace = "2", kDxfRoot = "3",
                                  kDxfGroupsDict = "4";

}  // namespace leafstack
