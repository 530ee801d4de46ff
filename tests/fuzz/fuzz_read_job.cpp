// Any bytes as a job: read, or refused with at least one fault that says something.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include <lapwright/document.hpp>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const lapwright::Job job = lapwright::read_job(text);
    if (job.walls.empty() || !lapwright::check_job(job).empty()) std::abort();
  } catch (const lapwright::Refused& refused) {
    if (refused.faults.empty()) std::abort();
    for (const lapwright::Fault& fault : refused.faults)
      if (fault.message.empty()) std::abort();
  }
  return 0;
}
