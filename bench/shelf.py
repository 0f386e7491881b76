"""The shelf with 10,000 beers on it: the page, a page far down, and searches as one types.

Each beer has a name of its own, made of words, and a version of Lantern Street's with figures of its own; there are
two gyles under way, and forty drafts. Each is asked of the application and of a server. The reference is the same
database asked by plain SQL for the same fifty rows, without objects, words or a page, so that the ratio says what the
page itself costs.
"""

from __future__ import annotations

import contextlib
import json
import random
import sqlite3
import tempfile
import threading
import time
import urllib.request
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from bench.timing import best_s
from gyle.books.store import Store, open_store

BEERS, DRAFTS, AIM_MS, REPEATS = 10_000, 40, 150.0, 15
SEED = 4953
FIRST = (
    *("Amber", "Barrow", "Cinder", "Damp", "Early", "Ferry", "Granite", "Hollow", "Iron", "Juniper", "Kiln", "Long"),
    *("Marsh", "Narrow", "Orchard", "Pewter", "Quiet", "Rust", "Slate", "Thistle", "Under", "Velvet", "Wharf"),
)
SECOND = (
    *("Anchor", "Bridge", "Chapel", "Dray", "Engine", "Furrow", "Gate", "Harbour", "Island", "Jetty", "Kettle"),
    *("Lock", "Mill", "North", "Oar", "Pier", "Quarry", "Road", "Signal", "Tower", "Union", "Vale", "Weir"),
)
ASKED = {
    "first page": "/",
    "page 120": "/?page=120",
    "search, many": "/?q=a",
    "search, some": "/?q=harb",
    "search, one": "/?q=harbour%20no%20500",
    "search, none": "/?q=zzzz",
}
PLAIN = """
    SELECT beers.slug, beers.name, beers.newest, versions.made_at, versions.summary,
           (SELECT count(*) FROM beers WHERE folded LIKE ?) AS total
    FROM beers JOIN versions ON versions.beer_id = beers.id AND versions.number = beers.newest
    WHERE beers.folded LIKE ? ORDER BY beers.touched_at DESC, beers.id DESC LIMIT 50 OFFSET ?
"""


def figures(chance: random.Random) -> Mapping[str, Any]:
    """Headline figures of a beer that might be."""
    middle = {
        "fermenter.volume": chance.uniform(10.0, 45.0),
        "fermenter.original_gravity": chance.uniform(1.030, 1.110),
        "fermenter.final_gravity": chance.uniform(1.004, 1.024),
        "fermenter.alcohol": chance.uniform(2.8, 12.0),
        "glass.bitterness": chance.uniform(8.0, 90.0),
        "glass.bitterness_tinseth": chance.uniform(8.0, 90.0),
        "glass.colour": chance.uniform(4.0, 90.0),
    }
    middle["glass.colour_srm"] = middle["glass.colour"] / 1.97
    spread = {name: 0.05 * (value - 1.0 if "gravity" in name else value) for name, value in middle.items()}
    return {
        "figures": {name: [mean, mean - spread[name], mean + spread[name]] for name, mean in middle.items()},
        "brewhouse": "Lantern Street 48",
        "measure": "tinseth",
    }


def fill(store: Store) -> None:
    """Put the beers, drafts and gyles into an empty store."""
    from gyle.books import drafts
    from gyle.books.beers import record_beer
    from gyle.books.examples import examples
    from gyle.books.lantern_street import load_lantern_street

    load_lantern_street(store)
    text = (examples() / "copper-beacon.toml").read_text(encoding="utf-8")
    chance, now = random.Random(SEED), datetime.now(UTC)
    slugs = []
    with store.writing() as connection:
        for number in range(1, BEERS + 1):
            name = f"{chance.choice(FIRST)} {chance.choice(SECOND)} no {number}"
            made = record_beer(
                connection,
                text=text.replace('"Copper Beacon"', json.dumps(name), 1),
                brewhouse="lantern-street-48",
                summary=figures(chance),
                made_at=now - timedelta(minutes=chance.randrange(1_000_000)),
            )
            slugs.append(made.slug)
    for slug in chance.sample(slugs, DRAFTS):
        drafts.open_draft(store, slug, base=1)


def plain_s(file: Path, asked: str) -> float:
    """The least time [s] of the rows alone."""
    _, _, query = asked.partition("?")
    key, _, value = query.partition("=")
    like = f"%{value.replace('%20', ' ')}%" if key == "q" else "%"
    first = 50 * (int(value) - 1) if key == "page" else 0
    with contextlib.closing(sqlite3.connect(file)) as database:
        return best_s(lambda: database.execute(PLAIN, (like, like, first)).fetchall(), repeats=REPEATS)


@contextlib.contextmanager
def served(store: Store) -> Iterator[str]:
    """Serve the pages on a free port; give the address."""
    import uvicorn

    from gyle.web.app import create_app
    from gyle.web.server import listening

    with listening("127.0.0.1", 0) as taken:
        settings = uvicorn.Config(create_app(store), log_level="warning", access_log=False, lifespan="off")
        server = uvicorn.Server(settings)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]})
        thread.start()
        try:
            yield f"http://127.0.0.1:{taken.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join()


def asked_s(client: TestClient, address: str, path: str, *, part: bool) -> tuple[float, float]:
    """The least times [s] of a page, or of the part of it a search asks for: by the application, and served."""
    headers = {"HX-Request": "true", "HX-Request-Type": "partial"} if part else {}
    request = urllib.request.Request(address + path, headers=headers)
    alone = best_s(lambda: client.get(path, headers=headers), repeats=REPEATS)
    return alone, best_s(lambda: urllib.request.urlopen(request).read(), repeats=REPEATS)


def main() -> None:
    """Print the times of each page, by the application alone and served, and their ratio to the rows alone."""
    from gyle.web.app import create_app

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "gyle.db"
        with open_store(f"sqlite:///{file}") as store:
            start = time.perf_counter()
            fill(store)
            print(f"  {BEERS:,} beers written in {time.perf_counter() - start:.0f} s; best of {REPEATS}")
            client = TestClient(create_app(store), base_url="http://localhost")
            start = time.perf_counter()
            assert client.get("/").status_code == 200
            print(f"  the very first page, its two gyles brewed: {1e3 * (time.perf_counter() - start):.0f} ms")
            with served(store) as address:
                for name, path in ASKED.items():
                    alone, whole = asked_s(client, address, path, part="search" in name)
                    rows = plain_s(file, path)
                    print(
                        f"  {name}: application {1e3 * alone:.1f} ms, served {1e3 * whole:.1f} (aim {AIM_MS:g}),"
                        f" rows alone {1e3 * rows:.1f}: {whole / rows:.1f} times"
                    )


if __name__ == "__main__":
    main()
