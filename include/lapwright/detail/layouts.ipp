#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/joints.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

// ---- Sets of x ------------------------------------------------------------------------------------------

/// Sorted, disjoint, closed intervals; a point is an interval of no length.
using PlaceSet = std::vector<Interval>;

/// What two sets share. Intervals that miss each other by no more than `tolerance` meet in a point, so that a
/// board that fits to the last digit fits.
inline PlaceSet shared_places(const PlaceSet& a, const PlaceSet& b) {
  PlaceSet out;
  for (const Interval& p : a)
    for (const Interval& q : b) {
      const double low = std::max(p.low, q.low), high = std::min(p.high, q.high);
      if (low <= high)
        out.push_back({low, high});
      else if (low - high <= tolerance)
        out.push_back({low, low});
    }
  return out;
}

inline void merge_places(PlaceSet& set) {
  std::sort(set.begin(), set.end(), [](const Interval& p, const Interval& q) {
    return p.low != q.low ? p.low < q.low : p.high < q.high;
  });
  std::size_t kept = 0;
  for (const Interval& next : set) {
    if (kept > 0 && next.low <= set[kept - 1].high)
      set[kept - 1].high = std::max(set[kept - 1].high, next.high);
    else
      set[kept++] = next;
  }
  set.resize(kept);
}

inline PlaceSet moved_places(const PlaceSet& set, double by) {
  PlaceSet out = set;
  for (Interval& i : out) {
    i.low += by;
    i.high += by;
  }
  return out;
}

inline double nearest_place(const PlaceSet& set, double x) {
  double best = set.front().low;
  for (const Interval& i : set) {
    const double p = std::clamp(x, i.low, i.high);
    if (std::fabs(p - x) < std::fabs(best - x)) best = p;
  }
  return best;
}

/// Where the vertical through x crosses rings, ascending. Half open, so that a vertex counts once.
inline void crossings_at(const Ring& ring, double x, std::vector<double>& ys) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    if ((a.x <= x) == (b.x <= x)) continue;
    ys.push_back(a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)));
  }
}

/// Stretches of x in which a ring reaches into the open band low < y < high, by more than `tolerance`.
inline PlaceSet reach_into_band(const Ring& ring, double low, double high) {
  PlaceSet out;
  if (ring.size() < 3) return out;
  const Box box = bounds(ring);
  if (box.y_max <= low + tolerance || box.y_min >= high - tolerance) return out;
  std::vector<double> xs;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    xs.push_back(a.x);
    for (double y : {low, high})
      if ((a.y < y) != (b.y < y)) xs.push_back(a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)));
  }
  std::sort(xs.begin(), xs.end());
  std::vector<double> ys;
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) {
    if (!(xs[i] < xs[i + 1])) continue;
    ys.clear();
    crossings_at(ring, (xs[i] + xs[i + 1]) / 2, ys);
    std::sort(ys.begin(), ys.end());
    for (std::size_t k = 0; k + 1 < ys.size(); k += 2)
      if (std::min(ys[k + 1], high) - std::max(ys[k], low) > tolerance) {
        out.push_back({xs[i], xs[i + 1]});
        break;
      }
  }
  merge_places(out);
  return out;
}

/// How a run stands at one x: in how many pieces, and how high the highest of them is.
struct RunSection {
  std::size_t parts = 1;
  double height = 0;
};
inline RunSection run_section(const Polygon& shape, double x) {
  std::vector<double> ys;
  crossings_at(shape.outer, x, ys);
  for (const Ring& hole : shape.holes) crossings_at(hole, x, ys);
  std::sort(ys.begin(), ys.end());
  RunSection out;
  out.parts = 0;
  for (std::size_t k = 0; k + 1 < ys.size(); k += 2) {
    if (ys[k + 1] - ys[k] <= tolerance) continue;
    ++out.parts;
    out.height = std::max(out.height, ys[k + 1] - ys[k]);
  }
  return out;
}
/// The worse of both sides of x.
inline RunSection run_section_beside(const Polygon& shape, double x) {
  const RunSection a = run_section(shape, x - 2 * tolerance), b = run_section(shape, x + 2 * tolerance);
  RunSection out;
  out.parts = a.parts == 1 && b.parts == 1 ? 1 : std::max<std::size_t>(2, std::max(a.parts, b.parts));
  out.height = std::min(a.height, b.height);
  return out;
}
inline bool is_level_box(const Polygon& shape) {
  if (shape.outer.size() != 4 || !shape.holes.empty()) return false;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point a = shape.outer[i], b = shape.outer[(i + 1) % 4];
    if (a.x != b.x && a.y != b.y) return false;
  }
  return true;
}

// ---- Limits ---------------------------------------------------------------------------------------------

LAPW_INLINE double stud_bay(const Framing& framing) {
  return framing.spacing > 0 ? framing.spacing : 16.0;
}

LAPW_INLINE double longest_board(const Rules& rules) {
  double longest = 0;
  for (double length : rules.board.lengths) longest = std::max(longest, length);
  return longest;
}

/// Half a bay, 8 at least; never above the rule itself.
inline double least_min_piece(const Framing& framing, const Rules& rules) {
  return std::min(rules.joints.min_piece, std::max(8.0, stud_bay(framing) / 2));
}
inline double least_stagger(const Framing& framing, const Rules& rules) {
  return std::min(rules.joints.stagger, stud_bay(framing));
}
inline double widest_window(const Framing& framing, const Rules& rules) {
  return std::max(rules.joints.window,
                  framing.stud_width / 2 - rules.fasteners.end_edge - rules.joints.gap / 2);
}

LAPW_INLINE LayoutLimits strict_limits(const Rules& rules) {
  LayoutLimits limits;
  limits.min_piece = rules.joints.min_piece;
  limits.window = rules.joints.window;
  return limits;
}

LAPW_INLINE LayoutLimits relaxed_limits(const Wall& wall, const Rules& rules, unsigned broken) {
  LayoutLimits limits = strict_limits(rules);
  const bool all = (broken & rule_limits) != 0;
  if (all || (broken & rule_whole_middle) != 0) limits.cut_middles = true;
  if (all || (broken & rule_min_piece) != 0) limits.min_piece = least_min_piece(wall.framing, rules);
  if (all || (broken & rule_window) != 0) limits.window = widest_window(wall.framing, rules);
  if (all) {
    limits.min_piece = std::min(limits.min_piece, std::max(1.0, 2 * rules.fasteners.end_edge));
    limits.split_ends = true;
  }
  return limits;
}

// ---- Listing --------------------------------------------------------------------------------------------

LAPW_INLINE LayoutLister::LayoutLister(const Wall& wall, const Region& region, const Pole& pole,
                                       const Rules& rules)
    : region_(region),
      pole_(pole),
      rules_(rules),
      studs_(lay_studs(wall)),
      longest_(longest_board(rules)),
      legs_(pole.lines.size()),
      has_legs_(pole.lines.size(), 0) {}

LAPW_INLINE const std::vector<Interval>& LayoutLister::legs(int course) const {
  const std::size_t k = static_cast<std::size_t>(course);
  if (has_legs_[k]) return legs_[k];
  has_legs_[k] = 1;
  const double low = pole_.lines[k], high = low + rules_.board.width;
  PlaceSet& out = legs_[k];
  for (const GrownOpening& grown : region_.openings)
    for (Interval i : reach_into_band(grown.outline, low, high))
      out.push_back({i.low - rules_.cutting.min_leg, i.high + rules_.cutting.min_leg});
  merge_places(out);
  return out;
}

LAPW_INLINE PlaceSet LayoutLister::places(const Run& run, std::size_t stud,
                                          const LayoutLimits& limits) const {
  const double centre = studs_[stud].centre;
  if (!limits.split_ends && !is_level_box(run.shape) && run_section_beside(run.shape, centre).parts != 1)
    return {};
  PlaceSet out{{centre - limits.window, centre + limits.window}};
  if (run.filler) return out;
  for (const Interval& leg : legs(run.course)) {
    PlaceSet left;
    for (const Interval& i : out) {
      if (leg.high <= i.low || leg.low >= i.high) {
        left.push_back(i);
        continue;
      }
      if (leg.low >= i.low) left.push_back({i.low, leg.low});
      if (leg.high <= i.high) left.push_back({leg.high, i.high});
    }
    out = std::move(left);
  }
  return out;
}

LAPW_INLINE std::vector<double> LayoutLister::key(const Run& run) const {
  std::vector<double> out{run.x_min, run.x_max, run.filler ? 1.0 : 0.0};
  if (!run.filler)
    for (const Interval& leg : legs(run.course))
      if (leg.high > run.x_min && leg.low < run.x_max) {
        out.push_back(leg.low);
        out.push_back(leg.high);
      }
  if (!is_level_box(run.shape))
    for (std::size_t s = 0; s < studs_.size(); ++s) {
      const double centre = studs_[s].centre;
      if (centre <= run.x_min || centre >= run.x_max) continue;
      const RunSection section = run_section_beside(run.shape, centre);
      if (section.parts != 1 || section.height < rules_.cutting.min_leg)
        out.push_back(section.parts != 1 ? -1.0 - static_cast<double>(s) : static_cast<double>(s));
    }
  return out;
}

/// One walk from joint to joint. Works on sets of x: what a joint can be at, given the studs before it.
class LayoutWalk {
public:
  LayoutWalk(const Run& run, const std::vector<Stud>& studs, const Rules& rules, const LayoutLimits& limits,
             double longest, std::vector<PlaceSet> places, std::size_t most, int extra_pieces)
      : run_(run),
        studs_(studs),
        rules_(rules),
        limits_(limits),
        gap_(rules.joints.gap),
        longest_(longest),
        places_(std::move(places)),
        most_(most),
        extra_(extra_pieces) {
    for (double length : rules.board.lengths)
      if (length >= limits.min_piece - tolerance) wholes_.push_back(length);
    std::sort(wholes_.begin(), wholes_.end(), [](double a, double b) { return a > b; });
    wholes_.erase(std::unique(wholes_.begin(), wholes_.end()), wholes_.end());
  }

  RunLayouts walk() {
    link();
    const double span = run_.x_max - run_.x_min, least = std::max(limits_.min_piece, tolerance);
    const bool may_cut = limits_.cut_middles || !rules_.joints.factory_ends;
    double middle = may_cut ? least : longest_;
    for (double whole : wholes_) middle = std::min(middle, whole);
    const auto count = [](double pieces) { return static_cast<int>(std::min(pieces, 1e6)); };
    const int fewest = std::max(2, count(std::ceil((span + gap_) / (longest_ + gap_) - tolerance)));
    const int greatest =
        std::max(1, 2 + count(std::floor((span - 2 * least - gap_) / (middle + gap_) + tolerance)));
    const int last = std::min(greatest, fewest + std::min(extra_, may_cut ? 4 : 1 << 20));
    if (last < greatest) out_.complete = false;
    // Two neighbouring pieces that one board could give are one in another layout, with a joint less.
    const int split = 1 + 2 * count(std::ceil(span / longest_));
    if (last < std::min(greatest, split)) out_.minimal = false;
    count_cuts(last);
    // Whole boards in the middle first, so that the least relaxed come first.
    for (int cuts = 0; cuts <= (may_cut ? last - 2 : 0); ++cuts)
      for (int pieces = std::max(fewest, cuts + 2); pieces <= last; ++pieces) {
        cuts_ = cuts;
        pieces_ = pieces;
        chain_.clear();
        for (std::size_t i = 0; i < first_.size(); ++i) {
          if (first_[i].empty() || needed_cuts(pieces - 1, i) > cuts) continue;
          chain_.push_back({i, first_[i], false});
          extend(0);
          chain_.pop_back();
          if (stopped_) return std::move(out_);
        }
      }
    return std::move(out_);
  }

private:
  struct Link {
    std::size_t to = 0;
    bool whole = false;
    bool cut = false;
  };
  struct Step {
    std::size_t stud = 0;
    PlaceSet reach;
    bool cut = false;  // the piece before it
  };
  static constexpr int never = 1 << 29;

  /// Where a joint can be, one whole board after one of the places.
  PlaceSet after_whole(const PlaceSet& from, const PlaceSet& to) const {
    PlaceSet out;
    for (double whole : wholes_)
      for (const Interval& i : shared_places(moved_places(from, whole + gap_), to)) out.push_back(i);
    merge_places(out);
    return out;
  }
  /// Where it can be, a piece on the grid after it.
  PlaceSet after_cut(const PlaceSet& from, const PlaceSet& to) const {
    PlaceSet out;
    const double division = rules_.courses.division;
    if (from.empty() || to.empty() || !(division > 0)) return out;
    const double low = std::max(limits_.min_piece, to.front().low - from.back().high - gap_);
    const double high = std::min(longest_, to.back().high - from.front().low - gap_);
    for (double k = std::ceil((low - tolerance) / division); k * division <= high + tolerance; ++k)
      for (const Interval& i : shared_places(moved_places(from, k * division + gap_), to)) out.push_back(i);
    merge_places(out);
    return out;
  }

  void link() {
    const std::size_t n = places_.size();
    const double half = gap_ / 2, least = limits_.min_piece;
    first_.resize(n);
    last_.resize(n);
    links_.resize(n);
    const PlaceSet from_left{{run_.x_min + least + half, run_.x_min + longest_ + half}};
    const PlaceSet to_right{{run_.x_max - longest_ - half, run_.x_max - least - half}};
    for (std::size_t i = 0; i < n; ++i) {
      if (places_[i].empty()) continue;
      first_[i] = shared_places(places_[i], from_left);
      last_[i] = shared_places(places_[i], to_right);
      for (std::size_t j = i + 1; j < n; ++j) {
        if (places_[j].empty()) continue;
        if (places_[j].front().low - places_[i].back().high - gap_ > longest_ + tolerance) break;
        Link link;
        link.to = j;
        link.whole = !after_whole(places_[i], places_[j]).empty();
        if (limits_.cut_middles || !rules_.joints.factory_ends)
          link.cut = !after_cut(places_[i], places_[j]).empty();
        if (link.whole || link.cut) links_[i].push_back(link);
      }
    }
  }

  /// cut_table_[r][i]: the fewest cut middles with which r pieces right of joint i reach the end.
  void count_cuts(int pieces) {
    const std::size_t n = places_.size();
    cut_table_.assign(static_cast<std::size_t>(std::max(pieces, 2)), std::vector<int>(n, never));
    for (std::size_t i = 0; i < n; ++i)
      if (!last_[i].empty()) cut_table_[1][i] = 0;
    for (std::size_t r = 2; r < cut_table_.size(); ++r)
      for (std::size_t i = 0; i < n; ++i)
        for (const Link& link : links_[i])
          cut_table_[r][i] = std::min(cut_table_[r][i], cut_table_[r - 1][link.to] + (link.whole ? 0 : 1));
  }
  int needed_cuts(int pieces, std::size_t i) const { return cut_table_[static_cast<std::size_t>(pieces)][i]; }

  void extend(int cuts) {
    // Dead ends are few (only drift makes them), but a rule set may be made of nothing else.
    if (++steps_ > 64 * static_cast<std::int64_t>(most_) + 100000) {
      out_.complete = out_.minimal = false;
      stopped_ = true;
      return;
    }
    const int right = pieces_ - static_cast<int>(chain_.size());  // pieces right of the last joint
    const std::size_t i = chain_.back().stud;
    if (right == 1) {
      if (cuts == cuts_) emit();
      return;
    }
    for (const Link& link : links_[i]) {
      const int more = needed_cuts(right - 1, link.to);
      for (int cut = 0; cut < 2 && !stopped_; ++cut) {
        if (cut == 0 ? !link.whole : !link.cut) continue;
        if (more >= never || cuts + cut + more > cuts_) continue;
        PlaceSet reach = cut == 0 ? after_whole(chain_.back().reach, places_[link.to])
                                  : after_cut(chain_.back().reach, places_[link.to]);
        if (reach.empty()) continue;
        chain_.push_back({link.to, std::move(reach), cut == 1});
        extend(cuts + cut);
        chain_.pop_back();
      }
      if (stopped_) return;
    }
  }

  void emit() {
    const PlaceSet ends = shared_places(chain_.back().reach, last_[chain_.back().stud]);
    if (ends.empty()) return;
    std::vector<std::size_t> studs;
    for (const Step& step : chain_) studs.push_back(step.stud);
    if (cuts_ > 0 && seen_.count(studs) > 0) return;
    if (out_.layouts.size() >= most_) {
      out_.complete = out_.minimal = false;
      stopped_ = true;
      return;
    }
    if (limits_.cut_middles || !rules_.joints.factory_ends) seen_.insert(studs);
    out_.layouts.push_back(build(ends));
  }

  /// Places of the joints, found from the right: each set holds what can be reached from the left.
  Layout build(const PlaceSet& ends) const {
    const std::size_t n = chain_.size();
    std::vector<double> x(n), length(n, 0.0);  // length[i]: of the piece before joint i, if a middle one
    x[n - 1] = nearest_place(ends, studs_[chain_[n - 1].stud].centre);
    for (std::size_t i = n - 1; i > 0; --i) {
      const PlaceSet& from = chain_[i - 1].reach;
      const double centre = studs_[chain_[i - 1].stud].centre;
      double best = 0, best_off = -1;
      const auto offer = [&](double piece) {
        const PlaceSet at = shared_places({{x[i] - piece - gap_, x[i] - piece - gap_}}, from);
        if (at.empty()) return;
        const double off = std::fabs(at.front().low - centre);
        if (best_off >= 0 && off >= best_off) return;
        best_off = off;
        best = at.front().low;
        length[i] = piece;
      };
      if (!chain_[i].cut) {
        for (double whole : wholes_) offer(whole);
      } else {
        const double division = rules_.courses.division;
        const double low = std::max(limits_.min_piece, x[i] - from.back().high - gap_);
        const double high = std::min(longest_, x[i] - from.front().low - gap_);
        for (double k = std::ceil((low - tolerance) / division); k * division <= high + tolerance; ++k)
          offer(k * division);
      }
      x[i - 1] = best;
    }
    centre_chain(x, ends);

    Layout out;
    out.joints.resize(n);
    out.pieces.resize(n + 1);
    const bool factory = rules_.joints.factory_ends;
    const bool box = is_level_box(run_.shape);
    for (std::size_t i = 0; i < n; ++i) {
      LayoutJoint& joint = out.joints[i];
      joint.stud = chain_[i].stud;
      joint.centre = studs_[joint.stud].centre;
      joint.x = x[i];
      joint.left_factory = joint.right_factory = factory;
      const double off = std::fabs(joint.x - joint.centre) - rules_.joints.window;
      if (off > tolerance) {
        out.broken |= rule_window;
        out.off_centre += off;
      }
      if (!box && !run_.filler && run_section_beside(run_.shape, joint.x).height < rules_.cutting.min_leg)
        ++out.low_ends;
    }
    for (std::size_t i = 1; i < n; ++i) {
      if (!chain_[i].cut) {
        out.joints[i - 1].right_factory = out.joints[i].left_factory = true;
        continue;
      }
      ++out.cut_middles;
      out.joints[i].left_factory = false;
      if (factory) out.broken |= rule_whole_middle;
    }
    for (std::size_t i = 0; i <= n; ++i) {
      LayoutPiece& piece = out.pieces[i];
      piece.x_min = i == 0 ? run_.x_min : x[i - 1] + gap_ / 2;
      piece.x_max = i == n ? run_.x_max : x[i] - gap_ / 2;
      piece.left_factory = i > 0 && out.joints[i - 1].right_factory;
      piece.right_factory = i < n && out.joints[i].left_factory;
      const double lacks = rules_.joints.min_piece - (piece.x_max - piece.x_min);
      if (lacks > tolerance) {
        out.broken |= rule_min_piece;
        out.short_by += lacks;
      }
    }
    return out;
  }

  /// Shifts the whole chain so that the furthest joint is as near to its stud's centre as can be.
  void centre_chain(std::vector<double>& x, const PlaceSet& ends) const {
    double left = -longest_, right = longest_, low = 0, high = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
      const PlaceSet* sets[] = {&places_[chain_[i].stud], i == 0 ? &chain_[0].reach : nullptr,
                                i + 1 == x.size() ? &ends : nullptr};
      for (const PlaceSet* set : sets) {
        if (set == nullptr) continue;
        const Interval* in = nullptr;
        for (const Interval& candidate : *set)
          if (x[i] >= candidate.low - tolerance && x[i] <= candidate.high + tolerance) in = &candidate;
        left = std::max(left, in == nullptr ? 0 : in->low - x[i]);
        right = std::min(right, in == nullptr ? 0 : in->high - x[i]);
      }
      const double off = x[i] - studs_[chain_[i].stud].centre;
      low = i == 0 ? off : std::min(low, off);
      high = i == 0 ? off : std::max(high, off);
    }
    if (left > 0 || right < 0) return;  // at the very edge of a window, by less than the tolerance
    const double by = std::clamp(-(low + high) / 2, left, right);
    if (by == 0) return;
    for (double& at : x) at += by;
    // A single joint at its centre is at its centre to the last bit.
    if (x.size() == 1 && std::fabs(x[0] - studs_[chain_[0].stud].centre) < tolerance / 1024)
      x[0] = studs_[chain_[0].stud].centre;
  }

  const Run& run_;
  const std::vector<Stud>& studs_;
  const Rules& rules_;
  const LayoutLimits& limits_;
  double gap_ = 0, longest_ = 0;
  std::vector<PlaceSet> places_, first_, last_;  // by stud
  std::vector<std::vector<Link>> links_;
  std::vector<double> wholes_;
  std::vector<std::vector<int>> cut_table_;
  std::vector<Step> chain_;
  std::set<std::vector<std::size_t>> seen_;
  int cuts_ = 0, pieces_ = 0;
  std::int64_t steps_ = 0;
  bool stopped_ = false;
  std::size_t most_ = 0;
  int extra_ = 0;
  RunLayouts out_;
};

LAPW_INLINE RunLayouts LayoutLister::list(const Run& run, const LayoutLimits& limits, std::size_t most,
                                          int extra_pieces) const {
  if (run.x_max - run.x_min <= longest_ + tolerance) {
    RunLayouts one;
    one.layouts.resize(1);
    one.layouts[0].pieces.push_back({run.x_min, run.x_max, false, false});
    return one;
  }
  std::vector<PlaceSet> sets(studs_.size());
  for (std::size_t s = 0; s < studs_.size(); ++s) {
    const double centre = studs_[s].centre;
    if (centre + limits.window <= run.x_min || centre - limits.window >= run.x_max) continue;
    sets[s] = places(run, s, limits);
  }
  return LayoutWalk(run, studs_, rules_, limits, longest_, std::move(sets), most, extra_pieces).walk();
}

LAPW_INLINE RunLayouts enumerate_layouts(const Wall& wall, const Region& region, const Run& run,
                                         const Pole& pole, const Rules& rules, const LayoutLimits& limits,
                                         std::size_t most) {
  return LayoutLister(wall, region, pole, rules).list(run, limits, most);
}

LAPW_INLINE bool layouts_agree(const Layout& a, const Layout& b, int courses_apart, double stagger,
                               int repeat_after) {
  const int apart = courses_apart < 0 ? -courses_apart : courses_apart;
  if (apart == 0) return true;
  double least = 0;
  bool strictly = false;
  if (apart < repeat_after) strictly = true;
  if (apart == 1) least = stagger;
  if (!strictly && least <= 0) return true;
  for (const LayoutJoint& p : a.joints)
    for (const LayoutJoint& q : b.joints) {
      const double d = std::fabs(p.centre - q.centre);
      if (strictly && d <= tolerance) return false;
      if (d < least - tolerance) return false;
    }
  return true;
}

// ---- Choosing -------------------------------------------------------------------------------------------

/// What a choice costs, first member first: the rules from the one that goes last to the one that goes first,
/// then pieces, then how poorly the joints are staggered.
using LayoutCost = std::array<std::int64_t, 8>;
inline constexpr std::size_t cost_limits = 0, cost_window = 1, cost_stagger = 2, cost_min_piece = 3,
                             cost_repeat = 4, cost_middle = 5, cost_pieces = 6, cost_quality = 7;

inline void add_cost(LayoutCost& to, const LayoutCost& by) {
  for (std::size_t i = 0; i < to.size(); ++i) to[i] += by[i];
}
/// A place where a rule is relaxed counts before the amount by which it is.
inline std::int64_t relaxed_by(double inches) {
  return (std::int64_t{1} << 24) + static_cast<std::int64_t>(std::llround(std::min(inches, 1e5) * 64));
}

inline LayoutCost own_cost(const Layout& layout, const Framing& framing, const Rules& rules) {
  LayoutCost cost{};
  for (const LayoutPiece& piece : layout.pieces) {
    if (layout.joints.empty()) break;
    const double length = piece.x_max - piece.x_min;
    if (length < rules.joints.min_piece - tolerance)
      cost[cost_min_piece] += relaxed_by(rules.joints.min_piece - length);
    const double least = least_min_piece(framing, rules);
    if (length < least - tolerance) cost[cost_limits] += relaxed_by(least - length);
  }
  if ((layout.broken & rule_window) != 0)
    for (const LayoutJoint& joint : layout.joints) {
      const double off = std::fabs(joint.x - joint.centre) - rules.joints.window;
      if (off > tolerance) cost[cost_window] += relaxed_by(off);
    }
  if ((layout.broken & rule_whole_middle) != 0) cost[cost_middle] = layout.cut_middles;
  cost[cost_pieces] = static_cast<std::int64_t>(layout.pieces.size());
  cost[cost_quality] = std::int64_t{100000} * layout.low_ends + 1000 * layout.cut_middles;
  return cost;
}

/// What the joints of two courses cost each other.
inline LayoutCost pair_cost(const std::vector<LayoutJoint>& a, const std::vector<LayoutJoint>& b, int apart,
                            const Framing& framing, const Rules& rules) {
  LayoutCost cost{};
  const double stagger = rules.joints.stagger, least = least_stagger(framing, rules);
  for (const LayoutJoint& p : a)
    for (const LayoutJoint& q : b) {
      const double d = std::fabs(p.centre - q.centre);
      if (apart < rules.joints.repeat_after && d <= tolerance)
        cost[cost_repeat] += relaxed_by(rules.joints.repeat_after - apart);
      if (apart == 1 && d < stagger - tolerance) {
        cost[cost_stagger] += relaxed_by(stagger - d);
        if (d < least - tolerance) cost[cost_limits] += relaxed_by(least - d);
      }
      // Twice the stagger is as good as any distance between neighbours, once it is between next but one.
      const double wish = apart == 1 ? 2 * stagger : apart == 2 ? stagger : 0;
      if (d < wish) cost[cost_quality] += static_cast<std::int64_t>(std::llround((wish - d) * 4));
    }
  return cost;
}

/// The levels at which a set of runs is tried: each relaxes one rule more.
inline constexpr unsigned layout_levels[] = {
    0,
    rule_whole_middle,
    rule_whole_middle | rule_repeat,
    rule_whole_middle | rule_repeat | rule_min_piece,
    rule_whole_middle | rule_repeat | rule_min_piece | rule_stagger,
    rule_whole_middle | rule_repeat | rule_min_piece | rule_stagger | rule_window,
    rule_whole_middle | rule_repeat | rule_min_piece | rule_stagger | rule_window | rule_limits};

inline bool cost_allowed(const LayoutCost& cost, unsigned broken) {
  return (cost[cost_limits] == 0 || (broken & rule_limits) != 0) &&
         (cost[cost_window] == 0 || (broken & rule_window) != 0) &&
         (cost[cost_stagger] == 0 || (broken & rule_stagger) != 0) &&
         (cost[cost_min_piece] == 0 || (broken & rule_min_piece) != 0) &&
         (cost[cost_repeat] == 0 || (broken & rule_repeat) != 0) &&
         (cost[cost_middle] == 0 || (broken & rule_whole_middle) != 0);
}

/// Chooses layouts of one wall.
class LayoutChooser {
public:
  LayoutChooser(const Wall& wall, const Region& region, const Runs& runs, const Pole& pole,
                const Rules& rules)
      : wall_(wall), runs_(runs), pole_(pole), rules_(rules), lister_(wall, region, pole, rules) {}

  ChosenLayouts choose() {
    const double longest = longest_board(rules_);
    out_.layouts.resize(runs_.runs.size());
    std::vector<std::size_t> jointed;
    for (std::size_t r = 0; r < runs_.runs.size(); ++r) {
      const Run& run = runs_.runs[r];
      if (run.x_max - run.x_min > longest + tolerance)
        jointed.push_back(r);
      else
        out_.layouts[r].pieces.push_back({run.x_min, run.x_max, false, false});
    }
    if (jointed.empty()) return std::move(out_);
    place_built();
    std::map<std::vector<double>, std::size_t> keys;
    shape_.assign(runs_.runs.size(), 0);
    for (std::size_t r : jointed) {
      const auto found = keys.emplace(lister_.key(runs_.runs[r]), keys.size());
      shape_[r] = found.first->second;
      if (found.second) example_.push_back(r);
    }
    std::vector<Fault> faults;
    for (const std::vector<std::size_t>& group : groups(jointed)) settle(group, faults);
    if (!faults.empty()) throw Refused(std::move(faults));
    return std::move(out_);
  }

private:
  int reach() const { return std::max(rules_.joints.repeat_after - 1, 1); }

  /// Joints that are nailed already, at the studs that carry them.
  void place_built() {
    built_.resize(static_cast<std::size_t>(std::max(pole_.built, 0)));
    for (const BuiltJoint& joint : rules_.courses.joints_built) {
      if (joint.wall != wall_.name || joint.course < 0 || joint.course >= pole_.built) continue;
      LayoutJoint out;
      out.x = out.centre = joint.x;
      double nearest = -1;
      for (std::size_t s = 0; s < lister_.studs().size(); ++s) {
        const Stud& stud = lister_.studs()[s];
        const double d = std::fabs(stud.centre - joint.x);
        if (d > stud.width / 2 + tolerance || (nearest >= 0 && d >= nearest)) continue;
        nearest = d;
        out.stud = s;
        out.centre = stud.centre;
      }
      built_[static_cast<std::size_t>(joint.course)].push_back(out);
    }
  }

  /// Runs whose joints may get in each other's way, one group after the other, each by course and x.
  std::vector<std::vector<std::size_t>> groups(const std::vector<std::size_t>& jointed) const {
    std::vector<std::size_t> parent(jointed.size());
    for (std::size_t i = 0; i < parent.size(); ++i) parent[i] = i;
    const auto root = [&](std::size_t i) {
      while (parent[i] != i) i = parent[i] = parent[parent[i]];
      return i;
    };
    const double near = 2 * rules_.joints.stagger + tolerance;
    std::vector<std::size_t> order(jointed);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const Run& p = runs_.runs[a];
      const Run& q = runs_.runs[b];
      return p.course != q.course ? p.course < q.course : p.x_min < q.x_min;
    });
    for (std::size_t i = 0; i < order.size(); ++i) {
      const Run& p = runs_.runs[order[i]];
      for (std::size_t j = i + 1; j < order.size(); ++j) {
        const Run& q = runs_.runs[order[j]];
        if (q.course - p.course > reach()) break;
        if (q.course == p.course || q.x_min > p.x_max + near || p.x_min > q.x_max + near) continue;
        parent[root(j)] = root(i);
      }
    }
    std::vector<std::vector<std::size_t>> out;
    std::vector<std::size_t> index(order.size(), npos);
    for (std::size_t i = 0; i < order.size(); ++i) {
      const std::size_t r = root(i);
      if (index[r] == npos) {
        index[r] = out.size();
        out.emplace_back();
      }
      out[index[r]].push_back(order[i]);
    }
    return out;
  }

  /// Layouts of one shape of run at one level; strict ones first.
  const std::vector<Layout>& layouts(std::size_t shape, unsigned broken, std::size_t most) {
    const auto found =
        lists_.emplace(std::make_pair(shape, std::make_pair(broken, most)), std::vector<Layout>());
    std::vector<Layout>& out = found.first->second;
    if (!found.second) return out;
    const Run& run = runs_.runs[example_[shape]];
    const unsigned own = broken & (rule_whole_middle | rule_min_piece | rule_window | rule_limits);
    std::set<std::vector<std::size_t>> seen;
    const auto take = [&](unsigned bits) {
      if ((own & bits) != bits) return;
      RunLayouts list = lister_.list(run, relaxed_limits(wall_, rules_, bits), most);
      if (!list.minimal) cut_lists_.insert(found.first->first);
      for (Layout& layout : list.layouts) {
        std::vector<std::size_t> studs;
        for (const LayoutJoint& joint : layout.joints) studs.push_back(joint.stud);
        if (seen.insert(std::move(studs)).second) out.push_back(std::move(layout));
      }
    };
    take(0);
    if ((own & rule_whole_middle) != 0) take(rule_whole_middle);
    if ((own & rule_min_piece) != 0) {
      take(rule_min_piece);
      take(rule_min_piece | rule_whole_middle);
    }
    if ((own & rule_window) != 0) {
      take(rule_window);
      take(rule_window | rule_whole_middle);
      take(rule_window | rule_whole_middle | rule_min_piece);
    }
    if ((own & rule_limits) != 0) take(rule_limits);
    return out;
  }

  struct State {
    LayoutCost cost{};
    std::size_t parent = 0;
    std::size_t layout = 0;           // of the run just decided
    std::vector<std::size_t> recent;  // layouts of the runs that still matter, oldest first
  };

  struct Offer {
    LayoutCost cost{};
    std::size_t parent = 0;
    std::size_t layout = 0;
  };

  void settle(const std::vector<std::size_t>& group, std::vector<Fault>& faults) {
    struct Effort {
      std::size_t most, states;
    };
    const Effort efforts[] = {{64, 16}, {256, 256}};
    std::size_t stuck = group.front();
    for (unsigned broken : layout_levels) {
      bool proven = false;  // that no choice keeps the rules of this level
      for (const Effort& effort : efforts) {
        cut_short_ = false;
        for (std::size_t r : group)
          if (layouts(shape_[r], broken, efforts[0].most).empty()) {
            proven = true;  // more effort finds no first layout either
            stuck = r;
          }
        if (proven) break;
        if (decide(group, broken, effort.most, effort.states)) {
          out_.broken |= broken;
          return;
        }
        proven = !cut_short_;
        if (proven) break;
      }
      if (!proven) ++out_.unproven;
    }
    const Run& run = runs_.runs[stuck];
    const double longest = longest_board(rules_);
    // Where openings leave no place for a joint, more studs do not help.
    for (const Interval& leg : lister_.legs(run.course)) {
      const double low = std::max(leg.low, run.x_min), high = std::min(leg.high, run.x_max);
      if (run.filler || high - low <= longest + tolerance) continue;
      faults.push_back(
          {"board.lengths",
           detail::format(
               "wall {}: in course {} openings leave no place for a joint from {:.3f} to {:.3f} in, "
               "which is longer than the longest board ({} in); boards of {:.3f} in or more are "
               "needed",
               wall_.name, run.course, low, high, longest, high - low)});
      return;
    }
    faults.push_back(
        {"framing.studs",
         detail::format(
             "wall {}: course {} from {:.3f} to {:.3f} in is longer than the longest board ({} in), "
             "and no studs that could carry its joints stand in it clear of openings; add studs or "
             "longer boards",
             wall_.name, run.course, run.x_min, run.x_max, longest)});
  }

  /// Costs of the joints of one layout of a run against each of `count` layouts of another, kept by shapes:
  /// stacks of like courses ask again and again. First entry below 0: not known yet. Null: so many are sooner
  /// worked out than kept.
  LayoutCost* against(std::size_t shape_a, std::size_t layout, std::size_t layouts, std::size_t shape_b,
                      int apart, std::size_t count) {
    if (layouts * count > most_kept) return nullptr;
    std::vector<std::vector<LayoutCost>>& rows = pairs_[{{shape_a, shape_b}, apart}];
    if (rows.empty()) rows.resize(layouts);
    if (rows[layout].empty()) rows[layout].assign(count, LayoutCost{-1});
    return rows[layout].data();
  }

  bool decide(const std::vector<std::size_t>& group, unsigned broken, std::size_t most, std::size_t states) {
    pairs_.clear();
    std::vector<std::vector<State>> stages;  // kept to walk back
    stages.reserve(group.size() + 1);
    stages.emplace_back(1);
    std::size_t oldest = 0;  // first of the group's runs that `recent` holds
    for (std::size_t g = 0; g < group.size(); ++g) {
      const Run& run = runs_.runs[group[g]];
      const std::vector<Layout>& mine = layouts(shape_[group[g]], broken, most);
      std::size_t keep = oldest;  // after this run
      const int after = g + 1 < group.size() ? runs_.runs[group[g + 1]].course : run.course;
      while (keep < g && after - runs_.runs[group[keep]].course > reach()) ++keep;

      std::vector<LayoutCost> own(mine.size());
      for (std::size_t i = 0; i < mine.size(); ++i) {
        own[i] = own_cost(mine[i], wall_.framing, rules_);
        for (std::size_t k = 0; k < built_.size(); ++k) {
          const int apart = run.course - static_cast<int>(k);
          if (apart >= 1 && apart <= reach())
            add_cost(own[i], pair_cost(built_[k], mine[i].joints, apart, wall_.framing, rules_));
        }
      }
      const std::vector<State>& before = stages.back();
      std::vector<const std::vector<Layout>*> theirs;
      for (std::size_t o = oldest; o < g; ++o) theirs.push_back(&layouts(shape_[group[o]], broken, most));
      cut_short_ = cut_short_ || cut_lists_.count({shape_[group[g]], {broken, most}}) > 0;
      next_.clear();
      struct Other {
        const std::vector<LayoutJoint>* joints;
        int apart;
        LayoutCost* costs;
      };
      std::vector<Other> others;
      LayoutCost direct{};
      for (std::size_t s = 0; s < before.size(); ++s) {
        others.clear();
        for (std::size_t o = oldest; o < g; ++o) {
          const int apart = run.course - runs_.runs[group[o]].course;
          if (apart <= 0 || apart > reach()) continue;
          const std::vector<Layout>& list = *theirs[o - oldest];
          const std::size_t layout = before[s].recent[o - oldest];
          others.push_back(
              {&list[layout].joints, apart,
               against(shape_[group[o]], layout, list.size(), shape_[group[g]], apart, mine.size())});
        }
        for (std::size_t i = 0; i < mine.size(); ++i) {
          if (!cost_allowed(own[i], broken)) continue;
          Offer offer;
          offer.cost = before[s].cost;
          add_cost(offer.cost, own[i]);
          bool allowed = true;
          for (std::size_t k = 0; k < others.size() && allowed; ++k) {
            const Other& other = others[k];
            LayoutCost& cost = other.costs ? other.costs[i] : direct;
            if (!other.costs || cost[0] < 0)
              cost = pair_cost(*other.joints, mine[i].joints, other.apart, wall_.framing, rules_);
            allowed = cost_allowed(cost, broken);
            add_cost(offer.cost, cost);
          }
          if (!allowed) continue;
          offer.parent = s;
          offer.layout = i;
          next_.push_back(offer);
        }
      }
      if (next_.empty()) return false;
      const auto better = [](const Offer& a, const Offer& b) {
        if (a.cost != b.cost) return a.cost < b.cost;
        return a.parent != b.parent ? a.parent < b.parent : a.layout < b.layout;
      };
      std::set<std::vector<std::size_t>> seen;
      std::vector<State> kept;
      // Sorted in portions: the best few are all that is wanted, unless many lead to the same.
      std::size_t sorted = 0;
      for (std::size_t n = 0; n < next_.size() && kept.size() < states; ++n) {
        if (n == sorted) {
          const std::size_t portion = std::min(next_.size() - sorted, 4 * states);
          const auto first = next_.begin() + static_cast<std::ptrdiff_t>(sorted);
          const auto last = first + static_cast<std::ptrdiff_t>(portion);
          if (last != next_.end()) std::nth_element(first, last, next_.end(), better);
          std::sort(first, last, better);
          sorted += portion;
        }
        cut_short_ = cut_short_ || (kept.size() + 1 == states && n + 1 < next_.size());
        const Offer& offer = next_[n];
        State state;
        state.cost = offer.cost;
        state.parent = offer.parent;
        state.layout = offer.layout;
        const std::vector<std::size_t>& old = before[offer.parent].recent;
        for (std::size_t o = keep; o < g; ++o) state.recent.push_back(old[o - oldest]);
        state.recent.push_back(offer.layout);
        if (!seen.insert(state.recent).second) continue;
        kept.push_back(std::move(state));
      }
      oldest = keep;
      stages.push_back(std::move(kept));
    }
    std::size_t at = 0;
    for (std::size_t g = group.size(); g-- > 0;) {
      const State& state = stages[g + 1][at];
      out_.layouts[group[g]] = layouts(shape_[group[g]], broken, most)[state.layout];
      at = state.parent;
    }
    return true;
  }

  const Wall& wall_;
  const Runs& runs_;
  const Pole& pole_;
  const Rules& rules_;
  LayoutLister lister_;
  std::vector<std::vector<LayoutJoint>> built_;                              // by course
  std::vector<std::size_t> shape_;                                           // by run
  std::vector<std::size_t> example_;                                         // by shape: a run of it
  using ListKey = std::pair<std::size_t, std::pair<unsigned, std::size_t>>;  // shape, level, most
  std::map<ListKey, std::vector<Layout>> lists_;
  std::set<ListKey> cut_lists_;  // that leave out layouts that could matter
  bool cut_short_ = false;       // decide() left choices out
  using PairKey = std::pair<std::pair<std::size_t, std::size_t>, int>;
  std::map<PairKey, std::vector<std::vector<LayoutCost>>> pairs_;  // by layout of the lower, of the upper
  static constexpr std::size_t most_kept = 65536;
  std::vector<Offer> next_;
  ChosenLayouts out_;
};

LAPW_INLINE ChosenLayouts choose_layouts(const Wall& wall, const Region& region, const Runs& runs,
                                         const Pole& pole, const Rules& rules) {
  return LayoutChooser(wall, region, runs, pole, rules).choose();
}

// ---- Findings -------------------------------------------------------------------------------------------

LAPW_INLINE Joints joints_from_layouts(const Wall& wall, const Region& region, const Runs& runs,
                                       const Pole& pole, const Rules& rules,
                                       const std::vector<const Layout*>& chosen) {
  (void)region;
  Joints out;
  const JointRules& rule = rules.joints;
  const auto find = [&](const char* code, int course, double measured, double limit, std::string message) {
    Finding finding;
    finding.code = code;
    finding.wall = wall.name;
    finding.course = course;
    finding.measured = measured;
    finding.limit = limit;
    finding.message = std::move(message);
    out.findings.push_back(std::move(finding));
  };
  // Joints of each course, nailed ones first.
  struct Carried {
    double centre = 0;
    double x = 0;
  };
  std::vector<std::vector<Carried>> by_course(pole.lines.size());
  const std::vector<Stud> studs = lay_studs(wall);
  for (const BuiltJoint& joint : rules.courses.joints_built) {
    if (joint.wall != wall.name || joint.course < 0 || joint.course >= pole.built ||
        static_cast<std::size_t>(joint.course) >= by_course.size())
      continue;
    Carried carried{joint.x, joint.x};
    double nearest = -1;
    for (const Stud& stud : studs) {
      const double d = std::fabs(stud.centre - joint.x);
      if (d > stud.width / 2 + tolerance || (nearest >= 0 && d >= nearest)) continue;
      nearest = d;
      carried.centre = stud.centre;
    }
    by_course[static_cast<std::size_t>(joint.course)].push_back(carried);
  }
  for (std::size_t r = 0; r < runs.runs.size() && r < chosen.size(); ++r) {
    const Layout* layout = chosen[r];
    if (layout == nullptr || layout->joints.empty()) continue;
    const Run& run = runs.runs[r];
    for (const LayoutJoint& joint : layout->joints) {
      out.joints.push_back({run.course, joint.x, joint.centre, r, joint.left_factory, joint.right_factory});
      by_course[static_cast<std::size_t>(run.course)].push_back({joint.centre, joint.x});
    }
  }
  const int reach = std::max(rule.repeat_after - 1, 1);
  for (std::size_t r = 0; r < runs.runs.size() && r < chosen.size(); ++r) {
    const Layout* layout = chosen[r];
    if (layout == nullptr || layout->joints.empty()) continue;
    const int course = runs.runs[r].course;
    for (std::size_t i = 0; i < layout->pieces.size(); ++i) {
      const LayoutPiece& piece = layout->pieces[i];
      const double length = piece.x_max - piece.x_min;
      if (rule.factory_ends && i > 0 && i + 1 < layout->pieces.size()) {
        double whole = 0;
        bool is_whole = false;
        for (double board : rules.board.lengths) {
          is_whole = is_whole || std::fabs(board - length) <= tolerance;
          if (board > length && (whole <= 0 || board < whole)) whole = board;
        }
        if (!is_whole)
          find("joint_factory", course, length, whole,
               detail::format(
                   "No whole board ends on studs between the joints at {:.3f} and {:.3f} in: one end "
                   "is cut to {:.3f} in and sealed.",
                   layout->joints[i - 1].x, layout->joints[i].x, length));
      }
      if (length < rule.min_piece - tolerance)
        find("joint_min_piece", course, length, rule.min_piece,
             detail::format(
                 "The piece from {:.3f} to {:.3f} in beside a joint is {:.3f} in long, under the least "
                 "of {:.3f} in: no studs allow more.",
                 piece.x_min, piece.x_max, length, rule.min_piece));
    }
    for (const LayoutJoint& joint : layout->joints) {
      const double off = std::fabs(joint.x - joint.centre);
      if (off > rule.window + tolerance)
        find("joint_stud", course, off, rule.window,
             detail::format(
                 "The joint at {:.3f} in is {:.3f} in off the centre of its stud: nearer, no pieces "
                 "fit.",
                 joint.x, off));
      for (int apart = 1; apart <= reach && apart <= course; ++apart) {
        bool same = false;
        double nearest = -1;
        for (const Carried& other : by_course[static_cast<std::size_t>(course - apart)]) {
          const double d = std::fabs(other.centre - joint.centre);
          same = same || d <= tolerance;
          if (nearest < 0 || d < nearest) nearest = d;
        }
        if (same && apart < rule.repeat_after)
          find("joint_repeat", course, apart, rule.repeat_after,
               detail::format("The stud at {:.3f} in carries a joint again after {} course{}, sooner than {} "
                              "courses.",
                              joint.centre, apart, apart == 1 ? "" : "s", rule.repeat_after));
        if (apart == 1 && nearest >= 0 && nearest < rule.stagger - tolerance)
          find("joint_stagger", course, nearest, rule.stagger,
               nearest < least_stagger(wall.framing, rules) - tolerance
                   ? detail::format(
                         "The joint at {:.3f} in stands {:.3f} in from one in the course below, under "
                         "even one bay of studs: add a stud that can carry it elsewhere.",
                         joint.x, nearest)
                   : detail::format(
                         "The joint at {:.3f} in stands {:.3f} in from one in the course below, under "
                         "{:.3f} in.",
                         joint.x, nearest, rule.stagger));
      }
    }
  }
  return out;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
