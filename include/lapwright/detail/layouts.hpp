#pragma once
/// \file detail/layouts.hpp  Every way a run can be jointed: studs, places in their windows, and the rules
/// that each way breaks.
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/framing.hpp>
#include <lapwright/runs.hpp>

namespace lapwright {
inline namespace v0 {
struct Joints;

namespace detail {

/// The rules of joints that may be relaxed, in the order in which they are.
enum JointRule : unsigned {
  rule_whole_middle = 1u << 0,  ///< a board between two joints is whole
  rule_repeat = 1u << 1,
  rule_min_piece = 1u << 2,
  rule_stagger = 1u << 3,
  rule_factory_end = 1u << 4,  ///< other ends at joints are factory ends: every board has two, so it holds
  rule_window = 1u << 5,
  rule_limits = 1u << 6,  ///< even the least that the relaxed rules leave; the finding says so
};

struct LayoutJoint {
  std::size_t stud = 0;  ///< index into the wall's studs
  double centre = 0;     ///< in; of the stud
  double x = 0;          ///< in; middle of the gap
  bool left_factory = true;
  bool right_factory = true;
};
struct LayoutPiece {
  double x_min = 0;  ///< in; of the blank
  double x_max = 0;
  bool left_factory = false;
  bool right_factory = false;
};

/// One way to joint a run. No joints: the run is one piece.
struct Layout {
  std::vector<LayoutJoint> joints;
  std::vector<LayoutPiece> pieces;  ///< left to right, one more than joints
  unsigned broken = 0;              ///< JointRule bits that it breaks by itself (never repeat or stagger)
  int cut_middles = 0;              ///< boards between two joints that are not whole
  double short_by = 0;              ///< in; sum of what its pieces lack of min_piece
  double off_centre = 0;            ///< in; sum of what its joints lie outside the window
  int low_ends = 0;                 ///< joints under a slope where less than min_leg of the board is left
};

/// How far the rules are relaxed that concern one run alone.
struct LayoutLimits {
  bool cut_middles = false;
  double min_piece = 0;     ///< in
  double window = 0;        ///< in
  bool split_ends = false;  ///< a joint may cross a run where its section is in several pieces
};
LayoutLimits strict_limits(const Rules& rules);
/// With the rules in `broken` (JointRule bits) relaxed as far as they may be, or, with rule_limits among
/// them, as far as can be built at all.
LayoutLimits relaxed_limits(const Wall& wall, const Rules& rules, unsigned broken);

struct RunLayouts {
  std::vector<Layout> layouts;  ///< by cut middles, then pieces, then studs from the left: a total order
  bool complete = true;         ///< false where the limit, or the extra pieces, cut the list short
  bool minimal = true;          ///< no layout is missing but such as have a joint that could be left out
};

/// One bay of studs, for rules that are relaxed down to it.
double stud_bay(const Framing& framing);
double longest_board(const Rules& rules);

/// Lists layouts of the runs of one wall. Holds references: region, pole and rules must live as long.
class LayoutLister {
public:
  LayoutLister(const Wall& wall, const Region& region, const Pole& pole, const Rules& rules);

  const std::vector<Stud>& studs() const { return studs_; }

  /// Stretches of x (open, merged, ascending) where a grown opening reaches into the course band within
  /// min_leg: no joint there, fillers apart, which are legs themselves.
  const std::vector<Interval>& legs(int course) const;

  /// All layouts of a run within the limits, fewest cut middles first, then fewest pieces; each set of studs
  /// once, at the x's nearest to the centres. Every x in the windows that a whole board, or the grid, allows
  /// is considered, so that a set of studs is missing only where no x would do.
  /// \param most  how many layouts at most
  /// \param extra_pieces  how many pieces more than the fewest at most
  RunLayouts list(const Run& run, const LayoutLimits& limits, std::size_t most,
                  int extra_pieces = 1 << 20) const;

  /// Runs with equal keys have the same layouts under the same limits.
  std::vector<double> key(const Run& run) const;

private:
  std::vector<Interval> places(const Run& run, std::size_t stud, const LayoutLimits& limits) const;

  const Region& region_;
  const Pole& pole_;
  const Rules& rules_;
  std::vector<Stud> studs_;
  double longest_ = 0;
  mutable std::vector<std::vector<Interval>> legs_;  // by course, filled when asked for
  mutable std::vector<char> has_legs_;
};

/// The first form, for a caller with one run.
RunLayouts enumerate_layouts(const Wall& wall, const Region& region, const Run& run, const Pole& pole,
                             const Rules& rules, const LayoutLimits& limits, std::size_t most);

/// True where the joints of two runs of one wall, in courses that far apart, keep both rules.
bool layouts_agree(const Layout& a, const Layout& b, int courses_apart, double stagger, int repeat_after);

/// Joints of the chosen layout of each run (null: no joints), and a finding at each place where they break a
/// rule. The one home of joints' findings.
Joints joints_from_layouts(const Wall& wall, const Region& region, const Runs& runs, const Pole& pole,
                           const Rules& rules, const std::vector<const Layout*>& chosen);

/// \throws Refused for rules of joints and boards that are none, and for runs of no course.
void check_joint_rules(const Runs& runs, const Pole& pole, const Rules& rules);

/// What choose_layouts decided.
struct ChosenLayouts {
  std::vector<Layout> layouts;  ///< one for each run; without joints where the run fits a board
  unsigned broken = 0;          ///< JointRule bits that had to be relaxed somewhere
  int unproven = 0;  ///< times that a rule was relaxed although not every choice that keeps it was tried
};
/// The choice of place_joints: fewest rules relaxed, in their order; then fewest pieces; then best stagger.
/// \throws Refused naming each run that no joint on framing, clear of legs, can divide.
ChosenLayouts choose_layouts(const Wall& wall, const Region& region, const Runs& runs, const Pole& pole,
                             const Rules& rules);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/layouts.ipp>
#endif
