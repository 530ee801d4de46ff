#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/loads.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double loads_pi = 3.14159265358979323846;

/// K_z of exposures B, C, D at heights in feet: ASCE 7-10 Table 30.3-1 (0.70 of B at 30 ft and 0.90 of C at
/// 20 ft checked against published figures, the others from memory and against the table's own formula).
struct ExposureRow {
  double height;
  double b, c, d;
};
inline constexpr ExposureRow exposure_rows[] = {
    {15, 0.70, 0.85, 1.03}, {20, 0.70, 0.90, 1.08}, {25, 0.70, 0.94, 1.12}, {30, 0.70, 0.98, 1.16},
    {40, 0.76, 1.04, 1.22}, {50, 0.81, 1.09, 1.27}, {60, 0.85, 1.13, 1.31}};

inline double of_exposure(const ExposureRow& row, char exposure) {
  return exposure == 'D' ? row.d : exposure == 'C' ? row.c : row.b;
}

/// IRC Table R703.3.2 (2018), feet; 0: design required, -1: not limited.
struct AttachmentRow {
  double wind_speed;
  double b, c, d;
};
inline constexpr AttachmentRow attachment_rows[] = {
    {115, -1, 50, 20}, {120, -1, 30, 0}, {130, 60, 15, 0}, {140, 35, 0, 0}};

}  // namespace detail

LAPW_INLINE double withdrawal_per_inch(double specific_gravity, double shank) {
  return 1380 * specific_gravity * specific_gravity * std::sqrt(specific_gravity) * shank;
}

LAPW_INLINE double ring_withdrawal_per_inch(double specific_gravity, double shank) {
  return 1800 * specific_gravity * specific_gravity * shank;
}

LAPW_INLINE double head_pull_through(double specific_gravity, double head, double thickness) {
  const double gravity2 = specific_gravity * specific_gravity;
  if (thickness <= 2.5 * head) return 690 * detail::loads_pi * head * gravity2 * thickness;
  return 1725 * detail::loads_pi * head * head * gravity2;
}

LAPW_INLINE double nail_capacity(double withdrawal_lb_per_inch, double held, double shank,
                                 double pull_through_lb, double duration) {
  if (held < least_penetration_diameters * shank) return 0;
  return std::min(withdrawal_lb_per_inch * held, pull_through_lb) * duration;
}

LAPW_INLINE double exposure_coefficient(char exposure, double height) {
  const auto& rows = detail::exposure_rows;
  const std::size_t n = sizeof rows / sizeof rows[0];
  if (height <= rows[0].height) return detail::of_exposure(rows[0], exposure);
  for (std::size_t i = 1; i < n; ++i)
    if (height <= rows[i].height) {
      const double low = detail::of_exposure(rows[i - 1], exposure);
      const double high = detail::of_exposure(rows[i], exposure);
      return low + (high - low) * ((height - rows[i - 1].height) / (rows[i].height - rows[i - 1].height));
    }
  return detail::of_exposure(rows[n - 1], exposure);
}

LAPW_INLINE double velocity_pressure(double wind_speed, double exposure_factor, double topographic,
                                     double directionality) {
  return 0.00256 * exposure_factor * topographic * directionality * wind_speed * wind_speed;
}

LAPW_INLINE double edge_zone_width(double plan_length, double plan_width, double mean_roof_height,
                                   double least) {
  const double narrow = std::min(plan_length, plan_width);
  return std::max(std::min(0.1 * narrow, 0.4 * mean_roof_height), std::max(0.04 * narrow, least));
}

LAPW_INLINE WallPressures wall_pressures(const LoadRules& loads) {
  WallPressures p;
  p.velocity =
      velocity_pressure(loads.wind_speed, exposure_coefficient(loads.exposure, loads.mean_roof_height / 12));
  const double q = ultimate_to_allowable * p.velocity;
  p.inward = q * (wall_inward_coefficient + internal_coefficient);
  p.zone_4 = q * (wall_zone_4_coefficient + internal_coefficient);
  p.zone_5 = q * (wall_zone_5_coefficient + internal_coefficient);
  return p;
}

LAPW_INLINE AttachmentHeight attachment_height(double wind_speed, char exposure) {
  for (const detail::AttachmentRow& row : detail::attachment_rows) {
    if (wind_speed > row.wind_speed) continue;
    const double feet = exposure == 'D' ? row.d : exposure == 'C' ? row.c : row.b;
    if (feet < 0) return {false, false, 0};
    if (feet == 0) break;
    return {true, false, feet};
  }
  return {true, true, 0};
}

LAPW_INLINE Loads begin_loads(const Rules& rules) {
  const LoadRules& given = *rules.loads;
  Loads loads;
  loads.velocity_psf = wall_pressures(given).velocity;
  loads.attachment = attachment_height(given.wind_speed, given.exposure);
  const double feet = given.mean_roof_height / 12;
  loads.assumptions = {
      "These are figures to hand to a licensed professional, not an approval.",
      detail::format(
          "Wind: {} mph ultimate, exposure {}, mean roof height {:.1f} ft, flat ground (K_zt 1), "
          "K_d 0.85, enclosed building (GC_pi 0.18); allowable stress at 0.6 of ultimate. (ASCE 7-10 "
          "30.3 and 30.4)",
          given.wind_speed, given.exposure, feet),
      "Walls: coefficients of areas up to 10 square feet, 1.1 outward in zone 4 and 1.4 in zone 5, not "
      "reduced "
      "for a low-slope roof; both ends of each wall are taken for corners of the building. (ASCE 7-10 Fig. "
      "30.4-1)",
      detail::format(
          "Framing: wood of specific gravity {}, dry and staying dry, nails in its side grain; "
          "withdrawal as of a smooth shank, {} (NDS 2018 12.2.3.1, load duration 1.6)",
          given.specific_gravity,
          rules.fasteners.ring_shank ? "the ring shank is not credited." : "load for each inch held."),
      detail::format(
          "Nails in the sheathing only: a wood panel of equivalent specific gravity {:.2f} for its "
          "thickness (APA withdrawal tests of panels).",
          rules.fasteners.ring_shank ? panel_gravity_ring : panel_gravity_plain),
      "Head pull-through: no formula is published for fibre cement; the board is taken for wood as dense as "
      "the "
      "framing (NDS 2018 12.2.5.1). The maker's tests decide.",
      "Each nail carries half the way to its neighbours times the height that shows; the lap's hold on the "
      "lower "
      "edge is not credited.",
  };
  if (feet > low_rise_height)
    loads.assumptions.push_back(detail::format(
        "No figures: the roof's mean height of {:.1f} ft is beyond the {} ft that this method reaches.", feet,
        low_rise_height));
  if (loads.attachment.design_required)
    loads.assumptions.push_back(
        "The code's table of siding attachment does not hold at this wind speed and exposure: design is "
        "required. "
        "(IRC Table R703.3.2)");
  else if (loads.attachment.limited && feet > loads.attachment.feet)
    loads.assumptions.push_back(detail::format(
        "The code's table of siding attachment holds up to a mean roof height of {} ft here: design "
        "is required. (IRC Table R703.3.2)",
        loads.attachment.feet));
  return loads;
}

LAPW_INLINE void add_wall_loads(Loads& loads, const Wall& wall, const Pole& pole, const WallCourses& courses,
                                const std::vector<Piece>& pieces, const Fastening& fastening,
                                const Rules& rules) {
  const LoadRules& given = *rules.loads;
  if (given.mean_roof_height / 12 > low_rise_height || wall.outline.empty()) return;
  const WallPressures pressure = wall_pressures(given);
  const Box ends = detail::bounds(wall.outline);
  const FastenerRules& f = rules.fasteners;
  const double in_framing = withdrawal_per_inch(given.specific_gravity, f.shank);
  const double in_panel =
      withdrawal_per_inch(f.ring_shank ? panel_gravity_ring : panel_gravity_plain, f.shank);
  const double through = head_pull_through(given.specific_gravity, f.head, rules.board.thickness);

  LoadFigures zones[2];
  for (int z = 0; z < 2; ++z) {
    zones[z].wall = wall.name;
    zones[z].zone = z == 0 ? 4 : 5;
    zones[z].edge_width = edge_zone_width(given.plan_length, given.plan_width, given.mean_roof_height);
    zones[z].outward_psf = z == 0 ? pressure.zone_4 : pressure.zone_5;
    zones[z].inward_psf = pressure.inward;
  }
  for (std::size_t i = 0; i < pieces.size() && i < fastening.pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    const std::vector<Nail>& nails = fastening.pieces[i];
    if (piece.outline.empty() || nails.empty()) continue;
    const Box box = detail::bounds(piece.outline);
    const auto k = static_cast<std::size_t>(piece.course);
    const bool last = piece.course >= courses.last_course || k + 1 >= pole.lines.size();
    const double shows = (last ? box.y_max : std::min(box.y_max, pole.lines[k + 1])) - box.y_min;
    for (std::size_t n = 0; n < nails.size(); ++n) {
      const Nail& nail = nails[n];
      const double from = n == 0 ? piece.x_min : (nails[n - 1].at.x + nail.at.x) / 2;
      const double to = n + 1 == nails.size() ? piece.x_max : (nail.at.x + nails[n + 1].at.x) / 2;
      const bool edge =
          nail.at.x < ends.x_min + zones[1].edge_width || nail.at.x > ends.x_max - zones[1].edge_width;
      LoadFigures& zone = zones[edge ? 1 : 0];
      const double demand = zone.outward_psf * std::max(0.0, shows) * (to - from) / 144;
      const double capacity = nail.into == NailBase::sheathing
                                  ? std::min(in_panel * nail.held, through) * wind_load_duration
                                  : nail_capacity(in_framing, nail.held, f.shank, through);
      const double ratio = capacity > 0 ? demand / capacity : demand > 0 ? 1e9 : 0;
      zone.nails += 1;
      zone.total_demand_lb += demand;
      zone.total_capacity_lb += capacity;
      if (zone.nails == 1 || ratio > zone.ratio) {
        zone.ratio = ratio;
        zone.demand_lb = demand;
        zone.capacity_lb = capacity;
        zone.piece = piece.id;
        zone.at = nail.at;
      }
    }
  }
  for (LoadFigures& zone : zones)
    if (zone.nails > 0) loads.zones.push_back(std::move(zone));
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
