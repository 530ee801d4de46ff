#pragma once
/// \file detail/house_model.hpp  From walls to the whole numbers of house.hpp, never asking for more than any
/// real cutting needs.
///
/// Why the bound holds for cuttings in the plane. Take one board of length L and width W, and what is cut
/// from it, each thing moved or turned half round but no more, all of them kerf k apart. Let h(x) be the
/// height of a thing over x, and e(x) how many of the board's two long edges it lies on there. Stretch each
/// thing to the right by k: things still do not overlap, and now lie in L + k. Over each x the stretched
/// things together are no higher than W, and use no long edge twice. Let u be a share such that things that
/// may stand over one x never have shares of more than 1 in all. Then the integrals of the shares over all
/// things on one board are at most L + k, and a thing's is at least its own integral of u plus k times its
/// greatest share: that is its weight. A full board's height has share 1: such pieces weigh length + k, as in
/// the plain problem. Things lower than that weigh less, nested rakes no more than the mean of their ends.
/// An end that needs a factory end counts where its share is 1; two things cannot both stand there.
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/detail/house.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/search.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double house_units_on_board = 12000;  ///< units of weight at most, so that tables stay short

/// The share of a board's height that a thing takes over one x.
///   by edges (threshold t > 0): 1 above W - t; else one half where it lies on a long edge and is at least t
///   high; else 0. What is higher than W - t leaves no room for what is t high, and of the others that count
///   at most two lie on long edges. Where boards may not be turned, things on the lower edge of their blanks
///   all lie on one edge of the board, and count whole.
///   by area (t = 0): height / W.
struct HeightShare {
  double width = 0;      ///< in; of the board
  double threshold = 0;  ///< in
  bool turnable = true;
};

/// Integral of the share over a run, as a function of x, and its greatest values.
class ShareProfile {
public:
  ShareProfile(const Run& run, double line, const HeightShare& share);
  double integral(double low, double high) const;
  double greatest(double low, double high) const;
  bool fills(double low, double high) const;  ///< the share is 1 all over

private:
  struct Slab {
    double low = 0, high = 0;
    double share_low = 0, share_high = 0;  // linear in between
  };
  bool full_ = false;
  std::vector<Slab> slabs_;
};

/// How far the rules are relaxed in one course of a wall: as far as a plan's joints do.
struct CourseLimits {
  LayoutLimits limits;
  int cut_middles = 0;  ///< in one run
  double stagger = 0;   ///< in; against the course below
  int repeat_after = 1;
};
struct WallLimits {
  std::vector<CourseLimits> courses;  ///< by course of the pole
};
/// What one wall's chosen layouts relax, course by course.
WallLimits limits_of(const Wall& wall, const Runs& runs, const std::vector<Layout>& chosen, const Pole& pole,
                     const Rules& rules);

/// How much of what slanted ends can save, lying along others, they are taken to save where layouts are
/// chosen: nobody knows before they are laid, so several guesses are tried.
inline constexpr double nested_parts[] = {1.0, 0.5, 0.0};

/// One run's layouts, as listed and as modelled; layouts[i] of the model is listed[source[i]].
struct ModelRun {
  std::size_t wall = 0, run = 0;
  std::vector<Layout> listed;
  std::vector<std::size_t> source;
  std::size_t first = 0;  ///< of the model's: the layout that was chosen
};
struct HouseTranslation {
  HouseModel model;  ///< what is bounded
  /// The same runs and layouts with what their pieces take when they are cut; layouts are chosen from these.
  /// One for each of nested_parts.
  std::vector<HouseModel> as_cut;
  std::vector<ModelRun> runs;  ///< as model.runs
  HeightShare share;
  double per_inch = 16;  ///< units of weight in an inch
};
/// The model of all walls. `chosen`, by wall and run, are layouts that agree: they are always among the
/// runs'.
HouseTranslation translate_house(const std::vector<SearchWall>& walls,
                                 const std::vector<std::vector<Layout>>& chosen, const Pole& pole,
                                 const Rules& rules);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/house_model.ipp>
#endif
