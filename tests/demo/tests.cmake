# make_demo FOLDER writes the files of data/velsarn again; io.DemoBasin tests compare them.
add_executable(make_demo demo/make_demo.cpp)
target_link_libraries(make_demo PRIVATE gaugeloom_test_support gaugeloom_dev_flags)
