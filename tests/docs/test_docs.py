"""What is there is said, what is said is there, and what a page shows is what the program prints."""

from __future__ import annotations

import html
import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import shown
import typer.main

from gyle.beer.brewhouse import KINDS
from gyle.beer.brewhouse_reading import CHILLS, DRAINS, FIGURE_KEYS, HEATS, SPARGES
from gyle.beer.figures import BITTERNESS_FIGURE, short_names
from gyle.beer.reading import brewhouse_from_text, read_stock, read_water, recipe_from_text
from gyle.beer.section import Section
from gyle.beer.timing_text import FORMS, read_at
from gyle.books.draft_rows import MOST_STEPS
from gyle.books.examples import examples
from gyle.books.wording import NAME_LENGTH
from gyle.cli.commands import app
from gyle.decide.knobs import Knobs
from gyle.errors import BadInput
from gyle.line.figures import FIGURES
from gyle.science import extract
from gyle.science.evaporation import evaporation_bound_L_h
from gyle.web.server import LOOPBACK_HOSTS, PORT

ROOT = shown.ROOT
CONTRACTS = (ROOT / "docs" / "contracts.md").read_text(encoding="utf-8")
PAGES = {page: page.read_text(encoding="utf-8") for page in shown.pages()}
EVERYTHING = "\n".join(PAGES.values())

# One of every table a reader knows, so that it asks for every key it knows.
WHOLE_RECIPE = """
gyle = 1
name = "All of it"
volume = "20 L"
[aim]
original_gravity = "1.050"
bitterness = "30 IBU"
[printed]
alcohol = "5 %"
[[grist]]
what = "pale ale malt"
share = "100 %"
[[mash]]
temperature = "66 °C"
time = "60 min"
[sparge]
temperature = "76 °C"
[boil]
time = "60 min"
[[hops]]
what = "Magnum"
at = "boil 60 min"
[[other]]
what = "Irish moss"
mass = "5 g"
at = "boil 15 min"
[yeast]
what = "clean ale yeast"
[[fermentation]]
temperature = "18 °C"
[package]
carbonation = "2.4 vol"
[water]
calcium = 50
"""
WHOLE_BREWHOUSE = """
kind = "electric all-in-one"
[mash]
vessel = "30 L"
[kettle]
vessel = "30 L"
[chill]
to = "20 °C"
[chill.stand]
by = "immersion"
[fermenter]
vessel = "30 L"
[keg]
vessel = "19 L"
[learned]
colour = 1.0
[habit]
brewhouse_efficiency = "70 %"
"""
STOCK = '[[have]]\nwhat = "Cascade"\n[[instrument]]\nname = "hydrometer"\nerror = "0.001 SG"\n'


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Every key that a reader asks for from here on."""
    keys: set[str] = set()
    plain = Section.raw

    def raw(self: Section, key: str) -> Any:
        if all(isinstance(step, int) or step not in ("value",) for step in self.address):
            keys.add(key)
        return plain(self, key)

    monkeypatch.setattr(Section, "raw", raw)
    return keys


def named_in_contracts(key: str) -> bool:
    """Whether a key stands in the contract: in code, as a key of a file, or in a list of them."""
    return re.search(rf"(?<![\w.]){re.escape(key)}(?![\w])", CONTRACTS) is not None


def test_every_recipe_key_is_in_the_contract(asked: set[str]) -> None:
    recipe_from_text(WHOLE_RECIPE)
    assert {"held_back", "squeeze", "form", "bitterness_by", "ramp", "allergen", "potassium"} <= asked
    assert [key for key in sorted(asked) if not named_in_contracts(key)] == []


def test_every_brewhouse_key_is_in_the_contract(asked: set[str]) -> None:
    brewhouse_from_text(WHOLE_BREWHOUSE)
    assert {key.key for key in FIGURE_KEYS} <= asked
    assert [key for key in sorted(asked) if not named_in_contracts(key)] == []


def test_every_water_and_stock_key_is_in_the_contract(asked: set[str], tmp_path: Path) -> None:
    water, stock = tmp_path / "water.toml", tmp_path / "stock.toml"
    water.write_text('calcium = 20\nalkalinity = "100 mg/L"\n', encoding="utf-8")
    stock.write_text(STOCK, encoding="utf-8")
    read_water(water)
    read_stock(stock)
    assert {"nitrate", "base_capacity", "analysed", "offset"} <= asked
    assert [key for key in sorted(asked) if not named_in_contracts(key)] == []


@pytest.mark.parametrize(
    "word", [*KINDS, *DRAINS, *SPARGES, *HEATS, *CHILLS, *BITTERNESS_FIGURE, "force", "priming", "closed early"]
)
def test_every_word_of_choice_is_in_the_contract(word: str) -> None:
    assert f'"{word}"' in CONTRACTS


def test_every_short_name_is_in_the_contract() -> None:
    assert [name for name in (*short_names(), "bitterness") if f"`{name}`" not in CONTRACTS] == []


def test_every_form_of_at_is_in_the_contract_and_reads() -> None:
    grammar = re.search(r"`at` has one grammar.*", CONTRACTS)
    assert grammar is not None
    told = re.findall(r'`"([^"`]+)"`', grammar[0])
    assert told == list(FORMS)
    for form in told:
        read_at(form)


def spelled_out(text: str) -> set[str]:
    """Names of figures in a text, `kettle.end.volume|gravity` taken apart."""
    found: set[str] = set()
    for name in re.findall(r"`([a-z]+(?:\.[a-z_|]+)+)`", text):
        front, _, last = name.rpartition(".")
        found |= {f"{front}.{one}" for one in last.split("|")}
    return found


def test_every_figure_is_in_the_contract() -> None:
    assert set(FIGURES) - spelled_out(CONTRACTS) == set()


def test_the_contract_names_no_other_figure() -> None:
    told = re.search(r"\*\*Figures\*\*.*?(?=\nBeyond these)", CONTRACTS, re.DOTALL)
    assert told is not None
    not_yet = {name for name in spelled_out(told[0]) if name.startswith("water.")}
    assert spelled_out(told[0]) - not_yet - set(FIGURES) == set()


def test_every_station_of_the_vocabulary_is_in_the_documents() -> None:
    stations = {name.split(".")[0] for name in FIGURES} | {"water"}
    science = PAGES[ROOT / "docs" / "science.md"].casefold()
    assert [station for station in stations - {"line"} if station not in science] == []


def options() -> list[tuple[str, str]]:
    """Every command and each of its long options."""
    group = typer.main.get_command(app)
    assert hasattr(group, "commands")
    found = [("", option) for parameter in group.params for option in parameter.opts]
    for name, command in group.commands.items():
        found += [(name, ""), *((name, option) for parameter in command.params for option in parameter.opts)]
    return [(command, option) for command, option in found if option == "" or option.startswith("--")]


@pytest.mark.parametrize(("command", "option"), options())
def test_every_command_and_option_is_in_the_documents(command: str, option: str) -> None:
    if option:
        assert option in EVERYTHING
    if command:
        assert f"`gyle {command}" in CONTRACTS
        assert f"gyle {command}" in EVERYTHING


def test_every_way_out_is_in_the_documents() -> None:
    every = Knobs(
        thick=True,
        squeeze=True,
        double=True,
        gyles=2,
        held_back_L=1.0,
        top_up_L=1.0,
        sugar_g_L=1.0,
        malt_extract_g_L=1.0,
        boil_extra_min=1.0,
        volume_share=0.9,
    )
    names = every.name.split(" + ")
    page = PAGES[ROOT / "docs" / "how-to" / "when-it-does-not-fit.md"]
    assert len(names) == 10
    assert [name for name in names if f"`{name}`" not in CONTRACTS or f"| {name} |" not in page] == []


CAUTIONS = {
    "water": ("acid into water", "hypochlorite", "lime", "sulfite", "guide value"),
    "mash": ("dust",),
    "lauter": ("heavy", "lift"),
    "kettle": ("hot break", "mains electricity", "sugar", "carbon monoxide"),
    "stand": ("scald",),
    "fermenter": ("carbon dioxide", "diastatic"),
    "keg": ("pressure",),
    "glass": ("strong", "allergen"),
}


@pytest.mark.parametrize("station", CAUTIONS)
def test_cautions_of_every_station_are_said(station: str) -> None:
    page = PAGES[ROOT / "docs" / "cautions.md"].casefold()
    heading = re.search(rf"\| {station} \|.*", page)
    assert heading is not None
    assert [word for word in CAUTIONS[station] if word not in heading[0]] == []


def test_every_station_that_cautions_is_in_the_table() -> None:
    text = (ROOT / "src" / "gyle" / "line" / "cautions.py").read_text(encoding="utf-8")
    told = set(re.findall(r'say\(\s*"(\w+)"', text)) | set(re.findall(r'station="(\w+)"', text))
    assert told
    assert told <= set(CAUTIONS)


LINK = re.compile(r"\]\(([^()\s]+)\)")


def anchors(text: str) -> set[str]:
    """What a heading is called in a link."""
    bare = re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE)
    heads = re.findall(r"^#+ (.+)$", bare, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).strip().replace(" ", "-") for head in heads}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_link_leads_somewhere(page: Path) -> None:
    broken = []
    for link in LINK.findall(PAGES[page]):
        if link.startswith(("http:", "https:", "mailto:")):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        if not target.exists() or (anchor and anchor not in anchors(target.read_text(encoding="utf-8"))):
            broken.append(link)
    assert broken == []


SHOWN = re.compile(r'!\[([^\]]*)\]\(([^()\s]+)\)|<img src="([^"]+)" width="\d+" alt="([^"]*)">')
PICTURES = ROOT / "docs" / "pictures"
LARGEST_PICTURE = 200_000  # bytes


def pictures(page: Path) -> list[tuple[Path, str]]:
    """Each picture of a page and the words that stand for it."""
    return [
        ((page.parent / (one or other)).resolve(), words or other_words)
        for words, one, other, other_words in SHOWN.findall(PAGES[page])
    ]


def test_every_picture_is_there_and_is_told_in_words() -> None:
    told = [(page.name, path, words) for page in PAGES for path, words in pictures(page)]
    assert len({path for _, path, _ in told}) > 5
    assert [one for one in told if not one[1].is_file() or len(one[2]) < 20] == []
    assert EVERYTHING.count("<img") == sum(1 for found in SHOWN.findall(EVERYTHING) if found[2])


def test_every_picture_is_shown_is_small_and_has_a_script_that_draws_it() -> None:
    kept = {path for path in PICTURES.iterdir() if path.suffix in (".png", ".svg")}
    assert kept == {path for page in PAGES for path, _ in pictures(page)}
    scripts = "".join(script.read_text(encoding="utf-8") for script in PICTURES.glob("*.py"))
    assert [path.name for path in kept if f'"{path.stem}"' not in scripts and path.name not in scripts] == []
    large = [path.name for path in kept if path.suffix == ".png" and path.stat().st_size > LARGEST_PICTURE]
    assert large == []


def test_every_page_can_be_reached_from_the_readme() -> None:
    seen: set[Path] = set()
    to_read = [ROOT / "README.md"]
    while to_read:
        page = to_read.pop()
        if page in seen or page.suffix != ".md":
            continue
        seen.add(page)
        names = (link.partition("#")[0] for link in LINK.findall(PAGES[page]))
        to_read += [(page.parent / name).resolve() for name in names if name and "://" not in name]
    assert set(PAGES) - seen == set()


def with_sessions() -> list[Path]:
    return [page for page, text in PAGES.items() if any(isinstance(part, shown.Session) for part in shown.parts(text))]


@pytest.mark.parametrize("page", with_sessions(), ids=lambda page: str(page.relative_to(ROOT)))
def test_what_a_page_shows_is_what_is_printed(page: Path) -> None:
    faults = []
    with shown.reading_folder():
        for part in shown.parts(PAGES[page]):
            if isinstance(part, shown.Session):
                wrong = shown.fault(part.shown, shown.output(part.command))
                if wrong:
                    faults.append(f"{part.command}: {wrong}")
            else:
                Path(part[0]).write_text(part[1], encoding="utf-8")
    assert faults == [], "tests/docs/shown.py writes the present output into the pages"


def test_a_page_that_shows_something_else_is_found_out() -> None:
    printed = ["Copper Beacon", "mash  72.2 °C  70.9 ├───┼───┤ 73.5", "kettle", "glass"]
    assert shown.fault(printed, printed) == ""
    assert shown.fault(["Copper Beacon", "…", "glass"], printed) == ""
    assert shown.fault(["Copper Beacon", "mash  72.3 °C  70.9 ├──┼────┤ 73.5", "…"], printed) == ""
    assert shown.fault(["Copper Beacon", "mash  72.4 °C  70.9 ├───┼───┤ 73.5", "…"], printed)
    assert shown.fault(["Copper Beacon", "…", "keg"], printed)
    assert shown.fault(["Copper Beacon", "glass"], printed)
    assert shown.fault(["Copper Beacon"], printed)
    assert shown.fault(["mash", "…"], printed)
    assert shown.fault([], printed)


def test_the_typed_card_is_the_example() -> None:
    readme = dict(part for part in shown.parts(PAGES[ROOT / "README.md"]) if not isinstance(part, shown.Session))
    for name, text in readme.items():
        assert text == (examples() / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_command_a_page_writes_is_one(page: Path) -> None:
    known = {(command, option) for command, option in options()}
    commands = {command for command, _ in known}
    blocks = re.findall(r"^```(?:sh|console)\n(.*?)^```$", PAGES[page], re.DOTALL | re.MULTILINE)
    written = [line for block in blocks for line in re.findall(r"^(?:\$ )?(gyle [a-z].*)$", block, re.MULTILINE)]
    for line in written:
        if line.startswith("gyle ledger --all lists"):  # the program's own words
            continue
        words = shlex.split(line.split(" | ")[0].split("#")[0])
        assert words[1] in commands, line
        for word in words[2:]:
            if word.startswith("--"):
                assert (words[1], word) in known, line


def test_the_faulty_file_of_a_page_is_refused() -> None:
    page = PAGES[ROOT / "docs" / "how-to" / "write-a-recipe.md"]
    faulty = dict(part for part in shown.parts(page) if not isinstance(part, shown.Session))["faulty.toml"]
    with pytest.raises(BadInput) as told:
        recipe_from_text(faulty)
    assert len(told.value.faults) == 2


TEMPLATES = "\n".join(
    page.read_text(encoding="utf-8") for page in sorted((ROOT / "src" / "gyle" / "web" / "templates").glob("*.html"))
).replace("’", "'")

# What a document tells the reader to press or look for.
CALLED = (
    "Begin a beer",
    "From nothing",
    "From a card",
    "From a file",
    "Undo",
    "Redo",
    "why, in a line",
    "Save as version",
    "throw the edits away",
    "Brew it again",
    "Brew it elsewhere",
    "Brew it there",
    "Keep it",
    "Put it on the shelf",
    "take it as a file",
    "with the lots in store",
    "As text",
    "Brew it as written",
    "Take the file",
    "Compare",
    "or to another beer",
    "What was changed",
    "And so is weighed or drawn otherwise",
    "What it does to the figures",
    "Beyond the noise",
    "Within the noise",
    "Begin again from here",
    "Plan a gyle",
    "Plan the gyle",
    "Under way",
    "Wanted ions and doses",
    "Work out the doses",
    "Put these doses into the recipe",
    "What is in it",
    "How near that is",
    "A report",
    "Read these lines",
    "Hold its charges against each other",
    "Keep this water",
    "A new brewhouse",
    "back to its kind",
    "Back to the line",
    "Units and paper",
    "+ an aim",
)


@pytest.mark.parametrize("name", CALLED)
def test_what_a_document_calls_by_name_is_on_a_page(name: str) -> None:
    plain = " ".join(re.sub(r"<[^>]+>", "", TEMPLATES).split())
    assert name.casefold() in EVERYTHING.casefold()
    assert name.casefold() in plain.casefold() or name in TEMPLATES


def test_the_numbers_of_the_pages_are_those_of_the_program() -> None:
    limits = PAGES[ROOT / "docs" / "limits.md"]
    shaping = PAGES[ROOT / "docs" / "how-to" / "shape-a-beer-on-its-line.md"]
    assert f"a draft of up to {MOST_STEPS} edits, a name of up to {NAME_LENGTH} characters" in limits
    assert f"The last {MOST_STEPS} edits are kept" in shaping
    assert f"http://localhost:{PORT}/" in PAGES[ROOT / "README.md"]
    assert f"port {PORT}" in PAGES[ROOT / "docs" / "how-to" / "keep-your-books.md"]
    assert [host for host in LOOPBACK_HOSTS if f"`{host}`" not in limits] == []


def test_the_readme_begins_with_the_job_and_the_two_commands() -> None:
    title, job, commands = PAGES[ROOT / "README.md"].split("\n\n")[:3]
    assert title == "# gyle"
    assert "\n" not in job
    assert "band" in job
    assert re.findall(r"^make (\w+)", commands, re.MULTILINE) == ["demo", "test"]


def test_no_document_speaks_of_places_outside_the_project() -> None:
    found = re.findall(r"(?<![\w.])/(?:home|work|tmp|root|Users)\b[^\s`]*", EVERYTHING)
    assert found == []
    picture = (ROOT / "docs" / "pictures" / "line.svg").read_text(encoding="utf-8")
    assert re.findall(r"(?:url|href)\W*(?:https?:)?//", picture) == []


def test_the_checked_numbers_of_the_science_page() -> None:
    """Numbers the page states that an equation gives."""
    apart = abs(float(extract.degrees_plato(1.140) - extract.degrees_brix_nbs(1.140)))
    assert apart == pytest.approx(0.04, abs=0.005)
    page = PAGES[ROOT / "docs" / "science.md"]
    assert f"{float(evaporation_bound_L_h(1.0, 101325.0)):.1f} L/h for a kilowatt" in page
    assert f"by {apart:.2f} °P at 1.140" in page


def test_the_picture_shows_the_beer_of_the_readme() -> None:
    svg = (ROOT / "docs" / "pictures" / "line.svg").read_text(encoding="utf-8")
    words = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", svg)).split())
    summary = re.search(r"^1\.\d+ original, .*$", PAGES[ROOT / "README.md"], re.MULTILINE)
    assert summary is not None
    assert summary[0] in words
