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
///
/// Closed notches. Between two stretches of a piece's full height nothing stands that is not wholly between
/// them. Only starters, and pieces that are short and low enough and need no factory end, may: those are
/// loose, they only count by their shares, against what is left of L + k by the shares of all. All other
/// things keep out of the closed notch, so that against each other it counts whole.
///
/// What is so high everywhere that no other piece of the house is low enough to lie above or below it counts
/// whole in the same way.
///
/// So there are two shares: one of all things, one of all that are not loose against each other. What is not
/// loose takes its weight by the second in a row; the rest that the first leaves of L + k, notches and low
/// stretches included, is room for loose things.
///
/// Open ends. The core of a piece lies between its outermost stretches of full height, and goes on as far as
/// its share is 1. Cores do not overlap. Let an end reach p beyond the core with share one half all along.
/// Between two cores that follow each other lie at least max(p, q) where ends of p and q face each other, and
/// (p + q) / 2 is what their weights count: |p - q| / 2 is wasted, and p / 2 at the board's own ends. Cut the
/// range of p into layers that each end reaches through or does not reach into: in each layer the wasted
/// halves are at least the layer's own half where an odd number of ends reaches through it. That holds for
/// boards whose things all have cores and such ends; one thing that has not may fill what would be wasted.
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
///   by edges (threshold t > 0): 1 above W - t - k; else one half where it lies on a long edge and is at
///   least t high; else 0. What is higher than W - t - k leaves no room for what is t high, a kerf away, and
///   of the others that count at most two lie on long edges. Where boards may not be turned, things on the
///   lower edge of their blanks all lie on one edge of the board, and count whole. t <= (W - k) / 2.
///   by area (t = 0): height / W.
struct HeightShare {
  double width = 0;      ///< in; of the board
  double threshold = 0;  ///< in
  double kerf = 0;       ///< in
  bool turnable = true;
};

/// Open ends that reach from one length to another, in inches beyond the core, or do not reach into it.
struct OpenLayer {
  double from = 0, to = 0;
};

/// A notch between two stretches of full height.
struct ClosedNotch {
  double width = 0;   ///< in
  double lowest = 0;  ///< in; height of what is left of the board, where it is least
};

/// What a stretch of a run takes in a row of pieces, in inches, kerf apart.
struct RowTaken {
  double length = 0;    ///< integral of the share, what is closed in taken whole
  double closed = 0;    ///< that much more than its integral
  double greatest = 0;  ///< share
  bool core = false;
  bool halves = true;                    ///< the ends beyond the core have share one half all along
  double left = 0, right = 0;            ///< how far the ends reach beyond the core
  std::vector<double> inner;             ///< the same, of ends beside parts without a share
  bool to_left = true, to_right = true;  ///< they reach the ends of the stretch
};

/// A run's height between two places.
struct HeightSlab {
  double low = 0, high = 0;                ///< in; along the run
  double height_low = 0, height_high = 0;  ///< in; linear in between
  bool lower = false, upper = false;       ///< it lies on the lower, on the upper long edge of its blank
  bool full = false;                       ///< it is as high as a board
};
/// By x. A run that is a plain board along its length is one slab.
std::vector<HeightSlab> height_slabs(const Run& run, double line, double width);

/// The share over a run, as a function of x.
class ShareProfile {
public:
  ShareProfile(const std::vector<HeightSlab>& slabs, const HeightShare& share);
  double integral(double low, double high) const;
  double greatest(double low, double high) const;
  bool fills(double low, double high) const;  ///< the share is 1 all over
  RowTaken taken(double low, double high) const;

private:
  struct Slab {
    double low = 0, high = 0;
    double share_low = 0, share_high = 0;  // linear in between
    bool full = false;                     // as high as a board
    bool some() const { return share_low > 0 || share_high > 0; }
    bool one() const { return share_low >= 1 && share_high >= 1; }
    bool half() const {
      return !(share_low > 0.5) && !(share_low < 0.5) && !(share_high > 0.5) && !(share_high < 0.5);
    }
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
  HouseModel model;   ///< what is bounded
  HouseModel shares;  ///< the same by shares alone, for another bound: it has fewer kinds of pieces to price
  /// The same runs and layouts with what their pieces take when they are cut; layouts are chosen from these.
  /// One for each of nested_parts.
  std::vector<HouseModel> as_cut;
  std::vector<ModelRun> runs;     ///< as model.runs
  HeightShare share;              ///< of all things against each other
  HeightShare row_share;          ///< of all that are not loose
  std::vector<OpenLayer> layers;  ///< model.layers in inches
  double per_inch = 16;           ///< units of weight in an inch
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
