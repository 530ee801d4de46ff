// The audit on plans small enough to follow by hand: what it accepts, what it insists on.
#include <algorithm>
#include <boost/test/unit_test.hpp>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <vector>

#include <lapwright/audit.hpp>
#include <lapwright/document.hpp>

#include "cases.hpp"
#include "plan_keys.hpp"
#include "random_house.hpp"

using namespace lapwright;

namespace {

Job small_job() {
  return read_job(R"({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]},
    "walls": [{"name": "w", "outline": [[0, 0], [100, 0], [100, 34], [0, 34]],
               "edges": ["base", "corner", "top", "corner"],
               "openings": [{"name": "W", "at": [40, 12], "size": [20, 12]}]}]})");
}
bool names(const std::vector<Finding>& found, const char* code) {
  return std::any_of(found.begin(), found.end(), [&](const Finding& f) { return f.code == code; });
}
using lapwright_test::cases;

void expect_clean(const Job& job, const Plan& plan, int house) {
  for (const Finding& f : audit(job, plan))
    BOOST_TEST(false,
               "house " << house << ": " << f.code << " " << f.wall << " " << f.piece << " " << f.message);
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_finding_says_where_what_and_how_much) {
  const Job job = small_job();
  Plan plan = plan_house(job);
  BOOST_REQUIRE(audit(job, plan).empty());
  plan.order.cost += 1;
  const std::vector<Finding> found = audit(job, plan);
  BOOST_REQUIRE_EQUAL(found.size(), 1u);
  BOOST_TEST(found[0].code == "order_cost");
  BOOST_TEST(found[0].measured.value() == plan.order.cost);
  BOOST_TEST(found[0].limit.value() == plan.order.cost - 1);
  BOOST_TEST(!found[0].message.empty());
}

BOOST_AUTO_TEST_CASE(what_the_plan_declares_is_accepted_only_at_its_place) {
  const Job job = read_job(R"({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]},
    "walls": [{"name": "w", "outline": [[0, 0], [200, 0], [200, 21], [0, 21]],
               "edges": ["base", "corner", "top", "corner"],
               "framing": {"spacing": 0, "studs": [90, 110]}}]})");
  Plan plan = plan_house(job);
  BOOST_REQUIRE(audit(job, plan).empty());
  auto stagger = std::find_if(plan.findings.begin(), plan.findings.end(),
                              [](const Finding& f) { return f.code == "joint_stagger"; });
  BOOST_REQUIRE(stagger != plan.findings.end());
  const Finding kept = *stagger;
  stagger->course = 99;
  BOOST_TEST(names(audit(job, plan), "joint_stagger"));
  *std::find_if(plan.findings.begin(), plan.findings.end(),
                [](const Finding& f) { return f.code == "joint_stagger" && f.course == 99; }) = kept;
  BOOST_TEST(audit(job, plan).empty());
}

BOOST_AUTO_TEST_CASE(a_note_excuses_no_rule) {
  const Job job = small_job();
  Plan plan = plan_house(job);
  plan.walls[0].nails[0].clear();
  Finding note;
  note.code = "nail_stud";
  note.severity = Severity::note;
  note.wall = "w";
  plan.findings.push_back(note);
  BOOST_TEST(names(audit(job, plan), "nail_stud"));
}

BOOST_AUTO_TEST_CASE(a_plan_survives_its_document) {
  const Job job = small_job();
  const ReadPlan read = read_plan(write_plan(plan_house(job)));
  BOOST_TEST(read.findings.empty());
  BOOST_TEST(audit(job, read.plan).empty());
}

// Other programs say more, and may say it anywhere; what the contract asks for and they leave out is named.
BOOST_AUTO_TEST_CASE(plans_of_other_programs) {
  const Job job = read_job(R"({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]},
    "staging": {"rating": 25},
    "walls": [{"name": "w", "outline": [[0, 0], [200, 0], [200, 40], [100, 90], [0, 40]],
               "edges": ["base", "corner", "rake", "rake", "corner"],
               "openings": [{"name": "W", "at": [80, 12], "size": [30, 20]}]}]})");
  const std::string text = write_plan(plan_house(job));
  const auto found_in = [&](const std::string& document) {
    ReadPlan read = read_plan(document);
    for (Finding& f : audit(job, read.plan)) read.findings.push_back(std::move(f));
    return read.findings;
  };
  BOOST_REQUIRE(found_in(text).empty());
  std::string more = text;
  for (std::size_t at = 0; (at = more.find('{', at)) != std::string::npos; ++at) {
    const std::size_t next = more.find_first_not_of(" \n", at + 1);
    if (more[next] == '"') more.insert(at + 1, R"("zz_other": [{"colour": null}], )");
    at = more.find('{', at + 1);  // not the one just put in
  }
  BOOST_TEST(more.size() > text.size());
  for (const Finding& f : found_in(more)) BOOST_TEST(false, f.code << " " << f.message);
  std::set<std::string> without;
  for (const std::string key : lapwright_test::plan_keys) {
    // A finding can do without measure and limit.
    if (key == "measured" || key == "limit" || !without.insert(key).second) continue;
    std::string less = text;
    const std::string name = '"' + key + "\":";
    bool any = false;
    for (std::size_t at = 0; (at = less.find(name, at)) != std::string::npos; at += 3, any = true)
      less.insert(at + 1, "zz_");
    BOOST_REQUIRE_MESSAGE(any, "the plan has no " << key);
    BOOST_TEST(!found_in(less).empty(), "a plan without " << key << " is taken");
  }
}

BOOST_AUTO_TEST_CASE(an_empty_plan_is_findings_and_no_crash) {
  const Job job = small_job();
  BOOST_TEST(names(audit(job, Plan{}), "format"));
  Plan walls_only;
  walls_only.walls.resize(1);
  walls_only.walls[0].name = "w";
  BOOST_TEST(names(audit(job, walls_only), "pole_order"));
  Plan pole_only = plan_house(job);
  pole_only.walls[0].pieces.clear();
  pole_only.walls[0].nails.clear();
  pole_only.boards.clear();
  BOOST_TEST(names(audit(job, pole_only), "uncovered"));
  Plan wild = plan_house(job);
  for (Piece& piece : wild.walls[0].pieces) {
    piece.outline.resize(2);
    piece.course = -7;
  }
  BOOST_TEST(names(audit(job, wild), "outline"));
}

BOOST_AUTO_TEST_CASE(a_job_that_cannot_be_built_is_refused) {
  Job job = small_job();
  job.rules.board.width = -1;
  BOOST_CHECK_THROW(audit(job, Plan{}), Refused);
}

// The trim of a step in the base interrupts the upper base by its width; the starter lies at a base all the
// same.
BOOST_AUTO_TEST_CASE(a_starter_lies_where_most_of_it_does) {
  const Job job = read_job(R"({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]},
    "walls": [{"name": "w", "outline": [[0, 1], [30, 1], [30, 0], [100, 0], [100, 40], [0, 40]],
               "edges": ["base", "wall", "base", "corner", "top", "corner"], "start": [-0.5, 0.5]}]})");
  Plan plan = plan_house(job);
  for (const Finding& f : audit(job, plan)) BOOST_TEST(false, f.code << " " << f.message);
  const auto upper = std::find_if(plan.walls[0].starters.begin(), plan.walls[0].starters.end(),
                                  [](const Starter& s) { return s.from.y > 0.5; });
  BOOST_REQUIRE(upper != plan.walls[0].starters.end());
  BOOST_TEST((upper->where == StarterPlace::base));
  upper->where = StarterPlace::roof;
  BOOST_TEST(names(audit(job, plan), "starter_stray"));
}

// Every plan carries them, short, each with its published source, the last deferring to local rules; and the
// audit misses them.
BOOST_AUTO_TEST_CASE(cautions_with_their_sources) {
  const Job job = small_job();
  Plan plan = plan_house(job);
  BOOST_REQUIRE(plan.cautions.size() >= 6u);
  std::string all;
  for (const std::string& text : plan.cautions) {
    const std::size_t source = text.rfind(" (");
    BOOST_REQUIRE(source != std::string::npos);
    BOOST_TEST(text.back() == ')');
    const std::string said = text.substr(source);
    BOOST_TEST((said.find("CFR") != std::string::npos || said.find("NIOSH") != std::string::npos ||
                said.find("IRC") != std::string::npos));
    BOOST_TEST(text.size() < 240u);
    all += text;
  }
  for (const char* word :
       {"silica", "outdoors", "shears", "dust collector", "eye protection", "respirator", "Nail guns",
        "Ladders", "scaffold", "6 ft", "10 ft", "3 ft", "Lifting", "rated load", "local codes"})
    BOOST_TEST(all.find(word) != std::string::npos, word << " is not in the cautions");
  plan.cautions.clear();
  BOOST_TEST(names(audit(job, plan), "format"));
}

BOOST_AUTO_TEST_CASE(random_houses_audit_clean) {
  // LAPW_CASES=2000 for the promise in full.
  int planned = 0;
  for (int seed = 0; seed < cases(9); ++seed) {
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    Plan plan;
    try {
      plan = plan_house(job);
    } catch (const Refused&) {
      continue;
    }
    ++planned;
    expect_clean(job, plan, static_cast<int>(seed));
  }
  BOOST_TEST(planned > 0);
}

// With the whole search: a slant that nests whole, at a kerf of nothing, once took nothing of a board.
BOOST_AUTO_TEST_CASE(houses_that_the_search_once_failed) {
  for (const int seed : {39}) {
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    for (const Finding& f : audit(job, plan_house(job)))
      BOOST_TEST(false, "house " << seed << ": " << f.code << " " << f.piece << " " << f.message);
  }
}

// Houses whose plans the audit once took for wrong, or whose plans once were: mitres of trims that cross
// before their depth, grown openings over one another, infill below a head, slopes of exactly 1 in 12, low
// pieces with slanted ends or notches, joints on studs that overlap, nails at the meeting of two slanted
// edges' distances.
BOOST_AUTO_TEST_CASE(houses_that_once_gave_findings) {
  for (const int seed : {113,  255,  268,  298,  377,  444,  473,  613,  834,  1033, 1046, 1116, 1131, 1220,
                         1386, 1401, 1411, 1454, 1459, 1569, 1587, 1781, 1863, 1865, 1916, 1921, 1946}) {
    Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    job.rules.search.effort = 0;
    expect_clean(job, plan_house(job), static_cast<int>(seed));
  }
}

// The crew has nailed the lower half, a little off here and there, and measures again: the rest of the pole
// is still the best one, and the audit knows when it is not.
BOOST_AUTO_TEST_CASE(the_best_pole_above_lines_as_built) {
  int planned = 0, moved = 0;
  for (int seed = 0; planned < cases(15) && seed < 10 * cases(15); ++seed) {
    lapwright_test::Random random(static_cast<std::uint64_t>(seed) + 900);
    Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed) + 3000);
    job.rules.search.effort = 0;
    Plan plan;
    try {
      plan = plan_house(job);
      const std::size_t nailed = plan.pole.lines.size() / 2;
      if (nailed < 1) continue;
      job.rules.courses.lines.assign(plan.pole.lines.begin(),
                                     plan.pole.lines.begin() + static_cast<std::ptrdiff_t>(nailed));
      if (random.once_in(2))
        for (double& y : job.rules.courses.lines) y += random.whole(-9, 9) / 256.0;
      plan = plan_house(job);
    } catch (const Refused&) {
      continue;
    }
    ++planned;
    expect_clean(job, plan, static_cast<int>(seed));
    std::vector<double>& lines = plan.pole.lines;
    const std::size_t built = job.rules.courses.lines.size();
    if (job.rules.courses.mode != CourseMode::fitted || lines.size() < built + 2) continue;
    const auto at =
        static_cast<std::size_t>(random.whole(static_cast<int>(built), static_cast<int>(lines.size()) - 2));
    lines[at] -= job.rules.courses.division;
    for (std::size_t k = 0; k + 1 < lines.size(); ++k) plan.pole.exposures[k] = lines[k + 1] - lines[k];
    const std::vector<Finding> found = audit(job, plan);
    ++moved;
    BOOST_TEST((names(found, "not_best") || names(found, "step") || names(found, "exposure_max") ||
                names(found, "exposure_min") || names(found, "start") || names(found, "lap")),
               "house " << seed << ": line " << at << " moved down and nothing is said");
  }
  BOOST_TEST((moved > 0 || planned < 10));
}
