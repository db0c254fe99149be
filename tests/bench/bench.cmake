# One executable per *_bench.cpp (Google Benchmark), and the generator of inputs for whole commands.
find_package(benchmark REQUIRED)
file(GLOB bench_sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/*_bench.cpp)
foreach(source IN LISTS bench_sources)
  get_filename_component(name ${source} NAME_WE)
  add_executable(${name} ${source})
  target_link_libraries(${name} PRIVATE gaugeloom_io gaugeloom_test_support gaugeloom_dev_flags
    benchmark::benchmark benchmark::benchmark_main fmt::fmt)
endforeach()
add_executable(make_input ${CMAKE_CURRENT_LIST_DIR}/make_input.cpp)
target_link_libraries(make_input PRIVATE gaugeloom gaugeloom_dev_flags fmt::fmt)
add_executable(check_synthetic ${CMAKE_CURRENT_LIST_DIR}/check_synthetic.cpp)
target_link_libraries(check_synthetic PRIVATE gaugeloom gaugeloom_test_support gaugeloom_dev_flags)
