"""Reading the grist: malts, grains and sugars by mass or by share."""

from __future__ import annotations

import re
from typing import Any

import attrs

from gyle.beer import tables
from gyle.beer.acid_malt import acid_malt_acidity
from gyle.beer.crystal import crystal_ph
from gyle.beer.entries import (
    ACID_MALT,
    BUFFERING_LIMIT_MEQ_KG,
    PH_LIMITS,
    buffering_estimate,
    own_fermentable,
    ph_estimate,
)
from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.beer.recipe import GristLine
from gyle.beer.section import Section, shown
from gyle.beer.timing import Timing
from gyle.errors import BadInput
from gyle.quantities import Quantity

__all__ = ["grist_of", "stated_acidity"]

MOST_KG = 2000.0
OWN_KEYS = ("extract", "moisture", "fermentable", "colour", "distilled_ph", "buffering", "lactic")
SHARES_SLACK = 0.005  # how far from 1 shares may add up even where their rounding does not explain it
SUGAR_AT = Timing(stage="boil", minutes=10.0)
# What a lot's own sheet leaves uncertain: sampling and laboratory. Provenance: ours.
STATED_SPREAD = {"extract": 0.005, "moisture": 0.004, "fermentable": 0.02}
STATED_COLOUR_SPREAD = 0.06  # relative
STATED_PH_SPREAD = 0.04
STATED_BUFFERING_SPREAD = 0.08  # relative
LACTIC_PCT = (0.5, 6.0)  # lactic acid that an acid malt titrates like
COOL_C = 30.0  # a mash read hotter than this is not a cooled sample
_PER_KG = re.compile(r"\s*([-+]?\d+(?:[.,]\d+)?)\s*(?:meq|mval)\s*/\s*(?:kg|\(\s*kg\s*pH\s*\))\s*", re.IGNORECASE)


def _stated(quantity: Quantity | None, key: str, like: Estimate | None, high: float) -> Estimate | None:
    if quantity is None:
        return None
    centre = quantity.value / 100.0
    spread = STATED_SPREAD[key]
    if like is not None and like.spread < spread:
        spread = like.spread
    return Estimate(centre=centre, spread=spread, low=0.0, high=max(high, centre), source="stated")


def _own_figures(line: Section, base: Fermentable | None) -> dict[str, Any]:
    """What the line says of its own lot, by field of `Fermentable`."""
    found: dict[str, Estimate | None] = {}
    as_is = _said_as_is(line)
    extract = line.quantity("extract", "percent", low=0.0, high=106.0) if as_is is None else as_is
    moisture = line.quantity("moisture", "percent", low=0.0, high=60.0)
    fermentable = line.quantity("fermentable", "percent", low=0.0, high=100.0)
    colour = line.quantity("colour", "colour", low=0.0, high=50000.0)
    found["moisture_fraction"] = _stated(moisture, "moisture", base.moisture_fraction if base else None, 0.6)
    dry = _stated(extract, "extract", base.extract_fraction if base else None, 1.06)
    if dry is not None and as_is is not None:
        wet = found["moisture_fraction"] or (base.moisture_fraction if base else None)
        water = wet.centre if wet else 0.045
        centre = dry.centre / (1.0 - water)
        if centre > 1.06:
            line.fault(f"extract as is and moisture leave {centre:.0%} of extract in the dry matter", "extract")
        dry = attrs.evolve(dry, centre=min(centre, 1.06), high=1.06)
    found["extract_fraction"] = dry
    found["fermentable_fraction"] = _stated(
        fermentable, "fermentable", base.fermentable_fraction if base else None, 1.0
    )
    if colour is not None:
        found["colour_ebc"] = Estimate(
            centre=colour.value, spread=STATED_COLOUR_SPREAD * colour.value, low=0.0, source="stated"
        )
        if base is not None and base.name.startswith("crystal malt"):
            found["distilled_ph"] = crystal_ph(base, colour.value)
    given = {key: value for key, value in found.items() if value is not None}
    return given | stated_acidity(line, base)


def stated_acidity(section: Section, base: Fermentable | None) -> dict[str, Any]:
    """Return what a line or a lot says of a malt's acidity, by field of `Fermentable`.

    Parameters
    ----------
    section : Section
        The line or the lot.
    base : Fermentable or None
        The malt of the table, None if it is not there.
    """
    ph, buffering = _distilled_ph(section), _buffering(section)
    lactic = section.quantity("lactic", "percent", low=LACTIC_PCT[0], high=LACTIC_PCT[1])
    if "lactic" in section:
        other = next((key for key in ("buffering", "distilled_ph") if key in section), None)
        if other is not None:
            section.fault(f"lactic and {other} are both given; keep one of them", "lactic")
            return {}
        if base is None or base.name != ACID_MALT:
            section.fault(f"lactic is read for {ACID_MALT} only; give distilled_ph and buffering instead", "lactic")
            return {}
    found: dict[str, Any] = {}
    if ph is not None:
        found["distilled_ph"] = ph_estimate(ph, STATED_PH_SPREAD, "stated")
    if buffering is not None:
        found["buffering_mEq_kg"] = buffering_estimate(buffering, STATED_BUFFERING_SPREAD * buffering, "stated")
    if lactic is not None:
        fraction = lactic.value / 100.0
        found["distilled_ph"], found["buffering_mEq_kg"] = acid_malt_acidity(fraction)
        found["lactic_fraction"] = fraction
    return found


def _distilled_ph(section: Section) -> float | None:
    ph = section.quantity("distilled_ph", "ph", low=PH_LIMITS[0], high=PH_LIMITS[1])
    if ph is None:
        return None
    if ph.at_C is not None and ph.at_C > COOL_C:
        section.fault(f"distilled_ph is {shown(ph.text)}, and the pH of a cooled sample was wanted", "distilled_ph")
        return None
    return ph.value


def _buffering(section: Section) -> float | None:
    """Return a buffering [mEq/(kg pH)]; it may be a bare number."""
    said = section.raw("buffering")
    if said is None:
        return None
    match = _PER_KG.fullmatch(said) if isinstance(said, str) else None
    value = float(match[1].replace(",", ".")) if match else said
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        section.fault(
            f'buffering is {shown(said)}, and a number in mEq/(kg pH) such as 45 or "45 mEq/kg" was wanted',
            "buffering",
        )
        return None
    if not 0.0 <= value <= BUFFERING_LIMIT_MEQ_KG:
        section.fault(
            f"buffering is {shown(said)}, which is not between 0 and {BUFFERING_LIMIT_MEQ_KG:g} mEq/(kg pH)",
            "buffering",
        )
        return None
    return float(value)


def _said_as_is(line: Section) -> Quantity | None:
    """Return the extract if it was stated as is ("70 % as is"), not of the dry matter."""
    value = line.table.get("extract")
    if not isinstance(value, str) or not value.casefold().rstrip().endswith("as is"):
        return None
    line.raw("extract")
    return line.quantity_of(value.rstrip()[:-5].rstrip(), "extract", "percent", low=0.0, high=106.0)


def _ingredient(line: Section, what: str, at: Timing | None) -> Fermentable | None:
    try:
        found = tables.fermentable(what)
    except BadInput as error:
        line.fault(str(error), "what")
        return None
    own = _own_figures(line, found[0] if found else None)
    if found is None:
        unknown = _unknown(line, what, own, at)
        return attrs.evolve(unknown, **own) if unknown is not None else None
    base, note = found
    if note:
        if "moisture_fraction" in own and "taken as dextrose monohydrate" in note:
            note = f"{what} is taken as dextrose monohydrate."
        line.note(note)
    return attrs.evolve(base, **own) if own else base


def _unknown(line: Section, what: str, own: dict[str, Any], at: Timing | None) -> Fermentable | None:
    """Return a fermentable the table does not know, if its author says enough of it."""
    if "extract_fraction" in own and "colour_ebc" in own:
        line.note(f"{what} is not in the table; its author's extract and colour are used.")
        mashed = at is None or at.stage in ("mash", "sparge")
        return own_fermentable(what, own["extract_fraction"], own["colour_ebc"], mashed=mashed)
    if not ("extract" in line and "colour" in line):  # else what is wrong with them is already said
        near = tables.near_names("fermentables", what)
        offer = f"perhaps {_or(near)}, or give" if near else "give"
        line.fault(f"{shown(what)} is not known; {offer} its own extract and colour on this line", "what")
    return None


def _or(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _timing(line: Section, what: str, ingredient: Fermentable) -> Timing:
    at = line.at()
    mash = line.raw("mash")
    if mash is not None and (isinstance(mash, bool) or mash not in (1, 2)):
        line.fault(f"mash is {shown(mash)}, and 1 or 2 was wanted", "mash")
        mash = None
    if at is None:
        if ingredient.mashed or mash is not None:
            return Timing(stage="mash", mash=mash or 1)
        if "at" not in line:
            line.note(f"{what} is stirred in 10 min before the end of the boil, as nothing else is said.")
        return SUGAR_AT
    if mash is None:
        return at
    if at.stage != "mash":
        line.fault(f"it cannot go into mash {mash} and in at {shown(at.text)}; keep one of them", "at")
        return at
    return Timing(stage="mash", mash=mash)


def _line(line: Section) -> GristLine | None:
    what = line.text("what", longest=80)
    if what is None:
        if "what" not in line:
            line.missing("what", 'what = "pale ale malt"')
        return None
    line.place = f"{line.place} ({what})"
    ingredient = _ingredient(line, what, line.at())
    mass = line.quantity("mass", "mass", low=0.0, high=MOST_KG)
    share = line.quantity("share", "percent", low=0.0, high=100.0)
    if mass is not None and share is not None:
        share = None
        line.fault("mass and share are both given; keep one of them", "share")
    for key, amount in (("mass", mass), ("share", share)):
        if amount is not None and amount.value <= 0.0:
            line.fault(f"{key} is {shown(amount.text)}, and more than nothing was wanted", key)
    if ingredient is None:
        line.close(also=("mash", *OWN_KEYS))
        return None
    timing = _timing(line, what, ingredient)
    line.close()
    return GristLine(
        what=what,
        ingredient=ingredient,
        at=timing,
        mass_kg=mass.value if mass else None,
        share=share.value / 100.0 if share else None,
        half_digit=mass.half_digit if mass else share.half_digit / 100.0 if share else 0.0,
    )


def grist_of(top: Section, *, contradictions_stay: bool) -> tuple[GristLine, ...]:
    """Return the grist of a recipe; its faults are kept in the page.

    With `contradictions_stay` shares that do not add to 100 % are a note, not a fault.
    """
    rows = top.rows("grist", "grist")
    if not rows and top.table.get("grist", []) == []:
        top.fault('a recipe needs at least one [[grist]] line, such as what = "pale ale malt"')
    read = [_line(row) for row in rows]
    lines = [line for line in read if line is not None]
    amounts_read = all(
        line is not None
        and ("share" in row) == (line.share is not None)
        and ("mass" in row) == (line.mass_kg is not None)
        for row, line in zip(rows, read, strict=True)
    )
    if lines and amounts_read:
        return _checked_amounts(top, lines, contradictions_stay=contradictions_stay)
    return tuple(lines)


def _checked_amounts(top: Section, lines: list[GristLine], *, contradictions_stay: bool) -> tuple[GristLine, ...]:
    shares = [line for line in lines if line.share is not None]
    masses = [line for line in lines if line.mass_kg is not None]
    free = [line for line in lines if line.share is None and line.mass_kg is None]
    if shares and masses:
        top.fault(
            f"{shares[0].what} has a share and {masses[0].what} a mass; give all lines one or the other",
            "grist",
        )
    elif len(free) > 1:
        names = " and ".join(line.what for line in free[:2])
        top.fault(f"{names} have no amount; at most one grist line can be solved for", "grist")
    elif shares:
        return _checked_shares(top, lines, shares, free, contradictions_stay=contradictions_stay)
    elif len(lines) == 1 and free:
        # One malt alone is the whole grist.
        return (attrs.evolve(lines[0], share=1.0),)
    return tuple(lines)


def _checked_shares(
    top: Section,
    lines: list[GristLine],
    shares: list[GristLine],
    free: list[GristLine],
    *,
    contradictions_stay: bool,
) -> tuple[GristLine, ...]:
    total = sum(line.share or 0.0 for line in shares)
    if free:
        rest = 1.0 - total
        if rest <= 0.0:
            top.fault(f"the shares already add to {total:.1%}, and {free[0].what} has none left", "grist")
            return tuple(lines)
        top.note(f"{free[0].what} takes the share that is left, {100.0 * rest:.3g} %.")
        return tuple(attrs.evolve(line, share=rest) if line is free[0] else line for line in lines)
    off = abs(total - 1.0)
    rounding = sum(line.half_digit for line in shares)
    if off > SHARES_SLACK + 1e-12 and off >= rounding - 1e-12:
        sentence = f"the shares add to {100.0 * total:.4g} %, not to 100 %"
        if contradictions_stay:
            top.note(f"{sentence[0].upper()}{sentence[1:]}.")
        else:
            top.fault(sentence, "grist")
    return tuple(lines)
