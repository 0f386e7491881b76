"""What the keys of a water report are called on a page, and how a figure reads once it is understood."""

from __future__ import annotations

from collections.abc import Callable

import attrs

from gyle.beer.page import Address, Page
from gyle.beer.section import Section
from gyle.beer.water import Water
from gyle.beer.water_substances import MAJOR, OTHERS, in_words
from gyle.errors import GyleError
from gyle.quantities import write

__all__ = ["KEY_WORDS", "AddressedPage", "alone", "means"]

_BY_ELEMENT = {"N": "nitrogen", "S": "sulfur", "P": "phosphorus"}
_OWN = {
    "acid_capacity": "acid capacity to pH 4.3",
    "base_capacity": "base capacity to pH 8.2",
    "carbonate_hardness": "carbonate hardness",
    "alkalinity": "total alkalinity",
    "hardness": "total hardness",
    "conductivity": "conductivity",
    "ph": "pH",
    "temperature": "temperature of the water",
    "chlorine": "free chlorine",
    "chloramine": "chloramine",
    "bicarbonate": "bicarbonate",
    "carbonate": "carbonate",
}
_ELEMENT_KEYS = ("nitrate_N", "sulfate_S", "nitrite_N", "ammonium_N", "phosphate_P")
KEY_WORDS: dict[str, str] = {
    **{ion: ion for ion in (*MAJOR, *OTHERS)},
    **_OWN,
    **{key: f"{key[:-2]}, stated as {_BY_ELEMENT[key[-1]]}" for key in _ELEMENT_KEYS},
}
"""Every key a report may state a figure under, in a reader's words."""

_ALKALINE = ("acid_capacity", "carbonate_hardness", "alkalinity", "bicarbonate", "carbonate")


class AddressedPage(Page):
    """A page that also keeps each fault by the key it is about; "" for those of the whole."""

    def __init__(self, data: dict[str, object], text: str, name: str) -> None:
        super().__init__(data, text, name)
        self.by_key: dict[str, list[str]] = {}

    def fault(self, sentence: str, address: Address = (), place: str = "") -> None:
        """Keep a fault with the place where it stands."""
        super().fault(sentence, address, place)
        told = self.by_key.setdefault(str(address[0]) if address else "", [])
        if sentence not in told:
            told.append(sentence)


@attrs.frozen(kw_only=True)
class _Alone:
    """A figure read by itself: the water it makes, or why it makes none."""

    water: Water | None
    fault: str = ""


def alone(key: str, value: str) -> _Alone:
    """Read one figure of a report by itself, as the whole report would read it."""
    from gyle.beer.water_reading import water_of  # and the chemistry behind it

    data: dict[str, object] = {key: value}
    if key == "carbonate":
        data["bicarbonate"] = 100  # it means nothing by itself
    page = AddressedPage(data, "", "the line")
    try:
        water = water_of(Section(page, page.data))
    except GyleError as error:
        return _Alone(water=None, fault=str(error))
    if page.faults:
        return _Alone(water=None, fault=next(iter(page.by_key.get(key, page.faults))))
    return _Alone(water=water)


def means(key: str, water: Water) -> str:
    """Return a figure that was read as it counts: "94.4 mg/L", "5.72 mEq/L of alkalinity", "7.41 at 9.3 °C"."""
    shown: dict[str, Callable[[], str]] = {
        "ph": lambda: _ph(water),
        "temperature": lambda: "" if water.temperature_C is None else write(water.temperature_C, "temperature"),
        "hardness": lambda: f"{write(water.hardness_mEq_L.centre, 'hardness')} of hardness",
        "conductivity": lambda: _of(water.conductivity_uS_cm, "µS/cm at 25 °C"),
        "base_capacity": lambda: _of(water.base_capacity_mmol_L, "mmol/L"),
        "chlorine": lambda: _of(water.chlorine_mg_L, "mg/L"),
        "chloramine": lambda: _of(water.chloramine_mg_L, "mg/L"),
    }
    if key in shown:
        return shown[key]()
    if key == "carbonate":
        return ""
    if key in _ALKALINE:
        titrated = (key == "acid_capacity" and water.acid_capacity_mEq_L) or water.alkalinity_mEq_L
        return f"{write(titrated.centre, 'alkalinity')} of alkalinity"
    ion = key.partition("_")[0]
    return f"{in_words(water.mg_L(ion))}{f' of {ion}' if ion != key else ''}"


def _ph(water: Water) -> str:
    warmth = "" if water.ph_temperature_C is None else f" at {write(water.ph_temperature_C, 'temperature')}"
    return f"{water.ph.centre:.2f}{warmth}"


def _of(figure: object, unit: str) -> str:
    centre = getattr(figure, "centre", None)
    return "" if centre is None else in_words(float(centre), unit)
