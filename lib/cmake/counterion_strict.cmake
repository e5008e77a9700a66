# SPDX-License-Identifier: MIT
# Warnings for our own targets; errors where COUNTERION_STRICT says so (our presets do).
function(counterion_strict target)
  if(MSVC)
    target_compile_options(${target} PRIVATE /utf-8 /W4 $<$<BOOL:${COUNTERION_STRICT}>:/WX>)
  else()
    # Once it optimises, g++ 12 sees unreadable memory and overlaps in libstdc++'s own strings.
    set(old_gcc $<AND:$<CXX_COMPILER_ID:GNU>,$<VERSION_LESS:$<CXX_COMPILER_VERSION>,13>>)
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wconversion -Wshadow
      $<$<BOOL:${COUNTERION_STRICT}>:-Werror>
      $<${old_gcc}:-Wno-maybe-uninitialized>
      $<${old_gcc}:-Wno-restrict>)
  endif()
endfunction()
