"""Acid malt for acid, and back, at equal mash pH: on one brewhouse and from one to another."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import attrs
import numpy as np
import pytest
from scipy.optimize import brentq

from gyle.beer.acid_malt import acid_malt_acidity
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral, mineral_of
from gyle.beer.reading import read_recipe, read_water, recipe_from_text
from gyle.beer.recipe import Aim, GristLine, OtherLine, Recipe, Rest
from gyle.beer.tables import fermentable
from gyle.beer.timing import Timing
from gyle.beer.water import Water
from gyle.beer.writing import recipe_text
from gyle.decide.acid_swap import (
    acid_for_ph,
    acid_malt_for_ph,
    acid_mEq_per_unit,
    centre_line,
    mash_figure,
    unheld,
)
from gyle.decide.adapt import Adaptation, adapt
from gyle.decide.plan import plan, planned
from gyle.decide.solve import brewed
from gyle.errors import BadInput, Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for

LANTERN_STREET = Path(__file__).parents[2] / "examples" / "lantern-street"
HOME, AWAY = "lantern-street-48", "lantern-street-28"
SOFT, HARD = (read_water(LANTERN_STREET / f"water-{name}.toml") for name in ("soft", "hard"))
LACTIC, PHOSPHORIC = "lactic acid 80 %", "phosphoric acid 10 %"
QUAY_LIGHT = """
gyle = 1
name = "Quay Light"
volume = "20 L"
for_brewhouse = "lantern-street-48"
[[grist]]
what = "pilsner malt"
mass = "4.2 kg"
[[grist]]
what = "Munich malt"
mass = "400 g"
[[grist]]
what = "acid malt"
mass = "180 g"
[[mash]]
temperature = "66 °C"
time = "60 min"
[boil]
time = "60 min"
[[hops]]
what = "Magnum"
alpha = "12 %"
mass = "20 g"
at = "boil 60 min"
[yeast]
what = "clean ale yeast"
[[fermentation]]
temperature = "19 °C"
[package]
carbonation = "2.4 vol"
temperature = "5 °C"
"""


def acid(name: str) -> Mineral:
    found = mineral_of(name)
    assert found is not None
    return found


def dose(name: str, amount: float, stage: str = "mash", mash: int = 1) -> OtherLine:
    """So many millilitres or grams for the whole volume."""
    mineral, at = acid(name), Timing(stage=stage, mash=mash)
    if mineral.unit == "mL":
        return OtherLine(what=mineral.name, at=at, volume_L=amount / 1000.0, mineral=mineral)
    return OtherLine(what=mineral.name, at=at, mass_kg=amount / 1000.0, mineral=mineral)


def malt_share(recipe: Recipe) -> float:
    """Acid malt's share of a recipe whose grist is all malt, weighed."""
    masses = {line.what: line.mass_kg or 0.0 for line in recipe.grist}
    return masses.get("acid malt", 0.0) / sum(masses.values())


def doses_of(recipe: Recipe, stage: str = "mash") -> dict[str, float]:
    """Acids of a stage [g or mL]."""
    return {
        line.mineral.name: line.mineral.measured(mass_kg=line.mass_kg, volume_L=line.volume_L)
        for line in recipe.others
        if line.mineral is not None and line.mineral.kind == "acid" and line.at.stage == stage
    }


def centre_ph(recipe: Recipe, house: Brewhouse, amounts: Amounts) -> float:
    return float(centre_line(recipe, house, amounts).figures["mash.ph"][0])


def watered(house: Brewhouse, water: Water | None) -> Brewhouse:
    return attrs.evolve(house, water=water)


@pytest.fixture(scope="module")
def malted(tmp_path_factory: pytest.TempPathFactory) -> Recipe:
    """A pale beer with 3.8 % of acid malt."""
    folder = tmp_path_factory.mktemp("recipes")
    shutil.copy(LANTERN_STREET / f"{HOME}.toml", folder)
    (folder / "quay-light.toml").write_text(QUAY_LIGHT, encoding="utf-8")
    return read_recipe(folder / "quay-light.toml")


@pytest.fixture(scope="module")
def dosed(malted: Recipe) -> Recipe:
    """The same beer with lactic acid in the mash."""
    grist = tuple(line for line in malted.grist if line.what != "acid malt")
    return attrs.evolve(malted, grist=grist, others=(dose(LACTIC, 5.0),))


@pytest.fixture(scope="module")
def at_home(malted: Recipe, houses: Mapping[str, Brewhouse]) -> Adaptation:
    return adapt(malted, houses[HOME], instead=f"{LACTIC} for acid malt")


@pytest.fixture(scope="module", params=[None, SOFT], ids=["usual water", "soft water"])
def away(request: pytest.FixtureRequest, malted: Recipe, houses: Mapping[str, Brewhouse]) -> Adaptation:
    return adapt(malted, watered(houses[AWAY], request.param), instead=f"{LACTIC} for acid malt")


# The balance.


@pytest.mark.parametrize("water", [None, SOFT, HARD], ids=["usual", "soft", "hard"])
@pytest.mark.parametrize("name", [LACTIC, PHOSPHORIC, "hydrochloric acid 10 %", "sulfuric acid 10 %", "citric acid"])
def test_an_acid_dosed_so_gives_the_ph_in_the_line(
    name: str, water: Water | None, dosed: Recipe, houses: Mapping[str, Brewhouse]
) -> None:
    house = watered(houses[HOME], water)
    bare = attrs.evolve(dosed, others=(dose("calcium chloride dihydrate", 4.0),))
    amounts = planned(bare, house)[0].amounts
    before = centre_ph(bare, house, amounts)
    for ph in (before - 0.05, before - 0.3):
        amount = acid_for_ph(bare, house, amounts, mineral=acid(name), ph=ph, mash=1)
        treated = attrs.evolve(bare, others=(*bare.others, dose(name, amount)))
        assert centre_ph(treated, house, amounts) == pytest.approx(ph, abs=1e-8)
    # What the mash holds by itself asks for nothing, and a higher pH for less than nothing.
    assert acid_for_ph(bare, house, amounts, mineral=acid(name), ph=before) == pytest.approx(0.0, abs=1e-6)
    assert acid_for_ph(bare, house, amounts, mineral=acid(name), ph=before + 0.1) < 0.0


def test_the_dose_is_that_of_the_written_balance(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    """Written down anew from the textbook and solved by another's root finder."""
    house = watered(houses[HOME], HARD)
    bare = attrs.evolve(dosed, others=())
    amounts, inputs = planned(bare, house)[0].amounts, inputs_for(bare, house, draws=1)

    def value(name: str) -> float:
        return float(inputs[name][0])

    litres, ph = amounts.liquor_L[0], 5.45
    h = 10.0**-ph
    k1, k2, k_lactic = 10.0**-6.352, 10.0**-10.329, 10.0**-3.86
    charge = (k1 * h + 2.0 * k1 * k2) / (h * h + k1 * h + k1 * k2)
    kept = 1.0 - value("model.co2_lost_stirred")
    hardness = min(2.0 * value("water.total.calcium"), value("model.calcium_ceiling"))
    hardness += value("water.total.magnesium")

    def balance(millilitres: float) -> float:
        malts = sum(
            kg * line.ingredient.buffering_mEq_kg.centre * (line.ingredient.distilled_ph.centre - ph)
            for line, kg in zip(bare.grist, amounts.grist_kg, strict=True)
        )
        water = value("water.total.alkalinity") - kept * value("water.total.carbon") * charge
        water += 1000.0 * h - value("model.calcium_release") * hardness
        lactic_mmol = millilitres * 1.187 * 0.80 / 90.078 * 1000.0
        return malts + litres * water - lactic_mmol * k_lactic / (k_lactic + h)

    expected = brentq(balance, -50.0, 200.0)
    got = acid_for_ph(bare, house, amounts, mineral=acid(LACTIC), ph=ph)
    assert got == pytest.approx(expected, rel=2e-3)


def test_acid_malt_is_the_root_of_the_line_itself(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    """Another's root finder over whole brews, with the extract kept by hand, finds the same mass."""
    house, malt = houses[HOME], fermentable("acid malt")[0]  # type: ignore[index]
    bare = attrs.evolve(dosed, others=())
    amounts = planned(bare, house)[0].amounts
    line = GristLine(what="acid malt", ingredient=malt, at=Timing(stage="mash"), mass_kg=0.0)
    with_malt = attrs.evolve(bare, grist=(*bare.grist, line))

    def extract(one: GristLine) -> float:
        return one.ingredient.extract_fraction.centre * (1.0 - one.ingredient.moisture_fraction.centre)

    whole = sum(kg * extract(one) for one, kg in zip(bare.grist, amounts.grist_kg, strict=True))

    def ph(kg: float) -> float:
        ratio = 1.0 - kg * extract(line) / whole
        grist = (*(one * ratio for one in amounts.grist_kg), kg)
        return centre_ph(with_malt, house, attrs.evolve(amounts, grist_kg=grist))

    wanted = ph(0.0) - 0.2
    expected = brentq(lambda kg: ph(kg) - wanted, 0.0, 1.0)
    found = acid_malt_for_ph(bare, house, amounts, malt=malt, ph=wanted)
    assert found.mass_kg == pytest.approx(expected, rel=1e-6)
    assert found.others_ratio == pytest.approx(1.0 - expected * extract(line) / whole, rel=1e-6)
    # Some of it in the mash already is part of what is found.
    part = attrs.evolve(
        amounts, grist_kg=(*(kg * (1.0 - 0.05 * extract(line) / whole) for kg in amounts.grist_kg), 0.05)
    )
    again = acid_malt_for_ph(with_malt, house, part, malt=malt, ph=wanted)
    assert again.mass_kg == pytest.approx(expected, rel=1e-6)


def test_a_second_mash_counts_the_wort_it_is_made_with(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    house = watered(houses[HOME], SOFT)
    second = attrs.evolve(dosed.grist[0], at=Timing(stage="mash", mash=2))
    rests = (*dosed.rests, Rest(temperature_C=66.0, minutes=90.0, mash=2, liquor_from="mash 1"))
    twice = attrs.evolve(dosed, grist=(*dosed.grist, second), rests=rests)
    amounts = planned(twice, house)[0].amounts
    for mash in (1, 2):
        before = float(centre_line(twice, house, amounts).figures[mash_figure(mash)][0])
        more = acid_for_ph(twice, house, amounts, mineral=acid(PHOSPHORIC), ph=before - 0.1, mash=mash)
        treated = attrs.evolve(twice, others=(*twice.others, dose(PHOSPHORIC, more, mash=mash)))
        got = float(centre_line(treated, house, amounts).figures[mash_figure(mash)][0])
        assert got == pytest.approx(before - 0.1, abs=1e-8)


def test_a_weaker_acid_and_a_stronger_malt(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    house = houses[HOME]
    bare = attrs.evolve(dosed, others=())
    amounts = planned(bare, house)[0].amounts
    phs = (5.5, 5.4, 5.3, 5.2)
    of_80, of_88, of_10 = (
        [acid_for_ph(bare, house, amounts, mineral=acid(name), ph=ph) for ph in phs]
        for name in (LACTIC, "lactic acid 88 %", PHOSPHORIC)
    )
    assert np.all(np.diff(of_80) > 0.0)
    assert np.all(np.array(of_88) < of_80)
    assert np.all(np.array(of_10) > of_80)
    usual = fermentable("acid malt")[0]  # type: ignore[index]
    masses = []
    for share in (0.02, 0.03, 0.04):
        ph, buffering = acid_malt_acidity(share)
        malt = attrs.evolve(usual, distilled_ph=ph, buffering_mEq_kg=buffering, lactic_fraction=share)
        masses.append(acid_malt_for_ph(bare, house, amounts, malt=malt, ph=5.4).mass_kg)
    assert masses[0] > masses[1] > masses[2] > 0.0
    # Twice the acid is half the malt, nearly: what it displaces is a small part.
    assert masses[0] / masses[2] == pytest.approx(2.0, rel=0.05)


@pytest.mark.source("rule of the trade: 1 % of acid malt lowers the mash pH by 0.1", provenance="common-practice")
@pytest.mark.parametrize("water", [None, SOFT, HARD], ids=["usual", "soft", "hard"])
def test_a_per_cent_of_acid_malt(water: Water | None, dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    """The rule is a round number: by this balance a per cent does three quarters of it.

    With 341 mEq in a kilogram up to pH 5.65, 1 % brings 3.4 mEq to a kilogram of grist, whose malts buffer by
    about 45 mEq: 0.076. Only a grist that buffers by 34 would give 0.1.
    """
    house = watered(houses[HOME], water)
    bare = attrs.evolve(dosed, others=())
    amounts = planned(bare, house)[0].amounts
    malt = fermentable("acid malt")[0]  # type: ignore[index]
    wanted = centre_ph(bare, house, amounts) - 0.2
    found = acid_malt_for_ph(bare, house, amounts, malt=malt, ph=wanted)
    per_cent = 100.0 * found.mass_kg / (found.mass_kg + found.others_ratio * sum(amounts.grist_kg))
    assert 0.2 / per_cent == pytest.approx(0.1, rel=0.35)
    assert 0.2 / per_cent == pytest.approx(3.41 / 45.0, rel=0.1)


# The adaptation.


def test_at_home_the_mash_keeps_its_ph(at_home: Adaptation, houses: Mapping[str, Brewhouse]) -> None:
    origin = centre_ph(at_home.origin.recipe, houses[HOME], at_home.origin.amounts)
    for made, within in ((at_home.unrounded, 5e-4), (at_home.plan, 0.01)):
        assert centre_ph(made.recipe, houses[HOME], made.amounts) == pytest.approx(origin, abs=within)
        assert made.figures["mash.ph"].mean == pytest.approx(at_home.origin.figures["mash.ph"].mean, abs=0.01)
    assert [line.what for line in at_home.recipe.grist] == ["pilsner malt", "Munich malt"]
    for name in ("fermenter.original_gravity", "fermenter.final_gravity"):
        assert at_home.unrounded.figures[name].mean == pytest.approx(at_home.origin.figures[name].mean, abs=3e-4)
    # The acid makes up for what the acid malt did, and for what the malts in its place pull the other way.
    given = doses_of(at_home.recipe)[LACTIC] * acid_mEq_per_unit(acid(LACTIC), origin)
    malt = fermentable("acid malt")[0]  # type: ignore[index]
    of_malt = 0.18 * malt.buffering_mEq_kg.centre * (origin - malt.distilled_ph.centre)
    assert of_malt < given < 1.1 * of_malt


def test_away_it_keeps_it_too(away: Adaptation) -> None:
    water = away.plan.brewhouse.water
    there = attrs.evolve(away.origin.brewhouse, water=water)
    origin = centre_ph(away.origin.recipe, there, away.origin.amounts)
    assert centre_ph(away.unrounded.recipe, away.plan.brewhouse, away.unrounded.amounts) == pytest.approx(
        origin, abs=5e-4
    )
    assert centre_ph(away.plan.recipe, away.plan.brewhouse, away.plan.amounts) == pytest.approx(origin, abs=0.01)
    said = "Soft water on both brewhouses" if water is not None else "a water of usual make-up on both brewhouses"
    assert any(said in note for note in away.notes)


@pytest.mark.parametrize("wish", [f"{LACTIC} for acid malt", f"{PHOSPHORIC} for {LACTIC}"])
def test_boiling_water_that_joins_the_mash_is_reckoned_with(
    wish: str, malted: Recipe, houses: Mapping[str, Brewhouse]
) -> None:
    """What hard water brings to a later rest raises the pH after the dose is in: the pH kept is the one it ends at."""
    rests = (attrs.evolve(malted.rests[0], temperature_C=63.0), Rest(temperature_C=72.0, minutes=15.0, by="infusion"))
    infused = attrs.evolve(malted, rests=rests)
    if wish.endswith(LACTIC):
        infused = attrs.evolve(infused, others=(dose(LACTIC, 3.0),))
    there, here = (watered(houses[name], HARD) for name in (HOME, AWAY))
    found = adapt(attrs.evolve(infused, for_brewhouse=there), here, instead=wish)
    kept = centre_ph(found.origin.recipe, there, found.origin.amounts)
    assert centre_ph(found.unrounded.recipe, here, found.unrounded.amounts) == pytest.approx(kept, abs=5e-4)


def test_the_other_malts_say_what_they_make_up_for(
    at_home: Adaptation, away: Adaptation, dosed: Recipe, houses: Mapping[str, Brewhouse]
) -> None:
    def of_pilsner(made: Adaptation) -> list[str]:
        return [change.why for change in made.changes if change.what == "pilsner malt"]

    assert of_pilsner(at_home) == ["its share makes up for the acid malt"]
    assert all(re.fullmatch(r"\d+ % .* here; its share makes up for the acid malt", why) for why in of_pilsner(away))
    come = adapt(dosed, houses[HOME], instead="acid malt for lactic acid")
    assert of_pilsner(come) == ["its share gives way to the acid malt"]
    plain = adapt(dosed, houses[AWAY], instead=f"{PHOSPHORIC} for lactic acid")
    assert of_pilsner(plain)
    assert not any("acid malt" in why for why in of_pilsner(plain))


def test_the_change_says_what_and_why(at_home: Adaptation) -> None:
    (change,) = [change for change in at_home.changes if change.what == "acid malt"]
    assert change.before == "180 g (3.8 % of the malts)"
    amount = doses_of(at_home.recipe)[LACTIC]
    assert change.after == f"lactic acid 80 %, {amount:g} mL into the mash"
    assert amount * 10.0 == pytest.approx(round(amount * 10.0))  # in tenths of a millilitre
    ph = centre_ph(at_home.origin.recipe, at_home.origin.brewhouse, at_home.origin.amounts)
    assert re.match(rf"the same mash pH, {ph:.2f} with either; \d+ mEq of acid; rounding to what can be", change.why)
    assert any("acid" in caution.text for caution in at_home.plan.cautions())


@pytest.mark.parametrize("water", [None, SOFT], ids=["usual water", "soft water"])
def test_there_and_back_again(water: Water | None, malted: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    home, away = watered(houses[HOME], water), watered(houses[AWAY], water)
    there = adapt(attrs.evolve(malted, for_brewhouse=home), away, instead=f"{LACTIC} for acid malt")
    assert there.unrounded.recipe.for_brewhouse is not None
    back = adapt(there.unrounded.recipe, home, instead="acid malt for lactic acid")
    assert malt_share(back.unrounded.recipe) == pytest.approx(malt_share(malted), rel=0.01)
    assert back.unrounded.amounts.grist_kg == pytest.approx(planned(malted, home)[0].amounts.grist_kg, rel=0.01)
    assert back.unrounded.figures["mash.ph"].mean == pytest.approx(
        plan(attrs.evolve(malted, for_brewhouse=home), home).figures["mash.ph"].mean, abs=2e-3
    )
    assert not back.recipe.others


def test_the_same_acid_for_itself_is_the_same_dose(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    found = adapt(dosed, houses[HOME], instead=f"{LACTIC} for lactic acid")
    assert doses_of(found.unrounded.recipe)[LACTIC] == pytest.approx(5.0, rel=2e-3)


def test_acid_for_acid(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    found = adapt(dosed, houses[AWAY], instead=f"{PHOSPHORIC} for {LACTIC}")
    assert list(doses_of(found.recipe)) == [PHOSPHORIC]
    assert found.unrounded.figures["mash.ph"].mean == pytest.approx(found.origin.figures["mash.ph"].mean, abs=3e-3)
    # 80 % lactic acid of 1.187 kg/L is 10.4 mEq/mL at this pH; 10 % phosphoric acid of 1.054 kg/L gives 1.1.
    kinds = [acid_mEq_per_unit(acid(name), 5.5) for name in (LACTIC, PHOSPHORIC)]
    assert kinds == pytest.approx([10.3, 1.1], abs=0.1)


def test_the_sparge_takes_the_same_alkalinity(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    both = attrs.evolve(dosed, others=(dose(LACTIC, 5.0), dose(LACTIC, 2.0, stage="sparge")))
    found = adapt(both, houses[AWAY], instead=f"{PHOSPHORIC} for lactic acid")
    assert list(doses_of(found.recipe, "sparge")) == [PHOSPHORIC]
    ph = found.origin.figures["mash.ph"].mean
    before = 2.0 * acid_mEq_per_unit(acid(LACTIC), ph) / sum(found.origin.amounts.sparge_L)
    after = doses_of(found.unrounded.recipe, "sparge")[PHOSPHORIC] * acid_mEq_per_unit(acid(PHOSPHORIC), ph)
    assert after / sum(found.unrounded.amounts.sparge_L) == pytest.approx(before, rel=1e-6)
    # Acid malt has no place there: the sparge keeps its acid.
    kept = adapt(both, houses[AWAY], instead="acid malt for lactic acid")
    assert doses_of(kept.recipe, "sparge") == {LACTIC: pytest.approx(2.0)}
    assert not doses_of(kept.recipe)
    assert any("at sparge stays" in note for note in kept.notes)


def test_what_is_written_plans_to_the_same_ph(away: Adaptation, houses: Mapping[str, Brewhouse]) -> None:
    read = recipe_from_text(recipe_text(away.recipe))
    again = plan(attrs.evolve(read, for_brewhouse=away.plan.brewhouse), away.plan.brewhouse)
    assert again.figures["mash.ph"].mean == pytest.approx(away.plan.figures["mash.ph"].mean, abs=1e-6)
    assert doses_of(read) == pytest.approx(doses_of(away.recipe))


def test_a_ph_that_is_held_is_left_out_of_it(malted: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    aimed = attrs.evolve(malted, aims=(Aim(figure="mash.ph", value=5.4),))
    assert not unheld(aimed).aims
    found = adapt(aimed, houses[HOME], instead=f"{LACTIC} for acid malt")
    plain = adapt(malted, houses[HOME], instead=f"{LACTIC} for acid malt")
    assert doses_of(found.recipe) == pytest.approx(doses_of(plain.recipe))
    assert found.plan.figures["mash.ph"].mean == pytest.approx(5.4)
    assert any("takes 5.4 as held by whatever acid that takes" in note for note in found.notes)


def test_where_the_water_is_treated_the_treatment_doses(malted: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    wanting = attrs.evolve(malted, aims=(Aim(figure="mash.ph", value=5.4),), wanted_ions_mg_L=(("calcium", 60.0),))
    house = watered(houses[HOME], SOFT)
    gone = adapt(wanting, house, instead=f"{PHOSPHORIC} for acid malt")
    assert "acid malt" not in [line.what for line in gone.recipe.grist]
    assert set(doses_of(gone.recipe)) <= {PHOSPHORIC}
    assert doses_of(gone.recipe)[PHOSPHORIC] > 0.0
    assert gone.plan.figures["mash.ph"].mean == pytest.approx(5.4, abs=0.06)
    assert any("phosphoric acid 10 % is the acid it may choose" in note for note in gone.notes)
    grist = tuple(line for line in wanting.grist if line.what != "acid malt")
    come = adapt(
        attrs.evolve(wanting, grist=grist, others=(dose(LACTIC, 5.0),)), house, instead="acid malt for lactic acid"
    )
    assert malt_share(come.recipe) == pytest.approx(0.033, abs=0.003)
    assert come.plan.figures["mash.ph"].mean == pytest.approx(5.4, abs=0.06)
    assert doses_of(come.recipe).get(LACTIC, 0.0) < 3.0
    assert any("reckon with the acid malt" in note for note in come.notes)


def test_much_lactic_acid_is_tasted(malted: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    grist = tuple(attrs.evolve(line, mass_kg=0.75) if line.what == "acid malt" else line for line in malted.grist)
    sour = attrs.evolve(malted, grist=grist)
    found = adapt(sour, houses[HOME], instead=f"{LACTIC} for acid malt")
    (note,) = [note for note in found.notes if "of lactate" in note]
    told = float(note.split(" mg/L")[0].rsplit(" ", 1)[1])
    # Part of it stays in the grain and the kettle, the rest is in 20 L.
    grams = acid(LACTIC).substance_g(doses_of(found.recipe)[LACTIC])
    assert 0.4 * grams / 20.0 < told / 1000.0 < grams / 20.0


@pytest.mark.faults
def test_more_than_a_liquor_takes_is_refused(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    sour = attrs.evolve(dosed, others=(dose(LACTIC, 250.0),))
    with pytest.raises(Infeasible, match=r"g of the acid to a litre of liquor, and 0\.6 g is the most"):
        adapt(sour, houses[HOME], instead="hydrochloric acid 10 % for lactic acid")


@pytest.mark.faults
def test_a_ph_that_no_amount_reaches_is_refused(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    house = houses[HOME]
    bare = attrs.evolve(dosed, others=())
    amounts = planned(bare, house)[0].amounts
    malt = fermentable("acid malt")[0]  # type: ignore[index]
    with pytest.raises(Infeasible, match=r"acid malt cannot bring the mash to pH 3\.40, however much of it there is"):
        acid_malt_for_ph(bare, house, amounts, malt=malt, ph=3.4)
    with pytest.raises(Infeasible, match=r"lactic acid 80 % cannot bring the mash to pH 1\.00"):
        acid_for_ph(bare, house, amounts, mineral=acid(LACTIC), ph=1.0)


@pytest.mark.faults
@pytest.mark.parametrize(
    ("wish", "says"),
    [
        ("acid malt for sucrose", "acid malt cannot stand for sucrose: it stands for acid malt or an acid"),
        ("acid malt for Magnum", "acid malt cannot stand for Magnum"),
        (f"{LACTIC} for pilsner malt", "lactic acid 80 % cannot stand for pilsner malt"),
        ("acid malt for lactic acid", "lactic acid is not in Quay Light; of that kind it holds acid malt"),
        (f"{PHOSPHORIC} for {LACTIC}", "lactic acid 80 % is not in Quay Light"),
        ("lactic acid for acid malt", 'Write it into its name, such as "lactic acid 80 %"'),
        ("gypsum for acid malt", "calcium sulfate dihydrate is no acid and cannot stand for acid malt"),
        (f"{LACTIC} for acid malt at equal rate", "at equal mash pH, not at equal rate"),
        (f"{LACTIC} for saffron", "saffron is not in Quay Light; it holds pilsner malt"),
        ("sucrose for lactic acid", "sucrose cannot stand for lactic acid: an acid or acid malt can"),
    ],
)
def test_what_cannot_stand_for_it_is_refused(
    wish: str, says: str, malted: Recipe, houses: Mapping[str, Brewhouse]
) -> None:
    with pytest.raises(BadInput) as refusal:
        adapt(malted, houses[HOME], instead=wish)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.faults
def test_which_acid_must_be_said_and_there_must_be_a_mash(dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    two = attrs.evolve(dosed, others=(dose(LACTIC, 3.0), dose("lactic acid 88 %", 2.0)))
    with pytest.raises(BadInput, match="holds lactic acid 80 % and lactic acid 88 %: say which of them"):
        adapt(two, houses[HOME], instead="acid malt for lactic acid")
    sugar = fermentable("sucrose")[0]  # type: ignore[index]
    line = GristLine(what="sucrose", ingredient=sugar, at=Timing(stage="boil", minutes=10.0), mass_kg=2.0)
    with pytest.raises(BadInput, match="has no mash whose pH could be held"):
        adapt(attrs.evolve(dosed, grist=(line,)), houses[HOME], instead=f"{PHOSPHORIC} for lactic acid")
    boiled = attrs.evolve(dosed, others=(attrs.evolve(dosed.others[0], at=Timing(stage="boil", minutes=10.0)),))
    with pytest.raises(BadInput, match="belongs in the mash, and Quay Light has lactic acid elsewhere alone"):
        adapt(boiled, houses[HOME], instead="acid malt for lactic acid")


@pytest.mark.faults
def test_a_mash_that_is_acid_enough_takes_none(malted: Recipe, dosed: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    hard_there = watered(houses[HOME], HARD)
    little = attrs.evolve(dosed, for_brewhouse=hard_there, others=(dose(LACTIC, 1.0),))
    soft_here = watered(houses[AWAY], SOFT)
    for wish in (f"{PHOSPHORIC} for lactic acid", "acid malt for lactic acid"):
        with pytest.raises(Infeasible, match=r"is to be kept: .* would only lower it") as refusal:
            adapt(little, soft_here, instead=wish)
        assert "without lactic acid 80 %" in str(refusal.value)
    sour = attrs.evolve(dosed, others=(dose(LACTIC, 90.0),))
    with pytest.raises(Infeasible, match=r"more than 30% of the mash|however much of it there is"):
        adapt(sour, houses[HOME], instead="acid malt for lactic acid")


def test_an_ordinary_malt_for_acid_malt_says_what_it_costs(malted: Recipe, houses: Mapping[str, Brewhouse]) -> None:
    found = adapt(malted, houses[HOME], instead="pilsner malt for acid malt")
    assert any("the mash pH is not kept" in change.why for change in found.changes)
    assert found.plan.figures["mash.ph"].mean > found.origin.figures["mash.ph"].mean + 0.15
    brew = brewed(found.recipe, houses[HOME], found.plan.amounts, inputs_for(found.recipe, houses[HOME], draws=1))
    assert float(brew.figures["mash.ph"][0]) > 5.7
