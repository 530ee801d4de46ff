# Included by asan.cmake and tsan.cmake, which set LAPW_SANITIZE.
# Sanitizers are whole-program: they go in the global flags, not on one target.
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "")
foreach(l C CXX)
  set(CMAKE_${l}_FLAGS "-fsanitize=${LAPW_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer" CACHE STRING "")
  set(CMAKE_${l}_FLAGS_RELWITHDEBINFO "-O1 -g1" CACHE STRING "")
endforeach()
set(LAPW_WERROR ON CACHE BOOL "")
set(LAPW_INSTALL OFF CACHE BOOL "")
