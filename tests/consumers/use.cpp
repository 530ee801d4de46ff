// An outside project's program in C++: the stages alone, header-only or compiled.
#include <lapwright/lap.hpp>
#include <lapwright/length.hpp>
#include <lapwright/rake.hpp>

#include <iostream>

int main() {
  const lapwright::LapProfile lap = lapwright::lap_profile(8.25, 0.3125, 7);
  lapwright::Rules rules;
  const lapwright::RakeTemplate shape = lapwright::rake_template(6, 12, lapwright::Hand::left, rules, 7);
  std::cout << lap.least_trim << ' ' << shape.offset << ' ' << lapwright::format_length(63.4375) << '\n';
  return shape.offset == 16.5 && lapwright::parse_length("63-7/16") == 63.4375 ? 0 : 1;
}
