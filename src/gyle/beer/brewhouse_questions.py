"""Five questions that make a usable brewhouse of a newcomer's answers.

Only what is answered is written into the file. The rest stays with the kind of system and its wide spreads,
and the notes say what that comes to.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_inputs import band_of
from gyle.beer.brewhouse_places import CHILL_WORDS, KIND_WORDS, Choice
from gyle.beer.kinds import traits
from gyle.beer.page import LONGEST_NAME, Page
from gyle.beer.reading import brewhouse_from_text
from gyle.beer.section import Section
from gyle.beer.toml_text import toml_text
from gyle.errors import BadInput
from gyle.quantities import read, spoken, unit_for, write, write_band
from gyle.quantities.reading import quoted

__all__ = ["Blank", "Question", "brewhouse_from_answers", "questions"]

LEAST_VESSEL_L, MOST_VESSEL_L = 1.0, 5000.0
LEAST_POWER_KW, MOST_POWER_KW = 0.1, 1000.0


@attrs.frozen(kw_only=True)
class Plug:
    """What a household plug gives an element [kW]: the middle, how far off, and the most its fuse lets through."""

    power_kW: float
    spread_kW: float
    most_kW: float


# A circuit of 15 A at 120 V may be loaded with 12 A for hours, one of 20 A with 20 for a while; sockets at 230 V
# give 10, 13 or 16 A. Provenance: common practice; the spreads are ours.
PLUGS = {
    "plug 120 V": Plug(power_kW=1.5, spread_kW=0.15, most_kW=2.4),
    "plug 230 V": Plug(power_kW=2.5, spread_kW=0.4, most_kW=3.7),
}
_HEAT_OF = {"element": "electric", "gas": "gas", "induction": "induction", **dict.fromkeys(PLUGS, "electric")}
_ELECTRIC = "electric all-in-one"
_TWO_VESSELS = ("mash tun and kettle", "unstated")


@attrs.frozen(kw_only=True)
class Blank:
    """One place to answer a question in: something to choose where there are choices, else something to type."""

    key: str
    words: str
    hint: str = ""
    kind: str = ""  # of gyle.quantities, where it is typed
    choices: tuple[Choice, ...] = ()
    needed: bool = False


@attrs.frozen(kw_only=True)
class Question:
    """One question, why it matters, and the blanks it is answered in; the first is the question's own."""

    key: str
    sentence: str
    why: str
    blanks: tuple[Blank, ...]

    @property
    def choices(self) -> tuple[Choice, ...]:
        """What may be chosen; empty where the answer is typed."""
        return self.blanks[0].choices

    @property
    def hint(self) -> str:
        """What an answer looks like, or how it is found."""
        return self.blanks[0].hint


_NOT_KNOWN = Choice("", "not known")


def questions(system: str | None = None) -> tuple[Question, ...]:
    """Return the five questions, with hints in the person's units."""
    us = (system or spoken()) == "us"
    pot, tun, vat, keg = ("8 gal", "10 gal", "7 gal", "5 gal") if us else ("30 L", "38 L", "27 L", "19 L")
    return (
        Question(
            key="kind",
            sentence="What do you brew on?",
            why="It decides every figure you do not know yet, each with a wide spread until you state it.",
            blanks=(
                Blank(
                    key="kind",
                    words="kind of system",
                    hint="choose the nearest; what differs can be stated afterwards",
                    choices=tuple(Choice(kind, words) for kind, words in KIND_WORDS.items()),
                    needed=True,
                ),
            ),
        ),
        Question(
            key="kettle",
            sentence="How big is the kettle, filled to the brim?",
            why="Grain, wort and foam must fit below the brim, and losses grow with the vessel.",
            blanks=(
                Blank(
                    key="kettle",
                    words="kettle, to the brim",
                    hint=f"such as {pot}; a size that is printed is often the brim, else fill it with a jug and count",
                    kind="volume",
                    needed=True,
                ),
                Blank(
                    key="mash_tun",
                    words="mash tun, to the brim",
                    hint=f"only where it is a vessel of its own, such as {tun}",
                    kind="volume",
                ),
            ),
        ),
        Question(
            key="heat",
            sentence="What heats it?",
            why="Power sets how long the day takes and how much boils away, and so the gravity of the wort.",
            blanks=(
                Blank(
                    key="heat",
                    words="what heats it",
                    choices=(
                        Choice("element", "an element in the wort, of the power below"),
                        Choice("plug 230 V", "an element on a household plug, 230 V"),
                        Choice("plug 120 V", "an element on a household plug, 120 V"),
                        Choice("gas", "a gas burner"),
                        Choice("induction", "an induction plate"),
                        _NOT_KNOWN,
                    ),
                ),
                Blank(
                    key="power",
                    words="power of the heat",
                    hint="such as 2.4 kW, as the plate on it says; leave it empty if you do not know",
                    kind="power",
                ),
            ),
        ),
        Question(
            key="chill",
            sentence="How do you chill?",
            why="Hops go on giving bitterness while the wort is hot.",
            blanks=(
                Blank(
                    key="chill",
                    words="how you chill",
                    choices=(*(Choice(by, CHILL_WORDS[by]) for by in ("immersion", "counterflow", "none")), _NOT_KNOWN),
                ),
            ),
        ),
        Question(
            key="filled",
            sentence="What do you fill?",
            why="The fermenter needs room for foam, and the keg decides how much beer is wanted.",
            blanks=(
                Blank(
                    key="fermenter",
                    words="fermenter, to the brim",
                    hint=f"such as {vat}; empty is taken to be as large as the kettle",
                    kind="volume",
                ),
                Blank(key="keg", words="keg, to the brim", hint=f"such as {keg}", kind="volume"),
            ),
        ),
    )


def brewhouse_from_answers(
    answers: Mapping[str, str], *, name: str, system: str | None = None
) -> tuple[str, tuple[str, ...]]:
    """Return a brewhouse's text from a newcomer's answers, and what to say of it.

    Parameters
    ----------
    answers : mapping of str to str
        By the keys of the blanks; what is missing or blank is not answered.
    name : str
        What the brewhouse is called.
    system : {"metric", "us"}, optional
        Which unit a bare number has; as this context speaks where left out.

    Returns
    -------
    tuple of str and tuple of str
        The file, with what was answered alone, and notes on what is taken for the rest.

    Raises
    ------
    BadInput
        With a sentence for each answer that cannot be used.
    """
    system = system or spoken()
    blanks = {blank.key: blank for question in questions(system) for blank in question.blanks}
    faults = [f"{quoted(key)} is none of the questions" for key in answers if key not in blanks]
    told: dict[str, str] = {}
    for key, blank in blanks.items():
        answer = _answer(answers.get(key, ""), blank, system, faults)
        if answer:
            told[key] = answer
    named = _named(name, faults)
    faults += _contradictions(told)
    if faults:
        raise BadInput(faults)
    text = toml_text(_table(told, named))
    house = brewhouse_from_text(text, name=named)
    return text, (*_notes(told, house, system), *house.notes)


def _answer(given: str, blank: Blank, system: str, faults: list[str]) -> str:
    """Return an answer as the file has it, "" where there is none; what is wrong with it is kept."""
    answer = " ".join(given.split())
    if not answer:
        if blank.needed:
            what = "nothing was chosen, and one of them is needed" if blank.choices else "nothing was written"
            faults.append(f"{blank.words}: {what}" + ("" if blank.choices else f"; write one {blank.hint}"))
        return ""
    if blank.choices:
        if answer not in [choice.value for choice in blank.choices]:
            faults.append(f"{blank.words}: {quoted(answer)} is none of the choices")
            return ""
        return answer
    unit = "kW" if blank.kind == "power" else unit_for(blank.kind, system)
    low, high = (LEAST_POWER_KW, MOST_POWER_KW) if blank.kind == "power" else (LEAST_VESSEL_L, MOST_VESSEL_L)
    page = Page({}, "", blank.words)
    section = Section(page, {blank.words: answer})
    quantity = section.quantity(blank.words, blank.kind, bare=unit)
    faults += page.faults
    if quantity is None:
        return ""
    if not low <= quantity.value <= high:
        least, most = (write(end, blank.kind, system=system, unit=unit) for end in (low, high))
        faults.append(f"{blank.words}: {quoted(answer)} was written, and between {least} and {most} was wanted")
        return ""
    bare = not any(letter.isalpha() for letter in answer)
    return f"{answer} {unit}" if bare else answer


def _named(name: str, faults: list[str]) -> str:
    named = " ".join(name.split())
    if not named:
        faults.append("name: nothing was written; write what you call the brewhouse")
    elif len(named) > LONGEST_NAME:
        faults.append(f"name: {len(named)} characters are too many; {LONGEST_NAME} are the most")
    elif not named.isprintable():
        faults.append("name: it holds a character that cannot be printed; write it without")
    return named


def _contradictions(told: Mapping[str, str]) -> list[str]:
    """Say which answers cannot both be meant."""
    found = []
    heat, kind = told.get("heat", ""), told.get("kind", "unstated")
    power_kW = read(told["power"], "power").value if "power" in told else None
    if kind == _ELECTRIC and heat in ("gas", "induction"):
        found.append(
            "what heats it: an electric all-in-one has its element inside; choose an element or a plug, or another"
            " kind of system"
        )
    if power_kW is not None and heat in PLUGS and power_kW > PLUGS[heat].most_kW:
        found.append(
            f"power of the heat: {write(power_kW, 'power')} is more than a household plug at {_volts(heat)}"
            f" gives, {write(PLUGS[heat].most_kW, 'power')} at most; choose an element, or write a smaller power"
        )
    if power_kW is not None and not heat and "kind" in told and kind != _ELECTRIC:
        found.append("power of the heat: it says little without what heats it; choose a burner, a plate or an element")
    if "mash_tun" in told and kind not in _TWO_VESSELS:
        found.append(
            "mash tun, to the brim: this kind of system mashes in its kettle; leave it empty, or choose a mash tun with"
            " a kettle beside it"
        )
    return found


def _volts(heat: str) -> str:
    return heat.removeprefix("plug ")


def _table(told: Mapping[str, str], name: str) -> dict[str, Any]:
    """Return the keys of the file: what was answered, nothing else."""
    file: dict[str, Any] = {"gyle": 1, "name": name, "kind": told["kind"]}
    if "mash_tun" in told:
        file["mash"] = {"vessel": told["mash_tun"]}
    kettle: dict[str, Any] = {"vessel": told["kettle"]}
    heat = told.get("heat", "")
    if heat:
        kettle["heat"] = _HEAT_OF[heat]
    if "power" in told:
        kettle["power"] = told["power"]
    elif heat in PLUGS:
        plug = PLUGS[heat]
        kettle["power"] = {
            "value": f"{plug.power_kW:g} kW",
            "spread": f"{plug.spread_kW:g} kW",
            "from": f"a household plug, {_volts(heat)}",
        }
    file["kettle"] = kettle
    if "chill" in told:
        file["chill"] = {"by": told["chill"]}
    for key in ("fermenter", "keg"):
        if key in told:
            file[key] = {"vessel": told[key]}
    return file


def _notes(told: Mapping[str, str], house: Brewhouse, system: str) -> list[str]:
    """Say what is taken where nothing was answered."""

    def volume(litres: float) -> str:
        return write(litres, "volume", system=system)

    notes = []
    if house.kind == "unstated":
        notes.append("The kind of system is not known, so every figure has its widest spread.")
    if "mash_tun" not in told and not traits(house.kind).same_vessel:
        notes.append(
            f"The mash tun is not stated: one as large as the kettle, {volume(house.mash_vessel_L)}, is taken."
        )
    if "power" not in told and house.power_kW is not None:
        low, high = band_of(house.power_kW)
        power = write_band(house.power_kW.centre, low, high, "power", system=system)
        said = "The power of the heat is not stated"
        if told.get("heat") in PLUGS:
            said = f"A household plug at {_volts(told['heat'])} is answered, and no power"
        notes.append(f"{said}: {power} is taken, and with it a wide band for the boil-off.")
    if "chill" not in told:
        low, high = band_of(house.chill_minutes)
        minutes = write_band(house.chill_minutes.centre, low, high, "time", system=system, unit="min")
        notes.append(f"How you chill is not stated: {CHILL_WORDS[house.chill_by]} is taken, which needs {minutes}.")
    if "fermenter" not in told:
        notes.append(
            f"The fermenter is not stated: one as large as the kettle, {volume(house.fermenter_vessel_L)}, is taken."
        )
    if "keg" not in told:
        notes.append(f"The keg is not stated: {volume(house.keg_vessel_L)} is taken.")
    low, high = band_of(house.boil_off_L_h)
    boil_off = write_band(house.boil_off_L_h.centre, low, high, "flow", system=system)
    notes.append(
        f"All else is usual for this kind of system and has wide bands, such as a boil-off of {boil_off}: state it"
        " here when you have measured it."
    )
    return notes
