#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/fasteners_places.hpp>
#include <lapwright/detail/pieces_shape.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/fasteners.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double nail_infinity = std::numeric_limits<double>::infinity();

/// Nails one wall. Its members are what holds for the whole wall, then what holds for the piece at hand.
class Nailer {
public:
  Nailer(const Wall& wall, const Pole& pole, const WallCourses& courses, const std::vector<Piece>& pieces,
         const Rules& rules)
      : wall_(wall), pole_(pole), courses_(courses), pieces_(pieces), rules_(rules), studs_(lay_studs(wall)) {
    spacing_ = nail_spacing(rules, wall.framing);
    clear_ = stud_edge_diameters * rules.fasteners.shank;
    for (const Stud& stud : studs_) widest_ = std::max(widest_, stud.width);
    // Pieces come by course: where each course begins.
    const std::size_t lines = pole.lines.size();
    begin_.assign(lines + 1, pieces.size());
    for (std::size_t i = pieces.size(); i-- > 0;) begin_[static_cast<std::size_t>(pieces[i].course)] = i;
    for (std::size_t k = lines; k-- > 0;) begin_[k] = std::min(begin_[k], begin_[k + 1]);
  }

  Fastening run(const std::vector<Starter>& starters) {
    out_.pieces.resize(pieces_.size());
    for (std::size_t i = 0; i < pieces_.size(); ++i) nail_piece(i);
    out_.starters.resize(starters.size());
    for (std::size_t i = 0; i < starters.size(); ++i) nail_starter(starters[i], out_.starters[i]);
    sum_up();
    return std::move(out_);
  }

private:
  // --- the course ---------------------------------------------------------------------------------

  void take_course(int course) {
    if (course == course_) return;
    course_ = course;
    const auto k = static_cast<std::size_t>(course);
    const double width = rules_.board.width;
    line_ = pole_.lines[k];
    upper_ = line_ + width;
    nail_line_ = upper_ - rules_.fasteners.top_edge;
    last_ = course >= courses_.last_course || k + 1 >= pole_.lines.size();
    hidden_ = last_ ? nail_infinity : pole_.lines[k + 1];
    const bool first = course <= courses_.first_course || course == 0;
    below_top_ = first ? line_ + starter_width(rules_) : pole_.lines[k - 1] + width;
    lean_ = first ? width - starter_width(rules_) : line_ - pole_.lines[k - 1];
    blind_low_ = hidden_ + rules_.fasteners.head / 2;
    const double clear_below = below_top_ + rules_.fasteners.shank / 2;
    if (clear_below <= nail_line_) blind_low_ = std::max(blind_low_, clear_below);
    members_.clear();
    for (const Box& member : wall_.framing.members)
      if (member.y_max >= line_ - tolerance && member.y_min <= upper_ + tolerance) members_.push_back(member);
  }

  /// Whether a piece of the next course (or the one after, where boards lie three deep) lies over (x, y).
  bool covered(double x, double y) const {
    for (std::size_t k = static_cast<std::size_t>(course_) + 1; k < pole_.lines.size() && pole_.lines[k] <= y;
         ++k)
      if (course_holds(k, x, y)) return true;
    return false;
  }
  bool course_holds(std::size_t k, double x, double y) const {
    // A joint's gap counts as covered: the flashing behind it is.
    const double gap = rules_.joints.gap + tolerance;
    for (std::size_t i = begin_[k]; i < begin_[k + 1]; ++i) {
      const Piece& piece = pieces_[i];
      if (x < piece.x_min - gap || x > piece.x_max + gap) continue;
      const double inner = std::min(1e-3, (piece.x_max - piece.x_min) / 2);
      const Point p{std::clamp(x, piece.x_min + inner, piece.x_max - inner), y};
      if (!ring_holds(piece.outline, p)) continue;
      bool in_hole = false;
      for (const Ring& hole : piece.holes) in_hole = in_hole || ring_holds(hole, p);
      if (!in_hole) return true;
    }
    return false;
  }

  // --- the piece ----------------------------------------------------------------------------------

  struct Place {
    double x = 0, y = 0;
    bool face = false;
  };

  void take_piece(const Piece& piece) {
    piece_ = &piece;
    take_course(piece.course);
    places_.take(piece, rules_.fasteners.edge, rules_.fasteners.end_edge);
    const double height = places_.box().y_max - places_.box().y_min;
    // A low piece is nailed at its middle where lower than two `edge`; where higher, its middle keeps `edge`.
    middle_ = piece.filler || height < 2 * rules_.fasteners.edge - tolerance ||
              (height < rules_.cutting.min_leg - tolerance && !places_.plain());
    stretches_.clear();
    if (middle_)
      stretch_middle();
    else
      stretch_rows();
  }

  /// The height of a nail at the middle of a low piece, where one may be.
  std::optional<double> middle_at(double x, double ends) {
    places_.inside(x, scratch_);
    const Interval* widest = nullptr;
    for (const Interval& i : scratch_)
      if (widest == nullptr || i.high - i.low > widest->high - widest->low) widest = &i;
    if (widest == nullptr) return std::nullopt;
    if (!piece_->filler && widest->high - widest->low >= 2 * rules_.fasteners.edge) {
      // High enough here to keep `edge`: like any other piece.
      if (const auto p = blind_in_column(x, ends)) return p->y;
      if (const auto p = face_in_column(x, ends)) return p->y;
      return std::nullopt;
    }
    const double y = (widest->low + widest->high) / 2;
    if (!places_.keeps_ends({x, y}, ends)) return std::nullopt;
    return y;
  }

  /// Stretches of a low piece: exact for a rectangle, else found between its corners and the 256ths of its
  /// length, their ends as near as halving tells.
  void stretch_middle() {
    const Box& box = places_.box();
    const double ends = rules_.fasteners.end_edge;
    if (places_.plain()) {
      if (box.x_min + ends <= box.x_max - ends + nail_slack)
        stretches_.push_back({box.x_min + ends, box.x_max - ends});
      return;
    }
    const int steps = 256;
    columns_.clear();
    for (int i = 0; i <= steps; ++i) columns_.push_back(box.x_min + (box.x_max - box.x_min) * i / steps);
    for (const NailEdge& e : places_.edges())
      for (double off : {-ends, 0.0, ends})
        if (e.a.x + off > box.x_min && e.a.x + off < box.x_max) columns_.push_back(e.a.x + off);
    std::sort(columns_.begin(), columns_.end());
    const auto is_place = [&](double x) { return middle_at(x, ends).has_value(); };
    // The last place on the way from one where a nail may be to one where none may.
    const auto border = [&](double place, double bare) {
      for (int i = 0; i < 30; ++i) {
        const double mid = (place + bare) / 2;
        (is_place(mid) ? place : bare) = mid;
      }
      return place;
    };
    bool open = false;
    double before = box.x_min;
    for (double x : columns_) {
      const bool here = is_place(x);
      if (here && !open) {
        const double from = border(x, before);
        stretches_.push_back({from, from});
      }
      if (here) stretches_.back().high = x;
      if (!here && open) stretches_.back().high = border(before, x);
      open = here;
      before = x;
    }
  }

  /// Stretches where a nail may be at some height: of the rows on which places begin or end.
  void stretch_rows() {
    const Box& box = places_.box();
    const double edge = rules_.fasteners.edge, ends = rules_.fasteners.end_edge;
    rows_.clear();
    if (places_.plain()) {
      places_.row((box.y_min + box.y_max) / 2, ends, stretches_);
      return;
    }
    const auto add = [&](double y) {
      if (y > box.y_min && y < box.y_max) rows_.push_back(y);
    };
    add(nail_line_);
    add(blind_low_);
    for (const NailEdge& e : places_.edges()) {
      add(e.a.y);
      if (e.level) {
        add(e.a.y + edge);
        add(e.a.y - edge);
      } else {
        add(e.a.y + ends);
        add(e.a.y - ends);
      }
    }
    std::sort(rows_.begin(), rows_.end());
    rows_.erase(
        std::unique(rows_.begin(), rows_.end(), [](double a, double b) { return b - a <= tolerance; }),
        rows_.end());
    const std::size_t known = rows_.size();
    for (std::size_t i = 0; i + 1 < known; ++i) rows_.push_back((rows_[i] + rows_[i + 1]) / 2);
    all_.clear();
    for (double y : rows_) {
      places_.row(y, ends, row_);
      all_.insert(all_.end(), row_.begin(), row_.end());
    }
    std::sort(all_.begin(), all_.end(), [](const Interval& a, const Interval& b) {
      return a.low != b.low ? a.low < b.low : a.high < b.high;
    });
    for (const Interval& i : all_) {
      if (!stretches_.empty() && i.low <= stretches_.back().high + tolerance)
        stretches_.back().high = std::max(stretches_.back().high, i.high);
      else
        stretches_.push_back(i);
    }
    for (Interval& s : stretches_) {
      s.low = reach_out(s.low, -1);
      s.high = reach_out(s.high, 1);
    }
  }
  /// How far places go on from x: where offsets of two slanted edges meet, no row names the height.
  double reach_out(double x, int way) {
    const double ends = rules_.fasteners.end_edge;
    const auto open = [&](double at) {
      places_.column(at, ends, scratch_);
      return !scratch_.empty();
    };
    double step = 1.0 / 64;
    if (!open(x + way * step)) return x;
    while (step < 4 && open(x + way * 2 * step)) step *= 2;
    double in = x + way * step, outside = x + way * 2 * step;
    for (int i = 0; i < 20; ++i) {
      const double mid = (in + outside) / 2;
      (open(mid) ? in : outside) = mid;
    }
    return in;
  }

  /// Length from a to b, not counting stretches where no nail may be.
  double nailable(double a, double b) const {
    double sum = 0;
    for (const Interval& s : stretches_) sum += std::max(0.0, std::min(b, s.high) - std::max(a, s.low));
    return sum;
  }
  /// The place that `length` of nailable board from a leads to.
  double walk(double a, double length) const {
    double at = a;
    for (const Interval& s : stretches_) {
      if (s.high <= a) continue;
      const double from = std::max(a, s.low);
      if (length <= s.high - from) return from + length;
      length -= s.high - from;
      at = s.high;
    }
    return at;
  }

  bool blind_at(double x, double y) const { return !last_ && y >= blind_low_ - nail_slack && covered(x, y); }
  static double nearest_in(const Interval& i, double x) { return std::clamp(x, i.low, i.high); }

  /// The place nearest to x in [low, high] on one row that is hidden; nullopt where there is none.
  std::optional<Place> blind_on_row(double y, double x, double low, double high, double ends) {
    places_.row(y, ends, row_);
    std::optional<Place> best;
    for (const Interval& i : row_) {
      const double from = std::max(low, i.low), to = std::min(high, i.high);
      if (from > to + nail_slack) continue;
      const double at = std::clamp(x, std::min(from, to), std::max(from, to));
      if (best && std::fabs(best->x - x) <= std::fabs(at - x)) continue;
      if (blind_at(at, y)) best = Place{at, y, false};
    }
    return best;
  }
  /// The hidden place at x: on the nail line, or lower as little as need be, or else above.
  std::optional<Place> blind_in_column(double x, double ends) {
    places_.column(x, ends, column_);
    double best = -nail_infinity;
    for (const Interval& i : column_) {
      const double from = std::max(i.low, blind_low_);
      if (from > i.high + nail_slack) continue;
      const double y = std::clamp(nail_line_, from, std::max(from, i.high));
      const double drop = y <= nail_line_ ? nail_line_ - y : 100 + y;  // above only where nothing lies below
      const double best_drop = best <= nail_line_ ? nail_line_ - best : 100 + best;
      if (best == -nail_infinity || drop < best_drop) best = y;
    }
    if (best == -nail_infinity) return std::nullopt;
    if (blind_at(x, best)) return Place{x, best, false};
    // Under a slope the next course may cover only what lies lower.
    for (const Interval& i : column_) {
      const double y = std::max(i.low, blind_low_);
      if (y <= i.high && y < best && blind_at(x, y)) return Place{x, y, false};
    }
    return std::nullopt;
  }
  /// The place through the face at x: high, the head clear of the next course's lower edge.
  std::optional<Place> face_in_column(double x, double ends) {
    places_.column(x, ends, column_);
    if (column_.empty()) return std::nullopt;
    const Interval& top = column_.back();
    double y = top.high;
    const double half = rules_.fasteners.head / 2;
    if (!last_ && std::fabs(y - hidden_) < half && hidden_ - half >= top.low) y = hidden_ - half;
    return Place{x, y, true};
  }

  /// The hidden place in [low, high] nearest to x, the nail line before all others.
  std::optional<Place> blind_place(double x, double low, double high, double ends) {
    if (last_) return std::nullopt;
    if (auto p = blind_on_row(nail_line_, x, low, high, ends)) return p;
    if (auto p = blind_in_column(x, ends)) return p;
    if (places_.plain())
      return blind_on_row(std::max(blind_low_, places_.box().y_min + rules_.fasteners.edge), x, low, high,
                          ends);
    std::optional<Place> best;
    const auto offer = [&](double y) {
      if (y < blind_low_ - nail_slack) return;
      const auto p = blind_on_row(y, x, low, high, ends);
      if (p && (!best || std::fabs(p->x - x) < std::fabs(best->x - x) ||
                (std::fabs(p->x - x) == std::fabs(best->x - x) && p->y > best->y)))
        best = p;
    };
    for (double y : rows_) offer(y);
    offer(upper_ - rules_.fasteners.edge);
    return best;
  }
  std::optional<Place> face_place(double x, double low, double high, double ends) {
    if (auto p = face_in_column(x, ends)) return p;
    std::optional<double> at;
    for (const Interval& s : stretches_) {
      if (s.low > high || s.high < low) continue;
      const double here = std::clamp(x, std::max(low, s.low), std::min(high, s.high));
      if (!at || std::fabs(here - x) < std::fabs(*at - x)) at = here;
    }
    if (!at) return std::nullopt;
    return face_in_column(*at, ends);
  }
  /// A place in [low, high] as near to x as the order blind before face allows; `clear_low` and `clear_high`
  /// is the part of it that keeps a stud's recommended edge distance.
  std::optional<Place> place_near(double x, double low, double high, double clear_low, double clear_high,
                                  double ends) {
    if (middle_) return middle_place(x, low, high, ends);
    if (clear_low <= clear_high)
      if (auto p = blind_place(std::clamp(x, clear_low, clear_high), clear_low, clear_high, ends)) return p;
    if (auto p = blind_place(x, low, high, ends)) return p;
    if (clear_low <= clear_high)
      if (auto p = face_place(std::clamp(x, clear_low, clear_high), clear_low, clear_high, ends)) return p;
    return face_place(x, low, high, ends);
  }
  std::optional<Place> middle_place(double x, double low, double high, double ends) {
    if (const auto y = middle_at(x, ends)) return Place{x, *y, !blind_at(x, *y)};
    for (const Interval& s : stretches_) {
      if (s.low > high || s.high < low) continue;
      const double at = std::clamp(x, std::max(low, s.low), std::min(high, s.high));
      if (const auto y = middle_at(at, ends)) return Place{at, *y, !blind_at(at, *y)};
    }
    return std::nullopt;
  }
  std::optional<Place> place_at(double x, double ends) { return place_near(x, x, x, x, x, ends); }

  // --- studs --------------------------------------------------------------------------------------

  /// Indices [first, last) of the studs whose body may lie in [low, high].
  std::pair<std::size_t, std::size_t> studs_between(double low, double high) const {
    const auto by_centre = [](const Stud& s, double x) { return s.centre < x; };
    const auto from =
        std::lower_bound(studs_.begin(), studs_.end(), low - widest_ / 2 - tolerance, by_centre);
    const auto to = std::lower_bound(from, studs_.end(), high + widest_ / 2 + tolerance, by_centre);
    return {static_cast<std::size_t>(from - studs_.begin()), static_cast<std::size_t>(to - studs_.begin())};
  }
  static bool in_stud(const Stud& stud, double x) {
    return std::fabs(x - stud.centre) <= stud.width / 2 + tolerance;
  }
  static bool overlap(const Stud& a, const Stud& b) {
    return std::fabs(a.centre - b.centre) < (a.width + b.width) / 2 - tolerance;
  }
  /// Whether a nail in this stud, or in one that overlaps it, is there already.
  bool served(const Stud& stud) const {
    const auto [from, to] = studs_between(stud.centre - stud.width / 2, stud.centre + stud.width / 2);
    for (std::size_t s = from; s < to; ++s) {
      if (studs_[s].centre != stud.centre && !overlap(stud, studs_[s])) continue;
      for (const Place& nail : nails_)
        if (in_stud(studs_[s], nail.x)) return true;
    }
    return false;
  }
  /// A place in one stud, as near to x as may be.
  std::optional<Place> place_in_stud(const Stud& stud, double x, double ends) {
    const double half = stud.width / 2;
    const double margin = std::min(clear_, half), least = std::min(rules_.fasteners.shank, half);
    auto p = place_near(x, stud.centre - (half - least), stud.centre + (half - least),
                        stud.centre - (half - margin), stud.centre + (half - margin), ends);
    if (p && in_stud(stud, p->x)) return p;
    return std::nullopt;
  }
  const Box* member_at(double x, double y) const {
    for (const Box& m : members_)
      if (x >= m.x_min - tolerance && x <= m.x_max + tolerance && y >= m.y_min - tolerance &&
          y <= m.y_max + tolerance)
        return &m;
    return nullptr;
  }

  // --- one piece ----------------------------------------------------------------------------------

  void nail_piece(std::size_t index) {
    const Piece& piece = pieces_[index];
    if (piece.outline.size() < 3) return;
    take_piece(piece);
    nails_.clear();
    if (stretches_.empty()) {
      finding("nail_end", Severity::warning, std::nullopt, std::nullopt,
              "no place in this piece keeps a nail's distances from its edges: bed it in sealant, or make it "
              "larger");
      for (int side : {-1, 1})
        if ((side < 0 ? piece.left : piece.right).meets == Meets::joint) tell_no_joint_nail(side);
      return;
    }
    for (int side : {-1, 1}) {
      if ((side < 0 ? piece.left : piece.right).meets == Meets::joint)
        nail_joint(side);
      else
        nail_end_in_stud(side);
    }
    nail_studs();
    for (int side : {-1, 1}) reach_end(side);
    fill_spacing();
    keep(out_.pieces[index]);
  }

  void nail_joint(int side) {
    const double end = side < 0 ? piece_->x_min : piece_->x_max;
    // The stud that the joint stands on, not the end: of two that overlap the end may lie nearer to the
    // other.
    const double joint = end + side * rules_.joints.gap / 2;
    const auto [from, to] = studs_between(joint, joint);
    const Stud* stud = nullptr;
    for (std::size_t s = from; s < to; ++s)
      if (in_stud(studs_[s], joint) &&
          (stud == nullptr || std::fabs(studs_[s].centre - joint) < std::fabs(stud->centre - joint)))
        stud = &studs_[s];
    if (stud == nullptr) return;  // the audit's joint_stud; the end is nailed like any other
    const double room = stud->width / 2 + side * (end - stud->centre);  // from the end to the face behind it
    const double least = rules_.fasteners.end_edge;
    double off = room - clear_;
    if (off >= usual_end_distance)
      off = usual_end_distance;
    else
      off = std::max(least, round_down(off, rules_.courses.division));
    const double x = end - side * off;
    const double inner =
        end - side * std::min(room - std::min(rules_.fasteners.shank, room), usual_end_distance);
    const double outer = end - side * least;
    if (auto p = place_near(x, std::min(inner, outer), std::max(inner, outer), x, x, least)) {
      nails_.push_back(*p);
      return;
    }
    tell_no_joint_nail(side);
  }
  void tell_no_joint_nail(int side) {
    finding("nail_joint", Severity::warning, std::nullopt, std::nullopt,
            detail::format(
                "the board is too low at its joint at x {} for a nail to keep its distances there: bed the "
                "end in sealant",
                say(side < 0 ? piece_->x_min : piece_->x_max)));
  }

  /// The first place of an end along the wall.
  double first_place(int side) const { return side < 0 ? stretches_.front().low : stretches_.back().high; }

  /// The place of an end's nail, `ends` off the end and within reach of its first place: a hidden one, or the
  /// one through the face.
  std::optional<Place> end_place(int side, double ends, bool face) {
    const double first = first_place(side);
    const double reach = rules_.fasteners.end_reach + tolerance;
    if (middle_) {
      const double end = side < 0 ? piece_->x_min : piece_->x_max;
      double x = end - side * ends;
      if (side * (x - first) > 0) x = first;
      const auto y = middle_at(x, rules_.fasteners.end_edge);
      if (!y || blind_at(x, *y) == face) return std::nullopt;
      return Place{x, *y, face};
    }
    const auto outermost = [&](double y) -> std::optional<double> {
      places_.row(y, ends, row_);
      if (row_.empty()) return std::nullopt;
      const double x = side < 0 ? row_.front().low : row_.back().high;
      if (std::fabs(x - first) > reach) return std::nullopt;
      return x;
    };
    if (!face) {
      if (last_) return std::nullopt;
      std::optional<Place> best;
      const auto offer = [&](double y) {
        const auto x = outermost(y);
        if (x && (!best || side * (*x - best->x) > 0) && blind_at(*x, y)) best = Place{*x, y, false};
      };
      offer(nail_line_);
      if (best) return best;
      for (double y : rows_)
        if (y >= blind_low_ - nail_slack) offer(y);
      return best;
    }
    std::optional<double> tip;
    if (places_.plain()) {
      tip = outermost((places_.box().y_min + places_.box().y_max) / 2);
    } else {
      for (double y : rows_) {
        const auto x = outermost(y);
        if (x && (!tip || side * (*x - *tip) > 0)) tip = x;
      }
    }
    if (!tip) return std::nullopt;
    if (!last_)
      if (auto p = blind_in_column(*tip, rules_.fasteners.end_edge)) return p;
    return face_in_column(*tip, ends);
  }

  /// Calls `use(place)` for the places of an end's nail, the better ones first, until it says true.
  template <class Use>
  bool each_end_place(int side, Use&& use) {
    const double least = rules_.fasteners.end_edge;
    for (bool face : {false, true})
      for (double ends : {std::max(usual_end_distance, least), least})
        if (const auto p = end_place(side, ends, face))
          if (use(*p)) return true;
    return false;
  }

  /// Where a stud reaches the place of an end's nail, the nail stands there.
  void nail_end_in_stud(int side) {
    bool hidden = false;
    each_end_place(side, [&](const Place& p) {
      // A hidden place in the sheathing is better than the face, but for a stud that must have a nail anyway.
      hidden = hidden || !p.face;
      if (p.face && hidden) return true;
      const auto [from, to] = studs_between(p.x, p.x);
      for (std::size_t s = from; s < to; ++s) {
        const Stud& stud = studs_[s];
        if (std::fabs(p.x - stud.centre) > stud.width / 2 - clear_ + tolerance) continue;
        if (!served(stud)) nails_.push_back(p);
        return true;
      }
      return false;
    });
  }

  void nail_studs() {
    const auto [from, to] = studs_between(piece_->x_min, piece_->x_max);
    for (std::size_t s = from; s < to; ++s) {
      const Stud& stud = studs_[s];
      if (stud.centre < piece_->x_min || stud.centre > piece_->x_max || !crosses(stud.centre)) continue;
      if (served(stud)) continue;
      if (auto p = place_in_stud(stud, shared_centre(s, to), rules_.fasteners.end_edge)) nails_.push_back(*p);
    }
  }
  /// Where in a stud its nail goes: of studs that overlap one nail serves all, so it stands at the last
  /// centre within this stud and `max_spacing` of the nail before, which leaves the shorter way to the next.
  double shared_centre(std::size_t s, std::size_t to) {
    const Stud& stud = studs_[s];
    double before = -nail_infinity;
    for (const Place& nail : nails_)
      if (nail.x < stud.centre) before = std::max(before, nail.x);
    double at = stud.centre;
    for (std::size_t t = s + 1; t < to && studs_[t].centre <= stud.centre + stud.width / 2 - clear_; ++t)
      if (studs_[t].centre - before <= spacing_ + tolerance && crosses(studs_[t].centre))
        at = studs_[t].centre;
    return at;
  }
  bool crosses(double x) {
    if (middle_) return middle_at(x, rules_.fasteners.end_edge).has_value();
    places_.column(x, rules_.fasteners.end_edge, column_);
    return !column_.empty();
  }

  double nearest_nail(double x) const {
    double nearest = nail_infinity;
    for (const Place& nail : nails_) nearest = std::min(nearest, std::fabs(nail.x - x));
    return nearest;
  }

  void reach_end(int side) {
    const double first = first_place(side);
    const double reach = rules_.fasteners.end_reach;
    const double away = nearest_nail(first);
    if (away <= reach + tolerance) return;
    const double ends = rules_.fasteners.end_edge;
    // Framing that comes near enough, though no stud's centre line does.
    const double low = std::min(first, first - side * reach), high = std::max(first, first - side * reach);
    const auto [from, to] = studs_between(low, high);
    std::optional<Place> best;
    for (std::size_t s = from; s < to; ++s) {
      const double half = studs_[s].width / 2 - std::min(clear_, studs_[s].width / 2);
      const double a = std::max(low, studs_[s].centre - half), b = std::min(high, studs_[s].centre + half);
      if (a > b) continue;
      const auto p = place_near(side < 0 ? a : b, a, b, a, b, ends);
      if (p && in_stud(studs_[s], p->x) && (!best || side * (p->x - best->x) > 0)) best = p;
    }
    if (!best || best->face)
      if (const auto p = member_at_end(side, low, high); p && (!best || !p->face)) best = p;
    if (rules_.sheathing.holds_nails && (!best || best->face)) {
      // Hidden in the sheathing before through the face into framing; framing before all else.
      each_end_place(side, [&](const Place& p) {
        if (!best || !p.face) best = p;
        return true;
      });
      if (!best) best = place_near(first, low, high, low, high, ends);
    }
    if (best) {
      nails_.push_back(*best);
      return;
    }
    if (rules_.sheathing.holds_nails) return;
    const double end = side < 0 ? piece_->x_min : piece_->x_max;
    finding(
        "no_framing_at_end", Severity::warning,
        away == nail_infinity ? std::nullopt : std::optional<double>(away), reach,
        detail::format(
            "no framing within {} of the first place for a nail at the {} end, and the sheathing holds none: "
            "add backing (blocking or a stud) from x {} to {}, behind y {} to {}",
            say(reach), side < 0 ? "left" : "right", say(std::min(end, end - side * (reach + ends))),
            say(std::max(end, end - side * (reach + ends))), say(places_.box().y_min),
            say(places_.box().y_max)));
  }

  /// A place in a member near an end: at the end's usual distance where one reaches there.
  std::optional<Place> member_at_end(int side, double low, double high) {
    if (members_.empty()) return std::nullopt;
    std::optional<Place> best;
    each_end_place(side, [&](const Place& p) {
      if (member_at(p.x, p.y) == nullptr) return false;
      best = p;
      return true;
    });
    if (best && !best->face) return best;
    const double usual = side < 0 ? low + (usual_end_distance - rules_.fasteners.end_edge)
                                  : high - (usual_end_distance - rules_.fasteners.end_edge);
    const auto other = member_place(low, high, std::clamp(usual, low, high));
    return other && (!best || !other->face) ? other : best;
  }
  /// A place in a member between low and high, hidden where one is.
  std::optional<Place> member_place(double low, double high, double x) {
    std::optional<Place> best;
    const double ends = rules_.fasteners.end_edge;
    for (const Box& m : members_) {
      const double a = std::max(low, m.x_min), b = std::min(high, m.x_max);
      if (a > b) continue;
      const double at = std::clamp(x, a, b);
      const auto p = place_in_member(m, at, a, b, ends);
      if (p && (!best || (best->face && !p->face) ||
                (best->face == p->face && std::fabs(p->x - x) < std::fabs(best->x - x))))
        best = p;
    }
    // A board is not nailed through its face into framing where it can be nailed out of sight into sheathing.
    if (best && best->face && !middle_ && rules_.sheathing.holds_nails && blind_place(x, x, x, ends))
      return std::nullopt;
    return best;
  }
  std::optional<Place> place_in_member(const Box& m, double x, double low, double high, double ends) {
    const auto holds = [&](const std::optional<Place>& p) {
      return p && p->x >= low - tolerance && p->x <= high + tolerance && p->y >= m.y_min - tolerance &&
             p->y <= m.y_max + tolerance;
    };
    auto p = place_near(x, low, high, low, high, ends);
    if (holds(p)) return p;
    if (middle_) return std::nullopt;
    // Any height of the member at x, hidden before shown.
    places_.column(x, ends, column_);
    std::optional<Place> best;
    for (const Interval& i : column_) {
      const double from = std::max(i.low, m.y_min), to = std::min(i.high, m.y_max);
      if (from > to) continue;
      const double hidden_from = std::max(from, blind_low_);
      if (!last_ && hidden_from <= to) {
        const double y = std::clamp(nail_line_, hidden_from, to);
        if (blind_at(x, y)) return Place{x, y, false};
      }
      best = Place{x, to, !blind_at(x, to)};
    }
    return best;
  }

  void sort_nails() {
    std::sort(nails_.begin(), nails_.end(),
              [](const Place& a, const Place& b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
  }

  void fill_spacing() {
    sort_nails();
    added_.clear();
    for (std::size_t i = 0; i + 1 < nails_.size(); ++i) {
      Place from = nails_[i];
      const Place to = nails_[i + 1];
      double length = to.x - from.x <= spacing_ + tolerance ? 0 : nailable(from.x, to.x);
      while (length > spacing_ + tolerance) {
        const int missing = static_cast<int>(std::ceil((length - tolerance) / spacing_)) - 1;
        std::optional<Place> next = framing_between(from.x, to.x, missing);
        if (!next) {
          const double x = walk(from.x, length / (missing + 1));
          next = member_place(x, x, x);
          if (rules_.sheathing.holds_nails && (!next || next->face)) {
            const double least = rules_.fasteners.end_edge;
            std::optional<Place> other = place_at(x, least);
            if (!next && !other) other = place_near(x, x - 0.5, x + 0.5, x - 0.5, x + 0.5, least);
            if (other && (!next || !other->face)) next = other;
          }
        }
        if (!next || next->x <= from.x + tolerance || next->x >= to.x - tolerance) {
          if (!rules_.sheathing.holds_nails)
            finding(
                "nail_spacing", Severity::warning, length, spacing_,
                detail::format(
                    "nails are {} apart from x {} to {}, and the sheathing between holds none: add blocking "
                    "at x {}, behind y {} to {}",
                    say(length), say(from.x), say(to.x), say(walk(from.x, length / (missing + 1))),
                    say(places_.box().y_min), say(places_.box().y_max)));
          break;
        }
        added_.push_back(*next);
        from = *next;
        length = nailable(from.x, to.x);
      }
    }
    nails_.insert(nails_.end(), added_.begin(), added_.end());
    if (!added_.empty()) sort_nails();
  }
  /// A place in a stud between two nails that leaves no more nails missing than there were, itself counted.
  std::optional<Place> framing_between(double low, double high, int missing) {
    const auto [from, to] = studs_between(low, high);
    for (std::size_t s = to; s-- > from;) {
      const Stud& stud = studs_[s];
      if (stud.centre <= low + 1 || stud.centre >= high - 1) continue;
      if (nailable(low, stud.centre) > spacing_ + tolerance || !crosses(stud.centre)) continue;
      const auto p = place_in_stud(stud, stud.centre, rules_.fasteners.end_edge);
      if (!p || p->x <= low + 1 || nailable(low, p->x) > spacing_ + tolerance) continue;
      const double rest = nailable(p->x, high);
      if (static_cast<int>(std::ceil((rest - tolerance) / spacing_)) - 1 <= missing - 1) return p;
    }
    return std::nullopt;
  }

  // --- what a nail passes -------------------------------------------------------------------------

  void hold(Nail& nail) const {
    const FastenerRules& f = rules_.fasteners;
    nail.into = NailBase::sheathing;
    const auto [from, to] = studs_between(nail.at.x, nail.at.x);
    for (std::size_t s = from; s < to; ++s) {
      if (!in_stud(studs_[s], nail.at.x)) continue;
      nail.into = NailBase::stud;
      nail.stud_edge =
          std::max(nail.stud_edge, studs_[s].width / 2 - std::fabs(nail.at.x - studs_[s].centre));
    }
    if (nail.into == NailBase::sheathing)
      if (const Box* m = member_at(nail.at.x, nail.at.y)) {
        nail.into = NailBase::member;
        nail.stud_edge = std::max(0.0, std::min(std::min(nail.at.x - m->x_min, m->x_max - nail.at.x),
                                                std::min(nail.at.y - m->y_min, m->y_max - nail.at.y)));
      }
    nail.sheathing = nail.into == NailBase::sheathing ? 0 : rules_.sheathing.thickness;
    nail.penetration = f.length - nail.board - nail.board_below - nail.stand_off - nail.sheathing;
    nail.held = std::max(0.0, nail.into == NailBase::sheathing
                                  ? std::min(nail.penetration, rules_.sheathing.thickness)
                                  : nail.penetration);
  }

  /// Whether the nail meets the course below, or the starter.
  bool meets_below(Point p) const {
    if (p.y >= below_top_) return false;
    if (course_ <= courses_.first_course || course_ <= pole_.built) return true;
    return course_holds(static_cast<std::size_t>(course_) - 1, p.x, p.y);
  }

  void keep(std::vector<Nail>& to) {
    const double thickness = rules_.board.thickness;
    to.reserve(nails_.size());
    double shallow = nail_infinity;
    for (const Place& place : nails_) {
      Nail nail;
      nail.at = {place.x, place.y};
      nail.face = place.face;
      nail.board = thickness;
      // The back of a leaning board stands t d / e off the wall, d below its upper edge; the board below is
      // part of that.
      const double off = lean_ > 0 ? thickness * (upper_ - place.y) / lean_ : 0;
      if (place.face && meets_below(nail.at)) nail.board_below = std::min(thickness, off);
      nail.stand_off = off - nail.board_below;
      hold(nail);
      if (nail.into != NailBase::sheathing) {
        shallow = std::min(shallow, nail.penetration);
        if (nail.into == NailBase::stud && nail.stud_edge < clear_ - tolerance) {
          ++thin_;
          thinnest_ = std::min(thinnest_, nail.stud_edge);
        }
      }
      to.push_back(nail);
    }
    const double least = rules_.fasteners.min_penetration;
    if (shallow < least - tolerance)
      finding("nail_penetration", Severity::warning, shallow, least,
              detail::format("a nail goes {} into the framing, {} is the least: use a longer one here",
                             say(shallow), say(least)));
  }

  // --- starters -----------------------------------------------------------------------------------

  void nail_starter(const Starter& starter, std::vector<Nail>& to) {
    const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
    const double length2 = dx * dx + dy * dy;
    if (!(length2 > 0) || !(dx > 0)) return;
    const double length = std::sqrt(length2);
    // Along the middle of the strip.
    const Point a{starter.from.x - dy / length * starter.width / 2,
                  starter.from.y + dx / length * starter.width / 2};
    const double ends = std::min(rules_.fasteners.end_edge, length / 2) / length * dx;
    const double usual = std::min(usual_end_distance, length / 2) / length * dx;
    const double low = a.x + ends, high = a.x + dx - ends;
    std::vector<double> at;
    const auto [from, last] = studs_between(low, high);
    for (std::size_t s = from; s < last; ++s) {
      const double x = studs_[s].centre;
      if (x < low || x > high) continue;
      if (!at.empty() && in_stud(studs_[s], at.back())) continue;
      at.push_back(x);
    }
    if (rules_.sheathing.holds_nails) {
      const double reach = rules_.fasteners.end_reach;
      if (at.empty() || at.front() - low > reach) at.insert(at.begin(), a.x + usual);
      if (high - at.back() > reach) at.push_back(a.x + dx - usual);
      for (std::size_t i = 0; i + 1 < at.size(); ++i) {
        const double gap = at[i + 1] - at[i];
        if (gap <= spacing_ + tolerance) continue;
        const int missing = static_cast<int>(std::ceil((gap - tolerance) / spacing_)) - 1;
        at.insert(at.begin() + static_cast<std::ptrdiff_t>(i) + 1, at[i] + gap / (missing + 1));
      }
    }
    course_ = -1;
    members_ = wall_.framing.members;
    for (double x : at) {
      Nail nail;
      nail.at = {x, a.y + dy * ((x - a.x) / dx)};
      nail.board = rules_.board.thickness;
      hold(nail);
      to.push_back(nail);
    }
  }

  // --- the wall -----------------------------------------------------------------------------------

  static void count(const std::vector<std::vector<Nail>>& all, NailTally& tally, double* least) {
    for (const std::vector<Nail>& nails : all)
      for (const Nail& nail : nails) {
        (nail.into == NailBase::stud     ? tally.stud
         : nail.into == NailBase::member ? tally.member
                                         : tally.sheathing) += 1;
        tally.face += nail.face ? 1 : 0;
        if (least != nullptr && nail.into != NailBase::sheathing) *least = std::min(*least, nail.penetration);
      }
  }

  void sum_up() {
    double least = nail_infinity;
    count(out_.pieces, out_.tally, &least);
    count(out_.starters, out_.starter_tally, nullptr);
    const int framing = out_.tally.stud + out_.tally.member, all = framing + out_.tally.sheathing;
    out_.framing_share = all > 0 ? static_cast<double>(framing) / all : 1;
    out_.least_penetration = least < nail_infinity ? least : 0;
    piece_ = nullptr;
    if (thin_ > 0)
      finding("nail_stud", Severity::note, thinnest_, clear_,
              detail::format(
                  "{} of {} nails in studs stand nearer to the stud's face than {} shank diameters, the "
                  "nearest {:.3f} in: bore them first where the wood splits",
                  thin_, out_.tally.stud, stud_edge_diameters, thinnest_));
    if (out_.framing_share < rules_.fasteners.min_framing_share - 1e-9) {
      finding(
          "nail_share", Severity::warning, out_.framing_share, rules_.fasteners.min_framing_share,
          detail::format(
              "{} of {} nails go into framing, fewer than the share asked for: every one in the sheathing is "
              "needed by an end or by the spacing; studs or blocking where ends fall would mend it",
              framing, all));
    }
  }

  std::string say(double inches) const { return format_length(inches, rules_.courses.division); }

  void finding(const char* code, Severity severity, std::optional<double> measured,
               std::optional<double> limit, std::string message) {
    Finding f;
    f.code = code;
    f.severity = severity;
    f.wall = wall_.name;
    if (piece_ != nullptr) {
      f.course = piece_->course;
      f.piece = piece_->id;
    }
    f.measured = measured;
    f.limit = limit;
    f.message = std::move(message);
    out_.findings.push_back(std::move(f));
  }

  const Wall& wall_;
  const Pole& pole_;
  const WallCourses& courses_;
  const std::vector<Piece>& pieces_;
  const Rules& rules_;
  std::vector<Stud> studs_;
  std::vector<std::size_t> begin_;  ///< of each course in pieces_
  double spacing_ = 0, clear_ = 0, widest_ = 0;

  int course_ = -1;
  double line_ = 0, upper_ = 0, nail_line_ = 0, hidden_ = 0, below_top_ = 0, lean_ = 0, blind_low_ = 0;
  bool last_ = false;
  std::vector<Box> members_;

  const Piece* piece_ = nullptr;
  bool middle_ = false;
  NailPlaces places_;
  std::vector<double> rows_, columns_;
  std::vector<Interval> stretches_;
  std::vector<Interval> all_, row_, column_, scratch_;
  std::vector<Place> nails_, added_;
  int thin_ = 0;  ///< nails nearer to a stud's face than recommended
  double thinnest_ = nail_infinity;
  Fastening out_;
};

}  // namespace detail

LAPW_INLINE Fastening place_fasteners(const Wall& wall, const Region&, const Pole& pole,
                                      const WallCourses& courses, const std::vector<Piece>& pieces,
                                      const std::vector<Starter>& starters, const Rules& rules) {
  return detail::Nailer(wall, pole, courses, pieces, rules).run(starters);
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
