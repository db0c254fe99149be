# Readers against a PostgreSQL of the test's own; skipped where it is not installed.
add_executable(postgis_tests io/postgis/postgis_tests.cpp)
target_link_libraries(postgis_tests PRIVATE gaugeloom_cli gaugeloom_test_support
                      gaugeloom_dev_flags GTest::gtest_main)
add_test(NAME io.postgis COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/io/postgis/with_postgis
         ${CMAKE_CURRENT_SOURCE_DIR}/io/postgis/tables.sql $<TARGET_FILE:postgis_tests>)
set_tests_properties(io.postgis PROPERTIES LABELS unit SKIP_RETURN_CODE 77 TIMEOUT 120)
