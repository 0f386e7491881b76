"""A brewhouse as its pages show it: rows by station, faults beside their field, what an edit asks for."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from gyle.beer.brewhouse_edits import NOTHING_SAID, edited_brewhouse
from gyle.beer.brewhouse_inputs import BrewhouseInput, brewhouse_inputs
from gyle.beer.brewhouse_places import PLACES
from gyle.beer.brewhouse_questions import brewhouse_from_answers
from gyle.beer.reading import brewhouse_from_text
from gyle.books.papers import Paper
from gyle.share.sentences import as_sentence, without_line
from gyle.web.brewhouse_view import (
    faulty_part,
    first_notes,
    house_line,
    question_views,
    stated_words,
    station_rows,
    told_of,
    typed_edit,
)

TEXT = """kind = "electric all-in-one"
name = "Shed"
[kettle]
vessel = "40 L"
boil_off = { value = "3 L/h", spread = "0.3 L/h", from = "3 gyles" }
left_behind = "1 L"
"""


def inputs(text: str = TEXT, system: str = "metric") -> tuple[BrewhouseInput, ...]:
    return brewhouse_inputs(text, brewhouse_from_text(text), system)


def figure(address: str, text: str = TEXT) -> BrewhouseInput:
    return next(one for one in inputs(text) if one.address == address)


def row_of(address: str) -> dict[str, str]:
    one = figure(address)
    return {"value": one.value, "spread": one.spread, "each_time": one.each_time, "source": one.source_text}


def paper(text: str) -> Paper:
    made_at = datetime(2026, 1, 1, tzinfo=UTC)
    return Paper(
        kind="brewhouse", slug="shed", name="Shed", number=1, parent=None, newest=1, text=text, made_at=made_at
    )


def test_every_figure_is_a_row_once_at_its_station() -> None:
    stations = station_rows(inputs())
    assert [row.figure.address for station in stations for row in station.rows] == [place.address for place in PLACES]
    kettle = next(station for station in stations if station.key == "kettle")
    assert kettle.stated == f"3 of {len(kettle.rows)} stated"
    boil_off = next(row for row in kettle.rows if row.key == "kettle-boil_off")
    assert [part.shown for part in boil_off.parts.values()][:2] == ["3 L/h", "0.3 L/h"]
    assert boil_off.parts["source"].shown == "3 gyles"
    assert boil_off.source == "measured, 3 gyles"
    assert boil_off.returns
    trub = next(row for row in kettle.rows if row.key == "kettle-trub")
    assert (trub.source, trub.returns) == ("of its kind", False)
    assert trub.parts["source"].hint == "of its kind"
    sized = next(row for row in kettle.rows if row.key == "kettle-vessel")
    assert list(sized.parts) == ["value"]


def test_what_was_typed_and_refused_stands_in_its_row_alone() -> None:
    stations = station_rows(
        inputs(), typed={"value": "3 zorkmids", "spread": "1"}, faults={"value": "No."}, at="kettle.boil_off"
    )
    rows = {row.key: row for station in stations for row in station.rows}
    assert rows["kettle-boil_off"].parts["value"].shown == "3 zorkmids"
    assert rows["kettle-boil_off"].parts["spread"].shown == "1"
    assert rows["kettle-boil_off"].fault == "No."
    assert [part.key for part in rows["kettle-boil_off"].parts.values() if part.faulty] == ["value"]
    assert not any(row.fault for key, row in rows.items() if key != "kettle-boil_off")


@pytest.mark.parametrize("address", [place.address for place in PLACES])
def test_a_row_sent_back_untouched_is_no_edit(address: str) -> None:
    one = figure(address)
    if (one.value and one.stated) or one.takes_spread:
        edit = typed_edit(one, row_of(address))
        assert edited_brewhouse(TEXT, edit, system="metric")[2] == NOTHING_SAID


def test_an_edit_asks_for_what_was_written_over() -> None:
    sent = row_of("kettle.boil_off")
    edit = typed_edit(figure("kettle.boil_off"), {**sent, "spread": "  0.2 L/h "})
    assert (edit.value, edit.each_time, edit.source) == (None, None, None)
    text, house, _ = edited_brewhouse(TEXT, edit, system="metric")
    assert (house.boil_off_L_h.centre, house.boil_off_L_h.spread) == (3.0, 0.2)
    assert figure("kettle.boil_off", text).source == "measured, 3 gyles"


def test_a_new_value_does_not_come_from_where_the_old_one_did() -> None:
    sent = row_of("kettle.boil_off")
    text = edited_brewhouse(TEXT, typed_edit(figure("kettle.boil_off"), {**sent, "value": "3.5"}), system="metric")[0]
    assert figure("kettle.boil_off", text).source == "stated"
    both = typed_edit(figure("kettle.boil_off"), {**sent, "value": "3.5", "source": "4 gyles"})
    text = edited_brewhouse(TEXT, both, system="metric")[0]
    assert figure("kettle.boil_off", text).source == "measured, 4 gyles"


def test_an_emptied_value_goes_back_to_its_kind() -> None:
    edit = typed_edit(figure("kettle.boil_off"), {**row_of("kettle.boil_off"), "value": ""})
    text = edited_brewhouse(TEXT, edit, system="metric")[0]
    back = figure("kettle.boil_off", text)
    assert not back.stated
    assert told_of(back).startswith("Boil-off: taken back; ")


@pytest.mark.parametrize(
    ("sent", "part"),
    [
        ({"value": "3 zorkmids"}, "value"),
        ({"spread": "-1 L/h"}, "spread"),
        ({"each_time": "NaN"}, "each_time"),
        ({"source": "\x00"}, "source"),
        ({"value": "2 L/h", "spread": "1e308"}, "spread"),
    ],
)
def test_the_part_at_fault_is_found(sent: dict[str, str], part: str) -> None:
    edit = typed_edit(figure("kettle.boil_off"), {**row_of("kettle.boil_off"), **sent})
    assert faulty_part(TEXT, edit, system="metric") == part


def test_no_line_of_a_file_is_named_beside_a_field() -> None:
    assert as_sentence(without_line("kettle boil_off, line 13: spread is -1")) == "Spread is -1."
    assert as_sentence(without_line('line 4: there is no water "x"')) == 'There is no water "x".'
    assert as_sentence(without_line("boil-off: that is no flow")) == "Boil-off: that is no flow."


def test_a_line_of_the_list_says_what_is_known() -> None:
    line = house_line(paper(TEXT), system="metric")
    assert line.vessels == "40\u00a0L mash vessel and kettle in one, 40\u00a0L fermenter and 19\u00a0L keg"
    assert line.stated == stated_words(inputs())
    assert line.stated.startswith("3 of ")
    assert "1 of them measured over gyles" in line.stated
    counts = [station.stated.split()[0:3:2] for station in station_rows(inputs())]
    stated, count = (sum(int(one[place]) for one in counts) for place in (0, 1))
    assert line.stated.startswith(f"{stated} of {count} figures are stated")  # counted as the stations count
    assert line.stated.endswith(f"; the other {count - stated} are taken from its kind")
    assert len(line.glyph) == 3
    us = house_line(paper(TEXT), system="us")
    assert us.vessels.startswith("10.6\u00a0gal")
    broken = house_line(paper('kind = "electric'), system="metric")
    assert broken.fault
    assert not broken.vessels


def test_faults_of_answers_stand_beside_their_blanks() -> None:
    views, name_fault, rest = question_views(
        {"kettle": "NaN", "keg": "19 L"},
        ("kettle, to the brim: that is no volume", "name: nothing was written", '"x" is none of the questions'),
        system="metric",
    )
    assert len(views) == 5
    blanks = {view.blank.key: view for question in views for view in question.blanks}
    assert blanks["kettle"].fault == "That is no volume."
    assert (blanks["kettle"].typed, blanks["keg"].typed) == ("NaN", "19 L")
    assert [key for key, view in blanks.items() if view.fault] == ["kettle"]
    assert name_fault == "Nothing was written."
    assert rest == ('"x" is none of the questions.',)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize(
    "answers",
    [
        {"kind": "electric all-in-one", "kettle": "40"},
        {"kind": "electric all-in-one", "kettle": "40 L", "heat": "plug 120 V", "chill": "none", "keg": "9 L"},
        {"kind": "bag in pot", "kettle": "15 L", "heat": "gas", "power": "4 kW", "fermenter": "12 L"},
        {"kind": "mash tun and kettle", "kettle": "60 L", "mash_tun": "50 L", "heat": "induction", "power": "3.5 kW"},
        {"kind": "unstated", "kettle": "30 L"},
    ],
)
def test_what_is_taken_is_said_again_from_the_file_alone(answers: dict[str, str], system: str) -> None:
    text, notes = brewhouse_from_answers(answers, name="Shed", system=system)
    house = brewhouse_from_text(text)
    assert first_notes(house, brewhouse_inputs(text, house, system), system=system) == notes
