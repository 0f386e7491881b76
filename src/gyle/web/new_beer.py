"""A beer begun: from a plain recipe, from a pasted text, from a file; faults beside what was typed."""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, BinaryIO

import attrs

from gyle.beer.new_recipe import blank_recipe, recipe_from_paste
from gyle.beer.page import LARGEST_BYTES
from gyle.beer.recipe_edits import Set, edited
from gyle.beer.rewriting import rewrite
from gyle.books import brewhouses
from gyle.books.wording import NAME_LENGTH, checked_text
from gyle.errors import BadInput
from gyle.share.sentences import as_sentence, without_line
from gyle.web.readings import house_slug_of

if TYPE_CHECKING:
    from gyle.books.store import Store

__all__ = ["NewBeer", "choices", "example_card", "from_file", "from_plain", "from_text"]

FIELDS = ("name", "volume", "gravity", "brewhouse", "malt", "hop", "yeast")  # as the form has them
LONGEST_KEPT = 20_000  # characters of a field that are shown again
FAULTS_SHOWN = 12  # of a text; a page of another kind would have one for each of its lines
_USUAL = {"malt": "pale ale malt", "hop": "Northern Brewer", "yeast": "clean ale yeast"}
_SOUND_NAME, _SOUND_VOLUME = "a beer", "20 L"
# Where a fault lies in the text that was made of the fields, which nobody has seen; its field says it better.
_KEY = re.compile(r'^(?:\w+: |\w+ is (?="[^"]*", which is))')
_AMOUNTS = {
    "metric": ("20 L", "4.2 kg", "300 g", "66 °C", "25 g", "40 g", "19 °C"),
    "us": ("5.3 gal", "9.3 lb", "10.6 oz", "151 °F", "0.9 oz", "1.4 oz", "66 °F"),
}
_CARD = """\
gyle = 1
name = "Ferry Steps"       # what the card calls it
volume = "{0}"            # into the fermenter

[aim]                      # what the card promises
original_gravity = "1.048"
bitterness = "32 IBU"

[[grist]]                  # a block for each line of the grist
what = "pale ale malt"
mass = "{1}"
[[grist]]
what = "crystal malt"
mass = "{2}"

[[mash]]
temperature = "{3}"
time = "60 min"

[boil]
time = "60 min"

[[hops]]                   # no mass: as much as the bitterness asks for
what = "Northern Brewer"
alpha = "8.6 %"
at = "boil 60 min"
[[hops]]
what = "Fuggle"
mass = "{4}"
at = "boil 10 min"
[[hops]]
what = "Cascade"
mass = "{5}"
at = "dry day 5 4 days"

[yeast]
what = "clean ale yeast"

[[fermentation]]
temperature = "{6}"

[package]
carbonation = "2.3 vol"
"""


@attrs.frozen(kw_only=True)
class NewBeer:
    """What became of a form: a recipe's text, or what is wrong with what was typed."""

    way: str = ""  # "plain", "text" or "file": which form was sent
    recipe_text: str | None = None
    brewhouse: str | None = None  # slug of the one it is shaped on
    typed: Mapping[str, str] = attrs.field(factory=dict)
    faults: Mapping[str, str] = attrs.field(factory=dict)  # of the plain form, by field
    text: str = ""  # what was pasted or stood in the file
    text_faults: tuple[str, ...] = ()


@functools.cache
def choices() -> Mapping[str, tuple[str, ...]]:
    """Return what a beer from nothing may be made of, by field, the usual one first."""
    from gyle.beer import tables

    names = {"hop": tables.hop_names(), "yeast": tables.yeast_names(), "malt": _base_malts()}
    return {key: (_USUAL[key], *(name for name in found if name != _USUAL[key])) for key, found in names.items()}


def _base_malts() -> tuple[str, ...]:
    from gyle.beer import tables

    known = ((name, tables.fermentable(name)) for name in tables.fermentable_names())
    return tuple(name for name, found in known if found is not None and found[0].group == "base malt")


def example_card(system: str) -> str:
    """Return a small card as it is typed, in the person's units, to write over.

    Parameters
    ----------
    system : {"metric", "us"}
        The person's units.
    """
    return _CARD.format(*_AMOUNTS[system])


def from_plain(store: Store, typed: Mapping[str, str], *, system: str) -> NewBeer:
    """Begin with a small sound recipe.

    Parameters
    ----------
    store : Store
        The books.
    typed : mapping
        Name, volume, brewhouse (its slug, or nothing), aimed gravity (or nothing), malt, hop and yeast (by name, or
        nothing for the usual).
    system : {"metric", "us"}
        The person's units.
    """
    name, volume, gravity = (typed.get(key, "").strip() for key in ("name", "volume", "gravity"))
    house = typed.get("brewhouse", "")
    faults: dict[str, str] = {}
    if not volume:
        faults["volume"] = "A recipe needs a volume; write how much beer goes into the fermenter."
    if len(name) > NAME_LENGTH:
        faults["name"] = (
            f"The name has {len(name):,} characters, and at most {NAME_LENGTH} are kept; write a shorter one."
        )
    for key, tried in (("name", (name, _SOUND_VOLUME)), ("volume", (_SOUND_NAME, volume))):
        if key not in faults:
            try:
                blank_recipe(*tried, system=system)
            except BadInput as error:
                faults[key] = _beside(error.faults[0])
    made_of = {key: typed.get(key, "").strip() or usual for key, usual in _USUAL.items()}
    faults |= _not_in_its_list(store, house, made_of)
    text = "" if faults else blank_recipe(name, volume, system=system, **made_of)
    if gravity:
        try:
            aimed = edited(
                text or blank_recipe(_SOUND_NAME, _SOUND_VOLUME, system=system),
                Set("aim.original_gravity", gravity),
                system=system,
            )
        except BadInput as error:
            faults["gravity"] = _beside(error.faults[0])
        else:
            text = aimed.text if aimed is not None and text else text
    if faults:
        kept = {key: value[:LONGEST_KEPT] for key, value in typed.items()}
        in_order = {key: faults[key] for key in FIELDS if key in faults}  # so that the first one wrong is the first
        return NewBeer(way="plain", typed=kept, faults=in_order)
    if house:
        text = rewrite(text, {("for_brewhouse",): house}, name="the recipe")
    return NewBeer(way="plain", recipe_text=text, brewhouse=house or None)


def _not_in_its_list(store: Store, house: str, made_of: Mapping[str, str]) -> dict[str, str]:
    """Return why what a list offers cannot be, by field, where it was sent otherwise."""
    faults = {
        key: f"There is no such {key} in the list; choose one; your own is written over it once it is begun."
        for key, name in made_of.items()
        if name not in choices()[key]
    }
    if house and house not in {one.slug for one in brewhouses.brewhouses(store)}:
        faults["brewhouse"] = "There is no such brewhouse; choose one of the list."
    return faults


def from_text(store: Store, text: str) -> NewBeer:
    """Begin with a pasted recipe."""
    return _read(store, text, way="text", name="the pasted text")


def from_file(store: Store, file: BinaryIO | None, filename: str) -> NewBeer:
    """Begin with a recipe's file; what it holds is shown with its faults where it does not read."""
    if file is None or not filename:
        return NewBeer(way="file", text_faults=("No file was chosen; choose a recipe's .toml file.",))
    held = file.read(LARGEST_BYTES + 1)
    called = "".join(letter for letter in filename if letter.isprintable())[:60] or "the file"
    if len(held) > LARGEST_BYTES:
        return NewBeer(way="file", text_faults=(f"{called} is larger than 1 MB, which no recipe needs.",))
    try:
        text = held.decode("utf-8")
    except UnicodeDecodeError:
        fault = f"{called} is no text in UTF-8; save it as plain text and choose it again."
        return NewBeer(way="file", text_faults=(fault,))
    return _read(store, text, way="file", name=called)


def _read(store: Store, text: str, *, way: str, name: str) -> NewBeer:
    try:
        sound = recipe_from_paste(text, resolve=brewhouses.resolver(store), name=name)
        checked_text(sound, name)
        if not _named(sound):
            raise BadInput(f'{name} has no name of the beer; write name = "..." at its top')
    except BadInput as error:
        return NewBeer(way=way, text=text, text_faults=_told(error.faults))
    return NewBeer(way=way, recipe_text=sound, brewhouse=house_slug_of(store, sound))


def _beside(fault: str) -> str:
    """A fault as it is said beside its field."""
    found = without_line(fault)
    bare = _KEY.sub("", found)
    return as_sentence(found if found == fault else re.sub(r'^("[^"]*"), which is', r"\1 is", bare))


def _told(faults: Sequence[str]) -> tuple[str, ...]:
    """Every fault as a sentence, or the first of very many."""
    said = tuple(as_sentence(fault) for fault in faults[:FAULTS_SHOWN])
    left = len(faults) - len(said)
    return (*said, f"And {left:,} more of the kind.") if left else said


def _named(text: str) -> bool:
    name = tomllib.loads(text).get("name")
    return isinstance(name, str) and bool(name.strip())
