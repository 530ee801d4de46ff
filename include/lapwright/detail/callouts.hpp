#pragma once
/// \file detail/callouts.hpp  The numbers and the words of a piece's cuts. The grammar stands in pieces.hpp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/layout.hpp>
#include <lapwright/detail/tape.hpp>
#include <lapwright/pieces.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

enum class CallY { bottom, between, top };

/// A place as it is called: divisions from the end that is measured from, and up from the lower edge.
struct CallPoint {
  std::int64_t x = 0;
  std::int64_t y = 0;
  CallY place = CallY::between;
};

/// -1: the board becomes smaller as the number goes down, 1: as it goes up; 0: the edge does not care.
struct Leaning {
  int x = 0;
  int y = 0;
};

/// What leaves less board at a corner between two edges, each given by its outward normal. Where they
/// disagree (a tip), down.
inline int leaning_of(int normal_before, int normal_after) {
  if (normal_before == 0) return -normal_after;
  if (normal_after == 0 || normal_after == normal_before) return -normal_before;
  return -1;
}

/// Rounds numbers along one direction: each as it leans, but all of one division down where two of them
/// would change places, so that what is left of what stays left of it.
class CallRounding {
public:
  void clear() { items_.clear(); }
  void add(double inches, int leaning, std::int64_t* to) { items_.push_back({inches, leaning, to}); }

  void round(const Tape& tape) {
    std::sort(items_.begin(), items_.end(), [](const Item& a, const Item& b) {
      if (a.inches != b.inches) return a.inches < b.inches;
      return a.leaning < b.leaning;
    });
    for (std::size_t i = 0; i < items_.size();) {
      const std::int64_t cell = tape.down(items_[i].inches);
      std::size_t end = i;
      bool up_seen = false, crossed = false;
      for (; end < items_.size() && tape.down(items_[end].inches) == cell; ++end) {
        const bool up = items_[end].leaning > 0 && !on_grid(items_[end].inches, cell, tape);
        up_seen = up_seen || up;
        crossed = crossed || (up_seen && !up && !on_grid(items_[end].inches, cell, tape));
      }
      for (; i < end; ++i) {
        const bool up = !crossed && items_[i].leaning > 0 && !on_grid(items_[i].inches, cell, tape);
        *items_[i].to = cell + (up ? 1 : 0);
      }
    }
  }

private:
  struct Item {
    double inches;
    int leaning;
    std::int64_t* to;
  };
  static bool on_grid(double inches, std::int64_t cell, const Tape& tape) {
    return inches - static_cast<double>(cell) * tape.division() <= tolerance;
  }
  std::vector<Item> items_;
};

/// What a cut is called by, once its places are rounded.
enum class CallShape {
  near_end,      ///< the end that is measured from, squared
  far_end,       ///< the other end, or the whole width
  upright,       ///< a stretch square across
  level,         ///< a stretch along
  whole_level,   ///< from one end of the piece to the other
  slanted,       ///< a rake
  edge_notch,    ///< upright sides and a level bottom, out of a long edge
  corner_notch,  ///< one upright and one level leg
  end_notch,     ///< two level legs out of an end
  free_notch,    ///< any other
  box_hole,
  free_hole,
  nothing  ///< less than a division, on the board's own edge once it is rounded: "skip, under 1/16"
};

/// A cut before it has words.
struct CutDraft {
  CutKind kind = CutKind::crosscut;
  bool closed = false;
  bool whole = false;  ///< along a whole end of the blank, or from one end to the other
  int waste_x = 0;  ///< where the waste lies of the first leg: 1 further from the end that is measured from,
                    ///< -1 nearer; 0 where the leg is level
  int waste_y = 0;  ///< 1 above, -1 below; 0 where the leg is not level
  bool begins_near = false, begins_far = false;  ///< on an end of the blank
  bool ends_near = false, ends_far = false;
  std::vector<CallPoint> path;
  CallShape shape = CallShape::free_notch;
  int rank = 0;              ///< in the order that a cutter makes them
  std::int64_t nearest = 0;  ///< of its places to the end that is measured from
};

inline CallShape hole_shape(const std::vector<CallPoint>& path) {
  bool box = path.size() == 5;
  for (std::size_t i = 0; box && i < 4; ++i)
    box = path[i].place == CallY::between && (path[i].x == path[i + 1].x) != (path[i].y == path[i + 1].y);
  return box ? CallShape::box_hole : CallShape::free_hole;
}

/// \param far  divisions from the end that is measured from to the other one
inline CallShape shape_of(const CutDraft& cut, std::int64_t far) {
  const std::vector<CallPoint>& path = cut.path;
  const auto on_edge = [](const CallPoint& p) { return p.place != CallY::between; };
  if (cut.closed) return hole_shape(path);
  if (!(cut.kind == CutKind::crosscut && cut.whole)) {
    bool level = path[0].place != CallY::between, near_end = cut.waste_x<0, far_end = cut.waste_x> 0;
    for (const CallPoint& p : path) {
      level = level && p.place == path[0].place;
      near_end = near_end && p.x == 0;
      far_end = far_end && p.x == far;
    }
    if (level) level = cut.waste_y == (path[0].place == CallY::top ? 1 : -1);
    const bool point = path.front().x == path.back().x && path.front().y == path.back().y && path.size() == 2;
    if (level || near_end || far_end || point) return CallShape::nothing;
  }
  if (cut.kind != CutKind::notch) {
    // As its rounded places lie: a rake may round to level or upright.
    if (cut.kind == CutKind::crosscut && cut.begins_near) return CallShape::near_end;
    if (cut.kind == CutKind::crosscut && cut.whole) return CallShape::far_end;
    if (cut.kind == CutKind::rip && cut.whole) return CallShape::whole_level;
    if (path[0].x == path[1].x) return CallShape::upright;
    return path[0].y == path[1].y ? CallShape::level : CallShape::slanted;
  }
  if (path.size() == 4 && !on_edge(path[1]) && !on_edge(path[2])) {
    if (path[0].x == path[1].x && path[1].y == path[2].y && path[2].x == path[3].x &&
        path[0].place == path[3].place && on_edge(path[0]))
      return CallShape::edge_notch;
    if (path[0].y == path[1].y && path[1].x == path[2].x && path[2].y == path[3].y && !on_edge(path[0]) &&
        !on_edge(path[3]) && ((cut.begins_near && cut.ends_near) || (cut.begins_far && cut.ends_far)))
      return CallShape::end_notch;
  }
  const bool begins_end = cut.begins_near || cut.begins_far, ends_end = cut.ends_near || cut.ends_far;
  if (path.size() == 3 && begins_end != ends_end && !on_edge(path[1])) {
    const CallPoint& level = begins_end ? path[0] : path[2];
    const CallPoint& upright = begins_end ? path[2] : path[0];
    if (level.y == path[1].y && upright.x == path[1].x && on_edge(upright)) return CallShape::corner_notch;
  }
  return CallShape::free_notch;
}

/// The words for one cut. `near_end` is the end that is measured from as the board lies, `far_end` the other;
/// the same numbers serve face and back.
class CallWords {
public:
  CallWords(const Tape& tape, const char* near_end, const char* far_end, std::string& text)
      : tape_(tape), near_(near_end), far_(far_end), t_(text) {
    t_.clear();
  }

  /// Short, to call across a site.
  void call(const CutDraft& cut) {
    const std::vector<CallPoint>& path = cut.path;
    switch (cut.shape) {
      case CallShape::nothing:
        say("skip, under ");
        measure(1);
        return;
      case CallShape::near_end:
        say("square ", near_, " end");
        return;
      case CallShape::far_end:
        say("square at ");
        measure(path[0].x);
        break;
      case CallShape::upright:
        say("square at ");
        measure(path[0].x);
        say(", ");
        height(path[0]);
        say(" to ");
        height(path[1]);
        say(", waste ", side(cut));
        break;
      case CallShape::whole_level:
        say("rip at ");
        height(path[0]);
        say(", waste ", side(cut));
        return;
      case CallShape::level:
        say("rip at ");
        height(path[0]);
        say(", ");
        stretch(path[0], path[1]);
        say(", waste ", side(cut));
        break;
      case CallShape::slanted:
        say("rake ", side(cut), ": ");
        places(path, 2);
        break;
      case CallShape::edge_notch:
        say("notch ", edge(path[0]), ", ");
        stretch(lower(path[0], path[3]), path[0].x < path[3].x ? path[3] : path[0]);
        depth(path[0], path[1]);
        break;
      case CallShape::corner_notch: {
        const CallPoint& upright =
            path[0].x == path[1].x && path[0].place != CallY::between ? path[0] : path[2];
        say("notch ", edge(upright), " ");
        say(cut.begins_near || cut.ends_near ? near_ : far_, " corner at ");
        measure(path[1].x);
        depth(upright, path[1]);
        break;
      }
      case CallShape::end_notch:
        say("notch ", cut.begins_near ? near_ : far_, " end, at ");
        measure(path[1].x);
        say(", ");
        number(std::min(path[0].y, path[3].y));
        say(" up to ");
        measure(std::max(path[0].y, path[3].y));
        say(" up");
        break;
      case CallShape::box_hole: {
        const auto [x, y] = box(path);
        say("hole, ");
        number(x.first);
        say(" to ");
        measure(x.second);
        say(", ");
        number(y.first);
        say(" up to ");
        measure(y.second);
        say(" up");
        break;
      }
      case CallShape::free_hole:
        say("hole: ");
        places(path, path.size() - 1);
        break;
      case CallShape::free_notch:
        say("saw: ");
        places(path, path.size());
        say(", waste ", inside(cut) ? "inside" : side(cut));
        break;
    }
    say(", from ", near_);
  }

  /// Longer, for the cut sheet, face up: tool, what comes off, whether to seal.
  void print(const CutDraft& cut, const Cut& made, bool factory) {
    const std::vector<CallPoint>& path = cut.path;
    factory_ = factory;
    say(made.tool == Tool::saw ? "Saw: " : "Shears: ");
    switch (cut.shape) {
      case CallShape::nothing:
        say("nothing to cut here, it is less than ");
        measure(1, " in");
        say(".");
        break;
      case CallShape::near_end:
        say("square the ", near_, " end; all else is measured from it.");
        break;
      case CallShape::far_end:
        say("cut square across, ");
        measure_in(path[0].x);
        from_end();
        say(".");
        break;
      case CallShape::upright:
        say("cut square across, ");
        measure_in(path[0].x);
        from_end();
        say(", from ");
        full_height(path[0]);
        say(" to ");
        full_height(path[1]);
        comes_off(cut);
        break;
      case CallShape::whole_level:
        say("rip along, ");
        full_height(path[0]);
        comes_off(cut);
        break;
      case CallShape::level:
        say("rip along, ");
        full_height(path[0]);
        say(", from ");
        measure_in(path[0].x);
        say(" to ");
        measure_in(path[1].x);
        from_end();
        comes_off(cut);
        break;
      case CallShape::slanted: {
        const Point a = made.front[0], b = made.front[1];
        const bool first_long = (path[0].x > path[1].x) == (cut.waste_x > 0);
        say("rake, ");
        slope(std::fabs((b.y - a.y) / (b.x - a.x)));
        say(first_long ? ": long point " : ": short point ");
        full_place(path[0]);
        say(first_long ? ", short point " : ", long point ");
        full_place(path[1]);
        say(", measured");
        from_end();
        comes_off(cut);
        break;
      }
      case CallShape::edge_notch:
        say("notch the ", full_edge(path[0]), " edge from ");
        measure_in(std::min(path[0].x, path[3].x));
        say(" to ");
        measure_in(std::max(path[0].x, path[3].x));
        from_end();
        full_depth(path[0], path[1]);
        break;
      case CallShape::corner_notch: {
        const CallPoint& upright =
            path[0].x == path[1].x && path[0].place != CallY::between ? path[0] : path[2];
        say("notch the ", full_edge(upright), " ");
        say(cut.begins_near || cut.ends_near ? near_ : far_, " corner, in to ");
        measure_in(path[1].x);
        from_end();
        full_depth(upright, path[1]);
        break;
      }
      case CallShape::end_notch:
        say("notch the ", cut.begins_near ? near_ : far_, " end, in to ");
        measure_in(path[1].x);
        from_end();
        say(", between ");
        measure_in(std::min(path[0].y, path[3].y));
        say(" and ");
        measure_in(std::max(path[0].y, path[3].y));
        say(" up from the lower edge.");
        break;
      case CallShape::box_hole: {
        const auto [x, y] = box(path);
        say("cut out a hole from ");
        measure_in(x.first);
        say(" to ");
        measure_in(x.second);
        from_end();
        say(", between ");
        measure_in(y.first);
        say(" and ");
        measure_in(y.second);
        say(" up from the lower edge.");
        break;
      }
      case CallShape::free_hole:
      case CallShape::free_notch:
        say(cut.closed ? "cut out a hole. Mark" : "notch from mark to mark. Mark");
        from_end();
        for (std::size_t i = 0; i + (cut.closed ? 1 : 0) < path.size(); ++i) {
          say(i == 0 ? ": " : "; ");
          full_place(path[i]);
        }
        if (cut.closed)
          say(".");
        else if (inside(cut))
          say(". What lies inside comes off.");
        else
          say(". What lies ", side(cut), " of the first leg comes off.");
        break;
    }
    if (made.seal) say(" Seal the edge.");
  }

private:
  void say(const char* a) { t_ += a; }
  void say(const char* a, const char* b) {
    t_ += a;
    t_ += b;
  }
  void say(const char* a, const char* b, const char* c) {
    t_ += a;
    t_ += b;
    t_ += c;
  }
  void number(std::int64_t n) { tape_.say(t_, n); }
  /// With its unit where that is not inches, which nobody says.
  void measure(std::int64_t n, const char* inches = "") {
    number(n);
    say(tape_.metric() ? " mm" : inches);
  }
  void along(const CallPoint& p) {
    if (p.x == 0)
      say("end");
    else
      measure(p.x);
  }
  /// "12 1/4 to 30", "311 to 762 mm": the unit once.
  void stretch(const CallPoint& from, const CallPoint& to) {
    if (from.x != 0 && to.x != 0)
      number(from.x);
    else
      along(from);
    say(" to ");
    along(to);
  }
  void height(const CallPoint& p) {
    if (p.place != CallY::between) return say(edge(p));
    measure(p.y);
    say(" up");
  }
  /// "16 1/2 top, 20 at 4 1/2 up"
  void places(const std::vector<CallPoint>& path, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) say(", ");
      along(path[i]);
      say(path[i].place == CallY::between ? " at " : " ");
      height(path[i]);
    }
  }
  /// How deep a notch goes that begins at `from`.
  void depth(const CallPoint& from, const CallPoint& to) {
    if (from.place == CallY::top) {
      say(", leave ");
      measure(to.y);
    } else {
      say(", ");
      measure(to.y);
      say(" up");
    }
  }
  /// From an edge back to it: what comes off lies between the marks, on either side of a leg.
  static bool inside(const CutDraft& cut) {
    const CallPoint &a = cut.path.front(), &b = cut.path.back();
    return (a.place != CallY::between && a.place == b.place) || (cut.begins_near && cut.ends_near) ||
           (cut.begins_far && cut.ends_far);
  }
  const char* side(const CutDraft& cut) const {
    if (cut.waste_x != 0) return cut.waste_x < 0 ? near_ : far_;
    return cut.waste_y < 0 ? "below" : "above";
  }
  static const char* edge(const CallPoint& p) { return p.place == CallY::top ? "top" : "bottom"; }
  static const char* full_edge(const CallPoint& p) { return p.place == CallY::top ? "upper" : "lower"; }
  static const CallPoint& lower(const CallPoint& a, const CallPoint& b) { return b.x < a.x ? b : a; }
  static std::pair<std::pair<std::int64_t, std::int64_t>, std::pair<std::int64_t, std::int64_t>> box(
      const std::vector<CallPoint>& path) {
    return {std::minmax(path[0].x, path[2].x), std::minmax(path[0].y, path[2].y)};
  }

  void measure_in(std::int64_t n) { measure(n, " in"); }
  void from_end() { say(" from the ", near_, factory_ ? " factory end" : " end"); }
  void full_height(const CallPoint& p) {
    if (p.place != CallY::between) return say("the ", full_edge(p), " edge");
    measure_in(p.y);
    say(" up from the lower edge");
  }
  void full_place(const CallPoint& p) {
    if (p.x == 0 && p.place != CallY::between) return say("at the end's ", full_edge(p), " corner");
    if (p.x == 0) {
      say("at the end and ");
      measure_in(p.y);
      return say(" up");
    }
    measure_in(p.x);
    if (p.place != CallY::between) return say(" along the ", full_edge(p), " edge");
    say(" along and ");
    measure_in(p.y);
    say(" up");
  }
  void full_depth(const CallPoint& from, const CallPoint& to) {
    if (from.place == CallY::top) {
      say(", down to ");
      measure_in(to.y);
      say(" above the lower edge.");
    } else {
      say(", up to ");
      measure_in(to.y);
      say(" above the lower edge.");
    }
  }
  void comes_off(const CutDraft& cut) {
    if (cut.waste_x != 0)
      say("; what lies ", side(cut), " of it comes off.");
    else
      say("; what lies ", side(cut), " it comes off.");
  }
  /// Rise in 12, to a hundredth, or in a metre.
  void slope(double rise_over_run) {
    if (tape_.metric()) {
      Tape::digits(t_, std::llround(rise_over_run * 1000));
      return say(" mm in 1 m");
    }
    const std::int64_t rise = std::llround(rise_over_run * 1200);
    Tape::digits(t_, rise / 100);
    if (rise % 100 != 0) {
      t_ += '.';
      if (rise % 10 == 0)
        Tape::digits(t_, rise % 100 / 10);
      else
        Tape::digits(t_, rise % 100, 2);
    }
    say(" in 12");
  }

  const Tape& tape_;
  const char* near_;
  const char* far_;
  std::string& t_;
  bool factory_ = false;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
