"""A band is what NumPy says of one figure, however many are sorted together."""

from __future__ import annotations

import numpy as np
import pytest

from gyle.beer.estimate import Estimate
from gyle.line.ensemble import Ensemble, sampled
from gyle.line.figures import band, bands


def test_bands_found_together_are_those_found_alone() -> None:
    rng = np.random.default_rng(1)
    figures = {f"figure.{number}": rng.normal(number, 1.0, 257) for number in range(7)}
    figures |= {"sure": np.array([3.5]), "few": rng.normal(0.0, 1.0, 9)}
    found = bands(figures)
    assert list(found) == list(figures)
    for name, draws in figures.items():
        low, median, high = np.percentile(draws, (10.0, 50.0, 90.0))
        assert (found[name].low, found[name].median, found[name].high) == (low, median, high)
        assert found[name].mean == pytest.approx(draws.mean(), rel=1e-14)
        assert band(draws) == found[name]


def test_draws_of_a_belief_are_made_once_and_cannot_be_written_to() -> None:
    belief = Estimate(centre=5.0, spread=0.5, each_time=0.2, low=4.0, high=6.0)
    first, second = Ensemble({"lot.alpha": belief}, 64), Ensemble({"lot.alpha": belief}, 64)
    assert first["lot.alpha"] is second["lot.alpha"]
    with pytest.raises(ValueError, match="read-only"):
        first["lot.alpha"][0] = 1.0
    other = sampled("lot.alpha", Estimate(centre=5.1, spread=0.5, each_time=0.2, low=4.0, high=6.0), 64)
    assert (other != first["lot.alpha"]).any()
