// Screws and anchors as solids, each in its place: heads, shanks, nuts and washers without
// chamfers, sockets or threads.
#pragma once

#include <string>
#include <vector>

#include "generator/model/builder.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

/// A point of a screw's axis, in the face under its head or washer, and the way out from there.
struct ScrewPlace {
  Point3 seat_mm{};
  Point3 out{};
};

/// What a screw joins. Both have holes for it, or one has and the other is concrete.
struct Joined {
  int under_head = 0;  ///< instance
  int holds_in = -1;   ///< instance; of an anchor found when all stands
  const char* what = "";
};

/// Through a plate into concrete or masonry, with a washer and a nut. It is drawn from the face
/// that the plate lies on: what is in the concrete follows from its approval.
struct AnchorSizes {
  double hole_mm = 0, plate_mm = 0;  ///< the plate's
  double beside_mm = 1e9;            ///< from its axis to a wall: without room there is no washer
  double short_mm = 0;               ///< of what it stands on, where that is not square to it
  bool is_on_post = false;           ///< on a post of others, of steel or masonry
  double foot_mm = 0;  ///< thickness of an envelope's foot that it clamps, of all that is clamped
};
/// Returns its stud.
int addAnchor(ModelBuilder& builder, const AnchorSizes& sizes, const Joined& joined,
              const ScrewPlace& place);

/// "M5x10, countersunk with hexagon socket, ISO 10642".
std::string sunkScrewWords(double thread_mm, double length_mm);

/// A screw whose thread is cut or formed in what it holds in.
struct ScrewSizes {
  ScrewKind kind{};
  double thread_mm = 0, length_mm = 0, grip_mm = 0;
  bool is_tapped = false;
  bool has_washer = false;  ///< under its head, in the grip
  double sunk_coat_mm = 0;  ///< on the cone that its head is sunk in
};
/// Returns its instance.
int addScrew(ModelBuilder& builder, const ScrewSizes& screw, const Joined& joined,
             const ScrewPlace& place);

/// Lists a screw that has a solid of its own, drawn from the seat of its head on: `out` is its way
/// there in its own frame.
void noteScrew(ModelBuilder& builder, int instance, const Point3& out, const ScrewSizes& screw,
               const Joined& joined);

/// Screws that hold a rubber buffer against a plate, their heads sunk in it: one above the other,
/// or side by side where it is wider than high.
struct BufferScrews {
  ScrewSizes screw;
  double bore_mm = 0;   ///< dia of the holes in the rubber that heads and washers lie in
  double under_mm = 0;  ///< rubber under the washers
  std::vector<Point2> places = {};  ///< across and up, from the buffer's corner

  double holeMm() const { return threadClass(screw.thread_mm).hole_mm; }
  /// Of the hole in what it is screwed to.
  double threadHoleMm() const;
  std::string words() const;
};
struct BufferBlock {
  double thick_mm = 0, across_mm = 0, up_mm = 0;
};
/// What it is screwed to: a plate, tapped through, or a tube's wall with formed threads; and what
/// of it is flat behind the buffer, across and up from the buffer's corner.
struct BufferBack {
  bool is_plate = false;
  double thickness_mm = 0;
  Point2 low, high;
};
/// No places where there is no room: then it is bonded on.
BufferScrews bufferScrews(const BufferBlock& block, const BufferBack& back);

/// Where a buffer's corner is, and on which instance its back lies: towards -X of it, or towards +X
/// where its face `faces_back`.
struct BufferPlace {
  Point3 at{};
  bool faces_back = false;
  int on = 0;
  const char* what = "";
};

/// The block, bored, with its screws; returns its instance.
int addBuffer(ModelBuilder& builder, const BufferBlock& block, const BufferScrews& screws,
              const BufferPlace& place);

}  // namespace leafstack
