#pragma once
/// \file detail/validity.hpp  Is a ring simple, does an opening lie in its wall, do two openings overlap:
/// what check_job asks. The one body (validity.ipp) that instantiates Boost.Geometry's algorithms; src/
/// compiles it once. Rings in either direction, a repeated last point allowed.
#include <string>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Why a ring is no simple polygon, in a few words that end a sentence ("edge 2 crosses edge 5"); empty where
/// it is one. A rectangle or triangle is told at once; otherwise O(n log n).
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
