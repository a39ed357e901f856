# Debian packages: `cpack -G DEB --config build/release/CPackConfig.cmake -B DIRECTORY`. Three, as a
# Debian user would look for them: the program (the library is linked into it), the shared library
# under its SONAME, and what building against it takes.
set(CPACK_PACKAGE_NAME taperwright)
set(CPACK_PACKAGE_VENDOR taperwright)
set(CPACK_PACKAGE_CONTACT "the taperwright authors <taperwright@example.org>")
set(CPACK_RESOURCE_FILE_LICENSE ${CMAKE_CURRENT_SOURCE_DIR}/LICENSE)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_GENERATOR DEB)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL program runtime development)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(library_package libtaperwright${PROJECT_VERSION_MAJOR})

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME taperwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-dejavu-core) # what its pictures are written with
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION "Models a plate on its curved face with a thickness map, weighs it with an
honest uncertainty, sets a hand-forged taper beside even sheet in pictures
on one scale, and plans where to leave metal thick.")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME ${library_package})
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_RUNTIME_DESCRIPTION "Shared library.
Thickness maps of shaped metal plate: grids on curved faces, distances on
them, mass, balance and uncertainty, plans, pictures.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libtaperwright-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
# The CMake package and `pkg-config --static` name the libraries inside the static library.
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "${library_package} (= ${PROJECT_VERSION}-1), \
libfyaml-dev, libcairo2-dev, libpango1.0-dev, libpng-dev, zlib1g-dev, libsuitesparse-dev, pkg-config")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION "What building with it takes: headers, static library, CMake package and pkg-config file.")

# Papers that Debian wants in every package.
configure_file(src/install/copyright.in copyright @ONLY)
configure_file(src/install/changelog.in changelog.debian @ONLY)
set(papers ${CMAKE_BINARY_DIR}/changelog.gz ${CMAKE_BINARY_DIR}/changelog.Debian.gz)
add_custom_command(OUTPUT ${papers}
    COMMAND ${GZIP_PROGRAM} -9nc ${CMAKE_CURRENT_SOURCE_DIR}/CHANGELOG.md > changelog.gz
    COMMAND ${GZIP_PROGRAM} -9nc changelog.debian > changelog.Debian.gz
    WORKING_DIRECTORY ${CMAKE_BINARY_DIR}
    DEPENDS CHANGELOG.md ${CMAKE_BINARY_DIR}/changelog.debian VERBATIM)
add_custom_target(taperwright_papers ALL DEPENDS ${papers})
foreach(pair program:taperwright runtime:${library_package} development:libtaperwright-dev)
    string(REPLACE ":" ";" pair ${pair})
    list(GET pair 0 component)
    list(GET pair 1 package)
    install(FILES ${CMAKE_BINARY_DIR}/copyright ${papers}
        DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${component})
endforeach()
include(CPack)
