"""What a page asks of a beer's water: which water, what is at hand, what is wanted; each fault by its field."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import attrs

from gyle.beer.mineral import Mineral, mineral_of, minerals
from gyle.beer.recipe_edits import Set, edited
from gyle.beer.recipe_inputs import recipe_inputs
from gyle.beer.water_blend import bought_water, bought_waters
from gyle.books import brewhouses, waters
from gyle.books.refusals import NotThere
from gyle.books.stock import stock
from gyle.errors import BadInput, GyleError
from gyle.quantities import read
from gyle.share.sentences import as_sentence
from gyle.share.water_names import short_name
from gyle.share.water_wishes import wished_by
from gyle.web.beer_fields import FieldView, changed_fields, field_views
from gyle.web.readings import recipe_of
from gyle.web.tap_link import tap_slug

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.beer.water import Water
    from gyle.books.papers import Paper
    from gyle.books.store import Store
    from gyle.decide.treatment_problem import Shelf

__all__ = ["LEAST_PH", "MOST_PH", "Choice", "Wish", "WishForm", "wish_form"]

PLACES = ("water.calcium", "water.magnesium", "water.sodium", "water.sulfate", "water.chloride",
          "water.sulfate_to_chloride", "aim.mash_ph", "water.potassium", "water.bicarbonate")  # fmt: skip
RARE = ("water.potassium", "water.bicarbonate")
MASH_PH = "aim.mash_ph"
LEAST_PH, MOST_PH = 4.5, 6.5
STEPS_G = {"0.01": "0.01 g", "0.1": "0.1 g", "0.5": "0.5 g", "1": "1 g"}
KINDS = tuple(str(count) for count in range(1, 7))
NO_ACID = "none"
SECOND = {"ro": "reverse osmosis, where it helps", "none": "none"}
LONGEST_TYPED = 10_000
_WHERE = re.compile(r"^(?:water|aim)(?:, line \d+)?: (?:[a-z_]+: )?")


@attrs.frozen(kw_only=True)
class Choice:
    """One thing of several."""

    value: str
    words: str
    chosen: bool = False


@attrs.frozen(kw_only=True, eq=False)
class Wish:
    """What is to be worked out.

    Parameters
    ----------
    text : str
        The recipe's text with what is wanted written into it.
    recipe : Recipe
        What it reads as.
    report : Water
        The water at hand.
    water_name : str
        What a brewhouse's file would call it.
    shelf : Shelf
        Salts and acids at hand.
    dilute : bool
        Whether reverse osmosis water may help.
    key : tuple of str
        All of it, so that the answer is known again.
    """

    text: str
    recipe: Recipe
    report: Water
    water_name: str
    shelf: Shelf
    dilute: bool
    key: tuple[str, ...]


@attrs.frozen(kw_only=True, eq=False)
class WishForm:
    """The form as it stands, and the wish it makes; None where something is wrong or there is no water yet."""

    waters: tuple[Choice, ...]
    water_words: str
    likes: tuple[Choice, ...]
    second: tuple[Choice, ...]
    have: tuple[Choice, ...]
    more: tuple[Choice, ...]
    acids: tuple[Choice, ...]
    steps: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    fields: Mapping[str, FieldView]
    faults: Mapping[str, str]
    sent: tuple[tuple[str, str], ...]  # every field as an address or a hidden field says it
    wish: Wish | None

    @property
    def query(self) -> str:
        """The fields as they follow an address."""
        return urlencode(self.sent)

    @property
    def usual(self) -> tuple[FieldView, ...]:
        """The fields that stand open."""
        return tuple(self.fields[place] for place in PLACES if place not in RARE)

    @property
    def rare(self) -> tuple[FieldView, ...]:
        """The fields that unfold."""
        return tuple(self.fields[place] for place in RARE)


def wish_form(store: Store, text: str, sent: Sequence[tuple[str, str]], *, system: str) -> WishForm:
    """Read what a page sent.

    Parameters
    ----------
    store : Store
        Waters, brewhouses and the stock.
    text : str
        The recipe's text.
    sent : sequence of pairs
        Fields and their values, as an address or a form has them; none of them for the first time.
    system : {"metric", "us"}
        The person's units.

    Raises
    ------
    BadInput
        If the recipe cannot be read.
    """
    said = dict(sent)
    first = "acid" not in said  # which the form always says
    faults: dict[str, str] = {}
    kept = waters.waters(store)
    name = said.get("water") or _first_water(store, text, kept)
    report = _water(store, name, faults) if name else None
    typed = {place: said[place] for place in PLACES if place in said}
    if said.get("do") == "like":
        typed |= _like(store, said.get("like", ""), faults)
    recipe_of(store, text)  # raises where there is nothing to treat
    written, fields = _written(store, text, typed, faults, system)
    step = said.get("step", "0.1") if said.get("step", "0.1") in STEPS_G else "0.1"
    kinds = said.get("kinds", "4") if said.get("kinds", "4") in KINDS else "4"
    second = said.get("second", "ro") if said.get("second", "ro") in SECOND else "ro"
    at_hand, acid = _at_hand(store, sent, first=first)
    salts = [mineral for mineral in minerals() if mineral.kind != "acid" and mineral.key != "calcium carbonate"]
    shelf = _shelf(at_hand, acid, step_g=float(step), most_salts=int(kinds))
    everything = (
        ("water", name), ("second", second), ("step", step), ("kinds", kinds), ("acid", acid),
        *(("have", mineral) for mineral in sorted(at_hand)),
        *((place, fields[place].typed or "") for place in PLACES),
    )  # fmt: skip
    wish, house = None, _house_text(store, text)
    if report is not None and not faults:
        wish = Wish(
            text=written,
            recipe=recipe_of(store, written),
            report=report,
            water_name=name,
            shelf=shelf,
            dilute=second == "ro",
            key=(system, written, repr(report), house, *(f"{one}={value}" for one, value in everything)),
        )
    return WishForm(
        waters=_water_choices(kept, name),
        water_words="" if report is None else _facts(report, system),
        likes=tuple(Choice(value=paper.slug, words=paper.name) for paper in kept),
        second=tuple(Choice(value=key, words=words, chosen=key == second) for key, words in SECOND.items()),
        have=tuple(_salt(one, at_hand) for one in salts if one.usual or one.name in at_hand),
        # One with a note is another one of the list, named less clearly.
        more=tuple(_salt(one, at_hand) for one in salts if not (one.usual or one.note or one.name in at_hand)),
        acids=(
            *(Choice(value=one.name, words=one.name, chosen=one.name == acid) for one in _acids(acid)),
            Choice(value=NO_ACID, words="no acid", chosen=acid == NO_ACID),
        ),
        steps=tuple(Choice(value=key, words=words, chosen=key == step) for key, words in STEPS_G.items()),
        kinds=tuple(Choice(value=count, words=count, chosen=count == kinds) for count in KINDS),
        fields=fields,
        faults=faults,
        sent=everything,
        wish=wish,
    )


def _house_text(store: Store, text: str) -> str:
    house = brewhouses.brewhouse_named_in(store, text)
    return "" if house is None else house.text


def _facts(report: Water, system: str) -> str:
    from gyle.web.water_view import fact_words

    return fact_words(report, system=system)


def _salt(mineral: Mineral, at_hand: frozenset[str]) -> Choice:
    return Choice(value=mineral.name, words=short_name(mineral), chosen=mineral.name in at_hand)


def _acids(chosen: str) -> tuple[Mineral, ...]:
    """Dissolved acids; a dry one is not dosed."""
    known = tuple(one for one in minerals() if one.kind == "acid" and one.unit == "mL")
    if chosen in (NO_ACID, *(one.name for one in known)):
        return known
    own = mineral_of(chosen)
    return known if own is None else (own, *known)


def _first_water(store: Store, text: str, kept: Sequence[Paper]) -> str:
    """The brewhouse's own, else the first that somebody analysed."""
    house = brewhouses.brewhouse_named_in(store, text)
    own = "" if house is None else tap_slug(house.text)
    if own in {paper.slug for paper in kept}:
        return own
    if own and (bought := bought_water(own)) is not None:
        return bought.name
    for paper in kept:
        try:
            water = waters.water_read(store, paper.text, name=paper.name, slug=paper.slug)
        except GyleError:
            continue
        if not {"alkalinity", "ph"} <= set(water.estimated):
            return paper.slug
    return ""


def _water(store: Store, name: str, faults: dict[str, str]) -> Water | None:
    bought = bought_water(name) if name in bought_waters() else None
    if bought is not None:
        return bought
    try:
        paper = waters.water(store, name)
        return waters.water_read(store, paper.text, name=paper.name, slug=paper.slug)
    except NotThere:
        faults["water"] = "There is no such water in the books; choose another."
    except GyleError as error:
        faults["water"] = f"This water cannot be read as it stands. {as_sentence(str(error).splitlines()[0])}"
    return None


def _water_choices(kept: Sequence[Paper], name: str) -> tuple[Choice, ...]:
    own = [Choice(value=paper.slug, words=paper.name, chosen=paper.slug == name) for paper in kept]
    bought = [Choice(value=one, words=f"{one} water", chosen=one == name) for one in bought_waters()]
    return (*own, *bought)


def _like(store: Store, slug: str, faults: dict[str, str]) -> dict[str, str]:
    """What a kept water states, as amounts to wish for; the mash's pH decides on its alkalinity."""
    try:
        paper = waters.water(store, slug)
        wished = wished_by(waters.water_read(store, paper.text, name=paper.name, slug=slug))
    except GyleError as error:
        faults["like"] = as_sentence(str(error).splitlines()[0])
        return {}
    stated = {f"water.{ion}": f"{amount:.3g}" for ion, amount in wished.items() if ion != "bicarbonate"}
    return {place: stated.get(place, "") for place in PLACES if place != MASH_PH}


def _written(
    store: Store, text: str, typed: Mapping[str, str], faults: dict[str, str], system: str
) -> tuple[str, dict[str, FieldView]]:
    """Write what is wanted into the recipe's text, as its own fields would be edited."""
    inputs = [one for one in recipe_inputs(text) if one.place in PLACES]
    views = field_views(inputs, system=system)
    resolve = brewhouses.resolver(store)
    for place, value in changed_fields(views, typed).items():
        try:
            done = edited(text, Set(place, value[:LONGEST_TYPED]), resolve=resolve, system=system)
            if place == MASH_PH and value:
                _check_ph(value)
            text = text if done is None else done.text
        except BadInput as error:
            faults[place] = " ".join(as_sentence(_spoken(fault)) for fault in error.faults[:2])
    shown = field_views(
        inputs, system=system, faults=faults, typed={place: value[:LONGEST_TYPED] for place, value in typed.items()}
    )
    return text, shown


def _spoken(fault: str) -> str:
    """A fault of the recipe's text without the place and the spelling of its key."""
    plain = _WHERE.sub("", fault)
    return plain.replace("sulfate_to_chloride", "sulfate to chloride").replace("mash_ph", "the mash pH")


def _check_ph(typed: str) -> None:
    value = read(typed, "ph").value
    if not LEAST_PH <= value <= MOST_PH:
        raise BadInput(f"a mash pH of {value:g} is wanted, and one between {LEAST_PH:g} and {MOST_PH:g} can be brewed")


def _at_hand(store: Store, sent: Sequence[tuple[str, str]], *, first: bool) -> tuple[frozenset[str], str]:
    """The names of the salts at hand and the acid: as sent, else the stock's, else the usual ones."""
    known = {mineral.name: mineral for mineral in minerals()}
    if not first:
        acid = next((value for key, value in sent if key == "acid"), NO_ACID)
        found = mineral_of(acid) if acid != NO_ACID and len(acid) < 80 else None
        right = found is not None and found.kind == "acid" and found.unit == "mL"
        return frozenset(value for key, value in sent if key == "have" and value in known), acid if right else NO_ACID
    stocked = _stocked(store)
    salts = [one.name for one in stocked if one.kind != "acid" and one.name in known]
    acids = [one.name for one in stocked if one.kind == "acid" and one.unit == "mL"]
    usual = [one.name for one in known.values() if one.usual and one.kind == "salt"]
    usual_acid = next(one.name for one in known.values() if one.usual and one.kind == "acid")
    return frozenset(salts or usual), acids[0] if acids else usual_acid


def _stocked(store: Store) -> tuple[Mineral, ...]:
    from gyle.beer.page import Page, parsed
    from gyle.beer.section import Section
    from gyle.beer.stock_reading import stock_of

    paper = stock(store)
    if paper is None:
        return ()
    try:
        page = Page(parsed(paper.text, paper.name), paper.text, paper.name)
        found = stock_of(Section(page, page.data))
        page.settle()
    except GyleError:
        return ()  # the stock's own page tells
    return tuple(dict.fromkeys(lot.mineral for lot in found.lots if lot.mineral is not None))


def _shelf(at_hand: frozenset[str], acid: str, *, step_g: float, most_salts: int) -> Shelf:
    from gyle.decide.treatment_problem import Shelf

    held = tuple(mineral for mineral in minerals() if mineral.name in at_hand)
    dissolved = mineral_of(acid) if acid != NO_ACID else None
    return Shelf(minerals=held if dissolved is None else (*held, dissolved), step_g=step_g, most_salts=most_salts)
