# Each fuzzer's entry on its seed corpus, as a plain test: fuzz_corpus.<parser>.
file(GLOB fuzzer_sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/fuzz_*.cpp)
foreach(source IN LISTS fuzzer_sources)
  get_filename_component(fuzzer ${source} NAME_WE)
  string(REPLACE "fuzz_" "" parser ${fuzzer})
  add_executable(${fuzzer}_corpus ${source} ${CMAKE_CURRENT_LIST_DIR}/corpus_main.cpp)
  target_link_libraries(${fuzzer}_corpus PRIVATE gaugeloom gaugeloom_io gaugeloom_dev_flags GDAL::GDAL)
  add_test(NAME fuzz_corpus.${parser}
           COMMAND ${fuzzer}_corpus ${CMAKE_CURRENT_LIST_DIR}/corpus/${parser})
  set_tests_properties(fuzz_corpus.${parser} PROPERTIES LABELS fuzz TIMEOUT 120)
endforeach()
