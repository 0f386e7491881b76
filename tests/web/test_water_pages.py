"""The pages of the waters, asked without a browser."""

from __future__ import annotations

import html
import tomllib

import pytest
from starlette.testclient import TestClient

from gyle.books import brewhouses, waters
from gyle.books.store import Store

GOOD = {"name": "Shed tap", "calcium": "94,4 mg/l", "acid_capacity": "5,72 mmol/l", "do": "keep"}


def text_of(answer_text: str) -> str:
    return html.unescape(answer_text)


def test_every_water_of_the_store_is_listed(client: TestClient) -> None:
    page = text_of(client.get("/waters").text)
    for name in ("Hard water", "Soft water", "Hoppy water", "Hard water, cut"):
        assert f">{name}</a>" in page
    assert "a blend of 40 % Hard water and 60 % reverse osmosis" in page
    assert "a water to wish for" in page


@pytest.mark.parametrize("slug", ["water-hard", "water-soft", "water-hoppy", "water-blend"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_water_tells_its_charges_and_bands(client: TestClient, slug: str, units: str) -> None:
    client.cookies.set("units", units)
    answer = client.get(f"/waters/{slug}")
    assert answer.status_code == 200
    assert "cations less anions" in answer.text
    assert ("°dH" if units == "metric" else "ppm as CaCO3") in answer.text


def test_a_suspect_figure_is_named_where_the_charges_do_not_balance(client: TestClient) -> None:
    assert "question" in text_of(client.get("/waters/water-soft").text)
    assert "Question this first" in text_of(client.get("/waters/water-soft/edit").text)


def test_typed_lines_are_kept_as_the_text_of_a_water(client: TestClient, store: Store) -> None:
    answer = client.post("/waters/new", data=GOOD)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/waters/shed-tap?made=1"
    kept = tomllib.loads(waters.water(store, "shed-tap").text)
    assert kept == {"gyle": 1, "name": "Shed tap", "calcium": "94,4 mg/l", "acid_capacity": "5,72 mmol/l"}
    assert client.get("/waters/shed-tap/water.toml").text == waters.water(store, "shed-tap").text


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("calcium", "lots", "is not a concentration"),
        ("calcium", "NaN", "is not a concentration"),
        ("calcium", "-5 mg/L", "must be at least 0"),
        ("calcium", "1e308", "5000"),
        ("calcium", "9" * 10_000, "characters"),
        ("ph", "1.05 bar", "pH"),
        ("acid_capacity", '{ value = "1', "cannot be read as a table"),
        ("name", "", "A water needs a name"),
        ("name", "x" * 200, "characters"),
        ("notes", "x" * 30_000, "characters"),
    ],
)
def test_a_fault_stands_beside_its_field_and_what_was_typed_stays(
    client: TestClient, store: Store, field: str, typed: str, said: str
) -> None:
    before = len(waters.waters(store))
    answer = client.post("/waters/new", data={**GOOD, field: typed})
    page = text_of(answer.text)
    assert answer.status_code == 422
    assert f'id="why-{field}"' in page
    assert said in page[page.index(f'id="why-{field}"') :][:400]
    assert typed in page
    assert len(waters.waters(store)) == before


def test_nothing_typed_is_no_report(client: TestClient) -> None:
    answer = client.post("/waters/new", data={"name": "Empty", "do": "keep"})
    assert answer.status_code == 422
    assert "No figure is written yet" in answer.text


def test_control_characters_are_refused_or_cleaned_and_never_a_fault_of_ours(client: TestClient) -> None:
    answer = client.post("/waters/new", data={**GOOD, "name": "a\x00b\x1b[31m", "notes": "\x00\x07"})
    assert answer.status_code in (303, 422)


def test_pasted_lines_are_shown_before_they_are_kept(client: TestClient, store: Store) -> None:
    before = len(waters.waters(store))
    sent = {"name": "Pasted", "pasted": "Calcium 94,4 mg/l\nSäurekapazität bis pH 4,3 5,72 mmol/l\nDank", "do": "keep"}
    answer = client.post("/waters/new", data=sent)
    assert answer.status_code == 200
    assert "The pasted lines were read first" in answer.text
    assert len(waters.waters(store)) == before
    mark = answer.text.partition('name="read" value="')[2].partition('"')[0]
    again = {**sent, "read": mark, "calcium": "94,4 mg/l", "acid_capacity": "5,72 mmol/l"}
    assert client.post("/waters/new", data=again).status_code == 303


def test_the_rows_of_what_was_understood_are_counted_with_their_heading(client: TestClient) -> None:
    pasted = "Parameter\tMesswert\tGrenzwert\nCalcium\t84,2\t-\nEisen, gesamt\t< 0,02\t0,200\nKeime\t0\t100"
    page = text_of(client.post("/waters/new", data={"pasted": pasted, "do": "read"}).text)
    assert "2 of 3 lines understood, beside a heading; they stand in the fields below" in page
    assert page.partition('class="understood"')[2].count('<tr class="') == 4


@pytest.mark.parametrize(
    ("do", "said"),
    [("read", "Nothing is pasted yet"), ("look", "No figure is written yet")],
)
def test_nothing_to_read_and_nothing_to_hold_is_told(client: TestClient, do: str, said: str) -> None:
    answer = client.post("/waters/new", data={"do": do, "pasted": "  "})
    assert answer.status_code == 422
    page = text_of(answer.text)
    assert said in page
    assert 'role="alert"' in page
    assert "A water needs a name" not in page  # it was not sent to be kept


def test_a_name_that_is_missing_is_told_before_it_is_kept(client: TestClient) -> None:
    asked = {"calcium": "94,4 mg/l", "acid_capacity": "5,72 mmol/l"}
    looked = client.post("/waters/new", data={**asked, "do": "look"})
    assert looked.status_code == 200
    assert "It needs a name before it is kept" in text_of(looked.text)
    read = client.post("/waters/new", data={"pasted": "Calcium 84,2 mg/l", "do": "read"})
    assert "It needs a name before it is kept" in text_of(read.text)
    assert "It needs a name" not in text_of(client.post("/waters/new", data={**asked, "name": "A", "do": "look"}).text)
    kept = client.post("/waters/new", data={**asked, "do": "keep"})
    assert kept.status_code == 422
    assert "A water needs a name" in text_of(kept.text)


def test_charges_below_nought_have_a_true_minus(client: TestClient) -> None:
    page = text_of(client.get("/waters/water-hard").text)
    assert "−2.4 %" in page
    assert "its charges are off by +11 %, and up to 10 % is usual" in text_of(client.get("/waters").text)
    assert "Here they are off by 11 %" in text_of(client.get("/waters/water-soft").text)


def test_too_much_pasted_is_refused_in_a_sentence(client: TestClient) -> None:
    answer = client.post("/waters/new", data={"pasted": "x" * 50_000, "do": "read"})
    assert answer.status_code == 422
    assert "40,000" in answer.text


def test_a_pasted_file_becomes_a_water_or_says_why_not(client: TestClient) -> None:
    assert client.post("/waters/new", data={"text": 'name = "A"\ncalcium = "40 mg/L"\n'}).status_code == 303
    for wrong in ("calcium = ", 'name = "A"\ncalcium = "many"', "", 'name = "B"\n[[blend]]\nof = "nowhere"\n'):
        answer = client.post("/waters/new", data={"text": wrong})
        assert answer.status_code == 422
        assert "Nothing was kept" in answer.text


def test_an_edit_keeps_comments_and_the_report_before_it(client: TestClient, store: Store) -> None:
    typed = {"name": "Hard water", "calcium": "90 mg/l", "seen": "1", "do": "keep"}
    page = client.get("/waters/water-hard/edit").text
    assert 'value="94,4 mg/l"' in page
    sent = {**{key: value for key, value in _fields(page).items() if value}, **typed}
    assert client.post("/waters/water-hard/edit", data=sent).status_code == 303
    text = waters.water(store, "water-hard").text
    assert 'calcium = "90 mg/l"' in text
    assert "# to pH 4,3" in text
    assert "94,4" in waters.water(store, "water-hard", number=1).text


def _fields(page: str) -> dict[str, str]:
    found = {}
    for piece in page.split("<input ")[1:]:
        name = piece.partition('name="')[2].partition('"')[0]
        found[name] = html.unescape(piece.partition('value="')[2].partition('"')[0])
    return {name: value for name, value in found.items() if name not in ("units", "paper", "back")}


def test_an_edit_of_what_was_changed_elsewhere_overwrites_nothing(client: TestClient, store: Store) -> None:
    waters.save_water(store, "water-hard", text='name = "Hard water"\ncalcium = "91 mg/l"\n', seen=1)
    answer = client.post("/waters/water-hard/text", data={"text": 'name = "Mine"\ncalcium = 5\n', "seen": "1"})
    assert answer.status_code == 409
    assert 'calcium = "91 mg/l"' in text_of(answer.text)
    assert 'name = "Mine"' in text_of(answer.text)
    assert waters.water(store, "water-hard").number == 2
    edited = {"name": "Hard water", "calcium": "80 mg/l", "seen": "1", "do": "keep"}
    assert client.post("/waters/water-hard/edit", data=edited).status_code == 409


def test_a_water_that_holds_itself_is_refused(client: TestClient) -> None:
    text = 'name = "Hard water"\n[[blend]]\nof = "water-blend"\n'
    answer = client.post("/waters/water-hard/text", data={"text": text, "seen": "1"})
    assert answer.status_code == 422
    assert "leads back" in answer.text


def test_a_brewhouse_is_told_which_water_it_draws(client: TestClient, store: Store) -> None:
    answer = client.post("/waters/water-hard/drawn", data={"brewhouse": "lantern-street-48"})
    assert answer.status_code == 303
    house = brewhouses.resolver(store)("lantern-street-48")
    assert house is not None
    assert house.water is not None
    assert house.water.name == "Hard water"
    assert "# 13 A at 230 V" in brewhouses.brewhouse(store, "lantern-street-48").text
    assert "every beer brewed there" in client.get("/waters/water-hard").text
    assert client.post("/waters/water-hard/drawn", data={"brewhouse": "nowhere"}).status_code == 422


@pytest.mark.parametrize("path", ["/waters/none", "/waters/none/edit", "/waters/none/text", "/waters/%00/text"])
def test_a_water_that_is_not_there_is_said_to_be_none(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_hostile_names_are_shown_as_they_are(client: TestClient) -> None:
    name = "<script>alert(1)</script>"
    where = client.post("/waters/new", data={**GOOD, "name": name}).headers["location"]
    for page in (client.get(where).text, client.get("/waters").text):
        assert name not in page
        assert html.escape(name) in page
