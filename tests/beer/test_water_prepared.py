"""Wishes carried out: waters boiled and limed end where the equations and practice say, and blends follow."""

from __future__ import annotations

import itertools

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from water_reports import EXAMPLES, IONS, report, report_file

from gyle.beer.unstated_water import unstated_water
from gyle.beer.water import Part, Softening, Water
from gyle.beer.water_blend import blend, bought_water, bounded
from gyle.beer.water_dechlorination import dechlorinated
from gyle.beer.water_guides import LIME_CAUTION
from gyle.beer.water_prepared import LIME_STRENGTH, lime_dose, prepared
from gyle.beer.water_substances import MAJOR
from gyle.line.ensemble import Ensemble
from gyle.science.carbonate import carbon_from_ph, closed
from gyle.science.decarbonation import boiled_totals, limed_totals
from gyle.science.water_state import water_totals

HARD, SOFT = (report_file(EXAMPLES / f"water-{name}.toml") for name in ("hard", "soft"))
# Calcium enough to go with all of its alkalinity.
GYPSEOUS = report(
    'calcium = 120\nmagnesium = 10\nsodium = 12\nsulfate = 130\nchloride = 20\nph = 7.5\nalkalinity = "4.05 mEq/L"\n'
)
LIMED_MMOL_L = 1000.0 / 74.092  # of Ca(OH)2 in a gram


def wishing(water: Water, treated: Softening) -> Water:
    return attrs.evolve(water, treated=treated)


def calcium_mEq_L(water: Water) -> float:
    return 2.0 * water.mmol_L("calcium")


@pytest.mark.source("end of boiling, 0.6 to 1.2 mEq/L of alkalinity", provenance="common-practice")
@pytest.mark.parametrize("water", [HARD, GYPSEOUS])
def test_a_boil_ends_where_practice_says(water: Water) -> None:
    boiled = prepared(wishing(water, "boiled"))
    assert 0.6 <= boiled.alkalinity_mEq_L.centre <= 1.2
    sd = np.hypot(boiled.alkalinity_mEq_L.spread, boiled.alkalinity_mEq_L.each_time)
    assert 0.15 < sd < 0.3
    assert not boiled.untreated
    assert boiled.alkalinity_mEq_L.standing == "computed"


@pytest.mark.source("PHREEQC with phreeqc.dat, open to air at 76 °C", provenance="computed-with-phreeqpython")
def test_a_water_short_of_calcium_ends_at_equilibrium_with_chalk() -> None:
    boiled = prepared(wishing(HARD, "boiled"))
    assert boiled.alkalinity_mEq_L.centre == pytest.approx(1.1701, abs=0.005)
    assert boiled.mmol_L("calcium") == pytest.approx(0.080456, abs=0.002)
    equation = boiled_totals(
        HARD.totals_mmol_L(HARD.carbon_mmol_L), 76.0, log_pco2=-3.377, settled_share=1.0
    )  # the same water by the equation
    assert boiled.alkalinity_mEq_L.centre == pytest.approx(float(equation[10]))
    assert boiled.mmol_L("calcium") == pytest.approx(float(equation[0]), abs=1e-5)
    # Cooled in air it lies between what was hot and what air at 20 °C makes.
    assert 8.2 < boiled.ph.centre < float(closed(equation, 20.0).ph)
    assert boiled.notes[-1].startswith("boiling takes alkalinity from 5.7 to 1.2 mEq/L and calcium from 94 to 3 mg/L; ")
    assert "draw the water off" in boiled.notes[-1]


@pytest.mark.source("lime softening ends at 1 to 2 mEq/L of alkalinity", provenance="common-practice")
@pytest.mark.parametrize("water", [HARD, GYPSEOUS])
def test_lime_ends_where_practice_says(water: Water) -> None:
    limed = prepared(wishing(water, "lime"))
    assert 1.0 <= limed.alkalinity_mEq_L.centre <= 2.0
    assert 7.5 < limed.ph.centre < 10.0
    assert LIME_CAUTION in limed.cautions
    dose = lime_dose(water)
    assert dose is not None
    assert f"{dose.grams(10.0):.2g} g of slaked lime in 10 L" in limed.notes[-1]


@pytest.mark.source(
    "PHREEQC with phreeqc.dat: the lime that left this alkalinity", provenance="computed-with-phreeqpython"
)
def test_the_dose_of_lime_is_what_left_the_same_alkalinity_elsewhere() -> None:
    """2.294 mmol/kg left 2.204 mEq/kg of the hard water; each mmol less of alkalinity takes half a mmol more."""
    dose = lime_dose(HARD)
    assert dose is not None
    active = dose.g_per_L.centre * LIMED_MMOL_L * LIME_STRENGTH.centre
    assert active == pytest.approx(2.2944 + (2.204 - dose.end_alkalinity_mEq_L) / 2.0, rel=0.03)
    assert dose.g_per_L.spread / dose.g_per_L.centre > 0.07  # what the strength alone leaves open
    totals = HARD.totals_mmol_L(HARD.carbon_mmol_L)
    ends = [
        float(limed_totals(totals, 15.0, lime_mmol_kg=active, settled_share=settled)[10]) for settled in (0.95, 1.0)
    ]
    limed = prepared(wishing(HARD, "lime"))
    assert min(ends) < limed.alkalinity_mEq_L.centre < max(ends)
    assert min(ends) == pytest.approx(dose.end_alkalinity_mEq_L, abs=0.08)


@pytest.mark.parametrize("treated", ["boiled", "lime"])
@pytest.mark.parametrize("water", [HARD, GYPSEOUS])
def test_charge_imbalance_is_carried(water: Water, treated: Softening) -> None:
    after = prepared(wishing(water, treated))
    assert after.imbalance_mEq_L == pytest.approx(water.imbalance_mEq_L, abs=1e-9)
    fall = water.alkalinity_mEq_L.centre - after.alkalinity_mEq_L.centre
    assert fall > 2.0
    assert calcium_mEq_L(water) - calcium_mEq_L(after) == pytest.approx(fall)
    for ion in set(MAJOR) - {"calcium"}:
        assert after.ion_mg_L(ion) is not None
        assert after.mg_L(ion) == water.mg_L(ion)
    assert after.hardness_mEq_L.centre == pytest.approx(calcium_mEq_L(after) + 2.0 * after.mmol_L("magnesium"))
    assert 0.0 < after.bicarbonate_mg_L.centre <= 61.017 * after.alkalinity_mEq_L.centre + 1e-9
    assert after.acid_capacity_mEq_L is None
    assert after.conductivity_uS_cm is None


def test_spreads_follow_those_of_the_report() -> None:
    """Where a boil ends does not depend on where it began, while calcium lasts; how much calcium is left does."""
    vague = attrs.evolve(GYPSEOUS, alkalinity_mEq_L=attrs.evolve(GYPSEOUS.alkalinity_mEq_L, spread=0.6))
    sure, unsure = (prepared(wishing(water, "boiled")) for water in (GYPSEOUS, vague))
    assert unsure.alkalinity_mEq_L.spread == pytest.approx(sure.alkalinity_mEq_L.spread, abs=0.02)
    expected = np.hypot(sure.calcium_mg_L.spread, 0.5 * 0.6 * 40.078)
    assert unsure.calcium_mg_L.spread == pytest.approx(expected, rel=0.05)


def test_soft_water_stays_as_it_is() -> None:
    limed, boiled = (prepared(wishing(SOFT, how)) for how in ("lime", "boiled"))
    assert lime_dose(SOFT) is None
    for after, way in ((limed, "lime"), (boiled, "boiling")):
        for name in ("calcium_mg_L", "alkalinity_mEq_L", "hardness_mEq_L"):
            assert getattr(after, name).centre == getattr(SOFT, name).centre
        assert any(note.startswith(f"{way} does not soften this water: its alkalinity of 0.54") for note in after.notes)
        assert not after.untreated
    assert limed.ph.centre == SOFT.ph.centre
    assert limed.cautions == SOFT.cautions
    # Boiling still drives gas off.
    assert boiled.residual_chlorine_mg_L == 0.0
    assert not any("chlorine" in caution for caution in boiled.cautions)
    assert any("chlorine boils off" in note for note in boiled.notes)


def test_chloramine_outlasts_a_boil() -> None:
    water = report(IONS + 'alkalinity = "4.05 mEq/L"\nchlorine = 0.3\nchloramine = 1.5\ntreated = "boiled"\n')
    assert prepared(water).residual_chlorine_mg_L == 1.5


@pytest.mark.faults
def test_alkalinity_without_calcium_cannot_be_taken_out() -> None:
    water = report(
        'calcium = 2\nmagnesium = 1\nsodium = 138\nph = 8\nalkalinity = "6 mEq/L"\nsulfate = 5\nchloride = 5\n'
    )
    for treated in ("boiled", "lime"):
        after = prepared(wishing(water, treated))
        assert after.alkalinity_mEq_L.centre == 6.0
        assert any("too little calcium" in note for note in after.notes)


@pytest.mark.faults
@pytest.mark.parametrize("treated", ["boiled", "lime"])
@pytest.mark.parametrize(
    "text",
    [
        'alkalinity = "0 mEq/L"\nph = 5\n',
        'acid_capacity = "0.01 mmol/L"\nph = 4.2\n',  # its alkalinity is below zero
        'alkalinity = "5.7 mEq/L"\nph = 3.2\n',  # contradict each other
        'alkalinity = "60 mEq/L"\nph = 12\ncalcium = 0\n',
        'alkalinity = "20 mEq/L"\nph = 6.0\ncalcium = 1000\n',
        "calcium = 5000\nsulfate = 5000\nchloride = 5000\nsodium = 5000\nph = 9\n",
        'phosphate = 3\nalkalinity = "4 mEq/L"\ncalcium = 90\nph = 7.4\n',
        "ph = 11.9\n",
    ],
)
def test_hostile_waters_are_prepared(text: str, treated: Softening) -> None:
    water = report(text)
    after = prepared(wishing(water, treated))
    assert after.imbalance_mEq_L == pytest.approx(water.imbalance_mEq_L, abs=1e-6)
    assert after.mg_L("calcium") >= 0.0
    assert after.alkalinity_mEq_L.centre <= max(water.alkalinity_mEq_L.centre, 1.0) + 1e-9
    assert np.isfinite(blend([Part(water=after, share=0.5), Part(water=SOFT, share=0.5)]).ph.centre)


@pytest.mark.faults
@pytest.mark.parametrize(("ph", "alkalinity"), [(11.9, 9), (10.5, 4), (10.0, 6)])
def test_lime_does_not_take_lime_and_carbonate_out(ph: float, alkalinity: float) -> None:
    water = report(f'calcium = 80\nph = {ph}\nalkalinity = "{alkalinity} mEq/L"\n')
    after = prepared(wishing(water, "lime"))
    assert lime_dose(water) is None
    assert any("lime and carbonate already" in note for note in after.notes)
    assert after.alkalinity_mEq_L.centre == alkalinity
    assert LIME_CAUTION not in after.cautions


def test_carbonate_needs_no_lime() -> None:
    """At pH 9.5 much of the alkalinity is carbonate: less lime leaves the same water."""
    for ph in (7.5, 8.8, 9.5):
        water = report(
            f'calcium = 80\nmagnesium = 5\nsulfate = 20\nph = {ph}\nalkalinity = "4 mEq/L"\ntreated = "lime"\n'
        )
        assert prepared(water).alkalinity_mEq_L.centre == pytest.approx(1.55, abs=0.15)


@pytest.mark.faults
def test_a_water_full_of_carbon_dioxide_is_to_be_stirred_before_lime() -> None:
    water = report('alkalinity = "8 mEq/L"\nph = 5.9\ncalcium = 170\ntreated = "lime"\n')
    after = prepared(water)
    assert lime_dose(water) is None
    assert after.alkalinity_mEq_L.centre == 8.0
    assert any("stir the water or let it stand first" in note for note in after.notes)


def test_a_blend_with_a_boiled_part() -> None:
    """By hand: 0.7 of the boiled hard water and 0.3 of the soft one."""
    mixed = blend([Part(water=HARD, share=0.7, treated="boiled"), Part(water=SOFT, share=0.3)], "cut")
    after = prepared(mixed)
    assert mixed.untreated
    assert not after.untreated
    assert after.name == "cut"
    assert after.alkalinity_mEq_L.centre == pytest.approx(0.7 * 1.1701 + 0.3 * SOFT.alkalinity_mEq_L.centre, abs=0.004)
    assert after.mg_L("calcium") == pytest.approx(0.7 * 0.080456 * 40.078 + 0.3 * 20.0, abs=0.1)
    assert after.mg_L("chloride") == pytest.approx(0.7 * 24.4 + 0.3 * 24.0)
    assert after.imbalance_mEq_L == pytest.approx(mixed.imbalance_mEq_L, abs=1e-9)
    assert [part.treated for part in after.parts] == ["", ""]
    assert any(note.startswith("Hard water: boiling takes alkalinity") for note in after.notes)
    boiled = prepared(wishing(HARD, "boiled"))
    carbon = 0.7 * boiled.carbon_mmol_L + 0.3 * SOFT.carbon_mmol_L
    assert after.carbon_mmol_L == pytest.approx(carbon, rel=1e-6)


def test_a_blend_of_blends_and_the_whole() -> None:
    inner = blend([Part(water=HARD, share=0.5, treated="lime"), Part(water=GYPSEOUS, share=0.5)], "inner")
    outer = attrs.evolve(
        blend([Part(water=inner, share=0.5), Part(water=HARD, share=0.5)], "outer"), treated="boiled", remarks="mine"
    )
    after = prepared(outer)
    limed = prepared(wishing(HARD, "lime"))
    before_boil = 0.25 * limed.alkalinity_mEq_L.centre + 0.25 * 4.05 + 0.5 * 5.72
    assert any(note.startswith(f"boiling takes alkalinity from {before_boil:.1f} to 1.0") for note in after.notes)
    assert any(note.startswith("inner: Hard water: lime, ") for note in after.notes)
    assert LIME_CAUTION in after.cautions
    assert after.remarks == "mine"
    assert after.imbalance_mEq_L == pytest.approx(outer.imbalance_mEq_L, abs=1e-9)
    assert not after.untreated


def test_one_wish_twice_is_one_wish() -> None:
    twice = blend([Part(water=wishing(HARD, "boiled"), share=1.0, treated="boiled")])
    once = blend([Part(water=HARD, share=1.0, treated="boiled")])
    assert prepared(twice) == prepared(once)


@settings(max_examples=15, deadline=None)
@given(
    share=st.floats(0.1, 0.9),
    wishes=st.tuples(*(st.sampled_from(["", "boiled", "lime"]) for _ in range(3))),
    waters=st.tuples(*(st.sampled_from([HARD, SOFT, GYPSEOUS]) for _ in range(2))),
)
def test_preparing_twice_changes_nothing_more(
    share: float, wishes: tuple[Softening, ...], waters: tuple[Water, ...]
) -> None:
    parts = [
        Part(water=water, share=part, treated=wish)
        for water, part, wish in zip(waters, (share, 1.0 - share), wishes, strict=False)
    ]
    once = prepared(attrs.evolve(blend(parts), treated=wishes[2]))
    assert prepared(once) == once
    assert not once.untreated


def test_a_water_without_a_wish_keeps_its_figures() -> None:
    ready = prepared(HARD)
    assert attrs.evolve(ready, **{name: getattr(HARD, name) for name in attrs.fields_dict(Water)}) == HARD
    for ion in MAJOR:
        one, other = getattr(ready, f"{ion}_mg_L"), getattr(HARD, f"{ion}_mg_L")
        assert (one.centre, one.spread, one.source) == (other.centre, other.spread, other.source)
    assert (ready.notes, ready.acid_capacity_mEq_L, ready.ph.centre) == ((), HARD.acid_capacity_mEq_L, 7.41)


RO = bought_water("reverse osmosis")
assert RO is not None
SAMPLED = {
    "hard": prepared(HARD),
    "hard boiled": prepared(wishing(HARD, "boiled")),
    "hard limed": prepared(wishing(HARD, "lime")),
    "soft without chlorine": dechlorinated(prepared(SOFT)),
    "reverse osmosis": RO,
    "cut": prepared(report_file(EXAMPLES / "water-blend.toml")),
    "unstated": unstated_water({}),
    "wished": unstated_water({"calcium": 0.0, "sulfate": 300.0, "chloride": 10.0}),
    "acid": prepared(report('acid_capacity = "0.01 mmol/L"\nph = 4.2\n')),
    "contradiction": prepared(report('alkalinity = "5.7 mEq/L"\nph = 3.2\n')),
}


def speciated(water: Water, draws: dict[str, np.ndarray]) -> np.ndarray:
    """The pH of every draw, the way a plan makes it of sampled figures."""
    ions = {f"{ion}_mmol_kg": draws[ion] * water.mmol_L(ion) / max(water.mg_L(ion), 1e-9) for ion in MAJOR}
    totals = water_totals(draws["alkalinity"], 0.0, **ions)
    totals[11] = carbon_from_ph(totals, draws["ph"], temperature_C=water.reading_C)
    assert np.isfinite(totals).all()
    if water is SAMPLED["contradiction"]:  # its own middle is already more carbon than a water holds
        totals[11] = np.minimum(totals[11], 500.0)
    return np.asarray(closed(totals, 20.0).ph)


@pytest.mark.parametrize("name", SAMPLED)
def test_no_draw_leaves_the_physical_range(name: str) -> None:
    water = SAMPLED[name]
    figures = {ion: getattr(water, f"{ion}_mg_L") for ion in MAJOR}
    figures |= {"alkalinity": water.alkalinity_mEq_L, "ph": water.ph}
    sample = Ensemble({f"{name}.{key}": figure for key, figure in figures.items()}, 65_536)
    draws = {key: np.broadcast_to(sample[f"{name}.{key}"], 65_536) for key in figures}
    for ion in MAJOR:
        assert (draws[ion] >= 0.0).all()
    assert np.isfinite(speciated(water, draws)).all()


@pytest.mark.parametrize("name", SAMPLED)
def test_the_limits_themselves_can_be_computed(name: str) -> None:
    water = SAMPLED[name]
    ends = [(one.low, one.high) for one in (water.alkalinity_mEq_L, water.ph)]
    assert np.isfinite(ends).all()
    alkalinity, ph = np.array(list(itertools.product(*ends))).T
    for end in ("low", "high"):
        draws = {ion: np.full(4, getattr(getattr(water, f"{ion}_mg_L"), end)) for ion in MAJOR}
        if end == "high":
            draws = {ion: np.minimum(values, 4000.0) for ion, values in draws.items()}
        assert np.isfinite(speciated(water, draws | {"alkalinity": alkalinity, "ph": ph})).all()
    assert bounded(water) == water
