# SPDX-License-Identifier: MIT
"""Every sample's JSON fits the shipped schema and is the answer that was approved.

schema_test.py COMMAND SOURCE_DIRECTORY; COUNTERION_REGENERATE=1 writes the approved answers anew.
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import unittest

try:
    import jsonschema
except ImportError:
    jsonschema = None

COMMAND, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
SAMPLES = sorted((SOURCE / "cli" / "samples").glob("*.csv"))
FORMULAS = SOURCE / "tests" / "answers" / "formulas"
GOLDEN = SOURCE / "tests" / "answers" / "golden"
SCHEMA = json.loads((SOURCE / "lib" / "schemas" / "check.schema.json").read_text(encoding="utf-8"))


def answer(path, *options, command="check"):
    ran = subprocess.run([COMMAND, command, path.name, "--json", *options], cwd=path.parent,
                         stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
    assert ran.returncode in (0, 1), ran.returncode
    return json.loads(ran.stdout, parse_constant=lambda word: (_ for _ in ()).throw(ValueError(word)))


def without_versions(value):
    return {**value, "counterion": {key: None for key in value["counterion"]}}


def differences(a, b, path="answer"):
    """Where two answers differ; numbers may differ in the last digits that compilers differ in."""
    if isinstance(a, dict) and isinstance(b, dict):
        if list(a) != list(b):
            return [f"{path}: keys {sorted(set(a) ^ set(b))} or their order"]
        return [found for key in a for found in differences(a[key], b[key], f"{path}.{key}")]
    if isinstance(a, list) and isinstance(b, list):
        if len(a) != len(b):
            return [f"{path}: {len(a)} against {len(b)} entries"]
        return [found for i, (x, y) in enumerate(zip(a, b)) for found in differences(x, y, f"{path}[{i}]")]
    numbers = all(isinstance(x, (int, float)) and not isinstance(x, bool) for x in (a, b))
    same = math.isclose(a, b, rel_tol=1e-6, abs_tol=1e-9) if numbers else a == b
    return [] if same else [f"{path}: {a!r} against {b!r}"]


class Answers(unittest.TestCase):
    @unittest.skipIf(jsonschema is None, "python3-jsonschema is not installed")
    def test_the_schema_is_a_schema(self):
        jsonschema.Draft202012Validator.check_schema(SCHEMA)

    @unittest.skipIf(jsonschema is None, "python3-jsonschema is not installed")
    def test_every_answer_fits_the_schema(self):
        validator = jsonschema.Draft202012Validator(SCHEMA)
        cases = [(path, options) for path in SAMPLES
                 for options in ((), ("--target", "5.2"), ("--target", "9", "--batch", "3 kg"))]
        cases += [(FORMULAS / "unlisted.csv", ("--allow-unlisted",)), (FORMULAS / "over-the-limit.csv", ())]
        for path, options in cases:
            with self.subTest(path=path.name, options=options):
                faults = [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(answer(path, *options))]
                self.assertEqual(faults, [])

    @unittest.skipIf(jsonschema is None, "python3-jsonschema is not installed")
    def test_every_answer_about_a_batch_fits_the_schema(self):
        validator = jsonschema.Draft202012Validator(SCHEMA)
        titration = SOURCE / "tests" / "dosing" / "data" / "titration.csv"
        for path in SAMPLES:
            cases = [("predict", ()), ("predict", ("--reading", "5.0", "--hold", "5 mmol acid")), ("adjust", ("--target", "5.2")),
                     ("adjust", ("--target", "5.2", "--reading", "6.3", "--reading", "6.0 after 2 g citric acid 20 %"))]
            cases.append(("predict", ("--storage", "12 weeks at 40, then 25", "--reading", "5.0", "--reading", "5.2 after 90 days")))
            if path.stem == "hand-wash":
                cases.append(("titrate", (str(titration),)))
            for command, options in cases:
                with self.subTest(path=path.name, command=command, options=options):
                    got = answer(path, *options, command=command)
                    faults = [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(got)]
                    self.assertEqual(faults, [])
                    self.assertLessEqual({"learned", "distribution", "measurements", "plan", "order_of_work", "drift", "series"}, set(got))

    def test_every_key_is_described_and_nothing_is_closed(self):
        def walk(node, path):
            for key, child in node.get("properties", {}).items():
                walk(child, f"{path}.{key}")
            if node.get("type") == "object":
                self.assertNotEqual(node.get("additionalProperties"), False, path)
        walk(SCHEMA, "check")
        for key, child in SCHEMA["properties"].items():
            self.assertTrue(child.get("description"), key)

    def test_every_answer_is_the_approved_one(self):
        for path in SAMPLES:
            with self.subTest(path=path.name):
                got, file = without_versions(answer(path)), GOLDEN / (path.stem + ".json")
                if os.environ.get("COUNTERION_REGENERATE"):
                    file.write_text(json.dumps(got, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
                self.assertEqual(differences(got, json.loads(file.read_text(encoding="utf-8"))), [])

    def test_every_cited_source_stands_in_sources(self):
        def cited(value):
            if isinstance(value, dict):
                own = [value["source"]] if value.get("source") else []
                return own + [key for child in value.values() for key in cited(child)]
            return [key for child in value for key in cited(child)] if isinstance(value, list) else []
        for path in SAMPLES:
            got = answer(path)
            self.assertEqual(set(cited({k: v for k, v in got.items() if k != "sources"})), set(got["sources"]))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=1)
