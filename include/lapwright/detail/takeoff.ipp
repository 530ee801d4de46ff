#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/lap.hpp>
#include <lapwright/length.hpp>
#include <lapwright/takeoff.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// A stretch of a region's boundary that takes a bead where a board ends at it.
struct BeadStretch {
  Point a, b;  ///< boards lie on the left
  double x_min = 0, x_max = 0;
};

/// Whether board ends along this stretch are sealed: upright or slanted, against trim (or another wall) that
/// leaves a gap. Never along a head (for a polygon every edge whose outward normal points up within 45
/// degrees), a base, a roof.
inline bool takes_bead(const Boundary& s) {
  if (s.gap <= 0 || std::fabs(s.a.y - s.b.y) <= tolerance) return false;
  switch (s.meets) {
    case Meets::corner:
    case Meets::top:  // a sloped one
    case Meets::rake:
    case Meets::wall:
      return true;
    case Meets::opening:
      // The opening's outward normal points to the boards, left of a to b: (-dy, dx).
      // Exactly 45 degrees is a head, whatever the noise of a moved edge.
      return s.b.x - s.a.x < std::fabs(s.b.y - s.a.y) * (1 - 1e-6);
    default:
      return false;
  }
}

/// Sums over the pieces of one wall.
class WallTakeoff {
public:
  WallTakeoff(const TakeoffWall& wall, const Pole& pole, const Rules& rules)
      : wall_(wall), pole_(pole), rules_(rules) {
    for (const Boundary& s : wall.region->boundary)
      if (takes_bead(s)) beads_.push_back({s.a, s.b, std::min(s.a.x, s.b.x), std::max(s.a.x, s.b.x)});
    std::sort(beads_.begin(), beads_.end(), [](const BeadStretch& a, const BeadStretch& b) {
      return a.x_min != b.x_min ? a.x_min < b.x_min : a.a.y < b.a.y;
    });
  }

  EdgeWork edge_work(const Piece& piece) const {
    EdgeWork work;
    const auto k = static_cast<std::size_t>(piece.course);
    const bool last = piece.course >= wall_.courses->last_course || k + 1 >= pole_.lines.size();
    const double shown = last ? std::numeric_limits<double>::infinity() : pole_.lines[k + 1];
    const double top = piece.y + rules_.board.width;
    const auto add = [&](const Ring& ring, bool hole) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        Point a = ring[i], b = ring[i + 1 < ring.size() ? i + 1 : 0];
        if (!hole) {
          const bool level = std::fabs(a.y - b.y) <= tolerance;
          if (level && (std::fabs(a.y - piece.y) <= tolerance || std::fabs(a.y - top) <= tolerance)) continue;
          if (piece.left.factory && a.x == piece.x_min && b.x == piece.x_min) continue;
          if (piece.right.factory && a.x == piece.x_max && b.x == piece.x_max) continue;
        }
        if (!clip_below(a, b, shown)) continue;
        const double dx = b.x - a.x, dy = b.y - a.y;
        work.prime_inches += std::sqrt(dx * dx + dy * dy);
        if (std::fabs(dy) > tolerance) work.sealant_inches += along_beads(a, b);
      }
    };
    add(piece.outline, false);
    for (const Ring& hole : piece.holes) add(hole, true);
    return work;
  }

private:
  /// Cuts a to b down to what lies below y; false where nothing does.
  static bool clip_below(Point& a, Point& b, double y) {
    if (a.y >= y - tolerance && b.y >= y - tolerance) return false;
    if (a.y > y)
      a = {a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)), y};
    else if (b.y > y)
      b = {a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)), y};
    return true;
  }

  /// Length of a to b that lies along stretches that take a bead.
  double along_beads(Point a, Point b) const {
    const double low = std::min(a.x, b.x) - tolerance, high = std::max(a.x, b.x) + tolerance;
    double sum = 0;
    for (const BeadStretch& s : beads_) {
      if (s.x_min > high) break;
      if (s.x_max < low) continue;
      const double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y;
      const double length = std::sqrt(dx * dx + dy * dy);
      const double off_a = cross(s.a, s.b, a) / length, off_b = cross(s.a, s.b, b) / length;
      // Pieces are on the layout's grid, a slope's boundary is not.
      if (std::fabs(off_a) > 4 * tolerance || std::fabs(off_b) > 4 * tolerance) continue;
      const double from = ((a.x - s.a.x) * dx + (a.y - s.a.y) * dy) / length;
      const double to = ((b.x - s.a.x) * dx + (b.y - s.a.y) * dy) / length;
      if (to <= from) continue;  // boards on its other side
      sum += std::max(0.0, std::min(to, length) - std::max(from, 0.0));
    }
    return sum;
  }

  const TakeoffWall& wall_;
  const Pole& pole_;
  const Rules& rules_;
  std::vector<BeadStretch> beads_;
};

/// Smallest exposure that a planned board leans by; the starter's where nothing laps.
inline double smallest_lean(const Pole& pole, const Rules& rules) {
  double least = rules.board.width - starter_width(rules);
  for (std::size_t k = static_cast<std::size_t>(std::max(0, pole.built - 1)); k < pole.exposures.size(); ++k)
    least = std::min(least, pole.exposures[k]);
  return least;
}

inline void take_staging(const TakeoffWall& w, const Pole& pole, const Rules& rules, Takeoff& out) {
  const std::vector<Piece>& pieces = *w.pieces;
  if (pieces.empty()) return;
  const auto first = static_cast<std::size_t>(std::max(w.courses->first_course, pole.built));
  const double base = pole.lines[std::min(first, pole.lines.size() - 1)];
  const double capacity =
      rules.staging.rating ? *rules.staging.rating * rules.staging.bay_length * rules.staging.bay_width / 144
                           : 0;
  const std::size_t begin = out.staging.size();
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    if (piece.outline.empty()) continue;
    double lowest = piece.outline.front().y, face = signed_area(piece.outline);
    for (Point p : piece.outline) lowest = std::min(lowest, p.y);
    for (const Ring& hole : piece.holes) face += signed_area(hole);
    const int number =
        1 + std::max(0, static_cast<int>(std::floor((lowest - base + tolerance) / rules.staging.lift)));
    // Lifts are few: from the top down, for pieces come from the bottom up.
    std::size_t at = out.staging.size();
    while (at > begin && out.staging[at - 1].lift > number) --at;
    if (at == begin || out.staging[at - 1].lift != number) {
      Lift lift;
      lift.wall = w.wall->name;
      lift.lift = number;
      lift.first_course = lift.last_course = piece.course;
      lift.capacity_lb = capacity;
      out.staging.insert(out.staging.begin() + static_cast<std::ptrdiff_t>(at), std::move(lift));
      ++at;
    }
    Lift& lift = out.staging[at - 1];
    lift.first_course = std::min(lift.first_course, piece.course);
    lift.last_course = std::max(lift.last_course, piece.course);
    lift.pieces += 1;
    lift.weight_lb += face / 144 * rules.board.weight;
    lift.hanging.push_back(i);
  }
  if (capacity <= 0) return;
  for (std::size_t i = begin; i < out.staging.size(); ++i) {
    Lift& lift = out.staging[i];
    lift.bays = std::max(1, static_cast<int>(std::ceil(lift.weight_lb / capacity - 1e-9)));
    if (lift.bays == 1) continue;
    Finding f;
    f.code = "staging";
    f.wall = lift.wall;
    f.measured = lift.weight_lb;
    f.limit = capacity;
    f.message = detail::format(
        "lift {} takes {:.0f} lb of pieces, one bay rated {} lb a square foot carries {:.0f} lb with nobody "
        "on it: "
        "spread them over {} bays or more, or bring them up in parts",
        lift.lift, lift.weight_lb, *rules.staging.rating, capacity, lift.bays);
    out.findings.push_back(std::move(f));
  }
}

inline void take_station(const TakeoffWall& w, Takeoff& out,
                         const std::vector<std::pair<std::string, double>>& board_of) {
  if (w.pieces->empty()) return;
  CutStation station;
  station.wall = w.wall->name;
  std::vector<double> middles;
  middles.reserve(w.pieces->size());
  for (const Piece& piece : *w.pieces) {
    middles.push_back((piece.x_min + piece.x_max) / 2);
    station.longest_piece = std::max(station.longest_piece, piece.length);
    const auto it = std::lower_bound(board_of.begin(), board_of.end(), piece.id,
                                     [](const auto& a, const std::string& id) { return a.first < id; });
    if (it != board_of.end() && it->first == piece.id)
      station.bench_inches = std::max(station.bench_inches, it->second);
  }
  station.bench_inches = std::max(station.bench_inches, station.longest_piece);
  station.x = median_of(middles);
  for (double x : middles) station.carry_inches += std::fabs(x - station.x);
  out.stations.push_back(std::move(station));
}

}  // namespace detail

LAPW_INLINE double bead_volume(double inches, double width, double depth) {
  return inches * width * depth;
}

LAPW_INLINE int cartridges_needed(double cubic_inches, double cartridge) {
  if (!(cubic_inches > 0) || !(cartridge > 0)) return 0;
  return static_cast<int>(std::ceil(cubic_inches / cartridge - 1e-9));
}

LAPW_INLINE double median_of(std::vector<double> middles) {
  if (middles.empty()) return 0;
  const auto half = middles.begin() + static_cast<std::ptrdiff_t>((middles.size() - 1) / 2);
  std::nth_element(middles.begin(), half, middles.end());
  return *half;
}

LAPW_INLINE Takeoff take_off(const std::vector<TakeoffWall>& walls, const Pole& pole, const Packing& packing,
                             double proven_minimum, const Rules& rules, const TakeoffOptions& options) {
  Takeoff out;
  Order& order = out.order;
  order.proven_minimum = proven_minimum;

  std::vector<int> counts(rules.board.lengths.size(), 0);
  int bought = 0;
  std::map<double, int> at_price;
  std::vector<std::pair<std::string, double>> board_of;
  for (const Board& board : packing.boards) {
    for (const Placement& cut : board.cut)
      if (!cut.piece.empty()) board_of.emplace_back(cut.piece, board.length);
    if (board.on_hand >= 0) continue;
    ++bought;
    ++at_price[board.price];
    order.weight_lb += board.length * rules.board.width / 144 * rules.board.weight;
    for (std::size_t i = 0; i < counts.size(); ++i)
      if (std::fabs(rules.board.lengths[i] - board.length) <= tolerance) {
        ++counts[i];
        break;
      }
  }
  // Prices added one by one end in noise, which may lie below a minimum that is proven.
  for (const auto& [price, boards] : at_price) order.cost += boards * price;
  std::sort(board_of.begin(), board_of.end());
  for (std::size_t i = 0; i < counts.size(); ++i)
    if (counts[i] > 0) order.boards.push_back({rules.board.lengths[i], counts[i]});
  order.allowance_boards = std::max(0, static_cast<int>(std::ceil(bought * rules.allowance - 1e-9)));

  if (rules.loads) out.loads = begin_loads(rules);
  bool any_piece = false;
  for (const TakeoffWall& w : walls) {
    const detail::WallTakeoff wall(w, pole, rules);
    for (const Piece& piece : *w.pieces) {
      any_piece = true;
      EdgeWork work = wall.edge_work(piece);
      order.prime_inches += work.prime_inches;
      order.sealant_inches += work.sealant_inches;
      if (work.prime_inches > 0 || work.sealant_inches > 0) {
        work.piece = piece.id;
        out.edges.push_back(std::move(work));
      }
    }
    order.joint_flashings += static_cast<int>(w.joints->size());
    for (const Starter& s : *w.starters) {
      const double dx = s.to.x - s.from.x, dy = s.to.y - s.from.y;
      order.starter_inches += std::sqrt(dx * dx + dy * dy);
    }
    const NailTally& tally = w.fastening->tally;
    order.nails.stud += tally.stud;
    order.nails.member += tally.member;
    order.nails.sheathing += tally.sheathing;
    order.nails.face += tally.face;
    const NailTally& starters = w.fastening->starter_tally;
    out.nails.starter += starters.stud + starters.member + starters.sheathing;
    if (out.loads) add_wall_loads(*out.loads, *w.wall, pole, *w.courses, *w.pieces, *w.fastening, rules);
    detail::take_staging(w, pole, rules, out);
    detail::take_station(w, out, board_of);
  }
  order.cartridges = cartridges_needed(bead_volume(order.sealant_inches, rules.seal.width, rules.seal.depth),
                                       rules.seal.cartridge);

  out.nails.face = order.nails.face;
  out.nails.blind = order.nails.stud + order.nails.member + order.nails.sheathing - order.nails.face;
  const int nails = out.nails.blind + out.nails.face + out.nails.starter;
  const int box = std::max(1, options.nails_per_box);
  out.nails.boxes = (nails + box - 1) / box;
  const double shank = rules.fasteners.shank;
  out.nails.weight_lb =
      nails * (3.14159265358979323846 / 4 * shank * shank * rules.fasteners.length * steel_lb_per_cubic_inch);

  const double lean = detail::smallest_lean(pole, rules);
  if (any_piece && lean > 0 && lean < rules.board.width) {
    out.least_trim = lap_profile(rules.board.width, rules.board.thickness, lean,
                                 std::min(rules.fasteners.top_edge, rules.board.width))
                         .least_trim;
    if (rules.trim && rules.trim->thickness < out.least_trim - tolerance) {
      Finding f;
      f.code = "trim_too_thin";
      f.measured = rules.trim->thickness;
      f.limit = out.least_trim;
      f.message = detail::format(
          "trim {} thick is not proud of the siding: at the smallest exposure of {} boards stand {:.3f} in "
          "off the wall, so "
          "it must be that thick or more",
          format_length(rules.trim->thickness, rules.courses.division),
          format_length(lean, rules.courses.division), out.least_trim);
      out.findings.push_back(std::move(f));
    }
  }
  return out;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
