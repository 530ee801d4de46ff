
#include <algorithm>
#include <string>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Sheet;

constexpr double sheet_width = 7.5 * 72, side = 12, top = 24, board_height = 36;

}  // namespace

namespace detail {

std::string draw_board(const Job& job, const Plan& plan, const Orders& orders, std::size_t index) {
  const Board& board = plan.boards[index];
  const Rules& rules = job.rules;
  const double width = rules.board.width;
  Sheet sheet(sheet_width, 200, detail::format("Board {}", board.id), detail::format("board-{}", board.id),
              detail::format("Board {}: {} things cut from it, in sequence.", board.id, board.cut.size()));
  sheet.text({side, 15}, 11, Anchor::start, detail::format("Board {}", board.id), "font-weight=\"bold\"");
  sheet.text({sheet_width - side, 15}, 9, Anchor::end,
             feet_words(rules, board.length) + (board.on_hand >= 0 ? ", an offcut on hand" : ", stock"));
  const double scale_x = (sheet_width - 2 * side) / std::max(board.length, 1e-3),
               scale_y = board_height / width;
  const auto to = [&](Point p) { return Point{side + p.x * scale_x, top + board_height - p.y * scale_y}; };
  const auto box = [&](Point at, Point size) {
    return Ring{to(at), to({at.x + size.x, at.y}), to({at.x + size.x, at.y + size.y}),
                to({at.x, at.y + size.y})};
  };
  sheet.shape({box({0, 0}, {board.length, width})}, 1.1, sheet.dots());
  for (const Offcut& offcut : board.offcuts)
    sheet.shape({box(offcut.at, offcut.size)}, 0.5, sheet.hatch(), "stroke-dasharray=\"4 2\"");

  std::vector<std::string> words;
  std::vector<std::vector<Ring>> shapes;
  for (const Placement& p : board.cut) {
    std::vector<Ring> rings;
    const auto found = orders.find.find(p.piece);
    if (found != orders.find.end()) {
      const Origin& origin = orders.pieces[found->second];
      const Piece& piece = plan.walls[origin.wall].pieces[origin.piece];
      const auto placed = [&](Point q) {
        const double x = q.x - piece.x_min, y = q.y - piece.y;
        return p.turned ? to({p.at.x + piece.length - x, p.at.y + width - y}) : to({p.at.x + x, p.at.y + y});
      };
      rings.emplace_back();
      for (Point q : piece.outline) rings.back().push_back(placed(q));
      for (const Ring& hole : piece.holes) {
        rings.emplace_back();
        for (Point q : hole) rings.back().push_back(placed(q));
      }
    } else {
      rings.push_back(box(p.at, p.size));
    }
    if (rings.front().empty()) rings.front() = box(p.at, {0, 0});
    sheet.shape(rings, 0.9, "white");
    words.push_back(placement_words(job, plan, orders, index, p));
    shapes.push_back(std::move(rings));
  }
  // Its number and name inside it, else its number, else that below the board on a leader.
  double y = top + board_height + 12;
  bool below = false;
  for (std::size_t n = 0; n < shapes.size(); ++n) {
    const Box b = bounds(shapes[n].front());
    const std::string mark = std::to_string(n + 1);
    const Placement& p = board.cut[n];
    const std::string full = detail::format("{}  {}", mark, p.piece.empty() ? p.starter : p.piece);
    bool done = false;
    for (const std::string& label : {full, mark})
      for (double size : {8.0, least_letters})
        for (double across : {0.5, 0.25, 0.75})
          for (double up : {0.5, 0.25, 0.75}) {
            const Point at{b.x_min + across * (b.x_max - b.x_min),
                           b.y_min + up * (b.y_max - b.y_min) + 0.36 * size};
            Area area = text_area(at, size, Anchor::middle, label);
            area.y1 = at.y + 0.5;  // no figure reaches below its line
            const double clear = b.y_max - b.y_min > 12 ? 1.5 : 0;
            area = {area.x0 - clear, area.y0 - clear, area.x1 + clear, area.y1 + clear};
            if (!done && inside(shapes[n], area)) done = sheet.try_text(at, size, Anchor::middle, label);
          }
    const Point middle{(b.x_min + b.x_max) / 2, (b.y_min + b.y_max) / 2};
    for (double off = 0; off < sheet_width && !done; off += 6)
      for (double x : {middle.x + off, middle.x - off}) {
        if (done || x < side || x > sheet_width - side) continue;
        const Point from{x, top + board_height + 3.5};
        if (!sheet.is_clear(from, middle)) continue;
        done = sheet.try_text({x, top + board_height + 9}, 6.5, Anchor::middle, mark, "class=\"leader\"");
        if (!done) continue;
        sheet.line(middle, from, 0.35);
        sheet.dot(middle, 0.9, true);
        below = true;
      }
  }
  if (below) y += 9;
  for (std::size_t n = 0; n < words.size(); ++n)
    y = sheet.paragraph({side, y}, 7.5, sheet_width - 2 * side, detail::format("{}. {}", n + 1, words[n]));
  for (const Offcut& offcut : board.offcuts)
    y = sheet.paragraph({side, y}, 7.5, sheet_width - 2 * side, keep_words(rules, offcut) + " (hatched)");
  sheet.set_height(y - 4);
  return sheet.document();
}

}  // namespace detail

std::string draw_board(const Job& job, const Plan& plan, std::size_t index) {
  if (index >= plan.boards.size())
    throw Refused("board", detail::format("board {} is none of the plan's {}", index, plan.boards.size()));
  return detail::draw_board(job, plan, detail::reconcile(plan), index);
}

}  // namespace v0
}  // namespace lapwright
