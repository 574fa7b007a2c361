// The views of one assembly: all of it, and larger what stands close together, each with marks,
// welds and places from the assembly's frame.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/near_groups.h"
#include "exporters/paper/assemblies/welds/weld_labels.h"
#include "exporters/paper/assemblies/welds/weld_sight.h"
#include "exporters/paper/blocks/view_block.h"
#include "exporters/paper/sheet/table_block.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// For one thread: views are kept once drawn.
class AssemblyViews {
 public:
  AssemblyViews(const GateViews& views, const Schedules& schedules, const Assembly& assembly);

  /// What is told in views of all of it: everything, all but welds, or long parts alone where the
  /// rest has details.
  enum class Told { kAll, kPlaces, kLong };

  /// Front, plan and, of what does not move, the end seen from the latch side.
  std::vector<ViewBlock> whole(Told told) const;
  /// Front, plan and end of groups()[which], with the welds that have their places there. Without a
  /// raked top's own rows of numbers, which the list has too, the views are smaller.
  std::vector<ViewBlock> detail(int which, bool has_top_rows = true) const;
  /// All of it once more, to have only its welds shown.
  ViewBlock bare() const;

  const std::vector<NearGroup>& groups() const { return groups_; }
  /// Welds to or between its parts.
  std::vector<WeldGroup> welds() const;
  /// The same for bare(): each where it is seen, and said where it is not.
  std::vector<WeldGroup> seenFromFront(const std::vector<WeldGroup>& groups) const;
  /// Those that no detail shows.
  std::vector<WeldGroup> weldsOfNoDetail() const;
  /// Every part with its places.
  TableBlock table() const;
  /// Seen through what it is in: no view of all of it.
  bool isInRail() const { return assembly_.name.rfind("running-gear", 0) == 0; }
  /// Whether the latch side is to the left in the front view of a group, or of all of it (-1).
  bool isLatchLeft(int which = -1) const {
    return isRightHand() == (which < 0 ? isFromRoad() : isOnRoadSide(groups_.at(which)));
  }

 private:
  struct OwnFrame {
    AssemblyFrame frame;
    int carrier = -1;  ///< of what leans: the plate or channel that all of it sits on
  };
  /// The longest line that is seen of an instance.
  struct Seen {
    double length_mm = -1;
    PaperPoint from, to;
  };
  using SeenHere = std::map<int, Seen>;  ///< by instance
  struct Drawn {
    ViewBlock block;
    SeenHere seen;
  };
  struct Box {
    Vec3 low{}, high{};
  };

  const Part& partOf(int instance) const;
  bool isRightHand() const { return views_.model().opening_sign > 0; }
  /// Boards are screwed on from there.
  bool isFromRoad() const {
    return assembly_.panel == 0 || isInRail() || assembly_.name.rfind("cladding", 0) == 0;
  }
  bool isOnRoadSide(const NearGroup& group) const;
  PictureView front(bool from_road, const AssemblyFrame& frame) const;
  PictureView plan(bool from_road, const AssemblyFrame& frame) const;
  PictureView end(const AssemblyFrame& frame) const;
  void findFrames();
  std::vector<int> notOnTop(std::vector<int> parts) const;
  std::string datumWords() const;
  std::string leanText(const AssemblyFrame& frame) const;
  std::vector<std::string> headingOf(const OwnFrame& own) const;
  static bool areAlike(const AssemblyFrame& a, const AssemblyFrame& b);
  const AssemblyFrame& frameOf(int instance) const { return frames_[frame_of_.at(instance)].frame; }
  const AssemblyFrame& frameOf(const NearGroup& group) const;
  void addSquareOn(std::vector<ViewBlock>& blocks, const std::vector<int>& parts, bool from_road,
                   bool is_centred = false) const;
  std::vector<ViewBlock> squareOn(const std::vector<int>& parts, bool from_road) const;
  Side nearDatum(bool from_road) const {
    return isRightHand() == from_road ? Side::kLeft : Side::kRight;
  }
  double placeOf(int instance, int axis) const { return placeIn(own_, instance, axis); }
  std::string placesOf(const std::vector<int>& list, int axis) const;
  std::vector<std::vector<std::string>> boardScrewRows(const std::string& mark,
                                                       const std::vector<int>& list) const;
  std::vector<std::vector<std::string>> heldRows() const;
  std::vector<std::vector<std::string>> fixingRows() const;
  std::vector<std::vector<int>> inProducts(const std::vector<int>& list) const;
  std::vector<std::vector<int>> inLines(std::vector<int> list) const;
  /// Instances of one mark, in as many rows as keep each within a sheet.
  std::vector<std::vector<int>> inRows(std::vector<int> list) const;
  std::vector<std::string> listRow(const std::string& mark, const std::vector<int>& list) const;
  std::string madeWords(const Part& part) const;
  std::string risingWords(int instance) const;
  std::vector<int> longParts() const;
  Box aroundOf(const NearGroup& group) const;
  PaperBox windowOf(const PictureView& view, const Box& box) const;
  bool meets(int instance, const Box& box) const;
  bool isWithin(const Vec3& point, const Box& box) const;
  ViewBlock drawnWhole(const std::string& title, const PictureView& view, bool has_context,
                       SeenHere& seen) const;
  ViewBlock drawnDetail(const std::string& title, const PictureView& view, const NearGroup& group,
                        bool has_context, SeenHere& seen) const;
  void addBehind(ViewBlock& block) const;
  static void note(SeenHere& seen, int instance, const std::vector<PathVertex>& vertices,
                   double upright_share);
  void addPlaces(ViewBlock& block, int axis, Side side, const std::vector<int>& parts,
                 const AssemblyFrame& page, const Box* within, bool has_top_rows = true) const;
  double placeIn(const std::map<int, FrameBounds>& where, int instance, int axis) const;
  struct Row {
    int axis = 0;
    Side side{};
    bool has_zero = true, has_holes = false;
  };
  void addRow(ViewBlock& block, const Row& row, const std::vector<int>& parts,
              const AssemblyFrame& frame, const std::map<int, FrameBounds>& where) const;
  void addMarks(std::vector<ViewBlock>& blocks, const std::vector<SeenHere>& seen,
                const std::vector<int>& parts, Side first, std::vector<LabelRequest> above) const;
  struct WeldHome {
    int group = -1;
    Vec3 shift{};  ///< from the weld's own place to where it is drawn, gate's frame
  };
  WeldHome homeOf(const WeldGroup& weld) const;
  std::vector<WeldEye> eyesOf(bool from_road, const AssemblyFrame& frame, std::size_t views) const;
  /// What is left for the rows above the other views.
  std::vector<LabelRequest> addWelds(std::vector<ViewBlock>& blocks, LabelRequest above,
                                     bool from_road, const int* of_group) const;
  LabelRequest addFrames(ViewBlock& block, Side side) const;
  void addHidden(ViewBlock& block, int instance) const;
  void addFolds(ViewBlock& above, const std::vector<int>& parts, Side side) const;
  void addNotches(ViewBlock& front, const std::vector<int>& parts, Side side) const;
  std::string markWords(const Part& part) const;

  const GateViews& views_;
  const Schedules& schedules_;
  const Assembly& assembly_;
  std::map<int, FrameBounds> bounds_;  ///< of its instances, in its frame
  std::vector<OwnFrame> frames_;       ///< of findFrames()
  std::map<int, int> frame_of_;        ///< which of them, by instance
  std::map<int, FrameBounds> own_;     ///< in that
  std::vector<NearGroup> groups_;
  mutable std::map<std::string, Drawn> drawn_;  ///< by title, of drawnWhole(): one thread's
};

}  // namespace leafstack
