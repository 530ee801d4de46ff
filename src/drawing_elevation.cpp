#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/framing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::escaped;
using detail::svg_number;

// Wall inches to points of paper, y down.
struct Frame {
  double scale, x0, y0;
  Point to(Point p) const { return {x0 + p.x * scale, y0 - p.y * scale}; }
};

std::string path_of(const Frame& frame, const Ring& ring) {
  std::string d;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point p = frame.to(ring[i]);
    d += fmt::format("{}{} {}", i == 0 ? "M" : "L", svg_number(p.x), svg_number(p.y));
  }
  return d + "Z";
}

}  // namespace

std::string draw_elevation(const Job& job, const Plan& plan, std::size_t index,
                           const ElevationOptions& options) {
  if (index >= plan.walls.size() || index >= job.walls.size())
    throw Refused("wall", fmt::format("wall {} is none of the plan's {}", index, plan.walls.size()));
  const Wall& wall = job.walls[index];
  const PlanWall& out = plan.walls[index];
  const Box box = detail::bounds(wall.outline);
  const double width = options.paper_width * 72, height = options.paper_height * 72;
  const double left = 54, right = 24, top = 34,
               bottom = 40;  // points left for lines' heights, title, dimensions
  Frame frame;
  frame.scale = std::min((width - left - right) / (box.x_max - box.x_min),
                         (height - top - bottom) / (box.y_max - box.y_min));
  frame.x0 = left - box.x_min * frame.scale;
  frame.y0 = top + box.y_max * frame.scale;
  const double used = top + (box.y_max - box.y_min) * frame.scale + bottom;

  std::string s = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}in\" height=\"{}in\" viewBox=\"0 0 {} {}\" "
      "font-family=\"sans-serif\" fill=\"none\" stroke=\"black\">\n<title>{}</title>\n",
      svg_number(options.paper_width), svg_number(used / 72), svg_number(width), svg_number(used),
      escaped("Elevation, wall " + wall.name));
  s += fmt::format(
      "<text x=\"{}\" y=\"18\" font-size=\"12\" fill=\"black\" stroke=\"none\">Wall {}, seen from "
      "outside</text>\n",
      svg_number(left), escaped(wall.name));
  s += fmt::format("<path id=\"outline\" d=\"{}\" stroke-width=\"1.2\"/>\n", path_of(frame, wall.outline));
  for (std::size_t i = 0; i < wall.openings.size(); ++i)
    s += fmt::format("<path id=\"opening-{}\" d=\"{}\" stroke-width=\"1\"/>\n", i,
                     path_of(frame, wall.openings[i].outline));
  if (options.studs)
    for (const Stud& stud : lay_studs(wall)) {
      const Point a = frame.to({stud.centre, box.y_min}), b = frame.to({stud.centre, box.y_max});
      s += fmt::format(
          "<path class=\"stud\" d=\"M{} {}L{} {}\" stroke-width=\"0.3\" stroke-dasharray=\"6 2 1 2\"/>\n",
          svg_number(a.x), svg_number(a.y), svg_number(b.x), svg_number(b.y));
    }
  for (std::size_t i = 0; i < out.pieces.size(); ++i) {
    const Piece& piece = out.pieces[i];
    std::string d = path_of(frame, piece.outline);
    for (const Ring& hole : piece.holes) d += path_of(frame, hole);
    s += fmt::format("<path id=\"{}\" d=\"{}\" stroke-width=\"{}\"{}/>\n", escaped(piece.id), d,
                     piece.filler ? "0.9" : "0.5", piece.filler ? " stroke-dasharray=\"2 1\"" : "");
    if (options.nails && i < out.nails.size())
      for (const Nail& nail : out.nails[i]) {
        const Point p = frame.to(nail.at);
        s += fmt::format(
            "<circle class=\"nail\" cx=\"{}\" cy=\"{}\" r=\"0.8\" fill=\"{}\" stroke-width=\"0.3\"/>\n",
            svg_number(p.x), svg_number(p.y), nail.into == NailBase::sheathing ? "none" : "black");
      }
  }
  for (const Starter& starter : out.starters) {
    const Point a = frame.to(starter.from), b = frame.to(starter.to);
    s += fmt::format("<path id=\"{}\" d=\"M{} {}L{} {}\" stroke-width=\"2\"/>\n", escaped(starter.id),
                     svg_number(a.x), svg_number(a.y), svg_number(b.x), svg_number(b.y));
  }
  s += "</svg>\n";
  return s;
}

}  // namespace v0
}  // namespace lapwright
