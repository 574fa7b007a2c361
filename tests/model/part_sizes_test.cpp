// Sizes of bought and standard items are rows of the shelf: what stands as a constant in the part
// builders is a rule of fitting, listed here with its reason.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>

namespace leafstack {
namespace {

const std::map<std::string, std::string> kRules = {
    {"kRingOffFaceMm", "rings turn free of the faces that they hold an axle by"},
    {"kEdgeMm", "a fixing stays off a rack's cut end, a screw's head off its edge"},
    {"kToothMm", "a screw's head lies above the teeth's roots: ISO 53, in modules"},
    {"kOverHeadMm", "a counterbore is deeper than its head: DIN 974-1, from memory"},
    {"kThickestRingMm", "longer sleeves are turned, shorter ones cut from plate"},
    {"kLeastUnderHeadMm", "a rack's screw leaves so much of it under its head"},
    {"kBeyondMm", "a tapped hole goes on past its screw, and a standoff behind that"},
    {"kBesideRackMm", "a washer lies free of the rack below it"},
    {"kPlayMm", "a screw passes its slot"},
    {"kBetweenMm", "a hole beside another"},
    {"kLeftUnderHeadMm", "a sunk head leaves so much of a channel's back"},
    {"kEdgeSeamDeepMm", "a seam up the edge of a track's flat goes in so deep"},
    {"kKeyBesideLipMm", "a key passes a channel's lip"},
    {"kOffEndMm", "a screw stays off a channel's end"},
    {"kOffCornerMm", "a hole stays off the round of a tube's corner"},
    {"kAnywhereMm", "no limit: a post is higher than any buffer on it"},
    {"kEdgesMm", "tilted pieces of rack meet at an edge, to rounding"},
    {"kOffAxleMm", "a standoff's weld beside an axle's hole"},
    {"kFootMm", "foot of a motor whose base nobody gave"},
    {"kStopBelowRailTopMm", "the return passes over the end stop"},
    {"kNutRoomMm", "a nut goes into the back of a block"},
    {"kJawOverLegMm", "running clearance of the block's jaw over the angle's leg"},
    {"kPostAboveChannelMm", "the channel's end is welded below the post's"}};

TEST(PartSizes, OnlyRulesStandInTheBuilders) {
  std::set<std::string> seen;
  for (const char* name : {"running_gear", "carrier", "track", "drive", "rack", "site", "guides",
                           "guide_blocks", "keepers", "latch"}) {
    std::ifstream file(std::string(LEAFSTACK_SOURCE_DIR) + "/generator/model/parts/" + name +
                       ".cpp");
    ASSERT_TRUE(file) << name;
    std::stringstream text;
    text << file.rdbuf();
    const std::string all = text.str();
    const std::regex constant(R"((k[A-Z]\w*Mm) =)");
    for (std::sregex_iterator found(all.begin(), all.end(), constant), end; found != end; ++found) {
      EXPECT_TRUE(kRules.contains((*found)[1].str())) << name << ": " << (*found)[1].str();
      seen.insert((*found)[1].str());
    }
  }
  EXPECT_EQ(seen.size(), kRules.size());
}

}  // namespace
}  // namespace leafstack
