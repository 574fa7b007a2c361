#include "params/overrides.h"

#include <charconv>
#include <optional>

#include "params/reading/json_scan.h"
#include "params/reading/text.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

// An index longer than this cannot be meant; 9 digits always fit.
constexpr std::size_t kMostIndexDigits = 9;

/// The pointer's unescaped tokens (RFC 6901), or what is wrong with it.
struct PointerTokens {
  std::vector<std::string> tokens;
  std::optional<Complaint> fault;
};

PointerTokens splitPointer(std::string_view pointer) {
  PointerTokens out;
  if (!pointer.starts_with('/')) {
    out.fault = Complaint{inQuotes(pointer) + " is not a JSON pointer: it must start with \"/\"",
                          "", "write it as /site/opening_mm=6000"};
    return out;
  }
  for (std::size_t i = 0; i < pointer.size(); ++i) {
    const char c = pointer[i];
    if (c == '/') {
      out.tokens.emplace_back();
    } else if (c != '~') {
      out.tokens.back() += c;
    } else if (i + 1 < pointer.size() && (pointer[i + 1] == '0' || pointer[i + 1] == '1')) {
      out.tokens.back() += pointer[++i] == '0' ? '~' : '/';
    } else {
      out.fault =
          Complaint{inQuotes(pointer) + " is not a JSON pointer: ~ must be followed by 0 or 1", "",
                    "write ~ as ~0"};
      return out;
    }
  }
  if (out.tokens.size() > kMaxNesting) {
    out.fault =
        Complaint{"the pointer is deeper than " + std::to_string(kMaxNesting) + " levels", "", ""};
  }
  return out;
}

void markOverridden(JsonNode& node) {
  node.from_override = true;
  node.place = {};
  node.key_place = {};
  for (JsonNode& child : node.children) {
    markOverridden(child);
  }
}

/// The value as JSON, else as text.
JsonNode overrideValue(const std::string& value, std::string_view pointer, Reporter& reporter) {
  JsonText parsed = parseJson(value, kOverrideSource);
  const Parameter* row = findParameter(pointer);
  const bool is_words = row != nullptr && row->kind == Kind::kText;
  if (!parsed.complete || (is_words && parsed.root.kind != JsonKind::kText)) {
    parsed.complete = false;
    JsonNode text;
    text.kind = JsonKind::kText;
    text.text = value;
    parsed.root = std::move(text);
  }
  for (Diagnostic& problem : parsed.problems) {
    if (parsed.complete) {  // a key given twice
      reporter.addOverride(std::string(pointer) + problem.pointer, {problem.message, "", ""});
    }
  }
  markOverridden(parsed.root);
  return parsed.root;
}

/// The list element a token addresses, appended where it is the next one; null if there is none.
JsonNode* element(JsonNode& list, const std::string& token) {
  std::size_t index = list.children.size();
  if (token != "-") {
    const bool digits = !token.empty() && token.size() <= kMostIndexDigits &&
                        token.find_first_not_of("0123456789") == std::string::npos &&
                        (token == "0" || token[0] != '0');
    if (!digits) {
      return nullptr;
    }
    std::from_chars(token.data(), token.data() + token.size(), index);
  }
  if (index > list.children.size()) {
    return nullptr;
  }
  if (index == list.children.size()) {
    list.children.emplace_back().from_override = true;
  }
  return &list.children[index];
}

JsonNode* memberOrNew(JsonNode& object, const std::string& token) {
  if (JsonNode* known = object.member(token)) {
    return known;
  }
  JsonNode& added = object.children.emplace_back();
  added.key = token;
  added.kind = JsonKind::kObject;
  added.from_override = true;
  return &added;
}

/// The node a pointer addresses, created as needed; null after reporting why there is none.
JsonNode* resolve(const std::string& pointer, const std::vector<std::string>& tokens,
                  JsonNode& root, Reporter& reporter) {
  JsonNode* node = &root;
  std::string so_far;
  for (const std::string& token : tokens) {
    if (node->kind == JsonKind::kObject) {
      node = memberOrNew(*node, token);
    } else if (node->kind == JsonKind::kArray) {
      const std::size_t count = node->children.size();
      node = element(*node, token);
      if (node == nullptr) {
        reporter.addOverride(
            pointer, {inQuotes(token) + " is not an index into the list at " + oneLine(so_far) +
                          ", which has " + std::to_string(count) + " entries",
                      "0 to " + std::to_string(count), ""});
        return nullptr;
      }
    } else {
      reporter.addOverride(pointer, {oneLine(so_far) + " is " + describe(*node) +
                                         ", which holds no " + inQuotes(token),
                                     "", "set " + oneLine(so_far) + " as a whole"});
      return nullptr;
    }
    so_far = childPointer(so_far, token);
  }
  return node;
}

}  // namespace

void applyOverrides(std::span<const Override> overrides, JsonNode& root, Reporter& reporter) {
  for (const Override& item : overrides) {
    if (findEncodingFault(item.pointer) || findEncodingFault(item.value)) {
      reporter.addOverride("", {"--set " + inQuotes("...") + " is not valid UTF-8 text", "", ""});
      continue;
    }
    const PointerTokens pointer = splitPointer(item.pointer);
    if (pointer.fault) {
      reporter.addOverride(item.pointer, *pointer.fault);
      continue;
    }
    JsonNode* const target = resolve(item.pointer, pointer.tokens, root, reporter);
    if (target == nullptr) {
      continue;
    }
    const std::string key = target->key;
    *target = overrideValue(item.value, item.pointer, reporter);
    target->key = key;
  }
}

}  // namespace leafstack
