"""The water nobody stated: usual and wide, or as the recipe wishes, and said so."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.unstated_water import unstated_water
from gyle.beer.water_blend import bounded
from gyle.beer.water_prepared import prepared
from gyle.beer.water_substances import MAJOR
from gyle.errors import OutOfRange

PER_MG = {
    "calcium": 2 / 40.078, "magnesium": 2 / 24.305, "sodium": 1 / 22.990, "potassium": 1 / 39.098,
    "sulfate": -2 / 96.056, "chloride": -1 / 35.45, "nitrate": -1 / 62.004,
}  # fmt: skip


def test_without_a_wish_it_is_a_usual_tap_water() -> None:
    water = unstated_water({})
    assert water.name == "unstated water"
    assert set(water.estimated) == {*MAJOR, "alkalinity", "ph"}
    assert (water.calcium_mg_L.centre, water.calcium_mg_L.spread) == (60.0, 40.0)
    assert water.alkalinity_mEq_L.spread == pytest.approx(110.0 / 61.017)
    assert water.imbalance_mEq_L == pytest.approx(0.0, abs=0.005)
    assert (water.ph.centre, water.ph.spread) == (7.6, 0.4)
    assert water.hardness_mEq_L.standing == water.bicarbonate_mg_L.standing == "estimated"
    assert water.bicarbonate_mg_L.centre == pytest.approx(186.0, rel=1e-4)
    (said,) = water.supposed
    assert said.startswith("No water report is stated: a usual tap water is taken, with wide bands")
    assert water.cautions == water.notes == ()
    assert prepared(water) == water == bounded(water)


def test_wished_ions_are_taken_as_wished_and_charges_leave_the_alkalinity() -> None:
    wish = {"calcium": 75.0, "sulfate": 90.0, "chloride": 60.0}
    water = unstated_water(wish)
    for ion, wished in wish.items():
        assert water.mg_L(ion) == wished
        assert getattr(water, f"{ion}_mg_L").spread == pytest.approx(0.1 * wished)
    left = sum(PER_MG[ion] * water.mg_L(ion) for ion in MAJOR)
    assert 0.0 < left < 3.0
    assert water.alkalinity_mEq_L.centre == pytest.approx(left)
    assert water.alkalinity_mEq_L.spread == 0.6
    assert water.imbalance_mEq_L == pytest.approx(0.0, abs=1e-9)
    assert "the recipe wishes of calcium, sulfate and chloride, give or take 10 %" in water.supposed[0]
    assert f"what their charges leave, {left:.1f} mEq/L, give or take 0.6" in water.supposed[0]
    assert unstated_water({"calcium": 10.0}).calcium_mg_L.spread == 3.0


@pytest.mark.parametrize(
    ("wish", "alkalinity", "spread"),
    [
        ({"calcium": 10, "sulfate": 200, "chloride": 100}, 0.0, 0.6),
        ({"calcium": 200, "sulfate": 20, "chloride": 10}, 3.0, 0.6),
        ({"calcium": 50}, 1.0, 0.8),
        ({"sulfate": 50, "chloride": 50, "sodium": 10}, 1.0, 0.8),
        ({"bicarbonate": 183.051, "calcium": 80}, 3.0, 0.3),
        ({"bicarbonate": 0, "calcium": 80, "sulfate": 90, "chloride": 60}, 0.0, 3 / 61.017),
        ({"alkalinity": 100.086}, 2.0, 0.2),
        ({"alkalinity": 50.043, "bicarbonate": 500}, 1.0, 0.1),
    ],
)
def test_where_the_alkalinity_comes_from(wish: dict[str, float], alkalinity: float, spread: float) -> None:
    found = unstated_water(wish).alkalinity_mEq_L
    assert found.centre == pytest.approx(alkalinity, abs=1e-4)
    assert found.spread == pytest.approx(spread, rel=1e-3)
    assert found.low == 0.0


@given(
    wish=st.dictionaries(
        st.sampled_from([*MAJOR, "bicarbonate", "alkalinity"]), st.floats(0.0, 3000.0), max_size=len(MAJOR) + 2
    )
)
def test_any_wish_is_a_water(wish: dict[str, float]) -> None:
    water = unstated_water(wish)
    assert not water.untreated
    assert all(getattr(water, f"{ion}_mg_L").low >= 0.0 for ion in MAJOR)
    assert water.alkalinity_mEq_L.centre >= 0.0
    assert 0.0 <= water.carbon_mmol_L < 500.0
    assert len(water.supposed) == 1
    assert hash(water) == hash(unstated_water(wish))
    assert all(water.mg_L(ion) == value for ion, value in wish.items() if ion in MAJOR)


@pytest.mark.faults
@pytest.mark.parametrize(
    "wish", [{"calcium": -1.0}, {"sulfate": float("nan")}, {"gold": 1.0}, {"chloride": float("inf")}]
)
def test_what_cannot_be_wished(wish: dict[str, float]) -> None:
    (name,) = wish
    with pytest.raises(OutOfRange, match=name):
        unstated_water(wish)
