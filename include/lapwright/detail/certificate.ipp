#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include <lapwright/certificate.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/framing.hpp>
#include <lapwright/runs.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace certified {

inline constexpr std::int64_t greatest_price = std::int64_t{1} << 40;  // sums stay within 64 bits
inline constexpr std::int64_t greatest_capacity = 1000000;
inline constexpr std::int64_t no_way = std::numeric_limits<std::int64_t>::max() / 4;
inline constexpr std::size_t most_layouts = 4000;    // of one run; more are bounded piece by piece
inline constexpr std::size_t most_states = 2000000;  // ways from course to course that a stack may have

// ---- What a run takes of a board -------------------------------------------------------------------------

/// A run cut into stretches over which one thing is said of it.
struct Stretch {
  double from = 0, to = 0;
  double share_from = 0, share_to = 0;  // of the board's height, linear in between
  bool full = false;                    // as high as a board
};

/// Signed crossings of the upright at x: material lies between a lower (-1) and an upper (+1) one.
struct Upright {
  double height = 0, low = 0, high = 0;
  int parts = 0;
};
inline Upright upright_at(const Polygon& shape, double x) {
  Upright out;
  out.low = std::numeric_limits<double>::infinity();
  out.high = -out.low;
  int crossings = 0;
  const auto ring = [&](const Ring& points) {
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Point a = points[i], b = points[i + 1 == points.size() ? 0 : i + 1];
      const bool right = a.x <= x && x < b.x, left = b.x <= x && x < a.x;
      if (!right && !left) continue;
      const double y = a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y);
      out.height += left ? y : -y;
      out.low = std::min(out.low, y);
      out.high = std::max(out.high, y);
      ++crossings;
    }
  };
  ring(shape.outer);
  for (const Ring& hole : shape.holes) ring(hole);
  out.parts = crossings / 2;
  return out;
}

/// A run's heights.
struct Tall {
  double from = 0, to = 0;
  double height_from = 0, height_to = 0;
  bool below = false, above = false;  // it lies on its blank's long edge there
  bool full = false;
};
inline std::vector<Tall> talls_of(const Run& run, double line, double width) {
  std::vector<double> xs;
  for (Point p : run.shape.outer) xs.push_back(p.x);
  for (const Ring& hole : run.shape.holes)
    for (Point p : hole) xs.push_back(p.x);
  std::sort(xs.begin(), xs.end());
  std::vector<Tall> out;
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) {
    const double a = xs[i], b = xs[i + 1];
    if (b - a <= tolerance) continue;
    const Upright p = upright_at(run.shape, a + (b - a) / 3), q = upright_at(run.shape, b - (b - a) / 3);
    const double rise = (q.height - p.height) * 3 / (b - a);
    Tall t{a, b, std::max(0.0, p.height - rise * (b - a) / 3), std::max(0.0, q.height + rise * (b - a) / 3)};
    t.below = std::max(p.low, q.low) <= line + tolerance;
    t.above = std::min(p.high, q.high) >= line + width - tolerance;
    t.full = t.height_from >= width - tolerance && t.height_to >= width - tolerance;
    out.push_back(t);
  }
  return out;
}

/// How shares of a board's height are taken: `threshold` 0 by area.
struct ShareRule {
  double width = 0, kerf = 0, threshold = 0;
  bool turnable = true;
  double of(double height, bool below, bool above) const {
    if (threshold <= 0) return std::clamp(height / width, 0.0, 1.0);
    if (height > width - threshold - kerf + tolerance) return 1;
    if (height < threshold - tolerance) return 0;
    return turnable ? (below || above ? 0.5 : 0.0) : (below ? 1.0 : 0.0);
  }
};

/// A piece in a row of pieces.
struct InRow {
  double length = 0, closed = 0, greatest = 0;  // closed: part of the length
  bool regular = true;                          // it has cores, and open ends of share one half alone
  std::vector<double> reaches;                  // of ends that are open, the outermost ones apart
  double left = 0, right = 0;                   // of the outermost ends
  bool from_left = false, to_right = false;     // there is something at the ends of the stretch
};

class Profile {
public:
  Profile(const std::vector<Tall>& talls, const ShareRule& rule) {
    for (const Tall& t : talls) {
      if (t.full) {
        add({t.from, t.to, 1, 1, true});
        continue;
      }
      if (rule.threshold <= 0) {
        add({t.from, t.to, rule.of(t.height_from, t.below, t.above), rule.of(t.height_to, t.below, t.above),
             false});
        continue;
      }
      // Constant between the places where the height passes a threshold.
      const double levels[] = {rule.threshold - tolerance,
                               rule.width - rule.threshold - rule.kerf + tolerance};
      const double rise = (t.height_to - t.height_from) / (t.to - t.from);
      std::vector<double> at{t.from, t.to};
      for (double level : levels)
        if ((t.height_from - level) * (t.height_to - level) < 0)
          at.push_back(t.from + (level - t.height_from) / rise);
      std::sort(at.begin(), at.end());
      for (std::size_t k = 0; k + 1 < at.size(); ++k) {
        if (at[k + 1] <= at[k]) continue;
        const double share =
            rule.of(t.height_from + rise * ((at[k] + at[k + 1]) / 2 - t.from), t.below, t.above);
        add({at[k], at[k + 1], share, share, false});
      }
    }
  }
  /// The integral of the share, and the greatest.
  std::pair<double, double> over(double low, double high) const {
    std::pair<double, double> out{0, 0};
    for (const Stretch& s : stretches_) {
      const double a = std::max(low, s.from), b = std::min(high, s.to);
      if (b <= a) continue;
      const double at_a = share(s, a), at_b = share(s, b);
      out.first += (at_a + at_b) / 2 * (b - a);
      if (b - a > tolerance) out.second = std::max(out.second, std::max(at_a, at_b));
    }
    return out;
  }
  /// Share 1 from end to end.
  bool fills(double low, double high) const { return over(low, high).first >= high - low - tolerance; }

  InRow in_row(double low, double high) const {
    InRow out;
    out.greatest = over(low, high).second;
    std::vector<Stretch> here;
    for (Stretch s : stretches_) {
      const double a = std::max(low, s.from), b = std::min(high, s.to);
      if (b - a <= tolerance) continue;
      const double at_a = share(s, a), at_b = share(s, b);
      here.push_back({a, b, at_a, at_b, s.full});
    }
    const auto taken = [](const Stretch& s) { return (s.share_from + s.share_to) / 2 * (s.to - s.from); };
    const auto whole = [](const Stretch& s) { return std::min(s.share_from, s.share_to) >= 1; };
    const auto empty = [](const Stretch& s) { return std::max(s.share_from, s.share_to) <= 0; };
    std::vector<double> reaches;  // left and right of each stretch that has a core
    double end = low - 1;
    for (std::size_t i = 0; i < here.size();) {
      if (empty(here[i])) {
        ++i;
        continue;
      }
      std::size_t n = i;  // behind the last that goes on without a break
      while (n < here.size() && !empty(here[n]) && (n == i || here[n].from <= here[n - 1].to + tolerance))
        ++n;
      if (reaches.empty() && out.length <= 0) out.from_left = here[i].from <= low + tolerance;
      std::ptrdiff_t first = -1, last = -1;
      for (std::size_t k = i; k < n; ++k)
        if (here[k].full) {
          if (first < 0) first = static_cast<std::ptrdiff_t>(k);
          last = static_cast<std::ptrdiff_t>(k);
        }
      for (std::size_t k = i; k < n && first < 0; ++k)
        if (whole(here[k])) first = last = static_cast<std::ptrdiff_t>(k);
      double left = 0, right = 0;
      if (first < 0) out.regular = false;
      while (first > static_cast<std::ptrdiff_t>(i) && whole(here[static_cast<std::size_t>(first) - 1]))
        --first;
      while (first >= 0 && last + 1 < static_cast<std::ptrdiff_t>(n) &&
             whole(here[static_cast<std::size_t>(last) + 1]))
        ++last;
      for (std::size_t k = i; k < n; ++k) {
        const std::ptrdiff_t at = static_cast<std::ptrdiff_t>(k);
        const double length = here[k].to - here[k].from;
        out.length += taken(here[k]);
        if (first < 0) continue;
        if (at >= first && at <= last) {
          out.closed += length - taken(here[k]);
          continue;
        }
        (at < first ? left : right) += length;
        const bool half =
            std::abs(here[k].share_from - 0.5) < 1e-9 && std::abs(here[k].share_to - 0.5) < 1e-9;
        if (!half) out.regular = false;
      }
      if (first >= 0) {
        reaches.push_back(left);
        reaches.push_back(right);
      }
      end = here[n - 1].to;
      i = n;
    }
    out.to_right = end >= high - tolerance;
    out.length += out.closed;
    if (reaches.empty()) {
      out.regular = false;
    } else {
      out.left = reaches.front();
      out.right = reaches.back();
      out.reaches.assign(reaches.begin() + 1, reaches.end() - 1);
    }
    return out;
  }

private:
  static double share(const Stretch& s, double x) {
    return s.share_from + (s.share_to - s.share_from) * ((x - s.from) / (s.to - s.from));
  }
  void add(const Stretch& next) {
    // A run of one height is one stretch.
    if (!stretches_.empty()) {
      Stretch& last = stretches_.back();
      if (last.to == next.from && last.full == next.full && last.share_from == last.share_to &&
          next.share_from == next.share_to && last.share_to == next.share_from) {
        last.to = next.to;
        return;
      }
    }
    stretches_.push_back(next);
  }
  std::vector<Stretch> stretches_;
};

// ---- Prices ----------------------------------------------------------------------------------------------

inline constexpr int open_to_any = 4;

/// What a piece takes of a board.
struct Taken {
  std::int64_t length = 0, loose = 0;  // loose: part of it that loose things may fill
  int ends = 0, open = 0;
  bool operator<(const Taken& o) const {
    if (length != o.length) return length < o.length;
    if (loose != o.loose) return loose < o.loose;
    return ends != o.ends ? ends < o.ends : open < o.open;
  }
};

/// The certificate in tables: what a piece is worth, and what a board holds.
class PriceList {
public:
  PriceList(const Certificate& certificate, std::int64_t capacity)
      : capacity_(capacity), loose_(certificate.loose) {
    for (std::size_t l = 0; l + 1 < certificate.open_layers.size(); l += 2)
      waste_.push_back(
          static_cast<std::int64_t>(std::floor((certificate.open_layers[l + 1] - certificate.open_layers[l]) /
                                               2 * static_cast<double>(certificate.units_per_inch))));
    std::vector<Line> all;
    for (const CertificatePrice& price : certificate.prices)
      if (price.price > 0)
        all.push_back({{std::max<std::int64_t>(1, price.length), price.loose, price.factory_ends,
                        waste_.empty() ? 0 : price.open},
                       price.price});
    // What is worth no more than what it can be cut down to needs no line.
    for (std::size_t k = 0; k < all.size(); ++k) {
      bool needed = true;
      for (std::size_t j = 0; j < all.size() && needed; ++j)
        needed = j == k || !cut_down(all[k].taken, all[j].taken) || all[j].price < all[k].price ||
                 (all[j].price == all[k].price && cut_down(all[j].taken, all[k].taken) && k < j);
      if (needed) lines_.push_back(all[k]);
    }
  }

  std::int64_t of(const Taken& piece) const {
    const auto known = known_.find(piece);
    if (known != known_.end()) return known->second;
    std::int64_t best = 0;
    for (const Line& line : lines_)
      if (line.price > best && cut_down(piece, line.taken)) best = line.price;
    known_.emplace(piece, best);
    return best;
  }

  /// The most that a board of each capacity holds, by factory ends taken and open ends: the first programme.
  void fill_boards() {
    states_ = waste_.empty() ? 1 : open_to_any + 1;
    table_.assign(cell(capacity_ + 1, 0, 0), -no_way);
    for (int taken = 0; taken <= 2; ++taken) table_[cell(0, taken, 0)] = 0;
    for (std::int64_t c = 0; c <= capacity_; ++c)
      for (int taken = 0; taken <= 2; ++taken)
        for (int open = 0; open < states_; ++open) {
          const std::int64_t here = table_[cell(c, taken, open)];
          if (here <= -no_way / 2) continue;
          if (c < capacity_) raise(c + 1, taken, open, here + loose_);
          for (const Line& line : lines_) {
            const std::int64_t to = c + line.taken.length;
            if (to > capacity_ || taken + line.taken.ends > 2) continue;
            raise(to, taken + line.taken.ends, together(open, line.taken.open),
                  here + line.price + loose_ * line.taken.loose);
          }
        }
  }
  std::int64_t holds(std::int64_t capacity, int ends) const {
    std::int64_t best = 0;
    for (int taken = 0; taken <= std::clamp(ends, 0, 2); ++taken)
      for (int open = 0; open < states_; ++open) {
        const std::int64_t wasted = waste(open);
        if (wasted <= capacity)
          best = std::max(best, table_[cell(capacity - wasted, taken, open)] + wasted * loose_);
      }
    return best;
  }

private:
  struct Line {
    Taken taken;
    std::int64_t price = 0;
  };
  int together(int a, int b) const { return a == open_to_any || b == open_to_any ? open_to_any : a ^ b; }
  std::int64_t waste(int open) const {
    std::int64_t sum = 0;
    for (std::size_t l = 0; l < waste_.size() && open != open_to_any; ++l)
      sum += open >> l & 1 ? waste_[l] : 0;
    return sum;
  }
  /// A board that gives `piece` could give `line` in its stead, all else as before.
  bool cut_down(const Taken& piece, const Taken& line) const {
    std::int64_t wasted = 0;
    if (line.open != open_to_any)
      wasted = waste(piece.open == open_to_any ? open_to_any - 1 : piece.open ^ line.open);
    return line.ends <= piece.ends && line.length + wasted <= piece.length &&
           line.length - line.loose <= piece.length - piece.loose;
  }
  std::size_t cell(std::int64_t c, int taken, int open) const {
    return static_cast<std::size_t>((c * 3 + taken) * states_ + open);
  }
  void raise(std::int64_t c, int taken, int open, std::int64_t to) {
    std::int64_t& there = table_[cell(c, taken, open)];
    there = std::max(there, to);
  }

  std::int64_t capacity_ = 0, loose_ = 0;
  std::vector<std::int64_t> waste_;  // by layer
  std::vector<Line> lines_;
  int states_ = 1;
  std::vector<std::int64_t> table_;
  mutable std::map<Taken, std::int64_t> known_;
};

// ---- Every way to joint a run ----------------------------------------------------------------------------

using Spans = std::vector<Interval>;  // disjoint, ascending, closed

inline Spans overlap_of(const Spans& a, double low, double high) {
  Spans out;
  for (const Interval& s : a) {
    const double from = std::max(s.low, low), to = std::min(s.high, high);
    if (to - from >= -tolerance) out.push_back({std::min(from, to), std::max(from, to)});
  }
  return out;
}

/// How far the plan's joints relax the rules in one course.
struct CourseRelaxed {
  double window = 0, least = 0, stagger = 0;
  int repeat_after = 1;
  bool cut_middles = false, split = false;
};

struct Way {  // studs of the joints, and what the pieces are worth at least
  std::vector<double> studs;
  std::int64_t worth = 0;
};

struct RunWays {
  std::vector<Way> ways;
  bool all = true;
};

/// What all runs of a house share.
struct Ground {
  const Rules* rules = nullptr;
  const PriceList* prices = nullptr;
  std::vector<std::int64_t> whole;  // worth of a whole board, by stock
  double units = 0;                 // of weight in an inch
  double longest = 0;
  ShareRule share, row;        // of all things; of what is not loose
  std::vector<double> layers;  // of open ends: from, to
  bool rows = true;            // what is not loose is weighed in rows as well
  bool closed = true;          // notches keep out what is not loose
};

class RunJointer {
public:
  RunJointer(const Ground& ground, const Run& run, const std::vector<Tall>& talls, bool lonely,
             const CourseRelaxed& relaxed, const std::vector<Stud>& studs, const std::vector<Interval>& legs)
      : ground_(ground),
        rules_(*ground.rules),
        run_(run),
        profile_(talls, ground.share),
        row_(lonely && ground.rows && !talls.empty()
                 ? std::vector<Tall>{{talls.front().from, talls.back().to, 0, 0, true, true, true}}
                 : talls,
             ground.row),
        relaxed_(relaxed) {
    gap_ = rules_.joints.gap;
    for (const Stud& stud : studs) {
      if (stud.centre + relaxed.window <= run.x_min || stud.centre - relaxed.window >= run.x_max) continue;
      Spans at{{stud.centre - relaxed.window, stud.centre + relaxed.window}};
      if (!relaxed.split &&
          (parts(stud.centre - 2 * tolerance) > 1 || parts(stud.centre + 2 * tolerance) > 1))
        continue;
      if (!run.filler)
        for (const Interval& leg : legs) {
          Spans left;
          for (const Interval& s : at) {
            if (leg.high <= s.low || leg.low >= s.high) {
              left.push_back(s);
              continue;
            }
            if (leg.low >= s.low) left.push_back({s.low, leg.low});
            if (leg.high <= s.high) left.push_back({leg.high, s.high});
          }
          at = std::move(left);
        }
      if (!at.empty()) places_.push_back({stud.centre, std::move(at)});
    }
  }

  /// No joint: the run is one piece.
  std::int64_t alone() const { return worth(run_.x_min, false, run_.x_max, false); }
  /// It takes nothing of a row of pieces.
  bool nothing() const { return taken(run_.x_min, false, run_.x_max, false).length <= 0; }
  double share() const { return profile_.over(run_.x_min, run_.x_max).first; }

  /// Every set of studs that a choice of x within their windows makes a layout of.
  RunWays every() {
    out_ = RunWays();
    for (std::size_t i = 0; i < places_.size() && out_.all; ++i) {
      const Spans reach = overlap_of(places_[i].at, run_.x_min + relaxed_.least + gap_ / 2,
                                     run_.x_min + ground_.longest + gap_ / 2);
      if (reach.empty()) continue;
      studs_ = {i};
      go_on(reach, worth(run_.x_min, false, places_[i].centre, true));
    }
    return std::move(out_);
  }

  /// The least worth, any two places being joined that some board could span: below the truth, and soon
  /// found.
  std::int64_t piece_by_piece() const {
    const double slack = 2 * relaxed_.window + gap_;
    const std::size_t end = places_.size() + 1;
    std::vector<std::int64_t> best(end + 1, no_way);
    best[0] = 0;
    const auto place = [&](std::size_t i) {
      return i == 0 ? run_.x_min : i == end ? run_.x_max : places_[i - 1].centre;
    };
    for (std::size_t i = 0; i < end; ++i) {
      if (best[i] >= no_way) continue;
      for (std::size_t j = i + 1; j <= end; ++j) {
        const double length = place(j) - place(i);
        if (length - slack > ground_.longest + tolerance) break;
        if (length + slack < relaxed_.least - tolerance) continue;
        const bool middle = i > 0 && j < end;
        std::int64_t least = no_way;
        if (middle && rules_.joints.factory_ends) {
          for (std::size_t s = 0; s < ground_.whole.size(); ++s)
            if (std::abs(rules_.board.lengths[s] + gap_ - length) <= 2 * relaxed_.window + 2 * tolerance)
              least = std::min(least, whole_worth(place(i), place(j), s));
          if (relaxed_.cut_middles) least = std::min(least, worth(place(i), true, place(j), true));
        } else {
          least = worth(place(i), i > 0, place(j), j < end);
        }
        if (least < no_way) best[j] = std::min(best[j], best[i] + least);
      }
    }
    return best[end];
  }

private:
  struct Place {
    double centre = 0;
    Spans at;
  };

  int parts(double x) const { return upright_at(run_.shape, x).parts; }

  /// What the lightest piece between two places is worth.
  std::int64_t worth(double left, bool left_joint, double right, bool right_joint) const {
    const auto made = worths_.emplace(std::make_pair(left, right), 0);
    if (made.second) {
      const Taken piece = taken(left, left_joint, right, right_joint);
      if (piece.length > 0) made.first->second = ground_.prices->of(piece);
    }
    return made.first->second;
  }

  Taken taken(double left, bool left_joint, double right, bool right_joint) const {
    const double slack = relaxed_.window + gap_ / 2, kerf = rules_.cutting.kerf;
    const double low = left_joint ? left + slack : left, high = right_joint ? right - slack : right;
    Taken out;
    if (high <= low) return out;
    const InRow row = row_.in_row(low, high);
    const std::pair<double, double> over = profile_.over(low, high);
    const auto units = [this](double inches) {
      return static_cast<std::int64_t>(std::floor(inches * ground_.units + 1e-4));
    };
    const std::int64_t shared = units(over.first + kerf * over.second);
    out.length =
        ground_.rows ? units(row.length - (ground_.closed ? 0 : row.closed) + kerf * row.greatest) : shared;
    out.loose = out.length - shared;
    if (rules_.joints.factory_ends && (left_joint || right_joint)) {
      // Where the end is low, another piece may stand above it at the same end of a board.
      const double at = left_joint ? low : high - 8 * tolerance;
      out.ends = row_.over(at, at + 8 * tolerance).second < 1 ? 0 : 1;
    }
    out.open = open_ends(row, left_joint, right_joint);
    return out;
  }

  int open_ends(const InRow& row, bool left_joint, bool right_joint) const {
    if (ground_.layers.empty()) return 0;
    if (!row.regular) return open_to_any;
    // A joint may stand anywhere in its window.
    if ((left_joint || right_joint) && ground_.layers[0] < 2 * relaxed_.window + gap_ - tolerance)
      return open_to_any;
    if (left_joint && (!row.from_left || row.left > tolerance)) return open_to_any;
    if (right_joint && (!row.to_right || row.right > tolerance)) return open_to_any;
    std::vector<double> reaches = row.reaches;
    reaches.push_back(row.left);
    reaches.push_back(row.right);
    int odd = 0;
    for (double reach : reaches)
      for (std::size_t l = 0; 2 * l + 1 < ground_.layers.size(); ++l) {
        if (reach > ground_.layers[2 * l] && reach < ground_.layers[2 * l + 1]) return open_to_any;
        if (reach >= ground_.layers[2 * l + 1]) odd ^= 1 << l;
      }
    return odd;
  }

  /// What a whole board between two joints is worth: one that is lower than a board somewhere shares it.
  std::int64_t whole_worth(double left, double right, std::size_t stock) const {
    const double play = relaxed_.window - gap_ / 2;
    if (profile_.fills(left - play, right + play) && row_.fills(left - play, right + play))
      return ground_.whole[stock];
    return worth(left, true, right, true);
  }

  void finish(const Spans& reach, std::int64_t so_far) {
    const Place& last = places_[studs_.back()];
    if (overlap_of(reach, run_.x_max - ground_.longest - gap_ / 2, run_.x_max - relaxed_.least - gap_ / 2)
            .empty())
      return;
    const std::int64_t sum = so_far + worth(last.centre, true, run_.x_max, false);
    Way way;
    for (std::size_t i : studs_) way.studs.push_back(places_[i].centre);
    way.worth = sum;
    // The same studs by another way of cutting count once, at the least.
    const auto found = index_.emplace(studs_, out_.ways.size());
    if (!found.second) {
      out_.ways[found.first->second].worth = std::min(out_.ways[found.first->second].worth, sum);
      return;
    }
    if (out_.ways.size() >= most_layouts) {
      out_.all = false;
      return;
    }
    out_.ways.push_back(std::move(way));
  }

  void go_on(const Spans& reach, std::int64_t so_far) {
    if (!out_.all) return;
    if (++steps_ > 400000) {
      out_.all = false;
      return;
    }
    const std::size_t i = studs_.back();
    finish(reach, so_far);
    for (std::size_t j = i + 1; j < places_.size() && out_.all; ++j) {
      const Place& next = places_[j];
      if (next.at.front().low - reach.back().high - gap_ > ground_.longest + tolerance) break;
      const bool factory = rules_.joints.factory_ends;
      // One whole board on.
      for (std::size_t s = 0; s < rules_.board.lengths.size(); ++s) {
        const double length = rules_.board.lengths[s];
        if (length < relaxed_.least - tolerance) continue;
        Spans on;
        for (const Interval& r : reach)
          for (const Interval& o : overlap_of(next.at, r.low + length + gap_, r.high + length + gap_))
            on.push_back(o);
        step(j, on,
             so_far + (factory ? whole_worth(places_[i].centre, next.centre, s)
                               : worth(places_[i].centre, true, next.centre, true)));
      }
      // A board cut at one end, on the grid.
      if (factory && !relaxed_.cut_middles) continue;
      const double division = rules_.courses.division;
      const double shortest = std::max(relaxed_.least, next.at.front().low - reach.back().high - gap_);
      const double greatest = std::min(ground_.longest, next.at.back().high - reach.front().low - gap_);
      Spans on;
      for (double n = std::ceil((shortest - tolerance) / division); n * division <= greatest + tolerance; ++n)
        for (const Interval& r : reach)
          for (const Interval& o :
               overlap_of(next.at, r.low + n * division + gap_, r.high + n * division + gap_))
            on.push_back(o);
      step(j, on, so_far + worth(places_[i].centre, true, next.centre, true));
    }
  }
  void step(std::size_t j, Spans& on, std::int64_t so_far) {
    if (on.empty()) return;
    std::sort(on.begin(), on.end(), [](const Interval& a, const Interval& b) { return a.low < b.low; });
    Spans merged;
    for (const Interval& o : on) {
      if (!merged.empty() && o.low <= merged.back().high)
        merged.back().high = std::max(merged.back().high, o.high);
      else
        merged.push_back(o);
    }
    studs_.push_back(j);
    go_on(merged, so_far);
    studs_.pop_back();
  }

  const Ground& ground_;
  const Rules& rules_;
  const Run& run_;
  Profile profile_, row_;
  const CourseRelaxed& relaxed_;
  double gap_ = 0;
  std::vector<Place> places_;
  std::vector<std::size_t> studs_;
  std::map<std::vector<std::size_t>, std::size_t> index_;
  RunWays out_;
  std::int64_t steps_ = 0;
  mutable std::map<std::pair<double, double>, std::int64_t> worths_;  // by places of a piece's ends
};

// ---- One wall --------------------------------------------------------------------------------------------

struct CertifiedWall {
  const Wall* wall = nullptr;
  const PlanWall* plan = nullptr;
  Region region;
  Runs runs;
  std::vector<Stud> studs;
  std::vector<CourseRelaxed> courses;       // by course of the pole
  std::vector<std::vector<Interval>> legs;  // the same; empty where no run of the course is jointed
  std::vector<std::vector<Joint>> joints;   // by run, from the plan
  std::vector<std::vector<Tall>> talls;     // by run
  std::vector<char> loose;                  // by run: it may stand in a closed notch, as starters may
  std::vector<char> lonely;                 // by run: nothing else shares a board's height with it
};

/// Stretches of x where a ring reaches into low < y < high, grown by `by`.
inline void reach_of(const Ring& ring, double low, double high, double by, std::vector<Interval>& out) {
  std::vector<double> xs;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[i + 1 == ring.size() ? 0 : i + 1];
    xs.push_back(a.x);
    for (double y : {low, high})
      if ((a.y - y) * (b.y - y) < 0) xs.push_back(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
  }
  std::sort(xs.begin(), xs.end());
  Polygon shape;
  shape.outer = ring;
  std::vector<double> ys;
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) {
    if (!(xs[i] < xs[i + 1])) continue;
    const double x = xs[i] + (xs[i + 1] - xs[i]) / 2;
    ys.clear();
    for (std::size_t k = 0; k < ring.size(); ++k) {
      const Point a = ring[k], b = ring[k + 1 == ring.size() ? 0 : k + 1];
      if ((a.x <= x && x < b.x) || (b.x <= x && x < a.x))
        ys.push_back(a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
    }
    std::sort(ys.begin(), ys.end());
    bool in = false;
    for (std::size_t k = 0; k + 1 < ys.size(); k += 2)
      in = in || std::min(ys[k + 1], high) - std::max(ys[k], low) > tolerance;
    if (in) out.push_back({xs[i] - by, xs[i + 1] + by});
  }
}

/// Where a joint of a nailed course is carried.
inline double carrying_stud(const std::vector<Stud>& studs, double x) {
  double best = x, nearest = -1;
  for (const Stud& stud : studs) {
    const double d = std::abs(stud.centre - x);
    if (d > stud.width / 2 + tolerance || (nearest >= 0 && d >= nearest)) continue;
    nearest = d;
    best = stud.centre;
  }
  return best;
}

/// How far the plan's joints go, course by course. \return a fault, or nothing
inline std::string measure_relaxed(CertifiedWall& w, const Pole& pole, const Rules& rules, double longest) {
  const JointRules& rule = rules.joints;
  CourseRelaxed strict;
  strict.window = rule.window;
  strict.least = rule.min_piece;
  strict.stagger = rule.stagger;
  strict.repeat_after = rule.repeat_after;
  w.courses.assign(pole.lines.size(), strict);
  w.joints.assign(w.runs.runs.size(), {});
  std::vector<std::vector<double>> carried(pole.lines.size());
  for (const BuiltJoint& built : rules.courses.joints_built)
    if (built.wall == w.wall->name && built.course >= 0 && built.course < pole.built)
      carried[static_cast<std::size_t>(built.course)].push_back(carrying_stud(w.studs, built.x));
  for (const Joint& joint : w.plan->joints) {
    bool found = false;
    for (std::size_t r = 0; r < w.runs.runs.size() && !found; ++r) {
      const Run& run = w.runs.runs[r];
      if (run.course != joint.course || joint.x <= run.x_min || joint.x >= run.x_max) continue;
      if (upright_at(run.shape, joint.x).parts == 0) continue;
      found = true;
      w.joints[r].push_back(joint);
      carried[static_cast<std::size_t>(joint.course)].push_back(joint.stud);
    }
    if (!found)
      return format("wall {}: no run of course {} has a joint at {:.3f} in", w.wall->name, joint.course,
                    joint.x);
  }
  for (std::size_t r = 0; r < w.runs.runs.size(); ++r) {
    const Run& run = w.runs.runs[r];
    std::vector<Joint>& mine = w.joints[r];
    std::sort(mine.begin(), mine.end(), [](const Joint& a, const Joint& b) { return a.x < b.x; });
    if (mine.empty()) {
      if (run.x_max - run.x_min > longest + tolerance)
        return format("wall {}: the run of course {} at {:.3f} in has no joint", w.wall->name, run.course,
                      run.x_min);
      continue;
    }
    CourseRelaxed& course = w.courses[static_cast<std::size_t>(run.course)];
    for (std::size_t i = 0; i <= mine.size(); ++i) {
      const double left = i == 0 ? run.x_min : mine[i - 1].x + rule.gap / 2;
      const double right = i == mine.size() ? run.x_max : mine[i].x - rule.gap / 2;
      course.least = std::min(course.least, right - left);
      if (i == 0 || i == mine.size() || !rule.factory_ends) continue;
      bool whole = false;
      for (double length : rules.board.lengths)
        whole = whole || std::abs(length - (right - left)) <= 2 * tolerance;
      course.cut_middles = course.cut_middles || !whole;
    }
    for (const Joint& joint : mine) {
      course.window = std::max(course.window, std::abs(joint.x - joint.stud));
      course.split = course.split || upright_at(run.shape, joint.stud - 2 * tolerance).parts > 1 ||
                     upright_at(run.shape, joint.stud + 2 * tolerance).parts > 1;
    }
  }
  for (std::size_t k = 1; k < carried.size(); ++k)
    for (double p : carried[k])
      for (int apart = 1; apart <= std::max(1, rule.repeat_after - 1) && apart <= static_cast<int>(k);
           ++apart)
        for (double q : carried[k - static_cast<std::size_t>(apart)]) {
          const double d = std::abs(p - q);
          if (d <= tolerance) w.courses[k].repeat_after = std::min(w.courses[k].repeat_after, apart);
          if (apart == 1) w.courses[k].stagger = std::min(w.courses[k].stagger, d);
        }
  return {};
}

/// Whether joints on these studs may stand `apart` courses above those.
inline bool may_stand(const Way& above, const Way& below, int apart, const CourseRelaxed& rule) {
  for (double p : above.studs)
    for (double q : below.studs) {
      const double d = std::abs(p - q);
      if (apart == 1 && d < rule.stagger - tolerance) return false;
      if (apart < rule.repeat_after && d <= tolerance) return false;
    }
  return true;
}

/// The least that a stack is worth: the second programme, over the layouts of its last few courses.
/// \return no_way where no choice keeps the rules; nothing where there are too many.
inline std::optional<std::int64_t> least_of_stack(const std::vector<const RunWays*>& runs,
                                                  const std::vector<const CourseRelaxed*>& rules,
                                                  std::size_t memory) {
  std::map<std::vector<std::uint32_t>, std::int64_t> now, next;
  now[{}] = 0;
  std::size_t ways = 0;
  for (std::size_t c = 0; c < runs.size(); ++c) {
    const std::vector<Way>& mine = runs[c]->ways;
    const std::size_t back = std::min(memory, c);
    std::vector<std::vector<char>> good(back);
    for (std::size_t b = 0; b < back; ++b) {
      const std::vector<Way>& below = runs[c - 1 - b]->ways;
      for (const Way& p : below)
        for (const Way& q : mine)
          good[b].push_back(may_stand(q, p, static_cast<int>(b) + 1, *rules[c]) ? 1 : 0);
    }
    next.clear();
    for (const auto& state : now)
      for (std::uint32_t i = 0; i < mine.size(); ++i) {
        const std::vector<std::uint32_t>& last = state.first;  // oldest first
        bool may = true;
        for (std::size_t b = 0; b < back && may; ++b)
          may = good[b][last[last.size() - 1 - b] * mine.size() + i] != 0;
        if (!may) continue;
        if (++ways > most_states) return std::nullopt;
        std::vector<std::uint32_t> key = last;
        key.push_back(i);
        if (key.size() > memory) key.erase(key.begin());
        const std::int64_t sum = state.second + mine[i].worth;
        const auto at = next.emplace(std::move(key), sum);
        if (!at.second) at.first->second = std::min(at.first->second, sum);
      }
    std::swap(now, next);
  }
  std::int64_t least = no_way;
  for (const auto& state : now) least = std::min(least, state.second);
  return least;
}

// ---- The sum ---------------------------------------------------------------------------------------------

/// Least cost of boards, worth[s] at most each, that are worth `sum` together. Every number of each length is
/// tried but of the last, which fills up; where that is too many, by the best rate.
inline double least_cost(double sum, const std::vector<double>& prices, const std::vector<double>& worth) {
  if (!(sum > 0) || prices.empty()) return 0;
  const std::size_t n = prices.size();
  double rate = std::numeric_limits<double>::infinity(), tries = 1;
  for (std::size_t s = 0; s < n; ++s) {
    rate = std::min(rate, prices[s] / worth[s]);
    if (s + 1 < n) tries *= std::ceil(sum / worth[s]) + 1;
  }
  if (!(tries < 4e6)) return sum * rate * (1 - 1e-12);
  std::vector<double> number(n, 0);
  double best = std::numeric_limits<double>::infinity();
  while (true) {
    double held = 0, cost = 0;
    for (std::size_t s = 0; s + 1 < n; ++s) {
      held += number[s] * worth[s];
      cost += number[s] * prices[s];
    }
    const double rest = std::max(0.0, std::ceil((sum - held) / worth[n - 1]));
    best = std::min(best, cost + rest * prices[n - 1]);
    std::size_t s = 0;
    while (s + 1 < n) {
      number[s] += 1;
      if ((number[s] - 1) * worth[s] < sum) break;
      number[s] = 0;
      ++s;
    }
    if (s + 1 >= n) break;
  }
  return best;
}

class HouseCheck {
public:
  HouseCheck(const Job& job, const Plan& plan) : job_(job), plan_(plan), rules_(job.rules) {}

  CertifiedBound check() {
    CertifiedBound out;
    double shortest = 0;
    for (double length : rules_.board.lengths) {
      if (shortest <= 0 || length < shortest) shortest = length;
      ground_.longest = std::max(ground_.longest, length);
    }
    for (std::size_t s = 0; s < rules_.board.lengths.size(); ++s)
      prices_.push_back(rules_.board.prices.empty() ? rules_.board.lengths[s] / shortest
                                                    : rules_.board.prices[s]);
    out.fault = lay_walls();
    if (!out.fault.empty()) return out;
    out.bound = by_area();
    const double priced = by_prices(out.fault);
    out.bound = std::max(out.bound, priced);
    return out;
  }

private:
  std::string lay_walls() {
    Pole pole = plan_.pole;
    pole.built = static_cast<int>(rules_.courses.lines.size());
    for (const Wall& wall : job_.walls) {
      CertifiedWall& w = walls_.emplace_back();
      w.wall = &wall;
      for (const PlanWall& p : plan_.walls)
        if (p.name == wall.name) w.plan = &p;
      if (w.plan == nullptr) return format("the plan has no wall {}", wall.name);
      w.studs = lay_studs(wall);
      const WallCourses& courses = w.plan->courses;
      const int lines = static_cast<int>(pole.lines.size());
      if (courses.last_course >= lines || courses.first_course < 0 ||
          (courses.last_course >= 0 && courses.first_course >= lines))
        return format("wall {} has courses that the pole has not", wall.name);
      for (const Joint& joint : w.plan->joints)
        if (joint.course < 0 || joint.course >= lines || !std::isfinite(joint.x) ||
            !std::isfinite(joint.stud))
          return format("wall {} has a joint in no course", wall.name);
      if (courses.last_course >= 0) {
        std::optional<double> first;
        if (!courses.ripped_start) first = pole.lines[static_cast<std::size_t>(courses.first_course)];
        w.region = siding_region(wall, rules_, first);
        w.runs = find_runs(wall, w.region, pole, courses, rules_);
      }
      const std::string fault = measure_relaxed(w, pole, rules_, ground_.longest);
      if (!fault.empty()) return fault;
      w.legs.assign(pole.lines.size(), {});
      std::vector<char> asked(pole.lines.size(), 0);
      for (std::size_t r = 0; r < w.runs.runs.size(); ++r) {
        const std::size_t k = static_cast<std::size_t>(w.runs.runs[r].course);
        if (w.joints[r].empty() || asked[k]) continue;
        asked[k] = 1;
        for (const GrownOpening& grown : w.region.openings)
          reach_of(grown.outline, pole.lines[k], pole.lines[k] + rules_.board.width, rules_.cutting.min_leg,
                   w.legs[k]);
      }
    }
    pole_ = std::move(pole);
    find_loose();
    return {};
  }

  /// Runs of one piece that may stand in a notch between two stretches of full height.
  void find_loose() {
    const double width = rules_.board.width, kerf = rules_.cutting.kerf;
    std::vector<std::pair<double, double>> notches;  // width, least height of what is left of the board
    for (CertifiedWall& w : walls_)
      for (const Run& run : w.runs.runs) {
        w.talls.push_back(talls_of(run, pole_.lines[static_cast<std::size_t>(run.course)], width));
        const std::vector<Tall>& talls = w.talls.back();
        double since = 0, least = width;
        bool open = false, low = false;
        for (const Tall& t : talls) {
          if (!t.full) {
            low = true;
            least = std::min({least, t.height_from, t.height_to});
            continue;
          }
          if (open && low) notches.push_back({t.from - since, least});
          since = t.to;
          open = true;
          low = false;
          least = width;
        }
      }
    const auto fits = [&](double length, double height) {
      for (const std::pair<double, double>& notch : notches)
        if (length <= notch.first + tolerance && height + notch.second + kerf <= width + tolerance)
          return true;
      return false;
    };
    for (CertifiedWall& w : walls_)
      for (std::size_t r = 0; r < w.talls.size(); ++r) {
        double highest = 0, lowest = width;
        for (const Tall& t : w.talls[r]) {
          highest = std::max({highest, t.height_from, t.height_to});
          lowest = std::min({lowest, t.height_from, t.height_to});
        }
        const bool alone = w.joints[r].empty();
        w.loose.push_back(alone && fits(w.runs.runs[r].x_max - w.runs.runs[r].x_min, highest) ? 1 : 0);
        if (!alone && !rules_.joints.factory_ends && fits(0, lowest)) ground_.closed = false;
      }
    find_lonely();
  }

  /// Runs that no other piece, loose ones apart, is low enough to share a board's height with.
  void find_lonely() {
    const double width = rules_.board.width;
    std::vector<double> lows;  // of what is not loose
    const auto lowest = [&](const CertifiedWall& w, std::size_t r) {
      const std::vector<Tall>& talls = w.talls[r];
      double least = width, behind = width;  // behind the last of full height so far
      bool full = false;
      for (const Tall& t : talls) {
        if (t.full && ground_.closed && w.joints[r].empty()) {
          // What is closed in is out of reach.
          full = true;
          behind = width;
          continue;
        }
        double& to = full ? behind : least;
        to = std::min({to, t.height_from, t.height_to});
      }
      return std::min(least, behind);
    };
    for (const CertifiedWall& w : walls_)
      for (std::size_t r = 0; r < w.talls.size(); ++r)
        if (!w.loose[r]) lows.push_back(lowest(w, r));
    std::sort(lows.begin(), lows.end());
    for (CertifiedWall& w : walls_)
      for (std::size_t r = 0; r < w.talls.size(); ++r) {
        const double own = lowest(w, r);
        const std::size_t i = !lows.empty() && own <= lows[0] ? 1 : 0;
        double other = i < lows.size() ? lows[i] : 2 * width;
        if (!w.joints[r].empty()) other = std::min(other, own);
        w.lonely.push_back(!w.loose[r] && own + other + rules_.cutting.kerf > width + tolerance ? 1 : 0);
      }
  }

  /// What is cut whatever the joints, by its area.
  double by_area() const {
    double sum = 0, rate = std::numeric_limits<double>::infinity();
    for (const CertifiedWall& w : walls_) {
      for (const Run& run : w.runs.runs) {
        const auto twice = [](const Ring& ring) {
          double out = 0;
          for (std::size_t i = 0; i < ring.size(); ++i) {
            const Point a = ring[i], b = ring[i + 1 == ring.size() ? 0 : i + 1], o = ring.front();
            out += (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y);
          }
          return out;
        };
        double area = twice(run.shape.outer);
        for (const Ring& hole : run.shape.holes) area += twice(hole);
        sum += area / 2;
        // A piece beside a joint is 8 in long at least, so joints are.
        if (rules_.joints.gap > 0)
          sum -=
              std::floor((run.x_max - run.x_min) / 8) * std::min(rules_.joints.gap, 8.0) * rules_.board.width;
      }
      for (const Starter& starter : w.runs.starters)
        sum += starter.width * std::hypot(starter.to.x - starter.from.x, starter.to.y - starter.from.y);
    }
    for (const StockOffcut& offcut : rules_.board.offcuts) sum -= offcut.length * rules_.board.width;
    std::vector<double> areas;
    for (double length : rules_.board.lengths) areas.push_back(length * rules_.board.width);
    for (std::size_t s = 0; s < areas.size(); ++s) rate = std::min(rate, prices_[s] / areas[s]);
    // A millionth off, for the noise of sums; each length is taken at the best rate of all.
    std::vector<double> worth;
    for (double price : prices_) worth.push_back(price / rate);
    return least_cost(sum * (1 - 1e-6), prices_, worth);
  }

  double by_prices(std::string& fault) {
    const Certificate& c = plan_.certificate;
    if (c.prices.empty() && c.loose == 0) return 0;
    const auto threshold = [this](double t) {
      return t >= 0 && t <= (rules_.board.width - rules_.cutting.kerf) / 2 + tolerance;
    };
    if (c.units_per_inch < 1 || c.price_scale < 1 || c.price_scale > greatest_price || c.loose < 0 ||
        !threshold(c.share_threshold) || !(c.row_threshold < 0 || threshold(c.row_threshold))) {
      fault = "the certificate's units are none";
      return 0;
    }
    double below = 0;
    for (std::size_t i = 0; i < c.open_layers.size(); ++i) {
      const double at = c.open_layers[i];
      if (!(at >= below) || !(at < 1e6) || (i % 2 == 1 && !(at > below)) || i > 3) below = -1;
      if (below < 0) break;
      below = at;
    }
    if (below < 0 || c.open_layers.size() % 2 != 0 || (c.row_threshold <= 0 && !c.open_layers.empty())) {
      fault = "the certificate's layers are none";
      return 0;
    }
    ground_.share = {rules_.board.width, rules_.cutting.kerf, c.share_threshold, rules_.board.turnable};
    ground_.rows = c.row_threshold >= 0;
    ground_.row = ground_.share;
    if (ground_.rows) ground_.row.threshold = c.row_threshold;
    ground_.layers = c.open_layers;
    ground_.units = static_cast<double>(c.units_per_inch);
    double longest = ground_.longest;
    for (const StockOffcut& offcut : rules_.board.offcuts) longest = std::max(longest, offcut.length);
    if ((longest + rules_.cutting.kerf) * ground_.units > static_cast<double>(greatest_capacity)) {
      fault = "the certificate's units are too small";
      return 0;
    }
    const auto capacity = [&](double length) {
      return static_cast<std::int64_t>(std::floor((length + rules_.cutting.kerf) * ground_.units + 1e-4));
    };
    for (const CertificatePrice& price : c.prices)
      if (price.length < 0 || price.price < 0 || price.price > greatest_price || price.factory_ends < 0 ||
          price.factory_ends > 1 || price.open < 0 || price.open > open_to_any ||
          price.loose > price.length || price.loose < -greatest_capacity ||
          c.loose > greatest_price / (capacity(longest) + 1)) {
        fault = "the certificate has a price that is none";
        return 0;
      }
    PriceList list(c, capacity(longest));
    list.fill_boards();
    ground_.rules = &rules_;
    ground_.prices = &list;
    double unit = 0;
    for (double price : prices_)
      if (price > 0 && (unit <= 0 || price < unit)) unit = price;
    ground_.whole.clear();
    std::vector<double> worth;
    std::int64_t board = c.price_scale;
    for (std::size_t s = 0; s < prices_.size(); ++s) {
      ground_.whole.push_back(
          static_cast<std::int64_t>(std::floor(prices_[s] / unit * static_cast<double>(c.price_scale))));
      const std::int64_t holds = list.holds(capacity(rules_.board.lengths[s]), 2);
      board = std::max(board, holds);
      worth.push_back(static_cast<double>(std::max(holds, ground_.whole.back())));
    }
    if (board != c.board_value)
      fault = format("a board holds {} at these prices, not {}", board, c.board_value);

    std::int64_t sum = 0;
    for (CertifiedWall& w : walls_) {
      const std::int64_t least = least_of_wall(w, fault);
      if (least >= no_way) return 0;
      sum += least;
    }
    sum += c.loose * static_cast<std::int64_t>(std::floor((loose_ + loose_starters()) * ground_.units));
    for (const StockOffcut& offcut : rules_.board.offcuts) {
      std::int64_t holds =
          list.holds(capacity(offcut.length), (offcut.factory_left ? 1 : 0) + (offcut.factory_right ? 1 : 0));
      // One that is a whole board may stand for one.
      if (offcut.factory_left && offcut.factory_right)
        for (std::size_t s = 0; s < prices_.size(); ++s)
          if (capacity(offcut.length) >= capacity(rules_.board.lengths[s]))
            holds = std::max(holds, ground_.whole[s] + 1);
      sum -= holds;
    }
    return least_cost(static_cast<double>(sum), prices_, worth);
  }

  /// Starters, which may be cut to any lengths, by their share of a board's height, in.
  double loose_starters() const {
    double sum = 0;
    for (const CertifiedWall& w : walls_)
      for (const Starter& starter : w.runs.starters) {
        const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
        sum += ground_.share.of(starter.width, starter.where == StarterPlace::base, false) *
               std::sqrt(dx * dx + dy * dy);
      }
    return sum;
  }

  std::int64_t least_of_wall(CertifiedWall& w, std::string& fault) {
    const std::vector<Run>& runs = w.runs.runs;
    std::vector<RunWays> ways(runs.size());
    std::vector<std::int64_t> alone(runs.size(), 0);
    std::vector<double> loose(runs.size(), 0);        // share of what is loose
    std::map<std::vector<double>, std::size_t> same;  // runs of equal shape and rules have equal ways
    for (std::size_t r = 0; r < runs.size(); ++r) {
      const Run& run = runs[r];
      const std::size_t k = static_cast<std::size_t>(run.course);
      const CourseRelaxed& relaxed = w.courses[k];
      std::vector<double> key{relaxed.window, relaxed.least, relaxed.cut_middles ? 1.0 : 0.0,
                              run.filler ? 1.0 : 0.0, w.joints[r].empty() ? 1.0 : 0.0};
      for (const Interval& leg : w.legs[k]) {
        key.push_back(leg.low);
        key.push_back(leg.high);
      }
      const auto ring = [&](const Ring& points) {
        key.push_back(1e9);
        for (Point p : points) {
          key.push_back(p.x);
          key.push_back(p.y - pole_.lines[k]);
        }
      };
      ring(run.shape.outer);
      for (const Ring& hole : run.shape.holes) ring(hole);
      const auto known = same.emplace(std::move(key), r);
      if (!known.second) {
        ways[r] = ways[known.first->second];
        alone[r] = alone[known.first->second];
        loose[r] = loose[known.first->second];
        continue;
      }
      RunJointer jointer(ground_, run, w.talls[r], w.lonely[r] != 0, relaxed, w.studs, w.legs[k]);
      if (w.joints[r].empty()) {
        if (ground_.rows && (w.loose[r] || jointer.nothing()))
          loose[r] = jointer.share();
        else
          alone[r] = jointer.alone();
        continue;
      }
      ways[r] = jointer.every();
      alone[r] = no_way;
      if (ways[r].all)
        for (const Way& way : ways[r].ways) alone[r] = std::min(alone[r], way.worth);
      else
        alone[r] = jointer.piece_by_piece();
    }
    for (double share : loose) loose_ += share;
    std::int64_t sum = 0;
    std::vector<char> stacked(runs.size(), 0);
    for (const CertificateStack& stack : plan_.certificate.stacks) {
      if (stack.wall != w.wall->name) continue;
      std::vector<std::size_t> members;
      for (std::size_t i = 0; i < stack.left.size(); ++i)
        for (std::size_t r = 0; r < runs.size(); ++r)
          if (runs[r].course == stack.course + static_cast<int>(i) && !stacked[r] && !w.joints[r].empty() &&
              std::abs(runs[r].x_min - stack.left[i]) <= tolerance) {
            members.push_back(r);
            break;
          }
      if (members.size() != stack.left.size() || members.empty()) {
        fault = format("wall {}: the stack at course {} has runs that are none", w.wall->name, stack.course);
        return no_way;
      }
      std::vector<const RunWays*> listed;
      std::vector<const CourseRelaxed*> rules;
      bool all = true;
      for (std::size_t r : members) {
        stacked[r] = 1;
        all = all && ways[r].all;
        listed.push_back(&ways[r]);
        rules.push_back(&w.courses[static_cast<std::size_t>(runs[r].course)]);
      }
      std::optional<std::int64_t> least;
      const std::size_t memory = static_cast<std::size_t>(std::clamp(stack.memory, 1, 8));
      if (all) least = least_of_stack(listed, rules, memory);
      if (!least) {
        least = 0;
        for (std::size_t r : members) *least += alone[r];
      }
      if (*least >= no_way) {
        fault =
            format("wall {}: no joints keep the rules in the stack at course {}", w.wall->name, stack.course);
        return no_way;
      }
      sum += *least;
    }
    for (std::size_t r = 0; r < runs.size(); ++r) {
      if (stacked[r]) continue;
      if (alone[r] >= no_way) {
        fault = format("wall {}: no joints keep the rules in course {}", w.wall->name, runs[r].course);
        return no_way;
      }
      sum += alone[r];
    }
    return sum;
  }

  const Job& job_;
  const Plan& plan_;
  const Rules& rules_;
  Pole pole_;
  std::vector<double> prices_;
  std::vector<CertifiedWall> walls_;
  Ground ground_;
  double loose_ = 0;  // in; share of pieces that are loose
};

}  // namespace certified
}  // namespace detail

LAPW_INLINE CertifiedBound check_certificate(const Job& job, const Plan& plan) {
  std::vector<Fault> faults = check_job(job);
  if (!faults.empty()) throw Refused(std::move(faults));
  return detail::certified::HouseCheck(job, plan).check();
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
