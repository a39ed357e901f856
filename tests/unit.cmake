# Unit tests: included by CMakeLists.txt when cmocka is there.
file(GLOB support CONFIGURE_DEPENDS unit/support/*.c)
add_library(test_support STATIC ${support})
target_include_directories(test_support PUBLIC unit/support)
target_link_libraries(test_support PUBLIC taperwright_static PkgConfig::CMOCKA PkgConfig::PNG
    PkgConfig::ZLIB)

# gold links a program in half the time; there are over a hundred of them.
include(CheckLinkerFlag)
check_linker_flag(C -fuse-ld=gold GOLD_LINKS)
if(GOLD_LINKS)
    add_link_options(-fuse-ld=gold)
endif()

file(GLOB programs CONFIGURE_DEPENDS unit/*/test_*.c)
foreach(program IN LISTS programs)
    get_filename_component(folder ${program} DIRECTORY)
    get_filename_component(room ${folder} NAME)
    get_filename_component(name ${program} NAME_WE)
    set(target ${room}_${name})
    add_executable(${target} ${program})
    target_include_directories(${target} PRIVATE ${CMAKE_SOURCE_DIR}/src)
    target_compile_definitions(${target} PRIVATE TW_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
    target_link_libraries(${target} PRIVATE test_support)
    if(name MATCHES "_memory$") # requests for memory fail when support/allocation.h says so
        target_link_options(${target} PRIVATE
            -Wl,--wrap=malloc -Wl,--wrap=calloc -Wl,--wrap=realloc)
    elseif(name MATCHES "_system$") # calls to the system fail when support/system_calls.h says so
        foreach(call IN ITEMS open read write fsync close rename ftruncate fcntl fstat fchmod linkat
                pread)
            target_link_options(${target} PRIVATE -Wl,--wrap=${call})
        endforeach()
    endif()
    if(room STREQUAL draw) # its inside speaks cairo and pango
        target_link_libraries(${target} PRIVATE PkgConfig::CAIRO PkgConfig::PANGO)
    endif()
    add_test(NAME ${room}/${name} COMMAND ${target} WORKING_DIRECTORY ${CMAKE_SOURCE_DIR})
    set_tests_properties(${room}/${name} PROPERTIES TIMEOUT 300
        ENVIRONMENT LSAN_OPTIONS=print_suppressions=0:suppressions=${CMAKE_CURRENT_SOURCE_DIR}/cli/outside-leaks)
endforeach()
