"""A comparison of two versions in one sentence: what is most telling, and how much else there is."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

import attrs

from gyle.line.figures import figure
from gyle.share.difference_words import written_difference
from gyle.share.sentences import joined

if TYPE_CHECKING:
    from gyle.decide.difference import FigureDifference

__all__ = ["comparison_sentence", "most_telling"]

SAID = 3
_RATIO = "glass.bitterness_ratio"
_ISO = "stand.iso_alpha"
_MUCH = ("volume", "mass", "concentration", "food_energy", "thickness")  # more of it, and not a higher one


@attrs.frozen
class _Subject:
    """Figures that say the same thing in several ways; the first that tells speaks for them."""

    words: str
    figures: tuple[str, ...]
    more: str = "more"
    less: str = "less"
    named: bool = True  # whether the words have to be said beside the number


# In the order a brewer asks, whatever their sizes: how strong, how bitter, what colour, how much, how long.
_ASKED = (
    _Subject("alcohol", ("fermenter.alcohol", "glass.alcohol_g"), named=False),
    _Subject("original gravity", ("fermenter.original_gravity",), "higher", "lower"),
    _Subject("bitterness", (), named=False),
    _Subject("colour", (), "darker", "paler", named=False),
    _Subject("volume into the keg", ("keg.volume", "fermenter.volume", "keg.left_over")),
    _Subject("time", ("line.minutes",), "longer", "shorter", named=False),
)
# Then the rest of the beer and how it comes about; of each what is most worth saying first.
_BEER = (
    _Subject("final gravity", ("fermenter.final_gravity", "fermenter.attenuation"), "higher", "lower"),
    _Subject("carbonation", ("keg.carbonation",)),
    _Subject("beer pH", ("glass.ph",), "higher", "lower"),
)
_WAY = (
    _Subject("mash pH", ("mash.ph", "mash.ph_hot"), "higher", "lower"),
    _Subject("strike temperature", ("mash.strike_temperature",), "higher", "lower"),
    _Subject("mash", ("mash.volume", "mash.thickness", "mash.conversion", "lauter.bed_kg")),
    _Subject("lautering", ("lauter.efficiency", "line.brewhouse_efficiency", "lauter.first_wort_gravity")),
    _Subject(
        "kettle",
        (
            "kettle.full.volume",
            "kettle.full.gravity",
            "kettle.full.ph",
            "kettle.end.volume",
            "kettle.end.gravity",
            "kettle.end.ph",
            "fermenter.pitch_gravity",
        ),
    ),
    _Subject("stand", (_ISO,)),
    _Subject("keg pressure", ("keg.pressure",), "higher", "lower"),
    _Subject("energy", ("glass.energy",)),
    _Subject("minerals", ()),
)

_GROUPS = (_ASKED, _BEER, _WAY)


def most_telling(
    differences: Iterable[FigureDifference], *, system: str, bitterness: str = "glass.bitterness_tinseth"
) -> list[tuple[str, FigureDifference]]:
    """Return each subject on which two versions differ tellingly, with the figure that speaks for it.

    What a brewer asks for comes first, in a fixed order: strength, bitterness, colour, volume, time. Then come the
    rest of the beer and the way it is made; within either, what exceeds the worth of saying most comes first.
    `bitterness` is the measure the recipe counts by.
    """
    telling = {found.name: found for found in differences if found.telling}
    subjects: list[tuple[int, float, str, FigureDifference]] = []
    spoken: set[str] = set()
    for rank, group in enumerate(_GROUPS):
        for place, subject in enumerate(group):
            names = [name for name in _names(subject, telling, system, bitterness) if name in telling]
            spoken.update(names)
            if names:
                found = telling[names[0]]
                size = float(place) if group is _ASKED else -_size(found)
                subjects.append((rank, size, subject.words, found))
    for name, found in telling.items():
        if name not in spoken:
            subjects.append((len(_GROUPS), -_size(found), _words(name), found))
    return [(words, found) for _, _, words, found in sorted(subjects, key=lambda one: one[:2])]


def comparison_sentence(
    differences: Iterable[FigureDifference], *, system: str, bitterness: str = "glass.bitterness_tinseth"
) -> str:
    """Say in one sentence what a change does: "12 IBU more, 0.3 % vol less, the rest is alike".

    Figures only one version has are not compared here.
    """
    found = most_telling(differences, system=system, bitterness=bitterness)
    if not found:
        return "alike: no figure differs by more than is worth saying"
    first, rest = found[:SAID], found[SAID:]
    said = [_phrase(words, difference, system) for words, difference in first]
    if not rest:
        return f"{', '.join(said)}, the rest is alike"
    names = [words for words, _ in rest[: SAID if len(rest) > SAID + 1 else None]]
    if len(names) < len(rest):
        names.append(f"{len(rest) - len(names)} more")
    return f"{', '.join(said)}; {joined(names)} too"


def _names(subject: _Subject, telling: Iterable[str], system: str, bitterness: str) -> tuple[str, ...]:
    if subject.words == "bitterness":
        others = sorted(name for name in telling if name.startswith("glass.bitterness"))
        return tuple(dict.fromkeys((bitterness, *(name for name in others if name != _RATIO), _RATIO)))
    if subject.words == "colour":
        scales = ("glass.colour", "glass.colour_srm")
        return scales if system == "metric" else scales[::-1]
    if subject.words == "minerals":
        return tuple(name for name in telling if _mineral(name))
    numbered = [name for name in telling if (known := figure(name)) and known.name in subject.figures]
    return tuple(dict.fromkeys((*subject.figures, *numbered)))


def _mineral(name: str) -> bool:
    known = figure(name)
    return known is not None and known.kind in {"alkalinity", "concentration"} and name != _ISO


def _size(found: FigureDifference) -> float:
    return 0.0 if found.difference is None else abs(found.difference.mean) / max(found.worth, 1e-12)


def _words(name: str) -> str:
    known = figure(name)
    return name if known is None else known.words


def _phrase(words: str, found: FigureDifference, system: str) -> str:
    shown = written_difference(found, system)
    assert shown is not None
    assert found.difference is not None
    subject = next((one for group in _GROUPS for one in group if one.words == words), _Subject(words, ()))
    more = found.difference.mean > 0.0
    number = _sensible(shown.number.lstrip("+−"), found)
    amount = f"{number} {shown.unit}".strip()
    if found.kind == "gravity":
        points = 1000.0 * abs(found.difference.mean)
        amount = f"{points:.0f} points" if points >= 1.95 else f"{points:.1f} points".replace("1.0 points", "1 point")
    leads = subject.figures[:1] == (found.name,) or words in ("bitterness", "colour")
    if leads and found.name != _RATIO and (subject not in _WAY or subject.more != "more"):
        compared = subject.more if more else subject.less
        return f"{subject.words} {amount} {compared}" if subject.named else f"{amount} {compared}"
    compared = ("more" if more else "less") if found.kind in _MUCH else ("higher" if more else "lower")
    return f"{_words(found.name)} {amount} {compared}"


def _sensible(number: str, found: FigureDifference) -> str:
    """A number without the digits that are less than a tenth of what is worth saying."""
    places = max(math.floor(-math.log10(max(found.worth, 1e-12) / 10.0) + 1e-9), 0)
    _, point, decimals = number.partition(".")
    return number if not point or len(decimals) <= places else f"{float(number):.{places}f}"
