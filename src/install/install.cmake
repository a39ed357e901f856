# What `cmake --install` puts where: program, manual and completions (component program); shared library
# (runtime); headers, static library, CMake package, pkg-config file (development).
include(CMakePackageConfigHelpers)
set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/taperwright)
configure_package_config_file(src/install/taperwrightConfig.cmake.in taperwrightConfig.cmake
    INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(taperwrightConfigVersion.cmake COMPATIBILITY SameMajorVersion)
# The .pc file finds its prefix from its own place, so that `cmake --install --prefix` moves it too.
file(RELATIVE_PATH PC_TO_PREFIX
    ${CMAKE_INSTALL_FULL_LIBDIR}/pkgconfig ${CMAKE_INSTALL_PREFIX})
configure_file(src/install/taperwright.pc.in taperwright.pc @ONLY)
install(TARGETS taperwright_static taperwright_shared EXPORT taperwrightTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development
    LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT runtime
    NAMELINK_COMPONENT development)
install(EXPORT taperwrightTargets NAMESPACE taperwright:: DESTINATION ${package_dir}
    COMPONENT development)
install(DIRECTORY include/taperwright DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
    COMPONENT development)
install(FILES ${CMAKE_BINARY_DIR}/taperwrightConfig.cmake
    ${CMAKE_BINARY_DIR}/taperwrightConfigVersion.cmake DESTINATION ${package_dir}
    COMPONENT development)
install(FILES ${CMAKE_BINARY_DIR}/taperwright.pc
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)

find_program(GZIP_PROGRAM gzip REQUIRED)
if(NOT TARGET taperwright_program)
    return()
endif()
set(manual ${CMAKE_BINARY_DIR}/manual)
set(completions ${CMAKE_BINARY_DIR}/completion)
set(made ${manual}.made)
set(print_completions)
foreach(shell bash zsh fish)
    list(APPEND made ${completions}/taperwright.${shell})
    list(APPEND print_completions
        COMMAND taperwright_program manual --completion ${shell}
            > ${completions}/taperwright.${shell})
endforeach()
add_custom_command(OUTPUT ${made}
    COMMAND ${CMAKE_COMMAND} -E rm -rf ${manual}
    COMMAND ${CMAKE_COMMAND} -E make_directory ${manual} ${completions}
    COMMAND taperwright_program manual --pages ${manual}
    COMMAND ${GZIP_PROGRAM} -9nr ${manual}
    ${print_completions}
    COMMAND ${CMAKE_COMMAND} -E touch ${manual}.made
    DEPENDS taperwright_program VERBATIM
    COMMENT "manual pages and completions from the command table")
add_custom_target(taperwright_manual ALL DEPENDS ${made})
install(TARGETS taperwright_program RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
foreach(section 1 5)
    install(DIRECTORY ${manual}/ DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section} COMPONENT program
        FILES_MATCHING PATTERN "*.${section}.gz")
endforeach()
# Where each shell looks, under any prefix that is on XDG_DATA_DIRS (zsh: on its fpath).
install(FILES ${completions}/taperwright.bash RENAME taperwright
    DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT program)
install(FILES ${completions}/taperwright.zsh RENAME _taperwright
    DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT program)
install(FILES ${completions}/taperwright.fish
    DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
