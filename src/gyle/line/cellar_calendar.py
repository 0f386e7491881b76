"""The days after pitching: until the beer is stable, when each thing goes in, when it may be packaged.

No fermentation is followed hour by hour. Where a recipe does not say how long, a usual time stands in, so that no
keg is filled and no bottle closed before the beer can be stable.
"""

from __future__ import annotations

import attrs

from gyle.beer.recipe import Recipe
from gyle.beer.timing import Timing

__all__ = ["CONTACT_DAYS", "LEAST_DAYS", "CellarCalendar", "cellar_calendar"]

USUAL_DAYS = 14.0  # from pitching until gravity has stood still; common practice
LEAST_DAYS = 6.0  # the same, however few are stated: three at the quickest, three still; common practice
STILL_DAYS = 3.0  # of those, and after hops or sugar went in; common practice
CONTACT_DAYS = 3.0  # on dry hops, where nobody says; common practice
BEFORE_FINAL = 0.5  # of the days until stable are gone, at most, where points above final are left; ours


@attrs.frozen(kw_only=True)
class CellarCalendar:
    """Days from the pitching, which is 0; the day a brewer counts is one more.

    `stable` is when the beer is taken as stable, `fermented` when what is stated as fermentation ends with that,
    `packaged` when the keg is filled: after every step, and after what went in has had its days.
    """

    stable: float
    still: float  # of the days until stable gravity has stood for so many
    fermented: float
    packaged: float

    def goes_in(self, at: Timing) -> float:
        """When an addition goes in: the stated day, or the latest that a wait for a gravity is taken to last."""
        if at.stage in ("keg", "bottle"):
            return self.packaged
        if at.day is not None:
            return max(at.day - 1.0, 0.0)
        if at.stable_days is not None:
            return max(self.stable - self.still + at.stable_days, 0.0)
        if at.points_above_final is not None:
            final = max(self.stable - self.still, 0.0)
            return min(BEFORE_FINAL * self.stable, final) if at.points_above_final > 0.0 else final
        return 0.0


def cellar_calendar(recipe: Recipe) -> CellarCalendar:
    """Count the days of a recipe's fermentation and of what goes into it.

    Parameters
    ----------
    recipe : Recipe
        Its fermentation steps and whatever goes in after pitching.

    Returns
    -------
    CellarCalendar
        A step until the gravity is stable ends on the usual day at the earliest; so does one without an end, which
        gives way to the next at a gravity. What is stated in days follows that. Where every step is stated in days,
        those are taken; but nothing is packaged before it can have fermented and stood still.
    """
    elapsed, stable, still, waits = 0.0, None, STILL_DAYS, False
    for step in recipe.fermentation:
        if step.stable_days is not None:
            elapsed = max(elapsed + step.stable_days, USUAL_DAYS)
            still = step.stable_days if stable is None else still
            stable, waits = elapsed if stable is None else stable, False
        elif step.days is None:
            waits = True
        else:
            elapsed += step.days
            if waits:
                elapsed = max(elapsed, USUAL_DAYS)
                stable, waits = elapsed if stable is None else stable, False
    if waits or elapsed <= 0.0:
        elapsed = max(elapsed, USUAL_DAYS)
        stable = elapsed if stable is None else stable
    fermented = elapsed if stable is None else stable
    found = CellarCalendar(
        stable=min(elapsed, USUAL_DAYS) if stable is None else stable,
        still=still,
        fermented=fermented,
        packaged=elapsed,
    )
    return attrs.evolve(found, packaged=max([elapsed, LEAST_DAYS, *_done(recipe, found)]))


def _done(recipe: Recipe, calendar: CellarCalendar) -> list[float]:
    """When each thing that went in after pitching lets the beer be packaged."""
    later = ("ferment", "dry")
    hops = [
        calendar.goes_in(line.at) + max(line.at.contact_days or CONTACT_DAYS, STILL_DAYS)
        for line in recipe.hops
        if line.at.stage in ("pitch", *later)
    ]
    sugars = [calendar.goes_in(line.at) + STILL_DAYS for line in recipe.grist if line.at.stage in later]
    others = [
        calendar.goes_in(line.at) + (STILL_DAYS if line.extract_fraction > 0.0 else line.at.contact_days or 0.0)
        for line in recipe.others
        if line.at.stage in later
    ]
    return [*hops, *sugars, *others]
