# One libFuzzer executable per fuzz_<parser>.cpp (preset fuzz, clang).
file(GLOB fuzzer_sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/fuzz_*.cpp)
foreach(source IN LISTS fuzzer_sources)
  get_filename_component(fuzzer ${source} NAME_WE)
  add_executable(${fuzzer} ${source})
  target_link_libraries(${fuzzer} PRIVATE gaugeloom gaugeloom_io gaugeloom_dev_flags GDAL::GDAL)
  target_link_options(${fuzzer} PRIVATE -fsanitize=fuzzer,address,undefined)
endforeach()
