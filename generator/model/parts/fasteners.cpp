#include "generator/model/parts/fasteners.h"

#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_Vec.hxx>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/occt/solids/bored.h"

namespace leafstack {
namespace {

// Of a drilling screw's thread: 4.2 of ST5.5. ISO 1478, from memory.
constexpr double kDrillingCore = 0.76;

/// Every fastener's own frame: Z out of the joint, 0 under its head.
Outline hexagon(const ThreadClass& thread) {
  std::vector<Point2> corners;
  for (int side = 0; side < 6; ++side) {
    const double turn = std::numbers::pi / 3 * side;
    const double corner = thread.across_flats_mm / std::numbers::sqrt3;
    corners.push_back({corner * std::cos(turn), corner * std::sin(turn)});
  }
  return Outline::polygon(corners);
}

/// As thick all along as the hole that its thread is cut in, which is as much steel as a screw
/// threaded to its head has: whatever it joins, one screw is one part.
TopoDS_Shape screwSolid(const ScrewSizes& screw) {
  const ThreadClass& thread = threadClass(screw.thread_mm);
  const bool is_drilling = screw.kind == ScrewKind::kDrilling;
  const double core = (is_drilling ? kDrillingCore * screw.thread_mm : thread.tap_mm) / 2;
  std::vector<Point2> outline = {{0, -screw.length_mm}, {core, -screw.length_mm}};
  switch (screw.kind) {
    case ScrewKind::kCountersunk:
    case ScrewKind::kDrilling: {
      const double head = SunkScrew{screw.thread_mm}.headRadiusMm();
      outline.insert(outline.end(), {{core, core - head}, {head, 0}, {0, 0}});
      break;
    }
    case ScrewKind::kSocket: {
      const double head = thread.socket_head_mm / 2;
      outline.insert(outline.end(), {{core, 0}, {head, 0}, {head, screw.thread_mm}});
      outline.push_back({0, screw.thread_mm});
      break;
    }
    case ScrewKind::kHexagon:
    case ScrewKind::kAnchor:
      outline.insert(outline.end(), {{core, 0}, {0, 0}});
      return fuse(revolution(Plane::kXY, Outline::polygon(outline)),
                  prism(Plane::kXY, hexagon(thread), {0, thread.head_mm}));
  }
  return revolution(Plane::kXY, Outline::polygon(outline));
}

std::string screwWords(const ScrewSizes& screw) {
  const std::string size = "M" + shown(screw.thread_mm) + "x" + shown(screw.length_mm);
  switch (screw.kind) {
    case ScrewKind::kHexagon:
      return size + ", hexagon head, ISO 4017";
    case ScrewKind::kSocket:
      return size + ", cylinder head with hexagon socket, ISO 4762";
    case ScrewKind::kCountersunk:
      return sunkScrewWords(screw.thread_mm, screw.length_mm);
    case ScrewKind::kDrilling:
      return "ST" + shown(screw.thread_mm) + "x" + shown(screw.length_mm) +
             ", countersunk with wings and drill point, for timber on metal";
    case ScrewKind::kAnchor:
      break;
  }
  return size;
}

int washerPart(ModelBuilder& builder, const ThreadClass& thread) {
  return builder.part({PartKind::kWasher,
                       "M" + shown(thread.thread_mm) + ", " +
                           sizes({thread.washer_mm, thread.washer_thickness_mm}) + ", ISO 7089",
                       thread.washer_mm},
                      {thread.thread_mm}, [=] {
                        return prism(Plane::kXY, Outline::circle({0, 0}, thread.washer_mm / 2),
                                     {Outline::circle({0, 0}, thread.washer_hole_mm / 2)},
                                     {0, thread.washer_thickness_mm});
                      });
}

int nutPart(ModelBuilder& builder, const ThreadClass& thread) {
  return builder.part(
      {PartKind::kNut, "M" + shown(thread.thread_mm) + ", hexagon, ISO 4032", thread.nut_mm},
      {thread.thread_mm}, [=] {
        return prism(Plane::kXY, hexagon(thread), {Outline::circle({0, 0}, thread.thread_mm / 2)},
                     {0, thread.nut_mm});
      });
}

Point3 outBy(const ScrewPlace& place, double by_mm) {
  Point3 at = place.seat_mm;
  for (int axis = 0; axis < 3; ++axis) {
    at[axis] += by_mm * place.out[axis];
  }
  return at;
}

Fastening fasteningOf(const ScrewSizes& screw, const Joined& joined, const ScrewPlace& place) {
  Fastening fastening;
  fastening.kind = screw.kind;
  fastening.thread_mm = screw.thread_mm;
  fastening.length_mm = screw.length_mm;
  fastening.grip_mm = screw.grip_mm;
  fastening.hold_mm = screw.length_mm - screw.grip_mm;
  fastening.is_tapped = screw.is_tapped;
  fastening.is_match_drilled = screw.kind == ScrewKind::kDrilling;
  fastening.holds_in = joined.holds_in;
  fastening.what = joined.what;
  fastening.under_head = joined.under_head;
  fastening.seat_mm = place.seat_mm;
  fastening.out = place.out;
  return fastening;
}

}  // namespace

std::string sunkScrewWords(double thread_mm, double length_mm) {
  // Lengths of ISO 10642 are those of the table, from memory.
  const double sold = screwNoShorter_mm(length_mm);
  return "M" + shown(thread_mm) + "x" + shown(length_mm) +
         ", countersunk with hexagon socket, ISO 10642" +
         (sold > length_mm + kLengthEqualMm ? ", cut from " + shown(sold) : "");
}

int addAnchor(ModelBuilder& builder, const AnchorSizes& sizes, const Joined& joined,
              const ScrewPlace& place) {
  constexpr double kBesideWasherMm = 1;
  const ThreadClass& thread = threadThrough(sizes.hole_mm);
  const double plate_mm = sizes.plate_mm;
  const bool has_washer = sizes.beside_mm >= thread.washer_mm / 2 + kBesideWasherMm;
  const double under_nut = has_washer ? thread.washer_thickness_mm : 0;
  const double over = under_nut + thread.nut_mm + kBeyondNutPerThread * thread.thread_mm;
  const double length = plate_mm + over;
  const int stud_part = builder.part(
      {PartKind::kAnchor,
       "M" + shown(thread.thread_mm) + " for " + shown(plate_mm) +
           (sizes.is_on_post
                ? " clamped, by what the post is of: a bolt through steel, an anchor by its "
                  "approval "
                  "and edge distances in masonry; drawn from the post out"
                : " clamped, kind and depth by its approval; drawn from the concrete out"),
       length},
      {thread.thread_mm, plate_mm, length, sizes.short_mm}, [=, short_mm = sizes.short_mm] {
        return prism(Plane::kXY, Outline::circle({0, 0}, thread.thread_mm / 2),
                     {short_mm - plate_mm, over});
      });
  const double inside = sizes.foot_mm > 0 ? sizes.foot_mm + over : 0;
  const int panel = builder.instance(joined.under_head).panel;
  Fastening fastening =
      fasteningOf({ScrewKind::kAnchor, thread.thread_mm, length, plate_mm}, joined, place);
  fastening.hold_mm = 0;
  const auto put = [&](int part, double by_mm) {
    return builder.placeFacing(part, panel, outBy(place, by_mm), place.out);
  };
  const int stud = fastening.screw = put(stud_part, 0);
  builder.contact(stud, joined.under_head, ContactKind::kBolted, joined.what,
                  sizes.hole_mm - thread.thread_mm, inside);
  int under = joined.under_head;
  if (has_washer) {
    under = fastening.washer = put(washerPart(builder, thread), 0);
    builder.contact(under, joined.under_head, ContactKind::kBolted, "the washer lies on its plate",
                    sizes.foot_mm, inside);
    builder.contact(under, stud, ContactKind::kBolted, "the washer lies about its anchor",
                    thread.washer_hole_mm - thread.thread_mm);
  }
  const int nut = fastening.nut = put(nutPart(builder, thread), under_nut);
  builder.contact(nut, under, ContactKind::kBolted, "the nut bears on its washer or plate");
  if (inside > 0) {
    builder.contact(nut, joined.under_head, ContactKind::kBolted,
                    "the nut stands in the foot's envelope", inside, inside);
  }
  builder.contact(nut, stud, ContactKind::kBolted, "the nut is screwed on its anchor");
  builder.addFastening(std::move(fastening));
  return stud;
}

int addScrew(ModelBuilder& builder, const ScrewSizes& screw, const Joined& joined,
             const ScrewPlace& place) {
  const int part = builder.part({PartKind::kScrew, screwWords(screw), screw.length_mm},
                                {static_cast<double>(screw.kind), screw.thread_mm, screw.length_mm},
                                [=] { return screwSolid(screw); });
  const int panel = builder.instance(joined.under_head).panel;
  const ThreadClass& thread = threadClass(screw.thread_mm);
  const bool is_drilling = screw.kind == ScrewKind::kDrilling;
  const double head_mm = screw.has_washer ? thread.washer_thickness_mm : 0;
  const int placed = builder.placeFacing(part, panel, outBy(place, head_mm), place.out);
  builder.contact(placed, joined.under_head, ContactKind::kBolted, joined.what,
                  screw.has_washer ? thread.hole_mm - thread.tap_mm : screw.sunk_coat_mm);
  builder.contact(placed, joined.holds_in, ContactKind::kBolted,
                  "the screw's thread is in what holds it",
                  screw.is_tapped || is_drilling ? 0 : thread.form_mm - thread.tap_mm,
                  is_drilling ? screw.length_mm : 0);
  Fastening fastening = fasteningOf(screw, joined, place);
  fastening.screw = placed;
  if (screw.has_washer) {
    fastening.washer =
        builder.placeFacing(washerPart(builder, thread), panel, place.seat_mm, place.out);
    builder.contact(fastening.washer, joined.under_head, ContactKind::kBolted,
                    "the washer lies under its screw's head");
    builder.contact(fastening.washer, placed, ContactKind::kBolted,
                    "the screw's head bears on its washer");
  }
  builder.addFastening(std::move(fastening));
  return placed;
}

void noteScrew(ModelBuilder& builder, int instance, const Point3& out, const ScrewSizes& screw,
               const Joined& joined) {
  const gp_Trsf& placed = builder.instance(instance).at_closed.Transformation();
  const gp_XYZ& seat = placed.TranslationPart();
  const gp_Vec way = gp_Vec(out[0], out[1], out[2]).Transformed(placed);
  Fastening fastening =
      fasteningOf(screw, joined, {{seat.X(), seat.Y(), seat.Z()}, {way.X(), way.Y(), way.Z()}});
  fastening.screw = instance;
  builder.addFastening(std::move(fastening));
}

namespace {

constexpr double kBufferPart = 0.25;  // of a buffer's thickness: under the washers, before heads
constexpr double kAboutWasherMm = 1;  // of its hole in the rubber
constexpr double kBesideBufferHoleMm = 3;  // rubber. All common practice, no source
constexpr double kThickestBufferScrewMm = 8;

double besideMm(const BufferScrews& screws) {
  return screws.bore_mm / 2 + kBesideBufferHoleMm;
}

}  // namespace

double BufferScrews::threadHoleMm() const {
  const ThreadClass& thread = threadClass(screw.thread_mm);
  return screw.is_tapped ? thread.tap_mm : thread.form_mm;
}

std::string BufferScrews::words() const {
  if (places.empty()) {
    return "bonded on";
  }
  return std::string(places.size() == 1 ? "a hole" : "two holes") + " dia " + shown(holeMm()) +
         ", sunk dia " + shown(bore_mm) + " to " + shown(under_mm) + " off its back, for M" +
         shown(screw.thread_mm);
}

BufferScrews bufferScrews(const BufferBlock& block, const BufferBack& back) {
  BufferScrews screws;
  screws.under_mm = std::round(kBufferPart * block.thick_mm);
  const ThreadClass* taken = nullptr;
  for (const ThreadClass& thread : threadClasses()) {
    const double head = thread.washer_thickness_mm + thread.thread_mm;
    if (thread.thread_mm <= kThickestBufferScrewMm && screws.under_mm > 0 &&
        block.thick_mm - screws.under_mm - head >= kBufferPart * block.thick_mm &&
        thread.washer_mm + kAboutWasherMm + 2 * kBesideBufferHoleMm <=
            std::min(block.across_mm, block.up_mm)) {
      taken = &thread;
    }
  }
  if (taken == nullptr) {
    return screws;
  }
  screws.bore_mm = taken->washer_mm + kAboutWasherMm;
  ScrewSizes& screw = screws.screw;
  screw = {ScrewKind::kSocket, taken->thread_mm};
  screw.has_washer = true;
  screw.grip_mm = screws.under_mm + taken->washer_thickness_mm;
  screw.is_tapped = back.is_plate;
  screw.length_mm =
      back.is_plate ? screwNoLonger_mm(screw.grip_mm + back.thickness_mm)
                    : screwNoShorter_mm(screw.grip_mm + hardware::kThreadWalls * back.thickness_mm);
  const double longer = std::max(block.across_mm, block.up_mm);
  std::vector<Point2> places;
  if (longer < 4 * besideMm(screws)) {
    places = {{block.across_mm / 2, block.up_mm / 2}};
  } else if (block.up_mm >= block.across_mm) {
    places = {{block.across_mm / 2, longer / 4}, {block.across_mm / 2, 3 * longer / 4}};
  } else {
    places = {{longer / 4, block.up_mm / 2}, {3 * longer / 4, block.up_mm / 2}};
  }
  const double off = screws.threadHoleMm() / 2 + kBesideBufferHoleMm;
  for (const Point2& at : places) {
    if (at.a - off >= back.low.a && at.a + off <= back.high.a && at.b - off >= back.low.b &&
        at.b + off <= back.high.b && screw.length_mm - screw.grip_mm >= taken->thread_mm / 2) {
      screws.places.push_back(at);
    }
  }
  return screws;
}

namespace {

/// Its back on X 0.
TopoDS_Shape bufferSolid(const BufferBlock& block, const BufferScrews& screws) {
  std::vector<RoundHole> bores;
  for (const Point2& at : screws.places) {
    RoundHole bore{{block.thick_mm, at.a, at.b}, {-1.0, 0, 0}};
    bore.radius_mm = screws.holeMm() / 2;
    bore.deep_mm = block.thick_mm;
    bore.wide_radius_mm = screws.bore_mm / 2;
    bore.wide_deep_mm = block.thick_mm - screws.under_mm;
    bores.push_back(bore);
  }
  return bored(box({0, 0, 0}, {block.thick_mm, block.across_mm, block.up_mm}), bores);
}

}  // namespace

int addBuffer(ModelBuilder& builder, const BufferBlock& block, const BufferScrews& screws,
              const BufferPlace& place) {
  BufferScrews own = screws;
  for (Point2& at : own.places) {
    at.a = place.faces_back ? block.across_mm - at.a : at.a;
  }
  std::vector<double> figures = {block.thick_mm, block.across_mm, block.up_mm};
  for (const Point2& at : own.places) {
    figures.insert(figures.end(), {at.a, at.b, own.bore_mm});
  }
  const int part = builder.part(
      {PartKind::kCatchBuffer,
       "block " + sizes({block.thick_mm, block.across_mm, block.up_mm}) + ", " + screws.words(),
       block.up_mm},
      figures, [=] { return bufferSolid(block, own); });
  const Point3& at = place.at;
  const int placed =
      place.faces_back
          ? builder.placeTurned(part, 0, {at[0] + block.thick_mm, at[1] + block.across_mm, at[2]})
          : builder.place(part, 0, at);
  builder.contact(placed, place.on, ContactKind::kBolted, place.what);
  const double seat = place.faces_back ? block.thick_mm - screws.under_mm : screws.under_mm;
  for (const Point2& hole : screws.places) {
    addScrew(
        builder, screws.screw, {placed, place.on, place.what},
        {{at[0] + seat, at[1] + hole.a, at[2] + hole.b}, {place.faces_back ? -1.0 : 1.0, 0, 0}});
  }
  return placed;
}

}  // namespace leafstack
