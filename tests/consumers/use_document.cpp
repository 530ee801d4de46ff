// An outside project's program in C++ that needs the compiled library: documents.
#include <lapwright/document.hpp>

#include <iostream>

int main() {
  const std::string answer = lapwright::plan_job(R"({"lapwright": 1})");
  std::cout << answer;
  return answer.find("\"walls\"") != std::string::npos ? 0 : 1;
}
