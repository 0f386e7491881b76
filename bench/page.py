"""An edit until it is painted, the weight of a page, and what the server takes: a real browser and `gyle demo`.

Hop masses, times, rests and shares are typed one after another into two beers' lines. The clock runs in the browser,
from the field's change until the frame after the answer is in the page has been drawn. The reference is the same
browser asking the same server for its bare `/healthz`, painted the same way: what a browser and a loopback cost
without any brewing.
The weight counts each file the beer's page loads, as it is sent.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

AIM_PAINT_MS, AIM_WEIGHT_KB, AIM_MEMORY_MB = 100.0, 600.0, 150.0
LAUNCH = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
          "--disable-component-update", "--disable-sync")  # fmt: skip
WARM, ROUNDS, IDLE_S = 1, 8, 15.0
EDITS = {
    "copper-beacon": [
        ("hops.1.amount", "{} g", range(46, 90)),
        ("boil.time", "{} min", range(76, 120)),
        ("mash.0.temperature", "{} °C", range(60, 73)),
        ("grist.1.amount", "{} %", range(5, 14)),
        ("aim.original_gravity", "1.0{}", range(70, 99)),
        ("name", "Copper Beacon {}", range(100)),
    ],
    "quiet-harbour": [
        ("volume", "{} L", range(20, 29)),
        ("fermentation.0.temperature", "{} °C", range(9, 15)),
        ("boil.time", "{} min", range(61, 100)),
        ("mash.0.time", "{} min", range(20, 70)),
    ],
}
TIMED = """async ([place, text]) => {
  const field = document.querySelector(`[name="${place}"]`);
  field.focus();
  field.value = text;
  const swapped = new Promise((done) => document.addEventListener("htmx:after:swap", done, { once: true }));
  const start = performance.now();
  field.dispatchEvent(new Event("change", { bubbles: true }));
  await swapped;
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const all = performance.now() - start;
  const asked = performance.getEntriesByType("resource").filter((entry) => entry.name.includes("/edit")).at(-1);
  return [all, asked.responseEnd - asked.startTime];
}"""
BARE = """async () => {
  const start = performance.now();
  await (await fetch("/healthz")).text();
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  return performance.now() - start;
}"""
WEIGHT = """() => [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
  .map((entry) => entry.encodedBodySize)"""


@contextlib.contextmanager
def served(folder: Path) -> Iterator[tuple[str, int]]:
    """Start `gyle demo` as its own process; give its address and its number."""
    command = (sys.executable, "-m", "gyle", "demo", "--no-browser", "--port", "0")
    process = subprocess.Popen(
        command,
        env={**os.environ, "GYLE_HOME": str(folder)},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    try:
        assert process.stdout is not None
        line = next(line for line in process.stdout if "http://" in line)
        yield line.split("http://")[1].split("/")[0], process.pid
    finally:
        process.terminate()
        process.wait(20)


def resident_mb(process: int) -> float:
    """Memory [MB] a process holds."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return float(line.split()[1]) / 1024.0
    return float("nan")


def edited_ms(page: Page, beer: str) -> Iterator[tuple[str, float, float]]:
    """Times of a beer's edits, whole and until the answer is there, after a round that warms up the browser."""
    page.evaluate("performance.setResourceTimingBufferSize(10000)")
    for number in range(WARM + ROUNDS):
        for place, form, values in EDITS[beer]:
            text = form.format(values[number % len(values)])
            whole, answered = page.evaluate(TIMED, [place, text])
            assert page.locator(".field .fault").count() == 0, (place, text)
            if number >= WARM:
                yield place, float(whole), float(answered)


def main() -> None:
    """Print times, weight and memory against what is aimed at."""
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as folder, served(Path(folder)) as (host, process), sync_playwright() as started:
        browser = started.chromium.launch(executable_path=chromium, args=list(LAUNCH))
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(f"http://{host}/healthz")
        print(f"  server, nothing asked of it yet but Lantern Street's figures: {resident_mb(process):.0f} MB")
        found: dict[str, list[float]] = {}
        answers: list[float] = []
        for beer in EDITS:
            page.goto(f"http://{host}/beers/{beer}", wait_until="networkidle")
            if beer == "copper-beacon":
                sizes = page.evaluate(WEIGHT)
                bare = sorted(page.evaluate(BARE) for _ in range(21))[10]
            for place, whole, answered in edited_ms(page, beer):
                found.setdefault(place, []).append(whole)
                answers.append(answered)
        times = sorted(taken for each in found.values() for taken in each)
        p95 = statistics.quantiles(times, n=20)[-1]
        print(
            f"  edit to paint, {len(times)} edits: median {statistics.median(times):.0f} ms, p95 {p95:.0f} ms"
            f" (aim under {AIM_PAINT_MS:g}); p95 over a bare answer painted ({bare:.0f} ms): {p95 / bare:.1f}"
        )
        print(f"    of which until the answer is there: median {statistics.median(answers):.0f} ms")
        for place, taken in sorted(found.items(), key=lambda one: -statistics.median(one[1])):
            print(f"    {place}: median {statistics.median(taken):.0f}, longest {max(taken):.0f} ms")
        print(f"  the beer's page: {sum(sizes) / 1e3:.0f} kB in {len(sizes)} files (aim under {AIM_WEIGHT_KB:g})")
        page.goto("about:blank")
        time.sleep(IDLE_S)
        print(f"  server afterwards, idle: {resident_mb(process):.0f} MB (aim under {AIM_MEMORY_MB:g})")
        browser.close()


if __name__ == "__main__":
    main()
