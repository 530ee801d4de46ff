#pragma once
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house_model.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/detail/nesting.hpp>
#include <lapwright/detail/polygon.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::size_t house_layouts_of_run = 200;  // listed; more are bounded by their pieces
inline constexpr std::int64_t shaped_grid = 8;            // units of weight; of what is no plain blank
inline constexpr std::size_t share_thresholds = 16;       // tried for a share of a board's height

// ---- Shares of a board's height ---------------------------------------------------------------------------

/// Share of a thing that is `height` high over one x, on the blank's lower or upper long edge or not.
inline double share_of(const HeightShare& share, double height, bool lower, bool upper) {
  if (!(share.threshold > 0)) return std::min(1.0, height / share.width);
  if (height > share.width - share.threshold - share.kerf + tolerance) return 1;
  if (height < share.threshold - tolerance) return 0;
  if (!share.turnable) return lower ? 1 : 0;
  return lower || upper ? 0.5 : 0;
}

LAPW_INLINE std::vector<HeightSlab> height_slabs(const Run& run, double line, double width) {
  const Polygon& shape = run.shape;
  std::vector<HeightSlab> out;
  if (shape.holes.empty() && shape.outer.size() == 4) {
    const Box box = bounds(shape.outer);
    const double full = (box.x_max - box.x_min) * width;
    if (std::abs(signed_area(shape.outer) - full) <= tolerance * (1 + full)) {
      out.push_back({box.x_min, box.x_max, width, width, true, true, true});
      return out;
    }
  }
  std::vector<double> xs;
  const auto take = [&xs](const Ring& ring) {
    for (Point p : ring) xs.push_back(p.x);
  };
  take(shape.outer);
  for (const Ring& hole : shape.holes) take(hole);
  std::sort(xs.begin(), xs.end());
  std::vector<double> ys;
  const auto section = [&](double x, double& height, double& lowest, double& highest) {
    ys.clear();
    for (std::size_t ring = 0; ring <= shape.holes.size(); ++ring) {
      const Ring& points = ring == 0 ? shape.outer : shape.holes[ring - 1];
      for (std::size_t i = 0; i < points.size(); ++i) {
        const Point a = points[i], b = points[(i + 1) % points.size()];
        if ((a.x <= x) != (b.x <= x)) ys.push_back(a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)));
      }
    }
    std::sort(ys.begin(), ys.end());
    height = 0;
    for (std::size_t i = 0; i + 1 < ys.size(); i += 2) height += ys[i + 1] - ys[i];
    lowest = ys.empty() ? line : ys.front();
    highest = ys.empty() ? line : ys.back();
  };
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) {
    const double a = xs[i], b = xs[i + 1];
    if (b - a <= tolerance) continue;
    double h1, h2, low1, low2, high1, high2;
    section(a + (b - a) / 4, h1, low1, high1);
    section(a + (b - a) * 3 / 4, h2, low2, high2);
    const double slope = (h2 - h1) * 2 / (b - a);
    HeightSlab slab;
    slab.low = a;
    slab.high = b;
    slab.height_low = std::max(0.0, h1 - slope * (b - a) / 4);
    slab.height_high = std::max(0.0, h2 + slope * (b - a) / 4);
    slab.lower = std::max(low1, low2) <= line + tolerance;
    slab.upper = std::min(high1, high2) >= line + width - tolerance;
    slab.full = std::min(slab.height_low, slab.height_high) >= width - tolerance;
    out.push_back(slab);
  }
  return out;
}

LAPW_INLINE ShareProfile::ShareProfile(const std::vector<HeightSlab>& slabs, const HeightShare& share) {
  full_ = slabs.size() == 1 && slabs[0].full;
  for (const HeightSlab& slab : slabs) {
    const double a = slab.low, b = slab.high, ha = slab.height_low, hb = slab.height_high;
    if (!(share.threshold > 0) || slab.full) {
      slabs_.push_back({a, b, slab.full ? 1 : share_of(share, ha, slab.lower, slab.upper),
                        slab.full ? 1 : share_of(share, hb, slab.lower, slab.upper), slab.full});
      continue;
    }
    // The share changes where the height passes a threshold.
    const double slope = (hb - ha) / (b - a);
    const auto passes = [&](double at) {
      const double x = (ha < at) != (hb < at) ? a + (at - ha) / slope : b;
      return x > a && x < b ? x : b;
    };
    const double first = passes(share.threshold - tolerance);
    const double second = passes(share.width - share.threshold - share.kerf + tolerance);
    const double cuts[] = {a, std::min(first, second), std::max(first, second), b};
    for (std::size_t k = 0; k < 3; ++k) {
      if (cuts[k + 1] <= cuts[k]) continue;
      const double mid = (cuts[k] + cuts[k + 1]) / 2;
      const double value = share_of(share, ha + slope * (mid - a), slab.lower, slab.upper);
      slabs_.push_back({cuts[k], cuts[k + 1], value, value, false});
    }
  }
}

LAPW_INLINE double ShareProfile::integral(double low, double high) const {
  if (full_) return std::max(0.0, high - low);
  double sum = 0;
  for (const Slab& slab : slabs_) {
    const double a = std::max(low, slab.low), b = std::min(high, slab.high);
    if (b <= a) continue;
    const double slope = (slab.share_high - slab.share_low) / (slab.high - slab.low);
    sum += (b - a) * (slab.share_low + slope * ((a + b) / 2 - slab.low));
  }
  return sum;
}

LAPW_INLINE double ShareProfile::greatest(double low, double high) const {
  if (full_) return 1;
  double best = 0;
  for (const Slab& slab : slabs_) {
    const double a = std::max(low, slab.low), b = std::min(high, slab.high);
    if (b - a <= tolerance) continue;
    const double slope = (slab.share_high - slab.share_low) / (slab.high - slab.low);
    best = std::max(
        best, std::max(slab.share_low + slope * (a - slab.low), slab.share_low + slope * (b - slab.low)));
  }
  return best;
}

LAPW_INLINE bool ShareProfile::fills(double low, double high) const {
  return integral(low, high) >= high - low - tolerance;
}

LAPW_INLINE RowTaken ShareProfile::taken(double low, double high) const {
  RowTaken out;
  if (high <= low) return out;
  if (full_) {
    out.length = high - low;
    out.greatest = 1;
    out.core = true;
    return out;
  }
  out.greatest = greatest(low, high);
  const auto inside = [&](std::size_t k) {
    return k < slabs_.size() && slabs_[k].some() && slabs_[k].high > low + tolerance &&
           slabs_[k].low < high - tolerance;
  };
  // Stretches that have a share all along, each with a core of its own.
  double reached = low;
  for (std::size_t i = 0; i < slabs_.size();) {
    std::size_t j = i;
    while (inside(j) && (j == i || slabs_[j].low <= slabs_[j - 1].high + tolerance)) ++j;
    if (j == i) {
      ++i;
      continue;
    }
    const double begin = std::max(low, slabs_[i].low), end = std::min(high, slabs_[j - 1].high);
    out.length += integral(begin, end);
    std::size_t first = j, last = i;  // of full height, else the first part of share 1
    for (std::size_t k = i; k < j; ++k)
      if (slabs_[k].full) {
        if (first == j) first = k;
        last = k;
      }
    for (std::size_t k = i; k < j && first == j; ++k)
      if (slabs_[k].one()) first = last = k;
    if (first == j) {
      out.halves = false;
    } else {
      while (first > i && slabs_[first - 1].one()) --first;
      while (last + 1 < j && slabs_[last + 1].one()) ++last;
      const double core_begin = std::max(low, slabs_[first].low);
      const double core_end = std::min(high, slabs_[last].high);
      const double closed = std::max(0.0, core_end - core_begin - integral(core_begin, core_end));
      out.closed += closed;
      out.length += closed;
      if (out.core) {
        if (out.right > tolerance) out.inner.push_back(out.right);
        if (core_begin - begin > tolerance) out.inner.push_back(core_begin - begin);
      } else {
        out.left = core_begin - begin;
        out.to_left = begin <= low + tolerance;
      }
      out.right = end - core_end;
      out.core = true;
      for (std::size_t k = i; k < j; ++k)
        if ((k < first || k > last) && !slabs_[k].half()) out.halves = false;
    }
    reached = end;
    i = j;
  }
  out.to_right = reached >= high - tolerance;
  return out;
}

/// Notches between stretches of full height.
inline void add_closed(const std::vector<HeightSlab>& slabs, std::vector<ClosedNotch>& notches) {
  std::size_t full = slabs.size();  // the last of full height
  for (std::size_t k = 0; k < slabs.size(); ++k) {
    if (!slabs[k].full) continue;
    if (full < k && k - full > 1) {
      ClosedNotch notch{slabs[k].low - slabs[full].high, slabs[full + 1].height_low};
      for (std::size_t i = full + 1; i < k; ++i)
        notch.lowest = std::min({notch.lowest, slabs[i].height_low, slabs[i].height_high});
      notches.push_back(notch);
    }
    full = k;
  }
}

/// Every run of a house as its heights, and which of them are loose.
struct HouseHeights {
  std::vector<std::vector<std::vector<HeightSlab>>> slabs;  // by wall, run
  std::vector<std::vector<char>> loose;                     // the same
  std::vector<std::vector<char>> alone;                     // nothing that is not loose lies above it
  bool closed = true;                                       // notches keep out what is not loose
};

/// Whether a piece as long and high, without factory ends, may stand in one of the notches.
inline bool fits_notch(const std::vector<ClosedNotch>& notches, double length, double height,
                       const Rules& rules) {
  for (const ClosedNotch& notch : notches)
    if (length <= notch.width + tolerance &&
        height + notch.lowest + rules.cutting.kerf <= rules.board.width + tolerance)
      return true;
  return false;
}

/// A run is alone where even its lowest place and the lowest of any other are too high for one board: it
/// takes its whole length of a row then. Nothing that is not loose stands between stretches of full height.
inline void find_alone(HouseHeights& heights, const std::vector<std::vector<Layout>>& chosen,
                       const Rules& rules) {
  const double width = rules.board.width;
  std::vector<std::vector<double>> lowest(heights.slabs.size());
  double least = 2 * width, second = least;  // of all runs
  for (std::size_t w = 0; w < heights.slabs.size(); ++w)
    for (std::size_t r = 0; r < heights.slabs[w].size(); ++r) {
      const std::vector<HeightSlab>& slabs = heights.slabs[w][r];
      std::size_t first = slabs.size(), last = 0;  // of full height
      for (std::size_t k = 0; k < slabs.size() && heights.closed && chosen[w][r].joints.empty(); ++k)
        if (slabs[k].full) {
          first = std::min(first, k);
          last = k;
        }
      double own = width;
      for (std::size_t k = 0; k < slabs.size(); ++k)
        if (k <= first || k >= last) own = std::min({own, slabs[k].height_low, slabs[k].height_high});
      lowest[w].push_back(own);
      if (heights.loose[w][r]) continue;
      second = std::min(second, std::max(least, own));
      least = std::min(least, own);
    }
  for (std::size_t w = 0; w < heights.slabs.size(); ++w) {
    heights.alone.emplace_back();
    for (std::size_t r = 0; r < heights.slabs[w].size(); ++r) {
      const double own = lowest[w][r];
      double other = own > least ? least : second;
      if (!chosen[w][r].joints.empty()) other = std::min(other, own);  // its own pieces
      heights.alone.back().push_back(!heights.loose[w][r] &&
                                     own + other + rules.cutting.kerf > width + tolerance);
    }
  }
}

inline HouseHeights house_heights(const std::vector<SearchWall>& walls,
                                  const std::vector<std::vector<Layout>>& chosen, const Pole& pole,
                                  const Rules& rules) {
  HouseHeights out;
  std::vector<ClosedNotch> notches;
  for (const SearchWall& wall : walls) {
    out.slabs.emplace_back();
    for (const Run& run : wall.runs->runs) {
      out.slabs.back().push_back(
          height_slabs(run, pole.lines[static_cast<std::size_t>(run.course)], rules.board.width));
      add_closed(out.slabs.back().back(), notches);
    }
  }
  for (std::size_t w = 0; w < walls.size(); ++w) {
    out.loose.emplace_back();
    for (std::size_t r = 0; r < walls[w].runs->runs.size(); ++r) {
      const Run& run = walls[w].runs->runs[r];
      double highest = 0, lowest = rules.board.width;
      for (const HeightSlab& slab : out.slabs[w][r]) {
        highest = std::max({highest, slab.height_low, slab.height_high});
        lowest = std::min({lowest, slab.height_low, slab.height_high});
      }
      const bool whole = chosen[w][r].joints.empty();
      out.loose.back().push_back(whole && fits_notch(notches, run.x_max - run.x_min, highest, rules));
      // Any part of a run that is jointed without factory ends may be a piece of its own.
      if (!whole && !rules.joints.factory_ends && fits_notch(notches, 0, lowest, rules)) out.closed = false;
    }
  }
  find_alone(out, chosen, rules);
  return out;
}

/// The share under which the house weighs most: all are valid, the greatest proves most.
/// \param row  of what is not loose alone; of shares that are nearly as great, one of a low threshold then,
///   since open ends reach further
inline HeightShare best_share(const std::vector<SearchWall>& walls, const HouseHeights& heights,
                              const Rules& rules, bool row) {
  HeightShare share{rules.board.width, 0, rules.cutting.kerf, rules.board.turnable};
  const double greatest = (share.width - share.kerf) / 2;
  std::vector<double> thresholds{0, 0.25, greatest};
  std::vector<const std::vector<HeightSlab>*> shaped;
  double plain = 0;
  for (std::size_t w = 0; w < walls.size(); ++w) {
    if (!row)
      for (const Starter& starter : walls[w].runs->starters) thresholds.push_back(starter.width);
    for (std::size_t r = 0; r < heights.slabs[w].size(); ++r) {
      const std::vector<HeightSlab>& slabs = heights.slabs[w][r];
      if (slabs.empty()) continue;
      const bool full = (slabs.size() == 1 && slabs[0].full) || (row && heights.alone[w][r]);
      if (full) plain += slabs.back().high - slabs.front().low;
      if (full || (row && heights.loose[w][r])) continue;
      shaped.push_back(&slabs);
      for (const HeightSlab& slab : slabs)
        for (double height : {slab.height_low, slab.height_high}) {
          if (slab.full) continue;
          thresholds.push_back(height);
          // A hair above: then it is too high for anything that counts to share its board.
          thresholds.push_back(share.width - share.kerf - height + 1e-3);
        }
    }
  }
  // Alike ones once, from the lowest; not too many.
  std::sort(thresholds.begin(), thresholds.end());
  std::vector<double> tried;
  for (double alike = 1.0 / 16; tried.empty() || tried.size() > share_thresholds; alike *= 2) {
    tried.clear();
    for (double threshold : thresholds)
      if (threshold >= 0 && threshold <= greatest + tolerance &&
          (tried.empty() || threshold > tried.back() + alike || threshold >= greatest))
        tried.push_back(std::min(threshold, greatest));
  }
  HeightShare best = share;
  double most = -1;
  for (double threshold : tried) {
    share.threshold = threshold;
    double sum = plain;
    for (const std::vector<HeightSlab>* slabs : shaped) {
      const ShareProfile profile(*slabs, share);
      const double low = slabs->front().low, high = slabs->back().high;
      if (!row) {
        sum += profile.integral(low, high);
        continue;
      }
      const RowTaken taken = profile.taken(low, high);
      sum += heights.closed ? taken.length : taken.length - taken.closed;
      if (taken.core && taken.halves) sum += (taken.left + taken.right) / 32;
    }
    if (!row)
      for (const SearchWall& wall : walls)
        for (const Starter& starter : wall.runs->starters) {
          const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
          const bool base = starter.where == StarterPlace::base;
          sum += share_of(share, starter.width, base, false) * std::sqrt(dx * dx + dy * dy);
        }
    if (sum > most + tolerance) {
      most = sum;
      best = share;
    }
  }
  return best;
}

// ---- How far the rules are relaxed ------------------------------------------------------------------------

/// A stud that carries a joint of a nailed course.
struct BuiltStud {
  int course = 0;
  double centre = 0;
};

inline std::vector<BuiltStud> built_studs(const Wall& wall, const Pole& pole, const Rules& rules) {
  std::vector<BuiltStud> out;
  const std::vector<Stud> studs = lay_studs(wall);
  for (const BuiltJoint& joint : rules.courses.joints_built) {
    if (joint.wall != wall.name || joint.course < 0 || joint.course >= pole.built) continue;
    BuiltStud at{joint.course, joint.x};
    double nearest = -1;
    for (const Stud& stud : studs) {
      const double d = std::abs(stud.centre - joint.x);
      if (d > stud.width / 2 + tolerance || (nearest >= 0 && d >= nearest)) continue;
      nearest = d;
      at.centre = stud.centre;
    }
    out.push_back(at);
  }
  return out;
}

/// Whether a layout agrees with the joints of nailed courses.
inline bool keeps_clear(const Layout& layout, const Run& run, const CourseLimits& limits,
                        const std::vector<BuiltStud>& built) {
  for (const BuiltStud& stud : built) {
    const int apart = run.course - stud.course;
    for (const LayoutJoint& joint : layout.joints) {
      const double d = std::abs(joint.centre - stud.centre);
      if (apart < limits.repeat_after && d <= tolerance) return false;
      if (apart == 1 && d < limits.stagger - tolerance) return false;
    }
  }
  return true;
}

LAPW_INLINE WallLimits limits_of(const Wall& wall, const Runs& runs, const std::vector<Layout>& chosen,
                                 const Pole& pole, const Rules& rules) {
  WallLimits out;
  CourseLimits strict;
  strict.limits = strict_limits(rules);
  strict.stagger = rules.joints.stagger;
  strict.repeat_after = rules.joints.repeat_after;
  out.courses.assign(pole.lines.size(), strict);
  std::vector<std::vector<const LayoutJoint*>> joints(pole.lines.size());
  const std::vector<BuiltStud> built = built_studs(wall, pole, rules);
  std::vector<LayoutJoint> built_joints(built.size());
  for (std::size_t i = 0; i < built.size(); ++i) {
    built_joints[i].x = built_joints[i].centre = built[i].centre;
    joints[static_cast<std::size_t>(built[i].course)].push_back(&built_joints[i]);
  }
  for (std::size_t r = 0; r < chosen.size(); ++r)
    for (const LayoutJoint& joint : chosen[r].joints)
      joints[static_cast<std::size_t>(runs.runs[r].course)].push_back(&joint);
  for (std::size_t r = 0; r < chosen.size(); ++r) {
    const Layout& layout = chosen[r];
    if (layout.joints.empty()) continue;
    CourseLimits& course = out.courses[static_cast<std::size_t>(runs.runs[r].course)];
    if ((layout.broken & rule_whole_middle) != 0) {
      course.limits.cut_middles = true;
      course.cut_middles = std::max(course.cut_middles, layout.cut_middles);
    }
    if ((layout.broken & rule_limits) != 0) course.limits.split_ends = true;
    for (const LayoutPiece& piece : layout.pieces)
      course.limits.min_piece = std::min(course.limits.min_piece, piece.x_max - piece.x_min);
    for (const LayoutJoint& joint : layout.joints)
      course.limits.window = std::max(course.limits.window, std::abs(joint.x - joint.centre));
  }
  for (std::size_t k = 0; k < joints.size(); ++k)
    for (const LayoutJoint* joint : joints[k])
      for (int apart = 1; apart <= std::max(1, rules.joints.repeat_after - 1) && apart <= static_cast<int>(k);
           ++apart)
        for (const LayoutJoint* other : joints[k - static_cast<std::size_t>(apart)]) {
          const double d = std::abs(joint->centre - other->centre);
          if (d <= tolerance) out.courses[k].repeat_after = std::min(out.courses[k].repeat_after, apart);
          if (apart == 1) out.courses[k].stagger = std::min(out.courses[k].stagger, d);
        }
  return out;
}

// ---- Translation ------------------------------------------------------------------------------------------

inline std::vector<HeightSlab> whole_length(const std::vector<HeightSlab>& slabs, double width) {
  if (slabs.empty()) return {};
  return {{slabs.front().low, slabs.back().high, width, width, true, true, true}};
}

/// Pieces of one run as needs.
class RunTranslator {
public:
  RunTranslator(const Run& run, double line, const std::vector<HeightSlab>& slabs,
                const HouseTranslation& house, bool rows, bool closed, bool alone, const CourseLimits& limits,
                const Rules& rules, std::size_t bought)
      : run_(run),
        profile_(slabs, house.share),
        row_(rows && alone ? whole_length(slabs, rules.board.width) : slabs,
             rows ? house.row_share : house.share),
        height_(slabs, {rules.board.width, 0, rules.cutting.kerf, rules.board.turnable}),
        nest_(nest_shape(run.shape.outer, run.x_min, run.x_max, line, rules.board.width)),
        layers_(house.layers),
        rows_(rows),
        closed_(closed),
        limits_(limits),
        rules_(rules),
        per_inch_(house.per_inch),
        bought_(bought) {}

  /// The least that a piece between two places takes; a joint's x may be anywhere in its window.
  HouseNeed need(double left, bool left_joint, double right, bool right_joint, int ends) const {
    const double slack = limits_.limits.window + rules_.joints.gap / 2;
    const double low = left_joint ? left + slack : left, high = right_joint ? right - slack : right;
    HouseNeed out;
    if (!(high > low)) return out;
    const RowTaken taken = row_.taken(low, high);
    const auto units = [this](double inches) {
      return static_cast<std::int64_t>(std::floor(inches * per_inch_ + 1e-4));
    };
    const double kerf = rules_.cutting.kerf;
    const std::int64_t shared = units(profile_.integral(low, high) + kerf * profile_.greatest(low, high));
    out.weight = rows_ ? units(taken.length - (closed_ ? 0 : taken.closed) + kerf * taken.greatest) : shared;
    out.closed = out.weight - shared;
    // Where the end is low, another may stand above it at the same end of the board.
    if (ends == 1 && (left_joint ? row_.greatest(low, low + tolerance * 8)
                                 : row_.greatest(high - tolerance * 8, high)) < 1)
      ends = 0;
    out.ends = ends;
    out.open = open_ends(taken, left_joint, right_joint);
    return out;
  }
  double share_of_run() const { return profile_.integral(run_.x_min, run_.x_max); }

  /// The bought stock of which a piece of this length is a whole board, or npos.
  std::size_t whole(double length) const {
    for (std::size_t s = 0; s < bought_; ++s)
      if (std::abs(rules_.board.lengths[s] - length) <= 2 * tolerance) return s;
    return npos;
  }

  /// Whether two such pieces lie one above the other.
  bool is_low(const LayoutPiece& piece) const {
    NestShape here = nest_;
    here.height = height_.greatest(piece.x_min, piece.x_max) * rules_.board.width;
    return here.low(rules_);
  }

  /// What a piece takes as it is cut, in a model that layouts are chosen from: half of its length where two
  /// such lie one above the other, else its length, less `part` of half of what slanted ends can save.
  HouseNeed need_as_cut(const LayoutPiece& piece, int ends, double part) const {
    HouseNeed out;
    const double length = piece.x_max - piece.x_min;
    double taken = length + rules_.cutting.kerf;
    double saved = 0;
    if (piece.x_min <= run_.x_min + tolerance && nest_.left != 0) saved += lean_saving(nest_.left, rules_);
    if (piece.x_max >= run_.x_max - tolerance && nest_.right != 0) saved += lean_saving(nest_.right, rules_);
    taken -= std::min(saved, length) / 2 * part;
    const bool low = is_low(piece);
    if (low) taken /= 2;
    out.ends = low ? 0 : ends;
    // Where all of a slant nests and no kerf is lost, nothing would be left: it is still a piece.
    out.weight = std::max<std::int64_t>(1, static_cast<std::int64_t>(std::ceil(taken * per_inch_ - 1e-4)));
    // Hardly two of them are alike: rounded up, there are fewer kinds to price.
    if ((saved > 0 || low) && out.weight % shaped_grid != 0)
      out.weight += shaped_grid - out.weight % shaped_grid;
    return out;
  }

  /// \param part  as in need_as_cut; negative: as bounded
  HouseLayout layout(const Layout& from, bool cut, double part = -1) const {
    HouseLayout out;
    const std::size_t n = from.joints.size();
    for (const LayoutJoint& joint : from.joints) out.studs.push_back(joint.centre);
    for (std::size_t i = 0; i <= n; ++i) {
      const bool left = i > 0, right = i < n;
      const LayoutPiece& piece = from.pieces[i];
      const bool middle = left && right;
      const bool factory = rules_.joints.factory_ends;
      // A whole board takes all of one only where it is as high as one, wherever in their windows its joints
      // are: others share their board. As it is cut, it does so where it is low.
      const auto edge = [&](std::size_t joint, double side) {
        return from.joints[joint].centre + side * (limits_.limits.window - rules_.joints.gap / 2);
      };
      const auto alone = [&] { return part >= 0 ? !is_low(piece) : fills(edge(i - 1, -1), edge(i, 1)); };
      const std::size_t stock =
          middle && factory && piece.left_factory && piece.right_factory && !cut && alone()
              ? whole(piece.x_max - piece.x_min)
              : npos;
      if (stock != npos) {
        out.whole.push_back(stock);
        continue;
      }
      const int ends = !factory                                                         ? 0
                       : middle                                                         ? 1
                       : (left && piece.left_factory) || (right && piece.right_factory) ? 1
                                                                                        : 0;
      if (part >= 0)
        out.needs.push_back(need_as_cut(piece, ends, part));
      else
        add(need(left ? from.joints[i - 1].centre : run_.x_min, left,
                 right ? from.joints[i].centre : run_.x_max, right, ends),
            out.needs);
    }
    return out;
  }

  /// Every piece between places of joints, for a run with too many layouts to list.
  std::vector<HouseLink> links(const std::vector<Stud>& studs, double longest) const {
    std::vector<double> at{run_.x_min};
    const double window = limits_.limits.window;
    for (const Stud& stud : studs)
      if (stud.centre + window > run_.x_min && stud.centre - window < run_.x_max) at.push_back(stud.centre);
    at.push_back(run_.x_max);
    std::vector<HouseLink> out;
    const std::size_t last = at.size() - 1;
    const double slack = 2 * window + rules_.joints.gap;
    const bool factory = rules_.joints.factory_ends;
    for (std::size_t i = 0; i < last; ++i)
      for (std::size_t j = i + 1; j <= last; ++j) {
        const bool left = i > 0, right = j < last;
        const double length = at[j] - at[i];
        if (length - slack > longest + tolerance) break;
        if (length + slack < limits_.limits.min_piece - tolerance) continue;
        HouseLink link{i, j, {}, {}};
        add(need(at[i], left, at[j], right, factory && (left || right) ? 1 : 0), link.needs);
        if (left && right && factory) {
          const double play = window - rules_.joints.gap / 2;
          const bool alone = fills(at[i] - play, at[j] + play);
          for (std::size_t s = 0; s < bought_; ++s)
            if (std::abs(rules_.board.lengths[s] + rules_.joints.gap - length) <= 2 * window + 2 * tolerance)
              out.push_back(alone ? HouseLink{i, j, {}, {s}} : link);
          if (!limits_.limits.cut_middles) continue;
        }
        out.push_back(std::move(link));
      }
    return out;
  }

private:
  /// Nothing shares a board with it there, loose things neither.
  bool fills(double low, double high) const { return profile_.fills(low, high) && row_.fills(low, high); }

  /// Layers that an odd number of ends is open through.
  int open_ends(const RowTaken& taken, bool left_joint, bool right_joint) const {
    if (!rows_ || layers_.empty()) return 0;
    if (!taken.core || !taken.halves) return house_any;
    // A joint's own x decides how far an end beside it reaches.
    if (left_joint && (taken.left > tolerance || !taken.to_left)) return house_any;
    if (right_joint && (taken.right > tolerance || !taken.to_right)) return house_any;
    int odd = 0;
    const auto count = [&](double reach) {
      for (std::size_t l = 0; l < layers_.size(); ++l) {
        if (reach >= layers_[l].to)
          odd ^= 1 << l;
        else if (reach > layers_[l].from)
          odd = house_any;
      }
      return odd < house_any;
    };
    if (!count(taken.left) || !count(taken.right)) return house_any;
    for (double reach : taken.inner)
      if (!count(reach)) return house_any;
    return odd;
  }

  /// What takes nothing of a board needs nothing.
  static void add(const HouseNeed& need, std::vector<HouseNeed>& needs) {
    if (need.weight > 0) needs.push_back(need);
  }

  const Run& run_;
  ShareProfile profile_, row_, height_;
  NestShape nest_;
  const std::vector<OpenLayer>& layers_;
  bool rows_, closed_;
  const CourseLimits& limits_;
  const Rules& rules_;
  double per_inch_;
  std::size_t bought_;
};

inline constexpr double open_plain = 1.0 / 16;  // in; an end that reaches no further is plain
inline constexpr double open_alike = 1.0 / 8;   // in; ends that differ by less are of one slope
inline constexpr std::size_t open_slopes = 12;  // of the most ends, tried as layers

/// Layers of open ends that waste most where one is left over.
inline std::vector<OpenLayer> open_layers(const HouseHeights& heights, const HeightShare& share,
                                          double plain) {
  std::vector<double> reaches;
  for (std::size_t w = 0; w < heights.slabs.size(); ++w)
    for (std::size_t r = 0; r < heights.slabs[w].size(); ++r) {
      const std::vector<HeightSlab>& slabs = heights.slabs[w][r];
      if (slabs.empty() || (slabs.size() == 1 && slabs[0].full) || heights.loose[w][r] || heights.alone[w][r])
        continue;
      const RowTaken taken = ShareProfile(slabs, share).taken(slabs.front().low, slabs.back().high);
      if (!taken.core || !taken.halves) continue;
      for (double reach : {taken.left, taken.right})
        if (reach > plain) reaches.push_back(reach);
    }
  std::sort(reaches.begin(), reaches.end());
  struct Slope {
    double least = 0, greatest = 0;
    std::size_t ends = 0;
  };
  std::vector<Slope> slopes;
  for (double reach : reaches) {
    if (slopes.empty() || reach > slopes.back().greatest + open_alike) slopes.push_back({reach, reach, 0});
    slopes.back().greatest = reach;
    ++slopes.back().ends;
  }
  std::stable_sort(slopes.begin(), slopes.end(),
                   [](const Slope& a, const Slope& b) { return a.ends > b.ends; });
  if (slopes.size() > open_slopes) slopes.resize(open_slopes);
  std::sort(slopes.begin(), slopes.end(), [](const Slope& a, const Slope& b) { return a.least < b.least; });
  // A hair below, so that every way to measure them finds that they reach through.
  const auto layer = [](double from, const Slope& to) { return OpenLayer{from, to.least - 1e-3}; };
  std::vector<OpenLayer> best;
  double most = 0;
  const auto weigh = [&](std::vector<OpenLayer> layers) {
    double sum = 0;
    for (double reach : reaches) {
      double own = 0;
      for (const OpenLayer& l : layers) {
        if (!(l.to > l.from)) return;
        if (reach >= l.to)
          own += l.to - l.from;
        else if (reach > l.from) {
          own = 0;
          break;
        }
      }
      sum += own;
    }
    if (sum > most * 1.05) {
      most = sum;
      best = std::move(layers);
    }
  };
  for (const Slope& first : slopes) weigh({layer(plain, first)});
  for (std::size_t i = 0; i < slopes.size(); ++i)
    for (std::size_t j = i + 1; j < slopes.size(); ++j)
      weigh({layer(plain, slopes[i]), layer(slopes[i].greatest, slopes[j])});
  return best;
}

LAPW_INLINE HouseTranslation translate_house(const std::vector<SearchWall>& walls,
                                             const std::vector<std::vector<Layout>>& chosen, const Pole& pole,
                                             const Rules& rules) {
  HouseTranslation out;
  out.as_cut.resize(sizeof(nested_parts) / sizeof(nested_parts[0]));
  const std::vector<double> prices = board_prices(rules);
  double longest = longest_board(rules);
  for (const StockOffcut& offcut : rules.board.offcuts) longest = std::max(longest, offcut.length);
  while (out.per_inch > 1e-3 && out.per_inch * (longest + rules.cutting.kerf) > house_units_on_board)
    out.per_inch /= 2;
  const auto capacity = [&](double length) {
    return static_cast<std::int64_t>(std::floor((length + rules.cutting.kerf) * out.per_inch + 1e-4));
  };
  for (std::size_t s = 0; s < prices.size(); ++s)
    out.model.stocks.push_back({capacity(rules.board.lengths[s]), 2, prices[s], -1});
  for (const StockOffcut& offcut : rules.board.offcuts) {
    const int ends = (offcut.factory_left ? 1 : 0) + (offcut.factory_right ? 1 : 0);
    bool known = false;
    for (std::size_t s = prices.size(); s < out.model.stocks.size() && !known; ++s)
      if (out.model.stocks[s].capacity == capacity(offcut.length) && out.model.stocks[s].ends == ends) {
        ++out.model.stocks[s].available;
        known = true;
      }
    if (!known) out.model.stocks.push_back({capacity(offcut.length), ends, 0, 1});
  }
  double shortest = 0;  // price of the shortest board
  double least = 0;
  for (std::size_t s = 0; s < prices.size(); ++s)
    if (least <= 0 || rules.board.lengths[s] < least) {
      least = rules.board.lengths[s];
      shortest = prices[s];
    }
  out.model.joint_price = rules.joints.price * shortest;
  const HouseHeights heights = house_heights(walls, chosen, pole, rules);
  out.share = best_share(walls, heights, rules, false);
  out.row_share = best_share(walls, heights, rules, true);
  std::vector<WallLimits> all_limits;
  double plain = open_plain;  // a joint's window may make an end beside it reach that far
  for (std::size_t w = 0; w < walls.size(); ++w) {
    all_limits.push_back(limits_of(*walls[w].wall, *walls[w].runs, chosen[w], pole, rules));
    for (const CourseLimits& course : all_limits.back().courses)
      plain = std::max(plain, 2 * course.limits.window + rules.joints.gap);
  }
  if (out.row_share.threshold > 0) out.layers = open_layers(heights, out.row_share, plain);
  for (const OpenLayer& layer : out.layers)
    out.model.layers.push_back(
        static_cast<std::int64_t>(std::floor((layer.to - layer.from) / 2 * out.per_inch)));

  double starters = 0, loose = 0;  // of pieces
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const SearchWall& wall = walls[w];
    for (const Starter& starter : wall.runs->starters) {
      const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
      starters += share_of(out.share, starter.width, starter.where == StarterPlace::base, false) *
                  std::sqrt(dx * dx + dy * dy);
    }
    const WallLimits& limits = all_limits[w];
    const std::vector<BuiltStud> built = built_studs(*wall.wall, pole, rules);
    const LayoutLister lister(*wall.wall, *wall.region, pole, rules);
    std::map<std::vector<double>, RunLayouts> lists;
    for (std::size_t r = 0; r < wall.runs->runs.size(); ++r) {
      const Run& run = wall.runs->runs[r];
      const CourseLimits& course = limits.courses[static_cast<std::size_t>(run.course)];
      ModelRun from;
      from.wall = w;
      from.run = r;
      HouseRun to;
      to.wall = w;
      to.course = run.course;
      to.x_min = run.x_min;
      to.x_max = run.x_max;
      to.stagger = course.stagger;
      to.repeat_after = course.repeat_after;
      const RunTranslator translator(run, pole.lines[static_cast<std::size_t>(run.course)],
                                     heights.slabs[w][r], out, true, heights.closed, heights.alone[w][r] != 0,
                                     course, rules, prices.size());
      const RunTranslator sharer(run, pole.lines[static_cast<std::size_t>(run.course)], heights.slabs[w][r],
                                 out, false, false, false, course, rules, prices.size());
      if (chosen[w][r].joints.empty()) {
        from.listed = {chosen[w][r]};
        from.source = {0};
        to.layouts.push_back(translator.layout(chosen[w][r], false));
        out.shares.runs.push_back(to);
        out.shares.runs.back().layouts[0] = sharer.layout(chosen[w][r], false);
        // What takes nothing of a row, or may stand in a closed notch, is loose, as starters are.
        if (heights.loose[w][r] || to.layouts[0].needs.empty()) {
          loose += translator.share_of_run();
          to.layouts[0].needs.clear();
        }
        for (std::size_t k = 0; k < out.as_cut.size(); ++k) {
          out.as_cut[k].runs.push_back(to);
          out.as_cut[k].runs.back().layouts[0] = translator.layout(chosen[w][r], false, nested_parts[k]);
        }
        out.model.runs.push_back(std::move(to));
        out.runs.push_back(std::move(from));
        continue;
      }
      std::vector<double> key = lister.key(run);
      key.push_back(course.limits.cut_middles ? 1 : 0);
      key.push_back(course.limits.min_piece);
      key.push_back(course.limits.window);
      auto found = lists.find(key);
      if (found == lists.end())
        found = lists.emplace(key, lister.list(run, course.limits, house_layouts_of_run)).first;
      const RunLayouts& list = found->second;
      const auto same_studs = [](const Layout& a, const Layout& b) {
        if (a.joints.size() != b.joints.size()) return false;
        for (std::size_t i = 0; i < a.joints.size(); ++i)
          if (a.joints[i].stud != b.joints[i].stud) return false;
        return true;
      };
      bool there = false;
      HouseRun by_shares = to;
      std::vector<HouseRun> as_cut(out.as_cut.size(), to);
      for (const Layout& layout : list.layouts) {
        const bool mine = same_studs(layout, chosen[w][r]);
        there = there || mine;
        HouseLayout model = translator.layout(layout, false);
        HouseLayout shares = sharer.layout(layout, false);
        // Rules are relaxed where the chosen layouts need it, in no other run of the course.
        model.usable = mine || ((layout.broken & ~chosen[w][r].broken) == 0 &&
                                layout.cut_middles <= std::max(chosen[w][r].cut_middles,
                                                               rules.joints.factory_ends ? 0 : 1 << 20) &&
                                layout.short_by <= chosen[w][r].short_by + tolerance &&
                                layout.off_centre <= chosen[w][r].off_centre + tolerance &&
                                layout.low_ends <= chosen[w][r].low_ends);
        if (course.limits.cut_middles && !(model.whole.empty() && shares.whole.empty())) {
          by_shares.layouts.push_back(sharer.layout(layout, true));
          HouseLayout cut = translator.layout(layout, true);
          cut.usable = false;
          for (HouseRun& run_as_cut : as_cut) run_as_cut.layouts.push_back(cut);
          to.layouts.push_back(std::move(cut));
          from.source.push_back(from.listed.size());
        }
        model.usable = model.usable && (mine || keeps_clear(layout, run, course, built));
        for (std::size_t k = 0; k < as_cut.size(); ++k) {
          as_cut[k].layouts.push_back(translator.layout(layout, false, nested_parts[k]));
          as_cut[k].layouts.back().usable = model.usable;
        }
        if (mine) from.first = to.layouts.size();
        to.layouts.push_back(std::move(model));
        by_shares.layouts.push_back(std::move(shares));
        from.source.push_back(from.listed.size());
        from.listed.push_back(layout);
      }
      if (!there) {
        for (std::size_t k = 0; k < as_cut.size(); ++k)
          as_cut[k].layouts.push_back(translator.layout(chosen[w][r], false, nested_parts[k]));
        from.first = to.layouts.size();
        to.layouts.push_back(translator.layout(chosen[w][r], false));
        by_shares.layouts.push_back(sharer.layout(chosen[w][r], false));
        from.source.push_back(from.listed.size());
        from.listed.push_back(chosen[w][r]);
      }
      if (!list.complete) {
        to.links = translator.links(lister.studs(), longest_board(rules));
        by_shares.links = sharer.links(lister.studs(), longest_board(rules));
      }
      out.model.runs.push_back(std::move(to));
      out.shares.runs.push_back(std::move(by_shares));
      for (std::size_t k = 0; k < as_cut.size(); ++k) out.as_cut[k].runs.push_back(std::move(as_cut[k]));
      out.runs.push_back(std::move(from));
    }
  }
  out.model.loose = static_cast<std::int64_t>(std::floor((starters + loose) * out.per_inch));
  const auto complete = [&](HouseModel& model) {
    model.stocks = out.model.stocks;
    model.joint_price = out.model.joint_price;
    model.loose = static_cast<std::int64_t>(std::floor(starters * out.per_inch));
  };
  complete(out.shares);
  for (HouseModel& model : out.as_cut) complete(model);
  return out;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
