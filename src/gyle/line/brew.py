"""A brew in progress: vessels, clock, figures; and the move, one thing done to a vessel's content."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import attrs
import numpy as np
from numpy.typing import ArrayLike

from gyle.line.content import Array, Content, Species, mix
from gyle.line.ensemble import Ensemble

__all__ = ["Brew", "Move", "Step"]


@attrs.frozen(kw_only=True)
class Move:
    """One thing done to a vessel's content. A plan is a flat list of these and reads like the day."""

    id: str
    station: str
    vessel: str
    process: str
    inputs: Mapping[str, Any] = attrs.field(factory=dict)


@attrs.frozen(kw_only=True, eq=False)
class Step:
    """A move as it ran: when it started and how long it took [min], per draw."""

    move: Move
    start_min: Array
    minutes: Array


class Brew:
    """The state a run carries from move to move.

    Attributes
    ----------
    inputs : Ensemble
        Sampled inputs by name.
    contents : dict of str to Content
        What each vessel holds now.
    figures : dict of str to ndarray
        Named figures found so far.
    notes : dict of str to ndarray
        What later moves need of earlier ones and that is no figure (alpha added, potential mashed).
    chemistry : bool
        Whether minerals and pH are followed. They move no volume, gravity or bitterness, so the search for
        amounts does without.
    """

    def __init__(self, inputs: Ensemble, kinds: Species, *, chemistry: bool = True) -> None:
        self.chemistry = chemistry
        self.inputs = inputs
        self.kinds = kinds
        self.contents: dict[str, Content] = {}
        self.figures: dict[str, Array] = {}
        self.notes: dict[str, Array] = {}
        self.steps: list[Step] = []
        self.kept: list[tuple[str, Mapping[str, Content]]] = []
        self.clock_min: Array = np.zeros(1)

    def slim(self) -> Brew:
        """The same brew without what its vessels held: figures, notes, inputs and times, a fifth of the memory."""
        other = Brew(self.inputs, self.kinds, chemistry=self.chemistry)
        other.figures, other.notes, other.steps, other.clock_min = self.figures, self.notes, self.steps, self.clock_min
        return other

    def content(self, vessel: str) -> Content:
        """What a vessel holds; an unused vessel holds nothing."""
        held = self.contents.get(vessel)
        return Content.of(self.kinds, {}) if held is None else held

    def put(self, vessel: str, content: Content) -> None:
        """Set what a vessel holds."""
        self.contents[vessel] = content

    def pour(self, vessel: str, content: Content, *, temperature_C: Array | None = None) -> None:
        """Add to what a vessel holds."""
        held = self.contents.get(vessel)
        self.contents[vessel] = content if held is None else mix(held, content, temperature_C=temperature_C)

    def figure(self, name: str, value: ArrayLike) -> None:
        """Name a figure."""
        self.figures[name] = np.atleast_1d(np.asarray(value, dtype=np.float64))

    def note(self, name: str, value: ArrayLike, *, add: bool = False) -> None:
        """Remember something for a later move."""
        array = np.atleast_1d(np.asarray(value, dtype=np.float64))
        self.notes[name] = self.notes[name] + array if add and name in self.notes else array

    def noted(self, name: str) -> Array:
        """What an earlier move left; zero where none did."""
        return self.notes.get(name, np.zeros(1))

    def mean(self, value: Array) -> float:
        """The middle of a value: what a brewer who plans would set."""
        return float(value.mean())
