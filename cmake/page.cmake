# What the page for people carries in itself: our styles and scripts, joined into one of each, and the
# libraries beside them with their notices, from Debian.
include(${PROJECT_SOURCE_DIR}/src/report/page/page.cmake)

function(gaugeloom_find_page_file variable package file)
  find_file(${variable} ${file} PATHS /usr/share NO_DEFAULT_PATH)
  if(NOT ${variable})
    message(FATAL_ERROR "${file} is not in /usr/share; install the Debian package ${package}")
  endif()
endfunction()
gaugeloom_find_page_file(LEAFLET_SCRIPT libjs-leaflet javascript/leaflet/leaflet.min.js)
gaugeloom_find_page_file(LEAFLET_STYLE libjs-leaflet javascript/leaflet/leaflet.css)
gaugeloom_find_page_file(LEAFLET_NOTICE libjs-leaflet doc/libjs-leaflet/copyright)
gaugeloom_find_page_file(DYGRAPHS_SCRIPT libjs-dygraphs javascript/dygraphs/dygraph.min.js)
gaugeloom_find_page_file(DYGRAPHS_STYLE libjs-dygraphs javascript/dygraphs/dygraph.min.css)
gaugeloom_find_page_file(DYGRAPHS_NOTICE libjs-dygraphs doc/libjs-dygraphs/copyright)

# Joins files of this folder into one of the build, and names it in `variable`.
function(gaugeloom_join variable name)
  list(TRANSFORM ARGN PREPEND ${CMAKE_CURRENT_SOURCE_DIR}/src/report/page/)
  set(joined ${PROJECT_BINARY_DIR}/generated/${name})
  add_custom_command(OUTPUT ${joined} DEPENDS ${ARGN} COMMAND ${CMAKE_COMMAND} -E cat ${ARGN} > ${joined}
                     COMMENT "Joining ${name}" VERBATIM)
  set(${variable} ${joined} PARENT_SCOPE)
endfunction()
gaugeloom_join(PAGE_STYLE page.css ${GAUGELOOM_PAGE_STYLES})
gaugeloom_join(PAGE_SCRIPT page.js ${GAUGELOOM_PAGE_SCRIPTS})

set(page_files LEAFLET_SCRIPT LEAFLET_STYLE LEAFLET_NOTICE DYGRAPHS_SCRIPT DYGRAPHS_STYLE DYGRAPHS_NOTICE
    PAGE_STYLE PAGE_SCRIPT)
set(page_paths)
set(page_definitions)
foreach(file IN LISTS page_files)
  list(APPEND page_paths ${${file}})
  list(APPEND page_definitions "GAUGELOOM_${file}=\"${${file}}\"")
endforeach()
set_source_files_properties(src/report/page_files.cpp PROPERTIES OBJECT_DEPENDS "${page_paths}"
  COMPILE_DEFINITIONS "${page_definitions}")
