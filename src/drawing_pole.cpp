
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::Anchor;
using detail::Sheet;

constexpr double paper_width = 7.5 * 72, paper_height = 10 * 72;
constexpr double top = 44, bottom = 24, pole_x = 150, pole_width = 16;
constexpr double size = 6.5, tight = 1.08;  // letters; line height over letter height

}  // namespace

std::string draw_pole(const Job& job, const Plan& plan) {
  const Pole& pole = plan.pole;
  const double division = job.rules.courses.division;
  Sheet sheet(paper_width, paper_height, "Story pole", "pole");
  sheet.text({24, 22}, 12, Anchor::start, "Story pole");
  sheet.text({24, 34}, size, Anchor::start,
             detail::format("{} lines, {} gauge {}. Heights run from the datum.", pole.lines.size(),
                            pole.settings, pole.settings == 1 ? "setting" : "settings"));
  if (pole.lines.empty()) return sheet.document();

  std::vector<WallHeights> heights;
  double lowest = pole.lines.front(), highest = pole.lines.back();
  for (const Wall& wall : job.walls) {
    heights.push_back(wall_heights(wall, siding_region(wall, job.rules)));
    highest = std::max(highest, heights.back().highest);
    lowest = std::min(lowest, heights.back().lowest);
  }
  const std::vector<MarkStrip> strips = pole_strips(heights, pole, job.rules);
  const double scale = (paper_height - top - bottom) / std::max(1.0, highest - lowest);
  const auto y_of = [&](double height) { return top + (highest - height) * scale; };

  sheet.shape({{{pole_x, y_of(highest)},
                {pole_x + pole_width, y_of(highest)},
                {pole_x + pole_width, y_of(lowest)},
                {pole_x, y_of(lowest)}}},
              0.9);
  // Lines from the bottom of the page up are a list from the top of the page down.
  std::vector<double> wishes;
  for (std::size_t k = pole.lines.size(); k-- > 0;) wishes.push_back(y_of(pole.lines[k]));
  const double room = (paper_height - top - bottom + 16) / static_cast<double>(wishes.size());
  const double letters = std::min(size, room / tight);
  const std::vector<double> places =
      detail::spread(wishes, letters * tight, top - 8, paper_height - bottom + 8);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const std::size_t k = pole.lines.size() - 1 - i;
    const bool built = static_cast<int>(k) < pole.built;
    sheet.line({pole_x, wishes[i]}, {pole_x + pole_width, wishes[i]}, built ? 0.5 : 1.2,
               detail::format("id=\"line-{}\"", k));
    sheet.path(
        {{pole_x - 24, places[i]}, {pole_x - 18, places[i]}, {pole_x - 4, wishes[i]}, {pole_x, wishes[i]}},
        0.25);
    sheet.text(
        {pole_x - 26, places[i] + 0.28 * letters}, letters, Anchor::end,
        detail::format("{:02}: {}{}", k, format_length(pole.lines[k], division, LengthStyle::feet_inches),
                       built ? ", nailed" : ""));
  }
  // A gauge setting stands once, where it begins.
  for (std::size_t k = 0; k < pole.exposures.size(); ++k)
    if (k == 0 || pole.exposures[k] != pole.exposures[k - 1])
      sheet.try_text(
          {pole_x + pole_width + 3, (y_of(pole.lines[k]) + y_of(pole.lines[k + 1])) / 2 + 0.28 * letters},
          letters, Anchor::start, format_length(pole.exposures[k], division));

  // One column of marks a wall.
  const double columns_left = pole_x + pole_width + 44;
  const double column =
      (paper_width - columns_left - 8) / static_cast<double>(std::max<std::size_t>(1, heights.size()));
  for (std::size_t w = 0; w < heights.size(); ++w) {
    const double x = columns_left + column * static_cast<double>(w);
    double letters_here = size;
    std::vector<std::string> words;
    std::vector<double> at;
    // By height from the top; a bad strip is told as one.
    std::vector<std::pair<double, std::string>> sorted;
    for (std::size_t m = 0; m < heights[w].marks.size(); ++m) {
      const Mark& mark = heights[w].marks[m];
      std::string words_of_it = mark.label;
      for (const MarkStrip& strip : strips)
        if (strip.wall == w && strip.mark == m)
          words_of_it += strip.height <= tolerance ? ": on the line"
                                                   : ": strip " + format_length(strip.height, division) +
                                                         (strip.bad ? ", BAD" : "");
      sorted.emplace_back(mark.height, std::move(words_of_it));
    }
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    for (auto& [height, text] : sorted) {
      words.push_back(std::move(text));
      at.push_back(y_of(height));
      letters_here =
          std::min(letters_here, (column - 16) / std::max(1.0, detail::text_width(words.back(), 1)));
    }
    letters_here = std::max(
        2.5, std::min(letters_here, (paper_height - top - bottom) /
                                        (tight * static_cast<double>(std::max<std::size_t>(1, at.size())))));
    sheet.text({x, top - 14},
               std::min(size, (column - 4) / std::max(1.0, detail::text_width(job.walls[w].name, 1))),
               Anchor::start, job.walls[w].name);
    const std::vector<double> rows =
        detail::spread(at, letters_here * tight, top - 4, paper_height - bottom + 8);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      sheet.path({{x, at[i]}, {x + 5, at[i]}, {x + 9, rows[i]}, {x + 12, rows[i]}}, 0.25);
      sheet.text({x + 13, rows[i] + 0.28 * letters_here}, letters_here, Anchor::start, words[i]);
    }
    sheet.line({x, y_of(highest)}, {x, y_of(lowest)}, 0.25);
  }
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
