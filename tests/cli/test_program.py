"""The program's door: exit codes, sentences, pipes, interruptions."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

import gyle
from gyle.cli import main
from gyle.cli.paper import Cell, Ink, Page

from .conftest import EXAMPLES, Run

BEER = EXAMPLES / "copper-beacon.toml"
BIG = EXAMPLES / "lantern-street-48.toml"


def in_a_process(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "gyle", *map(str, arguments)]


def test_version_and_help(run: Run) -> None:
    ran = run("--version")
    assert (ran.code, ran.out, ran.err) == (0, f"gyle {gyle.__version__}\n", "")
    ran = run("--help")
    assert ran.code == 0
    for command in ("plan", "adapt", "water", "ledger", "serve", "demo"):
        assert command in ran.out
        assert run(command, "--help").code == 0
    assert run().out == ran.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["brew"], "no such command 'brew'"),
        (["plam"], "plan"),
        (["plan"], "missing argument 'RECIPE'"),
        (["plan", "a.toml", "b.toml"], "b.toml"),
        (["plan", "a.toml", "--colour", "blue"], "no such option: --colour"),
        (["plan", "a.toml", "--units", "imperial"], "write metric or us"),
        (["plan", "a.toml", "--sources"], "--sources"),
        (["adapt", "a.toml"], "--to"),
        (["ledger", "extra"], "extra"),
        (["--wrong"], "--wrong"),
        (["plan", "no\x1b[31mfile.toml"], "there is no file"),
        (["plan", "nul\0.toml"], "no name can hold"),
        (["plan", ""], ""),
    ],
)
def test_a_wrong_command_line_is_one_sentence(run: Run, arguments: list[str], said: str) -> None:
    ran = run(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert ran.err.startswith("gyle: ")
    assert said in ran.err
    assert "\x1b" not in ran.err


def test_every_fault_of_a_file_is_on_its_own_line(run: Run, tmp_path: Path) -> None:
    text = BEER.read_text(encoding="utf-8").replace('"66 °C"', '"66 L"').replace('"75 min"', '"75 kg"')
    (tmp_path / "wrong.toml").write_text(text, encoding="utf-8")
    ran = run("plan", tmp_path / "wrong.toml", "--brewhouse", BIG)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) >= 3
    assert all("line" in fault for fault in ran.faults if "°C" in fault or "min" in fault)
    assert "Traceback" not in ran.err


@pytest.mark.faults
def test_an_interruption_is_quiet(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("gyle.decide.plan.plan", interrupted)
    ran = run("plan", BEER)
    assert (ran.code, ran.out, ran.err) == (130, "", "gyle: stopped\n")


@pytest.mark.faults
def test_a_fault_of_ours_is_owned_and_shown_on_request(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("secret")

    monkeypatch.setattr("gyle.decide.plan.plan", broken)
    ran = run("plan", BEER)
    assert (ran.code, ran.out) == (1, "")
    assert len(ran.faults) == 1
    assert "fault of gyle" in ran.err
    assert "Traceback" not in ran.err
    monkeypatch.setenv("GYLE_TRACE", "1")
    with pytest.raises(RuntimeError, match="secret"):
        main(["plan", str(BEER)])


@pytest.mark.faults
def test_nobody_reading_is_quiet() -> None:
    with subprocess.Popen(
        in_a_process("plan", BEER, "--json"), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        said = running.stderr.read()
        code = running.wait()
    assert said == b""
    assert code == 141


@pytest.mark.faults
def test_a_full_disk_is_one_sentence() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no device here is always full")
    with open("/dev/full", "w", encoding="utf-8") as full:
        ran = subprocess.run(in_a_process("plan", BEER), stdout=full, stderr=subprocess.PIPE, check=False)
    assert ran.returncode == 2
    assert ran.stderr.decode() == "gyle: no space left on device\n"


def test_a_terminal_without_our_letters_gets_its_own() -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "COLUMNS": "80"}
    ran = subprocess.run(in_a_process("plan", BEER), capture_output=True, env=environment, check=False)
    assert ran.returncode == 0
    assert ran.stderr == b""
    page = ran.stdout.decode("ascii")
    assert "|---*---|" in page
    assert "?" not in page


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    encoding = "utf-8"  # type: ignore[assignment]

    def isatty(self) -> bool:
        return True


def sample(colour: str = "#c86400") -> Page:
    page = Page(80)
    page.line(Ink("words ", "strong"), Ink("   ", f"swatch {colour}"))
    page.row(Cell("a cell that is too long for its column", 12), Ink(" "), Cell("7", 4, "aim", right=True))
    return page


def shown(monkeypatch: pytest.MonkeyPatch, colour: str, **environment: str) -> str:
    # A style is rendered once in a process, so every kind of terminal gets a colour of its own here.
    for name in ("NO_COLOR", "FORCE_COLOR", "COLORTERM", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    terminal = Terminal()
    sample(colour).show(terminal)
    return terminal.getvalue()


def test_a_terminal_gets_the_colour_it_can_show(monkeypatch: pytest.MonkeyPatch) -> None:
    true = shown(monkeypatch, "#c86400", TERM="xterm-256color", COLORTERM="truecolor")
    assert "\x1b[48;2;200;100;0m" in true
    fewer = shown(monkeypatch, "#c86401", TERM="xterm-256color")
    assert "48;5;" in fewer
    assert "48;2;" not in fewer
    for environment in ({"TERM": "xterm-256color", "COLORTERM": "truecolor", "NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert "48;" not in shown(monkeypatch, "#c86402", **environment)


def test_a_pipe_gets_the_same_words_without_colour() -> None:
    out = io.StringIO()
    sample().show(out)
    assert out.getvalue() == (
        "words\n           │ a cell that     7\n           │ is too long\n           │ for its\n           │ column\n"
    )


def test_completion_knows_commands_and_figures() -> None:
    def completed(words: str, place: int) -> list[str]:
        environment = {
            **os.environ,
            "_GYLE_COMPLETE": "complete_bash",
            "COMP_WORDS": words,
            "COMP_CWORD": str(place),
        }
        program = "import sys; from gyle.cli import main; sys.exit(main())"
        ran = subprocess.run([sys.executable, "-c", program], capture_output=True, env=environment, check=False)
        return ran.stdout.decode().split()

    assert completed("gyle pl", 1) == ["plan"]
    assert "kettle.full.gravity" in completed("gyle plan x.toml --sources kettle", 4)


def test_the_quick_ways_load_nothing_heavy() -> None:
    program = (
        "import sys; from gyle.cli import main; main(['--help']);"
        " sys.stderr.write(' '.join(name for name in ('numpy', 'rich', 'tomlkit', 'attr') if name in sys.modules))"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert ran.stderr == b""
    program = (
        f"import sys; from gyle.cli import main; main(['plan', {str(BEER)!r}]);"
        " sys.stderr.write(' '.join(name for name in ('rich', 'tomlkit', 'scipy', 'pint') if name in sys.modules))"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert ran.stderr == b""
