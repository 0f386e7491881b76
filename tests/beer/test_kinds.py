"""What the kinds of brewhouse say: sourced figures, the way they grow, and the widest for the unstated."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.brewhouse import KINDS, Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import (
    boil_off_bound_L_h,
    default_brewhouse,
    traits,
    unstated_brewhouse,
)


def estimates(house: Brewhouse) -> dict[str, Estimate]:
    return {
        field.name: value
        for field in attrs.fields(Brewhouse)
        if isinstance(value := getattr(house, field.name), Estimate)
    }


def relative_width(estimate: Estimate) -> float:
    return estimate.spread if estimate.log or not estimate.centre else estimate.spread / estimate.centre


@pytest.mark.parametrize("kind", KINDS)
def test_every_figure_says_that_its_kind_is_its_source(kind: str) -> None:
    house = default_brewhouse(traits(kind), kind)
    for name, estimate in estimates(house).items():
        assert estimate.source.startswith("kind:"), name
        assert not house.stated(name)
        assert estimate.low <= estimate.centre <= estimate.high


def test_every_figure_but_a_dead_space_that_is_not_there_has_a_spread() -> None:
    for kind in KINDS:
        for name, estimate in estimates(default_brewhouse(traits(kind), kind)).items():
            if name != "mash_dead_L" or estimate.centre > 0:
                assert estimate.spread > 0, (kind, name)


def test_the_unstated_brewhouse_is_the_widest() -> None:
    unstated = estimates(unstated_brewhouse(20.0))
    size = unstated_brewhouse(20.0).kettle_vessel_L
    for kind in KINDS[:-1]:
        stated = {
            "kettle_vessel_L": size,
            "mash_vessel_L": size,
            "drain": "lauter tun",
            "sparge": "hand",
            "heat": "electric",
            "chill_by": "immersion",
        }
        for name, estimate in estimates(default_brewhouse(traits(kind, stated), kind)).items():
            assert relative_width(estimate) <= relative_width(unstated[name]) + 1e-12, (kind, name)


@pytest.mark.source("IAPWS latent heat, ISO 2533 atmosphere", provenance="computed-with-CoolProp")
def test_boil_off_bound() -> None:
    assert boil_off_bound_L_h(1.0, 0.0) == pytest.approx(1.598, abs=0.003)


@pytest.mark.source("share of its bound that a kettle boils off, 0.72 ± 0.10", provenance="common practice")
def test_boil_off_follows_a_known_power() -> None:
    of = traits("electric all-in-one", {"kettle_vessel_L": 48.0, "altitude_m": 0.0})
    power = Estimate(centre=3.0, spread=0.1, low=0, high=10, source="stated")
    house = default_brewhouse(of, "x", {"power_kW": power})
    assert house.boil_off_L_h.centre == pytest.approx(0.72 * 3 * 1.598, rel=0.003)
    assert house.boil_off_L_h.spread == pytest.approx(0.10 * 3 * 1.598, rel=0.003)
    assert house.boil_off_L_h.high == pytest.approx(3 * 1.598, rel=0.003)


@pytest.mark.source("2.5-4.5 L/h from one usual kettle in open air", provenance="common practice")
@pytest.mark.parametrize("kind", KINDS)
def test_boil_off_of_a_usual_kettle(kind: str) -> None:
    house = default_brewhouse(traits(kind, {"kettle_vessel_L": 45.0}), kind)
    boil_off = house.boil_off_L_h
    assert 2.5 < boil_off.centre < 4.5
    # an 80 % band reaches about as far as the usual range
    assert boil_off.centre - 1.28 * boil_off.spread < 2.6
    assert boil_off.centre + 1.28 * boil_off.spread > 4.2


@pytest.mark.source("litres held per kg of grist by the way it drains", provenance="common practice")
@pytest.mark.parametrize(
    ("drain", "held", "spread"),
    [
        ("gravity basket", 1.25, 0.15),
        ("hung bag", 1.20, 0.20),
        ("squeezed bag", 0.95, 0.15),
        ("lauter tun", 1.30, 0.20),
    ],
)
def test_retention_goes_by_the_drain(drain: str, held: float, spread: float) -> None:
    house = default_brewhouse(traits("electric all-in-one", {"drain": drain}), "x")
    assert house.retention_L_kg.centre == held
    assert house.retention_L_kg.spread == spread


@pytest.mark.source("tanks in series and bypass of small sparges", provenance="ours")
@pytest.mark.parametrize(("sparge", "tanks", "bypass"), [("hand", 1, 0.40), ("continuous", 4, 0.15)])
def test_sparge(sparge: str, tanks: int, bypass: float) -> None:
    house = default_brewhouse(traits("mash tun and kettle", {"sparge": sparge}), "x")
    assert house.sparge_tanks == tanks
    assert house.sparge_bypass.centre == bypass


def test_a_stated_way_overrules_what_the_unstated_kind_says() -> None:
    house = default_brewhouse(traits("unstated", {"drain": "squeezed bag", "heat": "gas"}), "x")
    assert house.retention_L_kg.centre == 0.95
    assert house.heat_efficiency.centre == 0.42


@pytest.mark.source("cooling rates 0.12, 0.10 and 0.006 per min", provenance="common practice")
@pytest.mark.parametrize(("by", "rate"), [("immersion", 0.12), ("counterflow", 0.10), ("none", 0.006)])
def test_cooling_to_a_stand(by: str, rate: float) -> None:
    house = default_brewhouse(traits("electric all-in-one", {"stand_chill_by": by}), "x")
    assert house.stand_chill_rate_1_min.centre == rate


@given(st.floats(5, 2000), st.floats(1.05, 3.0))
def test_losses_grow_with_the_vessel_but_more_slowly(size: float, factor: float) -> None:
    small, large = (
        default_brewhouse(traits("electric all-in-one", {"kettle_vessel_L": v}), "x") for v in (size, size * factor)
    )
    for name in ("kettle_loss_W_K", "kettle_heat_capacity_kJ_K", "boil_off_L_h", "left_behind_L", "trub_L"):
        ratio = getattr(large, name).centre / getattr(small, name).centre
        assert 1.0 < ratio <= factor + 1e-9, name


@given(st.floats(0.5, 2000))
def test_an_unstated_brewhouse_never_binds(volume: float) -> None:
    house = unstated_brewhouse(volume)
    assert house.kettle_vessel_L >= 2 * volume
    assert house.fermenter_vessel_L > 1.3 * volume
    assert house.grain_limit_kg is None


@pytest.mark.source("cascade of hop survival, 0.75 and 0.65", provenance="ours")
def test_survival_and_rates_keep_a_predicted_bitterness_near_a_fifth() -> None:
    house = default_brewhouse(traits("electric all-in-one"), "x")
    parts = [
        house.hop_survival_hot.spread / house.hop_survival_hot.centre,
        house.hop_survival_ferment.spread / house.hop_survival_ferment.centre,
        house.isomerisation.spread,
        house.hop_utilisation.spread,
    ]
    assert sum(part**2 for part in parts) ** 0.5 == pytest.approx(0.20, abs=0.02)
