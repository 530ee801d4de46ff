// The whole job, its audit, drawings and sheets.
#include <lapwright/document.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/sheets.hpp>

#include "result.hpp"

namespace lapw {
namespace {

const lapw_plan_options plan_defaults{sizeof(lapw_plan_options), 0};
constexpr std::size_t plan_options_first = 8;

void need_out(lapw_result** out) {
  if (!out) throw argument("out", "must not be NULL");
}

const lapw_result& drawable(const lapw_result* plan) {
  if (!plan || !plan->plan) throw argument("plan", "must be a result of lapw_plan_job");
  return *plan;
}

std::size_t index_in(std::int64_t index, std::size_t count) {
  if (index < 0 || static_cast<std::uint64_t>(index) >= count)
    throw argument("index", "must be 0 to " + std::to_string(count) + ", the count left out, got " +
                                std::to_string(index));
  return static_cast<std::size_t>(index);
}

}  // namespace
}  // namespace lapw

extern "C" {

lapw_status lapw_plan_options_init(lapw_plan_options* options, uint32_t struct_size) noexcept {
  return lapw::init_struct(options, struct_size, lapw::plan_defaults, lapw::plan_options_first);
}

lapw_status lapw_plan_job(const char* json, int64_t size, const lapw_plan_options* options, lapw_result** out,
                          lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    lapw::need_out(out);
    const lapw_plan_options chosen =
        lapw::read_struct(options, lapw::plan_defaults, lapw::plan_options_first, "options");
    if (chosen.flags != 0)
      throw lapw::CallError(LAPW_E_UNSUPPORTED, "options.flags", "a flag that this library does not know");
    auto job = std::make_unique<lapwright::Job>(lapwright::read_job(lapw::text_in(json, size, "json")));
    auto plan = std::make_unique<lapwright::Plan>(lapwright::plan_house(*job));
    auto result = std::make_unique<lapw_result>();
    lapw::add_plan(*result, *job, *plan);
    result->text = lapwright::write_plan(*plan);
    result->job = std::move(job);
    result->plan = std::move(plan);
    *out = result.release();
  });
}

lapw_status lapw_audit(const char* job_text, int64_t job_size, const char* plan_text, int64_t plan_size,
                       lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    lapw::need_out(out);
    const lapwright::Job job = lapwright::read_job(lapw::text_in(job_text, job_size, "job"));
    const lapwright::ReadPlan read = lapwright::read_plan(lapw::text_in(plan_text, plan_size, "plan"));
    auto result = std::make_unique<lapw_result>();
    lapw::add_findings(*result, read.findings);
    lapw::add_findings(*result, lapwright::audit(job, read.plan));
    *out = result.release();
  });
}

lapw_status lapw_draw(const lapw_result* given, int32_t drawing, int64_t index, int64_t page, uint32_t flags,
                      lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    lapw::need_out(out);
    const lapw_result& source = lapw::drawable(given);
    const lapwright::Job& job = *source.job;
    const lapwright::Plan& plan = *source.plan;
    if (flags & ~static_cast<uint32_t>(LAPW_DRAW_STUDS | LAPW_DRAW_NAILS | LAPW_DRAW_A4))
      throw lapw::CallError(LAPW_E_UNSUPPORTED, "flags", "a flag that this library does not know");
    const bool has_pages = drawing == LAPW_DRAW_TEMPLATE || drawing == LAPW_DRAW_POLE;
    if (!has_pages && page != 0)
      throw lapw::argument("page", "only the pole and templates have further pages");
    const auto page_in = [&](std::size_t count) {
      if (page < 0 || static_cast<std::uint64_t>(page) >= count)
        throw lapw::argument("page", "there are " + std::to_string(count) + " pages, from 0");
      return static_cast<std::size_t>(page);
    };
    auto result = std::make_unique<lapw_result>();
    switch (drawing) {
      case LAPW_DRAW_ELEVATION: {
        lapwright::ElevationOptions options;
        options.studs = (flags & LAPW_DRAW_STUDS) != 0;
        options.nails = (flags & LAPW_DRAW_NAILS) != 0;
        result->text =
            lapwright::draw_elevation(job, plan, lapw::index_in(index, plan.walls.size()), options);
        break;
      }
      case LAPW_DRAW_POLE:
        result->text = lapwright::draw_pole(job, plan, page_in(lapwright::pole_sheets(job, plan)));
        break;
      case LAPW_DRAW_PIECE: {
        const lapw_piece& piece = source.pieces[lapw::index_in(index, source.pieces.size())];
        const auto wall = static_cast<std::size_t>(piece.wall);
        result->text = lapwright::draw_piece(
            job, plan, wall, static_cast<std::size_t>(index - source.walls[wall].first_piece));
        break;
      }
      case LAPW_DRAW_BOARD:
        result->text = lapwright::draw_board(job, plan, lapw::index_in(index, plan.boards.size()));
        break;
      case LAPW_DRAW_TEMPLATE: {
        const lapw_template& shape = source.templates[lapw::index_in(index, source.templates.size())];
        const auto wall = static_cast<std::size_t>(shape.wall);
        const std::vector<std::string> pages = lapwright::draw_rake_template(
            plan.walls[wall].templates[static_cast<std::size_t>(index - source.walls[wall].first_template)],
            flags & LAPW_DRAW_A4 ? lapwright::Paper::a4 : lapwright::Paper::letter);
        result->text = pages[page_in(pages.size())];
        break;
      }
      case LAPW_DRAW_LAP:
        result->text = lapwright::draw_lap(job.rules, plan.pole.exposures.empty()
                                                          ? lapwright::greatest_exposure(job.rules)
                                                          : plan.pole.exposures.front());
        break;
      default:
        throw lapw::CallError(LAPW_E_UNSUPPORTED, "drawing", "a drawing that this library does not know");
    }
    *out = result.release();
  });
}

lapw_status lapw_write_sheet(const lapw_result* given, int32_t sheet, lapw_result** out,
                             lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    lapw::need_out(out);
    const lapw_result& source = lapw::drawable(given);
    auto result = std::make_unique<lapw_result>();
    switch (sheet) {
      case LAPW_SHEET_SUMMARY:
        result->text = lapwright::summary_text(*source.job, *source.plan);
        break;
      case LAPW_SHEET_CUTS:
        result->text = lapwright::cut_sheet_text(*source.job, *source.plan);
        break;
      case LAPW_SHEET_BOARDS:
        result->text = lapwright::board_sheet_text(*source.job, *source.plan);
        break;
      case LAPW_SHEET_PAGE:
        result->text = lapwright::index_page(*source.job, *source.plan);
        break;
      default:
        throw lapw::CallError(LAPW_E_UNSUPPORTED, "sheet", "a sheet that this library does not know");
    }
    *out = result.release();
  });
}

}  // extern "C"
