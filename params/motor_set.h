// The motors of a shelf, by name: what each of its texts says of them, and what comes of it.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/table/parameter.h"

namespace leafstack {

/// Most motors of a shelf: comparisons try every one.
inline constexpr std::size_t kMostMotors = 12;

class MotorSet {
 public:
  explicit MotorSet(Reporter& reporter) : reporter_(reporter) {}

  /// Notes one text's motors, an object of objects; texts of a later `layer` stand above. Every
  /// value is looked at, those too that a later text replaces. `shared`: for defaults.
  void collect(const std::string& pointer, const JsonNode& motors, int layer,
               const GateSpec& shared);

  struct Value {
    const JsonNode* node = nullptr;
    int layer = 0;
  };
  /// By the row of /drive/motor or /hardware/motor that it stands for.
  using Values = std::map<std::string_view, Value>;
  /// Null: there is no such motor.
  const Values* find(std::string_view name) const;
  std::vector<std::string> names() const;  ///< in the order that texts first name them

  /// A motor with what it shares with others (/hardware/motor of `spec`) where it says nothing
  /// itself, or says it in an earlier text than `layer_of` says the shared value stands in.
  NamedMotor made(std::string_view name, const GateSpec& spec,
                  const std::function<int(std::string_view)>& layer_of) const;

 private:
  struct Motor {
    std::string name;
    Values values;
  };
  Motor* motorFor(const std::string& pointer, const JsonNode& member);
  void collectOne(const std::string& pointer, const JsonNode& object, int layer,
                  const GateSpec& shared, Motor& motor);

  Reporter& reporter_;
  std::vector<Motor> motors_;
};

/// The rows that a motor is made of: those below /drive/motor, then those below /hardware/motor.
const std::vector<const Parameter*>& motorRows();

}  // namespace leafstack
