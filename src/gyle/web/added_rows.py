"""What the small buttons of a station add: a row to write over, in the person's own units."""

from __future__ import annotations

from gyle.beer.recipe_edits import Add

__all__ = ["BUTTONS", "added_row"]

_STAND = ("stand 80 °C 20 min", "stand 176 °F 20 min")
# By button: the list, and the row's texts; where customs differ, metric and US.
_ROWS: dict[str, tuple[str, dict[str, str | tuple[str, str]]]] = {
    "grist": ("grist", {"what": "pale malt", "amount": "5 %"}),
    "sugar": ("grist", {"what": "sucrose", "amount": "5 %", "at": "boil 10 min"}),
    "mash": ("mash", {"temperature": ("72 °C", "162 °F"), "time": "15 min"}),
    "hops": ("hops", {"what": "Cascade", "amount": ("20 g", "0.75 oz"), "at": "boil 10 min"}),
    "stand": ("hops", {"what": "Cascade", "amount": ("30 g", "1 oz"), "at": _STAND}),
    "dry": ("hops", {"what": "Cascade", "amount": ("60 g", "2 oz"), "at": "dry stable 3 days"}),
    "fermentation": ("fermentation", {"temperature": ("20 °C", "68 °F"), "end": "3 days"}),
}
# Into a grist that is weighed out a weight is put: a share would restate its other lines.
_WEIGHED = {"grist": ("250 g", "0.5 lb"), "sugar": ("250 g", "0.5 lb")}
BUTTONS = tuple(_ROWS)


def added_row(button: str, *, system: str, weighed: bool = False) -> Add | None:
    """Return what a button adds, None for a button there is not.

    Parameters
    ----------
    button : str
        Its name, one of `BUTTONS`.
    system : {"metric", "us"}
        The person's units, which the row is written in.
    weighed : bool
        Whether the lines of the grist are stated by weight.
    """
    found = _ROWS.get(button)
    if found is None:
        return None
    row, texts = found
    if weighed and button in _WEIGHED:
        texts = {**texts, "amount": _WEIGHED[button]}
    return Add(row, {key: text if isinstance(text, str) else text[system == "us"] for key, text in texts.items()})
