
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
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

constexpr double card_width = 7.5 * 72, side = 12, column = card_width / 2 - side - 8;
constexpr double face_x = 32, face_width = card_width / 2 - face_x - 22, face_height = 42, top = 46;
constexpr double small = 6.5;

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

// Long and short point of a slanted cut, told beside the blank at the ends of its path. Returns whether a
// word stands below the blank.
bool name_points(Sheet& sheet, const Face& face, const Cut& cut) {
  if (!cut.long_point || cut.front.size() < 2) return false;
  const Piece& piece = face.piece;
  const Point a = cut.front.front(), b = cut.front.back();
  const Point left = a.x < b.x ? a : b, right = a.x < b.x ? b : a;
  // The long point lies on the waste's side; which that is shows just beside the middle of the cut.
  const Point beside{piece.x_min + (a.x + b.x) / 2 - 0.02, piece.y + (a.y + b.y) / 2};
  const bool waste_right = detail::inside({piece.outline}, beside);
  bool below = false;
  const Point outer = waste_right ? right : left, inner = waste_right ? left : right;
  const double y_low = face.y0, y_high = face.y0 - face_height;
  for (const auto& [point, name] : {std::pair<Point, const char*>{outer, "long"}, {inner, "short"}}) {
    const Point at = face.to(point);
    constexpr double size = detail::least_letters;
    // Above or below the blank where the point lies on its long edge, else beside its end.
    if (at.y < y_high + 0.5)
      sheet.try_text({at.x, y_high - 3}, size, Anchor::middle, name);
    else if (at.y > y_low - 0.5)
      below = sheet.try_text({at.x, y_low + 8}, size, Anchor::middle, name) || below;
    else {
      const bool at_left = at.x < face.x0 + face_width / 2;
      for (double aside : {3.0, 7.5})
        if (sheet.try_text({at.x + (at_left ? -aside : aside), at.y + 2}, size,
                           at_left ? Anchor::end : Anchor::start, name))
          break;
    }
  }
  return below;
}

// What a face turned out to show.
struct Shown {
  bool waste = false;
  bool below = false;  // words right below the blank
};

Shown draw_face(Sheet& sheet, const Face& face, double board_width, double visible) {
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
  double area = std::fabs(detail::signed_area(kept.front()));
  for (std::size_t i = 1; i < kept.size(); ++i) area -= std::fabs(detail::signed_area(kept[i]));
  const bool waste = (x_high - x_low) * (a.y - b.y) - area > 0.01;
  if (waste) {
    std::vector<Ring> off = kept;
    off.push_back({{x_low, a.y}, {x_high, a.y}, {x_high, b.y}, {x_low, b.y}});
    sheet.shape(off, 0.4, sheet.hatch(), "stroke-dasharray=\"3 2\"");
  }
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
      sheet.shape({{{c.x - 4, c.y - 4.5}, {c.x + 4, c.y - 4.5}, {c.x + 4, c.y + 4.5}, {c.x - 4, c.y + 4.5}}},
                  0.5, "white");
      sheet.text({c.x, c.y + 2.3}, 6.5, Anchor::middle, std::to_string(number));
      sheet.reserve(ring);
      break;
    }
  }
  bool below = false;
  for (const Cut& cut : piece.cuts) below = name_points(sheet, face, cut) || below;
  // The end that callouts run from: an arrow inward along the lower edge.
  if (!piece.cuts.empty()) {
    const bool from_left = (piece.from == Hand::left) != face.back;
    const double x = from_left ? x_low : x_high, sign = from_left ? 1 : -1, y = face.y0 + (below ? 13 : 6);
    sheet.path({{x, y - 3}, {x, y + 3}}, 0.7);
    sheet.path({{x, y}, {x + sign * 22, y}}, 0.7);
    sheet.shape({{{x + sign * 27, y}, {x + sign * 21, y - 2.2}, {x + sign * 21, y + 2.2}}}, 0.3, "black");
    sheet.text({x + sign * 30, y + 2.3}, small, from_left ? Anchor::start : Anchor::end,
               "measure from this end");
  }
  return {waste, below};
}

}  // namespace

namespace detail {

std::string draw_piece(const Job& job, const Plan& plan, const Orders& orders, std::size_t wall,
                       std::size_t index) {
  const Piece& piece = plan.walls[wall].pieces[index];
  const double width = job.rules.board.width;
  const std::size_t k = static_cast<std::size_t>(std::max(0, piece.course));
  const bool last = piece.course >= plan.walls[wall].courses.last_course || k + 1 >= plan.pole.lines.size();
  const double visible = last ? -1 : plan.pole.lines[k + 1] - plan.pole.lines[k];

  Sheet sheet(card_width, 400, "Cut card " + piece.id, "card-" + piece.id,
              detail::format("Piece {}: {} long, {} {}.", piece.id, cut_length(job.rules, piece),
                             piece.cuts.size(), piece.cuts.size() == 1 ? "cut" : "cuts"));
  const double id_room = card_width - 2 * side - 1.15 * text_width(cut_length(job.rules, piece), 13) - 12;
  sheet.text({side, 16}, std::max(least_letters, std::min(13.0, id_room / (1.15 * text_width(piece.id, 1)))),
             Anchor::start, piece.id, "font-weight=\"bold\"");
  sheet.text({card_width - side, 16}, 13, Anchor::end, cut_length(job.rules, piece), "font-weight=\"bold\"");
  std::string about =
      detail::format("{}Course {}. Left end: {}; right end: {}.", piece.filler ? "Filler. " : "",
                     piece.course, end_words(piece.left), end_words(piece.right));
  const auto found = orders.find.find(piece.id);
  if (found != orders.find.end() && orders.pieces[found->second].board < plan.boards.size()) {
    const Origin& origin = orders.pieces[found->second];
    about += detail::format(" From board {}, number {}.", plan.boards[origin.board].id, origin.place + 1);
    if (origin.ready > origin.board)
      about += detail::format(" Waits for board {}.", plan.boards[origin.ready].id);
  }
  sheet.text({side, 26},
             std::max(least_letters, std::min(7.5, (card_width - 2 * side) / text_width(about, 1))),
             Anchor::start, about);
  const double scale_x = face_width / std::max(piece.length, 1e-3), scale_y = face_height / width;
  const double y0 = top + face_height, left = face_x, right = card_width - face_x - face_width;
  const double left_words = side, right_words = card_width / 2 + 8;
  sheet.text({left_words, top - 10.5}, small, Anchor::start, "FACE UP");
  sheet.text({right_words, top - 10.5}, small, Anchor::start, "BACK UP, as it lies in the shears");
  const Shown shown = draw_face(sheet, Face{piece, left, y0, scale_x, scale_y, false}, width, visible);
  draw_face(sheet, Face{piece, right, y0, scale_x, scale_y, true}, width, visible);
  double y = y0 + (shown.below ? 27 : 20);
  int number = 0;
  bool seals = false;
  for (const Cut& cut : piece.cuts) {
    ++number;
    seals = seals || cut.seal;
    std::string words = cut.print;
    if (words.empty())
      words = detail::format("{} ({}{})", cut.callout, tool_words(cut.tool), cut.seal ? ", seal" : "");
    const double a = sheet.paragraph({left_words, y}, 7.5, column, detail::format("{}. {}", number, words));
    const double b =
        sheet.paragraph({right_words, y}, 7.5, column, detail::format("{}. {}", number, cut.back_callout));
    y = std::max(a, b) + 1;
  }
  if (piece.cuts.empty())
    y = sheet.paragraph({left_words, y - 12}, 7.5, column, "No cut: a whole board.") + 1;
  // What the marks mean, those that occur on this card.
  std::string legend;
  if (piece.left.factory || piece.right.factory) legend += "Double line: factory end. ";
  if (seals) legend += "Beads: seal the cut. ";
  if (shown.waste) legend += "Hatched: comes off. ";
  if (visible > 0 && visible < width) legend += "Above the dotted line: hidden. ";
  legend += "Heights not to scale.";
  y = sheet.paragraph({left_words, y}, least_letters, card_width - 2 * side, legend);
  sheet.set_height(y);
  return sheet.document();
}

}  // namespace detail

std::string draw_piece(const Job& job, const Plan& plan, std::size_t wall, std::size_t index) {
  if (wall >= plan.walls.size())
    throw Refused("wall", detail::format("wall {} is none of the plan's {}", wall, plan.walls.size()));
  if (index >= plan.walls[wall].pieces.size())
    throw Refused("piece",
                  detail::format("piece {} is none of the wall's {}", index, plan.walls[wall].pieces.size()));
  return detail::draw_piece(job, plan, detail::reconcile(plan), wall, index);
}

}  // namespace v0
}  // namespace lapwright
