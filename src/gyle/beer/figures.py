"""Figures by name: what kind of quantity each is, and the short names a recipe may use for its aims.

Values are kept in the figure's own unit: gravities SG, volumes L at 20 °C, percentages 0 to 100, colour EBC
(``glass.colour_srm`` SRM), ions mg/L, alkalinities mEq/L, pressure bar(g), times min.
"""

from __future__ import annotations

import attrs

__all__ = ["BITTERNESS_FIGURE", "FigureKind", "figure_kind", "figure_of_key", "short_names"]


@attrs.frozen
class FigureKind:
    """What kind of quantity a figure is, and between what it may be aimed at or printed."""

    kind: str
    low: float
    high: float
    bare: str | None = None


_GRAVITY = FigureKind("gravity", 0.98, 1.2)
_WORT = FigureKind("gravity", 1.005, 1.2)
_VOLUME = FigureKind("volume", 0.5, 5000.0)
_PERCENT = FigureKind("percent", 0.0, 100.0, "%")
_BITTERNESS = FigureKind("bitterness", 0.0, 400.0, "IBU")
_ION = FigureKind("concentration", 0.0, 3000.0, "mg/L")
_ALKALINITY = FigureKind("alkalinity", -30.0, 60.0, "mg/L")

_PH = FigureKind("ph", 3.0, 8.0)

_KINDS = {
    **{f"water.{ion}": _ION for ion in ("calcium", "magnesium", "sodium", "sulfate", "chloride", "bicarbonate")},
    "water.alkalinity": _ALKALINITY,
    "water.residual_alkalinity": _ALKALINITY,
    "mash.strike_temperature": FigureKind("temperature", 20.0, 110.0),
    "mash.volume": _VOLUME,
    "mash.thickness": FigureKind("thickness", 0.5, 20.0, "L/kg"),
    "mash.ph": _PH,
    "mash.ph_hot": _PH,
    "kettle.full.ph": _PH,
    "kettle.end.ph": _PH,
    "glass.ph": _PH,
    **{f"glass.{ion}": _ION for ion in ("calcium", "magnesium", "sodium", "sulfate", "chloride")},
    "mash.conversion": _PERCENT,
    "lauter.efficiency": _PERCENT,
    "lauter.first_wort_gravity": _WORT,
    "lauter.bed_kg": FigureKind("mass", 0.0, 5000.0),
    "keg.left_over": _VOLUME,
    "kettle.full.volume": _VOLUME,
    "kettle.full.gravity": _WORT,
    "kettle.end.volume": _VOLUME,
    "kettle.end.gravity": _WORT,
    "stand.iso_alpha": FigureKind("concentration", 0.0, 1000.0, "mg/L"),
    "fermenter.volume": _VOLUME,
    "fermenter.pitch_gravity": _WORT,
    "fermenter.original_gravity": _WORT,
    "fermenter.final_gravity": _GRAVITY,
    "fermenter.alcohol": FigureKind("percent", 0.0, 25.0, "%"),
    "fermenter.attenuation": FigureKind("percent", 0.0, 115.0, "%"),
    "keg.pressure": FigureKind("pressure", 0.0, 8.0),
    "keg.carbonation": FigureKind("carbonation", 0.0, 8.0, "vol"),
    "keg.volume": _VOLUME,
    "glass.bitterness": _BITTERNESS,
    "glass.bitterness_tinseth": _BITTERNESS,
    "glass.bitterness_rager": _BITTERNESS,
    "glass.bitterness_garetz": _BITTERNESS,
    "glass.bitterness_ratio": FigureKind("ratio", 0.0, 10.0),
    "glass.colour": FigureKind("colour", 0.0, 1000.0),
    "glass.colour_srm": FigureKind("colour", 0.0, 1000.0, "SRM"),
    "glass.energy": FigureKind("food_energy", 0.0, 400.0, "kcal/100 mL"),
    "glass.alcohol_g": FigureKind("ratio", 0.0, 100.0),
    "line.brewhouse_efficiency": _PERCENT,
    "line.minutes": FigureKind("time", 0.0, 10000.0, "min"),
}

BITTERNESS_FIGURE = {
    "tinseth": "glass.bitterness_tinseth",
    "kinetic": "glass.bitterness",
    "laboratory": "glass.bitterness",
    "rager": "glass.bitterness_rager",
    "garetz": "glass.bitterness_garetz",
}

_SHORT = {
    "original_gravity": "fermenter.original_gravity",
    "final_gravity": "fermenter.final_gravity",
    "alcohol": "fermenter.alcohol",
    "attenuation": "fermenter.attenuation",
    "bitterness_ratio": "glass.bitterness_ratio",
    "colour": "glass.colour",
    "mash_ph": "mash.ph",
    "carbonation": "keg.carbonation",
    "volume": "fermenter.volume",
    "volume_into_keg": "keg.volume",
}


def figure_kind(figure: str) -> FigureKind | None:
    """Return what kind of quantity a figure is; None if there is no such figure.

    A second vessel or part may be named: ``mash.2.ph``, ``fermenter.b.final_gravity``.
    """
    if figure in _KINDS:
        return _KINDS[figure]
    parts = figure.split(".")
    if len(parts) >= 3 and len(parts[1]) == 1 and parts[1].isascii() and parts[1].isalnum():
        return _KINDS.get(".".join((parts[0], *parts[2:])))
    return None


def figure_of_key(key: str, bitterness_by: str) -> str | None:
    """Return the full name of a figure a recipe names, short or whole; None if there is none."""
    if key == "bitterness":
        return BITTERNESS_FIGURE[bitterness_by]
    if key in _SHORT:
        return _SHORT[key]
    return key if figure_kind(key) is not None else None


def short_names() -> dict[str, str]:
    """Return the figure of each short name but bitterness, whose figure depends on its rule."""
    return dict(_SHORT)
