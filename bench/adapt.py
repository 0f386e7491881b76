"""Adapting against planning: what the search for ways out costs, in plans."""

from __future__ import annotations

from pathlib import Path

from bench.timing import best_s
from gyle.beer.reading import read_brewhouse, read_recipe
from gyle.decide.adapt import adapt
from gyle.decide.plan import plan

EXAMPLES = Path(__file__).resolve().parents[1] / "examples" / "lantern-street"


def main() -> None:
    """Print how many plans one adaptation takes, where it fits and where it does not."""
    recipe = read_recipe(EXAMPLES / "copper-beacon.toml")
    house = recipe.for_brewhouse
    assert house is not None
    one = best_s(lambda: plan(recipe, house), repeats=5)
    for name in ("lantern-street-48", "lantern-street-28", "kitchen-bag"):
        other = read_brewhouse(EXAMPLES / f"{name}.toml")
        took = best_s(lambda other=other: adapt(recipe, other), repeats=2)
        print(f"  to {name}: {took / one:.0f} plans of {one * 1000:.0f} ms")
