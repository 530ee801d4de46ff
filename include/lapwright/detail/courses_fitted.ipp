#pragma once
// The best pole, exactly: dynamic programming over (line, exposure below it). Included by courses.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include <lapwright/detail/courses_task.ipp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// The first four ranks of a pole's cost.
struct WholeCost {
  std::uint64_t bad = 0, courses = 0, settings = 0, squares = 0;
};

/// The four ranks in one number, so that the inner loop adds and compares once. Each rank has room for its
/// greatest sum.
class PackedCost {
public:
  using Value = std::uint64_t;
  static constexpr Value none = std::uint64_t{1} << 62;  // adding to it does not wrap round
  explicit PackedCost(const WholeCost& greatest)
      : courses_(greatest.courses + 1), settings_(greatest.settings + 1), squares_(greatest.squares + 1) {}
  /// Whether all ranks have room.
  static bool fits(const WholeCost& greatest) {
    const double room =
        (static_cast<double>(greatest.bad) + 1) * (static_cast<double>(greatest.courses) + 1) *
        (static_cast<double>(greatest.settings) + 1) * (static_cast<double>(greatest.squares) + 1);
    return room < 4e18;  // 2^62 is 4.6e18
  }
  Value pack(const WholeCost& c) const {
    return ((c.bad * courses_ + c.courses) * settings_ + c.settings) * squares_ + c.squares;
  }
  WholeCost unpack(Value v) const {
    WholeCost c;
    c.squares = v % squares_;
    v /= squares_;
    c.settings = v % settings_;
    v /= settings_;
    c.courses = v % courses_;
    c.bad = v / courses_;
    return c;
  }

private:
  std::uint64_t courses_, settings_, squares_;
};

/// The same in two numbers, for heights and freedoms that no house has.
class WideCost {
public:
  struct Value {
    std::uint64_t high, low;
    friend bool operator<(Value a, Value b) { return a.high != b.high ? a.high < b.high : a.low < b.low; }
    friend bool operator==(Value a, Value b) { return a.high == b.high && a.low == b.low; }
    friend Value operator+(Value a, Value b) { return {a.high + b.high, a.low + b.low}; }
  };
  static constexpr Value none{std::uint64_t{1} << 62, 0};
  explicit WideCost(const WholeCost& greatest)
      : courses_(greatest.courses + 1), squares_(greatest.squares + 1) {}
  Value pack(const WholeCost& c) const {
    return {c.bad * courses_ + c.courses, c.settings * squares_ + c.squares};
  }
  WholeCost unpack(Value v) const {
    WholeCost c;
    c.bad = v.high / courses_;
    c.courses = v.high % courses_;
    c.settings = v.low / squares_;
    c.squares = v.low % squares_;
    return c;
  }

private:
  std::uint64_t courses_, squares_;
};

/// Grid lines and exposures between which a pole is looked for.
struct CourseSpan {
  Divisions first = 0, last = -1;  ///< grid lines; none where last < first
  Divisions least = 1, greatest = 1, step = 0;
  std::size_t lines() const { return static_cast<std::size_t>(last - first + 1); }
  std::size_t kinds() const { return static_cast<std::size_t>(greatest - least + 1); }
};

/// The grid lines that the first line above those as built may lie on: within the limits, or else the highest
/// that the lap reaches.
inline std::pair<Divisions, Divisions> seam_lines(const CourseTask& task) {
  const PoleLimits& l = task.limits;
  const double r = task.built.back();
  const Divisions high = line_at_or_below(r + l.max_exposure, l.division);
  const Divisions low = std::max(line_at_or_above(r + l.min_exposure, l.division), line_above(r, l.division));
  return {std::min(low, high), high};
}

/// The exposure above lines as built may lie off the grid, where no whole one is within a small max_step of
/// it. Then the step to the next may go on to the nearest whole exposure.
inline double widest_seam_step(const CourseTask& task) {
  return static_cast<double>(task.limits.step + 1) * task.limits.division - 2 * tolerance;
}

inline CourseSpan course_span(const CourseTask& task) {
  CourseSpan span;
  span.last = line_below(task.top, task.limits.division);
  span.least = task.limits.least;
  span.greatest = task.limits.greatest;
  span.step = std::min(task.limits.step, span.greatest - span.least);
  if (!task.built.empty()) {
    span.first = seam_lines(task).first;
  } else {
    span.first = span.last + 1;
    for (const StartDemand& d : task.demands) span.first = std::min(span.first, d.low);
  }
  return span;
}

/// For each line of the span, the highest line that the next one may be without passing over a start.
inline std::vector<Divisions> course_reach(const CourseSpan& span, const std::vector<StartDemand>& demands) {
  std::vector<Divisions> reach(span.lines(), span.last);
  for (const StartDemand& d : demands) {
    const Divisions below = d.low - 1 - span.first;  // the highest line that has this start above it
    if (below < 0) continue;
    Divisions& r = reach[static_cast<std::size_t>(std::min<Divisions>(below, span.last - span.first))];
    r = std::min(r, d.high);
  }
  for (std::size_t i = reach.size(); i-- > 1;) reach[i - 1] = std::min(reach[i - 1], reach[i]);
  return reach;
}

/// The last line may lie on or above this one: the course above shows no more than max_exposure, and no start
/// is left above.
inline Divisions least_last_line(const CourseTask& task, const std::vector<StartDemand>& demands) {
  Divisions least = line_at_or_above(task.top - task.limits.max_exposure, task.limits.division);
  for (const StartDemand& d : demands) least = std::max(least, d.low);
  return least;
}

template <class Cost>
class PoleSearch {
public:
  /// \param seam_step  in; greatest change from the exposure above the lines as built to the next.
  PoleSearch(const CourseTask& task, const CourseSpan& span, const WholeCost& greatest, double seam_step)
      : task_(task), span_(span), cost_(greatest), kinds_(span.kinds()), seam_step_(seam_step) {
    WholeCost one;
    one.courses = 1;
    one_course_ = cost_.pack(one);
    reach_ = course_reach(span_, task_.demands);
    may_end_ = least_last_line(task_, task_.demands);
    count_bad();
    walk_down();
  }

  /// The new lines from below; nothing where the demands contradict each other.
  std::optional<std::vector<Divisions>> best() const {
    return task_.built.empty() ? best_from_ground() : best_from_seam();
  }

private:
  using Value = typename Cost::Value;

  std::size_t at(Divisions line) const { return static_cast<std::size_t>(line - span_.first); }
  std::size_t kind(Divisions exposure) const { return static_cast<std::size_t>(exposure - span_.least); }
  Divisions exposure(std::size_t kind) const { return span_.least + static_cast<Divisions>(kind); }

  /// How many strips each board between two lines, and each last board, leaves bad. Only the lines near a
  /// mark are touched.
  void count_bad() {
    bad_.assign(span_.lines() * kinds_, 0);
    bad_last_.assign(span_.lines(), 0);
    const double division = task_.limits.division;
    for (const CourseMark& m : task_.marks) {
      const Divisions under = line_below(m.height, division), over = line_above(m.height, division);
      const Divisions floor = std::max(span_.first, line_at_or_above(m.from + tolerance, division));
      if (m.board_below) {  // the board's line lies less than min_strip under the mark
        const Divisions from = line_at_or_above(m.height - task_.limits.min_strip + 2 * tolerance, division);
        for (Divisions i = std::max(from, floor); i <= std::min(under, span_.last); ++i) {
          if (!under_min_strip(m.height - static_cast<double>(i) * division)) continue;
          ++bad_last_[at(i)];
          for (Divisions e = std::max(span_.least, over - i); e <= span_.greatest; ++e)
            ++bad_[at(i) * kinds_ + kind(e)];
        }
      } else {  // the next line lies less than min_strip over the mark, or the region ends there
        const Divisions to =
            m.tight ? span_.last : line_at_or_below(m.height + task_.limits.min_strip, division);
        for (Divisions j = std::max(over, span_.first); j <= std::min(to, span_.last); ++j) {
          if (!m.tight && !under_min_strip(static_cast<double>(j) * division - m.height)) continue;
          for (Divisions e = span_.least; e <= span_.greatest; ++e)
            if (j - e <= under && j - e >= floor) ++bad_[at(j - e) * kinds_ + kind(e)];
          if (j - span_.greatest > under) break;  // no board reaches from under the mark
        }
        if (m.tight)
          for (Divisions i = floor; i <= std::min(under, span_.last); ++i) ++bad_last_[at(i)];
      }
    }
  }
  bool under_min_strip(double strip) const {
    return strip > tolerance && strip < task_.limits.min_strip - tolerance;
  }

  /// Cost from the board at `line` with this exposure on, steps to it left out.
  Value board(Divisions line, std::size_t k) const {
    const Divisions next = line + exposure(k);
    if (next > reach_[at(line)]) return Cost::none;
    const Value above = to_go_[at(next) * kinds_ + k];
    if (!(above < Cost::none)) return Cost::none;
    const std::uint32_t bad = bad_[at(line) * kinds_ + k];
    if (bad == 0) return above + one_course_;
    WholeCost own;
    own.bad = bad;
    own.courses = 1;
    return above + cost_.pack(own);
  }
  Value last_board(Divisions line) const {
    if (line < may_end_) return Cost::none;
    WholeCost own;
    own.bad = bad_last_[at(line)];
    return cost_.pack(own);
  }
  Value step(Divisions difference) const {
    WholeCost own;
    own.settings = difference != 0;
    own.squares = static_cast<std::uint64_t>(difference * difference);
    return cost_.pack(own);
  }

  /// to_go_[line, exposure below it]: the least cost of all that comes above.
  void walk_down() {
    to_go_.assign(span_.lines() * kinds_, Cost::none);
    std::vector<Value> steps;  // by difference
    for (Divisions s = 0; s <= span_.step; ++s) steps.push_back(step(s));
    std::vector<Value> boards(kinds_);
    for (Divisions line = span_.last; line >= span_.first; --line) {
      const Value last = last_board(line);
      bool any = false;
      for (std::size_t k = 0; k < kinds_; ++k) {
        boards[k] = board(line, k);
        any = any || boards[k] < Cost::none;
      }
      Value* const row = &to_go_[at(line) * kinds_];
      for (std::size_t k = 0; k < kinds_; ++k) row[k] = last;
      if (!any) continue;
      for (std::size_t s = 0; s < steps.size() && s < kinds_; ++s) {
        const Value by = steps[s];
        for (std::size_t k = 0; k + s < kinds_; ++k) row[k] = std::min(row[k], boards[k + s] + by);
        for (std::size_t k = s; k < kinds_; ++k) row[k] = std::min(row[k], boards[k - s] + by);
      }
    }
  }

  Value from_ground(Divisions line) const {
    Value best = last_board(line);
    for (std::size_t k = 0; k < kinds_; ++k) best = std::min(best, board(line, k));
    return best;
  }

  /// Goes on from `line` with the cost `left` above it, the greatest exposure first; the exposure below it is
  /// `before`, or none. A pole that could end here at the same cost would have fewer courses, so it never
  /// ties.
  void climb(std::vector<Divisions>& lines, Value left, std::optional<std::size_t> before) const {
    while (!(last_board(lines.back()) == left)) {
      const Divisions line = lines.back();
      std::size_t k = kinds_;
      Value rest = Cost::none;
      while (k-- > 0) {
        const Divisions difference = before ? exposure(k) - exposure(*before) : 0;
        if (difference > span_.step || -difference > span_.step) continue;
        if (board(line, k) + step(difference) == left) break;
      }
      rest = to_go_[at(line + exposure(k)) * kinds_ + k];
      lines.push_back(line + exposure(k));
      left = rest;
      before = k;
    }
  }

  std::optional<std::vector<Divisions>> best_from_ground() const {
    Value least = Cost::none;
    std::vector<Divisions> ties;
    double distance = 0;
    for (Divisions line : first_lines(task_)) {
      const Value value = from_ground(line);
      if (!(value < Cost::none)) continue;
      const double parts = base_parts(task_, line);
      const bool better = value < least || (value == least && parts < distance);
      if (!better && !(value == least && parts == distance)) continue;
      if (better) ties.clear();
      ties.push_back(line);
      least = value;
      distance = parts;
    }
    std::optional<std::vector<Divisions>> best;
    for (Divisions line : ties) {  // ascending: the lower stays where all else is equal
      std::vector<Divisions> lines{line};
      climb(lines, least, std::nullopt);
      if (!best || greater_exposures(lines, *best)) best = std::move(lines);
    }
    return best;
  }

  static bool greater_exposures(const std::vector<Divisions>& a, const std::vector<Divisions>& b) {
    for (std::size_t i = 1; i < a.size() && i < b.size(); ++i) {
      const Divisions ea = a[i] - a[i - 1], eb = b[i] - b[i - 1];
      if (ea != eb) return ea > eb;
    }
    return false;
  }

  /// What the boards from the last line as built cost: its exposure may be off the grid, and the step to it
  /// is free. Squares in parts of a division.
  struct Seam {
    WholeCost cost;
    double squares = 0;
    std::vector<Divisions> begin;  ///< the line above, if any
    std::optional<std::size_t> kind;
    Value left{};
    bool operator<(const Seam& b) const {
      if (cost.bad != b.cost.bad) return cost.bad < b.cost.bad;
      if (cost.courses != b.cost.courses) return cost.courses < b.cost.courses;
      if (cost.settings != b.cost.settings) return cost.settings < b.cost.settings;
      return squares < b.squares;
    }
  };

  std::optional<std::vector<Divisions>> best_from_seam() const {
    const double division = task_.limits.division;
    const std::vector<double>& built = task_.built;
    const double seam = built.back();
    std::optional<Seam> best;
    const auto offer = [&](Seam s) {
      if (!best || s < *best) best = std::move(s);
    };
    Divisions highest = span_.last;
    for (const StartDemand& d : task_.demands) highest = std::min(highest, d.high);
    const Divisions top_line = seam_lines(task_).second;
    const auto parts = [&](double inches) { return std::floor(inches / division * course_parts + 0.5); };
    // The greatest exposure first, so that the first of equals stays.
    for (Divisions line = std::min(top_line, highest); line >= span_.first; --line) {
      const double shown = static_cast<double>(line) * division - seam;
      Seam s;
      s.begin = {line};
      s.cost.bad =
          static_cast<std::uint64_t>(bad_strips_between(task_, seam, static_cast<double>(line) * division));
      s.cost.courses = 1;
      if (built.size() > 1) {
        const double before = seam - built[built.size() - 2];
        const double difference = parts(shown - before);
        s.squares = difference * difference;
        s.cost.settings = std::fabs(shown - before) > tolerance;
      }
      const Value end = last_board(line);
      if (end < Cost::none) offer(with(s, end, 0, 0));
      for (std::size_t k = kinds_; k-- > 0;) {
        const double change = static_cast<double>(exposure(k)) * division - shown;
        if (std::fabs(change) > seam_step_ + tolerance) continue;
        const Value value = board(line, k);
        if (!(value < Cost::none)) continue;
        const double difference = parts(change);
        Seam t = with(s, value, std::fabs(change) > tolerance, difference * difference);
        t.kind = k;
        offer(std::move(t));
      }
    }
    if (task_.demands.empty() && task_.top - seam <= task_.limits.max_exposure + tolerance) {
      Seam s;  // nothing more to nail above
      s.cost.bad = static_cast<std::uint64_t>(bad_strips_between(task_, seam, 2 * greatest_length));
      offer(std::move(s));
    }
    if (!best) return std::nullopt;
    std::vector<Divisions> lines = best->begin;
    if (best->kind) {
      const std::size_t k = *best->kind;
      const Divisions next = lines.back() + exposure(k);
      lines.push_back(next);
      climb(lines, to_go_[at(next) * kinds_ + k], k);
    }
    return lines;
  }
  Seam with(Seam s, Value value, std::uint64_t settings, double squares) const {
    const WholeCost above = cost_.unpack(value);
    s.cost.bad += above.bad;
    s.cost.courses += above.courses;
    s.cost.settings += above.settings + settings;
    s.squares += static_cast<double>(above.squares) * course_parts * course_parts + squares;
    return s;
  }

  const CourseTask& task_;
  CourseSpan span_;
  Cost cost_;
  std::size_t kinds_;
  double seam_step_;
  Value one_course_{};
  std::vector<Divisions> reach_;
  Divisions may_end_ = 0;
  std::vector<std::uint32_t> bad_, bad_last_;
  std::vector<Value> to_go_;
};

/// Whether lay_fitted would find a pole, without its costs. Once the highest start is met any exposure leads
/// on to the top. O(L E) for the lines up to that start.
inline bool can_lay_fitted(const CourseTask& task) {
  CourseSpan span = course_span(task);
  Divisions end = span.first;
  for (const StartDemand& d : task.demands) {
    if (d.low > d.high || d.low > span.last) return false;
    end = std::max(end, d.low);
  }
  if (task.demands.empty()) return !task.built.empty() || span.last >= span.first;
  if (span.last < span.first) return false;
  span.last = std::min(span.last, end + span.greatest);
  const std::size_t kinds = span.kinds();
  const std::vector<Divisions> reach = course_reach(span, task.demands);
  std::vector<char> reached(span.lines() * kinds, 0);  // by the exposure below the line
  const auto at = [&](Divisions line) { return static_cast<std::size_t>(line - span.first); };
  std::vector<char> may(kinds);  // exposures that may come next
  const auto go_on = [&](Divisions line) {
    for (std::size_t k = 0; k < kinds; ++k) {
      const Divisions next = line + span.least + static_cast<Divisions>(k);
      if (may[k] && next <= reach[at(line)]) reached[at(next) * kinds + k] = 1;
    }
  };
  const auto spread = [&](const char* row) {
    std::fill(may.begin(), may.end(), static_cast<char>(0));
    const std::size_t step = static_cast<std::size_t>(span.step);
    std::size_t done = 0;
    bool any = false;
    for (std::size_t k = 0; k < kinds; ++k) {
      if (!row[k]) continue;
      any = true;
      for (done = std::max(done, k > step ? k - step : 0); done < kinds && done <= k + step; ++done)
        may[done] = 1;
    }
    return any;
  };
  std::vector<char> begins(span.lines(), 0);  // no step to keep to
  if (task.built.empty()) {
    for (Divisions line : first_lines(task))
      if (line <= span.last) begins[at(line)] = 1;
  } else {
    const double d = task.limits.division, seam = task.built.back();
    Divisions highest = std::min(span.last, seam_lines(task).second);
    for (const StartDemand& demand : task.demands) highest = std::min(highest, demand.high);
    for (Divisions line = span.first; line <= highest; ++line) {
      if (line >= end) return true;
      const double shown = static_cast<double>(line) * d - seam;
      for (std::size_t k = 0; k < kinds; ++k)
        may[k] = std::fabs(static_cast<double>(span.least + static_cast<Divisions>(k)) * d - shown) <=
                 widest_seam_step(task) + tolerance;
      go_on(line);
    }
  }
  for (Divisions line = span.first; line <= span.last; ++line) {
    if (begins[at(line)]) {
      if (line >= end) return true;
      std::fill(may.begin(), may.end(), static_cast<char>(1));
      go_on(line);
    }
    if (!spread(&reached[at(line) * kinds])) continue;
    if (line >= end) return true;
    go_on(line);
  }
  return false;
}

inline std::optional<std::vector<Divisions>> lay_fitted(const CourseTask& task) {
  const CourseSpan span = course_span(task);
  if (task.built.empty() && span.last < span.first) return std::nullopt;
  if (span.last < span.first) {  // the lines as built have reached the top
    if (!task.demands.empty()) return std::nullopt;
    return std::vector<Divisions>{};
  }
  WholeCost greatest;
  greatest.bad = task.marks.size();
  greatest.courses = static_cast<std::uint64_t>((span.last - span.first) / span.least + 1);
  greatest.settings = greatest.courses;
  greatest.squares = greatest.courses * static_cast<std::uint64_t>(span.step * span.step);
  const auto search = [&](double seam_step) {
    return PackedCost::fits(greatest) ? PoleSearch<PackedCost>(task, span, greatest, seam_step).best()
                                      : PoleSearch<WideCost>(task, span, greatest, seam_step).best();
  };
  std::optional<std::vector<Divisions>> best = search(task.limits.max_step);
  if (!best && !task.built.empty()) best = search(widest_seam_step(task));
  return best;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
