# The page for people in Debian's Chromium, headless. Selenium is a package of the system's own Python.
find_program(SYSTEM_PYTHON python3 PATHS /usr/bin NO_DEFAULT_PATH)
if(NOT SYSTEM_PYTHON)
  set(SYSTEM_PYTHON Python3::Interpreter)
endif()
add_test(NAME browser.page
         COMMAND ${SYSTEM_PYTHON} ${CMAKE_CURRENT_SOURCE_DIR}/browser/run.py $<TARGET_FILE:gaugeloom_tool> ${PROJECT_BINARY_DIR}/browser)
set_tests_properties(browser.page PROPERTIES LABELS browser SKIP_RETURN_CODE 77 TIMEOUT 1200)
