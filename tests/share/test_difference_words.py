"""Differences written down: signs, bands, and units without a zero point."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.decide.difference import FigureDifference
from gyle.line.figures import FIGURES, Band, figure
from gyle.share.difference_words import difference_text, written_difference


def band(mean: float, low: float, high: float) -> Band:
    return Band(mean=mean, low=low, high=high, median=mean)


def sure(mean: float) -> Band:
    return band(mean, mean, mean)


@pytest.mark.parametrize(
    ("difference", "kind", "system", "text"),
    [
        (band(3.0, -2.0, 9.0), "bitterness", "metric", "+3 IBU (−2 to 9)"),
        (band(3.0, 2.0, 4.0), "bitterness", "us", "+3.0 IBU (2.0 to 4.0)"),
        (band(-0.004, -0.006, -0.002), "gravity", "metric", "−0.0040 (−0.0060 to −0.0020)"),
        (band(-0.010, -0.030, 0.010), "gravity", "us", "−0.010 (−0.030 to 0.010)"),
        (sure(1.0), "temperature", "us", "+1.8 °F"),
        (sure(1.0), "temperature", "metric", "+1 °C"),
        (sure(-20.0), "temperature", "us", "−36 °F"),
        (sure(1.0), "pressure", "us", "+15 psi"),
        (sure(3.785411784), "volume", "us", "+1 gal"),
        (sure(0.05), "ph", "metric", "+0.05"),
        (sure(25.0 / 12.7), "colour", "us", "+1 SRM"),
        (sure(0.0), "bitterness", "metric", "0 IBU"),
        (band(0.2, -8.0, 9.0), "bitterness", "metric", "0 IBU (−8 to 9)"),
    ],
)
def test_differences_carry_a_sign_and_no_offset(difference: Band, kind: str, system: str, text: str) -> None:
    said = difference_text(difference, kind, system=system)
    number = said.split()[0]
    expected = text.split(maxsplit=1)[0]
    if difference.low == difference.high:  # however many zeros the usual digits leave
        assert float(number.replace("−", "-")) == float(expected.replace("−", "-"))
        assert said.split()[1:] == text.split()[1:]
    else:
        assert said == text


def test_a_difference_is_told_in_the_unit_its_figure_is_told_in() -> None:
    litres = sure(0.3)
    assert difference_text(litres, "volume", system="metric").endswith(" L")
    assert difference_text(litres, "volume", system="us", near=20.0).endswith(" gal")
    assert difference_text(sure(0.02), "mass", system="us", near=5.0).endswith(" lb")


def test_units_a_figure_keeps_are_kept() -> None:
    assert difference_text(band(0.3, 0.1, 0.5), "percent", system="us", unit="% vol") == "+0.30 % vol (0.10 to 0.50)"
    assert difference_text(sure(2.0), "colour", system="us", unit="SRM").startswith("+2")
    assert difference_text(sure(2.0), "colour", system="us", unit="SRM").endswith(" SRM")


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_can_be_compared(name: str, system: str) -> None:
    known = figure(name)
    assert known is not None
    found = FigureDifference(
        name=name,
        unit=known.unit,
        kind=known.kind,
        before=sure(5.0),
        after=sure(4.0),
        difference=band(-1.0, -1.5, -0.5),
        worth=0.1,
        telling=True,
    )
    shown = written_difference(found, system)
    assert shown is not None
    assert shown.number.startswith("−")
    assert shown.text.startswith(f"{shown.number} {shown.unit}".strip())
    assert ("SG" in shown.unit, "pH" in shown.unit) == (False, False)


def test_what_only_one_version_has_is_not_written() -> None:
    found = FigureDifference(
        name="mash.2.ph", unit="pH", kind="ph", before=None, after=sure(5.4), difference=None, worth=0.02, telling=False
    )
    assert written_difference(found, "metric") is None


@given(
    st.floats(-1e6, 1e6), st.floats(0.0, 1e3), st.sampled_from(["temperature", "gravity", "bitterness", "ph", "time"])
)
def test_swapped_bands_say_the_opposite(mean: float, half: float, kind: str) -> None:
    there = difference_text(band(mean, mean - half, mean + half), kind, system="us")
    back = difference_text(band(-mean, -mean - half, -mean + half), kind, system="us")
    turned = {"+": "−", "−": "+"}
    first = there[0]
    assert back[0] == turned.get(first, first)
    assert back.split()[0].lstrip("+−") == there.split()[0].lstrip("+−")
    assert math.isfinite(float(there.split()[0].replace("−", "-")))
