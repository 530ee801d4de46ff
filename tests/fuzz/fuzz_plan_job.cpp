// Any bytes as a job, planned where they are one: the answer is a plan, or a refusal, and reads back as
// itself.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include <lapwright/document.hpp>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 8192) return 0;  // what is interesting is small; a large house only takes long
  const std::string answer = lapwright::plan_job({reinterpret_cast<const char*>(data), size});
  const lapwright::ReadPlan read = lapwright::read_plan(answer);
  if (answer.find("\"errors\": [") != std::string::npos && !read.findings.empty()) return 0;
  if (!read.findings.empty() || lapwright::write_plan(read.plan) != answer) std::abort();
  return 0;
}
