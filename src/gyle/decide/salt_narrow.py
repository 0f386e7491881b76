"""Ranges made narrower by what rows leave room for, so that less is left to be searched."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["SURE", "narrowed"]

Array = NDArray[np.float64]
SURE = 1e-6  # of a step, or of what the largest step of a row changes: left for rounding
MOST_ROUNDS = 12
ENOUGH = 0.5  # of a step: when no end moves further, narrowing stops


def narrowed(
    rows: tuple[Array, Array, Array], bounds: tuple[Array, Array], *, whole: NDArray[np.bool_]
) -> tuple[Array, Array] | None:
    """The range of each column that the rows leave, the others being free in theirs; None if one is left none.

    Parameters
    ----------
    rows : tuple of ndarray
        The matrix, and the least and the most of each row.
    bounds : tuple of ndarray
        The least and the most of each column; finite.
    whole : ndarray of bool
        Which columns are whole numbers.

    Returns
    -------
    tuple of ndarray or None
        The least and the most of each column; nothing that keeps the rows is cut off.
    """
    matrix, row_low, row_high = rows
    low, high = (np.array(end, dtype=np.float64) for end in bounds)
    rises, falls = matrix > 0.0, matrix < 0.0
    up, down = np.where(rises, matrix, 0.0), np.where(falls, matrix, 0.0)
    per, moves = np.where(rises | falls, matrix, 1.0), rises | falls
    for _ in range(MOST_ROUNDS):
        if np.any(low > high + SURE):
            return None
        high = np.maximum(low, high)
        least, most = up @ low + down @ high, up @ high + down @ low
        if np.any(least > row_high + SURE) or np.any(most < row_low - SURE):
            return None
        # What a row leaves for one column while all others do their least, or their most.
        to_high = (row_high[:, None] - least[:, None] + up * low + down * high) / per
        to_low = (row_low[:, None] - most[:, None] + up * high + down * low) / per
        top = np.where(moves, np.where(rises, to_high, to_low), np.inf).min(axis=0, initial=np.inf) + SURE
        bottom = np.where(moves, np.where(rises, to_low, to_high), -np.inf).max(axis=0, initial=-np.inf) - SURE
        top, bottom = np.where(whole, np.floor(top), top), np.where(whole, np.ceil(bottom), bottom)
        moved = np.maximum(bottom - low, high - top).max(initial=0.0)
        low, high = np.maximum(low, bottom), np.minimum(high, top)
        if moved < ENOUGH:
            break
    return None if np.any(low > high + SURE) else (low, np.maximum(low, high))
