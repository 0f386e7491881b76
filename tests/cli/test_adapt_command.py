"""`gyle adapt`: the JSON contract, the page, the file it writes, what it refuses."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from gyle.beer.reading import read_recipe
from gyle.cli.adapt_page import adapt_page
from gyle.decide.adapt import Adaptation
from gyle.share.documents import adaptation_document

from .conftest import EXAMPLES, Ran, Run

BEER = EXAMPLES / "copper-beacon.toml"
PORTER = EXAMPLES / "ropewalk.toml"
BIG = EXAMPLES / "lantern-street-48.toml"


@pytest.fixture
def ready(tmp_path: Path) -> Path:
    """A folder with a recipe and a brewhouse that takes it as it is."""
    for file in (PORTER, BIG):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    return tmp_path


def adapted(run: Run, folder: Path, *more: str | Path, **how: int) -> Ran:
    return run("adapt", folder / PORTER.name, "--to", folder / BIG.name, *more, **how)


def test_json_is_the_contract_and_names_ways_out(strong_beer_on_the_small_one: Adaptation) -> None:
    document = json.loads(
        json.dumps(adaptation_document(strong_beer_on_the_small_one, "its file", system="metric"), allow_nan=False)
    )
    assert document["recipe"] == "its file"
    assert list(document) == [
        "figures",
        "cautions",
        "notes",
        "model",
        "steps",
        "amounts",
        "short_of",
        "misses",
        "recipe",
        "changes",
        "options",
    ]
    assert document["changes"]
    assert all(list(change) == ["what", "from", "to", "why"] for change in document["changes"])
    assert all(change["why"] for change in document["changes"])
    options = document["options"]
    for option in options:
        assert {"name", "fits", "recommended", "figures", "extra_minutes", "cost", "short_of"} <= set(option)
        assert option["fits"] != bool(option["short_of"])
        assert bool(option["figures"]) or not option["fits"]
    assert [option["recommended"] for option in options].count(True) == 1
    assert next(option for option in options if option["recommended"])["fits"]
    assert document["short_of"] == []


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("columns", [60, 80, 96])
def test_the_page_tells_changes_ways_out_and_what_to_weigh(
    strong_beer_on_the_small_one: Adaptation, columns: int, units: str
) -> None:
    page = adapt_page(strong_beer_on_the_small_one, width=columns, system=units).as_text()
    assert max(len(line) for line in page.splitlines()) <= columns
    assert "Lantern Street 48 → Lantern Street 28" in page
    for option in strong_beer_on_the_small_one.options:
        assert option.name in " ".join(page.split())
    order = [
        page.index(part)
        for part in ("What changed, and why", "ways out", "Recommended:", "There and here", "To weigh", "The day")
    ]
    assert order == sorted(order)


def test_the_written_file_plans_to_the_promised_figures(run: Run, ready: Path) -> None:
    out = ready / "restated.toml"
    promised = adapted(run, ready, "--out", out, "--json")
    assert promised.code == 0
    assert out.read_text(encoding="utf-8") == promised.json["recipe"]
    assert sorted(path.name for path in ready.iterdir()) == sorted([PORTER.name, BIG.name, out.name])
    figures = run("plan", out, "--json").json["figures"]
    for name, found in promised.json["figures"].items():
        assert figures[name]["mean"] == pytest.approx(found["mean"], rel=1e-3, abs=1e-3), name


def test_a_written_file_gets_usual_rights_and_keeps_those_it_had(run: Run, ready: Path) -> None:
    out = ready / "restated.toml"
    mask = os.umask(0o022)
    try:
        assert adapted(run, ready, "--out", out).code == 0
        assert stat.S_IMODE(out.stat().st_mode) == 0o644
        out.chmod(0o600)
        assert adapted(run, ready, "--out", out).code == 0
        assert stat.S_IMODE(out.stat().st_mode) == 0o600
    finally:
        os.umask(mask)


@pytest.mark.parametrize("place", ["recipe", "brewhouse", "link", "folder", "nowhere", "nothing ordinary"])
def test_out_is_refused_where_it_would_harm(run: Run, ready: Path, place: str) -> None:
    link = ready / "link.toml"
    link.symlink_to(ready / PORTER.name)
    out = {
        "recipe": ready / PORTER.name,
        "brewhouse": ready / BIG.name,
        "link": link,
        "folder": ready,
        "nowhere": ready / "no such folder" / "out.toml",
        "nothing ordinary": Path("/dev/null"),
    }[place]
    before = {path.name: path.read_bytes() for path in ready.iterdir()}
    ran = adapted(run, ready, "--out", out)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert {path.name: path.read_bytes() for path in ready.iterdir()} == before


@pytest.mark.faults
def test_a_folder_that_may_not_be_written_is_one_sentence(
    run: Run, ready: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    ran = adapted(run, ready, "--out", ready / "restated.toml")
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert "no space left on device" in ran.err
    assert sorted(path.name for path in ready.iterdir()) == sorted([PORTER.name, BIG.name])


def test_volume_and_place_are_kept(run: Run, ready: Path) -> None:
    ran = adapted(run, ready, "--volume", "10 L", "--into", "keg", "--json")
    assert ran.code == 0
    figures = ran.json["figures"]
    assert figures["keg.volume"]["mean"] + figures["keg.left_over"]["mean"] == pytest.approx(10.0, abs=0.2)
    us = adapted(run, ready, "--volume", "2.5 gal", "--json").json["figures"]
    assert us["fermenter.volume"]["mean"] == pytest.approx(2.5 * 3.785411784, abs=0.1)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--volume", "-3 L"], "--volume"),
        (["--volume", "0 L"], "must be more than 0"),
        (["--volume", "1e9 L"], "--volume"),
        (["--volume", "nan"], "--volume"),
        (["--volume", "4 kg"], "--volume"),
        (["--into", "bucket"], "must be fermenter or keg"),
        (["--choose", "a wish"], "--choose"),
        (["--lots", str(BIG)], "stock"),
        (["--lots", "nowhere.toml"], "there is no file nowhere.toml"),
        (["--to", "nowhere.toml"], "there is no file nowhere.toml"),
        (["--instead", "moonlight for Fuggle"], "moonlight"),
        (["--instead", "nonsense"], "for"),
    ],
)
def test_what_cannot_be_is_one_sentence(run: Run, ready: Path, options: list[str], said: str) -> None:
    ran = adapted(run, ready, *options)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert said in ran.err


def test_all_faults_come_together(run: Run, ready: Path) -> None:
    ran = run("adapt", ready / "gone.toml", "--to", ready / "lost.toml", "--volume", "5 kg", "--into", "hat")
    assert ran.code == 2
    assert len(ran.faults) == 4


def test_no_way_out_is_refused_with_the_largest_possible(run: Run, tmp_path: Path) -> None:
    pot = tmp_path / "cup.toml"
    text = (EXAMPLES / "kitchen-bag.toml").read_text(encoding="utf-8")
    pot.write_text(text.replace('"15 L"', '"4 L"').replace('"4 kg"', '"0.3 kg"'), encoding="utf-8")
    out = tmp_path / "out.toml"
    ran = run("adapt", BEER, "--to", pot, "--out", out)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert not out.exists()


def test_the_author_stays_the_author(run: Run, ready: Path) -> None:
    out = ready / "restated.toml"
    assert adapted(run, ready, "--out", out).code == 0
    before, after = read_recipe(ready / PORTER.name), read_recipe(out)
    assert after.name == before.name
    assert [line.what for line in after.grist] == [line.what for line in before.grist]
