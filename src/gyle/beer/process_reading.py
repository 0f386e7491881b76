"""Reading what is done: rests, sparge, boil, fermentation, package."""

from __future__ import annotations

import re

from gyle.beer.recipe import FermentationStep, GristLine, Packaging, Rest, Sparge
from gyle.beer.section import Section, shown

__all__ = ["boil_of", "fermentation_of", "package_of", "rests_of", "sparge_of"]

USUAL_REST = Rest(temperature_C=66.0, minutes=60.0)
USUAL_BOIL_MIN = 60.0
USUAL_CARBONATION_VOL = 2.4
USUAL_STABLE_DAYS = 3.0
MINUTES_PER_DAY = 1440.0

_UNTIL = re.compile(r"(?i)\s*stable\s+(?:for\s+)?(\d+(?:[.,]\d+)?)\s*(?:d|days?)\s*")
_FROM = re.compile(r"(?i)\s*(\d+(?:[.,]\d+)?)\s*points?\s+above\s+final\s*")
_INTO = re.compile(r"(?i)\s*(keg|bottle|cask|can)s?\s+(.+)")


def _rest(row: Section) -> Rest | None:
    temperature = row.quantity("temperature", "temperature", low=25.0, high=100.0)
    time = row.quantity("time", "time", low=0.0, high=MINUTES_PER_DAY)
    by = row.choice("by", ("heat", "infusion", "decoction"))
    mash = row.raw("mash")
    if mash is not None and (isinstance(mash, bool) or mash not in (1, 2)):
        row.fault(f"mash is {shown(mash)}, and 1 or 2 was wanted", "mash")
        mash = None
    liquor = row.volume("liquor", low=0.5, high=5000.0)
    thickness = row.quantity("thickness", "thickness", low=0.5, high=20.0)
    if liquor is not None and thickness is not None:
        row.fault("liquor and thickness are both given; keep one of them", "thickness")
    liquor_from = row.choice("liquor_from", ("mash 1",))
    if liquor_from is not None and (mash or 1) == 1:
        row.fault("liquor_from belongs to the first rest of the second mash (mash = 2)", "liquor_from")
    for key, example in (("temperature", 'temperature = "66 °C"'), ("time", 'time = "60 min"')):
        if key not in row:
            row.missing(key, example)
    row.close()
    if temperature is None or time is None:
        return None
    return Rest(
        temperature_C=temperature.value,
        minutes=time.value,
        by=by or "heat",
        mash=mash or 1,
        liquor_L=liquor,
        thickness_L_kg=thickness.value if thickness else None,
        liquor_from=liquor_from,
    )


def rests_of(top: Section, grist: tuple[GristLine, ...]) -> tuple[Rest, ...]:
    """Return the mash rests; where a mash is needed and none is written, the usual one with a note."""
    rows = top.rows("mash", "mash rest")
    rests = tuple(rest for rest in map(_rest, rows) if rest is not None)
    mashed = [line for line in grist if line.at.stage == "mash"]
    if not mashed:
        return rests
    if not rows and "mash" not in top:
        top.note("No mash rest is written: 66 °C for 60 min is taken.")
        rests = (USUAL_REST,)
    needed = {line.at.mash for line in mashed}
    had = {rest.mash for rest in rests}
    if len(rests) == len(rows) and 2 in needed and 2 not in had:
        second = next(line for line in mashed if line.at.mash == 2)
        top.fault(f"{second.what} goes into mash 2, and no [[mash]] rest has mash = 2", "mash")
    return rests


def sparge_of(top: Section) -> Sparge:
    """Return what the author says of the sparge."""
    section = top.section("sparge")
    if section is None:
        return Sparge()
    volume = section.volume("volume", low=0.0, high=5000.0)
    temperature = section.quantity("temperature", "temperature", low=1.0, high=100.0)
    squeeze = section.flag("squeeze")
    section.close()
    return Sparge(volume_L=volume, temperature_C=temperature.value if temperature else None, squeeze=bool(squeeze))


def boil_of(top: Section) -> tuple[float, float | None]:
    """Return how long the boil is [min], and how much wort is held back until it has made room [L]."""
    section = top.section("boil")
    if section is None:
        if "boil" not in top:
            top.note("No boil time is written: 60 min is taken.")
        return USUAL_BOIL_MIN, None
    time = section.quantity("time", "time", low=0.0, high=600.0)
    if "time" not in section:
        section.missing("time", 'time = "60 min"')
    held_back = section.volume("held_back", low=0.0, high=2000.0)
    section.close()
    return (time.value if time else USUAL_BOIL_MIN), held_back


def _matched(row: Section, key: str, pattern: re.Pattern[str], example: str, high: float) -> float | None:
    """Return the number in a text of a fixed form."""
    value = row.raw(key)
    if value is None:
        return None
    match = pattern.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        row.fault(f"{key} is {shown(value)}, and {example} was wanted", key)
        return None
    number = float(match[1].replace(",", "."))
    if not 0.0 <= number <= high:
        row.fault(f"{key} is {shown(value)}, which is not between 0 and {high:g}", key)
        return None
    return number


def _step(row: Section) -> FermentationStep | None:
    temperature = row.quantity("temperature", "temperature", low=-2.0, high=45.0)
    if "temperature" not in row:
        row.missing("temperature", 'temperature = "18 °C"')
    time = row.quantity("time", "time", low=0.0, high=730.0 * MINUTES_PER_DAY)
    stable = _matched(row, "until", _UNTIL, '"stable 3 days"', 60.0)
    points = _matched(row, "from", _FROM, '"5 points above final"', 150.0)
    ramp = row.quantity("ramp", "time", low=0.0, high=60.0 * MINUTES_PER_DAY)
    pressure = row.quantity("pressure", "pressure", low=0.0, high=4.0, scale="gauge")
    if "time" in row and "until" in row:
        row.fault("time and until are both given; keep one of them", "until")
    row.close()
    if temperature is None:
        return None
    return FermentationStep(
        temperature_C=temperature.value,
        days=time.value / MINUTES_PER_DAY if time else None,
        stable_days=stable,
        from_points_above_final=points,
        ramp_hours=ramp.value / 60.0 if ramp else None,
        pressure_bar=pressure.value if pressure else None,
    )


def fermentation_of(top: Section, usual_C: tuple[float, float], yeast: str) -> tuple[FermentationStep, ...]:
    """Return the steps of fermentation; without any, the middle of the yeast's usual range, with a note."""
    rows = top.rows("fermentation", "fermentation step", one_too=True)
    if not rows:
        middle = (usual_C[0] + usual_C[1]) / 2.0
        if "fermentation" not in top:
            top.note(
                f"No fermentation temperature is written: {middle:g} °C, the middle of what {yeast} is used "
                "at, is taken until gravity is stable for 3 days."
            )
        return (FermentationStep(temperature_C=middle, stable_days=USUAL_STABLE_DAYS),)
    steps = [_step(row) for row in rows]
    for row, step, following in zip(rows, steps, [*steps[1:], None], strict=True):
        ended = "time" in row or "until" in row
        if step is None or ended:
            continue
        if row is rows[-1]:
            row.note("The end of fermentation is not written: it lasts until gravity is stable for 3 days.")
        elif following is not None and following.from_points_above_final is None:
            row.fault('it does not say how long; write time = "7 days" or until = "stable 3 days"')
    last = steps[-1]
    if last is not None and last.days is None and last.stable_days is None and "until" not in rows[-1]:
        steps[-1] = FermentationStep(
            temperature_C=last.temperature_C,
            stable_days=USUAL_STABLE_DAYS,
            from_points_above_final=last.from_points_above_final,
            ramp_hours=last.ramp_hours,
            pressure_bar=last.pressure_bar,
        )
    return tuple(step for step in steps if step is not None)


def _into(section: Section) -> tuple[tuple[str, float], ...]:
    value = section.raw("into")
    if value is None:
        return ()
    found: list[tuple[str, float]] = []
    for one in value if isinstance(value, list) else [value]:
        match = _INTO.fullmatch(one) if isinstance(one, str) else None
        if match is None:
            section.fault(f'into is {shown(one)}, and one such as "keg 19 L" was wanted', "into")
            continue
        size = section.quantity_of(match[2], "into", "volume", low=0.01, high=5000.0)
        if size is not None:
            found.append((match[1].casefold(), size.value))
    return tuple(found)


def package_of(top: Section) -> Packaging:
    """Return how the beer is packaged; without a carbonation a usual one, with a note."""
    section = top.section("package")
    carbonation = pressure = temperature = by = None
    into: tuple[tuple[str, float], ...] = ()
    if section is not None:
        carbonation = section.quantity("carbonation", "carbonation", low=0.0, high=8.0)
        pressure = section.quantity("pressure", "pressure", low=0.0, high=8.0, scale="gauge")
        temperature = section.quantity("temperature", "temperature", low=-3.0, high=40.0)
        by = section.choice("by", ("force", "priming", "closed early"))
        into = _into(section)
        section.close()
    vol = carbonation.value if carbonation else None
    if not (section and ("carbonation" in section or "pressure" in section)):
        top.note(f"No carbonation is written: {USUAL_CARBONATION_VOL} vol is taken.")
        vol = USUAL_CARBONATION_VOL
    return Packaging(
        carbonation_vol=vol,
        pressure_bar=pressure.value if pressure else None,
        temperature_C=temperature.value if temperature else None,
        by=by or "force",
        into=into,
    )
