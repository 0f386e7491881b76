"""A figure's own strip: a thin rule with its band, its mean, its aim, and where the band stood before.

All figures of a kind have rules of one scale, so that the width of the grey says how sure each is. The middle is
where the figure stood before the edit, so that a change is seen to move it.
"""

from __future__ import annotations

import attrs

from gyle.line.figures import Band

__all__ = ["Strip", "reach_of", "strip"]

# Half of a rule: in the kind's own unit where a difference means the same wherever it is, else as a share of the
# mean. Ours, chosen so that a well-known figure fills a tenth of its rule and a poorly known one half of it.
_REACH = {"gravity": 0.020, "temperature": 6.0, "ph": 0.60, "percent": 22.0, "alkalinity": 4.0}
_REACH_OF = {"fermenter.alcohol": 3.0}
_SHARE = {"bitterness": 0.5, "colour": 0.8, "concentration": 0.6, "volume": 0.3, "pressure": 0.4, "mass": 0.4}
_USUAL_SHARE = 0.35
BAND_SHARE = 0.30  # of the rule, for a band that has not moved
ROOM = 0.08  # kept free at either end of what must be seen


@attrs.frozen(kw_only=True)
class Strip:
    """Places on the rule in per cent, each as a text a drawing takes."""

    low: str
    width: str
    mean: str
    aim: str | None = None
    before_low: str | None = None
    before_width: str | None = None


def reach_of(name: str, kind: str, mean: float) -> float:
    """Return half of the rule of a figure [its unit].

    Parameters
    ----------
    name, kind : str
        The figure and its kind of quantity.
    mean : float
        Where its middle is.
    """
    known = _REACH_OF.get(name, _REACH.get(kind))
    return known if known is not None else _SHARE.get(kind, _USUAL_SHARE) * abs(mean)


def strip(band: Band, *, reach: float | None = None, aim: float | None = None, before: Band | None = None) -> Strip:
    """Place a band on its rule.

    Parameters
    ----------
    band : Band
        The figure as it is forecast now.
    reach : float, optional
        Half of the rule, in the figure's unit; what the band asks for where it is left out. What must be seen
        makes it longer.
    aim : float, optional
        What the recipe wants, in the figure's unit.
    before : Band, optional
        The forecast it is compared with; drawn only where it differs.

    Returns
    -------
    Strip
        Places from "0%" to "100%".
    """
    settled = before or band
    width = max(settled.high - settled.low, band.high - band.low, 1e-9 * max(abs(band.mean), 1.0))
    middle = settled.mean if aim is None else (min(settled.mean, aim) + max(settled.mean, aim)) / 2.0
    seen = [band.low, band.high, band.mean, settled.low, settled.high, *(() if aim is None else (aim,))]
    usual = width / BAND_SHARE / 2.0 if reach is None else max(reach, 1e-9)
    half = max(usual, (1.0 + 2.0 * ROOM) * max(abs(end - middle) for end in seen))

    def place(value: float) -> float:
        return float(100.0 * (0.5 + (value - middle) / (2.0 * half)))

    moved = before is not None and (abs(before.low - band.low) + abs(before.high - band.high) > 0.02 * width)
    return Strip(
        low=_pct(place(band.low)),
        width=_pct(place(band.high) - place(band.low)),
        mean=_pct(place(band.mean)),
        aim=None if aim is None else _pct(place(aim)),
        before_low=_pct(place(before.low)) if moved and before is not None else None,
        before_width=_pct(place(before.high) - place(before.low)) if moved and before is not None else None,
    )


def _pct(value: float) -> str:
    return f"{value:.2f}%"
