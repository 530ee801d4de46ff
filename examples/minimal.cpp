// The shortest host: a wall in, boards and pieces out.
#include <cstdio>

#include <lapwright/document.hpp>
#include <lapwright/lapwright.hpp>

int main() {
  lapwright::Job job;
  job.rules.board.lengths = {144};
  lapwright::Wall wall;
  wall.name = "shed";
  wall.outline = {{0, 0}, {240, 0}, {240, 96}, {0, 96}};
  for (auto kind : {lapwright::EdgeKind::base, lapwright::EdgeKind::corner, lapwright::EdgeKind::top,
                    lapwright::EdgeKind::corner})
    wall.edges.push_back(lapwright::default_edge(kind));
  wall.openings.push_back(lapwright::rectangular_opening("W1", {90, 36}, 48, 40));
  job.walls.push_back(wall);
  try {
    const lapwright::Plan plan = lapwright::plan_house(job);
    std::printf("%zu boards for %zu pieces; no plan needs fewer than %.0f\n", plan.boards.size(),
                plan.walls[0].pieces.size(), plan.order.proven_minimum);
  } catch (const lapwright::Refused& refused) {
    for (const lapwright::Fault& fault : refused.faults)
      std::fprintf(stderr, "%s: %s\n", fault.path.c_str(), fault.message.c_str());
    return 2;
  }
  return 0;
}
