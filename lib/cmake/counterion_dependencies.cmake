# SPDX-License-Identifier: MIT
# What the library is built from; each is taken from the system, or fetched where the system has none.
include(FetchContent)

find_package(Threads REQUIRED)
# No system copy of Boost is ever replaced: it is header-only here and every system has it.
find_package(Boost 1.74 REQUIRED)
find_package(fmt 9 QUIET)
if(NOT fmt_FOUND)
  set(FMT_INSTALL ${COUNTERION_INSTALL})        # an installed static library needs it
  set(CMAKE_POSITION_INDEPENDENT_CODE ON)       # it goes into the Python module, too
  FetchContent_Declare(fmt GIT_REPOSITORY https://github.com/fmtlib/fmt.git GIT_TAG 10.2.1)
  FetchContent_MakeAvailable(fmt)
endif()
find_package(nlohmann_json 3.9 QUIET)
if(NOT nlohmann_json_FOUND)
  FetchContent_Declare(nlohmann_json GIT_REPOSITORY https://github.com/nlohmann/json.git GIT_TAG v3.11.3)
  FetchContent_MakeAvailable(nlohmann_json)
endif()
# Headers alone, in a few files of ours: nothing of it is built or installed.
find_package(xsimd 8.1 QUIET)
if(xsimd_FOUND)
  get_target_property(COUNTERION_XSIMD_INCLUDE xsimd INTERFACE_INCLUDE_DIRECTORIES)
else()
  FetchContent_Declare(xsimd GIT_REPOSITORY https://github.com/xtensor-stack/xsimd.git GIT_TAG 8.1.0
    SOURCE_SUBDIR not-its-own-build)
  FetchContent_MakeAvailable(xsimd)
  set(COUNTERION_XSIMD_INCLUDE ${xsimd_SOURCE_DIR}/include)
endif()
