# cmake -C cmake/tsan.cmake -B build-tsan && cmake --build build-tsan --target test_threads
set(LAPW_SANITIZE "thread" CACHE STRING "")
include(${CMAKE_CURRENT_LIST_DIR}/sanitize.cmake)
