"""A brewhouse as its pages show it: one line of a list, rows of figures by station, the newcomer's questions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import attrs

from gyle.beer.brewhouse_edits import BrewhouseEdit, edited_brewhouse
from gyle.beer.brewhouse_inputs import BrewhouseInput, brewhouse_inputs
from gyle.beer.brewhouse_places import KIND_WORDS, STATIONS
from gyle.beer.brewhouse_questions import Blank, brewhouse_from_answers, questions
from gyle.beer.reading import brewhouse_from_text
from gyle.errors import BadInput
from gyle.share.dip_stick import dip_sticks
from gyle.share.sentences import as_sentence, joined
from gyle.web.dip_stick_drawing import Glyph, glyph

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.books.papers import Paper

__all__ = [
    "PARTS",
    "HouseLine",
    "QuestionView",
    "Row",
    "StationRows",
    "faulty_part",
    "first_notes",
    "house_line",
    "question_views",
    "stated_words",
    "station_rows",
    "told_of",
    "typed_edit",
]

TITLES = {
    "whole": "The whole",
    "mash": "Mash",
    "kettle": "Kettle",
    "chill": "Chill",
    "fermenter": "Fermenter",
    "keg": "Keg",
    "habit": "Habit",
    "learned": "What its beers teach",
}
# The parts of a figure in the order of a row, and what a person reads above each.
PARTS = {"value": "value", "spread": "give or take", "each_time": "gyle to gyle", "source": "where from"}


@attrs.frozen(kw_only=True)
class Part:
    """One field of a row."""

    key: str
    label: str
    shown: str  # what stands in the field: what was typed, where it could not be taken
    hint: str = ""
    faulty: bool = False


@attrs.frozen(kw_only=True)
class Row:
    """One figure: a form of its own."""

    figure: BrewhouseInput
    parts: Mapping[str, Part]
    source: str
    fault: str = ""

    @property
    def key(self) -> str:
        """Its address as part of an id."""
        return self.figure.address.replace(".", "-")

    @property
    def returns(self) -> bool:
        """Whether it can be taken back to its kind."""
        return self.figure.stated and self.figure.address != "name"


@attrs.frozen(kw_only=True)
class StationRows:
    """The figures of a station."""

    key: str
    title: str
    stated: str
    rows: tuple[Row, ...]


@attrs.frozen(kw_only=True)
class HouseLine:
    """One brewhouse of the list."""

    slug: str
    name: str
    kind: str = ""
    vessels: str = ""
    stated: str = ""
    glyph: tuple[Glyph, ...] = ()
    fault: str = ""


@attrs.frozen(kw_only=True)
class BlankView:
    """One place to answer in."""

    blank: Blank
    typed: str
    fault: str = ""


@attrs.frozen(kw_only=True)
class QuestionView:
    """One question."""

    number: int
    sentence: str
    why: str
    blanks: tuple[BlankView, ...]


def house_line(paper: Paper, *, system: str) -> HouseLine:
    """Return a brewhouse's line of the list; one that cannot be read any more says so."""
    try:
        house = brewhouse_from_text(paper.text, name=paper.name)
        inputs = brewhouse_inputs(paper.text, house, system)
    except BadInput as error:
        return HouseLine(slug=paper.slug, name=paper.name, fault=as_sentence(error.faults[0]))
    sticks = dip_sticks(house, system=system)
    return HouseLine(
        slug=paper.slug,
        name=paper.name,
        kind=KIND_WORDS[house.kind],
        vessels=joined(f"{stick.brim} {stick.words}".replace(" ", "\u00a0", 1) for stick in sticks),
        stated=stated_words(inputs),
        glyph=glyph(sticks),
    )


def stated_words(inputs: Sequence[BrewhouseInput]) -> str:
    """Say how many of a brewhouse's figures are stated, counted as its stations count them."""
    figures = [one for one in inputs if _counted(one)]
    stated = [one for one in figures if one.stated]
    measured = sum(one.source.startswith("measured") for one in stated)
    if not stated:
        return f"none of its {len(figures)} figures is stated; all are taken from its kind"
    gyles = f", {measured} of them measured over gyles" if measured else ""
    verb, left = "is" if len(stated) == 1 else "are", len(figures) - len(stated)
    rest = "" if not left else f"; the other {left} {'is' if left == 1 else 'are'} taken from its kind"
    return f"{len(stated)} of {len(figures)} figures {verb} stated{gyles}{rest}"


def _counted(one: BrewhouseInput) -> bool:
    """Whether it is a figure that its kind would know otherwise: its name and the kind itself are not."""
    return one.address not in ("name", "kind")


def station_rows(
    inputs: Sequence[BrewhouseInput],
    *,
    typed: Mapping[str, str] | None = None,
    faults: Mapping[str, str] | None = None,
    at: str = "",
) -> tuple[StationRows, ...]:
    """Return the figures in the order of the stations.

    Parameters
    ----------
    inputs : sequence of BrewhouseInput
        Every figure of the brewhouse.
    typed, faults : mapping of str to str, optional
        What was typed into one row, by part; why it was not taken, by part, "" for the row as a whole.
    at : str
        The address of that row.
    """
    kind = next((one.value for one in inputs if one.address == "kind"), "")
    found = []
    for station in STATIONS:
        rows = tuple(
            _row(one, typed or {} if one.address == at else {}, faults or {} if one.address == at else {}, kind)
            for one in inputs
            if one.station == station
        )
        figures = [row.figure for row in rows if _counted(row.figure)]
        stated = f"{sum(one.stated for one in figures)} of {len(figures)} stated"
        found.append(StationRows(key=station, title=TITLES[station], stated=stated, rows=rows))
    return tuple(found)


def _row(one: BrewhouseInput, typed: Mapping[str, str], faults: Mapping[str, str], kind: str) -> Row:
    source = one.source.replace(f"of its kind, {kind}", "of its kind", 1)  # which the page says once for all
    shown = {"value": one.value, "spread": one.spread, "each_time": one.each_time, "source": one.source_text}
    keys = tuple(PARTS) if one.takes_spread else ("value",)
    parts = {
        key: Part(
            key=key,
            label=f"{one.words}, {PARTS[key]}" if key != "value" else one.words,
            shown=typed.get(key, shown[key]),
            hint=source if key == "source" else "",
            faulty=key in faults,
        )
        for key in keys
    }
    return Row(figure=one, parts=parts, source=source, fault=next(iter(faults.values()), ""))


def typed_edit(one: BrewhouseInput, typed: Mapping[str, str]) -> BrewhouseEdit:
    """Return the edit a sent row asks for: what stands in it as it was shown is not asked for.

    So where a new number comes from is not where the old one did, unless that is written too.
    """
    if not one.takes_spread:
        return BrewhouseEdit(address=one.address, value=typed.get("value"))
    shown = {"value": one.value, "spread": one.spread, "each_time": one.each_time, "source": one.source_text}
    asked = {key: text for key, text in typed.items() if key in shown and _one_line(text) != shown[key]}
    return BrewhouseEdit(address=one.address, **asked)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def faulty_part(text: str, edit: BrewhouseEdit, *, system: str) -> str:
    """Return which part of an edit is at fault, "" where none is alone."""
    asked = {key: part for key in PARTS if (part := getattr(edit, key)) is not None}
    if len(asked) == 1:
        return next(iter(asked))
    for key, part in asked.items():
        try:
            edited_brewhouse(text, BrewhouseEdit(address=edit.address, **{key: part}), system=system)
        except BadInput:
            return key
    return ""


def told_of(one: BrewhouseInput) -> str:
    """Say in a sentence how a figure stands, once it was edited."""
    spread = f", give or take {one.spread}" if one.takes_spread and one.spread else ""
    value = f"{one.value_words or 'nothing'}{spread}"
    if not one.stated:
        return as_sentence(f"{one.words}: taken back; {value}, {one.source}")
    return as_sentence(f"{one.words}: {value}, {one.source}")


def question_views(
    typed: Mapping[str, str], faults: Sequence[str] = (), *, system: str
) -> tuple[tuple[QuestionView, ...], str, tuple[str, ...]]:
    """Return the questions with what was typed, what is wrong with the name, and what belongs to no field.

    Parameters
    ----------
    typed : mapping of str to str
        Answers by the keys of the blanks.
    faults : sequence of str
        What `brewhouse_from_answers` found wrong; each begins with the words of its blank.
    system : {"metric", "us"}
        The person's units.
    """
    asked = questions(system)
    words = {blank.key: blank.words for question in asked for blank in question.blanks}
    at: dict[str, str] = {}
    rest = []
    for fault in faults:
        key = next((key for key, said in words.items() if fault.startswith(said)), None)
        if key is not None and key not in at:
            at[key] = as_sentence(fault.removeprefix(f"{words[key]}: "))
        elif fault.startswith("name: "):
            at["name"] = as_sentence(fault.removeprefix("name: "))
        else:
            rest.append(as_sentence(fault))
    views = tuple(
        QuestionView(
            number=number,
            sentence=question.sentence,
            why=question.why,
            blanks=tuple(
                BlankView(blank=blank, typed=typed.get(blank.key, ""), fault=at.get(blank.key, ""))
                for blank in question.blanks
            ),
        )
        for number, question in enumerate(asked, 1)
    )
    return views, at.get("name", ""), tuple(rest)


# Where the file keeps each answer, and the brewhouse its number.
_SIZE_AT = {
    "kettle": ("kettle.vessel", "kettle_vessel_L"),
    "mash_tun": ("mash.vessel", "mash_vessel_L"),
    "fermenter": ("fermenter.vessel", "fermenter_vessel_L"),
    "keg": ("keg.vessel", "keg_vessel_L"),
}
_PLUG = "a household plug, "


def first_notes(house: Brewhouse, inputs: Sequence[BrewhouseInput], *, system: str) -> tuple[str, ...]:
    """Say again what was taken from its kind when a brewhouse was made of a newcomer's answers.

    The answers are read off the file, so that nothing has to be carried from one page to the next.
    """
    there = {one.address: one for one in inputs}
    told = {key: f"{getattr(house, field)!r} L" for key, (at, field) in _SIZE_AT.items() if there[at].stated}
    told["kind"] = house.kind
    if there["chill.by"].stated:
        told["chill"] = house.chill_by
    if there["kettle.power"].stated and house.power_kW is not None:
        told["power"] = f"{house.power_kW.centre!r} kW"
    power, heat = there["kettle.power"].source_text, there["kettle.heat"]
    if heat.stated:
        told["heat"] = "element" if heat.value == "electric" else heat.value
    if power.startswith(_PLUG):
        told["heat"] = f"plug {power.removeprefix(_PLUG)}"
        told.pop("power", None)
    try:
        _, notes = brewhouse_from_answers(told, name=house.name, system=system)
    except BadInput:
        return house.notes
    return notes
