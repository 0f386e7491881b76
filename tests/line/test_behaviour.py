"""A brew answers to its brewer the way brews do."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import attrs
import numpy as np
import pytest
from brewing import Amounts, FermentationStep, GristLine, Recipe, Rest, Timing, brewed, certain, grain, hop, pitched

from gyle.beer.brewhouse import Brewhouse
from gyle.line.brew import Brew
from gyle.line.figures import band

DRAWS = 512


def pale_ale(**changes: Any) -> Recipe:
    plain = Recipe(
        name="pale ale",
        grist=(
            grain("pale ale malt"),
            grain("crystal malt 120 EBC"),
            GristLine(what="sucrose", ingredient=grain("sucrose").ingredient, at=Timing(stage="boil", minutes=10.0)),
        ),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        hops=(
            hop("Magnum", Timing(stage="boil", minutes=60.0)),
            hop("Cascade", Timing(stage="boil", minutes=10.0)),
            hop("Cascade", Timing(stage="stand", temperature_C=80.0, minutes=20.0)),
        ),
        yeasts=(pitched("clean ale yeast"),),
        fermentation=(FermentationStep(temperature_C=19.0, days=10.0),),
    )
    return attrs.evolve(plain, **changes)


AMOUNTS = Amounts(grist_kg=(5.0, 0.2, 0.3), hops_kg=(0.025, 0.03, 0.06), liquor_L=(14.0,), sparge_L=(15.0,))


@pytest.fixture
def house(houses: Mapping[str, Brewhouse]) -> Brewhouse:
    return houses["lantern-street-48"]


def mean(brew: Brew, figure: str) -> float:
    return float(brew.figures[figure].mean())


def test_efficiency_falls_as_the_grist_grows(house: Brewhouse) -> None:
    found = []
    for kg in (3.0, 5.0, 7.0, 9.0, 11.0):
        amounts = attrs.evolve(AMOUNTS, grist_kg=(kg, 0.2, 0.3), liquor_L=(2.8 * kg,))
        # The same full kettle each time: what the bed keeps more is sparged more.
        amounts = attrs.evolve(amounts, sparge_L=(32.0 + 0.77 * kg - 2.8 * kg,))
        brew = brewed(pale_ale(), house, amounts)
        found.append((mean(brew, "kettle.full.gravity"), mean(brew, "line.brewhouse_efficiency")))
    gravities, efficiencies = zip(*found, strict=True)
    assert list(gravities) == sorted(gravities)
    assert list(efficiencies) == sorted(efficiencies, reverse=True)
    assert efficiencies[0] - efficiencies[-1] > 12.0


def test_more_boil_off_is_a_stronger_and_smaller_beer(house: Brewhouse) -> None:
    brews = [brewed(pale_ale(), certain(house, boil_off_L_h=rate), AMOUNTS) for rate in (1.5, 2.5, 3.5)]
    gravity = [mean(brew, "fermenter.original_gravity") for brew in brews]
    volume = [mean(brew, "fermenter.volume") for brew in brews]
    assert gravity == sorted(gravity)
    assert volume == sorted(volume, reverse=True)
    assert gravity[0] < gravity[-1]


def test_a_hotter_mash_leaves_a_sweeter_beer(house: Brewhouse) -> None:
    final = [
        mean(
            brewed(pale_ale(rests=(Rest(temperature_C=hot, minutes=60.0),)), house, AMOUNTS), "fermenter.final_gravity"
        )
        for hot in (66.0, 67.0, 68.0, 69.0, 70.0)
    ]
    assert final == sorted(final)
    assert 0.003 < final[-1] - final[0] < 0.015


@pytest.mark.parametrize(("more", "at_least"), [(0.3, 0.0002), (1.0, 0.0008)])
def test_sugar_instead_of_malt_dries_the_beer(house: Brewhouse, more: float, at_least: float) -> None:
    with_malt = brewed(pale_ale(), house, AMOUNTS)
    with_sugar = brewed(pale_ale(), house, attrs.evolve(AMOUNTS, grist_kg=(5.0 - 1.6 * more, 0.2, 0.3 + more)))
    assert mean(with_sugar, "fermenter.final_gravity") < mean(with_malt, "fermenter.final_gravity") - at_least


def test_height_takes_bitterness_and_hours_give_it(house: Brewhouse) -> None:
    height = [
        mean(brewed(pale_ale(), attrs.evolve(house, altitude_m=metres), AMOUNTS), "glass.bitterness")
        for metres in (0.0, 1000.0, 2500.0)
    ]
    assert height == sorted(height, reverse=True)
    assert height[-1] < 0.9 * height[0]

    def stood(minutes: float, hot: float = 80.0) -> float:
        line = hop("Cascade", Timing(stage="stand", temperature_C=hot, minutes=minutes))
        return mean(brewed(pale_ale(hops=(*pale_ale().hops[:2], line)), house, AMOUNTS), "glass.bitterness")

    times = [stood(minutes) for minutes in (5.0, 15.0, 30.0, 60.0)]
    assert times == sorted(times)
    heats = [stood(20.0, hot) for hot in (70.0, 80.0, 90.0, 97.0)]
    assert heats == sorted(heats)
    # The trade's function knows nothing of a stand.
    trade = [
        mean(brewed(pale_ale(), house, attrs.evolve(AMOUNTS, hops_kg=(0.025, 0.03, kg))), "glass.bitterness_tinseth")
        for kg in (0.0, 0.06)
    ]
    assert trade[1] == pytest.approx(trade[0], rel=0.02)


def test_dry_hops_take_iso_acids_and_bring_their_own_bitterness(house: Brewhouse) -> None:
    def dry(grams: float) -> Brew:
        lines = (*pale_ale().hops[:2], hop("Cascade", Timing(stage="dry", day=4.0, contact_days=3.0)))
        return brewed(pale_ale(hops=lines), house, attrs.evolve(AMOUNTS, hops_kg=(0.04, 0.0, grams / 1000.0)))

    none, much = dry(0.0), dry(200.0)
    iso = [brew.contents["keg"].part("iso").sum() / brew.noted("beer_L")[0] for brew in (none, much)]
    assert iso[1] < 0.95 * iso[0]
    assert mean(much, "glass.bitterness") != pytest.approx(mean(none, "glass.bitterness"), abs=0.1)
    assert mean(much, "keg.volume") <= mean(none, "keg.volume")
    assert mean(much, "fermenter.final_gravity") < mean(none, "fermenter.final_gravity")


def test_a_hop_vessel_draws_out_less(house: Brewhouse) -> None:
    def stood(vessel: str) -> float:
        line = hop("Cascade", Timing(stage="stand", temperature_C=85.0, minutes=20.0), vessel=vessel)
        brew = brewed(pale_ale(hops=(*pale_ale().hops[:2], line)), house, AMOUNTS)
        return float(brew.contents["keg"]["hop.2.iso"][0])

    assert stood("hop vessel") == pytest.approx(0.85 * stood("kettle"), rel=0.01)


def test_hops_lying_in_the_mash_bitter_a_fifth_as_much(house: Brewhouse) -> None:
    def at(timing: Timing) -> float:
        brew = brewed(pale_ale(hops=(hop("Magnum", timing),)), house, attrs.evolve(AMOUNTS, hops_kg=(0.03,)))
        return float(brew.contents["keg"]["hop.0.iso"][0])

    first_wort = at(Timing(stage="first wort"))
    # A little more than a fifth: hops in the mash are not there to hold bitter acids back in the kettle.
    assert at(Timing(stage="mash")) == pytest.approx(0.2 * first_wort, rel=0.15)
    assert at(Timing(stage="sparge")) == pytest.approx(first_wort, rel=1e-9)
    assert first_wort > at(Timing(stage="boil", minutes=60.0))


def test_a_sugar_in_the_mash_is_all_there_in_the_end(house: Brewhouse) -> None:
    sugar = attrs.evolve(pale_ale().grist[2], at=Timing(stage="mash"))
    mashed = brewed(pale_ale(grist=(*pale_ale().grist[:2], sugar)), house, AMOUNTS)
    everywhere = sum(content["sugar.disaccharide"] for content in dict(mashed.kept)["fermenter.full"].values())
    assert float(np.squeeze(everywhere)) == pytest.approx(0.3, rel=0.01)
    # Some of it stays in the bed, unlike what is stirred into the kettle.
    assert mean(mashed, "fermenter.original_gravity") < mean(
        brewed(pale_ale(), house, AMOUNTS), "fermenter.original_gravity"
    )


def test_colour_grows_with_dark_malt_and_stands_for_any_size_of_brew(house: Brewhouse) -> None:
    dark = [
        mean(brewed(pale_ale(), house, attrs.evolve(AMOUNTS, grist_kg=(5.0, kg, 0.3))), "glass.colour")
        for kg in (0.0, 0.2, 0.6)
    ]
    assert dark == sorted(dark)
    stout = pale_ale(grist=(grain("pale ale malt"), grain("roasted barley"), pale_ale().grist[2]))
    big = certain(house, left_behind_L=0.0, trub_L=0.0, boil_off_L_h=0.0)
    one = Amounts(grist_kg=(5.0, 0.5, 0.3), hops_kg=(0.0, 0.0, 0.0), liquor_L=(15.0,), sparge_L=(15.0,))
    fifty = Amounts(grist_kg=(250.0, 25.0, 15.0), hops_kg=(0.0, 0.0, 0.0), liquor_L=(750.0,), sparge_L=(750.0,))
    assert mean(brewed(stout, big, fifty), "glass.colour") == pytest.approx(
        mean(brewed(stout, big, one), "glass.colour"), rel=1e-6
    )


def test_bands_hold_their_middle_and_widen_with_what_is_not_known(house: Brewhouse) -> None:
    brew = brewed(pale_ale(), house, AMOUNTS, draws=2048)
    centre = brewed(pale_ale(), house, AMOUNTS)
    for name, values in brew.figures.items():
        found = band(values)
        assert found.low <= found.median <= found.high, name
        if values.size > 1 and name != "keg.left_over":
            assert found.low <= mean(centre, name) <= found.high, name
    widths = []
    for spread in (0.05, 0.3, 0.8):
        unsure = attrs.evolve(house, boil_off_L_h=attrs.evolve(house.boil_off_L_h, spread=spread))
        found = band(brewed(pale_ale(), unsure, AMOUNTS, draws=2048).figures["kettle.end.gravity"])
        widths.append(found.high - found.low)
    assert widths == sorted(widths)
    assert widths[-1] > 1.2 * widths[0]


def test_one_draw_repeats_and_more_draws_change_little(house: Brewhouse) -> None:
    first, again = (brewed(pale_ale(), house, AMOUNTS, draws=DRAWS) for _ in range(2))
    for name, values in first.figures.items():
        np.testing.assert_array_equal(values, again.figures[name])
    many = brewed(pale_ale(), house, AMOUNTS, draws=16_384)
    for name in ("fermenter.original_gravity", "fermenter.final_gravity", "glass.bitterness", "fermenter.volume"):
        few, lots = band(first.figures[name]), band(many.figures[name])
        width = lots.high - lots.low
        assert few.mean == pytest.approx(lots.mean, abs=0.05 * width), name
        assert (few.low, few.high) == pytest.approx((lots.low, lots.high), abs=0.15 * width), name


def test_the_difference_of_two_brews_is_surer_than_either(house: Brewhouse) -> None:
    one = brewed(pale_ale(), house, AMOUNTS, draws=2048)
    hotter = brewed(pale_ale(rests=(Rest(temperature_C=68.0, minutes=60.0),)), house, AMOUNTS, draws=2048)
    for name in ("fermenter.final_gravity", "glass.bitterness", "fermenter.original_gravity", "glass.colour"):
        own = band(one.figures[name])
        apart = band(hotter.figures[name] - one.figures[name])
        assert apart.high - apart.low < 0.35 * (own.high - own.low), name


def test_a_mash_that_nothing_heats_cools_and_never_below_the_room(house: Brewhouse) -> None:
    tun = certain(house, mash_heated=False, mash_loss_W_K=3.0, mash_heat_capacity_kJ_K=2.0, ambient_C=15.0)
    tun = attrs.evolve(tun, mash_heated=False)
    short, long = (
        dict(brewed(pale_ale(rests=(Rest(temperature_C=66.0, minutes=minutes),)), tun, AMOUNTS).kept)["mash.rest.1"]
        for minutes in (30.0, 2000.0)
    )
    assert 60.0 < float(short["mash"].temperature_C[0]) < 66.0
    assert 15.0 < float(long["mash"].temperature_C[0]) < 20.0


def test_an_author_who_knows_the_attenuation_is_believed(house: Brewhouse) -> None:
    for attenuation in (0.65, 0.75, 0.85):
        recipe = pale_ale(yeasts=(pitched(attenuation=attenuation),))
        brew = brewed(recipe, house, AMOUNTS)
        assert mean(brew, "fermenter.attenuation") == pytest.approx(100.0 * attenuation, abs=0.2)
        assert brewed(recipe, house, AMOUNTS, draws=DRAWS).figures["fermenter.final_gravity"].std() > 1e-3


def test_lactose_stays_in_the_beer(house: Brewhouse) -> None:
    lactose = GristLine(
        what="lactose monohydrate",
        ingredient=grain("lactose monohydrate").ingredient,
        at=Timing(stage="boil", minutes=5.0),
    )
    for attenuation in (None, 0.95):
        recipe = pale_ale(grist=(*pale_ale().grist[:2], lactose), yeasts=(pitched(attenuation=attenuation),))
        brew = brewed(recipe, house, AMOUNTS)
        wort = dict(brew.kept)["fermenter.full"]["fermenter"]
        beer = dict(brew.kept)["fermenter.ferment"]["fermenter"]
        assert float(beer["sugar.inert"][0]) == pytest.approx(float(wort["sugar.inert"][0]), rel=1e-9)
        assert float(beer["sugar.inert"][0]) > 0.2
