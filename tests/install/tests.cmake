# An outside project finds the installed package, links it and runs.
add_test(NAME install.find_package COMMAND ${CMAKE_COMMAND}
  -DBUILD=${PROJECT_BINARY_DIR} -DCONSUMER=${CMAKE_CURRENT_LIST_DIR}/consumer
  -DWORK=${PROJECT_BINARY_DIR}/install_test -DCOMPILER=${CMAKE_CXX_COMPILER}
  -P ${CMAKE_CURRENT_LIST_DIR}/find_package.cmake)
set_tests_properties(install.find_package PROPERTIES LABELS build TIMEOUT 300)
