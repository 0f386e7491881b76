"""What every test shares: how hypothesis searches, and the cards and brewhouses of Lantern Street."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import read_brewhouse, read_recipe
from gyle.beer.recipe import Recipe

LANTERN_STREET = Path(__file__).parents[1] / "examples" / "lantern-street"
CARDS = ("copper-beacon", "signal-lamp", "ropewalk", "slack-water")
HOUSES = ("lantern-street-48", "lantern-street-28", "kitchen-bag")

settings.register_profile("gyle", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", settings.get_profile("gyle"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "gyle")


@pytest.fixture(scope="session")
def cards() -> Mapping[str, Recipe]:
    """The four cards that can be brewed, by file name."""
    return {name: read_recipe(LANTERN_STREET / f"{name}.toml") for name in CARDS}


@pytest.fixture(scope="session")
def houses() -> Mapping[str, Brewhouse]:
    """The three brewhouses of Lantern Street, by file name."""
    return {name: read_brewhouse(LANTERN_STREET / f"{name}.toml") for name in HOUSES}
