# Developer flags are set PRIVATE on our own targets, by a function: a linked INTERFACE target would end up in
# the export set ("requires target that is not in any export set").
function(lapw_dev_flags target)
  if(CMAKE_CXX_COMPILER_ID MATCHES "GNU|Clang")
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
      $<$<BOOL:${LAPW_WERROR}>:-Werror>)
  elseif(MSVC)
    target_compile_options(${target} PRIVATE /W4 $<$<BOOL:${LAPW_WERROR}>:/WX>)
  endif()
endfunction()
