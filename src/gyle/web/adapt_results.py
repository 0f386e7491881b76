"""Adaptations a page shows, and the text each would be kept as; the last few are kept ready.

What is shown is planned from that very text, so that what is kept comes to the figures that were promised.
"""

from __future__ import annotations

import datetime
import threading
from collections import OrderedDict
from concurrent.futures import Future
from typing import TYPE_CHECKING

import attrs

from gyle.beer.reading import recipe_from_text
from gyle.beer.writing import restated, rewrite
from gyle.decide.plan import Plan
from gyle.errors import BadInput, Infeasible
from gyle.quantities import speaking
from gyle.share.beer_words import house_name
from gyle.share.ribbon import Ribbon, ribbon

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.decide.adapt import Adaptation
    from gyle.decide.compare import Option
    from gyle.web.adapt_wish import AdaptWish

__all__ = ["Adaptations", "Adapted", "elsewhere_name"]

KEPT = 6
_Key = tuple[object, ...]


@attrs.frozen(kw_only=True, eq=False)
class Adapted:
    """A beer on two brewhouses, as a page tells it."""

    wish: AdaptWish
    source_text: str
    source: Recipe
    system: str
    found: Adaptation
    plan: Plan  # of the text it would be kept as
    there: Ribbon
    here: Ribbon
    short_of: tuple[str, ...]  # why it does not fit as it is
    taken: Option | None  # the way out this one goes

    @property
    def origin(self) -> Plan:
        """The plan where the amounts hold."""
        return self.found.origin

    def text(self, *, name: str | None = None, whole: bool = False) -> str:
        """Return the recipe as it would be kept.

        Parameters
        ----------
        name : str, optional
            Another name of the beer.
        whole : bool
            Write the brewhouse into it, as a file for elsewhere needs; else it is named by its slug.
        """
        new = self.found.recipe if name is None else attrs.evolve(self.found.recipe, name=name)
        if whole and new.for_brewhouse is not None:
            # The water's report stays here, and a name that finds nothing would be a fault elsewhere.
            new = attrs.evolve(new, for_brewhouse=attrs.evolve(new.for_brewhouse, water_name=""))
        return _kept_text(self.source_text, self.source, new, self.system, None if whole else self.wish.slug)


def elsewhere_name(adapted: Adapted) -> str:
    """Return what the beer would be called on the other brewhouse."""
    name = adapted.source.name.removesuffix(f" for {house_name(adapted.origin)}")
    return f"{name} for {adapted.plan.brewhouse.name}"


class Adaptations:
    """Make adaptations, each once however often it is asked for, and keep the last few.

    Parameters
    ----------
    kept : int
        How many are kept.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._found: OrderedDict[_Key, Future[Adapted]] = OrderedDict()
        self._lock = threading.Lock()

    def known(self, text: str, recipe: Recipe, wish: AdaptWish, *, system: str) -> Adapted | None:
        """Return an adaptation that is ready; None where it is still to be made, or was refused."""
        with self._lock:
            return self._ready(self._same(text, recipe, wish, system))

    def of(self, text: str, recipe: Recipe, wish: AdaptWish, *, system: str) -> Adapted:
        """Return the adaptation of a recipe.

        Parameters
        ----------
        text : str
            The recipe's text.
        recipe : Recipe
            What it reads as today: the brewhouse it is for may have changed since.
        wish : AdaptWish
            What is asked.
        system : {"metric", "us"}
            The person's units, which its sentences are in.

        Raises
        ------
        GyleError
            If it cannot be brewed there.
        """
        key = self._same(text, recipe, wish, system)
        with self._lock:
            if (ready := self._ready(key)) is not None:
                return ready
            waited = self._found.get(key)
            if waited is None:
                mine: Future[Adapted] = Future()
                self._found[key] = mine
        if waited is not None:
            return waited.result()
        try:
            made = _adapted(text, recipe, wish, system, compared=self._compared(key))
        except BaseException as error:
            with self._lock:
                self._found.pop(key, None)
            mine.set_exception(error)
            raise
        mine.set_result(made)
        with self._lock:
            self._found.move_to_end(key)
            while len(self._found) > self._kept:
                self._found.popitem(last=False)
        return made

    def _ready(self, key: _Key) -> Adapted | None:
        """What is made already: as it was asked for, or as the way out that is recommended anyway."""
        choose = key[-1]
        known = self._found.get(key)
        if known is None and choose is not None:
            plain = self._found.get((*key[:-1], None))
            if plain is not None and _is_made(plain) and _named(plain.result().taken) == str(choose):
                known = plain
        return known.result() if known is not None and _is_made(known) else None

    def _compared(self, key: _Key) -> tuple[Option, ...] | None:
        """The ways out of the same wish, where another of them was gone before."""
        with self._lock:
            for other, one in self._found.items():
                if other[:-1] == key[:-1] and _is_made(one):
                    return one.result().found.options
        return None

    @staticmethod
    def _same(text: str, recipe: Recipe, wish: AdaptWish, system: str) -> _Key:
        origin = recipe.for_brewhouse
        today = datetime.date.today() if wish.stock is not None else None  # lots age
        return (
            text,
            None if origin is None else repr(origin),
            wish.house_text,
            repr(wish.house.water),
            wish.slug,
            wish.volume_L,
            wish.into,
            wish.instead,
            wish.stock_text,
            today,
            system,
            None if wish.choose is None else wish.choose.casefold(),
        )


def _is_made(one: Future[Adapted]) -> bool:
    return one.done() and one.exception() is None


def _named(option: Option | None) -> str:
    return "" if option is None else option.name.casefold()


def _adapted(
    text: str, recipe: Recipe, wish: AdaptWish, system: str, *, compared: tuple[Option, ...] | None
) -> Adapted:
    from gyle.decide.adapt import adapt
    from gyle.decide.plan import plan

    with speaking(system):
        try:
            found = adapt(
                recipe,
                wish.house,
                volume_L=wish.volume_L,
                into=wish.into,
                stock=wish.stock,
                instead=wish.instead,
                choose=wish.choose,
                compared=compared,
            )
        except BadInput as error:
            raise BadInput(
                fault.removeprefix("--choose ").removeprefix("--instead ") for fault in error.faults
            ) from None
        if not found.plan.fits and not any(option.fits for option in found.options):
            raise Infeasible(f"no way out was found: {'; '.join(found.plan.short_of)}")
        kept = recipe_from_text(
            _kept_text(text, recipe, found.recipe, system, wish.slug), resolve=lambda _: found.plan.brewhouse
        )
        final = plan(kept, found.plan.brewhouse)
        short_of = _as_it_is(found, recipe, wish) if found.options else final.short_of
    return Adapted(
        wish=wish,
        source_text=text,
        source=recipe,
        system=system,
        there=ribbon(found.origin),
        here=ribbon(final),
        found=_slim(found),
        plan=final.slim(),
        short_of=short_of,
        taken=_taken(found, wish.choose),
    )


def _kept_text(text: str, old: Recipe, new: Recipe, system: str, slug: str | None) -> str:
    """The author's text restated. What was said of the brewhouse beside its name goes with it."""
    bare = rewrite(text, {("for_brewhouse",): None}) if old.for_brewhouse is not None else text
    return restated(bare, old, new, system, for_brewhouse=slug)


def _as_it_is(found: Adaptation, recipe: Recipe, wish: AdaptWish) -> tuple[str, ...]:
    """Why the beer does not fit without a way out."""
    from gyle.decide.knobs import Knobs
    from gyle.decide.plan import planned
    from gyle.decide.restate import wish_of
    from gyle.decide.ways_out import attempt

    origin = found.origin
    solution, _, _ = planned(origin.recipe, origin.brewhouse)
    beer = wish_of(recipe, origin, solution.centre, volume_L=wish.volume_L, into=wish.into)
    return attempt(beer, found.plan.brewhouse, Knobs()).short_of


def _taken(found: Adaptation, choose: str | None) -> Option | None:
    def wanted(one: Option) -> bool:
        return one.recommended if choose is None else one.name.casefold() == choose.casefold()

    return next((one for one in found.options if wanted(one)), None)


def _slim(found: Adaptation) -> Adaptation:
    """An adaptation without what its vessels held, which nothing but a ribbon reads."""
    options = tuple(
        attrs.evolve(option, plan=None if option.plan is None else option.plan.slim()) for option in found.options
    )
    final = found.plan.slim()
    return attrs.evolve(found, origin=found.origin.slim(), plan=final, unrounded=final, options=options)
