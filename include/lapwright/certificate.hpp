#pragma once
/// \file certificate.hpp  A plan's proven minimum, checked apart from the search that found it.
#include <string>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// What a certificate proves of a job.
struct CertifiedBound {
  double bound = 0;   ///< no joints and boards under the plan's rules cost less, in the job's prices
  std::string fault;  ///< why its prices prove nothing, or less than they could; empty: none
};

/// What a plan's certificate proves, whoever made the plan: nothing of the search is called, and of the plan
/// no more is believed than its course lines and where its joints relax a rule.
///
/// Any prices prove a bound, good ones a high one. A piece is worth the price of the dearest kind that it
/// could be cut down to; a whole board its own price. One dynamic programme over a board's length gives the
/// most that a board can hold, `loose` for what no piece takes of it; another the least that the pieces of
/// each stack of courses are worth, over every way to joint them that keeps the rules, or of each run by
/// itself. So many boards, at least, as the one goes into the sum of the other, in whole numbers alone.
/// What must be cut whatever the joints proves a second bound by its area; the higher of the two is the
/// bound.
///
/// What a piece takes of a board is never above the truth: it is cut from its joints' places that suit it
/// best, and a low one takes the share of the board's height that detail/house_model.hpp argues for.
///
/// A few milliseconds for a house; O(courses x layouts^2) for each stack of it.
/// \throws Refused for a job that check_job would refuse, or a pole that is none.
CertifiedBound check_certificate(const Job& job, const Plan& plan);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/certificate.ipp>
#endif
