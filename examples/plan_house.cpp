// Plans a house from a job document and writes what a crew works from.
//   plan_house JOB.json --out DIR     a folder: index.html, drawings, sheets, plan.json
//   plan_house JOB.json --plan -      only the plan document, to standard output
//   plan_house --check PLAN.json JOB.json   the audit's findings on somebody's plan
// Exit status 0: done; 2: the job is refused (every fault on standard error), or the audit found something;
// 1: anything else.
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

#include <lapwright/document.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/lapwright.hpp>
#include <lapwright/sheets.hpp>

namespace {

std::string read_file(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error(path + ": cannot be opened");
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  if (file.bad()) throw std::runtime_error(path + ": cannot be read");
  return text;
}

void write_file(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) throw std::runtime_error(path.string() + ": cannot be written");
}

// A wall's name as a file name: letters, digits, - and _ stay; its number keeps two names apart.
std::string file_name(std::size_t number, const std::string& name) {
  std::string out = std::to_string(number) + "-";
  for (char c : name) {
    const bool plain =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    out += plain ? c : '_';
  }
  return out;
}

int usage() {
  std::cerr << "usage: plan_house JOB.json --out DIR\n"
               "       plan_house JOB.json --plan FILE    (FILE may be -)\n"
               "       plan_house --check PLAN.json JOB.json\n";
  return 1;
}

int run(const std::vector<std::string>& arguments) {
  std::string job_path, out, plan_path, check;
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const std::string& a = arguments[i];
    std::string* value = a == "--out" ? &out : a == "--plan" ? &plan_path : a == "--check" ? &check : nullptr;
    if (value) {
      if (++i == arguments.size()) return usage();
      *value = arguments[i];
    } else if (a.size() > 1 && a[0] == '-') {
      return usage();
    } else if (job_path.empty()) {
      job_path = a;
    } else {
      return usage();
    }
  }
  if (job_path.empty() || (out.empty() && plan_path.empty() && check.empty())) return usage();

  const lapwright::Job job = lapwright::read_job(read_file(job_path));
  if (!check.empty()) {
    lapwright::ReadPlan read = lapwright::read_plan(read_file(check));
    std::vector<lapwright::Finding> findings = std::move(read.findings);
    for (lapwright::Finding& finding : lapwright::audit(job, read.plan))
      findings.push_back(std::move(finding));
    for (const lapwright::Finding& f : findings) {
      std::cout << f.code << "  " << (f.wall.empty() ? "house" : f.wall);
      if (f.course) std::cout << " course " << *f.course;
      if (!f.piece.empty()) std::cout << " " << f.piece;
      std::cout << ": " << f.message << "\n";
    }
    std::cout << findings.size() << (findings.size() == 1 ? " finding\n" : " findings\n");
    return findings.empty() ? 0 : 2;
  }

  const lapwright::Plan plan = lapwright::plan_house(job);
  const std::string document = lapwright::write_plan(plan);
  if (plan_path == "-")
    std::cout << document;
  else if (!plan_path.empty())
    write_file(plan_path, document);
  if (!out.empty()) {
    const std::filesystem::path folder(out);
    std::filesystem::create_directories(folder);
    write_file(folder / "plan.json", document);
    for (std::size_t w = 0; w < plan.walls.size(); ++w) {
      const std::string name = "elevation-" + file_name(w + 1, plan.walls[w].name);
      lapwright::ElevationOptions options;
      for (const std::size_t sheets = lapwright::elevation_sheets(job, plan, w); options.sheet < sheets;
           ++options.sheet)
        write_file(folder / (options.sheet == 0 ? name + ".svg"
                                                : name + "-part-" + std::to_string(options.sheet) + ".svg"),
                   lapwright::draw_elevation(job, plan, w, options));
    }
    for (std::size_t n = 0; n < lapwright::pole_sheets(job, plan); ++n)
      write_file(folder / (n == 0 ? "pole.svg" : "pole-" + std::to_string(n + 1) + ".svg"),
                 lapwright::draw_pole(job, plan, n));
    write_file(folder / "order.csv", lapwright::order_csv(job, plan));
    write_file(folder / "pole.csv", lapwright::pole_csv(job, plan));
    write_file(folder / "nails.csv", lapwright::nails_csv(job, plan));
    write_file(folder / "pieces.csv", lapwright::pieces_csv(job, plan));
    write_file(folder / "staging.csv", lapwright::staging_csv(job, plan));
    write_file(folder / "findings.csv", lapwright::findings_csv(job, plan));
    write_file(folder / "cut-sheet.txt", lapwright::cut_sheet_text(job, plan));
    write_file(folder / "cut-sheet.csv", lapwright::cut_sheet_csv(job, plan));
    write_file(folder / "board-sheet.txt", lapwright::board_sheet_text(job, plan));
    write_file(folder / "board-sheet.csv", lapwright::board_sheet_csv(job, plan));
    write_file(folder / "index.html", lapwright::index_page(job, plan));
    std::cout << lapwright::summary_text(job, plan);
  }
  std::cout.flush();
  return std::cout ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const lapwright::Refused& refused) {
    for (const lapwright::Fault& fault : refused.faults)
      std::cerr << (fault.path.empty() ? "job" : fault.path) << ": " << fault.message << "\n";
    return 2;
  } catch (const std::exception& error) {
    std::cerr << error.what() << "\n";
    return 1;
  }
}
