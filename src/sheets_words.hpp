#pragma once
// Words that text, CSV and HTML sheets share.
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

// Lengths to the nearest division, as the crew's tape reads them.
std::string length_number(const Rules& rules, double inches);  ///< 62 3/8, 1584: the number alone
std::string length_words(const Rules& rules, double inches);   ///< 62 3/8 in, 1584 mm
std::string feet_words(const Rules& rules, double inches);     ///< 5' 2 3/8", 1584 mm
bool is_metric(const Rules& rules);                            ///< its division is one of a metric tape
std::string_view unit_words(const Rules& rules);               ///< in, mm
/// Long runs of edge, joint or way: whole feet, or metres to the tenth.
std::string run_number(const Rules& rules, double inches);
std::string_view run_unit(const Rules& rules);  ///< ft, m
/// Decimals for a spreadsheet, in the unit above: 62.375, 1584.3.
std::string length_decimal(const Rules& rules, double inches);
std::string_view kind_words(CutKind kind);
std::string_view tool_words(Tool tool);
std::string_view place_words(StarterPlace place);
std::string_view meets_words(Meets meets);
std::string end_words(const PieceEnd& end);  ///< "corner, cut and seal"

/// The piece's length as it is cut, with its unit.
std::string cut_length(const Rules& rules, const Piece& piece);

/// Where one piece of a plan comes from, and when it goes up.
struct Origin {
  std::size_t wall = 0;
  std::size_t piece = 0;
  std::size_t board = npos;  ///< index into Plan::boards; npos: of none
  std::size_t place = 0;     ///< index into Board::cut
  std::size_t ready = npos;  ///< the board after which it can be hung, everything before it being cut too
};
/// The cutting order (boards one after the other) reconciled with the hanging order (walls one after the
/// other, each from the bottom course up, left to right, fillers last).
struct Orders {
  std::vector<Origin> pieces;                  ///< in hanging order
  std::map<std::string, std::size_t> find;     ///< id: index into `pieces`
  std::vector<std::size_t> waiting;            ///< after each board: pieces on the stack
  std::vector<std::vector<std::size_t>> hung;  ///< after each board: indices into `pieces` that go up
  std::size_t most = 0;                        ///< on the stack at once
  std::size_t most_after = npos;               ///< the first board after which that is
};
Orders reconcile(const Plan& plan);

/// draw_piece and draw_board for who has the orders already.
std::string draw_piece(const Job& job, const Plan& plan, const Orders& orders, std::size_t wall,
                       std::size_t piece);
std::string draw_board(const Job& job, const Plan& plan, const Orders& orders, std::size_t board);

/// One lift of one wall, with its share of the edge work.
struct LiftRow {
  const Lift* lift = nullptr;
  double prime_inches = 0;
  double sealant_inches = 0;
};
std::vector<LiftRow> lift_rows(const Plan& plan);

/// Pieces named in few words: "south-03-1 to 4, south-04-1".
std::string piece_ranges(const std::vector<std::string>& ids);

/// Findings by code, warnings first, the most frequent first.
struct FindingCount {
  std::string code;
  Severity severity = Severity::note;
  int count = 0;
  const Finding* first = nullptr;
};
std::vector<FindingCount> count_findings(const std::vector<Finding>& findings);

/// "south, course 4, south-04-2": where a finding is.
std::string where_words(const Finding& finding);

/// What to buy, a line each: what, how many, unit, how it comes about.
struct OrderRow {
  std::string what;
  std::string amount;
  std::string unit;
  std::string note;
};
std::vector<OrderRow> order_rows(const Job& job, const Plan& plan);

/// What is cut next from a board, without its place in the sequence.
std::string placement_words(const Job& job, const Plan& plan, const Orders& orders, std::size_t board,
                            const Placement& placement);
/// Where that sheet says that a piece waits: "until board 12", or nothing.
std::string wait_words(const Plan& plan, const Orders& orders, std::size_t board, const Placement& placement);
/// What goes up once a board is cut: "south-03-1 to 4", or nothing.
std::string hung_words(const Plan& plan, const Orders& orders, std::size_t board);
std::string keep_words(const Rules& rules, const Offcut& offcut);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
