# Installs the two libraries and the tool, and what find_package(gaugeloom) reads.
include(CMakePackageConfigHelpers)
install(TARGETS gaugeloom gaugeloom_io gaugeloom_flags EXPORT gaugeloom_targets FILE_SET HEADERS)
install(TARGETS gaugeloom_tool)
install(EXPORT gaugeloom_targets FILE gaugeloom-targets.cmake NAMESPACE gaugeloom::
        DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/gaugeloom)
configure_package_config_file(cmake/gaugeloom-config.cmake.in
  ${PROJECT_BINARY_DIR}/gaugeloom-config.cmake
  INSTALL_DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/gaugeloom)
write_basic_package_version_file(${PROJECT_BINARY_DIR}/gaugeloom-config-version.cmake
  COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/gaugeloom-config.cmake
        ${PROJECT_BINARY_DIR}/gaugeloom-config-version.cmake
        DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/gaugeloom)
# The licence of the letters built into the library asks for its notice in every copy.
install(FILES ${FONT_NOTICE} DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME fonts.txt)
