#pragma once
/// \file loads.hpp  What the nails hold and what the wind asks of them: figures for a licensed professional.
///
/// None of this is an approval. The formulas are published ones, named beside each; every figure carries the
/// assumptions that it rests on, in words. Nothing here decides where anything goes. No pow, exp or log: a
/// figure is the same bits on every machine.
#include <optional>
#include <string>
#include <vector>

#include <lapwright/fasteners.hpp>

namespace lapwright {
inline namespace v0 {

/// Load duration factor of wind (NDS 2018 Table 2.3.2; connections are capped at it, 11.3.2).
inline constexpr double wind_load_duration = 1.6;
/// Of ultimate wind, for allowable-stress figures (ASCE 7-10 2.4.1, combination 0.6 W).
inline constexpr double ultimate_to_allowable = 0.6;
/// Directionality of components and cladding (ASCE 7-10 Table 26.6-1).
inline constexpr double wind_directionality = 0.85;
/// External coefficients of walls for areas up to 10 square feet: inward, outward in the middle (zone 4),
/// outward at the edges (zone 5); internal, enclosed building (ASCE 7-10 Fig. 30.4-1, Table 26.11-1).
inline constexpr double wall_inward_coefficient = 1.0;
inline constexpr double wall_zone_4_coefficient = 1.1;
inline constexpr double wall_zone_5_coefficient = 1.4;
inline constexpr double internal_coefficient = 0.18;
/// Specific gravity that stands for a wood panel in the withdrawal formula (nails into plywood and strand
/// board, more than 1900 tests: Herzog and Yeh, APA).
inline constexpr double panel_gravity_plain = 0.40;
inline constexpr double panel_gravity_ring = 0.70;
/// ft: greatest mean roof height of the low-rise method (ASCE 7-10 30.4).
inline constexpr double low_rise_height = 60;

/// Reference withdrawal of a smooth nail in side grain, lb for each inch of penetration, point included:
/// 1380 G^(5/2) D (NDS 2018 12.2.3.1).
double withdrawal_per_inch(double specific_gravity, double shank);

/// The same of a standardised ring-shank nail: 1800 G^2 D (NDS 2018 12.2.3.2; the coefficient is from memory,
/// no public copy shows it). A common ring-shank siding nail is no such nail: the wall's figures rest on the
/// published smooth-shank formula above alone.
double ring_withdrawal_per_inch(double specific_gravity, double shank);

/// Reference pull-through of a round head, lb: 690 pi D_H G^2 t up to t = 2.5 D_H, 1725 pi D_H^2 G^2 beyond
/// (NDS 2018 12.2.5.1). G and t (in) are those of the side member.
double head_pull_through(double specific_gravity, double head, double thickness);

/// Withdrawal or pull-through, whichever is less, times the load duration factor. Lb.
/// \param held  in; penetration that counts. Less than 6 shank diameters counts nothing (NDS 2018 12.1.6.4).
double nail_capacity(double withdrawal_lb_per_inch, double held, double shank, double pull_through_lb,
                     double duration = wind_load_duration);

/// Velocity pressure exposure coefficient K_z at a height, ft, for exposure 'B', 'C' or 'D': ASCE 7-10 Table
/// 30.3-1, between its rows by straight lines. Heights below 15 ft (30 ft in B) take the first row's, above
/// 60 ft the last row's.
double exposure_coefficient(char exposure, double height);

/// 0.00256 K_z K_zt K_d V^2, psf; V mph (ASCE 7-10 Eq. 30.3-1).
double velocity_pressure(double wind_speed, double exposure_factor, double topographic = 1,
                         double directionality = wind_directionality);

/// Width of the edge zone (zone 5), in the unit of the arguments but for its least of 3 ft, which is `least`:
/// a tenth of the least plan dimension or 0.4 of the height, whichever is less, but not less than 4 percent
/// of the least plan dimension or 3 ft (ASCE 7-02 Fig. 6-3 note 5, and later).
double edge_zone_width(double plan_length, double plan_width, double mean_roof_height, double least = 36);

/// Allowable-stress pressures on a wall, psf, all positive.
struct WallPressures {
  double velocity = 0;  ///< ultimate
  double inward = 0;
  double zone_4 = 0;  ///< outward
  double zone_5 = 0;  ///< outward, within the edge zone
};
WallPressures wall_pressures(const LoadRules& loads);

/// Greatest mean roof height at which the code's table of siding attachment holds without design.
struct AttachmentHeight {
  bool limited = true;
  bool design_required = false;  ///< the table does not hold at any height
  double feet = 0;
};
/// IRC Table R703.3.2 (2018): ultimate wind speed, mph, at the next row up; exposure 'B', 'C' or 'D'. Above
/// 140 mph design is required.
AttachmentHeight attachment_height(double wind_speed, char exposure);

/// One zone of one wall: the nail that has most to carry for what it holds, and the zone's sums.
struct LoadFigures {
  std::string wall;
  int zone = 4;            ///< 4: the middle; 5: within `edge_width` of the wall's ends
  double edge_width = 0;   ///< in
  double outward_psf = 0;  ///< allowable stress
  double inward_psf = 0;   ///< presses the board on: no demand on a nail
  int nails = 0;
  double demand_lb = 0;    ///< of the worst nail: outward pressure on its share of the visible face
  double capacity_lb = 0;  ///< of that nail
  double ratio = 0;        ///< demand over capacity of that nail; 1e9 where what it holds counts nothing
  std::string piece;       ///< its piece
  Point at;                ///< its place
  double total_demand_lb = 0;
  double total_capacity_lb = 0;
};
struct Loads {
  double velocity_psf = 0;  ///< ultimate
  AttachmentHeight attachment;
  std::vector<LoadFigures> zones;  ///< by wall, zone 4 before 5; none where the method does not reach
  std::vector<std::string> assumptions;
};

/// Figures of one wall. Each nail carries the outward pressure on half the way to its neighbours in the piece
/// (to the end, beside an end) times the height of the piece that shows. Linear in nails.
void add_wall_loads(Loads& loads, const Wall& wall, const Pole& pole, const WallCourses& courses,
                    const std::vector<Piece>& pieces, const Fastening& fastening, const Rules& rules);

/// The house's part: pressures and the assumptions in words. Rules::loads must be set.
Loads begin_loads(const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/loads.ipp>
#endif
