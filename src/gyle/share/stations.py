"""The stations of the line, and figures in the order of the beer's way."""

from __future__ import annotations

from collections.abc import Iterable

from gyle.decide.plan import figure_order

__all__ = ["STATIONS", "of_minerals", "station_groups"]

STATIONS = ("water", "mash", "lauter", "kettle", "stand", "fermenter", "keg", "glass")
_IONS = ("calcium", "magnesium", "sodium", "sulfate", "chloride")
_AGAIN = ("mash", "lauter")  # stations that come again, in turn, with a second mash


def station_groups(names: Iterable[str], system: str) -> list[tuple[str, list[str]]]:
    """Put figures in the order of the beer's way: by station, a second mash after the first.

    The colour is said on one scale only, that of the system.
    """
    other_scale = "glass.colour_srm" if system == "metric" else "glass.colour"
    groups: dict[tuple[int, int, int, str], list[str]] = {}
    for name in names:
        if name != other_scale:
            groups.setdefault(_place(name), []).append(name)
    return [(_label(found[0]), sorted(found, key=figure_order)) for _, found in sorted(groups.items())]


def _place(name: str) -> tuple[int, int, int, str]:
    """Where a figure's station stands; with a second mash the line goes mash, lauter, mash, lauter, kettle."""
    station, *rest = name.split(".")
    part = rest[0] if len(rest) > 1 and (rest[0].isdigit() or len(rest[0]) == 1) else ""
    place = STATIONS.index(station) if station in STATIONS else len(STATIONS)
    if station == "water":
        return (0, 0, place, part)
    if station in _AGAIN:
        return (1, int(part) if part.isdigit() else 1, place, "")
    return (2, 0, place, part)


def _label(name: str) -> str:
    station, part = name.partition(".")[0], _place(name)[3]
    if station in _AGAIN and _place(name)[1] > 1:
        part = str(_place(name)[1])
    return "in all" if station == "line" else f"{station} {part}".strip()


def of_minerals(name: str) -> bool:
    """Whether a figure is of minerals, which without a report are a guess not worth a line each."""
    station, _, figure = name.partition(".")
    return station == "water" or (station == "glass" and figure in _IONS)
