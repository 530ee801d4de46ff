
#include <algorithm>
#include <cmath>
#include <string>
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

constexpr double card_width = 7.5 * 72, gutter = 28, face_width = (card_width - gutter) / 2 - 24;
constexpr double face_height = 64, top = 58;

// One face of the piece: `back` mirrors it.
struct Face {
  const Piece& piece;
  double x0, y0;  // paper, lower left of the blank
  double scale_x, scale_y;
  bool back;
  Point to(Point p) const {  // blank inches, face up
    return {x0 + (back ? piece.length - p.x : p.x) * scale_x, y0 - p.y * scale_y};
  }
};

Point middle_of(const std::vector<Point>& path) {
  double total = 0;
  for (std::size_t i = 1; i < path.size(); ++i) total += detail::distance(path[i - 1], path[i]);
  double left = total / 2;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const double d = detail::distance(path[i - 1], path[i]);
    if (d >= left && d > 0) {
      const double f = left / d;
      return {path[i - 1].x + f * (path[i].x - path[i - 1].x),
              path[i - 1].y + f * (path[i].y - path[i - 1].y)};
    }
    left -= d;
  }
  return path.empty() ? Point{} : path.front();
}

void draw_face(Sheet& sheet, const Face& face, double board_width, double visible) {
  const Piece& piece = face.piece;
  const auto local = [&](Point p) { return Point{p.x - piece.x_min, p.y - piece.y}; };
  const Point a = face.to({0, 0}), b = face.to({piece.length, board_width});
  const double x_low = std::min(a.x, b.x), x_high = std::max(a.x, b.x);
  // The blank, dashed; what is kept, solid; what comes off is hatched.
  std::vector<Ring> kept(1);
  for (Point p : piece.outline) kept[0].push_back(face.to(local(p)));
  for (const Ring& hole : piece.holes) {
    kept.emplace_back();
    for (Point p : hole) kept.back().push_back(face.to(local(p)));
  }
  std::vector<Ring> waste = kept;
  waste.push_back({{x_low, a.y}, {x_high, a.y}, {x_high, b.y}, {x_low, b.y}});
  sheet.shape(waste, 0.4, sheet.hatch(), "stroke-dasharray=\"3 2\"");
  sheet.shape(kept, 1, "white");
  // What the next course hides.
  if (visible > 0 && visible < board_width) {
    const Point l = face.to({0, visible}), r = face.to({piece.length, visible});
    sheet.line(l, r, 0.3, "stroke-dasharray=\"1.5 2.5\"");
  }
  // Factory ends: a double line.
  const auto factory = [&](double x, double inward) {
    const Point p = face.to({x, 0}), q = face.to({x, board_width});
    const double d = (face.back ? -1 : 1) * inward * 3;
    sheet.line(p, q, 1.6);
    sheet.line({p.x + d, p.y}, {q.x + d, q.y}, 0.6);
  };
  if (piece.left.factory) factory(0, 1);
  if (piece.right.factory) factory(piece.length, -1);
  int number = 0;
  for (const Cut& cut : piece.cuts) {
    ++number;
    std::vector<Point> path;
    for (Point p : cut.front) path.push_back(face.to(p));
    sheet.path(path, 2);
    if (cut.seal) sheet.path(path, 3.6, "stroke-dasharray=\"0.8 2.4\"");
    // Its number in a ring beside it, where it touches no other.
    const Point m = middle_of(path);
    static constexpr double off_x[] = {0,   9, -9, 0,  0,   9,  -9,  9,  -9, 18,
                                       -18, 0, 0,  27, -27, 18, -18, 18, -18};
    static constexpr double off_y[] = {0, 0, 0, -9, 9, -9, -9, 9, 9, 0, 0, 18, -18, 0, 0, 14, 14, -14, -14};
    for (std::size_t i = 0; i < sizeof off_x / sizeof *off_x; ++i) {
      const Point c{m.x + off_x[i], m.y + off_y[i]};
      const detail::Area ring{c.x - 5, c.y - 5, c.x + 5, c.y + 5};
      if (!sheet.is_free(ring)) continue;
      sheet.group("fill=\"white\"");
      sheet.shape({{{c.x - 4, c.y - 4.5}, {c.x + 4, c.y - 4.5}, {c.x + 4, c.y + 4.5}, {c.x - 4, c.y + 4.5}}},
                  0.5, "white");
      sheet.end_group();
      sheet.text({c.x, c.y + 2.3}, 6.5, Anchor::middle, std::to_string(number));
      sheet.reserve(ring);
      break;
    }
  }
}

}  // namespace

std::string draw_piece(const Job& job, const Plan& plan, std::size_t wall, std::size_t index) {
  if (wall >= plan.walls.size())
    throw Refused("wall", detail::format("wall {} is none of the plan's {}", wall, plan.walls.size()));
  const std::vector<Piece>& pieces = plan.walls[wall].pieces;
  if (index >= pieces.size())
    throw Refused("piece", detail::format("piece {} is none of the wall's {}", index, pieces.size()));
  const Piece& piece = pieces[index];
  const double width = job.rules.board.width;
  const std::size_t k = static_cast<std::size_t>(piece.course);
  const bool last = piece.course >= plan.walls[wall].courses.last_course || k + 1 >= plan.pole.lines.size();
  const double visible = last ? -1 : plan.pole.lines[k + 1] - plan.pole.lines[k];

  Sheet sheet(card_width, 400, "Cut card " + piece.id, "card-" + piece.id);
  sheet.text({12, 18}, 13, Anchor::start, piece.id);
  sheet.text({card_width - 12, 18}, 13, Anchor::end, piece.callout);
  sheet.text({12, 31}, 8, Anchor::start, piece.filler ? "filler" : detail::format("course {}", piece.course));
  const double scale_x = face_width / std::max(piece.length, 1e-3), scale_y = face_height / width;
  const double y0 = top + face_height;
  const double left = 24, right = left + face_width + gutter + 24 - 24;
  sheet.text({left, top - 8}, 8, Anchor::start, "face up");
  sheet.text({right, top - 8}, 8, Anchor::start, "back up, as it lies in the shears");
  draw_face(sheet, Face{piece, left, y0, scale_x, scale_y, false}, width, visible);
  draw_face(sheet, Face{piece, right, y0, scale_x, scale_y, true}, width, visible);
  double y = y0 + 20;
  int number = 0;
  for (const Cut& cut : piece.cuts) {
    ++number;
    const std::string tool =
        std::string(cut.tool == Tool::shears ? "shears" : "saw") + (cut.seal ? ", seal" : "");
    const double column = face_width - 4;
    const double a =
        sheet.paragraph({left, y}, 7.5, column, detail::format("{}. {} ({})", number, cut.callout, tool));
    const double b =
        sheet.paragraph({right, y}, 7.5, column, detail::format("{}. {}", number, cut.back_callout));
    y = std::max(a, b) + 2;
  }
  if (piece.cuts.empty()) y = sheet.paragraph({left, y}, 7.5, face_width, "No cut: a whole board.") + 2;
  y = sheet.paragraph(
      {left, y + 2}, 7, card_width - 2 * left,
      detail::format(
          "On the wall: left {}; right {}. Double line: factory end. Beads: seal. Hatched: comes off. "
          "Heights are drawn {:.1f} times lengths.",
          detail::end_words(piece.left), detail::end_words(piece.right), scale_y / scale_x));
  sheet.set_height(y + 4);
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
