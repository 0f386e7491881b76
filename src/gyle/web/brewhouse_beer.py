"""The beer whose marks dip-sticks show: how it is brewed there, what an edit does to it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import attrs

from gyle.beer.page import parsed
from gyle.books.refusals import NotThere
from gyle.books.slugs import slug_named
from gyle.decide.difference import figure_differences
from gyle.decide.fit import checks
from gyle.errors import GyleError
from gyle.quantities import write
from gyle.share.compared import compared_figures
from gyle.share.comparison_words import comparison_sentence
from gyle.share.sentences import as_sentence, faults_of
from gyle.share.weighing import hop_mass_text, mass_text
from gyle.share.written_figure import bitterness_figure, written
from gyle.web.readings import recipe_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.requests import Request

    from gyle.beer.brewhouse import Brewhouse
    from gyle.books.papers import Paper
    from gyle.books.store import Store
    from gyle.decide.plan import Plan
    from gyle.line.figures import Band
    from gyle.web.forecasts import Forecast

__all__ = ["Brewed", "Change", "Effect", "brewed_there", "effect_of", "short_of"]

MOVED = 0.05  # of a band's width: what moves by less is not seen to move
_VESSELS = ("kettle.full.volume", "kettle.end.volume", "keg.volume")  # what an edit of a brewhouse moves first


@attrs.frozen(kw_only=True, eq=False)
class Brewed:
    """A beer brewed on a brewhouse, or why it is not."""

    forecast: Forecast | None = None
    said: tuple[str, ...] = ()
    foreign: bool = False  # it is written for another brewhouse

    @property
    def plan(self) -> Plan | None:
        """What it comes to there."""
        return None if self.forecast is None else self.forecast.plan


class Change(NamedTuple):
    """One thing an edit moves, before and after."""

    words: str
    was: str
    now: str


@attrs.frozen(kw_only=True)
class Effect:
    """What an edit of a brewhouse does to a beer."""

    sentence: str
    changes: tuple[Change, ...]
    weighed: bool  # whether amounts to weigh or draw are among them
    fit: tuple[str, ...]  # what fits now and did not, or the other way about

    @property
    def line(self) -> str:
        """All of it but the table; whether it fits comes first."""
        return " ".join((*self.fit, self.sentence))


def brewed_there(
    request: Request, paper: Paper, house: Brewhouse, beer: str, *, start: Forecast | None = None
) -> Brewed:
    """Brew the newest version of a beer on a brewhouse, whatever it is written for.

    Parameters
    ----------
    request : Request
        What is answered; the forecasts that are kept are its application's.
    paper, house : Paper, Brewhouse
        The brewhouse as a revision of it says it, and what that reads as.
    beer : str
        Which beer; "" for none.
    start : Forecast, optional
        A forecast of the same beer to start from.
    """
    if not beer:
        return Brewed()
    from gyle.books.versions import version

    store: Store = request.app.state.store
    try:
        kept = version(store, beer)
        recipe = recipe_of(store, kept.text)
        foreign = recipe.for_brewhouse is None or not _names(kept.text, paper)
        recipe = attrs.evolve(recipe, for_brewhouse=house)
        # What is not the beer's own forecast goes by a key of its own, so that one stays at hand.
        own = not foreign and paper.number == paper.newest
        key = kept.text if own else f"# brewed on {paper.slug}, revision {paper.number}\n{kept.text}"
        return Brewed(forecast=request.app.state.forecasts.of(key, recipe, start=start), foreign=foreign)
    except NotThere:
        return Brewed(said=("There is no such beer in the store: these are the vessels alone.",))
    except GyleError as error:
        sentences = tuple(as_sentence(fault) for fault in faults_of(error))
        return Brewed(said=("That beer cannot be brewed here as it is: these are the vessels alone.", *sentences))


def _names(text: str, paper: Paper) -> bool:
    """Whether a recipe's text is for a brewhouse, by its slug, its name or its file's."""
    named = parsed(text, "the recipe").get("for_brewhouse")
    return isinstance(named, str) and slug_named(named) == paper.slug


def effect_of(old: Plan, new: Plan, *, system: str) -> Effect:
    """Say what an edit of a brewhouse does to a beer brewed on it.

    Parameters
    ----------
    old, new : Plan
        The same beer before and after.
    system : {"metric", "us"}
        The person's units.
    """
    measure = bitterness_figure(new.recipe.bitterness_by)
    sentence = comparison_sentence(figure_differences(old, new), system=system, bitterness=measure)
    weighed = tuple(change for change in _weighed(old, new, system) if change.was != change.now)
    figures = (change for change in _figures(old, new, system) if change.was != change.now)
    was, now = _short(old), _short(new)
    fit = [f"No longer fits: {sentence}." for what, sentence in now.items() if what not in was]
    if was and not now:
        fit.append("It fits now.")
    return Effect(
        sentence=as_sentence(sentence),
        changes=(*weighed, *figures),
        weighed=bool(weighed),
        fit=tuple(fit),
    )


def short_of(plan: Plan) -> tuple[str, ...]:
    """Return what does not fit, in sentences in the units of this context, whatever the plan was made in."""
    return tuple(as_sentence(sentence) for sentence in _short(plan).values())


def _short(plan: Plan) -> dict[str, str]:
    found = checks(plan.recipe, plan.brewhouse, plan.brew)
    return {check.what: check.sentence for check in found if not check.fits}


def _weighed(old: Plan, new: Plan, system: str) -> Iterator[Change]:
    """What is weighed and drawn: amounts the plan asks for, and no forecasts, so that they have no bands."""
    for words, part, text in (
        ("grist to weigh, in all", "grist_kg", mass_text),
        ("hops to weigh, in all", "hops_kg", hop_mass_text),
    ):
        was, now = (sum(float(kg) for kg in getattr(plan.amounts, part)) for plan in (old, new))
        yield Change(words, text(was, system), text(now, system))
    was_L, now_L = (sum(float(litres) for litres in (*p.amounts.liquor_L, *p.amounts.sparge_L)) for p in (old, new))
    yield Change("water to draw, in all", write(was_L, "volume", system=system), write(now_L, "volume", system=system))


def _figures(old: Plan, new: Plan, system: str) -> Iterator[Change]:
    """The figures of its vessels and those a brewer compares first, each with its band."""
    names = [name for name in _VESSELS if name in old.figures and name in new.figures]
    for name in dict.fromkeys((*names, *compared_figures(old, new, system))):
        if not _moved(old.figures[name], new.figures[name]):
            continue
        before, after = (written(name, plan.figures[name], system) for plan in (old, new))
        was, now = (f"{one.value} ({one.band})" if one.band else one.value for one in (before, after))
        yield Change(before.words, was, now)


def _moved(before: Band, after: Band) -> bool:
    width = max(before.high - before.low, after.high - after.low)
    ends = zip((before.mean, before.low, before.high), (after.mean, after.low, after.high), strict=True)
    return max(abs(now - was) for was, now in ends) > MOVED * width
