#pragma once
/// \file bands.hpp  A region's share of each visible band, as plain rings in flat buffers: for a host that
/// draws courses while an edge or a line is dragged, and keeps one of these warm.
#include <cstddef>
#include <vector>

#include <lapwright/geometry.hpp>
#include <lapwright/wall.hpp>

namespace lapwright {
inline namespace v0 {

/// One ring of a band's share: CourseBands::points()[first .. first + count).
struct BandRing {
  std::size_t first = 0;
  std::size_t count = 0;
  std::size_t band = 0;  ///< between lines[band] and lines[band + 1]
  double area = 0;       ///< square inches; > 0: outer, counter-clockwise; < 0: a hole, clockwise
};

/// Cuts a region along level lines. What find_runs adds (laps, legs, what is hidden) is not in here: these
/// are the faces that show, corner to corner. Coordinates that lie within `tolerance` of a line are on it.
///
/// Nothing allocates once it has seen a wall and a pole of the size. Time: O(n log n) in the corners of the
/// region, a comparison or two for each opening and corner of the outline, and what the bands' own corners
/// take; where nothing begins, ends or bends inside a band, its pieces are read off its two lines.
class CourseBands {
public:
  CourseBands();
  ~CourseBands();
  CourseBands(CourseBands&&) noexcept;
  CourseBands& operator=(CourseBands&&) noexcept;

  /// Takes the rings of a region instead of those it held.
  void load(const Region& region);

  /// The same ring by ring: boards on the left of each edge, no two rings crossing, none crossing itself.
  void clear();
  void add_ring(const Point* points, std::size_t count);

  /// Fills rings() and points().
  /// \param lines  inches, each more than 2 * tolerance above the one before; bands lie between neighbours
  void cut(const double* lines, std::size_t count);
  void cut(const std::vector<double>& lines) { cut(lines.data(), lines.size()); }

  /// By band; each ring starts at its lowest, then leftmost corner.
  const std::vector<BandRing>& rings() const;
  /// Of all rings, one after another.
  const Point* points() const;
  std::size_t point_count() const;

private:
  struct Work;
  std::vector<Work> work_;  // one; <memory> would cost an includer more than all of this library
};

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/bands.ipp>
#endif
