"""The tables: every entry is sound, names are found, unknown ones get near names."""

from __future__ import annotations

import csv
import importlib.resources
from collections.abc import Iterator

import pytest

from gyle.beer import tables
from gyle.beer.ingredient import Fermentable
from gyle.errors import BadInput


def rows(table: str) -> Iterator[dict[str, str]]:
    file = importlib.resources.files("gyle.beer") / "data" / f"{table}.csv"
    yield from csv.DictReader(file.read_text(encoding="utf-8").splitlines())


def malt(name: str) -> Fermentable:
    found = tables.fermentable(name)
    assert found is not None
    return found[0]


def test_extract_as_is_is_that_of_the_dry_matter_less_moisture() -> None:
    for row in rows("fermentables"):
        dry, moisture = float(row["extract_fgdb_pct"]), float(row["moisture_pct"])
        assert float(row["extract_as_is_pct"]) == pytest.approx(dry * (1 - moisture / 100), abs=0.006), row["name"]


def test_every_row_fills_its_columns_and_no_more() -> None:
    for table in ("fermentables", "hops", "yeast_classes"):
        for row in rows(table):
            assert None not in row
            assert None not in row.values()


def test_every_fermentable_has_an_acidity_and_says_where_it_comes_from() -> None:
    columns = ("distilled_ph", "distilled_ph_sd", "buffering_mEq_kg", "buffering_sd_mEq_kg")
    for row in rows("fermentables"):
        ph, ph_sd, buffering, buffering_sd = (float(row[column]) for column in columns)
        assert 3.0 <= ph <= 8.0, row["name"]
        assert 0.0 <= ph_sd <= 0.5, row["name"]
        assert 0.0 <= buffering_sd <= buffering or buffering == buffering_sd == 0.0, row["name"]
        assert row["acidity_provenance"].strip(), row["name"]


def test_lows_and_highs_lie_around_their_centres() -> None:
    triples = {
        "fermentables": (("colour_ebc_low", "colour_ebc", "colour_ebc_high"),),
        "hops": (("alpha_lo_pct", "alpha_typ_pct", "alpha_hi_pct"),),
        "yeast_classes": (
            ("pitch_low", "pitch", "pitch_high"),
            ("temperature_min_C", "temperature_opt_C", "temperature_max_C"),
            ("attenuation_practice_low_pct", "attenuation_practice_pct", "attenuation_practice_high_pct"),
        ),
    }
    for table, of in triples.items():
        for row in rows(table):
            for low, centre, high in of:
                assert float(row[low]) <= float(row[centre]) <= float(row[high]), row


def test_every_entry_is_built_and_says_where_it_comes_from() -> None:
    assert len(tables.fermentable_names()) > 60
    assert len(tables.hop_names()) >= 30
    for names, find in (
        (tables.fermentable_names(), tables.fermentable),
        (tables.hop_names(), tables.hop),
        (tables.yeast_names(), tables.yeast),
    ):
        for name in names:
            found = find(name)
            assert found is not None
            assert found[0].provenance
            assert found[1] == "", name


def test_no_bare_name_means_two_things() -> None:
    seen: dict[str, str] = {}
    for row in rows("fermentables"):
        for name in [row["name"], *row["aliases"].split(";")]:
            if name.strip():
                assert seen.setdefault(tables.name_key(name), row["name"]) == row["name"]


@pytest.mark.parametrize(
    ("said", "taken"),
    [
        ("Wheat Malt", "wheat malt, pale"),
        ("two row pale malt", "pale malt, two-row"),
        ("MUNICH MALT", "munich malt, light"),
        ("sugar", "sucrose"),
    ],
)
def test_a_bare_name_says_which_entry_is_taken(said: str, taken: str) -> None:
    found = tables.fermentable(said)
    assert found is not None
    assert found[0].name == taken
    assert found[1] == f"{said} is taken as {taken}."


@pytest.mark.parametrize("said", ["Hallertau Mittelfrüh", "hallertau mittelfrueh", "HALLERTAU  Mittelfrueh"])
def test_accents_and_case_do_not_matter(said: str) -> None:
    found = tables.hop(said)
    assert found is not None
    assert found[0].name == "Hallertau Mittelfrueh"


def test_plurals_of_hops_are_understood() -> None:
    for said in ("Fuggles", "Fuggles hops", "East Kent Goldings"):
        found = tables.hop(said)
        assert found is not None
        assert said in found[1]


def test_alpha_of_the_table_has_its_range_as_its_band() -> None:
    found = tables.hop("Magnum")
    assert found is not None
    alpha = found[0].alpha_fraction
    assert 2 * 1.2816 * alpha.spread == pytest.approx(0.17 - 0.12, rel=1e-3)


def test_bare_dextrose_carries_its_doubt() -> None:
    for said in ("dextrose", "Glucose"):
        found = tables.fermentable(said)
        assert found is not None
        sugar, note = found
        assert sugar.name == "dextrose monohydrate"
        assert "monohydrate" in note
        # 80 % of the belief is 9 points of mass to either side
        assert 1.2816 * sugar.moisture_fraction.spread == pytest.approx(0.09, rel=0.01)
    assert malt("dextrose monohydrate").moisture_fraction.spread < 0.01


@pytest.mark.parametrize(
    ("said", "ebc"),
    [
        ("crystal malt 40 °L", 78.7),
        ("crystal malt 40L", 78.7),
        ("Crystal Malt 95 EBC", 95.0),
        ("caramel malt, 60 °L", 118.1),
        ("crystal malt 120 EBC", 120.0),
        ("crystal malt 52,5 SRM", 103.3),
    ],
)
def test_a_crystal_malt_has_the_colour_of_its_name(said: str, ebc: float) -> None:
    assert malt(said).colour_ebc.centre == pytest.approx(ebc, abs=0.1)


def test_between_two_crystal_malts_figures_lie_between() -> None:
    low, mid, high = (malt(f"crystal malt {c} EBC") for c in (80, 100, 120))
    for field in (
        "extract_fraction",
        "moisture_fraction",
        "fermentable_fraction",
        "distilled_ph",
        "buffering_mEq_kg",
    ):
        ends = sorted((getattr(low, field).centre, getattr(high, field).centre))
        assert ends[0] <= getattr(mid, field).centre <= ends[1]
        assert getattr(mid, field).centre == pytest.approx(sum(ends) / 2)


def test_a_crystal_malt_with_a_number_alone_is_asked_about() -> None:
    with pytest.raises(BadInput, match="EBC or"):
        tables.fermentable("crystal malt 60")
    with pytest.raises(BadInput, match="between 10 and 600"):
        tables.fermentable("crystal malt 900 EBC")


def test_unknown_names_get_near_ones() -> None:
    assert tables.fermentable("wheet malt") is None
    assert "wheat malt, pale" in tables.near_names("fermentables", "wheet malt")
    assert "Cascade" in tables.near_names("hops", "Casscade")
    assert "lager yeast" in tables.near_names("yeast_classes", "larger yeast")
    assert tables.near_names("hops", "qqqq") == ()


def test_allergens() -> None:
    assert malt("lactose").allergen == "milk"
    assert malt("pale ale malt").allergen == "gluten"
    assert malt("dried malt extract, pale").allergen == "gluten"
    for free in ("sucrose", "flaked maize", "rice hulls", "maltodextrin", "honey"):
        assert malt(free).allergen == ""
