"""pH in the line against the published balance solved by other means, and against what brewers find."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest
from ales import HOUSE
from brewing import Amounts, Recipe, Rest, begun, grain, pitched
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from waters import HARD, SOFT, acid, bought, dosed, stated

from gyle.beer.recipe import OtherLine
from gyle.line.beliefs import inputs_for, lot_name
from gyle.line.content import MINERALS

BALANCE = "deLange, MBAA Tech. Quarterly 52(1), 2015, proton balance solved by Brent's method"
PK1, PK2, PKW = 6.352, 10.329, 13.995
STEPS = {"lactate": (3.86,), "phosphate": (2.168, 7.207, 12.346), "citrate": (3.128, 4.761, 6.396)}


def charge(ph: float, *pk: float) -> float:
    """Mean number of protons an acid has lost."""
    weights = np.cumprod([1.0, *(10.0 ** (ph - step) for step in pk)])
    return float(weights @ np.arange(len(weights)) / weights.sum())


def water_terms(ph: float) -> float:
    """Hydroxide less protons [mEq/L]."""
    return float(1000.0 * (10.0 ** (ph - PKW) - 10.0**-ph))


def balanced(
    malts: list[tuple[float, float, float]],
    litres: float,
    *,
    alkalinity: float = 0.0,
    carbon: float = 0.0,
    lost: float = 0.0,
    calcium: float = 0.0,
    magnesium: float = 0.0,
    release: float = 0.20,
    ceiling: float = 8.75,
    strong_mEq: float = 0.0,
    **weak_mmol: float,
) -> float:
    """The pH at which all protons balance: malts [kg, own pH, mEq/(kg pH)], water [mEq/L, mmol/L], acids."""

    def left(ph: float) -> float:
        malt = sum(kg * each * (own - ph) for kg, own, each in malts)
        water = litres * (alkalinity - (1.0 - lost) * carbon * charge(ph, PK1, PK2) - water_terms(ph))
        freed = litres * release * (min(calcium, ceiling) + magnesium / 2.0)
        acid = strong_mEq + sum(amount * charge(ph, *STEPS[name]) for name, amount in weak_mmol.items())
        return malt + water - freed - acid

    return float(brentq(left, 0.0, 14.0, xtol=1e-12))


def recipe(names: tuple[str, ...], *lines: OtherLine, **changes: Any) -> Recipe:
    return Recipe(
        name="case",
        grist=tuple(grain(name) for name in names),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        yeasts=(pitched(),),
        others=lines,
        **changes,
    )


def amounts(*grist_kg: float, liquor_L: float, sparge_L: float = 10.0) -> Amounts:
    return Amounts(grist_kg=grist_kg, hops_kg=(), liquor_L=(liquor_L,), sparge_L=(sparge_L,))


def mash_ph(of: Recipe, much: Amounts, malts: list[tuple[float, float]], **set_to: float) -> float:
    """The line's own mash pH with malts [own pH, buffering], alkalinity, hardness and lost carbon dioxide as set."""
    inputs = inputs_for(of, HOUSE, 1)
    for line, (own, each) in zip(of.grist, malts, strict=True):
        lot = lot_name(line.what)
        inputs.derive(f"lot.{lot}.distilled_ph", np.array([own]))
        inputs.derive(f"lot.{lot}.buffering", np.array([each]))
    alkalinity, water_ph = set_to.get("alkalinity", 0.0), set_to.get("water_ph", 7.5)
    carbon = max(alkalinity - water_terms(water_ph), 0.0) / charge(water_ph, PK1, PK2) if alkalinity else 0.0
    totals = dict.fromkeys(MINERALS, 0.0) | {
        "~alkalinity": alkalinity,
        "~carbon": carbon,
        "~calcium": set_to.get("calcium", 0.0) / 2.0,
        "~magnesium": set_to.get("magnesium", 0.0) / 2.0,
    }
    for row, value in totals.items():
        inputs.derive(f"water.total.{row[1:]}", np.array([value]))
    for lost in ("model.co2_lost_still", "model.co2_lost_stirred"):
        inputs.derive(lost, np.array([set_to.get("lost", 0.0)]))
    return float(begun(of, HOUSE, much, inputs=inputs).figures["mash.ph"][0])


PILSNER, PALE = (5.75, 45.0), (5.68, 45.0)
LACTIC = acid(30.0, "lactic acid 88 %")
PHOSPHORIC = acid(10.0, "phosphoric acid 10 %")
HARDENED = {"alkalinity": 2.0, "calcium": 5.0, "magnesium": 1.0}
LIGHT = ("pale ale malt", "munich malt, light", "crystal malt 120 EBC")
DARK = ("pale ale malt", "crystal malt 400 EBC", "roasted barley")
ROASTED = [PALE, (4.55, 56.0), (4.65, 45.0)]


@pytest.mark.source(BALANCE, provenance="computed-with-scipy")
@pytest.mark.parametrize(
    ("names", "kg", "litres", "malts", "lines", "set_to", "expected"),
    [
        (("pale ale malt",), (5.0,), 20.0, [PALE], (), {}, 5.680),
        (("pilsner malt",), (5.0,), 20.0, [PILSNER], (), {"alkalinity": 2.0}, 5.880),
        (("pilsner malt",), (5.0,), 20.0, [PILSNER], (), {"alkalinity": 2.0, "lost": 1.0}, 5.928),
        (("pilsner malt",), (5.0,), 20.0, [PILSNER], (), HARDENED, 5.789),
        (("pilsner malt",), (5.0,), 20.0, [PILSNER], (LACTIC,), HARDENED, 5.666),
        (
            LIGHT, (4.0, 0.5, 0.5), 15.0, [PALE, (5.50, 45.0), (4.85, 52.0)], (),
            {"alkalinity": 1.0, "calcium": 4.0, "magnesium": 0.5}, 5.568,
        ),
        (DARK, (4.0, 0.3, 0.5), 16.0, ROASTED, (), {"alkalinity": 3.0, "calcium": 4.0}, 5.612),
        (DARK, (4.0, 0.3, 0.5), 16.0, ROASTED, (PHOSPHORIC,), {"alkalinity": 3.0, "calcium": 4.0}, 5.569),
        (("pilsner malt", "acid malt"), (4.85, 0.15), 20.0, [PILSNER, (3.45, 155.0)], (), {"alkalinity": 2.0}, 5.664),
    ],
)  # fmt: skip
def test_known_mashes(
    names: tuple[str, ...],
    kg: tuple[float, ...],
    litres: float,
    malts: list[tuple[float, float]],
    lines: tuple[OtherLine, ...],
    set_to: dict[str, float],
    expected: float,
) -> None:
    found = mash_ph(recipe(names, *lines), amounts(*kg, liquor_L=litres), malts, **set_to)
    assert found == pytest.approx(expected, abs=0.002)


BASES = ("pilsner malt", "pale ale malt", "vienna malt", "munich malt, dark", "wheat malt, pale", "rye malt")
BESIDE = ("crystal malt 60 EBC", "crystal malt 400 EBC", "black malt", "acid malt", "flaked oats", "dextrin malt, pale")


@pytest.mark.source(BALANCE, provenance="computed-with-scipy")
@given(
    base=st.sampled_from(BASES),
    beside=st.sampled_from(BESIDE),
    kg=st.tuples(st.floats(2.0, 9.0), st.floats(0.0, 1.0)),
    thickness=st.floats(2.2, 6.0),
    alkalinity=st.floats(0.05, 10.0),
    water_ph=st.floats(6.5, 8.6),
    calcium=st.floats(0.0, 300.0),
    magnesium=st.floats(0.0, 60.0),
    lactic=st.floats(0.0, 120.0),
    phosphoric=st.floats(0.0, 60.0),
    sulfuric=st.floats(0.0, 20.0),
    gypsum=st.floats(0.0, 10.0),
    soda=st.floats(0.0, 10.0),
)
def test_any_mash_balances(
    base: str,
    beside: str,
    kg: tuple[float, float],
    thickness: float,
    alkalinity: float,
    water_ph: float,
    calcium: float,
    magnesium: float,
    lactic: float,
    phosphoric: float,
    sulfuric: float,
    gypsum: float,
    soda: float,
) -> None:
    litres = thickness * sum(kg)
    water = stated(
        alkalinity_mEq_L=round(alkalinity, 3),
        ph=round(water_ph, 2),
        calcium_mg_L=round(calcium, 2),
        magnesium_mg_L=round(magnesium, 2),
    )
    of = recipe(
        (base, beside),
        acid(lactic, "lactic acid 80 %"),
        acid(phosphoric, "phosphoric acid 75 %"),
        acid(sulfuric, "sulfuric acid 10 %"),
        dosed("gypsum", grams=gypsum),
        dosed("sodium bicarbonate", grams=soda),
    )
    house = attrs.evolve(HOUSE, water=water)
    inputs = inputs_for(of, house, 1)
    found = float(begun(of, house, amounts(*kg, liquor_L=litres), inputs=inputs).figures["mash.ph"][0])
    lots = [(line.ingredient.distilled_ph.centre, line.ingredient.buffering_mEq_kg.centre) for line in of.grist]
    bicarbonate = 0.99 * 1000.0 * soda / 84.006
    wanted = balanced(
        [(mass, *lot) for mass, lot in zip(kg, lots, strict=True)],
        litres,
        alkalinity=water.alkalinity_mEq_L.centre + bicarbonate / litres,
        carbon=water.carbon_mmol_L + bicarbonate / litres,
        lost=0.7 if house.recirculated else 0.2,
        calcium=round(calcium, 2) / 20.039 + 2.0 * 0.99 * 1000.0 * gypsum / 172.164 / litres,
        magnesium=round(magnesium, 2) / 12.1525,
        strong_mEq=2.0 * sulfuric,
        lactate=lactic,
        phosphate=phosphoric,
    )
    assert found == pytest.approx(wanted, abs=1e-5)


@pytest.mark.source("Kolbach, Monatsschr. Brauerei 6, 49, 1953", provenance="memory")
@pytest.mark.parametrize("calcium", [0.0, 3.5])
def test_ten_german_degrees_of_residual_alkalinity_raise_a_mash_by_three_tenths(calcium: float) -> None:
    of, much = recipe(("pilsner malt",)), amounts(5.0, liquor_L=20.0)

    def at(alkalinity: float) -> float:
        return mash_ph(of, much, [PILSNER], alkalinity=alkalinity, calcium=calcium, lost=1.0)

    assert at(1.0 + 3.566) - at(1.0) == pytest.approx(0.30, abs=0.03)
    # A thicker mash answers less: in proportion to its liquor.
    thick = [
        mash_ph(of, amounts(5.0, liquor_L=12.5), [PILSNER], alkalinity=one, calcium=calcium, lost=1.0)
        for one in (1.0, 4.566)
    ]
    assert thick[1] - thick[0] == pytest.approx(0.30 * 2.5 / 4.0, abs=0.02)


@pytest.mark.source(
    "Briggs, Boulton, Brookes and Stevens, Brewing: Science and Practice, 2004, 4.3", provenance="retrieved"
)
@pytest.mark.parametrize(("temperature_C", "lower"), [(65.0, 0.35), (78.0, 0.45)])
def test_a_hot_mash_reads_lower(temperature_C: float, lower: float) -> None:
    of = attrs.evolve(recipe(("pale ale malt",)), rests=(Rest(temperature_C=temperature_C, minutes=60.0),))
    figures = begun(of, attrs.evolve(HOUSE, water=SOFT), amounts(5.0, liquor_L=15.0)).figures
    assert float((figures["mash.ph"] - figures["mash.ph_hot"])[0]) == pytest.approx(lower, abs=0.06)


@pytest.mark.source(
    "Briggs, Boulton, Brookes and Stevens, Brewing: Science and Practice, 2004, 4.3", provenance="retrieved"
)
def test_pale_malt_in_distilled_water_makes_a_wort_of_5_8_to_6() -> None:
    """Wort of a mash in distilled water; malts of today and of this table lie at its lower end."""
    house = attrs.evolve(HOUSE, water=bought("distilled"))
    values = begun(recipe(("pilsner malt",)), house, amounts(5.0, liquor_L=20.0)).figures["mash.ph"]
    assert 5.8 - 0.1 < float(values[0]) < 6.0


@pytest.mark.source(BALANCE, provenance="computed-with-scipy")
@pytest.mark.parametrize(("drawn_L", "kg"), [(2.0, 4.0), (6.0, 2.5), (0.5, 6.0)])
def test_a_second_mash_balances_with_the_first_wort_as_one_more_malt(drawn_L: float, kg: float) -> None:
    """Hardness of the first wort has freed its acid; only what is newly drawn frees more."""
    of = attrs.evolve(recipe(("pale ale malt",)), grist=(grain("pale ale malt"), grain("pilsner malt", mash=2)))
    much = Amounts(grist_kg=(5.0, kg), hops_kg=(), liquor_L=(16.0, drawn_L), sparge_L=(6.0, 4.0))
    brew = begun(of, attrs.evolve(HOUSE, water=HARD), much, upto="mash.2.in")
    liquor = dict(brew.kept)["mash.2.water"]["mash"]
    buffer, litres = float(liquor["~buffer"][0]), float(liquor.volume_L[0])
    assert buffer > 80.0
    wanted = balanced(
        [(kg, 5.75, 45.0), (buffer, float(liquor["~buffer ph"][0]) / buffer, 1.0)],
        litres,
        alkalinity=float(liquor["~alkalinity"][0]) / litres,
        carbon=float(liquor["~carbon"][0]) / litres,
        lost=0.7,
        calcium=drawn_L * HARD.mg_L("calcium") / 20.039 / litres,
        magnesium=drawn_L * HARD.mg_L("magnesium") / 12.1525 / litres,
    )
    assert float(brew.figures["mash.2.ph"][0]) == pytest.approx(wanted, abs=1e-5)
