from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import keeping

temperatures = st.floats(-1.0, 40.0)


@given(temperatures, temperatures, temperatures, st.floats(60.0, 100.0))
def test_relative_rates_chain(first, second, third, energy):
    def rate(a, b):
        return keeping.relative_staling_rate(a, b, activation_kJ_mol=energy)

    assert rate(first, third) == pytest.approx(rate(first, second) * rate(second, third))
    assert rate(first, first) == pytest.approx(1.0)


@given(st.floats(0.0, 60.0), st.floats(40.0, 80.0))
def test_units_add_in_time_and_double_in_about_two_kelvin(minutes, temperature):
    units = keeping.pasteurisation_units(minutes, temperature)
    assert keeping.pasteurisation_units(2.0 * minutes, temperature) == pytest.approx(2.0 * units)
    assert keeping.pasteurisation_units(minutes, temperature + 7.0) == pytest.approx(units * 1.393**7)


def test_each_milligram_of_oxygen_stands_for_four_of_sulphur_dioxide():
    for molar in (190.107, 222.32):
        salt = keeping.scavenger_mg_L(1.0, molar_mass_g_mol=molar)
        assert salt / molar * 2.0 * 64.066 == pytest.approx(4.0, abs=0.01)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange):
        keeping.diacetyl_odour_units(-0.1)
    with pytest.raises(OutOfRange):
        keeping.pasteurisation_units(float("nan"), 60.0)
