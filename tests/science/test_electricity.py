"""Current and power of an element."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.electricity import current_A, element_power_W, power_W


@given(st.floats(1.0, 1e4), st.floats(90.0, 420.0))
def test_current_and_power_are_inverse(power: float, voltage: float) -> None:
    assert float(power_W(current_A(power, voltage), voltage)) == pytest.approx(power)


@given(st.floats(1.0, 1e4), st.floats(90.0, 420.0), st.floats(90.0, 420.0))
def test_an_element_keeps_its_resistance(rated: float, voltage: float, rated_voltage: float) -> None:
    actual = float(element_power_W(rated, voltage, rated_voltage_V=rated_voltage))
    resistance = voltage / float(current_A(actual, voltage))
    assert resistance == pytest.approx(rated_voltage / float(current_A(rated, rated_voltage)))


def test_no_voltage_is_refused() -> None:
    for refused in (0.0, float("nan")):
        with pytest.raises(OutOfRange, match="voltage"):
            current_A(3300.0, refused)
        with pytest.raises(OutOfRange, match="voltage"):
            element_power_W(3300.0, 230.0, rated_voltage_V=refused)
    with pytest.raises(OutOfRange, match="current"):
        power_W(-1.0, 230.0)
