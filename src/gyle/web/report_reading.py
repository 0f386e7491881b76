"""A report's typed lines understood: the text they make, the water that is, and what is wrong, line by line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import attrs

from gyle.beer.page import parsed
from gyle.beer.report_key_words import KEY_WORDS, AddressedPage
from gyle.beer.section import Section
from gyle.books.waters import water_finder
from gyle.errors import BadInput, GyleError
from gyle.share.sentences import as_sentence
from gyle.web.report_form import report_text

if TYPE_CHECKING:
    from gyle.beer.water import Water
    from gyle.books.store import Store

__all__ = ["Understood", "understood"]


@attrs.frozen(kw_only=True)
class Understood:
    """What a report's fields come to.

    Parameters
    ----------
    text : str
        The text of the water's file.
    water : Water or None
        What it reads as, None where something is wrong.
    faults : mapping of str to str
        By key: why a line cannot be, in sentences.
    whole : tuple of str
        What is wrong with the report as a whole.
    """

    text: str
    water: Water | None
    faults: Mapping[str, str] = attrs.field(factory=dict)
    whole: tuple[str, ...] = ()


def understood(store: Store, typed: Mapping[str, str], *, base: str | None = None, slug: str = "") -> Understood:
    """Return what a report's fields come to.

    Parameters
    ----------
    store : Store
        Where the parts of a blend are found.
    typed : mapping of str to str
        What stands in the fields, as `typed_fields` gives it.
    base, slug : str, optional
        The text that is edited, and the slug it is kept under.
    """
    from gyle.beer.water_reading import water_of  # and the chemistry behind it

    try:
        text, wrong = report_text(typed, base=base)
        page = AddressedPage(parsed(text, "the water"), text, "the water")
    except BadInput as error:
        return Understood(text="", water=None, whole=tuple(as_sentence(fault) for fault in error.faults))
    faults = {key: as_sentence(fault) for key, fault in wrong.items()}
    if not typed.get("name"):
        faults["name"] = "A water needs a name, such as the place it comes from."
    figures = [key for key in typed if key in KEY_WORDS]
    if not figures and "blend" not in page.data:
        whole = ("No figure is written yet: a report states at least its main ions and its alkalinity.",)
        return Understood(text=text, water=None, faults=faults, whole=whole)
    page.water_named = water_finder(store, within=(slug,) if slug else ())
    water, refused = None, ""
    try:
        water = water_of(Section(page, page.data))
    except GyleError as error:
        refused = as_sentence(str(error))
    for key, sentences in page.by_key.items():
        if key in KEY_WORDS or key in ("name", "notes", "treated"):
            faults.setdefault(key, " ".join(as_sentence(one) for one in sentences))
    others = tuple(as_sentence(one) for key, told in page.by_key.items() for one in told if key not in faults)
    wrong_lines = any(key != "name" for key in faults) or bool(others)
    if water is None or wrong_lines:
        return Understood(text=text, water=None, faults=faults, whole=others if wrong_lines else (refused,))
    return Understood(text=text, water=attrs.evolve(water, notes=tuple(page.notes)), faults=faults)
