// The proven minimum, checked from job and plan alone: true certificates hold, raised bounds and changed
// prices do not.
#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <string>

#include <boost/test/unit_test.hpp>

#include <lapwright/audit.hpp>
#include <lapwright/certificate.hpp>
#include <lapwright/document.hpp>

#include "cases.hpp"
#include "random_house.hpp"

using namespace lapwright;
using lapwright_test::cases;
using lapwright_test::Random;

namespace {

Job demo(const std::string& name) {
  std::ifstream in(LAPW_SOURCE_DIR "/examples/" + name);
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  BOOST_TEST_REQUIRE(!text.empty());
  return read_job(text);
}

bool complains(const Job& job, const Plan& plan) {
  for (const Finding& finding : audit(job, plan))
    if (finding.code == "proven_minimum") return true;
  return false;
}

}  // namespace

BOOST_AUTO_TEST_CASE(certificates_of_the_demo_houses_hold_and_false_ones_do_not) {
  for (const char* name : {"cottage.json", "tower.json"}) {
    BOOST_TEST_CONTEXT(name) {
      const Job job = demo(name);
      const Plan plan = plan_house(job);
      const CertifiedBound honest = check_certificate(job, plan);
      BOOST_TEST(honest.fault == "");
      BOOST_TEST(honest.bound >= plan.order.proven_minimum - 1e-9);
      BOOST_TEST(honest.bound <= plan.order.cost + 1e-9);
      BOOST_TEST(!complains(job, plan));
      BOOST_TEST_MESSAGE(name << ": cost " << plan.order.cost << ", proven " << plan.order.proven_minimum
                              << ", checked " << honest.bound << ", " << plan.certificate.prices.size()
                              << " prices, " << plan.certificate.stacks.size() << " stacks");

      // The same from the document alone.
      const ReadPlan read = read_plan(write_plan(plan));
      BOOST_TEST(read.findings.empty());
      BOOST_TEST(check_certificate(job, read.plan).bound == honest.bound);
      BOOST_TEST(check_certificate(job, read.plan).fault == "");

      // A raised bound is false, whatever its certificate says of itself.
      Plan raised = plan;
      raised.order.cost += 1;
      raised.order.proven_minimum = honest.bound + 1;
      raised.certificate.bound = raised.order.proven_minimum;
      BOOST_TEST(check_certificate(job, raised).bound < raised.order.proven_minimum);
      BOOST_TEST(complains(job, raised));

      // Changed prices: the board's value no longer fits them.
      Plan changed = plan;
      for (CertificatePrice& price : changed.certificate.prices) price.price += price.price / 10;
      const CertifiedBound dear = check_certificate(job, changed);
      BOOST_TEST(dear.fault != "");
      BOOST_TEST(dear.bound <= plan.order.cost + 1e-9);
      BOOST_TEST(complains(job, changed));
      // With the right value for them they prove what they can, and that is less.
      changed = plan;
      for (std::size_t i = 0; i < changed.certificate.prices.size(); i += 2)
        changed.certificate.prices[i].price = 0;
      BOOST_TEST(check_certificate(job, changed).bound <= plan.order.cost + 1e-9);
      changed.certificate.prices.clear();
      changed.certificate.loose = 0;
      changed.certificate.stacks.clear();
      BOOST_TEST(check_certificate(job, changed).bound <= honest.bound);
    }
  }
}

BOOST_AUTO_TEST_CASE(certificates_of_random_houses_hold_and_no_prices_prove_too_much) {
  int houses = 0, optimal = 0, by_prices = 0;
  for (int seed = 0; seed < cases(6); ++seed) {
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    BOOST_TEST_CONTEXT("house " << seed) {
      Plan plan;
      try {
        plan = plan_house(job);
      } catch (const Refused&) {
        continue;
      }
      ++houses;
      const CertifiedBound honest = check_certificate(job, plan);
      BOOST_TEST(honest.fault == "");
      BOOST_TEST(honest.bound >= plan.order.proven_minimum - 1e-9);
      BOOST_TEST(honest.bound <= plan.order.cost + 1e-9);
      optimal += plan.order.cost <= plan.order.proven_minimum + 1e-9 ? 1 : 0;
      Plan bare = plan;
      bare.certificate = Certificate();
      by_prices += check_certificate(job, bare).bound < honest.bound ? 1 : 0;
      // Any prices prove something true.
      Random random(static_cast<std::uint64_t>(seed) + 99);
      for (int n = 0; n < 3; ++n) {
        Plan other = plan;
        for (CertificatePrice& price : other.certificate.prices)
          price.price = price.price / 16 * random.whole(0, 20);
        other.certificate.loose = other.certificate.loose * random.whole(0, 3);
        if (random.once_in(2)) other.certificate.stacks.clear();
        const CertifiedBound any = check_certificate(job, other);
        BOOST_TEST(any.bound <= plan.order.cost + 1e-9);
      }
    }
  }
  BOOST_TEST_MESSAGE(houses << " houses, " << optimal << " proven optimal, " << by_prices
                            << " where prices prove more than areas");
}

BOOST_AUTO_TEST_CASE(certificates_that_are_nonsense_prove_nothing_and_do_no_harm) {
  const Job job = demo("cottage.json");
  const Plan plan = plan_house(job);
  const auto check = [&](auto change) {
    Plan other = plan;
    change(other);
    const CertifiedBound out = check_certificate(job, other);
    BOOST_TEST(out.fault != "");
    BOOST_TEST(out.bound <= plan.order.cost + 1e-9);
  };
  check([](Plan& p) { p.certificate.units_per_inch = 0; });
  check([](Plan& p) { p.certificate.units_per_inch = INT64_MAX; });
  check([](Plan& p) { p.certificate.price_scale = -1; });
  check([](Plan& p) { p.certificate.loose = INT64_MAX; });
  check([](Plan& p) { p.certificate.share_threshold = NAN; });
  check([](Plan& p) { p.certificate.prices[0].price = INT64_MAX; });
  check([](Plan& p) { p.certificate.prices[0].length = -5; });
  check([](Plan& p) { p.certificate.prices[0].factory_ends = 7; });
  check([](Plan& p) { p.certificate.prices[0].open = 9; });
  check([](Plan& p) { p.certificate.prices[0].loose = INT64_MAX; });
  check([](Plan& p) { p.certificate.row_threshold = 100; });
  check([](Plan& p) { p.certificate.open_layers = {8, 4}; });
  check([](Plan& p) { p.certificate.open_layers = {1}; });
  check([](Plan& p) { p.certificate.board_value += 1; });
  check([](Plan& p) { p.certificate.stacks.push_back(p.certificate.stacks[0]); });
  check([](Plan& p) { p.certificate.stacks[0].course = 1 << 30; });
  check([](Plan& p) { p.certificate.stacks[0].left.push_back(1e300); });
  check([](Plan& p) { p.walls[0].joints.clear(); });
  check([](Plan& p) { p.walls[0].joints[0].x = -1000; });
  check([](Plan& p) { p.walls[0].joints[0].course = 1 << 30; });
  check([](Plan& p) { p.walls.pop_back(); });
}

/// Last courses ripped so low that two whole boards of them come from one.
BOOST_AUTO_TEST_CASE(low_whole_boards_share_a_board) {
  Job job;
  job.name = "low";
  job.rules.board.width = 8.25;
  job.rules.board.lengths = {144};
  job.rules.courses.mode = CourseMode::full;
  job.rules.courses.max_exposure = 7;
  for (int i = 0; i < 6; ++i) {
    Wall wall;
    wall.name = "w" + std::to_string(i);
    const double width = 480 + 7 * i;
    wall.outline = {{0, 0}, {width, 0}, {width, 17.5}, {0, 17.5}};
    for (EdgeKind kind : {EdgeKind::base, EdgeKind::corner, EdgeKind::top, EdgeKind::corner})
      wall.edges.push_back(default_edge(kind));
    job.walls.push_back(wall);
  }
  const Plan plan = plan_house(job);
  BOOST_TEST(plan.order.cost >= plan.order.proven_minimum - 1e-9);
  BOOST_TEST(plan.order.cost <= 62 + 1e-9);
  const CertifiedBound checked = check_certificate(job, plan);
  BOOST_TEST(checked.fault == "");
  BOOST_TEST(checked.bound >= plan.order.proven_minimum - 1e-9);
  BOOST_TEST(checked.bound <= plan.order.cost + 1e-9);
}
