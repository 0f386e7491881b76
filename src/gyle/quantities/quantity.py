"""What reading a text gives: a number in its kind's canonical unit, and what was written."""

from __future__ import annotations

from typing import Literal

import attrs

__all__ = ["Gravity", "Quantity"]


@attrs.frozen(kw_only=True)
class Quantity:
    """A quantity that was read.

    Parameters
    ----------
    value : float
        The number in the canonical unit of its kind and basis.
    kind : str
        The name of the kind.
    unit : str
        The unit as written, in its canonical spelling; of "4 lb 3 oz" the last one.
    text : str
        The text as it was given.
    half_digit : float
        Half a unit of the last printed digit [canonical unit]: "64 °F" is within 0.5 °F of 64.
    at_C : float or None
        The temperature it was said to hold at [°C].
    second : Quantity or None
        The same quantity as it was given again ("18 °C (64 °F)"); it never counts.
    pair_agrees : bool or None
        Whether some value inside the rounding of both printed numbers fits both; None if nothing was
        given twice, or on two scales that only science can compare (SG and °P, gauge and absolute).
    basis : str
        The scale, where a kind has several: "gauge" or "absolute"; "SG", "°P" or "°Bx"; "mg/L", "mmol/L"
        or "mEq/L"; "by volume" or "by mass"; the currency.
    """

    value: float
    kind: str
    unit: str
    text: str
    half_digit: float
    at_C: float | None = None
    second: Quantity | None = None
    pair_agrees: bool | None = None
    basis: str = ""


@attrs.frozen(kw_only=True)
class Gravity:
    """A gravity that was read, on the scale it was written in; who needs another scale converts it.

    Parameters
    ----------
    value : float
        The number [`scale`].
    scale : str
        "SG", "°P" or "°Bx".
    half_digit : float
        Half a unit of the last printed digit [`scale`].
    text : str
        The text as it was given.
    at_C : float or None
        The temperature of the sample, if it was said [°C].
    second : Gravity or None
        The gravity as it was given again, perhaps on another scale.
    pair_agrees : bool or None
        As in `Quantity`.
    """

    value: float
    scale: Literal["SG", "°P", "°Bx"]
    half_digit: float
    text: str
    at_C: float | None = None
    second: Gravity | None = None
    pair_agrees: bool | None = None
