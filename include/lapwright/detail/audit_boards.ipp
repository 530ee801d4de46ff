#pragma once
// Boards, starters and the order. Included by audit.ipp.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include <lapwright/certificate.hpp>
#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/audit_pieces.ipp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

/// A thing on a board.
struct OnBoard {
  std::vector<Ring> rings;
  Box box;
  std::string name;
};
inline double segments_apart(Point a, Point b, Point c, Point d) {
  const auto side = [](Point p, Point q, Point r) {
    return (q.x - p.x) * (r.y - p.y) - (r.x - p.x) * (q.y - p.y);
  };
  const double s = side(a, b, c), t = side(a, b, d), u = side(c, d, a), v = side(c, d, b);
  if (((s > 0) != (t > 0)) && ((u > 0) != (v > 0)) && s != 0 && t != 0 && u != 0 && v != 0) return 0;
  return std::min(std::min(off_segment(a, c, d), off_segment(b, c, d)),
                  std::min(off_segment(c, a, b), off_segment(d, a, b)));
}
inline double things_apart(const OnBoard& a, const OnBoard& b) {
  double least = 1e300;
  for (const Ring& p : a.rings)
    for (const Ring& q : b.rings)
      for (std::size_t i = 0; i < p.size(); ++i)
        for (std::size_t j = 0; j < q.size(); ++j)
          least = std::min(least, segments_apart(p[i], corner(p, i + 1), q[j], corner(q, j + 1)));
  return least;
}
/// Area in both, square inches.
inline double things_share(const OnBoard& a, const OnBoard& b) {
  Overlay overlay(std::max(a.box.y_min, b.box.y_min) - 1, std::min(a.box.y_max, b.box.y_max) + 1);
  for (int k = 0; k < 2; ++k) {
    const OnBoard& thing = k == 0 ? a : b;
    for (std::size_t i = 0; i < thing.rings.size(); ++i) overlay.add(thing.rings[i], k, -1, i == 0);
  }
  double shared = 0;
  for (const Cell& cell : overlay.cells())
    if (cell.in[0] > 0 && cell.in[1] > 0) shared += cell.area();
  return shared;
}
inline OnBoard rectangle_on_board(Point at, Point size, std::string name) {
  OnBoard thing;
  thing.rings = {{at, {at.x + size.x, at.y}, {at.x + size.x, at.y + size.y}, {at.x, at.y + size.y}}};
  thing.box = ring_box(thing.rings[0]);
  thing.name = std::move(name);
  return thing;
}

LAPW_INLINE void audit_boards(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const BoardRules& stock = rules.board;
  const double width = stock.width, kerf = rules.cutting.kerf;
  std::vector<double> prices = stock.prices;
  if (prices.empty()) {
    double shortest = 1e300;
    for (double l : stock.lengths) shortest = std::min(shortest, l);
    for (double l : stock.lengths) prices.push_back(l / shortest);
  }
  std::vector<char> on_hand_used(stock.offcuts.size(), 0);
  std::unordered_map<std::string, int> cut_of;
  std::unordered_map<std::string, double> strips;
  std::map<int, int> ids;
  for (const Board& board : house.plan->boards) {
    const auto note = [&](const char* code, std::optional<double> measured, std::optional<double> limit,
                          std::string what, const std::string& piece = {}) {
      report.insist(code, {{}, {}, piece}, measured, limit, detail::format("board {}: {}", board.id, what));
    };
    if (++ids[board.id] > 1) note("board_item", board.id, {}, "two boards bear this number");
    bool bought = false;
    for (std::size_t i = 0; i < stock.lengths.size(); ++i)
      bought = bought || (near(board.length, stock.lengths[i], 1e-5) && near(board.price, prices[i], 1e-9));
    bool left_factory = true, right_factory = true, known = bought;
    if (!bought || board.on_hand >= 0) {
      const StockOffcut* hand = nullptr;
      for (std::size_t i = 0; i < stock.offcuts.size() && hand == nullptr; ++i) {
        if (on_hand_used[i] || !near(board.length, stock.offcuts[i].length, 1e-5) ||
            !near(board.price, 0, 1e-9))
          continue;
        if (board.on_hand >= 0 && static_cast<std::size_t>(board.on_hand) != i) continue;
        hand = &stock.offcuts[i];
        on_hand_used[i] = 1;
      }
      known = hand != nullptr;
      if (hand != nullptr) left_factory = hand->factory_left, right_factory = hand->factory_right;
    }
    if (!known)
      note("board_stock", board.length, {},
           detail::format("{:.4f} long at {:.4f} is neither bought nor on hand", board.length, board.price));
    std::vector<OnBoard> things;
    for (const Placement& put : board.cut) {
      if (put.piece.empty() == put.starter.empty()) {
        note("board_item", {}, {}, "an item is neither one piece nor one starter");
        continue;
      }
      if (!put.starter.empty()) {
        const auto found = house.starter_at.find(put.starter);
        if (found == house.starter_at.end()) {
          note("board_item", {}, {}, detail::format("there is no starter {}", put.starter));
          continue;
        }
        const Starter& starter = house.walls[found->second.first].plan->starters[found->second.second];
        strips[put.starter] += put.size.x;
        if (!(put.size.x > tolerance) || !near(put.size.y, starter.width, 1e-5))
          note("starter_cut", put.size.y, starter.width,
               detail::format("a strip of starter {} is {:.4f} by {:.4f}", put.starter, put.size.x,
                              put.size.y));
        if (starter.where == StarterPlace::base) {
          const bool low = near(put.at.y, 0), high = near(put.at.y + put.size.y, width);
          if (!low && !(high && stock.turnable))
            note("starter_edge", put.at.y, 0,
                 detail::format("a strip of the base starter {} has no factory long edge to face down",
                                put.starter));
        }
        things.push_back(rectangle_on_board(put.at, put.size, put.starter));
      } else {
        const auto found = house.piece_at.find(put.piece);
        if (found == house.piece_at.end()) {
          note("board_item", {}, {}, detail::format("there is no piece {}", put.piece), put.piece);
          continue;
        }
        ++cut_of[put.piece];
        const AuditWall& w = house.walls[found->second.first];
        const Piece& piece = w.plan->pieces[found->second.second];
        if (piece.outline.size() < 3) continue;
        const Blank blank = blank_of(house, w, piece);
        OnBoard thing;
        thing.name = put.piece;
        const auto carry = [&](Point p) {
          Point q{p.x - blank.x0, p.y - blank.y};
          if (put.turned) q = {blank.length() - q.x, width - q.y};
          return Point{q.x + put.at.x, q.y + put.at.y};
        };
        const auto carry_ring = [&](const Ring& ring) {
          Ring out;
          for (Point p : ring) out.push_back(carry(p));
          return out;
        };
        thing.rings.push_back(carry_ring(piece.outline));
        for (const Ring& hole : piece.holes) {
          Ring turned = hole;
          if (ring_area(turned) > 0) std::reverse(turned.begin(), turned.end());
          thing.rings.push_back(carry_ring(turned));
        }
        thing.box = ring_box(thing.rings[0]);
        if (put.turned && !stock.turnable)
          note("board_long_edge", {}, {}, detail::format("{} is turned, and the board may not be", put.piece),
               put.piece);
        bool uncut = false;
        for (std::size_t i = 0; i < piece.outline.size(); ++i) {
          const Point a = piece.outline[i], b = corner(piece.outline, i + 1);
          uncut = uncut || (near(a.y, b.y) && (near(a.y, blank.y) || near(a.y, blank.top)));
        }
        if (uncut && !near(put.at.y, 0))
          note("board_long_edge", put.at.y, 0,
               detail::format("a long edge of {} is the board's own, and does not lie on it", put.piece),
               put.piece);
        const auto factory = [&](const PieceEnd& end, bool is_left) {
          if (!end.factory) return;
          const bool at_left = is_left != put.turned;
          const double x = at_left ? put.at.x : put.at.x + blank.length();
          if (at_left ? (near(x, 0, 1e-5) && left_factory) : (near(x, board.length, 1e-5) && right_factory))
            return;
          note("board_factory_end", x, at_left ? 0 : board.length,
               detail::format("a factory end of {} does not lie on one of the board's", put.piece),
               put.piece);
        };
        factory(piece.left, true);
        factory(piece.right, false);
        things.push_back(std::move(thing));
      }
      const OnBoard& thing = things.back();
      if (thing.box.x_min < -4 * tolerance || thing.box.x_max > board.length + 4 * tolerance ||
          thing.box.y_min < -4 * tolerance || thing.box.y_max > width + 4 * tolerance)
        note("board_outside", thing.box.x_max, board.length,
             detail::format("{} reaches out of the board: x {:.4f} to {:.4f}, y {:.4f} to {:.4f}", thing.name,
                            thing.box.x_min, thing.box.x_max, thing.box.y_min, thing.box.y_max),
             put.piece);
    }
    const auto apart = [&](const OnBoard& a, const OnBoard& b, const char* overlaps, const char* closer) {
      if (a.box.x_min > b.box.x_max + kerf || b.box.x_min > a.box.x_max + kerf ||
          a.box.y_min > b.box.y_max + kerf || b.box.y_min > a.box.y_max + kerf)
        return;
      const double shared = things_share(a, b);
      if (shared > 1e-4) {
        note(overlaps, shared, 0,
             detail::format("{} and {} overlap by {:.4g} square inches", a.name, b.name, shared));
        return;
      }
      const double d = things_apart(a, b);
      if (d < kerf - 1e-5)
        note(closer, d, kerf, detail::format("{} and {} lie {:.5f} apart", a.name, b.name, d));
    };
    for (std::size_t i = 0; i < things.size(); ++i)
      for (std::size_t j = i + 1; j < things.size(); ++j)
        apart(things[i], things[j], "board_overlap", "board_kerf");
    std::vector<OnBoard> rest;
    const double starter_width = rules.starter.width ? *rules.starter.width : stock.min_lap;
    for (const Offcut& offcut : board.offcuts) {
      OnBoard thing = rectangle_on_board(offcut.at, offcut.size, "an offcut");
      if (offcut.size.x < rules.cutting.min_offcut - 4 * tolerance ||
          offcut.size.y < starter_width - 4 * tolerance)
        note("offcut", offcut.size.x, rules.cutting.min_offcut, "an offcut is too small to keep");
      if (thing.box.x_min < -4 * tolerance || thing.box.x_max > board.length + 4 * tolerance ||
          thing.box.y_min < -4 * tolerance || thing.box.y_max > width + 4 * tolerance)
        note("offcut", thing.box.x_max, board.length, "an offcut reaches out of the board");
      for (const OnBoard& other : things) apart(thing, other, "offcut", "offcut");
      for (const OnBoard& other : rest) apart(thing, other, "offcut", "offcut");
      rest.push_back(std::move(thing));
    }
  }
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    for (const Piece& piece : w.plan->pieces) {
      const auto found = cut_of.find(piece.id);
      const int times = found == cut_of.end() ? 0 : found->second;
      if (times != 1)
        report.insist("piece_cut", {w.wall->name, piece.course, piece.id}, times, 1,
                      detail::format("{} is cut from {} boards", piece.id, times));
    }
    for (const Starter& starter : w.plan->starters) {
      const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
      const double length = std::sqrt(dx * dx + dy * dy);
      const auto found = strips.find(starter.id);
      const double made = found == strips.end() ? 0 : found->second;
      if (!near(made, length, 1e-4))
        report.insist(
            "starter_cut", {w.wall->name, {}, {}}, made, length,
            detail::format("the strips of starter {} make {:.4f} of {:.4f}", starter.id, made, length));
    }
  }
}

LAPW_INLINE void audit_starters(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const double width = rules.starter.width ? *rules.starter.width : rules.board.min_lap;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    const Report::Place place{w.wall->name, {}, {}};
    std::vector<double> used(w.plan->starters.size(), 0);
    std::vector<std::array<double, 3>> along(used.size(), {{0, 0, 0}});  // by what it lies along
    std::map<std::string, int> ids;
    for (const Starter& s : w.plan->starters) {
      if (++ids[s.id] > 1) report.insist("starter_stray", place, {}, {}, "two starters are called " + s.id);
      if (!near(s.width, width, 1e-5))
        report.insist("starter_width", place, s.width, width,
                      detail::format("starter {} is {:.4f} wide", s.id, s.width));
    }
    // Each stretch that needs one is covered by starters along it, once.
    for (const ExpectedStarter& e : w.starters) {
      const double dx = e.to.x - e.from.x, dy = e.to.y - e.from.y, l = std::sqrt(dx * dx + dy * dy);
      if (l <= 1e-6) continue;
      double covered = 0;
      for (std::size_t i = 0; i < w.plan->starters.size(); ++i) {
        const Starter& s = w.plan->starters[i];
        const double sx = s.to.x - s.from.x, sy = s.to.y - s.from.y, sl = std::sqrt(sx * sx + sy * sy);
        if (!(sl > 0)) continue;
        const auto off = [&](Point p) {
          return std::fabs((p.x - s.from.x) * sy - (p.y - s.from.y) * sx) / sl;
        };
        if (off(e.from) > 1e-4 || off(e.to) > 1e-4) continue;
        const double lo = std::max(e.from.x, std::min(s.from.x, s.to.x)),
                     hi = std::min(e.to.x, std::max(s.from.x, s.to.x));
        if (hi <= lo) continue;
        const double share = (hi - lo) / dx * l;
        covered += share;
        used[i] += share;
        const StarterPlace where = e.meets == Meets::opening ? StarterPlace::head
                                   : e.meets != Meets::base  ? StarterPlace::roof
                                                             : StarterPlace::base;
        along[i][static_cast<std::size_t>(where)] += share;
      }
      if (covered < l - 2e-3)
        report.insist(
            "starter_missing", place, covered, l,
            detail::format("from {:.3f}, {:.3f} to {:.3f}, {:.3f} a board has nothing below to lean on",
                           e.from.x, e.from.y, e.to.x, e.to.y));
      if (covered > l + 2e-3)
        report.insist("starter_stray", place, covered, l,
                      detail::format("from {:.3f}, {:.3f} to {:.3f}, {:.3f} lie two starters", e.from.x,
                                     e.from.y, e.to.x, e.to.y));
    }
    for (std::size_t i = 0; i < used.size(); ++i) {
      const Starter& s = w.plan->starters[i];
      // A step's trim may interrupt a base by its width: the longest share says where the starter lies.
      const double longest = *std::max_element(along[i].begin(), along[i].end());
      if (along[i][static_cast<std::size_t>(s.where)] < longest - 1e-4)
        report.insist("starter_stray", place, {}, {},
                      detail::format("starter {} does not lie where it says", s.id));
      const double sx = s.to.x - s.from.x, sy = s.to.y - s.from.y, sl = std::sqrt(sx * sx + sy * sy);
      if (used[i] < sl - 5e-3)
        report.insist("starter_stray", place, sl, used[i],
                      detail::format("starter {} is {:.4f} long, {:.4f} of it has a board to carry", s.id, sl,
                                     used[i]));
    }
  }
}

inline double pole_starter(const House& house) {
  return house.rules->starter.width ? *house.rules->starter.width : house.rules->board.min_lap;
}
inline bool any_piece(const House& house) {
  for (const AuditWall& w : house.walls)
    if (w.plan != nullptr && !w.plan->pieces.empty()) return true;
  return false;
}

/// A bound that a plan says is proven must follow from the certificate that it carries.
LAPW_INLINE void audit_certificate(const House& house, Report& report) {
  const Plan& plan = *house.plan;
  const double said = plan.order.proven_minimum;
  if (plan.certificate.price_scale == 0) return;  // it carries none
  CertifiedBound proven;
  try {
    proven = check_certificate(*house.job, plan);
  } catch (const Refused& refused) {
    proven.fault = refused.faults.empty() ? "" : refused.faults.front().message;
  }
  if (!proven.fault.empty())
    report.insist("proven_minimum", {}, said, proven.bound, "the certificate does not hold: " + proven.fault);
  else if (said > proven.bound + 1e-6 * std::max(1.0, said))
    report.insist("proven_minimum", {}, said, proven.bound,
                  format("the certificate proves {:.6g}, the plan says {:.6g}", proven.bound, said));
}

LAPW_INLINE void audit_order(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const Plan& plan = *house.plan;
  const Order& order = plan.order;
  const double width = rules.board.width;
  double cost = 0, weight = 0;
  int bought = 0;
  std::map<double, int> counts;
  for (const Board& board : plan.boards) {
    cost += board.price;
    const bool on_hand = board.on_hand >= 0 || (near(board.price, 0, 1e-12) && !rules.board.offcuts.empty());
    if (on_hand) continue;
    ++bought;
    ++counts[board.length];
    weight += board.length * width / 144 * rules.board.weight;
  }
  std::map<double, int> said;
  for (const OrderLine& line : order.boards) said[line.length] += line.count;
  for (const auto& c : counts) {
    int n = 0;
    for (const auto& s : said)
      if (near(s.first, c.first, 1e-5)) n += s.second;
    if (n != c.second)
      report.insist("order_count", {}, n, c.second,
                    detail::format("{} boards of {:.4f} are ordered, {} are cut", n, c.first, c.second));
  }
  for (const auto& s : said) {
    bool any = s.second == 0;
    for (const auto& c : counts) any = any || near(s.first, c.first, 1e-5);
    if (!any)
      report.insist("order_count", {}, s.second, 0,
                    detail::format("{} boards of {:.4f} are ordered, none is cut", s.second, s.first));
  }
  const int allowance = static_cast<int>(std::ceil(bought * rules.allowance - 1e-9));
  if (order.allowance_boards != allowance)
    report.insist("order_count", {}, order.allowance_boards, allowance,
                  "the allowance for breakage is not that of the job");
  if (!near(order.cost, cost, 1e-6 * std::max(1.0, cost)))
    report.insist("order_cost", {}, order.cost, cost,
                  detail::format("the plan says {:.6g}, its boards cost {:.6g}", order.cost, cost));
  if (!(order.proven_minimum >= -1e-9) || order.proven_minimum > cost + 1e-6 * std::max(1.0, cost))
    report.insist("proven_minimum", {}, order.proven_minimum, cost,
                  "no plan costs less, says the plan, than more than its own boards cost");
  audit_certificate(house, report);
  NailCounts nails;
  int flashings = 0;
  double starters = 0;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    flashings += static_cast<int>(w.plan->joints.size());
    for (const auto& all : w.plan->nails)
      for (const Nail& nail : all) {
        ++(nail.into == NailBase::stud     ? nails.stud
           : nail.into == NailBase::member ? nails.member
                                           : nails.sheathing);
        nails.face += nail.face;
      }
    for (const Starter& s : w.plan->starters) {
      const double dx = s.to.x - s.from.x, dy = s.to.y - s.from.y;
      starters += std::sqrt(dx * dx + dy * dy);
    }
  }
  const std::pair<int, int> kinds[4] = {{order.nails.stud, nails.stud},
                                        {order.nails.member, nails.member},
                                        {order.nails.sheathing, nails.sheathing},
                                        {order.nails.face, nails.face}};
  static const char* const names[4] = {"studs", "members", "sheathing", "the face"};
  for (int k = 0; k < 4; ++k)
    if (kinds[k].first != kinds[k].second)
      report.insist("order_nails", {}, kinds[k].first, kinds[k].second,
                    detail::format("{} nails in {} are ordered, {} are placed", kinds[k].first, names[k],
                                   kinds[k].second));
  if (!near(order.starter_inches, starters, 1e-3))
    report.insist("order_starter", {}, order.starter_inches, starters,
                  detail::format("{:.4f} of starter are ordered, the walls show {:.4f}", order.starter_inches,
                                 starters));
  if (order.joint_flashings != flashings)
    report.insist("order_flashings", {}, order.joint_flashings, flashings,
                  detail::format("{} joint flashings are ordered, there are {} joints", order.joint_flashings,
                                 flashings));
  if (!near(order.weight_lb, weight, 1e-6 * std::max(1.0, weight)))
    report.insist(
        "order_weight", {}, order.weight_lb, weight,
        detail::format("the boards weigh {:.4f} lb, the plan says {:.4f}", weight, order.weight_lb));

  // Sealant and primer.
  double sealant = 0, prime = 0;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    for (const Piece& piece : w.plan->pieces) {
      if (piece.outline.size() < 3 || !house.has_line(piece.course)) continue;
      const Blank blank = blank_of(house, w, piece);
      const auto walk = [&](const Ring& ring, bool hole) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
          Point a = ring[i], b = corner(ring, i + 1);
          const bool level = near(a.y, b.y), upright = near(a.x, b.x);
          const bool own = !hole && level && (near(a.y, blank.y) || near(a.y, blank.top));
          const bool factory =
              !hole && upright &&
              ((near(a.x, blank.x0) && piece.left.factory) || (near(a.x, blank.x1) && piece.right.factory));
          // The part that shows.
          const double low = std::min(a.y, b.y);
          if (low >= blank.shown - 2 * tolerance) continue;
          double share = 1;
          if (std::max(a.y, b.y) > blank.shown) share = (blank.shown - low) / std::fabs(b.y - a.y);
          const double dx = b.x - a.x, dy = b.y - a.y, shown = std::sqrt(dx * dx + dy * dy) * share;
          if (!own && !factory) prime += shown;
          if (level) continue;
          const double high = std::min(std::max(a.y, b.y), blank.shown);
          // Grown openings may lie over one another: what is sealed to both is sealed once.
          std::vector<std::pair<double, double>> beads;
          for (const GroundSide& s : w.sides) {
            if (near(s.a.y, s.b.y) || !(s.gap > 0) || s.meets == Meets::base || s.meets == Meets::roof)
              continue;
            // Boards lie on the left of both. An opening's edge whose outward normal points up within 45
            // degrees is a head.
            if (dx * (s.b.x - s.a.x) + dy * (s.b.y - s.a.y) <= 0) continue;
            if (s.meets == Meets::opening && s.b.x - s.a.x >= std::fabs(s.b.y - s.a.y) * (1 - 1e-6)) continue;
            const double ex = s.b.x - s.a.x, ey = s.b.y - s.a.y, l = std::sqrt(ex * ex + ey * ey);
            const auto off = [&](Point p) { return std::fabs((p.x - s.a.x) * ey - (p.y - s.a.y) * ex) / l; };
            if (off(a) > 1e-5 || off(b) > 1e-5) continue;
            beads.push_back({std::max(low, std::min(s.a.y, s.b.y)), std::min(high, std::max(s.a.y, s.b.y))});
          }
          std::sort(beads.begin(), beads.end());
          double sealed_to = low;
          for (const auto& bead : beads) {
            const double more = bead.second - std::max(bead.first, sealed_to);
            if (more <= tolerance) continue;
            sealant += more * std::sqrt(dx * dx + dy * dy) / std::fabs(dy);
            sealed_to = bead.second;
          }
        }
      };
      walk(piece.outline, false);
      for (const Ring& hole : piece.holes) walk(hole, true);
    }
  }
  if (!near(order.sealant_inches, sealant, 1e-3 * std::max(1.0, sealant)))
    report.insist(
        "order_sealant", {}, order.sealant_inches, sealant,
        detail::format("{:.3f} of bead are ordered, the walls show {:.3f}", order.sealant_inches, sealant));
  if (!near(order.prime_inches, prime, 1e-3 * std::max(1.0, prime)))
    report.insist("order_sealant", {}, order.prime_inches, prime,
                  detail::format("{:.3f} of cut edge are to be primed, the walls show {:.3f}",
                                 order.prime_inches, prime));
  const double volume = order.sealant_inches * rules.seal.width * rules.seal.depth;
  const int cartridges =
      rules.seal.cartridge > 0 ? static_cast<int>(std::ceil(volume / rules.seal.cartridge - 1e-9)) : 0;
  if (order.cartridges != cartridges)
    report.insist(
        "order_sealant", {}, order.cartridges, cartridges,
        detail::format("{} cartridges hold the bead, {} are ordered", cartridges, order.cartridges));

  // Lifts.
  struct Hung {
    int first = 0, last = -1, pieces = 0;
    double weight = 0;
  };
  std::map<std::pair<std::string, int>, Hung> hung;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr || !house.has_line(w.first_planned)) continue;
    for (const Piece& piece : w.plan->pieces) {
      if (piece.outline.size() < 3) continue;
      double area = std::fabs(ring_area(piece.outline));
      for (const Ring& hole : piece.holes) area -= std::fabs(ring_area(hole));
      const double up = ring_box(piece.outline).y_min - house.line(w.first_planned);
      const int lift = 1 + std::max(0, static_cast<int>(std::floor((up + tolerance) / rules.staging.lift)));
      Hung& h = hung[{w.wall->name, lift}];
      if (h.pieces == 0) h.first = h.last = piece.course;
      h.first = std::min(h.first, piece.course);
      h.last = std::max(h.last, piece.course);
      ++h.pieces;
      h.weight += area / 144 * rules.board.weight;
    }
  }
  for (const Lift& lift : plan.staging) {
    const auto found = hung.find({lift.wall, lift.lift});
    const Report::Place place{lift.wall, {}, {}};
    if (found == hung.end()) {
      if (lift.pieces != 0)
        report.insist("staging", place, lift.pieces, 0,
                      detail::format("nothing hangs in lift {}", lift.lift));
      continue;
    }
    const Hung& h = found->second;
    if (lift.pieces != h.pieces || lift.first_course != h.first || lift.last_course != h.last ||
        !near(lift.weight_lb, h.weight, 1e-4 * std::max(1.0, h.weight)))
      report.insist(
          "staging", place, lift.weight_lb, h.weight,
          detail::format("lift {} hangs {} pieces of {:.3f} lb in courses {} to {}, not what the plan says",
                         lift.lift, h.pieces, h.weight, h.first, h.last));
    if (rules.staging.rating) {
      const double holds = *rules.staging.rating * rules.staging.bay_length * rules.staging.bay_width / 144;
      if (h.weight > holds + 1e-6)
        report.add(
            "staging", place, h.weight, holds,
            detail::format(
                "lift {} takes {:.1f} lb, one bay is rated for {:.1f}, and the plan says nothing of it",
                lift.lift, h.weight, holds));
    }
    hung.erase(found);
  }
  for (const auto& h : hung)
    report.insist(
        "staging", {h.first.first, {}, {}}, 0, h.second.pieces,
        detail::format("lift {} is missing, {} pieces hang in it", h.first.second, h.second.pieces));

  // Trim must stand proud even of the leanest board.
  if (rules.trim) {
    const std::vector<double>& lines = plan.pole.lines;
    // The least exposure leans furthest; the first board leans over its starter.
    double least = width - pole_starter(house);
    for (std::size_t k = house.built > 0 ? house.built - 1 : 0; k + 1 < lines.size(); ++k)
      least = std::min(least, lines[k + 1] - lines[k]);
    if (least > 0 && any_piece(house)) {
      const double stands = rules.board.thickness * width / least + rules.board.thickness;
      if (rules.trim->thickness < stands - 4 * tolerance)
        report.add("trim_too_thin", {}, rules.trim->thickness, stands,
                   "the trim is not proud of the siding, and the plan says nothing of it");
    }
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
