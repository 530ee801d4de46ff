#pragma once
// The story pole, and whether a better one exists. Included by audit.ipp.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

/// The greatest allowed exposure: a multiple of the division.
inline double greatest_whole(const Rules& rules) {
  const double most =
      rules.courses.max_exposure ? *rules.courses.max_exposure : rules.board.width - rules.board.min_lap;
  return std::floor((most + tolerance) / rules.courses.division) * rules.courses.division;
}
inline double most_exposure(const Rules& rules) {
  return rules.courses.max_exposure ? *rules.courses.max_exposure : rules.board.width - rules.board.min_lap;
}
inline double fewest_exposure(const Rules& rules) {
  return rules.courses.min_exposure ? *rules.courses.min_exposure : most_exposure(rules) - 1;
}

inline void audit_even(const House& house, Report& report, double top) {
  const std::vector<double>& lines = house.plan->pole.lines;
  const double division = house.rules->courses.division;
  const std::size_t from = house.built > 0 ? house.built - 1 : 0;
  double least = std::numeric_limits<double>::infinity(), most = -least;
  for (std::size_t k = from; k < lines.size(); ++k) {
    const double shown = (k + 1 < lines.size() ? lines[k + 1] : top) - lines[k];
    least = std::min(least, shown);
    most = std::max(most, shown);
    if (k > house.built && k + 1 < lines.size() && shown > lines[k] - lines[k - 1] + 2 * tolerance)
      report.insist(
          "mode_even", {{}, static_cast<int>(k), {}}, shown, lines[k] - lines[k - 1],
          detail::format("course {} shows more than the one below it; the wider ones come first", k));
  }
  if (most - least > division + 4 * tolerance)
    report.insist(
        "mode_even", {{}, {}, {}}, most - least, division,
        detail::format("courses show from {:.4f} to {:.4f}, more than a division apart", least, most));
  if (house.built == 0) {
    const double whole = greatest_whole(*house.rules);
    const double count = std::ceil((top - lines.front()) / whole - 1e-6);
    if (static_cast<double>(lines.size()) > count + 0.5 || static_cast<double>(lines.size()) < count - 0.5)
      report.insist(
          "mode_count", {{}, {}, {}}, static_cast<double>(lines.size()), count,
          detail::format("{} courses where {:.0f} are the fewest that reach the top", lines.size(), count));
  }
}

inline void audit_full(const House& house, Report& report) {
  const std::vector<double>& lines = house.plan->pole.lines;
  const Rules& rules = *house.rules;
  const double whole = greatest_whole(rules);
  for (std::size_t k = house.built; k + 1 < lines.size(); ++k)
    if (std::fabs(lines[k + 1] - lines[k] - whole) > 2 * tolerance)
      report.insist("mode_full", {{}, static_cast<int>(k), {}}, lines[k + 1] - lines[k], whole,
                    detail::format("course {} shows {:.4f} where every exposure is the greatest", k,
                                   lines[k + 1] - lines[k]));
  if (house.built > 0 && lines.size() > house.built) {
    const double seam =
        std::floor((lines[house.built - 1] + most_exposure(rules) + tolerance) / rules.courses.division) *
        rules.courses.division;
    if (std::fabs(lines[house.built] - seam) > 2 * tolerance)
      report.insist(
          "mode_full", {{}, static_cast<int>(house.built) - 1, {}}, lines[house.built], seam,
          "the first line above those as built is not the highest that the greatest exposure reaches");
  }
  if (house.built > 0 || lines.empty()) return;
  // The first line nearest to the lowest base that every start allows.
  double lowest = std::numeric_limits<double>::infinity();
  const AuditWall* wall = nullptr;
  for (const AuditWall& w : house.walls)
    if (w.has_region && w.first_lowest < lowest) lowest = w.first_lowest, wall = &w;
  if (wall == nullptr || !wall->wall->start) return;
  const double division = rules.courses.division;
  const double now = std::fabs(lines.front() - lowest);
  for (double i = std::ceil((wall->wall->start->low - tolerance) / division);
       i * division <= wall->wall->start->high + tolerance; ++i) {
    const double first = i * division;
    if (std::fabs(first - lowest) > now - 4 * tolerance) continue;
    bool all = true;
    for (const AuditWall& w : house.walls) {
      if (!w.has_region) continue;
      double low = w.first_lowest, high = w.first_lowest + division - 3 * tolerance;
      if (w.wall->start)
        low = w.wall->start->low, high = w.wall->start->high;
      else if (w.first_lowest > lowest + tolerance)
        continue;
      const double n = std::max(0.0, std::ceil((low - tolerance - first) / whole));
      all = all && first + n * whole <= high + tolerance;
    }
    if (all) {
      report.insist("mode_full", {{}, 0, {}}, now, std::fabs(first - lowest),
                    detail::format("the first line could lie nearer to the base, at {:.4f}", first));
      return;
    }
  }
}

LAPW_INLINE void audit_pole(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const Pole& pole = house.plan->pole;
  const std::vector<double>& lines = pole.lines;
  const double division = rules.courses.division;
  bool any_region = false;
  double top = -std::numeric_limits<double>::infinity();
  for (const AuditWall& w : house.walls)
    if (w.has_region) any_region = true, top = std::max(top, w.highest);
  if (lines.empty()) {
    if (any_region) report.insist("pole_order", {}, 0, 1, "the pole has no line");
    return;
  }
  bool ordered = true;
  for (std::size_t k = 0; k + 1 < lines.size(); ++k)
    if (!(lines[k + 1] - lines[k] > tolerance)) {
      ordered = false;
      report.insist("pole_order", {{}, static_cast<int>(k + 1), {}}, lines[k + 1], lines[k],
                    detail::format("line {} does not lie above line {}", k + 1, k));
    }
  for (std::size_t k = house.built; k < lines.size(); ++k)
    if (!on_grid(lines[k], division))
      report.insist("pole_grid", {{}, static_cast<int>(k), {}}, lines[k], division,
                    detail::format("line {} is no multiple of the division", k));
  if (pole.exposures.size() + 1 != lines.size())
    report.insist("pole_exposures", {}, static_cast<double>(pole.exposures.size()),
                  static_cast<double>(lines.size() - 1), "there is not one exposure between every two lines");
  for (std::size_t k = 0; k + 1 < lines.size() && k < pole.exposures.size(); ++k)
    if (!(std::fabs(pole.exposures[k] - (lines[k + 1] - lines[k])) <= 2 * tolerance))
      report.insist("pole_exposures", {{}, static_cast<int>(k), {}}, pole.exposures[k],
                    lines[k + 1] - lines[k],
                    detail::format("the exposure of course {} is not the difference of its lines", k));
  int settings = lines.size() > 1 ? 1 : 0;
  for (std::size_t k = 0; k + 2 < lines.size(); ++k)
    settings += std::fabs((lines[k + 2] - lines[k + 1]) - (lines[k + 1] - lines[k])) > 2 * tolerance;
  if (pole.settings != settings)
    report.insist(
        "settings", {}, pole.settings, settings,
        detail::format("the plan counts {} gauge settings, its lines make {}", pole.settings, settings));
  const std::vector<double>& built = rules.courses.lines;
  for (std::size_t k = 0; k < built.size(); ++k)
    if (k >= lines.size() || std::fabs(lines[k] - built[k]) > 2 * tolerance)
      report.insist("as_built", {{}, static_cast<int>(k), {}},
                    k < lines.size() ? std::optional<double>(lines[k]) : std::nullopt, built[k],
                    detail::format("line {} is not where course {} is nailed", k, k));
  const double starter = rules.starter.width ? *rules.starter.width : rules.board.min_lap;
  if (std::fabs(pole.starter - starter) > 2 * tolerance)
    report.insist("starter_width", {}, pole.starter, starter,
                  "the pole's starter is not as wide as the job says");
  if (!ordered) return;

  const double most = most_exposure(rules), fewest = fewest_exposure(rules);
  const std::size_t planned = house.built > 0 ? house.built - 1 : 0;
  for (std::size_t k = 0; k + 1 < lines.size(); ++k) {
    const double e = lines[k + 1] - lines[k];
    const Report::Place place{{}, static_cast<int>(k), {}};
    if (rules.board.width - e < rules.board.min_lap - 2 * tolerance) {
      if (k >= planned)
        report.insist("lap", place, rules.board.width - e, rules.board.min_lap,
                      detail::format("course {} is lapped by {:.4f} only", k, rules.board.width - e));
      else
        report.add("lap", place, rules.board.width - e, rules.board.min_lap,
                   detail::format("course {} is lapped by {:.4f} only", k, rules.board.width - e));
    }
    if (k < planned) continue;
    if (e > most + 2 * tolerance)
      report.insist("exposure_max", place, e, most, detail::format("course {} shows {:.4f}", k, e));
    if (e < fewest - 2 * tolerance) {
      // The plan names the lowest; those that are no lower are named with it.
      bool named = false;
      for (const Finding& f : report.declared())
        named = named || (f.code == "exposure_min" && f.measured && *f.measured <= e + 2 * tolerance);
      if (!named)
        report.insist("exposure_min", place, e, fewest, detail::format("course {} shows {:.4f} only", k, e));
    }
    if (k > planned && k >= house.built && k > 0) {
      const double step = std::fabs(e - (lines[k] - lines[k - 1]));
      if (step > rules.courses.max_step + 2 * tolerance && !report.declares("step", {{}, {}, {}}))
        report.insist("step", place, step, rules.courses.max_step,
                      detail::format("the gauge changes by {:.4f} at course {}", step, k));
    }
  }
  if (any_region && lines.back() >= top - tolerance && lines.size() > house.built)
    report.insist("line_above_top", {{}, static_cast<int>(lines.size()) - 1, {}}, lines.back(), top,
                  "the last line lies above all that is to be sided");
  if (any_region && top - lines.back() > most + 2 * tolerance)
    report.insist("exposure_max", {{}, static_cast<int>(lines.size()) - 1, {}}, top - lines.back(), most,
                  detail::format("the last course shows {:.4f}", top - lines.back()));

  for (const AuditWall& w : house.walls) {
    if (!w.has_region || w.plan == nullptr) continue;
    const WallCourses& c = w.plan->courses;
    if (w.last_course < 0) continue;
    if (c.first_course != w.first_course)
      report.insist("start", {w.wall->name, {}, {}}, c.first_course, w.first_course,
                    detail::format("the plan begins this wall with course {}, it is course {}",
                                   c.first_course, w.first_course));
    const double rip = w.highest - lines[static_cast<std::size_t>(w.last_course)];
    if (!(std::fabs(c.last_rip - rip) <= 4 * tolerance))
      report.insist("last_course", {w.wall->name, {}, {}}, c.last_rip, rip,
                    detail::format("the plan says that the last course shows {:.4f}, it shows {:.4f}",
                                   c.last_rip, rip));
    if (w.ripped && w.first_course >= static_cast<int>(house.built))
      report.add("ripped_start", {w.wall->name, w.first_course, {}},
                 w.first_lowest - lines[static_cast<std::size_t>(w.first_course)], 0,
                 "this wall begins with a ripped course, and the plan says nothing of it");
  }
  if (!any_region) return;
  if (rules.courses.mode == CourseMode::even) audit_even(house, report, top);
  if (rules.courses.mode == CourseMode::full) audit_full(house, report);
}

/// The best pole on the grid, found backwards from the top: least bad strips, courses, settings, squared
/// steps, in this order.
struct Best {
  using Cost = std::array<long, 4>;
  static constexpr long none = std::numeric_limits<long>::max() / 4;
};
/// A whole pole, or what lies above lines as built, by what it costs; exposures in divisions.
struct PoleChoice {
  long bad = 0, courses = 0, settings = 0;
  double squares = 0, distance = 0, begin = 0;
  std::vector<double> exposures;

  /// Off the grid, steps are told apart no finer than makers do: to 1/16384 of a division.
  bool fewer_squares(const PoleChoice& other) const {
    return squares < other.squares - 1e-3 * std::max(1.0, std::sqrt(squares));
  }
  bool better_than(const PoleChoice& other) const {
    if (bad != other.bad) return bad < other.bad;
    if (courses != other.courses) return courses < other.courses;
    if (settings != other.settings) return settings < other.settings;
    if (fewer_squares(other) || other.fewer_squares(*this)) return squares < other.squares;
    if (std::fabs(distance - other.distance) > 4 * tolerance) return distance < other.distance;
    for (std::size_t k = 0; k < exposures.size() && k < other.exposures.size(); ++k)
      if (std::fabs(exposures[k] - other.exposures[k]) > 1e-3) return exposures[k] > other.exposures[k];
    return begin < other.begin - 4 * tolerance;
  }
};

LAPW_INLINE void audit_fitted(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const std::vector<double>& lines = house.plan->pole.lines;
  if (rules.courses.mode != CourseMode::fitted || lines.empty()) return;
  for (const Finding& f : report.found)  // of a pole that is none, nothing is best
    if (f.code == "pole_order" || f.code == "pole_grid" || f.code == "exposure_max" ||
        f.code == "exposure_min" || f.code == "step" || f.code == "start" || f.code == "line_above_top")
      return;
  const double division = rules.courses.division;
  double lowest = std::numeric_limits<double>::infinity(), top = -lowest;
  for (const AuditWall& w : house.walls)
    if (w.has_region) lowest = std::min(lowest, w.first_lowest), top = std::max(top, w.highest);
  if (!(top > lowest)) return;
  const std::vector<double>& built = rules.courses.lines;
  struct Demand {
    long low, high;
  };
  std::vector<Demand> demands;
  struct Mark {
    double height, from, top;
    bool below;
  };
  std::vector<Mark> marks;
  const auto at_or_above = [&](double y) { return static_cast<long>(std::ceil((y - tolerance) / division)); };
  const auto at_or_below = [&](double y) {
    return static_cast<long>(std::floor((y + tolerance) / division));
  };
  const long least = std::max(1L, at_or_above(fewest_exposure(rules)));
  const long greatest = at_or_below(most_exposure(rules)), step = at_or_below(rules.courses.max_step);
  const AuditWall* bare = nullptr;
  for (const AuditWall& w : house.walls) {
    if (!w.has_region) continue;
    double from = -std::numeric_limits<double>::infinity();
    const bool by_default = !w.wall->start && w.first_lowest <= lowest + tolerance;
    if (w.wall->start || by_default) {
      from = (w.wall->start ? w.wall->start->low : w.first_lowest) - tolerance;
      const double to = w.wall->start ? w.wall->start->high : w.first_lowest + division - 3 * tolerance;
      Demand d{at_or_above(from + tolerance), w.wall->start ? at_or_below(to) : at_or_above(w.first_lowest)};
      // Lines as built meet a start, or have left it behind.
      bool met = false;
      for (double y : built) met = met || (y >= from && y <= to + tolerance);
      if (!built.empty()) d.low = std::max(d.low, at_or_below(built.back()) + 1);
      if (!met && d.low > d.high && !w.wall->start)
        from = -std::numeric_limits<double>::infinity();
      else if (!met)
        demands.push_back(d);
    } else if (bare == nullptr || w.first_lowest < bare->first_lowest) {
      bare = &w;
    }
    for (const AuditMark& m : w.marks) {
      if (m.base && by_default && m.height < w.first_lowest + division - tolerance) continue;
      if (m.base && w.wall->start) {
        const Edge& edge = w.wall->edges[static_cast<std::size_t>(m.edge)];
        const auto starts = [&](double y) {
          return y >= w.wall->start->low - tolerance && y <= w.wall->start->high + tolerance;
        };
        if (starts(m.height) || starts(m.height - edge.trim - edge.gap)) continue;  // it follows
      }
      if (m.board_below ? m.height <= w.first_lowest + tolerance : m.height >= w.highest - tolerance)
        continue;
      marks.push_back({m.height, from, w.highest, m.board_below});
    }
  }
  if (demands.empty() && built.empty()) return;
  if (bare != nullptr && built.empty()) {  // no wall is left bare by a whole course
    long first = demands.front().high;
    for (const Demand& d : demands) first = std::min(first, d.high);
    if (first >= at_or_above(bare->first_lowest) + least) {
      const long high = at_or_below(bare->first_lowest);
      demands.push_back({high - greatest + 1, high});
    }
  }
  const long end = at_or_above(top) - 1;  // the highest line
  long begin = std::numeric_limits<long>::max(), first_high = begin;
  for (const Demand& d : demands) {
    begin = std::min(begin, d.low);
    first_high = std::min(first_high, d.high);
  }
  if (!built.empty()) {  // what the limits reach above the last of them, or else the highest line
    const long reach = at_or_below(built.back() + most_exposure(rules));
    begin = std::min(
        reach, std::max(at_or_above(built.back() + fewest_exposure(rules)), at_or_below(built.back()) + 1));
    first_high = std::min({first_high, reach, end});
  }
  if (begin > end) return;
  const long count = end - begin + 1, width = greatest - least + 1;
  if (count < 1 || width < 1 || count * width > 2000000) return;

  const auto bad = [&](double below, double above) {
    long n = 0;
    for (const Mark& m : marks) {
      if (below < m.from) continue;
      const double strip = m.below ? m.height - below : std::min(above, m.top) - m.height;
      const bool in = m.below ? above > m.height + tolerance : below < m.height - tolerance;
      n += in && strip > tolerance && strip < rules.courses.min_strip - tolerance;
    }
    return n;
  };
  const auto jumps = [&](long from, long to) {
    for (const Demand& d : demands)
      if (from < d.low && to > d.high) return true;
    return false;
  };
  using Cost = Best::Cost;
  const Cost never{Best::none, 0, 0, 0};
  // go[i][e]: from line i, reached by exposure least + e; one more place for a first line.
  std::vector<Cost> go(static_cast<std::size_t>(count * (width + 1)), never);
  const auto place = [&](long i, long e) { return static_cast<std::size_t>((i - begin) * (width + 1) + e); };
  const auto stop_at = [&](long i) {
    const double y = static_cast<double>(i) * division;
    if (top - y > most_exposure(rules) + tolerance) return never;
    for (const Demand& d : demands)
      if (d.low > i) return never;
    return Cost{bad(y, std::numeric_limits<double>::infinity()), 0, 0, 0};
  };
  const auto plus = [](Cost a, const Cost& b) {
    for (std::size_t k = 0; k < 4; ++k) a[k] += b[k];
    return a;
  };
  const auto step_cost = [&](long e, long next, long bads) {
    if (e == width) return Cost{bads, 1, 1, 0};
    return Cost{bads, 1, next != e, (next - e) * (next - e)};
  };
  std::vector<long> bads(static_cast<std::size_t>(width));
  for (long i = end; i >= begin; --i) {
    const Cost stop = stop_at(i);
    for (long next = 0; next < width; ++next) {
      const long to = i + least + next;
      bads[static_cast<std::size_t>(next)] =
          to > end || jumps(i, to)
              ? -1
              : bad(static_cast<double>(i) * division, static_cast<double>(to) * division);
    }
    for (long e = 0; e <= width; ++e) {
      Cost best = stop;
      const long from = e == width ? 0 : std::max(0L, e - step);
      const long till = e == width ? width - 1 : std::min(width - 1, e + step);
      for (long next = from; next <= till; ++next) {
        if (bads[static_cast<std::size_t>(next)] < 0) continue;
        const Cost& rest = go[place(i + least + next, next)];
        if (rest[0] >= Best::none) continue;
        const Cost c = plus(rest, step_cost(e, next, bads[static_cast<std::size_t>(next)]));
        if (c < best) best = c;
      }
      go[place(i, e)] = best;
    }
  }
  // The greatest exposures from below that keep the cost `left`, from line i on.
  const auto climb = [&](long i, long e, Cost left, std::vector<long>& exposures) {
    while (stop_at(i) != left) {  // stopping shows nothing more; to go on costs a course
      bool found = false;
      for (long next = width - 1; next >= 0 && !found; --next) {
        if (e != width && std::labs(next - e) > step) continue;
        const long to = i + least + next;
        if (to > end || jumps(i, to)) continue;
        const Cost& rest = go[place(to, next)];
        if (rest[0] >= Best::none) continue;
        const long b = bad(static_cast<double>(i) * division, static_cast<double>(to) * division);
        if (plus(rest, step_cost(e, next, b)) != left) continue;
        exposures.push_back(least + next);
        left = rest;
        i = to;
        e = next;
        found = true;
      }
      if (!found) break;
    }
  };
  PoleChoice best, now;
  bool any = false;
  const auto offer = [&](const PoleChoice& c) {
    if (!any || c.better_than(best)) best = c;
    any = true;
  };
  now.begin = lines.front();
  now.distance = std::fabs(lines.front() - lowest);
  const std::size_t seam = built.empty() ? 0 : built.size() - 1;
  for (std::size_t k = seam; k < lines.size(); ++k) {
    now.bad += bad(lines[k], k + 1 < lines.size() ? lines[k + 1] : std::numeric_limits<double>::infinity());
    if (k + 1 == lines.size()) break;
    const double e = (lines[k + 1] - lines[k]) / division;
    now.exposures.push_back(e);
    ++now.courses;
    const double change = k > 0 ? e - (lines[k] - lines[k - 1]) / division : 0;
    now.settings += k == 0 || std::fabs(change) * division > 2 * tolerance;
    now.squares += change * change;
  }
  const auto finish = [&](PoleChoice c, long line, long before, const Cost& cost) {
    c.bad += cost[0];
    c.courses += cost[1];
    c.settings += cost[2];
    c.squares += static_cast<double>(cost[3]);
    std::vector<long> rest;
    climb(line, before, cost, rest);
    for (long e : rest) c.exposures.push_back(static_cast<double>(e));
    offer(c);
  };
  if (built.empty()) {
    for (const Demand& d : demands)
      for (long i = d.low; i <= std::min({d.high, first_high, end}); ++i) {
        if (go[place(i, width)][0] >= Best::none) continue;
        PoleChoice c;
        c.begin = static_cast<double>(i) * division;
        c.distance = std::fabs(c.begin - lowest);
        finish(c, i, width, go[place(i, width)]);
      }
  } else {
    // The step at the seam is free, the next one is not: it goes on to the nearest whole exposure where none
    // is within max_step.
    for (double slack : {0.0, division - 4 * tolerance}) {
      for (long i = begin; i <= first_high; ++i) {
        PoleChoice c;
        c.begin = now.begin;
        c.distance = now.distance;
        c.bad += bad(built.back(), static_cast<double>(i) * division);
        c.courses = 1;
        const double shown = static_cast<double>(i) - built.back() / division;
        c.exposures = {shown};
        const double change = built.size() > 1 ? shown - (built.back() - built[seam - 1]) / division : 0;
        c.settings = built.size() == 1 || std::fabs(change) * division > 2 * tolerance;
        c.squares = change * change;
        if (stop_at(i)[0] < Best::none) finish(c, i, width, stop_at(i));
        for (long next = 0; next < width; ++next) {
          const double on = static_cast<double>(least + next) - shown;
          const long to = i + least + next;
          const double may =
              slack > 0 ? static_cast<double>(step) * division + slack : rules.courses.max_step;
          if (std::fabs(on) * division > may + tolerance || to > end || jumps(i, to)) continue;
          if (go[place(to, next)][0] >= Best::none) continue;
          PoleChoice d = c;
          d.bad += bad(static_cast<double>(i) * division, static_cast<double>(to) * division);
          ++d.courses;
          d.settings += std::fabs(on) * division > 2 * tolerance;
          d.squares += on * on;
          d.exposures.push_back(static_cast<double>(least + next));
          finish(d, to, next, go[place(to, next)]);
        }
      }
      if (any) break;
    }
    if (demands.empty() && top - built.back() <= most_exposure(rules) + tolerance) {
      PoleChoice c;
      c.begin = now.begin;
      c.distance = now.distance;
      c.bad = bad(built.back(), std::numeric_limits<double>::infinity());
      offer(c);
    }
  }
  if (!any || !best.better_than(now)) return;
  const auto tell = [&](double mine, double theirs, const char* what) {
    report.insist("not_best", {}, mine, theirs,
                  detail::format("another pole that begins at {:.4f} has {:.6g} {} where this one has {:.6g}",
                                 best.begin, theirs, what, mine));
  };
  if (best.bad != now.bad)
    return tell(static_cast<double>(now.bad), static_cast<double>(best.bad), "bad strips");
  if (best.courses != now.courses)
    return tell(static_cast<double>(now.courses + 1), static_cast<double>(best.courses + 1),
                built.empty() ? "courses" : "courses from the last one as built on");
  if (best.settings != now.settings)
    return tell(static_cast<double>(now.settings), static_cast<double>(best.settings), "gauge settings");
  if (best.fewer_squares(now)) return tell(now.squares, best.squares, "squared steps");
  report.insist(
      "not_best", {}, lines.front(), best.begin,
      detail::format("a pole of the same cost begins nearer to the base, or shows more from below: from "
                     "{:.4f}",
                     best.begin));
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
