# SPDX-License-Identifier: MIT
"""The first line of every source file names its licence; in a script it may stand after the '#!'.

usage: spdx.py PROJECT
"""
import pathlib
import sys

TOPS = ("CMakeLists.txt", "lib", "cli", "bindings", "tests")
SUFFIXES = {".cpp", ".hpp", ".cmake", ".py", ".pyi", ".sh", ".bash"}


def sources_under(project):
    for top in TOPS:
        path = project / top
        for file in [path] if path.is_file() else sorted(path.rglob("*")):
            if file.is_file() and (file.suffix in SUFFIXES or file.name == "CMakeLists.txt"):
                yield file


def names_its_licence(file):
    lines = file.read_text(encoding="utf-8").splitlines()[:2] or [""]
    line = lines[-1] if lines[0].startswith("#!") else lines[0]
    return "SPDX-License-Identifier: " in line


if __name__ == "__main__":
    project = pathlib.Path(sys.argv[1])
    files = list(sources_under(project))
    faults = [file.relative_to(project).as_posix() for file in files if not names_its_licence(file)]
    assert len(files) > 50, files
    print("\n".join(f"{fault}: no SPDX-License-Identifier in its first line" for fault in faults))
    sys.exit(1 if faults else 0)
