# The rules of HTML that a parser can see, on the page of the demo and of a tiny record.
foreach(case IN ITEMS velsarn tiny)
  if(case STREQUAL velsarn)
    set(options --config ${PROJECT_SOURCE_DIR}/data/velsarn/run.toml)
  else()
    set(inputs ${CMAKE_CURRENT_SOURCE_DIR}/cli/inputs/tiny)
    set(options --gauges ${inputs}/gauges.csv --rain ${inputs}/rain_gap.csv --title "Tiny <b>")
  endif()
  add_test(NAME report.page_rules.${case}
           COMMAND Python3::Interpreter ${CMAKE_CURRENT_SOURCE_DIR}/report/page_rules.py
                   $<TARGET_FILE:gaugeloom_tool> run ${options})
  set_tests_properties(report.page_rules.${case} PROPERTIES LABELS golden TIMEOUT 600)
endforeach()
