
#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Sheet;

constexpr double sheet_width = 7.5 * 72, side = 12, top = 30, board_height = 46;

const Piece* find_piece(const Plan& plan, std::string_view id) {
  for (const PlanWall& wall : plan.walls)
    for (const Piece& piece : wall.pieces)
      if (piece.id == id) return &piece;
  return nullptr;
}

}  // namespace

std::string draw_board(const Job& job, const Plan& plan, std::size_t index) {
  if (index >= plan.boards.size())
    throw Refused("board", detail::format("board {} is none of the plan's {}", index, plan.boards.size()));
  const Board& board = plan.boards[index];
  const double width = job.rules.board.width, division = job.rules.courses.division;
  Sheet sheet(sheet_width, 200, detail::format("Board {}", board.id), detail::format("board-{}", board.id));
  sheet.text({side, 16}, 11, Anchor::start, detail::format("Board {}", board.id));
  sheet.text({sheet_width - side, 16}, 9, Anchor::end,
             format_length(board.length, division, LengthStyle::feet_inches) +
                 (board.on_hand >= 0 ? ", on hand" : ""));
  const double scale_x = (sheet_width - 2 * side) / board.length, scale_y = board_height / width;
  const auto to = [&](Point p) { return Point{side + p.x * scale_x, top + board_height - p.y * scale_y}; };
  const auto box = [&](Point at, Point size) {
    return Ring{to(at), to({at.x + size.x, at.y}), to({at.x + size.x, at.y + size.y}),
                to({at.x, at.y + size.y})};
  };
  sheet.shape({box({0, 0}, {board.length, width})}, 1.1, sheet.dots());
  for (const Offcut& offcut : board.offcuts)
    sheet.shape({box(offcut.at, offcut.size)}, 0.5, sheet.hatch(), "stroke-dasharray=\"4 2\"");

  std::vector<std::string> words;
  int number = 0;
  for (const Placement& p : board.cut) {
    std::vector<Ring> rings;
    if (const Piece* piece = p.piece.empty() ? nullptr : find_piece(plan, p.piece)) {
      const auto placed = [&](Point q) {
        const double x = q.x - piece->x_min, y = q.y - piece->y;
        return p.turned ? to({p.at.x + piece->length - x, p.at.y + width - y}) : to({p.at.x + x, p.at.y + y});
      };
      rings.emplace_back();
      for (Point q : piece->outline) rings.back().push_back(placed(q));
      for (const Ring& hole : piece->holes) {
        rings.emplace_back();
        for (Point q : hole) rings.back().push_back(placed(q));
      }
    } else {
      rings.push_back(box(p.at, p.size));
    }
    sheet.shape(rings, 0.9, "white");
    ++number;
    words.push_back(detail::format("{}. {}", number, detail::placement_words(job, plan, p)));
    // Its number inside it, or beside it on a leader.
    const Box b = detail::bounds(rings.front());
    const Point middle{(b.x_min + b.x_max) / 2, (b.y_min + b.y_max) / 2};
    const std::string mark = std::to_string(number);
    bool done = b.x_max - b.x_min > detail::text_width(mark, 7) && b.y_max - b.y_min > 7 &&
                sheet.try_text({middle.x, middle.y + 2}, 7, Anchor::middle, mark);
    for (double off = 0; off < 200 && !done; off += 8)
      for (double x : {middle.x + off, middle.x - off}) {
        if (done || x < side || x > sheet_width - side) continue;
        done = sheet.try_text({x, top + board_height + 9}, 7, Anchor::middle, mark);
        if (done) sheet.line(middle, {x, top + board_height + 3}, 0.3);
      }
  }
  double y = top + board_height + 24;
  for (const std::string& row : words) y = sheet.paragraph({side, y}, 7.5, sheet_width - 2 * side, row);
  for (const Offcut& offcut : board.offcuts)
    y = sheet.paragraph(
        {side, y}, 7.5, sheet_width - 2 * side,
        detail::format("Keep {} x {}, from {} (hatched).", format_length(offcut.size.x, division),
                       format_length(offcut.size.y, division), format_length(offcut.at.x, division)));
  sheet.set_height(y + 2);
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
