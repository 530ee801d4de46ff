#pragma once
/// \file search.hpp  Joints and boards settled together, with a proof of how few boards could do.
#include <cstdint>
#include <string>
#include <vector>

#include <lapwright/boards.hpp>
#include <lapwright/joints.hpp>

namespace lapwright {
inline namespace v0 {

/// One wall as the search sees it. Pointers are borrowed for the call.
struct SearchWall {
  const Wall* wall = nullptr;
  const Region* region = nullptr;
  const WallCourses* courses = nullptr;
  const Runs* runs = nullptr;
};

/// What the search has so far; the caller may stop it, and gets the best found.
struct SearchProgress {
  std::int64_t steps = 0;
  double cost = 0;
  double bound = 0;
};
using SearchCallback = bool (*)(const SearchProgress& progress, void* context);  ///< false: stop

/// One line of a certificate: an integer price of a kind of piece.
struct CertificatePrice {
  std::string kind;         ///< what is priced, in words that a checker can rebuild from the plan
  std::int64_t length = 0;  ///< in the certificate's unit
  int factory_ends = 0;     ///< 0, 1 or 2
  std::int64_t price = 0;
  std::int64_t loose = 0;  ///< what of its length loose things may fill; below 0 where they may fill less
  int open = 0;            ///< bit l: an odd number of its ends is open through layer l; 4: with any
};
/// Runs of one wall, one above the other in consecutive courses, whose joints are bounded together.
struct CertificateStack {
  std::string wall;
  int course = 0;            ///< of the lowest
  std::vector<double> left;  ///< left end of each run, from the lowest up, in
  int memory = 1;            ///< how many courses back joints are held against each other
};
/// Integer prices from which the bound follows by two small dynamic programmes, in integers alone; see
/// certificate.hpp.
struct Certificate {
  std::int64_t units_per_inch = 0;
  std::vector<CertificatePrice> prices;
  std::int64_t board_value = 0;  ///< greatest value of what one board can give, at these prices
  double bound = 0;
  std::int64_t price_scale = 0;     ///< units of price in the least price of a stock length
  std::int64_t loose = 0;           ///< price of one unit of length that may be cut to any lengths (starters)
  double share_threshold = 0;       ///< in; how low pieces share a board's height (detail/house_model.hpp)
  double row_threshold = 0;         ///< in; the same, of what is not loose; below 0: no such rows
  std::vector<double> open_layers;  ///< in; from, to of each layer of open ends
  std::vector<CertificateStack> stacks;  ///< the rest of the runs are bounded one by one
};

struct Settled {
  std::vector<Joints> joints;  ///< one for each wall
  Packing packing;
  double proven_minimum = 0;  ///< no choice of joints and boards under the same rules costs less
  Certificate certificate;
  std::int64_t steps = 0;
};

/// Settles joints and boards of the whole house. Deterministic: effort in steps, never seconds.
Settled settle_boards(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules,
                      SearchCallback callback = nullptr, void* context = nullptr);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/search.ipp>
#endif
