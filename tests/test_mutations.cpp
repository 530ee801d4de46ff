/// Damage of many kinds, each to many valid plans: the audit names every one, and nothing on a plan that is
/// whole. LAPW_DAMAGED: houses that each kind of damage must be found in (20 is what the library promises).
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/audit.hpp>
#include "cases.hpp"
#include "random_house.hpp"

using namespace lapwright;
using lapwright_test::Random;

namespace {

/// What a kind of damage may touch.
struct Victim {
  const Job& job;
  Plan plan;
  Random random;

  template <class T>
  T* any(std::vector<T>& all) {
    return all.empty() ? nullptr
                       : &all[static_cast<std::size_t>(random.whole(0, static_cast<int>(all.size()) - 1))];
  }
  PlanWall* wall_with(const std::function<bool(const PlanWall&)>& good) {
    std::vector<PlanWall*> all;
    for (PlanWall& w : plan.walls)
      if (good(w)) all.push_back(&w);
    PlanWall** w = any(all);
    return w != nullptr ? *w : nullptr;
  }
  /// A piece that passes, with its wall and index.
  Piece* piece(const std::function<bool(const Piece&)>& good, PlanWall** wall = nullptr,
               std::size_t* index = nullptr) {
    std::vector<std::pair<PlanWall*, std::size_t>> all;
    for (PlanWall& w : plan.walls)
      for (std::size_t i = 0; i < w.pieces.size(); ++i)
        if (good(w.pieces[i])) all.push_back({&w, i});
    auto* found = any(all);
    if (found == nullptr) return nullptr;
    if (wall != nullptr) *wall = found->first;
    if (index != nullptr) *index = found->second;
    return &found->first->pieces[found->second];
  }
  Nail* nail(const std::function<bool(const PlanWall&, const Piece&, const Nail&)>& good,
             PlanWall** wall = nullptr, std::size_t* piece = nullptr, std::size_t* index = nullptr) {
    struct At {
      PlanWall* wall;
      std::size_t piece, nail;
    };
    std::vector<At> all;
    for (PlanWall& w : plan.walls)
      for (std::size_t i = 0; i < w.pieces.size(); ++i)
        for (std::size_t k = 0; k < w.nails[i].size(); ++k)
          if (good(w, w.pieces[i], w.nails[i][k])) all.push_back({&w, i, k});
    At* found = any(all);
    if (found == nullptr) return nullptr;
    if (wall != nullptr) *wall = found->wall;
    if (piece != nullptr) *piece = found->piece;
    if (index != nullptr) *index = found->nail;
    return &found->wall->nails[found->piece][found->nail];
  }
  Placement* placement(const std::function<bool(const Board&, const Placement&)>& good,
                       Board** board = nullptr) {
    std::vector<std::pair<Board*, std::size_t>> all;
    for (Board& b : plan.boards)
      for (std::size_t i = 0; i < b.cut.size(); ++i)
        if (good(b, b.cut[i])) all.push_back({&b, i});
    auto* found = any(all);
    if (found == nullptr) return nullptr;
    if (board != nullptr) *board = found->first;
    return &found->first->cut[found->second];
  }
};

Box box_of(const Ring& ring) {
  return lapwright_test::random_house_detail::box_of(ring);
}
bool plain(const Piece& p) {
  return p.outline.size() == 4 && p.holes.empty() && !p.filler;
}
bool whole_height(const Job& job, const Piece& p) {
  const Box b = box_of(p.outline);
  return plain(p) && std::abs(b.y_max - b.y_min - job.rules.board.width) < 1e-6 &&
         std::abs(p.outline[0].x - p.outline[3].x) < 1e-6 && std::abs(p.outline[1].x - p.outline[2].x) < 1e-6;
}
const auto any_piece = [](const Piece&) { return true; };

struct Damage {
  const char* name;
  std::vector<std::string> codes;  ///< one of them at least must be named
  std::function<bool(Victim&)> does;
};

const std::vector<Damage>& all_damage() {
  static const std::vector<Damage> kinds = {
      // --- pole
      {"swap two lines",
       {"pole_order"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 3) return false;
         std::swap(l[1], l[2]);
         return true;
       }},
      {"a line off the grid",
       {"pole_grid"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 3) return false;
         l[1] += v.job.rules.courses.division * 0.4;
         return true;
       }},
      {"an exposure that is no difference",
       {"pole_exposures"},
       [](Victim& v) {
         double* e = v.any(v.plan.pole.exposures);
         if (e == nullptr) return false;
         *e += 0.0625;
         return true;
       }},
      {"an exposure missing",
       {"pole_exposures"},
       [](Victim& v) {
         if (v.plan.pole.exposures.empty()) return false;
         v.plan.pole.exposures.pop_back();
         return true;
       }},
      {"lower the lap",
       {"lap"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 2) return false;
         const double e =
             v.job.rules.board.width - v.job.rules.board.min_lap + 4 * v.job.rules.courses.division;
         const double up = e - (l[1] - l[0]);
         for (std::size_t k = 1; k < l.size(); ++k) l[k] += up;
         return true;
       }},
      {"too great an exposure",
       {"exposure_max"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 3) return false;
         const double up = greatest_exposure(v.job.rules) - (l[2] - l[1]) + 2 * v.job.rules.courses.division;
         for (std::size_t k = 2; k < l.size(); ++k) l[k] += up;
         return true;
       }},
      {"too small an exposure",
       {"exposure_min"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 3) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "exposure_min") return false;
         const double down = (l[2] - l[1]) - least_exposure(v.job.rules) + 2 * v.job.rules.courses.division;
         for (std::size_t k = 2; k < l.size(); ++k) l[k] -= down;
         return true;
       }},
      {"too steep a step",
       {"step"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (l.size() < 4) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "step") return false;
         l[2] -= v.job.rules.courses.max_step + v.job.rules.courses.division;
         return true;
       }},
      {"miscount the settings",
       {"settings"},
       [](Victim& v) {
         ++v.plan.pole.settings;
         return true;
       }},
      {"a line above the top",
       {"line_above_top"},
       [](Victim& v) {
         auto& p = v.plan.pole;
         if (p.lines.size() < 2) return false;
         const double e = p.exposures.back();
         for (int k = 0; k < 2; ++k) p.lines.push_back(p.lines.back() + e), p.exposures.push_back(e);
         return true;
       }},
      {"the last rip",
       {"last_course"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.pieces.empty(); });
         if (w == nullptr) return false;
         w->courses.last_rip += 0.125;
         return true;
       }},
      {"the first course",
       {"start"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.pieces.empty(); });
         if (w == nullptr) return false;
         ++w->courses.first_course;
         return true;
       }},
      {"the starter's rip",
       {"starter_width"},
       [](Victim& v) {
         v.plan.pole.starter += 0.25;
         return true;
       }},
      {"one division off in an even or full pole",
       {"mode_even", "mode_full"},
       [](Victim& v) {
         auto& l = v.plan.pole.lines;
         if (v.job.rules.courses.mode == CourseMode::fitted || l.size() < 5) return false;
         l[2] -= 2 * v.job.rules.courses.division;
         return true;
       }},
      {"a worse pole",
       {"not_best", "start"},
       [](Victim& v) {
         auto& p = v.plan.pole;
         if (v.job.rules.courses.mode != CourseMode::fitted || p.lines.size() < 4) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "exposure_min") return false;
         const double d = v.job.rules.courses.division;
         if (p.lines[2] - p.lines[1] - d < least_exposure(v.job.rules)) return false;
         if (p.lines[3] - p.lines[2] + d > greatest_exposure(v.job.rules)) return false;
         // A step too steep would be named as that.
         const double most = v.job.rules.courses.max_step + 1e-9;
         const auto e = [&](std::size_t k) {
           return p.lines[k + 1] - p.lines[k] + (k == 1 ? -d : k == 2 ? d : 0);
         };
         for (std::size_t k = 0; k + 2 < p.lines.size() && k < 3; ++k)
           if (std::abs(e(k + 1) - e(k)) > most) return false;
         p.lines[2] -= d;
         return true;
       }},
      {"a note of a ripped start lost",
       {"ripped_start"},
       [](Victim& v) {
         auto& f = v.plan.findings;
         const auto it =
             std::find_if(f.begin(), f.end(), [](const Finding& x) { return x.code == "ripped_start"; });
         if (it == f.end()) return false;
         f.erase(it);
         return true;
       }},
      // --- cover
      {"the region's area",
       {"region_area"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return p.region_area > 100; });
         if (w == nullptr) return false;
         w->region_area *= 1.0001;
         return true;
       }},
      {"a piece lost",
       {"uncovered"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         if (v.piece(any_piece, &w, &i) == nullptr) return false;
         w->pieces.erase(w->pieces.begin() + static_cast<std::ptrdiff_t>(i));
         w->nails.erase(w->nails.begin() + static_cast<std::ptrdiff_t>(i));
         return true;
       }},
      {"two pieces swapped between their boards",
       {"board_outside"},
       [](Victim& v) {
         const auto length = [&](const Placement& p) {
           for (const PlanWall& w : v.plan.walls)
             for (const Piece& q : w.pieces)
               if (q.id == p.piece) return q.length;
           return 0.0;
         };
         for (Board& a : v.plan.boards)
           for (Placement& longer : a.cut)
             for (Board& b : v.plan.boards)
               for (Placement& shorter : b.cut) {
                 if (&a == &b || longer.piece.empty() || shorter.piece.empty()) continue;
                 if (shorter.at.x + length(longer) < b.length + 1) continue;
                 std::swap(longer.piece, shorter.piece);
                 return true;
               }
         return false;
       }},
      {"a piece lengthened",
       {"overlap", "outside", "length"},
       [](Victim& v) {
         Piece* p = v.piece([&](const Piece& q) { return whole_height(v.job, q); });
         if (p == nullptr) return false;
         for (Point& q : p->outline)
           if (q.x == p->x_max) q.x += 1;
         p->x_max += 1;
         p->length += 1;
         return true;
       }},
      {"a piece twice",
       {"overlap"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         if (v.piece(any_piece, &w, &i) == nullptr) return false;
         const Piece twin = w->pieces[i];
         const std::vector<Nail> nails = w->nails[i];
         w->pieces.push_back(twin);
         w->nails.push_back(nails);
         return true;
       }},
      {"a piece over the trim",
       {"outside"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return plain(q) && q.left.meets == Meets::corner; });
         if (p == nullptr) return false;
         const double x = box_of(p->outline).x_min;
         for (Point& q : p->outline)
           if (q.x == x) q.x -= 0.25;
         return true;
       }},
      {"a piece short of the trim",
       {"uncovered"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return plain(q) && q.left.meets == Meets::corner; });
         if (p == nullptr) return false;
         const double x = box_of(p->outline).x_min;
         for (Point& q : p->outline)
           if (q.x == x) q.x += 0.25;
         return true;
       }},
      {"a piece too low for the lap",
       {"run_shape"},
       [](Victim& v) {
         Piece* p = v.piece(
             [&](const Piece& q) { return whole_height(v.job, q) && q.course == 1 && q.length > 20; });
         if (p == nullptr) return false;
         const double y = box_of(p->outline).y_max;
         for (Point& q : p->outline)
           if (q.y == y) q.y -= 0.5;
         return true;
       }},
      {"a piece one course up",
       {"course_index"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.filler && q.course == 1; });
         if (p == nullptr) return false;
         ++p->course;
         return true;
       }},
      {"a course that the wall has not",
       {"course_index"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         p->course += 500;
         return true;
       }},
      {"a piece called a filler",
       {"filler"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.filler && q.length > 10; });
         if (p == nullptr) return false;
         p->filler = true;
         return true;
       }},
      {"a filler called a piece",
       {"filler"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return q.filler; });
         if (p == nullptr) return false;
         p->filler = false;
         return true;
       }},
      {"a notch left uncut",
       {"outside"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return q.outline.size() > 5 && !q.filler; });
         if (p == nullptr) return false;
         const Box b = box_of(p->outline);
         p->outline = {{b.x_min, b.y_min}, {b.x_max, b.y_min}, {b.x_max, b.y_max}, {b.x_min, b.y_max}};
         return true;
       }},
      {"infill left unsaid",
       {"infill"},
       [](Victim& v) {
         const auto before = v.plan.findings.size();
         auto& f = v.plan.findings;
         f.erase(std::remove_if(f.begin(), f.end(), [](const Finding& x) { return x.code == "infill"; }),
                 f.end());
         return f.size() < before;
       }},
      {"a thin leg left unsaid",
       {"thin_leg"},
       [](Victim& v) {
         const auto before = v.plan.findings.size();
         auto& f = v.plan.findings;
         f.erase(std::remove_if(f.begin(), f.end(), [](const Finding& x) { return x.code == "thin_leg"; }),
                 f.end());
         return f.size() < before;
       }},
      {"a low course left unsaid",
       {"low_last_course"},
       [](Victim& v) {
         const auto before = v.plan.findings.size();
         auto& f = v.plan.findings;
         f.erase(
             std::remove_if(f.begin(), f.end(), [](const Finding& x) { return x.code == "low_last_course"; }),
             f.end());
         return f.size() < before;
       }},
      // --- pieces
      {"an id twice",
       {"piece_id"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return p.pieces.size() > 1; });
         if (w == nullptr) return false;
         w->pieces[1].id = w->pieces[0].id;
         return true;
       }},
      {"an id that counts wrong",
       {"piece_id"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         p->id += "7";
         return true;
       }},
      {"an outline the wrong way round",
       {"outline"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         std::reverse(p->outline.begin() + 1, p->outline.end());
         return true;
       }},
      {"a corner in the middle of a side",
       {"outline"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         const Point a = p->outline[0], b = p->outline[1];
         p->outline.insert(p->outline.begin() + 1, {(a.x + b.x) / 2, (a.y + b.y) / 2});
         return true;
       }},
      {"an outline that begins elsewhere",
       {"outline"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         std::rotate(p->outline.begin(), p->outline.begin() + 2, p->outline.end());
         return true;
       }},
      {"a length",
       {"length"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         p->length += 0.01;
         return true;
       }},
      {"a callout rounded up",
       {"callout"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         p->callout =
             format_length(p->length + 1.5 * v.job.rules.courses.division, v.job.rules.courses.division);
         return true;
       }},
      {"a callout that is no length",
       {"callout"},
       [](Victim& v) {
         Piece* p = v.piece(any_piece);
         if (p == nullptr) return false;
         p->callout = "about so";
         return true;
       }},
      {"what an end meets",
       {"meets"},
       [](Victim& v) {
         Piece* p = v.piece(
             [](const Piece& q) { return q.left.meets == Meets::corner || q.left.meets == Meets::joint; });
         if (p == nullptr) return false;
         p->left.meets = Meets::roof;
         return true;
       }},
      {"a factory end on a point",
       {"end_factory"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) {
           const Box b = box_of(q.outline);
           int at = 0;
           for (Point r : q.outline) at += std::abs(r.x - b.x_min) < 1e-5;
           return at == 1;
         });
         if (p == nullptr) return false;
         p->left.factory = true;
         return true;
       }},
      {"an end left unsealed",
       {"end_seal"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return q.right.seal; });
         if (p == nullptr) return false;
         p->right.seal = false;
         return true;
       }},
      // --- joints
      {"a joint shifted",
       {"joint_gap"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.joints.empty(); });
         if (w == nullptr) return false;
         v.any(w->joints)->x += 0.03;
         return true;
       }},
      {"a joint lost",
       {"joint_gap"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.joints.empty(); });
         if (w == nullptr) return false;
         w->joints.erase(w->joints.begin() + v.random.whole(0, static_cast<int>(w->joints.size()) - 1));
         return true;
       }},
      {"a joint with nothing at it",
       {"joint_gap"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.joints.empty(); });
         if (w == nullptr) return false;
         Joint j = w->joints[0];
         j.x = j.stud = j.x + 1;
         w->joints.push_back(j);
         return true;
       }},
      {"a stud that is none",
       {"joint_stud"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.joints.empty(); });
         if (w == nullptr) return false;
         v.any(w->joints)->stud += 0.05;
         return true;
       }},
      {"a joint on the stud of the course below",
       {"joint_stagger"},
       [](Victim& v) {
         for (PlanWall& w : v.plan.walls)
           for (Joint& a : w.joints)
             for (const Joint& b : w.joints)
               if (a.course == b.course + 1 && a.stud != b.stud) {
                 for (const Finding& f : v.plan.findings)
                   if (f.code == "joint_stagger" && f.wall == w.name && f.course == a.course) return false;
                 a.stud = b.stud;
                 return true;
               }
         return false;
       }},
      {"a joint's stud used again too soon",
       {"joint_repeat"},
       [](Victim& v) {
         if (v.job.rules.joints.repeat_after < 3) return false;
         for (PlanWall& w : v.plan.walls)
           for (Joint& a : w.joints)
             for (const Joint& b : w.joints)
               if (a.course == b.course + 2 && a.stud != b.stud) {
                 for (const Finding& f : v.plan.findings)
                   if (f.code == "joint_repeat" && f.wall == w.name && f.course == a.course) return false;
                 a.stud = b.stud;
                 return true;
               }
         return false;
       }},
      {"a joint end that is no factory end",
       {"joint_factory"},
       [](Victim& v) {
         if (!v.job.rules.joints.factory_ends) return false;
         Piece* p = v.piece(
             [](const Piece& q) { return q.left.meets == Meets::joint && q.left.factory && !q.filler; });
         if (p == nullptr) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "joint_factory") return false;
         p->left.factory = false;
         return true;
       }},
      {"a needless joint",
       {"joint_needless"},
       [](Victim& v) {
         for (PlanWall& w : v.plan.walls)
           for (std::size_t i = 0; i < w.pieces.size(); ++i) {
             Piece& p = w.pieces[i];
             if (!plain(p) || p.left.meets == Meets::joint || p.right.meets == Meets::joint || p.length < 40)
               continue;
             const double x = box_of(p.outline).x_min + 20;
             w.joints.push_back({p.course, x, x, 0, true, true});
             return true;
           }
         return false;
       }},
      {"a joint beside an opening",
       {"joint_leg"},
       [](Victim& v) {
         for (std::size_t k = 0; k < v.plan.walls.size(); ++k) {
           PlanWall& w = v.plan.walls[k];
           for (const Opening& o : v.job.walls[k].openings) {
             const Box b = box_of(o.outline);
             for (std::size_t c = 0; c + 1 < v.plan.pole.lines.size(); ++c) {
               const double y = v.plan.pole.lines[c] + 1;
               if (y < b.y_min + 1 || y > b.y_max - 1 || static_cast<int>(c) < w.courses.first_course)
                 continue;
               w.joints.push_back({static_cast<int>(c), b.x_min, b.x_min, 0, true, true});
               return true;
             }
           }
         }
         return false;
       }},
      // --- cuts
      {"a cut lost",
       {"cut_missing"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts.pop_back();
         return true;
       }},
      {"a cut twice",
       {"cut_double"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts.push_back(Cut(p->cuts[0]));
         return true;
       }},
      {"a cut astray",
       {"cut_stray"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         for (Point& q : p->cuts[0].front) q.x += 0.2;
         for (Point& q : p->cuts[0].back) q.x -= 0.2;
         return true;
       }},
      {"a broken mirror",
       {"cut_mirror"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty() && q.length > 1; });
         if (p == nullptr) return false;
         p->cuts[0].back = p->cuts[0].front;
         if (std::abs(p->cuts[0].front[0].x * 2 - p->length) < 0.01) return false;
         return true;
       }},
      {"a cut of another kind",
       {"cut_kind"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts[0].kind = p->cuts[0].kind == CutKind::rip ? CutKind::crosscut : CutKind::rip;
         return true;
       }},
      {"the wrong tool",
       {"cut_tool"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts[0].tool = p->cuts[0].tool == Tool::saw ? Tool::shears : Tool::saw;
         return true;
       }},
      {"a cut unsealed",
       {"cut_seal"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts[0].seal = !p->cuts[0].seal;
         return true;
       }},
      {"a long point",
       {"callout"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) {
           return std::any_of(q.cuts.begin(), q.cuts.end(),
                              [](const Cut& c) { return c.long_point.has_value(); });
         });
         if (p == nullptr) return false;
         for (Cut& c : p->cuts)
           if (c.long_point) *c.long_point += 0.5;
         return true;
       }},
      {"a template lost",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         w->templates.erase(w->templates.begin());
         return true;
       }},
      {"a template's step",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         w->templates[0].step *= 1.1;
         return true;
       }},
      {"a template's uses",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         ++w->templates[0].uses;
         return true;
       }},
      // --- nails
      {"a nail at an end",
       {"nail_end_edge"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i, k;
         Nail* n = v.nail([](const PlanWall&, const Piece& p, const Nail&) { return plain(p); }, &w, &i, &k);
         if (n == nullptr) return false;
         n->at.x = box_of(w->pieces[i].outline).x_min + 0.1;
         return true;
       }},
      {"a nail near the upper edge",
       {"nail_edge"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i, k;
         Nail* n =
             v.nail([&](const PlanWall&, const Piece& p, const Nail&) { return whole_height(v.job, p); }, &w,
                    &i, &k);
         if (n == nullptr) return false;
         n->at.y = box_of(w->pieces[i].outline).y_max - 0.2;
         return true;
       }},
      {"a blind nail in the weather",
       {"nail_exposed"},
       [](Victim& v) {
         Nail* n = v.nail([&](const PlanWall&, const Piece& p, const Nail& q) {
           return whole_height(v.job, p) && !q.face;
         });
         if (n == nullptr) return false;
         n->at.y -= 3;
         return true;
       }},
      {"a blind nail called face",
       {"nail_face"},
       [](Victim& v) {
         Nail* n = v.nail([](const PlanWall&, const Piece&, const Nail& q) { return !q.face; });
         if (n == nullptr) return false;
         n->face = true;
         return true;
       }},
      {"a needless face nail",
       {"nail_face_needless"},
       [](Victim& v) {
         Nail* n = v.nail([&](const PlanWall&, const Piece& p, const Nail& q) {
           return whole_height(v.job, p) && !q.face && q.into == NailBase::stud;
         });
         if (n == nullptr) return false;
         n->at.y -= 3;
         n->face = true;
         return true;
       }},
      {"a nail through the course below",
       {"nail_below"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i, k;
         Nail* n = v.nail([&](const PlanWall&, const Piece& p,
                              const Nail& q) { return whole_height(v.job, p) && !q.face && p.course > 1; },
                          &w, &i, &k);
         if (n == nullptr) return false;
         const Piece& own = w->pieces[i];
         const double y = box_of(own.outline).y_min + 0.8;
         bool below = false;
         for (const Piece& p : w->pieces)
           below = below || (p.course == own.course - 1 && whole_height(v.job, p) &&
                             box_of(p.outline).x_min < n->at.x - 1 && box_of(p.outline).x_max > n->at.x + 1 &&
                             box_of(p.outline).y_max > y + 0.2);
         if (!below) return false;
         n->at.y = y;
         return true;
       }},
      {"a stud without its nail",
       {"nail_stud", "nail_joint", "nail_end", "no_framing_at_end"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i, k;
         Nail* n = v.nail(
             [](const PlanWall& wall, const Piece& p, const Nail& q) {
               (void)wall;
               const Box b = box_of(p.outline);
               return q.into == NailBase::stud && plain(p) && q.at.x > b.x_min + 8 && q.at.x < b.x_max - 8;
             },
             &w, &i, &k);
         if (n == nullptr) return false;
         const double x = n->at.x;
         auto& all = w->nails[i];
         all.erase(
             std::remove_if(all.begin(), all.end(), [&](const Nail& q) { return std::abs(q.at.x - x) < 4; }),
             all.end());
         return true;
       }},
      {"a joint's end without its nail",
       {"nail_joint"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         Piece* p =
             v.piece([](const Piece& q) { return q.left.meets == Meets::joint && q.length > 12; }, &w, &i);
         if (p == nullptr) return false;
         const double x = box_of(p->outline).x_min;
         auto& all = w->nails[i];
         all.erase(std::remove_if(all.begin(), all.end(), [&](const Nail& q) { return q.at.x < x + 4; }),
                   all.end());
         return true;
       }},
      {"an end without its nail",
       {"nail_end", "no_framing_at_end"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         Piece* p = v.piece(
             [](const Piece& q) { return plain(q) && q.left.meets == Meets::corner && q.length > 40; }, &w,
             &i);
         if (p == nullptr) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "no_framing_at_end" && f.piece == p->id) return false;
         const double x = box_of(p->outline).x_min;
         auto& all = w->nails[i];
         const double reach = v.job.rules.fasteners.end_reach + 2;
         all.erase(std::remove_if(all.begin(), all.end(), [&](const Nail& q) { return q.at.x < x + reach; }),
                   all.end());
         return true;
       }},
      {"nails too far apart",
       {"nail_spacing"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         Piece* p = v.piece([&](const Piece& q) { return whole_height(v.job, q) && q.length > 80; }, &w, &i);
         if (p == nullptr) return false;
         for (const Finding& f : v.plan.findings)
           if (f.code == "nail_spacing" && f.piece == p->id) return false;
         const double x = box_of(p->outline).x_min;
         auto& all = w->nails[i];
         // A span between two nails: one stays on either side.
         const auto left = [&](const Nail& q) { return q.at.x <= x + 12; };
         const auto right = [&](const Nail& q) { return q.at.x >= x + 60; };
         if (!std::any_of(all.begin(), all.end(), left) || !std::any_of(all.begin(), all.end(), right))
           return false;
         all.erase(
             std::remove_if(all.begin(), all.end(), [&](const Nail& q) { return !left(q) && !right(q); }),
             all.end());
         return true;
       }},
      {"a nail said to be in something else",
       {"nail_into"},
       [](Victim& v) {
         Nail* n =
             v.nail([](const PlanWall&, const Piece&, const Nail& q) { return q.into != NailBase::member; });
         if (n == nullptr) return false;
         n->into = n->into == NailBase::stud ? NailBase::sheathing : NailBase::stud;
         return true;
       }},
      {"a nail in sheathing that holds none",
       {"nail_sheathing"},
       [](Victim& v) {
         if (v.job.rules.sheathing.holds_nails) return false;
         Nail* n =
             v.nail([](const PlanWall&, const Piece&, const Nail& q) { return q.into == NailBase::stud; });
         if (n == nullptr) return false;
         n->into = NailBase::sheathing;
         return true;
       }},
      {"the share in framing",
       {"nail_share"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.pieces.empty(); });
         if (w == nullptr) return false;
         w->framing_share -= 0.05;
         return true;
       }},
      {"a nail said to reach deeper",
       {"nail_penetration"},
       [](Victim& v) {
         Nail* n = v.nail(
             [](const PlanWall&, const Piece&, const Nail& q) { return q.into != NailBase::sheathing; });
         if (n == nullptr) return false;
         n->penetration += 0.2;
         return true;
       }},
      {"the least penetration",
       {"nail_penetration"},
       [](Victim& v) {
         PlanWall* w =
             v.wall_with([](const PlanWall& p) { return !p.pieces.empty() && p.least_penetration > 0; });
         if (w == nullptr) return false;
         w->least_penetration += 0.1;
         return true;
       }},
      // --- boards
      {"a board of no stock length",
       {"board_stock"},
       [](Victim& v) {
         Board* b = v.any(v.plan.boards);
         if (b == nullptr) return false;
         b->length += 7;
         return true;
       }},
      {"a board at another price",
       {"board_stock"},
       [](Victim& v) {
         Board* b = v.any(v.plan.boards);
         if (b == nullptr) return false;
         b->price += 0.5;
         return true;
       }},
      {"a piece that is none on a board",
       {"board_item"},
       [](Victim& v) {
         Placement* p = v.placement([](const Board&, const Placement& q) { return !q.piece.empty(); });
         if (p == nullptr) return false;
         p->piece += "x";
         return true;
       }},
      {"a board's number twice",
       {"board_item"},
       [](Victim& v) {
         if (v.plan.boards.size() < 2) return false;
         v.plan.boards[1].id = v.plan.boards[0].id;
         return true;
       }},
      {"a piece cut twice",
       {"piece_cut"},
       [](Victim& v) {
         Board* b;
         Placement* p = v.placement([](const Board&, const Placement& q) { return !q.piece.empty(); }, &b);
         if (p == nullptr) return false;
         const Placement twin = *p;
         v.plan.boards.back().cut.push_back(twin);
         return true;
       }},
      {"a piece cut from no board",
       {"piece_cut"},
       [](Victim& v) {
         Board* b;
         Placement* p = v.placement([](const Board&, const Placement& q) { return !q.piece.empty(); }, &b);
         if (p == nullptr) return false;
         b->cut.erase(b->cut.begin() + (p - b->cut.data()));
         return true;
       }},
      {"a piece past the board's end",
       {"board_outside"},
       [](Victim& v) {
         Board* b;
         Placement* p = v.placement([](const Board&, const Placement& q) { return !q.piece.empty(); }, &b);
         if (p == nullptr) return false;
         p->at.x = b->length - 0.1;
         return true;
       }},
      {"two pieces over each other on a board",
       {"board_overlap"},
       [](Victim& v) {
         for (Board& b : v.plan.boards) {
           std::vector<Placement*> pieces;
           for (Placement& p : b.cut)
             for (const PlanWall& w : v.plan.walls)
               for (const Piece& x : w.pieces)
                 if (x.id == p.piece && whole_height(v.job, x)) pieces.push_back(&p);
           if (pieces.size() < 2) continue;
           pieces[1]->at = pieces[0]->at;
           return true;
         }
         return false;
       }},
      {"less than a kerf",
       {"board_kerf", "board_overlap"},
       [](Victim& v) {
         if (v.job.rules.cutting.kerf <= 0) return false;
         for (Board& b : v.plan.boards)
           for (Placement& p : b.cut)
             for (Placement& q : b.cut) {
               if (p.piece.empty() || q.piece.empty() || &p == &q || p.at.x >= q.at.x) continue;
               const auto length = [&](const std::string& id) {
                 for (const PlanWall& w : v.plan.walls)
                   for (const Piece& x : w.pieces)
                     if (x.id == id && whole_height(v.job, x)) return x.length;
                 return 0.0;
               };
               const double lp = length(p.piece), lq = length(q.piece);
               if (lp <= 0 || lq <= 0) continue;
               q.at.x = p.at.x + lp + v.job.rules.cutting.kerf / 2;
               return true;
             }
         return false;
       }},
      {"a factory end inside the board",
       {"board_factory_end"},
       [](Victim& v) {
         Board* b;
         Placement* p = v.placement(
             [&](const Board& board, const Placement& q) {
               if (q.piece.empty()) return false;
               for (const PlanWall& w : v.plan.walls)
                 for (const Piece& x : w.pieces)
                   if (x.id == q.piece)
                     return (x.left.factory || x.right.factory) && x.length < board.length - 2;
               return false;
             },
             &b);
         if (p == nullptr) return false;
         p->at.x += p->at.x > 1 ? -1 : 1;
         return true;
       }},
      {"a piece off the board's edge",
       {"board_long_edge"},
       [](Victim& v) {
         Placement* p = v.placement([&](const Board&, const Placement& q) {
           if (q.piece.empty()) return false;
           for (const PlanWall& w : v.plan.walls)
             for (const Piece& x : w.pieces)
               if (x.id == q.piece) return whole_height(v.job, x);
           return false;
         });
         if (p == nullptr) return false;
         p->at.y += 0.25;
         return true;
       }},
      {"an offcut over a piece",
       {"offcut"},
       [](Victim& v) {
         for (Board& b : v.plan.boards)
           if (!b.offcuts.empty() && !b.cut.empty()) {
             b.offcuts[0].at = b.cut[0].at;
             b.offcuts[0].at.y = 0;
             if (b.cut[0].piece.empty()) continue;
             return true;
           }
         return false;
       }},
      {"an offcut too small",
       {"offcut"},
       [](Victim& v) {
         for (Board& b : v.plan.boards)
           if (!b.offcuts.empty()) {
             b.offcuts[0].size.x = 1;
             return true;
           }
         return false;
       }},
      {"a starter lost",
       {"starter_missing"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.starters.empty(); });
         if (w == nullptr) return false;
         w->starters.erase(w->starters.begin());
         w->starter_nails.erase(w->starter_nails.begin());
         return true;
       }},
      {"a starter where none is wanted",
       {"starter_stray"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.starters.empty(); });
         if (w == nullptr) return false;
         w->starters[0].from.y += 3;
         w->starters[0].to.y += 3;
         return true;
       }},
      {"a starter of another width",
       {"starter_width"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.starters.empty(); });
         if (w == nullptr) return false;
         w->starters[0].width += 0.25;
         return true;
       }},
      {"a starter's strip cut short",
       {"starter_cut"},
       [](Victim& v) {
         Placement* p =
             v.placement([](const Board&, const Placement& q) { return !q.starter.empty() && q.size.x > 3; });
         if (p == nullptr) return false;
         p->size.x -= 1;
         return true;
       }},
      {"a base starter with no factory edge",
       {"starter_edge"},
       [](Victim& v) {
         Placement* p = v.placement([&](const Board&, const Placement& q) {
           for (const PlanWall& w : v.plan.walls)
             for (const Starter& s : w.starters)
               if (s.id == q.starter) return s.where == StarterPlace::base;
           return false;
         });
         if (p == nullptr) return false;
         p->at.y = 0.5;
         return true;
       }},
      {"a cut called an inch off",
       {"callout"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) {
           return std::any_of(q.cuts.begin(), q.cuts.end(),
                              [](const Cut& c) { return c.callout.rfind("square at ", 0) == 0; });
         });
         if (p == nullptr) return false;
         for (Cut& c : p->cuts)
           if (c.callout.rfind("square at ", 0) == 0) {
             // Two digits longer than any board.
             c.callout.insert(std::string("square at ").size(), "9");
             break;
           }
         return true;
       }},
      {"a cut without a callout",
       {"callout"},
       [](Victim& v) {
         Piece* p = v.piece([](const Piece& q) { return !q.cuts.empty(); });
         if (p == nullptr) return false;
         p->cuts[0].callout.clear();
         return true;
       }},
      {"a template's outline of another slope",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         for (Point& p : w->templates[0].outline) p.x *= 1.02;
         return true;
       }},
      {"a template with no fence",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         for (Point& p : w->templates[0].outline) p.y = std::max(p.y, 0.0);
         return true;
       }},
      {"a template's settings on the square",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         w->templates[0].square.y -= 0.25;
         return true;
       }},
      {"a template twice",
       {"template"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) { return !p.templates.empty(); });
         if (w == nullptr) return false;
         w->templates.push_back(w->templates[0]);
         w->templates.back().uses = 0;
         return true;
       }},
      {"a starter's nail lost",
       {"nail_stud"},
       [](Victim& v) {
         PlanWall* w = v.wall_with([](const PlanWall& p) {
           return !p.starter_nails.empty() && p.starter_nails[0].size() > 4 &&
                  p.starter_nails[0][2].into == NailBase::stud;
         });
         if (w == nullptr) return false;
         w->starter_nails[0].erase(w->starter_nails[0].begin() + 2);
         return true;
       }},
      {"a starter's nail beside it",
       {"nail_edge"},
       [](Victim& v) {
         PlanWall* w = v.wall_with(
             [](const PlanWall& p) { return !p.starter_nails.empty() && !p.starter_nails[0].empty(); });
         if (w == nullptr) return false;
         w->starter_nails[0][0].at.y += 3;
         return true;
       }},
      {"a starter's nail past its end",
       {"nail_end_edge"},
       [](Victim& v) {
         PlanWall* w = v.wall_with(
             [](const PlanWall& p) { return !p.starter_nails.empty() && !p.starter_nails[0].empty(); });
         if (w == nullptr) return false;
         w->starter_nails[0][0].at.x = w->starters[0].from.x + 0.1;
         return true;
       }},
      {"nails further apart than the plan says",
       {"nail_spacing"},
       [](Victim& v) {
         PlanWall* w;
         std::size_t i;
         Piece* p = v.piece([&](const Piece& q) { return whole_height(v.job, q) && q.length > 100; }, &w, &i);
         if (p == nullptr) return false;
         auto& all = w->nails[i];
         if (all.size() < 4 || all.back().at.x - all.front().at.x < 80) return false;
         all.erase(all.begin() + 1, all.end() - 1);
         Finding said;
         said.code = "nail_spacing";
         said.wall = w->name;
         said.course = p->course;
         said.piece = p->id;
         said.measured = 30;
         said.limit = 16;
         v.plan.findings.push_back(said);
         return true;
       }},
      // --- order
      {"the order miscounted",
       {"order_count"},
       [](Victim& v) {
         if (v.plan.order.boards.empty()) return false;
         ++v.plan.order.boards[0].count;
         return true;
       }},
      {"the cost",
       {"order_cost"},
       [](Victim& v) {
         v.plan.order.cost -= 0.5;
         return true;
       }},
      {"a false bound",
       {"proven_minimum"},
       [](Victim& v) {
         v.plan.order.proven_minimum = v.plan.order.cost + 0.5;
         return true;
       }},
      {"a bound that its certificate does not prove",
       {"proven_minimum"},
       [](Victim& v) {
         Order& o = v.plan.order;
         if (v.plan.certificate.price_scale == 0 || o.cost - o.proven_minimum < 0.25) return false;
         o.proven_minimum += (o.cost - o.proven_minimum) / 2;
         return true;
       }},
      {"nails miscounted",
       {"order_nails"},
       [](Victim& v) {
         ++v.plan.order.nails.stud;
         return true;
       }},
      {"face nails miscounted",
       {"order_nails"},
       [](Victim& v) {
         ++v.plan.order.nails.face;
         return true;
       }},
      {"starter miscounted",
       {"order_starter"},
       [](Victim& v) {
         v.plan.order.starter_inches += 5;
         return true;
       }},
      {"flashings miscounted",
       {"order_flashings"},
       [](Victim& v) {
         ++v.plan.order.joint_flashings;
         return true;
       }},
      {"sealant",
       {"order_sealant"},
       [](Victim& v) {
         v.plan.order.sealant_inches += 30;
         return true;
       }},
      {"weight",
       {"order_weight"},
       [](Victim& v) {
         v.plan.order.weight_lb *= 1.1;
         return v.plan.order.weight_lb > 0;
       }},
      {"cartridges",
       {"order_sealant"},
       [](Victim& v) {
         ++v.plan.order.cartridges;
         return true;
       }},
      {"edges to be primed",
       {"order_sealant"},
       [](Victim& v) {
         v.plan.order.prime_inches *= 0.9;
         return v.plan.order.prime_inches > 10;
       }},
      {"the allowance for breakage",
       {"order_count"},
       [](Victim& v) {
         ++v.plan.order.allowance_boards;
         return true;
       }},
      {"a lift's weight",
       {"staging"},
       [](Victim& v) {
         Lift* l = v.any(v.plan.staging);
         if (l == nullptr) return false;
         l->weight_lb *= 0.9;
         return true;
       }},
      {"a lift's courses",
       {"staging"},
       [](Victim& v) {
         Lift* l = v.any(v.plan.staging);
         if (l == nullptr) return false;
         ++l->last_course;
         return true;
       }},
      {"the cautions lost",
       {"format"},
       [](Victim& v) {
         v.plan.cautions.clear();
         return true;
       }},
      {"another job's plan",
       {"format"},
       [](Victim& v) {
         v.plan.job += " two";
         return true;
       }},
      {"a lift's pieces",
       {"staging"},
       [](Victim& v) {
         Lift* l = v.any(v.plan.staging);
         if (l == nullptr) return false;
         ++l->pieces;
         return true;
       }},
      {"a lift lost",
       {"staging"},
       [](Victim& v) {
         if (v.plan.staging.empty()) return false;
         v.plan.staging.pop_back();
         return true;
       }},
      {"thin trim left unsaid",
       {"trim_too_thin"},
       [](Victim& v) {
         const auto before = v.plan.findings.size();
         auto& f = v.plan.findings;
         f.erase(
             std::remove_if(f.begin(), f.end(), [](const Finding& x) { return x.code == "trim_too_thin"; }),
             f.end());
         return f.size() < before;
       }},
      // --- document
      {"a wall lost",
       {"format"},
       [](Victim& v) {
         if (v.plan.walls.size() < 2) return false;
         v.plan.walls.pop_back();
         return true;
       }},
      {"a default that was not taken",
       {"defaults_used"},
       [](Victim& v) {
         v.plan.defaults_used.push_back("board.width");
         return true;
       }},
  };
  return kinds;
}

std::string said(const std::vector<Finding>& found) {
  std::string text;
  for (const Finding& f : found) {
    text += "\n  " + f.code + " " + f.wall + " " + f.piece + ": " + f.message;
    if (text.size() > 1500) break;
  }
  return text.empty() ? "\n  nothing" : text;
}

}  // namespace

BOOST_AUTO_TEST_CASE(every_kind_of_damage_is_named_and_whole_plans_are_clean) {
  BOOST_REQUIRE_GE(all_damage().size(), 60u);
  const int wanted = lapwright_test::cases(1, "LAPW_DAMAGED");
  std::map<std::string, int> tried;
  const int most_houses = 8 + wanted * 12;
  for (int seed = 1; seed <= most_houses; ++seed) {
    bool all_done = true;
    for (const Damage& d : all_damage()) all_done = all_done && tried[d.name] >= wanted;
    if (all_done) break;
    lapwright_test::HouseOptions options;
    options.most_walls = 2;
    options.most_width = 220;
    options.most_height = 80;
    options.most_openings = 3;
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed) + 7000, options);
    Plan whole;
    try {
      whole = plan_house(job);
    } catch (const Refused&) {
      continue;
    }
    const std::vector<Finding> clean = audit(job, whole);
    BOOST_TEST(clean.empty(), "house " << seed + 7000 << " is whole, the audit says" << said(clean));
    if (!clean.empty()) continue;
    for (const Damage& d : all_damage()) {
      if (tried[d.name] >= wanted) continue;
      Victim victim{job, whole, Random(static_cast<std::uint64_t>(seed))};
      if (!d.does(victim)) continue;
      ++tried[d.name];
      const std::vector<Finding> found = audit(job, victim.plan);
      const bool named = std::any_of(found.begin(), found.end(), [&](const Finding& f) {
        return std::find(d.codes.begin(), d.codes.end(), f.code) != d.codes.end();
      });
      BOOST_TEST(named, "house " << seed + 7000 << ", " << d.name << ": the audit says" << said(found));
    }
  }
  // In a few houses the rare kinds may find nothing to damage; in many, each must.
  for (const Damage& d : all_damage()) {
    if (wanted >= 5) BOOST_TEST(tried[d.name] > 0, d.name << " found no plan to damage");
    BOOST_TEST_MESSAGE(d.name << ": " << tried[d.name]);
  }
}
