#pragma once
/// \file document_members.hpp  The members of every object in a plan document, in the order of the format:
/// said once, and both written and read from here.
///
/// `v` is a writer or a reader (`V::reads`). v.must(key, value) is in every plan; v.may(key, value) can be
/// missing from a plan of another program; v.when(is, key, value) is written where `is`, and read where it is
/// there. v.line() lets the next member begin a line.
#include <string>
#include <type_traits>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

template <class V, class T>
using Seen = std::conditional_t<V::reads, T, const T>;

/// Objects so small that a list of them stands in one line.
template <class T>
inline constexpr bool is_small = std::is_same_v<T, Offcut> || std::is_same_v<T, OrderLine>;

template <class V>
void members(V& v, Seen<V, PieceEnd>& end) {
  v.must("meets", end.meets);
  v.must("factory", end.factory);
  v.must("seal", end.seal);
}

template <class V>
void members(V& v, Seen<V, Cut>& cut) {
  v.must("kind", cut.kind);
  v.must("front", cut.front);
  v.must("back", cut.back);
  v.may("long", cut.long_point);
  v.may("short", cut.short_point);
  v.must("tool", cut.tool);
  v.must("seal", cut.seal);
  v.must("callout", cut.callout);
  v.may("back_callout", cut.back_callout);
  v.may("print", cut.print);
}

template <class V>
void members(V& v, Seen<V, Nail>& nail) {
  v.must("at", nail.at);
  v.must("into", nail.into);
  v.must("face", nail.face);
  v.must("penetration", nail.penetration);
  v.may("board", nail.board);
  v.may("board_below", nail.board_below);
  v.may("stand_off", nail.stand_off);
  v.may("sheathing", nail.sheathing);
  v.may("stud_edge", nail.stud_edge);
  v.may("held", nail.held);
}

template <class V>
void members(V& v, Seen<V, Piece>& piece) {
  v.must("id", piece.id);
  v.must("course", piece.course);
  v.must("filler", piece.filler);
  v.must("outline", piece.outline);
  v.must("holes", piece.holes);
  if constexpr (V::reads) v.take_blank(piece);
  v.may("x_min", piece.x_min);
  v.may("x_max", piece.x_max);
  v.may("y", piece.y);
  v.must("length", piece.length);
  v.must("callout", piece.callout);
  v.may("from", piece.from);
  v.must("left", piece.left);
  v.must("right", piece.right);
  v.must("cuts", piece.cuts);
}

template <class V>
void members(V& v, Seen<V, Starter>& starter) {
  v.must("id", starter.id);
  v.must("from", starter.from);
  v.must("to", starter.to);
  v.must("width", starter.width);
  v.must("where", starter.where);
}

template <class V>
void members(V& v, Seen<V, RakeTemplate>& shape) {
  v.constant("kind", "rake");
  v.must("hand", shape.hand);
  v.must("rise", shape.rise);
  v.must("run", shape.run);
  v.must("angle", shape.angle);
  v.must("offset", shape.offset);
  v.must("step", shape.step);
  v.must("square", shape.square);
  v.must("uses", shape.uses);
  v.must("outline", shape.outline);
  v.may("error", shape.error);
  v.may("fence", shape.fence);
  v.may("stock_length", shape.stock_length);
  v.may("stock_width", shape.stock_width);
}

template <class V>
void members(V& v, Seen<V, Joint>& joint) {
  v.must("course", joint.course);
  v.must("x", joint.x);
  v.must("stud", joint.stud);
  v.may("left_factory", joint.left_factory);
  v.may("right_factory", joint.right_factory);
}

template <class V>
void members(V& v, Seen<V, PlanWall>& wall) {
  v.must("name", wall.name);
  if constexpr (V::reads) v.begin_wall(wall);
  v.must("first_course", wall.courses.first_course);
  v.may("last_course", wall.courses.last_course);
  v.may("ripped_start", wall.courses.ripped_start);
  v.must("last_rip", wall.courses.last_rip);
  v.must("region_area", wall.region_area);
  v.must("framing_share", wall.framing_share);
  v.must("least_penetration", wall.least_penetration);
  v.line();
  v.must("joints", wall.joints);
  v.line();
  v.nailed("pieces", wall.pieces, wall.nails);
  v.line();
  v.nailed("starters", wall.starters, wall.starter_nails);
  v.line();
  v.must("templates", wall.templates);
  if constexpr (V::reads) v.end_wall(wall);
}

template <class V>
void members(V& v, Seen<V, Placement>& placed) {
  v.when(placed.starter.empty(), "piece", placed.piece);
  v.when(!placed.starter.empty(), "starter", placed.starter);
  if constexpr (V::reads) v.check_placed(placed);
  v.must("at", placed.at);
  if (placed.starter.empty()) {
    v.must("turned", placed.turned);
  } else {
    v.must("size", placed.size);
    v.when(placed.turned, "turned", placed.turned);
  }
}

template <class V>
void members(V& v, Seen<V, Offcut>& offcut) {
  v.must("at", offcut.at);
  v.must("size", offcut.size);
}

template <class V>
void members(V& v, Seen<V, Board>& board) {
  v.must("id", board.id);
  v.must("length", board.length);
  v.must("price", board.price);
  v.when(board.on_hand >= 0, "on_hand", board.on_hand);
  v.must("cut", board.cut);
  v.must("offcuts", board.offcuts);
}

template <class V>
void members(V& v, Seen<V, OrderLine>& line) {
  v.must("length", line.length);
  v.must("count", line.count);
}

template <class V>
void members(V& v, Seen<V, NailCounts>& nails) {
  v.must("stud", nails.stud);
  v.must("member", nails.member);
  v.must("sheathing", nails.sheathing);
  v.must("face", nails.face);
}

template <class V>
void members(V& v, Seen<V, Order>& order) {
  v.must("boards", order.boards);
  v.must("cost", order.cost);
  v.must("proven_minimum", order.proven_minimum);
  v.must("allowance_boards", order.allowance_boards);
  v.must("nails", order.nails);
  v.must("sealant_inches", order.sealant_inches);
  v.must("cartridges", order.cartridges);
  v.must("prime_inches", order.prime_inches);
  v.must("joint_flashings", order.joint_flashings);
  v.must("starter_inches", order.starter_inches);
  v.must("weight_lb", order.weight_lb);
}

template <class V>
void members(V& v, Seen<V, Lift>& lift) {
  v.must("wall", lift.wall);
  v.must("lift", lift.lift);
  v.range("courses", lift.first_course, lift.last_course);
  v.must("pieces", lift.pieces);
  v.must("weight_lb", lift.weight_lb);
  v.when(lift.bays > 0, "capacity_lb", lift.capacity_lb);
  v.when(lift.bays > 0, "bays", lift.bays);
  v.may("hanging", lift.hanging);
}

template <class V>
void members(V& v, Seen<V, Finding>& finding) {
  v.must("code", finding.code);
  v.must("severity", finding.severity);
  v.when(!finding.wall.empty(), "wall", finding.wall);
  v.may("course", finding.course);
  v.when(!finding.piece.empty(), "piece", finding.piece);
  v.may("measured", finding.measured);
  v.may("limit", finding.limit);
  v.must("message", finding.message);
}

template <class V>
void members(V& v, Seen<V, NailOrder>& nails) {
  v.must("blind", nails.blind);
  v.must("face", nails.face);
  v.must("starter", nails.starter);
  v.must("boxes", nails.boxes);
  v.must("weight_lb", nails.weight_lb);
}

template <class V>
void members(V& v, Seen<V, EdgeWork>& work) {
  v.must("piece", work.piece);
  v.must("prime_inches", work.prime_inches);
  v.must("sealant_inches", work.sealant_inches);
}

template <class V>
void members(V& v, Seen<V, CutStation>& station) {
  v.must("wall", station.wall);
  v.must("x", station.x);
  v.must("carry_inches", station.carry_inches);
  v.must("longest_piece", station.longest_piece);
  v.must("bench_inches", station.bench_inches);
}

template <class V>
void members(V& v, Seen<V, AttachmentHeight>& height) {
  v.must("limited", height.limited);
  v.must("design_required", height.design_required);
  v.must("feet", height.feet);
}

template <class V>
void members(V& v, Seen<V, LoadFigures>& zone) {
  v.must("wall", zone.wall);
  v.must("zone", zone.zone);
  v.must("edge_width", zone.edge_width);
  v.must("outward_psf", zone.outward_psf);
  v.must("inward_psf", zone.inward_psf);
  v.must("nails", zone.nails);
  v.must("demand_lb", zone.demand_lb);
  v.must("capacity_lb", zone.capacity_lb);
  v.must("ratio", zone.ratio);
  v.must("piece", zone.piece);
  v.must("at", zone.at);
  v.must("total_demand_lb", zone.total_demand_lb);
  v.must("total_capacity_lb", zone.total_capacity_lb);
}

template <class V>
void members(V& v, Seen<V, Loads>& loads) {
  v.must("velocity_psf", loads.velocity_psf);
  v.must("attachment_height", loads.attachment);
  v.must("zones", loads.zones);
  v.line();
  v.must("assumptions", loads.assumptions);
}

template <class V>
void members(V& v, Seen<V, CertificatePrice>& price) {
  v.must("kind", price.kind);
  v.must("length", price.length);
  v.must("factory_ends", price.factory_ends);
  v.must("price", price.price);
  v.may("loose", price.loose);
  v.may("open", price.open);
}

template <class V>
void members(V& v, Seen<V, CertificateStack>& stack) {
  v.must("wall", stack.wall);
  v.must("course", stack.course);
  v.must("memory", stack.memory);
  v.must("left", stack.left);
}

template <class V>
void members(V& v, Seen<V, Certificate>& certificate) {
  v.must("units_per_inch", certificate.units_per_inch);
  v.must("board_value", certificate.board_value);
  v.must("bound", certificate.bound);
  v.may("price_scale", certificate.price_scale);
  v.may("loose", certificate.loose);
  v.may("share_threshold", certificate.share_threshold);
  v.may("row_threshold", certificate.row_threshold);
  v.may("open_layers", certificate.open_layers);
  v.must("prices", certificate.prices);
  v.may("stacks", certificate.stacks);
}

template <class V>
void members(V& v, Seen<V, Pole>& pole) {
  v.must("lines", pole.lines);
  v.must("exposures", pole.exposures);
  v.must("settings", pole.settings);
  v.must("starter", pole.starter);
  v.may("built", pole.built);
}

template <class V>
void members(V& v, Seen<V, Fault>& fault) {
  v.must("path", fault.path);
  v.must("message", fault.message);
}

/// What follows the document's version.
template <class V>
void members(V& v, Seen<V, Plan>& plan) {
  v.must("job", plan.job);
  v.line();
  v.must("pole", plan.pole);
  v.line();
  v.must("walls", plan.walls);
  v.line();
  v.must("boards", plan.boards);
  v.line();
  v.must("order", plan.order);
  v.line();
  v.must("staging", plan.staging);
  v.line();
  v.must("findings", plan.findings);
  v.line();
  v.must("cautions", plan.cautions);
  v.line();
  v.must("defaults_used", plan.defaults_used);
  // What the crew's other lists are made of; none of it is needed to lay a board.
  v.line();
  v.may("nail_order", plan.nail_order);
  v.line();
  v.may("edge_work", plan.edge_work);
  v.line();
  v.may("stations", plan.stations);
  v.line();
  v.may("loads", plan.loads);
  v.line();
  const bool proved = !plan.certificate.prices.empty() || plan.certificate.units_per_inch != 0;
  v.when(proved, "certificate", plan.certificate);
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
