"""A recipe to begin with: a small sound one, or what was pasted."""

from __future__ import annotations

from gyle.beer import tables
from gyle.beer.amount_keys import typed_text
from gyle.beer.page import LARGEST_BYTES
from gyle.beer.reading import recipe_from_text
from gyle.beer.recipe_reading import Resolve
from gyle.beer.toml_text import toml_text
from gyle.beer.written_units import bare_number
from gyle.errors import BadInput

__all__ = ["blank_recipe", "recipe_from_paste"]

_DEGREES = {"metric": ("66 °C", "19 °C"), "us": ("151 °F", "66 °F")}
_USUAL_C = 19.0
COOL_SHARE = 1 / 3  # of a yeast's usual temperatures, from the cold end. Provenance: ours
_LITRES = {"metric": "L", "us": "gal"}


def blank_recipe(
    name: str,
    volume: str,
    *,
    into: str = "fermenter",
    system: str = "metric",
    malt: str = "pale ale malt",
    hop: str = "Northern Brewer",
    yeast: str = "clean ale yeast",
) -> str:
    """Return the text of a small sound recipe: one malt, one rest, an hour's boil, one hop solved for its aim.

    Parameters
    ----------
    name : str
        What the beer is called.
    volume : str
        How much of it, such as "21 L"; a bare number is litres, or gallons in US units.
    into : {"fermenter", "keg"}
        What the volume counts.
    system : {"metric", "us"}
        Units of what is written.
    malt, hop, yeast : str
        By the names of the tables. A yeast that does not like the usual temperature is given one of its own.

    Raises
    ------
    BadInput
        If the name is none, or the volume is; or malt, hop or yeast is not known.
    """
    plain = typed_text(name)
    if not plain:
        raise BadInput("a beer needs a name; write what it is called")
    size = typed_text(volume)
    if bare_number(size) is not None:
        size = f"{size} {_LITRES[system]}"
    if into not in ("fermenter", "keg"):
        raise BadInput(f'the volume counts "{into}", and "fermenter" or "keg" was wanted')
    mash, ferment = _DEGREES[system]
    ferment = _warmth(yeast, system) or ferment
    text = toml_text(
        {
            "gyle": 1,
            "name": plain,
            "volume" if into == "fermenter" else "volume_into_keg": size,
            "aim": {"original_gravity": "1.050", "bitterness": "30 IBU"},
            "grist": [{"what": malt, "share": "100 %"}],
            "mash": [{"temperature": mash, "time": "60 min"}],
            "boil": {"time": "60 min"},
            "hops": [{"what": hop, "at": "boil 60 min"}],
            "yeast": {"what": yeast},
            "fermentation": [{"temperature": ferment}],
            "package": {"carbonation": "2.4 vol"},
        }
    )
    recipe_from_text(text)
    return text


def _warmth(yeast: str, system: str) -> str:
    """A temperature for a yeast that ferments colder or warmer than most, else nothing."""
    found = tables.yeast(yeast)
    low_C, high_C = (_USUAL_C, _USUAL_C) if found is None else found[0].temperature_usual_C
    if low_C <= _USUAL_C <= high_C:
        return ""
    at_C = round(low_C + COOL_SHARE * (high_C - low_C))
    return f"{at_C} °C" if system == "metric" else f"{round(at_C * 1.8 + 32.0)} °F"


def recipe_from_paste(text: str, *, resolve: Resolve | None = None, name: str = "the pasted text") -> str:
    """Return a pasted recipe, if it is one of ours and reads.

    Raises
    ------
    BadInput
        With every fault reading finds.
    """
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    try:
        size = len(plain.encode("utf-8"))
    except UnicodeEncodeError:
        raise BadInput(f"{name} holds half of a character; copy it again") from None
    if size > LARGEST_BYTES:
        raise BadInput(f"{name} is larger than 1 MB, which no recipe needs")
    recipe_from_text(plain, name=name, resolve=resolve)
    return plain if plain.endswith("\n") else f"{plain}\n"
