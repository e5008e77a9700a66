# SPDX-License-Identifier: MIT
"""The best of several repetitions: what disturbs a measurement only makes it longer."""
import math
import time

REPETITIONS = 7


def seconds(work, times=1):
    """Seconds for one call of `work`, called so many times in a row."""
    best = math.inf
    for _ in range(REPETITIONS):
        start = time.perf_counter()
        for _ in range(times):
            work()
        best = min(best, time.perf_counter() - start)
    return best / times
