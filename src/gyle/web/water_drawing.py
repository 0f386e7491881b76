"""Waters drawn: small bars for a list, charges against charges, and one rule for each ion that is treated."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import attrs

from gyle.beer.water_substances import mEq_L

if TYPE_CHECKING:
    from gyle.beer.water import Water

__all__ = ["Bar", "ChargeBar", "Piece", "Rule", "charge_bars", "fullest_mg_L", "ion_rule", "small_bars"]

SYMBOLS = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K",
    "sulfate": "SO4", "chloride": "Cl", "nitrate": "NO3", "bicarbonate": "HCO3",
}  # fmt: skip
SMALL = ("calcium", "magnesium", "sodium", "sulfate", "chloride", "bicarbonate")
SMALL_PX, LEAST_PX = 40.0, 0.8
LEAST_FULL_MG_L = 50.0
ROOM = 1.12  # beyond the farthest thing on a rule
NEAR_LIMIT = 1.8  # a limit farther off than this times everything else is not drawn
LABEL_PCT = 7.0  # a piece narrower than this has no room for its letters
CATIONS = ("calcium", "magnesium", "sodium", "potassium")
ANIONS = ("sulfate", "chloride", "nitrate")


@attrs.frozen(kw_only=True)
class Bar:
    """One ion's bar, standing on its base."""

    symbol: str
    x: str
    middle: str
    y: float
    height: float
    guessed: bool = False  # nobody states it


def small_bars(water: Water, full_mg_L: float) -> tuple[Bar, ...]:
    """Bars of a water's ions, on the scale that all waters of a list share."""
    bars = []
    for place, ion in enumerate(SMALL):
        height = SMALL_PX * min(water.mg_L(ion) / max(full_mg_L, LEAST_FULL_MG_L), 1.0)
        left = 100.0 * (place + 0.14) / len(SMALL)
        name = "alkalinity" if ion == "bicarbonate" else ion
        bars.append(
            Bar(
                symbol=SYMBOLS[ion],
                x=_pct(left),
                middle=_pct(left + 6.0),
                y=round(SMALL_PX - height, 1),
                height=round(max(height, LEAST_PX), 1),
                guessed=name in water.estimated,
            )
        )
    return tuple(bars)


def fullest_mg_L(waters: Sequence[Water]) -> float:
    """The most of any ion that small bars show."""
    return max((water.mg_L(ion) for water in waters for ion in SMALL), default=LEAST_FULL_MG_L)


@attrs.frozen(kw_only=True)
class Piece:
    """One ion's part of a sum of charges."""

    symbol: str
    x: str
    width: str
    middle: str
    labelled: bool
    turn: int  # by turns light and dark, so that neighbours part


@attrs.frozen(kw_only=True)
class ChargeBar:
    """All cations or all anions, one piece beside the other."""

    words: str
    sum_words: str
    pieces: tuple[Piece, ...]
    end: str


def charge_bars(water: Water) -> tuple[ChargeBar, ...]:
    """Cations above anions, in milliequivalents, on one scale."""
    titrated = max((water.acid_capacity_mEq_L or water.alkalinity_mEq_L).centre, 0.0)
    balance = water.balance
    sums = (balance.cations_mEq_L, balance.anions_mEq_L)
    full = max(*sums, 1e-9) * 1.02
    cations = [(SYMBOLS[ion], mEq_L(ion, water.mg_L(ion))) for ion in CATIONS]
    anions = [("alkalinity", titrated), *((SYMBOLS[ion], mEq_L(ion, water.mg_L(ion))) for ion in ANIONS)]
    return tuple(
        _charge_bar(words, parts, total, full)
        for words, parts, total in (("cations", cations, sums[0]), ("anions", anions, sums[1]))
    )


def _charge_bar(words: str, parts: list[tuple[str, float]], total: float, full: float) -> ChargeBar:
    pieces, at = [], 0.0
    known = sum(amount for _, amount in parts)
    others = total - known
    for turn, (symbol, amount) in enumerate([*parts, *([("others", others)] if others > 0.005 * full else [])]):
        width = 100.0 * amount / full
        if width > 0.05:
            pieces.append(
                Piece(
                    symbol=symbol,
                    x=_pct(at),
                    width=_pct(width),
                    middle=_pct(at + width / 2.0),
                    labelled=width >= (2.2 * LABEL_PCT if len(symbol) > 4 else LABEL_PCT),
                    turn=turn % 2,
                )
            )
        at += width
    return ChargeBar(words=words, sum_words=f"{total:.2f} mEq/L", pieces=tuple(pieces), end=_pct(at))


@attrs.frozen(kw_only=True)
class Rule:
    """One ion's own rule: where it was, where it comes to, what is wanted, and the most there may be."""

    source: str
    got: str
    low: str
    width: str
    way_x: str
    way_width: str
    wanted: str | None = None  # one amount
    wanted_low: str | None = None  # or a range
    wanted_width: str | None = None
    limit: str | None = None
    beyond: str | None = None  # width of what lies beyond the limit


def ion_rule(
    *,
    source: float,
    got: float,
    band: tuple[float, float],
    wanted: float | None,
    wanted_span: tuple[float | None, float | None] = (None, None),
    limit: float | None = None,
) -> Rule:
    """Place an ion on its rule [mg/L], which begins at nothing.

    Parameters
    ----------
    source, got : float
        As it comes and as it comes to be.
    band : tuple of float
        What 8 of 10 brews have.
    wanted : float or None
        One amount that is wanted.
    wanted_span : tuple of float or None
        Or the ends of a range, None for a side that is open.
    limit : float or None
        The most there may be.
    """
    ends = [end for end in wanted_span if end is not None]
    farthest = max(source, got, *band, wanted or 0.0, *ends, 10.0)
    near = limit is not None and limit <= NEAR_LIMIT * farthest
    full = ROOM * max(farthest, limit if near and limit is not None else 0.0)

    def place(value: float) -> float:
        return 100.0 * min(max(value, 0.0) / full, 1.0)

    low, high = wanted_span
    spans = bool(ends)
    first, last = place(low or 0.0), 100.0 if high is None else place(high)
    left, right = sorted((place(source), place(got)))
    wall = place(limit) if near and limit is not None else None
    return Rule(
        source=_pct(place(source)),
        got=_pct(place(got)),
        low=_pct(place(band[0])),
        width=_pct(max(place(band[1]) - place(band[0]), 0.4)),
        way_x=_pct(left),
        way_width=_pct(right - left),
        wanted=None if wanted is None else _pct(place(wanted)),
        wanted_low=_pct(first) if spans else None,
        wanted_width=_pct(last - first) if spans else None,
        limit=None if wall is None else _pct(wall),
        beyond=None if wall is None else _pct(100.0 - wall),
    )


def _pct(value: float) -> str:
    return f"{value:.2f}%"
