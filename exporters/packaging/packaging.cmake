# Installation and packages: the program with man page, completion and gallery, and the libraries
# with a config file for find_package(leafstack). `cpack` in the build folder makes both as .deb.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

# Man page and completion come from the program itself, so they are made when it is.
set(MADE ${CMAKE_BINARY_DIR}/shell)
add_custom_command(TARGET leafstack POST_BUILD
  COMMAND ${CMAKE_COMMAND} -E make_directory ${MADE}/bash ${MADE}/zsh ${MADE}/fish
  COMMAND $<TARGET_FILE:leafstack> man > ${MADE}/leafstack.1
  COMMAND gzip -9nf ${MADE}/leafstack.1
  COMMAND $<TARGET_FILE:leafstack> completion bash > ${MADE}/bash/leafstack
  COMMAND $<TARGET_FILE:leafstack> completion zsh > ${MADE}/zsh/_leafstack
  COMMAND $<TARGET_FILE:leafstack> completion fish > ${MADE}/fish/leafstack.fish
  VERBATIM)

install(TARGETS leafstack RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
# What the program loads late; programs that link the libraries look there too.
set(LATE_DIR ${CMAKE_INSTALL_LIBDIR}/leafstack)
install(TARGETS leafstack_step LIBRARY DESTINATION ${LATE_DIR} COMPONENT program)
file(RELATIVE_PATH TO_LATE /${CMAKE_INSTALL_BINDIR} /${LATE_DIR})
set_target_properties(leafstack PROPERTIES INSTALL_RPATH "$ORIGIN;$ORIGIN/${TO_LATE}"
                      BUILD_WITH_INSTALL_RPATH ON)
install(FILES ${MADE}/leafstack.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES ${MADE}/bash/leafstack DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
        COMPONENT program)
install(FILES ${MADE}/zsh/_leafstack DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions
        COMPONENT program)
install(FILES ${MADE}/fish/leafstack.fish
        DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
install(DIRECTORY ${CMAKE_SOURCE_DIR}/gallery DESTINATION ${CMAKE_INSTALL_DATADIR}/leafstack
        COMPONENT program FILES_MATCHING PATTERN "gate.json")
install(FILES ${CMAKE_SOURCE_DIR}/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
foreach(ROOM params generator exporters gallery)
  install(FILES ${CMAKE_SOURCE_DIR}/${ROOM}/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR}/${ROOM}
          COMPONENT program)
endforeach()
install(FILES ${CMAKE_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright
        COMPONENT program)

set(LIBRARIES leafstack_options leafstack_params leafstack_generator leafstack_exporters)
set_target_properties(leafstack_params PROPERTIES EXPORT_NAME params)
set_target_properties(leafstack_generator PROPERTIES EXPORT_NAME generator)
set_target_properties(leafstack_exporters PROPERTIES EXPORT_NAME exporters)
set_target_properties(leafstack_options PROPERTIES EXPORT_NAME options)
install(TARGETS ${LIBRARIES} EXPORT leafstackTargets
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT dev)
set(CONFIG_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/leafstack)
install(EXPORT leafstackTargets NAMESPACE leafstack:: DESTINATION ${CONFIG_DIR} COMPONENT dev)
configure_package_config_file(exporters/packaging/leafstackConfig.cmake.in leafstackConfig.cmake
                              INSTALL_DESTINATION ${CONFIG_DIR} PATH_VARS LATE_DIR)
write_basic_package_version_file(leafstackConfigVersion.cmake COMPATIBILITY SameMajorVersion)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/leafstackConfig.cmake
        ${CMAKE_CURRENT_BINARY_DIR}/leafstackConfigVersion.cmake
        DESTINATION ${CONFIG_DIR} COMPONENT dev)
foreach(FOLDER params generator exporters)
  install(DIRECTORY ${CMAKE_SOURCE_DIR}/${FOLDER} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/leafstack
          COMPONENT dev FILES_MATCHING PATTERN "*.h")
endforeach()
install(FILES ${CMAKE_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR}-dev RENAME copyright
        COMPONENT dev)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME leafstack)
set(CPACK_PACKAGE_VENDOR leafstack)
set(CPACK_PACKAGE_CONTACT "leafstack maintainers <maintainers@leafstack.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "solid models of telescopic sliding gates")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program dev)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME leafstack)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
# The drawings' letters; what else the program needs is read from it.
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_DEBIAN_DEV_PACKAGE_NAME leafstack-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
string(JOIN ", " CPACK_DEBIAN_DEV_PACKAGE_DEPENDS libocct-foundation-dev libocct-modeling-data-dev
       libocct-modeling-algorithms-dev libocct-ocaf-dev libocct-data-exchange-dev libtbb-dev
       nlohmann-json3-dev libutfcpp-dev libzip-dev libssl-dev coinor-libcbc-dev libcairo2-dev
       libpolyclipping-dev libpugixml-dev)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
    "Lays out, models and checks telescopic sliding driveway gates, and writes\n\
 CAD files, cut lists, drawings and a report.")
set(CPACK_COMPONENT_DEV_DESCRIPTION "Libraries and headers of leafstack, for find_package(leafstack).")
include(CPack)
