"""The acidity of every fermentable: from the table by its kind, from a line or a lot, and written back."""

from __future__ import annotations

import csv
import importlib.resources
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer import tables
from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.beer.reading import read_stock, recipe_from_text
from gyle.beer.stock import Lot
from gyle.beer.writing import recipe_text, restated
from gyle.errors import BadInput
from gyle.science.malt_acidity import mash_ph
from gyle.science.malt_kinds import crystal_malt_ph

# Mean pH in distilled water and buffering [mEq/(kg pH)] of each kind, rounded; its spreads are ours.
PUBLISHED = "Troester 2009; deLange, MBAA Tech. Quarterly 52(1), 2015"
MEANS = {
    (5.75, 45): ["pilsner malt", "lager malt"],
    (5.68, 45): ["pale ale malt"],
    (5.60, 45): ["vienna malt", "dextrin malt, pale"],
    (5.50, 45): ["munich malt, light"],
    (5.42, 45): ["munich malt, dark"],
    (6.00, 42): ["wheat malt, pale", "rye malt"],
    (5.90, 30): ["flaked oats", "flaked barley", "flaked wheat"],
    (6.00, 10): ["flaked maize", "flaked rice"],
    (5.20, 50): ["crystal malt 20 EBC"],
    (4.55, 56): ["crystal malt 400 EBC"],
    (5.10, 45): ["biscuit malt", "amber malt", "brown malt"],
    (4.65, 45): ["chocolate malt", "roasted malt, dehusked", "black malt", "roasted barley"],
    (3.45, 155): ["acid malt"],
}
MEAN_OF = {name: mean for mean, names in MEANS.items() for name in names}


def rows() -> list[dict[str, str]]:
    file = importlib.resources.files("gyle.beer") / "data" / "fermentables.csv"
    return list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))


def malt(name: str) -> Fermentable:
    found = tables.fermentable(name)
    assert found is not None
    return found[0]


def recipe(*lines: str, what: str = "pale ale malt") -> str:
    return "\n".join(['name = "x"', 'volume = "20 L"', "[[grist]]", f'what = "{what}"', 'mass = "5 kg"', *lines, ""])


def read(*lines: str, what: str = "pale ale malt") -> Fermentable:
    return recipe_from_text(recipe(*lines, what=what)).grist[0].ingredient


def faults(*lines: str, what: str = "pale ale malt") -> tuple[str, ...]:
    with pytest.raises(BadInput) as told:
        recipe_from_text(recipe(*lines, what=what))
    return tuple(told.value.faults)


def test_every_mashed_fermentable_has_an_acidity_and_a_spread() -> None:
    mashed = [one for one in map(malt, tables.fermentable_names()) if one.mashed and one.group != "no extract"]
    assert len(mashed) > 40
    for one in mashed:
        assert 3.0 < one.distilled_ph.centre < 6.5, one.name
        assert one.distilled_ph.spread > 0.0, one.name
        assert one.buffering_mEq_kg.centre > 0.0, one.name
        assert one.buffering_mEq_kg.spread > 0.0, one.name


def test_sugars_and_hulls_do_not_buffer() -> None:
    for name in ("sucrose", "honey", "rice hulls", "invert sugar syrup, dark", "maltodextrin"):
        assert malt(name).buffering_mEq_kg.centre == 0.0
        assert malt(name).buffering_mEq_kg.certain


def test_malt_extract_buffers_by_its_solids() -> None:
    for name in ("dried malt extract, pale", "liquid malt extract, dark"):
        one = malt(name)
        solids = one.extract_fraction.centre * (1.0 - one.moisture_fraction.centre)
        assert one.buffering_mEq_kg.centre / solids == pytest.approx(60.0, abs=0.1)
        assert one.buffering_mEq_kg.spread / solids == pytest.approx(18.0, abs=0.1)


@pytest.mark.source(PUBLISHED, provenance="memory")
@pytest.mark.parametrize(("name", "mean"), MEAN_OF.items())
def test_an_entry_has_the_published_mean_of_its_kind(name: str, mean: tuple[float, float]) -> None:
    one = malt(name)
    assert (one.distilled_ph.centre, one.buffering_mEq_kg.centre) == mean


def test_what_is_said_to_follow_the_literature_is_an_entry_of_a_kind() -> None:
    after = [row["name"] for row in rows() if row["acidity_provenance"].startswith("after ")]
    others = set(after) - set(MEAN_OF)
    assert others == {"pale malt, two-row"} | {name for name in others if name.startswith("crystal malt")}
    assert all(row["acidity_provenance"].startswith(("after ", "ours")) for row in rows())


def test_no_draw_can_leave_what_the_equation_takes() -> None:
    for one in map(malt, [*tables.fermentable_names(), "crystal malt 10 EBC", "crystal malt 600 EBC", "dextrose"]):
        ph, buffering = one.distilled_ph, one.buffering_mEq_kg
        assert (ph.low, ph.high) == (3.0, 8.0)
        assert buffering.low == 0.0
        worst = [mash_ph([4.0, 1.0], [5.7, p], malt_buffering_mEq_kg=[45.0, b], liquor_L=15.0, alkalinity_mEq_L=2.0,
                         carbon_mmol_L=2.1, co2_lost_share=0.2, freed_mEq_L=0.5)
                 for p in (ph.low, ph.high) for b in (buffering.low, buffering.high)]  # fmt: skip
        assert all(0.0 < float(p) < 9.0 for p in worst)


@given(st.floats(10.0, 600.0))
def test_a_crystal_malt_of_any_colour_has_the_ph_of_its_colour(colour: float) -> None:
    name = f"crystal malt {colour:.4f} EBC"
    one = malt(name)
    # A colour of the table has three decimals there.
    assert one.distilled_ph.centre == pytest.approx(float(crystal_malt_ph(one.colour_ebc.centre)), abs=6e-4)
    assert 50.0 <= one.buffering_mEq_kg.centre <= 56.0
    assert 0.15 <= one.distilled_ph.spread <= 0.17


def test_crystal_malts_grow_more_acid_with_colour() -> None:
    each = [malt(f"crystal malt {c} EBC") for c in (20, 45, 60, 80, 100, 120, 160, 200, 240, 300)]
    values = [one.distilled_ph.centre for one in each]
    assert values == sorted(values, reverse=True)
    assert len(set(values)) == len(values)
    buffering = [one.buffering_mEq_kg.centre for one in each]
    assert buffering == sorted(buffering)


def test_a_stated_colour_of_a_crystal_malt_moves_its_ph() -> None:
    one = read('colour = "200 EBC"', what="crystal malt")
    assert one.distilled_ph.centre == pytest.approx(float(crystal_malt_ph(200.0)))
    assert read('colour = "20000 EBC"', what="crystal malt").distilled_ph.centre == pytest.approx(4.55)
    measured = read('colour = "200 EBC"', "distilled_ph = 4.9", what="crystal malt")
    assert measured.distilled_ph.centre == 4.9
    assert read('colour = "9 EBC"').distilled_ph == malt("pale ale malt").distilled_ph


def test_a_line_overrules_the_table() -> None:
    one = read("distilled_ph = 5.62", 'buffering = "41,5 mEq/kg"')
    assert one.distilled_ph == Estimate(centre=5.62, spread=0.04, low=3.0, high=8.0, source="stated")
    assert one.buffering_mEq_kg.centre == 41.5
    assert one.buffering_mEq_kg.spread == pytest.approx(0.08 * 41.5)
    assert one.lactic_fraction is None
    # what a lot's owner measured is narrower than the table
    assert one.distilled_ph.spread < malt("pale ale malt").distilled_ph.spread
    assert one.buffering_mEq_kg.spread < malt("pale ale malt").buffering_mEq_kg.spread


@pytest.mark.parametrize("said", ["45", "45.0", '"45 mEq/kg"', '"45 meq / kg"', '"45 mval/kg"', '"45 mEq/(kg pH)"'])
def test_ways_to_write_a_buffering(said: str) -> None:
    assert read(f"buffering = {said}").buffering_mEq_kg.centre == 45.0


def test_a_ph_may_be_written_as_any_ph() -> None:
    for said in ("5.62", '"5,62"', '"pH 5.62"', '"5.62 at 20 °C"'):
        assert read(f"distilled_ph = {said}").distilled_ph.centre == 5.62


def test_one_figure_leaves_the_other_to_the_table() -> None:
    one, base = read("distilled_ph = 5.62"), malt("pale ale malt")
    assert one.buffering_mEq_kg == base.buffering_mEq_kg
    assert read("buffering = 50").distilled_ph == base.distilled_ph


@pytest.mark.source("Troester 2009: acid malt takes 310 to 360 mEq/kg up to pH 5.7", provenance="memory")
def test_lactic_acid_sets_what_an_acid_malt_titrates_like() -> None:
    def titrated(one: Fermentable) -> float:
        return one.buffering_mEq_kg.centre * (5.65 - one.distilled_ph.centre)

    usual = read('lactic = "3 %"', what="acid malt")
    assert 310.0 <= titrated(usual) <= 360.0
    assert titrated(usual) == pytest.approx(titrated(malt("acid malt")))
    # 90.08 g of lactic acid is a mole, nearly all of it given off at that pH
    assert titrated(usual) == pytest.approx(0.03 * 1e6 / 90.08, rel=0.05)
    assert titrated(read('lactic = "1.5 %"', what="acidulated malt")) == pytest.approx(titrated(usual) / 2.0)
    assert usual.buffering_mEq_kg.spread < malt("acid malt").buffering_mEq_kg.spread
    assert usual.lactic_fraction == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (("distilled_ph = 0",), "distilled_ph is 0, which is not between 3 and 8 pH"),
        (("distilled_ph = 8.4",), "distilled_ph is 8.4, which is not between 3 and 8 pH"),
        (('distilled_ph = "5.3 at 65 °C"',), "the pH of a cooled sample was wanted"),
        (("distilled_ph = nan",), "distilled_ph"),
        (("distilled_ph = true",), "distilled_ph is true"),
        (("buffering = -3",), "buffering is -3, which is not between 0 and 500 mEq/(kg pH)"),
        (("buffering = nan",), "buffering is nan, which is not between 0 and 500 mEq/(kg pH)"),
        ((f"buffering = {10**300}",), "not between 0 and 500"),
        (("buffering = true",), "buffering is true, and a number in mEq/(kg pH)"),
        (('buffering = "45"',), 'and a number in mEq/(kg pH) such as 45 or "45 mEq/kg" was wanted'),
        (('buffering = "45 mg/L"',), 'and a number in mEq/(kg pH) such as 45 or "45 mEq/kg" was wanted'),
        (('buffering = "501 mEq/kg"',), 'buffering is "501 mEq/kg", which is not between'),
        (('lactic = "3 %"',), "lactic is read for acid malt only; give distilled_ph and buffering instead"),
    ],
)
def test_a_fault_is_one_clear_sentence(lines: tuple[str, ...], told: str) -> None:
    found = faults(*lines)
    assert len(found) == 1
    assert found[0].startswith("grist (pale ale malt), line 6: ")
    assert told in found[0]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (('lactic = "3 %"', "buffering = 150"), "lactic and buffering are both given; keep one of them"),
        (('lactic = "3 %"', "distilled_ph = 3.5"), "lactic and distilled_ph are both given; keep one of them"),
        (('lactic = "3 %"', "distilled_ph = 3.5", "buffering = 150"), "lactic and buffering are both given"),
        (('lactic = "0.4 %"',), 'lactic is "0.4 %", which is not between 0.5 and 6'),
        (('lactic = "7 %"',), 'lactic is "7 %", which is not between 0.5 and 6'),
        (("lactic = 3",), "has no unit"),
    ],
)
def test_a_fault_of_acid_malt_is_one_clear_sentence(lines: tuple[str, ...], told: str) -> None:
    found = faults(*lines, what="acid malt")
    assert len(found) == 1
    assert told in found[0]


def test_a_malt_outside_the_table_has_an_acidity() -> None:
    def own(ebc: float, *lines: str) -> Fermentable:
        return read('extract = "80 %"', f'colour = "{ebc} EBC"', *lines, what="grandmother's malt")

    pale, dark = own(4.0), own(900.0)
    assert pale.distilled_ph.centre > own(30.0).distilled_ph.centre > dark.distilled_ph.centre > 4.5
    assert pale.distilled_ph.spread > malt("pale ale malt").distilled_ph.spread
    assert own(4.0, "distilled_ph = 5.9", "buffering = 30").buffering_mEq_kg.centre == 30.0
    kettle = read('extract = "80 %"', 'colour = "4 EBC"', 'at = "boil 10 min"', what="grandmother's syrup")
    assert kettle.buffering_mEq_kg.centre == 0.0
    assert len(faults('extract = "80 %"', 'colour = "4 EBC"', 'lactic = "2 %"', what="grandmother's malt")) == 1


def test_an_unknown_malt_gets_no_second_fault_for_its_acidity() -> None:
    found = faults("distilled_ph = 5.6", "buffering = 45", what="qqqq")
    assert len(found) == 1
    assert "is not known" in found[0]


@given(
    ph=st.none() | st.integers(300, 800).map(lambda n: n / 100.0),
    buffering=st.none() | st.integers(0, 5000).map(lambda n: n / 10.0),
    what=st.sampled_from(["pale ale malt", "acid malt", "crystal malt 95 EBC", "crystal malt", "sucrose"]),
    colour=st.none() | st.integers(1, 900),
)
def test_what_is_written_has_the_same_acidity(
    ph: float | None, buffering: float | None, what: str, colour: int | None
) -> None:
    lines = [f"distilled_ph = {ph}"] if ph is not None else []
    lines += [f"buffering = {buffering}"] if buffering is not None else []
    lines += [f'colour = "{colour} EBC"'] if colour is not None else []
    beer = recipe_from_text(recipe(*lines, what=what))
    text = recipe_text(beer)
    again = recipe_from_text(text)
    assert again.grist[0].ingredient == beer.grist[0].ingredient
    row = tomllib.loads(text)["grist"][0]
    assert row.get("distilled_ph") == ph
    assert row.get("buffering") == buffering


@given(st.integers(50, 600).map(lambda n: n / 100.0))
def test_what_is_written_has_the_same_lactic_acid(percent: float) -> None:
    beer = recipe_from_text(recipe(f'lactic = "{percent} %"', what="acid malt"))
    text = recipe_text(beer)
    assert recipe_from_text(text).grist[0].ingredient == beer.grist[0].ingredient
    row = tomllib.loads(text)["grist"][0]
    assert row["lactic"] == f"{percent:g} %"
    assert "buffering" not in row
    assert "distilled_ph" not in row


def test_an_authors_file_keeps_the_keys_when_a_mass_changes() -> None:
    text = recipe("distilled_ph = 5.62  # measured", "buffering = 44")
    old = recipe_from_text(text)
    new = recipe_from_text(text.replace("5 kg", "6 kg"))
    written = restated(text, old, new)
    assert "distilled_ph = 5.62  # measured" in written
    assert "buffering = 44" in written
    assert recipe_from_text(written).grist[0].ingredient == old.grist[0].ingredient


def stock(tmp_path: Path, *lines: str, what: str = "pale ale malt") -> Lot:
    file = tmp_path / "stock.toml"
    file.write_text("\n".join(["[[have]]", f'what = "{what}"', *lines, ""]), encoding="utf-8")
    return read_stock(file).lots[0]


def test_a_lot_states_the_same_figures(tmp_path: Path) -> None:
    lot = stock(tmp_path, "distilled_ph = 5.62", 'buffering = "44 mEq/kg"')
    line = read("distilled_ph = 5.62", "buffering = 44")
    assert lot.distilled_ph == line.distilled_ph
    assert lot.buffering_mEq_kg == line.buffering_mEq_kg
    assert lot.acidity_on(malt("pale ale malt")) == line


def test_a_lot_that_says_nothing_changes_nothing(tmp_path: Path) -> None:
    for line in (read("distilled_ph = 5.5"), malt("sucrose"), read('lactic = "2 %"', what="acid malt")):
        assert stock(tmp_path, 'mass = "5 kg"').acidity_on(line) == line


def test_a_lot_overrules_the_line(tmp_path: Path) -> None:
    lot = stock(tmp_path, "distilled_ph = 5.62")
    assert lot.acidity_on(read("distilled_ph = 5.9", "buffering = 50")) == read("distilled_ph = 5.62", "buffering = 50")
    strong = stock(tmp_path, 'lactic = "4 %"', what="acid malt")
    weak = read('lactic = "2 %"', what="acid malt")
    assert strong.acidity_on(weak) == read('lactic = "4 %"', what="acid malt")
    assert strong.acidity_on(read("buffering = 90", what="acid malt")) == read('lactic = "4 %"', what="acid malt")
    # a measured pH takes the place of a line's lactic acid; the buffering is the usual one again
    acid = stock(tmp_path, "distilled_ph = 3.6", what="acid malt").acidity_on(weak)
    assert acid == read("distilled_ph = 3.6", what="acid malt")


@pytest.mark.parametrize(
    ("line", "what", "told"),
    [
        ("distilled_ph = 0", "pale ale malt", "distilled_ph is 0"),
        ("buffering = -1", "pale ale malt", "buffering is -1"),
        ('lactic = "3 %"', "pale ale malt", "lactic is read for acid malt only"),
        ('lactic = "3 %"', "crystal malt 60", "lactic is read for acid malt only"),
    ],
)
def test_a_fault_of_a_lot_is_one_clear_sentence(tmp_path: Path, line: str, what: str, told: str) -> None:
    with pytest.raises(BadInput) as error:
        stock(tmp_path, line, what=what)
    assert len(error.value.faults) == 1
    assert told in error.value.faults[0]


NUMBERS = st.one_of(st.integers(-(10**400), 10**400), st.floats(), st.booleans())
TEXTS = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"], exclude_characters='"\\'), max_size=8
)


def _toml(value: float | str) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    return str(value).lower() if isinstance(value, bool) else repr(value)


@given(key=st.sampled_from(["distilled_ph", "buffering", "lactic"]), value=NUMBERS | TEXTS)
def test_nonsense_is_a_fault_or_a_figure_in_range(key: str, value: float | str) -> None:
    try:
        one = read(f"{key} = {_toml(value)}", what="acid malt")
    except BadInput:
        return
    assert 3.0 <= one.distilled_ph.centre <= 8.0
    assert 0.0 <= one.buffering_mEq_kg.centre <= 500.0
