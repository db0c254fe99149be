# Misuse must not build. Each file is built twice: as it stands it compiles, so that a broken include
# cannot pass for a refusal; with -DMISUSE it must not.
file(GLOB misuses CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/*.cpp)
foreach(file IN LISTS misuses)
  get_filename_component(name ${file} NAME_WE)
  set(compile ${CMAKE_CXX_COMPILER} -std=c++20 -fsyntax-only -I${PROJECT_SOURCE_DIR}/include)
  add_test(NAME compile_fail.${name}.sound COMMAND ${compile} ${file})
  add_test(NAME compile_fail.${name} COMMAND ${compile} -DMISUSE ${file})
  set_tests_properties(compile_fail.${name} PROPERTIES WILL_FAIL ON)
  set_tests_properties(compile_fail.${name} compile_fail.${name}.sound PROPERTIES LABELS build)
endforeach()
