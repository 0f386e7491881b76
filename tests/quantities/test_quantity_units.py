"""Every factor of the unit table against an independent library or a published figure."""

from __future__ import annotations

import pint
import pytest

from gyle.errors import BadInput
from gyle.quantities import convert, kinds, read, units
from gyle.quantities.tables import KINDS

# The same units in the library's words; (canonical unit, {ours: theirs}).
THEIRS: dict[str, tuple[str, dict[str, str]]] = {
    "mass": ("kg", {"kg": "kg", "g": "g", "mg": "mg", "lb": "pound", "oz": "ounce"}),
    "volume": (
        "liter",
        {
            "L": "liter",
            "mL": "milliliter",
            "cL": "centiliter",
            "hL": "hectoliter",
            "gal": "US_liquid_gallon",
            "qt": "US_liquid_quart",
            "pt": "US_pint",
            "fl oz": "US_fluid_ounce",
            "cup": "US_liquid_cup",
            "tbsp": "tablespoon",
            "tsp": "teaspoon",
            "bbl": "beer_barrel",
            "imp gal": "imperial_gallon",
            "imp qt": "imperial_quart",
            "imp pt": "imperial_pint",
            "imp fl oz": "imperial_fluid_ounce",
        },
    ),
    "temperature_difference": ("delta_degC", {"K": "kelvin", "°C": "delta_degC", "°F": "delta_degF"}),
    "pressure": (
        "bar",
        {
            symbol + suffix: theirs
            for symbol, theirs in {
                "bar": "bar",
                "mbar": "millibar",
                "kPa": "kilopascal",
                "hPa": "hectopascal",
                "Pa": "pascal",
                "psi": "pound_force_per_square_inch",
                "atm": "standard_atmosphere",
            }.items()
            for suffix in ("", " abs")
        },
    ),
    "time": ("minute", {"min": "minute", "s": "second", "h": "hour", "d": "day", "week": "week"}),
    "power": (
        "kilowatt",
        {"kW": "kilowatt", "W": "watt", "BTU/h": "international_british_thermal_unit/hour"},
    ),
    "energy": (
        "kilowatt_hour",
        {
            "kWh": "kilowatt_hour",
            "Wh": "watt_hour",
            "MJ": "megajoule",
            "kJ": "kilojoule",
            "kcal": "kilocalorie",
            "BTU": "international_british_thermal_unit",
        },
    ),
    "food_energy": (
        "kilocalorie / (100 milliliter)",
        {
            "kcal/100 mL": "kilocalorie / (100 milliliter)",
            "kJ/100 mL": "kilojoule / (100 milliliter)",
            "kcal/12 fl oz": "kilocalorie / (12 US_fluid_ounce)",
        },
    ),
    "flow": (
        "liter/hour",
        {
            "L/h": "liter/hour",
            "L/min": "liter/minute",
            "mL/min": "milliliter/minute",
            "gal/h": "US_liquid_gallon/hour",
            "gal/min": "US_liquid_gallon/minute",
            "qt/h": "US_liquid_quart/hour",
            "imp gal/h": "imperial_gallon/hour",
        },
    ),
    "hop_rate": (
        "gram/liter",
        {
            "g/L": "gram/liter",
            "g/hL": "gram/hectoliter",
            "kg/hL": "kilogram/hectoliter",
            "mg/L": "milligram/liter",
            "oz/gal": "ounce/US_liquid_gallon",
            "lb/bbl": "pound/beer_barrel",
            "lb/gal": "pound/US_liquid_gallon",
        },
    ),
    "thickness": (
        "liter/kilogram",
        {"L/kg": "liter/kg", "qt/lb": "US_liquid_quart/pound", "gal/lb": "US_liquid_gallon/pound"},
    ),
    "length": (
        "meter",
        {
            "m": "meter",
            "km": "km",
            "cm": "cm",
            "mm": "mm",
            "ft": "international_foot",
            "in": "international_inch",
        },
    ),
}
PAIRS = [(kind, own, ours, theirs) for kind, (own, table) in THEIRS.items() for ours, theirs in table.items()]
# Kinds that no general library knows; their factors are checked below or are the number itself.
OTHERS = {
    "temperature",
    "gravity",
    "gravity_difference",
    "colour",
    "concentration",
    "hardness",
    "alkalinity",
    "percent",
    "bitterness",
    "pitch_rate",
    "cells",
    "carbonation",
    "count",
    "ratio",
    "ph",
    "money",
}


@pytest.fixture(scope="module")
def library() -> pint.UnitRegistry:
    return pint.UnitRegistry(cache_folder=None)


def test_every_kind_is_checked() -> None:
    assert set(THEIRS) | OTHERS == set(kinds())
    assert not set(THEIRS) & OTHERS


@pytest.mark.parametrize("kind", THEIRS)
def test_every_unit_of_a_checked_kind_is_checked(kind: str) -> None:
    assert set(THEIRS[kind][1]) == set(units(kind))


@pytest.mark.source("pint's unit definitions", provenance="computed-with-pint")
@pytest.mark.parametrize(("kind", "own", "ours", "theirs"), PAIRS, ids=lambda v: v)
def test_factor_is_the_librarys(library: pint.UnitRegistry, kind: str, own: str, ours: str, theirs: str) -> None:
    expected = (7.25 * library.parse_expression(theirs) / library.parse_expression(own)).to("").magnitude
    assert read(f"7.25 {ours}", kind).value == pytest.approx(expected, rel=1e-12)


@pytest.mark.source("pint's unit definitions", provenance="computed-with-pint")
@pytest.mark.parametrize(("ours", "theirs"), [("°C", "degC"), ("°F", "degF"), ("K", "kelvin")])
@pytest.mark.parametrize("number", [0.5, 75.0, 212.0, 310.15])
def test_temperature_is_the_librarys(library: pint.UnitRegistry, ours: str, theirs: str, number: float) -> None:
    expected = library.Quantity(number, theirs).to("degC").magnitude
    assert read(f"{number} {ours}", "temperature").value == pytest.approx(expected, abs=1e-11)


@pytest.mark.source("pint's unit definitions", provenance="computed-with-pint")
@pytest.mark.parametrize(
    ("text", "theirs"),
    [
        ("3 mg/L", "3 mg/L"),
        ("3 g/L", "3 g/L"),
        ("3 µg/L", "3 ug/L"),
    ],
)
def test_mass_concentration_is_the_librarys(library: pint.UnitRegistry, text: str, theirs: str) -> None:
    expected = library.Quantity(theirs).to("mg/L").magnitude
    assert read(text, "concentration").value == pytest.approx(expected, rel=1e-12)


@pytest.mark.source("pint's grain, gallons and ounces", provenance="computed-with-pint")
@pytest.mark.parametrize(("unit", "theirs"), [("gr/gal", "grain/US_liquid_gallon"), ("°e", "grain/imperial_gallon")])
def test_grains_of_chalk(library: pint.UnitRegistry, unit: str, theirs: str) -> None:
    chalk = library.Quantity(10.0, theirs).to("mg/L").magnitude
    assert convert(read(f"10 {unit}", "hardness").value, "hardness", "ppm as CaCO3") == pytest.approx(chalk)


@pytest.mark.source("DIN 38409-6 and common tables of hardness", provenance="memory")
@pytest.mark.parametrize(
    ("text", "unit", "expected", "tolerance"),
    [
        ("1 °dH", "mmol/L", 0.17832, 5e-5),
        ("1 °dH", "ppm as CaCO3", 17.848, 5e-3),
        ("1 °fH", "mmol/L", 0.0999, 1e-4),
        ("1 °e", "ppm as CaCO3", 14.254, 5e-3),
        ("1 gr/gal", "ppm as CaCO3", 17.118, 5e-3),
        ("2 mEq/L", "mmol/L", 1.0, 1e-12),
    ],
)
def test_hardness(text: str, unit: str, expected: float, tolerance: float) -> None:
    assert convert(read(text, "hardness").value, "hardness", unit) == pytest.approx(expected, abs=tolerance)


@pytest.mark.source("Vöhringen municipal water analysis, 12 June 2025", provenance="retrieved")
def test_one_report_states_alkalinity_twice_and_hardness_twice() -> None:
    capacity, carbonate = read("5,72 mmol/l", "alkalinity"), read("16,0 °dH", "alkalinity")
    assert abs(capacity.value - carbonate.value) <= capacity.half_digit + carbonate.half_digit
    earths, total = read("3,1 mmol/l", "hardness"), read("17,40 °dH", "hardness")
    assert abs(earths.value - total.value) <= earths.half_digit + total.half_digit


@pytest.mark.source("Vöhringen municipal water analysis, 12 June 2025", provenance="retrieved")
def test_a_millimole_of_earths_is_not_a_millimole_of_acid() -> None:
    assert read("3,1 mmol/l", "hardness").value == 2 * read("3,1 mmol/l", "alkalinity").value


@pytest.mark.source("ASBC Beer-10 and EBC 9.6: 12.7 and 25 times one absorbance", provenance="retrieved")
def test_colour_scales() -> None:
    assert read("10 SRM", "colour").value == pytest.approx(19.7, abs=0.05)
    assert read("10 °L", "colour").value == read("10 SRM", "colour").value
    assert convert(25.0, "colour", "SRM") == pytest.approx(12.7, rel=1e-12)


@pytest.mark.source("Span and Wagner 1996, CO2 at 0 °C and 101 325 Pa", provenance="computed-with-CoolProp")
def test_a_volume_of_carbon_dioxide() -> None:
    properties = pytest.importorskip("CoolProp.CoolProp")
    density = properties.PropsSI("D", "T", 273.15, "P", 101325.0, "CO2")
    assert convert(1.0, "carbonation", "g/L") == pytest.approx(density, abs=5e-4)


@pytest.mark.source("conversions printed in brewing texts", provenance="common-practice")
@pytest.mark.parametrize(
    ("text", "kind", "unit", "expected", "digits"),
    [
        ("65 °C", "temperature", "°F", 149, 6),
        ("80 °C", "temperature", "°F", 176, 6),
        ("5 °C", "temperature", "°F", 41, 6),
        ("12 psi", "pressure", "bar", 0.83, 2),
        ("5 gal", "volume", "L", 18.93, 2),
        ("31 gal", "volume", "bbl", 1, 9),
        ("1 imp gal", "volume", "gal", 1.201, 3),
        ("1 lb", "mass", "g", 453.6, 1),
        ("1 oz", "mass", "g", 28.35, 2),
        ("1 qt/lb", "thickness", "L/kg", 2.09, 2),
        ("1 oz/gal", "hop_rate", "g/L", 7.49, 2),
        ("1 lb/bbl", "hop_rate", "g/L", 3.87, 2),
    ],
)
def test_figures_brewers_know(text: str, kind: str, unit: str, expected: float, digits: int) -> None:
    assert round(convert(read(text, kind).value, kind, unit), digits) == expected


@pytest.mark.parametrize("kind", kinds())
def test_each_unit_is_read_by_its_own_name(kind: str) -> None:
    for unit in KINDS[kind].units:
        if unit.symbol:
            number = "1.05" if kind == "gravity" else "7"
            found = read(f"{number} {unit.symbol}", kind)
            assert (found.unit, found.basis) == (unit.symbol, unit.scale)


@pytest.mark.parametrize("kind", kinds())
def test_no_spelling_means_two_units(kind: str) -> None:
    owners: dict[str, str] = {}
    for unit in KINDS[kind].units:
        for spelling in (unit.symbol, *unit.aliases):
            assert owners.setdefault(spelling, unit.symbol) == unit.symbol


def test_scales_are_not_mixed() -> None:
    with pytest.raises(BadInput, match="cannot be turned into °P"):
        convert(1.05, "gravity", "°P")
    with pytest.raises(BadInput, match="no unit of a mass"):
        convert(1.0, "mass", "florps")
    assert convert(12.0, "gravity", "Plato", basis="°P") == 12.0
