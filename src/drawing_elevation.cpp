
#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/framing.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Area;
using detail::id_attribute;
using detail::inside;
using detail::least_letters;
using detail::Sheet;

// Paper kept free around the wall, points.
constexpr double left_margin = 78, right_margin = 66, top_margin = 56, bottom_margin = 30;
constexpr double title_size = 12, label_size = 6.5, row = 8.5;

// Wall inches to points of paper, y down.
struct Frame {
  double scale = 1, x0 = 0, y0 = 0;
  Point to(Point p) const { return {x0 + p.x * scale, y0 - p.y * scale}; }
  Ring to(const Ring& ring) const {
    Ring out;
    for (Point p : ring) out.push_back(to(p));
    return out;
  }
};

// Values along one side of the wall with labels spread beside them; a leader joins each with its place.
struct Tick {
  double at = 0;  // points along the side
  std::string label;
  std::string attributes;
};

void tidy(std::vector<Tick>& ticks) {
  std::stable_sort(ticks.begin(), ticks.end(), [](const Tick& a, const Tick& b) { return a.at < b.at; });
  ticks.erase(
      std::unique(ticks.begin(), ticks.end(),
                  [](const Tick& a, const Tick& b) { return a.label == b.label && b.at - a.at < 0.05; }),
      ticks.end());
}

// Where there is no room for all, every second, third ... is written; its line is drawn all the same.
void ticks_beside(Sheet& sheet, std::vector<Tick> ticks, double x_wall, double x_label, Anchor anchor,
                  double low, double high) {
  tidy(ticks);
  const double apart = 1.08 * least_letters;
  const std::size_t fit = std::max<std::size_t>(1, 1 + static_cast<std::size_t>((high - low) / apart));
  const std::size_t each = ticks.empty() ? 1 : (ticks.size() + fit - 1) / fit;
  std::vector<Tick> told;
  for (std::size_t i = 0; i < ticks.size(); ++i)
    if (i % each == 0 || i + 1 == ticks.size()) told.push_back(ticks[i]);
  if (told.size() > 1 && static_cast<double>(told.size() - 1) * apart > high - low)
    told.erase(told.end() - 2);
  std::vector<double> wishes;
  for (const Tick& tick : told) wishes.push_back(tick.at);
  const double room = told.size() > 1 ? (high - low) / static_cast<double>(told.size() - 1) : label_size;
  const double size = std::min(label_size, std::max(least_letters, room / 1.08));
  const std::vector<double> places = detail::spread(wishes, 1.08 * size, low, high);
  const double sign = x_label < x_wall ? 1 : -1;
  for (std::size_t i = 0; i < told.size(); ++i) {
    sheet.path({{x_label + sign * 2, places[i]},
                {x_label + sign * 8, places[i]},
                {x_wall - sign * 4, told[i].at},
                {x_wall, told[i].at}},
               0.25);
    sheet.text({x_label, places[i] + 0.28 * size}, size, anchor, told[i].label, told[i].attributes);
  }
}

// Returns the last baseline.
double ticks_below(Sheet& sheet, std::vector<Tick> ticks, double y_wall, double y_label, double low,
                   double high) {
  tidy(ticks);
  double widest = 0;
  for (const Tick& tick : ticks) widest = std::max(widest, detail::text_width(tick.label, label_size));
  widest += 4;
  // As many rows as it takes; neighbours go to different rows.
  const std::size_t fit = std::max<std::size_t>(1, static_cast<std::size_t>((high - low) / widest));
  std::size_t rows = ticks.empty() ? 1 : (ticks.size() + fit - 1) / fit;
  // Labels that nearly stand in their places are better in two rows than pushed aside in one.
  bool pushed = false;
  for (std::size_t i = 1; i < ticks.size(); ++i) pushed = pushed || ticks[i].at - ticks[i - 1].at < widest;
  if (rows == 1 && pushed) rows = 2;
  for (std::size_t r = 0; r < rows; ++r) {
    std::vector<double> wishes;
    for (std::size_t i = r; i < ticks.size(); i += rows) wishes.push_back(ticks[i].at);
    const std::vector<double> places = detail::spread(wishes, widest, low, high);
    std::size_t n = 0;
    for (std::size_t i = r; i < ticks.size(); i += rows, ++n) {
      const double y = y_label + static_cast<double>(r) * row;
      sheet.path({{ticks[i].at, y_wall}, {ticks[i].at, y_wall + 4}, {places[n], y - label_size - 1}}, 0.25);
      sheet.text({places[n], y}, label_size, Anchor::middle, ticks[i].label, ticks[i].attributes);
    }
  }
  return y_label + static_cast<double>(rows - 1) * row;
}

std::string short_id(const Piece& piece, const std::string& wall) {
  return piece.id.size() > wall.size() + 1 && piece.id.compare(0, wall.size(), wall) == 0
             ? piece.id.substr(wall.size() + 1)
             : piece.id;
}

// a, b, ... z, aa, ab, ...
std::string letters(std::size_t n) {
  std::string s;
  for (++n; n > 0; n = (n - 1) / 26) s.insert(s.begin(), static_cast<char>('a' + (n - 1) % 26));
  return s;
}

Area paper_area(const Frame& frame, const Box& box) {
  const Point low = frame.to(Point{box.x_min, box.y_min}), high = frame.to(Point{box.x_max, box.y_max});
  return {low.x, high.y, high.x, low.y};
}
// A host's plan may hold a ring of nothing.
Box bounds(const Ring& ring) {
  return ring.empty() ? Box{0, 0, 0, 0} : detail::bounds(ring);
}
bool within(const Area& a, const Area& b) {
  return a.x0 >= b.x0 && a.x1 <= b.x1 && a.y0 >= b.y0 && a.y1 <= b.y1;
}
bool meet(const Box& a, const Box& b) {
  return a.x_min < b.x_max && b.x_min < a.x_max && a.y_min < b.y_max && b.y_min < a.y_max;
}
bool holds(const Box& box, Point p) {
  return p.x >= box.x_min && p.x < box.x_max && p.y >= box.y_min && p.y < box.y_max;
}

// One elevation being drawn; `spare` keeps paper for what stands below the wall.
class Elevation {
public:
  /// \param parts  of the wall, none where it is legible on one sheet
  Elevation(const Job& job, const Plan& plan, std::size_t index, const ElevationOptions& options,
            const std::vector<Box>& parts, double width, double height, double spare)
      : job_(job),
        plan_(plan),
        wall_(job.walls[index]),
        out_(plan.walls[index]),
        options_(options),
        parts_(parts),
        box_(bounds(wall_.outline)),
        view_(options.sheet == 0 ? box_ : parts[options.sheet - 1]),
        width_(width),
        frame_(frame_of(view_, width, height - spare)),
        x_left_(left_margin),
        x_right_(left_margin + (view_.x_max - view_.x_min) * frame_.scale),
        y_top_(top_margin),
        y_bottom_(top_margin + (view_.y_max - view_.y_min) * frame_.scale),
        sheet_(width, height, "Elevation of wall " + wall_.name,
               detail::format("elevation-{}-{}", index, options.sheet),
               detail::format(
                   "Wall {} seen from outside: {} pieces in courses {} to {}, {} joints, {} openings.",
                   wall_.name, out_.pieces.size(), out_.courses.first_course, out_.courses.last_course,
                   out_.joints.size(), wall_.openings.size())) {
    region_ = out_.region;
    if (region_.parts.empty()) {  // a plan that was read back carries none
      std::optional<double> first_line;
      if (out_.courses.last_course >= 0 && !out_.courses.ripped_start)
        first_line = line(out_.courses.first_course);
      region_ = siding_region(wall_, job.rules, first_line);
    }
  }

  static double scale_on(const Box& box, double width, double height) {
    return frame_of(box, width, height).scale;
  }

  // Returns the height that it takes.
  double draw() {
    std::string title = "Wall " + wall_.name + ", seen from outside";
    std::string about =
        detail::format("Heights run from the datum, lengths from the wall's left end, in {}. ",
                       detail::is_metric(job_.rules) ? "millimetres" : "inches");
    if (options_.sheet > 0) title += detail::format(", part {} of {}", options_.sheet, parts_.size());
    if (options_.sheet == 0 && !parts_.empty())
      about += "Dashed: its parts, on sheets of their own.";
    else
      about += "Pieces are numbered from the left in each course.";
    const double room = width_ - x_left_ - 6;
    sheet_.text({x_left_, 18},
                std::max(least_letters, std::min(title_size, room / detail::text_width(title, 1))),
                Anchor::start, title);
    sheet_.text({x_left_, 28}, label_size, Anchor::start, about);
    if (options_.sheet > 0) sheet_.clip(paper_area(frame_, view_), "part");
    draw_wall();
    if (options_.sheet > 0) {
      sheet_.end_group();
      const Area area = paper_area(frame_, view_);
      sheet_.shape({{{area.x0, area.y0}, {area.x1, area.y0}, {area.x1, area.y1}, {area.x0, area.y1}}}, 0.4,
                   "none", "stroke-dasharray=\"6 3\"");
    }
    name_openings();
    if (options_.sheet == 0 && !parts_.empty())
      show_parts();
    else
      label_pieces();
    dimensions();
    legend();
    write_key();
    sheet_.set_height(y_ + 4);
    return y_ + 4;
  }
  std::string document() const { return sheet_.document(); }

private:
  static Frame frame_of(const Box& box, double width, double height) {
    Frame frame;
    frame.scale = std::min((width - left_margin - right_margin) / (box.x_max - box.x_min),
                           (height - top_margin - bottom_margin) / (box.y_max - box.y_min));
    frame.x0 = left_margin - box.x_min * frame.scale;
    frame.y0 = top_margin + box.y_max * frame.scale;
    return frame;
  }
  double line(int course) const {
    const std::vector<double>& lines = plan_.pole.lines;
    if (lines.empty()) return box_.y_min;
    return lines[static_cast<std::size_t>(
        std::min<int>(std::max(0, course), static_cast<int>(lines.size()) - 1))];
  }
  // The upper edge of what shows of a course.
  double shown(const Piece& piece) const {
    const std::size_t next = static_cast<std::size_t>(std::max(0, piece.course)) + 1;
    const double top = bounds(piece.outline).y_max;
    return piece.course < out_.courses.last_course && next < plan_.pole.lines.size()
               ? std::min(plan_.pole.lines[next], top)
               : top;
  }

  void draw_wall() {
    // Trim and its gap: what the outline holds beside the region.
    std::vector<Ring> trim{frame_.to(wall_.outline)};
    for (const Polygon& part : region_.parts) {
      trim.push_back(frame_.to(part.outer));
      for (const Ring& hole : part.holes) trim.push_back(frame_.to(hole));
    }
    sheet_.shape(trim, 0, sheet_.dots(), "stroke=\"none\"");
    sheet_.shape({trim.begin() + 1, trim.end()}, 0.3, "none", "class=\"trim\"");
    // From the bottom up: each course covers the upper edges of the one below.
    for (std::size_t i = 0; i < out_.pieces.size();) {
      const int course = out_.pieces[i].course;
      for (; i < out_.pieces.size() && out_.pieces[i].course == course; ++i) {
        const Piece& piece = out_.pieces[i];
        if (!meet(bounds(piece.outline), view_)) continue;
        std::vector<Ring> rings{frame_.to(piece.outline)};
        for (const Ring& hole : piece.holes) rings.push_back(frame_.to(hole));
        sheet_.shape(rings, piece.filler ? 0.7 : 0.5, piece.filler ? sheet_.hatch() : "white",
                     marked("piece", piece.id));
        filler_ = filler_ || piece.filler;
      }
      for (std::size_t j = 0; j < out_.joints.size(); ++j) {
        const Joint& joint = out_.joints[j];
        if (joint.course != course) continue;
        // As far as the pieces' ends go, and no higher than what shows.
        double y = 1e300, top = -1e300;
        for (const Piece& piece : out_.pieces)
          if (piece.course == course)
            for (Point p : piece.outline)
              if (std::fabs(p.x - joint.x) <= job_.rules.joints.gap / 2 + tolerance)
                y = std::min(y, p.y), top = std::max(top, p.y);
        if (y > top) y = line(joint.course), top = y + job_.rules.board.width;
        if (joint.course < out_.courses.last_course) top = std::min(top, line(joint.course + 1));
        sheet_.line(frame_.to(Point{joint.x, y}), frame_.to(Point{joint.x, top}), 1.4,
                    marked("joint", detail::format("{}-j{}", out_.name, j + 1)));
      }
    }
    for (std::size_t i = 0; i < wall_.openings.size(); ++i) {
      const Opening& opening = wall_.openings[i];
      sheet_.shape({frame_.to(opening.outline)}, 0.9, "white",
                   marked("opening", detail::format("opening-{}", i)));
    }
    sheet_.shape({frame_.to(wall_.outline)}, 1.1, "none", marked("outline", "outline"));
    if (options_.studs)
      for (const Stud& stud : lay_studs(wall_)) {
        // Where it stands behind the wall: between the outline's crossings.
        std::vector<double> heights;
        for (std::size_t a = 0, b = wall_.outline.size() - 1; a < wall_.outline.size(); b = a++) {
          const Point p = wall_.outline[a], q = wall_.outline[b];
          if ((p.x > stud.centre) != (q.x > stud.centre))
            heights.push_back(p.y + (stud.centre - p.x) * (q.y - p.y) / (q.x - p.x));
        }
        std::sort(heights.begin(), heights.end());
        for (std::size_t n = 0; n + 1 < heights.size(); n += 2)
          sheet_.line(frame_.to(Point{stud.centre, heights[n]}),
                      frame_.to(Point{stud.centre, heights[n + 1]}), 0.25,
                      "class=\"stud\" stroke-dasharray=\"6 2 1 2\"");
      }
    for (const Starter& starter : out_.starters)
      sheet_.line(frame_.to(starter.from), frame_.to(starter.to), 2.2, marked("starter", starter.id));
    if (options_.nails)
      for (std::size_t i = 0; i < out_.pieces.size() && i < out_.nails.size(); ++i)
        for (std::size_t n = 0; n < out_.nails[i].size(); ++n)
          if (options_.sheet == 0 || holds(view_, out_.nails[i][n].at))
            sheet_.dot(frame_.to(out_.nails[i][n].at), 0.8, out_.nails[i][n].into != NailBase::sheathing,
                       marked("nail", detail::format("{}-n{}", out_.pieces[i].id, n + 1)));
  }

  // Ids are on the sheet of the whole wall alone: a page holds each once.
  std::string marked(std::string_view kind, const std::string& id) const {
    std::string s = detail::format("class=\"{}\"", kind);
    if (options_.sheet == 0) s += " " + id_attribute(id);
    return s;
  }

  void show_parts() {
    for (std::size_t n = 0; n < parts_.size(); ++n) {
      const Area area = paper_area(frame_, parts_[n]);
      sheet_.shape({{{area.x0, area.y0}, {area.x1, area.y0}, {area.x1, area.y1}, {area.x0, area.y1}}}, 0.9,
                   "none", "stroke-dasharray=\"6 3\"");
      const std::string words = detail::format("part {}", n + 1);
      const double w = detail::text_width(words, 9) / 2 + 3;
      const Point middle{(area.x0 + area.x1) / 2, (area.y0 + area.y1) / 2};
      for (double aside : {0.0, 0.2, -0.2, 0.35, -0.35}) {
        const Point at{middle.x + aside * (area.x1 - area.x0), middle.y};
        if (!sheet_.is_free({at.x - w, at.y - 9, at.x + w, at.y + 4})) continue;
        sheet_.shape(
            {{{at.x - w, at.y - 9}, {at.x + w, at.y - 9}, {at.x + w, at.y + 4}, {at.x - w, at.y + 4}}}, 0.6,
            "white");
        sheet_.text(at, 9, Anchor::middle, words);
        break;
      }
    }
  }

  void name_openings() {
    for (const Opening& opening : wall_.openings) {
      const Ring ring = frame_.to(opening.outline);
      const Box b = bounds(opening.outline);
      const Point middle = frame_.to(Point{(b.x_min + b.x_max) / 2, (b.y_min + b.y_max) / 2});
      if (!within(detail::text_area(middle, 8, Anchor::middle, opening.name), paper_area(frame_, view_)))
        continue;
      for (double size : {8.0, label_size, least_letters})
        if (inside({ring}, detail::text_area(middle, size, Anchor::middle, opening.name)) &&
            sheet_.try_text(middle, size, Anchor::middle, opening.name)) {
          const std::string words =
              detail::format("{} x {}", detail::length_number(job_.rules, b.x_max - b.x_min),
                             detail::length_number(job_.rules, b.y_max - b.y_min));
          const Point below{middle.x, middle.y + 10};
          if (inside({ring}, detail::text_area(below, least_letters, Anchor::middle, words)))
            sheet_.try_text(below, least_letters, Anchor::middle, words);
          break;
        }
    }
  }

  void label_pieces() {
    // Every id that fits in its piece first, so that no leader takes another's place.
    std::vector<const Piece*> small;
    for (const Piece& piece : out_.pieces) {
      const Box b = bounds(piece.outline);
      if (!meet(b, view_)) continue;
      if (label_inside(piece, short_id(piece, out_.name), {label_size, least_letters})) continue;
      // A piece that reaches into several parts has its leader in that of its middle.
      if (options_.sheet == 0 || holds(view_, {(b.x_min + b.x_max) / 2, (b.y_min + shown(piece)) / 2}))
        small.push_back(&piece);
    }
    for (const Piece* piece : small) {
      const std::string words = short_id(*piece, out_.name);
      if (label_outside(*piece, words)) continue;
      const std::string mark = letters(marks_);
      std::string entry = mark + " = " + words;
      if (label_inside(*piece, mark, {least_letters}) || label_outside(*piece, mark))
        ++marks_;
      else
        entry =
            detail::format("{}: at {}", words, detail::length_number(job_.rules, piece->x_min - box_.x_min));
      key_.push_back(std::move(entry));
    }
  }

  bool label_inside(const Piece& piece, const std::string& words, std::initializer_list<double> sizes) {
    const Ring ring = frame_.to(piece.outline);
    const double top = shown(piece);
    const double y_low = bounds(piece.outline).y_min;
    for (double size : sizes)
      for (double part : {0.5, 0.3, 0.7, 0.12, 0.88}) {
        const double left = std::max(piece.x_min, view_.x_min), right = std::min(piece.x_max, view_.x_max);
        const Point middle = frame_.to(Point{left + part * (right - left), (y_low + top) / 2});
        const Point at{middle.x, middle.y + 0.36 * size};
        // Figures are lower than a line of text: they may fill the course.
        Area box = detail::text_area(at, size, Anchor::middle, words);
        const Area figures{box.x0 - 1, at.y - 0.74 * size - 0.8, box.x1 + 1, at.y + 0.8};
        if (figures.y0 < frame_.to(Point{0, top}).y || !inside({ring}, figures)) continue;
        if (options_.sheet > 0 && !within(figures, paper_area(frame_, view_))) continue;
        if (piece.filler) continue;  // hatching spoils letters
        if (sheet_.try_text(at, size, Anchor::middle, words)) return true;
      }
    return false;
  }

  // Inside an opening, or in the free corners of the paper around the wall.
  bool is_white(const Area& words) const {
    const Area box{words.x0 - 2, words.y0 - 2, words.x1 + 2, words.y1 + 2};
    if (options_.sheet > 0 && !within(box, paper_area(frame_, view_))) return false;
    const Ring outline = frame_.to(wall_.outline);
    bool in_opening = false;
    for (const Opening& opening : wall_.openings)
      in_opening = in_opening || inside({frame_.to(opening.outline)}, box);
    if (in_opening) return true;
    if (box.x0 < x_left_ || box.x1 > x_right_ || box.y1 > y_bottom_ || box.y0 < 40) return false;
    for (double part : {0.0, 0.25, 0.5, 0.75, 1.0})
      for (double y : {box.y0 - 2, (box.y0 + box.y1) / 2, box.y1 + 2})
        if (inside({outline}, Point{box.x0 + part * (box.x1 - box.x0), y})) return false;
    return true;
  }

  bool label_outside(const Piece& piece, const std::string& words) {
    const Box b = bounds(piece.outline);
    const Point tip = frame_.to(Point{(b.x_min + b.x_max) / 2, (b.y_min + shown(piece)) / 2});
    constexpr double size = least_letters;
    // Straight up or down first, then ever more aslant.
    static constexpr Point ways[] = {{0, -1},    {0, 1},      {0.3, -1}, {-0.3, -1}, {0.3, 1}, {-0.3, 1},
                                     {0.7, -1},  {-0.7, -1},  {0.7, 1},  {-0.7, 1},  {1, -1},  {-1, -1},
                                     {1, 1},     {-1, 1},     {1, -0.5}, {-1, -0.5}, {1, 0.5}, {-1, 0.5},
                                     {1, -0.15}, {-1, -0.15}, {1, 0.15}, {-1, 0.15}, {1, 0},   {-1, 0}};
    for (double away = 8; away < 110; away += 4)
      for (const Point way : ways) {
        const Point at{tip.x + way.x * away, tip.y + way.y * away + 0.28 * size};
        const Area box = detail::text_area(at, size, Anchor::middle, words);
        if (!is_white(box) || !sheet_.is_free(box)) continue;
        const Point from{std::max(box.x0, std::min(at.x - way.x * away * 0.5, box.x1)),
                         tip.y < box.y0   ? box.y0 - 0.3
                         : tip.y > box.y1 ? box.y1 + 0.3
                                          : tip.y};
        const Point start{tip.x > box.x1 ? box.x1 + 0.6 : tip.x < box.x0 ? box.x0 - 0.6 : from.x, from.y};
        bool clear = sheet_.is_clear(start, tip);
        for (const auto& [p, q] : leaders_)
          clear = clear && !detail::passes(p, q, box) &&
                  !(detail::cross(p, q, start) * detail::cross(p, q, tip) < 0 &&
                    detail::cross(start, tip, p) * detail::cross(start, tip, q) < 0);
        if (!clear) continue;
        sheet_.text(at, size, Anchor::middle, words, "class=\"leader\"");
        sheet_.line(start, tip, 0.35);
        sheet_.dot(tip, 0.9, true);
        leaders_.emplace_back(start, tip);
        return true;
      }
    return false;
  }

  // Running heights of the course lines, left; of heads, sills and corners, right; running lengths, below.
  void dimensions() {
    const double low = y_top_ - 8, high = y_bottom_ + 4;
    const Rules& rules = job_.rules;
    const auto in_view = [](double at, double least, double most) {
      return at >= least - tolerance && at <= most + tolerance;
    };
    std::vector<Tick> lines, heights, lengths;
    for (int k = std::max(0, out_.courses.first_course); k <= out_.courses.last_course; ++k)
      if (in_view(line(k), view_.y_min, view_.y_max) || options_.sheet == 0)
        lines.push_back({frame_.to(Point{0, std::max(line(k), box_.y_min)}).y,
                         detail::format("{:02}: {}{}", k, detail::length_number(rules, line(k)),
                                        line(k) < box_.y_min - 2 ? " below" : ""),
                         "class=\"line\""});
    const auto measure = [&](Point p) {
      if (in_view(p.y, view_.y_min, view_.y_max))
        heights.push_back({frame_.to(p).y, detail::length_number(rules, p.y), {}});
      if (in_view(p.x, view_.x_min, view_.x_max))
        lengths.push_back({frame_.to(p).x, detail::length_number(rules, p.x - box_.x_min), {}});
    };
    if (options_.sheet > 0) {
      measure({view_.x_min, view_.y_min});
      measure({view_.x_max, view_.y_max});
    }
    for (Point p : wall_.outline) measure(p);
    for (const Opening& opening : wall_.openings) {
      const Box b = bounds(opening.outline);
      if (!meet(b, view_)) continue;
      measure({b.x_min, b.y_min});
      measure({b.x_max, b.y_max});
    }
    sheet_.text({x_left_ - 20, low - 9}, label_size, Anchor::end, "course: height");
    sheet_.text({x_right_ + 18, low - 9}, label_size, Anchor::start, "height");
    ticks_beside(sheet_, lines, x_left_, x_left_ - 20, Anchor::end, low, high);
    ticks_beside(sheet_, heights, x_right_, x_right_ + 18, Anchor::start, low, high);
    y_ = ticks_below(sheet_, lengths, y_bottom_, y_bottom_ + 18, 30, width_ - 30);
  }

  // What the marks mean, only those that occur; scale bar.
  void legend() {
    y_ += 15;
    double x = 30;
    const auto sample = [&](double wide, const std::string& words) {
      const double needed = wide + 4 + detail::text_width(words, label_size) + 10;
      if (x > 30 && x + needed > width_ - 10) {
        x = 30;
        y_ += row + 2;
      }
      sheet_.text({x + wide + 4, y_}, label_size, Anchor::start, words);
      const double at = x;
      x += needed;
      return at;
    };
    for (double feet : {8.0, 4.0, 2.0, 1.0}) {
      const double inches = detail::is_metric(job_.rules) ? feet / 4 * 1000 / 25.4 : feet * 12;
      const double w = inches * frame_.scale;
      if (w > 0.25 * (width_ - 60) && feet > 1) continue;
      const double at = sample(w, detail::is_metric(job_.rules) ? detail::format("{:.4g} m", feet / 4)
                                                                : detail::format("{:.4g} ft", feet));
      sheet_.path({{at, y_ - 5}, {at, y_ - 2}, {at + w, y_ - 2}, {at + w, y_ - 5}}, 0.8, "class=\"scale\"");
      break;
    }
    const auto swatch = [&](double at, const std::string& fill) {
      sheet_.shape({{{at, y_}, {at + 12, y_}, {at + 12, y_ - 6}, {at, y_ - 6}}}, 0.4, fill);
    };
    swatch(sample(12, "trim and gap"), sheet_.dots());
    if (!out_.joints.empty()) {
      const double at = sample(4, "joint");
      sheet_.line({at + 2, y_ + 1}, {at + 2, y_ - 6}, 1.4);
    }
    if (filler_) swatch(sample(12, "filler, f1 f2 ..."), sheet_.hatch());
    if (!out_.starters.empty()) {
      const double at = sample(14, "starter behind the lower edge");
      sheet_.line({at, y_ - 2.5}, {at + 14, y_ - 2.5}, 2.2);
    }
    if (options_.studs) {
      const double at = sample(14, "centre of a stud");
      sheet_.line({at, y_ - 2.5}, {at + 14, y_ - 2.5}, 0.25, "stroke-dasharray=\"6 2 1 2\"");
    }
    if (options_.nails) {
      const double solid = sample(4, "nail into stud, plate or blocking");
      sheet_.dot({solid + 2, y_ - 2.5}, 0.8, true);
      const double open = sample(4, "nail into sheathing");
      sheet_.dot({open + 2, y_ - 2.5}, 0.8, false);
    }
  }

  void write_key() {
    if (key_.empty()) return;
    y_ += row + 3;
    double x = 30;
    sheet_.text({x, y_}, label_size, Anchor::start, "Key:");
    x += 22;
    for (const std::string& entry : key_) {
      const double w = detail::text_width(entry, label_size) + 8;
      if (x + w > width_ - 10) {
        x = 52;
        y_ += row;
      }
      sheet_.text({x, y_}, label_size, Anchor::start, entry);
      x += w;
    }
  }

  const Job& job_;
  const Plan& plan_;
  const Wall& wall_;
  const PlanWall& out_;
  const ElevationOptions& options_;
  const std::vector<Box>& parts_;
  Box box_, view_;
  double width_;
  Frame frame_;
  double x_left_, x_right_, y_top_, y_bottom_, y_ = 0;
  Sheet sheet_;
  Region region_;
  bool filler_ = false;
  std::vector<std::string> key_;
  std::size_t marks_ = 0;
  std::vector<std::pair<Point, Point>> leaders_;
};

constexpr double usual_spare = 50;

// Whether the paper is turned for this box.
bool turn_for(const Box& box, double width, double height) {
  return Elevation::scale_on(box, height, width - usual_spare) >
         Elevation::scale_on(box, width, height - usual_spare);
}

// The parts of a wall whose courses would be drawn lower than letters are high; none where they are not. They
// are cut at course lines, and at even lengths.
std::vector<Box> parts_of(const Job& job, const Plan& plan, std::size_t index,
                          const ElevationOptions& options) {
  constexpr double legible = 6.4, comfortable = 8.2;  // points of a course that shows
  const PlanWall& wall = plan.walls[index];
  const Box box = bounds(job.walls[index].outline);
  double width = options.paper_width * detail::points_per_inch,
         height = options.paper_height * detail::points_per_inch;
  double least = job.rules.board.width;
  for (std::size_t k = 0; k < plan.pole.exposures.size(); ++k)
    if (static_cast<int>(k) >= wall.courses.first_course && static_cast<int>(k) < wall.courses.last_course)
      least = std::min(least, plan.pole.exposures[k]);
  if (options.turn && turn_for(box, width, height)) std::swap(width, height);
  if (wall.pieces.empty() || Elevation::scale_on(box, width, height - usual_spare) * least >= legible)
    return {};
  const double scale = comfortable / least;
  int columns = 0, rows = 0;
  for (int turned = 0; turned < (options.turn ? 2 : 1); ++turned) {
    const double across = (width - left_margin - right_margin) / scale,
                 up = (height - top_margin - bottom_margin - usual_spare) / scale;
    if (across <= 0 || up <= 0) return {};
    const int c = static_cast<int>(std::ceil((box.x_max - box.x_min) / across)),
              r = static_cast<int>(std::ceil((box.y_max - box.y_min) / up));
    if (turned == 0 || c * r < columns * rows) columns = c, rows = r;
    std::swap(width, height);
  }
  std::vector<double> cuts{box.y_min};
  for (int r = 1; r < rows; ++r) {
    const double wish = box.y_min + (box.y_max - box.y_min) * r / rows;
    double best = wish, distance = 1e300;
    for (double line : plan.pole.lines)
      if (std::fabs(line - wish) < distance) distance = std::fabs(line - wish), best = line;
    if (best > cuts.back() + least && best < box.y_max - least) cuts.push_back(best);
  }
  cuts.push_back(box.y_max);
  std::vector<Box> parts;
  for (std::size_t r = 0; r + 1 < cuts.size(); ++r)
    for (int c = 0; c < columns; ++c) {
      const double step = (box.x_max - box.x_min) / columns;
      Box part{box.x_min + c * step, cuts[r], c + 1 < columns ? box.x_min + (c + 1) * step : box.x_max,
               cuts[r + 1]};
      const bool any = std::any_of(wall.pieces.begin(), wall.pieces.end(),
                                   [&](const Piece& piece) { return meet(bounds(piece.outline), part); });
      if (any) parts.push_back(part);
    }
  return parts;
}

void check_wall(const Job& job, const Plan& plan, std::size_t index) {
  if (index >= plan.walls.size() || index >= job.walls.size())
    throw Refused("wall", detail::format("wall {} is none of the plan's {}", index, plan.walls.size()));
  if (job.walls[index].outline.size() < 3)
    throw Refused(detail::format("walls[{}].outline", index), "a wall needs three corners or more");
}

}  // namespace

std::size_t elevation_sheets(const Job& job, const Plan& plan, std::size_t index,
                             const ElevationOptions& options) {
  check_wall(job, plan, index);
  return 1 + parts_of(job, plan, index, options).size();
}

std::string draw_elevation(const Job& job, const Plan& plan, std::size_t index,
                           const ElevationOptions& options) {
  check_wall(job, plan, index);
  const std::vector<Box> parts = parts_of(job, plan, index, options);
  if (options.sheet > parts.size())
    throw Refused("sheet",
                  detail::format("sheet {} is none of the elevation's {}", options.sheet, 1 + parts.size()));
  double width = options.paper_width * detail::points_per_inch,
         height = options.paper_height * detail::points_per_inch;
  const Box box = options.sheet == 0 ? bounds(job.walls[index].outline) : parts[options.sheet - 1];
  if (options.turn && turn_for(box, width, height)) std::swap(width, height);
  // What stands below the wall is known once it is drawn: again with more room for it where it takes more.
  double spare = usual_spare;
  for (int attempt = 0;; ++attempt) {
    Elevation elevation(job, plan, index, options, parts, width, height, spare);
    const double taken = elevation.draw();
    if (taken <= height || attempt == 3) return elevation.document();
    spare += taken - height;
  }
}

}  // namespace v0
}  // namespace lapwright
