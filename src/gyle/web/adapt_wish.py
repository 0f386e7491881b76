"""What the adapt page is asked: where a beer shall be brewed, how much of it, with what, by which way out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import urlencode

import attrs

from gyle.beer.amounts import volume_L
from gyle.beer.page import Page, parsed
from gyle.beer.section import Section
from gyle.beer.stock_reading import stock_of
from gyle.beer.water_blend import bought_water, bought_waters
from gyle.books import brewhouses, waters
from gyle.books.stock import stock as stock_paper
from gyle.decide.ways_out import LEAST_VOLUME_SHARE
from gyle.errors import BadInput, GyleError
from gyle.quantities import read, write

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.beer.recipe import Recipe
    from gyle.beer.stock import Stock
    from gyle.beer.water import Water
    from gyle.books.store import Store

__all__ = ["LONGEST", "AdaptForm", "AdaptWish", "Choice", "adapt_wish", "brewhouse_choices", "water_choices"]

LONGEST = 200  # characters of anything typed here
LARGEST_L = 100_000.0
INTO = ("fermenter", "keg")
_BARE = re.compile(r"\d+(?:[.,]\d+)?")
_T = TypeVar("_T")


@attrs.frozen(kw_only=True)
class Choice:
    """One entry of a list to choose from."""

    value: str
    words: str


@attrs.frozen(kw_only=True)
class AdaptForm:
    """What was typed and chosen, as it was sent."""

    to: str = ""
    volume: str = ""
    into: str = ""
    instead: str = ""
    water: str = ""
    lots: str = ""
    choose: str = ""

    @classmethod
    def of(cls, sent: Mapping[str, str]) -> AdaptForm:
        """Take from an address or a sent form what belongs here."""
        return cls(**{field.name: sent.get(field.name, "").strip() for field in attrs.fields(cls)})

    @property
    def given(self) -> dict[str, str]:
        """Every field that says something."""
        return {name: text for name, text in attrs.asdict(self).items() if text}

    def query(self, also: Mapping[str, str]) -> str:
        """Return what follows an address so that it asks the same."""
        return "?" + urlencode({**also, **self.given})


@attrs.frozen(kw_only=True, eq=False)
class AdaptWish:
    """The same read and found: all an adaptation needs beside the recipe."""

    slug: str  # of the brewhouse
    house: Brewhouse  # with the water, where one is chosen
    house_text: str
    volume_L: float | None = None
    into: str | None = None
    instead: str | None = None
    choose: str | None = None
    stock: Stock | None = None
    stock_text: str = ""
    water: Water | None = None  # chosen here, as its report says; None: the brewhouse's own


def brewhouse_choices(store: Store) -> tuple[Choice, ...]:
    """Return every brewhouse of the books."""
    return tuple(Choice(value=paper.slug, words=paper.name) for paper in brewhouses.brewhouses(store))


def water_choices(store: Store) -> tuple[Choice, ...]:
    """Return every water of the books, then those that can be bought."""
    known = [Choice(value=paper.slug, words=paper.name) for paper in waters.waters(store)]
    return (*known, *(Choice(value=name, words=name) for name in bought_waters()))


def adapt_wish(
    store: Store, recipe: Recipe, form: AdaptForm, *, system: str
) -> tuple[AdaptWish | None, dict[str, str]]:
    """Read what is asked.

    Parameters
    ----------
    store : Store
        The books, where brewhouses, waters and the stock are looked for.
    recipe : Recipe
        The beer, which says what can be swapped.
    form : AdaptForm
        What was sent.
    system : {"metric", "us"}
        The unit of a volume typed as a bare number.

    Returns
    -------
    tuple of AdaptWish or None and dict
        The wish, or None and a sentence for each field that cannot be used.
    """
    faults: dict[str, str] = {}

    def taken(field: str, reading: Callable[[str], _T]) -> _T | None:
        text: str = getattr(form, field)
        if not text:
            return None
        if len(text) > LONGEST:
            faults[field] = f"This is {len(text):,} characters long, and at most {LONGEST} are read."
            return None
        try:
            return reading(text)
        except BadInput as error:
            faults[field] = _sentence("; ".join(error.faults))
        except GyleError as error:
            faults[field] = _sentence(str(error))
        return None

    found = taken("to", lambda text: _house(store, text))
    if not form.to:
        faults["to"] = "Choose the brewhouse it shall be brewed on."
    litres = taken("volume", lambda text: _litres(text, system))
    into = taken("into", _place)
    instead = taken("instead", lambda text: _swap(recipe, text))
    water = taken("water", lambda text: _water(store, text))
    stock = taken("lots", lambda _: _stock(store))
    taken("choose", str)
    if found is not None and litres is not None and LEAST_VOLUME_SHARE * litres > found[0].fermenter_vessel_L:
        faults["volume"] = _far_beyond(litres, found[0])
    if faults or found is None:
        return None, faults
    house, house_text = found
    if water is not None:
        from gyle.beer.water_ready import ready  # and the chemistry behind it

        house = attrs.evolve(house, water=ready(water), water_name="")
    return (
        AdaptWish(
            slug=form.to,
            house=house,
            house_text=house_text,
            volume_L=litres,
            into=into,
            instead=instead,
            choose=form.choose or None,
            stock=None if stock is None else stock[0],
            stock_text="" if stock is None else stock[1],
            water=water,
        ),
        {},
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".") + "."


def _far_beyond(litres: float, house: Brewhouse) -> str:
    """A volume of which no way out is looked for, as even the least share of it does not fit the fermenter."""
    fermenter = write(house.fermenter_vessel_L, "volume")
    return (
        f"{write(litres, 'volume')} is far beyond {house.name}: not even a tenth of it fits the fermenter of"
        f" {fermenter}; write less."
    )


def _house(store: Store, slug: str) -> tuple[Brewhouse, str]:
    paper = brewhouses.brewhouse(store, slug)
    return brewhouses.brewhouse_read(store, paper), paper.text


def _litres(text: str, system: str) -> float:
    unit = "gal" if system == "us" else "L"
    litres = volume_L(read(f"{text} {unit}" if _BARE.fullmatch(text) else text, "volume"))
    if not (0.0 < litres <= LARGEST_L and math.isfinite(litres)):
        raise BadInput(f"{litres:g} L is no volume to brew; it must be more than 0 and at most {LARGEST_L:,.0f} L")
    return litres


def _place(text: str) -> str:
    if text not in INTO:
        raise BadInput(f'"{text[:40]}" is no place to count a volume; it must be fermenter or keg')
    return text


def _swap(recipe: Recipe, text: str) -> str:
    """The swap as it is written, once it is known to be one; what it does is found with the rest."""
    from gyle.decide.swap import acid_wish_of, swapped

    try:
        if acid_wish_of(recipe, text) is None:
            swapped(recipe, text)
    except BadInput as error:
        raise BadInput(fault.removeprefix("--instead ") for fault in error.faults) from None
    return text


def _water(store: Store, name: str) -> Water:
    bought = bought_water(name)
    if bought is not None:
        return bought
    kept = waters.water(store, name)
    return waters.water_read(store, kept.text, name=kept.name, slug=kept.slug)


def _stock(store: Store) -> tuple[Stock, str]:
    paper = stock_paper(store)
    if paper is None:
        raise BadInput("nothing is written down yet of what lies in the store; leave this out")
    page = Page(parsed(paper.text, paper.name), paper.text, paper.name)
    found = stock_of(Section(page, page.data))
    page.settle()
    return found, paper.text
