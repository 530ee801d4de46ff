#pragma once
/// \file job.hpp  What was measured and what the crew decided: the job document as plain values.
///
/// Every length is inches, already in double; the coordinates of walls and openings are snapped (see
/// geometry.hpp), rules are not. Members stand in the order, and under the names, of the job document, so
/// that a fault's path reads the same in both. Every rule of the trade is a member here, with its default,
/// its unit and where the default comes from.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {

/// A cut-off board on hand: full width, costs nothing.
struct StockOffcut {
  double length = 0;           ///< in
  bool factory_left = false;   ///< its left end, face up, is a factory end
  bool factory_right = false;  ///< its right end is
};

/// The board.
struct BoardRules {
  double width = 8.25;          ///< in
  double thickness = 0.3125;    ///< in; 5/16 is the usual lap board (trade practice)
  std::vector<double> lengths;  ///< in; stock lengths that can be bought, at least one
  std::vector<double> prices;   ///< per board, same order; empty: each its length / the shortest length
  double min_lap = 1.25;        ///< in; IRC R703.10.2
  double weight = 2.25;         ///< lb per square foot of board face (trade practice for 5/16 in)
  bool turnable = true;         ///< may be turned half round in its plane
  std::vector<StockOffcut> offcuts;
};

enum class CourseMode { full, even, fitted };

/// A joint in a course that is nailed already.
struct BuiltJoint {
  std::string wall;
  int course = 0;  ///< index into CourseRules::lines
  double x = 0;    ///< in
};

/// The story pole.
struct CourseRules {
  CourseMode mode = CourseMode::fitted;
  std::optional<double> max_exposure;  ///< in; default board.width - board.min_lap, the greatest allowed
  std::optional<double> min_exposure;  ///< in; default max_exposure - 1 (common practice)
  double division = 0.0625;            ///< in; the grid of lines, exposures and callouts: a tape's sixteenths
  double max_step = 0.125;    ///< in; greatest change of exposure between neighbours (common practice)
  double min_strip = 1.5;     ///< in; a lower strip beside a mark snaps (common practice)
  std::vector<double> lines;  ///< in; as built: lines of nailed courses, from the lowest
  std::vector<BuiltJoint> joints_built;
};

/// Butt joints.
struct JointRules {
  double gap = 0;            ///< in; between two ends that meet (0: moderate contact)
  double window = 0.0625;    ///< in; a joint lies within this of a stud's centre
  double min_piece = 16;     ///< in; least blank of a piece beside a joint: one bay (common practice)
  double stagger = 32;       ///< in; between stud centres that carry joints of neighbouring courses
  int repeat_after = 3;      ///< courses until a stud may carry a joint again (common practice)
  bool factory_ends = true;  ///< ends that meet in mid-run are factory ends
  double price = 0.002;      ///< of one joint, in shortest boards: what the search pays to save one
};

/// The saw and the shears.
struct CuttingRules {
  double kerf = 0.125;     ///< in; lost between two things cut from one board
  double min_leg = 2.0;    ///< in; a lower leg beside a notch snaps (common practice)
  double min_offcut = 16;  ///< in; a shorter offcut is not worth keeping
};

/// The strip that makes the first course lean like the others.
struct StarterRules {
  std::optional<double> width;  ///< in; default board.min_lap
};

/// Trim, if its thickness is to be checked against the lean of the siding.
struct TrimRules {
  double thickness = 1.0;  ///< in
};

struct SheathingRules {
  double thickness = 0.4375;  ///< in; 7/16 panel
  bool holds_nails = true;    ///< nails between studs hold in it
};

/// The nail and where it may stand.
struct FastenerRules {
  double length = 2.5;   ///< in; 8d (NDS 2018 Table L4)
  double shank = 0.113;  ///< in; 8d box nail, same table
  double head = 0.297;   ///< in; 8d box nail, same table
  bool ring_shank = true;
  double top_edge = 1.0;    ///< in; nail line below the board's upper edge (3/4 to 1: trade practice)
  double end_edge = 0.375;  ///< in; least, from ends and slanted edges (trade practice)
  double edge = 0.75;       ///< in; least, from long edges (trade practice)
  std::optional<double> max_spacing;  ///< in; default the wall's stud spacing, or 16 where it has none
  double end_reach = 4;          ///< in; furthest the first place for a nail at an end may be from its nail
  double min_penetration = 1.0;  ///< in; into framing (IBC 1405.16; trade practice 1 to 1 1/4)
  double min_framing_share = 0.6666;  ///< of each wall's nails (common practice: two thirds)
};

/// Sealant at field ends.
struct SealRules {
  double width = 0.125;      ///< in
  double depth = 0.25;       ///< in
  double cartridge = 18.23;  ///< cubic inches: 10.1 US fl oz
};

struct StagingRules {
  double lift = 60;              ///< in; height of one lift (common practice)
  std::optional<double> rating;  ///< psf; rated load of the platform
  double bay_length = 84;        ///< in; platform of one bay
  double bay_width = 60;         ///< in
};

struct SearchRules {
  double effort = 1;  ///< multiplies the default number of steps of the board search
};

/// Wind, for figures to hand to a licensed professional.
struct LoadRules {
  double wind_speed = 115;         ///< mph, ultimate 3-second gust
  char exposure = 'B';             ///< 'B', 'C' or 'D'
  double mean_roof_height = 180;   ///< in
  double plan_length = 480;        ///< in
  double plan_width = 336;         ///< in
  double specific_gravity = 0.42;  ///< of the framing, oven-dry (NDS 2018 Table 12.3.3A)
};

/// Everything that holds for the whole house.
struct Rules {
  BoardRules board;
  CourseRules courses;
  JointRules joints;
  CuttingRules cutting;
  StarterRules starter;
  std::optional<TrimRules> trim;
  SheathingRules sheathing;
  FastenerRules fasteners;
  SealRules seal;
  StagingRules staging;
  double allowance = 0;  ///< extra boards for breakage, as a share; printed apart
  SearchRules search;
  std::optional<LoadRules> loads;
};

/// Kind of an outline edge. base: the bottom, where the first course hangs over. roof: a lower roof's slope
/// or deck that meets this wall from below. top: level top (soffit, frieze). wall: another wall's face.
enum class EdgeKind { base, corner, top, rake, roof, wall };

/// What lies along one outline edge: a trim board and a gap beside it take depth trim + gap from the wall.
struct Edge {
  EdgeKind kind = EdgeKind::corner;
  double trim = 0;  ///< in
  double gap = 0;   ///< in; open between trim and board (a roof's is its clearance, square to the slope)
};

/// The defaults of a kind of edge (common practice).
constexpr Edge default_edge(EdgeKind kind) {
  switch (kind) {
    case EdgeKind::base:
      return {kind, 0, 0};
    case EdgeKind::corner:
      return {kind, 3.5, 0.125};
    case EdgeKind::top:
      return {kind, 0, 0.125};
    case EdgeKind::rake:
      return {kind, 5.5, 0.125};
    case EdgeKind::roof:
      return {kind, 0, 2};
    case EdgeKind::wall:
      return {kind, 0, 0.125};
  }
  return {kind, 0, 0};
}
inline constexpr double default_opening_trim = 3.5;       ///< in
inline constexpr double default_opening_gap = 0.125;      ///< in
inline constexpr double default_opening_head_gap = 0.25;  ///< in; over the head, for drainage

/// A window, door or vent. Trim and gap stand edge by edge: edges[i] belongs to the outline's edge i to i+1.
struct Opening {
  std::string name;
  Ring outline;  ///< simple, either direction; a rectangle starts at its lower left corner, counter-clockwise
  std::vector<double> trim;  ///< in, one for each outline edge
  std::vector<double> gap;   ///< in, one for each outline edge
  bool rectangle = false;    ///< given as a rectangle: edges sill, right, head, left; framed at its sides
};

/// The rectangle with its lower left corner at `at`, with one trim all round and the default gaps.
Opening rectangular_opening(std::string name, Point at, double width, double height,
                            double trim = default_opening_trim);

struct Framing {
  double spacing = 16;        ///< in; 0: no regular studs
  double first = 0.75;        ///< in; centre of the first stud, absolute x
  double stud_width = 1.5;    ///< in
  std::vector<double> studs;  ///< in; further centres
  std::vector<Box> members;   ///< plates, rims, headers, blocking: rectangles that hold nails
  double opening_stud = 3.0;  ///< in; width of the stud or pair flush with each side of a rectangular opening
  bool around_openings = true;
};

struct Wall {
  std::string name;
  Ring outline;                   ///< simple, either direction
  std::vector<Edge> edges;        ///< edges[i] belongs to the edge from outline[i] to outline[i+1]
  std::optional<Interval> start;  ///< the first course line lies in here
  std::vector<Opening> openings;
  Framing framing;
};

struct Job {
  std::string name;
  Rules rules;
  std::vector<Wall> walls;
  std::vector<std::string> defaults_used;  ///< leaf paths that a reader filled in; carried to the plan
};

/// Sizes beyond which a job is refused, so that a slip (a division of 0.001, a wall in the wrong unit) is
/// told at once and not planned for hours. Far above any house.
inline constexpr std::size_t most_walls = 1000;
inline constexpr std::size_t most_points = 5000;        ///< of one outline
inline constexpr std::size_t most_openings = 2000;      ///< of one wall
inline constexpr std::size_t most_members = 20000;      ///< of one wall
inline constexpr std::size_t most_stock = 100;          ///< stock lengths
inline constexpr std::size_t most_on_hand = 10000;      ///< offcuts on hand
inline constexpr std::size_t most_lines_built = 10000;  ///< courses nailed, and joints in them
inline constexpr double most_divisions = 200000;        ///< from the lowest to the highest point of the house
inline constexpr double most_courses = 5000;
inline constexpr double most_studs = 20000;    ///< of one wall
inline constexpr double most_pieces = 100000;  ///< of the house, as estimated from areas
inline constexpr double most_effort = 1000;
inline constexpr double least_piece = 8;  ///< in; no relaxing makes a piece beside a joint shorter

/// The default gaps of an opening that is no rectangle, one for each edge of its outline (either direction):
/// that of a head for an edge whose outward normal points up within 45 degrees.
std::vector<double> polygon_opening_gaps(const Ring& outline);

namespace detail {
/// What is wrong with one side of a rectangle, or nothing: `what` begins the sentence.
std::string size_fault(std::string_view what, double inches);
}  // namespace detail

/// Values that stand for an absent member.
double greatest_exposure(const Rules&);  ///< in; courses.max_exposure, or board.width - board.min_lap
double least_exposure(const Rules&);     ///< in; courses.min_exposure, or greatest_exposure - 1
double starter_width(const Rules&);      ///< in; starter.width, or board.min_lap
double nail_spacing(const Rules&, const Framing&);  ///< in; fasteners.max_spacing, or the studs', or 16
std::vector<double> board_prices(const Rules&);     ///< one for each stock length

/// Every fault of a job, with its path in the job document; empty when it can be planned as far as can be
/// seen before planning. Numbers that are not finite are named once and take part in no other check.
/// O(n log n) in vertices; openings that stand beside or over one another are compared pairwise. Never throws
/// but bad_alloc.
std::vector<Fault> check_job(const Job& job);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/job.ipp>
#endif
