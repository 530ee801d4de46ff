#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/job.hpp>

#include "cases.hpp"
#include "random_house.hpp"

using namespace lapwright;

namespace {

// One rectangle with one window, default rules.
Job small_job() {
  Job job;
  job.name = "small";
  job.rules.board.lengths = {144};
  Wall wall;
  wall.name = "south";
  wall.outline = {{0, 0}, {240, 0}, {240, 108}, {0, 108}};
  wall.edges = {default_edge(EdgeKind::base), default_edge(EdgeKind::corner), default_edge(EdgeKind::top),
                default_edge(EdgeKind::corner)};
  wall.openings = {rectangular_opening("W1", {60, 36}, 36, 48)};
  job.walls = {wall};
  return job;
}

std::string listed(const std::vector<Fault>& faults) {
  std::string all;
  for (const Fault& f : faults) all += "\n  " + f.path + ": " + f.message;
  return all.empty() ? "\n  (none)" : all;
}

bool names(const std::vector<Fault>& faults, const std::string& path) {
  for (const Fault& f : faults)
    if (f.path == path && f.message.size() > 15) return true;
  return false;
}

// The job, changed by one thing, is refused at this path.
template <class Change>
void refused_at(const std::string& path, const Change& change) {
  Job job = small_job();
  change(job);
  const std::vector<Fault> faults = check_job(job);
  BOOST_TEST(names(faults, path), "expected " << path << ", got" << listed(faults));
}
template <class Change>
void only_refused_at(const std::string& path, const Change& change) {
  Job job = small_job();
  change(job);
  const std::vector<Fault> faults = check_job(job);
  BOOST_TEST((faults.size() == 1 && names(faults, path)),
             "expected only " << path << ", got" << listed(faults));
}
template <class Change>
void allowed(const Change& change) {
  Job job = small_job();
  change(job);
  const std::vector<Fault> faults = check_job(job);
  BOOST_TEST(faults.empty(), "expected no fault, got" << listed(faults));
}

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

BOOST_AUTO_TEST_CASE(a_sound_job_has_no_fault) {
  allowed([](Job&) {});
  allowed([](Job& job) {  // the other way round, the first point repeated
    Ring& r = job.walls[0].outline;
    r = {{0, 0}, {0, 108}, {240, 108}, {240, 0}, {0, 0}};
  });
  allowed([](Job& job) { job.walls[0].openings.push_back(rectangular_opening("W2", {96, 36}, 36, 48)); });
  allowed([](Job& job) { job.walls[0].openings[0] = rectangular_opening("door", {60, 0}, 36, 80); });
  allowed([](Job& job) {  // a corner in one line with its neighbours
    job.walls[0].outline.insert(job.walls[0].outline.begin() + 1, {100, 0});
    job.walls[0].edges.insert(job.walls[0].edges.begin(), default_edge(EdgeKind::base));
  });
}

BOOST_AUTO_TEST_CASE(every_number_is_limited) {
  struct Member {
    const char* path;
    double& (*at)(Job&);
    bool zero_allowed;
  };
  const Member members[] = {
      {"board.width", [](Job& j) -> double& { return j.rules.board.width; }, false},
      {"board.thickness", [](Job& j) -> double& { return j.rules.board.thickness; }, false},
      {"board.lengths[0]", [](Job& j) -> double& { return j.rules.board.lengths[0]; }, false},
      {"board.min_lap", [](Job& j) -> double& { return j.rules.board.min_lap; }, false},
      {"board.weight", [](Job& j) -> double& { return j.rules.board.weight; }, false},
      {"courses.max_exposure", [](Job& j) -> double& { return j.rules.courses.max_exposure.emplace(7); },
       false},
      {"courses.min_exposure", [](Job& j) -> double& { return j.rules.courses.min_exposure.emplace(6); },
       false},
      {"courses.division", [](Job& j) -> double& { return j.rules.courses.division; }, false},
      {"courses.max_step", [](Job& j) -> double& { return j.rules.courses.max_step; }, true},
      {"courses.min_strip", [](Job& j) -> double& { return j.rules.courses.min_strip; }, true},
      {"joints.gap", [](Job& j) -> double& { return j.rules.joints.gap; }, true},
      {"joints.window", [](Job& j) -> double& { return j.rules.joints.window; }, true},
      {"joints.min_piece", [](Job& j) -> double& { return j.rules.joints.min_piece; }, false},
      {"joints.stagger", [](Job& j) -> double& { return j.rules.joints.stagger; }, true},
      {"joints.price", [](Job& j) -> double& { return j.rules.joints.price; }, true},
      {"cutting.kerf", [](Job& j) -> double& { return j.rules.cutting.kerf; }, true},
      {"cutting.min_leg", [](Job& j) -> double& { return j.rules.cutting.min_leg; }, false},
      {"cutting.min_offcut", [](Job& j) -> double& { return j.rules.cutting.min_offcut; }, true},
      {"starter.width", [](Job& j) -> double& { return j.rules.starter.width.emplace(1.25); }, false},
      {"trim.thickness", [](Job& j) -> double& { return j.rules.trim.emplace().thickness; }, false},
      {"sheathing.thickness", [](Job& j) -> double& { return j.rules.sheathing.thickness; }, true},
      {"fasteners.length", [](Job& j) -> double& { return j.rules.fasteners.length; }, false},
      {"fasteners.shank", [](Job& j) -> double& { return j.rules.fasteners.shank; }, false},
      {"fasteners.head", [](Job& j) -> double& { return j.rules.fasteners.head; }, false},
      {"fasteners.top_edge", [](Job& j) -> double& { return j.rules.fasteners.top_edge; }, false},
      {"fasteners.end_edge", [](Job& j) -> double& { return j.rules.fasteners.end_edge; }, false},
      {"fasteners.edge", [](Job& j) -> double& { return j.rules.fasteners.edge; }, false},
      {"fasteners.max_spacing", [](Job& j) -> double& { return j.rules.fasteners.max_spacing.emplace(16); },
       false},
      {"fasteners.end_reach", [](Job& j) -> double& { return j.rules.fasteners.end_reach; }, true},
      {"fasteners.min_penetration", [](Job& j) -> double& { return j.rules.fasteners.min_penetration; },
       true},
      {"fasteners.min_framing_share", [](Job& j) -> double& { return j.rules.fasteners.min_framing_share; },
       true},
      {"seal.width", [](Job& j) -> double& { return j.rules.seal.width; }, false},
      {"seal.depth", [](Job& j) -> double& { return j.rules.seal.depth; }, false},
      {"seal.cartridge", [](Job& j) -> double& { return j.rules.seal.cartridge; }, false},
      {"staging.lift", [](Job& j) -> double& { return j.rules.staging.lift; }, false},
      {"staging.rating", [](Job& j) -> double& { return j.rules.staging.rating.emplace(25); }, false},
      {"staging.bay[0]", [](Job& j) -> double& { return j.rules.staging.bay_length; }, false},
      {"staging.bay[1]", [](Job& j) -> double& { return j.rules.staging.bay_width; }, false},
      {"allowance", [](Job& j) -> double& { return j.rules.allowance; }, true},
      {"search.effort", [](Job& j) -> double& { return j.rules.search.effort; }, true},
      {"loads.wind_speed", [](Job& j) -> double& { return j.rules.loads.emplace().wind_speed; }, false},
      {"loads.mean_roof_height", [](Job& j) -> double& { return j.rules.loads.emplace().mean_roof_height; },
       false},
      {"loads.plan[0]", [](Job& j) -> double& { return j.rules.loads.emplace().plan_length; }, false},
      {"loads.plan[1]", [](Job& j) -> double& { return j.rules.loads.emplace().plan_width; }, false},
      {"loads.specific_gravity", [](Job& j) -> double& { return j.rules.loads.emplace().specific_gravity; },
       false},
      {"walls[0].edges[1].trim", [](Job& j) -> double& { return j.walls[0].edges[1].trim; }, true},
      {"walls[0].edges[1].gap", [](Job& j) -> double& { return j.walls[0].edges[1].gap; }, true},
      {"walls[0].openings[0].trim.head", [](Job& j) -> double& { return j.walls[0].openings[0].trim[2]; },
       true},
      {"walls[0].openings[0].gap.left", [](Job& j) -> double& { return j.walls[0].openings[0].gap[3]; },
       true},
      {"walls[0].framing.spacing", [](Job& j) -> double& { return j.walls[0].framing.spacing; }, true},
      {"walls[0].framing.stud_width", [](Job& j) -> double& { return j.walls[0].framing.stud_width; }, false},
      {"walls[0].framing.opening_stud", [](Job& j) -> double& { return j.walls[0].framing.opening_stud; },
       false},
  };
  for (const Member& member : members) {
    for (double wrong : {not_a_number, infinite, -infinite})
      only_refused_at(member.path, [&](Job& j) { member.at(j) = wrong; });
    for (double wrong : {-1.0, -1e-9, 1e300, 1e12})
      refused_at(member.path, [&](Job& j) { member.at(j) = wrong; });
    if (!member.zero_allowed) refused_at(member.path, [&](Job& j) { member.at(j) = 0; });
  }
  for (double wrong : {not_a_number, infinite, 1.1e5, -1e300}) {
    refused_at("walls[0].outline[2][0]", [&](Job& j) { j.walls[0].outline[2].x = wrong; });
    refused_at("walls[0].start[0]", [&](Job& j) { j.walls[0].start = Interval{wrong, 1}; });
    refused_at("walls[0].framing.first", [&](Job& j) { j.walls[0].framing.first = wrong; });
    refused_at("walls[0].framing.studs[0]", [&](Job& j) { j.walls[0].framing.studs = {wrong}; });
    refused_at("walls[0].framing.members[0][3]", [&](Job& j) {
      j.walls[0].framing.members = {{0, 0, 1, wrong}};
    });
    refused_at("courses.lines[1]", [&](Job& j) { j.rules.courses.lines = {0, wrong}; });
  }
}

BOOST_AUTO_TEST_CASE(contradictions) {
  refused_at("courses.max_exposure", [](Job& j) { j.rules.courses.max_exposure = 7.5; });
  allowed([](Job& j) { j.rules.courses.max_exposure = 7; });
  refused_at("courses.min_exposure", [](Job& j) { j.rules.courses.min_exposure = 7.5; });
  refused_at("courses.min_exposure", [](Job& j) {  // no multiple of 1/2 from 6.6 to 6.9
    j.rules.courses.division = 0.5;
    j.rules.courses.min_exposure = 6.6;
    j.rules.courses.max_exposure = 6.9;
  });
  refused_at("courses.max_exposure", [](Job& j) { j.rules.courses.max_exposure = 0.5; });
  refused_at("courses.division", [](Job& j) { j.rules.courses.division = 8; });
  refused_at("courses.division", [](Job& j) { j.rules.courses.division = 1e-6; });
  refused_at("courses.lines[1]", [](Job& j) { j.rules.courses.lines = {7, 0}; });
  refused_at("courses.lines[1]", [](Job& j) { j.rules.courses.lines = {0, 14}; });
  // window + gap/2 + end_edge <= stud_width/2: 0.0625 + 0 + 0.375 <= 0.75
  refused_at("walls[0].framing.stud_width", [](Job& j) { j.walls[0].framing.stud_width = 0.8; });
  refused_at("walls[0].framing.stud_width", [](Job& j) { j.rules.joints.window = 0.4; });
  refused_at("walls[0].framing.stud_width", [](Job& j) { j.rules.joints.gap = 0.7; });
  allowed([](Job& j) { j.rules.joints.window = 0.375; });
  // top_edge + head/2 <= min_lap: 1 + 0.1485 <= 1.25
  refused_at("fasteners.top_edge", [](Job& j) { j.rules.fasteners.top_edge = 1.125; });
  refused_at("fasteners.top_edge", [](Job& j) { j.rules.fasteners.head = 0.6; });
  allowed([](Job& j) { j.rules.fasteners.head = 0.5; });
  refused_at("fasteners.edge", [](Job& j) { j.rules.fasteners.edge = 1.01; });
  refused_at("fasteners.edge", [](Job& j) { j.rules.cutting.min_leg = 1.4; });
  allowed([](Job& j) { j.rules.cutting.min_leg = 1.5; });
  refused_at("cutting.min_leg", [](Job& j) { j.rules.cutting.min_leg = 8.5; });
  refused_at("fasteners.head", [](Job& j) { j.rules.fasteners.shank = 0.3; });
  refused_at("starter.width", [](Job& j) { j.rules.starter.width = 8.25; });
  refused_at("board.thickness", [](Job& j) { j.rules.board.thickness = 9; });
  refused_at("board.min_lap", [](Job& j) { j.rules.board.min_lap = 8.25; });
  refused_at("walls[0].start", [](Job& j) { j.walls[0].start = Interval{1, -1}; });
  refused_at("walls[0].framing.members[0][2]", [](Job& j) { j.walls[0].framing.members = {{5, 0, 4, 9}}; });
}

// What is left in the framing: length - board - sheathing - stand-off t d / e. 2.5 - 0.3125 - 0.4375 -
// 0.3125 / 7 is 1.7053...; a nail that keeps just under the least is refused.
BOOST_AUTO_TEST_CASE(the_usual_nail_must_reach) {
  const double kept = 2.5 - 0.3125 - 0.4375 - 0.3125 * 1.0 / 7.0;
  allowed([&](Job& j) { j.rules.fasteners.min_penetration = kept; });
  only_refused_at("fasteners.length", [&](Job& j) { j.rules.fasteners.min_penetration = kept + 1e-4; });
  only_refused_at("fasteners.length", [](Job& j) { j.rules.fasteners.length = 1.75; });
}

BOOST_AUTO_TEST_CASE(stock) {
  refused_at("board.lengths", [](Job& j) { j.rules.board.lengths.clear(); });
  refused_at("board.lengths[1]", [](Job& j) { j.rules.board.lengths = {144, 144}; });
  refused_at("board.lengths", [](Job& j) { j.rules.board.lengths.assign(101, 144); });
  refused_at("board.lengths[0]", [](Job& j) { j.rules.board.lengths = {0.5}; });
  refused_at("board.lengths", [](Job& j) { j.rules.board.lengths = {6}; });
  refused_at("board.prices", [](Job& j) { j.rules.board.prices = {1, 2}; });
  refused_at("board.prices[0]", [](Job& j) { j.rules.board.prices = {0}; });
  refused_at("board.prices[0]", [](Job& j) { j.rules.board.prices = {not_a_number}; });
  refused_at("board.offcuts[0].length", [](Job& j) { j.rules.board.offcuts = {{-3, true, true}}; });
  refused_at("cutting.kerf", [](Job& j) { j.rules.cutting.kerf = 200; });
}

BOOST_AUTO_TEST_CASE(outlines) {
  const std::string outline = "walls[0].outline";
  refused_at(outline, [](Job& j) { j.walls[0].outline = {}; });
  refused_at(outline, [](Job& j) { j.walls[0].outline = {{0, 0}, {9, 0}}; });
  refused_at(outline, [](Job& j) { j.walls[0].outline = {{0, 0}, {9, 0}, {0, 0}}; });
  refused_at(outline, [](Job& j) {
    j.walls[0].outline = {{0, 0}, {240, 108}, {240, 0}, {0, 108}};
  });                                                                                              // bow-tie
  refused_at(outline, [](Job& j) { j.walls[0].outline = {{0, 0}, {240, 0}, {120, 0}, {0, 0}}; });  // no area
  refused_at(outline + "[2]", [](Job& j) {
    j.walls[0].outline = {{0, 0}, {240, 0}, {240, 0}, {240, 108}, {0, 108}};
    j.walls[0].edges.push_back(j.walls[0].edges[0]);
  });
  refused_at(outline, [](Job& j) { j.walls[0].outline.assign(most_points + 1, Point{1, 1}); });
  refused_at("walls[0].edges", [](Job& j) { j.walls[0].edges.pop_back(); });
  refused_at("walls[0].edges", [](Job& j) { j.walls[0].edges.push_back(j.walls[0].edges[0]); });
  refused_at("walls", [](Job& j) { j.walls.clear(); });
  refused_at("walls[0].name", [](Job& j) { j.walls[0].name.clear(); });
  refused_at("walls[1].name", [](Job& j) { j.walls.push_back(j.walls[0]); });
}

BOOST_AUTO_TEST_CASE(openings) {
  const std::string at = "walls[0].openings[0]";
  const auto opening = [](double x, double y, double w, double h) {
    return [=](Job& j) { j.walls[0].openings[0] = rectangular_opening("W1", {x, y}, w, h); };
  };
  only_refused_at(at + ".size[0]", opening(60, 36, -36, 48));
  only_refused_at(at + ".size[0]", opening(60, 36, 0, 48));
  only_refused_at(at + ".size[1]", opening(60, 36, 36, 0));
  only_refused_at(at + ".size[0]", opening(60, 36, not_a_number, 48));
  only_refused_at(at + ".at[1]", opening(60, not_a_number, 36, 48));
  only_refused_at(at, opening(-1, 36, 36, 48));
  only_refused_at(at, opening(300, 36, 36, 48));
  only_refused_at(at, opening(60, 36, 36, 72.01));
  only_refused_at(at, opening(0, 0, 240, 108));
  allowed(opening(0, 0, 239.9, 108));
  allowed(opening(60, 36, 36, 72));
  only_refused_at("walls[0].openings[1]", [](Job& j) {
    j.walls[0].openings.push_back(rectangular_opening("W2", {95, 40}, 36, 48));
  });
  only_refused_at("walls[0].openings[1]",
                  [](Job& j) { j.walls[0].openings.push_back(j.walls[0].openings[0]); });
  only_refused_at("walls[0].openings[1]", [](Job& j) {  // one inside the other
    j.walls[0].openings.push_back(rectangular_opening("W2", {70, 40}, 3, 3));
  });
  const auto polygon = [](Ring ring) {
    return [ring](Job& j) {
      Opening& o = j.walls[0].openings[0];
      o.rectangle = false;
      o.outline = ring;
      o.trim.assign(ring.size(), 3.5);
      o.gap = polygon_opening_gaps(ring);
    };
  };
  allowed(polygon({{60, 36}, {80, 36}, {70, 60}}));
  only_refused_at(at + ".outline", polygon({{60, 36}, {80, 60}, {80, 36}, {60, 60}}));
  only_refused_at(at + ".outline", polygon({{60, 36}, {80, 60}}));
  only_refused_at(at, polygon({{60, 36}, {80, 36}, {70, 160}}));
  only_refused_at(at + ".trim", [](Job& j) { j.walls[0].openings[0].trim.pop_back(); });
  only_refused_at(at + ".trim", [](Job& j) { j.walls[0].openings[0].trim.assign(4, -1); });
  // A gable: the corner of a box outside its slope.
  only_refused_at(at, [](Job& j) {
    j.walls[0].outline = {{0, 0}, {240, 0}, {120, 108}};
    j.walls[0].edges.pop_back();
    j.walls[0].openings[0] = rectangular_opening("W1", {20, 20}, 36, 24);
  });
}

// A head is an edge whose outward normal points up within 45 degrees.
BOOST_AUTO_TEST_CASE(gaps_of_polygons) {
  const Ring octagon = {{3, 0}, {7, 0}, {10, 3}, {10, 7}, {7, 10}, {3, 10}, {0, 7}, {0, 3}};
  const std::vector<double> gaps = polygon_opening_gaps(octagon);
  const std::vector<double> expected = {0.125, 0.125, 0.125, 0.25, 0.25, 0.25, 0.125, 0.125};
  BOOST_TEST(gaps == expected, boost::test_tools::per_element());
  const Ring other(octagon.rbegin(), octagon.rend());
  const std::vector<double> turned = polygon_opening_gaps(other);  // edges 10-7-3 come second to fourth
  const std::vector<double> expected_turned = {0.125, 0.25, 0.25, 0.25, 0.125, 0.125, 0.125, 0.125};
  BOOST_TEST(turned == expected_turned, boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(joints_in_nailed_courses) {
  const auto built = [](std::string wall, int course, double x) {
    return [=](Job& j) {
      j.rules.courses.lines = {0, 7};
      j.rules.courses.joints_built = {{wall, course, x}};
    };
  };
  allowed(built("south", 1, 48));
  only_refused_at("courses.joints_built[0][0]", built("north", 1, 48));
  only_refused_at("courses.joints_built[0][1]", built("south", 2, 48));
  only_refused_at("courses.joints_built[0][1]", built("south", -1, 48));
  only_refused_at("courses.joints_built[0][2]", built("south", 1, 241));
}

// Refused at once, not planned for hours.
BOOST_AUTO_TEST_CASE(absurd_sizes) {
  refused_at("courses.division", [](Job& j) {
    j.rules.courses.division = 0.001;
    j.walls[0].outline = {{0, 0}, {240, 0}, {240, 9e4}, {0, 9e4}};
  });
  refused_at("walls", [](Job& j) { j.walls[0].outline = {{0, 0}, {9e4, 0}, {9e4, 9e4}, {0, 9e4}}; });
  refused_at("walls[0].openings", [](Job& j) { j.walls[0].openings.assign(1000000, Opening{}); });
  refused_at("walls[0].framing.spacing", [](Job& j) {
    j.walls[0].framing.spacing = 1e-3;
    j.walls[0].framing.stud_width = 1e-3;
  });
  refused_at("walls", [](Job& j) { j.walls.assign(most_walls + 1, Wall{}); });
}

// Every fault at once.
BOOST_AUTO_TEST_CASE(all_of_them) {
  Job job = small_job();
  job.rules.board.width = -8;
  job.rules.joints.repeat_after = 0;
  job.rules.board.prices = {-1};
  job.walls[0].edges.pop_back();
  job.walls[0].openings[0] = rectangular_opening("W1", {-60, 36}, 36, 48);
  job.rules.loads.emplace().exposure = 'E';
  const std::vector<Fault> faults = check_job(job);
  for (const char* path : {"board.width", "joints.repeat_after", "board.prices[0]", "walls[0].edges",
                           "walls[0].openings[0]", "loads.exposure"})
    BOOST_TEST(names(faults, path), path << " is not in" << listed(faults));
}

BOOST_AUTO_TEST_CASE(random_houses_are_sound) {
  const int count = lapwright_test::cases(300);
  for (int seed = 0; seed < count; ++seed) {
    const std::vector<Fault> faults =
        check_job(lapwright_test::random_house(static_cast<std::uint64_t>(seed)));
    BOOST_TEST(faults.empty(), "seed " << seed << listed(faults));
  }
}

BOOST_AUTO_TEST_CASE(values_that_stand_for_absent_ones) {
  Rules rules;
  rules.board.lengths = {144, 192, 96};
  BOOST_TEST(greatest_exposure(rules) == 7.0);
  BOOST_TEST(least_exposure(rules) == 6.0);
  BOOST_TEST(starter_width(rules) == 1.25);
  const std::vector<double> prices = {1.5, 2, 1};
  BOOST_TEST(board_prices(rules) == prices, boost::test_tools::per_element());
  Framing framing;
  framing.spacing = 24;
  BOOST_TEST(nail_spacing(rules, framing) == 24.0);
  framing.spacing = 0;
  BOOST_TEST(nail_spacing(rules, framing) == 16.0);
}
