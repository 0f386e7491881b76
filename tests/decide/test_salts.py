from __future__ import annotations

import ctypes
import itertools

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from salt_shelf import FOUR, MAIN, TOLERANCE, charge_mEq_L, lactic, problem, proton_balance, shelf, wanted, water
from scipy.optimize import brentq

from gyle.decide.salt_problem import SPARGE_ALKALINITY, Dilution, Limit, Problem, Ratio, Volumes, Water
from gyle.decide.salt_solver import minimise, quiet
from gyle.decide.salts import FINE_ENOUGH, best_doses, what_binds, without_each

SOFT = problem(water(0, 0, 0, 0, 0), 20.0, wanted(100, 5, 15, 60, 150))
UPLAND = problem(water(20, 4.8, 4.6, 24, 6.2), 28.0, wanted(110, 8, 15, 90, 120))
DRY = problem(water(8, 2, 4, 5, 6), 24.5, wanted(120, 10, 20, 50, 280))
HARD = problem(
    water(94.4, 18.3, 13.9, 24.4, 18.1, alkalinity=5.72),
    26.0,
    wanted(80, 8, 15, 60, 70, alkalinity=0.8),
    acids=(lactic(most=50.0),),
    dilution=Dilution(),
)
TWO_SALTS = attrs.evolve(SOFT, most_salts=2)
LITTLE_SULFATE = attrs.evolve(DRY, limits=(Limit(what="sulfate", high=250.0),))
# The worst miss and then the sum, and the sum alone, in tolerances.
KNOWN = [
    pytest.param(SOFT, 0.70080, 3.02271, 2.53406, id="O01"),
    pytest.param(TWO_SALTS, 1.5, None, 2.86755, id="O02"),
    pytest.param(UPLAND, 0.50648, 2.37722, 2.00163, id="O03"),
    pytest.param(DRY, 0.05554, None, 0.12647, id="O04"),
    pytest.param(LITTLE_SULFATE, 1.50568, None, 2.80212, id="O04 with little sulfate"),
    pytest.param(HARD, None, None, 0.37802, id="O05"),
]


def amounts(choice):
    return {(dose.what, dose.into): dose.amount for dose in choice.doses}


@pytest.mark.source("the same integer program, solved and enumerated apart", provenance="computed-with-scipy")
@pytest.mark.parametrize(("asked", "worst", "then_sum", "sum_alone"), KNOWN)
def test_known_optima(asked, worst, then_sum, sum_alone):
    first = best_doses(asked, fine_enough=0.0)
    assert first.proven
    if worst is not None:
        assert first.worst_miss == pytest.approx(worst, abs=1e-4)
    if then_sum is not None:
        assert first.sum_of_misses == pytest.approx(then_sum, abs=1e-4)
    least = best_doses(asked, objective="sum", fine_enough=0.0)
    assert least.proven
    assert least.sum_of_misses == pytest.approx(sum_alone, abs=1e-4)


def test_known_doses():
    assert list(amounts(best_doses(SOFT, fine_enough=0.0)).values()) == [5.6, 2.1, 0.4, 0.5]
    assert list(amounts(best_doses(DRY, fine_enough=0.0)).values()) == [10.6, 1.0, 2.0, 1.0]
    hard = best_doses(HARD, objective="sum", fine_enough=0.0)
    assert hard.dilution_share == pytest.approx(0.60)
    assert list(amounts(hard).values()) == [2.7, 1.8, 0.2, 0.7, 3.4]
    assert hard.waters["whole"].ions_mg_L["lactate"] == pytest.approx(137.0, abs=0.5)


def _enumerated(asked, most):
    """Every combination of steps of the salts: the least worst miss and then the least sum; and the least sum."""
    names = [one.name for one in asked.salts]
    step = asked.salts[0].step_units
    counts = np.array(list(itertools.product(range(most + 1), repeat=len(names))))
    if asked.most_salts is not None:
        counts = counts[(counts > 0).sum(axis=1) <= asked.most_salts]
    off, got = [], {}
    for wish in asked.wishes:
        per_gram = np.array([one.ions_mg_per_unit.get(wish.what, 0.0) for one in asked.salts])
        got[wish.what] = asked.source.ions_mg_L[wish.what] + counts @ per_gram * step / asked.volumes.mash_L
        off.append(np.abs(got[wish.what] - wish.low) / wish.tolerance)
    kept = np.ones(len(counts), dtype=bool)
    for limit in asked.limits:
        total = sum(got[what] for what in limit.what)
        kept &= (total >= limit.low) & (total <= limit.high)
    worst, total = np.max(off, axis=0)[kept], np.sum(off, axis=0)[kept]
    return worst.min(), total[worst <= worst.min() + 1e-9].min(), total.min()


@settings(max_examples=25)
@given(
    st.tuples(*(st.floats(low, high) for low, high in ((0, 120), (0, 25), (0, 60), (0, 120), (0, 220)))),
    st.floats(5.0, 30.0),
    st.sampled_from([None, 1, 2]),
    st.sampled_from([(), (Limit(what=("sulfate", "chloride"), high=160.0),), (Limit(what="magnesium", high=9.0),)]),
)
def test_nothing_found_by_trying_everything_is_better(want, litres, most_salts, limits):
    salts = tuple(attrs.evolve(shelf(step=0.4)[name], most_units=4.0) for name in FOUR)
    asked = problem(water(5, 2, 8, 6, 9), litres, wanted(*want), salts=salts, most_salts=most_salts, limits=limits)
    worst, then_sum, least_sum = _enumerated(asked, 10)
    found = best_doses(asked, fine_enough=0.0)
    assert found.proven
    assert found.worst_miss == pytest.approx(worst, abs=5e-5)
    assert found.sum_of_misses <= then_sum + 5e-5
    assert best_doses(asked, objective="sum", fine_enough=0.0).sum_of_misses == pytest.approx(least_sum, abs=5e-5)


BOTH = ("mash", "sparge")
TAP = water(70, 9, 14, 25, 30, alkalinity=3.1)


def two_places(want, **more):
    """Mash and sparge, all salts at hand that `more` does not name, one acid, two waters."""
    more.setdefault("salts", tuple(shelf(places=BOTH)[name] for name in FOUR))
    more.setdefault("acids", (lactic(places=BOTH),))
    more.setdefault("dilution", Dilution(step_share=0.1))
    more.setdefault("wishes", (*wanted(*want), SPARGE_ALKALINITY))
    return Problem(source=TAP, volumes=Volumes(mash_L=16.0, sparge_L=11.0), **more)


wishes = st.tuples(*(st.floats(low, high) for low, high in ((30, 160), (0, 25), (5, 50), (10, 150), (10, 280))))
LIMITS = (
    Limit(what="calcium", low=20.0, high=200.0, at="mash"),
    Limit(what=("sulfate", "chloride"), high=350.0),
    Limit(what="lactate", high=300.0),
    Limit(what="alkalinity", low=0.0, at="sparge"),
)


@settings(max_examples=15)
@given(wishes)
def test_what_is_chosen_is_whole_charged_alike_and_within_every_limit(want):
    found = best_doses(two_places(want, limits=LIMITS))
    assert found.proven
    for dose in found.doses:
        assert dose.amount > 0.0
        assert dose.amount / 0.1 == pytest.approx(round(dose.amount / 0.1), abs=1e-6)
    # No salt moves the charge; dilution thins it, lactic acid takes alkalinity for lactate.
    for place, litres in (("mash", 16.0), ("sparge", 11.0)):
        acid = 11.45 * sum(dose.amount for dose in found.doses if dose.into == place and dose.kind == "acid") / litres
        before = (1.0 - found.dilution_share) * charge_mEq_L(TAP)
        assert charge_mEq_L(found.waters[place]) - acid == pytest.approx(before, abs=1e-9)
    for limit in LIMITS:
        held = found.waters[limit.at]
        got = sum(held.alkalinity_mEq_L if what == "alkalinity" else held.ions_mg_L[what] for what in limit.what)
        assert limit.low - 1e-5 <= got <= limit.high + 1e-5
    for ion in MAIN:
        parts = (16.0 * found.waters["mash"].ions_mg_L[ion] + 11.0 * found.waters["sparge"].ions_mg_L[ion]) / 27.0
        assert found.waters["whole"].ions_mg_L[ion] == pytest.approx(parts)
    assert max(miss.scaled for miss in found.misses) == found.worst_miss


def _reached(asked, **more):
    """The worst miss and the sum, each miss counted by what it is beyond fine enough."""
    found = best_doses(attrs.evolve(asked, **more))
    assert found.proven
    beyond = [max(miss.scaled - FINE_ENOUGH, 0.0) for miss in found.misses]
    return max(beyond), sum(beyond)


def _no_worse(more, less):
    return more[0] <= less[0] + 5e-5 and (more[0] < less[0] - 5e-5 or more[1] <= less[1] + 5e-5)


@settings(max_examples=10)
@given(wishes, st.sampled_from(FOUR))
def test_more_at_hand_never_worsens_the_optimum(want, name):
    asked = two_places(want)
    with_all = _reached(asked)
    assert _no_worse(with_all, _reached(asked, dilution=None))
    assert _no_worse(with_all, _reached(asked, salts=tuple(one for one in asked.salts if one.name != name)))
    three = _reached(asked, most_salts=3)
    assert _no_worse(with_all, three)
    assert _no_worse(three, _reached(asked, most_salts=2))


@settings(max_examples=15)
@given(
    st.tuples(*(st.floats(low, high) for low, high in ((30, 160), (0, 25), (5, 50), (10, 150), (10, 280)))),
    st.integers(2, 4),
)
def test_more_liquor_with_coarser_steps_is_the_same_problem_and_with_the_same_steps_no_worse(want, factor):
    asked = problem(water(5, 2, 4, 6, 9), 12.0, wanted(*want))
    first = best_doses(asked, fine_enough=0.0)
    larger = attrs.evolve(asked, volumes=Volumes(mash_L=12.0 * factor))
    salts = tuple(attrs.evolve(one, most_units=factor * one.most_units) for one in asked.salts)
    coarse = tuple(attrs.evolve(one, step_units=factor * one.step_units) for one in salts)
    scaled = best_doses(attrs.evolve(larger, salts=coarse), fine_enough=0.0)
    assert scaled.worst_miss == pytest.approx(first.worst_miss, abs=1e-4)
    assert scaled.sum_of_misses == pytest.approx(first.sum_of_misses, abs=1e-3)
    finer = best_doses(attrs.evolve(larger, salts=salts), fine_enough=0.0)
    assert finer.worst_miss <= first.worst_miss + 5e-5


def test_twice_the_liquor_takes_twice_the_salt_within_steps():
    twice = amounts(best_doses(attrs.evolve(SOFT, volumes=Volumes(mash_L=40.0)), fine_enough=0.0))
    for key, amount in amounts(best_doses(SOFT, fine_enough=0.0)).items():
        assert abs(twice[key] - 2.0 * amount) < 0.35


def test_the_order_of_the_shelf_changes_nothing_and_a_second_run_neither():
    asked = two_places((110, 8, 15, 60, 180), salts=tuple(shelf(places=BOTH).values()))
    first = best_doses(asked)
    again = best_doses(asked)
    turned = best_doses(attrs.evolve(asked, salts=asked.salts[::-1]))
    assert first == again
    assert amounts(turned) == amounts(first)
    assert turned.dilution_share == first.dilution_share


def test_equally_near_the_fewest_salts_are_taken():
    # Sodium sulfate and gypsum give the sulfate alike when neither calcium nor sodium is asked for.
    salts = tuple(shelf()[name] for name in ("gypsum", "sodium sulfate", "Epsom salt"))
    asked = problem(water(0, 0, 0, 0, 0), 20.0, wanted(0, 0, 0, 0, 100)[4:], salts=salts)
    assert len(best_doses(asked).salts_used) == 1


class Mash:
    """A mash of one malt in water, by its proton balance; no linear row in it."""

    malt_kg, malt_ph, buffer, aimed = 4.6, 5.72, 45.0, 5.40
    carbon_lost, field_ph, calcium_release, magnesium_release = 0.3, 7.4, 0.20, 0.10

    @staticmethod
    def carbonate_charge(ph):
        first = 10.0 ** (ph - 6.352)
        second = first * 10.0 ** (ph - 10.329)
        return (first + 2.0 * second) / (1.0 + first + second)

    def taken_up(self, alkalinity, carbon, ph):
        """What a litre of water takes up of acid to a pH [mEq/L]."""
        ions = 1e3 * 10.0 ** (ph - 13.995) - 1e3 * 10.0**-ph
        return alkalinity - (1.0 - self.carbon_lost) * carbon * self.carbonate_charge(ph) - ions

    def carbon(self, alkalinity):
        return alkalinity / self.carbonate_charge(self.field_ph)

    def ph(self, mixed, litres, carbon, acid_mEq):
        """The pH of the mash in this liquor, in which acid has not yet been counted."""
        hardness = 2.0 * mixed.ions_mg_L["calcium"] / 40.078, 2.0 * mixed.ions_mg_L["magnesium"] / 24.305
        freed = self.calcium_release * hardness[0] + self.magnesium_release * hardness[1]
        return brentq(
            lambda ph: (
                self.malt_kg * self.buffer * (self.malt_ph - ph)
                + litres * (self.taken_up(mixed.alkalinity_mEq_L, carbon, ph) - freed)
                - acid_mEq
            ),
            3.0,
            9.0,
        )


@settings(max_examples=12)
@given(wishes)
def test_the_mash_lands_on_the_aimed_ph_by_the_full_balance(want):
    mash, dp = Mash(), 0.03
    bare = two_places(want)
    asked = attrs.evolve(
        bare,
        mash=proton_balance(
            TAP,
            bare.volumes,
            grist_mEq=mash.malt_kg * mash.buffer * (mash.malt_ph - mash.aimed),
            source_mEq_L=mash.taken_up(TAP.alkalinity_mEq_L, mash.carbon(TAP.alkalinity_mEq_L), mash.aimed),
            dilution=bare.dilution,
            dilution_mEq_L=mash.taken_up(0.0, 0.0, mash.aimed),
            calcium_release=mash.calcium_release,
            magnesium_release=mash.magnesium_release,
            slack_mEq=mash.malt_kg * mash.buffer * dp,
            salts=bare.salts,
            acids=bare.acids,
        ),
    )
    found = best_doses(asked)
    acid = 11.45 * sum(dose.amount for dose in found.doses if dose.into == "mash" and dose.kind == "acid")
    mixed = found.waters["mash"]
    mixed = Water(ions_mg_L=mixed.ions_mg_L, alkalinity_mEq_L=mixed.alkalinity_mEq_L + acid / 16.0)
    carbon = (1.0 - found.dilution_share) * mash.carbon(TAP.alkalinity_mEq_L)
    assert mash.ph(mixed, 16.0, carbon, acid) == pytest.approx(mash.aimed, abs=dp + 1e-4)


def test_the_mash_may_also_be_wished_towards_the_aimed_ph():
    bare = two_places((110, 8, 15, 60, 180))
    balance = proton_balance(
        TAP,
        bare.volumes,
        grist_mEq=66.0,
        source_mEq_L=2.9,
        dilution=bare.dilution,
        calcium_release=0.2,
        magnesium_release=0.1,
        slack_mEq=6.0,
        salts=bare.salts,
        acids=bare.acids,
    )
    loose = best_doses(attrs.evolve(bare, mash=balance))
    close = best_doses(attrs.evolve(bare, mash=attrs.evolve(balance, tolerance_mEq=6.0)))
    assert abs(close.mash_balance_mEq) <= abs(loose.mash_balance_mEq) + 0.6
    assert {miss.what for miss in close.misses} - {miss.what for miss in loose.misses} == {"mash balance"}


def test_the_ratio_is_wished_for_or_must_hold():
    bare = attrs.evolve(SOFT, wishes=wanted(100, 5, 15, 100, 100))
    must = best_doses(attrs.evolve(bare, ratio=Ratio(low=3.0, high=4.0, must=True))).waters["whole"].ions_mg_L
    assert 3.0 - 1e-6 <= must["sulfate"] / must["chloride"] <= 4.0 + 1e-6
    wished = best_doses(attrs.evolve(bare, ratio=Ratio(low=3.0, high=4.0))).waters["whole"].ions_mg_L
    free = best_doses(bare).waters["whole"].ions_mg_L
    assert free["sulfate"] / free["chloride"] < wished["sulfate"] / wished["chloride"] < 3.0


def test_the_next_best_without_each_salt_is_worse_and_does_without_it():
    best = best_doses(SOFT, fine_enough=0.0)
    others = without_each(SOFT, best, fine_enough=0.0)
    assert [other.what for other in others] == list(best.salts_used)
    for other in others:
        assert other.what not in other.choice.salts_used
        assert other.choice.worst_miss > best.worst_miss


def test_what_binds_is_named_and_what_it_costs():
    best = best_doses(LITTLE_SULFATE)
    (bound,) = best.at_limits
    assert bound == "sulfate of at most 250 mg/L"
    found = {binding.what: binding.worst_miss for binding in what_binds(LITTLE_SULFATE, best)}
    assert found[bound] == pytest.approx(best_doses(DRY).worst_miss)
    few = best_doses(TWO_SALTS)
    assert few.at_limits == ("at most 2 kinds of salt",)
    binding = what_binds(TWO_SALTS, few)
    assert ("at most 2 kinds of salt", pytest.approx(0.70080, abs=1e-4)) in [(b.what, b.worst_miss) for b in binding]


def test_coarse_steps_are_named_when_they_bind():
    salts = tuple(shelf(step=2.0)[name] for name in FOUR)
    asked = attrs.evolve(DRY, salts=salts)
    best = best_doses(asked)
    assert [binding.what for binding in what_binds(asked, best)] == ["whole steps of the scale"]


@pytest.mark.source("charge of the five ions by molar mass, IUPAC 2021", provenance="computed-with-numpy")
def test_a_wanted_set_whose_charges_cannot_balance_is_said_beforehand():
    assert "1.24 mEq/L more positive charge" in best_doses(SOFT).charge_gap
    assert best_doses(DRY).charge_gap == ""
    # Bicarbonate at hand makes up for it; a wanted alkalinity of nought forbids that again.
    with_soda = attrs.evolve(SOFT, salts=(*SOFT.salts, shelf()["sodium bicarbonate"]))
    assert best_doses(with_soda).charge_gap == ""
    no_alkalinity = attrs.evolve(with_soda, wishes=wanted(100, 5, 15, 60, 150, alkalinity=0.0))
    assert "more positive charge" in best_doses(no_alkalinity).charge_gap
    too_acid = attrs.evolve(SOFT, wishes=wanted(20, 0, 0, 100, 200))
    assert "more negative charge" in best_doses(too_acid).charge_gap


def test_salt_into_the_kettle_counts_for_the_whole_alone():
    salts = tuple(attrs.evolve(one, places=("kettle",)) for one in SOFT.salts)
    found = best_doses(attrs.evolve(SOFT, salts=salts, volumes=Volumes(mash_L=12.0, sparge_L=8.0)), fine_enough=0.0)
    assert {dose.into for dose in found.doses} == {"kettle"}
    assert found.worst_miss == pytest.approx(0.70080, abs=1e-4)
    assert found.waters["mash"].ions_mg_L["calcium"] == 0.0


def test_solving_writes_nothing(capfd):
    generator = np.random.default_rng(11)
    for _ in range(12):
        want = generator.uniform([30, 0, 5, 10, 10], [160, 25, 50, 150, 280])
        best_doses(two_places(want, limits=LIMITS, salts=tuple(shelf(places=BOTH).values())))
    assert capfd.readouterr() == ("", "")


def test_what_c_code_prints_is_dropped_and_the_rest_kept(capfd):
    libc = ctypes.CDLL(None)
    with quiet():
        libc.puts(b"a line of its own")
    print("kept")
    assert capfd.readouterr().out == "kept\n"


def test_a_stage_that_did_not_come_to_its_end_proves_nothing(monkeypatch):
    def cut_short(cost, *, whole, **given):
        answer = minimise(cost, whole=whole, **given)
        if whole.any():
            answer.status = 1  # SciPy's word for time that ran out
        return answer

    assert best_doses(LITTLE_SULFATE).proven
    monkeypatch.setattr("gyle.decide.salt_program.minimise", cut_short)
    assert not best_doses(LITTLE_SULFATE).proven


def test_weights_shift_the_misses():
    heavy = tuple(attrs.evolve(wish, weight=10.0 if wish.what == "sodium" else 1.0) for wish in SOFT.wishes)
    miss = {m.what: abs(m.got - m.low) / TOLERANCE[m.what] for m in best_doses(SOFT).misses}
    weighed = {
        m.what: abs(m.got - m.low) / TOLERANCE[m.what] for m in best_doses(attrs.evolve(SOFT, wishes=heavy)).misses
    }
    assert weighed["sodium"] < miss["sodium"] / 4.0
