
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/framing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Area;
using detail::id_attribute;
using detail::Sheet;

// Paper kept free around the wall, points.
constexpr double left_margin = 74, right_margin = 62, top_margin = 40, bottom_margin = 62;
constexpr double title_size = 12, label_size = 6, small_size = 4.5;

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

bool inside(const Ring& ring, Point p) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Point a = ring[i], b = ring[j];
    if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) in = !in;
  }
  return in;
}

// The box lies in the ring: its corners and the middles of its sides do.
bool inside(const Ring& ring, const Area& box) {
  for (double x : {box.x0, (box.x0 + box.x1) / 2, box.x1})
    for (double y : {box.y0, box.y1})
      if (!inside(ring, Point{x, y})) return false;
  return true;
}

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

// `apart` keeps two lines of text from touching.
void ticks_beside(Sheet& sheet, std::vector<Tick> ticks, double x_wall, double x_label, Anchor anchor,
                  double low, double high) {
  tidy(ticks);
  std::vector<double> wishes;
  for (const Tick& tick : ticks) wishes.push_back(tick.at);
  const double room = ticks.size() > 1 ? (high - low) / static_cast<double>(ticks.size() - 1) : label_size;
  const double size = std::min(label_size, std::max(3.0, room / 1.05));
  const std::vector<double> places = detail::spread(wishes, 1.05 * size, low, high);
  const double sign = x_label < x_wall ? 1 : -1;
  for (std::size_t i = 0; i < ticks.size(); ++i) {
    sheet.path({{x_label + sign * 2, places[i]},
                {x_label + sign * 10, places[i]},
                {x_wall - sign * 4, ticks[i].at},
                {x_wall, ticks[i].at}},
               0.25);
    sheet.text({x_label, places[i] + 0.28 * size}, size, anchor, ticks[i].label, ticks[i].attributes);
  }
}

void ticks_below(Sheet& sheet, std::vector<Tick> ticks, double y_wall, double y_label, double low,
                 double high) {
  tidy(ticks);
  double widest = 0;
  for (const Tick& tick : ticks) widest = std::max(widest, detail::text_width(tick.label, label_size));
  widest += 4;
  // As many rows as it takes; neighbours go to different rows.
  const std::size_t fit = std::max<std::size_t>(1, static_cast<std::size_t>((high - low) / widest));
  const std::size_t rows = ticks.empty() ? 1 : (ticks.size() + fit - 1) / fit;
  for (std::size_t row = 0; row < rows; ++row) {
    std::vector<double> wishes;
    for (std::size_t i = row; i < ticks.size(); i += rows) wishes.push_back(ticks[i].at);
    const std::vector<double> places = detail::spread(wishes, widest, low, high);
    std::size_t n = 0;
    for (std::size_t i = row; i < ticks.size(); i += rows, ++n) {
      const double y = y_label + static_cast<double>(row) * (label_size + 2);
      sheet.path({{ticks[i].at, y_wall}, {ticks[i].at, y_wall + 4}, {places[n], y - label_size - 1}}, 0.25);
      sheet.text({places[n], y}, label_size, Anchor::middle, ticks[i].label, ticks[i].attributes);
    }
  }
}

std::string short_id(const Piece& piece, const std::string& wall) {
  return piece.id.size() > wall.size() + 1 && piece.id.compare(0, wall.size(), wall) == 0
             ? piece.id.substr(wall.size() + 1)
             : piece.id;
}

}  // namespace

std::string draw_elevation(const Job& job, const Plan& plan, std::size_t index,
                           const ElevationOptions& options) {
  if (index >= plan.walls.size() || index >= job.walls.size())
    throw Refused("wall", detail::format("wall {} is none of the plan's {}", index, plan.walls.size()));
  const Wall& wall = job.walls[index];
  const PlanWall& out = plan.walls[index];
  const double division = job.rules.courses.division;
  const Box box = detail::bounds(wall.outline);
  const double width = options.paper_width * detail::points_per_inch,
               height = options.paper_height * detail::points_per_inch;
  Frame frame;
  frame.scale = std::min((width - left_margin - right_margin) / (box.x_max - box.x_min),
                         (height - top_margin - bottom_margin) / (box.y_max - box.y_min));
  const double drawn_width = (box.x_max - box.x_min) * frame.scale,
               drawn_height = (box.y_max - box.y_min) * frame.scale;
  const double x_left = left_margin, x_right = left_margin + drawn_width;
  const double y_top = top_margin, y_bottom = top_margin + drawn_height;
  frame.x0 = x_left - box.x_min * frame.scale;
  frame.y0 = y_top + box.y_max * frame.scale;

  Sheet sheet(width, y_bottom + bottom_margin, "Elevation of wall " + wall.name,
              "elevation-" + std::to_string(index));
  sheet.text({x_left, 20}, title_size, Anchor::start, "Wall " + wall.name + ", seen from outside");

  // What is there already.
  if (options.studs)
    for (const Stud& stud : lay_studs(wall))
      sheet.line(frame.to(Point{stud.centre, box.y_min}), frame.to(Point{stud.centre, box.y_max}), 0.25,
                 "class=\"stud\" stroke-dasharray=\"6 2 1 2\"");
  sheet.shape({frame.to(wall.outline)}, 1.1, "none", "id=\"outline\"");
  for (const GrownOpening& grown : out.region.openings)
    sheet.shape({frame.to(grown.outline)}, 0.3, "none", "class=\"trim\"");
  for (std::size_t i = 0; i < wall.openings.size(); ++i) {
    const Opening& opening = wall.openings[i];
    sheet.shape({frame.to(opening.outline)}, 0.9, "white", detail::format("id=\"opening-{}\"", i));
    const Box b = detail::bounds(opening.outline);
    const Point middle = frame.to(Point{(b.x_min + b.x_max) / 2, (b.y_min + b.y_max) / 2});
    sheet.try_text(middle, label_size, Anchor::middle, opening.name);
  }

  // Pieces; small ones are told by number in a key.
  std::vector<std::pair<std::string, const Piece*>> key;
  for (const Piece& piece : out.pieces) {
    std::vector<Ring> rings{frame.to(piece.outline)};
    for (const Ring& hole : piece.holes) rings.push_back(frame.to(hole));
    sheet.shape(rings, piece.filler ? 0.7 : 0.45, piece.filler ? sheet.hatch() : "none",
                "class=\"piece\" " + id_attribute(piece.id));
  }
  for (std::size_t i = 0; i < out.pieces.size(); ++i) {
    if (options.nails && i < out.nails.size())
      for (std::size_t n = 0; n < out.nails[i].size(); ++n)
        sheet.dot(frame.to(out.nails[i][n].at), 0.7, out.nails[i][n].into != NailBase::sheathing,
                  "class=\"nail\" " + id_attribute(detail::format("{}-n{}", out.pieces[i].id, n + 1)));
  }
  for (std::size_t j = 0; j < out.joints.size(); ++j) {
    const Joint& joint = out.joints[j];
    const double y = plan.pole.lines[static_cast<std::size_t>(joint.course)];
    const double top = std::min(y + job.rules.board.width, box.y_max);
    sheet.line(frame.to(Point{joint.x, y}), frame.to(Point{joint.x, top}), 1.3,
               "class=\"joint\" " + id_attribute(detail::format("{}-j{}", out.name, j + 1)));
  }
  for (const Starter& starter : out.starters)
    sheet.line(frame.to(starter.from), frame.to(starter.to), 1.8,
               "class=\"starter\" " + id_attribute(starter.id));
  for (const Piece& piece : out.pieces) {
    const Ring ring = frame.to(piece.outline);
    const std::string words = short_id(piece, out.name);
    const std::size_t k = static_cast<std::size_t>(piece.course);
    const double shown =
        k + 1 < plan.pole.lines.size() ? plan.pole.lines[k + 1] : piece.y + job.rules.board.width;
    const double y_high = std::min(shown, detail::bounds(piece.outline).y_max);
    bool done = false;
    for (double size : {label_size, small_size}) {
      for (double part : {0.5, 0.3, 0.7, 0.12, 0.88}) {
        const Point middle =
            frame.to(Point{piece.x_min + part * (piece.x_max - piece.x_min), (piece.y + y_high) / 2});
        const Point at{middle.x, middle.y + 0.28 * size};
        if (!inside(ring, detail::text_area(at, size, Anchor::middle, words))) continue;
        done = sheet.try_text(at, size, Anchor::middle, words);
        if (done) break;
      }
      if (done) break;
    }
    if (!done) key.push_back({words, &piece});
  }

  // Running heights of the course lines, left; of heads, sills and corners, right; running lengths, below.
  const double low = y_top - 10, high = y_bottom + 4;
  std::vector<Tick> lines;
  for (int k = std::max(0, out.courses.first_course); k <= out.courses.last_course; ++k) {
    const double y = plan.pole.lines[static_cast<std::size_t>(k)];
    lines.push_back({frame.to(Point{0, y}).y, detail::format("{:02}: {}", k, format_length(y, division)),
                     "class=\"line\""});
  }
  ticks_beside(sheet, lines, x_left, x_left - 22, Anchor::end, low, high);
  std::vector<Tick> heights, lengths;
  const auto measure = [&](Point p) {
    heights.push_back({frame.to(p).y, format_length(p.y, division), {}});
    lengths.push_back({frame.to(p).x, format_length(p.x - box.x_min, division), {}});
  };
  for (Point p : wall.outline) measure(p);
  for (const Opening& opening : wall.openings) {
    const Box b = detail::bounds(opening.outline);
    measure({b.x_min, b.y_min});
    measure({b.x_max, b.y_max});
  }
  ticks_beside(sheet, heights, x_right, x_right + 20, Anchor::start, low, high);
  ticks_below(sheet, lengths, y_bottom, y_bottom + 18, 30, width - 30);

  // Key and scale bar.
  double y = y_bottom + bottom_margin - 8;
  for (double feet : {8.0, 4.0, 2.0, 1.0}) {
    if (feet * 12 * frame.scale > 0.3 * drawn_width && feet > 1) continue;
    const double w = feet * 12 * frame.scale;
    sheet.line({x_left, y - 8}, {x_left + w, y - 8}, 1.5, "class=\"scale\"");
    sheet.text({x_left + w + 4, y - 6}, label_size, Anchor::start, detail::format("{} ft", feet));
    break;
  }
  if (!key.empty()) {
    // A number in the margin of each small piece, and what it stands for.
    int number = 0;
    double x = x_left;
    y += 4;
    sheet.text({x, y}, label_size, Anchor::start, "Key");
    x += 22;
    for (const auto& [words, piece] : key) {
      const std::string mark = std::to_string(++number);
      const Box b = detail::bounds(piece->outline);
      const Point middle = frame.to(Point{(b.x_min + b.x_max) / 2, (b.y_min + b.y_max) / 2});
      bool placed = false;
      for (double r = 0; r < 60 && !placed; r += 3)
        for (int step = 0; step < 16 && !placed; ++step) {
          // A square ring of candidates around the piece: no trigonometry.
          static constexpr double ring_x[16] = {1, 1, 1, .5, 0, -.5, -1, -1, -1, -1, -1, -.5, 0, .5, 1, 1};
          static constexpr double ring_y[16] = {0, .5, 1, 1, 1, 1, 1, .5, 0, -.5, -1, -1, -1, -1, -1, -.5};
          const Point at{middle.x + r * ring_x[step], middle.y + 0.28 * small_size + r * ring_y[step]};
          placed = sheet.try_text(at, small_size, Anchor::middle, mark, "class=\"key\"");
          if (placed && r > 3) sheet.line(middle, {at.x, at.y - 0.28 * small_size}, 0.25);
        }
      const std::string entry = mark + " = " + words;
      const double w = detail::text_width(entry, label_size) + 6;
      if (x + w > width - 10) {
        x = x_left + 22;
        y += label_size + 2;
      }
      sheet.text({x, y}, label_size, Anchor::start, entry);
      x += w;
    }
    sheet.set_height(y + 8);
  }
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
