"""Five questions: a newcomer's answers make a brewhouse that reads back, plans, and says what it does not know."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse_places import CHILL_WORDS, KIND_WORDS
from gyle.beer.brewhouse_questions import brewhouse_from_answers, questions
from gyle.beer.brewhouse_reading import CHILLS
from gyle.beer.kinds import boil_off_bound_L_h
from gyle.beer.reading import brewhouse_from_text
from gyle.beer.recipe import Recipe
from gyle.decide.plan import plan
from gyle.errors import BadInput
from gyle.quantities import speaking

ALL_IN_ONE = {
    "kind": "electric all-in-one",
    "kettle": "30 L",
    "heat": "element",
    "power": "2.4 kW",
    "chill": "immersion",
    "fermenter": "27 L",
    "keg": "19 L",
}


def faults(answers: Mapping[str, str], name: str = "Mine") -> tuple[str, ...]:
    with pytest.raises(BadInput) as error:
        brewhouse_from_answers(answers, name=name)
    return error.value.faults


def test_there_are_five_questions_and_each_says_why_it_matters() -> None:
    asked = questions()
    assert len(asked) == 5
    keys = [blank.key for question in asked for blank in question.blanks]
    assert len(keys) == len(set(keys))
    for question in asked:
        assert question.sentence.endswith("?")
        assert question.why.endswith(".")
        for blank in question.blanks:
            assert bool(blank.choices) != bool(blank.kind), blank.key
            assert all(choice.words for choice in blank.choices)


def test_hints_speak_the_persons_units() -> None:
    assert "8 gal" in questions("us")[1].hint
    with speaking("us"):
        assert questions() == questions("us")
    assert questions() == questions("metric")


def test_choices_cover_every_kind_and_every_chiller() -> None:
    kind, _, _, chill, _ = questions()
    assert [choice.value for choice in kind.choices] == list(KIND_WORDS)
    assert {choice.value for choice in chill.choices} == {*CHILLS, ""}
    assert set(CHILL_WORDS) == set(CHILLS)


@pytest.mark.parametrize("card", ["signal-lamp", "ropewalk", "slack-water", "copper-beacon"])
def test_a_30_L_all_in_one_of_2_4_kW_plans_the_beers(card: str, cards: Mapping[str, Recipe]) -> None:
    text, notes = brewhouse_from_answers(ALL_IN_ONE, name="Kitchen")
    house = brewhouse_from_text(text)
    made = plan(cards[card], house, draws=256)
    origin = plan(cards[card], cards[card].for_brewhouse or house, draws=256)
    for figure, off in (("fermenter.original_gravity", 0.012), ("fermenter.volume", 1.5), ("line.minutes", 90.0)):
        assert made.figures[figure].mean == pytest.approx(origin.figures[figure].mean, abs=off), figure
    assert made.figures["kettle.end.volume"].low < made.figures["kettle.end.volume"].high
    assert len(notes) == 1  # all was answered but what is usual for the kind


def test_a_beer_that_fits_is_said_to_fit_and_a_bigger_one_is_not(cards: Mapping[str, Recipe]) -> None:
    house = brewhouse_from_text(brewhouse_from_answers(ALL_IN_ONE, name="Kitchen")[0])
    assert plan(cards["ropewalk"], house, draws=64).fits
    short = plan(cards["signal-lamp"], house, draws=64).short_of
    assert len(short) == 1
    assert "bed and liquor" in short[0]


def test_only_what_is_answered_is_written() -> None:
    text, notes = brewhouse_from_answers({"kind": "bag in pot", "kettle": "8 gal"}, name="Pot")
    assert tomllib.loads(text) == {"gyle": 1, "name": "Pot", "kind": "bag in pot", "kettle": {"vessel": "8 gal"}}
    for what in ("power of the heat", "How you chill", "The fermenter", "The keg", "All else"):
        assert any(what in note for note in notes), what
    house = brewhouse_from_text(text)
    assert house.kettle_vessel_L == house.mash_vessel_L == pytest.approx(30.283, abs=0.001)
    assert not house.stated("boil_off_L_h")
    assert not house.stated("power_kW")


def test_everything_answered_is_written_and_stated() -> None:
    text, _ = brewhouse_from_answers(ALL_IN_ONE, name="Kitchen")
    house = brewhouse_from_text(text)
    assert (house.name, house.kind, house.heat, house.chill_by) == (
        "Kitchen",
        "electric all-in-one",
        "electric",
        "immersion",
    )
    assert (house.kettle_vessel_L, house.fermenter_vessel_L, house.keg_vessel_L) == (30.0, 27.0, 19.0)
    assert house.power_kW is not None
    assert house.power_kW.centre == 2.4
    assert house.boil_off_L_h.centre == pytest.approx(0.72 * boil_off_bound_L_h(2.4, house.altitude_m))


@pytest.mark.parametrize(("plug", "least", "most"), [("plug 120 V", 1.2, 1.8), ("plug 230 V", 2.0, 3.0)])
def test_a_household_plug_gives_a_power_with_a_spread(plug: str, least: float, most: float) -> None:
    answers = {"kind": "electric all-in-one", "kettle": "30 L", "heat": plug}
    text, notes = brewhouse_from_answers(answers, name="x")
    power = brewhouse_from_text(text).power_kW
    assert power is not None
    assert least < power.centre < most
    assert power.spread > 0.05
    assert "household plug" in power.source
    assert any("household plug" in note for note in notes)
    typed = brewhouse_from_text(brewhouse_from_answers({**answers, "power": "1400 W"}, name="x")[0]).power_kW
    assert typed is not None
    assert (typed.centre, typed.source) == (pytest.approx(1.4), "stated")


@pytest.mark.parametrize("kind", list(KIND_WORDS))
@pytest.mark.parametrize("heat", ["element", "plug 230 V", "gas", "induction", ""])
def test_every_kind_takes_every_heat_but_an_all_in_one_another_than_its_own(kind: str, heat: str) -> None:
    answers = {"kind": kind, "kettle": "30", "heat": heat}
    if kind == "electric all-in-one" and heat in ("gas", "induction"):
        assert any("element inside" in fault for fault in faults(answers))
        return
    house = brewhouse_from_text(brewhouse_from_answers(answers, name="x")[0])
    assert house.kind == kind
    expected = {"element": "electric", "plug 230 V": "electric"}.get(heat, heat)
    assert house.heat == (expected or house.heat)


def test_a_bare_number_takes_the_persons_unit() -> None:
    answers = {"kind": "bag in pot", "kettle": "8", "keg": "5,5", "heat": "gas", "power": "6"}
    litres = brewhouse_from_text(brewhouse_from_answers(answers, name="x", system="metric")[0])
    gallons = brewhouse_from_text(brewhouse_from_answers(answers, name="x", system="us")[0])
    assert (litres.kettle_vessel_L, litres.keg_vessel_L) == (8.0, 5.5)
    assert (gallons.kettle_vessel_L, gallons.keg_vessel_L) == (
        pytest.approx(30.283, abs=0.001),
        pytest.approx(20.82, abs=0.001),
    )
    assert litres.power_kW is not None
    assert litres.power_kW.centre == 6.0


def test_a_mash_tun_is_a_vessel_of_its_own() -> None:
    answers = {"kind": "mash tun and kettle", "kettle": "50 L", "mash_tun": "38 L"}
    house = brewhouse_from_text(brewhouse_from_answers(answers, name="x")[0])
    assert (house.mash_vessel_L, house.kettle_vessel_L, house.same_vessel) == (38.0, 50.0, False)
    _, notes = brewhouse_from_answers({"kind": "mash tun and kettle", "kettle": "50 L"}, name="x")
    assert any("mash tun is not stated" in note for note in notes)


def test_every_wrong_answer_has_a_sentence_of_its_own() -> None:
    found = faults(
        {"kind": "kit", "kettle": "big", "heat": "coal", "power": "nan", "chill": "snow", "fermenter": "1e308",
         "keg": "-3 L", "bogus": "1"},
        name=" ",
    )  # fmt: skip
    starts = ("kind of system", "kettle,", "what heats it", "power", "how you chill", "fermenter", "keg", '"bogus"')
    for start in (*starts, "name"):
        assert sum(fault.startswith(start) for fault in found) == 1, (start, found)
    assert len(found) == len(starts) + 1


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({"kind": "bag in pot"}, "kettle, to the brim: nothing was written"),
        ({"kettle": "30 L"}, "kind of system: nothing was chosen"),
        ({"kind": "bag in pot", "kettle": "0.2 L"}, "between 1 L and 5000 L"),
        ({"kind": "electric all-in-one", "kettle": "30", "heat": "plug 120 V", "power": "3 kW"}, "2.4 kW at most"),
        ({"kind": "bag in pot", "kettle": "30", "power": "3 kW"}, "what heats it"),
        ({"kind": "bag in pot", "kettle": "30", "mash_tun": "30"}, "mashes in its kettle"),
    ],
)
def test_what_is_missing_or_cannot_both_be_meant_is_said(answers: dict[str, str], says: str) -> None:
    found = faults(answers)
    assert len(found) == 1
    assert says in found[0]


@pytest.mark.faults
@pytest.mark.parametrize("hostile", ["<script>alert(1)</script>", "x" * 10_000, "\x00", "\ud800", "1e308", "inf", '"'])
def test_hostile_answers_are_refused_in_short_sentences(hostile: str) -> None:
    found = faults({key: hostile for question in questions() for key in [question.blanks[0].key]})
    assert all(len(fault) < 300 and fault.isprintable() for fault in found), found


@pytest.mark.faults
def test_a_hostile_name_is_kept_as_text_or_refused() -> None:
    name = "<script>\"\\''[[grist]] = "
    text, _ = brewhouse_from_answers(ALL_IN_ONE, name=name)
    assert brewhouse_from_text(text).name == name.strip()
    for wrong in ("x" * 10_000, "a\x00b", "\ud800", ""):
        assert len(faults(ALL_IN_ONE, name=wrong)) == 1


@pytest.mark.faults
@settings(max_examples=60)
@given(
    answers=st.fixed_dictionaries(
        {
            "kind": st.sampled_from([*KIND_WORDS, "", "x"]),
            "kettle": st.sampled_from(["30", "30 L", "8 gal", "", "∞"]) | st.text(max_size=12),
        },
        optional={
            "heat": st.sampled_from(["element", "plug 120 V", "gas", "", "?"]),
            "power": st.text(max_size=8) | st.floats().map(str),
            "chill": st.text(max_size=8),
            "keg": st.text(max_size=8),
        },
    ),
    name=st.text(max_size=20),
)
def test_any_answers_make_a_brewhouse_or_sentences(answers: dict[str, str], name: str) -> None:
    try:
        text, _ = brewhouse_from_answers(answers, name=name)
    except BadInput:
        return
    assert brewhouse_from_text(text).name == " ".join(name.split())
