#pragma once
/// \file detail/validity.hpp  Is a ring simple, does an opening lie in its wall, do two openings overlap:
/// what check_job asks. Rings in either direction, a repeated last point allowed.
#include <string>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Why a ring is no simple polygon, in a few words that end a sentence ("edge 2 crosses edge 5"); empty where
/// it is one. Decided exactly on the coordinate grid, without tolerance. O(n log n) and, for each edge, the
/// edges that stand beside it.
std::string why_not_simple(const Ring& ring);

/// No part of `opening` lies outside `outline` by more than `tolerance`; it may touch from inside. Both
/// simple. O(n m), with quick answers for a box inside a box-like neighbourhood.
bool lies_inside(const Ring& opening, const Ring& outline);

/// The insides of two simple rings meet by more than `tolerance`; touching is no overlap. O(n m), boxes
/// first.
bool insides_overlap(const Ring& a, const Ring& b);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/validity.ipp>
#endif
