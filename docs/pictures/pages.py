"""Draw the pictures of the pages: docs/pictures/*.png, from Lantern Street in a new store, by the system's Chromium.

Run from the root of the checkout, where the packages of the tests are: .venv/bin/python docs/pictures/pages.py
A name or several (`line`, `water`) draw those alone.
"""

from __future__ import annotations

import base64
import contextlib
import os
import shutil
import struct
import sys
import tempfile
import threading
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import open_file
from gyle.web.app import create_app
from gyle.web.server import listening

FOLDER = Path(__file__).parent
CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium")
LAUNCH = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--font-render-hinting=none")
BEER, HOUSE = "/beers/copper-beacon", "/brewhouses/lantern-street-48"
MARGIN = 12
SHADES = 256  # of a picture
PIXELS = """async text => {
  const bytes = Uint8Array.from(atob(text), letter => letter.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], {type: "image/png"}));
  const paper = new OffscreenCanvas(image.width, image.height).getContext("2d");
  paper.drawImage(image, 0, 0);
  const seen = paper.getImageData(0, 0, image.width, image.height).data;
  let row = "";
  for (let at = 0; at < seen.length; at += 8190) row += String.fromCharCode(...seen.subarray(at, at + 8190));
  return [image.width, image.height, btoa(row)];
}"""


def line(page: Page) -> tuple[float, float]:
    """The line of a beer, as far as its cautions."""
    page.goto(BEER)
    return 0.0, top_of(page, ".station.mash .cautions")


def phone(page: Page) -> tuple[float, float]:
    """The same on a phone, on dark paper, where water becomes wort."""
    page.goto(BEER)
    mash = top_of(page, ".station.mash")
    return mash - 150, top_of(page, ".station.mash .cautions")


def adapt(page: Page) -> tuple[float, float]:
    """The line there and here, and the ways out."""
    page.goto(f"{BEER}/adapt")
    page.get_by_label("to the brewhouse").select_option(label="Lantern Street 28")
    page.get_by_role("button", name="Brew it there").click()
    page.get_by_text("Keep it").wait_for()
    return 0.0, top_of(page, ".station.mash .cautions")


def water(page: Page) -> tuple[float, float]:
    """A water treated."""
    page.goto(f"{BEER}/water")
    page.get_by_label("water", exact=True).select_option(label="Soft water")
    page.get_by_role("button", name="Work out the doses").click()
    page.get_by_text("Alkalinity 0.54 mEq/L; residual").wait_for()
    return 0.0, top_of(page, "#wish .last") - 4


def dip_sticks(page: Page) -> tuple[float, float]:
    """A brewhouse's vessels with a beer in them."""
    page.goto(HOUSE)
    return 0.0, top_of(page, "section.every")


def compare(page: Page) -> tuple[float, float]:
    """Two versions held against each other."""
    page.goto(f"{BEER}/compare?old=1&new=2")
    return 0.0, top_of(page, ".differences tbody:nth-of-type(4)")


WIDE = {"viewport": {"width": 1280, "height": 900}, "color_scheme": "light"}
HAND = {"viewport": {"width": 360, "height": 740}, "color_scheme": "dark", "device_scale_factor": 2, "is_mobile": True}
PICTURES: dict[str, tuple[Callable[[Page], tuple[float, float]], dict[str, object]]] = {
    "line": (line, WIDE),
    "line-on-a-phone": (phone, HAND),
    "adapt": (adapt, WIDE),
    "water": (water, WIDE),
    "dip-sticks": (dip_sticks, WIDE),
    "compare": (compare, WIDE),
}


def top_of(page: Page, selector: str) -> float:
    """How far down a part of a page begins."""
    return float(page.eval_on_selector(selector, "one => one.getBoundingClientRect().top + scrollY"))


@contextlib.contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve Lantern Street from a new store in this process; give the address."""
    with contextlib.closing(open_file(folder / "gyle.db")) as store, listening("127.0.0.1", 0) as taken:
        load_lantern_street(store)
        settings = uvicorn.Config(create_app(store), log_level="warning", access_log=False, lifespan="off")
        server = uvicorn.Server(settings)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]})
        thread.start()
        try:
            yield f"http://127.0.0.1:{taken.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join()


def drawn(context: BrowserContext, show: Callable[[Page], tuple[float, float]]) -> bytes:
    """Take a picture of the stretch of a page that is shown."""
    page = context.new_page()
    top, bottom = show(page)
    page.wait_for_load_state("networkidle")
    wide = page.viewport_size["width"] if page.viewport_size else 1280
    clip = {"x": 0, "y": max(top - MARGIN, 0), "width": wide, "height": bottom - max(top - MARGIN, 0)}
    return page.screenshot(full_page=True, clip=clip, animations="disabled")


def in_few_shades(browser: Browser, picture: bytes) -> bytes:
    """Write a picture anew with a palette, which takes less than half the room."""
    page = browser.new_page()
    width, height, seen = page.evaluate(PIXELS, base64.b64encode(picture).decode())
    page.close()
    pixels = np.frombuffer(base64.b64decode(seen), np.uint8).reshape(-1, 4)[:, :3].astype(np.int32)
    colours, which, counts = np.unique(pixels @ (65536, 256, 1), return_inverse=True, return_counts=True)
    each = np.stack([colours >> 16, colours >> 8 & 255, colours & 255], axis=1)
    # The commonest shade first, then always the one that most of the picture would miss most.
    chosen, missed = int(np.argmax(counts)), np.full(len(each), np.inf)
    palette, nearest = np.zeros((SHADES, 3), np.int32), np.zeros(len(each), np.uint8)
    for number in range(min(SHADES, len(each))):
        palette[number] = each[chosen]
        far = ((each - each[chosen]) ** 2).sum(axis=1)
        nearest[far < missed] = number
        missed = np.minimum(far, missed)
        chosen = int(np.argmax(missed * np.sqrt(counts)))
    rows = np.zeros((height, width + 1), np.uint8)  # each row begins with its filter: none
    rows[:, 1:] = nearest[which].reshape(height, width)

    def chunk(kind: bytes, held: bytes) -> bytes:
        return struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))

    head = struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)
    body = chunk(b"PLTE", palette.astype(np.uint8).tobytes()) + chunk(b"IDAT", zlib.compress(rows.tobytes(), 9))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


def main() -> None:
    """Draw the pictures that are asked for, or all."""
    names = sys.argv[1:] or list(PICTURES)
    with tempfile.TemporaryDirectory() as folder, served(Path(folder)) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(LAUNCH))
        for name in names:
            show, setting = PICTURES[name]
            context = browser.new_context(base_url=address, locale="en-GB", reduced_motion="reduce", **setting)
            picture = in_few_shades(browser, drawn(context, show))
            (FOLDER / f"{name}.png").write_bytes(picture)
            print(f"{name}.png: {len(picture) / 1000:.0f} kB")
            context.close()
        browser.close()


if __name__ == "__main__":
    main()
