# SPDX-License-Identifier: MIT
# What other projects find after `cmake --install`: headers, library, both kinds of package description,
# and the data that a reader may want to see. The command and the Python module install themselves.
include(CMakePackageConfigHelpers)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/counterion)
install(TARGETS counterion
  EXPORT counterion_targets
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
  FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(EXPORT counterion_targets
  NAMESPACE counterion::
  FILE counterion-targets.cmake
  DESTINATION ${package_dir})
configure_package_config_file(
  ${CMAKE_CURRENT_LIST_DIR}/counterion-config.cmake.in
  ${CMAKE_CURRENT_BINARY_DIR}/counterion-config.cmake
  INSTALL_DESTINATION ${package_dir}
  PATH_VARS CMAKE_INSTALL_DATADIR)
# Below 1.0 a minor version may break what was there before.
write_basic_package_version_file(
  ${CMAKE_CURRENT_BINARY_DIR}/counterion-config-version.cmake
  COMPATIBILITY SameMinorVersion)
install(FILES
    ${CMAKE_CURRENT_BINARY_DIR}/counterion-config.cmake
    ${CMAKE_CURRENT_BINARY_DIR}/counterion-config-version.cmake
  DESTINATION ${package_dir})

# The prefix is found from where the file lies, so that an installed tree may be moved.
cmake_path(ABSOLUTE_PATH CMAKE_INSTALL_LIBDIR BASE_DIRECTORY ${CMAKE_INSTALL_PREFIX}
  OUTPUT_VARIABLE pkgconfig_dir)
cmake_path(APPEND pkgconfig_dir pkgconfig)
cmake_path(RELATIVE_PATH CMAKE_INSTALL_PREFIX BASE_DIRECTORY ${pkgconfig_dir}
  OUTPUT_VARIABLE pkgconfig_to_prefix)
configure_file(
  ${CMAKE_CURRENT_LIST_DIR}/counterion.pc.in
  ${CMAKE_CURRENT_BINARY_DIR}/counterion.pc
  @ONLY)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/counterion.pc
  DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

install(DIRECTORY ${PROJECT_SOURCE_DIR}/lib/schemas ${PROJECT_SOURCE_DIR}/reference-tables
  DESTINATION ${CMAKE_INSTALL_DATADIR}/counterion)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})
