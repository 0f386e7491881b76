"""A plan of 2,048 draws against a replay of its own NumPy calls; and simulated brews a second on one core.

The replay holds every array it was recorded with, some 60 MB, where the run reuses a few that stay in the
processor's cache. So the ratio may fall below one; it bounds the plan's own bookkeeping from above.
"""

from __future__ import annotations

from pathlib import Path

from bench.recorder import Recorded, recording, replay
from bench.timing import best_s
from gyle.beer.reading import read_recipe
from gyle.decide.solve import brewed, solve, targets_of
from gyle.line.beliefs import inputs_for

EXAMPLES = Path(__file__).resolve().parents[1] / "examples" / "lantern-street"
AIM_RATIO, AIM_BREWS_S = 3.0, 100_000


def main() -> None:
    """Print both."""
    recipe = read_recipe(EXAMPLES / "copper-beacon.toml")
    house = recipe.for_brewhouse
    assert house is not None
    amounts = solve(recipe, house, targets_of(recipe)).amounts
    inputs = inputs_for(recipe, house)
    run_s = best_s(lambda: brewed(recipe, house, amounts, inputs))
    fresh_s = best_s(lambda: brewed(recipe, house, amounts, inputs_for(recipe, house)))

    marked = inputs_for(recipe, house)
    brewed(recipe, house, amounts, marked)
    for name in list(marked._values):
        marked.derive(name, marked._values[name].view(Recorded))
    with recording() as calls:
        brewed(recipe, house, amounts, marked)
        noted = list(calls)
    replay_s = best_s(lambda: replay(noted))
    print(f"  run over the replay of its {len(noted):,} NumPy calls: {run_s / replay_s:.2f} (aim under {AIM_RATIO:g})")
    print(f"  simulated brews a second, inputs sampled anew: {inputs.draws / fresh_s:,.0f} (aim {AIM_BREWS_S:,})")
