"""HiGHS through SciPy, imported when first needed, and kept from writing to the terminal.

HiGHS repairs some integer answers with a second solve and prints a line of its own about it whatever it is told;
a page of JSON must not have that line in it.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import sys
import threading
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["INFEASIBLE", "OPTIMAL", "minimise", "quiet"]

Array = NDArray[np.float64]
_ONE_AT_A_TIME = threading.Lock()
_STDOUT = 1
OPTIMAL, INFEASIBLE = 0, 2  # SciPy's
_STUMBLED = 4  # numerical trouble; the same program, not made smaller first, goes another way


def _flush() -> None:
    """Write out what C code has printed so far."""
    with contextlib.suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).fflush(None)


@contextlib.contextmanager
def quiet() -> Iterator[None]:
    """Drop what C code writes to standard output meanwhile; where there is none, do nothing."""
    with _ONE_AT_A_TIME, contextlib.ExitStack() as undo:
        with contextlib.suppress(OSError, ValueError, AttributeError):
            sys.stdout.flush()
            _flush()
            kept = os.dup(_STDOUT)
            undo.callback(os.close, kept)
            nowhere = os.open(os.devnull, os.O_WRONLY)
            undo.callback(os.close, nowhere)
            os.dup2(nowhere, _STDOUT)
            undo.callback(os.dup2, kept, _STDOUT)
            undo.callback(_flush)
        yield


def minimise(
    cost: Array,
    *,
    whole: Array,
    bounds: tuple[Array, Array],
    rows: tuple[Array, Array, Array],
    seconds: float,
    gap: float = 0.0,
) -> Any:
    """Minimise a linear cost to within a relative gap.

    Parameters
    ----------
    cost, whole : ndarray
        The cost of each column, and 1 where it is a whole number.
    bounds : tuple of ndarray
        The least and the most of each column.
    rows : tuple of ndarray
        The matrix, and the least and the most of each row.
    seconds : float
        The longest to look.
    gap : float
        The share by which the answer may be above the least, when whole numbers are asked for.

    Returns
    -------
    OptimizeResult
        SciPy's: status 0 is an optimum proven to within the gap, 2 proven that there is none.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

    def solved(first: bool) -> Any:
        return milp(
            cost,
            integrality=whole,
            bounds=Bounds(*bounds),
            constraints=LinearConstraint(*rows),
            options={"mip_rel_gap": gap, "time_limit": max(seconds, 0.01), "presolve": first},
        )

    with quiet():
        answer = solved(True)
        return solved(False) if answer.status == _STUMBLED else answer
