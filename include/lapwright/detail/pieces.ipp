#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/callouts.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/layout.hpp>
#include <lapwright/detail/pieces_shape.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/tape.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/pieces.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline bool is_upright(Point a, Point b) {
  return std::fabs(b.x - a.x) <= tolerance;
}
inline bool is_level(Point a, Point b) {
  return std::fabs(b.y - a.y) <= tolerance;
}

/// The sides of a region that an end of a piece may lie along, ready to be asked many times.
class EndSides {
public:
  explicit EndSides(const Region& region) {
    for (const Boundary& side : region.boundary) {
      if (is_level(side.a, side.b)) continue;
      const Side known{std::min(side.a.y, side.b.y), std::max(side.a.y, side.b.y), side.a, side.b,
                       side.meets};
      (is_upright(side.a, side.b) ? upright_ : slanted_).push_back(known);
    }
    std::sort(upright_.begin(), upright_.end(), [](const Side& p, const Side& q) {
      if (p.a.x != q.a.x) return p.a.x < q.a.x;
      if (p.low != q.low) return p.low < q.low;
      return p.high < q.high;
    });
    std::sort(slanted_.begin(), slanted_.end(), [](const Side& p, const Side& q) {
      if (p.low != q.low) return p.low < q.low;
      if (p.a.x != q.a.x) return p.a.x < q.a.x;
      return p.high < q.high;
    });
    for (const Side& side : slanted_) tallest_ = std::max(tallest_, side.high - side.low);
  }

  /// The longest stretch along one edge of a piece (the piece on the left of a to b), weighed against the
  /// best found so far; what lies along nothing is a filler's side.
  void weigh(Point a, Point b, double& longest, Meets& meets) const {
    double free = std::fabs(b.y - a.y);
    const double low = std::min(a.y, b.y), high = std::max(a.y, b.y);
    const auto offer = [&](double stretch, Meets along) {
      if (stretch <= tolerance) return;
      free -= stretch;
      if (stretch > longest) {
        longest = stretch;
        meets = along;
      }
    };
    if (is_upright(a, b)) {
      auto side = std::lower_bound(upright_.begin(), upright_.end(), a.x - 2 * tolerance,
                                   [](const Side& s, double x) { return s.a.x < x; });
      for (; side != upright_.end() && side->a.x <= a.x + 2 * tolerance; ++side)
        if ((side->b.y > side->a.y) == (b.y > a.y))
          offer(std::min(high, side->high) - std::max(low, side->low), side->meets);
    } else {
      auto side = std::lower_bound(slanted_.begin(), slanted_.end(), low - tallest_,
                                   [](const Side& s, double y) { return s.low < y; });
      for (; side != slanted_.end() && side->low < high; ++side)
        if ((side->b.y > side->a.y) == (b.y > a.y) && on_line(*side, a) && on_line(*side, b))
          offer(std::min(high, side->high) - std::max(low, side->low), side->meets);
    }
    if (free > longest + tolerance) {
      longest = free;
      meets = Meets::filler;
    }
  }

private:
  struct Side {
    double low, high;
    Point a, b;
    Meets meets;
  };
  static bool on_line(const Side& side, Point p) {
    const double dx = side.b.x - side.a.x, dy = side.b.y - side.a.y;
    const double off = cross(side.a, side.b, p);
    return off * off <= 16 * tolerance * tolerance * (dx * dx + dy * dy);
  }
  std::vector<Side> upright_, slanted_;
  double tallest_ = 0;
};

/// What cut_pieces knows of every piece of a wall.
struct PieceMaker {
  const Wall& wall;
  const Pole& pole;
  const Rules& rules;
  EndSides sides;
  Tape tape;
  double height = 0;      ///< of the blank, on the layout's grid
  double region_top = 0;  ///< in; the last course shows up to here
  // Scratch, kept warm from piece to piece.
  Ring face;
  CallRounding along, up;
  std::vector<CallPoint> calls;
  std::vector<char> is_cut;
  std::vector<CutDraft> drafts;
  std::vector<std::size_t> order;
  std::string said;
  PolygonParter parter;

  PieceMaker(const Wall& w, const Region& region, const Pole& p, const Rules& r)
      : wall(w), pole(p), rules(r), sides(region), tape(r.courses.division) {
    height = snap_layout(rules.board.width);
    region_top = -std::numeric_limits<double>::infinity();
    for (const Polygon& part : region.parts)
      for (Point q : part.outer) region_top = std::max(region_top, q.y);
  }

  /// Height above the course line below which an edge shows.
  double shows_below(int course) const {
    const auto next = static_cast<std::size_t>(course) + 1;
    if (next >= pole.lines.size() || pole.lines[next] >= region_top - tolerance)
      return std::numeric_limits<double>::infinity();
    return pole.lines[next] - pole.lines[next - 1];
  }

  Piece make(const Run& run, Polygon shape, const Joint* left, const Joint* right);
  void settle_ends(Piece& piece, const Joint* left, const Joint* right) const;
  void cut(Piece& piece);
  void cut_ring(Piece& piece, const Ring& ring, std::size_t first_call, bool hole);
  void round_calls(const Piece& piece);
  Point in_blank(const Piece& piece, Point p) const;
};

/// The place in the blank: exact along, and on the blank's own edges where it is within `tolerance` of them.
inline Point PieceMaker::in_blank(const Piece& piece, Point p) const {
  Point q{p.x - piece.x_min, snap_layout(p.y - piece.y)};
  if (std::fabs(q.y) <= tolerance) q.y = 0;
  if (std::fabs(q.y - height) <= tolerance) q.y = height;
  return q;
}

inline Piece PieceMaker::make(const Run& run, Polygon shape, const Joint* left, const Joint* right) {
  Piece piece;
  piece.course = run.course;
  piece.filler = run.filler;
  piece.y = pole.lines[static_cast<std::size_t>(run.course)];
  for (Point& p : shape.outer) p.x = snap_layout(p.x);
  tidy_ring(shape.outer);
  if (shape.outer.empty()) return piece;
  double low = shape.outer[0].x, high = low;
  for (Point p : shape.outer) {
    low = std::min(low, p.x);
    high = std::max(high, p.x);
  }
  for (Point& p : shape.outer) {  // an end is upright, whatever noise its corners carry
    if (p.x - low <= tolerance) p.x = low;
    if (high - p.x <= tolerance) p.x = high;
  }
  const double upper = piece.y + rules.board.width;
  for (Point& p : shape.outer) {  // and so is a long edge level
    if (std::fabs(p.y - piece.y) <= tolerance) p.y = piece.y;
    if (std::fabs(p.y - upper) <= tolerance) p.y = upper;
  }
  tidy_ring(shape.outer);
  square_up(shape.outer);
  for (Ring& hole : shape.holes) {
    for (Point& p : hole) p.x = snap_layout(p.x);
    tidy_ring(hole);
    square_up(hole);
  }
  piece.outline = std::move(shape.outer);
  for (Ring& hole : shape.holes)
    if (!hole.empty()) piece.holes.push_back(std::move(hole));
  piece.x_min = low;
  piece.x_max = high;
  piece.length = high - low;
  piece.callout = tape.say_length(tape.down(piece.length));
  if (piece.outline.empty()) return piece;
  settle_ends(piece, left, right);
  cut(piece);
  return piece;
}

inline void PieceMaker::settle_ends(Piece& piece, const Joint* left, const Joint* right) const {
  const double shown = shows_below(piece.course);
  const std::size_t n = piece.outline.size();
  const auto settle = [&](PieceEnd& end, double x, const Joint* joint, bool factory) {
    bool square = false;
    for (std::size_t i = 0; i < n; ++i)
      square = square || (piece.outline[i].x == x && piece.outline[(i + 1) % n].x == x);
    end.factory = joint != nullptr && factory && square;
    double longest = 0;
    bool any_shows = false;
    for (std::size_t i = 0; i < n; ++i) {
      const Point a = piece.outline[i], b = piece.outline[(i + 1) % n];
      if (square ? a.x != x || b.x != x : (a.x != x && b.x != x) || is_level(a, b)) continue;
      any_shows = any_shows || std::min(a.y, b.y) - piece.y < shown - tolerance;
      if (joint == nullptr) sides.weigh(a, b, longest, end.meets);
    }
    if (joint != nullptr) end.meets = Meets::joint;
    end.seal = any_shows && !end.factory;
    return square;
  };
  const bool left_square = settle(piece.left, piece.x_min, left, left != nullptr && left->right_factory);
  const bool right_square = settle(piece.right, piece.x_max, right, right != nullptr && right->left_factory);
  // Measured from a factory end; else from a joint; else from a square end.
  const auto worth = [](const PieceEnd& end, bool square) {
    return end.factory ? 3 : end.meets == Meets::joint ? 2 : square ? 1 : 0;
  };
  piece.from = worth(piece.right, right_square) > worth(piece.left, left_square) ? Hand::right : Hand::left;
}

/// Every corner of outline and holes as it will be called, each once, so that cuts that meet agree.
inline void PieceMaker::round_calls(const Piece& piece) {
  std::size_t count = piece.outline.size();
  for (const Ring& hole : piece.holes) count += hole.size();
  calls.assign(count, {});
  along.clear();
  up.clear();
  const bool from_right = piece.from == Hand::right;
  const auto sign = [](double v) { return v > tolerance ? 1 : v < -tolerance ? -1 : 0; };
  std::size_t k = 0;
  const auto add = [&](const Ring& ring) {
    const std::size_t n = ring.size();
    for (std::size_t i = 0; i < n; ++i, ++k) {
      const Point before = ring[(i + n - 1) % n], here = ring[i], after = ring[(i + 1) % n];
      Point q = in_blank(piece, here);
      // Outward normals of the two edges. An upright edge alone says how its ends lean along, a level one how
      // they lean up: both its ends must round alike.
      int x_before = sign(here.y - before.y), x_after = sign(after.y - here.y);
      int y_before = sign(before.x - here.x), y_after = sign(here.x - after.x);
      if (is_upright(before, here)) x_after = 0;
      if (is_upright(here, after)) x_before = 0;
      if (is_level(before, here)) y_after = 0;
      if (is_level(here, after)) y_before = 0;
      if (from_right) {
        q.x = piece.length - q.x;
        x_before = -x_before;
        x_after = -x_after;
      }
      const int lean_x = leaning_of(x_before, x_after), lean_y = leaning_of(y_before, y_after);
      along.add(q.x, lean_x, &calls[k].x);
      if (q.y == 0) {
        calls[k].place = CallY::bottom;
      } else if (q.y == height) {
        calls[k].place = CallY::top;
      } else {
        up.add(q.y, lean_y, &calls[k].y);
      }
    }
  };
  add(piece.outline);
  for (const Ring& hole : piece.holes) add(hole);
  along.round(tape);
  up.round(tape);
  for (CallPoint& call : calls) {
    if (call.place == CallY::between && call.y <= 0) call = {call.x, 0, CallY::bottom};
    if (call.place == CallY::between && static_cast<double>(call.y) * tape.division() >= height - tolerance)
      call = {call.x, 0, CallY::top};
    if (call.place == CallY::top) call.y = std::numeric_limits<std::int64_t>::max();
  }
  // The blunt end of a sharp tip, lower than a division, would fall onto the long edge and take the tip
  // along: where the tip is a division off it stays, and further off the end is called one division high.
  const std::size_t n = piece.outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Point before = piece.outline[(i + n - 1) % n], here = piece.outline[i];
    const Point after = piece.outline[(i + 1) % n];
    CallPoint& call = calls[i];
    if (call.place == CallY::between || is_upright(before, here) || is_upright(here, after)) continue;
    const double edge = call.place == CallY::bottom ? 0 : height;
    if (in_blank(piece, here).y == edge) continue;
    for (const std::size_t j : {(i + n - 1) % n, (i + 1) % n}) {
      if (calls[j].place != call.place || in_blank(piece, piece.outline[j]).y != edge) continue;
      const std::int64_t apart = std::abs(calls[j].x - call.x);
      const bool tip = piece.outline[j].x == piece.x_min || piece.outline[j].x == piece.x_max;
      if (apart == 1 && (here.x == piece.x_min || here.x == piece.x_max))
        calls[j].x = call.x;
      else if (apart == 1)
        call.x = calls[j].x;
      else if (apart > 1 && tip && call.place == CallY::bottom)
        call = {call.x, 1, CallY::between};
    }
  }
}

inline void PieceMaker::cut_ring(Piece& piece, const Ring& ring, std::size_t first_call, bool hole) {
  const std::size_t n = ring.size();
  const double shown = shows_below(piece.course);
  const double length = piece.length;
  const bool from_right = piece.from == Hand::right;
  face.resize(n);
  for (std::size_t i = 0; i < n; ++i) face[i] = in_blank(piece, ring[i]);
  is_cut.assign(n, 1);
  if (!hole)
    for (std::size_t i = 0; i < n; ++i) {
      const Point a = face[i], b = face[(i + 1) % n];
      if (a.y == b.y && (a.y == 0 || a.y == height)) is_cut[i] = 0;
      if (a.x == b.x && a.x == 0 && piece.left.factory) is_cut[i] = 0;
      if (a.x == b.x && a.x == length && piece.right.factory) is_cut[i] = 0;
    }
  // joined[i]: the edges before and after corner i are one cut.
  const auto joined = [&](std::size_t i) {
    const std::size_t before = (i + n - 1) % n;
    return is_cut[before] && is_cut[i] && cross(face[before], face[i], face[(i + 1) % n]) < 0;
  };
  const auto finish = [&](std::size_t first, std::size_t edges, bool closed) {
    Cut& cut = piece.cuts.emplace_back();
    CutDraft& draft = drafts.emplace_back();
    draft.closed = closed;
    cut.front.reserve(edges + 1);
    cut.back.reserve(edges + 1);
    draft.path.reserve(edges + 1);
    for (std::size_t k = 0; k <= edges; ++k) {
      const std::size_t i = (first + k) % n;
      cut.front.push_back(face[i]);
      draft.path.push_back(calls[first_call + i]);
      if (k < edges && std::min(face[i].y, face[(i + 1) % n].y) < shown - tolerance) cut.seal = true;
    }
    bool reversed = false;
    if (!closed) {
      const Point a = cut.front.front(), b = cut.front.back();
      reversed = b.y < a.y || (b.y == a.y && b.x < a.x);
      if (reversed) {
        std::reverse(cut.front.begin(), cut.front.end());
        std::reverse(draft.path.begin(), draft.path.end());
      }
    }
    const Point a = cut.front.front(), b = cut.front[1], z = cut.front.back();
    if (edges > 1) {
      cut.kind = CutKind::notch;
      cut.tool = Tool::saw;
    } else {
      cut.kind = is_upright(a, b) ? CutKind::crosscut : is_level(a, b) ? CutKind::rip : CutKind::rake;
    }
    draft.kind = cut.kind;
    // The piece lies on the left of the outline's direction, so the waste lies right of it.
    const double turn = reversed ? -1 : 1;
    if (cut.kind == CutKind::rake) {
      const bool falls_left = (b.y - a.y) * turn < 0;
      const double p = falls_left ? length - a.x : a.x, q = falls_left ? length - b.x : b.x;
      cut.long_point = std::max(p, q);
      cut.short_point = std::min(p, q);
    }
    std::size_t leg = 0;  // the first that is left after rounding
    while (leg + 1 < edges && draft.path[leg].x == draft.path[leg + 1].x &&
           draft.path[leg].y == draft.path[leg + 1].y)
      ++leg;
    const double right = (cut.front[leg + 1].y - cut.front[leg].y) * turn;
    const double above = (cut.front[leg].x - cut.front[leg + 1].x) * turn;
    if (draft.path[leg].y == draft.path[leg + 1].y && std::fabs(above) > tolerance)
      draft.waste_y = above > 0 ? 1 : -1;
    else
      draft.waste_x = (right > 0) != from_right ? 1 : -1;
    const auto at_near = [&](Point p) { return from_right ? p.x == length : p.x == 0; };
    const auto at_far = [&](Point p) { return from_right ? p.x == 0 : p.x == length; };
    draft.begins_near = at_near(a);
    draft.begins_far = at_far(a);
    draft.ends_near = at_near(z);
    draft.ends_far = at_far(z);
    if (cut.kind == CutKind::crosscut)
      draft.whole = draft.begins_near || draft.begins_far || (a.y == 0 && z.y == height);
    else if (cut.kind == CutKind::rip)
      draft.whole = (draft.begins_near && draft.ends_far) || (draft.begins_far && draft.ends_near);
    draft.shape = shape_of(draft, tape.down(length));
    for (Point p : cut.front) cut.back.push_back(carry(p, {false, true}, length, height));
  };

  if (hole) {
    finish(0, n, true);
    return;
  }
  std::size_t start = 0;
  while (start < n && joined(start)) ++start;
  if (start == n) return;  // no outward corner: not a ring of any area
  for (std::size_t k = 0; k < n;) {
    const std::size_t first = (start + k) % n;
    if (!is_cut[first]) {
      ++k;
      continue;
    }
    std::size_t edges = 1;
    while (k + edges < n && joined((first + edges) % n)) ++edges;
    finish(first, edges, false);
    k += edges;
  }
}

inline void PieceMaker::cut(Piece& piece) {
  round_calls(piece);
  drafts.clear();
  cut_ring(piece, piece.outline, 0, false);
  std::size_t first_call = piece.outline.size();
  for (const Ring& hole : piece.holes) {
    cut_ring(piece, hole, first_call, true);
    first_call += hole.size();
  }
  // Square ends first, that from which all is measured before the other; rakes while the template's fence
  // still has a whole edge to lie on; then rips, then what a saw does, when the long cuts are behind it.
  for (CutDraft& draft : drafts) {
    draft.rank = draft.closed                      ? 5
                 : draft.kind == CutKind::crosscut ? (draft.begins_near ? 0 : 1)
                 : draft.kind == CutKind::rake     ? 2
                 : draft.kind == CutKind::rip      ? 3
                                                   : 4;
    draft.nearest = draft.path.front().x;
    for (const CallPoint& p : draft.path) draft.nearest = std::min(draft.nearest, p.x);
  }
  const bool from_left = piece.from == Hand::left;
  const bool factory = from_left ? piece.left.factory : piece.right.factory;
  const char* near_end = from_left ? "left" : "right";
  const char* far_end = from_left ? "right" : "left";
  order.resize(drafts.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    order[i] = i;
    Cut& cut = piece.cuts[i];
    CallWords(tape, near_end, far_end, said).call(drafts[i]);
    cut.callout = said;
    CallWords(tape, far_end, near_end, said).call(drafts[i]);
    cut.back_callout = said;
    CallWords(tape, near_end, far_end, said).print(drafts[i], cut, factory);
    cut.print = said;
  }
  const auto before = [&](std::size_t a, std::size_t b) {
    const CutDraft &p = drafts[a], &q = drafts[b];
    if (p.rank != q.rank) return p.rank < q.rank;
    return p.nearest != q.nearest ? p.nearest < q.nearest : a < b;
  };
  std::sort(order.begin(), order.end(), before);
  std::vector<Cut> sorted;
  sorted.reserve(order.size());
  for (std::size_t i : order) sorted.push_back(std::move(piece.cuts[i]));
  piece.cuts = std::move(sorted);
}

}  // namespace detail

LAPW_INLINE std::vector<Piece> cut_pieces(const Wall& wall, const Region& region, const Runs& runs,
                                          const std::vector<Joint>& joints, const Pole& pole,
                                          const Rules& rules) {
  std::vector<Fault> faults;
  if (!(rules.courses.division > 0))
    faults.push_back(
        {"courses.division", detail::format("must be more than 0, got {}", rules.courses.division)});
  if (!(rules.board.width > 0))
    faults.push_back({"board.width", detail::format("must be more than 0, got {}", rules.board.width)});
  for (std::size_t i = 0; i < runs.runs.size(); ++i)
    if (runs.runs[i].course < 0 || static_cast<std::size_t>(runs.runs[i].course) >= pole.lines.size())
      faults.push_back(
          {detail::format("runs[{}].course", i), detail::format("must be one of the pole's {} lines, got {}",
                                                                pole.lines.size(), runs.runs[i].course)});
  for (std::size_t i = 0; i < joints.size(); ++i)
    if (joints[i].run >= runs.runs.size())
      faults.push_back({detail::format("joints[{}].run", i),
                        detail::format("must be one of {} runs, got {}", runs.runs.size(), joints[i].run)});
  if (!faults.empty()) throw Refused(std::move(faults));

  std::vector<const Joint*> by_run;
  by_run.reserve(joints.size());
  for (const Joint& joint : joints) by_run.push_back(&joint);
  std::stable_sort(by_run.begin(), by_run.end(), [](const Joint* a, const Joint* b) {
    return a->run != b->run ? a->run < b->run : a->x < b->x;
  });

  detail::PieceMaker maker(wall, region, pole, rules);
  const double half_gap = rules.joints.gap / 2;
  std::vector<Piece> pieces;
  pieces.reserve(runs.runs.size() + joints.size());
  std::size_t next = 0;
  int course = -1, number = 0, filler_number = 0;
  for (std::size_t r = 0; r < runs.runs.size(); ++r) {
    const Run& run = runs.runs[r];
    if (run.course != course) {
      course = run.course;
      number = filler_number = 0;
    }
    const auto add = [&](Polygon shape, const Joint* left, const Joint* right) {
      const Box box = detail::bounds(shape.outer);
      if (left != nullptr && box.x_min > left->x + half_gap + tolerance) left = nullptr;
      if (right != nullptr && box.x_max < right->x - half_gap - tolerance) right = nullptr;
      Piece piece = maker.make(run, std::move(shape), left, right);
      if (piece.outline.empty()) return;
      piece.id = wall.name;
      piece.id += '-';
      detail::Tape::digits(piece.id, course, 2);
      piece.id += run.filler ? "-f" : "-";
      detail::Tape::digits(piece.id, run.filler ? ++filler_number : ++number);
      pieces.push_back(std::move(piece));
    };
    std::vector<Polygon> rest{run.shape};
    const Joint* left = nullptr;
    for (; next < by_run.size() && by_run[next]->run == r; ++next) {
      const Joint* joint = by_run[next];
      std::vector<Polygon> beyond;
      for (Polygon& part : rest) {
        for (Polygon& cut : maker.parter.part(part, detail::Beside::left, joint->x - half_gap))
          add(std::move(cut), left, joint);
        for (Polygon& cut : maker.parter.part(part, detail::Beside::right, joint->x + half_gap))
          beyond.push_back(std::move(cut));
      }
      rest = std::move(beyond);
      left = joint;
    }
    for (Polygon& part : rest) add(std::move(part), left, nullptr);
  }
  return pieces;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
