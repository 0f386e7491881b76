"""Edits of a recipe's text: one new text that reads, told in one line, or a sentence and nothing changed."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import read_brewhouse, recipe_from_text
from gyle.beer.recipe_edits import Add, Edit, Edited, Move, Nudge, Remove, Set, edited
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
HOUSE = read_brewhouse(EXAMPLES / "lantern-street-48.toml")


def text_of(card: str) -> str:
    return (EXAMPLES / f"{card}.toml").read_text(encoding="utf-8")


def house(_: str) -> Brewhouse:
    return HOUSE


def made(text: str, edit: Edit, system: str = "metric") -> Edited:
    done = edited(text, edit, resolve=house, system=system)
    assert done is not None
    assert done.recipe == recipe_from_text(done.text, resolve=house)
    return done


def refused(text: str, edit: Edit, system: str = "metric") -> str:
    with pytest.raises(BadInput) as error:
        edited(text, edit, resolve=house, system=system)
    assert len(error.value.faults) == 1
    assert "\n" not in str(error.value)
    return str(error.value)


def changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """The lines that are gone, and those that are new."""
    old, new = before.splitlines(), after.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


COPPER = text_of("copper-beacon")


@pytest.mark.parametrize(
    ("place", "typed", "key", "value", "said"),
    [
        ("hops.1.amount", "50", ("hops", 1, "mass"), "50 g", "East Kent Golding 45 g → 50 g"),
        ("hops.1.amount", "1.8 g/L", ("hops", 1, "rate"), "1.8 g/L", "East Kent Golding 45 g → 1.8 g/L"),
        ("hops.1.amount", "30 IBU", ("hops", 1, "bitterness"), "30 IBU", "East Kent Golding 45 g → 30 IBU"),
        ("hops.1.amount", "1/2 oz", ("hops", 1, "mass"), "1/2 oz", "East Kent Golding 45 g → 14.2 g"),
        ("hops.0.amount", "42,5 g", ("hops", 0, "mass"), "42,5 g", "Northern Brewer left open → 42,5 g"),
        ("hops.1.alpha", "5,5", ("hops", 1, "alpha"), "5,5 %", "East Kent Golding alpha 5.2 % → 5,5 %"),
        ("hops.0.at", "20", ("hops", 0, "at"), "boil 20 min", "Northern Brewer boil 60 min → boil 20 min"),
        ("hops.0.at", "first wort", ("hops", 0, "at"), "first wort", "Northern Brewer boil 60 min → first wort"),
        ("hops.1.at", "20 min", ("hops", 1, "at"), "stand 85 °C 20 min",
         "East Kent Golding stand 85 °C 25 min → stand 85 °C 20 min"),
        ("hops.1.form", "whole", ("hops", 1, "form"), "whole", "East Kent Golding form pellets → whole"),
        ("mash.0.temperature", "67", ("mash", 0, "temperature"), "67 °C", "rest 1 66 °C → 67 °C"),
        ("mash.0.liquor", "24 L", ("mash", 0, "liquor"), "24 L", "rest 1 liquor left open → 24 L"),
        ("mash.0.liquor", "2.8 L/kg", ("mash", 0, "thickness"), "2.8 L/kg", "rest 1 liquor left open → 2.8 L/kg"),
        ("boil.time", "90", ("boil", "time"), "90 min", "boil 75 min → 90 min"),
        ("yeast.0.amount", "1 M/mL/°P", ("yeast", "pitch"), "1 M/mL/°P",
         "high-gravity clean ale yeast 1 M/mL/°P"),
        ("yeast.0.amount", "2 packs", ("yeast", "packs"), 2, "high-gravity clean ale yeast 2 packs"),
        ("yeast.0.amount", "11 g", ("yeast", "mass"), "11 g", "high-gravity clean ale yeast 11 g"),
        ("yeast.0.amount", "200 billion", ("yeast", "cells"), "200 billion",
         "high-gravity clean ale yeast 200 billion"),
        ("package.carbonation", "2,5", ("package", "carbonation"), "2,5 vol", "carbonation 2.3 vol → 2,5 vol"),
        ("package.carbonation", "0.9 bar", ("package", "pressure"), "0.9 bar", "carbonation 2.3 vol → 0.9 bar"),
        ("package.carbonation", "12 psi", ("package", "pressure"), "12 psi", "carbonation 2.3 vol → 0.83 bar"),
        ("package.into", "keg 19 L, bottle 0.5 L", ("package", "into"), ["keg 19 L", "bottle 0.5 L"],
         "into keg 19 L, bottle 0.5 L"),
        ("fermentation.0.end", "14 days", ("fermentation", 0, "time"), "14 days", "fermentation step 1 14 days"),
        ("fermentation.0.end", "stable 5 days", ("fermentation", 0, "until"), "stable 5 days",
         "fermentation step 1 stable 5 days"),
        ("fermentation.0.end", "5", ("fermentation", 0, "until"), "stable 5 days",
         "fermentation step 1 stable 5 days"),
        ("water.calcium", "80", ("water", "calcium"), 80, "wanted calcium 75 → 80"),
        ("water.calcium", "60 to 120", ("water", "calcium"), "60 to 120", "wanted calcium 75 → 60 to 120"),
        ("aim.mash_ph", "5,3", ("aim", "mash_ph"), 5.3, "aimed mash pH 5.4 → 5.3"),
        ("aim.original_gravity", "24 °P", ("aim", "original_gravity"), "24 °P",
         "aimed original gravity 1.102 → 24 °P"),
        ("aim.kettle.end.volume", "25 L", ("aim", "kettle.end.volume"), "25 L", "aimed kettle end volume 25 L"),
        ("volume", "20", ("volume",), "20 L", "volume 21 L → 20 L"),
        ("sparge.volume", "9 L", ("sparge", "volume"), "9 L", "sparge left open → 9 L"),
        ("sparge.squeeze", "yes", ("sparge", "squeeze"), True, "grain squeezed no → yes"),
        ("bitterness_by", "kinetic", ("bitterness_by",), "kinetic", "bitterness counted by tinseth → kinetic"),
        ("name", "Copper  Lantern", ("name",), "Copper Lantern", "name Copper Beacon → Copper Lantern"),
    ],
)  # fmt: skip
def test_the_key_follows_what_was_typed(
    place: str, typed: str, key: tuple[str | int, ...], value: Any, said: str
) -> None:
    done = made(COPPER, Set(place, typed))
    found: Any = tomllib.loads(done.text)
    for step in key:
        found = found[step]
    assert found == value
    assert type(found) is type(value)
    assert done.said == said
    assert done.place == place
    # One amount says it: the other keys of the same thing are gone.
    row: Any = tomllib.loads(done.text)
    for step in key[:-1]:
        row = row[step]
    for twins in ({"mass", "rate", "bitterness"}, {"carbonation", "pressure"}, {"time", "until"}):
        if isinstance(key[-1], str) and key[-1] in twins and key[0] != "aim":
            assert len(twins & row.keys()) == 1


def test_a_left_out_amount_is_left_open() -> None:
    stated = made(COPPER, Set("hops.0.amount", "90 g")).text
    done = made(stated, Set("hops.1.amount", ""))
    assert done.said == "East Kent Golding 45 g → left open"
    assert done.recipe.hops[1].mass_kg is None
    assert "only one of them can be solved for" in refused(COPPER, Set("hops.1.amount", ""))
    grist = made(COPPER, Set("grist.0.amount", ""))
    assert grist.recipe.grist[0].share == pytest.approx(0.48)


def test_a_bare_number_takes_the_unit_that_is_shown() -> None:
    lamp = text_of("signal-lamp")
    assert made(lamp, Set("mash.0.temperature", "150"), "us").recipe.rests[0].temperature_C == pytest.approx(
        65.556, abs=0.01
    )
    assert made(lamp, Set("mash.0.temperature", "66"), "metric").recipe.rests[0].temperature_C == 66.0
    assert made(COPPER, Set("mash.0.temperature", "150"), "us").recipe.rests[0].temperature_C == pytest.approx(
        65.556, abs=0.01
    )
    assert made(COPPER, Set("hops.1.amount", "2"), "us").recipe.hops[1].mass_kg == pytest.approx(0.0566990, abs=1e-6)
    assert made(lamp, Set("volume", "20"), "metric").recipe.volume_L == 20.0
    # Pounds or ounces? An open amount: grams or IBU? One of two numbers of a stand? Nobody can tell.
    assert "has no unit" in refused(lamp, Set("grist.0.amount", "17"), "us")
    assert "has no unit" in refused(COPPER, Set("hops.0.amount", "40"))
    assert "does not say which number" in refused(COPPER, Set("hops.1.at", "20"))


@pytest.mark.parametrize(
    ("place", "typed", "system"),
    [
        ("hops.1.amount", "45 g", "metric"),
        ("hops.1.amount", " 45g ", "metric"),
        ("hops.1.amount", "45", "metric"),
        ("hops.1.amount", "1.59 oz", "us"),
        ("mash.0.temperature", "151 °F", "us"),
        ("hops.1.at", "stand 185 °F 25 min", "us"),
        ("hops.0.at", "Boil 60 minutes", "metric"),
        ("aim.mash_ph", "5.4", "metric"),
        ("water.calcium", "75", "metric"),
        ("hops.1.form", "Pellets", "metric"),
        ("mash.0.by", "heat", "metric"),
        ("hops.0.amount", "", "metric"),
        ("notes", "  \n", "metric"),
        ("volume.into", "fermenter", "metric"),
        ("name", "Copper Beacon ", "metric"),
    ],
)
def test_what_a_recipe_says_already_is_no_edit(place: str, typed: str, system: str) -> None:
    assert edited(COPPER, Set(place, typed), resolve=house, system=system) is None


def test_the_same_amount_in_another_unit_or_to_more_digits_is_an_edit() -> None:
    assert made(COPPER, Set("hops.1.amount", "0.045 kg")).recipe.hops[1].mass_kg == 0.045
    assert made(COPPER, Set("hops.1.amount", "45.0 g")).recipe.hops[1].half_digit == pytest.approx(0.00005)


def test_only_the_line_of_the_value_changes() -> None:
    gone, new = changed(COPPER, made(COPPER, Set("grist.2.at", "boil 15 min")).text)
    assert gone == ['at = "boil 10 min"                    # stirred in']
    assert new == ['at = "boil 15 min"                    # stirred in']
    gone, new = changed(COPPER, made(COPPER, Set("sparge.volume", "9 L")).text)
    assert (gone, new) == ([], ["[sparge]", 'volume = "9 L"'])
    done = made(COPPER, Set("sparge.volume", "9 L")).text
    assert done.index("[[mash]]") < done.index("[sparge]") < done.index("[boil]")


def test_shares_still_add_up() -> None:
    done = made(COPPER, Set("grist.0.amount", "50 %"))
    assert [row["share"] for row in tomllib.loads(done.text)["grist"]] == ["50 %", "40.4 %", "9.6 %"]
    assert done.said == "pale ale malt 48 % → 50 %; the other shares keep their ratios"
    done = made(COPPER, Add("grist", {"what": "crystal malt 60 EBC", "amount": "5 %"}))
    assert [row["share"] for row in tomllib.loads(done.text)["grist"]] == ["45.6 %", "39.9 %", "9.5 %", "5 %"]
    assert done.said == "crystal malt 60 EBC 5 % added; the other shares keep their ratios"
    done = made(COPPER, Remove("grist.2"))
    assert [row["share"] for row in tomllib.loads(done.text)["grist"]] == ["53.3 %", "46.7 %"]
    assert done.said == "sucrose 10 % boil 10 min taken out; the other shares keep their ratios"
    assert "leaves nothing for the other 2 lines" in refused(COPPER, Set("grist.0.amount", "100 %"))
    assert "at most 100 %" in refused(COPPER, Set("grist.0.amount", "120 %"))


def test_a_contradictory_grist_is_mended_by_the_share_that_is_typed() -> None:
    crossed = text_of("contradictory")
    assert "the shares add to 98 %" in refused(crossed, Set("boil.time", "70 min"))
    assert sum(line.share or 0 for line in made(crossed, Set("grist.3.amount", "6 %")).recipe.grist) == pytest.approx(
        1.0
    )


def test_a_mass_among_shares_and_a_share_among_masses_take_the_others_along() -> None:
    done = made(COPPER, Set("grist.0.amount", "5.49 kg"))
    masses = [line.mass_kg for line in done.recipe.grist]
    assert masses == pytest.approx([5.49, 5.49 / 48 * 42, 5.49 / 48 * 10], abs=0.005)
    assert done.said == "pale ale malt 48 % → 5.49 kg; the other shares become masses in proportion"
    back = made(done.text, Set("grist.0.amount", "48 %"))
    assert [line.share for line in back.recipe.grist] == pytest.approx([0.48, 0.42, 0.10], abs=0.001)
    assert "ounces" not in back.text
    us = made(COPPER, Set("grist.0.amount", "12 lb 2 oz"), "us")
    assert [row["mass"] for row in tomllib.loads(us.text)["grist"]] == ["12 lb 2 oz", "10 lb 9.8 oz", "2 lb 8.4 oz"]


def test_a_shorter_boil_moves_additions_to_its_beginning_and_says_so() -> None:
    done = made(COPPER, Set("boil.time", "50 min"))
    assert done.said == "boil 75 min → 50 min; Northern Brewer then goes in as it begins"
    assert done.recipe.hops[0].at.minutes == 50.0
    assert 'at = "boil 60 min"' in done.text  # a longer boil brings it back
    assert made(done.text, Set("boil.time", "75 min")).recipe == recipe_from_text(COPPER, resolve=house)


def test_rows_are_added_where_they_are_wanted() -> None:
    done = made(COPPER, Add("hops", {"what": "Saaz", "amount": "20 g"}, after=0))
    assert [line.what for line in done.recipe.hops] == ["Northern Brewer", "Saaz", "East Kent Golding", "Cascade"]
    assert (done.said, done.place) == ("Saaz 20 g boil 10 min added", "hops.1")
    first = made(COPPER, Add("hops", {"what": "Saaz", "amount": "20 g", "at": "first wort"}, after=-1))
    assert first.recipe.hops[0].what == "Saaz"
    other = made(COPPER, Add("other", {"what": "Irish moss", "amount": "5 g"}))
    assert other.text.index("[[hops]]") < other.text.index("[[other]]") < other.text.index("[yeast]")
    yeast = made(COPPER, Add("yeast", {"what": "wine yeast", "amount": "11 g"}))
    assert [line.what for line in yeast.recipe.yeasts] == ["high-gravity clean ale yeast", "wine yeast"]
    rest = made(COPPER, Add("mash"), "us")
    assert rest.recipe.rests[2].temperature_C == pytest.approx(72.0, abs=0.3)
    assert refused(COPPER, Add("hops", {"what": "Saaz", "colour": "5 EBC"})).startswith('"colour" is nothing')
    assert refused(COPPER, Add("hops", {})).endswith('what is missing; write what = "Northern Brewer"')
    assert "has no row hops.7" in refused(COPPER, Add("hops", {"what": "Saaz"}, after=7))
    assert "is no list" in refused(COPPER, Add("salts", {"what": "gypsum"}))


def test_a_later_step_of_fermentation_does_not_leave_the_earlier_one_without_an_end() -> None:
    done = made(COPPER, Add("fermentation", {"temperature": "20 °C"}))
    assert [step.stable_days for step in done.recipe.fermentation] == [3.0, 3.0]
    done = made(COPPER, Add("fermentation", {"temperature": "20 °C", "from": "5"}))
    assert done.recipe.fermentation[1].from_points_above_final == 5.0
    assert made(done.text, Move("fermentation.1", "up")).recipe.fermentation[0].temperature_C == 20.0


def test_what_is_taken_for_granted_is_written_down_before_it_changes() -> None:
    text = 'name = "x"\nvolume = "20 L"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'
    done = made(text, Set("mash.0.temperature", "68"))
    assert [(rest.temperature_C, rest.minutes) for rest in done.recipe.rests] == [(68.0, 60.0)]
    done = made(text, Add("mash", {"temperature": "76 °C", "time": "10 min"}))
    assert [rest.temperature_C for rest in done.recipe.rests] == [66.0, 76.0]
    done = made(text, Set("yeast.0.attenuation", "78"))
    assert (done.recipe.yeasts[0].what, done.recipe.yeasts[0].attenuation) == ("clean ale yeast", 0.78)
    assert "\n[yeast]\n" in done.text
    done = made(text, Set("fermentation.0.end", "14 days"))
    before = recipe_from_text(text).fermentation[0]
    assert (done.recipe.fermentation[0].temperature_C, done.recipe.fermentation[0].days) == (before.temperature_C, 14.0)
    assert made(text, Nudge("boil.time", 5)).recipe.boil_minutes == 65.0


def test_rows_move_with_their_comments_and_the_liquor_stays_with_the_first_rest() -> None:
    done = made(COPPER, Move("hops.0", "down"))
    assert [line.what for line in done.recipe.hops] == ["East Kent Golding", "Northern Brewer", "Cascade"]
    assert (done.said, done.place) == ("Northern Brewer moved down", "hops.1")
    assert made(done.text, Move("hops.1", "up")).text == COPPER
    assert edited(COPPER, Move("hops.0", "up"), resolve=house) is None
    wet = made(COPPER, Set("mash.0.liquor", "24 L")).text
    assert made(wet, Move("mash.1", "up")).recipe.rests[0].liquor_L == 24.0
    assert made(wet, Remove("mash.0")).recipe.rests[0].liquor_L == 24.0


def test_rows_are_removed() -> None:
    done = made(COPPER, Remove("hops.2"))
    assert done.said == "Cascade 60 g dry 6 points above final 4 days taken out"
    assert done.place == ""
    gone, new = changed(COPPER, done.text)
    assert (gone, new) == (
        ['what = "Cascade"', 'alpha = "6.1 %"', 'mass = "60 g"', 'at = "dry 6 points above final 4 days"'],
        [],
    )
    assert made(COPPER, Remove("yeast.0")).recipe.yeasts[0].what == "clean ale yeast"
    one = 'name = "x"\nvolume = "20 L"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'
    assert "at least one [[grist]] line" in refused(one, Remove("grist.0"))
    for place in ("hops.3", "hops", "hops.-1", "hops.01", "hops.0.at", "boil.0", "", "hops.²"):
        assert "has no row" in refused(COPPER, Remove(place))


def test_two_lines_of_one_name_are_told_apart() -> None:
    text = text_of("ropewalk")
    assert made(text, Set("hops.1.amount", "20 g")).said == "Fuggle (boil 10 min) 15 g → 20 g"
    assert made(text, Set("hops.1.at", "5")).said == "Fuggle boil 10 min → boil 5 min"


def test_the_volume_may_count_what_goes_into_the_keg() -> None:
    done = made(COPPER, Set("volume.into", "keg"))
    assert (done.recipe.into, done.recipe.volume_L) == ("keg", 21.0)
    assert done.said == "volume counted into the fermenter → keg"
    assert made(done.text, Set("volume", "19")).recipe.into == "keg"
    assert '"fermenter" or "keg" was wanted' in refused(COPPER, Set("volume.into", "cask"))


def test_a_double_mash_is_written_in_its_own_keys() -> None:
    assert "no [[mash]] rest has mash = 2" in refused(COPPER, Set("grist.1.at", "mash 2"))
    second = made(COPPER, Add("mash", {"temperature": "66 °C", "time": "90 min", "mash": "2"})).text
    done = made(second, Set("grist.1.at", "mash 2"))
    assert done.recipe.grist[1].at.mash == 2
    assert tomllib.loads(done.text)["grist"][1]["mash"] == 2
    back = made(done.text, Set("grist.1.at", ""))
    assert back.recipe.grist[1].at.mash == 1
    assert "mash" not in tomllib.loads(back.text)["grist"][1]


@pytest.mark.parametrize(
    "typed",
    ["45 zorkmids", "nan", "inf", "1e308", "1e400 g", "-5 g", "21 L", "66 °C", "<script>alert(1)</script>", "45 g\n[x]",
     '45 g"\nrate = "9 g/L', "🍺", "\\", "45 g 3", "1,050 g", "true", "x" * 5000, "4-5 g", "\x00", "\ud800"],
)  # fmt: skip
def test_what_is_no_amount_is_refused_in_one_sentence(typed: str) -> None:
    for place in (
        "hops.1.amount",
        "grist.0.amount",
        "mash.0.liquor",
        "yeast.0.amount",
        "boil.time",
        "package.carbonation",
    ):
        if (place, typed) in (("mash.0.liquor", "21 L"),):
            continue
        refused(COPPER, Set(place, typed))


@pytest.mark.parametrize(
    ("place", "typed"),
    [
        ("mash.0.temperature", "nan"), ("mash.0.temperature", "1e308"), ("mash.0.temperature", "660"),
        ("hops.0.at", "boil nan min"), ("hops.0.at", "boil 1e308 min"), ("hops.0.at", "whenever"),
        ("water.calcium", "nan"), ("water.calcium", "1e308"), ("water.calcium", "-5"), ("water.calcium", "120 to 60"),
        ("aim.mash_ph", "inf"), ("aim.original_gravity", "10500"), ("aim.bitterness", "-1"),
        ("hops.1.alpha", "200 %"), ("hops.1.what", "No Such Hop Of Any Table" * 9), ("yeast.0.what", "no such yeast"),
        ("name", "x" * 201), ("name", "a\x07b"), ("notes", "x" * 200_001), ("notes", "a\x0cb"),
        ("mash.0.by", "magic"), ("package.into", "bucket"), ("volume", "0 L"), ("gyles", "1.5"),
        ("no.such.place", "1"), ("hops.99.amount", "1 g"), ("hops.0", "x"), ("hops.0.colour", "x"), ("", "x"),
        ("aim.no_such_figure", "1"), ("grist.0.amount.x", "1"), ("__class__", "x"), ("x" * 5000, "x"),
        ("boil", "60 min"), ("printed.original_gravity", "1.05"), ("for_brewhouse", "../../etc"), ("gyle", "2"),
    ],
)  # fmt: skip
def test_hostile_values_and_places_change_nothing(place: str, typed: str) -> None:
    sentence = refused(COPPER, Set(place, typed))
    assert len(sentence) < 400


@pytest.mark.parametrize(
    "typed",
    [
        "<script>alert('x')</script>",
        'Mild"\nvolume = "900 L',
        "back\\slash \\u0041 \\n",
        "emoji 🍺👩‍🌾 and ″quotes″",
        "'''\"\"\"#[[grist]]",
        "]] # }}{{ %s {0}",
        "x" * 200,
    ],
)
def test_hostile_names_are_kept_as_one_text(typed: str) -> None:
    done = made(COPPER, Set("name", typed))
    data, before = tomllib.loads(done.text), tomllib.loads(COPPER)
    assert data.pop("name") == " ".join(typed.split())
    assert before.pop("name")
    assert data == before
    assert len(done.said) < 200
    assert "\n" not in done.said
    hop = 'name = "x"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'
    added = made(hop, Add("hops", {"what": typed[:80], "alpha": "5 %", "amount": "20 g"}))
    assert added.recipe.hops[0].what == " ".join(typed[:80].split())


@pytest.mark.parametrize(
    "notes",
    [
        "n" * 10_000,
        "line\r\nline\n\n\"\"\"'''\\\n# no comment\n[table]\n",
        "\n\n  indented\n",
        "🍺\n" * 2000,
        'ends in "',
        "a\\",
    ],
)
def test_notes_are_kept_to_the_character(notes: str) -> None:
    done = made(COPPER, Set("notes", notes))
    assert done.recipe.prose == notes.replace("\r\n", "\n")
    assert done.said == "notes written"
    again = made(done.text, Set("notes", notes + "more"))
    assert again.said == "notes rewritten"
    assert edited(done.text, Set("notes", notes), resolve=house) is None
    taken = made(done.text, Set("notes", ""))
    assert taken.recipe == recipe_from_text(COPPER, resolve=house)


def test_a_name_is_needed_and_required_values_are_asked_for() -> None:
    assert refused(COPPER, Set("name", " ")) == "a beer needs a name; nothing was changed"
    assert "temperature is missing" in refused(COPPER, Set("mash.0.temperature", ""))
    assert "at is missing" in refused(COPPER, Set("hops.0.at", ""))


def test_files_written_in_other_ways_are_edited_too() -> None:
    text = (
        '\ufeffname = "x"\r\nvolume = "20 L"\r\nyeast = { what = "lager yeast" }  # cold\r\n'
        'grist = [{ what = "pilsner malt", mass = "4 kg" }, { what = "Munich malt", mass = "1 kg" }]\r\n'
        'fermentation = { temperature = "10 °C" }\r\n\r\n[boil] # long\r\ntime = "60 min"\r\n'
    )
    assert made(text, Set("grist.1.amount", "1.2 kg")).recipe.grist[1].mass_kg == 1.2
    assert [line.what for line in made(text, Move("grist.0", "down")).recipe.grist] == ["Munich malt", "pilsner malt"]
    assert len(made(text, Remove("grist.0")).recipe.grist) == 1
    assert len(made(text, Add("grist", {"what": "wheat malt", "amount": "500 g"})).recipe.grist) == 3
    assert made(text, Set("yeast.0.amount", "2 packs")).recipe.yeasts[0].packs == 2.0
    assert len(made(text, Add("yeast", {"what": "wine yeast"})).recipe.yeasts) == 2
    assert len(made(text, Add("fermentation", {"temperature": "14 °C", "from": "5"})).recipe.fermentation) == 2
    hopped = made(text, Add("hops", {"what": "Saaz", "amount": "20 g"})).text
    assert "# cold" in hopped
    assert hopped.count("\n") == hopped.count("\r\n")
    dotted = (
        'name = "x"\ngrist = [{ what = "pilsner malt", mass = "4 kg" }]\n'
        '[aim]\nkettle.end.volume = "25 L"\ncolour = "9 EBC"\n'
    )
    assert made(dotted, Set("aim.kettle.end.volume", "26 L")).recipe.aims[0].value == 26.0
    assert len(made(dotted, Set("aim.kettle.end.volume", "")).recipe.aims) == 1


def test_a_text_that_is_no_toml_is_refused() -> None:
    assert "line 1" in refused("name = ", Set("name", "x"))
