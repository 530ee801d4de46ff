// needs: glpk
// The same programmes solved by GLPK (Debian's libglpk-dev), whose simplex is another's work altogether.
#include <cmath>
#include <vector>

#include <glpk.h>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/simplex.hpp>

#include "random_lp.hpp"

using lapwright::detail::RowSense;
using lapwright::detail::Simplex;
using lapwright::detail::SimplexEntry;
using lapwright::detail::SimplexStatus;

BOOST_AUTO_TEST_CASE(optimum_and_feasibility_agree_with_glpk) {
  glp_term_out(GLP_OFF);
  int optimal = 0;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    const random_lp::Program p = random_lp::make(seed);
    Simplex lp(1e5);
    glp_prob* other = glp_create_prob();
    glp_set_obj_dir(other, GLP_MIN);
    glp_add_rows(other, static_cast<int>(p.right.size()));
    glp_add_cols(other, static_cast<int>(p.columns.size()));
    for (std::size_t r = 0; r < p.right.size(); ++r) {
      lp.add_row(p.sense[r], p.right[r]);
      glp_set_row_bnds(other, static_cast<int>(r) + 1,
                       p.sense[r] == RowSense::equal      ? GLP_FX
                       : p.sense[r] == RowSense::at_least ? GLP_LO
                                                          : GLP_UP,
                       p.right[r], p.right[r]);
    }
    for (std::size_t c = 0; c < p.columns.size(); ++c) {
      lp.add_column(p.cost[c], p.columns[c]);
      const int column = static_cast<int>(c) + 1;
      glp_set_col_bnds(other, column, GLP_LO, 0, 0);
      glp_set_obj_coef(other, column, p.cost[c]);
      std::vector<int> rows{0};
      std::vector<double> values{0};
      for (const SimplexEntry& e : p.columns[c]) {
        rows.push_back(static_cast<int>(e.row) + 1);
        values.push_back(e.value);
      }
      glp_set_mat_col(other, column, static_cast<int>(rows.size()) - 1, rows.data(), values.data());
    }
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.presolve = GLP_ON;
    const int failed = glp_simplex(other, &parameters);
    const bool solved = failed == 0 && glp_get_status(other) == GLP_OPT;
    const SimplexStatus status = lp.solve(100000);
    BOOST_TEST_CONTEXT("seed " << seed) {
      BOOST_TEST((status == SimplexStatus::optimal) == solved);
      if (solved) {
        ++optimal;
        const double value = glp_get_obj_val(other);
        BOOST_TEST(std::abs(lp.objective() - value) <= 1e-5 * (1 + std::abs(value)));
      }
    }
    glp_delete_prob(other);
  }
  BOOST_TEST(optimal > 130);
}
