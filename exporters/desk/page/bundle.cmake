# Sets DESK_BUNDLE to a source file that holds the desk's page. Its scripts share the viewer's
# modules with the review page, whose bundle.cmake installs what both are bundled from.
set(DESK_SOURCE ${CMAKE_CURRENT_SOURCE_DIR}/desk/page)
file(GLOB_RECURSE DESK_MODULES CONFIGURE_DEPENDS ${DESK_SOURCE}/*.js)
add_custom_command(
  OUTPUT ${REVIEW_BUILD}/desk.js
  COMMAND ${CMAKE_COMMAND} -E env NODE_PATH=${REVIEW_BUILD}/node_modules
          ${REVIEW_BUILD}/node_modules/.bin/esbuild ${DESK_SOURCE}/main.js --bundle --minify
          --format=iife --target=es2020 --charset=utf8 --legal-comments=inline --log-level=warning
          --outfile=${REVIEW_BUILD}/desk.js
  DEPENDS ${DESK_MODULES} ${REVIEW_MODULES} ${REVIEW_LOCK}
  COMMENT "Bundling the desk's page"
  VERBATIM)

set(DESK_BUNDLE ${CMAKE_CURRENT_BINARY_DIR}/desk_bundle.cpp)
configure_file(${DESK_SOURCE}/bundle.cpp.in ${DESK_BUNDLE} @ONLY)
# By itself: what an object of several sources is made from, it does not depend on.
set_source_files_properties(${DESK_BUNDLE} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON OBJECT_DEPENDS
  "${REVIEW_BUILD}/desk.js;${DESK_SOURCE}/page.html;${DESK_SOURCE}/site_sheet.html;${DESK_SOURCE}/style.css")
