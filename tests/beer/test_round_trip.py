"""What is written reads as the same recipe; an author's comments and order survive; files are whole or untouched."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path
from typing import Any

import attrs
import generated_recipes as generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import brewhouse_from_text, read_brewhouse, read_recipe, recipe_from_text
from gyle.beer.recipe import Aim, Recipe, Rest
from gyle.beer.timing import Timing
from gyle.beer.toml_text import toml_text
from gyle.beer.writing import brewhouse_text, recipe_text, restated, rewrite, write_recipe, write_text
from gyle.errors import BadInput, StoreError

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
CARDS = ("copper-beacon", "signal-lamp", "ropewalk", "slack-water", "contradictory")
SLOW = settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def bare(recipe: Recipe) -> Recipe:
    """A recipe without the notes of its reading, its aims without their text and by name."""
    house = recipe.for_brewhouse
    aims = {
        key: tuple(sorted((attrs.evolve(a, text="") for a in getattr(recipe, key)), key=lambda a: a.figure))
        for key in ("aims", "printed")
    }
    return attrs.evolve(recipe, notes=(), for_brewhouse=attrs.evolve(house, notes=()) if house else None, **aims)


def near(one: Any, other: Any, tolerance: float) -> bool:
    """Whether two nouns agree in everything, numbers within a relative tolerance, printed digits aside."""
    if attrs.has(type(one)):
        return type(one) is type(other) and all(
            near(getattr(one, f.name), getattr(other, f.name), tolerance)
            for f in attrs.fields(type(one))
            if f.name not in ("half_digit", "volume_half_digit", "text", "notes")
        )
    if isinstance(one, tuple):
        return len(one) == len(other) and all(near(a, b, tolerance) for a, b in zip(one, other, strict=True))
    if isinstance(one, float) and isinstance(other, float):
        return one == other or abs(one - other) <= tolerance * max(abs(one), abs(other))
    return bool(one == other)


@SLOW
@given(generated.recipes())
def test_what_is_written_reads_as_the_same_recipe(recipe: Recipe) -> None:
    text = recipe_text(recipe)
    again = recipe_from_text(text)
    assert near(bare(again), bare(recipe), 1e-12)
    for line, back in zip(recipe.grist, again.grist, strict=True):
        assert back.half_digit == pytest.approx(line.half_digit)
    # and from then on, the text stays as it is
    assert recipe_text(again) == text
    assert bare(recipe_from_text(recipe_text(again))) == bare(again)


@SLOW
@given(generated.recipes())
def test_in_us_units_it_is_the_same_beer(recipe: Recipe) -> None:
    again = recipe_from_text(recipe_text(recipe, "us"))
    assert near(bare(again), bare(recipe), 3e-6)


@SLOW
@given(generated.brewhouses())
def test_a_brewhouse_reads_as_it_was_written(house: Brewhouse) -> None:
    text = brewhouse_text(house)
    again = brewhouse_from_text(text)
    assert near(attrs.evolve(again, notes=()), attrs.evolve(house, notes=()), 1e-12)
    assert brewhouse_text(again) == text


@pytest.mark.parametrize("name", CARDS)
def test_the_cards_survive_a_round_trip(name: str) -> None:
    recipe = read_recipe(EXAMPLES / f"{name}.toml", for_proofreading=True)
    again = recipe_from_text(recipe_text(recipe), for_proofreading=True)
    if name == "signal-lamp":  # what was printed in ounces has no printed digits in grams
        assert near(bare(again), bare(recipe), 1e-15)
    else:
        assert bare(again) == bare(recipe)


@pytest.mark.parametrize("name", ["lantern-street-48", "lantern-street-28", "kitchen-bag"])
def test_the_brewhouses_survive_a_round_trip(name: str) -> None:
    house = read_brewhouse(EXAMPLES / f"{name}.toml")
    assert brewhouse_from_text(brewhouse_text(house)) == house


def test_a_named_brewhouse_is_written_by_its_name() -> None:
    recipe = read_recipe(EXAMPLES / "copper-beacon.toml")
    text = recipe_text(recipe, for_brewhouse="lantern-street-48")
    assert tomllib.loads(text)["for_brewhouse"] == "lantern-street-48"


def comments(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.splitlines() if "#" in line]


@pytest.mark.parametrize("name", CARDS)
def test_nothing_changed_nothing_written_differently(name: str) -> None:
    path = EXAMPLES / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    recipe = read_recipe(path, for_proofreading=True)
    assert restated(text, recipe, recipe) == text
    assert rewrite(text, {}) == text


def amounts_of(recipe: Recipe) -> Recipe:
    """The recipe as another brewhouse might state it: masses for shares, a second mash, some water."""
    grist = tuple(
        attrs.evolve(line, share=None, mass_kg=1.25 + i, half_digit=0.005) for i, line in enumerate(recipe.grist)
    )
    hops = tuple(attrs.evolve(line, mass_kg=0.123, bitterness_ibu=None, half_digit=0.0005) for line in recipe.hops)
    return attrs.evolve(
        recipe,
        grist=(*grist, attrs.evolve(grist[0], mass_kg=2.5, at=Timing(stage="mash", mash=2))),
        hops=hops,
        rests=(*recipe.rests, Rest(temperature_C=66, minutes=90, mash=2, liquor_from="mash 1")),
        volume_L=19.5,
        volume_half_digit=0.05,
        aims=(*recipe.aims, Aim(figure="glass.colour", value=20.0, half_digit=0.5)),
    )


@pytest.mark.parametrize("name", CARDS)
def test_an_adapted_card_keeps_its_authors_comments_and_order(name: str) -> None:
    path = EXAMPLES / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    old = read_recipe(path, for_proofreading=True)
    new = amounts_of(old)
    written = restated(text, old, new)
    house = old.for_brewhouse
    again = recipe_from_text(written, resolve=lambda _: house, for_proofreading=True)
    assert near(bare(again), bare(new), 1e-12)
    assert comments(written) == comments(text)
    keys = list(tomllib.loads(text))
    assert [key for key in tomllib.loads(written) if key in keys] == keys
    assert '\n[[mash]]\ntemperature = "66 °C"\ntime = "90 min"\nmash = 2\nliquor_from = "mash 1"\n\n[boil]' in written


@SLOW
@given(data=st.data(), name=st.sampled_from(CARDS))
def test_a_card_restated_as_any_recipe_reads_as_that_recipe(data: st.DataObject, name: str) -> None:
    path = EXAMPLES / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    old = read_recipe(path, for_proofreading=True)
    new = data.draw(generated.recipes())
    written = restated(text, old, new)
    assert near(bare(recipe_from_text(written)), bare(new), 1e-12)
    head = comments(text.partition("[")[0])
    assert [one for one in comments(written) if one in head][: len(head)] or not head


def test_what_was_taken_for_granted_is_written_down_when_a_change_would_alter_it() -> None:
    text = 'name = "x"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n[[fermentation]]\ntemperature = "10 °C"\n'
    old = recipe_from_text(text)
    assert old.yeasts[0].what == "lager yeast"
    warm = attrs.evolve(old.fermentation[0], temperature_C=18.0, from_points_above_final=5.0)
    new = attrs.evolve(old, fermentation=(old.fermentation[0], warm))
    again = recipe_from_text(restated(text, old, new))
    assert bare(again) == bare(new)
    hot = attrs.evolve(old, fermentation=(attrs.evolve(old.fermentation[0], temperature_C=20.0),))
    assert bare(recipe_from_text(restated(text, old, hot))) == bare(hot)


def test_values_are_replaced_where_they_stand() -> None:
    text = (
        '# mine\na = "1"   # one\n\n[[row]]\nmass = "2 kg"  # two\nat = "mash"\n\n# next\n[[row]]\nwhat = "b"\n\n'
        "[t]\nx = 1 # x\n"
    )
    done = rewrite(
        text,
        {
            ("a",): "9",
            ("row", 0, "mass"): None,
            ("row", 0, "share"): "3 %",
            ("row", 1, "mass"): "5 kg",
            ("row", 2, "what"): "c",
            ("t", "x"): 2,
            ("t", "y"): True,
            ("u", "z"): "new",
        },
    )
    assert done == (
        '# mine\na = "9"   # one\n\n[[row]]\nshare = "3 %"  # two\nat = "mash"\n\n# next\n[[row]]\nwhat = "b"\n'
        'mass = "5 kg"\n[[row]]\nwhat = "c"\n\n[t]\nx = 2 # x\ny = true\n\n[u]\nz = "new"\n'
    )


def test_rows_are_taken_away() -> None:
    text = "[[row]]\na = 1\n[[row]]\na = 2\n[[row]]\na = 3\n[t]\nx = 1\n"
    done = tomllib.loads(rewrite(text, {("row", 1): None, ("row", 2): None}))
    assert done == {"row": [{"a": 1}], "t": {"x": 1}}
    assert tomllib.loads(rewrite(text, {("row", i): None for i in range(3)})) == {"t": {"x": 1}}


def test_a_table_never_swallows_the_keys_below_it() -> None:
    text = 'for_brewhouse = "a"\nvolume = "5 L"\n[[grist]]\nwhat = "wheat malt"\n'
    done = tomllib.loads(rewrite(text, {("for_brewhouse",): {"name": "b", "kettle": {"vessel": "9 L"}}}))
    assert done["volume"] == "5 L"
    assert done["for_brewhouse"] == {"name": "b", "kettle": {"vessel": "9 L"}}
    assert done["grist"] == [{"what": "wheat malt"}]


def test_a_place_that_is_not_there_is_refused_in_one_sentence() -> None:
    for address in (("row", 5, "a"), ("a", "b"), ("a", 0, "b"), ("row", 7)):
        with pytest.raises(BadInput, match="holds no such place"):
            rewrite("a = 1\n[[row]]\nb = 1\n", {address: None if len(address) == 2 and address[1] == 7 else "x"})
    with pytest.raises(BadInput, match="line 1"):
        rewrite("a = ", {})


TOML = st.recursive(
    st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12)
    | st.text(st.characters(codec="utf-8", exclude_characters="\r")),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(st.characters(codec="utf-8"), min_size=1, max_size=5), inner, max_size=3)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.text(st.characters(codec="utf-8"), min_size=1, max_size=6), TOML, max_size=5))
def test_any_table_reads_as_it_was_written(table: dict[str, Any]) -> None:
    assert tomllib.loads(toml_text(table)) == table


def test_a_file_is_written_whole_and_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "beer.toml"
    recipe = read_recipe(EXAMPLES / "ropewalk.toml")
    write_recipe(path, recipe)
    path.chmod(0o640)
    write_recipe(path, recipe, "us")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert near(bare(read_recipe(path)), bare(recipe), 1e-6)
    assert os.listdir(tmp_path) == ["beer.toml"]


def test_a_link_is_written_through(tmp_path: Path) -> None:
    (tmp_path / "real.toml").write_text("old")
    (tmp_path / "link.toml").symlink_to("real.toml")
    write_text(tmp_path / "link.toml", "new")
    assert (tmp_path / "link.toml").is_symlink()
    assert (tmp_path / "real.toml").read_text() == "new"


@pytest.mark.faults
@pytest.mark.parametrize("step", ["os.fsync", "os.replace", "tempfile.mkstemp", "os.chmod"])
def test_a_full_disk_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    path = tmp_path / "beer.toml"
    path.write_text("old")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(step, full)
    with pytest.raises(StoreError) as error:
        write_text(path, "new")
    assert str(error.value) == "beer.toml cannot be written: no space left on device; nothing was changed"
    monkeypatch.undo()
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["beer.toml"]


@pytest.mark.faults
def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="is a folder"):
        write_text(tmp_path, "x")
    with pytest.raises(StoreError, match="cannot be written"):
        write_text(tmp_path / "no" / "where.toml", "x")
    with pytest.raises(StoreError, match="no name can hold"):
        write_text(tmp_path / "a\0b", "x")
    with pytest.raises(StoreError, match="cannot be written"):
        write_text(tmp_path / ("x" * 300), "x")
    assert os.listdir(tmp_path) == []
