// The demo cottage gives every stage something to do, and the README tells the truth about it.
#include <algorithm>
#include <boost/test/unit_test.hpp>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include <lapwright/audit.hpp>
#include <lapwright/document.hpp>

using namespace lapwright;

namespace {
std::string file_text(const std::string& path) {
  std::ifstream file(std::string(LAPW_SOURCE_DIR) + "/" + path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}
}  // namespace

BOOST_AUTO_TEST_CASE(every_stage_has_something_to_do) {
  const Job job = read_job(file_text("examples/cottage.json"));
  const Plan plan = plan_house(job);
  std::size_t pieces = 0, fillers = 0, notches = 0, left = 0, right = 0, heads = 0, roofs = 0, joints = 0;
  for (const PlanWall& wall : plan.walls) {
    pieces += wall.pieces.size();
    joints += wall.joints.size();
    for (const Piece& piece : wall.pieces) {
      fillers += piece.filler;
      left += piece.left.meets == Meets::rake;
      right += piece.right.meets == Meets::rake;
      for (const Cut& cut : piece.cuts) notches += cut.kind == CutKind::notch;
    }
    for (const Starter& starter : wall.starters) {
      heads += starter.where == StarterPlace::head;
      roofs += starter.where == StarterPlace::roof;
    }
  }
  BOOST_TEST(pieces >= 250u);
  for (std::size_t count : {fillers, notches, left, right, heads, roofs, joints}) BOOST_TEST(count > 0u);
  for (const char* name : {"cottage", "tower"}) {
    const Job either = read_job(file_text(std::string("examples/") + name + ".json"));
    for (const Finding& finding : audit(either, plan_house(either)))
      BOOST_TEST(false, name << ": " << finding.code << " " << finding.message);
  }
}

BOOST_AUTO_TEST_CASE(the_readme_tells_what_the_modes_cost) {
  Job job = read_job(file_text("examples/cottage.json"));
  const std::string readme = file_text("README.md");
  std::vector<WallHeights> heights;
  for (const Wall& wall : job.walls) heights.push_back(wall_heights(wall, siding_region(wall, job.rules)));
  for (auto [mode, name] : {std::pair{CourseMode::full, "`full`"},
                            {CourseMode::even, "`even`"},
                            {CourseMode::fitted, "`fitted`"}}) {
    job.rules.courses.mode = mode;
    const PoleCost cost = pole_cost(heights, lay_courses(heights, job.rules).pole, job.rules);
    const std::size_t at = readme.find("| " + std::string(name));
    BOOST_REQUIRE(at != std::string::npos);
    const std::string row = readme.substr(at, readme.find('\n', at) - at);
    const std::string want = "| " + std::to_string(cost.bad_strips) + " | " + std::to_string(cost.courses) +
                             " | " + std::to_string(cost.settings) + " |";
    BOOST_TEST(row.substr(row.size() - want.size()) == want);
  }
}

// Boards are cut in an order in which pieces can be hung as they come, against the order that a packer leaves
// them in: the board with the longest piece first.
BOOST_AUTO_TEST_CASE(few_cut_pieces_wait) {
  for (const char* name : {"cottage", "tower"}) {
    const Plan plan = plan_house(read_job(file_text(std::string("examples/") + name + ".json")));
    std::map<std::string, std::size_t> turn;  // of hanging
    std::map<std::string, double> length;
    for (const PlanWall& wall : plan.walls)
      for (const Piece& piece : wall.pieces) {
        length[piece.id] = piece.length;
        turn.emplace(piece.id, turn.size());
      }
    std::vector<std::vector<std::string>> boards;
    for (const Board& board : plan.boards) {
      boards.emplace_back();
      for (const Placement& cut : board.cut)
        if (!cut.piece.empty()) boards.back().push_back(cut.piece);
    }
    const auto most_waiting = [&] {
      std::vector<char> cut(turn.size(), 0);
      std::size_t next = 0, given = 0, most = 0;
      for (std::size_t hung = 0; hung < turn.size(); ++hung) {
        while (!cut[hung]) {
          for (const std::string& id : boards[next]) cut[turn[id]] = 1;
          given += boards[next++].size();
        }
        most = std::max(most, given - hung);
      }
      return most;
    };
    const std::size_t as_planned = most_waiting();
    std::stable_sort(boards.begin(), boards.end(), [&](const auto& a, const auto& b) {
      double x = 0, y = 0;
      for (const std::string& id : a) x = std::max(x, length[id]);
      for (const std::string& id : b) y = std::max(y, length[id]);
      return x > y;
    });
    const std::size_t longest_first = most_waiting();
    BOOST_TEST_MESSAGE(name << ": of " << turn.size() << " pieces " << as_planned << " wait at most, "
                            << longest_first << " if the longest were cut first");
    BOOST_TEST(as_planned <= longest_first);
    if (turn.size() > 200) BOOST_TEST(as_planned * 3 <= longest_first);
  }
}
