# SPDX-License-Identifier: MIT
"""Where things lie, and how hypothesis runs: the same cases every time, nothing written to disk."""

import csv
import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("same-every-time", derandomize=True, deadline=None, database=None)
settings.load_profile("same-every-time")

SOURCE = Path(__file__).resolve().parents[2]
SAMPLES = sorted((SOURCE / "cli" / "samples").glob("*.csv"))


def rows(name):
    """Of a file of published values of the chemistry tests; each carries its source."""
    with open(SOURCE / "tests" / "chemistry" / "data" / name, encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


@pytest.fixture(params=SAMPLES, ids=lambda path: path.stem)
def sample(request):
    """Each formula of the demonstration."""
    return request.param


@pytest.fixture
def heel_cream():
    return SOURCE / "cli" / "samples" / "heel-cream.csv"


@pytest.fixture
def command():
    """The built command; CTest says where."""
    path = os.environ.get("COUNTERION_COMMAND")
    if not path:
        pytest.skip("COUNTERION_COMMAND does not name the command (it was not built)")
    return path
