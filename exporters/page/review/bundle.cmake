# Sets REVIEW_BUNDLE to a source file that holds the review page's template, style and scripts.
# npm installs three.js and esbuild into the build folder as package-lock.json says, once; the
# bundle is the same bytes from the same sources.
find_program(NPM_PROGRAM npm)
if(NOT NPM_PROGRAM)
  message(FATAL_ERROR "npm not found: the review page is bundled with it (packages.sh installs it)")
endif()

set(REVIEW_SOURCE ${CMAKE_CURRENT_SOURCE_DIR}/page/review)
set(REVIEW_BUILD ${CMAKE_CURRENT_BINARY_DIR}/review)
file(GLOB_RECURSE REVIEW_MODULES CONFIGURE_DEPENDS ${REVIEW_SOURCE}/*.js)

set(REVIEW_LOCK ${REVIEW_BUILD}/node_modules/.package-lock.json)
add_custom_command(
  OUTPUT ${REVIEW_LOCK} ${REVIEW_BUILD}/node_modules/three/LICENSE
  COMMAND ${CMAKE_COMMAND} -E copy ${REVIEW_SOURCE}/package.json ${REVIEW_SOURCE}/package-lock.json
          ${REVIEW_BUILD}
  COMMAND ${NPM_PROGRAM} ci --prefix ${REVIEW_BUILD} --ignore-scripts --no-audit --no-fund
          --loglevel=error
  COMMAND ${CMAKE_COMMAND} -E touch ${REVIEW_LOCK} ${REVIEW_BUILD}/node_modules/three/LICENSE
  DEPENDS ${REVIEW_SOURCE}/package.json ${REVIEW_SOURCE}/package-lock.json
  COMMENT "Installing what the review page is bundled from"
  VERBATIM)
# NODE_PATH: the modules stand outside of the folder the packages are in.
add_custom_command(
  OUTPUT ${REVIEW_BUILD}/bundle.js
  COMMAND ${CMAKE_COMMAND} -E env NODE_PATH=${REVIEW_BUILD}/node_modules
          ${REVIEW_BUILD}/node_modules/.bin/esbuild ${REVIEW_SOURCE}/main.js --bundle --minify
          --format=iife --target=es2020 --charset=utf8 --legal-comments=inline --log-level=warning
          --outfile=${REVIEW_BUILD}/bundle.js
  DEPENDS ${REVIEW_MODULES} ${REVIEW_LOCK}
  COMMENT "Bundling the review page"
  VERBATIM)

set(REVIEW_BUNDLE ${CMAKE_CURRENT_BINARY_DIR}/review_bundle.cpp)
configure_file(${REVIEW_SOURCE}/bundle.cpp.in ${REVIEW_BUNDLE} @ONLY)
# By itself: what an object of several sources is made from, it does not depend on.
set_source_files_properties(${REVIEW_BUNDLE} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON OBJECT_DEPENDS
  "${REVIEW_BUILD}/bundle.js;${REVIEW_BUILD}/node_modules/three/LICENSE;${REVIEW_SOURCE}/page.html;${REVIEW_SOURCE}/style.css")
