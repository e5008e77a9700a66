# SPDX-License-Identifier: MIT
"""How long a program takes from its start to its end, beside one that does nothing.

usage: start_time.py PROGRAM OUTPUT.JSON
"""
import json
import pathlib
import statistics
import subprocess
import sys
import time

ROUNDS, RUNS = 5, 100


def seconds(program):
    begin = time.perf_counter()
    subprocess.run([program], stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - begin


def measure(programs):
    """The least of the rounds' medians for each program; they take turns."""
    medians = {program: [] for program in programs}
    for _ in range(ROUNDS):
        times = {program: [] for program in programs}
        for _ in range(RUNS):
            for program in programs:
                times[program].append(seconds(program))
        for program in programs:
            medians[program].append(statistics.median(times[program]))
    return {program: min(of_rounds) for program, of_rounds in medians.items()}


if __name__ == "__main__":
    nothing, own = "/bin/true", sys.argv[1]
    found = measure([nothing, own])
    pathlib.Path(sys.argv[2]).write_text(json.dumps({"nothing": found[nothing], "one_lookup": found[own]}),
                                         encoding="utf-8")
