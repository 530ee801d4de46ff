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
  double paper_height = 7.5;  ///< in; it is scaled to fit, a key may add to it
};

/// One wall as it will stand: outline, trim, openings, courses, joints, piece ids, fillers, starters, running
/// dimensions in the pole's divisions.
/// \param wall  index into job.walls and plan.walls. \throws Refused for an index that is none.
std::string draw_elevation(const Job& job, const Plan& plan, std::size_t wall,
                           const ElevationOptions& options = {});

/// The story pole to scale: every line with its running height and gauge setting, every mark of every wall
/// beside it with the strip it leaves.
std::string draw_pole(const Job& job, const Plan& plan);

/// The cut card of one piece: face up and back up side by side, cuts numbered in order, factory ends, edges
/// to seal. Heights are drawn larger than lengths. \throws Refused for indices that are none.
std::string draw_piece(const Job& job, const Plan& plan, std::size_t wall, std::size_t piece);

/// One board: what is cut from it, in sequence, with what is left. \throws Refused for an index that is none.
std::string draw_board(const Job& job, const Plan& plan, std::size_t board);

enum class Paper { letter, a4 };

/// A rake template 1:1 on pages with registration marks, and a ruler on each to check the print by. One SVG a
/// page, row by row from the lower left; pages overlap by `template_overlap`.
inline constexpr double template_overlap = 0.5;  ///< in
std::vector<std::string> draw_rake_template(const RakeTemplate& shape, Paper paper = Paper::letter);

/// The lean of a lapped board in section, 1:2, with starter, trim and nail.
std::string draw_lap(const Rules& rules, double exposure);

}  // namespace v0
}  // namespace lapwright
