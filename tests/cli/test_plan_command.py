"""`gyle plan`: the JSON contract, the page, units, sources."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from gyle.beer.reading import read_brewhouse, read_recipe
from gyle.decide.plan import plan
from gyle.line.figures import FIGURES
from gyle.share.stations import STATIONS

from .conftest import EXAMPLES, Run

BEER = EXAMPLES / "copper-beacon.toml"
SMALL = EXAMPLES / "lantern-street-28.toml"
LAGER = EXAMPLES / "slack-water.toml"
SHEET = EXAMPLES / "signal-lamp.toml"
BIG = EXAMPLES / "lantern-street-48.toml"
PALE = EXAMPLES / "tram-depot.toml"


def test_json_is_the_contract(run: Run) -> None:
    ran = run("plan", BEER, "--json")
    assert (ran.code, ran.err) == (0, "")
    document = ran.json
    assert list(document) == ["figures", "cautions", "notes", "model", "steps", "amounts", "short_of", "misses"]
    assert "NaN" not in ran.out
    assert "Infinity" not in ran.out
    for name, found in document["figures"].items():
        assert set(found) - {"median"} == {"unit", "mean", "low", "high"}, name
        assert found["unit"] == FIGURES[name].unit
        assert found["low"] <= found["high"]
        assert all(isinstance(found[key], float) for key in found if key != "unit")
    assert {caution["station"] for caution in document["cautions"]} <= set(STATIONS)
    assert all(set(caution) == {"station", "text"} for caution in document["cautions"])
    assert all(set(step) == {"id", "station", "start_min", "minutes", "do"} for step in document["steps"])
    assert len({step["id"] for step in document["steps"]}) == len(document["steps"])
    starts = [step["start_min"] for step in document["steps"] if step["station"] != "fermenter"]
    assert starts == sorted(starts)


def test_every_figure_of_the_contract_is_there(run: Run) -> None:
    figures = run("plan", BEER, "--json").json["figures"]
    contract = (EXAMPLES.parents[1] / "docs" / "contracts.md").read_text(encoding="utf-8")
    named = contract.split("**Figures**")[1].split("A second vessel")[0]
    for station, names in re.findall(r"`([a-z]+(?:\.full|\.end)?)\.([a-z_|]+)`", named):
        for name in names.split("|"):
            if name in ("bitterness_rager", "bitterness_garetz"):
                continue  # named only where a recipe's bitterness is stated by them
            assert f"{station}.{name}" in figures


def test_json_says_what_the_library_says(run: Run) -> None:
    ran = run("plan", LAGER, "--brewhouse", BIG, "--json").json
    known = plan(read_recipe(LAGER), read_brewhouse(BIG))
    for name, band in known.figures.items():
        assert ran["figures"][name]["mean"] == pytest.approx(band.mean, rel=1e-12)
    grist = ran["amounts"]["grist"]
    assert [line["mass_kg"] for line in grist] == pytest.approx(list(known.amounts.grist_kg), rel=1e-12)
    assert [hop["mass_g"] for hop in ran["amounts"]["hops"]] == pytest.approx(
        [1000.0 * kg for kg in known.amounts.hops_kg], rel=1e-12
    )
    assert ran["amounts"]["water"]["mash_L"] == pytest.approx(list(known.amounts.liquor_L), rel=1e-12)


def test_shares_of_the_amounts_are_the_recipes(run: Run) -> None:
    amounts = run("plan", BEER, "--json").json["amounts"]
    masses = {line["what"]: line["mass_kg"] for line in amounts["grist"]}
    total = sum(masses.values())
    assert {what: round(100 * kg / total, 6) for what, kg in masses.items()} == {
        "pale ale malt": 48.0,
        "wheat malt": 42.0,
        "sucrose": 10.0,
    }
    assert {hop["what"]: round(hop["mass_g"], 6) for hop in amounts["hops"]}["Cascade"] == 60.0
    assert [line["at"] for line in amounts["grist"]] == ["mash", "mash", "boil 10 min"]


def test_the_median_stands_beside_a_skewed_figure_only(run: Run) -> None:
    figures = run("plan", BEER, "--json").json["figures"]
    skewed = {name for name, found in figures.items() if "median" in found}
    known = plan(read_recipe(BEER), read_brewhouse(BIG)).figures
    assert skewed == {name for name, band in known.items() if band.skewed}
    assert "keg.left_over" in skewed


def test_a_misfit_is_said_first_and_loudly_and_is_no_error(run: Run) -> None:
    ran = run("plan", SHEET, "--brewhouse", SMALL)
    assert ran.code == 0
    head = ran.out.split("To weigh")[0]
    assert "It does not fit this brewhouse" in head
    short_of = run("plan", SHEET, "--brewhouse", SMALL, "--json").json["short_of"]
    assert len(short_of) >= 2
    for sentence in short_of:
        assert sentence[1:] in " ".join(head.split())


def test_a_missed_aim_is_said(run: Run, tmp_path: Path) -> None:
    text = SHEET.read_text(encoding="utf-8").replace("[[grist]]", '[aim]\noriginal_gravity = "1.060"\n[[grist]]', 1)
    (tmp_path / "missed.toml").write_text(text, encoding="utf-8")
    missed = tmp_path / "missed.toml"
    misses = run("plan", missed, "--brewhouse", BIG, "--json").json["misses"]
    gravity = next(miss for miss in misses if miss["figure"] == "fermenter.original_gravity")
    assert gravity["wanted"] == 1.06
    assert not gravity["within_rounding"]
    assert "1.060 is not met" in run("plan", missed, "--brewhouse", BIG).out


@pytest.mark.parametrize("columns", [60, 71, 80, 96])
@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("beer", ["copper-beacon", "signal-lamp", "slack-water", "ropewalk"])
def test_no_line_is_wider_than_the_page(run: Run, beer: str, units: str, columns: int) -> None:
    ran = run("plan", EXAMPLES / f"{beer}.toml", "--brewhouse", BIG, "--units", units, columns=columns)
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= columns
    assert "\x1b" not in ran.out


def test_the_page_follows_the_beer(run: Run) -> None:
    page = run("plan", BEER).out
    order = [page.index(part) for part in ("Copper Beacon", "To weigh", "The day", "The line", "Worth knowing")]
    assert order == sorted(order)
    line = page.split("The line, water to glass")[1]
    margins = [row.split("│")[0].strip() for row in line.splitlines() if "│" in row]
    stations = [margin for margin in margins if margin]
    assert stations == [*STATIONS, "in all"]
    for caution in run("plan", BEER, "--json").json["cautions"]:
        beside = " ".join(row.partition("│")[2] for row in line.splitlines())
        assert caution["text"] in " ".join(beside.split())


def test_aims_are_marked_on_their_own_figure(run: Run) -> None:
    rows = [row for row in run("plan", BEER).out.splitlines() if "◆ 1.102" in row]
    assert len(rows) == 1
    assert "original gravity" in rows[0]
    assert rows[0].count("◆") == 2  # in words, and on the strip


def test_units_are_the_readers_and_the_numbers_of_json_are_not(run: Run) -> None:
    metric, us = run("plan", BEER).out, run("plan", BEER, "--units", "us").out
    assert "°C" in metric
    assert "°F" not in metric.split("The line")[0]
    assert "°F" in us
    assert "°C" not in us
    assert " kg" not in us.split("The line")[0]
    assert " SRM" in us
    assert " EBC" not in us
    one, other = run("plan", BEER, "--json").json, run("plan", BEER, "--json", "--units", "us").json
    assert one["figures"] == other["figures"]
    assert one["amounts"] == other["amounts"]
    assert "kg" in " ".join(step["do"] for step in one["steps"])
    assert " kg" not in " ".join(step["do"] for step in other["steps"])


def test_colour_is_one_colour_on_either_scale(run: Run) -> None:
    def number(page: str, unit: str) -> float:
        return float(re.search(rf"^.*│ colour +([\d.]+) {unit}", page, re.MULTILINE)[1])  # type: ignore[index]

    ebc = number(run("plan", SHEET, "--brewhouse", BIG).out, "EBC")
    srm = number(run("plan", SHEET, "--brewhouse", BIG, "--units", "us").out, "SRM")
    assert ebc / srm == pytest.approx(25 / 12.7, rel=0.08)


def test_sources_name_equations_references_and_movers(run: Run) -> None:
    ran = run("plan", BEER, "--sources", "glass.bitterness")
    assert ran.code == 0
    assert "gyle.science.isomerisation.isomerisation_rate_1_min" in ran.out
    assert "Malowicki" in ran.out
    assert "What moves it most" in ran.out
    document = run("plan", BEER, "--sources", "glass.bitterness", "--json").json["sources"]
    assert list(document) == ["figure", "words", "equations", "movers"]
    shares = [mover["share"] for mover in document["movers"]]
    assert shares == sorted(shares, reverse=True)
    assert 0.0 < shares[0] <= 1.0
    assert all(set(equation) == {"name", "does", "references"} for equation in document["equations"])


# Two figures are there only where an author's IBU is one of those functions'.
@pytest.mark.parametrize("figure", sorted(set(FIGURES) - {"glass.bitterness_rager", "glass.bitterness_garetz"}))
def test_every_figure_has_sources(run: Run, figure: str) -> None:
    ran = run("plan", BEER, "--sources", figure)
    assert ran.err == ""
    assert ran.code == 0
    assert figure in ran.out


def test_an_unknown_figure_is_offered_near_names(run: Run) -> None:
    ran = run("plan", BEER, "--sources", "glass.bitternes")
    assert ran.code == 2
    assert ran.out == ""
    assert ran.faults == [
        "gyle: 'glass.bitternes' is not a figure of this plan; near names are glass.bitterness,"
        " glass.bitterness_ratio, glass.bitterness_tinseth"
    ]


def test_the_water_that_is_given_counts(run: Run, tmp_path: Path) -> None:
    report = tmp_path / "tap.toml"
    report.write_text('gyle = 1\nname = "Tap"\ncalcium = 21\nsulfate = 30\nchloride = 25\nbicarbonate = 60\n')
    ran = run("plan", PALE, "--water", report, "--json")
    assert ran.code == 0
    plainly = run("plan", PALE, "--json").json
    # Unstated water is taken as wished for; this one gets the salts that bring it there, and the acid its mash needs.
    assert any("no water report is given" in note for note in plainly["notes"])
    assert not any("no water report is given" in note for note in ran.json["notes"])
    assert any("into the mash liquor" in step["do"] for step in ran.json["steps"])
    assert not any("into the mash liquor" in step["do"] for step in plainly["steps"])
    figures, before = ran.json["figures"], plainly["figures"]
    assert figures["water.calcium"]["mean"] == pytest.approx(110.0, abs=10.0)
    assert figures["mash.ph"]["mean"] == pytest.approx(5.35, abs=0.06)
    assert figures["water.bicarbonate"] != before["water.bicarbonate"]
    # A report that is known well narrows what is in the liquor, and moves no volume and no gravity.
    for found in (figures, before):
        found["span"] = found["water.chloride"]["high"] - found["water.chloride"]["low"]
    assert figures["span"] < before["span"]
    for name in ("fermenter.volume", "fermenter.original_gravity", "glass.bitterness_tinseth"):
        assert figures[name]["mean"] == pytest.approx(before[name]["mean"], rel=1e-3)


def test_a_water_without_wishes_is_brewed_with_as_it_comes(run: Run) -> None:
    hard, soft = (
        run("plan", LAGER, "--water", EXAMPLES / f"water-{name}.toml", "--json").json for name in ("hard", "soft")
    )
    assert hard["figures"]["water.calcium"]["mean"] == pytest.approx(94.4, rel=0.01)
    assert soft["figures"]["water.calcium"]["mean"] == pytest.approx(20.0, rel=0.01)
    assert hard["figures"]["mash.ph"]["mean"] > soft["figures"]["mash.ph"]["mean"] + 0.1
    assert not any("into the mash liquor" in step["do"] for step in hard["steps"])
    assert any("metabisulfite" in note for note in soft["notes"])
    assert not any("metabisulfite" in note for note in hard["notes"])


def test_what_is_no_water_is_refused(run: Run) -> None:
    wrong = run("plan", BEER, "--water", BIG)
    assert (wrong.code, wrong.out) == (2, "")
    assert "is a brewhouse, and a water report was wanted" in wrong.err
    assert len(wrong.faults) == 1


def test_a_name_cannot_command_the_terminal(run: Run, tmp_path: Path) -> None:
    hostile = tmp_path / "hostile.toml"
    text = BEER.read_text(encoding="utf-8").replace('name = "Copper Beacon"', r'name = "Red \u001b[31m\u0007 Beer"')
    hostile.write_text(text.replace('for_brewhouse = "lantern-street-48"', ""), encoding="utf-8")
    ran = run("plan", hostile, "--brewhouse", BIG)
    assert ran.code == 0
    assert "\x1b" not in ran.out
    assert "\x07" not in ran.out
    assert "\x1b" not in run("plan", hostile, "--brewhouse", BIG, "--json").out


def test_json_survives_a_round_trip(run: Run) -> None:
    ran = run("plan", BEER, "--json")
    assert json.loads(json.dumps(ran.json)) == ran.json
