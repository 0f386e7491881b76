"""Forecasts a page shows: a recipe read, brewed 2,048 times, its ribbon followed; the last few are kept.

An edit starts from the forecast before it. Kept forecasts let a page come back, an undo go back and a version
be compared without brewing again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.decide.plan import Plan
from gyle.quantities import spoken
from gyle.share.ribbon import Ribbon, ribbon
from gyle.web.last_few import LastFew

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe

__all__ = ["Forecast", "Forecasts"]

KEPT = 8


@attrs.frozen(kw_only=True, eq=False)
class Forecast:
    """One recipe's text as it is forecast on its own brewhouse."""

    text: str
    recipe: Recipe
    plan: Plan
    ribbon: Ribbon
    supposed: tuple[str, ...]  # what was taken for granted about the brewhouse


class Forecasts:
    """Make forecasts, and keep the last few.

    Parameters
    ----------
    kept : int
        How many are kept.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._found: LastFew[tuple[str, str], Forecast] = LastFew(kept)

    def of(self, text: str, recipe: Recipe, *, start: Forecast | None = None) -> Forecast:
        """Return the forecast of a recipe.

        Parameters
        ----------
        text : str
            The recipe's file; its forecast is looked for by it.
        recipe : Recipe
            What it reads as today: a brewhouse that changed makes it another.
        start : Forecast, optional
            The forecast before an edit, to start from.

        Raises
        ------
        GyleError
            If its beer cannot be brewed there.
        """
        asked = (text, spoken())  # a plan's sentences are in the units they were made in
        known = self._found.get(asked)
        if known is not None and known.recipe == recipe:
            return known
        return self._found.put(asked, _forecast(text, recipe, start))


def _forecast(text: str, recipe: Recipe, start: Forecast | None) -> Forecast:
    from gyle.decide.origin import origin_of, with_habit
    from gyle.decide.plan import plan

    house, supposed = origin_of(recipe)
    found = plan(recipe, with_habit(house), start=None if start is None else start.plan)
    drawn = ribbon(found)  # the last to ask what the vessels held, which is most of a plan
    return Forecast(text=text, recipe=recipe, plan=found.slim(), ribbon=drawn, supposed=supposed)
