# SPDX-License-Identifier: MIT
# Puts reference-tables/*.csv into the library as C++ string literals, byte for byte.
# Included, it defines counterion_embed_tables(); run as a script (cmake -D TABLES_DIR=… -D NAMES=a,b
# -D OUTPUT=… -P), it writes the .cpp.

# Literals stay below MSVC's 16380 bytes and end at a line's end, so that no character is cut.
set(COUNTERION_PIECE_BYTES 12000)

function(counterion_append_pieces text_variable output_variable)
  set(rest "${${text_variable}}")
  set(pieces "")
  string(LENGTH "${rest}" length)
  while(length GREATER 0)
    set(size ${length})
    if(length GREATER COUNTERION_PIECE_BYTES)
      string(SUBSTRING "${rest}" 0 ${COUNTERION_PIECE_BYTES} head)
      string(FIND "${head}" "\n" size REVERSE)
      math(EXPR size "${size} + 1")
      if(size EQUAL 0)
        message(FATAL_ERROR "a row of more than ${COUNTERION_PIECE_BYTES} bytes")
      endif()
    endif()
    string(SUBSTRING "${rest}" 0 ${size} head)
    string(SUBSTRING "${rest}" ${size} -1 rest)
    string(APPEND pieces "    R\"counterion(" "${head}" ")counterion\",\n")
    string(LENGTH "${rest}" length)
  endwhile()
  if(pieces STREQUAL "")
    set(pieces "    \"\",\n")
  endif()
  set(${output_variable} "${pieces}" PARENT_SCOPE)
endfunction()

function(counterion_write_embedded directory names output)
  list(SORT names)
  set(hashed "")
  set(literals "")
  set(entries "")
  foreach(name IN LISTS names)
    file(READ "${directory}/${name}.csv" text)
    string(APPEND hashed "${name}\n" "${text}")
    counterion_append_pieces(text pieces)
    string(APPEND literals "constexpr std::string_view ${name}_pieces[] = {\n" "${pieces}" "};\n\n")
    string(APPEND entries "    {\"${name}\", ${name}_pieces},\n")
  endforeach()
  string(SHA256 digest "${hashed}")
  file(WRITE "${output}.new"
    "// Written by the build from reference-tables; edit those.\n"
    "#include \"embedded.hpp\"\n\nnamespace counterion::tables {\nnamespace {\n\n"
    "${literals}"
    "constexpr EmbeddedTable all_tables[] = {\n" "${entries}" "};\n\n}  // namespace\n\n"
    "std::span<const EmbeddedTable> embedded_tables() noexcept { return all_tables; }\n"
    "std::string_view embedded_sha256() noexcept {\n  return \"${digest}\";\n}\n\n"
    "}  // namespace counterion::tables\n")
  file(RENAME "${output}.new" "${output}")
endfunction()

if(CMAKE_SCRIPT_MODE_FILE STREQUAL CMAKE_CURRENT_LIST_FILE)
  string(REPLACE "," ";" NAMES "${NAMES}")
  counterion_write_embedded("${TABLES_DIR}" "${NAMES}" "${OUTPUT}")
  return()
endif()

set(COUNTERION_EMBED_SCRIPT ${CMAKE_CURRENT_LIST_FILE})

# Adds to `target` a source with these tables of `directory`; `output_variable` gets its path.
function(counterion_embed_tables target directory output_variable)
  set(output ${CMAKE_CURRENT_BINARY_DIR}/embedded_tables.cpp)
  list(TRANSFORM ARGN PREPEND "${directory}/" OUTPUT_VARIABLE files)
  list(TRANSFORM files APPEND ".csv")
  list(JOIN ARGN "," names)
  add_custom_command(
    OUTPUT ${output}
    COMMAND ${CMAKE_COMMAND} -D TABLES_DIR=${directory} -D NAMES=${names} -D OUTPUT=${output}
            -P ${COUNTERION_EMBED_SCRIPT}
    DEPENDS ${files} ${COUNTERION_EMBED_SCRIPT}
    COMMENT "Embedding the reference tables"
    VERBATIM)
  # The rule belongs to this folder, the target to another: a target of its own carries it over.
  add_custom_target(${target}_embedded_tables DEPENDS ${output})
  add_dependencies(${target} ${target}_embedded_tables)
  target_sources(${target} PRIVATE ${output})
  set(${output_variable} ${output} PARENT_SCOPE)
endfunction()
