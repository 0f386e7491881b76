"""Named draws: what they look like, that a name always gives the same, and that ranges hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from gyle.beer.estimate import Estimate, known
from gyle.line.ensemble import DRAWS, Ensemble, normal_quantile, normal_scores, uniform_scores


@pytest.mark.source("scipy.special.ndtri", provenance="computed-with-scipy")
def test_the_normal_quantile_agrees_with_scipy() -> None:
    tails = np.array([1e-300, 1e-100, 1e-20, 1e-9, 1e-4, 0.0249, 0.0251, 0.074, 0.076])
    probabilities = np.concatenate([tails, np.linspace(1e-3, 1.0 - 1e-3, 4001), 1.0 - tails[2:]])
    probabilities = probabilities[(probabilities > 0.0) & (probabilities < 1.0)]
    np.testing.assert_allclose(normal_quantile(probabilities), special.ndtri(probabilities), rtol=2e-14, atol=1e-15)


@pytest.mark.parametrize("draws", [64, 257, DRAWS, 65_536])
def test_scores_have_the_moments_of_a_normal(draws: int) -> None:
    scores = normal_scores("brewhouse.boil_off", draws)
    assert scores.shape == (draws,)
    assert abs(scores.mean()) < 1e-12
    assert abs(scores.std() - 1.0) < 6.0 / draws + 5e-4
    assert abs((scores**3).mean()) < 1e-9
    assert abs((scores**4).mean() - 3.0) < 60.0 / draws + 0.01


def test_every_stratum_holds_one_draw() -> None:
    for scores in (uniform_scores("a", 500), special.ndtr(normal_scores("b", 500))):
        assert sorted((scores * 500).astype(int)) == list(range(500))


def test_a_name_gives_its_own_draws_again_and_another_name_others() -> None:
    first = Ensemble({"a": Estimate(centre=1.0, spread=0.1), "b": Estimate(centre=1.0, spread=0.1)}, 512)
    second = Ensemble({"b": Estimate(centre=5.0, spread=2.0), "a": Estimate(centre=3.0, spread=0.2)}, 512)
    np.testing.assert_allclose((first["a"] - 1.0) / 0.1, (second["a"] - 3.0) / 0.2, rtol=1e-12)
    np.testing.assert_allclose((first["b"] - 1.0) / 0.1, (second["b"] - 5.0) / 2.0, rtol=1e-12)
    assert abs(np.corrcoef(first["a"], first["b"])[0, 1]) < 0.15


def test_names_do_not_go_together() -> None:
    names = [f"brewhouse.{one}" for one in ("boil_off", "retention", "trub", "conversion", "left_behind", "power")]
    scores = np.array([normal_scores(name) for name in [*names, *(f"{name}.each_time" for name in names)]])
    apart = np.corrcoef(scores)[~np.eye(len(scores), dtype=bool)]
    assert np.abs(apart).max() < 4.0 / math.sqrt(DRAWS)


@given(
    centre=st.floats(-5.0, 5.0),
    spread=st.floats(0.0, 10.0),
    each=st.floats(0.0, 10.0),
    below=st.floats(0.0, 8.0),
    above=st.floats(0.0, 8.0),
)
def test_no_draw_leaves_the_physical_range(
    centre: float, spread: float, each: float, below: float, above: float
) -> None:
    belief = Estimate(centre=centre, spread=spread, each_time=each, low=centre - below, high=centre + above)
    values = Ensemble({"x": belief}, 256)["x"]
    assert (values >= belief.low).all()
    assert (values <= belief.high).all()


@given(centre=st.floats(0.1, 50.0), spread=st.floats(0.01, 2.0), low=st.floats(0.02, 1.0), high=st.floats(1.0, 20.0))
def test_no_draw_of_a_positive_figure_leaves_its_range(centre: float, spread: float, low: float, high: float) -> None:
    belief = Estimate(centre=centre, spread=spread, log=True, low=centre * low, high=centre * high)
    values = Ensemble({"x": belief}, 256)["x"]
    assert (values >= belief.low * (1.0 - 1e-12)).all()
    assert (values <= belief.high * (1.0 + 1e-12)).all()
    assert (values > 0.0).all()


def test_truncation_cuts_the_tail_and_leaves_the_rest_alike() -> None:
    cut = Estimate(centre=0.0, spread=1.0, low=-1.0, high=math.inf)
    values = Ensemble({"x": cut}, 4096)["x"]
    kept = special.ndtr(1.0)
    expected = math.exp(-0.5) / math.sqrt(2.0 * math.pi) / kept
    assert values.mean() == pytest.approx(expected, abs=2e-3)
    for share in (0.1, 0.5, 0.9):
        wanted = special.ndtri(1.0 - kept + share * kept)
        assert np.quantile(values, share) == pytest.approx(wanted, abs=0.01)


def test_spread_and_each_time_add_as_variances() -> None:
    values = Ensemble({"x": Estimate(centre=10.0, spread=0.3, each_time=0.4)})["x"]
    assert values.std() == pytest.approx(0.5, rel=0.03)
    assert values.mean() == pytest.approx(10.0, abs=1e-9)


def test_the_centre_line_has_every_input_at_its_centre_which_is_the_median() -> None:
    beliefs = {
        "plain": Estimate(centre=3.0, spread=0.5),
        "positive": Estimate(centre=2.0, spread=0.8, log=True),
        "sure": known(7.0),
    }
    centre, many = Ensemble(beliefs, 1), Ensemble(beliefs, 4095)
    assert centre.is_centre
    assert not many.is_centre
    for name, belief in beliefs.items():
        assert centre[name] == np.array([belief.centre])
        assert float(np.median(many[name])) == pytest.approx(belief.centre, rel=1e-9)
    assert many["sure"].size == 1
    assert set(many.used()) == {"plain", "positive"}


def test_a_derived_value_stands_beside_the_believed_ones() -> None:
    inputs = Ensemble({"a": Estimate(centre=1.0, spread=0.1)}, 16)
    inputs.derive("twice", 2.0 * inputs["a"])
    np.testing.assert_array_equal(inputs["twice"], 2.0 * inputs["a"])
    assert list(inputs) == ["a"]
