from __future__ import annotations

import itertools

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from salt_shelf import FOUR, lactic, problem, proton_balance, shelf, wanted, water
from scipy.optimize import Bounds, LinearConstraint, milp

from gyle.decide.salt_check import charge_gap
from gyle.decide.salt_matrix import linear
from gyle.decide.salt_narrow import narrowed
from gyle.decide.salt_problem import SPARGE_ALKALINITY, Dilution, Limit, Problem, Volumes
from gyle.decide.salt_program import Program
from gyle.decide.salts import best_doses
from gyle.errors import Infeasible

small = st.floats(-3.0, 3.0).map(lambda x: round(x, 2))


@settings(max_examples=200)
@given(st.data())
def test_narrowing_cuts_nothing_off_that_keeps_the_rows(data):
    rows, columns = data.draw(st.integers(1, 4)), data.draw(st.integers(1, 4))
    matrix = np.array(
        data.draw(st.lists(st.lists(small, min_size=columns, max_size=columns), min_size=rows, max_size=rows))
    )
    middle = np.array(data.draw(st.lists(st.floats(-6.0, 6.0), min_size=rows, max_size=rows)))
    width = np.array(data.draw(st.lists(st.floats(0.0, 3.0) | st.just(np.inf), min_size=rows, max_size=rows)))
    most = np.array(data.draw(st.lists(st.integers(0, 4), min_size=columns, max_size=columns)), dtype=float)
    points = np.array(list(itertools.product(*(range(int(top) + 1) for top in most))), dtype=float)
    values = points @ matrix.T
    kept = points[((values >= middle - width) & (values <= middle + width)).all(axis=1)]
    whole = np.ones(columns, dtype=bool)
    found = narrowed((matrix, middle - width, middle + width), (np.zeros(columns), most), whole=whole)
    if found is None:
        assert not len(kept)
        return
    low, high = found
    assert np.all(low >= 0.0)
    assert np.all(high <= most)
    assert np.all((kept >= low) & (kept <= high))


def test_narrowing_finds_the_range_and_the_contradiction():
    rows = np.array([[2.0, 1.0], [1.0, -1.0]]), np.array([-np.inf, 0.0]), np.array([7.0, np.inf])
    bounds, whole = (np.zeros(2), np.full(2, 100.0)), np.ones(2, dtype=bool)
    low, high = narrowed(rows, bounds, whole=whole)
    assert (low.tolist(), high.tolist()) == ([0.0, 0.0], [3.0, 3.0])
    assert narrowed((rows[0], np.array([8.0, 0.0]), rows[2]), bounds, whole=whole) is None


def plainly(asked, *, fine_enough):
    """The worst miss and then the sum, beyond fine enough: every part a whole step, no range but what there is."""
    form = linear(asked)
    columns, wishes, groups = len(form.columns), len(form.wishes), len(form.group_names)
    blank, each, used = np.zeros((wishes, 1)), np.eye(wishes), np.zeros((wishes, groups))
    matrix = np.block(
        [
            [form.wish_matrix, each, blank, used],
            [-form.wish_matrix, each, blank, used],
            [np.zeros((wishes, columns)), -each, blank + 1.0, used],
            [form.limit_matrix, np.zeros((len(form.limits), wishes + 1 + groups))],
            [form.group_matrix, np.zeros((groups, wishes + 1)), -np.diag(form.group_most)],
            [np.zeros((1, columns + wishes + 1)), form.group_is_salt[None, :].astype(float)],
        ]
    )
    most_salts = np.inf if form.most_salts is None else form.most_salts
    low = np.r_[form.wish_low - fine_enough, -form.wish_high - fine_enough, np.zeros(wishes)]
    low = np.r_[low, form.limit_low, np.full(groups + 1, -np.inf)]
    high = np.r_[np.full(3 * wishes, np.inf), form.limit_high, np.zeros(groups), most_salts]
    worst, found = columns + wishes, []
    top = np.r_[form.most, np.full(wishes + 1, np.inf), np.ones(groups)]
    for cost in (slice(worst, worst + 1), slice(columns, worst)):
        weights = np.zeros(len(top))
        weights[cost] = 1.0
        answer = milp(
            weights,
            integrality=np.r_[np.ones(columns), np.zeros(wishes + 1), np.ones(groups)],
            bounds=Bounds(0.0, top),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": 0.0},
        )
        if answer.status == 2:
            return None
        assert answer.status == 0
        found.append(answer.fun)
        top[worst] = answer.fun + 5e-6
    return tuple(found)


BOTH = ("mash", "sparge")


@st.composite
def brews(draw):
    names = draw(st.lists(st.sampled_from(sorted(shelf())), min_size=3, max_size=5, unique=True))
    salts = tuple(shelf(places=BOTH, step=draw(st.sampled_from([0.2, 0.5])))[name] for name in names)
    alkalinity = draw(st.sampled_from([0.5, 3.0]))
    tap = water(*(draw(st.floats(2.0, top)) for top in (90, 15, 20, 40, 50)), alkalinity=alkalinity)
    volumes, acids, dilution = Volumes(mash_L=16.0, sparge_L=10.0), (lactic(places=BOTH),), Dilution(step_share=0.1)
    mash = proton_balance(
        tap, volumes, grist_mEq=60.0, source_mEq_L=0.9 * alkalinity, dilution=dilution, calcium_release=0.2,
        magnesium_release=0.1, slack_mEq=6.0, salts=salts, acids=acids,
    )  # fmt: skip
    wishes = wanted(*(draw(st.floats(low, top)) for low, top in ((30, 150), (0, 20), (5, 40), (10, 120), (10, 240))))
    return Problem(
        source=tap,
        volumes=volumes,
        wishes=(*wishes, SPARGE_ALKALINITY),
        limits=(Limit(what="calcium", low=20.0, at="mash"), Limit(what="alkalinity", low=0.0, at="sparge")),
        salts=salts,
        acids=acids,
        dilution=draw(st.sampled_from([None, dilution])),
        mash=mash,
        most_salts=draw(st.sampled_from([None, 2, 3])),
    )


@settings(max_examples=12)
@given(brews(), st.sampled_from([0.0, 0.1]))
def test_the_narrow_program_finds_what_the_plain_one_does(asked, fine_enough):
    if asked.dilution is None:
        asked = attrs.evolve(asked, mash=attrs.evolve(asked.mash, dilution_mEq=0.0))
    plain = plainly(asked, fine_enough=fine_enough)
    if plain is None:
        with pytest.raises(Infeasible):
            best_doses(asked, fine_enough=fine_enough)
        return
    found = best_doses(asked, fine_enough=fine_enough)
    assert found.proven
    beyond = np.maximum([miss.scaled - fine_enough for miss in found.misses], 0.0)
    assert beyond.max() == pytest.approx(plain[0], abs=5e-5)
    assert beyond.sum() <= plain[1] + 1e-4


def test_totals_and_parts_are_the_steps_again():
    asked = Problem(
        source=water(5, 2, 8, 6, 9),
        volumes=Volumes(mash_L=15.0, sparge_L=9.0, kettle_L=2.0),
        wishes=wanted(100, 5, 15, 60, 150),
        salts=tuple(shelf(places=("mash", "sparge", "kettle"))[name] for name in FOUR),
        acids=(lactic(),),
        dilution=Dilution(),
    )
    form = linear(asked)
    program = Program(form)
    assert abs(np.linalg.det(program.to_steps)) == pytest.approx(1.0)  # whole both ways
    totals = form.group_matrix @ program.to_steps
    assert np.array_equal(totals[:, program.totals], np.eye(len(form.group_names)))
    assert np.array_equal(totals[:, ~program.is_total], np.zeros((5 + 1, (~program.is_total).sum())))


def test_misses_are_told_in_full_though_they_count_beyond_fine_enough():
    asked = problem(water(0, 0, 0, 0, 0), 20.0, wanted(100, 5, 15, 60, 150))
    rough, fine = best_doses(asked, fine_enough=0.5), best_doses(asked, fine_enough=0.0)
    for found in (rough, fine):
        for miss in found.misses:
            wish = next(wish for wish in asked.wishes if wish.what == miss.what)
            assert miss.scaled == pytest.approx(abs(miss.got - wish.low) / wish.tolerance)
        assert found.worst_miss == max(miss.scaled for miss in found.misses)
    assert fine.worst_miss <= rough.worst_miss + 5e-5
    # What is beyond half a tolerance is as little as can be with either.
    assert max(rough.worst_miss, 0.5) == pytest.approx(max(fine.worst_miss, 0.5), abs=5e-5)
    assert len(rough.salts_used) <= len(fine.salts_used)


@settings(max_examples=20)
@given(st.tuples(*(st.floats(low, top) for low, top in ((10, 160), (0, 25), (0, 60), (5, 150), (5, 280)))))
def test_doses_that_come_near_the_wanted_charge_show_that_there_is_no_gap(want):
    asked = problem(water(5, 2, 8, 6, 9), 20.0, wanted(*want))
    assert best_doses(asked).charge_gap == charge_gap(asked)
