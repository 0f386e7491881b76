"""The conductivity of a report, in any of its units, at 25 or 20 °C."""

from __future__ import annotations

import re

from gyle.beer.section import Section, shown
from gyle.beer.water_spellings import spelled
from gyle.beer.water_statements import Statement, Taken, single, with_range

__all__ = ["conductivity_statement"]

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_CONDUCTIVITY = re.compile(rf"({_NUMBER}) ?([^0-9 ]+)(?: ?(?:at|@) ?({_NUMBER}) ?°?C)?")
_PER_UNIT = {"µs/cm": 1.0, "us/cm": 1.0, "µmho/cm": 1.0, "umho/cm": 1.0, "ms/m": 10.0, "ms/cm": 1000.0,
             "mmho/cm": 1000.0, "s/m": 10_000.0, "ds/m": 1000.0}  # fmt: skip
_TO_25_C = {25.0: 1.0, 20.0: 1.116}  # EN 27888; memory
HIGHEST_US_CM = 20_000.0


def conductivity_statement(top: Section, key: str = "conductivity") -> Statement | None:
    """Return a conductivity at 25 °C [µS/cm]; a bare number is µS/cm at 25 °C."""
    written = top.raw(key)
    if written is None:
        return None
    number = isinstance(written, (int, float)) and not isinstance(written, bool)
    given = spelled(f"{written} µS/cm" if number else written, "conductivity")
    told = given.value if isinstance(written, str) and isinstance(given.value, dict) else {"value": given.value}
    taken = {name: _conductivity(text) for name, text in told.items()}
    found = [one for one in taken.values() if one is not None]
    if len(found) < len(taken):
        top.fault(f'{key} is {shown(written)}, and a text such as "651 µS/cm" at 25 or 20 °C was wanted', key)
        return None
    if not all(one.value <= HIGHEST_US_CM for one in found):
        top.fault(f"{key} is {shown(written)}, which is more than {HIGHEST_US_CM:g} µS/cm, no water to brew with", key)
        return None
    if len(taken) > 1:
        return with_range(top, key, taken, low=0.0, said=shown(written), kind="conductivity")
    return single(key, found[0], below=given.below, kind="conductivity", low=0.0, said=shown(written))


def _conductivity(text: object) -> Taken | None:
    """Return a conductivity at 25 °C [µS/cm] with the temperature it was read at, None if the text is none."""
    found = _CONDUCTIVITY.fullmatch(text) if isinstance(text, str) else None
    factor = _PER_UNIT.get(found[2].casefold().replace("μ", "µ")) if found else None
    warmth = float(found[3].replace(",", ".")) if found and found[3] else 25.0
    if found is None or factor is None or warmth not in _TO_25_C:
        return None
    scale = factor * _TO_25_C[warmth]
    digits = found[1].replace(",", ".")
    half = 0.5 * 10.0 ** -len(digits.partition(".")[2]) * scale
    return Taken(value=float(digits) * scale, half=half, unit="µS/cm", plain=False, at_C=warmth)
