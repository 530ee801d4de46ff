include(CMakePackageConfigHelpers)
set(LAPW_CMAKE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/lapwright)
set(_targets lapwright_headers lapwright)
if(LAPW_BUILD_CAPI)
  list(APPEND _targets lapwright_c lapwright_c_static)
endif()
install(TARGETS ${_targets} EXPORT lapwrightTargets
  RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR}
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} PUBLIC_HEADER DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(DIRECTORY include/lapwright DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(EXPORT lapwrightTargets NAMESPACE lapwright:: DESTINATION ${LAPW_CMAKE_DIR})
export(EXPORT lapwrightTargets NAMESPACE lapwright:: FILE ${PROJECT_BINARY_DIR}/lapwrightTargets.cmake)
configure_package_config_file(cmake/lapwrightConfig.cmake.in lapwrightConfig.cmake INSTALL_DESTINATION ${LAPW_CMAKE_DIR})
write_basic_package_version_file(lapwrightConfigVersion.cmake COMPATIBILITY SameMinorVersion)  # 0.x: minor may break
install(FILES ${PROJECT_BINARY_DIR}/lapwrightConfig.cmake ${PROJECT_BINARY_DIR}/lapwrightConfigVersion.cmake
  DESTINATION ${LAPW_CMAKE_DIR})

# pkg-config, for the C interface. The .pc file finds its prefix from where it lies, so that the tree may move.
file(RELATIVE_PATH LAPW_PC_PREFIX "/${CMAKE_INSTALL_LIBDIR}/pkgconfig" "/")
configure_file(cmake/lapwright.pc.in lapwright.pc @ONLY)
install(FILES ${PROJECT_BINARY_DIR}/lapwright.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
install(FILES capi/schema/job.schema.json capi/schema/plan.schema.json DESTINATION ${CMAKE_INSTALL_DATADIR}/lapwright OPTIONAL)
install(DIRECTORY capi/python/lapwright DESTINATION ${CMAKE_INSTALL_DATADIR}/lapwright/python OPTIONAL
  PATTERN "__pycache__" EXCLUDE)

# A Debian package: `cpack -G DEB` in the build folder.
if(PROJECT_IS_TOP_LEVEL)
  set(CPACK_PACKAGE_NAME lapwright)
  set(CPACK_PACKAGE_VENDOR lapwright)
  set(CPACK_PACKAGE_CONTACT "the maintainers of lapwright <maintainers@localhost>")
  set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
  set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
  set(CPACK_STRIP_FILES ON)
  set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
  set(CPACK_DEBIAN_PACKAGE_SECTION libdevel)
  set(CPACK_DEBIAN_PACKAGE_DEPENDS "libc6, libstdc++6, libgcc-s1")
  set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libboost-dev, libfmt-dev, python3")  # the C++ headers, the Python package
  file(WRITE ${PROJECT_BINARY_DIR}/triggers "activate-noawait ldconfig\n")
  set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA ${PROJECT_BINARY_DIR}/triggers)
  include(CPack)
endif()
