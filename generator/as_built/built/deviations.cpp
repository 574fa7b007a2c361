#include "generator/as_built/built/deviations.h"

#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/ground/site_extents.h"
#include "params/table/as_built/panels_built.h"

namespace leafstack {
namespace {

// Further off the drawing than this is asked about rather than believed: a slip of the tape, of the
// unit or of the panel. Common practice, no source; posts are set by others.
constexpr double kBelievedMm = 50, kBelievedOfPostsMm = 100;
// What a panel may be out of square, and what a laid bar bends between neighbours, before somebody
// has to look again. Common practice, no source.
constexpr double kBelievedLeanMm = 30, kBelievedKinkMm = 15, kKinkWithinMm = 2000;
constexpr double kInch_mm = 25.4;

double plumbHeight(const PanelLayout& panel, double x_mm) {
  return panel.topZ(x_mm) - panel.undersideZ(x_mm);
}

double frameEnd(const PanelLayout& panel) {
  return panel.leading_closed_mm + panel.frame_length_mm;
}

class Reader {
 public:
  Reader(const GateSpec& spec, const Layout& drawn)
      : spec_(spec), built_(spec.as_built), drawn_(drawn) {}

  DeviationsRead run() {
    out_.off.panels.resize(drawn_.panel_count);
    readSite();
    for (std::size_t i = 0; i < built_.panels.size(); ++i) {
      readPanel(i);
    }
    readTracks();
    setUnsure();
    return std::move(out_);
  }

 private:
  void ask(const std::string& key, std::string text) {
    out_.questions.push_back({"/as_built" + key, std::move(text)});
  }

  /// How far off the drawing; asked about where that is too much to be believed.
  double off(const std::optional<double>& measured, double drawn_mm, const std::string& key,
             const std::string& what, double believed_mm) {
    if (!measured) {
      return 0;
    }
    const double off_mm = *measured - drawn_mm;
    if (std::abs(off_mm) > believed_mm) {
      std::string text = what + " measured " + shown(*measured, 1) + " is " +
                         shown(std::abs(off_mm), 1) + " mm " + (off_mm > 0 ? "more" : "less") +
                         " than drawn (" + shown(drawn_mm, 1) + ").";
      if (std::abs(*measured * kInch_mm - drawn_mm) <= believed_mm) {
        text += " If it was in inches, write \"" + shown(*measured, 3) + " in\".";
      }
      text += " Measure it again; what was built so on purpose belongs into the gate file itself";
      ask(key, text);
    }
    return off_mm;
  }

  void readSite() {
    Deviations& to = out_.off;
    to.opening_mm =
        off(built_.opening_mm, drawn_.opening_mm, "/opening_mm", "the opening", kBelievedOfPostsMm);
    to.guide_mm = off(built_.guide_mm, drawn_.guide_mm, "/guide_mm", "the fixed guide's channel",
                      kBelievedMm);
    to.guide_up_mm = off(built_.guide_top_mm, drawnChannelTopMm(drawn_), "/guide_top_mm",
                         "the fixed guide's channel's upper end", kBelievedMm);
    to.pinion_mm =
        off(built_.pinion_mm, drawn_.pinion_mm, "/pinion_mm", "the pinion's axis", kBelievedMm);
    to.pinion_up_mm = off(built_.pinion_up_mm, pinionZ(drawn_), "/pinion_up_mm",
                          "the pinion's height", kBelievedMm);
    to.motor_is_measured = built_.pinion_mm || built_.pinion_up_mm;
    if (built_.ground_bracket_mm && drawn_.ropes.empty()) {
      ask("/ground_bracket_mm", "a single panel has no ground bracket");
    } else if (built_.ground_bracket_mm) {
      to.ground_bracket_mm = off(built_.ground_bracket_mm, drawn_.ground_bracket_mm,
                                 "/ground_bracket_mm", "the ground bracket", kBelievedMm);
    }
    to.catch_mm = off(built_.catch_mm, drawnCatchMm(spec_, drawn_), "/catch_mm",
                      "the catch post's buffer", kBelievedMm);
    const LatchLayout latch = latchOf(spec_, drawn_);
    if (built_.receiver_top_mm && !latch.top) {
      ask("/receiver_top_mm", "this gate has no top receiver");
    } else if (built_.receiver_top_mm) {
      to.receiver_up_mm = off(built_.receiver_top_mm, latch.top->high_z_mm, "/receiver_top_mm",
                              "the top receiver's upper edge", kBelievedMm);
    }
    const bool any = built_.opening_mm || built_.guide_mm || built_.guide_top_mm ||
                     to.motor_is_measured || built_.ground_bracket_mm || built_.catch_mm ||
                     built_.receiver_top_mm;
    to.site_unsure_mm = any ? built_.uncertainty_mm : 0;
    const double opening = built_.opening_mm.value_or(drawn_.opening_mm);
    // Less is a guide close to its opening, and both a little off.
    constexpr double kInOpeningMm = 25;
    const double half = spec_.guides.channel_width_mm / 2 - kInOpeningMm;
    if (built_.opening_mm && built_.guide_mm && *built_.guide_mm - half < opening &&
        drawn_.guide_mm - half >= drawn_.opening_mm) {
      ask("/guide_mm", "the guide's channel at " + shown(*built_.guide_mm, 1) +
                           " would stand in an opening of " + shown(opening, 1) +
                           ": one of both is measured from elsewhere");
    }
  }

  void readPanel(std::size_t index) {
    const BuiltPanel& given = built_.panels[index];
    const std::string at = "/panels/" + std::to_string(index);
    if (given.number > drawn_.panel_count) {
      ask(at + "/number", "there is no panel " + std::to_string(given.number) + ": the gate has " +
                              std::to_string(drawn_.panel_count));
      return;
    }
    const PanelLayout& panel = drawn_.panel(given.number);
    PanelDeviation& to = out_.off.panels[given.number - 1];
    const std::string name = "panel " + std::to_string(given.number) + "'s ";
    const auto read = [&](PanelMeasure what, double drawn_mm, const std::string& words) {
      return off(given.of(what), drawn_mm, at + "/" + rowOf(what).key, name + words, kBelievedMm);
    };
    const double cosine = panel.cosine();
    const std::size_t before = out_.questions.size();
    to.longer_mm = read(PanelMeasure::kLength, panel.length_mm / cosine, "bottom rail") * cosine;
    suggestOther(given, panel, before, at);
    const bool has_tail = panel.length_mm > panel.frame_length_mm + kLengthEqualMm;
    to.frame_longer_mm =
        has_tail || given.of(PanelMeasure::kFrame)
            ? read(PanelMeasure::kFrame, panel.frame_length_mm / cosine, "frame") * cosine
            : to.longer_mm;
    to.higher_leading_mm = read(PanelMeasure::kLeadingHeight,
                                plumbHeight(panel, panel.leading_closed_mm), "leading height");
    to.higher_trailing_mm =
        read(PanelMeasure::kTrailingHeight, plumbHeight(panel, frameEnd(panel)), "trailing height");
    // Of one height the other end is taken to be as much off: rails are cut together.
    if (!given.of(PanelMeasure::kTrailingHeight)) {
      to.higher_trailing_mm = to.higher_leading_mm;
    } else if (!given.of(PanelMeasure::kLeadingHeight)) {
      to.higher_leading_mm = to.higher_trailing_mm;
    }
    to.bow_mm = given.of(PanelMeasure::kBow).value_or(0);
    readFittings(given, panel, at, to);
    if (out_.questions.size() == before) {
      readSquareness(given, panel, at, to);
      judgeEnds(given, at);
    }
  }

  /// A length that is another panel's.
  void suggestOther(const BuiltPanel& given, const PanelLayout& panel, std::size_t before,
                    const std::string& at) {
    const auto& length = given.of(PanelMeasure::kLength);
    if (!length || out_.questions.size() == before) {
      return;
    }
    for (const PanelLayout& other : drawn_.panels) {
      if (other.number != panel.number &&
          std::abs(*length - other.length_mm / other.cosine()) <= kBelievedMm) {
        ask(at + "/number", "panel " + std::to_string(other.number) +
                                " is drawn about as long as that: are the panels' numbers mixed up "
                                "(1 is the back one)?");
      }
    }
  }

  void readFittings(const BuiltPanel& given, const PanelLayout& panel, const std::string& at,
                    PanelDeviation& to) {
    const double cosine = panel.cosine();
    const double length = panel.length_mm / cosine + to.longer_mm / cosine;
    const double inset = drawn_.pulley_inset_mm;
    const bool carries = panel.number < drawn_.panel_count;
    const auto read = [&](PanelMeasure what, bool there, double drawn_mm,
                          const std::string& words) {
      const std::string key = at + "/" + rowOf(what).key;
      const std::string name = "panel " + std::to_string(panel.number);
      if (given.of(what) && !there) {
        ask(key, name + " has no " + words);
        return 0.0;
      }
      return off(given.of(what), drawn_mm, key, name + "'s " + words, kBelievedMm);
    };
    to.leading_pulley_mm = read(PanelMeasure::kLeadingPulley, carries, inset, "leading pulley");
    to.trailing_pulley_mm =
        read(PanelMeasure::kTrailingPulley, carries, length - inset, "trailing pulley");
    to.front_bracket_mm =
        read(PanelMeasure::kFrontBracket, panel.number > 1, length - spec_.ropes.bracket_inset_mm,
             "bracket at its trailing end");
    to.stop_mm =
        read(PanelMeasure::kStop, true, drawnStopMm(spec_, drawn_, panel.number), "end stop");
  }

  /// Both diagonals tell the lean; that they tell the same is what is asked of them.
  void readSquareness(const BuiltPanel& given, const PanelLayout& panel, const std::string& at,
                      PanelDeviation& to) {
    const auto& rising = given.of(PanelMeasure::kRisingDiagonal);
    const auto& falling = given.of(PanelMeasure::kFallingDiagonal);
    if (!rising && !falling) {
      return;
    }
    const double run = panel.frame_length_mm + to.frame_longer_mm;
    const double climb = panel.undersideZ(frameEnd(panel)) - panel.underside_z_mm;
    const double leading = plumbHeight(panel, panel.leading_closed_mm) + to.higher_leading_mm;
    const double trailing = plumbHeight(panel, frameEnd(panel)) + to.higher_trailing_mm;
    const double square_rising = std::hypot(run, climb + trailing);
    const double square_falling = std::hypot(run, climb - leading);
    const auto lean = [&](double measured, double square) {
      return (measured * measured - square * square) / (2 * run);
    };
    const double by_rising = rising ? lean(*rising, square_rising) : 0;
    const double by_falling = falling ? -lean(*falling, square_falling) : 0;
    const double u = given.uncertainty_mm.value_or(built_.uncertainty_mm);
    const double each = u * (square_rising + run + std::max(leading, trailing)) / run;
    if (rising && falling && std::abs(by_rising - by_falling) > 2 * each) {
      ask(at + "/" + rowOf(PanelMeasure::kRisingDiagonal).key,
          "panel " + std::to_string(panel.number) + "'s diagonals " + shown(*rising, 1) + " and " +
              shown(*falling, 1) +
              " do not go with its length and heights: the one says that its "
              "top stands " +
              shown(by_rising, 1) + " mm towards the trailing end, the other " +
              shown(by_falling, 1) + ". Square it would have " + shown(square_rising, 1) + " and " +
              shown(square_falling, 1) + ". Measure all of them again");
    }
    to.lean_mm = rising && falling ? (by_rising + by_falling) / 2 : by_rising + by_falling;
    if (std::abs(to.lean_mm) > kBelievedLeanMm) {
      ask(at + "/" +
              rowOf(rising ? PanelMeasure::kRisingDiagonal : PanelMeasure::kFallingDiagonal).key,
          "panel " + std::to_string(panel.number) + " would be " + shown(std::abs(to.lean_mm), 1) +
              " mm out of square by its diagonals, which is hardly so: measure them again");
    }
  }

  void judgeEnds(const BuiltPanel& given, const std::string& at) {
    const auto& length = given.of(PanelMeasure::kLength);
    const auto longer = [&](PanelMeasure what, const char* words) {
      if (length && given.of(what) && *given.of(what) > *length + kLengthEqualMm) {
        ask(at + "/" + rowOf(what).key, std::string(words) + " lies beyond the panel's end, " +
                                            shown(*length, 1) + " from the leading one");
      }
    };
    longer(PanelMeasure::kFrame, "the frame's end");
    longer(PanelMeasure::kTrailingPulley, "the trailing pulley");
  }

  void readTracks() {
    const auto& lines = built_.tracks_mm;
    if (lines.size() > 1 && static_cast<int>(lines.size()) != drawn_.panel_count) {
      ask("/tracks_mm", std::to_string(lines.size()) + " lines for " +
                            std::to_string(drawn_.panel_count) +
                            " tracks: give each its own, back first, or one for all");
      return;
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const std::string at = lines.size() > 1 ? "/tracks_mm/" + std::to_string(i) : "/tracks_mm";
      judgeTrack(lines[i], at);
      for (int k = 1; k <= drawn_.panel_count; ++k) {
        if (lines.size() == 1 || k == static_cast<int>(i) + 1) {
          readTrack(lines[i], k, at);
        }
      }
    }
  }

  void judgeTrack(const SurveyLine& line, const std::string& at) {
    constexpr double kShortestMm = 300;  // shorter than any track: hardly millimetres
    const double run = line.empty() ? 0 : line.back().first - line.front().first;
    if (!line.empty() && run < kShortestMm) {
      ask(at, "its points lie within " + shown(run, 3) +
                  " mm: if they are in m, write each length as a text with its unit (\"" +
                  shown(line.back().first, 3) + " m\")");
    }
  }

  void readTrack(const SurveyLine& line, int panel, const std::string& at) {
    const GroundLine& drawn = drawn_.ground.lineOf(panel);
    PanelDeviation& to = out_.off.panels[panel - 1];
    for (const auto& [x, z] : line) {
      to.track.push_back({x, z - (drawn.heightMm(x) - drawn.heightMm(0))});
    }
    for (std::size_t i = 0; i < to.track.size(); ++i) {
      const std::string point = at + "/" + std::to_string(i) + "/1";
      if (std::abs(to.track[i][1]) > kBelievedOfPostsMm) {
        ask(point, "track " + std::to_string(panel) + " would lie " +
                       shown(std::abs(to.track[i][1]), 1) + " mm off the drawn one at X " +
                       shown(to.track[i][0], 0) +
                       ": measured from another datum, or in another "
                       "unit?");
        return;
      }
      if (i > 0 && i + 1 < to.track.size()) {
        judgeKink(to.track, i, panel, point);
      }
    }
    if (!to.track.empty()) {
      findRaise(panel, to);
    }
  }

  void judgeKink(const std::vector<std::array<double, 2>>& track, std::size_t i, int panel,
                 const std::string& point) {
    const auto& [x0, z0] = track[i - 1];
    const auto& [x1, z1] = track[i];
    const auto& [x2, z2] = track[i + 1];
    const double kink = z1 - (z0 + (z2 - z0) * (x1 - x0) / (x2 - x0));
    if (std::abs(kink) > kBelievedKinkMm && x2 - x0 < kKinkWithinMm) {
      ask(point, "track " + std::to_string(panel) + " would stand " + shown(std::abs(kink), 1) +
                     " mm " + (kink > 0 ? "over" : "under") +
                     " a line between its neighbours at X " + shown(x0, 0) + " and " +
                     shown(x2, 0) + ": a laid bar does not bend so. Take that level again");
    }
  }

  /// A rigid panel on two wheels stands between the highest and the lowest place that they pass,
  /// and its ends beyond them a little further.
  void findRaise(int panel, PanelDeviation& to) {
    const PanelLayout& p = drawn_.panel(panel);
    const double from = p.leading_closed_mm;
    const double end = p.trailing_closed_mm + p.travel_mm;
    Range heights{trackAt(to.track, from), trackAt(to.track, from)};
    const auto take = [&](double z) {
      heights = {std::min(heights.low, z), std::max(heights.high, z)};
    };
    take(trackAt(to.track, end));
    for (const auto& [x, z] : to.track) {
      if (x > from && x < end) {
        take(z);
      }
    }
    const double inset = wheelInsetMm(spec_, drawn_);
    const double base = std::max(1.0, p.length_mm - 2 * inset);
    const double half = (heights.high - heights.low) / 2;
    to.track_mm = (heights.high + heights.low) / 2;
    to.track_half_mm = half * (1 + 2 * inset / base);
    to.tilt = 2 * half / base;
  }

  static double trackAt(const std::vector<std::array<double, 2>>& track, double x) {
    if (x <= track.front()[0]) {
      return track.front()[1];
    }
    for (std::size_t i = 1; i < track.size(); ++i) {
      if (x <= track[i][0]) {
        const auto& [x0, z0] = track[i - 1];
        const auto& [x1, z1] = track[i];
        return z0 + (z1 - z0) * (x - x0) / (x1 - x0);
      }
    }
    return track.back()[1];
  }

  /// What was measured is as unsure as its instrument, the rest as much as the build tolerance.
  void setUnsure() {
    const double drawn = spec_.checks.build_tolerance_mm;
    for (int k = 1; k <= drawn_.panel_count; ++k) {
      const BuiltPanel* const given = built_.panel(k);
      const double u = given != nullptr ? given->uncertainty_mm.value_or(built_.uncertainty_mm)
                                        : built_.uncertainty_mm;
      const auto has = [&](PanelMeasure what) {
        return given != nullptr && given->of(what).has_value();
      };
      const bool height = has(PanelMeasure::kLeadingHeight) || has(PanelMeasure::kTrailingHeight);
      PanelDeviation& to = out_.off.panels[k - 1];
      to.unsure_mm = {has(PanelMeasure::kLength) ? u : drawn, has(PanelMeasure::kBow) ? u : drawn,
                      height || !to.track.empty() ? u : drawn};
    }
  }

  const GateSpec& spec_;
  const AsBuiltSpec& built_;
  const Layout& drawn_;
  DeviationsRead out_;
};

}  // namespace

DeviationsRead deviationsOf(const GateSpec& spec, const Layout& drawn) {
  return Reader(spec, drawn).run();
}

double drawnChannelTopMm(const Layout& drawn) {
  const GuideLayout& guide = drawn.guides.front();
  return guide.z_mm + guide.channel_high_mm * guide.channelCosine();
}

double drawnStopMm(const GateSpec& spec, const Layout& drawn, int panel) {
  return drawn.panel(panel).trailing_open_mm + spec.hardware.stop.gap_mm;
}

double drawnCatchMm(const GateSpec& spec, const Layout& drawn) {
  return latchOf(spec, drawn).face_x_mm + spec.hardware.stop.buffer_mm;
}

}  // namespace leafstack
