from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from gyle.errors import OutOfRange
from gyle.science import room_air

ROOM = {"room_m3": 10.0, "outdoor_ppm": 420.0, "temperature_C": 20.0}


@pytest.mark.source("Box model by an adaptive integrator", provenance="computed-with-scipy")
def test_closed_solution_is_the_differential_equation():
    rise = 23.33 * 0.0831446 * 293.15 / (1.01325 * 44.0095) / 10_000.0 * 1e6
    path = solve_ivp(lambda _, c: rise - 0.2 * (c - 420.0), (0.0, 8.0), [900.0], rtol=1e-10)
    got = room_air.room_concentration_ppm(8.0, release_g_h=23.33, air_changes_1_h=0.2, start_ppm=900.0, **ROOM)
    assert got == pytest.approx(path.y[0, -1], rel=1e-5)


@given(st.floats(0.0, 500.0), st.floats(0.001, 10.0))
def test_a_room_tends_to_its_steady_state_from_below(release, changes):
    steady = room_air.steady_concentration_ppm(release, air_changes_1_h=changes, **ROOM)
    now = room_air.room_concentration_ppm(
        np.array([0.0, 1.0, 10.0, 1e5]), release_g_h=release, air_changes_1_h=changes, start_ppm=420.0, **ROOM
    )
    assert np.all(np.diff(now) >= -1e-9 * now[-1])
    assert now[-1] == pytest.approx(steady, rel=1e-9)


def test_without_air_changes_everything_stays():
    shut = room_air.room_concentration_ppm(24.0, release_g_h=30.0, air_changes_1_h=0.0, start_ppm=420.0, **ROOM)
    bound = room_air.unventilated_ppm(24.0 * 30.0, room_m3=10.0, temperature_C=20.0)
    assert shut - 420.0 == pytest.approx(bound, rel=1e-12)


@given(st.floats(0.0, 1e5), st.floats(1.0, 100.0))
def test_a_sudden_release_pushes_air_out(mass, room):
    share = room_air.released_pct(mass, room_m3=room, temperature_C=20.0)
    assert 0.0 <= share <= 100.0
    assert share * 1e4 <= room_air.unventilated_ppm(mass, room_m3=room, temperature_C=20.0) * (1.0 + 1e-12)
    assert 0.0 <= room_air.oxygen_left_pct(share) <= 20.95


def test_limits_rise_with_danger():
    limits = [room_air.exposure_limit_ppm(name) for name in ("working day", "short term", "danger to life")]
    assert limits == sorted(limits)


def test_other_limits_are_refused():
    with pytest.raises(OutOfRange, match="limit 'never' is not one of working day, short term, danger to life"):
        room_air.exposure_limit_ppm("never")
    with pytest.raises(OutOfRange):
        room_air.caustic_consumed_g(np.nan, temperature_C=20.0)
