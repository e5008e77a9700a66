# SPDX-License-Identifier: MIT
"""Times the compiler on the umbrella header of the chemistry and on what it is held against.

usage: compile_time.py COMPILER INCLUDE-DIRECTORY OUTPUT.json
"""
import json
import math
import pathlib
import subprocess
import sys
import tempfile
import time

STANDARD = ["algorithm", "cmath", "map", "memory", "optional", "span", "string", "variant", "vector"]
UNITS = {
    "umbrella": ["counterion/chemistry.hpp"],
    "units": ["boost/units/systems/si.hpp", *STANDARD],
}
REPETITIONS = 5


def seconds(command, headers):
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder) / "unit.cpp"
        source.write_text("".join(f"#include <{header}>\n" for header in headers), encoding="utf-8")
        start = time.perf_counter()
        subprocess.run([*command, "-o", source.with_suffix(".o"), source], check=True)
        return time.perf_counter() - start


if __name__ == "__main__":
    compiler, include, output = sys.argv[1:]
    command = [compiler, "-std=c++20", "-O2", "-c", "-I", include]
    best = dict.fromkeys(UNITS, math.inf)
    for _ in range(REPETITIONS):
        for name, headers in UNITS.items():  # in turn, so that a busy moment meets both
            best[name] = min(best[name], seconds(command, headers))
    pathlib.Path(output).write_text(json.dumps(best, indent=1), encoding="utf-8")
