"""Draw docs/pictures/line.svg: the line of one beer, as `gyle plan` prints it, without its cautions.

Run from the root of the checkout: .venv/bin/python docs/pictures/draw.py
"""

from __future__ import annotations

import io
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from gyle.beer.reading import read_recipe
from gyle.cli.paper import Page, _styled
from gyle.cli.plan_page import plan_page
from gyle.decide.origin import origin_of
from gyle.decide.plan import plan

ROOT = Path(__file__).resolve().parents[2]
WIDTH = 96
LETTER = (12.2, 24.4)  # how wide and high one is in such a picture
MARGIN = (24, 18)
PAPER, INK = (250, 246, 236), (38, 34, 30)
FAINT, ACCENT = (139, 127, 111), (22, 98, 110)
# The sixteen colours of a terminal; only ink, its faint shade and the one accent occur on this page.
THEME = TerminalTheme(PAPER, INK, [INK] * 6 + [ACCENT, INK], [FAINT] + [INK] * 5 + [ACCENT, INK])
SHEET = """\
<svg viewBox="0 0 VIEW" xmlns="http://www.w3.org/2000/svg">
<title>Copper Beacon on Lantern Street 48: every figure from water to glass with its band</title>
<style>
.{unique_id}-matrix {{ font-family: "DejaVu Sans Mono", Menlo, Consolas, "Liberation Mono", monospace;
  font-size: {char_height}px; line-height: {line_height}px; font-variant-east-asian: full-width; }}
{styles}
</style>
<defs>{lines}</defs>
<rect width="100%" height="100%" rx="6" fill="#faf6ec"/>
<g transform="translate(24, 18)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def the_line() -> Page:
    """The head of the page and its part from water to glass."""
    recipe = read_recipe(ROOT / "examples" / "lantern-street" / "copper-beacon.toml")
    house, _ = origin_of(recipe)
    whole = plan_page(plan(recipe, house), width=WIDTH, system="metric")
    words = ["".join(ink.text for ink in line) for line in whole.lines]
    begin = next(place for place, line in enumerate(words) if line.startswith("The line"))
    end = next(place for place, line in enumerate(words) if line.startswith("Worth knowing"))
    head = next(place for place, line in enumerate(words) if line.startswith("To weigh"))
    page = Page(WIDTH)
    page.lines = [*whole.lines[: head - 1], [], *whole.lines[begin : end - 1]]
    page.lines = [line for line in page.lines if not any(ink.kind == "caution" for ink in line)]
    return page


def main() -> None:
    """Write the picture."""
    console = Console(record=True, width=WIDTH, file=io.StringIO(), force_terminal=True, color_system="truecolor")
    lines = the_line().lines
    for line in lines:
        console.print(_styled(line, Text()), soft_wrap=True)
    svg = console.export_svg(title="", theme=THEME, code_format=SHEET, unique_id="line")
    wide, high = WIDTH * LETTER[0] + 2 * MARGIN[0], len(lines) * LETTER[1] + 2 * MARGIN[1]
    svg = svg.replace("VIEW", f"{wide:.0f} {high:.0f}")
    text = "\n".join(line.rstrip() for line in svg.splitlines()) + "\n"
    (ROOT / "docs" / "pictures" / "line.svg").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
