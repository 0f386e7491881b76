"""Crystal malts by their colour: the table holds eight, a sack may carry any colour between them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import attrs

from gyle.beer.entries import BAND_WIDTH, fermentable_entry
from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.errors import BadInput
from gyle.science.malt_kinds import crystal_malt_ph

__all__ = ["EBC_PER_LOVIBOND", "EBC_PER_SRM", "crystal_malt", "crystal_ph"]

EBC_PER_SRM = 25 / 12.7  # both scales multiply one absorbance at 430 nm (ASBC Beer-10, EBC 9.6)
# A sack's degrees Lovibond are today an ASBC wort colour, that is SRM.
EBC_PER_LOVIBOND = EBC_PER_SRM
LIMITS_EBC = (10.0, 600.0)
SAME = 0.02  # relative; a colour this near an entry's is that entry's
_NAME = re.compile(
    r"(?i)^\s*(?:(?:pale|light|medium|dark|extra dark)\s+)?(?:crystal|caramel)(?:\s+malt)?[\s,(]+"
    r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>ebc|°\s*ebc|°?\s*l|°?\s*srm|lovibond|°\s*lovibond)?\s*\)?\s*$"
)


def _between(low: Estimate, high: Estimate, part: float) -> Estimate:
    return attrs.evolve(
        low,
        centre=low.centre + part * (high.centre - low.centre),
        spread=max(low.spread, high.spread),
    )


def crystal_ph(malt: Fermentable, colour_ebc: float) -> Estimate:
    """Return the pH in distilled water that a crystal malt of another colour has."""
    # It is the same beyond 320 EBC; the equation ends at 1000.
    return attrs.evolve(malt.distilled_ph, centre=float(crystal_malt_ph(min(colour_ebc, 1000.0))))


def _coloured(malt: Fermentable, colour_ebc: float, name: str) -> Fermentable:
    spread = malt.colour_ebc.spread / malt.colour_ebc.centre * colour_ebc
    colour = Estimate(centre=colour_ebc, spread=spread, low=0.0, source=malt.colour_ebc.source)
    return attrs.evolve(malt, name=name, colour_ebc=colour, distilled_ph=crystal_ph(malt, colour_ebc))


def crystal_malt(what: str, rows: Sequence[Mapping[str, str]]) -> tuple[Fermentable, str] | None:
    """Return the crystal malt of the colour in a name and a note; None if the name carries no colour.

    Parameters
    ----------
    what : str
        Such as "crystal malt 40 °L", "crystal malt 95 EBC".
    rows : sequence of mapping
        The table's crystal malts, palest first.
    """
    match = _NAME.match(what)
    if match is None:
        return None
    number = float(match["number"].replace(",", "."))
    unit = (match["unit"] or "").replace("°", "").strip().casefold()
    if not unit:
        raise BadInput(
            f"{what} does not say what its colour is in; write {number:g} EBC or {number:g} °L after the name"
        )
    factor = {"ebc": 1.0, "srm": EBC_PER_SRM}.get(unit, EBC_PER_LOVIBOND)
    colour = number * factor
    if not LIMITS_EBC[0] <= colour <= LIMITS_EBC[1]:
        raise BadInput(
            f"{what} is {colour:.0f} EBC, and a crystal malt lies between {LIMITS_EBC[0]:g} and {LIMITS_EBC[1]:g} EBC"
        )
    said = "" if unit == "ebc" else f" of {colour:.0f} EBC"
    colours = [float(row["colour_ebc"]) for row in rows]
    for row, own in zip(rows, colours, strict=True):
        if abs(colour / own - 1.0) <= SAME:
            malt = fermentable_entry(row)
            if unit == "ebc" and colour == own:
                return malt, ""
            note = f"{what} is taken as {malt.name}, with its colour at {colour:.0f} EBC."
            return _coloured(malt, colour, f"crystal malt {colour:.4g} EBC"), note
    above = next((i for i, own in enumerate(colours) if own > colour), len(rows))
    if above in (0, len(rows)):
        malt = fermentable_entry(rows[0 if above == 0 else -1])
        note = f"{what} is taken as {malt.name} in all but its colour{said}."
        return _coloured(malt, colour, f"crystal malt {colour:.4g} EBC"), note
    low, high = fermentable_entry(rows[above - 1]), fermentable_entry(rows[above])
    part = (colour - colours[above - 1]) / (colours[above] - colours[above - 1])
    malt = attrs.evolve(
        low,
        name=f"crystal malt {colour:.4g} EBC",
        extract_fraction=_between(low.extract_fraction, high.extract_fraction, part),
        moisture_fraction=_between(low.moisture_fraction, high.moisture_fraction, part),
        fermentable_fraction=_between(low.fermentable_fraction, high.fermentable_fraction, part),
        distilled_ph=attrs.evolve(
            _between(low.distilled_ph, high.distilled_ph, part), centre=crystal_ph(low, colour).centre
        ),
        buffering_mEq_kg=_between(low.buffering_mEq_kg, high.buffering_mEq_kg, part),
        colour_ebc=Estimate(centre=colour, spread=0.2 * colour / BAND_WIDTH, low=0.0, source=low.colour_ebc.source),
    )
    return malt, f"{what}{said} is taken between {low.name} and {high.name}."
