"""How much of everything: what a plan solves for and a day is laid out from."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np

__all__ = ["Amounts"]


@attrs.frozen(kw_only=True, eq=False)
class Amounts:
    """Masses [kg] and volumes [L at 20 °C], each a number or one value a draw.

    Parameters
    ----------
    grist_kg, hops_kg : tuple
        One for each line of the recipe.
    liquor_L : tuple
        Water drawn for each mash; for a second mash what is added to the first wort.
    sparge_L : tuple
        Water through each bed.
    """

    grist_kg: tuple[Any, ...]
    hops_kg: tuple[Any, ...]
    liquor_L: tuple[Any, ...]
    sparge_L: tuple[Any, ...]

    def settled(self) -> Amounts:
        """The same with plain numbers: the first (or only) candidate of each."""

        def plain(values: tuple[Any, ...]) -> tuple[float, ...]:
            return tuple(float(np.atleast_1d(value)[0]) for value in values)

        return Amounts(
            grist_kg=plain(self.grist_kg),
            hops_kg=plain(self.hops_kg),
            liquor_L=plain(self.liquor_L),
            sparge_L=plain(self.sparge_L),
        )
