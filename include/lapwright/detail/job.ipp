#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/normal_wall.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/detail/validity.hpp>
#include <lapwright/job.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Opening rectangular_opening(std::string name, Point at, double width, double height,
                                        double trim) {
  Opening o;
  o.name = std::move(name);
  o.outline = {at, {at.x + width, at.y}, {at.x + width, at.y + height}, {at.x, at.y + height}};
  o.trim.assign(4, trim);
  o.gap = {default_opening_gap, default_opening_gap, default_opening_head_gap, default_opening_gap};
  o.rectangle = true;
  return o;
}

LAPW_INLINE std::vector<double> polygon_opening_gaps(const Ring& outline) {
  const double turn = detail::signed_area(outline) < 0 ? -1 : 1;
  std::vector<double> gaps(outline.size(), default_opening_gap);
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point a = outline[i], b = outline[i + 1 < outline.size() ? i + 1 : 0];
    const double up = turn * (a.x - b.x), across = std::fabs(b.y - a.y);
    if (up > 0 && up >= across) gaps[i] = default_opening_head_gap;
  }
  return gaps;
}

LAPW_INLINE double greatest_exposure(const Rules& rules) {
  return rules.courses.max_exposure.value_or(rules.board.width - rules.board.min_lap);
}
LAPW_INLINE double least_exposure(const Rules& rules) {
  return rules.courses.min_exposure.value_or(greatest_exposure(rules) - 1);
}
LAPW_INLINE double starter_width(const Rules& rules) {
  return rules.starter.width.value_or(rules.board.min_lap);
}
LAPW_INLINE double nail_spacing(const Rules& rules, const Framing& framing) {
  return rules.fasteners.max_spacing.value_or(framing.spacing > 0 ? framing.spacing : 16.0);
}
LAPW_INLINE std::vector<double> board_prices(const Rules& rules) {
  if (!rules.board.prices.empty()) return rules.board.prices;
  std::vector<double> prices;
  double shortest = 0;
  for (double length : rules.board.lengths) shortest = shortest > 0 && shortest < length ? shortest : length;
  for (double length : rules.board.lengths) prices.push_back(length / shortest);
  return prices;
}

namespace detail {

LAPW_INLINE std::string size_fault(std::string_view what, double inches) {
  if (inches <= 0) return detail::format("{} must be more than 0, got {}", what, inches);
  if (inches > greatest_length)
    return detail::format("{} must be at most {} in, got {}", what, greatest_length, inches);
  return {};
}

/// Goes through a job once: first each rule on its own, then what rules say to each other, then the walls. A
/// rule that is out of its limits is told once and then set to NaN in the checker's copy: no comparison with
/// it is true, so nothing that only follows from it is told as well.
class JobChecker {
public:
  explicit JobChecker(const Job& job) : job_(job), rules_(job.rules) {}

  std::vector<Fault> check() {
    limit_board();
    limit_courses();
    limit_joints_and_cutting();
    limit_fasteners();
    limit_other_rules();
    compare_board();
    compare_courses();
    compare_fasteners();
    compare_penetration();
    check_walls();
    check_built();
    check_extent();
    return std::move(faults_);
  }

private:
  enum class Least { none, zero, above_zero };

  void fault(std::string path, std::string message) {
    faults_.push_back({std::move(path), std::move(message)});
  }

  /// What is wrong with a number on its own, or nothing; `name` begins the sentence.
  static std::string number_fault(std::string_view name, double value, Least least, double most,
                                  std::string_view unit) {
    if (!std::isfinite(value)) return detail::format("{} must be a finite number, got {}", name, value);
    if (least == Least::above_zero && value <= 0)
      return detail::format("{} must be more than 0, got {}", name, value);
    if (least == Least::zero && value < 0) return detail::format("{} must be 0 or more, got {}", name, value);
    if (value > most || (least == Least::none && value < -most))
      return detail::format("{} must be {} {}{}{}, got {}", name, least == Least::none ? "within" : "at most",
                            most, unit.empty() ? "" : " ", unit, value);
    return {};
  }
  bool number(const std::string& path, std::string_view name, double value, Least least, double most,
              std::string_view unit) {
    std::string wrong = number_fault(name, value, least, most, unit);
    if (wrong.empty()) return true;
    fault(path, std::move(wrong));
    return false;
  }
  bool length(const std::string& path, std::string_view name, double value, Least least) {
    return number(path, name, value, least, greatest_length, "in");
  }
  /// A rule in the checker's copy.
  void limit(const char* path, std::string_view name, double& rule, Least least, double most,
             std::string_view unit) {
    if (!number(path, name, rule, least, most, unit)) rule = std::nan("");
  }
  void limit(const char* path, std::string_view name, double& rule, Least least) {
    limit(path, name, rule, least, greatest_length, "in");
  }

  // --- each rule on its own ---------------------------------------------------------------------
  void limit_board() {
    BoardRules& b = rules_.board;
    limit("board.width", "the board's width", b.width, Least::above_zero);
    limit("board.thickness", "the board's thickness", b.thickness, Least::above_zero);
    limit("board.min_lap", "the least lap", b.min_lap, Least::above_zero);
    limit("board.weight", "the weight", b.weight, Least::above_zero, 1000, "lb per square foot");
    if (b.lengths.empty())
      fault("board.lengths", "at least one length of board must be on sale, such as [144]");
    if (b.lengths.size() > most_stock) {
      fault("board.lengths", detail::format("at most {} lengths, got {}", most_stock, b.lengths.size()));
      b.lengths.clear();
      b.prices.clear();
    }
    for (std::size_t i = 0; i < b.lengths.size(); ++i)
      limit(detail::format("board.lengths[{}]", i).c_str(), "a board's length", b.lengths[i],
            Least::above_zero);
    if (!b.prices.empty() && b.prices.size() != b.lengths.size())
      fault("board.prices", detail::format("one price for each of the {} lengths, got {}", b.lengths.size(),
                                           b.prices.size()));
    for (std::size_t i = 0; i < b.prices.size() && i < most_stock; ++i)
      limit(detail::format("board.prices[{}]", i).c_str(), "a price", b.prices[i], Least::above_zero, 1e9,
            "");
    if (b.offcuts.size() > most_on_hand)
      fault("board.offcuts", detail::format("at most {} offcuts, got {}", most_on_hand, b.offcuts.size()));
    for (std::size_t i = 0; i < b.offcuts.size() && i < most_on_hand; ++i)
      limit(detail::format("board.offcuts[{}].length", i).c_str(), "an offcut's length", b.offcuts[i].length,
            Least::above_zero);
    for (double length : b.lengths) longest_ = length > longest_ ? length : longest_;
  }
  void limit_courses() {
    CourseRules& c = rules_.courses;
    if (c.max_exposure)
      limit("courses.max_exposure", "the greatest exposure", *c.max_exposure, Least::above_zero);
    if (c.min_exposure)
      limit("courses.min_exposure", "the least exposure", *c.min_exposure, Least::above_zero);
    limit("courses.division", "the division", c.division, Least::above_zero);
    limit("courses.max_step", "the greatest step", c.max_step, Least::zero);
    limit("courses.min_strip", "the least strip", c.min_strip, Least::zero);
    if (c.lines.size() > most_lines_built) {
      fault("courses.lines", detail::format("at most {} lines, got {}", most_lines_built, c.lines.size()));
      c.lines.clear();
    }
    for (std::size_t i = 0; i < c.lines.size(); ++i)
      limit(detail::format("courses.lines[{}]", i).c_str(), "a course line", c.lines[i], Least::none);
  }
  void limit_joints_and_cutting() {
    JointRules& j = rules_.joints;
    limit("joints.gap", "the gap", j.gap, Least::zero);
    limit("joints.window", "the window", j.window, Least::zero);
    limit("joints.min_piece", "the least piece", j.min_piece, Least::above_zero);
    limit("joints.stagger", "the stagger", j.stagger, Least::zero);
    if (j.repeat_after < 1 || j.repeat_after > 1000)
      fault("joints.repeat_after",
            detail::format("a stud carries its next joint 1 to 1000 courses later, got {}", j.repeat_after));
    limit("joints.price", "the price of a joint", j.price, Least::zero, 1e6, "shortest boards");
    CuttingRules& c = rules_.cutting;
    limit("cutting.kerf", "the kerf", c.kerf, Least::zero);
    limit("cutting.min_leg", "the least leg", c.min_leg, Least::above_zero);
    limit("cutting.min_offcut", "the least offcut", c.min_offcut, Least::zero);
  }
  void limit_fasteners() {
    FastenerRules& f = rules_.fasteners;
    limit("fasteners.length", "the nail's length", f.length, Least::above_zero);
    limit("fasteners.shank", "the shank's diameter", f.shank, Least::above_zero);
    limit("fasteners.head", "the head's diameter", f.head, Least::above_zero);
    limit("fasteners.top_edge", "the nail line's distance", f.top_edge, Least::above_zero);
    limit("fasteners.end_edge", "the distance from ends", f.end_edge, Least::above_zero);
    limit("fasteners.edge", "the distance from long edges", f.edge, Least::above_zero);
    if (f.max_spacing)
      limit("fasteners.max_spacing", "the greatest spacing", *f.max_spacing, Least::above_zero);
    limit("fasteners.end_reach", "the reach at an end", f.end_reach, Least::zero);
    limit("fasteners.min_penetration", "the least penetration", f.min_penetration, Least::zero);
    limit("fasteners.min_framing_share", "the share in framing", f.min_framing_share, Least::zero, 1, "");
  }
  void limit_other_rules() {
    if (rules_.starter.width)
      limit("starter.width", "the starter's width", *rules_.starter.width, Least::above_zero);
    if (rules_.trim)
      limit("trim.thickness", "the trim's thickness", rules_.trim->thickness, Least::above_zero);
    limit("sheathing.thickness", "the sheathing's thickness", rules_.sheathing.thickness, Least::zero);
    limit("seal.width", "the bead's width", rules_.seal.width, Least::above_zero);
    limit("seal.depth", "the bead's depth", rules_.seal.depth, Least::above_zero);
    limit("seal.cartridge", "a cartridge", rules_.seal.cartridge, Least::above_zero, 1e6, "cubic inches");
    limit("staging.lift", "a lift's height", rules_.staging.lift, Least::above_zero);
    if (rules_.staging.lift < least_lift)
      fault("staging.lift",
            detail::format("a lift is at least {} in high, got {}", least_lift, rules_.staging.lift));
    if (rules_.staging.rating)
      limit("staging.rating", "the rated load", *rules_.staging.rating, Least::above_zero, 1e6, "psf");
    limit("staging.bay[0]", "a bay's length", rules_.staging.bay_length, Least::above_zero);
    limit("staging.bay[1]", "a bay's width", rules_.staging.bay_width, Least::above_zero);
    limit("allowance", "the allowance", rules_.allowance, Least::zero, 10, "of the boards");
    limit("search.effort", "the effort", rules_.search.effort, Least::zero, most_effort, "");
    if (!rules_.loads) return;
    LoadRules& l = *rules_.loads;
    limit("loads.wind_speed", "the wind speed", l.wind_speed, Least::above_zero, 500, "mph");
    if (l.exposure != 'B' && l.exposure != 'C' && l.exposure != 'D')
      fault("loads.exposure", "the exposure category must be B, C or D");
    limit("loads.mean_roof_height", "the mean roof height", l.mean_roof_height, Least::above_zero);
    limit("loads.plan[0]", "the building's length", l.plan_length, Least::above_zero);
    limit("loads.plan[1]", "the building's width", l.plan_width, Least::above_zero);
    limit("loads.specific_gravity", "the specific gravity", l.specific_gravity, Least::above_zero, 1.5, "");
    if (l.specific_gravity < least_gravity)
      fault("loads.specific_gravity",
            detail::format("no framing is lighter than {}, got {}", least_gravity, l.specific_gravity));
  }

  // --- what rules say to each other -------------------------------------------------------------
  void compare(bool contradict, const char* path, std::string message) {
    if (contradict) fault(path, std::move(message));
  }

  void compare_board() {
    const BoardRules& b = rules_.board;
    const double end = rules_.fasteners.end_edge;
    compare(b.thickness >= b.width, "board.thickness",
            detail::format("the thickness must be less than the width {}, got {}", b.width, b.thickness));
    compare(
        b.min_lap >= b.width, "board.min_lap",
        detail::format("the least lap must be less than the board's width {}, got {}", b.width, b.min_lap));
    for (std::size_t i = 0; i < b.lengths.size(); ++i) {
      const std::string path = detail::format("board.lengths[{}]", i);
      if (b.lengths[i] <= 2 * end)
        fault(path,
              detail::format("a board of {} in has no room for a nail {} in from each end; buy longer ones",
                             b.lengths[i], end));
      for (std::size_t j = 0; j < i; ++j)
        if (b.lengths[j] == b.lengths[i])
          fault(path, detail::format("length {} stands twice; keep one, with its price", b.lengths[i]));
    }
    const CuttingRules& c = rules_.cutting;
    compare(c.min_leg > b.width, "cutting.min_leg",
            detail::format("the least leg must not be more than the board's width {}, got {}", b.width,
                           c.min_leg));
    compare(longest_ > 0 && c.kerf >= longest_, "cutting.kerf",
            detail::format("a kerf of {} eats a whole board of {}", c.kerf, longest_));
    compare(rules_.starter.width && *rules_.starter.width >= b.width, "starter.width",
            detail::format("the starter must be narrower than the board, {}, got {}", b.width,
                           starter_width(rules_)));
  }

  void compare_courses() {
    const CourseRules& c = rules_.courses;
    const double room = rules_.board.width - rules_.board.min_lap;
    const double most = greatest_exposure(rules_), least = least_exposure(rules_), division = c.division;
    compare(c.max_exposure && most > room + tolerance, "courses.max_exposure",
            detail::format(
                "the greatest exposure must be at most the board's width less the least lap, {}, got {}",
                room, most));
    const char* const least_path = c.min_exposure ? "courses.min_exposure" : "courses.max_exposure";
    compare(!c.min_exposure && most > 0 && least <= 0, "courses.max_exposure",
            detail::format("a greatest exposure of {} leaves a least one of {} by default; give min_exposure",
                           most, least));
    compare(least > most, least_path,
            detail::format("the least exposure {} must not be more than the greatest, {}", least, most));
    compare(division > most, "courses.division",
            detail::format("the division must be at most the greatest exposure {}, got {}", most, division));
    compare(division < least_division, "courses.division",
            detail::format("the division must be at least {} in, got {}: no tape is finer", least_division,
                           division));
    compare(most >= division && most >= least && division >= least_division &&
                round_down(most, division) < least - tolerance,
            least_path,
            detail::format(
                "no multiple of the division {} lies between the least exposure {} and the greatest {}; "
                "make the range wider or the division finer",
                division, least, most));
    for (std::size_t i = 1; i < c.lines.size(); ++i) {
      const std::string path = detail::format("courses.lines[{}]", i);
      if (c.lines[i] <= c.lines[i - 1] + tolerance)
        fault(path, detail::format("lines go up from the lowest: {} does not lie above {}", c.lines[i],
                                   c.lines[i - 1]));
      else if (c.lines[i] > c.lines[i - 1] + rules_.board.width)
        fault(path,
              detail::format("line {} lies further above {} than the board is wide: a course is missing",
                             c.lines[i], c.lines[i - 1]));
    }
  }

  void compare_fasteners() {
    const FastenerRules& f = rules_.fasteners;
    const double lap = rules_.board.min_lap, leg = rules_.cutting.min_leg;
    compare(f.head < f.shank, "fasteners.head",
            detail::format("the head must not be thinner than the shank {}, got {}", f.shank, f.head));
    compare(
        f.top_edge + f.head / 2 > lap + tolerance, "fasteners.top_edge",
        detail::format("half the head must be hidden below the nail line: top_edge {} + head/2 {} must be at "
                       "most min_lap {}; lower top_edge or take more lap",
                       f.top_edge, f.head / 2, lap));
    compare(
        f.edge > f.top_edge + tolerance, "fasteners.edge",
        detail::format("the nail line {} below the edge is nearer than edge {} allows; lower edge or raise "
                       "top_edge",
                       f.top_edge, f.edge));
    compare(2 * f.edge > leg + tolerance, "fasteners.edge",
            detail::format(
                "a leg of min_leg {} has no room for a nail {} in from both edges; edge must be at most "
                "{}",
                leg, f.edge, leg / 2));
  }

  /// The usual nail: on the nail line of a course that shows the greatest exposure there can be.
  void compare_penetration() {
    const FastenerRules& f = rules_.fasteners;
    const double division = rules_.courses.division;
    double exposure = greatest_exposure(rules_);
    if (!(division >= least_division) || !(exposure > 0)) return;
    if (exposure >= division) exposure = round_down(exposure, division);
    const double t = rules_.board.thickness;
    const double stand_off = t * f.top_edge / exposure;
    const double left = f.length - t - rules_.sheathing.thickness - stand_off;
    compare(
        left < f.min_penetration - tolerance, "fasteners.length",
        detail::format("a nail of {} in keeps {:.4g} in of the framing behind board {}, sheathing {} and a "
                       "stand-off of {:.4g}, less than min_penetration {}: take one at least {:.4g} in long",
                       f.length, left, t, rules_.sheathing.thickness, stand_off, f.min_penetration,
                       f.min_penetration + f.length - left));
  }

  // --- walls ------------------------------------------------------------------------------------
  void check_walls() {
    if (job_.walls.empty()) fault("walls", "at least one wall must be given");
    if (job_.walls.size() > most_walls) {
      fault("walls", detail::format("holds {} walls, the most is {}: plan the building in parts",
                                    job_.walls.size(), most_walls));
      return;
    }
    for (std::size_t i = 0; i < job_.walls.size(); ++i) check_wall(i);
  }

  /// Points finite and within limits, enough of them, no edge of no length; then simple.
  bool check_ring(const std::string& path, const Ring& given, std::string_view what) {
    if (given.size() > most_points) {
      fault(path, detail::format("{} has {} points, the most is {}", what, given.size(), most_points));
      return false;
    }
    bool good = true;
    for (std::size_t i = 0; i < given.size(); ++i) {
      good &= length(detail::format("{}[{}][0]", path, i), "x", given[i].x, Least::none);
      good &= length(detail::format("{}[{}][1]", path, i), "y", given[i].y, Least::none);
    }
    if (!good) return false;
    const std::size_t n = corners(given);
    if (n < 3) {
      fault(path, detail::format("{} needs at least 3 points, got {}", what, n));
      return false;
    }
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t next = i + 1 < n ? i + 1 : 0;
      if (distance(given[i], given[next]) > tolerance) continue;
      fault(detail::format("{}[{}]", path, next),
            detail::format("{} has an edge of no length: points {} and {} are one; drop one", what, i, next));
      good = false;
    }
    if (!good) return false;
    const std::string why = why_not_simple(given);
    if (!why.empty()) {
      fault(path,
            detail::format("{} is no simple polygon: {}; give its corners in order around it", what, why));
      return false;
    }
    return true;
  }
  /// Points less a repeated last one.
  static std::size_t corners(const Ring& ring) {
    return ring.size() > 1 && ring.front() == ring.back() ? ring.size() - 1 : ring.size();
  }

  void check_wall(std::size_t index) {
    const Wall& wall = job_.walls[index];
    const std::string path = detail::format("walls[{}]", index);
    if (wall.name.empty()) fault(path + ".name", "a wall needs a name, such as \"south\"");
    for (std::size_t j = 0; j < index; ++j)
      if (!wall.name.empty() && job_.walls[j].name == wall.name) {
        fault(path + ".name",
              detail::format("wall name \"{}\" is that of walls[{}] too; give each its own", wall.name, j));
        break;
      }
    const bool good = check_ring(path + ".outline", wall.outline, "the outline");
    if (!wall.outline.empty() && wall.edges.size() != corners(wall.outline))
      fault(path + ".edges", detail::format("one kind for each of the outline's {} edges, got {}",
                                            corners(wall.outline), wall.edges.size()));
    for (std::size_t e = 0; e < wall.edges.size(); ++e) {
      length(detail::format("{}.edges[{}].trim", path, e), "the trim", wall.edges[e].trim, Least::zero);
      length(detail::format("{}.edges[{}].gap", path, e), "the gap", wall.edges[e].gap, Least::zero);
    }
    if (wall.start) {
      const bool low = length(path + ".start[0]", "the lowest first line", wall.start->low, Least::none);
      const bool high = length(path + ".start[1]", "the highest first line", wall.start->high, Least::none);
      if (low && high && wall.start->low > wall.start->high)
        fault(path + ".start",
              detail::format("the lowest first line {} lies above the highest, {}; turn them round",
                             wall.start->low, wall.start->high));
    }
    check_framing(path + ".framing", wall, good);
    check_openings(path + ".openings", wall, good);
    if (!good) return;
    const Box box = bounds(wall.outline);
    lowest_ = outlines_ == 0 ? box.y_min : std::min(lowest_, box.y_min);
    highest_ = outlines_ == 0 ? box.y_max : std::max(highest_, box.y_max);
    ++outlines_;
    widest_ = std::max(widest_, box.x_max - box.x_min);
    const double least = least_exposure(rules_);
    if (least > 0 && longest_ > 0)
      pieces_ += ((box.y_max - box.y_min) / least + 1) *
                 ((box.x_max - box.x_min) / longest_ + 1 + static_cast<double>(wall.openings.size()) / 4);
  }

  void check_framing(const std::string& path, const Wall& wall, bool outline_good) {
    const Framing& f = wall.framing;
    const bool spacing = length(path + ".spacing", "the stud spacing", f.spacing, Least::zero);
    const bool first = length(path + ".first", "the first stud's centre", f.first, Least::none);
    if (length(path + ".stud_width", "the stud's width", f.stud_width, Least::above_zero)) {
      const JointRules& j = rules_.joints;
      const double needs = j.window + j.gap / 2 + rules_.fasteners.end_edge;
      if (needs > f.stud_width / 2 + tolerance)
        fault(path + ".stud_width",
              detail::format(
                  "half a stud, {}, does not hold a joint and a nail beside it: window {} + gap/2 {} + "
                  "end_edge {} must be at most that; take wider studs or less of those",
                  f.stud_width / 2, j.window, j.gap / 2, rules_.fasteners.end_edge));
      if (spacing && f.spacing > 0 && f.spacing < f.stud_width)
        fault(path + ".spacing",
              detail::format("studs {} wide cannot stand {} apart; 0 is for no regular studs", f.stud_width,
                             f.spacing));
    }
    if (f.around_openings || f.opening_stud != 0)
      length(path + ".opening_stud", "the width of studs beside openings", f.opening_stud,
             f.around_openings ? Least::above_zero : Least::zero);
    if (spacing && first && f.spacing > 0 && outline_good) {
      const Box box = bounds(wall.outline);
      if ((box.x_max - f.first) / f.spacing > most_studs)
        fault(path + ".spacing", detail::format("a spacing of {} makes more than {} studs from {} to {}",
                                                f.spacing, most_studs, f.first, box.x_max));
    }
    if (f.studs.size() > static_cast<std::size_t>(most_studs))
      fault(path + ".studs", detail::format("at most {} studs, got {}", most_studs, f.studs.size()));
    for (std::size_t i = 0; i < f.studs.size(); ++i)
      length(detail::format("{}.studs[{}]", path, i), "a stud's centre", f.studs[i], Least::none);
    if (f.members.size() > most_members)
      fault(path + ".members", detail::format("at most {} members, got {}", most_members, f.members.size()));
    for (std::size_t i = 0; i < f.members.size(); ++i) {
      const Box& m = f.members[i];
      const std::string at = detail::format("{}.members[{}]", path, i);
      bool good = length(at + "[0]", "x0", m.x_min, Least::none);
      good &= length(at + "[1]", "y0", m.y_min, Least::none);
      good &= length(at + "[2]", "x1", m.x_max, Least::none);
      good &= length(at + "[3]", "y1", m.y_max, Least::none);
      if (!good) continue;
      if (m.x_max <= m.x_min)
        fault(at + "[2]", detail::format("x1 must be more than x0 {}, got {}", m.x_min, m.x_max));
      if (m.y_max <= m.y_min)
        fault(at + "[3]", detail::format("y1 must be more than y0 {}, got {}", m.y_min, m.y_max));
    }
  }

  static std::string opening_name(const Wall& wall, std::size_t i) {
    return wall.openings[i].name.empty() ? detail::format("openings[{}]", i)
                                         : detail::format("\"{}\"", wall.openings[i].name);
  }

  void check_openings(const std::string& path, const Wall& wall, bool outline_good) {
    if (wall.openings.size() > most_openings) {
      fault(path, detail::format("holds {} openings, the most is {}", wall.openings.size(), most_openings));
      return;
    }
    struct Stood {
      std::size_t index;
      Box box;
    };
    std::vector<Stood> stood;  // those with a sound outline
    const double wall_area = outline_good ? std::fabs(signed_area(wall.outline)) : 0;
    for (std::size_t i = 0; i < wall.openings.size(); ++i) {
      const Opening& o = wall.openings[i];
      const std::string at = detail::format("{}[{}]", path, i);
      const bool good =
          o.rectangle ? check_rectangle(at, o) : check_ring(at + ".outline", o.outline, "the opening");
      check_sides(at + ".trim", "the trim", o.trim, o);
      check_sides(at + ".gap", "the gap", o.gap, o);
      if (!good) continue;
      stood.push_back({i, bounds(o.outline)});
      if (!outline_good) continue;
      if (!lies_inside(o.outline, wall.outline))
        fault(at, detail::format(
                      "opening {} lies outside the wall, or part of it does; it must lie within the outline",
                      opening_name(wall, i)));
      else if (std::fabs(signed_area(o.outline)) >= wall_area * (1 - 1e-9))
        fault(at, detail::format("opening {} is as large as the wall: nothing is left to side",
                                 opening_name(wall, i)));
    }
    std::sort(stood.begin(), stood.end(), [](const Stood& a, const Stood& b) {
      return a.box.x_min != b.box.x_min ? a.box.x_min < b.box.x_min : a.index < b.index;
    });
    for (std::size_t i = 0; i < stood.size(); ++i)
      for (std::size_t j = i + 1; j < stood.size() && stood[j].box.x_min < stood[i].box.x_max; ++j) {
        if (stood[j].box.y_min >= stood[i].box.y_max || stood[i].box.y_min >= stood[j].box.y_max) continue;
        const std::size_t a = std::min(stood[i].index, stood[j].index);
        const std::size_t b = std::max(stood[i].index, stood[j].index);
        if (insides_overlap(wall.openings[a].outline, wall.openings[b].outline))
          fault(detail::format("{}[{}]", path, b),
                detail::format("opening {} overlaps {}; move one, or make one opening of both",
                               opening_name(wall, b), opening_name(wall, a)));
      }
  }
  void check_sides(const std::string& path, std::string_view name, const std::vector<double>& sides,
                   const Opening& o) {
    static constexpr const char* rectangle[] = {"sill", "right", "head", "left"};
    if (sides.size() != o.outline.size() && sides.size() != corners(o.outline))
      fault(path, detail::format("one for each of the {} edges, got {}", corners(o.outline), sides.size()));
    bool same = true;  // one number for all sides is one fault
    for (double side : sides) same = same && (side == sides[0] || (side != side && sides[0] != sides[0]));
    for (std::size_t i = 0; i < sides.size(); ++i) {
      const bool named = o.rectangle && !same && i < 4;
      length(named ? detail::format("{}.{}", path, rectangle[i]) : path, name, sides[i], Least::zero);
      if (same) break;
    }
  }
  bool check_rectangle(const std::string& path, const Opening& o) {
    if (o.outline.size() != 4) {
      fault(path, detail::format("a rectangular opening has 4 corners, got {}", o.outline.size()));
      return false;
    }
    const Point a = o.outline[0], c = o.outline[2];
    bool good = length(path + ".at[0]", "x", a.x, Least::none);
    good &= length(path + ".at[1]", "y", a.y, Least::none);
    if (!good) return false;
    const double width = c.x - a.x, height = c.y - a.y;
    good &= check_size(path + ".size[0]", "width", width);
    good &= check_size(path + ".size[1]", "height", height);
    if (!good) return false;
    good &= length(path + ".size[0]", "the right side", c.x, Least::none);
    good &= length(path + ".size[1]", "the head", c.y, Least::none);
    if (!good) return false;
    if (o.outline[1] != Point{c.x, a.y} || o.outline[3] != Point{a.x, c.y}) {
      fault(path,
            "a rectangular opening starts at its lower left corner and goes counter-clockwise, upright");
      return false;
    }
    return true;
  }
  bool check_size(const std::string& path, std::string_view what, double value) {
    if (!std::isfinite(value)) {
      fault(path, detail::format("{} must be a finite number, got {}", what, value));
      return false;
    }
    std::string wrong = size_fault(what, value);
    if (wrong.empty() && value <= tolerance)
      wrong = detail::format("{} must be more than {} in, got {}", what, tolerance, value);
    if (wrong.empty()) return true;
    fault(path, std::move(wrong));
    return false;
  }

  /// Joints in nailed courses must name a wall and a course that there are.
  void check_built() {
    const CourseRules& c = rules_.courses;
    if (c.joints_built.size() > most_lines_built)
      fault("courses.joints_built",
            detail::format("at most {} joints, got {}", most_lines_built, c.joints_built.size()));
    for (std::size_t i = 0; i < c.joints_built.size(); ++i) {
      const BuiltJoint& joint = c.joints_built[i];
      const std::string path = detail::format("courses.joints_built[{}]", i);
      const Wall* wall = nullptr;
      for (const Wall& w : job_.walls)
        if (!wall && w.name == joint.wall) wall = &w;
      if (!wall) fault(path + "[0]", detail::format("there is no wall \"{}\"", joint.wall));
      if (joint.course < 0 || static_cast<std::size_t>(joint.course) >= c.lines.size())
        fault(path + "[1]",
              c.lines.empty()
                  ? detail::format("course {} is not nailed: courses.lines is empty", joint.course)
                  : detail::format("course {} is not nailed; courses.lines has 0 to {}", joint.course,
                                   c.lines.size() - 1));
      if (!length(path + "[2]", "x", joint.x, Least::none) || !wall || wall->outline.empty()) continue;
      const Box box = bounds(wall->outline);
      if (joint.x < box.x_min - tolerance || joint.x > box.x_max + tolerance)
        fault(path + "[2]", detail::format("x {} lies outside wall \"{}\", which goes from {} to {}", joint.x,
                                           joint.wall, box.x_min, box.x_max));
    }
  }

  /// What would take hours, or could never be laid.
  void check_extent() {
    if (outlines_ == 0) return;
    const double least = least_exposure(rules_), division = rules_.courses.division;
    const double height = highest_ - lowest_;
    compare(division >= least_division && height / division > most_divisions, "courses.division",
            detail::format("a house {} in high has more than {} divisions of {}; take a coarser one", height,
                           most_divisions, division));
    compare(least > 0 && height / least > most_courses,
            rules_.courses.min_exposure ? "courses.min_exposure" : "courses.max_exposure",
            detail::format("a house {} in high has more than {} courses of {}; check the unit", height,
                           most_courses, least));
    compare(
        pieces_ > most_pieces, "walls",
        detail::format("about {:.0f} pieces, the most is {}: check the unit, or plan the building in parts",
                       pieces_, most_pieces));
    compare(longest_ > 0 && longest_ < least_piece && widest_ > longest_, "board.lengths",
            detail::format("the longest board, {}, is shorter than any piece beside a joint may be, {}; buy "
                           "longer ones",
                           longest_, least_piece));
  }

  static constexpr double least_division = 0.001;  // in
  static constexpr double least_lift = 1;          // in
  static constexpr double least_gravity = 0.1;

  const Job& job_;
  Rules rules_;  // a copy: see above
  std::vector<Fault> faults_;
  double longest_ = 0;  // stock
  double lowest_ = 0, highest_ = 0, widest_ = 0;
  std::size_t outlines_ = 0;
  double pieces_ = 0;
};

}  // namespace detail

LAPW_INLINE std::vector<Fault> check_job(const Job& job) {
  return detail::JobChecker(job).check();
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
