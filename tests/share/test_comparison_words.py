"""A comparison in one sentence."""

from __future__ import annotations

import attrs
import pytest

from gyle.decide.difference import FigureDifference
from gyle.line.figures import Band, figure
from gyle.share.comparison_words import comparison_sentence, most_telling

WORTH = {"glass.bitterness": 1.0, "glass.bitterness_tinseth": 1.0, "fermenter.alcohol": 0.1}


def difference(name: str, mean: float, *, spread: float = 0.0, worth: float = 0.0) -> FigureDifference:
    known = figure(name)
    assert known is not None
    least = worth or WORTH.get(name, abs(mean) / 2.0)
    moved = Band(mean=mean, low=mean - spread, high=mean + spread, median=mean)
    before = Band(mean=10.0, low=9.0, high=11.0, median=10.0)
    return FigureDifference(
        name=name,
        unit=known.unit,
        kind=known.kind,
        before=before,
        after=attrs.evolve(before, mean=10.0 + mean),
        difference=moved,
        worth=least,
        telling=(moved.low > 0.0 or moved.high < 0.0) and abs(mean) >= least,
    )


def said(*found: FigureDifference, system: str = "metric") -> str:
    return comparison_sentence(found, system=system)


def test_the_most_telling_comes_first_and_the_rest_is_alike() -> None:
    assert said(
        difference("fermenter.alcohol", -0.3, spread=0.1),
        difference("glass.bitterness_tinseth", 12.0, spread=6.0),
        difference("mash.ph", 0.001, spread=0.1),
    ) == "0.30 % vol less, 12 IBU more, the rest is alike"  # fmt: skip


def test_nothing_telling_is_said_so() -> None:
    sentence = "alike: no figure differs by more than is worth saying"
    assert said() == sentence
    assert said(difference("glass.bitterness", 3.0, spread=4.0)) == sentence
    assert said(difference("glass.bitterness", 0.3, spread=0.1)) == sentence


@pytest.mark.parametrize(
    ("name", "mean", "system", "phrase"),
    [
        ("fermenter.original_gravity", 0.004, "metric", "original gravity 4 points higher"),
        ("fermenter.final_gravity", -0.0012, "us", "final gravity 1.2 points lower"),
        ("fermenter.final_gravity", 0.001, "us", "final gravity 1 point higher"),
        ("glass.colour", 8.0, "metric", "8 EBC darker"),
        ("glass.colour_srm", -4.0, "us", "4 SRM paler"),
        ("line.minutes", 30.0, "metric", "30 min longer"),
        ("mash.strike_temperature", 1.0, "us", "strike temperature 1.8 °F higher"),
        ("mash.ph", -0.1, "metric", "mash pH 0.1 lower"),
        ("keg.volume", -2.0, "metric", "volume into the keg 2 L less"),
        ("fermenter.volume", -2.0, "metric", "into the fermenter 2 L less"),
        ("kettle.end.volume", -2.0, "metric", "volume at the end of boil 2 L less"),
        ("fermenter.attenuation", 4.0, "metric", "apparent attenuation 4 % higher"),
        ("water.sulfate", 50.0, "metric", "sulfate 50 mg/L more"),
        ("mash.2.ph", 0.1, "metric", "mash pH, of a cooled sample 0.1 higher"),
    ],
)
def test_each_figure_is_said_as_a_brewer_says_it(name: str, mean: float, system: str, phrase: str) -> None:
    sentence = said(difference(name, mean), system=system)
    without_zeros = sentence.replace(".00 ", " ").replace(".0 ", " ").replace("0.10 ", "0.1 ")
    assert without_zeros == f"{phrase}, the rest is alike"


def test_figures_of_one_subject_are_said_once() -> None:
    found = [
        difference("glass.bitterness", 5.0),
        difference("glass.bitterness_tinseth", 8.0),
        difference("stand.iso_alpha", 20.0),
        difference("glass.colour", 4.0),
        difference("glass.colour_srm", 2.0),
    ]
    assert [name for name, _ in most_telling(found, system="metric")] == ["bitterness", "colour", "stand"]
    assert most_telling(found, system="metric")[0][1].name == "glass.bitterness_tinseth"
    kinetic = most_telling(found, system="metric", bitterness="glass.bitterness")
    assert kinetic[0][1].name == "glass.bitterness"
    assert most_telling(found, system="us")[1][1].name == "glass.colour_srm"


def test_the_beer_comes_before_the_way_it_is_made_and_what_is_left_is_named() -> None:
    found = [
        difference("mash.ph", 1.0, worth=0.001),
        difference("line.minutes", 500.0, worth=1.0),
        difference("glass.bitterness", 3.0),
        difference("fermenter.alcohol", 0.4),
    ]
    sentence = said(*found)
    assert sentence.startswith("0.4 % vol more, 3 IBU more, 500 min longer; ")
    assert sentence.endswith("; mash pH too")
    more = [difference(name, 50.0) for name in ("water.sulfate", "keg.pressure", "mash.strike_temperature")]
    assert said(*found, *more).endswith(" too")
    assert " and " in said(*found, *more)


def test_what_a_brewer_asks_for_comes_first_whatever_its_size() -> None:
    found = [
        difference("glass.ph", 0.08, worth=0.0001),
        difference("mash.volume", -19.36, worth=0.5),
        difference("line.minutes", 40.0, worth=39.0),
        difference("keg.volume", -3.0, worth=2.9),
        difference("glass.colour", 2.0, worth=1.9),
        difference("glass.bitterness_tinseth", 2.0, worth=1.9),
        difference("fermenter.original_gravity", 0.002, worth=0.0019),
        difference("fermenter.alcohol", 0.2, worth=0.19),
    ]
    asked = ["alcohol", "original gravity", "bitterness", "colour", "volume into the keg", "time"]
    assert [words for words, _ in most_telling(found, system="metric")] == [*asked, "beer pH", "mash"]
    for more in (found, found[::-1]):
        assert [words for words, _ in most_telling(more, system="metric")][:6] == asked


def test_no_digit_is_said_that_is_less_than_a_tenth_of_what_counts() -> None:
    assert said(difference("mash.volume", -19.36, worth=0.5)).startswith("mash in the vessel 19.4 L less")
    assert said(difference("glass.ph", 0.0834, worth=0.02)).startswith("beer pH 0.08 higher")


def test_every_figure_that_tells_belongs_to_a_subject() -> None:
    from gyle.line.figures import FIGURES

    subjects = most_telling([difference(name, 50.0) for name in FIGURES], system="metric")
    names = [words for words, _ in subjects]
    assert len(names) == len(set(names))
    for name in FIGURES:
        assert len(most_telling([difference(name, 50.0)], system="metric")) == 1, name
        assert most_telling([difference(name, 50.0)], system="metric")[0][0] in names, name
