#include "exporters/paper/assemblies/welds/weld_labels.h"

#include <algorithm>
#include <cstdlib>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kSameJointMm = 120;  // between the middles of one joint's welds, at most

WeldSymbol symbolOf(const WeldRow& row) {
  switch (row.groove) {
    case Groove::kNone:
      return WeldSymbol::kFillet;
    case Groove::kSquare:
      return WeldSymbol::kSquare;
    case Groove::kFlare:
      return WeldSymbol::kFlare;
    case Groove::kBevel:
    case Groove::kDoubleBevel:
      return WeldSymbol::kBevel;
    case Groove::kV:
    case Groove::kDoubleV:
      return WeldSymbol::kV;
  }
  return WeldSymbol::kFillet;
}

WeldSign signOf(const WeldRow& row) {
  WeldSign sign;
  sign.symbol = symbolOf(row);
  const bool is_double = row.groove == Groove::kDoubleBevel || row.groove == Groove::kDoubleV;
  sign.is_both_sides = is_double || row.sides == 2;
  const double deep = is_double ? row.leg_mm / 2 : row.leg_mm;  // each side's share
  sign.size = (row.kind == WeldKind::kFillet ? "z" : "s") + shown(deep, 1);
  const int sides = row.sides;
  const int pieces = row.pieces / sides;
  // n x l (e), e from piece to piece.
  sign.length = pieces > 1 ? std::to_string(pieces) + "x" + shown(row.length_mm / row.pieces, 0) +
                                 " (" + shown(row.gap_mm, 0) + ")"
                           : shown(row.length_mm / sides, 0);
  sign.tail = row.mark + (row.joints > 1 ? ", " + std::to_string(row.joints) + "x" : "");
  sign.is_on_site = row.is_on_site;
  sign.is_all_round = row.is_all_round;
  return sign;
}

std::string lettersOf(const std::string& mark) {
  return mark.substr(0, mark.find_first_of("0123456789"));
}

/// "W12" and how many joints of a tail as signOf() has it.
struct Tail {
  int number = 0, joints = 1;
};
Tail tailOf(const WeldSign& sign) {
  Tail tail{std::atoi(sign.tail.c_str() + 1), 1};
  if (const std::size_t comma = sign.tail.find(", "); comma != std::string::npos) {
    tail.joints = std::atoi(sign.tail.c_str() + comma + 2);
  }
  return tail;
}

bool areAlike(const WeldGroup& a, const WeldGroup& b) {
  if (lettersOf(a.a) != lettersOf(b.a) || lettersOf(a.b) != lettersOf(b.b) ||
      a.signs.size() != b.signs.size()) {
    return false;
  }
  for (std::size_t i = 0; i < a.signs.size(); ++i) {
    WeldSign one = a.signs[i];
    one.tail = b.signs[i].tail;
    if (one != b.signs[i]) {
      return false;
    }
  }
  return true;
}

std::string tailWords(const std::vector<Tail>& tails) {
  const auto name = [&](std::size_t i) { return "W" + std::to_string(tails[i].number); };
  int joints = 0;
  for (const Tail& one : tails) {
    joints += one.joints;
  }
  std::string words = name(0);
  const std::size_t last = tails.size() - 1;
  const int step = last > 0 ? tails[1].number - tails[0].number : 1;
  constexpr std::size_t kMostNamed = 4;  // more are told by the first, the last and the step
  if (step > 1 && last < kMostNamed) {
    for (std::size_t i = 1; i <= last; ++i) {
      words += ", " + name(i);
    }
  } else if (last > 0) {
    words += " to " + name(last);
  }
  if (last >= kMostNamed && step > 1) {
    words += step == 2 ? ", every 2nd" : ", every " + std::to_string(step) + "th";
  }
  return words + (joints > 1 ? ", " + std::to_string(joints) + "x" : "");
}

}  // namespace

std::vector<WeldGroup> alikeTogether(const std::vector<WeldGroup>& groups) {
  struct Alike {
    WeldGroup first;
    std::vector<std::vector<Tail>> tails;  ///< by sign
  };
  std::vector<Alike> all;
  for (const WeldGroup& group : groups) {
    const auto goes_on = [&](const Alike& one) {
      if (!areAlike(one.first, group)) {
        return false;
      }
      for (std::size_t i = 0; i < group.signs.size(); ++i) {
        const std::vector<Tail>& tails = one.tails[i];
        const int next = tailOf(group.signs[i]).number;
        const std::size_t last = tails.size() - 1;
        if (last > 0 && next - tails[last].number != tails[last].number - tails[last - 1].number) {
          return false;
        }
      }
      return true;
    };
    auto found = std::find_if(all.begin(), all.end(), goes_on);
    if (found == all.end()) {
      all.push_back({group, std::vector<std::vector<Tail>>(group.signs.size())});
      found = std::prev(all.end());
    }
    for (std::size_t i = 0; i < group.signs.size(); ++i) {
      found->tails[i].push_back(tailOf(group.signs[i]));
    }
  }
  std::vector<WeldGroup> together;
  for (Alike& one : all) {
    for (std::size_t i = 0; i < one.tails.size(); ++i) {
      one.first.signs[i].tail = tailWords(one.tails[i]);
    }
    together.push_back(std::move(one.first));
  }
  return together;
}

std::vector<WeldGroup> weldGroups(const std::vector<WeldRow>& welds, int panel) {
  std::vector<WeldGroup> groups;
  for (const WeldRow& row : welds) {
    if (row.panel != panel) {
      continue;
    }
    auto group = std::find_if(groups.begin(), groups.end(), [&](const WeldGroup& one) {
      return one.a == row.a && one.b == row.b && norm(minus(one.at, row.at_mm)) < kSameJointMm;
    });
    if (group == groups.end()) {
      groups.push_back({row.mark, row.a, row.b, row.at_mm, {}, {}, row.instances});
      group = std::prev(groups.end());
    }
    group->signs.push_back(signOf(row));
    group->seams.push_back(row.seams);
    group->of_signs.push_back(row.instances);
  }
  return groups;
}

}  // namespace leafstack
