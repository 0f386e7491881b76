"""The ensemble: named uncertain inputs, each with its own stratified normal scores.

A name always gives the same scores. So an edit moves bands smoothly, results repeat, and two recipes or two
brewhouses share their draws: the *difference* of two plans has its own, tighter band.
"""

from __future__ import annotations

import functools
import hashlib
import math
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from gyle.beer.estimate import Estimate

__all__ = ["DRAWS", "Ensemble", "normal_quantile", "normal_scores", "sampled", "truncated_scores", "uniform_scores"]

Array = NDArray[np.float64]

DRAWS = 2048

# Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37:477-484, 1988; 16 figures. Provenance: memory,
# checked against scipy.special.ndtri in the tests.
_CENTRE_NUMERATOR = (
    2.5090809287301226727e3,
    3.3430575583588128105e4,
    6.7265770927008700853e4,
    4.5921953931549871457e4,
    1.3731693765509461125e4,
    1.9715909503065514427e3,
    1.3314166789178437745e2,
    3.3871328727963666080,
)
_CENTRE_DENOMINATOR = (
    5.2264952788528545610e3,
    2.8729085735721942674e4,
    3.9307895800092710610e4,
    2.1213794301586595867e4,
    5.3941960214247511077e3,
    6.8718700749205790830e2,
    4.2313330701600911252e1,
    1.0,
)
_MIDDLE_NUMERATOR = (
    7.74545014278341407640e-4,
    2.27238449892691845833e-2,
    2.41780725177450611770e-1,
    1.27045825245236838258,
    3.64784832476320460504,
    5.76949722146069140550,
    4.63033784615654529590,
    1.42343711074968357734,
)
_MIDDLE_DENOMINATOR = (
    1.05075007164441684324e-9,
    5.47593808499534494600e-4,
    1.51986665636164571966e-2,
    1.48103976427480074590e-1,
    6.89767334985100004550e-1,
    1.67638483018380384940,
    2.05319162663775882187,
    1.0,
)
_TAIL_NUMERATOR = (
    2.01033439929228813265e-7,
    2.71155556874348757815e-5,
    1.24266094738807843860e-3,
    2.65321895265761230930e-2,
    2.96560571828504891230e-1,
    1.78482653991729133580,
    5.46378491116411436990,
    6.65790464350110377720,
)
_TAIL_DENOMINATOR = (
    2.04426310338993978564e-15,
    1.42151175831644588870e-7,
    1.84631831751005468180e-5,
    7.86869131145613259100e-4,
    1.48753612908506148525e-2,
    1.36929880922735805310e-1,
    5.99832206555887937690e-1,
    1.0,
)


def normal_quantile(probability: NDArray[np.float64]) -> Array:
    """Return the standard normal quantile of probabilities strictly between 0 and 1."""
    q = probability - 0.5
    centre = 0.180625 - q * q
    result = q * np.polyval(_CENTRE_NUMERATOR, centre) / np.polyval(_CENTRE_DENOMINATOR, centre)
    outer = np.abs(q) > 0.425
    if outer.any():
        tail = q[outer]
        r = np.sqrt(-np.log(np.where(tail < 0, probability[outer], 1.0 - probability[outer])))
        near = np.polyval(_MIDDLE_NUMERATOR, r - 1.6) / np.polyval(_MIDDLE_DENOMINATOR, r - 1.6)
        far = np.polyval(_TAIL_NUMERATOR, r - 5.0) / np.polyval(_TAIL_DENOMINATOR, r - 5.0)
        result[outer] = np.copysign(np.where(r <= 5.0, near, far), tail)
    return np.asarray(result, dtype=np.float64)


@functools.lru_cache(maxsize=8)
def _strata(draws: int) -> tuple[Array, Array]:
    uniform = (np.arange(draws) + 0.5) / draws
    scores = normal_quantile(uniform)
    uniform.setflags(write=False)
    scores.setflags(write=False)
    return uniform, scores


# A recipe needs about 130 names. What is kept of them is the draws of their beliefs; scores are only on the way
# there. The bounds of these caches keep what an idle server holds to some 13 MB.
@functools.lru_cache(maxsize=512)
def _order(name: str, draws: int) -> NDArray[np.unsignedinteger]:
    seed = int.from_bytes(hashlib.blake2b(name.encode(), digest_size=8).digest(), "little")
    order = np.random.Generator(np.random.PCG64(seed)).permutation(draws)
    return order.astype(np.min_scalar_type(draws))


@functools.lru_cache(maxsize=64)
def normal_scores(name: str, draws: int = DRAWS) -> Array:
    """Return the stratified normal scores of a named input; the same name gives the same scores."""
    scores: Array = _strata(draws)[1][_order(name, draws)]
    scores.setflags(write=False)
    return scores


@functools.lru_cache(maxsize=64)
def uniform_scores(name: str, draws: int = DRAWS) -> Array:
    """Return the stratified uniform scores of a named input, strictly between 0 and 1."""
    scores: Array = _strata(draws)[0][_order(name, draws)]
    scores.setflags(write=False)
    return scores


@functools.lru_cache(maxsize=64)
def truncated_scores(name: str, low: float, high: float, draws: int = DRAWS) -> Array:
    """Return the stratified normal scores of a named input that lie between two scores."""
    floor, ceiling = _probability(low), _probability(high)
    within = floor + uniform_scores(name, draws) * (ceiling - floor)
    scores = normal_quantile(np.clip(within, 1e-15, 1.0 - 1e-15))
    scores.setflags(write=False)
    return scores


def _probability(score: float) -> float:
    return 0.5 * math.erfc(-score / math.sqrt(2.0))


def _scores(name: str, belief: Estimate, spread: float, draws: int) -> Array:
    """Normal scores truncated to the physical range, still stratified."""
    if belief.log:
        low = math.log(belief.low / belief.centre) / spread if belief.low > 0 else -math.inf
        high = math.log(belief.high / belief.centre) / spread if belief.high < math.inf else math.inf
    else:
        low, high = (belief.low - belief.centre) / spread, (belief.high - belief.centre) / spread
    if low < -3.5 and high > 3.5:
        return normal_scores(name, draws)
    return truncated_scores(name, low, high, draws)


@functools.lru_cache(maxsize=512)
def sampled(name: str, belief: Estimate, draws: int = DRAWS) -> Array:
    """Return the draws of a named belief; an edit leaves most of them as they are, and so do other recipes."""
    offset = np.zeros(draws)
    if belief.spread:
        offset = offset + belief.spread * _scores(name, belief, belief.spread, draws)
    if belief.each_time:
        offset = offset + belief.each_time * _scores(f"{name}.each_time", belief, belief.each_time, draws)
    value = belief.centre * np.exp(offset) if belief.log else belief.centre + offset
    # Two truncated parts may still add up to a little more than the range; clip what is left.
    values = np.asarray(np.clip(value, belief.low, belief.high), dtype=np.float64)
    values.setflags(write=False)
    return values


class Ensemble(Mapping[str, Array]):
    """Sampled values of named estimates, made when first asked for.

    One draw is the *centre line*: every input at its centre.

    Parameters
    ----------
    beliefs : mapping of str to Estimate
        What is believed of each named input.
    draws : int
        Number of simulated brews; 1 for the centre line.
    """

    def __init__(self, beliefs: Mapping[str, Estimate], draws: int = DRAWS) -> None:
        self.beliefs = dict(beliefs)
        self.draws = draws
        self._values: dict[str, Array] = {}

    @property
    def is_centre(self) -> bool:
        """Whether this is the centre line."""
        return self.draws == 1

    def __getitem__(self, name: str) -> Array:
        value = self._values.get(name)
        if value is None:
            belief = self.beliefs[name]
            certain = self.draws == 1 or belief.certain
            value = np.array([belief.centre]) if certain else sampled(name, belief, self.draws)
            self._values[name] = value
        return value

    def derive(self, name: str, value: Array) -> None:
        """File a value that follows from others under a name of its own."""
        self._values[name] = np.atleast_1d(value)

    def __iter__(self) -> Iterator[str]:
        return iter(self.beliefs)

    def __len__(self) -> int:
        return len(self.beliefs)

    def uniform(self, name: str) -> Array:
        """Uniform scores of an event that either happens or does not."""
        return uniform_scores(name, self.draws)

    def used(self) -> dict[str, Array]:
        """Inputs asked for so far that vary."""
        return {name: value for name, value in self._values.items() if value.size > 1}
