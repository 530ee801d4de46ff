// fwd.hpp first: what a host's own header may say with it alone.
#include <lapwright/fwd.hpp>

namespace host {
lapwright::Plan plan_of(const lapwright::Job& job);
int pieces_on(const lapwright::PlanWall* wall, lapwright::EdgeKind edge);
}  // namespace host

#include <boost/test/unit_test.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

#include <lapwright/document.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/lapwright.hpp>
#include <lapwright/sheets.hpp>

namespace host {
lapwright::Plan plan_of(const lapwright::Job& job) {
  return lapwright::plan_house(job);
}
int pieces_on(const lapwright::PlanWall* wall, lapwright::EdgeKind edge) {
  return edge == lapwright::EdgeKind::base ? 0 : static_cast<int>(wall->pieces.size());
}
}  // namespace host

namespace {

std::set<std::string> types_named_in(const std::filesystem::path& path, const std::string& ends_with) {
  std::ifstream file(path);
  const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  const std::regex type("(?:^|\n)((?:struct|class|enum class) \\w+)" + ends_with);
  std::set<std::string> out;
  for (std::sregex_iterator i(text.begin(), text.end(), type), end; i != end; ++i) out.insert((*i)[1]);
  return out;
}

}  // namespace

BOOST_AUTO_TEST_CASE(every_public_type_is_named_ahead) {
  const std::filesystem::path folder = std::filesystem::path(LAPW_SOURCE_DIR) / "include/lapwright";
  std::set<std::string> defined;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    // The adapter to Boost.Geometry defines no type of its own.
    if (entry.path().extension() != ".hpp" || entry.path().filename() == "fwd.hpp") continue;
    defined.merge(types_named_in(entry.path(), "[^;{]*\\{"));
  }
  const std::set<std::string> named = types_named_in(folder / "fwd.hpp", ";");
  BOOST_TEST(defined.size() > 80);
  BOOST_TEST(named == defined, boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(what_is_named_ahead_is_what_is_defined) {
  lapwright::Job job;
  job.rules.board.lengths = {144};
  lapwright::Wall wall;
  wall.name = "shed";
  wall.outline = {{0, 0}, {100, 0}, {100, 60}, {0, 60}};
  for (lapwright::EdgeKind kind : {lapwright::EdgeKind::base, lapwright::EdgeKind::corner,
                                   lapwright::EdgeKind::top, lapwright::EdgeKind::corner})
    wall.edges.push_back(lapwright::default_edge(kind));
  job.walls.push_back(wall);
  const lapwright::Plan plan = host::plan_of(job);
  BOOST_TEST(host::pieces_on(&plan.walls.front(), lapwright::EdgeKind::top) > 0);
}
