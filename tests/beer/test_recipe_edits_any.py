"""Whatever is edited, the text reads, its comments stay, and what is typed back undoes it."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

import attrs
import generated_recipes as generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import read_brewhouse, recipe_from_text
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_edits import Add, Edit, Move, Nudge, Remove, Set, edited
from gyle.beer.recipe_inputs import Input, recipe_inputs
from gyle.beer.writing import recipe_text
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
CARDS = ("copper-beacon", "contradictory", "quiet-harbour", "ropewalk", "signal-lamp", "slack-water", "tram-depot")
SOUND = tuple(card for card in CARDS if card != "contradictory")
HOUSE = read_brewhouse(EXAMPLES / "lantern-street-48.toml")
SLOW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])

TYPED = {
    "mass": ["60 g", "2 oz", "1,5 kg", "1.8 g/L", "25 IBU", "12", ""],
    "percent": ["30 %", "7,5 %", "12", "1.2 kg", ""],
    "volume": ["18 L", "5 gal", "22", "3 L/kg"],
    "temperature": ["64 °C", "150 °F", "67", "7 °C"],
    "time": ["55 min", "1 h", "20", "10 days", "stable 4 days"],
    "at": ["boil 15 min", "stand 78 °C 20 min", "dry day 3 3 days", "5", "10 min", "first wort", "keg", "mash"],
    "wish": ["80", "50 to 90", "at most 100", ""],
    "gravity": ["1.060", "13 °P", ""],
    "text": ["Saaz", "wheat malt", "lager yeast", "No \"such\" thing"],
    "prose": ["two\nlines", "", "# [[hops]]"],
    "pitch_rate": ["0.9 M/mL/°P", "2 packs", "11 g", ""],
    "carbonation": ["2.6 vol", "0.9 bar", "3"],
}  # fmt: skip


def text_of(card: str) -> str:
    return (EXAMPLES / f"{card}.toml").read_text(encoding="utf-8")


def house(_: str) -> Brewhouse:
    return HOUSE


def bare(recipe: Recipe) -> Recipe:
    """A recipe without the notes of its reading, its aims by name."""
    return attrs.evolve(recipe, notes=(), aims=tuple(sorted(recipe.aims, key=lambda aim: aim.figure)))


def comments(text: str) -> Counter[str]:
    return Counter(line[line.index("#") :] for line in text.splitlines() if "#" in line and "[[hops]]" not in line)


@pytest.mark.parametrize("card", CARDS)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_own_text_of_an_input_is_no_change(card: str, system: str) -> None:
    text = text_of(card)
    for one in recipe_inputs(text):
        assert edited(text, Set(one.place, one.text), resolve=house, system=system) is None, one
        assert edited(text, Set(one.place, one.shown(system)), resolve=house, system=system) is None, one


@settings(SLOW, max_examples=8)
@given(generated.recipes(), st.sampled_from(["metric", "us"]))
def test_so_is_it_for_any_recipe(recipe: Recipe, system: str) -> None:
    text = recipe_text(recipe, system)
    for one in recipe_inputs(text):
        assert edited(text, Set(one.place, one.text)) is None, one
        assert edited(text, Set(one.place, one.shown("metric")), system="metric") is None, one
        assert edited(text, Set(one.place, one.shown("us")), system="us") is None, one


@st.composite
def edits(draw: st.DrawFn, text: str) -> Edit:
    inputs = recipe_inputs(text)
    one = draw(st.sampled_from(inputs))
    kind = draw(st.sampled_from(["set", "set", "nudge", "move", "remove", "add"]))
    rows = sorted({each.row for each in inputs if each.row})
    match kind:
        case "set":
            typed = TYPED.get(one.kind, ["3", ""]) + list(one.choices[:2])
            return Set(one.place, draw(st.sampled_from(typed)))
        case "nudge":
            parts = st.sampled_from(["minutes", "temperature", "points"])
            return Nudge(one.place, draw(st.integers(-6, 6)), draw(parts))
        case "move":
            return Move(draw(st.sampled_from(rows)), draw(st.sampled_from(["up", "down"])))
        case "remove":
            return Remove(draw(st.sampled_from(rows)))
    values = {
        "grist": {"what": "crystal malt 60 EBC", "amount": draw(st.sampled_from(["4 %", "300 g"]))},
        "hops": {"what": "Saaz", "amount": "20 g"},
        "mash": {},
        "other": {"what": "gypsum", "amount": "2 g", "at": "mash"},
        "fermentation": {"temperature": "20 °C"},
        "yeast": {"what": "wine yeast"},
    }
    name = draw(st.sampled_from(sorted(values)))
    return Add(name, values[name], draw(st.sampled_from([None, None, 0, -1])))


@SLOW
@given(st.data(), st.sampled_from(SOUND), st.sampled_from(["metric", "us"]))
def test_any_edits_leave_a_text_that_reads(data: st.DataObject, card: str, system: str) -> None:
    text = text_of(card)
    sentences: list[str] = []
    for _ in range(data.draw(st.integers(1, 6))):
        edit = data.draw(edits(text))
        try:
            done = edited(text, edit, resolve=house, system=system)
        except BadInput as error:
            sentences += error.faults
            continue
        if done is None:
            continue
        assert bare(recipe_from_text(done.text, resolve=house)) == bare(done.recipe)
        assert done.said
        assert "\n" not in done.said
        places = {one.place for one in recipe_inputs(done.text)} | {one.row for one in recipe_inputs(done.text)}
        assert done.place in places or not done.place or isinstance(edit, Set)
        if isinstance(edit, (Add, Move, Nudge)) or (
            isinstance(edit, Set) and edit.value and edit.place != "volume.into"
        ):
            assert comments(done.text) >= comments(text) - comments(done.text)
            assert not comments(text) - comments(done.text), edit
        # What is neither edited nor tied to it by shares stays to the letter.
        old, new = tomllib.loads(text), tomllib.loads(done.text)
        touched = {
            "grist",
            (edit.list if isinstance(edit, Add) else getattr(edit, "place", getattr(edit, "row", ""))).split(".")[0],
        }
        if "volume" not in touched and "bitterness_by" not in touched:
            assert {k: v for k, v in old.items() if k not in touched} == {
                k: v for k, v in new.items() if k not in touched
            }
        text = done.text
    assert all(sentence.strip() and "\n" not in sentence for sentence in sentences)


def _is_undone(one: Input) -> bool:
    return one.kind not in ("text", "prose") and not (one.place.startswith("grist.") and one.place.endswith(".amount"))


@SLOW
@given(st.data(), st.sampled_from(SOUND))
def test_typing_the_old_text_again_undoes_an_edit(data: st.DataObject, card: str) -> None:
    text = text_of(card)
    before = recipe_from_text(text, resolve=house)
    one = data.draw(st.sampled_from([one for one in recipe_inputs(text) if _is_undone(one)]))
    typed = data.draw(st.sampled_from(TYPED.get(one.kind, ["3"]) + list(one.choices)))
    try:
        done = edited(text, Set(one.place, typed), resolve=house)
    except BadInput:
        return
    if done is None:
        return
    back = edited(done.text, Set(one.place, one.text), resolve=house)
    assert back is not None
    assert bare(back.recipe) == bare(before)


@SLOW
@given(st.data(), st.integers(2, 6), st.integers(1, 999))
def test_shares_add_up_whatever_is_typed(data: st.DataObject, lines: int, tenths: int) -> None:
    cuts = sorted(data.draw(st.lists(st.integers(1, 99), min_size=lines - 1, max_size=lines - 1, unique=True)))
    shares = [b - a for a, b in zip([0, *cuts], [*cuts, 100], strict=True)]
    text = 'name = "x"\nvolume = "20 L"\n[aim]\noriginal_gravity = "1.050"\n' + "".join(
        f'[[grist]]\nwhat = "pale ale malt"\nshare = "{share} %"\n' for share in shares
    )
    row = data.draw(st.integers(0, lines - 1))
    edit = Set(f"grist.{row}.amount", f"{tenths / 10} %")
    if tenths > 1000 - (lines - 1):  # less than a tenth of a per cent for each of the others
        with pytest.raises(BadInput, match="leaves"):
            edited(text, edit)
        return
    done = edited(text, edit)
    if done is None:
        return
    after = [line.share or 0.0 for line in done.recipe.grist]
    assert sum(after) == pytest.approx(1.0, abs=1e-9)
    assert after[row] == pytest.approx(tenths / 1000)
    assert min(after) >= 0.001 - 1e-12
    for i, share in enumerate(shares):
        if i != row:
            exact = share / (100 - shares[row]) * (1.0 - tenths / 1000)
            assert after[i] == pytest.approx(exact, abs=0.0005 * lines + 0.001)
