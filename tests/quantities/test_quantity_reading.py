"""What people write, and what it means."""

from __future__ import annotations

import re

import pytest

from gyle.errors import BadInput
from gyle.quantities import kinds, read, read_gravity

FIRST = re.compile(r"[^(/=@]+?(?= ?[(/=]| at |$)")
LB, OZ = 0.45359237, 0.028349523125


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("4.9 kg", "mass", 4.9),
        ("4,9kg", "mass", 4.9),
        ("45 g", "mass", 0.045),
        ("4 lb 3 oz", "mass", 4 * LB + 3 * OZ),
        ("17 lb. 8 oz.", "mass", 17 * LB + 8 * OZ),
        ("4 lb, 3 oz", "mass", 4 * LB + 3 * OZ),
        ("4lb3oz", "mass", 4 * LB + 3 * OZ),
        ("1 lb 1 1/2 oz", "mass", LB + 1.5 * OZ),
        ("1 1/2 lb", "mass", 1.5 * LB),
        ("1-1/2 lb", "mass", 1.5 * LB),
        ("1½ oz", "mass", 1.5 * OZ),
        ("½ oz", "mass", 0.5 * OZ),
        (".5 oz", "mass", 0.5 * OZ),
        ("2 Pounds", "mass", 2 * LB),
        ("1.234,5 g", "mass", 1.2345),
        ("1,234.5 g", "mass", 1.2345),
        ("1,234,567 g", "mass", 1234.567),
        ("1.234.567 g", "mass", 1234.567),
        ("1'234 g", "mass", 1.234),
        ("1 234,5 g", "mass", 1.2345),
        ("0,500 kg", "mass", 0.5),
        ("1.050 kg", "mass", 1.05),
        ("21 L", "volume", 21.0),
        ("21\u00a0l", "volume", 21.0),
        ("21 liters", "volume", 21.0),
        ("500 mL", "volume", 0.5),
        ("0.2 hl", "volume", 20.0),
        ("5.5 gal", "volume", 5.5 * 3.785411784),
        ("5.5 US gal", "volume", 5.5 * 3.785411784),
        ("5.5 U.S. gallons", "volume", 5.5 * 3.785411784),
        ("1 gal 2 qt", "volume", 1.5 * 3.785411784),
        ("5 imp gal", "volume", 22.73045),
        ("5 imperial gallons", "volume", 22.73045),
        ("12 fl. oz.", "volume", 12 * 3.785411784 / 128),
        ("66 °C", "temperature", 66.0),
        ("66C", "temperature", 66.0),
        ("66 degC", "temperature", 66.0),
        ("66 degrees Celsius", "temperature", 66.0),
        ("66 ℃", "temperature", 66.0),
        ("66 ºC", "temperature", 66.0),
        ("−2 °C", "temperature", -2.0),
        ("152 F", "temperature", 200 / 3),
        ("300 K", "temperature", 26.85),
        ("3 K", "temperature_difference", 3.0),
        ("-9 °F", "temperature_difference", -5.0),
        ("24 EBC", "colour", 24.0),
        ("40 L", "colour", 40 * 25 / 12.7),
        ("75 min", "time", 75.0),
        ("1 h 30 min", "time", 90.0),
        ("1h30m", "time", 90.0),
        ("1 hour and 30 minutes", "time", 90.0),
        ("14 days", "time", 14 * 1440.0),
        ("1 day", "time", 1440.0),
        ("2 weeks", "time", 14 * 1440.0),
        ("90 s", "time", 1.5),
        ("75 ppm", "concentration", 75.0),
        ("0.075 g/l", "concentration", 75.0),
        ("3.0 kW", "power", 3.0),
        ("2000w", "power", 2.0),
        ("3.4 L/h", "flow", 3.4),
        ("3.4 litres per hour", "flow", 3.4),
        ("8 L/min", "flow", 480.0),
        ("48 %", "percent", 48.0),
        ("48%", "percent", 48.0),
        ("48 per cent", "percent", 48.0),
        ("12.9 % AA", "percent", 12.9),
        ("55 IBU", "bitterness", 55.0),
        ("1.1 M/mL/°P", "pitch_rate", 1.1),
        ("0.75 million/mL/°P", "pitch_rate", 0.75),
        ("0.75 million cells per mL per degree Plato", "pitch_rate", 0.75),
        ("200 billion", "cells", 2e11),
        ("200 bn", "cells", 2e11),
        ("2e11 cells", "cells", 2e11),
        ("2×10¹¹ cells", "cells", 2e11),
        ("2 x 10^11 cells", "cells", 2e11),
        ("1.8 g/L", "hop_rate", 1.8),
        ("2.8 L/kg", "thickness", 2.8),
        ("2.3 vol", "carbonation", 2.3),
        ("2.3 volumes of CO₂", "carbonation", 2.3),
        ("40 m", "length", 40.0),
        ("5 ft 3 in", "length", 1.6002),
        ("2 packs", "count", 2.0),
        ("3", "count", 3.0),
        ("0,90", "ratio", 0.9),
        ("pH 5.4", "ph", 5.4),
        ("7,41 at 9,3 °C", "ph", 7.41),
        ("350 kJ/100 mL", "food_energy", 350 / 4.184),
        ("8 points", "gravity_difference", 0.008),
        ("1.2 kWh", "energy", 1.2),
    ],
)
def test_value(text: str, kind: str, value: float) -> None:
    found = read(text, kind)
    assert found.value == pytest.approx(value, rel=1e-12)
    assert (found.kind, found.text) == (kind, text)


@pytest.mark.parametrize(
    ("text", "basis", "value"),
    [
        ("0.8 bar", "gauge", 0.8),
        ("0.8 bar(g)", "gauge", 0.8),
        ("0.8 barg", "gauge", 0.8),
        ("-0.2 bar", "gauge", -0.2),
        ("12 psi", "gauge", 12 * 0.0689475729),
        ("12 psig", "gauge", 12 * 0.0689475729),
        ("1.8 bar abs", "absolute", 1.8),
        ("1.8 bara", "absolute", 1.8),
        ("180 kPa (abs)", "absolute", 1.8),
        ("14 psia", "absolute", 14 * 0.0689475729),
        ("1013 hPa absolute", "absolute", 1.013),
    ],
)
def test_pressure_says_gauge_or_absolute(text: str, basis: str, value: float) -> None:
    found = read(text, "pressure")
    assert (found.basis, found.value) == (basis, pytest.approx(value, rel=1e-8))


@pytest.mark.parametrize(
    ("text", "scale", "value"),
    [
        ("1.098", "SG", 1.098),
        ("1,098", "SG", 1.098),
        ("1.098 SG", "SG", 1.098),
        ("SG 1.098", "SG", 1.098),
        ("98 points", "SG", 1.098),
        ("0.996", "SG", 0.996),
        ("24.1 °P", "°P", 24.1),
        ("24.1 Plato", "°P", 24.1),
        ("24,1 °Bx", "°Bx", 24.1),
        ("24.1 Brix", "°Bx", 24.1),
        (1.102, "SG", 1.102),
    ],
)
def test_gravity_keeps_its_scale(text: str | float, scale: str, value: float) -> None:
    found = read_gravity(text)
    assert (found.scale, found.value) == (scale, pytest.approx(value, rel=1e-12))


def test_gravity_shorthand_only_when_asked() -> None:
    with pytest.raises(BadInput):
        read_gravity("1058")
    found = read_gravity("1058 at 40 °C", allow_shorthand=True)
    assert (found.value, found.half_digit, found.at_C, found.text) == (1.058, 0.0005, 40.0, "1058 at 40 °C")
    assert read_gravity(998, allow_shorthand=True).value == 0.998
    assert read_gravity("1.058", allow_shorthand=True).value == 1.058


def test_a_gravity_may_be_given_on_two_scales() -> None:
    found = read_gravity("1.098 (23.3 °P)")
    assert found.second is not None
    assert (found.value, found.second.value, found.second.scale) == (1.098, 23.3, "°P")
    assert found.pair_agrees is None


def test_specific_gravity_has_three_decimals_whatever_is_printed() -> None:
    assert read(1.1, "gravity").half_digit == 0.0005
    assert read("1.05", "gravity").half_digit == 0.0005
    assert read("1.0502", "gravity").half_digit == pytest.approx(0.00005)
    assert read("12 °P", "gravity").half_digit == 0.5


@pytest.mark.parametrize(
    ("text", "kind", "half_digit"),
    [
        ("64 °C", "temperature", 0.5),
        ("64 °F", "temperature", 0.5 * 5 / 9),
        ("1.25 kg", "mass", 0.005),
        ("1,25 kg", "mass", 0.005),
        ("1.25 oz", "mass", 0.005 * OZ),
        ("4 lb 3 oz", "mass", 0.5 * OZ),
        ("4 lb 3.5 oz", "mass", 0.05 * OZ),
        ("½ oz", "mass", 0.25 * OZ),
        ("1 1/4 lb", "mass", LB / 8),
        ("1,234.5 g", "mass", 0.00005),
        ("2.0e11 cells", "cells", 0.05e11),
        ("200 billion", "cells", 0.5e9),
        (5.4, "ph", 0.05),
        (21, "ratio", 0.5),
    ],
)
def test_half_a_unit_of_the_last_printed_digit(text: str | float, kind: str, half_digit: float) -> None:
    assert read(text, kind).half_digit == pytest.approx(half_digit, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "at_C"),
    [
        ("31.5 L at 76 °C", "volume", 76.0),
        ("31.5 L @ 76 °C", "volume", 76.0),
        ("31.5 L@76°C", "volume", 76.0),
        ("8.3 gal at 169 °F", "volume", 685 / 9),
        ("1.062 at 40 °C", "gravity", 40.0),
        ("12 psi at 5 °C", "pressure", 5.0),
        ("2.6 vol at 3 °C", "carbonation", 3.0),
        ("31.5 L (8.3 gal) at 76 °C", "volume", 76.0),
    ],
)
def test_the_temperature_it_holds_at(text: str, kind: str, at_C: float) -> None:
    assert read(text, kind).at_C == pytest.approx(at_C, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "agrees"),
    [
        ("30 °C (75 °F)", "temperature", False),
        ("25 L (5 US gal)", "volume", False),
        ("0.8 bar (20 psi)", "pressure", False),
        ("18 °C (64 °F)", "temperature", True),
        ("176 °F (80 °C)", "temperature", True),
        ("18 °C / 64 °F", "temperature", True),
        ("18 °C/64 °F", "temperature", True),
        ("18 °C = 64 °F", "temperature", True),
        ("18 °C (≈ 64 °F)", "temperature", True),
        ("18 °C (about 64 °F)", "temperature", True),
        ("18.0 °C (64 °F)", "temperature", True),  # 64.4 is printed as 64
        ("18.0 °C (64.0 °F)", "temperature", False),
        ("1 oz (28 g)", "mass", True),
        ("1.00 oz (28 g)", "mass", True),
        ("1.00 oz (30 g)", "mass", False),
        ("4 lb 3 oz (1.9 kg)", "mass", True),
        ("4 lb 3 oz (1.8 kg)", "mass", False),
        ("12 psi (0.83 bar)", "pressure", True),
        ("24 EBC (12 SRM)", "colour", True),
        ("1 h 30 min (90 min)", "time", True),
        ("2 weeks (14 days)", "time", True),
        ("31.5 L at 76 °C (8.3 gal at 169 °F)", "volume", True),
        ("31.5 L at 76 °C (8.3 gal at 150 °F)", "volume", False),
        ("31.5 L at 76 °C (169 °F)", "volume", True),
        ("31.5 L at 76 °C (150 °F)", "volume", False),
        ("0.8 bar (1.8 bar abs)", "pressure", None),
        ("18 °C", "temperature", None),
    ],
)
def test_a_value_given_twice(text: str, kind: str, agrees: bool | None) -> None:
    found = read(text, kind)
    assert found.pair_agrees is agrees
    assert found.value == read(FIRST.match(text)[0], kind).value  # type: ignore[index]


def test_both_texts_of_a_pair_are_kept() -> None:
    found = read("18 °C (64 °F)", "temperature")
    assert found.second is not None
    assert (found.text, found.second.text, found.second.unit) == ("18 °C (64 °F)", "64 °F", "°F")
    assert found.second.value == pytest.approx(160 / 9)


def test_a_bare_number_takes_the_unit_it_is_given() -> None:
    assert read(75, "concentration", bare="mg/L").value == 75.0
    assert read("15", "time", bare="min").value == 15.0
    assert read(15.5, "gravity", bare="°P").basis == "°P"
    assert read("15 h", "time", bare="min").value == 900.0
    assert read("18 (64)", "temperature", bare="°C").pair_agrees is False


def test_unit_of_money_is_its_currency() -> None:
    assert {read(t, "money").basis for t in ("3.20 €", "€3.20", "EUR 3.20", "3,20 euros")} == {"€"}
    assert read("$1,050.00", "money").value == 1050.0


def test_percent_says_by_volume_or_by_mass() -> None:
    assert read("12.4 % ABV", "percent").basis == "by volume"
    assert read("9.8 % w/w", "percent").basis == "by mass"
    assert read("12.4 % ABV (9.8 % ABW)", "percent").pair_agrees is None


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        (
            "21 florps",
            "volume",
            '"21 florps" is not a volume: write a number with L, mL, hL, gal, qt, pt or fl oz',
        ),
        ("21 L", "mass", '"21 L" is a volume, not a mass: write a number with kg, g, mg, lb or oz'),
        ("65", "temperature", '"65" has no unit: write a number with °C, °F or K'),
        ("24.1", "gravity", '"24.1" has no unit: write a number with SG, °P or °Bx'),
        ("0.48", "percent", '"0.48" has no unit: write a number with %'),
        ("1,050 g", "mass", '"1,050 g" can be read in two ways: write "1.05 g" or "1050 g"'),
        (
            "65–68 °C",
            "temperature",
            '"65-68 °C" is a range where one value is wanted: write a number with °C, °F or K',
        ),
        (
            "10 to 15 min",
            "time",
            '"10 to 15 min" is a range where one value is wanted: write a number with min, h, s, days or weeks',
        ),
        ("-3 kg", "mass", '"-3 kg" cannot be a mass: it must be at least 0 kg'),
        ("-300 °C", "temperature", '"-300 °C" cannot be a temperature: it must be at least -273.15 °C'),
        ("1.5 SG", "gravity", '"1.5 SG" cannot be a gravity: it must be between 0.95 and 1.3 SG'),
        ("1e999 kg", "mass", '"1e999 kg" is too large to mean anything: write a smaller number'),
        ("", "mass", "nothing is written where a mass is wanted: write a number with kg, g, mg, lb or oz"),
        (
            "18 °C (64 °F) (291 K)",
            "temperature",
            '"18 °C (64 °F) (291 K)" gives a temperature more than twice: write it once or twice',
        ),
        (float("nan"), "mass", '"nan" is no quantity: write a number'),
        (float("inf"), "mass", '"inf" is no quantity: write a number'),
        (10**400, "mass", "the number is too large to mean anything: write a smaller one"),
        (True, "mass", "a quantity is a text with its unit or a number, not true or false"),
        (None, "mass", "a quantity is a text with its unit or a number, not nothing"),
        ([], "mass", "a quantity is a text with its unit or a number, not a list"),
    ],
)
def test_refusal_says_what_would_be_right(text: object, kind: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(text, kind)  # type: ignore[arg-type]
    assert str(caught.value) == sentence


@pytest.mark.parametrize("number", ["0.48", "0,48", "1/2"])
def test_a_share_is_not_silently_a_percentage(number: str) -> None:
    with pytest.raises(BadInput, match="may be a share or per cent"):
        read(number, "percent", bare="%")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("nan L", "volume"),
        ("inf kg", "mass"),
        ("1..2 kg", "mass"),
        ("1.2.3 kg", "mass"),
        ("1,23,456 g", "mass"),
        ("1_000 g", "mass"),
        ("0x10 g", "mass"),
        ("65/149 °F", "temperature"),
        ("1/0 oz", "mass"),
        ("3/2 oz", "mass"),
        ("4 lb 3", "mass"),
        ("4 lb -3 oz", "mass"),
        ("4 lb .5 oz", "mass"),
        ("4 3 oz", "mass"),
        ("2 oz 3 lb", "mass"),
        ("2 lb 3 lb", "mass"),
        ("2 x 100 g", "mass"),
        ("- kg", "mass"),
        ("kg", "mass"),
        ("kg 3", "mass"),
        ("40 °C (hot)", "temperature"),
        ("40 °C ()", "temperature"),
        ("18 °C (64 °F", "temperature"),
        ("31.5 L at 76", "volume"),
        ("31.5 L at", "volume"),
        ("3 kg at 20 °C", "mass"),
        ("٣ kg", "mass"),
        ("3 \u200bkg", "mass"),
        ("1 M", "time"),
        ("66 k", "temperature"),
        ("5 GG", "mass"),
        ("18 °C (3 kg)", "temperature"),
        ("3 °C at 20 °C", "temperature"),
    ],
)
def test_refused(text: str, kind: str) -> None:
    with pytest.raises(BadInput):
        read(text, kind)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("1,050 g", "mass"),
        ("1,050 mL", "volume"),
        ("12,500 BTU/h", "power"),
        ("1,050 lb 3 oz", "mass"),
        ("1,050 mg/L", "concentration"),
        ("2,500 €", "money"),
    ],
)
def test_one_comma_before_three_digits_is_never_guessed(text: str, kind: str) -> None:
    with pytest.raises(BadInput, match="can be read in two ways"):
        read(text, kind)


def test_an_unknown_kind_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="no kind of quantity"):
        read("3 kg", "weightiness")
    with pytest.raises(ValueError, match="no unit of mass"):
        read("3", "mass", bare="L")
    assert "mass" in kinds()


def test_fahrenheit_is_no_hardness() -> None:
    with pytest.raises(BadInput, match="is a temperature, not a hardness"):
        read("64 °F", "hardness")
