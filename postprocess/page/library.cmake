# The library of the turning view in report.html: twgl.js, pinned in postprocess/page/package-lock.json with the SHA-512 of its
# package, which npm checks, and here with the SHA-512 of the one file that is used. STILLBOX_VIEW_LIBRARY names a copy
# of that file where npm is not to be asked (LICENSE.md lies beside it, or two folders up as in the package). Without it
# the build works all the same, and reports have pictures only and say so. Sets view_library and view_licence, paths or
# empty.
set(STILLBOX_VIEW_LIBRARY "" CACHE FILEPATH "a copy of dist/7.x/twgl.js of twgl.js 7.0.0; empty: from npm")
option(STILLBOX_ASK_NPM "Ask npm for the library of the turning view" ON)
set(view_library_sha512
  12bb1a404e318b1548f99483aa958eef3fd19a6f0fb63bd4b681eabd2ba0cc8de82a3ffa443a007ee5ec0df252ad4b2d7a9d20acda921f2545bed5807d91c27d)
set(view_folder ${CMAKE_BINARY_DIR}/page)
set(view_library "")
set(view_licence "")

function(find_view_library file licence)
  if(NOT EXISTS ${file} OR NOT EXISTS ${licence})
    return()
  endif()
  file(SHA512 ${file} found)
  if(NOT found STREQUAL view_library_sha512)
    message(WARNING "${file} is not the file that is expected (SHA-512); reports will have pictures only")
    return()
  endif()
  set(view_library ${file} PARENT_SCOPE)
  set(view_licence ${licence} PARENT_SCOPE)
endfunction()

if(STILLBOX_VIEW_LIBRARY)
  get_filename_component(beside ${STILLBOX_VIEW_LIBRARY} DIRECTORY)
  if(NOT EXISTS ${beside}/LICENSE.md)
    get_filename_component(beside ${beside}/../.. ABSOLUTE)  # as the package has them
  endif()
  find_view_library(${STILLBOX_VIEW_LIBRARY} ${beside}/LICENSE.md)
else()
  set(package ${view_folder}/node_modules/twgl.js)
  find_program(NPM_PROGRAM npm)
  if(STILLBOX_ASK_NPM AND NPM_PROGRAM AND NOT EXISTS ${package}/dist/7.x/twgl.js)
    file(COPY postprocess/page/package.json postprocess/page/package-lock.json DESTINATION ${view_folder})
    execute_process(COMMAND ${NPM_PROGRAM} ci --ignore-scripts --no-audit --no-fund --fetch-retries=1
      WORKING_DIRECTORY ${view_folder} TIMEOUT 120 RESULT_VARIABLE npm_failed OUTPUT_VARIABLE npm_words
      ERROR_VARIABLE npm_words)
    if(npm_failed)
      message(STATUS "npm did not bring twgl.js: ${npm_words}")
    endif()
  endif()
  find_view_library(${package}/dist/7.x/twgl.js ${package}/LICENSE.md)
endif()
if(view_library)
  message(STATUS "Turning view in reports: ${view_library}")
else()
  message(STATUS "Turning view in reports: left out, as twgl.js is not there (npm, or STILLBOX_VIEW_LIBRARY)")
endif()

# What the page is made of, as text in one source: postprocess/page/page.css, postprocess/page/view.js, the library and its licence.
function(read_as_literal file result)
  set(text "")
  if(file)
    file(READ ${file} text)
    string(REGEX REPLACE "\n//# sourceMappingURL=[^\n]*" "" text "${text}")
  endif()
  set(${result} "R\"stillbox(${text})stillbox\"" PARENT_SCOPE)
endfunction()
read_as_literal(${CMAKE_SOURCE_DIR}/postprocess/page/page.css page_style)
read_as_literal(${CMAKE_SOURCE_DIR}/postprocess/page/view.js view_script)
read_as_literal("${view_library}" view_library_text)
read_as_literal("${view_licence}" view_licence_text)
configure_file(postprocess/page/page_files.cpp.in ${CMAKE_BINARY_DIR}/page_files.cpp @ONLY)
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS
  postprocess/page/page.css postprocess/page/view.js postprocess/page/package.json postprocess/page/package-lock.json)
