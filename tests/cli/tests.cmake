# Golden cases: one test per folder tests/cli/<command>/<case> that holds a file `args`.
find_package(Python3 REQUIRED COMPONENTS Interpreter)
file(GLOB golden_cases CONFIGURE_DEPENDS RELATIVE ${CMAKE_CURRENT_SOURCE_DIR}/cli
     ${CMAKE_CURRENT_SOURCE_DIR}/cli/*/*/args)
foreach(case_args IN LISTS golden_cases)
  get_filename_component(case ${case_args} DIRECTORY)
  string(REPLACE "/" "." case_name ${case})
  add_test(NAME cli.${case_name}
           COMMAND Python3::Interpreter ${PROJECT_SOURCE_DIR}/scripts/golden
                   --tool $<TARGET_FILE:gaugeloom_tool> ${case})
  set_tests_properties(cli.${case_name} PROPERTIES LABELS golden TIMEOUT 120)
endforeach()

foreach(command IN ITEMS check fill storms)
  add_test(NAME cli.full_disk.${command}
           COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/cli/full_disk.sh $<TARGET_FILE:gaugeloom_tool> ${command}
                   ${CMAKE_CURRENT_SOURCE_DIR}/cli/inputs/tiny/gauges.csv
                   ${CMAKE_CURRENT_SOURCE_DIR}/cli/inputs/tiny/rain_gap.csv)
  set_tests_properties(cli.full_disk.${command} PROPERTIES LABELS golden TIMEOUT 60)
endforeach()

add_test(NAME cli.endless_input
         COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/cli/endless_input.sh $<TARGET_FILE:gaugeloom_tool>
                 ${CMAKE_CURRENT_SOURCE_DIR}/cli/inputs/tiny/gauges.csv)
set_tests_properties(cli.endless_input PROPERTIES LABELS golden TIMEOUT 60)

# Same input, same bytes: for any number of threads, at every vector level, wherever the arrays lie, at any time.
foreach(part IN ITEMS threads levels memory clock)
  add_test(NAME cli.same_bytes.${part}
           COMMAND ${PROJECT_SOURCE_DIR}/scripts/same_bytes ${part} $<TARGET_FILE:gaugeloom_tool>)
  set_tests_properties(cli.same_bytes.${part} PROPERTIES LABELS golden TIMEOUT 1200
                       SKIP_RETURN_CODE 77)
endforeach()
