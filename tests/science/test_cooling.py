from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import cooling


@given(st.floats(40.0, 100.0), st.floats(-10.0, 20.0), st.floats(0.001, 0.5), st.floats(0.0, 20.0))
def test_time_to_reach_is_the_inverse(start, sink, rate, minutes):
    end = cooling.temperature_after(start, minutes, surroundings_temperature_C=sink, rate_1_min=rate)
    assert sink <= end <= start * (1.0 + 1e-14)
    back = cooling.minutes_to_reach(start, end, surroundings_temperature_C=sink, rate_1_min=rate)
    rounding_min = 1e-13 / (rate * (end - sink) / 100.0)  # the last bit of the temperature, as minutes
    assert back == pytest.approx(minutes, abs=1e-6 + rounding_min)


def test_water_warmer_than_the_aim_never_gets_there():
    times = cooling.minutes_to_reach(100.0, [20.0, 18.0, 12.0, 100.0], surroundings_temperature_C=20.0, rate_1_min=0.1)
    assert times.tolist() == [np.inf, np.inf, np.inf, 0.0]


def test_warming_takes_time_as_cooling_does():
    warm = cooling.minutes_to_reach(4.0, 18.0, surroundings_temperature_C=20.0, rate_1_min=0.01)
    assert warm == pytest.approx(np.log(8.0) / 0.01)
    assert cooling.minutes_to_reach(4.0, 2.0, surroundings_temperature_C=20.0, rate_1_min=0.01) == 0.0


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="minutes"):
        cooling.temperature_after(100.0, np.nan, surroundings_temperature_C=20.0, rate_1_min=0.1)
    with pytest.raises(OutOfRange, match="flow"):
        cooling.mean_extra_hot_minutes(20.0, 0.0)
    with pytest.raises(OutOfRange):
        cooling.natural_rate_1_min(0.0, wort_kg_L=1.0, wort_J_kg_K=4000.0, loss_W_K=6.0)
