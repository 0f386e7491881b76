"""The limits of a choice of salts in words."""

from __future__ import annotations

import numpy as np

from gyle.decide.salt_matrix import BALANCE, Row
from gyle.decide.salt_problem import Problem

__all__ = ["amount_words", "kinds_words", "limit_words", "listed", "most_words", "place_words"]


def amount_words(value: float, what: str) -> str:
    """An amount of an ion or of alkalinity with its unit."""
    return f"{value:.4g} {'mEq/L' if what == 'alkalinity' else 'mg/L'}"


def place_words(at: str) -> str:
    """Where, in front of a full stop; nothing for the whole liquor."""
    return {"mash": " in the mash", "sparge": " in the sparge water", "kettle": " in the kettle"}.get(at, "")


def limit_words(row: Row, side: str) -> str:
    """One side of a limit: "calcium of at least 50 mg/L in the mash"."""
    if row.said:
        return row.said
    if row.what == BALANCE:
        return "the aimed mash pH"
    value, how = (row.low, "least") if side == "low" else (row.high, "most")
    return f"{row.what} of at {how} {amount_words(value, row.what)}{place_words(row.at)}"


def kinds_words(most_salts: int) -> str:
    """How many kinds of salt."""
    return f"at most {most_salts} kind{'s' if most_salts != 1 else ''} of salt"


def most_words(problem: Problem, kind: str, name: str) -> str:
    """The most of a salt, an acid or dilution."""
    if kind == "salt":
        salt = next(salt for salt in problem.salts if salt.name == name)
        return f"at most {salt.most_units:g} {salt.unit} of {name}"
    if kind == "acid":
        return f"at most {next(acid for acid in problem.acids if acid.name == name).most_mL:g} mL of {name}"
    share = problem.dilution.most_share if problem.dilution is not None else 0.0
    return f"at most {np.round(100.0 * share, 6):g} % of the second water"


def listed(parts: list[str]) -> str:
    """Parts joined as a sentence joins them."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
