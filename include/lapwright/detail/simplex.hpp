#pragma once
/// \file detail/simplex.hpp  A small linear programme, solved the same way on every machine.
#include <cstddef>
#include <cstdint>
#include <vector>

namespace lapwright {
inline namespace v0 {
namespace detail {

enum class RowSense { at_least, equal, at_most };
enum class SimplexStatus { optimal, infeasible, unbounded, stopped };

struct SimplexEntry {
  std::size_t row = 0;
  double value = 0;
};

/// Minimise cost x, rows of A x against their right sides, x >= 0, by the revised simplex method with a dense
/// inverse: meant for some hundreds of rows and columns that arrive as they are found. Rows and columns may
/// be added, costs and right sides changed, and solve() called again: it goes on from the last basis.
/// Fixed pivot rules and no fused operations: the same calls give the same bits everywhere.
/// Results are floating point; what must be proved is to be proved from the duals in integers.
class Simplex {
public:
  /// \param big  cost of leaving a row unmet; well above any true cost of meeting it by one
  explicit Simplex(double big) : big_(big) {}

  /// A row that no column so far has an entry in. Right side >= 0. \return its index
  std::size_t add_row(RowSense sense, double right);
  /// \param entries  each row at most once. \return the column's index
  std::size_t add_column(double cost, const std::vector<SimplexEntry>& entries);
  void set_cost(std::size_t column, double cost);
  void set_right(std::size_t row, double right);

  /// At most `pivots` steps. infeasible: some row stays unmet at `big`.
  SimplexStatus solve(std::int64_t pivots);

  std::size_t rows() const { return right_.size(); }
  std::size_t columns() const { return public_.size(); }
  double objective() const;                ///< without unmet rows
  double value(std::size_t column) const;  ///< of the last solve
  double dual(std::size_t row) const { return dual_[row]; }
  double reduced_cost(double cost, const std::vector<SimplexEntry>& entries) const;
  std::int64_t pivots() const { return pivots_; }

private:
  struct Column {
    double cost = 0;
    std::size_t first = 0, last = 0;  // in entries_
    std::ptrdiff_t place = -1;        // row of the basis, or -1
    bool helper = false;              // stands for an unmet row
    double reach = 1;                 // how far the basis moves with it, about, squared: long columns wait
  };
  std::size_t new_column(double cost, const std::vector<SimplexEntry>& entries, bool helper);
  double price_out(const Column& column) const;
  void column_of_basis(std::size_t column, std::vector<double>& out) const;
  void pivot(std::size_t row, std::size_t column, const std::vector<double>& alpha);
  void refactor();
  void reprice();
  double* inverse_row(std::size_t row) { return inverse_.data() + row * stride_; }
  const double* inverse_row(std::size_t row) const { return inverse_.data() + row * stride_; }
  SimplexStatus primal(std::int64_t& left);
  bool dual_phase(std::int64_t& left);

  double big_;
  std::vector<double> right_, nudge_;
  std::vector<RowSense> sense_;
  std::vector<Column> all_;
  std::vector<SimplexEntry> entries_;
  std::vector<std::size_t> public_;  // columns of add_column, in order
  std::vector<std::size_t> basis_;   // column of each row
  std::vector<double> inverse_;      // of the basis, by rows
  std::size_t stride_ = 0;
  std::vector<double> basic_;  // values of the basis, right sides nudged
  std::vector<double> dual_;
  std::vector<std::uint32_t> where_;  // scratch: places that are not zero
  std::int64_t pivots_ = 0;
  int since_refactor_ = 0;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/simplex.ipp>
#endif
