"""The one way these benches time: best of several, after a warm-up."""

from __future__ import annotations

import time
from collections.abc import Callable

__all__ = ["best_s"]


def best_s(work: Callable[[], object], *, repeats: int = 15) -> float:
    """Return the least of several wall times [s]; the least is the one the rest of the machine disturbed least."""
    work()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)
