"""Numbers as texts: the right unit, honest digits, and back again."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gyle.errors import BadInput
from gyle.quantities import band_text, kinds, read, unit_for, write, write_band

SYSTEMS = ("metric", "us")
# What a brewer may meet, by kind and scale (canonical units).
SPANS: dict[tuple[str, str], tuple[float, float]] = {
    ("mass", ""): (1e-5, 500.0),
    ("volume", ""): (1e-4, 2000.0),
    ("temperature", ""): (-40.0, 300.0),
    ("temperature_difference", ""): (-80.0, 80.0),
    ("pressure", "gauge"): (-1.0, 10.0),
    ("pressure", "absolute"): (0.0, 10.0),
    ("gravity", "SG"): (0.96, 1.2),
    ("gravity", "°P"): (-5.0, 60.0),
    ("gravity", "°Bx"): (-5.0, 80.0),
    ("gravity_difference", "SG"): (-0.2, 0.2),
    ("colour", ""): (0.0, 3000.0),
    ("time", ""): (0.0, 1e6),
    ("concentration", "mg/L"): (0.0, 5000.0),
    ("concentration", "mmol/L"): (0.0, 50.0),
    ("concentration", "mEq/L"): (0.0, 50.0),
    ("hardness", ""): (0.0, 50.0),
    ("alkalinity", ""): (-10.0, 50.0),
    ("power", ""): (0.0, 50.0),
    ("energy", ""): (0.0, 50.0),
    ("food_energy", ""): (0.0, 2000.0),
    ("flow", ""): (0.0, 2000.0),
    ("percent", ""): (0.0, 120.0),
    ("percent", "by volume"): (0.0, 100.0),
    ("bitterness", ""): (0.0, 300.0),
    ("pitch_rate", ""): (0.0, 10.0),
    ("cells", ""): (0.0, 1e13),
    ("hop_rate", ""): (0.0, 50.0),
    ("thickness", ""): (0.1, 20.0),
    ("carbonation", ""): (0.0, 10.0),
    ("length", ""): (-400.0, 5000.0),
    ("count", ""): (0.0, 1000.0),
    ("ratio", ""): (0.0, 10.0),
    ("ph", ""): (0.0, 14.0),
    ("money", "€"): (0.0, 1e6),
}


def test_every_kind_goes_round() -> None:
    assert {kind for kind, _ in SPANS} == set(kinds())


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(("kind", "basis"), SPANS, ids=str)
def test_what_is_written_is_read_back(kind: str, basis: str, system: str) -> None:
    low, high = SPANS[kind, basis]

    @given(st.floats(low, high), st.sampled_from([None, 0, 2, 5]))
    @example(low, None)
    @example(high, None)
    def goes_round(value: float, digits: int | None) -> None:
        text = write(value, kind, system=system, basis=basis, digits=digits)
        found = read(text, kind)
        slack = 1e-9 * abs(value) + 1e-12
        assert abs(found.value - value) <= found.half_digit + slack, text

    goes_round()


@given(st.floats(0.02, 300.0))
def test_us_masses_lose_less_than_a_tenth_of_an_ounce(value: float) -> None:
    found = read(write(value, "mass", system="us"), "mass")
    assert abs(found.value - value) <= 0.0500001 * 0.028349523125


@pytest.mark.parametrize("at_C", [-1.0, 20.0, 76.0, 99.5])
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_temperature_goes_round(at_C: float, system: str) -> None:
    found = read(write(31.5, "volume", system=system, at=at_C), "volume")
    assert found.at_C == pytest.approx(at_C, abs=0.3)


@pytest.mark.parametrize(
    ("value", "kind", "metric", "us"),
    [
        (4.9, "mass", "4.9 kg", "10 lb 12.8 oz"),
        (1.9, "mass", "1.9 kg", "4 lb 3 oz"),
        (0.45359237, "mass", "454 g", "1 lb"),
        (0.0354369, "mass", "35.4 g", "1.25 oz"),
        (0.00042, "mass", "0.42 g", "0.42 g"),
        (21.0, "volume", "21 L", "5.55 gal"),
        (1.5, "volume", "1.5 L", "1.59 qt"),
        (0.45, "volume", "450 mL", "15.2 fl oz"),
        (0.0032, "volume", "3.2 mL", "3.2 mL"),
        (65.0, "temperature", "65 °C", "149 °F"),
        (80.0, "temperature", "80 °C", "176 °F"),
        (5.0, "temperature", "5 °C", "41 °F"),
        (-0.04, "temperature", "0 °C", "32 °F"),
        (5.0, "temperature_difference", "5 °C", "9 °F"),
        (0.8273708748, "pressure", "0.83 bar", "12 psi"),
        (1.05, "gravity", "1.050", "1.050"),
        (0.006, "gravity_difference", "6 points", "6 points"),
        (24.2, "colour", "24 EBC", "12 SRM"),
        (5.2, "colour", "5.2 EBC", "2.6 SRM"),
        (90.0, "time", "90 min", "90 min"),
        (330.0, "time", "5 h 30 min", "5 h 30 min"),
        (20160.0, "time", "14 days", "14 days"),
        (3.2, "flow", "3.2 L/h", "0.85 gal/h"),
        (2.8, "thickness", "2.8 L/kg", "1.34 qt/lb"),
        (7.489, "hop_rate", "7.49 g/L", "1 oz/gal"),
        (2e11, "cells", "200 billion", "200 billion"),
        (5.4, "ph", "pH 5.4", "pH 5.4"),
        (3.0, "count", "3", "3"),
    ],
)
def test_text(value: float, kind: str, metric: str, us: str) -> None:
    assert (write(value, kind), write(value, kind, system="us")) == (metric, us)


def test_a_unit_may_be_chosen() -> None:
    assert write(0.0031, "mass", unit="ounces", digits=3) == "0.109 oz"
    assert write(1440.0, "time", unit="days") == "1 day"
    assert write(1.8, "pressure", basis="absolute") == "1.8 bar abs"
    assert write(1.8, "pressure", basis="absolute", system="us") == "26 psi abs"
    assert write(24.1, "gravity", basis="°P") == "24.1 °P"
    assert write(3.2, "money", basis="€") == "3.20 €"
    assert write(4.9, "mass", digits=3) == "4.900 kg"


def test_the_unit_of_a_system() -> None:
    assert [unit_for(kind, "us") for kind in ("mass", "volume", "temperature", "pressure")] == [
        "lb",
        "gal",
        "°F",
        "psi",
    ]
    assert [unit_for(kind, "metric") for kind in ("mass", "volume", "thickness", "flow")] == [
        "kg",
        "L",
        "L/kg",
        "L/h",
    ]
    assert unit_for("mass", "metric", value=0.045) == "g"


@pytest.mark.parametrize(
    ("band", "kind", "metric", "us"),
    [
        ((21.0, 20.4, 21.6), "volume", "21.0 L (20.4 to 21.6)", "5.55 gal (5.39 to 5.71)"),
        ((1.0981, 1.0952, 1.1009), "gravity", "1.098 (1.095 to 1.101)", "1.098 (1.095 to 1.101)"),
        ((55.3, 48.1, 62.9), "bitterness", "55 IBU (48 to 63)", "55 IBU (48 to 63)"),
        ((134.0, 101.0, 163.0), "colour", "130 EBC (100 to 160)", "68 SRM (51 to 83)"),
        ((5.4, 5.35, 5.45), "ph", "pH 5.40 (5.35 to 5.45)", "pH 5.40 (5.35 to 5.45)"),
        ((0.045, 0.04, 0.05), "mass", "45 g (40 to 50)", "1.59 oz (1.41 to 1.76)"),
        ((21.0, 21.0, 21.0), "volume", "21.0 L (21.0 to 21.0)", "5.55 gal (5.55 to 5.55)"),
    ],
)
def test_band(band: tuple[float, float, float], kind: str, metric: str, us: str) -> None:
    assert (write_band(*band, kind), write_band(*band, kind, system="us")) == (metric, us)


@given(st.floats(0.5, 500.0), st.floats(1e-4, 0.9))
def test_no_end_of_a_band_moves_by_more_than_a_tenth_of_it(mean: float, share: float) -> None:
    low, high = mean * (1 - share), mean * (1 + share)
    texts = band_text(mean, low, high, "bitterness")
    step = 10.0 ** -(len(texts.low.split(".")[1]) if "." in texts.low else 0)
    width = high - low
    for text, number in ((texts.mean, mean), (texts.low, low), (texts.high, high)):
        assert abs(float(text) - number) <= max(0.1 * width, 0.05) * (1 + 1e-9)
    # One digit fewer would move an end too far, or there is no digit to take away.
    assert step >= 1.0 or 10 * step / 2 > 0.1 * width * (1 - 1e-9)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_written(bad: float) -> None:
    with pytest.raises(BadInput, match="finite"):
        write(bad, "mass")
    with pytest.raises(BadInput, match="finite"):
        write_band(1.0, bad, 2.0, "mass")


def test_wrong_wishes() -> None:
    with pytest.raises(BadInput, match="metric or us"):
        write(1.0, "mass", system="troy")
    with pytest.raises(BadInput, match="no unit to write a mass in"):
        write(1.0, "mass", unit="L")
    with pytest.raises(ValueError, match="above its end"):
        write_band(1.0, 2.0, 1.0, "mass")
