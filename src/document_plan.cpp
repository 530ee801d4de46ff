// The plan document: plain values to text. Keys stand in the order of the format; every number is written in
// its shortest form that reads back as the same double.
#include <cmath>
#include <cstdint>
#include <iterator>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include <lapwright/detail/text.hpp>
#include <lapwright/document.hpp>
#include <lapwright/version.hpp>

#include "document_words.hpp"

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace {

// Writes JSON from left to right. Lists of things stand a line each, small values in one line.
class PlanWriter {
public:
  std::string take() { return std::move(out_); }

  void open(char bracket) {
    separate();
    out_ += bracket;
    first_ = true;
  }
  void close(char bracket) {
    out_ += bracket;
    first_ = false;
  }
  void key(std::string_view name) {
    separate();
    text_raw(name);
    out_ += ": ";
    first_ = true;  // no comma before its value
  }
  void line() { break_ = true; }  // the next value begins on a line of its own

  void number(double value) {
    separate();
    if (!std::isfinite(value)) {
      out_ += "null";  // JSON has no other word; no stage makes one
      return;
    }
    fmt::format_to(std::back_inserter(out_), "{}", value == 0 ? 0.0 : value);
  }
  void whole(std::int64_t value) {
    separate();
    fmt::format_to(std::back_inserter(out_), "{}", value);
  }
  void truth(bool value) {
    separate();
    out_ += value ? "true" : "false";
  }
  void text(std::string_view value) {
    separate();
    text_raw(value);
  }

  /// "name": {...}
  template <class Body>
  void object(std::string_view name, const Body& body) {
    key(name);
    open('{');
    body();
    close('}');
  }
  /// "name": [{...}, ...], a line each
  template <class List, class Body>
  void objects(std::string_view name, const List& list, const Body& body) {
    key(name);
    open('[');
    for (const auto& item : list) {
      line();
      open('{');
      body(item);
      close('}');
    }
    close(']');
  }

  void point(Point p) {
    open('[');
    number(p.x);
    number(p.y);
    close(']');
  }
  void path(const std::vector<Point>& points) {
    open('[');
    for (Point p : points) point(p);
    close(']');
  }
  void numbers(const std::vector<double>& values) {
    open('[');
    for (double v : values) number(v);
    close(']');
  }

  void member(std::string_view name, double value) { key(name), number(value); }
  void member(std::string_view name, int value) { key(name), whole(value); }
  void member(std::string_view name, std::int64_t value) { key(name), whole(value); }
  void member(std::string_view name, bool value) { key(name), truth(value); }
  void member(std::string_view name, std::string_view value) { key(name), text(value); }
  void member(std::string_view name, const char* value) { key(name), text(value); }
  void member(std::string_view name, Point value) { key(name), point(value); }

private:
  void separate() {
    if (!first_) out_ += break_ ? "," : ", ";
    if (break_) out_ += '\n';
    break_ = false;
    first_ = false;
  }
  void text_raw(std::string_view value) {
    out_ += '"';
    for (std::size_t i = 0; i < value.size();) {
      const char c = value[i];
      const std::size_t bytes = utf8_bytes(value.substr(i));
      if (bytes == 0) {  // no character: a host's name may hold anything
        out_ += "\xEF\xBF\xBD";
        ++i;
        continue;
      }
      if (c == '"' || c == '\\') {
        out_ += '\\';
        out_ += c;
      } else if (static_cast<unsigned char>(c) < 0x20) {
        fmt::format_to(std::back_inserter(out_), "\\u{:04x}", static_cast<unsigned>(c));
      } else {
        out_.append(value, i, bytes);
      }
      i += bytes;
    }
    out_ += '"';
  }
  // Bytes of the character that a text begins with; 0 where it is not UTF-8 (RFC 3629).
  static std::size_t utf8_bytes(std::string_view text) {
    const auto byte = [&text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned first = byte(0);
    const std::size_t bytes = first < 0x80   ? 1
                              : first < 0xC2 ? 0
                              : first < 0xE0 ? 2
                              : first < 0xF0 ? 3
                              : first < 0xF5 ? 4
                                             : 0;
    if (bytes == 0 || text.size() < bytes) return 0;
    for (std::size_t i = 1; i < bytes; ++i)
      if ((byte(i) & 0xC0U) != 0x80U) return 0;
    if (first == 0xE0 && byte(1) < 0xA0) return 0;  // longer than it need be
    if (first == 0xED && byte(1) > 0x9F) return 0;  // half a surrogate pair
    if (first == 0xF0 && byte(1) < 0x90) return 0;
    if (first == 0xF4 && byte(1) > 0x8F) return 0;  // beyond the last character
    return bytes;
  }

  std::string out_;
  bool first_ = true;
  bool break_ = false;
};

void write_end(PlanWriter& w, std::string_view name, const PieceEnd& end) {
  w.object(name, [&] {
    w.member("meets", word_of(end.meets));
    w.member("factory", end.factory);
    w.member("seal", end.seal);
  });
}

void write_cut(PlanWriter& w, const Cut& cut) {
  w.line();
  w.open('{');
  w.member("kind", word_of(cut.kind));
  w.key("front");
  w.path(cut.front);
  w.key("back");
  w.path(cut.back);
  if (cut.long_point) w.member("long", *cut.long_point);
  if (cut.short_point) w.member("short", *cut.short_point);
  w.member("tool", word_of(cut.tool));
  w.member("seal", cut.seal);
  w.member("callout", cut.callout);
  w.member("back_callout", cut.back_callout);
  w.member("print", cut.print);
  w.close('}');
}

void write_nails(PlanWriter& w, const std::vector<Nail>& nails) {
  w.objects("nails", nails, [&](const Nail& nail) {
    w.member("at", nail.at);
    w.member("into", word_of(nail.into));
    w.member("face", nail.face);
    w.member("penetration", nail.penetration);
    w.member("board", nail.board);
    w.member("board_below", nail.board_below);
    w.member("stand_off", nail.stand_off);
    w.member("sheathing", nail.sheathing);
    w.member("stud_edge", nail.stud_edge);
    w.member("held", nail.held);
  });
}

void write_piece(PlanWriter& w, const Piece& piece, const std::vector<Nail>* nails) {
  w.line();
  w.open('{');
  w.member("id", piece.id);
  w.member("course", piece.course);
  w.member("filler", piece.filler);
  w.key("outline");
  w.path(piece.outline);
  w.key("holes");
  w.open('[');
  for (const Ring& hole : piece.holes) w.path(hole);
  w.close(']');
  w.member("x_min", piece.x_min);
  w.member("x_max", piece.x_max);
  w.member("y", piece.y);
  w.member("length", piece.length);
  w.member("callout", piece.callout);
  w.member("from", word_of(piece.from));
  write_end(w, "left", piece.left);
  write_end(w, "right", piece.right);
  w.key("cuts");
  w.open('[');
  for (const Cut& cut : piece.cuts) write_cut(w, cut);
  w.close(']');
  write_nails(w, nails ? *nails : std::vector<Nail>{});
  w.close('}');
}

void write_starter(PlanWriter& w, const Starter& starter, const std::vector<Nail>* nails) {
  w.line();
  w.open('{');
  w.member("id", starter.id);
  w.member("from", starter.from);
  w.member("to", starter.to);
  w.member("width", starter.width);
  w.member("where", word_of(starter.where));
  write_nails(w, nails ? *nails : std::vector<Nail>{});
  w.close('}');
}

void write_template(PlanWriter& w, const RakeTemplate& shape) {
  w.line();
  w.open('{');
  w.member("kind", "rake");
  w.member("hand", word_of(shape.hand));
  w.member("rise", shape.rise);
  w.member("run", shape.run);
  w.member("angle", shape.angle);
  w.member("offset", shape.offset);
  w.member("step", shape.step);
  w.member("square", shape.square);
  w.member("uses", shape.uses);
  w.key("outline");
  w.path(shape.outline);
  w.member("error", shape.error);
  w.member("fence", shape.fence);
  w.member("stock_length", shape.stock_length);
  w.member("stock_width", shape.stock_width);
  w.close('}');
}

void write_wall(PlanWriter& w, const PlanWall& wall) {
  w.line();
  w.open('{');
  w.member("name", wall.name);
  w.member("first_course", wall.courses.first_course);
  w.member("last_course", wall.courses.last_course);
  w.member("ripped_start", wall.courses.ripped_start);
  w.member("last_rip", wall.courses.last_rip);
  w.member("region_area", wall.region_area);
  w.member("framing_share", wall.framing_share);
  w.member("least_penetration", wall.least_penetration);
  w.line();
  w.objects("joints", wall.joints, [&](const Joint& joint) {
    w.member("course", joint.course);
    w.member("x", joint.x);
    w.member("stud", joint.stud);
    w.member("left_factory", joint.left_factory);
    w.member("right_factory", joint.right_factory);
  });
  w.line();
  w.key("pieces");
  w.open('[');
  for (std::size_t i = 0; i < wall.pieces.size(); ++i)
    write_piece(w, wall.pieces[i], i < wall.nails.size() ? &wall.nails[i] : nullptr);
  w.close(']');
  w.line();
  w.key("starters");
  w.open('[');
  for (std::size_t i = 0; i < wall.starters.size(); ++i)
    write_starter(w, wall.starters[i], i < wall.starter_nails.size() ? &wall.starter_nails[i] : nullptr);
  w.close(']');
  w.line();
  w.key("templates");
  w.open('[');
  for (const RakeTemplate& shape : wall.templates) write_template(w, shape);
  w.close(']');
  w.close('}');
}

void write_board(PlanWriter& w, const Board& board) {
  w.line();
  w.open('{');
  w.member("id", board.id);
  w.member("length", board.length);
  w.member("price", board.price);
  if (board.on_hand >= 0) w.member("on_hand", board.on_hand);
  w.objects("cut", board.cut, [&](const Placement& placed) {
    if (placed.starter.empty()) {
      w.member("piece", placed.piece);
      w.member("at", placed.at);
      w.member("turned", placed.turned);
    } else {
      w.member("starter", placed.starter);
      w.member("at", placed.at);
      w.member("size", placed.size);
      if (placed.turned) w.member("turned", placed.turned);
    }
  });
  w.key("offcuts");
  w.open('[');
  for (const Offcut& offcut : board.offcuts) {
    w.open('{');
    w.member("at", offcut.at);
    w.member("size", offcut.size);
    w.close('}');
  }
  w.close(']');
  w.close('}');
}

void write_order(PlanWriter& w, const Order& order) {
  w.line();
  w.object("order", [&] {
    w.key("boards");
    w.open('[');
    for (const OrderLine& line : order.boards) {
      w.open('{');
      w.member("length", line.length);
      w.member("count", line.count);
      w.close('}');
    }
    w.close(']');
    w.member("cost", order.cost);
    w.member("proven_minimum", order.proven_minimum);
    w.member("allowance_boards", order.allowance_boards);
    w.object("nails", [&] {
      w.member("stud", order.nails.stud);
      w.member("member", order.nails.member);
      w.member("sheathing", order.nails.sheathing);
      w.member("face", order.nails.face);
    });
    w.member("sealant_inches", order.sealant_inches);
    w.member("cartridges", order.cartridges);
    w.member("prime_inches", order.prime_inches);
    w.member("joint_flashings", order.joint_flashings);
    w.member("starter_inches", order.starter_inches);
    w.member("weight_lb", order.weight_lb);
  });
}

void write_texts(PlanWriter& w, std::string_view name, const std::vector<std::string>& texts) {
  w.line();
  w.key(name);
  w.open('[');
  for (const std::string& text : texts) {
    w.line();
    w.text(text);
  }
  w.close(']');
}

// What the crew's other lists are made of; none of it is needed to lay a board.
void write_extras(PlanWriter& w, const Plan& plan) {
  w.line();
  w.object("nail_order", [&] {
    w.member("blind", plan.nail_order.blind);
    w.member("face", plan.nail_order.face);
    w.member("starter", plan.nail_order.starter);
    w.member("boxes", plan.nail_order.boxes);
    w.member("weight_lb", plan.nail_order.weight_lb);
  });
  w.line();
  w.objects("edge_work", plan.edge_work, [&](const EdgeWork& work) {
    w.member("piece", work.piece);
    w.member("prime_inches", work.prime_inches);
    w.member("sealant_inches", work.sealant_inches);
  });
  w.line();
  w.objects("stations", plan.stations, [&](const CutStation& station) {
    w.member("wall", station.wall);
    w.member("x", station.x);
    w.member("carry_inches", station.carry_inches);
    w.member("longest_piece", station.longest_piece);
    w.member("bench_inches", station.bench_inches);
  });
}

void write_loads(PlanWriter& w, const Loads& loads) {
  w.line();
  w.object("loads", [&] {
    w.member("velocity_psf", loads.velocity_psf);
    w.object("attachment_height", [&] {
      w.member("limited", loads.attachment.limited);
      w.member("design_required", loads.attachment.design_required);
      w.member("feet", loads.attachment.feet);
    });
    w.objects("zones", loads.zones, [&](const LoadFigures& zone) {
      w.member("wall", zone.wall);
      w.member("zone", zone.zone);
      w.member("edge_width", zone.edge_width);
      w.member("outward_psf", zone.outward_psf);
      w.member("inward_psf", zone.inward_psf);
      w.member("nails", zone.nails);
      w.member("demand_lb", zone.demand_lb);
      w.member("capacity_lb", zone.capacity_lb);
      w.member("ratio", zone.ratio);
      w.member("piece", zone.piece);
      w.member("at", zone.at);
      w.member("total_demand_lb", zone.total_demand_lb);
      w.member("total_capacity_lb", zone.total_capacity_lb);
    });
    write_texts(w, "assumptions", loads.assumptions);
  });
}

void write_certificate(PlanWriter& w, const Certificate& certificate) {
  w.line();
  w.object("certificate", [&] {
    w.member("units_per_inch", certificate.units_per_inch);
    w.member("board_value", certificate.board_value);
    w.member("bound", certificate.bound);
    w.member("price_scale", certificate.price_scale);
    w.member("loose", certificate.loose);
    w.member("share_threshold", certificate.share_threshold);
    w.objects("prices", certificate.prices, [&](const CertificatePrice& price) {
      w.member("kind", price.kind);
      w.member("length", price.length);
      w.member("factory_ends", price.factory_ends);
      w.member("price", price.price);
    });
    w.objects("stacks", certificate.stacks, [&](const CertificateStack& stack) {
      w.member("wall", stack.wall);
      w.member("course", stack.course);
      w.member("memory", stack.memory);
      w.key("left");
      w.numbers(stack.left);
    });
  });
}

void write_finding(PlanWriter& w, const Finding& finding) {
  w.line();
  w.open('{');
  w.member("code", finding.code);
  w.member("severity", word_of(finding.severity));
  if (!finding.wall.empty()) w.member("wall", finding.wall);
  if (finding.course) w.member("course", *finding.course);
  if (!finding.piece.empty()) w.member("piece", finding.piece);
  if (finding.measured) w.member("measured", *finding.measured);
  if (finding.limit) w.member("limit", *finding.limit);
  w.member("message", finding.message);
  w.close('}');
}

}  // namespace
}  // namespace detail

std::string write_plan(const Plan& plan) {
  detail::PlanWriter w;
  w.open('{');
  w.member("lapwright", 1);
  w.member("library", detail::format("{}.{}.{}", LAPW_VERSION_MAJOR, LAPW_VERSION_MINOR, LAPW_VERSION_PATCH));
  w.member("job", plan.job);
  w.line();
  w.object("pole", [&] {
    w.key("lines");
    w.numbers(plan.pole.lines);
    w.key("exposures");
    w.numbers(plan.pole.exposures);
    w.member("settings", plan.pole.settings);
    w.member("starter", plan.pole.starter);
    w.member("built", plan.pole.built);
  });
  w.line();
  w.key("walls");
  w.open('[');
  for (const PlanWall& wall : plan.walls) detail::write_wall(w, wall);
  w.close(']');
  w.line();
  w.key("boards");
  w.open('[');
  for (const Board& board : plan.boards) detail::write_board(w, board);
  w.close(']');
  detail::write_order(w, plan.order);
  w.line();
  w.objects("staging", plan.staging, [&](const Lift& lift) {
    w.member("wall", lift.wall);
    w.member("lift", lift.lift);
    w.key("courses");
    w.open('[');
    w.whole(lift.first_course);
    w.whole(lift.last_course);
    w.close(']');
    w.member("pieces", lift.pieces);
    w.member("weight_lb", lift.weight_lb);
    if (lift.bays > 0) {
      w.member("capacity_lb", lift.capacity_lb);
      w.member("bays", lift.bays);
    }
    w.key("hanging");
    w.open('[');
    for (std::size_t piece : lift.hanging) w.whole(static_cast<std::int64_t>(piece));
    w.close(']');
  });
  w.line();
  w.key("findings");
  w.open('[');
  for (const Finding& finding : plan.findings) detail::write_finding(w, finding);
  w.close(']');
  detail::write_texts(w, "cautions", plan.cautions);
  detail::write_texts(w, "defaults_used", plan.defaults_used);
  detail::write_extras(w, plan);
  if (plan.loads) detail::write_loads(w, *plan.loads);
  if (!plan.certificate.prices.empty() || plan.certificate.units_per_inch != 0)
    detail::write_certificate(w, plan.certificate);
  w.close('}');
  std::string text = w.take();
  text += '\n';
  return text;
}

std::string write_refusal(const Refused& refused) {
  detail::PlanWriter w;
  w.open('{');
  w.member("lapwright", 1);
  w.line();
  w.objects("errors", refused.faults, [&](const Fault& fault) {
    w.member("path", fault.path);
    w.member("message", fault.message);
  });
  w.close('}');
  std::string text = w.take();
  text += '\n';
  return text;
}

}  // namespace v0
}  // namespace lapwright
