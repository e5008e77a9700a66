# SPDX-License-Identifier: MIT
"""Includes point down only: reads every #include under lib, cli and bindings and says which do not.

usage: floors.py PROJECT | --self-check
"""
import pathlib
import re
import sys
import tempfile

# From the ground up; a floor may include itself and what stands lower.
FLOORS = ["error", "quantities", "text", "chemistry tables", "formula", "batch", "judgement", "dosing",
          "reading", "answer", "report", "cli bindings"]
LEVEL = {floor: level for level, floors in enumerate(FLOORS) for floor in floors.split()}
APART = {("chemistry", "text"), ("quantities", "error")}
# Heavy headers stay behind their door: where each may be included, by path.
DOORS = {
    r"pybind11/|Python\.h": r"bindings/",
    r"doctest/": r"tests/",
    r"nlohmann/": r".*\.cpp",
    r"CLI/": r"cli/.*\.cpp",
    r"boost/units/": r"lib/include/counterion/quantities\.hpp",
    r"boost/spirit/": r"lib/src/.*\.cpp",
    r"fmt/": r"lib/src/|cli/|bindings/",
    r"xsimd/": r"lib/src/chemistry/lane_mixture\.hpp",
}
INCLUDE = re.compile(r'^\s*#\s*include\s*[<"]([^>"]+)[>"]', re.MULTILINE)


def floor_of(path):
    """The floor that a file stands on, from its path inside the project."""
    parts = pathlib.PurePosixPath(path).parts
    if parts[0] != "lib":
        return parts[0]
    return parts[2 if parts[1] == "src" else 3].removesuffix(".hpp")


def faults_of(path, text):
    """One line for every include of this file that breaks a rule."""
    own = floor_of(path)
    for header in INCLUDE.findall(text):
        if own not in LEVEL:
            yield f"{path}: no floor is called '{own}'"
        elif header.startswith("counterion/"):
            other = header.split("/")[1].removesuffix(".hpp")
            if other not in LEVEL:
                yield f"{path}: includes {header}, and no floor is called '{other}'"
            elif (own, other) in APART or other != own and LEVEL[other] >= LEVEL[own]:
                yield f"{path}: '{own}' includes {header}, which does not lie below it"
        elif ".." in header.split("/"):
            yield f"{path}: includes {header}, a way round the floors"
        for heavy, door in DOORS.items():
            if re.match(heavy, header) and not re.match(door, path):
                yield f"{path}: includes {header}, which belongs in {door}"


def faults_under(project):
    for top in ("lib", "cli", "bindings"):
        for file in sorted((project / top).rglob("*.[ch]pp")):
            yield from faults_of(file.relative_to(project).as_posix(), file.read_text(encoding="utf-8"))


PLANTED = {
    "lib/include/counterion/chemistry/a.hpp": "#include <counterion/tables/rows.hpp>",
    "lib/include/counterion/chemistry/b.hpp": "#include <counterion/text/csv.hpp>",
    "lib/src/tables/a.cpp": "#include <counterion/chemistry/solution.hpp>",
    "lib/src/batch/a.cpp": "  #  include <counterion/answer/check.hpp>",
    "lib/src/batch/b.cpp": '#include "../answer/words.hpp"',
    "lib/src/answer/a.cpp": "#include <pybind11/pybind11.h>",
    "lib/include/counterion/report/a.hpp": "#include <nlohmann/json.hpp>",
    "lib/include/counterion/batch/a.hpp": "#include <boost/units/quantity.hpp>",
    "lib/include/counterion/attic/a.hpp": "#include <vector>",
    "lib/include/counterion/error.hpp": "#include <fmt/format.h>",
}
SOUND = {
    "lib/include/counterion/quantities.hpp": "#include <boost/units/quantity.hpp>",
    "lib/src/tables/b.cpp": "#include <counterion/text/csv.hpp>\n#include \"binder.hpp\"",
    "lib/src/report/b.cpp": "#include <nlohmann/json.hpp>\n#include <counterion/answer/check.hpp>",
    "bindings/module.cpp": "#include <pybind11/pybind11.h>\n#include <counterion/answer/check.hpp>",
}


def self_check():
    with tempfile.TemporaryDirectory() as folder:
        project = pathlib.Path(folder)
        for path, text in {**PLANTED, **SOUND}.items():
            (project / path).parent.mkdir(parents=True, exist_ok=True)
            (project / path).write_text(text, encoding="utf-8")
        found = [fault.split(":")[0] for fault in faults_under(project)]
    assert sorted(found) == sorted(PLANTED), found


if __name__ == "__main__":
    if sys.argv[1] == "--self-check":
        sys.exit(self_check())
    faults = list(faults_under(pathlib.Path(sys.argv[1])))
    print("\n".join(faults))
    sys.exit(1 if faults else 0)
