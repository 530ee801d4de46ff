#pragma once
#include <algorithm>
#include <cmath>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/simplex.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double simplex_cost_eps = 1e-9;   // a reduced cost below this is worth a step
inline constexpr double simplex_pivot_eps = 1e-9;  // an entry above this may carry a pivot
inline constexpr double simplex_value_eps = 1e-9;  // a basic value below minus this is infeasible

LAPW_INLINE std::size_t Simplex::new_column(double cost, const std::vector<SimplexEntry>& entries,
                                            bool helper) {
  Column column;
  column.cost = cost;
  column.first = entries_.size();
  for (const SimplexEntry& e : entries)
    if (e.value < 0 || e.value > 0) entries_.push_back(e);
  column.last = entries_.size();
  column.helper = helper;
  all_.push_back(column);
  return all_.size() - 1;
}

LAPW_INLINE std::size_t Simplex::add_row(RowSense sense, double right) {
  const std::size_t row = right_.size();
  right_.push_back(right);
  sense_.push_back(sense);
  // Right sides are nudged apart so that no two basic values tie for long: degenerate steps cost most of the
  // time otherwise. The nudges are multiples of the golden ratio's fraction, never equal, and taken out of
  // every value that is read.
  const double golden = 0.6180339887498949 * static_cast<double>(row + 1);
  const double nudge = 1e-7 * (1 + golden - std::floor(golden));
  nudge_.push_back(sense == RowSense::at_least && !(right > 0) ? -nudge : nudge);

  if (row + 1 > stride_) {
    const std::size_t stride = std::max<std::size_t>(64, stride_ * 2);
    std::vector<double> grown(stride * stride, 0.0);
    for (std::size_t i = 0; i < row; ++i)
      std::copy(inverse_row(i), inverse_row(i) + row,
                grown.begin() + static_cast<std::ptrdiff_t>(i * stride));
    inverse_.swap(grown);
    stride_ = stride;
  }
  for (std::size_t i = 0; i <= row; ++i) inverse_[i * stride_ + row] = inverse_[row * stride_ + i] = 0;

  // The row's own column starts in the basis where that is feasible, else a helper that stands for its being
  // unmet; both are kept for later.
  double sign = 0;
  std::size_t start = 0;
  if (sense != RowSense::equal) {
    sign = sense == RowSense::at_most ? 1 : -1;
    start = new_column(0, {{row, sign}}, false);
  }
  const std::size_t helper = new_column(big_, {{row, 1.0}}, true);
  const double at = right + nudge_[row];
  if (sense == RowSense::equal || (sense == RowSense::at_least && at > 0)) {
    start = helper;
    sign = 1;
  }
  inverse_[row * stride_ + row] = sign;  // 1 / sign
  basis_.push_back(start);
  all_[start].place = static_cast<std::ptrdiff_t>(row);
  basic_.push_back(sign * at);
  dual_.push_back(all_[start].cost * sign);
  return row;
}

LAPW_INLINE std::size_t Simplex::add_column(double cost, const std::vector<SimplexEntry>& entries) {
  public_.push_back(new_column(cost, entries, false));
  return public_.size() - 1;
}

LAPW_INLINE void Simplex::set_cost(std::size_t column, double cost) {
  Column& c = all_[public_[column]];
  if (c.place >= 0) {
    const double change = cost - c.cost;
    const double* row = inverse_row(static_cast<std::size_t>(c.place));
    for (std::size_t i = 0; i < rows(); ++i) dual_[i] += change * row[i];
  }
  c.cost = cost;
}

LAPW_INLINE void Simplex::set_right(std::size_t row, double right) {
  const double change = right - right_[row];
  right_[row] = right;
  for (std::size_t i = 0; i < rows(); ++i) basic_[i] += change * inverse_[i * stride_ + row];
}

LAPW_INLINE double Simplex::price_out(const Column& column) const {
  double cost = column.cost;
  for (std::size_t e = column.first; e < column.last; ++e) cost -= dual_[entries_[e].row] * entries_[e].value;
  return cost;
}

LAPW_INLINE double Simplex::reduced_cost(double cost, const std::vector<SimplexEntry>& entries) const {
  for (const SimplexEntry& e : entries) cost -= dual_[e.row] * e.value;
  return cost;
}

LAPW_INLINE void Simplex::column_of_basis(std::size_t column, std::vector<double>& out) const {
  const std::size_t m = rows();
  out.assign(m, 0.0);
  const Column& c = all_[column];
  for (std::size_t i = 0; i < m; ++i) {
    const double* row = inverse_row(i);
    double sum = 0;
    for (std::size_t e = c.first; e < c.last; ++e) sum += row[entries_[e].row] * entries_[e].value;
    out[i] = sum;
  }
}

/// target -= factor * row, at the places where the row is not zero. Where most are not, all of them at once,
/// in a form that compilers turn into vectors; both give the same bits.
inline void subtract_row(double* __restrict target, const double* __restrict row, double factor,
                         const std::vector<std::uint32_t>& where, std::size_t size) {
  if (where.size() * 2 < size) {
    for (std::uint32_t j : where) target[j] -= factor * row[j];
    return;
  }
  if (where.empty()) return;
  std::size_t j = where.front();
  const std::size_t end = where.back() + std::size_t{1};
  for (; j + 4 <= end; j += 4) {
    target[j] -= factor * row[j];
    target[j + 1] -= factor * row[j + 1];
    target[j + 2] -= factor * row[j + 2];
    target[j + 3] -= factor * row[j + 3];
  }
  for (; j < end; ++j) target[j] -= factor * row[j];
}

LAPW_INLINE void Simplex::pivot(std::size_t row, std::size_t column, const std::vector<double>& alpha) {
  const std::size_t m = rows();
  const double reduced = price_out(all_[column]);
  double* const pivot_row = inverse_row(row);
  const double scale = 1 / alpha[row];
  // Most of an inverse is zeros: only the places that are not take part.
  where_.clear();
  for (std::size_t j = 0; j < m; ++j)
    if (pivot_row[j] < 0 || pivot_row[j] > 0) {
      pivot_row[j] *= scale;
      where_.push_back(static_cast<std::uint32_t>(j));
    }
  const double step = basic_[row] * scale;
  for (std::size_t i = 0; i < m; ++i) {
    if (i == row) continue;
    const double factor = alpha[i];
    if (factor < 0 || factor > 0) {
      subtract_row(inverse_row(i), pivot_row, factor, where_, m);
      basic_[i] -= factor * step;
    }
  }
  basic_[row] = step;
  for (std::uint32_t j : where_) dual_[j] += reduced * pivot_row[j];
  all_[basis_[row]].place = -1;
  basis_[row] = column;
  all_[column].place = static_cast<std::ptrdiff_t>(row);
  ++pivots_;
  ++since_refactor_;
}

LAPW_INLINE void Simplex::reprice() {
  const std::size_t m = rows();
  std::fill(dual_.begin(), dual_.end(), 0.0);
  for (std::size_t i = 0; i < m; ++i) {
    const double cost = all_[basis_[i]].cost;
    const double* row = inverse_row(i);
    if (cost < 0 || cost > 0)
      for (std::size_t j = 0; j < m; ++j) dual_[j] += cost * row[j];
    double sum = 0;
    for (std::size_t j = 0; j < m; ++j) sum += row[j] * (right_[j] + nudge_[j]);
    basic_[i] = sum;
  }
}

/// Inverts the basis afresh, by Gauss-Jordan with the greatest pivot of each column. A basis that has become
/// singular by rounding gets the helpers of the rows that are left over.
LAPW_INLINE void Simplex::refactor() {
  const std::size_t m = rows();
  since_refactor_ = 0;
  std::vector<double> matrix(m * m, 0.0);
  for (std::size_t j = 0; j < m; ++j) {
    const Column& c = all_[basis_[j]];
    for (std::size_t e = c.first; e < c.last; ++e) matrix[entries_[e].row * m + j] = entries_[e].value;
  }
  for (std::size_t i = 0; i < m; ++i) {
    std::fill(inverse_row(i), inverse_row(i) + m, 0.0);
    inverse_row(i)[i] = 1;
  }
  std::vector<std::size_t> row_of(m, m), column_of(m, m);
  std::vector<std::uint32_t> matrix_where;
  for (std::size_t j = 0; j < m; ++j) {
    std::size_t best = m;
    double greatest = 1e-10;
    for (std::size_t i = 0; i < m; ++i)
      if (column_of[i] == m && std::abs(matrix[i * m + j]) > greatest) {
        greatest = std::abs(matrix[i * m + j]);
        best = i;
      }
    if (best == m) continue;
    column_of[best] = j;
    row_of[j] = best;
    const double scale = 1 / matrix[best * m + j];
    for (std::size_t k = j; k < m; ++k) matrix[best * m + k] *= scale;
    double* const pivot_row = inverse_row(best);
    where_.clear();
    for (std::size_t k = 0; k < m; ++k)
      if (pivot_row[k] < 0 || pivot_row[k] > 0) {
        pivot_row[k] *= scale;
        where_.push_back(static_cast<std::uint32_t>(k));
      }
    matrix_where.clear();
    for (std::size_t k = j; k < m; ++k)
      if (matrix[best * m + k] < 0 || matrix[best * m + k] > 0)
        matrix_where.push_back(static_cast<std::uint32_t>(k));
    for (std::size_t i = 0; i < m; ++i) {
      const double factor = matrix[i * m + j];
      if (i == best || !(factor < 0 || factor > 0)) continue;
      subtract_row(matrix.data() + i * m, matrix.data() + best * m, factor, matrix_where, m);
      subtract_row(inverse_row(i), pivot_row, factor, where_, m);
    }
  }
  // Row i of the inverse belongs to basis column column_of[i]; put them in order.
  std::vector<double> ordered(m * m, 0.0);
  for (std::size_t i = 0; i < m; ++i)
    if (column_of[i] != m)
      std::copy(inverse_row(i), inverse_row(i) + m,
                ordered.begin() + static_cast<std::ptrdiff_t>(column_of[i] * m));
  bool singular = false;
  for (std::size_t j = 0; j < m; ++j) singular = singular || row_of[j] == m;
  if (singular) {
    // Start over: every row by its helper. Rare, and always right.
    for (std::size_t j = 0; j < m; ++j) all_[basis_[j]].place = -1;
    for (std::size_t c = 0; c < all_.size(); ++c)
      if (all_[c].helper) {
        const std::size_t row = entries_[all_[c].first].row;
        basis_[row] = c;
        all_[c].place = static_cast<std::ptrdiff_t>(row);
      }
    for (std::size_t i = 0; i < m; ++i) {
      std::fill(inverse_row(i), inverse_row(i) + m, 0.0);
      inverse_row(i)[i] = 1;
    }
  } else {
    for (std::size_t i = 0; i < m; ++i)
      std::copy(ordered.begin() + static_cast<std::ptrdiff_t>(i * m),
                ordered.begin() + static_cast<std::ptrdiff_t>((i + 1) * m), inverse_row(i));
  }
  reprice();
}

LAPW_INLINE SimplexStatus Simplex::primal(std::int64_t& left) {
  const std::size_t m = rows();
  std::vector<double> alpha;
  int idle = 0;  // steps without progress: after many, the first index is taken, which cannot cycle
  while (true) {
    if (since_refactor_ > 200) refactor();
    const bool careful = idle > 20 + static_cast<int>(m);
    std::size_t enter = all_.size();
    double best = 0, score = 0;
    for (std::size_t c = 0; c < all_.size(); ++c) {
      if (all_[c].place >= 0 || all_[c].helper) continue;
      const double reduced = price_out(all_[c]);
      if (!(reduced < -simplex_cost_eps)) continue;
      // Steepest for its reach: reach is kept up roughly, as in Devex pricing (Forrest and Goldfarb 1992).
      const double steep = reduced * reduced / all_[c].reach;
      if (steep > score) {
        best = reduced;
        score = steep;
        enter = c;
        if (careful) break;
      }
    }
    if (enter == all_.size()) {
      if (since_refactor_ > 0) {
        // Rounding may have hidden a step: look once more from a fresh inverse where the basis no longer
        // meets its rows.
        double worst = 0;
        std::vector<double> met(m, 0.0);
        for (std::size_t i = 0; i < m; ++i) {
          const Column& c = all_[basis_[i]];
          for (std::size_t e = c.first; e < c.last; ++e)
            met[entries_[e].row] += entries_[e].value * basic_[i];
        }
        for (std::size_t i = 0; i < m; ++i)
          worst = std::max(worst, std::abs(met[i] - right_[i] - nudge_[i]) / (1 + std::abs(right_[i])));
        if (worst > 1e-9) {
          refactor();
          continue;
        }
      }
      for (std::size_t i = 0; i < m; ++i)
        if (all_[basis_[i]].helper && basic_[i] > 1e-5) return SimplexStatus::infeasible;
      return SimplexStatus::optimal;
    }
    if (left <= 0) return SimplexStatus::stopped;
    --left;
    column_of_basis(enter, alpha);
    // Least ratio; among ratios that nearly tie, the greatest pivot.
    double least = -1;
    for (std::size_t i = 0; i < m; ++i)
      if (alpha[i] > simplex_pivot_eps) {
        const double ratio = (std::max(basic_[i], 0.0) + 1e-10) / alpha[i];
        if (least < 0 || ratio < least) least = ratio;
      }
    if (least < 0) return SimplexStatus::unbounded;
    std::size_t leave = m;
    double greatest = 0;
    for (std::size_t i = 0; i < m; ++i)
      if (alpha[i] > simplex_pivot_eps && std::max(basic_[i], 0.0) / alpha[i] <= least) {
        const bool better = careful ? leave == m || basis_[i] < basis_[leave] : alpha[i] > greatest;
        if (better) {
          greatest = alpha[i];
          leave = i;
        }
      }
    if (leave == m) return SimplexStatus::stopped;
    const double gain = -best * std::max(basic_[leave], 0.0) / alpha[leave];
    idle = gain > 1e-12 ? 0 : idle + 1;
    if (basic_[leave] < 0) basic_[leave] = 0;
    // Reaches of the columns that meet the pivot row.
    const double* const row = inverse_row(leave);
    const double entering = all_[enter].reach / (alpha[leave] * alpha[leave]);
    for (Column& c : all_) {
      if (c.place >= 0 || c.helper) continue;
      double entry = 0;
      for (std::size_t e = c.first; e < c.last; ++e) entry += row[entries_[e].row] * entries_[e].value;
      c.reach = std::max(c.reach, entry * entry * entering);
    }
    all_[basis_[leave]].reach = std::max(entering, 1.0);
    if (entering > 1e7)
      for (Column& c : all_) c.reach = 1;
    pivot(leave, enter, alpha);
  }
}

/// Brings basic values that a changed right side has made negative back, keeping reduced costs as they are as
/// far as possible. \return false where it cannot, and the caller starts afresh.
LAPW_INLINE bool Simplex::dual_phase(std::int64_t& left) {
  const std::size_t m = rows();
  std::vector<double> alpha;
  std::int64_t tries = 4 * static_cast<std::int64_t>(m) + 50;
  while (true) {
    if (since_refactor_ > 200) refactor();
    std::size_t leave = m;
    double worst = -simplex_value_eps;
    for (std::size_t i = 0; i < m; ++i)
      if (basic_[i] < worst) {
        worst = basic_[i];
        leave = i;
      }
    if (leave == m) return true;
    if (left <= 0 || --tries < 0) return false;
    --left;
    const double* const row = inverse_row(leave);
    std::size_t enter = all_.size();
    double least = 0, greatest = 0;
    for (std::size_t c = 0; c < all_.size(); ++c) {
      if (all_[c].place >= 0) continue;
      double entry = 0;
      for (std::size_t e = all_[c].first; e < all_[c].last; ++e)
        entry += row[entries_[e].row] * entries_[e].value;
      if (entry > -1e-7) continue;
      const double ratio = std::max(price_out(all_[c]), 0.0) / -entry;
      if (enter == all_.size() || ratio < least - 1e-12 || (ratio <= least + 1e-12 && -entry > greatest)) {
        least = ratio;
        greatest = -entry;
        enter = c;
      }
    }
    if (enter == all_.size()) return false;
    column_of_basis(enter, alpha);
    if (!(alpha[leave] < -1e-9)) return false;
    pivot(leave, enter, alpha);
  }
}

LAPW_INLINE SimplexStatus Simplex::solve(std::int64_t allowed) {
  const std::size_t m = rows();
  std::int64_t left = allowed;
  double lowest = 0;
  for (std::size_t i = 0; i < m; ++i) lowest = std::min(lowest, basic_[i]);
  if (lowest < -simplex_value_eps && !dual_phase(left)) {
    for (std::size_t j = 0; j < m; ++j) all_[basis_[j]].place = -1;
    for (std::size_t c = 0; c < all_.size(); ++c)
      if (all_[c].helper) {
        const std::size_t row = entries_[all_[c].first].row;
        basis_[row] = c;
        all_[c].place = static_cast<std::ptrdiff_t>(row);
      }
    refactor();
  }
  return primal(left);
}

LAPW_INLINE double Simplex::value(std::size_t column) const {
  const Column& c = all_[public_[column]];
  if (c.place < 0) return 0;
  const double* row = inverse_row(static_cast<std::size_t>(c.place));
  double sum = 0;
  for (std::size_t j = 0; j < rows(); ++j) sum += row[j] * right_[j];
  return sum;
}

LAPW_INLINE double Simplex::objective() const {
  double sum = 0;
  for (std::size_t i = 0; i < rows(); ++i) {
    const Column& c = all_[basis_[i]];
    if (c.helper) continue;
    const double* row = inverse_row(i);
    double at = 0;
    for (std::size_t j = 0; j < rows(); ++j) at += row[j] * right_[j];
    sum += c.cost * at;
  }
  return sum;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
