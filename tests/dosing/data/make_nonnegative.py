# SPDX-License-Identifier: MIT
"""Writes nonnegative.csv: small random problems and what scipy.optimize.nnls answers."""
import csv
import pathlib

import numpy as np
import scipy
from scipy.optimize import nnls

random = np.random.default_rng(20261130)
with open(pathlib.Path(__file__).with_name("nonnegative.csv"), "w", newline="", encoding="utf-8") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["rows", "columns", "A_by_columns", "b", "x", "computed_with"])
    for _ in range(60):
        rows, columns = int(random.integers(2, 9)), int(random.integers(1, 8))
        A = random.normal(size=(rows, columns)).round(3)
        b = random.normal(size=rows).round(3)
        if columns > rows:  # one answer only
            A = np.vstack([A, 0.1 * np.eye(columns)]).round(3)
            b = np.concatenate([b, np.zeros(columns)])
        x, _ = nnls(A, b)
        out.writerow([A.shape[0], columns, " ".join(map(str, A.T.ravel())), " ".join(map(str, b)),
                      " ".join(f"{v:.12g}" for v in x), f"scipy {scipy.__version__} optimize.nnls"])
