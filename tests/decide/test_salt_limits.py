from __future__ import annotations

import attrs
import pytest
from salt_shelf import FOUR, lactic, problem, salt, shelf, wanted, water

from gyle.decide.salt_problem import Dilution, Limit, ProtonBalance, Ratio, Volumes, Water, Wish
from gyle.decide.salts import best_doses
from gyle.errors import BadInput, Infeasible

PLAIN = problem(water(0, 0, 0, 0, 0), 20.0, wanted(100, 5, 15, 60, 150))
NAN = float("nan")


def limited(*limits, **more):
    return attrs.evolve(PLAIN, limits=limits, **more)


def test_limits_that_stand_against_each_other_are_named_and_no_others():
    asked = limited(
        Limit(what="sulfate", low=100.0),
        Limit(what="calcium", high=20.0),
        Limit(what="magnesium", high=6.0),
        Limit(what="sodium", high=500.0),
    )
    with pytest.raises(Infeasible) as refusal:
        best_doses(asked)
    said = str(refusal.value)
    assert "sulfate of at least 100 mg/L" in said
    assert "calcium of at most 20 mg/L" in said
    assert "magnesium of at most 6 mg/L" in said
    assert "sodium" not in said
    # 20 mg/L of calcium brings 47.94 of sulfate as gypsum; the rest as Epsom salt in steps of 0.1 g brings this much.
    assert "13.17 mg/L of magnesium is the least" in said


def test_one_limit_alone_says_how_far_one_can_go():
    chloride = limited(Limit(what="chloride", low=50.0), salts=(shelf()["gypsum"],))
    with pytest.raises(
        Infeasible, match=r"^chloride of at least 50 mg/L cannot be had .*; 0 mg/L of chloride is the most"
    ):
        best_doses(chloride)
    at_most = limited(Limit(what="calcium", high=50.0), source=water(80, 0, 0, 0, 0))
    with pytest.raises(Infeasible, match=r"80 mg/L of calcium is the least that can be had"):
        best_doses(at_most)


def test_kinds_of_salt_and_what_there_is_of_them_can_stand_in_the_way():
    asked = limited(Limit(what="magnesium", low=5.0), Limit(what="sodium", low=5.0), most_salts=1)
    with pytest.raises(Infeasible, match=r"at most 1 kind of salt"):
        best_doses(asked)
    little = tuple(attrs.evolve(one, most_units=0.5) for one in PLAIN.salts)
    with pytest.raises(Infeasible, match=r"at most 0.5 g of Epsom salt"):
        best_doses(limited(Limit(what="magnesium", low=5.0), salts=little))
    half = limited(Limit(what="sodium", high=30.0), source=water(10, 0, 90, 0, 0), dilution=Dilution(most_share=0.5))
    with pytest.raises(Infeasible, match=r"at most 50 % of the second water"):
        best_doses(half)


def test_steps_can_stand_in_the_way():
    with pytest.raises(Infeasible, match=r"^no doses in whole steps of the scale keep"):
        best_doses(limited(Limit(what="calcium", low=50.01, high=50.011), salts=(shelf()["gypsum"],)))


def test_a_mash_without_acid_says_on_which_side_it_stays():
    balance = ProtonBalance(start_mEq=60.0, per_unit_mEq=dict.fromkeys(FOUR, -0.2), slack_mEq=5.0)
    with pytest.raises(Infeasible, match=r"the aimed mash pH.*mEq on the alkaline side"):
        best_doses(attrs.evolve(PLAIN, mash=balance))
    too_acid = attrs.evolve(balance, start_mEq=-60.0)
    with pytest.raises(Infeasible, match=r"the aimed mash pH.*mEq on the acid side"):
        best_doses(attrs.evolve(PLAIN, mash=too_acid))


def test_a_ratio_that_must_hold_is_named():
    asked = attrs.evolve(PLAIN, salts=(shelf()["sodium chloride"],), limits=(Limit(what="chloride", low=10.0),))
    with pytest.raises(Infeasible, match=r"a sulfate-to-chloride ratio of at least 2"):
        best_doses(attrs.evolve(asked, ratio=Ratio(low=2.0, high=4.0, must=True)))


IRON = Wish(what="iron", low=1.0, high=1.0, tolerance=1.0)
BICARBONATE = Wish(what="bicarbonate", low=60.0, high=60.0, tolerance=10.0)
CALCIUM = PLAIN.wishes[0]
GYPSUM = PLAIN.salts[0]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"volumes": Volumes(mash_L=-3.0)}, "the mash liquor of -3 L"),
        ({"volumes": Volumes(mash_L=NAN)}, "the mash liquor of nan L"),
        ({"volumes": Volumes(mash_L=10.0, sparge_L=-1.0)}, "the sparge liquor of -1 L"),
        ({"volumes": Volumes(mash_L=10.0, kettle_L=NAN)}, "the kettle liquor of nan L"),
        ({"source": water(0, 0, NAN, 0, 0)}, "nan mg of sodium"),
        ({"source": water(0, 0, 0, -1, 0)}, "-1 mg of chloride"),
        ({"source": water(0, 0, 0, 0, 0, alkalinity=NAN)}, "an alkalinity of nan mEq/L"),
        ({"source": Water(ions_mg_L={"calcium": 1.0}, alkalinity_mEq_L=0.0)}, "states no sulfate"),
        ({"source": Water(ions_mg_L={"ca": 1.0}, alkalinity_mEq_L=0.0)}, "states ca, which is none of"),
        ({"wishes": (IRON,)}, "iron is asked for, which is neither alkalinity nor one of calcium"),
        ({"wishes": (BICARBONATE,)}, "bicarbonate is asked for as alkalinity"),
        ({"wishes": ()}, "no amount is wanted"),
        ({"wishes": (CALCIUM, CALCIUM)}, "calcium is wanted twice"),
        ({"wishes": (attrs.evolve(CALCIUM, tolerance=0.0),)}, "the tolerance of calcium, 0,"),
        ({"wishes": (attrs.evolve(CALCIUM, weight=NAN),)}, "the weight of calcium, nan,"),
        ({"wishes": (attrs.evolve(CALCIUM, low=NAN),)}, "calcium is asked for from nan to 100"),
        ({"wishes": (attrs.evolve(CALCIUM, low=-5.0, high=-5.0),)}, "calcium is asked for at -5 mg/L"),
        ({"wishes": (attrs.evolve(CALCIUM, at="boiler"),)}, "calcium is asked for in boiler"),
        ({"wishes": (attrs.evolve(CALCIUM, at="sparge"),)}, "no amount is wanted of a liquor that there is"),
        ({"limits": (Limit(what="calcium", low=3.0, high=2.0),)}, "calcium is asked for from 3 to 2"),
        ({"limits": (Limit(what=()),)}, "a limit names no ion"),
        ({"salts": ()}, "there is nothing to dose"),
        ({"salts": (attrs.evolve(GYPSUM, places=("sparge",)),)}, "nothing that is at hand may go into a liquor"),
        ({"salts": (GYPSUM, GYPSUM)}, "gypsum is at hand twice"),
        ({"salts": (attrs.evolve(GYPSUM, step_units=0.0),)}, "the step of gypsum, 0 g,"),
        ({"salts": (attrs.evolve(GYPSUM, most_units=NAN),)}, "the most gypsum, nan g,"),
        ({"salts": (attrs.evolve(GYPSUM, unit="spoon"),)}, "gypsum is dosed in spoon"),
        ({"salts": (attrs.evolve(GYPSUM, places=("glass",)),)}, "gypsum may go into glass"),
        ({"salts": (salt("half a salt", {"calcium": 1}, {"chloride": 1}),)}, "half a salt brings .* mEq of charge"),
        ({"acids": (attrs.evolve(lactic(), mEq_per_mL=-1.0),)}, "a strength of -1 mEq/mL"),
        ({"acids": (attrs.evolve(lactic(), step_mL=NAN),)}, "the step of lactic acid 88 %, nan mL"),
        ({"acids": (attrs.evolve(lactic(), most_mL=-2.0),)}, "the most lactic acid 88 %, -2 mL"),
        ({"most_salts": -1}, "the most kinds of salt, -1"),
        ({"dilution": Dilution(most_share=1.5)}, "the most dilution, 1.5,"),
        ({"dilution": Dilution(step_share=0.0)}, "the step of dilution, 0,"),
        ({"ratio": Ratio(low=3.0, high=1.0)}, "ratio from 3 to 1 is no range"),
        ({"mash": ProtonBalance(start_mEq=NAN, per_unit_mEq=dict.fromkeys(FOUR, 0.0), slack_mEq=1.0)}, "not a number"),
        ({"mash": ProtonBalance(start_mEq=1.0, per_unit_mEq={}, slack_mEq=1.0)}, "does not say what gypsum does"),
        (
            {"mash": ProtonBalance(start_mEq=1.0, per_unit_mEq=dict.fromkeys((*FOUR, "alum"), 0.0), slack_mEq=1.0)},
            "speaks of alum, which is not at hand",
        ),
    ],
)
def test_nonsense_gets_one_sentence(change, said):
    with pytest.raises(BadInput, match=said):
        best_doses(attrs.evolve(PLAIN, **change))


def test_every_fault_is_told():
    with pytest.raises(BadInput) as refusal:
        best_doses(attrs.evolve(PLAIN, volumes=Volumes(mash_L=NAN), wishes=(*PLAIN.wishes, IRON), most_salts=-1))
    assert len(refusal.value.faults) == 3


@pytest.mark.parametrize("more", [{"objective": "squares"}, {"fine_enough": NAN}, {"time_limit_s": 0.0}])
def test_the_way_of_searching_is_checked(more):
    with pytest.raises(BadInput):
        best_doses(PLAIN, **more)
