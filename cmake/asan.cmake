# cmake -C cmake/asan.cmake -B build-asan      a preset without CMakePresets.json
set(LAPW_SANITIZE "address,undefined" CACHE STRING "")
include(${CMAKE_CURRENT_LIST_DIR}/sanitize.cmake)
