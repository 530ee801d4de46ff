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

/// The words for one cut, given its places in order. `near_end` is the end that is measured from as the
/// board lies, `far_end` the other; the same numbers serve face and back.
struct CallWords {
  const Tape* tape = nullptr;
  const char* near_end = "left";
  const char* far_end = "right";
  std::string& text;  ///< written over

  void number(std::int64_t n) { tape->say(text, n); }
  void along(const CallPoint& p) {
    if (p.x == 0)
      text += "end";
    else
      number(p.x);
  }
  void height(const CallPoint& p, const char* unit) {
    if (p.place == CallY::bottom) {
      text += "bottom";
    } else if (p.place == CallY::top) {
      text += "top";
    } else {
      number(p.y);
      text += unit;
    }
  }
  void up(const CallPoint& p) { height(p, " up"); }
  /// "16 1/2 top", "20 at 4 1/2 up"
  void place(const CallPoint& p) {
    along(p);
    text += p.place == CallY::between ? " at " : " ";
    up(p);
  }
  void leave(const CallPoint& p) {
    text += ", leave ";
    number(p.y);
  }
  void measured() {
    text += tape->metric() ? ", mm from " : ", from ";
    text += near_end;
  }
};

/// A cut before it has words.
struct CutDraft {
  CutKind kind = CutKind::crosscut;
  bool closed = false;
  bool at_near = false;  ///< a crosscut at the end that is measured from
  bool whole = false;    ///< from one end of the blank to the other, or from its lower to its upper edge
  int waste_x = 0;       ///< where the waste lies of the first leg: 1 further from the end that is measured
                         ///< from, -1 nearer; 0 where the leg is level
  int waste_y = 0;       ///< 1 above, -1 below; 0 where the leg is not level
  bool begins_near = false, begins_far = false;  ///< on an end of the blank
  bool ends_near = false, ends_far = false;
  std::vector<CallPoint> path;
  int rank = 0;              ///< in the order that a cutter makes them
  std::int64_t nearest = 0;  ///< of its places to the end that is measured from
};

/// Upright sides and one level bottom.
inline bool is_box_notch(const CutDraft& cut) {
  return cut.path.size() == 4 && cut.path[0].x == cut.path[1].x && cut.path[1].y == cut.path[2].y &&
         cut.path[2].x == cut.path[3].x && cut.path[1].place == CallY::between &&
         cut.path[2].place == CallY::between && cut.path[0].place == cut.path[3].place &&
         cut.path[0].place != CallY::between;
}

inline std::string short_call(const CutDraft& cut, CallWords words) {
  std::string& t = words.text;
  t.clear();
  const std::vector<CallPoint>& path = cut.path;
  const char* side = cut.waste_x != 0 ? (cut.waste_x < 0 ? words.near_end : words.far_end)
                                      : (cut.waste_y < 0 ? "below" : "above");
  CutKind kind = cut.kind;  // as its rounded places lie: a rake may round to level or upright
  if (kind == CutKind::rake && path[0].x == path[1].x) kind = CutKind::crosscut;
  if (kind == CutKind::rake && path[0].y == path[1].y && path[0].place == path[1].place) kind = CutKind::rip;
  switch (kind) {
    case CutKind::crosscut:
      if (cut.at_near) {
        t += "square ";
        t += words.near_end;
        t += " end";
        return t;
      }
      t += "square at ";
      words.number(path[0].x);
      if (!cut.whole) {
        t += ", ";
        words.up(path[0]);
        t += " to ";
        words.up(path[1]);
        t += ", waste ";
        t += side;
      }
      words.measured();
      return t;
    case CutKind::rip:
      t += "rip at ";
      words.height(path[0], words.tape->metric() && cut.whole ? " mm up" : " up");
      if (!cut.whole) {
        t += ", ";
        words.along(path[0]);
        t += " to ";
        words.along(path[1]);
      }
      t += ", waste ";
      t += side;
      if (!cut.whole) words.measured();
      return t;
    case CutKind::rake:
      t += "rake ";
      t += side;
      t += ": ";
      words.place(path[0]);
      t += ", ";
      words.place(path[1]);
      words.measured();
      return t;
    case CutKind::notch:
      break;
  }
  if (cut.closed) {
    const std::size_t n = path.size() - 1;
    std::int64_t low = path[0].x, high = path[0].x, under = path[0].y, over = path[0].y;
    for (const CallPoint& p : path) {
      low = std::min(low, p.x);
      high = std::max(high, p.x);
      under = std::min(under, p.y);
      over = std::max(over, p.y);
    }
    bool box = n == 4;
    for (std::size_t i = 0; box && i < n; ++i)
      box = path[i].place == CallY::between && (path[i].x == path[i + 1].x) != (path[i].y == path[i + 1].y);
    if (box) {
      t += "hole, ";
      words.number(low);
      t += " to ";
      words.number(high);
      t += ", ";
      words.number(under);
      t += " up to ";
      words.number(over);
      t += " up";
    } else {
      t += "hole: ";
      for (std::size_t i = 0; i < n; ++i) {
        if (i > 0) t += ", ";
        words.place(path[i]);
      }
    }
    words.measured();
    return t;
  }
  if (is_box_notch(cut)) {
    const bool top = path[0].place == CallY::top;
    t += top ? "notch top, " : "notch bottom, ";
    words.along(path[0].x <= path[3].x ? path[0] : path[3]);
    t += " to ";
    words.number(std::max(path[0].x, path[3].x));
    if (top) {
      words.leave(path[1]);
    } else {
      t += ", ";
      words.number(path[1].y);
      t += " up";
    }
    words.measured();
    return t;
  }
  const bool begins_end = cut.begins_near || cut.begins_far, ends_end = cut.ends_near || cut.ends_far;
  if (path.size() == 3 && begins_end != ends_end) {
    const CallPoint& level = begins_end ? path[0] : path[2];
    const CallPoint& edge = begins_end ? path[2] : path[0];
    if (level.y == path[1].y && edge.x == path[1].x && path[1].place == CallY::between &&
        edge.place != CallY::between) {
      const bool top = edge.place == CallY::top;
      t += top ? "notch top " : "notch bottom ";
      t += cut.begins_near || cut.ends_near ? words.near_end : words.far_end;
      t += " corner at ";
      words.number(path[1].x);
      if (top) {
        words.leave(path[1]);
      } else {
        t += ", ";
        words.number(path[1].y);
        t += " up";
      }
      words.measured();
      return t;
    }
  }
  if (path.size() == 4 && ((cut.begins_near && cut.ends_near) || (cut.begins_far && cut.ends_far)) &&
      path[0].y == path[1].y && path[1].x == path[2].x && path[2].y == path[3].y &&
      path[0].place == CallY::between && path[3].place == CallY::between) {
    t += "notch ";
    t += cut.begins_near ? words.near_end : words.far_end;
    t += " end, at ";
    words.number(path[1].x);
    t += ", ";
    words.number(std::min(path[0].y, path[3].y));
    t += " up to ";
    words.number(std::max(path[0].y, path[3].y));
    t += " up";
    words.measured();
    return t;
  }
  t += "saw: ";
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (i > 0) t += ", ";
    words.place(path[i]);
  }
  t += ", waste ";
  t += side;
  words.measured();
  return t;
}

/// The same cut as one or two sentences for the cut sheet, face up: tool, what comes off, whether to seal.
inline std::string long_call(const CutDraft& cut, const Cut& made, bool factory, CallWords words) {
  std::string& t = words.text;
  t.clear();
  const std::vector<CallPoint>& path = cut.path;
  const char* unit = words.tape->metric() ? " mm" : " in";
  const auto from_end = [&](const char* before) {
    t += before;
    t += words.near_end;
    t += factory ? " factory end" : " end";
  };
  const auto height = [&](const CallPoint& p) {
    if (p.place == CallY::bottom) {
      t += "at the lower edge";
    } else if (p.place == CallY::top) {
      t += "at the upper edge";
    } else {
      words.number(p.y);
      t += unit;
      t += " up";
    }
  };
  const auto along = [&](const CallPoint& p) {
    words.number(p.x);
    t += unit;
  };
  const auto place = [&](const CallPoint& p) {
    if (p.x == 0)
      t += "on the end";
    else
      along(p);
    t += p.place == CallY::between ? " and " : " ";
    height(p);
  };
  const auto waste = [&] {
    t += "; what lies ";
    if (cut.waste_x != 0) {
      t += cut.waste_x < 0 ? words.near_end : words.far_end;
      t += " of it comes off";
    } else {
      t += cut.waste_y < 0 ? "below it comes off" : "above it comes off";
    }
  };
  t += made.tool == Tool::saw ? "Saw: " : "Shears: ";
  switch (cut.kind) {
    case CutKind::crosscut:
      if (cut.at_near) {
        t += "square the ";
        t += words.near_end;
        t += " end; all else is measured from it";
        break;
      }
      t += "cut square across at ";
      along(path[0]);
      from_end(" from the ");
      if (!cut.whole) {
        t += ", from ";
        height(path[0]);
        t += " to ";
        height(path[1]);
        waste();
      }
      break;
    case CutKind::rip:
      t += "rip along, ";
      height(path[0]);
      if (path[0].place == CallY::between) t += " from the lower edge";
      if (!cut.whole) {
        t += ", from ";
        along(path[0]);
        t += " to ";
        along(path[1]);
        from_end(" from the ");
      }
      waste();
      break;
    case CutKind::rake: {
      const Point a = made.front[0], b = made.front[1];
      const bool first_long = (path[0].x > path[1].x) == (cut.waste_x > 0);
      t += "rake, ";
      const std::int64_t rise = std::llround(std::fabs((b.y - a.y) / (b.x - a.x)) * 1200);  // hundredths
      Tape::digits(t, rise / 100);
      if (rise % 100 != 0) {
        t += '.';
        Tape::digits(t, rise % 10 != 0 ? rise % 100 : rise % 100 / 10, rise % 10 != 0 ? 2 : 1);
      }
      t += " in 12";
      t += first_long ? ": long point " : ": short point ";
      place(path[0]);
      t += first_long ? ", short point " : ", long point ";
      place(path[1]);
      from_end("; measured from the ");
      waste();
      break;
    }
    case CutKind::notch:
      if (cut.closed) {
        t += "cut out the hole ";
      } else if (is_box_notch(cut)) {
        t += path[0].place == CallY::top ? "notch the upper edge, " : "notch the lower edge, ";
      } else {
        t += "notch, ";
      }
      for (std::size_t i = 0; i + (cut.closed ? 1 : 0) < path.size(); ++i) {
        if (i > 0) t += i + 1 + (cut.closed ? 1 : 0) < path.size() ? ", " : " and ";
        place(path[i]);
      }
      from_end("; measured from the ");
      if (!cut.closed && !is_box_notch(cut)) waste();
      break;
  }
  t += made.seal ? ". Seal the edge." : ".";
  return t;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
