// A plan document read leniently: whatever cannot be read is a finding and stays at its default, so that an
// audit has something to look at in a plan from whoever made it.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/document.hpp>

#include "document_words.hpp"
#include "json_tree.hpp"

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace {

class PlanReader {
public:
  ReadPlan read(std::string_view json) {
    JsonNode root;
    std::vector<Fault> faults;
    const bool parsed = parse_json(json, root, faults);
    for (const Fault& fault : faults) odd(fault.path, fault.message);
    if (parsed) read_document(root);
    return std::move(read_);
  }

private:
  enum class Need { must, may };  // a part that a plan must have, or may

  // A value and its path; null where it is absent.
  struct Place {
    const JsonNode* node = nullptr;
    std::string path;
  };

  void odd(const std::string& path, std::string_view what) {
    Finding finding;
    finding.code = "format";
    finding.message = path.empty() ? std::string(what) : detail::format("{}: {}", path, what);
    finding.wall = wall_;
    read_.findings.push_back(std::move(finding));
  }

  Place member(const Place& object, std::string_view key, Need need) {
    if (!object.node) return {nullptr, member_path(object.path, key)};
    Place place{object.node->find(key), member_path(object.path, key)};
    if (!place.node && need == Need::must) odd(place.path, "is missing");
    return place;
  }
  bool is(const Place& place, JsonNode::Kind kind, std::string_view what) {
    if (!place.node) return false;
    if (place.node->kind == kind) return true;
    odd(place.path, detail::format("must be {}, got {}", what, describe(*place.node)));
    return false;
  }
  Place object(Place place) {
    if (!is(place, JsonNode::Kind::object, "an object")) place.node = nullptr;
    return place;
  }
  Place object(const Place& parent, std::string_view key, Need need = Need::must) {
    return object(member(parent, key, need));
  }
  template <class Each>
  void each(const Place& list, const Each& f) {
    if (!is(list, JsonNode::Kind::list, "a list")) return;
    for (std::size_t i = 0; i < list.node->items.size(); ++i)
      f(Place{&list.node->items[i], item_path(list.path, i)});
  }

  void number(const Place& place, double& to) {
    if (is(place, JsonNode::Kind::number, "a number")) to = place.node->number;
  }
  void number(const Place& object, std::string_view key, double& to, Need need = Need::must) {
    number(member(object, key, need), to);
  }
  void number(const Place& object, std::string_view key, std::optional<double>& to) {
    const Place place = member(object, key, Need::may);
    if (is(place, JsonNode::Kind::number, "a number")) to = place.node->number;
  }
  template <class Int>
  bool whole(const Place& place, Int& to) {
    if (!is(place, JsonNode::Kind::number, "a whole number")) return false;
    const double value = place.node->number;
    if (place.node->whole && place.node->integer >= std::numeric_limits<Int>::min() &&
        place.node->integer <= std::numeric_limits<Int>::max()) {
      to = static_cast<Int>(place.node->integer);
      return true;
    }
    if (place.node->whole || value != std::floor(value) || std::fabs(value) > 2147483647.0) {
      odd(place.path, detail::format("must be a whole number, got {}", describe(*place.node)));
      return false;
    }
    to = static_cast<Int>(value);
    return true;
  }
  template <class Int>
  bool whole(const Place& object, std::string_view key, Int& to, Need need = Need::must) {
    return whole(member(object, key, need), to);
  }
  void truth(const Place& object, std::string_view key, bool& to, Need need = Need::must) {
    const Place place = member(object, key, need);
    if (is(place, JsonNode::Kind::boolean, "true or false")) to = place.node->truth;
  }
  void text(const Place& place, std::string& to) {
    if (is(place, JsonNode::Kind::text, "a text")) to = place.node->text;
  }
  void text(const Place& object, std::string_view key, std::string& to, Need need = Need::must) {
    text(member(object, key, need), to);
  }
  template <class Enum>
  void word(const Place& object, std::string_view key, Enum& to, Need need = Need::must) {
    const Place place = member(object, key, need);
    if (!is(place, JsonNode::Kind::text, "a text") || read_word(place.node->text, to)) return;
    std::string list;
    for (const char* known : words_of(to)) list += detail::format("{}{}", list.empty() ? "" : ", ", known);
    odd(place.path, detail::format("must be one of {}, got {}", list, describe(*place.node)));
  }
  bool point(const Place& place, Point& to) {
    if (!place.node) return false;
    const JsonNode& node = *place.node;
    if (node.kind == JsonNode::Kind::list && node.items.size() == 2 &&
        node.items[0].kind == JsonNode::Kind::number && node.items[1].kind == JsonNode::Kind::number) {
      to = {node.items[0].number, node.items[1].number};
      return true;
    }
    odd(place.path, detail::format("must be a point [x, y], got {}", describe(node)));
    return false;
  }
  void point(const Place& object, std::string_view key, Point& to) {
    point(member(object, key, Need::must), to);
  }
  void points(const Place& list, std::vector<Point>& to) {
    each(list, [&](const Place& place) {
      Point p;
      if (point(place, p)) to.push_back(p);
    });
  }
  void numbers(const Place& list, std::vector<double>& to) {
    each(list, [&](const Place& place) {
      double value = 0;
      number(place, value);
      to.push_back(value);
    });
  }
  void texts(const Place& list, std::vector<std::string>& to) {
    each(list, [&](const Place& place) {
      std::string value;
      text(place, value);
      to.push_back(std::move(value));
    });
  }

  // --- the document ---------------------------------------------------------------------------
  void read_document(const JsonNode& root) {
    const Place plan = object(Place{&root, ""});
    if (!plan.node) return;
    if (plan.node->find("errors") && !plan.node->find("walls")) {
      odd("errors", "this is the answer to a refused job, not a plan");
      return;
    }
    int version = 0;
    if (whole(plan, "lapwright", version) && version != 1)
      odd("lapwright", detail::format("must be 1, the format version, got {}", version));
    std::string library;
    text(plan, "library", library);
    Plan& to = read_.plan;
    text(plan, "job", to.job);
    const Place pole = object(plan, "pole");
    numbers(member(pole, "lines", Need::must), to.pole.lines);
    numbers(member(pole, "exposures", Need::must), to.pole.exposures);
    whole(pole, "settings", to.pole.settings);
    number(pole, "starter", to.pole.starter);
    whole(pole, "built", to.pole.built, Need::may);
    each(member(plan, "walls", Need::must), [&](const Place& place) { read_wall(place); });
    wall_.clear();
    each(member(plan, "boards", Need::must), [&](const Place& place) { read_board(place); });
    read_order(object(plan, "order"), to.order);
    each(member(plan, "staging", Need::must), [&](const Place& place) { read_lift(place); });
    each(member(plan, "findings", Need::must), [&](const Place& place) { read_finding(place); });
    texts(member(plan, "cautions", Need::must), to.cautions);
    texts(member(plan, "defaults_used", Need::must), to.defaults_used);
    read_extras(plan, to);
    read_certificate(object(plan, "certificate", Need::may), to.certificate);
  }

  void read_wall(const Place& place) {
    PlanWall& wall = read_.plan.walls.emplace_back();
    const Place w = object(place);
    wall_.clear();
    text(w, "name", wall.name);
    wall_ = wall.name;
    whole(w, "first_course", wall.courses.first_course);
    if (!whole(w, "last_course", wall.courses.last_course, Need::may)) wall.courses.last_course = -2;
    truth(w, "ripped_start", wall.courses.ripped_start, Need::may);
    number(w, "last_rip", wall.courses.last_rip);
    number(w, "region_area", wall.region_area);
    number(w, "framing_share", wall.framing_share);
    number(w, "least_penetration", wall.least_penetration);
    each(member(w, "joints", Need::must), [&](const Place& at) {
      const Place j = object(at);
      Joint& joint = wall.joints.emplace_back();
      whole(j, "course", joint.course);
      number(j, "x", joint.x);
      number(j, "stud", joint.stud);
      truth(j, "left_factory", joint.left_factory, Need::may);
      truth(j, "right_factory", joint.right_factory, Need::may);
    });
    each(member(w, "pieces", Need::must), [&](const Place& at) { read_piece(object(at), wall); });
    each(member(w, "starters", Need::must), [&](const Place& at) {
      const Place s = object(at);
      Starter& starter = wall.starters.emplace_back();
      text(s, "id", starter.id);
      point(s, "from", starter.from);
      point(s, "to", starter.to);
      number(s, "width", starter.width);
      word(s, "where", starter.where);
      read_nails(member(s, "nails", Need::may), wall.starter_nails.emplace_back());
    });
    each(member(w, "templates", Need::must), [&](const Place& at) { read_template(object(at), wall); });
    if (wall.courses.last_course == -2) {  // absent: the highest course that has a piece
      wall.courses.last_course = -1;
      for (const Piece& piece : wall.pieces)
        wall.courses.last_course = std::max(wall.courses.last_course, piece.course);
    }
  }

  void read_piece(const Place& p, PlanWall& wall) {
    Piece& piece = wall.pieces.emplace_back();
    text(p, "id", piece.id);
    whole(p, "course", piece.course);
    truth(p, "filler", piece.filler);
    points(member(p, "outline", Need::must), piece.outline);
    each(member(p, "holes", Need::must), [&](const Place& at) { points(at, piece.holes.emplace_back()); });
    // The blank follows from outline and pole, where a plan does not say it.
    if (!piece.outline.empty()) {
      const Box box = bounds(piece.outline);
      piece.x_min = box.x_min;
      piece.x_max = box.x_max;
      piece.y = box.y_min;
    }
    const std::vector<double>& lines = read_.plan.pole.lines;
    if (piece.course >= 0 && static_cast<std::size_t>(piece.course) < lines.size())
      piece.y = lines[static_cast<std::size_t>(piece.course)];
    number(p, "x_min", piece.x_min, Need::may);
    number(p, "x_max", piece.x_max, Need::may);
    number(p, "y", piece.y, Need::may);
    number(p, "length", piece.length);
    text(p, "callout", piece.callout);
    word(p, "from", piece.from, Need::may);
    read_end(object(p, "left"), piece.left);
    read_end(object(p, "right"), piece.right);
    each(member(p, "cuts", Need::must), [&](const Place& at) {
      const Place c = object(at);
      Cut& cut = piece.cuts.emplace_back();
      word(c, "kind", cut.kind);
      points(member(c, "front", Need::must), cut.front);
      points(member(c, "back", Need::must), cut.back);
      number(c, "long", cut.long_point);
      number(c, "short", cut.short_point);
      word(c, "tool", cut.tool);
      truth(c, "seal", cut.seal);
      text(c, "callout", cut.callout);
      text(c, "back_callout", cut.back_callout, Need::may);
      text(c, "print", cut.print, Need::may);
    });
    read_nails(member(p, "nails", Need::must), wall.nails.emplace_back());
  }
  void read_end(const Place& e, PieceEnd& end) {
    word(e, "meets", end.meets);
    truth(e, "factory", end.factory);
    truth(e, "seal", end.seal);
  }
  void read_nails(const Place& list, std::vector<Nail>& nails) {
    each(list, [&](const Place& at) {
      const Place n = object(at);
      Nail& nail = nails.emplace_back();
      point(n, "at", nail.at);
      word(n, "into", nail.into);
      truth(n, "face", nail.face);
      number(n, "penetration", nail.penetration);
      number(n, "board", nail.board, Need::may);
      number(n, "board_below", nail.board_below, Need::may);
      number(n, "stand_off", nail.stand_off, Need::may);
      number(n, "sheathing", nail.sheathing, Need::may);
      number(n, "stud_edge", nail.stud_edge, Need::may);
      number(n, "held", nail.held, Need::may);
    });
  }
  void read_template(const Place& t, PlanWall& wall) {
    RakeTemplate& shape = wall.templates.emplace_back();
    const Place kind = member(t, "kind", Need::must);
    if (is(kind, JsonNode::Kind::text, "a text") && kind.node->text != "rake")
      odd(kind.path, detail::format("must be rake, got {}", describe(*kind.node)));
    word(t, "hand", shape.hand);
    number(t, "rise", shape.rise);
    number(t, "run", shape.run);
    number(t, "angle", shape.angle);
    number(t, "offset", shape.offset);
    number(t, "step", shape.step);
    point(t, "square", shape.square);
    whole(t, "uses", shape.uses);
    points(member(t, "outline", Need::must), shape.outline);
    number(t, "error", shape.error, Need::may);
    number(t, "fence", shape.fence, Need::may);
    number(t, "stock_length", shape.stock_length, Need::may);
    number(t, "stock_width", shape.stock_width, Need::may);
  }

  void read_board(const Place& place) {
    const Place b = object(place);
    Board& board = read_.plan.boards.emplace_back();
    whole(b, "id", board.id);
    number(b, "length", board.length);
    number(b, "price", board.price);
    whole(b, "on_hand", board.on_hand, Need::may);
    each(member(b, "cut", Need::must), [&](const Place& at) {
      const Place c = object(at);
      Placement& placed = board.cut.emplace_back();
      text(c, "piece", placed.piece, Need::may);
      text(c, "starter", placed.starter, Need::may);
      if (placed.piece.empty() == placed.starter.empty() && c.node)
        odd(c.path, "must name a \"piece\" or a \"starter\"");
      point(c, "at", placed.at);
      const bool strip = !placed.starter.empty();
      truth(c, "turned", placed.turned, strip ? Need::may : Need::must);
      if (strip) point(c, "size", placed.size);
    });
    each(member(b, "offcuts", Need::must), [&](const Place& at) {
      const Place o = object(at);
      Offcut& offcut = board.offcuts.emplace_back();
      point(o, "at", offcut.at);
      point(o, "size", offcut.size);
    });
  }

  void read_order(const Place& o, Order& order) {
    each(member(o, "boards", Need::must), [&](const Place& at) {
      const Place l = object(at);
      OrderLine& line = order.boards.emplace_back();
      number(l, "length", line.length);
      whole(l, "count", line.count);
    });
    number(o, "cost", order.cost);
    number(o, "proven_minimum", order.proven_minimum);
    whole(o, "allowance_boards", order.allowance_boards);
    const Place n = object(o, "nails");
    whole(n, "stud", order.nails.stud);
    whole(n, "member", order.nails.member);
    whole(n, "sheathing", order.nails.sheathing);
    whole(n, "face", order.nails.face);
    number(o, "sealant_inches", order.sealant_inches);
    whole(o, "cartridges", order.cartridges);
    number(o, "prime_inches", order.prime_inches);
    whole(o, "joint_flashings", order.joint_flashings);
    number(o, "starter_inches", order.starter_inches);
    number(o, "weight_lb", order.weight_lb);
  }

  void read_lift(const Place& place) {
    const Place l = object(place);
    Lift& lift = read_.plan.staging.emplace_back();
    text(l, "wall", lift.wall);
    whole(l, "lift", lift.lift);
    const Place courses = member(l, "courses", Need::must);
    if (is(courses, JsonNode::Kind::list, "a list")) {
      if (courses.node->items.size() == 2) {
        whole(Place{&courses.node->items[0], item_path(courses.path, 0)}, lift.first_course);
        whole(Place{&courses.node->items[1], item_path(courses.path, 1)}, lift.last_course);
      } else {
        odd(courses.path, "must be [first, last]");
      }
    }
    whole(l, "pieces", lift.pieces);
    number(l, "weight_lb", lift.weight_lb);
    number(l, "capacity_lb", lift.capacity_lb, Need::may);
    whole(l, "bays", lift.bays, Need::may);
    each(member(l, "hanging", Need::may), [&](const Place& at) {
      std::int64_t piece = -1;
      if (!whole(at, piece)) return;
      if (piece < 0)
        odd(at.path, "must be the index of a piece");
      else
        lift.hanging.push_back(static_cast<std::size_t>(piece));
    });
  }

  void read_finding(const Place& place) {
    const Place f = object(place);
    Finding& finding = read_.plan.findings.emplace_back();
    text(f, "code", finding.code);
    word(f, "severity", finding.severity);
    text(f, "wall", finding.wall, Need::may);
    int course = 0;
    if (whole(f, "course", course, Need::may)) finding.course = course;
    text(f, "piece", finding.piece, Need::may);
    number(f, "measured", finding.measured);
    number(f, "limit", finding.limit);
    text(f, "message", finding.message);
  }

  void read_extras(const Place& plan, Plan& to) {
    if (const Place n = object(plan, "nail_order", Need::may); n.node) {
      whole(n, "blind", to.nail_order.blind);
      whole(n, "face", to.nail_order.face);
      whole(n, "starter", to.nail_order.starter);
      whole(n, "boxes", to.nail_order.boxes);
      number(n, "weight_lb", to.nail_order.weight_lb);
    }
    each(member(plan, "edge_work", Need::may), [&](const Place& at) {
      const Place e = object(at);
      EdgeWork& work = to.edge_work.emplace_back();
      text(e, "piece", work.piece);
      number(e, "prime_inches", work.prime_inches);
      number(e, "sealant_inches", work.sealant_inches);
    });
    each(member(plan, "stations", Need::may), [&](const Place& at) {
      const Place s = object(at);
      CutStation& station = to.stations.emplace_back();
      text(s, "wall", station.wall);
      number(s, "x", station.x);
      number(s, "carry_inches", station.carry_inches);
      number(s, "longest_piece", station.longest_piece);
      number(s, "bench_inches", station.bench_inches);
    });
    if (const Place l = object(plan, "loads", Need::may); l.node) read_loads(l, to.loads.emplace());
  }
  void read_loads(const Place& l, Loads& loads) {
    number(l, "velocity_psf", loads.velocity_psf);
    const Place height = object(l, "attachment_height");
    truth(height, "limited", loads.attachment.limited);
    truth(height, "design_required", loads.attachment.design_required);
    number(height, "feet", loads.attachment.feet);
    each(member(l, "zones", Need::must), [&](const Place& at) {
      const Place z = object(at);
      LoadFigures& zone = loads.zones.emplace_back();
      text(z, "wall", zone.wall);
      whole(z, "zone", zone.zone);
      number(z, "edge_width", zone.edge_width);
      number(z, "outward_psf", zone.outward_psf);
      number(z, "inward_psf", zone.inward_psf);
      whole(z, "nails", zone.nails);
      number(z, "demand_lb", zone.demand_lb);
      number(z, "capacity_lb", zone.capacity_lb);
      number(z, "ratio", zone.ratio);
      text(z, "piece", zone.piece);
      point(z, "at", zone.at);
      number(z, "total_demand_lb", zone.total_demand_lb);
      number(z, "total_capacity_lb", zone.total_capacity_lb);
    });
    texts(member(l, "assumptions", Need::must), loads.assumptions);
  }

  void read_certificate(const Place& c, Certificate& certificate) {
    if (!c.node) return;
    whole(c, "units_per_inch", certificate.units_per_inch);
    whole(c, "board_value", certificate.board_value);
    number(c, "bound", certificate.bound);
    each(member(c, "prices", Need::must), [&](const Place& at) {
      const Place p = object(at);
      CertificatePrice& price = certificate.prices.emplace_back();
      text(p, "kind", price.kind);
      whole(p, "length", price.length);
      whole(p, "factory_ends", price.factory_ends);
      whole(p, "price", price.price);
    });
    whole(c, "price_scale", certificate.price_scale, Need::may);
    whole(c, "loose", certificate.loose, Need::may);
    if (const Place at = member(c, "share_threshold", Need::may); at.node)
      number(at, certificate.share_threshold);
    each(member(c, "stacks", Need::may), [&](const Place& at) {
      const Place s = object(at);
      CertificateStack& stack = certificate.stacks.emplace_back();
      text(s, "wall", stack.wall);
      whole(s, "course", stack.course);
      whole(s, "memory", stack.memory);
      numbers(member(s, "left", Need::must), stack.left);
    });
  }

  ReadPlan read_;
  std::string wall_;  // that a finding is about
};

}  // namespace
}  // namespace detail

ReadPlan read_plan(std::string_view json) {
  return detail::PlanReader().read(json);
}

}  // namespace v0
}  // namespace lapwright
