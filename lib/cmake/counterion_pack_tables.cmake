# SPDX-License-Identifier: MIT
# Puts reference-tables into the library: a program of ours checks them (the gate) and writes them as
# C++ source. Where the build is for another machine, COUNTERION_PACK_TABLES names one built for this.
set(COUNTERION_PACK_TABLES "" CACHE FILEPATH "counterion_pack_tables of the machine that builds")

# counterion_pack_tables(target directory table…)
function(counterion_pack_tables target directory)
  set(packer ${COUNTERION_PACK_TABLES})
  if(NOT packer)
    add_executable(counterion_pack_tables
      pack_tables.cpp
      packer.cpp
      $<TARGET_OBJECTS:counterion_table_reader>)
    target_compile_features(counterion_pack_tables PRIVATE cxx_std_20)
    target_include_directories(counterion_pack_tables PRIVATE ${PROJECT_SOURCE_DIR}/lib/include)
    target_link_libraries(counterion_pack_tables PRIVATE Boost::headers fmt::fmt)
    counterion_strict(counterion_pack_tables)
    set(packer counterion_pack_tables)
  elseif(NOT EXISTS ${packer})
    message(FATAL_ERROR "COUNTERION_PACK_TABLES is ${packer}, which is not there")
  endif()
  set(output ${CMAKE_CURRENT_BINARY_DIR}/packed_tables.cpp)
  list(TRANSFORM ARGN PREPEND "${directory}/" OUTPUT_VARIABLE files)
  list(TRANSFORM files APPEND ".csv")
  add_custom_command(
    OUTPUT ${output}
    COMMAND ${packer} ${directory} ${output}
    DEPENDS ${files} ${directory}/datapackage.json ${packer}
    COMMENT "Checking and packing the reference tables"
    VERBATIM)
  # The rule belongs to this folder, the target to another: a target of its own carries it over.
  add_custom_target(${target}_packed_tables DEPENDS ${output})
  add_dependencies(${target} ${target}_packed_tables)
  target_sources(${target} PRIVATE ${output})
  set_source_files_properties(${output} TARGET_DIRECTORY ${target} PROPERTIES
    GENERATED TRUE
    INCLUDE_DIRECTORIES ${CMAKE_CURRENT_SOURCE_DIR})
endfunction()
