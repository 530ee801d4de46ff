#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <limits>
#include <set>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/document.hpp>

#include "cases.hpp"
#include "plan_keys.hpp"
#include "random_house.hpp"
#include "real_jobs.hpp"

using namespace lapwright;

namespace {

std::string file_text(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<Fault> faults_of(const std::string& json) {
  try {
    read_job(json);
  } catch (const Refused& refused) {
    return refused.faults;
  }
  return {};
}

std::string listed(const std::vector<Fault>& faults) {
  std::string all;
  for (const Fault& f : faults) all += "\n  " + f.path + ": " + f.message;
  return all.empty() ? "\n  (none)" : all;
}

// A sound job with a place to change: parts of it are replaced by text.
const std::string sound = R"({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]},
 "walls": [{"name": "south", "outline": [[0,0],[240,0],[240,108],[0,108]], "edges": ["base","corner","top","corner"],
            "openings": [{"name": "W1", "at": [60,36], "size": [36,48]}]}]})";

std::string with(const std::string& from, const std::string& to) {
  std::string text = sound;
  const std::size_t at = text.find(from);
  BOOST_REQUIRE_MESSAGE(at != std::string::npos, from);
  return text.replace(at, from.size(), to);
}

void refused_at(const std::string& json, const std::set<std::string>& paths, const std::string& says = "") {
  const std::vector<Fault> faults = faults_of(json);
  std::set<std::string> got;
  bool said = says.empty();
  for (const Fault& f : faults) {
    got.insert(f.path);
    said = said || f.message.find(says) != std::string::npos;
    BOOST_TEST(f.message.size() > 8, "no sentence at " << f.path << ": " << f.message);
  }
  std::string expected;
  for (const std::string& path : paths) expected += " " + path;
  BOOST_TEST((got == paths), json.substr(0, 300) << "\nexpected" << expected << ", got" << listed(faults));
  BOOST_TEST(said, "\"" << says << "\" is not said in" << listed(faults));
}

Job read(const std::string& json) {
  try {
    return read_job(json);
  } catch (const Refused& refused) {
    BOOST_FAIL("refused:" << listed(refused.faults));
  }
  return {};
}

std::set<std::string> defaults(const Job& job) {
  return {job.defaults_used.begin(), job.defaults_used.end()};
}

}  // namespace

BOOST_AUTO_TEST_CASE(the_least_job_takes_every_default) {
  const Job job = read(sound);
  BOOST_TEST(job.rules.board.width == 8.25);
  BOOST_TEST(job.rules.board.thickness == 0.3125);
  BOOST_TEST(!job.rules.trim.has_value());
  BOOST_TEST(!job.rules.loads.has_value());
  BOOST_TEST(!job.rules.staging.rating.has_value());
  BOOST_TEST(!job.walls[0].start.has_value());
  const Opening& window = job.walls[0].openings[0];
  BOOST_TEST(window.rectangle);
  const std::vector<double> gap = {0.125, 0.125, 0.25, 0.125}, trim(4, 3.5);
  BOOST_TEST(window.gap == gap, boost::test_tools::per_element());
  BOOST_TEST(window.trim == trim, boost::test_tools::per_element());
  BOOST_TEST((window.outline == Ring{{60, 36}, {96, 36}, {96, 84}, {60, 84}}));
  BOOST_TEST(job.walls[0].edges[1].trim == 3.5);
  // formats.md section 1: leaves with a default, and no more: groups, start, unit, names, empty lists are
  // none.
  std::set<std::string> expected;
  for (const char* leaf : {"board.thickness",
                           "board.prices",
                           "board.min_lap",
                           "board.weight",
                           "board.turnable",
                           "courses.mode",
                           "courses.max_exposure",
                           "courses.min_exposure",
                           "courses.division",
                           "courses.max_step",
                           "courses.min_strip",
                           "joints.gap",
                           "joints.window",
                           "joints.min_piece",
                           "joints.stagger",
                           "joints.repeat_after",
                           "joints.factory_ends",
                           "joints.price",
                           "cutting.kerf",
                           "cutting.min_leg",
                           "cutting.min_offcut",
                           "starter.width",
                           "sheathing.thickness",
                           "sheathing.holds_nails",
                           "fasteners.length",
                           "fasteners.shank",
                           "fasteners.head",
                           "fasteners.ring_shank",
                           "fasteners.top_edge",
                           "fasteners.end_edge",
                           "fasteners.edge",
                           "fasteners.max_spacing",
                           "fasteners.end_reach",
                           "fasteners.min_penetration",
                           "fasteners.min_framing_share",
                           "seal.width",
                           "seal.depth",
                           "seal.cartridge",
                           "staging.lift",
                           "staging.bay",
                           "allowance",
                           "search.effort",
                           "walls[0].openings[0].trim",
                           "walls[0].openings[0].gap",
                           "walls[0].framing.spacing",
                           "walls[0].framing.first",
                           "walls[0].framing.stud_width",
                           "walls[0].framing.opening_stud",
                           "walls[0].framing.around_openings"})
    expected.insert(leaf);
  for (int e = 0; e < 4; ++e)
    for (const char* leaf : {".trim", ".gap"})
      expected.insert("walls[0].edges[" + std::to_string(e) + "]" + leaf);
  std::set<std::string> more = defaults(job);
  BOOST_TEST(more == expected, boost::test_tools::per_element());
  BOOST_TEST(more.size() == job.defaults_used.size(), "a default is listed twice");
}

BOOST_AUTO_TEST_CASE(what_is_given_is_no_default) {
  const Job job = read(with(R"("size": [36,48])", R"("size": [36,48], "trim": {"head": 5}, "gap": 0.25)"));
  const Opening& window = job.walls[0].openings[0];
  const std::vector<double> trim = {3.5, 3.5, 5, 3.5}, gap(4, 0.25);
  BOOST_TEST(window.trim == trim, boost::test_tools::per_element());
  BOOST_TEST(window.gap == gap, boost::test_tools::per_element());
  const std::set<std::string> taken = defaults(job);
  BOOST_TEST(taken.count("walls[0].openings[0].trim.left") == 1);
  BOOST_TEST(taken.count("walls[0].openings[0].trim.sill") == 1);
  BOOST_TEST(taken.count("walls[0].openings[0].trim.head") == 0);
  BOOST_TEST(taken.count("walls[0].openings[0].gap") == 0);

  const Job edges =
      read(with(R"(["base","corner","top","corner"])",
                R"(["base",{"kind":"corner","gap":0.5},{"kind":"top","trim":1,"gap":2},{"kind":"rake"}])"));
  BOOST_TEST(edges.walls[0].edges[1].trim == 3.5);
  BOOST_TEST(edges.walls[0].edges[1].gap == 0.5);
  BOOST_TEST(edges.walls[0].edges[2].gap == 2);
  BOOST_TEST(edges.walls[0].edges[3].trim == 5.5);
  BOOST_TEST(defaults(edges).count("walls[0].edges[1].trim") == 1);
  BOOST_TEST(defaults(edges).count("walls[0].edges[1].gap") == 0);
  BOOST_TEST(defaults(edges).count("walls[0].edges[2].gap") == 0);
}

BOOST_AUTO_TEST_CASE(units) {
  const Job job = read(
      R"({"lapwright": 1, "unit": "mm", "board": {"width": "8 1/4", "lengths": ["12'", 3000], "weight": 2.5, "prices": [2, 1.6]},
      "courses": {"division": 1, "max_exposure": 170, "min_exposure": "6 1/4\""}, "joints": {"min_piece": 400, "price": 0.01},
      "seal": {"cartridge": 18}, "staging": {"rating": 25, "bay": [2100, "5 ft"]},
      "fasteners": {"min_framing_share": 0.5},
      "walls": [{"name": "w", "outline": [[0,0],[2540,0],["100 in","8'"],[0,"8'"],[0,0]], "edges": ["base","corner","top","corner"]}]})");
  BOOST_TEST(job.rules.board.width == 8.25);
  BOOST_TEST(job.rules.board.lengths[0] == 144);
  BOOST_TEST(job.rules.board.lengths[1] == 3000 / 25.4);
  BOOST_TEST(job.rules.board.weight == 2.5);
  BOOST_TEST(job.rules.board.prices[1] == 1.6);
  BOOST_TEST(job.rules.courses.division ==
             1 / 25.4);  // rules are not snapped: lines must stay whole millimetres
  BOOST_TEST(*job.rules.courses.min_exposure == 6.25);
  BOOST_TEST(job.rules.joints.price == 0.01);
  BOOST_TEST(job.rules.joints.stagger == 32);  // a default is inches whatever the unit
  BOOST_TEST(job.rules.seal.cartridge == 18);
  BOOST_TEST(*job.rules.staging.rating == 25);
  BOOST_TEST(job.rules.staging.bay_width == 60);
  BOOST_TEST(job.walls[0].outline.size() == 4);  // the repeated last point is dropped
  BOOST_TEST(job.walls[0].outline[2].x == job.walls[0].outline[1].x);
  BOOST_TEST(job.walls[0].outline[2].y == 96);
}

BOOST_AUTO_TEST_CASE(polygon_openings) {
  const Job job = read(with(R"("at": [60,36], "size": [36,48])",
                            R"("outline": [[60,36],[96,36],[96,60],[78,70],[60,60]], "trim": "3 1/2")"));
  const Opening& vent = job.walls[0].openings[0];
  BOOST_TEST(!vent.rectangle);
  const std::vector<double> gap = {0.125, 0.125, 0.25, 0.25, 0.125}, trim(5, 3.5);
  BOOST_TEST(vent.gap == gap, boost::test_tools::per_element());
  BOOST_TEST(vent.trim == trim, boost::test_tools::per_element());
  BOOST_TEST(defaults(job).count("walls[0].openings[0].gap") == 1);
  BOOST_TEST(defaults(job).count("walls[0].openings[0].trim") == 0);
}

BOOST_AUTO_TEST_CASE(no_json) {
  refused_at("", {""}, "not JSON");
  refused_at("{", {""}, "line 1, column");
  refused_at("{\"lapwright\": 1,\n \"board\": {\"width\": }}", {"board.width"}, "line 2");
  refused_at("[1]", {""}, "object");
  refused_at("null", {""}, "object");
  refused_at("{\"a\": NaN}", {"a"}, "not JSON");
  refused_at("{\"a\": Infinity}", {"a"}, "not JSON");
  refused_at("{\"name\": \"\xff\"}", {"name"}, "not JSON");
  refused_at(sound + "x", {""}, "not JSON");
  refused_at(
      std::string(100000, '['),
      {"[0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0]"
       "[0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0][0]"},
      "nested");
  BOOST_TEST(faults_of("\xEF\xBB\xBF" + sound).empty());  // a byte order mark is passed over
}

BOOST_AUTO_TEST_CASE(keys) {
  refused_at(with("\"board\":", "\"baord\": 1, \"board\":"), {"baord"}, "\"board\"");
  refused_at(with("\"width\": 8.25", "\"width\": 8.25, \"min_lapp\": 1"), {"board.min_lapp"}, "\"min_lap\"");
  refused_at(with("\"name\": \"W1\"", "\"titel\": \"W1\""), {"walls[0].openings[0].titel"}, "name");
  refused_at(with("\"width\": 8.25", "\"width\": 8.25, \"width\": 6"), {"board.width"}, "twice");
  refused_at(with("\"width\": 8.25", "\"width\": 8.25, \"a b\": 6"), {"board[\"a b\"]"});
  refused_at("{}", {"lapwright", "board", "walls"});
  refused_at(R"({"lapwright": 1, "board": {}, "walls": [{}]})",
             {"board.width", "board.lengths", "walls[0].name", "walls[0].outline", "walls[0].edges"});
  refused_at(with("\"lapwright\": 1", "\"lapwright\": 2"), {"lapwright"});
  refused_at(with("\"lapwright\": 1", "\"lapwright\": \"1\""), {"lapwright"});
  refused_at(with("\"at\": [60,36], \"size\": [36,48]", "\"at\": [60,36]"), {"walls[0].openings[0].size"});
  refused_at(with("\"at\": [60,36], \"size\": [36,48]", "\"trim\": 1"), {"walls[0].openings[0]"});
  refused_at(with("\"at\": [60,36]", "\"outline\": [[60,36],[70,36],[60,50]], \"at\": [60,36]"),
             {"walls[0].openings[0]"});
  refused_at(with("[\"base\",", "[{\"trim\": 1},"), {"walls[0].edges[0].kind"});
  refused_at(with("[\"base\",", "[\"bottom\","), {"walls[0].edges[0]"},
             "base, corner, top, rake, roof, wall");
  refused_at(with("[\"base\",", "[7,"), {"walls[0].edges[0]"});
}

BOOST_AUTO_TEST_CASE(values) {
  const auto width = [](const std::string& value) { return with("\"width\": 8.25", "\"width\": " + value); };
  refused_at(width("-8"), {"board.width"}, "more than 0");
  refused_at(width("0"), {"board.width"}, "more than 0");
  refused_at(width("1e300"), {"board.width"}, "at most");
  refused_at(width("1e999"), {"board.width"}, "at most");
  refused_at(width("-1e999"), {"board.width"}, "more than 0");
  refused_at(width("\"wide\""), {"board.width"}, "63-7/16");
  refused_at(width("\"\""), {"board.width"});
  refused_at(width("\"8 1/0\""), {"board.width"});
  refused_at(width("true"), {"board.width"}, "length");
  refused_at(width("null"), {"board.width"}, "null");
  refused_at(width("[8]"), {"board.width"});
  refused_at(with("\"size\": [36,48]", "\"size\": [-36,0]"),
             {"walls[0].openings[0].size[0]", "walls[0].openings[0].size[1]"},
             "width must be more than 0, got -36");
  refused_at(with("\"size\": [36,48]", "\"size\": [36]"), {"walls[0].openings[0].size"});
  refused_at(with("[240,108]", "[240]"), {"walls[0].outline[2]"});
  refused_at(with("[240,108]", "[240,\"x\"]"), {"walls[0].outline[2][1]"});
  refused_at(with("[144]", "144"), {"board.lengths"});
  refused_at(with("[144]", "[]"), {"board.lengths"});
  refused_at(with("[144]", "[5]"), {"board.lengths"}, "shorter");
  refused_at(with("\"name\": \"south\"", "\"name\": 5"), {"walls[0].name"});
  refused_at(with("[\"base\",\"corner\",\"top\",\"corner\"]", "[\"base\"]"), {"walls[0].edges"});
  refused_at(with("[[0,0],[240,0],[240,108],[0,108]]", "[[0,0],[240,108],[240,0],[0,108]]"),
             {"walls[0].outline"});
  refused_at(with("[[0,0],[240,0],[240,108],[0,108]]", "[[0,0],[240,0]]"),
             {"walls[0].outline", "walls[0].edges"});
  refused_at(with("\"board\":", "\"joints\": {\"repeat_after\": 2.5}, \"board\":"), {"joints.repeat_after"});
  refused_at(with("\"board\":", "\"joints\": {\"repeat_after\": 1e20}, \"board\":"), {"joints.repeat_after"});
  refused_at(with("\"board\":", "\"joints\": 3, \"board\":"), {"joints"});
  refused_at(with("\"board\":", "\"courses\": {\"mode\": \"best\"}, \"board\":"), {"courses.mode"},
             "full, even, fitted");
  refused_at(with("\"board\":", "\"unit\": \"cm\", \"board\":"), {"unit"});
  refused_at(with("\"board\":", "\"courses\": {\"joints_built\": [[\"south\", 2]]}, \"board\":"),
             {"courses.joints_built[0]"});
}

// Every fault at once, and none that only follows from another.
BOOST_AUTO_TEST_CASE(all_of_them) {
  refused_at(
      R"({"lapwright": 1, "board": {"width": "wide", "lengths": [144, "x"], "turnable": 1, "color": 2},
    "fasteners": {"length": -1}, "staging": {"bay": [1]},
    "walls": [{"name": "a", "outline": [[0,0],[240,0],[240,"y"],[0,108]], "edges": ["base","corner","top"],
               "openings": [{"at": [1,1], "size": [0, 5]}, {"at": [1,1], "size": [5, 5]}, {"at": [2,2], "size": [5, 5]}]},
              {"name": "a", "outline": [[0,0],[240,0],[240,108],[0,108]], "edges": ["base","corner","top","corner"],
               "framing": {"spacing": -16, "members": [[0,0,1]]}, "start": 3}]})",
      {"board.width", "board.lengths[1]", "board.turnable", "board.color", "fasteners.length", "staging.bay",
       "walls[0].outline[2][1]", "walls[0].edges", "walls[0].openings[0].size[0]", "walls[0].openings[2]",
       "walls[1].name", "walls[1].framing.spacing", "walls[1].framing.members[0]", "walls[1].start"});
}

// All of these would take minutes, were anything quadratic in them.
BOOST_AUTO_TEST_CASE(absurd_input_is_refused) {
  std::string openings = "\"openings\": [";
  for (int i = 0; i < 100000; ++i) openings += "{\"at\": [1,1], \"size\": [1,1]},";
  openings.back() = ']';
  refused_at(with("\"openings\": [{\"name\": \"W1\", \"at\": [60,36], \"size\": [36,48]}]", openings),
             {"walls[0].openings"});
  std::string points = "[";
  for (int i = 0; i < 100000; ++i) points += "[" + std::to_string(i) + ",1],";
  points.back() = ']';
  refused_at(with("[[0,0],[240,0],[240,108],[0,108]]", points), {"walls[0].outline"});
  std::string keys = "{";
  for (int i = 0; i < 100000; ++i) keys += "\"k" + std::to_string(i) + "\": 1,";
  keys.back() = '}';
  refused_at(keys, {""}, "keys");
  std::string numbers = "[";
  for (int i = 0; i < 2000; ++i) numbers += "1e999,";
  numbers.back() = ']';
  BOOST_TEST(!faults_of(with("[144]", numbers)).empty());
  std::string lengths = "[";
  for (int i = 0; i < 100000; ++i) lengths += "\"x\",";
  lengths.back() = ']';
  BOOST_TEST(faults_of(with("[144]", lengths)).size() >= 100000);
}

// A job written by other hands reads back as itself.
BOOST_AUTO_TEST_CASE(random_jobs_read_back) {
  const int count = lapwright_test::cases(200);
  for (int seed = 0; seed < count; ++seed) {
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    const std::string text = lapwright_test::job_text(job);
    const Job back = read(text);
    BOOST_TEST(lapwright_test::job_text(back) == text, "seed " << seed);
  }
}

// Whatever is done to a job's text, it is read or refused, never more.
BOOST_AUTO_TEST_CASE(mutilated_jobs) {
  const int count = lapwright_test::cases(2000);
  const std::string pieces[] = {"-1",     "1e999", "null", "\"\"", "[]",   "{}",    "0",
                                "1e-300", ",",     "\"",   "}",    "true", "\"5'\""};
  lapwright_test::Random random(7);
  std::string text = lapwright_test::job_text(lapwright_test::random_house(11));
  int refused = 0;
  for (int i = 0; i < count; ++i) {
    std::string changed = text;
    for (int n = random.whole(1, 4); n > 0; --n) {
      const auto at = static_cast<std::size_t>(random.whole(0, static_cast<int>(changed.size()) - 1));
      const auto size = static_cast<std::size_t>(random.whole(0, 12));
      changed.replace(at, size, pieces[random.whole(0, 12)]);
    }
    const std::vector<Fault> faults = faults_of(changed);
    refused += !faults.empty();
    for (const Fault& f : faults) BOOST_TEST(!f.message.empty());
  }
  BOOST_TEST(refused > 0);
}

BOOST_AUTO_TEST_CASE(real_jobs_are_read) {
  for (const std::filesystem::path& file : lapwright_test::real_jobs()) {
    const std::vector<Fault> faults = faults_of(file_text(file));
    BOOST_TEST(faults.empty(), file << listed(faults));
  }
}

namespace {

// A plan with something in every list, awkward numbers and texts.
Plan full_plan() {
  Plan plan;
  plan.job = "a \"quoted\" \\ name\n\t\x01 \xC3\xA9";
  plan.pole.lines = {-0.0, 7, 13.9375, 0.1 + 0.2, 1.0 / 3.0, 1e-9, 5e-324, 99999.99999999999};
  plan.pole.exposures = {7, 6.9375};
  plan.pole.settings = 2;
  plan.pole.starter = 1.25;
  plan.pole.built = 1;
  PlanWall wall;
  wall.name = "south";
  wall.courses = {1, 7, 3.0625, true};
  wall.region_area = 1234.5678901234567;
  wall.framing_share = 2.0 / 3;
  wall.least_penetration = 1.7053571428571428;
  wall.joints = {{1, 96.75, 96.75, 0, true, false}};
  Piece piece;
  piece.id = "south-01-1";
  piece.course = 1;
  piece.outline = {{0, 7}, {63.46, 7}, {63.46, 15.25}, {0, 15.25}};
  piece.holes = {{{5, 8}, {5, 9}, {6, 9}}};
  piece.x_min = 0;
  piece.x_max = 63.46;
  piece.y = 7;
  piece.length = 63.46;
  piece.callout = "63 7/16";
  piece.left = {Meets::rake, false, true};
  piece.right = {Meets::joint, true, false};
  Cut cut;
  cut.kind = CutKind::rake;
  cut.front = {{0, 0}, {16.5, 8.25}};
  cut.back = {{63.46, 0}, {46.96, 8.25}};
  cut.long_point = 63.46;
  cut.short_point = 46.96;
  cut.seal = true;
  cut.callout = "rake";
  cut.back_callout = "back";
  cut.print = "longer";
  piece.cuts = {cut, Cut{}};
  piece.cuts[1].kind = CutKind::notch;
  piece.cuts[1].tool = Tool::saw;
  piece.cuts[1].front = piece.cuts[1].back = {{0, 0}, {1, 1}};
  wall.pieces = {piece};
  Nail nail;
  nail.at = {0.75, 14.25};
  nail.into = NailBase::member;
  nail.face = true;
  nail.penetration = 1.7;
  nail.board = 0.3125;
  nail.stand_off = 0.045;
  nail.sheathing = 0.4375;
  nail.stud_edge = 0.75;
  wall.nails = {{nail, nail}};
  wall.starters = {{"south-s0", {0, 0}, {120, 10}, 1.25, StarterPlace::roof}};
  wall.starter_nails = {{nail}};
  RakeTemplate shape;
  shape.hand = Hand::right;
  shape.rise = 6;
  shape.angle = 26.56505117707799;
  shape.square = {12, 6};
  shape.outline = {{0, 0}, {1, 0}, {0, 1}};
  shape.uses = 3;
  wall.templates = {shape};
  plan.walls = {wall};
  Board board;
  board.id = 1;
  board.length = 144;
  board.price = 1;
  board.cut = {{"south-01-1", "", {0, 0}, true, {}}, {"", "south-s0", {70, 0}, false, {74, 1.25}}};
  board.offcuts = {{{80, 2}, {60, 6}}};
  Board on_hand = board;
  on_hand.id = 2;
  on_hand.on_hand = 0;
  plan.boards = {board, on_hand};
  plan.order.boards = {{144, 88}};
  plan.order.cost = 88;
  plan.order.proven_minimum = 87.25;
  plan.order.nails = {1, 2, 3, 1};
  plan.order.cartridges = 4;
  Lift lift;
  lift.wall = "south";
  lift.last_course = 8;
  lift.pieces = 24;
  lift.weight_lb = 123.5;
  lift.hanging = {0};
  lift.bays = 1;
  lift.capacity_lb = 875;
  plan.staging = {lift};
  Finding finding;
  finding.code = "thin_leg";
  finding.wall = "south";
  finding.course = 3;
  finding.piece = "south-03-1";
  finding.measured = 1.5;
  finding.limit = 2;
  finding.message = "a sentence";
  plan.findings = {finding, {"no_region", Severity::note, "", {}, "", {}, {}, "another"}};
  plan.certificate = {128,
                      {{"piece", 9007199254740993, 2, -5, -7, 4}},
                      9223372036854775807,
                      86.5,
                      1 << 26,
                      7,
                      2.5,
                      3.25,
                      {0.125, 8.5},
                      {{"south", 3, {3.625, 0.1}, 2}}};
  plan.cautions = {"dust"};
  plan.nail_order = {10, 2, 3, 1, 0.25};
  plan.edge_work = {{"south-01-1", 8.25, 7}};
  plan.stations = {{"south", 31.73, 0, 63.46, 144}};
  Loads& loads = plan.loads.emplace();
  loads.velocity_psf = 20.5;
  loads.attachment = {true, false, 30};
  loads.zones.resize(1);
  loads.zones[0].wall = "south";
  loads.zones[0].ratio = 0.3;
  loads.zones[0].piece = "south-01-1";
  loads.assumptions = {"enclosed"};
  plan.defaults_used = {"board.thickness"};
  return plan;
}

}  // namespace

BOOST_AUTO_TEST_CASE(plans_round_trip) {
  const std::string text = write_plan(full_plan());
  const ReadPlan back = read_plan(text);
  for (const Finding& f : back.findings) BOOST_ERROR(f.message);
  BOOST_TEST(write_plan(back.plan) == text);
  BOOST_TEST(text.find("-0,") == std::string::npos);
  BOOST_TEST(text.find("0.30000000000000004") != std::string::npos);
  BOOST_TEST(back.plan.walls[0].pieces[0].cuts[0].back_callout == "back");
  BOOST_TEST(back.plan.certificate.board_value == 9223372036854775807);
  BOOST_TEST(back.plan.certificate.price_scale == 1 << 26);
  BOOST_TEST(back.plan.certificate.loose == 7);
  BOOST_TEST(back.plan.certificate.share_threshold == 2.5);
  BOOST_TEST_REQUIRE(back.plan.certificate.stacks.size() == 1u);
  BOOST_TEST(back.plan.certificate.stacks[0].left == std::vector<double>({3.625, 0.1}),
             boost::test_tools::per_element());
  BOOST_TEST(back.plan.job == full_plan().job);
  BOOST_TEST(write_plan(full_plan()) == text);
}

BOOST_AUTO_TEST_CASE(demo_plans_read_back) {
  int plans = 0;
  for (const auto& entry : std::filesystem::directory_iterator(LAPW_SOURCE_DIR "/examples")) {
    if (entry.path().extension() != ".json") continue;
    const std::string text = plan_job(file_text(entry.path()));
    const ReadPlan back = read_plan(text);
    BOOST_TEST(back.findings.empty(), entry.path()
                                          << ": " << (back.findings.empty() ? "" : back.findings[0].message));
    BOOST_TEST((write_plan(back.plan) == text), entry.path());
    ++plans;
  }
  BOOST_TEST(plans >= 2);
}

BOOST_AUTO_TEST_CASE(keys_stand_in_the_formats_order) {
  const std::string text = write_plan(full_plan());
  std::size_t at = 0;
  for (const char* key : lapwright_test::plan_keys) {
    const std::size_t next = text.find('"' + std::string(key) + "\":", at);
    BOOST_REQUIRE_MESSAGE(next != std::string::npos, key << " does not come next");
    at = next + 1;
  }
}

BOOST_AUTO_TEST_CASE(lenient_reading) {
  BOOST_TEST(read_plan("{").findings.size() == 1);
  BOOST_TEST(read_plan("[]").findings.size() == 1);
  BOOST_TEST(read_plan("").findings.at(0).code == "format");
  BOOST_TEST(read_plan(R"({"lapwright": 1, "errors": []})").findings.size() == 1);
  BOOST_TEST(read_plan("{}").findings.size() >= 10);
  // Unknown keys are passed over; a missing or misshapen part is one finding, and the rest is read.
  std::string text = write_plan(full_plan());
  const auto change = [&](const std::string& from, const std::string& to) {
    std::string changed = text;
    const std::size_t at = changed.find(from);
    BOOST_REQUIRE(at != std::string::npos);
    return read_plan(changed.replace(at, from.size(), to));
  };
  BOOST_TEST(change("\"settings\": 2", "\"settings\": 2, \"colour\": {\"a\": [1]}").findings.empty());
  const ReadPlan misshapen = change("\"least_penetration\": 1.7", "\"least_penetration\": [1], \"z\": 1.7");
  BOOST_REQUIRE(misshapen.findings.size() == 1);
  BOOST_TEST(misshapen.findings[0].wall == "south");
  BOOST_TEST(misshapen.findings[0].message.find("walls[0].least_penetration") == 0);
  BOOST_TEST(misshapen.plan.walls[0].pieces.size() == 1);
  BOOST_TEST(change("\"kind\": \"notch\"", "\"kind\": \"bite\"").findings.size() == 1);
  BOOST_TEST(change("\"course\": 1, \"filler\"", "\"course\": 1.5, \"filler\"").findings.size() == 1);
  // What other makers do not write follows from the rest.
  const ReadPlan bare = change("\"x_min\": 0, \"x_max\": 63.46, \"y\": 7, ", "");
  BOOST_TEST(bare.findings.empty());
  BOOST_TEST(bare.plan.walls[0].pieces[0].x_max == 63.46);
  BOOST_TEST(bare.plan.walls[0].pieces[0].y == 7);
}

BOOST_AUTO_TEST_CASE(mutilated_plans) {
  lapwright_test::Random random(3);
  const std::string text = write_plan(full_plan());
  const std::string pieces[] = {"-1",     "1e999", "null", "\"\"", "[]",   "{}",  "0",
                                "1e-300", ",",     "\"",   "}",    "true", "1e10"};
  for (int i = 0; i < 2000; ++i) {
    std::string changed = text;
    const auto at = static_cast<std::size_t>(random.whole(0, static_cast<int>(changed.size()) - 1));
    changed.replace(at, static_cast<std::size_t>(random.whole(0, 9)), pieces[random.whole(0, 12)]);
    const ReadPlan back = read_plan(changed);
    for (const Finding& f : back.findings) BOOST_TEST(f.code == "format");
    write_plan(back.plan);
  }
}

BOOST_AUTO_TEST_CASE(refusals) {
  const std::string text = write_refusal(
      Refused(std::vector<Fault>{{"walls[0].openings[2].size[0]", "width must be more than 0, got -36"}}));
  BOOST_TEST(text ==
             "{\"lapwright\": 1,\n\"errors\": [\n{\"path\": \"walls[0].openings[2].size[0]\", "
             "\"message\": \"width must be more than 0, got -36\"}]}\n");
  BOOST_TEST(plan_job("{").find("\"errors\"") != std::string::npos);
  // Bytes that are no character must not make the answer unreadable.
  const std::string odd = plan_job("{\"\xff\xc0\xaf\": 1}");
  BOOST_TEST(read_plan(odd).findings.at(0).message.find("refused") != std::string::npos);
  Plan named;
  named.job = "\xff\xed\xa0\x80\xf0\x80\x80\x80 \xe2\x82\xac";
  BOOST_TEST(read_plan(write_plan(named)).plan.job ==
             "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF"
             "\xBD \xe2\x82\xac");
}
