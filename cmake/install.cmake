include(CMakePackageConfigHelpers)
set(LAPW_CMAKE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/lapwright)
set(_targets lapwright_headers lapwright)
install(TARGETS ${_targets} EXPORT lapwrightTargets)
install(DIRECTORY include/lapwright DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(EXPORT lapwrightTargets NAMESPACE lapwright:: DESTINATION ${LAPW_CMAKE_DIR})
export(EXPORT lapwrightTargets NAMESPACE lapwright:: FILE ${PROJECT_BINARY_DIR}/lapwrightTargets.cmake)
configure_package_config_file(cmake/lapwrightConfig.cmake.in lapwrightConfig.cmake INSTALL_DESTINATION ${LAPW_CMAKE_DIR})
write_basic_package_version_file(lapwrightConfigVersion.cmake COMPATIBILITY SameMinorVersion)  # 0.x: minor may break
install(FILES ${PROJECT_BINARY_DIR}/lapwrightConfig.cmake ${PROJECT_BINARY_DIR}/lapwrightConfigVersion.cmake
  DESTINATION ${LAPW_CMAKE_DIR})
