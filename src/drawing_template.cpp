
#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Area;

// Inches of paper. The cell is what a page shows of the template; ruler and words stand below it.
struct Page {
  double width, height, margin;
  double cell_width() const { return width - 2 * margin; }
  double cell_height() const { return height - 2 * margin - 0.85; }
};

constexpr double ruler_inches = 6;
constexpr int most_template_pages = 400;  // and no paper is worth it long before

int pages_along(double size, double cell) {
  return size <= cell
             ? 1
             : 1 + static_cast<int>(std::ceil((size - cell) / (cell - template_overlap) - tolerance));
}

// Stock must not come out short.
std::string sixteenths_up(double inches) {
  return format_length(std::ceil((inches - tolerance) / square_mark) * square_mark, square_mark);
}

// Some of the outline is drawn on the page.
bool shows(const Ring& ring, const Area& cell) {
  for (std::size_t i = 0; i < ring.size(); ++i)
    if (detail::passes(ring[i], ring[(i + 1) % ring.size()], cell)) return true;
  return false;
}

using Lines = std::vector<std::pair<Point, Point>>;

bool crossed(const Lines& lines, const Area& area) {
  for (const auto& [a, b] : lines)
    if (detail::passes(a, b, area)) return true;
  return false;
}

bool in_cell(const Area& area, const Area& cell) {
  return area.x0 >= cell.x0 && area.x1 <= cell.x1 && area.y0 >= cell.y0 && area.y1 <= cell.y1;
}

// A line told beside it on the side that `off` points to, in the longest of the words that crosses no other
// line.
void tell(detail::Sheet& sheet, const Lines& lines, Point a, Point b, Point off, const Area& cell,
          std::initializer_list<const char*> words) {
  // The stretch of it on this page.
  constexpr int steps = 64;
  int first = -1, last = -1;
  for (int i = 0; i <= steps; ++i) {
    const double t = static_cast<double>(i) / steps;
    const Point p{a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
    if (p.x < cell.x0 || p.x > cell.x1 || p.y < cell.y0 || p.y > cell.y1) continue;
    if (first < 0) first = i;
    last = i;
  }
  if (first < 0) return;
  for (const char* text : words)
    for (double part : {0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92})
      for (double far : {1.0, 0.6, 1.6, 2.4}) {
        const double t = (first + part * (last - first)) / steps;
        const Point p{a.x + t * (b.x - a.x) + far * off.x, a.y + t * (b.y - a.y) + far * off.y};
        const Anchor anchor = off.x > 4 ? Anchor::start : off.x < -4 ? Anchor::end : Anchor::middle;
        const Area box = detail::text_area(p, 8, anchor, text);
        if (!in_cell(box, cell) || crossed(lines, box)) continue;
        // No other line between the two.
        const Point at{a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
        bool beside = true;
        for (const auto& [p1, p2] : lines)
          beside =
              beside && (detail::cross(p1, p2, at) * detail::cross(p1, p2, p) > 0 ||
                         detail::cross(at, p, p1) * detail::cross(at, p, p2) >= 0 ||
                         std::fabs(detail::cross(p1, p2, at)) < 1e-3 * std::hypot(p2.x - p1.x, p2.y - p1.y));
        if (!beside) continue;
        if (sheet.try_text(p, 8, anchor, text)) return;
      }
}

}  // namespace

std::vector<std::string> draw_rake_template(const RakeTemplate& shape, Paper paper) {
  if (shape.outline.size() < 3)
    throw Refused("shape.outline", "a template needs an outline; make it with rake_template");
  const Page page = paper == Paper::letter ? Page{8.5, 11, 0.5}
                    : paper == Paper::a4   ? Page{8.27, 11.69, 0.5}
                                           : Page{7.25, 9.9, 0};
  // Upright or turned a quarter, whichever takes fewer pages.
  const auto turn = [](Point p) { return Point{-p.y, p.x}; };
  Ring turned;
  for (Point p : shape.outline) turned.push_back(turn(p));
  const auto grid = [&](const Ring& ring, int& columns, int& rows) {
    const Box box = detail::bounds(ring);
    columns = pages_along(box.x_max - box.x_min, page.cell_width());
    rows = pages_along(box.y_max - box.y_min, page.cell_height());
    if (static_cast<double>(columns) * rows > most_template_pages)
      throw Refused(
          "shape.outline",
          detail::format("a template of {:.4g} x {:.4g} in takes more than {} pages full size; make "
                         "it on the bench from its square settings",
                         box.x_max - box.x_min, box.y_max - box.y_min, most_template_pages));
    int count = 0;
    for (int row = 0; row < rows; ++row)
      for (int column = 0; column < columns; ++column) {
        const double x = box.x_min + column * (page.cell_width() - template_overlap),
                     y = box.y_min + row * (page.cell_height() - template_overlap);
        count += shows(ring, {x, y, x + page.cell_width(), y + page.cell_height()}) ? 1 : 0;
      }
    return count;
  };
  int columns = 1, rows = 1, turned_columns = 1, turned_rows = 1;
  int count = grid(shape.outline, columns, rows);
  const int turned_count = grid(turned, turned_columns, turned_rows);
  const bool turn_it = turned_count < count;
  if (turn_it) columns = turned_columns, rows = turned_rows, count = turned_count;
  const Ring& outline = turn_it ? turned : shape.outline;
  const Box box = detail::bounds(outline);
  const auto lie = [&](Point p) { return turn_it ? turn(p) : p; };
  const double offset = shape.hand == Hand::left ? shape.offset : -shape.offset;
  const double width = detail::bounds(shape.outline).y_max;
  const Point corner = lie({0, 0}), tip = lie({offset, width}),
              fence_end = lie({detail::bounds(shape.outline).x_min + detail::bounds(shape.outline).x_max, 0});

  const std::string slope =
      detail::format("{} in 12, {} hand", format_length(shape.rise * 12 / shape.run, 0.0625),
                     shape.hand == Hand::left ? "left" : "right");
  std::vector<std::string> out;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const double x0 = box.x_min + column * (page.cell_width() - template_overlap),
                   y0 = box.y_min + row * (page.cell_height() - template_overlap);  // lower left of the cell
      if (!shows(outline, {x0, y0, x0 + page.cell_width(), y0 + page.cell_height()})) continue;
      const auto to = [&](Point p) {
        return Point{(page.margin + p.x - x0) * 72, (page.margin + page.cell_height() - (p.y - y0)) * 72};
      };
      const int number = static_cast<int>(out.size()) + 1;
      detail::Sheet sheet(
          page.width * 72, page.height * 72, "Rake template, " + slope,
          detail::format("template-{}-{}-{}-{}", shape.hand == Hand::left ? "l" : "r",
                         std::lround(shape.rise / shape.run * 1e6), row, column),
          detail::format("Page {} of {} of the template for {}, full size.", number, count, slope));
      const Area cell{page.margin * 72, page.margin * 72, (page.margin + page.cell_width()) * 72,
                      (page.margin + page.cell_height()) * 72};
      Ring ring;
      for (Point p : outline) ring.push_back(to(p));
      sheet.clip(cell, "cell");
      sheet.shape({ring}, 0.8, "none", "class=\"template\"");
      // Where the fence ends and the board begins.
      sheet.line(to(corner), to(fence_end), 0.5, "stroke-dasharray=\"6 3\"");
      sheet.end_group();
      Lines lines{{to(corner), to(fence_end)}};
      for (std::size_t i = 0; i < ring.size(); ++i) lines.emplace_back(ring[i], ring[(i + 1) % ring.size()]);
      // Registration marks on the seams, a crosshair a corner: neighbours' crosses fall on one another.
      for (double x : {x0 + template_overlap / 2, x0 + page.cell_width() - template_overlap / 2})
        for (double y : {y0 + template_overlap / 2, y0 + page.cell_height() - template_overlap / 2}) {
          const Point c = to({x, y});
          sheet.line({c.x - 9, c.y}, {c.x + 9, c.y}, 0.4, "class=\"register\"");
          sheet.line({c.x, c.y - 9}, {c.x, c.y + 9}, 0.4, "class=\"register\"");
          sheet.reserve({c.x - 9, c.y - 9, c.x + 9, c.y + 9});
        }
      // Inward of the slope lies the template.
      Point centre{0, 0};
      for (Point p : ring)
        centre.x += p.x / static_cast<double>(ring.size()),
            centre.y += p.y / static_cast<double>(ring.size());
      const Point a = to(corner), b = to(tip);
      const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
      Point inward{-dy / length * 16, dx / length * 16};
      if (detail::cross(a, b, centre) < 0) inward = {-inward.x, -inward.y};
      tell(sheet, lines, a, b, inward, cell, {"mark along this edge", "mark here"});
      const Point f = to(fence_end);
      const double fx = f.x - a.x, fy = f.y - a.y, flength = std::hypot(fx, fy);
      Point down{-fy / flength * 20, fx / flength * 20};
      if (detail::cross(a, f, centre) * detail::cross(a, f, {a.x + down.x, a.y + down.y}) > 0)
        down = {-down.x, -down.y};
      tell(sheet, lines, a, f, down, cell, {"fence: under the board's lower edge", "fence"});
      tell(sheet, lines, a, f, {-down.x, -down.y}, cell,
           {"the board's lower edge on the dashed line", "board's lower edge: dashed"});
      for (const auto& [at, words] : {std::pair<Point, const char*>{a, "long point"}, {b, "short point"}}) {
        if (at.x < cell.x0 || at.x > cell.x1 || at.y < cell.y0 || at.y > cell.y1) continue;
        sheet.dot(at, 2, true);
        bool told = false;
        for (double x : {7.0, -7.0})
          for (double y : {-6.0, 10.0, 2.5, -14.0, 18.0}) {
            const Point p{at.x + x, at.y + y};
            const Area box_of = detail::text_area(p, 8, x > 0 ? Anchor::start : Anchor::end, words);
            const bool clear = in_cell(box_of, cell) && !crossed(lines, box_of);
            if (!told && clear) told = sheet.try_text(p, 8, x > 0 ? Anchor::start : Anchor::end, words);
          }
      }
      const double left = cell.x0 + 6, y_ruler = cell.y1 + 24;
      for (int i = 0; i <= static_cast<int>(ruler_inches) * 16; ++i) {
        const double x = left + i * 4.5;
        const double tall = i % 16 == 0 ? 12 : i % 8 == 0 ? 9 : i % 4 == 0 ? 7 : i % 2 == 0 ? 5 : 3;
        sheet.line({x, y_ruler}, {x, y_ruler - tall}, i % 16 == 0 ? 0.6 : 0.3,
                   i % 96 == 0 ? detail::format("class=\"ruler-{}\"", i / 16) : "");
        if (i % 16 == 0) sheet.text({x, y_ruler + 8.5}, 7, Anchor::middle, std::to_string(i / 16));
      }
      sheet.line({left, y_ruler}, {left + ruler_inches * 72, y_ruler}, 0.6);
      sheet.text({left, y_ruler + 18}, 7.5, Anchor::start,
                 detail::format(
                     "Rake template, {}. Page {} of {}: row {} from below, column {} from the left. Lay the "
                     "crosses on one another.",
                     slope, number, count, row + 1, column + 1));
      sheet.text(
          {left, y_ruler + 27}, 7.5, Anchor::start,
          "Check the print: 0 to 6 must measure 6 in. Print at actual size, never fitted to the page.");
      sheet.text({left, y_ruler + 35.5}, 7.5, Anchor::start,
                 detail::format("The fence lies under the board. Framing square: {} on the blade, {} on the "
                                "tongue. Make it from {} x {} in.",
                                format_length(shape.square.x, square_mark),
                                format_length(shape.square.y, square_mark), sixteenths_up(shape.stock_length),
                                sixteenths_up(shape.stock_width)));
      out.push_back(sheet.document());
    }
  return out;
}

}  // namespace v0
}  // namespace lapwright
