"""`gyle water`: the JSON contract, the page, what every option does."""

from __future__ import annotations

import itertools
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from gyle.beer.mineral import mineral_of
from gyle.beer.reading import read_water

from .conftest import EXAMPLES, Ran, Run

HARD, SOFT = EXAMPLES / "water-hard.toml", EXAMPLES / "water-soft.toml"
HOPPY, BEER, LAGER = EXAMPLES / "water-hoppy.toml", EXAMPLES / "tram-depot.toml", EXAMPLES / "quiet-harbour.toml"
SMALL = EXAMPLES / "lantern-street-28.toml"
IONS = ("calcium", "magnesium", "sodium", "sulfate", "chloride", "bicarbonate")
TOLERANCE = {"calcium": 10.0, "magnesium": 5.0, "sodium": 10.0, "sulfate": 20.0, "chloride": 10.0}
GYPSUM, CALCIUM_CHLORIDE, EPSOM = (
    "calcium sulfate dihydrate",
    "calcium chloride dihydrate",
    "magnesium sulfate heptahydrate",
)


def names(ran: Ran) -> set[str]:
    return {dose["what"] for dose in ran.json["doses"]}


def worst(ran: Ran) -> float:
    assert ran.json["proven"] is True
    return max((miss["tolerances"] for miss in ran.json["misses"]), default=0.0)


def alone(run: Run, *more: str | Path) -> Ran:
    """The soft water brought to the hoppy one, without a mash: quick."""
    ran = run("water", "--from", SOFT, "--to", HOPPY, *more, "--json")
    assert (ran.code, ran.err) == (0, ""), ran.err
    return ran


def stock(folder: Path, *lots: str) -> Path:
    path = folder / "shed.toml"
    path.write_text("gyle = 1\n" + "".join(f"[[have]]\n{lot}\n" for lot in lots), encoding="utf-8")
    return path


# --- the contract -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("beer", [BEER, LAGER], ids=lambda path: path.stem)
@pytest.mark.parametrize(("report", "balance"), [(HARD, -2.4), (SOFT, 11.1)], ids=["hard", "soft"])
def test_json_is_the_contract(run: Run, report: Path, balance: float, beer: Path) -> None:
    ran = run("water", "--from", report, "--recipe", beer, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert "NaN" not in ran.out
    assert "Infinity" not in ran.out
    document = ran.json
    assert list(document)[:7] == ["doses", "volumes", "ions", "ph", "proven", "cautions", "notes"]
    assert document["report"]["balance_percent"] == pytest.approx(balance, abs=0.05)
    assert document["report"]["balance_percent_standard_methods"] == pytest.approx(balance / 2.0, abs=0.05)
    assert document["report"]["acceptable"] is (report == HARD)
    assert document["proven"] is True
    assert document["doses"]
    for dose in document["doses"]:
        assert set(dose) == {"what", "into", "amount", "unit"}
        assert dose["into"] in ("mash", "sparge")
        assert dose["unit"] in ("g", "mL")
        assert dose["amount"] > 0.0
        assert 10.0 * dose["amount"] == pytest.approx(round(10.0 * dose["amount"]), abs=1e-6)
    assert document["volumes"]["mash_L"] > 10.0
    assert document["volumes"]["sparge_L"] > 10.0
    assert tuple(document["ions"]) == IONS
    source = read_water(report)
    for ion, row in document["ions"].items():
        assert set(row) == {"source", "wanted", "got", "low", "high"}
        assert row["source"] == source.mg_L(ion)
        assert row["low"] - 0.5 <= row["got"] <= row["high"] + 0.5  # a mean near nought may lie beside its band
        if ion in TOLERANCE:
            assert row["got"] == pytest.approx(row["wanted"], abs=TOLERANCE[ion]), ion
    assert document["ions"]["bicarbonate"]["wanted"] is None
    mash = document["ph"]["mash"]
    assert set(mash) == {"mean", "low", "high"}
    assert mash["low"] < mash["mean"] < mash["high"]
    assert mash["mean"] == pytest.approx(5.35, abs=0.06)
    assert {"mash", "mash_hot", "sparge", "kettle", "kettle_end", "beer"} <= set(document["ph"])
    assert worst(ran) <= 1.0
    assert all(isinstance(caution, str) for caution in document["cautions"])
    assert any("acid into water" in caution for caution in document["cautions"])
    assert (document["dilution"] is None) == (report == SOFT)
    assert (document["dechlorination"] is None) == (report == HARD)
    assert json.loads(json.dumps(document, allow_nan=False)) == document


def test_chlorine_and_dilution_are_told_in_json(run: Run) -> None:
    soft = run("water", "--from", SOFT, "--recipe", BEER, "--json").json
    told, volumes = soft["dechlorination"], soft["volumes"]
    assert told["what"] == "sodium metabisulfite"
    assert told["volume_L"] == pytest.approx(volumes["mash_L"] + volumes["sparge_L"])
    assert told["amount"] == pytest.approx(0.407 * told["volume_L"], rel=0.02)
    assert told["most"] > told["amount"]
    hard = run("water", "--from", HARD, "--recipe", BEER, "--json").json["dilution"]
    assert hard["with"] == "reverse osmosis"
    assert 20.0 * hard["share"] == pytest.approx(round(20.0 * hard["share"]), abs=1e-6)
    assert 0.0 < hard["share"] < 1.0


@pytest.mark.parametrize("columns", [40, 80, 110])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_page_tells_everything_in_any_width(run: Run, columns: int, units: str) -> None:
    ran = run("water", "--from", SOFT, "--recipe", BEER, "--units", units, columns=columns)
    assert (ran.code, ran.err) == (0, "")
    assert max(len(line) for line in ran.out.splitlines()) <= max(columns, 60)
    assert "\x1b" not in ran.out
    assert ran.out.startswith("Soft water for Tram Depot\n")
    heads = [line.partition("─")[0].partition("  ")[0].strip() for line in ran.out.splitlines() if line.endswith("──")]
    parts = ["The report", "To weigh", "What is in it", "pH", "How near that is", "Take care", "Worth knowing"]
    assert [head for head in heads if head in parts] == parts
    flat = " ".join(ran.out.replace("│", " ").split())
    document = run("water", "--from", SOFT, "--recipe", BEER, "--json").json
    for dose in document["doses"]:
        assert f"{dose['what']}" in flat
        assert f" {dose['amount']:g} {dose['unit']}" in flat
    assert "proven" in flat
    assert "+11.1 % (DIN form)" in flat
    assert "metabisulfite" in flat
    assert ("gal" in flat) == (units == "us")


def test_a_pipe_gets_the_same_text(run: Run) -> None:
    """Another process, its output no terminal: no colour, no escape, the exit code of the program."""
    command = [sys.executable, "-m", "gyle", "water", "--from", str(SOFT), "--to", str(HOPPY)]
    environment = {**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"}
    found = subprocess.run(command, capture_output=True, check=False, env=environment, encoding="utf-8")
    assert (found.returncode, found.stderr) == (0, "")
    assert found.stdout == run("water", "--from", SOFT, "--to", HOPPY).out
    assert "\x1b" not in found.stdout


# --- what is asked ------------------------------------------------------------------------------------------------


def test_a_water_alone_is_looked_at_and_left(run: Run) -> None:
    ran = run("water", "--from", HARD, "--json")
    document = ran.json
    assert document["doses"] == []
    assert document["ph"] == {}
    assert document["proven"] is True
    assert document["volumes"] == {"mash_L": 20.0, "sparge_L": 0.0}
    assert all(row["wanted"] is None and row["got"] == row["source"] for row in document["ions"].values())
    assert document["report"]["cations_mEq_L"] == pytest.approx(6.88, abs=0.005)
    assert document["report"]["anions_mEq_L"] == pytest.approx(7.05, abs=0.005)
    assert document["report"]["alkalinity_mEq_L"] == 5.72
    page = run("water", "--from", HARD).out
    assert "cations 6.88, anions 7.05 mEq/L: -2.4 % (DIN form), usual" in page
    assert "Nothing is asked of it" in page


def test_a_wish_is_a_report_or_a_recipe(run: Run) -> None:
    by_report, by_recipe = alone(run), run("water", "--from", SOFT, "--to", BEER, "--json")
    assert by_recipe.code == 0
    assert by_report.json["doses"] == by_recipe.json["doses"]
    wanted = {ion: row["wanted"] for ion, row in by_report.json["ions"].items()}
    assert wanted == {
        "calcium": 110.0, "magnesium": 8.0, "sodium": 15.0, "sulfate": 180.0, "chloride": 50.0, "bicarbonate": None,
    }  # fmt: skip
    # A wish goes before the recipe's own.
    lager = run("water", "--from", SOFT, "--recipe", LAGER, "--to", HOPPY, "--json").json
    assert lager["ions"]["sulfate"]["wanted"] == 180.0
    assert lager["ions"]["sulfate"]["got"] == pytest.approx(180.0, abs=20.0)
    assert lager["ph"]["mash"]["mean"] == pytest.approx(5.35, abs=0.06)


def test_waters_that_can_be_bought_have_names(run: Run) -> None:
    ran = run("water", "--from", "reverse osmosis", "--to", HOPPY, "--json")
    assert ran.code == 0
    assert ran.json["report"]["name"] == "reverse osmosis"
    assert worst(ran) <= 1.0


def test_the_brewhouse_gives_the_volumes(run: Run) -> None:
    own = run("water", "--from", SOFT, "--recipe", BEER, "--json").json["volumes"]
    small = run("water", "--from", SOFT, "--recipe", BEER, "--brewhouse", SMALL, "--json").json["volumes"]
    assert small["mash_L"] + small["sparge_L"] < own["mash_L"] + own["sparge_L"] - 1.0
    plan = run("plan", BEER, "--brewhouse", SMALL, "--json").json["amounts"]["water"]
    assert small["mash_L"] == pytest.approx(sum(plan["mash_L"]), rel=1e-3)
    assert small["sparge_L"] == pytest.approx(sum(plan["sparge_L"]), rel=1e-3)


def test_a_volume_scales_the_doses(run: Run) -> None:
    one, two = (alone(run, "--volume", volume, "--scale", "0.01 g").json for volume in ("10 L", "20 L"))
    assert one["volumes"]["mash_L"] == 10.0
    heavy = {dose["what"]: dose["amount"] for dose in two["doses"]}
    for dose in one["doses"]:
        assert 2.0 * dose["amount"] == pytest.approx(heavy[dose["what"]], rel=0.03, abs=0.04)
    us = alone(run, "--volume", "5 gal").json
    assert us["volumes"]["mash_L"] == pytest.approx(18.927, abs=0.001)


def test_salts_can_be_left_out(run: Run) -> None:
    usual = alone(run)
    assert {GYPSUM, CALCIUM_CHLORIDE} <= names(usual)
    less = alone(run, "--without", "gypsum, Epsom salt")
    assert not names(less) & {GYPSUM, EPSOM}
    assert worst(less) > worst(usual)
    told = {one["what"]: one["worst_miss"] for one in usual.json["without"]}
    assert set(told) == names(usual)
    only = alone(run, "--without", "gypsum")
    assert worst(only) == pytest.approx(told[GYPSUM], abs=1e-3)


def test_acid_is_the_one_that_is_named(run: Run) -> None:
    usual = run("water", "--from", SOFT, "--recipe", LAGER, "--json")
    other = run("water", "--from", SOFT, "--recipe", LAGER, "--acid", "phosphoric acid 10 %", "--json")
    none = run("water", "--from", SOFT, "--recipe", LAGER, "--without", "lactic acid", "--json")
    assert "lactic acid 80 %" in names(usual)
    assert "phosphoric acid 10 %" in names(other)
    assert not {name for name in names(other) if "lactic" in name}
    assert other.json["ph"]["mash"]["mean"] == pytest.approx(5.35, abs=0.06)
    assert not {name for name in names(none) if "acid" in name}
    assert none.json["ph"]["mash"]["mean"] > usual.json["ph"]["mash"]["mean"] + 0.1


def test_the_scales_step_is_kept_and_a_finer_one_is_no_worse(run: Run) -> None:
    misses = []
    for grams in (1.0, 0.5, 0.1, 0.01):
        ran = alone(run, "--scale", f"{grams:g} g")
        misses.append(worst(ran))
        for dose in ran.json["doses"]:
            assert dose["amount"] / grams == pytest.approx(round(dose["amount"] / grams), abs=1e-6)
    for coarse, fine in itertools.pairwise(misses):
        assert max(fine, 0.1) <= max(coarse, 0.1) + 1e-4
    assert [dose["amount"] for dose in alone(run, "--scale", "100 mg").json["doses"]] == [
        dose["amount"] for dose in alone(run).json["doses"]
    ]


def test_more_kinds_of_salt_are_no_worse(run: Run) -> None:
    misses = []
    for most in range(6):
        ran = alone(run, "--at-most", str(most))
        assert len(names(ran)) <= most
        misses.append(worst(ran))
    for fewer, more in itertools.pairwise(misses):
        assert max(more, 0.1) <= max(fewer, 0.1) + 1e-4
    assert misses[0] > 3.0 * misses[-1]


def test_undiluted_keeps_the_tap_alone(run: Run) -> None:
    ran = run("water", "--from", HARD, "--recipe", LAGER, "--undiluted", "--json")
    assert ran.code == 0
    assert ran.json["dilution"] is None
    thinned = run("water", "--from", HARD, "--recipe", LAGER, "--json")
    assert worst(thinned) < worst(ran) / 3.0
    # The miss is in the numbers for everybody to see.
    assert ran.json["ions"]["calcium"]["got"] > 45.0 + 10.0
    assert {"calcium", "alkalinity", "mash balance"} <= {miss["what"] for miss in ran.json["misses"]}


@pytest.mark.parametrize("ph", [5.2, 5.6])
def test_the_mash_ph_asked_for_goes_before_the_recipes(run: Run, ph: float) -> None:
    ran = run("water", "--from", SOFT, "--recipe", LAGER, "--mash-ph", str(ph), "--json")
    assert ran.json["ph"]["mash"]["mean"] == pytest.approx(ph, abs=0.06)
    page = run("water", "--from", SOFT, "--recipe", LAGER, "--mash-ph", str(ph)).out
    assert f"◆ {ph:g}" in page


def test_a_mash_ph_is_found_for_a_recipe_that_wants_no_water(run: Run) -> None:
    porter = EXAMPLES / "ropewalk.toml"
    plain = run("water", "--from", HARD, "--recipe", porter, "--json").json
    assert plain["doses"] == []
    assert plain["ph"]["mash"]["mean"] > 5.6
    assert any("--mash-ph 5.4 finds the acid for it" in note for note in plain["notes"])
    ran = run("water", "--from", HARD, "--recipe", porter, "--mash-ph", "5.5", "--json")
    assert ran.json["ph"]["mash"]["mean"] < plain["ph"]["mash"]["mean"]
    assert "lactic acid 80 %" in names(ran)


def test_salts_at_hand_are_the_stocks(run: Run, tmp_path: Path) -> None:
    shed = stock(
        tmp_path, 'what = "gypsum"\nmass = "500 g"', 'what = "calcium chloride solution 33 %"', 'what = "Fuggle"'
    )
    ran = alone(run, "--lots", shed)
    assert names(ran) <= {GYPSUM, "calcium chloride solution 33 %"}
    units = {dose["what"]: dose["unit"] for dose in ran.json["doses"]}
    assert units == {GYPSUM: "g", "calcium chloride solution 33 %": "mL"}
    # A pot of 90 % takes more than one of 97 %.
    old = stock(tmp_path, 'what = "calcium chloride dihydrate"\nstrength = "80 %"', 'what = "gypsum"')
    opened = {dose["what"]: dose["amount"] for dose in alone(run, "--lots", old, "--scale", "0.01 g").json["doses"]}
    new = stock(tmp_path, 'what = "calcium chloride dihydrate"\nstrength = "100 %"', 'what = "gypsum"')
    sealed = {dose["what"]: dose["amount"] for dose in alone(run, "--lots", new, "--scale", "0.01 g").json["doses"]}
    weak = next(amount for what, amount in opened.items() if what.startswith("calcium chloride"))
    strong = next(amount for what, amount in sealed.items() if what.startswith("calcium chloride"))
    assert weak == pytest.approx(strong / 0.8, rel=0.02)


def test_units_change_words_and_no_number_of_json(run: Run) -> None:
    metric, us = alone(run).json, alone(run, "--units", "us").json
    assert metric["doses"] == us["doses"]
    assert metric["ions"] == us["ions"]
    page = run("water", "--from", SOFT, "--recipe", LAGER, "--units", "us").out
    assert "gal to mash" in page
    assert " L " not in page.split("How good that is")[0].split("chlorine")[0]


# --- refused ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--from", "nowhere.toml"], "there is no file nowhere.toml"),
        (["--from", str(BEER)], "tram-depot.toml is a recipe, and a water report was wanted"),
        (["--from", str(SMALL)], "is a brewhouse, and a water report was wanted"),
        (["--from", "moon water"], "there is no file moon water"),
        (["--from", str(SOFT), "--recipe", str(HARD)], "is a water report, and a recipe was wanted"),
        (["--from", str(SOFT), "--to", str(EXAMPLES / "ropewalk.toml")], "no [water], so it wants no ions"),
        (["--from", str(SOFT), "--recipe", str(BEER), "--brewhouse", str(HARD)], "and a brewhouse was wanted"),
        (["--from", str(SOFT), "--lots", str(BEER)], "stock"),
        (["--from", str(SOFT), "--lots", str(EXAMPLES / "lantern-street-stock.toml")], "holds no salt and no acid"),
        (["--from", str(SOFT), "--without", "moonlight"], "--without 'moonlight'"),
        (["--from", str(SOFT), "--acid", "gypsum"], "--acid 'gypsum' is no acid"),
        (["--from", str(SOFT), "--acid", "lactic acid"], "how strong is the lactic acid?"),
        (["--from", str(SOFT), "--acid", "lactic acid 200 %"], "lactic acid"),
        (["--from", str(SOFT), "--scale", "0 g"], "--scale"),
        (["--from", str(SOFT), "--scale", "-1 g"], "mass"),
        (["--from", str(SOFT), "--scale", "1 kg"], "--scale"),
        (["--from", str(SOFT), "--scale", "5 mL"], "is a volume, not a mass"),
        (["--from", str(SOFT), "--at-most", "-1"], "--at-most"),
        (["--from", str(SOFT), "--at-most", "many"], "--at-most"),
        (
            ["--from", str(SOFT), "--recipe", str(LAGER), "--mash-ph", "0"],
            "--mash-ph is 0, and a mash pH between 4.5 and 6.5 was wanted",
        ),
        (["--from", str(SOFT), "--recipe", str(LAGER), "--mash-ph", "7"], "--mash-ph is 7"),
        (["--from", str(SOFT), "--recipe", str(LAGER), "--mash-ph", "nan"], '--mash-ph: "nan" is not a pH'),
        (["--from", str(SOFT), "--recipe", str(LAGER), "--mash-ph", "sour"], "--mash-ph"),
        (["--from", str(SOFT), "--volume", "0 L"], "--volume"),
        (["--from", str(SOFT), "--volume", "1e9 L"], "--volume"),
        (["--from", str(SOFT), "--volume", "lots"], "--volume"),
        (["--from", str(SOFT), "--units", "imperial"], "--units"),
        (["--to", str(HOPPY)], "--from"),
        (["--from", str(SOFT), "--mash-ph", "5.4"], "--mash-ph means nothing without --recipe"),
        (["--from", str(SOFT), "--recipe", str(LAGER), "--volume", "20 L"], "--volume means nothing beside --recipe"),
        (["--from", str(SOFT), "--acid", "citric acid"], "citric acid is dry"),
        (["--from", str(SOFT), "--softly"], "--softly"),
    ],
)
def test_what_cannot_be_is_one_sentence(run: Run, options: list[str], said: str) -> None:
    ran = run("water", *options)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert ran.faults[0].startswith("gyle: ")
    assert said in ran.err


def test_all_faults_come_together(run: Run) -> None:
    ran = run(
        "water",
        "--from",
        "gone.toml",
        "--to",
        "lost.toml",
        "--scale",
        "9 kg",
        "--volume",
        "-1 L",
        "--recipe",
        "mislaid.toml",
    )
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 6


# --- the other commands -------------------------------------------------------------------------------------------


def water_of(figures: dict[str, Any]) -> dict[str, float]:
    return {name: found["mean"] for name, found in figures.items() if name.startswith("water.") or name == "mash.ph"}


def test_plan_treats_the_water_as_water_says(run: Run) -> None:
    document = run("water", "--from", SOFT, "--recipe", BEER, "--json").json
    found = run("plan", BEER, "--water", SOFT, "--json").json
    held = water_of(found["figures"])
    assert held["mash.ph"] == pytest.approx(document["ph"]["mash"]["mean"], abs=1e-6)
    for ion in IONS:
        assert held[f"water.{ion}"] == pytest.approx(document["ions"][ion]["got"], abs=1e-6), ion
    told = " ".join(step["do"] for step in found["steps"])
    page = run("plan", BEER, "--water", SOFT).out.split("The day")[0]
    for dose in document["doses"]:
        found_mineral = mineral_of(dose["what"])
        assert found_mineral is not None
        amount = f"{dose['amount']:.3g} {dose['unit']}"  # as a brewer is told: 5 mL, not 5.0
        assert f"{amount} {found_mineral.spoken}" in told
        assert amount in page


def test_adapt_writes_what_plan_brews(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "restated.toml"
    promised = run("adapt", LAGER, "--to", SMALL, "--water", HARD, "--out", out, "--json")
    assert promised.code == 0, promised.err
    assert 'dilution = "' in out.read_text(encoding="utf-8")
    again = run("plan", out, "--water", HARD, "--json")
    assert again.code == 0
    before, after = water_of(promised.json["figures"]), water_of(again.json["figures"])
    assert set(before) == set(after)
    for name, value in before.items():
        assert after[name] == pytest.approx(value, rel=2e-3, abs=0.01), name
    told = [change["what"] for change in promised.json["changes"]]
    assert "reverse osmosis water" in told
    assert any(what.startswith("lactic acid 80 %") for what in told)
