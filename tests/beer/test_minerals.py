"""Salts, acids and bases: what they bring, by which names they are found, what is refused, how they are handled."""

from __future__ import annotations

import csv
import importlib.resources
from pathlib import Path

import CoolProp.CoolProp
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.mineral import Mineral, handling_of, mineral_of, minerals
from gyle.beer.reading import read_stock, recipe_from_text
from gyle.beer.recipe import OtherLine
from gyle.beer.solution_density import mass_fraction_of_w_v, solution_density_kg_L
from gyle.beer.tables import name_key
from gyle.beer.writing import recipe_text
from gyle.errors import BadInput, OutOfRange
from gyle.science.acids import ACIDS, acid_strength_mEq_g, acid_strength_mEq_mL
from gyle.science.salts import SALTS, salt_totals
from gyle.science.water_state import COMPONENTS

BEER = 'gyle = 1\nname = "x"\nvolume = "20 L"\n[[grist]]\nwhat = "pale ale malt"\nmass = "5 kg"\n'
CHARGES = {
    "calcium": 2, "magnesium": 2, "sodium": 1, "potassium": 1, "chloride": -1, "sulfate": -2, "nitrate": -1,
    "phosphate": -3, "lactate": -1, "citrate": -3,
}  # fmt: skip
NAMED = {mineral.name: mineral for mineral in minerals()}


def found(what: str, strength_pct: float | None = None) -> Mineral:
    mineral = mineral_of(what, strength_pct)
    assert mineral is not None
    return mineral


def line(keys: str) -> OtherLine:
    """The one other thing of a small recipe."""
    return recipe_from_text(f'{BEER}[[other]]\n{keys}\nat = "mash"\n').others[0]


def refused(keys: str) -> str:
    with pytest.raises(BadInput) as error:
        line(keys)
    assert len(error.value.faults) == 1, error.value.faults
    assert "\n" not in error.value.faults[0]
    return error.value.faults[0]


def pure_mg_g(mineral: Mineral) -> dict[str, float]:
    return {ion: mg / mineral.strength_fraction.centre for ion, mg in mineral.ions_mg_per_unit().items()}


# Molar masses from the abridged standard atomic weights of 2021 give the milligrams in a gram.
@pytest.mark.source("IUPAC, Standard Atomic Weights 2021, abridged", provenance="computed-with-numpy")
@pytest.mark.parametrize(
    ("name", "ions", "alkalinity"),
    [
        ("calcium sulfate dihydrate", {"calcium": 232.79, "sulfate": 557.93}, 0.0),
        ("calcium chloride anhydrous", {"calcium": 361.13, "chloride": 638.87}, 0.0),
        ("calcium chloride dihydrate", {"calcium": 272.62, "chloride": 482.29}, 0.0),
        ("calcium chloride hexahydrate", {"calcium": 182.95, "chloride": 323.64}, 0.0),
        ("magnesium sulfate heptahydrate", {"magnesium": 98.61, "sulfate": 389.73}, 0.0),
        ("magnesium sulfate anhydrous", {"magnesium": 201.93, "sulfate": 798.07}, 0.0),
        ("magnesium chloride hexahydrate", {"magnesium": 119.56, "chloride": 348.75}, 0.0),
        ("sodium chloride", {"sodium": 393.39, "chloride": 606.61}, 0.0),
        ("potassium chloride", {"potassium": 524.47, "chloride": 475.53}, 0.0),
        ("sodium sulfate anhydrous", {"sodium": 323.72, "sulfate": 676.28}, 0.0),
        ("sodium bicarbonate", {"sodium": 273.67}, 11.904),
        ("potassium bicarbonate", {"potassium": 390.53}, 9.989),
        ("sodium carbonate anhydrous", {"sodium": 433.82}, 18.870),
        ("calcium hydroxide", {"calcium": 540.92}, 26.994),
        ("calcium carbonate", {"calcium": 400.44}, 19.983),
    ],
)
def test_a_gram_brings_what_its_formula_holds(name: str, ions: dict[str, float], alkalinity: float) -> None:
    mineral = NAMED[name]
    assert pure_mg_g(mineral) == pytest.approx(ions, rel=1e-4)
    pure = mineral.alkalinity_mEq_per_unit() / mineral.strength_fraction.centre
    assert pure == pytest.approx(alkalinity, rel=1e-4)


@pytest.mark.source("Laliberté and Cooper, J. Chem. Eng. Data 49, 141, 2004", provenance="computed-with-thermo")
def test_doses_in_a_volume() -> None:
    gypsum = pure_mg_g(found("gypsum"))
    assert [3.0 * gypsum[ion] / 20.0 for ion in ("calcium", "sulfate")] == pytest.approx([34.92, 83.69], rel=1e-3)
    liquid = found("calcium chloride solution", 33).ions_mg_per_unit()
    assert [5.0 * liquid[ion] / 25.0 for ion in ("calcium", "chloride")] == pytest.approx([31.34, 55.43], rel=5e-3)
    lime = found("slaked lime")
    assert pure_mg_g(lime)["calcium"] / 20.0 == pytest.approx(27.05, rel=1e-3)
    assert lime.alkalinity_mEq_per_unit() / 0.90 / 20.0 == pytest.approx(1.350, rel=1e-3)


@pytest.mark.source("Laliberté and Cooper, J. Chem. Eng. Data 49, 141, 2004", provenance="computed-with-thermo")
@pytest.mark.parametrize(
    ("what", "ph", "expected_mEq_mL"),
    [
        ("lactic acid 88 %", 5.4, 11.45),
        ("lactic acid 80 %", 5.2, 10.08),
        ("phosphoric acid 10 %", 5.4, 1.092),
        ("phosphoric acid 10 % w/v", 5.4, 1.036),
        ("phosphoric acid 75 %", 5.4, 12.24),
        ("phosphoric acid 85 %", 5.6, 15.01),
        ("hydrochloric acid 10 %", 5.4, 2.873),
        ("hydrochloric acid 33 %", 5.4, 10.54),
        ("sulfuric acid 10 %", 5.4, 2.176),
        ("sulfuric acid 25 %", 5.4, 6.006),
    ],
)
def test_a_millilitre_of_acid_gives_its_protons(what: str, ph: float, expected_mEq_mL: float) -> None:
    acid = found(what)
    assert acid.density_kg_L is not None
    share_pct = 100.0 * acid.strength_fraction.centre
    given_mEq_mL = acid_strength_mEq_mL(acid.key, ph, share_pct=share_pct, density_kg_L=acid.density_kg_L)
    assert float(given_mEq_mL) == pytest.approx(expected_mEq_mL, rel=5e-3)
    # and all of its protons are what the totals of a water lose
    all_mEq_mL = acid_strength_mEq_mL(acid.key, 16.0, share_pct=share_pct, density_kg_L=acid.density_kg_L)
    assert -acid.alkalinity_mEq_per_unit() == pytest.approx(float(all_mEq_mL), rel=1e-3)


@pytest.mark.source("Goldberg, Kishore and Lennen, J. Phys. Chem. Ref. Data 31, 231, 2002", provenance="memory")
def test_citric_acid_is_weighed() -> None:
    acid = found("citric acid anhydrous")
    assert acid.unit == "g"
    assert acid_strength_mEq_g(acid.key, [5.2, 5.6]) == pytest.approx([9.30, 10.47], rel=5e-3)
    mono = found("citric acid monohydrate")
    ratio = mono.alkalinity_mEq_per_unit() / acid.alkalinity_mEq_per_unit()
    assert ratio == pytest.approx(192.123 / 210.138, rel=1e-4)


@pytest.mark.parametrize("mineral", minerals(), ids=lambda mineral: mineral.slug)
def test_charge_is_conserved(mineral: Mineral) -> None:
    totals = dict(zip(COMPONENTS, mineral.totals_mmol(7.0).tolist(), strict=True))
    charge = sum(CHARGES[ion] * mmol for ion, mmol in totals.items() if ion in CHARGES)
    assert charge == pytest.approx(totals["alkalinity"], abs=1e-9)
    assert sum(abs(mmol) for mmol in totals.values()) > 0.0


@pytest.mark.parametrize("mineral", minerals(), ids=lambda mineral: mineral.slug)
def test_every_entry_is_sound(mineral: Mineral) -> None:
    assert mineral.key in (ACIDS if mineral.kind == "acid" else SALTS)
    assert (mineral.density_kg_L is None) == (mineral.unit == "g")
    assert mineral.most_g_L > 0.0
    assert mineral.provenance
    assert 0.0 < mineral.strength_fraction.spread < 0.1
    assert mineral_of(mineral.name) == mineral  # its own name finds it again
    assert mineral.slug == name_key(mineral.name).replace(" ", "-")


def test_slugs_tell_every_entry_apart() -> None:
    assert len({mineral.slug for mineral in minerals()}) == len(minerals())
    assert found("lactic acid", 80).slug == "lactic-acid-80"
    assert found("lactic acid", 37.5).slug == "lactic-acid-37-5"
    assert found("gypsum").slug == "calcium-sulfate-dihydrate"
    assert found("calcium chloride dihydrate", 90).slug != found("calcium chloride dihydrate").slug


def test_the_usual_shelf() -> None:
    usual = {mineral.name for mineral in minerals() if mineral.usual}
    assert {"calcium sulfate dihydrate", "calcium chloride dihydrate", "lactic acid 80 %"} <= usual
    for unusual in ("calcium carbonate", "calcium hydroxide", "phosphoric acid 85 %", "sulfuric acid 10 %"):
        assert unusual in NAMED
        assert unusual not in usual


def test_no_name_means_two_things() -> None:
    file = importlib.resources.files("gyle.beer") / "data" / "minerals.csv"
    seen: dict[str, str] = {}
    for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
        for name in [row["name"], *row["aliases"].split(";"), *row["bare_names"].split(";")]:
            if name.strip():
                assert seen.setdefault(name_key(name), row["name"]) == row["name"], name
    assert set(SALTS) | set(ACIDS) == {mineral.key for mineral in minerals()}


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("gypsum", "calcium sulfate dihydrate"),
        ("Gypsum powder", "calcium sulfate dihydrate"),
        ("Epsom salts", "magnesium sulfate heptahydrate"),
        ("Magnesium Sulphate", "magnesium sulfate heptahydrate"),
        ("TABLE SALT", "sodium chloride"),
        ("baking soda", "sodium bicarbonate"),
        ("slaked lime", "calcium hydroxide"),
        ("Ca(OH)2", "calcium hydroxide"),
        ("chalk", "calcium carbonate"),
        ("lactic acid (80 %)", "lactic acid 80 %"),
        ("80% Lactic Acid, food grade", "lactic acid 80 %"),
        ("lactic acid 37,5 %", "lactic acid 37.5 %"),
        ("phosphoric acid 10 % w/w", "phosphoric acid 10 %"),
        ("phosphoric acid, 10 % (w/v)", "phosphoric acid 10 % w/v"),
        ("sulphuric acid 10 %", "sulfuric acid 10 %"),
        ("calcium chloride 33 % solution", "calcium chloride solution 33 %"),
        ("calcium chloride dihydrate 90 %", "calcium chloride dihydrate 90 %"),
    ],
)
def test_names(said: str, name: str) -> None:
    assert found(said).name == name


@pytest.mark.parametrize(
    "said",
    ["lime", "lime juice", "salt caramel", "lactic acid bacteria", "acid malt", "cocoa 80 %", "80 %", "", "water"],
)
def test_what_is_no_mineral(said: str) -> None:
    assert mineral_of(said) is None


def test_a_name_that_leaves_the_form_open_says_what_is_taken() -> None:
    assert "taken as magnesium sulfate heptahydrate" in found("magnesium sulfate").note
    assert "anhydrous" in found("calcium chloride").note
    assert found("gypsum").note == ""
    assert "hardly dissolves" in found("chalk").note
    sure, unsure = found("calcium chloride dihydrate"), found("calcium chloride")
    assert unsure.strength_fraction.spread > sure.strength_fraction.spread


def test_strength() -> None:
    sealed, opened = found("calcium chloride dihydrate"), found("calcium chloride dihydrate", 90)
    assert (sealed.strength_fraction.centre, sealed.strength_fraction.spread) == (0.97, 0.03)
    assert (opened.strength_fraction.centre, opened.strength_fraction.spread) == (0.90, 0.07)
    lactic, phosphoric = found("lactic acid 80 %").strength_fraction, found("phosphoric acid 10 %").strength_fraction
    assert lactic.spread / lactic.centre == pytest.approx(0.03)
    assert phosphoric.spread / phosphoric.centre == pytest.approx(0.02)
    assert mineral_of("lactic acid 80 %", 80) == mineral_of("lactic acid", 80) == mineral_of("lactic acid 80 %")


@pytest.mark.parametrize(
    ("what", "strength_pct", "says"),
    [
        ("lactic acid", None, "how strong"),
        ("lactic acid", 95.0, "1 to 88 %"),
        ("lactic acid", 0.0, "1 to 88 %"),
        ("lactic acid", float("nan"), "1 to 88 %"),
        ("lactic acid 80", None, 'strength as "80 %"'),
        ("lactic acid 80 %", 88.0, "keep one"),
        ("lactic acid 80 % v/v", None, "by volume"),
        ("sulfuric acid 96 %", None, "1 to 25 %"),
        ("phosphoric acid 150 % w/v", None, "w/v"),
        ("gypsum", 140.0, "50 to 100 %"),
        ("calcium chloride 33 %", None, '"calcium chloride solution"'),
        ("gypsum 90 % w/v", None, "pure by mass"),
    ],
)
def test_a_strength_that_cannot_be(what: str, strength_pct: float | None, says: str) -> None:
    with pytest.raises(BadInput) as error:
        mineral_of(what, strength_pct)
    assert len(error.value.faults) == 1
    assert says in str(error.value)


@pytest.mark.source("secondary fluids of CoolProp: calcium chloride in water", provenance="computed-with-CoolProp")
@pytest.mark.parametrize("percent", [5, 10, 15, 20, 25, 30])
def test_density_of_calcium_chloride_solution(percent: int) -> None:
    oracle = CoolProp.CoolProp.PropsSI("D", "T", 293.15, "P", 101325, f"INCOMP::MCA[{percent / 100}]") / 1000.0
    assert found("calcium chloride solution", percent).density_kg_L == pytest.approx(oracle, rel=2.5e-3)


# Values far from the tabulated points.
@pytest.mark.source("CRC Handbook of Chemistry and Physics, aqueous solutions at 20 °C", provenance="memory")
@pytest.mark.parametrize(
    ("what", "kg_L"),
    [
        ("phosphoric acid 20 %", 1.1134),
        ("phosphoric acid 50 %", 1.335),
        ("hydrochloric acid 20 %", 1.0980),
        ("lactic acid 10 %", 1.0199),
        ("sulfuric acid 20 %", 1.1394),
    ],
)
def test_density_between_the_points(what: str, kg_L: float) -> None:
    assert found(what).density_kg_L == pytest.approx(kg_L, rel=2.5e-3)


@given(st.floats(0.01, 0.85))
def test_strength_in_a_volume_comes_back(fraction: float) -> None:
    points = ((0.10, 1.0537), (0.75, 1.576), (0.85, 1.689))
    kg_L = fraction * solution_density_kg_L(fraction, points)
    assert mass_fraction_of_w_v(kg_L, points) == pytest.approx(fraction, rel=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(minerals()), st.floats(0.0, 500.0), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5))
def test_totals_are_linear_over_draws(mineral: Mineral, amount: float, strengths: list[float]) -> None:
    many = mineral.totals_mmol(amount, np.array(strengths))
    assert many.shape == (12, len(strengths))
    one = mineral.totals_mmol(1.0, 1.0)
    assert one.shape == (12,)
    for i, strength in enumerate(strengths):
        np.testing.assert_allclose(many[:, i], amount * strength * one, rtol=1e-12, atol=1e-12)
    if mineral.kind != "acid" and mineral.unit == "g":
        np.testing.assert_allclose(one, salt_totals(mineral.key, 1.0, purity=1.0), rtol=1e-12)


@pytest.mark.parametrize("amount", [float("nan"), -1.0, 1e9])
def test_totals_of_no_amount_are_refused(amount: float) -> None:
    with pytest.raises(OutOfRange):
        found("gypsum").totals_mmol(amount)


# --- handling


@pytest.mark.parametrize(
    "what",
    [
        "hydrochloric acid 28 %",
        "sulfuric acid 25 %",
        "lactic acid 88 %",
        "phosphoric acid 75 %",
        "phosphoric acid 85 %",
    ],
)
def test_strong_acids_carry_the_stronger_words(what: str) -> None:
    words = found(what).handling
    for must in ("Dilute", "acid into water", "goggles and gloves", "food grade", "hypochlorite", "metabisulfite"):
        assert must in words, must
    assert "label and safety data sheet come first" in words


@pytest.mark.parametrize("mineral", minerals(), ids=lambda mineral: mineral.slug)
def test_handling_is_there_where_the_hazard_is(mineral: Mineral) -> None:
    words = mineral.handling
    if mineral.kind == "acid":
        assert "food grade only" in words
        assert "hypochlorite" in words
    elif mineral.kind == "base":
        for must in ("eyes", "no dust", "goggles", "medical"):
            assert must in words
    elif mineral.key in ("calcium chloride anhydrous", "calcium chloride dihydrate") and mineral.unit == "g":
        assert "heats" in words
    elif mineral.key == "sodium carbonate anhydrous":
        assert "alkaline" in words
    else:
        assert words == ""
    assert words == "" or "data sheet come first" in words


def test_handling_is_said_once() -> None:
    shelf = [found(what) for what in ("gypsum", "lactic acid 80 %", "phosphoric acid 10 %", "slaked lime")]
    assert handling_of(shelf) == (shelf[1].handling, shelf[3].handling)
    assert handling_of([shelf[0]]) == ()


# --- lines of a recipe


@pytest.mark.parametrize(
    "at", ["mash", "mash 2", "sparge", "first wort", "boil 15 min", "pitch", "keg", "bottle", "stand 80 °C 10 min"]
)
def test_a_mineral_may_go_in_anywhere(at: str) -> None:
    beer = recipe_from_text(f'{BEER}[[other]]\nwhat = "gypsum"\nmass = "4.2 g"\nat = "{at}"\n')
    assert beer.others[0].mineral == found("gypsum")
    assert beer.others[0].at.text == at


def test_lines() -> None:
    gypsum = line('what = "gypsum"\nmass = "4.2 g"')
    assert gypsum.mineral is not None
    assert gypsum.mineral.measured(mass_kg=gypsum.mass_kg) == pytest.approx(4.2)
    acid = line('what = "lactic acid"\nstrength = "80 %"\nvolume = "4.5 mL"')
    assert acid.mineral == found("lactic acid 80 %")
    assert acid.mineral is not None
    assert acid.mineral.measured(volume_L=acid.volume_L) == pytest.approx(4.5)
    weighed = line('what = "lactic acid 80 %"\nmass = "11.87 g"')
    assert weighed.mineral is not None
    assert weighed.mineral.measured(mass_kg=weighed.mass_kg) == pytest.approx(10.0)
    assert line('what = "gypsum"\nrate = "0.2 g/L"').mineral is not None
    assert line('what = "Irish moss"\nmass = "5 g"').mineral is None
    assert line('what = "lime"\ncount = 2').mineral is None
    by_mass = line('what = "phosphoric acid"\nstrength = "10 % w/w"\nvolume = "5 mL"')
    assert by_mass.mineral == found("phosphoric acid 10 %")


def test_notes_are_kept() -> None:
    beer = recipe_from_text(f'{BEER}[[other]]\nwhat = "chalk"\nmass = "4 g"\nat = "mash"\n')
    assert any("hardly dissolves" in note for note in beer.notes)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ('what = "lactic acid"\nvolume = "5 mL"', "how strong"),
        ('what = "lactic acid"\nstrength = "140 %"\nvolume = "5 mL"', "strength"),
        ('what = "lactic acid"\nstrength = "80 % v/v"\nvolume = "5 mL"', "by mass"),
        ('what = "lactic acid 80 %"\nstrength = "88 %"\nvolume = "5 mL"', "keep one"),
        ('what = "phosphoric acid"\nstrength = "10 % w/v"\nvolume = "5 mL"', "strength"),
        ('what = "gypsum"\nvolume = "5 mL"', "is dry and is weighed"),
        ('what = "gypsum"\ncount = 2', "not counted"),
        ('what = "lactic acid 80 %"\ncount = 2', 'volume = "5 mL"'),
        ('what = "gypsum"\nmass = "5 kg"', "at most 162 g"),
        ('what = "gypsum"\nmass = "-5 g"', "mass"),
        ('what = "gypsum"\nmass = "5 g"\nvolume = "5 mL"', "keep one"),
        ('what = "gypsum"\nrate = "5 g/L"', "a litre takes at most 2 g"),
        ('what = "lactic acid 80 %"\nvolume = "5 L"', "at most"),
        ('what = "lactic acid 80 %"\nmass = "5 kg"', "at most"),
        ('what = "gypsum"', "no amount"),
    ],
)
def test_faults_of_a_line(keys: str, says: str) -> None:
    assert says in refused(keys)


def test_too_much_is_refused_without_a_stated_volume() -> None:
    unsaid = BEER.replace('volume = "20 L"\n', "")
    with pytest.raises(BadInput, match="at most"):
        recipe_from_text(f'{unsaid}[[other]]\nwhat = "gypsum"\nmass = "5 kg"\nat = "mash"\n')
    assert recipe_from_text(f'{unsaid}[[other]]\nwhat = "gypsum"\nmass = "50 g"\nat = "mash"\n').others


@settings(max_examples=60, deadline=None)
@given(
    mineral=st.sampled_from(minerals()),
    tenths=st.integers(1, 80),
    key=st.sampled_from(["mass", "volume", "rate"]),
    system=st.sampled_from(["metric", "us"]),
)
def test_what_is_written_reads_as_the_same_line(mineral: Mineral, tenths: int, key: str, system: str) -> None:
    if key == "volume" and mineral.unit == "g":
        key = "mass"
    amount = {"mass": f"{tenths / 10} g", "volume": f"{tenths / 10} mL", "rate": f"{tenths / 1000} g/L"}[key]
    beer = recipe_from_text(f'{BEER}[[other]]\nwhat = "{mineral.name}"\n{key} = "{amount}"\nat = "sparge"\n')
    text = recipe_text(beer, system)
    plain = amount.replace(".0 ", " ")
    assert f'{key} = "{plain}"' in text  # grams and millilitres, as a scale and a syringe show them
    assert recipe_from_text(text).others == beer.others


def test_strength_is_written_back() -> None:
    beer = recipe_from_text(
        f'{BEER}[[other]]\nwhat = "phosphoric acid"\nstrength = "10 %"\nvolume = "6 mL"\nat = "sparge"\n'
    )
    again = recipe_from_text(recipe_text(beer))
    assert again.others == beer.others
    assert again.others[0].mineral == found("phosphoric acid 10 %")


# --- the store


def test_a_lot_has_its_strength(tmp_path: Path) -> None:
    path = tmp_path / "stock.toml"
    path.write_text(
        'gyle = 1\n[[have]]\nwhat = "calcium chloride dihydrate"\nstrength = "90 %"\nmass = "400 g"\n'
        '[[have]]\nwhat = "lactic acid 80 %"\n[[have]]\nwhat = "Cascade"\n',
        encoding="utf-8",
    )
    lots = read_stock(path).lots
    assert lots[0].mineral == found("calcium chloride dihydrate", 90)
    assert lots[1].mineral == found("lactic acid 80 %")
    assert lots[2].mineral is None


def test_a_lot_of_acid_says_how_strong(tmp_path: Path) -> None:
    path = tmp_path / "stock.toml"
    path.write_text('gyle = 1\n[[have]]\nwhat = "lactic acid"\n', encoding="utf-8")
    with pytest.raises(BadInput, match="how strong") as error:
        read_stock(path)
    assert len(error.value.faults) == 1
