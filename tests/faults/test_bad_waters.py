"""Waters that cannot be, or that cannot be had: one clear sentence each, and nothing a terminal would obey."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from gyle.cli import main

pytestmark = pytest.mark.faults

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
HARD, SOFT, BEER = EXAMPLES / "water-hard.toml", EXAMPLES / "water-soft.toml", EXAMPLES / "tram-depot.toml"
# A whole report but for its alkalinity; with 4.05 mEq/L of it the charges balance.
IONS = (
    "calcium = 80\nmagnesium = 10\nsodium = 12\npotassium = 2\nsulfate = 30\nchloride = 20\nnitrate = 10\nph = 7.5\n"
    'hardness = "13.5 °dH"\n'
)


class Ran(NamedTuple):
    code: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command in this process."""
    monkeypatch.delenv("GYLE_TRACE", raising=False)
    monkeypatch.setenv("COLUMNS", "80")

    def running(*arguments: str | Path) -> Ran:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        return Ran(code, *capsys.readouterr())

    return running


@pytest.fixture
def report(tmp_path: Path) -> Callable[[str], Path]:
    """A report written to a file of its own."""

    def written(text: str, name: str = "tap.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return written


def recipe(folder: Path, old: str, new: str) -> Path:
    """The pale hoppy ale with one line otherwise, its brewhouse beside it."""
    text = BEER.read_text(encoding="utf-8")
    assert old in text
    path = folder / "beer.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    (folder / "lantern-street-48.toml").write_bytes((EXAMPLES / "lantern-street-48.toml").read_bytes())
    return path


def flat(text: str) -> str:
    return " ".join(text.replace("│", " ").split())


# --- refused: exit 2, one sentence, nothing printed ---------------------------------------------------------------

REFUSED = [
    pytest.param("ph = 0\ncalcium = 20\n", "ph is 0, which is not between 3 and 12 pH", id="pH 0"),
    pytest.param("calcium = -5\n", '"-5" cannot be a concentration: it must be at least 0 mg/L', id="negative"),
    pytest.param("calcium = 1e9\n", "calcium is 1000000000.0, which is not between 0 and 5000 mg/L", id="absurd"),
    pytest.param('calcium = "1e9 mg/L"\n', "not between 0 and 5000 mg/L", id="absurd text"),
    pytest.param("calcium = inf\n", "is no quantity", id="infinite"),
    pytest.param("calcium = nan\n", "is no quantity", id="no number"),
    pytest.param("calcium = \n", "line 1", id="malformed"),
    pytest.param("calcium = 20\ncalcium = 30\n", "line 2: a key stands here a second time", id="twice"),
    pytest.param('calcium = "5 kg"\n', "is a mass, not a concentration", id="another dimension"),
    pytest.param("calcum = 20\nmagnesium = 5\n", "perhaps calcium is meant", id="misspelt"),
    pytest.param("", "is empty", id="empty"),
    pytest.param(
        IONS + 'acid_capacity = "4 mmol/L"\nalkalinity = "300 ppm as CaCO3"\ncarbonate_hardness = "5 °dH"\n',
        "the alkalinity is stated in 3 ways of which no two agree",
        id="three alkalinities",
    ),
    pytest.param('name = "' + "w" * 9000 + '"\ncalcium = 20\n', "name is longer than 120 characters", id="long name"),
]


@pytest.mark.parametrize(("text", "says"), REFUSED)
@pytest.mark.parametrize("command", ["water --from", "water --to", "plan --water"])
def test_a_report_that_cannot_be_is_one_sentence(
    run: Run, report: Callable[[str], Path], command: str, text: str, says: str
) -> None:
    path = report(text)
    arguments = {
        "water --from": ["water", "--from", path],
        "water --to": ["water", "--from", SOFT, "--to", path],
        "plan --water": ["plan", BEER, "--water", path],
    }[command]
    ran = run(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.err.splitlines()) == 1
    assert ran.err.startswith("gyle: ")
    assert says in ran.err
    assert len(ran.err) < 600


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("calcium = 110", "calcium = -110", "it must be at least 0 mg/L"),
        ("calcium = 110", "calcium = 1e9", "calcium is 1000000000.0, which is not between 0 and 3000 mg/L"),
        ("calcium = 110", "calcium = nan", "calcium"),
        ("mash_ph = 5.35", "mash_ph = 0", "mash_ph is 0"),
        ("mash_ph = 5.35", "mash_ph = 14", "mash_ph is 14"),
        ("sulfate = 180", "sulphate = 180", "perhaps sulfate is meant"),
        ("chloride = 50", 'chloride = 50\ndilution = "160 %"', "dilution"),
        ("chloride = 50", 'chloride = 50\ndilution = "-5 %"', "dilution"),
    ],
)
def test_a_wish_that_cannot_be_is_one_sentence(run: Run, tmp_path: Path, old: str, new: str, says: str) -> None:
    path = recipe(tmp_path, old, new)
    for arguments in (["water", "--from", SOFT, "--recipe", path], ["plan", path, "--water", SOFT]):
        ran = run(*arguments)
        assert (ran.code, ran.out) == (2, "")
        assert len(ran.err.splitlines()) == 1
        assert says in ran.err


def test_what_is_no_report_is_one_sentence(run: Run, tmp_path: Path) -> None:
    for path, says in (
        (BEER, "tram-depot.toml is a recipe, and a water report was wanted"),
        (EXAMPLES / "lantern-street-28.toml", "lantern-street-28.toml is a brewhouse"),
        (EXAMPLES / "lantern-street-stock.toml", "lantern-street-stock.toml is a stock file"),
        (tmp_path / "gone.toml", "there is no file gone.toml"),
        (tmp_path, "is a folder"),
    ):
        ran = run("water", "--from", path, "--recipe", BEER)
        assert (ran.code, ran.out) == (2, "")
        assert len(ran.err.splitlines()) == 1
        assert says in ran.err
    (tmp_path / "image.toml").write_bytes(b"\x89PNG\r\n\x00\x01")
    ran = run("water", "--from", tmp_path / "image.toml")
    assert (ran.code, ran.out) == (2, "")
    assert "binary" in ran.err


# --- told, not refused --------------------------------------------------------------------------------------------


def test_a_charge_balance_forty_per_cent_off_names_the_suspect(run: Run, report: Callable[[str], Path]) -> None:
    path = report(IONS + 'alkalinity = "2.24 mEq/L"\n')
    ran = run("water", "--from", path, "--json")
    assert (ran.code, ran.err) == (0, "")
    document = json.loads(ran.out)
    assert document["report"]["balance_percent"] == pytest.approx(40.0, abs=0.5)
    assert document["report"]["acceptable"] is False
    (note,) = (note for note in document["notes"] if "charge balance is off" in note)
    assert "question alkalinity first: 4.04 mEq/L instead of 2.24 mEq/L" in note
    assert "nothing was changed" in note
    page = flat(run("water", "--from", path).out)
    assert "more than usual: see below" in page
    assert "question alkalinity first" in page
    # It goes with every plan that is made of it.
    assert "question alkalinity first" in flat(run("plan", BEER, "--water", path).out)
    assert "question alkalinity first" in flat(run("water", "--from", path, "--recipe", BEER).out)


@pytest.mark.parametrize(
    ("wish", "gap"),
    [
        ("calcium = 200\nmagnesium = 0\nsodium = 0\nsulfate = 0\nchloride = 0\n", "positive"),
        ("calcium = 0\nmagnesium = 0\nsodium = 0\nsulfate = 300\nchloride = 200\n", "negative"),
    ],
    ids=["no anions", "no cations"],
)
def test_a_wish_without_counter_ions_cannot_be_had(
    run: Run, report: Callable[[str], Path], wish: str, gap: str
) -> None:
    ran = run("water", "--from", "reverse osmosis", "--to", report(wish), "--json")
    assert (ran.code, ran.err) == (0, "")
    document = json.loads(ran.out)
    assert max(miss["tolerances"] for miss in document["misses"]) > 3.0
    (note,) = (note for note in document["notes"] if "cannot be had together" in note)
    assert f"more {gap} charge than what is at hand can balance" in note


def test_three_alkalinities_of_which_two_agree_are_told(run: Run, report: Callable[[str], Path]) -> None:
    path = report(IONS + 'acid_capacity = "6.0 mmol/L"\nalkalinity = "202 ppm as CaCO3"\nbicarbonate = 246\n')
    ran = run("water", "--from", path, "--json")
    assert (ran.code, ran.err) == (0, "")
    document = json.loads(ran.out)
    assert document["report"]["alkalinity_mEq_L"] == pytest.approx(4.04, abs=0.01)
    assert any("acid_capacity says" in note for note in document["notes"])


def test_as_much_of_everything_as_a_report_can_say_is_still_answered(run: Run, report: Callable[[str], Path]) -> None:
    brine = report(
        "calcium = 4000\nmagnesium = 900\nsodium = 4900\npotassium = 900\nsulfate = 4900\nchloride = 4900\n"
        'nitrate = 900\nph = 6.3\nacid_capacity = "50 mmol/l"\n'
    )
    ran = run("water", "--from", brine, "--recipe", BEER, "--json")
    assert ran.code == 0, ran.err
    document = json.loads(ran.out)
    assert document["dilution"]["share"] >= 0.95
    assert any("above the guide value" in caution for caution in document["cautions"])
    plain = run("plan", BEER, "--water", brine, "--json")
    assert plain.code in (0, 2)
    assert len(plain.err.splitlines()) <= 1
    assert "fault of gyle" not in plain.err


def test_a_figure_that_stands_alone_is_a_water_of_wide_bands(run: Run, report: Callable[[str], Path]) -> None:
    ran = run("water", "--from", report("calcium = 40\n"), "--recipe", BEER, "--json")
    assert ran.code == 0
    document = json.loads(ran.out)
    assert {"magnesium", "sodium", "alkalinity", "ph"} <= set(document["report"]["estimated"])
    assert any("Not in the report" in note for note in document["notes"])
    narrow = json.loads(run("water", "--from", SOFT, "--recipe", BEER, "--json").out)

    def span(found: dict[str, float]) -> float:
        return found["high"] - found["low"]

    assert span(document["ph"]["mash"]) > span(narrow["ph"]["mash"])
    assert span(document["ions"]["sodium"]) > 3.0 * span(narrow["ions"]["sodium"])
    page = flat(run("water", "--from", report("calcium = 40\n")).out)
    assert "no check, since figures are missing" in page


# --- text that means harm -----------------------------------------------------------------------------------------

HOSTILE = r"Red \u001b[31m\u0007\u009b2J\u202e\u0000"


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_name_cannot_command_the_terminal(run: Run, report: Callable[[str], Path], units: str) -> None:
    path = report(f'name = "{HOSTILE.removesuffix(chr(92) + "u0000")} {"w" * 80}"\ncalcium = 20\nchloride = 30\n')
    for more in ([], ["--recipe", BEER], ["--json"]):
        ran = run("water", "--from", path, *more, "--units", units)
        assert ran.code == 0, ran.err
        for character in "\x1b\x07\x9b\x00":
            assert character not in ran.out + ran.err
        if not more:
            assert "\u202e" not in ran.out
            assert max(len(line) for line in ran.out.splitlines()) <= 80


@pytest.mark.parametrize("option", ["--from", "--to", "--recipe", "--acid", "--without", "--scale", "--volume"])
def test_an_argument_cannot_command_the_terminal(run: Run, option: str) -> None:
    hostile = "\x1b[31m\x07" + "x" * 5000 + "\n\r"
    given = [] if option == "--from" else ["--from", SOFT]
    ran = run("water", *given, option, hostile)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.err.splitlines()) == 1
    assert "\x1b" not in ran.err
    assert "\x07" not in ran.err
    assert len(ran.err) < 1000


def test_hostile_keys_and_values_are_told_in_plain_text(run: Run, report: Callable[[str], Path]) -> None:
    for text in (
        r'"\u001b[31mcalcium" = 20' + "\n",
        r'calcium = "\u001b[2J 20"' + "\n",
        'calcium = "' + "9" * 3000 + ' mg/L"\n',
        'conductivity = "' + "x" * 100_000 + '"\ncalcium = 20\n',
    ):
        ran = run("water", "--from", report(text))
        assert (ran.code, ran.out) == (2, "")
        assert "\x1b" not in ran.err
        assert all(len(line) < 600 for line in ran.err.splitlines())
