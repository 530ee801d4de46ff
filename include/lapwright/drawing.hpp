#pragma once
/// \file drawing.hpp  Plans as SVG text. Needs the compiled library (lapwright::lapwright).
///
/// Black and white, lines and hatching; fonts generic; deterministic. A drawing is a whole SVG document whose
/// width and height are in millimetres or inches of paper; pieces, joints and nails carry ids, so that a host
/// can find them.
#include <cstddef>
#include <string>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

struct ElevationOptions {
  bool studs = false;         ///< draw stud centre lines
  bool nails = false;         ///< draw every nail
  double paper_width = 10.0;  ///< in; of the drawing on paper
  double paper_height = 7.5;  ///< in; it is scaled to fit
};

/// One wall as it will stand: outline, openings, courses, joints, piece ids, fillers, starters, dimensions.
/// \param wall  index into job.walls and plan.walls. \throws Refused for an index that is none.
std::string draw_elevation(const Job& job, const Plan& plan, std::size_t wall,
                           const ElevationOptions& options = {});

}  // namespace v0
}  // namespace lapwright
