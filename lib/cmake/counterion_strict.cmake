# SPDX-License-Identifier: MIT
# Warnings for our own targets; errors where COUNTERION_STRICT says so (our presets do).
function(counterion_strict target)
  if(MSVC)
    target_compile_options(${target} PRIVATE /W4 $<$<BOOL:${COUNTERION_STRICT}>:/WX>)
  else()
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wconversion -Wshadow
      $<$<BOOL:${COUNTERION_STRICT}>:-Werror>)
  endif()
endfunction()
