#pragma once
/// \file drawing.hpp  Plans as SVG text. Needs the compiled library (lapwright::lapwright).
///
/// Black and white, lines and hatching; fonts generic; deterministic. A drawing is a whole SVG document whose
/// width and height are inches of paper and whose user unit is a point (1/72 in). On elevations every piece,
/// joint, nail and starter carries an id, so that a host can find it: a piece's is its own, its nails'
/// PIECE-n1 and so on, joints' WALL-j1 and so on, starters' their own.
#include <cstddef>
#include <string>
#include <vector>

#include <lapwright/lap.hpp>
#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

struct ElevationOptions {
  bool studs = false;         ///< draw stud centre lines
  bool nails = false;         ///< draw every nail
  double paper_width = 10.0;  ///< in; of the drawing on paper
  double paper_height = 7.2;  ///< in; the wall is scaled to fit. 10 x 7.2 fits Letter and A4 turned
  bool turn = true;           ///< turn the paper where the wall comes out larger on it
  std::size_t sheet = 0;      ///< 0: the whole wall; 1 and on: its parts, see elevation_sheets
};

/// One wall as it will stand, each course lapping over the one below: outline, trim, openings, courses,
/// joints, piece ids, fillers, starters, running dimensions in the pole's divisions, a legend of what occurs.
/// A piece too small for its id has it beside the wall or in an opening, on a leader, or a letter that the
/// key explains.
/// \param wall  index into job.walls and plan.walls. \throws Refused for an index or a sheet that is none.
std::string draw_elevation(const Job& job, const Plan& plan, std::size_t wall,
                           const ElevationOptions& options = {});

/// Sheets of one wall's elevation: 1, or, where its courses would be drawn too low for letters, 1 and those
/// of its parts. The whole wall then carries the elements' ids, and shows its parts; the parts carry the
/// pieces' ids to read. \throws Refused for an index that is none.
std::size_t elevation_sheets(const Job& job, const Plan& plan, std::size_t wall,
                             const ElevationOptions& options = {});

/// The story pole to scale: every line with its running height, where each gauge setting begins and ends,
/// every mark of every wall beside it with the strip it leaves. 7.5 in x 9.9 in. Walls that find no room on
/// the first sheet go on another with the same pole. \throws Refused for a sheet that is none of
/// `pole_sheets`.
std::string draw_pole(const Job& job, const Plan& plan, std::size_t sheet = 0);
std::size_t pole_sheets(const Job& job, const Plan& plan);

/// The cut card of one piece: where it goes and which board it comes from, face up and back up side by side,
/// cuts numbered in the order they are made and told in words, tool, factory ends, edges to seal, long and
/// short points. Heights are drawn larger than lengths. 7.5 in wide. \throws Refused for indices that are
/// none.
std::string draw_piece(const Job& job, const Plan& plan, std::size_t wall, std::size_t piece);

/// One board: what is cut from it, in sequence, with what is left, and what must wait on the stack until
/// pieces that hang before it are cut. 7.5 in wide. \throws Refused for an index that is none.
std::string draw_board(const Job& job, const Plan& plan, std::size_t board);

enum class Paper {
  letter,
  a4,
  either  ///< 7.25 in x 9.9 in, no margins: for a page that is printed on Letter or A4 with its own
};

/// A rake template 1:1 on pages with registration marks, and a ruler on each to check the print by. One SVG a
/// page, row by row from the lower left, those that would be empty left out; pages overlap by
/// `template_overlap`. The template lies turned a quarter where that takes fewer pages.
inline constexpr double template_overlap = 0.5;  ///< in
std::vector<std::string> draw_rake_template(const RakeTemplate& shape, Paper paper = Paper::letter);

/// The lean of a lapped board in section, 1:2, with starter, trim and nail.
std::string draw_lap(const Rules& rules, double exposure);

}  // namespace v0
}  // namespace lapwright
