# SPDX-License-Identifier: MIT
# cmake -D BUILD=… -D PREFIX=… -D VERSION=… -P install.cmake: installs into an empty folder, looks at what
# came, and runs the command from there.
file(REMOVE_RECURSE ${PREFIX})
execute_process(COMMAND ${CMAKE_COMMAND} --install ${BUILD} --prefix ${PREFIX}
  OUTPUT_QUIET COMMAND_ERROR_IS_FATAL ANY)
foreach(file IN ITEMS
    include/counterion/error.hpp
    share/counterion/schemas/check.schema.json
    share/counterion/schemas/explanation.schema.json
    share/counterion/reference-tables/datapackage.json
    share/counterion/reference-tables/sources.csv
    share/counterion/reference-tables/LICENSE
    share/doc/counterion/LICENSE)
  if(NOT EXISTS ${PREFIX}/${file})
    message(SEND_ERROR "not installed: ${file}")
  endif()
endforeach()
execute_process(COMMAND ${PREFIX}/bin/counterion --version
  OUTPUT_VARIABLE said COMMAND_ERROR_IS_FATAL ANY)
if(NOT said MATCHES "${VERSION}")
  message(SEND_ERROR "the installed command calls itself '${said}', not ${VERSION}")
endif()
