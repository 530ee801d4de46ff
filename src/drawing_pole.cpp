
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::least_letters;
using detail::Sheet;

constexpr double paper_width = 7.5 * 72, paper_height = 9.9 * 72;
constexpr double top = 62, bottom = 14, pole_x = 132, pole_width = 14;
constexpr double size = 6.5, tight = 1.12;  // letters; line height over letter height
constexpr double columns_left = pole_x + pole_width + 46, leader = 14;

// What stands beside the pole for one wall, from the top down.
struct Beside {
  double height;  // in
  std::string words;
};
struct Column {
  std::string wall;
  std::vector<Beside> marks;
  double width = 0;  // points, leader and all
};

// Everything that the sheets are made from.
struct Layout {
  double lowest = 0, highest = 0;  // in
  std::vector<Column> columns;
  std::vector<std::size_t> first;  // the first column of each sheet, and the end
};

Layout lay_out(const Job& job, const Plan& plan) {
  Layout out;
  const Pole& pole = plan.pole;
  if (!pole.lines.empty()) out.lowest = pole.lines.front(), out.highest = pole.lines.back();
  std::vector<WallHeights> heights;
  for (const Wall& wall : job.walls) {
    heights.push_back(wall_heights(wall, siding_region(wall, job.rules)));
    if (heights.back().highest <= heights.back().lowest) continue;
    out.highest = std::max(out.highest, heights.back().highest);
    out.lowest = std::min(out.lowest, heights.back().lowest);
  }
  const std::vector<MarkStrip> strips = pole_strips(heights, pole, job.rules);
  for (std::size_t w = 0; w < heights.size(); ++w) {
    Column column;
    column.wall = heights[w].wall;
    std::vector<std::string> strip_words(heights[w].marks.size());
    for (const MarkStrip& strip : strips)
      if (strip.wall == w && strip.mark < strip_words.size())
        strip_words[strip.mark] =
            strip.height <= tolerance
                ? ": on the line"
                : ": " + detail::length_number(job.rules, strip.height) + (strip.bad ? " TOO LOW" : "");
    for (std::size_t m = 0; m < heights[w].marks.size(); ++m)
      column.marks.push_back({heights[w].marks[m].height, heights[w].marks[m].label + strip_words[m]});
    std::stable_sort(column.marks.begin(), column.marks.end(),
                     [](const Beside& a, const Beside& b) { return a.height > b.height; });
    // Marks at one height with one strip share a line: "W1, W2 head: 1 9/16".
    // Four walls stand on a sheet where their single marks let them.
    const double budget = (paper_width - columns_left) / 4 - leader - 6;
    std::vector<Beside> merged;
    std::string tail;
    for (Beside& mark : column.marks) {
      const std::size_t colon = mark.words.rfind(": ");
      const std::string name = mark.words.substr(0, colon),
                        end = colon == std::string::npos ? std::string() : mark.words.substr(colon);
      if (!merged.empty() && end == tail && merged.back().height - mark.height <= tolerance) {
        std::string before = merged.back().words.substr(0, merged.back().words.size() - tail.size());
        const std::size_t a = before.rfind(' '), b = name.rfind(' ');
        if (a != std::string::npos && b != std::string::npos && before.substr(a) == name.substr(b))
          before.resize(a);
        const std::string longer = before + ", " + name + tail;
        if (detail::text_width(longer, size) < budget) {
          merged.back().words = longer;
          continue;
        }
      }
      merged.push_back(std::move(mark));
      tail = end;
    }
    column.marks = std::move(merged);
    column.width = std::max(40.0, detail::text_width(column.wall, 8));
    for (const Beside& mark : column.marks)
      column.width = std::max(column.width, leader + detail::text_width(mark.words, size));
    // A longer name is cut off at the paper's edge by nobody: it is told in letters that still can be read.
    column.width = std::min(column.width + 6, paper_width - columns_left - 4);
    out.columns.push_back(std::move(column));
  }
  double x = columns_left;
  out.first.push_back(0);
  for (std::size_t w = 0; w < out.columns.size(); ++w) {
    if (x + out.columns[w].width > paper_width && w > out.first.back()) {
      out.first.push_back(w);
      x = columns_left;
    }
    x += out.columns[w].width;
  }
  out.first.push_back(out.columns.size());
  return out;
}

// Every `each`th of `count` rows fits between low and high.
std::size_t each_of(std::size_t count, double room) {
  const std::size_t fit = std::max<std::size_t>(1, static_cast<std::size_t>(room / (tight * least_letters)));
  return count == 0 ? 1 : (count + fit - 1) / fit;
}

}  // namespace

std::size_t pole_sheets(const Job& job, const Plan& plan) {
  return lay_out(job, plan).first.size() - 1;
}

std::string draw_pole(const Job& job, const Plan& plan, std::size_t index) {
  const Pole& pole = plan.pole;
  const Rules& rules = job.rules;
  const Layout layout = lay_out(job, plan);
  const std::size_t sheets = layout.first.size() - 1;
  if (index >= sheets)
    throw Refused("sheet", detail::format("sheet {} is none of the pole's {}", index, sheets));
  Sheet sheet(
      paper_width, paper_height, "Story pole", detail::format("pole-{}", index),
      detail::format("Story pole with {} lines and {} gauge settings, and the marks of the walls beside it.",
                     pole.lines.size(), pole.settings));
  const std::string of = sheets > 1 ? detail::format(", sheet {} of {}", index + 1, sheets) : std::string();
  sheet.text({12, 18}, 12, Anchor::start, "Story pole" + of);
  sheet.text(
      {12, 30}, size, Anchor::start,
      detail::format("{} lines, {} gauge {}. Heights run from the datum, in {}. Beside each wall's marks: "
                     "the height of the strip of board that shows there.",
                     pole.lines.size(), pole.settings, pole.settings == 1 ? "setting" : "settings",
                     detail::is_metric(rules) ? "millimetres" : "inches and as feet"));
  if (pole.lines.empty()) return sheet.document();
  sheet.text({pole_x - 26, top - 12}, size, Anchor::end, "course: height");
  sheet.text({pole_x + pole_width + 4, top - 12}, size, Anchor::start, "gauge");

  const double scale = (paper_height - top - bottom) / std::max(1.0, layout.highest - layout.lowest);
  const auto y_of = [&](double height) { return top + (layout.highest - height) * scale; };
  const double y_high = y_of(layout.highest), y_low = y_of(layout.lowest);
  sheet.shape(
      {{{pole_x, y_high}, {pole_x + pole_width, y_high}, {pole_x + pole_width, y_low}, {pole_x, y_low}}},
      0.9);
  // Lines from the bottom of the page up are a list from the top of the page down; where there is no room for
  // all, every second or third is written.
  const std::size_t count = pole.lines.size(), each = each_of(count, paper_height - top - bottom + 12);
  std::vector<double> wishes;
  std::vector<std::size_t> told;
  for (std::size_t k = count; k-- > 0;) {
    sheet.line({pole_x, y_of(pole.lines[k])}, {pole_x + pole_width, y_of(pole.lines[k])},
               static_cast<int>(k) < pole.built ? 0.5 : 1.2, detail::format("id=\"line-{}\"", k));
    if (k % each != 0) continue;
    told.push_back(k);
    wishes.push_back(y_of(pole.lines[k]));
  }
  const double room = (paper_height - top - bottom + 12) / static_cast<double>(told.size());
  const double letters = std::min(size, std::max(least_letters, room / tight));
  const std::vector<double> places =
      detail::spread(wishes, letters * tight, top - 4, paper_height - bottom + 8);
  for (std::size_t i = 0; i < told.size(); ++i) {
    const std::size_t k = told[i];
    sheet.path(
        {{pole_x - 24, places[i]}, {pole_x - 18, places[i]}, {pole_x - 4, wishes[i]}, {pole_x, wishes[i]}},
        0.25);
    const std::string number = detail::length_number(rules, pole.lines[k]);
    const std::string feet =
        detail::is_metric(rules) ? std::string() : " = " + detail::feet_words(rules, pole.lines[k]);
    sheet.text(
        {pole_x - 26, places[i] + 0.28 * letters}, letters, Anchor::end,
        detail::format("{:02}: {}{}{}", k, number, feet, static_cast<int>(k) < pole.built ? " nailed" : ""));
  }
  // A bracket from where a gauge setting begins to where it ends.
  const std::size_t gauges = std::min(pole.exposures.size(), count - 1);
  for (std::size_t k = 0; k < gauges;) {
    std::size_t end = k + 1;
    const std::string words = detail::length_number(rules, pole.exposures[k]);
    while (end < gauges && pole.exposures[end] - pole.exposures[k] <= tolerance &&
           pole.exposures[k] - pole.exposures[end] <= tolerance)
      ++end;
    const double x = pole_x + pole_width + 3, a = y_of(pole.lines[k]) - 0.8, b = y_of(pole.lines[end]) + 0.8;
    sheet.path({{x, a}, {x + 4, a}, {x + 4, b}, {x, b}}, 0.5);
    sheet.try_text({x + 7, (a + b) / 2 + 0.28 * size}, size, Anchor::start, words);
    k = end;
  }

  // One column of marks a wall.
  double x = columns_left;
  for (std::size_t w = layout.first[index]; w < layout.first[index + 1]; ++w) {
    const Column& column = layout.columns[w];
    const auto fitting = [&](const std::string& words, double most, double wide) {
      return std::max(0.5 * least_letters,
                      std::min(most, wide / std::max(0.1, detail::text_width(words, 1))));
    };
    sheet.text({x, top - 12}, fitting(column.wall, 8, column.width - 6), Anchor::start, column.wall);
    std::vector<double> at;
    for (const Beside& mark : column.marks) at.push_back(y_of(mark.height));
    const std::vector<double> rows = detail::spread(at, size * tight, top - 2, paper_height - bottom + 8);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const double here = fitting(column.marks[i].words, size, column.width - leader - 6);
      sheet.path({{x, at[i]}, {x + 4, at[i]}, {x + 9, rows[i]}, {x + 12, rows[i]}}, 0.25);
      sheet.text({x + leader, rows[i] + 0.28 * here}, here, Anchor::start, column.marks[i].words);
    }
    sheet.line({x, y_high}, {x, y_low}, 0.25);
    x += column.width;
  }
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
