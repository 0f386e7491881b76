"""What the application does beside its pages: the setting, its files, and what it says when something goes wrong."""

from __future__ import annotations

import json

import pytest
from starlette.testclient import TestClient

from gyle.books import beers
from gyle.books.store import Store
from gyle.errors import StoreError
from gyle.web.rendering import ASSETS, asset

BEER = "/beers/copper-beacon"


def test_it_says_that_it_is_ready(client: TestClient) -> None:
    answered = client.get("/healthz")
    assert answered.status_code == 200
    assert answered.json()["ready"] is True


def test_the_setting_is_kept_and_leads_back(client: TestClient) -> None:
    answered = client.post("/setting", data={"units": "us", "paper": "dark", "back": f"{BEER}?version=2"})
    assert (answered.status_code, answered.headers["location"]) == (303, f"{BEER}?version=2")
    page = client.get(BEER).text
    assert 'data-paper="dark"' in page
    assert "gal" in page


@pytest.mark.parametrize(
    "back", ["https://evil.example", "//evil.example", "/\\evil.example", "javascript:alert(1)", "/a\nb", ""]
)
def test_the_setting_leads_nowhere_else(client: TestClient, back: str) -> None:
    assert client.post("/setting", data={"units": "us", "back": back}).headers["location"] == "/"


@pytest.mark.parametrize("sent", [{"units": "imperial"}, {"paper": "<script>"}, {"units": "\x00"}])
def test_an_unknown_setting_is_left_alone(client: TestClient, sent: dict[str, str]) -> None:
    known = client.post("/setting", data={"units": "metric", "paper": "auto", **sent}).headers.get_list("set-cookie")
    assert len(known) == 1


def test_a_bad_cookie_is_passed_over(client: TestClient) -> None:
    client.cookies.set("units", "furlongs")
    client.cookies.set("paper", "papyrus")
    assert 'data-paper="auto"' in client.get(BEER).text


@pytest.mark.parametrize(
    ("referer", "back"),
    [
        ("http://localhost/beers/copper-beacon?version=4", f"{BEER}?version=4"),
        ("https://evil.example/", "/"),
        ("http://[", "/"),
    ],
)
def test_what_answers_a_form_returns_to_the_page_it_stood_on(client: TestClient, referer: str, back: str) -> None:
    wrong = client.post(f"{BEER}/edit?base=4", data={"boil.time": "ninety"}, headers={"Referer": referer})
    assert wrong.status_code == 422
    assert f'name="back" value="{back}"' in wrong.text


def test_files_of_the_program_may_be_kept(client: TestClient) -> None:
    marked = client.get(asset("gyle.css"))
    assert "immutable" in marked.headers["cache-control"]
    assert client.get("/assets/gyle.css").headers["cache-control"] == "no-cache"
    assert client.get("/assets/../app.py").status_code == 404
    assert client.get("/assets/%2e%2e/app.py").status_code == 404


def test_every_vendored_file_is_there(client: TestClient) -> None:
    listed = json.loads((ASSETS / "vendor" / "manifest.json").read_text())
    assert listed
    page = client.get(BEER).text
    for address in {part.split('"')[0] for part in page.split('"/assets/')[1:]}:
        assert client.get(f"/assets/{address}").status_code == 200, address


def test_nothing_is_asked_of_another_machine(client: TestClient) -> None:
    for address in ("/", BEER, "/brewhouses", "/waters"):
        page = client.get(address).text
        assert "//" not in page.replace("http://www.w3.org/2000/svg", ""), address


def test_what_goes_wrong_is_told_on_a_page(client: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    missing = client.get("/nowhere")
    assert (missing.status_code, "There is no such page." in missing.text) == (404, True)
    assert client.put(BEER).status_code == 405
    monkeypatch.setattr(beers, "beer", _refusing(StoreError("the store /tmp/x cannot be read: it is locked")))
    locked = client.get(BEER)
    assert (locked.status_code, "cannot be read" in locked.text) == (503, True)
    monkeypatch.setattr(beers, "beer", _refusing(RuntimeError("inside")))
    ours = client.get(BEER)
    assert ours.status_code == 500
    assert "a fault of gyle and not of yours (RuntimeError)" in ours.text
    assert "inside" not in ours.text
    assert "script-src 'self'" in ours.headers["content-security-policy"]


def _refusing(error: Exception):  # type: ignore[no-untyped-def]
    def refused(*_: object, **__: object) -> None:
        raise error

    return refused


def test_what_no_form_of_ours_sends_is_refused_in_a_sentence(client: TestClient) -> None:
    answered = client.post(f"{BEER}/text?base=4", files={"text": ("a.toml", b"name = 1")})
    assert answered.status_code == 422
    assert "nothing was changed" in answered.text
    assert "<h1" in answered.text
