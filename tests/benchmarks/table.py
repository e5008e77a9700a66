# SPDX-License-Identifier: MIT
"""One report in Markdown from what a run measured.

usage: table.py BUILD-FOLDER [README]      with a README, the report replaces the one that it has
"""
import math
import pathlib
import re
import sys

from results import Run, steepest


def figures(value, count=2):
    """A number to so many figures, without an exponent."""
    decimals = count - 1 - math.floor(math.log10(value)) if value > 0 else 0
    return spaced(f"{round(value, decimals):,.{max(0, decimals)}f}")


def spaced(text):
    return text.replace(",", "\N{NO-BREAK SPACE}")


def micro(seconds):
    return figures(seconds * 1e6, 3)


def table(heads, rows):
    """A table whose first column is text and whose others are numbers."""
    rule = ["---"] + ["--:"] * (len(heads) - 1)
    return "\n".join("| " + " | ".join(map(str, row)) + " |" for row in [heads, rule, *rows])


def target(label, asked, limit, reached, unit=""):
    """A row of what was asked, `asked` being the comparison, and what was reached."""
    met = reached >= limit if asked == "≥" else reached <= limit
    return label, spaced(f"{asked} {limit:,}{unit}"), figures(reached, 3) + unit + ("" if met else ", missed")


def processor():
    text = pathlib.Path("/proc/cpuinfo").read_text(encoding="utf-8")
    found = re.search(r"model name\s*: (.*)", text)
    return found[1] if found else "an unnamed processor"


def head(run):
    of = run.context
    turns = ", in which the other programs took turns with counterion" if run.peers else ""
    return (f"{processor()}, lanes: {of['lanes']}; {of['compiler']}, C++20, `{of['flags']}`; one thread. "
            f"The shortest time counts, of {run.rounds} rounds{turns}.")


def engines(run):
    pH, solve = run.rows["six_acids_solve"]["pH"], run.own["six_acids_solve"]
    rows = [("counterion, ready to solve", "davies", pH, solve),
            ("counterion, a whole `Solution`", "davies", pH, run.own["six_acids_solution"])]
    rows += [(peer["name"], peer["model"], peer["pH"], peer["seconds"]) for peer in run.peers.values()]
    return table(("six acids and sodium, 25 °C", "activity", "pH", "µs a solve", "ratio"),
                 [(name, model.title(), f"{pH:.8f}", micro(time), figures(time / solve))
                  for name, model, pH, time in rows])


def notes(run):
    if not run.peers:
        return []
    return ["PHREEQC solves many solutions in one run, its start taken off; its time includes reading each one's text, "
            "as that of a whole `Solution` includes checking it and all that is asked of it later."]


def targets_against_peers(run):
    if not run.peers:
        return []
    ratio = {key: peer["seconds"] / run.own["six_acids_solve"] for key, peer in run.peers.items()}
    return [
        target("solve: how much longer PHREEQC takes", "≥", 80, ratio["engine"], " ×"),
        target("solve: SciPy, the faster of two", "≥", 300, min(ratio["nested"], ratio["at-once"]), " ×"),
        target("solve: pHcalc", "≥", 3000, ratio["ph-package"], " ×"),
    ]


def targets_within(run):
    own, lanes, solve = run.own, run.context["lanes"].lower(), run.own["six_acids_solve"]
    numbers = run.rows["gel_cream_samples/4096"]["numbers"]
    return [
        target("lanes: how much longer a solve takes alone, from pH 7, than as one of 4096 variants within ± 10 %,"
               " from the pattern's pH", "≥", 3 if "512" in lanes else 2,
               solve / (own["lanes_of_six_acids/10"] / 4096), " ×"),
        target("the same, within ± 90 %", "≥", 3 if "512" in lanes else 2,
               solve / (own["lanes_of_six_acids/90"] / 4096), " ×"),
        target("titration curve of 200 points, pH 2 to 12",
               "≤", 35 if "avx" in lanes else 100, own["titration_curve_of_200_points"] / solve, " solves"),
        target(f"gel cream of 20 ingredients, {numbers:.0f} uncertain numbers: 4096 samples, drawn and solved",
               "≤", 1500, own["gel_cream_samples/4096"] / own["gel_cream_solve"], " solves"),
        target("1 to 40 protolytes: time grows as n to the power of",
               "≤", 1.1, steepest(run.series("protolytes_solve"))),
        target("1 to a million variants: time grows as n to the power of",
               "≤", 1.1, steepest(run.series("variants_of_six_acids"))),
        target("a million variants: memory beyond the caller's arrays (a hundred thousand: "
               f"{run.context['memory_kB/100000']} kB)",
               "≤", 1000, int(run.context["memory_kB/1000000"]), " kB"),
        target("compiling `counterion/chemistry.hpp` against Boost.Units SI and nine standard headers",
               "≤", 1.6, run.compiling["umbrella"] / run.compiling["units"], " ×"),
        target("a program that looks up one name in the tables, from start to end, against `/bin/true`",
               "≤", 3, run.starting["one_lookup"] / run.starting["nothing"], " ×"),
        target("a name found in the tables", "≤", 5, own["name_found"] / solve, " solves"),
        target("check of a cream of 25 ingredients, with interval and the amounts of five adjusters, without remedies",
               "≤", 200, own["check_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("its prediction, interval, window, preservation, cautions and limits alone",
               "≤", 200, own["judgement_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("a whole `adjust` of it: 4096 draws, amounts of all 85 adjusters, plan, curve, undo, measurements",
               "≤", 10000, own["adjust_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("of that the 4096 draws",
               "≤", 4096, own["draws_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("learning from two readings",
               "≤", 2000, own["calibration_by_two_readings"] / own["solve_of_25_ingredients"], " solves"),
        target("explaining a reading by some twenty hypotheses (a formula of two lines and water)",
               "≤", 20000, own["explanation_of_about_20_hypotheses"] / own["solve_of_a_short_formula"], " solves"),
        target("the same for the cream of 25 ingredients, by hundreds of them",
               "≤", 200000, own["explanation_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("the forecast of its pH over two years",
               "≤", 2000, own["forecast_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("remedies for such a cream with a conflict",
               "≤", 10000, own["remedies_of_25_ingredients"] / own["solve_of_25_ingredients"], " solves"),
        target("the pH that most of 10 000 ranges share, against sorting their edges",
               "≤", 3, own["sweep_of_10000_ranges"] / own["sort_of_20000_edges"], " ×"),
        target("the nearest names to one that nobody has", "≤", 2000, own["nearest_names"] / solve, " solves"),
    ]


def growth(run, name, what):
    series = run.series(name)
    return table((what, *(spaced(f"{n:,}") for n, _ in series)),
                 [("µs in all", *(micro(time) for _, time in series)),
                  ("µs for each", *(micro(time / n) for n, time in series))])


def report(run):
    targets = targets_against_peers(run) + targets_within(run)
    return "\n\n".join([
        head(run),
        engines(run),
        *notes(run),
        table(("measured", "asked", "reached"), targets),
        growth(run, "protolytes_solve", "protolytes"),
        growth(run, "variants_of_six_acids", "variants of six acids"),
    ])


def put_into(readme, text):
    old = readme.read_text(encoding="utf-8")
    block = re.compile(r"(<!-- benchmark -->\n).*?(<!-- /benchmark -->)", re.DOTALL)
    if not block.search(old):
        sys.exit(f"{readme} has no lines <!-- benchmark --> and <!-- /benchmark -->")
    readme.write_text(block.sub(lambda found: f"{found[1]}{text}\n{found[2]}", old), encoding="utf-8")


if __name__ == "__main__":
    whole = report(Run(pathlib.Path(sys.argv[1])))
    print(whole)
    if len(sys.argv) > 2:
        put_into(pathlib.Path(sys.argv[2]), whole)
