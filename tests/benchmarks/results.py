# SPDX-License-Identifier: MIT
"""What a run of the benchmarks left in its folder; in every number the least of all rounds counts."""
import json
import math


def load(folder, pattern):
    return [json.loads(file.read_text(encoding="utf-8")) for file in sorted(folder.glob(pattern))]


class Run:
    """Times in seconds: `own` by name of the benchmark, `compiling` by unit, `starting` by program, those of `peers` in their rows."""

    def __init__(self, folder):
        files = load(folder, "own-*.json")
        self.context, self.rounds = files[0]["context"], len(files)
        self.own, self.rows = {}, {}
        for row in (row for file in files for row in file["benchmarks"] if row["run_type"] == "iteration"):
            name, time = row["run_name"], row["real_time"] * 1e-9
            self.own[name] = min(time, self.own.get(name, math.inf))
            self.rows[name] = row
        self.peers = {}
        for peer in (peer for file in load(folder, "peers-*.json") for peer in file):
            known = self.peers.setdefault(peer["key"], peer)
            known["seconds"] = min(known["seconds"], peer["seconds"])
        self.compiling = load(folder, "compile_time.json")[0]
        self.starting = load(folder, "start_time.json")[0]

    def series(self, name):
        """(argument, seconds) of a benchmark that was asked for several arguments, in rising order."""
        named = (key.split("/") + [time] for key, time in self.own.items() if key.startswith(name + "/"))
        return sorted((int(argument), time) for _, argument, time in named)


def steepest(series):
    """The largest p for which a time grows as n^p from one n to another at least four times as large.

    Neighbours that lie nearer may differ by a pass of the solver.
    """
    return max(math.log(t / s) / math.log(n / m) for m, s in series for n, t in series if n >= 4 * m)
