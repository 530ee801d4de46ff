#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/rake.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double pi = 3.14159265358979323846;

/// Tangent for 0 <= x < pi/2 from the four operations alone, so that a template from degrees has the same
/// bits on every machine: a series at an eighth of the angle, then doubled three times. Within 1e-13 relative
/// up to 70 degrees.
inline double plain_tangent(double x) {
  const double a = x / 8, a2 = a * a;
  double sine = 0, cosine = 0, term = 1;  // term: a^k / k!, by pairs
  for (int k = 0; k < 20; k += 2) {
    cosine += (k / 2 % 2 == 0 ? term : -term);
    sine += (k / 2 % 2 == 0 ? term : -term) * a / (k + 1);
    term = term * a2 / ((k + 1) * (k + 2));
  }
  double t = sine / cosine;
  for (int i = 0; i < 3; ++i) t = 2 * t / (1 - t * t);
  return t;
}

/// Its inverse for t >= 0, radians: Newton's steps on plain_tangent from a rational start.
inline double plain_arctangent(double t) {
  if (t > 1) return pi / 2 - plain_arctangent(1 / t);
  double x = t / (1 + 0.28125 * t * t);
  for (int i = 0; i < 4; ++i) {
    const double at = plain_tangent(x);
    x -= (at - t) / (1 + at * at);
  }
  return x;
}

/// The nearest sixteenth.
inline double nearest_mark(double inches) {
  return std::floor(inches / square_mark + 0.5) * square_mark;
}

/// A rise in 12 that is noise away from a whole 64th is that 64th.
inline double settled_rise(double rise) {
  const double whole = std::floor(rise * 64 + 0.5) / 64;
  return std::fabs(rise - whole) <= 1e-8 ? whole : rise;
}

/// The pair of settings that comes closest. Of equals the easiest to set: 12 on the blade, else whole inches,
/// else the largest.
inline Point closest_on_square(double rise, double run) {
  Point best{};
  double best_off = 0;
  int best_ease = 0;
  const int marks = static_cast<int>(square_tongue / square_mark);
  for (int i = 1; i <= marks; ++i) {
    const double tongue = i * square_mark, blade = nearest_mark(tongue * run / rise);
    if (blade <= 0 || blade > square_blade) continue;
    // Sine of the angle between the two slopes, squared: no trigonometry.
    const double turn = blade * rise - tongue * run;
    const double off = turn * turn / ((blade * blade + tongue * tongue) * (rise * rise + run * run));
    const int ease = blade == 12 ? 2 : blade == std::floor(blade) && tongue == std::floor(tongue) ? 1 : 0;
    const double alike = 1e-18;  // a billionth of a radian: the same pair in another size
    const bool closer = best.x == 0 || off < best_off - alike;
    if (!closer && (off > best_off + alike || ease < best_ease)) continue;  // sizes only grow
    best = {blade, tongue};
    best_off = off;
    best_ease = ease;
  }
  return best;
}

inline RakeTemplate make_template(double rise, double run, Hand hand, const Rules& rules, double exposure) {
  const double width = rules.board.width;
  RakeTemplate made;
  made.hand = hand;
  made.rise = settled_rise(rise / run * 12);
  made.run = 12;
  made.angle = plain_arctangent(made.rise / made.run) * (180 / pi);
  made.offset = width * made.run / made.rise;
  made.step = exposure * made.run / made.rise;
  made.square = closest_on_square(made.rise, made.run);
  // Height and foot of its triangle are made to the nearest mark; the height is the width's mark, so the foot
  // stands for that height.
  const double height = nearest_mark(width);
  made.error = std::fabs(nearest_mark(height * made.run / made.rise) * (width / height) - made.offset);
  made.fence = template_fence;
  const double foot = std::max(made.offset, least_template_fence);
  made.stock_length = foot;
  made.stock_width = width + made.fence;
  made.outline = {{0, -made.fence}, {foot, -made.fence}, {foot, width}};
  if (made.offset < foot - tolerance) made.outline.push_back({made.offset, width});
  made.outline.push_back({0, 0});
  if (hand == Hand::right) {
    for (Point& p : made.outline) p.x = p.x == 0 ? 0 : -p.x;
    std::reverse(made.outline.begin(), made.outline.end());
    const auto first = std::min_element(made.outline.begin(), made.outline.end(), [](Point a, Point b) {
      return a.y < b.y || (a.y == b.y && a.x < b.x);
    });
    std::rotate(made.outline.begin(), first, made.outline.end());
  }
  return made;
}

inline void check_positive(double value, const char* path, std::vector<Fault>& faults) {
  if (!(value > 0) || !(value <= greatest_length))
    faults.push_back(
        {path, detail::format("must be more than 0 and at most {:.0f}, got {}", greatest_length, value)});
}

inline bool template_serves(double slope) {
  return slope >= least_template_slope * (1 - 1e-12) && slope <= greatest_template_slope * (1 + 1e-12);
}

inline void check_template_slope(double slope, const char* path, std::vector<Fault>& faults) {
  if (slope < least_template_slope * (1 - 1e-12))
    faults.push_back(
        {path, detail::format("a slope of {:.4g} in 12 is nearly level: the template would be longer than "
                              "a board; below 1 in 12 mark both ends and snap a line",
                              slope * 12)});
  else if (slope > greatest_template_slope * (1 + 1e-12))
    faults.push_back(
        {path, detail::format("a slope of {:.4g} in 12 is nearly plumb: a fence cannot hold it true; "
                              "above 24 in 12 mark long and short point with a level",
                              slope * 12)});
}

}  // namespace detail

LAPW_INLINE RakeTemplate rake_template(double rise, double run, Hand hand, const Rules& rules,
                                       double exposure) {
  std::vector<Fault> faults;
  detail::check_positive(rise, "rise", faults);
  detail::check_positive(run, "run", faults);
  if (faults.empty()) detail::check_template_slope(rise / run, "rise", faults);
  detail::check_positive(rules.board.width, "board.width", faults);
  detail::check_positive(exposure, "exposure", faults);
  if (!faults.empty()) throw Refused(std::move(faults));
  return detail::make_template(rise, run, hand, rules, exposure);
}

LAPW_INLINE RakeTemplate rake_template_from_angle(double degrees, Hand hand, const Rules& rules,
                                                  double exposure) {
  std::vector<Fault> faults;
  double slope = 0;
  if (!(degrees > 0) || !(degrees < 90)) {
    faults.push_back(
        {"degrees", detail::format("must lie between 0 (level) and 90 (plumb), got {}", degrees)});
  } else {
    slope = degrees > 80 ? greatest_template_slope * 2.5 : detail::plain_tangent(degrees / 180 * detail::pi);
    detail::check_template_slope(slope, "degrees", faults);
  }
  detail::check_positive(rules.board.width, "board.width", faults);
  detail::check_positive(exposure, "exposure", faults);
  if (!faults.empty()) throw Refused(std::move(faults));
  return detail::make_template(slope, 1, hand, rules, exposure);
}

LAPW_INLINE RakeTemplate rake_template_from_points(Point a, Point b, Hand hand, const Rules& rules,
                                                   double exposure) {
  std::vector<Fault> faults;
  const auto check = [&](Point p, const char* path) {
    if (!(std::fabs(p.x) <= greatest_length) || !(std::fabs(p.y) <= greatest_length))
      faults.push_back({path, detail::format("must be a place within {:.0f} in of the datum, got [{}, {}]",
                                             greatest_length, p.x, p.y)});
  };
  check(a, "a");
  check(b, "b");
  const double rise = std::fabs(b.y - a.y), run = std::fabs(b.x - a.x);
  if (faults.empty()) {
    if (rise <= tolerance && run <= tolerance)
      faults.push_back({"b", "the two points are one place: measure a second one further along the slope"});
    else if (run <= tolerance)
      faults.push_back(
          {"b", "the two points stand plumb over each other: that is no slope but a square cut"});
    else if (rise <= tolerance)
      faults.push_back({"b", "the two points are level: that is no slope but a rip"});
    else
      detail::check_template_slope(rise / run, "b", faults);
  }
  detail::check_positive(rules.board.width, "board.width", faults);
  detail::check_positive(exposure, "exposure", faults);
  if (!faults.empty()) throw Refused(std::move(faults));
  return detail::make_template(rise, run, hand, rules, exposure);
}

LAPW_INLINE std::vector<RakeTemplate> rake_templates(const std::vector<Piece>& pieces, const Rules& rules,
                                                     double exposure) {
  struct Slanted {
    Hand hand;
    double offset;  // of long to short point over one board
    double rise, run;
  };
  std::vector<Slanted> edges;
  const auto take = [&](const Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], b = ring[(i + 1) % ring.size()];
      const double rise = std::fabs(b.y - a.y), run = std::fabs(b.x - a.x);
      // A slope of exactly 1 in 12 or 24 in 12 is one whatever the noise of a cut's two ends.
      if (rise <= tolerance || run <= tolerance || rise < run * least_template_slope - tolerance ||
          rise > run * greatest_template_slope + tolerance)
        continue;
      // The piece lies on the left of a to b: going down, the waste is on the left of the wall.
      edges.push_back({b.y < a.y ? Hand::left : Hand::right, rules.board.width * run / rise, rise, run});
    }
  };
  for (const Piece& piece : pieces) {
    take(piece.outline);
    for (const Ring& hole : piece.holes) take(hole);
  }
  // The longest edge has the least noise in its slope: it sets the template, and takes along what is near.
  std::sort(edges.begin(), edges.end(), [](const Slanted& a, const Slanted& b) {
    if (a.run != b.run) return a.run > b.run;
    if (a.offset != b.offset) return a.offset > b.offset;
    return a.hand < b.hand;
  });
  struct Kind {
    const Slanted* edge;
    int uses;
  };
  std::vector<Kind> kinds;
  const auto nearest = [&](const Slanted& edge) {
    Kind* best = nullptr;
    for (Kind& kind : kinds)
      if (kind.edge->hand == edge.hand && std::fabs(kind.edge->offset - edge.offset) < same_template &&
          (best == nullptr ||
           std::fabs(kind.edge->offset - edge.offset) < std::fabs(best->edge->offset - edge.offset)))
        best = &kind;
    return best;
  };
  for (const Slanted& edge : edges)
    if (nearest(edge) == nullptr) kinds.push_back({&edge, 0});
  for (const Slanted& edge : edges) ++nearest(edge)->uses;
  std::sort(kinds.begin(), kinds.end(), [](const Kind& a, const Kind& b) {
    if (a.edge->hand != b.edge->hand) return a.edge->hand < b.edge->hand;
    return a.edge->offset > b.edge->offset;
  });
  std::vector<RakeTemplate> templates;
  templates.reserve(kinds.size());
  for (const Kind& kind : kinds) {
    templates.push_back(
        detail::make_template(kind.edge->rise, kind.edge->run, kind.edge->hand, rules, exposure));
    templates.back().uses = kind.uses;
  }
  return templates;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
